"""How far a piece is: the teacher's words and the printed words, both read into steps done of each stage."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tests.walk.stages import Stage

State = Mapping[str, int]
"""Steps done of each stage, all stages named."""

STEMS = {
    "cast_on": "cast on", "pick_up": "pick up", "draw_through": "cut", "bind_off": "bind off",
    "weave_ends": "weave", "block": "block",
}  # fmt: skip
LYING = {
    "take_up": re.compile(r"the \d+ held sts on the needles|\d+ of the \d+ held sts on the needles"),
    "hold": re.compile(r"\d+ sts on waste yarn"),
}
"""Where stitches lie when they were moved, and by which step."""


@dataclass(frozen=True)
class Piece:
    """What there is to know of one kind of piece: its stages in working order."""

    stages: Mapping[str, Stage]

    def nothing(self) -> dict[str, int]:
        return dict.fromkeys(self.stages, 0)

    def whole(self, key: str) -> int:
        return len(self.stages[key].steps)

    def needs(self, key: str) -> set[str]:
        """All stages before one."""
        found: set[str] = set()
        for name in self.stages[key].after:
            found |= {name, *self.needs(name)}
        return found

    def finished(self) -> State:
        """All that hangs together with the first stage."""
        first = next(iter(self.stages))
        linked = {first}
        for _ in self.stages:
            for key, stage in self.stages.items():
                if key in linked or linked & set(stage.after):
                    linked |= {key, *stage.after}
        return {key: self.whole(key) if key in linked else 0 for key in self.stages}

    def closed(self, some: Mapping[str, int]) -> State:
        """A state from the stages that are named: whatever they come after is whole."""
        state = self.nothing()
        for key, done in some.items():
            for name in self.needs(key):
                state[name] = self.whole(name)
            state[key] = max(state[key], done)
        return state


def at_least(state: State, low: State) -> bool:
    return all(state[key] >= low[key] for key in state)


def asked_range(text: str, piece: Piece) -> tuple[State, State]:
    """The states that will do: ``cuff``, ``cuff to band``, ``cuff or later``. ``KeyError`` when there is none."""
    later = re.fullmatch(r"(.+) or (?:later|further|more)", text)
    if later:
        return asked_state(later[1], piece), piece.finished()
    named = any(text.lower() in stage.points for stage in piece.stages.values())
    low, _, high = (text, "", "") if named else text.partition(" to ")
    return asked_state(low, piece), asked_state(high or low, piece)


def asked_state(text: str, piece: Piece) -> State:
    """The state in the teacher's words. Raises ``KeyError`` where this kind of piece has no such state."""
    if text in ("finished", "done", "all"):
        return piece.finished()
    if text in ("nothing", "not begun", "yarn"):
        return piece.nothing()
    some: dict[str, int] = {}
    last = ""
    for part in re.split(r",\s*|\s+and\s+", text):
        last = _part(part.strip().lower(), piece, some, last)
    return piece.closed(some)


def _part(part: str, piece: Piece, some: dict[str, int], last: str) -> str:
    """Read one part into ``some``, and give the stage it speaks of."""
    rounds = re.fullmatch(r"(\w+)(?: (?:round|row|section))? (\d+)", part)
    work = re.fullmatch(r"(before|after) (\w+)(?: (\d+))?", part)
    on = re.fullmatch(r"(\d+) sts on", part)
    if on:
        number = piece.stages[last].steps[some[last] - 1].number
        some[last] = place_in(piece.stages[last], number, int(on[1]))
        return last
    at = next((key for key, stage in piece.stages.items() if part in stage.points), "")
    if part in piece.stages:
        some[part] = piece.whole(part)
        return part
    if at:
        some[at] = piece.stages[at].points[part]
        return at
    if work and work[2] in piece.stages:
        some[work[2]] = 0 if work[1] == "before" else piece.whole(work[2])
        return work[2]
    if work:
        ends = piece.stages[last].works
        place = [number for number, (word, _) in enumerate(ends) if word == work[2]][int(work[3] or 1) - 1]
        if work[1] == "before":
            some[last] = ends[place - 1][1] if place else 0
        else:
            some[last] = ends[place][1]
        return last
    if rounds:
        some[rounds[1]] = round_end(piece.stages[rounds[1]], int(rounds[2]))
        return rounds[1]
    raise KeyError(part)


def round_end(stage: Stage, number: int) -> int:
    """Steps done when a round, by its number on the full piece, is done."""
    for at, step in enumerate(stage.steps):
        if step.word == "round" and step.number == number:
            return at + 1
    units = [at for at, step in enumerate(stage.steps, 1) if step.word == "unit"]
    if 0 < number <= len(units):
        return units[number - 1]
    raise KeyError(f"{stage.key} round {number}")


def place_in(stage: Stage, number: int, stitches: int) -> int:
    """Steps done when so many stitches of a round are. ``KeyError`` where the round is not parted there."""
    for at, step in enumerate(stage.steps):
        if (step.word, step.number, step.stitches) == ("part", number, stitches):
            return at + 1
    raise KeyError(f"{stage.key} round {number}, {stitches} sts on")


def printed_state(text: str, piece: Piece) -> State:
    """The state in printed words. Raises ``ValueError`` when these name no state of such a piece."""
    if text == "finished":
        return {key: piece.whole(key) for key in piece.stages}
    if text == "not begun":
        return piece.nothing()
    for key, stage in piece.stages.items():  # work on a step that nothing comes before, and that is not done yet
        if text == f"{stage.title} begun" and {one for one, steps in piece.closed({key: 1}).items() if steps} == {key}:
            return piece.nothing()
    some: dict[str, int] = {}
    for part in text.split("; "):
        key = max(
            (key for key, stage in piece.stages.items() if part.startswith(stage.title)),
            key=lambda key: len(piece.stages[key].title),
            default="",
        )
        if not key:
            raise ValueError(f"“{part}” names no stage")
        some[key] = _printed_steps(part.removeprefix(piece.stages[key].title), piece.stages[key])
    return piece.closed(some)


def evening_states(texts: Sequence[str], piece: Piece, begun: State) -> list[State]:
    """The states in the printed words of evenings, one after the other: each names what it brings, no more.

    Parts of a work, the first or another of its minutes, bring no step; the last of them stand behind what they bring.
    """
    found = [begun]
    for text in texts:
        rests = re.search(r"; it [a-z ]+ until \w+ \d+ \w+(, then finished)?$", text)
        if rests:  # nothing is worked any more where it only lies
            text = "finished" if rests[1] else text[: rests.start()]
        whole = re.sub(r" \(the last \d+ of \d+ min(?: of “.*”)?\)", "", text)
        parts = [one for one in whole.split("; ") if not re.search(r", (the first|another) \d+ of \d+ min", one)]
        then = printed_state("; ".join(parts), piece) if parts else piece.nothing()
        found.append({key: steps or found[-1][key] for key, steps in then.items()})
    return found[1:]


def _printed_steps(said: str, stage: Stage) -> int:
    ends = stage.rounds
    some = re.fullmatch(r", (\d+) of (\d+) (?:rounds|rows)(?: \((?:round|row) (\d+) of the full piece\))?", said)
    whole = r"(?:(\d+) (?:rounds?|rows?) and the first (\d+) sts? of the next|the first (\d+) sts? of (?:round|row) 1)"
    inside = re.fullmatch(rf", {whole}(?: \(\d+ of them on waste yarn\))?", said)
    if inside and int(inside[1] or 0) < len(ends):
        return place_in(stage, stage.steps[ends[int(inside[1] or 0)] - 1].number, int(inside[2] or inside[3]))
    every = re.fullmatch(r", all (\d+) (?:rounds|rows)", said)
    if said == " done":
        return len(stage.steps)
    if every and int(every[1]) == len(ends):
        return ends[-1]
    if some and 0 < int(some[1]) < int(some[2]) == len(ends):
        at = ends[int(some[1]) - 1]
        if int(some[3] or stage.steps[at - 1].number) == stage.steps[at - 1].number:
            return at
    if said.startswith(": "):
        return _step_named(said.removeprefix(": "), stage)
    raise ValueError(f"“{stage.title}{said}” is no state of {len(ends)} rounds")


def _step_named(said: str, stage: Stage) -> int:
    if said in stage.points:
        return stage.points[said]
    units = [at + 1 for at, step in enumerate(stage.steps) if step.word == "unit"]
    unit = re.fullmatch(r"\w+ (\d+) of (\d+)", said)
    if unit and int(unit[2]) == len(units):
        return units[int(unit[1]) - 1]
    lying = next((word for word, text in LYING.items() if text.fullmatch(said)), "")
    for at, step in enumerate(stage.steps):
        if step.word == lying if lying else said.lower().startswith(STEMS.get(step.word, step.word)):
            return at + 1
    raise ValueError(f"“{stage.title}: {said}” names no work")


def difference(piece: Piece, low: State, high: State) -> Sequence[tuple[Stage, int, int]]:
    """The stages in which one state is further than another, with the steps from and to."""
    return [(stage, low[key], high[key]) for key, stage in piece.stages.items() if high[key] > low[key]]


def minutes(piece: Piece, low: State, high: State, pace: float) -> float:
    """The estimate of all work from one state to another that has all of it."""
    return sum(
        step.minutes(pace) for stage, begin, end in difference(piece, low, high) for step in stage.steps[begin:end]
    )


RIP = 0.01, 0.04
"""Minutes in which a stitch is drawn out and caught again: a brisk hand, and a slow one (guesses)."""


def undoing(piece: Piece, low: State, high: State) -> tuple[float, float]:
    """The least and the most minutes in which a piece goes back; other works than rounds take no longer than to do."""
    least = most = 0.0
    for stage, begin, end in difference(piece, low, high):
        for step in stage.steps[begin:end]:
            least += RIP[0] * step.stitches
            most += RIP[1] * step.stitches if step.word in ("round", "part") else step.minutes(20.0)
    return least, most


def can_go_back(piece: Piece, low: State, high: State) -> bool:
    return not any(
        step.for_good for stage, begin, end in difference(piece, low, high) for step in stage.steps[begin:end]
    )


def meet(one: State, other: State) -> State:
    return {key: min(one[key], other[key]) for key in one}


@dataclass(frozen=True)
class Done:
    """Clock times: when the last hand's work is done, and when all is dry too."""

    worked: float
    dry: float


def done_after(
    piece: Piece, low: State, high: State, pace: float, begun: float, wet: Mapping[str, float] | None = None
) -> Done:
    """When all from one state to another can be worked and dry at the earliest, if work begins at ``begun``.

    ``wet`` are the stages that still dry, and until when. Stages that need nothing of each other may overlap.
    """
    ready = {key: (wet or {}).get(key, 0.0) for key in piece.stages}
    worked = begun
    for stage, start, end in difference(piece, low, high):
        clock = max([begun, ready[stage.key], *(ready[name] for name in piece.needs(stage.key))])
        for step in stage.steps[start:end]:
            worked = max(worked, clock + step.minutes(pace))
            clock += step.minutes(pace) + step.drying
        ready[stage.key] = clock
    return Done(worked, max([worked, *ready.values()]))
