"""Files on disk: what is not taken as it is, what a writing leaves, and runs that wait for each other."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from lessonplan.course.files import UnfitError, decode, inside, locked, read_plain, write_file
from lessonplan.course.problems import Where, error
from lessonplan.course.signs import one_line
from lessonplan.edit.captions.reading import read_captions
from lessonplan.shoot.takes.log import read_log

HOLDS_THE_LOCK = """\
import sys, time
from pathlib import Path
from lessonplan.course.files import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(600)
"""


def code_of(bad: pytest.ExceptionInfo[UnfitError]) -> str:
    return bad.value.problem.code


def test_a_pipe_a_folder_and_a_device_are_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", tmp_path, Path("/dev/zero")):
        with pytest.raises(UnfitError) as bad:
            read_plain(path, Where("x"), 10)
        assert code_of(bad) == "not-a-file"


def test_a_file_of_many_gigabytes_is_not_read(tmp_path: Path) -> None:
    with (tmp_path / "video").open("wb") as file:
        file.truncate(200 * 2**30)  # sparse: takes no place on the disk
    with pytest.raises(UnfitError, match=r"video has 214748\.4 MB") as bad:
        read_plain(tmp_path / "video", Where("x"), 1_000_000)
    assert code_of(bad) == "too-big"


def test_a_file_may_be_just_as_large_as_allowed(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")
    assert read_plain(tmp_path / "a", Where("a"), 5) == b"12345"
    with pytest.raises(UnfitError):
        read_plain(tmp_path / "a", Where("a"), 4)


@pytest.mark.parametrize(
    "name", ["../out", "/etc/passwd", "a/../../x", "link", "linked/x", "circle", "n" * 5000, "a\0b"]
)
def test_no_name_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    course = tmp_path / "course"
    course.mkdir()
    (course / "link").symlink_to("/etc/hostname")
    (course / "linked").symlink_to(tmp_path)
    (course / "circle").symlink_to(course / "circle")
    with pytest.raises(UnfitError):
        inside(course, name)


def test_a_link_within_the_folder_is_followed(tmp_path: Path) -> None:
    (tmp_path / "b").write_bytes(b"x")
    (tmp_path / "a").symlink_to("b")
    assert inside(tmp_path, "a") == inside(tmp_path, "b")
    assert inside(tmp_path, "not/there/yet") == tmp_path.resolve() / "not/there/yet"


def test_the_place_of_a_wrong_byte_counts_characters() -> None:
    with pytest.raises(UnfitError) as bad:
        decode(b"\xef\xbb\xbf" + "ééé\néé".encode() + b"\xff", "x")
    assert (bad.value.problem.where.line, bad.value.problem.where.column) == (2, 3)
    assert decode("é".encode("utf-16"), "x") == "é"


@pytest.mark.parametrize(("umask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_a_written_file_has_the_mode_of_the_umask(tmp_path: Path, umask: int, mode: int) -> None:
    before = os.umask(umask)
    try:
        write_file(tmp_path / "sub" / "a.csv", b"x")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "sub" / "a.csv").stat().st_mode) == mode


def test_what_killed_runs_left_is_cleared_and_nothing_else(tmp_path: Path) -> None:
    (tmp_path / ".a.csv.0123abcd.lessonplan-new").write_bytes(b"half")
    for name in (".a.csv.mine", ".a.csv.0123abcd.lessonplan-new.mine", ".b.csv.0123abcd.lessonplan-new"):
        (tmp_path / name).write_bytes(b"kept")
    write_file(tmp_path / "a.csv", b"x")
    left = {".a.csv.mine", ".a.csv.0123abcd.lessonplan-new.mine", ".b.csv.0123abcd.lessonplan-new", "a.csv"}
    assert set(os.listdir(tmp_path)) == left


def test_a_full_disk_names_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a.csv").write_bytes(b"old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError) as bad:
        write_file(tmp_path / "a.csv", b"new")
    assert bad.value.filename == str(tmp_path / "a.csv")
    assert (tmp_path / "a.csv").read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["a.csv"]


def test_a_writing_reaches_the_disk_before_it_takes_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    sync, rename = os.fsync, Path.replace

    def synced(handle: int) -> None:
        done.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        sync(handle)

    def renamed(path: Path, target: Path) -> Path:
        done.append("rename")
        return rename(path, target)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(Path, "replace", renamed)
    write_file(tmp_path / "a", b"x")
    assert done == ["file", "rename", "folder"]


def test_a_lock_is_waited_for_not_for_ever_and_ends_with_its_process(tmp_path: Path) -> None:
    words = [sys.executable, "-c", HOLDS_THE_LOCK, str(tmp_path)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        with pytest.raises(TimeoutError) as bad, locked(tmp_path, wait=0.2):
            pass
        assert bad.value.filename == str(tmp_path)
        other.kill()
    with locked(tmp_path, wait=120):
        pass
    with locked(tmp_path, wait=0):  # the one before is given back at its end
        pass
    assert os.listdir(tmp_path) == []


def test_one_line_holds_nothing_that_a_terminal_obeys() -> None:
    told = str(error(Where("a.yaml", 1, 2), "x", "\x1b[2Jhidden\nfake.yaml:1:1: error\x9b31m \u202egnp.exe", "\r\x07"))
    assert told.startswith("a.yaml:1:2: error x:  [2Jhidden fake.yaml:1:1: error 31m  gnp.exe")
    assert one_line("Łódź ‏ש 🧶 👩‍🏫 cut – “x”") == "Łódź ‏ש 🧶 👩‍🏫 cut – “x”"


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "This is a PDF, not plain text."),
        (b"PK\x03\x04\x14\x00\x06\x00", "a workbook or a zip file, not plain text."),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "This is an old file of a word processor"),
        (b"{\\rtf1\\ansi Cast on 40 sts}", "This is a file of rich text (RTF), not plain text."),
        (b"\x89PNG\r\n\x1a\n\x00", "This is a picture, not plain text."),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "This is a picture, not plain text."),
        (b"\x00\x00\x00\x18ftypmp42", "This is a film or a sound, not plain text."),
    ],
)
def test_a_file_that_is_no_text_is_told_what_it_is(data: bytes, what: str) -> None:
    """Whatever its name: captions, logs and patterns are read by the same hands."""
    with pytest.raises(UnfitError) as told:
        decode(data, "p.txt")
    assert told.value.problem.code == "not-text"
    assert what in told.value.problem.message
    for problem in (*read_log(data, "p.txt")[1], *read_captions(data, "p.txt").problems):
        assert "not UTF-8" not in problem.message
        assert "PDF" in problem.message or not data.startswith(b"%PDF")
    assert decode(b"PK 4, K2", "p.txt") == "PK 4, K2"
