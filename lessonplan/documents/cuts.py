"""What captions of a video tell its editor: what may go, where chapters start before and after, what proofing found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.publishing import Erratum
from lessonplan.documents.places import second_of
from lessonplan.documents.proofing import proof_of
from lessonplan.documents.wording import count_of, listing, screen_time
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.chapters import chapters_of, on_one_clock
from lessonplan.edit.cues.episode import is_laid
from lessonplan.edit.cuts import Cut, Mark, after_cuts, cut_list, marks
from lessonplan.edit.kept import aligned_of, captions_of, spans_of
from lessonplan.edit.timing import shot_times
from lessonplan.planning.worked import Plan

NEARBY = 3
"""So many seconds from a finding an erratum tells of the same."""
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
class FoundRow:
    """A finding that is open: its second in the video, its kind, what was said, what holds; ``then``: what it comes to.

    That is a cut that takes it out, an erratum that tells of it, or why there is no cut.
    """

    at: str
    kind: str
    said: str
    right: str
    then: str


@dataclass(frozen=True, slots=True)
class CutsView:
    """What stands on the editor's sheet about the captions of its video.

    ``clock`` says whether the cuts are marked in the timeline, and if not, why; ``remarks`` are what is odd,
    ``copied`` the chapters to copy once all cuts are made.
    """

    number: int
    file: str
    about: str
    rows: tuple[CutRow, ...]
    chapters: tuple[ChapterRow, ...]
    copied: tuple[str, ...]
    found: tuple[FoundRow, ...]
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
        rows=tuple(_row(plan, episode.episode, one) for one in cuts),
        chapters=_chapters(plan, episode, cuts),
        copied=_copied(plan, episode.episode, cuts),
        found=tuple(_found(plan, episode.episode, cuts)),
        clock=_clock(plan, episode.episode, end) if cuts else "",
        remarks=tuple(f"{one.message} {one.hint}".strip() for one in problems),
    )


@lru_cache(maxsize=16)
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


def cut_at(cuts: Sequence[Cut], second: float) -> Cut | None:
    """Give the cut that takes out what is heard at a second of the video, none where it is only sped up."""
    return next((one for one in cuts if not one.speed and one.start - 1 < second < one.end), None)


def cut_out(plan: Plan, erratum: Erratum) -> str:
    """Say which cut takes an erratum out of its video; nothing where none does, or its second is not known."""
    episode, second = second_of(plan, erratum) or (0, 0)
    one = cut_at(cuts_of(plan, episode), second)
    return f"the cut at {_at(one.start)} in the video takes it out: with that made, lay nothing over" if one else ""


def _at(seconds: float) -> str:
    return screen_time(seconds / 60)


def _errata_at(plan: Plan, episode: int) -> Iterator[tuple[int, Erratum]]:
    """Give the errata whose second in a video is known, with it."""
    for one in plan.course.errata.errata:
        known, second = second_of(plan, one) or (0, 0)
        if known == episode:
            yield second, one


def _copied(plan: Plan, episode: int, cuts: Sequence[Cut]) -> tuple[str, ...]:
    """Give the chapters to copy with all cuts made; none where their starts are not found in the video."""
    starts = chapters_of(plan, episode) if cuts and spans_of(plan, episode) else ()
    return tuple(f"{_at(after_cuts(one.start / 1000, cuts))} {one.title}" for one in starts)


def _found(plan: Plan, episode: int, cuts: Sequence[Cut]) -> Iterator[FoundRow]:
    """Give the findings of proofing on which nothing is decided, and what becomes of each."""
    proof = proof_of(plan, next(kept for kept in plan.captions if kept.episode == episode))
    for _, one in proof.open:
        cut = cut_at(cuts, one.start)
        told = (erratum for at, erratum in _errata_at(plan, episode) if abs(at - one.start) < NEARBY)
        then = [f"erratum: {erratum.remedy}, {erratum.state}" for erratum in told]
        then += [f"cut at {_at(cut.start)}"] if cut else []
        if one.kind == "said twice" and not cut:
            then.append("no cut: the second time has other words")
        yield FoundRow(_at(int(one.start)), one.kind, one.said or "not heard", one.right, "; ".join(then))


def _row(plan: Plan, episode: int, one: Cut) -> CutRow:
    gone = [
        _at(second)
        for second, erratum in _errata_at(plan, episode)
        if is_laid(erratum.remedy, erratum.state) and cut_at([one], second)
    ]
    then = f" It takes out the erratum at {listing(gone)}: then lay nothing over." if gone else ""
    return CutRow(
        start=_at(one.start),
        end=_at(one.end),
        kind=KINDS[one.kind],
        sentence=one.sentence + then,
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
            start=_at(span.start),
            after=_at(after_cuts(span.start, cuts)),
            sure=f"{span.confidence:.0%}" if span.sure else f"unsure, {span.confidence:.0%}",
            words=", ".join(span.words),
        )
        for span in spans_of(plan, episode.episode)
        if listed[span.number]
    )
