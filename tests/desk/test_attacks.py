"""A desk under attack: by pages and programs beside it, by neighbours in its network, by its own course, by mishaps.

The course's own templates and names are hostile here, and the desk is served for a tablet too, at a second address.
"""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

import pytest

from tests.desk.conftest import Served
from tests.small_course import write_course
from tests.waiting import LONG, until

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Route

FORM = {"Content_Type": "application/x-www-form-urlencoded"}
LAN = "127.0.0.2"
HEAD_SECONDS, LINES = 8.0, 150
OPENED = f"""\
import sys
from lessonplan.desk import serve
serve.lan_address = lambda: {LAN!r}
serve._HEAD, serve._HERE = {HEAD_SECONDS}, {LINES}
from tests.desk.patient import main
main()
"""
TEMPLATE = """\
<base href="//evil.example/"><meta http-equiv="refresh" content="1;url=http://evil.example/refreshed">
<link rel="stylesheet" href="http://evil.example/x.css"><link rel="prefetch" href="http://evil.example/p">
<style>body { background: url(http://evil.example/b) }</style></head><body onload="alert('onload')">
<script>alert("script")</script><script src="/asset/desk.js"></script><script src="http://evil.example/x.js"></script>
<img src="http://evil.example/i" onerror="alert('onerror')"><iframe srcdoc="<script>alert('srcdoc')</script>"></iframe>
<iframe src="/"></iframe><object data="/"></object><svg onload="alert('svg')"></svg>
<form action="/file/course.yaml" method="post"><input name="digest" value=""><button id="post">x</button></form>
<p><a id="out" target="_top" href="http://evil.example/out">o</a> <a id="run" href="javascript:alert('link')">r</a></p>
<h1>{{ view.title }}</h1></body></html>
"""
NAMES = (
    "<img src=x onerror=alert(1)>.md",
    "a\"onfocus='alert(2)'.md",
    "\u202egnp.md",
    "two\nlines.yaml",
    "-rf.md",
    "a b.md",
)


@pytest.fixture(scope="module")
def desk(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, str]]:
    """A desk on a hostile course, and what the terminal showed of the tablet's address."""
    home = tmp_path_factory.mktemp("attacked")
    course = write_course(home / "c")
    (course / "templates").mkdir()
    (course / "templates" / "shot-list.html").write_text(TEMPLATE, encoding="utf-8")
    for name in NAMES:
        (course / name).write_text("mine\n", encoding="utf-8")
    (course / "captions").symlink_to("/usr")
    (course / "takes").mkdir()
    (course / "takes" / "all").symlink_to("/")
    os.mkfifo(course / "pipe.md")
    words = [sys.executable, "-u", "-c", OPENED, "desk", str(course), "--lan"]
    ways = {**os.environ, "PYTHONPATH": str(root)}
    with subprocess.Popen(words, cwd=root, env=ways, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout
        first, second = running.stdout.readline(), running.stdout.readline()
        yield Served(course, first.rpartition(" ")[2].strip()), second.rpartition(" ")[2].strip()
        running.terminate()


@pytest.fixture
def served(desk: tuple[Served, str]) -> Served:
    return desk[0]


def line_to(served: Served, host: str = "127.0.0.1") -> socket.socket:
    return socket.create_connection((host, int(served.host.split(":")[1])), timeout=LONG)


def ended(line: socket.socket) -> bool:
    """Whether the other side has closed without a word."""
    try:
        return line.recv(1) == b""
    except TimeoutError:
        return False
    except ConnectionError:
        return True


def posted(served: Served, address: str, /, **fields: str) -> tuple[int, dict[str, str]]:
    status, _, data = served.ask("POST", address, urlencode(fields).encode(), **FORM)
    return status, json.loads(data)


def test_cookies_of_other_programs_on_this_machine_shut_nobody_out(served: Served) -> None:
    """Cookies know no ports (RFC 6265, section 8.5): every page of this machine may set any, of this name too."""
    name = f"desk-{served.host.split(':')[1]}"
    mine = f"{name}={served.token}"
    for other in ('a={"b": [1, 2]}', 'a="x;y"', "a=\xfc\x80", "=", ";;", f"{name}=evil", "a b c", "x=" + "y" * 4000):
        for cookie in (f"{other}; {mine}", f"{mine}; {other}"):
            assert served.ask("GET", "/versions", Cookie=cookie)[0] == 200, other
        assert served.ask("GET", "/versions", Cookie=other)[0] == 403, other


def test_what_is_no_request_is_refused(served: Served) -> None:
    for sent in (b"\x16\x03\x01\x02\x00\x01\r\n\r\n", b"GARBAGE\r\n\r\n", b"GET / HTTP/1.1\r\nX: " + b"a" * 40_000):
        with line_to(served) as line:
            line.sendall(sent)
            assert line.recv(12) == b"HTTP/1.1 400"
    with line_to(served) as line:
        line.sendall(b"GET / HTTP/1.0\r\n\r\n")
        assert b" 421 " in line.recv(100)


def test_lines_that_are_silent_or_slow_end_and_shut_nobody_out(served: Served) -> None:
    with ExitStack() as held:
        idle = [held.enter_context(line_to(served)) for _ in range(LINES + 30)]
        assert served.ask("GET", "/versions")[0] == 200
        dripping = held.enter_context(line_to(served))
        dripping.sendall(b"GET /versions HTTP/1.1\r\n")
        dripping.settimeout(0.1)

        def dripped() -> bool:
            if ended(dripping):
                return True
            with suppress(ConnectionError):  # it ends between the two: the next look tells
                dripping.sendall(b"X")
            return False

        until(dripped)
        assert all(ended(line) for line in idle)


def told_on(line: socket.socket, wanted: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
    """Read what a page is told, until it is told what is wanted."""
    heard = b""
    while True:
        heard += line.recv(10_000) or pytest.fail("the line is closed")
        for told in re.findall(rb"data: (.*)\n\n", heard):
            if wanted(found := json.loads(told)):
                return dict(found)


def test_a_hundred_pages_hear_of_each_plan(served: Served) -> None:
    port = served.host.split(":")[1]
    head = f"GET /events HTTP/1.1\r\nHost: {served.host}\r\nCookie: desk-{port}={served.token}\r\n\r\n"
    served.settle()
    with ExitStack() as held:
        lines = []
        for _ in range(100):
            lines.append(held.enter_context(line_to(served)))
            lines[-1].sendall(head.encode())
        before = [told_on(line, lambda told: True)["number"] for line in lines]
        assert len({*before}) == 1, "the plan that there is"
        (served.course / "a b.md").write_text("changed\n", encoding="utf-8")
        for line in lines:
            assert told_on(line, lambda told: told["number"] > before[0])


def test_of_many_saves_at_once_one_is_written_and_all_others_are_told(served: Served) -> None:
    _, had = served.ask("GET", "/part/text?file=a%20b.md")[::2]
    digest = str(json.loads(had)["digest"])
    with ThreadPoolExecutor(20) as pool:
        found = list(pool.map(lambda n: posted(served, "/file/a%20b.md", digest=digest, text=f"of {n}\n"), range(20)))
    won = [n for n, (status, _) in enumerate(found) if status == 200]
    assert len(won) == 1
    assert {status for status, _ in found} == {200, 409}
    assert (served.course / "a b.md").read_text() == f"of {won[0]}\n"
    assert all(told["text"] == f"of {won[0]}\n" for status, told in found if status == 409)


def home_with(served: Served, words: bytes) -> bytes:
    """The first page once all is planned: it says something."""
    served.settle()
    status, _, data = served.ask("GET", "/")
    assert status == 200
    assert words in data
    return data


def test_names_of_files_are_text(served: Served) -> None:
    odd = served.course / "episodes" / "\udce9<b>\udcff.yaml"
    odd.write_bytes(b"episode: \xff\n")
    try:
        data = home_with(served, b"?&lt;b&gt;?.yaml")
    finally:
        odd.unlink()
    for bad in (b"<img", b'a"onfocus', b"gnp.md", b"two\n", b"<b>?"):
        assert bad not in data
    home_with(served, b"Planned")
    for name in (*NAMES[:4], "\udce9\udcff.yaml", "pipe.md", "captions/share", "takes/all/etc/passwd"):
        status, _, data = served.ask("GET", f"/file/{quote(name, errors='surrogateescape')}")
        assert status in (404, 422), name
        assert b"<img" not in data
    assert served.ask("GET", "/file/a%20b.md")[0] == 200


def test_the_network_sees_nothing_without_the_token_and_hosts_are_held_apart(desk: tuple[Served, str]) -> None:
    served, tablet = desk
    host = f"{LAN}:{served.host.split(':')[1]}"
    assert tablet == f"http://{host}/tablet?token={served.token}"
    away = replace(served, address=tablet)
    for path in ("/", "/tablet", "/paper/handout.html", "/takes"):
        assert away.ask("GET", path, Cookie=None)[0] == 403
    status, headers, _ = away.ask("GET", f"/tablet?token={served.token}", Cookie=None)
    assert (status, headers["location"], headers["referrer-policy"]) == (303, "/tablet", "no-referrer")
    assert away.ask("GET", "/tablet")[0] == 200
    for wrong in ("evil.example", f"evil.example:{host.split(':')[1]}", "127.0.0.3:80", f"{LAN}:1"):
        assert away.ask("GET", "/tablet", Host=wrong)[0] == 421
    for origin in (f"http://{served.host}", "http://evil.example", None, "null"):
        assert away.ask("POST", "/undo", b"", Origin=origin)[0] == 403
    status, headers, drawn = away.ask("GET", "/tablet.svg")
    assert (status, headers["content-type"]) == (200, "image/svg+xml")
    assert b"<script" not in drawn


def test_a_template_of_the_course_can_do_nothing_at_the_desk(browser: Browser, served: Served) -> None:
    alarms, asked, changed = list[str](), list[str](), list[str]()
    context = browser.new_context(viewport={"width": 1280, "height": 900})

    def out(route: Route) -> None:
        asked.append(route.request.url)
        route.abort()

    def said(dialog: Dialog) -> None:
        alarms.append(dialog.message)
        dialog.dismiss()

    context.route(re.compile("evil"), out)
    context.on("request", lambda request: changed.append(request.url) if request.method == "POST" else None)
    context.on("dialog", said)
    page = context.new_page()
    page.goto(served.address)
    before = (served.course / "course.yaml").read_bytes()
    page.evaluate("sessionStorage.setItem('desk.looked', '/paper/shot-list.html')")
    page.reload()
    place = "document.querySelector('iframe:not(.coming)')?.contentDocument"
    until(lambda: bool(page.evaluate(f"Boolean({place}?.querySelector('h1'))")), page)
    page.wait_for_timeout(1500)  # longer than the page's own refresh waits
    where = (
        f"(id) => {{ const box = {place}.getElementById(id).getBoundingClientRect(); return [box.x + 4, box.y + 4] }}"
    )
    frame = page.locator("iframe:not(.coming)").bounding_box()
    assert frame
    for name in ("post", "run", "out"):
        x, y = page.evaluate(where, name)  # in a frame without scripts only the page around it can look
        page.mouse.click(frame["x"] + x, frame["y"] + y)
        page.wait_for_timeout(400)
    assert page.url == f"http://{served.host}/"
    _, headers, data = served.ask("GET", "/paper/shot-list.html")
    assert b"alert('onload')" in data, "the template is used"
    policy = headers["content-security-policy"]
    assert "script-src" not in policy
    assert "form-action 'none'" in policy
    assert "allow-forms" not in policy.partition("sandbox ")[2]
    assert "allow-top" not in policy.partition("sandbox ")[2]
    context.close()
    assert (alarms, asked, changed) == ([], [], [])
    assert (served.course / "course.yaml").read_bytes() == before


def test_pages_that_nobody_sees_leave_the_browsers_lines_to_others(browser: Browser, served: Served) -> None:
    context = browser.new_context()
    hide = "Object.defineProperty(document, 'hidden', {get: () => true});"
    hide += "document.dispatchEvent(new Event('visibilitychange'))"
    page = context.new_page()
    page.goto(served.address)
    for _ in range(8):
        page.evaluate(hide)
        page = context.new_page()
        page.goto(f"http://{served.host}/versions")
        assert page.evaluate("fetch('/part/problems?file=a').then((one) => one.status)") == 200
    context.close()


PAGES = ("/", "/file/course.yaml", "/form/course.yaml", "/versions", "/samples", "/pieces", "/said", "/tablet",
         "/part/home", "/part/text?file=course.yaml", "/paper/handout.html", "/course.zip", "/events")  # fmt: skip


def test_a_folder_that_is_moved_away_is_told_of_and_not_made_anew(served: Served) -> None:
    away = served.course.with_name("away")
    before = served.ask("GET", "/part/text?file=course.yaml")[2]
    served.course.rename(away)
    try:
        for path in PAGES:
            assert served.ask("GET", path)[0] in (200, 404, 410), path
        assert b"moved, renamed or deleted" in served.ask("GET", "/")[2]
        for path in ("/file/course.yaml", "/keep", "/new", "/undo", "/agree", "/begin", "/form"):
            fields = {"digest": "", "text": "x", "name": "new.md", "file": "course.yaml", "path": '["title"]'}
            assert posted(served, path, **fields)[0] in (400, 410), path
        key = {"Idempotency_Key": "2027-03-06/a/1"}
        assert served.ask("POST", "/takes", b"id,device\n", **key)[0] == 410
        assert not served.course.exists()
    finally:
        shutil.rmtree(served.course, ignore_errors=True)
        away.rename(served.course)
    assert served.ask("GET", "/part/text?file=course.yaml")[2] == before
    text = (served.course / "course.yaml").read_text(encoding="utf-8")
    (served.course / "course.yaml").write_text(text.replace("Ring cowl", "Cowl come back"), encoding="utf-8")
    served.settle()
    assert b"Cowl come back" in served.ask("GET", "/versions")[2]


def test_every_answer_has_the_headers(served: Served) -> None:
    for method, path, status in (
        ("GET", f"/?token={served.token}", 303),
        ("GET", "/tablet.svg", 200),
        ("GET", "/asset/no.js", 404),
        ("POST", "/asset/desk.js", 405),
        ("DELETE", "/", 405),
        ("POST", "/takes", 400),
        ("GET", "/form/no.yaml", 303),
        ("GET", "/file/pipe.md", 422),
        ("HEAD", "/", 200),
    ):
        got, headers, _ = served.ask(method, path, b"" if method == "POST" else None)
        assert got == status, path
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert headers["cache-control"] in ("no-store", "no-cache")
        assert "default-src 'none'" in headers["content-security-policy"]


def test_half_a_form_and_odd_bodies_are_refused(served: Served) -> None:
    for body in (b"\xff\xfe", b"text=%ff%fe", b"a=1&" * 3000, b"digest=&text=%00", b"digest=&text=%ed%a0%80"):
        status, _, data = served.ask("POST", "/file/odd.md", body, **FORM)
        assert status in (200, 400, 409, 422), body
        assert b"fault" not in data
    host, port = served.host.split(":")
    line = http.client.HTTPConnection(host, int(port), timeout=LONG)
    line.request("POST", "/file/odd.md", b"x", {"Host": served.host, "Content-Length": "1"})
    assert line.getresponse().status == 403
    line.close()
