"""Places among the rounds, and times to wait, held against what holds where they were said."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.findings import CUES, Verdict
from lessonplan.edit.proof.holds import Holds
from lessonplan.edit.proof.idle import around
from lessonplan.edit.speech.quantities import Quantity

_WAITS = re.compile(
    r"\b(?:soak\w*|leave|lea?ve it|dr(?:y|ies|ying)|bath|wait|steam\w*|rest|press|under water|in the (?:water|bath))\b"
)


def judge_place(one: Quantity, words: Sequence[str], holds: Holds) -> Verdict | None:
    """Judge an ordinal: a round that there is, in rounds and not in rows."""
    if not holds.rounds or holds.flat is None:
        return None
    before = " ".join(words[max(0, one.first - 3) : one.first])
    if re.search(r"\b(?:every|each|another)\b", before) or (one.value <= 2 and one.number.ordinal):
        return None
    right_unit = "rows" if holds.flat else "rounds"
    if one.value > holds.rounds:
        return Verdict("disagrees", f"there are {holds.rounds} {right_unit} here")
    if one.unit != right_unit:
        return Verdict("wrong unit", f"{right_unit} are worked here")
    return None


def judge_time(one: Quantity, words: Sequence[str], holds: Holds) -> Verdict | None:
    """Judge a time that something is to wait, soak or dry; other times are anecdotes."""
    minutes = one.value * (60 if one.unit == "hours" else 1)
    near = around(words, one, 9, 4)
    planned = holds.pattern.get("minutes", ())
    every = (*planned, *(each for each in holds.elsewhere if each.unit == "minutes"))
    if minutes <= 2 or any(abs(each.at(0) - minutes) < 0.5 for each in every) or not _WAITS.search(near):
        return None
    if re.match(r".*\bin (?:about )?#", near):
        return None
    cue = "dry" if re.search(CUES["dry"], near) else "time"
    meant = [each for each in planned if each.cue == cue] or planned
    if not meant:
        return Verdict("unplanned number")
    right = meant[0].at(0)
    return Verdict("disagrees", f"{right / 60:g} hours" if right >= 120 else f"{right:g} minutes")
