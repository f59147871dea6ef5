"""A whole small course made at the desk from an empty folder, by one who knows no address and no file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from lessonplan.cli import app
from tests.desk.conftest import desk_on
from tests.waiting import LONG, until, within

if TYPE_CHECKING:
    from playwright.sync_api import Browser, ElementHandle, Page, ViewportSize

COURSE = """\
# The course as a whole: who teaches it, who makes the step samples, and when it is filmed.

title: A Garter Coaster
host: Tove Marrowby
summary: A first square of garter stitch.

tools:
  needles:
    what: 4 mm needles

knitters:
  - name: Odalys Pekk

shoot:
  - day: 2027-02-13
    films: 1
"""
PATTERN = """\
# The pattern. Every number that is said, shown or printed comes from here, so it stands here only once.
# A value for all sizes is written as patterns print it: 40 (44, 48).

title: Garter Coaster

sizes:
  - name: one size

gauge:
  stitches: 18
  rounds: 32
  fabric: garter stitch, washed

needles:
  - 4 mm

yarns:
  A:
    name: Harbour Cotton
    colour: oatmeal
    metres: 85
    grams: 50

stages:
  edge:
    title: Cast-on edge
    works:
      - cast_on: 16

  square:
    title: The square
    after: edge
    works:
      - rows: 30
        lines:
          - Knit
      - bind_off: all
"""
EPISODE = """\
# An episode: its segments, each with its shots in the order of the story.

episode: 1
title: A Coaster in an Evening

segments:
  - title: Welcome
    shots:
      - view: face
        pieces:
          - needs: finished
        say: Tonight you knit your first square.

  - title: Knit every row
    shots:
      - view: overhead
        pieces:
          - needs: nothing
            leaves: edge
        hands:
          - do: cast on slowly
            time: 40 s
        say: "Cast on {{ edge.cast_on }} stitches: no more."

      - view: overhead
        pieces:
          - needs: edge
"""
NAMED = """one => (one.labels?.[0] ?? one).textContent.replace(/\\s+/g, ' ').trim().replace(/ needed$/, '')"""
NEXT = f"""name => {{
  const all = [...document.querySelectorAll('a, button, summary, input, select, textarea')];
  const fits = all.filter((one) => one.checkVisibility() && ({NAMED})(one) === name);
  const after = (one) => document.activeElement.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING;
  return fits.find(after) ?? fits[0]; }}"""


class Keys:
    """One who has a keyboard: goes from control to control by the key Tab, knowing what they are called."""

    def __init__(self, page: Page, film: Path | None = None) -> None:
        self.page, self.film, self.taken = page, film, 0

    def picture(self, what: str) -> None:
        """Take a picture of what is seen now, where it is filmed."""
        self.taken += 1
        if self.film:
            self.page.screenshot(path=self.film / f"{self.taken:02} {what}.png")

    def to(self, name: str) -> None:
        for _ in range(300):  # it may come while the page is gone through
            self.page.keyboard.press("Tab")
            if self.page.evaluate(f"({NAMED})(document.activeElement)") == name:
                return
        raise AssertionError(name)

    def type(self, name: str, text: str) -> None:
        """Type into a field, and look whether it took it; what was typed as a page was renewed is typed again."""
        for _ in range(3):
            self.to(name)
            self.page.keyboard.type(text)
            if self.page.evaluate("document.activeElement?.value"):
                return

    choose = type

    def press(self, name: str) -> None:
        self.to(name)
        self.page.keyboard.press("Enter")


class Fingers(Keys):
    """One who has a tablet: taps on what is seen, and types what the field then takes."""

    def to(self, name: str) -> None:
        self._next(name).tap()

    def choose(self, name: str, text: str) -> None:
        self._next(name).select_option(label=text)

    def _next(self, name: str) -> ElementHandle:
        found = self.page.wait_for_function(NEXT, arg=name).as_element()
        assert found, name
        return found

    def press(self, name: str) -> None:
        self.to(name)


def make(by: Keys) -> None:
    """Make the course above."""

    def page_of(name: str, *after: str) -> None:
        by.picture(f"before {name}")
        with by.page.expect_navigation():
            by.press(name)
        by.page.wait_for_load_state()
        by.picture(name)

    def add(what: str, *typed: tuple[str, str]) -> None:
        """Fill in what a new entry is asked for, and add it: its place has the focus then."""
        for name, text in typed:
            by.type(name, text)
        by.picture(f"adding {what}")

        def there() -> bool:
            """Whether the new entry has come; one who taps on what was just moved away by a page renewed taps again."""
            by.press(f"Add {what}")
            return within(LONG, lambda: bool(by.page.evaluate("document.activeElement?.matches('li')")), by.page)

        assert any(there() for _ in range(3)), by.page.inner_text("body")
        by.picture(f"with {what}")

    def from_outline(name: str) -> None:
        by.press("The whole course")
        page_of(name)

    by.press("Or begin with nothing, and fill in everything yourself")
    page_of("Course")
    for name, text in (("Title", "A Garter Coaster"), ("Host", "Tove Marrowby")):
        by.type(name, text)
    by.type("Summary", "A first square of garter stitch.")
    add("a tool", ("A short name of the tool", "needles"), ("What", "4 mm needles"))
    add("a knitter", ("Name", "Odalys Pekk"))
    add("a day of filming", ("Day", "02132027"), ("What is filmed, in this order", "1"))
    from_outline("Pattern")
    for name, text in (("Title", "Garter Coaster"), ("Needles", "4 mm"), ("Stitches", "18"), ("Rounds", "32")):
        by.type(name, text)
    by.type("Fabric", "garter stitch, washed")
    add("a size", ("Name", "one size"))
    yarn = (("Name", "Harbour Cotton"), ("Colour", "oatmeal"), ("Metres", "85"), ("Grams", "50"))
    add("a yarn", ("A short name of the yarn", "A"), *yarn)
    add("a stage", ("A short name of the stage", "edge"), ("Title", "Cast-on edge"))
    add("a stage", ("A short name of the stage", "square"), ("Title", "The square"), ("After", "edge"))
    from_outline("Cast-on edge (edge)")
    by.choose("What is done", "cast on")
    add("a work", ("How many, how far, or the line itself", "16"))
    from_outline("The square (square)")
    by.choose("What is done", "rows, by lines")
    add("a work", ("How many, how far, or the line itself", "30"))
    by.choose("What is done", "bind off")
    add("a work", ("How many, how far, or the line itself", "all"))
    page_of("30 rows")
    by.type("Lines", "Knit")
    page_of("Today")
    by.press("Add an episode")
    by.type("Title", "A Coaster in an Evening")
    by.type("Title of its first segment", "Welcome")
    by.type("View of its first shot", "face")
    page_of("Add an episode")
    by.press("Add a segment")
    add("a segment", ("Title", "Knit every row"), ("View of its first shot", "overhead"))
    from_outline("1.1.1 face")
    by.type("Said, word for word", "Tonight you knit your first square.")
    add("a piece", ("Ready for the shot", "finished"))
    from_outline("1.2.1 overhead")
    by.type("Said, word for word", "Cast on {{ edge.cast_on }} stitches: no more.")
    add("a piece", ("Ready for the shot", "nothing"), ("How far it is afterwards", "edge"))
    add("a thing the hands do", ("What is done", "cast on slowly"), ("Time", "40 s"))
    from_outline("1.2 Knit every row")
    by.press("Add a shot")
    add("a shot", ("View", "overhead"))
    from_outline("1.2.2 overhead")
    add("a piece", ("Ready for the shot", "edge"))
    page_of("Today")

    def planned() -> bool:
        return bool(by.page.evaluate("document.getElementById('state')?.textContent === 'Planned; all clear'"))

    if not within(LONG / 2, planned, by.page):  # who sees nothing come loads the page again
        by.page.reload()
    until(planned, by.page)
    by.picture("planned")


def made(browser: Browser, root: Path, course: Path, by: type[Keys], film: Path | None = None) -> None:
    """Make the course in a folder, on a screen of a tablet's size; ``film`` is where pictures of it go."""
    view: ViewportSize = {"width": 820, "height": 1180}
    context = browser.new_context(viewport=view, has_touch=by is Fingers, bypass_csp=True)
    with desk_on(root, course) as served:
        page = context.new_page()
        page.goto(served.address)
        make(by(page, film))
    context.close()


@pytest.mark.parametrize("by", [Fingers, Keys])
def test_a_whole_course_is_made_and_its_files_are_clean(
    browser: Browser, root: Path, tmp_path: Path, by: type[Keys]
) -> None:
    made(browser, root, tmp_path, by)
    files = ("course.yaml", "pattern.yaml", "episodes/01.yaml")
    assert [(tmp_path / name).read_text("utf-8") for name in files] == [COURSE, PATTERN, EPISODE]
    if by is Keys:
        said = CliRunner().invoke(app, ["check", str(tmp_path)])
        assert (said.exit_code, said.output.strip()) == (0, f"{tmp_path}: all clear, 3 shots.")
