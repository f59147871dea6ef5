"""The shot list: every shot by view, so that the camera is moved as little as possible while looking for gaps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from lessonplan.course.words import short_day
from lessonplan.documents.advice import CUT_AWAY, film_besides
from lessonplan.documents.arrivals import missing
from lessonplan.documents.filmed import Filmed, filmed_shots
from lessonplan.documents.shots import ShotText, all_shots
from lessonplan.documents.wording import duration, screen_time
from lessonplan.pattern.colourpairs import ratios, shown_pairs, verdict
from lessonplan.planning.contradicted import wetted
from lessonplan.planning.coverage import Covered, coverage, meaning_of
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import change_between


@dataclass(frozen=True, slots=True)
class Row:
    """One shot on the list; ``for_good``: it cannot be undone, since a piece is moved so or gets wet.

    ``missing``: its pieces that are not there on its day. ``also`` is to be filmed beside it for the edit; ``filmed``
    says what there is of it.
    """

    shot: ShotText
    missing: str
    for_good: bool
    day: str
    screen: str
    floor: str
    also: str
    filmed: str


@dataclass(frozen=True, slots=True)
class ViewGroup:
    """All shots of one view of the camera."""

    view: str
    total: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class CoverageRow:
    """A stage, technique or choice of the pattern, how it comes up in the video, and where."""

    what: str
    name: str
    how: str
    shots: str


@dataclass(frozen=True, slots=True)
class ColourRow:
    """Two yarns side by side: contrast in the picture and without red, green and blue, who sees them alike, where."""

    yarns: str
    contrasts: tuple[str, ...]
    verdict: str
    shots: str


@dataclass(frozen=True, slots=True)
class ShotListView:
    """What stands on the shot list; ``filmed`` counts the shots that can be cut, empty while no take is logged."""

    title: str
    count: int
    changes: int
    groups: tuple[ViewGroup, ...]
    coverage: tuple[CoverageRow, ...]
    colours: tuple[ColourRow, ...]
    filmed: str


def shot_list_view(plan: Plan) -> ShotListView:
    """Lay out the shot list, views in the order in which they first appear."""
    texts, clocks, filmed = all_shots(plan), plan.worked.clocks, filmed_shots(plan)
    dates = {str(item.number): plan.course.course.shoot[item.day].day for item in plan.worked.listed}
    groups: dict[str, list[Row]] = {}
    for number, text in texts.items():
        clock = clocks[number]
        row = Row(
            shot=text,
            missing=missing(plan, {one.letter for one in text.pieces}, dates[number]) if number in dates else "",
            for_good=text.one_way or bool(wetted(plan, number)),
            day=short_day(dates[number]) if number in dates else "no day",
            screen=screen_time(clock.screen.mean),
            floor=screen_time(clock.floor.mean),
            also=f"also {CUT_AWAY} s to cut to, without this work" if film_besides(plan, clock.number) else "",
            filmed=_filmed(filmed[number]) if number in filmed else "",
        )
        groups.setdefault(text.view, []).append(row)
    totals = {view: sum(clocks[row.shot.number].floor.mean for row in rows) for view, rows in groups.items()}
    listed = plan.worked.listed
    changes = sum(change_between(plan.course, a, b).view for a, b in pairwise(listed))
    views = tuple(ViewGroup(view, duration(totals[view]), tuple(rows)) for view, rows in groups.items())
    rows = tuple(
        CoverageRow(what=one.what, name=_which(one), how=one.how, shots=", ".join(one.shots))
        for one in coverage(plan.worked)
    )
    return ShotListView(
        title=plan.course.course.title,
        count=len(texts),
        changes=changes,
        groups=views,
        coverage=rows,
        colours=tuple(_colours(plan)),
        filmed=f"{sum(one.done for one in filmed.values())} of {len(texts)}" if filmed else "",
    )


def _which(one: Covered) -> str:
    """Name what comes up; a technique with its meaning, for not every name of one is printed elsewhere."""
    return f"{one.name}: {meaning_of(one.name)}" if one.what == "technique" else one.name


def _filmed(one: Filmed) -> str:
    """Say what there is of a shot: the take to use, else what it waits for."""
    return f"take {one.best.take}" if one.best else one.state if one.started else "not yet"


def _colours(plan: Plan) -> Iterator[ColourRow]:
    """Give a row for each pair of yarns worked side by side, with the shots in which they are seen so."""
    pattern, worked = plan.course.pattern, plan.worked.pattern
    for pair in shown_pairs(pattern, worked):
        names = (f"{key} ({pattern.yarns[key].colour or pattern.yarns[key].name})" for key in (pair.one, pair.other))
        places = [worked.order.index(stage) for stage in pair.stages]
        shots = {piece.shot: None for piece in plan.worked.table if any(piece.first[1].end[place] for place in places)}
        yield ColourRow(
            yarns=" beside ".join(names),
            contrasts=tuple(f"{ratio:.1f}" for ratio in ratios(pattern, pair)),
            verdict=verdict(pattern, pair) or "told apart by everybody",
            shots=", ".join(shots),
        )
