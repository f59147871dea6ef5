"""Rules that need no arithmetic: each is one small function from a course to its problems."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from lessonplan.course.model import works as wm
from lessonplan.course.model.pattern import WASTE
from lessonplan.course.model.together import Course
from lessonplan.course.names.asked import STATE_RULES
from lessonplan.course.names.options import OPTION_RULES
from lessonplan.course.names.toolbox import TOOL_RULES
from lessonplan.course.problems import Problem, did_you_mean, error, note, warning
from lessonplan.course.rules.cuework import CUE_RULES
from lessonplan.course.rules.filming import FILMING_RULES
from lessonplan.course.rules.kits import KIT_RULES
from lessonplan.course.rules.needles import NEEDLE_RULES
from lessonplan.course.rules.references import AGREED_RULES
from lessonplan.course.values.quantities import Extent, PerSize


def materials_exist(course: Course) -> Iterator[Problem]:
    """What a work uses is a material of the pattern, always in one unit, for every size."""
    pattern, units = course.pattern, dict[str, str]()
    for _, _, work in course.works():
        for name, portion in work.uses.items():
            where = work.mark("uses", name)
            if name not in pattern.materials:
                hint = did_you_mean(name, pattern.materials) or "List it under “materials” with its name."
                yield error(where, "unknown-material", f"There is no material “{name}”.", hint)
            unit = units.setdefault(name, portion.unit)
            if unit.rstrip("s") != portion.unit.rstrip("s"):
                what = f"“{name}” is in {portion.unit or 'no unit'} here, and in {unit or 'no unit'} before."
                yield error(where, "unit", what, "Use one unit for each material.")
            if len(portion.values) not in (1, len(pattern.sizes)):
                what = f"{len(portion.values)} values are given here, but there are {len(pattern.sizes)} sizes."
                yield error(where, "sizes", what)


def one_rest(course: Course) -> Iterator[Problem]:
    """A work has one time in which nobody's hands are needed."""
    for _, _, work in course.works():
        rests = [key for key in wm.Resting.model_fields if key not in wm.Work.model_fields and work.stands(key)]
        if isinstance(work, wm.Resting) and len(rests) > 1:
            what = f"A work has one time in which nobody's hands are needed, not both {rests[0]} and {rests[1]}."
            yield error(work.mark(rests[1]), "rest", what, "Make two works of it.")


Rule = Callable[[Course], Iterator[Problem]]
JUMP = 3
"""Neighbouring sizes differ by less than this factor, unless their values are small (a guess)."""
YARN_CRAFTS = ("knitting", "crochet")
ON_SOMETHING = (wm.Knit, wm.Spread, wm.BindOff, wm.DrawThrough, wm.WeaveEnds, wm.Block)
"""Works that need a piece which is there already."""
BEGINS = re.compile(r"\b(co|cast|ch|chain|ring|mr|pick)\b", re.IGNORECASE)
"""Words of lines that begin a piece."""


def stage_keys(course: Course) -> Iterator[Problem]:
    """A stage's key is a plain word, since texts name it in facts."""
    stages = course.pattern
    for key in stages.stages:
        if not re.fullmatch(r"[a-z][a-z0-9_]*", key):
            yield error(
                stages.stages[key].mark(),
                "stage-name",
                f"“{key}” cannot name a stage: small letters, digits and _ are used, a letter first.",
            )


def stages_exist(course: Course) -> Iterator[Problem]:
    """What a stage comes after must be a stage."""
    known = course.pattern.stages
    for stage in known.values():
        for number, name in enumerate(stage.after):
            if name not in known and name not in {key.lower() for key in known}:
                where = stage.mark("after", number)
                yield error(where, "unknown-stage", f"There is no stage “{name}”.", did_you_mean(name, known))


def stages_go_on(course: Course) -> Iterator[Problem]:
    """Warn of a stage after nothing whose first work needs what another one made: “after” was forgotten."""
    stages = course.pattern.stages
    for before, (key, stage) in zip(stages, list(stages.items())[1:], strict=False):
        first = next((work for work in stage.works if not isinstance(work, wm.Point)), None)
        begins = isinstance(first, wm.Knit) and any(BEGINS.search(line) for line in first.lines)
        if not stage.after and isinstance(first, ON_SOMETHING) and not begins:
            what = f"“{key}” comes after no stage, so it begins with nothing on the needles."
            yield warning(stage.mark(), "no-after", what, f"To go on with what is there, write: after: {before}")


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
        if isinstance(work, wm.Knit) and work.chart and work.chart not in charts:
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
        if not isinstance(work, wm.Knit):
            continue
        unread = work.stands("lines") and "lines" not in work.model_fields_set  # what is wrong with them is told
        if not work.lines and not work.chart and not unread:
            yield error(work.mark(), "no-lines", "These rounds have no lines that say how they are worked.")
        if work.rounds is not None and work.rows is not None:
            yield error(work.mark("rows"), "rounds-and-rows", "A work has rounds or rows, not both.")


def held_stitches(course: Course) -> Iterator[Problem]:
    """What is taken up must have been put on hold under that name."""
    names = _held(course)
    for _, _, work in course.works():
        if isinstance(work, wm.TakeUp) and work.take_up not in names:
            opening = work.take_up in {one.name for _, _, one in course.works() if isinstance(one, wm.Placeholder)}
            hint = f"It is a placeholder: “open: {work.take_up}”." if opening else did_you_mean(work.take_up, names)
            yield error(work.mark("take_up"), "not-held", f"No stitches are held as “{work.take_up}”.", hint)


def _held(course: Course) -> set[str]:
    """The names under which stitches are put on hold."""
    held = {work.name for _, _, work in course.works() if isinstance(work, wm.Hold)}
    return held | {work.holds for _, _, work in course.works() if isinstance(work, wm.Knit) and work.holds}


def openings(course: Course) -> Iterator[Problem]:
    """What is opened must have been made under that name, and what is grafted to must be held or a stage."""
    made = {work.name for _, _, work in course.works() if isinstance(work, wm.Placeholder)}
    held = _held(course)
    for _, _, work in course.works():
        if isinstance(work, wm.Open) and work.open not in made:
            what = f"No opening is made as “{work.open}”."
            yield error(work.mark("open"), "not-placed", what, did_you_mean(work.open, made))
        if isinstance(work, wm.Graft) and work.to and work.to not in held | set(course.pattern.stages):
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


def names_once(course: Course) -> Iterator[Problem]:
    """Two knitters, two cameras, or two pieces in the drawer, do not share a name."""
    for items in (course.course.knitters, course.course.cameras, course.course.samples.drawer):
        seen = set()
        for item in items:
            if item.name in seen:
                yield error(item.mark("name"), "name-twice", f"“{item.name}” is named twice.")
            seen.add(item.name)


RULES: tuple[Rule, ...] = (
    stage_keys,
    stages_exist,
    stages_go_on,
    segment_stages,
    no_cycle,
    sizes_fit,
    sizes_in_order,
    gauges_believable,
    gauge_and_yarn,
    yarns_exist,
    materials_exist,
    one_rest,
    *NEEDLE_RULES,
    charts_exist,
    rounds_have_lines,
    held_stitches,
    openings,
    *OPTION_RULES,
    film_size,
    episode_numbers,
    *STATE_RULES,
    *FILMING_RULES,
    *CUE_RULES,
    *AGREED_RULES,
    *TOOL_RULES,
    *KIT_RULES,
    names_once,
)
