"""From the teacher's words for a state (``before thumb``) to the steps done of each stage, and back."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from lessonplan.course.model.pattern import Pattern
from lessonplan.course.names.states import StatePart, StateText, read_state
from lessonplan.course.words import count_of, listing
from lessonplan.pattern.worked import PART, UNIT, Step, WorkedPattern, WorkedStage, is_one_of
from lessonplan.pattern.working.works import JOINED
from lessonplan.samples.choice import State


class StateError(ValueError):
    """A state that the worked pattern does not have; the text is one sentence without a full stop."""


def resolve(text: StateText, worked: WorkedPattern, size: int) -> State:
    """Give the steps done of each stage (in ``worked.order``) for a state as typed, in the kind worked there.

    A stage that is named brings everything it comes after. ``finished`` is everything that hangs together with the
    first stage. Raises `StateError` when the kind has no such state, or when two parts contradict each other.
    """
    if text.form == "nothing":
        return tuple(0 for _ in worked.order)
    if text.form == "finished":
        whole = thing(worked, worked.order[0])
        return _possible(
            tuple(len(worked.stage(key, size).steps) if key in whole else 0 for key in worked.order), worked, size
        )
    done: dict[str, int] = dict.fromkeys(worked.order, 0)
    parts = [(_stage_of(part, worked, size), part) for part in text.parts]
    for stage, _ in parts:
        for key in worked.ancestors(stage):
            done[key] = len(worked.stage(key, size).steps)
    said: dict[str, StatePart] = {}
    for stage, part in parts:
        steps = _steps(worked.stage(stage, size), part, _where(worked, size))
        later = next((key for key, _ in parts if stage in worked.ancestors(key)), "")
        if later and steps < done[stage]:
            raise StateError(f"“{_said(stage, part)}” contradicts “{later}”, which needs the whole of “{stage}”")
        if stage in said and steps != done[stage]:
            raise StateError(f"“{_said(stage, said[stage])}” contradicts “{_said(stage, part)}”")
        said[stage], done[stage] = part, steps
    return _possible(tuple(done[key] for key in worked.order), worked, size)


def _possible(state: State, worked: WorkedPattern, size: int) -> State:
    """The state, unless a stage that it needs cannot be worked in this kind."""
    for key, steps in zip(worked.order, state, strict=True):
        if steps and worked.stage(key, size).broken:
            raise StateError(f"“{key}” cannot be worked in this kind: {worked.stage(key, size).broken}")
    return state


def _where(worked: WorkedPattern, size: int) -> str:
    return f" in size {worked.sizes[size]}" if len(worked.sizes) > 1 else ""


def _said(stage: str, part: StatePart) -> str:
    """Say a part as a teacher would type it."""
    if part.work:
        return f"{stage}, {'before' if part.before else 'after'} {part.work}"
    if part.before or part.point:
        return f"before {stage}" if part.before else part.point
    if part.rounds is None:
        return stage
    return (
        f"{stage} round {part.rounds + 1}, {part.stitches} sts on"
        if part.stitches
        else f"{stage} {part.unit or 'round'} {part.rounds}"
    )


def _stage_of(part: StatePart, worked: WorkedPattern, size: int) -> str:
    """The stage that a part speaks of: the one named, or the only one that has its point."""
    if not part.point:
        return part.stage
    having = [key for key in worked.order if part.point in dict(worked.stage(key, size).points)]
    if part.stage and part.stage not in having:
        raise StateError(f"“{part.stage}” has no point “{part.point}”")
    if not having:
        raise StateError(f"no stage that is worked has the point “{part.point}”")
    if len(having) > 1 and not part.stage:
        raise StateError(f"“{part.point}” is a point of {' and of '.join(having)}; name the stage before it")
    return part.stage or having[0]


def _steps(stage: WorkedStage, part: StatePart, where: str) -> int:
    if part.point:
        return dict(stage.points)[part.point]
    if part.work:
        return _steps_to_work(stage, part)
    if part.before:
        return 0
    if part.rounds is None:
        return len(stage.steps)
    if part.stitches:
        return _steps_inside(stage, part.rounds + 1, part.stitches, where)
    return _steps_to_round(stage, part.rounds, where, part.unit)


def _steps_to_round(stage: WorkedStage, number: int, where: str, unit: str = "") -> int:
    try:
        return stage.steps_to_round(number, unit)
    except ValueError:
        if stage.numbers and number <= stage.numbers[-1]:
            has = f"by the numbers of the full one it has {stage.unit}s {_listed(stage.numbers)}"
            raise StateError(f"a short “{stage.key}” leaves out {stage.unit} {number}: {has}") from None
        if stage.broken:
            raise StateError(f"“{stage.key}” cannot be worked in this kind: {stage.broken}") from None
        short = "a short " if stage.numbers else ""
        units = [step for step in stage.steps if step.kind == UNIT]
        units = [step for step in units if is_one_of(step.unit, unit)] or units
        there = (
            count_of(len(stage.rounds), stage.unit if stage.rounds else "round")
            if stage.rounds or stage.numbers is not None
            else count_of(len(stage.steps), "step")
        )
        if units and not stage.rounds:
            there = count_of(len(units), units[0].unit)
        raise StateError(f"{short}“{stage.key}” has {there}{where}, not {number}") from None


def _listed(numbers: Sequence[int]) -> str:
    """List numbers that grow, those that follow each other as from and to: ``1 to 8 and 31 to 40``."""
    runs = [[number for _, number in run] for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0])]
    return listing([f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs])


def _steps_inside(stage: WorkedStage, number: int, stitches: int, where: str) -> int:
    """Steps done where so many stitches of a round are; the round was cut there when the kind was worked."""
    at = _steps_to_round(stage, number, where) - 1
    parts = stage.parts(at)
    for left in range(len(parts)):
        if sum(one.part for one in parts[left:]) == stitches:
            return at - left
    raise StateError(f"round {number} of “{stage.key}” has no place {stitches} stitches on{where}")


def _steps_to_work(stage: WorkedStage, part: StatePart) -> int:
    ends = [(number, at) for number, (word, at) in enumerate(stage.works) if word == part.work]
    if len(ends) < part.place:
        known = ", ".join(dict.fromkeys(word for word, _ in stage.works if word not in ("", "point")))
        raise StateError(
            f"“{stage.key}” has no work “{part.work}” to be {'before' if part.before else 'after'}; it has {known}"
        )
    number, at = ends[part.place - 1]
    if not part.before:
        return at
    return stage.works[number - 1][1] if number else 0


def typed(state: State, worked: WorkedPattern, size: int) -> str:
    """Give a state in the words in which a teacher types it, so that `resolve` gives it again.

    Raises ``ValueError`` for a state inside a work that no words reach.
    """
    done = worked.begun(state)
    if not done:
        return "nothing"
    first = thing(worked, worked.order[0])
    if {*done} <= first and all(len(worked.stage(key, size).steps) == done.get(key, 0) for key in first):
        return "finished"
    ends = worked.ends(state, size)
    text = ", ".join(one.key if steps == len(one.steps) else _typed_part(one, steps) for one, steps in ends)
    points = [name for key in worked.order for name, _ in worked.stage(key, size).points]
    if resolve(read_state(text, worked.order, points), worked, size) != state:
        raise ValueError(f"“{text}” does not reach this state")
    return text


def _typed_part(stage: WorkedStage, steps: int) -> str:
    """Name a place inside a stage: a point, a round, a place inside a round, or the end of a work."""
    for name, at in stage.points:
        if at == steps:
            return f"{stage.key}, {name}"
    rounds, last = stage.rounds_at(steps), stage.steps[steps - 1]
    numbers = stage.numbers or range(1, len(stage.rounds) + 1)
    if last.is_round:
        return f"{stage.key} round {numbers[rounds - 1]}"
    if last.kind == PART:
        return f"{stage.key} round {numbers[rounds]}, {last.text.split(' ')[0]} sts on"
    if last.unit:
        return f"{stage.key} {last.unit} {sum(step.unit == last.unit for step in stage.steps[:steps])}"
    for number, (word, at) in enumerate(stage.works):
        if at == steps:
            place = sum(other == word for other, _ in stage.works[: number + 1])
            return f"{stage.key}, after {word}" + (f" {place}" if place > 1 else "")
    if not stage.rounds and stage.numbers is None and all(step.kind != UNIT for step in stage.steps):
        return f"{stage.key} round {steps}"
    raise ValueError(f"no words reach {steps} steps of “{stage.key}”")


def thing(worked: WorkedPattern, key: str) -> frozenset[str]:
    """Give the stages that hang together with one: the stages of one physical thing."""
    found, todo = {key}, [key]
    while todo:
        one = todo.pop()
        for other in worked.order:
            if other not in found and (one in worked.before[other] or other in worked.before[one]):
                found.add(other)
                todo.append(other)
    return frozenset(found)


def in_words(state: State, worked: WorkedPattern, size: int) -> str:
    """Say a state briefly: only the stages that nothing done comes after, each done or as far as it is.

    ``worked`` is the pattern as the piece's kind is worked, so a short piece counts the rounds that it has.
    """
    return "; ".join(parts_in_words(state, worked, size))


def parts_in_words(state: State, worked: WorkedPattern, size: int) -> tuple[str, ...]:
    """Say a state as `in_words` does, each stage for itself."""
    if not any(state):
        return ("not begun",)
    if state == worked.whole(size):
        return ("finished",)
    ends = worked.ends(state, size)
    return tuple(f"{one.title} done" if steps == len(one.steps) else _under_way(one, steps) for one, steps in ends)


def inside_round(step: Step, whose: str, of: str = "") -> str:
    """Say how far a round is worked, so that nobody takes these for the stitches of the piece: it may have more."""
    upto, _, aside = step.text.partition(" of: ")[0].partition(" sts")
    return f"{whose} first {count_of(int(upto), 'st')}{of}{aside}"


def _under_way(stage: WorkedStage, steps: int) -> str:
    """Say how far a stage is that is begun and not done."""
    point = next((name for name, at in stage.points if at == steps), "")
    if point:
        return f"{stage.title}: {point}"
    done, total, last, what = stage.rounds_at(steps), len(stage.rounds), stage.steps[steps - 1], stage.unit
    if last.kind == PART:
        whole = f"{count_of(done, what)} and " if done else ""
        return f"{stage.title}, {whole}{inside_round(last, 'the', ' of the next' if done else f' of {what} 1')}"
    if last.kind in ("take-up", "hold"):
        return f"{stage.title}: {last.text.removeprefix('Put ').replace(' back on ', ' on ')}"
    if not done or not last.is_round:
        text = last.text.removesuffix(JOINED)  # a ring is closed with the first stitch of its first round
        return f"{stage.title}: {text[0].lower()}{text[1:]} done" if done else f"{stage.title}: {text}"
    if done == total:
        return f"{stage.title}, all {count_of(total, what)}"
    number = stage.numbers[done - 1] if stage.numbers else done
    as_in_full = f" ({what} {number} of the full piece)" if number != done else ""
    return f"{stage.title}, {done} of {count_of(total, what)}{as_in_full}"


def kind_name(pattern: Pattern, kind: str) -> str:
    """Name a kind on paper: beside a size that is called Small, a small piece is one with fewer stitches."""
    small = any(size.name.lower() == "small" for size in pattern.sizes)
    return "fewer stitches" if kind == "small" and small else kind


def kind_of_piece(pattern: Pattern, kind: str) -> str:
    """Name a piece by its kind: ``short piece``, ``piece with fewer stitches``."""
    name = kind_name(pattern, kind)
    return f"piece with {name}" if " " in name else f"{name} piece"


def kind_in_words(kind: str, state: State, worked: WorkedPattern, full: WorkedPattern, size: int) -> str:
    """Say what a short or small piece means for its knitter, in the stages that the state needs.

    ``worked`` is the pattern as this kind is worked, ``full`` as the full piece is.
    """
    if kind == "short":
        begun = worked.begun(state)
        needed = {*begun, *(name for key in begun for name in worked.ancestors(key))}
        pairs = [(worked.stage(key, size), full.stage(key, size)) for key in worked.order if key in needed]
        parts = [_fewer(one, whole) for one, whole in pairs if one.numbers is not None]
        return f"short: {', '.join(parts)}" if parts else "short"
    if kind == "small":
        here, there = (next((step.after for step in one.steps(size) if step.after), 0) for one in (worked, full))
        return f"fewer stitches: {here} on the needles instead of {there}"
    return ""


def fewer_in_words(state: State, worked: WorkedPattern, full: WorkedPattern, size: int) -> str:
    """Say how many rounds the stages have, of those that a piece is in the middle of, where the full piece has more."""
    pairs = [(worked.stage(key, size), steps) for key, steps in worked.begun(state).items()]
    inside = [one for one, steps in pairs if steps < len(one.steps) and one.numbers]
    return ", ".join(_fewer(one, full.stage(one.key, size)) for one in inside)


def _fewer(stage: WorkedStage, full: WorkedStage) -> str:
    if not stage.numbers:
        return f"without the rounds of {stage.title}"
    what = stage.unit
    return f"{stage.title} {count_of(len(stage.rounds), what)} instead of {len(full.rounds)}"
