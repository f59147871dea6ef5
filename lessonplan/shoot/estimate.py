"""Three-point estimates (low, likely and high minutes), and what a sum of them comes to.

A three-point estimate stands for the beta distribution of PERT (Malcolm, Roseboom, Clark, Fazar: Application of a
technique for research and development program evaluation, Operations Research 7, 1959; cited from memory) with the
shapes 1 + 4 (likely - low) / (high - low) and 1 + 4 (high - likely) / (high - low). Its mean is
(low + 4 likely + high) / 6 and its variance (mean - low) (high - mean) / 7, to which PERT's own (high - low)² / 36 is
only near. Means add up. Variances of what is independent add up, too; but the shots of a day share their host: if she
speaks slowly this morning, she does in all of them. So what she shares is kept apart, as the deviation that each
estimate gets from it, and these deviations add up in full. A sum of many is near to normal, so that nine times in ten
it stays below mean + 1.2816 deviations (the 0.9 point of the normal distribution). A pace that is shared stays what it
is, however many shots there are: it counts by the 0.9 point of its own distribution, not of the normal one.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import accumulate
from math import sqrt

NINE_IN_TEN = 1.2816
"""The point of the standard normal distribution that is not passed nine times in ten."""
STRIPS = 2000
"""Strips into which a density is cut to be added up."""


@dataclass(frozen=True, slots=True)
class Span:
    """A three-point estimate in minutes."""

    low: float
    likely: float
    high: float

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def times(self, low: float, likely: float, high: float) -> Span:
        """Multiply each point by its own factor."""
        return Span(self.low * low, self.likely * likely, self.high * high)

    @property
    def mean(self) -> float:
        """Expected value, (low + 4 likely + high) / 6."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def deviation(self) -> float:
        """Standard deviation, the root of (mean - low) (high - mean) / 7."""
        return sqrt(max(0.0, (self.mean - self.low) * (self.high - self.mean) / 7))

    @property
    def shared(self) -> float:
        """The deviation of a normal distribution of this mean that has the same 0.9 point."""
        return (_ninth(self) - self.mean) / NINE_IN_TEN


@cache
def _ninth(span: Span) -> float:
    """What an estimate does not pass nine times in ten, by adding up the density of its distribution."""
    wide = span.high - span.low
    if wide <= 0:
        return span.likely
    left, right = 4 * (span.likely - span.low) / wide, 4 * (span.high - span.likely) / wide
    places = [(n + 0.5) / STRIPS for n in range(STRIPS)]
    counted = list(accumulate(x**left * (1 - x) ** right for x in places))
    return span.low + wide * places[bisect(counted, 0.9 * counted[-1])]


@dataclass(frozen=True, slots=True)
class Estimate:
    """Minutes that add up: their ``mean``; what the host's paces of ``speech`` and of handwork ``on_camera`` that day
    may each add (minutes for one standard deviation of the pace, see `Span.shared`); and the ``variance`` of all that
    is independent.
    """

    mean: float
    speech: float = 0.0
    on_camera: float = 0.0
    variance: float = 0.0

    def __add__(self, other: Estimate) -> Estimate:
        return Estimate(
            self.mean + other.mean,
            self.speech + other.speech,
            self.on_camera + other.on_camera,
            self.variance + other.variance,
        )

    @property
    def deviation(self) -> float:
        """Standard deviation in minutes; the two paces do not depend on each other."""
        return sqrt(self.speech**2 + self.on_camera**2 + self.variance)

    @property
    def low(self) -> float:
        """What it is not below nine times in ten."""
        return max(0.0, self.mean - NINE_IN_TEN * self.deviation)

    @property
    def nine_in_ten(self) -> float:
        """What it does not pass nine times in ten."""
        return self.mean + NINE_IN_TEN * self.deviation


NO_TIME = Estimate(0.0)


def around(likely: float, low: float, high: float) -> Span:
    """Make an estimate from a likely value and its factors for low and high."""
    return Span(likely * low, likely, likely * high)


def longer(a: Span, b: Span) -> Span:
    """Give the estimate of two things that go on at once: the longer of the two at each point."""
    return Span(max(a.low, b.low), max(a.likely, b.likely), max(a.high, b.high))


def total(estimates: Iterable[Estimate]) -> Estimate:
    """Sum estimates of one host's day."""
    return sum(estimates, NO_TIME)
