"""Rules about what is filmed: shots, what their hands do and refer to, the days, their order, and who helps."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator
from graphlib import CycleError, TopologicalSorter

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.together import Course
from lessonplan.course.names.toolbox import on_table
from lessonplan.course.problems import Problem, did_you_mean, error, nearest, note, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import listing

_CUTTING = re.compile(r"\bcuts?\b", re.IGNORECASE)
_CLOSING = re.compile(r"\b(?:clos(?:es?|ing)|sews?|sewing|grafts?|grafting|seams?)\b", re.IGNORECASE)
_END = re.compile(r"\b(?:tails?|ends?)\b", re.IGNORECASE)
_TRIMMING = re.compile(r"\b(?:trims?|snips?)\b", re.IGNORECASE)
ALIKE, ALIKE_WITHIN = 0.8, 0.75
"""How like a name must be to another, from 0 to 1, to be taken for a slip of it, and if it begins and ends alike.

Guesses: “fase” is a slip of “face”, and “side” none of “wide”.
"""


def hands_do_something(course: Course) -> Iterator[Problem]:
    """What hands do is either a line worked on camera, or something else with its time."""
    for _, _, _, shot in course.shots():
        for hands in shot.hands:
            if bool(hands.work) == bool(hands.do):
                yield error(hands.mark(), "hands", "Give either “work” (a line) or “do” (with its time) here.")
            elif hands.do and hands.time is None and not hands.stands("time"):
                yield error(hands.mark(), "hands-time", "“time” is missing: how long does this take?")


def films_exist(course: Course) -> Iterator[Problem]:
    """Shoot days name shots that exist, and every shot is filmed once."""
    filmed: dict[str, str] = {}
    for day in course.course.shoot:
        for place, name in enumerate(day.films):
            where = day.mark("films", place)
            matching = [one.number for one in course.shots_in(name)]
            if not matching:
                yield error(where, "unknown-shot", f"There is no episode, segment or shot “{name}”.")
            twice = [number for number in matching if number in filmed]
            if twice:
                yield error(
                    where, "filmed-twice", f"Shot {twice[0]} is filmed twice (also under “{filmed[twice[0]]}”)."
                )
            filmed.update(dict.fromkeys(matching, name))
    known = all(course.shots_in(name) for day in course.course.shoot for name in day.films)
    if known:  # else what is not filmed is most likely what a name that is none was to mean
        yield from _not_filmed(course, filmed)


def kept_from(course: Course) -> Iterator[Problem]:
    """What a piece in the drawer is kept from exists."""
    for item in course.course.samples.drawer:
        for place, name in enumerate(item.not_in):
            if not course.shots_in(name):
                where = item.mark("not_in", place)
                yield error(where, "unknown-shot", f"There is no episode, segment or shot “{name}”.")


def _not_filmed(course: Course, filmed: Container[str]) -> Iterator[Problem]:
    """Warn of the shots that no day films, in one sentence for each segment."""
    for segment in course.segments():
        mine = (one for one in course.shots_in(segment.number) if one.segment is segment.segment)
        left = [one for one in mine if one.number not in filmed]
        if left:
            whole = len(left) == len(segment.segment.shots)
            of_some = (
                f"Shot {left[0].number} is" if len(left) == 1 else f"Shots {listing([one.number for one in left])} are"
            )
            what = f"Segment {segment.number} is on no shoot day." if whole else f"{of_some} on no shoot day."
            hint = f"Put {segment.number if whole else left[0].number} into the “films” of a day in course.yaml."
            yield warning(left[0].shot.mark(), "not-filmed", what, hint)


def shots_after(course: Course) -> Iterator[Problem]:
    """What a shot is filmed after must be shots or segments, and not the shot itself."""
    for number, _, _, shot in course.shots():
        for place, name in enumerate(shot.after):
            matching = [one.number for one in course.shots_in(name)]
            if not matching:
                yield error(shot.mark("after", place), "unknown-shot", f"There is no segment or shot “{name}”.")
            if number in matching:
                yield error(shot.mark("after", place), "after-itself", f"Shot {number} cannot come after itself.")


def locks_agree(course: Course) -> Iterator[Problem]:
    """What shots are filmed after does not go round in a circle, and is not filmed on a later day."""
    before: dict[ShotNumber, list[ShotNumber]] = {one.number: [] for one in course.shots()}
    for first, then in course.locks():
        if first != then:
            before[then].append(first)
    shots = {one.number: one.shot for one in course.shots()}
    try:
        TopologicalSorter(before).prepare()
    except CycleError as bad:
        circle = bad.args[1][::-1]
        where = next(shots[number].mark("after") for number in circle if shots[number].after)
        named = " after ".join(circle)
        yield error(where, "locks", f"The shots go round in a circle: {named}.")
    days = {one.number: day.day for day in course.course.shoot for name in day.films for one in course.shots_in(name)}
    for then, firsts in before.items():
        late = next((one for one in firsts if then in days and one in days and days[one] > days[then]), None)
        if late:
            what = f"Shot {then} comes after {late}, which is filmed on a later day."
            yield error(shots[then].mark("after"), "locks", what)


def days_in_order(course: Course) -> Iterator[Problem]:
    """Shoot days stand in the order of their dates, and wrap comes after call."""
    previous = None
    for day in course.course.shoot:
        if day.wrap <= day.call:
            yield error(day.mark("wrap"), "wrap", "The wrap is not after the call.")
        if previous and day.day <= previous:
            yield error(day.mark("day"), "day-order", f"{day.day} does not come after the shoot day before it.")
        if day.lunch and not day.call < day.lunch.at < day.wrap:
            yield error(day.mark("lunch"), "lunch", "Lunch is not between call and wrap.")
        previous = day.day


def views_known(course: Course) -> Iterator[Problem]:
    """Question a view that only one shot has, and no list of views, when it is very like another one."""
    shots = [one.shot for one in course.shots()]
    used, listed = Counter(shot.view for shot in shots), course.course.views
    seen: set[str] = set()
    for shot in shots:
        if used[shot.view] == 1 and shot.view not in listed:
            others = {*listed, *seen, *(view for view, count in used.items() if count > 1)}
            near = _slip_of(shot.view, others)
            if near or listed:
                what = f"“{shot.view}” is the view of this shot alone" + (", and is not listed." if listed else ".")
                hint = f"Did you mean “{near}”?" if near else did_you_mean(shot.view, others)
                yield warning(shot.mark("view"), "view", what, hint)
        seen.add(shot.view)


def helpers_known(course: Course) -> Iterator[Problem]:
    """Question a helper whose name is very like a knitter's: only the knitter of that very name has a pace."""
    knitters = [one.name for one in course.course.knitters]
    for day in course.course.shoot:
        for place, name in enumerate(day.helpers):
            first = [one for one in knitters if one.split()[:1] == [name]]
            near = _slip_of(name, knitters) or (first[0] if len(first) == 1 else "")
            if name not in knitters and near:
                what = f"“{name}” is not among those who make pieces, so this helper works at the host's pace."
                yield warning(day.mark("helpers", place), "helper", what, f"Did you mean “{near}”?")


def _slip_of(name: str, others: Iterable[str]) -> str:
    """Give the name of which this one may be a slip of the pen; with another number in it (camera 2) it is none."""
    digits = re.findall(r"\d+", name)
    likely = [one for one in others if one != name and re.findall(r"\d+", one) == digits]
    framed = [one for one in likely if (one[:1], one[-1:]) == (name[:1], name[-1:])]
    return nearest(name, likely, ALIKE) or nearest(name, framed, ALIKE_WITHIN)


def somebody_helps(course: Course) -> Iterator[Problem]:
    """Warn of a shot that speaks to a helper on a day that has none."""
    for day in course.course.shoot:
        spoken = {one.number: one.shot for name in day.films for one in course.shots_in(name) if one.shot.notes.helper}
        for number, shot in spoken.items() if not day.helpers else ():
            what = f"Shot {number} says something to a helper, and nobody helps on {day.day}."
            hint = "Name somebody under “helpers” of that day, or write it to the host (“note”)."
            yield warning(shot.notes.mark("helper"), "no-helper", what, hint)


def next_episode_comes(course: Course) -> Iterator[Problem]:
    """A shot of the last episode cannot refer to the next one."""
    last = max((one.episode for one in course.episodes), default=0)
    for one in course.shots():
        for place, mention in enumerate(one.shot.mentions):
            if mention.what == "next episode" and one.episode.episode == last:
                where = one.shot.mark("mentions", place)
                yield warning(where, "no-next-episode", "No episode comes after this one.")


def _ties_up(shot: Shot) -> bool:
    """Whether hands close or sew something with an end of a piece that the shot does not move on."""
    moved = any(piece.leaves for piece in shot.pieces)
    return (
        bool(shot.pieces) and not moved and any(_CLOSING.search(one.do) and _END.search(one.do) for one in shot.hands)
    )


def cuts_for_good(course: Course) -> Iterator[Problem]:
    """Note a shot of several takes that cuts, or closes something, and says nothing of it: it is done only once.

    Note one, too, in which cutting is spoken of, with scissors on the table, and no hand does it.
    """
    for one in course.shots():
        shot = one.shot
        cuts = any(_CUTTING.search(hands.do) for hands in shot.hands)
        scissors = any("scissors" in tool.lower() for tool in on_table(course, shot.tools))
        if shot.takes > 1 and cuts and scissors and shot.pieces and "one_way" not in shot.model_fields_set:
            what = f"Something is cut in {one.number}, which has {shot.takes} takes: after the first it is cut already."
            hint = "Write “one_way: yes” for a fresh piece for each take, or “one_way: no” if it can be cut again."
            yield note(shot.mark("hands"), "cut-twice", what, hint)
        elif shot.takes > 1 and _ties_up(shot) and "one_way" not in shot.model_fields_set:
            what = f"Something is closed with its own end in {one.number}, which has {shot.takes} takes: there is one."
            hint = "Write “takes: 1”, or “one_way: no” and in a note how it is undone, such as: the end is drawn out."
            yield note(shot.mark("hands"), "closed-twice", what, hint)
        elif scissors and shot.pieces and _CUTTING.search(shot.say) and not (cuts or _TRIMMING.search(shot.say)):
            what = f"Scissors lie ready in {one.number} and cutting is spoken of, but no hand cuts."
            hint = "Write what is cut under “hands”, with its time, or leave the scissors out."
            yield note(shot.mark("tools"), "not-cut", what, hint)


FILMING_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (
    hands_do_something,
    films_exist,
    kept_from,
    shots_after,
    locks_agree,
    days_in_order,
    views_known,
    helpers_known,
    somebody_helps,
    next_episode_comes,
    cuts_for_good,
)
