"""Where in its round a line lies that is worked on camera, and what is put aside before a place inside a round."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.stopping import stitches
from lessonplan.pattern.within import within
from lessonplan.planning.worked import Worked
from tests.small_course import EPISODE, PATTERN, write_course

TAKES = {"k": 1, "p": 1, "sl": 1, "k2tog": 2, "ssk": 2, "m1l": 0, "m1r": 0}
"""Stitches of the row below that a sign takes (common practice)."""


def worked(folder: Path, line: str, on: int, episode: str = EPISODE) -> Worked:
    pattern = PATTERN.replace("cast_on: 40", f"cast_on: {on}").replace('"*K1, p1; rep from * to end"', '"Knit"')
    pattern = pattern.replace('      - rounds: 10\n        lines: "Knit"\n', f'      - lines: ["{line}", "Knit"]\n')
    files = {"pattern.yaml": pattern, "episodes/01.yaml": episode}
    result = lessonplan.load(write_course(folder, files))
    assert result.worked is not None, result.problems
    return result.worked


def place(there: Worked, line: str, *, rounds: int) -> tuple[int, int, bool] | None:
    """After how many stitches a line begins and ends, with so many rounds of the body done."""
    found = within(line, there.pattern, 0, (5, rounds))
    return (found.after, found.to, found.past) if found else None


def written(signs: list[str]) -> str:
    """Signs as they are printed: one after the other, equal ones put together."""
    parts = list[str]()
    for at, sign in enumerate(signs):
        if at and sign in ("k", "p") and signs[at - 1] == sign:
            head, _, count = parts[-1].partition(sign)
            parts[-1] = f"{head}{sign}{int(count or 1) + 1}"
        else:
            parts.append(f"{sign}1" if sign in ("k", "p") else "sl 1" if sign == "sl" else sign)
    return ", ".join(parts)


@pytest.mark.parametrize("seed", range(6))
def test_a_part_of_a_round_is_found_where_it_first_stands(tmp_path: Path, seed: int) -> None:
    """Rounds drawn at random are searched here sign by sign."""
    lot = random.Random(seed)
    signs = [lot.choice(["k", "k", "k", "p", "sl", "k2tog", "ssk", "m1l", "m1r"]) for _ in range(24)] + ["k"]
    there = worked(tmp_path, written(signs), sum(TAKES[sign] for sign in signs))
    for _ in range(20):
        begin, length = lot.randrange(24), lot.randint(1, 5)
        part = signs[begin : begin + length]
        first = next(at for at in range(25) if signs[at : at + len(part)] == part)
        after = sum(TAKES[sign] for sign in signs[:first])
        found = place(there, written(part), rounds=0)
        assert found is not None
        assert (found[0], found[2]) == (after, False), (written(signs), written(part))


def test_lines_by_hand(tmp_path: Path) -> None:
    there = worked(tmp_path, "K20, pm, m1, pm, k20", 40)
    assert place(there, "K6, pm, m1, pm, k6", rounds=0) == (14, 26, False)
    assert place(there, "K6", rounds=0) == (0, 6, False)
    assert place(there, "m1", rounds=1) == (20, 20, True)  # the next round is plain; it is behind
    assert place(there, "K6", rounds=1) == (0, 6, False)
    assert place(there, "P1", rounds=0) is None
    assert place(there, "wave at the camera", rounds=0) is None


def test_a_stage_worked_flat_and_then_round_has_rows_and_rounds(tmp_path: Path) -> None:
    flat = '      - rows: 2\n        lines: ["K18, k2tog, k20", "Purl"]\n'
    body = f'{flat}      - rounds: 1\n        lines: "K10, ssk, k27"\n'
    pattern = PATTERN.replace('      - rounds: 10\n        lines: "Knit"\n', body)
    there = lessonplan.load(write_course(tmp_path, {"pattern.yaml": pattern})).worked
    assert there is not None
    for line, rounds, unit in (("k2tog", 0, "row"), ("ssk", 2, "round")):
        found = within(line, there.pattern, 0, (5, rounds))
        assert found is not None
        assert (found.what, found.number) == (unit, rounds + 1)


def test_a_part_that_slips_a_marker_is_found_where_it_lies(tmp_path: Path) -> None:
    pattern = PATTERN.replace('"*K1, p1; rep from * to end"', '"K12, pm, k28"')
    pattern = pattern.replace("rounds: 4", "rounds: 1").replace(
        'lines: "Knit"', 'lines: "K10, p1, k1, sm, k1, p1, k26"'
    )
    for line, named in (("P1, k1, sm, k1, p1", True), ("P1, k2, p1", False)):
        shots = EPISODE.replace("needs: before edge\n            leaves: edge round 1", "needs: edge")
        files = {
            "pattern.yaml": pattern.replace("rounds: 4", "rounds: 1"),
            "episodes/01.yaml": shots.replace("k1, p1", line),
        }
        result = lessonplan.load(write_course(tmp_path / line[-9:-6], files))
        assert result.worked is not None, result.problems
        found = within(line, result.worked.pattern, 0, (2, 0))
        assert found is not None
        assert (found.after, found.to, found.markers) == (10, 14, 1)
        told = [one.message for one in result.problems if one.code == "marker"]
        assert told == ([] if named else ["“P1, k2, p1” in 1.1.1 goes past 1 marker and names none."])
    # Nobody slips a second marker, and none where the round has no such line.
    for line in ("P1, k1, sm, k1, sm, p1", "P9, sm, p9"):
        shots = EPISODE.replace("needs: before edge\n            leaves: edge round 1", "needs: edge")
        files = {"pattern.yaml": pattern, "episodes/01.yaml": shots.replace("k1, p1", line)}
        result = lessonplan.load(write_course(tmp_path / line[:2] / "none", files))
        (told_of,) = [one for one in result.problems if one.severity == "error"]
        assert told_of.message == f"“{line}” slips a marker, and none is known to lie there."
        assert (told_of.hint or "").startswith("It stands nowhere in what is worked next") == ("9" in line)


HELD = "K5, hold 4 sts, k5"


@pytest.mark.parametrize(("on", "live", "held"), [(5, 14, 0), (9, 10, 4), (11, 10, 4)])
def test_what_is_put_aside_inside_a_round(tmp_path: Path, on: int, live: int, held: int) -> None:
    """14 stitches: 5 are knitted, then 4 are on waste yarn, then 5 are knitted."""
    asked = f"needs: edge\n            leaves: body round 1, {on} sts on"
    episode = EPISODE.replace("needs: before edge\n            leaves: edge round 1", asked)
    there = worked(tmp_path, HELD, 14, episode)
    stage = there.kinds["full"].stage("body", 0)
    assert [step.kind for step in stage.steps[:2]] == ["part of a round", "round"]
    assert stitches((5, 1), there.kinds["full"], 0) == (live, held)
    assert stitches((5, 2), there.kinds["full"], 0) == (10, 4)
    assert sum(step.held for step in stage.steps) == 4


def test_a_short_row_begins_where_the_work_was_turned(tmp_path: Path) -> None:
    """Of 20 stitches 15 are worked and 10 back, so that row 3 is 9 stitches up to one before the wrapped one."""
    pattern = PATTERN.replace("cast_on: 40", "cast_on: 20").replace('"*K1, p1; rep from * to end"', '"Knit"')
    rows = (
        '["K15, w&t", "P10, w&t", "K to 1 st before wrapped st, w&t", "P to 1 st before wrapped st, w&t", "K to end"]'
    )
    pattern = pattern.replace(
        '      - rounds: 10\n        lines: "Knit"\n', f"      - rows: 5\n        lines: {rows}\n"
    )
    result = lessonplan.load(write_course(tmp_path, {"pattern.yaml": pattern}))
    assert result.worked is not None, result.problems
    assert place(result.worked, "K3", rounds=2) == (0, 3, False)
    assert place(result.worked, "K9", rounds=2) is not None
    assert place(result.worked, "K10", rounds=2) in (None, (0, 10, True))  # one more than there are
    assert place(result.worked, "P3", rounds=3) == (0, 3, False)
