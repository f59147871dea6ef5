"""Where in a take a time of the cut lies, and how long shots run, by hand, for cameras and frame rates of all sorts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from lessonplan.course.model.settings import Camera
from lessonplan.course.problems import Where
from lessonplan.course.values.rates import RATES
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.edit.timing import ShotTime, in_take, nearest_frame, odd_timecodes, shot_times, take_frame
from lessonplan.planning.worked import Plan
from lessonplan.shoot.takes.log import Take
from tests.documents import timed

HALF_PAST_NINE = 9 * 3600 + 30 * 60
A, B = Camera(name="A", ahead=1.2), Camera(name="B", behind=5 / 60)
"""A clock 72 seconds ahead of the tablet's, and one 5 seconds behind it."""


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """A shot that is held for six minutes, and one in which ten words are said."""
    say = "one two three four five six seven eight nine ten"
    shots = (timed.shot("face"), timed.shot("face", "0 s", say=f'"{say}"'))
    course = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 120,")
    return timed.plan(tmp_path_factory.mktemp("timing") / "c", timed.episode(shots), course)


def with_clocks(plan: Plan, rate: str, *cameras: Camera) -> Plan:
    file = plan.course.course.model_copy(update={"frame_rate": RATES[rate], "cameras": cameras})
    return replace(plan, worked=replace(plan.worked, course=plan.course.model_copy(update={"course": file})))


def take(start: int | None = HALF_PAST_NINE, camera: str = "", timecode: str = "", stop: int | None = None) -> Take:
    day, where = date(2027, 3, 6), Where("takes/takes.csv", 2)
    return Take("id", "", day, "1.1.1", 2, start, stop, verdict="best", camera=camera, timecode=timecode, where=where)


@pytest.mark.parametrize(
    ("label", "rate", "frame"),
    [
        ("09:31:17:12", "25", (9 * 3600 + 31 * 60 + 17) * 25 + 12),
        ("09:31:17", "25", (9 * 3600 + 31 * 60 + 17) * 25),
        ("09:31:17;12", "25", (9 * 3600 + 31 * 60 + 17) * 25 + 12),  # whatever sign
        ("09:31:17:25", "25", (9 * 3600 + 31 * 60 + 17) * 25),  # no such frame
        ("01:00:00:23", "23.976", 3600 * 24 + 23),
        # Drop-frame: 00 and 01 are left out at the beginning of every minute but each tenth (SMPTE 12M, from memory).
        ("00:00:59:29", "29.97 drop", 1799),
        ("00:01:00:02", "29.97 drop", 1800),
        ("00:01:00", "29.97 drop", 1800),
        ("00:01:00:01", "29.97 drop", 1800),
        ("00:01:01", "29.97 drop", 1828),
        ("00:09:01", "29.97 drop", 9 * 1800 - 8 * 2 + 28),
        ("00:10:00", "29.97 drop", 17982),
        ("00:01:00", "59.94 drop", 3600),
    ],
)
def test_a_logged_timecode_is_that_of_the_take(plan: Plan, label: str, rate: str, frame: int) -> None:
    # Whatever the cameras' clocks say.
    assert take_frame(with_clocks(plan, rate, A, B), take(camera="A", timecode=label)) == frame


@pytest.mark.parametrize(
    ("cameras", "one", "second"),
    [
        ((A, B), take(camera="A"), HALF_PAST_NINE + 72),
        ((A, B), take(camera="B"), HALF_PAST_NINE - 5),
        ((A, B), take(camera="C"), None),
        ((A, B), take(), None),  # which of the two is not told
        ((A,), take(), HALF_PAST_NINE + 72),
        ((A,), take(camera="B"), None),
        ((), take(camera="A"), None),
        ((A,), take(start=None), None),
        ((A,), take(start=86_399), 71),  # past midnight
        ((B,), take(start=3), 86_398),  # before midnight
    ],
)
def test_else_it_is_the_clock_of_its_camera(
    plan: Plan, cameras: tuple[Camera, ...], one: Take, second: int | None
) -> None:
    assert take_frame(with_clocks(plan, "25", *cameras), one) == (None if second is None else second * 25)


def shot_time(one: Take | None, **more: int) -> ShotTime:
    """From the tenth second of the episode on, five seconds of handle before it, drawn out to twice its length."""
    return ShotTime(
        **{"number": ShotNumber("1.1.1"), "start": 10_000, "length": 20_000, "planned": 10_000, "take": one, **more},  # type: ignore[arg-type]
        real=True,
        opening=5_000,
        say="",
        word=500.0,
        points=(),
        hands=(),
    )


@pytest.mark.parametrize(
    ("at", "with_clock", "without"),
    [
        (10_000, "take 2 at 09:31:17:00", "take 2, 0:05 from its start"),
        (14_019, "take 2 at 09:31:21:00", "take 2, 0:09 from its start"),
        (14_021, "take 2 at 09:31:21:01", "take 2, 0:09 from its start"),
        (75_400, "take 2 at 09:32:22:10", "take 2, 1:10 from its start"),
    ],
)
def test_a_time_of_the_episode_is_told_in_its_take(plan: Plan, at: int, with_clock: str, without: str) -> None:
    assert in_take(with_clocks(plan, "25", A), shot_time(take()), at) == with_clock
    assert in_take(with_clocks(plan, "25"), shot_time(take()), at) == without
    assert in_take(plan, shot_time(None), at) == ""


@pytest.mark.parametrize(("milliseconds", "frame"), [(0, 0), (19, 0), (20, 1), (59, 1), (60, 2), (1000, 25)])
def test_the_nearest_frame_is_the_later_of_two(milliseconds: int, frame: int) -> None:
    assert nearest_frame(milliseconds, RATES["25"]) == frame


def test_words_and_planned_times_come_in_the_shot_and_never_after_it() -> None:
    one = shot_time(None)
    assert (one.end, one.drawn) == (30_000, 2.0)
    assert [one.at_word(place) for place in (0, 3, 40, 41)] == [10_000, 11_500, 30_000, 30_000]
    assert [one.at_planned(seconds) for seconds in (0, 4, 10, 11)] == [10_000, 18_000, 30_000, 30_000]
    assert shot_time(None, planned=0).drawn == 1.0


@pytest.mark.parametrize(
    ("seconds", "length", "real"),
    [(3, 3_000, True), (10, 10_000, True), (0, 5_000, False), (None, 5_000, False)],
)
def test_a_shot_runs_as_long_as_the_take_to_use(plan: Plan, seconds: int | None, length: int, real: bool) -> None:
    """Ten words of half a second are planned; a take of no length, or of one not known, changes nothing."""
    one = replace(take(stop=None if seconds is None else HALF_PAST_NINE + seconds), shot="1.1.2")
    first, second = shot_times(replace(plan, takes=(one,)), 1)
    assert (first.start, first.length, first.take, first.real) == (0, 360_000, None, False)
    assert (second.start, second.length, second.take, second.real) == (360_000, length, one, real)
    assert second.word == pytest.approx(length / 10)
    assert second.planned == 5_000


def test_what_is_said_freely_comes_one_after_the_other(tmp_path: Path) -> None:
    shots = (timed.shot("face", "0 s", points="['why it was washed, 20 s', 'and how, 10 s', 'and when, 5 s']"),)
    (one,) = shot_times(timed.plan(tmp_path / "c", timed.episode(shots)), 1)
    assert one.points == (0, 20_000, 30_000)


@pytest.mark.parametrize(
    ("label", "rate", "used"),
    [
        ("", "25", ""),
        ("09:00:00", "25", ""),
        ("09:00:00:24", "25", ""),
        ("09:00:00:25", "25", "09:00:00:00"),
        ("09:00:00;10", "25", "09:00:00:10"),  # a semicolon is never typed by chance
        ("09:00:00:10", "29.97 drop", ""),  # a colon is
        ("09:01:00:00", "29.97 drop", "09:01:00;02"),
        ("09:01:00;02", "29.97 drop", ""),
    ],
)
def test_timecodes_that_do_not_fit_the_rate_are_told(label: str, rate: str, used: str) -> None:
    told = odd_timecodes([take(timecode="12:00:00:00"), take(timecode=label)], RATES[rate])
    hint = f"{used} is used; “frame_rate” in course.yaml says how many frames a second has."
    assert [(one.severity, one.code, one.where.line, one.hint) for one in told] == (
        [("note", "timecode", 2, hint)] if used else []
    )
