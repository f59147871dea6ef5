"""The printed run sheet: the day on one page, trays to cut out, what is packed, and the shots."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.documents.floorwork import FloorJob, floor_jobs, night_end
from lessonplan.documents.marks import Drawn, Marked, shared
from lessonplan.documents.packing import lying
from lessonplan.documents.runsheet import OnEveryRunSheet, laid_after, run_sheet_view, tray_of
from lessonplan.documents.shotcards import BARS, ShotCard, late_of, shot_cards, slate_of, small_first, takes_of, waiting
from lessonplan.documents.shots import ShotText, all_shots, kind_label
from lessonplan.documents.wording import duration, lasts
from lessonplan.planning.contradicted import wetted
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import Day, Entry, clock
from lessonplan.shoot.hazards import PAIRS, kept_apart


@dataclass(frozen=True, slots=True)
class DayRow:
    """One row of the day: a shot with a box for each take, a segment's heading, a bar (rest, lunch, wrap), or a job.

    ``latest``: by when it has begun nine days in ten, if that is later. ``change``: what is changed before it.
    """

    kind: str
    time: str
    title: Marked
    text: str = ""
    latest: str = ""
    slate: str = ""
    number: str = ""
    view: str = ""
    pieces: tuple[str, ...] = ()
    takes: tuple[str, ...] = ()
    one_way: bool = False
    change: str = ""


@dataclass(frozen=True, slots=True)
class TrayPiece:
    """A piece on a tray: how it lies there when the segment begins, or that it is still in work.

    ``inside``: the markers in it. ``note``: what whoever knits it was told of it, by which it is known.
    """

    letter: str
    kind: str
    now: str
    still: str
    inside: str
    note: Marked
    drawing: Drawn


@dataclass(frozen=True, slots=True)
class TrayCard:
    """What lies ready for one segment, from ``time`` on; ``first``: what must be done before it is laid ready.

    ``only``: its shots, where the segment has several trays.
    """

    segment: str
    only: str
    title: Marked
    time: str
    pieces: tuple[TrayPiece, ...]
    tools: tuple[str, ...]
    first: str


@dataclass(frozen=True, slots=True)
class RunSheetPaper(OnEveryRunSheet):
    """What stands on one day's printed run sheet."""

    title: str
    course: str
    size: str
    times: tuple[tuple[str, str], ...]
    rows: tuple[DayRow, ...]
    trays: tuple[TrayCard, ...]
    pack: tuple[str, ...]
    shots: tuple[ShotCard, ...]


def run_sheet_paper(plan: Plan, day: Day) -> RunSheetPaper:
    """Lay out the printed run sheet of one day."""
    texts, sheet, jobs = all_shots(plan), run_sheet_view(plan, day), floor_jobs(plan, day)
    return RunSheetPaper(
        **shared(sheet, OnEveryRunSheet),
        title=f"Run sheet, day {day.number + 1}",
        course=sheet.title,
        size=sheet.film_size,
        times=_times(day),
        rows=(*_rows(plan, day, texts, jobs), *_night(day, jobs)),
        trays=tuple(_trays(plan, day, texts)),
        pack=sheet.notions,
        shots=tuple(shot_cards(plan, day, texts, jobs)),
    )


def _times(day: Day) -> tuple[tuple[str, str], ...]:
    """The times of the day, each with its name."""
    first = next((entry.start for entry in day.shots), float(day.call))
    over = day.over
    late = f", {duration(over)} late" if over > 0.5 else f", {duration(-over)} in hand" if over < -0.5 else ""
    return (
        ("Call", clock(day.call)),
        ("First shot", clock(first)),
        ("Wrap", clock(day.wrap)),
        ("Wrap, likely by", clock(day.late_wrap)),
        ("Wrap planned", f"{clock(day.planned_wrap)}{late}"),
    )


def _rows(plan: Plan, day: Day, texts: Mapping[str, ShotText], jobs: Sequence[FloorJob]) -> Iterator[DayRow]:
    """The rows of a day: what is changed stands before the shot that it is changed for, and a job where it begins."""
    segment, change = "", ""
    coming = [job for job in jobs if not (job.crumb or job.night)]
    for entry in day.entries:
        while coming and coming[0].begin <= entry.start and not entry.is_break:
            job = coming.pop(0)
            said = f"{job.who}: {job.piece} {job.to}, for {job.number}"
            yield _bar(replace(entry, start=job.begin), "job", said)
        if entry.kind == "change":
            change = _change(entry)
        elif entry.kind == "shot":
            text = texts[entry.number]
            if text.segment != segment:
                yield _bar(entry, "segment", f"Segment {text.segment}", text.segment_title)
            yield DayRow(
                kind="shot",
                time=clock(entry.start),
                latest=late_of(entry),
                slate=slate_of(text),
                number=text.number,
                title=Marked(text.heading),
                view=text.view,
                pieces=tuple(dict.fromkeys(piece.letter for piece in text.pieces)),
                takes=takes_of(text),
                one_way=text.one_way or bool(wetted(plan, text.number)),
                change=change,
            )
            segment, change = text.segment, ""
        else:
            name, minutes = BARS.get(entry.kind, entry.kind), lasts(entry)
            said = "" if entry.kind == "lunch" or not entry.text else f": {small_first(entry.text)}"
            if entry.kind == "wait":
                yield _bar(entry, entry.kind, waiting(plan, day, entry, jobs))
                continue
            yield _bar(entry, entry.kind, name + (f", {minutes}" if minutes else "") + said)


def _night(day: Day, jobs: Sequence[FloorJob]) -> Iterator[DayRow]:
    """What is knitted after the wrap, as a bar; nothing when nobody knits then."""
    night = [job for job in jobs if job.night]
    if night:
        spent, what = sum(job.spent for job in night), "; ".join(f"{job.piece} {job.to}" for job in night)
        what += f"; in all {duration(spent)}" if len(night) > 1 else ""
        end, resting = night_end(day, jobs)
        until = f"until about {clock(end)}{resting}"
        yield _bar(day.entries[-1], "night", f"After the wrap, {until}, {night[0].who}: {what}")


def _change(entry: Entry) -> str:
    """Word a change for its column: what is changed, without the view, which stands beside it."""
    cleared = [pair.between for pair in PAIRS if pair.between in entry.text.lower()]
    what = [name for name in ("view", "tray", *cleared) if name in entry.text.lower()]
    return f"{', '.join(what) or small_first(entry.text)} {lasts(entry)}"


def _bar(entry: Entry, kind: str, text: str, title: str = "") -> DayRow:
    return DayRow(kind, clock(entry.start), Marked(title), text)


def _trays(plan: Plan, day: Day, texts: Mapping[str, ShotText]) -> Iterator[TrayCard]:
    """A card for each tray, in filming order; a segment that is filmed in two goes has two.

    Water and what is plugged in never lie on one: what comes after the other is a card of its own.
    """
    filmed, cards = day.shots, list[TrayCard]()
    for _, some in groupby(filmed, key=lambda one: texts[one.number].segment):
        entries = {ShotNumber(one.number): one for one in some}
        parts = kept_apart(plan.course, entries)
        for before, part in zip((None, *parts), parts, strict=False):
            first = laid_after(plan.course, before or (), part[0])
            cards.append(
                _tray(plan, [entries[number] for number in part], [texts[number] for number in part], first, day)
            )
    several = Counter(one.segment for one in cards)
    yield from (replace(one, only=one.only if several[one.segment] > 1 else "") for one in cards)


def _tray(plan: Plan, entries: Sequence[Entry], shots: Sequence[ShotText], first: str, day: Day) -> TrayCard:
    tray = tray_of(plan, shots, first, several=True)
    return TrayCard(
        segment=tray.segment,
        only=tray.only,
        title=Marked(tray.title),
        time=clock(entries[0].start),
        pieces=tuple(
            TrayPiece(
                letter=one.letter,
                kind=kind_label(plan, one.kind),
                now=one.now,
                still=still,
                inside=inside,
                note=Marked(_told(shots, one.letter)),
                drawing=Drawn(one.start, one.kind, f"Piece {one.letter}"),
            )
            for one, still, inside in zip(tray.pieces, tray.still, tray.inside, strict=True)
        ),
        tools=lying(plan, day, tray.tools, shots),
        first=first,
    )


def _told(shots: Sequence[ShotText], letter: str) -> str:
    """What the maker of a piece was told for the shots of a tray: it is so in all of them."""
    notes = (one.knit_note for text in shots for one in text.pieces if one.letter == letter)
    return "\n\n".join(dict.fromkeys(note for note in notes if note))
