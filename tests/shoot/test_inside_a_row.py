"""Lines worked on camera in the middle of a row that casts on, puts stitches aside or has a buttonhole elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.craft import tables
from lessonplan.documents.livework import worked_live
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, Stop
from tests.small_course import COURSE, write_course

PATTERN = """\
title: Small jacket
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  band:
    title: Band
    works:
      - cast_on: 20
      - rows: 3
        lines: ["Knit", "Knit", "K to last 4 sts, k2tog, yo, k2"]
  divide:
    title: Dividing
    after: band
    works:
      - rows: 2
        lines: ["K5, place next 6 sts on waste yarn, CO 2 sts, k9", "K3, BO 2 sts, k to end"]
        holds: sleeve
  body:
    title: Body
    after: divide
    works:
      - rows: 6
        lines: "Knit"
      - bind_off: all
"""
SHOT = """
      - view: close on the hands
        takes: 1
        {pieces}
        hands: [{{work: "{line}"}}]
        say: Look at this.
"""
SHOTS = (
    ("band", "CO 2"),
    ("divide row 1", "BO 2"),
    ("body row 3", "K2tog, yo, k2"),
    ("band", "K5"),
    *(("", line) for line in ("CO 2", "BO 2", "K2tog, yo, k2", "K5")),
)


def course(folder: Path, shots: tuple[tuple[str, str], ...]) -> Path:
    pieces = [f'pieces: [{{needs: "{needs}"}}]' if needs else "one_way: no" for needs, _ in shots]
    each = "".join(SHOT.format(pieces=one, line=line) for one, (_, line) in zip(pieces, shots, strict=True))
    episode = f"episode: 1\ntitle: All\nsegments:\n  - title: Inside\n    shots:{each}"
    course = COURSE + "pace: {knitting: 10, on_camera: 10}\n"
    return write_course(folder, {"course.yaml": course, "pattern.yaml": PATTERN, "episodes/01.yaml": episode})


def stops(plan: Plan, number: str) -> list[tuple[Piece, Stop]]:
    pieces = plan.choice.pieces
    return [(piece, stop) for piece in pieces for stop in piece.stops if stop.demand.startswith(number)]


def test_what_lies_before_a_line_is_told_and_timed(tmp_path: Path) -> None:
    """The dividing row has 5 knitted and 6 put aside before its cast-on; 20 - 6 + 2 = 16 are left of it.

    Before the bind-off 3 are knitted, and 14 are left then. The body is plain; in the band the buttonhole takes the
    last 4 stitches of its row, so here too, behind 10. A line that begins a row has none before it, and a shot without
    a piece nothing: the last four shots are the first without theirs.
    """
    result = lessonplan.plan(course(tmp_path, SHOTS))
    assert result.plan is not None, result.problems
    plan, worked = result.plan, result.plan.worked
    shots = [(one.shot, str(one.number)) for one in plan.course.shots()]
    said = [worked_live(plan, shot, stops(plan, number))[0] for shot, number in shots]
    first = ": work these first, off camera."
    assert said == [
        f"Begins 11 stitches into row 1 of “Dividing”, after k5, 6 stitches put aside{first}",
        f"Begins 3 stitches into row 2 of “Dividing”{first}",
        f"Begins 10 stitches into row 4 of “Body”{first}",
        *[""] * 5,
    ]
    notes = [one.message for one in result.problems if one.code == "not-in-round"]
    there = "It is taken to begin 4 stitches before its end, as in row 3 of “band”."
    assert notes == [f"“K2tog, yo, k2” in 1.1.3 is not in row 4 of “body”. {there}"]

    # A knit stitch takes 1/10 of a minute; all of it is knitted while the camera waits, 0.9 to 1.3 times as long.
    each = [worked.clocks[f"1.1.{at}"].floor.mean - worked.clocks[f"1.1.{at + 4}"].floor.mean for at in range(1, 5)]
    put_aside = 6 * tables.minutes("hold")
    before = [0.5 + put_aside, 0.3, 1.0, 0.0]
    assert each == pytest.approx([one * (0.9 + 4 + 1.3) / 6 for one in before])


def test_a_line_that_takes_more_than_is_there_is_a_problem_at_its_place(tmp_path: Path) -> None:
    """On the needle are 20 after the band, 16 once divided less 2 bound off: 14 in the body; 5 waits for its row."""
    shots = (("body row 1", "K10, p5"), ("body row 1", "K10, p4"), ("band", "K20"), ("band", "K15, k2tog, p4"))
    folder = course(tmp_path, shots)
    result = lessonplan.load(folder)
    lines = (folder / "episodes/01.yaml").read_text().splitlines()
    told = {(one.where.file, one.where.line): one for one in result.problems if one.severity == "error"}
    assert len(told) == 2
    for line, message in (("K10, p5", "Asks for 5 stitches here, only 4 are left."), ("p4", "Asks for 4 stitches")):
        row = next(at for at, text in enumerate(lines, 1) if line in text and "K10, p4" not in text)
        one = told["episodes/01.yaml", row]
        assert one.message.startswith(message)
        assert lines[row - 1][one.where.column - 1 :].startswith(line[-2:])
