"""The list of facts that texts may name: what ``lessonplan facts`` prints."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from lessonplan.course.problems import Where
from lessonplan.documents.tables import table
from lessonplan.pattern.facts import Fact, Value
from lessonplan.pattern.texts import uses_of
from lessonplan.planning.worked import Worked

_STITCHES = ("stitches", "start", "cast_on", "picked_up", "held", "placed", "opened", "longest_float")
_UNITS = {"metres": "m", "yards": "yd", "grams": "g", **{name: name for name in ("balls", "rounds", "rows", "ends")}}
_UNITS |= dict.fromkeys(_STITCHES, "sts")


def unit_of(fact: Fact) -> str:
    """Give the unit of a fact's plain values (``mm`` for a length, ``sts``, ``rounds``); nothing for words."""
    parts = fact.name.split(".")
    if len(parts) == 3 and parts[1] in ("with", "count"):
        return "sts" if parts[1] == "with" else "times"
    return fact.unit or _UNITS.get(parts[-1], "")


def facts_like(worked: Worked, like: str = "") -> tuple[Fact, ...]:
    """Give the facts whose name or meaning has a text in it, in any case; all of them for no text."""
    wanted = like.strip().lower()
    return tuple(fact for fact in worked.facts.values() if wanted in f"{fact.name} {fact.meaning}".lower())


def facts_table(worked: Worked, facts: Sequence[Fact]) -> str:
    """Set facts as text: name, meaning, the value in each size as it is printed, its unit, and where texts name it."""
    if not facts:
        return "No fact is like that."
    uses = uses_of(worked.course)
    head = ("Fact", "What it is", *worked.pattern.sizes, "Unit", "Used in")
    rows = [
        (
            fact.name,
            fact.meaning,
            *fact.each_size(len(worked.pattern.sizes)),
            "" if fact.unit == "mm" else unit_of(fact),
            ", ".join(_places(uses, fact)),
        )
        for fact in facts
    ]
    return table(head, rows)


def facts_data(worked: Worked, facts: Sequence[Fact]) -> dict[str, Any]:
    """Give facts as plain values: lengths in millimetres, one value for each size, and the printed form of each."""
    uses, count = uses_of(worked.course), len(worked.pattern.sizes)
    return {
        "sizes": list(worked.pattern.sizes),
        "facts": [
            {
                "name": fact.name,
                "meaning": fact.meaning,
                "unit": unit_of(fact),
                "values": [round(value, 2) if isinstance(value, float) else value for value in _values(fact, count)],
                "printed": list(fact.each_size(count)),
                "used_in": _places(uses, fact),
            }
            for fact in facts
        ],
    }


def _values(fact: Fact, sizes: int) -> tuple[Value, ...]:
    return fact.values * sizes if len(fact.values) == 1 else fact.values


def _places(uses: Mapping[str, tuple[Where, ...]], fact: Fact) -> list[str]:
    return [f"{where.file}:{where.line}" for where in uses.get(fact.name, ())]
