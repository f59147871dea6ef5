"""Notes held against the pieces that the plan gives a shot, and pieces that are shown unwashed after they got wet."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.livework import worked_live
from tests.documents.timed import COURSE, PATTERN, episode, shot
from tests.small_course import write_course

WASHED = PATTERN + "  wash:\n    title: Wash\n    after: body\n    works:\n      - {block: 10 min, drying: 12 h}\n"

SLOW = COURSE.replace("reset: 0 s", "reset: 20 min")
"""There is time to take a piece back between takes."""


def told(folder: Path, shots: tuple[str, ...], course: str = COURSE, pattern: str = WASHED) -> list[tuple[str, str]]:
    """The warnings of this room for one segment of shots: code and sentence."""
    files = {"course.yaml": course, "pattern.yaml": pattern, "episodes/01.yaml": episode(shots)}
    result = lessonplan.plan(write_course(folder, files))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return [(one.code, one.message) for one in result.problems if one.code in ("note-against-plan", "wet-piece")]


@pytest.mark.parametrize(
    ("note", "one_way", "seen"),
    [
        ("Thread it back in for the second take.", "yes", True),
        ("Begin once more between takes.", "yes", True),
        ("If you break off, thread it back in and begin again.", "yes", False),  # of no other take
        ("Come back to the window for the next take.", "no", False),  # the piece is taken back, as the note has it
        ("Take it back for the next take.", "no", False),
        ("There is a fresh piece for each take.", "yes", False),
        ("There is a fresh piece for each take.", "no", True),  # the plan takes one piece back between takes
        ("Breathe before each take.", "yes", False),
    ],
)
def test_a_note_of_another_take_is_held_against_its_pieces(tmp_path: Path, note: str, one_way: str, seen: bool) -> None:
    move = "[{needs: body round 2, leaves: body round 3}]"
    found = told(tmp_path, (shot("face", pieces=move, takes="2", one_way=one_way, notes=f"{{host: '{note}'}}"),), SLOW)
    assert [code for code, _ in found] == ["note-against-plan"] * seen
    if seen:
        assert "1.1.1" in found[0][1]


def test_what_got_wet_is_not_shown_unwashed(tmp_path: Path) -> None:
    dry = shot("face", pieces="[{needs: body}]")
    wet = shot("face", pieces="[{needs: body}]", hands="[{do: press it under water, time: 20 s}]")
    one = "samples: {weights: {piece: 90 min}}\n"
    assert told(tmp_path / "first", (dry, wet), COURSE + one) == []
    ((code, what),) = told(tmp_path / "after", (wet, dry), COURSE + one)
    assert (code, what) == ("wet-piece", "Piece A gets wet in 1.1.1, and is shown unwashed after it, in 1.1.2.")
    # The plan knows it where it is said; a pattern without a wash may be of clay.
    said = wet.replace("{needs: body}", "{needs: body, leaves: wash}")
    assert told(tmp_path / "said", (said, dry), COURSE + one) == []
    assert told(tmp_path / "clay", (wet, dry), COURSE + one, PATTERN) == []


def test_a_state_that_is_wrong_is_told_of_once(tmp_path: Path) -> None:
    """A line to a marker needs a piece; where the piece itself is wrong, that alone is said."""
    here = shot("face", pieces="[{needs: body round 99}]", hands='[{work: "K to marker, k2"}]')
    files = {"course.yaml": COURSE, "pattern.yaml": PATTERN, "episodes/01.yaml": episode((here,))}
    wrong = [one for one in lessonplan.plan(write_course(tmp_path / "a", files)).problems if one.severity == "error"]
    assert [one.code for one in wrong] == ["state"]
    files["episodes/01.yaml"] = episode((here.replace("pieces: [{needs: body round 99}]", "note: Nothing"),))
    alone = [one for one in lessonplan.plan(write_course(tmp_path / "b", files)).problems if one.severity == "error"]
    assert [one.message for one in alone] == ["Goes to a place that is only known with a piece on the needle."]


@pytest.mark.parametrize(
    ("kinds", "named", "seen"),
    [
        ("full, small", "edge.cast_on", ["1.1.1 says 110, and piece A, a small one, has 40 there."]),
        ("full", "edge.cast_on", []),
        ("full, small", "body.rounds", []),  # a small piece has as many
        ("full, small", "body.start", []),  # what comes later is told of the pattern
    ],
)
def test_a_count_said_over_a_small_piece_is_told(tmp_path: Path, kinds: str, named: str, seen: list[str]) -> None:
    here = shot("face", pieces=f"[{{needs: edge, kinds: '{kinds}'}}]", say=f"'I have {{{{ {named} }}}} of them.'")
    files = {"course.yaml": COURSE, "pattern.yaml": f"small: 40 sts\n{PATTERN}", "episodes/01.yaml": episode((here,))}
    result = lessonplan.plan(write_course(tmp_path, files))
    assert result.plan is not None, result.problems
    assert [one.message for one in result.problems if one.code == "small-count"] == seen


TWO = """\
title: Dotted cowl
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
  CC: {name: Plain wool, metres: 200, grams: 100}
charts:
  dots: {colours: {o: MC, x: CC}, rows: [oxxo, xooo]}
stages:
  band:
    title: Band
    works:
      - {cast_on: 16, join: yes, yarn: MC}
      - {chart: dots}
      - {rounds: 2, lines: "*K1, p1; rep from * to end", yarn: MC}
      - bind_off: all
"""
LIVE = """\
episode: 1
title: All of it
segments:
  - title: The band
    shots:
      - view: overhead
        pieces: [{needs: NEEDS}]
        hands: [{work: "LINE"}]
        say: Look at this.
"""


@pytest.mark.parametrize(
    ("needs", "line", "after"),
    [
        ("band, after cast_on", "K3 MC, k1 CC, k3 MC", 0),
        ("band, after cast_on", "K1 CC, k3 MC, k1 CC", 3),
        ("band, after cast_on", "K1 MC, k1 CC, k2 MC", 2),
        ("band, after cast_on", "K2 CC, k3 MC", None),
        ("band, after cast_on", "K4 MC, k1 CC", None),
        ("band, after cast_on", "K2, p2", None),
        ("band round 1", "K2 CC, k2 MC, k2 CC", 1),
        ("band round 1", "K1 CC, k3 MC", None),
        ("band round 2", "P1 MC, k1 MC", 1),
        ("band round 2", "P1 CC, k1 CC", None),
    ],
)
def test_a_line_has_the_yarns_and_stitches_of_its_round(
    tmp_path: Path, needs: str, line: str, after: int | None
) -> None:
    """A chart is read from the right, its lowest row first: round 1 is MC MC MC CC, round 2 MC CC CC MC, four times.

    Round 3 is knit and purl in MC alone. A line that begins with the fourth stitch has three before it.
    """
    episode = LIVE.replace("NEEDS", f'"{needs}"').replace("LINE", line)
    result = lessonplan.plan(write_course(tmp_path, {"pattern.yaml": TWO, "episodes/01.yaml": episode}))
    assert result.plan is not None, result.problems
    told = [one.message for one in result.problems if one.code in ("not-in-round", "behind")]
    plan, piece = result.plan, result.plan.choice.pieces[0]
    begins, _ = worked_live(plan, plan.course.episodes[0].segments[0].shots[0], [(piece, piece.stops[0])])
    assert re.findall(r"Begins (\d+) ", begins) == ([str(after)] if after else [])
    assert bool(told) is (after is None)


def test_a_line_is_held_against_the_pieces_of_its_own_shot(tmp_path: Path) -> None:
    """Two CC side by side are of round 2, and the piece of the second shot comes to round 1."""
    episode = LIVE.replace("NEEDS", "band round 1").replace("LINE", "K2 CC, k2 MC, k2 CC")
    shots = episode.partition("    shots:\n")[2]
    files = {"pattern.yaml": TWO, "episodes/01.yaml": episode + shots.replace("band round 1", '"band, after cast_on"')}
    told = [one for one in lessonplan.plan(write_course(tmp_path, files)).problems if one.code == "not-in-round"]
    assert [(one.where.line, one.message.partition(" is no part of ")[0]) for one in told] == [
        (12, "“K2 CC, k2 MC, k2 CC” in 1.1.2")
    ]
