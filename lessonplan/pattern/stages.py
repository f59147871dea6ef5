"""Work a whole pattern: every stage in every size, in an order that the stages allow."""

from __future__ import annotations

from collections.abc import Iterator

from lessonplan.course import pattern_model as pm
from lessonplan.course.problems import Problem, error
from lessonplan.craft.gauge import Fabric
from lessonplan.needle.line import Needle
from lessonplan.pattern.bench import Bench
from lessonplan.pattern.worked import WorkedPattern, WorkedStage
from lessonplan.pattern.works import do

_ON_THE_NEEDLE = (pm.Knit, pm.Hold, pm.Graft, pm.BindOff, pm.DrawThrough)
_NEW_STITCHES = (pm.CastOn, pm.TakeUp, pm.PickUp)


def work_pattern(pattern: pm.Pattern) -> tuple[WorkedPattern, tuple[Problem, ...]]:
    """Work every stage in every size.

    Gives the worked pattern, as far as it works out, and every problem with the line it stands in.
    """
    before = {key: stage.after for key, stage in pattern.stages.items()}
    order = working_order(before)
    found: list[tuple[Problem, int]] = []
    stages: dict[str, list[WorkedStage]] = {key: [] for key in order}
    for size in range(len(pattern.sizes)):
        held: dict[str, tuple[int, str]] = {}
        needles: dict[str, Needle] = {}
        taken: dict[str, str] = {}
        for key in order:
            bench = _bench(pattern, key, size, needles, taken, held, before, found)
            start = bench.needle.stitches
            for bench.work, work in enumerate(pattern.stages[key].works):
                do(work, bench)
            needles[key] = bench.needle
            found += bench.problems
            stage = pattern.stages[key]
            pace_factor = 25.0 / stage.pace if stage.pace else 1.0
            worked = WorkedStage(key, stage.title, start, tuple(bench.steps), bench.fabric, pace_factor, stage.short)
            stages[key].append(worked)
    worked_pattern = WorkedPattern(
        tuple(size.name for size in pattern.sizes), order, before, {key: tuple(stages[key]) for key in order}
    )
    return worked_pattern, tuple(_for_sizes(found, worked_pattern.sizes))


def working_order(before: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Order stages so that each comes after what it is after, otherwise as written. Needs an order without circles."""
    order: list[str] = []

    def visit(key: str) -> None:
        for name in before[key]:
            if name not in order:
                visit(name)
        if key not in order:
            order.append(key)

    for key in before:
        visit(key)
    return tuple(order)


def _bench(
    pattern: pm.Pattern,
    key: str,
    size: int,
    needles: dict[str, Needle],
    taken: dict[str, str],
    held: dict[str, tuple[int, str]],
    before: dict[str, tuple[str, ...]],
    found: list[tuple[Problem, int]],
) -> Bench:
    """Lay out the bench for a stage: it goes on with the live stitches of a stage before it, or starts empty."""
    stage = pattern.stages[key]
    needle = Needle(0)
    first = next((work for work in stage.works if isinstance(work, (*_ON_THE_NEEDLE, *_NEW_STITCHES))), None)
    casts_on = isinstance(first, pm.Knit) and first.lines and first.lines[0].lower().startswith(("co ", "cast on"))
    if first and not isinstance(first, _NEW_STITCHES) and not casts_on:
        source = next((name for name in stage.after if needles[name].stitches), "")
        if source in taken:
            what = f"“{key}” and “{taken[source]}” both go on with the stitches that “{source}” leaves on the needle."
            found.append(
                (
                    error(stage.mark("after"), "needle-taken", what, "Hold one set, or let one come after the other."),
                    size,
                )
            )
        if source:
            needle = needles[source]
            taken[source] = key
    gauge = stage.gauge or pattern.gauge
    allowed = _ancestors(key, before) | {key}
    return Bench(pattern, size, key, Fabric.of(gauge.stitches, gauge.rounds, gauge.over), needle, held, allowed)


def _ancestors(key: str, before: dict[str, tuple[str, ...]]) -> frozenset[str]:
    found: set[str] = set()
    for name in before[key]:
        found |= {name} | _ancestors(name, before)
    return frozenset(found)


def _for_sizes(found: list[tuple[Problem, int]], sizes: tuple[str, ...]) -> Iterator[Problem]:
    """Say once what is wrong in every size, and name the sizes where it is not wrong in all."""
    by_problem: dict[Problem, list[int]] = {}
    for problem, size in found:
        by_problem.setdefault(problem, []).append(size)
    for problem, where in by_problem.items():
        if len(set(where)) == len(sizes):
            yield problem
        else:
            names = ", ".join(sizes[size] for size in sorted(set(where)))
            text = problem.message.rstrip(".")
            yield Problem(problem.where, problem.severity, problem.code, f"Size {names}: {text}.", problem.hint)
