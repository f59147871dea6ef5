"""What captions of a video tell its editor: what may go, where chapters start before and after, what proofing found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.words import capital, clock_of, count_of, listing, nearest_second
from lessonplan.documents.promises import missed_line
from lessonplan.documents.proofing import errata_near, proof_of
from lessonplan.edit.chapters import chapters_of, on_one_clock
from lessonplan.edit.cues.episode import is_laid
from lessonplan.edit.cues.heard import HeardCue, heard_cues
from lessonplan.edit.cues.onscreen import LATER
from lessonplan.edit.cuts import BREATH, Cut, cut_at, saved_before
from lessonplan.edit.kept import aligned_of, captions_of, second_of, spans_of
from lessonplan.edit.promises import promises_of
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.spoken import as_written, words_of
from lessonplan.edit.timing import shot_times
from lessonplan.edit.video import cuts_of, erratum_in, left_slow, made_cuts, once_cut, shot_at
from lessonplan.planning.worked import Plan

DECIDE = "to be decided"
"""What comes of a finding that no cut takes out and no erratum tells of."""
OTHER_TALK = "; nothing of its own is heard there for 20 s"
"""What is said of a start in a story: it may be found, and still be too early for a chapter."""
KINDS = {
    "slow": "work without words",
    "said again": "said again",
    "correction": "correction",
    "search": "searching",
}
"""How the kinds of cuts are called on paper."""


@dataclass(frozen=True, slots=True)
class CutRow:
    """A cut on paper: from, to, shot, kind, what to do, how much it saves; ``seconds``: start, end and what is saved.

    The whole seconds ``saved`` of all rows add up to what the sheet says is saved in all; ``then`` words how long
    it is then, to the tenth, as the end of a clause; empty where nothing is left of it.
    """

    shot: str
    start: str
    end: str
    kind: str
    sentence: str
    how: str
    saved: str
    seconds: tuple[float, float, float]
    then: str = ""


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
class TimeRow:
    """Something else that viewers are given with a time: what it is, its time now and with the cuts made."""

    what: str
    now: str
    after: str


@dataclass(frozen=True, slots=True)
class FoundRow:
    """A finding that is open: its second and shot, its kind, what was said, what holds; ``then``: what it comes to.

    That is a cut that takes it out, an erratum that tells of it, why there is no cut, or that it is to be decided, with
    the text that lies over the words already and says what holds.
    """

    at: str
    shot: str
    kind: str
    said: str
    right: str
    then: str


@dataclass(frozen=True, slots=True)
class CutsView:
    """What stands on the editor's sheet about the captions of its video.

    ``clock`` says whether the cuts are marked in the timeline, and if not, why; ``remarks`` are what is odd,
    ``copied`` the chapters to copy once all cuts are made, ``times`` what else has a time for viewers, ``key`` what to
    write once cuts are made.
    """

    number: int
    file: str
    about: str
    rows: tuple[CutRow, ...]
    chapters: tuple[ChapterRow, ...]
    times: tuple[TimeRow, ...]
    copied: tuple[str, ...]
    key: str
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
    problems = (*captions.problems, *(one for one in aligned.problems if one.code != "unsure-start"))
    return CutsView(
        number=episode.episode,
        file=captions.file,
        about=_about(cuts, made_cuts(plan, episode.episode), end),
        rows=tuple(_rows(plan, episode.episode, cuts)),
        chapters=_chapters(plan, episode, cuts),
        times=tuple(_times(plan, episode, cuts)) if cuts else (),
        copied=_copied(plan, episode, cuts),
        key=_key(episode, cuts),
        found=tuple(_found(plan, episode.episode)),
        clock=_clock(plan, episode.episode, end) if cuts else "",
        remarks=tuple(f"{one.message} {one.hint}".strip() for one in problems),
    )


def _about(cuts: Sequence[Cut], made: Sequence[Cut], end: float) -> str:
    """Say what cuts and speed save, and how many are made: ``6 cuts and 3 faster stretches would save 1:33 of ...``."""
    saved = clock_of(nearest_second(end) - once_cut(end, cuts))
    left = f": {clock_of(once_cut(end, cuts))} are left" if cuts else ""
    if made == cuts and made:
        return f"{_counted(cuts)}, all made, save {saved} of {clock_of(end)}{left}"
    so_far = f"; {len(made)} of them made" if made else ""
    return f"{_counted(cuts)} would save {saved} of {clock_of(end)}{left}{so_far}"


def _counted(cuts: Sequence[Cut]) -> str:
    """Count what goes and what only runs faster apart."""
    fast = sum(one.speed > 0 for one in cuts)
    parts = [count_of(len(cuts) - fast, "cut")] if fast < len(cuts) or not cuts else []
    return " and ".join([*parts, *([f"{fast} faster stretch{'es' * (fast > 1)}"] if fast else [])])


def _key(episode: Episode, cuts: Sequence[Cut]) -> str:
    """Say how the course learns which cuts are made; nothing where there are none, or it says so already."""
    if not cuts or episode.cuts_made:
        return ""
    file, first = episode.mark().file, clock_of(cuts[0].start)
    return (
        f"Once the cuts are made, write “cuts_made: all” into {file} (all: what is cut and what runs faster), or the "
        f"times at which those begin that you made (“cuts_made: {first}”): chapters, links, errata and handout then "
        "have the times after them, until the captions of the video so cut are kept in place of these. Times in "
        "errata.yaml count as these captions do, cuts or not."
    )


def _clock(plan: Plan, episode: int, end: float) -> str:
    if on_one_clock(plan, episode):
        return "What may go is marked in the timeline, too."
    cut = clock_of(max((one.end for one in shot_times(plan, episode)), default=0) / 1000)
    return (
        f"What may go is not marked in the timeline, for the two do not run alike: {cut} there, "
        f"{clock_of(end)} here. Draft captions run with the timeline, all other files with the video."
    )


def cuts_table(view: CutsView) -> tuple[tuple[str, ...], ...]:
    """Give the cut list as rows for a spreadsheet, a heading first; times in seconds of the video.

    What a cut saves stands there to the tenth, and as on the sheet: in whole seconds that add up.
    """
    rows = [("start_s", "end_s", "kind", "saved_s", "saved_on_sheet_s", "left_s", "how", "sentence")]
    for row in view.rows:
        start, end, saved = row.seconds
        first, last, less, left = (f"{time:.1f}" for time in (start, end, saved, end - start - saved))
        rows.append((first, last, row.kind, less, row.saved.removesuffix(" s"), left, row.how, row.sentence))
    return tuple(rows)


def may_go(view: CutsView | None, shot: str) -> tuple[str, ...]:
    """Word the cuts that begin in a shot, to stand beside it."""
    rows = view.rows if view else ()
    return tuple(f"{one.start} to {one.end} {one.kind}: {one.how}{one.then}" for one in rows if one.shot == shot)


def found_in(view: CutsView | None, shot: str) -> tuple[tuple[str, bool], ...]:
    """Word the open findings in a shot, to stand beside it, each with whether it is to be decided."""
    rows = view.found if view else ()
    return tuple(
        (
            f"{one.at} {one.kind}: {one.said}{f'; by the pattern: {one.right}' if one.right else ''}. "
            f"{capital(one.then)}.",
            one.then.startswith(DECIDE),
        )
        for one in rows
        if one.shot == shot
    )


def _errata_at(plan: Plan, episode: int) -> Iterator[tuple[int, Erratum]]:
    """Give the errata whose second in a video is known, with it."""
    for one in plan.course.errata.errata:
        known, second = second_of(plan, one) or (0, 0)
        if known == episode:
            yield second, one


def _copied(plan: Plan, episode: Episode, cuts: Sequence[Cut]) -> tuple[str, ...]:
    """Give the chapters to copy with all cuts made; none where their starts are not found, or viewers have them so."""
    if not cuts or not spans_of(plan, episode.episode) or made_cuts(plan, episode.episode) == cuts:
        return ()
    return tuple(f"{clock_of(one.start / 1000)} {one.title}" for one in chapters_of(plan, episode.episode, cuts))


def _times(plan: Plan, episode: Episode, cuts: Sequence[Cut]) -> Iterator[TimeRow]:
    """Give what else viewers are given with a time: errata and links of the description."""
    for erratum in plan.course.errata.errata:
        ends = erratum_in(plan, episode.episode, erratum)
        if ends:
            seconds = sorted({one.second for one in ends})
            then = " to ".join(clock_of(once_cut(one, cuts)) for one in seconds)
            if len(seconds) == 1 and cut_at(cuts, seconds[0]):
                then = "cut out: no erratum then"
            yield TimeRow(f"erratum: {erratum.said}", " to ".join(map(clock_of, seconds)), then)
    for promise in promises_of(plan.worked, episode, captions_of(plan, episode.episode)):
        if "description" in promise.due and promise.at is not None:
            after = f" (after “{as_written(promise.before)}”)" if promise.before else ""
            yield TimeRow(
                f"link: “{as_written(promise.words)}”{after}",
                clock_of(promise.at),
                clock_of(once_cut(promise.at, cuts)),
            )


def _found(plan: Plan, episode: int) -> Iterator[FoundRow]:
    """Give the findings of proofing on which nothing is decided, and what becomes of each."""
    proof = proof_of(plan, next(kept for kept in plan.captions if kept.episode == episode))
    for _, one in proof.open:
        shot = shot_at(plan, episode, one.start) or ""
        then = comes_of(plan, proof.episode, one)
        yield FoundRow(clock_of(one.start), shot, one.kind, one.said or "not heard", one.right, then)


def comes_of(plan: Plan, of: Episode, one: Finding) -> str:
    """Say what becomes of an open finding: the editor's sheet and the page of the proof say it alike."""
    episode, cuts, then = of.episode, cuts_of(plan, of.episode), list[str]()
    cut, told = cut_at(cuts, one.start), [*errata_near(plan, of.episode, one)]
    if cut:
        also = ", and its erratum too: no correction then" if told else ""
        done = "has gone" if cut in made_cuts(plan, episode) else "goes"
        then = [f"{done} with the cut at {clock_of(cut.start)}{also}"]
    else:
        then = [f"erratum {number} tells of it ({erratum.remedy}, {erratum.state})" for number, erratum in told]
    if one.kind == "said twice" and not cut:
        then.append("no cut: the second time has other words")
    if then:
        return "; ".join(then)
    missed = missed_line(plan, of, one.segment, one.right.partition(" ")[0]) if one.kind == "never said" else ""
    shot = shot_at(plan, episode, one.start) or ""
    return "; ".join((DECIDE, *[missed] * bool(missed), *_over(plan, episode, shot, one)))


def _over(plan: Plan, episode: int, shot: str, finding: Finding) -> Iterator[str]:
    """Tell of the text that has what holds by a finding, if one lies over its words already.

    For what is never said it may lie anywhere in the shot. Of swapped words a text may have but one step.
    """
    right = finding.right.partition(" (")[0]
    texts = [one for one in (heard_cues(plan, episode) or ((), ()))[0] if one.cue.wanted.shot == shot]
    for wanted in (right, *(right.split(", ") if finding.kind == "swapped words" else ())):
        has = set(words_of(wanted))
        there = [one for one in texts if has and has <= set(words_of(_spoken(one)))]
        near = min(there, key=lambda one: abs(one.at - finding.start), default=None)
        if near and (how := _lies(near, finding)):
            start, end = (clock_of(at / 1000) for at in (near.start, near.end))
            yield f"“{near.cue.text}” {how} from {start} to {end}"
            return


def _lies(text: HeardCue, finding: Finding) -> str:
    """Say how a text lies to the words of a finding; nothing where it is far from them."""
    stays = (text.end - text.start) / 1000
    if finding.kind == "never said":
        return "shows it"
    if finding.start - stays < text.at <= finding.start + BREATH:
        return "lies over it"
    return "comes after it," if 0 <= text.at - finding.start <= LATER / 1000 else ""


def _spoken(one: HeardCue) -> str:
    """Give a text with the numbers of the filmed size; of a series, the step that is shown."""
    return one.cue.wanted.spoken if len(one.cue.wanted.texts) == 1 else one.cue.text


def _rows(plan: Plan, episode: int, cuts: Sequence[Cut]) -> Iterator[CutRow]:
    """Give the cuts; each saves what all up to it save less what those before it do, both in whole seconds.

    Among them stand the stretches without words that are slow on purpose, which save nothing.
    """
    yield from sorted((*_cuts(plan, episode, cuts), *_left(plan, episode)), key=lambda one: one.seconds)


def _left(plan: Plan, episode: int) -> Iterator[CutRow]:
    """Give the stretches that stay as they are, each with why."""
    for one, why in left_slow(plan, episode):
        yield CutRow(
            shot=shot_at(plan, episode, one.start) or "",
            start=clock_of(one.start),
            end=clock_of(one.end),
            kind=KINDS[one.kind],
            sentence=f"{one.sentence.partition(';')[0]}: {why}, so it keeps its speed.",
            how="leave it",
            saved="0 s",
            seconds=(one.start, one.end, 0.0),
        )


def _cuts(plan: Plan, episode: int, cuts: Sequence[Cut]) -> Iterator[CutRow]:
    made = made_cuts(plan, episode)
    for one in cuts:
        gone = [
            clock_of(second)
            for second, erratum in _errata_at(plan, episode)
            if is_laid(erratum.remedy, erratum.state) and cut_at([one], second)
        ]
        then = f" It takes out the erratum at {listing(gone)}, over which nothing is laid then." if gone else ""
        saved = round(saved_before(one.end, cuts)) - round(saved_before(one.start, cuts))
        yield CutRow(
            shot=shot_at(plan, episode, one.start) or "",
            start=clock_of(one.start),
            end=clock_of(one.end),
            kind=KINDS[one.kind],
            sentence=one.sentence + then,
            how=(f"{one.speed} times as fast" if one.speed else "cut") + (", made" if one in made else ""),
            saved=f"{saved} s",
            seconds=(one.start, one.end, one.saved),
            then=f" ({one.end - one.start - one.saved:.1f} s then)" if one.speed else "",
        )


def _chapters(plan: Plan, episode: Episode, cuts: tuple[Cut, ...]) -> tuple[ChapterRow, ...]:
    """Say where chapters start in the video; with little in common between captions and plan there are none."""
    spans = {span.number: span for span in spans_of(plan, episode.episode)}
    if not spans:
        return ()
    now, then = (chapters_of(plan, episode.episode, each) for each in ((), cuts))
    return tuple(
        ChapterRow(
            number=one.number,
            title=one.title,
            start=clock_of(one.start / 1000),
            after=clock_of(after.start / 1000),
            sure=("" if span.sure else "unsure, ") + f"{span.confidence:.0%}" + ("" if span.own else OTHER_TALK),
            words=", ".join(span.words),
        )
        for one, after in zip(now, then, strict=True)
        for span in (spans[one.number],)
    )
