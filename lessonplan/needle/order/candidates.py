"""The readings of one line that work out, each in a run of its own, weighed against one another."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonplan.needle.decided.trust import FAR, borne_out, needle_bears_out, times_open, unread_word, worst
from lessonplan.needle.order.ahead import only_fits, take, work, works_from
from lessonplan.needle.order.rows import Run, plain_line
from lessonplan.needle.order.schedule import Turn
from lessonplan.needle.stitch.live import WorkError, stitches
from lessonplan.needle.stitch.operations import Reading
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
