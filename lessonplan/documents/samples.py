"""The step-sample plan: which pieces to knit, how far, by when, and what they save."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import count_of, day_text, duration, short_day
from lessonplan.planning import Plan
from lessonplan.samples.plan import Piece, Stop
from lessonplan.samples.states import in_words


@dataclass(frozen=True, slots=True)
class StopView:
    """A piece in one shot: when, in which state, and what was knitted on it since the stop before."""

    number: str
    title: str
    day: str
    now: str
    after: str
    knitted: str
    spare: bool


@dataclass(frozen=True, slots=True)
class PieceView:
    """One piece to bring: its letter, kind, the state to knit it to, the time that takes, and its shots."""

    letter: str
    kind: str
    drawer: str
    first: str
    bench: str
    needed: str
    why: str
    stops: tuple[StopView, ...]


@dataclass(frozen=True, slots=True)
class SamplesView:
    """What stands on the step-sample plan."""

    title: str
    film_size: str
    summary: str
    planned: str
    naive: str
    saved: str
    planned_share: float
    piece_count: str
    naive_count: str
    optimal: str
    pieces: tuple[PieceView, ...]
    unused: tuple[str, ...]


def samples_view(plan: Plan) -> SamplesView:
    """Lay out the step-sample plan."""
    choice = plan.choice
    texts = all_shots(plan)
    pieces = tuple(_piece(plan, piece, texts) for piece in choice.pieces)
    planned = choice.bench_minutes + choice.floor_minutes
    saved = max(0.0, choice.naive_minutes - planned)
    summary = f"{duration(choice.bench_minutes)} before the shoot"
    if choice.floor_minutes >= 1:
        summary += f" and {duration(choice.floor_minutes)} on the days"
    if choice.waiting_minutes >= 1:
        summary += f", the camera waiting for {duration(choice.waiting_minutes)} of it"
    return SamplesView(
        plan.course.course.title,
        plan.course.pattern.sizes[plan.worked.size].name,
        summary,
        duration(planned),
        duration(choice.naive_minutes),
        duration(saved),
        planned / choice.naive_minutes if choice.naive_minutes else 1.0,
        count_of(len(choice.pieces), "piece"),
        count_of(choice.naive_pieces, "piece"),
        "No cheaper set exists: the choice is proven." if choice.optimal else _gap(plan),
        pieces,
        choice.unused,
    )


def _gap(plan: Plan) -> str:
    return f"The best set found in the time allowed; a cheaper one could save {plan.choice.gap:.1%} at most."


def _piece(plan: Plan, piece: Piece, texts: dict[str, ShotText]) -> PieceView:
    worked, size = plan.worked.pattern, plan.worked.size
    stops = tuple(_stop(plan, stop, texts) for stop in piece.stops)
    first_day = plan.course.course.shoot[plan.worked.listed[piece.stops[0].shot].day].day
    return PieceView(
        piece.name,
        piece.kind,
        piece.drawer,
        in_words(piece.first, worked, size),
        duration(piece.bench),
        day_text(first_day),
        why_needed(plan, piece),
        stops,
    )


def _stop(plan: Plan, stop: Stop, texts: dict[str, ShotText]) -> StopView:
    worked, size = plan.worked.pattern, plan.worked.size
    number = stop.appearance.split(" ")[0]
    text = texts[number]
    day = plan.course.course.shoot[plan.worked.listed[stop.shot].day].day
    knitted = ", ".join(f"{duration(spell.minutes)} {_slot(plan, spell.slot, spell.index)}" for spell in stop.knitting)
    return StopView(
        number,
        text.title or text.segment_title,
        short_day(day),
        in_words(stop.start, worked, size),
        in_words(stop.end, worked, size) if stop.end != stop.start else "",
        knitted,
        stop.spare,
    )


def _slot(plan: Plan, slot: str, index: int) -> str:
    number = plan.worked.listed[index].number
    return f"while {number} is filmed" if slot == "shot" else f"after {number}"


def why_needed(plan: Plan, piece: Piece) -> str:
    """Say in one sentence why no other piece can stand in for this one."""
    if piece.drawer:
        return f"It is “{piece.drawer}” from the drawer."
    first = piece.stops[0]
    name = first.appearance.split(" ")[0]
    if first.copy > 1:
        return f"Take {first.copy} of shot {name} needs a fresh piece, since the move cannot be undone."
    if first.spare:
        return f"It is the spare for shot {name}."
    here = [
        other.name
        for other in plan.choice.pieces
        for stop in other.stops
        if other is not piece and stop.shot == first.shot
    ]
    if here:
        return f"Shot {name} has piece {', '.join(sorted(set(here)))} on the table too, so a second one is needed."
    before = [other for other in plan.choice.pieces if other is not piece and other.stops[0].shot < first.shot]
    if not before:
        return f"It is the first piece on the table (shot {name})."
    return f"At shot {name} every other piece is further on, of another kind, or not knitted on so far in time."
