"""Runs that are ended by SIGKILL at moments of chance: ``python -m tests.kill --count 500 --seed 1``.

It prints for each kind of run how many were tried, ended in time, had left something beside, and were wrong.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from random import Random

from tests.kill.trial import RUNS, Outcome, prepared, tried

_LOADED = (
    "lessonplan.cli", "lessonplan.building", "lessonplan.commands.making", "lessonplan.commands.happened",
    "lessonplan.commands.log", "lessonplan.planning.agree", "lessonplan.documents.takes", "lessonplan.planning.taking",
)  # fmt: skip


def outcomes(count: int, seed: int, home: Path, kinds: tuple[str, ...]) -> Iterator[Outcome]:
    """Try so many runs, the kinds in turns."""
    for name in _LOADED:
        import_module(name)
    chance = Random(seed)
    ready = {name: prepared(name, home) for name in kinds if name in RUNS}
    before = {}
    if "desk" in kinds:
        from tests.kill.desk import desk_kind

        for name in ("uvicorn", "starlette.applications", "lessonplan.desk.site", "lessonplan.desk.command"):
            import_module(name)
        before = desk_kind(home)
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
    given = wanted.parse_args()
    begun, told = time.monotonic(), Counter[tuple[str, str]]()
    with tempfile.TemporaryDirectory() as home:
        os.environ["XDG_CACHE_HOME"] = home
        for one in outcomes(given.count, given.seed, Path(home).resolve(), tuple(given.kinds)):
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
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main())
