"""Words, abbreviations and turns of phrase of printed patterns, rewritten to the few the grammar knows.

Each rule is (hint, expression, replacement); a rule is tried, and its expression compiled, only if its hint stands in
the text, since most lines need few of them. The order matters: longer phrases come before the words they are made of.
Words that begin with `_` are the grammar's own.
"""

from __future__ import annotations

import re
from functools import cache

from lessonplan.printed.tidy import NUMBER, Tidy

Rule = tuple[str, str, str]

_N = NUMBER
_ST = r"(?:stitch(?:es)?|sts?\b\.?)"
_ROW = r"(?:rnds|rows)"
_MARKER = r"(?:markers?|mkr|m(?![a-z0-9]))"
_TOG = r"(?:tog(?:ether)?\b)"

_DIGITS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"),
)

NUMBERS: tuple[Rule, ...] = (
    ("once", r"\bonce\b", "1 times"),
    ("twice", r"\btwice\b", "2 times"),
    ("thrice", r"\bthrice\b", "3 times"),
    *((word, rf"\b{word}\b", str(number)) for number, word in enumerate(_DIGITS, 1)),
    ("time", rf"\b({_N})\s*times?\b", r"\1 times"),
    ("x", rf"(?<![\w/])x\s?({_N})\b(?!\s*x)", r"\1 times"),
    ("x", rf"\b({_N})\s?x(?![\w ]*rib|\s?\d)", r"\1 times"),
    ("(s)", r"\(s\)", "s"),
)

_REMARK = (
    r"(?:of|rnds|rounds?|rows?|needles?|sizes?|markers?|beg\w*|as|is|are|for|see|note|optional|if|above|"
    r"before|after)"
)
_WORKED = r"(?:k|p|knit|purl|sl|slip|yo|ssk|sc|dc|hdc|ch|work|m1\w*|[kp]\d*tog|rep\w*)"
ROWS_AND_STITCHES: tuple[Rule, ...] = (
    ("(", rf"\((?![^)]*\b{_WORKED}\b)(?=[^)\d]*\b{_REMARK}\b)[^)\d]*\)", " "),
    ("r", r"\b(?:rounds?|rnds?\b\.?|rds\b)", "rnds"),
    ("row", r"\brows?\b", "rows"),
    ("sl", r"\bsl(?:ip)?\s?(?:st(?:itch)?(?:es|s)?)\b(?!\s+(?:on|to\b|from))", "slst"),
    ("st", rf"\b{_ST}", "sts"),
)

REPEATS: tuple[Rule, ...] = (
    ("rep", r"\brep(?:eat(?:s|ing)?|s)?\b\.?", "rep"),
    (
        "rep",
        rf"\brep\s+(?:the\s+)?{_ROW}\s+(?:nos?\.?\s*)?(\d+)\s*(?:-|to|through|thru|and|&)\s*(\d+)",
        r"_again \1~\2",
    ),
    ("rep", rf"\brep\s+(?:the\s+)?{_ROW}\s+(\d+)(?:\s*,\s*\d+)*\s*,?\s*(?:and|&)\s*(\d+)", r"_again \1~\2"),
    ("rep", rf"\brep\s+(?:the\s+)?{_ROW}\s+(\d+)", r"_again \1~\1"),
    (
        "work",
        rf"\bwork\s+(?:the\s+)?{_ROW}\s+(\d+)\s*(?:-|to|through|thru|and|&)\s*(\d+)(?=\s+(?:\d|until|for|a\s+total))",
        r"_again \1~\2",
    ),
    (
        "rep",
        rf"\b(?:rep|work)\s+(?:the\s+)?(?:last|previous|prev|preceding|these|those|above)\s+({_N})\s+{_ROW}",
        r"_again last \1",
    ),
    ("rep", rf"\brep\s+(?:the\s+)?(?:last|previous|prev|preceding|this|that)\s+{_ROW}", "_again last 1"),
    ("rep", rf"\brep\s+(?:the\s+)?(?:these|those|all)(?:\s+{_ROW})?(?![\w ]*\*)", "_again all"),
    (
        "rep",
        rf"\b(?:rep|work)\s+(?:the\s+)?((?:[a-z][a-z-]*\s+){{1,3}}?){_ROW}(?=\s+(?:every|on every|\d|until|_every))",
        r"_again #\1#",
    ),
    ("work", rf"\bwork\s+(?:the\s+)?((?:dec|inc)[a-z]*\s+){_ROW}", r"_again #\1#"),
    (
        "every",
        rf"\b(?:on\s+)?every\s+(?:other|alt(?:ernate)?|2nd|second|rs|ws|right side|wrong side)\s+{_ROW}",
        "_every 2",
    ),
    ("every", rf"\b(?:on\s+)?every\s+(?:following\s+|foll\s+)?(\d+)(?:st|nd|rd|th)\s+{_ROW}", r"_every \1"),
    ("third", rf"\bevery\s+third\s+{_ROW}", "_every 3"),
    ("fourth", rf"\bevery\s+fourth\s+{_ROW}", "_every 4"),
    ("sixth", rf"\bevery\s+sixth\s+{_ROW}", "_every 6"),
    ("more", rf"({_N}) times (?:more|again)|({_N}) (?:more|additional|further) times", r"\1\2 more times"),
    ("total", rf"(?:for\s+)?a?\s*total\s+of\s+({_N}) times|({_N}) times (?:in )?total", r"\1\2 total times"),
    ("total", rf"(?:for\s+)?a\s+total\s+of\s+({_N})\s+{_ROW}", r"_rowtotal \1"),
    (
        "until",
        rf"until\s+({_N})\s+{_ROW}\s+(?:total\s+)?(?:have been|are|were)?\s*(?:worked|complete[d]?|done)",
        r"_rowtotal \1",
    ),
    (
        "_",
        rf"(_(?:again|every)[^.;]*?)\buntil\s+(?:there\s+are\s+|you\s+have\s+|only\s+)*({_N})(?:\s+sts)?"
        r"(?:\s+(?:rem(?:ain(?:s|ing)?)?|left|total|on (?:the )?needles?))*",
        r"\1_until \2 ",
    ),
)

# What follows the knitting words in this table is written for text whose `stitches` are already `sts`.
STITCHES: tuple[Rule, ...] = (
    (
        "yarn",
        r"\b(?:bring|take|move)\s+(?:the\s+)?(?:working\s+)?yarn\s+(?:between needles\s+)?(?:to\s+)?(?:the\s+)?"
        r"(?:front|back)(?:\s+of\s+(?:the\s+)?work)?",
        " ",
    ),
    (
        "yarn",
        r"\b(?:with|holding)?\s*(?:the\s+)?(?:working\s+)?yarn\s+(?:held\s+)?(?:in|at|to)\s+(?:the\s+)?(?:front|back)"
        r"(?:\s+of\s+(?:the\s+)?work)?",
        " ",
    ),
    ("y", r"\b(?:wyif|wyib|wyf|wyb|yif|yib)\b", " "),
    ("loop", r"\b(?:through|in|into)\s+(?:the\s+)?(?:back|rear)\s+(?:loops?|lps?)", "tbl"),
    ("f", r"\bk\s?1?\s?-?\s?f\s?[/&]\s?b\s?[/&]\s?f\b", "kfbf"),
    ("f", r"\bk\s?1?\s?-?\s?f\s?[/&]\s?b\b", "kfb"),
    ("f", r"\bp\s?1?\s?-?\s?f\s?[/&]\s?b\b", "pfb"),
    (
        "in",
        r"\b(?:knit|k)\s*(?:1\s+)?(?:in|into|through)?\s*(?:the\s+)?front\s*(?:and|&|then|,)\s*(?:the\s+)?back"
        r"(?:\s+(?:of|in)\s+(?:the\s+)?(?:next|same|1)\s+sts)?",
        "kfb",
    ),
    (
        "front",
        r"\b(?:knit|k)\s*(?:1\s+)?(?:in\s+|into\s+)?(?:the\s+)?front\s*(?:and|&|then|,)\s*(?:the\s+)?back"
        r"(?:\s+(?:of|in)\s+(?:the\s+)?(?:next|same|1)\s+sts)?",
        "kfb",
    ),
    (
        "front",
        r"\b(?:purl|p)\s*(?:1\s+)?(?:in\s+|into\s+)?(?:the\s+)?front\s*(?:and|&|then|,)\s*(?:the\s+)?back"
        r"(?:\s+(?:of|in)\s+(?:the\s+)?(?:next|same|1)\s+sts)?",
        "pfb",
    ),
    (
        "slip",
        r"\bslip,?\s*(?:slip|,)\s*,?\s*(knit|purl)(?:\s+(?:these|the)?\s*2?\s*(?:slipped\s+)?(?:sts\s+)?"
        rf"{_TOG}(?:\s+tbl)?)?",
        r"ss\1",
    ),
    ("ss", r"\bssknit\b", "ssk"),
    ("ss", r"\bsspurl\b", "ssp"),
    ("over", r"\bpass\s+(?:the\s+)?2\s+(?:slipped\s+|slip\s+)?sts\s+over", "p2sso"),
    (
        "over",
        r"\bpass\s+(?:the\s+)?(?:slipped\s+|slip\s+|sl\s+)?(?:slst|"
        r"sts)\s+over(?:\s+(?:the\s+)?(?:knit|k)(?:ted)?\s*\d?\s*(?:sts)?)?",
        "psso",
    ),
    ("over", r"\bpass\s+(?:the\s+)?next\s+sts\s+over", "pnso"),
    ("over", r"\byarn[\s-]*overs?\b|\by\.o\.?|\by/o\b", "yo"),
    ("forward", r"\byarn[\s-]*forward\b", "yfwd"),
    ("round needle", r"\byarn\s+(?:a?round|over)\s+needle\b", "yrn"),
    ("make", r"\b(?:make|mk)\s*1", "m1"),
    ("m 1", r"\bm 1(?=\s*(?:[,.;)\]*]|$|[lrp]\b))", "m1"),
    ("m1", r"\bm\s?1\s*-?\s*(?:purlwise|purl\b)\s*-?\s*(?:left|l\b)", "m1pl"),
    ("m1", r"\bm\s?1\s*-?\s*(?:purlwise|purl\b)\s*-?\s*(?:right|r\b)", "m1pr"),
    ("m1", r"\bm\s?1\s*-?\s*(?:left\b|l\b)(?:[ -]leaning)?", "m1l"),
    ("m1", r"\bm\s?1\s*-?\s*(?:right\b|r\b)(?:[ -]leaning)?", "m1r"),
    ("m1", r"\bm\s?1\s*-?\s*(?:purlwise\b|purl\b|p\b(?!\s*\d))", "m1p"),
    ("m1", r"\bm1\s+sts\b(?!\s*before)", "m1"),
    ("inc", r"\binc(?:rease)?\s+1(?:\s+sts)?\b(?!(?:\s+sts)?\s+(?:at|each|both|every|_))", "inc"),
    ("inc", r"\binc(?:rease)?\s+in(?:to)?\s+(?:the\s+)?next\s+(?:\w+|sts)", "inc"),
    ("inc", rf"\binc(?:rease)?\s+in(?:to)?\s+(?:each of\s+)?(?:the\s+)?next\s+({_N})\s+\w+", r"inc \1"),
    ("dec", r"\bdec(?:rease)?\s+1(?:\s+sts)?\b(?!(?:\s+sts)?\s+(?:at|each|both|every|_))", "dec"),
    ("tog", rf"\b(?:knit|k)\s?\.?(\d+)\s*(?:sts\s*)?{_TOG}\s*-?\s*tbl", r"k\1togtbl"),
    ("tog", rf"\b(?:purl|p)\s?\.?(\d+)\s*(?:sts\s*)?{_TOG}\s*-?\s*tbl", r"p\1togtbl"),
    ("tog", rf"\b(?:knit|k)\s?\.?(?:the\s+)?(?:next\s+)?(\d+)\s*(?:sts\s*)?-?{_TOG}", r"k\1tog"),
    ("tog", rf"\b(?:purl|p)\s?\.?(?:the\s+)?(?:next\s+)?(\d+)\s*(?:sts\s*)?-?{_TOG}", r"p\1tog"),
    ("knit", r"\bknit(?:s|ting)?\b", "k"),
    ("purl", r"\bpurl(?:s|ing)?\b", "p"),
    ("slip", r"\bslip(?:s|ped|ping)?\b", "sl"),
    ("kw", r"\bkw\b", "kwise"),
    ("pw", r"\bpw\b", "pwise"),
    ("bar", r"\bbar\s+inc(?:rease)?\b", "kfb"),
    ("yo", r"\bk1-yo-k1\b", "kyok"),
    ("into", r"\bk1\s?,?\s?p1\s+into\s+(?:the\s+)?(?:same\s+|next\s+)?sts", "kpf"),
    ("y/o", r"\by/o\b", "yo"),
    ("y.o", r"\by\.\s?o\b\.?", "yo"),
    ("double", r"\bdouble\s+sts\b", "ds"),
    ("li-", r"\bli-([lr])\b", r"li\1"),
    ("m1p-", r"\bm1p-([lr])\b", r"m1p\1"),
    ("wise", r"\b(?:knitwise|knitways|k-?wise|kw)\b", "kwise"),
    ("wise", r"\b(?:purlwise|purlways|p-?wise|pw)\b", "pwise"),
    ("as if to", r"\bas\s+if\s+to\s+k\b", "kwise"),
    ("as if to", r"\bas\s+if\s+to\s+p\b", "pwise"),
    ("wise", rf"\b(?:sl|s)\s?({_N})?\s*(?:sts\s*)?(?:separately\s+|together\s+|tog\s+)?kwise", r"slk \1"),
    ("wise", rf"\b(?:sl|s)\s?({_N})?\s*(?:sts\s*)?(?:separately\s+|together\s+|tog\s+)?pwise", r"slp \1"),
    ("tog", rf"\bsl\s?({_N})\s*(?:sts\s*)?tog\s*(?:kwise)?", r"slk \1"),
    ("wise", r"\b(?:kwise|pwise)\b", " "),
    (
        "below",
        rf"\b([kp])\s?({_N})?\s*(?:sts\s*)?(?:in(?:to)?\s+)?(?:the\s+)?(?:sts?\s+)?(?:in\s+)?(?:the"
        r"\s+)?(?:row\s+|rnds\s+|rows\s+)?below",
        r"\g<1>1b \2",
    ),
    ("tbl", rf"\b([kp])\s?({_N})?\s*(?:sts\s*)?\(?\s?-?tbl\s?\)?", r"\1tbl \2"),
    ("b", r"\b([kp])\s?1\s?-\s?b\b", r"\g<1>1b 1"),
    ("k", r"\b([kp])\.\s?(?=\d)", r"\1 "),
    ("k", r"\b([kp])\s?\.(?=\d)", r"\1 "),
)


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern)


def apply(table: tuple[Rule, ...], tidy: Tidy) -> Tidy:
    """The rules of one table, in their order."""
    for hint, pattern, replacement in table:
        if hint in tidy.text:
            tidy = tidy.sub(_compiled(pattern), replacement)
    return tidy
