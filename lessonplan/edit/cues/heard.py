"""Texts over an episode as they lie in its video, where the course keeps captions of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.cues.onscreen import Cue
from lessonplan.edit.cuts import saved_before
from lessonplan.edit.kept import second_of, spans_of
from lessonplan.edit.video import Moment, in_video, made_cuts
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class HeardCue:
    """A text in the video: what is laid, and where (`Moment`), in seconds of the video that the captions are of.

    ``start`` and ``end`` are milliseconds after the cuts that are made, never two at once.
    """

    cue: Cue
    moment: Moment
    start: int
    end: int


@lru_cache(maxsize=16)
def heard_cues(plan: Plan, episode: int) -> tuple[tuple[HeardCue, ...], tuple[Cue, ...]] | None:
    """Give the texts of an episode in order of its video, and those whose segment is not found there.

    None where no captions of use are kept. A text stays as long as in the timeline; one that would come while another
    is still to be read comes when that is gone.
    """
    if not spans_of(plan, episode):
        return None
    made, until = made_cuts(plan, episode), 0
    placed = [(cue, _moment(plan, cue)) for cue in episode_cues(plan, episode).laid.cues]
    found = list[HeardCue]()
    for cue, moment in sorted(((c, m) for c, m in placed if m), key=lambda one: one[1].second):
        start = max(until, round(1000 * (moment.second - saved_before(moment.second, made))))
        until = start + cue.end - cue.start
        found.append(HeardCue(cue, moment, start, until))
    return tuple(found), tuple(cue for cue, moment in placed if moment is None)


def laid_cues(plan: Plan, episode: int) -> tuple[tuple[int, int, str], ...]:
    """Give the texts over an episode for its files: from, to (milliseconds) and text, in the video if it is known."""
    heard = heard_cues(plan, episode)
    if heard is None:
        return tuple((one.start, one.end, one.text) for one in episode_cues(plan, episode).laid.cues)
    return tuple((one.start, one.end, one.cue.text) for one in heard[0])


def _moment(plan: Plan, cue: Cue) -> Moment | None:
    """Give where a text comes: a correction at its own second, where that is known, others by the words around."""
    key = cue.wanted.key
    second = second_of(plan, plan.course.errata.errata[key]) if key >= 0 else None
    if second:
        return Moment(second[1], second[1], second[1])
    return in_video(plan, cue.wanted.shot, cue.start)
