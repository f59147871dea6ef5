"""What if: the plan solved again with something changed, the wishes side by side, and the cheapest savings.

Nothing is guessed: every figure is the difference between two answers of the exact choice, and says when one of them is
not proven.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.course.model.lesser import KINDS
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import capital
from lessonplan.craft.words import words_of
from lessonplan.planning.asking import appearance_of
from lessonplan.planning.dropping import filmed_once
from lessonplan.planning.worked import Plan, Worked, ask
from lessonplan.samples.choice import Choice, NoPlanError, Question, State
from lessonplan.samples.choice.choose import choose, cost_without, without as changed_question
from lessonplan.samples.pieces import kinds_of, table_pieces
from lessonplan.shoot.day import Listed

ONE_TAKE = "in one take"
"""How the change ends by which a shot is filmed once."""

Made = tuple[str, State]
"""A piece by its kind and the state to which it is brought before the shoot."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change and what it does: hands-on minutes saved (negative: added), pieces fewer, weighted cost saved.

    Of the minutes ``floor`` are on the days; ``waiting``: minutes that the camera waits less.
    ``dropped`` are the pieces of the present plan that are not made then, ``added`` those that are made instead.
    """

    what: str
    minutes: float
    pieces: int
    cost: float
    floor: float = 0.0
    waiting: float = 0.0
    dropped: tuple[Made, ...] = ()
    added: tuple[Made, ...] = ()


@dataclass(frozen=True, slots=True)
class Side:
    """One wish as a plan: its pieces, hours before the shoot and minutes on the days, and the camera's waiting."""

    what: str
    pieces: int
    bench: float
    floor: float
    waiting: float
    optimal: bool


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
    """Give what a changed plan saves against the present one, and what is made instead of what."""
    was, now = (Counter((piece.kind, piece.first) for piece in one.pieces) for one in (before, after))
    return Change(
        what=what,
        minutes=hands_on(before) - hands_on(after),
        pieces=len(before.pieces) - len(after.pieces),
        cost=before.cost - after.cost,
        floor=before.floor_minutes - after.floor_minutes,
        waiting=before.waiting_minutes - after.waiting_minutes,
        dropped=tuple(sorted((was - now).elements())),
        added=tuple(sorted((now - was).elements())),
    )


def without_piece(plan: Plan, letter: str) -> float | None:
    """Give the weighted minutes that doing without a piece would cost; None when the shots need it.

    It is the optimum when that piece is not made, less the present one. Raises ``KeyError`` when there is no such one.
    """
    piece = next((piece for piece in plan.choice.pieces if piece.name == letter), None)
    if piece is None:
        raise KeyError(letter)
    cost = cost_without(plan.worked.question, piece, plan=plan.choice)
    return None if cost is None else cost - plan.choice.cost


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


def accepting(worked: Worked, appearance: str, kind: str, instead: bool = False) -> Worked:
    """Give the same course with one more kind accepted for one appearance, or that kind ``instead`` of the others.

    A kind that cannot stand there as asked leaves all as it was.
    """
    shots = {}
    for one in worked.course.shots():
        for place, piece in enumerate(one.shot.pieces):
            if appearance in (f"{one.number} {chr(ord('a') + place)}", one.number):
                will_do = (kind,) if instead else (*piece.kinds, kind)
                pieces = tuple(
                    other.model_copy(update={"kinds": will_do}) if number == place else other
                    for number, other in enumerate(one.shot.pieces)
                )
                shots[one.number] = one.shot.model_copy(update={"pieces": pieces})
    course, kinds = worked.course.with_shots(shots), worked.kinds
    if kind not in kinds:
        kinds, wrong = kinds_of(course, worked.pattern)
        if wrong:
            return worked
    table, _ = table_pieces(course, kinds)
    if table == worked.table or len(table) < len(worked.table):
        return worked
    return ask(replace(worked, course=course, kinds=kinds, table=table))


def taken_once(worked: Worked, number: ShotNumber) -> Worked:
    """Give the same course with a shot filmed in one take, for which no piece must be there once more."""
    table = tuple(replace(piece, takes=1) if piece.shot == number else piece for piece in worked.table)
    return ask(replace(filmed_once(worked, number), table=table))


class WhatIfError(ValueError):
    """A what-if that names something that is not there; the text is one plain sentence."""


def what_if(
    plan: Plan,
    *,
    without: Sequence[str] = (),
    helpers: int = 0,
    film: str = "",
    before: str = "",
    accept: Sequence[str] = (),
) -> Change | None:
    """Solve again with everything changed that is asked for, all at once, and give what that saves.

    ``without`` names pieces, ``helpers`` is how many more there are on every day, ``film`` a segment that is filmed
    ``before`` another, ``accept`` kinds and appearances (``short 2.4.1``). None when nothing is asked for. Raises
    `WhatIfError`.
    """
    worked, said = plan.worked, []
    if helpers:
        worked = with_helpers(worked, helpers)
        said.append(f"{helpers} more {'helper' if helpers == 1 else 'helpers'} on every day")
    if film or before:
        if not (film and before):
            raise WhatIfError("Name both: the segment to film (--film) and the one it is filmed before (--before).")
        try:
            worked = filmed_before(worked, film, before)
        except KeyError as missing:
            raise WhatIfError(f"There is no segment {missing.args[0]} that is filmed.") from None
        said.append(f"film segment {film} before {before}")
    for one in accept:
        kind, _, name = one.partition(" ")
        known = [piece.name for piece in plan.worked.table]
        if kind not in KINDS or name not in known:
            example = known[0] if known else "1.1.1"
            raise WhatIfError(f"“{one}” is not a kind and an appearance such as “short {example}”.")
        worked = accepting(worked, name, kind)
        said.append(f"accept the {kind} kind in {name}")
    asked = worked.question
    for letter in without:
        piece = next((piece for piece in plan.choice.pieces if piece.name == letter.upper()), None)
        if piece is None:
            names = ", ".join(piece.name for piece in plan.choice.pieces)
            raise WhatIfError(f"There is no piece {letter}; the pieces are {names}.")
        asked = changed_question(asked, piece, plan.choice)
        said.append(f"without piece {piece.name}")
    if not said:
        return None
    try:
        after = choose(asked)
    except NoPlanError:
        raise WhatIfError(f"{capital(' and '.join(said))}, the shots cannot be filmed.") from None
    return compare(" and ".join(said), plan.choice, after)


def sides(plan: Plan) -> tuple[Side, ...]:
    """Work out the wishes side by side: as the course asks, fewest pieces, least knitting, no waiting."""
    asked = plan.worked.question
    weights, slots = asked.weights, tuple(replace(slot, waiting=0.0) for slot in asked.slots)
    # A weight so large that no other wish outweighs it, as long as a shoot has less than a year of knitting in it.
    most = 1e5
    wishes: tuple[tuple[str, Question], ...] = (
        ("as the course asks", asked),
        ("fewest pieces", replace(asked, weights=replace(weights, piece=most, drawer=most))),
        (
            f"least {words_of(plan.course.pattern).making} before the shoot",
            replace(asked, weights=replace(weights, bench=weights.bench * 1000)),
        ),
        ("no waiting on the day", replace(asked, slots=slots)),
    )
    found = ((what, plan.choice if question is asked else choose(question)) for what, question in wishes)
    return tuple(
        Side(
            what=what,
            pieces=len(choice.pieces),
            bench=choice.bench_minutes,
            floor=choice.floor_minutes,
            waiting=choice.waiting_minutes,
            optimal=choice.optimal,
        )
        for what, choice in found
    )


def real_things(plan: Plan) -> Iterator[Change]:
    """For each appearance that a short or small piece serves: what it would cost to show the real thing there."""
    lesser = {
        appearance_of(stop.demand): None for piece in plan.choice.pieces if piece.kind != "full" for stop in piece.stops
    }
    for name in lesser:
        other = accepting(plan.worked, name, "full", instead=True)
        if other is plan.worked:
            continue
        try:
            after = choose(other.question)
        except NoPlanError:
            continue
        yield compare(f"the full piece in {name}", plan.choice, after)


def savings(
    plan: Plan,
    ideas: Iterable[tuple[str, Worked]] | None = None,
    told: Callable[[int], None] = lambda done: None,
) -> tuple[Change, ...]:
    """Give the three changes that save the most hands-on minutes, best first, each computed by solving again.

    Tried are: one more kind for each appearance, each segment filmed before the one that is filmed before it, each shot
    in which a piece moves filmed in one take, and one more helper on each day.
    """
    found = []
    for number, (what, worked) in enumerate(_ideas(plan.worked) if ideas is None else ideas, 1):
        told(number)
        try:
            after = choose(worked.question)
        except NoPlanError:
            continue
        change = compare(what, plan.choice, after)
        if what.endswith(ONE_TAKE) and change.pieces < 1:
            continue  # a take less saves its minutes in any shot: that is no news
        if change.cost > 0.5 and change.minutes > 0.5:
            found.append(change)
    return tuple(sorted(found, key=lambda change: (-round(change.minutes, 3), change.what))[:3])


def _ideas(worked: Worked) -> Iterator[tuple[str, Worked]]:
    # A kind that no shot asks for is tried only when the pattern says how a short piece is worked.
    short = any(stage.short is not None for stage in worked.course.pattern.stages.values())
    for piece in worked.table:
        for kind in KINDS:
            if kind not in piece.kinds and (kind in worked.kinds or (kind == "short" and short)):
                other = accepting(worked, piece.name, kind)
                if other.table != worked.table:
                    yield f"accept the {kind} kind in {piece.name}", other
    segments = list(dict.fromkeys(item.segment for item in worked.listed))
    days = {item.segment: item.day for item in worked.listed}
    for first, second in pairwise(segments):
        if days[first] == days[second]:
            yield f"film segment {second} before {first}", filmed_before(worked, second, first)
    for number in dict.fromkeys(piece.shot for piece in worked.table if piece.moves and piece.takes > 1):
        yield f"film {number} {ONE_TAKE}", taken_once(worked, number)
    for day in range(len(worked.course.course.shoot)):
        yield f"one more helper on day {day + 1}", with_helpers(worked, 1, day)
