"""What a written pattern's instructions become: stages and their works, and words for both."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from lessonplan.beginning.written.materials import Sorted
from lessonplan.course.words import capital

PerSize = tuple[float, ...]
BRACES = re.compile(r"\{\{|\}\}|\{%|\{#")
"""What a text of a course cannot hold, since facts are named with it."""
_RESERVED = frozenset(
    re.findall(r"\w+", "nothing finished done all yarn gauge course size before after round row to or and not")
)
HEAD = re.compile(r"^[A-Z][A-Za-z ]{2,20}:\s+")
"""What stands before the colon of a line: "FINISHING: Sew ..." """
HANDS = re.compile(
    r"^\W*(?:sew|seam|attach|stuff|embroider|make (?:an?|the|two|three|four|\d)|fold|press|join|cut|break|tie|trim|"
    r"graft|close|insert|turn|glue|steam|wash|pin|wrap|wind|fasten|thread|soak|dry|add|secure)\b",
    re.IGNORECASE,
)
_ONLY_CUT = re.compile(
    r"\W*(?:then\s+)?(?:cut|break|snip)(?:\s+off)?\s+(?:(?:the|all|both|your|yarns?|threads?|colou?rs?|and|contrast|main)"
    r"\b\s*|[A-Z]{1,2}\d?\b\s*)+(?:,?\s*leaving\b[^.;]*\b(?:tail|end)s?\b[^.;]*)?\W*"
)
"""A yarn that is cut, and nothing done with it: it takes no minutes of its own."""

_WHERE = r"(?:along|from|in|at|across|under|of|over|around|round|down|up|on)"
PICK_UP = re.compile(
    r"(?i)pick(?:ing)?\s+up\s+(?:and\s+k(?:nit)?\s+)?(\d+(?:\s*\([\d,\s]+\))?)\s*(?:sts?|stitches)?(?:\s+evenly)?"
    rf"(?:\s+{_WHERE}\s+((?:(?!\s+(?:and|then|with)\b)[^.,;])+))?",
)
AT_A_RATE = re.compile(
    r"(?i)pick(?:ing)?\s+up\s+(?:and\s+k(?:nit)?\s+)?(?P<rate>\d+\s+(?:sts?|stitches)\s+(?:for|in|from|over|of)\s+"
    rf"every\s+\d+\s+(?:rows?|sts?|stitches))(?:\s+{_WHERE}\s+(?P<where>[^.,;:()–—]+))?"
    r"\s*[:;,(=–—-]+\s*(?:about\s+)?(?P<count>\d+(?:\s*\([\d,\s]+\))?)\s*(?:sts?|stitches)\W*$",
)  # so many for so many rows, and how many these are: `3 sts for every 4 rows: 56 (62) sts`
_BOUND_OFF = re.compile(
    r"^\W*(?:bo|(?:bind|cast)\s+off)\s+(?:all\s+)?(?:the\s+)?(?:rem\w*\s+)?(?:sts?|stitches)?\W*", re.IGNORECASE
)  # what the work of binding off says itself
_HOW_BOUND = re.compile(
    r"(?i)(?:(?:(?:very )?(?:loosely|firmly)|knitwise|purlwise|in (?:rib|moss|purl|knit|(?:\w+ )?patt\w*))\b[ ,.]*)+",
)  # what only says how: `loosely in rib`
_PLAIN_BIND_OFF = frozenset(re.findall(r"\w+", "bind cast off bo all remaining rem the sts st stitches"))


OWN_LENGTH = "{{ length }}"
"""How a line names the length of its work."""


@dataclass(slots=True)
class Work:
    """One work of a stage: its keys as they are written, the entries it stands for, remarks that stand above it."""

    entries: list[int]
    keys: dict[str, str | list[str]]
    remarks: list[str] = field(default_factory=list)

    def add(self, key: str, text: str) -> None:
        """Put a text to ``before``, ``note`` or ``method``."""
        if BRACES.search(text):
            self.remarks.append(text)
            return
        old = self.keys.get(key)
        self.keys[key] = f"{old} {text}" if old else text


@dataclass(slots=True)
class Stage:
    """A stage: its key, title, what it comes after, and its works."""

    key: str
    title: str
    after: list[str]
    works: list[Work]
    remarks: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Held:
    """Stitches put on hold: their name, the stage that does so, and how many in each size (empty: not said)."""

    name: str
    stage: str
    counts: tuple[int, ...]


@dataclass(slots=True)
class Found:
    """The stages, how often the whole is made, and what each printed entry was taken for."""

    stages: list[Stage] = field(default_factory=list)
    taken: dict[int, Sorted] = field(default_factory=dict)
    make: int = 1


def slug(title: str, known: Sequence[str]) -> str:
    """Make the key of a stage from its title, different from those that are known."""
    plain = re.sub(r"[^a-z0-9]+", "_", title.lower().replace("’", "").replace("'", "")).strip("_")[:30].strip("_")
    key = plain if re.match(r"[a-z]", plain) else f"part_{plain}".strip("_")
    key = f"{key}_part" if key in _RESERVED else key
    number, free = 2, key
    while free in known:
        free, number = f"{key}_{number}", number + 1
    return free


def how_bound(text: str) -> tuple[str, str]:
    """Give the key for what a line says of binding off beside doing so, and what it says; nothing where it is plain."""
    rest = _BOUND_OFF.sub("", text) or text
    if words(text) <= _PLAIN_BIND_OFF:
        return "", ""
    return ("method", rest.strip(" .").lower()) if _HOW_BOUND.fullmatch(rest) else ("note", capital(rest))


def hand_key(text: str) -> str:
    """The work that a sentence of handwork is: weaving in, blocking, or minutes; "" for what is only said."""
    if re.search(r"\bweave\b.*\bends?\b|\b(?:darn|sew|work|thread)\s+in\b.*\bends?\b", text, re.IGNORECASE):
        return "weave_ends"
    if re.search(r"\bblock(?:ed|ing)?\b|\b(?:wash|soak|steam)\b.*\bdry\b", text, re.IGNORECASE):
        return "block"
    if _ONLY_CUT.fullmatch(text[:1].lower() + text[1:]):
        return ""
    return "minutes" if HANDS.match(HEAD.sub("", text)) else ""


def words(text: str) -> set[str]:
    """Give the words of a text, in small letters."""
    return set(re.findall(r"\w+", text.lower()))
