"""What can be done at the desk besides writing: takes sent, findings decided, what-ifs, progress, a course saved."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from lessonplan.course.byplace import EditError
from lessonplan.course.files import UnfitError
from lessonplan.course.model.agreed import AgreedPiece, progress_of
from lessonplan.course.model.lesser import KINDS
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.desk.bundle import packed, unpacked
from lessonplan.desk.inbox import read_key
from lessonplan.desk.pages import desk_page
from lessonplan.desk.site import SENDS, Desk, desk_of, fields_of
from lessonplan.desk.store import RefusedError
from lessonplan.documents.proofing import Row, proof_of, proof_rows
from lessonplan.documents.samples import change_text
from lessonplan.documents.wording import duration
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.proof.keeping import can_be_erratum, decide
from lessonplan.planning.agreed.noting import AgreeError, Agreement, agree, note_done
from lessonplan.planning.filmed.keptcaptions import Kept
from lessonplan.planning.whatif import WhatIfError, sides, what_if
from lessonplan.planning.worked import Plan, Result, due_day
from lessonplan.samples.choice import Piece
from lessonplan.samples.states import in_words

_ERRORS = "The course has errors to mend first; the page “Today” lists them."


async def takes(request: Request) -> Response:
    """Keep a take log that a tablet sends and take it into the course; what comes again changes nothing."""
    desk, key = desk_of(request), read_key(request.headers.get("idempotency-key", ""))
    data = await request.body()

    def keep() -> tuple[str, ...]:
        """Put the takes into the inbox and take them in; what is to be told of them."""
        desk.inbox.put(key, data)
        return desk.inbox.take_in()

    told = await run_in_threadpool(keep)
    return JSONResponse({"said": " ".join(told)})


@dataclass(frozen=True, slots=True)
class Finds:
    """The findings in one episode's captions: each as a row, with what tells it from others (``known``)."""

    number: int
    file: str
    troubles: tuple[str, ...]
    rows: tuple[tuple[Row, str, bool], ...]


def said(request: Request) -> Response:
    """Show what proofing finds in the captions of the course, each with what can be decided on it."""
    desk = desk_of(request)
    plan = desk.planner.standing().plan
    finds = [_finds(plan, kept) for kept in plan.captions] if plan else []
    return HTMLResponse(desk_page("said.html.j2", frame=desk.frame(), here="/said", finds=finds))


def _finds(plan: Plan, kept: Kept) -> Finds:
    found = _proofed(plan, kept)
    rows = zip(proof_rows(plan.worked, found), found.findings, strict=True)
    shown = tuple((row, _known(one), can_be_erratum(one)) for row, one in rows)
    return Finds(kept.episode, kept.name, tuple(str(one.message) for one in found.problems), shown)


_proofed = lru_cache(maxsize=8)(proof_of)


def _known(one: Finding) -> str:
    return f"{one.kind}|{one.segment}|{one.start:.3f}|{one.said}"


async def decided(request: Request) -> Response:
    """Dismiss a finding for good, or take it over as an erratum."""
    desk, given = desk_of(request), await fields_of(request)
    plan = _plan(desk)
    kept = next((one for one in plan.captions if str(one.episode) == given.get("episode")), None)
    if kept is None:
        raise RefusedError("There are no captions of this episode any more.", 409)

    def do() -> None:
        """Dismiss a finding or make it an erratum; raises `RefusedError` where it is not there any more."""
        found = _proofed(plan, kept)
        number = next((n for n, one in enumerate(found.findings, 1) if _known(one) == given.get("known")), 0)
        if not number:
            raise RefusedError("This finding is not there any more: the captions or the pattern changed.", 409)
        away = [number] if given.get("act") == "dismiss" else []
        try:
            with desk.store.recording(f"finding {given.get('act', '')}", "errata.yaml", "proofed.yaml"):
                decide(desk.folder, plan.worked, found, away, [] if away else [number], desk.now().date())
        except EditError as bad:
            raise RefusedError(str(bad)) from None
        except UnfitError as bad:
            raise RefusedError(f"{bad.problem.where.file}: {bad.problem.message}") from None

    await run_in_threadpool(do)
    await run_in_threadpool(desk.planner.settle)
    return JSONResponse({"said": "Dismissed for good." if given.get("act") == "dismiss" else "Noted among the errata."})


@dataclass(frozen=True, slots=True)
class AgreedRow:
    """A piece that was agreed, by when it is due, how far it is and the time so far as they would be typed."""

    piece: AgreedPiece
    due: date | None
    far: str
    took: str
    done: bool


def pieces(request: Request) -> Response:
    """Show the agreed pieces and how far each is."""
    desk = desk_of(request)
    plan = desk.planner.standing().plan
    agreed = plan.course.agreed if plan else None
    due = {one.name: due_day(plan, one) for one in plan.choice.pieces if one.bench} if plan else {}
    found = [
        _agreed(one, agreed.progress.get(one.letter, ""), due.get(one.letter, one.ready))
        for one in (agreed.pieces if agreed else ())
        if agreed
    ]
    places = (*plan.worked.pattern.order, "finished") if plan else ()
    given = {"rows": found, "agreed": agreed, "planned": plan is not None, "places": places}
    return HTMLResponse(desk_page("pieces.html.j2", frame=desk.frame(), here="/pieces", **given))


def _agreed(piece: AgreedPiece, progress: str, due: date | None) -> AgreedRow:
    far, minutes = progress_of(progress) if progress else ("", None)
    return AgreedRow(piece, due, far, duration(minutes) if minutes else "", far in (piece.stop, "finished"))


async def progress(request: Request) -> Response:
    """Note how far a piece is, and the time it took so far."""
    desk, given = desk_of(request), await fields_of(request)
    letter, far, took = (given.get(name, "").strip() for name in ("letter", "far", "took"))
    if not far:
        raise RefusedError(f"Say how far piece {letter} is: which stage is done, or a round of one.")
    text = f"{letter} {far}, {took}" if took else f"{letter} {far}"
    if took and progress_of(f"{far}, {took}")[1] is None:
        raise RefusedError(f"“{took}” is no time: write it as 1 h 40 min.", field=f"took-{letter}")
    noted = await run_in_threadpool(_agreeing, desk, f"piece {letter}: {far}", lambda: note_done(desk.folder, [text]))
    return JSONResponse({"said": " ".join([f"Noted: piece {letter}, {far}.", *noted.changed])})


async def agreeing(request: Request) -> Response:
    """Write the plan of today down as agreed with the knitters."""
    desk = desk_of(request)
    today = desk.now().date()
    await run_in_threadpool(_agreeing, desk, "agreed", lambda: agree(desk.folder, today))
    return JSONResponse({"said": "Agreed: letters, stops and days stay from now on."})


def _agreeing(desk: Desk, what: str, act: Callable[[], tuple[Result, Agreement | None]]) -> Agreement:
    try:
        with desk.store.recording(what, "agreed.yaml"):
            result, agreement = act()
    except AgreeError as bad:
        raise RefusedError(str(bad)) from None
    if agreement is None:
        first = next((one for one in result.problems if one.severity == "error"), None)
        raise RefusedError(f"Nothing was written. {first.message} {first.hint}" if first else _ERRORS)
    desk.planner.settle()
    return agreement


@dataclass(frozen=True, slots=True)
class Asked:
    """What can be asked of the samples: pieces to do without, shots in which a lesser kind may do, segments."""

    pieces: tuple[tuple[str, str], ...]
    appearances: tuple[tuple[str, str], ...]
    segments: tuple[tuple[str, str], ...]
    kinds: tuple[str, ...]


def samples(request: Request) -> Response:
    """Show the wishes side by side, a form for what-ifs, and the answer to the one that is asked."""
    desk, query = desk_of(request), request.query_params
    plan = desk.planner.standing().plan
    answer, wrong = "", ""
    if plan and query:
        kinds = [f"{query.get('kind', '')} {query['accept']}"] if query.get("accept") else []
        more = query.get("helpers", "0")
        try:
            change = what_if(
                plan,
                without=query.getlist("without")[:50],
                helpers=int(more) if more in "0123456789" and more else 0,
                film=query.get("film", ""),
                before=query.get("before", "") if query.get("film") else "",
                accept=kinds,
            )
            answer = change_text(plan, change) if change else "Nothing is asked yet: choose something above."
        except WhatIfError as bad:
            wrong = str(bad).replace(" (--film)", "").replace(" (--before)", "")
    given = {"asked": _asked(plan) if plan else None, "answer": answer, "wrong": wrong, "query": query}
    return HTMLResponse(desk_page("samples.html.j2", frame=desk.frame(), here="/samples", **given))


def wishes(request: Request) -> Response:
    """Give the plans by several wishes side by side; it takes a moment."""
    plan = desk_of(request).planner.standing().plan
    rows = (
        [(one, duration(one.bench), duration(one.floor), duration(one.waiting)) for one in _sides(plan)] if plan else []
    )
    return HTMLResponse(desk_page("wishes.html.j2", rows=rows))


_sides = lru_cache(maxsize=2)(sides)


def _asked(plan: Plan) -> Asked:
    titles = {str(number): segment.title for number, _, segment in plan.course.segments()}
    filmed = dict.fromkeys(str(item.segment) for item in plan.worked.listed)
    shots = {str(one.number): one.shot.title for one in plan.course.shots()}
    return Asked(
        pieces=tuple((one.name, _told(plan, one)) for one in plan.choice.pieces),
        appearances=tuple((one.name, shots.get(str(shot_of(one.name)), "")) for one in plan.worked.table),
        segments=tuple((name, titles.get(name, "")) for name in filmed),
        kinds=KINDS,
    )


def _told(plan: Plan, piece: Piece) -> str:
    """Say which piece one is: its kind, and how far it is when it is first needed."""
    return f"{piece.kind}, “{in_words(piece.first, plan.worked.kinds[piece.kind], plan.worked.size)}”"


def tablet(request: Request) -> Response:
    """Show the pages for the tablet on the set, and how a tablet comes here."""
    desk = desk_of(request)
    frame = desk.frame()
    tables = [(title, file) for title, file in frame.papers if file.startswith("table-")]
    return HTMLResponse(desk_page("tablet.html.j2", frame=frame, here="/tablet", address=desk.tablet, tables=tables))


def tablet_code(request: Request) -> Response:
    """Give the address for the tablet as a QR code."""
    import segno

    address = desk_of(request).tablet
    if not address:
        raise RefusedError("The desk was started without --lan.", 404)
    made = io.BytesIO()
    segno.make(address, error="m").save(made, kind="svg", scale=6, border=4)
    return Response(made.getvalue(), media_type="image/svg+xml")


def course_zip(request: Request) -> Response:
    """Give the whole course as one file."""
    folder = desk_of(request).folder
    name = quote(f"{folder.name}.zip")
    return Response(
        packed(folder),
        media_type="application/zip",
        headers={"content-disposition": f"attachment; filename*=UTF-8''{name}"},
    )


async def open_zip(request: Request) -> Response:
    """Open a saved course as a new folder beside this one."""
    desk, data = desk_of(request), await request.body()
    try:
        made = await run_in_threadpool(unpacked, data, desk.folder.parent)
    except OSError as bad:
        raise RefusedError(f"Nothing was opened: {bad.strerror or bad}.", 507) from None
    return JSONResponse({"said": f"It is in {made}. To work on it: lessonplan desk “{made}”"})


def _plan(desk: Desk) -> Plan:
    plan = desk.planner.standing().plan
    if plan is None:
        raise RefusedError(_ERRORS, 409)
    return plan


ROUTES = (
    Route(SENDS, takes, methods=["POST"]),
    Route("/said", said, methods=["GET"]),
    Route("/said", decided, methods=["POST"]),
    Route("/pieces", pieces, methods=["GET"]),
    Route("/pieces", progress, methods=["POST"]),
    Route("/agree", agreeing, methods=["POST"]),
    Route("/samples", samples),
    Route("/part/wishes", wishes),
    Route("/tablet", tablet),
    Route("/tablet.svg", tablet_code),
    Route("/course.zip", course_zip),
    Route("/open", open_zip, methods=["POST"]),
)
