"""The pace learnt from takes: what the plan assumes of the host, corrected by what happened, carefully.

**Method.** Times and rates are skewed, so their logarithms are taken as normal with unknown mean and variance. The
default is a conjugate prior (normal mean, scaled inverse chi-square variance) worth a few observations; the posterior
of the mean is Student's t (Gelman, Carlin, Stern, Dunson, Vehtari, Rubin, Bayesian Data Analysis, 3rd ed., section
3.3). The value is the posterior's middle, the interval its central 90 %. So with no data the default stays as it is,
and every observation pulls the value from it: shrinkage (Efron & Morris, Data analysis using Stein's estimator, JASA
70, 1975). Both are cited from memory. The value is the typical (median) time or rate.

Takes for each shot are a row of trials, each good with one chance: a geometric count with a conjugate beta prior (the
same book, chapter 2). Shots without a good take count too, as failures with no success yet.

**Outliers.** An observation that cannot be the thing itself (a lunch within a reset) is left out, by the table below;
the others are drawn in to the median +- `CLIP` times the larger of 1.4826 x the median absolute deviation and the usual
spread (winsorising; Huber, Robust Statistics, 1981; Hampel, JASA 69, 1974; from memory).

One shot gives one observation of the pace (the mean of its good takes), since its takes share their difficulties.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.settings import Pace
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, warning
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
# speech, 0.15 and the 110 to 160 words a minute of tests/facts/speech_caption_demo.csv as nine hosts in ten give 1.7.
# Two or three are used throughout, so that a single take never weighs more than a third.
BOUNDS: Mapping[str, Bounds] = {
    "knitting": Bounds(3, 118, 1, 150, 0.2, 2, "stitches a minute: a first-time knitter to the record of one minute"),
    "on_camera": Bounds(
        3, 60, 1, 118, 0.3, 2, "stitches a minute: a first-time knitter to what is called fast at home"
    ),
    "speech": Bounds(60, 240, 40, 350, 0.15, 2, "words a minute: 100 to 210 are told of speakers, and a margin"),
    "set_up": Bounds(5, 180, 1, 300, 0.3, 2, "minutes from call to the first take: a fixed set to a hired room"),
    "view_change": Bounds(0.25, 20, 0.05, 30, 0.5, 2, "minutes: one lever to a new light; longer is a meal break"),
    "tray_change": Bounds(0.1, 15, 1 / 60, 20, 0.5, 2, "minutes: a tray at hand to one still to be laid out"),
    "reset": Bounds(0.1, 10, 1 / 60, 15, 0.6, 2, "minutes: a breath to some work taken back; longer is a rest"),
    "swap": Bounds(0.05, 10, 1 / 60, 15, 0.6, 2, "minutes: the next shot at once to one talked over first"),
    "takes": Bounds(1, 10, 1, 10, 0.5, 3, "takes for each shot: after ten the shot is changed, not repeated"),
}
SPOKEN: Mapping[str, Bounds] = {
    "speech": BOUNDS["speech"],
    "over_all": Bounds(5, 240, 0, 350, 0.3, 0, "words a minute: long silent work to nothing but speech"),
}
"""What captions tell: words a minute with hands at rest, and over all of a video."""
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
    """From takes an estimate for every pace in `BOUNDS`, in that order (fewer when read from a file that has fewer).

    ``captions``: what was learnt from captions, `SPOKEN` or less.
    """

    estimates: tuple[Estimate, ...]
    captions: tuple[Estimate, ...] = ()

    def find(self, name: str) -> Estimate | None:
        """Give the estimate of this name, or None; where takes and captions both know it, the narrower counts."""
        known = [one for one in (*self.estimates, *self.captions) if one.name == name]
        return min(known, key=lambda one: one.high / one.low if one.n and one.low else math.inf, default=None)

    @property
    def used(self) -> tuple[Estimate, ...]:
        """Give the paces that a plan takes from here: of each that was seen the surer estimate."""
        found = (self.find(name) for name in (*BOUNDS, *SPOKEN))
        return tuple(dict.fromkeys(one for one in found if one and one.n))


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


def questioned_speech(course: Course) -> Iterator[Problem]:
    """Question a pace of speech that nobody is known to have; paces of work are questioned where they are used."""
    pace, bounds = course.course.pace, BOUNDS["speech"]
    if pace.stands("speech") and not bounds.low <= pace.speech <= bounds.high:
        what = f"Nobody is known to speak {pace.speech:g} words a minute: speakers have 100 to 210."
        yield warning(pace.mark("speech"), "pace", what)


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
) -> Learnt:
    """Estimate every pace from merged takes.

    ``planned`` gives by name (see `pace_values`) the paces that the shots were planned with; they are the defaults
    unless ``start``, learnt by another course, gives others (these weigh by their number of observations, `CARRIED` at
    most). Never start from figures learnt from these same takes: they would count twice. ``calls`` gives the call of
    each day in minutes after midnight, for the set-up.
    """
    taken = in_order(takes)
    seen = _observed(taken, shots, planned, calls or {})
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
    return _from_logs(name, default, tamed(logs, middle, bounds.prior, bounds.spread), middle, prior)


def estimate_alone(name: str, default: float, observations: Sequence[float]) -> Estimate:
    """Estimate one pace from observations alone, one at least: the default is told beside it and weighs nothing.

    Only the usual spread has a prior, so that few observations have a wide interval.
    """
    bounds = BOUNDS[name]
    logs = [math.log(one) for one in observations]
    middle = statistics.median(logs)
    return _from_logs(name, default, tamed(logs, middle, 0, bounds.spread), middle, 0)


def _from_logs(name: str, default: float, logs: Sequence[float], middle: float, prior: int) -> Estimate:
    found = posterior(logs, middle, prior, PRIOR_FREEDOM, BOUNDS[name].spread)
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
    """The 95 % point of Student's t: Abramowitz & Stegun 26.7.5, from memory; within 0.3 % from 4 degrees on."""
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
    value, low, high = (float(f"{min(max(one, bounds.low), bounds.high):.4g}") for one in (value, low, high))
    value = value if n else default
    return Estimate(name, default, value, min(low, value), max(high, value), n, sureness(n))


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
        return "working on" if one.off_camera else "reset"
    if one.view != other.view:
        return "view_change" if one.segment == other.segment else "view_and_tray"
    return "swap" if one.segment == other.segment else "tray_change"


def telling_takes(takes: Sequence[Take]) -> list[Take]:
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
    moving = [take.seconds - still for take in telling_takes(takes) if take.seconds is not None]
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
