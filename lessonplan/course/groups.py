"""Groups of keys of a pattern: sizes, options, measures, materials and the craft's own words."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator

from lessonplan.course.fields import Count, Ease, Item, Names, Share, SizedLength, Text, Texts
from lessonplan.course.yamltext import MarkedMap, Marks


def _choices(value: Any) -> Any:
    return re.sub(r"\s+or\s+", ", ", value) if isinstance(value, str) else value


class Option(Item):
    """Something that viewers choose. The first choice is filmed unless another is named; ``kit``: what each needs."""

    choices: Annotated[Names, BeforeValidator(_choices)]
    filmed: Text = ""
    kit: dict[str, Texts] = {}


class Size(Item):
    """One size: its name and whom it fits."""

    name: Text
    fits: Text = ""


def sizes_listed(value: Any) -> Any:
    """Read sizes that are only named, in a list or in one line."""
    if isinstance(value, str):
        value = [part.strip() for part in value.split(",")]
    if isinstance(value, list):
        return [{"name": item} if isinstance(item, str) else item for item in value]
    return value


class Measure(Item):
    """A length of the body or thing it is for, and the lengths of what is knitted that it is compared with.

    ``knitted`` names facts that are added up (``cuff.length + hand.length``), ``ease`` by how much they are to differ.
    """

    length: SizedLength
    knitted: Text = ""
    ease: Ease | None = None


class Material(Item):
    """Something that is used up: works say how much of it they use, in any unit (``uses: clay 450 g``).

    It is sold in packs of ``pack`` units, if that is said; ``margin`` is added to what is used, else the pattern's.
    """

    name: Text
    details: Text = ""
    pack: Count | None = None
    margin: Share | None = None


def uses_listed(value: Any) -> Any:
    """Read what a work uses from one line: ``clay 450 (600) g; glaze 20 ml``."""
    if not isinstance(value, str):
        return value
    found: dict[str, str] = {}
    for part in value.split(";"):
        name, _, amount = part.strip().partition(" ")
        if not amount or name in found:
            raise ValueError(f"“{part.strip()}” should be a material and how much of it, such as “clay 450 g”")
        found[name] = amount
    return found


class Words(Item):
    """The words of a craft on all papers; what is left empty in a course is as in the table of crafts.

    Who makes the pieces (``maker``, ``makers``) and what they do (``make``, ``makes``, ``making``, ``made``); the
    pieces made beforehand (``sample``, ``samples``); headings of the materials (``stuff``), the tools and what else is
    needed (``tools``, ``notions``); the ``tool`` that live work rests on; ``pace``: what a pace counts, such as
    stitches a minute, or a hyphen in a craft whose works have their minutes. Where stitches are live: where they are
    (``live``), and how a piece is handed over, or several with different tools (``hand_over``, ``hand_over_each``).
    """

    maker: Text = ""
    makers: Text = ""
    make: Text = ""
    makes: Text = ""
    making: Text = ""
    made: Text = ""
    sample: Text = ""
    samples: Text = ""
    stuff: Text = ""
    tools: Text = ""
    notions: Text = ""
    tool: Text = ""
    pace: Text = ""
    live: Text = ""
    hand_over: Text = ""
    hand_over_each: Text = ""


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
