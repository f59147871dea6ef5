"""Three-point estimates: low, likely and high minutes, and what a sum of them comes to.

A single estimate has the mean (low + 4 likely + high) / 6 and the standard deviation (high - low) / 6, the formulas of
PERT (Malcolm, Roseboom, Clark, Fazar: Application of a technique for research and development program evaluation,
Operations Research 7, 1959). Means and variances of independent estimates add up, and a sum of many is near to normal,
so that nine times in ten it stays below mean + 1.2816 deviations (the 0.9 point of the normal distribution).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt

NINE_IN_TEN = 1.2816
"""The point of the standard normal distribution that is not passed nine times in ten."""


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
        """Standard deviation, (high - low) / 6."""
        return (self.high - self.low) / 6


@dataclass(frozen=True, slots=True)
class Total:
    """A sum of estimates in minutes: expected, and the value that it stays below nine times in ten."""

    expected: float
    nine_in_ten: float


def around(likely: float, low: float, high: float) -> Span:
    """Make an estimate from a likely value and its factors for low and high."""
    return Span(likely * low, likely, likely * high)


def longer(a: Span, b: Span) -> Span:
    """Give the estimate of two things that go on at once: the longer of the two at each point."""
    return Span(max(a.low, b.low), max(a.likely, b.likely), max(a.high, b.high))


def total(spans: Iterable[Span]) -> Total:
    """Sum independent estimates: means add up, and so do variances."""
    mean = variance = 0.0
    for span in spans:
        mean += span.mean
        variance += span.deviation**2
    return Total(mean, mean + NINE_IN_TEN * sqrt(variance))
