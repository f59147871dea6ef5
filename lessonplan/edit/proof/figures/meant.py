"""Which of the numbers that hold are meant by what was said: by a round, by cue words, by a line of the script."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.counts.stitches import stitches_meant
from lessonplan.edit.proof.expected.texts import content
from lessonplan.edit.proof.findings import CUES, Planned
from lessonplan.edit.proof.said import CUED, Said
from lessonplan.edit.speech.numbers import ORDINALS
from lessonplan.edit.speech.rounds import round_before
from lessonplan.edit.speech.units import LENGTHS

_STRIPED = re.compile(
    r"\bevery #.*\b(?:colou?rs?|stripes?|swap|switch|change)|\b(?:swap|change|switch)(?: over)? every #|\b(?:colou?rs?"
    r"|stripes?) (?:after )?every #|\b(?:every |each |the )?stripe(?:s|'s)?(?: (?:of|is|are|has|have|gets?|goes))* #"
    r"|\beach (?:one |stripe |of them )?(?:is|has|gets|being) #"
    r"|# (?:rounds |rows )?(?:then|and)(?: then)?(?: you| we)? (?:change|swap|switch) (?:colou?rs?|over|yarns?|to)"
    r"|# (?:rounds|rows) (?:of|in|for) each\b|#(?: rounds| rows)? (?:in|of) (?:one|each|the other) colou?r|\beach "
    r"colou?r\b.*#"
)


def striped(said: Said) -> bool:
    """Whether rounds are told of a stripe: “four rounds of yellow”, “each stripe is”."""
    one = said.one
    planned = (*said.holds.pattern.get("rounds", ()), *said.holds.pattern.get("rows", ()))
    if one.unit not in ("rounds", "rows") or not any(each.cue == "stripe" for each in planned):
        return False
    after = [word for word in said.words[one.end : one.end + 3] if word not in ("of", "in", "the")]
    return _STRIPED.search(said.about) is not None or bool(after and after[0] in said.holds.colours)


_PLACES = ("hand", "top", "join", "edge")
"""Words that name a part, and are said of anything."""


def named(said: Said) -> list[Planned]:
    """Give the numbers of stages that are named beside a quantity, though the segment is about another."""
    if said.named is None:
        said.named = _named(said)
    return said.named


def _named(said: Said) -> list[Planned]:
    one, holds = said.one, said.holds
    near = {*said.words[max(0, one.first - 20) : one.first], *said.words[one.end : one.end + 9]}
    if one.unit in LENGTHS:  # “three inches from the top of the band” is not of the band
        off = re.search(r"# (?:[\w']+ ){0,2}?(?:from|above|below|past)(?: \w+){1,5}", said.near(0, 9))
        near -= {*off[0].split()} if off else set()
        of_rounds = [each.end for each in said.others if each.unit in ("rounds", "rows") and each.end <= one.first]
        told = said.words[of_rounds[-1] : of_rounds[-1] + 2] if of_rounds and one.first - of_rounds[-1] < 9 else []
        near |= (
            {holds.parts.stage(told[1])} if told[:1] == ["of"] and told[1:] else set()
        )  # “rounds of rib, seven long”
    keys = {key for key in holds.titles if key not in (*holds.stages, *_PLACES) and key in near}
    of_part = re.search(r"# (?:stitches )?(?:around|for|of|in) (?:(?:the|your|my) )?(\w+)", said.near(0, 4))
    keys |= {holds.parts.stage(of_part[1])} - {"", *holds.stages} if of_part else set()
    took = _TOOK.search(said.near(5, 0)) if one.unit in ("rounds", "rows") else None
    keys |= {took[1]} & {*holds.titles} - {*holds.stages} if took else set()
    beside = (*said.words[max(0, one.first - 5) : one.first], *said.words[one.end : one.end + 5])
    keys |= holds.parts.stages(word for word in beside if word not in _PLACES) - {"", *holds.stages}
    cord = bool({"cord", "cord's"} & near)
    here = {each.cue for each in holds.pattern.get("stitches", ())}
    cues = {cue for cue in ("cast on", "held", "picked up") if one.unit == "stitches" and said.cued(cue)} - here
    if not (keys or cord or cues):
        return []
    return [
        each
        for each in holds.elsewhere
        if each.stage in keys or (cord and each.fact.endswith(".cord")) or (each.cue in cues and not keys)
    ]


_TOOK = re.compile(
    r"\b(?:the|that|this|your|my|whole) (\w+)(?:'s)? (?:takes?|took|has|had|is|was|needs?|wants) (?:[\w']+ )?#"
)
"""“That top took thirteen rows.”"""


def meant(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the numbers that the words around a quantity mean: by a round, by a cue, or by a line of the script."""
    one = said.one
    if one.unit == "stitches":
        stitches = stitches_meant(said, pattern)
        if stitches is not None:
            return stitches
    if one.unit in ("rounds", "rows") and CUED["plain"].search(said.near(0, 3)):
        plain = [each for each in pattern if each.cue == "plain"]
        if plain:
            return [*plain, *(each for each in pattern if each.cue == "work")]
    if one.unit in ("knit", "purl") and one.value > 1:
        place = _round_behind(said) or round_before(one, said.words, said.others, 4)
        found = [each for each in pattern if each.cue == place]
        if place and found:
            return found
    if striped(said):
        return [each for each in pattern if each.cue == "stripe"]
    if one.unit in LENGTHS and re.search(r"\bapart\b", said.about):
        return [each for each in pattern if each.cue == "gauge"]
    if one.unit in ("rounds", "rows") and (of_part := _rounds_of_part(said)):
        return of_part
    if one.unit in LENGTHS and (of_part := _of_subject(said, pattern) or _of_shape(said, pattern)):
        return of_part
    texts = [each for each in pattern if each.cue == "text" and each.words]
    if one.unit in ("mm", "us") or not texts:
        return []  # one line names all needles
    own = content(said.words, one, said.others)
    likely = [(len(own & each.words), each) for each in texts]
    best = max(
        (count for count, each in likely if count >= 3 and count >= 0.5 * min(len(own), len(each.words))), default=0
    )
    found = [each for count, each in likely if best and count >= max(3, best - 1)]
    # A line of the script says which number is meant only where it holds a fact; else it merely is one more number.
    return found if found and all(each.fact for each in found) else []


_IS = re.compile(
    r"(?:(?:now|only|then|itself|alone|here|altogether|(?:when|once) (?:it's|it is) \w+) )*"
    r"(?:is|was|comes?|came|wants?|should|measures?|measured|has|takes?|needs?|gets?|will|goes|stands|works|ought|must"
    r"|grows?|reaches|ends|would|should've|are)\b"
)
_SPOKEN_OF = ("hand", "join", "edge", "ends")
"""Words that name a part, and are rather said of the body or of the work."""


def _of_subject(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the lengths of the part of which a length is told: “the cuff comes to”, “a gusset of”."""
    before = said.near(14, 0).split()[:-1]
    named = [(at, said.holds.parts.stage(word)) for at, word in enumerate(before) if word not in _SPOKEN_OF]
    parts = [(at, key) for at, key in named if key]
    if not parts or len({key for _, key in parts[-2:]}) > 1:
        return []
    at, key = parts[-1]
    told = before[at].endswith("'s") or _IS.match(" ".join(before[at + 1 :]))
    if not told or {"from", "to", "tip", "above", "below", "between", "whole"} & {*before[max(0, at - 4) : at]}:
        return []
    lengths = [each for each in (*pattern, *said.holds.elsewhere) if each.unit in LENGTHS and each.stage == key]
    shape = _SHAPES.match(said.near(0, 3))
    wide = re.search(rf"{CUES['around']}|{CUES['across']}", said.clause()) is not None
    wide = wide and not (shape and shape["long"])
    either = not wide and (said.cued("around") or said.near(1, 0) == "around #")
    lengths = [each for each in lengths if either or (each.cue in ("around", "across")) == wide]
    facts = {each.fact for each in lengths} | {""}
    return lengths and [*lengths, *(each for each in pattern if each.cue == "text" and each.fact in facts)]


_OF_PART = re.compile(r"#(?: rounds| rows)? (?:of|in|for) (?:the |my |your |this |our )?(?:plain |whole )?(\w+)")


def _rounds_of_part(said: Said) -> list[Planned]:
    """Give the rounds of the part of which they are told, where a segment has several: “the cuff is twenty rounds”."""
    one, holds = said.one, said.holds
    before = said.near(9, 0).partition("#")[0].split()
    behind = _OF_PART.search(said.near(0, 4))
    key = holds.parts.stage(behind[1]) if behind else ""
    for at, word in enumerate(() if key else before):
        alone = at == len(before) - 1 and before[at - 1 : at] == ["the"]  # “the cuff is twenty two, the hand fifteen”
        named = holds.parts.stage(word) if word not in _SPOKEN_OF or holds.parts.here == () or alone else ""
        apart = {"from", "to", "above", "below", "between", "before", "after", "than"} & {*before[max(0, at - 2) : at]}
        title = said.holds.titles.get(named, "").split()
        rest = before[at + 1 :][before[at + 1 : at + 2] == title[-1:] :]  # “the second end is”
        beside = not rest and before[max(0, at - 1) : at] != ["of"]
        if named and not apart and (word.endswith("'s") or beside or _IS.match(" ".join(rest))):
            key = named
    if not key or (len(holds.stages) == 1 and key in holds.stages):
        return []
    own = [each for each in holds.elsewhere if each.unit == one.unit and each.stage == key]
    cues = ("total", "work", "shaping", "plain", "stripe", "state", *(["repeat"] if said.cued("repeat") else ()))
    return [each for each in own if each.cue in cues]


_SHAPES = re.compile(r"# (?:[\w']+ )?(?:(?P<long>tall|high|deep|long|upward|in height)|(?P<wide>wide|across|around))\b")


def _of_shape(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the lengths that a word right behind one tells: “six centimetres tall” is no width."""
    found = _SHAPES.match(said.near(0, 3))
    if found is None or len(said.holds.stages) > 2 or re.search(r"\b(?:cut|yarn|leave|tails?|swatch)\b", said.about):
        return []
    free = ("gauge", "measure") if said.cued("whole") else ("gauge", "measure", "whole")
    own = [each for each in pattern if each.unit in LENGTHS and each.cue not in free]
    facts = {each.fact for each in own if each.cue in ("around", "across")}
    wide = [each for each in own if each.cue in ("around", "across") or (each.cue == "text" and each.fact in facts)]
    return wide if found["wide"] else [each for each in own if each not in wide]


_BEHIND = frozenset(("on", "in", "that's", "is", "how", "what"))
"""What stands before a round that is named behind its steps."""
_TO_BEGIN = re.compile(r"^#(?: (?!then\b|plain\b)[\w']+){0,3} (?:to (?:start|begin) with|first off)\b")
_ON_THE = re.compile(r"#(?: (?!and\b|then\b)\w+){0,4} (?:on|in) the (\w+)(?: round| row)?(?: |$)")


def _round_behind(said: Said) -> str:
    """Give the cue of the round that is named behind its steps: “knit eight, knit two together on the fifth”."""
    found = _ON_THE.match(said.near(0, 8))
    if found and found[1] in ORDINALS:
        return f"round {ORDINALS[found[1]]}"
    if _TO_BEGIN.search(said.near(0, 8)):
        return "round 1"
    one = said.one
    named = next((each for each in said.others if each.ordinal and 0 <= each.first - one.end <= 7), None)
    before = said.words[max(0, named.first - 2) : named.first] if named else []
    return f"round {named.value:g}" if named and not _BEHIND.isdisjoint(before) else ""
