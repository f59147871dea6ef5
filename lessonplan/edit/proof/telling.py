"""What was said, searched for the techniques that are named in it, and a word of it that is swapped."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

NAMES = (
    (
        "m1l",
        r"m (?:one|1) l(?:eft)?|m1l|m1 left|make (?:one|a) (?:on the )?left|left (?:leaning )?increase"
        r"|left leaning one|"
        r"(?<!for )(?:the|your|my) left (?:hand )?one(?= from\b)|"
        r"(?:the|your|my) left (?:hand )?one(?= (?:you|we|i|of|lift|the|my|your|it|is|gets|wants)\b)"
        r"|(?:first|now|then|for|and) the one (?:that|which) (?:leans|goes|slants) (?:to the )?left",
    ),
    (
        "m1r",
        r"m (?:one|1) r(?:ight)?|m1r|m1 right|make (?:one|a) (?:on the )?right|right (?:leaning )?increase"
        r"|right leaning one|"
        r"(?<!for )(?:the|your|my) right (?:hand )?one(?= from\b)|"
        r"(?:the|your|my) right (?:hand )?one(?= (?:you|we|i|of|lift|the|my|your|it|is|gets|wants)\b)"
        r"|(?:first|now|then|for|and) the one (?:that|which) (?:leans|goes|slants) (?:to the )?right",
    ),
    ("other", r"mirror(?:ed)?|the other (?:one|side|end|marker|way)"),
    (
        "ssk",
        r"slip slip knit|ssk|s s k|slip (?:one|the first|a stitch) (?:as if to knit|knitwise)(?= (?:and "
        r"|then )?(?:slip|another|a second|the second|the next))",
    ),
    ("k2tog", r"knit(?:ting)? (?:two|to|too|2) together|k2tog|k (?:two|too?|2) ?tog(?:ether)?|k2 together"),
)
NAME = re.compile(
    r"(?<!\w)(?=[fklmnrsty])(?:" + "|".join(f"(?P<{name}>(?:{pattern})\\b)" for name, pattern in NAMES) + ")"
)
LEANS = {"m1l": "left", "m1r": "right", "ssk": "left", "k2tog": "right", "skp": "left"}
LIFTS = {"m1l": "front", "m1r": "back"}
KNITS = {"m1l": "back", "m1r": "front"}
_IS_THE_OTHER = re.compile(r"\b(?:left|right|together|knit|ssk) (?:is|it's|goes|works) (?:[\w']+ )?(?:the )?$")
"""“Make one right is just the other way about” goes on to tell of it."""
_NOT = re.compile(r"(?<!as )\b(?:if|not|never|don't|dont|instead of|rather than|unless)\b")
REACH = 25
"""Words over which the name of a technique holds."""
SHORT_REACH = 7
"""The same right before a place: “make one left after the first stitch”."""
LONG_REACH = 45
"""The same for what is told slowly: a bar is found, lifted, and at last knitted."""


@dataclass(frozen=True, slots=True)
class Swap:
    """A word that is not the right one: its tokens, and what is right."""

    first: int
    end: int
    right: str


class Text:
    """Words joined by blanks, so that they can be searched by expressions and places given in words."""

    def __init__(self, words: Sequence[str], starts: Sequence[int] = ()) -> None:
        self.words = words
        self.text = " ".join(words)
        self.starts = starts or [0, *accumulate(len(word) + 1 for word in words)]
        self.names = [
            (self.word(one.start()), self.word(one.end() - 1) + 1, one.lastgroup or "")
            for one in NAME.finditer(self.text)
            if one.lastgroup != "other" or not _IS_THE_OTHER.search(self.text, max(0, one.start() - 40), one.start())
        ]

    def word(self, place: int) -> int:
        """The word that a place of the text lies in."""
        return bisect_right(self.starts, place) - 1

    def named(self, at: int, of: Sequence[str], reach: int = REACH) -> str:
        """The technique named last before a word, among some, where none other was named since."""
        before = [one for one in self.names if at - reach <= one[0] < at]
        return before[-1][2] if before and before[-1][2] in of else ""

    def told_then(self, at: int, of: Sequence[str]) -> str:
        """The one technique that is named behind a word, with which its telling ends: “… that's your make one left”."""
        behind = [one for one in self.names if at < one[0] <= at + REACH]
        ends = len(self.names) == 1 == len(behind) and len(self.words) - behind[0][1] <= 3
        return behind[0][2] if ends and behind[0][2] in of else ""

    def denied(self, place: int) -> bool:
        """Whether a “not”, an “if” or a “never” stands before a place."""
        at = self.word(place)
        return _NOT.search(self.text, self.starts[max(0, at - 6)], self.starts[at]) is not None

    def swap(self, one: re.Match[str], group: str, right: str) -> Swap:
        """Make a swap of a group of a match."""
        begin, stop = one.span(group)
        return Swap(self.word(begin), self.word(stop - 1) + 1, right)
