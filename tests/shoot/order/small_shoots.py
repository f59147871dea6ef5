"""Small shoots for the tests of the order: shots from cells like ``o1``, and made-up ones with pieces of all sorts."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from itertools import permutations, product
from pathlib import Path
from tempfile import TemporaryDirectory

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.settings import Lunch
from lessonplan.course.model.together import Course
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.planning.worked import Worked, load
from lessonplan.samples.choice import Choice, Demand, Ladder, Question, Ready, Slot, State, Way, Weights
from lessonplan.samples.choice.choose import choose
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.day import Day, Listed, breaks_of, run_days
from lessonplan.shoot.estimate import Estimate
from lessonplan.shoot.order.setting import Asked, Setting, setting_of
from lessonplan.shoot.slots import slots_of
from tests.small_course import COURSE, write_course

PACE = "pace: {view_change: 8 min, tray_change: 5 min, swap: 30 s, set_up: 30 min}\n"


@cache
def base() -> Worked:
    """A small pattern with dear changes, so that samples and changes pull in different directions."""
    with TemporaryDirectory() as folder:
        worked = load(write_course(Path(folder) / "c", {"course.yaml": COURSE + PACE})).worked
    assert worked is not None
    return worked


def course_of(
    days: int, *, wrap: int = 1320, helpers: int = 0, lunch: Lunch | None = None, wait: float = 0.0
) -> Course:
    """The small course with so many shoot days, one after another; every other one has the helpers."""
    file = base().course.course
    shoot = tuple(
        file.shoot[0].model_copy(
            update={
                "day": date(2027, 3, 6) + timedelta(day),
                "wrap": wrap,
                "helpers": tuple("abc"[:helpers]) if day % 2 == 0 else (),
                "lunch": lunch,
                "night_knitting": 15.0,
            }
        )
        for day in range(days)
    )
    samples = file.samples.model_copy(update={"camera_may_wait": wait})
    return base().course.model_copy(update={"course": file.model_copy(update={"shoot": shoot, "samples": samples})})


def listed_as(cells: str, day: int = 0, numbers: Sequence[str] = ()) -> tuple[Listed, ...]:
    """Shots from cells like ``o1 f1 o2+``: a letter for the view, a digit for the segment, a plus if it runs on."""
    parts = cells.split()
    names = numbers or [f"1.{cell[1]}.{place}" for place, cell in enumerate(parts, 1)]
    return tuple(
        Listed(ShotNumber(name), day, Shot(view=cell[0], runs_on=cell[2:] == "+"))
        for name, cell in zip(names, parts, strict=True)
    )


def one_day(cells: str, numbers: Sequence[str] = (), locks: Sequence[tuple[int, int]] = ()) -> Setting:
    """A day of such shots, 10 minutes each, with nothing else to look at."""
    listed = listed_as(cells, numbers=numbers)
    return replace(setting_of(course_of(1), listed, clocks_of(listed, [10.0] * len(listed))), locks=tuple(locks))


def clocks_of(listed: Sequence[Listed], minutes: Sequence[float]) -> dict[str, ShotClock]:
    """Clocks on which each shot takes just so many minutes."""
    some = next(iter(base().clocks.values()))
    return {
        item.number: replace(some, number=item.number, floor=Estimate(length))
        for item, length in zip(listed, minutes, strict=True)
    }


def every_order(setting: Setting) -> Iterator[tuple[int, ...]]:
    """All filming orders that keep the locks and what runs on, worked out from the days and the pairs alone."""
    days = [[i for i, item in enumerate(setting.listed) if item.day == day] for day in range(len(setting.filming))]
    for parts in product(*(permutations(shots) for shots in days)):
        order = [shot for part in parts for shot in part]
        if all(order.index(a) < order.index(b) for a, b in setting.locks) and all(
            order.index(b) - order.index(a) == 1 for a, b in setting.joined
        ):
            yield tuple(order)


@dataclass(frozen=True)
class MadeUp:
    """A made-up shoot: its setting, its clocks, and the pieces of its shots; ``takes``: of shots with takes apart.

    ``pieces``: as demands whose slot and until are 0 for the first take and 1 for the second.
    """

    setting: Setting
    clocks: dict[str, ShotClock]
    ladders: Mapping[str, Ladder]
    pieces: tuple[tuple[ShotNumber, Demand], ...]
    takes: Mapping[ShotNumber, int]
    ready: tuple[Ready, ...]
    weights: Weights

    def ask(self, listed: tuple[Listed, ...]) -> Asked:
        """The question for the shots filmed in an order."""
        days = run_days(self.setting.course, listed, self.clocks, {})
        slots = slots_of(self.setting.course, listed, days, self.takes)
        first = {listed[slot.shot].number: n for n, slot in reversed(list(enumerate(slots))) if slot.what == "take"}
        demands = tuple(
            replace(demand, slot=first[shot] + 2 * demand.slot, until=first[shot] + 2 * demand.until)
            for shot, demand in self.pieces
        )
        stretches = tuple(Slot(slot.clock, slot.hands, slot.waiting) for slot in slots)
        return Asked(lambda: Question(self.ladders, demands, stretches, self.ready, self.weights), slots)

    def settle(self, listed: tuple[Listed, ...]) -> tuple[Choice, tuple[Day, ...]]:
        """The cheapest samples for the shots filmed in an order, and the days with the waits that they ask for."""
        asked = self.ask(listed)
        choice = choose(asked.question)
        waits = {asked.slots[wait.slot].shot: wait.minutes for wait in choice.waits}
        breaks = breaks_of(run_days(self.setting.course, listed, self.clocks, {}))
        return choice, run_days(self.setting.course, listed, self.clocks, waits, breaks)


def made_up(counts: Sequence[int], seed: int, *, wraps: Sequence[int] = (1320, 630, 700)) -> MadeUp:
    """A shoot with so many shots on its days, and everything that the choice of samples knows: drying, kinds, a second
    piece in a shot, takes told apart, spares, pieces that are ready, waits of the camera, helpers, lunch, short days.
    """
    chance = random.Random(seed)
    views, segments = "ofh"[: chance.randint(1, 3)], chance.randint(1, 3)
    listed: list[Listed] = []
    for day, count in enumerate(counts):
        cells = " ".join(f"{chance.choice(views)}{chance.randint(1, segments)}" for _ in range(count))
        numbers = [f"1.{cell[1]}.{len(listed) + n}" for n, cell in enumerate(cells.split(), 1)]
        listed += listed_as(cells, day, numbers)
    clocks = clocks_of(listed, [chance.randint(3, 40) for _ in listed])
    course = course_of(
        len(counts),
        wrap=chance.choice(wraps),
        helpers=chance.randint(0, 2),
        lunch=Lunch(at=chance.choice((600, 720)), takes=45.0) if chance.random() < 0.5 else None,
        wait=chance.choice((0.0, 3.0, 10.0)),
    )
    ladders = {kind: _ladder(chance, most) for kind, most in (("full", 20), ("short", 8))}
    pieces: list[tuple[ShotNumber, Demand]] = []
    for item in listed:
        for letter in "ab"[: chance.choice((0, 1, 1, 2))]:
            pieces += ((item.number, demand) for demand in _asked(chance, f"{item.number} {letter}"))
    takes = {shot: 2 for shot, demand in pieces if demand.slot}
    until = {name: 0 for name, _ in pieces} | dict.fromkeys(takes, 1)
    held = tuple((s, replace(d, until=until[s] if d.ways[0].start == d.ways[0].end else d.slot)) for s, d in pieces)
    ready = tuple(Ready(f"r{n}", "full", _state(chance)) for n in range(chance.choice((0, 0, 1))))
    weights = Weights(
        piece=chance.choice((8, 40)), floor=chance.choice((0.5, 1.5)), waiting=chance.choice((1.0, 8.0)), drawer=2.0
    )
    return MadeUp(setting_of(course, tuple(listed), clocks), clocks, ladders, held, takes, ready, weights)


def _asked(chance: random.Random, name: str) -> Iterator[Demand]:
    """What one piece on a table asks for."""
    kinds = chance.choice((("full",), ("full", "short")))
    start = _state(chance)
    end = _state(chance, start) if chance.random() < 0.5 else start
    ways = tuple(Way(kind, start, end) for kind in kinds)
    perhaps = tuple(Way(kind, start, end, base=start) for kind in kinds)
    sort = chance.choice(("one", "one", "one", "two", "spare", "take"))
    yield Demand(name, 0, ways, 2 if sort == "two" else 1)
    if sort == "spare":
        yield Demand(f"{name} spare", 0, perhaps, spare=True, group=name)
    if sort == "take" and end != start:
        again = tuple(replace(way, only_after=name) for way in ways)
        yield Demand(f"{name} take 2", 1, (*again, *perhaps), group=name)


def _ladder(chance: random.Random, most: int) -> Ladder:
    return Ladder(
        ("a", "b", "c"),
        ((), (0,), (0,)),
        bench=tuple(_counted(chance, most) for _ in range(3)),
        floor=tuple(_counted(chance, most) for _ in range(3)),
        ripping=tuple(_counted(chance, 2) for _ in range(3)),
        drying=tuple(_counted(chance, chance.choice((0, 0, 0, 60, 700))) for _ in range(3)),
        fixed=((0, 0, 0, 0), (0, 1, 2, 3), (0, 0, 0, 0)),
    )


def _counted(chance: random.Random, most: int) -> tuple[float, ...]:
    counted = [0.0]
    for _ in range(3):
        counted.append(counted[-1] + chance.randint(0, most))
    return tuple(counted)


def _state(chance: random.Random, least: State = (0, 0, 0)) -> State:
    first = chance.randint(least[0], 3)
    if first < 3:
        return (first, 0, 0) if least[1:] == (0, 0) else least
    return (3, chance.randint(least[1], 3), chance.randint(least[2], 3))
