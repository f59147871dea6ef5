"""The shot list: every shot by view, so that the camera is moved as little as possible while looking for gaps."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import duration, screen_time, short_day
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Row:
    """One shot on the list."""

    shot: ShotText
    day: str
    screen: str
    floor: str


@dataclass(frozen=True, slots=True)
class ViewGroup:
    """All shots of one view of the camera."""

    view: str
    total: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class ShotListView:
    """What stands on the shot list."""

    title: str
    count: int
    changes: int
    groups: tuple[ViewGroup, ...]


def shot_list_view(plan: Plan) -> ShotListView:
    """Lay out the shot list, views in the order in which they first appear."""
    texts, clocks = all_shots(plan), plan.worked.clocks
    days: dict[str, str] = {
        item.number: short_day(plan.course.course.shoot[item.day].day) for item in plan.worked.listed
    }
    groups: dict[str, list[Row]] = {}
    for number, text in texts.items():
        clock = clocks[number]
        row = Row(text, days.get(number, "no day"), screen_time(clock.screen.mean), duration(clock.floor.mean))
        groups.setdefault(text.view, []).append(row)
    totals = {view: sum(clocks[row.shot.number].floor.mean for row in rows) for view, rows in groups.items()}
    listed = plan.worked.listed
    changes = sum(a.shot.view != b.shot.view and a.day == b.day for a, b in pairwise(listed))
    views = tuple(ViewGroup(view, duration(totals[view]), tuple(rows)) for view, rows in groups.items())
    return ShotListView(plan.course.course.title, len(texts), changes, views)
