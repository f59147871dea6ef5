"""Make the pictures of README.md from the sample course: ``python tests/pictures.py`` (needs chromium)."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

import lessonplan

ROOT = Path(__file__).resolve().parent.parent
PICTURES = {
    "step-samples": ("step-samples.html#each", 900, 760, 0),
    "run-sheet": ("run-sheet-1.html", 820, 640, 560),
    "handout": ("handout.html", 390, 640, 0),
}


def main() -> None:
    """Build the sample course and take each picture."""
    out = Path(tempfile.mkdtemp()) / "out"
    lessonplan.build(ROOT / "sample_course", out)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, (file, width, height, down) in PICTURES.items():
            page = browser.new_page(viewport={"width": width, "height": height})
            page.goto(out.as_uri() + "/" + file)
            page.evaluate(f"scrollBy(0, {down})")
            page.screenshot(path=ROOT / ".pictures" / f"{name}.png")
        browser.close()


if __name__ == "__main__":
    main()
