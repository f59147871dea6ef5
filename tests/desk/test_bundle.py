"""A course saved as one file and opened again; what else such a file may hold is refused."""

from __future__ import annotations

import io
import stat
import struct
import zipfile
from pathlib import Path

import pytest

from lessonplan.desk.bundle import MOST_BYTES, MOST_FILES, packed, unpacked
from lessonplan.desk.store import RefusedError
from tests.command import run


def zipped(**files: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as file:
        for name, data in files.items():
            file.writestr(name, data)
    return made.getvalue()


def end_of(count: int, size: int, begins: int) -> bytes:
    """The end record of a zip file, which tells of its list of names (APPNOTE.TXT 4.3.16)."""
    return b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, count & 0xFFFF, count & 0xFFFF, size, begins, 0)


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_saved_course_opens_as_it_was_beside_the_old_one(root: Path, tmp_path: Path) -> None:
    home = tmp_path / "my mittens"
    (home / "episodes").mkdir(parents=True)
    for name in ("course.yaml", "pattern.yaml", "episodes/01-cuff.yaml"):
        (home / name).write_bytes((root / "sample_course" / name).read_bytes())
    expected = files(home)
    for name in (".desk/kept/x", "out/index.html", ".git/config"):
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(b"x")
    (home / "out" / ".lessonplan-output").write_bytes(b"")
    (home / "link.yaml").symlink_to("/etc/passwd")
    saved = packed(home)
    assert saved == packed(home)
    made = unpacked(saved, tmp_path)
    assert made.name == "my mittens-2"
    assert files(made) == expected
    assert sorted(path.name for path in tmp_path.iterdir()) == ["my mittens", "my mittens-2"]


def test_what_is_saved_can_be_opened_whatever_the_folder_is_called(tmp_path: Path) -> None:
    home = tmp_path / 'Mitts: one? "two" '
    home.mkdir()
    (home / "course.yaml").write_bytes(b"a")
    made = unpacked(packed(home), tmp_path)
    assert files(made) == {"course.yaml": b"a"}
    assert made != home


@pytest.mark.parametrize("names", [["what?.md"], ["A.md", "a.md"], ["1/2/3/4/5/6.md"], ["x" * 130 + ".md"]])
def test_what_could_not_be_opened_again_is_not_saved(tmp_path: Path, names: list[str]) -> None:
    for name in ("course.yaml", *names):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"a")
    with pytest.raises(RefusedError, match="another name"):
        packed(tmp_path)


def test_a_file_zipped_by_hand_opens_too(tmp_path: Path) -> None:
    loose = unpacked(zipped(**{"course.yaml": b"a", "__MACOSX/._course.yaml": b"x", ".DS_Store": b"x"}), tmp_path)
    assert files(loose) == {"course.yaml": b"a"}


@pytest.mark.parametrize(
    "name",
    ["../evil.yaml", "c/../../evil.yaml", "/evil.yaml", "c/.ssh/x", "c\\..\\evil.yaml", "C:/evil.yaml", "c//evil.yaml",
     "c/a\x1b.yaml", "c/a:b.yaml", "c/1/2/3/4/5/6.yaml", "c/" + "x" * 200],
)  # fmt: skip
def test_no_name_leads_out_of_the_new_folder(tmp_path: Path, name: str) -> None:
    home = tmp_path / "here"
    home.mkdir()
    with pytest.raises(RefusedError):
        unpacked(zipped(**{"c/course.yaml": b"a", name: b"x"}), home)
    assert list(home.iterdir()) == []
    assert [path.name for path in tmp_path.iterdir()] == ["here"]


def test_links_bombs_and_other_files_are_refused(tmp_path: Path) -> None:
    link = zipfile.ZipInfo("c/pattern.yaml")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    linked = io.BytesIO()
    with zipfile.ZipFile(linked, "w") as file:
        file.writestr("c/course.yaml", b"a")
        file.writestr(link, "/etc/passwd")
    bomb = zipped(**{"c/course.yaml": b"\0" * (MOST_BYTES + 1)})
    assert len(bomb) < 200_000
    lying = bytearray(bomb)
    said = (MOST_BYTES + 1).to_bytes(4, "little")
    while (at := lying.find(said)) >= 0:  # it says of itself that it is small
        lying[at : at + 4] = (10).to_bytes(4, "little")
    many = zipped(**{f"c/{number}.yaml": b"" for number in range(MOST_FILES + 1)}, **{"c/course.yaml": b""})
    twins = zipped(**{"c/course.yaml": b"a", "c/Pattern.yaml": b"a", "c/pattern.yaml": b"b"})
    other = zipped(**{"film.mp4": b"a"})
    one = zipped(**{"c/course.yaml": b"a"})
    cut = zipped(**{"c/course.yaml": b"a" * 5000})[:-40]
    begins = one.index(b"PK\x01\x02")
    name, ends = one[begins : one.index(b"PK\x05\x06")], one[:begins]
    long = ends + name * 20_000 + end_of(20_000, len(name) * 20_000, begins)
    larger = ends + name * 20_000
    larger += b"PK\x06\x06" + struct.pack("<QHHIIQQQQ", 44, 45, 45, 0, 0, 20_000, 20_000, len(name) * 20_000, begins)
    larger += b"PK\x06\x07" + struct.pack("<IQI", 0, begins + len(name) * 20_000, 1) + end_of(1, len(name), begins)
    assert len(zipfile.ZipFile(io.BytesIO(long)).infolist()) == len(zipfile.ZipFile(io.BytesIO(larger)).infolist())
    for data in (
        linked.getvalue(),
        long,
        larger,
        bomb,
        bytes(lying),
        many,
        twins,
        other,
        cut,
        b"",
        b"PK",
        b"no zip at all",
    ):
        with pytest.raises(RefusedError):
            unpacked(data, tmp_path)
        assert list(tmp_path.iterdir()) == []


def test_a_saved_course_that_is_not_there_is_no_new_folder(tmp_path: Path) -> None:
    done = run("desk", tmp_path / "mittens.zip")
    assert (done.returncode, done.stderr) == (2, f"{tmp_path / 'mittens.zip'} is not there.\n")
    assert list(tmp_path.iterdir()) == []
