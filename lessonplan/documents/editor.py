"""The editor's sheet of an episode: how long each segment and shot runs, what to speed up, what goes on screen."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.model import Episode
from lessonplan.course.numbers import ShotNumber, shot_of
from lessonplan.documents.errata import ErratumRow, rows_for_episode
from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import screen_time, short_day
from lessonplan.planning.worked import Plan
from lessonplan.samples.ladder import contains
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.estimate import Total, total

LONG_HANDS = 1.0
"""Minutes of handwork beyond the speech from which speeding up is advised (planning guess)."""
FASTEST = 8
"""The most that handwork is sped up: beyond this the stitches cannot be followed (common practice)."""
OVERLAID = ("text over the picture", "none yet")
"""Remedies of errata that are the editor's: a text to lay over, or not decided yet."""
SHOWN_AFTER_WORDS = 0.5
"""Minutes of sped-up handwork that are left after the words (planning guess)."""


@dataclass(frozen=True, slots=True)
class ShotRow:
    """A shot for the editor: where it starts, how long it runs, what to do with it, and the day it is filmed."""

    shot: ShotText
    start: str
    length: str
    range: str
    advice: str
    filmed: str
    seconds: tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class SegmentRow:
    """A segment for the editor, with its shots."""

    number: str
    title: str
    chapter: bool
    start: str
    length: str
    range: str
    shots: tuple[ShotRow, ...]


@dataclass(frozen=True, slots=True)
class EditorView:
    """What stands on the editor's sheet of one episode."""

    title: str
    number: int
    episode: str
    length: str
    range: str
    segments: tuple[SegmentRow, ...]
    corrections: tuple[ErratumRow, ...]
    other_errata: tuple[ErratumRow, ...]


def editor_view(plan: Plan, episode: Episode) -> EditorView:
    """Lay out the editor's sheet of one episode, in the order of the story.

    Every shot runs whole seconds, so that starts and lengths on the sheet add up.
    """
    texts, clocks = all_shots(plan), plan.worked.clocks
    days = {item.number: short_day(plan.course.course.shoot[item.day].day) for item in plan.worked.listed}
    segments, position, every = [], 0, []
    for number, segment in enumerate(episode.segments, 1):
        start, rows, spans = position, [], []
        for place in range(1, len(segment.shots) + 1):
            clock = clocks[f"{episode.episode}.{number}.{place}"]
            rows.append(_shot(plan, texts[clock.number], clock, position, days.get(clock.number, "")))
            position += rows[-1].seconds[1]
            spans.append(clock.screen)
        every += spans
        segments.append(
            SegmentRow(
                f"{episode.episode}.{number}",
                rows[0].shot.segment_title,
                segment.chapter,
                screen_time(start / 60),
                screen_time((position - start) / 60),
                up_to(total(spans)),
                tuple(rows),
            )
        )
    errata = rows_for_episode(plan, episode.episode)
    return EditorView(
        plan.course.course.title,
        episode.episode,
        episode.title,
        screen_time(position / 60),
        up_to(total(every)),
        tuple(segments),
        tuple(row for row in errata if row.remedy in OVERLAID),
        tuple(row for row in errata if row.remedy not in OVERLAID),
    )


def up_to(runs: Total) -> str:
    """Word the screen time that is not passed nine times in ten: ``up to 3:05``."""
    return f"up to {screen_time(runs.nine_in_ten)}"


def _shot(plan: Plan, text: ShotText, clock: ShotClock, position: int, day: str) -> ShotRow:
    screen = clock.screen
    length, low, high = clock.seconds, round(screen.low * 60), round(screen.high * 60)
    return ShotRow(
        text,
        screen_time(position / 60),
        screen_time(length / 60),
        f"{screen_time(low / 60)} to {screen_time(high / 60)}",
        advice(plan, clock),
        day,
        (position, length, low, high),
    )


def advice(plan: Plan, clock: ShotClock) -> str:
    """Say what to speed up or leave out: handwork that runs on long after the words have ended, and where to cut to."""
    silent = clock.hands.mean - clock.speech.mean
    parts = []
    if silent >= LONG_HANDS:
        times = min(FASTEST, max(2, round(silent / SHOWN_AFTER_WORDS)))
        stitches = max(1, round(clock.speech.mean * plan.course.course.pace.on_camera))
        target = _cut_to(plan, clock.number)
        cut = f"after {stitches} {'st' if stitches == 1 else 'sts'} cut to {target}" if target else "cut away"
        parts.append(
            f"The handwork runs on for {screen_time(silent)} after the words: {cut}, or speed it up {times} times."
        )
    if clock.off_camera >= 0.5:
        target = _cut_to(plan, clock.number)
        where = f"cut there, or to {target}" if target else "cut there"
        parts.append(f"{screen_time(clock.off_camera)} of knitting happens off camera inside this shot: {where}.")
    return " ".join(parts)


def _cut_to(plan: Plan, number: ShotNumber) -> str:
    """Name the sample to cut to: the piece that next, in the story, stands in a state that this shot leads to."""
    here = next((piece for piece in plan.worked.table if piece.shot == number and piece.end != piece.start), None)
    if here is None:
        return ""
    story = [clock.number for clock in plan.worked.clocks.values() if clock.number.episode == number.episode]
    for later in story[story.index(number) + 1 :]:
        for piece in plan.choice.pieces:
            for stop in piece.stops:
                if shot_of(stop.appearance) == later and contains(stop.start, here.end):
                    return f"piece {piece.name} as it stands in shot {later}"
    return ""


def editor_table(view: EditorView) -> tuple[tuple[str, ...], ...]:
    """Give the sheet as rows for a spreadsheet, a heading first; times in whole seconds."""
    head = (
        "segment",
        "segment_title",
        "shot",
        "shot_title",
        "view",
        "start_s",
        "length_s",
        "low_s",
        "high_s",
        "filmed",
        "on_screen",
        "advice",
    )
    rows = [
        (
            segment.number,
            segment.title,
            row.shot.number,
            row.shot.title,
            row.shot.view,
            *map(str, row.seconds),
            row.filmed,
            " / ".join(row.shot.on_screen),
            row.advice,
        )
        for segment in view.segments
        for row in segment.shots
    ]
    return (head, *rows)
