"""The pace learnt from captions, written where the paces from takes are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from lessonplan.course.files import locked
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, has_errors
from lessonplan.course.read import load
from lessonplan.edit.captions.reading import read_file
from lessonplan.edit.pace import Heard, hear
from lessonplan.planning.filmed import sealed
from lessonplan.shoot.takes.learnt import Learnt


@dataclass(frozen=True)
class Listened:
    """What captions gave for a course: what was heard, all that is learnt by now, problems, the file if written."""

    course: Course
    heard: Heard
    learnt: Learnt
    problems: tuple[Problem, ...]
    written: Path | None = None


def listen(folder: Path | str, files: Sequence[Path]) -> tuple[Listened | None, tuple[Problem, ...]]:
    """Learn the host's words a minute from captions of her earlier videos, and write them for the next plan.

    They replace what captions taught before; what takes taught stays. Where a file cannot be read as captions nothing
    is written. None, with the problems, where the folder is no course. Raises ``OSError`` when a file cannot be read or
    written.
    """
    home = Path(folder)
    loaded = load(home)
    if loaded.course is None:
        return None, loaded.problems
    heard = hear([read_file(path) for path in files], loaded.course.course.pace.speech)
    problems, written = list(heard.problems), None
    with locked(home):
        if has_errors(problems):
            problems.append(sealed.not_written())
        else:
            written, refused = sealed.write_learnt(home, lambda before: replace(before, captions=heard.learnt))
            problems += refused
        learnt = sealed.kept_learnt(home)
    return Listened(
        course=loaded.course, heard=heard, learnt=learnt, problems=tuple(problems), written=written
    ), loaded.problems
