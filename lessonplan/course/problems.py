"""What can be wrong with a course: one kind of value for it, one way to print it."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from lessonplan.course.signs import one_line

Severity = Literal["error", "warning", "note"]
MOST = 200
"""So many of a kind are told of at once; who mends these is told of the others afterwards."""


@dataclass(frozen=True, slots=True)
class Where:
    """A place in one of the teacher's files. Line and column count from 1; 0 means the file as a whole."""

    file: str = ""
    line: int = 0
    column: int = 0

    def shifted(self, lines: int = 0, columns: int = 0) -> Where:
        """Give the place so many lines below and columns to the right (columns restart on a new line)."""
        return Where(self.file, self.line + lines, columns if lines else self.column + columns)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong or doubtful: where, how bad, a stable code, and one plain sentence.

    An ``error`` keeps the course from being built; a ``warning`` is very likely a mistake; a ``note`` tells what
    a published table says and may be ignored. The hint, if any, says what to do instead.
    """

    where: Where
    severity: Severity
    code: str
    message: str
    hint: str = ""

    def __str__(self) -> str:
        place = f"{self.where.file}:{self.where.line}:{self.where.column}"
        hint = f" {self.hint}" if self.hint else ""
        return one_line(f"{place}: {self.severity} {self.code}: {self.message}{hint}")

    def as_dict(self) -> dict[str, str | int]:
        """Give the problem as plain values for ``--json``."""
        return {
            "file": self.where.file,
            "line": self.where.line,
            "column": self.where.column,
            "severity": self.severity,
            "code": self.code,
            "message": self.message,
            "hint": self.hint,
        }


def error(where: Where, code: str, message: str, hint: str = "") -> Problem:
    """Make a problem that keeps the course from being built."""
    return Problem(where=where, severity="error", code=code, message=message, hint=hint)


def warning(where: Where, code: str, message: str, hint: str = "") -> Problem:
    """Make a problem that is very likely a mistake, though the course can be built."""
    return Problem(where=where, severity="warning", code=code, message=message, hint=hint)


def note(where: Where, code: str, message: str, hint: str = "") -> Problem:
    """Make a remark: what a published table says, nothing that must be mended."""
    return Problem(where=where, severity="note", code=code, message=message, hint=hint)


def in_reading_order(problems: Iterable[Problem], files: Sequence[str]) -> tuple[Problem, ...]:
    """Sort by file as a person reads the folder, then line and column; equal problems are said once."""
    rank = {name: number for number, name in enumerate(files)}
    unique = dict.fromkeys(problems)
    return tuple(
        sorted(
            unique,
            key=lambda p: (rank.get(p.where.file, len(rank)), p.where.file, p.where.line, p.where.column, p.code),
        )
    )


def first_of(problems: Iterable[Problem]) -> Iterator[Problem]:
    """Give the first of many problems, `MOST` of each severity, and say that there are more.

    Nothing is looked for after so many errors: a file may hold more than anybody reads.
    """
    counts = Counter[Severity]()
    for one in problems:
        counts[one.severity] += 1
        if counts[one.severity] <= MOST:
            yield one
        elif one.severity == "error":
            yield error(one.where, "more", f"More is wrong from here on; mend the {MOST} errors before it first.")
            break
        elif counts[one.severity] == MOST + 1:
            yield Problem(one.where, one.severity, "more", f"More like the {MOST} before it comes from here on.")


def has_errors(problems: Iterable[Problem]) -> bool:
    """Tell whether any of these keeps the course from being built."""
    return any(problem.severity == "error" for problem in problems)


def nearest(name: str, known: Iterable[str], alike: float = 0.6) -> str:
    """Give the known name most like this one (letter case aside), or an empty string when none is like it.

    ``alike``: how like it must be, from 0 to 1.
    """
    by_lower = {candidate.lower(): candidate for candidate in known}
    found = difflib.get_close_matches(name.lower(), list(by_lower), n=1, cutoff=alike)
    return by_lower[found[0]] if found else ""


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Give a hint that names the nearest known name, or lists a few of them, or nothing."""
    choices = sorted(known)
    best = nearest(name, choices)
    if best:
        return f"Did you mean “{best}”?"
    if choices and len(choices) <= 12:
        return f"Known: {', '.join(choices)}."
    return ""
