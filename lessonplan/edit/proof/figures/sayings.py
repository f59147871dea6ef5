"""Numbers in words of their own: “make two”, “a multiple of four”, “eleven groups of four”, a needle for a part."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

from lessonplan.edit.proof.changes.shaped import made, resting
from lessonplan.edit.proof.counts.prose import Answer, at, for_part, rounds_of_steps, taken_up
from lessonplan.edit.proof.expected.parts import needle_of
from lessonplan.edit.proof.figures.actions import by_markers
from lessonplan.edit.proof.figures.derived import tail
from lessonplan.edit.proof.figures.fitting import COUNTS, WHOLE
from lessonplan.edit.proof.figures.spans import from_to
from lessonplan.edit.proof.figures.verdicts import other_unit
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.quantities import near
from lessonplan.edit.speech.units import INCH, LENGTHS

_DIVIDES = re.compile(
    r"\b(?:multiple of|divisible by|divides? (?:by|into)|goes? (?:into|by)|go up in"
    r"|count (?:by|in)|in (?:little |small )?(?:piles|heaps|bunches|batches|bundles|clusters|stacks|lots|groups) of) #"
)


def multiple(said: Said) -> Answer | None:
    """Judge “a multiple of four”: the stitches of the segment, in every size, must be one."""
    if (answer := repeats_round(said)) is not None:
        return answer
    if not _DIVIDES.search(said.near(4, 0)):
        return None
    planned = (each for each in said.holds.pattern.get("stitches", ()) if each.cue in ("cast on", "start"))
    counts = [value for each in planned for value in each.values]
    if not counts or all(value % said.one.value == 0 for value in counts):
        return (None,)
    if " into #" in said.near(4, 0):
        return None  # “twelve goes into ninety six”
    return (Verdict("disagrees", f"{max(counts):g} stitches are no multiple of it"),)


def knitted_run(said: Said) -> Answer | None:
    """Judge “knit eighteen in the medium” of a line that has such a number by size."""
    one, size = said.one, said.one.size
    runs = [each for each in said.holds.pattern.get("knit", ()) if len(each.values) > 1]
    told = said.words[max(0, one.first - 1) : one.first] == ["knit"] or said.words[one.end : one.end + 1] == ["plain"]
    if size is None or not one.bare or not told or not runs:
        return None
    whole = (
        each for each in said.holds.pattern.get("stitches", ()) if each.cue in WHOLE or each.cue.startswith("round ")
    )
    if any(at(each, size) == one.value for each in (*runs, *whole)):
        return (None,)
    right = at(runs[0], size)
    return (Verdict("disagrees", f"knit {right:g} ({runs[0].what})"),) if 0.6 <= one.value / right <= 1.6 else None


_OF_PART = re.compile(
    r"# (?:stitches|inch|inches|cm|centimet\w+) of (?:the |plain |your |my |that )*(\w+)(?! (?:stitches|needle))"
)


def rounds_as_stitches(said: Said) -> Answer | None:
    """Judge “twenty two stitches of rib”, or inches, which are the rounds of that part."""
    found, size = _OF_PART.search(said.near(0, 4)), said.one.size if said.one.size is not None else said.holds.size
    key = said.holds.parts.stage(found[1]) if found and said.one.value > 4 else ""
    own = [each for each in said.holds.elsewhere if each.stage == key] if key else []
    long = [each for each in own if each.unit in ("rounds", "rows") and each.cue == "total"]
    counts = (each for each in own if each.unit == "stitches" and each.cue in WHOLE)
    if said.one.unit in LENGTHS:
        counts = (each for each in own if each.unit in LENGTHS and 0.5 <= said.one.value / at(each, size) <= 2)
        if any(counts):
            return None  # a length may be told of it
    elif any(said.one.value in one.values for one in counts):
        return None
    if not any(at(each, size) == said.one.value for each in long):
        return None
    return (Verdict("wrong unit", f"{said.one.value:g} {long[0].unit} ({long[0].what})", long[0].fact),)


_ADDS_UP = (["are"], ["is"], ["make"], ["makes"], ["gives"])
_MANY = {"twos": 2, "threes": 3, "fours": 4, "fives": 5, "sixes": 6}


_ROUND_ABOUT = re.compile(
    r"# ([\w']+s) (?:in a row|all the way (?:a?round)|in a round|a?round the (?:hand|head|mitten|hat))\b"
)


def repeats_round(said: Said) -> Answer | None:
    """Judge repeats that are called by their part: “eleven cobbles all the way round”."""
    found = _ROUND_ABOUT.match(said.near(0, 5)) if said.one.bare and said.one.value > 3 else None
    if not found or said.holds.parts.stage(found[1]) not in said.holds.parts.here:
        return None
    size = said.one.size if said.one.size is not None else said.holds.size
    counts = {at(each, size) for each in said.holds.pattern.get("repeats", ()) if each.cue == "total"}
    if len(counts) != 1:
        return None
    return (None if said.one.value in counts else Verdict("disagrees", f"{min(counts):g} repeats"),)


def groups(said: Said) -> Answer | None:
    """Judge “eleven groups of four”: stitches that there are."""
    if said.one.unit != "repeats":
        return None
    if any(each.unit == "us" for each in said.others) or "needles" in said.words[said.one.end : said.one.end + 3]:
        return (None,)  # “two sets of needles”
    of = next((each for each in said.others if each.first - said.one.end in (0, 1, 2)), None)
    many = _MANY.get(said.words[said.one.end - 1])  # “eleven fours”
    if many and of and of.value > 1 and of.first == said.one.end:
        comes_to = many * said.one.value
        return (None if of.value == comes_to else Verdict("disagrees", f"{comes_to:g} (what it comes to)"),)
    if many and said.words[said.one.end : said.one.end + 1] in _ADDS_UP:
        return (None,)
    if many:
        of = replace(said.one, unit="", number=replace(said.one.number, low=many, high=many))
    elif said.words[said.one.end : said.one.end + 1] != ["of"]:
        return None
    size = said.one.size if said.one.size is not None else said.holds.size
    lines = [each for unit in ("rounds", "rows") for each in said.holds.pattern.get(unit, ())]
    if of and any(at(each, size) == said.one.value * of.value for each in lines if each.cue == "total"):
        return (None,)  # “twelve rounds, so three repeats of the four”
    counts = [at(each, size) for each in said.holds.pattern.get("stitches", ()) if each.cue in WHOLE]
    if of is None or of.unit in ("knit", "purl"):
        return (None,) if re.search(r"\bneedles?\b", said.near(12, 9)) else None
    if of.unit not in ("", "stitches") or not counts or said.one.value * of.value in counts:
        return (None,)
    count = min(counts, key=lambda each: abs(each - said.one.value * of.value))
    return (Verdict("disagrees", f"{count:g} stitches"),)


_PER_NEEDLE = re.compile(
    r"# (?:stitches )?(?:per needle|on each|each)(?: needle)? (?:on|of|over|with) (?:the |my |your )?[\w']+ needles\b"
)


def per_needle(said: Said) -> Answer | None:
    """Judge “fourteen on each of three needles”: all stitches there are, shared out."""
    one, holds = said.one, said.holds
    needles = next(
        (each for each in said.others if each.unit == "needles" and one.end <= each.first <= one.end + 6), None
    )
    if needles is None or not _PER_NEEDLE.search(said.near(0, 8)):
        return None
    size = one.size if one.size is not None else holds.size
    planned = (each for each in holds.pattern.get("stitches", ()) if each.cue in WHOLE)
    shares = [at(each, size) / needles.value for each in planned if at(each, size)]
    if not shares or any(abs(share - one.value) < 1 for share in shares):
        return (None,)
    return (Verdict("disagrees", f"{shares[0]:g} stitches on each"),)


_FROM_HERE = re.compile(
    r"\b(?:from here|from now|(?:change|switch|swap|move|go|step)(?: up| over| back)? to|(?:get|take|bring) out"
    r"|pick up|grab|fetch)\b(?: (?!from\b)[\w']+){0,8} #"
)


_AWAY = re.compile(
    r"\b(?:put|lay|set|leave) (?:the|your|my|those) (?:needles )?#(?: (?:needles?|ones?|millimet\w+))* (?:away|down"
    r"|aside|back|at home|in (?:the|its|your) (?!left|right|hand|other))\b"
    r"|\b(?:put|lay|set) (?:away|down|aside|back) (?:the|your|my|those) #"
    r"|#(?: (?:needles?|ones?|millimet\w+|(?:that )?you|can|may))*"
    r" (?:(?:put|lay|goes|go) (?:away|back|aside)|stays? (?:at home|in))\b"
)
"""Said of needles that are not for what comes."""


def needle(said: Said) -> Answer | None:
    """Judge the needle that is told for a part, or for the swatch."""
    title, sizes = needle_of(said.near(9, 7), said.holds.parts) if said.one.unit == "mm" else ("", frozenset())
    parts = said.holds.parts
    if said.one.unit == "mm" and not sizes and len(parts.here) > 1 and _FROM_HERE.search(said.near(7, 0)):
        title, sizes = parts.every[parts.here[-1]].title, parts.every[parts.here[-1]].needles
    if said.one.unit == "mm" and not sizes and _AWAY.search(said.near(4, 6)):
        return (None,)
    if not sizes:
        return None
    right = " or ".join(f"{size:g} mm" for size in sorted(sizes))
    fits = any(near(said.one, "mm", size) for size in sizes)
    return (None if fits else Verdict("disagrees", f"{right} ({title})"),)


def needle_us(said: Said) -> Answer | None:
    """Judge the American size of a needle that is told for a part, or for the swatch."""
    title, sizes = needle_of(said.near(9, 7), said.holds.parts) if said.one.unit == "us" else ("", frozenset())
    right = _americans(said, sizes) if sizes else set()
    if not right or said.one.value in right:
        return (None,) if right else None
    return (Verdict("disagrees", " or ".join(f"US {each:g}" for each in sorted(right)) + f" ({title})"),)


def _americans(said: Said, sizes: Iterable[float]) -> set[float]:
    """Give the American sizes of needles in mm, as the course pairs them."""
    needles = [each for each in said.holds.elsewhere if each.cue == "needle"]
    return {
        american.at(0)
        for mm in needles
        for american in needles
        if mm.unit == "mm" and american.unit == "us" and (mm.what, mm.stage) == (american.what, american.stage)
        if any(abs(mm.at(0) - size) < 0.05 for size in sizes)
    }


def at_stitch(said: Said) -> Answer | None:
    """Judge the stitch after which something is put: “the marker goes after stitch twenty two”."""
    one, holds = said.one, said.holds
    if said.words[max(0, one.first - 1) : one.first] != ["stitch"] or not _PUT.search(said.near(9, 4)):
        return None
    runs = [at(each, holds.size) for each in holds.pattern.get("stitches", ()) if each.cue in ("run", "half")]
    close = [each for each in runs if 0.5 <= one.value / max(each, 1) <= 2]
    if not close or any(one.value - each in (0, 1) for each in runs):
        return (None,) if runs else None
    return (Verdict("disagrees", f"stitch {close[0]:g}"),)


_PUT = re.compile(r"\b(?:markers?|increase|new stitch|make one|goes|sits|decrease)\b")


def american(said: Said) -> Answer | None:
    """Judge an American size said beside the millimetres of a needle: “four millimetres, that's a six”."""
    one = said.one
    if one.unit != "us":
        return None
    needles = [each for each in said.others if each.unit == "mm" or (each.bare and each.number.part < 1)]
    beside = [each for each in needles if each.unit == "mm" and -6 <= each.end - one.first <= 0]
    many = [each for each in said.others if each.unit == "us" and each.end <= one.first]
    since = max((each.end for each in many), default=0)
    if not beside or len([each for each in needles if since <= each.first < one.first]) != 1:
        return None  # it is that of the one before, or they are told in their order
    right = _americans(said, [beside[-1].value])
    if not right or one.value in right:
        return None
    return (Verdict("disagrees", " or ".join(f"US {each:g}" for each in sorted(right))),)


def of_other_stuff(said: Said) -> Answer | None:
    """Let be what is told of anything but knitting: “six inches of snow”, “two rounds of tea”."""
    stuff = _OF_STUFF.match(said.near(0, 4))
    other = stuff and not said.holds.parts.stage(stuff[1]) and stuff[1] in _OTHER_STUFF
    return (None,) if other else None


def length(said: Said) -> Answer | None:
    """Judge a needle told in centimetres, and the tail of a cast-on."""
    if said.words[said.one.end : said.one.end + 1] in (["needle"], ["needles"]) and (needle := other_unit(said)):
        return (Verdict("wrong unit", f"{needle.at(said.holds.size):g} {needle.unit} ({needle.what})", needle.fact),)
    if _LOOP.search(said.near(5, 4)) and "needle" in said.near(20, 9):
        return (None,)
    return tail(said)


_OF_STUFF = re.compile(r"# (?:\w+ )?of (?:the |a |fresh |new )?(\w+)")
_OTHER_STUFF = frozenset(
    words_in("snow rain ice water mud dust sand earth wood cake string ribbon road tea applause drinks newspaper seats")
)
_LOOP = re.compile(
    r"\b(?:loop|cable|circulars?) (?:of|that's|is) (?:about )?#|# (?:[\w']+ )?(?:loop|cable|circulars?)\b"
)


_WIDE = re.compile(
    r"# (?:[\w']+ )?(?:stitches|rounds|rows) (?:wide|tall|high|by)\b|\bby # (?:stitches|rounds|rows)\b|\bwent from #"
    r"|\b(?:square|patch) (?:[\w']+ ){0,8}#"
)


def of_the_swatch(said: Said) -> Answer | None:
    """Let the size of a swatch be, told in stitches and rounds where nothing of the piece is worked."""
    whole = not said.holds.parts.here and said.holds.rounds == 0
    return (None,) if whole and _WIDE.search(said.near(9, 4)) else None


_ALL_SIZES = re.compile(
    r"\b(?:same|exact) (?:[\w']+ ){0,3}(?:every|all|each|any|both) (?:[\w']+ )?sizes?\b|\bwh\w+ever size\b"
    r"|\bevery size has\b"
    r"|\b(?:every|all|each|both) (?:the |three )?sizes? .*\b(?:same|alike)\b"
)


def in_all_sizes(said: Said) -> Answer | None:
    """Judge what is told to be the same in every size: it must be."""
    one, holds = said.one, said.holds
    if one.unit not in (*COUNTS, *LENGTHS, "times") or one.ordinal or one.size is not None or one.value < 4:
        return None
    if not _ALL_SIZES.search(said.near(9, 9)):
        return None
    planned = [
        each for each in holds.pattern.get(one.unit, ()) if each.cue in (*WHOLE, "total", "held", "length", "picked up")
    ]
    own = [each for each in planned if near(one, each.unit, at(each, holds.size))]
    if not own or any(len({*each.values}) == 1 for each in own):
        return None
    told = ", ".join(f"{value:g}" for value in own[0].values)
    return (Verdict("disagrees", f"{told} {own[0].unit} ({own[0].what})", own[0].fact),)


def too_high(said: Said) -> Answer | None:
    """Let a number be where nothing is counted so high: all stitches of a part, or of something else."""
    if not said.one.bare and (said.one.unit not in COUNTS or said.one.value < 200 or said.cued("cast on")):
        return None
    most = max((each.at(said.holds.size) for each in said.holds.pattern.get("stitches", ())), default=0)
    return (None,) if said.one.value > 3 * most else None


def fits_a_body(said: Said) -> Answer | None:
    """Judge what a hand or a head measures, told with its size: “a hand of sixteen and a half is a small”."""
    one, size = said.one, said.one.size
    if size is None or not (_BODIES.search(said.near(14, 0)) or _FITS.search(said.near(4, 6))):
        return None
    fit = [each for each in said.holds.pattern.get("cm", ()) if each.what == "what the size fits"]
    ends = sorted(at(each, size) for each in fit if len(each.values) > size)
    ranged = one.number.low < one.number.high
    if ranged and one.unit != "inches":
        told = [one.number.low, one.number.high]
        half_right = len(ends) == 2 and told != ends and not {*told}.isdisjoint(ends)
        return (Verdict("disagrees", f"{ends[0]:g} to {ends[-1]:g} cm (what the size fits)"),) if half_right else None
    cm = one.value * (INCH if one.unit == "inches" else 1.0)
    if one.unit == "inches" and [one.number.low, one.number.high] == ends:
        return (Verdict("wrong unit", f"{ends[0]:g} to {ends[-1]:g} cm (what the size fits)"),)
    if len(ends) < 2 or one.number.low < one.number.high or not 0.6 <= cm / ends[-1] <= 1.6:
        return None
    around = [each for each in said.holds.pattern.get("cm", ()) if each.cue == "around" and said.holds.parts.here]
    fits = ends[0] - 0.3 <= cm <= ends[-1] + 0.3 or any(near(one, "cm", at(each, size)) for each in around)
    return (None if fits else Verdict("disagrees", f"{ends[0]:g} to {ends[-1]:g} cm (what the size fits)"),)


_FITS = re.compile(
    r"\b(?:fits? (?:up to |about |a )*#.*|(?:up to|over|under) # a?round (?:the|your)) (?:knuckles|wrist|hand|head)\b"
)
_BODIES = re.compile(
    r"\btape (?:says|reads) #|\b(?:an?|your|my|the|round) (?:hand|head|knuckles"
    r"|wrist)\b(?: (?!long\b)[\w']+){0,6} #|\bfor hands\b.* #"
)
_LINES, _STITCHES = ("rounds", "rows"), ("stitches",)
_SAYINGS: tuple[tuple[Callable[[Said], Answer | None], tuple[str, ...]], ...] = (
    (in_all_sizes, (*COUNTS, *LENGTHS, "times")),
    (for_part, _STITCHES),
    (taken_up, _STITCHES),
    (rounds_as_stitches, (*_STITCHES, *LENGTHS)),
    (rounds_of_steps, _LINES),
    (too_high, ()),
    (of_the_swatch, ()),
    (by_markers, _STITCHES),
    (made, _STITCHES),
    (resting, _LINES),
    (groups, ("repeats",)),
    (knitted_run, _STITCHES),
    (needle, ("mm",)),
    (needle_us, ("us",)),
    (at_stitch, ()),
    (american, ("us",)),
    (from_to, LENGTHS),
    (fits_a_body, LENGTHS),
    (of_other_stuff, (*_LINES, *LENGTHS)),
    (length, LENGTHS),
)
"""The rules, in the order in which they are asked, each with the units that it is for; none where it is for any."""


@cache
def sayings_of(unit: str) -> tuple[Callable[[Said], Answer | None], ...]:
    """Give the rules for a unit, in the order in which they are asked."""
    return tuple(rule for rule, units in _SAYINGS if not units or unit in units)
