"""The bench on which one stage is worked for one size: the needle, the steps so far, and what went wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.works import Units, Work
from lessonplan.course.problems import Problem, Where, error, note
from lessonplan.course.values.quantities import PerSize
from lessonplan.craft.gauge import Fabric
from lessonplan.needle.stitch.live import Needle
from lessonplan.pattern.colour import Shares
from lessonplan.pattern.worked import Step, WorkedStage

_FOLLOWS = frozenset({"stitches", "spread", "half-round", "loops", "stripes", "graft", "not-held", "edge"})
"""What is wrong by the stitches that are there, which nobody knows once something before has gone wrong."""


@dataclass
class Bench:
    """Where one stage is being worked for one size: the needle, the steps so far, and what went wrong.

    ``held`` tells by name and stage how many stitches that stage put on waste yarn are still there, and where the
    course says so; ``placed`` maps the name of a placeholder to its stitches and its stage. ``left`` has the live
    stitches of other stages, ``done`` their steps. ``last`` are the yarns last worked with, ``turns`` and ``turn`` the
    stripes that can go on and their next round. ``asked`` is the length in mm that was typed, ``other`` tells that
    rounds were worked which no typed length asked for. ``lost`` is where these stitches first went wrong.
    """

    pattern: pm.Pattern
    size: int
    stage: str
    fabric: Fabric
    needle: Needle
    held: dict[str, dict[str, tuple[int, Where]]]
    allowed: frozenset[str]
    work: int = 0
    placed: dict[str, tuple[int, str]] = field(default_factory=dict)
    left: dict[str, Needle] = field(default_factory=dict)
    taken: dict[str, str] = field(default_factory=dict)
    done: Mapping[str, WorkedStage] = field(default_factory=dict)
    last: frozenset[str] = frozenset()
    turns: tuple[Shares, ...] = ()
    turn: int = 0
    asked: float = 0.0
    other: bool = False
    lost: Where | None = None
    steps: list[Step] = field(default_factory=list)
    points: list[tuple[str, int]] = field(default_factory=list)
    problems: list[tuple[Problem, int]] = field(default_factory=list)

    def at(self, values: PerSize[int] | PerSize[float]) -> int:
        """Give a value for the size being worked."""
        return int(values.at(self.size))

    def hold(self, name: str, count: int, where: Where) -> None:
        """Put stitches on waste yarn under a name, beside those that wait there already."""
        waiting = self.held.setdefault(name, {})
        waiting[self.stage] = (waiting.get(self.stage, (0, where))[0] + count, where)

    def waiting(self, name: str) -> int:
        """Give how many stitches are held under a name by this stage and those that come before it."""
        return sum(count for stage, (count, _) in self.held.get(name, {}).items() if stage in self.allowed)

    def release(self, name: str, count: int) -> None:
        """Take so many of the waiting stitches of a name off the waste yarn, those held first before the others."""
        waiting = self.held.get(name, {})
        for stage, (held, where) in waiting.items():
            if stage in self.allowed:
                waiting[stage] = (held - min(count, held), where)
                count -= min(count, held)

    def yarn(self, work: Work) -> str:
        """Give the yarn a work begins with: its own, or the first of the pattern (none in a craft without yarn)."""
        return next(iter(work.yarn or self.pattern.yarns), "")

    def add(self, work: Work, kind: str, text: str, after: int | None = None, **more: Any) -> None:
        """Add a step that leaves ``after`` live stitches on the needle and no marker; None: the needle as it is."""
        more["one_way"] = more.get("one_way", False) or work.one_way
        before = self.needle.stitches
        left = before if after is None else after
        self.put(Step(kind, text, before, left, work=self.work, note=work.note, where=work.mark(), **more))
        if after is not None:
            self.needle = Needle(after, flat=self.needle.flat)

    def use(self, work: Work, since: int) -> None:
        """Note what a work uses at its steps, those from place ``since`` on: counted units each, else at the first."""
        uses = tuple((name, amount.at(self.size)) for name, amount in work.uses.items())
        steps = self.steps[since:] if isinstance(work, Units) else self.steps[since : since + 1]
        self.steps[since : since + len(steps)] = [replace(step, uses=uses) for step in steps]

    def put(self, step: Step) -> None:
        """Add a step, and keep in mind the yarns it was worked with."""
        self.steps.append(step)
        if step.yarns and step.kind != "placeholder":
            self.last = frozenset(yarn for yarn, _ in step.yarns)

    def wrong(self, where: Where, code: str, message: str) -> None:
        """Report what does not work out in this size; no place is accused for what went wrong before it."""
        if self.lost and code in _FOLLOWS:
            self.follows(where, self.lost)
        else:
            self.problems.append((error(where, code, message), self.size))
            self.lost = self.lost or where

    def follows(self, where: Where, lost: Where) -> None:
        """Say that a place cannot be worked since an earlier one does not work out."""
        there = f"line {lost.line}" if lost.file == where.file else f"{lost.file}, line {lost.line}"
        self.remark(where, "follows", f"This follows from what is wrong at {there}: put that right first.")

    def remark(self, where: Where, code: str, message: str) -> None:
        """Report what is worth knowing in this size, though it works."""
        self.problems.append((note(where, code, message), self.size))

    def take(self, work: Work, key: str, values: PerSize[int]) -> int:
        """Give how many live stitches a work takes (0 means all), reporting when there are not so many."""
        there = self.needle.stitches
        wanted = self.at(values) or there
        if wanted > there or there == 0:
            self.wrong(
                work.mark(key), "stitches", f"{wanted or 'Some'} stitches are asked for, but {there} are on the needle."
            )
            return there
        return wanted
