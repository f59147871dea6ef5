"""Which round of the pattern a shot works: by hand, on a small mitten whose rounds are counted in the head."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.cues.rounds import rounds_here
from tests.documents import timed
from tests.edit.cues.shaping import PATTERN


@pytest.mark.parametrize(
    ("piece", "work", "rounds"),
    [
        ("needs: body round 4", "K3, k2tog", ("body", 5, 5)),
        ("needs: body round 5", "K2, k2tog", ("body", 6, 6)),
        ("needs: body round 4", "K3", None),  # plain stitches may be of any round
        ("needs: body round 6", "K3", ("body", 7, 7)),  # but the next one has no others
        ("needs: body round 5", "K3, ssk", None),  # no ssk in that round
        ("needs: edge", "K4", ("body", 1, 1)),
        ("needs: body", "K4", None),  # nothing is left to work
        ("needs: body round 1, leaves: body round 4", "K4", ("body", 2, 4)),
        ("needs: body round 4, kinds: short", "K3, k2tog", ("body", 5, 5)),  # its third round: the fifth of a full one
    ],
)
def test_the_round_of_a_shot(tmp_path: Path, piece: str, work: str, rounds: tuple[str, int, int] | None) -> None:
    shots = timed.shot("close", pieces=f"[{{{piece}}}]", hands=f'[{{work: "{work}"}}]', shows="all")
    plan = timed.plan(tmp_path, timed.episode((shots,)), files={"pattern.yaml": PATTERN})
    found = rounds_here(plan, next(plan.course.shots()).number)
    assert (found and (found.stage, found.first, found.last)) == rounds


def test_a_count_that_nobody_says_comes_when_its_round_is_done(tmp_path: Path) -> None:
    """“The corners close” is said at once; that the round has so many stitches is true only once it is worked."""
    hands = '[{do: point, time: 30 s}, {work: "K3, k2tog"}]'
    closed = '["The corners close: {{ body.round_5.stitches }} stitches"]'
    said = ("The corners close now", "The corners close now with {{ body.round_5.stitches }} stitches")
    for folder, say in zip(("a", "b"), said, strict=True):
        shot = timed.shot("close", "0 s", pieces="[{needs: body round 4}]", hands=hands, on_screen=closed, say=say)
        plan = timed.plan(tmp_path / folder, timed.episode((shot,)), files={"pattern.yaml": PATTERN})
        (cue,) = [one for one in episode_cues(plan, 1).laid.cues if one.text.startswith("The corners")]
        if "{{" in say:
            assert cue.start < 4000
        else:  # 30 s are pointed, and the shot ends with the round
            assert (cue.start > 30_000, cue.wanted.belongs) == (True, "the round being done")


def test_the_sample_shows_what_closes_the_corners_after_they_are_closed(sample_output: Path) -> None:
    """Walked on the table: the round is named where the hands begin it, and its count comes last in the shot."""
    with (sample_output / "cues-3.csv").open(encoding="utf-8-sig", newline="") as file:
        shot = [(float(row["in"]), row["text"]) for row in csv.DictReader(file) if row["shot"] == "3.3.2" and row["in"]]
    begun = next(at for at, text in shot if "Thumb, round 1 of" in text)
    closed = next(at for at, text in shot if "Close the corners" in text)
    assert closed == max(shot)[0]
    assert closed - begun > 10


def test_rows_that_number_themselves_are_told_as_the_handout_has_them(tmp_path: Path) -> None:
    """After 4 (6) rows of plain knitting come 6 (8) rows in two lines that number themselves; each row takes a stitch.

    Of 20 stitches 17 are left after the third of these, which is row 9 of the stage in the size filmed, its line’s “Row
    1” once more, and row 7 in the other.
    """
    pattern = PATTERN[: PATTERN.index("  body:")].replace("stages:", "sizes: [{name: S}, {name: L}]\nstages:")
    pattern += """\
  body:
    title: Body
    after: edge
    works:
      - rows: 4 (6)
        lines: Knit
      - rows: 6 (8)
        lines: ["Row 1: Ssk, k to end", "Row 2: P2tog, p to end", "Repeat Rows 1 and 2 2 (3) more times"]
"""
    piece = "[{needs: body row 8, leaves: body row 9}]"
    shot = timed.shot("close", pieces=piece, hands='[{work: "Ssk, k to end"}]')
    files, course = {"pattern.yaml": pattern}, timed.COURSE.replace("{knitting: 20,", "{knitting: 20, on_camera: 12,")
    plan = timed.plan(tmp_path, timed.episode((shot,)), course + "film_size: L\n", files)
    texts = [
        one.text.replace("\N{NO-BREAK SPACE}", " ")
        for one in episode_cues(plan, 1).laid.cues
        if one.wanted.kind in ("round", "stitches")
    ]
    assert texts == ["S (L): Body, row 3 of 6 (8): “Row 1”", "Row 3 ends with 17 stitches"]
