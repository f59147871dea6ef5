"""Where a sample knitter stops: after which round, with how many stitches on what, and what she must not do then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.course.model.groups import Words
from lessonplan.course.model.pattern import WASTE
from lessonplan.course.words import listing
from lessonplan.craft.words import KNITTING, rest_named
from lessonplan.pattern.shape.outline import outline
from lessonplan.pattern.worked import PART, UNIT, Step, WorkedPattern, WorkedStage
from lessonplan.pattern.working.works import JOINED
from lessonplan.samples.choice import State
from lessonplan.samples.states import inside_round

_NOT_NOW = {
    "draw-through": "do not draw through",
    "hold": "do not put stitches on waste yarn",
    "take-up": "do not take up the held stitches",
    "pick-up": "do not pick up stitches",
    "open": "do not pull out the waste yarn",
    "bind-off": "do not bind off",
    "graft": "do not graft",
    "sew": "do not sew",
    "weave-ends": "do not weave in the ends",
    "block": "do not wash or block it",
}
"""What is not done at a stop, by the kind of the step that would come next."""
CUTS = ("draw-through", "bind-off", "graft", "weave-ends")
"""After steps of these kinds the yarn is cut (common practice)."""


@dataclass(frozen=True, slots=True)
class StopWords:
    """Where to stop (or that it is finished), what is on the needle then, and what is left for others."""

    where: str
    stitches: str
    do_not: str

    @property
    def sentence(self) -> str:
        """All of it in one sentence."""
        return f"{self.short}; {self.do_not}." if self.do_not else f"{self.short}."

    @property
    def short(self) -> str:
        """Where to stop and what is on the needle then, without what is left for others."""
        return ", ".join(part for part in (self.where, self.stitches) if part)


def stop_words(state: State, worked: WorkedPattern, size: int, *, words: Words = KNITTING) -> StopWords:
    """Word the stop at a state of a piece, as it is worked in its kind, in the words of the craft."""
    if not any(state):
        return StopWords("Nothing is done on it before the shoot", "", "")
    live, held = stitches(state, worked, size, words)
    on = f"{live} {'stitch' if live == 1 else 'stitches'} {words.live}" if live else ""
    needles = live_parts(state, worked, size, words)
    if len(needles) > 1:
        on = f"{listing([str(one) for one in needles])} stitches, each on a {words.tool} of its own"
    waste = f"{held} on waste yarn" if held else ""
    ends = [*worked.ends(state, size)]
    if state == worked.whole(size):
        rests = dict.fromkeys(step.rest for stage, _ in ends for step in stage.steps if step.drying)
        return StopWords(f"Do all of it: {listing(['finished', *(rest_named(one).then for one in rests)])}", "", "")
    return StopWords(
        f"STOP {listing([*_wheres(ends)])}",
        " and ".join(part for part in (on, waste) if part),
        ", ".join(_left(state, worked, size, yarn=bool(words.pace))),
    )


def stitches(state: State, worked: WorkedPattern, size: int, words: Words = KNITTING) -> tuple[int, int]:
    """Give the stitches of a piece on the needle and on waste yarn; with a hook those of a row that is not left yet."""
    last = (stage.steps[steps - 1] for stage, steps in worked.ends(state, size))
    if words.tool != KNITTING.tool and not any(step.is_round or step.kind == PART for step in last):
        return 0, 0
    return outline(worked, size, state).stitches


def live_parts(state: State, worked: WorkedPattern, size: int, words: Words = KNITTING) -> tuple[int, ...]:
    """Give the stitches on each needle that is in a piece: parts that are not joined yet wait each on its own."""
    if words.tool != KNITTING.tool:
        return ()
    parts = outline(worked, size, state).walk()
    return tuple(part.live.stitches for part in parts if part.live and part.live.stitches)


def _wheres(ends: Sequence[tuple[WorkedStage, int]]) -> Iterator[str]:
    """Word the place at which each part stops; those that are wholly done share one verb, where the first stands."""
    each = [(_where(stage, steps), f"“{stage.title}”") for stage, steps in ends]
    done = [title for where, title in each if where == f"when {title} is done"]
    for where, title in each:
        if len(done) > 1 and title == done[0]:
            yield f"when {listing(done)} are done"
        elif len(done) < 2 or title not in done:
            yield where


def _where(stage: WorkedStage, steps: int) -> str:
    last, done, total = stage.steps[steps - 1], stage.rounds_at(steps), len(stage.rounds)
    what = stage.unit_at(steps)
    if last.kind == UNIT and steps < len(stage.steps):
        return f"after {last.text} of “{stage.title}”"
    if last.kind == PART:
        return f"in {what} {done + 1} of “{stage.title}”, after {inside_round(last, 'its')}"
    if last.is_round:
        point = next((f" ({name})" for name, at in stage.points if at == steps), "")
        end = ", the last of" if steps == len(stage.steps) else f", the last {what} of"
        of = end if done == total else f" of {total} of"
        return f"after {what} {done}{of} “{stage.title}”{point}"
    if steps == len(stage.steps):
        return f"when “{stage.title}” is done"
    return f"in “{stage.title}” after: {last.text.removesuffix(JOINED)}"


def _left(state: State, worked: WorkedPattern, size: int, *, yarn: bool) -> list[str]:
    """What must not be done: the next steps, and cutting the yarn where it is not cut."""
    found: list[str] = []
    if yarn and (live := _uncut(state, worked, size)):
        on = _attached(worked, size, live)
        found += [f"do not cut {on}"] if on else []
    if any(stage.steps[done - 1].text.endswith(JOINED) for stage, done in worked.ends(state, size)):
        found += [f"do not {JOINED.strip(' ,')}"]
    found += [_not(stage, stage.steps[done], begun=done > 0) for stage, done in worked.open_stages(state, size)]
    return list(dict.fromkeys(found))


def _attached(worked: WorkedPattern, size: int, begun: Sequence[tuple[WorkedStage, int]]) -> str:
    """Name the yarns that hang on a piece: of the last round and carried along. A pattern of one has “the yarn”.

    Nothing where none does, as on stitches that are only taken up.
    """
    if len({name for step in worked.steps(size) for name, _ in step.yarns if name != WASTE}) < 2:
        return "the yarn"
    return " or ".join(_hanging(begun))


def hanging(state: State, worked: WorkedPattern, size: int) -> tuple[str, ...]:
    """Give the keys of the yarns that hang on a piece, since they are not cut: of its last round and carried along."""
    return _hanging(_uncut(state, worked, size))


def _uncut(state: State, worked: WorkedPattern, size: int) -> list[tuple[WorkedStage, int]]:
    """The stages at which a piece ends with its yarn still on it, each with its steps done."""
    return [(stage, done) for stage, done in worked.ends(state, size) if not is_cut(stage.steps[done - 1])]


def _hanging(begun: Sequence[tuple[WorkedStage, int]]) -> tuple[str, ...]:
    last = [next((one for one in reversed(stage.steps[:done]) if _own(one)), None) for stage, done in begun]
    return tuple(dict.fromkeys(name for step in last if step for name in (*_own(step), *step.resting) if name != WASTE))


def _own(step: Step) -> list[str]:
    """The yarns of a step that stay in the fabric."""
    return [name for name, _ in step.yarns if name != WASTE]


def is_cut(step: Step) -> bool:
    """Whether the yarn is cut after a step, or was before it: “Fasten off” as a work of minutes cuts it too."""
    return step.kind in (*CUTS, "block") or step.text.lower().startswith(("fasten off", "break", "cut"))


def _not(stage: WorkedStage, step: Step, *, begun: bool) -> str:
    """Forbid one step."""
    if step.kind in _NOT_NOW:
        return _NOT_NOW[step.kind]
    if step.held:
        return _NOT_NOW["hold"]
    if begun and step.kind == UNIT:
        return f"do not begin {step.text}"
    if begun:
        return "do not work on" if step.is_round else f"do not go on with “{stage.title}”"
    return f"do not begin “{stage.title}”"
