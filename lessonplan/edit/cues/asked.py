"""What the teacher asks of the texts over a shot: her own ones, others in place of computed ones, some left out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonplan.course.model.episodes import CueAsked
from lessonplan.course.problems import Problem, Where, warning
from lessonplan.course.rules.cuework import COMPUTED, is_kind
from lessonplan.course.values.quantities import read_duration
from lessonplan.edit.cues.computed import counts_what_is_done, wanted, when_done
from lessonplan.edit.cues.onscreen import LATER, LeftOut, Wanted
from lessonplan.edit.spoken import phrase_at, place_of, plain
from lessonplan.edit.timing import ShotTime
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan

_FACT = re.compile(r"\{\{\s*(?:about\s+)?([^{}]*?)\s*\}\}")


def as_asked(plan: Plan, time: ShotTime, found: Sequence[Wanted]) -> tuple[list[Wanted], list[LeftOut], list[Problem]]:
    """Give the texts of a shot as its teacher wants them, what is left out of the computed ones, and what is wrong."""
    kept, left, problems = list(found), list[LeftOut](), list[Problem]()
    own = list(_on_screen(plan, time))
    for asked in plan.course.shot(time.number).cues:
        name = asked.leave_out or asked.instead_of
        key = "leave_out" if asked.leave_out else "instead_of"
        gone = [one for one in kept if _is_named(one, name)] if name else []
        kept = [one for one in kept if one not in gone]
        why = "the host leaves it out" if asked.leave_out else "the host’s own text stands instead"
        left += [LeftOut(one, why) for one in gone]
        if name and not gone:
            problems.append(_none_such(asked.mark(key), name, found))
        if asked.show:
            own.append(_own(plan, time, asked, gone, problems))
    return [*own, *kept], left, problems


def _is_named(one: Wanted, name: str) -> bool:
    """Whether a computed text is meant: by its kind, by words that stand in it, or with all others."""
    wish = " ".join(name.split()).casefold()
    return (
        wish == "all"
        or is_kind(wish, one.kind)
        or (wish not in COMPUTED and any(wish in text.casefold() for text in (*one.texts, one.shorter)))
    )


def _none_such(where: Where, name: str, found: Sequence[Wanted]) -> Problem:
    texts = "; ".join(f"“{one.told}” ({one.kind})" for one in found)
    hint = f"Computed here: {texts}." if texts else "Nothing is computed for this shot."
    return warning(where, "no-cue", f"No computed cue of this shot is, or says, “{name}”.", hint)


def _on_screen(plan: Plan, time: ShotTime) -> Iterator[Wanted]:
    """Give the texts that a shot lays over its picture: at the words that they share with what is said.

    One that shares none comes after those before it in the course. A count that the round worked here leaves,
    and that is not said, comes when the round is done.
    """
    after = time.start
    for text in plan.course.shot(time.number).on_screen:
        one = wanted(plan, time, "on screen", text, after, "the shot", near=False)
        place = place_of(one.spoken, time.say)
        one = replace(one, names=frozenset(_FACT.findall(text)), own=True)
        if counts_what_is_done(plan, time, one.names):  # not before its round, which no words may tell of by then
            one = when_done(time, one)
        elif place is not None:
            at = time.at_word(place)
            one = replace(one, start=at, last=at + LATER, belongs="the words that it shares with what is said")
        after = max(after, one.start)
        yield one


def _own(plan: Plan, time: ShotTime, asked: CueAsked, instead: Sequence[Wanted], problems: list[Problem]) -> Wanted:
    one = wanted(plan, time, "own text", asked.show, time.start, "the shot", near=False)
    at, belongs, near = _when(plan, time, asked, one.spoken, instead, problems)
    stays = round((asked.stays or 0) * 60_000)
    if asked.stays is not None and stays < one.least:
        what = f"{asked.stays * 60:g} s are too short for this text: it takes {one.least / 1000:g} s to read."
        problems.append(warning(asked.mark("stays"), "cue-short", what))
    return replace(
        one,
        start=min(at, max(time.start, time.end - one.least)),
        last=at + LATER if near else time.end,
        stays=max(stays, one.least),
        names=frozenset(_FACT.findall(asked.show)),
        belongs=belongs,
        own=True,
    )


def _when(
    plan: Plan, time: ShotTime, asked: CueAsked, text: str, instead: Sequence[Wanted], problems: list[Problem]
) -> tuple[int, str, bool]:
    """Find when a text of the teacher's comes: (milliseconds, to what it belongs, whether it must be near that)."""
    at = asked.at.strip().strip("“”\"'")
    if at.casefold() in ("the start", "start"):
        return time.start, "the start of the shot", True
    if at.casefold() in ("the end", "end"):
        return time.end, "the end of the shot", True
    if re.match(r"\d", at):
        try:
            after = round(read_duration(at) * 60_000)
        except ValueError:
            after = -1
        if 0 <= after < time.length:
            return time.start + after, f"{at} into the shot", True
    if at:
        word = plan.worked.word
        place = phrase_at(fill(at, word) if "{{" not in at else at, plain(time.say))
        if place is not None:
            return time.at_word(place), f"the words “{at}”", True
        what = f"“{at}” is not said in this shot, and is no time within its {time.length / 1000:g} s."
        hint = "Give words as they are said, “the start”, “the end”, or a time such as 12 s."
        problems.append(warning(asked.mark("at"), "cue-at", what, hint))
        return time.start, "the shot", False
    if instead:
        return instead[0].start, instead[0].belongs, False
    place = place_of(text, time.say)
    if place is not None:
        return time.at_word(place), "the words that it shares with what is said", True
    return time.start, "the shot", False
