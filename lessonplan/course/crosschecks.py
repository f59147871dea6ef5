"""Rules that need no arithmetic: each is one small function from a course to its problems."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from lessonplan.course.asked import STATE_RULES
from lessonplan.course.cuework import CUE_RULES
from lessonplan.course.kits import KIT_RULES
from lessonplan.course.materials import MATERIAL_RULES
from lessonplan.course.model import Course
from lessonplan.course.numbers import ShotNumber
from lessonplan.course.options import OPTION_RULES
from lessonplan.course.pattern_model import WASTE, Graft, Hold, Knit, Open, Placeholder, TakeUp
from lessonplan.course.problems import Problem, did_you_mean, error, nearest, note, warning
from lessonplan.course.quantities import Extent, PerSize
from lessonplan.course.references import AGREED_RULES
from lessonplan.course.referrals import REFERRAL_RULES
from lessonplan.course.toolbox import TOOL_RULES

Rule = Callable[[Course], Iterator[Problem]]
JUMP = 3
"""Neighbouring sizes differ by less than this factor, unless their values are small (a guess)."""
YARN_CRAFTS = ("knitting", "crochet")


def stage_keys(course: Course) -> Iterator[Problem]:
    """A stage's key is a plain word, since texts name it in facts."""
    stages = course.pattern
    for key in stages.stages:
        if not re.fullmatch(r"[a-z][a-z0-9_]*", key):
            yield error(
                stages.stages[key].mark(),
                "stage-name",
                f"“{key}” cannot be the key of a stage: small letters, digits and _ are used, a letter first.",
            )


def stages_exist(course: Course) -> Iterator[Problem]:
    """What a stage comes after must be a stage."""
    known = course.pattern.stages
    for stage in known.values():
        for number, name in enumerate(stage.after):
            if name not in known:
                where = stage.mark("after", number)
                yield error(where, "unknown-stage", f"There is no stage “{name}”.", did_you_mean(name, known))


def segment_stages(course: Course) -> Iterator[Problem]:
    """The stage at which a segment's text stands on the handout must be a stage."""
    known = course.pattern.stages
    for _, _, segment in course.segments():
        if segment.stage and segment.stage not in known:
            where, hint = segment.mark("stage"), did_you_mean(segment.stage, known)
            yield error(where, "unknown-stage", f"There is no stage “{segment.stage}”.", hint)


def no_cycle(course: Course) -> Iterator[Problem]:
    """The order of stages must not go round in a circle."""
    stages = course.pattern.stages
    try:
        TopologicalSorter({key: [n for n in stage.after if n in stages] for key, stage in stages.items()}).prepare()
    except CycleError as bad:
        circle = bad.args[1][::-1]
        named = " after ".join(f"“{name}”" for name in circle)
        yield error(stages[circle[0]].mark("after"), "cycle", f"The stages go round in a circle: {named}.")


def sizes_fit(course: Course) -> Iterator[Problem]:
    """A value given for each size must be given for every size."""
    count = len(course.pattern.sizes)
    for _, _, work in course.works():
        for field in type(work).model_fields:
            value = getattr(work, field)
            length = len(getattr(value, "values", value)) if _is_sized(value) else 1
            if length not in (1, count):
                yield error(work.mark(field), "sizes", f"{length} values are given here, but there are {count} sizes.")
    for name, measure in course.pattern.measures.items():
        if len(measure.length) not in (1, count):
            where = measure.mark("length")
            given = len(measure.length)
            yield error(where, "sizes", f"“{name}” gives {given} values, but there are {count} sizes.")


def _is_sized(value: object) -> bool:
    return isinstance(value, (PerSize, Extent))


def sizes_in_order(course: Course) -> Iterator[Problem]:
    """Question values that go up and down from size to size, or jump: one figure is often a slip."""
    names = [size.name for size in course.pattern.sizes]
    sized = [
        (tuple(getattr(value, "values", value)), work.mark(field), "")
        for _, _, work in course.works()
        for field in type(work).model_fields
        if _is_sized(value := getattr(work, field))
    ]
    measures = course.pattern.measures.items()
    sized += [(measure.length, measure.mark("length"), f" of “{name}”") for name, measure in measures]
    for values, where, of in sized:
        if len(values) != len(names) or 0 in values:
            continue
        slack = 1 if all(float(value).is_integer() for value in values) else 0
        steps = [b - a for a, b in pairwise(values)]
        if any(step > slack for step in steps) and any(step < -slack for step in steps):
            place = next(number for number, (a, b) in enumerate(pairwise(steps), 1) if a * b < 0)
            what = f"The values{of} go up and down from size to size: look at size {names[place]}."
            yield note(where, "sizes-order", what)
        for place, (a, b) in enumerate(pairwise(values)):
            if max(a, b) > JUMP * min(a, b) and abs(b - a) > 10:
                what = f"The values{of} for sizes {names[place]} and {names[place + 1]} are far apart."
                yield note(where, "sizes-jump", what)


def gauges_believable(course: Course) -> Iterator[Problem]:
    """Question a gauge that no yarn gives, and one of a stage that is far from the main one (bounds are a guess)."""
    pattern = course.pattern
    if pattern.craft.lower() not in YARN_CRAFTS:
        return
    main = pattern.gauge if "gauge" in pattern.model_fields_set else None
    for gauge in (main, *(stage.gauge for stage in pattern.stages.values())):
        if gauge is None:
            continue
        for key in ("stitches", "rounds"):
            count = getattr(gauge, key) / gauge.over * 100
            other = getattr(main, key) / main.over * 100 if main else count
            what = ""
            if not 2 <= count <= 120:
                than = "more than any thread" if count > 120 else "fewer than a rope"
                what = f"{count:g} {key} to 10 cm are {than} gives."
            elif not 0.4 <= count / other <= 2.5:
                what = f"{count:g} {key} to 10 cm are far from the main gauge, which has {other:g}."
            if what:
                yield warning(gauge.mark(key), "gauge", what, "“over” says over which length it is counted.")


def gauge_and_yarn(course: Course) -> Iterator[Problem]:
    """Knitting and crochet need a gauge and a yarn."""
    pattern = course.pattern
    if pattern.craft.lower() in YARN_CRAFTS:
        for key in ("gauge", "yarns"):
            if key not in pattern.model_fields_set or not getattr(pattern, key):
                yield error(pattern.mark(), "missing-key", f"“{key}” is missing here.")


def yarns_exist(course: Course) -> Iterator[Problem]:
    """A work's yarn must be one of the pattern's yarns."""
    known = (*course.pattern.yarns, WASTE)
    for _, _, work in course.works():
        for key in ("yarn", "carry"):
            for number, name in enumerate(getattr(work, key, ())):
                if name not in known:
                    where = work.mark(key, number)
                    yield error(where, "unknown-yarn", f"There is no yarn “{name}”.", did_you_mean(name, known))
    for yarn in course.pattern.yarns.values():
        for key in ("metres", "grams"):
            if not yarn.waste and not getattr(yarn, key) and not yarn.stands(key):
                yield error(yarn.mark(), "missing-key", f"“{key}” is missing here.")


def charts_exist(course: Course) -> Iterator[Problem]:
    """A work's chart must be one of the pattern's charts, and a chart's letters its yarns."""
    charts = course.pattern.charts
    for _, _, work in course.works():
        if isinstance(work, Knit) and work.chart and work.chart not in charts:
            yield error(
                work.mark("chart"),
                "unknown-chart",
                f"There is no chart “{work.chart}”.",
                did_you_mean(work.chart, charts),
            )
    for chart in charts.values():
        for letter, yarn in chart.colours.items():
            if yarn not in course.pattern.yarns:
                what = f"“{yarn}” ({letter}) is no yarn of the pattern."
                yield error(chart.mark("colours"), "unknown-yarn", what, did_you_mean(yarn, course.pattern.yarns))


def rounds_have_lines(course: Course) -> Iterator[Problem]:
    """Rounds need lines (or a chart) that say how they are worked, and one way to say how many."""
    for _, _, work in course.works():
        if not isinstance(work, Knit):
            continue
        if not work.lines and not work.chart:
            yield error(work.mark(), "no-lines", "These rounds have no lines that say how they are worked.")
        if work.rounds is not None and work.rows is not None:
            yield error(work.mark("rows"), "rounds-and-rows", "A work has rounds or rows, not both.")


def held_stitches(course: Course) -> Iterator[Problem]:
    """What is taken up must have been put on hold under that name."""
    names = {work.name for _, _, work in course.works() if isinstance(work, Hold)}
    names |= {work.holds for _, _, work in course.works() if isinstance(work, Knit) and work.holds}
    for _, _, work in course.works():
        if isinstance(work, TakeUp) and work.take_up not in names:
            opening = work.take_up in {one.name for _, _, one in course.works() if isinstance(one, Placeholder)}
            hint = f"It is a placeholder: “open: {work.take_up}”." if opening else did_you_mean(work.take_up, names)
            yield error(work.mark("take_up"), "not-held", f"No stitches are held as “{work.take_up}”.", hint)


def openings(course: Course) -> Iterator[Problem]:
    """What is opened must have been made under that name, and what is grafted to must be held or a stage."""
    made = {work.name for _, _, work in course.works() if isinstance(work, Placeholder)}
    held = {work.name for _, _, work in course.works() if isinstance(work, Hold)}
    held |= {work.holds for _, _, work in course.works() if isinstance(work, Knit) and work.holds}
    for _, _, work in course.works():
        if isinstance(work, Open) and work.open not in made:
            what = f"No opening is made as “{work.open}”."
            yield error(work.mark("open"), "not-placed", what, did_you_mean(work.open, made))
        if isinstance(work, Graft) and work.to and work.to not in held | set(course.pattern.stages):
            what = f"No stitches are held or left live as “{work.to}”."
            yield error(work.mark("to"), "not-held", what, did_you_mean(work.to, held | set(course.pattern.stages)))


def film_size(course: Course) -> Iterator[Problem]:
    """The size being filmed must be one of the sizes."""
    wanted, known = course.course.film_size, [size.name for size in course.pattern.sizes]
    if wanted and wanted not in known:
        where = course.course.mark("film_size")
        yield error(where, "unknown-size", f"There is no size “{wanted}”.", did_you_mean(wanted, known))
    if not wanted and len(known) > 1:
        yield error(course.course.mark(), "film-size", "“film_size” is missing: which of the sizes is filmed?")


def episode_numbers(course: Course) -> Iterator[Problem]:
    """No two episodes have one number."""
    seen: dict[int, str] = {}
    for episode in course.episodes:
        where = episode.mark("episode")
        if episode.episode in seen:
            other = seen[episode.episode]
            yield error(where, "episode-number", f"Episode {episode.episode} is given twice (also in {other}).")
        seen.setdefault(episode.episode, where.file)


def hands_do_something(course: Course) -> Iterator[Problem]:
    """What hands do is either a line worked on camera, or something else with its time."""
    for _, _, _, shot in course.shots():
        for hands in shot.hands:
            if bool(hands.work) == bool(hands.do):
                yield error(hands.mark(), "hands", "Give either “work” (a line) or “do” (with its time) here.")
            elif hands.do and hands.time is None:
                yield error(hands.mark(), "hands-time", "“time” is missing: how long does this take?")


def films_exist(course: Course) -> Iterator[Problem]:
    """Shoot days name shots that exist, and every shot is filmed once."""
    numbers = [one.number for one in course.shots()]
    filmed: dict[str, str] = {}
    for day in course.course.shoot:
        for place, name in enumerate(day.films):
            where = day.mark("films", place)
            matching = [number for number in numbers if number.is_part_of(name)]
            if not matching:
                yield error(where, "unknown-shot", f"There is no episode, segment or shot “{name}”.")
            twice = [number for number in matching if number in filmed]
            if twice:
                yield error(
                    where, "filmed-twice", f"Shot {twice[0]} is filmed twice (also under “{filmed[twice[0]]}”)."
                )
            filmed.update(dict.fromkeys(matching, name))
    for number, _, _, shot in course.shots():
        if number not in filmed:
            yield warning(shot.mark(), "not-filmed", f"Shot {number} is on no shoot day.")


def shots_after(course: Course) -> Iterator[Problem]:
    """What a shot is filmed after must be shots or segments, and not the shot itself."""
    numbers = [one.number for one in course.shots()]
    for number, _, _, shot in course.shots():
        for place, name in enumerate(shot.after):
            matching = [other for other in numbers if other.is_part_of(name)]
            if not matching:
                yield error(shot.mark("after", place), "unknown-shot", f"There is no segment or shot “{name}”.")
            if number in matching:
                yield error(shot.mark("after", place), "after-itself", f"Shot {number} cannot come after itself.")


def locks_agree(course: Course) -> Iterator[Problem]:
    """What shots are filmed after does not go round in a circle, and is not filmed on a later day."""
    before: dict[ShotNumber, list[ShotNumber]] = {one.number: [] for one in course.shots()}
    for first, then in course.locks():
        if first != then:
            before[then].append(first)
    shots = {one.number: one.shot for one in course.shots()}
    try:
        TopologicalSorter(before).prepare()
    except CycleError as bad:
        circle = bad.args[1][::-1]
        where = next(shots[number].mark("after") for number in circle if shots[number].after)
        named = " after ".join(circle)
        yield error(where, "locks", f"The shots go round in a circle: {named}.")
    days = {
        number: day.day
        for day in course.course.shoot
        for name in day.films
        for number in shots
        if number.is_part_of(name)
    }
    for then, firsts in before.items():
        late = next((one for one in firsts if then in days and one in days and days[one] > days[then]), None)
        if late:
            what = f"Shot {then} comes after {late}, which is filmed on a later day."
            yield error(shots[then].mark("after"), "locks", what)


def days_in_order(course: Course) -> Iterator[Problem]:
    """Shoot days stand in the order of their dates, and wrap comes after call."""
    previous = None
    for day in course.course.shoot:
        if day.wrap <= day.call:
            yield error(day.mark("wrap"), "wrap", "The wrap is not after the call.")
        if previous and day.day <= previous:
            yield error(day.mark("day"), "day-order", f"{day.day} does not come after the shoot day before it.")
        if day.lunch and not day.call < day.lunch.at < day.wrap:
            yield error(day.mark("lunch"), "lunch", "Lunch is not between call and wrap.")
        previous = day.day


def names_once(course: Course) -> Iterator[Problem]:
    """Two knitters, two cameras, or two pieces in the drawer, do not share a name."""
    for items in (course.course.knitters, course.course.cameras, course.course.samples.drawer):
        seen = set()
        for item in items:
            if item.name in seen:
                yield error(item.mark("name"), "name-twice", f"“{item.name}” is named twice.")
            seen.add(item.name)


ALIKE, ALIKE_WITHIN = 0.8, 0.75
"""How like a name must be to another, from 0 to 1, to be taken for a slip of it, and if it begins and ends alike.

Guesses: “fase” is a slip of “face”, and “side” none of “wide”.
"""


def views_known(course: Course) -> Iterator[Problem]:
    """Question a view that only one shot has, and no list of views, when it is very like another one."""
    shots = [one.shot for one in course.shots()]
    used, listed = Counter(shot.view for shot in shots), course.course.views
    seen: set[str] = set()
    for shot in shots:
        if used[shot.view] == 1 and shot.view not in listed:
            others = {*listed, *seen, *(view for view, count in used.items() if count > 1)}
            near = _slip_of(shot.view, others)
            if near or listed:
                what = f"“{shot.view}” is the view of this shot alone" + (", and is not listed." if listed else ".")
                hint = f"Did you mean “{near}”?" if near else did_you_mean(shot.view, others)
                yield warning(shot.mark("view"), "view", what, hint)
        seen.add(shot.view)


def helpers_known(course: Course) -> Iterator[Problem]:
    """Question a helper whose name is very like a knitter's: only the knitter of that very name has a pace."""
    knitters = [one.name for one in course.course.knitters]
    for day in course.course.shoot:
        for place, name in enumerate(day.helpers):
            first = [one for one in knitters if one.split()[:1] == [name]]
            near = _slip_of(name, knitters) or (first[0] if len(first) == 1 else "")
            if name not in knitters and near:
                what = f"“{name}” is not among those who make pieces, so this helper works at the host's pace."
                yield warning(day.mark("helpers", place), "helper", what, f"Did you mean “{near}”?")


def _slip_of(name: str, others: Iterable[str]) -> str:
    """Give the name of which this one may be a slip of the pen; with another number in it (camera 2) it is none."""
    digits = re.findall(r"\d+", name)
    likely = [one for one in others if one != name and re.findall(r"\d+", one) == digits]
    framed = [one for one in likely if (one[:1], one[-1:]) == (name[:1], name[-1:])]
    return nearest(name, likely, ALIKE) or nearest(name, framed, ALIKE_WITHIN)


RULES: tuple[Rule, ...] = (
    stage_keys,
    stages_exist,
    segment_stages,
    no_cycle,
    sizes_fit,
    sizes_in_order,
    gauges_believable,
    gauge_and_yarn,
    yarns_exist,
    *MATERIAL_RULES,
    charts_exist,
    rounds_have_lines,
    held_stitches,
    openings,
    *OPTION_RULES,
    film_size,
    episode_numbers,
    *STATE_RULES,
    hands_do_something,
    *CUE_RULES,
    films_exist,
    shots_after,
    locks_agree,
    *AGREED_RULES,
    *REFERRAL_RULES,
    *TOOL_RULES,
    *KIT_RULES,
    days_in_order,
    names_once,
    views_known,
    helpers_known,
)
