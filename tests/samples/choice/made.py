"""Small questions made up at random: every rule of the choice comes up in them, and hands and hours are short."""

from __future__ import annotations

import random
from dataclasses import replace

from lessonplan.samples.choice import Demand, Ladder, Limit, Question, Ready, Slot, State, Way, Weights

BEFORE = ((), (0,), (0,))
KINDS = ("full", "short", "small")


def _counted(rng: random.Random, steps: int, most: int, share: float = 1.0) -> tuple[float, ...]:
    total, row = 0, [0.0]
    for _ in range(steps):
        total += rng.randint(0, most) if rng.random() < share else 0
        row.append(float(total))
    return tuple(row)


def ladder(rng: random.Random, steps: list[int], wet: float, fast: float) -> Ladder:
    """A ladder with so many steps a stage; ``wet``: how many of them need drying, ``fast``: cannot be taken back."""
    return Ladder(
        tuple("abc"[: len(steps)]),
        BEFORE[: len(steps)],
        bench=tuple(_counted(rng, n, 20) for n in steps),
        floor=tuple(_counted(rng, n, 9) for n in steps),
        ripping=tuple(_counted(rng, n, 3) for n in steps),
        drying=tuple(_counted(rng, n, 12, wet) for n in steps),
        fixed=tuple(tuple(int(n) for n in _counted(rng, n, 1, fast)) for n in steps),
    )


def state(rng: random.Random, on: Ladder, least: State | None = None) -> State:
    """Some state of a ladder; one a little further on than ``least`` if that is given."""
    done = list(least or (0,) * len(on.stages))
    far = rng.choice((0, 1, 1, 2)) if least else 99
    for stage, before in enumerate(on.before):
        if all(done[need] == len(on.bench[need]) - 1 for need in before):
            more = min(len(on.bench[stage]) - 1 - done[stage], far)
            done[stage] += more if least else rng.randint(0, more)
            far -= more if least else 0
    return tuple(done)


def ways(
    rng: random.Random, ladders: dict[str, Ladder], moves: bool, spare: bool, so_far: dict[str, State]
) -> tuple[Way, ...]:
    """Ways of one or more kinds; what is only shown may accept several states. Mostly further on than ``so_far``."""
    found = []
    for kind in rng.sample(sorted(ladders), rng.randint(1, len(ladders))):
        on = ladders[kind]
        for _ in range(1 if moves or rng.random() < 0.6 else rng.randint(2, 3)):
            start = state(rng, on, so_far.get(kind) if rng.random() < 0.8 else None)
            end = state(rng, on, start) if moves else start
            so_far[kind] = end if rng.random() < 0.7 else start
            found.append(Way(kind, start, end, start if spare else None))
    return tuple(found)


def demands(rng: random.Random, ladders: dict[str, Ladder], slots: int, most: int) -> list[Demand]:
    """Up to ``most`` pieces: moves, pieces only shown, spares, further takes, and pieces that are apart."""
    found: list[Demand] = []
    dear = len(ladders) == 1 and slots >= most
    so_far: dict[str, State] = {kind: (0,) * len(on.stages) for kind, on in ladders.items()}
    filming = sorted(rng.sample(range(slots), most) if dear else [rng.randrange(slots) for _ in range(most)])
    while sum(d.count for d in found) < most:
        name, slot = f"d{len(found)}", filming[len(found)]
        sort = rng.choice(("shown", "shown", "moved", "moved", "spare", "take", "long", "two", "apart"))
        moves = sort in ("moved", "take", "two") or rng.random() < 0.2
        own = ways(rng, ladders, moves, sort == "spare", so_far)
        if sort == "long":
            found.append(Demand(name, slot, own, until=min(slots - 1, slot + rng.randint(0, 2))))
        elif sort == "take" and slot + 1 < slots:
            found.append(Demand(name, slot, own))
            again = tuple(Way(way.kind, way.start, way.end, None, name) for way in own)
            fresh = tuple(Way(way.kind, way.start, way.end, way.start) for way in own)
            later = rng.randint(slot + 1, min(slots - 1, slot + 3))
            found.append(Demand(f"{name} take 2", later, (*again, *fresh), group=name))
        else:
            count = 2 if sort == "two" else 1
            found.append(Demand(name, slot, own, count, apart=sort == "apart", spare=sort == "spare"))
    return found


def question(seed: int, most: int = 4) -> Question:
    """A question with about ``most`` pieces; the same one for the same seed.

    In every other one pieces are dear and there is time to knit on them.
    """
    rng, dear = random.Random(seed), seed % 2
    steps = [rng.randint(1, 5) for _ in range(rng.randint(1, 3))]
    wet, fast = rng.choice((0.0, 0.3, 0.8)), rng.choice((0.0, 0.3, 1.0, 1.0))
    ladders = {kind: ladder(rng, steps, wet, fast) for kind in KINDS[: rng.randint(1, 1 if dear else 3)]}
    if "short" in ladders:
        ladders["short"] = ladder(rng, [max(1, n - rng.randint(0, 1)) for n in steps], wet, fast)
    waiting = rng.choice((0, 5, 12)) if dear else 0
    slots = []
    for _ in range(rng.randint(5, 9) if dear else rng.randint(3, 7)):
        clock = rng.choice((2, 5, 8, 12) if dear else (0, 2, 5, 8, 15))
        hands = clock * rng.choice((0.5, 1, 1, 2) if dear else (0, 0.5, 1)) + rng.choice((0, 0, 2))
        slots.append(Slot(clock, hands, waiting * (rng.random() < 0.5)))
    asked = demands(rng, ladders, len(slots), rng.randint(2, most))
    ready = []
    for n in range(0 if dear else rng.choice((0, 1, 2))):
        kind = rng.choice(sorted(ladders))
        reached = state(rng, ladders[kind])
        agreed = state(rng, ladders[kind], reached) if rng.random() < 0.5 else None
        apart = [d.name for d in asked if d.apart]
        only = rng.choice(apart) if apart and rng.random() < 0.6 else ""
        letter, weight = rng.choice(("", "A", "Q")) if not n else "", rng.choice((None, 0.0, 7.0))
        kept = frozenset(one.name for one in asked if rng.random() < 0.3) if rng.random() < 0.5 else frozenset()
        ready.append(Ready(f"r{n}", kind, reached, agreed, letter, weight, only, kept))
    limits = []
    for _ in range(rng.choice((0, 0, 0, 1, 2 - dear))):
        demand = rng.choice(asked)
        way = rng.choice(demand.ways)
        limits.append(Limit(way.kind, way.start, rng.randint(0, 1), demand.name if demand.apart else ""))
    weights = Weights(
        piece=200 if dear else rng.choice((0, 20, 60)),
        bench=rng.choice((1.0, 1.0, 0.5)),
        floor=rng.choice((1.0, 1.5, 0.0)),
        waiting=rng.choice((1.0, 0.0, 4.0)),
        drawer=rng.choice((0.0, 10.0)),
        change=rng.choice((1.0, 5.0)),
    )
    return Question(ladders, tuple(asked), tuple(slots), tuple(ready), weights, tuple(limits))


def wet(seed: int) -> Question:
    """Two or three pieces one after the other, with much that must dry in between, some of it taken back first, and a
    camera that may wait for it.
    """
    rng = random.Random(seed)
    steps = [rng.randint(1, 2) for _ in range(rng.randint(1, 2))]
    on = replace(
        ladder(rng, steps, wet=0.0, fast=rng.choice((0.0, 1.0))),
        floor=tuple(_counted(rng, n, 6) for n in steps),
        drying=tuple(_counted(rng, n, 12, 0.8) for n in steps),
    )
    slots = []
    for _ in range(rng.randint(4, 7)):
        clock = rng.choice((0, 2, 5, 8))
        slots.append(Slot(clock, clock * rng.choice((0.5, 1, 2)), rng.choice((0, 2, 9))))
    filming = sorted({0, rng.randrange(len(slots)), len(slots) - 1})
    asked: list[Demand] = []
    so_far = (0,) * len(steps)
    for name, slot in zip("abc", filming, strict=False):
        start = state(rng, on, so_far if rng.random() < 0.7 else None) if asked else so_far
        so_far = state(rng, on, start) if rng.random() < 0.4 else start
        asked.append(Demand(name, slot, (Way("full", start, so_far, start if rng.random() < 0.3 else None),)))
    weights = Weights(piece=200, floor=rng.choice((0.5, 1.0)), waiting=rng.choice((1.0, 4.0)))
    return Question({"full": on}, tuple(asked), tuple(slots), (), weights)
