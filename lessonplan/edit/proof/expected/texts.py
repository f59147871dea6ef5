"""The numbers that the texts of a segment hold, facts filled in, each with the words around it."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from lessonplan.course.model.episodes import Segment
from lessonplan.course.values.fields import Item
from lessonplan.edit.proof.expected.prose import part_told
from lessonplan.edit.proof.findings import Planned
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.numbers import Token, words_in
from lessonplan.edit.speech.quantities import Quantity
from lessonplan.edit.speech.units import UNITS, normal, words_of
from lessonplan.pattern.texts import fill, for_size, named
from lessonplan.planning.worked import Worked

IDLE = frozenset(
    words_in(
        "a an the and or of to in on at it is are was be i you we they that this so then now there here "
        "my your our for with as up but if have has had do does not no all one just very only from what "
        "when which will can"
    )
)
"""Words that say nothing about what a number counts."""


def both_ends(
    one: Quantity, what: str, cue: str, fact: str = "", words: frozenset[str] = frozenset()
) -> Iterator[Planned]:
    """Give a quantity as planned numbers: both ends of a range, hours as minutes."""
    between = range(int(one.number.low) + 1, int(one.number.high)) if cue == "measure" else ()
    for value in dict.fromkeys((one.number.low, *map(float, between), one.number.high)):
        if one.unit:
            unit, factor = ("minutes", 60.0) if one.unit == "hours" else (one.unit, 1.0)
            yield Planned(unit=unit, values=(value * factor,), what=what, cue=cue, fact=fact, words=words)


def texts_in(item: Item) -> Iterator[str]:
    """Yield the texts of a segment that plan what is said, shown or printed with it."""
    for name in type(item).model_fields:
        value = getattr(item, name)
        if name in ("view", "work", "stage", "kinds", "needs", "leaves", "shows", "time"):
            continue
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, str) and one:
                yield one
            elif isinstance(one, Item):
                yield from texts_in(one)


def typed_numbers(worked: Worked, segment: Segment) -> Iterator[Planned]:
    """Give the numbers that the texts of a segment hold, facts filled in, with the words around each."""
    for text in texts_in(segment):
        yield from numbers_of_text(worked, text)


def numbers_of_text(worked: Worked, text: str) -> Iterator[Planned]:
    """Give the numbers of a text, with the fact that each comes from."""
    filled, spans = filled_with_spans(worked, text)
    tokens, quantities = _quantities(filled, tuple(worked.pattern.sizes))
    words = [token.text for token in tokens]
    for one in quantities:
        place = tokens[one.number.first].place
        fact = next((name for start, end, name in spans if start <= place < end), "")
        number = worked.facts.get(fact)
        around = content(words, one, quantities)
        for planned in both_ends(one, f"“{' '.join(words[one.first : one.end])}” {IN_TEXTS}", "text", fact, around):
            if number and number.unit != "mm" and all(not isinstance(value, str) for value in number.values):
                planned = replace(planned, values=tuple(float(v) for v in number.values), what=number.meaning)
            yield planned
        of = part_told(words, one) if not fact and one.bare | (one.unit == "stitches") else ""
        if of:
            yield Planned(
                "stitches", (one.number.low,), f"“{' '.join(words[one.first : one.end])}” {IN_TEXTS}", f"for {of}"
            )


IN_TEXTS = "in the texts"
"""How it is told of a number that it is typed."""


@lru_cache(maxsize=4096)
def _quantities(filled: str, sizes: tuple[str, ...]) -> tuple[tuple[Token, ...], tuple[Quantity, ...]]:
    """The words of a text and its quantities: many texts are asked for again, and an edit changes one."""
    tokens = normal(words_of(filled))
    return tokens, quantities_in(tokens, sizes)


def filled_with_spans(worked: Worked, text: str) -> tuple[str, tuple[tuple[int, int, str], ...]]:
    """Fill the facts of a text in for the film size, and tell where each stands: (start, end, name)."""
    word = for_size(worked.facts, worked.size)
    parts: list[str] = []
    marked = fill(text, lambda name: f"\ue000{name}\ue001")
    spans, length = [], 0
    for part in re.split("(\ue000[^\ue001]*\ue001)", marked):
        shown = part
        if part.startswith("\ue000"):
            name = part[1:-1]
            shown = word(name)
            fact = named(worked.facts, name)
            spans.append((length, length + len(shown), fact.name if fact else name))
        parts.append(shown)
        length += len(shown)
    return "".join(parts), tuple(spans)


def content(words: Sequence[str], one: Quantity, others: Sequence[Quantity], reach: int = 7) -> frozenset[str]:
    """Give the words around a quantity that tell what it counts, up to the next of its unit on either side.

    ``others`` stand in the order of the text.
    """
    at = bisect_left(others, one.first, key=lambda other: other.first)
    others = others[max(0, at - 2 * reach) : at + 2 * reach]  # those farther away are out of reach
    start = max((other.end for other in others if other.end <= one.first and other.unit == one.unit), default=0)
    stop = min(
        (other.first for other in others if other.first >= one.end and other.unit == one.unit), default=len(words)
    )
    near = [*words[max(start, one.first - reach) : one.first], *words[one.end : min(stop, one.end + reach)]]
    return frozenset(word for word in near if word not in IDLE and word not in UNITS and len(word) > 1)
