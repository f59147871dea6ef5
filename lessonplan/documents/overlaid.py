"""Texts over the picture as the editor reads them: at which time of the episode, and where in the take to use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lessonplan.documents.cuts import cut_out
from lessonplan.documents.errata import ErratumRow
from lessonplan.documents.filmed import Filmed
from lessonplan.documents.places import in_video, shot_places
from lessonplan.documents.wording import screen_time
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.cues.onscreen import Cue
from lessonplan.edit.timecode import timecode
from lessonplan.edit.timing import in_take, nearest_frame, times_by_shot
from lessonplan.planning.worked import Plan

FREE = "the shot"
"""To what a text belongs that may come anywhere in its shot."""


@dataclass(frozen=True, slots=True)
class CueLine:
    """A text over the picture: its kind, what it says, from when to when in the episode, and where in the take.

    ``belongs`` says at what it comes; ``key`` is the place of the erratum that it corrects, -1 for others, and
    ``besides`` what else is to be known of that: an edition has it already, a cut takes it out, or listen first.
    """

    kind: str
    text: str
    when: str
    in_take: str
    belongs: str
    besides: str = ""
    key: int = -1


@dataclass(frozen=True, slots=True)
class Overlay:
    """A correction to lay over: the erratum, from where to where in the timeline, and in which shot.

    ``video``: where it is in the video as published, which may run otherwise, if that is known. ``shot`` is empty where
    the erratum names none of this episode, the times where there is no room for it. ``sure`` tells that the words were
    found, ``besides`` what else is to be known of it, as for `CueLine`.
    """

    row: ErratumRow
    shot: str
    start: str
    end: str
    sure: bool
    video: str = ""
    besides: str = ""
    in_take: str = ""


def cue_lines(
    plan: Plan, episode: int, rows: Mapping[int, ErratumRow], filmed: Mapping[str, Filmed]
) -> Mapping[str, tuple[CueLine, ...]]:
    """Give the texts over each shot of an episode in order of time; ``rows`` are the errata by their key."""
    found: dict[str, list[CueLine]] = {}
    for cue in episode_cues(plan, episode).laid.cues:
        found.setdefault(cue.wanted.shot, []).append(_line(plan, episode, cue, rows, filmed))
    return {number: tuple(lines) for number, lines in found.items()}


def _line(plan: Plan, episode: int, cue: Cue, rows: Mapping[int, ErratumRow], filmed: Mapping[str, Filmed]) -> CueLine:
    number = cue.wanted.shot
    row = rows.get(cue.wanted.key)
    return CueLine(
        kind=cue.wanted.kind,
        text=cue.text,
        when=f"{_at(cue.start)} to {_at(cue.end)}",
        in_take=in_take(plan, times_by_shot(plan, episode)[number], cue.start),
        belongs=cue.wanted.belongs,
        besides=_besides(plan, cue.wanted.key) or (_hear(row, filmed.get(number)) if row else ""),
        key=cue.wanted.key,
    )


def _at(milliseconds: int) -> str:
    return screen_time(milliseconds / 60_000)


def left_out_lines(plan: Plan, episode: int) -> Mapping[str, tuple[str, ...]]:
    """Say of each shot which texts are left out, and why; what another text says is missed by nobody."""
    found: dict[str, list[str]] = {}
    for one in (one for one in episode_cues(plan, episode).laid.left_out if not one.said):
        text = one.wanted.told
        found.setdefault(one.wanted.shot, []).append(f"{text} ({one.wanted.kind}): {one.why}")
    return {number: tuple(lines) for number, lines in found.items()}


def cue_table(plan: Plan, episode: int) -> tuple[tuple[str, ...], ...]:
    """Give the texts over an episode as rows for a spreadsheet, a heading first, those that are left out at the end."""
    times, rate = times_by_shot(plan, episode), plan.course.course.frame_rate
    laid = episode_cues(plan, episode).laid
    rows: list[tuple[str, ...]] = [
        ("in", "out", "timecode_in", "timecode_out", "shot", "kind", "text", "comes_at", "in_take", "left_out")
    ]
    for cue in laid.cues:
        codes = (timecode(nearest_frame(at, rate), rate) for at in (cue.start, cue.end))
        since = in_an_edition(plan, cue.wanted.key)
        kind = f"{cue.wanted.kind} ({since})" if since else cue.wanted.kind
        one, take = cue.wanted, in_take(plan, times[cue.wanted.shot], cue.start)
        row = (_seconds(cue.start), _seconds(cue.end), *codes, one.shot, kind, cue.text, one.belongs, take, "")
        rows.append(row)
    for left in laid.left_out:
        one = left.wanted
        rows.append(("", "", "", "", one.shot, one.kind, one.told, one.belongs, "", left.why))
    return tuple(rows)


def _seconds(milliseconds: int) -> str:
    return f"{milliseconds / 1000:.3f}"


def overlays(
    plan: Plan, rows: Mapping[int, ErratumRow], lines: Mapping[str, tuple[CueLine, ...]], shots: Mapping[int, str]
) -> tuple[Overlay, ...]:
    """Give the corrections of an episode with their places; ``shots`` are the shots that the errata name."""
    places, log = shot_places(plan), plan.course.errata.errata
    laid = {line.key: line for each in lines.values() for line in each if line.key >= 0}
    shown = {line.key: number for number, each in lines.items() for line in each}
    found = []
    for key, row in rows.items():
        start, _, end = laid[key].when.partition(" to ") if key in laid else ("", "", "")
        line = laid.get(key)
        found.append(
            Overlay(
                row=row,
                shot=shots.get(key) or shown.get(key, ""),
                start=start,
                end=end,
                sure=line is not None and line.belongs != FREE,
                video=in_video(plan, places, log[key]),
                besides=line.besides if line else _besides(plan, key),
                in_take=line.in_take if line else "",
            )
        )
    return tuple(found)


def in_an_edition(plan: Plan, key: int) -> str:
    """Say of a text that corrects an erratum, by its place in the log, since when videos have it; nothing of others."""
    erratum = plan.course.errata.errata[key] if key >= 0 else None
    if erratum is None or erratum.state != "mended":
        return ""
    return f"in the video since edition {erratum.mended_in}" if erratum.mended_in else "in the video already"


def _besides(plan: Plan, key: int) -> str:
    """Say of a text that corrects an erratum that videos have it, or which cut spares it; nothing of others."""
    return in_an_edition(plan, key) or (cut_out(plan, plan.course.errata.errata[key]) if key >= 0 else "")


def _hear(row: ErratumRow, filmed: Filmed | None) -> str:
    """Ask to listen first, where another take has the slip of the tongue and the one to use has none."""
    best = filmed.best if filmed else None
    if row.kind == "picture" or not filmed or not best or best.slip or not any(take.slip for take in filmed.takes):
        return ""
    return f"take {best.take} has no slip in the log: hear first whether it needs this"
