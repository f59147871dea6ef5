"""Rules about what a pattern's works use up, and what they leave to dry, fire or set."""

from __future__ import annotations

from collections.abc import Iterator

from lessonplan.course.model.together import Course
from lessonplan.course.model.works import Resting, Work
from lessonplan.course.problems import Problem, did_you_mean, error


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
        rests = [key for key in Resting.model_fields if key not in Work.model_fields and work.stands(key)]
        if isinstance(work, Resting) and len(rests) > 1:
            what = f"A work has one time in which nobody's hands are needed, not both {rests[0]} and {rests[1]}."
            yield error(work.mark(rests[1]), "rest", what, "Make two works of it.")


MATERIAL_RULES = (materials_exist, one_rest)
