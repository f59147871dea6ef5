"""The editor's sheet of an episode: what is said and done in each shot, which take to use, what to speed up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.episodes import Episode
from lessonplan.course.names.slates import named_shots
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import clock_of, count_of, listing, short_day
from lessonplan.documents.advice import GUESSED, advice
from lessonplan.documents.cuts import CutsView, cuts_view, found_in, may_go
from lessonplan.documents.editfiles import EDIT_FILES
from lessonplan.documents.editorerrata import Overlay, closing, others, overlays
from lessonplan.documents.errata import ErratumRow, rows_for_episode
from lessonplan.documents.filmed import Filmed, filmed_shots, no_log
from lessonplan.documents.overlaid import CueLine, cue_lines, hang_on_cuts, left_out_lines, video_length, video_of
from lessonplan.documents.places import cut_times
from lessonplan.documents.promises import PromiseRow, end_card, must_be_heard, open_promises
from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import screen_time
from lessonplan.edit.chapters import chapters_of, on_one_clock
from lessonplan.edit.cues.episode import is_laid
from lessonplan.edit.cues.heard import heard_once_cut
from lessonplan.edit.kept import captions_of, spans_of
from lessonplan.edit.timing import times_by_shot
from lessonplan.edit.video import cuts_of, made_cuts
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import numbered
from lessonplan.shoot.clocks import ShotClock, minutes_of_hands
from lessonplan.shoot.day import clock
from lessonplan.shoot.estimate import Estimate, total


@dataclass(frozen=True, slots=True)
class ShotRow:
    """A shot for the editor: where it starts, how long it runs, what is said and done, which takes there are.

    ``seconds``: start, length, shortest and longest on screen; ``spoken`` and ``worked`` are the likely seconds of
    words and hands, ``take`` words the length with the handles of a take, ``planned`` the place in the filming day.
    ``timeline`` words where it lies in that as far as it is filmed, empty while nothing is; ``video`` where in that, by
    its captions, and ``then`` once all cuts are made.
    ``must_say`` are lines that must be heard, each with what is known of it and whether it is missing.
    ``errata`` are those of the shot for which nothing is laid over; by the captions, ``found`` are findings that are
    open in it (and whether one is to be decided), ``may_go`` the cuts that begin in it.
    """

    shot: ShotText
    start: str
    length: str
    range: str
    hands: tuple[str, ...]
    timeline: str
    video: str
    then: str
    spoken: int
    worked: int
    advice: str
    planned: str
    take: str
    filmed: Filmed | None
    seconds: tuple[int, int, int, int]
    cues: tuple[CueLine, ...] = ()
    left_out: tuple[str, ...] = ()
    must_say: tuple[tuple[str, bool], ...] = ()
    errata: tuple[str, ...] = ()
    found: tuple[tuple[str, bool], ...] = ()
    may_go: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SegmentRow:
    """A segment for the editor, with its shots; ``seconds`` are its start and length.

    ``filmed`` words how long the takes to use run, without handles, against the plan for the same shots.
    """

    number: str
    title: str
    start: str
    length: str
    range: str
    filmed: str
    shots: tuple[ShotRow, ...]
    seconds: tuple[int, int]


@dataclass(frozen=True, slots=True)
class EditorView:
    """What stands on the editor's sheet of one episode; ``done`` words how much is filmed, if anything is.

    ``no_log`` says what is open while no take is logged, ``missing`` are the shots of which there is nothing to cut, by
    what they wait for. ``rate`` is the frame rate's name and ``rate_words`` what it means; ``files`` are those beside
    the sheet: title, what for, and (name, form) of each. ``video`` words how long the video runs by its captions,
    ``slated`` tells that shots have slates, ``chapters_from`` of which video the times of the ``chapters`` are,
    ``hang`` which texts are there only with or without a cut, ``freely`` what has no draft captions, ``closing`` who
    writes down that an erratum is mended, ``end_card`` what goes on that, ``promises`` those still open besides,
    ``guessed`` how far the rules go by which something may be cut or sped up.
    """

    title: str
    edition: str
    number: int
    episode: str
    length: str
    range: str
    video: str
    seconds: int
    longest: int
    shot_count: int
    slated: bool
    done: str
    no_log: str
    missing: tuple[str, ...]
    handles: str
    rate: str
    rate_words: str
    segments: tuple[SegmentRow, ...]
    corrections: tuple[Overlay, ...]
    files: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    chapters: tuple[str, ...]
    chapters_from: str
    hang: tuple[str, ...]
    freely: str
    other_errata: tuple[Overlay, ...]
    closing: str
    end_card: tuple[str, ...]
    promises: tuple[PromiseRow, ...]
    cuts: CutsView | None
    guessed: str


def editor_view(plan: Plan, episode: Episode) -> EditorView:
    """Lay out the editor's sheet of one episode, in the order of the story.

    Every shot runs whole seconds, so that starts and lengths on the sheet add up.
    """
    clocks = [one for one in plan.worked.clocks.values() if one.number.episode == episode.episode]
    length, starts = sum(one.seconds for one in clocks), _starts(clocks)
    errata = rows_for_episode(plan, episode.episode)
    filmed = filmed_shots(plan)
    by_key = {row.number - 1: row for row in errata if is_laid(row.remedy, row.state)}
    lines = cue_lines(plan, episode.episode, by_key, filmed)
    left, must = left_out_lines(plan, episode.episode), must_be_heard(plan, episode)
    rest = {row.number - 1: row for row in errata if row.number - 1 not in by_key}
    cuts = cuts_view(plan, episode)
    rows = {
        one.number: replace(
            _row(plan, one, starts[one.number], filmed),
            cues=lines.get(one.number, ()),
            left_out=left.get(one.number, ()),
            must_say=must.get(one.number, ()),
            errata=tuple(_told(row) for row in rest.values() if _first_shot(plan, row.where, starts) == one.number),
            found=found_in(cuts, one.number),
            may_go=may_go(cuts, one.number),
        )
        for one in clocks
    }
    done = [row.filmed.done for row in rows.values() if row.filmed]
    named = {row.number - 1: _first_shot(plan, row.where, starts) for row in errata}
    return EditorView(
        title=plan.course.course.title,
        edition=numbered(plan),
        number=episode.episode,
        episode=episode.title,
        length=screen_time(length / 60),
        range=up_to(total(one.screen for one in clocks)),
        video=video_length(plan, episode.episode),
        seconds=length,
        longest=max([1, *(max(row.spoken, row.worked) for row in rows.values())]),
        shot_count=len(rows),
        slated=any(row.shot.slate for row in rows.values()),
        done=f"{sum(done)} of {len(rows)}" if done else "",
        no_log=no_log(plan),
        missing=_missing(rows),
        handles=_handles(plan, clocks),
        rate=plan.course.course.frame_rate.name,
        rate_words=rate_words(plan),
        segments=tuple(_segments(plan, clocks, rows)),
        corrections=overlays(plan, episode.episode, by_key, lines, named),
        other_errata=others(plan, episode.episode, rest, named),
        closing=closing(plan, episode, errata),
        end_card=end_card(plan, episode),
        promises=open_promises(plan, episode),
        cuts=cuts,
        guessed=GUESSED if any(row.advice or row.may_go for row in rows.values()) else "",
        files=tuple(_files(plan, episode.episode)),
        chapters=chapter_lines(plan, episode.episode),
        chapters_from=chapters_from(plan, episode.episode),
        hang=hang_on_cuts(lines),
        freely=freely_said(plan, episode.episode),
    )


def _segments(plan: Plan, clocks: list[ShotClock], rows: Mapping[ShotNumber, ShotRow]) -> Iterator[SegmentRow]:
    """Give the segments of which an episode has shots."""
    for number, _, _ in plan.course.segments():
        inside = [one for one in clocks if one.number.segment == number]
        if inside:
            shots = tuple(rows[one.number] for one in inside)
            yield _segment(number, shots, total(one.screen for one in inside))


def _files(plan: Plan, episode: int) -> Iterator[tuple[str, str, tuple[tuple[str, str], ...]]]:
    """Give the files beside the sheet, with the clock of each where the video runs otherwise than the timeline."""
    two = bool(spans_of(plan, episode)) and not on_one_clock(plan, episode)
    for one in (group for group in EDIT_FILES if group.is_there(plan, episode)):
        once = ", after all cuts" if one.once_cut else _once(plan, episode)
        clock = f"; times of the video{once}" if one.of_video else "; times of the timeline"
        yield one.title, f"{one.about}{clock if two or one.once_cut else ''}", one.names(episode)


def chapter_lines(plan: Plan, episode: int) -> tuple[str, ...]:
    """Give the chapters of an episode as they stand in a description: ``2:15 A swatch that tells the truth``."""
    return tuple(f"{clock_of(one.start / 1000)} {one.title}" for one in chapters_of(plan, episode))


def chapters_from(plan: Plan, episode: int) -> str:
    """Say of what the times of the chapters are: of the video in whose captions they were found, or of the timeline."""
    spans = spans_of(plan, episode)
    if not spans:
        return f"times {cut_times(plan, episode)}; put in those of the video before you copy them"
    unsure = "" if all(one.sure for one in spans) else "; listen where one is unsure"
    return f"{times_of(plan, episode)}{unsure}"


def times_of(plan: Plan, episode: int) -> str:
    """Say of which video times are by the captions that a course keeps, and if cuts are made in it; else nothing."""
    captions = captions_of(plan, episode)
    if captions is None or not spans_of(plan, episode):
        return ""
    return f"as found in {captions.file}{_once(plan, episode)}"


def _once(plan: Plan, episode: int) -> str:
    """Say as a clause how many of the cuts of an episode are made; nothing where there are none."""
    made, cuts = made_cuts(plan, episode), cuts_of(plan, episode)
    some = "" if made == cuts else f"{len(made)} of "
    return f", after {some}the {count_of(len(cuts), 'cut')} made" if made else ", before any cut" if cuts else ""


def cue_notes(plan: Plan, episode: int) -> tuple[str, ...]:
    """Say at the head of a file of texts of which video its times are, and what in it a cut that is not made changes.

    Nothing where no captions are kept.
    """
    video, told = times_of(plan, episode), hang_on_cuts(cue_lines(plan, episode, {}, {}))
    then = [f"Once all cuts of the editor’s sheet are made, take cues-{episode}-cut.vtt."]
    return (f"Texts over the picture, {video}.", *told, *then * bool(heard_once_cut(plan, episode))) if video else ()


def freely_said(plan: Plan, episode: int) -> str:
    """Say which shots of an episode have no draft captions, since only points say what comes in them."""
    free = [one.number for one in plan.course.shots_in(str(episode)) if one.shot.points]
    return f"What is said freely, by points, has no draft captions: in {listing(free)}." if free else ""


def rate_words(plan: Plan) -> str:
    """Say what the frame rate of a course means, and where it comes from."""
    course = plan.course.course
    rate = course.frame_rate
    counted = ""
    if rate.fps.denominator > 1 and rate.counted > 24:
        counted = ", drop-frame timecode" if rate.dropped else ", non-drop timecode"
    given = "" if "frame_rate" in course.model_fields_set else " (course.yaml has no “frame_rate”)"
    return f"{rate.name.removesuffix(' drop')} frames a second{counted}{given}"


def _handles(plan: Plan, clocks: Sequence[ShotClock]) -> str:
    """Word the handles of the takes, and which shots have others: ``5 s before and 4 s after (8 s after 3.5.1)``."""
    pace, others = plan.course.course.pace, dict[str, list[str]]()
    before, after = round(pace.opening * 60), round(pace.hold * 60)
    for one in clocks:
        opening = 0 if plan.course.shot(one.number).runs_on else before
        hold = round(one.handles * 60) - opening
        if opening != before:
            others.setdefault("none before", []).append(one.number)
        if hold != after:
            others.setdefault(f"{hold} s after" if hold else "none after", []).append(one.number)
    odd = "; ".join(f"{what} in {listing(numbers)}" for what, numbers in others.items())
    return f"{before} s before and {after} s after" + (f" ({odd})" if odd else "")


def _first_shot(plan: Plan, where: str, starts: Mapping[ShotNumber, int]) -> str:
    """Give the first shot of the episode that an erratum names; nothing where it names none."""
    return next((one.number for one in named_shots(plan.course, where) if one.number and one.number in starts), "")


def up_to(runs: Estimate) -> str:
    """Word the screen time that is not passed nine times in ten: ``up to 3:05``."""
    return f"up to {screen_time(runs.nine_in_ten)}"


def _starts(clocks: list[ShotClock]) -> Mapping[ShotNumber, int]:
    """The second of the episode at which each shot starts."""
    found, position = {}, 0
    for one in clocks:
        found[one.number] = position
        position += one.seconds
    return found


def _missing(rows: Mapping[ShotNumber, ShotRow]) -> tuple[str, ...]:
    """List the shots that cannot be cut yet, by what they wait for: ``not filmed: 1.2.2 and 1.2.3``."""
    waits: dict[str, list[str]] = {}
    for number, row in rows.items():
        if row.filmed and not row.filmed.done:
            waits.setdefault(row.filmed.state, []).append(number)
    return tuple(f"{state}: {listing(numbers)}" for state, numbers in waits.items())


def _so_far(shots: tuple[ShotRow, ...]) -> str:
    """Word how long the takes to use of these shots run without handles, and what was planned for the same shots."""
    best = [(row.seconds[1], row.filmed.best.net) for row in shots if row.filmed and row.filmed.best]
    timed = [(planned, net) for planned, net in best if net is not None]
    if not timed:
        return ""
    shots_in = f"{len(timed)} of {len(shots)} shots"
    real, planned = (screen_time(sum(one) / 60) for one in ([net for _, net in timed], [plan for plan, _ in timed]))
    return f"Takes to use, without handles: {real} for {shots_in}, {planned} planned."


def _segment(number: str, shots: tuple[ShotRow, ...], runs: Estimate) -> SegmentRow:
    start, length = shots[0].seconds[0], sum(row.seconds[1] for row in shots)
    return SegmentRow(
        number=number,
        title=shots[0].shot.segment_title,
        start=screen_time(start / 60),
        length=screen_time(length / 60),
        range=up_to(runs),
        filmed=_so_far(shots),
        shots=shots,
        seconds=(start, length),
    )


def _row(plan: Plan, one: ShotClock, start: int, filmed: Mapping[str, Filmed]) -> ShotRow:
    length, low, high = one.seconds, round(one.screen.low * 60), round(one.screen.nine_in_ten * 60)
    video, then = video_of(plan, one.number)
    return ShotRow(
        shot=all_shots(plan)[one.number],
        start=screen_time(start / 60),
        length=screen_time(length / 60),
        range=f"{screen_time(low / 60)} to {screen_time(high / 60)}",
        hands=_hands(plan, one.number),
        timeline=_in_the_timeline(plan, one.number),
        video=video,
        then=then,
        spoken=round(one.speech.likely * 60),
        worked=round(one.hands.likely * 60),
        advice=advice(plan, one, times_by_shot(plan, one.number.episode)[one.number], filmed),
        planned=_place_in_day(plan, one.number),
        take=screen_time(length / 60 + one.handles),
        filmed=filmed.get(one.number),
        seconds=(start, length, low, high),
    )


def _told(row: ErratumRow) -> str:
    """Word an erratum for which nothing is laid over, at its shot."""
    stands = row.stands if row.stands != row.state else f"{row.remedy}, {row.state}"
    return f"{stands}: {row.said}. Right: {row.right}."


def _in_the_timeline(plan: Plan, number: ShotNumber) -> str:
    """Say where a shot lies in the timeline, takes to use as long as they are; nothing while none is known to be."""
    times = times_by_shot(plan, number.episode)
    if not any(time.real for time in times.values()):
        return ""
    time = times[number]
    return f"{screen_time(time.start / 60_000)}, runs {screen_time(time.length / 60_000)}"


def _hands(plan: Plan, number: ShotNumber) -> tuple[str, ...]:
    """Word what the hands do in a shot, each thing with its likely time."""
    word = plan.worked.word
    minutes = minutes_of_hands(plan.course, number, plan.worked.kinds, plan.worked.table)
    hands = plan.course.shot(number).hands
    return tuple(
        f"for {screen_time(time)}: {fill(one.work or one.do, word)}" for one, time in zip(hands, minutes, strict=True)
    )


def _place_in_day(plan: Plan, number: ShotNumber) -> str:
    """Say where in the filming days a shot stands, to find it among the clips: ``Sat 6 Mar, shot 4 of 24, 2 takes``."""
    for day in plan.days:
        shots = day.shots
        for place, entry in enumerate(shots, 1):
            if entry.number == number:
                takes = count_of(plan.course.shot(number).takes, "take")
                return f"{short_day(day.day)}, shot {place} of {len(shots)}, about {clock(entry.start)}, {takes}"
    return ""
