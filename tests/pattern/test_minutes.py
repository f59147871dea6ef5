"""Bench minutes: counts, factors, steps one after another, and paces that are questioned."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from lessonplan.craft import tables
from lessonplan.craft.gauge import Fabric
from lessonplan.craft.techniques import all_techniques
from lessonplan.pattern.amounts.minutes import cumulative_minutes, technique_minutes
from lessonplan.pattern.worked import Step, WorkedStage
from tests.inline_stages import sound
from tests.published import rows

FABRIC = Fabric.of(20, 30, 100)


def stage(rounds: int) -> WorkedStage:
    steps = tuple(Step("round", "Knit", 40, 40, (("k", 40),), (("MC", 40.0),), 0.05) for _ in range(rounds))
    return WorkedStage("a", "A", 40, steps, FABRIC)


def test_plain_stitches_take_stitches_over_pace() -> None:
    assert technique_minutes((("k", 300),), 30) == pytest.approx(10)


def test_a_printed_self_timing() -> None:
    # morehoursperday.blogspot 2014-10: 329 garter stitches in 578 s, printed as 34.2 sts a minute.
    assert technique_minutes((("k", 329),), 34.2) * 60 == pytest.approx(578, abs=1)


def test_a_course_can_override_a_factor() -> None:
    assert technique_minutes((("k2tog", 10),), 10, {"k2tog": 3.0}) == pytest.approx(3)


def test_a_pace_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError):
        technique_minutes((("k", 1),), 0)


def test_purl_takes_longer_and_slipping_less() -> None:
    # sharondoubleknit.blogspot 2014-07 (direction only); factors from memory, see the table.
    known = all_techniques()
    assert known["p"].time_factor > known["k"].time_factor == 1 > known["sl"].time_factor


def test_binding_off_and_picking_up_take_their_stitches_and_no_more() -> None:
    # At 20 a minute and a factor of 1, 40 stitches take 2 minutes: nothing is threaded, cut or looked up for either.
    worked = sound("  a: {title: A, works: [{cast_on: 40}, {bind_off: all}, {pick_up: 40}]}\n")
    minutes = cumulative_minutes(worked.stage("a", 0), 20, {"CO": 1.0, "BO": 1.0, "pu&k": 1.0})
    assert [after - before for before, after in pairwise(minutes)][1:] == pytest.approx([2, 2])


def test_minutes_grow_with_every_step() -> None:
    minutes = cumulative_minutes(stage(10), 20)
    assert minutes[0] == 0
    assert minutes[10] == pytest.approx(10 * (40 / 20 + 0.05))
    assert list(minutes) == sorted(minutes)


def test_a_round_takes_as_long_in_whatever_stage_it_stands() -> None:
    # A stage of 5 rounds and one of 20: the first 5 rounds take the same, 5 x (40 / 20 + 0.05), and nothing is scaled.
    short, full = cumulative_minutes(stage(5), 20), cumulative_minutes(stage(20), 20)
    assert short == full[:6]
    assert short[-1] == pytest.approx(10.25)


def test_a_stage_of_no_rounds_takes_no_time() -> None:
    assert cumulative_minutes(stage(0), 20) == (0.0,)


def test_the_record_is_the_published_one() -> None:
    record = next(row for row in rows("knit_speeds") if row["what"] == "record, 1 minute")
    assert tables.pace("record") == float(record["sts_per_min_max"])
    assert tables.pace("slowest") == 3


def test_known_paces_stand_in_the_published_table() -> None:
    average = next(row for row in rows("knit_speeds") if row["what"] == "average")
    assert (tables.pace("slow"), tables.pace("middling")) == (
        float(average["sts_per_min_min"]),
        float(average["sts_per_min_max"]),
    )


def test_a_graft_is_paid_once() -> None:
    # A sock toe of 16 pairs takes a practised knitter 4 to 6 minutes (planning guess, from memory).
    text = "  toe:\n    title: Toe\n    works:\n      - {cast_on: 32}\n      - {graft: all}\n"
    toe = sound(text).stage("toe", 0)
    counted = cumulative_minutes(toe, 28)
    assert 4 < counted[2] - counted[1] < 6


def test_a_guess_is_called_a_guess() -> None:
    rows_of_times = tables.rows("work_minutes")
    assert {row["confidence"] for row in rows_of_times} <= {"guess", "published-seen"}
    assert all(row["source"] == "planning guess, from memory" for row in rows_of_times if row["confidence"] == "guess")
    guessed = [one for one in all_techniques().values() if one.time_factor not in (0, 1)]
    assert all("planning guess, from memory" in one.factor_source for one in guessed), [one.name for one in guessed]


def test_each_step_adds_its_own_time() -> None:
    # 40 stitches at 20 a minute and half a minute beside it are 2.5 min; then five rounds of 2.05.
    edge = Step("cast-on", "Cast on 40 sts", 0, 40, (("k", 40),), (("MC", 40.0),), 0.5)
    whole = stage(5)
    counted = cumulative_minutes(replace(whole, steps=(edge, *whole.steps)), 20)
    assert counted[:3] == pytest.approx((0, 2.5, 4.55))
    assert counted[-1] == pytest.approx(2.5 + 5 * 2.05)


def test_two_colours_in_a_round_take_longer() -> None:
    # The table: 1.65 times one colour (planning guess, from memory: 1.3 to 2.0). 40 stitches at 20 a minute take 3.3
    # min and not 2.
    one = stage(1)
    both = replace(one, steps=(replace(one.steps[0], yarns=(("MC", 20.0), ("CC", 20.0))),))
    assert cumulative_minutes(both, 20)[-1] - cumulative_minutes(one, 20)[-1] == pytest.approx(1.3)


def test_a_stage_can_have_a_pace_of_its_own() -> None:
    assert cumulative_minutes(replace(stage(1), pace_factor=1.5), 20)[-1] == pytest.approx(3.05)
