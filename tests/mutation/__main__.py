"""Plants small faults in the rooms of the house, one at a time, and says which of them no test notices.

``python -m tests.mutation shoot documents --count 30``: a room is a folder of ``lessonplan`` or a single module. All is
done in copies of the tree. Faults that only the golden pages notice are told apart: those pages say that something is
other than it was, not that it is wrong.
"""

from __future__ import annotations

import argparse
import compileall
import difflib
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import Queue

from tests.mutation.faults import Fault, faults
from tests.mutation.watch import GOLDEN, Seen

ROOT = Path(__file__).resolve().parents[2]
LEFT_OUT = ("tests/browser", "tests/benchmarks", "tests/test_wheel.py", "tests/test_mutation.py")
NOT_COPIED = (".git", ".venv*", "node_modules", "out", ".pictures", ".hypothesis", "*_cache", "__pycache__")
RESULTS = ("noticed", "golden pages only", "not noticed")


@dataclass(frozen=True, slots=True)
class Planted:
    """A fault planted in a file of a room, and what came of it."""

    room: str
    file: str
    fault: Fault
    original: str
    result: str
    tests: int


def rooms(package: Path) -> dict[str, list[Path]]:
    """Give every room by name, with its own files: folders (``shoot``, ``shoot/order``) and single modules."""
    found: dict[str, list[Path]] = {}
    for path in sorted(package.rglob("*.py")):
        folder = path.parent.relative_to(package).as_posix()
        found.setdefault(path.stem if folder == "." else folder, []).append(path)
    return found


def chosen(files: list[Path], count: int, seed: str) -> list[tuple[Path, Fault]]:
    """Choose faults at random: lines first, then a fault of each line, so that busy lines do not crowd out the rest."""
    dice = random.Random(seed)
    by_line: dict[tuple[Path, int], list[Fault]] = {}
    for path in files:
        for fault in faults(path.read_text(encoding="utf-8")):
            by_line.setdefault((path, fault.lines[0]), []).append(fault)
    places = dice.sample(sorted(by_line), min(count, len(by_line)))
    return [(path, dice.choice(by_line[path, line])) for path, line in places]


class Copy:
    """A copy of the tree in which tests are run."""

    def __init__(self, place: Path) -> None:
        self.root = place
        shutil.copytree(ROOT, place, ignore=shutil.ignore_patterns(*NOT_COPIED))
        compileall.compile_dir(place, quiet=2)

    def pytest(self, arguments: list[str], limit: float, *options: str, **environment: str) -> int:
        """Run pytest and give its status; it fails when it takes more than ``limit`` seconds of the processor.

        Seconds of the clock would count a fault as noticed because the machine was busy; they only end what hangs.
        """
        (self.root / "arguments").write_text("\n".join(arguments), encoding="utf-8")
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *options, "@arguments"]
        # No compiled files are written: a fault of the same length within the same second would not be seen.
        steady = {"PYTHONPATH": str(self.root), "CI": "1", "PYTHONDONTWRITEBYTECODE": "1"}
        with (self.root / "pytest.log").open("w", encoding="utf-8") as log:
            run = subprocess.Popen(
                command,
                cwd=self.root,
                env=os.environ | steady | environment,
                start_new_session=True,
                stdout=log,
                stderr=log,
            )
        resource.prlimit(run.pid, resource.RLIMIT_CPU, (int(limit), int(limit)))
        try:
            return run.wait(20 * limit)
        except subprocess.TimeoutExpired:
            os.killpg(run.pid, signal.SIGKILL)
            run.wait()
            return 1

    def notices(self, file: str, fault: Fault, tests: list[str], seconds: float) -> bool:
        """Plant a fault, run the tests until one fails, and take it out again."""
        if not tests:
            return False
        path = self.root / file
        original = path.read_bytes()
        for compiled in (path.parent / "__pycache__").glob(f"{path.stem}.*.pyc"):
            compiled.unlink()
        try:
            path.write_text(fault.source, encoding="utf-8")
            limit = 30 + 4 * seconds
            status = self.pytest(["-x", *tests], limit)
            if status == 4:  # a test of that name is not there any more: its cases come from the code
                status = self.pytest(["-x", *sorted({name.split("::")[0] for name in tests})], 60 + limit)
            return status != 0
        finally:
            path.write_bytes(original)


def watched(copies: list[Copy], files: list[str], places: list[str]) -> Seen:
    """Run the tests in these places once, a share in each copy, and see which lines each of them runs."""
    tests = sorted(path.relative_to(ROOT).as_posix() for path in (ROOT / "tests").rglob("test_*.py"))
    tests = [test for test in tests if test.startswith(tuple(places)) and not test.startswith(LEFT_OUT)]

    def share(number: int) -> list[Path]:
        copy, place = copies[number], copies[number].root
        environment = {
            "WATCH_FILES": os.pathsep.join(str(place / file) for file in files),
            "WATCH_OUT": str(place / "seen.json"),
        }
        copy.pytest(tests[number :: len(copies)], 1800, "-p", "tests.mutation.watch", **environment)
        if not (place / "seen.json").exists():
            sys.exit((place / "pytest.log").read_text(encoding="utf-8")[-4000:])
        text = (place / "seen.json").read_text(encoding="utf-8").replace(f"{place}{os.sep}", "")
        (place / "seen.json").write_text(text, encoding="utf-8")
        return [place / "seen.json"]

    with ThreadPoolExecutor(len(copies)) as pool:
        return Seen.read([path for paths in pool.map(share, range(len(copies))) for path in paths])


def planted(copy: Copy, seen: Seen, room: str, path: Path, fault: Fault, seconds: float) -> Planted:
    """Try one fault: first on the tests that hold a meaning, then on the golden pages."""
    file = path.relative_to(ROOT).as_posix()
    first, last, statement = fault.lines
    tests = seen.choose(file, [statement, *range(first, last + 1)])
    golden = [test for test in tests if test.startswith(GOLDEN)]
    others = seen.within([test for test in tests if not test.startswith(GOLDEN)], seconds)
    original = (copy.root / file).read_text(encoding="utf-8")
    if copy.notices(file, fault, others, seconds):
        result = RESULTS[0]
    else:
        result = RESULTS[1] if copy.notices(file, fault, golden, seconds) else RESULTS[2]
    return Planted(room, file, fault, original, result, len(others))


def told(one: Planted) -> str:
    """Word one fault: its place and fate, and what was changed when no test noticed."""
    head = f"{one.result}: {one.file}:{one.fault.lines[0]} {one.fault.what} ({one.tests} tests run it)"
    old, new = one.original.splitlines(), one.fault.source.splitlines()
    changed = list(difflib.unified_diff(old, new, n=0, lineterm=""))[3:]
    # What is swapped in a call is said already, and a call can be long.
    shown = one.result != RESULTS[0] and not one.fault.what.startswith("swapped")
    return "\n".join([head, *(f"    {line}" for line in changed if shown)])


def table(found: list[Planted]) -> str:
    """Count by room."""
    lines = [f"{'room':<16}{'faults':>8}" + "".join(f"{result:>19}" for result in RESULTS) + f"{'noticed %':>11}"]
    for room in dict.fromkeys(one.room for one in found):
        count = Counter(one.result for one in found if one.room == room)
        share = 100 * count[RESULTS[0]] / count.total()
        lines.append(f"{room:<16}{count.total():>8}" + "".join(f"{count[r]:>19}" for r in RESULTS) + f"{share:>11.0f}")
    return "\n".join(lines)


def main() -> None:
    """Run the command."""
    known = rooms(ROOT / "lessonplan")
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__.splitlines()[0])
    parser.add_argument("rooms", nargs="+", choices=known, metavar="ROOM", help=f"one of {', '.join(known)}")
    parser.add_argument("--count", type=int, default=30, help="faults in each room (30)")
    parser.add_argument("--seed", default="1", help="another seed plants other faults")
    parser.add_argument("--seconds", type=float, default=20, help="tests of so many seconds for each fault (20)")
    parser.add_argument("--tests", nargs="+", default=["tests/"], help="only the tests in these places (tests/)")
    parser.add_argument("--processes", type=int, default=2, help="copies worked in at the same time (2)")
    asked = parser.parse_args()
    start = time.perf_counter()
    files = [path.relative_to(ROOT).as_posix() for room in asked.rooms for path in known[room]]
    tasks = [
        (room, path, fault)
        for room in asked.rooms
        for path, fault in chosen(known[room], asked.count, f"{asked.seed}/{room}")
    ]
    with tempfile.TemporaryDirectory() as place, ThreadPoolExecutor(asked.processes) as pool:
        copies = [Copy(Path(place) / str(number)) for number in range(asked.processes)]
        seen = watched(copies, files, asked.tests)
        print(
            f"{len(seen.tests)} tests watched in {time.perf_counter() - start:.0f} s.",
            *seen.failed,
            sep="\n",
            flush=True,
        )
        free: Queue[Copy] = Queue()
        for copy in copies:
            free.put(copy)

        def attempt(task: tuple[str, Path, Fault]) -> Planted:
            copy = free.get()
            try:
                one = planted(copy, seen, *task, asked.seconds)
            finally:
                free.put(copy)
            print(told(one), flush=True)
            return one

        found = list(pool.map(attempt, tasks))
    print("", table(found), f"{time.perf_counter() - start:.0f} s in all.", sep="\n")


if __name__ == "__main__":
    main()
