"""The cut list of an episode, from the captions of its video, and where chapters start before and after the cuts."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.model.episodes import Episode
from lessonplan.documents.wording import count_of, screen_time
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.chapters import on_one_clock
from lessonplan.edit.cuts import Cut, Mark, after_cuts, cut_list, marks
from lessonplan.edit.kept import aligned_of, captions_of, spans_of
from lessonplan.edit.timing import shot_times
from lessonplan.planning.worked import Plan

KINDS = {
    "slow": "work without words",
    "said again": "said again",
    "correction": "correction",
    "search": "searching",
}
"""How the kinds of cuts are called on paper."""


@dataclass(frozen=True, slots=True)
class CutRow:
    """A cut on paper: from, to, kind, what to do, how much it saves; ``seconds``: start, end and what is saved."""

    start: str
    end: str
    kind: str
    sentence: str
    how: str
    saved: str
    seconds: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class ChapterRow:
    """A segment found in the captions: start now and with the cuts made, how sure, and the words that decided."""

    number: str
    title: str
    start: str
    after: str
    sure: str
    words: str


@dataclass(frozen=True, slots=True)
class CutsView:
    """What stands on the editor's sheet about the captions of its video.

    ``clock`` says whether the cuts are marked in the timeline, and if not, why; ``remarks`` are what is odd.
    """

    number: int
    file: str
    about: str
    rows: tuple[CutRow, ...]
    chapters: tuple[ChapterRow, ...]
    clock: str
    remarks: tuple[str, ...]


def cuts_view(plan: Plan, episode: Episode) -> CutsView | None:
    """Lay out the cut list of an episode; None where the course keeps no captions of it, or none that can be read."""
    captions, aligned = captions_of(plan, episode.episode), aligned_of(plan, episode.episode)
    if captions is None or aligned is None:
        return None
    cuts = cuts_of(plan, episode.episode)
    end = captions.cues[-1].end / 1000
    saved = screen_time((end - after_cuts(end, cuts)) / 60)
    problems = (*captions.problems, *(one for one in aligned.problems if one.code != "unsure-start"))
    return CutsView(
        number=episode.episode,
        file=captions.file,
        about=f"{count_of(len(cuts), 'cut')} would save {saved} of {screen_time(end / 60)}",
        rows=tuple(_row(one) for one in cuts),
        chapters=_chapters(plan, episode, cuts),
        clock=_clock(plan, episode.episode, end) if cuts else "",
        remarks=tuple(f"{one.message} {one.hint}".strip() for one in problems),
    )


def cuts_of(plan: Plan, episode: int) -> tuple[Cut, ...]:
    """Find what may go from the video of an episode, by the captions that the course keeps of it, if any."""
    captions = captions_of(plan, episode)
    tools = {tool for one in plan.course.shots() for tool in one.shot.tools}
    return cut_list(said_once(captions.cues), sorted(tools)) if captions else ()


def cut_marks(plan: Plan, episode: int) -> tuple[Mark, ...]:
    """Give the cuts as marks for the timeline of an episode; none where its times are not those of the video."""
    return marks(cuts_of(plan, episode)) if on_one_clock(plan, episode) else ()


def _clock(plan: Plan, episode: int, end: float) -> str:
    if on_one_clock(plan, episode):
        return "What may go is marked in the timeline, too."
    cut = screen_time(max((one.end for one in shot_times(plan, episode)), default=0) / 60_000)
    return (
        f"What may go is not marked in the timeline, for the two do not run alike: {cut} there, "
        f"{screen_time(end / 60)} here. Texts over the picture, corrections and draft captions run with the timeline."
    )


def cuts_table(view: CutsView) -> tuple[tuple[str, ...], ...]:
    """Give the cut list as rows for a spreadsheet, a heading first; times in seconds of the video."""
    head = ("start_s", "end_s", "kind", "saved_s", "how", "sentence")
    return (
        head,
        *(
            (*(f"{time:.1f}" for time in row.seconds[:2]), row.kind, f"{row.seconds[2]:.1f}", row.how, row.sentence)
            for row in view.rows
        ),
    )


def _row(one: Cut) -> CutRow:
    return CutRow(
        start=screen_time(one.start / 60),
        end=screen_time(one.end / 60),
        kind=KINDS[one.kind],
        sentence=one.sentence,
        how=f"{one.speed} times as fast" if one.speed else "cut",
        saved=f"{one.saved:.0f} s",
        seconds=(one.start, one.end, one.saved),
    )


def _chapters(plan: Plan, episode: Episode, cuts: tuple[Cut, ...]) -> tuple[ChapterRow, ...]:
    """Say where chapters start in the video; with little in common between captions and plan there are none."""
    listed = {f"{episode.episode}.{place}": one.chapter for place, one in enumerate(episode.segments, 1)}
    return tuple(
        ChapterRow(
            number=span.number,
            title=span.title,
            start=screen_time(span.start / 60),
            after=screen_time(after_cuts(span.start, cuts) / 60),
            sure=f"{span.confidence:.0%}" if span.sure else f"unsure, {span.confidence:.0%}",
            words=", ".join(span.words),
        )
        for span in spans_of(plan, episode.episode)
        if listed[span.number]
    )
