"""The schedule of lines worked: which reading of a line stands, what is sure, and what is said of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.needle.decided import trust
from lessonplan.needle.decided.compare import with_chains
from lessonplan.needle.decided.readings import READINGS, unusual
from lessonplan.needle.decided.results import ERROR, NOTE, LineProblem
from lessonplan.needle.order import candidates
from lessonplan.needle.order.goals import jumped
from lessonplan.needle.order.parted import SIDE, divided
from lessonplan.needle.order.rows import Run, plain_line
from lessonplan.needle.order.schedule import Turn
from lessonplan.needle.order.shaping import row_units
from lessonplan.needle.ready.fetched import gathered
from lessonplan.needle.ready.openings import counts_gaps, either_way, over_gaps
from lessonplan.needle.ready.planner import plan
from lessonplan.needle.stitch.live import WorkError, stitches
from lessonplan.needle.stitch.operations import Reading, Sum, total
from lessonplan.printed.tree import Again, Charted, Line, Rows, Shape

_OF_ROUND = re.compile(r"\bloops? (?:left )?(?:of|from|on|in) (?:the )?(?:r|rnd|round|row)\.? ?(\d+)\b")
"""`In the unused back loops of Rnd 7`."""
_LATER = re.compile(r"\b(?:bind|cast|binding|casting) off\b[^.;]*\bon (?:the )?(?:next|following) (?:row|r(?:ou)?nd)\b")
_CO = re.compile(r"\bC\.?/?O\b(?!\.? on\b)")
_OFF = re.compile(r"\b(?:bind|cast|binding|casting)[ -]off\b|\bB\.?/?O\b", re.IGNORECASE)
EVERY_SIZE = -1
_TOLD = ("marker lies", "left unworked", "taken as a stitch", "is begun at")
"""Words of the notes of a row that are told."""
LENGTH = "how many rounds this length takes depends on the gauge; it is worked once here"
NOTHING = "no count bears it out, so that the stitches after it are not sure"


class Worker(candidates.Weighing):
    """Works the schedule of lines, and decides between readings by what comes after."""

    def __init__(
        self,
        turns: Sequence[Turn],
        texts: Sequence[str],
        problems: list[LineProblem],
        counted: bool,
        until: int | None,
        size: int,
    ) -> None:
        self.turns = turns
        self.texts = texts
        self.problems = problems
        self.counted = counted
        self.until = until
        super().__init__(size)
        self.after: dict[int, int | None] = {}
        self.unsure: set[int] = set()
        self.uncounted: set[int] = set()
        """Lines of which print counts the stitches in one way or another, and does not say in which."""
        self.failed = False
        """Whether a line could not be worked, so that nobody knows where the markers are."""
        self.lengths: list[int] = []
        """Lines to a length that were worked once, of lines that are asked for a number of rounds."""
        self.decided: dict[int, str] = {}
        """For lines that were read so that the counts agree: "more" or "total", where that was the question."""
        self.readings: dict[int, Reading] = {}
        """For lines with a count behind them what was read otherwise than usual."""

    def cycles(self, run: Run, rounds: int | None, until: int | None, times: int | None) -> Run:
        """The lines once, or as often as asked for."""
        if (rounds is not None and rounds <= 0) or (until is not None and run.needle.stitches == until):
            return run
        endless = rounds is not None or until is not None
        left = -1 if endless else (1 if times is None else times)
        while left and not run.finished:
            known = self._errors()
            before, stitches_before = run.count, run.needle.stitches
            run = self.cycle(run)
            left -= 1
            if rounds is not None and run.count == rounds and left == -2:
                for index in dict.fromkeys(self.lengths):
                    self._tell(index, LENGTH, "remark")
            if run.finished or self._errors() > known or (endless and None in run.lines):
                break
            if endless and not self._goes_on(run, before, stitches_before):
                break
        return run

    def _errors(self) -> int:
        return sum(problem.severity == ERROR for problem in self.problems)

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
            self.problems.append(LineProblem(self.turns[-1].index if self.turns else 0, 1, self.size, sentence))
        return not sentence

    def cycle(self, run: Run) -> Run:
        """Every line of the schedule once."""
        for place, turn in enumerate(self.turns):
            line = run.lines[turn.index]
            if line is None or (line.label.only and self.size + 1 not in line.label.only):
                run = self._left_out(run, place, line)
                continue
            self._compare_side(run, turn, line)
            if line.label.star:
                run.stars[line.label.star] = len(run.history)
            self._regain(run, turn.index, line)
            self._into_loops(run, line)
            last = run.needle.stitches
            run.fetch(line)
            line = gathered(line, run.needle)
            if (side := divided(line, run, self.turns[place + 1 :])) is not None:
                self._tell(turn.index, SIDE, "remark")
                line = side
            run.book.assumed.clear()
            try:
                run = self.line(run, place, turn, line)
                if self.until is not None and not run.finished:
                    jumped(last, run.needle.stitches, self.until)
                self._counted(run, turn.index, line)
            except WorkError as error:
                if error.kind == "disagrees" and run.book.assumed and run.book.charts == "trusted":
                    sentence = f"{self._charts(run)}, and the count printed says that they shape"
                    error = WorkError(sentence, error.column, "unread")
                if error.kind == "disagrees" and run.lost is None:
                    run = self._as_worked(run, turn, line)
                self._failed(run, place, line, error)
                if self.until is not None and "never comes" in error.sentence:
                    run.finished = True
            if run.finished:
                break
        return run

    def _regain(self, run: Run, index: int, line: Line) -> None:
        """A line that needs an exact number of stitches tells how many there were, where nobody knew."""
        if run.lost is None or line.doubts or not plain_line(line) or not line.parts:
            return
        part = line.parts[0]
        needs = Sum()
        if isinstance(part, Rows) and (trust.fixed(part.steps) or trust.told_in_full(part.steps)):
            needs = total(plan(part.steps, self.size, (), line.chain, crochet=line.crochet))
        if not needs.fixed or needs.takes < 6 or (isinstance(part, Rows) and trust.may_vary(part.steps)):
            return
        if needs.takes != run.needle.stitches:
            run.needle = replace(trust.with_count(run.needle, needs.takes), behind=0, turns=())
        begun = f"begun on the {stitches(needs.takes)} that it needs"
        self._tell(index, f"{begun}, since line {run.lost + 1} does not tell", "follows")
        run.lost = None

    def _into_loops(self, run: Run, line: Line) -> None:
        """A round of crochet into the loops that an earlier one left: it goes into as many as that one has."""
        told = _OF_ROUND.search(line.text.lower()) if line.crochet else None
        if told is None:
            return
        number = int(told[1])
        found = [n for n, each in enumerate(run.lines) if each is not None and number in each.label.numbers]
        if line.label.numbers[:1] != (number + 1,) and found and (count := self.after.get(found[-1])):
            run.needle, run.lost = trust.with_count(run.needle, count), None

    def _tell(
        self, line: int, sentence: str, kind: str, *, column: int = 1, severity: str = NOTE, size: int | None = None
    ) -> None:
        """Keep what is to be said of a line, for the size at work if no other is given."""
        where = self.size if size is None else size
        self.problems.append(LineProblem(line, column, where, sentence, severity=severity, kind=kind))

    def _left_out(self, run: Run, place: int, line: Line | None) -> Run:
        index = self.turns[place].index
        if line is None:
            self.failed = True
            run.history.append((None, 1))
            run.lost = index if run.lost is not None or not self._unchanged(run, place) else None
            self.after[index] = run.needle.stitches if run.lost is None else None
        else:
            self._counted(run, index, replace(line, printed=()))
        return run

    def _counted(self, run: Run, index: int, line: Line) -> None:
        """Note the stitches after a line; a printed count, or one worked to, ends what is not known."""
        if run.lost is not None and (found := trust.comes_to(line, self.size)) is not None:
            run.needle = trust.with_count(run.needle, found)
            run.lost = None
        if run.lost is not None:
            self.unsure.add(index)
        known = run.lost is None and index not in self.uncounted
        self.after[index] = self._told_after(run, index, line) if known else None

    def _told_after(self, run: Run, index: int, line: Line) -> int:
        """The count after a line: live stitches, so none where its end takes all off the needle.

        It is that before where print tells it of the row in which they are to be bound off, and the count of its first
        time of a line that is worked again later (`2nd and alt rows`).
        """
        if line.label.also and self.after.get(index) is not None:
            return self.after[index] or 0
        rounds = run.done.get(index, [])
        if run.needle.stitches or len(rounds) < 2 or rounds[-1].before < 2:
            return run.needle.told
        off = "BO" in dict(rounds[-1].techniques) and _LATER.search(line.text.lower())
        return rounds[-1].before if off else 0

    def _as_worked(self, run: Run, turn: Turn, line: Line) -> Run:
        """The run after a line whose printed count disagrees, so that its rounds are counted none the less."""
        try:
            return self.candidates(run, turn, replace(line, printed=(), change=(), others=()))[0].run
        except WorkError:
            return run

    def _failed(self, run: Run, place: int, line: Line, error: WorkError) -> None:
        """Say what is wrong with a line, and go on from the count printed after it."""
        index = self.turns[place].index
        run.book.begin()
        self.failed, before = True, self.failed
        if error.kind in ("unread", "ambiguous"):
            run.forget(index)
        elif index not in run.done:
            run.history += [(row, times) for row, times in row_units(line, self.size)] or [(None, 1)]
        printed = trust.said(line, self.size) if error.kind != "unread" or trust.printed_apart(line) else None
        if printed is None and (error.kind in ("unread", "follows") or run.lost is not None):
            printed = trust.goal(line, self.size)
        if run.lost is not None or error.kind == "follows" or (before and "marker" in error.sentence):
            since = "" if run.lost is None else f" (line {run.lost + 1})"
            sentence = f"follows from a line before it that could not be read or worked{since}"
            self._tell(index, sentence, "follows", column=error.column)
            self.unsure.add(index)
        elif error.kind == "disagrees" and error.needle and (told := with_chains(line, error.needle, self.size)):
            self._tell(index, told, "ambiguous", column=error.column)
            run.needle = replace(error.needle, counted=trust.said(line, self.size))
            self.after[index] = run.needle.told
            return
        else:
            self._tell(index, error.sentence, error.kind, column=error.column, severity=ERROR)
        self.after[index] = error.needle.stitches if error.needle is not None and run.lost is None else None
        if printed is not None:
            run.needle, run.lost = trust.with_count(error.needle or trust.turned(run.needle), printed), None
            if (
                error.kind == "disagrees"
                and error.needle is not None
                and not candidates.works_from(run, self.turns[place + 1 :])
            ):
                trial = run.copy()
                trial.needle = error.needle
                if candidates.works_from(trial, self.turns[place + 1 :]):
                    run.needle = error.needle  # the lines after it stand on what was worked: the print is wrong
            if error.kind in ("disagrees", "misfit") and run.needle is not error.needle:
                run.faulty |= {line.text}
            if index in self.unsure or error.kind == "unread":
                self.after[index] = printed
        else:
            run.needle = error.needle or trust.turned(run.needle)
            unchanged = error.kind == "unread" and run.lost is None and self._unchanged(run, place)
            self.after[index] = run.needle.stitches if unchanged else self.after[index]
            run.lost = index if run.lost is None and error.needle is None and not unchanged else run.lost

    def _unchanged(self, run: Run, place: int) -> bool:
        """Whether a line that was not read left the stitches as they were, as the lines after it tell."""
        index = self.turns[place].index
        fits = candidates.changes_nothing(self.texts[index]) and candidates.only_fits(run, self.turns[place + 1 :])
        if fits:
            self._tell(index, "taken to leave the stitches as they are, since the lines after it fit them", "remark")
        return fits

    def line(self, run: Run, place: int, turn: Turn, line: Line) -> Run:
        """One line of the schedule; the run to go on with. Raises `WorkError` with the run left as it was."""
        self.tentative = []
        try:
            found = self.candidates(run, turn, line)
        except WorkError as error:
            weighed = [(each.tree, each.run) for each in self.tentative if error.kind == "unread" and run.lost is None]
            if (number := candidates.borne_later(weighed, self.turns[place + 1 :])) is None:
                raise
            return self._accept(self.tentative[number], turn, place)
        first = found[0]
        again = first.tree.parts and first.tree.parts[-1].__class__ is Again and candidates.of_a_part(first.tree)
        if again and (told := candidates.only_a_part(first, self.turns[place + 1 :])):
            if first.run.needle.stitches < run.needle.stitches:  # fewer are counted as a whole
                raise WorkError(told)
            self._tell(turn.index, told, "ambiguous", severity=ERROR)
        if len(found) == 1:
            return self._accept(first, turn, place)
        whole = not candidates.of_a_part(first.tree)  # where all stitches come to a count, no part of them is meant
        rivals = (
            each
            for each in found
            if each.cost < first.cost + trust.FAR and not (whole and candidates.of_a_part(each.tree))
        )
        near = [each for each in rivals if candidates.differs(each, first)]
        if not near:
            return self._accept(first, turn, place)
        found = [first, *near]
        works = [each for each in found if candidates.works_from(each.run, self.turns[place + 1 :])]
        if len(works) == 1:
            plain = works[0] is first and not first.note
            note = "" if plain else works[0].note or "read so that the lines after it fit: " + works[0].meaning
            return self._accept(replace(works[0], note=note, reading=()), turn, place)
        if len({each.run.needle.stitches for each in found}) == 1:
            return self._accept(first, turn, place)  # only where the next row begins is open
        alike = len({each.meaning for each in found}) == 1
        results = [stitches(each.run.needle.stitches) for each in found]
        ways = (result if alike else f"{each.meaning} ({result})" for each, result in zip(found, results, strict=True))
        counts = " or ".join(dict.fromkeys(ways))
        if all(each.cost > first.cost for each in near):
            return self._accept(replace(first, note=f"read in the usual way, of two: {counts}"), turn, place)
        sentence = f"can be read in more than one way, and the counts do not tell which: {counts}"
        self._tell(turn.index, sentence, "ambiguous", severity=ERROR)
        run = self._accept(replace(first, note=""), turn, place)
        run.lost = turn.index if run.lost is None and not first.tree.printed else run.lost
        return run

    def _accept(self, found: candidates.Candidate, turn: Turn, place: int) -> Run:
        run, tree = found.run, found.tree
        first, run.lines[turn.index] = run.lines[turn.index], tree
        notes = [found.note] if found.note else []
        done = run.done.get(turn.index, [])
        if done and done[0].row and done[-1].held and not run.needle.stitches and not run.needle.behind:
            notes.append(f"puts the last {stitches(done[-1].held)} aside, so that none is left on the needles")
        if found.again and found.note.startswith("read so that"):
            self.decided[turn.index] = found.again
        if tree.printed and turn.first:
            self.readings[turn.index] = unusual(found.reading)
        notes += [each.note for each in done if each.note and any(words in each.note for words in _TOLD)]
        if any(isinstance(part, Rows | Again | Charted | Shape) and part.measured for part in tree.parts):
            if self.counted:
                self.lengths.append(turn.index)
            else:
                notes.append(LENGTH)
        if run.book.assumed:
            against = run.book.charts == "trusted" and candidates.contradicted(run, self.turns[place + 1 :])
            notes.append(self._charts(run) + ("" if against else "; they are taken to leave the stitches as they are"))
            run.lost = turn.index if run.lost is None and against and not tree.printed else run.lost
        for note in notes:
            self._tell(turn.index, note, "remark")
        made = over_gaps(tree, self.size)
        if made and run.needle.counted == run.needle.stitches + made and turn.first:
            without = f"; without them there are {run.needle.stitches}" if counts_gaps(tree) else ""
            told = f"the {made} chains over openings are among the stitches counted{without}"
            self._tell(turn.index, told, "remark")
        if not tree.change and run.needle.counted is None and (chains := either_way(tree)):
            self.uncounted.add(turn.index)
            told = f"whether {chains} are among its stitches is not said, so that no count is given"
            self._tell(turn.index, told, "remark")
        if tree.crochet and (taken := trust.skip_open(tree)):
            told = "as a stitch" if taken == "counts" else "not to be a stitch"
            untold = "whether the chains at its beginning are a stitch is not said"
            self._tell(turn.index, f"{untold}; they are taken {told}", "remark")
        open_co = not tree.printed and not run.working.casts_on and _CO.search(tree.text) is not None
        open_co = open_co and not any(map(_OFF.search, self.texts))  # no words of its own for the other
        if open_co and any(each.before and "CO" in dict(each.techniques) for each in done):
            self._tell(turn.index, f"{READINGS['co']['on']}, if nothing else is said", "remark")
        likeliest = tree.cost if first is None else first.cost
        open_ = trust.doubtful(tree, found.reading, run.needle.flat, likeliest)
        rest = self.turns[place + 1 :]
        sure = (
            not open_
            or run.lost is not None
            or candidates.works_from(run, rest, to_a_count=True)
            or candidates.only_fits(run, rest)
        )
        for doubt in tree.doubts:
            borne = "the counts bear it out" if doubt.level or not sure else "it is taken for a remark"
            sentence = f"“{doubt.word}” was passed over; " + (borne if sure else NOTHING)
            column = tree.column(doubt.at)
            self._tell(turn.index, sentence, "remark", column=column, size=EVERY_SIZE)
        if not sure:
            run.lost = turn.index
            if open_ != "doubt":
                sentence = f"read so that it works out: {open_}; {NOTHING}"
                self._tell(turn.index, sentence, "ambiguous", size=EVERY_SIZE)
        return run

    def _charts(self, run: Run) -> str:
        """What is said of charts that are only named in the line at work."""
        return f"the rows of “{min(run.book.assumed)}” are not written out"

    def _compare_side(self, run: Run, turn: Turn, line: Line) -> None:
        side = line.label.side
        if not side or not run.needle.flat or side == run.needle.side:
            return
        last = run.rounds[-1] if run.rounds else None
        picked = last is not None and not last.row and "pu&k" in dict(last.techniques)
        if not run.count or picked:  # along an edge either side may face
            run.needle = replace(run.needle, side=side)
        elif turn.first and run.lost is None:
            faces = "right" if run.needle.side == "RS" else "wrong"
            self._tell(turn.index, f"is labelled {side}, but the {faces} side faces here", "remark")
