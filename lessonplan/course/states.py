"""How a teacher names the state of a piece: ``before thumb``, ``cuff``, ``hand, thumb round 3``, ``finished``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

Form = Literal["nothing", "finished", "parts"]


@dataclass(frozen=True, slots=True)
class StatePart:
    """One part of a state: a stage that is done, not yet begun (``before``), or done as far as a round."""

    stage: str
    before: bool = False
    rounds: int | None = None
    column: int = 0


@dataclass(frozen=True, slots=True)
class StateText:
    """A state as typed: nothing yet, all of it, or some parts with everything that they need."""

    form: Form
    parts: tuple[StatePart, ...] = ()


def read_state(text: str) -> StateText:
    """Read the text of a state.

    ``nothing`` is a piece not begun, ``finished`` the whole piece; else parts parted by commas or “and”:
    ``gusset`` (that stage done), ``before thumb`` (all it needs done, itself not begun), ``gusset round 6`` or
    ``gusset 6`` (six rounds of it done). Raises ``ValueError`` with one sentence.
    """
    plain = " ".join(text.split()).lower()
    if plain in {"nothing", "not begun", "yarn"}:
        return StateText("nothing")
    if plain in {"finished", "done", "all"}:
        return StateText("finished")
    parts = []
    for found in re.finditer(r"[^,]+?(?=\s*(?:,|\band\b|$))", text):
        piece = re.sub(r"^\s*(?:,|and\b)?\s*", "", found.group())
        if piece.strip():
            parts.append(_part(piece.strip(), found.end() - len(piece)))
    if not parts:
        raise ValueError("a state is missing here, for example “before thumb” or “cuff round 8”")
    return StateText("parts", tuple(parts))


def _part(text: str, column: int) -> StatePart:
    found = re.fullmatch(
        r"(?P<before>before\s+|after\s+)?(?P<stage>[A-Za-z]\w*)"
        r"(?:\s+(?:(?:round|row|rnd)\s+)?(?P<rounds>\d{1,6})(?:\s+(?:rounds?|rows?|rnds?))?)?(?:\s+done)?",
        text,
    )
    if text.lower() in {"finished", "done", "all", "nothing"}:
        raise ValueError(f"“{text}” stands alone; it cannot be combined with another stage")
    if not found:
        raise ValueError(f"“{text}” is not a state such as “before thumb”, “cuff” or “cuff round 8”")
    rounds = found["rounds"]
    before = (found["before"] or "").strip() == "before"
    if before and rounds:
        return StatePart(found["stage"], rounds=int(rounds) - 1, column=column)
    return StatePart(found["stage"], before, int(rounds) if rounds else None, column)
