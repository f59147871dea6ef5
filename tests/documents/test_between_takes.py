"""What is done before a shot and what between its takes, on the run sheet; worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.shotcards import ShotCard
from lessonplan.documents.shots import all_shots
from tests.documents import timed
from tests.planning.agreeable import course
from tests.small_course import COURSE

CAST_ON = "needs: nothing}], hands: [{work: cast on 12 sts, time: 20 s}"
MOVE = "needs: edge round 1, leaves: edge round 2}], hands: [{work: 'k1, p1'}"
NEXT = "needs: edge round 3}], hands: [{work: 'k1, p1'}"


def cards(folder: Path, *shots: tuple[int, str]) -> dict[str, ShotCard]:
    """The shots as the run sheet has them, so often taken, with 3 min between takes; the camera never waits."""
    each = (f"      - {{view: overhead, takes: {takes}, say: Here, pieces: [{{{text}]}}\n" for takes, text in shots)
    text = f"{COURSE}pace: {{reset: 3 min}}\nsamples: {{camera_may_wait: 0 min}}\n"
    plan = lessonplan.plan(course(folder, f"  - title: All\n    shots:\n{''.join(each)}", course_yaml=text)).plan
    assert plan is not None
    return {one.number: one for day in plan.days for one in run_sheet_paper(plan, day).shots}


def test_a_cast_on_is_taken_off_between_takes(tmp_path: Path) -> None:
    assert cards(tmp_path, (2, CAST_ON))["1.1.1"].worked == "Between takes take back what was worked."
    assert cards(tmp_path / "once", (1, CAST_ON))["1.1.1"].worked == ""


@pytest.mark.parametrize(
    ("other", "worked"),
    [
        ("shows: edge round 3 or later", "Between takes take back what was worked."),
        (
            "needs: edge round 3",
            "Between takes, and after the last, take back what was worked: "
            "B is still at “Edge, 3 of 4 rounds” in 1.1.2.",
        ),
    ],
)
def test_nothing_is_taken_back_on_a_piece_that_is_only_shown(tmp_path: Path, other: str, worked: str) -> None:
    """The line is worked on the piece that must be so far; the other lies there to be seen, and is filmed next."""
    found = cards(tmp_path, (2, f"needs: edge round 1}}, {{{other}}}], hands: [{{work: 'k1, p1'}}"), (1, NEXT))
    assert found["1.1.1"].worked == worked


def test_work_for_the_next_shot_stands_before_that_one(tmp_path: Path) -> None:
    """Round 3 (40 stitches at 25 a minute) is knitted while 1.1.1 is taken again with another piece."""
    found = cards(tmp_path, (3, MOVE), (2, NEXT))
    assert found["1.1.2"].at.between == ()
    assert found["1.1.2"].at.before[0].startswith("Ada Example works on A to “Edge, 3 of 4 rounds”, 2 min")


@pytest.mark.parametrize(
    ("at", "first"),
    [
        (
            "at: 9, ",
            "First, on A, off camera: work the 14 stitches of “pocket” again, if that is not done, and the "
            "87 stitches after them, to where the round begins.",
        ),
        ("", ""),
    ],
)
def test_a_piece_left_inside_its_round_comes_to_its_beginning_first(tmp_path: Path, at: str, first: str) -> None:
    # 110 stitches: 9 worked, 14 on waste yarn, 87 to the end; the rib is filmed from the beginning of its round.
    stages = timed.PATTERN.replace("      - rounds: 10\n        lines: Knit\n      - bind_off: all\n", "") + (
        f"      - {{rounds: 3, lines: Knit}}\n      - {{placeholder: 14, {at}name: pocket}}\n"
        "  top: {title: Top, after: body, works: [{rounds: 4, lines: '*K1, p1; rep from * to end'}]}\n"
    )
    shots = timed.episode(
        (
            timed.shot("face", pieces="[{needs: 'body, before placeholder', leaves: body}]"),
            timed.shot("face", pieces="[{needs: body}]", hands='[{work: "[k1, p1] 2 times"}]'),
        )
    )
    found = timed.plan(tmp_path, shots, timed.COURSE, {"pattern.yaml": stages})
    assert all_shots(found)["1.1.2"].begins == first
