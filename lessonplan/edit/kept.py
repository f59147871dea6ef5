"""What was said in the finished videos, as far as the course keeps captions of them, and where it is said there."""

from __future__ import annotations

from collections.abc import Mapping

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.names.errataplaces import timed
from lessonplan.course.names.slates import named_shots
from lessonplan.course.words import nearest_second
from lessonplan.edit.align.segments import Aligned, Span, align_episode
from lessonplan.edit.captions.reading import Captions, read_captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.numbers import Token
from lessonplan.edit.speech.units import normal, words_of
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered, remembered_each


def captions_of(plan: Plan, episode: int) -> Captions | None:
    """Read the captions that a course keeps of an episode; None where there are none. Remembered for each plan."""
    return _read(plan).get(episode)


@remembered(2)
def _read(plan: Plan) -> Mapping[int, Captions]:
    return {kept.episode: read_captions(kept.data, kept.name) for kept in reversed(plan.captions)}


@remembered_each(2)
def aligned_of(plan: Plan, episode: int) -> Aligned | None:
    """Find the segments of an episode in the captions that a course keeps of it; None where it keeps none of use."""
    captions = captions_of(plan, episode)
    if captions is None or not captions.cues:
        return None
    planned = next(one for one in plan.course.episodes if one.episode == episode)
    return align_episode(plan.worked, planned, captions)


def spans_of(plan: Plan, episode: int) -> tuple[Span, ...]:
    """Give the segments found in the captions of an episode, in the order of the video.

    None are given where the course keeps no captions of it, or where these have little in common with the plan.
    """
    aligned = aligned_of(plan, episode)
    if aligned is None or any(problem.code == "little-match" for problem in aligned.problems):
        return ()
    return aligned.spans


def heard_at(plan: Plan, segment: str, said: str) -> float | None:
    """Give the second of the video at which a segment has the numbers of a text, with their units; None unless once."""
    wanted = {(one.unit, one.value) for one in quantities_in(normal(words_of(said))) if one.unit}
    heard = [at for unit, value, at in _numbers_of(plan, segment) if (unit, value) in wanted]
    return heard[0] if len(heard) == 1 else None


def second_of(plan: Plan, erratum: Erratum) -> tuple[int, int] | None:
    """Give the episode and the second at which an erratum is in a video: the time that it names, or where it is heard.

    A wrong number is heard where the captions have it once in the segment of a shot that is named.
    """
    if timed(erratum.where) or erratum.kind != "number":
        return timed(erratum.where)
    segments = (one.number.rpartition(".")[0] for one in named_shots(plan.course, erratum.where) if one.number)
    heard = ((int(one.partition(".")[0]), heard_at(plan, one, erratum.said)) for one in segments)
    return next(((episode, nearest_second(second)) for episode, second in heard if second is not None), None)


@remembered_each(2)
def _numbers_of(plan: Plan, segment: str) -> tuple[tuple[str, float, float], ...]:
    """Give the numbers heard in a segment: unit, value and second."""
    episode = int(segment.partition(".")[0])
    captions = captions_of(plan, episode)
    span = next((one for one in spans_of(plan, episode) if one.number == segment), None)
    if captions is None or span is None:
        return ()
    words = (word for one in said_once(captions.cues) for word in one.words)
    tokens = normal([Token(w.text.lower(), w.start / 1000) for w in words if span.start <= w.start / 1000 < span.end])
    return tuple((one.unit, one.value, tokens[one.first].start) for one in quantities_in(tokens))
