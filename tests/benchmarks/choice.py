"""How long the choice of step samples takes: run by hand, `python -m tests.benchmarks.choice [--seeds 20]`.

Prints for made-up shoots of several sizes the median and the worst of the processor's seconds (one thread; other work
on the machine disturbs them less than the clock), how many plans were proven to be the cheapest, and the worst gap.
"""

from __future__ import annotations

import argparse
import statistics
import time
from dataclasses import dataclass

from lessonplan.samples.choice import Question
from lessonplan.samples.choice.choose import bound, choose
from tests.benchmarks.measuring import machine
from tests.benchmarks.shoots import shoot


@dataclass(frozen=True, slots=True)
class Case:
    """Shoots of one size: ``hands`` scales the helpers' time, ``waiting`` is what the camera may wait."""

    label: str
    count: int
    hands: float = 1.0
    waiting: float = 0.0


CASES = (
    Case("20, camera may wait", 20, waiting=5.0),
    Case("40", 40),
    Case("40, camera may wait", 40, waiting=5.0),
    Case("60", 60),
    Case("60, camera may wait", 60, waiting=5.0),
    Case("200, no helpers", 200, hands=0.0),
    Case("200", 200),
    Case("200, three times the hands", 200, hands=3.0),
)


def measured(question: Question) -> tuple[float, float, float]:
    """Processor seconds of the choice, and of the bound alone; and the gap that is left."""
    began = time.process_time()
    bound(question)
    least = time.process_time()
    gap = choose(question).gap
    return time.process_time() - least, least - began, gap


def main() -> None:
    """Print one line for each size."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=5, help="shoots of each size")
    asked = parser.parse_args()
    print(machine())
    print(f"{'appearances x 3 kinds':30} {'median':>8} {'worst':>8} {'bound':>8}  proven   worst gap")
    choose(shoot(10))  # imports and first calls are not what is measured
    for case in CASES:
        seeds = range(1, asked.seeds + 1)
        found = [measured(shoot(case.count, seed, waiting=case.waiting, capacity=case.hands)) for seed in seeds]
        whole, least, gaps = zip(*found, strict=True)
        print(
            f"{case.label:30} {statistics.median(whole):8.3f} {max(whole):8.3f} {statistics.median(least):8.3f}  "
            f"{sum(gap == 0 for gap in gaps)} of {len(gaps)}   {max(gaps):.1%}",
            flush=True,
        )


if __name__ == "__main__":
    main()
