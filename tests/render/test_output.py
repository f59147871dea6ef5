from __future__ import annotations

import os
from pathlib import Path

import pytest

from lessonplan.render.output import MARKER, OutputError, write_whole


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
