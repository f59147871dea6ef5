from __future__ import annotations

import contextlib
import re
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

import lessonplan
from lessonplan.course.model.works import WeaveEnds
from lessonplan.course.values import quantities as q
from lessonplan.course.values.quantities import PerSize
from tests.small_course import COURSE, PATTERN, write_course


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12 cm", 120.0),
        ("0.5 mm", 0.5),
        ("4 in", 101.6),
        ("4 1/2 in", 114.3),
        ("5½ inches", 139.7),
        ('5"', 127.0),
        ("2,5 cm", 25.0),
        ("1 yd", 914.4),
    ],
)
def test_lengths_with_units(text: str, mm: float) -> None:
    assert q.read_length(text) == pytest.approx(mm)


@pytest.mark.parametrize("text", ["12", "cm", "12 furlongs", "0 cm", "5 1/0 in", ""])
def test_a_length_without_sense_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        q.read_length(text)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("20 min", 20),
        ("1 h 30 min", 90),
        ("1 h and 5 minutes", 65),
        ("45 s", 0.75),
        ("24 h", 1440),
        ("2 days", 2880),
        ("1.5 hours", 90),
    ],
)
def test_durations(text: str, minutes: float) -> None:
    assert q.read_duration(text) == pytest.approx(minutes)


@pytest.mark.parametrize("text", ["20", "soon", "", "3 weeks ago", "1 h 20"])
def test_a_duration_without_unit_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        q.read_duration(text)


@pytest.mark.parametrize(("text", "minutes"), [("9:00", 540), ("09.30", 570), ("23:59", 1439)])
def test_clock_times(text: str, minutes: int) -> None:
    assert q.read_clock(text) == minutes


@pytest.mark.parametrize("text", ["24:00", "9:60", "nine", "9"])
def test_impossible_clock_times(text: str) -> None:
    with pytest.raises(ValueError):
        q.read_clock(text)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("40", ["40"]),
        ("40 (44, 48)", ["40", "44", "48"]),
        ("40 [44, 48]", ["40", "44", "48"]),
        ("5 (5.5, 6) cm", ["5 cm", "5.5 cm", "6 cm"]),
        ("5 cm (5.5 cm, 6 cm)", ["5 cm", "5.5 cm", "6 cm"]),
        ("6¾ (7¼, 7¾) in", ["6¾ in", "7¼ in", "7¾ in"]),
    ],
)
def test_sizes_as_patterns_print_them(text: str, parts: list[str]) -> None:
    assert q.split_sizes(text) == parts


def test_extents() -> None:
    assert q.read_cast_on("40 (44, 48) sts") == q.read_cast_on("40 (44, 48)") == q.Extent("count", (40, 44, 48))
    assert q.read_cast_on("20 (22, 24) cm") == q.Extent("length", (200, 220, 240))
    assert q.read_extent("12 (14, 16)") == q.Extent("count", (12, 14, 16))
    assert q.read_extent("12 rounds") == q.Extent("count", (12,))
    assert q.read_extent("5 (6, 7) cm") == q.Extent("length", (50, 60, 70))
    assert q.read_extent("until 16 (18, 20) stitches remain") == q.Extent("until", (16, 18, 20))


def test_a_word_for_an_extent_is_told_what_would_do() -> None:
    with pytest.raises(ValueError, match="at least 1 is needed here, and -40 is given"):
        q.read_extent("-40 (44, 48)")
    with pytest.raises(ValueError, match="“ninety” is neither a whole number such as 12 nor a length such as “12 cm”"):
        q.read_extent("ninety")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("-40 (44, 48)", "a cast-on has at least 1 stitch, and -40 is given"),
        ("40 (0, 48)", "a cast-on has at least 1 stitch, and 0 is given"),
        *(
            (text, f"“{text}” is neither a number of stitches such as 40 nor a width such as “20 cm”")
            for text in ("forty", "40 rounds", "40.5", "until 16 stitches remain")
        ),
    ],
)
def test_a_cast_on_that_makes_no_sense_is_told_in_stitches(text: str, told: str) -> None:
    with pytest.raises(ValueError) as raised:
        q.read_cast_on(text)
    assert str(raised.value) == told


@pytest.mark.parametrize("text", ["0", "-3", "5 apples", "until done", "1.5"])
def test_extents_without_sense(text: str) -> None:
    with pytest.raises(ValueError):
        q.read_extent(text)


READERS = (q.read_length, q.read_duration, q.read_number, q.read_extent, q.read_percent, q.read_whole, q.read_decimal)


@pytest.mark.parametrize("text", ["1,000", "1.000", "1,250", "999.999", "12,345,678"])
def test_a_thousand_or_a_decimal_is_asked_about(text: str) -> None:
    with pytest.raises(ValueError, match=r"may mean|only without") as told:
        q.read_number(text)
    assert text.replace(",", "").replace(".", "") in str(told.value)
    for read, unit in ((q.read_length, "cm"), (q.read_duration, "min"), (q.read_percent, "%"), (q.read_extent, "")):
        with pytest.raises(ValueError, match=r"may mean|only without"):
            read(f"{text} {unit}".strip())


@pytest.mark.parametrize(
    ("text", "values"), [("1,000", (1000, 1)), ("1.225", (1225, 1.225)), ("12,350", (12350, 12.35))]
)
def test_what_the_question_offers_can_be_written(text: str, values: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="may mean") as told:
        q.read_number(text)
    found = re.findall(r"\d[\d.]*", str(told.value).split("may mean")[1])
    assert tuple(q.read_number(one) for one in found) == values


@pytest.mark.parametrize(
    ("text", "value"),
    [("0,125", 0.125), ("0.125", 0.125), ("6,5", 6.5), ("12.25", 12.25), ("1000", 1000.0), (".5", 0.5)],
)
def test_decimals_of_one_meaning(text: str, value: float) -> None:
    assert q.read_number(text) == value


def test_what_the_program_wrote_is_read_with_any_decimals() -> None:
    assert [q.read_decimal(text) for text in ("1.125", "0.08333333333333333")] == [1.125, 0.08333333333333333]


@pytest.mark.parametrize(("text", "words"), [("41/2 in", "“4 1/2”"), ("5/4 in", "1.25"), ("4 3/2 in", "odd")])
def test_a_fraction_of_more_than_one_is_asked_about(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        q.read_length(text)


@pytest.mark.parametrize(
    ("text", "share"), [("50 %", 0.5), ("0.5", 0.5), ("1 %", 0.01), ("100 %", 1.0), ("2,5 %", 0.025)]
)
def test_shares(text: str, share: float) -> None:
    assert q.read_percent(text) == pytest.approx(share)


@pytest.mark.parametrize("text", ["1", "10", "1.0"])
def test_a_share_without_its_sign_is_asked_about(text: str) -> None:
    with pytest.raises(ValueError, match=f"“{text} %”"):
        q.read_percent(text)


def test_sizes_without_a_blank_between_them() -> None:
    with pytest.raises(ValueError, match="blank after a comma"):
        q.read_extent("20 (22,24)")


@pytest.mark.parametrize("number", ["1e999", "9" * 400, "9" * 5000, "1e7", "10000000"])
@pytest.mark.parametrize("unit", ["", "cm", "h", "%"])
def test_a_number_beyond_all_work_is_one_sentence(number: str, unit: str) -> None:
    for read in READERS:
        with pytest.raises(ValueError) as told:
            read(f"{number} {unit}".strip())
        assert "int" not in str(told.value)
        assert len(str(told.value)) < 200


def test_the_bounds_themselves_are_read() -> None:
    assert q.read_number("1000000") == q.read_whole("1000000") == 1_000_000
    assert (q.read_duration("10000 h"), q.read_length("10000 m"), q.read_number("0.001")) == (600_000, 1e7, 0.001)
    for read, text in ((q.read_duration, "10001 h"), (q.read_length, "10001 m"), (q.read_number, "0.0009")):
        with pytest.raises(ValueError):
            read(text)


@given(st.integers(1, 999), st.lists(st.integers(1, 999), min_size=1, max_size=8))
def test_any_printed_sizes_come_apart_again(first: int, others: list[int]) -> None:
    text = f"{first} ({', '.join(map(str, others))})"
    assert q.split_sizes(text) == [str(first), *map(str, others)]


@given(st.text(max_size=30))
def test_no_text_breaks_a_reader(text: str) -> None:
    for read in (q.read_length, q.read_duration, q.read_clock, q.read_number, q.read_extent, q.read_percent):
        with contextlib.suppress(ValueError):
            read(text)


def test_a_value_for_each_size_or_one_for_all() -> None:
    each, one = PerSize((48, 52, 56)), PerSize((7,))
    assert [each.at(size) for size in range(3)] == [48, 52, 56]
    assert [one.at(size) for size in range(3)] == [7, 7, 7]


def test_a_course_gives_values_for_each_size(tmp_path: Path) -> None:
    pattern = PATTERN.replace("title: Ring cowl", "title: Ring cowl\nsizes: S, L\nmeasures: {chest: 80 (100) cm}")
    pattern = pattern.replace("- bind_off: all", "- weave_ends: 4 (6)\n      - bind_off: all")
    files = {"pattern.yaml": pattern, "course.yaml": COURSE.replace("host:", "film_size: L\nhost:")}
    result = lessonplan.load(write_course(tmp_path, files))
    assert result.worked, [str(problem) for problem in result.problems]
    worked = result.worked.course.pattern
    assert [worked.measures["chest"].length.at(size) for size in (0, 1)] == [800.0, 1000.0]
    assert [
        [work.weave_ends.at(size) for size in (0, 1)]
        for _, _, work in result.worked.course.works()
        if isinstance(work, WeaveEnds)
    ] == [[4, 6]]
