"""Random courses, built and walked through: ``python -m tests.walk.variations --count 1000 --seed 1``.

A variation is a course with some changes, all drawn from its number, so that it can be had again. ``--shrink`` leaves
out, for each one that fails, all changes without which it still fails in the same way.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

import lessonplan
from tests.walk.check import faults_in, rounds_in
from tests.walk.edits import EDITS, Files

ROOT = Path(__file__).resolve().parent.parent.parent
COURSES = (ROOT / "sample_course", ROOT / "tests/courses/hat", ROOT / "tests/courses/bookbinding")
TURNS = (0, 1, 0, 2)
"""Which course each variation in turn is of: half are of the largest."""


@dataclass(frozen=True)
class Outcome:
    """``refused``: what the program says instead of planning; ``faults``: what the walk found, sort and sentence."""

    changes: tuple[str, ...]
    refused: tuple[str, ...]
    faults: tuple[tuple[str, str], ...]


Edit = Callable[[Files, Random], str]


def drawn(number: int) -> tuple[Path, list[Edit]]:
    """The course that a variation is of, and its changes: most of them, at least one."""
    lot = Random(number)
    return COURSES[TURNS[number % len(TURNS)]], [edit for edit in EDITS if lot.random() < 0.6] or [EDITS[1]]


def tried(number: int, source: Path, edits: Sequence[Edit], keep: Path | None = None) -> Outcome:
    """Make a variation, build it, and walk through its pages."""
    with tempfile.TemporaryDirectory() as made:
        folder, out = (keep or Path(made)) / "course", (keep or Path(made)) / "out"
        files = Files.read(source)
        changes = tuple(filter(None, (edit(files, Random(f"{number} {edit.__name__}")) for edit in edits)))
        files.write(folder)
        result = lessonplan.build(folder, out)
        if result.plan is None:
            errors = tuple(str(one) for one in result.problems if one.severity == "error")
            return Outcome(changes, errors, ())
        return Outcome(changes, (), tuple(faults_in(folder, out, rounds_in(result.plan.worked))))


def shrunk(number: int, source: Path, edits: list[Edit], sort: str) -> Outcome:
    """The same fault with as few changes as can be."""
    best = tried(number, source, edits)
    for edit in list(edits):
        fewer = [one for one in edits if one is not edit]
        outcome = tried(number, source, fewer)
        if any(one[0] == sort for one in outcome.faults):
            edits, best = fewer, outcome
    return best


def told(number: int, source: Path, outcome: Outcome, shrink: bool) -> Iterator[str]:
    """What is to be said of a variation that failed."""
    for sort in dict.fromkeys(one[0] for one in outcome.faults):
        small = shrunk(number, source, drawn(number)[1], sort) if shrink else outcome
        yield f"{number} ({source.name}): {sort}"
        yield from (f"    {text}" for one, text in small.faults if one == sort)
        yield from (f"    with {change}" for change in small.changes)


def main() -> int:
    """Walk through many variations, and tell what failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000, help="how many variations")
    parser.add_argument("--seed", type=int, default=0, help="the number of the first one")
    parser.add_argument("--shrink", action="store_true", help="find the least changes for each that fails")
    parser.add_argument("--keep", type=Path, help="write the course and the pages of the (only) variation here")
    given = parser.parse_args()
    walked, failed, refused, sorts = 0, 0, Counter[str](), Counter[str]()
    for number in range(given.seed, given.seed + given.count):
        if number % 50 == 0:
            print(f"from {number}: {walked} walked, {failed} with faults so far", file=sys.stderr, flush=True)
        source, edits = drawn(number)
        try:
            outcome = tried(number, source, edits, given.keep)
        except Exception as bad:  # what the program must never do, told like any other fault
            outcome = Outcome((), (), ((f"crash {type(bad).__name__}", str(bad)),))
        if outcome.refused:
            refused[outcome.refused[0].split(": ", 1)[-1][:110]] += 1
            continue
        walked += 1
        failed += bool(outcome.faults)
        sorts.update({one[0] for one in outcome.faults})
        for line in told(number, source, outcome, given.shrink):
            print(line, flush=True)
    print(f"{walked} walked, {failed} with faults {dict(sorts)}; {sum(refused.values())} refused by the program")
    for text, count in refused.most_common():
        print(f"  {count}: {text}")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
