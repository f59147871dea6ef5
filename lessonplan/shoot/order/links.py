"""What the step samples of an order are likely to cost: a linear program of who could serve whom.

It looks at what one piece alone could be knitted between two shots and what all hands can knit in a run of days, and
shares pieces out as fractions. So it is quick, and its prices tell which changes of the order promise something.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from lessonplan.samples.choice import Question, Way, contains
from lessonplan.samples.choice.links import counted_up
from lessonplan.samples.choice.solver import Engine, Model
from lessonplan.shoot.order.setting import Asked, Setting
from lessonplan.shoot.slots import Slot

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

DUST = 1e-7
"""Minutes, and costs, that do not count."""


@dataclass(frozen=True, slots=True)
class Guide:
    """Guesses of what the samples of a similar order cost, from the prices of the linear program.

    An order in which shot ``lost_i`` does not come before ``lost_j`` costs about ``loss`` more; one in which
    ``won_i`` comes before ``won_j`` may cost as much as ``gain`` less.
    """

    lost_i: Ints
    lost_j: Ints
    loss: Floats
    won_i: Ints
    won_j: Ints
    gain: Floats


class Links:
    """The linear program, kept warm between orders, which differ in the links they allow and in the hands they leave.

    Columns: new pieces (``_new``: for which demand), then links from demand ``_a`` to ``_b``, then waits.
    Pieces from the drawer are left out: they take about as much off every order.
    """

    def __init__(self, setting: Setting, asked: Asked) -> None:
        """Set the program up from the question for the present order: shot i there is shot i of ``setting``."""
        self._days = np.array(setting.days, dtype=np.int64)
        question = asked.question
        self._wanted = [demand for demand in question.demands if question.possible(demand)]
        self._shot = [asked.slots[demand.slot].shot for demand in self._wanted]
        stands = [_stands(question.possible(demand)) for demand in self._wanted]
        model = Model()
        entering, leaving = self._pieces(model, question, stands)
        for b, one in enumerate(self._wanted):
            model.row(one.count, one.count, [(column, 1.0) for kind in stands[b] for column in entering[b, kind]])
            for kind in stands[b]:
                terms = [(column, 1.0) for column in leaving[b, kind]]
                model.row(-math.inf, 0.0, [*terms, *((column, -1.0) for column in entering[b, kind])])
        self._runs = list(self._hands(model, setting, asked))
        self._allowed: Flags = np.ones(len(self._a), dtype=np.bool_)
        self._highs = Engine(model).highs

    def _pieces(self, model: Model, question: Question, stands: list[_Stands]) -> tuple[_Columns, _Columns]:
        """New pieces and links: columns by the (demand, kind) they enter or leave. Ripping back is not looked at."""
        weights, wanted = question.weights, self._wanted
        every = [(b, kind) for b, some in enumerate(stands) for kind in some]
        self._new = np.array([b for b, _ in every], dtype=np.int64)
        entering, leaving = ({key: list[int]() for key in every} for _ in range(2))
        for b, kind in every:
            cost = weights.piece + weights.bench * question.ladders[kind].cost(stands[b][kind].start)
            entering[b, kind].append(model.column(cost))
        rows = []
        for a in range(len(wanted)):
            for b, kind in every:
                one, then, ladder = stands[a].get(kind), stands[b][kind], question.ladders[kind]
                i, j = self._shot[a], self._shot[b]
                if one and i != j and self._days[i] <= self._days[j] and contains(then.start, one.end):
                    minutes = sum(knitted for knitted, _ in ladder.phases(one.end, then.start))
                    drying = ladder.dried(then.start) - ladder.dried(one.end)
                    rows.append((a, b, minutes, drying, one.start == one.end == then.start == then.end))
                    column = model.column(weights.floor * minutes)
                    entering[b, kind].append(column)
                    leaving[a, kind].append(column)
        table = np.array(rows, dtype=float).reshape(-1, 5)
        self._a, self._b = table[:, :2].astype(np.int64).T
        self._minutes, self._drying, self._resting = table[:, 2], table[:, 3], table[:, 4] > 0
        shots = np.array(self._shot, dtype=np.int64)
        self._i, self._j = shots[self._a], shots[self._b]
        return entering, leaving

    def _hands(self, model: Model, setting: Setting, asked: Asked) -> Iterator[tuple[int, int, int]]:
        """A row for each run of days (first, last): no more is knitted within it than the hands can, waits included."""
        most = [sum(slot.waiting for slot in asked.slots if slot.shot in shots) for shots in setting.shots]
        waits = [model.column(asked.question.weights.waiting, minutes) for minutes in most]
        for first in range(len(waits)):
            for last in range(first, len(waits)):
                inside = (self._days[self._i] >= first) & (self._days[self._j] <= last) & (self._minutes > 0)
                terms = [(len(self._new) + int(k), float(self._minutes[k])) for k in np.nonzero(inside)[0]]
                terms += [(column, -1.0) for column in waits[first : last + 1]]
                yield first, last, model.row(-math.inf, 0.0, terms)

    def cost(self, sequence: Sequence[int], slots: Sequence[Slot]) -> float:
        """What the samples of an order are likely to cost, in weighted minutes. ``slots``: of its days, in order."""
        if not self._wanted:
            return 0.0
        clock, alone, hands = (counted_up(np.array(one)) for one in zip(*_minutes(slots), strict=True))
        first, after = _ends(slots, len(sequence))
        days = self._days[list(sequence)]
        for begin, end, row in self._runs:
            inside = np.nonzero((days >= begin) & (days <= end))[0]
            most = hands[after[inside[-1]]] - hands[first[inside[0]]] if len(inside) else 0.0
            self._highs.changeRowBounds(row, -math.inf, float(most))
        place = np.argsort(sequence)
        i, j = place[self._i], place[self._j]
        start, stop = after[i], first[j]
        fits = self._minutes <= alone[stop] - alone[start] + DUST
        fits &= self._minutes + self._drying <= clock[stop] - clock[start] + DUST
        # Pieces that only rest in a state pass its shots of a day in one fixed order, for they could in any.
        resting = (self._days[self._i] < self._days[self._j]) | (self._i < self._j)
        allowed = np.where(self._resting, resting, (i < j) & fits)
        changed = np.nonzero(allowed != self._allowed)[0]
        if len(changed):
            columns = (changed + len(self._new)).astype(np.int32)
            high = np.where(allowed[changed], np.inf, 0.0)
            self._highs.changeColsBounds(len(columns), columns, np.zeros(len(columns)), high)
            self._allowed = allowed
        self._highs.run()
        return float(self._highs.getInfo().objective_function_value)

    def guide(self) -> Guide:
        """What the answer just given says about other orders."""
        solution, links = self._highs.getSolution(), slice(len(self._new), len(self._new) + len(self._a))
        prices, used = np.array(solution.col_dual), np.array(solution.col_value)[links] > DUST
        price = prices[links]
        # Of a link that is lost the price of the next best way to the same piece is expected; a new one is a way, too.
        regret = np.full(len(self._wanted), np.inf)
        other = self._allowed & ~used
        np.minimum.at(regret, self._b[other], np.maximum(0.0, price[other]))
        np.minimum.at(regret, self._new, np.maximum(0.0, prices[: len(self._new)]))
        lost = used & ~self._resting
        won = ~self._allowed & ~self._resting & (price < -DUST)
        return Guide(
            lost_i=self._i[lost],
            lost_j=self._j[lost],
            loss=regret[self._b[lost]],
            won_i=self._i[won],
            won_j=self._j[won],
            gain=-price[won],
        )


_Columns = dict[tuple[int, str], list[int]]
_Stands = Mapping[str, Way]


def _stands(ways: Sequence[Way]) -> _Stands:
    """The first way of each kind in which a piece may come from elsewhere."""
    found: dict[str, Way] = {}
    for way in ways:
        if not way.only_after:
            found.setdefault(way.kind, way)
    return found


def _minutes(slots: Sequence[Slot]) -> Iterator[tuple[float, float, float]]:
    """Of each slot the minutes of clock, of knitting on one piece, and of all hands."""
    for slot in slots:
        yield slot.clock + slot.waiting, min(slot.clock, slot.hands) + slot.waiting, slot.hands


def _ends(slots: Sequence[Slot], shots: int) -> tuple[Ints, Ints]:
    """For each shot its first slot, and the one after its last take."""
    first, after = np.zeros(shots, dtype=np.int64), np.zeros(shots, dtype=np.int64)
    for number, slot in reversed(list(enumerate(slots))):
        if slot.what == "take":
            first[slot.shot] = number
            after[slot.shot] = max(after[slot.shot], number + 1)
    return first, after
