"""A course's files, looked at again and again, to tell when one was changed."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from lessonplan.course.files import FOLDERS

PAUSE = 0.4
"""Seconds between two looks: less than it takes to turn from an editor to a terminal."""


def changes(course: Path) -> Iterator[None]:
    """Go on once at first, then whenever a file of a course came, went or was changed; this has no end."""
    seen: dict[Path, tuple[int, int]] | None = None
    while True:
        now = stamps(course)
        if now != seen:
            seen = now
            yield
        else:
            time.sleep(PAUSE)


def stamps(course: Path) -> dict[Path, tuple[int, int]]:
    """When each file of a course was changed last, and its size; what comes and goes meanwhile is left out."""
    found = {}
    folders = (course, *(course / name for name in FOLDERS))
    for path in (path for folder in folders for path in folder.glob("*")):
        try:
            kind = path.stat()
        except OSError:
            continue
        if path.is_file() and not path.name.startswith("."):
            found[path] = (kind.st_mtime_ns, kind.st_size)
    return found
