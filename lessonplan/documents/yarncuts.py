"""Who cuts the yarn that a stop leaves on a piece: on camera, before a shot, or whoever goes on with it; and its lines.

The pattern says at the end of a stage that a yarn is cut. A piece that stops there keeps it, so that somebody must be
told later.
"""

from __future__ import annotations

import re
from dataclasses import replace

from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.documents.worklines import RoundLine, StageLines, cut_after, last_stages, lines_of
from lessonplan.planning.asking import appearance_of
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, State, Stop

_WHEN = {"filmed": "in shot {}, on camera", "before": "before shot {}", "work": "when it is worked on for {}"}


def lines_with_cuts(plan: Plan, piece: Piece, begun: State, goal: State, since: int) -> tuple[StageLines, ...]:
    """Give the lines from one state of a piece to another, with when it is cut off where they leave a yarn hanging.

    ``since``: the place of the first of its stops that it comes to in the goal.
    """
    found = []
    at = plan.worked.kinds[piece.kind].order.index
    for one in lines_of(plan, piece.kind, begun, goal):
        how, number = _cut(plan, piece, one.key, goal[at(one.key)], since) if one.later else ("", "")
        found.append(replace(one, when=_WHEN[how].format(number) if how else ""))
    first = cut_first(plan, piece, piece.stops[since]) if any(piece.stops[since].spells) and found else ()
    lines = tuple(RoundLine("", text, "", remark=True) for text in first)
    return (replace(found[0], lines=(*lines, *found[0].lines)), *found[1:]) if lines else tuple(found)


def lines_of_begun(plan: Plan, piece: Piece, begun: State) -> tuple[StageLines, ...]:
    """Give the lines to a piece's first stop; nobody knows of a piece that is begun whether it is cut off already."""
    worked, lines = plan.worked.kinds[piece.kind], lines_with_cuts(plan, piece, begun, piece.first, 0)
    keys = last_stages(worked, begun) - last_stages(worked, piece.first)
    texts = [
        text
        for key, done in zip(worked.order, begun, strict=True)
        for text in (cut_after(plan, worked.stage(key, plan.worked.size), done) if key in keys else ())
    ]
    first = tuple(RoundLine("", f"If that is not done yet: {text}", "", remark=True) for text in texts)
    return (replace(lines[0], lines=(*first, *lines[0].lines)), *lines[1:]) if first and lines else lines


def cut_first(plan: Plan, piece: Piece, stop: Stop) -> tuple[str, ...]:
    """Say what is cut before anything else is done on a piece for a stop, or, if it comes as it was, in its shot."""
    place, before = piece.stops.index(stop), piece.brought(stop)
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    last, found = last_stages(worked, before), list[str]()
    for at, key in enumerate(worked.order):
        texts = cut_after(plan, worked.stage(key, size), before[at]) if key in last else ()
        since = next((n for n, one in enumerate(piece.stops) if one.start[at] == before[at]), place)
        how, number = _cut(plan, piece, key, before[at], since) if texts else ("", "")
        if number == shot_of(stop.demand) and how == ("work" if stop.spells else "before"):
            found += texts
    return tuple(found)


def _cut(plan: Plan, piece: Piece, key: str, done: int, since: int) -> tuple[str, str]:
    """How the yarn is cut that hangs on a piece when so much of a stage is done, and in or for which shot.

    Nothing where it never is.
    """
    worked = plan.worked.kinds[piece.kind]
    at = worked.order.index(key)
    for place, stop in enumerate(piece.stops[since:], since):
        number = shot_of(stop.demand)
        if place > since and stop.spells and (stop.start[at] > done or key not in last_stages(worked, stop.start)):
            return "work", number
        shot = plan.course.shot(ShotNumber(number))
        if any(_cuts_off(plan, one.do, stop) for one in shot.hands):
            return "filmed", number
        if stop.end != stop.start or any(one.work for one in shot.hands):
            return "before", number
    return "", ""


def _cuts_off(plan: Plan, do: str, stop: Stop) -> bool:
    """Whether hands cut something off this piece: where a text names one of several, only off that one."""
    if not re.search(r"\b(?:cut|snip|break)\b", do, re.IGNORECASE):
        return False
    here = (one.label for one in plan.worked.table if one.label and one.shot == shot_of(stop.demand))
    named = [label for label in here if label.lower() in do.lower()]
    mine = next(one.label for one in plan.worked.table if one.name == appearance_of(stop.demand))
    return not named or mine in named
