"""Counts told of a time: before something is begun, when a part is over, and just now on the table."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.proof.said import CUED, Said
from lessonplan.edit.speech.bare import ends_alone


def of_cues(pattern: Sequence[Planned], *cues: str) -> list[Planned]:
    """Give the numbers of some cues."""
    return [each for each in pattern if each.cue in cues]


def halved(counts: Sequence[Planned]) -> list[Planned]:
    """Give half of each count."""
    return [replace(each, values=tuple(value / 2 for value in each.values)) for each in counts]


def at_a_time(said: Said, pattern: Sequence[Planned], close: str) -> list[Planned] | None:
    """Give the count before something is begun, when it goes faster, all along, or when a part is over."""
    if (turn := of_cues(pattern, "turn")) and _FASTER.search(said.near(12, 9)):
        return turn
    between = CUED["between"].search(close)
    if _AFTER_PICKING.search(said.near(6, 8)) and (taken := of_cues(pattern, "picked up")):
        begun = [each for each in of_cues(pattern, "state", "round 1") if each.stage in {one.stage for one in taken}]
        if begun and (said.one.value > max(each.at(said.holds.size) for each in taken)):
            return begun
    alone = not said.one.bare or ends_alone(said.words, said.one.end)
    if alone and not between and _ALL_NOW.search(said.near(8, 8)) and (now := _now(said, pattern)):
        return now
    if _is_left(said, pattern):
        return of_cues(pattern, "end")
    if _BEFORE_IT.search(said.near(6, 8)) and not between:
        starts = of_cues(pattern, "start", "cast on", "text")
        return [*starts, *(halved(starts) if CUED["half"].search(close) else ())]
    if _STAYS.search(said.near(3, 8)) and said.one.value > 3 and (kept := _kept(said, pattern)):
        return kept
    ends = not _OVER.isdisjoint(said.near(14, 10).split())
    over = _PART_OVER.search(said.near(14, 10)) if ends else None
    if over and said.holds.parts.stage(over[1] or over[2]) in said.holds.stages and not between:
        return of_cues(pattern, "end", "shaping last")
    return None


def _is_left(said: Said, pattern: Sequence[Planned]) -> bool:
    """Whether a count is told of what is left when the thumb's stitches are put on hold."""
    left = _LEFT.match(said.near(0, 3).replace("# stitches", "#"))
    if not (left or _THUMB_OFF.search(said.near(9, 9))):
        return False
    held = [each.at(said.holds.size) for each in of_cues(pattern, "held")]
    parked = any(each.value in held and 0 < said.one.first - each.end <= 6 for each in said.others)
    return bool(held) and said.one.value > 2 * max(held) and (not left or parked)


def _kept(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the counts that hold over several rounds of what is worked."""
    size = said.one.size if said.one.size is not None else said.holds.size
    rounds = [each for each in pattern if each.cue.startswith("round ") and each.stage in said.holds.stages]
    counts = [each.at(min(size, len(each.values) - 1)) for each in rounds]
    return [each for each, count in zip(rounds, counts, strict=True) if counts.count(count) > 2]


_AFTER_PICKING = re.compile(
    r"\b(?:after|once|when) (?:the |i |you |we |i've |you've |we've |all )*(?:pick(?:ed|ing)?(?: them| those)? ?ups?)\b"
)
"""“After the pick up there's eighteen.”"""
_THUMB_OFF = re.compile(
    r"\b(?:thumb|it)(?:'s| is| has gone) (?:now )?(?:asleep|parked|on hold|sleeping|resting|out of the way)\b"
    r"|\bgap is behind\b"
)
"""Said when the thumb's stitches are put on hold: what is counted then is what is left."""
_LEFT = re.compile(r"# (?:are |is )?(?:left|remain)\b")
"""“Thirteen go off and forty four are left.”"""
_ALL_NOW = re.compile(
    r"\bcount (?:[\w']+ )*?(?:again|whole round|the lot|all)\b.*#|#.*\ball the way (?:a?round)\b|\bwhole round\b.*#"
)
"""Said of all stitches that the piece on the table has just then."""


def _now(said: Said, pattern: Sequence[Planned]) -> list[Planned]:
    """Give the counts of the rounds that the pieces on the tables have, and of those just worked on them."""
    done = [
        each.at(said.holds.size)
        for unit in ("rounds", "rows")
        for each in said.holds.pattern.get(unit, ())
        if each.cue == "state" and each.what.endswith("here")
    ]
    if not done:
        return []
    rounds = {f"round {number}" for number in range(int(min(done)), int(max(done)) + 3)}
    return [each for each in pattern if each.cue in rounds or each.cue in ("state", "start", "end", "cast on")]


_FASTER = re.compile(
    r"# (?:[\w']+ )?(?:(?:you|we|i) decrease|it's|it is) (?:in |on )?(?:each and )?every (?:single )?(?:round|row)\b"
    r"|\bplain (?:rounds?|rows?|ones?) (?:after|between|in between) .*\buntil .*#|\bevery (?:other"
    r"|second) (?:round|row)\b.*#.*\b(?:then|after|from)\b.*\bevery (?:single )?(?:round|row|one)\b"
)
_BEFORE_IT = re.compile(
    r"# (?:[\w']+ ){0,5}?(?:before (?:we|you|i) (?:begin|start|do|decrease|increase)|to (?:begin|start) with)\b"
)
_STAYS = re.compile(
    r"\b(?:stays?|keep|keeps|remains) (?:at )?#|# (?:stitches )?(?:wide )?(?:all along|the whole (?:way|time"
    r"|length)|all the way (?:up|along|through))\b"
)
_OVER = frozenset(("over", "done", "finished", "complete", "behind", "end"))
_PART_OVER = re.compile(
    r"\b(?:when|once|after|with|now|by the time) (?:that )?(?:the|your|my) (\w+)(?:'s| is| are) (?:all )?(?:over|done"
    r"|finished|complete|behind (?:you|us|me))\b|\b(?:at|by) the end of the (\w+)\b(?! (?:round|row))"
)
"""“When the widening is over.”"""
