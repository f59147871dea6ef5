"""The output folder: staged beside its place and swapped in whole; nothing of the teacher's is ever deleted.

In between, the old output waits under a name of its own. What a killed run left is put right by the next one.
"""

from __future__ import annotations

import contextlib
import hashlib
import shutil
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath

from lessonplan.course.files import (
    NEW,
    UnfitError,
    beside,
    decode,
    left_beside,
    locked,
    read_plain,
    sync_folder,
    write_new,
)
from lessonplan.course.problems import Where

MARKER = ".lessonplan-output"
_NOTE = "Written by lessonplan: one line for each file, with the digest of what was written.\n"
_LONGEST_LISTING = 5_000_000
_MANAGERS = (".ds_store", ".localized", "icon\r", "desktop.ini", "thumbs.db", "ehthumbs.db", ".directory")
"""What file managers put into any folder that they show (macOS, Windows, KDE); macOS also ``._`` and a name."""


class OutputError(Exception):
    """The output cannot be written where it is asked for; the text is one plain sentence."""


def write_whole(folder: Path, files: Mapping[str, bytes]) -> None:
    """Replace the output folder by these files (relative name to bytes), all or nothing.

    What a file manager left in the old output goes over into the new one. Raises `OutputError` when the place is a
    file, or a folder that holds anything that the program did not write or that was changed since, or that cannot be
    replaced. Raises ``OSError`` that names the file when the disk refuses.
    """
    folder = _place(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with locked(folder.parent):
        _put_right(folder)
        _check(folder)
        staging = beside(folder)
        try:
            _stage(staging, folder, files)
            if folder.exists():
                folder.replace(_old(folder))
            try:
                staging.replace(folder)
            except OSError:
                if _old(folder).exists():
                    _old(folder).replace(folder)
                raise
            sync_folder(folder.parent)
        finally:
            _remove(staging)
        _put_right(folder)


def make_ready(folder: Path) -> None:
    """Put right what a killed run left of the output, and say before the work whether it may be replaced.

    Raises like `write_whole`.
    """
    folder = _place(folder)
    if folder.parent.is_dir() and (_old(folder).exists() or left_beside(folder)):
        with locked(folder.parent):
            _put_right(folder)
    _check(folder)


def _check(folder: Path) -> None:
    """Raise `OutputError` unless the folder is missing, empty, or holds just what the program wrote there."""
    for place in (_old(folder), folder):
        if place.is_symlink() or (place.exists() and not place.is_dir()):
            raise OutputError(f"{place} is not a folder; choose another place with --out.")
        strange = _strange(place)
        if strange:
            raise OutputError(
                f"{place} holds {strange}; nothing was replaced. Move it away, or choose another place with --out."
            )


def _place(folder: Path) -> Path:
    """Give the folder by a name that another folder can take over. Raises `OutputError` where none can."""
    here, real = Path.cwd(), folder.resolve()
    if real == here or real in here.parents:
        raise OutputError(f"{folder} is where this command runs, so it cannot be replaced; give a folder inside it.")
    if real.is_mount():
        raise OutputError(f"{folder} is a disk of its own, so it cannot be replaced; give a folder inside it.")
    if folder.name in ("", ".."):
        return real
    return folder.parent.resolve() / folder.name if ".." in folder.parts else folder


def _old(folder: Path) -> Path:
    """Name the place where the old output waits while the new one takes its place."""
    return folder.with_name(f".{folder.name}{NEW.replace('new', 'old')}")


def _put_right(folder: Path) -> None:
    """Bring back the old output if the new one never came, else clear it; clear staged ones of runs that were killed.

    Only what the program wrote is cleared. The caller holds the lock, so no living run is in the midst of it.
    """
    old = _old(folder)
    if old.is_dir() and not old.is_symlink() and not _strange(old):
        if folder.exists():
            for name in [name for name, _ in _files(old) if _is_managers(name)]:
                if not (folder / name).exists() and (folder / name).parent.is_dir():
                    (old / name).replace(folder / name)
            _remove(old)
        else:
            old.replace(folder)
    for staged in left_beside(folder):
        if staged.is_dir() and not staged.is_symlink() and not _strange(staged, whole=False):
            _remove(staged)


def _stage(staging: Path, folder: Path, files: Mapping[str, bytes]) -> None:
    """Write every file into the staging folder, the listing first: by it a later run knows the folder for ours."""
    listing = _NOTE + "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))
    staging.mkdir()
    for name, data in ((MARKER, listing.encode("utf-8")), *files.items()):
        try:
            (staging / name).parent.mkdir(parents=True, exist_ok=True)
            write_new(staging / name, data)
        except OSError as bad:
            bad.filename = str(folder / name)
            raise
    for within in {(staging / name).parent for name in (MARKER, *files)}:
        sync_folder(within)


def _strange(folder: Path, *, whole: bool = True) -> str:
    """Say what a folder holds first that the program did not put there, or that was changed since; nothing: empty.

    Names are looked at before anything is read. With ``whole`` False files may be cut short.
    """
    known = _listing(folder)
    ours = {MARKER, *known}
    folders = {str(parent) for name in known for parent in PurePosixPath(name).parents}
    for name, kind in _files(folder):
        fits = name in folders if stat.S_ISDIR(kind) else stat.S_ISREG(kind) and (name in ours or _is_managers(name))
        if not fits:
            return f"{name}, which was not written by lessonplan"
    for name, digest in known.items() if whole else ():
        path = folder / name
        if path.exists():
            with path.open("rb") as file:
                if hashlib.file_digest(file, "sha256").hexdigest() != digest:
                    return f"{name}, which was changed since it was written"
    return ""


def _files(folder: Path) -> Iterator[tuple[str, int]]:
    """Give everything in a folder by its name from there and its kind, in order; links are not followed."""
    within = sorted(folder.iterdir()) if folder.is_dir() else []
    for path in within:
        kind = path.lstat().st_mode
        yield path.name, kind
        if stat.S_ISDIR(kind):
            yield from ((f"{path.name}/{name}", inner) for name, inner in _files(path))


def _listing(folder: Path) -> dict[str, str]:
    """Read which files the program wrote into a folder, with their digests; no listing: none."""
    try:
        text = decode(read_plain(folder / MARKER, Where(MARKER), _LONGEST_LISTING), MARKER)
    except (UnfitError, FileNotFoundError):
        return {}
    return {name: digest for digest, _, name in (line.partition("  ") for line in text.splitlines()[1:])}


def _is_managers(name: str) -> bool:
    last = PurePosixPath(name).name
    return last.lower() in _MANAGERS or last.startswith("._")


def _remove(folder: Path) -> None:
    """Take away a folder of the program's own, also where somebody made it read-only; what stays is no harm.

    Its listing goes last: a run that is killed meanwhile leaves what the next one still knows for its own.
    """
    if folder.is_dir() and not folder.is_symlink():
        for path in (folder, *(folder / name for name, kind in _files(folder) if stat.S_ISDIR(kind))):
            with contextlib.suppress(OSError):  # on a stick or a network's disk modes may be no one's to change
                path.chmod(0o700)
        for path in [path for path in folder.iterdir() if path.name != MARKER]:
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                with contextlib.suppress(OSError):
                    path.unlink()
        shutil.rmtree(folder, ignore_errors=True)
