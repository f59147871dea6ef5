"""How long the choice of step samples takes: run by hand, `python -m tests.benchmarks.choice [--full]`.

Three ways to the same proven optimum of the same made-up shoots: the program's own choice, the plain
formulation with a column for each pair (HiGHS), and that formulation in CP-SAT (OR-tools, if installed),
with minutes in tenths. Prints medians and spread of wall time over several shoots, and the median of the
processor's time, which other work on the machine disturbs less (all ways use one thread); what is not
solved to proven optimum within the limit is counted, not hidden.
"""

from __future__ import annotations

import argparse
import importlib.metadata
import os
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from lessonplan.samples.choice import Problem, choose_problem
from tests.benchmarks.shoots import shoot
from tests.samples.pairwise import pairwise, solve_pairwise

Run = Callable[[Problem, float], tuple[float, bool]]
"""Cost found, and whether it is proven to be the least, within so many seconds."""


@dataclass(frozen=True, slots=True)
class Case:
    """Shoots of one size: ``hands`` scales the helpers' time, ``waiting`` is what the camera may wait."""

    label: str
    count: int
    hands: float = 1.0
    waiting: float = 0.0


CASES = (
    Case("20, camera may wait", 20, waiting=5.0),
    Case("40, camera may wait", 40, waiting=5.0),
    Case("60", 60),
    Case("60, camera may wait", 60, waiting=5.0),
    Case("200, no helpers", 200, hands=0.0),
    Case("200", 200),
    Case("200, three times the hands", 200, hands=3.0),
    Case("1000, no helpers", 1000, hands=0.0),
    Case("1000", 1000),
    Case("1000, three times the hands", 1000, hands=3.0),
)


def own(problem: Problem, limit: float) -> tuple[float, bool]:
    """The program's own way."""
    answer = choose_problem(problem, time_limit=limit)
    return answer.cost, answer.optimal


def plain(problem: Problem, limit: float) -> tuple[float, bool]:
    """A column for each pair, in HiGHS."""
    solved = solve_pairwise(problem, limit)
    return solved.objective, solved.optimal


def cp_sat(problem: Problem, limit: float) -> tuple[float, bool]:
    """The same columns and rows in CP-SAT, one worker; continuous columns in tenths of a minute."""
    from ortools.sat.python import cp_model

    model, _ = pairwise(problem)
    scale = 10
    cp = cp_model.CpModel()
    units = [1 if whole else scale for whole in model.integer]
    columns = [
        cp.new_int_var(round(low * unit), round(high * unit), "")
        for low, high, unit in zip(model.low, model.high, units, strict=True)
    ]
    for row, (low, high) in enumerate(zip(model.row_low, model.row_high, strict=True)):
        span = range(model.starts[row], model.starts[row + 1])
        terms = [
            columns[model.columns[n]] * round(model.values[n] * scale * scale / units[model.columns[n]]) for n in span
        ]
        least = round(low * scale * scale) if low > -1e12 else -(10**15)
        most = round(high * scale * scale) if high < 1e12 else 10**15
        if terms:
            cp.add_linear_constraint(sum(terms), least, most)
    costs = [round(cost * 100 * scale / unit) for cost, unit in zip(model.cost, units, strict=True)]
    cp.minimize(sum(c * x for c, x in zip(costs, columns, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit
    solver.parameters.num_workers = 1
    status = solver.solve(cp)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (solver.objective_value / 1000 if found else float("inf")), status == cp_model.OPTIMAL


def measure(run: Run, case: Case, seeds: range, limit: float) -> tuple[list[float], list[float], list[float], int]:
    """Seconds and processor seconds of each shoot, the cost of each (nan when not proven), and how many were proven."""
    seconds, busy, costs, proven = [], [], [], 0
    for seed in seeds:
        problem = shoot(case.count, seed, waiting=case.waiting, capacity=case.hands)
        began, worked = time.perf_counter(), time.process_time()
        cost, optimal = run(problem, limit)
        seconds.append(time.perf_counter() - began)
        busy.append(time.process_time() - worked)
        costs.append(cost if optimal else float("nan"))
        proven += optimal
    return seconds, busy, costs, proven


def machine() -> str:
    """Processor, cores, load, Python and solver versions."""
    info = Path("/proc/cpuinfo")
    names = [line.split(":")[1].strip() for line in info.read_text().splitlines() if "model name" in line]
    versions = []
    for package in ("highspy", "numpy", "ortools"):
        try:
            versions.append(f"{package} {importlib.metadata.version(package)}")
        except importlib.metadata.PackageNotFoundError:
            versions.append(f"no {package}")
    load = os.getloadavg()[0]
    chip = names[0] if names else platform.machine()
    return f"{chip}, {os.cpu_count()} cores, load {load:.1f}, Python {platform.python_version()}, {', '.join(versions)}"


def main() -> None:
    """Print one line for each size and way."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help="plain and CP-SAT also at 60 appearances")
    parser.add_argument("--own", action="store_true", help="the program's own way only")
    parser.add_argument("--limit", type=float, default=30.0, help="seconds for each shoot")
    parser.add_argument("--seeds", type=int, default=5, help="shoots of each size")
    asked = parser.parse_args()
    print(machine())
    print(
        f"{'appearances x 3 kinds':30} {'way':10} {'median s':>9} {'least':>8} {'most':>8} {'median cpu s':>13}  proven"
    )
    choose_problem(shoot(10))  # imports and first calls are not what is measured
    for case in CASES:
        ways: list[tuple[str, Run]] = [("own", own)]
        if not asked.own and case.count <= (60 if asked.full else 40):
            ways += [("pairwise", plain), ("CP-SAT", cp_sat)]
        reference: list[float] = []
        for name, run in ways:
            seconds, busy, costs, proven = measure(run, case, range(1, asked.seeds + 1), asked.limit)
            reference = reference or costs
            odd = sum(abs(a - b) > 0.002 * a for a, b in zip(reference, costs, strict=True))
            note = f", {odd} other costs" if odd else ""
            print(
                f"{case.label:30} {name:10} {statistics.median(seconds):9.3f} {min(seconds):8.3f} "
                f"{max(seconds):8.3f} {statistics.median(busy):13.3f}  {proven} of {len(seconds)}{note}",
                flush=True,
            )


if __name__ == "__main__":
    main()
