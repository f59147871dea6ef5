"""The lines of a stage worked in order: rounds, repeats of rounds, printed counts, and every problem in one go.

A problem in one line does not hide those of the next: work goes on there from the needle as it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.needle.line import Round
from lessonplan.needle.live import Needle, WorkError, stitches
from lessonplan.needle.patterns import PatternBook
from lessonplan.needle.readings import READINGS, Outcome, unsaid
from lessonplan.needle.rows import EnoughError, Limits, Run, jumped, plain_line, row_units, work_parts
from lessonplan.needle.schedule import Turn, schedule
from lessonplan.printed.line import NotationError, crochet_stitch, parse_line
from lessonplan.printed.tree import Again, Line, Rows

__all__ = ["LineProblem", "Worked", "WorkedLine", "work_lines"]

ERROR, NOTE = "error", "note"
EVERY_SIZE = -1


@dataclass(frozen=True, slots=True)
class LineProblem:
    """Something wrong with a line: 0-based `line` of the texts, 1-based `column` in it, 0-based `size` (-1: all).

    `severity` is "error", or "note" for what works out but deserves a look.
    """

    line: int
    column: int
    size: int
    sentence: str
    severity: str = ERROR


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """One text and the rounds worked for it, over all cycles."""

    text: str
    rounds: tuple[Round, ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """Lines worked: by text; all rounds in the order worked, run-length coded; the needle after; the problems."""

    lines: tuple[WorkedLine, ...]
    rounds: tuple[Round, ...]
    needle: Needle
    problems: tuple[LineProblem, ...]


def work_lines(
    texts: Sequence[str],
    needle: Needle,
    *,
    size: int = 0,
    sizes: int = 1,
    rounds: int | None = None,
    until: int | None = None,
    times: int | None = None,
    patterns: Mapping[str, Sequence[str]] | None = None,
    held_as: str = "held",
    colours: frozenset[str] = frozenset(),
) -> Worked:
    """Work printed lines in order on a needle, for one 0-based `size` of `sizes`.

    `rounds`: cycle through the lines until that many rounds are worked; `until`: until that many stitches are live,
    checked after every round; `times`: all lines that many times; none of them: each line once. `patterns` are stitch
    patterns by name; `held_as` names what is put on waste yarn; `colours` are the names of yarns. Never raises for what
    a text says: every problem is in the result.
    """
    problems: list[LineProblem] = []
    hook = next((stitch for text in texts if (stitch := crochet_stitch(text))), "")
    lines = [_parsed(index, text, sizes, colours, hook, problems) for index, text in enumerate(texts)]
    book = PatternBook(patterns or {}, size, sizes, colours)
    run = Run(needle, size, book, held_as, Limits(rounds, until), lines)
    turns, gaps = schedule(lines)
    for gap in gaps:
        sentence = f"no line says what is done in round {gap.number}, before this one"
        problems.append(LineProblem(gap.index, 1, EVERY_SIZE, sentence, NOTE))
    run = _Worker(lines, turns, problems, rounds is not None, until, size).cycles(run, rounds, until, times)
    done = tuple(WorkedLine(text, tuple(run.done.get(index, ()))) for index, text in enumerate(texts))
    return Worked(done, tuple(run.rounds), run.needle, tuple(sorted(set(problems), key=_order)))


def _order(problem: LineProblem) -> tuple[int, int, int, str]:
    return problem.line, problem.column, problem.size, problem.sentence


def _parsed(
    index: int, text: str, sizes: int, colours: frozenset[str], hook: str, problems: list[LineProblem]
) -> Line | None:
    try:
        return parse_line(text, sizes, colours, hook)
    except NotationError as error:
        problems.append(LineProblem(index, error.column, EVERY_SIZE, error.sentence))
        return None


class _Worker:
    """Works the schedule of lines, and decides between readings by what comes after."""

    def __init__(
        self,
        lines: Sequence[Line | None],
        turns: Sequence[Turn],
        problems: list[LineProblem],
        counted: bool,
        until: int | None,
        size: int,
    ) -> None:
        self.lines = lines
        self.turns = turns
        self.problems = problems
        self.counted = counted
        self.until = until
        self.size = size

    def cycles(self, run: Run, rounds: int | None, until: int | None, times: int | None) -> Run:
        """The lines once, or as often as asked for."""
        if (rounds is not None and rounds <= 0) or (until is not None and run.needle.stitches == until):
            return run
        if not self.turns:
            return run
        endless = rounds is not None or until is not None
        left = -1 if endless else (1 if times is None else times)
        while left and not run.finished:
            known = sum(problem.severity == ERROR for problem in self.problems)
            before, stitches_before = run.count, run.needle.stitches
            run = self.cycle(run)
            left -= 1
            failed = sum(problem.severity == ERROR for problem in self.problems) > known
            if run.finished or failed or (endless and None in self.lines):
                break
            if endless and not self._goes_on(run, before, stitches_before):
                break
        return run

    def _goes_on(self, run: Run, before: int, stitches_before: int) -> bool:
        """Whether another cycle can bring the end nearer; if not, a problem says why."""
        sentence = ""
        if run.count == before:
            sentence = "these lines work no rounds, so they cannot be repeated"
        elif self.until is not None:
            now = run.needle.stitches
            if now == stitches_before:
                sentence = f"never comes to {stitches(self.until)}: the count stays at {now}"
            elif abs(now - self.until) >= abs(stitches_before - self.until):
                sentence = f"never comes to {stitches(self.until)}: the count goes from {stitches_before} to {now}"
        if sentence:
            self.problems.append(LineProblem(self.turns[-1].index, 1, self.size, sentence))
        return not sentence

    def cycle(self, run: Run) -> Run:
        """Every line of the schedule once."""
        for place, turn in enumerate(self.turns):
            line = self.lines[turn.index]
            if line is None:
                continue
            self._compare_side(run, turn, line)
            last = run.needle.stitches
            try:
                run = self.line(run, place, turn, line)
                if self.until is not None and not run.finished:
                    jumped(last, run.needle.stitches, self.until)
            except WorkError as error:
                run.book.begin()
                self._problem(turn.index, error)
                if self.until is not None and "never comes" in error.sentence:
                    run.finished = True
            if run.finished:
                break
        return run

    def line(self, run: Run, place: int, turn: Turn, line: Line) -> Run:
        """One line of the schedule; the run to go on with. Raises `WorkError` with the run left as it was."""
        found = self._candidates(run, turn, line)
        if len(found) == 1:
            return self._accept(found[0], turn, line)
        works = [each for each in found if self._works_from(each.run, place + 1)]
        if len(works) == 1:
            return self._accept(replace(works[0], note=works[0].note or works[0].meaning), turn, line)
        either = " or ".join(each.meaning for each in found)
        sentence = f"can be read in more than one way, and the counts do not tell which: {either}"
        self.problems.append(LineProblem(turn.index, 1, self.size, sentence))
        return self._accept(found[0], turn, line)

    def _accept(self, found: _Candidate, turn: Turn, line: Line) -> Run:
        if found.note:
            self.problems.append(LineProblem(turn.index, 1, self.size, found.note, NOTE))
        for each in found.run.done.get(turn.index, []):
            if "marker lies" in each.note:
                self.problems.append(LineProblem(turn.index, 1, self.size, each.note, NOTE))
        if not self.counted and any(isinstance(part, Rows | Again) and part.measured for part in line.parts):
            sentence = "how many rounds this length takes depends on the gauge; it is worked once here"
            self.problems.append(LineProblem(turn.index, 1, self.size, sentence, NOTE))
        return found.run

    def _candidates(self, run: Run, turn: Turn, line: Line) -> list[_Candidate]:
        """The readings of a line that work out, each in a run of its own."""
        if plain_line(line) and turn.rows is None:
            outcomes = run.rows_of(line)
            runs = [run] if len(outcomes) == 1 else [run.copy() for _ in outcomes]
            for each, outcome in zip(runs, outcomes, strict=True):
                _take(each, turn.index, outcome, line)
            pairs = zip(runs, outcomes, strict=True)
            return [_Candidate(each, _meaning(outcome), outcome.note) for each, outcome in pairs]
        open_ = any(isinstance(part, Again) and part.times and unsaid(part.times) for part in line.parts)
        found: list[_Candidate] = []
        error: WorkError | None = None
        for choice in ("more", "total") if open_ and not line.label.numbers else ("",):
            each = run.copy()
            each.choice = choice
            try:
                _parts(each, turn.index, line, turn.rows)
                meaning = f"the rounds are worked {_AGAIN[choice]}" if choice else ""
                found.append(_Candidate(each, meaning, ""))
            except WorkError as failed:
                error = error or failed
        if error is not None and not found:
            raise error
        if error is not None and open_:
            found = [replace(each, note=f"read so that the counts agree: {each.meaning}") for each in found]
        return found

    def _works_from(self, run: Run, place: int) -> bool:
        """Whether the lines that follow work out, in the usual reading."""
        trial = run.copy()
        for turn in self.turns[place:]:
            line = self.lines[turn.index]
            if line is None or trial.finished:
                break
            try:
                if plain_line(line) and turn.rows is None:
                    _take(trial, turn.index, trial.rows_of(line)[0], line)
                else:
                    _parts(trial, turn.index, line, turn.rows)
            except (WorkError, EnoughError):
                return False
        return True

    def _compare_side(self, run: Run, turn: Turn, line: Line) -> None:
        side = line.label.side
        if not side or not run.needle.flat or side == run.needle.side:
            return
        if not run.count:
            run.needle = replace(run.needle, side=side)
        elif turn.first:
            faces = {"RS": "right", "WS": "wrong"}[run.needle.side]
            sentence = f"is labelled {side}, but the {faces} side faces here"
            self.problems.append(LineProblem(turn.index, 1, self.size, sentence, NOTE))

    def _problem(self, index: int, error: WorkError) -> None:
        self.problems.append(LineProblem(index, error.column, self.size, error.sentence))


_AGAIN = {"more": "that many times more", "total": "that many times in all"}


@dataclass(frozen=True, slots=True)
class _Candidate:
    run: Run
    meaning: str
    note: str


def _meaning(outcome: Outcome) -> str:
    return ", ".join(READINGS[subject][choice] for subject, choice in outcome.reading)


def _take(run: Run, index: int, outcome: Outcome, line: Line) -> None:
    run.book.restore(outcome.state)
    try:
        run.take(index, outcome, row_units(line, run.size))
    except EnoughError:
        run.finished = True


def _parts(run: Run, index: int, line: Line, rows: int | None) -> None:
    try:
        work_parts(run, index, line, rows)
    except EnoughError:
        run.finished = True
