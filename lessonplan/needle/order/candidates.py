"""The readings of one line that work out, each in a run of its own, weighed against one another;
and whether the lines that follow bear a count out: they work from it, and from no other number near it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from lessonplan.needle.decided.readings import Outcome
from lessonplan.needle.decided.trust import FAR, borne_out, needle_bears_out, times_open, unread_word, with_count, worst
from lessonplan.needle.order.parted import divided
from lessonplan.needle.order.rows import Run, plain_line, work_parts
from lessonplan.needle.order.run import EnoughError
from lessonplan.needle.order.schedule import Turn
from lessonplan.needle.order.shaping import row_units
from lessonplan.needle.stitch.live import WorkError, stitches
from lessonplan.needle.stitch.operations import Reading
from lessonplan.printed.rules.search import COUNT_PASSED
from lessonplan.printed.tree import Again, Line


@dataclass(frozen=True, slots=True)
class Candidate:
    """A reading that works out: the run after it, what it costs, what it means, the print as read."""

    run: Run
    cost: float
    meaning: str
    note: str
    tree: Line
    reading: Reading = ()
    again: str = ""


class Weighing:
    """Works a line in every reading, for one 0-based size."""

    def __init__(self, size: int) -> None:
        self.size = size
        self.tentative: list[Candidate] = []
        """Readings of the line in work that pass over more than it bears out."""

    def candidates(self, run: Run, turn: Turn, line: Line) -> list[Candidate]:
        """The readings of a line that work out, each in a run of its own, the cheapest first."""
        found: list[Candidate] = []
        errors: list[tuple[Line, WorkError]] = []
        set_aside: list[float] = []
        for tree in (line, *line.others):
            if found and tree.cost >= min(each.cost for each in found) + FAR:
                break
            try:
                more = self._of_tree(run, turn, tree, first=tree is line)
            except WorkError as error:
                errors.append((tree, error))
                set_aside += [tree.cost] if error.kind == "unread" else []
                continue
            doubted = [
                each for each in more if not borne_out(tree) and not needle_bears_out(tree, run.needle, self.size)
            ]
            if run.lost is not None:
                doubted = [each for each in more if any(doubt.level > 1 for doubt in tree.doubts)]
            if doubted:
                errors.append((tree, unread_word(tree)))
                set_aside.append(tree.cost)
                self.tentative += doubted
            found += [each for each in more if each not in doubted]
        disagree = [tree.cost for tree, error in errors if error.kind == "disagrees"]
        if disagree:
            # a dearer reading that takes the printed count for something else is no way out
            found = [each for each in found if each.tree.printed or each.tree.change or each.tree.cost < min(disagree)]
        if set_aside:
            # nor is one that only leaves out what the likeliest reading could not be sure of
            likely = min(set_aside) + FAR
            found = [each for each in found if each.tree.printed or each.tree.change or each.tree.cost < likely]
        if not found:
            raise worst(errors)
        return sorted(found, key=lambda each: each.cost)

    def _of_tree(self, run: Run, turn: Turn, tree: Line, *, first: bool) -> list[Candidate]:
        if run.lost is not None and (tree.printed or tree.change):
            tree = replace(tree, printed=(), change=(), others=())
        tree = run.rows_told(tree)
        if plain_line(tree) and turn.rows is None:
            outcomes = run.rows_of(tree)
            rivals = any(other.cost < outcomes[0].cost + FAR for other in tree.others)
            alone = first and run.lost is None and len(outcomes) == 1 and not rivals and not tree.doubts
            runs = [run] if alone else [run.copy() for _ in outcomes]
            for each, outcome in zip(runs, outcomes, strict=True):
                take(each, turn.index, outcome, tree)
            pairs = zip(runs, outcomes, strict=True)
            return [
                Candidate(
                    run=each,
                    cost=o.cost,
                    meaning=o.meaning or "the line as printed",
                    note=o.note,
                    tree=tree,
                    reading=o.reading,
                    again=dict(o.reading).get("times", ""),
                )
                for each, o in pairs
            ]
        open_ = any(times_open(part) for part in tree.parts)
        found: list[Candidate] = []
        error: WorkError | None = None
        for choice in ("more", "total") if open_ and not tree.label.numbers else ("",):
            each = run.copy()
            each.choice = choice
            try:
                work(each, turn.index, tree, turn.rows)
                meaning = f"the rounds are worked {_AGAIN[choice]}" if choice else "the line as printed"
                dear = 0.4 if choice == "total" else 0.0
                found.append(
                    Candidate(run=each, cost=tree.cost + dear, meaning=meaning, note="", tree=tree, again=choice)
                )
            except WorkError as failed:
                better = error is None or (error.kind != "disagrees" and failed.kind == "disagrees")
                error = failed if better else error
        if error is not None and not found:
            raise error
        if error is not None and open_:
            found = [replace(each, note=f"read so that the counts agree: {each.meaning}") for each in found]
        return found


_AGAIN = {"more": "that many times more", "total": "that many times in all"}


def differs(one: Candidate, other: Candidate) -> bool:
    """Whether two readings leave another needle behind."""
    first, second = one.run.needle, other.run.needle
    return (first.stitches, first.behind) != (second.stitches, second.behind)


_PART = re.compile(
    r"\b(?:between|markers?|mkrs?|m|needles?|sections?|each|every|thumb|gusset|heel|instep|sole|sleeves?)\b"
)
"""Words that tell which part of the stitches is counted."""


def only_a_part(found: Candidate, turns: Sequence[Turn]) -> str:
    """What is said of rows repeated until only a part of the stitches comes to a count, which nothing bears out."""
    named = found.tree.printed or _PART.search(found.tree.text.lower())
    if named or works_from(found.run, turns, to_a_count=True) or only_fits(found.run, turns):
        return ""
    many = stitches(found.run.needle.stitches)
    return f"never comes to that count in all; between two markers it does, with {many} in all"


def of_a_part(line: Line) -> bool:
    """Whether a line goes on until a part of the stitches comes to a count, though it names none."""
    return any(isinstance(part, Again) and part.per == "markers" and not part.between for part in line.parts)


def take(run: Run, index: int, outcome: Outcome, line: Line) -> None:
    """Take over an outcome for a line; at the limits the run is finished."""
    run.book.restore(outcome.state)
    try:
        run.take(index, outcome, row_units(line, run.size))
    except EnoughError:
        run.finished = True


def work(run: Run, index: int, line: Line, rows: int | None) -> None:
    """Work the parts of a line; at the limits the run is finished."""
    try:
        work_parts(run, index, line, rows)
    except EnoughError:
        run.finished = True


LOOK_AHEAD = 6
NEAR = 7
"""Numbers of stitches more and fewer from which the lines that follow must not work."""
_SHAPES = re.compile(
    r"inc|dec|cast|bind|\bb\.?o\b|\bc\.?o\b|pick|tog|\bm\d?[lr1]|make|\by\.?o|yfwd|yrn|\bs[1-3s]?k|psso|kfb|hold|thread|waste|"
    r"spare|slip|[(\[*]|\d ?(?:sc|dc|hdc|htr|d?tr)\b|\bin(?:to)? (?:each|next|same|the|every)\b|"
    r"\bmore\b|\bextra|addition|another|fewer|\bless\b|"
    r"shap|narrow|draw|graft|miss|skip|\d ?(?:sts?|stitch)|until|remain|\brem\b|into|divid|join|leav|thumb"
)
_TURNS = re.compile(r"\b(?:but|except\w*|instead|or|not|don't|without|omit\w*|than|alternat\w*|half|reverse)\b")
"""Words by which a line that was not read may change the number of stitches."""


def works_from(run: Run, turns: Sequence[Turn], *, to_a_count: bool = False) -> bool:
    """Whether the lines that follow work out, in the usual reading.

    ``to_a_count``: as far as the next count that is printed, which there must be.
    """
    trial = run.copy()
    trial.book.assumed = set()
    for place, turn in enumerate(turns[:LOOK_AHEAD], 1):
        line = trial.lines[turn.index]
        if line is None or trial.finished:
            break
        trial.fetch(line)
        try:
            _go_on(trial, turn, divided(line, trial, turns[place:]) or line)
        except (WorkError, EnoughError):
            return False
        if to_a_count and (line.printed or line.change):
            return True
    return not to_a_count


def contradicted(run: Run, turns: Sequence[Turn]) -> bool:
    """Whether the lines that follow work from another number of stitches near this one, and not from it."""
    return not works_from(run, turns) and any(works_from(trial, turns) for trial in _near(run))


def _near(run: Run) -> Iterator[Run]:
    """The run with a few stitches more or fewer on the needle."""
    for more in range(1, NEAR + 1):
        for n in (run.needle.stitches - more, run.needle.stitches + more):
            trial = run.copy()
            trial.needle = replace(with_count(run.needle, max(0, n)), blurred=run.needle.blurred)
            yield trial


def only_fits(run: Run, turns: Sequence[Turn]) -> bool:
    """Whether the lines that follow work from the stitches on the needle and from no number near it."""
    if run.needle.stitches <= NEAR or not works_from(run, turns):
        return False
    return not any(works_from(trial, turns) for trial in _near(run))


def _may_be_borne_out(tree: Line) -> bool:
    """Whether lines that follow can bear a reading out: it passes over no stitch, count or word that turns it round."""
    doubts = sorted(tree.doubts, key=lambda each: each.at)
    work = any(
        first.level and first.word.isalpha() and second.word.isdecimal() and second.at == first.at + len(first.word) + 1
        for first, second in itertools.pairwise(doubts)
    )  # `wibble 3` could be stitches
    bearable = all(doubt.level < COUNT_PASSED and not _TURNS.search(doubt.word.lower()) for doubt in doubts)
    return bearable and not work


def borne_later(weighed: Sequence[tuple[Line, Run]], turns: Sequence[Turn]) -> int | None:
    """The number of the reading (with the run after it) that the lines after it bear out, if only one does."""
    likely = [number for number, (tree, _) in enumerate(weighed) if _may_be_borne_out(tree)]
    fits = [number for number in likely[:3] if only_fits(weighed[number][1], turns)]
    return fits[0] if len({weighed[number][1].needle.stitches for number in fits}) == 1 else None


def changes_nothing(text: str) -> bool:
    """Whether no word of a line that was not read speaks of stitches made, taken away or put aside."""
    return not _SHAPES.search(text.lower())


def _go_on(run: Run, turn: Turn, line: Line) -> None:
    """One more line in its usual reading."""
    line = run.rows_told(line)
    if plain_line(line) and turn.rows is None:
        take(run, turn.index, run.rows_of(line)[0], line)
    else:
        work(run, turn.index, line, turn.rows)
