"""Numbers typed into a course's texts, read as speech is and held against the facts that hold in their segment.

A fact that is named (``{{ cuff.rounds }}``) cannot be wrong; a number that was typed beside a craft unit can, in words
too (“ninety rounds”).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import replace

from lessonplan.course.problems import Problem, Where, in_reading_order, warning
from lessonplan.course.values.fields import NAMES_FACTS, Item
from lessonplan.edit.proof.expected.holds import Holds, holds_in
from lessonplan.edit.proof.expected.texts import IN_TEXTS, filled_with_spans
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.speech.units import words_of
from lessonplan.planning.worked import Result, Worked
from lessonplan.remembered import remembered

_TOLD = {
    "disagrees": "“{said}” stands here; by the pattern: {right}",
    "wrong unit": "“{said}” stands here; with another unit it would be right: {right}",
    "said of the sample only": "“{said}” is true of the piece on the table only; by the pattern: {right}",
    "swapped words": "“{said}” stands here, where “{right}” is right",
}
"""What is told of a typed text; a number that nothing plans is the teacher's own here."""


def with_typed(result: Result) -> Result:
    """Add what is wrong with typed numbers to the problems of a step's result."""
    if result.worked is None:
        return result
    problems = in_reading_order((*result.problems, *typed_problems(result.worked)), result.files)
    return replace(result, problems=problems)


def typed_problems(worked: Worked) -> Iterator[Problem]:
    """Warn of typed numbers in the texts of every segment that disagree with what holds there."""
    for number, _, segment in worked.course.segments():
        episode, computed = int(number.partition(".")[0]), _computed(holds_in(worked)[number])
        for where, text in _item_texts(segment):
            for one, moved in _found(worked, computed, text):
                yield _problem(one, episode, text, moved, where)


@remembered(2)
def spoken_holds(worked: Worked, episode: int) -> dict[str, Holds]:
    """What holds in the segments of an episode for who hears it: a typed number that disagrees plans nothing."""
    found = holds_in(worked).copy()
    for number, _, segment in worked.course.segments():
        if int(number.partition(".")[0]) == episode:
            computed = _computed(found[number])
            wrong = {
                f"“{one.said}” {IN_TEXTS}"
                for _, text in _item_texts(segment)
                for one, _ in _found(worked, computed, text)
            }
            found[number] = _without(found[number], wrong) if wrong else found[number]
    return found


def _without(holds: Holds, wrong: Collection[str]) -> Holds:
    kept = {
        unit: tuple(one for one in planned if one.fact or one.what not in wrong)
        for unit, planned in holds.pattern.items()
    }
    return replace(holds, pattern=kept)


def _computed(holds: Holds) -> Holds:
    """What holds without the texts that are looked at; how long hands are at work tells no soak."""
    computed = {
        unit: tuple(one for one in planned if (one.fact or not one.what.endswith(IN_TEXTS)) and one.cue != "time")
        for unit, planned in holds.pattern.items()
    }
    return replace(holds, pattern=computed, must_say=())


def _found(worked: Worked, holds: Holds, text: str) -> Iterator[tuple[Finding, int]]:
    """Find the typed numbers in one text that disagree with what holds, each with its place in the text as typed."""
    filled, spans = filled_with_spans(worked, text)
    sources = [(one.start(), one.end()) for one in re.finditer(r"\{\{[^{}]*\}\}", text)]
    tokens = words_of(filled)
    for one in proofed(tokens, holds, whole=False):
        if one.kind not in _TOLD:
            continue
        place = one.place
        if any(start < one.place_end and place < end for start, end, _ in spans):
            continue  # the number is a fact's
        moved = place
        for (start, end, _), (first, last) in zip(spans, sources, strict=True):
            moved += ((last - first) - (end - start)) if end <= place else 0
        episode = int(holds.segment.partition(".")[0])
        if not any(
            (each.episode, each.kind, each.words) == (episode, one.kind, one.context)
            for each in worked.course.decided.dismissed
        ):
            yield one, moved


def _problem(one: Finding, episode: int, text: str, moved: int, where: Where) -> Problem:
    line = text.count("\n", 0, moved)
    column = moved - (text.rfind("\n", 0, moved) + 1)
    told = Where(where.file, where.line + line, where.column + column)
    entry = f"- {{episode: {episode}, kind: {one.kind}, words: {one.context}}}"
    hint = f"If it is right as it stands, write below “dismissed:” in proofed.yaml: {entry}"
    return warning(told, "typed-number", _TOLD[one.kind].format(said=one.said, right=one.right) + ".", hint)


def _item_texts(item: Item) -> Iterator[tuple[Where, str]]:
    """Yield the texts that may name facts, with their places; what hands do and notes are for the crew alone."""
    for name, field in type(item).model_fields.items():
        value = getattr(item, name)
        if isinstance(value, str) and NAMES_FACTS in field.metadata and value and name not in ("do",):
            yield item.mark(name), value
        elif isinstance(value, tuple):
            for number, one in enumerate(value):
                if isinstance(one, str) and NAMES_FACTS in field.metadata:
                    yield item.line_mark(name, number), one
                elif isinstance(one, Item) and name in ("shots", "points"):
                    here = item.mark(name, number)  # a point written on one line has no marks of its own
                    yield from ((where if where.file else here, text) for where, text in _item_texts(one))
