"""The run sheet of a shoot day, and the tray of each segment."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.together import Course
from lessonplan.course.names.toolbox import on_table
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.course.words import day_text, listing
from lessonplan.craft.words import words_of
from lessonplan.documents.arrivals import missing, size_of
from lessonplan.documents.atshot import AtShot, at_shot
from lessonplan.documents.floorwork import FloorJob, brought_back, floor_jobs, unnamed
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.notions import inside, marked
from lessonplan.documents.packing import day_notions, loose, lying, pieces_on
from lessonplan.documents.shotcards import waiting
from lessonplan.documents.shots import PieceHere, ShotText, all_shots, stops_by_take
from lessonplan.documents.standins import Instead, lines_to_stand_in
from lessonplan.documents.stints import Work, stints
from lessonplan.documents.tasks import begun_on_set
from lessonplan.documents.wording import duration, lasts
from lessonplan.planning.dropping import freed
from lessonplan.planning.worked import Plan, first_day
from lessonplan.publish.cautions import cautions
from lessonplan.remembered import remembered_each
from lessonplan.samples.choice import Piece, Stop
from lessonplan.shoot.day import Day, clock
from lessonplan.shoot.hazards import cleared_between, kept_apart


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the run sheet: its clock time (``late``: nine times in ten), what it is, and a shot's text.

    ``at``: what must be known at the shot beside its text. ``takes``: what of ``meanwhile`` is done between takes;
    ``between`` and ``others``: the same for a page that tells the host's own work where she does it.
    """

    kind: str
    time: str
    late: str
    minutes: str
    text: str
    shot: ShotText | None
    meanwhile: tuple[str, ...]
    takes: tuple[str, ...]
    between: tuple[str, ...]
    others: tuple[str, ...]
    at: AtShot | None


@dataclass(frozen=True, slots=True)
class Tray:
    """What must lie ready for one segment, or for those ``shots`` of it that may have it on one tray.

    ``still`` says of each piece whether it is yet to come, else it is empty; ``inside`` the markers in it;
    ``first`` what must be done before. ``only``: its shots, where the segment has several trays.
    """

    segment: str
    only: str
    title: str
    shots: tuple[str, ...]
    first: str
    pieces: tuple[PieceHere, ...]
    still: tuple[str, ...]
    inside: tuple[str, ...]
    tools: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OnEveryRunSheet:
    """What the run sheet for screens and the one on paper say alike of a day."""

    host: str
    day: str
    place: str
    helpers: str
    unnamed: str
    brought: str
    missing: str
    pieces: tuple[tuple[str, str], ...]
    drop: tuple[str, ...]
    cautions: tuple[str, ...]
    jobs: tuple[FloorJob, ...]
    copies: str
    spoilt: tuple[Instead, ...]


@dataclass(frozen=True, slots=True)
class RunSheetView(OnEveryRunSheet):
    """What stands on one day's run sheet."""

    title: str
    number: int
    film_size: str
    call: str
    planned_wrap: str
    wrap: str
    late: str
    late_wrap: str
    lines: tuple[Line, ...]
    trays: tuple[Tray, ...]
    notions: tuple[str, ...]


@remembered_each(2)
def run_sheet_view(plan: Plan, day: Day) -> RunSheetView:
    """Lay out the run sheet of one day."""
    texts = all_shots(plan)
    file = plan.course.course
    planned, work = file.shoot[day.number], stints(plan)
    filmed = [texts[entry.number] for entry in day.shots]
    over = day.over
    late = f"{duration(over)} late" if over > 0.5 else f"{duration(-over)} in hand" if over < -0.5 else "on time"
    return RunSheetView(
        title=file.title,
        number=day.number + 1,
        day=day_text(day.day),
        place=planned.place or file.place,
        host=file.host,
        film_size=size_of(plan),
        call=clock(day.call),
        planned_wrap=clock(day.planned_wrap),
        wrap=clock(day.wrap),
        late=late,
        late_wrap=clock(day.late_wrap),
        helpers=listing(planned.helpers),
        unnamed=unnamed(plan, day),
        brought=brought_back(plan, day),
        missing=missing(plan, {piece.letter for text in filmed for piece in text.pieces}, day.day),
        lines=tuple(_line(plan, day, place, texts, work) for place in range(len(day.entries))),
        trays=tuple(
            replace(one, tools=lying(plan, day, one.tools, [texts[number] for number in one.shots]))
            for one in trays(plan, day, texts)
        ),
        pieces=pieces_on(plan, day, filmed),
        notions=to_pack(plan, day, texts),
        drop=dropped_first(plan, day, texts),
        cautions=cautions(plan, "floor", day.number),
        jobs=tuple(job for job in floor_jobs(plan, day) if not job.crumb),
        copies=copies(plan, floor_jobs(plan, day)),
        spoilt=lines_to_stand_in(plan, day),
    )


def copies(plan: Plan, jobs: Sequence[FloorJob]) -> str:
    """Say who has the lines of her work on a paper of her own, and who must be given these."""
    helpers = {name for day in plan.course.course.shoot for name in day.helpers}
    busy = [name for name in sorted(helpers) if any(name in job.who for job in jobs if not job.crumb)]
    own = {knitter.name for _, knitter in knitters_with_work(plan)}
    theirs, without = ([name for name in busy if (name in own) is has] for has in (True, False))
    has = f"{listing(theirs)} {'has' if len(theirs) == 1 else 'have'} this on paper too." if theirs else ""
    copy = f"Give a copy of this to {listing(without)}, who {'has' if len(without) == 1 else 'have'} no other paper."
    return " ".join(filter(None, (has, copy if without else "")))


def _line(plan: Plan, day: Day, place: int, texts: Mapping[str, ShotText], work: Work) -> Line:
    entry = day.entries[place]
    shot = texts[entry.number] if entry.kind == "shot" else None
    begun = [said for slot in slots_at(plan, day, place) for said in work.get(slot, ())]
    at = at_shot(plan, day, shot) if shot else None
    takes = tuple(said.text for said in begun if said.between)
    own = at.between if at else ()
    between = (*own, *(one.text.removeprefix("Between takes, ") for one in begun if one.between and not one.crumb))
    others = (said.text for said in begun if not (at and (said.crumb or said.between or said.hosts)))
    return Line(
        kind=entry.kind,
        time=clock(entry.start),
        late=clock(entry.late),
        minutes=lasts(entry),
        text=waiting(plan, day, entry, floor_jobs(plan, day)).partition(": ")[2]
        if entry.kind == "wait"
        else entry.text,
        shot=shot,
        meanwhile=tuple(said.text for said in begun),
        takes=takes,
        between=tuple(dict.fromkeys(between)),
        others=tuple(dict.fromkeys((*others, *(at.meanwhile if at else ())))),
        at=at,
    )


def slots_at(plan: Plan, day: Day, place: int) -> tuple[int, ...]:
    """Give the slots whose work stands at a line: a shot's own, a pause's at its first line that is no break."""
    entry = day.entries[place]
    before = next((one for one in reversed(day.entries[:place]) if one.kind == "shot"), None)
    slots = enumerate(plan.worked.slots)
    if entry.kind == "shot":
        shot = _index(plan, entry.number)
        return tuple(n for n, slot in slots if slot.shot == shot and slot.what in ("take", "reset"))
    if before is None or entry.is_break:
        return ()
    since = day.entries[day.entries.index(before) + 1 : place]
    if not all(one.is_break for one in since):
        return ()
    what = "evening" if entry.kind == "wrap" else "pause"
    shot = _index(plan, before.number)
    return tuple(n for n, slot in slots if slot.shot == shot and slot.what == what)


def _index(plan: Plan, number: str) -> int:
    return next(index for index, item in enumerate(plan.worked.listed) if item.number == number)


def trays(plan: Plan, day: Day, texts: Mapping[str, ShotText]) -> tuple[Tray, ...]:
    """List what lies on the tray of each segment filmed on a day, in filming order.

    Water and what is plugged in never lie on one: then a segment has several.
    """
    found: dict[str, list[ShotNumber]] = {}
    for item in plan.worked.listed:
        if item.day == day.number:
            found.setdefault(item.segment, []).append(item.number)
    trays = []
    for numbers in found.values():
        parts = kept_apart(plan.course, numbers)
        for before, part in zip((None, *parts), parts, strict=False):
            trays.append(
                tray_of(
                    plan,
                    [texts[number] for number in part],
                    laid_after(plan.course, before or (), part[0]),
                    several=len(parts) > 1,
                )
            )
    return tuple(trays)


def to_pack(plan: Plan, day: Day, texts: Mapping[str, ShotText]) -> tuple[str, ...]:
    """Name what is packed for a day beside its pieces: what its trays need that no piece brings along."""
    filmed = [texts[entry.number] for entry in day.shots]
    lying = ((tray.tools, [texts[number] for number in tray.shots]) for tray in trays(plan, day, texts))
    return day_notions(plan, day, filmed, [tool for tools, shots in lying for tool in loose(plan, day, tools, shots)])


def tray_of(plan: Plan, shots: Sequence[ShotText], first: str, *, several: bool) -> Tray:
    """Lay out the tray for some shots; ``first``: what must be done before, ``several``: its segment has others."""
    stops = stops_by_take(plan)
    pieces: dict[str, tuple[PieceHere, str]] = {}
    for shot in shots:
        mine = {piece.name: (piece, stop) for piece, stop in reversed(stops.get(shot.number, ()))}
        for piece in shot.pieces:
            if piece.letter not in pieces:
                pieces[piece.letter] = piece, _arrives(plan, *mine[piece.letter], shots[0].number, shot.number)
    lying, still_worked = zip(*pieces.values(), strict=True) if pieces else ((), ())
    return Tray(
        segment=shots[0].segment,
        only=f"for {listing([shot.number for shot in shots])}" if several else "",
        title=shots[0].segment_title,
        shots=tuple(shot.number for shot in shots),
        first=first,
        pieces=lying,
        still=still_worked,
        inside=tuple(marked(inside(plan, one.kind, one.start)) for one in lying),
        tools=on_table(plan.course, [tool for shot in shots for tool in shot.tools]),
    )


def laid_after(course: Course, before: Sequence[ShotNumber], number: ShotNumber) -> str:
    """Say what must be done before the tray for a shot is laid ready; nothing where it may lie beside those before."""
    cleared = next((how for one in reversed(before) if (how := cleared_between(course, one, number))), "")
    return f"For {number}, and laid ready only then: {cleared}." if cleared else ""


def _arrives(plan: Plan, piece: Piece, stop: Stop, begins: str, number: str) -> str:
    """Say what a piece that is not on its tray yet comes from: another tray, somebody’s hands, or yarn and a needle."""
    if missing(plan, (piece.name,), first_day(plan.worked, stop.slot)):
        return "not there"
    if any(begun_on_set(plan, piece)) and stop is piece.stops[0]:
        return f"with {begun_on_set(plan, piece)}"
    still = _still_worked(plan, stop, begins, number)
    shots = {str(item.number): item for item in plan.worked.listed}
    earlier = [shots[shot_of(one.demand)] for one in piece.stops[: piece.stops.index(stop)]]
    if still or not earlier or earlier[-1].day != shots[number].day:
        return still
    words = words_of(plan.course.pattern)
    made = words.made if words.pace else "worked"
    return f"{made} on since {earlier[-1].number}" if stop.spells else f"comes over from {earlier[-1].number}"


def _still_worked(plan: Plan, stop: Stop, begins: str, number: str) -> str:
    order = plan.worked.order
    slots = [plan.worked.slots[spell.slot] for spell in (*stop.spells, *stop.drying)]
    late = any(slot.shot >= order.index(begins) for slot in slots)
    return f"still in work when this begins, ready for {number}" if late else ""


DROPPED = 3
"""So many shots of a day are named to be dropped first, where the course marks none."""
LEAST_FREED = 0.5
"""Minutes that are worth dropping something for."""
NO_SOONER = "nothing, since a piece that is worked on is ready no sooner"


def dropped_first(plan: Plan, day: Day, texts: Mapping[str, ShotText]) -> tuple[str, ...]:
    """Say what is dropped first if time runs out, what frees most time first: a shot, or all but one take of it."""
    gains = _gains(plan, day)
    what = [f"{one} {texts[one].heading}" if whole else f"all but one take of {one}" for one, whole, _ in gains]
    frees = [duration(gain) if gain >= LEAST_FREED else NO_SOONER for _, _, gain in gains]
    return tuple(f"{shot}: frees {minutes}" for shot, minutes in zip(what, frees, strict=True))


@remembered_each(2)
def _gains(plan: Plan, day: Day) -> tuple[tuple[str, bool, float], ...]:
    """The shots to drop first, whether all of each is dropped, and the minutes by which the day is over sooner.

    Those that may be dropped; where the course marks none, the extra takes of shots in which nothing moves.
    """
    shots = [item for item in plan.worked.listed if item.day == day.number]
    marked = [item for item in shots if item.shot.can_drop]
    floor = {item.number: plan.worked.clocks[item.number].floor.mean for item in shots}
    moved, whole = {piece.shot for piece in plan.worked.table if piece.moves}, bool(marked)
    still = [item for item in shots if item.number not in moved and item.shot.takes > 1]
    likely = marked or sorted(still, key=lambda item: -floor[item.number] * (1 - 1 / item.shot.takes))[:DROPPED]
    found = [(str(one.number), whole, freed(plan, day.number, one.number, whole=whole)) for one in likely]
    return tuple(sorted((one for one in found if whole or one[2] >= LEAST_FREED), key=lambda one: -one[2]))
