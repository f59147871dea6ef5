"""Every page in a real browser: nothing sticks out, nothing is asked of another host, and axe-core finds nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SCHEMES: Any = ("light", "dark")
SIZES = {"phone": (360, 740), "tablet": (820, 1180), "desk": (1280, 900)}
SEEN: Any = (
    (390, "light", {}),
    (390, "dark", {"runOnly": ["color-contrast"]}),
    (820, "dark", {"runOnly": ["scrollable-region-focusable", "target-size"]}),
    (1280, "light", {"rules": {"color-contrast": {"enabled": False}}}),
)
"""Width, colours, and which rules are asked there. In the dark a page is built as in the light, and its colours are the
same at every width; a table is a list on a phone, and else a table."""


def wrong_on(page: Page, axe: Path) -> list[tuple[str, str, int, str]]:
    """What axe-core finds on a page in the light and in the dark, on screens of three widths."""
    page.add_script_tag(path=axe)
    found = []
    for width, scheme, rules in SEEN:
        page.set_viewport_size({"width": width, "height": 1180})
        page.emulate_media(color_scheme=scheme)
        for one in page.evaluate("axe.run", {"resultTypes": ["violations"], **rules})["violations"]:
            found.append((one["id"], one["nodes"][0]["html"][:200], width, scheme))
    return found


def test_no_page_scrolls_sideways_or_asks_another_host(browser: Browser, sample_output: Path) -> None:
    page = browser.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    for path in sorted(sample_output.glob("*.html")):
        page.goto(path.as_uri())
        for size, (width, height) in SIZES.items():
            page.set_viewport_size({"width": width, "height": height})
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{path.name} at {size}"
    page.close()
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert said == [], "the browser complains, for example about the content policy"


def test_axe_finds_nothing(browser: Browser, sample_output: Path, axe: Path) -> None:
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    found = {}
    for path in sorted(sample_output.glob("*.html")):
        page.goto(path.as_uri())
        if wrong := wrong_on(page, axe):
            found[path.name] = wrong
    context.close()
    assert found == {}


def test_axe_finds_what_is_wrong(browser: Browser, axe: Path) -> None:
    """In the light scheme a picture without a text, in the dark one besides grey (3.0:1) on black."""
    page = browser.new_page()
    page.set_content(
        '<!doctype html><html lang="en"><title>T</title><style>body { color: #000; background: #fff }'
        "@media (prefers-color-scheme: dark) { body { color: #595959; background: #000 } }</style>"
        '<main><h1>Heading</h1><p>Some words</p><img src="data:,"></main>'
    )
    page.add_script_tag(path=axe)
    found = []
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        found.append({one["id"] for one in page.evaluate("axe.run()")["violations"]})
    page.close()
    assert found == [{"image-alt"}, {"image-alt", "color-contrast"}]


def test_pages_print_on_a4(browser: Browser, sample_output: Path) -> None:
    page = browser.new_page()
    for path in sorted(sample_output.glob("*.html")):
        page.goto(path.as_uri())
        page.emulate_media(media="print")
        page.set_viewport_size({"width": 794 - 113, "height": 1123})  # A4 at 96 dpi less margins of 15 mm
        # The ladder has a landscape page of its own in print.
        page.evaluate("document.querySelectorAll('.ladder').forEach(one => one.closest('section').remove())")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path.name
        assert page.pdf(format="A4").startswith(b"%PDF")
    page.close()


def test_a_drawing_that_goes_on_beside_a_phone_says_so(browser: Browser, sample_output: Path) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto((sample_output / "step-samples.html").as_uri())
    ladder = "document.querySelector('.ladder')"
    assert page.evaluate(f"{ladder}.parentNode.scrollWidth > {ladder}.parentNode.clientWidth")
    assert "sideways" in page.evaluate(f"getComputedStyle({ladder}.closest('.picture-frame'), '::before').content")
    page.close()


def test_the_times_of_a_shot_stand_clear_of_its_words(browser: Browser, sample_output: Path) -> None:
    """By the boxes of the letters: what stands below the hour ends left of what is said."""
    page = browser.new_page(viewport={"width": 1100, "height": 1400})
    page.goto((sample_output / "run-sheet-2.html").as_uri())
    over = """shots => shots.filter(shot => shot.querySelector('.late')).filter(shot => {
      const range = document.createRange();
      range.selectNodeContents(shot.querySelector('.late').firstChild);
      return range.getBoundingClientRect().right > shot.querySelector('.body').getBoundingClientRect().left;
    }).map(shot => shot.querySelector('h3').textContent)"""
    assert page.locator(".shot .late").count() > 10
    assert page.locator(".shot").evaluate_all(over) == []
    page.close()
