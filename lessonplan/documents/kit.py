"""The kit: what each holds, a slip for every sort, what is ordered for all, and what viewers take from home."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from lessonplan.course.words import count_of, day_text, listing
from lessonplan.craft.lengths import sizes_text
from lessonplan.craft.standards import with_numbers
from lessonplan.craft.words import words_of
from lessonplan.documents.materials import kind_of_needle, tool_lines
from lessonplan.documents.ready import ready, tools_told
from lessonplan.pattern.amounts.materials import MEASURES, in_sizes, whole_use
from lessonplan.pattern.amounts.yarn import is_waste, yarn_length
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.publish.editions import numbered
from lessonplan.publish.homework import homework
from lessonplan.publish.kit import (
    Content,
    Order,
    PackedKit,
    choices_of,
    from_home,
    grams_of,
    orders,
    packed_kits,
    way_of,
)


@dataclass(frozen=True, slots=True)
class SortRow:
    """One sort of kit: how many with spare ones, how many are asked for, each thing in it, its weight and price."""

    number: str
    asked: str
    name: str
    things: tuple[tuple[str, str], ...]
    weight: str
    price: str


@dataclass(frozen=True, slots=True)
class OrderRow:
    """What is ordered of a thing: how many are asked for and needed, how they are sold, how many are left, the price.

    ``asked`` is empty where no spare ones are ordered.
    """

    thing: str
    asked: str
    needed: str
    packs: str
    left: str
    price: str


@dataclass(frozen=True, slots=True)
class SlipsView:
    """What stands on the slips: for each sort of kit its name, its things, and what is from home.

    ``episodes``: what is from home for each of them.
    """

    title: str
    course: str
    edition: str
    host: str
    contact: str
    sorts: tuple[tuple[str, tuple[tuple[str, str], ...], tuple[str, ...]], ...]
    episodes: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KitView:
    """What stands on the page of the kit. ``episodes``: what is from home for each of them.

    ``by`` when viewers have theirs; ``packed``: something comes in packs, ``over``: of something there is more than is
    needed.
    """

    title: str
    edition: str
    spare: str
    by: str
    sorts: tuple[SortRow, ...]
    orders: tuple[OrderRow, ...]
    packed: bool
    over: bool
    priced: bool
    total: str
    lots: tuple[str, ...]
    home: tuple[str, ...]
    episodes: tuple[tuple[str, str], ...]


def kit_view(plan: Plan) -> KitView:
    """Lay out the kit of a course that has one."""
    file, pattern, kits = plan.course.course, plan.course.pattern, packed_kits(plan)
    kit = file.kit
    ordered, sign = orders(plan, kits), kit.currency if kit else ""
    prices = [one.price for one in ordered]
    known = [price for price in prices if price is not None]
    return KitView(
        title=pattern.title,
        edition=numbered(plan),
        spare=f"{100 * kit.spare:g}\u00a0% more than asked for" if kit and kit.spare else "",
        by=next(
            (f"{day_text(one.released)}, when episode {one.episode} is out" for one in homework(plan) if one.released),
            "",
        ),
        sorts=tuple(_sort(plan, one, sign) for one in kits),
        orders=(rows := tuple(_order(plan, one, sign) for one in ordered)),
        packed=any(one.packs for one in rows),
        over=any(one.left for one in rows),
        priced=bool(known),
        total=_price(sum(known), sign) if known and len(known) == len(prices) else "",
        lots=tuple(_lots(plan, kits, ordered)),
        home=tuple(_home(plan, dict(_amounts(plan)))),
        episodes=tuple(_episodes(plan)),
    )


def slips_view(plan: Plan) -> SlipsView:
    """Lay out a slip for each sort of kit, to lay into it."""
    file, view = plan.course.course, kit_view(plan)
    return SlipsView(
        title=view.title,
        course=file.title,
        edition=numbered(plan),
        host=file.host,
        contact=file.contact,
        sorts=tuple(
            (sort.name, sort.things, tuple(_home(plan, dict(_amounts(plan, kit)))))
            for sort, kit in zip(view.sorts, packed_kits(plan), strict=True)
        ),
        episodes=view.episodes,
        cautions=cautions(plan, "viewers"),
    )


def _episodes(plan: Plan) -> Iterator[tuple[str, str]]:
    """Name the episodes for which something more is from home, with what is not among the things for all of them.

    What is made beforehand comes first, since it takes the longest; a later episode names it again.
    """
    home = tuple(_home(plan, {}))
    for one in ready(plan):
        things = [f"{name}, ready by then" for name in one.made]
        things += tools_told(plan, (name for name in from_home(plan, one.names) if not _is_among(plan, name, home)))
        if things:
            yield f"{one.episode}: {one.title}", "; ".join(things)


def _is_among(plan: Plan, name: str, texts: Iterable[str]) -> bool:
    """Whether a tool of the shots is one of some things: by one of its names, or by the size that the course gives."""
    tool = plan.course.course.tools.get(name)
    called = "|".join(re.escape(one) for one in (name, *(tool.also if tool else ())))
    size = tool.what.partition(" (")[0] if tool and tool.what[:1].isdigit() else ""
    named = re.compile(rf"\b(?:{called})\b" + (rf"|^\D*{re.escape(size)}\b" if size else ""), re.IGNORECASE)
    return any(named.search(text) for text in texts)


def kit_table(view: KitView) -> tuple[tuple[str, ...], ...]:
    """Give the order as rows for a spreadsheet, a heading first."""
    head = ("thing", "asked_for", "to_order", "packs", "left_over", "price")
    rows = ((one.thing, one.asked or one.needed, one.needed, one.packs, one.left, one.price) for one in view.orders)
    return (head, *rows)


def _home(plan: Plan, amounts: Mapping[str, str]) -> Iterator[str]:
    """Word what no kit holds: yarns and materials with how much of them, needles, tools, notions."""
    pattern, tool = plan.course.pattern, words_of(plan.course.pattern).tool
    for key in from_home(plan, (*pattern.yarns, *pattern.materials)):
        if key in amounts:
            yield f"{_yarn(plan, key) if key in pattern.yarns else pattern.materials[key].name}: {amounts[key]}"
    of_needles = [with_numbers(text) for text in from_home(plan, pattern.needles)]
    of_needles += kind_of_needle(pattern, plan.worked.pattern) if of_needles else ()
    yield from tool_lines(tool, of_needles)
    yield from from_home(plan, (*pattern.tools, *pattern.notions))


def _amounts(plan: Plan, kit: PackedKit | None = None) -> Iterator[tuple[str, str]]:
    """Give how much there is of each yarn and material, for one sort of kit, or for all sizes as filmed."""
    pattern, sizes = plan.course.pattern, [size.name for size in plan.course.pattern.sizes]
    way = way_of(plan, choices_of(plan.course, kit.asked)) if kit else plan.worked.ways[0]
    mine = [sizes.index(kit.size) if kit.size else 0] if kit else range(len(sizes))
    yarns = [{one.yarn: one for one in way.yarn(pattern, size)} for size in mine]
    for key in pattern.yarns:
        if amounts := [each[key] for each in yarns if key in each]:
            balls = sizes_text([str(one.balls) for one in amounts])
            yield (
                key,
                yarn_length(pattern, [one.metres for one in amounts], "\u00a0")
                + ("" if is_waste(pattern, key) else f", {balls} {'ball' if balls == '1' else 'balls'}"),
            )
    uses = [{one.key: one for one in whole_use(pattern, way.worked, size)} for size in mine]
    for key in pattern.materials:
        if found := [each[key] for each in uses if key in each]:
            yield key, in_sizes(found)


def _sort(plan: Plan, one: PackedKit, sign: str) -> SortRow:
    return SortRow(
        number=str(one.number),
        asked=str(one.asked.number),
        name=", ".join((one.size, *one.choices)).strip(", ") or "every kit",
        things=tuple(_thing(plan, each) for each in one.contents),
        weight=_weight(plan, one),
        price="" if one.price is None else _price(one.price, sign),
    )


def weighed(grams: float) -> str:
    """Word a weight in grams or kilograms, never less than it is: ``242 g``, ``1.36 kg``."""
    whole = ceil(round(grams, 3))
    return f"{whole}\u00a0g" if whole < 1000 else f"{ceil(whole / 10) / 100:g}\u00a0kg"


def _weight(plan: Plan, kit: PackedKit) -> str:
    """Word what a kit weighs, and what in it the course gives no weight of: box and papers may be among that."""
    unknown = [_thing(plan, one)[1] for one in kit.contents if not grams_of(plan.course, one)]
    asked = plan.course.course.kit
    boxed = bool(asked and asked.grams)
    unknown += [] if boxed else ["box and papers"]
    weight = weighed(kit.grams) + (", box and papers included" if boxed else "")
    return weight + (f", without {listing(unknown)}, whose weight is not given" if unknown else "")


def _thing(plan: Plan, one: Content) -> tuple[str, str]:
    """Word how many there are of a thing in a kit, and the thing."""
    if one.used:
        return str(one.used), one.used.name
    if not one.key:
        return f"{one.number:.10g}", one.thing.what
    return f"{one.number:.10g}", f"{'ball' if one.number == 1 else 'balls'} of {_yarn(plan, one.key)}"


def _yarn(plan: Plan, key: str) -> str:
    yarn = plan.course.pattern.yarns[key]
    return f"{yarn.name}, {yarn.colour} ({key})" if yarn.colour else f"{yarn.name} ({key})"


def _order(plan: Plan, one: Order, sign: str) -> OrderRow:
    named = one.thing.what if one.used is None else one.used.name
    measured = one.used is not None and one.used.unit in MEASURES
    of = f"{one.pack}" if one.used is None else one.used.in_a_pack
    return OrderRow(
        thing=_yarn(plan, one.key) if one.key else named,
        asked=_many(one, one.asked) if one.asked != one.needed else "",
        needed=_many(one, one.needed),
        packs=f"{count_of(one.packs, 'pack')} of {of}" if one.pack > 1 else "by measure" if measured else "",
        left=_many(one, one.left) if one.left else "",
        price="" if one.price is None else _price(one.price, sign),
    )


def _many(one: Order, number: float) -> str:
    """Word so many of a thing: ``125 balls``, ``2.5 kg``; a thing that a kit names is counted as it is named."""
    if one.used:
        return replace(one.used, amount=number).bought
    return count_of(int(number), "ball") if one.key else f"{number:.10g}"


def _lots(plan: Plan, kits: Sequence[PackedKit], ordered: tuple[Order, ...]) -> Iterator[str]:
    """Say of each yarn of which a kit has several balls how to keep to dye lots; with one to a kit they may differ."""
    for one in ordered:
        if one.key and one.needed > 1:
            several = any(each.key == one.key and each.number > 1 for kit in kits for each in kit.contents)
            yield f"{_yarn(plan, one.key)}: " + (
                f"ask for all {one.needed:.10g} balls of one dye lot; where that cannot be had, the balls of one kit "
                "are of one lot."
                if several
                else "no kit has more than one ball of it, so they need not be of one dye lot."
            )


def _price(amount: float, sign: str) -> str:
    return f"{sign} {amount:,.2f}".strip()
