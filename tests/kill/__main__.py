"""Runs that are ended by SIGKILL at moments of chance: ``python -m tests.kill --count 500 --seed 1``.

It prints for each kind of run how many were tried, ended in time, had left something beside, and were wrong. With
``--disk 20`` the disk is also full from each of 20 steps of every kind of run on, and may only be read.
"""

from __future__ import annotations

import argparse
import errno
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Mapping
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from random import Random

from tests.kill.trial import RUNS, Kind, Outcome, prepared, refused, tried

_LOADED = (
    "lessonplan.cli", "lessonplan.building", "lessonplan.commands.making", "lessonplan.commands.happened",
    "lessonplan.commands.log", "lessonplan.planning.agreed.noting", "lessonplan.documents.takes",
    "lessonplan.planning.filmed.taking",
)  # fmt: skip


def refusals(ready: Mapping[str, Kind], home: Path, most: int) -> Iterator[str]:
    """Let the disk refuse from so many steps of each kind on; gives for each what is wrong (nothing: all holds)."""
    for name, kind in ready.items():
        for number in range(min(most, kind.steps)):
            yield refused(kind, home, 1 + number * kind.steps // min(most, kind.steps), errno.ENOSPC)
        if most:
            yield refused(ready[name], home, 1, errno.EROFS)


def outcomes(count: int, seed: int, home: Path, kinds: tuple[str, ...], ready: Mapping[str, Kind]) -> Iterator[Outcome]:
    """Try so many runs, the kinds in turns."""
    chance, before = Random(seed), dict[str, bytes]()
    if "desk" in kinds:
        from tests.kill.desk import desk_kind

        for name in ("uvicorn", "starlette.applications", "lessonplan.desk.site", "lessonplan.desk.command"):
            import_module(name)
        before = dict(desk_kind(home))
    for number in range(count):
        name = kinds[number % len(kinds)]
        if name == "desk":
            from tests.kill.desk import tried_desk

            yield tried_desk(before, home, chance)
        else:
            yield tried(ready[name], home, chance)


def main() -> int:
    """Try as many runs as asked for, and print what came of it."""
    wanted = argparse.ArgumentParser(prog="python -m tests.kill")
    wanted.add_argument("--count", type=int, default=500)
    wanted.add_argument("--seed", type=int, default=1)
    wanted.add_argument("--kinds", nargs="*", default=[*RUNS, *(["desk"] if find_spec("lessonplan.desk") else [])])
    wanted.add_argument("--disk", type=int, default=0)
    given = wanted.parse_args()
    begun, told = time.monotonic(), Counter[tuple[str, str]]()
    with tempfile.TemporaryDirectory() as home:
        for name in _LOADED:
            import_module(name)
        place = Path(home).resolve()
        ready = {name: prepared(name, place) for name in given.kinds if name in RUNS}
        full = list(refusals(ready, place, given.disk))
        for one in outcomes(given.count, given.seed, place, tuple(given.kinds), ready):
            told.update((one.kind, what) for what in ("tried",))
            told.update((one.kind, what) for what in ("killed", "done", "left", "wrong") if getattr(one, what))
            if one.wrong:
                print(one.wrong, flush=True)
    print("kind      tried  killed  was done  had leftovers  wrong")
    for kind in given.kinds:
        row = [told[kind, what] for what in ("tried", "killed", "done", "left", "wrong")]
        print("{:8}{:7}{:8}{:10}{:15}{:7}".format(kind, *row))
    wrong = sum(number for (_, what), number in told.items() if what == "wrong")
    killed = sum(number for (_, what), number in told.items() if what == "killed")
    print(f"{given.count} runs, {killed} killed, {wrong} wrong, {time.monotonic() - begun:.0f} s")
    if full:
        print(*filter(None, full), f"{len(full)} refusals of the disk, {sum(map(bool, full))} wrong", sep="\n")
    return int(bool(wrong) or any(full))


if __name__ == "__main__":
    sys.exit(main())
