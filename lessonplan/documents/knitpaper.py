"""One knitter's paper: what to knit in which order, and a card for each piece."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil

from lessonplan.course.model.settings import Knitter
from lessonplan.course.model.works import Knit
from lessonplan.course.words import count_of, day_text, listing, short_day
from lessonplan.craft.lengths import length_in_a_sentence
from lessonplan.craft.standards import with_numbers
from lessonplan.craft.words import craft_named, words_of
from lessonplan.documents.arrivals import arrival, done_day, from_drawer, size_of, too_late
from lessonplan.documents.charts import Chart, chart_of
from lessonplan.documents.floorwork import SetJob, floor_jobs, helps
from lessonplan.documents.glossary import Abbreviation, abbreviations
from lessonplan.documents.knitters import starts
from lessonplan.documents.laidout import uses_before, uses_text, yarn_of, yarn_text
from lessonplan.documents.marks import Charted, shared
from lessonplan.documents.materials import fabric_of, high_by
from lessonplan.documents.notions import at_once, at_work, listed, notions_for, notions_in, waste_named
from lessonplan.documents.sittings import Evening, evenings
from lessonplan.documents.stopping import live_parts
from lessonplan.documents.tasks import Task, begun_on_set, needle_of, tasks_of
from lessonplan.documents.wording import duration
from lessonplan.documents.worklines import steps_of
from lessonplan.pattern.amounts.yarn import amounts
from lessonplan.pattern.facts import units_printed
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.samples.calendar.evenings import SHORT, daily_share
from lessonplan.samples.choice import Piece
from lessonplan.samples.knitters import WEEKS_BEFORE, begun_at


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One piece in the order of work, with a box to tick: what it is, what it takes, and when it is handed over."""

    letter: str
    what: str
    stop: str
    takes: str
    due: str


@dataclass(frozen=True, slots=True)
class KnitterPaper:
    """What stands on one knitter's paper; ``evenings`` is one way to spread the work, ``on_set`` when she helps.

    ``jobs``: by days, what she works on then and after the wrap, with its lines. ``free``: whether there are days
    between the evenings. ``charts`` of her lines, each once: of which stages, its drawing, how it is read.
    """

    title: str
    name: str
    course: str
    host: str
    size: str
    gauge: str
    total: str
    start: str
    spare: str
    order: tuple[OrderRow, ...]
    yarns: str
    winding: str
    needles: str
    notions: str
    on_set: tuple[str, ...]
    evenings: tuple[Evening, ...]
    spread: str
    free: bool
    hand_overs: tuple[tuple[str, str], ...]
    place: str
    days: tuple[str, ...]
    late: tuple[str, ...]
    changed: tuple[str, ...]
    cautions: tuple[str, ...]
    tasks: tuple[Task, ...]
    parcel: str
    jobs: tuple[tuple[str, tuple[SetJob, ...]], ...]
    charts: tuple[tuple[str, Charted, str], ...]
    abbreviations: tuple[Abbreviation, ...]


def knitter_paper(plan: Plan, knitter: Knitter) -> KnitterPaper:
    """Lay out one knitter's paper."""
    file = plan.course.course
    mine = _in_order(plan, knitter)
    names, jobs = [piece.name for piece in mine], tuple(_jobs(plan, knitter))
    days = [one.day for one in evenings(plan, knitter.name)]
    by_letter = {task.letter: task for task in tasks_of(plan)}
    tasks = tuple(by_letter[name] for name in names)
    worked = [job for _, some in jobs for job in some]
    every = [one.stages for one in tasks] + [one.stages for one in worked]
    spare = file.samples.days_to_spare
    return KnitterPaper(
        title=f"To {words_of(plan.course.pattern).make}: {knitter.name}",
        name=knitter.name,
        course=file.title,
        host=file.host,
        size=size_of(plan),
        gauge=_gauge(plan),
        total=f"{count_of(len(mine), 'piece')}, {_hours(plan, knitter)}",
        start=_start(plan, knitter),
        spare=f"Between the day that a piece is due and the day that it is filmed on, {count_of(spare, 'whole day')} "
        f"{'is' if spare == 1 else 'are'} in hand."
        if spare
        else "",
        order=tuple(_row(plan, piece, task) for piece, task in zip(mine, tasks, strict=True)),
        yarns=_yarns(plan, mine),
        winding=_winding(tasks),
        needles=_needles(plan, mine, tasks) + (_on_loan(tasks) if knitter.name != file.host else ""),
        notions=_notions(plan, mine, tasks),
        on_set=tuple(_on_set(plan, knitter)),
        jobs=jobs,
        evenings=evenings(plan, knitter.name),
        spread=_spread(plan, knitter),
        free=len(days) <= (days[-1] - days[0]).days if days else False,
        hand_overs=() if knitter.name == file.host else hand_overs(plan, mine),
        place="" if knitter.name == file.host else ", ".join(filter(None, (file.host, file.place))),
        days=tuple(f"Day {day.number + 1}: {day_text(day.day)}" for day in plan.days),
        late=tuple(one.sentence for one in plan.calendar.late if one.piece in names),
        changed=tuple(text for text in changes(plan) if any(re.search(rf"\b{name}\b", text) for name in names)),
        cautions=cautions(plan, "knitters"),
        tasks=tasks,
        parcel=_parcel(plan, mine, knitter),
        charts=tuple(_charts(plan, {stage.key for stages in every for stage in stages})),
        abbreviations=_abbreviations(plan, mine, tasks, worked),
    )


def _in_order(plan: Plan, knitter: Knitter) -> list[Piece]:
    """A knitter's pieces in the order in which they are begun."""
    begun: dict[str, int] = {}
    for place, sitting in enumerate(plan.calendar.sittings):
        begun.setdefault(sitting.piece, place)
    mine = [one for one in plan.choice.pieces if plan.calendar.assigned.get(one.name) == knitter.name]
    return sorted(mine, key=lambda one: (begun.get(one.name, -1), one.name))


def _hours(plan: Plan, knitter: Knitter) -> str:
    pace = words_of(plan.course.pattern).pace
    at = f" at {round(knitter.pace)} {pace}" if pace else ""
    return f"{duration(plan.calendar.load.get(knitter.name, 0))}{at}"


def _gauge(plan: Plan) -> str:
    pattern = plan.course.pattern
    if "gauge" not in pattern.model_fields_set:
        return ""
    gauge = pattern.gauge
    over = length_in_a_sentence(gauge.over, units_printed(pattern))
    needle = f", on {gauge.needle} or your own size" if gauge.needle else ""
    high = f"{gauge.rounds:g} {high_by(pattern, plan.worked.pattern)}"
    return f"{gauge.stitches:g} stitches and {high} to {over}{fabric_of(pattern, gauge)}{needle}"


def _start(plan: Plan, knitter: Knitter) -> str:
    """Say from when to when the work may begin."""
    said = starts(plan, knitter.name)
    if not said:
        return "Nothing is left to do."
    first = knitter.starts or plan.days[0].day - timedelta(weeks=WEEKS_BEFORE)
    if plan.calendar.latest_start[knitter.name] <= first:
        return f"Start {said.removeprefix('at the latest ')}."
    return f"Start when you like from {short_day(first)} on, {said}."


def _spread(plan: Plan, knitter: Knitter) -> str:
    """Say how long an evening is, where one is longer than her share."""
    share, sat = daily_share(knitter.hours_per_week), Counter[date]()
    for one in plan.calendar.sittings:
        sat[one.day] += one.minutes if one.person == knitter.name else 0
    if max(sat.values(), default=0) <= share:
        return ""
    day = f"{knitter.hours_per_week:g} h a week: {duration(share)} a day, or up to {duration(SHORT - 1)} more"
    return f"{day}, so that no piece is taken out for less than {duration(SHORT)}."


def _row(plan: Plan, piece: Piece, task: Task) -> OrderRow:
    kind = "" if task.kind == "full" else f" ({task.kind})"
    return OrderRow(
        letter=task.letter,
        what=f"{task.goal}{kind}",
        stop=task.stop,
        takes=task.takes,
        due=short_day(done_day(plan, piece)),
    )


def _yarns(plan: Plan, mine: Sequence[Piece]) -> str:
    """Word the yarn for all of a knitter's pieces, in balls too: the whole metres of the cards, since each is wound."""
    total: dict[str, int] = {}
    pattern = plan.course.pattern
    for piece in mine:
        for one in yarn_of(plan, piece):
            total[one.yarn] = total.get(one.yarn, 0) + ceil(one.metres)
    found = tuple(
        replace(one, metres=total[one.yarn])
        for one in amounts(pattern, {name: metres / pattern.with_margin for name, metres in total.items()})
    )
    balls = listing([f"{count_of(one.balls, 'ball')} of {_ball_of(plan, one.yarn)}" for one in found if one.balls])
    lot = ", all of one dye lot" if balls else ""
    yarn = yarn_text(plan.course.pattern, found) + (f": {balls}{lot}" if balls else "")
    return "; ".join(filter(None, (yarn, uses_text(uses_before(plan, *mine), packs=True))))


def _ball_of(plan: Plan, key: str) -> str:
    """Name a yarn by what stands on its band: ``MC (Quernwool DK, oatmeal, 100 g)``."""
    yarn = plan.course.pattern.yarns[key]
    known = [text for text in (yarn.name, yarn.colour) if text and text != key]
    return f"{key} ({', '.join([*known, f'{yarn.grams:g} g'])})"


def _winding(tasks: Sequence[Task]) -> str:
    """Say that each piece is worked from a ball of its own, since those that wait are not cut off."""
    if not any(task.yarn for task in tasks) or sum(bool(task.rests or task.ball) for task in tasks) < 2:
        return ""
    return "Wind a small ball for each piece first, as its card says: a piece that is not cut off keeps its own."


def _needles(plan: Plan, mine: Sequence[Piece], tasks: Sequence[Task]) -> str:
    """Say how many needles are out at most, when the pieces done wait on theirs and the next one is worked.

    Of a craft without stitches, all its tools, as viewers have them: what protects the hands is among them.
    """
    pattern = plan.course.pattern
    if not words_of(pattern).pace:
        return "".join(f"{one}." for one in [listed([*pattern.tools, *pattern.needles])] if one)
    if craft_named(plan.course.pattern.craft) != "knitting":  # a hook does not wait in a piece
        return "; ".join(_hooks(plan, tasks))
    waiting, most = Counter[str](), Counter[str]()
    count = 0
    for piece, task in zip(mine, tasks, strict=True):
        end, parts = needle_of(plan, piece, piece.first), _live_at_once(plan, piece)
        for needle in filter(None, {end, *(stage.needle for stage in task.stages)}):
            most[needle] = max(most[needle], waiting[needle] + max(parts))
        if end:
            waiting[end] += parts[-1]
            count += 1
    if not waiting:
        return ""
    wait = "1 piece waits" if count == 1 else f"{count} pieces wait"
    each = listing([f"{number} of {needle}" for needle, number in sorted(most.items())])
    return f"{wait} with live stitches: with the one in hand up to {each} at once. A cable or waste yarn will do too."


def _on_loan(tasks: Sequence[Task]) -> str:
    """Say that needles go along in pieces, and for how long, where any may."""
    if not any(task.rests and task.needle for task in tasks):
        return ""
    return " Those in pieces that go along stay on the set, and so do markers: mark them."


def _hooks(plan: Plan, tasks: Sequence[Task]) -> Iterator[str]:
    """Give the hooks that pieces are worked with; all of the pattern where nothing tells which a part takes."""
    stages = [stage for task in tasks for stage in task.stages if any(line.rounds for line in stage.lines)]
    sizes = {stage.needle for stage in stages}
    for text in plan.course.pattern.needles if sizes else ():
        if "" in sizes or any(re.search(rf"(?<![\d.]){re.escape(size)}", text) for size in sizes):
            yield with_numbers(text)


def _live_at_once(plan: Plan, piece: Piece) -> list[int]:
    """Count the needles that are in a piece after each of its stages: one at least while it is worked."""
    worked, begun = plan.worked.kinds[piece.kind], begun_at(plan.worked.question, piece)
    states = (piece.first[:place] + begun[place:] for place in range(1, len(begun) + 1))
    return [max(1, len(live_parts(state, worked, plan.worked.size))) for state in states]


def _parcel(plan: Plan, mine: Sequence[Piece], knitter: Knitter) -> str:
    """Say which pieces that are begun come to her with this paper, and which she has already."""
    if knitter.name == plan.course.course.host:
        return ""
    begun = [one for one in mine if any(begun_at(plan.worked.question, one))]
    left = [(one.name, from_drawer(plan, one)) for one in begun]
    sent = [name if drawer == name else f"{name} (“{drawer}”)" for name, drawer in left if drawer]
    hers = [one.name for one in begun if not from_drawer(plan, one)]
    parts = [f"In the parcel with this paper: {listing(sent)}."] if sent else []
    parts += [f"With you already: {listing(hers)}, as you said how far it is."] if hers else []
    return " ".join(parts)


def _jobs(plan: Plan, knitter: Knitter) -> Iterator[tuple[str, tuple[SetJob, ...]]]:
    """Give the days on which she works on pieces on the set, each with that work, the evening's too."""
    for day in plan.days:
        jobs = [job for job in floor_jobs(plan, day) if not job.crumb]
        if jobs and knitter.name in plan.course.course.shoot[day.number].helpers:
            night = " and after its wrap" if any(job.night for job in jobs) else ""
            yield f"On the set on {day_text(day.day)}{night}", tuple(SetJob(**shared(job, SetJob)) for job in jobs)


def _charts(plan: Plan, keys: Set[str]) -> Iterator[tuple[str, Charted, str]]:
    """Draw the colour charts of some stages, each once: the titles of its stages, the drawing, how it is read."""
    full, titles = plan.worked.kinds["full"], dict[Chart, list[str]]()
    for key in (one for one in full.order if one in keys):
        stage = full.stage(key, plan.worked.size)
        for index, work in enumerate(plan.course.pattern.stages[key].works):
            drawn = chart_of(plan.course.pattern, work, stage, index) if isinstance(work, Knit) and work.chart else None
            if drawn and stage.title not in titles.setdefault(drawn, []):
                titles[drawn].append(stage.title)
    yield from ((listing(of), Charted("Chart", drawn), drawn.reading) for drawn, of in titles.items())


def _abbreviations(
    plan: Plan, mine: Sequence[Piece], tasks: Sequence[Task], jobs: Sequence[SetJob]
) -> tuple[Abbreviation, ...]:
    """Explain the abbreviations of her lines, but for the stitches that everybody knows."""
    if not words_of(plan.course.pattern).pace:
        return ()
    stages = [stage for task in tasks for stage in task.stages] + [stage for job in jobs for stage in job.stages]
    texts = [line.text for stage in stages for line in stage.lines]
    begun = [begun_at(plan.worked.question, piece) for piece in mine]
    steps = (
        step for piece, at in zip(mine, begun, strict=True) for step in steps_of(plan, piece.kind, at, piece.first)
    )
    worked = {name for step in steps if step.is_round for name, _ in step.techniques}
    known = {"k", "p", "st", "sts", "knit", "purl", *map(str.lower, plan.course.pattern.yarns)}
    return tuple(one for one in abbreviations(plan, texts, worked) if one.short.lower() not in known)


def _notions(plan: Plan, mine: Sequence[Piece], tasks: Sequence[Task]) -> str:
    """Word what her pieces take beside yarn and needles; nothing in a craft whose works tell nothing of it."""
    if not words_of(plan.course.pattern).pace:
        return ""
    work = [(piece, begun_at(plan.worked.question, piece), piece.first) for piece in mine]
    steps = [step for piece, begun, goal in work for step in steps_of(plan, piece.kind, begun, goal)]
    one = max((at_work(plan, piece.kind, begun, goal)["markers"] for piece, begun, goal in work), default=0)
    lines = " ".join(line.text for task in tasks for stage in task.stages for line in stage.lines)
    named = notions_in(plan.course.pattern.notions, lines)
    return listed((*notions_for(steps, at_once(plan, work), one, waste_named(plan.course)), *named))


def _on_set(plan: Plan, knitter: Knitter) -> Iterator[str]:
    """Say what she lays ready for the set, on which days she helps there, and with which pieces."""
    for piece in plan.choice.pieces if knitter.name == plan.course.course.host else ():
        if begun_on_set(plan, piece):
            yield f"Lay ready for the set too: {begun_on_set(plan, piece)} for {piece.name}, which is begun there."
    yield from helps(plan, knitter.name, "")


def hand_overs(plan: Plan, mine: Sequence[Piece]) -> tuple[tuple[str, str], ...]:
    """Give the days on which pieces are sent or brought, the day after they are done, each with what goes then.

    Days in hand are for the way: it ends on the eve of the day on which they are filmed first.
    """
    found: dict[tuple[date, str], list[str]] = {}
    spare = plan.course.course.samples.days_to_spare
    for piece in sorted(mine, key=lambda one: (len(one.name), one.name)):
        late = too_late(plan, piece)
        there = f", {late}" if late else f", to be there by {day_text(arrival(plan, piece))}" if spare else ""
        found.setdefault((done_day(plan, piece) + timedelta(days=1), there), []).append(piece.name)
    return tuple(
        (day_text(day), f"send or bring {listing(letters)}{there}") for (day, there), letters in sorted(found.items())
    )
