"""The output folder: whole at every moment or brought back, and nothing in it that is not the program's is touched."""

from __future__ import annotations

import contextlib
import os
import random
import shutil
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from lessonplan.render.output import MARKER, OutputError, make_ready, write_whole
from tests.pace import allowed


def test_files_are_written_with_a_listing(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"a.html": b"x", "sub/b.csv": b"y"})
    assert (tmp_path / "out" / "sub" / "b.csv").read_bytes() == b"y"
    assert (tmp_path / "out" / MARKER).exists()
    assert sorted(os.listdir(tmp_path)) == ["out"]


def test_a_second_writing_replaces_the_first_whole(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"old.html": b"x"})
    write_whole(tmp_path / "out", {"new.html": b"y"})
    assert sorted(os.listdir(tmp_path / "out")) == [MARKER, "new.html"]


def test_a_file_in_the_way_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(OutputError):
        write_whole(tmp_path / "out", {"a": b"x"})
    assert (tmp_path / "out").read_text() == "mine"


@pytest.mark.parametrize("written_before", [False, True])
def test_somebody_elses_file_is_never_deleted(tmp_path: Path, written_before: bool) -> None:
    if written_before:
        write_whole(tmp_path / "out", {"a.html": b"x"})
    (tmp_path / "out").mkdir(exist_ok=True)
    (tmp_path / "out" / "notes.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"notes\.txt"):
        write_whole(tmp_path / "out", {"a.html": b"y"})
    assert (tmp_path / "out" / "notes.txt").read_text() == "mine"


def test_a_page_that_was_changed_by_hand_is_not_overwritten(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"a.html": b"x"})
    (tmp_path / "out" / "a.html").write_bytes(b"scribbled on")
    with pytest.raises(OutputError, match="changed"):
        write_whole(tmp_path / "out", {"a.html": b"y"})


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OutputError):
        write_whole(tmp_path / "out", {"a": b"x"})


def test_when_writing_fails_the_old_output_stays(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"a.html": b"x"})
    with pytest.raises(OSError):
        write_whole(tmp_path / "out", {"b.html": b"y", "b.html/impossible": b"z"})
    assert (tmp_path / "out" / "a.html").read_bytes() == b"x"
    assert sorted(os.listdir(tmp_path)) == ["out"]


def test_an_empty_folder_of_somebody_else_is_never_deleted(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"sub/a.html": b"x"})
    (tmp_path / "out" / "sub" / "to sort").mkdir()
    with pytest.raises(OutputError, match="sub/to sort"):
        write_whole(tmp_path / "out", {"a.html": b"y"})
    assert (tmp_path / "out" / "sub" / "to sort").is_dir()


MANAGERS = (".DS_Store", "Thumbs.db", "desktop.ini", "Desktop.ini", "._a.html", ".directory", ".localized", "Icon\r")


@pytest.mark.parametrize("name", [*MANAGERS, *(f"sub/{name}" for name in MANAGERS)])
def test_what_a_file_manager_left_blocks_nothing_and_stays(tmp_path: Path, name: str) -> None:
    write_whole(tmp_path / "out", {"a.html": b"x", "sub/b.html": b"x"})
    (tmp_path / "out" / name).write_bytes(b"its own")
    write_whole(tmp_path / "out", {"a.html": b"y", "sub/b.html": b"y"})
    assert (tmp_path / "out" / name).read_bytes() == b"its own"
    assert (tmp_path / "out" / "sub" / "b.html").read_bytes() == b"y"
    assert os.listdir(tmp_path) == ["out"]


def test_a_link_by_the_name_of_a_file_managers_file_is_somebodys(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"a.html": b"x"})
    (tmp_path / "out" / ".DS_Store").symlink_to(tmp_path)
    with pytest.raises(OutputError, match="DS_Store"):
        write_whole(tmp_path / "out", {"a.html": b"y"})


@pytest.mark.parametrize("at_the_start", [False, True])
def test_a_large_foreign_folder_is_refused_by_its_names_without_reading(tmp_path: Path, at_the_start: bool) -> None:
    (tmp_path / "out").mkdir()
    if at_the_start:
        write_whole(tmp_path / "out", {"a.html": b"x"})
    os.mkfifo(tmp_path / "out" / "pipe")
    with (tmp_path / "out" / "film.mov").open("wb") as film:
        film.truncate(200 * 2**30)  # sparse: takes no place on the disk
    began = time.process_time()
    with pytest.raises(OutputError, match=r"film\.mov"):
        write_whole(tmp_path / "out", {"a.html": b"y"})
    assert time.process_time() - began < allowed(5)


@pytest.mark.parametrize("where", [".", "..", "../deep", "/", "inside"])
def test_the_folder_one_stands_in_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    (tmp_path / "deep").mkdir()
    monkeypatch.chdir(tmp_path / "deep")
    if where == "inside":
        write_whole(Path(where), {"a.html": b"x"})
        write_whole(Path(where) / ".." / where, {"a.html": b"y"})
        assert (tmp_path / "deep" / "inside" / "a.html").read_bytes() == b"y"
    else:
        with pytest.raises(OutputError, match="give a folder inside it"):
            write_whole(Path(where), {"a.html": b"x"})
    assert os.listdir(tmp_path) == ["deep"]


@pytest.mark.parametrize("umask", [0o022, 0o077, 0o002])
def test_modes_are_as_the_umask_has_them(tmp_path: Path, umask: int) -> None:
    before = os.umask(umask)
    try:
        write_whole(tmp_path / "out", {"sub/a.html": b"x"})
    finally:
        os.umask(before)
    for path in (tmp_path / "out", *(tmp_path / "out").rglob("*")):
        full = 0o777 if path.is_dir() else 0o666
        assert stat.S_IMODE(path.stat().st_mode) == full & ~umask, path


def test_a_read_only_output_is_replaced_and_leaves_nothing(tmp_path: Path) -> None:
    write_whole(tmp_path / "out", {"sub/a.html": b"x"})
    for path in (tmp_path / "out" / "sub" / "a.html", tmp_path / "out" / "sub", tmp_path / "out"):
        path.chmod(0o555)
    write_whole(tmp_path / "out", {"a.html": b"y"})
    assert os.listdir(tmp_path) == ["out"]


def test_where_modes_cannot_be_changed_it_is_replaced_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a stick or a disk in the network; nothing is left, and the output is the new one."""
    write_whole(tmp_path / "out", {"sub/a.html": b"x"})

    def refuse(path: Path, mode: int) -> None:
        raise PermissionError(1, "Operation not permitted", str(path))

    monkeypatch.setattr(Path, "chmod", refuse)
    write_whole(tmp_path / "out", {"a.html": b"y"})
    assert os.listdir(tmp_path) == ["out"]
    assert (tmp_path / "out" / "a.html").read_bytes() == b"y"


def test_a_full_disk_names_the_page_and_leaves_the_old_output(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_whole(tmp_path / "out", {"a.html": b"x"})
    calls = []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 3:  # the listing, the first page, the second
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError) as bad:
        write_whole(tmp_path / "out", {"a.html": b"y", "b.html": b"y"})
    assert bad.value.filename == str(tmp_path / "out" / "b.html")
    assert (tmp_path / "out" / "a.html").read_bytes() == b"x"
    assert os.listdir(tmp_path) == ["out"]


def test_all_is_on_the_disk_before_a_folder_takes_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    rename = Path.replace
    monkeypatch.setattr(os, "fsync", lambda handle: done.append(Path(f"/proc/self/fd/{handle}").readlink().name))

    def renamed(path: Path, target: Path) -> Path:
        done.append("rename")
        return rename(path, target)

    monkeypatch.setattr(Path, "replace", renamed)
    write_whole(tmp_path / "out", {"a.html": b"x", "sub/b.html": b"y"})
    first = done.index("rename")
    assert {MARKER, "a.html", "b.html", "sub"} < set(done[:first])
    assert any(name.startswith(".out.") for name in done[:first])
    assert done[first + 1] == tmp_path.name


WRITES_FOR_EVER = """\
import itertools, sys
from collections.abc import Callable
from pathlib import Path
from typing import Any
from lessonplan.render.output import make_ready, write_whole
out = Path(sys.argv[1])
for turn in itertools.count(1):
    make_ready(out)
    write_whole(out, {name: f"{name} {turn} ".encode() * 3000 for name in ("a.html", "b.csv", "sub/c.html")})
    print(turn, flush=True)
"""
KILLS_ITSELF = """\
import os, signal, sys
from collections.abc import Callable
from pathlib import Path
from typing import Any
from lessonplan.render.output import write_whole
from tests.pace import allowed
rename, turn = Path.replace, 0
def replace(path, target):
    global turn
    turn += 1
    if turn == int(sys.argv[2]):
        os.kill(os.getpid(), signal.SIGKILL)
    return rename(path, target)
Path.replace = replace
write_whole(Path(sys.argv[1]), {"a.html": b"y", "sub/b.html": b"y"})
"""


def whole(out: Path) -> bool:
    """Tell whether an output is all of one turn, none of it missing."""
    turns = set()
    for name in ("a.html", "b.csv", "sub/c.html"):
        words = (out / name).read_text().split()
        turns |= set(words[1::2])
        assert words[::2] == [name] * 3000
    return len(turns) == 1


def test_a_kill_between_the_two_renames_is_put_right(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_whole(out, {"a.html": b"x", "sub/b.html": b"x"})
    (out / ".DS_Store").write_bytes(b"its own")
    words = [sys.executable, "-c", KILLS_ITSELF, str(out)]
    assert subprocess.run([*words, "2"], check=False).returncode == -signal.SIGKILL
    assert not out.exists(), "the kill came where it was to come"
    make_ready(out)
    assert (out / "a.html").read_bytes() == (out / "sub" / "b.html").read_bytes() == b"x"
    assert os.listdir(tmp_path) == ["out"]
    assert subprocess.run([*words, "3"], check=False).returncode == -signal.SIGKILL
    assert (out / "a.html").read_bytes() == b"y", "the kill came after the new output was in, before .DS_Store was"
    write_whole(out, {"a.html": b"z"})
    assert sorted(os.listdir(out)) == [".DS_Store", MARKER, "a.html"]
    assert os.listdir(tmp_path) == ["out"]


def test_kills_at_any_moment_leave_a_whole_output_and_the_next_run_nothing_besides(tmp_path: Path) -> None:
    out, chance = tmp_path / "out", random.Random(5)
    for _ in range(6):
        with subprocess.Popen(
            [sys.executable, "-c", WRITES_FOR_EVER, str(out)], stdout=subprocess.PIPE, text=True
        ) as run:
            assert run.stdout is not None
            assert run.stdout.readline() == "1\n"
            time.sleep(chance.random() / 10)
            run.kill()
        make_ready(out)
        assert os.listdir(tmp_path) == ["out"]
        assert whole(out)


@pytest.mark.parametrize("listing_first", [True, False])
def test_of_what_is_cleared_the_listing_goes_last(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, listing_first: bool
) -> None:
    """By it alone the next run knows for its own what one leaves that is killed while it clears."""
    files = {name: name.encode() for name in ("a.html", "b.csv", "sub/c.html", "sub/deep/d.html")}
    out, old = tmp_path / "out", tmp_path / ".out.lessonplan-old"
    write_whole(out, files)
    shutil.copytree(out, old)
    listed = os.scandir

    @contextlib.contextmanager
    def in_order(place: str | int = ".") -> Iterator[Iterator[os.DirEntry[str]]]:
        with listed(place) as entries:  # a disk may list what it holds in any order
            yield iter(sorted(entries, key=lambda entry: (entry.name == MARKER) != listing_first))

    monkeypatch.setattr(os, "scandir", in_order)
    gone = list[str]()

    def told(do: Callable[..., None]) -> Callable[..., None]:
        def done(name: str | Path, **more: Any) -> None:
            gone.append(Path(name).name)
            do(name, **more)

        return done

    monkeypatch.setattr(os, "unlink", told(os.unlink))
    monkeypatch.setattr(os, "rmdir", told(os.rmdir))
    make_ready(out)
    assert os.listdir(tmp_path) == ["out"]
    own = [name for name in gone if name in {MARKER, old.name, "sub", "deep", "a.html", "d.html"}]
    assert (own[-2:], len(own)) == ([MARKER, old.name], 6)


def test_what_only_looks_like_a_leftover_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / ".out.0123abcd.lessonplan-new").mkdir()
    (tmp_path / ".out.0123abcd.lessonplan-new" / "diary.txt").write_text("mine")
    (tmp_path / ".out.mine").mkdir()
    write_whole(tmp_path / "out", {"a.html": b"x"})
    assert sorted(os.listdir(tmp_path)) == [".out.0123abcd.lessonplan-new", ".out.mine", "out"]
    (tmp_path / ".out.lessonplan-old").mkdir()
    (tmp_path / ".out.lessonplan-old" / "diary.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"diary\.txt"):
        write_whole(tmp_path / "out", {"a.html": b"y"})
    assert (tmp_path / ".out.lessonplan-old" / "diary.txt").read_text() == "mine"
    assert (tmp_path / "out" / "a.html").read_bytes() == b"x"
