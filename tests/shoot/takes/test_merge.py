from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, strategies as st

from lessonplan.course.problems import Where
from lessonplan.shoot.takes.log import Take, Verdict, merged_csv, read_log
from lessonplan.shoot.takes.merge import Merged, merge

DAY = date(2027, 3, 6)


def take(name: str, shot: str, number: int, start: int, length: int | None = 40, verdict: Verdict = "good") -> Take:
    """A take of device ``a`` (id ``a-1``); start in seconds after nine."""
    begin = 32400 + start
    stop = None if length is None else begin + length
    where = Where(f"{name[0]}.csv", int(name[2:]) + 1, 1)
    return Take(name, name[0], DAY, shot, number, begin, stop, verdict, where=where)


def moved(takes: Sequence[Take], device: str, seconds: int) -> list[Take]:
    """The same takes as another device with another clock logs them."""
    found = []
    for number, one in enumerate(takes, start=1):
        start, stop = (None if time is None else time + seconds for time in (one.start, one.stop))
        found.append(replace(one, id=f"{device}-{number}", device=device, start=start, stop=stop))
    return found


def codes(merged: Merged) -> list[str]:
    return [problem.code for problem in merged.problems]


def test_the_same_line_twice_is_one_take_and_not_worth_a_word() -> None:
    one = take("a-1", "1.1.1", 1, 0)
    assert merge([[one], [one]]).takes == (one,)
    assert merge([[one], [one]]).problems == ()


def test_of_one_id_the_log_that_goes_on_longer_wins_and_it_is_said() -> None:
    early, late = take("a-1", "1.1.1", 1, 0, 40), take("a-1", "1.1.1", 1, 0, 35, "")
    merged = merge([[late, take("a-2", "1.1.1", 2, 60)], [early]])
    assert merged.takes[0] == late
    assert codes(merged) == ["same-id"]


def test_within_one_log_the_later_line_wins() -> None:
    first, second = take("a-1", "1.1.1", 1, 0, 40, "good"), take("a-1", "1.1.1", 1, 0, 40, "again")
    assert merge([[first, second]]).takes == (second,)


@pytest.mark.parametrize(("logged", "mended"), [("good", "again"), ("again", "good")])
def test_what_was_mended_in_the_kept_log_stays_when_the_same_log_comes_again(logged: Verdict, mended: Verdict) -> None:
    kept = take("a-1", "1.1.1", 1, 0, 40, mended)
    assert merge([[take("a-1", "1.1.1", 1, 0, 40, logged)]], [kept]).takes == (kept,)


def test_one_id_for_two_shots_is_a_warning() -> None:
    merged = merge([[take("a-1", "1.1.1", 1, 0)], [take("a-1", "1.2.1", 1, 500)]])
    assert [(problem.code, problem.severity) for problem in merged.problems] == [("same-id", "warning")]


def test_a_take_logged_by_two_devices_counts_once_whatever_their_clocks() -> None:
    takes = [take(f"a-{n}", f"1.1.{n}", 1, n * 100) for n in range(1, 6)]
    merged = merge([takes, moved(takes[:4], "b", 3600)])
    assert merged.takes == tuple(takes)
    assert len(merged.records) == 9
    assert [(clock.device, clock.ahead, clock.common) for clock in merged.clocks] == [("a", 0, 0), ("b", 3600, 4)]
    assert codes(merged) == ["device-clock"]


def test_the_offset_is_a_median_so_wrong_pairs_do_not_matter() -> None:
    takes = [take(f"a-{n}", f"1.1.{n}", 1, n * 100) for n in range(1, 8)]
    other = moved(takes, "b", 75)
    other[2], other[4] = moved([other[2]], "b", 5000)[0], moved([other[4]], "b", -5000)[0]
    other = [replace(one, id=f"b-{number}") for number, one in enumerate(other)]
    merged = merge([takes, other])
    assert merged.clocks[1].ahead == 75
    assert len(merged.takes) == 9


@pytest.mark.parametrize(("right", "wrong", "ahead"), [(3, 2, 75), (3, 3, 0), (2, 1, 75), (1, 1, 0), (3, 4, 0)])
def test_a_clock_is_believed_when_most_pairs_agree(right: int, wrong: int, ahead: int) -> None:
    # The others are an hour and more apart, each by another hour.
    takes = [take(f"a-{n}", f"1.1.{n}", 1, n * 100) for n in range(1, right + wrong + 1)]
    other = moved(takes[:right], "b", 75)
    other += [moved([one], "b", 3600 * hours)[0] for hours, one in enumerate(takes[right:], 1)]
    merged = merge([takes, [replace(one, id=f"b-{number}") for number, one in enumerate(other)]])
    assert merged.clocks[1].believed == (ahead > 0)
    assert merged.clocks[1].ahead == ahead


@pytest.mark.parametrize(("apart", "believed"), [(90, True), (91, False)])
def test_takes_agree_on_two_clocks_within_a_minute_and_a_half(apart: int, believed: bool) -> None:
    takes = [take(f"a-{n}", f"1.1.{n}", 1, n * 100) for n in range(1, 4)]
    other = [moved([one], "b", 75 + by)[0] for one, by in zip(takes, (-apart, 0, apart), strict=True)]
    merged = merge([takes, [replace(one, id=f"b-{number}") for number, one in enumerate(other)]])
    assert merged.clocks[1].believed == believed


def test_a_third_device_is_placed_through_the_second() -> None:
    takes = [take(f"a-{n}", f"1.1.{n}", 1, n * 100) for n in range(1, 10)]
    later = [take(f"a-{n}", f"1.2.{n}", 1, n * 100) for n in range(10, 15)]
    second = moved([*takes[6:], *later[:4]], "b", 120)
    third = moved(later, "c", -200)
    merged = merge([takes, second, third])
    assert {clock.device: clock.ahead for clock in merged.clocks} == {"a": 0, "b": 120, "c": -200}
    assert len(merged.takes) == 14


def test_hours_apart_are_not_believed_from_one_common_take() -> None:
    merged = merge([[take("a-1", "1.1.1", 1, 0), take("a-2", "1.1.2", 1, 90)], [take("b-1", "1.1.1", 1, 9000)]])
    assert len(merged.takes) == 3
    assert "device-clock" in codes(merged)


def test_what_only_one_device_knows_is_kept() -> None:
    one = take("a-1", "1.1.1", 1, 0, None, "")
    other = replace(take("b-1", "1.1.1", 1, 2, 40, "good"), slip="said left", note="hair")
    merged = merge([[one, take("a-2", "1.1.1", 2, 100)], [other]])
    assert (merged.takes[0].verdict, merged.takes[0].slip, merged.takes[0].note) == ("good", "said left", "hair")
    assert merged.takes[0].seconds == 40


def test_two_cameras_on_one_take_are_both_named() -> None:
    one = replace(take("a-1", "1.1.1", 1, 0, 40), camera="A", card="A01", clip="C0012", timecode="09:00:00")
    other = replace(take("b-1", "1.1.1", 1, 2, 40), camera="B", clip="0033")
    (both,) = merge([[one, take("a-2", "1.1.1", 2, 100)], [other]]).takes[:1]
    assert (both.camera, both.card, both.clip, both.timecode) == ("A; B", "A01", "C0012; 0033", "09:00:00")


def test_two_verdicts_on_one_take_are_told() -> None:
    one, other = take("a-1", "1.1.1", 1, 0, 40, "good"), take("b-1", "1.1.1", 1, 1, 40, "again")
    assert "verdict" in codes(merge([[one], [other]]))


def test_overlapping_takes_of_two_shots_are_reported() -> None:
    merged = merge([[take("a-1", "1.1.1", 1, 0, 60), take("a-2", "1.1.2", 1, 20, 60)]])
    assert codes(merged) == ["overlap"]
    assert "by 40 s" in merged.problems[0].message


def test_a_take_within_a_long_one_is_found_past_others() -> None:
    takes = [take("a-1", "1.1.1", 1, 0, 500), take("a-2", "1.1.2", 1, 20, 30), take("a-3", "1.1.3", 1, 100, 30)]
    assert codes(merge([takes])) == ["overlap", "overlap"]


def test_lines_out_of_order_come_out_in_order() -> None:
    takes = [take("a-3", "1.1.3", 1, 300), take("a-1", "1.1.1", 1, 0), take("a-2", "1.1.2", 1, 100)]
    merged = merge([takes])
    assert [one.id for one in merged.takes] == ["a-1", "a-2", "a-3"]
    assert merged.problems == ()


def test_a_clock_in_another_time_zone_is_carried_over_midnight() -> None:
    takes = [take(f"a-{n}", f"1.1.{n}", 1, n * 100) for n in range(1, 6)]
    zone = [*moved(takes[:3], "b", -9 * 3600), replace(take("b-9", "1.2.1", 1, 0), start=50, stop=60)]
    merged = merge([takes, zone])
    assert len(merged.takes) == 6
    assert (merged.takes[0].shot, merged.takes[0].start) == ("1.2.1", 50 + 9 * 3600)
    before = replace(zone[3], start=80000, stop=80060)
    last = merge([takes, [*zone[:3], before]]).takes[-1]
    assert (last.day, last.start, last.seconds) == (DAY + timedelta(days=1), 80000 + 9 * 3600 - 86400, 60)


def pictures(*rows: tuple[int, str, str, str]) -> list[str]:
    """What is told of takes of a minute each, an hour apart: number of the shot, card, clip and timecode."""
    hours = enumerate(rows)
    takes = [
        replace(
            take(f"a-{place + 1}", f"1.1.{shot}", 1, 3600 * place, 60), camera="A", card=card, clip=clip, timecode=at
        )
        for place, (shot, card, clip, at) in hours
    ]
    return codes(merge([takes]))


def test_two_takes_have_not_the_same_pictures() -> None:
    one = (1, "A01", "C0001", "01:00:00:00")
    assert pictures(one, (2, "A01", "C0001", "01:00:00:00")) == ["same-pictures"]
    assert pictures(one, (2, "A01", "C0001", "01:00:40:00")) == ["same-pictures"]
    assert pictures(one, (2, "A01", "C0001", "01:01:00:00")) == [], "the camera ran on"
    assert pictures(one, (2, "A01", "C0001", "")) == [], "so it may have here"
    assert pictures(one, (2, "A02", "C0001", "01:00:00:00")) == [], "another card may count anew"


def test_a_take_of_two_cameras_loses_neither_line() -> None:
    """Typed with the same start: both lines are kept, told of as one take logged twice, and no camera filmed two."""
    text = "day,shot,take,start,stop,camera,clip\n" + "".join(
        f"2027-03-06,1.1.1,1,09:00:00,09:01:00,{camera},{clip}\n" for camera, clip in (("A", "C0001"), ("B", "D0001"))
    )
    takes, problems = read_log(text.encode(), "log.csv")
    merged = merge([takes])
    assert (problems, codes(merged)) == ((), ["same-take"])
    assert {(one.camera, one.clip) for one in merged.records} == {("A", "C0001"), ("B", "D0001")}
    again, _ = read_log(merged_csv(merged.records), "kept.csv")
    assert merge([takes], again).records == merged.records, "the same log again adds none"


LOGS = st.lists(
    st.lists(
        st.builds(
            take,
            st.sampled_from([f"{device}-{n}" for device in "abc" for n in range(1, 5)]),
            st.sampled_from(["1.1.1", "1.1.2"]),
            st.integers(1, 2),
            st.integers(0, 5) | st.integers(0, 20000),
            st.none() | st.integers(0, 90),
            st.sampled_from(["good", "again", ""]),
        ),
        max_size=6,
    ),
    max_size=4,
)


@given(LOGS, st.randoms(use_true_random=False))
def test_the_order_of_logs_does_not_matter(logs: list[list[Take]], order: random.Random) -> None:
    shuffled = logs.copy()
    order.shuffle(shuffled)
    assert merge(shuffled) == merge(logs)


@given(LOGS, st.data())
def test_merging_again_changes_nothing(logs: list[list[Take]], data: st.DataObject) -> None:
    merged = merge(logs)
    kept, _ = read_log(merged_csv(merged.records), "kept.csv")
    again = merge([kept, *data.draw(st.lists(st.sampled_from(logs)) if logs else st.just([]))])
    assert (again.takes, again.records, again.clocks) == (merged.takes, merged.records, merged.clocks)


@given(LOGS)
def test_no_take_is_lost_or_doubled(logs: list[list[Take]]) -> None:
    merged = merge(logs)
    assert {one.id for one in merged.records} == {one.id for log in logs for one in log}
    assert len({one.id for one in merged.takes}) == len(merged.takes) <= len(merged.records)
    assert {(one.shot, one.take) for one in merged.takes} == {(one.shot, one.take) for one in merged.records}
