"""The items of a parsed line put in order: names resolved, slipped stitches joined with what passes them, rows cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from lessonplan.craft.techniques import technique
from lessonplan.printed.build import NONE, ONE, RepeatAll, RowCount, name_of
from lessonplan.printed.tree import (
    Again,
    Colour,
    Even,
    Into,
    Join,
    Mark,
    MeaninglessError,
    Part,
    Repeat,
    Rows,
    Shape,
    Step,
    Stitch,
    Times,
    To,
)

PLAIN = frozenset({"k", "p", "sc", "hdc", "dc", "tr", "sl", "k1 tbl", "p1 tbl"})
_SLIPS = frozenset({"sl", "sl1k", "sl1p"})
_INTO_NAMES = {
    "k, p": "(k1, p1) in 1",
    "k, yo, k": "kyok",
    "k, yo, k, yo, k": "nupp 5",
    "k, p, k, p, k": "inc 4",
    "kfb": "kfb",
    "k, k1 tbl": "kfb",
    "p, p1 tbl": "pfb",
}


_NOTHING = "the brackets hold nothing that is worked"


class Resolver:
    """Resolves the printed names of one line: its craft, yarns and named patterns."""

    def __init__(self, crochet: str, colours: Sequence[str], patterns: Sequence[str]) -> None:
        self.crochet = crochet
        self.colours = colours
        self.patterns = patterns

    def steps(self, steps: Sequence[Step]) -> tuple[Step, ...]:
        """All names in a list of steps resolved, nested ones too."""
        return tuple(_passed_over([self.step(step) for step in steps]))

    def step(self, step: Step) -> Step:
        """One step with its names resolved."""
        if isinstance(step, Stitch):
            return self._stitch(step)
        if isinstance(step, Repeat):
            if not step.body:
                raise MeaninglessError(_NOTHING, step.at)
            return replace(step, body=self.steps(step.body))
        if isinstance(step, Colour):
            return replace(step, name=self.colours[int(step.name)])
        if isinstance(step, Even) and step.pattern:
            return replace(step, pattern=self.patterns[int(step.pattern)])
        if isinstance(step, Into):
            return self._into(step)
        return step

    def _stitch(self, stitch: Stitch) -> Step:
        name = name_of(stitch.name, "crochet" if self.crochet else "knitting")
        colour = None if stitch.colour is None else self.colours[int(stitch.colour)]
        stitch = replace(stitch, name=name, colour=colour)
        if self.crochet and name == "inc":
            return Into((replace(stitch, name=self.crochet, count=(2,)),), "next", stitch.count, None, stitch.at)
        if self.crochet and name == "dec":
            return replace(stitch, name=f"{self.crochet}2tog")
        return stitch

    def _into(self, into: Into) -> Step:
        if not into.body:
            raise MeaninglessError(_NOTHING, into.at)
        resolved = [self._stitch(stitch) for stitch in into.body]
        body = tuple(step for step in resolved if isinstance(step, Stitch))
        if len(resolved) == 1 and isinstance(resolved[0], Into):
            return replace(resolved[0], count=into.count, to=into.to)
        if self.crochet and into.place == "next" and len(body) == 1 and technique(body[0].name).consumes > 1:
            taken = technique(body[0].name).consumes
            return replace(body[0], count=tuple(max(1, each // taken) for each in into.count))
        if self.crochet:
            return replace(into, body=body)
        name = body[0].name if len(body) == 1 else into_name(body)
        stitch = Stitch(name, into.count, into.at)
        return stitch if into.to is None else Repeat((replace(stitch, count=ONE),), into.to, into.at)


def into_name(body: Sequence[Stitch]) -> str:
    """Technique name of `(k1, yo, k1) in next st`."""
    parts = [stitch.name for stitch in body for _ in range(stitch.count[0])]
    spelt = ", ".join(parts)
    return _INTO_NAMES.get(spelt) or f"({spelt}) in 1"


_PASSED: tuple[tuple[tuple[tuple[frozenset[str], int], ...], str], ...] = (
    (((_SLIPS, 1), (frozenset({"k"}), 1), (frozenset({"psso"}), 1)), "skp"),
    (((_SLIPS, 1), (frozenset({"k2tog"}), 1), (frozenset({"psso"}), 1)), "sk2p"),
    (((_SLIPS, 2), (frozenset({"k"}), 1), (frozenset({"p2sso", "psso"}), 1)), "s2kp"),
    (((_SLIPS, 1), (_SLIPS, 1), (frozenset({"k2tog", "k2tog tbl"}), 1)), ""),
)


def _passed_over(steps: list[Step]) -> list[Step]:
    """`sl 1, k2tog, psso` as the one technique it is."""
    done: list[Step] = []
    index = 0
    while index < len(steps):
        for pattern, name in _PASSED:
            window = steps[index : index + len(pattern)]
            if name and len(window) == len(pattern) and all(map(_fits, window, pattern)):
                done.append(Stitch(name, ONE, window[0].at))
                index += len(pattern)
                break
        else:
            done.append(steps[index])
            index += 1
    return done


def _fits(step: Step, wanted: tuple[frozenset[str], int]) -> bool:
    names, count = wanted
    return isinstance(step, Stitch) and step.name in names and step.count == (count,)


def parts_of(items: Sequence[Any], resolver: Resolver) -> tuple[Part, ...]:
    """The rows and repeats of rows that the items of a line make."""
    parts: list[Part] = []
    steps: list[Step] = []

    def flush(count: Any = ONE, *, measured: bool = False) -> None:
        if steps:
            parts.append(Rows(_whole_row(resolver.steps(steps)), count, steps[0].at, measured))
            steps.clear()

    for item in items:
        if item is None:
            continue
        if isinstance(item, RowCount):
            if not steps:
                steps.append(Even("", To("end", NONE, "", item.at), item.at))
            flush(item.count or ONE, measured=item.count is None)
        elif isinstance(item, RepeatAll):
            quantity = item.quantity or To("rest", NONE, "", item.at)
            if not steps:
                raise MeaninglessError("says to repeat, but nothing stands before it", item.at)
            steps[:] = [Repeat(tuple(steps), quantity, steps[0].at, star=True)]
        elif isinstance(item, Again | Shape):
            flush()
            parts.append(item)
        elif parts and isinstance(parts[-1], Shape) and _only_fill(item):
            continue
        else:
            steps.append(item)
    flush()
    return tuple(parts)


def _only_fill(step: Step) -> bool:
    """Whether a step after `BO 3 sts at beg of next 2 rows` only says what is done with the rest of the row."""
    return (
        isinstance(step, Even)
        or (isinstance(step, Repeat) and isinstance(step.quantity, To))
        or (isinstance(step, Stitch) and step.bare)
    )


def _whole_row(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """`Knit.` alone works the whole row."""
    others = [step for step in steps if not isinstance(step, Colour | Mark | Join)]
    if len(others) != 1 or not isinstance(others[0], Stitch):
        return steps
    only = others[0]
    if not only.bare or only.name not in PLAIN:
        return steps
    fill = Repeat((replace(only, bare=False),), To("end", NONE, "", only.at), only.at)
    return tuple(fill if step is only else step for step in steps)


__all__ = ["PLAIN", "Resolver", "Times", "into_name", "parts_of"]
