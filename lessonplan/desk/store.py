"""The files of a course as the desk reads and writes them: each whole, and never over what changed meanwhile."""

from __future__ import annotations

import errno
import re
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from difflib import SequenceMatcher
from pathlib import Path
from typing import NoReturn

from lessonplan.course.byplace.edits import changed
from lessonplan.course.files import FOLDERS, UnfitError, clear_left, decode, inside, locked, read_plain, write_file
from lessonplan.course.problems import Where
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.desk.history import Change, History, digest_of

FIRST = ("course.yaml", "pattern.yaml")
_TEXTS = (".yaml", ".yml", ".md", ".txt", ".csv", ".vtt", ".srt", ".html", ".css", ".typ")
_NAME = re.compile(rf"(?:(?:{'|'.join(FOLDERS)})/)?[^\W_](?:[\w .-]{{0,99}}\w)?\.[a-z]{{2,4}}")
_MOST = 600
FULL = "Nothing was written: the disk is full."
"""What is said of a disk without room."""
_ENDS = re.compile(r"\r\n|\n|\r")


class RefusedError(Exception):
    """What is not done as it was asked for: a plain sentence, the HTTP status that fits it, and perhaps the field."""

    def __init__(self, sentence: str, status: int = 422, field: str = "") -> None:
        super().__init__(sentence)
        self.status, self.field = status, field


class MeanwhileError(RefusedError):
    """A file that is not as the page had it any more; ``now`` is how it stands (None: it is gone)."""

    def __init__(self, sentence: str, now: Text | None) -> None:
        super().__init__(sentence, 409)
        self.now = now


@dataclass(frozen=True, slots=True)
class Text:
    """A file of the course as text, its lines ending in line feeds, with the digest of its bytes."""

    name: str
    text: str
    digest: str


class Store:
    """The files of one course. Every method that writes does so under the lock on the course's folder."""

    def __init__(self, folder: Path, now: Callable[[], datetime]) -> None:
        self.folder = folder
        self.history = History(folder, now)
        self._one = threading.RLock()

    def names(self) -> tuple[str, ...]:
        """Name the text files of the course in reading order, hidden ones and outputs left out."""
        found = [path.name for path in sorted(self.folder.iterdir()) if path.is_file()]
        for within in FOLDERS:
            home = self.folder / within
            found += [f"{within}/{path.name}" for path in sorted(home.iterdir())] if home.is_dir() else []
        texts = [name for name in found if _NAME.fullmatch(name) and name.endswith(_TEXTS)]
        rank = {name: number for number, name in enumerate(FIRST)}
        folder = {name: number + 2 for number, name in enumerate(FOLDERS[:1])}
        return tuple(sorted(texts, key=lambda name: (rank.get(name, folder.get(name.split("/")[0], 9)), name)))[:_MOST]

    def read(self, name: str) -> Text | None:
        """Read a file; None where there is none. Raises `RefusedError` for what cannot be edited as text."""
        data = self._bytes(name)
        return None if data is None else _as_text(name, data)

    def save(self, name: str, digest: str, text: str | None, what: str = "", group: str = "") -> str:
        """Write a text over the version of a digest, or take the file away (None). Gives the new digest.

        ``what`` says in words what was changed, where that was not the text as such; ``group`` is that of the change,
        where it is one of several that are made as one.

        Raises `MeanwhileError` where another version stands there by now, else `RefusedError`.
        """
        with self._writing():
            before = self._bytes(name)
            if digest_of(before) != digest:
                raise MeanwhileError(_meanwhile(name, digest, before), None if before is None else _now(name, before))
            after = None if text is None else _encoded(text, before or b"")
            self._put(name, before, after, what or f"{name} as text", group=group)
            return digest_of(after)

    def put_aside(self, name: str, text: str) -> None:
        """Keep a text among the older versions of a file, without writing it there."""
        with self._writing():
            digest = self.history.keep(_encoded(text, self._bytes(name) or b""))
            self.history.note(Change(at="", file=name, before=digest, after="", what="typed, not saved", kind="aside"))

    def version(self, name: str, digest: str) -> str:
        """Give an older version of a file as text. Raises `RefusedError` where it is not kept."""
        if not any(one.file == name and digest in (one.before, one.after) for one in self.history.changes()):
            raise RefusedError("This version is not kept any more.", 404)
        try:
            data = self.history.kept(digest)
        except FileNotFoundError:
            data = self._bytes(name)
            if digest_of(data) != digest:
                raise RefusedError("This version is not kept any more.", 404) from None
        return _now(name, data or b"").text

    def undo(self) -> Change:
        """Undo the last change made at the desk. Raises `RefusedError` where it cannot be."""
        return self._step("undo")

    def redo(self) -> Change:
        """Make the change anew that was undone last. Raises like `undo`."""
        return self._step("redo")

    @contextmanager
    def recording(self, what: str, *names: str) -> Iterator[None]:
        """Keep what some files held before and note how another function of the program changed them meanwhile.

        That function locks the folder itself; no other change at the desk comes between.
        """
        with self._one:
            with self._writing():
                before = {name: self._bytes(name) for name in names}
                for data in before.values():
                    self.history.keep(data)
            with _told():
                yield
            with self._writing():
                self._note_all(what, {name: digest_of(was) for name, was in before.items()})

    def note_begun(self, names: Iterable[str]) -> None:
        """Note the files of a course that was begun, where there were none."""
        with self._writing():
            self._note_all("the course begun", dict.fromkeys(names, ""))

    def _note_all(self, what: str, before: Mapping[str, str]) -> None:
        """Note how files stand now that had other digests before: as one change."""
        now = {name: digest_of(self._bytes(name)) for name in before}
        changed = [name for name in before if now[name] != before[name]]
        group = now[changed[0]][:16] if len(changed) > 1 else ""
        for name in changed:
            self.history.note(Change(at="", file=name, before=before[name], after=now[name], what=what, group=group))

    def thin(self) -> None:
        """Thin out the kept versions of earlier days, and clear what killed runs left."""
        with self._writing():
            for home in (self.folder, *(self.folder / name for name in FOLDERS)):
                if not home.is_symlink():
                    clear_left(home)
            self.history.thin(self._standing)

    def _standing(self, name: str) -> str:
        """Give the digest of a file as it is now; of one that cannot be read that of no version."""
        try:
            return digest_of(self._bytes(name))
        except RefusedError:
            return "unread"

    def _step(self, kind: str) -> Change:
        done: Change | None = None
        with self._writing():
            while (change := self.history.steps()[kind == "redo"]) is not None:
                if done and change.group != done.group:
                    return done
                old, new = (change.before, change.after) if kind == "undo" else (change.after, change.before)
                now = self._bytes(change.file)
                if digest_of(now) == new:
                    try:
                        data = self.history.kept(old)
                    except FileNotFoundError:
                        raise RefusedError(f"The older version of {change.file} is not kept any more.", 409) from None
                    self._put(change.file, now, data, change.what, kind, change.group)
                    if not change.group:
                        return change
                    done = done or change
                    continue
                if digest_of(now) != old:
                    self._passed(change.file, kind)
                self._note(change, kind)  # a killed run never wrote it
        if done:
            return done
        raise RefusedError(f"There is nothing to {kind}.", 409)

    def _passed(self, name: str, kind: str) -> NoReturn:
        """Pass over the last changes of a file that is another's work by now, so that the next step goes on behind."""
        while (change := self.history.steps()[kind == "redo"]) is not None and change.file == name:
            self._note(change, kind)
        way = "taken back" if kind == "undo" else "made anew"
        what = f"{name} was changed since by another program, so nothing in it is {way} here; Versions has its older"
        raise RefusedError(f"{what} texts. The next {kind.capitalize()} goes on with what was changed before it.", 409)

    def _note(self, change: Change, kind: str) -> None:
        before, after = (change.after, change.before) if kind == "undo" else (change.before, change.after)
        self.history.note(
            Change(at="", file=change.file, before=before, after=after, what=change.what, kind=kind, group=change.group)
        )

    def _put(
        self, name: str, before: bytes | None, after: bytes | None, what: str, kind: str = "edit", group: str = ""
    ) -> None:
        """Replace a file, the old version kept and the change noted first."""
        if after == before:
            return
        self.history.keep(before)
        self.history.note(
            Change(
                at="", file=name, before=digest_of(before), after=digest_of(after), what=what, kind=kind, group=group
            )
        )
        path = inside(self.folder, name)
        if after is None:
            path.unlink()
            if path.parent.name in FOLDERS:
                with suppress(OSError):  # it holds something else
                    path.parent.rmdir()
        else:
            write_file(path, after)

    def _bytes(self, name: str) -> bytes | None:
        if not _NAME.fullmatch(name) or not name.endswith(_TEXTS):
            raise RefusedError(f"“{name}” is not the name of a text file of a course.", 404)
        try:
            return read_plain(inside(self.folder, name), Where(name), MAX_BYTES)
        except (FileNotFoundError, NotADirectoryError):
            return None
        except UnfitError as bad:
            raise RefusedError(bad.problem.message) from None

    @contextmanager
    def _writing(self) -> Iterator[None]:
        self.at_home()
        with self._one, _told(), locked(self.folder):
            yield

    def at_home(self) -> None:
        """Raise `RefusedError` where the course's folder is not there; nothing must be written in its place."""
        if not self.folder.is_dir():
            what = "The course's folder was moved, renamed or deleted. Once it is back, this can be done again."
            raise RefusedError(what, 410)


@contextmanager
def _told() -> Iterator[None]:
    """Say what the disk refuses as one sentence."""
    try:
        yield
    except UnfitError as bad:
        raise RefusedError(f"{bad.problem.where.file}: {bad.problem.message}") from None
    except OSError as bad:
        if is_full(bad):
            raise RefusedError(FULL, 507) from None
        raise RefusedError(f"Nothing was written: {(bad.strerror or str(bad)).lower()}.", 500) from None


def is_full(bad: OSError) -> bool:
    """Tell whether a disk refuses for want of room."""
    return bad.errno in (errno.ENOSPC, errno.EDQUOT)


def _as_text(name: str, data: bytes) -> Text:
    try:
        return Text(name, _ENDS.sub("\n", decode(data, name)), digest_of(data))
    except UnfitError as bad:
        where = bad.problem.where
        raise RefusedError(f"{name}, line {where.line}: {bad.problem.message} {bad.problem.hint}") from None


def _now(name: str, data: bytes) -> Text:
    try:
        return _as_text(name, data)
    except RefusedError:
        return Text(name, data.decode("utf-8", "replace"), digest_of(data))


def _meanwhile(name: str, digest: str, before: bytes | None) -> str:
    if before is None:
        return f"{name} is not there any more: it was deleted or renamed since this page had it."
    if not digest:
        return f"There is a file {name} by now."
    return f"{name} was changed since this page had it. Nothing was written; both texts are below."


def _encoded(text: str, before: bytes) -> bytes:
    """Give a text in the encoding and with the line ends that a file has."""
    try:
        return changed(before, lambda old: _with_ends(_ENDS.sub("\n", text), old))
    except UnicodeError:
        raise RefusedError("This text holds a sign that cannot be written.") from None


def _with_ends(text: str, old: str) -> str:
    """Give lines the ends that they had, new ones that of most others."""
    ends = _ENDS.findall(old)
    if set(ends) <= {"\n"}:
        return text
    most = max(("\n", "\r\n", "\r"), key=ends.count)
    if len(set(ends)) == 1:
        return text.replace("\n", most)
    lines, was = text.split("\n"), _ENDS.split(old)
    new = [most] * len(lines)
    for block in SequenceMatcher(None, was, lines, autojunk=False).get_matching_blocks():
        for step in range(block.size):
            new[block.b + step] = [*ends, most][block.a + step]
    return "".join(line + end for line, end in zip(lines[:-1], new[:-1], strict=True)) + lines[-1]
