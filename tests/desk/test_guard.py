"""Who is let in at the desk, and how much is taken from anybody."""

from __future__ import annotations

import asyncio
import socket
import subprocess
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import segno

from lessonplan.desk import guard
from lessonplan.desk.serve import lan_address
from tests.desk.conftest import COMMAND, Served, desk_on
from tests.waiting import LONG

if TYPE_CHECKING:
    from playwright.sync_api import Browser
    from starlette.types import Message

FORM = {"Content_Type": "application/x-www-form-urlencoded"}


@pytest.mark.parametrize("path", ["/", "/file/course.yaml", "/paper/handout.html", "/asset/desk.js", "/events", "/no"])
def test_without_the_cookie_nothing_is_shown(served: Served, path: str) -> None:
    for cookie in (None, "", "desk=x", f"desk-{served.host.split(':')[1]}=wrong", "=;;\x7f"):
        status, _, data = served.ask("GET", path, Cookie=cookie)
        assert status == 403
        assert b"mitten" not in data.lower()
    assert served.ask("GET", "/?token=wrong", Cookie=None)[0] == 403


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "", "localhost.:{port}"]
)
def test_under_another_name_nothing_is_served_even_with_the_cookie(served: Served, host: str) -> None:
    """A name of another site that is made to point here (DNS rebinding) is still that site's name."""
    port = served.host.split(":")[1]
    assert served.ask("GET", "/", Host=host.format(port=port))[0] in (400, 421)
    assert served.ask("GET", "/", Host=f"localhost:{port}")[0] == 200


@pytest.mark.parametrize(
    "origin", [None, "null", "http://evil.example", "https://{host}", "http://{host}.evil.example", ""]
)
def test_no_other_page_may_change_anything(served: Served, origin: str | None) -> None:
    before = (served.course / "course.yaml").read_bytes()
    origin = origin.format(host=served.host) if origin else origin
    body = b"digest=&text=x"
    for path in ("/file/notes.md", "/undo", "/takes", "/agree", "/open", "/new"):
        assert served.ask("POST", path, body, Origin=origin, **FORM)[0] == 403
    assert (served.course / "course.yaml").read_bytes() == before
    assert not (served.course / "notes.md").exists()


def test_the_token_becomes_a_cookie_that_scripts_and_other_sites_have_not(served: Served) -> None:
    status, headers, _ = served.ask("GET", f"/?token={served.token}", Cookie=None)
    assert (status, headers["location"]) == (303, "/")
    said = headers["set-cookie"].lower()
    assert "httponly" in said
    assert "samesite=strict" in said
    assert served.token in headers["set-cookie"]


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/", 200),
        ("GET", "/file/none.yaml", 404),
        ("GET", "/no-such-page", 404),
        ("GET", "/paper/no.html", 404),
        ("GET", "/paper/index.html", 200),
        ("GET", "/asset/style.css", 200),
        ("GET", "/?token=wrong", 403),
        ("PUT", "/file/course.yaml", 405),
        ("OPTIONS", "/", 405),
        ("POST", "/undo", 409),
        ("GET", "/events", 200),
        ("GET", "/course.zip", 200),
    ],
)
def test_every_answer_says_what_a_browser_may_do_with_it(served: Served, method: str, path: str, status: int) -> None:
    got, headers, _ = served.ask(method, path, b"" if method == "POST" else None)
    assert got == status
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors" in policy
    assert "server" not in headers


@pytest.mark.parametrize(
    "path",
    ["/file/../course.yaml", "/file/%2e%2e/%2e%2e/etc/passwd", "/file//etc/passwd", "/file/.desk/changes.jsonl",
     "/file/episodes/%2e%2e/%2e%2e/x.yaml", "/asset/..%2findex.html", "/asset/desk%2fbase.html.j2",
     "/paper/..%2fcourse.yaml", "/paper/course.yaml", "/part/text?file=../../etc/passwd", "/file/a%00.yaml",
     "/versions?file=course.yaml&version=../changes.jsonl", "/file/templates/desk.py"],
)  # fmt: skip
def test_no_way_leads_out_of_the_course(served: Served, path: str) -> None:
    status, _, data = served.ask("GET", path)
    assert status in (404, 422), data[:200]
    assert b"root:" not in data
    assert b"title:" not in data


def test_in_the_local_network_the_desk_is_open_to_who_has_the_code(root: Path, tmp_path: Path) -> None:
    if not (own := lan_address()):
        said = subprocess.run([*COMMAND, str(tmp_path), "--lan"], cwd=root, capture_output=True, text=True, check=False)
        assert (said.returncode, "in no local network" in said.stderr) == (3, True)
        return
    with desk_on(root, tmp_path, "--lan") as served:
        told = served.told()
        address = told.split("same network: ")[1].split()[0]
        inside = Served(tmp_path, address, served.said)
        assert inside.host == f"{own}:{served.host.split(':')[1]}"
        assert drawn(told) == [[bool(one) for one in row] for row in segno.make(address, error="l").matrix]
        assert inside.ask("GET", "/tablet", Cookie=None)[0] == 403
        status, headers, _ = inside.ask("GET", address.partition(inside.host)[2], Cookie=None)
        assert (status, headers["location"]) == (303, "/tablet")
        assert b'src="/tablet.svg"' in inside.ask("GET", "/tablet")[2]
        assert b"<svg" in inside.ask("GET", "/tablet.svg")[2]
        assert inside.ask("GET", "/tablet", Host=f"evil.example:{inside.host.split(':')[1]}")[0] == 421
        assert served.ask("GET", "/tablet")[0] == 200


def drawn(told: str) -> list[list[bool]]:
    """Read the code that the terminal shows, two rows a line: what is dark is left blank."""
    rows: list[list[bool]] = []
    for line in told.splitlines():
        if line and set(line) <= set("█▀▄ "):
            rows += [[sign in "▄ " for sign in line], [sign in "▀ " for sign in line]]
    return [row[2:-2] for row in rows[2 : len(rows[0]) - 2]]


def test_large_posts_are_refused_before_and_while_they_come(served: Served) -> None:
    body = b"digest=&text=" + b"x" * guard.LARGEST
    assert served.ask("POST", "/file/notes.md", body, **FORM)[0] == 413
    for length in ("99999999999999", "9" * 5000, "-1", "x"):
        assert served.ask("POST", "/file/notes.md", None, Content_Length=length, **FORM)[0] in (400, 413)
    host, port = served.host.split(":")
    with socket.create_connection((host, int(port)), timeout=LONG) as line:  # in pieces, without saying how much
        cookie = f"Cookie: desk-{port}={served.token}\r\nOrigin: http://{served.host}\r\n"
        line.sendall(f"POST /file/notes.md HTTP/1.1\r\nHost: {served.host}\r\n{cookie}".encode())
        line.sendall(b"Transfer-Encoding: chunked\r\n\r\n")
        for _ in range(200):
            line.sendall(b"10000\r\n" + b"x" * 65536 + b"\r\n")
        line.sendall(b"0\r\n\r\n")
        assert b" 413" in line.recv(100)
    assert not (served.course / "notes.md").exists()


def test_slow_posts_end_and_nobody_else_waits_for_them(served: Served) -> None:
    host, port = served.host.split(":")
    lines = [socket.create_connection((host, int(port)), timeout=LONG) for _ in range(30)]
    for line in lines:
        head = f"POST /undo HTTP/1.1\r\nHost: {served.host}\r\nOrigin: http://{served.host}\r\nContent-Length: 100\r\n"
        line.sendall(f"{head}Cookie: desk-{port}={served.token}\r\n\r\nx".encode())
    assert served.ask("GET", "/file/course.yaml")[0] == 200  # the posts may take 600 s here, an answer 120
    for line in lines:
        line.close()


def test_a_page_of_another_site_gets_nothing_and_changes_nothing(browser: Browser, served: Served) -> None:
    """In a real browser that has the cookie: the other site is on the same machine, under another port."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(served.address)
    before = sorted(path.name for path in served.course.iterdir())
    page.route("http://127.0.0.1:9/**", lambda route: route.fulfill(body="<p>evil", content_type="text/html"))
    page.goto("http://127.0.0.1:9/")
    ask = """async (host) => {
      const tried = [];
      for (const [path, how] of [['/', {}], ['/undo', {method: 'POST'}],
          ['/file/notes.md', {method: 'POST', body: new URLSearchParams({digest: '', text: 'x'})}]]) {
        const more = {credentials: 'include', mode: 'no-cors', ...how};
        tried.push(await fetch(`http://${host}${path}`, more).then((one) => one.type, () => 'refused'));
      }
      return tried;
    }"""
    assert set(page.evaluate(ask, served.host)) <= {"opaque", "refused"}  # opaque: the page cannot read it
    framed = """async (host) => {
      const frame = document.createElement('iframe');
      frame.src = `http://${host}/`;
      document.body.append(frame);
      await new Promise((done) => { frame.onload = done; setTimeout(done, 3000); });
      try { return frame.contentDocument?.body.textContent ?? ''; } catch { return ''; }
    }"""
    assert "Today" not in page.evaluate(framed, served.host)
    assert sorted(path.name for path in served.course.iterdir()) == before
    context.close()


def test_what_comes_too_slowly_or_without_end_is_cut_off() -> None:
    async def asked(pieces: int, size: int, seconds: float, pause: float = 0) -> int:
        sent = iter(range(pieces))

        async def receive() -> Message:
            await asyncio.sleep(pause)
            return {"type": "http.request", "body": b"x" * size, "more_body": next(sent) < pieces - 1}

        body, taken, more = guard.Bounded(receive, 1000, seconds), 0, True
        while more:
            message = await body()
            taken, more = taken + len(message["body"]), message["more_body"]
        return taken

    with ThreadPoolExecutor(1) as other:  # the browser of other tests has a loop in this thread
        assert other.submit(asyncio.run, asked(10, 100, LONG)).result() == 1000
        with pytest.raises(guard.TooMuchError) as large:
            other.submit(asyncio.run, asked(11, 100, LONG)).result()
        with pytest.raises(guard.TooMuchError) as slow:
            other.submit(asyncio.run, asked(10, 1, 0.2, pause=0.03)).result()
    assert (large.value.status, slow.value.status) == (413, 408)
