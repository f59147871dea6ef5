"""What nobody planned and is put in: a few rounds for their looks, stitches that are crossed, a hole over two."""

from __future__ import annotations

import re

from lessonplan.edit.proof.counts.prose import Answer
from lessonplan.edit.proof.expected.yarns import COLOURS
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.numbers import words_in

MOST = 6
"""So many rounds in a yarn that is not worked here, or where none are worked, are but a few."""
_WORKS = re.compile(
    r"\b(?:works?|knit|do|does|add|adds|put|puts|slip|fold|go(?:es)? (?:a)?round|purl|for|with|there's|there are|want"
    r"|need|finish) (?:[\w']+ ){0,4}#"
)
_FOR = (
    r"(?:so as to [a-z]|(?:just |only )?to (?!(?:go|do|work|knit|purl|reach|get|end|finish|come|start|begin|use|try"
    r"|count|pick|put|cast|see|check|be|have|close|draw|join)\b)[a-z]+ (?:it|its|an?|the|them|that|this|off)\b"
    r"|so (?:that )?(?:(?:it|they|that|there)(?:'s)?|(?:the|no) [a-z]+) (?!far\b)[a-z']"
    r"|(?:which|that|and (?:it|that|this)) (?:keeps|stops|gives|makes|holds|helps) |keeps? it from "
    r"|for (?:the|its) looks?\b|for (?:an?|some|the|its) (?:(?:bit|little|touch|sake) )?(?:of )?(?:[a-z]+ )?"
    r"(?:decoration|line|edge|frame|contrast|border|effect|fun|look|ornament|grip|accent|show|texture)\b"
    r"|(?:just )?because it (?:looks|sits|feels|hugs|grips))"
)
_FOR_LOOKS = re.compile(
    r"#(?: [\w']+){0,10}? (?:(?:as|like|for) an? (?!while\b|start\b|moment\b|minute\b|change\b|round\b|row\b)"
    rf"|{_FOR})"
    rf"|\b{_FOR}.* (?:you|we|i) .*#"
)
"""What rounds are for that are only put in: “as a border”, “so it grips”."""
_PUT_IN = re.compile(r"\b(?:before you (?:cut|change|close|draw|join)|half ?way|in the middle)\b.*#")
_AT_LAST = re.compile(
    r"\b(?:(?:over|on|with) (?:those|these|the) last|(?:with|when|once) (?:[\w']+ ){0,3}[\w']+ (?:are )?left"
    r"|(?:when|once) (?:there's|there are|it's|you're|they're) (?:only|down to) [\w']+)\b.*#"
    r"|#.*\b(?:over|on|with) (?:those|these|the) last\b"
)
"""Where they are put in: in a part that goes on, or when all its rounds are worked."""
_SHAPED = re.compile(r"\b(?:(?<!in )between(?! the \w+ (?:and|we|you))|every(?! stitch)|each|increas\w+|decreas\w+)\b")
_PLACED = re.compile(
    r"\b(?:before|after|until|once|when) (?:the|your|any|those|these) (?:[\w']+ )??(?:in|de)creas\w+"
    r"|^.*\b(?:you|we) (?=[\w' ]+#)"
)
"""Where they are put in, which tells no shaping: “before the first increase you work”."""
_OF_ROUNDS = ("total", "stripe", "work", "text", "held at")
_STITCHES = re.compile(
    r"\b(?P<does>cross|twist|wrap|fold|pleat|gather|wind|braid|plait|swap|tie)(?:es|s|ing)? #(?! times?\b)"
    r"|\b(?:do|make|put|slip|work|add|fit|place)(?:s|es)? (?:in |on )?(?:an?|some|another) (?P<what>(?:[\w']+ ){1,2})"
    r"(?:over|of|across|around|made over) #"
)
"""Stitches that are worked otherwise than the rest: “twist two”, “slip in a plait over six”."""
_OF_KNITTING = frozenset(
    words_in("stitch row round marker decrease increase total bit lot few loop count start end mistake gap tail")
)
"""What is over stitches in any piece, and nothing put in."""


def put_in(said: Said) -> Answer | None:
    """Judge a few rounds that are put in for their looks or in a yarn that is not worked here, and stitches that are
    worked as no line tells.
    """
    one, holds, words = said.one, said.holds, said.words
    if one.unit not in ("rounds", "rows"):
        return _worked_otherwise(said)
    yarns = frozenset[str]().union(*(holds.parts.every[key].yarns for key in holds.parts.here))
    others = {word for key, own in holds.parts.yarns.items() if yarns and key not in yarns for word in own}
    so_long = words[max(0, one.first - 4) : one.first] if words[one.first - 1] == "for" else ()
    beside = (*words[one.end : one.end + 4], *so_long)
    strange = not (COLOURS - holds.parts.colours).isdisjoint(words[one.end : one.end + 3]) and bool(yarns)
    coloured = strange or not others.isdisjoint(beside)
    most = max(holds.rounds / 3, MOST if coloured or not holds.rounds else 2)
    near = said.near(9, 12)
    if words[one.first - 1 : one.first] in (["every"], ["each"]):
        return None
    if one.ordinal or not (2 - strange) <= one.number.high <= most or not _WORKS.search(near):
        return None
    if not strange and _SHAPED.search(_PLACED.sub(" ", said.near(6, 6))):
        return None
    over = _AT_LAST.search(near)
    of = {holds.parts.stage(word) for word in beside if "of" in words[one.end : one.end + 1]}
    other = bool(of - {"", *holds.parts.here} and holds.parts.here)  # “two rounds of rib” where none is worked
    if not (coloured or over or _PUT_IN.search(near) or _FOR_LOOKS.search(said.near(12, 14))):
        return None
    known = () if over or other or coloured else holds.pattern.get(one.unit, ())
    planned = (each for each in known if each.cue in _OF_ROUNDS)
    samples = (each for each in holds.samples if other or not each.stage)
    if any(each.at(holds.size if len(each.values) > 1 else 0) == one.value for each in (*planned, *samples)):
        return None
    return (Verdict("unplanned number"),)


def _worked_otherwise(said: Said) -> Answer | None:
    """Judge stitches that are crossed, wrapped, or what else is done with them that the course knows nothing of."""
    one, known = said.one, said.holds.known
    if not (one.unit == "stitches" or one.bare) or one.ordinal or not 2 <= one.number.high <= 2 * MOST:
        return None
    found = _STITCHES.search(said.near(5, 0))
    told = found and (found["does"] or found["what"].split()[-1].removesuffix("s"))
    if not told or re.search(rf"\b{told}", known) or told in _OF_KNITTING:
        return None
    return (Verdict("unplanned number"),)
