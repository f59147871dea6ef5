"""What is done at the desk by a button: takes that come from the set, findings decided, progress, what-ifs."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import yaml
from playwright.sync_api import expect

import lessonplan
from tests.browser.test_table import stop_at
from tests.desk.conftest import Served, desk_on
from tests.waiting import until

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Dialog, Route

ZONE = ZoneInfo("Europe/Oslo")
CAPTIONS = Path("captions/02-thumb-and-band.vtt")


def kept(served: Served) -> list[dict[str, str]]:
    path = served.course / "takes" / "takes.csv"
    return list(csv.DictReader(io.StringIO(path.read_text("utf-8-sig")))) if path.exists() else []


def test_takes_come_from_the_set_once_each_also_after_an_hour_out_of_reach(
    context: BrowserContext, restored: Served
) -> None:
    page = context.new_page()
    stop_at(page, datetime(2027, 2, 13, 9, 45, 10, tzinfo=ZONE))
    page.goto(f"http://{restored.host}/paper/table-1.html")
    posted: list[str] = []
    bodies: list[bytes] = []
    lost: list[str] = []

    def answer(route: Route) -> None:
        """The first answers never reach the tablet; then for an hour nothing is in reach."""
        posted.append(route.request.headers["idempotency-key"])
        bodies.append(route.request.post_data_buffer or b"")
        if len(posted) <= 2:
            route.fetch()
            lost.append(posted[-1])
            route.abort()
        elif reach:
            route.continue_()
        else:
            route.abort()

    reach = False
    page.route("**/takes", answer)
    for _ in range(3):
        page.click("#start")
        page.clock.fast_forward(40_000)
        page.click("#stop")
        page.click("#best")
        page.clock.fast_forward(1000)
    page.clock.fast_forward(3000)
    until(lambda: len(kept(restored)) > 0, page)
    expect(page.locator("#sent")).to_contain_text("out of reach")
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.once("dialog", stay)
    page.evaluate("location.reload()")
    until(lambda: bool(asked), page)
    assert asked == ["beforeunload"], "loaded anew now the page would be gone: the browser asks first"
    for _ in range(6):
        page.clock.fast_forward(600_000)
        page.wait_for_timeout(50)
    page.click("#on")
    page.click("#start")
    page.clock.fast_forward(5000)
    page.click("#stop")
    reach = True

    def all_kept() -> bool:
        page.clock.fast_forward(10_000)
        return len(kept(restored)) == 4 and "at the desk" in page.inner_text("#sent")

    until(all_kept, page)
    rows = kept(restored)
    assert [(row["shot"], row["take"], row["verdict"]) for row in rows] == [
        ("1.1.1", "1", "best"), ("1.1.1", "2", "best"), ("1.1.1", "3", "best"), ("1.1.2", "1", ""),
    ]  # fmt: skip
    assert len({row["id"] for row in rows}) == 4
    assert lost[0] == lost[1] == posted[2], "what was not answered is sent again under its number"
    # A late copy of the first sending changes nothing, and is answered as if it were new.
    day, device, _ = posted[0].split("/")
    first = f"{day}/{device}/1"
    before = (restored.course / "takes/takes.csv").read_bytes()
    assert bodies[0].count(b"\n") < before.count(b"\n")
    assert restored.ask("POST", "/takes", bodies[0], Idempotency_Key=first)[0] == 200
    assert (restored.course / "takes/takes.csv").read_bytes() == before
    page.close()


def test_takes_wait_for_a_course_without_errors_and_odd_ones_are_refused(restored: Served) -> None:
    course = restored.course / "course.yaml"
    good = course.read_bytes()
    head = b"id,day,shot,take,start,stop,verdict,slip,note,device\r\n"
    log = head + b"x1,2027-02-13,1.1.1,9,10:00:00,10:01:00,best,,,table-x\r\n"
    course.write_bytes(good.replace(b"edition: 1", b"edition: first"))
    status, _, data = restored.ask("POST", "/takes", log, Idempotency_Key="2027-02-13/table-x/1")
    assert status == 200
    assert "wait until the course has no errors" in json.loads(data)["said"]
    assert not any(row["take"] == "9" for row in kept(restored))
    course.write_bytes(good)
    until(lambda: any(row["take"] == "9" for row in kept(restored)))
    for key in ("", "x", "2027-02-31/a/1", "2027-02-13/../1", "2027-02-13/a/0", "2027-02-13/A B/1"):
        assert restored.ask("POST", "/takes", log, Idempotency_Key=key)[0] == 400
    assert restored.ask("POST", "/takes", log + b"x", Idempotency_Key="2027-02-13/table-x/1")[0] == 409


def test_what_is_tapped_later_on_a_take_comes_too_and_what_was_mended_at_the_desk_stays(restored: Served) -> None:
    """A tablet sends its whole log each time; only what it changed since then is changed here."""
    head = b"id,day,shot,take,start,stop,verdict,slip,note,device\r\n"

    def send(number: int, *rows: bytes) -> None:
        log = head + b"".join(b"%s,table-y\r\n" % row for row in rows)
        status, _, _ = restored.ask("POST", "/takes", log, Idempotency_Key=f"2027-02-13/table-y/{number}")
        assert status == 200

    def rows() -> dict[str, dict[str, str]]:
        return {row["id"]: row for row in kept(restored) if row["device"] == "table-y"}

    first, second = b"y1,2027-02-13,1.1.1,7,10:00:00,10:01:00,%s,,", b"y2,2027-02-13,1.1.1,8,10:02:00,10:03:00,%s,,%s"
    send(1, first % b"best", second % (b"", b""))
    assert rows()["y2"]["verdict"] == ""
    send(2, first % b"best", second % (b"usable", b""))
    assert rows()["y2"]["verdict"] == "usable", "the verdict was tapped after the take had come"
    path = restored.course / "takes" / "takes.csv"
    table = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))
    at = {name: table[0].index(name) for name in ("id", "shot", "slate", "take")}
    for row in table:  # it was tapped at the shot before its own
        if row[at["id"]] == "y2":
            row[at["shot"]], row[at["slate"]], row[at["take"]] = "1.1.2", "", "3"
    mended = io.StringIO()
    csv.writer(mended).writerows(table)
    path.write_text(mended.getvalue())
    send(3, first % b"best", second % (b"best", b"loud wind"), b"y3,2027-02-13,1.1.3,5,10:05:00,10:06:00,,,")
    told = {name: (row["shot"], row["take"], row["verdict"], row["note"]) for name, row in rows().items()}
    assert told == {
        "y1": ("1.1.1", "7", "best", ""),
        "y2": ("1.1.2", "3", "best", "loud wind"),
        "y3": ("1.1.3", "5", "", ""),
    }


def test_findings_are_taken_over_or_dismissed_by_button(context: BrowserContext, restored: Served) -> None:
    course = lessonplan.load(restored.course).worked
    assert course
    text = (restored.course / CAPTIONS).read_text()
    page = context.new_page()
    page.goto(f"http://{restored.host}/said")
    found = page.locator(".finding")
    count = found.count()
    assert count >= 2, text[:200]
    over = found.filter(has=page.get_by_role("button", name="Take over")).first
    said = over.locator("b").nth(1).inner_text()
    over.get_by_role("button", name="Take over").click()
    expect(page.locator("#said")).to_have_text("Noted among the errata.")
    errata = yaml.safe_load((restored.course / "errata.yaml").read_text())["errata"]
    assert said in errata[-1]["said"]
    assert errata[-1]["by"] == "proofing"
    expect(found).to_have_count(count - 1)
    page.locator(".finding").last.get_by_role("button", name="Dismiss").click()
    expect(page.locator("#said")).to_have_text("Dismissed for good.")
    expect(found).to_have_count(count - 2)
    decided = yaml.safe_load((restored.course / "proofed.yaml").read_text())
    assert (len(decided["dismissed"]), len(decided["taken_over"])) == (1, 1)
    page.locator("form[action='/undo'] button").click()
    until(lambda: "dismissed" not in yaml.safe_load((restored.course / "proofed.yaml").read_text()), page)
    page.close()


def test_progress_is_ticked_off_and_what_cannot_be_is_told(context: BrowserContext, restored: Served) -> None:
    page = context.new_page()
    page.goto(f"http://{restored.host}/pieces")
    started = yaml.safe_load((restored.course / "agreed.yaml").read_text())["progress"]
    there = page.evaluate("[...document.querySelectorAll('[id^=far-]')].map((one) => [one.id.slice(4), one.value])")
    assert {letter: far for letter, far in there if far} == {key: one.split(",")[0] for key, one in started.items()}
    page.locator("#far-G").press("Enter")
    told = page.locator(".pieces-agreed .form-said:visible")
    expect(told).to_contain_text("Say how far piece G is")
    page.fill("#far-G", "cuff round 99")
    page.locator("#far-G").press("Enter")
    expect(told).to_contain_text("99")
    before = (restored.course / "agreed.yaml").read_text()
    page.fill("#far-G", "cuff round 12")
    page.fill("#took-G", "1:40")
    page.locator("#took-G").press("Enter")
    expect(told).to_have_text("“1:40” is no time: write it as 1 h 40 min.")
    page.fill("#took-G", "1 h 40 min")
    page.locator("#took-G").press("Enter")
    expect(page.locator("#said")).to_contain_text("Noted: piece G, cuff round 12.")
    expect(page.locator("#said")).to_contain_text("judged by the time")
    expect(page.locator("#took-G")).to_have_value("")  # a time for an earlier state is not sent again with the next
    after = (restored.course / "agreed.yaml").read_text()
    added = [line for line in after.splitlines() if line not in before.splitlines()]
    assert added == ['  G: "cuff round 12, 1 h 40 min"']
    assert after.replace(added[0] + "\n", "") == before
    expect(page.locator(".card", has=page.locator("#far-G"))).to_contain_text("Done.")
    page.get_by_role("button", name=re.compile("It has come to .*: piece N")).click()
    expect(page.locator("#said")).to_contain_text("Noted: piece N")
    stops = {one["letter"]: one["stop"] for one in yaml.safe_load(after)["pieces"]}
    assert yaml.safe_load((restored.course / "agreed.yaml").read_text())["progress"]["N"] == stops["N"]
    page.close()


def test_a_what_if_is_answered_as_the_command_answers_it(context: BrowserContext, served: Served) -> None:
    planned = lessonplan.plan(served.course).plan
    assert planned
    from lessonplan.documents.samples import change_text

    change = lessonplan.what_if(planned, helpers=2, film="2.2", before="2.1")
    assert change
    page = context.new_page()
    before = {path: path.read_bytes() for path in served.course.glob("*.yaml")}
    page.goto(f"http://{served.host}/samples")
    page.select_option("#helpers", "2")
    page.select_option("#film", "2.2")
    page.select_option("#before", "2.1")
    page.get_by_role("button", name="Work it out").click()
    page.wait_for_selector("#answer")
    assert page.inner_text("#answer") == re.sub(r"\s+", " ", change_text(planned, change))
    page.wait_for_selector("table caption")
    assert page.locator("tbody tr").count() == 4
    assert {path: path.read_bytes() for path in served.course.glob("*.yaml")} == before
    page.close()


def test_a_course_that_was_begun_is_undone_and_made_anew_as_one(root: Path, tmp_path: Path) -> None:
    with desk_on(root, tmp_path) as served:
        status, _, data = served.ask("POST", "/begin", b"made=hat&title=A+Hat")
        assert status == 200, data
        begun = {path: path.read_bytes() for path in tmp_path.rglob("*.yaml")}
        assert {"course.yaml", "pattern.yaml", "01.yaml", "02.yaml"} == {path.name for path in begun}
        assert b"Begin a course" not in served.ask("GET", "/")[2]
        told = json.loads(served.ask("POST", "/undo", b"")[2])
        assert told == {"said": "Undone: the course begun.", "to": "/"}, "no form has anything to show any more"
        assert not [*tmp_path.rglob("*.yaml")]
        assert b"Begin a course" in served.ask("GET", "/")[2]
        assert served.ask("POST", "/redo", b"")[0] == 200
        assert {path: path.read_bytes() for path in tmp_path.rglob("*.yaml")} == begun
        assert served.ask("POST", "/undo", b"")[0] == 200
        assert served.ask("POST", "/begin", b"made=scarf")[0] == 200  # and begun otherwise


def test_a_course_is_saved_and_opened_from_the_page(context: BrowserContext, served: Served, tmp_path: Path) -> None:
    page = context.new_page()
    page.goto(f"http://{served.host}/")
    with page.expect_download() as got:
        page.get_by_role("link", name="Save the whole course").click()
    saved = tmp_path / got.value.suggested_filename
    got.value.save_as(saved)
    page.locator("summary", has_text="Open a saved course").click()
    page.set_input_files("#zip", saved)
    page.get_by_role("button", name="Open", exact=True).click()
    made = served.course.with_name("mittens-2")
    expect(page.locator("#said.is-good")).to_contain_text(str(made))
    names = {path.relative_to(made) for path in made.rglob("*") if path.is_file()}
    assert Path("episodes/01-cuff.yaml") in names
    assert all((made / name).read_bytes() == (served.course / name).read_bytes() for name in names)
    page.close()
