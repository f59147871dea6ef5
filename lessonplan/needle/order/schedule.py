"""The order in which labelled lines are worked: `Row 2 and all WS rows`, `Rounds 1, 3 and 5`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonplan.printed.tree import Line


@dataclass(frozen=True, slots=True)
class Turn:
    """Line number `index` (0-based) is worked: as printed (`rows` None), or just its row once for `rows` rounds."""

    index: int
    rows: int | None = None
    first: bool = True
    """Whether the line has not been worked before in this pass."""


@dataclass(frozen=True, slots=True)
class Gap:
    """A labelled line that follows on no line before it: row `number` is missing."""

    index: int
    number: int


def schedule(lines: Sequence[Line | None], size: int) -> tuple[list[Turn], list[Gap]]:
    """Lines (None: could not be read) in the order worked, and the round numbers that no line gives.

    Those that are not for the 0-based `size` stand where they are printed, whatever their numbers.
    """
    others = [index for index, line in enumerate(lines) if line and line.label.only and size + 1 not in line.label.only]
    mine = [index for index in range(len(lines)) if index not in others]
    turns, gaps = _scheduled([lines[index] for index in mine])
    turns = [replace(turn, index=mine[turn.index]) for turn in turns]
    for index in others:
        before = (place for place, turn in enumerate(turns) if turn.index < index)
        turns.insert(max(before, default=-1) + 1, Turn(index))
    return turns, [replace(gap, index=mine[gap.index]) for gap in gaps]


def _scheduled(lines: Sequence[Line | None]) -> tuple[list[Turn], list[Gap]]:
    turns: list[Turn] = []
    gaps: list[Gap] = []
    block: list[int] = []
    used: set[int] = set()
    for index, line in enumerate([*lines, None]):
        labelled = line is not None and bool(line.label.numbers or line.label.also)
        if line is not None and labelled and not _clashes(used, line):
            block.append(index)
            used.update(line.label.numbers)
            continue
        block_turns, block_gaps = _block(lines, block)
        turns += block_turns
        gaps += block_gaps
        block = [index] if labelled else []
        used = set(line.label.numbers) if line is not None else set()
        if index < len(lines) and not labelled:
            turns.append(Turn(index))
    return turns, gaps


def _numbers(lines: Sequence[Line | None], index: int) -> tuple[int, ...]:
    line = lines[index]
    return line.label.numbers if line is not None else ()


def _clashes(used: set[int], line: Line) -> bool:
    """Whether a line begins a new block: its numbers were used already, or it starts at 1 after others."""
    first = line.label.first
    return not used.isdisjoint(line.label.numbers) or (first == 1 and bool(used) and 1 not in used)


def _block(lines: Sequence[Line | None], block: Sequence[int]) -> tuple[list[Turn], list[Gap]]:
    if not block:
        return [], []
    explicit = {number: index for index in block for number in _numbers(lines, index)}
    also = {parity: index for index in block if (parity := _parity(lines, index, explicit)) is not None}
    top = max(explicit, default=0)
    if (top + 1) % 2 in also and top:
        top += 1
    order: list[int] = []
    gaps: list[Gap] = []
    for number in range(min(explicit, default=1), top + 1):
        index = explicit.get(number, also.get(number % 2))
        if index is not None:
            order.append(index)
            continue
        following = explicit[min(each for each in explicit if each > number)]
        if not gaps or gaps[-1].index != following:
            gaps.append(Gap(following, number))
    if not order:
        order = list(block)
    if _as_printed(lines, block, order):
        return [Turn(index) for index in block], gaps
    return _merged(lines, order), gaps


def _parity(lines: Sequence[Line | None], index: int, explicit: dict[int, int]) -> int | None:
    """For "and all WS rows": 0 if the even rounds are meant, 1 if the odd ones."""
    line = lines[index]
    if line is None or not line.label.also:
        return None
    if line.label.numbers:
        return line.label.first % 2
    if line.label.also in ("even", "odd"):
        return int(line.label.also == "odd")
    for number, other in explicit.items():
        other_line = lines[other]
        if other_line is not None and other_line.label.side:
            same = other_line.label.side.lower() == line.label.also
            return number % 2 if same else 1 - number % 2
    return 0 if line.label.also == "ws" else 1


def _as_printed(lines: Sequence[Line | None], block: Sequence[int], order: Sequence[int]) -> bool:
    printed = [index for index in block for _ in range(len(_numbers(lines, index)) or 1)]
    plain = all(line is None or not line.label.also for line in (lines[index] for index in block))
    return plain and printed == list(order)


def _merged(lines: Sequence[Line | None], order: Sequence[int]) -> list[Turn]:
    turns: list[Turn] = []
    seen: set[int] = set()
    for index in order:
        line = lines[index]
        if line is not None and len(line.label.numbers) == 1 and not line.label.also and index not in seen:
            turns.append(Turn(index))
            seen.add(index)
        elif turns and turns[-1].index == index:
            turns[-1] = Turn(index, (turns[-1].rows or 0) + 1, turns[-1].first)
        else:
            turns.append(Turn(index, 1, index not in seen))
            seen.add(index)
    return turns
