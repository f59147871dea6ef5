"""Phrases about places in a row, turns, yarns and whole rows, and the words that say nothing.

The second half of the rules of `line.tidied`, after `phrases`; see `words` for their form.
"""

from __future__ import annotations

from lessonplan.printed.tidy import NUMBER
from lessonplan.printed.words import Rule

_N = NUMBER
_ROW = r"(?:rnds|rows)"
_WHERE = (
    r"(?:heel|instep|sole|thumb|front|back|sleeve|body|gusset|toe|palm|foot|underarm|live|unworked|"
    r"edge|centre|center|rem\w*|"
    r"cast[ -]on|picked[ -]up|knit|purl|neck|shoulder|hand|finger|cable)"
)

PLACES: tuple[Rule, ...] = (
    ("end", rf"(?:\bup\s+)?\bto\s+(?:the\s+)?(?:very\s+)?end(?:\s+of\s+(?:the\s+)?(?:{_ROW}|needle|sts))?", "to end"),
    (
        "end",
        rf"\bto\s+(?:within\s+)?({_N})\s+sts\s+(?:before|from|of)\s+(?:the\s+)?end(?:\s+of\s+(?:the\s+)?{_ROW})?",
        r"to last \1 sts",
    ),
    ("bor", r"\bto\s+(?:the\s+)?_bor", "to end"),
    ("bor", rf"\bto\s+({_N})\s+(?:sts\s+)?before\s+(?:the\s+)?_bor", r"to last \1 sts"),
    (
        "until",
        rf"(?<!_)\buntil\s+(?:there\s+(?:is|are)\s+)?({_N})(?:\s+sts)?\s*(?:rem(?:ain(?:s|ing)?)?\b|left\b)",
        r"to last \1 sts",
    ),
    ("until", r"(?<!_)\buntil\s+(?:the\s+)?end", "to end"),
    ("until", rf"(?<!_)\buntil\s+({_N})(?:\s+sts)?\s+before\s+marker", r"to \1 before marker"),
    ("last", r"\bto\s+(?:the\s+)?last\s+sts", "to last 1 sts"),
    ("last", rf"\bto\s+(?:the\s+)?last\s+({_N})(?:\s+sts)?\b", r"to last \1 sts"),
    ("wrap", r"\bto\s+(?:the\s+)?(?:last\s+|next\s+)?(?:wrapped\s+sts|wrap)", "to 0 before _wrap"),
    (
        "wrap",
        rf"\bto\s+({_N})\s+sts\s+before\s+(?:the\s+)?(?:last\s+|next\s+|previous\s+)?(?:wrapped\s+sts|wrap)",
        r"to \1 before _wrap",
    ),
    ("gap", r"\bto\s+(?:the\s+)?gap", "to 0 before _gap"),
    ("gap", rf"\bto\s+({_N})\s+sts\s+before\s+(?:the\s+)?gap", r"to \1 before _gap"),
    (
        "turn",
        rf"\bto\s+({_N})\s+sts\s+before\s+(?:the\s+)?(?:last\s+|previous\s+)?turn(?:ing point)?",
        r"to \1 before _gap",
    ),
    ("d", r"\bto\s+(?:the\s+)?(?:ds|double sts)\b", "to 0 before _ds"),
    ("d", rf"\bto\s+({_N})\s+sts\s+before\s+(?:the\s+)?(?:ds|double sts)\b", r"to \1 before _ds"),
    (
        "o",
        rf"\b(?:over|across)\s+(?:the\s+)?(?:next\s+|foll(?:owing)?\s+)?({_N})\s+(?:{_WHERE}\s+)?sts",
        r"_over \1 sts",
    ),
    ("sts", rf"({_N})\s+{_WHERE}\s+sts", r"\1 sts"),
    ("to", r"\bto\s+(?:close|avoid)\s+(?:the\s+|a\s+)?(?:gap|hole)s?", " "),
    ("w", r"\b(?:wrap|w)\s*(?:&|and|\+|/)\s*(?:t|turn)\b(?:\s+(?:the\s+)?(?:work|next\s+sts))?", "_wt"),
    ("wrap", r"\bwrap\s+(?:the\s+)?(?:next\s+)?sts\s*(?:,|and|&)?\s*(?:and\s+)?turn(?:\s+work)?", "_wt"),
    ("wt", r"\bwt\b", "_wt"),
    ("turn", r"(?<!_)\bturn(?:\s+(?:the\s+)?work)?\b(?!\s*ing)", "_turn"),
    ("join", r"\b(?:do\s+not|don't|without)\s+(?:join|turn)\w*(?:\s+(?:work|rnds|in\s+(?:the\s+)?rnds))?", " "),
    ("turn", r"\bdo\s+not\s+_turn", " "),
    (
        "join",
        r"\bjoin(?:ing)?\s*(?:to\s+(?:work|knit|k)\s+|for\s+(?:working|knitting|k|work)\s+|"
        r"to\s+begin\s+(?:working|k|knitting)\s+)?(?:in|into)\s+"
        r"(?:the\s+|a\s+)?rnds",
        "_join",
    ),
    ("join", r"\bjoin\b(?=\s*(?:[,.;:]|$|being|taking|without|and|_bom|pm))", "_join"),
    ("twist", r"\b(?:being|taking|be|take)\s+(?:very\s+)?care(?:ful)?\s+(?:that\s+|not\s+to\s+)[^.;,_]*", " "),
    ("distrib", r"\b(?:distribute|divide|arrange)\b[^.;]*", " "),
    ("break", r"\bbreak\s+(?:the\s+|off\s+)?(?:yarn|working yarn|§\d+§)[^.;]*", " "),
    ("cut", r"\b(?:cut|break)\s+(?:the\s+)?(?:yarn|working yarn|§\d+§|[a-z]\b)[^.;]*", " "),
    ("fasten", r"\bfasten\s+off\b[^.;]*", " "),
    (
        "§",
        r"\b(?:with|using|change\s+to|changing\s+to|switch\s+to|join(?:ing)?(?:\s+in)?|attach|"
        r"in)\s+(?:yarn\s+|colou?r\s+)?(§\d+§)(?:\s+only)?(?:\s+yarn)?",
        r"_with \1",
    ),
    ("§", r"(?:^|(?<=[.;,]))\s*(§\d+§)\s*[:]", r"_with \1"),
    ("§", r"(\b[kp]\s?\d*(?:\s*sts)?)\s+_with\s+(§\d+§)", r"\1 \2"),
    ("measure", r"\b(?:until|till)\s+[^.;]*\bmeasures?\b[^.;]*(?:\.\d[^.;]*)?", "_measure"),
    (
        "",
        r"\b(?:until|till|for)\s+(?:(?:piece|work|it|hand|foot|cuff|leg|body|sleeve|"
        r"hat)\s+(?:is\s+)?)?(?:approx\w*\s+|about\s+)?[\d./|]+\s*"
        r"(?:\"|in\b|inch(?:es)?\b|cm\b|mm\b)[^.;]*",
        "_measure",
    ),
    ("o", r"\b(?:across|around)\b(?:\s+(?:the\s+)?(?:rnds|rows|(?:all\s+)?sts))?", "to end"),
    ("all", r"\b(?:all|every|each|rem(?:aining)?)\s+sts\b", "to end"),
    ("every", rf"(?<!_)\bevery\s+({_ROW})", r"_every 1 \1"),
    ("all", rf"(?<!_)\ball\s+(?:other\s+)?({_ROW})", r"_every 1 \1"),
)

SHAPINGS: tuple[Rule, ...] = (
    ("end", r"\bat\s+(?:the\s+)?(?:beg(?:inning)?|start)\s+and\s+(?:at\s+)?(?:the\s+)?end\s+of", "_ends"),
    ("end", r"\bat\s+(?:the\s+)?(?:beg(?:inning)?|start|ends?)\s+of\s+(?:the\s+|this\s+)?(?:rnds|rows)", " "),
    ("_bor", r"\bat\s+(?:the\s+)?_bor", " "),
    ("end", r"\b(?:at\s+)?(?:each|both)\s+(?:ends?|sides?|edges?)(?:\s+of)?", "_ends"),
    ("beg", r"\bat\s+(?:the\s+)?(?:beg(?:inning)?|start)\s+of", "_atbeg"),
    ("end", r"\bat\s+(?:the\s+)?ends?\s+of", "_atend"),
    ("next", rf"\b(?:the\s+)?(?:next|following|foll)\s+({_N})\s+({_ROW})", r"_next \1"),
    ("next", rf"\b(?:the\s+)?(?:next|following|foll)\s+({_ROW})", "_next 1"),
    ("_", r"\b(dec|inc)(?:rease)?\s+(?=\d[\d|]*(?:\s+sts)?\s+_(?:ends|at))", r"_\1 "),
    ("_", r"(_ends)\s*(?:in\s+)?(_every|_next)", r"\1 \2"),
)

INTO: tuple[Rule, ...] = (
    ("ring", r"\b(?:in(?:to)?|to)\s+(?:the\s+|an?\s+)?(?:magic\s+|adjustable\s+)?(?:ring|circle|loop)\b", "_new"),
    (
        "hook",
        r"\b(?:starting\s+)?in(?:to)?\s+(?:the\s+)?(\d+)(?:nd|rd|th)\s+ch(?:ain)?\s+from\s+(?:the\s+)?hook",
        r"_hook \1",
    ),
    ("second", r"\bin(?:to)?\s+(?:the\s+)?second\s+ch(?:ain)?\s+from\s+(?:the\s+)?hook", "_hook 2"),
    ("third", r"\bin(?:to)?\s+(?:the\s+)?third\s+ch(?:ain)?\s+from\s+(?:the\s+)?hook", "_hook 3"),
    (
        "each",
        rf"\bin(?:to)?\s+each\s+of\s+(?:the\s+)?(?:next|first|following|foll|last)\s+({_N})\s+(?:sts|[a-z]+)",
        r"_in \1",
    ),
    (
        "n",
        rf"\b(?:in(?:to)?|over)\s+(?:the\s+)?(?:next|following|foll|first|last)\s+({_N})(?:\s+(?:sts|[a-z]+)\b|(?=\s*[,.;)\]*]|$))",
        r"_in \1",
    ),
    ("each", r"\bin(?:to)?\s+each\s+(?:sts|rem\w*\s+sts|[a-z]{2,4})\b(?:\s+and\s+in\s+each[a-z ]*)?(?!\s*of)", "_each"),
    ("to end", r"\bin\s+to\s+end", "_each to end"),
    ("same", r"\bin(?:to)?\s+(?:the\s+)?same\s+(?:sts|[a-z]{2,4})\b", "_same"),
    ("n", r"\bin(?:to)?\s+(?:the\s+)?(?:next|following|foll|first|last|1)\s+(?:sts|[a-z]{2,4})\b", "_in 1"),
    ("n", r"\bin(?:to)?\s+1\b(?!\s*(?:rnds|rows))(?:\s+sts)?", "_in 1"),
    ("of", r"\bin(?:to)?\s+(?:the\s+)?top\s+of\s+(?:the\s+)?(?:turning\s+)?(?:ch|tch|t-ch|chain)(?:[ -]\d)?", "_in 1"),
    ("_each", r"_each\s+(?!to\b)", "_each to end "),
    ("_each", r"_each$", "_each to end"),
)

ROW_COUNTS: tuple[Rule, ...] = (
    (
        "r",
        rf"(?<!_next )(?<!_rowtotal )(?<!_every )(?<!last )(?<![\d|])(?:\bfor\s+)?(?:\bthe\s+next\s+)?"
        rf"({_N})\s+(more\s+|additional\s+)?({_ROW})\b",
        r" _for \1 \2\3",
    ),
    ("additional", r"\b(?:additional|another|further)\b", "more"),
)

ASTERISKS: tuple[Rule, ...] = (
    ("†", r"†", "**"),
    ("rep", r"\brep\s+(?:from\s+|between\s+)?\*\*(?:\s*(?:to|and)\s*\*\*)?", "_rep2 "),
    (
        "rep",
        r"\brep\s+(?:instructions\s+)?(?:from\s+|between\s+)?(?:\*|asterisks?)(?:\s*(?:to|"
        r"and)\s*(?:the\s+)?(?:\*|asterisk))?s?",
        "_rep ",
    ),
    ("rep", r"\brep\s+from\s+(?=to\b)", "_rep "),
    (
        "last",
        r"_rep(2?)\s*(?:to end)?[\s,;.]*\bend(?:ing|s)?\s+(?:the\s+)?last\s+rep(?:\s+(?:with|in|at|after))?",
        r"_rep\1 _lastrep ",
    ),
    ("_rep", r"_rep(2?)\s*(?:to end)?[\s,;.]*\bend(?:ing|s)?\b(?:\s+(?:with|in))?", r"_rep\1 _rest "),
    ("rep", r"(?<!_)\brep\b", "_repall"),
)

NOISE: tuple[Rule, ...] = (
    (
        "(",
        r"\((?:rs|ws|right side|wrong side|counts?\s+as[^)]*|does\s+not\s+count[^)]*|"
        r"not\s+counted[^)]*|see[^)]*|all sizes|optional|"
        r"\s*)\)",
        " ",
    ),
    (
        "",
        r"\b(?:the|then|also|now|as\s+follows|loosely|evenly|firmly|carefully|tightly|neatly|work|"
        r"working|cont(?:inue)?|just|only|"
        r"from here|in\s+rnds|of|needle|needles|here|again|plus)\b(?!#)",
        " ",
    ),
    ("all", r"(?<!_bo )(?<!_hold )(?<!_again )\ball\b", " "),
    ("", r"\bnext\b", "_nx"),
    ("", r"[,;.:\"]|/(?!\d)|(?<!\d)/|&|-|\band\b|=", " "),
    ("[", r"\[", "("),
    ("]", r"\]", ")"),
    ("more", r"(_for\s+\S+)\s+more\b", r"\1"),
    ("r", r"((?:_for|_next|_every)\s+[\d|]+)\s+(?:rnds|rows)\b", r"\1"),
    ("sts", r"(?<=[\d|])\s*sts\b|(?<=more)\s+sts\b", " "),
    ("sts", r"\bsts\b", "1"),
)
