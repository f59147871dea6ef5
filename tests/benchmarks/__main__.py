"""All benchmarks in one table: ``python -m tests.benchmarks [GROUP ...] [--runs N] [--long]``.

Seconds are the processor's (user and system), of new processes unless it says otherwise: the clock on the wall tells of
what else the machine does. ``--long`` adds the course 100 times over and the choices of 200 appearances.
"""

from __future__ import annotations

import argparse
import gc
import math
import shutil
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from lessonplan.__main__ import SWEEP_AFTER
from lessonplan.building import Papers
from lessonplan.planning.plan import plan
from lessonplan.samples.choice import Question
from tests.benchmarks import alignment, choice, desk, proof
from tests.benchmarks.building import FLOOR
from tests.benchmarks.courses import SAMPLE, many
from tests.benchmarks.measuring import HEAD, Row, machine, processes, told
from tests.benchmarks.shoots import shoot

PROGRAM = ("-m", "lessonplan")
Group = Callable[[int, bool], Iterator[Row]]


def start(runs: int, _: bool) -> Iterator[Row]:
    """Bare Python, the program's help, and the commands that read a course."""
    course = str(SAMPLE)
    bare, usage, *others = processes(
        (
            ("-c", "pass"),
            (*PROGRAM, "--help"),
            *((*PROGRAM, name, course) for name in ("check", "facts", "times", "samples")),
        ),
        runs,
    )
    yield Row("Python that does nothing", bare)
    yield Row("`--help`", usage)
    yield Row("`--help` against bare Python", [one / other for one, other in zip(usage, bare, strict=True)], "×", "6")
    for name, figures in zip(("check", "facts", "times", "samples"), others, strict=True):
        yield Row(f"`{name} sample_course`", figures, aim="0.7" if name == "check" else "")


def build(runs: int, _: bool) -> Iterator[Row]:
    """The build, whole and by step, against its floor; typst alone is its last step."""
    with TemporaryDirectory() as folder:
        (whole,) = processes([(*PROGRAM, "build", str(SAMPLE), "--out", f"{folder}/out")], runs)
    yield Row("`build sample_course`", whole)
    every = told("building", runs=runs)
    for name in every[0]:
        yield Row(f"— {name}", [one[name] for one in every])
    without = [sum(one.values()) - one["PDFs"] for one in every]
    floor = [sum(one[name] for name in FLOOR) for one in every]
    yield Row("build without PDFs", without, aim="1")
    yield Row(f"its floor: {', '.join(FLOOR)}", floor)
    ratios = [one / other for one, other in zip(without, floor, strict=True)]
    yield Row("build without PDFs against its floor", ratios, "×", "1.5")


def courses(runs: int, long: bool) -> Iterator[Row]:
    """The sample course 1, 10 and 100 times over, by step, with the power of its size with which each step grows."""
    sizes = (1, 10, 100) if long else (1, 10)
    steps: dict[int, list[dict[str, list[float]]]] = {}
    for times in sizes:
        with TemporaryDirectory() as folder:
            given = [str(many(Path(folder), times)), *(["--choose"] if times <= 10 else [])]
            steps[times] = told("courses", *given, runs=1 if times > 1 else runs)
        for name in steps[times][0]:
            taken = [one[name][0] for one in steps[times]]
            yield Row(f"{times} × the sample: {name} ({steps[times][0][name][1]} MB so far)", taken)
    for name in steps[1][0]:
        with_it = [times for times in sizes if name in steps[times][0]]
        least, most = (statistics.median(one[name][0] for one in steps[with_it[end]]) for end in (0, -1))
        power = math.log(most / least) / math.log(with_it[-1] / with_it[0])
        aim = "none" if "choice" in name else "1.1"
        yield Row(f"{name}: grows from 1 to {with_it[-1]} × with the power", [power], "", aim)


def choices(runs: int, long: bool) -> Iterator[Row]:
    """The exact choice: of the sample, and of made-up shoots of which each is measured once."""
    worked = plan(SAMPLE).worked
    assert worked
    yield Row("choice, the sample course (imports done)", [_chosen(worked.question)[0] for _ in range(runs)], aim="0.3")
    yield from _of_shoots("40 appearances, helpers, the camera may wait", "2.5 at most", 40, 20, waiting=5.0)
    if long:
        yield from _of_shoots("200 appearances, scarce hands", "20, gap under 2 %", 200, 5)


def _of_shoots(what: str, aim: str, count: int, shoots: int, *, waiting: float = 0.0) -> Iterator[Row]:
    found = [_chosen(shoot(count, seed, waiting=waiting)) for seed in range(1, shoots + 1)]
    gap = max(gap for _, gap in found)
    proven = sum(gap == 0 for _, gap in found)
    told_of = f"choice, {what} ({proven} of {shoots} proven, gap {gap:.1%} at most)"
    yield Row(told_of, [seconds for seconds, _ in found], aim=aim)


def _chosen(question: Question) -> tuple[float, float]:
    seconds, _, gap = choice.measured(question)
    return seconds, gap


def readers(runs: int, _: bool) -> Iterator[Row]:
    """Lines worked, an hour of captions proofed and aligned."""
    every = told("notation", runs=runs)
    yield Row("200 rounds of 300 to 380 stitches in 5 sizes, new process", [one["new"] for one in every], aim="0.3")
    yield Row("the same, its lines known", [one["again"] for one in every])
    gc.set_threshold(SWEEP_AFTER)  # as the program itself does
    proofed, steps = proof.seconds(runs), alignment.seconds(runs)
    yield Row("an hour of captions proofed", proofed)
    for name, figures in steps.items():
        yield Row(f"an hour of captions: {name}", figures)
    together = [sum(each) for each in zip(proofed, steps["cut list"], steps["alignment"], strict=True)]
    yield Row("proof, cut list and alignment together", together, aim="0.3")


def again(runs: int, _: bool) -> Iterator[Row]:
    """A process that stays: words of a shot edited, the course planned again, one page rendered."""
    with TemporaryDirectory() as folder:
        course = Path(shutil.copytree(SAMPLE, f"{folder}/course"))
        for name in ("handout.html", "run-sheet-1.html", "editor-2.html", "index.html"):
            figures = [_edited(course, name, run) for run in range(runs + 1)]
            yield Row(f"a word edited in a process that stays: {name}", figures[1:], aim="0.5")


def _edited(course: Path, name: str, run: int) -> float:
    path = course / "episodes" / "01-cuff.yaml"
    original = (SAMPLE / "episodes" / path.name).read_text(encoding="utf-8")
    changed = original.replace("Hello, and come in", f"Hello {name} {run}, and come in", 1)
    assert changed != original
    path.write_text(changed, encoding="utf-8")
    begun = time.process_time()
    planned = plan(course).plan
    assert planned
    Papers(planned).html(name)
    return time.process_time() - begun


def live(runs: int, _: bool) -> Iterator[Row]:
    """The desk in a browser: a save, and the document that is looked at; by the clock, so on a quiet machine."""
    yield from desk.rows(runs)


GROUPS: dict[str, Group] = {
    "start": start,
    "build": build,
    "again": again,
    "desk": live,
    "choices": choices,
    "readers": readers,
    "courses": courses,
}


def main() -> None:
    """Print the table, row by row as it is measured."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("groups", nargs="*", metavar="GROUP", help=f"of {', '.join(GROUPS)}; all unless named")
    parser.add_argument("--runs", type=int, default=5, help="runs of each (default: 5)")
    parser.add_argument("--long", action="store_true", help="also what takes minutes")
    asked = parser.parse_args()
    if unknown := {*asked.groups} - {*GROUPS}:
        parser.error(f"there is no group {', '.join(sorted(unknown))}")
    print(machine(), "", HEAD, sep="\n", flush=True)
    for name in asked.groups or GROUPS:
        for row in GROUPS[name](asked.runs, asked.long):
            print(row, flush=True)


if __name__ == "__main__":
    main()
