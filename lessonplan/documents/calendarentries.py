"""What the calendar files say: evenings of knitting and days of handing over, in the words of the knitters' papers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from lessonplan.course.model.groups import Words
from lessonplan.course.words import capital, count_of, day_text, listing
from lessonplan.craft.words import words_of
from lessonplan.documents.arrivals import arrival, done_day
from lessonplan.documents.floorwork import floor_jobs, handed_back, helps, night_end
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.sittings import CRUMB, Evening, Spell, evenings
from lessonplan.documents.tasks import Task, needle_at_stop, tasks_of
from lessonplan.planning.worked import Plan
from lessonplan.samples.knitters import who_knits
from lessonplan.shoot.day import Day, clock


@dataclass(frozen=True, slots=True)
class SittingEntry:
    """A sitting: minutes on a piece in a day, what the entry is called, and what stands in it.

    ``order`` is its place among the sittings of its day; crumbs of other pieces are in it too. ``after``: how many
    sittings are left on each of them then; where it is not told they are counted.
    """

    piece: str
    day: date
    minutes: int
    what: str = ""
    summary: str = ""
    order: int = 0
    after: str = ""


@dataclass(frozen=True, slots=True)
class DueEntry:
    """A day of handing over, known by the first of its pieces; where. ``at``: by when, in minutes after midnight."""

    piece: str
    day: date
    what: str = ""
    summary: str = ""
    place: str = ""
    at: int | None = None


@dataclass(frozen=True, slots=True)
class ShootEntry:
    """A shoot day; ``call`` and ``wrap`` are minutes after its midnight. ``notes``: lines for the description."""

    number: int
    day: date
    call: int
    wrap: int
    place: str = ""
    notes: tuple[str, ...] = ()


def shoot_entries(plan: Plan, name: str = "") -> tuple[ShootEntry, ...]:
    """Give the shoot days; those on which somebody helps, with what she does there, where a ``name`` is given.

    Hers last as long as she works on pieces after the wrap.
    """
    shoot = plan.course.course.shoot
    has_paper = any(one.name == name for _, one in knitters_with_work(plan))
    lines = "The lines are on your paper." if has_paper else "You are given a copy of the lines."

    def end(day: Day) -> float:
        """When a day ends, in minutes after midnight; for those who work on after the wrap, when that is done."""
        mine = [job for job in floor_jobs(plan, day) if name and job.who != plan.course.course.host]
        return max(day.planned_wrap, day.wrap, night_end(day, mine)[0])

    return tuple(
        ShootEntry(
            number=day.number + 1,
            day=day.day,
            call=day.call,
            wrap=round(end(day)),
            place=place.place,
            notes=tuple(helps(plan, name, lines, [day])) if name else (),
        )
        for day, place in zip(plan.days, shoot, strict=True)
        if not name or name in place.helpers
    )


def other_helpers(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Give those who help on the set and make no pieces, each with the file of her calendar."""
    knitters = {one.name for one in who_knits(plan.course)}
    helpers = dict.fromkeys(name for day in plan.course.course.shoot for name in day.helpers if name not in knitters)
    return tuple((f"helper-{number}.ics", name) for number, name in enumerate(helpers, 1))


def back_entries(plan: Plan, name: str) -> tuple[DueEntry, ...]:
    """Give the days on which somebody brings pieces back that she took home after a wrap."""
    found = list[DueEntry]()
    for day, shoot in zip(plan.days, plan.course.course.shoot, strict=True):
        mine = sorted(piece for piece, who in handed_back(plan, day).items() if name in who)
        told = [text for text in helps(plan, name, "", [day]) if " home after the wrap" in text]
        if mine:
            summary = f"Back on the set by {clock(day.call)}: {listing(mine)}"
            what = " ".join(told)
            found.append(DueEntry(mine[0], day.day, what, summary, place=shoot.place, at=day.call))
    return tuple(found)


def sitting_entries(plan: Plan, name: str) -> tuple[SittingEntry, ...]:
    """Give a knitter's sittings, those under ten minutes put to another of the same evening."""
    tasks = {task.letter: task for task in tasks_of(plan)}
    words = words_of(plan.course.pattern)
    return tuple(entry for evening in evenings(plan, name) for entry in _entries(evening, tasks, words))


def _entries(evening: Evening, tasks: Mapping[str, Task], words: Words) -> Iterator[SittingEntry]:
    groups = [*_grouped(evening.spells)]
    for place, group in enumerate(groups):
        main, many = max(group, key=lambda spell: spell.minutes), len(group) > 1
        minutes = sum(spell.minutes for spell in group)
        number = f"{place + 1}. " if len(groups) > 1 else ""
        goals: dict[str, list[str]] = {}
        for spell in group:
            goals.setdefault(spell.what, []).append(_name(tasks[spell.piece]))
        to = "; ".join(f"{listing(names)}, to {what}" for what, names in goals.items())
        left = [
            (
                spell.piece,
                f"{count_of(spell.left, 'more sitting')} on this piece"
                if spell.left
                else "the last sitting on this piece",
            )
            for spell in group
        ]
        after = " ".join(f"{piece}: {words}." for piece, words in left) if many else left[0][1]
        yield SittingEntry(
            piece=main.piece,
            day=evening.day,
            minutes=minutes,
            what="\n\n".join(_words(tasks[spell.piece], words, spell.what) for spell in group),
            summary=f"{number}{words.make.capitalize()} {to}: {minutes} min",
            after=f"{capital(after).removesuffix('.')}.",
            order=place,
        )


def _grouped(spells: tuple[Spell, ...]) -> Iterator[tuple[Spell, ...]]:
    """Put crumbs to the next spell of the evening, or to the last one; crumbs alone are one group."""
    groups: list[list[Spell]] = []
    carried: list[Spell] = []
    for spell in spells:
        if spell.minutes < CRUMB:
            carried.append(spell)
        else:
            groups.append([*carried, spell])
            carried = []
    if carried and groups:
        groups[-1] += carried
    elif carried:
        groups.append(carried)
    yield from map(tuple, groups)


def _name(task: Task) -> str:
    return task.letter if task.kind == "full" else f"{task.letter} ({task.kind})"


def _words(task: Task, words: Words, evening: str = "") -> str:
    """Say of a piece what its card says: kind, size, this evening's goal, the stop, needle, yarn, remarks."""
    size = f", size {task.size}" if task.size else ""
    goal = f", this evening to: {evening}" if evening else ""
    lines = [
        f"{task.letter}: {task.kind}{size}{goal}",
        task.stop,
        task.recipe,
        f"{task.begun}." if task.begun else "",
        needle_at_stop(task, words),
        f"{'Yarn' if words.pace else 'Material'}: {task.yarn}." if task.yarn else "",
        task.ball,
        *(note.text.strip() for note in task.notes),
    ]
    return "\n".join(line for line in lines if line)


def due_entries(plan: Plan, name: str = "") -> tuple[DueEntry, ...]:
    """Give the days by whose end pieces arrive or are done, or the days after, as on her paper, for one knitter.

    What the host makes herself arrives nowhere.
    """
    tasks, host = {task.letter: task for task in tasks_of(plan)}, plan.course.course.host
    found: dict[tuple[date, date, bool], list[str]] = {}
    for piece in plan.choice.pieces:
        knitter = plan.calendar.assigned.get(piece.name, "")
        if knitter and name in ("", knitter):
            found.setdefault((done_day(plan, piece), arrival(plan, piece), knitter != host), []).append(piece.name)
    return tuple(
        _due(plan, day, there, [tasks[letter] for letter in letters], name, sent=sent)
        for (day, there, sent), letters in sorted(found.items())
    )


def _ready(plan: Plan, by: str) -> str:
    """Say what must be over by the end of a day, in the words of what the pieces rest for."""
    found = dict.fromkeys(
        step.rest
        for stages in plan.worked.pattern.stages.values()
        for one in stages
        for step in one.steps
        if step.drying
    )
    wet = "and dry if it has been wet" if {*found} <= {"drying"} else f"with all {listing([*found])} over"
    return f"Done by the {by}, {wet}."


def _due(plan: Plan, day: date, there: date, pieces: list[Task], name: str, *, sent: bool) -> DueEntry:
    """Word a day of handing over: to a knitter when she sends it, to the host when it arrives."""
    words = words_of(plan.course.pattern)
    texts = [
        _words(task, words) + ("" if name else f"\n{words.made.capitalize()} by {task.knitter}.") for task in pieces
    ]
    rests = list(dict.fromkeys(task.rests for task in pieces if task.rests))
    if len(rests) > 1:
        rests = [words.hand_over_each]
    host, next_day = plan.course.course.host, day + timedelta(days=1)
    to_whom = (
        [f"To {host}{f', to be there by {day_text(there)}' if there > next_day else ''}."] if sent and name else []
    )
    by = f"evening of {day_text(day)}" if sent else "end of this day"
    what = "Send or bring" if name else "Arrives by today" if len(pieces) == 1 else "Arrive by today"
    return DueEntry(
        piece=pieces[0].letter,
        day=day if not sent else next_day if name else there,
        what="\n\n".join([*texts, *rests, *to_whom]) + f"\n{_ready(plan, by)}",
        summary=f"{what if sent else 'Due'}: {listing([task.letter for task in pieces])}",
        place=plan.course.course.place,
    )
