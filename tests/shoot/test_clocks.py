"""The clocks of a shot: words, hands, both at once, takes."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.model.settings import Pace
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft import tables
from lessonplan.documents.editor import editor_view
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import ShotClock, minutes_of_hands, words_in
from lessonplan.shoot.estimate import Estimate, Span, longer, total
from tests.documents import timed
from tests.published import rows
from tests.small_course import COURSE, EPISODE, PATTERN, write_course


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
    from lessonplan.course.model.settings import Pace

    assert float(usual["min"]) <= Pace().speech <= float(usual["max"])


SLOWER = (135 / 150 + 4 + 135 / 110) / 6
"""How much longer speech is on average than at the likely pace: 110, 135 or 150 words a minute."""


def test_talking_while_knitting_takes_the_longer_of_the_two(tmp_path: Path) -> None:
    # 120 words are a minute at the likely pace, of which one shot takes 0.93, 1 or 1.08. Ten stitches are half a minute
    # on camera, 40 are two, for which 0.85, 1 or 1.25 stands; her pace of hands is on average the likely one.
    text = EPISODE.replace("We cast on {{ edge.cast_on }} stitches.", "word " * 120)
    one = clock(tmp_path / "a", text.replace('"k1, p1"', '"k10"'), "speech: 120, on_camera: 20")
    assert one.hands.likely == pytest.approx(0.5)
    assert one.take == pytest.approx(1.0)
    assert one.screen.mean == pytest.approx(SLOWER * (0.93 + 4 + 1.08) / 6)
    other = clock(tmp_path / "b", text.replace('"k1, p1"', '"k40"'), "speech: 120, on_camera: 20")
    assert other.screen.mean == pytest.approx(2 * (0.85 + 4 + 1.25) / 6)


def spoken(more: str = "") -> str:
    """One shot in which 120 words are said and nothing else is done."""
    shot = f"      - {{view: face, say: {'word ' * 120}{more}}}\n"
    return f"episode: 1\ntitle: T\nsegments:\n  - title: A\n    shots:\n{shot}"


def test_every_planned_take_costs_floor_time(tmp_path: Path) -> None:
    # A take of one minute at the likely pace. Once: one take, one, or a second with its reset. Three times: two takes
    # (with one reset of two), three with two, or four with three.
    one = clock(tmp_path / "a", spoken(", takes: 1"), "speech: 120, reset: 1 min")
    three = clock(tmp_path / "b", spoken(", takes: 3"), "speech: 120, reset: 1 min")
    assert one.floor.mean == pytest.approx(SLOWER * (0.93 + 4 * 1 + 2 * 1.08) / 6 + 1 / 6)
    assert three.floor.mean == pytest.approx(SLOWER * (2 * 0.93 + 4 * 3 + 4 * 1.08) / 6 + (1 + 4 * 2 + 3) / 6)


def test_knitting_that_is_not_shown_keeps_the_camera_waiting(tmp_path: Path) -> None:
    # A cast-on of 40 (1.5 min to begin, 1 to join, one and a half times a plain stitch each) and a round of 20 knit
    # and 20 purl (1.2 each, 0.05 a round), at 25 a minute: 4.9 and 1.81 min. A knit and a purl stitch are shown.
    assert clock(tmp_path, pace="knitting: 25").off_camera == pytest.approx(4.9 + 1.81 - 2.2 / 25)


def test_what_nothing_shows_is_worked_in_every_take(tmp_path: Path) -> None:
    # As above; each take begins with the piece as it was. Two, three or four takes, each with 0.9, 1 or 1.3 of it.
    three = EPISODE.replace("view: overhead", "view: overhead\n        takes: 3")
    shown = three.replace("takes: 3", "takes: 3\n        shows: all")
    found = [clock(tmp_path / str(n), text, "knitting: 25").floor.mean for n, text in enumerate((three, shown))]
    hidden = 4.9 + 1.81 - 2.2 / 25
    assert found[0] - found[1] == pytest.approx(hidden * (2 * 0.9 + 4 * 3 * 1 + 4 * 1.3) / 6)


def test_only_what_nothing_shows_is_off_camera(tmp_path: Path) -> None:
    # The yarn is cut, threaded and drawn through 40 stitches: on camera, or while nothing of it is seen.
    top = "    after: edge\n    works:\n      - rounds: 1\n        lines: Knit\n      - draw_through: all\n"
    pattern = PATTERN.replace(PATTERN[PATTERN.index("    after: edge") :], top)
    text = EPISODE.replace("before edge", '"body, before draw_through"').replace("edge round 1", "body")
    drawn = text.replace('- work: "k1, p1"', "- do: draw the yarn through\n            time: 20 s")
    files = {"pattern.yaml": pattern, "course.yaml": COURSE}
    for number, (episode, hidden) in enumerate(((drawn, 0.0), (text, 40 * 0.08 + 0.5 + 0.5))):
        result = lessonplan.load(write_course(tmp_path / str(number), {**files, "episodes/01.yaml": episode}))
        assert result.worked is not None, [str(problem) for problem in result.problems]
        assert result.worked.clocks["1.1.1"].off_camera == pytest.approx(hidden)


def in_body(folder: Path, line: str, *lines: str) -> ShotClock:
    """The clock of the last of some shots that work a line each on a piece, whose next round is ``line``."""
    shots = [
        f"      - {{view: face, takes: 1, pieces: [{{needs: edge}}], hands: [{{work: {work}}}]}}\n" for work in lines
    ]
    episode = f"episode: 1\ntitle: T\nsegments:\n  - title: A\n    shots:\n{''.join(shots)}"
    files = {
        "pattern.yaml": PATTERN.replace('"Knit"', f'"{line}"'),
        "course.yaml": COURSE + "pace: {knitting: 25}\n",
        "episodes/01.yaml": episode,
    }
    result = lessonplan.load(write_course(folder, files))
    assert result.worked is not None, [str(problem) for problem in result.problems]
    return result.worked.clocks[ShotNumber(f"1.1.{len(lines)}")]


def test_what_the_shot_before_has_worked_of_a_round_is_not_worked_again(tmp_path: Path) -> None:
    # The purls begin after ten stitches. The shot before works all ten, four, or something of no such round.
    found = {
        before: in_body(tmp_path / before, "K10, p5, k25", before, "p5").floor.mean for before in ("k10", "k4", "p9")
    }
    assert found["p9"] - found["k10"] == pytest.approx(10 / 25 * (0.9 + 4 + 1.3) / 6)
    assert found["k4"] - found["k10"] == pytest.approx(6 / 25 * (0.9 + 4 + 1.3) / 6)


def test_a_shot_that_shows_all_hides_nothing(tmp_path: Path) -> None:
    text = EPISODE.replace("view: overhead", "view: overhead\n        shows: all")
    assert clock(tmp_path, text).off_camera == 0


def test_points_in_the_hosts_own_words_take_the_time_given(tmp_path: Path) -> None:
    # Sixty words (half a minute at 120) and two points of 20 and 40 s: a minute and a half at her likely pace.
    points = ', points: ["why it was washed, 20 s", {text: what is next, time: 40 s}]'
    one = clock(tmp_path, spoken(points).replace("word " * 120, "word " * 60), "speech: 120")
    assert one.words == 60
    assert one.speech.likely == pytest.approx(1.5)
    assert one.screen.mean == pytest.approx(1.5 * SLOWER * (0.93 + 4 + 1.08) / 6)


def test_a_point_without_its_time_is_a_problem(tmp_path: Path) -> None:
    (problem,) = lessonplan.load(
        write_course(tmp_path, {"episodes/01.yaml": spoken(", points: [why it was washed]")})
    ).problems
    assert "should end with its time" in problem.message
    assert (problem.where.file, problem.where.line) == ("episodes/01.yaml", 6)


def test_the_default_paces_are_the_likely_ones_of_the_table() -> None:
    """A value in one place alone would make the range lie about another pace."""
    for name in ("speech", "on_camera"):
        assert getattr(Pace(), name) == tables.three_points(name)[1]


def test_three_points_stand_for_a_beta_distribution() -> None:
    # The mean is PERT's, (low + 4 likely + high) / 6 (Malcolm et al. 1959, from memory): 5 for 2, 4, 12. The beta
    # distribution with the shapes 1.8 and 4.2 (1 + 4 x 2 / 10, 1 + 4 x 8 / 10) has the variance a b / ((a + b)^2 (a + b
    # + 1)) = 0.03 of a width of ten: 3. PERT's own deviation, a sixth of the width, is 1.67 instead of 1.73.
    span = Span(2, 4, 12)
    assert span.mean == 5
    assert span.deviation == pytest.approx(3**0.5)
    assert span + Span(1, 1, 1) == Span(3, 5, 13)


def test_a_line_to_the_end_needs_a_piece(tmp_path: Path) -> None:
    text = EPISODE.replace('"k1, p1"', '"k to end"').replace(
        "        pieces:\n          - needs: before edge\n            leaves: edge round 1\n", ""
    )
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": text}))
    assert [problem.code for problem in result.problems] == ["line"]
    assert result.problems[0].hint.startswith("No piece is worked on here")


def test_a_stitch_that_is_none_is_named_with_its_place(tmp_path: Path) -> None:
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": EPISODE.replace("k1, p1", "k1, q1")}))
    (problem,) = result.problems
    assert (problem.where.file, problem.where.line, problem.where.column) == ("episodes/01.yaml", 11, 24)
    assert problem.hint == "", "where it is worked changes nothing"


def test_many_spans_sum_as_a_normal_distribution() -> None:
    # For 2-4-12 and 1-1-1 the means are 5 and 1, the variances 3 and none; the 0.9 point of the standard normal
    # distribution is 1.2816, computed by the standard library (NormalDist().inv_cdf(0.9)).
    found = total(map(independent, (Span(2, 4, 12), Span(1, 1, 1))))
    assert found.mean == pytest.approx(6)
    assert found.nine_in_ten == pytest.approx(6 + 1.2816 * 3**0.5)
    assert found.low == pytest.approx(6 - 1.2816 * 3**0.5)


def independent(span: Span) -> Estimate:
    return Estimate(span.mean, variance=span.deviation**2)


def draw(chance: random.Random, low: float, likely: float, high: float) -> float:
    """Draw from the beta distribution that the PERT formulas stand for."""
    rise, fall = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
    return low + (high - low) * chance.betavariate(rise, fall)


def test_nine_in_ten_holds_for_simulated_days() -> None:
    # Forty shots that do not depend on each other; fixed seed.
    spans = [Span(2, 3 + i % 4, 9 + i % 5) for i in range(40)]
    chance = random.Random(20270306)
    limit = total(map(independent, spans)).nine_in_ten
    below = sum(sum(draw(chance, s.low, s.likely, s.high) for s in spans) <= limit for _ in range(2000)) / 2000
    assert 0.88 <= below <= 0.92


def test_nine_in_ten_holds_for_days_with_one_pace_each(tmp_path: Path) -> None:
    # Thirty shots of a minute, all of them spoken at the pace of that day (0.9, 1 or 1.227 times the likely length),
    # each of them a little quicker or slower by itself (0.93, 1, 1.08); fixed seed. A beta distribution of that shape
    # is skewed: below its mean and 1.2816 deviations lie 88 in 100, so its own 0.9 point counts. Shares of 2,000 days
    # are right to within 0.7 in 100 (one standard deviation).
    shots = "".join(f"      - {{view: face, say: {'word ' * 120}}}\n" for _ in range(30))
    made = worked(
        tmp_path,
        f"episode: 1\ntitle: T\nsegments:\n  - title: A\n    shots:\n{shots}",
        COURSE + "pace: {speech: 120}\n",
    )
    limit = total(one.screen for one in made.clocks.values()).nine_in_ten
    chance = random.Random(20270307)
    below = 0
    for _ in range(2000):
        pace = draw(chance, 135 / 150, 1, 135 / 110)
        below += pace * sum(draw(chance, 0.93, 1, 1.08) for _ in range(30)) <= limit
    assert 0.887 <= below / 2000 <= 0.913


def test_a_pace_that_is_shared_counts_by_the_ninth_tenth_of_its_own_distribution() -> None:
    # With the likely value at the low end the density falls as (1 - x) to the fourth: nine in ten lie below the x of
    # 1 - (1 - x)^5 = 0.9, which is 1 - 0.1^0.2 = 0.36904. Turned round: x^5 = 0.9. The mean lies a sixth in.
    assert Span(0, 0, 10).shared * 1.2816 == pytest.approx(3.6904 - 10 / 6, abs=0.005)
    assert Span(0, 10, 10).shared * 1.2816 == pytest.approx(10 * 0.9**0.2 - 50 / 6, abs=0.005)
    assert Span(3, 3, 3).shared == 0


def test_opening_and_hold_are_handles_of_a_take(tmp_path: Path) -> None:
    # The minute that is said is on screen; the opening and the hold of every take are cut away, but they are filmed.
    pace = COURSE + "pace: {speech: 120, opening: 30 s, hold: 12 s, reset: 0 s}\n"
    said = SLOWER * (0.93 + 4 + 1.08) / 6
    for number, (more, handles) in enumerate(
        (("", 0.5 + 0.2), (", hold: 2 min", 0.5 + 2), (", runs_on: yes", 0.2), (", hold: 0 s", 0.5))
    ):
        one = worked(tmp_path / str(number), spoken(f", takes: 1{more}"), pace).clocks["1.1.1"]
        assert one.screen.mean == pytest.approx(said)
        assert one.handles == pytest.approx(handles)
        assert one.take == pytest.approx(1 + handles)
        talk = SLOWER * (0.93 + 4 * 1 + 2 * 1.08) / 6
        assert one.floor.mean == pytest.approx(talk + handles * (1 + 4 + 2) / 6)


def test_a_shot_that_is_only_held_shows_its_hold(tmp_path: Path) -> None:
    silent = spoken(", hold: 12 s").replace("say: " + "word " * 120 + ", ", "")
    one = worked(tmp_path, silent, COURSE + "pace: {opening: 30 s}\n").clocks["1.1.1"]
    assert (one.screen.mean, one.handles) == pytest.approx((0.2, 0.5))


def test_what_else_the_hands_do_shows_the_other_work_first(tmp_path: Path) -> None:
    # A cast-on takes 4.9 min at the bench, a round 1.81 (see above). What the hands do for four minutes is the
    # cast-on, however quick it is on camera; of six minutes 1.1 are left over for the round.
    text = EPISODE.replace('- work: "k1, p1"', "- do: knit\n            time: 4 min")
    one = clock(tmp_path / "a", text, "knitting: 25")
    assert (one.hands.low, one.hands.likely, one.hands.high) == pytest.approx((3.4, 4, 5.4))
    assert one.off_camera == pytest.approx(1.81)
    assert one.stitches == 0
    longer = clock(tmp_path / "b", text.replace("4 min", "6 min"), "knitting: 25")
    assert longer.off_camera == pytest.approx(1.81 - 1.1)


def test_a_time_given_for_a_line_stands_instead_of_what_is_computed(tmp_path: Path) -> None:
    # Ten stitches are half a minute at 20 a minute on camera. With 48 s given they are 0.8 min and nothing on top, on
    # all clocks; what is knitted off camera is what it was: a cast-on of 4.9 min, a round of 1.81 less ten stitches.
    text = EPISODE.replace('"k1, p1"', '"k10"').replace("say: We cast on {{ edge.cast_on }} stitches.", "takes: 1")
    given = text.replace('"k10"', '"k10"\n            time: 48 s')
    pace = "on_camera: 20, knitting: 25"
    computed, stated = clock(tmp_path / "a", text, pace), clock(tmp_path / "b", given, pace)
    assert (computed.hands.likely, stated.hands.likely) == pytest.approx((0.5, 0.8))
    assert (stated.take, stated.doing, stated.stitches) == pytest.approx((0.8, 0.8, 0))
    assert stated.off_camera == pytest.approx(computed.off_camera) == pytest.approx(4.9 + 1.81 - 10 / 25)
    made = lessonplan.plan(tmp_path / "b").plan
    assert made is not None
    assert minutes_of_hands(made.course, ShotNumber("1.1.1"), made.worked.kinds, made.worked.table) == [0.8]
    shown = editor_view(made, made.course.episodes[0]).segments[0].shots[0]
    assert [hands.partition(":")[2] for hands in shown.hands] == ["48: k10"]
    assert shown.worked == 48


def test_two_things_at_once_take_the_longer_at_each_point() -> None:
    assert longer(Span(1, 2, 3), Span(2, 1, 4)) == Span(2, 2, 4)


def test_takes_break_off_or_are_repeated() -> None:
    # Three takes of 1, 2 or 3 minutes: at best two of one minute, at worst four of three.
    assert Span(1, 2, 3).times(2, 3, 4) == Span(2, 6, 12)


def test_a_days_takes_on_the_floor(tmp_path: Path) -> None:
    # Held for 6 min and taken three times with resets of 2 min: 12, 18 or 24 min, and resets of 2, 4 or 6 min: 14, 22
    # or 30 min, symmetric. The beta distribution with the shapes 3 and 3 has a 28th of its width squared as variance.
    made = timed.plan(
        tmp_path, timed.episode((timed.shot("face", takes="3"),)), timed.COURSE.replace("reset: 0 s", "reset: 2 min")
    )
    floor = made.worked.clocks["1.1.1"].floor
    assert floor.mean == pytest.approx(22)
    assert floor.deviation == pytest.approx((16**2 / 28) ** 0.5)
