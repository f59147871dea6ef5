"""What one piece is to its knitter: how far and where she stops, in which size and kind, with what, for when."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from lessonplan.course.model.groups import Words
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import count_of, day_text, listing
from lessonplan.craft.words import words_of
from lessonplan.documents import laidout
from lessonplan.documents.arrivals import done_day, size_of
from lessonplan.documents.knitters import begun_text, notes_of
from lessonplan.documents.marks import Drawn, Marked
from lessonplan.documents.notions import inside, marked
from lessonplan.documents.shots import all_shots, kind_label
from lessonplan.documents.stopping import hanging, live_parts, stitches, stop_words
from lessonplan.documents.wording import duration, on_tools
from lessonplan.documents.worklines import StageLines, stage_needle
from lessonplan.documents.yarncuts import lines_of_begun
from lessonplan.pattern.amounts.yarn import yarn_length
from lessonplan.pattern.worked import WorkedStage
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, State
from lessonplan.samples.knitters import begun_at, last_state, yarn_between
from lessonplan.samples.states import in_words


@dataclass(frozen=True, slots=True)
class OnEveryCard:
    """What a knitter's card and the label of a piece say alike: ``ball``, which yarn stays with it for which shots.

    ``markers``: those in it at the stop.
    """

    letter: str
    kind: str
    size: str
    needle: str
    markers: str
    ball: str
    slates: str
    notes: tuple[Marked, ...]


@dataclass(frozen=True, slots=True)
class Task(OnEveryCard):
    """One piece: everything that its knitter, its label and the calendar say of it.

    ``recipe`` says what a short or small piece is cast on and shortened to; ``rests`` on what its live stitches are
    handed over.
    """

    knitter: str
    goal: str
    stop: str
    recipe: str
    begun: str
    yarn: str
    rests: str
    takes: str
    due: str
    hand_over: str
    stages: tuple[StageLines, ...]
    drawing: Drawn


@lru_cache(maxsize=2)
def tasks_of(plan: Plan) -> tuple[Task, ...]:
    """Word every piece that is brought to the shoot, by its letter; remembered, since several papers ask for it."""
    return tuple(_task(plan, piece) for piece in plan.choice.pieces)


def _task(plan: Plan, piece: Piece) -> Task:
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    begun = begun_at(plan.worked.question, piece)
    knitter = plan.calendar.assigned.get(piece.name, "")
    minutes = sum(sitting.minutes for sitting in plan.calendar.sittings if sitting.piece == piece.name)
    needle = needle_of(plan, piece, piece.first)
    words, ball = words_of(plan.course.pattern), _ball(plan, piece)
    goal = in_words(piece.first, worked, size)
    stop = stop_words(piece.first, worked, size, words=words)
    return Task(
        letter=piece.name,
        kind=kind_label(plan, piece.kind),
        size=size_of(plan),
        knitter=knitter,
        goal=goal,
        stop=f"Leave it as it is: {goal}." if any(begun) and begun == piece.first else stop.sentence,
        recipe=_recipe(plan, piece),
        begun=begun_text(plan, piece),
        yarn=_yarn(plan, piece),
        ball=" ".join(filter(None, (ball, _stays(plan, piece, ball)))),
        needle=needle,
        rests=_rests(plan, piece, needle),
        markers=marked(inside(plan, piece.kind, piece.first)),
        takes=duration(minutes) if minutes else "nothing more to do",
        due=day_text(done_day(plan, piece)),
        hand_over=_hand_over(plan, piece, knitter),
        slates=_slates(plan, piece),
        stages=lines_of_begun(plan, piece, begun),
        notes=tuple(Marked(text) for text in notes_of(plan, piece)),
        drawing=Drawn(piece.first, piece.kind, f"Piece {piece.name} at the stop", large=True, width=250),
    )


def needle_at_stop(task: Task, words: Words) -> str:
    """Say on which needle a piece is left, with how many markers in it; nothing where it has no live stitches."""
    marked = f", with {task.markers} in it" if task.markers else ""
    return f"{words.tool.capitalize()} at the stop: {task.needle}{marked}." if task.needle else ""


def needle_of(plan: Plan, piece: Piece, state: State) -> str:
    """Name the needle that the live stitches of a piece are on at a stop; nothing when it has none."""
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    live, _ = stitches(state, worked, size, words_of(plan.course.pattern))
    on = [*worked.begun(state).items()]
    needles = (_needle_at(plan, worked.stage(key, size), done) for key, done in reversed(on))
    return next((needle for needle in needles if needle), "") if live else ""


def _needle_at(plan: Plan, stage: WorkedStage, done: int) -> str:
    """Name the needle of a stage of which so many steps are done; nothing where no stitch of it is live then."""
    last, coming = stage.steps[done - 1].work, next((step.work for step in stage.steps[done:]), None)
    begun = last + 1
    return stage_needle(plan, stage.key, begun, begun - (coming == last)) if stage.steps[done - 1].after else ""


def _rests(plan: Plan, piece: Piece, needle: str) -> str:
    words = words_of(plan.course.pattern)
    live, _ = stitches(piece.first, plan.worked.kinds[piece.kind], plan.worked.size, words)
    if not live:
        return ""
    parts = len(live_parts(piece.first, plan.worked.kinds[piece.kind], plan.worked.size, words))
    several = parts == 2 or needle.endswith("double-pointed")
    tool = f"{'two ' if parts == 2 else ''}{on_tools(needle, words.tool, several=several)}"
    told = any(words.tool in note for note in notes_of(plan, piece))
    first = " Where its note says otherwise, the note holds." if told else ""
    return words.hand_over.replace("{tool}", f"its {tool}") + first


def _recipe(plan: Plan, piece: Piece) -> str:
    """Say what a short or small piece means in stitches and rounds, in the stages that it needs, on the set too."""
    worked, full, size = plan.worked.kinds[piece.kind], plan.worked.kinds["full"], plan.worked.size
    if piece.kind == "full":
        return ""
    parts, later = list[str](), list[str]()
    for key, steps, end in zip(worked.order, piece.first, last_state(piece), strict=True):
        here, there = worked.stage(key, size), full.stage(key, size)
        if not steps:
            later += [_fewer(here, there)] if _leaves_out(here, end) else []
            continue
        for one, other in zip(here.steps[:1], there.steps[:1], strict=True):
            if one.kind == "cast-on" and (not parts or one.after != other.after):
                fewer = f", not {other.after}" if one.after != other.after else ""
                parts.append(f"cast on {one.after}{fewer}")
        if here.numbers is not None:
            parts.append(_fewer(here, there))
    parts += [f"later, on the set, {listing(later)}"] if later else []
    if parts and not any(", not " in part for part in parts):
        parts = ["up to its STOP as the full one"]
    return f"{kind_label(plan, piece.kind).capitalize()}: {'; '.join(parts)}." if parts else ""


def _leaves_out(stage: WorkedStage, steps: int) -> bool:
    """Whether a piece that goes so far in a stage leaves out rounds that the full one has there."""
    done = stage.rounds_at(steps)
    return stage.numbers is not None and (
        steps == len(stage.steps) or stage.numbers[done - 1 : done] != (done,) * bool(done)
    )


def _fewer(here: WorkedStage, full: WorkedStage) -> str:
    what = full.unit
    return f"“{here.title}” {count_of(len(here.rounds), what)}, not {len(full.rounds)}"


def _yarn(plan: Plan, piece: Piece) -> str:
    """Word the yarn to lay out, and how much of it is for what is worked on the set."""
    file = plan.course.pattern
    left = listing([f"{name} {yarn_length(file, [one])}" for name, one in laidout.yarn_on_set(plan, piece).items()])
    for_set = f"; of that hand over {left} with it, to be worked on the set" if left else ""
    yarn = _named(plan, laidout.yarn_text(plan.course.pattern, laidout.yarn_of(plan, piece))) + for_set
    return "; ".join(filter(None, (yarn, laidout.uses_text(laidout.uses_before(plan, piece)))))


def _named(plan: Plan, text: str) -> str:
    """Put the colours behind the keys of the yarns: ``MC (oatmeal) 38 m``."""
    for key, yarn in plan.course.pattern.yarns.items():
        if yarn.colour and yarn.colour != key:
            text = text.replace(f"{key} ", f"{key} ({yarn.colour}) ", 1)
    return text


def _ball(plan: Plan, piece: Piece) -> str:
    """Say which yarn stays with a piece, on its ball, since shots or the helper work on with it."""
    shots = laidout.live_shots(plan, piece)
    later = [shot_of(stop.demand) for stop in piece.stops if stop.worked]
    coming = laidout.next_step(plan, piece, piece.first)
    yarns = dict.fromkeys(name for step in coming for name, _ in (*step.yarns, *step.tails))
    wanted = [str(item.number) for item in plan.worked.listed if item.number in (*shots, *later)]
    if not wanted or not yarns:
        return ""
    what = "shot" if len(wanted) == 1 else "shots"
    if not any(piece.first):
        return f"Lay {begun_on_set(plan, piece)} with it: it is begun in shot {wanted[0]}."
    if coming[0].kind == "graft":
        worked = plan.worked.kinds[piece.kind]
        metres = sum(one.metres for one in yarn_between(plan.course, worked, piece.first, last_state(piece)))
        long = yarn_length(plan.course.pattern, [metres])
        return f"Leave {long} of {listing(list(yarns))} hanging at least: {what} {listing(wanted)} grafts with it."
    file = plan.course.pattern
    lengths = {name: yarn_length(file, [one]) for name, one in laidout.yarn_on_set(plan, piece).items()}
    return _left_with(laidout.yarn_shots(plan, piece), lengths)


def _left_with(yarns: Mapping[str, Sequence[str]], lengths: Mapping[str, str]) -> str:
    """Word which yarns are left with a piece, and for which shots: named once where it is the same for all."""
    groups = dict[str, list[str]]()
    for name, numbers in yarns.items():
        groups.setdefault(f"{'shot' if len(numbers) == 1 else 'shots'} {listing(numbers)}", []).append(name)
    if len(yarns) == 1:
        return f"Leave {''.join(yarns)} with it in its own small ball: it is needed for {''.join(groups)}."
    each = [f"{name} ({lengths[name]})" if name in lengths else name for name in yarns]
    shots = "; ".join(f"{listing(some)} for {numbers}" for numbers, some in groups.items())
    shots = shots if len(groups) > 1 else f"they are needed for {''.join(groups)}"
    return f"Leave {listing(each)} with it, each in a small ball of its own: {shots}." if each else ""


def _stays(plan: Plan, piece: Piece, told: str) -> str:
    """Say which yarns, beside those told of, stay on a piece since they are not cut, though no more of it is worked."""
    hang = hanging(piece.first, plan.worked.kinds[piece.kind], plan.worked.size)
    yarns = [name for name in hang if not re.search(rf"\b{re.escape(name)}\b", told)]
    each = "each wound to a small ball, since they are" if len(yarns) > 1 else "wound to a small ball, since it is"
    return f"What is left of {listing(yarns)} stays on it, {each} not cut." if yarns else ""


def begun_on_set(plan: Plan, piece: Piece) -> str:
    """Name the yarn and the needle with which a piece is begun on the set; nothing where it is brought begun."""
    words = words_of(plan.course.pattern)
    if any(piece.first) or not words.pace:
        return ""
    worked = plan.worked.kinds[piece.kind]
    # One that is only shown how to begin is worked on nowhere.
    key = next(iter(worked.begun(last_state(piece))), worked.order[0])
    needle = on_tools(stage_needle(plan, key), words.tool, several=False)
    needle = f"a {needle}" if re.search(rf"\b{re.escape(words.tool)}\b", needle) else needle
    lengths = [(yarn_length(plan.course.pattern, [one.metres]), one.yarn) for one in laidout.yarn_of(plan, piece)]
    yarn = listing([f"{length} of {name}" for length, name in lengths]) or words.stuff.lower()
    return f"{yarn} and {needle}"


def _hand_over(plan: Plan, piece: Piece, knitter: str) -> str:
    """Say where and when a piece is handed over."""
    file, due = plan.course.course, day_text(done_day(plan, piece))
    if not knitter or knitter == file.host:
        return f"Ready by the end of {due}."
    return f"Done by the evening of {due}, then sent or brought."


def _slates(plan: Plan, piece: Piece) -> str:
    """List the shots of a piece, with slates where they are agreed: ``1.4.3 (slate 12), 1.5.1 (slate 13)``."""
    texts = all_shots(plan)
    numbers = dict.fromkeys(shot_of(stop.demand) for stop in piece.stops)
    return ", ".join(f"{one} (slate {texts[one].slate})" if texts[one].slate else one for one in numbers)
