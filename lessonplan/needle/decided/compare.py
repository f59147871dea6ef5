"""The counts printed after a line compared with what was worked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import pairwise
from types import MappingProxyType

from lessonplan.needle.ready.openings import counts_gaps, over_gaps
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.printed.heading import value
from lessonplan.printed.tree import Line, Mark, Repeat, Rows, Times


def check_printed(
    line: Line, before: Needle, after: Needle, size: int, worked: Mapping[str, int] = MappingProxyType({})
) -> None:
    """Compare the counts printed after a line with those worked; raises `WorkError` where they disagree."""
    column = line.printed_column or 1
    if line.printed:
        printed = value(line.printed, size)
        if (
            printed not in _counts_as(line, after)
            and not _by_kind(line, printed, after, size, worked)
            and as_counted(line, after, size, worked) is None
            and printed != with_gaps(line, after, size)
            and (after.stitches or not (_closing(printed, worked) or _put_aside(printed, before, after)))
        ):
            each = " on each needle" if line.per else ""
            sentence = f"prints {printed} stitches{each} after this line, but there are {after.stitches}"
            raise WorkError(sentence, column, "disagrees", after)
    if line.part == "markers" and after.markers:
        printed, there = value(line.inside, size), _sections(after)
        if printed not in there:
            sentence = (
                f"prints {printed} stitches between markers after this line, but there are {', '.join(map(str, there))}"
            )
            raise WorkError(sentence, column, "disagrees", after)
    if line.change:
        printed, real = value(line.change, size), after.stitches - before.stitches
        if printed != real and printed != after.stitches - before.told:
            what = "decreases" if printed < 0 else "increases"
            sentence = f"prints {abs(printed)} {what}, but the count changes by {real:+d}"
            raise WorkError(sentence, column, "disagrees", after)


def _sections(needle: Needle) -> list[int]:
    """The stitches from marker to marker, with those before the first and behind the last."""
    places = [0, *(place for place, _ in needle.markers), needle.stitches]
    return [second - first for first, second in pairwise(places)]


def _closing(printed: int, worked: Mapping[str, int]) -> bool:
    """Whether the stitches were counted before they were drawn up (two and two together) or bound off."""
    return worked.get("draw through") == printed // 2 or worked.get("BO") == printed


def _put_aside(printed: int, before: Needle, after: Needle) -> bool:
    """Whether all stitches were put aside, and those are counted: `Leave remaining sts on a spare needle. 29 sts.`"""
    return after.held != before.held and after.held[-1:] != () and after.held[-1][1] == printed


def as_counted(line: Line, after: Needle, size: int, worked: Mapping[str, int]) -> int | None:
    """The count printed after a line of crochet that is of more or less than its stitches, as it says; else None.

    It says that chains are counted too, or counts one kind of stitch and none of the slip stitches between.
    """
    if not line.printed or not line.tally or line.per:
        return None
    printed, slipped = value(line.printed, size), worked.get("sl st", 0)
    kinds = [name for name, _ in line.tally]
    spaced = "chains" in kinds or {"space", "st"} <= {*kinds}  # `52 sc and two 10-ch loops, 72 sts`
    if spaced and printed - after.stitches in _chains_of(after):
        return printed
    named = all(name in worked or name in ("group", "space") for name in kinds)
    return printed if slipped > 1 and named and printed == after.stitches - slipped else None


_TOGETHER = re.compile(r"\+ ?\d+ ?ch\b(?! ?-)")
"""A sum of stitches and chains behind a row: `26 hdc + 6 ch`."""


def with_gaps(line: Line, after: Needle, size: int) -> int | None:
    """The stitches with the chains over openings, where print counts them among these, or nothing at all."""
    if not line.crochet or not (chains := over_gaps(line, size)):
        return None
    together = _TOGETHER.search(line.text.lower(), max(0, line.printed_column - 1)) is not None
    told = counts_gaps(line) or value(line.printed, size) == after.stitches + chains
    return after.stitches + chains if told or together else None


def _chains_of(after: Needle) -> set[int]:
    """The numbers of chains, or of spaces, that may be counted: of all, or of those of one length only."""
    lengths = set(after.spaces)
    some = {n * after.spaces.count(length) for length in lengths for n in (1, length)}
    return {sum(after.spaces), len(after.spaces), *some} - {0}


def with_chains(line: Line, after: Needle, size: int) -> str:
    """What to say of a count of crochet that has the chains between the stitches in it, as moss stitch does; or ""."""
    chains = sum(after.spaces)
    noun = re.search(r"[a-z]+", line.text[max(0, line.printed_column - 1) :].lower())
    kinds = noun is not None and not noun[0].startswith("st")  # `20 sc` has no chains in it
    few = chains < 3 or chains * 3 < after.stitches  # so few could be a slip of the count
    if not line.crochet or few or kinds or line.per or not line.printed:
        return ""
    if value(line.printed, size) != after.stitches + chains:
        return ""
    return f"the count printed after this line is {after.stitches} stitches and the {chains} chains between them"


def _by_kind(line: Line, printed: int, after: Needle, size: int, worked: Mapping[str, int]) -> bool:
    """Whether a count of crochet names some of the kinds of stitches in a row (`worked`) and leaves out others."""
    kinds = {name for name in worked if name not in ("ch", "sl st", "sk")}
    if not line.tally or printed > after.stitches or len(kinds) < 2:
        return False
    chained = 1 if "ch" in worked else 0
    named = [(name, value(n, size)) for name, n in line.tally if name not in ("space", "group")]
    return all(name in kinds and 0 <= n - worked[name] <= chained for name, n in named)


def _counts_as(line: Line, after: Needle) -> set[int]:
    """The counts that may be printed for a needle: its stitches, or those of one of its parts."""
    if not line.per:
        return {after.stitches}
    parts = range(2, 6) if not after.markers else (len(after.markers) + 1,)
    return {after.stitches // n for n in parts if after.stitches % n == 0}


def times_at_markers(line: Line, needle: Needle, size: int) -> str:
    """How `*K to marker, ..., sm; rep from * 3 times` is meant with four markers on the needle: once at each."""
    stars = [
        step
        for part in line.parts
        if isinstance(part, Rows)
        for step in part.steps
        if isinstance(step, Repeat) and step.kind == "star" and any(isinstance(each, Mark) for each in step.body)
    ]
    if len(stars) != 1 or not isinstance(stars[0].quantity, Times):
        return ""
    return {0: "total", 1: "more"}.get(len(needle.markers) - value(stars[0].quantity.count, size), "")
