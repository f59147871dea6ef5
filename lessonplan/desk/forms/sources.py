"""The files of a course as they stand, for forms: what was typed at each place, its line, and the problems there."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import yaml

from lessonplan.course.byplace import EditError, Path
from lessonplan.course.byplace.entries import below, entries_of, plain, root_of
from lessonplan.course.problems import Problem

_MISSING = re.compile(r"“(\w+)” is missing here\.")


@dataclass(frozen=True)
class Source:
    """One file: its text, and what is read from it as plain texts, lists and groups (None for an empty file)."""

    text: str
    root: yaml.Node | None

    @cached_property
    def data(self) -> Any:
        """What stands in the file: texts as they were typed, lists, groups of keys; nothing for an empty file."""
        return plain(self.root) if self.root is not None else {}

    def node(self, path: Path) -> yaml.Node | None:
        """Give the node at a place; None where there is none."""
        node = self.root
        for step in path:
            node = below(node, step)
        return node

    def line(self, path: Path) -> int:
        """Give the line, from 1, in which a key or item begins; 0 where there is none."""
        holder = self.node(path[:-1]) if path else None
        if isinstance(holder, yaml.MappingNode):
            return next((key.start_mark.line + 1 for key, _ in holder.value if key.value == path[-1]), 0)
        node = self.node(path)
        return int(node.start_mark.line) + 1 if node is not None else 0

    def lines(self, path: Path) -> str:
        """Give the lines of the file in which a key or item stands, as they are."""
        holder = self.node(path[:-1])
        if holder is None:
            return ""
        names = [key.value for key, _ in holder.value] if isinstance(holder, yaml.MappingNode) else []
        at = names.index(path[-1]) if names else int(path[-1])
        try:
            one = entries_of(self.text, holder)[at]
        except EditError:
            return ""
        return self.text[one.start : one.end].rstrip()

    def place_of(self, problem: Problem) -> Path:
        """Find the place at which a problem is told of, by its line and column: the innermost one."""
        path: Path = ()
        node, at = self.root, (problem.where.line - 1, problem.where.column - 1)
        while isinstance(node, (yaml.MappingNode, yaml.SequenceNode)) and problem.where.line:
            found: tuple[str | int, yaml.Node] | None = None
            for number, one in enumerate(node.value):
                key, value = one if isinstance(one, tuple) else (one, one)
                if (key.start_mark.line, key.start_mark.column) > at:
                    break
                found = (key.value if isinstance(one, tuple) else number, value)
            if found is None:
                break
            path, node = (*path, found[0]), found[1]
            if (node.start_mark.line, node.start_mark.column) > at:
                break
        missing = _MISSING.match(problem.message) if problem.code == "missing-key" else None
        return (*path[:-1], missing[1]) if missing else path


@lru_cache(maxsize=32)  # one of 200 shots takes 3 MB
def source_of(text: str) -> Source | None:
    """Read a text; None for one that cannot be read, or holds no keys: then it is only shown as text."""
    try:
        root = root_of(text)
    except (EditError, RecursionError):
        return None
    return Source(text, root) if root is None or (isinstance(root, yaml.MappingNode) and not _shared(root)) else None


def _shared(root: yaml.Node) -> bool:
    """Whether a node stands in two places, by an alias: such a file might be endless when taken apart."""
    seen, left = set[int](), [root]
    while left:
        node = left.pop()
        if id(node) in seen:
            return True
        seen.add(id(node))
        if isinstance(node, yaml.MappingNode):
            left += [one for pair in node.value for one in pair]
        elif isinstance(node, yaml.SequenceNode):
            left += node.value
    return False


@dataclass(frozen=True)
class Told:
    """The problems of one file by the places at which they are told of."""

    places: tuple[tuple[Path, Problem], ...] = ()

    def at(self, path: Path) -> tuple[Problem, ...]:
        """Give the problems at a place and below it."""
        return tuple(problem for place, problem in self.places if place[: len(path)] == path)

    def only_at(self, path: Path) -> tuple[Problem, ...]:
        """Give the problems at a place itself."""
        return tuple(problem for place, problem in self.places if place == path)


def told_in(source: Source | None, file: str, problems: Sequence[Problem]) -> Told:
    """Find the place of each problem of a file; without a readable file all are told of at its beginning."""
    mine = [one for one in problems if one.where.file == file]
    return Told(tuple((source.place_of(one) if source else (), one) for one in mine))


@dataclass(frozen=True)
class Folder:
    """The files of a course by their names, each with its text."""

    files: Mapping[str, str]

    def source(self, file: str) -> Source | None:
        """Give a file that can be read; one that is not there is empty."""
        return source_of(self.files.get(file, ""))

    def data(self, file: str) -> dict[str, Any]:
        """Give what stands in a file; nothing where it cannot be read."""
        source = self.source(file)
        return source.data if source and isinstance(source.data, dict) else {}

    @property
    def episodes(self) -> tuple[str, ...]:
        """Name the files of episodes, in order."""
        return tuple(sorted(name for name in self.files if re.fullmatch(r"episodes/[^./][^/]*\.ya?ml", name)))
