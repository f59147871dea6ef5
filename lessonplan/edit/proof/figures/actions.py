"""Things told to be done that the pattern knows nothing of: stitches decreased where none is, a yarn over, a fringe."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.counts.prose import Answer
from lessonplan.edit.proof.figures.putin import put_in
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.numbers import words_in
from lessonplan.edit.speech.units import LENGTHS

_DOES = re.compile(
    r"\b(?:(?P<less>decreas(?:e|es|ing)|take in|taking in)|(?P<more>increas(?:e|es|ing)|(?<!then )(?:you|we) add)"
    r"|(?P<off>(?:bind|binding|cast|casting) off)|(?P<on>cast(?:ing)? on))"
    r"(?: (?:away|about|another|only|just|exactly|up))* #"
)
_VERBS = frozenset(
    words_in("decrease decreases decreasing take taking increase increases increasing bind binding cast casting add")
)
_TECHNIQUES = {
    "less": re.compile(r"(?:k|p)\d?tog|ssk|ssp|skp|s2kp|sk2p|cdd|dec"),
    "more": re.compile(r"m1|kfb|pfb|yo|inc|kyok|lift"),
    "off": re.compile(r"bo|bind|cast off|i-cord"),
    "on": re.compile(r"co$|cast|long"),
}
"""The techniques by which each is done, as printed (Craft Yarn Council's list)."""
_EVENLY = re.compile(r"\b(?:in|de)creas[\w']+ .*#.*\bevenly\b|\bevenly\b.*#")
_ROUNDS_OF = re.compile(
    r"# (?:[\w']+ )?purl (?:rounds|rows)\b|# (?:rounds?|rows?) (?:of|in) purl\b|\bpurl # (?:rounds?|rows)\b"
)
_SUPPOSED = re.compile(r"\bif\b")
_FLAT = re.compile(
    r"\b(?:work|knit|purl|do|add|begin with|start with)(?: [\w']+)? #(?: rows?)? (?:[\w']+ ){0,2}?(?:flat\b(?! on)"
    r"|back and forth|to and fro)|\bbefore (?:you|we|i) (?:join|close)\b.*\b(?:work|knit|purl|do) # rows?\b"
)
"""Rows where all is worked in the round."""
_BY_MARKERS = re.compile(
    r"\bmarkers?\b.* every #|\b(?:third|fourth|fifth|another|extra) marker\b.*#|# (?:after|past"
    r"|from) the (?:first|second|last) marker\b|\bmarkers?\b.*# (?:after|past|from) the (?:first|second|last) one\b"
)
_IN_THE_GAP = re.compile(
    r"\b(?:add|adding|adds|put|puts|make|makes)(?: [\w']+)? # (?:[\w']+ )?(?:over|across|at|into|in) (?:the|that|your)"
    r" (?:gap|join|hole)\b"
)
_GAPS = frozenset(("gap", "join", "hole"))
_SPACED = ("run", "half", "between", "last", "each", "repeat", "line", "text")


_FOREIGN = frozenset(
    words_in(
        "yarnover yarnovers eyelet eyelets lace cable cables bobble bobbles nupp nupps popcorn popcorns picot picots "
        "ruffle ruffles frill frills welt welts pleat pleats darts ridge ridges garter seed moss "
        "brioche linen basketweave herringbone entrelac intarsia mosaic smocking honeycomb icord cord cords "
        "braid braids plait fringe fringes tassel tassels pompom pompoms buttonhole buttonholes button buttons zip "
        "zips zipper snaps strap straps flap flaps earflap earflaps pocket pockets hem lining fleece elastic "
        "ribbon bead beads sequin sequins embroider embroidery embroidered duplicate daisy daisies heart hearts "
        "snowflake snowflakes stars flower flowers steek applique patch patches leather suede bow bows bell bells "
        "clasp toggle toggles collar drawstring "
        "casing slits thumbhole reflective chains crocheted duplicated lifeline velcro "
        "magnet magnets sequined monogram emblem logo tag tags feather feathers shells wraps edging trim scallop "
        "scallops slit vent badge initials visor backstitch whipstitch smocked"
    )
)
"""What a knitted piece may have, and how it may be worked (common practice)."""
_SECONDS = {
    "over": "yarn",
    "overs": "yarn",
    "rows": "short",
    "cord": "i",
    "poms": "pom",
    "pom": "pom",
    "knots": "french",
    "holes": "button",
    "facing": "a",
    "crochet": "single double treble of",
    "stitch": "back whip mattress running blanket satin stem duplicate",
    "edge": "crochet crocheted",
    "border": "crochet crocheted lace",
}
"""The same in two words, by the second of them: “yarn over”."""
_ANY = _FOREIGN | _SECONDS.keys()
_FAR = 9
"""So many words off, such a thing is what a number is told of."""
_CLAUSE = frozenset(words_in("but because then so until till while before after if when unless"))
_LONG = frozenset(words_in("the long short longer shorter cm centimeter centimetre inch"))
"""What stands before the cable of a circular needle."""
_NOT_IT = frozenset(words_in("no not never without like isn't don't nor than instead hate against looks"))


def _foreign_at(at: int, words: Sequence[str], known: str) -> bool:
    """Whether a word names something that the course does not have."""
    word = words[at].removesuffix("'s")
    first = _SECONDS.get(word)
    if first is None:
        if word not in _FOREIGN:
            return False
    elif at == 0 or words[at - 1] not in first.split():
        return False
    stem = word.removesuffix("s") if first is None else f"{words[at - 1]} {word.removesuffix('s')}"
    if word == "cable" and (words[at - 1] in _LONG or "loop" in words[at : at + 5]):
        return False  # of a circular needle
    before = " ".join(words[max(0, at - 5) : at]).replace("you like", "").split()[-4:]
    return re.search(rf"\b{stem}", known) is None and _NOT_IT.isdisjoint(before)


def foreign(said: Said) -> Answer | None:
    """Judge a number told of a thing that the course does not have: “a yarn over every tenth stitch”, “nine beads”."""
    one, words = said.one, said.words
    lines = one.unit in ("rounds", "rows") and words[one.end : one.end + 1] == ["of"]  # “one row of garter”
    if (
        one.number.low < 2
        and (one.number.part == 1 or one.bare)
        and not lines
        and one.unit not in (*LENGTHS, "metres", "yards")
    ):
        return None
    if one.unit in ("minutes", "hours", "days"):
        return None
    low, high = max(0, one.first - _FAR), min(len(words), one.end + _FAR)
    if _ANY.isdisjoint(words[low:high]):
        return None
    for at in range(low, high):
        if not _foreign_at(at, words, said.holds.known):
            continue
        between = words[one.end : at] if at >= one.end else words[at + 1 : one.first]
        gap = len(between)
        nearer = any(
            max(other.first - at, at + 1 - other.end, 0) < gap
            for other in said.others
            if other.first != one.first and (other.number.low >= 2 or other.number.part < 1)
        )
        if nearer and words[one.first - 1] in ("every", "each") and _CLAUSE.isdisjoint(between):
            return (None,)  # “a cable of eight stitches, crossed every ten rows”
        if not nearer and _CLAUSE.isdisjoint(between):
            return (Verdict("unplanned number"),)
    return None


def not_done(said: Said) -> Answer | None:
    """Judge stitches told to be increased, decreased, cast on or off where nothing of the kind is done."""
    one, holds = said.one, said.holds
    if one.unit == "stitches" and one.value > 1 and not _GAPS.isdisjoint(said.words[one.end : one.end + 4]):
        planned = (each for each in holds.pattern.get("stitches", ()) if each.cue in ("picked up", "cast on"))
        if _IN_THE_GAP.search(said.near(4, 4).replace("# stitches", "#")):
            return (None if any(one.value in each.values for each in planned) else Verdict("unplanned number"),)
    if (one.unit != "stitches" and not one.bare) or _VERBS.isdisjoint(said.words[max(0, one.first - 4) : one.first]):
        return None
    evenly = _EVENLY.search(said.near(4, 7)) is not None
    if evenly and not any(
        each.cue == "change" and one.value in each.values for each in holds.pattern.get("stitches", ())
    ):
        return (Verdict("unplanned number"),)
    found = _DOES.search(said.near(4, 0).replace("# stitches", "#"))
    way = found.lastgroup if found and holds.techniques and len(holds.stages) < len(holds.titles) else None
    if way is None or one.value < 2 or any(_TECHNIQUES[way].match(name.lower()) for name in holds.techniques):
        return None
    elsewhere = [each for each in holds.elsewhere if each.cue == "cast on" and way == "on"]
    if way == "on" and any(one.value >= 0.4 * max(each.values) for each in elsewhere):
        return None  # the cast-on of another part
    return (Verdict("unplanned number"),)


def other_rounds(said: Said) -> Answer | None:
    """Judge rounds of purl where none is worked, “three purl rounds”, and a few that are put in."""
    one, holds = said.one, said.holds
    if one.unit not in ("rounds", "rows"):
        return put_in(said)
    if (
        one.unit == "rows"
        and _FLAT.search(said.near(9, 6))
        and not any(each.unit == "rows" for each in holds.elsewhere)
    ):
        return (Verdict("unplanned number"),)
    purled = holds.flat is False and "purled" not in holds.techniques and _ROUNDS_OF.search(said.near(1, 3))
    if purled and not _SUPPOSED.search(said.near(11, 0)):
        return (Verdict("unplanned number"),)
    if one.value > 1 and _STRIPE_MORE.search(said.near(10, 0)):
        stripes = (each for each in holds.pattern.get(one.unit, ()) if each.cue == "stripe")
        return None if any(each.at(0) == one.value for each in stripes) else (Verdict("unplanned number"),)
    return put_in(said)


_STRIPE_MORE = re.compile(
    r"\b(?:another|second|extra|one more|also a|there's a)(?: [\w']+)? (?:little|smaller|small|tiny|thin|narrow"
    r"|wee|skinny)"
    r"(?: [\w']+)? (?:band|stripe|line|ridge|border|strip)\b(?: [\w']+){0,3} #"
    r"|\b(?:another|extra|one more) (?:[\w']+ )?(?:band|stripe|line|ridge|border|strip)\b(?: [\w']+){0,3} #"
)


def by_markers(said: Said) -> Answer | None:
    """Judge how far apart markers are said to be put."""
    one, holds = said.one, said.holds
    if one.unit != "stitches" or one.value < 2 or not _BY_MARKERS.search(said.near(7, 5).replace("# stitches", "#")):
        return None
    if {"counting", "count"} & {*said.words[one.end : one.end + 5]}:
        return (None,)  # they only help to count
    planned = [each for each in holds.pattern.get("stitches", ()) if each.cue in _SPACED]
    size = one.size if one.size is not None else holds.size
    if any(each.at(min(size, len(each.values) - 1)) == one.value for each in planned):
        return (None,)
    return (Verdict("unplanned number"),)
