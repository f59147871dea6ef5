"""Rules for the kit: it holds what the pattern needs, in sizes and choices that the pattern has."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lessonplan.course.model.publishing import Packed
from lessonplan.course.model.together import Course
from lessonplan.course.names.toolbox import known_tools
from lessonplan.course.problems import Problem, did_you_mean, error, note


def kit_holds_known_things(course: Course) -> Iterator[Problem]:
    """What a kit holds is best named as the pattern names it, and once."""
    kit, pattern = course.course.kit, course.pattern
    if kit is None:
        return
    known = things_needed(course)
    seen = set[str]()
    held = {name for one in kit.holds for name in one.names}
    for place, one in enumerate(kit.holds):
        where = kit.mark("holds", place)
        if one.names & seen:
            yield error(where, "kit-twice", f"“{one.what}” is in the kit twice; write how many: number: 2.")
        seen |= one.names
        if not one.names & {name.lower() for name in known}:
            kinds = "yarn, notion, needle" if pattern.yarns or not pattern.materials else "material, notion"
            what = f"“{one.what}” is no {kinds} or tool of the course: it is packed as something extra."
            yield note(where, "kit-extra", what, did_you_mean(one.what, known))
        starts = tuple(f"{name} " for name in one.names)
        longer = [name for name in pattern.notions if name.lower().startswith(starts) and name.lower() not in held]
        for name in longer:
            what = f"The kit holds “{one.what}”, and viewers are told to have “{name}” at home."
            yield note(where, "kit-and-home", what, f"If they are one thing, write below it: also: {name}")
        yarn = pattern.yarns.get(one.what)
        if yarn and one.number > 1:
            what = f"How many balls of {one.what} a kit holds follows from the size."
            yield error(where, "kit-yarn", what, "Leave out “number”.")
        if one.what in pattern.materials and not yarn:
            yield from _as_used(one)


def _as_used(one: Packed) -> Iterator[Problem]:
    """How much of a material is in a kit, and how it is sold, is the pattern's to say."""
    if one.number > 1:
        what = f"How much of {one.what} a kit holds follows from the size."
        yield error(one.mark("number"), "kit-material", what, "Leave out “number”.")
    if one.pack > 1:
        what = f"How {one.what} is sold stands with the materials in pattern.yaml."
        yield error(one.mark("pack"), "kit-material", what, f"Write there, at {one.what}: pack: {one.pack}")


def kits_are_of_the_pattern(course: Course) -> Iterator[Problem]:
    """Kits are of a size and of choices that the pattern has."""
    kit, pattern = course.course.kit, course.pattern
    sizes = [one.name for one in pattern.sizes]
    choices = {choice: name for name, option in pattern.options.items() for choice in option.choices}
    for one in kit.kits if kit else ():
        if one.size and one.size not in sizes:
            what = f"There is no size “{one.size}”."
            yield error(one.mark("size"), "size", what, did_you_mean(one.size, sizes))
        elif not one.size and len(sizes) > 1:
            yield error(one.mark(), "size", f"Of which size are these {one.number} kits? Write: size: {sizes[0]}")
        taken = dict[str, str]()
        for place, choice in enumerate(one.choices):
            where = one.mark("choices", place)
            if choice not in choices:
                what = f"“{choice}” is not a choice of the pattern."
                yield error(where, "option", what, did_you_mean(choice, choices))
            elif taken.setdefault(choices[choice], choice) != choice:
                what = f"“{taken[choices[choice]]}” and “{choice}” are choices of one option: a kit has one of them."
                yield error(where, "option", what)


def things_needed(course: Course) -> tuple[str, ...]:
    """Give all that viewers may need by name: yarns, materials by their keys, needles, notions, things, tools."""
    pattern = course.pattern
    of_choices = (thing for option in pattern.options.values() for things in option.kit.values() for thing in things)
    mine = (*pattern.yarns, *pattern.materials, *pattern.needles, *pattern.tools, *pattern.notions)
    everything = (*mine, *of_choices, *known_tools(course))
    return tuple(dict.fromkeys(everything))


KIT_RULES: tuple[Callable[[Course], Iterator[Problem]], ...] = (kit_holds_known_things, kits_are_of_the_pattern)
