"""The page on the table in trouble: no storage, hostile text, small screens, paper, and what axe-core says."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from lessonplan.documents.table import table_view
from lessonplan.planning.plan import plan
from lessonplan.render.pictures import Pictures
from lessonplan.render.table_page import table_page
from lessonplan.shoot.takes.log import read_log
from tests.browser.test_table import SIZES, ZONE, brief, context, logged, opened, table, tap, text, wait
from tests.small_course import COURSE, EPISODE, write_course
from tests.waiting import reloaded, stored

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

__all__ = ["context", "table"]  # fixtures


BROKEN = "Storage.prototype.setItem = function () { throw new DOMException('full', 'QuotaExceededError'); };"
SHUT = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no', 'SecurityError'); }});"


@pytest.mark.parametrize("script", [BROKEN, SHUT])
def test_without_storage_the_page_warns_and_works(
    context: BrowserContext, table: Path, tmp_path: Path, script: str
) -> None:
    context.add_init_script(script)
    page = opened(context, table)
    assert "keeps nothing" in text(page, "#warning")
    tap(page, "start")
    wait(page, 20)
    tap(page, "stop")
    tap(page, "best")
    assert "keeps nothing" in text(page, "#warning")
    size = "parseFloat(getComputedStyle(document.getElementById('warning')).fontSize)"
    assert page.evaluate(size) >= 24
    assert text(page, "#offer") == "Save 1 take as a file now"
    with page.expect_download() as found:
        page.click("#offer")
    found.value.save_as(tmp_path / "log.csv")
    takes, _ = read_log((tmp_path / "log.csv").read_bytes(), "log.csv")
    assert brief(takes) == brief(logged(page)) == [("1.1.1", 1, "09:45:10", "09:45:30", "best", "", "")]
    assert not page.is_visible("#offer"), "nothing is left to save"
    tap(page, "start")
    assert text(page, "#offer") == "Save 2 takes as a file now"


def test_what_cannot_be_read_is_kept_aside(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    page.evaluate(
        "for (const key of Object.keys(localStorage)) if (key.includes('.log.')) localStorage.setItem(key, '{half')"
    )
    stored(page)
    page.close()
    page = opened(context, table)
    tap(page, "start")
    assert len(logged(page)) == 1
    kept = "Object.entries(localStorage).filter(([key]) => key.includes('unreadable')).map(([, text]) => text)"
    assert page.evaluate(kept) == ['"{half"']


@pytest.mark.parametrize("size", SIZES)
def test_fits_and_is_large_enough(context: BrowserContext, table: Path, size: str) -> None:
    page = opened(context, table)
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    tap(page, "start")
    tap(page, "slip")
    tap(page, "stop")
    for opener in (None, "#open-shots", "#open-log", "#open-camera", "#open-slate"):
        if opener:
            page.click(opener)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        boxes = "[...document.querySelectorAll('button')].map(b => b.getBoundingClientRect()).filter(b => b.width)"
        least = page.evaluate(f"Math.min(...{boxes}.map(b => Math.min(b.width, b.height)))")
        assert least >= (44 if width < 768 else 56), "a phone is small, and what is to be said needs the room"
        page.keyboard.press("Escape")
    if size == "phone":
        dock = page.locator("#dock").bounding_box()
        assert dock is not None
        assert dock["height"] < 0.42 * height, "most of the screen is for what is said"
        assert page.get_by_role("button", name="Slip of the tongue").is_visible(), "its whole name is heard"
    if size != "low":
        for name in ("#start", "#stop", "#next-title"):
            box = page.locator(name).bounding_box()
            assert box is not None
            assert 0 <= box["y"] <= height - box["height"], f"{name} is always in sight"


def test_prints_as_a_list_of_shots(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    page.emulate_media(media="print")
    assert page.locator("article:visible").count() == page.locator("article").count() > 15
    assert page.locator("button:visible").count() == 0


@pytest.mark.parametrize("width", [390, 820])
def test_axe_finds_nothing(browser: Browser, table: Path, axe: Path, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 1180}, bypass_csp=True, timezone_id=ZONE)
    page = context.new_page()
    page.goto(table.as_uri())
    page.add_script_tag(path=axe)
    check: Callable[[], list[Any]] = lambda: page.evaluate(  # noqa: E731
        "axe.run().then(r => r.violations.map(v => [v.id, v.nodes[0].html]))"
    )
    assert check() == []
    tap(page, "start")
    tap(page, "slip")
    tap(page, "stop")
    tap(page, "on")
    assert check() == []
    page.click("#bigger")
    for opener in ("#open-shots", "#open-log", "#open-camera", "#open-slate"):
        page.click(opener)
        assert check() == []
        page.keyboard.press("Escape")
    if width == 820:
        page.set_viewport_size({"width": 1280, "height": 1180})
        assert check() == []
        page.emulate_media(media="print")
        assert check() == []
    context.close()


HOSTILE = "</script><img src=x onerror=window.hit=1><!--<script>window.hit=1</script>"


def test_hostile_text_stays_text(context: BrowserContext, tmp_path: Path) -> None:
    quoted = "'" + HOSTILE + "'"
    episode = EPISODE.replace("view: overhead", f"view: {quoted}\n        title: {quoted}\n        note: {quoted}")
    episode = episode.replace(
        "say: We cast on {{ edge.cast_on }} stitches.", f"say: {quoted}\n        tools: [{quoted}]"
    )
    course = COURSE.replace("title: Ring cowl", f"title: {quoted}")
    result = plan(write_course(tmp_path / "course", {"episodes/01.yaml": episode, "course.yaml": course}))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    path = tmp_path / "table-1.html"
    path.write_bytes(table_page(table_view(result.plan, result.plan.days[0]), Pictures(result.plan), "en"))
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda wrong: said.append(str(wrong)))
    page.goto(path.as_uri())
    tap(page, "start")
    page.fill("#note", HOSTILE)
    tap(page, "stop")
    page.click("#open-shots")
    assert HOSTILE in text(page, "#all-shots")
    assert HOSTILE in page.text_content("article h2")  # type: ignore[operator]
    page.keyboard.press("Escape")
    assert [take.note for take in logged(page)] == [HOSTILE]
    reloaded(page)
    assert page.evaluate("[window.hit ?? null, document.images.length, document.scripts.length]") == [None, 0, 2]
    assert said == []


def test_asks_for_nothing_but_itself(context: BrowserContext, table: Path) -> None:
    page = context.new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.goto(table.as_uri())
    tap(page, "start")
    assert [url for url in asked if not url.startswith("data:")] == [table.as_uri()]
    assert said == []
