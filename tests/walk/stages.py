"""A rough reading of the pattern: what each stage of a piece is made of, step by step, and how long it may take.

It counts stitches by the plain signs of a printed line only. Times are what knitters say: a stitch at somebody's pace,
decreases and increases somewhat more, a few minutes for an edge, an end, a cut. So an estimate is not exact, and those
who use it leave room; how many rounds a stage has is told from outside where a length asks for them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tests.walk.folder import time_of


@dataclass(frozen=True)
class Step:
    """A round or another work: plain stitches it is worth, minutes that no pace shortens, and minutes of drying.

    ``number``: a round's own number on the full piece.
    """

    word: str
    plain: float = 0.0
    fixed: float = 0.0
    drying: float = 0.0
    for_good: bool = False
    stitches: int = 0
    number: int = 0

    def minutes(self, pace: float) -> float:
        return self.plain / pace + self.fixed


@dataclass(frozen=True)
class Stage:
    """A stage of one kind of piece. ``points`` and ``works`` are step counts, by name and in order."""

    key: str
    title: str
    after: tuple[str, ...]
    steps: tuple[Step, ...]
    points: Mapping[str, int]
    works: tuple[tuple[str, int], ...]

    @property
    def rounds(self) -> tuple[int, ...]:
        """Step counts at which a round ends."""
        return tuple(at + 1 for at, step in enumerate(self.steps) if step.word == "round")


WORTH = {"p": 1.15, "sl": 0.5, "k2tog": 1.6, "ssk": 1.8, "m1": 2.0, "m1l": 2.0, "m1r": 2.0}
"""Plain stitches that a sign is worth, by the feel of it; all times here are such guesses."""
TAKEN = {"k2tog": 2, "ssk": 2, "m1": 0, "m1l": 0, "m1r": 0, "pm": 0, "sm": 0, "rm": 0}
LEFT = {"k2tog": 1, "ssk": 1, "m1": 1, "m1l": 1, "m1r": 1, "pm": 0, "sm": 0, "rm": 0}


@dataclass(frozen=True)
class Line:
    """A printed line done once: stitches left on the needle, put aside, and its worth."""

    left: int
    held: int
    worth: float


def work_line(text: str, stitches: int) -> Line:
    """Work a line on so many stitches; what it does not say stitch by stitch is knitted plain."""
    low = text.lower().strip()
    repeat = re.search(r"\*(.+?); rep from \* to end", low) or re.fullmatch(r"\[(.+?)\] to end", low)
    times = 1
    if repeat:
        low = repeat[1]
        taken = sum(TAKEN.get(sign, 1) * count for sign, count in _signs(low))
        times = stitches // taken if taken else 1
    signs = list(_signs(low))
    held = sum(count for sign, count in signs if sign == "hold")
    signs = [(sign, count * times) for sign, count in signs if sign != "hold"]
    change = sum((LEFT.get(sign, 1) - TAKEN.get(sign, 1)) * count for sign, count in signs)
    special = sum((WORTH[sign] - TAKEN.get(sign, 1)) * count for sign, count in signs if sign in WORTH)
    return Line(stitches + change - held, held, stitches - held + special)


def _signs(text: str) -> Iterator[tuple[str, int]]:
    for part in re.split(r",\s*", text):
        found = re.match(r"(hold|sl|k2tog|ssk|m1[lr]?|pm|sm|rm|[kp])\s*(\d+)?\b", part)
        if found:
            yield found[1], int(found[2] or 1)


def pick(value: str, size: int) -> str:
    """The value for a size of ``5 (5.7, 6.3) cm`` with its unit."""
    found = re.search(r"([\d.]+)\s*\(([\d., ]+)\)", value)
    if not found:
        return value
    every = [found[1], *(one.strip() for one in found[2].split(","))]
    return value.replace(found[0], every[size])


class Bench:
    """Works the stages of one kind, one after another. ``totals`` has the rounds of each stage of the full piece."""

    def __init__(self, pattern: Mapping[str, Any], size: int, totals: Mapping[str, int], cast_on: int = 0) -> None:
        self.pattern, self.size, self.totals, self.cast_on = pattern, size, totals, cast_on
        self.held: dict[str, int] = {}
        self.live: dict[str, int] = {}
        self.stitches = 0

    def every(self) -> dict[str, Stage]:
        """All stages, those first that others come after."""
        todo = {key: told for key, told in self.pattern["stages"].items() if self._filmed(told)}
        found: dict[str, Stage] = {}
        while todo:
            key = next(key for key in todo if all(name in found for name in _after(todo[key])))
            found[key] = self.stage(key, todo.pop(key))
        return found

    def _filmed(self, told: Mapping[str, Any]) -> bool:
        """Whether it is in the piece that is filmed, which has the first choice of each option."""
        first = [choices.split(" or ")[0].strip() for choices in (self.pattern.get("options") or {}).values()]
        return told.get("when", first[0] if first else "") in (*first, "")

    def stage(self, key: str, told: Mapping[str, Any]) -> Stage:
        after = _after(told)
        self.stitches = next((self.live[name] for name in after if self.live.get(name)), 0)
        steps: list[Step] = []
        points: dict[str, int] = {}
        works: list[tuple[str, int]] = []
        filmed = [work for work in told["works"] if self._filmed(work)]
        for place, work in enumerate(filmed):
            if "point" in work:
                points[work["point"].lower()] = len(steps)
                continue
            others = sum(step.word == "round" for step in steps) + self._counted(filmed[place + 1 :])
            good = "yes" in (work.get("one_way"), told.get("one_way"))
            made = [replace(step, for_good=good or step.drying > 0) for step in self.work(key, work, others)]
            steps += made
            works.append((made[0].word if made else "", len(steps)))
        self.live[key] = self.stitches
        numbers = iter(range(1, len(steps) + 1))
        steps = [replace(step, number=next(numbers)) if step.word == "round" else step for step in steps]
        return Stage(key, told.get("title", key), after, tuple(steps), points, tuple(works))

    def _counted(self, works: Sequence[Mapping[str, Any]]) -> int:
        """The rounds of works that say how many, without working them."""
        return sum(self._rounds(work) or 0 for work in works if "lines" in work)

    def _rounds(self, work: Mapping[str, Any]) -> int | None:
        if "times" in work:
            return int(pick(work["times"], self.size)) * len(_lines(work))
        if "rounds" not in work:
            return len(_lines(work))
        said = pick(work["rounds"], self.size)
        return int(said) if said.isdigit() else None

    def work(self, key: str, work: Mapping[str, Any], others: int) -> list[Step]:
        """The steps of one work; one that is not known here is a step of unknown time."""
        if "lines" in work:
            return list(self._knit(key, work, others))
        if "units" in work:
            return [Step("unit", fixed=time_of(work["each"]))] * int(work["units"])
        return [self._other(work)]

    def _knit(self, key: str, work: Mapping[str, Any], others: int) -> Iterator[Step]:
        lines, until = _lines(work), re.match(r"until (\d+)", work.get("rounds", ""))
        count = self._rounds(work)
        if count is None and not until:
            count = self.totals[key] - others
        done = 0
        while done < count if count is not None else self.stitches > int(until[1] if until else 0):
            before = self.stitches
            line = work_line(pick(lines[done % len(lines)], self.size), before)
            self.stitches = line.left
            if line.held:
                self.held[work.get("holds", key)] = line.held
            change = 0.4 if "stripes" in work and done % 2 == 0 else 0.0
            yield Step("round", line.worth, 0.06 + change + 0.12 * line.held, stitches=before)
            done += 1

    def _other(self, work: Mapping[str, Any]) -> Step:
        if "cast_on" in work:
            self.stitches = self.cast_on or int(pick(work["cast_on"], self.size))
            return Step("cast_on", 1.5 * self.stitches, 2.5 if work.get("join") == "yes" else 1.5)
        if "take_up" in work:
            self.stitches = self.held[work["take_up"]]
            return Step("take_up", fixed=0.12 * self.stitches)
        if "pick_up" in work:
            more = int(pick(work["pick_up"], self.size))
            self.stitches += more
            return Step("pick_up", 2.0 * more)
        if "draw_through" in work:
            drawn, self.stitches = self.stitches, 0
            return Step("draw_through", fixed=0.5 + 0.08 * drawn)
        if "bind_off" in work:
            off, self.stitches = self.stitches, 0
            return Step("bind_off", 1.5 * off)
        if "weave_ends" in work:
            return Step("weave_ends", fixed=2.5 * int(work["weave_ends"]))
        word = "block" if "block" in work else "minutes"
        rests = [work[key] for key in RESTS if key in work] or ["0 min"]
        return Step(word, fixed=time_of(work[word]), drying=time_of(rests[0]))


def cut(stage: Stage, number: int, stitches: int) -> Stage:
    """The stage with a round, by its number, done in two goes: so many stitches of it, and the rest."""
    at = next((at for at, step in enumerate(stage.steps) if step.word == "round" and step.number == number), None)
    if at is None or not 0 < stitches < stage.steps[at].stitches:
        return stage
    whole = stage.steps[at]
    share = stitches / whole.stitches
    first = replace(whole, word="part", plain=share * whole.plain, fixed=share * whole.fixed, stitches=stitches)
    rest = replace(whole, plain=whole.plain - first.plain, fixed=whole.fixed - first.fixed)
    return replace(
        stage,
        steps=(*stage.steps[:at], first, rest, *stage.steps[at + 1 :]),
        points={name: done + (done > at) for name, done in stage.points.items()},
        works=tuple((word, done + (done > at)) for word, done in stage.works),
    )


RESTS = ("drying", "pressing")
"""The keys of times for which nobody's hands are needed, of those courses that are walked."""


def _lines(work: Mapping[str, Any]) -> list[str]:
    return work["lines"] if isinstance(work["lines"], list) else [work["lines"]]


def _after(told: Mapping[str, Any]) -> tuple[str, ...]:
    value = told.get("after") or ""
    return tuple(one.strip() for one in (value if isinstance(value, list) else value.split(",")) if one.strip())


def shortened(stage: Stage, told: str) -> Stage:
    """The stage of a short piece: ``6`` keeps the first six rounds, ``leave out rounds 5 to 16`` all but these."""
    if not told:
        return stage
    runs = re.findall(r"(\d+)(?: to (\d+))?", told)
    if "leave out" in told:
        gone = {number for first, last in runs for number in range(int(first), int(last or first) + 1)}
    else:
        gone = set(range(int(runs[0][0]) + 1, len(stage.steps) + 1))
    kept = [step.number not in gone for step in stage.steps]

    def moved(at: int) -> int:
        return sum(kept[:at])

    return replace(
        stage,
        steps=tuple(step for step, stays in zip(stage.steps, kept, strict=True) if stays),
        points={name: moved(at) for name, at in stage.points.items()},
        works=tuple((word, moved(at)) for word, at in stage.works),
    )
