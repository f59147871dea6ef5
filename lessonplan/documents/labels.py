"""Labels: a tag for each piece, to be cut out and tied to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import listing
from lessonplan.craft.words import words_of
from lessonplan.documents.floorwork import floor_jobs
from lessonplan.documents.marks import Code, shared
from lessonplan.documents.notions import inside, marked
from lessonplan.documents.standins import spoilt_in
from lessonplan.documents.stints import all_stints
from lessonplan.documents.tasks import OnEveryCard, Task, needle_of, tasks_of
from lessonplan.documents.wording import on_tools
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece


@dataclass(frozen=True, slots=True)
class Label(OnEveryCard):
    """One tag; its square code holds the piece's own name and nothing else.

    ``stop`` is where, with what on the needle; ``left`` what is not done then: ``before`` says that it is so until the
    shoot only, where a shot or somebody at it goes on with the piece. ``then``: what is worked on it between its shots:
    when, by whom, the new stop, and what is not done then with what else is new. ``kept_for``: that it is kept to stand
    in for one that is spoilt.
    """

    stop: str
    left: str
    before: str
    then: tuple[tuple[str, str, str], ...]
    kept_for: str
    whose: str
    code: Code


@dataclass(frozen=True, slots=True)
class LabelsView:
    """The tags of all pieces of a course."""

    title: str
    course: str
    labels: tuple[Label, ...]


def labels_view(plan: Plan) -> LabelsView:
    """Lay out a tag for each piece, by its letter."""
    return LabelsView("Labels", plan.course.course.title, tuple(_label(plan, task) for task in tasks_of(plan)))


def _then(plan: Plan, letter: str) -> Iterator[tuple[str, str, str]]:
    """Word each work on a piece between its shots; where it is gone on with after a wrap, once."""
    begun, tool = dict[str, str](), words_of(plan.course.pattern).tool
    unless: dict[str, str] = {
        shot_of(one.stop.demand): one.unless for one in all_stints(plan) if one.piece.name == letter
    }
    piece = plan.piece(letter)
    on, has = needle_of(plan, piece, piece.first), inside(plan, piece.kind, piece.first)
    for day in plan.days:
        for job in floor_jobs(plan, day):
            if job.piece != letter or job.between:
                continue
            when = f"day {day.number + 1}, {job.start}, {job.who}"
            since = begun.setdefault(job.number, when)
            if job.stop:
                goal = next(stop.start for stop in piece.stops if shot_of(stop.demand) == job.number)
                needle = needle_of(plan, piece, goal)
                then = inside(plan, piece.kind, goal)
                new = [f"on {on_tools(needle, tool)}"] if needle not in ("", on) else []
                new += [f"with {marked(then)}"] if marked(then) and then["markers"] != has["markers"] else []
                stop, left = _parted(job.stop)
                rest = " ".join(text for text in (left, f"Now {', '.join(new)}." if new else "") if text)
                more = f" (the rest {job.start})" if since != when else ", and between its takes" if job.partly else ""
                perhaps = f", {unless[job.number]}," if unless[job.number] else ""
                yield f"Then{perhaps} for {job.number}, {since}{more}", stop, rest
                on, has = needle or on, then


def _before(piece: Piece, then: bool) -> str:
    """Say that a stop is for before the shoot alone; where only the host on camera goes on, in which shots."""
    moved = dict.fromkeys(shot_of(one.demand) for one in piece.stops if one.end != one.start and not one.spare)
    if all(one.start == one.end == piece.first for one in piece.stops):
        return ""
    return "Before the shoot" if then or not moved else f"Before the shoot; on camera it goes on in {listing([*moved])}"


def _kept_for(plan: Plan, letter: str) -> str:
    shots = spoilt_in(plan, letter)
    return f"to stand in if one is spoilt: {listing(shots)}" if shots else ""


def _parted(stop: str) -> tuple[str, str]:
    """Part a stop from what is left for others: a tag has room for one bold line."""
    where, semicolon, left = stop.partition("; do not ")
    return (f"{where}.", f"Do not {left}") if semicolon else (stop, "")


def _whose(task: Task) -> str:
    """Say who knits it by when, or what it comes from where there is nothing to knit."""
    if task.knitter:
        return f"{task.knitter}, done by {task.due}."
    return f"{task.begun}." if task.begun else ""


def _label(plan: Plan, task: Task) -> Label:
    stop, left = _parted(task.stop)
    then = tuple(_then(plan, task.letter))
    piece = plan.piece(task.letter)
    return Label(
        **shared(task, OnEveryCard),
        stop=stop,
        left=left,
        before=_before(piece, bool(then)),
        then=then,
        kept_for=_kept_for(plan, task.letter),
        whose=_whose(task),
        code=Code(f"Piece {task.letter}"),
    )
