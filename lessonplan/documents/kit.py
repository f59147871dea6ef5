"""The kit: what each holds, a slip for every sort, what is ordered for all, and what viewers take from home."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonplan.documents.ready import ready
from lessonplan.documents.wording import count_of
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.publish.kit import Order, PackedKit, from_home, orders, packed_kits


@dataclass(frozen=True, slots=True)
class SortRow:
    """One sort of kit: how many, for what, each thing in it with its number, its weight, its price."""

    number: str
    name: str
    things: tuple[tuple[str, str], ...]
    weight: str
    price: str


@dataclass(frozen=True, slots=True)
class OrderRow:
    """What is ordered of a thing: how many are needed, how they are sold, how many are left over, the price."""

    thing: str
    needed: str
    packs: str
    left: str
    price: str


@dataclass(frozen=True, slots=True)
class SlipsView:
    """What stands on the slips: for each sort of kit its name and its things; ``parts``: from home for each part."""

    title: str
    course: str
    edition: int
    host: str
    contact: str
    sorts: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    home: tuple[str, ...]
    parts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KitView:
    """What stands on the page of the kit. ``parts``: what is from home for each part."""

    title: str
    edition: int
    spare: str
    sorts: tuple[SortRow, ...]
    orders: tuple[OrderRow, ...]
    priced: bool
    total: str
    lots: tuple[str, ...]
    home: tuple[str, ...]
    parts: tuple[tuple[str, str], ...]


def kit_view(plan: Plan) -> KitView:
    """Lay out the kit of a course that has one."""
    file, pattern, kits = plan.course.course, plan.course.pattern, packed_kits(plan)
    kit = file.kit
    ordered, sign = orders(plan, kits), kit.currency if kit else ""
    prices = [one.price for one in ordered]
    known = [price for price in prices if price is not None]
    return KitView(
        title=pattern.title,
        edition=file.edition,
        spare=f"{100 * kit.spare:g}\u00a0% more than asked for" if kit and kit.spare else "",
        sorts=tuple(_sort(plan, one, sign) for one in kits),
        orders=tuple(_order(plan, one, sign) for one in ordered),
        priced=bool(known),
        total=_price(sum(known), sign) if known and len(known) == len(prices) else "",
        lots=tuple(_lots(plan, ordered)),
        home=from_home(plan, _names(plan)),
        parts=tuple(_parts(plan)),
    )


def slips_view(plan: Plan) -> SlipsView:
    """Lay out a slip for each sort of kit, to lay into it."""
    file, view = plan.course.course, kit_view(plan)
    return SlipsView(
        title=view.title,
        course=file.title,
        edition=file.edition,
        host=file.host,
        contact=file.contact,
        sorts=tuple((sort.name, sort.things) for sort in view.sorts),
        home=view.home,
        parts=view.parts,
        cautions=cautions(plan, "viewers"),
    )


def _parts(plan: Plan) -> Iterator[tuple[str, str]]:
    """Name the episodes for which something is from home, with the things."""
    for one in ready(plan):
        things = from_home(plan, one.tools)
        if things:
            yield f"{one.episode}: {one.title}", "; ".join(things)


def kit_table(view: KitView) -> tuple[tuple[str, ...], ...]:
    """Give the order as rows for a spreadsheet, a heading first."""
    head = ("thing", "needed", "packs", "left_over", "price")
    return (head, *((one.thing, one.needed, one.packs, one.left, one.price) for one in view.orders))


def _names(plan: Plan) -> Iterator[str]:
    """Name what the whole pattern needs besides the tools of single episodes: yarns, needles, notions."""
    pattern = plan.course.pattern
    yield from (*pattern.yarns, *pattern.needles, *pattern.notions)


def _sort(plan: Plan, one: PackedKit, sign: str) -> SortRow:
    return SortRow(
        number=str(one.number),
        name=", ".join((one.size, *one.choices)).strip(", ") or "every kit",
        things=tuple((str(each.number), _words(plan, each.key, each.thing.what, each.number)) for each in one.contents),
        weight=f"{one.grams:.0f} g",
        price="" if one.price is None else _price(one.price, sign),
    )


def _words(plan: Plan, key: str, what: str, number: int) -> str:
    if not key:
        return what
    return f"{'ball' if number == 1 else 'balls'} of {_yarn(plan, key)}"


def _yarn(plan: Plan, key: str) -> str:
    yarn = plan.course.pattern.yarns[key]
    return f"{yarn.name}, {yarn.colour} ({key})" if yarn.colour else f"{yarn.name} ({key})"


def _order(plan: Plan, one: Order, sign: str) -> OrderRow:
    packs = f"{count_of(one.packs, 'pack')} of {one.thing.pack}" if one.thing.pack > 1 else ""
    return OrderRow(
        thing=_yarn(plan, one.key) if one.key else one.thing.what,
        needed=str(one.needed),
        packs=packs,
        left=str(one.left) if one.left else "",
        price="" if one.price is None else _price(one.price, sign),
    )


def _lots(plan: Plan, ordered: tuple[Order, ...]) -> Iterator[str]:
    """Say of each yarn that comes in several balls how to keep to dye lots."""
    for one in ordered:
        if one.key and one.needed > 1:
            yield (
                f"{_yarn(plan, one.key)}: ask for all {one.needed} balls of one dye lot; where that cannot be had, the "
                "balls of one kit are of one lot."
            )


def _price(amount: float, sign: str) -> str:
    return f"{sign} {amount:,.2f}".strip()
