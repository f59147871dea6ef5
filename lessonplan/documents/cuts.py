"""The cut list of an episode, from the captions of its video, and where chapters start before and after the cuts."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.course.model import Episode
from lessonplan.documents.wording import count_of, screen_time
from lessonplan.edit.align.spans import Aligned, align_episode
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.cuts import Cut, after_cuts, cut_list
from lessonplan.edit.kept import captions_of
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

    ``lines`` are the chapters to copy into a description, as the video is now; ``remarks`` are what is odd.
    """

    number: int
    file: str
    about: str
    rows: tuple[CutRow, ...]
    chapters: tuple[ChapterRow, ...]
    lines: tuple[str, ...]
    remarks: tuple[str, ...]


def cuts_view(plan: Plan, episode: Episode) -> CutsView | None:
    """Lay out the cut list of an episode; None where the course keeps no captions of it, or none that can be read."""
    captions = captions_of(plan, episode.episode)
    if captions is None or not captions.cues:
        return None
    said = said_once(captions.cues)
    tools = {tool for one in plan.course.shots() for tool in one.shot.tools}
    cuts = cut_list(said, sorted(tools))
    aligned = align_episode(plan.worked, episode, captions)
    end = captions.cues[-1].end / 1000
    saved = screen_time((end - after_cuts(end, cuts)) / 60)
    chapters = _chapters(episode, aligned, cuts)
    return CutsView(
        number=episode.episode,
        file=captions.file,
        about=f"{count_of(len(cuts), 'cut')} would save {saved} of {screen_time(end / 60)}",
        rows=tuple(_row(one) for one in cuts),
        chapters=chapters,
        lines=tuple(f"{one.start if place else '0:00'} {one.title}" for place, one in enumerate(chapters)),
        remarks=_remarks(captions, aligned),
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


def _chapters(episode: Episode, aligned: Aligned, cuts: tuple[Cut, ...]) -> tuple[ChapterRow, ...]:
    """Propose where chapters start; with little in common between captions and plan there are none."""
    if any(problem.code == "little-match" for problem in aligned.problems):
        return ()
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
        for span in aligned.spans
        if listed[span.number]
    )


def _remarks(captions: Captions, aligned: Aligned) -> tuple[str, ...]:
    problems = (*captions.problems, *(one for one in aligned.problems if one.code != "unsure-start"))
    return tuple(f"{one.message} {one.hint}".strip() for one in problems)
