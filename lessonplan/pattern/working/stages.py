"""Work a whole pattern: every stage in every size, in an order that the stages allow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from lessonplan.course.model import pattern as pm, works as wm
from lessonplan.course.problems import Problem, Where, error, warning
from lessonplan.course.signs import parted
from lessonplan.craft.gauge import Fabric
from lessonplan.needle.stitch.live import Needle
from lessonplan.pattern.worked import WorkedPattern, WorkedStage, ancestors
from lessonplan.pattern.working.bench import Bench
from lessonplan.pattern.working.works import do
from lessonplan.printed.beside.elsewhere import sentences_elsewhere
from lessonplan.printed.line import NotationError, parse_line
from lessonplan.printed.tree import Line

_ON_THE_NEEDLE = (
    wm.Knit,
    wm.HalfRound,
    wm.Spread,
    wm.Hold,
    wm.Placeholder,
    wm.Lifeline,
    wm.Graft,
    wm.BindOff,
    wm.DrawThrough,
)
_FASTENED = (wm.BindOff, wm.DrawThrough)
_NEW_STITCHES = (wm.CastOn, wm.TakeUp, wm.PickUp, wm.Open)


def _needs_a_needle(work: wm.Work) -> bool:
    stitches = isinstance(work, wm.Plain) and work.leaves is not None
    return stitches or isinstance(work, (*_ON_THE_NEEDLE, *_NEW_STITCHES))


MOST_STEPS = 20_000
"""Rounds and other works of all stages in all sizes together: a garment in 24 sizes has some 15,000."""
_TOO_LONG = f"Up to here the pattern has more than {MOST_STEPS:,} rounds in all its sizes; it may not have more."


def work_pattern(pattern: pm.Pattern) -> tuple[WorkedPattern, tuple[Problem, ...]]:
    """Work every stage in every size.

    Gives the worked pattern, as far as it works out, and every problem with the line it stands in.
    """
    before = {key: stage.after for key, stage in pattern.stages.items()}
    order = working_order(before)
    found: list[tuple[Problem, int]] = []
    stages: dict[str, list[WorkedStage]] = {key: [] for key in order}
    done = 0
    for size in range(len(pattern.sizes)):
        for stage in _stages_in(pattern, size, found, done):
            stages[stage.key].append(stage)
        done += sum(len(stages[key][-1].steps) for key in order)
    worked_pattern = WorkedPattern(
        tuple(size.name for size in pattern.sizes), order, before, {key: tuple(stages[key]) for key in order}
    )
    return worked_pattern, tuple(_for_sizes(found, worked_pattern.sizes))


def stages_in(pattern: pm.Pattern, size: int) -> Iterator[WorkedStage]:
    """Work the stages in one size (0-based), one after the other as they are asked for; what is wrong, each says."""
    yield from _stages_in(pattern, size, [])


def _stages_in(
    pattern: pm.Pattern, size: int, found: list[tuple[Problem, int]], steps: int = 0
) -> Iterator[WorkedStage]:
    """``steps``: how many were done in other sizes."""
    row = _Row(pattern, size, {key: stage.after for key, stage in pattern.stages.items()})
    for key in working_order(row.before):
        bench = row.bench(key, found)
        start = bench.needle.stitches
        ends = []
        for bench.work, work in enumerate(pattern.stages[key].works):
            if steps > MOST_STEPS:
                break
            since = len(bench.steps)
            do(work, bench)
            _told_beside(work, bench)
            steps += len(bench.steps) - since
            if steps > MOST_STEPS:
                found.append((error(work.mark(), "too-long", _TOO_LONG), size))
            if work.uses:
                bench.use(work, since)
            ends.append((wm.key_of(work), len(bench.steps)))
        row.benches[key], row.needles[key] = bench, bench.needle
        found += bench.problems
        row.done[key] = _worked(pattern.stages[key], bench, start, ends)
        yield row.done[key]
    found += [(problem, size) for problem in (*row.left_on_hold(), *row.left_on_needle())]


def _told_beside(work: wm.Work, bench: Bench) -> None:
    """Tell of what a work says beside its lines that some of their rows are to have: no row has it."""
    for key in ("before", "note"):
        text = getattr(work, key)
        if text and _of_other_rows(str(text), len(bench.pattern.sizes)):
            what = "This tells of rows that other lines work, and no row here has it: it is in no count, time or card."
            bench.remark(work.mark(key), "reading", what)


@lru_cache(maxsize=1024)
def _of_other_rows(text: str, sizes: int) -> bool:
    def read(body: str) -> Line | None:
        """A line as it is read; None where it cannot be."""
        try:
            return parse_line(body, sizes)
        except NotationError:
            return None

    return sentences_elsewhere(text, read)


def working_order(before: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Order stages so that each comes after what it is after, otherwise as written. Needs an order without circles."""
    order: dict[str, None] = {}
    for key in before:
        todo = [key]
        while todo:
            first = next((name for name in before[todo[-1]] if name not in order), None)
            if first is None:
                order[todo.pop()] = None
            else:
                todo.append(first)
    return tuple(order)


def _worked(stage: pm.Stage, bench: Bench, start: int, ends: Sequence[tuple[str, int]]) -> WorkedStage:
    return WorkedStage(
        key=bench.stage,
        title=parted(stage.title),
        start=start,
        steps=tuple(bench.steps),
        fabric=bench.fabric,
        pace_factor=25.0 / stage.pace if stage.pace else 1.0,
        asked=0.0 if bench.other else bench.asked,
        works=tuple(ends),
        points=tuple(bench.points),
        broken=next(
            (
                f"{bad.message.rstrip('.')}, in the line at {bad.where.file}:{bad.where.line}"
                for bad, _ in bench.problems
                if bad.severity == "error"
            ),
            "",
        ),
    )


@dataclass
class _Row:
    """One size being worked: what each stage left on the needle, held or placed, and who went on with it."""

    pattern: pm.Pattern
    size: int
    before: Mapping[str, tuple[str, ...]]
    needles: dict[str, Needle] = field(default_factory=dict)
    taken: dict[str, str] = field(default_factory=dict)
    held: dict[str, dict[str, tuple[int, Where]]] = field(default_factory=dict)
    placed: dict[str, tuple[int, str]] = field(default_factory=dict)
    benches: dict[str, Bench] = field(default_factory=dict)
    done: dict[str, WorkedStage] = field(default_factory=dict)

    def bench(self, key: str, found: list[tuple[Problem, int]]) -> Bench:
        """Lay out the bench for a stage: it goes on with the live stitches of a stage before it, or starts empty."""
        stage = self.pattern.stages[key]
        source = self._source(stage)
        if source in self.taken:
            what = (
                f"“{key}” and “{self.taken[source]}” both go on with the stitches that “{source}” leaves on the needle."
            )
            hint = "Hold one set, or let one come after the other."
            found.append((error(stage.mark("after"), "needle-taken", what, hint), self.size))
        needle = self.needles[source] if source else Needle(0)
        if source:
            self.taken[source] = key
        gauge = stage.gauge or self.pattern.gauge
        fabric = Fabric.of(gauge.stitches, gauge.rounds, gauge.over)
        striped = next((name for name in (source, *self.before[key]) if name and self.benches[name].turns), "")
        return Bench(
            pattern=self.pattern,
            size=self.size,
            stage=key,
            fabric=fabric,
            needle=needle,
            held=self.held,
            allowed=ancestors(key, self.before) | {key},
            placed=self.placed,
            left=self.needles,
            taken=self.taken,
            done=self.done,
            last=self.benches[source].last if source else frozenset(),
            turns=self.benches[striped].turns if striped else (),
            turn=self.benches[striped].turn if striped else 0,
            lost=self.benches[source].lost if source else None,
        )

    def left_on_hold(self) -> Iterator[Problem]:
        """Tell of stitches that are put on hold and that no stage does anything with."""
        for name, stages in self.held.items():
            for count, where in stages.values():
                if count:
                    what = f"Stitches are put on hold as “{name}” here, and no stage takes all of them up again."
                    yield warning(where, "left-on-hold", what)

    def left_on_needle(self) -> Iterator[Problem]:
        """Tell of stitches that stay on the needle behind the last bind-off of a stage, and are left there."""
        for key, needle in self.needles.items():
            last = next((work for work in reversed(self.pattern.stages[key].works) if _needs_a_needle(work)), None)
            open_end = needle.stitches and key not in self.taken and not self.benches[key].lost
            if open_end and isinstance(last, _FASTENED):
                there = "1 stitch stays" if needle.stitches == 1 else f"{needle.stitches} stitches stay"
                what = f"{there} on the needle behind this, and no stage goes on from there."
                yield warning(last.mark(wm.key_of(last)), "left-on-needle", what)

    def _source(self, stage: pm.Stage) -> str:
        """Give the stage whose live stitches a stage goes on with, if its first work needs any."""
        first = next((work for work in stage.works if _needs_a_needle(work)), None)
        casts_on = isinstance(first, wm.Knit) and first.lines and first.lines[0].lower().startswith(("co ", "cast on"))
        if first is None or isinstance(first, _NEW_STITCHES) or casts_on:
            return ""
        other = first.to if isinstance(first, wm.Graft) else ""
        return next((name for name in stage.after if self.needles[name].stitches and name != other), "")


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
            yield replace(problem, message=f"Size {names}: {problem.message.rstrip('.')}.")
