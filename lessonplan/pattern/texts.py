"""Texts that name facts: ``{{ cuff.rounds }}`` is filled in, and a name that is no fact is a problem with its place.

The model says which texts may name facts (`FactText`); in every other text of a course braces are a problem, so that
none of them ever reaches a page.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache

from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, Where, error, nearest, warning
from lessonplan.course.values.fields import NAMES_FACTS, Item
from lessonplan.pattern.facts import Fact
from lessonplan.remembered import remembered

_NAMED = re.compile(r"\{\{([^{}]*)\}\}")
_PICTURE = re.compile(r"!\[[^\]\n]{0,80}\]\([^)\n]{0,200}\)")
_SINGLE = re.compile(r"(?<!\{)\{\s*([\w. ]+?)\s*\}(?!\})")

_OPENED = re.compile(r"\{\{?\s*([\w.]+)|([\w.]+)\s*\}")
_ROUNDS_OR_ROWS = {"rounds": "rows", "rows": "rounds"}
MOST_NAMED = 16
"""So many facts of a part are named where one was meant that does not exist."""


class UnknownFactError(LookupError):
    """A text names a fact that does not exist."""


def fill(text: str, word: Callable[[str], str]) -> str:
    """Put the facts of a text in: ``word`` gives the printed form of a name or raises `UnknownFactError`."""
    if "{{" not in text:
        return text
    return _NAMED.sub(lambda found: word(_name(found)), text)


def _name(found: re.Match[str]) -> str:
    """The name of a fact, put together again where a text editor broke it over two lines; ``about`` stays a word."""
    first, *others = found[1].split() or [""]
    return f"about {''.join(others)}" if first == "about" and others else "".join([first, *others])


def for_size(facts: Mapping[str, Fact], size: int) -> Callable[[str], str]:
    """Word facts for one size (0-based): what a script says."""
    return lambda name: _known(facts, name).at(size)


def for_all_sizes(facts: Mapping[str, Fact], *, said: bool = False) -> Callable[[str], str]:
    """Word facts for all sizes: what the handout prints; ``said``: lengths in the units of a script."""
    return lambda name: _known(facts, name).all_sizes(said=said)


def on_screen(text: str, facts: Mapping[str, Fact], size: int) -> str:
    """Word a text that is laid over the picture, in one size; whose number it is stands first where sizes differ."""
    names = {name for _, _, name in _names_in(text)}
    known = [fact for name in names if (fact := named(facts, name))]
    of_size = any(len({fact.shown(one) for one in range(len(fact.values))}) > 1 for fact in known)
    filled = fill(text, lambda name: _known(facts, name).shown(size))
    return f"{facts['size'].at(size)}: {filled}" if of_size and "size" not in names else filled


def named(facts: Mapping[str, Fact], name: str) -> Fact | None:
    """Find a fact by the name that a text gives it; ``about cuff.length`` is the length as one speaks of it."""
    about, _, plain = name.partition(" ")
    if about == "about" and plain.strip() in facts:
        return replace(facts[plain.strip()], about=True)
    return facts.get(name)


def _known(facts: Mapping[str, Fact], name: str) -> Fact:
    fact = named(facts, name)
    if fact is None:
        raise UnknownFactError(name)
    return fact


@cache
def _names_in(text: str) -> tuple[tuple[int, int, str], ...]:
    """Find (line, column, name) of each fact in a text, from 0."""
    found = []
    line = begun = seen = 0
    for match in _NAMED.finditer(text):
        place = match.start(1) + len(match[1]) - len(match[1].lstrip())
        line += text.count("\n", seen, place)
        begun = max(begun, text.rfind("\n", seen, place) + 1)
        found.append((line, place - begun, _name(match)))
        seen = place
    return tuple(found)


def check_text(text: str, where: Where, facts: Mapping[str, Fact], unknown: Collection[str] = ()) -> Iterator[Problem]:
    """Report each fact that a text names and that does not exist, and braces left open.

    ``unknown``: stages whose facts are not all known, since their lines have errors.
    """
    for place, name in places(text, where):
        if named(facts, name) is None:
            name = name.removeprefix("about ").strip()
            if name.split(".")[0] in unknown and "." in name:
                continue
            yield error(place, "unknown-fact", f"There is no fact “{name}”.", _meant(name, facts))
        elif other := _worked_else(name, facts):
            what = f"“{name}” is 0 in every size: this part is worked in {other.rpartition('.')[2]}."
            yield warning(place, "no-rounds", what, f"Write “{{{{ {other} }}}}”.")
    for found in _SINGLE.finditer(text):
        if named(facts, found[1]) is not None:
            place, hint = _at(text, found.start(), where), f"Write “{{{{ {found[1]} }}}}”."
            yield warning(place, "braces", "A fact in single braces is printed as it stands.", hint)
    for found in _PICTURE.finditer(text):
        what = f"No text shows a picture: “{found[0]}” is printed as it stands."
        yield warning(_at(text, found.start(), where), "picture", what, "Say it in words, or link to its page.")
    rest = _NAMED.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)
    if "{" in rest or "}" in rest:
        yield from _no_braces(rest, where, "without a fact", _example(text, facts))


def _worked_else(name: str, facts: Mapping[str, Fact]) -> str:
    """The fact with the rows of a part whose rounds are named though it has none, or the other way round; or ""."""
    part, _, what = name.partition(".")
    other = f"{part}.{_ROUNDS_OR_ROWS.get(what, '')}"
    return other if other in facts and any(facts[other].values) and not any(facts[name].values) else ""


def _meant(name: str, facts: Mapping[str, Fact]) -> str:
    """Say which fact was meant: only one of the part that is named or nearly named, and what that part has."""
    words = name.split(".")
    parts = {fact[:at] for fact in facts for at, sign in enumerate(fact) if sign == "."}
    near = nearest(words[0], parts | {fact for fact in facts if "." not in fact}, 0.7)
    alike = ".".join([near, *words[1:]])
    if name not in parts and alike in facts:
        return f"Did you mean “{alike}”?"
    ends = [fact for fact in facts if fact.endswith(f".{name}") and any(facts[fact].values)]
    if ends and name not in parts:
        return f"Say of what: {_few(ends)}."
    depth = next((at for at in range(len(words), 0, -1) if ".".join(words[:at]) in parts), 0)
    part = ".".join(words[:depth]) if depth else near
    if part not in parts:
        stages = [fact.removesuffix(".title") for fact in facts if fact.endswith(".title")]
        listed = f"No part is called “{words[0]}”; there are {_few(stages)}. " if stages and "." in name else ""
        return f"{listed}“lessonplan facts COURSE” lists all."
    of_it = [fact.removeprefix(f"{part}.") for fact in facts if fact.startswith(f"{part}.")]
    what = nearest(".".join(words[depth or 1 :]), of_it)
    asked = "Name what of it: " if name == part else f"Did you mean “{part}.{what}”? " if what else ""
    shown: dict[str, str] = {}
    for one in of_it:  # of each group, as ``count.k`` and ``round_1.stitches``, the first; nothing that is 0 there
        first, dot, _ = one.partition(".")
        if any(facts[f"{part}.{one}"].values):
            shown.setdefault(first.rstrip("0123456789") if dot else one, f"{one} …" if dot else one)
    return f"{asked}“{part}” has {_few(list(shown.values()))}."


def _few(names: Sequence[str]) -> str:
    return ", ".join(names[:MOST_NAMED]) + (" …" if len(names) > MOST_NAMED else "")


def _example(text: str, facts: Mapping[str, Fact]) -> str:
    """How a fact is written: one that a text names in braces that are not closed, else one that the course has."""
    opened = [found[1] for found in _OPENED.finditer(text) if found[1] in facts]
    titled = [fact.removesuffix("title") for fact in facts if fact.endswith(".title")]
    own = [
        name
        for one in titled
        for what in ("rounds", "rows")
        if (name := one + what) in facts and any(facts[name].values)
    ]
    return f"Write “{{{{ {[*opened, *own, 'size'][0]} }}}}”."


def _no_braces(text: str, where: Where, what: str, hint: str) -> Iterator[Problem]:
    """Report the first braces in a text."""
    for sign in ("{{", "}}", "{%", "{#"):
        if sign in text:
            yield error(_at(text, text.index(sign), where), "braces", f"“{sign}” stands here {what}.", hint)
            return


def _at(text: str, index: int, where: Where) -> Where:
    """The place of a sign of a text that begins at a place."""
    before = text[:index]
    return Where(where.file, where.line + before.count("\n"), where.column + len(before) - before.rfind("\n") - 1)


def places(text: str, where: Where) -> Iterator[tuple[Where, str]]:
    """Give the facts that a text names, each with where it stands; ``where``: the text's own place."""
    for line, column, name in _names_in(text):
        yield Where(where.file, where.line + line, where.column + column), name


_WHERE_FACTS = (
    "Facts go into what is said, done and shown on screen, into notes, summaries, “watch_for”, “handout” and “right”, "
    "and into the titles of segments and shots."
)


def check_texts(course: Course, facts: Mapping[str, Fact], unknown: Collection[str]) -> Iterator[Problem]:
    """Check every text of a course: the facts in those that may name facts, and that no other has braces.

    ``unknown`` as in `check_text`.
    """
    for where, text, filled in _texts_of(course):
        if filled:
            yield from check_text(text, where, facts, unknown)
        else:
            yield from _no_braces(text, where, "where no fact is filled in", _WHERE_FACTS)


def uses_of(course: Course) -> Mapping[str, tuple[Where, ...]]:
    """Find where each fact is named in the texts of a course, file by file in reading order."""
    found: dict[str, list[Where]] = {}
    for where, text, filled in _texts_of(course):
        for place, name in places(text, where) if filled else ():
            found.setdefault(name.removeprefix("about ").strip(), []).append(place)
    return {name: tuple(places) for name, places in found.items()}


def texts_with_facts(course: Course) -> Iterator[tuple[Where, str]]:
    """Yield every text of a course that is prose, so that it may name facts, with its place."""
    yield from ((where, text) for where, text, filled in _texts_of(course) if filled and text.strip())


def _texts_of(course: Course) -> Iterator[tuple[Where, str, bool]]:
    """Yield every text of a course with its place, and whether it may name facts."""
    for part in (course.course, course.pattern, *course.episodes, course.errata):
        yield from _in_order(part)


@remembered(60)
def _in_order(part: Item) -> tuple[tuple[Where, str, bool], ...]:
    """The texts of a file, as they stand in it: those of a file that is as it was are not looked for again."""
    return tuple(sorted(_item_texts(part), key=lambda one: (one[0].line, one[0].column)))


def _item_texts(item: Item) -> Iterator[tuple[Where, str, bool]]:
    for name, field in type(item).model_fields.items():
        for where, value in _values(item, (name,), getattr(item, name)):
            if isinstance(value, Item):
                yield from _item_texts(value)
            else:
                yield where, value, NAMES_FACTS in field.metadata


def _values(item: Item, path: tuple[str | int, ...], value: object) -> Iterator[tuple[Where, str | Item]]:
    """Yield the texts and items in a value of an item, with their places: in lists and, with their keys, in groups."""
    if isinstance(value, (str, Item)):
        yield item.mark(*path), value
    elif isinstance(value, tuple):
        for number, one in enumerate(value):
            if isinstance(one, (str, Item)):
                lines = path in (("on_screen",), ("must_say",))
                yield item.line_mark(str(path[0]), number) if lines else item.mark(*path, number), one
    elif isinstance(value, dict):
        for key, one in value.items():
            yield item.mark(*path, key), key
            yield from _values(item, (*path, key), one)
