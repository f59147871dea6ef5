"""The editor's sheet of an episode: what is said and done in each shot, which take to use, what to speed up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from lessonplan.course.model import Episode
from lessonplan.course.numbers import ShotNumber
from lessonplan.course.slates import named_shots
from lessonplan.documents.advice import advice, second_of
from lessonplan.documents.cuts import CutsView, cuts_view
from lessonplan.documents.errata import ErratumRow, rows_for_episode
from lessonplan.documents.filmed import Filmed, TakeLine, filmed_shots
from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import clock, listing, screen_time, short_day
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.worked import Plan
from lessonplan.shoot.clocks import ShotClock, minutes_of_hands
from lessonplan.shoot.estimate import Estimate, total

OVERLAID = ("text over the picture", "none yet")
"""Remedies of errata that are the editor's: a text to lay over, or not decided yet."""
TO_READ = (3.0, 0.3)
"""Seconds that a text over the picture stays: so many, and so many for each word (planning guess)."""


@dataclass(frozen=True, slots=True)
class Overlay:
    """A correction to lay over: the erratum, from where to where in the episode, and in which shot.

    ``shot`` is empty where the erratum names none of this episode. ``sure`` tells that the words were found, ``hear``
    that the take to use may be right already.
    """

    row: ErratumRow
    shot: str
    start: str
    end: str
    sure: bool
    hear: str = ""


@dataclass(frozen=True, slots=True)
class OnScreen:
    """A text over the picture, and where in the episode: at the words it belongs to, else only for how long."""

    text: str
    when: str


@dataclass(frozen=True, slots=True)
class ShotRow:
    """A shot for the editor: where it starts, how long it runs, what is said and done, which takes there are.

    ``seconds``: start, length, shortest and longest on screen; ``spoken`` and ``worked`` are the likely seconds of
    words and hands, ``take`` words the length with the handles of a take, ``planned`` the place in the filming day.
    """

    shot: ShotText
    start: str
    length: str
    range: str
    hands: tuple[str, ...]
    on_screen: tuple[OnScreen, ...]
    spoken: int
    worked: int
    advice: str
    planned: str
    take: str
    filmed: Filmed | None
    corrections: tuple[Overlay, ...]
    seconds: tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class SegmentRow:
    """A segment for the editor, with its shots; ``seconds`` are its start and length.

    ``filmed`` words how long the takes to use run, without handles, against the plan for the same shots.
    """

    number: str
    title: str
    chapter: bool
    start: str
    length: str
    range: str
    filmed: str
    shots: tuple[ShotRow, ...]
    seconds: tuple[int, int]


@dataclass(frozen=True, slots=True)
class EditorView:
    """What stands on the editor's sheet of one episode; ``done`` words how much is filmed, if anything is.

    ``missing`` are the shots of which there is nothing to cut, by what they wait for.
    """

    title: str
    number: int
    episode: str
    length: str
    range: str
    seconds: int
    longest: int
    shot_count: int
    done: str
    missing: tuple[str, ...]
    handles: str
    segments: tuple[SegmentRow, ...]
    corrections: tuple[Overlay, ...]
    other_errata: tuple[ErratumRow, ...]
    cuts: CutsView | None


def editor_view(plan: Plan, episode: Episode) -> EditorView:
    """Lay out the editor's sheet of one episode, in the order of the story.

    Every shot runs whole seconds, so that starts and lengths on the sheet add up.
    """
    clocks = [one for one in plan.worked.clocks.values() if one.number.episode == episode.episode]
    starts = _starts(clocks)
    errata = rows_for_episode(plan, episode.episode)
    filmed = filmed_shots(plan)
    overlays = tuple(_overlay(plan, row, starts, filmed) for row in errata if row.remedy in OVERLAID)
    rows = {one.number: _row(plan, one, starts[one.number], filmed, overlays) for one in clocks}
    segments = []
    for number, _, segment in plan.course.segments():
        inside = [one for one in clocks if one.number.segment == number]
        if inside:
            shots = tuple(rows[one.number] for one in inside)
            segments.append(_segment(number, segment.chapter, shots, total(one.screen for one in inside)))
    length = sum(one.seconds for one in clocks)
    done = [row.filmed.done for row in rows.values() if row.filmed]
    pace = plan.course.course.pace
    return EditorView(
        title=plan.course.course.title,
        number=episode.episode,
        episode=episode.title,
        length=screen_time(length / 60),
        range=up_to(total(one.screen for one in clocks)),
        seconds=length,
        longest=max([1, *(max(row.spoken, row.worked) for row in rows.values())]),
        shot_count=len(rows),
        done=f"{sum(done)} of {len(rows)}" if done else "",
        missing=_missing(rows),
        handles=f"{round(pace.opening * 60)} s before and {round(pace.hold * 60)} s after",
        segments=tuple(segments),
        corrections=overlays,
        other_errata=tuple(row for row in errata if row.remedy not in OVERLAID),
        cuts=cuts_view(plan, episode),
    )


def up_to(runs: Estimate) -> str:
    """Word the screen time that is not passed nine times in ten: ``up to 3:05``."""
    return f"up to {screen_time(runs.nine_in_ten)}"


def _starts(clocks: list[ShotClock]) -> Mapping[ShotNumber, int]:
    """The second of the episode at which each shot starts."""
    found, position = {}, 0
    for one in clocks:
        found[one.number] = position
        position += one.seconds
    return found


def _missing(rows: Mapping[ShotNumber, ShotRow]) -> tuple[str, ...]:
    """List the shots that cannot be cut yet, by what they wait for: ``not filmed: 1.2.2 and 1.2.3``."""
    waits: dict[str, list[str]] = {}
    for number, row in rows.items():
        if row.filmed and not row.filmed.done:
            waits.setdefault(row.filmed.state, []).append(number)
    return tuple(f"{state}: {listing(numbers)}" for state, numbers in waits.items())


def _so_far(shots: tuple[ShotRow, ...]) -> str:
    """Word how long the takes to use of these shots run without handles, and what was planned for the same shots."""
    best = [(row.seconds[1], row.filmed.best.net) for row in shots if row.filmed and row.filmed.best]
    timed = [(planned, net) for planned, net in best if net is not None]
    if not timed:
        return ""
    shots_in = f"{len(timed)} of {len(shots)} shots"
    real, planned = (screen_time(sum(one) / 60) for one in ([net for _, net in timed], [plan for plan, _ in timed]))
    return f"Takes to use, without handles: {real} for {shots_in}, {planned} planned."


def _segment(number: str, chapter: bool, shots: tuple[ShotRow, ...], runs: Estimate) -> SegmentRow:
    start, length = shots[0].seconds[0], sum(row.seconds[1] for row in shots)
    return SegmentRow(
        number=number,
        title=shots[0].shot.segment_title,
        chapter=chapter,
        start=screen_time(start / 60),
        length=screen_time(length / 60),
        range=up_to(runs),
        filmed=_so_far(shots),
        shots=shots,
        seconds=(start, length),
    )


def _row(
    plan: Plan, one: ShotClock, start: int, filmed: Mapping[str, Filmed], overlays: tuple[Overlay, ...]
) -> ShotRow:
    length, low, high = one.seconds, round(one.screen.low * 60), round(one.screen.nine_in_ten * 60)
    return ShotRow(
        shot=all_shots(plan)[one.number],
        start=screen_time(start / 60),
        length=screen_time(length / 60),
        range=f"{screen_time(low / 60)} to {screen_time(high / 60)}",
        hands=_hands(plan, one.number),
        on_screen=tuple(_on_screen(plan, one.number, start, text) for text in all_shots(plan)[one.number].on_screen),
        spoken=round(one.speech.likely * 60),
        worked=round(one.hands.likely * 60),
        advice=advice(plan, one, start, filmed),
        planned=_place_in_day(plan, one.number),
        take=screen_time(length / 60 + one.handles),
        filmed=filmed.get(one.number),
        corrections=tuple(item for item in overlays if item.shot == one.number),
        seconds=(start, length, low, high),
    )


def _hands(plan: Plan, number: ShotNumber) -> tuple[str, ...]:
    """Word what the hands do in a shot, each thing with its likely time."""
    word = for_size(plan.worked.facts, plan.worked.size)
    minutes = minutes_of_hands(plan.course, number, plan.worked.kinds, plan.worked.table)
    hands = plan.course.shot(number).hands
    return tuple(
        f"for {screen_time(time)}: {fill(one.work or one.do, word)}" for one, time in zip(hands, minutes, strict=True)
    )


def _on_screen(plan: Plan, number: ShotNumber, start: int, text: str) -> OnScreen:
    second = second_of(text, all_shots(plan)[number].say, plan.course.course.pace.speech)
    if second is None:
        return OnScreen(text, f"{_to_read(text)} s or longer")
    begins = start + second
    return OnScreen(text, f"{screen_time(begins / 60)} to {screen_time((begins + _to_read(text)) / 60)}")


def _to_read(text: str) -> int:
    """Seconds that a text over the picture stays."""
    return ceil(TO_READ[0] + TO_READ[1] * len(text.split()))


def _place_in_day(plan: Plan, number: ShotNumber) -> str:
    """Say where in the filming days a shot stands, to find it among the clips: ``Sat 6 Mar, shot 4 of 24, 10:34``."""
    for day in plan.days:
        shots = [entry for entry in day.entries if entry.kind == "shot"]
        for place, entry in enumerate(shots, 1):
            if entry.number == number:
                return f"{short_day(day.day)}, shot {place} of {len(shots)}, about {clock(entry.start)}"
    return ""


def _overlay(plan: Plan, row: ErratumRow, starts: Mapping[ShotNumber, int], filmed: Mapping[str, Filmed]) -> Overlay:
    """Place a correction: at the words it has in common with the shot, else from the start of the shot on."""
    shot = next((one.number for one in named_shots(plan.course, row.where) if one.number in starts), None)
    if shot is None:
        return Overlay(row, "", "", "", False)
    said = all_shots(plan)[shot].say
    found = [second_of(text, said, plan.course.course.pace.speech) for text in (row.right, row.said)]
    second = next((one for one in found if one is not None), None)
    start = starts[shot] + (second or 0)
    end = start + _to_read(row.right)
    return Overlay(
        row=row,
        shot=shot,
        start=screen_time(start / 60),
        end=screen_time(end / 60),
        sure=second is not None,
        hear=_hear(row, filmed.get(shot)),
    )


def _hear(row: ErratumRow, filmed: Filmed | None) -> str:
    """Ask to listen first, where another take has the slip of the tongue and the one to use has none."""
    best = filmed.best if filmed else None
    if row.kind == "picture" or not filmed or not best or best.slip or not any(take.slip for take in filmed.takes):
        return ""
    return f"take {best.take} has no slip in the log: hear first whether it needs this"


def editor_table(view: EditorView) -> tuple[tuple[str, ...], ...]:
    """Give the sheet as rows for a spreadsheet, a heading first; times in whole seconds, several texts on lines."""
    rows = [_cells(segment, row) for segment in view.segments for row in segment.shots]
    head = tuple(rows[0]) if rows else ()
    return (head, *(tuple(cells.values()) for cells in rows))


def _cells(segment: SegmentRow, row: ShotRow) -> dict[str, str]:
    """The cells of one shot by column; ``start`` and ``timecode`` are those of the take to use."""
    start, length, low, high = map(str, row.seconds)
    takes = row.filmed.takes if row.filmed else ()
    best = row.filmed.best if row.filmed else None
    others = [_in_one_line(take) for take in takes if not take.use]
    if row.filmed and row.filmed.again:
        others.append(f"not to be used: {row.filmed.again}")
    return {
        "segment": segment.number,
        "segment_title": segment.title,
        "shot": row.shot.number,
        "slate": str(row.shot.slate or ""),
        "shot_title": row.shot.title,
        "view": row.shot.view,
        "start_s": start,
        "length_s": length,
        "low_s": low,
        "high_s": high,
        "words_s": str(row.spoken),
        "hands_s": str(row.worked),
        "planned": row.planned,
        "filmed": row.filmed.state if row.filmed else "",
        "take": str(best.take) if best else "",
        "day": best.day if best else "",
        "clip": best.file if best else "",
        "clock": best.start if best else "",
        "timecode": best.timecode if best else "",
        "take_s": str(best.seconds) if best and best.seconds is not None else "",
        "without_handles_s": str(best.net) if best and best.net is not None else "",
        "slip": best.slip if best else "",
        "note": best.note if best else "",
        "other_takes": "\n".join(others),
        "words": " ".join(row.shot.say.split()),
        "hands": "\n".join(row.hands),
        "on_screen": "\n".join(f"{one.when}: {one.text}" for one in row.on_screen),
        "corrections": "\n".join(_correction(one) for one in row.corrections),
        "advice": row.advice,
        "for_editor": " ".join(row.shot.for_editor.split()),
    }


def _correction(one: Overlay) -> str:
    return f"{one.start} to {one.end}: {one.row.right}" + (f" ({one.hear})" if one.hear else "")


def _in_one_line(take: TakeLine) -> str:
    parts = (take.verdict, take.file, take.start, take.timecode, take.length, take.slip, take.note)
    return f"take {take.take}: " + ", ".join(part for part in parts if part)
