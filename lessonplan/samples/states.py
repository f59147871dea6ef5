"""From the teacher's words for a state (``before thumb``) to the steps done of each stage, and back."""

from __future__ import annotations

from lessonplan.course.states import StatePart, StateText
from lessonplan.pattern.worked import WorkedPattern, WorkedStage
from lessonplan.samples.ladder import State


class StateError(ValueError):
    """A state that the worked pattern does not have; the text is one sentence without a full stop."""


def resolve(text: StateText, worked: WorkedPattern, size: int) -> State:
    """Give the steps done of each stage (in ``worked.order``) for a state as typed.

    A stage that is named brings everything it comes after. ``finished`` is everything that hangs together with the
    first stage. Raises `StateError` when a stage has fewer rounds, or when two parts contradict each other.
    """
    if text.form == "nothing":
        return tuple(0 for _ in worked.order)
    if text.form == "finished":
        whole = thing(worked, worked.order[0])
        return tuple(len(worked.stage(key, size).steps) if key in whole else 0 for key in worked.order)
    done: dict[str, int] = dict.fromkeys(worked.order, 0)
    for part in text.parts:
        for key in worked.ancestors(part.stage):
            done[key] = len(worked.stage(key, size).steps)
    for part in text.parts:
        steps = _steps(part, worked, size)
        full = len(worked.stage(part.stage, size).steps)
        if done[part.stage] == full and steps < full:
            other = next(p.stage for p in text.parts if part.stage in worked.ancestors(p.stage))
            said = f"before {part.stage}" if part.before else f"{part.stage} round {part.rounds}"
            raise StateError(f"“{said}” contradicts “{other}”, which needs the whole of “{part.stage}”")
        done[part.stage] = max(done[part.stage], steps)
    return tuple(done[key] for key in worked.order)


def _steps(part: StatePart, worked: WorkedPattern, size: int) -> int:
    stage = worked.stage(part.stage, size)
    if part.before:
        return 0
    if part.rounds is None:
        return len(stage.steps)
    try:
        return stage.steps_to_round(part.rounds)
    except ValueError:
        here = f" in size {worked.sizes[size]}" if len(worked.sizes) > 1 else ""
        raise StateError(f"“{part.stage}” has {len(stage.rounds)} rounds{here}, not {part.rounds}") from None


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


def in_words(state: State, worked: WorkedPattern, size: int, kind: str = "full") -> str:
    """Say a state briefly: only the stages that nothing done comes after, each done or as far as it is.

    A short piece counts the rounds that its shortened stages have.
    """
    done = {key: steps for key, steps in zip(worked.order, state, strict=True) if steps}
    if not done:
        return "not begun"
    covered = {name for key in done for name in worked.ancestors(key)}
    parts = []
    for key, steps in done.items():
        if key in covered:
            continue
        stage = worked.stage(key, size)
        if steps == len(stage.steps):
            parts.append(f"{stage.title} done")
        else:
            parts.append(_under_way(stage, steps, kind))
    whole = all(steps == len(worked.stage(key, size).steps) for key, steps in done.items()) and len(done) == len(
        worked.order
    )
    return "finished" if whole else "; ".join(parts)


def _under_way(stage: WorkedStage, steps: int, kind: str) -> str:
    """Say how far a stage is that is begun and not done."""
    done, total, last = stage.rounds_at(steps), len(stage.rounds), stage.steps[steps - 1]
    if not done or not last.is_round:
        return f"{stage.title}: {last.text[0].lower()}{last.text[1:]} done" if done else f"{stage.title}: {last.text}"
    what = "rows" if last.flat else "rounds"
    if kind == "short" and _shortened(stage):
        done, total = max(1, round(done * (stage.short or total) / total)), stage.short or total
    return f"{stage.title}, all {total} {what}" if done == total else f"{stage.title}, {done} of {total} {what}"


def kind_in_words(kind: str, state: State, worked: WorkedPattern, size: int, share: float) -> str:
    """Say what a short or small piece means for its knitter, in the stages that the state needs."""
    if kind == "short":
        stages = [worked.stage(key, size) for key, steps in zip(worked.order, state, strict=True) if steps]
        parts = [f"{one.title} {one.short} rounds instead of {len(one.rounds)}" for one in stages if _shortened(one)]
        return f"short: {', '.join(parts)}" if parts else "short"
    if kind == "small":
        first = next((worked.stage(key, size) for key in worked.order if worked.stage(key, size).steps), None)
        widest = max((step.after for step in first.steps), default=0) if first else 0
        return f"small: about {round(widest * share)} sts instead of {widest}, to the next full repeat"
    return ""


def _shortened(stage: WorkedStage) -> bool:
    return stage.short is not None and stage.short < len(stage.rounds)
