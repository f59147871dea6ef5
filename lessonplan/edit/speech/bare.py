"""What a number counts that is said without a unit, told by the words around it: “pick up five”, “eight are left”."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from lessonplan.edit.speech.numbers import Number

BEFORE, AFTER, FAR = 8, 6, 16
"""So many words before and after a number tell what it counts; so many before “twelve of them”."""
_OF_THEM = re.compile(r"(?:of (?:them|these|those))\b")
_ENDS = re.compile(
    r"(?:$|(?:bumps|loops|and|not|only|na|kindly|no (?:more|less|fewer|and|so)"
    r"|or|so|now|then|but|on(?! (?:the|each) (?:first|second|third|other|next|last))"
    r"|of (?:them|these)|in|at|there|here|again|count|all|yes|yep"
    r"|get|gets|go|goes|are"
    r"|will|if|once|after|before|until|wait|sleep|stay|to (?:go|play|begin|start)|off|already|with|of course"
    r"|all (?:the way |told|over)"
    r"|altogether|because|when|while|which|you|we|i|it's|that's|please|exactly|depending|whichever|either|as usual"
    r"|as well|too|for (?:you|me|us|everybody|everyone|all))\b)"
    r"(?! (?:a )?half)"
)
"""What follows a number that has no word of its own for what it counts."""
_STITCHES: tuple[tuple[float, str, str], ...] = (
    (0, r"\bmultiple of$", ""),
    (
        0,
        r"(?<!of the)$",
        r"(?:of (?:them|these|those) )?(?:(?:(?:are )?(?:going|go|goes|gone|put|off) )?to (?:sleep|bed|rest)|asleep"
        r"|on hold|staying (?:up"
        r"|awake|on))\b",
    ),
    (
        0,
        r"\b(?:cast(?:ing)? on|pick(?:ed|ing)? up(?: and knit)?)(?: (?:exactly|about|only|just|another"
        r"|my|your|our|all))*$",
        "",
    ),
    (
        0,
        "",
        r"(?:of (?:them|these|those) )?(?:(?:go|goes|are|is|sit|sits|wait|went|sleep|stay) )?(?:on|to|onto|in between"
        r"|between) (?:hold|the waste|waste|the scrap|scrap|(?:(?:the|my|your|our|both|those|these|two) )+markers"
        r"|(?:a|the|my|your) (?:thread|string|holder"
        r"|(?:bit|piece) of))",
    ),
    (
        0,
        "",
        r"(?:more )?(?:remain|stay|(?:from|off|out of) (?:the|your|my) (?:gap|waste|scrap|string|thread|holder)"
        r"|are left|left$"
        r"|left\b(?! (?:hand|needle|and right|or|one|over)))",
    ),
    (
        0,
        "",
        r"(?:of (?:them|these) )?(?:still )?on (?:the|my|your) (?:(?:front|back|left|right|other|spare) )?needles?\b",
    ),
    (
        0,
        "",
        r"on (?:each|every)(?: one| needle| of the (?!other)\w+(?: needles)?)?(?: |$)(?!side|round|row"
        r"|hand|of the other)",
    ),
    (0, "", r"before (?:the|a|my|your|each) (?:(?:end|first|second|other|next) )?marker|before the end"),
    (4, r"\btakes? (?:the |your )?[a-z]+(?: [a-z]+)? (?:down )?to$", ""),
    (10, r"\b(?:leaves|leaving)(?: me| us| you)?$", r"(?!rounds|rows)"),
    (0, "", r"picked up\b"),
    (4, r"\b(?:it|there|that) remains?$", r"(?!rounds|rows)"),
    (2, "", r"(?:in (?:a|each|every|one) round|a round|a go|a row)\b"),
    (4, r"\b(?:graft|draw|thread|close)\w* (?:up )?all$", ""),
    (4, r"\b(?:gets? rid of|takes (?:away|off|out)|(?:we|you|i) take (?:away|off|out))$", r"(?!rounds|rows)"),
    (4, "", r"(?:when|by the time|once) (?:we|you|i)(?:'re|'ve)? (?:finish\w*|stop|begin|start|done)\b"),
    (8, "", r"for (?:the|your|my) (?:hand|palm|body|thumb)\b"),
    (2, r"\b(?:to|until) the last$", r"(?:and|then|so|now|where)\b|$"),
    (10, r"\bthan (?:we|you|i) (?:cast on|started with|had) (?:so|that's|which is)$", ""),
    (4, "", r"in the (?:wedge|gusset)\b|(?:along|across) (?:the|your|my) gap\b"),
    (8, r"\bfirst$", r"(?:and |then )?(?:you |we |i )?(?:pop|put|place|slip|hang|slide|clip|drop)\b"),
    (10, r"\b(?:puts? (?:us|you|me)|(?:you'll|we'll|i'll|should) be) (?:on|at)$", r"(?!rounds|rows)"),
    (8, "", r"(?:and )?then (?:the|a|my|your) (?:first )?marker\b"),
    (2, r"\bmake$", r"(?:with|from|out of) the bar\b|(?:and |then )?(?:hang|place|put|slip|clip) (?:another|a|the)\b"),
    (4, r"\b(?:added|gained)$", r"(?!rounds|rows)"),
    (
        2,
        r"\b(?:lose|loses|losing|adds?|gains?|adding|gaining|putting in|making|puts? in)(?: you| us| me)?$",
        r"(?:one|two|on|at|each|every|in|so"
        r"|and|a go|a time|per|$)\b",
    ),
    (
        4,
        "",
        r"of (?:them|these|those) (?:are )?(?:left|remain)\b|a?round (?:the|your|my) thumb\b"
        r"|(?:still )?going a?round\b",
    ),
    (4, "", r"between them\b"),
    (8, "", r"in the whole round\b"),
    (10, r"\b(?:you're|we're|i'm|are|am) (?:back )?on$", r"(?:again|like|as|just)\b|$"),
    (8, r"\bafter (?!counting\b)\w+ing (?:[\w']+ )?[\w']+$", r"(?:and|then|so)\b|$"),
    (4, "", r"of (?:them|these|those) (?:(?:are|is|being|for|belong|to|make|the) )*thumb\b"),
    (5, r"\b(?:yarn|thread|string|needle) through$", ""),
    (5, r"\bthrough (?:the|those|these|all)(?: last| the| remaining)*$", r"(?!of (?!them|these))"),
    (8, "", r"of (?:them|these|those) (?:go|come|get|stay|sit|wait|live|want)\b"),
    (7, r"(?<!in )\ball$", r"(?!of us|parts|and)"),
    (
        4,
        r"\b(?:my last|(?<!round )(?<!row )(?:count|total)(?: is)?|that (?:makes|leaves"
        r"|gives)(?: me| you| us)?)$",
        r"(?!of us|parts|and)",
    ),
    (
        4,
        r"\b(?:after|at) (?:round|row) (?:[\w']+ )?\w+$|\b(?:ends?|starts?|started|left) (?:up |out "
        r"|off )?(?:with|as)$",
        "",
    ),
    (8, r"\bthe other$", r"(?:carry|carries|go|stay|keep)\b"),
    (
        4,
        r"(?<!\bon)(?<!\bafter)(?<!\bat)$",
        r"(?:(?:that|which) )?(?:we|you|i) (?:had|have|started|began|came|cast)\b(?! (?:to|a|an|it|one"
        r"|another)\b)|in no time",
    ),
    (8, "", r"(?:at|in) the (?:front|back)\b|(?:on )?(?:either|each|both) sides?\b|on (?:this|that) (?:needle|one)\b"),
    (
        4,
        "",
        r"(?:turns?|shrinks?|drops?|goes|go) (?:down )?(?:in)?to\b(?! (?:sleep|bed|it|play|waste|go))"
        r"|becomes?\b|(?:come|comes|came) off\b|woken\b|asleep\b|awake\b",
    ),
    (4, r"\bmeans(?: (?:you|we|i) have| there are)?$", r"(?!rounds|rows)"),
    (4, r"\bfrom(?: [a-z]+)?$", r"(?:(?:back|down|up) )?to\b"),
    (4, r"\bfrom (?:[a-z]+ )?[a-z]+ (?:(?:back|down|up) )?to$", ""),
    (4, r"\b(?:stays?|remains|keeps?)(?: at)?$", r"all\b|the whole\b|right\b|$"),
    (4, r"\bback to(?: (?:our|the|my|your))?(?: (?:original|same|old|first))?$", ""),
    (4, r"\b(?:down|back|round|around|go|goes|went|turns?|comes?) (?:in)?to$|\bbecomes?$", ""),
    (8, r"(?:^|\b(?:so|okay|right|now))$", r"on(?: (?:the needles?|turn|join|marker|and (?:turn|join))\b|$)"),
    (4, r"\b(?:brings?|takes?|gets?) (?:us|me|you|it) (?:back |down |up )?to$", ""),
    (14, "", r"after (?:round|row) \w+"),
    (10, "", r"after the (?:first|second|third|fourth|fifth|sixth|last)\b|across\b"),
    (10, "", r"on (?:(?:this|that|the other|each|either) side|that$)"),
)
"""The least number, the words before it, and those after it, where stitches are counted."""
_HAS = re.compile(
    r"\b(?:have|has|(?:before that|until then) (?:i|we|you) had|got|you've|we've|i've|that was|it was|my"
    r"|these|those|should (?:be|say|read)|(?:i|we|you) (?:see|count)|we(?: are|'re| were)|(?:better|must|has to"
    r"|ought to|needs to|wants to) be|(?:be|are|were|get|got) at|(?:i'm|we're|you're|i am"
    r"|we are|you are) (?:now |back |up |down )?at"
    r"|got (?:my|our|your)|\bcount\b.*\b(?:be|have|is|to)"
    r"|(?:you'll|you|we|we'll|i'll|i) (?:need|want)|reach(?:es)?|lands? on|arrives? at|aim(?:ing)? for"
    r"|(?<!you )hit|stops? at"
    r"|settle on|looking for|comes? (?:out )?(?:to|at)|(?:needle|count) (?:says|shows)|(?:it|needle"
    r"|count) reads)(?: (?:exactly|only|just|all|about))?$"
)
_ELLIPTIC = re.compile(
    r"\b(?:our|your|my|those|these|same|(?<!winter )(?<!out )(?<!summer )(?<!year )of|(?<!enough )to|from|with"
    r"|that's|only|just|then"
    r"|all|again|still|yours|mine)$"
)
"""What stands before a number that is left without its noun."""
_NOUNS = {
    "ends": "ends",
    "tails": "ends",
    "stitches": "stitches",
    **dict.fromkeys(("section", "sections", "repeat", "repeats", "wedge", "wedges", "group", "groups"), "repeats"),
}
"""What “of them” may go back to."""
_THEN = re.compile(
    r"\bafter (?:[\w']+ ){1,2}(?:rounds|rows)(?: (?!rounds|rows)[\w']+)*$|\b(?:over|in) [\w']+ (?:rounds|rows) and"
    r" (?:it's|that's|there's)$|\b(?:rounds|rows) (?:in|later|on|up)(?:"
    r" (?!rounds|rows)[\w']+)*$"
)
_AMERICANS = re.compile(r"\b(?:us|american) (?:sizes?|numbers?|terms?)\b")
_A_NEEDLE = re.compile(r"(?:$|for|and|then|on)\b")
_IN_ALL = re.compile(r"(?:in all|all up|altogether|all told|in total)\b")
_ON_THE = re.compile(r"\b(?:on|with|to) (?:the|a|your|my)$")
_THAT_IS = re.compile(
    r"\b(?:that's|that is|there are|there's|it's|(?:it|that|there)(?:'ll| will| should) be)(?: now| still| only)?$"
)
_RIB_ON = re.compile(r"(?:^|\b(?:and|then|now|so|just|you|we|i) )rib$")
"""“Then rib twenty two.”"""


def _rules() -> tuple[tuple[float, re.Pattern[str], re.Pattern[str]], ...]:
    """Give the rules, those of one number that look to one side alone as one: each costs a search."""
    sides: dict[tuple[float, bool, bool, int], list[tuple[str, str]]] = {}
    for place, (least, before, after) in enumerate(_STITCHES):
        both = bool(before and after)
        sides.setdefault((least, bool(before), bool(after), place if both else 0), []).append((before, after))
    return tuple(
        (key[0], _any_of(before for before, _ in told), _any_of(after for _, after in told))
        for key, told in sides.items()
    )


def _any_of(rules: Iterable[str]) -> re.Pattern[str]:
    return re.compile("|".join(f"(?:{one})" for one in rules))


_RULES = _rules()


_MEASURED = re.compile(
    r"\bmeasured?\b.* (?:it's|is|it was|that's|to)$|\b(?:edge|bottom) to the (?:needles?|top)(?: it's| is)?$"
)
_CLOCK = re.compile(
    r"(?:sharp|tonight|am|pm|past|to the hour|(?:on )?(?:a |the )?(?:mon|tues|wednes|thurs|fri|satur|sun)days?"
    r"|in the (?:morning|afternoon|evening))\b"
)
"""What follows the time of a day: “it comes at ten on a thursday”."""


def counted(number: Number, words: Sequence[str]) -> str:
    """Tell what a bare number counts: stitches, or the rounds or rows named just before; mm or US sizes of needles."""
    if number.ordinal or number.loose:
        return ""
    said = words[max(0, number.first - BEFORE) : number.first]
    before, after = " ".join(said), " ".join(words[number.end : number.end + AFTER])
    if number.value <= 31 and _CLOCK.match(after):
        return ""
    if before.endswith("stitch") and number.value > 3:
        return "" if before.endswith("at stitch") else "stitches"
    if _IN_ALL.match(after) and number.value >= 10 and number.part == 1:
        return "stitches"
    if number.value >= 8 and _RIB_ON.search(before) and (after.startswith("done") or _ENDS.match(after)):
        return "rounds"
    if number.low < number.high and re.search(r"\b(?:head|hand|wrist)s? (?:of|is|are|measures?)(?: about)?$", before):
        return "cm"
    sized = before.endswith("size")
    needles = after.startswith("needle") or before.endswith(("your size", "to size", "with size"))
    whole = needles and number.part == 1 and number.value <= 13 and _ENDS.match(after.removeprefix("needles "))
    if sized and (whole or {"us", "american"} & {*words[number.end : number.end + 2 * AFTER]}):
        return "us"
    if (
        number.value <= 10
        and before.endswith(("use the", "with the", "take the", "on the", "onto the", "with a", "on a"))
        and after.startswith("for ")
    ):
        return "mm"
    if number.part < 1 and number.value < 10 and after.startswith("needle"):
        return "mm"
    if number.part == 1 and number.value <= 15 and _AMERICANS.search(before) and _A_NEEDLE.match(after):
        return "us"
    if (
        number.value <= 12
        and before.endswith(("needle is", "needles are", "needle is a"))
        and after.startswith("for the")
    ):
        return "mm"
    if number.part < 1 and _MEASURED.search(before):
        return "cm"
    needle_alone = (_ON_THE.search(before) and _ENDS.match(after)) or (
        said[-1:] in (["a"], ["your"], ["my"], ["the"]) and after.startswith("for ")
    )
    if number.part == 1 / 2 and number.value < 10 and needle_alone:
        return "mm"
    if number.value <= 15 and re.search(r"(?<!to the )\bneedles?\b", before) and (number.part < 1 or sized):
        return "mm"
    told_of = [_NOUNS[word] for word in words[max(0, number.first - FAR) : number.first] if word in _NOUNS]
    if _OF_THEM.match(after) and told_of and told_of[-1] != "stitches":
        return told_of[-1]
    if asked(number, words):
        return "stitches"
    told = (number.value >= 4 and _HAS.search(before)) or (number.value >= 10 and _THAT_IS.search(before))
    if told and number.part == 1 and _ENDS.match(after):
        if {"ends", "tails"} & {*said}:
            return ""
        if _THEN.search(before):
            return "stitches"
        return next((word for word in reversed(said) if word in ("stitches", "rounds", "rows")), "stitches")
    alone = number.value >= 8 and number.part == 1 and _ENDS.match(after) and _ELLIPTIC.search(before)
    return "stitches" if alone else ""


_THERE = re.compile(r"^(?:are|is|(?:will|should|must) be) there ")
"""What tells nothing behind a number: “twelve should be there between the markers”."""


def ends_alone(words: Sequence[str], end: int) -> bool:
    """Whether no word follows a number that would tell what it counts."""
    return _ENDS.match(" ".join(words[end : end + AFTER])) is not None


def asked(number: Number, words: Sequence[str]) -> bool:
    """Whether the words around a number are said of stitches alone: “cast on forty”, “eight are left”."""
    before = " ".join(words[max(0, number.first - BEFORE) : number.first])
    after = _THERE.sub("", " ".join(words[number.end : number.end + AFTER + 2]))
    value = number.value
    return number.part == 1 and any(value >= least and a.match(after) and b.search(before) for least, b, a in _RULES)
