"""What the editor is told of each erratum: lay it over, cut it out, or where a pick-up goes, and at which time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonplan.course.model.episodes import Episode
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import capital, clock_of, listing
from lessonplan.documents.errata import ErratumRow
from lessonplan.documents.overlaid import FREE, NOT_FOUND, CueLine, by_captions, doubt_of
from lessonplan.edit.cues.heard import heard_returning
from lessonplan.edit.cues.sized import sized
from lessonplan.edit.cuts import cut_at
from lessonplan.edit.kept import second_of, spans_of
from lessonplan.edit.timing import times_by_shot
from lessonplan.edit.video import cuts_left, cuts_of, erratum_in, for_viewers, is_cut_out, once_cut, shots_meant
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Overlay:
    """An erratum for the editor: what to ``do`` about it and where, in one sentence or two."""

    row: ErratumRow
    do: str


def overlays(
    plan: Plan,
    episode: int,
    rows: Mapping[int, ErratumRow],
    lines: Mapping[str, tuple[CueLine, ...]],
    shots: Mapping[int, str],
) -> tuple[Overlay, ...]:
    """Give the corrections of an episode in its order with what to do; ``shots`` are the shots that the errata name."""
    laid = {line.key: (number, line) for number, each in lines.items() for line in each if line.key >= 0}
    found = []
    for key, row in _in_order(plan, episode, rows, shots):
        number, line = laid.get(key, (shots.get(key, ""), None))
        found.append(Overlay(row, _to_do(plan, episode, plan.course.errata.errata[key], number, line)))
    return tuple(found)


def _in_order(
    plan: Plan, episode: int, rows: Mapping[int, ErratumRow], shots: Mapping[int, str]
) -> Sequence[tuple[int, ErratumRow]]:
    """Give errata, each with its place in the log, as they come in the episode; what has no place comes last."""
    times: dict[str, float] = {one.number: one.start / 1000 for one in times_by_shot(plan, episode).values()}

    def second(key: int) -> float:
        """The second of the video at which an erratum is; infinity where nothing tells it."""
        erratum = plan.course.errata.errata[key]
        named, ends = second_of(plan, erratum), erratum_in(plan, episode, erratum)
        return ends[0].second if ends else named[1] if named else times.get(shots.get(key, ""), float("inf"))

    return sorted(rows.items(), key=lambda one: second(one[0]))


def _to_do(plan: Plan, episode: int, erratum: Erratum, number: str, line: CueLine | None) -> str:
    """Say what to do about an erratum that is laid over: what a cut takes out is not."""
    _, second = second_of(plan, erratum) or (0, 0)
    cut = cut_at(cuts_of(plan, episode), second) if second else None
    if cut and is_cut_out(plan, erratum):
        return f"Lay nothing over: the cut at {clock_of(cut.start)}, which is made, has taken it out."
    if line is None:
        return f"It cannot be laid over {number}, which is too short to read it." if number else _somewhere(second)
    clock = "video" if spans_of(plan, episode) and NOT_FOUND not in line.doubt else "timeline"
    then = f", {line.then} after the cuts" if line.then and not cut else ""
    sure = f" ({line.doubt})" if line.doubt else " (the words were not found in it)" * (line.belongs == FREE)
    take = f" ({line.in_take})" if line.in_take else ""
    where = f"from {line.when} in the {clock}{then}, in {number}{take}{sure}"
    beside = f" {capital(line.besides)}." if line.besides and not cut else ""
    if cut:
        ends = f"{clock_of(cut.start)} to {clock_of(cut.end)}"
        back = [f"“{one.cue.text}” comes in" for one, of in heard_returning(plan, episode) if of == cut]
        then = f"no correction is laid over{f', but {listing(back)}' if back else ''}"
        return (
            f"Make the cut from {ends} {by_captions(plan, episode)}: it takes this out, and {then}. Only where the "
            f"picture does not allow the cut, lay the text over {where}."
        )
    if erratum.state == "mended":
        return f"It is {line.besides}; a new cut needs it again: lay it over {where}."
    return f"Lay it over {where}.{beside}"


def _somewhere(second: int) -> str:
    if not second:
        return "It names no shot: find it in the video and lay it over by hand, for it is in no cue file."
    return f"Lay it over by hand at {clock_of(second)} in the video: the timeline has no such time, nor any cue file."


def others(plan: Plan, episode: int, rows: Mapping[int, ErratumRow], shots: Mapping[int, str]) -> tuple[Overlay, ...]:
    """Give the errata of an episode for which nothing is laid over, with where they are, and where a pick-up goes."""
    log = plan.course.errata.errata
    placed = _in_order(plan, episode, rows, shots)
    return tuple(Overlay(row, _seen(plan, episode, log[key], shots.get(key, ""))) for key, row in placed)


def closing(plan: Plan, episode: Episode, rows: Sequence[ErratumRow]) -> str:
    """Say who writes down that an erratum of an episode is done with, and how; nothing where none is left."""
    log, cuts = plan.course.errata.errata, cuts_left(plan, episode.episode)
    left = [row.number for row in rows if row.state != "mended" and not is_cut_out(plan, log[row.number - 1])]
    if not left:
        return ""
    seconds = (second_of(plan, log[number - 1]) or (0, 0) for number in left)
    going = [cut for of, second in seconds if of == episode.episode and (cut := cut_at(cuts, second))]
    at = clock_of(going[0].start) if going else ""
    told = (
        f"For a cut that takes one out she writes “cuts_made: {at}” (with the other cuts that are made, or “all”) into "
        f"{episode.mark().file}: papers for viewers then no longer put it right, whatever its state. "
        if at
        else ""
    )
    return (
        f"When an erratum is done with, tell the host, who writes it down. {told}Once a video is out in which it is "
        "corrected, by a text or a pick-up, she sets its state to mended: at the desk in errata.yaml, or by lessonplan "
        f"errata COURSE --number {left[-1]} --state mended --mended-in EDITION, with the number that stands here."
    )


def to_pick_up(plan: Plan, episode: int) -> Iterator[tuple[ShotNumber, str]]:
    """Give the shots of an episode that a pick-up shot is to mend, each with what is right instead of what."""
    times = times_by_shot(plan, episode)
    for erratum in plan.course.errata.errata:
        if erratum.remedy == "pick-up shot" and erratum.state != "mended":
            right = sized(plan.worked, erratum.right).every
            yield from ((one, f"{right}; not: {erratum.said}") for one in shots_meant(plan, erratum) if one in times)


def _seen(plan: Plan, episode: int, erratum: Erratum, number: str) -> str:
    ends, cuts = erratum_in(plan, episode, erratum), cuts_of(plan, episode)
    if ends and ends[0] != ends[1]:
        now = [for_viewers(plan, episode, one.second) for one in ends]
        then = [clock_of(once_cut(one.second, cuts)) for one in ends]
        after = f"; {' to '.join(then)} after the cuts" if cuts_left(plan, episode) else ""
        doubt = next((f" ({doubt_of(plan, episode, one)})" for one in ends if not one.sure), "")
        runs = f"from {clock_of(now[0])} to {clock_of(now[1])} in the video"
        place = f"{number} runs {runs} ({clock_of(now[1] - now[0])}{after}){doubt}"
    elif ends:
        after = f", {clock_of(once_cut(ends[0].second, cuts))} after the cuts" if cuts_left(plan, episode) else ""
        place = f"it is at {clock_of(for_viewers(plan, episode, ends[0].second))} in the video{after}"
    elif number:
        time = next(one for one in times_by_shot(plan, episode).values() if one.number == number)
        start, end, length = (clock_of(one / 1000) for one in (time.start, time.end, time.length))
        place = f"{number} runs from {start} to {end} in the timeline ({length})"
    else:
        return ""
    if erratum.remedy != "pick-up shot":
        return f"{capital(place)}."
    what = "the picture alone, the sound stays" if erratum.kind == "picture" else "picture and sound"
    return f"The pick-up takes the place of the wrong stretch, {what}. Look for it in the whole shot: {place}."
