"""A heel worked to and fro, then joined by a row: what its papers say of needles, tails, rows and takes."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import lessonplan
from lessonplan.course.names.asked import state_text
from lessonplan.craft.lengths import NO_BREAK
from lessonplan.documents.instructions import stage_views
from lessonplan.documents.materials import high_by
from lessonplan.documents.worklines import lines_of
from lessonplan.planning.worked import Plan
from lessonplan.samples.states import resolve
from tests.pdf import pages
from tests.small_course import COURSE, write_course

PATTERN = """\
title: Slipper
gauge: {stitches: 18, rounds: 26}
needles: ["4.5 mm circular needle, 80 cm, or double-pointed needles"]
yarns: {MC: {name: Wool, colour: grey, metres: 166, grams: 100}}
stages:
  heel:
    title: Heel
    gauge: {stitches: 18, rounds: 36, fabric: garter stitch}
    works:
      - {cast_on: 28, yarn: MC, before: Leave a tail of 40 cm for the seam.}
      - {rows: 20, lines: [Knit], yarn: MC}
  instep:
    title: Instep
    after: heel
    works:
      - {rows: 1, lines: ["Knit to end, cast on 4 sts, pm and join to work in the round."], yarn: MC}
      - {rounds: 12, lines: [Knit], yarn: MC, before: Hold the yarn loosely.}
      - {bind_off: all, yarn: MC}
"""
EPISODE = """\
episode: 1
title: Heel
segments:
  - title: Heel
    shots:
      - {view: face, pieces: [{needs: before heel, leaves: "heel row 1"}], hands: [{do: cast on and knit, time: 60 s}]}
      - view: overhead
        pieces: [{needs: before instep, leaves: "instep row 1"}]
        hands: [{work: "Cast on 4 sts, pm"}]
        takes: 2
      - view: overhead
        pieces: [{needs: instep round 4}]
        hands: [{work: "K3"}]
        takes: 2
"""


FOLDER = Path(mkdtemp())


@cache
def built() -> Plan:
    write_course(FOLDER / "c", {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE})
    result = lessonplan.build(FOLDER / "c", FOLDER / "out")
    assert result.plan, result.problems
    return result.plan


@cache
def papers() -> dict[str, str]:
    assert built()
    every = {one.name: re.sub(r"<[^>]+>", " ", one.read_text(encoding="utf-8")) for one in FOLDER.glob("out/*.html")}
    every |= {one.name: " ".join(pages(one.read_bytes())) for one in FOLDER.glob("out/*.pdf")}
    return {name: " ".join(text.split()) for name, text in every.items()}


def test_a_needle_that_is_called_so_is_not_called_so_twice() -> None:
    assert [name for name, text in papers().items() if re.search(r"needles? needle", text)] == []
    assert "with 2 m of MC and a 4.5 mm needle" in papers()["step-samples.html"]


def test_a_part_worked_flat_has_rows_in_its_gauge() -> None:
    text = papers()["handout.html"]
    assert "Heel: 18 sts and 36 rows to 10 cm" in text
    assert "18 sts and 26 rounds to 10 cm" in text


def test_the_main_gauge_is_in_rows_where_most_of_what_has_it_is_worked_to_and_fro(tmp_path: Path) -> None:
    """A body of 28 stitches flat, then a few rounds of 32: 40 rows are more stitches than 13 rounds."""
    flat = PATTERN.replace("    gauge: {stitches: 18, rounds: 36, fabric: garter stitch}\n", "")
    flat = flat.replace("rows: 20", "rows: 40")
    write_course(tmp_path / "c", {"course.yaml": COURSE, "pattern.yaml": flat, "episodes/01.yaml": EPISODE})
    plan = lessonplan.plan(tmp_path / "c").plan
    assert plan
    pattern, worked = plan.course.pattern, plan.worked.pattern
    assert high_by(pattern, worked) == "rows"
    assert high_by(pattern, worked, ["instep"]) == "rounds"
    tube = pattern.model_copy(update={"gauge": pattern.gauge.model_copy(update={"fabric": "rib in the round"})})
    assert high_by(tube, worked) == "rounds"


def test_two_tails_are_told_apart() -> None:
    """28 stitches at 18 to 10 cm are 15.6 cm wide; the tail is 3.3 times that."""
    assert re.search(r"a tail of 51\.5 cm ?, 20¼ in for the stitches, cast on 28 sts", papers()["handout.html"])
    assert "Cast on 28 sts (long-tail, tail of 51.5 cm, 20¼ in for the stitches)" in papers()["knitter-ada-example.pdf"]


def test_what_is_worked_before_a_move_is_worked_in_each_take() -> None:
    """A move is taken back to its beginning between the takes; what stays in its state, to that of its line."""
    text = papers()["run-sheet-1.html"]
    assert "Begins 28 stitches into row 1 of “Instep”: work these first, off camera, before each take." in text
    assert text.count("before each take") == 1


def test_what_is_printed_in_full_is_no_abbreviation() -> None:
    assert [name for name, text in papers().items() if re.search(r"cast on:? cast on", text, re.IGNORECASE)] == []


def test_what_is_done_before_a_work_is_not_told_of_a_piece_on_which_it_is_begun() -> None:
    """The joining row is round 1 of the instep, so that the 12 rounds with their remark begin behind it."""
    worked = built().worked.kinds["full"]

    def told(begun: str) -> list[str]:
        done, goal = (resolve(state_text(built().course, text), worked, 0) for text in (begun, "instep round 9"))
        return [line.text for one in lines_of(built(), "full", done, goal) for line in one.lines if line.remark]

    assert told("before instep") == told("instep round 1") == ["Hold the yarn loosely."]
    assert told("instep round 4") == []


def test_a_line_that_works_nothing_has_no_number_of_a_row(tmp_path: Path) -> None:
    lines = "lines: [Continue in MC., Work in stockinette for 5 rows.]"
    flat = PATTERN.replace("rows: 20, lines: [Knit]", f"rows: 5, {lines}")
    write_course(tmp_path / "c", {"course.yaml": COURSE, "pattern.yaml": flat, "episodes/01.yaml": EPISODE})
    plan = lessonplan.plan(tmp_path / "c").plan
    assert plan
    [heel] = [one for one in stage_views(plan) if one.key == "heel"]
    assert [(one.label, one.text) for one in heel.works[1].lines] == [
        ("", "Continue in MC."),
        (f"Rows{NO_BREAK}1 to{NO_BREAK}5", "Work in stockinette."),
    ]
    worked = plan.worked.kinds["full"]
    [card, *_] = lines_of(plan, "full", (0,) * len(worked.order), worked.whole(0))
    assert [(one.rounds, one.text, one.remark) for one in card.lines[-2:]] == [
        ("", "Continue in MC.", True),
        ("Rows 1 to 5", "Work in stockinette.", False),
    ]
