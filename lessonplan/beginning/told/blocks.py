"""The headings and paragraphs of a written script."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

EPISODE = re.compile(
    r"^(?:episode|part|lesson|video)\s+(?:\d+|one|two|three|four|five|six)\b\W*(?P<title>.*)$", re.IGNORECASE
)
SEGMENT = re.compile(r"^(?:(?:segment|scene|section)\s+\d+\b[\W_]*|\d+\.\d+\.?\s+)(?P<title>\S.*)$", re.IGNORECASE)
"""A heading that is numbered as one: "1.2 The ring"."""
LABEL = re.compile(r"^(?P<label>[A-Z][\w.'’-]*(?:(?: [\w.'’-]+){1,2}(?=\s*:\s+[^\sa-z]))?)\s*:\s+(?=\S)")
"""Who speaks, or what is seen; words before a colon after which the sentence goes on are none."""
_OWN_LINE = re.compile(
    r"(?:video|visuals?|picture|shot|action|camera|view|hands|audio|says?|voice ?over|host)\s*:|[“\"]", re.IGNORECASE
)
"""A line that never goes on with the one above it."""
BRACKET = re.compile(r"\[([^\[\]]*)\]")
WORD = re.compile(r"[^\W_]")


@dataclass(slots=True)
class Block:
    """A paragraph or heading: its first line, its text; ``level`` of a heading, 0: none; ``direction``: of a table."""

    line: int
    text: str
    level: int = 0
    direction: str = ""


def read_blocks(text: str) -> Iterator[Block]:
    """The headings and paragraphs of a text."""
    lines = text.replace("\t", " ").split("\n")
    held: list[str] = []
    first = 0
    for number, raw in enumerate([*lines, ""], 1):
        line = raw.strip()
        under = lines[number].strip() if number < len(lines) else ""
        row = re.fullmatch(r"\|\s*([^|]*?)\s*\|\s*([^|]*?)\s*\|", line)
        numbered = re.match(r"\d+[.)]\s", line)
        level = _level(line, under, alone=not (held and not numbered) and (not under or _heads(line, under)))
        own = row or numbered or re.match(r"[-*+•]\s|\[", line) or _OWN_LINE.match(line) or _rule(line)
        if (not line or level or own) and held:
            yield Block(first, " ".join(held))
            held = []
        if level:
            yield Block(number, re.sub(r"^#+\s*|\s#+$|^\*\*|\*\*:?$|:$", "", line).strip(), level)
        elif row and not re.fullmatch(r"[\s|:-]*", line):
            yield Block(number, row[2], direction=row[1])
        elif line and not row and not _rule(line):
            first = first if held else number
            held.append(re.sub(r"^[-*+•>]\s+", "", line))
            if re.fullmatch(r"\[[^\[\]]*\]", line) and len(held) == 1:
                yield Block(first, held.pop())


def _heads(line: str, under: str) -> bool:
    """Whether a first line is the heading of the paragraph below it: a few words, and a far longer line that begins.

    Above a line that names who speaks, the length of neither counts; above a direction, not that of the direction.
    """
    if (label := LABEL.match(under)) and label.end() < len(under):
        return True
    longer = re.match(r"[A-Z\[(“\"]", under) is not None and len(under) > 2 * len(line)
    return len(line.split()) < 5 and (longer or re.fullmatch(BRACKET, under) is not None)


def _rule(line: str) -> bool:
    return re.fullmatch(r"(?:[-_=~*]\s*){3,}", line) is not None


def _level(line: str, under: str, *, alone: bool) -> int:
    """The level of a heading, 0 for other lines: by marks, or a short line that stands alone and ends no sentence."""
    if mark := re.match(r"(#{1,6})\s+\S", line):
        return len(mark[1])
    if line and re.fullmatch(r"=+|-{3,}", under) and len(under) > 2 and len(line) < 80:
        return 1 if under[0] == "=" else 2
    if re.fullmatch(r"\*\*[^*]{1,60}\*\*:?", line):
        return 3
    numbered = EPISODE.match(line) or SEGMENT.match(line)
    if numbered and len(line) < 90 and line[-1] not in ".,;…":
        return 3
    labelled = (label := LABEL.match(line)) and label.end() < len(line)
    if labelled or BRACKET.search(line) or not WORD.search(line):
        return 0
    short = (
        line and len(line.split()) < 8 and len(line) < 60 and line[-1] not in ".!?,;…”\"'" and line[0] not in "[(|-*+•>"
    )
    return 3 if short and (alone or (line.isupper() and len(line) > 3)) else 0


LONGEST = 7
"""Words of a title made of what is said."""
_ENDS = re.compile(r"[.!?](?=\s|$)")
_PAUSES = re.compile(r"[,;:](?=\s|$)|\s[–—-](?=\s|$)")
_HANGING = """
a an the this that these those my your our his her its their i we you he she it they is are was were has have as if than
and or but so to of in on at by for from with into under behind beside between across
"""
_HANGS = frozenset(_HANGING.split())
"""Words with which no phrase ends (a list of our own)."""


def short_title(text: str) -> str:
    """Make a title of the beginning of a text: its first sentence, else up to a pause, else some words and “…”."""
    words = text.split()
    head = " ".join(words[:LONGEST])
    found = next((one for one in _ENDS.finditer(head) if " " in head[: one.start()]), None)
    found = found or next((one for one in _PAUSES.finditer(head) if head[: one.start()].count(" ") > 1), None)
    if found or len(words) <= LONGEST:
        return head[: found.start() if found else len(head)].strip(" ,;:.")
    kept = words[:LONGEST]
    while len(kept) > 1 and kept[-1].strip(",;:").casefold() in _HANGS:
        kept.pop()
    return f"{' '.join(kept).strip(' ,;:.')} …"
