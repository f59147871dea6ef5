"""From the chosen pieces to the knitters: due days, each knitter's own minutes, kinds in words, yarn to lay out."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.knitters import knitters_view
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Ladder
from lessonplan.samples.knitters import begun_at, last_state, reached, stretches, task_in_words, yarn_between
from tests.small_course import COURSE, write_course

PATTERN = """\
title: Tube
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 40
        join: yes
  tube:
    title: Tube
    after: edge
    short: 10
    works:
      - rounds: 40
        lines: "Knit"
"""
EPISODE = """\
episode: 1
title: One
segments:
  - title: A
    shots:
      - {view: face, say: Look., pieces: [{needs: tube, kinds: KINDS}]}
"""
KNITTERS = """\
knitters:
  - {name: Ada, pace: 20, hours_per_week: 7, starts: 2027-01-01}
samples: {days_to_spare: 3}
"""


def plan(folder: Path, kinds: str = "full", knitters: str = KNITTERS) -> Plan:
    files = {
        "pattern.yaml": PATTERN,
        "course.yaml": COURSE + knitters,
        "episodes/01.yaml": EPISODE.replace("KINDS", kinds),
    }
    result = lessonplan.plan(write_course(folder, files))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def test_a_piece_is_due_on_the_eve_less_the_days_to_spare(tmp_path: Path) -> None:
    # Filmed on 6 March, so due on the 5th less 3 days; knitted as late as can be.
    assert plan(tmp_path).calendar.finished == {"A": date(2027, 3, 2)}


@pytest.mark.parametrize(("kind", "minutes"), [("full", 87.5), ("short", 26), ("small", 46)])
def test_minutes_are_the_knitters_own_and_those_of_the_rounds_of_the_kind(
    tmp_path: Path, kind: str, minutes: float
) -> None:
    # A round of 40 stitches at 20 a minute takes 2.05, of 20 stitches 1.05; 40 stitches are cast on in 40 x 1.5 / 20,
    # 1.5 for the tail and 1 for joining. Full: 5.5 + 40 x 2.05; short: 5.5 + 10 x 2.05; small: 4 + 40 x 1.05.
    calendar = plan(tmp_path, kind).calendar
    assert calendar.load["Ada"] == sum(sitting.minutes for sitting in calendar.sittings)
    assert abs(calendar.load["Ada"] - minutes) <= 0.5  # whole minutes


@pytest.mark.parametrize(
    ("kinds", "words"),
    [
        ("full", "finished"),
        ("short", "finished (short: Tube 10 rounds instead of 40)"),
        ("small", "finished (fewer stitches: 20 on the needles instead of 40)"),
    ],
)
def test_a_knitter_is_told_what_the_kind_means(tmp_path: Path, kinds: str, words: str) -> None:
    made = plan(tmp_path, kinds)
    assert task_in_words(made.course, made.worked.kinds, made.choice.pieces[0]) == words


@pytest.mark.parametrize(("kind", "metres"), [("full", 36.1), ("short", 10.2), ("small", 18.1)])
def test_yarn_is_that_of_the_stitches_of_the_kind(tmp_path: Path, kind: str, metres: float) -> None:
    # l = sqrt(23.1 / (2.0 x 3.0 loops to the cm2)) = 1.962 cm. Full: 41 x 40 loops, a tail of 3.3 x 20 cm, and 10 %
    # more; short: 11 x 40 loops and the same tail; small: half of it all.
    made = plan(tmp_path, kind)
    (piece,) = made.choice.pieces
    begun = begun_at(made.worked.question, piece)
    (amount,) = yarn_between(made.course, made.worked.kinds[kind], begun, last_state(piece))
    assert amount.metres == pytest.approx(metres, abs=0.05)


LADDER = Ladder(
    stages=("edge", "tube"),
    before=((), (0,)),
    bench=((0.0, 5.0), (0.0, 2.0, 4.0, 6.0)),
    floor=((0.0, 5.0), (0.0, 2.0, 4.0, 6.0)),
    ripping=((0.0, 1.0), (0.0, 0.5, 1.0, 1.5)),
    drying=((0.0, 0.0), (0.0, 0.0, 0.0, 0.0)),
    fixed=((0, 0), (0, 0, 0, 0)),
)


@pytest.mark.parametrize(
    ("begun", "goal", "minutes"),
    [
        ((0, 0), (1, 3), 11.0),
        ((1, 1), (1, 3), 4.0),
        ((1, 3), (1, 1), 1.0),  # two rounds are ripped back, half a minute each
        ((1, 2), (1, 2), 0.0),
    ],
)
def test_minutes_from_what_is_knitted_already(begun: tuple[int, int], goal: tuple[int, int], minutes: float) -> None:
    ((whole, drying),) = stretches(LADDER, begun, goal)
    assert whole == pytest.approx(minutes)
    assert drying == 0


def test_work_waits_for_what_it_needs_dry() -> None:
    # A spine is pasted on the sewn sections (30 h), a case is covered by itself (14 h), the case is closed on the book
    # (1 h), and a ribbon is laid in, which needs only the sewing. Casing waits for both, which dry side by side.
    ladder = Ladder(
        stages=("sewing", "spine", "case", "ribbon", "casing"),
        before=((), (0,), (), (0,), (1, 2)),
        bench=((0, 50), (0, 15), (0, 40), (0, 2), (0, 10)),
        floor=((0, 50), (0, 15), (0, 40), (0, 2), (0, 10)),
        ripping=((0, 0), (0, 0), (0, 0), (0, 0), (0, 0)),
        drying=((0, 0), (0, 1800), (0, 840), (0, 0), (0, 60)),
        fixed=((0, 1), (0, 1), (0, 1), (0, 0), (0, 1)),
    )
    assert stretches(ladder, (0, 0, 0, 0, 0), (1, 1, 1, 1, 1)) == [(107, 1800), (117, 60)]
    assert stretches(ladder, (0, 0, 0, 0, 0), (1, 1, 1, 1, 0)) == [(107, 1800)]
    assert stretches(ladder, (1, 1, 0, 0, 0), (1, 1, 1, 0, 1)) == [(40, 840), (50, 60)]
    assert stretches(ladder, (1, 1, 1, 0, 0), (1, 1, 1, 0, 1)) == [(10, 60)]


def test_each_step_of_one_stage_dries_for_its_own_time() -> None:
    """Two coats in one stage, 6 and 4 hours, drying counted up along it; then the wheel."""
    minutes = ((0, 10, 30), (0, 5))
    ladder = Ladder(
        ("coats", "wheel"),
        ((), (0,)),
        minutes,
        minutes,
        ((0,) * 3, (0,) * 2),
        ((0, 360, 600), (0, 0)),
        ((0,) * 3, (0,) * 2),
    )
    assert stretches(ladder, (0, 0), (2, 1)) == [(10, 360), (30, 240), (35, 0)]


@pytest.mark.parametrize(
    ("begun", "minutes", "state"), [((0, 0), 4, (0, 0)), ((0, 0), 5, (1, 0)), ((0, 0), 9, (1, 2)), ((1, 1), 99, (1, 3))]
)
def test_how_far_a_piece_is_after_some_minutes(begun: tuple[int, int], minutes: int, state: tuple[int, int]) -> None:
    assert reached(LADDER, (1, 3), begun, minutes) == state


def test_without_knitters_the_host_knits(tmp_path: Path) -> None:
    assert set(plan(tmp_path, knitters="").calendar.assigned.values()) == {"Ada Example"}


def test_a_knitter_without_hours_is_named(tmp_path: Path) -> None:
    more = KNITTERS.replace("samples:", "  - {name: Bo, hours_per_week: 0}\nsamples:")
    files = {
        "pattern.yaml": PATTERN,
        "course.yaml": COURSE + more,
        "episodes/01.yaml": EPISODE.replace("KINDS", "full"),
    }
    found = lessonplan.plan(write_course(tmp_path, files)).problems
    assert [(problem.severity, problem.code) for problem in found] == [("note", "knitter")]
    assert "Bo" in found[0].message


def test_a_knitter_sees_how_far_to_be_each_evening(tmp_path: Path) -> None:
    (person,) = knitters_view(plan(tmp_path)).people
    first, last = person.sittings
    # 60 minutes a day; the cast-on takes under 5, a round of 40 stitches at 20 a minute 2 minutes and 3 seconds.
    assert (last.minutes, last.what) == (60, "finished")
    rounds = int(first.what.removeprefix("Tube, ").split(" of ")[0])
    assert (first.minutes - 5) / 2.05 - 1 <= rounds <= first.minutes / 2.05
