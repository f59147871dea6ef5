"""The file of learnt paces as a course keeps it: renewed part by part, and only while no person changed it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from pathlib import Path

from lessonplan.course.files import UnfitError, decode, inside, read_plain, write_file
from lessonplan.course.problems import Problem, Where, error
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.planning.worked import LEARNT
from lessonplan.shoot.takes.learnt import Learnt
from lessonplan.shoot.takes.learntfile import learnt_yaml, read_learnt


def kept_learnt(folder: Path) -> Learnt:
    """Give what the program wrote into a course's file of learnt paces; nothing where there is none of its own."""
    try:
        return _kept(inside(folder, LEARNT)) or Learnt(())
    except UnfitError:
        return Learnt(())


def write_learnt(folder: Path, renewed: Callable[[Learnt], Learnt]) -> tuple[Path | None, list[Problem]]:
    """Write the learnt paces, ``renewed`` from those that stand in the file, unless a person changed it.

    The caller holds the lock on the folder. Raises ``OSError`` when the file cannot be read or written.
    """
    try:
        path = inside(folder, LEARNT)
        before = _kept(path)
    except UnfitError as bad:
        return None, [bad.problem]
    if before is None:
        what = "This file was written or changed by hand, so the learnt paces were not written over it."
        hint = "Give it another name (course.yaml may name it under “learnt”), then learn again."
        return None, [error(Where(LEARNT), "not-written", what, hint)]
    text = learnt_yaml(renewed(before))
    write_file(path, f"{text}{_seal(text.splitlines())}\n".encode())
    return path, []


def not_written() -> Problem:
    """Say that nothing was written, since not all could be read."""
    what = "The learnt paces were not written: what they rest on could not all be read."
    return error(Where(LEARNT), "not-written", what)


def _kept(path: Path) -> Learnt | None:
    """Read the file, if there is one; None where its last line is not the seal of the others. Raises `UnfitError`."""
    if not path.exists():
        return Learnt(())
    data = read_plain(path, Where(LEARNT), MAX_BYTES)
    lines = decode(data, LEARNT).splitlines()
    if lines[-1:] != [_seal(lines[:-1])]:
        return None
    learnt, problems = read_learnt(data, LEARNT)
    if problems:
        raise UnfitError(problems[0])
    return learnt


def _seal(lines: Sequence[str]) -> str:
    """Make the last line of a file, by which the program knows later that nobody changed it."""
    digest = hashlib.sha256("\n".join(lines).encode("utf-8")).hexdigest()
    return f"# Written by lessonplan, and written over by it only while unchanged: {digest}"
