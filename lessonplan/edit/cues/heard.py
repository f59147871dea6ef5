"""Texts over an episode as they lie in its video, where the course keeps captions of it.

A text keeps out of what is to be cut: it comes in the nearest place that stays, of its shot if there is room, so that
it is seen whether or not the cut is made. After cuts its time is exact, as the cuts are in their table; what papers say
of it are whole seconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from lessonplan.edit.cues.episode import cues_once_cut, episode_cues, returning
from lessonplan.edit.cues.onscreen import Cue
from lessonplan.edit.cuts import Cut, saved_before
from lessonplan.edit.kept import second_of, spans_of
from lessonplan.edit.timing import times_by_shot
from lessonplan.edit.video import Moment, cuts_of, in_video, made_cuts
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered_each

BEYOND = 1.0
"""Seconds by which a text that is moved may run on over the next shot (a guess)."""


@dataclass(frozen=True, slots=True)
class HeardCue:
    """A text in the video: what is laid, and where it belongs (`Moment`), in seconds of the captions' video.

    ``at`` is the second of that video from which it is seen, another than its moment's where ``out_of``, a cut, takes
    that out. ``start`` and ``end`` are milliseconds after the cuts that are made, never two at once.
    """

    cue: Cue
    moment: Moment
    at: float
    start: int
    end: int
    out_of: Cut | None = None


@remembered_each(2)
def heard_cues(plan: Plan, episode: int) -> tuple[tuple[HeardCue, ...], tuple[Cue, ...]] | None:
    """Give the texts of an episode in order of its video, and those whose segment is not found there.

    None where no captions of use are kept. A text stays as long as in the timeline; one that would come while another
    is still to be read comes when that is gone.
    """
    if not spans_of(plan, episode):
        return None
    cues = episode_cues(plan, episode).laid.cues
    found = tuple(_placed(plan, episode, cues, made_cuts(plan, episode)))
    seen = {id(one.cue) for one in found}
    return found, tuple(cue for cue in cues if id(cue) not in seen)


def heard_returning(plan: Plan, episode: int) -> tuple[tuple[HeardCue, Cut], ...]:
    """Give the texts that come in once a cut takes out a correction, each with that cut, as they lie in the video."""
    cuts = {id(cue): cut for cue, cut in returning(plan, episode)}
    found = _placed(plan, episode, [cue for cue, _ in returning(plan, episode)], made_cuts(plan, episode))
    return tuple((one, cuts[id(one.cue)]) for one in found)


@remembered_each(2)
def heard_once_cut(plan: Plan, episode: int) -> tuple[HeardCue, ...]:
    """Give the texts as they lie in the video once all its cuts are made; none where no cut is left to be made."""
    cuts = cuts_of(plan, episode)
    if cuts == made_cuts(plan, episode) or not spans_of(plan, episode):
        return ()
    return tuple(_placed(plan, episode, cues_once_cut(plan, episode), cuts))


def laid_cues(plan: Plan, episode: int) -> tuple[tuple[int, int, str], ...]:
    """Give the texts over an episode for its files: from, to (milliseconds) and text, in the video if it is known."""
    heard = heard_cues(plan, episode)
    if heard is None:
        return tuple((one.start, one.end, one.text) for one in episode_cues(plan, episode).laid.cues)
    return tuple((one.start, one.end, one.cue.text) for one in heard[0])


def _placed(plan: Plan, episode: int, cues: Iterable[Cue], made: Sequence[Cut]) -> Iterator[HeardCue]:
    """Lay texts one after the other in the video of an episode in which some cuts are ``made``."""
    until, free = 0, 0.0
    placed = [(moment, cue) for cue in cues if (moment := _moment(plan, cue))]
    for moment, cue in sorted(placed, key=lambda one: one[0].second):
        length = (cue.end - cue.start) / 1000
        corrected = cue.wanted.key >= 0  # what a correction is laid over goes with it
        at, out_of = (moment.second, None) if corrected else _kept(plan, cue, moment.second, free)
        at = max(free, at)
        start = max(until, round(1000 * (at - saved_before(at, made))))
        free, until = at + length, start + cue.end - cue.start
        yield HeardCue(cue, moment, at, start, until, out_of)


def _kept(plan: Plan, cue: Cue, second: float, free: float) -> tuple[float, Cut | None]:
    """Give the nearest second at which a text stays whatever is cut, and the cut that takes its own place out."""
    number, length = cue.wanted.shot, (cue.end - cue.start) / 1000
    cuts = [one for one in cuts_of(plan, number.episode) if not one.speed]
    there = next((one for one in cuts if one.start <= second < one.end), None)
    over = there or _over(cuts, second, length)
    if over is None:
        return second, None
    time = times_by_shot(plan, number.episode)[number]
    ends = [one.second for one in (in_video(plan, number, time.start), in_video(plan, number, time.end)) if one]
    opens, closes = max(free, ends[0]), ends[-1] + BEYOND
    places = [at for at in (over.start - length, over.end) if opens <= at <= closes - length]
    fits = [at for at in places if not _over(cuts, at, length)]
    at = min(fits, key=lambda one: abs(one - second), default=over.end if there else second)
    return at, there


def _over(cuts: Sequence[Cut], start: float, length: float) -> Cut | None:
    """Give the first cut over which a text would run."""
    return next((one for one in cuts if one.start < start + length and start < one.end), None)


def _moment(plan: Plan, cue: Cue) -> Moment | None:
    """Give where a text comes: a correction at its own second, where that is known, others by the words around."""
    key = cue.wanted.key
    second = second_of(plan, plan.course.errata.errata[key]) if key >= 0 else None
    if second:
        return Moment(second[1], second[1], second[1])
    return in_video(plan, cue.wanted.shot, cue.start)
