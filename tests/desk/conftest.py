"""A desk that is really served, on a copy of the sample course."""

from __future__ import annotations

import http.client
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, TYPE_CHECKING

import pytest

from tests.waiting import LONG

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext


COMMAND = (sys.executable, "-u", "-m", "lessonplan", "desk")
PATIENT = (sys.executable, "-u", "-m", "tests.desk.patient", "desk")
NEWS_STAYS = """
const later = setTimeout;
window.setTimeout = (act, after, ...given) => later(act, after === 10000 ? 3_600_000 : after, ...given);"""
"""Good news is taken away after 10 s, which are nothing on a busy machine."""


@dataclass(frozen=True)
class Served:
    """A desk in a process of its own: its course, its first address, its host and the secret in the address."""

    course: Path
    address: str
    said: IO[str] | None = None

    def told(self) -> str:
        """What the terminal shows below the first line, up to the last."""
        assert self.said
        return "".join(iter(self.said.readline, "Ctrl-C ends.\n"))

    @property
    def host(self) -> str:
        return self.address.split("/")[2]

    @property
    def token(self) -> str:
        return self.address.partition("token=")[2]

    def ask(
        self, method: str, path: str, body: bytes | None = None, /, **headers: str | None
    ) -> tuple[int, dict[str, str], bytes]:
        """Send one request as a page of the desk would; headers given are put instead, None leaves one out."""
        sent: dict[str, str | None] = {"Host": self.host, "Cookie": f"desk-{self.host.split(':')[1]}={self.token}"}
        if method == "POST":
            sent["Origin"] = f"http://{self.host}"
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        line = http.client.HTTPConnection(self.host, timeout=LONG)
        line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in sent.items():
            if value is not None:
                line.putheader(name, value)
        if body is not None and "Content-Length" not in sent:
            line.putheader("Content-Length", str(len(body)))
        line.endheaders(body)
        answer = line.getresponse()
        data = answer.read() if path != "/events" else b""
        line.close()
        return answer.status, {name.lower(): value for name, value in answer.getheaders()}, data

    def settle(self) -> None:
        """Wait until the course is planned as its files are now."""
        assert self.ask("GET", "/settled")[0] == 200


@contextmanager
def desk_on(root: Path, course: Path, *more: str) -> Iterator[Served]:
    """Serve the desk of a course by the command."""
    with subprocess.Popen([*PATIENT, str(course), *more], cwd=root, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout
        first = running.stdout.readline()
        try:
            made = Served(course, first.rpartition(" ")[2].strip(), running.stdout)
            made.ask("GET", "/")  # answered once the course is planned for the first time
            yield made
        finally:
            running.terminate()


@pytest.fixture(scope="session")
def served(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A desk on a copy of the sample course; tests put right what they change."""
    course = tmp_path_factory.mktemp("desk") / "mittens"
    shutil.copytree(root / "sample_course", course, ignore=shutil.ignore_patterns("out"))
    with desk_on(root, course) as served:
        yield served


@pytest.fixture
def restored(served: Served) -> Iterator[Served]:
    """A desk whose course is afterwards as it was before."""
    before = {
        path: path.read_bytes() for path in served.course.rglob("*") if path.is_file() and ".desk" not in path.parts
    }
    yield served
    for path in served.course.rglob("*"):
        if path.is_file() and ".desk" not in path.parts and path not in before:
            path.unlink()
    for path, data in before.items():
        if not path.exists() or path.read_bytes() != data:
            path.write_bytes(data)
    served.settle()


@pytest.fixture
def context(browser: Browser, restored: Served) -> Iterator[BrowserContext]:
    """A browser that was let in at the desk; what the tests evaluate in it is not bound by the pages' policy."""
    made = browser.new_context(viewport={"width": 1280, "height": 900}, bypass_csp=True)
    made.add_init_script(NEWS_STAYS)
    page = made.new_page()
    page.goto(restored.address)
    page.close()
    yield made
    made.close()
