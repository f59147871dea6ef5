"""The cut of an episode in whole frames: a clip for each take to use, gaps else, and marks for what is laid over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonplan.course.cells import named_in
from lessonplan.course.model.episodes import Episode
from lessonplan.course.values.rates import Rate
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.documents.advice import CUT_AWAY, cut_aways
from lessonplan.documents.editorerrata import to_pick_up
from lessonplan.documents.filmed import filmed_shots
from lessonplan.documents.overlaid import besides_of, once_made
from lessonplan.documents.shots import all_shots
from lessonplan.edit.chapters import cut_chapters, on_one_clock
from lessonplan.edit.cues.episode import episode_cues, returning
from lessonplan.edit.spoken import plain
from lessonplan.edit.timing import ShotTime, nearest_frame, shot_times, take_frame, times_by_shot
from lessonplan.edit.video import cuts_left
from lessonplan.planning.worked import Plan
from lessonplan.shoot.takes.log import Take


@dataclass(frozen=True, slots=True)
class Clip:
    """A shot in the cut: from frame ``start``, so many ``frames`` long.

    ``media`` names the clip on its card, the first of several, empty where nothing is filmed. ``source`` is the frame
    of the camera's clock at which it is cut in, ``media_start`` the one at which its media begin, ``media_frames`` how
    long they are, where that is known; ``counted`` tells that the camera's clock is not known, so that frames count
    from the media's start.
    """

    number: ShotNumber
    title: str
    start: int
    frames: int
    media: str = ""
    source: int = 0
    media_start: int = 0
    media_frames: int = 0
    counted: bool = False
    take: Take | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark in the cut: its kind (chapter, cut-away, may go, pick-up, or a cue's), text, first frame and length."""

    kind: str
    text: str
    start: int
    frames: int


@dataclass(frozen=True, slots=True)
class TimelineView:
    """The cut of an episode: clips one after the other, and marks in order of time."""

    title: str
    rate: Rate
    clips: tuple[Clip, ...]
    marks: tuple[Mark, ...]


def timeline_view(plan: Plan, episode: Episode) -> TimelineView:
    """Lay out the cut of an episode in story order; shots that last no frame are left out."""
    rate = plan.course.course.frame_rate
    clips = (_clip(plan, time, rate) for time in shot_times(plan, episode.episode))
    marks = (
        Mark(kind, text, start, max(1, nearest_frame(end, rate) - start))
        for kind, text, at, end in _marks(plan, episode.episode)
        for start in (nearest_frame(at, rate),)
    )
    return TimelineView(
        title=f"{plan.course.course.title}: {episode.title}",
        rate=rate,
        clips=tuple(clip for clip in clips if clip.frames),
        marks=tuple(sorted(marks, key=lambda one: one.start)),
    )


def _clip(plan: Plan, time: ShotTime, rate: Rate) -> Clip:
    """Cut a shot at frames; starts are rounded, not lengths, so that nothing drifts."""
    shot, start = all_shots(plan)[time.number], nearest_frame(time.start, rate)
    title, frames = plain(shot.heading), nearest_frame(time.end, rate) - start
    if time.take is None:
        return Clip(time.number, title, start, frames)
    first, opening = take_frame(plan, time.take), nearest_frame(time.opening, rate)
    return Clip(
        number=time.number,
        title=title,
        start=start,
        frames=frames,
        media=media_name(time.take, shot.slate),
        source=(first or 0) + opening,
        media_start=first or 0,
        media_frames=nearest_frame(1000 * (time.take.seconds or 0), rate),
        counted=first is None,
        take=time.take,
    )


def media_name(take: Take, slate: int) -> str:
    """Name the media of a take: its clip, else what was said on the slate."""
    return next(iter(named_in(take.clip)), "") or (
        f"slate {slate} take {take.take}" if slate else f"shot {take.shot} take {take.take}"
    )


def _marks(plan: Plan, episode: int) -> Iterator[tuple[str, str, int, int]]:
    """Give what is marked: (kind, text, from, to), in milliseconds of the episode."""
    times = times_by_shot(plan, episode)
    for chapter in cut_chapters(plan, episode):
        yield "chapter", chapter.title, chapter.start, chapter.start
    for cue in episode_cues(plan, episode).laid.cues:
        besides = besides_of(plan, cue.wanted.key)
        yield cue.wanted.kind, f"{cue.text} ({besides})" if besides else cue.text, cue.start, cue.end
    for cue, cut in returning(plan, episode):
        yield cue.wanted.kind, f"{cue.text} ({once_made(plan, episode, cut)})", cue.start, cue.end
    for number, text in to_pick_up(plan, episode):
        yield "pick-up", text, times[number].start, times[number].end
    filmed = filmed_shots(plan)
    for time in shot_times(plan, episode):
        for after, text in cut_aways(plan, plan.worked.clocks[time.number], filmed, time.drawn):
            at = time.at_planned(after)
            said = f"There {text}" if text.startswith("are") else text
            yield "cut-away", said, at, min(time.end, at + CUT_AWAY * 1000)
    for cut in cuts_left(plan, episode) if on_one_clock(plan, episode) else ():  # else its times are others
        yield "may go", cut.sentence, round(cut.start * 1000), round(cut.end * 1000)
