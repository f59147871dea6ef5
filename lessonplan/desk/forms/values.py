"""What a form is, as plain values for a template: fields, groups, lists with their entries, and what only text says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal
from urllib.parse import quote

from lessonplan.course.problems import Problem

Path = tuple[str | int, ...]
"""A place in a file: keys, and numbers of list items from 0."""
FieldKind = Literal[
    "text", "long text", "lines", "names", "number", "length", "time", "time of day", "share", "date", "sizes",
    "choice", "yes or no",
]  # fmt: skip
"""How a value is typed. ``lines``: one a line; ``names``: parted by commas; ``sizes``: each size, ``40 (44, 48)``."""


_SHORT = 6
"""Fields up to which a group is shown unfolded."""


def id_of(path: Path, sign: str = "at") -> str:
    """Name a place in its page: no blanks are in it, and no two places have the same name. ``in`` is for its field."""
    return f"{sign}." + ".".join(quote(str(step), safe="") for step in path)


class _Placed:
    """What stands at a place of a file."""

    __slots__ = ()
    path: Path

    @property
    def id(self) -> str:
        """Its name in its page, by its place."""
        return id_of(self.path)


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the values that a field may have, as it is typed, and what people call it."""

    value: str
    label: str


@dataclass(frozen=True, slots=True)
class Field:
    """One value that can be typed. ``value`` is as it stands in the file; ``default`` is what holds without one.

    ``choices``: all that there are; ``offered``: what it may be, among others. ``name`` is that of its input where the
    value is not sent alone but with others, in a new entry. ``main``: shown at once, not only on asking. ``line``:
    where it stands in the file, from 1; 0 where it does not.
    """

    path: Path
    label: str
    help: str
    kind: FieldKind
    value: str = ""
    default: str = ""
    unit: str = ""
    example: str = ""
    choices: tuple[Choice, ...] = ()
    offered: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    line: int = 0
    needed: bool = False
    main: bool = True
    name: str = ""

    @property
    def id(self) -> str:
        """The name of the field in its page, by its place."""
        return id_of(self.path, "in")


@dataclass(frozen=True, slots=True)
class Other(_Placed):
    """What a form cannot say: lines of the file from ``line`` on, shown as they stand.

    ``key``: a key that is not known where it stands; it can be named otherwise or taken away.
    """

    path: Path
    label: str
    text: str
    line: int
    problems: tuple[Problem, ...] = ()
    key: str = ""


@dataclass(frozen=True, slots=True)
class Entry(_Placed):
    """One entry of a list: its title, its place, the problems in it, and its own form where that is short.

    ``mentioned``: in how many places the rest of the course names it.
    """

    path: Path
    title: str
    line: int
    problems: int = 0
    first: bool = False
    last: bool = False
    name: str = ""
    mentioned: int = 0
    form: Form | None = None


@dataclass(frozen=True, slots=True)
class Entries(_Placed):
    """A list: its entries, and what is asked for one more (``asks``; each field has the ``name`` of its input).

    ``one``: what an entry is called. ``named``: entries have names of the teacher's own, perhaps one of ``names``.
    ``works``: the kinds of work to choose from.
    """

    path: Path
    label: str
    help: str
    one: str
    entries: tuple[Entry, ...] = ()
    asks: tuple[Field, ...] = ()
    named: bool = False
    names: tuple[str, ...] = ()
    works: tuple[Choice, ...] = ()
    problems: tuple[Problem, ...] = ()
    line: int = 0
    main: bool = True


@dataclass(frozen=True, slots=True)
class Form(_Placed):
    """What can be typed at one place of a file; ``above``: the places around it, outermost first, with their titles.

    ``facts``: what texts on this page may name in double braces.
    """

    file: str
    path: Path
    title: str
    help: str = ""
    fields: tuple[Field, ...] = ()
    groups: tuple[Form, ...] = ()
    lists: tuple[Entries, ...] = ()
    others: tuple[Other, ...] = ()
    problems: tuple[Problem, ...] = ()
    above: tuple[tuple[str, Path], ...] = ()
    facts: tuple[str, ...] = ()
    line: int = 0
    main: bool = True

    @property
    def open(self) -> bool:
        """Whether a group is shown unfolded: it is short, or something in it is to be mended."""
        short = len(self.fields) <= _SHORT and not (self.groups or self.lists or self.others)
        wrong = (self.problems, *(one.problems for one in self.fields), *(one.problems for one in self.lists))
        return short or any(wrong) or any(one.problems for one in self.others)


@dataclass(frozen=True, slots=True)
class NewEpisode:
    """One more episode: its file, its number, and what is asked for it (each field has the ``name`` of its input)."""

    file: str
    number: int
    asks: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class Branch:
    """A place in the outline of a course: its title in the teacher's words, and the problems in it and below.

    ``path`` is None where the file cannot be shown as a form: then it is only text.
    """

    title: str
    file: str
    path: Path | None
    problems: int = 0
    branches: tuple[Branch, ...] = ()
