"""Where a viewer takes another needle, though the pattern has no word of it."""

from __future__ import annotations

import re

from lessonplan.course.model.works import CastOn, Cord, Knit, PickUp
from lessonplan.craft.words import words_of
from lessonplan.documents.wording import on_tools
from lessonplan.pattern.needled import needle_of_stage
from lessonplan.planning.worked import Plan
from lessonplan.publish.byepisode import all_stages


def needle_to_take(plan: Plan, key: str) -> str:
    """Say which needle is taken for a stage, where it is another than that on which the stage printed before it ends.

    Nothing where the pattern says it in its own words, before the first work or behind the stage before.
    """
    pattern, tool = plan.course.pattern, words_of(plan.course.pattern).tool
    needles = {one: _on(plan, one, 1) for one in all_stages(pattern) if _on(plan, one, 1)}
    if key not in needles or len({*needles.values()}) < 2:
        return ""
    order = [*needles]
    last = order[order.index(key) - 1] if order[0] != key else ""
    if last and _on(plan, last, len(pattern.stages[last].works)) == needles[key]:
        return ""
    said = [pattern.stages[last].works[-1].note] if last else []
    if re.search(rf"\b{re.escape(tool)}s?\b", " ".join((*said, pattern.stages[key].works[0].before)), re.IGNORECASE):
        return ""
    return f"Take the {on_tools(needles[key], tool, several=tool == 'needle')}."


def _on(plan: Plan, key: str, begun: int) -> str:
    """Name the needle of a stage of which so many works are begun; nothing where no stitch is made in it."""
    pattern, worked = plan.course.pattern, plan.worked.kinds["full"]
    if key not in worked.order or not any(
        isinstance(work, (CastOn, Cord, Knit, PickUp)) for work in pattern.stages[key].works
    ):
        return ""
    return needle_of_stage(pattern, worked, plan.worked.size, key, begun, begun - 1)
