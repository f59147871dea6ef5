"""Made-up shoots of any size for the benchmark: a make-along filmed roughly in the pattern's order."""

from __future__ import annotations

import random

from lessonplan.samples.choice import Demand, Ladder, Question, Ready, Slot, State, Way, Weights

DAY = 60
"""Shots in one shoot day."""


def ladders(rng: random.Random) -> dict[str, Ladder]:
    """Ten to fourteen stages of 20 to 60 rounds; three or four of them can be worked at any time once begun."""
    count = rng.randint(10, 14)
    steps = [rng.randint(20, 60) for _ in range(count)]
    before: list[tuple[int, ...]] = [()]
    trunk = 0
    for stage in range(1, count):
        before.append((trunk,))
        if stage < 3 or rng.random() > 0.3:
            trunk = stage
    paces = [rng.uniform(0.7, 2.5) for _ in range(count)]
    shorts = [rng.choice((1.0, 1.0, 0.5)) for _ in range(count)]
    full, short, small = [], [], []
    for n, pace, part in zip(steps, paces, shorts, strict=True):
        full.append(tuple(round(pace * k, 1) for k in range(n + 1)))
        short.append(tuple(round(pace * min(k, part * n), 1) for k in range(n + 1)))
        small.append(tuple(round(0.6 * pace * k, 1) for k in range(n + 1)))
    dry = tuple(tuple([0.0] * n + [720.0 if stage == count - 1 else 0.0]) for stage, n in enumerate(steps))
    names, still = tuple(f"stage {n + 1}" for n in range(count)), tuple((0.0,) * (n + 1) for n in steps)
    fixed = tuple(tuple(range(n + 1)) for n in steps)
    minutes = {"full": tuple(full), "short": tuple(short), "small": tuple(small)}
    return {kind: Ladder(names, tuple(before), one, one, still, dry, fixed) for kind, one in minutes.items()}


def state_at(ladder_: Ladder, part: float, rng: random.Random) -> State:
    """A state about ``part`` (0 to 1) of the way through, the side stages begun or not."""
    todo = part * sum(ladder_.steps(stage) for stage in range(len(ladder_.stages)))
    done = [0] * len(ladder_.stages)
    for stage in range(len(done)):
        ready = all(done[need] == ladder_.steps(need) for need in ladder_.before[stage])
        side = not any(stage in needs for needs in ladder_.before)
        if ready and not (side and stage < len(done) - 1 and rng.random() < 0.5):
            done[stage] = min(ladder_.steps(stage), max(0, round(todo)))
            todo -= ladder_.steps(stage)
    return tuple(done)


def worked_on(ladder_: Ladder, state: State, rng: random.Random) -> State:
    """The state after a technique is filmed: a few rounds more of the stage under way."""
    done = list(state)
    for stage, n in enumerate(done):
        ready = all(done[need] == ladder_.steps(need) for need in ladder_.before[stage])
        if ready and n < ladder_.steps(stage):
            done[stage] = min(ladder_.steps(stage), n + rng.randint(1, 6))
            break
    return tuple(done)


def slots_of(shots: int, rng: random.Random, waiting: float, capacity: float) -> tuple[Slot, ...]:
    """Shots of 4 to 12 minutes, mostly with a helper; changeovers, lunches, and nights with homework in the evening.

    Shot j is slot 3 j, followed by two slots until the next one.
    """
    filmed = [(rng.randint(4, 12), rng.choices((0, 1, 2), (4, 5, 1))[0]) for _ in range(shots)]
    found: list[Slot] = []
    for j, (minutes, helpers) in enumerate(filmed):
        found.append(Slot(minutes, minutes * round(helpers * capacity)))
        if (j + 1) % DAY == 0:
            found += [Slot(120, 120 * capacity), Slot(720)]
        elif (j + 1) % DAY == DAY // 2:
            found += [Slot(15), Slot(30, 30 * capacity)]
        else:
            clock = rng.randint(3, 15)
            hands = rng.choice((0, clock)) * capacity
            found += [Slot(0), Slot(clock, hands, waiting if rng.random() < 0.3 else 0)]
    return tuple(found)


def shoot(count: int, seed: int = 1, *, waiting: float = 0.0, capacity: float = 1.0) -> Question:
    """``count`` appearances, of which 3 in 5 only show a piece; ``capacity`` scales all knitting hands."""
    rng = random.Random(seed)
    rungs = ladders(rng)
    full = rungs["full"]
    shots = count + count // 8
    slots = slots_of(shots, rng, waiting, capacity)
    demands: list[Demand] = []
    technique = (0,) * len(full.stages)
    for n in range(count):
        slot = 3 * max(0, n * shots // count - (n % 7 == 6))  # every seventh shares its shot with the one before
        if n % 3 == 0:
            jitter = rng.gauss(0, 0.04) if rng.random() < 0.9 else 1.0
            technique = state_at(full, min(1.0, max(0.0, n / count + jitter)), rng)
        moves = rng.random() < 0.4
        end = worked_on(full, technique, rng) if moves else technique
        kinds = ["full"] + ["short"] * (rng.random() < 0.6) + ["small"] * (rng.random() < 0.4)
        copies = 2 if moves and rng.random() < 0.1 else 1
        spare = int(rng.random() < 0.03)
        demands.append(Demand(f"{n + 1}", slot, tuple(Way(kind, technique, end) for kind in kinds), copies))
        if spare:
            ways = tuple(Way(kind, technique, end, technique) for kind in kinds)
            demands.append(Demand(f"{n + 1} spare", slot, ways, spare, spare=True, group=f"{n + 1}"))
        technique = end if moves and rng.random() < 0.5 else technique
    ready = tuple(
        Ready(f"old {n}", kind, state_at(full, rng.random(), rng)) for n, kind in enumerate(("full", "full", "short"))
    )
    weights = Weights(piece=20, bench=1.0, floor=1.5, waiting=6.0, drawer=5)
    return Question(rungs, tuple(demands), slots, ready, weights)
