"""How much of one file is read as a pattern, and that what is read takes no more than its length."""

from __future__ import annotations

import cProfile
import random

import pytest

from lessonplan.beginning.written.file import write
from lessonplan.beginning.written.given import Given
from lessonplan.beginning.written.pattern import read_pattern
from lessonplan.documents.countedpattern import pattern_problems, pattern_table
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet import contents
from lessonplan.printed.leaflet.contents import read_whole

CAST_ON = "Cast on 10 sts."


def worked(*lines: str) -> Whole:
    return work_whole(read_whole("\n".join(lines)))


def test_what_is_more_than_a_pattern_holds_is_told_with_its_place(monkeypatch: pytest.MonkeyPatch) -> None:
    # 15 and 12 signs of lines that are worked, 50 more each the first time, all as much as 3 of prose:
    # 195 + 186 + 186 = 567, the first above 550
    monkeypatch.setattr(contents, "MOST_WORK", 550)
    whole = worked(CAST_ON, "Row 1: Knit.", "Row 2: Purl.", "Row 3: K2tog to end.", "Row 4: Knit.")
    assert [each.counted.stitches for each in whole.lines] == [(10,), (10,), (10,)]
    [problem] = whole.problems
    assert (problem.line, problem.column, problem.severity, problem.kind) == (4, 1, "warning", "unread")
    assert "nothing from here on is read" in problem.sentence


def test_a_booklet_of_60_kb_is_read_whole() -> None:
    lines = [f"Row {number % 9 + 1}: K4, k2tog, yo, k4." for number in range(2400)]  # 25 signs and the end of the line
    text = "\n".join((CAST_ON, *lines))
    assert len(text) > 60_000
    printed = read_whole(text)
    assert printed.ends_at is None
    assert len(printed.entries) == 2401


def test_lines_that_all_differ_take_longer_than_those_that_come_again() -> None:
    # a thousand short lines of 41 signs: 1000 x 3 x (41 + 50) = 273,000, above 210,000; ten of them again and again are
    # 1000 x 3 x 41 = 123,000, and 1,500 for the ten
    differ = [f"Row {1000 + number}: K4, k2tog, yo, k4, yo, ssk, k2." for number in range(1000)]
    assert len(differ[0]) == 41
    ends = read_whole("\n".join((CAST_ON, *differ))).ends_at
    assert ends is not None
    assert 700 < ends[0] < 800
    assert read_whole("\n".join((CAST_ON, *differ[:10] * 100))).ends_at is None


def test_a_line_without_end_is_told_and_not_looked_into() -> None:
    whole = worked(CAST_ON, "Row 1: " + "k1, " * 1000 + "k1.", "Row 2: Purl.")  # 4010 signs, 4000 at most
    assert [(each.line, each.sentence) for each in whole.problems if each.kind == "unread"] == [
        (2, "an instruction line longer than 4000 characters is not read")
    ]


def test_twice_as_many_lines_take_twice_the_work() -> None:
    luck = random.Random(4)
    rows = [f"Row {n}: K{luck.randint(1, 9)}, ssk, yo, p{luck.randint(1, 9)}, k2tog, yo, kfb." for n in range(1, 401)]

    def calls(count: int) -> int:
        profile = cProfile.Profile()
        profile.enable()
        whole = worked("Cast on 100 sts.", *rows[:count])
        pattern_table(whole)
        list(pattern_problems(whole, "rows.txt"))
        profile.disable()
        return sum(each.callcount for each in profile.getstats())

    calls(10)  # what is made ready once
    few = calls(200) - calls(10)
    assert calls(400) < 1.6 * few  # 1.3 when written; 2.0 when each line was held against each problem


def test_a_pattern_is_begun_from_in_work_that_grows_with_its_lines() -> None:
    luck = random.Random(5)
    rows = [f"Row {n}: K{luck.randint(1, 9)}, ssk, yo, p{luck.randint(1, 9)}, k2tog, yo, kfb." for n in range(610)]

    def calls(first: int, last: int) -> int:
        given = Given("rows.txt", "\n".join(("Scarf", "Cast on 100 sts.", *rows[first:last], "Bind off.")))
        profile = cProfile.Profile()
        profile.enable()
        write(read_pattern(given))
        profile.disable()
        return sum(each.callcount for each in profile.getstats())

    calls(0, 10)  # what is made ready once
    few = calls(10, 210)
    assert few < 10_000 * 200  # 8,400 a line when written; 14,400 when each was read twice, with its yarns and without
    assert calls(210, 610) < 2.06 * few  # 1.97 when written; 2.16 when each line was held against those of its work
