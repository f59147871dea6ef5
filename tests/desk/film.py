"""Film in pictures how a whole small course is made at the desk: ``python -m tests.desk.film FOLDER`` (needs chromium).

The folder gets ``keys`` and ``fingers``: a picture of each step, by keyboard alone and by touch, on a screen of a
tablet's size; and the course's files as they are then, in ``keys course`` and ``fingers course``.
"""

from __future__ import annotations

import base64
import shutil
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from tests.desk.test_whole_course import Fingers, Keys, made

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).resolve().parents[2]
SOME = ("Course", "with a yarn", "30 rows", "adding a segment", "adding a piece", "planned")
"""The steps that a picture of the whole shows."""
STRIP = """<!doctype html><meta charset="utf-8"><title>Film</title><style>body { margin: 0; display: grid; gap: 8px;
grid-template-columns: repeat(3, 1fr); background: #8a7f6a } img { width: 100%; display: block }</style>"""


def strip(browser: Browser, picture: Path) -> None:
    """Film how the course is made by touch, and put some of the pictures side by side into one."""
    with tempfile.TemporaryDirectory() as home:
        film, course = Path(home) / "film", Path(home) / "course"
        course.mkdir()
        made(browser, ROOT, course, Fingers, film)
        taken = [next(iter(sorted(film.glob(f"[0-9][0-9] {step}.png")))).read_bytes() for step in SOME]
    page = browser.new_page(viewport={"width": 1016, "height": 976})
    images = (f'<img src="data:image/png;base64,{base64.b64encode(one).decode()}">' for one in taken)
    page.set_content(STRIP + "".join(images))
    page.screenshot(path=picture)
    page.close()


def main(folder: Path) -> None:
    """Make the course twice, filmed."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, by in (("keys", Keys), ("fingers", Fingers)):
            course = folder / f"{name} course"
            course.mkdir(parents=True)
            made(browser, ROOT, course, by, folder / name)
        browser.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve())
