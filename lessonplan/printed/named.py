"""Names of charts and of stitch patterns found in a text before it is cut into words."""

from __future__ import annotations

import re
from collections.abc import Iterator

_CHART = re.compile(
    r"(?:(?P<rows>(?:rows?|rounds?|rnds?)\s+(?P<a>\d{1,3})(?:\s*(?:-|to|through|thru|and)\s*(?P<b>\d{1,3}))?\s+(?:of|from|in)\s+)|"
    r"(?<![a-z])(?:work|follow|knit|repeat|rep|begin|work(?:ing)? in|from|in)\s+(?:in |from )?)(?:the\s+|all\s+)*"
    r"(?P<name>(?:(?!the\b|rows?\b|next\b|all\b)[a-z]+\s+){0,2}?chart(?:\s+(?!to\b|for\b|on\b|as\b|is\b|in\b)(?:[a-z]|\d{1,2}(?!\s*(?:times|more|x\b|mal|rows|rnds|rounds))|[ivx]{1,4}))?"
    r"|(?:(?!the\b)[a-z'-]+\s+){1,3}?(?:pattern|patt|stitch)(?=\s*(?:[.,;:]|$|over|to|until|for|\d|once|twice|across|around)))"
    r"(?![a-z])"
)


def charts(text: str) -> Iterator[tuple[str, int, int]]:
    """The charts that a text in lower case names: `name|first row|last row` (0: all), the place and the end.

    A stitch pattern is one only with the rows that are meant; else its name is a pattern.
    """
    for match in _CHART.finditer(text):
        if match["rows"] or "chart" in match["name"]:
            start = match.start("rows") if match["rows"] else match.start("name")
            first = int(match["a"] or 0)
            yield f"{' '.join(match['name'].split())}|{first}|{int(match['b'] or first)}", start, match.end("name")
