"""What is found in a text before it is cut into words: names of charts and stitch patterns, lengths."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonplan.printed.words.turning import asides

_CHART = re.compile(
    r"(?:(?P<rows>(?:rows?|rounds?|rnds?)\s+(?P<a>\d{1,3})(?:\s*(?:-|to|through|thru"
    r"|and)\s*(?P<b>\d{1,3}))?\s+(?:of|from|in)\s+|"
    r"(?P<c>\d{1,3})(?:st|nd|rd|th)\s*(?:-|to)\s*(?P<d>\d{1,3})(?:st|nd|rd|th)\s+(?:rows?|rounds?|rnds?)\s+"
    r"(?:of|from|in)\s+)|"
    r"(?<![a-z])(?:work|follow(?:ing)?|foll\.?|knit|repeat|rep|begin|work(?:ing)? in|from|in|of|per|using"
    r"|(?:according|referring) to|as (?:shown|given|set out|indicated) (?:on|in|by))\s+(?:in |from )?)"
    r"(?:the\s+|all\s+)*"
    r"(?P<name>(?:(?!the\b|rows?\b|next\b|all\b)[a-z]+\s+){0,2}?chart(?:\s+(?!to\b|for\b|on\b|as\b|is\b"
    r"|in\b)(?:[a-z]|\d{1,2}(?!\s*(?:times|more|x\b|mal|rows|rnds|rounds))|[ivx]{1,4}))?"
    r"|(?:(?!the\b)[a-z'-]+\s+){1,3}?(?:pattern|patt|stitch)(?=\s*(?:[.,;:]|$|over|to|until|for|\d|once|twice"
    r"|across|around))"
    r"|(?(rows)(?:(?!the\b)[a-z'-]+\s+){0,2}?(?:lace|rib|ribbing|cables?|lattice|chevrons?|diamonds?|eyelets?|mesh|texture"
    r"|ripple|waffle|basketweave|mosaic|leaf|leaves|border|edging)"
    r"(?=\s*(?:[.,;:]|$|over|to|until|for|\d|once|twice|[a-z]+ times))"
    r"|(?!)))"
    r"(?![a-z])"
)


def charts(text: str) -> Iterator[tuple[str, int, int]]:
    """The charts that a text in lower case names: `name|first row|last row` (0: all), the place and the end.

    A stitch pattern is one only with the rows that are meant; else its name is a pattern.
    """
    for match in _CHART.finditer(text):
        if match["rows"] or "chart" in match["name"]:
            start = match.start("rows") if match["rows"] else match.start("name")
            first = int(match["a"] or match["c"] or 0)
            last = int(match["b"] or match["d"] or first)
            yield f"{' '.join(match['name'].split())}|{first}|{last}", start, match.end("name")


_MEASURE = r"\d+(?:[.,]\d+)?(?:\s*(?:-\s*)?\d+/\d+)?[¼½¾]?"
_MEASURES = (
    rf"(?:\({_MEASURE}\)\s*)?{_MEASURE}(?:\s*\({_MEASURE}\)\s*{_MEASURE}|\s*[/-]\s*{_MEASURE})*(?:\s*\({_MEASURE}\))?"
)
"""Lengths of all sizes side by side: `44 (45) 46`, `50 - 52 - 54`, `12/13/14`."""
LENGTH = re.compile(
    rf"{_MEASURES}\s*(?:(?:\(|\[)[^\d)\]]?[\d\s.,/:;¼½¾-]*(?:\)|\]))?\s*-?\s*"
    r"(?:cms?\b|mm\b|inch(?:es)?\b|ins\b|\"|in\.?(?=\s*(?:[/,;)\].]|$|from|and|long|or|less|short|bef|wide|below|above"
    r"|(?<=[¼½¾] in)(?= )|(?<=[¼½¾]in)(?= )|even\b|straight|more\b|of (?!the |these |next |last )|\())"
    r"|yards?\b|yds?\b|°"
    r"|degrees?\b)"
)
"""A length or an angle, with those of the other sizes."""
_BUILT_IN = (
    r"(?:rev(?:erse)?\s+)?(?:stockinette|stocking)(?:[\s-](?:sts|stitch|st\b))?|(?:rev(?:erse)?\s+)?st\.?[\s-]{0,2}st\b|"
    r"garter(?:[\s-](?:ridges?|sts|stitch|st\b))?|g\.?[\s-]{0,2}st\b|(?:seed|moss)(?:[\s-]+(?:sts|stitch|st\b))"
    r"|(?:twisted|single|double)\s+rib(?:bing)?|"
    r"[(\[*]?(?:k|knit)\.?[\s-]?\d+\s*[,/x&]?\s*(?:and\s+)?(?:p|purl)\.?[\s-]?\d+[)\]*]?\s*(?:twisted\s+)?rib(?:bing)?|"
    r"rib(?:bing)?\s+(?:of\s+|=\s*)?\(?(?:k|knit)\.?[\s-]?\d+\s*[,/x&]?\s*(?:p|purl)\.?[\s-]?\d+\)?|"
    r"rib(?:bing)?\s+\d+\s+knit\s*[,/x&]?\s*\d+\s+purl|"
    r"(?<=in )(?:k|knit)\.?[\s-]?\d+\s*[,/x&]?\s*(?:p|purl)\.?[\s-]?\d+(?=\s+(?:for|until|to)\b|\s*(?:\.(?!\d)|;|$))|"
    r"(?<=\d )ridges?|"
    r"\d+\s?[x/]\s?\d+\s*rib(?:bing)?|rib(?:bing)?\s+\d+\s?[x/]\s?\d+"
)
PATTERN = re.compile(
    rf"(?<!\w)(?:(?:in|of)\s+)?(?:the\s+)?\(?(?P<built>{_BUILT_IN})(?:\s+(?:patt\w*|st(?:itch)?|sts))?(?![\w])"
    r"|\b(?:work(?:ing)?|knit(?=\s+\d+\s+r)|cont(?:inue"
    r"|inuing)?)\s+(?:even\s+)?(?:\d+\s+(?:more\s+)?(?:rounds?|rnds?|rows?|cms?|in|ins|inch(?:es)?)\s+)?"
    r"(?:in|of)\s+(?:the\s+)?"
    r"(?!the\b|est|patt|pat\b|this|that|these|rounds?\b|rnds?\b|rows?\b|next|each|same|mc\b|cc|back|front|rib|one\b|"
    r"manner|above|continuous|spiral|st\b|g\b|\d|as\b|a\b|all\b|[kp]\.?\s?\d)"
    r"(?P<own>[a-z][\w /&'-]*?)(?:\s+patt(?:ern)?)?"
    r"(?=\s+(?:for|to|over|until|till|across|around|on|as"
    r"|and (?:cast|bind|then|inc|dec|leave|break))\b|\s*[.;:,(]|\s*$)"
)
"""A stitch pattern that is worked `in`, known to every knitter or called by a name of its own."""


_RETURN = re.compile(
    r"(?:ch 1|(?:(?:yo|yarn over)(?: and|,)? )?(?:draw|pull)(?: yarn)? through (?:1|one|first) l(?:oo)?ps?)?"
    r"[,;.]?\s*[*(\[]*\s*(?:yo|yarn over)(?: and|,)? (?:draw|pull)(?: yarn)? through (?:next )?"
    r"(?:2|two) l(?:oo)?ps[^.:]*"
)
"""A return pass of Tunisian crochet, after which there are as many stitches as before it (common practice)."""
HOOKED_PATTERN = re.compile(r"patt|stitch|\b(?:sc|s c|hdc|dc|tr)$")
"""What tells a stitch pattern of crochet from `working in remaining loops`."""
ALIKE = re.compile(
    r"(?:(?:complete|finish|work|knit)\b(?:(?!\buntil\b|\bexcept\b|\bbut\b|\d)[^.:;(])*?)?"
    r"\b(?:to (?:match|correspond (?:with|to)|mirror)|as(?: given| set| worked)?(?: for)?|same as|like)\s+(?:that"
    r" of\s+)?(?:the\s+)?"
    r"(?:first|1st|right|left|other|opposite)(?:\s+(?:front|neck|shoulder|half|piece))?\s+(?:side|half"
    r"|shoulder|front|edge)"
    r"(?:(?!\buntil\b|\bexcept\b|\bbut\b|\d)[^.:;(])*(?=[.;]|$)"
    r"|(?:complete|finish|work|knit) (?:the )?(?:other|second|2nd|opposite) (?:side|half|shoulder)\b[^.;:\d]*?"
    r"\b(?:to (?:match|correspond)|the same|in the same (?:way|manner)|likewise|reversing)\b[^.;:\d]*(?=[.;]|$)"
)
"""The second of two sides, worked like the first."""
_HOOK = re.compile(
    r"(?:size |no\.? ?)?\b\d{1,2}\.\d{1,2} ?(?:mm\b)?(?: hook)?|\bsize [a-z]\b(?:[-/ ]?\d{1,2}\b)?(?: hook)?|"
    r"\b[a-z][-/]\d{1,2}(?: ?\(\d[\d.]* ?mm\))? hook"
)
"""The size of a hook, whose numbers count nothing."""
_QUOTED = re.compile(
    r"(?<!\d)\"([^\"]*[a-z][^\"]*)\"(?=,? ?(?:x ?\d|\* ?\d|\d+ ?(?:x|times)\b|twice|rep|around|across|"
    r"to (?:the )?end|all))"
)
"""Quotation marks in place of brackets: `"2 sc, inc" x 6`."""


_DOUBLED = re.compile(r"\b(?:double|doubling)(?= (?:every|each|all) )")
"""`Double every 2nd sc`: two into one."""


def hooked(lower: str) -> Iterator[tuple[str, str, int, int]]:
    """What is found in a line of crochet alone, as kind of token, value and span.

    Return passes, hooks, asides about chains, quotation marks in place of brackets.
    """
    for match in _RETURN.finditer(lower):
        closed = "through all" in match[0] or match[0].count("(") < match[0].count(")")  # one stitch in long hand
        if not closed and ("rep" in match[0] or "across" in match[0] or "until" in match[0]):
            yield "even", "", match.start(), match.end()
    for match in _HOOK.finditer(lower):
        yield "size", match[0], match.start(), match.end()
    for match in _DOUBLED.finditer(lower):
        yield "stitch", "inc", match.start(), match.end()
    for _, start, end in asides(lower):
        yield "hooknote", lower[start:end], start, end
    for match in _QUOTED.finditer(lower):
        yield "open", "(", match.start(), match.start() + 1
        yield "close", ")", match.end(1), match.end(1) + 1


_FROM_SIGN = re.compile(
    r"\b(?:rep(?:eat)?s?\.? )(?:[a-z-]+ )*?(?:from|between) (?:the )?([^\w\s.,;:()\[\]'\"*-])", re.IGNORECASE
)
"""A sign that print repeats from as others do from an asterisk: `repeat from ★`."""


_SEVERAL_SIGNS = re.compile(r"(?<=between \*)['’]?s\b|(?<=between the \*)['’]?s\b", re.IGNORECASE)


def starred(text: str) -> str:
    """A text with the sign that it repeats from, if that is no asterisk, made one; `between *s` without its s."""
    sign = _FROM_SIGN.search(text) if "*" not in text else None
    text = text.replace(sign[1], "*") if sign is not None else text
    return _SEVERAL_SIGNS.sub(lambda match: " " * len(match[0]), text)
