"""Turns of phrase by which the lines of a pattern are told from its prose, and pieces from what is said of them."""

from __future__ import annotations

import re

OTHER_NUMBERS = re.compile(
    r"\d+(?:[.,]\d+)?\s*(?:[-/]\s*\d+\s*)?(?:cm|mm|(?-i:m)|g|in|inch(?:es)?|yds?|yards?|oz|\"|hours?|minutes?)(?![^\W_])",
    re.IGNORECASE,
)
WEIGHTY = re.compile(
    r"\d|\b(?:sts?|stitch(?:es)?|rows?|rnds?|rounds?|markers?|as|maschen?|reihen?|runden?|rd)\b", re.IGNORECASE
)
SURELY = re.compile(
    r"\d|\bsts?\b|\bstitch|\bmaschen?\b|\bas (?:for|given|row|rnd|round)|^rep|\bchart\b|\bpatt", re.IGNORECASE
)
"""What a command that cannot be read speaks of, so that it is a line to be read and not prose."""
LAST = re.compile(r"^(?:sl st|slip st|slip stitch|ss|km)\b.{0,50}\b(?:fasten|break|cut|off|tail)\b", re.IGNORECASE)
"""The end of a piece of crochet, which works no round."""
MULTIPLE = re.compile(r"\b(?:a |any )?multiples? of \d", re.IGNORECASE)
"""Over how many stitches a pattern can be worked."""
SHORTHAND = re.compile(
    r"(?<![^\W_])(?:[kp]\s?\d+|k?\d?[kp]?\d?tog|ssk|ssp|skp|yo|m1[lr]?|kfb|psso|w&t|\d+\s?(?:sc|dc|hdc|tr|ch|inc|dec)|ch\s?\d+|"
    r"[CB]O\s?\d+|(?:cast|bind)(?:ing)?\s(?:on|off)\s\d+|co\s?\d+)(?![^\W\d_])",
    re.IGNORECASE,
)
VERB = re.compile(r"\b(?:knit|purl|cast on|bind off|repeat|work|decrease|increase|dec|inc|pick up)\b", re.IGNORECASE)
AS = re.compile(
    r"^(?P<lead>[^.,;:]{0,60}?)\s*\b(?:exactly |genau )?"
    r"(?:(?:the )?same(?: way| manner)? as|as given|as|like|to match|wie)\s+(?:for\s+|given\s+)*"
    r"(?:the\s+|beim\s+|bei\s+der\s+)?(?P<name>[^.,;:(]{3,40}?)(?:\s+(?:stricken|arbeiten|häkeln))?"
    r"(?P<rest>(?:[.,;(]|\s(?:until|up to|as far as|to|but|except|for|working|bis|from (?:row|rnd|round) 1)\b).*)?$",
    re.IGNORECASE,
)
FROM_FIRST = re.compile(r"\bfrom (?:row|rnd|round) 1\b", re.IGNORECASE)
"""What is worked alike, but on stitches of its own: "Work as for First Square from Row 1"."""
ALL_OF_IT = re.compile(
    r"^(?:(?:work|make|knit|crochet|complete|the|a|an|both|second|other|left|right|front|back|sleeves?|mitts?|mittens?|"
    r"socks?|mitten|ears?|legs?|arms?|piece|zweite[rns]?|linke[rns]?|rechte[rns]?|ärmel|vorderteil)\b\s*)*$",
    re.IGNORECASE,
)
"""What may stand before "as for the back" where the whole of it is meant."""
SAME_WAY = re.compile(
    r"\bin (?:the |exactly the )?same (?:way|manner)\b(?!\s*(?:until|to|for|\d))"
    r"|^\W*(?:complete|finish)\b[^.]*\bto (?:match|correspond)\b",
    re.IGNORECASE,
)
HARMLESS = re.compile(
    r"^[\s.,;(]*(?:from (?:row|rnd|round) 1(?!\d)[\s.,;(]*)?(?:(?:but )?revers\w* (?:all )?shapings?|gegengleich)?"
    r"[\s.)]*$",
    re.IGNORECASE,
)
MAKE = re.compile(
    r"\b(?:make|knit|work|crochet|arbeite|stricke|häkle)\s+(?P<n>\d\d?|two|three|four|six|zwei|drei|vier)\b"
    r"(?!\s*(?:sts?|rows?|rnds?|rounds?|ch|stitch))|\b(?P<x>\d\d?)\s?(?:x|mal)\b|\(\s?x\s?(?P<y>\d\d?)\s?\)"
    r"|\b(?P<both>both\s+(?:worked\s+|made\s+)?(?:alike|the same))\b",
    re.IGNORECASE,
)
SECOND = re.compile(
    r"^(?:set (?:it )?aside(?:\s+and|[,.;])\s+)?(?:"
    r"(?:(?:work|make|knit|crochet)\s+)?(?:(?:the|an?)\s+)?(?:second|other|2nd|zweite[nrs]?)\s+(?P<what>[^\W\d_]+)\s+"
    r"(?:exactly\s+|genau\s?)?"
    r"(?:in (?:the )?same (?:way|manner)|(?:exactly )?the same(?: way)?|likewise|to match|ebenso|gegengleich|gleich)"
    r"(?:\s+as (?:for )?(?:the )?(?:first|1st|other)(?: one)?)?"
    r"(?:\s+(?:arbeiten|stricken|häkeln|str|arb))?"
    r"|(?:work|make|knit|crochet)\s+(?:a|the|another|one more)\s+(?:second\s+)?"
    r"(?P<another>sleeve|sock|mitten|mitt|slipper|leg)(?:\s+(?:in )?the same(?: way)?)?)[\s.!]*$",
    re.IGNORECASE,
)
"""A piece is made twice: "Work the second sleeve in the same way.", "Make another sock." """
PAIRS = frozenset({"sleeves"})
"""Headings of pieces that any garment has two of, so that one set of instructions is for both."""
ONE_OF_TWO = re.compile(r"(?:the\s+)?(?:left|right|first|second|other|1st|2nd)\s+sleeve\b", re.IGNORECASE)
PUT_TOGETHER = re.compile(
    r"\bsleeves?\b.*\b(?:body|back|front|sleeves?)\b|\b(?:body|back|front)\b.*\bsleeves?\b"
    r"|\b(?:first|1st|other|one|next)\s+(leg|piece|half|foot|side)\b.*\b(?:second|2nd|other|first|1st)\s+\1\b",
    re.IGNORECASE,
)
"""Pieces that were made apart and are one from here: "Knit across the first sleeve, the front, the second sleeve"."""
_ONE_NEEDLE = re.compile(
    r"(?:now\s+|next\s+)?(?:place|put|slip|arrange|transfer|gather|join|move|return)\b"
    r"(?:(?!\bsts\b|\bstitches\b)[^=.])*\bneedles?\b(?:(?!\bsts\b|\bstitches\b)[^=.]|\.(?=\d))*"
    r"(?:[=:,(–-]|\bthere (?:are|will be))\s*(?P<n>\d[^a-z=]*?)\s*(?:sts|stitches)\b[^\w(]*",
    re.IGNORECASE,
)
"""Pieces from other needles put on one: "Put all pieces on one needle: sleeve, front, sleeve, back = 204 sts"."""
TENSION = re.compile(
    r"\d+ ?(?:sts?|stitches)\b[^.]{0,20}?(?:,|and|&|x|×|/|by)\s*\d+ ?(?:rows|rounds|rnds)\b[^.]{0,40}?"
    r"\d+(?:\.\d+)? ?(?:cm|in\b|inch|\")",
    re.IGNORECASE,
)
"""A gauge without its word: "30 sts and 40 rounds to 10 cm"."""
STATES = re.compile(
    r"(?:each|every|the|this|these|your|all|it|that|a|an)\b[^.:;]*?\b(?:lies?|sits?|shows?|means|looks?|ought|belongs?)\b",
    re.IGNORECASE,
)
"""A sentence that says how something is, and orders nothing: "Each turn lies 6 sts further in than the last"."""
BALLS = re.compile(r"\b\d+\s+(?:balls?|skeins?|hanks?|cones?)\b", re.IGNORECASE)
"""Yarn that is asked for, before anything is worked."""
MADE_UP = re.compile(
    r"(?:to )?(?:mak(?:e|ing) up|finish(?:ing)?|assembl(?:y|e|ing)|sew(?:ing)?(?: up)?|join(?:ing)?|fertigstellung)\b",
    re.IGNORECASE,
)
"""A heading over the pieces being put together, behind which the work is one."""
LISTS = re.compile(
    r"(gauge|tension|yarns?|needles?|hooks?|materials?|notions|maschenprobe|garn|nadeln?)\s+(?=\S)", re.IGNORECASE
)
"""The word of a list before anything is worked, without a colon: "Gauge 14 sts and 8 rows = 10 cm"."""
RUNS_IN = re.compile(r"([^:]{2,30}):\s|([A-Z][A-Z ]{2,30})\.\s")
"""What a paragraph begins with and is about: "Gauge: ...", "TENSION. 7 sts. and 9 rows to an inch"."""
SAYS = re.compile(r"by\s|(?:US|UK|British|American)\s.*\bterms?\s+(?:is|are\s+)?(?:used|throughout)\b", re.IGNORECASE)
"""A short line that is over nothing: "By A. Name", "UK terms used throughout"."""
ORDERS = re.compile(r"(?:now\s+|then\s+)?(?:work|begin|start|continue|cont|commence)\b", re.IGNORECASE)
"""A heading that says to work what stands below it: "Now work in cable pattern:"."""
PART = re.compile(r"^(?:section|part|step|clue|tier|abschnitt|teil)\s*\d{1,2}\b[^\d]*$", re.IGNORECASE)
NUMBER_WORDS = {"two": 2, "three": 3, "four": 4, "six": 6, "zwei": 2, "drei": 3, "vier": 4}
SAID = re.compile(
    r"^(?:you|there)\b.{0,24}\b(?:have|are|be|remain)\b\s*(?:a total of\s+)?(?P<n>\d+.{0,60}?\b(?:sts?|stitches)\b)"
    r"|^(?P<alone>\d[^a-z]{0,60}?\s*(?:sts?|stitches)\b)\s*(?:rem\w*|in all|in total|left|on (?:the )?needles?)?\W*$",
    re.IGNORECASE,
)
"""A count in a sentence of its own: "You now have 40 sts.", "74 (76, 80) sts." """
ONLY = re.compile(
    r"^\W*(?:for\s+|nur\s+)?(?:the\s+)?(?:sizes?|größen?)\s+(?P<names>[^:.]{1,60}?)(?:\s+only\b(?:\s*[:.,-]|$)|\s*:)\s*(?P<rest>.*)$",
    re.IGNORECASE,
)
"""What follows is for some sizes: "Sizes 2 and 3 only:"."""
ONLY_NAMED = re.compile(
    r"^\W*(?:for\s+|nur\s+)?(?:the\s+)?(?P<names>[^:.]{1,60}?)"
    r"(?:\s+(?:sizes?\s+)?only\b(?:\s*[:.,-]|\W*$)|\s+sizes?\s*:|\s*:\s*$)\s*(?P<rest>.*)$",
    re.IGNORECASE,
)
"""The same where the sizes have names that tell it: "Child and Adult only", "Adult size: ...", "Large:" alone."""
ONLY_BEHIND = re.compile(
    r"^[^:(]{1,25}(?:\(|:\s*)(?:for\s+)?(?:the\s+)?(?:sizes?\s+)?(?P<names>[^:.()]{1,40}?)\s+(?:sizes?\s+)?only\b",
    re.IGNORECASE,
)
"""The same behind the label of a row: "Rnd 4 (Large only): ...", "Rnd 4: Large only: ..."."""
ALL_SIZES = re.compile(
    r"^\W*(?:for\s+)?(?:all|both|alle|beide)\s+(?:sizes?|größen?)\b\s*[:.,-]?\s*(?P<rest>.*)$", re.IGNORECASE
)
COLOUR = re.compile(r"\b(?i:with|in|using|colou?r|yarn|to|join|mit|farbe|fb)\s+([A-F])\b")
_EXPLAINED_COLOUR = re.compile(r"^\s*([A-Z]{1,2}C\d?)\s*[:=–-]\s*(?=[^\n]*\bcolou?r\b)", re.MULTILINE)
"""`DC: dark colour`."""
_MAIN_AND_DARK = re.compile(r"^\s*([MD]C)\s*[:=–-](?![^\n]*(?i:crochet))|(?<!crochet )\(([MD]C)\)", re.MULTILINE)
"""`MC: oatmeal` with `DC: chalk`, `Oatmeal (MC)` with `Chalk (DC)`."""


def put_on_one_needle(text: str) -> re.Match[str] | None:
    """How a text begins that puts pieces on one needle; how many stitches that makes is its group `n`."""
    told = _ONE_NEEDLE.match(text)
    return told if told and PUT_TOGETHER.search(told[0]) and not SHORTHAND.search(told[0][: told.start("n")]) else None


def times_made(text: str) -> int:
    """How often a piece is made: `Sleeves (make 2)`."""
    match = MAKE.search(text)
    if match is None:
        return 1
    word = (match["n"] or match["x"] or match["y"] or "two").lower()
    return max(1, NUMBER_WORDS.get(word) or int(word))


def plain_name(name: str) -> str:
    """A heading without what varies where it is named."""
    return re.sub(r"[^a-zäöüß0-9]+|\b(?:the|a|first|der|die|das)\b", " ", name.lower()).strip()


def is_piece(named: str, heading: str) -> bool:
    """Whether a plain name is that of a heading, or tells which of two it is: `same as the right one`, RIGHT MITT."""
    plain = plain_name(heading)
    which, _, one = named.partition(" ")
    return plain == named or (one == "one" and which in ("right", "left", "first") and plain.startswith(f"{which} "))


def colours_named(text: str) -> frozenset[str]:
    """Yarns that are called by single letters, at least two of them, that are explained as colours, or MC and DC alike.

    `With A, cast on ...`, `Join B`; `DC: dark colour`.
    """
    letters, pair = (frozenset("".join(each) for each in rule.findall(text)) for rule in (COLOUR, _MAIN_AND_DARK))
    several = (found for found in (letters, pair) if len(found) > 1)
    return frozenset(_EXPLAINED_COLOUR.findall(text)).union(*several)
