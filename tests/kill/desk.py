"""A desk that is killed while a page saves and a tablet sends its log: what was answered is never lost."""

from __future__ import annotations

import http.client
import itertools
import json
import os
import signal
import socket
import sys
import time
from datetime import datetime
from pathlib import Path
from random import Random
from urllib.parse import urlencode

from tests.kill.trial import LOG, Outcome, Tree, put, tree, writes
from tests.small_course import write_course

KEPT = "takes/takes.csv"
_HEAD, *_ROWS = LOG.splitlines(keepends=True)


def desk_kind(home: Path) -> Tree:
    """Make a course ready for the desk."""
    return tree(write_course(home / "desk" / "c"))


def tried_desk(before: Tree, home: Path, chance: Random) -> Outcome:
    """Kill a desk while it is written to, and see what the next one finds."""
    course = home / "desk" / "c"
    put(course, before)
    by_step = chance.randint(1, 60) if chance.random() < 0.5 else 0
    by_clock = 0 if by_step else chance.random() * 0.6
    child, address = _open(course, by_step)
    end = time.monotonic() + by_clock if by_clock else 0
    saved, sent, taken, offered = _use(course, child, address, end)
    _, status = os.waitpid(child, 0)
    killed = os.waitstatus_to_exitcode(status) == -signal.SIGKILL
    now = tree(course)
    left = len([name for name in now if name.endswith("lessonplan-new")])
    moment = f"at step {by_step}" if by_step else f"after {by_clock:.3f} s"
    wrong = _wrong(course, before, now, (saved, sent)) or _after(course, before, taken, offered)
    return Outcome("desk", killed, left, bool(saved), f"desk, killed {moment}: {wrong}" if wrong else "")


def _open(course: Path, at_step: int) -> tuple[int, str]:
    """Open a desk in a fork that kills itself at a step, if one is given."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        try:
            os.close(reading)
            os.dup2(writing, 1)
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
            sys.stdout = open(1, "w", 1, encoding="utf-8", closefd=False)  # noqa: SIM115
            steps = itertools.count(1)

            def watch(event: str, given: tuple[object, ...]) -> None:
                if at_step and writes(event, given) and str(course) in str(given[0]) and next(steps) == at_step:
                    os.kill(os.getpid(), signal.SIGKILL)

            sys.addaudithook(watch)
            from lessonplan.cli import main

            sys.argv = ["lessonplan", "desk", str(course)]
            main()
        finally:
            os._exit(70)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as said:
        return child, said.readline().rpartition(" ")[2].strip()


def _use(course: Path, child: int, address: str, end: float) -> tuple[int, int, int, int]:
    """Save and send logs in turns until the desk dies; gives how many of each were answered, and begun."""
    saved = sent = taken = offered = 0
    digest = ""
    if not address:
        return saved, sent, taken, offered  # killed before it was open
    host, token = address.split("/")[2], address.partition("token=")[2]
    head = {"Cookie": f"desk-{host.split(':')[1]}={token}", "Origin": f"http://{host}"}
    form = {**head, "Content-Type": "application/x-www-form-urlencoded"}
    try:
        for turn in range(1, 49):
            sent = turn
            body = urlencode({"digest": digest, "text": _text(turn)}).encode()
            answer = _post(host, "/file/notes.md", body, form, child, end)
            digest, saved = str(json.loads(answer)["digest"]), turn
            offered = turn
            log = (_HEAD + "".join(_ROWS[:turn])).encode()
            _post(host, "/takes", log, {**head, "Idempotency-Key": f"2027-03-06/a/{turn}"}, child, end)
            taken = turn
    except (OSError, http.client.HTTPException):
        return saved, sent, taken, offered
    os.kill(child, signal.SIGKILL)
    return saved, sent, taken, offered


def _post(host: str, path: str, body: bytes, headers: dict[str, str], child: int, end: float) -> bytes:
    """Post something; the desk is killed in the midst of it when its time is over."""
    line = http.client.HTTPConnection(host, timeout=120)
    line.request("POST", path, body, headers)
    if end:
        assert line.sock
        line.sock.settimeout(max(0.0005, end - time.monotonic()))
        try:
            line.sock.recv(1, socket.MSG_PEEK)
        except TimeoutError:
            os.kill(child, signal.SIGKILL)
        line.sock.settimeout(120)
    answer = line.getresponse()
    data = answer.read()
    line.close()
    assert answer.status == 200, (path, answer.status, data)
    return data


def _text(turn: int) -> str:
    return "" if not turn else f"Notes {turn}\n" * 200


def _wrong(course: Path, before: Tree, now: Tree, saves: tuple[int, int]) -> str:
    """Say what is wrong right after the kill."""
    text = now.get("notes.md", b"").decode()
    if text not in [_text(turn) for turn in {*saves}]:
        return f"of saves {saves} the file has {text[:20]!r}"
    for name, data in before.items():
        if now.get(name) != data:
            return f"{name} was changed"
    return ""


def _after(course: Path, before: Tree, taken: int, offered: int) -> str:
    """Say what is wrong once the desk was opened again: nothing is lost, nothing is left, and all can be undone."""
    from lessonplan.desk.inbox import Inbox
    from lessonplan.desk.store import RefusedError, Store

    store = Store(course, lambda: datetime(2027, 3, 6, 12))
    store.thin()
    if told := Inbox(store).take_in():
        return f"the logs wait: {told}"
    kept = (course / KEPT).read_text(encoding="utf-8-sig").count("\na-") if (course / KEPT).exists() else 0
    if kept not in (taken, offered):
        return f"of {taken} takes answered, {offered} sent, {kept} are kept"
    left = [name for name in tree(course) if name.endswith("lessonplan-new")]
    if left:
        return f"left over: {left}"
    try:
        while True:
            try:
                store.undo()
            except RefusedError as passed:
                if not str(passed).startswith(KEPT):
                    raise
                # Another part of the program wrote it, and was killed before that was noted: Undo goes on behind it.
    except RefusedError as end:
        if "nothing to undo" not in str(end):
            return f"not all is undone: {end}"
    held = {name: data for name, data in tree(course).items() if not name.startswith(".desk") and data != b"folder"}
    held.pop(KEPT, None)
    if held != {name: data for name, data in before.items() if data != b"folder"}:
        return f"undone, the folder holds {sorted(held)}"
    return ""
