"""The clocks of one shot: how long it is on screen, and how long it takes on the floor.

Every estimate has three points (low, likely, high) in minutes. Speech and handwork run at the same time where the host
talks while knitting, so the longer of the two counts.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from lessonplan.course.model import Course, Shot
from lessonplan.course.numbers import ShotNumber
from lessonplan.course.problems import Problem, Where, error
from lessonplan.craft import tables
from lessonplan.needle.line import Needle, WorkError, part_of_round
from lessonplan.pattern.minutes import technique_minutes
from lessonplan.pattern.texts import fill
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.printed.line import NotationError
from lessonplan.samples.ladder import Ladder
from lessonplan.samples.pieces import TablePiece, film_size
from lessonplan.shoot.estimate import Span, Total, around, longer, total


@dataclass(frozen=True, slots=True)
class ShotClock:
    """What one shot takes: words spoken, minutes of speech and of handwork, on screen, and on the floor.

    ``off_camera`` are minutes of knitting within the shot that are not shown, while the camera waits; ``stitches`` are
    those worked on camera, each times its technique's time factor.
    """

    number: ShotNumber
    words: int
    speech: Span
    hands: Span
    screen: Span
    off_camera: float
    takes: int
    floor: Span
    stitches: float = 0.0

    @property
    def seconds(self) -> int:
        """Expected screen time in whole seconds: all documents add these up, so that their sums agree."""
        return round(self.screen.mean * 60)


def on_screen(clocks: Iterable[ShotClock]) -> Total:
    """Sum the screen time of some shots in minutes: expected in whole seconds for each shot, and nine times in ten."""
    clocks = tuple(clocks)
    return Total(sum(clock.seconds for clock in clocks) / 60, total(clock.screen for clock in clocks).nine_in_ten)


def words_in(markdown: str) -> int:
    """Count the words that are spoken: letters and digits, without Markdown's signs; ``48 (52, 56)`` is three."""
    return len(re.findall(r"[^\W_]+(?:['’.\-][^\W_]+)*", re.sub(r"\]\([^)]*\)", "]", markdown)))


def shot_clocks(
    course: Course, pattern: WorkedPattern, table: tuple[TablePiece, ...], ladder: Ladder, word: Callable[[str], str]
) -> tuple[dict[str, ShotClock], tuple[Problem, ...]]:
    """Estimate every shot of a course, by its number. ``word`` gives the facts for the film size."""
    clocks: dict[str, ShotClock] = {}
    problems: list[Problem] = []
    knitting = _off_camera(table, ladder)
    for number, _, _, shot in course.shots():
        counts, wrong = live_techniques(shot, needle_in(number, pattern, table, film_size(course)))
        problems += wrong
        clocks[number] = _clock(course, number, shot, counts, knitting.get(number, 0.0), word)
    return clocks, tuple(problems)


def _off_camera(table: tuple[TablePiece, ...], ladder: Ladder) -> Mapping[str, float]:
    """Minutes of knitting between the states in which pieces enter and leave each shot, at the bench pace."""
    minutes: dict[str, float] = {}
    for piece in table:
        kind = next((kind for kind in piece.kinds if kind in ladder.minutes), "full")
        minutes[piece.shot] = minutes.get(piece.shot, 0.0) + ladder.between(kind, piece.start, piece.end)
    return minutes


def _clock(
    course: Course,
    number: ShotNumber,
    shot: Shot,
    counts: tuple[tuple[str, int], ...],
    moved: float,
    word: Callable[[str], str],
) -> ShotClock:
    pace, factors = course.course.pace, course.course.techniques
    words = words_in(fill(shot.say, word))
    speech = at_pace(words / pace.speech, "speech")
    shown = technique_minutes(counts, pace.on_camera, factors)
    other = sum(hands.time or 0.0 for hands in shot.hands)
    hands = at_pace(shown, "on_camera") + around(other, *_ends("doing"))
    still = pace.opening + (pace.hold if shot.hold is None else shot.hold)
    screen = longer(speech, hands) + Span(still, still, still)
    off_camera = max(0.0, moved - technique_minutes(counts, pace.knitting, factors) - other)
    takes = shot.takes
    reset = pace.reset * (takes - 1)
    # A take that fails breaks off early; at best one take less is needed, at worst one more.
    floor = screen.times(max(1, takes - 1), takes, takes + 1) + Span(reset * 0.5, reset, reset + pace.reset)
    floor = floor + around(off_camera, *_ends("off_camera"))
    stitches = shown * pace.on_camera
    return ShotClock(number, words, speech, hands, screen, off_camera, takes, floor, stitches)


def at_pace(minutes: float, name: str) -> Span:
    """Estimate minutes at a person's own pace, which varies as the published range of paces does around its middle."""
    low, likely, high = tables.three_points(name)
    return around(minutes, likely / low, likely / high)


def _ends(name: str) -> tuple[float, float]:
    low, _, high = tables.three_points(name)
    return low, high


def needle_in(number: str, pattern: WorkedPattern, table: tuple[TablePiece, ...], size: int) -> Needle | None:
    """Give the needle of the piece worked on in a shot, before the first round that is worked there, if one is."""
    for piece in table:
        if piece.shot != number:
            continue
        for key, start, end in zip(pattern.order, piece.start, piece.end, strict=True):
            steps = pattern.stage(key, size).steps
            first = next((place for place in range(start, end) if steps[place].is_round), None)
            if first is not None:
                markers = steps[first - 1].markers if first else ()
                return Needle(steps[first].before, markers, flat=steps[first].flat)
    return None


def live_techniques(shot: Shot, needle: Needle | None) -> tuple[tuple[tuple[str, int], ...], tuple[Problem, ...]]:
    """Count the techniques of the lines that a shot works on camera, and report lines that cannot be read.

    A line may be a part of a round; one that goes to the end or to a marker needs the shot's piece on the needle.
    """
    counts: dict[str, int] = {}
    problems: list[Problem] = []
    for hands in shot.hands:
        if not hands.work:
            continue
        try:
            for name, count in part_of_round(hands.work, needle).items():
                counts[name] = counts.get(name, 0) + count
        except (NotationError, WorkError) as bad:
            start = hands.mark("work")
            where = Where(start.file, start.line, start.column + max(0, bad.column - 1))
            sentence = bad.sentence[0].upper() + bad.sentence[1:].rstrip(".") + "."
            problems.append(error(where, "line", sentence))
    return tuple(sorted(counts.items())), tuple(problems)
