"""Film in pictures how a whole small course is made at the desk: ``python -m tests.desk.film FOLDER`` (needs chromium).

The folder gets ``keys`` and ``fingers``: a picture of each step, by keyboard alone and by touch, on a screen of a
tablet's size; and the course's files as they are then, in ``keys course`` and ``fingers course``.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.desk.test_whole_course import Fingers, Keys, made

ROOT = Path(__file__).resolve().parents[2]


def main(folder: Path) -> None:
    """Make the course twice, filmed."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, by in (("keys", Keys), ("fingers", Fingers)):
            course = folder / f"{name} course"
            course.mkdir(parents=True)
            made(browser, ROOT, course, by, folder / name)
        browser.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve())
