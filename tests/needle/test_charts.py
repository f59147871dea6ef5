"""Charts by name: which row comes, how wide a row is worked, and the same in a course."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from lessonplan.needle.decided.results import Worked
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from tests.inline_stages import HEAD, sound

CHARTS = {
    "Chart A": ["Row 1: K2, yo, k2tog.", "Row 2: Knit.", "Rows 3 and 4: Purl."],
    "Lace pattern": ["Row 1: *Yo, k2tog; rep from * to end.", "Row 2: Knit."],
}


def work(lines: Sequence[str], on: int = 12, charts: dict[str, list[str]] | None = None) -> Worked:
    return work_lines(lines, Needle(on), patterns=CHARTS if charts is None else charts)


def counted(worked: Worked) -> dict[str, int]:
    found: dict[str, int] = {}
    for each in worked.rounds:
        for name, number in each.techniques:
            found[name] = found.get(name, 0) + number * each.times
    return found


def errors(worked: Worked) -> list[str]:
    return [each.sentence for each in worked.problems if each.severity == "error"]


@pytest.mark.parametrize(
    ("line", "rounds", "yo", "purled"),
    [
        ("Work rows 1 to 4 of Chart A.", 4, 3, 24),
        ("Work Rows 1-4 of the chart 3 times.", 12, 9, 72),
        ("Work Chart A.", 4, 3, 24),
        ("Work Chart A twice.", 8, 6, 48),
        ("Follow Chart A for 6 rounds.", 6, 6, 24),
        ("Rnds 1-10: Work Chart A.", 10, 9, 48),
        ("Rnd 1: Work row 3 of Chart A.", 1, 0, 12),
        ("Work rows 4 to 1 of Chart A.", 4, 3, 24),
        ("Work rows 1 and 2 of lace pattern.", 2, 6, 0),
        ("K4, work row 1 of Chart A over next 4 sts, k4.", 1, 1, 0),
        ("K2, work Row 1 of Chart A to last 2 sts, k2.", 1, 2, 0),
    ],
)
def test_rows_of_a_chart(line: str, rounds: int, yo: int, purled: int) -> None:
    worked = work([line])
    assert errors(worked) == []
    assert sum(each.times for each in worked.rounds) == rounds
    assert (counted(worked).get("yo", 0), counted(worked).get("p", 0)) == (yo, purled)
    assert worked.needle.stitches == 12


def test_a_chart_is_gone_on_with_where_it_was_left() -> None:
    worked = work(["Rnd 1: Work Chart A.", "Rnds 2-3: Purl.", "Rnd 4: Work Chart A."])
    # Rows 1 of the chart, two rounds of twelve purls, row 1 again: a line that names no row begins the chart anew.
    assert (errors(worked), counted(worked)["yo"], counted(worked)["p"]) == ([], 6, 24)


@pytest.mark.parametrize(
    ("line", "on", "said"),
    [
        ("Work rows 1 to 9 of Chart A.", 12, "asks for row 9 of chart a, which has 4 rows"),
        ("Work rows 1 to 4 of Chart C.", 12, "the rows of “chart c” are not written out, so they cannot be counted"),
        ("Work Chart A.", 14, "Chart A: asks for 2 stitches here, none is left"),
    ],
)
def test_what_is_said_of_a_chart_that_does_not_fit(line: str, on: int, said: str) -> None:
    assert errors(work([line], on)) == [said]


def test_the_chart_is_the_only_one_there_is() -> None:
    assert errors(work(["Work rows 1-2 of the chart."])) == []
    two = {**CHARTS, "Chart B": ["Row 1: Knit."]}
    assert len(errors(work(["Work rows 1-2 of the chart."], charts=two))) == 1


COURSE = """\
  band:
    title: Band
    works:
      - cast_on: 40 (44)
        join: yes
      - rounds: 8
        lines: Work rows 1 to 2 of Chart A
"""


def test_a_course_gives_charts_among_its_stitch_patterns() -> None:
    chart = 'patterns:\n  Chart A: ["Row 1: K2, yo, k2tog", "Row 2: Knit"]\nstages:\n'
    stage = sound(COURSE, HEAD.replace("stages:\n", chart)).stage("band", 1)
    assert (stage.stitches, len(stage.rounds)) == (44, 8)
    assert sum(dict(each.techniques).get("yo", 0) for each in stage.rounds) == 4 * 11
