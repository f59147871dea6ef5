"""Groups of keys of a pattern that may be written short, with one value alone: options and measures."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator

from lessonplan.course.fields import Ease, Item, Names, SizedLength, Text, Texts
from lessonplan.course.yamltext import MarkedMap, Marks


def _choices(value: Any) -> Any:
    return re.sub(r"\s+or\s+", ", ", value) if isinstance(value, str) else value


class Option(Item):
    """Something that viewers choose. The first choice is filmed unless another is named; ``kit``: what each needs."""

    choices: Annotated[Names, BeforeValidator(_choices)]
    """What viewers choose from. Example: cord or ribbon"""
    filmed: Text = ""
    """The choice that is filmed, the first one unless named. Example: ribbon"""
    kit: dict[str, Texts] = {}
    """What each choice needs besides, one thing a line. Example: {ribbon: [1 m of ribbon]}"""


class Measure(Item):
    """A length of the body or thing it is for, and the lengths of what is knitted that it is compared with.

    ``knitted`` names facts that are added up (``cuff.length + hand.length``), ``ease`` by how much they are to differ.
    """

    length: SizedLength
    """The length in each size. Example: 18 (20, 22) cm"""
    knitted: Text = ""
    """The facts that are added up and compared with it. Example: edge.length + body.length"""
    ease: Ease | None = None
    """By how much what is knitted is to be longer. Example: 0 to 2 cm"""


def short_forms(key: str) -> BeforeValidator:
    """Read a mapping in which a plain value stands for a group with this key alone; it keeps its place."""

    def read(value: Any) -> Any:
        if not isinstance(value, MarkedMap):
            return value
        filled = MarkedMap()
        filled.marks = value.marks
        for name, one in value.items():
            filled[name] = one if isinstance(one, dict) else MarkedMap({key: one})
            if not isinstance(one, dict):
                where = value.marks.values[name,]
                filled[name].marks = Marks(where, {key: where}, {(key,): where})
        return filled

    return BeforeValidator(read)
