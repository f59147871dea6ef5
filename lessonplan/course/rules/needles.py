"""Rules about needles: what the list and the texts of a pattern say of a stage's needle is what its gauge says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from lessonplan.course.model.pattern import Stage
from lessonplan.course.model.together import Course
from lessonplan.course.model.works import Knit
from lessonplan.course.problems import Problem, Where, warning

_MM = re.compile(r"(\d+(?:[.,]\d+)?)\s*mm\b")
_WORD = re.compile(r"[a-z]{4,}")


def needles_agree(course: Course) -> Iterator[Problem]:
    """Warn where the list of needles, or a line or remark of a stage, names another needle for it than its gauge."""
    pattern = course.pattern
    for key, stage in pattern.stages.items():
        mine = _size((stage.gauge or pattern.gauge).needle)
        if not mine:
            continue
        names = set(_WORD.findall(f"{key} {stage.title}".lower()))
        for place, text in enumerate(pattern.needles):
            size, told, what_for = _size(text), *text.lower().partition(" for ")[::2]
            if told and size and size != mine and names & set(_WORD.findall(what_for)):
                yield _other(stage, pattern.mark("needles", place), text, mine)
        for where, text in _told(stage):
            size = _size(text)
            if size and size != mine:
                yield _other(stage, where, text, mine)


def _size(text: str) -> float:
    found = _MM.search(text)
    return float(found[1].replace(",", ".")) if found else 0.0


def _told(stage: Stage) -> Iterator[tuple[Where, str]]:
    """Give what a stage says of needles, sentence by sentence."""
    for work in stage.works:
        said = [(work.mark("before"), work.before), (work.mark("note"), work.note)]
        if isinstance(work, Knit):
            said += [(work.mark("lines", place), line) for place, line in enumerate(work.lines)]
        for where, text in said:
            for sentence in re.split(r"(?<=[.!?;])\s", text):
                if "needle" in sentence.lower():
                    yield where, sentence


def _other(stage: Stage, where: Where, text: str, mine: float) -> Problem:
    what = f"“{stage.title}” is worked on {mine:g} mm by its gauge, but here it says: {text.strip()}"
    return warning(where, "other-needle", what, "Give the stage a gauge of its own, with the right “needle:” in it.")


NEEDLE_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (needles_agree,)
