"""Which of the numbers that hold are meant by what was said: by a round, by cue words, by a line of the script."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.edit.proof.expected.texts import content
from lessonplan.edit.proof.findings import CUES, Planned
from lessonplan.edit.proof.said import CUED, Said
from lessonplan.edit.speech.numbers import ORDINALS
from lessonplan.edit.speech.rounds import round_after, round_before
from lessonplan.edit.speech.units import LENGTHS

MEANT = ("cast on", "held", "picked up", "between", "change", "repeat", "last", "start", "half")
"""Cues that say alone which number is meant."""
_STRIPED = re.compile(
    r"\bevery #.*\b(?:colou?rs?|stripes?|swap|switch|change)|\b(?:swap|change|switch)(?: over)? every #|\b(?:colou?rs?"
    r"|stripes?) (?:after )?every #|\b(?:every |each |the )?stripe(?:s|'s)?(?: (?:of|is|are|has|have|gets?|goes))* #"
    r"|\beach (?:one |stripe |of them )?(?:is|has|gets|being) #"
    r"|# (?:rounds |rows )?(?:then|and)(?: then)? (?:change|swap|switch) (?:colou?rs?|over|yarns?|to)"
    r"|# (?:rounds|rows) (?:of|in|for) each\b|#(?: rounds| rows)? (?:in|of) (?:one|each|the other) colou?r|\beach "
    r"colou?r\b.*#"
)
AT_END = r"\bthe (?:very )?end(?! of (?:[\w']+ )?(?:round|row|rnd|line|needle|left|right)s?\b)\b"
_CLAUSES: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        r"\bafter (?:the|my|your) last (?:increase|decrease)\b|\b(?:in|de)creas[\w']+ (?:is|are) (?:all )?(?:done"
        r"|finished|over)"
        r"|\b(?:done|finished|finish|through) (?:with )?(?:all )?(?:of )?(?:the |my |your )?(?:in|de)creas"
        r"|\bafter (?:all )?the (?:in|de)creas\w+",
        ("shaping last", "end"),
    ),
    (rf"{AT_END}.*#|#.*{AT_END}", ("shaping last", "end")),
    (r"\bfirst #.*\b(?:then|place|put|pop|slip|hang|and)\b", ("run", "half")),
    (
        r"^(?=.*\b(?:until|till|(?<!always )stop\w*(?! for)|all that's|thread|finish\w*)\b).*"
        r"(?:# (?:[\w']+ ){0,3}?(?:left|remain\w*)\b(?! (?:of|before|after))|\b(?:down to|decreas[\w']+ (?:at|to)) #)",
        ("end",),
    ),
    (r"\b(?:start|begin)(?:s|ing)? with #", ("start", "cast on", "text")),
    (r"# in (?:a|each|every|one) round\b", ("change", "made", "shaping", "repeat")),
    (r"\b(?:added|gained) #", ("shaping", "change")),
    (r"# from the (?:waste|scrap)", ("held",)),
    (
        r"# (?:stitches )?left (?:and|so|then)\b.*\b(?:scissors|cut|thread|draw|pull|needle goes)"
        r"|# (?:stitches )?(?:still )?stay|# (?:stitches )?(?:across |around )?(?:when|by the time|once) (?:we"
        r"|you|i)(?:'re|'ve)?"
        r" (?:finish\w*|stop|done)\b",
        ("end",),
    ),
    (r"# (?:more )?(?:from|along|across|in|over|out of|at) the (?:gap|hole)", ("picked up",)),
    (r"\b(?:ends?|left|finish) (?:up )?with #", ("end", "text", "between")),
    (
        r"\buntil (?:you have |you've got |you've |we've |there are |they have |they've |it's |it is |there's |only )?#(?! (?:stitches )?(?:left )?(?:before|from"
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
        r"#(?: (?:stitches|left|remain\w*|are|then|you|we|and|on|the|your|needles?))* (?:stop|cut|break|thread|draw)\b"
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


def striped(said: Said) -> bool:
    """Whether rounds are told of a stripe: “four rounds of yellow”, “each stripe is”."""
    one = said.one
    planned = (*said.holds.pattern.get("rounds", ()), *said.holds.pattern.get("rows", ()))
    if one.unit not in ("rounds", "rows") or not any(each.cue == "stripe" for each in planned):
        return False
    after = [word for word in said.words[one.end : one.end + 3] if word not in ("of", "in", "the")]
    return _STRIPED.search(said.about) is not None or bool(after and after[0] in said.holds.colours)


_PLACES = ("hand", "top", "join", "edge")
"""Words that name a part, and are said of anything."""


def named(said: Said) -> list[Planned]:
    """Give the numbers of stages that are named beside a quantity, though the segment is about another."""
    if said.named is None:
        said.named = _named(said)
    return said.named


def _named(said: Said) -> list[Planned]:
    one, holds = said.one, said.holds
    near = {*said.words[max(0, one.first - 20) : one.first], *said.words[one.end : one.end + 9]}
    if one.unit in LENGTHS:  # “three inches from the top of the band” is not of the band
        off = re.search(r"# (?:[\w']+ ){0,2}?(?:from|above|below|past)(?: \w+){1,5}", said.near(0, 9))
        near -= {*off[0].split()} if off else set()
    keys = {key for key in holds.titles if key not in (*holds.stages, *_PLACES) and key in near}
    of_part = re.search(r"# (?:stitches )?(?:around|for|of|in) (?:(?:the|your|my) )?(\w+)", said.near(0, 4))
    keys |= {holds.parts.stage(of_part[1])} - {"", *holds.stages} if of_part else set()
    beside = (*said.words[max(0, one.first - 5) : one.first], *said.words[one.end : one.end + 5])
    keys |= holds.parts.stages(word for word in beside if word not in _PLACES) - {"", *holds.stages}
    cord = bool({"cord", "cord's"} & near)
    here = {each.cue for each in holds.pattern.get("stitches", ())}
    cues = {cue for cue in ("cast on", "held", "picked up") if one.unit == "stitches" and said.cued(cue)} - here
    if not (keys or cord or cues):
        return []
    return [
        each
        for each in holds.elsewhere
        if each.stage in keys or (cord and each.fact.endswith(".cord")) or (each.cue in cues and not keys)
    ]


def meant(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the numbers that the words around a quantity mean: by a round, by a cue, or by a line of the script."""
    one = said.one
    if one.unit == "stitches":
        stitches = _stitches_meant(said, pattern)
        if stitches is not None:
            return stitches
    if one.unit in ("rounds", "rows") and CUED["plain"].search(said.near(0, 3)):
        plain = [each for each in pattern if each.cue == "plain"]
        if plain:
            return [*plain, *(each for each in pattern if each.cue == "work")]
    if one.unit in ("knit", "purl") and one.value > 1:
        place = _round_behind(said) or round_before(one, said.words, said.others, 4)
        found = [each for each in pattern if each.cue == place]
        if place and found:
            return found
    if striped(said):
        return [each for each in pattern if each.cue == "stripe"]
    if one.unit in LENGTHS and re.search(r"\bapart\b", said.about):
        return [each for each in pattern if each.cue == "gauge"]
    if one.unit in ("rounds", "rows") and (of_part := _rounds_of_part(said)):
        return of_part
    if one.unit in LENGTHS and (of_part := _of_subject(said, pattern) or _of_shape(said, pattern)):
        return of_part
    texts = [each for each in pattern if each.cue == "text" and each.words]
    if one.unit in ("mm", "us") or not texts:
        return []  # one line names all needles
    own = content(said.words, one, said.others)
    likely = [(len(own & each.words), each) for each in texts]
    best = max(
        (count for count, each in likely if count >= 3 and count >= 0.5 * min(len(own), len(each.words))), default=0
    )
    found = [each for count, each in likely if best and count >= max(3, best - 1)]
    # A line of the script says which number is meant only where it holds a fact; else it merely is one more number.
    return found if found and all(each.fact for each in found) else []


_IS = re.compile(
    r"(?:(?:now|only|then|itself|alone|here|altogether|(?:when|once) (?:it's|it is) \w+) )*"
    r"(?:is|was|comes?|came|wants?|should|measures?|measured|has|takes?|needs?|gets?|will|goes|stands|works|ought|must"
    r"|grows?|reaches|ends|would|should've|are)\b"
)
_SPOKEN_OF = ("hand", "join", "edge", "ends")
"""Words that name a part, and are rather said of the body or of the work."""


def _of_subject(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the lengths of the part of which a length is told: “the cuff comes to”, “a gusset of”."""
    before = said.near(14, 0).split()[:-1]
    named = [(at, said.holds.parts.stage(word)) for at, word in enumerate(before) if word not in _SPOKEN_OF]
    parts = [(at, key) for at, key in named if key]
    if not parts or len({key for _, key in parts[-2:]}) > 1:
        return []
    at, key = parts[-1]
    told = before[at].endswith("'s") or _IS.match(" ".join(before[at + 1 :]))
    if not told or {"from", "to", "tip", "above", "below", "between", "whole"} & {*before[max(0, at - 4) : at]}:
        return []
    lengths = [each for each in (*pattern, *said.holds.elsewhere) if each.unit in LENGTHS and each.stage == key]
    shape = _SHAPES.match(said.near(0, 3))
    wide = re.search(rf"{CUES['around']}|{CUES['across']}", said.clause()) is not None
    wide = wide and not (shape and shape["long"])
    either = not wide and said.cued("around")
    lengths = [each for each in lengths if either or (each.cue in ("around", "across")) == wide]
    facts = {each.fact for each in lengths} | {""}
    return lengths and [*lengths, *(each for each in pattern if each.cue == "text" and each.fact in facts)]


_OF_PART = re.compile(r"#(?: rounds| rows)? (?:of|in|for) (?:the |my |your |this |our )?(?:plain |whole )?(\w+)")


def _rounds_of_part(said: Said) -> list[Planned]:
    """Give the rounds of the part of which they are told, where a segment has several: “the cuff is twenty rounds”."""
    one, holds = said.one, said.holds
    before = said.near(9, 0).partition("#")[0].split()
    behind = _OF_PART.search(said.near(0, 4))
    key = holds.parts.stage(behind[1]) if behind else ""
    for at, word in enumerate(() if key else before):
        named = holds.parts.stage(word) if word not in _SPOKEN_OF or holds.parts.here == () else ""
        apart = {"from", "to", "above", "below", "between", "before", "after", "than"} & {*before[max(0, at - 2) : at]}
        title = said.holds.titles.get(named, "").split()
        rest = before[at + 1 :][before[at + 1 : at + 2] == title[-1:] :]  # “the second end is”
        beside = not rest and before[max(0, at - 1) : at] != ["of"]
        if named and not apart and (word.endswith("'s") or beside or _IS.match(" ".join(rest))):
            key = named
    if not key or (len(holds.stages) == 1 and key in holds.stages):
        return []
    own = [each for each in holds.elsewhere if each.unit == one.unit and each.stage == key]
    return [each for each in own if each.cue in ("total", "work", "shaping", "plain", "stripe", "repeat", "state")]


_SHAPES = re.compile(r"# (?:[\w']+ )?(?:(?P<long>tall|high|deep|long|upward|in height)|(?P<wide>wide|across|around))\b")


def _of_shape(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the lengths that a word right behind one tells: “six centimetres tall” is no width."""
    found = _SHAPES.match(said.near(0, 3))
    if found is None or len(said.holds.stages) > 2 or re.search(r"\b(?:cut|yarn|leave|tails?|swatch)\b", said.about):
        return []
    free = ("gauge", "measure") if said.cued("whole") else ("gauge", "measure", "whole")
    own = [each for each in pattern if each.unit in LENGTHS and each.cue not in free]
    facts = {each.fact for each in own if each.cue in ("around", "across")}
    wide = [each for each in own if each.cue in ("around", "across") or (each.cue == "text" and each.fact in facts)]
    return wide if found["wide"] else [each for each in own if each not in wide]


def _stitches_meant(said: Said, pattern: Sequence[Planned]) -> list[Planned] | None:
    """Give the counts of stitches that the words around one mean; None where they do not tell."""
    close = said.clause()
    place = round_before(said.one, said.words, said.others) or round_after(said.one, said.words, said.others)
    asleep = [each for each in pattern if each.cue == "held"]
    if asleep and _GO_OFF.search(close):
        return asleep
    if asleep and _PUT_OFF.search(said.near(0, 5).replace("# stitches", "#")):
        return asleep
    if asleep and not _OF_THUMB.isdisjoint(said.words[said.one.first : said.one.end]):
        return asleep
    if _THEIR_THUMB.match(said.near(0, 8)):
        return [each for each in (*pattern, *said.holds.elsewhere) if each.cue == "held"]
    if _OF_ALL_HAD.search(said.near(2, 6).replace("# stitches", "#")):
        return [each for each in pattern if each.cue in ("start", "cast on", "text")]
    found = [each for each in pattern if each.cue == place]
    if place.startswith("round ") and _is_a_work(float(place.removeprefix("round ")), said):
        found += [each for each in pattern if each.cue == "end"]  # “after twelve rows” of shaping
    if place and found and not (place.startswith("shaping ") and _GAINED.search(close)):
        between = _between_then(said, found, pattern) if CUED["between"].search(close) else found
        if _HALVES.search(close) and not any(each.at(said.holds.size) == said.one.value for each in found):
            return [replace(each, values=tuple(value / 2 for value in each.values)) for each in found]
        if between:
            return between
    if (turn := [each for each in pattern if each.cue == "turn"]) and _FASTER.search(said.near(12, 9)):
        return turn
    if _BEFORE_IT.search(said.near(6, 8)) and not between_markers_in(close):
        starts = [each for each in pattern if each.cue in ("start", "cast on", "text")]
        halves = [replace(each, values=tuple(value / 2 for value in each.values)) for each in starts]
        return [*starts, *(halves if CUED["half"].search(close) else ())]
    if _STAYS.search(said.near(3, 8)) and said.one.value > 3:
        kept = _kept(said, pattern)
        if kept:
            return kept
    over = _PART_OVER.search(said.near(14, 10))
    if over and said.holds.parts.stage(over[1] or over[2]) in said.holds.stages and not CUED["between"].search(close):
        return [each for each in pattern if each.cue in ("end", "shaping last")]
    if _CAME_WITH.search(said.near(0, 8)):
        return [each for each in pattern if each.cue in ("start", "cast on", "text")]
    if _FROM_TO.search(said.near(6, 6)):
        return [each for each in pattern if each.cue in ("end", "shaping last")]
    if _CORNERS.search(said.near(9, 6)) and any(each.cue == "picked up" for each in pattern):
        return [each for each in pattern if each.cue == "round 1"]
    if _FRONT.search(close):
        return [each for each in pattern if each.cue == "half"]
    if _AS_CAST_ON.search(close):
        return [each for each in pattern if each.cue in ("end", "start", "cast on", "text")]
    held = CUED["held"].search(close) is not None
    between_markers = CUED["between"].search(close)
    for words, cues in _BY_CLAUSE:
        half = cues == ("end",) and "half" in close.split()
        inside = cues[0] == "shaping last" and between_markers is not None
        if words.search(close) and not (held and "end" in cues) and not (half or inside):
            rounds = cues[-1] == "shaping 0" and _OF_A_ROUND.search(said.near(14, 9))
            return [each for each in pattern if each.cue in cues or (rounds and each.cue.startswith("round "))]
    here = {each.cue for each in pattern}
    if _AFTER_LAST.search(said.near(12, 8)) and not between_markers:
        return [each for each in pattern if each.cue in ("shaping last", "end")]
    told = [(_far(cue, close), cue) for cue in MEANT if cue in here and CUED[cue].search(close)]
    for _, cue in sorted(told, key=lambda one: one[0]):
        if cue == "last" and re.search(r"\bmy last|last round", close):
            continue
        if cue == "start" and re.search(r"# (?:stitches )?(?:left|remain)", close):
            continue
        parts = said.holds.parts.stages(said.near(14, 9).split()) - {*said.holds.stages}
        found = [each for each in pattern if each.cue == cue]
        found = [each for each in found if each.stage in parts] or found
        return _at_an_end(said, found) if cue == "between" else found
    return None


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


def between_markers_in(close: str) -> bool:
    """Whether a count is told of the stitches between markers."""
    return CUED["between"].search(close) is not None


def _kept(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the counts that hold over several rounds of what is worked."""
    size = said.one.size if said.one.size is not None else said.holds.size
    rounds = [each for each in pattern if each.cue.startswith("round ") and each.stage in said.holds.stages]
    counts = [each.at(min(size, len(each.values) - 1)) for each in rounds]
    return [each for each, count in zip(rounds, counts, strict=True) if counts.count(count) > 2]


_GO_OFF = re.compile(
    r"# (?:stitches )?(?:[\w']+ ){0,2}?(?:on hold|to sleep|(?<!half )asleep|on(?: to|to)? (?:the|a|some|my) (?:[\w']+ )?(?:waste|scrap|thread"
    r"|string|holder))\b"
)
_FASTER = re.compile(r"\bevery (?:other|second) (?:round|row)\b.*#.*\b(?:then|after|from)\b.*\bevery (?:single )?(?:round|row|one)\b")
_BEFORE_IT = re.compile(
    r"# (?:[\w']+ ){0,5}?(?:before (?:we|you|i) (?:begin|start|do|decrease|increase)|to (?:begin|start) with)\b"
)
_STAYS = re.compile(r"\b(?:stays?|keep|keeps|remains) (?:at )?#|# (?:stitches )?(?:wide )?(?:all along|the whole (?:way|time|length)|all the way (?:up|along|through))\b")
_PART_OVER = re.compile(
    r"\b(?:when|once|after|with|now|by the time) (?:that )?(?:the|your|my) (\w+)(?:'s| is| are) (?:all )?(?:over|done"
    r"|finished|complete|behind (?:you|us|me))\b|\bat the end of the (\w+)\b(?! (?:round|row))"
)
"""“When the widening is over.”"""
_CAME_WITH = re.compile(r"# (?:stitches )?(?:that |which )?(?:we|you|i)(?:'ve|'d)? (?:came|come|went|started|began|begun) (?:in |out |off )?with\b")
_THEIR_THUMB = re.compile(r"# (?:stitches )?of (?:them|these|those) (?:(?:are|is|being|for|belong|to|make|the) )*thumb\b")
_PUT_OFF = re.compile(r"# (?:of (?:them|these|those) )?(?:that )?(?:come|go|slide|slip|move|get)s? (?:off|over on|across on|onto)\b")
_OF_THUMB = frozenset(("thumb", "gusset", "sleeping", "sleepy"))
_OF_ALL_HAD = re.compile(
    r"\b(?:of|from|out of) (?:the|my|our|your|those) # (?:that )?(?:we|you|i)(?:'ve|'d)? (?:had|have cast|began"
    r"|started|cast)\b"
)
"""“Twenty eight left of the forty four I had”."""
_HALVES = re.compile(
    r"# (?:[\w']+ )?(?:on )?(?:this|that|the other|each|either|the one) (?:side|half)|# on the other\b"
)
_FRONT = re.compile(r"# (?:[\w']+ )?in the (?:front|back)\b(?! (?:needle|of|loop|bar))")
_AS_CAST_ON = re.compile(
    r"\bback (?:down |up )?(?:to|at) (?:(?:our|the|my|your) )?(?:original |same |old |first )?#"
    r"|# (?:exactly |just )?(?:what|as many as) (?:you|we) cast on"
    r"|# (?:again )?(?:the )?same as (?:the cuff|before|(?:we|you|i) (?:cast on|started)|at the (?:start|beginning))\b"
)
_FROM_TO = re.compile(
    r"\bfrom (?:[\w']+ ){1,3}to #(?: stitches)? (?:over|within) [\w']+ (?:rounds|rows)\b"
    r"|\band so (?:on|forth) (?:(?!up\b)[\w']+ ){0,3}?(?:to|until|till) #"
)
_CORNERS = re.compile(
    r"\b(?:after|once|when|then)? ?clos(?:e|ed|es|ing) (?:up )?(?:both |of |the |my |your |two )*corners?\b.*#"
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
    if counts and re.search(r"\b(?:start|begin)s? (?:off )?with #", about):
        return [each for each, count in zip(found, counts, strict=True) if count == min(counts)]
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


_OF_A_ROUND = re.compile(r"\b(?:last|this|that|next|first|\w+th) (?:round|row)\b")


_ON_THE = re.compile(r"#(?: (?!and\b|then\b)\w+){0,4} (?:on|in) the (\w+)(?: round| row)?(?: |$)")


def _round_behind(said: Said) -> str:
    """Give the cue of the round that is named behind its steps: “knit eight, knit two together on the fifth”."""
    found = _ON_THE.match(said.near(0, 8))
    if found and found[1] in ORDINALS:
        return f"round {ORDINALS[found[1]]}"
    one = said.one
    named = next((each for each in said.others if each.ordinal and 0 <= each.first - one.end <= 7), None)
    return f"round {named.value:g}" if named and said.words[named.first - 1] in ("on", "in") else ""
