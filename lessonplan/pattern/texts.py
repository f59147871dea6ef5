"""Texts that name facts: ``{{ cuff.rounds }}`` is filled in, and a name that is no fact is a problem with its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache

from lessonplan.course.model import Course
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


def _known(facts: Mapping[str, Fact], name: str) -> Fact:
    if name not in facts:
        raise UnknownFactError(name)
    return facts[name]


@cache
def _names_in(text: str) -> tuple[tuple[int, int, str], ...]:
    """Find (line, column, name) of each fact in a text, from 0."""
    found = []
    for number, line in enumerate(text.split("\n")):
        found += [(number, match.start(1), match.group(1)) for match in _NAMED.finditer(line)]
    return tuple(found)


def check_text(text: str, where: Where, facts: Mapping[str, Fact]) -> Iterator[Problem]:
    """Report each fact that a text names and that does not exist, and braces left open."""
    for line, column, name in _names_in(text):
        if name not in facts:
            place = Where(where.file, where.line + line, where.column + column)
            yield error(place, "unknown-fact", f"There is no fact “{name}”.", did_you_mean(name, facts))
    rest = _NAMED.sub("", text)
    for sign in ("{{", "}}", "{%", "{#"):
        if sign in rest:
            line = rest[: rest.index(sign)].count("\n")
            place = Where(where.file, where.line + line, where.column)
            yield error(place, "braces", f"“{sign}” stands here without a fact: write “{{{{ cuff.rounds }}}}”.")
            return


def check_texts(course: Course, facts: Mapping[str, Fact]) -> Iterator[Problem]:
    """Check every text of a course that may name facts."""
    yield from check_text(course.course.summary, course.course.mark("summary"), facts)
    for stage in course.pattern.stages.values():
        yield from check_text(stage.watch_for, stage.mark("watch_for"), facts)
        for work in stage.works:
            yield from check_text(work.note, work.mark("note"), facts)
    for episode in course.episodes:
        yield from check_text(episode.summary, episode.mark("summary"), facts)
        for segment in episode.segments:
            for name in ("watch_for", "handout", "title"):
                yield from check_text(getattr(segment, name), segment.mark(name), facts)
            for shot in segment.shots:
                for name in ("say", "note", "title"):
                    yield from check_text(getattr(shot, name), shot.mark(name), facts)
                for number, text in enumerate(shot.on_screen):
                    yield from check_text(text, shot.line_mark("on_screen", number), facts)
                for hands in shot.hands:
                    yield from check_text(hands.do, hands.mark("do"), facts)
    for erratum in course.errata.errata:
        yield from check_text(erratum.right, erratum.mark("right"), facts)
