"""A shot as it stands on the printed run sheet: pieces, hands and words, and what comes before, between and after."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.documents.advice import BOX
from lessonplan.documents.atshot import AtShot, at_shot
from lessonplan.documents.floorwork import FloorJob
from lessonplan.documents.marks import Drawn, Marked
from lessonplan.documents.shots import ShotText, kind_label
from lessonplan.documents.stints import all_stints
from lessonplan.documents.wording import lasts
from lessonplan.documents.worklines import runs
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import Day, Entry, clock

BARS = {"set-up": "Set-up", "lunch": "Lunch", "rest": "Rest", "wait": "Wait", "wrap": "Wrap"}
"""The names of what stands between shots."""


@dataclass(frozen=True, slots=True)
class ShotPiece:
    """A piece in a shot: what it is like now, what it becomes, and where it goes from here (``on``)."""

    letter: str
    kind: str
    now: str
    after: str
    spare: bool
    on: str
    drawing: Drawn


@dataclass(frozen=True, slots=True)
class ShotCard:
    """One shot as the host needs it; ``at``: what she must know of it beside its text, on every paper alike.

    ``handed``: the pieces that others take up at it or after it; ``then``: what comes after it. ``worked``: what
    becomes of what is worked live on a piece that does not move.
    """

    time: str
    latest: str
    number: str
    slate: str
    title: Marked
    view: str
    takes: tuple[str, ...]
    pieces: tuple[ShotPiece, ...]
    at: AtShot
    hands: tuple[str, ...]
    on_screen: tuple[str, ...]
    points: tuple[str, ...]
    say: Marked
    note: Marked
    for_helper: Marked
    worked: str
    handed: tuple[str, ...]
    then: str


def late_of(entry: Entry) -> str:
    """Give by when a shot has begun nine days in ten; nothing where that is when it is planned."""
    return clock(entry.late) if clock(entry.late) != clock(entry.start) else ""


def slate_of(text: ShotText) -> str:
    """Give the slate of a shot; nothing where none is agreed."""
    return str(text.slate) if text.slate else ""


def takes_of(text: ShotText) -> tuple[str, ...]:
    """Mark the boxes of a shot: its takes by their numbers, and what its note asks to film besides."""
    return (*(str(take) for take in range(1, text.takes + 1)), *([BOX] if text.also else []))


def small_first(text: str) -> str:
    """Write a text with a small letter, as the middle of a sentence."""
    return text[:1].lower() + text[1:]


def waiting(plan: Plan, day: Day, entry: Entry, jobs: Sequence[FloorJob]) -> str:
    """Word a wait of the camera: how long, for which piece to become what, and on what condition for less long."""
    less = {(str(shot_of(one.stop.demand)), one.piece.name): one.less for one in all_stints(plan)}
    after = day.entries[day.entries.index(entry) + 1 :]
    number = next((one.number for one in after if one.kind == "shot"), "")
    for_it = [
        f"{job.piece} {'towards' if job.partly else 'to'} “{job.goal}”{less.get((job.number, job.piece), '')}"
        for job in jobs
        if job.number == number and not job.between
    ]
    if not for_it:  # somebody works for a later shot, and the day is parted here to give her the time
        later = {one.number for one in after if one.kind == "shot"}
        busy = [job for job in jobs if not (job.crumb or job.night) and job.begin < entry.end and job.number in later]
        for_it = [f"{job.piece} towards “{job.goal.removeprefix('towards ')}”, for {job.number}" for job in busy]
    return f"Wait, {lasts(entry)}" + (f": {'; '.join(for_it)}" if for_it else "")


def shot_cards(plan: Plan, day: Day, texts: Mapping[str, ShotText], jobs: Sequence[FloorJob]) -> Iterator[ShotCard]:
    """Lay out the shots of a day in filming order."""
    for place, entry in enumerate(day.entries):
        if entry.kind == "shot":
            text = texts[entry.number]
            at = at_shot(plan, day, text)
            yield ShotCard(
                time=clock(entry.start),
                latest=late_of(entry),
                number=text.number,
                slate=slate_of(text),
                title=Marked(text.heading),
                view=text.view,
                takes=takes_of(text),
                pieces=tuple(_shot_pieces(plan, text, at)),
                at=at,
                hands=text.hands,
                on_screen=text.on_screen,
                points=text.points,
                say=Marked(text.say),
                note=Marked(text.note),
                for_helper=Marked(text.for_helper),
                worked=text.worked,
                handed=tuple(job.sentence for job in jobs if job.at == text.number and not (job.crumb or job.night)),
                then=_then(plan, day, place, texts, jobs),
            )


def _shot_pieces(plan: Plan, text: ShotText, at: AtShot) -> Iterator[ShotPiece]:
    for one, on in zip(text.pieces, at.on, strict=True):
        label = f"{kind_label(plan, one.kind)}{f' ({one.fewer})' if one.fewer else ''}"
        kind = ", ".join(filter(None, (label, one.name)))
        if one.spare:
            kind += ", spare"
        elif one.takes:
            kind += f", take{'s' if len(one.takes) > 1 else ''} {runs(one.takes)}"
        if one.taken_back:
            kind += ", taken back between them"
        drawing = Drawn(one.start, one.kind, f"Piece {one.letter} now")
        yield ShotPiece(
            letter=one.letter, kind=kind, now=one.now, after=one.after, spare=one.spare, on=on, drawing=drawing
        )


def _then(plan: Plan, day: Day, place: int, texts: Mapping[str, ShotText], jobs: Sequence[FloorJob]) -> str:
    """Say what comes between this shot and the next."""
    parts: list[str] = []
    for entry in day.entries[place + 1 :]:
        if entry.kind == "shot":
            before, after = texts[day.entries[place].number], texts[entry.number]
            tray = f" {after.segment}" if before.segment != after.segment else ""
            parts = [part.replace("next tray", f"tray{tray}") for part in parts]
            return f"{'; '.join([*parts, after.number])}" if parts else f"{after.number} at once"
        if entry.kind == "wait":
            parts.append(small_first(waiting(plan, day, entry, jobs)) if parts else waiting(plan, day, entry, jobs))
            continue
        text = entry.text if entry.kind == "change" else BARS.get(entry.kind, entry.kind)
        parts.append(f"{small_first(text) if parts else text}" + (f", {lasts(entry)}" if lasts(entry) else ""))
    return "; ".join(parts)
