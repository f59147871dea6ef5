"""Crochet rounds that are worked into a ring or one chain, or begin in a space."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonplan.needle.stitch.operations import Op, Ring, Space
from lessonplan.printed.tree import Into, Repeat, Step, Stitch


def in_ring(steps: Sequence[Step]) -> Ring | None:
    """The ring or chain that the stitches of a row go into, if they take nothing of the row below."""
    rings = [step for step in _places(steps) if step.place == "new"]
    if not rings and not _in_chain(steps):
        return None
    return Ring(steps[0].at, bool(rings) and all(step.count == (0,) for step in rings))


def _in_chain(steps: Sequence[Step]) -> bool:
    """Whether a round begins in one chain, as in `ch 3, 7 hdc in 3rd ch from hook`."""
    first = steps[0] if steps else None
    places = list(_places(steps))
    into = places[0] if len(places) == 1 else None
    return (
        isinstance(first, Stitch)
        and first.name == "ch"
        and into is not None
        and into.place == "skip"
        and into.to is None
    )


def _places(steps: Sequence[Step]) -> Iterator[Into]:
    for step in steps:
        if isinstance(step, Repeat):
            yield from _places(step.body)
        elif isinstance(step, Into):
            yield step


def in_a_space(step: Step) -> bool:
    """Whether stitches go into the space that the row begins in: `sl st to corner sp, ch 3, 2 dc in same sp`."""
    return isinstance(step, Into) and step.place == "space" and step.count == (-1,)


def space_used(step: Step, then: Sequence[Step]) -> tuple[Op, ...]:
    """The space that a slip stitch leads into, where the chain alone stands in it.

    `Sl st in next ch-2 sp, ch 5 (counts as dc and ch 2), *dc in next ch-2 sp, ch 2; rep from * around`.
    """
    alone = len(then) > 1 and not any(map(in_a_space, then[:2]))
    led = isinstance(step, Into) and step.place == "space" and step.count == (1,) and step.to is None
    return (Space(1, step.at),) if alone and led else ()
