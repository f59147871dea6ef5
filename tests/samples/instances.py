"""Random small instances of the choice of step samples, for Hypothesis."""

from __future__ import annotations

from collections.abc import Mapping

from hypothesis import strategies as st

from lessonplan.samples.choice import Appearance, Drawer, Ladder, Pause, Problem, Shot, State, Weights

BEFORE = ((), (0,), (0,), (1,))
KINDS = ("full", "short", "small")


@st.composite
def ladders(draw: st.DrawFn) -> Ladder:
    """Up to four stages of up to three steps, in a partial order with two stages side by side."""
    count = draw(st.integers(1, 4))
    steps = [draw(st.integers(1, 3)) for _ in range(count)]

    def counted(most: int) -> tuple[tuple[float, ...], ...]:
        table = []
        for n in steps:
            total, row = 0.0, [0.0]
            for _ in range(n):
                total += draw(st.integers(0, most))
                row.append(total)
            table.append(tuple(row))
        return tuple(table)

    kinds = KINDS[: draw(st.integers(1, 3))]
    minutes: Mapping[str, tuple[tuple[float, ...], ...]] = {kind: counted(20) for kind in kinds}
    drying = counted(draw(st.sampled_from([0, 0, 30])))
    return Ladder(tuple("abcd"[:count]), BEFORE[:count], minutes, drying)


@st.composite
def states(draw: st.DrawFn, ladder: Ladder, least: State = ()) -> State:
    """A state of the ladder; one that contains ``least`` when that is given."""
    done = list(least or (0,) * len(ladder.stages))
    for stage, before in enumerate(ladder.before):
        if all(done[need] == ladder.steps(need) for need in before):
            done[stage] = draw(st.integers(done[stage], ladder.steps(stage)))
    return tuple(done)


@st.composite
def times(draw: st.DrawFn, count: int) -> tuple[tuple[Shot, ...], tuple[Pause, ...]]:
    """Shots and pauses in which there is rarely time to knit as much as one would like."""
    shots, pauses = [], []
    for j in range(count):
        shots.append(Shot(str(j), draw(st.integers(0, 20)), draw(st.sampled_from([1, 0, 2]))))
        hands, waiting = draw(st.sampled_from([(8, 0), (20, 0), (0, 0), (30, 5), (0, 15), (4, 30)]))
        pauses.append(Pause(draw(st.sampled_from([10, 20, 0, 60])), hands, waiting))
    return tuple(shots), tuple(pauses[: count - 1])


@st.composite
def problems(draw: st.DrawFn, most: int = 5) -> Problem:
    """Up to ``most`` appearances in up to six shots, with hands too few for everything."""
    ladder = draw(ladders())
    asked = draw(st.integers(most // 2, most))
    shots, pauses = draw(times(draw(st.integers(2, 6))))
    appearances = []
    for n in range(asked):
        start = draw(states(ladder))
        end = draw(states(ladder, start)) if draw(st.booleans()) else start
        kinds = draw(st.sampled_from([tuple(ladder.minutes), tuple(ladder.minutes), ("full",)]))
        copies, spare = draw(st.sampled_from([(1, 0), (1, 0), (1, 0), (2, 0), (1, 1)]))
        shot = draw(st.integers(0, len(shots) - 1))
        appearances.append(Appearance(f"a{n}", shot, start, end, kinds, copies, spare))
    drawer = tuple(
        Drawer(f"d{n}", draw(st.sampled_from(sorted(ladder.minutes))), draw(states(ladder)))
        for n in range(draw(st.sampled_from([0, 0, 1, 2])))
    )
    weights = Weights(
        piece=draw(st.sampled_from([20, 0, 100])),
        bench=draw(st.sampled_from([1.0, 0.5])),
        floor=draw(st.sampled_from([1.0, 0.0, 1.5, 3.0])),
        waiting=draw(st.sampled_from([1.0, 0.0, 4.0])),
        drawer=draw(st.sampled_from([0, 10])),
    )
    return Problem(ladder, tuple(appearances), shots, pauses, drawer, weights)
