"""The plan and the printed day are one: made-up days walked on the run sheet, and planted faults reported."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import lessonplan
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Choice, Spell, Stop
from lessonplan.shoot.carried import misfits
from tests.small_course import COURSE, write_course

PACE = """\
pace: {set_up: 30 min, view_change: 4 min, tray_change: 2 min, swap: 1 min, hold: 5 min, opening: 0 s, knitting: 12}
samples: {camera_may_wait: 6 min, weights: {piece: 60 min, floor: 1, waiting: 0.5}}
"""


def course(seed: int) -> dict[str, str]:
    """Two days of some shots that show a piece a few rounds further on each time; lunch and help as chance has it."""
    rng = random.Random(seed)
    lunch = f"    lunch: {rng.randint(9, 10)}:{rng.randint(10, 59)} for 40 min\n"
    helpers = f"    helpers: {rng.choice(('Bo', 'Bo and Cy'))}\n" if rng.random() < 0.7 else ""
    night = rng.choice(("", "    night_knitting: 40 min\n"))
    days = COURSE.replace("    films: [1]\n", f"{lunch}{helpers}{night}    films: [1.1, 1.2, 1.3]\n")
    days += f"  - day: 2027-03-07\n    call: 9:00\n    wrap: 17:00\n{lunch}    films: [1.4, 1.5]\n"
    lines = ["episode: 1", "title: All of it", "segments:"]
    reached = [1, 3]
    for segment in range(5):
        lines += [f"  - title: Part {segment}", "    shots:"]
        for _ in range(rng.randint(2, 3)):
            which = rng.randrange(2)
            start = reached[which]
            end = min(10, start + rng.randint(0, 1))
            reached[which] = min(10, end + rng.randint(0, 2))
            view = rng.choice(("face", "overhead"))
            piece = f"{{needs: body round {start}, leaves: body round {end}}}"
            lines.append(f"      - {{view: {view}, say: Look here., takes: 1, pieces: [{piece}]}}")
    return {"course.yaml": days + PACE, "episodes/01.yaml": "\n".join(lines) + "\n"}


@cache
def made(seed: int) -> Plan:
    with TemporaryDirectory() as folder:
        result = lessonplan.plan(write_course(Path(folder), course(seed)))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    assert not [problem for problem in result.problems if problem.code == "does-not-fit"]
    return result.plan


SEEDS = range(40)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_job_is_longer_than_the_clock_and_the_hands_printed(seed: int) -> None:
    """Walked by the printed entries alone: what stands between two shots is the pause, less lunch and rests."""
    plan = made(seed)
    worked: dict[tuple[str, int], float] = {}
    for piece in plan.choice.pieces:
        for stop in piece.stops:
            for spell in stop.spells:
                slot = plan.worked.slots[spell.slot]
                worked[slot.what, slot.shot] = worked.get((slot.what, slot.shot), 0.0) + spell.minutes
    for (what, shot), minutes in worked.items():
        item = plan.worked.listed[shot]
        day, file = plan.days[item.day], plan.course.course.shoot[item.day]
        place = next(n for n, entry in enumerate(day.entries) if entry.kind == "shot" and entry.number == item.number)
        between = []
        for entry in day.entries[place + 1 :]:
            if entry.kind in ("shot", "wrap"):
                break
            between.append(entry)
        waited = sum(entry.end - entry.start for entry in between if entry.kind == "wait")
        pause = sum(entry.end - entry.start for entry in between if entry.kind == "change")
        shown = day.entries[place].end - day.entries[place].start
        hands = {
            "take": shown * len(file.helpers),
            "pause": pause * len(file.helpers) + waited,
            "evening": file.night_knitting,
        }
        assert minutes <= hands[what] + 0.01
        assert day.entries[-2].kind not in ("rest", "wait", "lunch")


@pytest.mark.parametrize("seed", SEEDS)
def test_breaks_are_where_the_choice_took_them_to_be(seed: int) -> None:
    plan = made(seed)
    asked = [plan.worked.listed[slot.shot].number for slot in plan.worked.slots if slot.what == "break"]
    printed = [e.number for day in plan.days for e in day.entries if e.kind in ("lunch", "rest")]
    assert printed == asked


def test_some_of_these_days_have_waits_and_some_of_the_waits_moved_a_break() -> None:
    plans = [made(seed) for seed in SEEDS]
    assert sum(bool(plan.choice.waits) for plan in plans) >= 10
    assert any(plan.worked.breaks for plan in plans)
    assert any(
        slot.what == "evening" and stop_in(plan, n) for plan in plans for n, slot in enumerate(plan.worked.slots)
    )


def stop_in(plan: Plan, slot: int) -> bool:
    return any(spell.slot == slot for piece in plan.choice.pieces for stop in piece.stops for spell in stop.spells)


def worked_on() -> tuple[Plan, int, int]:
    """A plan, and a piece and a stop before which it is knitted on in a pause."""
    for seed in SEEDS:
        plan = made(seed)
        for i, piece in enumerate(plan.choice.pieces):
            for j, stop in enumerate(piece.stops):
                if stop.spells and plan.worked.slots[stop.spells[0].slot].what == "pause":
                    return plan, i, j
    raise AssertionError("nothing is knitted in a pause")


def with_stop(choice: Choice, i: int, j: int, stop: Stop) -> Choice:
    piece = choice.pieces[i]
    changed = replace(piece, stops=(*piece.stops[:j], stop, *piece.stops[j + 1 :]))
    return replace(choice, pieces=(*choice.pieces[:i], changed, *choice.pieces[i + 1 :]))


def told(plan: Plan, choice: Choice) -> list[str]:
    worked = plan.worked
    found = tuple(misfits(worked.course, worked.listed, worked.slots, plan.days, choice))
    assert {(problem.code, problem.severity, problem.where.file) for problem in found} <= {
        ("does-not-fit", "error", "course.yaml")
    }
    return [problem.message for problem in found]


def test_work_for_which_there_is_no_time_is_a_problem() -> None:
    plan, i, j = worked_on()
    assert told(plan, plan.choice) == []
    stop = plan.choice.pieces[i].stops[j]
    longer = replace(stop, spells=(replace(stop.spells[0], minutes=500.0), *stop.spells[1:]))
    found = told(plan, with_stop(plan.choice, i, j, longer))
    assert any(f"Piece {plan.choice.pieces[i].name} cannot be ready for {stop.demand}" in text for text in found)
    assert any("There are" in text for text in found)
    own = replace(stop, spells=(replace(stop.spells[0], slot=stop.slot),))
    assert any("cannot be ready" in text for text in told(plan, with_stop(plan.choice, i, j, own)))


def test_what_would_not_be_dry_is_a_problem() -> None:
    plan, i, j = worked_on()
    stop = plan.choice.pieces[i].stops[j]
    wet = replace(stop, drying=(Spell(stop.slot - 1, 300.0),))
    assert any("cannot be ready" in text for text in told(plan, with_stop(plan.choice, i, j, wet)))


def test_what_is_dry_at_once_and_then_worked_on_in_one_pause_is_no_problem() -> None:
    plan, i, j = worked_on()
    stop = plan.choice.pieces[i].stops[j]
    dried = replace(stop, drying=(Spell(stop.spells[0].slot, 0.0),))
    assert told(plan, with_stop(plan.choice, i, j, dried)) == []


def test_knitting_in_lunch_is_a_problem() -> None:
    plan, i, j = worked_on()
    stop = plan.choice.pieces[i].stops[j]
    lunch = next(n for n, slot in enumerate(plan.worked.slots) if slot.what == "break")
    eaten = replace(stop, spells=(Spell(lunch, 10.0),))
    assert any("only 0 min of hands" in text for text in told(plan, with_stop(plan.choice, i, j, eaten)))
