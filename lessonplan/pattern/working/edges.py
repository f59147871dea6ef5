"""Edges and halves that are gone back to: picking up along a named edge, grafting to stitches left live elsewhere."""

from __future__ import annotations

import re

from lessonplan.course.model.works import Graft, PickUp
from lessonplan.craft.gauge import round_half_up
from lessonplan.needle.stitch.live import Needle
from lessonplan.pattern.worked import WorkedStage
from lessonplan.pattern.working.bench import Bench

_EDGE = re.compile(r"(side|cast-on|bind-off) of (\w+)")


def picked_up(work: PickUp, bench: Bench) -> tuple[int, str]:
    """Give how many stitches are picked up, and the words that say where.

    Raises ``ValueError`` with one sentence for an edge that is not there, or more stitches than it has loops.
    """
    typed = bench.at(work.pick_up)
    if not work.edge:
        if not typed:
            raise ValueError("“all” needs an “edge”, such as “side of body”")
        return typed, f" along {work.along}" if work.along else ""
    there, what, where = _edge(work, bench)
    count, told = typed or there, ""
    if work.rate:
        take, every = (int(number) for number in re.findall(r"\d+", work.rate))
        count, told = round_half_up(there * take / every), f" ({take} for every {every} {what})"
        if typed and typed != count:
            raise ValueError(f"{work.rate} along {there} {what} are {count} stitches, and {typed} are asked for")
    if count > there:
        raise ValueError(f"{count} stitches cannot be picked up along {there} {what}")
    return count, f" along {work.along or where}{told}"


def _edge(work: PickUp, bench: Bench) -> tuple[int, str, str]:
    """Give how many rows or stitches a named edge has, what they are, and its name in words."""
    found = _EDGE.fullmatch(work.edge.strip())
    if not found:
        raise ValueError(
            f"“{work.edge}” is not an edge such as “side of body”, “cast-on of body” or “bind-off of body”"
        )
    kind, key = found.groups()
    if key not in bench.done or key not in bench.allowed:
        raise ValueError(f"“{key}” is no stage that comes before “{bench.stage}”")
    stage = bench.done[key]
    where = f"the {'side edge' if kind == 'side' else f'{kind} edge'} of {stage.title}"
    count = sum(step.flat for step in stage.steps) if kind == "side" else _edge_stitches(stage, kind)
    if not count:
        raise ValueError(f"“{key}” has no {'rows, so no side edge' if kind == 'side' else f'{kind} edge'}")
    return count, "rows" if kind == "side" else "sts", where


def _edge_stitches(stage: WorkedStage, kind: str) -> int:
    return sum(abs(step.after - step.before) for step in stage.steps if step.kind == kind)


def other_half(work: Graft, bench: Bench) -> int | None:
    """Give how many stitches the other half of a graft has, held under a name or left live by a stage; None: wrong."""
    if count := bench.waiting(work.to):
        bench.release(work.to, count)
        return count
    if work.to in bench.allowed and work.to in bench.left and work.to not in bench.taken:
        bench.taken[work.to] = bench.stage
        live = bench.left[work.to].stitches
        bench.left[work.to] = Needle(0)
        if live:
            return live
    what = f"No stitches are held or left live as “{work.to}” before “{bench.stage}”."
    bench.wrong(work.mark("to"), "not-held", what)
    return None
