"""The kinds of a piece, each worked as a pattern of its own: the full piece, a short one, a small one.

A short piece has only some rounds of the stages that say so, and these are really worked; a small one is worked like
any other on another cast-on. So a state of a piece is always a number of steps on the needles, never a share of one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.lesser import KINDS, Short
from lessonplan.course.model.works import CastOn, Knit
from lessonplan.course.problems import Problem, error
from lessonplan.pattern.within import put_aside
from lessonplan.pattern.worked import PART, Step, WorkedPattern, WorkedStage
from lessonplan.pattern.working.stages import stages_in
from lessonplan.remembered import remembered

MOST_TRIED = 50
"""So many runs of rounds are tried before it is said that none can be left out."""
MOST_OFF = 12
"""How far from its share a small piece's cast-on may lie so that the lines work out on it, in stitches."""


NEARLY = 1e-6
_SIZED = re.compile(r"(\d+)\s*\(((?:\s*\d+\s*,)*\s*\d+\s*)\)")


@dataclass(frozen=True, slots=True)
class Place:
    """A place inside a round (from 1) of a stage: so many stitches of it are done."""

    stage: str
    round: int
    stitches: int


@remembered(4, equal=True)
def worked_kinds(
    pattern: pm.Pattern,
    worked: WorkedPattern,
    size: int,
    places: Sequence[Place] = (),
    wanted: Collection[str] = KINDS,
) -> tuple[Mapping[str, WorkedPattern], tuple[Problem, ...]]:
    """Work the pattern as each ``wanted`` kind in the size that is filmed (0-based); the other sizes stay as they are.

    The round of each of ``places`` is cut in two steps there. A stage that a kind cannot have says so in ``broken``; a
    stage that cannot be shortened as the course says is a problem.
    """
    full = _with(worked, size, {key: _cut(worked, size, key, places) for key in worked.order})
    problems = [problem for key in worked.order for problem in _short_problems(pattern.stages[key], full, key, size)]
    kinds = {"full": full}
    if "short" in wanted:
        kinds["short"] = _with(
            full, size, {key: _shortened(pattern.stages[key], full.stage(key, size)) for key in full.order}
        )
    if "small" in wanted:
        small = _small(pattern, worked, size)
        kinds["small"] = _with(worked, size, {key: _cut(small, size, key, places) for key in worked.order})
    return kinds, tuple(problems)


def _with(worked: WorkedPattern, size: int, stages: Mapping[str, WorkedStage]) -> WorkedPattern:
    found = {key: (*each[:size], stages[key], *each[size + 1 :]) for key, each in worked.stages.items()}
    return replace(worked, stages=found)


def _cut(worked: WorkedPattern, size: int, key: str, places: Sequence[Place]) -> WorkedStage:
    """Cut rounds of a stage in two steps, so that a state can lie inside them."""
    stage = whole = worked.stage(key, size)
    for place in sorted({one for one in places if one.stage == stage.key}, key=lambda one: (one.round, one.stitches)):
        try:
            at = stage.steps_to_round(place.round) - 1
        except ValueError:
            continue  # told of where the place is asked for
        step, parts = stage.steps[at], stage.parts(at)
        done = sum(one.part for one in parts)
        if not 0 < place.stitches - done < step.before:
            continue
        aside = put_aside(worked, size, whole, whole.steps_to_round(place.round) - 1, place.stitches)
        aside -= sum(one.held for one in parts)
        first, rest = _halves(step, place.stitches - done, place.stitches, aside)
        moved = [number + (number > at) for number in range(len(stage.steps) + 1)]
        stage = stage.moved((*stage.steps[:at], first, rest, *stage.steps[at + 1 :]), moved)
    return stage


def _halves(step: Step, stitches: int, upto: int, aside: int) -> tuple[Step, Step]:
    """Part a round after so many stitches, of which so many are put ``aside``.

    What is done and used goes by the stitches, which is nearly right.
    """
    share = stitches / step.before

    def some(part: float) -> Step:
        """A part of the step's stitches, yarn and fixed time."""
        techniques = tuple((name, round(count * part)) for name, count in step.techniques)
        yarns = tuple((name, loops * part) for name, loops in step.yarns)
        return replace(step, techniques=techniques, yarns=yarns, fixed=step.fixed * part)

    where = f"{upto} sts ({aside} of them on waste yarn) of: " if aside else f"{upto} sts of: "
    first = replace(
        some(share),
        kind=PART,
        after=step.before - aside,
        part=stitches,
        text=f"{where}{step.text}",
        tails=(),
        held=aside,
        name=step.name if aside else "",
    )
    return first, replace(some(1 - share), before=first.after, held=step.held - aside)


def _shortened(stage: pm.Stage, full: WorkedStage) -> WorkedStage:
    """The stage with only the rounds that a short piece has, and every other work."""
    if stage.short is None:
        return full
    kept = stage.short.rounds(len(full.rounds))
    number, steps, place = 0, [], [0]
    for step in full.steps:
        part_of = number + 1 if step.is_round or step.kind == PART else 0
        number += step.is_round
        if not part_of or part_of in kept:
            steps.append(step)
        place.append(len(steps))
    numbers = kept if len(kept) < len(full.rounds) else None
    return replace(full.moved(steps, place), numbers=numbers, broken=_jump(full.start, steps))


def _jump(stitches: int, steps: Sequence[Step]) -> str:
    """Where the stitches do not go on from one step to the next, as a clause; empty when they do."""
    for step in steps:
        if step.before != stitches and step.kind != PART:
            return f"after the rounds left out {stitches} stitches meet “{step.text}”, which needs {step.before}"
        stitches = step.after
    return ""


def _short_problems(stage: pm.Stage, worked: WorkedPattern, key: str, size: int) -> list[Problem]:
    """A stage that cannot be shortened as it says: the rounds that stay must fit each other, and what comes after."""
    full = worked.stage(key, size)
    if stage.short is None:
        return []
    where, whole = stage.mark("short"), len(full.rounds)
    beyond = max((last for _, last in stage.short.leave), default=0)
    if beyond > whole:
        return [error(where, "short", f"“{key}” has only {whole} rounds, so round {beyond} cannot be left out.")]
    keep = stage.short.keep or 0
    if keep > whole:
        return [error(where, "short", f"“{key}” has only {whole} rounds, so a short one cannot have {keep}.")]
    short = _shortened(stage, full)
    ends = short.steps[-1].after if short.steps else short.start
    if short.broken or (ends != full.stitches and full.steps):
        why = short.broken or f"it would end with {ends} stitches, and the full stage ends with {full.stitches}"
        what = f"A short “{key}” of {len(short.rounds)} rounds cannot be worked: {why}."
        run = _left_out(stage, full)
        hint = f"Name the rounds it does without: short: leave out rounds {run[0]} to {run[1]}" if run else ""
        return [error(where, "short", what, hint or "No rounds in a row can be left out of it: take “short” out.")]
    return []


def _left_out(stage: pm.Stage, full: WorkedStage) -> tuple[int, int] | None:
    """The most rounds in a row that a stage can do without, the first such; none where nothing can be left out.

    What comes before and after them must meet, so that only rounds with as many stitches before as after are tried; of
    rows an even number, so that the right side stays where it is.
    """
    rounds = full.rounds
    marked = [0, *(len(one.markers) for one in rounds)]
    runs = sorted(
        (first - last, first, last)
        for first in range(1, len(rounds))
        for last in range(first + 1, len(rounds) + (first > 1))
        if rounds[first - 1].before == rounds[last - 1].after and marked[first - 1] == marked[last]
        if (last - first) % 2 or not rounds[0].flat
    )
    for _, first, last in runs[:MOST_TRIED]:
        short = _shortened(stage.model_copy(update={"short": Short(leave=((first, last),))}), full)
        if not short.broken and short.steps and short.steps[-1].after == full.stitches:
            return first, last
    return None


def _small(pattern: pm.Pattern, worked: WorkedPattern, size: int) -> WorkedPattern:
    """The pattern worked on the small cast-on: the one named, or the nearest to its share with which most works out."""
    whole = next((step.after for step in worked.steps(size) if step.after), 0)
    if not whole:
        return worked
    if pattern.small.stitches is not None:
        share = pattern.small.stitches / whole
        return _cast_on(pattern, worked, size, share, pattern.small.stitches, len(worked.order) + 1) or worked
    wanted = max(1, round(whole * pattern.small.share))
    tries = sorted(
        range(max(1, wanted - MOST_OFF), wanted + MOST_OFF + 1), key=lambda count: (abs(count - wanted), count)
    )
    best, least = worked, len(worked.order) + 1
    for count in tries:
        found = _cast_on(pattern, worked, size, count / whole, count, least)
        if found:
            best = found
            least = sum(bool(found.stage(key, size).broken) for key in found.order)
        if not least:
            break
    return best


def _shared(line: str, stages: tuple[WorkedStage, ...], size: int, share: float) -> str:
    """A line for a small piece: a number that is the same part of the round in every size stays that part of it.

    ``K20 (22, 24), pm`` on 40 (44, 48) stitches is half way round, which on 24 is ``K12``.
    """
    befores = [next((step.before for step in one.steps if step.text == line), 0) for one in stages]

    def here(found: re.Match[str]) -> str:
        """The count of the sizes as that of the lesser piece, where all sizes have the same share of their stitches."""
        values = [int(one) for one in (found[1], *found[2].split(","))]
        if len(values) != len(befores) or not all(befores):
            return found[0]
        parts = {Fraction(value, before) for value, before in zip(values, befores, strict=True)}
        count = values[size] * share
        return str(round(count)) if len(parts) == 1 and abs(count - round(count)) < NEARLY else found[0]

    return _SIZED.sub(here, line)


def _cast_on(
    pattern: pm.Pattern, full: WorkedPattern, size: int, share: float, first: int, most: int
) -> WorkedPattern | None:
    """Work the pattern with other cast-ons: the first has so many stitches, all others their share.

    It is given up, without an answer, as soon as ``most`` stages cannot be worked.
    """
    stages, seen = {}, False
    for key in full.order:
        works = []
        for work in pattern.stages[key].works:
            if isinstance(work, CastOn):
                count = first if not seen else max(1, round(work.cast_on.at(size) * share))
                seen = True
                extent = replace(work.cast_on, kind="count", values=(float(count),))
                work = work.model_copy(update={"cast_on": extent, "multiple": ""})
            if isinstance(work, Knit):
                lines = tuple(_shared(line, full.stages[key], size, share) for line in work.lines)
                work = work.model_copy(update={"lines": lines})
            works.append(work)
        stages[key] = pattern.stages[key].model_copy(update={"works": tuple(works)})
    found: dict[str, WorkedStage] = {}
    lost = set[str]()  # with a stage all are lost that come after it
    for stage in stages_in(pattern.model_copy(update={"stages": stages}), size):
        behind = next((found[name].broken for name in full.before[stage.key] if found[name].broken), "")
        found[stage.key] = replace(stage, broken=stage.broken or behind)
        if stage.broken:
            lost |= {stage.key, *(key for key in full.order if stage.key in full.ancestors(key))}
        if len(lost) >= most:
            return None
    return _with(full, size, found)
