"""The text of WebVTT cues, read by the standard's rules (W3C WebVTT, “WebVTT cue text parsing rules”).

First the tokenizer, a state machine, here as one pattern for each kind of token; then the tree that the tokens build.
"""

from __future__ import annotations

import html
import html.entities
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from lessonplan.edit.captions.webvtt import timestamp

_BLANKS = re.compile(r"[ \t\n\f\r]+")
_REFERENCE = re.compile(
    r"&(?:#(?:[xX](?P<hex>[0-9a-fA-F]+)|(?P<decimal>[0-9]+));?|(?P<name>[A-Za-z][A-Za-z0-9]{0,40};?))"
)
_TAG = re.compile(
    r"<(?:(?P<end>/)(?P<ended>[^>]*)"
    r"|(?P<stamp>[0-9][^>]*)"
    r"|(?P<name>[^\t\n\f .>/0-9][^\t\n\f .>]*)?(?P<classes>(?:\.[^\t\n\f .>]*)*)(?P<note>[\t\n\f ][^>]*)?)(?:>|\Z)"
)
_NESTING = frozenset({"c", "i", "b", "u", "ruby", "rt", "v", "lang"})


@dataclass(slots=True)
class Node:
    """A tag with what stands in it: its name (empty for the whole), classes, and what was noted (voice, language).

    ``inside`` holds texts, times in milliseconds, and nodes.
    """

    name: str = ""
    classes: tuple[str, ...] = ()
    note: str = ""
    inside: list[str | int | Node] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Plain:
    """A cue's text without its tags, the voices in it, and times inside it: (place in the text, milliseconds)."""

    text: str
    voices: tuple[str, ...] = ()
    stamps: tuple[tuple[int, int], ...] = ()


def tree_of(text: str) -> Node:
    """Build the tree of a cue's text. End tags that do not fit, and unknown tags, change nothing."""
    root = Node()
    way = [root]
    for token in _tokens(text):
        if isinstance(token, str | int):
            way[-1].inside.append(token)
        elif isinstance(token, Node):
            if token.name in _NESTING and (token.name != "rt" or way[-1].name == "ruby"):
                way[-1].inside.append(token)
                way.append(token)
        elif len(way) > 1 and token[0] == way[-1].name:
            way.pop()
        elif token[0] == "ruby" and way[-1].name == "rt":
            del way[-2:]
    return root


def plain(text: str) -> Plain:
    """Give the plain text of a cue: without tags, and without the small text over others (ruby)."""
    said, voices, stamps = list[str](), list[str](), list[tuple[int, int]]()
    length = 0
    todo: list[str | int | Node] = [tree_of(text)]
    while todo:  # not by recursion: tags may be nested without end
        one = todo.pop()
        if isinstance(one, str):
            said.append(one)
            length += len(one)
        elif isinstance(one, int):
            stamps.append((length, one))
        elif one.name != "rt":
            voices += [one.note] if one.name == "v" and one.note else []
            todo += reversed(one.inside)
    return Plain("".join(said), tuple(dict.fromkeys(voices)), tuple(stamps))


def _tokens(text: str) -> Iterator[str | int | Node | tuple[str]]:
    """Yield texts, times inside the text, start tags, and end tags (a name in a tuple)."""
    at = 0
    while at < len(text):
        if text[at] != "<":
            end = text.find("<", at)
            end = len(text) if end < 0 else end
            yield unescaped(text[at:end])
            at = end
            continue
        found = _TAG.match(text, at)
        assert found is not None
        at = found.end()
        if found["end"]:
            yield (found["ended"],)
        elif found["stamp"]:
            time = timestamp(found["stamp"])
            if time is not None:
                yield time
        else:
            classes = tuple(name for name in found["classes"].split(".") if name)
            note = _BLANKS.sub(" ", unescaped(found["note"] or "")).strip(" ")
            yield Node(found["name"] or "", classes, note)


def unescaped(text: str) -> str:
    """Replace the character references of HTML (``&amp;``, ``&#39;``), as an HTML parser does in text."""
    return _REFERENCE.sub(_character, text) if "&" in text else text


def _character(found: re.Match[str]) -> str:
    if found["name"]:
        for length in range(len(found["name"]), 1, -1):  # the longest name counts; some need no semicolon
            if known := html.entities.html5.get(found["name"][:length]):
                return known + found["name"][length:]
        return found[0]
    digits = (found["hex"] or found["decimal"]).lstrip("0")
    code = int(digits or "0", 16 if found["hex"] else 10) if len(digits) < 9 else 0x110000
    if code == 0 or code > 0x10FFFF or 0xD800 <= code <= 0xDFFF:
        return "\ufffd"
    # From 0x80 to 0x9F the standard reads Windows-1252.
    return html.unescape(f"&#{code};") if 0x80 <= code <= 0x9F else chr(code)
