"""What viewers work between two episodes of a course: the stages of each, and the minutes that they take."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from lessonplan.course.problems import Problem, warning
from lessonplan.course.words import count_of, listing
from lessonplan.craft import tables
from lessonplan.craft.words import rest_named, words_of
from lessonplan.pattern.amounts.minutes import cumulative_minutes
from lessonplan.pattern.variants.ways import Way
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.planning.worked import Plan
from lessonplan.publish.byepisode import stage_episodes
from lessonplan.remembered import remembered

PACES = ("slow", "middling", "quick")
"""The viewers' paces, by their names in the table of knitting speeds."""


@dataclass(frozen=True, slots=True)
class Homework:
    """What is worked after an episode and before the next: keys of stages, and how many pieces from the beginning.

    ``released`` is the day on which the episode comes out, ``days`` how many there are until the next; None and 0 where
    the course does not say, or nothing comes next. ``drying`` are minutes for which nobody's hands are needed,
    one rest after the other where a stage waits for the one before; ``rests`` are their keys.
    """

    episode: int
    title: str
    stages: tuple[str, ...]
    more: int
    released: date | None
    days: int
    drying: float
    rests: tuple[str, ...]


def homework(plan: Plan) -> tuple[Homework, ...]:
    """Share the stages of a pattern out over the episodes of its course, the last of which is followed by the rest."""
    release, begins = plan.course.course.release, stage_episodes(plan)
    worked, make = plan.worked.pattern, plan.course.pattern.make
    found = []
    for place, episode in enumerate(plan.course.episodes):
        stages = tuple(key for key, at in begins.items() if at == episode.episode)
        last = place == len(plan.course.episodes) - 1
        steps = [step for key in stages for step in worked.stage(key, plan.worked.size).steps]
        found.append(
            Homework(
                episode=episode.episode,
                title=episode.title,
                stages=stages,
                more=make - 1 if last else 0,
                released=release.first + timedelta(days=place * release.days_between) if release else None,
                days=release.days_between if release and not last else 0,
                drying=_longest(worked, stages, plan.worked.size),
                rests=tuple(dict.fromkeys(step.rest for step in steps if step.drying)),
            )
        )
    return tuple(found)


def _longest(worked: WorkedPattern, stages: Sequence[str], size: int) -> float:
    """Minutes of the longest chain of rests: what dries beside another waits no longer, what comes after it does."""
    ends: dict[str, float] = {}
    for key in worked.order:
        before = max((ends[one] for one in worked.before[key]), default=0.0)
        own = sum(step.drying for step in worked.stage(key, size).steps) if key in stages else 0.0
        ends[key] = before + own
    return max(ends.values(), default=0.0)


def minutes(plan: Plan, home: Homework, way: Way, size: int, pace: str) -> float:
    """Hands-on minutes of one episode's homework, at a pace of the table (``slow``), in a size, worked in a way."""
    each = _of_stages(way.worked, pace, plan.course.course.techniques)
    once = sum(each[key][size] for key in stages_in(plan, home, way))
    return once + home.more * sum(each[key][size] for key in way.worked.order)


@remembered(60)
def _of_stages(worked: WorkedPattern, pace: str, factors: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
    """Hands-on minutes of each stage in each size."""
    speed = tables.pace(pace)
    return {
        key: [cumulative_minutes(stage, speed, factors)[-1] for stage in stages]
        for key, stages in worked.stages.items()
    }


def quarters(plan: Plan, home: Homework, way: Way, size: int, pace: str) -> int:
    """Quarters of an hour that one episode's homework takes at most: its minutes (`minutes`), rounded up."""
    return ceil(minutes(plan, home, way, size, pace) / 15 - 1e-9)


def all_quarters(plan: Plan, way: Way, size: int, pace: str) -> int:
    """Quarters of an hour that all of it takes: those of the episodes added up, so that every paper has one sum."""
    return sum(quarters(plan, home, way, size, pace) for home in homework(plan))


def stages_in(plan: Plan, home: Homework, way: Way) -> Iterator[str]:
    """Give the stages of an episode that a way has; one that is not filmed goes with the stage that it comes after."""
    begins = stage_episodes(plan)
    for key in way.worked.order:
        if key in begins:
            at = begins[key]
        else:
            before = [begins[one] for one in way.worked.ancestors(key) if one in begins]
            at = max(before, default=plan.course.episodes[0].episode)
        if at == home.episode:
            yield key


def too_much(plan: Plan) -> Iterator[Problem]:
    """Question episodes between which viewers of a middling pace have more to do than hours for it, or to let lie."""
    release, sizes = plan.course.course.release, plan.course.pattern.sizes
    if release is None:
        return
    for home in homework(plan):
        if home.days and home.drying > home.days * 1440:
            leaves = listing([rest_named(one).leave for one in home.rests])
            long = f"{ceil(home.drying / 144) / 10:g} days {leaves}"
            what = (
                f"After episode {home.episode} the work of viewers lies for {long}, and the next comes out "
                f"{count_of(home.days, 'day')} after it."
            )
            hint = f"Leave {ceil(home.drying / 1440)} days and some for the work, or tell them to begin earlier."
            yield warning(release.mark("days_between"), "homework", what, hint)
    if release.hours_per_week is None:
        return
    speed, filmed = tables.pace("middling"), plan.worked.ways[0]
    pace = words_of(plan.course.pattern).pace
    at = f" at {speed:g} {pace}" if pace else ""
    for home in homework(plan):
        if not home.days:
            continue
        asked = [minutes(plan, home, filmed, size, "middling") / 60 for size in range(len(sizes))]
        there = release.hours_per_week * home.days / 7
        most = max(asked)
        if most > there:
            size = f" in size {sizes[asked.index(most)].name}" if len(sizes) > 1 else ""
            what = (
                f"After episode {home.episode} viewers have {most:.1f} hours of work{size}{at}, and "
                f"{there:.1f} hours for it in {count_of(home.days, 'day')}."
            )
            days = ceil(most / release.hours_per_week * 7)
            hint = f"Leave {days} days between the episodes, or share the work out over them in another way."
            yield warning(release.mark("days_between"), "homework", what, hint)
