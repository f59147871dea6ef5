"""Make the pictures of README.md from the sample course: ``python -m tests.pictures`` (needs chromium).

Beside the pictures stand digests of the pages that they show, as the golden pages keep them; a test compares them, so
that no picture stays as it was when its page has changed.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import lessonplan

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / ".pictures"
DIGESTS = FOLDER / "pages.json"
PICTURES = {
    "step-samples": ("step-samples.html#each", 900, 760, 0),
    "run-sheet": ("run-sheet-1.html", 820, 640, 560),
    "handout": ("handout.html", 390, 640, 0),
}
"""Each picture: its page, the window's width and height, how far down it is scrolled."""
DESK = ("base.html.j2", "form.html.j2", "fields.html.j2", "desk.css", "form.css")
"""What the pictures of the desk hang on, in ``templates/desk``: a shot beside the handout, a course being made."""


def digests() -> Mapping[str, str]:
    """Give for each picture the digest of its page and the styles of that, as the golden pages keep them."""
    kept = ROOT / "tests" / "golden"
    found = {}
    for name, (page, *_) in PICTURES.items():
        text = (kept / "sample_course" / f"{page.partition('#')[0]}.txt").read_bytes()
        styles = [path.read_bytes() for path in sorted((kept / "shared").glob("*.css")) if path.name.encode() in text]
        found[name] = hashlib.sha256(b"\n".join([text, *styles])).hexdigest()
    desk = hashlib.sha256(b"\n".join((ROOT / "templates" / "desk" / name).read_bytes() for name in DESK)).hexdigest()
    return {**found, "desk": desk, "made": desk}


def desk(browser: Browser) -> None:
    """Take the picture of the desk: it is served, and gone to as a teacher would."""
    from tests.desk.conftest import desk_on

    course = Path(tempfile.mkdtemp()) / "mittens"
    shutil.copytree(ROOT / "sample_course", course, ignore=shutil.ignore_patterns("out"))
    page = browser.new_page(viewport={"width": 1280, "height": 860})
    with desk_on(ROOT, course) as served:
        page.goto(served.address)
        page.get_by_role("link", name=re.compile(r"^1\.2\.1 ")).click()
        page.wait_for_selector("iframe:not(.coming)")
        page.frame_locator("iframe:not(.coming)").locator("h1").wait_for()
        page.wait_for_selector("#state:text-matches('^Planned; [^l]')")
        page.screenshot(path=FOLDER / "desk.png")


def main() -> None:
    """Build the sample course, take each picture, and keep the digests of their pages."""
    from playwright.sync_api import sync_playwright

    from tests.desk.film import strip

    out = Path(tempfile.mkdtemp()) / "out"
    lessonplan.build(ROOT / "sample_course", out)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, (file, width, height, down) in PICTURES.items():
            page = browser.new_page(viewport={"width": width, "height": height})
            page.goto(out.as_uri() + "/" + file)
            page.evaluate(f"scrollBy(0, {down})")
            page.screenshot(path=FOLDER / f"{name}.png")
        desk(browser)
        strip(browser, FOLDER / "made.png")
        browser.close()
    DIGESTS.write_text(json.dumps(digests(), indent=1) + "\n")


if __name__ == "__main__":
    main()
