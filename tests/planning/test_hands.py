"""Bench paces learnt from what pieces really took: by hand, by simulated knitters, and as a teacher meets them."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.model.agreed import Agreed
from lessonplan.course.read import read_one
from lessonplan.documents.knitters import knitters_view
from lessonplan.planning.agreed.hands import hands_of
from lessonplan.planning.agreed.noting import AgreeError, note_done
from lessonplan.planning.worked import Worked
from tests.command import run
from tests.planning.agreeable import agreed as agree_on, planned
from tests.small_course import COURSE, write_course

PATTERN = """\
title: Long tube
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, metres: 900, grams: 400}
stages:
  body:
    title: Body
    works:
      - cast_on: 40
        join: yes
      - rounds: 300
        lines: "Knit"
"""
EPISODE = """\
episode: 1
title: All
segments:
  - title: The body
    shots:
      - {view: overhead, takes: 1, pieces: [{needs: body round 150}], say: Up}
      - {view: overhead, takes: 1, pieces: [{needs: body round 200}], say: Further up}
"""
KNITTERS = """\
knitters:
  - {name: Ada, pace: 20, hours_per_week: 7, starts: 2027-01-04}
  - {name: Bo, pace: 25, hours_per_week: 7, starts: 2027-01-04}
"""


def minutes(rounds: int, pace: float) -> float:
    """By the tables: 40 stitches cast on, each 1.5 of a plain one, 1.5 min to measure the tail, 1 to join; then each
    round its 40 stitches and 0.05 min."""
    return (40 * 1.5 + 40 * rounds) / pace + 1.5 + 1 + 0.05 * rounds


def agreed_text(pieces: Mapping[str, tuple[str, int]], progress: Mapping[str, str]) -> str:
    rows = (
        f"  - {{letter: {one}, kind: full, stop: body round {far}, knitter: {who}}}"
        for one, (who, far) in pieces.items()
    )
    noted = (f'  {letter}: "{text}"' for letter, text in progress.items())
    return "\n".join(["course: Long tube", "times: 1", "pieces:", *rows, "progress:", *noted, ""])


def course(folder: Path, text: str = "", more: str = KNITTERS, **files: str) -> Path:
    every = {"course.yaml": COURSE + more, "pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE, "agreed.yaml": text}
    return write_course(folder, every | files)


def worked(folder: Path) -> Worked:
    result = lessonplan.load(folder)
    assert result.worked is not None, [str(problem) for problem in result.problems]
    return result.worked


def test_one_piece_tells_its_pace_and_the_typed_one_weighs_nothing(tmp_path: Path) -> None:
    took = round(minutes(200, 32))
    text = agreed_text({"A": ("Ada", 200)}, {"A": f"body round 200, {took} min"})
    found = worked(course(tmp_path, text))
    (ada,) = found.hands
    assert (ada.name, ada.typed, ada.pieces, ada.used, ada.learnt.n, ada.learnt.sure) == (
        "Ada",
        20,
        ("A",),
        True,
        1,
        "few",
    )
    assert ada.learnt.value == pytest.approx(32, rel=0.005)
    assert ada.learnt.low < 25 < 40 < ada.learnt.high, "one piece alone tells little"
    assert [one.pace for one in found.course.course.knitters] == [ada.learnt.value, 25]


def test_over_simulated_knitters_the_interval_holds_the_true_pace(tmp_path: Path) -> None:
    """300 knitters of 15 to 45 stitches a minute, as even as most or less so, who round to 5 min; typed was 20."""
    found = worked(course(tmp_path))
    for pieces, width in ((1, 2.3), (3, 1.6), (8, 1.3)):
        inside, off, wide = 0, 0.0, 0.0
        for seed in range(100):
            chance = random.Random(100 * pieces + seed)
            true, spread = chance.uniform(15, 45), chance.uniform(0.08, 0.22)
            progress = {}
            for place in range(pieces):
                rounds = chance.randint(40, 300)
                took = minutes(rounds, true * math.exp(chance.gauss(0, spread)))
                progress[chr(65 + place)] = f"body round {rounds}, {5 * round(took / 5)} min"
            text = agreed_text(dict.fromkeys(progress, ("Ada", 300)), progress)
            agreed, problems = read_one(text.encode(), "agreed.yaml", Agreed)
            assert problems == ()
            (ada,), wrong = hands_of(found.course.model_copy(update={"agreed": agreed}), found.kinds)
            assert wrong == ()
            inside += ada.learnt.low <= true <= ada.learnt.high
            off += math.log(ada.learnt.value / true) / 100
            wide += math.log(ada.learnt.high / ada.learnt.low) / 100
        assert inside >= 84, (pieces, inside)
        assert abs(off) < 0.03
        assert wide < math.log(width)


def test_who_is_not_to_learn_is_shown_and_not_used(tmp_path: Path) -> None:
    took = round(minutes(200, 32))
    text = agreed_text({"A": ("Ada", 200)}, {"A": f"body round 200, {took} min"})
    found = worked(course(tmp_path, text, KNITTERS.replace("pace: 20,", "pace: 20, learn: no,")))
    assert [(one.name, one.used) for one in found.hands] == [("Ada", False)]
    assert found.course.course.knitters[0].pace == 20
    assert "The plan goes by 20, as the course says." in str(found.hands[0])


@pytest.mark.parametrize(("pace", "used"), [("", True), ("pace: {knitting: 26}\n", False)])
def test_a_host_who_knits_alone_learns_unless_the_course_sets_her_pace(tmp_path: Path, pace: str, used: bool) -> None:
    took = round(minutes(200, 32))
    text = agreed_text({"A": ("Ada Example", 200)}, {"A": f"body round 200, {took} min"})
    found = worked(course(tmp_path, text, pace))
    assert [(one.name, one.used) for one in found.hands] == [("Ada Example", used)]
    assert found.course.course.pace.knitting == (found.hands[0].learnt.value if used else 26)


def test_what_tells_nothing(tmp_path: Path) -> None:
    """No time, a time under a quarter of an hour, nobody who knits, a knitter who is gone."""
    pieces = {"A": ("Ada", 200), "B": ("Ada", 200), "C": ('""', 200), "D": ("Cleo", 200)}
    progress = {
        "A": "body round 200",
        "B": "body round 2, 14 min",
        "C": "body round 200, 5 h",
        "D": "body round 200, 5 h",
    }
    assert worked(course(tmp_path, agreed_text(pieces, progress))).hands == ()


def test_a_time_that_cannot_be_is_a_problem_with_its_place(tmp_path: Path) -> None:
    pieces = {"A": ("Ada", 300), "B": ("Bo", 300)}
    text = agreed_text(pieces, {"A": "body round 300, 20 min", "B": "body round 300, 15 min"})
    result = lessonplan.load(course(tmp_path, text))
    assert result.worked is not None
    assert result.worked.hands == ()
    told = [problem for problem in result.problems if problem.code == "time"]
    assert [(one.where.file, one.where.line, one.severity) for one in told] == [
        ("agreed.yaml", 7, "warning"),
        ("agreed.yaml", 8, "warning"),
    ]
    # 12,060 stitches in 20 min less 17.5 fixed ones; 15 min are less than these.
    assert "4824 stitches a minute" in told[0].message
    assert "fixed minutes" in told[1].message


def test_a_piece_from_the_drawer_counts_from_where_it_was(tmp_path: Path) -> None:
    drawer = "samples: {drawer: [{name: an old tube, state: body round 100}]}\n"
    took = round((40 * 100) / 32 + 0.05 * 100)
    text = agreed_text({"A": ("Ada", 200)}, {"A": f"body round 200, {took} min"})
    text = text.replace("knitter: Ada}", "knitter: Ada, drawer: an old tube}")
    (ada,) = worked(course(tmp_path, text, KNITTERS + drawer)).hands
    assert ada.learnt.value == pytest.approx(32, rel=0.01)


@pytest.mark.parametrize("state", ["body round 250", "body round 999", "sleeve", "@", "body round"])
def test_a_drawer_that_does_not_fit_teaches_nothing(tmp_path: Path, state: str) -> None:
    drawer = f"samples: {{drawer: [{{name: an old tube, state: '{state}'}}]}}\n"
    text = agreed_text({"A": ("Ada", 200)}, {"A": "body round 200, 3 h"})
    text = text.replace("knitter: Ada}", "knitter: Ada, drawer: an old tube}")
    result = lessonplan.load(course(tmp_path, text, KNITTERS + drawer))
    if state == "body round 250":
        assert result.worked is not None
        assert result.worked.hands == ()
    else:
        assert result.worked is None
        assert {problem.where.file for problem in result.problems if problem.severity == "error"} == {"course.yaml"}


def test_it_is_said_when_noted_shown_to_the_knitter_and_planned_with(tmp_path: Path) -> None:
    agree_on(course(tmp_path))
    before = planned(tmp_path)
    letter, other = (piece.name for piece in before.choice.pieces)
    knitter = before.calendar.assigned[letter]
    typed = {"Ada": 20, "Bo": 25}[knitter]
    rounds = before.choice.pieces[0].first[0] - 1
    took = round(minutes(rounds, 12.4))
    _, agreement = note_done(tmp_path, [f"{letter} took {took // 60} h {took % 60:02}"])
    assert agreement is not None
    assert dict(agreement.agreed.progress)[letter].startswith(f"body round {rounds}, ")
    (said,) = agreement.changed
    assert said.startswith(
        f"{knitter} knits 12 stitches a minute, judged by the time that {letter} took: nine times in ten between "
    )
    assert said.endswith(f". The plan goes by this; the course says {typed}.")
    after = planned(tmp_path)
    view = next(one for one in knitters_view(after).people if one.name == knitter)
    assert view.pace == said
    who = after.calendar.assigned[other]
    pace = {"Ada": 20, "Bo": 25, knitter: 12.4}[who]
    left = next(piece.first[0] for piece in after.choice.pieces if piece.name == other) - 1
    assert after.calendar.load[who] == pytest.approx(minutes(left, pace), rel=0.01), "only the other piece is left"


def test_progress_is_said_in_these_ways(tmp_path: Path) -> None:
    agree_on(course(tmp_path))
    letter = planned(tmp_path).choice.pieces[0].name
    stop = {one.letter: one.stop for one in planned(tmp_path).course.agreed.pieces}[letter]  # type: ignore[union-attr]
    for said, want in {
        "took 1 h 40": f"{stop}, 1 h 40 min",
        "took 100 min": f"{stop}, 100 min",
        "body round 12 took 1 h 05": "body round 12, 1 h 05 min",
        "body round 12, 1 h 40": "body round 12, 1 h 40 min",
        "body round 12, 1 h 40 min": "body round 12, 1 h 40 min",
        "body round 12": "body round 12, 1 h 40 min",  # said again, it keeps its time
        "body round 13": "body round 13",
    }.items():
        _, agreement = note_done(tmp_path, [f"{letter} {said}"])
        assert agreement is not None
        assert agreement.agreed.progress[letter] == want
    for said, word in {"took ages": "“ages” is not a time", "took": "no stage"}.items():
        with pytest.raises(AgreeError, match=word):
            note_done(tmp_path, [f"{letter} {said}"])


def test_the_command_says_it(tmp_path: Path) -> None:
    agree_on(course(tmp_path))
    letter = planned(tmp_path).choice.pieces[0].name
    done = run("agree", tmp_path, "--done", f"{letter} took 4 h 30")
    assert done.returncode == 0, done.stderr
    assert "nine times in ten between " in done.stdout.splitlines()[0]
    assert len(worked(tmp_path).hands) == 1
