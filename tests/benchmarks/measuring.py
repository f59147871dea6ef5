"""What the benchmarks share: processor time of new processes, medians and spread, the machine, one row of the table."""

from __future__ import annotations

import importlib.metadata
import json
import os
import platform
import statistics
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("highspy", "numpy", "pydantic", "typer", "Jinja2", "typst")


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table: what was measured, the figures of its runs in one unit, and what is aimed at."""

    what: str
    figures: Sequence[float]
    unit: str = "s"
    aim: str = ""

    def __str__(self) -> str:
        """Give the line: median, least and most, how many runs."""
        middle, least, most = statistics.median(self.figures), min(self.figures), max(self.figures)
        spread = f"{least:.3f} to {most:.3f}" if len(self.figures) > 1 else ""
        return f"| {self.what} | {middle:.3f} {self.unit} | {spread} | {len(self.figures)} | {self.aim} |"


HEAD = "| what | median | least to most | runs | aim |\n| --- | --- | --- | --- | --- |"


def machine() -> str:
    """Name processor, cores, load, Python and the libraries."""
    info = Path("/proc/cpuinfo")
    lines = info.read_text(encoding="utf-8").splitlines() if info.exists() else []
    chip = next((line.split(":")[1].strip() for line in lines if "model name" in line), platform.machine())
    versions = ", ".join(f"{package} {importlib.metadata.version(package)}" for package in PACKAGES)
    load = os.getloadavg()[0]
    return f"{chip}, {os.cpu_count()} cores, load {load:.1f}, Python {platform.python_version()}, {versions}"


def processes(commands: Sequence[Sequence[str]], runs: int) -> list[list[float]]:
    """Run each command ``runs`` times, in turn, so that what else the machine does falls on all alike.

    Gives the seconds of the processor, of the user and of the system, that each run of each command took. Bytecode is
    kept in a folder of its own, as an installed program has it, by one run that is not counted.
    """
    found: list[list[float]] = [[] for _ in commands]
    with TemporaryDirectory() as kept:
        for run in range(runs + 1):
            for place, command in enumerate(commands):
                spent = _spent(command, environment(kept))
                if run:
                    found[place].append(spent)
    return found


def environment(kept: str) -> dict[str, str]:
    """The environment of a measured process: the checkout on its path, its bytecode in a folder."""
    others = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**others, "PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": kept}


def _spent(command: Sequence[str], given: dict[str, str]) -> float:
    with subprocess.Popen(
        [sys.executable, *command], cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=given
    ) as process:
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, f"{command} ended with {process.returncode}"
    return used.ru_utime + used.ru_stime


def told(module: str, *given: str, runs: int) -> list[dict[str, Any]]:
    """Run a module of the benchmarks in new processes and read what each prints as JSON; the first is not counted."""
    found = []
    with TemporaryDirectory() as kept:
        for _ in range(runs + 1):
            command = [sys.executable, "-m", f"tests.benchmarks.{module}", *given]
            done = subprocess.run(command, cwd=ROOT, env=environment(kept), check=True, stdout=subprocess.PIPE)
            found.append(json.loads(done.stdout))
    return found[1:]
