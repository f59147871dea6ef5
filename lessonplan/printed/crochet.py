"""Crochet in the standard US terms: words and phrases rewritten to the grammar's own; see `words`."""

from __future__ import annotations

from lessonplan.printed.tidy import NUMBER
from lessonplan.printed.words import Rule

_SLIP = r"(?:sl\s?st|ss|slip\s+st(?:itch)?)"
_HOOKED = r"(?:hdc\d*|sc\d*|dc\d*|dtr|tr\d*|ch|inc|dec|slst|fpdc|bpdc)(?:tog)?"

FIRST: tuple[Rule, ...] = (
    # joins of a round make no stitch
    (
        "join",
        rf"\bjoin\b(?:\s+(?:rnds?|rounds?))?(?:\s+with\s+(?:an?\s+)?(?:{_SLIP}|sc|hdc|dc))?(?:\s+(?:in(?:to)?|to)\b[^.;,(]*)?",
        " ",
    ),
    ("join", rf"\b{_SLIP}\s+(?:in(?:to)?|to)\b[^.;,(]*\bto\s+join\b", " "),
    ("s", rf"\b{_SLIP}\s+(?:in(?:to)?|to)\s+(?:the\s+)?(?:first|beg\w*|top\s+of)\b[^.;,(]*", " "),
    ("form", r"\bto\s+form\s+(?:a\s+)?(?:ring|circle)\b", " "),
    ("around", r"\baround\s+(?:the\s+)?(?:post\s+of\s+)?(?:the\s+)?(next|each|same)\b", r"in \1"),
    ("crochet", r"\bhalf\s+double\s+crochets?\b", "hdc"),
    ("crochet", r"\bsingle\s+crochets?\b", "sc"),
    ("crochet", r"\bdouble\s+crochets?\b", "dc"),
    ("crochet", r"\b(?:treble|triple)\s+crochets?\b", "tr"),
    ("chain", r"\bchains?\b", "ch"),
    ("tog", r"\b(hdc|sc|dc|tr)\s?(\d)\s+tog(?:ether)?\b", r"\1\2tog"),
    ("dec", r"\b(hdc|sc|dc|tr)\s+dec(?:rease)?\b", r"\g<1>2tog"),
    ("dec", r"\binv(?:isible)?\s*dec(?:rease)?\b", "dec"),
)
"""Before all other rules, on the text in lower case."""

LAST: tuple[Rule, ...] = (
    ("ring", r"\b(?:magic|adjustable)\s+(?:ring|circle|loop)\b\s*[:,]?", " "),
    ("turn", r"_turn", " "),
    ("sk", rf"\b(?:skip|sk|miss)\s+(?:the\s+)?(?:next\s+|first\s+)?({NUMBER})?\s*(?:sts|{_HOOKED}s?\b)?", r"sk \1 "),
    ("", rf"(?:(?<=^)|(?<=[,;.:(\[*]))\s*({NUMBER})\s+({_HOOKED}|sts)s?\b", r" \2 \1 "),
    ("and", rf"\band\s+({NUMBER})\s+({_HOOKED})\b", r" \2 \1 "),
    ("_new", rf"({NUMBER})\s+({_HOOKED})\s+_new", r"\2 \1 _new"),
)
"""After all other rules but those that clear away punctuation."""
