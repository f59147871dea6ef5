"""How long it takes to read and work a garment of 200 rounds and 300 stitches in five sizes; run by hand.

`python tests/benchmarks/notation.py` prints medians: in a new process (modules imported, but the parser still to be
built), and again with the lines already read. The allowance is 0.3 s for all counts of all sizes.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
import tracemalloc
from pathlib import Path

SIZES = 5
STITCHES = (300, 320, 340, 360, 380)
RUNS = 7
HERE = Path(__file__).resolve().parent
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(HERE.parents[1])}
"""The probe runs beside this file: a path from where the benchmark was begun would not lead to the package."""
PROBE = "import notation; print(*notation.timed())"


def garment() -> list[str]:
    """200 lines of a top-down yoke and body, the shaping rounds all different, every number for five sizes."""
    texts = []
    for number in range(1, 101):
        a, b = number % 50 + 2, number % 5 + 3
        own = f"{a} ({a + 1}, {a + 2}, {a + 3}, {a + 4})"
        if number % 3 == 0:
            shaped = f"K{own}, ssk, *k1, p1; rep from * {a + 30} times more, k to end"
        elif number % 3 == 1:
            shaped = f"K{own}, m1L, k to last {b} sts, m1R, k{b}"
        else:
            shaped = f"K{own}, k2tog, k to 3 sts before marker, k2tog, k1, sm, k1, ssk, [yo, k2tog] {b} times, k to end"
        texts += [f"Rnd {2 * number - 1}: {shaped}", f"Rnd {2 * number}: Knit."]
    return texts


def timed() -> tuple[float, float, float, float]:
    """Reading and working all sizes: seconds by the wall clock, of the processor, of the processor the second time.

    The fourth value is the peak number of bytes of the second time.
    """
    from lessonplan.needle.decided.line import Needle
    from lessonplan.needle.order.lines import work_lines

    def work() -> None:
        total = 0
        for size, on in enumerate(STITCHES):
            worked = work_lines(garment(), Needle(on, ((200, ""),)), size=size, sizes=SIZES)
            errors = [problem for problem in worked.problems if problem.severity == "error"]
            assert not errors, errors[0]
            total += sum(each.times for each in worked.rounds)
        assert total == 200 * SIZES

    wall, processor = time.perf_counter(), time.process_time()
    work()
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    again = time.process_time()
    work()
    again = time.process_time() - again
    tracemalloc.start()
    work()
    return wall, processor, again, tracemalloc.get_traced_memory()[1]


def main() -> None:
    """Print the table."""
    rows = []
    for _ in range(RUNS):
        done = subprocess.run(
            [sys.executable, "-c", PROBE], cwd=HERE, check=True, stdout=subprocess.PIPE, text=True, env=ENVIRONMENT
        )
        rows.append([float(each) for each in done.stdout.split()])
    wall, processor, again, peak = (statistics.median(column) for column in zip(*rows, strict=True))
    print(f"200 rounds, {STITCHES[0]} to {STITCHES[-1]} stitches, {SIZES} sizes; medians of {RUNS} processes")
    print(f"read and worked, new process  {wall * 1000:7.1f} ms by the clock   (allowed 300 on an idle machine)")
    print(f"                              {processor * 1000:7.1f} ms of processor time")
    print(f"worked again, lines known     {again * 1000:7.1f} ms of processor time")
    print(f"peak memory of working again  {peak / 1024:7.1f} KiB")


if __name__ == "__main__":
    main()
