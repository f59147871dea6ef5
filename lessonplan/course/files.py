"""Files on disk: read where they are plain files of a sane size, written whole or not at all, by one run at a time."""

from __future__ import annotations

import codecs
import contextlib
import errno
import os
import re
import secrets
import stat
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from lessonplan.course.problems import Problem, Where, error

MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
"""How texts in UTF-16 begin."""

NEW = ".lessonplan-new"
FOLDERS = ("episodes", "captions", "takes", "published", "templates")
"""The folders of a course that hold its files, besides its own."""


class UnfitError(Exception):
    """A file that is not taken as it is; carries the one problem to report."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def inside(folder: Path, name: str, where: Where | None = None) -> Path:
    """Give the real path of a file in a course's folder, whether it is there or not.

    Raises `UnfitError`, told of at ``where`` (the file itself unless given), when the name is none or leads out of the
    folder, be it through a link.
    """
    told = where or Where(name)
    try:
        path, home = (folder / name).resolve(), folder.resolve()
        with contextlib.suppress(FileNotFoundError, NotADirectoryError):
            path.stat()  # tells of names that are too long and of links that lead in a circle
    except PermissionError:
        raise
    except (OSError, ValueError, RuntimeError):  # RuntimeError: the circle, before Python 3.13
        raise UnfitError(error(told, "not-a-file", "This cannot be the name of a file.")) from None
    if not path.is_relative_to(home):
        what = f"{name} leads out of the course's folder, so it is not read."
        raise UnfitError(error(told, "outside", what, "Put a copy of it into the folder."))
    return path


def read_plain(path: Path, where: Where, most: int) -> bytes:
    """Read a file of ``most`` bytes at most. Raises `UnfitError` for larger files, folders, pipes and devices.

    Raises ``OSError`` when it is not there or cannot be read.
    """
    kind = path.stat()
    if not stat.S_ISREG(kind.st_mode):
        raise UnfitError(error(where, "not-a-file", f"{path.name} is not a plain file."))
    data, size = b"", kind.st_size
    if size <= most:
        with path.open("rb") as file:
            data = file.read(most + 1)
        size = len(data)
    if size > most:
        what = f"{path.name} has {size / 1e6:.1f} MB; it may have {most / 1e6:g} MB at most."
        raise UnfitError(error(where, "too-big", what))
    return data


def place_after(text: str) -> tuple[int, int]:
    """Give line and column, from 1, of what comes after a text; lines end with LF, CR LF, or CR."""
    lines = re.split("\r\n|\r|\n", text)
    return len(lines), len(lines[-1]) + 1


def marked(data: bytes) -> bytes:
    """Put the mark before a UTF-16 text that lacks it: every other of its bytes is a zero."""
    head = data[:2000]
    for mark, zeros in zip(MARKS, (head[1::2], head[0::2]), strict=True):
        few = data[:2] in MARKS or len(head) < 8 or head.count(0) >= 0.6 * len(head)
        if not few and zeros.count(0) > 0.7 * len(zeros):
            return mark + data
    return data


_OTHERS = {
    b"%PDF-": "a PDF",
    b"PK\x03\x04": "a file of a word processor, a workbook or a zip file",
    b"\xd0\xcf\x11\xe0": "an old file of a word processor, or a workbook",
    b"{\\rtf": "a file of rich text (RTF)",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
}
"""What files that are no text begin with (from memory of their published forms)."""


def decode(data: bytes, file: str) -> str:
    """Read bytes as UTF-8, or as UTF-16 with its mark, line ends as they are.

    Raises `UnfitError`, with the place, or with what the file is that is no text (``not-text``).
    """
    what = next((what for head, what in _OTHERS.items() if data.startswith(head)), "")
    if what or data[4:8] == b"ftyp":
        other = f"This is {what or 'a film or a sound'}, not plain text."
        raise UnfitError(error(Where(file), "not-text", other, "Save its text as a plain text file, or take another."))
    codec = "utf-16" if data[:2] in MARKS else "utf-8-sig"
    try:
        return data.decode(codec)
    except UnicodeDecodeError as bad:
        before = bad.object[: bad.start].decode(codec, "replace")  # without the mark that the codec took away
        line, column = place_after(before)
        what = f"The byte {bad.object[min(bad.start, len(bad.object) - 1)]:#04x} here is not UTF-8 text."
        raise UnfitError(error(Where(file, line, column), "encoding", what, "Save the file as UTF-8.")) from None


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, down to the disk, with the mode that the user's umask gives.

    Raises ``OSError`` that names the file.
    """
    try:
        with path.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError as bad:
        bad.filename = str(path)  # a full disk does not say which file
        raise


def write_file(path: Path, data: bytes) -> None:
    """Replace a file whole or not at all, and clear what killed runs left of such a writing beside it.

    The caller holds the lock on its folder or one above (see `locked`). Raises ``OSError`` that names the file.
    """
    new = beside(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        for left in left_beside(path):
            left.unlink(missing_ok=True)
        write_new(new, data)
        new.replace(path)
    except OSError as bad:
        bad.filename, bad.filename2 = str(path), None
        raise
    finally:
        new.unlink(missing_ok=True)
    sync_folder(path.parent)


def beside(path: Path) -> Path:
    """Make a name of the program's own beside a path, for what shall take its place."""
    return path.with_name(f".{path.name}.{secrets.token_hex(4)}{NEW}")


def left_beside(path: Path) -> list[Path]:
    """List what bears a name that `beside` gave for this path."""
    shape = re.compile(re.escape(f".{path.name}.") + "[0-9a-f]{8}" + re.escape(NEW))
    return sorted(one for one in path.parent.iterdir() if shape.fullmatch(one.name))


def clear_left(folder: Path) -> None:
    """Take away what killed runs left of files that they were writing in a folder. The caller holds the lock on it.

    Raises ``OSError``.
    """
    shape = re.compile(r"\..+\.[0-9a-f]{8}" + re.escape(NEW))
    for one in folder.iterdir() if folder.is_dir() else ():
        if shape.fullmatch(one.name) and stat.S_ISREG(one.lstat().st_mode):
            one.unlink()


def sync_folder(folder: Path) -> None:
    """Bring a folder's list of names down to the disk, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextlib.contextmanager
def locked(folder: Path, wait: float = 30.0) -> Iterator[None]:
    """Keep other runs from writing in a folder meanwhile. The system ends the lock with the process that holds it.

    Raises ``TimeoutError`` when another run is not done after ``wait`` seconds. Where the file system knows no locks
    (some network shares), or the folder may not be read, runs are not kept apart. Not to be nested on one folder.
    """
    handle = _open_for_lock(folder)
    until = time.monotonic() + wait
    try:
        while handle is not None and not _try_lock(handle):
            if time.monotonic() > until:
                what = "another run of lessonplan is writing here and does not end; end it and try again"
                raise TimeoutError(errno.ETIMEDOUT, what, str(folder))
            time.sleep(0.02)
        yield
    finally:
        if handle is not None:
            _unlock(handle, folder)


if sys.platform == "win32":
    import msvcrt

    _LOCK = ".lessonplan-lock"

    def _open_for_lock(folder: Path) -> int | None:
        """Open a file of its own in the folder: Windows locks no folders."""
        with contextlib.suppress(OSError):
            return os.open(folder / _LOCK, os.O_RDWR | os.O_CREAT)
        return None

    def _try_lock(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _unlock(handle: int, folder: Path) -> None:
        os.close(handle)
        with contextlib.suppress(OSError):  # Windows refuses while another run has it open: then it is theirs to clear
            (folder / _LOCK).unlink()

else:
    import fcntl

    def _open_for_lock(folder: Path) -> int | None:
        with contextlib.suppress(OSError):
            return os.open(folder, os.O_RDONLY)
        return None

    def _try_lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True
        return True

    def _unlock(handle: int, folder: Path) -> None:
        os.close(handle)
