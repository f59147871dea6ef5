"""The cautions on every paper that people act from: one block, by what is done, with what, and for whom.

Which words bring which caution is data (`tables/cautions.csv`); a course adds its own (``cautions``). They defer to
local rules and professional advice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Literal

from lessonplan.course.model.pattern import Yarn
from lessonplan.course.model.together import Course
from lessonplan.course.model.works import Knit, Resting
from lessonplan.course.problems import Problem, Where, error, note
from lessonplan.course.values.fields import Item
from lessonplan.course.words import clock_of
from lessonplan.craft import tables
from lessonplan.craft.words import craft_named, words_of
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.kept import captions_of
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.texts import fill, for_all_sizes, for_size
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.shoot.hazards import BLEACH, FUMES, PLUGGED, WET, done_in, words_in

Reader = Literal["floor", "knitters", "viewers"]
SMALLEST = frozenset({"baby", "babies", "newborn", "infant", "infants", "toddler", "toddlers", "months"})
CHILDREN = frozenset({"child", "children", "kid", "kids", "youth", "girl", "girls", "boy", "boys", "years", "yrs"})
"""Words of sizes that are for children under three, and for older ones (a list of our own)."""
TALK = frozenset({"saw", "gun", "fire", "fires", "try", "trying"})
"""Words that in talk mean something else more often than not (a guess)."""
DEFER = "These are reminders, not medical or legal advice: local rules and a professional's word come first."


def cautions(plan: Plan, reader: Reader, day: int | None = None) -> tuple[str, ...]:
    """Give the cautions for those on the floor, the sample knitters or the viewers; the last defers to local rules.

    ``day``: on which day (0-based) they are on the floor; what is only spoken there calls for nothing.
    """
    course, facts = plan.course, plan.worked.facts
    word = for_all_sizes(facts) if reader == "viewers" else for_size(facts, plan.worked.size)
    words = _words(course, reader)
    if reader == "floor":
        shots = (course.shot(one.number) for one in plan.worked.listed if day in (None, one.day))
        words = words.union(*(done_in(course, one) for one in shots))
    rows = (row for row in tables.rows("cautions") if reader in row["readers"].split())
    make = words_of(course.pattern).make
    found = (_worded(course, row["text"].replace("{make}", make)) for row in rows if _calls(course, words, row))
    return (*found, *(fill(text, word) for text in course.course.cautions), DEFER)


def _worded(course: Course, text: str) -> str:
    """Set the lengths of a caution, ``{0.9 m|3 ft}``, with the course's own unit first."""
    alone = units_printed(course.pattern) == "in"
    return re.sub(r"\{(.+?)\|(.+?)\}", r"\2 (\1)" if alone else r"\1 (\2)", text)


ACUTE = frozenset({"steam", "heat", "kiln", "axe", "guillotine", "machine", "glaze", "chemicals"})
"""What hurts at once: said again at the shot itself, in its first sentence."""


def cautions_of_shot(plan: Plan, day: int, number: str) -> tuple[str, ...]:
    """Give what may hurt somebody in one shot of a day (0-based), from its tools and what its hands do."""
    course = plan.course
    said = {str(one.number): done_in(course, course.shot(one.number)) for one in plan.worked.listed if one.day == day}
    mine, found = said[number], []
    if mine & PLUGGED:
        beside = [
            one for one, words in said.items() if one.rpartition(".")[0] == number.rpartition(".")[0] and words & WET
        ]
        off = f"The water of {beside[-1]} is off the table first, and the table dry. " if beside else ""
        found.append(f"{off}What heats takes minutes: plug it in in time, with dry hands, in a place away from water.")
    elif mine & WET:
        found.append("Keep the water away from lights, plugs and cameras.")
    if mine & FUMES:
        found.append("Keep flames, hot lamps and what heats away, open a window, and close the bottle.")
    if mine & BLEACH:
        found.append("Never let it meet vinegar, ammonia or another cleaner: together they give off a poisonous gas.")
    rows = (row for row in tables.rows("cautions") if row["topic"] in ACUTE and "floor" in row["readers"].split())
    found += [re.split(r"(?<=\.)\s", row["text"])[0] for row in rows if mine & frozenset(row["words"].split())]
    return tuple(found)


_BURN = re.compile(r"\b(?:scald|burn)(?:s|ed|t)?\b")
_AID = re.compile(r"\b(?:running water|doctor|clinician|physician|hospital|ice|ointment)\b")


def told_twice(plan: Plan) -> Iterator[Problem]:
    """Note a text for the handout that says what to do with a burn, where a caution there says it already."""
    given = [text for text in cautions(plan, "viewers") if _BURN.search(text.lower()) and _AID.search(text.lower())]
    for number, _, segment in plan.course.segments():
        text = segment.handout.lower()
        if given and _BURN.search(text) and _AID.search(text):
            what = (
                f"The handout's text of {number} says what to do with a burn, and so does “Take care”, in other words."
            )
            yield note(segment.mark("handout"), "advice-twice", what, f"Leave it to what stands there: {given[0]}")


def uncautioned(plan: Plan) -> Iterator[Problem]:
    """Say where a caution for viewers is called for by what the course leaves unsaid, or says in its videos alone."""
    yield from _for_whom(plan.course)
    yield from _of_what(plan.course)
    for episode in plan.course.episodes:
        captions = captions_of(plan, episode.episode)
        if captions:
            yield from _as_said(plan.course, captions)


def _for_whom(course: Course) -> Iterator[Problem]:
    """Question a thing for adults of which a size is called a child's."""
    told = course.course.recipient
    for place, size in enumerate(course.pattern.sizes):
        words = frozenset(re.findall(r"[a-z]+", f"{size.name} {size.fits}".lower()))
        meant = "child under 3" if words & SMALLEST else "child" if words & CHILDREN else ""
        if not told.startswith(meant):
            what = f"Size “{size.name}” is a child's, and with “recipient: {told}” its cautions stand nowhere."
            where = size.mark("name") if size.mark("name").file else course.pattern.mark("sizes", place)
            yield error(where, "no-caution", what, f"Write “recipient: {meant}” in course.yaml.")


def _of_what(course: Course) -> Iterator[Problem]:
    """Say of which yarn nobody knows what it is made of, so that no caution tells of it."""
    known = {one for row in tables.rows("care") for one in row["words"].split()}
    known |= {one for row in tables.rows("cautions") for one in row["fibres"].split()}
    for key, yarn in course.pattern.yarns.items():
        if not yarn.waste and not yarn.fibre and not any(one in _fibre(yarn) for one in known):
            what = f"What {key} is made of is not said, so no caution about wool or heat can stand on the handout."
            yield error(yarn.mark("name"), "no-caution", what, "Write it below the name, such as: fibre: wool")


def _as_said(course: Course, captions: Captions) -> Iterator[Problem]:
    """Say of cautions that only what was said in a video calls for."""
    words = _words(course, "viewers")
    own = frozenset(re.findall(r"[a-z]+", " ".join(course.course.cautions).lower()))
    for row in tables.rows("cautions"):
        telling = frozenset(row["words"].split()) - TALK - own
        if "viewers" not in row["readers"].split() or _calls(course, words, row):
            continue
        for cue in captions.cues:
            said = telling & words_in([cue.text])
            if said and _calls(course, words | said, row):
                at, word = clock_of(cue.start / 1000), min(said)
                what = f"At {at} “{word}” is said, and no caution about it stands on the handout."
                hint = f"Name “{word}” in the shot, or write a line with it below “cautions:” in course.yaml."
                yield error(Where(captions.file, max(cue.where.line, 1), 1), "no-caution", what, hint)
                break


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


@remembered(6)
def _words(course: Course, reader: Reader) -> frozenset[str]:
    """Give every word that a reader's work is told in: of the pattern, and of the shots for floor and viewers."""
    pattern = course.pattern
    texts = [*pattern.notions, *pattern.tools, *pattern.needles]
    texts += [text for one in pattern.materials.values() for text in _texts(one)]
    for _, stage, work in course.works():
        texts += [stage.title, stage.watch_for, *_texts(work), work.rest[0] if isinstance(work, Resting) else ""]
        texts += work.lines if isinstance(work, Knit) else ()
    if reader == "viewers":
        for one in course.shots():
            texts += [one.segment.title, one.segment.handout, one.segment.watch_for, *_texts(one.shot)]
            texts += [tool.what for name in one.shot.tools if (tool := course.course.tools.get(name))]
    return words_in(texts)


def _texts(item: Item) -> Iterator[str]:
    """Give the texts in an item and in the items in it."""
    for name in type(item).model_fields:
        value = getattr(item, name)
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, str):
                yield one
            elif isinstance(one, Item):
                yield from _texts(one)
