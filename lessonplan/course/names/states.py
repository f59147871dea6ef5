"""How a teacher names the state of a piece: ``before thumb``, ``hand, thumb round 3``, ``top, before draw_through``."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

Form = Literal["nothing", "finished", "parts"]
ALONE = {
    **dict.fromkeys(("nothing", "not begun", "yarn"), "a piece that is not begun"),
    **dict.fromkeys(("finished", "done", "all"), "the whole piece"),
}
"""Words that are a state of their own, and what they mean."""


@dataclass(frozen=True, slots=True)
class StatePart:
    """One part of a state: how far one stage is.

    The whole ``stage`` unless said: not yet begun (``before``); so many ``rounds`` done, or of the ``unit`` named; of
    the next round the first ``stitches`` done, too; as far as before (``work`` with ``before``) or after a work, the
    ``place``-th of its name (1-based); or at a named ``point``, of whichever stage has it when ``stage`` is empty.
    """

    stage: str
    before: bool = False
    rounds: int | None = None
    stitches: int = 0
    work: str = ""
    place: int = 1
    point: str = ""
    unit: str = ""
    column: int = 0


@dataclass(frozen=True, slots=True)
class StateText:
    """A state as typed: nothing yet, all of it, or some parts with everything that they need."""

    form: Form
    parts: tuple[StatePart, ...] = ()


@dataclass(frozen=True, slots=True)
class RangeText:
    """States between two, both among them; without a ``high`` every later one, however far."""

    low: StateText
    high: StateText | None


def read_range(text: str, stages: Collection[str], points: Collection[str] = ()) -> RangeText:
    """Read what is only shown: ``cuff or later``, ``cuff to band``, or one state. Raises ``ValueError``."""
    later = re.fullmatch(r"\s*(.+?)\s+or\s+(?:later|further|more)\s*", text, re.IGNORECASE | re.DOTALL)
    if later:
        return RangeText(read_state(later[1], stages, points), None)
    masked = text
    for point in sorted(points, key=len, reverse=True):
        spelled = r"\s+".join(re.escape(word) for word in point.split())
        masked = re.sub(spelled, lambda found: "_" * len(found[0]), masked, flags=re.IGNORECASE) if spelled else masked
    to = re.search(r"\sto\s", masked, re.IGNORECASE)
    first = read_state(text[: to.start()] if to else text, stages, points)
    return RangeText(first, _moved(read_state(text[to.end() :], stages, points), to.end()) if to else first)


def _moved(state: StateText, columns: int) -> StateText:
    return StateText(state.form, tuple(replace(part, column=part.column + columns) for part in state.parts))


def read_state(text: str, stages: Collection[str] = (), points: Collection[str] = ()) -> StateText:
    """Read the text of a state.

    ``nothing`` is a piece not begun, ``finished`` the whole piece; else parts parted by commas or “and”: ``gusset``
    (that stage done), ``before thumb`` (all it needs done, itself not begun), ``gusset round 6`` or ``gusset 6`` (six
    rounds of it done; ``sewing section 3`` where sections are counted),
    ``gusset round 18, 35 sts on`` (17 rounds and 35 stitches of the next), ``top, before
    draw_through`` and ``thumb, after pick_up`` (works of the stage just named), and any of ``points`` by its name.
    ``stages`` are named in the example when a part cannot be read. Raises ``ValueError`` with one sentence.
    """
    plain = " ".join(text.split()).lower()
    if plain in ALONE:
        return StateText("finished" if ALONE[plain] == ALONE["finished"] else "nothing")
    parts: list[StatePart] = []
    for found in re.finditer(r"[^,]+?(?=\s*(?:,|\band\b|$))", text):
        piece = re.sub(r"^\s*(?:,|and\b)?\s*", "", found.group())
        if piece.strip():
            _take(parts, piece.strip(), found.end() - len(piece), tuple(stages), points)
    if not parts:
        raise ValueError(f"a state is missing here, for example {_example(tuple(stages))}")
    return StateText("parts", tuple(parts))


def _example(stages: tuple[str, ...]) -> str:
    first, last = (stages[0], stages[-1]) if stages else ("cuff", "thumb")
    return f"“before {last}”, “{first}” or “{first} round 2”"


def _spelled(text: str, points: Collection[str]) -> bool:
    return " ".join(text.lower().split()) in {" ".join(point.lower().split()) for point in points}


def _take(parts: list[StatePart], text: str, column: int, stages: tuple[str, ...], points: Collection[str]) -> None:
    """Read one part; what only says more of the stage just named takes its place."""
    last = parts[-1] if parts else None
    on = re.fullmatch(r"(\d+)\s+(?:sts?|stitches)\s+(?:on|in|done|worked)", text)
    work = re.fullmatch(r"(before|after)\s+(?:the\s+)?([a-z]\w*)(?:\s+(\d+))?", text)
    if on and last and last.rounds:
        parts[-1] = StatePart(last.stage, rounds=last.rounds - 1, stitches=int(on[1]), column=last.column)
    elif work and last and work[2] not in stages and not (last.work or last.before or last.rounds is not None):
        at = int(work[3] or 1)
        parts[-1] = StatePart(last.stage, work[1] == "before", work=work[2], place=at, column=last.column)
    elif _spelled(text, points):
        whole = bool(last and not (last.work or last.before or last.rounds is not None or last.point))
        stage = parts.pop().stage if last and whole else ""
        parts.append(StatePart(stage, point=" ".join(text.lower().split()), column=column))
    else:
        parts.append(_part(text, column, stages))


def _part(text: str, column: int, stages: tuple[str, ...]) -> StatePart:
    found = re.fullmatch(
        r"(?P<before>before\s+|after\s+)?(?P<stage>[A-Za-z]\w*)"
        r"(?:\s+(?:(?P<unit>[A-Za-z]+(?: [A-Za-z]+)?)\s+)?(?P<rounds>\d{1,6})"
        r"(?:\s+of\s+\d+|\s+(?P<behind>rounds?|rows?|rnds?))?)?(?:\s+done)?",
        text,
    )
    if text.lower() in {"finished", "done", "all", "nothing"}:
        raise ValueError(f"“{text}” stands alone; it cannot be combined with another stage")
    if not found:
        raise ValueError(f"“{text}” is not a state such as {_example(stages)}")
    rounds = found["rounds"]
    before, unit = (found["before"] or "").strip() == "before", (found["unit"] or found["behind"] or "").lower()
    if rounds and int(rounds) == 0:
        raise ValueError(f"there is no {unit or 'round'} 0; “before {found['stage']}” says that it is not begun")
    if before and rounds:
        return StatePart(found["stage"], rounds=int(rounds) - 1, unit=unit, column=column)
    return StatePart(found["stage"], before, int(rounds) if rounds else None, unit=unit, column=column)
