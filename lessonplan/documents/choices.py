"""What viewers can choose: the options of a pattern with what each choice takes, as the handout prints them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lessonplan.course.model import pattern as pm, works as wm
from lessonplan.course.model.groups import Option
from lessonplan.course.names.options import filmed_choices
from lessonplan.course.words import capital, listing
from lessonplan.craft import tables
from lessonplan.craft.gauge import round_half_up
from lessonplan.craft.lengths import sizes_text
from lessonplan.craft.words import words_of
from lessonplan.documents.wording import hours
from lessonplan.pattern.amounts.yarn import Amount, is_waste, yarn_length
from lessonplan.pattern.variants.ways import Way, with_choice
from lessonplan.planning.worked import Plan, Worked
from lessonplan.publish.homework import all_quarters


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way to work the pattern: its name, the yarn it takes and the hours, in all sizes."""

    name: str
    yarn: tuple[str, ...]
    hours: str


@dataclass(frozen=True, slots=True)
class ChoicesView:
    """What can be chosen: a sentence for each option, a row for each way, the ranges over all of them, and the kit.

    The ranges are empty where every way has a row of its own, which says it all.
    """

    sentences: tuple[str, ...]
    rows: tuple[WayRow, ...]
    yarn_ranges: tuple[str, ...]
    hours_range: str
    kit: tuple[str, ...]
    paces: str


def choices_view(plan: Plan) -> ChoicesView | None:
    """Lay out what viewers can choose; nothing for a pattern that is worked in one way."""
    worked = plan.worked
    pattern, ways = worked.course.pattern, worked.ways
    if len(ways) < 2:
        return None
    _, *named = ways_named(worked)
    ranged = ways if len(ways) > 1 + len(named) else ()
    return ChoicesView(
        sentences=tuple(_sentence(name, option, pattern) for name, option in pattern.options.items()),
        rows=tuple(
            WayRow(
                name=way.name if way is not ways[0] else "as filmed",
                yarn=tuple(f"{key} {text}" for key, text in yarn_range(worked, (way,))),
                hours=hours_range(plan, (way,)),
            )
            for way in (ways[0], *named)
        ),
        yarn_ranges=tuple(f"{key}: {text}" for key, text in yarn_range(worked, ranged)),
        hours_range=hours_range(plan, ranged) if ranged else "",
        kit=tuple(
            f"With {choice}: {listing(things)}."
            for option in pattern.options.values()
            for choice, things in option.kit.items()
        ),
        paces=paces_words(worked),
    )


def ways_named(worked: Worked) -> tuple[Way, ...]:
    """Give the filmed way and those that differ from it in one thing."""
    return (worked.ways[0], *(way for way in worked.ways[1:] if way.name))


LIKE = 0.1
"""Metres by which what a choice takes may differ from size to size and still be the same."""


def more_yarn(worked: Worked, way: Way) -> str:
    """Say how much more or less yarn a way takes than the filmed one, by the metres told of both; "" where none.

    It is for all pieces, the reserve included: ``4 (6, 9) m of CC more``. What is the same in all sizes but for the
    rounding of the whole metres, as a cord is, is told once: ``up to 5 m``.
    """
    pattern, sizes = worked.course.pattern, range(len(worked.pattern.sizes))
    here, filmed = (
        [{one.yarn: one for one in each.yarn(pattern, size)} for size in sizes] for each in (way, worked.ways[0])
    )
    told = list[str]()
    for key in pattern.yarns:
        nothing = Amount(key, 0.0, 0.0, 0)
        pairs = [(mine.get(key, nothing), other.get(key, nothing)) for mine, other in zip(here, filmed, strict=True)]
        more = [mine.whole_metres - other.whole_metres for mine, other in pairs]
        exact = [mine.metres - other.metres for mine, other in pairs]
        alike = max(exact) - min(exact) < LIKE and len({*more}) > 1
        if any(more) and not is_waste(pattern, key):
            less = max(more) <= 0
            if less or min(more) >= 0:
                each = [abs(one) for one in more]
                length = yarn_length(pattern, [max(each)] if alike else each, "\u00a0")
                told.append(f"{'up to ' if alike else ''}{length} of {key} {'less' if less else 'more'}")
    return listing(told)


def more_with(plan: Plan, stage: pm.Stage) -> str:
    """Say how much more yarn the one choice takes to which a stage belongs, for all pieces; else nothing."""
    named, make = [with_choice(one) for one in stage.when], plan.course.pattern.make
    more = next((more_yarn(plan.worked, way) for way in ways_named(plan.worked)[1:] if named == [way.name]), "")
    if more.endswith(" less"):
        more = ""  # what another choice would take is nothing that this stage does
    return f"{more}{ {1: '', 2: ' for the pair'}.get(make, f' for all {make}') }" if more else ""


def only_with(item: pm.Stage | wm.Work, more: str = "") -> str:
    """Say with which choices something is worked, and what ``more`` it takes, or that it can be left out."""
    only = f"Only {' or '.join(map(with_choice, item.when))}{f', {more}' if more else ''}" if item.when else ""
    parts = [*([only] if only else []), *(["Optional"] if item.optional else [])]
    return ". ".join(parts) + (":" if parts else "")


def _sentence(name: str, option: Option, pattern: pm.Pattern) -> str:
    filmed = filmed_choices(pattern)[name]
    parts = [f"{choice} (as filmed)" if choice == filmed else choice for choice in option.choices]
    return f"{capital(name).replace('_', ' ')}: {', '.join(parts[:-1])} or {parts[-1]}."


def yarn_range(worked: Worked, ways: Sequence[Way]) -> tuple[tuple[str, str], ...]:
    """Word, for each yarn, the least to the most that some ways take, with the margin, in all sizes."""
    pattern, sizes = worked.course.pattern, range(len(worked.pattern.sizes))
    taken = [[{one.yarn: one for one in way.yarn(pattern, size)} for size in sizes] for way in ways]
    keys = list(dict.fromkeys(key for way in taken for amounts in way for key in amounts))
    found = []
    for key in keys:
        nothing = Amount(key, 0.0, 0.0, 0)
        each = [[way[size].get(key, nothing) for way in taken] for size in sizes]
        text = _range([[one.whole_metres for one in size] for size in each]) + "\u00a0m"
        if not is_waste(pattern, key):
            balls = _range([[one.balls for one in size] for size in each])
            text += f", {_range([[one.grams for one in size] for size in each])}\u00a0g"
            text += f": {balls} {'ball' if balls in ('1', '0–1') else 'balls'}"
        found.append((key, text))
    return tuple(found)


def paces_words(worked: Worked) -> str:
    """Say at which paces hours are told, as `hours_range` tells them; nothing where the craft's work has none."""
    pace = words_of(worked.course.pattern).pace
    return f"at {tables.pace('middling'):g} to {tables.pace('slow'):g} {pace}" if pace else ""


def hours_range(plan: Plan, ways: Sequence[Way]) -> str:
    """Word the hours that some ways take, from the least at a middling pace to the most at a slow one, in all sizes.

    They are those of the episodes added up (`all_quarters`).
    """
    return hours_words(plan, lambda size, pace: [all_quarters(plan, way, size, pace) for way in ways])


def hours_words(plan: Plan, quarters: Callable[[int, str], Sequence[int]]) -> str:
    """Word hours from the least at a middling pace to the most at a slow one, in all sizes: ``3 (4) to 5 (6) h``.

    ``quarters`` gives for a size (0-based) and a pace the quarters of an hour of each way.
    """
    sizes, ends = range(len(plan.worked.pattern.sizes)), (("middling", min), ("slow", max))
    low, high = (sizes_text([hours(choose(quarters(size, pace))) for size in sizes]) for pace, choose in ends)
    return f"{low}\u00a0h" if low == high else f"{low} to {high}\u00a0h"


def _range(each_size: Sequence[Sequence[float]]) -> str:
    """Word the least to the most of each size, once where they are equal: ``77–78 (92, 107)``."""
    ends = [(str(round_half_up(min(one))), str(round_half_up(max(one)))) for one in each_size]
    return sizes_text([low if low == high else f"{low}–{high}" for low, high in ends])
