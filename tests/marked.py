"""A course with a mark of its own in every text that its teacher can write, put in by the types of the model."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args
from unittest.mock import patch

import lessonplan
from lessonplan.course.model.together import Course
from lessonplan.course.values.fields import Item
from lessonplan.planning import worked
from lessonplan.planning.worked import Plan

_NO_PROSE = """
    Course.name CourseFile.language CourseFile.film_size CourseFile.address CourseFile.learnt CourseFile.techniques
    CourseFile.views CourseFile.tools CourseFile.cues Tool.also Tool.holds Knitter.name Camera.name ShootDay.helpers
    ShootDay.films Drawer.name Drawer.state Drawer.not_in Packed.what Packed.also Kits.size Kits.choices Pattern.craft
    Size.name Pattern.options Option.choices Option.filmed Pattern.yarns Yarn.hex Pattern.materials Pattern.measures
    Measure.knitted Pattern.patterns Pattern.charts Chart.colours Chart.rows Pattern.stages Stage.after Stage.when
    Work.yarn Work.uses Work.when CastOn.multiple Knit.lines Knit.holds Knit.stripes Knit.chart Knit.ends_with
    Knit.in_stripe Knit.carry Spread.by Hold.name TakeUp.take_up PickUp.edge PickUp.rate Placeholder.name Open.open
    HalfRound.half_round Graft.to Units.unit Point.point Shot.view Shot.tools Shot.after PieceOnTable.needs
    PieceOnTable.shows PieceOnTable.leaves PieceOnTable.kinds Hands.work Mention.what CueAsked.at CueAsked.instead_of
    CueAsked.leave_out Segment.stage Decided.kind Decided.words
"""
NAMES = frozenset(_NO_PROSE.split())
"""Fields of texts that are no prose: names by which one thing refers to another, and what is worked or computed."""
WRITTEN = ("Agreed", "AgreedShot", "AgreedPiece", "Published", "LeftOut")
"""What the program writes itself, or nobody."""


def _kinds(annotation: Any) -> Iterator[Any]:
    yield annotation
    for one in get_args(annotation):
        yield from _kinds(one)


def place_of(kind: type[Item], name: str) -> str:
    """A field by the class in which it is declared: ``Work.note``."""
    return next(f"{one.__name__}.{name}" for one in reversed(kind.__mro__) if name in getattr(one, "model_fields", {}))


def text_fields(kind: type[Item], seen: set[type[Item]] | None = None) -> Iterator[str]:
    """Every field of a kind of item, and of those that it can hold, that takes texts."""
    seen = set() if seen is None else seen
    if kind in seen or kind.__name__ in WRITTEN:
        return
    seen.add(kind)
    for name, field in kind.model_fields.items():
        parts = list(_kinds(field.annotation))
        if str in parts:
            yield place_of(kind, name)
        for part in parts:
            if isinstance(part, type) and issubclass(part, Item):
                yield from text_fields(part, seen)


PROSE = frozenset(text_fields(Course)) - NAMES


class Marking:
    """Puts marks into a course: ``marks`` tells for each which field has it and what the text was."""

    def __init__(self, mark: Callable[[int], str], fields: frozenset[str] = PROSE) -> None:
        self.marks: dict[str, str] = {}
        self._mark, self._fields = mark, fields

    def marked(self, item: Any) -> Any:
        """The same item, its texts marked: behind what stands there, or alone where nothing does."""
        changed: dict[str, Any] = {}
        for name, field in type(item).model_fields.items():
            value, place = getattr(item, name), place_of(type(item), name)
            if place in self._fields and str in _kinds(field.annotation):
                changed[name] = self._text(item, place, value)
            else:
                changed[name] = self._inside(value)
        return item.model_copy(update={name: one for name, one in changed.items() if one is not getattr(item, name)})

    def _inside(self, value: Any) -> Any:
        if isinstance(value, Item) and type(value).__name__ not in WRITTEN:
            return self.marked(value)
        if type(value) is tuple and any(isinstance(one, Item) for one in value):
            return tuple(self._inside(one) for one in value)
        if isinstance(value, dict) and any(isinstance(one, Item) for one in value.values()):
            return {key: self._inside(one) for key, one in value.items()}
        return value

    def _text(self, item: Item, place: str, value: Any) -> Any:
        if isinstance(value, str):
            # A line is worked or something done, a mention or a tool that holds others needs no words of its own.
            alone = place in ("Hands.do", "CueAsked.show", "Mention.of") or bool(getattr(item, "holds", ()))
            return self._new(place, value) if value or not alone else value
        if isinstance(value, tuple):
            return tuple(self._new(place, one) for one in value) or (self._new(place, ""),)
        return {
            key: tuple(self._new(place, text) for text in one) if isinstance(one, tuple) else self._new(place, one)
            for key, one in value.items()
        }

    def _new(self, place: str, text: str) -> str:
        mark = self._mark(len(self.marks))
        self.marks[mark] = place
        return f"{text.rstrip()} {mark}" if text else mark


def planned(folder: Path, changed: Callable[[Course], Course]) -> Plan:
    """Plan a course that is changed once it is read."""
    read = worked.read_folder  # type: ignore[attr-defined]

    def other(path: Path) -> Any:
        loaded = read(path)
        assert loaded.course is not None
        return replace(loaded, course=changed(loaded.course))

    with patch.object(worked, "read_folder", other):
        result = lessonplan.plan(folder)
    assert result.plan is not None, [str(one) for one in result.problems if one.severity == "error"]
    return result.plan


def letters(number: int) -> str:
    """A word that stands in no course: no digit is in it, so that it is never taken for a number."""
    return "zq" + "".join("abcdefghij"[int(digit)] for digit in f"{number:04d}") + "x"
