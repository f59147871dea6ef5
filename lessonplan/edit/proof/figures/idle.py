"""Numbers that are not to be told of: a manner of speaking, or are said in passing."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from lessonplan.edit.proof.findings import CUES
from lessonplan.edit.speech.numbers import BEGINS
from lessonplan.edit.speech.quantities import Quantity

_PROGRESS = re.compile(
    r"\btry (?:it|this|them|that) on\b.*#|# and (?:then )?try (?:it|this|them|that) on\b|\bwait (?:another )?#"
    r"|\bat # (?:you |we |i )?(?:have|take) a look\b|\b(?:minutes?|hours?|evening|night|train|bus"
    r"|of the way)\b.*#|# or so\b(?! for)|# (?:so far|since)\b"
    r"|# (?:done )?(?:before|by|since) (?:breakfast|lunch|dinner|supper|bed|noon|midnight)"
    r"|# (?:done )?(?:this|last|yesterday)\b"
    r"|# while\b|# in(?: and| so| now| already| (?:you|we)\b|$)|\b(?:already|only|just) # in\b"
    r"|\bi(?:'ve)? (?:only|just) (?:ever )?(?:done|did|do|knit|knitted|worked|made) #"
    r"|\bin (?:another |about )?# (?:it|you|we|there)'ll\b"
    r"|# (?:an?|per|every) (?:hour|minute|evening|day|night)\b"
    r"|\b(?:that's|this is) after #|# and (?:another |then )?[\w']+ (?:more|to go)\b"
    r"|\bfor # now\b|# (?:in and)\b|# (?:down|ago|below|back)\b(?! and forth)"
    r"|\b(?:stop|check|count|look|pause|measure|rest) (?:[\w']+ )?every #"
    r"|# (?:in|up|along)(?: now| already)? (?:it (?:already|looks|starts|begins|feels|should|will)|it's|there's|i)\b"
    r"|\b(?:stay|wait|rest|sit|sleep)s? (?:[\w']+ )?for (?:another|the next) #"
    r"|\bi (?:did|managed|squeezed|got|knit|knitted|worked|finished)(?: (?:about|only|just|in|maybe"
    r"|another))* #(?: [\w']+){0,4}? (?:on|at|during"
    r"|over|in|before|between) (?:the|my|our|a) (?!needle|hand|cuff|rib|thumb|band|brim|crown|gusset|sample"
    r"|piece|round|row"
    r"|front|back|end|same|small|medium|large|smaller|bigger|larger|pattern|camera|blue|oatmeal|yellow|night|other|next)"
    r"|# (?:only |just )?i (?:did|knit|knitted|managed|got|made) (?:before|while|when|between|on the|in the"
    r"|last|yesterday|this)\b"
    r"|\b(?:tore|tear|ripped?|unravel\w*|undo|undid|frogged|lost)\b.*#"
)
"""How far somebody came in a while, or what was taken out again."""
_WOVEN = re.compile(r"\bweav\w+|\bsew (?:[\w']+ ){0,2}in\b|\bwoven\b|\bso far\b.*#|# so far\b")
_STRETCHED = re.compile(r"\bstretch(?! (?:coming|of|here|up|where)\b)\w*")
_SCALED = re.compile(r"\bswatch\b.*# (?:wide|long|tall)\b|\bdifference\b.*#")
"""The size of a swatch itself, and a difference."""
MADE = re.compile(r"\bmake (?:another )?#")
"""Increases told in words: “make two stitches”."""
_DOES = re.compile(
    r"\b(?:do|repeat|work|times in all|increase|decrease|together|at a time|every (?:[\w']+ )?(?:round|row))\b"
    r"|(?:rounds|rows) #"
)
_OF_STEPS = re.compile(
    r"# with an? (?:plain|rest)\b|# (?:knit|purl|slip|k|p) |# (?:you|we|i) (?:do|work|repeat|knit)\b"
)


_FOR_OTHERS = re.compile(r"(?:(?:and|or) \w+(?: \w+)? )?for the others?\b")
_SHOWS = re.compile(
    r"(?:\bafter (?:about )?# (?!of )|# in (?:and )?)(?:[\w']+ ){0,5}?(?:(?:starts?|begins?) to|(?<!n't )shows?"
    r"|see|notice)\b"
    r"|# (?:at least )?before (?:you|we|i|it) (?:can )?(?:see|tell|know|notice|shows?)\b"
    r"|\b(?:i'll|we'll) (?:just )?(?:knit|do|work) #.* (?:while|together)\b|\bi'll do # before the\b"
    r"|# (?:of [\w']+ )?and (?:then )?you'll (?:see|notice|feel)\b"
    r"|\b(?:knit|do|work) # and (?:then )?(?:(?:have|take) a look|look|see|check|try|lay it|hold it|count)\b"
    r"|# (?:an?|per|every) (?:hour|minute|evening|day|night)\b|\bevery # i\b|\bafter # so i\b"
)
_OF_SWATCH = re.compile(r"(?:[\w']+ ){0,6}?(?:for|in|on) (?:the|a|your|my) swatch")


def is_idle(one: Quantity, words: Sequence[str]) -> bool:
    """Whether a number is a manner of speaking, or too small to be told of."""
    before = words[one.first - 1] if one.first else ""
    ahead = " ".join(words[one.end : one.end + 9])
    if _FOR_OTHERS.match(ahead) or ("swatch" in ahead and _OF_SWATCH.match(ahead)):
        return True  # of other sizes, none of them named; or the swatch's own
    if one.unit in _BY_UNIT:
        return _BY_UNIT[one.unit](one, words)
    if one.unit == "markers" and before in ("the", "two", "both", "all", "these", "your", "those", "our", "my"):
        return True
    if one.unit == "sizes" and (
        before == "other"
        or re.search(r"\bneedles?\b|\b(?:up|down) #|# (?:up|down|larger|smaller)\b", around(words, one, 5, 3))
    ):
        return True
    if one.unit == "shapings" and before == "first":
        return True  # some of them
    small = 1 if one.unit in ("balls", "colours", "sizes", "markers", "repeats", "ends") else 3
    small += one.unit == "repeats" and words[one.end - 1] in ("columns", "ribs")  # that stand side by side
    return one.unit not in ("together", "us") and one.value <= small


def _stitches(one: Quantity, words: Sequence[str]) -> bool:
    before = words[one.first - 1] if one.first else ""
    if before == "last" and one.value <= 5 and _OF_MINE.match(around(words, one, 0, 4)):
        return True
    if before == "first":
        told = re.match(r"# (?:are|is|go|goes|read|look|make|of)\b", around(words, one, 0, 2))
        return one.value <= 3 or told is not None or not re.search(r"#.*\b(?:then|marker)\b", around(words, one, 0, 9))
    if re.match(r"# (?:stitches )?on (?:a|one) needle\b", around(words, one, 0, 4)):
        return True
    if one.value <= 12 and _A_FEW.search(around(words, one, 3, 8)):
        return True
    if re.match(r"# (?:further |more )?(?:down|below|up|above|over|in|on|along) from\b", around(words, one, 0, 3)):
        return True  # a place
    if MADE.search(around(words, one, 2, 0)):
        return one.value <= 1
    shaping = re.search(
        CUES["change"]
        + r"|# .*\bbetween the .*markers|# (?:more )?(?:from|along|across) the gap|"
        + CUES["last"]
        + "|"
        + CUES["picked up"],
        around(words, one, 4, 3),
    )
    shaping = shaping or _PLACED.search(around(words, one, 9, 5))
    return one.value <= 3 and not (shaping and before != "next")


_A_FEW = re.compile(
    r"\bknit (?:about|maybe|roughly|some|say|just|around) # (?!.*\b(?:markers?|make|increase|decrease|together"
    r"|ssk|slip|hold|times"
    r"|rounds?)\b)(?:or so )?(?:and|then|before|until)\b"
)
"""Some stitches that are worked until something else is shown."""
_OF_MINE = re.compile(r"# (?:stitches )?(?:of|in) (?:my|your|mine|this|each|every|any|a|an)\b")
"""Some stitches of a row, wherever it is: “the last three stitches of my cast on”."""
_PLACED = re.compile(
    r"# out of the (?:gap|hole)\b|# (?:\w+ ){0,2}between them\b|\bbetween the (?:\w+ )?markers (?:[\w']+ ){0,4}#"
)


_A_RIDGE = re.compile(
    r"\bridges?\b(?: each| every one)? (?:is|are|has|have|takes?|makes?|counts? as|that is|that's) #"
    r"|# (?:is|are|makes?|gives?|to|for|in) (?:an?|one|each|every) ridge\b"
)
"""What a ridge of garter stitch is, wherever there is one."""
_TALLY = re.compile(r"\b(?:pin|clip|marker|tick|thread|note|knot)s?\b.* (?:every|each) #")
"""How somebody keeps count: “a pin at every twentieth row”."""


def _rounds(one: Quantity, words: Sequence[str]) -> bool:
    if _TALLY.search(around(words, one, 8, 0)):
        return True
    before = words[max(0, one.first - 2) : one.first]
    shaping = {"increase", "increases", "decrease", "decreases"} & {*words[one.first : one.end]}
    if (before[-1:] == ["first"] and words[one.end : one.end + 1] not in (["in"], ["of"])) or (
        shaping and {"after", "done", "did", "had"} & {*before}
    ):
        return True  # some are counted and not all: “after four increase rounds”
    if re.match(r"# (?:away )?(?:from|before) the (?:end|top)\b", around(words, one, 0, 5)):
        return True
    if one.value == 2 and _A_RIDGE.search(around(words, one, 4, 4)):
        return True
    vague = one.number.low < one.number.high and one.value <= 6
    vague = vague or tuple(words[one.end : one.end + 2]) in (("too", "many"), ("too", "few"))
    passing = re.search(r"\b(?:down|back|ago|below|up|under)\b(?! (?:the|your)\b)", around(words, one, 2, 3))
    return one.value <= 1 or vague or (one.value <= 5 and passing is not None)


def _lengths(one: Quantity, words: Sequence[str]) -> bool:
    more = re.search(
        r"# (?:of (?:difference|give|ease|stretch|slack)|longer|shorter|wider|narrower|too|less|more (?:is|does"
        r"|won't|will))\b",
        around(words, one, 0, 3),
    )
    grown = re.search(r"\b(?:grew|grown?|grows|shrank|shrunk|shrinks?|by) (?:[\w']+ )?#", around(words, one, 3, 0))
    ranged = one.number.low < one.number.high and one.value <= 3
    ranged = ranged or _THAN_A_SIZE.search(around(words, one, 0, 9)) is not None
    return more is not None or grown is not None or one.value == 1 or ranged


_THAN_A_SIZE = re.compile(
    r"# (?:[\w']+ ){0,4}(?:is|are|would be) (?:[\w']+ )?(?:more|bigger|larger|wider|smaller|less) than\b"
)
"""“Twenty two centimetres is more than the large goes up to.”"""


def _needles(one: Quantity, words: Sequence[str]) -> bool:
    if words[one.end : one.end + 1] == ["of"] and "needle" not in words[one.end + 1 : one.end + 3]:
        return True  # “eleven mil of rain”
    if re.search(r"\bif\b.*\b(?:go|move|drop|come|step) (?:up|down) to an? #", around(words, one, 18, 0)):
        return True  # advice
    apart = re.search(r"\b(?:between|difference|apart|longer|wider)\b", around(words, one, 3, 3))
    return one.value < 1.5 or apart is not None


_HIDDEN = re.compile(r"\b(?:weav\w+|woven|tuck\w*|hid(?:e|ing|den)|darn\w*|thread(?:ed|ing)?|sew\w*)\b")


def _ends(one: Quantity, words: Sequence[str]) -> bool:
    """Whether “two of them” are told of, or those of the piece so far, or but one."""
    so_far = re.match(
        r"# (?:[\w']+ )?(?:now|here|hanging(?! (?:off|out of) (?:each|every))|on (?:it|mine|this(?: one|$)))(?: "
        r"|$)",
        around(words, one, 0, 5),
    )
    should = "should" in words[max(0, one.first - 3) : one.first]
    hidden = _HIDDEN.search(" ".join(words[one.end : one.end + 16])) is not None
    told = so_far is not None and not (should or hidden)
    near = around(words, one, 8, 8)
    if one.end - one.number.end > 1 and re.match(r"# and\b", around(words, one, 0, 2)):
        return True  # of one colour: “four blue tails and four oatmeal ones”
    tips = one.value <= 2 and not re.search(r"\b(?:weav\w*|tails?|hang\w*|tid\w+|sew|yarn)\b", near)
    each = (
        re.match(r"# (?:ends |tails )?(?:of|in|for) each (?:colou?r|yarn|one)\b", around(words, one, 0, 4)) is not None
    )
    return (one.bare and one.value <= 3) or each or told or tips or one.value <= 1


def _times(one: Quantity, words: Sequence[str]) -> bool:
    after = words[one.end] if one.end < len(words) else ""
    if after in BEGINS - {"a", "an", "to", "too", "for"}:
        return True  # “twelve times eight”
    told = _DOES.search(around(words, one, 11, 0).rpartition(" times ")[2]) or _OF_STEPS.match(around(words, one, 0, 2))
    return one.value < 3 or not (one.size is not None or told)


def _one_stitch(one: Quantity, words: Sequence[str]) -> bool:
    return one.value == 1 and not _rhythm(one, words)


_BY_UNIT: Mapping[str, Callable[[Quantity, Sequence[str]], bool]] = {
    "stitches": _stitches,
    "rounds": _rounds,
    "rows": _rounds,
    "cm": _lengths,
    "inches": _lengths,
    "mm": _needles,
    "ends": _ends,
    "times": _times,
    "knit": _one_stitch,
    "purl": _one_stitch,
    "slip": _one_stitch,
}


def _rhythm(one: Quantity, words: Sequence[str]) -> bool:
    """Whether “knit one” is part of a rhythm such as “knit one purl one” and no single stitch."""
    if one.bare:
        return True  # of a “one by one” rib
    if one.unit == "purl":
        before = around(words, one, 9, 0)
        in_rib = (
            re.search(
                r"\b(?:knit (?:two|three|four|2|3|4)(?: and| then)*|(?:two|three|four) knits(?: and| then)*) #$", before
            )
            is not None
        )
        return in_rib or re.search(r"\bknit one\b.* #", before.removesuffix("knit one #")) is not None
    return (
        one.unit == "knit" and re.match(r"# (?!slip)(?:[\w']+ ){0,7}?purl one\b", around(words, one, 0, 9)) is not None
    )


def around(words: Sequence[str], one: Quantity, before: int, after: int) -> str:
    """Give so many words before and after a quantity, with ``#`` in its place."""
    return " ".join([*words[max(0, one.first - before) : one.first], "#", *words[one.end : one.end + after]])


_DONE_OF = re.compile(
    r"\b(?:(?:i|you|we)(?:'ve| have) (?:[\w']+ )?(?:done|knit|knitted|worked|got)|(?:i'm|we're"
    r"|you're) (?:now )?(?:at|on|up to)) #"
    r" (?:[\w']+ ){0,6}?(?:and|so|then|but|which)\b.*\b(?:to (?:go|come|do)|more|another|left|still)\b"
)


def is_passing(one: Quantity, words: Sequence[str], of_sample: bool = False) -> bool:
    """Whether a number tells how far somebody came, of a swatch, another width, stretched or woven work.

    What is a number of the sample alone (``of_sample``) is let be only where something begins to show then.
    """
    if one.unit in ("rounds", "rows") and re.search(
        r"\bi (?:was|had got|had done) (?:\w+ )?#", around(words, one, 4, 0)
    ):
        return True
    if of_sample or _SHOWS.search(around(words, one, 2, 8)):
        return one.unit in ("rounds", "rows") and _SHOWS.search(around(words, one, 2, 8)) is not None
    near = around(words, one, 8, 6)
    passing = {"rounds": _PROGRESS, "rows": _PROGRESS, "stitches": _WOVEN, "cm": _STRETCHED, "inches": _STRETCHED}
    if one.unit in ("rounds", "rows") and _DONE_OF.search(around(words, one, 4, 14)):
        return True
    return _SCALED.search(near) is not None or (one.unit in passing and passing[one.unit].search(near) is not None)
