"""The plan of the course kept in memory: made anew when a file changes, the latest wins; papers rendered on asking."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from lessonplan.building import Papers
from lessonplan.commands.watching import stamps
from lessonplan.course.files import UnfitError
from lessonplan.course.problems import Where, error
from lessonplan.edit.problems import with_edit
from lessonplan.edit.proof.typed import with_typed
from lessonplan.planning.plan import plan as plan_course
from lessonplan.planning.worked import Plan, Result
from lessonplan.publish.remarks import remarked
from lessonplan.render.apart import MAX_SECONDS, StoppedError, apart
from lessonplan.render.pages import own_templates
from lessonplan.terminal import fault

_PATIENCE = 10.0
"""So many seconds a page waits for a new plan; then it shows the old one, and is renewed when the new one comes."""
_BREATH = 0.15
"""So many seconds the remarks wait: the pages fetch their document meanwhile, and are not held up."""


class NoPaperError(Exception):
    """A paper that there is not, or that a course's own template keeps from being made; one plain sentence."""


class _NewerError(Exception):
    """A file changed while the plan was made: it is begun anew."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How the course stands: what the last planning gave, and the last plan without errors, if there was any.

    ``number`` counts the plannings, from 1; ``whole`` is False until the remarks on the plan are worked out too.
    """

    number: int
    result: Result
    plan: Plan | None
    whole: bool

    @property
    def old(self) -> bool:
        """Whether the plan is from before the present errors."""
        return self.result.plan is None and self.plan is not None


class Planner:
    """Plans a course in a thread of its own, again whenever it is asked to, and tells of every standing.

    ``told`` is called from that thread. ``planned`` as well, after each plan without errors.
    """

    def __init__(self, folder: Path, today: Callable[[], date], sends: str = "") -> None:
        self.folder, self._today, self._sends = folder, today, sends
        self.told: Callable[[Standing], None] = lambda standing: None
        self.planned: Callable[[Plan], None] = lambda plan: None
        self._wanted, self._ended = threading.Event(), threading.Event()
        self._first, self._idle, self._asking = threading.Event(), threading.Event(), threading.Lock()
        self._rendering = threading.Lock()
        self._held: dict[tuple[int, date], dict[str, bytes | NoPaperError]] = {}
        self._looked = ""
        self._seen: dict[Path, tuple[int, int]] = {}
        self._standing = Standing(0, Result(None, None, ()), None, True)
        self._thread = threading.Thread(target=self._run, name="planner", daemon=True)

    def start(self) -> None:
        """Begin with the first plan."""
        self._wanted.set()
        self._thread.start()

    def ask(self) -> None:
        """Ask for a new plan, if a file is not as it was when the last one was begun."""
        with self._asking:
            if stamps(self.folder) != self._seen:
                self._idle.clear()
                self._wanted.set()

    def settle(self) -> None:
        """Ask for a new plan and wait for it, so that the next page shows what was just changed."""
        self.ask()
        self._idle.wait(_PATIENCE)

    def end(self) -> None:
        """Let the thread end after what it is at."""
        self._ended.set()
        self._wanted.set()
        self._thread.join(5)

    def standing(self) -> Standing:
        """Give how the course stands; the first time it is waited for."""
        self._first.wait(60)
        return self._standing

    def paper(self, name: str) -> tuple[bytes, Standing]:
        """Render a document of the last plan without errors, once for each plan.

        Raises `NoPaperError`, ``LookupError`` while there is no plan at all.
        """
        standing = self.standing()
        if standing.plan is None:
            raise LookupError
        self._looked = name if name.endswith(".html") else self._looked
        return self._once(standing.plan, standing.number, name), standing

    def _once(self, plan: Plan, number: int, name: str) -> bytes:
        with self._rendering:  # one at a time: they share the caches of the templates
            today = self._today()
            made = self._held.setdefault((number, today), {})
            if name not in made:
                try:
                    made[name] = _made(plan, name, self.folder, today, self._sends)
                except NoPaperError as bad:
                    made[name] = bad  # a template that runs for ever does so once
            for old in sorted(self._held)[:-2]:
                del self._held[old]
            found = made[name]
            if isinstance(found, NoPaperError):
                raise NoPaperError(str(found))
            return found

    def _run(self) -> None:
        while True:
            self._wanted.wait()
            self._wanted.clear()
            if self._ended.is_set():
                return
            try:
                self._plan()
            except _NewerError:
                continue
            except OSError as bad:
                where = Where(Path(bad.filename or "").name or str(self.folder), 0, 0)
                self._seen = {}  # it may have been for a moment: at the next look it is tried again
                failed = _failed(where, "no-file", f"This cannot be read: {bad.strerror or bad}.")
                if failed.problems == self._standing.result.problems:
                    self._rest()
                else:
                    self._tell(failed)
            except Exception:  # the page stays, whatever happens; what it was is kept in a file
                self._tell(_failed(Where("course.yaml", 0, 0), "fault", fault()))

    def _plan(self) -> None:
        self._seen = stamps(self.folder)
        result = plan_course(self.folder, progress=self._progress, today=self._today())
        plan, number = result.plan, self._standing.number + 1
        if plan and self._looked:
            try:
                self._once(plan, number, self._looked)  # first of all what somebody looks at
            except Exception:
                self._looked = ""
        self._tell(result, whole=False)
        if self._wanted.wait(_BREATH):
            raise _NewerError
        self._tell(remarked(with_edit(with_typed(result))), number=number)
        if plan:
            self.planned(plan)

    def _tell(self, result: Result, *, whole: bool = True, number: int = 0) -> None:
        standing = Standing(number or self._standing.number + 1, result, result.plan or self._standing.plan, whole)
        self._standing = standing
        self._first.set()
        self._rest()
        self.told(standing)

    def _rest(self) -> None:
        with self._asking:
            if not self._wanted.is_set():
                self._idle.set()

    def _progress(self, best: float | None, bound: float | None) -> None:
        if self._wanted.is_set():
            raise _NewerError


def _failed(where: Where, code: str, sentence: str) -> Result:
    return Result(None, None, (error(where, code, sentence),))


def _made(plan: Plan, name: str, folder: Path, today: date, sends: str) -> bytes:
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
