"""Phrases about markers, edges, holders, places and whole patterns, rewritten to the grammar's own words.

The tables follow each other in the order of `line.tidied`; see `words` for the form of a rule.
"""

from __future__ import annotations

from lessonplan.printed.tidy import NUMBER
from lessonplan.printed.words import Rule

_N = NUMBER
_ROW = r"(?:rnds|rows)"
_MARKER = r"(?:markers?|mrk|mkr|m(?![\w]))"
_NEEDLE = r"(?:(?:the\s+)?(?:left|right|lh|rh|main|working|dpns?|circ\w*|spare)?\s*-?(?:hand\s+)?needles?)"
_WASTE = (
    r"(?:(?:a|the|another|some)?\s*(?:piece of\s+|length of\s+)?(?:waste yarn|scrap yarn|spare yarn|sts\s*holders?|"
    r"holders?|hold\b|spare (?:needle|cable)|thread|(?:a\s+)?safety pin))"
)
_HOW = r"(?:(?:very\s+)?loosely|in\s+(?:patt|rib)\w*|in\s+(?:k|p|knit|purl)\b|knitwise|purlwise|kwise|pwise|_even)"
_BUILT_IN = (
    r"(?:rev(?:erse)?\s+)?(?:stockinette|stocking)(?:\s+(?:sts|stitch|st\b))?|(?:rev(?:erse)?\s+)?st\.?\s?st\b|"
    r"garter(?:\s+(?:ridges?|sts|stitch|st\b))?|g\s?st\b|(?:seed|moss)(?:\s+(?:sts|stitch|st\b))|"
    r"(?:k|knit)\s?\d+\s*[,/x&]?\s*(?:and\s+)?(?:p|purl)\s?\d+\s*(?:twisted\s+)?rib(?:bing)?|"
    r"\d+\s?[x/]\s?\d+\s*rib(?:bing)?"
)

PATTERN_NAMES: tuple[Rule, ...] = (
    # (hint, expression with the name in group `name`, rest is dropped); the count of rounds may stand before it
    (
        "",
        rf"\b(?:(?:work|cont|continue|knit|"
        rf"k)(?:ing)?\s+)?(?:even\s+)?(?:(?P<n>{_N})\s+(?:more\s+)?(?P<r>rounds?|rnds?|rows?)\s+)?"
        rf"(?:even\s+)?(?:(?:in|of)\s+)?(?:the\s+)?(?P<name>{_BUILT_IN})(?:\s+patt(?:ern)?)?(?![\w])",
        "",
    ),
    (
        "",
        rf"\b(?:work|cont|continue)(?:ing)?\s+(?:even\s+)?(?:(?P<n>{_N})\s+(?:more\s+)?(?P<r>rounds?|"
        r"rnds?|rows?)\s+)?(?:even\s+)?"
        r"(?:in|of)\s+(?:the\s+)?(?!the\b|est|patt|this|rounds?\b|rnds?\b|rows?\b|next|each|same|mc\b|"
        r"cc\b|§|back|front)"
        r"(?P<name>[a-z][\w ,/&'-]*?)(?:\s+patt(?:ern)?)?"
        r"(?=\s+(?:for|to|over|until|till|across|around|on)\b|\s*[.;:]|\s*$)",
        "",
    ),
)

EVEN: tuple[Rule, ...] = (
    (
        "facing",
        r"\bwith\s+(?:the\s+)?(?:rs|ws|right\s+sides?|wrong\s+sides?)\s+(?:of\s+work\s+)?facing(?:\s+\w+)?",
        " ",
    ),
    ("with a", r"\b(?:beg(?:inning)?|starting|start)\s+with\s+an?\s+(?:\w+\s+)?(?:rnds|rows)\s*,?", " "),
    (
        "need",
        r"\b(?:using|with|on|chang(?:e|ing)\s+to|switch(?:ing)?\s+to)\s+(?:the\s+|a\s+)?(?:larger|smaller|main|size|us|[\d.]+\s*mm|"
        r"circular|double)[^.;,]*needles?",
        " ",
    ),
    (
        "yarn",
        r"\b(?:re-?)?(?:join|attach)(?:ing)?\s+(?:the\s+|new\s+)?(?:working\s+)?yarn\b[^.;,]*?(?=\band\b|[.;,]|$)",
        " ",
    ),
    ("they", r"\bwork\s+(?:all\s+)?(?:the\s+)?(?:sts\s+)?as\s+they\s+\w+", "_even"),
    (
        "the k",
        r"\bk(?:nit)?\s+(?:all\s+)?the\s+k(?:nit)?(?:s\b)?(?:\s+sts)?,?\s*(?:and\s+|"
        r"&\s+)?p(?:url)?\s+(?:all\s+)?the\s+"
        r"p(?:url)?(?:s\b)?(?:\s+sts)?(?:\s+as\s+they\s+\w+)?",
        "_even",
    ),
    (
        "patt",
        r"(?:\b(?:work|cont|continue)(?:ing)?\s+(?:sts\s+)?)?(?:\beven\s+)?\b(?:in|"
        r"keep(?:ing)?(?:\s+to)?|maintain(?:ing)?)\s+(?:the\s+)?"
        r"(?:est(?:ablished)?\.?\s+)?patt(?:ern)?\b\.?(?:\s+(?:correct|as\s+(?:est(?:ablished)?|set|before)))?",
        "_even",
    ),
    (
        "as ",
        r"\b(?:work|cont|continue)(?:ing)?\s+(?:in\s+)?(?:rib(?:bing)?\s+|sts\s+)?as\s+(?:est(?:ablished)?|set)\b",
        "_even",
    ),
    ("rib", r"\b(?:work|cont|continue)(?:ing)?\s+(?:even\s+)?in\s+rib(?:bing)?\b", "_even"),
    ("_even", r"(\bp|\bk|\b_?bo|_bo all|bind off|cast off|sts)\s+_even", r"\1"),
    (
        "even",
        rf"(?<!_)\b(?:work|cont|continue|knit|k)(?:ing)?\s+({_N}\s+(?:more\s+)?{_ROW}\s+)?(?:even|straight)\b",
        r"_even \1",
    ),
    ("even", rf"(?<!_)\b(?:work|knit|k)\s+({_N})\s+({_ROW})\s+(?:even|straight)\b", r"_even \1 \2"),
    ("_even", r"_even\s*[,;]?\s*(?:and\s+)?(?=work\s+(?:to|across|around))", " "),
    ("work", rf"\bwork\s+(?={_N}\s|to\s|across|around|over|until)", "_even "),
    ("_even", rf"({_N})\s+({_ROW})\s+_even", r"_even \1 \2"),
)

EDGES: tuple[Rule, ...] = (
    ("(", r"\((?:\d+\s+)?sts\s+(?:rem\w*\s+|left\s+|is\s+)?on\s+(?:the\s+)?(?:right|rh)[^)]*\)", " "),
    (
        "through",
        r"(?:\b(?:cut|break)\b[^.;]*)?\b(?:draw|thread|run|pull|"
        r"pass)\w*\s+(?:[a-z]+\s+){0,4}?through\s+(?:[a-z]+\s+){0,2}?"
        rf"(?:{_N}\s+)?(?:[a-z]+\s+)?(?:sts|loops)\b[^.;]*",
        "_draw",
    ),
    (
        "3",
        r"\b(?:using\s+(?:a\s+)?)?3\s*-?\s*needle\s+(?:bind[ -]?off|bo|cast[ -]?off)(?:\s+(?:all|"
        r"rem(?:aining)?)(?:\s+sts)?)?",
        "_3nbo",
    ),
    ("3n", r"\b3nbo\b", "_3nbo"),
    ("weave", r"\bweave\s+(?:in\s+)?(?:the\s+|all\s+)?ends?\b[^.;]*", " "),
    ("weave", r"\bweave\b[^.;,]*", "_graft"),
    ("picot", rf"\bpicot\s?({_N})", r"_picot \1"),
    ("graft", r"\bgraft\b[^.;,]*", "_graft"),
    ("kitchener", r"\b(?:close\s+\w+\s+with\s+|use\s+|work\s+)?kitchener(?:\s+sts)?", "_graft"),
    ("cast", r"\bcast[\s-]*on\b", "_co"),
    ("co", r"\bco\b\.?", "_coshort"),
    ("off", r"\b(?:bind|cast)(?:ing)?[\s-]*off\b", "_bo"),
    ("bo", r"\bbo\b\.?", "_bo"),
    (
        "_bo",
        r"_bo\s+(?:in\s+(?:patt\w*|rib\w*)\s+|loosely\s+|k?p?wise\s+|purlwise\s+|knitwise\s+)*"
        r"(?:all|rem(?:aining)?)\s*(?:rem(?:aining)?\s*)?(?:sts)?",
        "_bo all",
    ),
    (
        "_bo all",
        r"(_bo all)\s+(?:(?:very\s+)?loosely|in\s+patt\w*|in\s+rib\w*|kwise|pwise|knitwise|purlwise|"
        r"_even|evenly|in k\b|in p\b|"
        r"using\s[^.;,]*|with\s+(?![§])[^.;,]*)",
        r"\1",
    ),
    (
        "_bo",
        rf"(_bo(?:\s+next)?\s+{_N}(?:\s+sts)?)\s+(?:(?:very\s+)?loosely|in\s+patt\w*|_even|kwise|pwise|"
        r"knitwise|purlwise)",
        r"\1",
    ),
    ("_bo", rf"_bo\s*(?:loosely\s+|all\s+)?(?:{_HOW})?\s*(?=[.;,]|$)", "_bo all"),
    ("_co", rf"(_co(?:short)?)\s+({_N})(?:\s+sts)?\s+(?:using\s+|with\s+(?!§))[^.;,]*", r"\1 \2 sts"),
    (
        "_co",
        rf"(_co(?:short)?)\s+({_N})(?:\s+sts)?\s+(?:over\s+(?:the\s+)?(?:gap|held\s+sts)|in\s+place\s+of[^.;,]*)",
        r"\1 \2 sts",
    ),
    ("_co", r"\b(?:using\s+|with\s+)(?!§)[^.;,]*?,?\s*(_co(?:short)?)", r"\1"),
    ("pick", r"\bpick(?:ing)?\s+up\s+(?:the\s+)?wraps?\s+as\s+you\s+come\s+to\s+(?:them|it)", " "),
    (
        "wrap",
        r"\b(?:pick(?:ing)?\s+up\s+(?:the\s+)?wraps?\s+(?:and\s+|&\s+)?)(k|p)(?:nit|url)?\s*(?:it\s+|"
        r"them\s+)?(?:tog(?:ether)?\s+)?"
        r"(?:with\s+)?(?:the\s+|its\s+)?(?:wrapped\s+)?(?:sts)?",
        r"\1wrap ",
    ),
    (
        "wrap",
        r"\b(k|p)(?:nit|url)?\s+(?:the\s+)?wraps?\s*(?:\w+\s+)?(?:tog(?:ether)?\s+)?(?:with|"
        r"and)\s+(?:the\s+|its\s+)?(?:wrapped\s+)?sts",
        r"\1wrap ",
    ),
    (
        "wrap",
        r"\b(k|p)(?:nit|url)?\s+(?:the\s+)?wrapped\s+sts(?:\s+(?:tog(?:ether)?\s+)?with\s+(?:its\s+|the\s+)?wraps?)?",
        r"\1wrap ",
    ),
    ("pick", r"\bpick\s+up\s*(?:(?:and|&)\s*(?:k|p|knit|purl))?\b", "_pu"),
    ("pu", r"\bpu\s?(?:&|and)?\s?k?\b", "_pu"),
    (" up", r"\b(?:k|knit)\s+up\b", "_pu"),
    (
        "_pu",
        rf"(_pu)\s+(?:another\s+|about\s+|approx\w*\s+)?({_N})(?:\s+sts)?(?:\s+(?:along|from|around|"
        r"across|in|at|evenly|over|down|up|under|between)\s[^.;,()*]*)?",
        r"\1 \2 sts",
    ),
)

_CN = r"(?:cn|cable\s+needle)"
HOLDS: tuple[Rule, ...] = (
    (
        "c",
        rf"\b(?:(?:place|sl|slip|put)\s+)?(?:the\s+)?(?:next\s+)?({_N})\s+(?:sts\s+)?"
        rf"(?:on|onto|to|on to)\s+(?:a\s+|the\s+)?{_CN}"
        r"(?:\s*,?\s*(?:and\s+)?(?:(?:hold|leave|keep)\s+)?(?:it\s+|them\s+)?(?:in|at|to)\s+(?:the\s+)?(?:back|front)"
        r"(?:\s+of\s+(?:the\s+)?work)?)?",
        r"_cn \1 ",
    ),
    ("from", rf"\b(k|p|knit|purl)\s?({_N})\s*(?:sts\s+)?from\s+(?:the\s+)?{_CN}", r"_uncn \2 \1 \2"),
    ("from", rf"\bfrom\s+(?:the\s+)?{_CN}\s*,?\s*(k|p|knit|purl)\s?({_N})", r"_uncn \2 \1 \2"),
    (
        "held",
        rf"\b(?:return|place|put|sl|slip|transfer|move|"
        rf"replace)\s+(?:the\s+)?({_N})?\s*(?:the\s+)?(?:held\s+|live\s+)?((?:[a-z]+\s+)??)held\s+"
        rf"(?:{_ROW}\s+)?(?:\w+\s+)?sts(?:\s+(?:back\s+)?(?:on|onto|to|on to)\s+(?:\d+\s+)?{_NEEDLE})?",
        r"_return \1 ",
    ),
    (
        "needle",
        rf"\b(?:return|place|put|sl|slip|transfer|move|"
        rf"replace)\s+(?:the\s+)?({_N})?\s*(?:the\s+)?(?:rem(?:aining)?\s+)?(?:[a-z]+\s+)?sts\s+"
        rf"from\s+{_WASTE}\s*(?:back\s+)?(?:on|onto|to|on to)\s+(?:\d+\s+)?{_NEEDLE}",
        r"_return \1 ",
    ),
    (
        "needle",
        rf"\b(?:return|replace)\s+(?:the\s+)?({_N})?\s*(?:[a-z]+\s+)?sts\s+(?:back\s+)?(?:on|onto|to|"
        rf"on to)\s+(?:\d+\s+)?{_NEEDLE}",
        r"_return \1 ",
    ),
    (
        "held",
        rf"\b(k|p|knit|purl)\s+(?:across\s+)?(?:the\s+)?({_N})\s+held\s+(?:\w+\s+)?sts(?:\s+from\s+{_WASTE})?",
        r"_return \2 \1 \2",
    ),
    ("from", rf"\b(k|p|knit|purl)\s+(?:across\s+)?(?:the\s+)?({_N})\s+sts\s+from\s+{_WASTE}", r"_return \2 \1 \2"),
    (
        "l",
        rf"\b(?:place|sl|slip|put|leave|transfer|move|"
        rf"hold)\s+(?:the\s+)?last\s+({_N})\s+sts(?:\s+(?:worked|just worked))?\s+"
        rf"(?:on|onto|to|on to)\s+{_WASTE}",
        r"_holdlast \1 ",
    ),
    (
        "l",
        rf"\b(?:place|sl|slip|put|leave|transfer|move|hold)\s+(?:the\s+)?(?:next|first|following|"
        rf"foll)?\s*({_N})\s+(?:\(?[a-z]+\)?\s+)?"
        rf"sts(?:\s+unworked)?\s+(?:on|onto|to|on to)\s+{_WASTE}",
        r"_hold \1 ",
    ),
    (
        "l",
        rf"\b(?:place|sl|slip|put|leave|transfer|move)\s+(?:all|rem(?:aining)?|"
        rf"the rem(?:aining)?)\s+(?:[a-z]+\s+)?sts\s+(?:on|onto|to|on to)\s+{_WASTE}",
        "_hold all ",
    ),
    ("hold", rf"(?<!_)\bhold\s+(?:the\s+)?(?:next\s+)?({_N})(?:\s+sts)?", r"_hold \1 "),
    ("_hold", r"(_hold(?:last)?\s+\S+\s)\s*(?:(?:on hold\s+)?for\s+(?:the\s+)?[a-z ]+?)(?=\s*(?:[,.;:]|$|_))", r"\1"),
)

MARKERS: tuple[Rule, ...] = (
    ("bor", r"\bbor\b", "_bor"),
    ("beg", rf"\b(?:beg(?:inning)?|start)\s+of\s+(?:the\s+)?{_ROW}", "_bor"),
    ("as you", rf"\b(?:slm?|sl)(?:ip\w*)?\s*(?:{_MARKER})?\s+as\s+you\s+(?:come|go)[a-z ]*", " "),
    ("sl", r"\bsl\s+(?:all\s+)?(?:the\s+)?markers\b", " "),
    ("pl", rf"\b(?:place|pl|replace)\s+(?:a\s+)?([a-z]+\s+)?{_MARKER}", r"pm #\1#"),
    ("pm", r"\bpm\s+(?:for|at|to\s+mark|to\s+indicate)\s+(?:the\s+)?_bor", "_bom"),
    ("pm", r"\bpm\s*(?:##|# *#)?\s+for\s+(?:the\s+)?_bor", "_bom"),
    ("pm", r"\bpm\s*(?:##)?\s+(?:for|to\s+mark)\s+(?:the\s+)?([a-z]+)\b", r"pm #\1#"),
    ("sl", r"\bsl\s+(?:the\s+)?([a-z]+\s+)?(?:markers?|m(?![\w]))", r"sm #\1#"),
    ("remov", r"\bremov(?:e|ing)\s+(?:all\s+)?(?:the\s+)?(?:other\s+)?markers(?:\s+as\s+you[a-z ]*)?", "_rmall"),
    ("remov", rf"\bremov(?:e|ing)\s+(?:the\s+)?([a-z]+\s+)?{_MARKER}", r"rm #\1#"),
    ("m", r"\b(?:slm|sl m)\b", "sm"),
    ("m", r"\b(pm|sm|rm)\s+\"([^\"]+)\"", r"\1 #\2#"),
    ("m", r"\b(pm|sm|rm)\s+([a-jln-np-rt-z])\b(?=\s*(?:[,.;)\]*]|$))", r"\1 #\2#"),
    (
        "bef",
        rf"\b(to)\s+(?:within\s+)?({_N})\s+(?:sts\s+)?(?:before|bef|from|of)\s+(?:the\s+)?(?:next\s+|"
        rf"first\s+)?{_MARKER}",
        r"\1 \2 before marker",
    ),
    (
        "bef",
        rf"\b(to)\s+(?:within\s+)?({_N})\s+(?:sts\s+)?(?:before|bef)\s+(?:the\s+)?([a-z]+)\s+{_MARKER}",
        r"\1 \2 before marker #\3#",
    ),
    (
        "of",
        rf"\b(to)\s+(?:within\s+)({_N})\s+(?:sts\s+)?of\s+(?:the\s+)?(?:next\s+|first\s+)?{_MARKER}",
        r"\1 \2 before marker",
    ),
    ("to", r"\b(to|until)\s+(?:the\s+)?(?:next\s+|first\s+)?(?:markers?|mrk|mkr|m)\b(?!\s*1)", "to marker"),
    ("to", r"\b(?:to|until)\s+(?:the\s+)?(?!last|end)([a-z]+|\d(?:nd|rd|th))\s+(?:markers?)\b", r"to marker #\1#"),
    ("marker", r"marker\s+([a-z])\b(?=\s*(?:[,.;)\]*]|$))", r"marker #\1#"),
)
