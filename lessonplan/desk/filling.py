"""The course by its fields: the page of any place of its files, and what a posted field does to the text."""

from __future__ import annotations

import json
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from lessonplan.beginning.folder import begin, is_free
from lessonplan.beginning.questions import AnswerError, answers_of
from lessonplan.course.byplace import EditError
from lessonplan.course.model.episodes import Episode
from lessonplan.desk import views
from lessonplan.desk.forms.changes import Change, apply, change_from, landing
from lessonplan.desk.forms.making import form_of, told_place
from lessonplan.desk.forms.mentions import can_be_named, check_alone, mentions, renamed_in
from lessonplan.desk.forms.outline import outline_of
from lessonplan.desk.forms.shapes import model_of_file
from lessonplan.desk.forms.values import Branch, Form, Path, id_of
from lessonplan.desk.history import digest_of
from lessonplan.desk.pages import desk_page
from lessonplan.desk.site import Desk, desk_of, fields_of
from lessonplan.desk.store import MeanwhileError, RefusedError


def outline(desk: Desk) -> tuple[Branch, ...]:
    """Give the outline of the course with its problems."""
    return outline_of(views.texts(desk.store), desk.planner.standing().result.problems)


def _form(request: Request) -> tuple[Form | None, str]:
    """Make the form that an address names, with the digest of its file."""
    desk, name = desk_of(request), request.path_params["name"]
    try:
        path = change_from({"file": name, "kind": "set", "path": request.query_params.get("path", "")}).path
    except EditError as bad:
        raise RefusedError(str(bad), 404) from None
    standing, text = desk.planner.standing(), desk.store.read(name)
    if text is None and model_of_file(name) is Episode:
        raise RefusedError(f"There is no file {name} in the course. Versions has what this desk changed in it.", 404)
    facts = tuple(standing.plan.worked.facts) if standing.plan else ()
    made = form_of(views.texts(desk.store), name, path, standing.result.problems, facts)
    return made, text.digest if text else ""


def form_page(request: Request) -> Response:
    """Show a place of a file as a form; a file that has none as text."""
    desk, (form, digest) = desk_of(request), _form(request)
    if form is None:
        return RedirectResponse(views.address(request.path_params["name"]), 303)
    here = f"/part/form/{quote(form.file)}?path={quote(json.dumps(form.path))}"
    given = {"form": form, "digest": digest, "here": "", "live": here, "branches": outline(desk)}
    return HTMLResponse(desk_page("form.html.j2", frame=desk.frame(), **given))


def form_part(request: Request) -> Response:
    """Give the form alone, as it is now."""
    form, digest = _form(request)
    if form is None:
        raise RefusedError("This place is not there any more.", 404)
    branches = outline(desk_of(request))
    return HTMLResponse(desk_page("form_live.html.j2", form=form, digest=digest, branches=branches))


async def filled(request: Request) -> Response:
    """Make the one change that a field asks for in the text of its file."""
    desk, given = desk_of(request), await fields_of(request)
    try:
        change = change_from(given)
    except EditError as bad:
        raise RefusedError(str(bad), 400) from None
    if change.kind == "remove" and not change.path:
        await run_in_threadpool(_episode_removed, desk, change)
        await run_in_threadpool(desk.planner.settle)
        return JSONResponse({"to": "/", "said": "The episode is removed. Undo brings it back."})
    digest, place, said = await run_in_threadpool(_made, desk, change)
    if change.kind == "set":
        desk.planner.ask()
        return JSONResponse({"digest": digest})
    await run_in_threadpool(desk.planner.settle)
    return JSONResponse(
        {
            "to": f"/form/{quote(change.file)}?path={quote(given.get('back', '[]'))}#{quote(id_of(place))}",
            "digest": digest,
            "said": said,
        }
    )


def _episode_removed(desk: Desk, change: Change) -> None:
    """Take the whole file of an episode away; it stays among the older versions."""
    if model_of_file(change.file) is not Episode:
        raise RefusedError("Only an episode is taken away as a whole.")
    title = told_place(views.texts(desk.store), change.file, ())
    desk.store.save(change.file, change.digest, None, f"{title} removed")


def _made(desk: Desk, change: Change) -> tuple[str, Path, str]:
    """Make a change, and give the new digest with the place to go on at, and what is to be said."""
    text = desk.store.read(change.file)
    if change.digest != (text.digest if text else ""):
        what = f"{change.file} was changed meanwhile, so nothing was written. Look at what stands here now, then again."
        raise MeanwhileError(what, text)
    try:
        before = text.text if text else ""
        others = _renamed(desk, change) if change.kind == "rename" and change.also else {}
        _, here = others.pop(change.file, (before, before))
        after, place = apply(here, change), landing(before, change)
    except EditError as bad:
        raise RefusedError(str(bad)) from None
    group = digest_of(after.encode())[:16] if others else ""
    what = _in_words(change, before, after, place)
    for name, (was, other) in others.items():
        now = desk.store.read(name)
        if now is None or now.text != was:
            raise MeanwhileError(f"{name} was changed meanwhile, so it was not renamed there. Rename it again.", now)
        desk.store.save(name, now.digest, other, what, group)
    digest = desk.store.save(change.file, change.digest, after, what, group)
    if change.kind == "remove":
        return digest, place, f"{what}. Undo brings it back."
    return digest, place, f"Renamed here and in {', '.join(others)}." if others else ""


def _renamed(desk: Desk, change: Change) -> dict[str, tuple[str, str]]:
    """Give the texts in which an entry is named, as they are and with the name that it gets."""
    files, name = views.texts(desk.store), str(change.value).strip()
    if not can_be_named(change.file, change.path):
        return {}
    check_alone(files, change.path)
    found = mentions(files, change.path)
    return {file: (files[file], renamed_in(files[file], spans, name)) for file, spans in found.items()}


def _in_words(change: Change, before: str, after: str, place: Path) -> str:
    """Say what a change of a text was, by the titles of the forms that it was made in."""
    text, path = (after, place) if change.kind in ("add", "move") else (before, change.path)
    done = {"set": "", "add": " added", "remove": " removed", "move": " moved", "rename": f" renamed {change.value}"}
    return f"{told_place({change.file: text}, change.file, path)}{done[change.kind]}"


async def begun(request: Request) -> Response:
    """Write a first course into the empty folder."""
    desk, given = desk_of(request), await fields_of(request)
    answered = {key: text.strip() for key, text in given.items() if text.strip()}

    def do() -> None:
        """Write the new course; raises `RefusedError` for an answer or a folder that does not do."""
        try:
            if not is_free(desk.folder):
                raise FileExistsError("There is something in this folder by now, so nothing was written.")
            made, _ = begin(desk.folder, answers_of(answered, desk.now().date()))
        except AnswerError as bad:
            raise RefusedError(str(bad), field=id_of((bad.name,), "in")) from None
        except FileExistsError as bad:
            raise RefusedError(str(bad)) from None
        names = (str(path.relative_to(desk.folder).as_posix()) for path in made)
        desk.store.note_begun([name for name in names if name.endswith(".yaml")])

    await run_in_threadpool(do)
    await run_in_threadpool(desk.planner.settle)
    return JSONResponse({"to": "/", "said": "The course is begun: change whatever you like."})


ROUTES = (
    Route("/begin", begun, methods=["POST"]),
    Route("/form/{name:path}", form_page, methods=["GET"]),
    Route("/part/form/{name:path}", form_part),
    Route("/form", filled, methods=["POST"]),
)
