"""When the steps of a fixed sequence come: each with its words where the script says them, else with the hands."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import takewhile

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.episodes import Hands, Shot
from lessonplan.course.model.works import BindOff
from lessonplan.craft.sequences import sequences_in
from lessonplan.edit.align.terms import LITTLE, terms
from lessonplan.edit.cues.onscreen import time_to_read
from lessonplan.edit.spoken import FEW_WORDS, words_of
from lessonplan.edit.timing import ShotTime
from lessonplan.pattern.amounts.minutes import technique_minutes
from lessonplan.planning.worked import Plan
from lessonplan.shoot.clocks import live_techniques, needle_in

LEAD = 3
"""So many words before those by which a step is known may tell it, too (a guess)."""


def sequences_for(pattern: pm.Pattern, text: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the fixed sequences that a text names, but the plain bind-off only where the pattern binds off so.

    Of a method of its own nothing is known but its name.
    """
    ends = {work.method for stage in pattern.stages.values() for work in stage.works if isinstance(work, BindOff)}
    plain = not ends or "standard" in ends
    return tuple((name, steps) for name, steps in sequences_in(text) if plain or name != "bind-off")


def stretch(plan: Plan, time: ShotTime, shot: Shot, name: str) -> tuple[int, int, str]:
    """Find when the hands work a sequence: from what names it to their end; else where it is said, else all of them.

    In a line it begins when the stitches before it are worked.
    """
    for one, (start, end) in zip(shot.hands, time.hands, strict=True):
        if name in dict(sequences_in(one.work or one.do)):
            steps = one.work.split(",")
            place = next((place for place, step in enumerate(steps) if name in dict(sequences_in(step))), 0)
            first = time.start + start + round((end - start) * _before(plan, time, shot, one, place))
            return first, time.start + time.hands[-1][1], f"the hands: {one.work or one.do}"
    words = time.say.split()
    for place in range(1, len(words) + 1):
        said = " ".join(words[:place])
        if name in dict(sequences_in(said)):
            at = time.at_word(len(words_of(said)) - 1)
            return at, at, "the words that name it"
    return time.start, time.start + max([0, *(end for _, end in time.hands)]), "the hands"


def first_worked(plan: Plan, time: ShotTime, shot: Shot, short: str) -> int | None:
    """Give when the hands come to the first step of a line that has an abbreviation; None where no line has it."""
    for one, (start, end) in zip(shot.hands, time.hands, strict=True):
        for place, step in enumerate(one.work.split(",")):
            if re.search(rf"(?<!\w){re.escape(short)}(?![^\W\d])", step, re.IGNORECASE):
                return time.start + start + round((end - start) * _before(plan, time, shot, one, place))
    return None


def _before(plan: Plan, time: ShotTime, shot: Shot, hands: Hands, place: int) -> float:
    """What part of the time of a line is over when one of its steps begins; none where that cannot be told."""
    steps = hands.work.split(",")
    needle = needle_in(time.number, plan.worked.kinds, plan.worked.table, plan.worked.size)

    def minutes(line: str) -> float:
        """The minutes that a line takes on camera at one stitch a minute."""
        alone = shot.model_copy(update={"hands": (hands.model_copy(update={"work": line}),)})
        return technique_minutes(live_techniques(alone, needle)[0], 1.0, plan.course.course.techniques)

    whole = minutes(hands.work) if place else 0.0
    return min(1.0, minutes(re.sub(r"[*\[({]", "", ",".join(steps[:place]))) / whole) if whole else 0.0


def at_their_words(steps: Sequence[str], time: ShotTime, begins: int) -> tuple[int, ...]:
    """Give when each step comes where the script says any: with its words, never before the hands begin the move.

    One that is not said comes right after the one before it; those before the first that is said lead up to it.
    """
    places = tuple(_places(steps, words_of(time.say)))
    told = [None if place is None else max(begins, time.at_word(place)) for place in places]
    first = next((place for place, at in enumerate(told) if at is not None), None)
    if first is None:
        return ()
    at, found = told[first] or 0, list[int]()
    lead = sum(time_to_read(step) for step in steps[:first])
    for step, here in zip(steps, told, strict=True):
        found.append(max(begins, at - lead) if len(found) < first else max(at, here or 0))
        lead -= time_to_read(step)
        at = max(at, found[-1])
    return tuple(found)


def _places(steps: Sequence[str], spoken: Sequence[str]) -> Iterator[int | None]:
    """Find the word (from 0) at which each step is said, one after the other; None for one that is not."""
    first = 0
    for step in steps:
        wanted, telling = words_of(step.replace("*", "")), {*words_of(" ".join(re.findall(r"\*(.+?)\*", step)))}
        place, length = _said(wanted, telling, spoken[first:])
        yield _led_up_to(first, first + place, wanted, spoken) if length else None
        first += place + length


def _led_up_to(first: int, place: int, wanted: Sequence[str], spoken: Sequence[str]) -> int:
    """Go back from a word to the others of its step just before it: “the needle lifts it” before “from the back”."""
    stems = {stem for word in wanted for stem in terms(word)} - LITTLE
    before = range(max(first, place - LEAD), place)
    return next((one for one in before if stems & {*terms(spoken[one])}), place)


def _said(wanted: Sequence[str], telling: set[str], spoken: Sequence[str]) -> tuple[int, int]:
    """Give where, and in how many words, a step is first said; no words where it is not.

    It is said by all of its words in a row, or by a few of them with one that tells it from others (“front”).
    """
    for place in range(len(spoken)):
        for skipped in range(len(wanted)):
            pairs = zip(spoken[place:], wanted[skipped:], strict=False)
            run = [one for one, _ in takewhile(lambda pair: pair[0] == pair[1], pairs)]
            enough = len(run) >= max(2, min(FEW_WORDS, len(wanted)))
            if enough and (not telling or telling & {*run}):
                return place, len(run)
    return 0, 0
