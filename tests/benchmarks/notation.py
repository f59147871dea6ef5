"""How long it takes to read and work a garment of 200 rounds and 300 stitches in five sizes; run by hand.

`python tests/benchmarks/notation.py` prints medians: in a new process (modules imported, but the parser still to be
built), and again with the lines already read. The allowance is 0.3 s for all counts of all sizes.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
import tracemalloc

SIZES = 5
STITCHES = (300, 320, 340, 360, 380)
RUNS = 7
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


def timed() -> tuple[float, float, int]:
    """Seconds to read and work all sizes, seconds to work them again, and peak bytes of the second."""
    from lessonplan.craft.lines import work_lines
    from lessonplan.craft.working import Needle

    def work() -> int:
        total = 0
        for size, on in enumerate(STITCHES):
            worked = work_lines(garment(), Needle(on, ((200, ""),)), size=size, sizes=SIZES)
            errors = [problem for problem in worked.problems if problem.severity == "error"]
            assert not errors, errors[0]
            total += sum(each.times for each in worked.rounds)
        assert total == 200 * SIZES
        return total

    start = time.perf_counter()
    work()
    first = time.perf_counter() - start
    start = time.perf_counter()
    work()
    second = time.perf_counter() - start
    tracemalloc.start()
    work()
    peak = tracemalloc.get_traced_memory()[1]
    return first, second, peak


def main() -> None:
    """Print the table."""
    rows = []
    for _ in range(RUNS):
        done = subprocess.run(
            [sys.executable, "-c", PROBE], cwd=__file__.rsplit("/", 1)[0], check=True, capture_output=True, text=True
        )
        rows.append([float(each) for each in done.stdout.split()])
    first, second, peak = (statistics.median(column) for column in zip(*rows, strict=True))
    print(f"200 rounds, {STITCHES[0]} to {STITCHES[-1]} stitches, {SIZES} sizes; medians of {RUNS} processes")
    print(f"read and worked, new process  {first * 1000:8.1f} ms   (allowed 300)")
    print(f"worked again, lines known     {second * 1000:8.1f} ms")
    print(f"peak memory of working again  {peak / 1024:8.1f} KiB")


if __name__ == "__main__":
    main()
