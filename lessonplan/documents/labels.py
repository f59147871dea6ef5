"""Labels: a tag for each piece, to be cut out and tied to it."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.documents.marks import Code, Marked
from lessonplan.documents.tasks import Task, tasks_of
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Label:
    """One tag; its square code holds the piece's own name and nothing else."""

    letter: str
    kind: str
    size: str
    stop: str
    needle: str
    ball: str
    slates: str
    notes: tuple[Marked, ...]
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
    return LabelsView("Labels", plan.course.course.title, tuple(_label(task) for task in tasks_of(plan)))


def _whose(task: Task) -> str:
    """Say who knits it by when, or what it comes from where there is nothing to knit."""
    if task.knitter:
        return f"{task.knitter}, done by {task.due}."
    return f"{task.begun}." if task.begun else ""


def _label(task: Task) -> Label:
    return Label(
        letter=task.letter,
        kind=task.kind,
        size=task.size,
        stop=task.stop,
        needle=task.needle,
        ball=task.ball,
        slates=task.slates,
        notes=task.notes,
        whose=_whose(task),
        code=Code(f"Piece {task.letter}"),
    )
