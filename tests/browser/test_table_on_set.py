"""The page on the table as people on a set need it: late or early, verdicts that lack, clips, slate, trays."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.test_table import SIZES, context, logged, opened, saved, set_camera, table, tap, text, wait
from tests.waiting import reloaded

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext

__all__ = ["context", "table"]  # fixtures


def test_late_and_early_against_the_plan(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    first, second = page.evaluate("JSON.parse(document.getElementById('plan').textContent).shots.slice(0, 2)")
    assert (first["number"], first["start"], first["ready"]) == ("1.1.1", 585, 585)
    assert text(page, "#late") == "On time"
    wait(page, 12 * 60)
    assert text(page, "#late") == "12 min late"
    tap(page, "start")
    wait(page, 60)
    assert text(page, "#late") == "12 min late", "no later while the shot is within its time"
    assert text(page, "#this-real") == f"1 of {first['end'] - first['start']} min"
    tap(page, "stop")
    tap(page, "best")
    late = 9 * 60 + 58 - first["end"]
    assert text(page, "#late") == (f"{late} min late" if late else "On time")
    # The next shot should begin at its time, whatever was done by then.
    wait(page, (second["start"] + 65 - (9 * 60 + 58)) * 60)
    assert text(page, "#late") == "1 h 05 min late"


def test_whatever_page_is_open_the_takes_say_how_late_it_is(context: BrowserContext, table: Path) -> None:
    page = opened(context, table, "2027-02-13T09:00:00")
    shots = page.evaluate("JSON.parse(document.getElementById('plan').textContent).shots")
    assert text(page, "#late") == "On time", "nothing is early before the first take"
    page.click("#open-shots")
    page.locator("#all-shots button").last.click()
    assert text(page, "#late") == "On time"
    page.click("#open-shots")
    page.locator("#all-shots button").first.click()
    wait(page, 45 * 60)
    tap(page, "start")
    wait(page, 60)
    tap(page, "stop")
    tap(page, "usable")
    # Done a minute and ten seconds after it should have begun; a rest or a change after it is no time gained.
    early = shots[0]["end"] - shots[0]["start"] - 2
    for _ in range(3):
        assert text(page, "#late") == f"{early} min early"
        tap(page, "on")


def test_a_rest_that_is_planned_is_not_gained(context: BrowserContext, table: Path) -> None:
    page = opened(context, table, "2027-02-13T10:00:00")
    shots = page.evaluate("JSON.parse(document.getElementById('plan').textContent).shots")
    place = next(n for n, shot in enumerate(shots[1:], 1) if any("Rest" in line for line in shot["before"]))
    page.click("#open-shots")
    page.locator("#all-shots button").nth(place - 1).click()
    wait(page, (shots[place - 1]["start"] - 600) * 60)
    tap(page, "start")
    wait(page, 60)
    tap(page, "stop")
    tap(page, "best")
    tap(page, "on")
    early = shots[place - 1]["end"] - shots[place - 1]["start"] - 2
    assert text(page, "#late") == f"{early} min early"


def test_another_day_is_measured_from_its_first_start(context: BrowserContext, table: Path) -> None:
    page = opened(context, table, "2027-02-20T13:00:00")
    assert text(page, "#late") == "Other day"
    tap(page, "start")
    assert text(page, "#late") == "On time"
    wait(page, 3600)
    tap(page, "stop")
    end, start = page.evaluate(
        "(({end, start}) => [end, start])(JSON.parse(document.getElementById('plan').textContent).shots[0])"
    )
    assert text(page, "#late") == f"{60 - (end - start)} min late"
    assert {take.day for take in logged(page)} == {date(2027, 2, 20)}


def test_a_verdict_that_lacks_is_told_on_next_in_the_list_and_on_saving(
    context: BrowserContext, table: Path, tmp_path: Path
) -> None:
    page = opened(context, table)
    tap(page, "start")
    wait(page, 9)
    tap(page, "stop")
    assert text(page, "#on") == "Next, no verdict"
    tap(page, "on")
    assert (text(page, "#on"), text(page, "#left")) == ("Next", "! 1.1.1 has no verdict.")
    tap(page, "start")
    wait(page, 9)
    tap(page, "stop")
    tap(page, "again")
    assert text(page, "#on") == "Next, no usable take"
    page.click("#open-shots")
    assert "! no verdict" in text(page, "#all-shots li:nth-child(1)")
    assert "! no usable take" in text(page, "#all-shots li:nth-child(2)")
    page.click("#shots [data-close]")
    saved(page, tmp_path)
    page.click("#open-log")
    assert "! 1.1.1 has no verdict, 1.1.2 has no usable take." in text(page, "#log-status")
    with page.expect_download():
        page.click("#save")
    assert "! 1.1.1 has no verdict, 1.1.2 has no usable take." in text(page, "#log-status")
    page.click("#log [data-close]")
    tap(page, "usable")
    assert text(page, "#on") == "Next"
    tap(page, "back")
    tap(page, "best")
    assert (text(page, "#on"), text(page, "#left")) == ("Next", "")
    assert [take.verdict for take in logged(page)] == ["best", "usable"]


def test_clips_count_up_and_may_be_put_right(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    set_camera(page, "A", "A01", "A001C0099")
    assert text(page, "#open-camera") == "Next clip: A01 A001C0099"
    tap(page, "start")
    assert text(page, "#open-camera") == "Next clip: A01 A001C0100"
    tap(page, "undo")
    assert text(page, "#open-camera") == "Next clip: A01 A001C0099", "no take, no clip"
    wait(page, 2)
    tap(page, "undo")
    wait(page, 9)
    tap(page, "stop")
    page.fill("#clip", "A001C0200")
    tap(page, "start")
    tap(page, "stop")
    assert [(take.camera, take.card, take.clip, take.timecode) for take in logged(page)] == [
        ("A", "A01", "A001C0200", ""),
        ("A", "A01", "A001C0201", ""),
    ]
    reloaded(page)
    assert text(page, "#open-camera") == "Next clip: A01 A001C0202"


def test_the_cameras_clock_is_compared_once(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    timecodes = list[str]()
    for typed, ahead, timecode in (
        ("25:00:00", "Type the camera’s clock", ""),
        ("soon", "Type the camera’s clock", ""),
        ("09:45:10", "Both clocks agree.", "09:45:10"),
        ("09:44:10", "The camera’s clock is 1:00 behind.", "09:44:10"),
        ("23:45:10", "The camera’s clock is 600:00 behind.", "23:45:10"),
    ):
        page.click("#open-camera")
        page.fill("#camera-clock", typed)
        page.click("#compare")
        assert text(page, "#ahead").startswith(ahead)
        page.click("#filming [data-close]")
        tap(page, "start")
        tap(page, "stop")
        timecodes.append(timecode)
        assert [take.timecode for take in logged(page)] == timecodes


@pytest.mark.parametrize("size", SIZES)
def test_the_slate_fills_the_screen(context: BrowserContext, table: Path, size: str) -> None:
    page = opened(context, table)
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    set_camera(page, "A", "A01", "C0012")
    page.click("#open-slate")
    assert page.locator("#slate").bounding_box() == {"x": 0, "y": 0, "width": width, "height": height}
    shown = [text(page, f"#slate-{name}") for name in ("name", "take", "clock")]
    assert shown == ["Slate 1", "Take 1", "09:45:10"]
    page.click("#slate-start")
    wait(page, 5)
    assert text(page, "#slate-clock") == "09:45:15"
    assert text(page, "#slate-take") == "Take 1", "the take that is running"
    assert "C0012" in text(page, "#slate-clip")
    for name in ("name", "take", "clock", "shot", "clip"):
        box = page.locator(f"#slate-{name}").bounding_box()
        assert box is not None
        assert 0 <= box["y"] <= height - box["height"]
        assert page.evaluate(f"(one => one.scrollWidth <= one.clientWidth)(document.getElementById('slate-{name}'))")
    page.click("#slate [data-close]")
    tap(page, "stop")
    page.click("#open-slate")
    assert text(page, "#slate-take") == "Take 2"


def test_words_grow_and_buttons_fold(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    size = "parseFloat(getComputedStyle(document.querySelector('article.present .say')).fontSize)"
    before = page.evaluate(size)
    page.click("#bigger")
    assert page.evaluate(size) >= 1.25 * before
    assert page.get_attribute("#bigger", "aria-pressed") == "true"
    assert not page.is_visible("#fold"), "there is room on a tablet"
    page.set_viewport_size({"width": 390, "height": 844})
    room = "document.getElementById('dock').getBoundingClientRect().top"
    before = page.evaluate(room)
    page.click("#fold")
    assert page.evaluate(room) > before + 85, "the row of verdicts and what comes next make room"
    shown = [name for name in ("start", "stop", "on", "best", "undo") if page.is_visible(f"#{name}")]
    assert shown == ["start", "stop", "on"]
    tap(page, "start")
    wait(page, 5)
    tap(page, "stop")
    assert page.is_visible("#best"), "a take without a verdict asks for one"
    tap(page, "best")
    assert not page.is_visible("#best")


def test_the_next_tray_stands_where_the_tray_changes(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    for _ in range(2):
        assert page.locator("article.present section.tray").count() == 0
        tap(page, "on")
    tray = text(page, "article.present section.tray")
    assert tray.startswith("Next tray, 3.5 A pair")
    assert "before its bath, full piece: Weaving in done" in tray
    tap(page, "on")
    assert page.locator("article.present details.tray").count() == 1
    page.click("#open-shots")
    page.locator("#all-shots button").last.click()
    assert "After the wrap" in text(page, "article.present"), "what is knitted in the night"
    assert page.locator("article.present section.tray").count() == 0


def test_a_log_of_an_older_page_goes_on(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    wait(page, 9)
    tap(page, "stop")
    page.evaluate(
        "for (const key of Object.keys(localStorage)) if (key.includes('.log.')) {"
        " const log = JSON.parse(localStorage.getItem(key));"
        " for (const take of log.takes) { take.verdict = 'good';"
        " for (const name of ['camera', 'card', 'clip', 'timecode']) delete take[name]; }"
        " localStorage.setItem(key, JSON.stringify(log)); }"
    )
    reloaded(page)
    assert text(page, "#on") == "Next"
    (take,) = logged(page)
    assert (take.verdict, take.clip) == ("good", "")
