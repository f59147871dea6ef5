"""The states that shots and the drawer ask for, in the words of the course at hand, and the rules for naming them."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from lessonplan.course.model.episodes import PieceOnTable
from lessonplan.course.model.lesser import KINDS
from lessonplan.course.model.together import Course
from lessonplan.course.model.works import Knit, LeftOut, Point, Units, key_of
from lessonplan.course.names.options import filmed_choices, is_worked
from lessonplan.course.names.states import ALONE, RangeText, StatePart, StateText, read_range, read_state
from lessonplan.course.problems import Problem, Where, did_you_mean, error, nearest
from lessonplan.course.words import capital, listing, several
from lessonplan.remembered import remembered


@remembered(2)
def points_of(course: Course) -> tuple[str, ...]:
    """Give the names of all points of the pattern's stages."""
    return tuple(work.point for _, _, work in course.works() if isinstance(work, Point))


def range_text(course: Course, text: str) -> RangeText:
    """Read a state or a range of states in the words of this course. Raises ``ValueError``."""
    return read_range(text, tuple(course.pattern.stages), points_of(course))


def state_text(course: Course, text: str) -> StateText:
    """Read a state in the words of this course. Raises ``ValueError``."""
    return read_state(text, tuple(course.pattern.stages), points_of(course))


def states_named(course: Course) -> Iterator[Problem]:
    """Every state names stages, works and points that exist; a piece on a table says how it stands there."""
    for item in course.course.samples.drawer:
        yield from state_problems(course, item.state, item.mark("state"))
    for _, _, _, shot in course.shots():
        for piece in shot.pieces:
            yield from piece_problems(course, piece)


def piece_problems(course: Course, piece: PieceOnTable) -> Iterator[Problem]:
    """Tell what is wrong with what a piece on a table says, as far as that needs no arithmetic.

    A value that could not be read is not there any more, and was told of in reading.
    """
    given = piece.model_fields_set
    if not given & {"needs", "shows"} and not piece.stands("needs") and not piece.stands("shows"):
        hint = "“needs” is one state; “shows” a range, for a piece that is only shown."
        yield error(piece.mark(), "missing-key", "“needs” (or “shows”) is missing here: how far is the piece?", hint)
    elif {"needs", "shows"} <= given:
        yield error(piece.mark("shows"), "needs-and-shows", "A piece “needs” a state or “shows” a range, not both.")
    elif {"shows", "leaves"} <= given:
        what = "A piece that is only shown is left as it came, so “shows” and “leaves” do not go together."
        yield error(piece.mark("leaves"), "shows-and-leaves", what, "For a piece that is worked on, write “needs”.")
    for key in ("needs", "shows", "leaves"):
        if key in given:
            text, where = getattr(piece, key), piece.mark(key)
            yield from state_problems(course, text, where, ranged=key == "shows", shown=key == "needs")
    for number, kind in enumerate(piece.kinds):
        if kind not in KINDS:
            what = f"“{kind}” is not a kind of piece."
            yield error(piece.mark("kinds", number), "kind", what, did_you_mean(kind, KINDS))


def state_problems(
    course: Course, text: str, where: Where, *, ranged: bool = False, shown: bool = False
) -> Iterator[Problem]:
    """Tell what is wrong with a state, or a range where one may stand (``ranged``); ``shown``: ``shows`` could do."""
    try:
        asked = range_text(course, text) if ranged else RangeText(state_text(course, text), None)
    except ValueError as bad:
        sentence = _in_its_units(course, str(bad))
        hint = _range_hint(course, text) if shown else ""
        yield error(where, "state", capital(sentence) + ".", hint or _point_hint(course, text))
        return
    for part in dict.fromkeys((*asked.low.parts, *(asked.high.parts if asked.high else ()))):
        yield from _part(course, part, where.shifted(columns=part.column))


def _in_its_units(course: Course, sentence: str) -> str:
    """Give an example of a state in what the course counts, where that is not rounds."""
    if any(isinstance(work, Knit) for _, _, work in course.works()):
        return sentence
    counted = ((stage, work.unit) for stage, _, work in course.works() if isinstance(work, Units))
    stage, unit = next(counted, ("", ""))
    example = f" or “{stage} {unit.lower()} 2”" if unit else ""
    return re.sub(r" or “\w+ round 2”", example, sentence)


def _range_hint(course: Course, text: str) -> str:
    right = not any(state_problems(course, text, Where(), ranged=True))
    return f"For a piece that is only shown, write “shows: {text}”." if right else ""


def _point_hint(course: Course, text: str) -> str:
    near = (nearest(part.strip(), points_of(course)) for part in text.split(","))
    return next((f"Did you mean “{name}”?" for name in near if name), "")


def _part(course: Course, part: StatePart, where: Where) -> Iterator[Problem]:
    stages, choices = course.pattern.stages, filmed_choices(course.pattern)
    if part.stage and part.stage not in stages and part.stage in {key.lower() for key in stages}:
        return  # the key itself is told of, since only small letters are used in one
    if part.stage and part.stage not in stages:
        having = next((key for key in stages if part.stage in _works(course, key)), "")
        said = f"{having}, {'before' if part.before else 'after'} {part.stage}"
        hint = f"A work is named after its stage: “{said}”." if having else ""
        hint = (
            f"It is a point, which is a state by itself: “{part.stage}”." if part.stage in points_of(course) else hint
        )
        hint = hint or did_you_mean(part.stage, [*stages, *points_of(course)])
        yield error(where, "unknown-stage", f"There is no stage “{part.stage}”.", hint)
    elif part.stage and not is_worked(stages[part.stage], course.pattern, choices):
        with_what = " and ".join(stages[part.stage].when)
        what = f"“{part.stage}” is worked only with {with_what}, which is not filmed."
        yield error(where, "not-filmed-choice", what)
    elif part.rounds is not None:
        yield from _counted(course, part, where)
    elif part.work:
        works = _works(course, part.stage)
        count = works.count(part.work)
        if not count:
            near = nearest(part.work, stages)
            hint = f"Did you mean “{near}”?" if near else did_you_mean(part.work, dict.fromkeys(works))
            what = f"“{part.stage}” has no work “{part.work}”."
            if part.work in points_of(course):
                hint = f"“{part.work}” is a point, which is a state by itself: “{part.stage}, {part.work}”."
            yield error(where, "unknown-work", what, hint)
        elif count < part.place:
            times = "once" if count == 1 else f"{count} times"
            what = f"“{part.stage}” has “{part.work}” only {times}, so there is no {part.place}."
            yield error(where, "unknown-work", what)
    elif part.point:
        yield from _point(course, part, where)


def _counted(course: Course, part: StatePart, where: Where) -> Iterator[Problem]:
    """A stage counts what a state names of it, and where it counts several things, one is named."""
    works = course.pattern.stages[part.stage].works
    units = tuple(dict.fromkeys(work.unit.lower() for work in works if isinstance(work, Units)))
    rounds = any(isinstance(work, Knit) for work in works)
    if any(part.unit in (unit, several(unit)) for unit in units):
        return
    if part.unit.rstrip("s") not in ("", "round", "row", "rnd"):
        known = units or (("round", "row") if rounds else ())
        first = next(iter(_works(course, part.stage)), "")
        of_works = f"A place in it is told by its works: “{part.stage}, after {first}”." if first else ""
        hint = did_you_mean(part.unit, known) if known else of_works
        yield error(where, "unknown-unit", f"“{part.stage}” is not counted in “{part.unit}”.", hint)
    elif len(units) > 1 and not rounds:
        what = f"“{part.stage}” counts {listing([several(unit) for unit in units])}: “{part.rounds}” of which?"
        yield error(where, "unknown-unit", what, f"Write “{part.stage} {units[0]} {part.rounds}”.")


def _works(course: Course, stage: str) -> list[str]:
    """The key words of the works of a stage that are filmed."""
    pattern = course.pattern
    works = [one for one in pattern.stages[stage].works if not isinstance(one, (Point, LeftOut))]
    return [key_of(one) for one in works if is_worked(one, pattern, filmed_choices(pattern))]


def _point(course: Course, part: StatePart, where: Where) -> Iterator[Problem]:
    pattern, choices = course.pattern, filmed_choices(course.pattern)
    named = [
        (stage, work) for _, stage, work in course.works() if isinstance(work, Point) and work.called == part.point
    ]
    keys = {
        next(key for key, one in pattern.stages.items() if one is stage): None
        for stage, work in named
        if is_worked(stage, pattern, choices) and is_worked(work, pattern, choices)
    }
    where_it_is = " and of ".join(f"“{key}”" for key in keys)
    if not keys:
        yield error(where, "not-filmed-choice", f"“{part.point}” is a point only of what is not filmed.")
    elif part.stage and part.stage not in keys:
        hint = f"It is a point of {where_it_is}."
        yield error(where, "unknown-point", f"“{part.stage}” has no point “{part.point}”.", hint)
    elif not part.stage and len(keys) > 1:
        what = f"“{part.point}” is a point of {where_it_is}."
        hint = f"Name the stage: “{next(iter(keys))}, {part.point}”."
        yield error(where, "unknown-point", what, hint)


def words_of_states(course: Course) -> Iterator[Problem]:
    """Names of stages and points can be used in states: none has another meaning there, none names two places."""
    stages = course.pattern.stages
    for key, stage in stages.items():
        if key in ALONE:
            what = f"“{key}” cannot name a stage: as a state it means {ALONE[key]}."
            yield error(stage.mark(), "stage-name", what)
        seen = set()
        for work in stage.works:
            if not isinstance(work, Point):
                continue
            name = work.called
            if name in seen:
                yield error(work.mark("point"), "point", f"“{key}” has two points “{work.point}”.")
            seen.add(name)
            why = _unusable(name, stages)
            if why:
                yield error(work.mark("point"), "point", f"“{work.point}” cannot name a point: {why}.")


def _unusable(name: str, stages: Collection[str]) -> str:
    """Say why a name of a point would be read otherwise, as a clause; empty when it would not."""
    if name in ALONE:
        return f"as a state it means {ALONE[name]}"
    if name in stages:
        return "a stage has that name"
    if "," in name or re.search(r"\band\b", name):
        return "a comma or “and” parts two states"
    if re.match(r"(before|after)\b", name):
        return "“before” and “after” speak of works and stages"
    if re.search(r"\bor (later|further|more)$", name):
        return "that is how a range ends"
    return ""


STATE_RULES = (words_of_states, states_named)
