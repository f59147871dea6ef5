"""Places among the rounds, and times to wait, held against what holds where they were said."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.counts.prose import at
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.expected.parts import stem
from lessonplan.edit.proof.figures.idle import around
from lessonplan.edit.proof.findings import CUES, Kind, Planned, Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.rounds import INTO

_WAITS = re.compile(
    r"\bnight and (?:a|half a) (?:morning|day)\b|\b(?:soak\w*|leave|dr(?:y|ies|ying)|bath|wait|steam\w*|rest|press"
    r"|water|soap|bowl"
    r"|basin|sink|tub|bucket|dish|dunk\w*|towel|flat|lie|lies|lying)\b"
)

_STOPS = re.compile(
    r"# (?:[\w']+ ){0,2}?(?:you|we|i(?! always| usually| often| like)|is the last"
    r"|was the last)(?: \w+)? ?(?:stop(?! (?:the|with|doing|having|knitting|resting)\b)|finish|are done|'re done"
    r"|last)\b"
    r"|\bstop (?:after|at|with) (?:the )?#|# (?:[\w']+ ){0,3}?(?:the |my |our |your )?(?:very )?last (?:one"
    r"|round|row|of)\b"
)
"""Where the rounds of a part end: “on the twenty second round you stop”."""
_PARTS = re.compile(r"\b(?:and|then)\b")
_IN_WATER = re.compile(r"# .*\bin (?:the|cool|cold|some|lukewarm) (?:[\w']+ )?(?:water|bath|sink|bowl|basin)\b")
_SO_LONG = re.compile(r"\b(?:i|we|you)(?:'ve| have) been (?:[\w']+ ){1,4}#")
"""How long somebody has been at work: “I've been at this for four hours”."""
_BURNS = re.compile(r"\b(?:scald(?:s|ed)?|burn(?:s|ed|t)?|skin|running|steam(?= .*\bunder\b))\b")
_COLD = re.compile(
    r"\b(?:under (?:[\w']+ ){0,3}?(?:taps?|water)|(?:cool|cold|running) (?:running )?water|cool(?:ed)? (?:it|the "
    r"burn))\b"
)
"""Cold water for a burn is no bath for wool."""


def judge_place(one: Quantity, words: Sequence[str], holds: Holds) -> Verdict | None:
    """Judge an ordinal: a round that there is, in rounds and not in rows."""
    if not holds.rounds or holds.flat is None:
        return None
    right_unit = "rows" if holds.flat else "rounds"
    before = words[max(0, one.first - 3) : one.first]
    if before[-1:] in (["every"], ["each"]):
        return _every(one, words, holds, right_unit)
    if {"every", "each", "another"} & {*before} or (one.value <= 2 and one.number.ordinal):
        return None
    most = _rounds(one.size, right_unit, holds)
    if one.value > most:
        return Verdict("disagrees", f"there are {most} {right_unit} here")
    held = [each for each in holds.pattern.get(right_unit, ()) if each.cue == "held at"]
    if held and one.value > 2 and re.search(CUES["held"], around(words, one, 4, 10)):
        right = at(held[0], one.size if one.size is not None else holds.size)
        return None if one.value == right else Verdict("disagrees", f"round {right:g} ({held[0].what})")
    ends = _STOPS.search(around(words, one, 2, 9)) is not None
    totals = [each for each in holds.pattern.get(right_unit, ()) if each.cue in ("total", "shaping", "work")]
    if (
        ends
        and one.value > 3
        and totals
        and not any(one.value == at(each, one.size if one.size is not None else holds.size) for each in totals)
    ):
        return Verdict("disagrees", f"there are {most} {right_unit} here")
    if one.unit != right_unit:
        return Verdict("wrong unit", f"{right_unit} are worked here")
    return None


def _rounds(size: int | None, unit: str, holds: Holds) -> int:
    """How many rounds the longest stage here has in the size that is told; in the one filmed where none is."""
    if size is None or size == holds.size:
        return holds.rounds
    stages = {f"{key}.{unit}" for key in holds.stages}
    return int(
        max((at(each, size) for each in holds.pattern.get(unit, ()) if each.fact in stages), default=holds.rounds)
    )


_CHANGES = re.compile(r"\b(?:colou?rs?|stripes?|swap|switch)\b.*#")


_SHAPED = re.compile(rf"{CUES['shaping']}|\bput in\b|\badd\b|\b(?:more|fatter|wider|bigger)\b.*#|# .*\bmore\b")


def _every(one: Quantity, words: Sequence[str], holds: Holds, unit: str) -> Verdict | None:
    """Judge “in every fourth round”: how far apart the shaping rounds are."""
    stripes = [each.at(0) for each in holds.pattern.get(unit, ()) if each.cue == "stripe"]
    if stripes and _CHANGES.search(around(words, one, 8, 3)):
        right = any(one.value - each in (0, 1) for each in stripes)
        return None if right else Verdict("disagrees", f"stripes of {stripes[0]:g} {unit}")
    near = {stem(word) for word in words[max(0, one.first - 8) : one.end + 8]}
    things = [each for each in holds.elsewhere if each.cue == "every thing" and not each.words.isdisjoint(near)]
    if things:
        things += [each for each in holds.pattern.get(one.unit, ()) if each.cue == "text"]
        apart = [at(each, one.size if one.size is not None else holds.size) for each in things]
        return None if one.value in apart else Verdict("disagrees", f"every {apart[0]:g} {unit} ({things[0].what})")
    periods = [each.at(holds.size) for each in holds.pattern.get(unit, ()) if each.cue == "every"]
    if not periods or one.value in periods or not _SHAPED.search(around(words, one, 8, 6)):
        return None
    return Verdict("disagrees", f"every {max(periods):g} {unit}" if max(periods) > 1 else f"in every one of the {unit}")


_SO_FAR = re.compile(
    r"\b(?:after|(?:when|once|now|as soon as) (?:you've|you have|i've|we've|you|we|i) (?:[\w']+ )?(?:done"
    r"|knit|worked|knitted|finished))(?: \w+)? #"
    rf"|# (?:[\w']+ )?(?:{INTO}|later\b|done\b|from here\b)"
)
_CHANGED_IN = re.compile(r"\bfrom (?:[\w']+ ){1,6}to (?:[\w']+ ){1,4}(?:in|over|within) #(?: [\w']+)?$")
"""“From forty four to twenty eight in eight rounds.”"""
_COUNTS_THEN = re.compile(
    r"\b(?:count|have|has|there's|there are|you've|i've|we've|left|needles?|get|got|at|up to|down to|reads|says"
    r"|shows)\b"
)


def so_far(said: Said) -> bool:
    """Whether rounds are told as the place at which stitches are counted: “after eight rounds there are fifty one”."""
    one, words = said.one, said.words
    if one.unit not in ("rounds", "rows") or one.ordinal or not 0 < one.value <= said.holds.rounds:
        return False
    other_unit = said.holds.flat is not None and (one.unit == "rows") != said.holds.flat
    if other_unit:
        return False
    if _CHANGED_IN.search(said.near(12, 0)) and any(0 < one.first - each.end <= 4 for each in said.others):
        return True
    if not _SO_FAR.search(said.near(6, 5)):
        return False
    count = next((each for each in said.others if each.first >= one.end), None)
    if count is None or count.first - one.end > 12 or count.unit not in ("", "stitches") or count.value < 4:
        return False
    return _COUNTS_THEN.search(" ".join(words[one.end : count.end + 2])) is not None


def is_first_aid(one: Quantity, words: Sequence[str]) -> bool:
    """Whether a time is that of a burn under cold water: it is supposed, and holds all the same."""
    told = around(words, one, 14, 8)
    return one.unit in ("minutes", "hours") and _BURNS.search(told) is not None and _COLD.search(told) is not None


def judge_time(one: Quantity, words: Sequence[str], holds: Holds) -> Verdict | None:
    """Judge a time that something is to wait, soak or dry; other times are anecdotes."""
    minutes = one.value * {"hours": 60, "days": 1440}.get(one.unit, 1)
    near = around(words, one, 9, 4)
    before, _, after = near.partition("#")
    clause = f"{re.split(_PARTS, before)[-1]}#{re.split(_PARTS, after)[0]}"
    if is_first_aid(one, words):
        return _cooled(minutes, holds)
    if _TOLD_PAST.search(before) or _IN_AN_HOUR.match(around(words, one, 0, 4)):
        return None
    wet = _IN_WATER.search(around(words, one, 0, 9))
    if (
        minutes <= 2
        or _SO_LONG.search(near)
        or not (wet or _WAITS.search(near) or _is_bath(near, holds))
        or re.match(r".*(?<!dry )(?<!dries )(?<!dried )\bin (?:about )?#", near)
    ):
        return None
    if words[max(0, one.first - 1) : one.first] == ["or"] or (one.unit == "days" and _long_enough(one, words, holds)):
        return None  # as long as it takes
    cue = _waits_for(one, clause) or _waits_for(one, near) or "time"
    own = [each for each in holds.pattern.get("minutes", ()) if each.cue == cue or _soaks(cue, each)]
    elsewhere = [each for each in holds.elsewhere if each.unit == "minutes" and each.cue == cue]
    meant = own or [each for each in elsewhere if cue == "dry"]
    least = minutes * one.number.low / one.number.high if one.number.high else minutes
    if any(least - 0.5 < each.at(0) < minutes + 0.5 for each in (*own, *elsewhere)):
        return None
    if not meant:
        return Verdict("unplanned number")
    right = meant[0].at(0)
    swapped = minutes / 60 if one.unit == "hours" else minutes * 60
    kind: Kind = "wrong unit" if any(abs(each.at(0) - swapped) < 0.5 for each in meant) else "disagrees"
    told = f"{right / 60:g} hours" if right >= 120 else f"{right:g} minutes"
    told = f"{right / 1440:g} days" if one.unit == "days" and right >= 2880 else told
    return Verdict(kind, f"{told} ({meant[0].what})", meant[0].fact)


_IN_AN_HOUR = re.compile(r"# (?:in|to|make|makes) (?:the|an?|every|each|one) (?:hour|day|week)\b")
_TOLD_PAST = re.compile(r"\b(?:it|they|mine|i) \w+(?:ed|pt) (?:(?!to\b)[\w']+ )?for (?:about )?$")
"""“It dripped for two hours.”"""
_TAKES = re.compile(
    r"\b(?:give|leave|let|lets|takes?|needs?|wants?|drinks?|swims?|good|least)\b.*#|\bfor (?:about |a )?#"
)


def _is_bath(near: str, holds: Holds) -> bool:
    """Whether nothing else than soaking and drying takes a time here."""
    timed = any(each.cue in ("time", "dry", "text") for each in holds.pattern.get("minutes", ())) and bool(
        holds.parts.here
    )
    return timed and _TAKES.search(near) is not None


def _long_enough(one: Quantity, words: Sequence[str], holds: Holds) -> bool:
    """Whether so many days are not much longer than it dries, or told loosely."""
    every = (*holds.pattern.get("minutes", ()), *(each for each in holds.elsewhere if each.unit == "minutes"))
    dries = max((each.at(0) for each in every if each.cue == "dry"), default=0.0)
    if "took" in words[max(0, one.first - 3) : one.first]:
        return True
    return one.value <= 1 or (one.value <= 2 and (one.number.low < one.number.high or 2.5 * dries >= 2880))


def _soaks(cue: str, each: Planned) -> bool:
    """Whether a time of the texts may be that of a bath: not that of a burn under cold water."""
    return (cue, each.cue) == ("time", "text") and not any(_BURNS.match(word) for word in each.words)


def _cooled(minutes: float, holds: Holds) -> Verdict | None:
    """Judge how long a burn is cooled: as the texts of the segment say, or the cautions that are printed."""
    every = holds.pattern.get("minutes", ())
    told = [one for one in every if one.cue == "text" and any(_BURNS.match(word) for word in one.words)]
    told = told or [one for one in every if one.cue == "cooled"]
    if not told or any(abs(each.at(0) - minutes) < 0.5 for each in told):
        return None
    return Verdict("disagrees", f"{told[0].at(0):g} minutes ({told[0].what})", told[0].fact)


def _waits_for(one: Quantity, told: str) -> str:
    """Tell by the word nearest before a time, else behind it, whether it soaks or dries; hours are for drying."""
    before, _, after = told.partition("#")
    beside = None if _NEW.match(after) else _SOAKS_OR_DRIES.match(after.strip())
    found = [beside] if beside else [*_SOAKS_OR_DRIES.finditer(before)][-1:] or [*_SOAKS_OR_DRIES.finditer(after)][:1]
    if found:
        return "dry" if found[0]["dry"] else "time"
    return "dry" if one.unit == "days" or (one.unit == "hours" and one.value >= 4) else ""


_NEW = re.compile(r"(?: [\w']+){1,2} dry (?:it |them |for|flat)| dry (?:it |them |for|flat)")
"""“Ten minutes, dry for …” goes on to another time."""
_SOAKS_OR_DRIES = re.compile(
    rf"(?:(?:on|in|for|over|under|to|of) (?:(?:the|a|your|its|my|cold|cool|warm) ){{0,2}})?"
    rf"(?:\b(?:soak\w*|wash\w*|bath|water)\b|(?P<dry>{CUES['dry']}))"
)


_PLY = {"lace": 2, "fingering": 4, "sport": 5, "dk": 8, "worsted": 10, "aran": 10, "chunky": 12, "bulky": 12}
"""What yarn weights are called by their number of plies (common practice in Australia and Britain)."""


def judge_ply(one: Quantity, words: Sequence[str], holds: Holds) -> Verdict | None:
    """Judge a weight told in plies, where it is not of how the yarn is spun."""
    near = {*words[max(0, one.first - 6) : one.first], *words[one.end : one.end + 8]}
    plies = {_PLY[yarn] for yarn in holds.yarns if yarn in _PLY}
    if (
        not plies
        or any(one.number.low <= each <= one.number.high for each in plies)
        or near & {"spun", "plied", "twist", "twisted", "strands", "twine", "construction"}
    ):
        return None
    return Verdict("disagrees", f"{', '.join(sorted(holds.yarns))} weight, {min(plies)} ply")


_WAS = re.compile(
    r"\b(?:wool|worsted|aran|yarn|balls?|skeins?|that|it|one|ones)(?: [\w']+){0,5} (?:was|were|used to be)\b"
)
_FOR_ALL = re.compile(
    r"\b(?:use[sd]?|needs?|takes?|took|wants?|eats?|go(?:es|ing)?(?: to go)? through|gonna go through"
    r"|gets? through|went)\b"
    r"(?: [\w']+){0,4}? #|\b(?:pairs?|mittens?|hat|headband|piece|one) out of #"
)


_A_PIECE = re.compile(r"\b(?:pairs?|whole|mittens?|hat|headband|piece|project|small|medium|large)\b")


_WEIGHS = re.compile(
    r"^(?!.*\b(?:pairs?|mittens?|hat|headband|piece|finished|whole) ).*\b(?:(?:balls?|skeins?|each|of them) weighs? #"
    r"|(?:each of them|each one) (?:[\w']+ ){0,2}#)"
)


_OVER = re.compile(r"# (?:of (?:[\w']+ ){1,3})?(?:left|over|to spare|remaining|yet|still)\b")


def judge_amount(one: Quantity, words: Sequence[str], holds: Holds) -> Verdict | None:
    """Judge grams, metres and yards: those of a ball, where one is named; a tail's are nobody's plan."""
    near = around(words, one, 11, 7)
    if one.unit in ("metres", "yards") and re.search(r"\btails?\b", near):
        return Verdict("unplanned number")
    if _OVER.search(around(words, one, 0, 6)) or _WAS.search(near.partition("#")[0]):
        return None  # what is left over, or was so of another wool
    of_all = [each for each in holds.pattern.get(one.unit, ()) if each.cue == "total"]
    after = [word for word in words[one.end : one.end + 4] if word in holds.colours]
    before = [word for word in words[max(0, one.first - 6) : one.first] if word in holds.colours]
    colour = after[0] if after and words[one.end] == "of" else before[-1] if before else after[0] if after else ""
    keys = [key for key, own in holds.parts.yarns.items() if colour in own]
    of_all = [each for each in of_all if any(f".{key}." in each.fact for key in keys)] if keys else of_all
    far = around(words, one, 18, 7)
    told = _FOR_ALL.search(near) or (keys and (_A_PIECE.search(far) or _FOR_ALL.search(far)))
    named = bool(keys) and words[one.end : one.end + 1] == ["of"]
    if of_all and told and (named or not re.search(CUES["ball"], near)):
        size = one.size if one.size is not None else holds.size
        amounts = sorted(each.at(min(size, len(each.values) - 1)) for each in of_all)
        anyones = [value for each in of_all for value in each.values] if one.size is None else []
        pair = (each / 2 for each in amounts) if re.search(r"\b(?:one|single|each) \w+", near) else ()
        if any(abs(each - one.value) <= 0.1 * each for each in (*amounts, *anyones, sum(amounts), *pair)):
            return None
        return Verdict("disagrees", " or ".join(f"{each:g}" for each in amounts) + f" {one.unit} of a yarn")
    of_ball = [each for each in holds.pattern.get(one.unit, ()) if each.cue == "ball"]
    size = one.size if one.size is not None else holds.size
    if any(abs(at(each, size) - one.value) <= 0.03 * one.value for each in of_all):
        return None
    if not of_ball or not (re.search(CUES["ball"], near) or _WEIGHS.search(near)):
        return None
    most = 4 if re.search(r"\b(?:all in|in all|altogether|total)\b|balls|skeins|hanks", near) else 1
    if any(abs(k * each.at(0) - one.value) <= 0.03 * k * each.at(0) for each in of_ball for k in range(1, most + 1)):
        return None
    other = {"metres": "yards", "yards": "metres"}.get(one.unit, "")
    swapped = any(each.cue == "ball" and abs(each.at(0) - one.value) < 1 for each in holds.pattern.get(other, ()))
    kind: Kind = "wrong unit" if swapped else "disagrees"
    return Verdict(kind, f"{of_ball[0].at(0):g} {one.unit} ({of_ball[0].what})")
