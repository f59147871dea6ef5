"""What hands are planned to show at their own speed: nobody speeds up what viewers are to follow stitch by stitch.

Two things say so: words such as “slowly” or “hold still” in what the hands do, and a line of little else than a move
of several steps (a decrease, a make one), which are laid over the picture in time with the hands. A line that works it
over and over, or many plain stitches beside it, may be sped up.
"""

from __future__ import annotations

import re

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft.sequences import sequences_in
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan

_SLOW = re.compile(
    r"\b(?:slow(?:ly|er)?|(?:hold|keep|stay) still|step by step|stitch by stitch|pause)\b", re.IGNORECASE
)
"""Words by which hands are slow on purpose (a list of our own)."""
_OVER = re.compile(r"[\[(*]|\btimes\b|\brep\b|\d\d|[7-9]")
"""What a line has that is worked over and over: a repeat, or more than six stitches in a row (a guess)."""


def shown_slowly(plan: Plan, number: ShotNumber) -> str:
    """Say what in a shot is slow on purpose, as a clause; nothing where its hands may be sped up."""
    word, hands = plan.worked.word, plan.course.shot(number).hands
    slow = next((text for one in hands if _SLOW.search(text := fill(one.do, word))), "")
    if slow:
        return f"{number} is slow on purpose (“{slow}”)"
    moves = (one.work for one in hands if not _OVER.search(one.work) and sequences_in(one.work))
    return next((f"{number} shows a move step by step (“{line}”)" for line in moves), "")
