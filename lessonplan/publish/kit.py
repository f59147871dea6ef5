"""The kit for viewers: what each holds, what it weighs and costs, and what is ordered for all of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil

from lessonplan.course.model.publishing import Kit, Kits, Packed
from lessonplan.course.model.together import Course
from lessonplan.course.names.options import filmed_choices
from lessonplan.course.names.toolbox import known_tools
from lessonplan.pattern.amounts.materials import GRAMS, Used, whole_use
from lessonplan.pattern.amounts.yarn import is_waste
from lessonplan.pattern.variants.ways import Way
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Content:
    """So many of a thing in a kit, or so much: ``key`` is a yarn's, ``used`` is a material; else there are none."""

    thing: Packed
    number: float
    key: str = ""
    used: Used | None = None


@dataclass(frozen=True, slots=True)
class PackedKit:
    """Kits of one sort: how many, of which size and choices, what each holds, its grams, its price if all have one."""

    asked: Kits
    number: int
    size: str
    choices: tuple[str, ...]
    contents: tuple[Content, ...]
    grams: float
    price: float | None


@dataclass(frozen=True, slots=True)
class Order:
    """What is ordered of a thing for all kits: so many are needed, in packs of so many, so many of them; 0 has none.

    ``asked`` are those of the kits that the course asks for, without the spare ones. ``used``: the material that it is.
    """

    thing: Packed
    key: str
    asked: float
    needed: float
    pack: int
    packs: int
    price: float | None
    used: Used | None = None

    @property
    def left(self) -> float:
        """How many of the packs' things no kit takes."""
        return round(self.packs * self.pack - self.needed, 6) if self.packs else 0.0


def packed_kits(plan: Plan) -> tuple[PackedKit, ...]:
    """Pack every sort of kit that the course asks for, or one of each size where it does not say how many."""
    kit = plan.course.course.kit
    if kit is None:
        return ()
    sizes = [size.name for size in plan.course.pattern.sizes]
    asked = kit.kits or tuple(Kits(number=1, size=size) for size in sizes)
    return tuple(_packed(plan, kit, one) for one in asked)


def _packed(plan: Plan, kit: Kit, asked: Kits) -> PackedKit:
    course = plan.course
    sizes = [size.name for size in course.pattern.sizes]
    size = sizes.index(asked.size) if asked.size else 0
    chosen = choices_of(course, asked)
    contents = tuple(_contents(plan, kit, size, way_of(plan, chosen)))
    shares = [1 if one.used is None else one.used.pack or 1 for one in contents]
    prices = [one.thing.price for one in contents]
    counted = [
        price * one.number / share
        for price, one, share in zip(prices, contents, shares, strict=True)
        if price is not None
    ]
    return PackedKit(
        asked=asked,
        number=ceil(asked.number * (1 + (kit.spare or 0.0)) - 1e-9),
        size=sizes[size] if len(sizes) > 1 else "",
        choices=tuple(chosen.values()),
        contents=contents,
        grams=kit.grams + sum(grams_of(course, one) * one.number for one in contents),
        price=sum(counted) if contents and len(counted) == len(contents) else None,
    )


def choices_of(course: Course, asked: Kits) -> Mapping[str, str]:
    """Give the choice of each option that a sort of kit is for: as filmed unless it names another."""
    chosen = filmed_choices(course.pattern)
    for name, option in course.pattern.options.items():
        chosen[name] = next((choice for choice in asked.choices if choice in option.choices), chosen[name])
    return chosen


def way_of(plan: Plan, chosen: Mapping[str, str]) -> Way:
    """Give the way with some choices, with nothing left out and lengths as filmed."""
    return next(
        way for way in plan.worked.ways if dict(way.chosen) == dict(chosen) and not way.without and not way.length
    )


def _contents(plan: Plan, kit: Kit, size: int, way: Way) -> Iterator[Content]:
    """Give what a kit holds: the balls that its size takes, and of things that belong to a choice those of its own."""
    pattern = plan.course.pattern
    balls = {one.yarn: one.balls for one in way.yarn(pattern, size)}
    amounts = {one.key: one for one in whole_use(pattern, way.worked, size)}
    chosen = set(way.chosen.values())
    of_choices = {
        thing.lower(): choice
        for option in pattern.options.values()
        for choice, things in option.kit.items()
        for thing in things
    }
    for thing in kit.holds:
        key = thing.what if thing.what in pattern.yarns and not is_waste(pattern, thing.what) else ""
        if thing.what in pattern.materials and thing.what not in pattern.yarns:
            if one := amounts.get(thing.what):
                yield Content(thing, one.amount, used=one)
            continue
        number = balls.get(key, 0) if key else thing.number
        belongs = [of_choices[name] for name in sorted(thing.names) if name in of_choices]
        if number and (not belongs or chosen & set(belongs)):
            yield Content(thing, number, key)


def grams_of(course: Course, one: Content) -> float:
    """What one of a thing weighs, or one unit of a material: what the kit says, else what a unit of weight is."""
    if one.used and not one.thing.grams:
        return GRAMS.get(one.used.unit, 0.0)
    return course.pattern.yarns[one.key].grams if one.key else one.thing.grams


def orders(plan: Plan, kits: tuple[PackedKit, ...]) -> tuple[Order, ...]:
    """Give what is ordered of each thing for all kits, in whole packs."""
    needed: dict[str, float] = {}
    asked: dict[str, float] = {}
    things: dict[str, Content] = {}
    for sort in kits:
        for one in sort.contents:
            needed[one.thing.what] = needed.get(one.thing.what, 0) + sort.number * one.number
            asked[one.thing.what] = asked.get(one.thing.what, 0) + sort.asked.number * one.number
            things[one.thing.what] = one
    found = []
    for what, number in needed.items():
        thing, used = things[what].thing, things[what].used
        pack = used.pack if used else thing.pack
        packs = ceil(round(number / pack, 6)) if pack else 0
        price = None if thing.price is None else thing.price * ((packs or number) if used else packs * pack)
        total = replace(used, amount=round(number, 6), packs=packs) if used else None
        found.append(
            Order(
                thing=thing,
                key=things[what].key,
                asked=round(asked[what], 6),
                needed=round(number, 6),
                pack=pack,
                packs=packs,
                price=price,
                used=total,
            )
        )
    return tuple(found)


def from_home(plan: Plan, names: Iterable[str]) -> tuple[str, ...]:
    """Give those of some things, as pattern and shots name them, that no kit holds."""
    kit, known = plan.course.course.kit, known_tools(plan.course)
    held = {name for one in kit.holds for name in one.names} if kit else set[str]()
    held |= {known[name] for name in held if name in known}
    return tuple(name for name in names if name.lower() not in held and known.get(name.lower(), name) not in held)
