"""The needle of a stage of a worked pattern, by its gauge, its works and the list of needles."""

from __future__ import annotations

from lessonplan.course.model.pattern import Pattern
from lessonplan.course.names.needles import needle_listed, needle_told, size_of_needle
from lessonplan.pattern.worked import WorkedPattern

KINDS = {"double-pointed": ("double-pointed", "dpn"), "circular": ("circular",)}
"""Kinds of needles that stand beside a size, each with what names it in a list of tools."""


def needle_of_stage(
    pattern: Pattern, worked: WorkedPattern, size: int, key: str, begun: int = 1, ended: int = 0
) -> str:
    """Name the needle of a stage, the only one where there is but one; a cast-on alone is on that of what follows.

    That of its own gauge, else the one that its works told last when so many are ``begun`` and ``ended``, else the one
    that the list names for it. With its kind where the stage has one of its own: ``3.25 mm double-pointed``.
    """
    stage, told = worked.stage(key, size), needle_told(pattern, pattern.stages[key], begun, ended)
    alone = not stage.rounds and any(one.kind == "cast-on" for one in stage.steps)
    if pattern.stages[key].gauge is None and told is None and alone:
        key = next((other for other in worked.order if key in worked.before[other]), key)
        told = needle_told(pattern, pattern.stages[key])
    own, only = pattern.stages[key].gauge, size_of_needle(pattern.needles[0]) if len(pattern.needles) == 1 else ""
    if own is not None and own.needle:
        needle = own.needle
    else:
        needle = needle_listed(pattern, key) or pattern.gauge.needle or only if told is None else told
    kind = pattern.stages[key].worked_on or ""
    return f"{needle} {kind}" if needle and kind in KINDS and kind not in needle else needle
