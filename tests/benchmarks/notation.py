"""How long it takes to read and work a garment of 200 rounds and 300 stitches in five sizes.

`python -m tests.benchmarks.notation` prints it as JSON: in a new process (modules imported, but the parser still to be
built), and again with the lines already read. The allowance is 0.3 s for all counts of all sizes.
"""

from __future__ import annotations

import gc
import json
import time
import tracemalloc

SIZES = 5
STITCHES = (300, 320, 340, 360, 380)


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
    from lessonplan.__main__ import SWEEP_AFTER
    from lessonplan.needle.order.lines import work_lines
    from lessonplan.needle.stitch.live import Needle

    def work() -> None:
        total = 0
        for size, on in enumerate(STITCHES):
            worked = work_lines(garment(), Needle(on, ((200, ""),)), size=size, sizes=SIZES)
            errors = [problem for problem in worked.problems if problem.severity == "error"]
            assert not errors, errors[0]
            total += sum(each.times for each in worked.rounds)
        assert total == 200 * SIZES

    gc.set_threshold(SWEEP_AFTER)  # as the program itself does
    wall, processor = time.perf_counter(), time.process_time()
    work()
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    again = time.process_time()
    work()
    again = time.process_time() - again
    tracemalloc.start()
    work()
    return wall, processor, again, tracemalloc.get_traced_memory()[1]


if __name__ == "__main__":
    print(json.dumps(dict(zip(("wall", "new", "again", "peak"), timed(), strict=True))))
