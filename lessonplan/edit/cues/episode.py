"""All texts over an episode: computed, asked for and corrections, laid so that they can be read one after the other."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.episodes import CueAsked
from lessonplan.course.names.errataplaces import timed
from lessonplan.course.names.slates import named_shots
from lessonplan.course.problems import Problem, Where, warning
from lessonplan.course.rules.cuework import COMPUTED, is_kind
from lessonplan.course.values.quantities import read_duration
from lessonplan.course.words import clock_of
from lessonplan.edit.chapters import on_one_clock
from lessonplan.edit.cues.computed import Seen, computed, counts_what_is_done, wanted, when_done
from lessonplan.edit.cues.onscreen import LATER, Cue, Laid, LeftOut, Wanted, lay
from lessonplan.edit.cuts import Cut, cut_at
from lessonplan.edit.kept import second_of, spans_of
from lessonplan.edit.spoken import phrase_at, place_of, plain, words_of
from lessonplan.edit.timing import ShotTime, shot_times
from lessonplan.edit.video import cuts_of, in_timeline, made_cuts
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered_each

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


LAID = "text over the picture"
"""The remedy of errata that is the editor's."""
SHARED = 0.6
"""Two texts with the same numbers say the same where so much of the shorter one stands in the other (a guess)."""
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True)
class EpisodeCues:
    """The texts of an episode as they are laid, and what is wrong with those that the teacher asks for."""

    laid: Laid
    problems: tuple[Problem, ...]


def episode_cues(plan: Plan, episode: int) -> EpisodeCues:
    """Find the texts over an episode and lay them; a text that another one says already is left out.

    They are those of the video as it is: what a cut that is made has taken out is not corrected.
    """
    return _laid(plan, episode, frozenset(_cut_out(plan, episode, made_cuts(plan, episode))))


@remembered_each(2)
def returning(plan: Plan, episode: int) -> tuple[tuple[Cue, Cut], ...]:
    """Give the texts that come in once a cut takes out a correction in their place, each with that cut."""
    cuts = _cut_out(plan, episode, cuts_of(plan, episode))
    cuts = {key: cut for key, cut in cuts.items() if key not in _cut_out(plan, episode, made_cuts(plan, episode))}
    if not cuts:
        return ()
    laid = episode_cues(plan, episode).laid.cues
    now = {(cue.wanted.shot, cue.text) for cue in laid}
    gone = {cue.wanted.shot: cuts[cue.wanted.key] for cue in laid if cue.wanted.key in cuts}
    return tuple(
        (cue, gone[cue.wanted.shot])
        for cue in cues_once_cut(plan, episode)
        if (cue.wanted.shot, cue.text) not in now and cue.wanted.shot in gone
    )


def cues_once_cut(plan: Plan, episode: int) -> tuple[Cue, ...]:
    """Give the texts over an episode as they are laid once all its cuts are made, on the clock of the timeline."""
    return _laid(plan, episode, frozenset(_cut_out(plan, episode, cuts_of(plan, episode)))).laid.cues


def _cut_out(plan: Plan, episode: int, cuts: Sequence[Cut]) -> Mapping[int, Cut]:
    """Give the errata that some cuts take out of an episode, by their place in the log, each with its cut."""
    seconds = {key: second_of(plan, one) or (0, 0) for key, one in enumerate(plan.course.errata.errata)}
    found = {key: cut_at(cuts, second) for key, (of, second) in seconds.items() if of == episode}
    return {key: cut for key, cut in found.items() if cut}


@remembered_each(2)
def _laid(plan: Plan, episode: int, cut_out: frozenset[int]) -> EpisodeCues:
    """Lay the texts over an episode without the corrections that are ``cut_out``, by their place in the log."""
    kinds, seen = plan.course.course.cues, Seen()
    all_of, left, problems = list[Wanted](), list[LeftOut](), list[Problem]()
    corrections = tuple(one for one in _corrections(plan, episode) if one.key not in cut_out)
    for time in shot_times(plan, episode):
        found = [
            one
            for one in computed(plan, time, seen)
            if kinds == ("all",) or any(is_kind(name, one.kind) for name in kinds)
        ]
        texts, gone, wrong = as_asked(plan, time, found)
        texts = [*(one for one in corrections if one.shot == time.number), *texts]
        kept, twice = _once(texts)
        all_of += kept
        left += [*gone, *twice]
        problems += wrong
    laid = lay(all_of)
    problems += _not_laid(plan, laid.left_out)
    left_out = sorted((*laid.left_out, *left), key=lambda one: one.wanted.start)
    return EpisodeCues(Laid(laid.cues, tuple(left_out)), tuple(problems))


def _once(texts: Sequence[Wanted]) -> tuple[list[Wanted], list[LeftOut]]:
    """Leave out of the texts of a shot those that one of higher rank says already."""
    kept, left = list[Wanted](), list[LeftOut]()
    for one in sorted(texts, key=lambda one: one.rank):
        other = next((other for other in kept if _says(other, one)), None)
        if other and one.kind not in ("correction", "own text"):
            left.append(LeftOut(one, f"“{other.texts[0]}” says it", said=True))
        else:
            kept.append(one)
    return kept, left


def _says(other: Wanted, one: Wanted) -> bool:
    """Whether a text says what another one says: the same facts, the same abbreviation, or nearly the same words.

    A correction has its facts where it lies: told elsewhere in the shot, they are told.
    """
    if one.kind == "sequence" or other.kind == "sequence":
        return False
    names = {name for name in one.names if not name.endswith(".title")}
    near = other.kind != "correction" or abs(one.start - other.start) <= LATER
    same = bool(names) and names <= other.names and other.own and near
    short = one.texts[0].partition(":")[0].casefold()
    explained = one.kind == "abbreviation" and other.texts[0].casefold().startswith(f"{short}:")
    return same or explained or alike(one.spoken, other.spoken)


def alike(one: str, other: str) -> bool:
    """Whether two texts say the same: all numbers of the one in the other, and most words of the shorter."""
    numbers, others = set(_NUMBER.findall(one)), set(_NUMBER.findall(other))
    few, many = sorted((set(words_of(one)), set(words_of(other))), key=len)
    return bool(few) and numbers == others and len(few & many) >= SHARED * len(few)


def is_laid(remedy: str, state: str) -> bool:
    """Whether an erratum is laid over the picture: also once an edition has it, and while no remedy is decided on."""
    return remedy == LAID or (remedy == "none yet" and state != "mended")


def _corrections(plan: Plan, episode: int) -> Iterator[Wanted]:
    """Give the errata that are laid over an episode: at their second, or at words that they share with what is said."""
    times: dict[str, ShotTime] = {one.number: one for one in shot_times(plan, episode)}
    for key, erratum in enumerate(plan.course.errata.errata):
        named = next((one.number for one in named_shots(plan.course, erratum.where) if one.number in times), None)
        moment, belongs = _moment(plan, episode, erratum.where)
        time = times[named] if named else next((one for one in times.values() if one.start <= moment < one.end), None)
        if time is None or not is_laid(erratum.remedy, erratum.state):
            continue
        one = wanted(plan, time, "correction", erratum.right, time.start, "the shot", near=False)
        one = replace(one, key=key, own=True)
        places = [place_of(text, time.say) for text in (one.spoken, erratum.said)] if named else []
        place = next((place for place in places if place is not None), None)
        if not named:
            at = min(moment, max(time.start, time.end - one.least))
            one = replace(one, start=at, last=at + LATER, belongs=belongs)
        elif place is not None:
            at = time.at_word(place)
            one = replace(one, start=at, last=at + LATER, belongs="the words that it corrects")
        yield one


def _moment(plan: Plan, episode: int, where: str) -> tuple[int, str]:
    """Give the millisecond of the cut at which viewers meet a time that a place names, and what it is; -1 for none.

    Where a video runs otherwise than the cut, it comes between the same words there as here.
    """
    number, second = timed(where) or (0, 0)
    if number != episode:
        return -1, ""
    spans, named = spans_of(plan, episode), f"{clock_of(second)}, which the erratum names"
    span = next((one for one in reversed(spans) if one.start <= second), None)
    if span is None or on_one_clock(plan, episode):
        return second * 1000, named
    inside = [one for one in shot_times(plan, episode) if one.number.segment == span.number]
    moment = in_timeline(plan, span.number, second)
    if not inside or moment is None:
        return -1, ""
    return min(moment, inside[-1].end - 1), f"about {named} in the video"


def _not_laid(plan: Plan, left: Sequence[LeftOut]) -> Iterator[Problem]:
    """Tell the teacher of her own texts for which there is no room."""
    for one in left:
        if one.wanted.own and one.wanted.kind != "correction":
            shot = plan.course.shot(one.wanted.shot)
            where = shot.mark("cues" if one.wanted.kind == "own text" else "on_screen")
            what = f"“{one.wanted.texts[0]}” is not laid over the picture: {one.why}."
            yield warning(where, "cue-room", what, "Make another text of this shot shorter, or leave one out.")
