"""Things told to be done that the pattern knows nothing of: stitches decreased where none is, a round of purls."""

from __future__ import annotations

import re

from lessonplan.edit.proof.figures.derived import Answer
from lessonplan.edit.proof.figures.meant import Said
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.speech.numbers import words_in

_DOES = re.compile(
    r"\b(?:(?P<less>decreas(?:e|es|ing)|take in|taking in)|(?P<more>increas(?:e|es|ing))"
    r"|(?P<off>(?:bind|binding|cast|casting) off)|(?P<on>cast(?:ing)? on))"
    r"(?: (?:away|about|another|only|just|exactly|up))* #"
)
_VERBS = frozenset(
    words_in("decrease decreases decreasing take taking increase increases increasing bind binding cast casting")
)
_TECHNIQUES = {
    "less": re.compile(r"(?:k|p)\d?tog|ssk|ssp|skp|s2kp|sk2p|cdd|dec"),
    "more": re.compile(r"m1|kfb|pfb|yo|inc|kyok|lift"),
    "off": re.compile(r"bo|bind|cast off|i-cord"),
    "on": re.compile(r"co$|cast|long"),
}
"""The techniques by which each is done, as printed (Craft Yarn Council's list)."""
_ROUNDS_OF = re.compile(
    r"# (?:\w+ )?(?:purl|garter|seed|moss|lace|eyelet|cable|brioche|twisted|bobble|short|slip stitch) (?:rounds|rows)\b"
    r"|# (?:rounds|rows) (?:of|in) (?:purl|garter|seed|moss|lace|eyelets?|cables?|brioche|bobbles?)\b"
)
_IN_FABRIC = re.compile(
    r"\b(?P<what>seed|moss|garter|lace|brioche|linen|basket\w*"
    r"|icord) (?:stitch )?(?:\w+ ){0,3}for #"
)
_BY_MARKERS = re.compile(
    r"\bmarkers?\b.* every #|\b(?:third|fourth|fifth|another|extra) marker\b.*#|# (?:after|past"
    r"|from) the (?:first|second|last) (?:one|marker)\b"
)
_SPACED = ("run", "half", "between", "last", "each", "repeat", "line", "text")


def not_done(said: Said) -> Answer | None:
    """Judge stitches told to be increased, decreased, cast on or off where nothing of the kind is done."""
    one, holds = said.one, said.holds
    if (one.unit != "stitches" and not one.bare) or _VERBS.isdisjoint(said.words[max(0, one.first - 4) : one.first]):
        return None
    found = _DOES.search(said.near(4, 0).replace("# stitches", "#"))
    way = found.lastgroup if found and holds.techniques and len(holds.stages) < len(holds.titles) else None
    if way is None or one.value < 2 or any(_TECHNIQUES[way].match(name.lower()) for name in holds.techniques):
        return None
    elsewhere = [each for each in holds.elsewhere if each.cue == "cast on" and way == "on"]
    if way == "on" and any(one.value >= 0.4 * max(each.values) for each in elsewhere):
        return None  # the cast-on of another part
    return (Verdict("unplanned number"),)


def other_rounds(said: Said) -> Answer | None:
    """Judge rounds of a stitch that no round is worked in: “three purl rounds as a little ridge”."""
    one, holds = said.one, said.holds
    if one.unit not in ("rounds", "rows"):
        return None
    fabric = _IN_FABRIC.search(said.near(9, 0))
    if fabric and fabric["what"] not in holds.known.split():
        return (Verdict("unplanned number"),)
    if holds.flat is not False or not _ROUNDS_OF.search(said.near(0, 3)):
        return None
    return None if "purled" in holds.techniques else (Verdict("unplanned number"),)


def by_markers(said: Said) -> Answer | None:
    """Judge how far apart markers are said to be put."""
    one, holds = said.one, said.holds
    if one.unit != "stitches" or one.value < 2 or not _BY_MARKERS.search(said.near(7, 5).replace("# stitches", "#")):
        return None
    planned = [each for each in holds.pattern.get("stitches", ()) if each.cue in _SPACED]
    size = one.size if one.size is not None else holds.size
    if any(each.at(min(size, len(each.values) - 1)) == one.value for each in planned):
        return (None,)
    return (Verdict("unplanned number"),)
