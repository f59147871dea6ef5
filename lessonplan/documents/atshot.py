"""What must be known at a shot beside its text: made once, for the run sheets and for the page on the table."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from lessonplan.course.names.toolbox import on_table
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import listing
from lessonplan.craft import tables
from lessonplan.craft.words import rest_named, words_of
from lessonplan.documents.arrivals import missing
from lessonplan.documents.floorwork import FloorJob, floor_jobs
from lessonplan.documents.packing import changed_to, with_balls
from lessonplan.documents.shots import ShotText
from lessonplan.documents.standins import in_time, may_stand_in, minutes_left, stand_ins
from lessonplan.documents.stints import gone_on_with
from lessonplan.documents.stopping import stitches
from lessonplan.documents.wording import duration, rest_time
from lessonplan.planning.contradicted import wetted
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions_of_shot
from lessonplan.shoot.day import Day


@dataclass(frozen=True, slots=True)
class AtShot:
    """What stands at a shot on every paper of its day.

    ``missing``: its pieces that are not there; ``for_good`` warns of what cannot be undone; ``goes_on``: where each
    piece of several for a move goes; ``care``: what may hurt somebody in it. ``before`` it and ``between`` its takes
    the host does something to pieces herself, off camera; ``meanwhile`` others go on with what they took up before.
    ``tools``: what lies on the table beside the pieces. ``on``: where each of the pieces goes when the shot is done,
    nothing where ``goes_on`` says so.
    """

    missing: str
    for_good: str
    goes_on: tuple[str, ...]
    care: tuple[str, ...]
    before: tuple[str, ...]
    between: tuple[str, ...]
    meanwhile: tuple[str, ...]
    tools: tuple[str, ...]
    on: tuple[str, ...]


def at_shot(plan: Plan, day: Day, text: ShotText) -> AtShot:
    """Give what must be known at a shot of a day."""
    mine = [job for job in floor_jobs(plan, day) if job.number == text.number and job.crumb]
    tools = on_table(plan.course, text.tools)
    return AtShot(
        missing=missing(plan, {one.letter for one in text.pieces}, day.day),
        for_good=_for_good(plan, text),
        goes_on=tuple(_goes_on(plan, text)),
        care=(*cautions_of_shot(plan, day.number, text.number), *_tried_on(plan, text), *_still_wet(plan, text)),
        before=tuple(dict.fromkeys([*(one.sentence for one in mine if not one.between), *filter(None, [text.begins])])),
        between=tuple(
            dict.fromkeys(job.sentence if job.between else _rest(job) for job in mine if job.between or job.partly)
        ),
        meanwhile=gone_on_with(plan).get(text.number, ()),
        tools=(*with_balls(plan, day, tools, [text]), *changed_to(plan, tools, [text.number])),
        on=tuple(_all_on(plan, day, text)),
    )


_WORN = re.compile(
    r"\btr(?:y|ies|ying) \w+ (?:\w+ )?on\b"
    r"|\b(?:slip|put|pull|draw)s? (?:it|them|the \w+) (?:on\b(?! (?:to|the|a)\b)|over\b)"
    r"|\bover (?:the|your|a|one|her|his) (?:fist|hand|fingers|thumb|foot|heel|head)\b",
    re.IGNORECASE,
)
"""Of hands that are told so: they put a piece on somebody (a list of our own)."""


def _tried_on(plan: Plan, text: ShotText) -> Iterator[str]:
    """Warn of needles in a piece that is tried on, unless hands or note do; what is said to viewers comes too late."""
    words, size = words_of(plan.course.pattern), plan.worked.size
    own = " ".join((*text.hands, text.note))
    live = any(stitches(one.start, plan.worked.kinds[one.kind], size, words)[0] for one in text.pieces)
    if live and words.tool == "needle" and any(_WORN.search(one) for one in text.hands) and "prick" not in own.lower():
        yield next(row["text"] for row in tables.rows("cautions") if row["topic"] == "tried on")


def _still_wet(plan: Plan, text: ShotText) -> Iterator[str]:
    """Say of pieces that were soaked last that they must not come dry: in the air they are within hours."""
    soaked: dict[float, list[str]] = {}
    for one in text.pieces:
        for stage, steps in plan.worked.kinds[one.kind].ends(one.start, plan.worked.size):
            last = stage.steps[steps - 1]
            if last.rest == "soaking" and last.drying and one.letter not in soaked.get(last.drying, ()):
                soaked.setdefault(last.drying, []).append(one.letter)
    for minutes, letters in soaked.items():
        what = f"{listing(letters)} must be wet still"
        kept = "it is kept wet until the shot" if len(letters) == 1 else "they are kept wet until the shot"
        anew = f", or soaked anew for {rest_time(minutes)} before it" if minutes <= ANEW else ""
        yield f"{what}: {kept}{anew}."


ANEW = 240.0
"""Minutes: what soaks no longer can be soaked anew on the day itself (a guess)."""


def _rest(job: FloorJob) -> str:
    left = "what is left of the work that was begun before"
    whole = f"{left}, and in one go what cannot be undone"
    return f"{job.who} goes on with {job.piece} to “{job.goal}”: {whole if job.for_good else left}."


def _all_on(plan: Plan, day: Day, text: ShotText) -> Iterator[str]:
    last = {one.letter: place for place, one in enumerate(text.pieces)}
    for place, one in enumerate(text.pieces):
        yield "" if one.goes_on or last[one.letter] != place else _on(plan, day, text.number, one.letter)


def _on(plan: Plan, day: Day, number: str, letter: str) -> str:
    """Say where a piece goes when a shot is done: to rest, to somebody, to another tray, or away."""
    stops = plan.piece(letter).stops
    last = max(place for place, stop in enumerate(stops) if shot_of(stop.demand) == number)
    then = next(iter(stops[last + 1 :]), None)
    rest = _rests(plan, letter, number)
    if then is None:
        return f"then {rest}" if rest else _at_hand(plan, day, letter)
    place = _taken_to(plan, day, number, letter, shot_of(then.demand))
    return f"then {rest}; {place.removeprefix('then ')}" if rest else place


def _taken_to(plan: Plan, day: Day, number: str, letter: str, goal: str) -> str:
    jobs = (job for job in floor_jobs(plan, day) if not job.crumb)
    job = next((job for job in jobs if (job.piece, job.number) == (letter, goal)), None)
    if job:
        return f"then to {job.who}{' after the wrap' if job.night else ''}"
    today = [entry.number for entry in day.shots]
    if goal not in today:
        when = plan.day_of(goal).number
        return f"then put by for {goal} on day {when + 1}"
    tray, other = number.rpartition(".")[0], goal.rpartition(".")[0]
    return f"stays for {goal}" if tray == other else f"then to tray {other} for {goal}"


def _rests(plan: Plan, letter: str, number: str) -> str:
    """Say how a piece is left to dry, in the press ... by what a shot does to it; nothing where it need not rest."""
    if letter in wetted(plan, number):
        return "laid out to dry"
    piece, size = plan.piece(letter), plan.worked.size
    done = (stop for stop in piece.stops if shot_of(stop.demand) == number)
    steps = [step for stop in done for step in plan.worked.kinds[piece.kind].steps_between(stop.start, stop.end, size)]
    last = next((step for step in reversed(steps) if step.drying), None)
    return f"left {rest_named(last.rest).leave} for {rest_time(last.drying)}" if last else ""


def _at_hand(plan: Plan, day: Day, letter: str) -> str:
    """Say in which shots a piece that has served may stand in for a spoilt one, on this day or later; else put away."""
    now = may_stand_in(plan, day).get(letter, ())
    later = [
        f"{listing(shots)} on day {other.number + 1}"
        for other in plan.days
        if other.number > day.number and (shots := may_stand_in(plan, other).get(letter, ()))
    ]
    if not now and not later:
        return "then put away"
    return f"then {'at hand' if now else 'put by'}, to stand in for what is spoilt in {listing([*now, *later])}"


def _for_good(plan: Plan, text: ShotText) -> str:
    """Warn of what cannot be undone: a move, or that a piece gets wet.

    Say what must be filmed first, how many pieces there are for it, and what it takes if all are spoilt.
    """
    fresh = list(dict.fromkeys(one.letter for one in text.pieces if one.one_way))
    wet = [letter for letter in wetted(plan, text.number) if letter not in fresh]
    if not text.one_way and not wet:
        return ""
    there = f"A fresh piece for each take: {', '.join(fresh)}." if len(fresh) > 1 else ""
    there = f"Only piece {fresh[0]} is there for it." if len(fresh) == 1 else there
    gets = f"{listing(wet)} {'gets' if len(wet) == 1 else 'get'} wet here." if wet else ""
    first = _filmed_first(plan, text, [*fresh, *wet])
    check = "Check picture, sound and hands before you begin."
    return " ".join(filter(None, ("Cannot be undone.", there, gets, first, _spoilt(plan, text), check)))


def _filmed_first(plan: Plan, text: ShotText, letters: Sequence[str]) -> str:
    """Name the shots before this one in which its pieces stand: once it is filmed they cannot be filmed again so."""
    order = {str(item.number): item.day for item in plan.worked.listed}
    stops = {piece.name: [str(shot_of(stop.demand)) for stop in piece.stops] for piece in plan.choice.pieces}
    before = {number for letter in letters for number in stops[letter][: stops[letter].index(text.number)]}
    found = [
        f"{number} (day {day + 1})" if day != order[text.number] else number
        for number, day in order.items()
        if number in before
    ]
    are = "is" if len(found) == 1 else "are"
    return f"First make sure that {listing(found)} {are} filmed as wanted: afterwards it is too late." if found else ""


def _spoilt(plan: Plan, text: ShotText) -> str:
    """Say what it takes to have one more piece for a move for good, from a piece that is not needed any more."""
    found, fresh = stand_ins(plan, text)
    if not found and fresh == inf:
        return "Spoilt? None can stand in on the day."
    ready = in_time(plan, text)
    each = [f"{one.piece.name} takes {duration(one.minutes)}" for one in ready or found]
    each = each or ([f"a new one takes {duration(fresh)}"] if fresh else [])
    least, left = min((one.minutes for one in found), default=fresh), minutes_left(plan, text.number)
    more = f", more than the {duration(left)} from its planned beginning to the wrap, without the breaks"
    what = "None can stand in on the day:" if found and not ready else "To stand in,"
    takes = f"{listing(each)} of {words_of(plan.course.pattern).making}{more if least > left else ''}"
    return f"Spoilt? {what} {takes}." if each else ""


def _goes_on(plan: Plan, text: ShotText) -> Iterator[str]:
    """Say where each piece of several for a move goes on to: it must be so far there, whichever take is used; by whom.

    What is too much for the host to do at a shot is a job that somebody has.
    """
    for one in text.pieces:
        job = _job_for(plan, one.letter, one.goes_on.partition(" ")[0])
        if one.perhaps and job:
            bring = "bring" if " and " in job.who else "brings"
            used = "it is used" if one.spare else "its take is needed"
            unused = f": {job.who} {bring} it there {job.start}, whether {used} or not, once this one is good"
        else:
            when = "it is not used" if one.spare else "its take is not needed"
            unused = f": if {when}, bring it there off camera once this one is good"
        if one.goes_on:
            yield f"{one.letter} goes on to {one.goes_on}{unused if one.perhaps else ''}."


def _job_for(plan: Plan, letter: str, number: str) -> FloorJob | None:
    """The first job in which a piece is worked on for a shot, whoever has it; None where the host does it there."""
    jobs = (job for day in plan.days for job in floor_jobs(plan, day) if not job.crumb)
    return next((job for job in jobs if (job.piece, job.number) == (letter, number)), None)
