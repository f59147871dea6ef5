"""Lengths from one place of a piece to another: “from the top of the cuff to the tip”, “without the brim”."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.edit.proof.counts.prose import Answer, at
from lessonplan.edit.proof.findings import Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.quantities import near

_THE = r"(?:the |your |my |our )?(?:\w+ed )?"
_BEHIND = re.compile(
    rf"\b(?:(?:top|end) of {_THE}(?P<of>\w+)|above {_THE}(?P<above>\w+)|where {_THE}(?P<where>\w+) (?:stops|ends"
    rf"|finishes"
    rf"|is (?:over|done|finished)|leaves off)|(?:without|not counting|minus|excluding|leaving"
    rf"|leave) {_THE}(?P<less>\w+)"
    rf"(?! tail)|from {_THE}(?P<wrist>wrist)|last (?:round|row|stitch) of {_THE}(?P<last>\w+))\b"
)
"""Where a length begins: behind the part that is named."""
_TO_TIP = re.compile(
    r"\b(?:to|up to|reach(?:es)?) (?:the |its |your )?(?:very )?(?:tip|top|end|point|peak|finish)\b(?! of)"
    r"|\bup (?:it's|it is|is|measures|comes)\b|\b(?:mitten|hat|headband|whole thing|rest|everything|piece"
    r"|remainder) (?:[\w']+ ){0,3}#"
)
_ALL_OF_IT = re.compile(
    r"\b(?:cast on )?(edge|bottom|cuff|hem|brim) (?:(?:right|all the way|up) )*to (?:the |its )?(?:very )?(?:tip"
    r"|top|point)\b(?! of)"
)
_FROM = re.compile(
    r"\b(?:from|above|without|not counting|minus|excluding|leaving|leave)\b.*#|#.*\b(?:from|above|without)\b"
)


def from_to(said: Said) -> Answer | None:
    """Judge a length from behind one part to the end of the piece, or to where another part ends."""
    told = said.near(16, 12)
    whole = _ALL_OF_IT.search(told)
    lengths = _main_lengths(said)
    if whole and lengths and not _BEHIND.search(told):
        every = sum(length for _, length in lengths)
        lasts = (every, every - lengths[0][1]) if said.holds.parts.stage(whole[1]) == lengths[0][0] else (every,)
        told_right = f"{every:.3g} cm (length of the whole, from its first round to its last)"
        if any(near(said.one, "cm", each) for each in lasts):
            return (None,)
        other = replace(said.one, unit="cm" if said.one.unit == "inches" else "inches")
        return (Verdict("wrong unit" if near(other, "cm", every) else "disagrees", told_right),)
    begins = _BEHIND.search(told) if _FROM.search(told) else None
    key = said.holds.parts.coloured(next(filter(None, begins.groups()))) if begins else ""
    if not key or key not in [stage for stage, _ in lengths[:-1]]:
        return None
    after = lengths[[stage for stage, _ in lengths].index(key) + 1 :]
    sums = [sum(length for _, length in after[: count + 1]) for count in range(len(after))]
    if _TO_TIP.search(told):
        right = f"{sums[-1]:.3g} cm from there to the end"
        return (None if near(said.one, "cm", sums[-1]) else Verdict("disagrees", right),)
    up_to_here = [
        length for (stage, _), length in zip(after[1:], sums[1:], strict=True) if stage in said.holds.parts.here
    ]
    return (None,) if any(near(said.one, "cm", each) for each in up_to_here) else None


def _main_lengths(said: Said) -> Sequence[tuple[str, float]]:
    """Give the lengths of the parts that follow one another from the first round of the piece to its last."""
    size = said.one.size if said.one.size is not None else said.holds.size
    whole = next((at(each, size) for each in said.holds.pattern.get("cm", ()) if each.fact == "total.length"), 0.0)
    found, length = list[tuple[str, float]](), 0.0
    for each in said.holds.elsewhere:
        if each.fact == f"{each.stage}.length" and length < whole - 0.3:
            found.append((each.stage, at(each, size)))
            length += at(each, size)
    return found if abs(length - whole) < 0.3 else []
