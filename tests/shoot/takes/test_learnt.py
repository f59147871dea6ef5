from __future__ import annotations

import csv
import math
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from lessonplan.course.model.settings import Pace
from lessonplan.shoot.takes.compare import PlannedShot
from lessonplan.shoot.takes.learnt import (
    BOUNDS,
    Estimate,
    Learnt,
    estimate,
    estimate_takes,
    learn,
    pace_values,
    posterior,
    t_95,
)
from lessonplan.shoot.takes.learntfile import learnt_yaml, read_learnt
from lessonplan.shoot.takes.log import Take, Verdict

DAY = date(2027, 3, 6)
PLANNED = pace_values(Pace())


def shot(number: str, words: int = 0, stitches: float = 0.0, view: str = "top") -> PlannedShot:
    """A shot with 9 s of opening and hold."""
    lead = max(60 * words / PLANNED["speech"], 60 * stitches / PLANNED["on_camera"])
    return PlannedShot(number, number.rpartition(".")[0], DAY, view, words, stitches, lead + 9, 3.0, 2)


def take(number: str, count: int, start: float, stop: float, verdict: Verdict = "good") -> Take:
    """A take with start and stop in seconds after nine."""
    begin, end = 32400 + round(start), 32400 + round(stop)
    return Take(f"a-{number}-{count}", "a", DAY, number, count, begin, end, verdict)


def find(learnt: Learnt, name: str) -> Estimate:
    found = learnt.find(name)
    assert found is not None
    return found


def test_without_takes_every_default_comes_back_exactly() -> None:
    odd = {name: value * 1.0123456789 for name, value in PLANNED.items()}
    learnt = learn([], [shot("1.1.1", words=50)], odd)
    assert [one.name for one in learnt.estimates] == list(BOUNDS)
    for one in learnt.estimates:
        assert (one.value, one.n, one.sure) == (odd[one.name], 0, "none")
        assert one.low <= one.value <= one.high


def test_words_are_counted_over_the_time_without_opening_and_hold() -> None:
    shots = [shot(f"1.1.{n}", words=100) for n in range(1, 41)]
    takes = [take(f"1.1.{n}", 1, 200 * n, 200 * n + 9 + 50) for n in range(1, 41)]
    speech = find(learn(takes, shots, PLANNED), "speech")
    assert (speech.n, speech.sure) == (40, "many")
    # 120 words a minute, and a default of 135 worth 2 observations.
    assert speech.value == pytest.approx(math.exp((40 * math.log(120) + 2 * math.log(135)) / 42), rel=1e-3)


def test_handwork_tells_the_demonstration_pace() -> None:
    shots = [shot(f"1.1.{n}", stitches=20) for n in range(1, 21)]
    takes = [take(f"1.1.{n}", 1, 200 * n, 200 * n + 9 + 120) for n in range(1, 21)]
    learnt = learn(takes, shots, PLANNED)
    assert find(learnt, "on_camera").value == pytest.approx(10, rel=0.05)
    assert find(learnt, "speech").n == 0


def test_a_shot_where_words_and_hands_take_alike_tells_neither() -> None:
    learnt = learn([take("1.1.1", 1, 0, 60)], [shot("1.1.1", words=135, stitches=14)], PLANNED)
    assert (find(learnt, "speech").n, find(learnt, "on_camera").n) == (0, 0)


def test_takes_that_broke_off_do_not_make_the_host_quick() -> None:
    takes = [take("1.1.1", 1, 0, 20, "again"), take("1.1.1", 2, 60, 60 + 9 + 60)]
    speech = find(learn(takes, [shot("1.1.1", words=135)], PLANNED), "speech")
    assert (speech.n, speech.value) == (1, 135)


def test_gaps_are_told_apart_by_what_changes() -> None:
    shots = [shot("1.1.1"), shot("1.1.2"), shot("1.1.3", view="side"), shot("1.2.1", view="side")]
    takes = [
        take("1.1.1", 1, 0, 30, "again"), take("1.1.1", 2, 90, 120),
        take("1.1.2", 1, 140, 170), take("1.1.3", 1, 500, 530), take("1.2.1", 1, 700, 730),
    ]  # fmt: skip
    learnt = learn(takes, shots, PLANNED)
    for name, minutes in {"reset": 1.0, "swap": 20 / 60, "view_change": 330 / 60, "tray_change": 170 / 60}.items():
        found, prior = find(learnt, name), BOUNDS[name].prior
        want = math.exp((prior * math.log(PLANNED[name]) + math.log(minutes)) / (prior + 1))
        assert found.n == 1
        assert found.value == pytest.approx(want, rel=1e-3)


def test_where_view_and_tray_change_together_the_tray_is_taken_off() -> None:
    shots = [shot(f"1.{n}.1", view="top" if n % 2 else "side") for n in range(1, 42)]
    takes = [take(f"1.{n}.1", 1, 700 * n, 700 * n + 40) for n in range(1, 42)]
    learnt = learn(takes, shots, PLANNED)
    assert find(learnt, "tray_change").n == 0
    # 11 minutes between takes, 2 of them for the tray by default.
    assert find(learnt, "view_change").value == pytest.approx(9, rel=0.05)


def test_set_up_runs_from_call_to_the_first_take() -> None:
    learnt = learn([take("1.1.1", 1, 0, 30)], [shot("1.1.1")], PLANNED, calls={DAY: 480})
    assert find(learnt, "set_up").value == pytest.approx(math.exp((2 * math.log(45) + math.log(60)) / 3), rel=1e-3)


@pytest.mark.parametrize("n", [1, 3, 8, 30])
def test_a_lunch_within_a_gap_or_a_take_does_not_carry_the_value_off(n: int) -> None:
    clean = estimate("reset", 1.0, [1.5] * n)
    assert estimate("reset", 1.0, [1.5] * n + [45.0]) == clean
    rates = [120.0] * n
    slow = estimate("speech", 135, [*rates, 41.0])
    reach = 3 * BOUNDS["speech"].spread / (n + 1 + BOUNDS["speech"].prior)
    assert abs(math.log(slow.value / estimate("speech", 135, rates).value)) < reach


def test_nothing_leaves_its_bounds_whatever_is_seen() -> None:
    for name, bounds in BOUNDS.items():
        if name != "takes":
            for one in (bounds.one_low, bounds.one_high):
                found = estimate(name, PLANNED[name], [one] * 500)
                assert bounds.low <= found.low <= found.value <= found.high <= bounds.high
    assert estimate_takes(2, 0, 10_000).high <= BOUNDS["takes"].high


@given(st.sampled_from([name for name in BOUNDS if name != "takes"]), st.lists(st.floats(0.01, 400), max_size=12))
def test_the_value_lies_between_the_default_and_what_was_seen(name: str, seen: list[float]) -> None:
    found, bounds = estimate(name, PLANNED[name], seen), BOUNDS[name]
    used = [PLANNED[name], *(one for one in seen if bounds.one_low <= one <= bounds.one_high)]
    assert found.n == len(used) - 1
    assert min(used) * 0.999 <= found.value <= max(used) * 1.001 or found.value in (bounds.low, bounds.high)
    assert found.low <= found.value <= found.high


def test_takes_for_each_shot_are_shrunk_by_shots() -> None:
    # (3 shots at 2 takes + 12 shots with 36 takes) / 15 shots
    assert estimate_takes(2.0, 12, 24).value == pytest.approx((3 * 2 + 36) / 15, rel=1e-3)


def test_a_shot_without_a_good_take_counts_its_failures_only() -> None:
    takes = [take("1.1.1", n, 100 * n, 100 * n + 30, "again") for n in range(1, 4)]
    assert find(learn(takes, [shot("1.1.1")], PLANNED), "takes").value == pytest.approx((3 * 2 + 3) / 3, rel=1e-3)


def test_another_courses_figures_are_the_start_and_weigh_by_their_number() -> None:
    many = Learnt((Estimate("speech", 135, 160, 150, 170, 40, "many"),))
    few = Learnt((Estimate("speech", 135, 160, 150, 170, 1, "few"),))
    shots = [shot("1.1.1", words=100)]
    takes = [take("1.1.1", 1, 0, 9 + 60)]
    assert find(learn([], shots, PLANNED, many), "speech").value == 160
    assert (
        find(learn(takes, shots, PLANNED, many), "speech").value
        > find(learn(takes, shots, PLANNED, few), "speech").value
    )
    assert find(learn([], shots, PLANNED, many), "reset").value == PLANNED["reset"]


def test_another_courses_figures_weigh_as_ten_at_most() -> None:
    # The same host on another day: a hundred takes seen there must not drown what is seen here.
    def learnt(seen_there: int) -> float:
        start = Learnt((Estimate("speech", 135, 160, 150, 170, seen_there, "many"),))
        return find(learn([take("1.1.1", 1, 0, 9 + 60)], [shot("1.1.1", words=100)], PLANNED, start), "speech").value

    assert 100 < learnt(3) < learnt(9) < learnt(10) == learnt(100) < 160


def test_without_a_prior_the_interval_is_the_classic_one() -> None:
    """Student's sleep data (Biometrika 6, 1908): mean 1.58, t = 4.0621 with 9 degrees of freedom; from memory."""
    gains = [1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4]
    found = posterior(gains, 0.0, 0.0, -1.0, 0.0)
    assert found.centre == pytest.approx(1.58)
    assert found.centre / found.scale == pytest.approx(4.0621, abs=5e-5)
    assert found.freedom == 9


@pytest.mark.parametrize(("freedom", "value"), [(4, 2.132), (5, 2.015), (10, 1.812), (20, 1.725), (120, 1.658)])
def test_students_t_agrees_with_the_printed_table(freedom: int, value: float) -> None:
    """Table of percentage points of t, one-sided 5 %, as printed in textbooks; from memory."""
    assert t_95(freedom) == pytest.approx(value, rel=3e-3)


def test_published_rates_of_speech_lie_within_the_bounds(root: Path) -> None:
    """Every words-a-minute figure for speech in the facts (each row names its source) must be believable."""
    with (root / "tests/facts/speech_caption_demo.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["kind"] == "speech" and row["unit"] == "wpm"]
    assert len(rows) >= 5
    assert all(BOUNDS["speech"].low < float(row["min"]) <= float(row["max"]) < BOUNDS["speech"].high for row in rows)


def test_the_demonstration_pace_of_the_facts_lies_within_the_bounds(root: Path) -> None:
    with (root / "tests/facts/speech_caption_demo.csv").open(encoding="utf-8", newline="") as file:
        slow = next(row for row in csv.DictReader(file) if row["unit"] == "s per stitch")
    bounds = BOUNDS["on_camera"]
    assert bounds.low < 60 / float(slow["max"]) < 60 / float(slow["min"]) < bounds.high


SHOTS = [shot("1.1.1", words=100), shot("1.1.2", stitches=20, view="side")]


def test_the_file_comes_back_equal() -> None:
    learnt = learn([take("1.1.1", 1, 0, 70), take("1.1.2", 1, 300, 400)], SHOTS, PLANNED)
    text = learnt_yaml(learnt)
    assert text.startswith("# Paces learnt from the take log.\nknitting:\n  value: 25.0\n")
    assert read_learnt(text.encode(), "learnt.yaml") == (learnt, ())


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("speach:\n  value: 3\n  n: 1\n", 1, "speech"),
        ("speech: 130\n", 1, "value"),
        ("speech:\n  value: quick\n  n: 1\n", 2, "number"),
        ("speech:\n  value: 130\n", 1, "lacks n"),
        ("speech:\n  value: 900\n  n: 4\n", 2, "60 to 240"),
        ("speech:\n  value: 130\n  n: 1.5\n", 2, "whole"),
        ("speech:\n  value: 130\n  n: 4\n  low: 140\n", 2, "between"),
        ("speech:\n  value: 130\n  n: 4\n  hihg: 140\n", 4, "high"),
        ("speech: *pace", 1, "quotes"),
    ],
)
def test_a_file_that_is_wrong_is_told_of_with_its_line(text: str, line: int, word: str) -> None:
    learnt, problems = read_learnt(text.encode(), "learnt.yaml")
    assert learnt.estimates == ()
    assert [(problem.where.file, problem.where.line) for problem in problems] == [("learnt.yaml", line)]
    assert word in problems[0].message + problems[0].hint


@given(st.binary(max_size=200) | st.text(alphabet="spech:\n value019.nlowgi-", max_size=80).map(str.encode))
def test_no_bytes_break_the_file_reader(data: bytes) -> None:
    read_learnt(data, "learnt.yaml")
