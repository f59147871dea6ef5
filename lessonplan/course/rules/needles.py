"""Rules about needles: a stage has one, and what list and texts say of it is what the gauge says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from lessonplan.course.model.pattern import Stage
from lessonplan.course.model.together import Course
from lessonplan.course.model.works import BindOff, Block, CastOn, DrawThrough, Knit, PickUp, Sew, WeaveEnds
from lessonplan.course.problems import Problem, Where, note, warning

_MM = re.compile(r"(\d+(?:[.,]\d+)?)\s*mm\b")
_REST = re.compile(r"\b(?:all|everything|anything)(?: the)? (?:else|other)\b|\bthe rest\b|\bothers?\b")
"""Words of a list of needles that mean every part that has none of its own."""
_WORD = re.compile(r"[a-z]{4,}")


def needles_agree(course: Course) -> Iterator[Problem]:
    """Warn where the list of needles, or a line or remark of a stage, names another needle for it than its gauge."""
    pattern = course.pattern
    for key, stage in pattern.stages.items():
        mine = _size((stage.gauge or pattern.gauge).needle)
        if not mine:
            continue
        names = set(_WORD.findall(f"{key} {stage.title}".lower()))
        theirs = [
            (place, text, size)
            for place, text in enumerate(pattern.needles)
            if (size := _size(text)) and names & set(_WORD.findall(text.lower().partition(" for ")[2]))
        ]
        if all(size != mine for *_, size in theirs):  # “Dividing for body and sleeves” may have those of the body
            for place, text, _ in theirs:
                yield _other(stage, pattern.mark("needles", place), text, mine)
        for where, text in _told(stage):
            size = _size(text)
            if size and size != mine:
                yield _other(stage, where, text, mine)


def needles_named(course: Course) -> Iterator[Problem]:
    """Note a stage begun on new stitches for which nothing says which of a pattern's needles to take.

    Whoever goes on with stitches that are on the needles has the right ones in hand.
    """
    pattern = course.pattern
    if len({_size(text) for text in pattern.needles} - {0.0}) < 2:
        return
    what_for = " ".join(text.lower().partition(" for ")[2] for text in pattern.needles)
    for key, stage in pattern.stages.items():
        live = [one for one in stage.after if one in pattern.stages and not _ended(pattern.stages[one])]
        if not stage.works or live or not isinstance(stage.works[0], (CastOn, PickUp)):
            continue
        named = set(_WORD.findall(f"{key} {stage.title}".lower())) & set(_WORD.findall(what_for))
        if not (named or (stage.gauge and stage.gauge.needle) or _REST.search(what_for) or [*_told(stage)]):
            tool = "hook" if pattern.craft.lower() == "crochet" else "needles"
            what = f"“{stage.title}” begins on new stitches, and nothing says on which of the {tool.rstrip('s')}s."
            hint = f"Name it in the list (“4 mm for ... and the {key}”), or write “before: Take the larger {tool}.”"
            yield note(stage.mark("works"), "no-needle", what, hint)


def _ended(stage: Stage) -> bool:
    """Whether no stitch of a stage is left on the needles."""
    return bool(stage.works) and isinstance(stage.works[-1], (BindOff, DrawThrough, Sew, WeaveEnds, Block))


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
                if re.search(r"needle|\bhook", sentence.lower()):
                    yield where, sentence


def _other(stage: Stage, where: Where, text: str, mine: float) -> Problem:
    what = f"“{stage.title}” is worked on {mine:g} mm by its gauge, but here it says: “{text.strip()}”."
    return warning(where, "other-needle", what, "Give the stage a gauge of its own, with the right “needle:” in it.")


NEEDLE_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (needles_agree, needles_named)
