"""No command touches the network: all run in a process in which asking for a socket is an error.

Seen is what Python asks for; the compiler of the printed papers is kept from the network by `render/apart.py`.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from lessonplan.usage import HOMES
from tests.fuzz.bases import bases
from tests.fuzz.trial import COMMANDS, command

FORBID = """\
import sys

def refuse(event, args):
    if event.startswith("socket."):
        print("asked for", event, args, flush=True)
        raise SystemExit(event)

sys.addaudithook(refuse)
"""
RUN_ALL = """
from typer.testing import CliRunner
from lessonplan.cli import app

for words in {each!r}:
    done = CliRunner().invoke(app, words)
    print(done.exit_code, *words, type(done.exception).__name__, done.stderr[:300].encode())
"""
ALONE = (["keys"], ["schema", "course"], ["count", "Knit", "--on", "40"])


def run(code: str, root: Path) -> str:
    done = subprocess.run([sys.executable, "-c", FORBID + code], cwd=root, capture_output=True, text=True, check=False)
    return done.stdout + done.stderr


def test_the_ban_is_a_ban(root: Path) -> None:
    for line in ("socket.create_connection(('127.0.0.1', 9))", "socket.getaddrinfo('localhost', 1)", "socket.socket()"):
        assert "asked for socket." in run(f"import socket; {line}", root)


def test_no_command_opens_a_socket(root: Path, tmp_path: Path) -> None:
    for name, data in bases()[0].items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(data)
    each = [*(command(tmp_path, words) for words in COMMANDS), *ALONE]
    served = {"desk"}  # a page of this machine needs a socket: `tests/desk/test_guard.py` holds who may come to it
    assert {words[0] for words in each} == {*HOMES} - served, "a command that is not tried"
    lines = run(RUN_ALL.format(each=each), root).splitlines()
    assert len(lines) == len(each), lines
    for line in lines:
        assert line.split()[0] in ("0", "1"), line
        assert "asked for" not in line
