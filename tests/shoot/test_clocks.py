"""The clocks of a shot: words, hands, both at once, takes."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import ShotClock, words_in
from lessonplan.shoot.estimate import Span
from tests.published import rows
from tests.small_course import COURSE, EPISODE, write_course


def worked(folder: Path, episode: str = EPISODE, course: str = COURSE) -> Worked:
    result = lessonplan.load(write_course(folder, {"episodes/01.yaml": episode, "course.yaml": course}))
    assert result.worked is not None, [str(problem) for problem in result.problems]
    return result.worked


def clock(folder: Path, episode: str = EPISODE, pace: str = "") -> ShotClock:
    return worked(folder, episode, COURSE + (f"pace: {{{pace}, opening: 0 s, hold: 0 s}}\n" if pace else "")).clocks[
        "1.1.1"
    ]


def test_words_are_counted_without_markdown() -> None:
    assert words_in("We **cast on** 40 (44, 48) stitches, don't we?") == 9
    assert words_in("See [the handout](https://example.org/a/b).") == 3
    assert words_in("- one\n- two\n") == 2


def test_facts_are_said_as_their_values(tmp_path: Path) -> None:
    assert clock(tmp_path).words == 5  # We cast on 40 stitches.


def test_speech_at_the_hosts_rate(tmp_path: Path) -> None:
    text = EPISODE.replace("We cast on {{ edge.cast_on }} stitches.", "word " * 120)
    assert clock(tmp_path, text, "speech: 120").speech.likely == pytest.approx(1.0)


def test_default_speech_is_a_usual_rate() -> None:
    # Lucas, The Art of Public Speaking, 8th ed. p. 300: usual US speakers 125 to 150 words a minute.
    usual = next(row for row in rows("speech_caption_demo") if row["what"] == "usual US speakers")
    from lessonplan.course.model import Pace

    assert float(usual["min"]) <= Pace().speech <= float(usual["max"])


def test_talking_while_knitting_takes_the_longer_of_the_two(tmp_path: Path) -> None:
    text = EPISODE.replace('"k1, p1"', '"k10"').replace("We cast on {{ edge.cast_on }} stitches.", "word " * 120)
    one = clock(tmp_path, text, "speech: 120, on_camera: 20")
    assert one.hands.likely == pytest.approx(0.5)
    assert one.screen.likely == pytest.approx(1.0)


def test_every_planned_take_costs_floor_time(tmp_path: Path) -> None:
    one = clock(tmp_path / "a", EPISODE.replace("view: overhead", "view: overhead\n        takes: 1"), "reset: 1 min")
    three = clock(tmp_path / "b", EPISODE.replace("view: overhead", "view: overhead\n        takes: 3"), "reset: 1 min")
    off = one.off_camera
    assert three.floor.likely - off == pytest.approx(3 * (one.floor.likely - off) + 2)


def test_knitting_that_is_not_shown_keeps_the_camera_waiting(tmp_path: Path) -> None:
    assert clock(tmp_path).off_camera > 1.5  # a cast-on of 40 and a round, of which two stitches are shown


def test_three_points_sum_as_published() -> None:
    # PERT, (low + 4 likely + high) / 6 (Malcolm et al. 1959): for 2, 4, 12 the mean is 5 and the deviation 10 / 6.
    span = Span(2, 4, 12)
    assert span.mean == 5
    assert span.deviation == pytest.approx(10 / 6)
    assert span + Span(1, 1, 1) == Span(3, 5, 13)


def test_a_line_to_the_end_needs_a_piece(tmp_path: Path) -> None:
    text = EPISODE.replace('"k1, p1"', '"k to end"').replace(
        "        pieces:\n          - needs: before edge\n            leaves: edge round 1\n", ""
    )
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": text}))
    assert [problem.code for problem in result.problems] == ["line"]


def test_a_stitch_that_is_none_is_named_with_its_place(tmp_path: Path) -> None:
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": EPISODE.replace("k1, p1", "k1, q1")}))
    (problem,) = result.problems
    assert (problem.where.file, problem.where.line, problem.where.column) == ("episodes/01.yaml", 11, 24)


def test_many_spans_sum_as_a_normal_distribution() -> None:
    # Published worked numbers: for activities 2-4-12 and 1-1-1 the means are 5 and 1, the variance (10 / 6) ** 2; the
    # 0.9 point of the standard normal distribution is 1.2816 (any printed table).
    from lessonplan.shoot.estimate import total

    found = total([Span(2, 4, 12), Span(1, 1, 1)])
    assert found.expected == pytest.approx(6)
    assert found.nine_in_ten == pytest.approx(6 + 1.2816 * 10 / 6)


def test_nine_in_ten_holds_for_simulated_days() -> None:
    # Forty shots, each drawn from the beta distribution that the PERT formulas stand for; fixed seed.
    import random

    from lessonplan.shoot.estimate import total

    spans = [Span(2, 3 + i % 4, 9 + i % 5) for i in range(40)]
    chance = random.Random(20270306)
    limit = total(spans).nine_in_ten

    def draw(span: Span) -> float:
        wide = span.high - span.low
        rise, fall = 1 + 4 * (span.likely - span.low) / wide, 1 + 4 * (span.high - span.likely) / wide
        return span.low + wide * chance.betavariate(rise, fall)

    below = sum(sum(map(draw, spans)) <= limit for _ in range(2000)) / 2000
    assert 0.86 <= below <= 0.94
