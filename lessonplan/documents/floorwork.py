"""What is knitted on the set while others film: one line for each piece, with its time, its goal and its shot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import capital, day_text, listing, short_day
from lessonplan.craft import tables
from lessonplan.craft.words import words_of
from lessonplan.documents import stints
from lessonplan.documents.livework import NEARLY_ALL
from lessonplan.documents.notions import inside, listed, notions_for, put_in
from lessonplan.documents.stopping import stop_words
from lessonplan.documents.wording import duration, on_tools
from lessonplan.documents.worklines import StageLines, steps_of
from lessonplan.documents.yarncuts import cut_first, lines_with_cuts
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Piece, State
from lessonplan.samples.states import kind_in_words
from lessonplan.shoot.day import Day, Entry, clock
from lessonplan.shoot.slots import Slot

BRIEF = 3
"""So many lines at most stand in the sentence of the host's own work (a guess)."""


@dataclass(frozen=True, slots=True)
class SetJob:
    """Work on a piece on the set or after its wrap, as far as it is printed on a helper's own paper."""

    start: str
    piece: str
    goal: str
    minutes: str
    until: str
    who: str
    kind: str
    moved: str
    stop: str
    lines: str
    stages: tuple[StageLines, ...]


@dataclass(frozen=True, slots=True)
class FloorJob(SetJob):
    """One piece of work on the set: who, on which piece, from when and for how long, to which state and by when.

    A ``crumb`` is so short that the host does it herself at the shot ``number`` that it is for, ``between`` its takes
    or before it; ``sentence`` words it. All else is taken up at the shot ``at`` or after it, ``begin`` minutes after
    midnight: there the ``sentence`` hands the piece over. ``night``: after the wrap.
    ``spent``: its minutes, whole as they are printed, so that their sums add up for a reader. ``kind``: what a short or
    small piece has fewer of. ``stages``: the lines to work, where the work for the shot is begun; ``moved``: after
    which of them to begin instead, where the shot before may have moved the piece on. ``stop``: where to stop, with how
    many stitches on what, and what not to do then; nothing where others go on. ``partly``: how work that is too long
    for the pause before the shot is parted; ``for_good``: something in it cannot be undone. ``lines``: where the
    lines stand if not here.
    """

    number: str
    at: str
    begin: float
    spent: int
    crumb: bool
    between: bool
    night: bool
    sentence: str
    to: str
    partly: str
    for_good: bool


def floor_jobs(plan: Plan, day: Day) -> tuple[FloorJob, ...]:
    """List the work on pieces that begins on a day, in order of time; its night counts to it."""
    return tuple(_jobs_by_day(plan).get(day.number, ()))


@remembered(2)
def _jobs_by_day(plan: Plan) -> Mapping[int, list[FloorJob]]:
    entries = {entry.number: entry for one in plan.days for entry in one.shots}
    days = {day.number: day for day in plan.days}
    found = []
    for stint in stints.all_stints(plan):
        slot = plan.worked.slots[stint.spells[0].slot]
        item = plan.worked.listed[slot.shot]
        if day := days.get(item.day):
            start = _start(day, item.number, slot.what)
            found.append((start, stint.piece.name, day.number, _job(plan, day, stint, slot, start, entries)))
    jobs: dict[int, list[FloorJob]] = {number: [] for number in days}
    for _, _, number, job in sorted(found, key=lambda one: one[:2]):
        jobs[number].append(job)
    return jobs


def handed_back(plan: Plan, day: Day) -> Mapping[str, str]:
    """Give the pieces of a day that others took along after an earlier wrap, and who brings them back."""
    today = {item.number for item in plan.worked.listed if item.day == day.number}
    earlier = [one for one in plan.days if one.number < day.number]
    night = (job for one in earlier for job in floor_jobs(plan, one) if job.night)
    return {job.piece: job.who for job in night if job.number in today}


def brought_back(plan: Plan, day: Day) -> str:
    """Say which pieces come back from whom; nothing where none was taken along."""
    by_whom: dict[str, list[str]] = {}
    for piece, who in sorted(handed_back(plan, day).items()):
        by_whom.setdefault(who, []).append(piece)
    parts = [f"{listing(pieces)} from {who}" for who, pieces in by_whom.items() if who != plan.course.course.host]
    return (
        f"Worked on after the last wrap, to be handed back by {clock(day.call)}, the call: {'; '.join(parts)}."
        if parts
        else ""
    )


def helps(plan: Plan, name: str, lines: str, days: Sequence[Day] | None = None) -> Iterator[str]:
    """Say on which days somebody helps on the set, and with which pieces; ``lines``: where the lines for them stand.

    ``days``: only what belongs to these; handing back belongs to the day before whose call it is done.
    """
    only = plan.days if days is None else days
    for day in only:
        helpers = plan.course.course.shoot[day.number].helpers
        if name not in helpers:
            continue
        jobs = [job for job in floor_jobs(plan, day) if not job.crumb]
        others = listing([one for one in helpers if one != name])
        pieces = list(dict.fromkeys(job.piece for job in jobs))
        beside = f", with {others}" if others else ""
        also = "also " if name in plan.calendar.assigned.values() else ""
        what = f"You {also}work on the set on {day_text(day.day)}, from {clock(day.call)}{beside}"
        spent = duration(sum(job.spent for job in jobs))
        until, _ = night_end(day, jobs)
        begin = min((job.begin for job in jobs if not job.night), default=0.0)
        night = f"{', some after the wrap' if begin else ''}: at once, until about {clock(until)}, or at home"
        night = (night if days is not None else night.partition(":")[0]) if until else ""
        when = f"from {clock(begin)} on" if begin else "after the wrap"
        ready = " What this takes is packed for you." if words_of(plan.course.pattern).pace else ""
        busy = (
            f"the log, lights and pieces; {when} you work on {listing(pieces)}, {spent}{night}.{ready} {lines}".strip()
        )
        free = "no piece is worked on; you log the takes and mind the lights and the pieces."
        yield f"{what}: {busy if pieces else free}"
    for day in only:
        mine = sorted(piece for piece, who in handed_back(plan, day).items() if name in who)
        if mine:
            by = f"{clock(day.call)} on {day_text(day.day)}"
            them = "it" if len(mine) == 1 else "them"
            along = listed([f"the yarn that hangs on {them}", *_taken_home(plan, day, name)])
            along = f", with {along}" if words_of(plan.course.pattern).pace else ""
            back = f"have {them} back on the set by {by}."
            if days is not None:
                yield f"You take {listing(mine)} home after the wrap, if not worked on at once{along}: {back}"
                continue
            ends = [night_end(one, floor_jobs(plan, one))[0] for one in plan.days if one.number < day.number]
            work = f"After the wrap you work on {listing(mine)} at once, until about {clock(max(ends))}"
            yield f"{work}, or take {them} home{along}: {back}"


def night_end(day: Day, jobs: Sequence[FloorJob]) -> tuple[float, str]:
    """Say until when work goes on after a wrap, in minutes after midnight, and with which rests; 0 where there is none.

    Who works as long as before a wrap rests as often.
    """
    spent = sum(job.spent for job in jobs if job.night)
    if not spent:
        return 0.0, ""
    pause, often = tables.three_points("rest_minutes")[1], tables.three_points("rest_after")[2]
    rests = max(0, ceil(spent / often) - 1)
    resting = f" with {'a rest' if rests == 1 else f'{rests} rests'} of {duration(pause)}" if rests else ""
    return day.wrap + spent + rests * pause, resting


def unnamed(plan: Plan, day: Day) -> str:
    """Say that others are wanted: the only helper works on pieces as the camera runs, or the host does all herself."""
    helpers, jobs = plan.course.course.shoot[day.number].helpers, floor_jobs(plan, day)
    if not helpers:
        return _alone(plan.course.course.host, jobs)
    mine = [job for job in jobs if not (job.crumb or job.night) and list(helpers) == [job.who]]
    spells = [(job.begin, _done_at(day, job)) for job in mine]
    filmed = day.shots
    busy = [one for one in filmed if any(begin < one.end and one.start < end for begin, end in spells)]
    if len(busy) < 2:
        return ""
    when = listing([f"{clock(begin)} to {clock(end)}" for begin, end in _joined(spells)])
    left = f"{when}, in {len(busy)} of the day’s {len(filmed)} shots"
    return f"{helpers[0]} works on pieces from {left}: name somebody else for the log, the lights and the pieces."


def _done_at(day: Day, job: FloorJob) -> float:
    """When a job is done: nobody works in a break."""
    end = job.begin + job.spent
    for entry in day.entries:
        if entry.is_break and job.begin <= entry.start < end:
            end += entry.end - entry.start
    return end


def _joined(spells: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Put spells together between which there is no whole minute."""
    found: list[tuple[float, float]] = []
    for begin, end in sorted(spells):
        if found and begin - found[-1][1] < 1:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((begin, end))
    return found


def _alone(host: str, jobs: Sequence[FloorJob]) -> str:
    """Say for which shots the host, who is filmed and has no helper, works on pieces; nothing where she need not."""
    hers = [job for job in jobs if not job.night]
    before = listing(list(dict.fromkeys(job.number for job in hers if not job.between)))
    between = listing(list(dict.fromkeys(job.number for job in hers if job.between or job.partly)))
    when = " and ".join([f"before {before}"] * bool(before) + [f"between the takes of {between}"] * bool(between))
    wanted = "name somebody for the log, the lights and the pieces"
    return f"Nobody helps on this day: {host} is filmed, and works on pieces {when} too: {wanted}." if when else ""


def notions_beside(plan: Plan, day: Day) -> Mapping[str, tuple[str, ...]]:
    """Give the notions that others take for their work on pieces, on a day and after its wrap, and who they are."""
    jobs: dict[str, list[FloorJob]] = {}
    for job in floor_jobs(plan, day):
        if not job.crumb and job.who != plan.course.course.host:
            jobs.setdefault(job.who, []).append(job)
    return {who: _notions(plan, mine) for who, mine in jobs.items()}


def _notions(plan: Plan, jobs: Sequence[FloorJob]) -> tuple[str, ...]:
    """Give the notions that somebody needs for jobs, done one after the other, beside what is in the pieces."""
    work = list(dict.fromkeys(one for job in jobs for one in _work_of(plan, job)))
    steps = [step for piece, begun, goal in work for step in steps_of(plan, piece.kind, begun, goal)]
    anew = any(not inside(plan, piece.kind, begun)["markers"] for piece, begun, _ in work)
    need = put_in(plan, work)
    return notions_for(steps, need, need["markers"] if anew else 0)


def _taken_home(plan: Plan, day: Day, name: str) -> tuple[str, ...]:
    """Say what somebody takes home to work with at night, on the pieces that she hands back on a day: needles, notions.

    The yarn hangs on the pieces.
    """
    today = {item.number for item in plan.worked.listed if item.day == day.number}
    earlier = [job for one in plan.days if one.number < day.number for job in floor_jobs(plan, one)]
    night = {(job.piece, job.number) for job in earlier if job.night and job.number in today and name in job.who}
    mine = [job for job in earlier if (job.piece, job.number) in night]
    tool = words_of(plan.course.pattern).tool
    needles = dict.fromkeys(stage.needle for job in mine for stage in job.stages if stage.needle)
    return (
        *(on_tools(one, tool) for one in needles),
        *_notions(plan, mine),
    )


def _work_of(plan: Plan, job: FloorJob) -> Iterator[tuple[Piece, State, State]]:
    """Give the piece of a job with the states between which it is worked on for its shot."""
    piece = plan.piece(job.piece)
    yield from ((piece, piece.brought(stop), stop.start) for stop in piece.stops if shot_of(stop.demand) == job.number)


def _start(day: Day, number: str, what: str) -> float:
    """When the time begins in which a piece is taken up, in minutes after midnight; nobody knits in a break."""
    if what == "evening":
        return day.wrap
    place = next(place for place, entry in enumerate(day.entries) if entry.number == number and entry.kind == "shot")
    if what != "pause":
        return day.entries[place].start
    after = (entry for entry in day.entries[place + 1 :] if not entry.is_break)
    return next(after).start


def _job(plan: Plan, day: Day, stint: stints.Stint, slot: Slot, start: float, entries: dict[str, Entry]) -> FloorJob:
    stop, number, who = stint.stop, shot_of(stint.stop.demand), stints.who_works(plan, stint)
    helpers = plan.course.course.shoot[day.number].helpers
    back = stints.back_words(plan, stint)
    taking_back = f", {duration(stint.ripping)} of it {back}" if stint.ripping else ""
    if stint.ripping > NEARLY_ALL * stint.minutes:
        taking_back = f" {back}"
    minutes = f"{stint.lasts}{taking_back}{stint.goes_on}"
    goal, wanted, night = stints.state_wanted(plan, stint), stints.goal_of(plan, stop), slot.what == "evening"
    to = f"{'towards' if stint.more else 'to'} “{goal}”, {minutes}"
    named = wanted if wanted != number else f"shot {wanted}"
    until = _until(day, plan.day_of(number), entries[number], named, night=night)
    handed = f"{to}{stints.once_filmed(plan, stint)}{stints.taken_back(plan, stint)}; ready by {until}"
    sentence = "" if night else f"From {clock(start)}, {who}: {stint.piece.name} {handed}"
    return FloorJob(
        number=number,
        at=plan.worked.listed[slot.shot].number,
        begin=start,
        spent=stints.whole_minutes(stint),
        crumb=stint.hosts,
        between=slot.what == "reset" and plan.worked.listed[slot.shot].number == number,
        night=night,
        sentence=_hosts_own(plan, stint, who, goal) if stint.hosts else sentence,
        start="after the wrap" if night else f"from {clock(start)}",
        who=who,
        piece=stint.piece.name,
        minutes=minutes,
        to=to,
        goal=f"{'towards ' if stint.more else ''}{goal}{stint.dries}",
        until=until,
        kind=_kind(plan, stint),
        moved="" if stint.hosts else _moved(plan, stint),
        stop="" if stint.more else _stop(plan, stint),
        partly=_partly(plan, stint) if stint.hosts or not helpers else "",
        for_good=stints.is_for_good(plan, stint),
        lines=_elsewhere(plan, stint),
        stages=() if stint.hosts else _lines(plan, stint),
    )


def _hosts_own(plan: Plan, stint: stints.Stint, who: str, goal: str) -> str:
    """Word a job that the host does herself as she sets the piece down, with its lines where they are few."""
    first = " ".join(cut_first(plan, stint.piece, stint.stop))
    what = f"takes {stint.piece.name} back" if stint.ripping else f"works on {stint.piece.name}"
    said = f"{who} {what} to “{goal}”, {stint.lasts}{stint.goes_on}"
    if stint.unless:
        said = f"{capital(stint.unless)}: {said.replace(stint.perhaps, '')}"
    said += stints.taken_back(plan, stint) + stints.once_filmed(plan, stint) + (f"; first: {first}" if first else "")
    return said + _partly(plan, stint) + _briefly(plan, stint)


def _kind(plan: Plan, stint: stints.Stint) -> str:
    kind, kinds = stint.piece.kind, plan.worked.kinds
    return kind_in_words(kind, stint.stop.start, kinds[kind], kinds["full"], plan.worked.size)


def _briefly(plan: Plan, stint: stints.Stint) -> str:
    """Put the few lines of the host's own work behind it; of work that is only taken back there are none."""
    lines = [line for stage in _lines(plan, stint) for line in stage.lines if not line.remark]
    said = [f"{line.rounds}: {line.text}".removeprefix(": ").rstrip(".") for line in lines]
    return f". {'; '.join(said)}." if said and len(said) <= BRIEF and not stint.ripping else ""


def _stop(plan: Plan, stint: stints.Stint) -> str:
    worked, words = plan.worked.kinds[stint.piece.kind], words_of(plan.course.pattern)
    return stop_words(stint.stop.start, worked, plan.worked.size, words=words).sentence


def _partly(plan: Plan, stint: stints.Stint) -> str:
    """Say how the host's own work for a later take is parted: before the shot, and between takes."""
    slots = plan.worked.slots
    early = sum(spell.minutes for spell in stint.spells if slots[spell.slot].what != "reset")
    if slots[stint.spells[0].slot].what == "reset" or early > stint.minutes - stints.NOTHING:
        return ""
    whole = ", where what cannot be undone is done in one go" if stints.is_for_good(plan, stint) else ""
    return f". Of this {duration(max(1, round(early)))} comes before the shot, the rest between its takes{whole}"


def _until(day: Day, when: Day, entry: Entry, wanted: str, *, night: bool) -> str:
    """Say by when work is done: before its shot; for a later day by the wrap, or after it, by that day's call."""
    if when is day:
        return f"{clock(entry.start)}, {wanted}"
    by = f"{short_day(when.day)} {clock(when.call)}" if night else f"the wrap, {clock(day.wrap)}"
    return f"{by}, for {wanted}"


def _elsewhere(plan: Plan, stint: stints.Stint) -> str:
    """Say where the lines of work stand that is gone on with: at its first part."""
    slots, first = plan.worked.slots, stint.stop.spells[0]
    if stint.hosts or stint.spells[0] is first:
        return ""
    days = [plan.worked.listed[slots[one.slot].shot].day for one in (first, stint.spells[0])]
    where = "above" if days[0] == days[1] else f"at day {days[0] + 1}"
    return f"The lines stand {where}: go on where they were left."


def _moved(plan: Plan, stint: stints.Stint) -> str:
    """Say what must be filmed before work on a piece, and where else than at its first line that may begin."""
    shots = stints.once(plan, stint)
    first = f"First make sure that {shots} {'are' if ' and ' in shots else 'is'} filmed as wanted." if shots else ""
    return " ".join(filter(None, (first, stints.begins_at(plan, stint))))


def _lines(plan: Plan, stint: stints.Stint) -> tuple[StageLines, ...]:
    """The lines from where the shot before left the piece to what the next asks for, at the first part of the work."""
    piece, stop = stint.piece, stint.stop
    if stint.spells[0] is not stop.spells[0]:
        return ()
    return lines_with_cuts(plan, piece, piece.brought(stop), stop.start, piece.stops.index(stop))
