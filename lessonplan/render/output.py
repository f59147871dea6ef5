"""The output folder: staged beside its place and swapped in whole; nothing of the teacher's is ever deleted."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

MARKER = ".lessonplan-output"
_NOTE = "Written by lessonplan: one line for each file, with the digest of what was written.\n"


class OutputError(Exception):
    """The output cannot be written where it is asked for; the text is one plain sentence."""


def write_whole(folder: Path, files: Mapping[str, bytes]) -> None:
    """Replace the output folder by these files (relative name to bytes), all or nothing.

    Raises `OutputError` when the place is a file, or a folder that holds anything that the program did not write or
    that was changed since. Raises ``OSError`` when the disk refuses.
    """
    check_replaceable(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    staging = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    old = staging.with_name(staging.name + "-old")
    try:
        for name, data in files.items():
            path = staging / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        (staging / MARKER).write_text(_NOTE + _listing(files), encoding="utf-8")
        staging.chmod(0o755)
        if folder.exists():
            folder.replace(old)
        try:
            staging.replace(folder)
        except OSError:
            if old.exists():
                old.replace(folder)
            raise
    finally:
        shutil.rmtree(staging, ignore_errors=True)
        shutil.rmtree(old, ignore_errors=True)


def check_replaceable(folder: Path) -> None:
    """Raise `OutputError` unless the folder is missing, empty, or holds just what the program wrote there."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise OutputError(f"{folder} is not a folder; choose another place with --out.")
    if not folder.exists():
        return
    there = {str(path.relative_to(folder).as_posix()): path for path in folder.rglob("*") if not path.is_dir()}
    if not there:
        return
    known = _read_listing(folder / MARKER)
    strangers = sorted(name for name, path in there.items() if name != MARKER and known.get(name) != _digest_of(path))
    if strangers:
        what = (
            "which was not written by lessonplan"
            if strangers[0] not in known
            else "which was changed since it was written"
        )
        raise OutputError(
            f"{folder} holds {strangers[0]}, {what}; nothing was replaced. Choose another place with --out."
        )


def _listing(files: Mapping[str, bytes]) -> str:
    return "".join(f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))


def _read_listing(path: Path) -> dict[str, str]:
    if not path.is_file():
        return {}
    lines = path.read_text(encoding="utf-8", errors="replace").splitlines()[1:]
    return {name: digest for digest, _, name in (line.partition("  ") for line in lines)}


def _digest_of(path: Path) -> str:
    return "" if path.is_symlink() else hashlib.sha256(path.read_bytes()).hexdigest()
