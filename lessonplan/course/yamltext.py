"""YAML read the way a teacher means it: every value is text with a place, and nothing is shared, doubled or guessed.

Plain words stay words: ``12:30``, ``no``, ``014`` and ``1e3`` come back as the letters that were typed, and the model
decides what they mean. Duplicate keys and aliases are refused, each in one sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from lessonplan.course.files import UnfitError, decode, place_after
from lessonplan.course.problems import Problem, Where, error, first_of, warning
from lessonplan.course.words import count_of

MAX_BYTES = 2_000_000
MAX_DEPTH = 40
MAX_ENTRIES = 5_000
"""So many entries may one list or group have."""
MAX_VALUES = 60_000
"""So many lines, commas and brackets may a file have: each may begin a value, which costs time and half a kilobyte."""
_EMPTY = {"", "~", "null", "Null", "NULL"}
_BEFORE = r"\s*(?:-\s+)*(?:\w[^:#]*:\s+)?"
_SIGNED = re.compile(_BEFORE + r"(?P<sign>[!&*@`%]|[|>](?![+-]?\d?[+-]?\s*(?:#|$)))")
"""A line whose text begins with a sign of the file format."""
_CLOSED = re.compile(_BEFORE + r"(?P<sign>\"(?:[^\"\\]|\\.)*\"|'[^']*'|\[[^\]]*\]|\{[^}]*\})\s*[^\s#,\]}]")
"""A line whose text begins with something in quotes or brackets, and goes on after it."""
_CLINGING = re.compile(r"[ \t]+#\w.*")
"""A remark whose # touches its first word, as in “Mittens #2”."""


_FORBIDDEN = "[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
_LINE_END = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
"""Where the reader begins a new line."""
_STUCK = re.compile(r"\s*(?:-\s+)*\w[\w ]*(?P<sign>:)(?=[^\s:/])(?!.*:\s)|\s*(?P<dash>-)(?=[A-Za-z_][\w ]*:(?:\s|$))")
"""A line with a colon after a key, or a hyphen before one, that no blank follows."""
_OTHER_FILES = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"{\\rtf", b"%PDF", b"<html", b"<!DOCTYPE")
"""How the files of word processors, archives and pages begin."""
_ENTRY = re.compile(r"( *)((?:- +)*)[\w …'\"-]+:(?: [^:]*)?")
"""A line with a key, perhaps first in an item of a list, and no second colon."""
_BEGUN = re.compile(r"( *)((?:- +)*)([\w …-]+:(?= |$))?")
"""How far in a line begins, its hyphens and its key, whatever comes after them."""


@dataclass
class Marks:
    """Where the values of one mapping stand: the mapping itself, its keys, its values, and their text lines."""

    here: Where = Where()
    keys: dict[str, Where] = field(default_factory=dict)
    values: dict[tuple[str | int, ...], Where] = field(default_factory=dict)


class MarkedMap(dict[str, Any]):
    """A mapping from a file, with the marks of everything directly in it."""

    marks: Marks

    def rename(self, old: str, new: str) -> None:
        """Give a key another name, at its place and with its marks, unless there is one of that name."""
        if old not in self or new in self:
            return
        entries = [(new if key == old else key, value) for key, value in self.items()]
        self.clear()
        self.update(entries)
        self.marks.keys[new] = self.marks.keys[old]
        self.marks.values |= {(new, *path[1:]): where for path, where in self.marks.values.items() if path[0] == old}


class YamlProblemError(Exception):
    """Raised inside the reader when a file cannot be understood at all; carries the one problem to report."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem


def read_yaml(data: bytes, file: str) -> tuple[MarkedMap | None, list[Problem]]:
    """Read one file of a course into marked mappings, lists and texts.

    Gives the mapping, or None with the problem that stopped it. Duplicate keys are reported and the first is kept.
    """
    try:
        text = _decode(data, file)
        node = _compose(text, file)
        walker = _Walker(file, text)
        value = walker.value(node, 0)
    except YamlProblemError as stop:
        return None, [stop.problem]
    if not isinstance(value, MarkedMap):
        wrong = error(Where(file, 1, 1), "not-a-mapping", "This file should be a list of “key: value” lines.")
        return None, [*walker.problems, wrong]
    return value, list(first_of(dict.fromkeys(walker.problems)))


def _decode(data: bytes, file: str) -> str:
    if len(data) > MAX_BYTES:
        size = f"{len(data) / 1e6:.1f} MB"
        raise YamlProblemError(
            error(Where(file, 0, 0), "too-big", f"This file has {size}; a course file may have 2 MB at most.")
        )
    if data.startswith(_OTHER_FILES):
        what = "This is no plain text, but the file of a word processor or another program."
        raise YamlProblemError(error(Where(file, 1, 1), "not-text", what, "Save it as plain text (UTF-8)."))
    try:
        text = decode(data, file)
    except UnfitError as bad:
        raise YamlProblemError(bad.problem) from None
    values = sum(map(text.count, "\n\r\x85\u2028\u2029,[{"))
    if values > MAX_VALUES:
        what = f"This file has {values:,} lines, commas and brackets; a course file may have {MAX_VALUES:,} at most."
        raise YamlProblemError(error(Where(file, 0, 0), "too-big", what))
    if not text.strip():
        raise YamlProblemError(error(Where(file, 0, 0), "empty-file", "This file is empty."))
    return text


def _compose(text: str, file: str) -> yaml.Node:
    loader_class = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    try:
        loader = loader_class(text)
        try:
            node: yaml.Node | None = loader.get_single_node()
        finally:
            loader.dispose()
    except yaml.MarkedYAMLError as bad:
        raise YamlProblemError(_explain(bad, text, file)) from None
    except yaml.reader.ReaderError:  # counts bytes here and signs there, so the sign is looked for
        found = re.search(_FORBIDDEN, text)
        line, column = place_after(text[: found.start()]) if found else (1, 1)
        sign = f" U+{ord(found[0]):04X}" if found else ""
        what = f"The character{sign} may not stand in a text file of this kind."
        raise YamlProblemError(error(Where(file, line, column), "character", what)) from None
    if node is None:
        raise YamlProblemError(error(Where(file, 0, 0), "empty-file", "This file holds nothing but remarks."))
    return node


def _lines(text: str) -> list[str]:
    """Part a text that is not empty into lines as the reader counts them."""
    lines = _LINE_END.split(text)
    return lines if lines[-1] or len(lines) == 1 else lines[:-1]


def _explain(bad: yaml.MarkedYAMLError, text: str, file: str) -> Problem:
    """Say what the YAML reader stumbled over in words for a teacher."""
    quoted = "quoted scalar" in (bad.context or "")
    mark = (bad.context_mark if quoted else None) or bad.problem_mark or bad.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    lines = _lines(text)
    if problem := _left_open(text, lines, file):
        return problem
    if line > len(lines):
        line, column = len(lines), len(lines[-1]) + 1  # a file that breaks off is told of at its last sign
    shown = lines[line - 1]
    indent = shown[: len(shown) - len(shown.lstrip())]
    reason = (bad.problem or "").lower()
    if "\t" in indent or "tab" in reason or "'\\t'" in reason:
        column = indent.find("\t") + 1 if "\t" in indent else column
        return error(
            Where(file, line, column), "tab", "A tab stands at the start of this line.", "Use spaces to indent."
        )
    if (
        odd := next((number for number, one in enumerate(lines, 1) if re.match(r"[ \t]*\u00a0", one)), 0)
    ) and odd <= line:
        what = "A no-break space stands at the start of this line, where it does not count as a blank."
        return error(Where(file, odd, lines[odd - 1].index("\u00a0") + 1), "indent", what, "Type plain blanks there.")
    if "expected ',' or ']'" in reason or "expected ',' or '}'" in reason:
        opened = bad.context_mark or bad.problem_mark
        line, column = (opened.line + 1, opened.column + 1) if opened else (line, column)
        sign = "]" if "']'" in reason else "}"
        sentence = f"A bracket is opened here and not closed by {sign}, or a comma is missing inside it."
        return error(Where(file, line, column), "yaml", sentence)
    if clue := _clue(lines, line, file, reason):
        return clue
    breaks_off = "block end" in reason or "did not find expected key" in reason or "expected '-' indicator" in reason
    if (breaks_off or "mapping values are not allowed" in reason) and (hint := _indents(lines, line)):
        what = f"This line stands {count_of(len(indent), 'blank')} in, which fits under no line above it."
        return error(Where(file, line, len(indent) + 1), "indent", what, hint)
    if "mapping values are not allowed" in reason:
        sentence = "A colon followed by a space stands inside this text, so it reads as a second key."
        return error(Where(file, line, column), "yaml", sentence, 'Put the text in quotes: "like: this".')
    if quoted and "end of stream" in reason:
        return error(Where(file, line, column), "yaml", "A quotation mark is opened and never closed.")
    if found := _SIGNED.match(shown) or _CLOSED.match(shown):
        return _needs_quotes(Where(file, line, found.start("sign") + 1), found["sign"][0])
    if breaks_off:
        sentence = "The indentation or the punctuation breaks off here: this line does not fit under the ones above it."
        return error(Where(file, line, column), "yaml", sentence)
    if "single document" in (bad.context or "") or "document" in reason:
        return error(Where(file, line, column), "yaml", "A second document (---) starts here; one file holds one.")
    return error(Where(file, line, column), "yaml", f"This cannot be read as YAML ({bad.problem}).")


def _left_open(text: str, lines: list[str], file: str) -> Problem | None:
    """The first quotation mark that is not closed: the reader goes on to the next one and stumbles there, or later."""
    try:
        for token in yaml.scan(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
            if isinstance(token, yaml.ScalarToken) and token.style in ("'", '"'):
                problem = _swallowed(lines, token.start_mark, token.end_mark.line, file)
                if problem:
                    return problem
    except yaml.MarkedYAMLError as bad:
        if bad.context_mark and bad.problem_mark and "quoted scalar" in (bad.context or ""):
            return _swallowed(lines, bad.context_mark, min(bad.problem_mark.line, len(lines) - 1), file)
    return None


def _swallowed(lines: list[str], mark: yaml.Mark, last: int, file: str) -> Problem | None:
    """Tell of a text in quotes that has the next entry in it: it stands no further in than the entry of the text."""
    if last <= mark.line:
        return None
    blanks, hyphens, key = (len(part or "") for part in _found(lines[mark.line]))
    # more lines of one text stand below its key or its hyphen, or, if it has a line of its own, right below its mark
    deepest = blanks + hyphens if key else blanks if hyphens else blanks - 1
    for line in lines[mark.line + 1 : last + 1]:
        indent, hyphen, name = _found(line)
        if (hyphen or name) and len(indent) <= deepest:
            what = "A quotation mark is opened here and not closed at the end of the text."
            hint = f"All as far as line {last + 1} is read as part of it." if last > mark.line + 1 else ""
            return error(Where(file, mark.line + 1, mark.column + 1), "quotes", what, hint)
    return None


def _found(line: str) -> tuple[str, str, str | None]:
    found = _BEGUN.match(line)
    assert found  # each of its parts may be empty
    return found[1], found[2], found[3]


def _clue(lines: list[str], line: int, file: str, reason: str) -> Problem | None:
    """The slip in this line or the nearest written one above it that the reader stumbles over only here."""
    if "escape" in reason or "hexdec" in reason:
        what = "A \\ inside double quotes begins a sign of its own."
        at = max(0, lines[line - 1].find("\\"))
        return error(Where(file, line, at + 1), "quotes", what, "Put the text in single quotes: '…\\…'.")
    above = [number for number in range(line - 1, 0, -1) if lines[number - 1].strip() and "#" not in lines[number - 1]]
    if "expected ':'" in reason and (bare := [n for n in above[:1] if ":" not in lines[n - 1]]):
        what = "A colon is missing in this line after the key."
        return error(Where(file, bare[0], 1), "yaml", what, "Write it as “key: value”.")
    for number in (line, *above[:1]):
        shown = lines[number - 1] if number <= len(lines) else ""
        if found := _STUCK.match(shown):
            sign = "colon" if found["sign"] else "hyphen"
            at = found.end("sign" if found["sign"] else "dash")
            return error(Where(file, number, at + 1), "yaml", f"A blank is missing after this {sign}.")
    return None


def _indents(lines: list[str], line: int) -> str:
    """Say how far in a key or list item could stand, if it stands otherwise; nothing for a line that is none."""
    if not _ENTRY.fullmatch(lines[line - 1]):
        return ""
    depth = len(lines[line - 1]) - len(lines[line - 1].lstrip())
    fits: list[int] = []
    for one in reversed(lines[: line - 1]):
        found = _ENTRY.fullmatch(one)
        if found and (not fits or found.end(1) < fits[-1]):
            fits += [at for at in dict.fromkeys((found.end(2), found.end(1))) if not fits or at < fits[-1]]
    return "" if depth in fits or not fits else f"The lines above it stand {_or(sorted(fits))} in."


def _or(numbers: list[int]) -> str:
    return " or ".join(", ".join(map(str, numbers)).rsplit(", ", 1))


def _needs_quotes(where: Where, sign: str) -> Problem:
    code = "alias" if sign in "&*" else "quotes"
    shown = "'\"…\" …'" if sign == '"' else f'"{sign}…"'
    if sign == "'":
        what = "A text that begins with ' ends at the next one, be it an apostrophe, and this one goes on after it."
        return error(where, code, what, 'Put all of it in double quotes: "…".')
    return error(
        where, code, f"A text that begins with {sign} must stand in quotes.", f"Put all of it in quotes: {shown}."
    )


class _Walker:
    """Turns composed nodes into marked values. PyYAML shares the node of an alias; anchors stop it, so none is."""

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.text = text
        self.lines = _lines(text)
        self.problems: list[Problem] = []

    def where(self, node: yaml.Node) -> Where:
        """Where a node begins in the file: line and column from 1, behind its quote."""
        line, column = node.start_mark.line, node.start_mark.column
        if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">"):
            return self._first_text_line(line)
        quote = isinstance(node, yaml.ScalarNode) and node.style in ("'", '"')
        return Where(self.file, line + 1, column + (2 if quote else 1))

    def _first_text_line(self, line: int) -> Where:
        """Where the text of a block scalar begins, below its | or > sign."""
        for number in range(line + 1, len(self.lines)):
            if self.lines[number].strip():
                text = self.lines[number]
                return Where(self.file, number + 1, len(text) - len(text.lstrip()) + 1)
        return Where(self.file, line + 1, 1)

    def value(self, node: yaml.Node, depth: int) -> Any:
        """The plain value of a node so deep in others; raises `YamlProblemError` for what no course file may hold."""
        if depth > MAX_DEPTH:
            raise YamlProblemError(error(self.where(node), "too-deep", "Lists and keys are nested too deeply here."))
        self.no_sign(node)
        if len(node.value) > MAX_ENTRIES and not isinstance(node, yaml.ScalarNode):
            what = f"This list has {len(node.value):,} entries; one may have {MAX_ENTRIES:,} at most."
            raise YamlProblemError(error(self.where(node), "too-many", what))
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, depth)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(child, depth + 1) for child in node.value]
        assert isinstance(node, yaml.ScalarNode)
        if node.style in ("'", '"') and (
            opened := _swallowed(self.lines, node.start_mark, node.end_mark.line, self.file)
        ):
            self.problems.append(opened)
        if not node.style and node.value:
            self.remark_is_one(node)
            self.list_is_one(node)
        if not node.style and node.value in _EMPTY:
            return None
        return node.value

    def no_sign(self, node: yaml.Node) -> None:
        """Report a tag or an anchor before a text; before anything else, which may be shared by now, stop there."""
        mark = node.start_mark
        sign = self.text[mark.index : mark.index + 1]
        if sign and sign in "!&" and mark.index < node.end_mark.index:
            problem = _needs_quotes(Where(self.file, mark.line + 1, mark.column + 1), sign)
            if not isinstance(node, yaml.ScalarNode):
                raise YamlProblemError(problem)
            self.problems.append(problem)

    def list_is_one(self, node: yaml.ScalarNode) -> None:
        """Warn of a list that is read as one text, since its first entry has no hyphen."""
        below = self.lines[node.start_mark.line + 1 : node.end_mark.line + 1]
        if node.start_mark.line < node.end_mark.line and any(line.lstrip().startswith("- ") for line in below):
            what = "This and the lines below it are read as one text."
            self.problems.append(warning(self.where(node), "list", what, "Begin every entry of a list with “- ”."))

    def remark_is_one(self, node: yaml.ScalarNode) -> None:
        """Warn of a remark right after a text that may be the rest of the text."""
        found = _CLINGING.match(self.text, node.end_mark.index)
        if found:
            sign = found[0].index("#")
            where = Where(self.file, node.end_mark.line + 1, node.end_mark.column + sign + 1)
            what = f"“{found[0][sign:].strip()}” is taken for a remark and not read."
            hint = "Put the whole text in quotes if it belongs to it, else a blank after the #."
            self.problems.append(warning(where, "remark", what, hint))

    def mapping(self, node: yaml.MappingNode, depth: int) -> MarkedMap:
        """A mapping with the places of its keys; a key that stands there twice is a problem."""
        result = MarkedMap()
        marks = Marks(here=self.where(node))
        result.marks = marks
        doubled = False
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode) or "\x00" in key_node.value:
                self.problems.append(error(self.where(key_node), "key", "A key must be a plain word."))
                continue
            self.no_sign(key_node)
            key = str(key_node.value)
            if key in marks.keys:
                if not doubled:  # one line forgotten makes many keys double
                    self.problems.append(self._doubled(node, key_node, marks.keys[key].line))
                doubled = True
                continue
            marks.keys[key] = self.where(key_node)
            result[key] = self.value(value_node, depth + 1)
            marks.values.update(self._places((key,), value_node))
        return result

    def _doubled(self, node: yaml.Node, key: yaml.ScalarNode, first: int) -> Problem:
        """Say that a key is there twice; in an entry of a list perhaps another entry begins there."""
        mark = node.start_mark
        listed = self.lines[mark.line][: mark.column].rstrip().endswith("-")
        hint = "If another entry of the list begins here, write “- ” before it." if listed else ""
        return error(self.where(key), "duplicate-key", f"“{key.value}” is given twice (first in line {first}).", hint)

    def _places(self, path: tuple[str | int, ...], node: yaml.Node) -> Iterator[tuple[tuple[str | int, ...], Where]]:
        """Yield the place of a value and, if it is a list or a mapping, of each item directly in it."""
        yield path, self.where(node)
        if isinstance(node, yaml.MappingNode) and len(path) == 1:
            for key_node, child in node.value:
                if isinstance(key_node, yaml.ScalarNode):
                    yield (*path, str(key_node.value)), self.where(child)
        if isinstance(node, yaml.SequenceNode) and len(path) < MAX_DEPTH:
            for number, child in enumerate(node.value):
                yield from self._places((*path, number), child)
