"""The desk in a real browser, from Ctrl+S to the new words in the document that is looked at (needs chromium)."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from tests.benchmarks.courses import SAMPLE, many
from tests.benchmarks.measuring import ROOT, Row
from tests.desk.conftest import COMMAND

if TYPE_CHECKING:
    from playwright.sync_api import Page

FIVE = 5
"""So many times over the sample course has 210 shots."""
LOOKED = {
    "handout.html": ("pattern.yaml", "title: Ostrelby Mittens"),
    "run-sheet-1.html": ("episodes/*-cuff.yaml", "title: A tour of the mitten"),
    "editor-1.html": ("episodes/*-cuff.yaml", "title: A tour of the mitten"),
    "table-1.html": ("episodes/*-cuff.yaml", "title: A tour of the mitten"),
}
"""The documents that are looked at, each with the file that is edited and the line in it."""
SEEN = "iframe:not(.coming)"
EDIT = f"""([was, now, words]) => new Promise((done) => {{
  const text = document.getElementById('text');
  text.value = text.value.replace(was, now);
  text.dispatchEvent(new Event('input', {{bubbles: true}}));
  const begun = performance.now();
  document.dispatchEvent(new KeyboardEvent('keydown', {{key: 's', ctrlKey: true}}));
  const look = () => {{
    const page = document.querySelector('{SEEN}')?.contentDocument;
    if (page?.documentElement.textContent.includes(words)) done((performance.now() - begun) / 1000);
    else setTimeout(look, 2);
  }};
  look();
}})"""
TICK = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 100


def rows(runs: int) -> Iterator[Row]:
    """Edit the sample course and five of it, each document watched in turn: seconds by the clock and of the processor.

    Those of the processor are the desk's own and hold all that an edit sets off there, the remarks too; counted in
    hundredths, so that their mean over the runs is given.
    """
    from playwright.sync_api import sync_playwright

    with TemporaryDirectory() as home, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        one = Path(shutil.copytree(SAMPLE, f"{home}/one", ignore=shutil.ignore_patterns("out", ".*")))
        for what, course in (("the sample", one), (f"{42 * FIVE} shots", many(Path(home) / "five", FIVE))):
            with subprocess.Popen([*COMMAND, str(course)], cwd=ROOT, stdout=subprocess.PIPE, text=True) as running:
                assert running.stdout
                address = running.stdout.readline().split()[-1]
                page = browser.new_page(viewport={"width": 1280, "height": 900}, bypass_csp=True)
                page.goto(address)
                for name in LOOKED:
                    taken, spent = _watched(page, course, name, runs, running.pid)
                    yield Row(f"desk, {what}: Ctrl+S to the words in {name}, by the clock", taken, aim="0.5")
                    yield Row(f"— processor of the desk, remarks and all: {name}", [spent])
                page.close()
                running.terminate()


def _watched(page: Page, course: Path, name: str, runs: int, desk: int) -> tuple[list[float], float]:
    """Edit a line as many times, the document of a name beside it; the first edit is not counted."""
    pattern, line = LOOKED[name]
    path = sorted(course.glob(pattern))[0]
    file, original = path.relative_to(course).as_posix(), path.read_bytes()
    page.evaluate("name => sessionStorage.setItem('desk.looked', `/paper/${name}`)", name)
    page.goto(f"{page.url.split('/', 3)[0]}//{page.url.split('/')[2]}/file/{file}")
    page.wait_for_selector(SEEN)
    taken, before, begun = [], line, 0.0
    for run in range(runs + 1):
        page.wait_for_timeout(1500)  # what the edit before set off is done by then
        begun = _processor(desk) if run == 1 else begun
        now = f"{line}, once more {run}"
        taken.append(float(page.evaluate(EDIT, [before, now, f"once more {run}"])))
        before = now
    page.wait_for_timeout(1500)
    spent = (_processor(desk) - begun) / runs
    path.write_bytes(original)
    page.wait_for_timeout(1500)
    return taken[1:], spent


def _processor(process: int) -> float:
    """Give the seconds of the processor that a process took so far (proc(5): utime and stime)."""
    figures = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(figures[11]) + int(figures[12])) / TICK
