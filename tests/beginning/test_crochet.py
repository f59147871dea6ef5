"""Crochet constructions over gauges and all sizes: the printed lines are worked by hand and by the program."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.beginning.constructions import MADE, bodies
from lessonplan.beginning.folder import files
from lessonplan.beginning.questions import answers_of
from lessonplan.craft.words import words_of
from lessonplan.documents.handout import handout_view
from lessonplan.documents.stopping import stop_words
from lessonplan.planning.worked import load
from tests.beginning.constructed import TODAY, worked_without_remark, written

HOOKED = tuple(name for name, made in MADE.items() if made.craft == "crochet")
GAUGES = [(2.5, 0.6), (3.5, 1.1), (4.5, 0.6), (6, 1.1), (8, 0.6)]
"""Stitches to the inch, and rows for each stitch: about 0.6 of double, 1.1 of single crochet (common practice)."""
INCH = 25.4


def begun(folder: Path, made: str, inch: float, rows: float, colours: str = "oatmeal") -> Path:
    return written(folder, made, f"{inch * 4:g} x {inch * 4 * rows:.1f} to 4 in", colours)


def row_gauge(inch: float, rows: float) -> float:
    """Rows to the inch as the gauge was typed, to a tenth over four inches."""
    return float(f"{inch * 4 * rows:.1f}") / 4


@pytest.mark.parametrize("made", HOOKED)
@pytest.mark.parametrize(("inch", "rows"), GAUGES)
def test_every_thing_can_be_crocheted_in_every_size(tmp_path: Path, made: str, inch: float, rows: float) -> None:
    """No problem and no remark, in one colour and in two: every line works out, and every measure is met."""
    for colours in ("oatmeal", "oatmeal, blue"):
        one = worked_without_remark(begun(tmp_path, made, inch, rows, colours))
        counts = one.facts[{"crochet square": "square", "crochet hat": "panel"}.get(made, "body") + ".stitches"].values
        assert len(counts) in (1, len(bodies(made)))
        assert all(int(count) > 3 for count in counts)


@pytest.mark.parametrize(("inch", "rows"), GAUGES)
def test_a_hat_goes_round_the_head_and_is_as_high_as_it_should_be(tmp_path: Path, inch: float, rows: float) -> None:
    one = worked_without_remark(begun(tmp_path, "crochet hat", inch, rows))
    for size, body in enumerate(bodies("hat")):
        panel = one.pattern.stage("panel", size)
        assert {step.after for step in panel.rounds} == {panel.rounds[0].after}  # a rectangle
        around = len(panel.rounds) / row_gauge(inch, rows) * INCH
        assert abs(around - 0.9 * body.around) <= 1.01 / row_gauge(inch, rows) * INCH  # an even count of rows
        high = panel.rounds[0].after / inch * INCH
        assert abs(high - body.length) <= 0.5 / inch * INCH + 0.01


@pytest.mark.parametrize(("inch", "rows"), GAUGES)
def test_scarf_cowl_and_square_have_their_measures(tmp_path: Path, inch: float, rows: float) -> None:
    scarf = worked_without_remark(begun(tmp_path / "a", "crochet scarf", inch, rows)).pattern.stage("body", 0)
    (body,) = bodies("scarf")
    assert abs(scarf.rounds[0].after / inch * INCH - body.around) <= max(0.5 / inch * INCH + 0.01, 0)
    assert abs(len(scarf.rounds) / row_gauge(inch, rows) * INCH - body.length) <= 2.01 / row_gauge(inch, rows) * INCH
    cowls = worked_without_remark(begun(tmp_path / "b", "crochet cowl", inch, rows)).pattern
    for size, body in enumerate(bodies("cowl")):
        assert abs(cowls.stage("body", size).stitches / inch * INCH - body.around) <= 1.01 / inch * INCH
        high = (1 + len(cowls.stage("body", size).rounds)) / row_gauge(inch, rows) * INCH
        assert abs(high - body.length) <= 0.51 / row_gauge(inch, rows) * INCH
    squares = worked_without_remark(begun(tmp_path / "c", "crochet square", inch, rows)).pattern
    for size, body in enumerate(bodies("square")):
        rounds = squares.stage("square", size).rounds
        # By hand: round n has n clusters of three along each of four sides, so 12 n stitches.
        assert [step.after for step in rounds] == [12 * (number + 1) for number in range(len(rounds))]
        side = 3 * len(rounds) + (len(rounds) - 1) + 2  # stitches, chains between clusters, and a corner's two
        assert len(rounds) == 4 or abs(side / inch * INCH - body.around) <= 2.01 / inch * INCH


def of_size(line: str, size: int) -> str:
    """A printed line for one size: ``Ch 20 (22, 24)`` gives ``Ch 22``."""
    return re.sub(r"(\d+) \(([\d, ]*)\)", lambda found: [found[1], *found[2].split(", ")][size], line)


def walked(line: str, there: int) -> int:
    """Work a printed row or round by its words, on so many stitches: how many it leaves."""
    if found := re.match(r"Ch (\d+), sc in 2nd ch from hook and in each ch across", line):
        return int(found[1]) - 1
    if found := re.match(r"Ch (\d+), dc in 4th ch from hook \(skipped chs count as dc\) and in each ch across", line):
        return int(found[1]) - 3 + 1
    if line.startswith("Ch 3 (counts as dc), turn, skip first st"):
        return 1 + (there - 1)
    assert line.startswith(("Ch 1, turn, sc in back loop of each st", "Ch 1, hdc in each st around")), line
    return there


def test_the_printed_lines_give_the_counts_that_are_said(tmp_path: Path) -> None:
    for made in ("crochet hat", "crochet scarf"):
        one = worked_without_remark(begun(tmp_path / made, made, 4, 1.0))
        for size in range(len(bodies(made))):
            stage = one.pattern.stage("panel" if "hat" in made else "body", size)
            there = 0
            for step in stage.rounds:
                there = walked(of_size(step.text, size), there)
                assert there == step.after


@pytest.mark.parametrize("made", HOOKED)
def test_the_course_is_planned_and_never_speaks_of_needles(tmp_path: Path, made: str) -> None:
    result = lessonplan.plan(begun(tmp_path, made, 3.5, 0.8, "oatmeal, blue"))
    assert result.problems == ()
    assert result.plan
    assert result.plan.choice.optimal
    for path in tmp_path.rglob("*.yaml"):
        text = re.sub(r"darning needle|knitted:|knitting:", "", path.read_text(encoding="utf-8"))
        found = re.findall(r"needle (?!or)|knit|purl|stockinette|cast on", text)
        assert found == [], path.name


def test_a_spoiled_line_is_found(tmp_path: Path) -> None:
    """The grid can fail: a cluster too many at a corner gives other counts than twelve more in every round."""
    folder = begun(tmp_path, "crochet square", 3.5, 0.6)
    path = folder / "pattern.yaml"
    path.write_text(path.read_text().replace("ch 2, 3 dc in ring] 3 times", "ch 2, 4 dc in ring] 3 times"))
    result = load(folder)
    assert result.worked
    assert [step.after for step in result.worked.pattern.stage("square", 0).rounds][:1] != [12]


def test_a_cowl_on_paper_is_fastened_off_and_its_slip_stitch_explained(tmp_path: Path) -> None:
    """To fasten off is to cut the yarn (common practice): no paper asks for one and forbids the other."""
    found = lessonplan.plan(begun(tmp_path, "crochet cowl", 3.5, 0.8)).plan
    assert found
    kinds, size, words = found.worked.kinds, found.worked.size, words_of(found.course.pattern)
    told = [stop_words(one.first, kinds[one.kind], size, words=words).sentence for one in found.choice.pieces]
    assert "STOP when “Cowl” is done; do not weave in the ends." in told
    assert [one for one in told if one.startswith("STOP after round 4") and "do not cut the yarn" in one]
    assert {one.short: one.meaning for one in handout_view(found).abbreviations}["sl st"] == "slip stitch"


@pytest.mark.parametrize(("made", "how"), [("crochet scarf", "wide"), ("scarf", "wide"), ("crochet cowl", "around")])
def test_a_scarf_is_so_wide_and_not_so_much_around(made: str, how: str) -> None:
    pattern = files(replace(answers_of({"made": made}, TODAY), days=(date(2029, 1, 6),)))["pattern.yaml"]
    assert re.search(rf'fits: ".* in\) {how}"', pattern)
