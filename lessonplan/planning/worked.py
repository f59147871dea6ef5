"""The steps from a folder to a plan: read it, work the pattern, choose the samples, lay out the knitting and the shoot.

``load`` reads and does the arithmetic, ``plan_worked`` chooses and lays out. All values are frozen; nothing is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, error, first_of, has_errors, in_reading_order, warning
from lessonplan.course.read import load as read_folder
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.craft.standards import remarks
from lessonplan.craft.words import words_of
from lessonplan.pattern.amounts.minutes import questioned
from lessonplan.pattern.colour import float_remarks, strands_remark
from lessonplan.pattern.colourpairs import colour_remarks
from lessonplan.pattern.facts import Fact, facts_of
from lessonplan.pattern.shape.measures import comes_out_in_order, ease_remarks, measure_remarks
from lessonplan.pattern.texts import check_texts, for_size
from lessonplan.pattern.variants.ways import Way, as_filmed, ends_remarks, ways_of
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.planning.agreed.hands import Hands, hands_of, with_hands
from lessonplan.planning.asking import question, told_apart
from lessonplan.planning.filmed.keptcaptions import Kept
from lessonplan.remembered import remembered
from lessonplan.samples.agreed import at_their_shots, standings
from lessonplan.samples.calendar.jobs import Calendar
from lessonplan.samples.choice import Choice, NoPlanError, Piece, Progress, Question
from lessonplan.samples.knitters import knitters_calendar, late_pieces
from lessonplan.samples.pieces import Kinds, TablePiece, film_size, kinds_of, ladders_of, table_pieces
from lessonplan.shoot.carried import misfits
from lessonplan.shoot.clocks import ShotClock, shot_clocks
from lessonplan.shoot.day import Breaks, Day, Listed, breaks_of, endless_days, filming_order, late_days, run_days
from lessonplan.shoot.slots import Slot, slots_of
from lessonplan.shoot.takes.learnt import Learnt, questioned_speech
from lessonplan.shoot.takes.learntfile import read_learnt
from lessonplan.shoot.takes.log import Take

LEARNT = "learnt.yaml"
"""The file of learnt paces that is used without being named."""
LUNCH_OFF = 30.0
"""Lunch may begin so many minutes later than it is planned before it is moved: a planning guess, from memory."""
AGREEING = 4
"""So often are breaks moved to where they fall with the camera's waits; then they stay where they are."""


@dataclass(frozen=True, repr=False)
class Worked:
    """A course with its arithmetic done: what ``check`` needs and samples start from.

    ``kinds``: the pattern as each kind of piece is worked in the film size. ``slots``: the time of the shoot, laid out
    without waits of the camera, with its ``breaks``; the ``question`` of the samples is put for these. ``hands``: the
    knitters' paces as far as they were learnt; the course has them. ``today``: the day from which work is planned.
    """

    course: Course
    size: int
    pattern: WorkedPattern
    facts: Mapping[str, Fact]
    kinds: Kinds
    table: tuple[TablePiece, ...]
    clocks: Mapping[str, ShotClock]
    listed: tuple[Listed, ...]
    breaks: Breaks
    slots: tuple[Slot, ...]
    question: Question
    ways: tuple[Way, ...]
    hands: tuple[Hands, ...] = ()
    today: date | None = None

    @property
    def word(self) -> Callable[[str], str]:
        """Gives a fact by its name as it is said of the size that is filmed."""
        return for_size(self.facts, self.size)

    @property
    def order(self) -> list[str]:
        """The numbers of the shots in the order in which they are filmed."""
        return [str(item.number) for item in self.listed]

    def __repr__(self) -> str:
        return f"<Worked: {self.course!r}, {len(self.clocks)} shots, size {self.pattern.sizes[self.size]}>"


@dataclass(frozen=True, repr=False, eq=False)
class Plan:
    """Everything computed from a course: the documents are made from this alone.

    ``takes``: what is filmed so far; ``captions``: what was said in the finished videos. ``again``: it is of pick-up
    shots alone, which only papers of the day are made of. A plan is equal to itself only, so that what is worded or
    drawn of it can be remembered.
    """

    worked: Worked
    choice: Choice
    calendar: Calendar
    days: tuple[Day, ...]
    takes: tuple[Take, ...] = ()
    captions: tuple[Kept, ...] = ()
    again: bool = False

    @property
    def course(self) -> Course:
        """The course that the plan is for."""
        return self.worked.course

    def piece(self, letter: str) -> Piece:
        """Give the piece that has a letter."""
        return next(one for one in self.choice.pieces if one.name == letter)

    def day_of(self, number: str) -> Day:
        """Give the day on which a shot is filmed."""
        return next(day for day in self.days if any(entry.number == number for entry in day.entries))

    def __repr__(self) -> str:
        return f"<Plan: {self.course!r}, {len(self.choice.pieces)} pieces, {len(self.days)} shoot days>"


@dataclass(frozen=True, repr=False)
class Result:
    """What a step gave: its value, unless errors stood in the way, and every problem, the files in order."""

    worked: Worked | None
    plan: Plan | None
    problems: tuple[Problem, ...]
    files: tuple[str, ...] = ()

    def __repr__(self) -> str:
        value = "a plan" if self.plan else "worked" if self.worked else "nothing"
        return f"<Result: {value}, {len(self.problems)} problems>"


def load(folder: Path | str, *, use_learnt: bool = True) -> Result:
    """Read a course folder and do its arithmetic. Raises ``OSError`` when a file cannot be read.

    Paces that the course leaves open are taken from its ``learnt`` file, unless ``use_learnt`` is False.
    """
    loaded = read_folder(Path(folder))
    if loaded.course is not None and use_learnt:
        course, told = with_learnt(loaded.course, Path(folder))
        loaded = replace(loaded, course=course, problems=(*loaded.problems, *told))
    left = loaded.course or loaded.rest
    if left is None or any(p.severity == "error" and p.where.file == "pattern.yaml" for p in loaded.problems):
        return Result(None, None, loaded.problems, loaded.files)
    worked, found = _work(left, loaded.problems)
    said = loaded.problems
    if worked:
        filmed = as_filmed(worked.course.pattern)
        said = tuple(one for one in said if not comes_out_in_order(filmed, worked.pattern, one))
    problems = in_reading_order((*said, *found), loaded.files)
    return Result(None if has_errors(problems) else worked, None, problems, loaded.files)


def _work(course: Course, before: tuple[Problem, ...]) -> tuple[Worked | None, list[Problem]]:
    """Work the pattern and everything that follows from it without choosing, collecting what is wrong.

    ``before`` is what was found wrong in reading: states are not looked at while it is not known which size is filmed,
    and the question of samples is not put while there are errors.
    """
    known_size = all(problem.code not in ("unknown-size", "film-size") for problem in before)
    ways, wrong = ways_of(course.pattern)
    pattern = ways[0].worked
    problems = [
        *wrong,
        *questioned(course),
        *questioned_speech(course),
        *remarks(course.pattern),
        *float_remarks(course.pattern),
        *colour_remarks(course.pattern, pattern),
    ]
    facts = facts_of(course, pattern, [way.worked for way in ways[1:]])
    unknown = course.pattern.stages if has_errors(wrong) else ()
    if not has_errors(wrong):  # else what is measured and counted is not what was meant
        problems += strands_remark(pattern)
        problems += ends_remarks(course.pattern, ways)
        problems += measure_remarks(course.pattern, facts)
        problems += ease_remarks(course.pattern, pattern, facts)
    problems += first_of(check_texts(course, facts, unknown))
    if has_errors(problems) or not known_size:
        return None, problems
    kinds, short = kinds_of(course, pattern)
    table, wrong = table_pieces(course, kinds)
    problems += [*short, *(one for one in wrong if not (short and "cannot be worked in this kind" in one.message))]
    problems += standings(course, kinds)[1]
    hands, wrong = hands_of(course, kinds)
    course = with_hands(course, hands)
    problems += wrong
    size = film_size(course)
    clocks, wrong = shot_clocks(course, kinds, table, for_size(facts, size))
    problems += wrong
    listed = filming_order(course)
    problems += endless_days(course, listed, clocks)
    if has_errors((*before, *problems)):
        return None, problems
    breaks, slots, asked = _asked(course, kinds, table, clocks, listed, None)
    worked = Worked(
        course=course,
        size=size,
        pattern=pattern,
        facts=facts,
        kinds=kinds,
        table=table,
        clocks=clocks,
        listed=listed,
        breaks=breaks,
        slots=slots,
        question=asked,
        ways=ways,
        hands=hands,
    )
    return worked, [*problems, *_impossible(worked)]


def _asked(
    course: Course,
    kinds: Kinds,
    table: tuple[TablePiece, ...],
    clocks: Mapping[str, ShotClock],
    listed: tuple[Listed, ...],
    breaks: Breaks | None,
) -> tuple[Breaks, tuple[Slot, ...], Question]:
    """Lay the days out without waits, with the breaks at their places if these are known, and put the question."""
    days = run_days(course, listed, clocks, {}, breaks)
    slots = slots_of(course, listed, days, told_apart(table))
    ladders = ladders_of(course, kinds, None, pace_on_set(course))
    return breaks_of(days), slots, question(course, kinds, table, ladders, slots, [item.number for item in listed])


def pace_on_set(course: Course) -> float:
    """The pace at which pieces are knitted on between shots: of the slowest of the host and the helpers there are."""
    file = course.course
    names = {name for day in file.shoot for name in day.helpers}
    return min([file.pace.knitting, *(one.pace for one in file.knitters if one.name in names)])


def _impossible(worked: Worked) -> Iterator[Problem]:
    """Report the shots for which no piece of an accepted kind can exist."""
    where = {piece.name: piece.where for piece in worked.table}
    for demand in worked.question.demands:
        why = worked.question.why_impossible(demand)
        if why and demand.name in where:
            yield error(where[demand.name], "no-piece", f"Shot {demand.name}: {why}.")


def named_learnt(course: Course, folder: Path) -> tuple[Learnt, tuple[Problem, ...]]:
    """Read the file of learnt paces that a course names, or has without naming it, and what is wrong with it.

    It lies in the course's folder. Raises ``OSError`` when it is there and cannot be read.
    """
    where = course.course.mark("learnt")
    name = course.course.learnt or (LEARNT if (folder / LEARNT).is_file() else "")
    if not name:
        return Learnt(()), ()
    try:
        data = read_plain(inside(folder, name, where), where, MAX_BYTES)
    except UnfitError as bad:
        return Learnt(()), (bad.problem,)
    except (FileNotFoundError, NotADirectoryError):
        hint = "Write it with: lessonplan takes COURSE LOG --learn"
        return Learnt(()), (error(where, "no-learnt", f"There is no file {name}.", hint),)
    return read_learnt(data, name)


def with_learnt(course: Course, folder: Path) -> tuple[Course, tuple[Problem, ...]]:
    """Put the learnt paces in where the course gives none itself, and report a learnt file that cannot be used."""
    learnt, problems = named_learnt(course, folder)
    if not learnt.used:
        return course, problems
    pace = course.course.pace
    new = {one.name: one.value for one in learnt.used if one.name in open_paces(course)}
    takes = round(new.pop("takes", 0))
    file = course.course.model_copy(update={"pace": pace.model_copy(update=new)})
    silent = {one.number: one.shot for one in course.shots() if "takes" not in one.shot.model_fields_set}
    shots = {number: shot.model_copy(update={"takes": takes}) for number, shot in silent.items() if takes}
    return course.model_copy(update={"course": file}).with_shots(shots), problems


def open_paces(course: Course) -> frozenset[str]:
    """Give the paces that a course leaves open, so that learnt ones are used; ``takes`` are those of each shot."""
    pace = course.course.pace
    return frozenset({*type(pace).model_fields} - pace.model_fields_set) | {"takes"}


def ask(worked: Worked, breaks: Breaks | None = None) -> Worked:
    """Lay out the filming and put the question anew, after something in a worked course was changed."""
    pinned, slots, asked = _asked(worked.course, worked.kinds, worked.table, worked.clocks, worked.listed, breaks)
    return replace(worked, breaks=pinned, slots=slots, question=asked)


def slots_in_order(worked: Worked) -> tuple[Slot, ...]:
    """Lay out the filming of a course whose shots stand in another order, without the question that costs more."""
    days = run_days(worked.course, worked.listed, worked.clocks, {})
    return slots_of(worked.course, worked.listed, days, told_apart(worked.table))


def waits_of(worked: Worked, choice: Choice) -> dict[int, float]:
    """Give the minutes that the camera waits after each shot, by its index in filming order."""
    waits: dict[int, float] = {}
    for wait in choice.waits:
        shot = worked.slots[wait.slot].shot
        waits[shot] = waits.get(shot, 0.0) + wait.minutes
    return waits


def settle(worked: Worked, progress: Progress | None = None) -> tuple[Worked, Choice, tuple[Day, ...]]:
    """Choose the samples and lay out the days so that both speak of the same pauses.

    The choice counts the pauses of a day whose breaks have their places. Waits of the camera may then push lunch so
    late that it belongs elsewhere: it is moved there, and all is chosen anew. Raises `NoPlanError`.
    """
    for tried in range(AGREEING + 1):
        choice = _chosen(worked.question, progress or _silent)
        waits = waits_of(worked, choice)
        days = run_days(worked.course, worked.listed, worked.clocks, waits, worked.breaks)
        if tried == AGREEING or not _lunch_is_off(worked, days):
            break
        free = run_days(worked.course, worked.listed, worked.clocks, waits)
        if breaks_of(free) == worked.breaks:
            break
        worked = ask(worked, breaks_of(free))
    return worked, at_their_shots(worked.question.ready, choice), days


@remembered(4, equal=True)
def _chosen(question: Question, progress: Progress) -> Choice:
    """The choice for a question; words that are edited leave it as it is. Raises `NoPlanError`."""
    from lessonplan.samples.choice.choose import choose  # loads the solver, which the arithmetic alone never needs

    return choose(question, progress=progress)


def _silent(best: float | None, bound: float | None) -> None:
    """Tell nobody how the choice goes."""


def _lunch_is_off(worked: Worked, days: tuple[Day, ...]) -> bool:
    lunches = {day.number: one.start for day in days for one in day.entries if one.kind == "lunch"}
    planned = {number: day.lunch for number, day in enumerate(worked.course.course.shoot)}
    return any(lunch and lunches.get(number, 0.0) > lunch.at + LUNCH_OFF for number, lunch in planned.items())


def plan_worked(
    worked: Worked, progress: Progress | None = None, lettered: Callable[[Choice], Choice] | None = None
) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Choose the samples and lay out the days of a course whose arithmetic is done.

    ``progress`` is told now and then how the choice goes: how much is done, best cost so far and proven bound;
    ``lettered`` gives the pieces other letters than they would have.
    """
    try:
        worked, choice, days = settle(worked, progress)
        choice = lettered(choice) if lettered else choice
    except NoPlanError as none:
        where = worked.course.course.mark("samples")
        return None, (Problem(where, "error", "no-plan", f"No set of samples was found: {none}."),)
    filmed = {piece.name: first_day(worked, piece.stops[0].slot) for piece in choice.pieces}
    calendar = knitters_calendar(worked.course, worked.kinds, worked.question, filmed, choice, worked.today)
    problems = (
        *_unused(worked.course, choice),
        *late_pieces(worked.course, calendar),
        *late_days(worked.course, days),
        *misfits(worked.course, worked.listed, worked.slots, days, choice),
    )
    return Plan(worked, choice, calendar, days), problems


def first_day(worked: Worked, slot: int) -> date:
    """Give the shoot day that a slot belongs to."""
    return worked.course.course.shoot[worked.listed[worked.slots[slot].shot].day].day


def due_day(plan: Plan, piece: Piece) -> date:
    """Give the day by whose end a piece must be ready: the eve of its first shoot day, less the days to spare."""
    return first_day(plan.worked, piece.stops[0].slot) - timedelta(days=1 + plan.course.course.samples.days_to_spare)


def _unused(course: Course, choice: Choice) -> Iterator[Problem]:
    """Say which pieces in the drawer, or agreed with the knitters, serve no shot."""
    for item in course.course.samples.drawer:
        if item.name in choice.unused:
            yield warning(item.mark("name"), "drawer", f"“{item.name}” from the drawer serves no shot.")
    for piece in course.agreed.pieces if course.agreed else ():
        if not piece.drawer and piece.letter in choice.unused:
            what = f"Piece {piece.letter} was agreed, and no shot needs it any more."
            maker = words_of(course.pattern).maker
            yield warning(piece.mark("letter"), "not-needed", what, f"Tell its {maker}, and take it out here.")
