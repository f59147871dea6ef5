"""Groups of keys of a pattern: sizes, options, measures, materials and the craft's own words."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator

from lessonplan.course.values.fields import Count, Ease, Item, Names, Share, SizedLength, Text, Texts
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


class Size(Item):
    """One size: its name and whom it fits."""

    name: Text
    """What the size is called. Example: Medium"""
    fits: Text = ""
    """Whom it fits. Example: a hand of 17 to 19 cm round the knuckles"""


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
    """The length in each size. Example: 18 (20, 22) cm"""
    knitted: Text = ""
    """The facts that are added up and compared with it. Example: edge.length + body.length"""
    ease: Ease | None = None
    """By how much what is knitted is to be longer. Example: 0 to 2 cm"""


class Material(Item):
    """Something that is used up: works say how much of it they use, in any unit (``uses: clay 450 g``).

    It is sold in packs of ``pack`` units, if that is said; ``margin`` is added to what is used, else the pattern's.
    """

    name: Text
    """What it is called. Example: stoneware clay"""
    details: Text = ""
    """What else is to be known of it. Example: smooth, fired to 1220 degrees"""
    pack: Count | None = None
    """How much of it is sold together, in its own unit. Example: 500"""
    margin: Share | None = None
    """How much is added to what is used. Example: 15 %"""


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
    """Who makes a piece. Example: potter"""
    makers: Text = ""
    """Those who make pieces. Example: potters"""
    make: Text = ""
    """What they do. Example: throw"""
    makes: Text = ""
    """What one of them does. Example: throws"""
    making: Text = ""
    """What is being done. Example: throwing"""
    made: Text = ""
    """What was done. Example: thrown"""
    sample: Text = ""
    """A piece made beforehand. Example: stage pot"""
    samples: Text = ""
    """The pieces made beforehand. Example: stage pots"""
    stuff: Text = ""
    """The heading of the materials. Example: Clay and glazes"""
    tools: Text = ""
    """The heading of the tools. Example: Tools"""
    notions: Text = ""
    """The heading of what else is needed. Example: Also"""
    tool: Text = ""
    """The tool that live work rests on. Example: wheel"""
    pace: Text = ""
    """What a pace counts; a hyphen where works have their minutes. Example: stitches a minute"""
    live: Text = ""
    """Where live stitches are. Example: on the needles"""
    hand_over: Text = ""
    """How a piece with live stitches is handed over. Example: on its needle"""
    hand_over_each: Text = ""
    """How several pieces with different tools are handed over. Example: each on its needle"""


def short_forms(key: str) -> BeforeValidator:
    """Read a mapping in which a plain value stands for a group with this key alone; it keeps its place."""

    def read(value: Any) -> Any:
        """Each value that is no mapping as one of a single key."""
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
