"""Timecode against published examples, the counting rules walked frame by frame, and another library."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import opentimelineio.opentime as otio
import pytest
import yaml
from hypothesis import given, strategies as st

from lessonplan.course.values.rates import RATES, Rate, read_rate
from lessonplan.edit.timecode import frame_at, frame_of, timecode

NAMES = st.sampled_from(sorted(RATES))


def examples() -> list[dict[str, str]]:
    path = Path(__file__).parent.parent / "facts" / "timecode_examples.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_published_example() -> None:
    """Each row names its source; elapsed seconds are computed there to four decimals."""
    assert len(examples()) == 52
    for row in examples():
        rate, frame = read_rate(f"{row['rate']} {row['mode']}"), int(row["frame_index_from_0"])
        assert timecode(frame, rate) == row["timecode"], row
        assert frame_of(row["timecode"], rate) == frame, row
        assert abs(frame / rate.fps - Fraction(row["elapsed_seconds_computed"])) <= Fraction(1, 20000), row


def seconds_walked(counted: int, dropped: int) -> Iterator[tuple[int, str, range]]:
    """Every second of a day in order, by the rule itself: its first frame, its label, and the numbers that it has."""
    frame = 0
    for second in range(24 * 3600):
        skipped = dropped if second % 60 == 0 and second % 600 else 0
        numbers = range(skipped, counted)
        yield frame, f"{second // 3600:02}:{second // 60 % 60:02}:{second % 60:02}", numbers
        frame += len(numbers)


@pytest.mark.parametrize("name", RATES)
def test_a_whole_day_is_counted_there_and_back(name: str) -> None:
    """Ends of the first, middle and last second of every minute of 24 hours, and all frames of one second an hour."""
    rate, end = RATES[name], 0
    for frame, start, numbers in seconds_walked(rate.counted, rate.dropped):
        every, ends = start.endswith("59:00"), start[-2:] in ("00", "29", "59")
        for number in numbers if every else (numbers[0], numbers[-1]) if ends else ():
            label = f"{start}{';' if rate.dropped else ':'}{number:02}"
            there = frame + number - numbers[0]
            assert (timecode(there, rate), frame_of(label, rate)) == (label, there)
        end = frame + len(numbers)
    assert end == rate.day


def test_frames_of_hours_and_days_as_the_rules_have_them(root: Path) -> None:
    rules = yaml.safe_load((root / "tests/facts/timecode_rules.yaml").read_text(encoding="utf-8"))["rows"]
    said = {row["id"]: row["rule"] for row in rules}
    drop, double = RATES["29.97 drop"], RATES["59.94 drop"]
    for rule, rate, value in (
        ("per-hour", drop, 6 * drop.ten_minutes),
        ("per-ten-min", drop, drop.ten_minutes),
        ("per-ten-min", double, double.ten_minutes),
        ("per-day", drop, drop.day),
        ("per-day", double, double.day),
    ):
        assert str(value) in said[rule], rate
    assert drop.day / drop.fps == 86400 - Fraction("0.0864")  # residual-drift
    plain = RATES["29.97"]
    assert frame_of("01:00:00:00", plain) / plain.fps == Fraction("3603.6")  # ndf-drift
    assert timecode(frame_at(Fraction(3600), plain), plain) == "00:59:56:12"
    assert {rate.name for rate in RATES.values() if rate.dropped} == {"29.97 drop", "59.94 drop"}  # df-only-ntsc30


@pytest.mark.parametrize(
    ("label", "name", "word"),
    [
        ("00:01:00;00", "29.97 drop", "00:01:00;02"),
        ("00:09:00;01", "29.97 drop", "00:09:00;02"),
        ("10:59:00;03", "59.94 drop", "10:59:00;04"),
        ("00:00:00:60", "29.97", "has frame 60; 29.97 frames a second go from 00 to 29"),
        ("00:00:00:25", "25", "has frame 25; 25 frames a second go from 00 to 24"),
        ("24:00:00:00", "25", "at most"),
        ("00:60:00:00", "25", "at most"),
        ("00:00:60:00", "25", "at most"),
        ("00:00:00;00", "25", "drop-frame"),
        ("00:00:00:00", "29.97 drop", "semicolon"),
        ("0:00:00:00", "25", "01:02:03:04"),
        ("00:00:00.00", "25", "no timecode"),
        ("00:00:00;0٣", "29.97 drop", "01:02:03;04"),
        ("", "25", "no timecode"),
    ],
)
def test_labels_that_do_not_exist(label: str, name: str, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        frame_of(label, RATES[name])


@given(NAMES, st.integers(-(10**8), 10**8))
def test_labels_come_round_after_a_day(name: str, frame: int) -> None:
    rate = RATES[name]
    assert frame_of(timecode(frame, rate), rate) == frame % rate.day
    assert timecode(frame + rate.day, rate) == timecode(frame, rate)


@given(NAMES, st.integers(0, 10**8), st.fractions(0, 1))
def test_a_frame_is_seen_until_the_next_begins(name: str, frame: int, share: Fraction) -> None:
    rate = RATES[name]
    begins, ends = frame / rate.fps, (frame + 1) / rate.fps
    assert frame_at(begins, rate) == frame
    assert frame_at(begins + share * (ends - begins), rate) == frame + (share == 1)


LIBRARY = {rate.name: float(rate.fps) for rate in RATES.values()}


@given(NAMES, st.integers(0, 2_000_000))
def test_another_library_counts_the_same(name: str, frame: int) -> None:
    """OpenTimelineIO 0.18: labels of all rates, drop-frame where it is asked for."""
    rate = RATES[name]
    time = otio.RationalTime(frame, LIBRARY[name])
    label = otio.to_timecode(time, LIBRARY[name], bool(rate.dropped))
    assert timecode(frame, rate) == label
    assert otio.from_timecode(label, LIBRARY[name]).value == frame_of(label, rate)
    assert time.to_seconds() == pytest.approx(float(frame / rate.fps), abs=1e-6)


RATE_WORDS = {
    "23.976": "23.976",
    "23.98": "23.976",
    "24.0": "24",
    "25 fps": "25",
    "25p": "25",
    "29.97": "29.97",
    "29.97 non-drop": "29.97",
    "29.97 NDF": "29.97",
    "29.97 df": "29.97 drop",
    "29.97 drop-frame": "29.97 drop",
    "59.94 Drop": "59.94 drop",
    "60": "60",
}


@pytest.mark.parametrize("text", RATE_WORDS)
def test_rates_as_people_write_them(text: str) -> None:
    assert read_rate(text) == RATES[RATE_WORDS[text]]


@pytest.mark.parametrize("text", ["25 drop", "23.976 drop", "50 df", "12", "", "fast", "29.9"])
def test_rates_that_there_are_not(text: str) -> None:
    with pytest.raises(ValueError, match="is no frame rate"):
        read_rate(text)


def test_a_rate_is_as_exact_as_it_is_defined() -> None:
    assert RATES["29.97 drop"] == Rate("29.97 drop", Fraction(30000, 1001), 30, 2)
    assert RATES["23.976"].fps == Fraction(24000, 1001)
