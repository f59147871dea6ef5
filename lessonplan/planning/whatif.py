"""What if: the plan solved again with one thing changed, and the cheapest savings that the host could choose.

Nothing is guessed: every figure is the difference between two proven optima.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.planning.worked import Plan, Worked, ask
from lessonplan.samples.choice import Choice, NoPlanError, choose_problem, cost_without
from lessonplan.samples.choice import without as changed_problem
from lessonplan.samples.pieces import KINDS, as_chosen
from lessonplan.shoot.day import Listed


@dataclass(frozen=True, slots=True)
class Change:
    """One change and what it does: hands-on minutes saved (negative: added), pieces fewer, weighted cost saved."""

    what: str
    minutes: float
    pieces: int
    cost: float


@dataclass(frozen=True, slots=True)
class Reasons:
    """What each piece is worth (weighed minutes more without it; None: not possible), and the best savings."""

    without: Mapping[str, float | None]
    savings: tuple[Change, ...]


def reasons(plan: Plan, told: Callable[[int, int], None] = lambda done, of: None) -> Reasons:
    """Work out what each piece is worth and what the host could save, each by solving again.

    ``told`` is called after each solving with how many are done, of how many.
    """
    ideas = tuple(_ideas(plan.worked))
    of = len(plan.choice.pieces) + len(ideas)
    without: dict[str, float | None] = {}
    for piece in plan.choice.pieces:
        without[piece.name] = without_piece(plan, piece.name)
        told(len(without), of)
    return Reasons(without, savings(plan, ideas=ideas, told=lambda done: told(len(without) + done, of)))


def hands_on(choice: Choice) -> float:
    """All hands-on minutes of a choice: before the shoot and on the days."""
    return choice.bench_minutes + choice.floor_minutes


def compare(what: str, before: Choice, after: Choice) -> Change:
    """Give what a changed plan saves against the present one."""
    return Change(
        what,
        hands_on(before) - hands_on(after),
        len(before.pieces) - len(after.pieces),
        before.cost - after.cost,
    )


def without_piece(plan: Plan, letter: str) -> float | None:
    """Give the weighted minutes that doing without a piece would cost; None when the shots need it.

    It is the optimum when that piece is not made, less the present one. Raises ``KeyError`` when there is no such one.
    """
    piece = next((piece for piece in plan.choice.pieces if piece.name == letter), None)
    if piece is None:
        raise KeyError(letter)
    cost = cost_without(plan.worked.question, as_chosen(piece, plan.worked.table), plan=_as_chosen(plan))
    return None if cost is None else cost - plan.choice.cost


def _as_chosen(plan: Plan) -> Choice:
    """The plan's choice with the kinds under which the solver knows its pieces."""
    return replace(plan.choice, pieces=tuple(as_chosen(piece, plan.worked.table) for piece in plan.choice.pieces))


def with_helpers(worked: Worked, more: int, day: int | None = None) -> Worked:
    """Give the same course with so many more helpers on one day (from 0) or on all days."""
    file = worked.course.course
    names = tuple(f"helper {number + 1}" for number in range(more))
    days = tuple(
        one.model_copy(update={"helpers": (*one.helpers, *names)}) if day in (None, number) else one
        for number, one in enumerate(file.shoot)
    )
    course = worked.course.model_copy(update={"course": file.model_copy(update={"shoot": days})})
    return ask(replace(worked, course=course))


def filmed_before(worked: Worked, segment: str, other: str) -> Worked:
    """Give the same course with one segment filmed before another. Raises ``KeyError`` for one not filmed."""
    for name in (segment, other):
        if not any(item.segment == name for item in worked.listed):
            raise KeyError(name)
    place = next(item for item in worked.listed if item.segment == other)
    moved = tuple(replace(item, day=place.day) for item in worked.listed if item.segment == segment)
    order: list[Listed] = []
    for item in worked.listed:
        if item is place:
            order += moved
        if item.segment != segment:
            order.append(item)
    return ask(replace(worked, listed=tuple(order)))


def accepting(worked: Worked, appearance: str, kind: str) -> Worked:
    """Give the same course with one more kind accepted for one appearance."""
    table = tuple(
        replace(piece, kinds=(*piece.kinds, kind)) if piece.name == appearance else piece for piece in worked.table
    )
    return ask(replace(worked, table=table))


class WhatIfError(ValueError):
    """A what-if that names something that is not there; the text is one plain sentence."""


def what_if(
    plan: Plan, *, without: str = "", helpers: int = 0, film: str = "", before: str = "", accept: str = ""
) -> tuple[Change, ...]:
    """Solve again for each change asked for, one at a time, and give what each saves against the present plan.

    ``without`` names a piece, ``helpers`` is how many more there are on every day, ``film`` a segment that is filmed
    ``before`` another, ``accept`` a kind and an appearance (``short 2.4.1``). Raises `WhatIfError`.
    """
    found: list[Change] = []
    if without:
        found.append(_without(plan, without))
    if helpers:
        after = choose_problem(with_helpers(plan.worked, helpers).question)
        found.append(
            compare(f"{helpers} more {'helper' if helpers == 1 else 'helpers'} on every day", plan.choice, after)
        )
    if film or before:
        try:
            after = choose_problem(filmed_before(plan.worked, film, before).question)
        except KeyError as missing:
            raise WhatIfError(f"There is no segment {missing.args[0] or '(none is named)'} that is filmed.") from None
        found.append(compare(f"film segment {film} before {before}", plan.choice, after))
    if accept:
        kind, _, name = accept.partition(" ")
        known = [piece.name for piece in plan.worked.table]
        if kind not in KINDS or name not in known:
            raise WhatIfError(
                f"“{accept}” is not a kind and an appearance such as “short {known[0] if known else '1.1.1'}”."
            )
        after = choose_problem(accepting(plan.worked, name, kind).question)
        found.append(compare(f"accept the {kind} kind in {name}", plan.choice, after))
    return tuple(found)


def _without(plan: Plan, letter: str) -> Change:
    piece = next((piece for piece in plan.choice.pieces if piece.name == letter.upper()), None)
    if piece is None:
        names = ", ".join(piece.name for piece in plan.choice.pieces)
        raise WhatIfError(f"There is no piece {letter}; the pieces are {names}.")
    try:
        after = choose_problem(
            changed_problem(plan.worked.question, as_chosen(piece, plan.worked.table), _as_chosen(plan))
        )
    except NoPlanError:
        raise WhatIfError(f"Without piece {piece.name} the shots cannot be filmed.") from None
    return compare(f"without piece {piece.name}", plan.choice, after)


def savings(
    plan: Plan,
    most: int = 3,
    time_limit: float = 30.0,
    ideas: Iterable[tuple[str, Worked]] | None = None,
    told: Callable[[int], None] = lambda done: None,
) -> tuple[Change, ...]:
    """Give the changes that save the most hands-on minutes, best first, each computed by solving again.

    Tried are: one more kind for each appearance, each segment filmed before the one that is filmed before it, and one
    more helper on each day.
    """
    found = []
    for number, (what, worked) in enumerate(_ideas(plan.worked) if ideas is None else ideas, 1):
        told(number)
        try:
            after = choose_problem(worked.question, time_limit=time_limit)
        except NoPlanError:
            continue
        change = compare(what, plan.choice, after)
        if change.cost > 0.5 and change.minutes > 0.5:
            found.append(change)
    return tuple(sorted(found, key=lambda change: (-round(change.minutes, 3), change.what))[:most])


def _ideas(worked: Worked) -> Iterator[tuple[str, Worked]]:
    has_short = any(stage.short for stage in worked.course.pattern.stages.values())
    for piece in worked.table:
        for kind in KINDS:
            if kind not in piece.kinds and (kind != "short" or has_short):
                yield f"accept the {kind} kind in {piece.name}", accepting(worked, piece.name, kind)
    segments = list(dict.fromkeys(item.segment for item in worked.listed))
    days = {item.segment: item.day for item in worked.listed}
    for first, second in pairwise(segments):
        if days[first] == days[second]:
            yield f"film segment {second} before {first}", filmed_before(worked, second, first)
    for day in range(len(worked.course.course.shoot)):
        yield f"one more helper on day {day + 1}", with_helpers(worked, 1, day)
