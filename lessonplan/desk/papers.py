"""One paper of a plan, rendered when somebody looks at it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from lessonplan.building import Papers
from lessonplan.course.files import UnfitError
from lessonplan.planning.worked import Plan
from lessonplan.render.apart import MAX_SECONDS, StoppedError, apart
from lessonplan.render.pages import own_templates


class NoPaperError(Exception):
    """A paper that there is not, or that a course's own template keeps from being made; one plain sentence."""


def paper(plan: Plan, name: str, folder: Path, today: date, sends: str = "") -> bytes:
    """Render one document by its file's name, by the course's own templates where it has some.

    ``sends``: where the page on the table sends its take log. Raises `NoPaperError`.
    """
    if not own_templates(folder):
        return _paper(plan, name, None, today, sends)
    try:
        found = apart(_told, plan, name, folder, today, sends)
    except StoppedError:
        raise NoPaperError(f"The course's own templates were stopped: they take over {MAX_SECONDS:.0f} s.") from None
    if isinstance(found, str):
        raise NoPaperError(found)
    return found


def _told(plan: Plan, name: str, course: Path, today: date, sends: str) -> bytes | str:
    try:
        return _paper(plan, name, course, today, sends)
    except NoPaperError as bad:
        return str(bad)


def _paper(plan: Plan, name: str, course: Path | None, today: date, sends: str) -> bytes:
    try:
        with Papers(plan, course, today=today, sends=sends) as papers:
            return papers.file(name)
    except KeyError:
        raise NoPaperError(f"There is no paper “{name}” in this plan.") from None
    except UnfitError as bad:
        raise NoPaperError(str(bad.problem)) from None
