"""The addresses of the desk: pages of the course's files, its documents, and the news of each plan."""

from __future__ import annotations

import asyncio
import hashlib
import html
import json
import re
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from difflib import unified_diff
from functools import partial
from pathlib import Path
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route

from lessonplan.beginning.folder import is_free
from lessonplan.course.files import FOLDERS
from lessonplan.course.words import count_of
from lessonplan.desk import views
from lessonplan.desk.forms.shapes import model_of_file
from lessonplan.desk.guard import POLICY, Guard, TooMuchError
from lessonplan.desk.inbox import Inbox
from lessonplan.desk.pages import asset, desk_page
from lessonplan.desk.planner import NoPaperError, Planner, Standing
from lessonplan.desk.store import FULL, MeanwhileError, RefusedError, Store, is_full
from lessonplan.render.pages import own_templates
from lessonplan.terminal import fault, tell

SENDS = "/takes"
"""Where the page on the table sends its take log."""
_KINDS = {
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "ics": "text/calendar; charset=utf-8",
    "vtt": "text/vtt; charset=utf-8",
    "atom": "application/atom+xml; charset=utf-8",
    "otio": "application/json",
}
_LOOK = 2000
"""Milliseconds after which the folder is looked at in any case: what watches it may have lost it."""
_OWN_POLICY = re.compile(rb'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')
_LOOSE = "sandbox allow-same-origin allow-popups allow-popups-to-escape-sandbox allow-downloads allow-modals"
"""What a document may do besides: send no form, nor lead the desk around it elsewhere."""
_NEW = re.compile(r"(?:captions/\d[\w.-]*\.(?:vtt|srt|txt)|templates/[\w.-]+\.[a-z]{2,4}|[\w-]+\.md)")


@dataclass
class Desk:
    """One course on the desk: its files, its plan, and who is to hear of a new one."""

    folder: Path
    now: Callable[[], datetime]
    tablet: str = ""
    store: Store = field(init=False)
    planner: Planner = field(init=False)
    inbox: Inbox = field(init=False)
    _hearing: set[asyncio.Queue[Standing]] = field(default_factory=set)

    def __post_init__(self) -> None:
        """Make the store and the planner ready; nothing is read yet."""
        self.store = Store(self.folder, self.now)
        self.inbox = Inbox(self.store)
        self.planner = Planner(self.folder, lambda: self.now().date(), SENDS)
        self.planner.planned = lambda plan: self._take_in()

    def frame(self) -> views.Frame:
        """Lay out what every page shows."""
        return views.frame(self.store, self.planner.standing(), self.now().date())

    def _take_in(self) -> None:
        """Take in the logs that had to wait until the course can be planned."""
        with suppress(RefusedError, OSError):  # they wait on; a plan is none the worse for it
            if self.inbox.waiting():
                self.inbox.take_in()

    def tell(self, loop: asyncio.AbstractEventLoop, standing: Standing) -> None:
        """Hand a standing to every page that is open, from the planner's thread."""

        def put() -> None:
            """Tell everybody who listens how the plan stands."""
            for queue in self._hearing:
                queue.put_nowait(standing)

        loop.call_soon_threadsafe(put)

    async def news(self) -> AsyncIterator[str]:
        """Give the standing now and every later one, as server-sent events; a remark every 15 s keeps the line open."""
        queue: asyncio.Queue[Standing] = asyncio.Queue()
        self._hearing.add(queue)
        try:
            standing = await run_in_threadpool(self.planner.standing)
            yield await run_in_threadpool(self._event, standing)
            while True:
                try:
                    async with asyncio.timeout(15):
                        standing = await queue.get()
                except TimeoutError:
                    yield ": still here\n\n"
                else:
                    yield await run_in_threadpool(self._event, standing)
        finally:
            self._hearing.discard(queue)

    def _event(self, standing: Standing) -> str:
        frame = views.frame(self.store, standing, self.now().date())
        told = {"number": standing.number, "state": frame.state, "wrong": views.state_of(standing, self.folder)[1]}
        told |= {"whole": standing.whole, "title": frame.title, "undo": frame.undo, "redo": frame.redo}
        return f"data: {json.dumps(told)}\n\n"


def desk_of(request: Request) -> Desk:
    """Give the desk that a request is for."""
    desk: Desk = request.app.state.desk
    return desk


def home(request: Request) -> Response:
    """Show the first page."""
    return _show_home(desk_of(request), "home.html.j2", {})


def home_part(request: Request) -> Response:
    """Give the part of the first page that changes with the plan."""
    return _show_home(desk_of(request), "home_live.html.j2", dict(request.query_params))


def _show_home(desk: Desk, template: str, answered: Mapping[str, str]) -> Response:
    view = views.home(desk.store, desk.planner.standing(), desk.now().date(), answered)
    waiting = count_of(len(keys), "take log") if (keys := desk.inbox.waiting()) else ""
    return HTMLResponse(desk_page(template, frame=desk.frame(), here="/", view=view, waiting=waiting))


def file_page(request: Request) -> Response:
    """Show a file as text."""
    desk, name = desk_of(request), request.path_params["name"]
    text = desk.store.read(name)
    if text is None:
        raise RefusedError(f"There is no file {name} in the course.", 404)
    line = request.query_params.get("line", "")
    at = int(line) if line.isdecimal() and len(line) < 8 else 0
    form = f"/form/{quote(name)}" if model_of_file(name) else ""
    view = views.editing(text, desk.planner.standing(), desk.store.names(), form, at)
    return HTMLResponse(desk_page("text.html.j2", frame=desk.frame(), here="", view=view))


async def file_save(request: Request) -> Response:
    """Save a file as text over the version that the page had."""
    desk, name, given = desk_of(request), request.path_params["name"], await fields_of(request)
    digest = await run_in_threadpool(desk.store.save, name, given.get("digest", ""), given.get("text", ""))
    desk.planner.ask()
    return JSONResponse({"digest": digest})


async def file_keep(request: Request) -> Response:
    """Keep a text that was not saved among the older versions."""
    given = await fields_of(request)
    await run_in_threadpool(desk_of(request).store.put_aside, given.get("name", ""), given.get("text", ""))
    return JSONResponse({})


async def file_new(request: Request) -> Response:
    """Begin a file of the course."""
    desk, name = desk_of(request), (await fields_of(request)).get("name", "").strip()
    if not _NEW.fullmatch(name):
        raise RefusedError(
            "A file to begin here is of captions (captions/04.vtt), a template, or your notes (notes.md)."
        )
    await run_in_threadpool(desk.store.save, name, "", "", f"{name} begun")
    await run_in_threadpool(desk.planner.settle)
    return JSONResponse({"to": views.address(name)})


async def step(request: Request) -> Response:
    """Undo or redo a change, over all files and also of earlier runs."""
    desk, way = desk_of(request), request.url.path.strip("/")
    change = await run_in_threadpool(desk.store.undo if way == "undo" else desk.store.redo)
    await run_in_threadpool(desk.planner.settle)
    done = "Undone" if way == "undo" else "Made anew"
    gone = {"to": "/"} if is_free(desk.folder) else {}  # no page but the first has anything to show
    return JSONResponse({"said": f"{done}: {change.what}.", **gone})


def versions(request: Request) -> Response:
    """Show the older versions of all files or of one, and the text of one of them."""
    desk, query = desk_of(request), request.query_params
    name, digest = query.get("file", ""), query.get("version", "")
    changes = [one for one in reversed(desk.store.history.changes()) if name in ("", one.file)]
    text = desk.store.version(name, digest) if digest else None
    now = desk.store.read(name) if digest else None
    given = {"name": name, "changes": changes[:300], "digest": digest, "text": text, "now": now.digest if now else ""}
    given["only"] = _only_in(text, now.text) if text is not None and now else None
    return HTMLResponse(desk_page("versions.html.j2", frame=desk.frame(), here="/versions", **given))


def _only_in(text: str, now: str) -> str:
    """Give the lines of a text that another has not."""
    lines = unified_diff(now.splitlines(), text.splitlines(), n=0, lineterm="")
    return "\n".join(line[1:] for line in list(lines)[2:] if line.startswith("+"))


async def bring_back(request: Request) -> Response:
    """Put an older version in the place of the present one, which is kept too."""
    desk, given = desk_of(request), await fields_of(request)
    name = given.get("name", "")
    text = await run_in_threadpool(desk.store.version, name, given.get("version", ""))
    await run_in_threadpool(
        desk.store.save, name, given.get("digest", ""), text, f"an older version of {name} brought back"
    )
    await run_in_threadpool(desk.planner.settle)
    return JSONResponse({"to": views.address(name), "said": "The older version is back."})


def problems_part(request: Request) -> Response:
    """Give the problems of one file as they are now."""
    desk, name = desk_of(request), request.query_params.get("file", "")
    mine = tuple(one for one in desk.planner.standing().result.problems if one.where.file == name)
    clear = "Nothing is wrong in this file."
    return HTMLResponse(desk_page("problems.html.j2", problems=views.rows(mine, desk.store.names()), clear=clear))


def text_part(request: Request) -> Response:
    """Give a file as it stands now."""
    text = desk_of(request).store.read(request.query_params.get("file", ""))
    return JSONResponse({"digest": text.digest if text else "", "text": text.text if text else ""})


def paper(request: Request) -> Response:
    """Give a document of the last plan without errors, under the policy that the document itself bears."""
    name = request.path_params["name"]
    try:
        data, _ = desk_of(request).planner.paper(name)
    except LookupError:
        return _plain("There is no document yet: the course has errors to mend first.")
    except NoPaperError as bad:
        return _plain(str(bad))
    kind = _KINDS.get(name.rpartition(".")[2], "text/plain; charset=utf-8")
    said = _OWN_POLICY.search(data[:4000]) if kind.startswith("text/html") else None
    policy = html.unescape(said[1].decode()) if said else "default-src 'none'"
    headers = {"etag": f'"{hashlib.sha256(data).hexdigest()[:32]}"', "cache-control": "no-cache"}
    own = "script-src" not in policy and own_templates(desk_of(request).folder)
    loose = _LOOSE if own else f"{_LOOSE} allow-scripts"
    headers["content-security-policy"] = f"{policy}; frame-ancestors 'self'; {loose}"
    return Response(data, media_type=kind, headers=headers)


def _plain(sentence: str) -> Response:
    """Give a sentence, where a document is not there, as a page that may stand in the frame of a document."""
    policy = POLICY.replace("frame-ancestors 'none'", "frame-ancestors 'self'")
    return PlainTextResponse(sentence, 404, {"content-security-policy": policy})


def an_asset(request: Request) -> Response:
    """Give a style or script of the desk's pages."""
    found = asset(request.path_params["name"])
    if found is None:
        raise RefusedError("There is no such file.", 404)
    return Response(found[0], media_type=found[1])


async def events(request: Request) -> Response:
    """Tell an open page of every new plan."""
    return StreamingResponse(desk_of(request).news(), media_type="text/event-stream")


async def fields_of(request: Request) -> dict[str, str]:
    """Read the fields of a form, each by its last value. Raises `RefusedError` for a body that is none."""
    from urllib.parse import parse_qsl

    try:
        text = (await request.body()).decode("ascii")
        return dict(parse_qsl(text, keep_blank_values=True, encoding="utf-8", errors="strict", max_num_fields=2000))
    except ValueError:
        raise RefusedError("This is not what a form of the desk sends.", 400) from None


def _refused(request: Request, bad: Exception) -> Response:
    status = bad.status if isinstance(bad, (RefusedError, TooMuchError)) else 500
    told: dict[str, str | None] = {"said": str(bad), "field": getattr(bad, "field", "")}
    if isinstance(bad, MeanwhileError):
        told |= {"text": bad.now.text if bad.now else None, "digest": bad.now.digest if bad.now else ""}
    if request.method == "POST":
        close = {"connection": "close"} if isinstance(bad, TooMuchError) else {}
        return JSONResponse(told, status, close)
    desk: Desk = request.app.state.desk
    return HTMLResponse(desk_page("refused.html.j2", frame=desk.frame(), here="", said=str(bad)), status)


def _unread(request: Request, bad: Exception) -> Response:
    desk: Desk = request.app.state.desk
    try:
        desk.store.at_home()
    except RefusedError as gone:
        return _refused(request, gone)
    assert isinstance(bad, OSError)
    if is_full(bad):
        return _refused(request, RefusedError(FULL, 507))
    return _refused(request, RefusedError(f"{bad.filename or desk.folder}: {bad.strerror or bad}.", 500))


def _faulty(request: Request, bad: Exception) -> Response:
    try:
        raise bad
    except Exception:
        said = fault()
    tell(said)
    return JSONResponse({"said": said}, 500) if request.method == "POST" else PlainTextResponse(said, 500)


ROUTES = (
    Route("/", home),
    Route("/part/home", home_part),
    Route("/part/problems", problems_part),
    Route("/part/text", text_part),
    Route("/file/{name:path}", file_page, methods=["GET"]),
    Route("/file/{name:path}", file_save, methods=["POST"]),
    Route("/keep", file_keep, methods=["POST"]),
    Route("/new", file_new, methods=["POST"]),
    Route("/undo", step, methods=["POST"]),
    Route("/redo", step, methods=["POST"]),
    Route("/versions", versions, methods=["GET"]),
    Route("/versions", bring_back, methods=["POST"]),
    Route("/paper/{name}", paper),
    Route("/asset/{name}", an_asset),
    Route("/events", events),
)


def site(desk: Desk, hosts: frozenset[str], token: str, more: tuple[Route, ...]) -> Guard:
    """Make the desk of a course ready to be served under some hosts, to those who have the token."""

    @asynccontextmanager
    async def living(app: Starlette) -> AsyncIterator[None]:
        """Watch the files and plan while the site is there."""
        loop = asyncio.get_running_loop()
        desk.planner.told = lambda standing: desk.tell(loop, standing)
        watching = asyncio.create_task(watch(desk))
        desk.planner.start()
        yield
        watching.cancel()
        desk.planner.end()

    handlers = {RefusedError: _refused, TooMuchError: _refused, OSError: _unread, Exception: _faulty}
    app = Starlette(routes=[*ROUTES, *more], lifespan=living, exception_handlers=handlers)
    app.state.desk = desk
    port = next(iter(sorted(hosts))).rpartition(":")[2]
    return Guard(app, hosts, token, f"desk-{port}")


async def watch(desk: Desk) -> None:
    """Ask for a new plan whenever a file of the course is changed by whomever."""
    from watchfiles import awatch

    def counts(_: object, path: str) -> bool:
        """Whether a change of a file is one of the course."""
        return not Path(path).name.startswith(".")

    watched = partial(awatch, watch_filter=counts, debounce=60, step=20, rust_timeout=_LOOK, yield_on_timeout=True)
    while True:
        # Links are not gone along: one may lead to the whole disk.
        homes = [one for one in (desk.folder / name for name in FOLDERS) if one.is_dir() and not one.is_symlink()]
        with suppress(Exception):  # a name that is no text ends it, and so does a folder that goes
            async for _ in watched(desk.folder, *homes, recursive=False):
                desk.planner.ask()
        await asyncio.sleep(_LOOK / 1000)
        desk.planner.ask()
