"""Numbers held against what a pattern tells in prose: a part's stitches, how many of a thing, what is taken up."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.expected.parts import stem
from lessonplan.edit.proof.expected.prose import thing, told_for
from lessonplan.edit.proof.findings import Planned, Verdict
from lessonplan.edit.proof.said import Said
from lessonplan.edit.proof.steps import lines_of, stands, told_in
from lessonplan.edit.speech.quantities import Quantity

Answer = tuple[Verdict | None]
"""What a rule that knows a number answers: what is wrong with it, or None. A rule that does not know it gives none."""


def at(each: Planned, size: int) -> float:
    """Give a number in a size; where it has fewer, that of its last."""
    return each.at(min(size, len(each.values) - 1))


def _part_of(words: Sequence[str], one: Quantity, holds: Holds) -> tuple[list[Planned], bool]:
    """Give the counts of the part for which a number is told, and whether of all parts of that name."""
    found = told_for(words, one)
    if found is None:
        return [], False
    of = stem(found["of"])
    planned = [each for each in holds.pattern.get("stitches", ()) if each.cue == f"for {of}"]
    return planned, found["all"] is not None or (found["of"] != of and "each" not in found[0])


def of_parts(quantities: Sequence[Quantity], words: Sequence[str], holds: Holds) -> Sequence[Quantity]:
    """Take a bare number told for a part whose stitches the pattern tells for stitches: “fifty six for the back”."""
    cues = {each.cue for each in holds.pattern.get("stitches", ())}
    parts, taken = any(cue.startswith("for ") for cue in cues), "taken up" in cues

    def is_of_part(one: Quantity) -> bool:
        """Whether a number is one of a part, or of what is taken up."""
        return (parts and bool(_part_of(words, one, holds)[0])) or (taken and _is_taken_up(words, one))

    return [
        replace(one, unit="stitches") if one.bare and not one.unit and is_of_part(one) else one
        for one in (quantities if parts or taken else ())
    ] or quantities


def for_part(said: Said) -> Answer | None:
    """Judge the stitches told for a part: “fifty six for the back”."""
    one, holds = said.one, said.holds
    planned, both = _part_of(said.words, one, holds)
    if not planned or one.value < 4:
        return None
    size = one.size if one.size is not None else holds.size
    right = {at(each, size) * times for each in planned for times in ((1, 2) if both else (1,))}
    if one.value in right:
        return (None,)
    others = (
        each for each in holds.pattern.get("stitches", ()) if each.cue not in ("text", "run", "half", "each", "place")
    )
    if any(at(each, size) == one.value for each in others):
        return None  # some other time of it
    return (Verdict("disagrees", f"{at(planned[0], size) * (1 + both):g} stitches ({planned[0].what})"),)


_ALL_OF = re.compile(
    r"\b(?:first|last|second|third|fourth|fifth|one) of (?:the |our |all )?#"
    r"|# (?:[\w']+ )?(?:in all|altogether|in total)\b"
    r"|\b(?:there are|there're|sew(?: on)?|needs?|you'll need|takes) (?:the |our |all )?#"
    r"(?! (?:[\w']+ )?(?:so|by|now|already|left|more))"
)
_SOME = re.compile(r"\b(?:another|more|other|next|of (?:my|those|these)|those|these|extra|spare)\b")


def things(said: Said) -> Answer | None:
    """Judge how many there are of a thing of which the pattern tells: more than all, or others told as all of them."""
    one, holds = said.one, said.holds
    if one.unit != "things" or one.value < 2:
        return None
    of = thing(said.words[one.end - 1])
    size = one.size if one.size is not None else holds.size
    counts = [at(each, size) for each in holds.pattern.get("things", ()) if each.cue == of]
    sums = {sum(some) for many in range(1, min(len(counts), 4) + 1) for some in combinations(counts, many)}
    sums |= {each.at(0) for each in _typed(one, holds)} if sums else set()
    if not sums or one.value in sums or _SOME.search(said.near(3, 4)):
        return None
    if one.value < max(sums) and not _ALL_OF.search(said.near(4, 4)):
        return None
    return (Verdict("disagrees", f"{max(counts):g} {said.words[one.end - 1]} (by the pattern)"),)


_THE = (["the"], ["your"], ["those"], ["these"], ["all"])


def _is_taken_up(words: Sequence[str], one: Quantity) -> bool:
    """Whether stitches are told as those that were held, between others that are picked up."""
    before = words[max(0, one.first - 3) : one.first]
    knits = before[-1:] in _THE and ("knit" in before or "across" in before) and one.value >= 4
    around = {*words[max(0, one.first - 8) : one.first], *words[one.end : one.end + 8]}
    return knits and not around.isdisjoint(("pick", "held", "picked"))


def taken_up(said: Said) -> Answer | None:
    """Judge the held stitches that are knitted between others picked up: “pick up two, knit the forty two”."""
    one, holds = said.one, said.holds
    planned = [each for each in holds.pattern.get("stitches", ()) if each.cue == "taken up"]
    if not planned or not _is_taken_up(said.words, one):
        return None
    size = one.size if one.size is not None else holds.size
    if any(at(each, size) == one.value for each in planned):
        return (None,)
    return (Verdict("disagrees", f"{at(planned[0], size):g} stitches ({planned[0].what})"),)


_LINE_IN = re.compile(r"“(.*)”$")


def rounds_of_steps(said: Said) -> Answer | None:
    """Judge rounds told right behind their steps: those of their line (“knit one, purl one, eight rounds”)."""
    one, holds = said.one, said.holds
    if one.ordinal or not holds.stages:
        return None
    before = said.words[max(0, one.first - 8) : one.first]
    told = [each for each in told_in(before) if len(before) - each.spans[-1][1] <= 1]
    if not told or len({kind for kind, _ in told[-1].steps}) < 2:
        return None
    size = one.size if one.size is not None else holds.size
    steps = told[-1].steps
    works = [each for each in holds.elsewhere if each.cue == "work" and each.unit == one.unit and _has(steps, each)]
    planned = [each for each in works if each.stage in holds.stages]
    if not planned and any(stands(steps, line) for line in holds.lines):
        planned = works  # the line worked here is of a stage that only begins
    elif len(holds.stages) < 2:
        return None
    if not planned or any(at(each, size) == one.value for each in planned):
        return (None,) if planned else None
    own = {each.stage for each in planned}
    rest = (each for each in holds.elsewhere if each.unit == one.unit and each.stage in own)
    if any(at(each, size) == one.value for each in (*rest, *_typed(one, holds))):
        return None
    return (Verdict("disagrees", f"{at(planned[0], size):g} {one.unit} ({planned[0].what})"),)


def _has(steps: Sequence[tuple[str, int]], each: Planned) -> bool:
    """Whether the printed line of which a count of rounds is has such steps."""
    text = _LINE_IN.search(each.what)
    return text is not None and any(stands(steps, line) for line in lines_of([text[1]]))


def _typed(one: Quantity, holds: Holds) -> list[Planned]:
    """Give the numbers of its unit that the texts of the segment plan."""
    return [each for each in holds.pattern.get(one.unit, ()) if each.cue == "text"]
