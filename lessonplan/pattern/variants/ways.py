"""The ways in which viewers may work a pattern: each choice of its options, what is left out, and how long it gets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.works import AnyWork, Cord, Knit, LeftOut
from lessonplan.course.names.options import filmed_choices, free_lengths, is_worked, optional_parts
from lessonplan.course.problems import Problem, error
from lessonplan.course.values.quantities import Extent, PerSize
from lessonplan.course.words import capital
from lessonplan.pattern.amounts.minutes import cumulative_minutes
from lessonplan.pattern.amounts.yarn import Amount, whole_pattern
from lessonplan.pattern.colour import ends_by_choice, ends_remark
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.pattern.working.stages import MOST_STEPS, work_pattern
from lessonplan.remembered import remembered

LEAST, MOST = "least", "most"
MOST_WAY_STEPS = 3 * MOST_STEPS
"""Rounds and other works in all ways to work a pattern together."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to work a pattern, and the pattern worked so.

    ``chosen`` are the choices by option, ``without`` what is left out (stage and number of the work in it, -1 for the
    whole stage), ``length`` says whether free lengths are as filmed, at the least or at the most. ``name`` says in
    words how it differs from the filmed one, for those that differ in one thing only.
    """

    chosen: Mapping[str, str]
    without: tuple[tuple[str, int], ...]
    length: str
    name: str
    worked: WorkedPattern

    def minutes(self, pattern: pm.Pattern, size: int, pace: float, factors: Mapping[str, float]) -> float:
        """Hands-on minutes for everything in one size, as many pieces as the pattern makes, at a pace."""
        stages = (self.worked.stage(key, size) for key in self.worked.order)
        return pattern.make * sum(cumulative_minutes(stage, pace, factors)[-1] for stage in stages)

    def yarn(self, pattern: pm.Pattern, size: int) -> tuple[Amount, ...]:
        """Yarn for everything in one size, with the margin."""
        return whole_pattern(pattern, self.worked, size)


@remembered(4)
def as_filmed(pattern: pm.Pattern) -> pm.Pattern:
    """Give the pattern with the filmed choices alone: stages of other choices fall out, works are passed over."""
    return as_chosen(pattern, filmed_choices(pattern))


def as_chosen(
    pattern: pm.Pattern, chosen: dict[str, str], without: tuple[tuple[str, int], ...] = (), length: str = ""
) -> pm.Pattern:
    """Give the pattern with some choices alone. A work that is not chosen stays in its place and does nothing."""
    kept = {
        key: stage
        for key, stage in pattern.stages.items()
        if is_worked(stage, pattern, chosen) and (key, -1) not in without
    }
    stages = {}
    for key, stage in kept.items():
        works = tuple(
            _of_length(work, length) if is_worked(work, pattern, chosen) and (key, number) not in without else LeftOut()
            for number, work in enumerate(stage.works)
        )
        after = tuple(dict.fromkeys(name for one in stage.after for name in _standing(pattern, kept, one)))
        stages[key] = stage.model_copy(update={"works": works, "after": after})
    return pattern.model_copy(update={"stages": stages})


def ends_remarks(pattern: pm.Pattern, ways: Sequence[Way]) -> Iterator[Problem]:
    """Say where other ends are left than are woven in: in the filmed way, which is the first, or by another choice."""
    filmed, worked = as_filmed(pattern), ways[0].worked
    yield from ends_remark(filmed, worked)
    for way in ways[1:]:
        if way.name and way.chosen != ways[0].chosen:
            chosen = as_chosen(pattern, dict(way.chosen))
            yield from ends_by_choice((filmed, worked), (chosen, way.worked), way.name)


def _standing(pattern: pm.Pattern, kept: Mapping[str, pm.Stage], key: str) -> Iterator[str]:
    """Give a stage if it is kept, else those that it comes after."""
    todo, seen = [key], set()
    while todo:
        one = todo.pop()
        if one in kept:
            yield one
        elif one in pattern.stages and one not in seen:
            seen.add(one)
            todo += reversed(pattern.stages[one].after)


def _of_length(work: AnyWork, length: str) -> AnyWork:
    if not length or not isinstance(work, (Knit, Cord)) or not work.as_you_like:
        return work
    value = work.as_you_like[length == MOST]
    if isinstance(work, Cord):
        return work.model_copy(update={"cord": PerSize((value,))})
    return work.model_copy(update={"rows" if work.rows is not None else "rounds": Extent("length", (value,))})


@remembered(4, equal=True)
def ways_of(pattern: pm.Pattern) -> tuple[tuple[Way, ...], tuple[Problem, ...]]:
    """Work a pattern in every way that it offers, the filmed one first.

    Gives the problems of the filmed way as they are, and the errors of those that differ from it in one thing with the
    name of that thing.
    """
    filmed = filmed_choices(pattern)
    parts = optional_parts(pattern)
    lengths = ("", LEAST, MOST) if free_lengths(pattern) else ("",)
    ways: list[Way] = []
    problems: list[Problem] = []
    steps = 0
    options = [(filmed[name], *(c for c in one.choices if c != filmed[name])) for name, one in pattern.options.items()]
    for picks in product(*options):
        chosen = dict(zip(pattern.options, picks, strict=True))
        for left in product((False, True), repeat=len(parts)):
            without = tuple(part for part, gone in zip(parts, left, strict=True) if gone)
            for length in lengths:
                changes = [c for name, c in chosen.items() if c != filmed[name]], without, length
                name = _name(pattern, *changes)
                worked, found = work_pattern(as_chosen(pattern, chosen, without, length))
                ways.append(Way(chosen=chosen, without=without, length=length, name=name, worked=worked))
                steps += sum(len(one.steps) for stage in worked.stages.values() for one in stage)
                if steps > MOST_WAY_STEPS:
                    what = f"In all its ways the pattern has more than {MOST_WAY_STEPS:,} rounds, which is the most."
                    return tuple(ways), (*problems, error(pattern.mark("options"), "too-long", what))
                if len(ways) == 1:
                    problems += found
                elif name:
                    new = [one for one in found if one not in problems and one.severity == "error"]
                    problems += [replace(one, message=f"{capital(name)}: {one.message}") for one in new]
    return tuple(ways), tuple(problems)


def _name(pattern: pm.Pattern, others: list[str], without: tuple[tuple[str, int], ...], length: str) -> str:
    """Say how a way differs from the filmed one, if it does in one thing."""
    if len(others) + len(without) + bool(length) != 1:
        return ""
    if others:
        return with_choice(others[0])
    if length:
        return f"as {'short' if length == LEAST else 'long'} as you like"
    key, number = without[0]
    title = pattern.stages[key].title
    return f"without {title}" if number < 0 else f"without the optional work {number + 1} of {title}"


def with_choice(choice: str) -> str:
    """Say that a choice was made: “with ribbon”; one that begins so already is left as it is (“without a loop”)."""
    return choice if choice.split()[0].lower() in ("with", "without", "in", "as") else f"with {choice}"
