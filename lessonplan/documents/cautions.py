"""The cautions on every paper that people act from: one block, by what is done, with what, and for whom.

Which words bring which caution is data (`tables/cautions.csv`); a course adds its own (``cautions``). They defer to
local rules and professional advice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from lessonplan.course.fields import Item
from lessonplan.course.model import Course
from lessonplan.course.pattern_model import Knit, Resting, Yarn
from lessonplan.craft import tables
from lessonplan.craft.words import craft_named, words_of
from lessonplan.pattern.texts import fill, for_all_sizes, for_size
from lessonplan.planning.worked import Plan

Reader = Literal["floor", "knitters", "viewers"]
DEFER = "These are reminders, not medical or legal advice: local rules and a professional's word come first."


def cautions(plan: Plan, reader: Reader) -> tuple[str, ...]:
    """Give the cautions for those on the floor, the sample knitters or the viewers; the last defers to local rules."""
    course, facts = plan.course, plan.worked.facts
    word = for_all_sizes(facts) if reader == "viewers" else for_size(facts, plan.worked.size)
    words = _words(course, reader)
    rows = (row for row in tables.rows("cautions") if reader in row["readers"].split())
    make = words_of(course.pattern).make
    found = (row["text"].replace("{make}", make) for row in rows if _calls(course, words, row))
    return (*found, *(fill(text, word) for text in course.course.cautions), DEFER)


def _calls(course: Course, words: frozenset[str], row: Mapping[str, str]) -> bool:
    """Tell whether a course calls for a caution: by its craft or a word, and by a fibre and whom it is for."""
    craft = craft_named(course.pattern.craft)
    if craft in row["not_for"].split() or (row["only"] and craft not in row["only"].split()):
        return False
    named = bool(words & frozenset(row["words"].split())) or craft in row["crafts"].split()
    fibres = " ".join(_fibre(yarn) for yarn in course.pattern.yarns.values())
    return (
        (named or not (row["words"] or row["crafts"]))
        and (not row["fibres"] or any(one in fibres for one in row["fibres"].split()))
        and (not row["recipients"] or course.course.recipient.startswith(row["recipients"]))
    )


def _fibre(yarn: Yarn) -> str:
    """The words in which a yarn's fibre stands: its own key, else its name."""
    return (yarn.fibre or yarn.name).lower()


def _words(course: Course, reader: Reader) -> frozenset[str]:
    """Give every word that a reader's work is told in: of the pattern, and of the shots for floor and viewers."""
    pattern = course.pattern
    texts = [*pattern.notions, *pattern.tools, *pattern.needles]
    texts += [text for one in pattern.materials.values() for text in _texts(one)]
    for _, stage, work in course.works():
        texts += [stage.title, stage.watch_for, *_texts(work), work.rest[0] if isinstance(work, Resting) else ""]
        texts += work.lines if isinstance(work, Knit) else ()
    if reader != "knitters":
        for one in course.shots():
            texts += [one.segment.title, one.segment.handout, one.segment.watch_for, *_texts(one.shot)]
            texts += [tool.what for name in one.shot.tools if (tool := course.course.tools.get(name))]
    return frozenset(re.findall(r"[a-z]+", " ".join(texts).lower()))


def _texts(item: Item) -> Iterator[str]:
    """Give the texts in an item and in the items in it."""
    for name in type(item).model_fields:
        value = getattr(item, name)
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, str):
                yield one
            elif isinstance(one, Item):
                yield from _texts(one)
