"""What the step samples cost at least, when only the first shots of the filming order are known, or none.

A piece may go from one shot to another wherever the states allow and the order, as far as it is known, does not
forbid; the knitting may be done at any time in between. Left as they are: what a piece alone can be knitted in that
time, and what all hands can knit within each run of days, with the most minutes that any order leaves for it. That
is a linear program which every plan for every order satisfies.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np
import numpy.typing as npt

from lessonplan.samples.demand import Demand, demands
from lessonplan.samples.ladder import contains
from lessonplan.samples.milp import Model, engine
from lessonplan.samples.problem import Problem
from lessonplan.samples.timeline import SLACK, Timeline, timeline
from lessonplan.shoot.order import Setting

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Room:
    """The most minutes of clock, of knitting on one piece, and of all hands in any order.

    ``days``: within each day, waits of the camera included in clock and one piece, not in the hands; ``nights``: in
    the pause after each day, if another follows. ``waits``: how long the camera may wait in a day.
    """

    days: tuple[tuple[float, float, float], ...]
    nights: tuple[tuple[float, float, float], ...]
    waits: tuple[float, ...]


def room_in(setting: Setting, problem: Problem) -> Room:
    """Find the room from the problem of the present order: shots are the same in every order, pauses are not."""
    longest = max((max(row) for row in setting.matrix), default=0.0)
    days, nights, waits = [], [], []
    for d, shots in enumerate(setting.shots):
        hours, steps = setting.hours[d], max(0, len(shots) - 1)
        wait = steps * max((problem.pauses[i].waiting for i in shots[:-1]), default=0.0)
        between = steps * longest + hours.lunch + hours.rests
        helpers = max((problem.shots[i].helpers for i in shots), default=0)
        filming = sum(problem.shots[i].minutes for i in shots)
        alone = (filming + between if helpers else 0.0) + wait
        days.append((filming + between + wait, alone, helpers * (filming + between)))
        waits.append(wait)
    for d in range(len(setting.hours) - 1):
        night = (0.0, 0.0, 0.0)
        if setting.shots[d] and setting.shots[d][-1] + 1 < len(setting):
            pause = problem.pauses[setting.shots[d][-1]]
            # Where the camera may wait it is no night: two shoots on one day, with a break of any length.
            hands = math.inf if pause.waiting else pause.hands
            night = (math.inf, hands, hands)
        nights.append(night)
    return Room(tuple(days), tuple(nights), tuple(waits))


@dataclass(frozen=True, slots=True)
class Guide:
    """Guesses of what the samples of a similar order cost: at first order, from the prices of a linear program.

    An order in which shot ``lost_i`` does not come before ``lost_j`` costs about ``loss`` more; one in which
    ``won_i`` comes before ``won_j`` may cost as much as ``gain`` less.
    """

    lost_i: Ints
    lost_j: Ints
    loss: Floats
    won_i: Ints
    won_j: Ints
    gain: Floats


@dataclass(slots=True)
class Relaxed:
    """The linear program, kept warm between questions that differ in what the order forbids.

    ``problem`` is that of the present order: shot i there is shot i of ``setting``. ``used``: after ``least``, the
    links with a flow, by number.
    """

    setting: Setting
    problem: Problem
    wanted: list[Demand] = field(init=False)
    a: Ints = field(init=False)
    b: Ints = field(init=False)
    knitting: Floats = field(init=False)
    drying: Floats = field(init=False)
    tied: Flags = field(init=False)
    used: Ints = field(init=False)
    asked: int = 0
    _first: int = 0
    _new: Ints = field(init=False)
    _shot: Ints = field(init=False)
    _day: Ints = field(init=False)
    _allowed: Flags = field(init=False)
    _highs: highspy.Highs = field(init=False)

    def __post_init__(self) -> None:
        self.wanted = demands(self.problem)
        self._shot = np.array([d.shot for d in self.wanted], dtype=np.int64)
        self._day = np.array(self.setting.days, dtype=np.int64)
        model, flow = self._sources()
        self._first = len(model.cost)
        kinds = self._links()
        for j, kind in enumerate(kinds):
            a, b = int(self.a[j]), int(self.b[j])
            model.column(self.problem.weights.floor * float(self.knitting[j]), 0, math.inf)
            column = self._first + j
            flow[b, kind][0].append((column, 1.0))
            flow[a, kind][1].append((column, 1.0))
        self._rows(model, flow)
        self._hands(model)
        self._allowed = np.ones(len(kinds), dtype=np.bool_)
        self.used = np.zeros(0, dtype=np.int64)
        highs = engine(math.inf)
        highs.setOptionValue("presolve", "off")
        highs.passModel(model.lp())
        self._highs = highs

    def _sources(self) -> tuple[Model, _Flow]:
        """New pieces and pieces from the drawer: columns, gathered by (demand, kind) as entering."""
        model, weights, ladder = Model(), self.problem.weights, self.problem.ladder
        flow: _Flow = {(b, kind): ([], []) for b, d in enumerate(self.wanted) for kind in d.kinds}
        self._new = np.array([b for b, d in enumerate(self.wanted) for _ in d.kinds], dtype=np.int64)
        for b, demand in enumerate(self.wanted):
            for kind in demand.kinds:
                cost = weights.piece + weights.bench * ladder.cost(kind, demand.start)
                flow[b, kind][0].append((model.column(cost, 0, math.inf), 1.0))
        for piece in self.problem.drawer:
            once = []
            for b, demand in enumerate(self.wanted):
                if piece.kind in demand.kinds and contains(demand.start, piece.state):
                    minutes = ladder.between(piece.kind, piece.state, demand.start)
                    once.append((model.column(weights.drawer + weights.bench * minutes, 0, math.inf), 1.0))
                    flow[b, piece.kind][0].append(once[-1])
            if once:
                model.row(-math.inf, 1.0, once)
        return model, flow

    def _links(self) -> list[str]:
        """All links that some order allows; gives the kind of each."""
        rows, kinds = [], []
        room, ladder, weights = room_in(self.setting, self.problem), self.problem.ladder, self.problem.weights
        for a, first in enumerate(self.wanted):
            for b, then in enumerate(self.wanted):
                tied = first.base == first.end == first.start == then.start == then.base == then.end
                if not contains(then.start, first.end) or not self._could_follow(first.shot, then.shot, tied):
                    continue
                drying = max(0.0, ladder.dried(then.start) - ladder.dried(first.base))
                for kind in sorted(set(first.kinds) & set(then.kinds)):
                    minutes = max(0.0, ladder.cost(kind, then.start) - ladder.cost(kind, first.base))
                    dear = weights.floor * minutes >= weights.piece + weights.bench * ladder.cost(kind, then.start)
                    dear = dear and not tied and not self.problem.limits
                    fits = self._room_between(room, first.shot, then.shot)
                    if minutes <= fits[1] + SLACK and minutes + drying <= fits[0] + SLACK and not dear:
                        rows.append((a, b, minutes, drying, tied))
                        kinds.append(kind)
        table = np.array(rows, dtype=float).reshape(-1, 5)
        self.a, self.b = table[:, 0].astype(np.int64), table[:, 1].astype(np.int64)
        self.knitting, self.drying, self.tied = table[:, 2], table[:, 3], table[:, 4] > 0
        return kinds

    def _could_follow(self, i: int, j: int, tied: bool) -> bool:
        setting = self.setting
        if i == j or setting.days[i] > setting.days[j]:
            return False
        return tied or not setting.before[i] >> j & 1

    def _room_between(self, room: Room, i: int, j: int) -> tuple[float, float]:
        d, e = self.setting.days[i], self.setting.days[j]
        parts = (*room.days[d : e + 1], *room.nights[d:e])
        return sum(part[0] for part in parts), sum(part[1] for part in parts)

    def _rows(self, model: Model, flow: _Flow) -> None:
        for b, demand in enumerate(self.wanted):
            model.row(demand.count, demand.count, [term for kind in demand.kinds for term in flow[b, kind][0]])
            for kind in demand.kinds:
                entering, leaving = flow[b, kind]
                model.row(-math.inf, 0.0, [*leaving, *((column, -1.0) for column, _ in entering)])

    def _hands(self, model: Model) -> None:
        """For each run of days: no more is knitted within it than the hands can in any order, waits included."""
        room = room_in(self.setting, self.problem)
        waits = [model.column(self.problem.weights.waiting, 0, most) for most in room.waits]
        leaves, enters = self._day[self._shot[self.a]], self._day[self._shot[self.b]]
        for d in range(len(room.days)):
            for e in range(d, len(room.days)):
                inside = np.nonzero((leaves >= d) & (enters <= e) & (self.knitting > 0))[0]
                most = sum(part[2] for part in (*room.days[d : e + 1], *room.nights[d:e]))
                terms = [(self._first + int(j), float(self.knitting[j])) for j in inside]
                if terms:
                    model.row(-math.inf, most, [*terms, *((waits[k], -1.0) for k in range(d, e + 1))])

    def least(self, done: Sequence[int] = (), problem: Problem | None = None) -> float:
        """The least that the samples cost when filming begins with the shots ``done``, in weighted minutes.

        ``problem``, if given, is that of an order which begins so: then the time between shots that are both done
        is looked at as well.
        """
        if not self.wanted:
            return 0.0
        allowed = self._allowed_after(done, timeline(problem.shots, problem.pauses) if problem else None)
        changed = np.nonzero(allowed != self._allowed)[0]
        highs = self._highs
        if len(changed):
            columns = (changed + self._first).astype(np.int32)
            high = np.where(allowed[changed], np.inf, 0.0)
            highs.changeColsBounds(len(columns), columns, np.zeros(len(columns)), high)
            self._allowed = allowed
        highs.run()
        self.asked += 1
        values = np.array(highs.getSolution().col_value)
        self.used = np.nonzero(values[self._first : self._first + len(self.a)] > 1e-7)[0]
        return float(highs.getInfo().objective_function_value)

    def _allowed_after(self, done: Sequence[int], times: Timeline | None) -> Flags:
        """Which links an order allows that begins with ``done``.

        Pieces that only rest in a state pass its shots of a day in one fixed order, the known ones first: whatever
        the order, their pieces could be handed on in that one.
        """
        if not len(self.a):
            return np.zeros(0, dtype=np.bool_)
        count = len(self.setting)
        place = np.full(count, count, dtype=np.int64)
        place[list(done)] = np.arange(len(done))
        day, i, j = self._day, self._shot[self.a], self._shot[self.b]
        rank = np.where(place < count, place, count + np.arange(count))
        known = np.where(self.tied, rank[i] < rank[j], ~((place[j] < count) & (place[i] > place[j])))
        allowed: Flags = known | (day[i] < day[j])
        if times is not None:
            both = (place[i] < place[j]) & (place[j] < count)
            knit, clock = np.array(times.knit_until), np.array(times.clock_until)
            first, stop = 2 * place[i[both]] + 1, 2 * place[j[both]]
            fits = self.knitting[both] <= knit[stop] - knit[first] + SLACK
            fits &= self.knitting[both] + self.drying[both] <= clock[stop] - clock[first] + SLACK
            allowed[both] &= fits
        return allowed

    def guide(self) -> Guide:
        """What the answer just given says about other orders of all shots."""
        solution = self._highs.getSolution()
        price = np.array(solution.col_dual)[self._first : self._first + len(self.a)]
        used = self.used[~self.tied[self.used]]
        other = self._allowed.copy()
        other[self.used] = False
        # Of a lost link the price of the next best one into the same demand is expected; a new piece is one, too.
        regret = np.full(len(self.wanted), np.inf)
        np.minimum.at(regret, self.b[other], np.maximum(0.0, price[other]))
        entering = np.array(solution.col_dual)[: len(self._new)]
        np.minimum.at(regret, self._new, np.maximum(0.0, entering))
        gains = np.nonzero(~self._allowed & ~self.tied & (price < -1e-6))[0]
        i, j = self._shot[self.a], self._shot[self.b]
        return Guide(i[used], j[used], regret[self.b[used]], i[gains], j[gains], -price[gains])

    def hit(self, used: Ints, done: Sequence[int], shot: int) -> bool:
        """Whether a flow over the links ``used`` needs a shot that is not yet done to come before ``shot``."""
        i, j = self._shot[self.a[used]], self._shot[self.b[used]]
        known = np.zeros(len(self.setting), dtype=np.bool_)
        known[[*done, shot]] = True
        return bool(np.any((j == shot) & ~known[i] & (self._day[i] == self.setting.days[shot])))


_Flow = dict[tuple[int, str], tuple[list[tuple[int, float]], list[tuple[int, float]]]]
