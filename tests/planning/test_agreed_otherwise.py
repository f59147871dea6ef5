"""What changed under pieces whose letters, kinds and stops are as they were agreed: the pattern, and the shoot day."""

from __future__ import annotations

from pathlib import Path

import lessonplan
from lessonplan.documents.index import index_view
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.agreed.noting import note_done
from tests.planning.agreeable import KNITTERS, agreed, course, planned
from tests.small_course import COURSE, PATTERN


def test_other_rounds_before_the_same_stop_are_told_with_what_is_done(tmp_path: Path) -> None:
    """The edge has 6 rounds instead of 4, of 40 stitches each: A stops in its second, the others lie behind it.

    Of C, five rounds of the body, 4 + 5 rounds were agreed and 6 + 5 are made; of D, with all ten, 14 and 16.
    """
    agreed(course(tmp_path))
    note_done(tmp_path, ["C body round 5, 3 h"])
    assert changes(planned(tmp_path)) == ()
    plan = planned(course(tmp_path, pattern_yaml=PATTERN.replace("rounds: 4", "rounds: 6")))
    now = "by its stop, and the pattern now makes"
    said = (
        f"Piece B was agreed as 4 rounds, 160 stitches {now} 6 rounds, 240 stitches of it.",
        f"Piece C was agreed as 9 rounds, 360 stitches {now} 11 rounds, 440 stitches of it."
        " See whether what is made of it fits: “body round 5” is noted.",
        f"Piece D was agreed as 14 rounds, 560 stitches {now} 16 rounds, 640 stitches of it.",
    )
    assert changes(plan) == said
    assert index_view(plan).samples.changed == said
    told = [one for one in lessonplan.plan(tmp_path).problems if one.code == "changed"]
    lines = (tmp_path / "agreed.yaml").read_text().splitlines()
    assert [(one.message, lines[one.where.line - 1][5:14]) for one in told] == [
        (text, f"letter: {letter}") for text, letter in zip(said, "BCD", strict=True)
    ]
    agreed(tmp_path)
    assert changes(planned(tmp_path)) == (), "agreed again it is what holds"


def test_a_shoot_day_that_is_moved_is_told_once_for_all_its_pieces(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    moved = course(tmp_path, course_yaml=COURSE.replace("2027-03-06", "2027-03-13") + KNITTERS)
    told = [one.message for one in lessonplan.plan(moved).problems if one.code == "changed"]
    assert told == ["Pieces A, B, C and D are needed on Sat 13 Mar 2027. Agreed was Sat 6 Mar 2027."]
    old = "\n".join(
        line.split(", needed")[0] + ("}" if ", needed" in line else "")
        for line in (tmp_path / "agreed.yaml").read_text().splitlines()
    )
    (tmp_path / "agreed.yaml").write_text(old)
    assert changes(planned(tmp_path)) == (), "an older file does not know what was agreed of it"


def test_short_rows_counted_by_all_their_stitches_are_no_change(tmp_path: Path) -> None:
    """Of 40 stitches 30 are knitted, 20 purled in two short rows: with 12 rounds of 40 these are 530; of all, 560.

    Of C, stopped three rounds behind them, 4 x 40 + 50 + 3 x 40 are 330; by all stitches 9 x 40 are 360.
    """
    rows = '- rows: 2\n        lines: ["K30, w&t", "P20, w&t"]\n      - rounds: 8'
    agreed(course(tmp_path, pattern_yaml=PATTERN.replace("- rounds: 10", rows)))
    file = tmp_path / "agreed.yaml"
    text = file.read_text()
    assert '"9 rounds, 330 stitches"' in text
    assert '"14 rounds, 530 stitches"' in text
    file.write_text(text.replace("9 rounds, 330", "9 rounds, 360").replace("14 rounds, 530", "14 rounds, 560"))
    assert changes(planned(tmp_path)) == ()
    file.write_text(text.replace("9 rounds, 330", "9 rounds, 350"))
    (said,) = changes(planned(tmp_path))
    assert "agreed as 9 rounds, 350 stitches by its stop, and the pattern now makes 9 rounds, 330 stitches" in said
