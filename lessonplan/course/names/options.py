"""What viewers may choose in a pattern, which of it is filmed, and the rules for naming it."""

from __future__ import annotations

from collections.abc import Iterator
from math import prod

from lessonplan.course.model.pattern import Pattern, Stage
from lessonplan.course.model.together import Course
from lessonplan.course.model.works import Cord, Knit, Work
from lessonplan.course.problems import Problem, did_you_mean, error

MOST_WAYS = 32
"""Ways to work a pattern for which yarn and hours are still counted one by one; a limit of this program."""


def filmed_choices(pattern: Pattern) -> dict[str, str]:
    """Give the choice of each option that is filmed: the one that is named, else the first."""
    return {name: option.filmed or option.choices[0] for name, option in pattern.options.items()}


def is_worked(item: Stage | Work, pattern: Pattern, chosen: dict[str, str]) -> bool:
    """Tell whether a stage or work is worked with these choices: of each option that it names, one is chosen."""
    for name, option in pattern.options.items():
        wanted = set(item.when) & set(option.choices)
        if wanted and chosen[name] not in wanted:
            return False
    return True


def optional_parts(pattern: Pattern) -> tuple[tuple[str, int], ...]:
    """Give what can be left out: the stage's key and the number of the work in it, -1 for the whole stage."""
    found = [(key, -1) for key, stage in pattern.stages.items() if stage.optional]
    works = ((key, n, work) for key, stage in pattern.stages.items() for n, work in enumerate(stage.works))
    return (*found, *((key, n) for key, n, work in works if work.optional))


def free_lengths(pattern: Pattern) -> tuple[Knit | Cord, ...]:
    """Give the works that viewers may make as long as they like."""
    works = (work for stage in pattern.stages.values() for work in stage.works)
    return tuple(work for work in works if isinstance(work, (Knit, Cord)) and work.as_you_like)


def options_offered(course: Course) -> Iterator[Problem]:
    """An option offers two choices at least, each by a name of its own, and films one of them."""
    pattern = course.pattern
    seen: dict[str, str] = {}
    for name, option in pattern.options.items():
        where = option.mark("choices")
        if len(option.choices) < 2:
            yield error(where, "option", f"“{name}” offers no choice: name two or more, such as “cord or ribbon”.")
        for choice in option.choices:
            if choice in seen:
                other = f"of “{seen[choice]}” too" if seen[choice] != name else "twice"
                what = (
                    f"“{choice}” is a choice of “{name}” and {other}"
                    if other != "twice"
                    else f"“{choice}” is named twice"
                )
                yield error(where, "option", f"{what}; every choice needs a name of its own.")
            seen.setdefault(choice, name)
        if option.filmed and option.filmed not in option.choices:
            what = f"“{option.filmed}” is no choice of “{name}”."
            yield error(option.mark("filmed"), "option", what, did_you_mean(option.filmed, option.choices))
        for choice in option.kit:
            if choice not in option.choices:
                what = f"“{choice}” is no choice of “{name}”."
                yield error(option.mark("kit", choice), "option", what, did_you_mean(choice, option.choices))
    optional, free = len(optional_parts(pattern)), bool(free_lengths(pattern))
    ways = prod(len(option.choices) for option in pattern.options.values()) * 2 ** (optional + free)
    if ways > MOST_WAYS:
        what = f"There are {ways} ways to work this pattern, and {MOST_WAYS} are the most that are counted one by one."
        yield error(pattern.mark("options"), "option", what, "Offer fewer choices, or leave fewer works optional.")


def choices_named(course: Course) -> Iterator[Problem]:
    """What a stage or work is worked with must be a choice of an option."""
    known = [choice for option in course.pattern.options.values() for choice in option.choices]
    for stage in course.pattern.stages.values():
        for item in (stage, *stage.works):
            for number, name in enumerate(item.when):
                if name not in known:
                    what = f"“{name}” is no choice of an option."
                    hint = did_you_mean(name, known) if known else "Name it in “options” of the pattern first."
                    yield error(item.mark("when", number), "option", what, hint)


def works_possible(course: Course) -> Iterator[Problem]:
    """A work is not worked only with one choice in a stage that is worked only with another of the same option."""
    for stage in course.pattern.stages.values():
        for work in stage.works:
            for option in course.pattern.options.values():
                own, around = (set(item.when) & set(option.choices) for item in (work, stage))
                if own and around and not own & around:
                    what = f"This is never worked: “{stage.title}” is worked only with {' or '.join(sorted(around))}."
                    yield error(work.mark("when"), "option", what)


def lengths_as_you_like(course: Course) -> Iterator[Problem]:
    """What is as long as one likes has a length that is filmed, between the least and the most."""
    for work in free_lengths(course.pattern):
        key = "cord" if isinstance(work, Cord) else "rows" if work.rows is not None else "rounds"
        extent = work.rows or work.rounds if isinstance(work, Knit) else None
        if isinstance(work, Knit) and (extent is None or extent.kind != "length"):
            what = "“as_you_like” goes with a length that is filmed, such as “rounds: 7 cm”."
            yield error(work.mark("as_you_like"), "option", what)
            continue
        lengths = extent.values if extent else work.cord if isinstance(work, Cord) else ()
        low, high = work.as_you_like or (0.0, 0.0)
        outside = [one for one in lengths if not low <= one <= high]
        if outside:
            what = f"{outside[0] / 10:g} cm is filmed, but viewers may go from {low / 10:g} to {high / 10:g} cm."
            yield error(work.mark(key), "option", what)


OPTION_RULES = (options_offered, choices_named, works_possible, lengths_as_you_like)
