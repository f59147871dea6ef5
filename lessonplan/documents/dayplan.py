"""The printed run sheet: the day on one page, trays to cut out, what is packed, and the shots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.names.toolbox import on_table
from lessonplan.documents.floorwork import FloorJob, brought_back, floor_jobs, handed_back
from lessonplan.documents.marks import Drawn, Marked
from lessonplan.documents.runsheet import day_notions, dropped_first, still_knitted
from lessonplan.documents.samples import size_of
from lessonplan.documents.shots import PieceHere, ShotText, all_shots, stops_by_shot
from lessonplan.documents.wording import clock, day_text, duration, listing
from lessonplan.documents.worklines import runs
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.shoot.day import Day, Entry

_BARS = {"set-up": "Set-up", "lunch": "Lunch", "rest": "Rest", "wait": "Wait", "wrap": "Wrap"}


@dataclass(frozen=True, slots=True)
class DayRow:
    """One row of the day: a shot with a box for each take, a segment's heading, a bar (rest, lunch, wrap), or a job.

    ``latest``: by when it has begun nine days in ten, if that is later. ``change``: what is changed before it.
    """

    kind: str
    time: str
    latest: str
    slate: str
    number: str
    title: Marked
    view: str
    pieces: tuple[str, ...]
    takes: tuple[str, ...]
    one_way: bool
    change: str
    text: str


@dataclass(frozen=True, slots=True)
class TrayPiece:
    """A piece on a tray: how it lies there when the segment begins, or that it is still in work.

    ``note``: what whoever knits it was told of it, by which it is known.
    """

    letter: str
    kind: str
    now: str
    still: str
    note: Marked
    drawing: Drawn


@dataclass(frozen=True, slots=True)
class TrayCard:
    """What lies ready for one segment, from ``time`` on."""

    segment: str
    title: Marked
    time: str
    pieces: tuple[TrayPiece, ...]
    tools: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShotPiece:
    """A piece in a shot: what it is like now, what it becomes, and on what it goes where the move is for good."""

    letter: str
    kind: str
    now: str
    after: str
    spare: bool
    drawing: Drawn


@dataclass(frozen=True, slots=True)
class ShotCard:
    """One shot as the host needs it: ``before`` it and ``between`` its takes she does something to pieces herself.

    ``handed``: the pieces that others take up at it or after it; ``then``: what comes after it.
    """

    time: str
    latest: str
    number: str
    slate: str
    title: Marked
    view: str
    takes: tuple[str, ...]
    pieces: tuple[ShotPiece, ...]
    one_way: str
    goes_on: tuple[str, ...]
    hands: tuple[str, ...]
    tools: tuple[str, ...]
    on_screen: tuple[str, ...]
    points: tuple[str, ...]
    say: Marked
    note: Marked
    for_helper: Marked
    before: tuple[str, ...]
    between: tuple[str, ...]
    handed: tuple[str, ...]
    then: str


@dataclass(frozen=True, slots=True)
class RunSheetPaper:
    """What stands on one day's printed run sheet."""

    title: str
    course: str
    host: str
    day: str
    place: str
    size: str
    helpers: str
    brought: str
    times: tuple[tuple[str, str], ...]
    rows: tuple[DayRow, ...]
    trays: tuple[TrayCard, ...]
    pieces: tuple[tuple[str, str], ...]
    pack: tuple[str, ...]
    jobs: tuple[FloorJob, ...]
    drop: tuple[str, ...]
    cautions: tuple[str, ...]
    shots: tuple[ShotCard, ...]


def run_sheet_paper(plan: Plan, day: Day) -> RunSheetPaper:
    """Lay out the printed run sheet of one day."""
    texts, file = all_shots(plan), plan.course.course
    planned = file.shoot[day.number]
    filmed, jobs = [texts[entry.number] for entry in day.entries if entry.kind == "shot"], floor_jobs(plan, day)
    return RunSheetPaper(
        title=f"Run sheet, day {day.number + 1}",
        course=file.title,
        host=file.host,
        day=day_text(day.day),
        place=planned.place,
        size=size_of(plan),
        helpers=listing(planned.helpers),
        brought=brought_back(plan, day),
        times=_times(day),
        rows=(*_rows(day, texts, jobs), *_night(day, jobs)),
        trays=tuple(_trays(plan, day, texts)),
        pieces=_pieces(plan, day, filmed),
        pack=day_notions(plan, day, texts),
        jobs=tuple(job for job in jobs if not job.crumb),
        drop=dropped_first(plan, day, texts),
        cautions=cautions(plan, "floor"),
        shots=tuple(_shots(plan, day, texts, jobs)),
    )


def _times(day: Day) -> tuple[tuple[str, str], ...]:
    """The times of the day, each with its name."""
    first = next((entry.start for entry in day.entries if entry.kind == "shot"), float(day.call))
    over = day.over
    late = f", {duration(over)} late" if over > 0.5 else f", {duration(-over)} in hand" if over < -0.5 else ""
    return (
        ("Call", clock(day.call)),
        ("First shot", clock(first)),
        ("Wrap", clock(day.wrap)),
        ("Wrap at the latest", clock(day.late_wrap)),
        ("Wrap planned", f"{clock(day.planned_wrap)}{late}"),
    )


def _pieces(plan: Plan, day: Day, filmed: Sequence[ShotText]) -> tuple[tuple[str, str], ...]:
    """The pieces of a day, each as it is first wanted there, and from whom if it was taken along at night."""
    whose = {piece: f", from {who}" for piece, who in handed_back(plan, day).items()}
    first = {piece.letter: piece for text in reversed(filmed) for piece in text.pieces}
    return tuple(
        (letter, f"{one.now} ({one.kind}){whose.get(letter, '')}")
        for letter, one in sorted(first.items(), key=_by_letter)
    )


def _by_letter(item: tuple[str, PieceHere]) -> tuple[int, str]:
    return len(item[0]), item[0]


def _late(entry: Entry) -> str:
    return clock(entry.late) if clock(entry.late) != clock(entry.start) else ""


def _slate(text: ShotText) -> str:
    return str(text.slate) if text.slate else ""


def _takes(text: ShotText) -> tuple[str, ...]:
    return tuple(str(take) for take in range(1, text.takes + 1))


def _rows(day: Day, texts: Mapping[str, ShotText], jobs: Sequence[FloorJob]) -> Iterator[DayRow]:
    """The rows of a day: what is changed stands before the shot that it is changed for, and a job where it begins."""
    segment, change = "", ""
    waiting = [job for job in jobs if not (job.crumb or job.night)]
    for entry in day.entries:
        while waiting and waiting[0].begin <= entry.start and entry.kind not in ("rest", "lunch"):
            job = waiting.pop(0)
            said = f"{job.who}: {job.piece} {job.to}, for {job.number}"
            yield _bar(replace(entry, start=job.begin), "job", said, Marked(""))
        if entry.kind == "change":
            change = _change(entry)
        elif entry.kind == "shot":
            text = texts[entry.number]
            if text.segment != segment:
                yield _bar(entry, "segment", f"Segment {text.segment}", Marked(text.segment_title))
            yield DayRow(
                kind="shot",
                time=clock(entry.start),
                latest=_late(entry),
                slate=_slate(text),
                number=text.number,
                title=Marked(text.title or text.segment_title),
                view=text.view,
                pieces=tuple(dict.fromkeys(piece.letter for piece in text.pieces)),
                takes=_takes(text),
                one_way=text.one_way,
                change=change,
                text="",
            )
            segment, change = text.segment, ""
        else:
            name, minutes = _BARS.get(entry.kind, entry.kind), entry.end - entry.start
            said = "" if entry.kind in ("lunch", "wait") or not entry.text else f": {_small(entry.text)}"
            if entry.kind == "wait":
                after = day.entries[day.entries.index(entry) + 1 :]
                number = next((one.number for one in after if one.kind == "shot"), "")
                for_it = [f"{job.piece} to “{job.goal}”" for job in jobs if job.number == number and not job.between]
                said = f": {'; '.join(for_it)}" if for_it else ""
            yield _bar(entry, entry.kind, name + (f", {duration(minutes)}" if minutes else "") + said, Marked(""))


def _night(day: Day, jobs: Sequence[FloorJob]) -> Iterator[DayRow]:
    """What is knitted after the wrap, as a bar; nothing when nobody knits then."""
    night = [job for job in jobs if job.night]
    if night:
        what = "; ".join(f"{job.piece} {job.to}" for job in night)
        what += f"; in all {duration(sum(job.spent for job in night))}" if len(night) > 1 else ""
        yield _bar(day.entries[-1], "night", f"After the wrap, {night[0].who}: {what}", Marked(""))


def _change(entry: Entry) -> str:
    """Word a change for its column: what is changed, without the view, which stands beside it."""
    what = [name for name in ("view", "tray") if name in entry.text.lower()]
    return f"{', '.join(what) or _small(entry.text)} {duration(entry.end - entry.start)}"


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _bar(entry: Entry, kind: str, text: str, title: Marked) -> DayRow:
    return DayRow(
        kind=kind,
        time=clock(entry.start),
        latest="",
        slate="",
        number="",
        title=title,
        view="",
        pieces=(),
        takes=(),
        one_way=False,
        change="",
        text=text,
    )


def _trays(plan: Plan, day: Day, texts: Mapping[str, ShotText]) -> Iterator[TrayCard]:
    """A card for each tray, in filming order; a segment that is filmed in two goes has two."""
    group: list[Entry] = []
    for entry in (*(one for one in day.entries if one.kind == "shot"), None):
        if group and (entry is None or texts[entry.number].segment != texts[group[0].number].segment):
            yield _tray(plan, group, [texts[one.number] for one in group])
            group = []
        if entry:
            group.append(entry)


def _tray(plan: Plan, entries: Sequence[Entry], shots: Sequence[ShotText]) -> TrayCard:
    stops = stops_by_shot(plan)
    found: dict[str, TrayPiece] = {}
    for text in shots:
        pairs = {piece.name: (piece, stop) for piece, stop in reversed(stops.get(text.number, ()))}
        for one in text.pieces:
            if one.letter not in found:
                still = still_knitted(plan, pairs[one.letter][1], shots[0].number, text.number)
                drawing = Drawn(one.start, one.kind, f"Piece {one.letter}")
                found[one.letter] = TrayPiece(
                    letter=one.letter,
                    kind=one.kind,
                    now=one.now,
                    still=still,
                    note=Marked(one.knit_note),
                    drawing=drawing,
                )
    tools = on_table(plan.course, [tool for text in shots for tool in text.tools])
    pieces = tuple(found.values())
    return TrayCard(
        segment=shots[0].segment,
        title=Marked(shots[0].segment_title),
        time=clock(entries[0].start),
        pieces=pieces,
        tools=tools,
    )


def _shots(plan: Plan, day: Day, texts: Mapping[str, ShotText], jobs: Sequence[FloorJob]) -> Iterator[ShotCard]:
    for place, entry in enumerate(day.entries):
        if entry.kind == "shot":
            text = texts[entry.number]
            mine = [job for job in jobs if job.number == text.number and job.crumb]
            yield ShotCard(
                time=clock(entry.start),
                latest=_late(entry),
                number=text.number,
                slate=_slate(text),
                title=Marked(text.title or text.segment_title),
                view=text.view,
                takes=_takes(text),
                pieces=tuple(_shot_pieces(text)),
                one_way=_one_way(text),
                goes_on=tuple(_goes_on(text)),
                hands=text.hands,
                tools=on_table(plan.course, text.tools),
                on_screen=text.on_screen,
                points=text.points,
                say=Marked(text.say),
                note=Marked(text.note),
                for_helper=Marked(text.for_helper),
                before=tuple(dict.fromkeys(job.sentence for job in mine if not job.between)),
                between=tuple(dict.fromkeys(job.sentence for job in mine if job.between)),
                handed=tuple(job.sentence for job in jobs if job.at == text.number and not (job.crumb or job.night)),
                then=_then(day, place, texts),
            )


def _shot_pieces(text: ShotText) -> Iterator[ShotPiece]:
    for one in text.pieces:
        kind = f"{one.kind}, {one.name}" if one.name else one.kind
        if one.spare:
            kind += ", spare"
        elif one.takes:
            kind += f", take{'s' if len(one.takes) > 1 else ''} {runs(one.takes)}"
        if one.put_back:
            kind += ", put back between them"
        drawing = Drawn(one.start, one.kind, f"Piece {one.letter} now")
        yield ShotPiece(letter=one.letter, kind=kind, now=one.now, after=one.after, spare=one.spare, drawing=drawing)


def _one_way(text: ShotText) -> str:
    """Warn of a move that cannot be undone, and say how many pieces there are for it."""
    if not text.one_way:
        return ""
    fresh = list(dict.fromkeys(one.letter for one in text.pieces if one.one_way))
    there = f"A fresh piece for each take: {', '.join(fresh)}." if len(fresh) > 1 else ""
    there = f"Only piece {fresh[0]} is there for it." if len(fresh) == 1 else there
    return f"Cannot be undone. {there} Check picture, sound and hands before you begin.".replace("  ", " ")


def _goes_on(text: ShotText) -> Iterator[str]:
    """Say where each piece of several for a move goes on to: it must be so far there, whichever take is used."""
    for one in text.pieces:
        if one.goes_on:
            unused = f": if {'it is not used' if one.spare else 'its take is not needed'}, bring it there off camera"
            yield f"{one.letter} goes on to {one.goes_on}{unused if one.perhaps else ''}."


def _then(day: Day, place: int, texts: Mapping[str, ShotText]) -> str:
    """Say what comes between this shot and the next."""
    parts: list[str] = []
    for entry in day.entries[place + 1 :]:
        if entry.kind == "shot":
            before, after = texts[day.entries[place].number], texts[entry.number]
            tray = f" {after.segment}" if before.segment != after.segment else ""
            parts = [part.replace("next tray", f"tray{tray}") for part in parts]
            return f"{'; '.join([*parts, after.number])}" if parts else f"{after.number} at once"
        minutes = entry.end - entry.start
        text = entry.text if entry.kind in ("change", "wait") else _BARS.get(entry.kind, entry.kind)
        parts.append(f"{_small(text) if parts else text}" + (f", {duration(minutes)}" if minutes else ""))
    return "; ".join(parts)
