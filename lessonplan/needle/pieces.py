"""How a printed pattern falls into pieces: lines that are worked one after another on one needle."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import dropwhile

from lessonplan.needle.flat import is_flat, parsed
from lessonplan.printed.leaflet import sizes
from lessonplan.printed.leaflet.contents import UNKNOWN, Entry, Printed
from lessonplan.printed.leaflet.layout import LABEL
from lessonplan.printed.leaflet.wordings import FROM_FIRST, MADE_UP, PUT_TOGETHER
from lessonplan.printed.piece import begins_piece
from lessonplan.printed.tree import PickUp, Rows
from lessonplan.printed.words.numbers import only_for

NOTHING = "?"
"""Stands in for a line that cannot be told: after it nobody knows the stitches."""


@dataclass(frozen=True, slots=True)
class Group:
    """Lines worked one after another on one needle: entries, each with the texts it stands for."""

    entries: tuple[tuple[int, tuple[str, ...]], ...]
    flat: bool
    times: int


def begins_anew(printed: Printed, index: int) -> bool:
    """Whether a line begins a piece of its own, as a cast-on does."""
    return begins_piece(parsed(printed, printed.entries[index].read.text))


def _puts_together(printed: Printed, index: int, since: int) -> bool:
    """Whether a part begins with pieces from other needles: a yoke over body and sleeves, or an edge round squares.

    `since` is the section worked before it.
    """
    entry = printed.entries[index]
    made = any(one.times > 1 for one in printed.sections[: entry.section])
    sewn = any(MADE_UP.match(one.name) for one in printed.sections[since + 1 : entry.section + 1])
    return made and entry.kind == "line" and (sewn or PUT_TOGETHER.search(entry.spread.text) is not None)


def _made_twice(printed: Printed, entries: Sequence[int]) -> bool:
    """Whether the piece of some entries is made more than once: `SLEEVES (make 2)`."""
    return any(printed.sections[printed.entries[index].section].times > 1 for index in entries)


def _picks_up(printed: Printed, index: int) -> bool:
    """Whether a line picks stitches up along an edge before anything else, as a neckband does behind two sleeves."""
    line = parsed(printed, printed.entries[index].read.text)
    part = line.parts[0] if line is not None and line.parts else None
    return isinstance(part, Rows) and isinstance(part.steps[0], PickUp)


def groups_of(printed: Printed, flat: bool) -> list[Group]:
    """Sections that begin with a cast-on stand alone; others go on from the stitches of the one before."""
    found: list[list[int]] = []
    section = -1
    for index, entry in enumerate(printed.entries):
        if entry.kind not in ("line", "as"):
            continue
        known = entry.kind == "as" and (entry.like != UNKNOWN or texts_of(printed, index) != (NOTHING,))
        new = entry.section != section and (
            known
            or begins_anew(printed, index)
            or _puts_together(printed, index, section)
            or (bool(found) and _made_twice(printed, found[-1]) and _picks_up(printed, index))
        )
        if new or not found:
            found.append([])
        found[-1].append(index)
        section = entry.section
    ends = [0, *(indexes[-1] for indexes in found)]
    return [_group(printed, indexes, flat, end) for indexes, end in zip(found, ends, strict=False)]


def _group(printed: Printed, indexes: Sequence[int], flat: bool, last: int) -> Group:
    """Lines of one piece; `last` is the last entry before it that is worked, after which its headings stand."""
    entries = tuple(
        (index, (*(_ALL_ROUND if comes_round(printed, index) else ()), *texts_of(printed, index))) for index in indexes
    )
    texts = [text for _, each in entries for text in each]
    first = printed.entries[last].section + (last > 0)
    times = max([each.times for each in printed.sections[first : printed.entries[indexes[0]].section + 1]], default=1)
    again = any(printed.sections[printed.entries[index].section].again for index in indexes)
    return Group(entries, flat or is_flat(printed, texts), max(times, 2) if again else times)


_AT_LAST = re.compile(r"[.(:=–-]\s*(\d[^a-z.=]*?)\s*(?:sts|stitches)\b\W*$")
"""The count at the end of a line."""
_ALL_ROUND = ("Continue in the round.",)
"""Worked before the first line of a part in which all stitches are on again; it works no round."""
_TUBE = re.compile(r"\W*(?:leg|foot|cuff|ankle|instep)\b", re.IGNORECASE)
"""Parts of a sock that go round, whatever was worked before them."""
_FRO = re.compile(r"\bback and forth\b|\bbackwards and forwards\b", re.IGNORECASE)


def comes_round(printed: Printed, index: int) -> bool:
    """Whether a leg or foot begins behind a heel worked back and forth: all stitches are on again, said or not."""
    section = printed.entries[index].section
    before = next((one.section for one in printed.entries[index - 1 :: -1] if one.kind in ("line", "as")), section)
    if index == 0 or before == section or not _TUBE.match(printed.sections[section].name):
        return False
    return "heel" in printed.sections[before].name.lower() and any(
        _FRO.search(each.spread.text) for each in printed.entries if each.section == before
    )


def texts_of(printed: Printed, index: int, depth: int = 0) -> tuple[str, ...]:
    """The lines that an entry stands for: its own, or all of the section that it says to work again."""
    entry = printed.entries[index]
    if entry.kind == "line":
        broken = any(sizes.odd_lists(entry.spread.text, for_sizes(printed, entry)))
        return (NOTHING if broken else entry.read.text,)
    if entry.like == UNKNOWN or depth > 3:
        told = _AT_LAST.search(entry.spread.text)  # `Work as given for Back until armholes measure 5 cm. 37 (41) sts.`
        return (f"Return {told[1]} held sts to the needle" if told else NOTHING,)
    alike = _piece(printed, entry.like, entry.section)
    if FROM_FIRST.search(entry.spread.text):
        alike = [*dropwhile(lambda number: not LABEL.match(printed.entries[number].spread.text), alike)]
    return tuple(text for number in alike for text in texts_of(printed, number, depth + 1))


def _piece(printed: Printed, section: int, after: int) -> list[int]:
    """The entries of a piece: a section, those under it, and those that go on from its stitches; none from `after`."""
    level = printed.sections[section].level
    found: list[int] = []
    for number, entry in enumerate(printed.entries):
        if entry.section < section or section < after <= entry.section:
            continue
        inside = printed.sections[entry.section]
        if entry.section > section and (inside.level <= level < 9 or inside.kind != "worked" or entry.kind == "as"):
            break
        next_section = entry.kind == "line" and found and entry.section != printed.entries[found[-1]].section
        if next_section and begins_anew(printed, number):
            break
        if entry.kind in ("line", "as"):
            found.append(number)
    return found


def for_sizes(printed: Printed, entry: Entry) -> int:
    """For how many sizes an entry is, so that its lists may have so many numbers."""
    every = len(printed.sizes)
    only = only_for(entry.read.text)
    full = any(given == every for _, given, _ in sizes.listed(entry.spread.text))
    return len(only) if len(only) > 1 and not full else every
