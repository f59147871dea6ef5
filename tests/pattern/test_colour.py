from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from lessonplan.course.model import pattern as pm
from lessonplan.pattern.colour import (
    ColourError,
    chart_lines,
    chart_shares,
    ends_left,
    joins,
    longest_float,
    strands_remark,
    stripes,
)
from lessonplan.pattern.worked import PART, Step
from tests.small_pieces import cast_on, pattern, stage


def chart(*rows: str, kind: str = "stranded", each: str = "1") -> pm.Chart:
    return pm.Chart.model_validate(
        {"kind": kind, "colours": {"M": "MC", "C": "CC"}, "rows": list(rows), "rounds_each": each}
    )


def test_stripes_give_the_yarn_of_each_round() -> None:
    assert [turn[0][0] for turn in stripes("2 CC, MC 1", {"MC": 1, "CC": 1})] == ["CC", "CC", "MC"]


@pytest.mark.parametrize("text", ["2 XX", "two CC", "", "CC"])
def test_stripes_without_sense(text: str) -> None:
    with pytest.raises(ColourError):
        stripes(text, {"CC": 1})


def test_a_chart_is_read_from_the_bottom() -> None:
    assert chart_lines(chart("MMCC", "MCMC")) == (
        "*k1 CC, k1 MC, k1 CC, k1 MC; rep from * to end",
        "*k2 CC, k2 MC; rep from * to end",
    )
    # A row in one colour alone is worked in the yarn that stands beside it.
    assert chart_lines(chart("MMMM")) == ("*k4; rep from * to end",)


def test_a_round_of_a_chart_begins_at_its_right_edge() -> None:
    # A flag to the left, seen from the right side: each round is worked from the right edge.
    flag = chart("CMMM", "CCMM", "CCCM")
    assert chart_lines(flag) == tuple(f"*k{m} MC, k{4 - m} CC; rep from * to end" for m in (1, 2, 3))
    # To and fro the second row comes back from the left, on the wrong side.
    assert chart_lines(flag, flat=True)[1] == "*p2 CC, p2 MC; rep from * to end"
    assert chart_lines(chart("CMMM", "CCCM"), flat=True) == (
        "*k1 MC, k3 CC; rep from * to end",
        "*p1 CC, p3 MC; rep from * to end",
    )
    slipped = chart("CMMM", kind="slipped", each="2")
    assert chart_lines(slipped, flat=True) == ("*sl 3 wyib, k1; rep from * to end", "*p1, sl 3 wyif; rep from * to end")


def test_the_share_of_each_colour() -> None:
    assert chart_shares(chart("MMMC")) == ((("CC", 0.25), ("MC", 0.75)),)


def test_slipped_rows_are_worked_with_one_yarn_as_often_as_asked() -> None:
    slipped = chart("CCMM", kind="slipped", each="2")
    assert chart_lines(slipped) == ("*sl 2 wyib, k2; rep from * to end",) * 2
    assert chart_shares(slipped) == ((("CC", 1.0),),) * 2


@pytest.mark.parametrize(
    ("rows", "longest"), [(["MCMC"], 1), (["MMMC"], 3), (["MMMM"], 0), (["MMCCMM"], 4), (["MC", "CC"], 1)]
)
def test_the_longest_float_runs_round_the_corner_of_the_repeat(rows: list[str], longest: int) -> None:
    assert longest_float(chart(*rows)) == longest


@pytest.mark.parametrize("rows", [["MX"], ["MC", "MCM"]])
def test_charts_that_cannot_be_worked(rows: list[str]) -> None:
    with pytest.raises(ColourError):
        chart_lines(chart(*rows))


def test_two_ends_for_each_joining() -> None:
    def work(number: int, *yarns: str) -> Step:
        return Step("round", "", 4, 4, yarns=tuple((yarn, 1.0) for yarn in yarns), work=number)

    assert ends_of([work(0, "CC"), work(1, "MC"), work(2, "MC", "CC"), work(3, "MC")]) == 6


def ends_of(steps: Sequence[Step]) -> int:
    return ends_left(pattern(stage("body", *steps)), 0)


def plain(text: str) -> tuple[Step, ...]:
    """Rounds by their yarns: ``MC CC+MC`` is a round in MC and one in both, each a work of its own."""
    return tuple(
        Step("round", "k", 4, 4, yarns=tuple((yarn, 1.0) for yarn in one.split("+")), work=number)
        for number, one in enumerate(text.split())
    )


def test_a_yarn_is_joined_where_it_does_not_hang() -> None:
    worked = pattern(
        stage("edge", cast_on(4, "CC"), *plain("CC")),
        stage("body", *plain("CC MC MC+CC CC"), start=4),
        stage("pocket", Step("pick-up", "p", 0, 4, yarns=(("CC", 4.0),)), *plain("CC")),
        after={"pocket": ("body",)},
    )
    found = {place: set(yarns) for place, yarns in joins(worked, 0).items()}
    # CC goes on from the edge, is cut before the second round and joined again in the third; MC hangs there still.
    expected = {
        ("edge", 0): {"CC"},
        ("body", 0): set(),
        ("body", 1): {"MC"},
        ("body", 2): {"CC"},
        ("body", 3): set(),
        ("pocket", 0): {"CC"},  # picking up takes a new end, though CC hangs at the body
    }
    assert found == expected
    assert ends_left(worked, 0) == 2 * 4


def test_a_first_row_that_is_shown_in_parts_goes_on_with_the_yarn() -> None:
    part = Step(PART, "Row 1, its first 2 sts", 4, 4, yarns=(("MC", 2.0),), part=2)
    worked = pattern(
        stage("foot", cast_on(4), *plain("MC MC")), stage("heel", part, Step("row", "r", 4, 4, yarns=(("MC", 2.0),)))
    )
    assert joins(worked, 0)["heel", 0] == set()


def test_a_sleeve_from_held_stitches_takes_new_yarn_and_a_heel_that_takes_the_instep_in_does_not() -> None:
    """By hand: MC begins the yoke and goes on to the body, so that each sleeve needs it anew; two ends each time."""
    sleeve = Step("take-up", "t", 0, 4, name="sleeve")
    worked = pattern(
        stage("yoke", cast_on(4, "MC"), *plain("MC")),
        stage("body", *plain("MC CC"), Step("bind-off", "b", 4, 0, yarns=(("CC", 4.0),), work=2), start=4),
        stage("left", sleeve, *plain("MC")),
        stage("right", sleeve, *plain("MC")),
        after={"left": ("yoke",), "right": ("yoke",)},
    )
    assert ends_left(worked, 0) == 2 + 2 + 2 + 2
    heel = pattern(
        stage("heel", cast_on(4, "MC"), *plain("MC")),
        stage("foot", Step("take-up", "t", 4, 8, name="instep"), *plain("MC"), start=4),
    )
    assert ends_left(heel, 0) == 2
    # One front, fastened off, then the stitches of the other taken up, all in one part of the pattern.
    fronts = (*plain("MC"), Step("bind-off", "b", 4, 0, yarns=(("MC", 4.0),), work=1), replace(sleeve, work=2))
    assert ends_of([*fronts, *(replace(step, work=3) for step in plain("MC"))]) == 4


def test_a_yarn_that_rests_is_not_joined_again() -> None:
    carried = [replace(step, resting=("CC",)) if step.work == 1 else step for step in plain("CC MC CC")]
    assert [ends_of(steps) for steps in (plain("CC MC CC"), carried)] == [6, 4]
    # What rests must have hung there: a yarn that was never used is joined when it is.
    never = [replace(step, resting=("CC",)) for step in plain("MC MC")]
    assert ends_of([*never, *(replace(step, work=5) for step in plain("CC"))]) == 4


def test_what_is_carried_behind_other_stitches_is_said_to_be_in_no_amount() -> None:
    two = Step("round", "k", 4, 4, yarns=(("CC", 1.0), ("MC", 3.0)))
    worked = pattern(stage("foot", cast_on(4), *plain("MC CC")), stage("band", two), stage("top", two))
    assert [one.message for one in strands_remark(worked)] == [
        "The yarn carried behind the stitches of another colour (from “Band” on) is in no amount of yarn. "
        "Weigh it on a swatch, and let “margin” cover it."
    ]
    assert list(strands_remark(pattern(stage("foot", cast_on(4), *plain("MC CC"))))) == []
