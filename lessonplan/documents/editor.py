"""The editor's sheet of an episode: how long each segment and shot runs, what to speed up, what goes on screen."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.model import Episode
from lessonplan.documents.errata import ErratumRow, rows_for_episode
from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import screen_time
from lessonplan.planning import Plan
from lessonplan.shoot.clocks import NOTHING, ShotClock, Span

LONG_HANDS = 1.0
"""Minutes of handwork beyond the speech from which speeding up is advised (planning guess)."""
FASTEST = 8
"""The most that handwork is sped up: beyond this the stitches cannot be followed (common practice)."""


@dataclass(frozen=True, slots=True)
class ShotRow:
    """A shot for the editor: where it starts in the episode, how long it runs, and what to do with it."""

    shot: ShotText
    start: str
    length: str
    range: str
    advice: str
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


def editor_view(plan: Plan, episode: Episode) -> EditorView:
    """Lay out the editor's sheet of one episode, in the order of the story."""
    texts, clocks = all_shots(plan), plan.worked.clocks
    segments, position, total = [], 0.0, NOTHING
    for number, segment in enumerate(episode.segments, 1):
        start, sum_here, rows = position, NOTHING, []
        for place in range(1, len(segment.shots) + 1):
            clock = clocks[f"{episode.episode}.{number}.{place}"]
            rows.append(_shot(texts[clock.number], clock, position))
            position += clock.screen.likely
            sum_here = sum_here + clock.screen
        total = total + sum_here
        title = rows[0].shot.segment_title
        segments.append(
            SegmentRow(
                f"{episode.episode}.{number}",
                title,
                segment.chapter,
                screen_time(start),
                screen_time(sum_here.likely),
                range_text(sum_here),
                tuple(rows),
            )
        )
    return EditorView(
        plan.course.course.title,
        episode.episode,
        episode.title,
        screen_time(total.likely),
        range_text(total),
        tuple(segments),
        rows_for_episode(plan, episode.episode),
    )


def range_text(span: Span) -> str:
    """Word the low and high end of a screen time: ``2:10 to 3:05``."""
    return f"{screen_time(span.low)} to {screen_time(span.high)}"


def _shot(text: ShotText, clock: ShotClock, position: float) -> ShotRow:
    seconds = tuple(
        round(minutes * 60) for minutes in (position, clock.screen.likely, clock.screen.low, clock.screen.high)
    )
    return ShotRow(
        text,
        screen_time(position),
        screen_time(clock.screen.likely),
        range_text(clock.screen),
        advice(clock),
        (seconds[0], seconds[1], seconds[2], seconds[3]),
    )


def advice(clock: ShotClock) -> str:
    """Say what to speed up or leave out: handwork that runs on long after the words have ended."""
    silent = clock.hands.likely - clock.speech.likely
    parts = []
    if silent >= LONG_HANDS:
        times = min(FASTEST, max(2, round(silent / 0.5)))
        parts.append(f"After the words {screen_time(silent)} of handwork run on: speed up {times} times, or cut away.")
    if clock.off_camera >= 0.5:
        parts.append(f"{screen_time(clock.off_camera)} of knitting happens off camera inside this shot: cut there.")
    return " ".join(parts)


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
            " / ".join(row.shot.on_screen),
            row.advice,
        )
        for segment in view.segments
        for row in segment.shots
    ]
    return (head, *rows)
