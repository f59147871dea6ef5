"""The order of shots measured: seconds and gap on the sample course and on made-up days of 8, 12, 20 and 40 shots.

Run it from the checkout: ``python -m tests.benchmarks.order``.
"""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.planning.plan import all_orders
from lessonplan.planning.worked import Worked, ask, load
from lessonplan.samples.choice import Ladder, State
from lessonplan.samples.pieces import Stand, TablePiece
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.day import Listed
from lessonplan.shoot.estimate import Estimate

VIEWS = ("overhead", "close on the hands", "face", "table")


def made_up(base: Worked, counts: Sequence[int], seed: int, views: int = 4, wrap: int = 22 * 60) -> Worked:
    """A course like ``base`` whose days have ``counts`` made-up shots: two to four in a segment, two of three with a
    piece, which stands a little further in the pattern from shot to shot, with some leaps.
    Somebody helps on every other day. ``wrap``: minutes after midnight.
    """
    chance = random.Random(seed)
    listed, table = [], []
    clocks: dict[str, ShotClock] = {}
    segment, left, total = 0, 0, sum(counts)
    shot = base.course.episodes[0].segments[0].shots[0]
    days = [day for day, count in enumerate(counts) for _ in range(count)]
    for index, day in enumerate(days):
        if not left:
            segment, left, inside = segment + 1, chance.randint(2, 4), 0
        left, inside = left - 1, inside + 1
        number = ShotNumber(f"1.{segment}.{inside}")
        view = chance.choice(VIEWS[:views])
        listed.append(Listed(number, day, shot.model_copy(update={"view": view})))
        minutes = chance.uniform(3, 12)
        clocks[number] = replace(next(iter(base.clocks.values())), number=number, floor=Estimate(minutes))
        if chance.random() < 0.67:
            part = chance.random() if chance.random() < 0.2 else (index + chance.random()) / total
            table.append(_piece(base, chance, number, part))
    file = base.course.course
    template = file.shoot[0]
    shoot = tuple(
        template.model_copy(
            update={"day": template.day + timedelta(d), "helpers": ("a helper",) if d % 2 == 0 else (), "wrap": wrap}
        )
        for d in range(len(counts))
    )
    course = base.course.model_copy(update={"course": file.model_copy(update={"shoot": shoot}), "agreed": None})
    return ask(replace(base, course=course, listed=tuple(listed), table=tuple(table), clocks=clocks))


def _piece(base: Worked, chance: random.Random, number: str, part: float) -> TablePiece:
    moves = chance.random() < 0.3
    kinds = chance.choice((("full",), ("full", "short"), ("full", "short", "small")))
    takes, spare = chance.choice(((2, 0), (2, 0), (2, 1)))
    stands = {}
    for kind in kinds:
        ladder = base.question.ladders[kind]
        start, end = state_at(ladder, part), state_at(ladder, min(1.0, part + 0.02 * moves))
        stands[kind] = Stand(start, start, end)
    return TablePiece(
        name=number,
        shot=ShotNumber(number),
        stands=stands,
        takes=takes,
        one_way=moves and chance.random() < 0.3,
        spare=spare,
        apart=False,
        label="",
        note="",
        where=base.table[0].where,
    )


def state_at(ladder: Ladder, part: float) -> State:
    """The state at so large a part (0 to 1) of all steps, stage after stage in the ladder's order."""
    steps = [ladder.steps(stage) for stage in range(len(ladder.stages))]
    left = round(part * sum(steps))
    done = []
    for step in steps:
        done.append(min(step, left))
        left -= done[-1]
    return tuple(done)


def measure(name: str, worked: Worked) -> None:
    """Print the seconds for all four orders, the present and the cheapest cost, and the gap."""
    began, busy = time.perf_counter(), time.process_time()
    found = all_orders(worked)
    seconds, busy = time.perf_counter() - began, time.process_time() - busy
    present, best = found[0], found[-1]
    word = "exact" if best.exact else f"gap {100 * best.gap:.1f} %"
    changes = f"changes {present.change_minutes:.0f} -> {best.change_minutes:.0f} min"
    pieces = f"pieces {present.pieces} -> {best.pieces}"
    times = f"{seconds:6.2f} s ({busy:.2f} s of one core)"
    print(f"{name:24} {times}  cost {present.cost:7.1f} -> {best.cost:7.1f}  {changes}  {pieces}  {word}", flush=True)


def main() -> None:
    """Measure everything."""
    base = load(Path(__file__).resolve().parents[2] / "sample_course").worked
    if base is None:
        raise SystemExit("the sample course has errors")
    measure("sample course (24 + 18)", base)
    for count in (6, 8, 10, 12, 20, 40):
        for seed in (1, 2, 3):
            measure(f"{count} shots, seed {seed}", made_up(base, (count,), seed))
    for count in (6, 8):
        measure(f"{count} + {count} shots", made_up(base, (count, count), 1))


if __name__ == "__main__":
    main()
