"""Numbers that are not to be told of: a manner of speaking, or are said in passing."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.findings import CUES
from lessonplan.edit.speech.numbers import BEGINS
from lessonplan.edit.speech.quantities import Quantity

_PROGRESS = re.compile(
    r"\b(?:minutes?|hours?|evening|night|train|bus|of the way)\b.*#|# or so\b(?! for)"
    r"|# (?:done )?(?:before|by|since) (?:breakfast|lunch|dinner|supper|bed|noon|midnight)"
    r"|# (?:done )?(?:this|last|yesterday)\b"
    r"|# in(?: and| so|$)|\b(?:already|only|just) # in\b"
    r"|# (?:in and)\b|# (?:down|ago|below|back)\b(?! and forth)"
    r"|\b(?:tore|tear|ripped?|unravel\w*|undo|undid|frogged|lost)\b.*#"
)
"""How far somebody came in a while, or what was taken out again."""
_WOVEN = re.compile(r"\bweav\w+|\bwoven\b")
_STRETCHED = re.compile(r"\bstretch\w*")
_SCALED = re.compile(
    r"\bswatch\b.*# (?:wide|long|tall)\b|# (?:to|in|per|over) (?:one|an?|the|every|each|1) (?:centi|cm)"
    r"|\bdifference\b.*#"
)
"""The size of a swatch itself, a gauge over another length, and a difference."""
MADE = re.compile(r"\bmake (?:another )?#")
"""Increases told in words: “make two stitches”."""
_DOES = re.compile(r"\b(?:do|repeat|work|times in all|increase|decrease|together)\b")


def is_idle(one: Quantity, words: Sequence[str]) -> bool:
    """Whether a number is a manner of speaking, or too small to be told of."""
    small = 1 if one.unit in ("balls", "colours", "sizes", "markers", "repeats", "ends") else 3
    before = words[one.first - 1] if one.first else ""
    if one.unit == "stitches" and before == "first":
        return one.value <= 3 or not re.search(r"#.*\b(?:then|marker)\b", around(words, one, 0, 9))
    if one.unit == "mm" and one.value < 1.5:
        return True
    if one.unit in ("rounds", "rows") and before == "first":
        return True
    if one.size is not None and words[one.end : one.end + 1] in (["more"], ["fewer"], ["less"]):
        return True
    if re.search(r"# (?:\w+ )?for (?:the|a|your|my) swatch", around(words, one, 0, 6)):
        return True
    if one.bare and words[max(0, one.first - 3) : one.first] == ["each", "of", "the"]:
        return True  # “on each of the four”
    if one.unit == "mm" and re.search(r"\b(?:between|difference|apart|longer|wider)\b", around(words, one, 3, 3)):
        return True
    if one.bare and words[one.end : one.end + 1] in (["more"], ["fewer"], ["less"]):
        return True
    if one.unit == "ends" and one.bare and one.value <= 3:
        return True  # “two of them blue”
    if one.unit == "ends" and "weave" not in words[one.end : one.end + 8] and re.match(
        r"# (?:\w+ )?(?:now|here|hanging|on (?:it|this|mine))\b", around(words, one, 0, 3)
    ):
        return True  # those of the piece so far
    if one.unit == "stitches":
        if re.match(r"# (?:further |more )?(?:down|below|up|above|over|in) from\b", around(words, one, 0, 3)):
            return True  # a place
        if MADE.search(around(words, one, 2, 0)):
            return one.value <= 1
        shaping = re.search(CUES["change"] + r"|" + CUES["last"] + "|" + CUES["picked up"], around(words, one, 4, 3))
        return one.value <= 3 and not (shaping and before not in ("next", "first"))
    if one.unit in ("rounds", "rows"):
        if _after_shaping(one, words) or re.match(r"# (?:away )?(?:from|before) the (?:end|top)\b", around(words, one, 0, 5)):
            return True
        vague = one.number.low < one.number.high and one.value <= 6
        vague = vague or tuple(words[one.end : one.end + 2]) in (("too", "many"), ("too", "few"))
        passing = re.search(r"\b(?:down|back|ago|below|up|under)\b", around(words, one, 2, 2))
        return one.value <= 1 or vague or (one.value <= 5 and passing is not None)
    if one.unit in ("cm", "inches"):
        more = re.search(r"# (?:of difference|longer|shorter|wider|narrower|too|less)\b", around(words, one, 0, 3))
        grown = re.search(r"\b(?:grew|grown?|grows|shrank|shrunk|shrinks?|by) (?:\w+ )?#", around(words, one, 3, 0))
        return (
            more is not None
            or grown is not None
            or one.value == 1
            or (one.number.low < one.number.high and one.value <= 3)
        )
    if (one.unit == "slip" and one.value == 1) or (one.unit == "knit" and one.value == 1):
        return not _rhythm(one, words)
    if one.unit == "purl" and one.value == 1:
        return not _rhythm(one, words)
    if one.unit == "markers" and before in ("the", "two", "both", "these", "your", "those"):
        return True
    if before == "other" and one.unit == "sizes":
        return True
    if one.unit == "sizes" and "needles" in around(words, one, 5, 3):
        return True
    if one.unit == "times" and words[one.end : one.end + 1] and words[one.end] in BEGINS - {"a", "an", "to", "too", "for"}:
        return True  # “twelve times eight”
    if one.unit == "times":
        return one.value < 3 or not (one.size is not None or _DOES.search(around(words, one, 8, 0)))
    return one.unit not in ("knit", "purl", "slip", "together", "mm", "us") and one.value <= small


def _after_shaping(one: Quantity, words: Sequence[str]) -> bool:
    """Whether some shaping rounds are counted and not all: “after four increase rounds”."""
    shaping = {"increase", "increases", "decrease", "decreases"} & {*words[one.first : one.end]}
    return bool(shaping) and "after" in words[max(0, one.first - 2) : one.first] or bool(
        shaping and {"done", "did", "had"} & {*words[max(0, one.first - 2) : one.first]}
    )


def _rhythm(one: Quantity, words: Sequence[str]) -> bool:
    """Whether “knit one” is part of a rhythm such as “knit one purl one” and no single stitch."""
    if one.bare:
        return True  # of a “one by one” rib
    if one.unit == "purl":
        return re.search(r"\bknit one\b.* #", around(words, one, 9, 0).removesuffix("knit one #")) is not None
    return one.unit == "knit" and re.match(r"# (?!slip)(?:\w+ ){0,7}?purl one\b", around(words, one, 0, 9)) is not None


def around(words: Sequence[str], one: Quantity, before: int, after: int) -> str:
    """Give so many words before and after a quantity, with ``#`` in its place."""
    return " ".join([*words[max(0, one.first - before) : one.first], "#", *words[one.end : one.end + after]])


def is_passing(one: Quantity, words: Sequence[str]) -> bool:
    """Whether a number tells how far somebody came, of a swatch, another width, stretched or woven work."""
    near = around(words, one, 8, 4)
    passing = {"rounds": _PROGRESS, "rows": _PROGRESS, "stitches": _WOVEN, "cm": _STRETCHED, "inches": _STRETCHED}
    return _SCALED.search(near) is not None or (one.unit in passing and passing[one.unit].search(near) is not None)
