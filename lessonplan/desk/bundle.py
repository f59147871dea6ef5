"""A whole course as one zip file, and such a file opened again: as a new folder, never over anything that is there."""

from __future__ import annotations

import io
import re
import secrets
import shutil
import stat
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from lessonplan.course.files import write_new
from lessonplan.desk.store import RefusedError
from lessonplan.render.output import MARKER

MOST_BYTES, MOST_FILES = 100_000_000, 2_000
"""What a course may hold, unpacked."""
_LONGEST_LIST = 1_000_000
"""Bytes of names and sizes at the end of a saved course."""
_FIRST_DATE = (1980, 1, 1, 0, 0, 0)
_NOWHERE = re.compile(r"[\x00-\x1f\\/:*?\"<>|]")
"""Signs that names of files have not on every system."""
_PART = re.compile(rf"(?!\.)(?:(?!{_NOWHERE.pattern}).){{1,120}}", re.DOTALL)


def packed(folder: Path) -> bytes:
    """Pack a course, below a folder of its name; hidden files, outputs and links are left out.

    The same course gives the same bytes. Raises `RefusedError` where it holds more than a course may, or what could not
    be opened again.
    """
    made, size = io.BytesIO(), 0
    name, known = _NOWHERE.sub("-", folder.resolve().name).strip(" .")[:80] or "course", set[str]()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as file:
        for count, path in enumerate(_files(folder)):
            size += path.stat().st_size
            if size > MOST_BYTES or count >= MOST_FILES:
                raise RefusedError("This folder holds more than a course: move videos and pictures out of it first.")
            info = zipfile.ZipInfo(f"{name}/{path.relative_to(folder).as_posix()}", _FIRST_DATE)
            info.external_attr, info.compress_type = 0o644 << 16, zipfile.ZIP_DEFLATED
            if not _fits(info.filename) or info.filename.casefold() in known:
                what = f"“{path.relative_to(folder)}” has a name that not every computer can tell or write."
                raise RefusedError(f"{what} Nothing was saved: give it another name first.")
            known.add(info.filename.casefold())
            file.writestr(info, path.read_bytes())
    return made.getvalue()


def _files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.iterdir()):
        kind = path.lstat().st_mode
        if path.name.startswith("."):
            continue
        if stat.S_ISREG(kind):
            yield path
        elif stat.S_ISDIR(kind) and not (path / MARKER).exists():
            yield from _files(path)


def unpacked(data: bytes, beside: Path) -> Path:
    """Open a packed course as a new folder in ``beside``, and give it.

    Raises `RefusedError` for what is no course, too large, or would write anywhere else; nothing is left of it then.
    """
    if _list_of_names(data) > _LONGEST_LIST:
        raise RefusedError("This is more than a course may hold.", 413)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as file:
            name, entries = _checked(file)
            staging = beside / f".{name}.{secrets.token_hex(4)}"
            try:
                staging.mkdir()
                _write(file, entries, staging)
                target = _free(beside, name)
                staging.rename(target)
            finally:
                if staging.exists():
                    shutil.rmtree(staging)
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, EOFError, ValueError, RuntimeError) as bad:
        raise RefusedError(f"This is no course saved as one file ({bad}).") from None
    return target


def _list_of_names(data: bytes) -> int:
    """Give how many bytes the list of names has that is read before any of them can be counted.

    It is told at the end of the file (APPNOTE.TXT 4.3.16; with the larger end record of 4.3.15 it is past all bounds).
    """
    end = len(data) - 22 if data[-22:-18] == b"PK\5\6" else data.rfind(b"PK\5\6")
    larger = data[max(0, end - 20) : max(0, end)].startswith(b"PK\6\7")
    return 2**32 if larger else int.from_bytes(data[end + 12 : end + 16], "little") if end >= 0 else 0


def _checked(file: zipfile.ZipFile) -> tuple[str, list[tuple[zipfile.ZipInfo, PurePosixPath]]]:
    """Look at every name before anything is written: the course's name, and its files by their place in the folder."""
    infos = [one for one in file.infolist() if not one.is_dir() and not _managers(one.filename)]
    if len(infos) > MOST_FILES or sum(one.file_size for one in infos) > MOST_BYTES:
        raise RefusedError("This is more than a course may hold.", 413)
    entries = [(one, _place(one)) for one in infos]
    courses = [place.parent for _, place in entries if place.name == "course.yaml" and len(place.parts) < 3]
    if not courses:
        raise RefusedError("There is no course in this file: it holds no course.yaml.")
    home = courses[0]
    within = [(one, place.relative_to(home)) for one, place in entries if home in place.parents]
    names = [str(place).casefold() for _, place in within]
    if len(set(names)) < len(names):
        raise RefusedError("This file holds two files of one name.")
    return home.name or "course", within


def _managers(name: str) -> bool:
    """Tell what a file manager puts into a zip file beside what it was asked to pack (macOS)."""
    return name.startswith("__MACOSX/") or PurePosixPath(name).name in (".DS_Store", "Thumbs.db")


def _place(one: zipfile.ZipInfo) -> PurePosixPath:
    """Give the place of an entry; refused are links, ways out of the folder and names that some system has not."""
    kind = stat.S_IFMT(one.external_attr >> 16)
    if kind not in (0, stat.S_IFREG) or not _fits(one.filename):
        raise RefusedError(f"“{one.filename[:80]}” cannot be a file of a course, so nothing was opened.")
    return PurePosixPath(*one.filename.split("/"))


def _fits(name: str) -> bool:
    parts = name.split("/")
    return len(parts) <= 6 and all(_PART.fullmatch(part) for part in parts)


def _write(file: zipfile.ZipFile, entries: list[tuple[zipfile.ZipInfo, PurePosixPath]], staging: Path) -> None:
    left = MOST_BYTES
    for one, place in entries:
        with file.open(one) as packed_file:
            data = packed_file.read(left + 1)  # what an entry says of its size need not be true
        left -= len(data)
        if left < 0:
            raise RefusedError("This is more than a course may hold.", 413)
        path = staging / place
        path.parent.mkdir(parents=True, exist_ok=True)
        write_new(path, data)


def _free(beside: Path, name: str) -> Path:
    number = 1
    while (found := beside / (name if number == 1 else f"{name}-{number}")).exists():
        number += 1
    return found
