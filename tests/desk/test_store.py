"""The files behind the desk: written whole, never over what changed meanwhile, every older version kept."""

from __future__ import annotations

import asyncio
import errno
import json
import os
import threading
import time
from collections.abc import MutableMapping
from concurrent.futures import ThreadPoolExecutor
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from lessonplan.desk import actions
from lessonplan.desk.history import Change, thinned
from lessonplan.desk.site import Desk, site
from lessonplan.desk.store import MeanwhileError, RefusedError, Store
from tests.waiting import LONG


class Clock:
    """A clock of the test's own."""

    def __init__(self) -> None:
        self.now = datetime(2027, 3, 10, 9, 0)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(tmp_path: Path, clock: Clock) -> Store:
    (tmp_path / "episodes").mkdir()
    (tmp_path / "course.yaml").write_bytes(b"title: One  # mine\n")
    return Store(tmp_path, clock)


def digest(store: Store, name: str = "course.yaml") -> str:
    text = store.read(name)
    return text.digest if text else ""


def held(store: Store, name: str = "course.yaml") -> bytes:
    return (store.folder / name).read_bytes()


@pytest.mark.parametrize(
    ("before", "typed", "after"),
    [
        (b"a: 1\r\nb: 2\r\n", "a: 1\nb: 3\nc: 4\n", b"a: 1\r\nb: 3\r\nc: 4\r\n"),
        (
            b"a: 1\r\nb: 2\nc: 3\r\nd: 4\r\n",
            "a: 1\nb: 2\nx: 0\nc: 3\nd: 4\n",
            b"a: 1\r\nb: 2\nx: 0\r\nc: 3\r\nd: 4\r\n",
        ),
        (b"\xef\xbb\xbfa: 1\n", "a: \u00e9\n", b"\xef\xbb\xbfa: \xc3\xa9\n"),
        ("a: 1\r\n".encode("utf-16"), "a: 2\r\n", "a: 2\r\n".encode("utf-16")),
        (b"a: 1", "a: 2", b"a: 2"),
        (b"\n\n a: 1\n\t# odd \n\n", "\n\n a: 1\n\t# odd \n\nb: 2", b"\n\n a: 1\n\t# odd \n\nb: 2"),
    ],
)
def test_what_was_not_changed_stays_byte_for_byte(store: Store, before: bytes, typed: str, after: bytes) -> None:
    (store.folder / "course.yaml").write_bytes(before)
    text = store.read("course.yaml")
    assert text
    assert store.save("course.yaml", text.digest, text.text) == text.digest
    assert held(store) == before
    store.save("course.yaml", text.digest, typed)
    assert held(store) == after


def test_a_later_save_over_another_version_is_refused_with_both(store: Store) -> None:
    mine = digest(store)
    (store.folder / "course.yaml").write_bytes(b"title: Of an editor\n")
    with pytest.raises(MeanwhileError) as refused:
        store.save("course.yaml", mine, "title: Mine\n")
    assert refused.value.status == 409
    assert refused.value.now
    assert refused.value.now.text == "title: Of an editor\n"
    assert held(store) == b"title: Of an editor\n"
    store.save("course.yaml", refused.value.now.digest, "title: Mine\n")
    assert held(store) == b"title: Mine\n"
    assert store.version("course.yaml", refused.value.now.digest) == "title: Of an editor\n"


def test_a_file_that_is_gone_or_came_meanwhile_is_told_of(store: Store) -> None:
    mine = digest(store)
    (store.folder / "course.yaml").unlink()
    with pytest.raises(MeanwhileError, match="deleted or renamed") as refused:
        store.save("course.yaml", mine, "title: Mine\n")
    assert refused.value.now is None
    store.save("course.yaml", "", "title: Mine\n")
    with pytest.raises(MeanwhileError, match="There is a file"):
        store.save("course.yaml", "", "title: Again\n")


def test_undo_and_redo_go_over_files_and_runs(store: Store, clock: Clock) -> None:
    first = held(store)
    store.save("course.yaml", digest(store), "title: Two\n")
    store.save("episodes/01-a.yaml", "", "episode: 1\n", "a new file")
    store.save("course.yaml", digest(store), "title: Three\n")
    again = Store(store.folder, clock)  # another run
    assert again.undo().file == "course.yaml"
    assert held(again) == b"title: Two\n"
    assert again.undo().what == "a new file"
    assert not (again.folder / "episodes/01-a.yaml").exists()
    assert again.undo().file == "course.yaml"
    assert held(again) == first
    with pytest.raises(RefusedError, match="nothing to undo") as nothing:
        again.undo()
    assert nothing.value.status == 409  # RFC 9110: what the state of a thing does not allow
    for _ in range(3):
        again.redo()
    assert held(again) == b"title: Three\n"
    assert (again.folder / "episodes/01-a.yaml").read_bytes() == b"episode: 1\n"
    again.undo()
    again.save("course.yaml", digest(again), "title: Four\n")
    with pytest.raises(RefusedError, match="nothing to redo"):
        again.redo()


def test_what_another_program_wrote_since_is_not_undone_away(store: Store) -> None:
    store.save("course.yaml", digest(store), "title: Two\n")
    (store.folder / "course.yaml").write_bytes(b"title: Of an editor\n")
    with pytest.raises(RefusedError, match="another program"):
        store.undo()
    assert held(store) == b"title: Of an editor\n"


def test_a_file_of_another_program_does_not_stand_in_the_way_of_the_changes_before(store: Store) -> None:
    store.save("episodes/01-a.yaml", "", "episode: 1\n", "a new file")
    for title in ("Two", "Three"):
        store.save("course.yaml", digest(store), f"title: {title}\n")
    (store.folder / "course.yaml").write_bytes(b"title: Of an editor\n")
    with pytest.raises(RefusedError, match="goes on"):
        store.undo()
    assert store.undo().what == "a new file"
    assert not (store.folder / "episodes/01-a.yaml").exists()
    assert store.redo().what == "a new file"
    with pytest.raises(RefusedError, match="goes on"):
        store.redo()
    assert held(store) == b"title: Of an editor\n"


def test_two_changes_at_once_are_noted_one_after_the_other(store: Store) -> None:
    """What another function writes while its change is recorded is not put down to what is saved meanwhile."""
    inside, done = threading.Event(), list[str]()

    def record() -> None:
        with store.recording("takes", "takes/takes.csv"):
            inside.set()
            time.sleep(0.2)
            done.append("recorded")
            (store.folder / "takes").mkdir()
            (store.folder / "takes/takes.csv").write_bytes(b"day\n")

    other = threading.Thread(target=record)
    other.start()
    assert inside.wait(LONG)
    store.save("course.yaml", digest(store), "title: Two\n")
    done.append("saved")
    other.join()
    assert done == ["recorded", "saved"]
    assert [change.file for change in store.history.changes()] == ["takes/takes.csv", "course.yaml"]


def test_a_name_with_a_line_separator_is_one_change(store: Store) -> None:
    store.save("course.yaml", digest(store), "title: Two\n", "one\u2028two\x85three")
    assert [change.what for change in store.history.changes()] == ["one\u2028two\x85three"]


def test_a_change_that_a_kill_kept_from_the_file_is_passed_over(store: Store) -> None:
    first, after = digest(store), store.save("course.yaml", digest(store), "title: Two\n")
    store.history.note(Change("", "course.yaml", after, "0" * 64, "never written"))
    with (store.folder / ".desk/changes.jsonl").open("a", encoding="utf-8") as file:
        file.write('\n{"at": "2027-03-10T09')
    assert store.undo().what.endswith(" as text")
    assert digest(store) == first


def test_a_full_disk_is_one_sentence_and_changes_nothing(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    before = held(store)

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("lessonplan.course.files.os.fsync", full)
    with pytest.raises(RefusedError, match="the disk is full") as refused:
        store.save("course.yaml", digest(store), "title: Two\n")
    assert refused.value.status == 507
    assert held(store) == before
    assert [path.name for path in store.folder.iterdir() if path.name.endswith("new")] == []


def test_a_log_that_finds_the_disk_full_is_told_so(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), "/a/long/way/to.csv")

    desk = Desk(store.folder, lambda: datetime(2027, 3, 10))
    guard = site(desk, frozenset({"127.0.0.1:1"}), "secret", actions.ROUTES)
    sent: list[Any] = []
    scope = {
        "type": "http", "method": "POST", "path": "/takes", "query_string": b"", "headers": [
            (b"host", b"127.0.0.1:1"), (b"origin", b"http://127.0.0.1:1"), (b"cookie", b"desk-1=secret"),
            (b"idempotency-key", b"2027-03-10/table-x/1"),
        ],
    }  # fmt: skip

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"day,shot\r\n", "more_body": False}

    async def send(message: MutableMapping[str, Any]) -> None:
        sent.append(message)

    monkeypatch.setattr("lessonplan.course.files.os.fsync", full)
    with ThreadPoolExecutor(1) as apart:  # a browser of other tests may have a loop of its own here
        apart.submit(asyncio.run, guard(scope, receive, send)).result()
    assert sent[0]["status"] == 507
    assert json.loads(sent[1]["body"])["said"] == "Nothing was written: the disk is full."
    assert desk.inbox.waiting() == ()


@pytest.mark.parametrize(
    "name",
    ["../other.yaml", "/etc/passwd", "episodes/../../x.yaml", "a\\..\\b.yaml", ".desk/changes.jsonl",
     "episodes/.x.yaml", "out/index.html", "course.yaml\x00", "episodes//a.yaml", "a/b/c.yaml", "course.py", ""],
)  # fmt: skip
def test_no_other_file_is_read_or_written(store: Store, name: str) -> None:
    for act in (lambda: store.read(name), lambda: store.save(name, "", "x"), lambda: store.put_aside(name, "x")):
        with pytest.raises(RefusedError):
            act()


def test_links_out_of_the_folder_are_not_followed(tmp_path: Path, clock: Clock) -> None:
    (tmp_path / "home").mkdir()
    (tmp_path / "secret.yaml").write_text("secret: 1\n")
    (tmp_path / "home" / "errata.yaml").symlink_to(tmp_path / "secret.yaml")
    (tmp_path / "home" / ".desk").symlink_to(tmp_path / "elsewhere")
    store = Store(tmp_path / "home", clock)
    with pytest.raises(RefusedError):
        store.read("errata.yaml")
    with pytest.raises(RefusedError):
        store.save("course.yaml", "", "title: One\n")
    assert not (tmp_path / "elsewhere").exists()
    assert not (tmp_path / "home" / "course.yaml").exists()


def test_of_earlier_days_one_version_each_is_left_and_the_way_back_holds(store: Store, clock: Clock) -> None:
    first = held(store)
    for day in range(3):
        for part in range(4):
            store.save("course.yaml", digest(store), f"title: {day}.{part}\n")
        clock.now += timedelta(days=1)
    store.save("course.yaml", digest(store), "title: today\n")
    store.thin()
    kept = sorted(path.read_bytes() for path in (store.folder / ".desk/kept").iterdir())
    assert kept == sorted([first, b"title: 0.3\n", b"title: 1.3\n", b"title: 2.3\n"])
    for expected in (b"title: 2.3\n", b"title: 1.3\n", b"title: 0.3\n", first):
        store.undo()
        assert held(store) == expected


def test_weeks_and_months_are_thinned_further() -> None:
    days = [date(2026, 1, 1) + timedelta(days=number) for number in range(0, 500, 1)]
    today = days[-1]
    changes = [Change(f"{day}T10:00:00", "a.yaml", str(n), str(n + 1), "text") for n, day in enumerate(days)]
    left = thinned(changes, today)
    assert [one.before for one in left] == ["0", *(one.after for one in left[:-1])]  # one way back without a gap
    back = [(today - date.fromisoformat(one.at[:10])).days for one in left]
    assert sum(1 for one in back if one <= 31) == 32
    assert 47 <= sum(1 for one in back if 31 < one <= 366) <= 50  # weeks of 335 days
    assert sum(1 for one in back if one > 366) <= 6


def test_a_text_that_was_given_up_is_kept_aside(store: Store) -> None:
    store.put_aside("course.yaml", "title: Given up\n")
    (change,) = store.history.changes()
    assert store.version("course.yaml", change.before) == "title: Given up\n"
    assert held(store) == b"title: One  # mine\n"
    with pytest.raises(RefusedError, match="nothing to undo"):
        store.undo()


def test_files_are_listed_as_the_folder_is_read(store: Store) -> None:
    for name in ("pattern.yaml", "episodes/02-b.yaml", "episodes/01-a.yaml", "errata.yaml", "notes.md", ".hidden.yaml"):
        (store.folder / name).write_text("a: 1\n")
    (store.folder / "film.mp4").write_bytes(b"0")
    expected = ("course.yaml", "pattern.yaml", "episodes/01-a.yaml", "episodes/02-b.yaml", "errata.yaml", "notes.md")
    assert store.names() == expected


def test_what_a_killed_run_left_is_cleared_by_the_next_and_undone_through(store: Store, clock: Clock) -> None:
    first = held(store)
    store.save("course.yaml", digest(store), "title: Two\n")
    store.save("course.yaml", digest(store), "title: Three\n")
    store.history.note(Change("", "course.yaml", digest(store), "0" * 64, "noted, and killed before it was written"))
    left = [
        ".desk/kept/.ab.0123abcd.lessonplan-new",
        ".course.yaml.0123abcd.lessonplan-new",
        "episodes/.a.0123abcd.new",
    ]
    for name in left:
        (store.folder / name).write_bytes(b"half")
    clock.now += timedelta(days=1)
    again = Store(store.folder, clock)
    again.thin()
    assert [(store.folder / name).exists() for name in left] == [False, False, True], "the last is nobody's of ours"
    again.undo()
    assert held(store) == first


def test_an_undo_that_a_kill_kept_from_the_file_can_be_done_again(store: Store, clock: Clock) -> None:
    first, mine = digest(store), store.save("course.yaml", digest(store), "title: Two\n")
    store.history.note(Change("", "course.yaml", mine, first, "text", "undo"))
    again = Store(store.folder, clock)
    again.thin()
    assert again.undo().what.endswith(" as text")
    assert digest(again) == first


def test_in_a_folder_that_is_gone_nothing_is_made(store: Store) -> None:
    mine = digest(store)
    away = store.folder.rename(store.folder.with_name("away"))
    for act in (lambda: store.save("course.yaml", mine, "x"), lambda: store.put_aside("course.yaml", "x"), store.undo):
        with pytest.raises(RefusedError, match="moved, renamed or deleted"):
            act()
    assert not store.folder.exists()
    assert (away / "course.yaml").read_bytes() == b"title: One  # mine\n"


def test_a_noted_change_is_in_its_file_when_the_disk_is_asked_to_keep_it(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept, notes = list[bytes](), store.folder / ".desk" / "changes.jsonl"

    def synced(handle: int) -> None:
        if notes.exists() and os.path.samestat(os.fstat(handle), notes.stat()):
            kept.append(notes.read_bytes())

    monkeypatch.setattr(os, "fsync", synced)
    store.save("course.yaml", digest(store), "title: Two\n")
    assert b"course.yaml" in kept[-1]
