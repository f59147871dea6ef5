"""The work on pieces during the shoot, as lines of the run sheets: whose hands, for how long, until when."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import listing
from lessonplan.craft.words import rest_named, words_of
from lessonplan.documents.livework import NEARLY_ALL, left_on
from lessonplan.documents.notions import inside, marked
from lessonplan.documents.shots import take_of
from lessonplan.documents.wording import duration, in_parts, rest_time
from lessonplan.documents.worklines import steps_of
from lessonplan.pattern.worked import PART
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Piece, Spell, Stop
from lessonplan.samples.choice.ladder import total
from lessonplan.samples.knitters import rest_of
from lessonplan.samples.states import in_words
from lessonplan.shoot.slots import Slot

NOTHING = 0.25
"""Minutes of work that are none."""
NEAR = 0.01
"""Minutes by which what the solver gives may pass what there is."""
HOSTS_OWN = 3.0
"""A job of fewer minutes is no task for a helper: the host does it herself as she sets the piece down (a guess)."""


@dataclass(frozen=True, slots=True)
class Stint:
    """What the same hands do on a piece for a stop: on one day before its wrap, or after it.

    ``ripping``: minutes of it that take rounds back; ``drying``: those that it ``rests`` afterwards; ``more``: where
    the work is gone on with; ``hosts``: it is so short that the host does it herself. Nobody knows beforehand whether a
    spare or a later take is used: the minutes are for a piece that comes as it was, ``done`` of them are not needed
    where it was moved on in the shot before.
    """

    piece: Piece
    stop: Stop
    spells: tuple[Spell, ...]
    ripping: float
    drying: float
    rests: str
    more: str
    done: float = 0.0
    hosts: bool = False

    @property
    def minutes(self) -> float:
        """All its minutes."""
        return sum(spell.minutes for spell in self.spells)

    @property
    def lasts(self) -> str:
        """How long it takes, in words: the minutes as they are printed, and when there are fewer."""
        return f"{duration(whole_minutes(self))}{self.perhaps}"

    @property
    def goes_on(self) -> str:
        """Where it is gone on with, as a part of a sentence."""
        return f", {self.more}" if self.more else ""

    @property
    def dries(self) -> str:
        """How long the piece rests afterwards, to end a sentence."""
        return f"; then it {self.rests} for {rest_time(self.drying)}" if self.drying else ""

    @property
    def _mover(self) -> str:
        """The shot before, which may have moved the piece on; nothing between two takes: the one just filmed has."""
        before = self.piece.before(self.stop) if self.done else None
        return shot_of(before.demand) if before and shot_of(before.demand) != shot_of(self.stop.demand) else ""

    @property
    def perhaps(self) -> str:
        """When there are fewer minutes, and how many; nothing when there are as many whatever happened."""
        left, before = self.minutes - self.done, self._mover
        less = duration(left) if left > NOTHING else "nothing"
        return f" ({less} if {before} has moved it on)" if before and less != duration(self.minutes) else ""

    @property
    def less(self) -> str:
        """On what condition there are fewer minutes, as a part of a sentence: ``, less if 3.2.4 has moved it on``."""
        return f", less if {self._mover} has moved it on" if self.perhaps else ""

    @property
    def unless(self) -> str:
        """On what condition there is anything to do at all: ``if 3.2.4 has not moved O on``; nothing where on none."""
        there = self.minutes - self.done > NOTHING or not self._mover
        return "" if there else f"if {self._mover} has not moved {self.piece.name} on"


def once(plan: Plan, stint: Stint) -> str:
    """Name the shots that must be filmed as wanted before work for good on a piece, or on one for a take that may come.

    Nothing where there are none: what is only knitted on can be ripped back.
    """
    piece, stop = stint.piece, stint.stop
    place, goal = piece.stops.index(stop), shot_of(stop.demand)
    earlier = list(dict.fromkeys(shot_of(one.demand) for one in piece.stops[:place]))
    if not earlier or earlier[-1] == goal or stint.spells[0] is not stop.spells[0]:
        return ""
    if is_for_good(plan, stint):
        return listing(earlier)
    return earlier[-1] if stint.done > 0 else ""


def is_for_good(plan: Plan, stint: Stint) -> bool:
    """Whether something in the work for a stop cannot be undone."""
    steps = steps_of(plan, stint.piece.kind, stint.piece.brought(stint.stop), stint.stop.start)
    return any(step.one_way for step in steps)


def back_words(plan: Plan, stint: Stint) -> str:
    """Word what is taken back: rounds, or the stages that are undone where these have none, as buttons sewn on."""
    if not words_of(plan.course.pattern).pace:
        return "to take work back"
    worked, before = plan.worked.kinds[stint.piece.kind], stint.piece.brought(stint.stop)
    stages, titles = (worked.stage(key, plan.worked.size) for key in worked.order), list[str]()
    for stage, had, left in zip(stages, before, stint.stop.start, strict=True):
        if any(step.techniques for step in stage.steps[left:had]):
            return "to take back rounds"
        titles += [f"“{stage.title}”"] if had > left else []
    return f"to take back {listing(titles)}" if titles else "to take back rounds"


def once_filmed(plan: Plan, stint: Stint) -> str:
    """Word it as a part of a sentence: ``, once 3.2.4 is filmed as wanted``."""
    shots = once(plan, stint)
    return f", once {shots} {'are' if ' and ' in shots else 'is'} filmed as wanted" if shots else ""


def whole_minutes(stint: Stint) -> int:
    """The minutes of work as they are printed, one at least."""
    return max(1, round(stint.minutes))


def taken_back(plan: Plan, stint: Stint) -> str:
    """Say how a piece is taken back between takes, to end a sentence: how far, and what comes out and goes in."""
    before = stint.piece.before(stint.stop)
    if before is None or not stint.ripping or shot_of(before.demand) != shot_of(stint.stop.demand):
        return ""
    worked, kind = plan.worked.kinds[stint.piece.kind], stint.piece.kind
    now, then = inside(plan, kind, before.end), inside(plan, kind, stint.stop.start)
    ends = zip(worked.order, before.end, stint.stop.start, strict=True)
    steps = [worked.stage(key, plan.worked.size).steps[end - 1] for key, end, start in ends if end > start]
    part = next((step for step in steps if step.kind == PART), None)
    far = f", or only to where the camera began in its {'row' if part.flat else 'round'}" if part else ""
    parts = ["its waste yarn comes out"] if now["waste"] > then["waste"] else []
    back = then - now
    parts += [f"{marked(back)} {'goes' if back['markers'] == 1 else 'go'} in again"] if marked(back) else []
    return f"{far}; {listing(parts)}" if parts else far


def begins_at(plan: Plan, stint: Stint) -> str:
    """Say where else than at its first line work may begin: the shot before has moved the piece, or worked on it."""
    before = stint.piece.before(stint.stop)
    if before is None or stint.spells[0] is not stint.stop.spells[0]:
        return ""
    number = shot_of(before.demand)
    if stint.done and before.end == stint.stop.start:
        return f"If {number} has moved it on, nothing is left to do."
    if stint.done:
        state = in_words(before.end, plan.worked.kinds[stint.piece.kind], plan.worked.size)
        return f"If {number} has moved it on, it has come as far as “{state}”: go on from there."
    return left_on(plan, stint.piece, before, stint.stop.start)


@dataclass(frozen=True, slots=True)
class Said:
    """Work on the set in words. ``due``: the shot before which it is done; nothing where it goes on in that shot.

    ``between``: it is begun between the takes of a shot. ``hosts``: the host does it, who is filmed: never while the
    camera runs; ``crumb``: so short that she does it beside helpers too.
    """

    text: str
    due: str
    between: bool
    hosts: bool
    crumb: bool


Work = Mapping[int, tuple[Said, ...]]
"""Work on the set in words, by the slot in which it begins."""


def stints(plan: Plan) -> Work:
    """Word all work on the set, by the slot in which it begins."""
    found: defaultdict[int, list[Said]] = defaultdict(list)
    for stint in all_stints(plan):
        begun, last = (plan.worked.slots[stint.spells[place].slot] for place in (0, -1))
        number, alone = shot_of(stint.stop.demand), not plan.course.course.shoot[_day(plan, begun)].helpers
        there = last.what in ("take", "reset") and plan.worked.listed[last.shot].number == number
        found[stint.spells[0].slot].append(
            Said(
                text=_said(plan, stint),
                due="" if there else number,
                between=begun.what == "reset" and not _only_then(plan, stint),
                hosts=stint.hosts or alone,
                crumb=stint.hosts,
            )
        )
    return {slot: tuple(lines) for slot, lines in found.items()}


def all_stints(plan: Plan) -> Iterator[Stint]:
    """Give all work on the set, piece by piece.

    Work that goes on over several slots stands once, with all its minutes, unless other hands take over: there are
    other people on another day, and after a wrap. Of the short jobs the host does those for which she has the time.
    """
    free = defaultdict[int, float](float)  # none while the camera runs, where a spell may have some dust of its work
    free.update((place, slot.clock) for place, slot in enumerate(plan.worked.slots) if slot.what in ("pause", "reset"))
    for wait in plan.choice.waits:
        free[wait.slot] += wait.minutes
    for piece in plan.choice.pieces:
        for stop in piece.stops:
            for stint in _cut(plan, piece, stop):
                hosts = stint.minutes < HOSTS_OWN and all(free[s.slot] > s.minutes - NEAR for s in stint.spells)
                for spell in stint.spells if hosts else ():
                    free[spell.slot] -= spell.minutes
                yield replace(stint, hosts=hosts)


def hands_on(plan: Plan, piece: Piece, stop: Stop) -> Iterator[tuple[Spell, int]]:
    """Give the spells of work for a stop with their minutes as they are printed: their sum is that of the whole work.

    What is too short to count is with the spell beside it.
    """
    for stint in _cut(plan, piece, stop):
        minutes = in_parts([spell.minutes for spell in stint.spells], whole_minutes(stint))
        yield from ((spell, part) for spell, part in zip(stint.spells, minutes, strict=True) if part)


def _cut(plan: Plan, piece: Piece, stop: Stop) -> Iterator[Stint]:
    """Cut the work for a stop where other hands take over."""

    def hands(spell: Spell) -> tuple[int, bool]:
        """The day on which a spell is worked, and whether that is after its wrap."""
        slot = plan.worked.slots[spell.slot]
        return _day(plan, slot), slot.what == "evening"

    parts = [tuple(spells) for _, spells in groupby(stop.spells, hands)]
    left, done = stop.ripping, _done(plan, piece, stop)
    for number, spells in enumerate(parts, 1):
        then = parts[number] if number < len(parts) else ()
        minutes = sum(spell.minutes for spell in spells)
        until = then[0].slot if then else stop.slot
        drying = sum(one.minutes for one in stop.drying if spells[0].slot < one.slot <= until)
        yield Stint(
            piece=piece,
            stop=stop,
            spells=spells,
            ripping=min(left, minutes),
            drying=drying,
            rests=rest_named(rest_of(plan.worked.kinds[piece.kind], stop.start, plan.worked.size)).it,
            more=_more(plan, spells, then),
            done=min(done, minutes),
        )
        left, done = max(0.0, left - minutes), max(0.0, done - minutes)


def _done(plan: Plan, piece: Piece, stop: Stop) -> float:
    """The minutes of work for a stop that are done where the stop before has moved the piece, which nobody knows."""
    floor, before = plan.worked.question.ladders[piece.kind].floor, piece.before(stop)
    return total(floor, before.way.end) - total(floor, before.way.counted) if before else 0.0


def _more(plan: Plan, spells: tuple[Spell, ...], then: tuple[Spell, ...]) -> str:
    """Say where the work is gone on with by others."""
    if not then:
        return ""
    now, later = plan.worked.slots[spells[-1].slot], plan.worked.slots[then[0].slot]
    days = _day(plan, now), _day(plan, later)
    return "more after the wrap" if days[0] == days[1] else f"more on day {days[1] + 1}"


def _only_then(plan: Plan, stint: Stint) -> bool:
    """Whether work that begins beside a shot waits until that one is filmed, so that it is none between its takes."""
    shot = plan.worked.listed[plan.worked.slots[stint.spells[0].slot].shot].number
    return shot in once(plan, stint).replace(",", "").split()


def who_works(plan: Plan, stint: Stint) -> str:
    """Name whose hands they are: the helpers', or the host's where there are none."""
    file = plan.course.course
    helpers = file.shoot[_day(plan, plan.worked.slots[stint.spells[0].slot])].helpers
    return file.host if stint.hosts or not helpers else listing(helpers)


def state_wanted(plan: Plan, stint: Stint) -> str:
    """Say to which state a piece is worked."""
    return in_words(stint.stop.start, plan.worked.kinds[stint.piece.kind], plan.worked.size)


def _said(plan: Plan, stint: Stint) -> str:
    """Word one line: who works on which piece for how long, what it must be then, and how long it then dries."""
    slots, who = plan.worked.slots, who_works(plan, stint)
    first, last = slots[stint.spells[0].slot], slots[stint.spells[-1].slot]
    verb = "work" if " and " in who else "works"
    when = {"evening": "After the wrap, ", "reset": "Between takes, "}.get(first.what, "")
    when = "" if first.what == "reset" and _only_then(plan, stint) else when
    back = back_words(plan, stint)
    ripping = f", {duration(stint.ripping)} of it {back}" if stint.ripping else ""
    if stint.ripping > NEARLY_ALL * stint.minutes:
        ripping = f", {back}" if "“" in back else ""
        verb = ("take" if " and " in who else "takes") + " work back"
    lasts = f"{stint.lasts}{once_filmed(plan, stint)}{ripping}{_goes_on(plan, first, last)}{stint.goes_on}"
    text = f"{when}{who} {verb} on piece {stint.piece.name} for {lasts}"
    begins = "" if stint.hosts else begins_at(plan, stint)
    begins = f". {begins.removesuffix('.')}" if begins else ""
    goal = f"{state_wanted(plan, stint)}{taken_back(plan, stint)}{stint.dries}"
    return f"{text}; for {goal_of(plan, stint.stop)} it must be: {goal}{begins}"


def _goes_on(plan: Plan, first: Slot, last: Slot) -> str:
    """Say how far work goes on that does not end where it begins: before a shot, in one, or between its takes."""
    if last == first:
        return ""
    number = plan.worked.listed[last.shot].number
    inside = {"take": f"into {number}", "reset": f"between the takes of {number}"}
    return f", going on {inside.get(last.what, f'until {_next(plan, last)}')}"


@remembered(2)
def gone_on_with(plan: Plan) -> Mapping[str, tuple[str, ...]]:
    """Say for each shot which pieces others go on with as it is filmed: they have taken them up before it."""
    found: defaultdict[str, list[str]] = defaultdict(list)
    for stint in all_stints(plan):
        helpers = plan.course.course.shoot[_day(plan, plan.worked.slots[stint.spells[0].slot])].helpers
        if stint.hosts or not helpers:
            continue
        verb = "go" if helpers[1:] else "goes"
        text = f"{listing(helpers)} {verb} on with {stint.piece.name}, for {goal_of(plan, stint.stop)}"
        minutes = in_parts([spell.minutes for spell in stint.spells], whole_minutes(stint))
        slots = [plan.worked.slots[one.slot] for one, part in zip(stint.spells, minutes, strict=True) if part]
        for slot in slots:
            number = plan.worked.listed[slot.shot].number
            begun = plan.worked.slots[stint.spells[0].slot]
            if slot.what in ("take", "reset") and not (begun.shot == slot.shot and begun.what in ("take", "reset")):
                found[number].append(text)
    return {number: tuple(dict.fromkeys(texts)) for number, texts in found.items()}


def goal_of(plan: Plan, stop: Stop) -> str:
    """Name what a piece is worked on for: ``2.3.2``, or ``take 5 of 2.3.2``."""
    take = take_of(plan, stop)
    return f"take {take} of {shot_of(stop.demand)}" if take > 1 else shot_of(stop.demand)


def _next(plan: Plan, slot: Slot) -> str:
    """What comes after a slot's shot: the number of the next shot of its day, or the wrap."""
    following = plan.worked.listed[slot.shot + 1 : slot.shot + 2]
    return next((one.number for one in following if one.day == _day(plan, slot)), "the wrap")


def _day(plan: Plan, slot: Slot) -> int:
    return plan.worked.listed[slot.shot].day
