"""The page of a form in a browser: named, told, typed by keyboard alone and without scripts, at every width."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING
from urllib.parse import parse_qsl, quote, unquote

import pytest
import yaml
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from lessonplan.desk.forms.changes import apply, change_from, landing
from lessonplan.desk.forms.making import form_of
from lessonplan.desk.forms.outline import next_episode, outline_of
from lessonplan.desk.forms.values import id_of
from lessonplan.planning.worked import load
from tests.desk.forms_folder import Course
from tests.desk.test_forms import BROKEN, scarf

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SECOND = "episodes/02-thumb-and-band.yaml"
SHELL = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Desk</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark">
<style>{{ style | safe }}</style><script>{{ script | safe }}</script></head><body><main>
{% import "fields.html.j2" as forms %}
{% if form %}{{ forms.whole(form, "d") }}{% else %}<h1>Outline</h1>
{{ forms.outline(branches) }}{{ forms.episode(new) }}{% endif %}</main></body></html>"""


class Desk:
    """Answers a browser as a server of the desk would: pages of forms, and posted changes made in the texts."""

    def __init__(self, course: Course, root: Path, folder: Path | None = None) -> None:
        self.course = course
        self.problems = load(folder).problems if folder else ()
        templates = root / "templates"
        made = Environment(
            loader=FileSystemLoader(templates / "desk"),
            undefined=StrictUndefined,
            autoescape=True,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.shell = made.from_string(SHELL)
        self.script = (templates / "desk" / "pick.js").read_text("utf-8")
        self.style = (templates / "style.css").read_text("utf-8") + (templates / "desk" / "form.css").read_text("utf-8")

    @contextmanager
    def served(self) -> Iterator[str]:
        """Serve on this machine; gives the address."""
        desk = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                found = re.search(r"^/form/([^?#]+)(?:\?path=([^#]*))?", self.path)
                body = desk.page(unquote(found[1]), unquote(found[2] or "")) if found else desk.page("", "")
                self.told(200, body, ("Content-Type", "text/html"))

            def do_POST(self) -> None:
                sent = self.rfile.read(int(self.headers["Content-Length"])).decode()
                posted = dict(parse_qsl(sent, keep_blank_values=True))
                change = change_from(posted)
                before = desk.course.files.get(change.file, "")
                desk.course.files[change.file] = apply(before, change)
                at = quote(id_of(landing(before, change), "in" if change.kind == "set" else "at"))
                self.told(303, "", ("Location", f"/form/{change.file}?path={quote(posted.get('back', '[]'))}#{at}"))

            def told(self, status: int, body: str, header: tuple[str, str]) -> None:
                self.send_response(status)
                self.send_header(*header)
                self.send_header("Content-Length", str(len(body.encode())))
                self.end_headers()
                self.wfile.write(body.encode())

            def log_message(self, format: str, *args: object) -> None:
                """Say nothing."""

        server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        server.server_close()

    def page(self, file: str, path: str) -> str:
        files = self.course.files
        place = change_from({"file": file or "-", "kind": "set", "path": path}).path
        form = form_of(files, file, place, self.problems, ("body.rows",)) if file else None
        outline = {"branches": outline_of(files, self.problems), "new": next_episode(files)}
        return self.shell.render(form=form, style=self.style, script=self.script, **outline)


@pytest.fixture
def sample(root: Path) -> Desk:
    return Desk(Course.of(root / "sample_course"), root)


@pytest.fixture
def address(sample: Desk) -> Iterator[str]:
    with sample.served() as address:
        yield address


@pytest.fixture(params=[True, False], ids=["scripts", "no scripts"])
def page(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 820, "height": 1180}, java_script_enabled=request.param)
    yield context.new_page()
    context.close()


PLACES = (
    ("", ""),
    ("course.yaml", ""),
    ("pattern.yaml", ""),
    ("pattern.yaml", '["stages","top","works",1]'),
    (SECOND, '["segments",2,"shots",1]'),
)


@pytest.mark.parametrize(("file", "path"), PLACES)
def test_every_control_has_a_name_and_what_is_said_of_it(sample: Desk, file: str, path: str) -> None:
    page = sample.page(file, path)
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    named = set(re.findall(r'<label for="([^"]+)"', page))
    for tag in re.findall(r"<(?:input|select|textarea)\b[^>]*>", page):
        if 'type="hidden"' not in tag:
            assert re.search(r'\bid="([^"]+)"', tag)[1] in named, tag  # type: ignore[index]
    for told in re.findall(r'aria-describedby="([^"]+)"', page):
        assert set(told.split()) <= set(ids)


FOUND = "all => all.violations.map(one => one.id + ' ' + one.nodes[0].html)"


def test_every_place_fits_every_width_and_axe_finds_nothing(
    sample: Desk, browser: Browser, axe: Path, root: Path, tmp_path: Path
) -> None:
    for name, text in BROKEN.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    broken = Desk(Course(BROKEN), root, tmp_path)
    small = Desk(Course(), root)
    scarf(small.course)
    page = browser.new_page()
    for desk, file, path in ((sample, *PLACES[0]), (sample, *PLACES[-1]), (small, *PLACES[1]), (broken, *PLACES[1])):
        page.set_content(desk.page(file, path))
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
        for width in (390, 820, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (file, path, width)
        page.add_script_tag(path=axe)
        page.emulate_media(color_scheme="light")
        assert page.evaluate(f"axe.run().then({FOUND})") == [], (file, path)
        page.emulate_media(color_scheme="dark")
        assert page.evaluate(f"axe.run({{runOnly: ['color-contrast']}}).then({FOUND})") == [], (file, path)
    page.close()


def test_a_form_is_filled_by_keyboard_alone(sample: Desk, page: Page, address: str) -> None:
    page.goto(f"{address}/form/{SECOND}?path=%5B%22segments%22%2C2%5D")
    before = sample.course.files[SECOND]
    title = page.get_by_label("Title", exact=False).first
    title.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("The thumb: asleep")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    after = sample.course.files[SECOND]
    assert after == before.replace("  - title: The thumb goes to sleep", '  - title: "The thumb: asleep"')
    # The second shot goes up: its button is reached by the key Tab alone from the link before it.
    page.get_by_role("link", name="On to the waste yarn").focus()
    page.keyboard.press("Tab")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    shots = [one.title for one in sample.course.form(SECOND, ("segments", 2)).lists[0].entries]
    assert shots[:2] == ["2.3.1 On to the waste yarn", "2.3.2 Is it deep enough?"]
    assert page.url.endswith("#at.segments.2.shots.0")
    assert sorted(sample.course.files[SECOND].splitlines()) == sorted(after.splitlines())
    # One more shot.
    page.locator("summary", has_text="Add a shot").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("face")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert sample.course.form(SECOND, ("segments", 2, "shots", 3)).fields[0].value == "face"
    assert page.url.endswith("#at.segments.2.shots.3")


def test_what_a_field_may_be_is_picked(sample: Desk, browser: Browser, address: str) -> None:
    page = browser.new_page()
    page.goto(f"{address}/form/{SECOND}?path=%5B%22segments%22%2C2%2C%22shots%22%2C1%5D")
    kinds = page.get_by_label("Kinds that will do")
    page.get_by_text("To choose from: Kinds").focus()
    page.keyboard.press("Enter")
    short, small = (page.get_by_role("button", name=name, exact=True) for name in ("short", "small"))
    assert (short.get_attribute("aria-pressed"), small.get_attribute("aria-pressed")) == ("true", "false")
    small.press("Enter")
    assert kinds.input_value() == "full, short, small"
    short.press("Enter")
    assert kinds.input_value() == "full, small"
    assert (short.get_attribute("aria-pressed"), small.get_attribute("aria-pressed")) == ("false", "true")
    say = page.get_by_label("Said, word for word")
    say.fill("Cast on  now.")
    say.evaluate("field => field.setSelectionRange(8, 8)")
    page.get_by_text("Numbers that a text can name").click()
    page.get_by_role("button", name="{{ body.rows }}").click()
    assert say.input_value() == "Cast on {{ body.rows }} now."
    page.close()


def test_an_episode_is_added_from_the_outline(sample: Desk, page: Page, address: str) -> None:
    page.goto(address)
    page.locator("summary", has_text="Add an episode").click()
    page.get_by_label("Title", exact=True).fill("Mending")
    page.get_by_label("Title of its first segment").fill("A hole")
    page.get_by_label("View of its first shot").fill("face")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    wanted = "episode: 4\ntitle: Mending\n\nsegments:\n  - title: A hole\n    shots:\n      - view: face\n"
    assert sample.course.files["episodes/04.yaml"].endswith(f"\n\n{wanted}")


def test_whatever_a_course_holds_is_text_on_the_page(root: Path, browser: Browser) -> None:
    odd = '<img src=x onerror=alert(1)> "it\'s" & </textarea><b>{{ x }}'
    course = Course({"course.yaml": "title: x\nhost: y\n"})
    course.post("course.yaml", "add", ["tools"], name=odd, value__what=odd)
    course.post("course.yaml", "set", ["summary"], value=f"{odd}\n{odd}")
    desk = Desk(course, root)
    with desk.served() as address:
        page = browser.new_page()
        page.goto(f"{address}/form/course.yaml")
        assert page.locator("main img, main textarea b").count() == 0
        assert page.get_by_label("Summary").input_value() == f"{odd}\n{odd}"
        assert page.get_by_label("What needed").or_(page.get_by_label("What", exact=True)).first.input_value() == odd
        page.get_by_label("Its short name").fill("plain")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert [*yaml.safe_load(course.files["course.yaml"])["tools"]] == ["plain"]
        page.close()
