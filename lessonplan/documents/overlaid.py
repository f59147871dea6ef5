"""Texts over the picture as the editor reads them: when in the video, or in the timeline, and where in the take to use.

Where the course keeps captions of the video, times are those of the video, after the cuts that are made in it; beside
them stands what they will be once all cuts are made. Else they are those of the timeline.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import clock_of
from lessonplan.documents.errata import ErratumRow
from lessonplan.documents.filmed import Filmed
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.cues.heard import HeardCue, heard_cues, heard_once_cut, heard_returning
from lessonplan.edit.cues.onscreen import Cue, Wanted
from lessonplan.edit.cuts import Cut, cut_at
from lessonplan.edit.kept import captions_of, second_of, spans_of
from lessonplan.edit.timecode import timecode
from lessonplan.edit.timing import in_take, nearest_frame, times_by_shot
from lessonplan.edit.video import Moment, cuts_left, cuts_of, for_viewers, in_video, made_cuts, once_cut
from lessonplan.planning.worked import Plan

FREE = "the shot"
"""To what a text belongs that may come anywhere in its shot."""
NOT_FOUND = "its segment is not found in the video"
"""Why a text has no time there."""


@dataclass(frozen=True, slots=True)
class CueLine:
    """A text over the picture: its kind, what it says, from when to when, and where in the take.

    ``when`` is in the video where it is known, and ``then`` its start there once all cuts are made, where that differs;
    ``doubt`` says what is not sure of it. ``belongs`` says at what it comes; ``key`` is the place of the erratum that
    it corrects, -1 for others, and ``besides`` what else is to be known of that: an edition has it already, a cut takes
    it out, or listen first.
    """

    kind: str
    text: str
    when: str
    in_take: str
    belongs: str
    besides: str = ""
    key: int = -1
    then: str = ""
    doubt: str = ""


def cue_lines(
    plan: Plan, episode: int, rows: Mapping[int, ErratumRow], filmed: Mapping[str, Filmed]
) -> Mapping[str, tuple[CueLine, ...]]:
    """Give the texts over each shot of an episode in order of time; ``rows`` are the errata by their key."""
    found: dict[str, list[CueLine]] = {}
    for cue, heard in _cues(plan, episode):
        found.setdefault(cue.wanted.shot, []).append(_line(plan, episode, cue, heard, rows, filmed))
    for heard, cut in heard_returning(plan, episode):
        line = _line(plan, episode, heard.cue, heard, rows, filmed)
        found.setdefault(heard.cue.wanted.shot, []).append(replace(line, besides=once_made(plan, episode, cut)))
    return {number: tuple(lines) for number, lines in found.items()}


def _cues(plan: Plan, episode: int) -> Iterator[tuple[Cue, HeardCue | None]]:
    """Give the texts of an episode, each with its place in the video; those that are not found there come last."""
    heard = heard_cues(plan, episode)
    if heard is None:
        yield from ((cue, None) for cue in episode_cues(plan, episode).laid.cues)
        return
    yield from ((one.cue, one) for one in heard[0])
    yield from ((cue, None) for cue in heard[1])


def _line(
    plan: Plan,
    episode: int,
    cue: Cue,
    heard: HeardCue | None,
    rows: Mapping[int, ErratumRow],
    filmed: Mapping[str, Filmed],
) -> CueLine:
    number, row = cue.wanted.shot, rows.get(cue.wanted.key)
    video, left = bool(spans_of(plan, episode)), cuts_left(plan, episode)
    start, end = (heard.start, heard.end) if heard else (cue.start, cue.end)
    besides = besides_of(plan, cue.wanted.key)
    stays = heard and left and not cut_of(plan, cue.wanted.key)
    then = clock_of(once_cut(heard.at, cuts_of(plan, episode))) if heard and stays else ""
    doubt = _doubt(plan, episode, heard) if heard else f"in the timeline; {NOT_FOUND}" if video else ""
    return CueLine(
        kind=cue.wanted.kind,
        text=cue.text,
        when=f"{_at(start)} to {_at(end)}",
        in_take=in_take(plan, times_by_shot(plan, episode)[number], cue.start),
        belongs=cue.wanted.belongs,
        besides=besides or (_hear(row, filmed.get(number)) if row else ""),
        key=cue.wanted.key,
        then=then if then != _at(start) else "",
        doubt=doubt,
    )


def hang_on_cuts(lines: Mapping[str, tuple[CueLine, ...]]) -> tuple[str, ...]:
    """Tell of the texts over an episode that are there only with a cut or without it, which no SubRip file can say."""
    every = (line for each in lines.values() for line in each)
    return tuple(f"{line.when}, {line.besides}: “{line.text}”." for line in every if line.besides.startswith("only "))


def once_made(plan: Plan, episode: int, cut: Cut) -> str:
    """Say of a text that it comes in with a cut."""
    return f"only once the cut at {clock_of(cut.start)} {by_captions(plan, episode)} is made"


def by_captions(plan: Plan, episode: int) -> str:
    """Say whose time the beginning of a cut is: the captions' time, which is no more the video's once some are made."""
    return "by the captions" if made_cuts(plan, episode) else "in the video"


def _doubt(plan: Plan, episode: int, heard: HeardCue) -> str:
    """Say of a text in the video what is not sure of its time, or that a cut takes out the place where it belongs."""
    if heard.out_of is None:
        return doubt_of(plan, episode, heard.moment)
    if heard.out_of in made_cuts(plan, episode):
        return "its own place went with a cut"
    about, there = "" if heard.moment.sure else "about ", for_viewers(plan, episode, heard.moment.second)
    return f"its own place, {about}{clock_of(there)}, goes with the cut at {clock_of(heard.out_of.start)}"


def doubt_of(plan: Plan, episode: int, moment: Moment) -> str:
    """Say how sure a time in the video is, where it is not."""
    if moment.sure:
        return ""
    early, late = (clock_of(for_viewers(plan, episode, one)) for one in (moment.early, moment.late))
    return f"about: no words are heard here, it lies between {early} and {late}"


def _at(milliseconds: int) -> str:
    return clock_of(milliseconds / 1000)


def video_of(plan: Plan, number: ShotNumber) -> tuple[str, str]:
    """Say where a shot runs in the video, and where once all cuts are made; nothing where no captions tell."""
    time, episode = times_by_shot(plan, number.episode)[number], number.episode
    first, last = (in_video(plan, number, at) for at in (time.start, time.end))
    if first is None or last is None:
        return (NOT_FOUND if spans_of(plan, episode) else ""), ""
    start, end = (for_viewers(plan, episode, one.second) for one in (first, last))
    doubt = next((f", {doubt_of(plan, episode, one)}" for one in (first, last) if not one.sure), "")
    then = [clock_of(once_cut(one.second, cuts_of(plan, episode))) for one in (first, last)]
    now, after = f"{clock_of(start)} to {clock_of(end)}", " to ".join(then)
    return f"{now}{doubt}", after if after != now else ""


def video_length(plan: Plan, episode: int) -> str:
    """Word how long the video of an episode runs, now and once all cuts are made; nothing where no captions tell."""
    captions, cuts = captions_of(plan, episode), cuts_of(plan, episode)
    if captions is None or not spans_of(plan, episode):
        return ""
    now, then = (clock_of(once_cut(captions.cues[-1].end / 1000, each)) for each in (made_cuts(plan, episode), cuts))
    return f"{now}, {then} after the cuts" if now != then else now


def left_out_lines(plan: Plan, episode: int) -> Mapping[str, tuple[str, ...]]:
    """Say of each shot which texts are left out, and why; what another text says is missed by nobody."""
    found: dict[str, list[str]] = {}
    for one in (one for one in episode_cues(plan, episode).laid.left_out if not one.said):
        text = one.wanted.told
        found.setdefault(one.wanted.shot, []).append(f"{text} ({one.wanted.kind}): {one.why}")
    return {number: tuple(lines) for number, lines in found.items()}


def cue_table(plan: Plan, episode: int) -> tuple[tuple[str, ...], ...]:
    """Give the texts over an episode as rows for a spreadsheet, a heading first, those that are left out at the end.

    The last columns have the times once all cuts are made, while some are not: a text may be there but then, or no
    longer.
    """
    times, rate = times_by_shot(plan, episode), plan.course.course.frame_rate
    head = "in,out,timecode_in,timecode_out,shot,kind,text,comes_at,in_take,doubt,left_out,in_once_cut,out_once_cut"
    rows: list[tuple[str, ...]] = [tuple(head.split(","))]
    out = list[tuple[str, ...]]()
    then = {_same(one.cue): (_seconds(one.start), _seconds(one.end)) for one in heard_once_cut(plan, episode)}
    for cue, heard in _cues(plan, episode):
        one, take = cue.wanted, in_take(plan, times[cue.wanted.shot], cue.start)
        since = besides_of(plan, one.key)
        told = (one.shot, f"{one.kind} ({since})" if since else one.kind, cue.text, _comes_at(one, heard), take)
        if heard is None and spans_of(plan, episode):
            out.append(("", "", "", "", *told, "", NOT_FOUND, "", ""))
            continue
        ends = (heard.start, heard.end) if heard else (cue.start, cue.end)
        codes = (timecode(nearest_frame(at, rate), rate) for at in ends)
        doubt, later = _doubt(plan, episode, heard) if heard else "", then.get(_same(cue), ("", ""))
        rows.append((*map(_seconds, ends), *codes, *told, doubt, "", *later))
    back = {(one.cue.wanted.shot, one.cue.wanted.kind): (one, cut) for one, cut in heard_returning(plan, episode)}
    for left in episode_cues(plan, episode).laid.left_out:
        one, why, later = left.wanted, left.why, ("", "")
        if (again := back.get((one.shot, one.kind))) and again[0].cue.wanted.told == one.told:
            why = f"{why}; it comes at {_at(again[0].start)}, {once_made(plan, episode, again[1])}"
            later = then.get(_same(again[0].cue), later)
        out.append(("", "", "", "", one.shot, one.kind, one.told, one.belongs, "", "", why, *later))
    return (*rows, *out)


def _comes_at(wanted: Wanted, heard: HeardCue | None) -> str:
    """Say to what a text belongs; words that are planned, and not heard in the video, are named as planned ones."""
    planned = heard is not None and not heard.moment.sure and wanted.belongs.startswith("the words")
    return f"as planned: {wanted.belongs}" if planned else wanted.belongs


def _same(cue: Cue) -> tuple[str, str, str, int]:
    """Give by what a text is known again among those of the same video with other cuts."""
    return cue.wanted.shot, cue.wanted.kind, cue.text, cue.wanted.start


def _seconds(milliseconds: int) -> str:
    return f"{milliseconds / 1000:.3f}"


def in_an_edition(plan: Plan, key: int) -> str:
    """Say of a text that corrects an erratum, by its place in the log, since when videos have it; nothing of others."""
    erratum = plan.course.errata.errata[key] if key >= 0 else None
    if erratum is None or erratum.state != "mended":
        return ""
    return f"in the video since edition {erratum.mended_in}" if erratum.mended_in else "in the video already"


def besides_of(plan: Plan, key: int) -> str:
    """Say of a text that corrects an erratum that videos have it, or which cut spares it; nothing of others."""
    if key < 0 or in_an_edition(plan, key):
        return in_an_edition(plan, key)
    cut = cut_of(plan, key)
    episode = (second_of(plan, plan.course.errata.errata[key]) or (0, 0))[0]
    return f"only if the cut at {clock_of(cut.start)} {by_captions(plan, episode)} is not made" if cut else ""


def cut_of(plan: Plan, key: int) -> Cut | None:
    """Give the cut that takes out an erratum, by its place in the log; None where there is none."""
    episode, second = (second_of(plan, plan.course.errata.errata[key]) if key >= 0 else None) or (0, 0)
    return cut_at(cuts_of(plan, episode), second) if episode else None


def _hear(row: ErratumRow, filmed: Filmed | None) -> str:
    """Ask to listen first, where another take has the slip of the tongue and the one to use has none."""
    best = filmed.best if filmed else None
    if row.kind == "picture" or not filmed or not best or best.slip or not any(take.slip for take in filmed.takes):
        return ""
    return f"take {best.take} has no slip in the log: hear first whether it needs this"
