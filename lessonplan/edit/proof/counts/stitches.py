"""Which count of stitches is meant by the words around one: at a round, of a part that is over, by a cue."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from lessonplan.edit.proof.counts.times import at_a_time, halved, of_cues
from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.proof.said import CUED, Said
from lessonplan.edit.speech.rounds import round_after, round_before

MEANT = ("cast on", "held", "picked up", "between", "change", "repeat", "last", "start", "half")
"""Cues that say alone which number is meant."""
AT_END = r"\bthe (?:very )?end(?! of (?:[\w']+ )?(?:round|row|rnd|line|needle|left|right)s?\b)\b"
_CLAUSES: tuple[tuple[str, tuple[str, ...]], ...] = (
    (rf"{AT_END}.*#|#.*{AT_END}", ("shaping last", "end")),
    (r"\bfirst #.*\b(?:then|place|put|pop|slip|hang|and)\b", ("run", "half")),
    (
        r"^(?=.*\b(?:until|till|(?<!always )stop\w*(?! for)|all that's|thread|finish\w*)\b).*"
        r"(?:# (?:[\w']+ ){0,3}?(?:left|remain\w*)\b(?! (?:of|before|after))|\b(?:down to|decreas[\w']+ (?:at|to)) #)",
        ("end",),
    ),
    (
        r"(?<!section )(?<!wedge )(?<!repeat )"
        r"\b(?:start|begin)(?:s|ing)?(?: again| over| afresh)? with #(?! (?:stitches )?(?:to|in|per) (?:each"
        r"|every|a)\b)",
        ("start", "cast on", "text"),
    ),
    (r"# (?:stitches )?(?:and |then )*(?:you|we|i) stop (?:in|de)creasing\b", ("shaping last",)),
    (
        r"\b(?:\w+creas\w+|gain|lose|lost|add|grow) (?:by )?# (?:stitches )?(?:over|in|across|within) (?:the "
        r"|all |those )*"
        r"(?!each\b|every\b|a\b|one\b)[\w']+ (?:rounds|rows)\b",
        ("shaping",),
    ),
    (
        r"# (?:stitches )?left (?:and|so|then)\b.*\b(?:scissors|cut|thread|draw|pull|needle goes|darning needle)"
        r"|# (?:stitches )?(?:still )?stay|# (?:stitches )?(?:across |around )?(?:when|by the time|once) (?:we"
        r"|you|i)(?:'re|'ve)?"
        r" (?:finish\w*|stop|done)\b",
        ("end",),
    ),
    (r"# (?:more )?(?:from|along|across|in|over|out of|at) the (?:gap|hole)", ("picked up",)),
    (r"\b(?:ends?|left|finish) (?:up )?(?:with|as) #", ("end", "text", "between")),
    (
        r"\buntil (?:you have |you've got |you've |we've |there are |they have |they've |it's |it is |there's "
        r"|only )?#(?! (?:stitches )?(?:left )?(?:before|from"
        r"|short)).*(?<!between the markers)$",
        ("end", "text", "picked up", "held", "shaping last"),
    ),
    (
        r"\bmy last #|# (?:left|remain\w*)\b.*\bat the end\b|\bat the end\b.*# (?:are )?(?:left|remain)"
        r"|\bthrough (?:all |the |my |these )*last #|\blast #.*\bthrough\b",
        ("end",),
    ),
    (r"\bthrough (?:all |the |my |these |those |remaining |last )*#", ("end", "held")),
    (
        r"#(?: (?:stitches|left|remain\w*|are|then|you|we|and|on|the|your|needles?|that's|when))*"
        r" (?:stop|cut|break|thread|draw)\b"
        r"|\b(?:bind|cast) off (?:[\w']+ ){0,2}#",
        ("end",),
    ),
    (
        r"\bfrom (?:[\w']+ )?#",
        ("start", "cast on", "end", "text", "picked up", "held", "shaping 0"),
    ),
)
"""Words around a count of stitches, and the cues of the numbers that they mean."""


_BY_CLAUSE = tuple((re.compile(words), cues) for words, cues in _CLAUSES)

_ON_NEEDLES = re.compile(r"# (?:stitches )?(?:on|all) (?:the|my|your|round|around|told)\b")
_IN_ROW = re.compile(r"\b(?:knit|purl|work|go|on|round|way|back|across|along) to the end\b")
"""The end of a round: “knit to the end, and now you have forty five”."""
_OF_ONE_BEFORE = re.compile(r"^(?:in the gusset|between the markers) ")
"""What stands behind the count before: “thirteen in the gusset, fifty seven on the needles”."""


def stitches_meant(said: Said, pattern: Sequence[Planned]) -> list[Planned] | None:
    """Give the counts of stitches that the words around one mean; None where they do not tell."""
    close = said.clause()
    if _ON_NEEDLES.match(said.near(0, 4)):
        close = _OF_ONE_BEFORE.sub("", close)
    if "the end" in close and _IN_ROW.search(said.near(9, 8)):
        close = close.replace("the end", "")
    if is_place(said):
        return of_cues(pattern, "last")
    for rule in _RULES:
        found = rule(said, pattern, close)
        if found is not None:
            return [*found, *_of_the_round_told(said, pattern)]
    return None


def _of_the_round_told(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the count of the round gone through, named some way off: “in round three knit … at the end we have”."""
    told = [
        each for each in said.others if each.ordinal and each.unit in ("rounds", "rows") and each.end <= said.one.first
    ]
    if (
        not told
        or said.one.first - told[-1].end > _WHILE
        or _GOES_ON.search(" ".join(said.words[told[-1].end : said.one.first]))
    ):
        return []
    return [
        each
        for each in of_cues(pattern, f"round {told[-1].value:g}", f"own round {told[-1].value:g}")
        if each.at(said.holds.size) == said.one.value
    ]


_WHILE = 45
"""So many words at most tell the steps of a round, up to the count at its end (planning guess, from memory)."""
_GOES_ON = re.compile(r"\b(?:until|till|carry on|keep (?:going|on)|rest of|the others?|every)\b")
"""Said of more rounds than the one that was named."""


def is_place(said: Said) -> bool:
    """Whether so many stitches tell a place in the row: “four stitches before the end”."""
    return _PLACE.match(said.near(0, 8)) is not None


_PLACE = re.compile(
    r"# (?:stitch(?:es)? )?(?:left |remaining )?(?:before|short of) (?:the |that |your |each |every |a )?"
    r"(?:very |far |other |next |last |first |second )?(?:end|markers?)\b"
)


def _of_the_thumb(said: Said, pattern: Sequence[Planned], close: str) -> list[Planned] | None:
    """Give the count that is put on hold, where it goes off the needle or is told to be the thumb's."""
    asleep = of_cues(pattern, "held")
    if asleep and (
        not _OF_THUMB.isdisjoint(said.words[said.one.first : said.one.end])
        or _PUT_OFF.search(said.near(0, 5).replace("# stitches", "#"))
        or _GO_OFF.search(close)
        or said.near(0, 3).replace("# stitches", "#").startswith("# for the thumb")
    ):
        return asleep
    return of_cues((*pattern, *said.holds.elsewhere), "held") if _THEIR_THUMB.match(said.near(0, 8)) else None


def _at_a_round(said: Said, pattern: Sequence[Planned], close: str) -> list[Planned] | None:
    """Give the count after the round that is named before it or behind it."""
    if said.words[said.one.number.end : said.one.end + 2][:2] in (["of", "them"], ["of", "those"], ["of", "these"]):
        return None  # some of those that there are then
    if _BEGAN.search(said.near(2, 0)):
        return None  # “from forty four down to thirty six”
    place = round_after(said.one, said.words, said.others) if said.near(0, 1) == "# after" else ""
    place = place or round_before(said.one, said.words, said.others)
    place = place or round_after(said.one, said.words, said.others)
    if _OF_ALL_HAD.search(said.near(4, 6).replace("# stitches", "#")):
        return of_cues(pattern, "start", "cast on", "text")
    found = of_cues(pattern, place, f"own {place}")
    if place.startswith("round ") and _is_a_work(float(place.removeprefix("round ")), said):
        found += of_cues(pattern, "end")  # “after twelve rows” of shaping
    if not (place and found) or (place.startswith("shaping ") and _GAINED.search(close)):
        return None
    if _HALVES.search(close) and not any(each.at(said.holds.size) == said.one.value for each in found):
        return halved(found)
    return (_between_then(said, found, pattern) if CUED["between"].search(close) else found) or None


def _in_words(said: Said, pattern: Sequence[Planned], close: str) -> list[Planned] | None:
    """Give the count that words of their own tell, some way off."""
    ends = of_cues(pattern, "end") if said.words[max(0, said.one.first - 2) : said.one.first] == ["stop", "at"] else []
    if ends and {one.values for one in ends} != {one.values for one in of_cues(pattern, "start")}:
        return ends
    if _FROM_TO.search(said.near(6, 6)):
        rounds = next((each.value for each in said.others if 0 < each.first - said.one.end <= 5), 0.0)
        every = (each for unit in ("rounds", "rows") for each in said.holds.pattern.get(unit, ()))
        works = {each.at(said.holds.size) for each in every if each.cue in _ALL_OF_IT and not _SOME.search(each.what)}
        if rounds not in works and (then := of_cues(pattern, f"round {rounds:g}")):
            return then
        return of_cues(pattern, "end", "shaping last")
    if _CORNERS.search(said.near(9, 6)) and of_cues(pattern, "picked up"):
        return of_cues(pattern, "round 1")
    if _FRONT.search(close) or _ON_TWO.match(said.near(0, 12)):
        return of_cues(pattern, "half")
    return of_cues(pattern, "end", "start", "cast on", "text") if _AS_CAST_ON.search(close) else None


def _by_clause(said: Said, pattern: Sequence[Planned], close: str) -> list[Planned] | None:
    """Give the counts of the cues that the clause of a count tells."""
    held, between = CUED["held"].search(close) is not None, CUED["between"].search(close) is not None
    for words, cues in _BY_CLAUSE:
        half = cues == ("end",) and "half" in close.split()
        inside = cues[0] == "shaping last" and between
        if words.search(close) and not (held and "end" in cues) and not (half or inside):
            rounds = cues[-1] == "shaping 0" and _OF_A_ROUND.search(said.near(14, 9))
            return [each for each in pattern if each.cue in cues or (rounds and each.cue.startswith("round "))]
    return of_cues(pattern, "shaping last", "end") if _AFTER_LAST.search(said.near(12, 8)) and not between else None


def _by_cue(said: Said, pattern: Sequence[Planned], close: str) -> list[Planned] | None:
    """Give the counts of the cue whose words stand nearest."""
    here = {each.cue for each in pattern}
    told = [(_far(cue, close), cue) for cue in MEANT if cue in here and CUED[cue].search(close)]
    if told and min(told)[0] >= _ELSEWHERE and _is_live(said, pattern):
        return None  # “fifty one on the whole round, and between my markers …”
    for _, cue in sorted(told, key=lambda one: one[0]):
        if cue == "last" and re.search(r"\bmy last|last round", close):
            continue
        parts = said.holds.parts.stages(said.near(14, 9).split()) - {*said.holds.stages}
        found = of_cues(pattern, cue)
        found = [each for each in found if each.stage in parts] or found
        return _at_an_end(said, found) if cue == "between" else found
    return None


_RULES: tuple[Callable[[Said, Sequence[Planned], str], list[Planned] | None], ...] = (
    _of_the_thumb,
    _at_a_round,
    at_a_time,
    _in_words,
    _by_clause,
    _by_cue,
)
"""The rules, in the order in which they are asked."""


_GAINED = re.compile(r"\b(?:added|gained|lost|gone|put in|made|taken)\b.*#|# (?:[\w']+ )?(?:more|fewer|less|gone)\b")
"""What is told of all that came on or went, not of all there are."""


def _between_then(said: Said, counts: Sequence[Planned], pattern: Sequence[Planned]) -> list[Planned]:
    """Give the count between markers when all stitches are so many: those that came on since the stage began."""
    size = said.one.size if said.one.size is not None else said.holds.size
    starts = {each.stage: each.values[min(size, len(each.values) - 1)] for each in pattern if each.cue == "start"}
    grown = {each.at(size) - starts.get(each.stage, 0.0) for each in counts if len(each.values) > size}
    return [each for each in pattern if each.cue == "between" and each.at(min(size, len(each.values) - 1)) in grown]


def _is_a_work(rounds: float, said: Said) -> bool:
    """Whether a work of the segment has so many rows, which are not all of its stage."""
    size = said.one.size if said.one.size is not None else said.holds.size
    planned = [each for unit in ("rounds", "rows") for each in said.holds.pattern.get(unit, ())]
    return rounds > 5 and any(each.cue == "work" and each.at(size) == rounds for each in planned)


_GO_OFF = re.compile(
    r"# (?:stitches )?(?:[\w']+ ){0,2}?(?:on hold|to sleep|(?<!half )asleep|on(?: to|to)? (?:the|a|some"
    r"|my) (?:[\w']+ )?(?:waste|scrap|thread"
    r"|string|holder))\b"
)
_THEIR_THUMB = re.compile(
    r"# (?:stitches )?of (?:them|these|those) (?:(?:are|is|being|for|belong|to|make|the) )*thumb\b"
    r"|# (?:of (?:them|these|those) )?(?:are |is |get |gets |to )?(?:wak(?:e|es|ing)|woken) up\b"
)
_PUT_OFF = re.compile(
    r"# (?:of (?:them|these|those) )?(?:that )?(?:come|go|slide|slip|move|get)s? (?:off|over on|across on|onto)\b"
)
_OF_THUMB = frozenset(("thumb", "gusset", "sleeping", "sleepy"))
_ALL_OF_IT = ("total", "work", "shaping")
_SOME = re.compile(r"one (?:behind|after the other)$")
_BEGAN = re.compile(r"\bfrom (?:the |my |our |your )?#$")
_OF_ALL_HAD = re.compile(
    r"\b(?:left|remain\w*) (?:of|from|out of) (?:the |my |our |your |those )?#"
    r"|\b(?:of|from|out of) (?:the|my|our|your|those) # (?:that )?(?:we|you|i)(?:'ve|'d)? (?:had|have cast|began"
    r"|started|cast|came)\b"
)
"""“Twenty eight left of the forty four I had”."""
_HALVES = re.compile(
    r"# (?:[\w']+ )?(?:on )?(?:this|that|the other|each|either|the one) (?:side|half)|# on the other\b"
)
_ON_TWO = re.compile(r"# (?:stitches )?on (?:this|one|that)(?: needle| one)? and (?:[\w']+ ){1,4}on the other\b")
_FRONT = re.compile(r"# (?:[\w']+ )?in the (?:front|back)\b(?! (?:needle|of|loop|bar))")
_AS_CAST_ON = re.compile(
    r"\bback (?:down |up )?(?:to|at) (?:(?:our|the|my|your) )?(?:original |same |old |first )?#"
    r"|# (?:exactly |just )?(?:what|as many as) (?:you|we) cast on"
    r"|# (?:again )?(?:the )?same as (?:the cuff|before|(?:we|you|i) (?:cast on|started)|at the (?:start|beginning))\b"
)
_FROM_TO = re.compile(
    r"\bfrom (?:[\w']+ ){1,5}to #(?: stitches)? (?:over|within|in) [\w']+ (?:rounds|rows)\b"
    r"|\band so (?:on|forth) (?:(?!up\b)[\w']+ ){0,3}?(?:to|until|till) #"
)
_CORNERS = re.compile(
    r"# (?:stitches )?(?:once|when|after) (?:[\w']+ ){0,6}?clos(?:e|ed|ing) (?:[\w']+ ){0,2}?(?:holes?|corners?"
    r"|gaps?)\b"
    r"|\b(?:after|once|when|then)? ?clos(?:e|ed|es|ing) (?:up )?(?:both |of |the |my |your |two )*corners?\b.*#"
    r"|\bcorners (?:are |is |have )?(?:closed?|shut|done)\b.*#|# (?:[\w']+ ){0,3}?(?:after|once) .*\bcorners\b"
)
"""Said of the round that works what was picked up together."""
_AFTER_LAST = re.compile(
    r"\b(?:when|once|with) (?:the|my|your) last (?:in|de)crease (?:is |has been )?(?:done|finished|in|worked|made)\b"
    r"|\bafter (?:the|my|your) (?:very )?last (?:one|round|row|decrease|increase)\b"
    r"|\bwidest (?:bit|part|point|place)\b"
)
_IN_THE_END = re.compile(
    r"\b(?:(?:ends? up|finish(?:es)?) (?:at|with|on)|(?:we|you)(?:'ll|'re| are)? (?:stop|done|finish\w*|end up)"
    r"|widest|most|in the end|all is said and done|by the end|in total"
    r"|when (?:we're|you're|it's) done"
    r"|(?:increas\w+|they) (?:are|is) (?:all )?(?:in|done|finished))\b"
)


def _at_an_end(said: Said, found: list[Planned]) -> list[Planned]:
    """Give the count between markers with which a shaping begins or ends, where one of these is told of."""
    size = said.one.size if said.one.size is not None else said.holds.size
    about = said.near(12, 12)
    counts = [each.at(min(size, len(each.values) - 1)) for each in found]
    if counts and _IN_THE_END.search(about):
        return [each for each, count in zip(found, counts, strict=True) if count == max(counts)]
    return found


def _far(cue: str, close: str) -> int:
    """How far the words of a cue stand from a number, in letters."""
    at = close.index("#")
    return min(
        (
            max(one.start() - at - 2, at - one.end()) + (30 if " and " in close[at : one.start()] else 0)
            for one in CUED[cue].finditer(close)
        ),
        default=999,
    )


_ELSEWHERE = 12
"""So many letters off, or behind an “and”, words of a cue may be of something else."""


def _is_live(said: Said, pattern: Sequence[Planned]) -> bool:
    """Whether so many stitches are there at some round."""
    size = said.one.size if said.one.size is not None else said.holds.size
    live = (each for each in pattern if each.cue.startswith(("round ", "state", "start", "end", "cast on")))
    return any(each.at(size) == said.one.value for each in live if each.unit == "stitches" and len(each.values) > size)


_OF_A_ROUND = re.compile(r"\b(?:last|this|that|next|first|\w+th) (?:round|row)\b")
