"""Planned against real, the slips of the tongue, and the learnt paces: what ``lessonplan takes`` and ``pace`` print."""

from __future__ import annotations

from typing import Any

from lessonplan.course.model.together import Course
from lessonplan.course.words import listing
from lessonplan.craft.words import words_of
from lessonplan.documents.tables import table
from lessonplan.documents.wording import duration
from lessonplan.edit.pace import Listened
from lessonplan.planning.filmed.taking import Taken
from lessonplan.planning.worked import LEARNT, open_paces
from lessonplan.shoot.takes.compare import ShotRow, SumRow, left_out, slips_kept, takes_by_shot
from lessonplan.shoot.takes.learnt import Estimate, Learnt
from lessonplan.shoot.takes.log import USABLE, Take, clock_text

_NAMES = {"speech": "speech, hands at rest", "over_all": "over all, hands at work too"}


def pace_table(listened: Listened) -> str:
    """Set the videos and the paces learnt from them as text, each pace with its interval and how sure it is."""
    videos = [
        (one.file, one.form, str(one.words), f"{one.minutes:.1f}", f"{one.over_all:.0f}")
        for one in listened.heard.videos
    ]
    head = ("Captions", "Form", "Words", "Minutes", "Words a minute")
    parts = [table(head, videos, frozenset({2, 3, 4})) if videos else "No captions could be read."]
    if listened.heard.learnt:
        rows = [
            (
                _NAMES[one.name],
                f"{one.default:g}" if one.name == "speech" else "",
                f"{one.value:.0f}",
                f"{one.low:.0f} to {one.high:.0f}",
                str(one.n),
                one.sure,
            )
            for one in listened.heard.learnt
        ]
        columns = ("Words a minute", "Planned", "Learnt", "9 in 10", "Stretches", "How sure")
        parts.append(table(columns, rows, frozenset({1, 2, 4})))
    return "\n\n".join(parts)


def pace_learnt(one: Estimate, planned: float | None) -> dict[str, Any]:
    """Give a learnt pace as plain values, in the units of its key."""
    return {"planned": planned} | {key: getattr(one, key) for key in ("value", "low", "high", "n", "sure")}


def pace_data(listened: Listened) -> dict[str, Any]:
    """Give the same as plain values: minutes to a tenth, paces in words a minute."""
    return {
        "captions": [
            {
                "file": one.file,
                "form": one.form,
                "words": one.words,
                "minutes": round(one.minutes, 1),
                "words_a_minute": round(one.over_all, 1),
            }
            for one in listened.heard.videos
        ],
        "learnt": {
            one.name: pace_learnt(one, one.default if one.name == "speech" else None) for one in listened.heard.learnt
        },
        "problems": [problem.as_dict() for problem in listened.problems],
    }


def takes_table(taken: Taken) -> str:
    """Set the comparison as text: shots, segments, days, slips, and what was learnt."""
    shots = [_shot_cells(row) for row in taken.compared.shots if row.takes_real]
    head = ("Shot", "Planned", "Real", "Over", "Takes planned", "Takes", "Best take")
    parts = [table(head, shots, frozenset({1, 2, 3, 4, 5})) if shots else "No take is logged yet."]
    for title, rows in (("Segment", taken.compared.segments), ("Day", taken.compared.days)):
        cells = [_sum_cells(row) for row in rows if row.takes_real]
        if cells:
            head_of_sums = (title, "Filmed", "Planned", "Real", "Over", "Takes planned", "Takes")
            parts.append(table(head_of_sums, cells, frozenset({1, 2, 3, 4, 5, 6})))
    left = left_out([(row.number, row.planned_day) for row in taken.compared.shots], taken.takes)
    if left:
        parts.append(f"Planned for the days so far and not filmed: {listing(left)}.")
    slips = [slip_text(take) for take in slips_kept(taken.takes)]
    if slips:
        told = "Slips of the tongue in what will be seen, each a candidate for the errata:"
        parts.append("\n".join([told, *slips]))
    if shots:
        parts.append(learnt_table(taken.plan.course, taken.learnt))
    return "\n\n".join(parts)


def _shot_cells(row: ShotRow) -> tuple[str, ...]:
    real = "?" if row.real_minutes is None else duration(row.real_minutes)
    best = f"take {row.best.take} at {clock_text(row.best.start)}" if row.best else "none"
    planned = (str(row.takes_planned), str(row.takes_real))
    late = over(_apart(row.planned_minutes, row.real_minutes, row.late_minutes))
    late = "?" if row.real_minutes is None else late
    return row.number, duration(row.planned_minutes), real, late, *planned, best


def _sum_cells(row: SumRow) -> tuple[str, ...]:
    """The cells of a segment or a day; filmed is, as on the index, what has a take that can be used."""
    takes = (str(row.takes_planned), str(row.takes_real))
    late = over(_apart(row.planned_so_far, row.real_minutes, row.late_minutes))
    minutes = (duration(row.planned_so_far), duration(row.real_minutes), late)
    return row.name, f"{row.good} of {row.shots}", *minutes, *takes


def _apart(planned: float, real: float | None, late: float) -> float:
    """What one is over the other as both are printed, so that a row adds up; seconds are left as they are."""
    return round(real) - round(planned) if real is not None and min(planned, real) >= 1 else late


def over(minutes: float) -> str:
    """Word minutes over a plan with their sign: ``+5 min``, ``-1 h 10 min``, ``0``."""
    if abs(minutes) < 0.5:
        return "0"
    return ("+" if minutes > 0 else "-") + duration(abs(minutes))


def slip_text(take: Take) -> str:
    """Word a slip of the tongue with its shot, take and time."""
    said = "" if take.slip == "yes" else f": {take.slip}"
    return f"{take.shot}, take {take.take}, {take.day} {clock_text(take.start)}{said}"


def learnt_table(course: Course, learnt: Learnt) -> str:
    """Set the learnt paces as text, with their intervals and how sure it is; those of stitches where it has any."""
    others = () if words_of(course.pattern).pace else ("knitting", "on_camera")
    rows = [
        (one.name, f"{one.default:g}", f"{one.value:g}", f"{one.low:g} to {one.high:g}", str(one.n), one.sure)
        for one in learnt.estimates
        if one.name not in others
    ]
    head = ("Pace", "Planned", "Learnt", "9 in 10", "Seen", "How sure")
    return table(head, rows, frozenset({1, 2, 4}))


def which_paces(course: Course, learnt: Learnt) -> str:
    """Say which learnt paces the next plan uses, from where, and which the course sets itself."""
    named = course.course.learnt
    if named and named != LEARNT:
        return f"The next plan uses nothing of it: course.yaml names {named} under “learnt”."
    free = open_paces(course)
    used = [one for one in learnt.used if one.name in free]
    heard = [one.name for one in used if one in learnt.captions]
    seen = [one.name for one in used if one.name not in heard]
    own = [one.name for one in learnt.used if one.name not in free]
    parts = [f"The next plan uses from takes: {listing(seen)}."] if seen else []
    parts += [f"{'From' if seen else 'The next plan uses from'} captions: {listing(heard)}."] if heard else []
    parts = parts or ["Nothing of it is used by the next plan."]
    parts += [f"Set in course.yaml, and used from there: {listing(own)}."] if own else []
    return " ".join(parts)


def takes_data(taken: Taken) -> dict[str, Any]:
    """Give the comparison as plain values; minutes rounded to a tenth."""
    by_shot = takes_by_shot(taken.takes)
    return {
        "shots": [
            {
                "shot": row.number,
                "planned_minutes": round(row.planned_minutes, 1),
                "real_minutes": None if row.real_minutes is None else round(row.real_minutes, 1),
                "takes_planned": row.takes_planned,
                "takes": row.takes_real,
                "best_take": row.best.take if row.best else None,
                "usable_takes": [take.take for take in by_shot.get(row.number, ()) if take.verdict in USABLE],
            }
            for row in taken.compared.shots
        ],
        "segments": [_sum_data(row) for row in taken.compared.segments],
        "days": [_sum_data(row) for row in taken.compared.days],
        "slips": [
            {
                "shot": take.shot,
                "take": take.take,
                "day": take.day.isoformat(),
                "at": clock_text(take.start),
                "said": take.slip,
            }
            for take in slips_kept(taken.takes)
        ],
        "learnt": {one.name: pace_learnt(one, one.default) for one in taken.learnt.estimates},
        "problems": [problem.as_dict() for problem in taken.problems],
    }


def _sum_data(row: SumRow) -> dict[str, Any]:
    return {
        "name": row.name,
        "shots": row.shots,
        "filmed": row.good,
        "planned_minutes": round(row.planned_so_far, 1),
        "real_minutes": round(row.real_minutes, 1),
        "takes": row.takes_real,
    }
