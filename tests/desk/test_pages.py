"""The desk in a real browser: what is written is live, nothing typed is lost, and every page can be used by anybody."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Error, Route, expect

from lessonplan.desk.history import digest_of
from tests.desk.conftest import Served
from tests.waiting import stored, until

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

DIGEST = "document.getElementById('in.edition').form.elements.digest.value"
SAVED = "document.getElementById('kept')?.textContent === 'Saved'"
SEEN = "iframe:not(.coming)"
TITLE = f"document.querySelector('{SEEN}')?.contentDocument?.title"
WHERE = f"document.querySelector('{SEEN}')?.contentWindow.location.pathname"
TEXT = "document.getElementById('text')?.value"
"""What a page shows; nothing while it is loaded again."""


def opened(context: BrowserContext, served: Served, path: str, *, document: bool = False) -> Page:
    """Open a page of the desk; the document beside it is empty where a test does not look at it."""
    page = context.new_page()
    if not document:
        page.route("**/paper/*", lambda route: route.fulfill(body="", content_type="text/html"))
    page.goto(f"http://{served.host}{path}")
    return page


def typed(page: Page, old: str, new: str) -> None:
    """Change the text as typing does."""
    change = """([was, now]) => { const text = document.getElementById('text');
      text.value = text.value.replace(was, now); text.dispatchEvent(new Event('input', {bubbles: true})); }"""
    page.evaluate(change, [old, new])


def save(page: Page) -> None:
    page.keyboard.press("Control+s")
    page.wait_for_function(SAVED)


def test_a_save_renews_the_document_in_its_place_and_nothing_else(context: BrowserContext, served: Served) -> None:
    file = served.course / "pattern.yaml"
    before = file.read_bytes()
    page = opened(context, served, "/file/pattern.yaml", document=True)
    assert page.locator("#which option").first.get_attribute("value") == "handout.html"
    page.wait_for_selector(SEEN)
    page.frame_locator(SEEN).locator("h1").wait_for()
    page.locator(SEEN).evaluate("one => one.contentWindow.scrollTo({top: 900, behavior: 'instant'})")
    typed(page, "title: Ostrelby Mittens", "title: Harbour Mittens")
    save(page)
    page.wait_for_function(f"{TITLE}?.includes('Harbour Mittens')")
    assert page.locator(SEEN).evaluate("one => one.contentWindow.scrollY") == 900
    expect(page.locator("iframe")).to_have_count(1)
    assert file.read_bytes() == before.replace(b"title: Ostrelby Mittens", b"title: Harbour Mittens")
    # Another program's save is shown in the text and in the document too.
    file.write_bytes(before)
    page.wait_for_function(f"{TEXT}?.includes('Ostrelby Mittens')")
    page.wait_for_function(f"{TITLE}?.includes('Ostrelby Mittens')")
    page.close()


@pytest.mark.parametrize("method", ["HEAD", "GET"])
def test_a_document_that_is_chosen_before_the_first_has_come_is_shown(
    context: BrowserContext, served: Served, method: str
) -> None:
    """The first is held up where it is asked after, or where it is loaded, until the other is seen."""
    held = list[Route]()
    page = context.new_page()
    page.route(
        "**/paper/handout.html", lambda one: held.append(one) if one.request.method == method else one.continue_()
    )
    page.goto(f"http://{served.host}/file/pattern.yaml", wait_until="domcontentloaded")
    until(lambda: bool(held), page)
    page.select_option("#which", "shot-list.html")
    page.wait_for_function(f"{WHERE} === '/paper/shot-list.html'")
    for one in held:
        with suppress(Error):  # nobody may wait for it any more
            one.continue_()
    page.wait_for_timeout(300)
    assert page.evaluate(WHERE) == "/paper/shot-list.html"
    expect(page.locator("iframe")).to_have_count(1)
    page.close()


def test_two_who_save_at_once_both_keep_their_text(context: BrowserContext, served: Served) -> None:
    file = served.course / "notes.md"
    file.write_text("One\n")
    mine, other = (opened(context, served, "/file/notes.md") for _ in range(2))
    typed(mine, "One", "Mine")
    file.write_text("Of an editor\n")
    mine.keyboard.press("Control+s")
    mine.wait_for_selector("#apart:not([hidden])")
    assert file.read_text() == "Of an editor\n"
    assert mine.input_value("#theirs") == "Of an editor\n"
    assert mine.input_value("#text") == "Mine\n"
    mine.click("#keep-mine")
    mine.wait_for_function(SAVED)
    assert file.read_text() == "Mine\n"
    other.reload()
    typed(other, "Mine", "Other")
    typed(mine, "Mine", "Mine again")
    save(mine)
    other.keyboard.press("Control+s")
    other.wait_for_selector("#apart:not([hidden])")
    other.click("#take-theirs")
    other.wait_for_function(f"{TEXT} === 'Mine again\\n'")
    other.get_by_role("link", name="Older versions").click()
    other.get_by_role("link", name="see it").first.click()
    only = other.locator("h3", has_text="Lines that only this version has").locator("+ pre")
    expect(only).to_have_text("Other")
    kept = [path.read_text() for path in (served.course / ".desk" / "kept").iterdir()]
    assert {"Of an editor\n", "Mine\n", "Other\n"} <= set(kept)
    file.unlink()
    typed(mine, "again", "after all")
    mine.keyboard.press("Control+s")
    mine.wait_for_selector("#apart:not([hidden])")
    assert "deleted or renamed" in mine.inner_text("#apart-said")
    mine.click("#keep-mine")
    mine.wait_for_function(SAVED)
    assert file.read_text() == "Mine after all\n"
    file.unlink()
    mine.close()
    other.close()


def test_of_two_long_texts_the_line_is_named_and_shown_at_which_they_differ(
    context: BrowserContext, served: Served
) -> None:
    file = served.course / "notes.md"
    lines = [f"Line {number}" for number in range(1, 201)]
    file.write_text("\n".join(lines))
    page = opened(context, served, "/file/notes.md")
    typed(page, "Line 150", "Mine")
    file.write_text("\n".join([*lines[:149], "Theirs", *lines[150:]]))
    page.keyboard.press("Control+s")
    page.wait_for_selector("#apart:not([hidden])")
    assert page.inner_text("#apart-said").endswith("They differ from line 150 on.")
    box = "(one => [one.scrollTop, one.clientHeight, one.scrollHeight])(document.getElementById('theirs'))"
    above, seen, whole = page.evaluate(box)
    assert above < whole * 149 / 200 < above + seen
    page.click("#take-theirs")
    page.wait_for_function(f"{TEXT}.includes('Theirs')")
    file.unlink()
    page.close()


def test_a_file_that_is_deleted_meanwhile_is_told_of_and_written_anew(context: BrowserContext, served: Served) -> None:
    file = served.course / "errata.yaml"
    before = file.read_text("utf-8")
    page = opened(context, served, "/file/errata.yaml")
    file.unlink()
    page.wait_for_function("document.getElementById('kept').textContent.includes('deleted or renamed')")
    assert page.input_value("#text") == before
    typed(page, "errata:", "# mine\nerrata:")
    page.keyboard.press("Control+s")
    page.wait_for_selector("#apart:not([hidden])")
    assert page.is_hidden("#theirs")
    assert "deleted or renamed" in page.inner_text("#apart-said")
    assert page.inner_text("#take-theirs") == "Leave it away"
    page.get_by_role("button", name="Write mine anew").click()
    page.wait_for_function(SAVED)
    assert file.read_text("utf-8") == before.replace("errata:", "# mine\nerrata:", 1)
    file.write_text(before, "utf-8")
    page.close()


def test_typing_survives_a_closed_page_and_a_desk_that_does_not_answer(context: BrowserContext, served: Served) -> None:
    file = served.course / "notes.md"
    file.write_text("One\n")
    page = opened(context, served, "/file/notes.md")
    typed(page, "One", "Typed")
    stored(page)
    page.close()
    page = opened(context, served, "/file/notes.md")
    expect(page.locator("#text")).to_have_value("Typed\n")
    expect(page.locator("#draft")).to_contain_text("is back")
    page.route("**/file/notes.md", lambda route: route.abort() if route.request.method == "POST" else route.continue_())
    page.keyboard.press("Control+s")
    expect(page.locator("#said")).to_contain_text("does not answer")
    stored(page)
    page.close()
    assert file.read_text() == "One\n"
    page = opened(context, served, "/file/notes.md")  # it was to be sent, so it is sent now
    page.wait_for_function(SAVED)
    assert file.read_text() == "Typed\n"
    file.unlink()
    page.close()


def test_a_problem_leads_to_its_line_and_a_course_with_errors_opens_all_the_same(
    context: BrowserContext, served: Served
) -> None:
    page = opened(context, served, "/file/course.yaml", document=True)
    line = page.input_value("#text").splitlines().index("edition: 1") + 1
    typed(page, "edition: 1", "edition: first\nhots: 3")
    save(page)
    page.wait_for_selector(".problems li.is-error >> nth=1")
    page.goto(f"http://{served.host}/")
    page.wait_for_selector("#state.is-wrong")
    links = page.locator(".problems li", has_text="not a whole number").locator("a")
    assert links.first.inner_text() == "Course, Edition"
    assert links.last.text_content() == f"as text: course.yaml, line {line}"
    links.first.click()
    page.wait_for_function("document.activeElement?.id === 'in.edition'")
    page.go_back()
    links.last.click()
    page.wait_for_function("document.activeElement?.id === 'text'")
    chosen = "(({value, selectionStart: a, selectionEnd: b}) => value.slice(a, b))(document.getElementById('text'))"
    assert page.evaluate(chosen) == "edition: first"
    page.wait_for_selector(SEEN)  # the documents from before stay
    page.locator("form[action='/undo'] button").click()
    page.wait_for_selector("#said.is-good")
    page.wait_for_function(f"{TEXT}?.includes('edition: 1\\n')")
    page.wait_for_selector("#state:not(.is-wrong)")
    page.close()


def test_a_file_is_begun_and_taken_back_by_keyboard_alone(context: BrowserContext, served: Served) -> None:
    page = opened(context, served, "/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    page.locator("summary", has_text="A new file").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("captions/03-top.vtt")
    page.keyboard.press("Enter")
    page.wait_for_url("**/file/captions/03-top.vtt")
    assert (served.course / "captions/03-top.vtt").read_text() == ""
    page.locator("form[action='/undo'] button").press("Enter")
    page.wait_for_function(
        "!location.pathname.startsWith('/file') || document.querySelector('h1')?.textContent === 'Not done'"
    )
    assert not (served.course / "captions/03-top.vtt").exists()
    page.close()


def test_fields_change_one_value_and_lose_no_typing(context: BrowserContext, served: Served) -> None:
    file = served.course / "course.yaml"
    before = file.read_bytes()
    page = opened(context, served, "/form/course.yaml#at.place")
    field = page.locator("[id='in.place']")
    field.fill("The Rope Walk, Ostrelby")
    field.press("Tab")
    after = before.replace(b"The Net Loft, Ostrelby", b"The Rope Walk, Ostrelby")
    until(lambda: file.read_bytes() == after, page)
    # A problem stands at its field, and goes when the field is right again.
    page.locator("[id='in.edition']").fill("first")
    page.keyboard.press("Tab")
    page.wait_for_selector("[id='in.edition'][aria-invalid]")
    expect(page.locator("[id='in.edition.wrong']")).to_contain_text("not a whole number")
    page.locator("[id='in.edition']").fill("1")
    page.keyboard.press("Tab")
    page.wait_for_selector("[id='in.edition']:not([aria-invalid])")
    # What was typed when the page was closed, or the desk was out of reach, is there and sent again.
    field.fill("The Net Loft, Ostrelby")
    stored(page)
    page.close()
    assert b"Rope Walk" in file.read_bytes()
    page = opened(context, served, "/form/course.yaml#at.place")
    until(lambda: file.read_bytes() == before, page)
    page.close()


def test_a_page_is_left_once_what_was_typed_there_is_sent(context: BrowserContext, served: Served) -> None:
    page, held = opened(context, served, "/form/course.yaml"), list[Route]()
    page.route("**/form", lambda one: held.append(one))
    for name, text in (("place", "The Rope Walk"), ("host", "Tove Marrowby")):
        page.locator(f"[id='in.{name}']").fill(text)
    page.get_by_role("link", name="Today").first.click()  # two fields are left, and one is on its way
    until(lambda: len(held) == 1, page)
    held.pop().continue_()
    until(lambda: len(held) == 1, page)
    assert page.url.endswith("/form/course.yaml")
    held.pop().continue_()
    page.wait_for_url(f"http://{served.host}/")
    page.close()
    text = (served.course / "course.yaml").read_text("utf-8")
    assert "place: The Rope Walk\n" in text
    assert "host: Tove Marrowby\n" in text


def test_what_is_typed_and_not_saved_is_told_on_every_page_and_back_in_its_place(
    context: BrowserContext, served: Served
) -> None:
    before = (served.course / "course.yaml").read_bytes()
    page = opened(context, served, "/form/course.yaml")
    page.route("**/form", lambda one: one.abort())  # the desk does not answer
    page.locator("[id='in.place']").fill("The Rope Walk")
    page.keyboard.press("Tab")
    expect(page.locator("main")).to_contain_text("the desk does not answer")
    page.goto(f"http://{served.host}/form/errata.yaml")
    page.locator("summary", has_text="Add an erratum").click()
    page.locator("[id='at.errata.new.value.by']").fill("Jorun A.")
    page.goto(f"http://{served.host}/pieces")
    told = page.locator(".typed-before")
    expect(told).to_have_text([re.compile("“Jorun A.”.*Go there"), re.compile("“The Rope Walk”.*Go there")])
    told.filter(has_text="Jorun").get_by_role("link").click()
    expect(page.locator("[id='at.errata.new.value.by']")).to_have_value("Jorun A.")
    assert page.locator("[id='at.errata.new.value.by']").is_visible()
    told.filter(has_text="back in its place").get_by_role("button", name="Drop it").click()
    expect(told).to_have_count(1)
    expect(page.locator("[id='at.errata.new.value.by']")).to_have_value("")
    page.unroute("**/form")
    told.get_by_role("link").click()
    until(lambda: b"place: The Rope Walk" in (served.course / "course.yaml").read_bytes(), page)
    page.wait_for_function("!localStorage.length")
    page.goto(f"http://{served.host}/")
    expect(told).to_have_count(0)
    undo = page.locator("form[action='/undo'] button")
    expect(undo).to_have_attribute("title", "Course, Place")
    undo.click()
    until(lambda: (served.course / "course.yaml").read_bytes() == before, page)
    page.close()


def test_undo_names_what_was_changed_last_and_the_head_the_course(context: BrowserContext, served: Served) -> None:
    file = served.course / "course.yaml"
    before = file.read_bytes()
    page = opened(context, served, "/form/course.yaml")
    page.locator("[id='in.title']").fill("Harbour Mittens")
    page.keyboard.press("Tab")
    expect(page.locator("form[action='/undo'] button")).to_have_attribute("title", "Course, Title")
    expect(page.locator("header .course")).to_have_text("Harbour Mittens")
    page.locator("form[action='/undo'] button").click()
    expect(page.locator("#said")).to_have_text("Undone: Course, Title.")
    until(lambda: file.read_bytes() == before, page)
    page.close()


def test_what_is_removed_is_named_and_the_hand_stays_in_its_list(context: BrowserContext, served: Served) -> None:
    file = served.course / "errata.yaml"
    before = file.read_bytes()
    page = opened(context, served, "/form/errata.yaml")
    entries = page.locator("[id='at.errata'] .entry-title")
    expect(entries.first).to_have_text(re.compile("^episode 2, shot 2.3.2: fifteen stitches"))
    page.locator("[id='at.errata.0']").get_by_role("button", name="Remove").press("Enter")
    expect(page.locator("#said")).to_have_text(re.compile("^episode 2, shot 2.3.2: .* removed. Undo brings it back.$"))
    expect(entries).to_have_count(2)
    page.wait_for_function("document.getElementById('at.errata').contains(document.activeElement)")
    page.locator("form[action='/undo'] button").click()
    until(lambda: file.read_bytes() == before, page)
    page.close()


def test_a_page_that_is_renewed_takes_nothing_from_under_the_hand(context: BrowserContext, served: Served) -> None:
    file = served.course / "course.yaml"
    before = file.read_bytes()
    page = opened(context, served, "/form/course.yaml")
    page.locator("summary", has_text="Add a day of filming").click()
    page.locator("[id='at.shoot.new.value.day']").focus()
    page.keyboard.type("0213")  # half of a date is no value yet
    file.write_bytes(before + b"# More.\n")
    until(lambda: page.evaluate(DIGEST) == digest_of(file.read_bytes()), page)
    page.keyboard.type("2027")
    assert page.evaluate("document.activeElement.value") == "2027-02-13"
    file.write_bytes(before)
    page.close()


def test_a_value_that_was_changed_elsewhere_is_shown_beside_mine(context: BrowserContext, served: Served) -> None:
    file = served.course / "course.yaml"
    before = file.read_bytes()
    mine, other = (opened(context, served, "/form/course.yaml") for _ in range(2))
    title, host = "[id='in.title']", "[id='in.host']"

    def changed(name: str, text: str) -> None:
        """Change a value in the other tab while it is being typed in mine, and wait until mine has heard of it."""
        other.fill(name, text)
        other.press(name, "Tab")
        until(lambda: text.encode() in file.read_bytes(), mine)
        until(lambda: mine.evaluate(DIGEST) == digest_of(file.read_bytes()), mine)

    mine.fill(title, "Mine")
    changed(host, "Other")
    mine.press(title, "Tab")  # another value was changed: both are kept
    made = before.replace(b"host: Minna Quillbeck", b"host: Other")
    until(lambda: file.read_bytes() == made.replace(b"title: A Pair of Ostrelby Mittens", b"title: Mine"), mine)
    until(lambda: other.evaluate(DIGEST) == digest_of(file.read_bytes()), other)
    mine.fill(title, "Mine again")
    changed(title, "Theirs")
    mine.press(title, "Tab")
    mine.wait_for_selector(".theirs")
    assert (mine.inner_text(".theirs"), mine.input_value(title)) == ("Theirs", "Mine again")
    assert b"title: Theirs" in file.read_bytes()
    mine.get_by_role("button", name="Take what stands there").click()
    mine.wait_for_function(f'document.activeElement.matches("{title}") && document.activeElement.value === "Theirs"')
    mine.fill(title, "Mine at last")
    stored(mine)
    mine.close()  # and the file goes on
    file.write_bytes(made)
    mine = opened(context, served, "/form/course.yaml")
    mine.wait_for_selector(".theirs")
    assert mine.input_value(title) == "Mine at last"
    assert file.read_bytes() == made
    mine.get_by_role("button", name="Write mine over it").click()
    until(lambda: b"title: Mine at last" in file.read_bytes(), mine)
    file.write_bytes(before)
    mine.close()
    other.close()


def test_lists_are_put_in_order_by_keyboard(context: BrowserContext, served: Served) -> None:
    file = served.course / "episodes/01-cuff.yaml"
    before = file.read_bytes()
    page = opened(context, served, "/form/episodes/01-cuff.yaml")
    rows = '[id="at.segments"] > ol > li > .entry .entry-title'
    titles = "one => one.textContent.replace(/^[0-9.]+ /, '')"  # the numbers tell the places, whatever stands there
    names = f"[...document.querySelectorAll('{rows}')].map({titles})"
    first = page.evaluate(names)
    down = page.locator("[id='at.segments.0'] > .entry").get_by_role("button", name="Down")
    down.press("Enter")
    page.wait_for_function(f"({names})[0] === {json.dumps(first[1])}")
    assert page.evaluate(names) == [first[1], first[0], *first[2:]]
    page.wait_for_function("document.activeElement.id === 'at.segments.1'")  # the focus goes with what was moved
    assert sorted(file.read_bytes().splitlines()) == sorted(before.splitlines())
    page.locator("form[action='/undo'] button").press("Enter")
    page.wait_for_function(f"({names})[0] === {json.dumps(first[0])}")
    assert file.read_bytes() == before
    page.close()


def test_on_a_phone_either_the_course_or_the_document_is_seen(browser: Browser, served: Served) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 900}, bypass_csp=True)
    page = context.new_page()
    page.goto(served.address)
    page.get_by_role("button", name="Document", exact=True).click()
    page.wait_for_selector(SEEN)
    expect(page.locator("main")).to_be_hidden()
    page.get_by_role("button", name="Pages").click()
    page.get_by_role("link", name="Pieces").click()  # what is chosen is seen, whatever document stood before it
    expect(page.get_by_role("heading", name="Pieces")).to_be_visible()
    page.get_by_role("button", name="Document", exact=True).click()
    page.wait_for_selector(SEEN)
    page.get_by_role("button", name="Course", exact=True).click()
    expect(page.locator("#frames")).to_be_hidden()
    context.close()
