"""The step-sample plan: which pieces to knit, how far, by when, and what they save."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import capital, count_of, day_text, listing, short_day
from lessonplan.craft.words import rest_named, words_of
from lessonplan.documents.arrivals import done_day, drawer_names, from_drawer, size_of, too_late
from lessonplan.documents.laidout import laid_out, uses_of, uses_text
from lessonplan.documents.livework import how_worked
from lessonplan.documents.marks import Marked
from lessonplan.documents.shots import ShotText, all_shots, kind_label, take_of
from lessonplan.documents.standins import spoilt_in
from lessonplan.documents.stints import hands_on
from lessonplan.documents.tasks import Task, begun_on_set, needle_at_stop, tasks_of
from lessonplan.documents.wording import duration, printed, waited
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.asking import appearance_of
from lessonplan.planning.worked import Plan, first_day, pace_on_set
from lessonplan.samples.choice import Piece, Spell, State, Stop
from lessonplan.samples.knitters import begun_at, rest_of
from lessonplan.samples.states import in_words, kind_in_words

if TYPE_CHECKING:  # these load the solver, which tables of times and errata never need
    from lessonplan.planning.whatif import Change, Made, Reasons


@dataclass(frozen=True, slots=True)
class StopView:
    """A piece in one shot: when, in which state, and what was done to it since the stop before, and how long.

    ``use``: the take that it is for, or that it is a spare.
    """

    number: str
    title: str
    day: str
    now: str
    after: str
    knitted: str
    use: str


@dataclass(frozen=True, slots=True)
class PieceView:
    """One piece to bring: its letter, kind, the state to knit it to, the time that takes, and its shots.

    ``bench`` is empty where nothing is to be done. ``orders``: the stop and what must not be done then, needle and
    markers, as its knitter's paper has them; ``notes``: what the course says of it. ``kept_for``: the shots in which it
    may stand in for a spoilt one afterwards.
    """

    letter: str
    kind: str
    label: str
    kind_words: str
    drawer: str
    first: str
    state: State
    bench: str
    needed: str
    knitter: str
    days: str
    due: str
    yarn: str
    orders: tuple[str, ...]
    notes: tuple[Marked, ...]
    why: str
    without: str
    stops: tuple[StopView, ...]
    kept_for: str
    begun: str


@dataclass(frozen=True, slots=True)
class SamplesView:
    """What stands on the step-sample plan; ``to_buy``: materials for all; ``changed``: what was agreed otherwise.

    ``drawer``: from where pieces come that exist; ``paces``: whose pace its minutes are at.
    """

    title: str
    film_size: str
    summary: str
    paces: str
    planned: str
    naive: str
    saved: str
    planned_share: float
    piece_count: str
    naive_count: str
    optimal: str
    pieces: tuple[PieceView, ...]
    to_buy: str
    unused: tuple[str, ...]
    drawer: str
    savings: tuple[str, ...]
    changed: tuple[str, ...]


def samples_view(plan: Plan, reasons: Reasons | None = None) -> SamplesView:
    """Lay out the step-sample plan; with ``reasons`` it also says what each piece is worth and what could be saved."""
    choice = plan.choice
    texts = all_shots(plan)
    told = zip(choice.pieces, tasks_of(plan), strict=True)
    pieces = tuple(_piece(plan, piece, task, texts, reasons) for piece, task in told)
    bench, floor = planned_minutes(plan)
    planned, waiting = bench + floor, sum(waited(entry) for day in plan.days for entry in day.entries)
    exact = choice.bench_minutes + choice.floor_minutes
    naive = printed(choice.naive_minutes) if choice.naive_minutes - exact >= 0.5 else planned
    theirs = words_of(plan.course.pattern).pace and plan.course.course.knitters
    summary = f"{duration(bench)} before the shoot{' at the host’s pace' if theirs else ''}"
    if floor:
        summary += f" and {duration(floor)} on the days"
    if waiting:
        summary += f", the camera waiting for {duration(waiting)} of it"
    return SamplesView(
        title=plan.course.course.title,
        film_size=size_of(plan),
        summary=summary,
        paces=_paces(plan),
        planned=duration(planned),
        naive=duration(naive),
        saved=duration(max(0.0, naive - planned)),
        planned_share=exact / choice.naive_minutes if choice.naive_minutes else 1.0,
        piece_count=count_of(len(choice.pieces), "piece"),
        naive_count=count_of(choice.naive_pieces, "piece"),
        optimal="No cheaper set exists: the choice is proven." if choice.optimal else _gap(plan),
        pieces=pieces,
        to_buy=uses_text(uses_of(plan, *choice.pieces), packs=True),
        unused=tuple(name for name in choice.unused if plan.again or name in drawer_names(plan)),
        drawer="what the shoot left" if plan.again else "the drawer",
        savings=tuple(change_text(plan, change) for change in reasons.savings) if reasons else (),
        changed=changes(plan),
    )


def planned_minutes(plan: Plan) -> tuple[float, float]:
    """Give the minutes of work before the shoot and on its days: the sums of what is printed of each piece."""
    floor = (part for piece in plan.choice.pieces for stop in piece.stops for _, part in hands_on(plan, piece, stop))
    return sum(printed(piece.bench) for piece in plan.choice.pieces), sum(floor)


def _paces(plan: Plan) -> str:
    """Say whose pace the minutes are at; nothing in a craft that has no pace."""
    pace, host, there = words_of(plan.course.pattern).pace, plan.course.course.pace.knitting, pace_on_set(plan.course)
    if not pace:
        return ""
    text = f"at the host’s pace of {host:g} {pace}"
    if there == host or not any(stop.spells for piece in plan.choice.pieces for stop in piece.stops):
        return f"Minutes on this page are {text}"
    return f"Minutes before the shoot are {text}, those on the days at {there:g}, the slowest pace there"


def change_text(plan: Plan, change: Change) -> str:
    """Word a change: what it saves or adds in hours and pieces, whether it pays, and what replaces what."""
    making = words_of(plan.course.pattern).making
    sums = ((change.minutes - change.floor, f"of {making} before the shoot"), (change.floor, "of work on the days"))
    found = [f"{'saves' if n > 0 else 'adds'} {duration(abs(n))} {what}" for n, what in sums if abs(n) >= 0.5]
    if abs(change.waiting) >= 0.5:
        found.append(f"the camera waits {duration(abs(change.waiting))} {'less' if change.waiting > 0 else 'more'}")
    if change.pieces:
        found.append(f"{count_of(abs(change.pieces), 'piece')} {'fewer' if change.pieces > 0 else 'more'}")
    pays = "cheaper" if change.cost > 0.5 else "dearer" if change.cost < -0.5 else "as cheap"
    what = capital(change.what)
    dropped, added = (listing([_made(plan, one) for one in some]) for some in (change.dropped, change.added))
    instead = f" Instead of {dropped}: {added}." if dropped and added else f" Not made: {dropped}." if dropped else ""
    return f"{what}: {', '.join(found) or 'the same hours'}; {pays} by the course's weights.{instead}"


def _made(plan: Plan, made: Made) -> str:
    kind, state = made
    text = in_words(state, plan.worked.kinds[kind], plan.worked.size) if kind in plan.worked.kinds else "another"
    return f"{kind_label(plan, kind)} “{text}”"


def _gap(plan: Plan) -> str:
    return f"The best set found in the time allowed; a cheaper one could save {plan.choice.gap:.1%} at most."


def _piece(plan: Plan, piece: Piece, task: Task, texts: Mapping[str, ShotText], reasons: Reasons | None) -> PieceView:
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    stops = tuple(_stop(plan, piece, stop, texts) for stop in piece.stops)
    needed = first_day(plan.worked, piece.stops[0].slot)
    begun, anew = begun_at(plan.worked.question, piece), begun_on_set(plan, piece)
    return PieceView(
        letter=piece.name,
        kind=piece.kind,
        label=kind_label(plan, piece.kind),
        kind_words=kind_in_words(piece.kind, piece.first, worked, plan.worked.kinds["full"], size),
        drawer=from_drawer(plan, piece),
        first=f"begun on the set, with {anew}" if anew else in_words(piece.first, worked, size),
        state=piece.first,
        bench=duration(piece.bench) if printed(piece.bench) else "",
        needed=day_text(needed),
        knitter=plan.calendar.assigned.get(piece.name, ""),
        days=_knitting_days(plan, piece),
        due=", ".join(filter(None, (short_day(done_day(plan, piece)), too_late(plan, piece))))
        if piece.name in plan.calendar.assigned
        else "",
        yarn=laid_out(plan, piece),
        orders=tuple(filter(None, (task.stop, needle_at_stop(task, words_of(plan.course.pattern))))),
        notes=task.notes,
        why=why_needed(plan, piece),
        without=without_text(piece, reasons),
        stops=stops,
        kept_for=listing(spoilt_in(plan, piece.name)),
        begun=in_words(begun, worked, size) if any(begun) and not from_drawer(plan, piece) else "",
    )


def _knitting_days(plan: Plan, piece: Piece) -> str:
    """Word the days on which a piece is knitted and dries: ``Sat 6 Feb to Tue 9 Feb, dry on Wed 10 Feb``."""
    first, last = plan.calendar.piece_start.get(piece.name), plan.calendar.finished.get(piece.name)
    if first is None or last is None:
        return ""
    days = short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"
    ready = plan.calendar.ready.get(piece.name, last)
    then = rest_named(rest_of(plan.worked.kinds[piece.kind], piece.first, plan.worked.size)).then
    return f"{days}, {then} on {short_day(ready)}" if ready > last else days


def without_text(piece: Piece, reasons: Reasons | None) -> str:
    """Say what it would cost to do without a piece, by the course's weights; nothing when it was not worked out."""
    if reasons is None or piece.name not in reasons.without:
        return ""
    more = reasons.without[piece.name]
    if more is None:
        return f"Without piece {piece.name} the shots cannot be filmed."
    if more < 0.5:
        return f"Without piece {piece.name}: another plan costs the same."
    return f"Without piece {piece.name}: {duration(more)} more by the course's weights."


def _stop(plan: Plan, piece: Piece, stop: Stop, texts: Mapping[str, ShotText]) -> StopView:
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    number = shot_of(stop.demand)
    text = texts[number]
    day = first_day(plan.worked, stop.slot)
    knitted = ", ".join(f"{duration(part)} {_when(plan, spell)}" for spell, part in hands_on(plan, piece, stop))
    return StopView(
        number=number,
        title=text.heading,
        day=short_day(day),
        now=in_words(stop.start, worked, size),
        after=in_words(stop.end, worked, size) if stop.end != stop.start else "",
        knitted=f"{how_worked(plan, stop)}: {knitted}" if knitted else "",
        use=f"take {take}" if (take := take_of(plan, stop)) else "spare" if stop.spare else "",
    )


def _when(plan: Plan, spell: Spell) -> str:
    slot = plan.worked.slots[spell.slot]
    number = plan.worked.listed[slot.shot].number
    words = {"take": "while {} is filmed", "reset": "between the takes of {}", "evening": "after the wrap, after {}"}
    return words.get(slot.what, "after {}").format(number)


def why_needed(plan: Plan, piece: Piece) -> str:
    """Say in one sentence why no other piece can stand in for this one.

    Nothing where it is so for the plain reason: at its first shot every other one is further on or not so far yet.
    """
    if drawer := from_drawer(plan, piece):
        return (
            "It is left from the shoot."
            if plan.again and drawer == piece.name
            else f"It is “{drawer}” from the drawer."
        )
    first = piece.stops[0]
    name, asked = shot_of(first.demand), appearance_of(first.demand)
    apart = next((one for one in plan.worked.table if one.apart and one.name == asked), None)
    if apart:
        return f"It serves shot {name} alone{': ' + apart.label if apart.label else ''}."
    if first.spare:
        return f"A spare was asked for in shot {name}."
    others = [(other.name, stop) for other in plan.choice.pieces if other is not piece for stop in other.stops]
    here = [(letter, stop) for letter, stop in others if shot_of(stop.demand) == name]
    takes = sorted({letter for letter, stop in here if appearance_of(stop.demand) == asked and not stop.spare})
    if takes:
        if any(one.one_way and one.name == asked for one in plan.worked.table):
            fresh = f"Each take of shot {name} needs a fresh piece, since the move cannot be undone"
            return f"{fresh}; {takes[0]} has another."
        return f"Shot {name} has {listing(takes)} for other takes: one piece more is cheaper than taking them back."
    beside = sorted({letter for letter, stop in here if appearance_of(stop.demand) != asked or stop.spare})
    if beside:
        return f"Shot {name} has piece {', '.join(beside)} on the table too, so a second one is needed."
    before = [other for other in plan.choice.pieces if other is not piece and other.stops[0].slot < first.slot]
    if not before:
        return f"It is the first piece on the table (shot {name})."
    return ""
