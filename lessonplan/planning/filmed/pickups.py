"""Pick-up shots: what the errata ask to be filmed again, planned as a small shoot from the pieces that are left.

The pieces of the last plan, as their last shots left them, are the drawer; one that was made wrong on purpose, or that
no words reach in its state, is not in it. What cannot be taken back stays, so such a piece only serves what it is, or
what comes after. Shots keep their numbers and slates, pieces their letters.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from lessonplan.course.model.agreed import Agreed
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.model.settings import Drawer, ShootDay
from lessonplan.course.model.together import Course
from lessonplan.course.names.slates import named_shots
from lessonplan.course.problems import Problem
from lessonplan.course.values.quantities import read_clock
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.course.words import day_text
from lessonplan.planning.worked import Plan, Worked, ask, plan_worked, settle
from lessonplan.samples.choice import Choice, NoPlanError, Piece, Progress, State, contains
from lessonplan.samples.choice.ladder import total
from lessonplan.samples.knitters import begun_at, stretches, who_knits
from lessonplan.samples.pieces import table_pieces
from lessonplan.samples.states import typed
from lessonplan.shoot.day import filming_order

REMEDY = "pick-up shot"
MARK = 5
"""Minutes to which the end of the day is rounded up."""


def day_of(day: date, call: str) -> ShootDay:
    """Make a shoot day from its date and the time of its call. Raises ``ValueError`` for a time that is none."""
    return ShootDay(day=day, call=read_clock(call), films=())


@dataclass(frozen=True, slots=True)
class KeptBack:
    """What a shot with a move for good would ask of the makers again, in minutes of work.

    ``again``: from the pieces that are left, with ``rests`` minutes for which these must dry, be fired and the like.
    ``now``: how much more is made before the shoot when one piece is kept back for it (a spare more); ``then``: what
    the shot asks again with that piece.
    """

    number: ShotNumber
    again: float
    rests: float
    now: float
    then: float

    @property
    def pays(self) -> bool:
        """Whether the piece costs no more now than it spares at a pick-up."""
        return self.now <= self.again - self.then + 1e-6


def keep_back(plan: Plan, progress: Progress | None = None) -> tuple[KeptBack, ...]:
    """Say of each shot with a move for good what filming it again would ask, and what a piece kept back changes.

    Such a shot is marked so, or moves a piece past what cannot be taken back. One without a plan is left out.
    """
    day = ShootDay(day=plan.days[-1].day + timedelta(days=1), films=())
    found = []
    for number in dict.fromkeys(one.shot for one in plan.worked.table if one.one_way):
        more = with_spare(plan, number, progress)
        again, then = (
            _chosen(_again(plan, day, (number,), left_over(one, (number,), spare=True)), progress) if one else None
            for one in (plan, more)
        )
        if more and again and then:
            now = more.choice.bench_minutes - plan.choice.bench_minutes
            rests = max(_rests(again[0], piece) for piece in again[1].pieces)
            found.append(
                KeptBack(number=number, again=again[1].bench_minutes, rests=rests, now=now, then=then[1].bench_minutes)
            )
    return tuple(found)


def _chosen(worked: Worked, progress: Progress | None) -> tuple[Worked, Choice] | None:
    """Choose the pieces for a course without laying out who makes them; None where there is no plan."""
    try:
        return settle(ask(worked), progress)[:2]
    except NoPlanError:
        return None


def _rests(worked: Worked, piece: Piece) -> float:
    """Minutes for which a piece lies between what it is and what it must be."""
    ladder = worked.question.ladders[piece.kind]
    return sum(dry for _, dry in stretches(ladder, begun_at(worked.question, piece), piece.first))


def with_spare(plan: Plan, number: ShotNumber, progress: Progress | None) -> Plan | None:
    """Plan with one piece more kept back for a shot; None without a plan."""
    shot = plan.course.shot(number)
    pieces = tuple(one.model_copy(update={"spare": one.spare + 1}) if one.leaves else one for one in shot.pieces)
    course = plan.course.with_shots({number: shot.model_copy(update={"pieces": pieces})})
    table, _ = table_pieces(course, plan.worked.kinds)
    chosen = _chosen(replace(plan.worked, course=course, table=table, listed=filming_order(course)), progress)
    return replace(plan, worked=chosen[0], choice=chosen[1]) if chosen else None


def errata_by_shot(course: Course) -> dict[ShotNumber, tuple[Erratum, ...]]:
    """Give the shots that errata which are not mended ask to be filmed again, with these, in the order of the story."""
    asked: dict[ShotNumber, list[Erratum]] = {}
    for erratum in course.errata.errata:
        if erratum.remedy == REMEDY and erratum.state != "mended":
            for one in named_shots(course, erratum.where):
                if one.number:
                    asked.setdefault(one.number, []).append(erratum)
    return {one.number: tuple(asked[one.number]) for one in course.shots() if one.number in asked}


def wanted(plan: Plan) -> tuple[ShotNumber, ...]:
    """Give the shots that errata which are not mended ask to be filmed again, in the order of the story."""
    return tuple(errata_by_shot(plan.course))


def left_over(plan: Plan, numbers: Collection[ShotNumber], *, spare: bool = False) -> tuple[Drawer, ...]:
    """Give the pieces of a plan as they are left after its last shots, as things in a drawer for some shots.

    They are called by their letters. What was in the drawer and served no shot is there as it was. ``spare``: a spare
    of a move was not needed; else it is taken for used.
    """
    return tuple(_left(plan, numbers, spare=spare))


def _left(plan: Plan, numbers: Collection[ShotNumber], *, spare: bool) -> Iterator[Drawer]:
    apart = {one.name for one in plan.worked.question.demands if one.apart}
    asked = {(kind, at.start) for one in plan.worked.table if one.shot in numbers for kind, at in one.stands.items()}
    kept = {one.name: one.not_in for one in plan.course.course.samples.drawer}
    lying = [
        (one.name, one.name, one.kind, one.state)
        for one in plan.worked.question.ready
        if one.name in plan.choice.unused
    ]
    for piece in plan.choice.pieces:
        end = piece.stops[-1].start if spare and piece.stops[-1].spare else piece.stops[-1].end
        if any(stop.demand in apart for stop in piece.stops):
            continue
        if _cut(plan, piece, end) and not all(contains(state, end) for kind, state in asked if kind == piece.kind):
            continue
        lying.append((piece.name, piece.ready, piece.kind, end))
    for name, was, kind, end in lying:
        try:
            state = typed(end, plan.worked.kinds[kind], plan.worked.size)
        except ValueError:
            continue
        item = Drawer.model_validate({"name": name, "kind": kind, "state": state})
        yield item.model_copy(update={"not_in": kept.get(was, ())})


def _cut(plan: Plan, piece: Piece, end: State) -> bool:
    """Whether a shot did something for good with a piece of which the stages themselves say nothing."""
    fixed = plan.worked.question.ladders[piece.kind].fixed
    moves = (stop for stop in piece.stops if stop.start != stop.end and contains(end, stop.end))
    return any(
        plan.course.shot(shot_of(stop.demand)).one_way and total(fixed, stop.start) == total(fixed, stop.end)
        for stop in moves
    )


def pick_ups(
    plan: Plan, day: ShootDay, numbers: tuple[ShotNumber, ...], progress: Progress | None = None
) -> tuple[Plan | None, tuple[Problem, ...], tuple[Drawer, ...]]:
    """Plan some shots for a day once more, whose own ``films`` are not looked at.

    Gives the plan, or None with the problems that stand in its way, and the drawer that it started from.
    """
    drawer = left_over(plan, numbers)
    worked = _again(plan, day, numbers, drawer)
    used = {piece.name for piece in plan.choice.pieces} | {one.name for one in drawer}
    used |= {one.letter for one in (plan.course.agreed or Agreed()).pieces}

    from lessonplan.samples.choice.pieces import letters  # loads the solver

    def with_old_letters(choice: Choice) -> Choice:
        """The choice with the letters that its ready pieces had before, and free ones for new pieces."""
        free = (letter for letter in letters() if letter not in used)
        pieces = (
            replace(one, name=one.ready if one.ready in lettered else next(free))
            for one in sorted(choice.pieces, key=lambda one: one.stops[0].slot)
        )
        return replace(choice, pieces=tuple(sorted(pieces, key=lambda one: (len(one.name), one.name))))

    lettered = {piece.name for piece in plan.choice.pieces}
    made, problems = plan_worked(ask(worked), progress, with_old_letters)
    told = tuple(one for one in problems if one.code != "drawer")
    if made is None:
        return None, told, drawer
    # Nobody said when such a day must end: it is planned to end when nine in ten would have.
    days = tuple(replace(one, planned_wrap=MARK * ceil(one.late_wrap / MARK)) for one in made.days)
    there = {one.name for one in drawer} | {one.name for one in made.choice.pieces}
    apart = tuple(one.name for one in plan.choice.pieces if one.name not in there)  # such as one made wrong on purpose
    unused = sorted((*made.choice.unused, *apart), key=lambda name: (len(name), name))
    choice = replace(made.choice, unused=tuple(unused))
    return replace(made, choice=choice, days=days, again=True), told, drawer


def _again(plan: Plan, day: ShootDay, numbers: Sequence[ShotNumber], drawer: tuple[Drawer, ...]) -> Worked:
    """Put some shots on a day of their own, where they were filmed, with the pieces of a drawer.

    Each says why it is filmed again. Nobody begins before the shoot is over and the mistakes are found.
    """
    course, file, errata = plan.course, plan.course.course, errata_by_shot(plan.course)
    first = next(one for one in plan.worked.listed if one.number in numbers)
    films = tuple(str(number) for number in numbers)
    shoot = (day.model_copy(update={"films": films, "place": day.place or file.shoot[first.day].place}),)
    found = [one.found for number in numbers for one in errata.get(number, ())]
    begin = max([plan.days[-1].day + timedelta(days=1), *found])
    makers = tuple(one.model_copy(update={"starts": max(one.starts or begin, begin)}) for one in who_knits(course))
    title = f"{file.title}: pick-ups"
    samples = file.samples.model_copy(update={"drawer": drawer})
    file = file.model_copy(
        update={
            "shoot": shoot,
            "samples": samples,
            "knitters": makers,
            "title": title,
            "release": None,
            "kit": None,
        }
    )
    filmed = {one.number: day_text(plan.course.course.shoot[one.day].day) for one in plan.worked.listed}
    # The days of a calendar that has those of the shoot are not to be written over.
    agreed = course.agreed or Agreed()
    known_as = f"{agreed.course or file.title}: pick-ups {day.day.isoformat()}"
    agreed = agreed.model_copy(update={"pieces": (), "progress": {}, "on": None, "course": known_as})
    course = course.model_copy(update={"course": file, "agreed": agreed}).with_shots(
        {
            number: one.model_copy(update={"note": _with(errata.get(number, ()), filmed[number], one.note)})
            for number in numbers
            for one in (course.shot(number),)
        }
    )
    table = tuple(one for one in plan.worked.table if one.shot in numbers)
    return replace(plan.worked, course=course, table=table, listed=filming_order(course))


def _with(errata: Sequence[Erratum], filmed: str, note: str) -> str:
    """Word why a shot is filmed again and what it must look like, above what its note says anyway."""
    why = (
        f"Filmed again, since it was wrong: {one.said.rstrip('.')}. Right: {one.right.rstrip('.')}." for one in errata
    )
    alike = f"It is cut into what was filmed on {filmed}: light, sleeves and nails as there."
    return "\n\n".join([*why, alike, *filter(None, [note])])
