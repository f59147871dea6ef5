"""A plan walked minute by minute, as on the shoot: is every piece there, in its state, dry, and made by real hands?

It shares nothing with the program but the question's and the answer's data.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from itertools import accumulate, pairwise

from lessonplan.samples.choice import Choice, Demand, Ladder, Piece, Question, Stop

NEAR = 1e-5


def faults(asked: Question, plan: Choice) -> list[str]:
    """All that is wrong with a plan, each in a few words."""
    walk = _Walk(asked, plan)
    for piece in plan.pieces:
        walk.piece(piece)
    walk.sums()
    return walk.found


class _Walk:
    def __init__(self, asked: Question, plan: Choice) -> None:
        self.asked, self.plan, self.found = asked, plan, list[str]()
        self.demands = {demand.name: demand for demand in asked.demands}
        self.waits = Counter({wait.slot: wait.minutes for wait in plan.waits})
        lengths = [slot.clock + self.waits[number] for number, slot in enumerate(asked.slots)]
        self.begins = list(accumulate(lengths, initial=0.0))
        self.load: defaultdict[int, float] = defaultdict(float)
        self.costs: defaultdict[str, float] = defaultdict(
            float, {"waiting": asked.weights.waiting * sum(self.waits.values())}
        )
        self.bench = 0.0

    def wrong(self, condition: bool, text: str) -> None:
        """Note a fault."""
        if condition:
            self.found.append(text)

    def piece(self, piece: Piece) -> None:
        """Follow one piece from the bench to its last stop."""
        weights, ladder = self.asked.weights, self.asked.ladders[piece.kind]
        ready = next((one for one in self.asked.ready if one.name == piece.ready), None)
        first = piece.stops[0]
        if ready is None:
            work = _sum(ladder.bench, [0] * len(first.start), first.start)
            costs, before = {"pieces": weights.piece, "bench": weights.bench * work}, work
        else:
            own = self.demands[first.demand]
            self.wrong(ready.kind != piece.kind, f"{piece.name} changed its kind")
            self.wrong(any(stop.demand in ready.not_for for stop in piece.stops), f"{piece.name} is kept from that")
            self.wrong(bool(own.apart or ready.only_for) and ready.only_for != own.name, f"{piece.name} is set apart")
            self.wrong(bool(ready.letter) and ready.letter != piece.name, f"{ready.letter} was renamed")
            back = _sum(ladder.ripping, first.start, ready.state)
            self.wrong(_sum(ladder.fixed, first.start, ready.state) > 0, f"{piece.name} is ripped back for good")
            free = [max(pair) for pair in zip(ready.state, ready.agreed or ready.state, strict=True)]
            costs = {"bench": weights.bench * (back + _sum(ladder.bench, free, first.start))}
            costs["drawer"] = weights.drawer if ready.weight is None else ready.weight
            costs["change"] = weights.change if ready.agreed not in (None, first.start) else 0.0
            before = back + _sum(ladder.bench, ready.state, first.start)
        self.wrong(abs(before - piece.bench) > NEAR, f"{piece.name} takes {before} before the shoot")
        self.wrong(piece.first != first.start, f"{piece.name} stops elsewhere")
        self.bench += before
        floor = sum(self.between(piece, ladder, a, b) for a, b in pairwise(piece.stops))
        costs["floor"] = weights.floor * floor
        self.wrong(abs(floor - piece.floor) > NEAR, f"{piece.name} is worked on for {floor} minutes")
        self.wrong(bool(first.spells or first.drying), f"{piece.name} is knitted on before its first stop")
        for what, minutes in costs.items():
            self.costs[what] += minutes

    def between(self, piece: Piece, ladder: Ladder, a: Stop, b: Stop) -> float:
        """Live through the time between two stops; gives the minutes of work."""
        here, there = self.demands[a.demand], self.demands[b.demand]
        free, due = max(here.slot, here.until) + 1, there.slot
        name = f"{piece.name} from {a.demand} to {b.demand}"
        self.wrong(free > due, f"{name}: in two places")
        self.wrong(here.apart or there.apart, f"{name}: is apart")
        todo = self._todo(name, ladder, a, b)
        clock = self.begins[free]
        spells, drying = list(b.spells), list(b.drying)
        for spell in spells:
            self.load[spell.slot] += spell.minutes
            room = self.begins[spell.slot + 1] - self.begins[spell.slot]
            self.wrong(not free <= spell.slot < due, f"{name}: knitted on while it is on the table")
            self.wrong(spell.minutes > room + NEAR, f"{name}: more than the clock gives")
        left = 0.0
        for what, minutes in todo:
            if what == "dry":
                self.wrong(left > NEAR, f"{name}: work goes on into the drying")
                one = drying.pop(0) if drying else None
                start = self.begins[one.slot] if one else -1.0
                self.wrong(one is None or abs(one.minutes - minutes) > NEAR, f"{name}: another drying is needed")
                self.wrong(start < clock - NEAR, f"{name}: dries before it is worked")
                clock = start + minutes
                continue
            need = minutes - left
            while need > NEAR and spells:
                spell = spells.pop(0)
                self.wrong(self.begins[spell.slot] < clock - NEAR, f"{name}: worked on while it dries")
                need -= spell.minutes
                worked_until = self.begins[spell.slot + 1]
            self.wrong(need > NEAR, f"{name}: {need} minutes are lacking")
            if minutes > NEAR:
                clock = worked_until
            left = -need if need < 0 else 0.0
        self.wrong(bool(spells or drying) or left > NEAR, f"{name}: more is done than needed")
        self.wrong(clock > self.begins[due] + NEAR, f"{name}: not dry in time")
        return sum(spell.minutes for spell in b.spells)

    def _todo(self, name: str, ladder: Ladder, a: Stop, b: Stop) -> list[tuple[str, float]]:
        """What must happen between two stops, in order."""
        unsure = a.way.base not in (None, a.way.end)
        known = list(a.way.base or a.way.end) if unsure else list(a.way.end)
        self.wrong(unsure and any(x > y for x, y in zip(a.end, b.start, strict=True)), f"{name}: may be too far")
        self.wrong(bool(b.way.only_after) and b.way.only_after != a.demand, f"{name}: not the very piece")
        kept = [min(pair) for pair in zip(known, b.start, strict=True)]
        undone = _sum(ladder.ripping, kept, known)
        self.wrong(abs(undone - b.ripping) > NEAR, f"{name}: {undone} minutes of ripping")
        self.wrong(_sum(ladder.fixed, kept, known) > 0, f"{name}: ripped back for good")
        todo = [("dry", _sum(ladder.drying, a.start, kept)), ("work", undone)]
        for goal in (a.end, b.start) if unsure else (b.start,):
            for stage, stop in enumerate(goal):
                for step in range(kept[stage], stop):
                    todo.append(("work", ladder.floor[stage][step + 1] - ladder.floor[stage][step]))
                    todo.append(("dry", ladder.drying[stage][step + 1] - ladder.drying[stage][step]))
                kept[stage] = max(kept[stage], stop)
        found: list[tuple[str, float]] = []
        for what, minutes in todo:
            if minutes > 0 and found and found[-1][0] == what:
                found[-1] = (what, found[-1][1] + minutes)
            elif minutes > 0:
                found.append((what, minutes))
        return found

    def sums(self) -> None:
        """What is true of the plan as a whole."""
        plan, asked = self.plan, self.asked
        for number, slot in enumerate(asked.slots):
            wait = self.waits[number]
            self.wrong(self.load[number] > slot.hands + wait + NEAR, f"too few hands in slot {number}")
            self.wrong(not -NEAR <= wait <= slot.waiting + NEAR, f"the camera waits too long in slot {number}")
        stops = [(piece, stop) for piece in plan.pieces for stop in piece.stops]
        served = Counter(stop.demand for _, stop in stops)
        left_out = {one.name for one in asked.demands if asked.why_impossible(one)}
        copies = defaultdict[str, list[int]](list)
        for demand in asked.demands:
            expected = 0 if demand.name in left_out else demand.count
            self.wrong(served[demand.name] != expected, f"{demand.name} has {served[demand.name]} pieces")
        for piece, stop in stops:
            demand = self.demands[stop.demand]
            self.wrong(stop.way not in demand.ways or stop.way.kind != piece.kind, f"{stop.demand}: no such way")
            self.wrong(stop.slot != demand.slot or stop.spare != demand.spare, f"{stop.demand}: told wrongly")
            copies[demand.group or demand.name].append(stop.copy)
        self.wrong(any(sorted(n) != list(range(1, len(n) + 1)) for n in copies.values()), "copies do not count up")
        self._pieces(stops)
        self._minutes()

    def _minutes(self) -> None:
        plan, asked = self.plan, self.asked
        cost = sum(self.costs.values())
        self.wrong(abs(cost - plan.cost) > NEAR, f"the plan costs {cost}, not {plan.cost}")
        for what in ("pieces", "bench", "floor", "waiting", "drawer", "change"):
            self.wrong(abs(getattr(plan.costs, what) - self.costs[what]) > NEAR, f"{what} cost {self.costs[what]}")
        for told, true in (
            (plan.bench_minutes, self.bench),
            (plan.floor_minutes, sum(self.load.values())),
            (plan.waiting_minutes, sum(self.waits.values())),
        ):
            self.wrong(abs(told - true) > NEAR, f"{told} minutes are told, and {true} are worked or waited")
        # The naive way: a fresh piece for each that is asked for, in the way that is the least work.
        left_out = {one.name for one in asked.demands if asked.why_impossible(one)}
        naive = [
            min(
                _sum(asked.ladders[way.kind].bench, [0] * len(way.start), way.start)
                for way in demand.ways
                if way.kind in asked.ladders
            )
            for demand in asked.demands
            for _ in range(demand.count if demand.name not in left_out else 0)
        ]
        self.wrong(plan.naive_pieces != len(naive), f"the naive way takes {len(naive)} pieces")
        self.wrong(abs(plan.naive_minutes - sum(naive)) > NEAR, f"the naive way takes {sum(naive)} minutes")
        naive_cost = len(naive) * asked.weights.piece + asked.weights.bench * sum(naive)
        self.wrong(abs(plan.naive_cost - naive_cost) > NEAR, f"the naive way costs {naive_cost}")

    def _pieces(self, stops: list[tuple[Piece, Stop]]) -> None:
        plan, asked = self.plan, self.asked
        for taken in ([p.ready for p in plan.pieces if p.ready], [p.name for p in plan.pieces]):
            self.wrong(len(set(taken)) != len(taken), "one piece twice")
        used = {p.ready for p in plan.pieces}
        self.wrong(plan.unused != tuple(r.name for r in asked.ready if r.name not in used), "unused pieces not told")
        new = [piece for piece in plan.pieces if not piece.ready]
        for limit in asked.limits:
            same = [p for p in new if (p.kind, p.first, self._own(p)) == (limit.kind, limit.state, limit.apart)]
            self.wrong(len(same) > limit.count, "more new pieces than allowed")
        self.wrong(any(piece.stops[0].way.only_after for piece in plan.pieces), "a piece that served nothing before")

    def _own(self, piece: Piece) -> str:
        demand: Demand = self.demands[piece.stops[0].demand]
        return demand.name if demand.apart else ""


def _sum(table: Sequence[Sequence[float]], a: Sequence[int], b: Sequence[int]) -> float:
    """What the steps from ``a`` up to ``b`` come to; stages in which b is not further count nothing."""
    return sum(row[y] - row[x] for row, x, y in zip(table, a, b, strict=True) if y > x)
