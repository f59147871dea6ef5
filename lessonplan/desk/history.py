"""Every version that the desk replaced, kept in a hidden folder of the course and thinned out, and the way back.

``.desk/changes.jsonl`` has a line for each change, ``.desk/kept/`` the replaced bytes by their digests. A version is
kept and its change noted before a file is written, so that nothing is lost wherever a run is killed.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, fields
from datetime import date, datetime
from pathlib import Path

from lessonplan.course.files import clear_left, inside, write_file, write_new

HOME = ".desk"
_CHANGES, _KEPT = f"{HOME}/changes.jsonl", f"{HOME}/kept"
_BY_DAY, _BY_WEEK = 31, 366
"""So many days back one version of a day is kept; then one of a week; before that one of a month."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a file: when (as ISO 8601 has it), its digests before and after (empty: no file), and what it was.

    ``kind``: an edit, the undoing or redoing of one, or a text that was put aside (``before``) and never was a file.
    ``group``: changes of several files that were made as one, and are undone as one, have the same.
    """

    at: str
    file: str
    before: str
    after: str
    what: str
    kind: str = "edit"
    group: str = ""


def digest_of(data: bytes | None) -> str:
    """Give the digest by which a version is known (SHA-256); of no file it is empty."""
    return "" if data is None else hashlib.sha256(data).hexdigest()


class History:
    """What was changed in a course by the desk, oldest first. The caller holds the lock on the course's folder."""

    def __init__(self, folder: Path, now: Callable[[], datetime]) -> None:
        self._folder, self._now = folder, now

    def keep(self, data: bytes | None) -> str:
        """Keep a version that is about to be replaced, and give its digest. Raises ``OSError``."""
        digest = digest_of(data)
        if data is not None:
            path = inside(self._folder, f"{_KEPT}/{digest}")
            path.parent.mkdir(parents=True, exist_ok=True)
            if not path.exists():
                write_file(path, data)
        return digest

    def kept(self, digest: str) -> bytes | None:
        """Give a kept version; None for that of no file. Raises ``FileNotFoundError`` where it was thinned out."""
        return inside(self._folder, f"{_KEPT}/{digest}").read_bytes() if digest else None

    def note(self, change: Change) -> None:
        """Note a change; the time is put in here."""
        path = inside(self._folder, _CHANGES)
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists():
            write_new(path, b"")
        line = json.dumps(asdict(change) | {"at": self._now().isoformat(timespec="seconds")}, ensure_ascii=False)
        with path.open("a", encoding="utf-8") as file:
            file.write(f"\n{line}\n")  # the first line end parts it from a line that a kill cut short
            file.flush()
            os.fsync(file.fileno())

    def changes(self) -> tuple[Change, ...]:
        """Give all changes, oldest first; lines cut short are passed over."""
        path = inside(self._folder, _CHANGES)
        lines = path.read_text("utf-8", "replace").split("\n") if path.exists() else []
        return tuple(found for line in lines if (found := _read(line)))

    def steps(self) -> tuple[Change | None, Change | None]:
        """Give the change that would be undone next, and the one that would be redone."""
        done, undone = list[Change](), list[Change]()
        for one in self.changes():
            if one.kind == "undo" and done:
                undone.append(done.pop())
            elif one.kind == "redo" and undone:
                done.append(undone.pop())
            elif one.kind == "edit":
                done.append(one)
                undone.clear()
        return (done[-1] if done else None), (undone[-1] if undone else None)

    def thin(self, stands: Callable[[str], str]) -> None:
        """Put the changes of earlier days together, one for each file and day (later week, month), and let go the rest.

        Those of today stay as they are. What a killed run noted and did not write is dropped: ``stands`` gives the
        digest of a file as it is now. Raises ``OSError``.
        """
        for home in inside(self._folder, HOME).glob("**/"):
            clear_left(home)
        before, today = self.changes(), self._now().date()
        last = {one.file: number for number, one in enumerate(before) if one.kind != "aside"}
        never = {number for file, number in last.items() if stands(file) == before[number].before}
        after = thinned((one for number, one in enumerate(before) if number not in never), today)
        if after == before:
            return
        lines = "".join(json.dumps(asdict(one), ensure_ascii=False) + "\n" for one in after)
        write_file(inside(self._folder, _CHANGES), lines.encode("utf-8"))
        held = {digest for one in after for digest in (one.before, one.after)}
        for path in inside(self._folder, _KEPT).glob("*"):
            if path.name not in held and not path.name.startswith("."):
                path.unlink(missing_ok=True)


def thinned(changes: Iterable[Change], today: date) -> tuple[Change, ...]:
    """Put together the changes of one file in one earlier day, week or month: from its first version to its last."""
    found: dict[tuple[str, str], Change] = {}
    kept = list[Change]()
    for one in changes:
        period = _period(date.fromisoformat(one.at[:10]), today)
        if not period or one.kind == "aside":
            kept += [one] if len(period) in (0, len("2027-01-31")) else []
            continue
        first = found.pop((period, one.file), one)
        found[period, one.file] = Change(at=one.at, file=one.file, before=first.before, after=one.after, what=one.what)
    return (*(one for one in found.values() if one.before != one.after), *kept)


def _period(day: date, today: date) -> str:
    back = (today - day).days
    if back <= 0:
        return ""
    if back <= _BY_DAY:
        return day.isoformat()
    if back <= _BY_WEEK:
        return "{}-W{:02}".format(*day.isocalendar()[:2])
    return f"{day:%Y-%m}"


def _read(line: str) -> Change | None:
    try:
        held = json.loads(line)
        date.fromisoformat(held["at"][:10])
        return Change(**{one.name: str(held[one.name]) for one in fields(Change) if one.name in held})
    except (ValueError, KeyError, TypeError):
        return None
