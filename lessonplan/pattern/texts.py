"""Texts that name facts: ``{{ cuff.rounds }}`` is filled in, and a name that is no fact is a problem with its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache

from lessonplan.course.model import Course, Shot
from lessonplan.course.problems import Problem, Where, did_you_mean, error
from lessonplan.pattern.facts import Fact

_NAMED = re.compile(r"\{\{\s*([^{}]*?)\s*\}\}")


class UnknownFactError(LookupError):
    """A text names a fact that does not exist."""


def fill(text: str, word: Callable[[str], str]) -> str:
    """Put the facts of a text in: ``word`` gives the printed form of a name or raises `UnknownFactError`."""
    if "{{" not in text:
        return text
    return _NAMED.sub(lambda found: word(found.group(1)), text)


def for_size(facts: Mapping[str, Fact], size: int) -> Callable[[str], str]:
    """Word facts for one size (0-based): what a script says."""
    return lambda name: _known(facts, name).at(size)


def for_all_sizes(facts: Mapping[str, Fact]) -> Callable[[str], str]:
    """Word facts for all sizes: what the handout prints."""
    return lambda name: _known(facts, name).all_sizes()


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
    for number, line in enumerate(text.split("\n")):
        found += [(number, match.start(1), match.group(1)) for match in _NAMED.finditer(line)]
    return tuple(found)


def check_text(text: str, where: Where, facts: Mapping[str, Fact]) -> Iterator[Problem]:
    """Report each fact that a text names and that does not exist, and braces left open."""
    for place, name in _places(text, where):
        if named(facts, name) is None:
            name = name.removeprefix("about ").strip()
            yield error(place, "unknown-fact", f"There is no fact “{name}”.", did_you_mean(name, facts))
    rest = _NAMED.sub("", text)
    for sign in ("{{", "}}", "{%", "{#"):
        if sign in rest:
            line = rest[: rest.index(sign)].count("\n")
            place = Where(where.file, where.line + line, where.column)
            yield error(place, "braces", f"“{sign}” stands here without a fact: write “{{{{ cuff.rounds }}}}”.")
            return


def _places(text: str, where: Where) -> Iterator[tuple[Where, str]]:
    for line, column, name in _names_in(text):
        yield Where(where.file, where.line + line, where.column + column), name


def check_texts(course: Course, facts: Mapping[str, Fact]) -> Iterator[Problem]:
    """Check every text of a course that may name facts."""
    for text, where in _texts_of(course):
        yield from check_text(text, where, facts)


def uses_of(course: Course) -> Mapping[str, tuple[Where, ...]]:
    """Find where each fact is named in the texts of a course, in reading order."""
    found: dict[str, list[Where]] = {}
    for text, where in _texts_of(course):
        for place, name in _places(text, where):
            found.setdefault(name.removeprefix("about ").strip(), []).append(place)
    return {name: tuple(places) for name, places in found.items()}


def _texts_of(course: Course) -> Iterator[tuple[str, Where]]:
    """Give every text that may name facts, with its place."""
    yield course.course.summary, course.course.mark("summary")
    for stage in course.pattern.stages.values():
        yield stage.watch_for, stage.mark("watch_for")
        for work in stage.works:
            yield work.note, work.mark("note")
    for episode in course.episodes:
        yield episode.summary, episode.mark("summary")
        for segment in episode.segments:
            for name in ("watch_for", "handout", "title"):
                yield getattr(segment, name), segment.mark(name)
            for shot in segment.shots:
                yield from _shot_texts(shot)
    for erratum in course.errata.errata:
        yield erratum.right, erratum.mark("right")


def _shot_texts(shot: Shot) -> Iterator[tuple[str, Where]]:
    for name in ("say", "note", "title"):
        yield getattr(shot, name), shot.mark(name)
    for number, text in enumerate(shot.on_screen):
        yield text, shot.line_mark("on_screen", number)
    for hands in shot.hands:
        yield hands.do, hands.mark("do")
