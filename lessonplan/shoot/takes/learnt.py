"""The pace learnt from takes: what the plan assumes of the host, corrected by what happened, carefully.

**Method.** Times and rates are skewed, so their logarithms are taken as normal with unknown mean and variance. The
default is a conjugate prior (normal mean, scaled inverse chi-square variance) worth a few observations; the posterior
of the mean is Student's t (Gelman, Carlin, Stern, Dunson, Vehtari, Rubin, Bayesian Data Analysis, 3rd ed., section
3.3). The value is the posterior's middle, the interval its central 90 %. So with no data the default stays as it is,
and every observation pulls the value from it: shrinkage (Efron & Morris, Data analysis using Stein's estimator, JASA
70, 1975). The value is the typical (median) time or rate.

Takes for each shot are a row of trials, each good with one chance: a geometric count with a conjugate beta prior (the
same book, chapter 2). Shots without a good take count too, as failures with no success yet.

**Outliers.** An observation that cannot be the thing itself (a lunch within a reset) is left out, by the table below;
the others are drawn in to the median +- `CLIP` times the larger of 1.4826 x the median absolute deviation and the usual
spread (winsorising; Huber, Robust Statistics, 1981; Hampel, JASA 69, 1974).

One shot gives one observation of the pace (the mean of its good takes), since its takes share their difficulties.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from lessonplan.course.model import Pace, Shot
from lessonplan.course.problems import Problem, Where, did_you_mean, error
from lessonplan.course.quantities import read_decimal
from lessonplan.course.yamltext import MarkedMap, read_yaml
from lessonplan.shoot.takes.compare import PlannedShot, gaps, takes_by_shot
from lessonplan.shoot.takes.log import USABLE, Take, in_order

Sure = Literal["none", "few", "some", "many"]


@dataclass(frozen=True, slots=True)
class Bounds:
    """What is believable of one pace, in its own unit: of the value, and of one observation.

    ``spread`` is the usual standard deviation of the logarithm of one observation; ``prior`` how many observations the
    default is worth. ``why`` gives the reason of the bounds.
    """

    low: float
    high: float
    one_low: float
    one_high: float
    spread: float
    prior: int
    why: str


# Spreads are planning guesses. A prior is worth (spread within one host / spread between hosts)^2 observations: for
# speech, 0.15 and the published 110 to 160 words a minute as nine hosts in ten give 1.7. Two or three are used
# throughout, so that a single take never weighs more than a third.
BOUNDS: Mapping[str, Bounds] = {
    "knitting": Bounds(3, 118, 1, 150, 0.2, 2, "stitches a minute: a first-time knitter to the record of one minute"),
    "on_camera": Bounds(
        3, 60, 1, 118, 0.3, 2, "stitches a minute: a first-time knitter to what is called fast at home"
    ),
    "speech": Bounds(60, 240, 40, 350, 0.15, 2, "words a minute: 100 to 210 are published for speakers, and a margin"),
    "set_up": Bounds(5, 180, 1, 300, 0.3, 2, "minutes from call to the first take: a fixed set to a hired room"),
    "view_change": Bounds(0.25, 20, 0.05, 30, 0.5, 2, "minutes: one lever to a new light; longer is a meal break"),
    "tray_change": Bounds(0.1, 15, 1 / 60, 20, 0.5, 2, "minutes: a tray at hand to one still to be laid out"),
    "reset": Bounds(0.1, 10, 1 / 60, 15, 0.6, 2, "minutes: a breath to a row pulled back; longer is a rest"),
    "swap": Bounds(0.05, 10, 1 / 60, 15, 0.6, 2, "minutes: the next shot at once to one talked over first"),
    "takes": Bounds(1, 10, 1, 10, 0.5, 3, "takes for each shot: after ten the shot is changed, not repeated"),
}
CLIP = 2.5  # clips one in eighty of normal observations
PRIOR_FREEDOM = 4  # how many observations the usual spread is worth
CARRIED = 10  # what another course's figures may be worth at most: the same host on another day
LEADING = 0.5  # speech or handwork must make this much of a shot's screen time to tell its pace,
CLEARLY = 0.6  # and the other be below this share of it,
SHORTEST = 5.0  # and last these seconds: below, tapping start and stop is most of the difference
FEW, SOME = 5, 20  # below 5 observations "few", below 20 "some"


@dataclass(frozen=True, slots=True)
class Estimate:
    """One pace: the default, the learnt value with its central 90 % interval, from how many observations, how sure.

    Rates are in stitches or words a minute, times in minutes, ``takes`` in takes for each shot. ``sure`` is ``none``
    (no observation: the value is the default), ``few``, ``some`` or ``many``.
    """

    name: str
    default: float
    value: float
    low: float
    high: float
    n: int
    sure: Sure


@dataclass(frozen=True, slots=True)
class Learnt:
    """An estimate for every pace in `BOUNDS`, in that order (fewer when read from a file that has fewer)."""

    estimates: tuple[Estimate, ...]

    def find(self, name: str) -> Estimate | None:
        """Give the estimate of this name, or None."""
        return next((estimate for estimate in self.estimates if estimate.name == name), None)


@dataclass(frozen=True, slots=True)
class BenchWork:
    """Knitting timed at the bench: weighted stitches and the minutes they took."""

    stitches_weighted: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Posterior:
    """Student's t for the mean of normal observations: centre, scale and degrees of freedom."""

    centre: float
    scale: float
    freedom: float

    def interval(self) -> tuple[float, float]:
        """The central 90 %."""
        half = t_95(self.freedom) * self.scale
        return self.centre - half, self.centre + half


def pace_values(pace: Pace) -> dict[str, float]:
    """Give the paces of a course by the names used here; ``takes`` is what a shot has that says nothing."""
    takes = Shot.model_fields["takes"].default
    return {name: float(takes if name == "takes" else getattr(pace, name)) for name in BOUNDS}


def sureness(n: int) -> Sure:
    """Give a plain word for so many observations: none, few (below 5), some (below 20), many."""
    return "none" if n <= 0 else "few" if n < FEW else "some" if n < SOME else "many"


def learn(
    takes: Iterable[Take],
    shots: Sequence[PlannedShot],
    planned: Mapping[str, float],
    start: Learnt | None = None,
    calls: Mapping[date, int] | None = None,
    bench: Sequence[BenchWork] = (),
) -> Learnt:
    """Estimate every pace from merged takes.

    ``planned`` gives by name (see `pace_values`) the paces that the shots were planned with; they are the defaults
    unless ``start``, learnt by another course, gives others (these weigh by their number of observations, `CARRIED` at
    most). Never start from figures learnt from these same takes: they would count twice. ``calls`` gives the call of
    each day in minutes after midnight, for the set-up.
    """
    taken = in_order(takes)
    seen = _observed(taken, shots, planned, calls or {})
    seen["knitting"] = [work.stitches_weighted / work.minutes for work in bench if work.minutes > 0]
    estimates: dict[str, Estimate] = {}
    for name in ("tray_change", *BOUNDS):
        before = start.find(name) if start else None
        default = before.value if before else planned[name]
        carried = min(before.n, CARRIED) if before else 0
        if name == "takes":
            estimates[name] = estimate_takes(default, *_takes_needed(taken, shots), carried)
        elif name == "view_change":
            # Where view and tray change together the tray's share, known from trays alone, is taken off.
            alone, both = seen["view_change"], seen["view_and_tray"]
            least = BOUNDS[name].one_low
            alone += [max(least, gap - estimates["tray_change"].value) for gap in both]
            estimates[name] = estimate(name, default, alone, carried)
        else:
            estimates[name] = estimate(name, default, seen.get(name, ()), carried)
    return Learnt(tuple(estimates[name] for name in BOUNDS))


def estimate(name: str, default: float, observations: Sequence[float], carried: int = 0) -> Estimate:
    """Estimate one pace from observations in its own unit (see the module); the default is worth ``carried`` more."""
    bounds = BOUNDS[name]
    logs = [math.log(one) for one in observations if bounds.one_low <= one <= bounds.one_high]
    middle, prior = math.log(max(default, bounds.one_low)), bounds.prior + carried
    found = posterior(tamed(logs, middle, bounds.prior, bounds.spread), middle, prior, PRIOR_FREEDOM, bounds.spread)
    low, high = (math.exp(end) for end in found.interval())
    return _bounded(name, default, math.exp(found.centre), low, high, len(logs))


def tamed(logs: Sequence[float], middle: float, prior: int, spread: float) -> list[float]:
    """Draw outliers in (see the module); both medians count ``prior`` observations of the default and usual spread."""
    if not logs:
        return []
    centre = statistics.median([*logs, *[middle] * prior])
    usual = [spread / 1.4826] * prior
    deviation = 1.4826 * statistics.median([*(abs(one - centre) for one in logs), *usual])
    reach = CLIP * max(spread, deviation)
    return [min(max(one, centre - reach), centre + reach) for one in logs]


def posterior(values: Sequence[float], middle: float, prior: float, freedom: float, spread: float) -> Posterior:
    """Give the posterior of a normal mean; prior: ``middle`` worth ``prior`` and ``spread`` worth ``freedom`` values.

    Bayesian Data Analysis, 3rd ed., section 3.3: mean (k m + n y) / (k + n), degrees of freedom v + n, sum of squares
    v s^2 + sum (y_i - y)^2 + k n / (k + n) (y - m)^2.
    """
    n = len(values)
    mean = sum(values) / n if n else middle
    squares = freedom * spread**2 + sum((value - mean) ** 2 for value in values)
    squares += prior * n / (prior + n) * (mean - middle) ** 2
    scale = math.sqrt(squares / (freedom + n) / (prior + n))
    return Posterior((prior * middle + n * mean) / (prior + n), scale, freedom + n)


def t_95(freedom: float) -> float:
    """The 95 % point of Student's t by the expansion 26.7.5 of Abramowitz & Stegun; within 0.3 % from 4 degrees on."""
    z = statistics.NormalDist().inv_cdf(0.95)
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    return z + sum(term / freedom**power for power, term in enumerate(terms, start=1))


def estimate_takes(default: float, finished: int, failed: int, carried: int = 0) -> Estimate:
    """Estimate takes for each shot from the number of finished shots and of takes beside the one that each needs.

    The chance p that a take is good has a beta(k + 1 + finished, k (default - 1) + failed) posterior, k being the
    default's worth in shots; 1/p - 1, the failures for each shot, then is beta prime with mean b / (a - 1), variance
    b (a + b - 1) / ((a - 2) (a - 1)^2) (Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 2, ch. 25).
    The interval is that of the log-normal with this mean and variance.
    """
    prior = BOUNDS["takes"].prior + carried
    a, b = prior + 1 + finished, prior * max(0.0, default - 1) + failed
    mean = b / (a - 1)
    if mean == 0:
        return _bounded("takes", default, 1.0, 1.0, 1.0, finished)
    variance = b * (a + b - 1) / ((a - 2) * (a - 1) ** 2)
    width = math.sqrt(math.log1p(variance / mean**2))
    centre, half = math.log(mean) - width**2 / 2, statistics.NormalDist().inv_cdf(0.95) * width
    n = finished if finished or not failed else 1
    return _bounded("takes", default, 1 + mean, 1 + math.exp(centre - half), 1 + math.exp(centre + half), n)


def _bounded(name: str, default: float, value: float, low: float, high: float, n: int) -> Estimate:
    """Keep an estimate within its bounds; without data it is the default, exactly."""
    bounds = BOUNDS[name]
    value, low, high = (_short(min(max(one, bounds.low), bounds.high)) for one in (value, low, high))
    value = value if n else default
    return Estimate(name, default, value, min(low, value), max(high, value), n, sureness(n))


def _short(value: float) -> float:
    return float(f"{value:.4g}")


def _observed(
    takes: Sequence[Take], shots: Sequence[PlannedShot], planned: Mapping[str, float], calls: Mapping[date, int]
) -> dict[str, list[float]]:
    seen: dict[str, list[float]] = {"view_change": [], "view_and_tray": []}
    by_shot = takes_by_shot(takes)
    for shot in shots:
        found = _shot_pace(shot, by_shot.get(shot.number, ()), planned)
        if found:
            seen.setdefault(found[0], []).append(found[1])
    plan = {shot.number: shot for shot in shots}
    for before, after, seconds in gaps(takes):
        one, other = plan.get(before.shot), plan.get(after.shot)
        if one and other:
            name = _change(one, other)
            seen.setdefault(name, []).append(max(seconds, 1) / 60)
    for day, call in calls.items():
        first = next((take.start for take in takes if take.day == day and take.start is not None), None)
        if first is not None:
            seen.setdefault("set_up", []).append(max(first / 60 - call, 1 / 60))
    return seen


def _change(one: PlannedShot, other: PlannedShot) -> str:
    """Name what lies between two takes that follow each other."""
    if one.number == other.number:
        return "knitting on" if one.off_camera else "reset"
    if one.view != other.view:
        return "view_change" if one.segment == other.segment else "view_and_tray"
    return "swap" if one.segment == other.segment else "tray_change"


def kept_takes(takes: Sequence[Take]) -> list[Take]:
    """Give the takes that show a shot's length: those that can be used; the last where none is judged."""
    if any(take.verdict for take in takes):
        return [take for take in takes if take.verdict in USABLE]
    return list(takes[-1:])


def _shot_pace(shot: PlannedShot, takes: Sequence[Take], planned: Mapping[str, float]) -> tuple[str, float] | None:
    """Give what leads a shot, ``speech`` or ``on_camera``, and its pace in the good takes; None where neither is clear.

    What the plan adds to the leading part (its handles, other handwork) is taken off the take as it was planned.
    """
    spoken, worked = 60 * shot.words / planned["speech"], 60 * shot.stitches_weighted / planned["on_camera"]
    doing = shot.doing_seconds
    name, amount = ("speech", float(shot.words)) if spoken >= worked else ("on_camera", shot.stitches_weighted)
    lead, other = (spoken, worked + doing) if name == "speech" else (worked, spoken)
    if lead < max(SHORTEST, LEADING * shot.take_seconds) or other > CLEARLY * lead or shot.off_camera:
        return None
    still = shot.take_seconds - lead
    moving = [take.seconds - still for take in kept_takes(takes) if take.seconds is not None]
    rates = [60 * amount / seconds for seconds in moving if seconds > 0]
    return (name, statistics.geometric_mean(rates)) if rates else None


def _takes_needed(takes: Sequence[Take], shots: Sequence[PlannedShot]) -> tuple[int, int]:
    """Count finished shots, and all takes beside one for each; a shot none of whose takes is judged is finished."""
    planned = {shot.number for shot in shots}
    finished = failed = 0
    for shot, several in takes_by_shot(takes).items():
        if shot in planned:
            done = any(take.verdict in USABLE for take in several) or not any(take.verdict for take in several)
            finished += done
            failed += min(len(several), int(BOUNDS["takes"].one_high)) - done
    return finished, failed


def learnt_yaml(learnt: Learnt) -> str:
    """Write estimates as YAML: a remark on the first line, then a block of figures for each pace."""
    lines = ["# Paces learnt from the take log."]
    for one in learnt.estimates:
        figures = {"value": one.value, "low": one.low, "high": one.high, "n": one.n, "default": one.default}
        lines += [f"{one.name}:", *(f"  {key}: {figure!r}" for key, figure in figures.items())]
    return "\n".join(lines) + "\n"


def read_learnt(data: bytes, file: str) -> tuple[Learnt, tuple[Problem, ...]]:
    """Read what `learnt_yaml` wrote, or a person typed: ``value`` and ``n`` are needed in each block.

    Blocks that cannot be read, or whose value is beyond its bounds, are left out and told of with file and line.
    """
    content, problems = read_yaml(data, file)
    estimates: dict[str, Estimate] = {}
    for name, block in (content or {}).items():
        where = content.marks.keys[name] if content else Where(file)
        if name not in BOUNDS:
            problems.append(error(where, "unknown-key", f"“{name}” is no pace.", did_you_mean(name, BOUNDS)))
        elif not isinstance(block, MarkedMap):
            problems.append(error(where, "learnt", f"“{name}” should hold value, low, high and n, each on its line."))
        else:
            found = _read_estimate(name, block, where, problems)
            estimates.update({name: found} if found else {})
    return Learnt(tuple(estimates[name] for name in BOUNDS if name in estimates)), tuple(problems)


def _read_estimate(name: str, block: MarkedMap, where: Where, problems: list[Problem]) -> Estimate | None:
    known, figures = ("value", "low", "high", "n", "default"), dict[str, float]()
    before = len(problems)
    for key, text in block.items():
        place = block.marks.values.get((key,), where)
        if key not in known:
            problems.append(
                error(block.marks.keys[key], "unknown-key", f"“{key}” is not read.", did_you_mean(key, known))
            )
            continue
        try:
            figures[key] = read_decimal(text if isinstance(text, str) else "")
        except ValueError:
            problems.append(error(place, "learnt", f"“{key}” of {name} should be a number."))
    missing = [key for key in ("value", "n") if key not in block]
    if missing:
        problems.append(error(where, "learnt", f"“{name}” lacks {' and '.join(missing)}."))
    if len(problems) > before:
        return None
    value, n = figures["value"], figures["n"]
    low, high = figures.get("low", value), figures.get("high", value)
    bounds, default = BOUNDS[name], figures.get("default", value)
    wrong = ""
    if n < 0 or n != int(n):
        wrong = f"“n” of {name} should be a whole number of observations."
    elif not low <= value <= high:
        wrong = f"The value of {name} should lie between its low and its high."
    elif not (bounds.low <= value <= bounds.high or (n == 0 and value == default >= 0)):
        wrong = f"{value:g} is beyond what is believable for {name}: {bounds.low:g} to {bounds.high:g} {bounds.why}."
    if wrong:
        problems.append(error(block.marks.values.get(("value",), where), "learnt", wrong))
        return None
    return Estimate(name, default, value, low, high, int(n), sureness(int(n)))
