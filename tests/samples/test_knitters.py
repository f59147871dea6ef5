"""From the chosen pieces to the knitters: due days, each knitter's own minutes, kinds in words, yarn to lay out."""

from __future__ import annotations

from datetime import date
from math import ceil
from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.worked import Plan
from lessonplan.samples.knitters import due_day, task_in_words, yarn_to_lay_out
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
      - {view: face, say: Look., pieces: [{needs: tube round 40, kinds: KINDS}]}
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
    made = plan(tmp_path)
    assert due_day(made.course, made.worked.filmed, made.choice.pieces[0]) == date(2027, 3, 2)  # filmed on 6 March


def test_minutes_are_the_knitters_own(tmp_path: Path) -> None:
    made = plan(tmp_path)
    # 40 rounds of 40 plain stitches at 20 a minute are 80 minutes, 0.05 for each round 2, cast-on and joining more.
    load = made.calendar.load["Ada"]
    assert 82 < load < 90
    assert sum(sitting.minutes for sitting in made.calendar.sittings) == load
    assert max(sitting.day for sitting in made.calendar.sittings) == date(2027, 3, 2)


@pytest.mark.parametrize(
    ("kinds", "words"),
    [
        ("full", "finished"),
        ("short", "finished (short: Tube 10 rounds instead of 40)"),
        ("small", "finished (small: about 20 sts instead of 40, to the next full repeat)"),
    ],
)
def test_a_knitter_is_told_what_the_kind_means(tmp_path: Path, kinds: str, words: str) -> None:
    made = plan(tmp_path, kinds)
    told = task_in_words(made.course, made.worked.pattern, made.choice.pieces[0])
    assert told == words


def test_yarn_shrinks_with_the_kind(tmp_path: Path) -> None:
    metres = {}
    for kind in ("full", "short", "small"):
        made = plan(tmp_path / kind, kind)
        (amount,) = yarn_to_lay_out(made.course, made.worked.pattern, made.worked.question, made.choice)["A"]
        metres[kind] = amount.metres
    # l = sqrt(23.1 / (2.0 x 3.0 loops to the cm2)) = 1.96 cm; 1,640 loops are 32.2 m, and a tail of 3.3 x 20 cm:
    # 32.8 m, and 10 % more.
    assert ceil(metres["full"]) == 37
    assert metres["small"] < 0.6 * metres["full"]
    assert metres["short"] < 0.35 * metres["full"]


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
    from lessonplan.documents.knitters import knitters_view

    (person,) = knitters_view(plan(tmp_path)).people
    first, last = person.sittings
    # 60 minutes a day; the cast-on takes under 5, a round of 40 stitches at 20 a minute 2 minutes and 3 seconds.
    assert (last.minutes, last.what) == (60, "finished")
    rounds = int(first.what.removeprefix("Tube, ").split(" of ")[0])
    assert (first.minutes - 5) / 2.05 - 1 <= rounds <= first.minutes / 2.05
