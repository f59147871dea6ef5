"""The steps from a folder to a plan: read it, work the pattern, choose the samples, lay out the knitting and the shoot.

``load`` reads and does the arithmetic, ``plan_worked`` chooses and lays out. All values are frozen; nothing is written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.model import Course
from lessonplan.course.problems import Problem, error, has_errors, in_reading_order
from lessonplan.course.read import load as read_folder
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.craft.standards import remarks
from lessonplan.pattern.colour import ends_remark, float_remarks
from lessonplan.pattern.facts import Fact, facts_of
from lessonplan.pattern.measures import measure_remarks
from lessonplan.pattern.minutes import questioned
from lessonplan.pattern.texts import check_texts, for_size
from lessonplan.pattern.ways import Way, as_filmed, ways_of
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.samples.calendar import Calendar
from lessonplan.samples.choice import NoPlanError, choose_problem
from lessonplan.samples.knitters import knitters_calendar, late_pieces
from lessonplan.samples.milp import Progress
from lessonplan.samples.pieces import (
    FilmedShot,
    TablePiece,
    drawer_remarks,
    film_size,
    impossible,
    ladder_of,
    question,
    table_pieces,
    with_plain_kinds,
)
from lessonplan.samples.plan import Choice
from lessonplan.samples.problem import Problem as Question
from lessonplan.shoot.clocks import ShotClock, shot_clocks
from lessonplan.shoot.day import Day, Listed, endless_days, filmed_shots, filming_order, late_days, run_days
from lessonplan.shoot.takes.learnt import Learnt, read_learnt


@dataclass(frozen=True, repr=False)
class Worked:
    """A course with its arithmetic done: what ``check`` needs and samples start from."""

    course: Course
    size: int
    pattern: WorkedPattern
    facts: Mapping[str, Fact]
    table: tuple[TablePiece, ...]
    clocks: Mapping[str, ShotClock]
    listed: tuple[Listed, ...]
    filmed: tuple[FilmedShot, ...]
    question: Question
    ways: tuple[Way, ...]

    def __repr__(self) -> str:
        return f"<Worked: {self.course!r}, {len(self.clocks)} shots, size {self.pattern.sizes[self.size]}>"


@dataclass(frozen=True, repr=False)
class Plan:
    """Everything computed from a course: the documents are made from this alone."""

    worked: Worked
    choice: Choice
    calendar: Calendar
    days: tuple[Day, ...]

    @property
    def course(self) -> Course:
        """The course that the plan is for."""
        return self.worked.course

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
    if loaded.course is None or any(p.severity == "error" and p.where.file == "pattern.yaml" for p in loaded.problems):
        return Result(None, None, loaded.problems, loaded.files)
    worked, found = _work(loaded.course, loaded.problems)
    problems = in_reading_order((*loaded.problems, *found), loaded.files)
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
        *remarks(course.pattern),
        *float_remarks(course.pattern),
        *ends_remark(as_filmed(course.pattern), pattern),
    ]
    facts = facts_of(course, pattern, [way.worked for way in ways[1:]])
    problems += measure_remarks(course.pattern, facts)
    problems += check_texts(course, facts)
    if has_errors(problems) or not known_size:
        return None, problems
    table, wrong = table_pieces(course, pattern)
    problems += wrong
    size = film_size(course)
    ladder = ladder_of(course, pattern)
    clocks, wrong = shot_clocks(course, pattern, table, ladder, for_size(facts, size))
    problems += wrong
    listed = filming_order(course)
    problems += endless_days(course, listed, clocks)
    if has_errors((*before, *problems)):
        return None, problems
    filmed = filmed_shots(course, listed, clocks)
    asked = question(course, pattern, table, filmed, ladder)
    problems += impossible(asked, table)
    return Worked(course, size, pattern, facts, table, clocks, listed, filmed, asked, ways=ways), problems


def named_learnt(course: Course, folder: Path) -> tuple[Learnt, tuple[Problem, ...]]:
    """Read the file of learnt paces that a course names (none: no paces), and what is wrong with it.

    It lies in the course's folder. Raises ``OSError`` when it is there and cannot be read.
    """
    name, where = course.course.learnt, course.course.mark("learnt")
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
    if not learnt.estimates:
        return course, problems
    pace = course.course.pace
    new = {
        one.name: one.value
        for one in learnt.estimates
        if one.name in type(pace).model_fields and one.name not in pace.model_fields_set
    }
    file = course.course.model_copy(update={"pace": pace.model_copy(update=new)})
    return course.model_copy(update={"course": file}), problems


def ask(worked: Worked) -> Worked:
    """Lay out the filming and put the question anew, after something in a worked course was changed."""
    filmed = filmed_shots(worked.course, worked.listed, worked.clocks)
    asked = question(worked.course, worked.pattern, worked.table, filmed, worked.question.ladder)
    return replace(worked, filmed=filmed, question=asked)


def plan_worked(
    worked: Worked, time_limit: float = 30.0, progress: Progress | None = None
) -> tuple[Plan | None, tuple[Problem, ...]]:
    """Choose the samples and lay out the days of a course whose arithmetic is done.

    ``progress`` is told now and then how the choice goes: seconds spent, best cost so far and proven bound.
    """
    try:
        choice = with_plain_kinds(choose_problem(worked.question, time_limit=time_limit, progress=progress))
    except NoPlanError as none:
        where = worked.course.course.mark("samples")
        return None, (Problem(where, "error", "no-plan", f"No set of samples was found: {none}."),)
    days = run_days(worked.course, worked.listed, worked.clocks, choice)
    calendar = knitters_calendar(worked.course, worked.pattern, worked.question, worked.filmed, choice)
    problems = (
        *drawer_remarks(worked.course, choice.unused),
        *late_pieces(worked.course, calendar),
        *late_days(worked.course, days),
    )
    return Plan(worked, choice, calendar, days), problems


__all__ = ["Plan", "Result", "Worked", "ask", "load", "named_learnt", "plan_worked"]
