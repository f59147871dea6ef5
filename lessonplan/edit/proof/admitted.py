"""Whether it is told that a number is but that of the piece on the table: the pattern's own stands beside it, too."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.speech.quantities import Quantity, as_unit, near

TOLD_WITHIN = 40
"""So many words off, the pattern's own number beside that of a sample says what viewers do."""
_ADMITTED = re.compile(
    r"\b(?:yours (?:will|has|have|should|needs?|is|wants)|in real life|the real (?:one|thing)"
    r"|(?:this|the|my) (?:little|small|short|tiny|sample) (?:one|piece|sample|mitten|hat|thing)\b.* only|only .*\bon"
    r" (?:this|the|my) (?:little|short|tiny|sample)"
    r"|on (?:this|my) (?:\w+ )?sample|cut (?:short|down)|shortened|for (?:the )?(?:film\w*|camera|telly"
    r"|television|tv|video)"
    r"|not the whole|(?:don't|never) (?:you )?(?:go )?(?:by|copy\w*|do as))\b"
)


def admitted(one: Quantity, words: Sequence[str]) -> bool:
    """Whether it is told that the piece on the table is no measure, so that nobody goes by its numbers."""
    return _ADMITTED.search(" ".join(words[max(0, one.first - 16) : one.end + 16])) is not None


ONLY_HERE = re.compile(
    r"\bmy [\w']+ (?:only|just) (?:has|got|have|needs)$|\b(?:this|my) (?:little|small|short|tiny|wee"
    r"|sample) (?:[\w']+ )?(?:one|piece|sample|mitten|hat"
    r"|thing)?\b.*\b(?:only|just)$"
)
"""What stands before a number that only the piece on the table has."""
FOR_SHOW = re.compile(
    r"\bbecause (?:i|you|the camera|honestly|otherwise)\b|\bfor the camera\b|\bso (?:that )?you(?:'re| can| don't)"
    r"|\bcouldn't be bothered\b|\bjust to show\b"
)
"""What stands behind a number that is so for the camera's sake."""
HERE = re.compile(r"\b(?:this|here|mine|sample|short|little|tight|i(?:'ve)? (?:only|just|cheated))\b")
"""What tells of the piece on the table."""
_YOURS = re.compile(r"\b(?:yours?|you|you'll|real|whole|good|instead|pattern)\b")


def contrast(one: Quantity, words: Sequence[str], quantities: Sequence[Quantity], holds: Holds) -> Quantity | None:
    """Give the pattern's number beside that of the piece here: “this one has six, yours twenty two”."""
    if not HERE.search(" ".join([*words[max(0, one.first - 9) : one.first], "#", *words[one.end : one.end + 3]])):
        return None
    real = (*holds.pattern.get(one.unit, ()), *_whole_of(one.unit, holds))
    for other in quantities:
        if one.end <= other.first <= one.end + 16 and (other.bare or other.unit == one.unit):
            right = any(near(as_unit(other, one.unit), each.unit, each.at(holds.size)) for each in real)
            if right and _YOURS.search(" ".join(words[one.end : other.first])):
                return other
    return None


def told_too(one: Quantity, quantities: Sequence[Quantity], holds: Holds, stage: str) -> bool:
    """Whether the pattern's own number of a stage stands near that of a sample."""
    real = [each for each in _whole_of(one.unit, holds) if stage in ("", each.stage or each.fact.partition(".")[0])]
    for other in quantities:
        close = abs(other.first - one.first) <= TOLD_WITHIN and other.value != one.value
        close = close and (other.unit == one.unit or other.value > 5)  # “knit three” is no count of stitches
        if (
            close
            and (other.bare or other.unit in (one.unit, "knit"))
            and any(near(as_unit(other, one.unit), one.unit, each.at(holds.size)) for each in real)
        ):
            return True
    return False


def _whole_of(unit: str, holds: Holds) -> list[Planned]:
    """Give what whole stages have of a unit, here or elsewhere."""
    every = (*holds.pattern.get(unit, ()), *holds.elsewhere)
    return [each for each in every if each.unit == unit and each.cue in ("total", "end", "cast on", "start")]
