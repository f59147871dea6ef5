"""Texts over the picture of a pattern in several sizes: a viewer of any size has her number there.

As a pattern prints it: the names of the sizes in their order, then every number in that order. Where names and text
do not fit the lines of a caption, the numbers stand in their order without them; where these do not fit either, where a
size has no such number, or is otherwise at work in that round, the text names the one size that is filmed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from lessonplan.craft.lengths import sizes_text
from lessonplan.edit.captiondrafts import LINES, in_lines
from lessonplan.pattern.facts import NONE
from lessonplan.pattern.texts import fill, for_all_sizes, for_size, on_screen
from lessonplan.planning.worked import Worked

_ONE = re.compile(r"(?<![\d.,])1 (stitch|round|row)e?s\b")
_ROUND = re.compile(r"\{\{[^{}]*?(\w+)\.round_(\d+)\.[^{}]*\}\}")


@dataclass(frozen=True, slots=True)
class Sized:
    """A text with the numbers of all sizes, as far as it can have them, and with those of the filmed size alone."""

    every: str
    one: str


def sized(worked: Worked, template: str, rounds: Sequence[tuple[str, int]] = (), each: Sequence[str] = ()) -> Sized:
    """Word a text of facts that is laid over the picture; ``rounds`` are others (stage, number) that it tells of.

    ``each``: the same text for each size, where its round has another number in each (else none).
    """
    numbers, one = (
        fill(template, for_all_sizes(worked.facts, said=True)),
        on_screen(template, worked.facts, worked.size),
    )
    told = [*rounds, *((stage, int(number)) for stage, number in _ROUND.findall(template))]
    names_itself = re.search(r"\{\{\s*size\s*\}\}", template)
    sizes = worked.facts["size"].all_sizes()
    if each:
        texts = [fill(text, for_size(worked.facts, size)) for size, text in enumerate(each)]
        numbers, told = _merged(texts), []
        one = numbers if len({*texts}) == 1 else one
    same, one = one == numbers, _ONE.sub(r"1 \1", one)
    if same or names_itself or NONE in numbers or not numbers or not all(alike(worked, *place) for place in told):
        return Sized(one, one)
    fitting = (text for text in (f"{sizes}: {numbers}", numbers) if len(in_lines(text)) <= LINES)
    return Sized(next(fitting, one), one)


def _merged(texts: Sequence[str]) -> str:
    """Put the texts of all sizes together where only their numbers differ: ``round 6 (8, 10)``; else nothing."""
    parts = [re.split(r"(\d+)", text) for text in texts]
    if len({tuple(one[::2]) for one in parts}) != 1:
        return ""
    return "".join(sizes_text(same) if place % 2 else same[0] for place, same in enumerate(zip(*parts, strict=True)))


def alike(worked: Worked, stage: str, number: int) -> bool:
    """Whether a round of a stage is worked with the same techniques in every size."""
    every = [one.rounds[number - 1 : number] for one in worked.pattern.stages.get(stage, ())]
    works = {frozenset(name for name, _ in step.techniques) for each in every for step in each}
    return all(every) and len(works) == 1
