"""Crochet terms: the same word is another stitch in UK than in US print, and some words exist in one of them only.

The table of techniques has the US names (common practice: UK double crochet is US single crochet, and so on upwards).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from lessonplan.printed.words.tokens import Token

UK_TO_US: Mapping[str, str] = {
    "dc": "sc", "tr": "dc", "dtr": "tr", "dc2tog": "sc2tog", "dc3tog": "sc3tog", "tr2tog": "dc2tog",
    "tr3tog": "dc3tog", "tr4tog": "dc4tog",
}  # fmt: skip
"""What a name of UK print is called in US print; half trebles have no second meaning."""
_ONLY = {
    "us": re.compile(r"\d*(?:f|b)?p?(?:sc|hdc)(?:\d+tog|s)?\b|single crochet|half double"),
    "uk": re.compile(r"\d*(?:htr|h\.tr)(?:\d+tog|s)?\b|half treble"),
}
"""Words of one of the two only, where a word begins."""
_SAID = re.compile(
    r"\b(?:(uk|british|english)|(us|usa|american)) (?:crochet )?(?:terms|terminology|abbreviations|stitch names)\b"
    r"(?! (?:are )?(?:given )?in (?:brackets|parenthes|square))"
)
"""Which terms are used; those "given in brackets" are the other ones."""
_STANDS = re.compile(
    r"(?:\b(\d) ?ch\b|\bch(?:ain)? ?(\d))\.? ?[(\[,]? ?(?:counts? as|=|stands? for|for|as) "
    r"(?:a |one |1 ?|first )?(tr|dc)\b\.?(?:(?: ?[,+&] ?| and |, and )(?:(\d) ?ch|ch ?-?(\d)))?"
)
"""A chain and what it counts as: by its length it tells in which terms the stitch is named."""
_UK_HEIGHTS = {"tr": (3,), "dc": (1, 2)}
_WORD = re.compile(r"(?<![^\W\d_])[^\W\d_]")


def terms_said(texts: Sequence[str], terms: str) -> str:
    """The terms that lines say themselves to be in, or those given."""
    for text in texts:
        if match := _SAID.search(text.lower()):
            return "uk" if match[1] else "us"
    for text in texts:
        for match in _STANDS.finditer(text.lower()):
            height = int(match[1] or match[2]) - int(match[4] or match[5] or 0)
            if height in _UK_HEIGHTS[match[3]]:
                return "uk"
    return terms


def in_us_terms(run: Sequence[Token], terms: str) -> tuple[Token, ...]:
    """The tokens of a line with the stitches of its `terms` ("us" or "uk") called by their US names."""
    if terms != "uk":
        return tuple(run)
    return tuple(
        replace(token, value=UK_TO_US.get(token.value, token.value)) if token.kind == "stitch" else token
        for token in run
    )


def contradiction(text: str, terms: str) -> tuple[str, int] | None:
    """A word of a line that does not exist in these terms, and its 0-based place; None if there is none."""
    other = "us" if terms == "uk" else "uk"
    lower = text.lower()
    for word in _WORD.finditer(lower):
        if match := _ONLY[other].match(lower, word.start()):
            return text[match.start() : match.end()], match.start()
    return None
