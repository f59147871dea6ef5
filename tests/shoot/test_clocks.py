"""The clocks of a shot: words, hands, both at once, takes."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import ShotClock, words_in
from lessonplan.shoot.estimate import Span, longer
from tests.documents import timed
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


def test_opening_and_hold_are_on_screen_with_the_words(tmp_path: Path) -> None:
    course = COURSE + "pace: {speech: 120, opening: 30 s, hold: 12 s}\n"
    silent = EPISODE.replace('        hands:\n          - work: "k1, p1"\n', "").replace(
        "            leaves: edge round 1\n", ""
    )
    spoken = silent.replace("We cast on {{ edge.cast_on }} stitches.", "word " * 120)
    assert worked(tmp_path / "a", spoken, course).clocks["1.1.1"].screen.likely == pytest.approx(1 + 0.5 + 0.2)
    held = spoken.replace("view: overhead", "view: overhead\n        hold: 2 min")
    assert worked(tmp_path / "b", held, course).clocks["1.1.1"].screen.likely == pytest.approx(1 + 0.5 + 2)


def test_what_else_the_hands_do_is_shown_and_no_knitting(tmp_path: Path) -> None:
    # A cast-on of 40 at 25 stitches a minute, each one and a half times a plain stitch, with 1.5 min to begin and one
    # to join, and a round of 20 knit and 20 purl (1.2 each) with 0.05: 2.4 + 2.5 + 1.76 + 0.05 = 6.71 min. Of it the
    # stated four minutes are shown; 2.71 are not.
    text = EPISODE.replace('- work: "k1, p1"', "- do: knit\n            time: 4 min")
    one = clock(tmp_path, text, "knitting: 25")
    assert (one.hands.low, one.hands.likely, one.hands.high) == pytest.approx((3.4, 4, 5.4))
    assert one.off_camera == pytest.approx(2.71)
    assert one.stitches == 0


def test_two_things_at_once_take_the_longer_at_each_point() -> None:
    assert longer(Span(1, 2, 3), Span(2, 1, 4)) == Span(2, 2, 4)


def test_takes_break_off_or_are_repeated() -> None:
    # Three takes of 1, 2 or 3 minutes: at best two of one minute, at worst four of three.
    assert Span(1, 2, 3).times(2, 3, 4) == Span(2, 6, 12)


def test_a_days_takes_on_the_floor(tmp_path: Path) -> None:
    # Held for 6 min and taken three times with resets of 2 min: 12, 18 or 24 min, and resets of 2, 4 or 6 min.
    made = timed.plan(
        tmp_path, timed.episode((timed.shot("face", takes="3"),)), timed.COURSE.replace("reset: 0 s", "reset: 2 min")
    )
    assert made.worked.clocks["1.1.1"].floor == Span(14, 22, 30)
