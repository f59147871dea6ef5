"""Another knitter's gauge: what changes with it (rounds from lengths, where they land, yarn), as data for a page.

Stitches stay as printed. The gauges of stages change in the same proportion as the main one. A course is only given
such data where they give what working the pattern gives, tried at other gauges; where more than this depends on the
gauge (a cast-on from a width, picking up at a rate), there are none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import lcm, sqrt

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.works import Knit
from lessonplan.craft.gauge import Fabric, landing, rounded
from lessonplan.needle.stitch.live import Needle
from lessonplan.pattern.amounts.yarn import is_waste, ks, kw, metres_by_yarn, pattern_loop
from lessonplan.pattern.worked import Step, WorkedPattern
from lessonplan.pattern.working.bench import Bench
from lessonplan.pattern.working.rounds import landing_ends
from lessonplan.pattern.working.stages import work_pattern
from lessonplan.pattern.working.striping import colours_in_turn, goes_on
from lessonplan.remembered import remembered

PROBES = ((2.0, 4.0), (0.7, 1.3))
"""Factors of stitches and rounds at which the data are tried against working the pattern; the first is fitted to."""
Loops = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Free:
    """Rounds from a length: in mm for each size, how they are rounded or where in a repeat they end, and their loops.

    ``ratio`` is the stage's rounds to those of the main gauge; ``loops`` of each round of the repeat, for each size.
    """

    stage: str
    work: int
    length: tuple[float, ...]
    rounding: str
    ends: tuple[int, ...]
    period: int
    ratio: float
    loops: tuple[tuple[Loops, ...], ...]

    def rounds(self, rounds_per_mm: float, size: int) -> int:
        """Give how many rounds these are at a gauge of the main fabric."""
        wanted = self.length[size] * rounds_per_mm * self.ratio
        if self.ends:
            return landing(wanted, self.ends, self.period)
        return max(1, rounded(wanted, self.rounding))  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class OwnGauge:
    """What a page needs to work out another gauge; each mapping is for a size.

    ``loops`` are those of all other rounds; ``tails`` and ``wide`` give the yarn's ends in mm: tails + wide / (stitches
    to the mm). A loop takes ``constant`` / sqrt(stitches x rounds), in crochet ``constant`` / stitches (to the mm).
    """

    free: tuple[Free, ...]
    loops: tuple[Loops, ...]
    tails: tuple[Loops, ...]
    wide: tuple[Loops, ...]
    constant: float
    crochet: bool
    factor: float
    yarns: tuple[str, ...]

    def metres(self, stitches: float, rounds: float, size: int) -> dict[str, float]:
        """Give the metres of each yarn with the reserve, for all pieces, at so many stitches and rounds to the mm."""
        loop = self.constant / (stitches if self.crochet else sqrt(stitches * rounds))
        found = {}
        for yarn in self.yarns:
            loops = self.loops[size].get(yarn, 0.0)
            for one in self.free:
                every = one.loops[size]
                loops += sum(every[n % len(every)].get(yarn, 0.0) for n in range(one.rounds(rounds, size)))
            ends = self.tails[size].get(yarn, 0.0) + self.wide[size].get(yarn, 0.0) / stitches
            found[yarn] = (loops * loop + ends) / 1000 * self.factor
        return found


@remembered(4, equal=True)
def own_gauge(pattern: pm.Pattern, worked: WorkedPattern) -> OwnGauge | None:
    """Give the data of a pattern (in the way that ``worked`` is worked), or None where they would not be right."""
    if "gauge" not in pattern.model_fields_set or pattern.craft.lower() not in ("knitting", "crochet"):
        return None
    crochet = pattern.craft.lower() == "crochet"
    others = [work_pattern(at_gauge(pattern, *factors)) for factors in PROBES]
    if any(problem.severity == "error" for _, found in others for problem in found):
        return None
    probes = [other for other, _ in others]
    free = [one for key in worked.order for one in _free(pattern, key, worked, probes[0])]
    if any(one is None for one in free):
        return None
    gauge, sizes = _fabric(pattern), range(len(worked.sizes))
    named = {(one.stage, one.work) for one in free if one}
    loops = tuple(_sum(worked, size, named, tails=False) for size in sizes)
    ends, narrow = ([_sum(one, size, set(), tails=True) for size in sizes] for one in (worked, probes[0]))
    step = 1 / gauge.stitches_per_mm - 1 / (gauge.stitches_per_mm * PROBES[0][0])
    wide = tuple({yarn: (ends[n][yarn] - narrow[n].get(yarn, 0.0)) / step for yarn in ends[n]} for n in sizes)
    tails = tuple({yarn: ends[n][yarn] - wide[n][yarn] / gauge.stitches_per_mm for yarn in ends[n]} for n in sizes)
    made = OwnGauge(
        free=tuple(one for one in free if one),
        loops=loops,
        tails=tails,
        wide=wide,
        constant=kw() if crochet else sqrt(ks()),
        crochet=crochet,
        factor=pattern.make * pattern.with_margin,
        yarns=tuple(key for key in pattern.yarns if not is_waste(pattern, key)),
    )
    tried = zip(((1.0, 1.0), *PROBES), (worked, *probes), strict=True)
    return made if all(_agrees(made, pattern, factors, one) for factors, one in tried) else None


def _fabric(pattern: pm.Pattern) -> Fabric:
    return Fabric.of(pattern.gauge.stitches, pattern.gauge.rounds, pattern.gauge.over)


def at_gauge(pattern: pm.Pattern, stitches: float, rounds: float) -> pm.Pattern:
    """Give the pattern with all its gauges changed by factors of stitches and rounds."""

    def changed(gauge: pm.Gauge) -> pm.Gauge:
        """A gauge with so many times the stitches and rounds."""
        return gauge.model_copy(update={"stitches": gauge.stitches * stitches, "rounds": gauge.rounds * rounds})

    stages = {
        key: stage.model_copy(update={"gauge": changed(stage.gauge)}) if stage.gauge else stage
        for key, stage in pattern.stages.items()
    }
    return pattern.model_copy(update={"gauge": changed(pattern.gauge), "stages": stages})


def _free(pattern: pm.Pattern, key: str, worked: WorkedPattern, longer: WorkedPattern) -> Iterator[Free | None]:
    """Give the rounds from lengths of a stage; None for one whose rounds cannot be foretold."""
    main = _fabric(pattern)
    for index, work in enumerate(pattern.stages[key].works):
        extent = (work.rows or work.rounds) if isinstance(work, Knit) else None
        if not isinstance(work, Knit) or extent is None or extent.kind != "length":
            continue
        fabric = worked.stage(key, 0).fabric
        bench = Bench(pattern=pattern, size=0, stage=key, fabric=fabric, needle=Needle(0), held={}, allowed=frozenset())
        if goes_on(work) or work.in_stripe:
            yield None
            continue
        turns, first = colours_in_turn(work, bench)
        ends = landing_ends(work, turns, first, len(work.lines)) if work.ends_with else ((), 1)
        repeat = lcm(len(turns), max(1, len(work.lines)))
        runs = [[dict(step.yarns) for step in _steps(longer, key, index, size)] for size in range(len(worked.sizes))]
        regular = all(len(run) >= repeat and all(run[n] == run[n % repeat] for n in range(len(run))) for run in runs)
        yield (
            Free(
                stage=key,
                work=index,
                length=tuple(float(extent.at(size)) for size in range(len(worked.sizes))),
                rounding=work.rounding,
                ends=ends[0],
                period=ends[1],
                ratio=fabric.rounds_per_mm / main.rounds_per_mm,
                loops=tuple(tuple(run[:repeat]) for run in runs),
            )
            if regular
            else None
        )


def _steps(worked: WorkedPattern, key: str, index: int, size: int) -> list[Step]:
    return [step for step in worked.stage(key, size).steps if step.work == index and step.is_round]


def _sum(worked: WorkedPattern, size: int, without: set[tuple[str, int]], *, tails: bool) -> dict[str, float]:
    """Sum the loops of all steps but the rounds of some works, or the tails of all, by yarn."""
    total: defaultdict[str, float] = defaultdict(float)
    for key in worked.order:
        for step in worked.stage(key, size).steps:
            if tails or not (step.is_round and (key, step.work) in without):
                for yarn, amount in step.tails if tails else step.yarns:
                    total[yarn] += amount
    return dict(total)


def _agrees(made: OwnGauge, pattern: pm.Pattern, factors: tuple[float, float], worked: WorkedPattern) -> bool:
    """Tell whether the data give the rounds and the metres that working the pattern gives at a gauge."""
    other = at_gauge(pattern, *factors)
    fabric = _fabric(other)
    for size in range(len(worked.sizes)):
        wanted = metres_by_yarn(worked.steps(size), pattern_loop(other))
        found = made.metres(fabric.stitches_per_mm, fabric.rounds_per_mm, size)
        for one in made.free:
            if one.rounds(fabric.rounds_per_mm, size) != len(_steps(worked, one.stage, one.work, size)):
                return False
        if any(abs(found[yarn] - wanted.get(yarn, 0.0) * made.factor) > 1e-6 for yarn in made.yarns):
            return False
    return True
