from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from lessonplan.shoot.takes.compare import PlannedShot, left_out, planned_real
from lessonplan.shoot.takes.log import Take, Verdict

DAY, NEXT = date(2027, 3, 6), date(2027, 3, 7)


def shot(number: str, floor: float = 4.0, day: date = DAY) -> PlannedShot:
    return PlannedShot(number, number.rpartition(".")[0], day, "top", 40, 0.0, 30.0, floor, 2)


def take(
    number: str, count: int, start: float, stop: float | None, verdict: Verdict = "again", day: date = DAY
) -> Take:
    """A take with start and stop in minutes after nine."""
    begin, end = 32400 + round(start * 60), None if stop is None else 32400 + round(stop * 60)
    return Take(f"a/{day}/{number}/{count}/{start}", "a", day, number, count, begin, end, verdict)


def test_a_shot_takes_its_takes_and_the_gaps_between_them() -> None:
    takes = [take("1.1.1", 1, 0, 1), take("1.1.1", 2, 2.5, 3.5), take("1.1.1", 3, 4, 5, "good")]
    row = planned_real([shot("1.1.1")], takes).shots[0]
    assert row.real_minutes == pytest.approx(5.0)
    assert row.late_minutes == pytest.approx(1.0)
    assert (row.takes_planned, row.takes_real) == (2, 3)


def test_time_spent_on_other_shots_between_is_not_counted() -> None:
    takes = [take("1.1.1", 1, 0, 1), take("1.1.2", 1, 3, 4), take("1.1.1", 2, 6, 7)]
    assert planned_real([shot("1.1.1"), shot("1.1.2")], takes).shots[0].real_minutes == pytest.approx(2.0)


def test_lunch_within_a_shot_is_not_counted() -> None:
    takes = [take("1.1.1", 1, 0, 1), take("1.1.1", 2, 46, 47)]
    assert planned_real([shot("1.1.1")], takes).shots[0].real_minutes == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("takes", "best"),
    [
        # Each take as its verdict, with a star for a slip of the tongue; the number of the one to use, 0 for none.
        ("", 0),
        ("again none", 0),
        ("good good again", 2),
        ("again good good*", 2),
        ("good* good*", 2),
        ("usable best usable", 2),
        ("best best usable", 2),
        ("usable best*", 1),
        ("usable* best*", 2),
        ("best* usable*", 1),
        ("good usable", 1),
        ("good best", 2),
    ],
)
def test_the_take_to_use_is_clean_then_good_then_late(takes: str, best: int) -> None:
    def one(place: int, text: str) -> Take:
        verdict: Verdict = {"none": "", "best": "best", "good": "good", "usable": "usable", "again": "again"}[
            text.rstrip("*")
        ]  # type: ignore[assignment]
        made = take("1.1.1", place, 2 * place, 2 * place + 1, verdict)
        return replace(made, slip="yes" if text.endswith("*") else "")

    found = planned_real([shot("1.1.1")], [one(place, text) for place, text in enumerate(takes.split(), 1)]).shots[0]
    assert (found.best.take if found.best else 0) == best


def test_a_shot_that_was_not_filmed_is_neither_late_nor_early() -> None:
    row = planned_real([shot("1.1.1")], []).shots[0]
    assert (row.real_minutes, row.late_minutes, row.takes_real, row.best) == (None, 0.0, 0, None)


def test_a_take_without_length_counts_as_a_take() -> None:
    row = planned_real([shot("1.1.1")], [take("1.1.1", 1, 0, None)]).shots[0]
    assert (row.takes_real, row.real_minutes) == (1, None)


def test_a_segment_is_compared_with_the_plan_of_what_was_filmed() -> None:
    shots = [shot("1.1.1", 4), shot("1.1.2", 10), shot("1.2.1", 7)]
    result = planned_real(shots, [take("1.1.1", 1, 0, 3, "good")])
    first, second = result.segments
    assert (first.name, first.shots, first.filmed, first.good) == ("1.1", 2, 1, 1)
    assert first.planned_so_far == 4
    assert first.real_minutes == pytest.approx(3.0)
    assert first.late_minutes == pytest.approx(-1.0)
    assert (second.planned_so_far, second.late_minutes) == (0, 0)


def test_a_day_counts_what_was_really_filmed_on_it() -> None:
    shots = [shot("1.1.1", 4), shot("1.1.2", 6)]
    takes = [take("1.1.1", 1, 0, 2, "good"), take("1.1.2", 1, 5, 8, "good", NEXT)]
    first, second = planned_real(shots, takes).days
    assert (first.name, first.planned_so_far, first.shots) == ("2027-03-06", 4, 2)
    assert (second.planned_so_far, second.shots, second.filmed) == (6, 1, 1)
    assert second.real_minutes == pytest.approx(3.0)


def test_a_shot_taken_up_again_is_planned_for_once() -> None:
    takes = [take("1.1.1", 1, 0, 2), take("1.1.1", 2, 0, 6, "good", NEXT)]
    days = planned_real([shot("1.1.1", 4)], takes).days
    assert [day.planned_so_far for day in days] == pytest.approx([1.0, 3.0])
    assert sum(day.planned_so_far for day in days) == pytest.approx(4.0)


def test_takes_of_shots_that_are_not_planned_are_left_out() -> None:
    result = planned_real([shot("1.1.1")], [take("9.9.9", 1, 0, 1)])
    assert [row.number for row in result.shots] == ["1.1.1"]
    assert result.days[0].real_minutes == 0


def test_what_has_no_take_by_the_last_day_that_is_logged_is_left_out() -> None:
    planned = [("1.1.1", DAY), ("1.1.2", DAY), ("2.1.1", NEXT), ("2.1.2", NEXT), ("3.1.1", date(2027, 3, 8))]
    takes = [take("1.1.1", 1, 0, 1), take("2.1.1", 1, 0, 1, day=NEXT)]
    assert left_out(planned, takes) == ("1.1.2", "2.1.2")
    assert left_out(planned, takes[:1]) == ("1.1.2",)
    assert left_out(planned, []) == ()
