"""How times, days and lists are worded."""

from __future__ import annotations

from datetime import date

import pytest

from lessonplan.course import words
from lessonplan.documents import wording


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (0, "0 min"),
        (0.001, "1 s"),
        (0.25, "15 s"),
        (0.9, "54 s"),
        (1, "1 min"),
        (59.4, "59 min"),
        (59.6, "1 h"),
        (60, "1 h"),
        (61, "1 h 01 min"),
        (119.6, "2 h"),
        (185, "3 h 05 min"),
        (1500, "25 h"),
    ],
)
def test_durations(minutes: float, text: str) -> None:
    assert wording.duration(minutes) == text


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(0, "0:00"), (0.7, "0:42"), (59 / 60, "0:59"), (1, "1:00"), (12 + 5 / 60, "12:05"), (62 + 5 / 60, "1:02:05")],
)
def test_screen_times(minutes: float, text: str) -> None:
    assert wording.screen_time(minutes) == text


@pytest.mark.parametrize(("seconds", "text"), [(30, "30 s"), (90, "1 min 30 s"), (120, "2 min"), (150, "2 min 30 s")])
def test_times_of_the_hands_keep_their_seconds(seconds: int, text: str) -> None:
    assert wording.hands_time(seconds / 60) == text


@pytest.mark.parametrize(("hours", "text"), [(12, "12 h"), (36, "36 h"), (120, "5 days"), (207, "8 days 15 h")])
def test_times_to_rest(hours: int, text: str) -> None:
    assert wording.rest_time(60 * hours) == text


def test_days_by_the_calendar() -> None:
    # 1 January 2000 was a Saturday, 29 February 2000 a Tuesday (from memory).
    assert words.day_text(date(2000, 1, 1)) == "Saturday 1 January 2000"
    assert words.day_text(date(2000, 2, 29)) == "Tuesday 29 February 2000"
    assert words.short_day(date(2000, 2, 29)) == "Tue 29 Feb"


def test_counts_and_lists() -> None:
    assert [words.count_of(count, "piece") for count in (0, 1, 2)] == ["0 pieces", "1 piece", "2 pieces"]
    lists: list[tuple[str, ...]] = [(), ("a",), ("a", "b"), ("a", "b", "c")]
    assert [words.listing(parts) for parts in lists] == ["", "a", "a and b", "a, b and c"]
