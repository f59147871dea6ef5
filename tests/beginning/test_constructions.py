"""Standard constructions over a grid of gauges and all sizes: knittable, to measure, nothing to remark on."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lessonplan.beginning.constructions import MADE, bodies
from lessonplan.course.problems import Problem
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import load
from tests.beginning.constructed import worked_without_remark, written
from tests.published import rows

KNITTED = tuple(name for name, made in MADE.items() if made.craft == "knitting")
GAUGES = [(inch, rounds) for inch in (4, 5.5, 7, 9, 12) for rounds in (1.2, 1.5)]
"""Stitches to the inch, and rounds for each stitch: 1.3 to 1.5 is usual of plain knitting (common practice)."""
INCH = 25.4


def begun(folder: Path, made: str, inch: float, rounds: float, *, colours: str = "oatmeal") -> Path:
    return written(folder, made, f"{inch * 4:g} x {round(inch * 4 * rounds)} to 4 in", colours)


@pytest.mark.parametrize("made", KNITTED)
@pytest.mark.parametrize(("inch", "rounds"), GAUGES)
def test_every_thing_can_be_knitted_in_every_size(tmp_path: Path, made: str, inch: float, rounds: float) -> None:
    """No problem and no remark: the lines work out, and what is knitted meets the measures with their ease."""
    for colours in ("oatmeal", "oatmeal, blue"):
        worked = worked_without_remark(begun(tmp_path, made, inch, rounds, colours=colours))
        counts = [int(count) for count in worked.facts["edge.cast_on"].values]
        assert len(counts) in (1, len(bodies(made)))
        assert made == "shawl" or [count for count in counts if count % 2] == []  # seven begin a triangle


@pytest.mark.parametrize(("inch", "rounds"), GAUGES)
def test_a_hat_goes_round_the_head_and_down_to_the_ears(tmp_path: Path, inch: float, rounds: float) -> None:
    worked = worked_without_remark(begun(tmp_path, "hat", inch, rounds))
    half_step = 8 / 2 / inch * INCH  # the count is a multiple of eight
    for size, body in enumerate(bodies("hat")):
        stages = [worked.pattern.stage(key, size) for key in worked.pattern.order]
        round_it = stages[0].stitches / inch * INCH
        assert abs(round_it - 0.9 * body.around) <= half_step + 0.01  # a tenth smaller than the head
        a_round = 4 * INCH / round(inch * 4 * rounds)
        height = sum(len(stage.rounds) for stage in stages) * a_round
        assert abs(height - body.length) <= 1.5 * a_round
        assert worked.pattern.stage("crown", size).rounds[-1].after == 8


@pytest.mark.parametrize(("inch", "rounds"), GAUGES)
def test_a_sock_is_as_long_as_the_foot(tmp_path: Path, inch: float, rounds: float) -> None:
    """Along the sole lie the turn of the heel, as deep as half its width, then gusset, foot and toe."""
    worked = worked_without_remark(begun(tmp_path, "socks", inch, rounds))
    for size, body in enumerate(bodies("socks")):
        stitches = worked.pattern.stage("edge", size).stitches
        assert stitches % 4 == 0
        assert abs(stitches / inch * INCH - 0.9 * body.around) <= 2 / inch * INCH + 0.01
        plain = sum(len(worked.pattern.stage(key, size).rounds) for key in ("gusset", "foot", "toe"))
        sole = plain / round(inch * 4 * rounds) * 4 * INCH
        assert 0.85 * body.length <= sole <= 1.1 * body.length
        assert worked.pattern.stage("gusset", size).stitches == stitches
        assert worked.pattern.stage("toe", size).rounds[-1].after == 8


@pytest.mark.parametrize(("inch", "rounds"), GAUGES)
def test_a_mitten_covers_the_hand_and_its_thumb(tmp_path: Path, inch: float, rounds: float) -> None:
    worked = worked_without_remark(begun(tmp_path, "mittens", inch, rounds))
    for size, body in enumerate(bodies("mittens")):
        stage = {key: worked.pattern.stage(key, size) for key in worked.pattern.order}
        wider = stage["edge"].stitches / inch * INCH - body.around_to
        assert -0.01 <= wider < 4 / inch * INCH  # less than one repeat of the rib wider than the widest hand
        a_round = 4 * INCH / round(inch * 4 * rounds)
        tall = sum(len(stage[key].rounds) for key in ("gusset", "hand", "top")) * a_round
        assert abs(tall - body.length) <= a_round / 2 + 0.01  # as near as rounds go
        assert len(stage["gusset"].rounds) * a_round >= body.thumb - a_round / 2 - 0.01
        assert stage["top"].rounds[-1].after == 8


@pytest.mark.parametrize("made", KNITTED)
def test_the_course_is_planned_without_a_remark(tmp_path: Path, made: str) -> None:
    """The whole of it: every stage comes up on camera, and nothing is late when there is time enough."""
    result = plan(begun(tmp_path, made, 5, 1.35, colours="oatmeal, blue"))
    assert result.problems == ()
    assert result.plan
    assert result.plan.choice.optimal


def test_a_line_of_the_templates_that_is_spoiled_is_found(tmp_path: Path) -> None:
    """The grid can fail: one stitch more in the crown is a problem."""
    folder = begun(tmp_path, "hat", 5, 1.35)
    path = folder / "pattern.yaml"
    path.write_text(path.read_text().replace("*K to 2 sts before marker", "*K to 3 sts before marker"))
    assert any(isinstance(one, Problem) and one.severity == "error" for one in load(folder).problems)


HEADS = {"12 months": "12 months", "child": "child/teen", "adult": "adult", "large adult": "large adult"}
HANDS = {"child 6 to 8": "6-8 y", "child 8 to 10": "8-10 y"}
LENGTHS = {**HANDS, "adult small": "adult small", "adult medium": "adult medium", "adult large": "adult large"}


def published(part: str, size: str, source: str) -> tuple[float, float, list[float]]:
    """A row of the published sizes: from, to, and the numbers of its further remarks, in inches."""
    found = [
        row for row in rows("body_sizes") if (row["part"], row["size"]) == (part, size) and source in row["source"]
    ]
    assert len(found) == 1, (part, size)
    more = [float(number) for number in re.findall(r"=([\d.]+)", found[0]["extra"])]
    return float(found[0]["min_in"]), float(found[0]["max_in"]), more


def test_the_sizes_are_the_published_ones() -> None:
    """rhyflowerknits.com (heads), sendy.io (children's hands), knittinghelp.com (mittens), as in tests/facts."""
    for body in bodies("hat"):
        around, same, more = published("head", HEADS[body.size], "rhyflower")
        assert (body.around / INCH, body.length / INCH) == pytest.approx((around, more[0]))
        assert around == same
    for body in bodies("mittens"):
        if body.size in HANDS:
            low, high, _ = published("hand", HANDS[body.size], "sendy.io")
            assert (body.around_from / INCH, body.around_to / INCH) == pytest.approx((low, high))
        length, _, more = published("mitten length", LENGTHS[body.size], "knittinghelp")
        assert (body.length / INCH, body.thumb / INCH) == pytest.approx((length, more[0]))
