"""An episode's video as its captions tell it: where in it comes what is planned, and where that is after the cuts.

There are three clocks. The *timeline* counts what is planned, or the takes to use; the *video* is what the kept
captions are of; *after the cuts* is that video once what may go is out of it. From the first to the second lead the
words that script and captions have in common (`align.words`): at such a word the time is its own, between two of them
it is drawn in proportion, and can be no earlier than the one and no later than the other. From the second to the third
leads one subtraction (`once_cut`), in whole seconds, so that times on paper differ by what their cuts add up to.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.names.slates import named_shots
from lessonplan.course.problems import Problem, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import clock_of, listing, nearest_second
from lessonplan.edit.align.segments import NEAR, Span
from lessonplan.edit.align.terms import terms
from lessonplan.edit.align.words import pairs
from lessonplan.edit.captions.rolling import Word, said_once
from lessonplan.edit.cuts import Cut, cut_at, cut_list, saved_before, shown_slowly
from lessonplan.edit.kept import captions_of, second_of, spans_of
from lessonplan.edit.spoken import words_of
from lessonplan.edit.timing import ShotTime, shot_times, times_by_shot
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered_each

BESIDE = 3.0
"""Seconds from a word that is heard within which a time is taken as heard too (a guess)."""


@dataclass(frozen=True, slots=True)
class Moment:
    """Where something comes in a video: the likely second, and the earliest and latest that it can be."""

    second: float
    early: float
    late: float

    @property
    def sure(self) -> bool:
        """Whether it is heard there, or so near to words that are that nobody searches for it."""
        return self.late - self.early <= NEAR or min(self.second - self.early, self.late - self.second) <= BESIDE


@dataclass(frozen=True, slots=True)
class Stretch:
    """A segment in the video: marks (milliseconds of the timeline, seconds) to draw times from, and those heard."""

    marks: tuple[tuple[int, float], ...]
    heard: tuple[tuple[int, float], ...]

    def at(self, planned: int) -> Moment:
        """Give where a time of the timeline comes in the video."""
        (low, first), (high, last) = _around(self.marks, planned)
        part = (planned - low) / (high - low) if high > low else 0.0
        (_, early), (_, late) = _around(self.heard, planned)
        return Moment(min(max(first + part * (last - first), early), late), early, late)

    def planned(self, second: float) -> int:
        """Give the time of the timeline that comes at a second of the video: the other way round than `at`."""
        (first, low), (last, high) = _around([(at, planned) for planned, at in self.marks], second)
        return round(low + (second - first) / (last - first) * (high - low)) if last > first else round(low)


def _around(marks: Sequence[tuple[float, float]], time: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Give the marks at both sides of a time; twice the one that it is."""
    place = bisect_right(marks, time, key=lambda one: one[0])
    before = marks[max(0, place - 1)]
    return before, before if before[0] == time else marks[min(place, len(marks) - 1)]


@remembered_each(2)
def stretches(plan: Plan, episode: int) -> Mapping[str, Stretch]:
    """Give each segment of an episode that is found in its captions, by number; none where none are kept."""
    captions, found = captions_of(plan, episode), spans_of(plan, episode)
    if captions is None or not found:
        return {}
    words = [word for one in said_once(captions.cues) for word in one.words]
    times = {key: tuple(group) for key, group in groupby(shot_times(plan, episode), lambda one: one.number.segment)}
    return {span.number: _stretch(times[span.number], span, words) for span in found if span.number in times}


def in_video(plan: Plan, number: ShotNumber, planned: int) -> Moment | None:
    """Give where a time of the timeline (in milliseconds) that lies in a shot comes in the video; None if unknown."""
    found = stretches(plan, number.episode).get(number.segment)
    return found.at(planned) if found else None


def in_timeline(plan: Plan, segment: str, second: float) -> int | None:
    """Give the time of the timeline (in milliseconds) that comes at a second of a segment's video; None if unknown."""
    found = stretches(plan, int(segment.partition(".")[0])).get(segment)
    return found.planned(second) if found else None


def shot_at(plan: Plan, episode: int, second: float) -> ShotNumber | None:
    """Give the shot that runs in the video at a second: the last to begin by then; None where none is found."""
    starts = [(in_video(plan, time.number, time.start), time.number) for time in shot_times(plan, episode)]
    begun = [(moment.second, place, number) for place, (moment, number) in enumerate(starts) if moment]
    return max((one for one in begun if one[0] <= second), default=(0, 0, None))[2]


def shots_meant(plan: Plan, erratum: Erratum) -> tuple[ShotNumber, ...]:
    """Give the shots that an erratum means: those that it names, else the one that runs at its time in the video."""
    named = tuple(one.number for one in named_shots(plan.course, erratum.where) if one.number)
    episode, second = second_of(plan, erratum) or (0, 0)
    there = shot_at(plan, episode, second) if episode and not named else None
    return named or ((there,) if there else ())


def with_shots_named(plan: Plan) -> tuple[Plan, tuple[Problem, ...]]:
    """Give a plan whose errata name the shots that they mean, and what to say of pick-up shots that none can tell."""
    errata, told = list[Erratum](), list[Problem]()
    for one in plan.course.errata.errata:
        meant = () if named_shots(plan.course, one.where) else shots_meant(plan, one)
        errata.append(one.model_copy(update={"where": f"{one.where}, shot {meant[0]}"}) if meant else one)
        if one.remedy == "pick-up shot" and one.state != "mended" and not shots_meant(plan, one):
            what = f"“{one.where}” does not say which shot is to be picked up."
            hint = "Write its number or slate there, such as “shot 1.2.1”."
            told.append(warning(one.mark("where"), "no-shot", what, hint))
    log = plan.course.errata.model_copy(update={"errata": tuple(errata)})
    course = plan.course.model_copy(update={"errata": log})
    return replace(plan, worked=replace(plan.worked, course=course)), tuple(told)


def _stretch(times: Sequence[ShotTime], span: Span, words: Sequence[Word]) -> Stretch:
    planned = [
        (stem, time.at_word(place))
        for time in times
        for place, word in enumerate(words_of(time.say))
        for stem in terms(word)
    ]
    inside = [word for word in words if span.start <= word.start / 1000 < span.end]
    spoken = [(stem, word.start / 1000) for word in inside for stem in terms(word.text)]
    found = pairs([stem for stem, _ in planned], [stem for stem, _ in spoken])
    heard = {planned[one][1]: spoken[two][1] for one, two in reversed(found)}
    # An unsure beginning is no word that is heard: a time beside it is not sure either.
    ends = {times[0].start - (0 if span.sure else 1): span.start, times[-1].end: span.end}
    marks = {**dict(_starts(times, sorted(heard.items()), span.start)), **heard, **ends}
    return Stretch(tuple(sorted(marks.items())), tuple(sorted({**heard, **ends}.items())))


def _starts(times: Sequence[ShotTime], heard: Sequence[tuple[int, float]], start: float) -> Iterator[tuple[int, float]]:
    """Give where each shot but the first begins: as long before its first word that is heard as is planned."""
    for time in times[1:]:
        first = next((one for one in heard if time.start < one[0] < time.end), None)
        if first:
            before = max((second for planned, second in heard if planned < time.start), default=start)
            yield time.start, max(before, first[1] - (first[0] - time.start) / 1000)


@remembered_each(2)
def _found(plan: Plan, episode: int) -> tuple[tuple[Cut, str], ...]:
    """Find what may go from the video of an episode, each with why it is left as it is, if it is to be."""
    captions = captions_of(plan, episode)
    if captions is None:
        return ()
    tools = {tool for one in plan.course.shots() for tool in one.shot.tools}
    cuts = cut_list(said_once(captions.cues), sorted(tools))
    return tuple((cut, _on_purpose(plan, episode, cut) if cut.speed else "") for cut in cuts)


def _on_purpose(plan: Plan, episode: int, cut: Cut) -> str:
    """Say why a stretch without words runs at its own speed: a shot in it is planned so. Nothing where none is."""
    for time in shot_times(plan, episode):
        why = shown_slowly(plan, time.number)
        first, last = (in_video(plan, time.number, at) if why else None for at in (time.start, time.end))
        if first and last and min(last.second, cut.end) - max(first.second, cut.start) > BESIDE:
            return why
    return ""


def cuts_of(plan: Plan, episode: int) -> tuple[Cut, ...]:
    """Give what may go from the video of an episode, by the captions that the course keeps of it, if any.

    What is slow on purpose may not, unless the episode names it as made.
    """
    return tuple(cut for cut, why in _found(plan, episode) if not why or clock_of(cut.start) in _asked(plan, episode))


def left_slow(plan: Plan, episode: int) -> tuple[tuple[Cut, str], ...]:
    """Give the stretches without words that are not to be sped up, each with why."""
    return tuple((cut, why) for cut, why in _found(plan, episode) if why and cut not in cuts_of(plan, episode))


def _asked(plan: Plan, episode: int) -> tuple[str, ...]:
    return next((one.cuts_made for one in plan.course.episodes if one.episode == episode), ())


def made_cuts(plan: Plan, episode: int) -> tuple[Cut, ...]:
    """Give those of the cuts that are made, as the episode says by the times at which they begin."""
    asked = _asked(plan, episode)
    if not asked:
        return ()
    cuts = cuts_of(plan, episode)
    return cuts if asked == ("all",) else tuple(one for one in cuts if clock_of(one.start) in asked)


def cuts_left(plan: Plan, episode: int) -> tuple[Cut, ...]:
    """Give the cuts of an episode that are not made."""
    made = made_cuts(plan, episode)
    return tuple(one for one in cuts_of(plan, episode) if one not in made)


def once_cut(second: float, cuts: Sequence[Cut]) -> int:
    """Give where a second of the video lies once cuts are made: the whole second less what they save up to there."""
    return nearest_second(second) - round(saved_before(second, cuts))


def milliseconds(second: float, cuts: Sequence[Cut]) -> int:
    """Give where a second of the video lies for files, to the millisecond; its whole second is that of `once_cut`."""
    return round(1000 * second) - 1000 * round(saved_before(second, cuts))


def is_cut_out(plan: Plan, erratum: Erratum) -> bool:
    """Whether a cut that is made has taken an erratum out of its video."""
    episode, second = second_of(plan, erratum) or (0, 0.0)
    return episode > 0 and cut_at(made_cuts(plan, episode), second) is not None


def erratum_in(plan: Plan, episode: int, erratum: Erratum) -> tuple[Moment, Moment] | None:
    """Give from where to where an erratum is in the video of an episode, as the captions count it.

    It is its second, where that is known, else the first shot of the episode that it names; None where neither is.
    """
    known, second = second_of(plan, erratum) or (0, 0)
    if known:
        there = Moment(second, second, second)
        return (there, there) if known == episode and spans_of(plan, episode) else None
    times = times_by_shot(plan, episode)
    named = (times[one.number] for one in named_shots(plan.course, erratum.where) if one.number and one.number in times)
    time = next(named, None)
    if time is None:
        return None
    first, last = (in_video(plan, time.number, at) for at in (time.start, time.end))
    return (first, last) if first and last else None


def for_viewers(plan: Plan, episode: int, second: float) -> int:
    """Give where viewers meet a second of the video: after the cuts that are made."""
    return once_cut(second, made_cuts(plan, episode))


def cut_remarks(plan: Plan) -> Iterator[Problem]:
    """Tell of cuts that are said to be made, and are not among those that the captions show."""
    for episode in plan.course.episodes:
        starts = [clock_of(one.start) for one, _ in _found(plan, episode.episode)]
        for place, time in enumerate(episode.cuts_made):
            if time not in starts and not (time == "all" and starts):
                what = f"No cut of episode {episode.episode} begins at {time}."
                hint = f"They begin at {listing(starts)}."
                if not starts:
                    what, hint = f"Episode {episode.episode} has no cuts.", "They come from the captions of its video."
                yield warning(episode.mark("cuts_made", place), "no-cut", what, hint)
