"""The page on the table, tapped through in a real browser with a clock of the test's own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from lessonplan.documents.table import table_view
from lessonplan.planning.worked import Plan
from lessonplan.render.pictures import Pictures
from lessonplan.render.table_page import table_page
from lessonplan.shoot.takes.log import Take, clock_text, merged_csv, read_log, timecode_seconds
from tests.waiting import STORED, LostError, reloaded, stored, told

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

ZONE = "Europe/Oslo"
DAY = date(2027, 2, 13)
DEVICE = "lessonplan.table.device"
SIZES = {"phone": (360, 740), "portrait": (820, 1180), "landscape": (1180, 820), "low": (740, 360)}


@pytest.fixture(scope="module")
def table(sample: Plan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Day 1 of the sample course as a file; its first shots are 1.1.1 (planned 9:45), 1.1.2 and 1.1.3."""
    path = tmp_path_factory.mktemp("table") / "table-1.html"
    path.write_bytes(table_page(table_view(sample, sample.days[0]), Pictures(sample), "en"))
    return path


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    width, height = SIZES["portrait"]
    made = browser.new_context(viewport={"width": width, "height": height}, timezone_id=ZONE)
    yield made
    made.close()


def opened(context: BrowserContext, path: Path, time: str = "2027-02-13T09:45:00", first: str = "") -> Page:
    page = context.new_page()
    if first:
        page.add_init_script(first)
    stop_at(page, datetime.fromisoformat(time).replace(tzinfo=ZoneInfo(ZONE), second=10))
    page.goto(path.as_uri())
    return page


def stop_at(page: Page, moment: datetime) -> None:
    """Let a page's clock stand: it goes on only as a test says. A clock cannot be stopped at what is over by then."""
    page.clock.install(time=moment - timedelta(hours=1))
    page.clock.pause_at(moment)


def tap(page: Page, name: str) -> None:
    """Tap a button of the dock as a finger does: also while it is dimmed, which playwright would wait out."""
    page.click(f"#{name}", force=True)


def wait(page: Page, seconds: int) -> None:
    page.clock.fast_forward(seconds * 1000)


def text(page: Page, css: str) -> str:
    return page.inner_text(css)


def saved(page: Page, folder: Path) -> bytes:
    """Save the log by its button, as a download."""
    page.click("#open-log")
    with page.expect_download() as found:
        page.click("#save")
    device = page.evaluate("JSON.parse(localStorage.getItem('lessonplan.table.device')).id")
    assert found.value.suggested_filename == f"takes-2027-02-13-{device}.csv"
    path = folder / "log.csv"
    found.value.save_as(path)
    page.click("#log [data-close]")
    return path.read_bytes()


def set_camera(page: Page, camera: str, card: str, clip: str, clock: str = "") -> None:
    page.click("#open-camera")
    for name, value in (("next-camera", camera), ("next-card", card), ("next-clip", clip), ("camera-clock", clock)):
        page.fill(f"#{name}", value)
    if clock:
        page.click("#compare")
    page.click("#filming [data-close]")


def logged(page: Page) -> tuple[Take, ...]:
    """The log as the text field shows it, without a problem."""
    page.click("#open-log")
    takes, problems = read_log(page.input_value("#csv").encode(), "log.csv")
    page.click("#log [data-close]")
    assert [problem for problem in problems if problem.code != "no-stop"] == []
    return takes


def brief(takes: tuple[Take, ...]) -> list[tuple[str, int, str, str, str, str, str]]:
    return [(t.shot, t.take, clock_text(t.start), clock_text(t.stop), t.verdict, t.slip, t.note) for t in takes]


def test_a_day_is_tapped_through_and_read_again(context: BrowserContext, table: Path, tmp_path: Path) -> None:
    page = opened(context, table)
    set_camera(page, "B", "B07", "0001.mov", "09:45:22")
    expected, time = [], 9 * 3600 + 45 * 60 + 10
    shots = page.evaluate("JSON.parse(document.getElementById('plan').textContent).shots.map(s => s.number)")
    assert len(shots) > 15
    for index, shot in enumerate(shots):
        for take in (1, 2):
            slip, note = (index + take) % 5 == 0, "Thread, on “purpose”\tthin" if index % 4 == 0 else ""
            tap(page, "start")
            wait(page, 30 + index)
            if slip:
                tap(page, "slip")
            tap(page, "stop")
            tap(page, "again" if take == 1 else "best")
            if note:
                page.fill("#note", note)
            verdict, said = "again" if take == 1 else "best", "yes" if slip else ""
            one = (shot, take, clock_text(time), clock_text(time + 30 + index), verdict, said, note.replace("\t", " "))
            expected.append(one)
            wait(page, 20)
            time += 50 + index
            if index == len(shots) // 2:
                reloaded(page)
        tap(page, "on")
    data = saved(page, tmp_path)
    takes, problems = read_log(data, "log.csv")
    assert problems == ()
    assert brief(takes) == expected
    assert {take.day for take in takes} == {DAY}
    assert len({take.id for take in takes}) == len(takes)
    assert [(take.camera, take.card, take.clip) for take in takes] == [
        ("B", "B07", f"{number:04d}.mov") for number in range(1, len(takes) + 1)
    ]
    assert {(timecode_seconds(take.timecode) or 0) - (take.start or 0) for take in takes} == {12}
    assert merged_csv(takes) == data, "just what the program itself would write"


def test_a_running_take_outlives_the_page(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    wait(page, 5)
    assert "Take 1 of 1.1.1 is running: 0:05" in text(page, "#now")
    stored(page)
    page.close()
    page = opened(context, table, "2027-02-13T09:50:00")
    assert "Take 1 of 1.1.1 is running: 5:00" in text(page, "#now")
    tap(page, "start")
    tap(page, "stop")
    assert brief(logged(page)) == [("1.1.1", 1, "09:45:10", "09:50:10", "", "", "")]


def test_the_end_may_stay_unknown(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    wait(page, 3000)
    page.get_by_role("button", name="End not known").click()
    tap(page, "start")
    assert [(take.take, take.stop) for take in logged(page)] == [(1, None), (2, None)]
    wait(page, 13 * 3600)  # the battery died; nothing that long is a take
    tap(page, "stop")
    assert [(take.take, take.stop) for take in logged(page)] == [(1, None), (2, None)]
    assert not page.locator("body.running").count()


@pytest.mark.parametrize("button", ["start", "stop", "best", "usable", "again", "slip", "undo", "on", "back"])
def test_a_double_tap_loses_and_doubles_nothing(context: BrowserContext, table: Path, button: str) -> None:
    page = opened(context, table)
    tap(page, "start")
    wait(page, 30)
    tap(page, "stop")
    tap(page, "best")
    once = {"start": 2}.get(button, 1)
    before = brief(logged(page))
    page.dblclick(f"#{button}", force=True)
    after = brief(logged(page))
    assert len(after) == once
    assert [one[:4] for one in after[:1]] == [one[:4] for one in before], "start and stop stay"
    if button == "undo":
        assert after[0][4] == "", "the verdict is undone once; the second tap so soon is no tap"


def test_the_last_verdict_counts(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    tap(page, "best")
    assert "Stop the take first" in text(page, "#status")
    tap(page, "stop")
    tap(page, "again")
    tap(page, "best")
    assert [take.verdict for take in logged(page)] == ["best"]
    assert page.get_attribute("#best", "aria-pressed") == "true"


def test_undo_takes_back_and_puts_back(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    wait(page, 30)
    tap(page, "stop")
    page.fill("#note", "Bus outside")
    tap(page, "undo")
    assert "is running" in text(page, "#now")
    assert page.input_value("#note") == "Bus outside", "what was written since stays"
    wait(page, 2)
    tap(page, "undo")
    assert brief(logged(page)) == [("1.1.1", 1, "09:45:10", "09:45:40", "", "", "Bus outside")]


def test_only_a_fresh_start_is_undone_and_its_number_never_comes_again(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    tap(page, "undo")
    assert logged(page) == ()
    tap(page, "start")
    (take,) = logged(page)
    assert take.id.endswith("-2")
    wait(page, 61)
    tap(page, "undo")
    assert len(logged(page)) == 1
    assert "over a minute" in text(page, "#status")


def test_removing_asks_first_and_deletes_nothing(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    tap(page, "stop")
    tap(page, "best")
    remove = page.get_by_role("button", name="Remove: Take 1 of 1.1.1", exact=True)
    remove.dblclick()
    assert [take.verdict for take in logged(page)] == ["best"], "the second tap meets Keep"
    remove.click()
    page.get_by_role("button", name="Yes, remove: Take 1 of 1.1.1").click()
    assert [(take.verdict, take.note) for take in logged(page)] == [("again", "removed")]


def test_a_take_tapped_at_another_shot_is_given_to_its_own(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    for _ in range(2):
        tap(page, "start")
        wait(page, 30)
        tap(page, "stop")
    page.select_option("#of", "1.1.2")
    assert [(take.shot, take.take, take.slate) for take in logged(page)] == [("1.1.1", 1, 1), ("1.1.2", 1, 2)]
    tap(page, "undo")
    assert [(take.shot, take.take, take.slate) for take in logged(page)] == [("1.1.1", 1, 1), ("1.1.1", 2, 1)]
    wait(page, 1)
    tap(page, "undo")  # put back
    tap(page, "on")
    tap(page, "start")  # and the numbers go on behind it
    tap(page, "stop")
    takes = [(take.shot, take.take, take.title) for take in logged(page)]
    first, second = "Good morning, and the finished pair", "A tour of the mitten"
    assert takes == [("1.1.1", 1, first), ("1.1.2", 1, second), ("1.1.2", 2, second)]


def test_a_slip_is_one_tap_and_its_words_may_follow(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    tap(page, "start")
    tap(page, "slip")
    tap(page, "stop")
    assert [take.slip for take in logged(page)] == ["yes"]
    page.fill("#slip-text", "No")
    assert [take.slip for take in logged(page)] == ["“No”"], "a bare no would mean that there was no slip"
    page.click("#no-slip")
    tap(page, "on")
    tap(page, "slip")
    assert [(take.shot, take.slip) for take in logged(page)] == [("1.1.1", "yes")], "in the take before"


def test_any_note_comes_back_on_one_line(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    notes = [
        "=1+1",
        "'=1",
        "''",
        "-",
        "-5",
        "＝1",
        "''=1",
        'a "b", c;d',
        "+47",
        "@home",
        " x \u2028\xa0y ",
        "</script>",
    ]
    for note in notes:
        tap(page, "start")
        page.fill("#note", note)
        tap(page, "stop")
    assert [take.note for take in logged(page)] == [" ".join(note.split()) for note in notes]


def test_a_note_on_an_earlier_take(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    for _ in range(2):
        tap(page, "start")
        wait(page, 9)
        tap(page, "stop")
    page.get_by_role("button", name="Take 1", exact=True).click()
    page.fill("#note", "Better hands")
    tap(page, "best")
    assert [(take.verdict, take.note) for take in logged(page)] == [("best", "Better hands"), ("", "")]


def test_after_midnight_the_day_goes_on(context: BrowserContext, table: Path) -> None:
    page = opened(context, table, "2027-02-13T23:59:00")
    tap(page, "start")
    wait(page, 120)
    tap(page, "stop")
    tap(page, "start")
    wait(page, 1)
    tap(page, "stop")
    times = [(take.day, clock_text(take.start), clock_text(take.stop)) for take in logged(page)]
    assert times == [(DAY, "23:59:10", "24:01:10"), (DAY, "24:01:10", "24:01:11")]


def test_two_windows_add_to_one_log(browser: Browser, table: Path) -> None:
    for last in (False, False, True):
        context = browser.new_context(timezone_id=ZONE)
        try:
            two_windows(context, table)
            return
        except LostError:
            assert not last, "three times the browser did not hand over what its windows keep"
        finally:
            context.close()


def two_windows(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    # As if both had been opened at once: each named the device, and the later name stays.
    other = opened(context, table, "2027-02-13T09:46:00", first=f"localStorage.removeItem('{DEVICE}')")
    told(lambda: page.evaluate(STORED) == other.evaluate(STORED), page, other)
    tap(page, "start")
    tap(page, "stop")
    # A browser tells its other windows of what is stored a little later; they show it before anybody touches them.
    told(lambda: other.locator("#takes li").count() == 1, page, other)
    told(lambda: [take.stop is not None for take in logged(other)] == [True], page, other)
    tap(other, "start")
    tap(other, "stop")
    assert [take.take for take in logged(other)] == [1, 2]
    told(lambda: len({take.id for take in logged(page)}) == 2, page, other)
    assert len(logged(page)) == 2


def test_with_the_keyboard_alone(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # skip to the take buttons

    def press(name: str, key: str) -> None:
        for _ in range(40):
            if page.evaluate("document.activeElement.id") == name:
                page.keyboard.press(key)
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"{name} is not reached by Tab")

    press("start", "Enter")
    assert page.evaluate("document.activeElement.id") == "start", "the focus stays, though the button is dimmed"
    wait(page, 15)
    press("stop", "Space")
    press("again", "Enter")
    press("on", "Enter")
    press("start", "Space")
    press("note", "End")
    page.keyboard.type("typed")
    takes = brief(logged(page))
    assert [(one[0], one[4], one[6]) for one in takes] == [("1.1.1", "again", ""), ("1.1.2", "", "typed")]


def test_the_next_shot_and_the_list(context: BrowserContext, table: Path) -> None:
    page = opened(context, table)
    assert "1.1.2" in text(page, ".next")
    page.click("#open-shots")
    page.get_by_role("button", name="1.2.2").click()
    assert page.locator("article:visible h2").count() == 1
    assert text(page, "article.present h2").startswith("1.2.2")
    reloaded(page)
    assert text(page, "article.present h2").startswith("1.2.2"), "the place is kept"


def test_the_log_has_slate_and_title_and_a_later_page_knows_the_take_again(
    context: BrowserContext, table: Path, tmp_path: Path
) -> None:
    page = opened(context, table)
    tap(page, "on")
    tap(page, "start")
    wait(page, 9)
    tap(page, "stop")
    stored(page)
    (take,) = logged(page)
    assert (take.shot, take.slate, take.title) == ("1.1.2", 2, "A tour of the mitten")
    moved = table.read_text(encoding="utf-8").replace('"number":"1.1.2"', '"number":"1.9.9"')
    assert moved.count('"1.9.9"') == 1
    later = table.with_name("later.html")
    later.write_text(moved, encoding="utf-8")
    page = opened(context, later, "2027-02-13T11:00:00")
    (take,) = logged(page)
    assert (take.shot, take.slate, take.title) == ("1.9.9", 2, "A tour of the mitten")


def test_a_third_take_of_two_pieces_is_asked_about_and_each_take_notes_its_piece(
    context: BrowserContext, sample: Plan, tmp_path: Path
) -> None:
    # 3.2.4 has N for its first take and O for its second: what is cut is cut.
    path = tmp_path / "table-2.html"
    path.write_bytes(table_page(table_view(sample, sample.days[1]), Pictures(sample), "en"))
    page = opened(context, path, "2027-02-14T12:12:00")
    shots = page.evaluate("JSON.parse(document.getElementById('plan').textContent).shots.map(s => s.number)")
    for _ in range(shots.index("3.2.4")):
        tap(page, "on")
    for _ in range(2):
        tap(page, "start")
        wait(page, 30)
        tap(page, "stop")
    tap(page, "start")
    assert text(page, "#status") == "No fresh piece is left for take 3: N, O used up. Start again if there is another."
    assert [(one.take, one.note) for one in logged(page)] == [(1, "piece N"), (2, "piece O")]
    tap(page, "start")
    wait(page, 30)
    tap(page, "stop")
    assert [(one.take, one.note) for one in logged(page)] == [(1, "piece N"), (2, "piece O"), (3, "")]
