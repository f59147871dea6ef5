"""Every page and form of the desk, all of it unfolded: axe-core finds nothing, and nothing sticks out at any width."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from urllib.parse import parse_qs, urlsplit

import pytest

from tests.desk.conftest import desk_on
from tests.desk.test_forms import BROKEN
from tests.rich_course import write_rich

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SEEN: tuple[tuple[int, Literal["light", "dark"], tuple[str, ...] | None], ...] = (
    (390, "light", None),
    (390, "dark", ("color-contrast",)),
    (820, "dark", ("scrollable-region-focusable", "target-size")),
    (1280, "light", ("scrollable-region-focusable", "target-size")),
)
"""Width, colours, and the rules that are asked there (None: all): what a page is built of is the same in all of them,
and its colours are the same at every width."""
FIRST = {
    "rich": ("/", "/form/course.yaml", "/form/pattern.yaml", "/file/not-there.yaml", "/samples?without=A"),
    "sample": ("/", "/pieces", "/said", "/form/agreed.yaml", '/form/agreed.yaml?path=["pieces",0]'),
    "broken": ("/", "/file/course.yaml", "/form/course.yaml", "/form/pattern.yaml", "/samples"),
    "empty": ("/", "/tablet"),
}
"""Courses, each with the pages that are looked at there: of the first one all that links lead to besides."""
BESIDE = "[['iframe'], ['.whole-outline ul']]"
"""What is looked at elsewhere: the documents, and the outline, which is all there on the first page."""
LINKS = "[...document.querySelectorAll('nav a, main a')].map((one) => one.getAttribute('href'))"
UNFOLD = """() => {
  document.querySelectorAll('details').forEach((one) => (one.open = true));
  document.querySelectorAll('#apart, #draft, #said, .form-said').forEach((one) => (one.hidden = false)); }"""
SMALL = """() => [...document.querySelectorAll(
    'button, select, summary, nav a, li > a, .alone a, input:not([type=checkbox])')]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 44).map((one) => one.outerHTML)"""
FOUND = "all => all.violations.map((one) => `${one.id}: ${one.nodes[0].html.slice(0, 200)}`)"


def kind_of(address: str) -> str:
    """Tell pages of another build apart: numbers and names of entries do not matter, nor which file is a text."""
    parts = urlsplit(address)
    path = json.loads(parse_qs(parts.query).get("path", ["[]"])[0])
    steps = "/".join("*" if isinstance(one, int) or place % 2 else one for place, one in enumerate(path))
    if parts.path.startswith("/file/"):
        return "/file"
    seen = " ".join(sorted(parse_qs(parts.query)))
    return f"{re.sub('episodes/.*', 'episode', parts.path)} {steps or seen}"


def every_page(page: Page, host: str, first: tuple[str, ...], follow: bool) -> Iterator[str]:
    """Go to some pages, and to one of every kind that links lead to from there on."""
    left, kinds = [*first], set[str]()
    while left:
        address = left.pop(0)
        if kind_of(address) in kinds or not re.match(r"/(?!paper|course\.zip)", address):
            continue
        kinds.add(kind_of(address))
        page.goto(f"http://{host}{address}")
        page.wait_for_function("/Planned;|mend|Nothing/.test(document.getElementById('state')?.textContent)")
        page.wait_for_function("!document.querySelector('[data-now]:empty')")
        left += page.evaluate(LINKS) if follow else []
        yield address


def faults(page: Page, axe: Path) -> Iterator[str]:
    """What is wrong with a page in the light and in the dark, at every width."""
    page.evaluate(UNFOLD)
    page.add_script_tag(path=axe)
    for width, scheme, only in SEEN:
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=scheme)
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            yield f"sticks out at {width}"
        yield from (f"too small for a finger: {one[:200]}" for one in page.evaluate(SMALL))
        rules = {"resultTypes": ["violations"]} | ({"runOnly": only} if only else {})
        yield from page.evaluate(f"rules => axe.run({{exclude: {BESIDE}}}, rules).then({FOUND})", rules)


@pytest.mark.parametrize("what", FIRST)
def test_axe_finds_nothing_on_any_page(browser: Browser, root: Path, tmp_path: Path, axe: Path, what: str) -> None:
    """A course with something of everything has a page of every kind; others have what it has not."""
    course = tmp_path / "course"
    if what == "sample":
        shutil.copytree(root / "sample_course", course, ignore=shutil.ignore_patterns("out"))
    course.mkdir(exist_ok=True)
    if what == "rich":
        write_rich(course)
    for name, text in BROKEN.items() if what == "broken" else ():
        (course / name).parent.mkdir(exist_ok=True)
        (course / name).write_text(text, "utf-8")
    context = browser.new_context(bypass_csp=True, has_touch=True, viewport={"width": 390, "height": 900})
    page, said, found = context.new_page(), list[str](), dict[str, list[str]]()
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda bad: said.append(str(bad)))
    page.route("**/paper/*", lambda route: route.fulfill(body="", content_type="text/html"))
    with desk_on(root, course) as served:
        page.goto(served.address)
        for address in every_page(page, served.host, FIRST[what], what == "rich"):
            found[address] = [*faults(page, axe)]
    context.close()
    assert {address: wrong for address, wrong in found.items() if wrong} == {}
    assert len(found) >= (20 if what == "rich" else len(FIRST[what])), list(found)
    assert [text for text in said if not re.search("ERR_|axe|404", text)] == []
