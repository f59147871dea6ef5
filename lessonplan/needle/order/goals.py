"""When a repeat of rounds has come to its end, and which rounds a repeat means."""

from __future__ import annotations

import itertools

from lessonplan.needle.stitch.live import Needle, WorkError, stitches
from lessonplan.printed.tree import Line


def reached(needle: Needle, until: int, per: str, before: Needle) -> bool:
    """Whether a needle has come to a count; `before` is the needle that the repeat began on."""
    if per == "gap":
        return not needle.turns and not needle.behind
    if per == "turns":
        return min((place for place in needle.turns if place > needle.behind), default=0) - needle.behind == until
    if per == "needle":
        parts = len(needle.markers) + 1
        return needle.stitches == until * parts if parts > 1 else needle.stitches in {until * n for n in range(2, 6)}
    if per == "markers":
        return until in _sections(needle) and _sections(needle) != _sections(before)
    return needle.stitches == until


def passed_by(before: Needle, after: Needle, until: int) -> bool:
    """Whether the one section between markers that changes went past a count without meeting it."""
    changed = [
        (first, second)
        for first, second in zip(_sections(before), _sections(after), strict=False)
        if first != second and len(_sections(before)) == len(_sections(after))
    ]
    return len(changed) == 1 and (changed[0][0] - until) * (changed[0][1] - until) < 0


def _sections(needle: Needle) -> list[int]:
    places = [0, *(place for place, _ in needle.markers), needle.stitches]
    sections = [second - first for first, second in itertools.pairwise(places)]
    return sections[1:-1] if len(needle.markers) > 1 else sections[:1]


def jumped(last: int, now: int, until: int, column: int = 1) -> None:
    """Raise a `WorkError` if the count went past `until` without meeting it."""
    if (last - until) * (now - until) < 0:
        raise WorkError(f"never comes to exactly {stitches(until)}: it goes from {last} to {now}", column)


def nearing(last: int, now: int, until: int, column: int) -> None:
    """Raise a `WorkError` if the count went past `until`, or away from it."""
    jumped(last, now, until, column)
    if abs(now - until) > abs(last - until):
        raise WorkError(f"never comes to {stitches(until)}: from {last} it goes to {now}", column)


def labelled(line: Line, number: int) -> bool:
    """Whether a line is the one for a round, by its number or by "and all even rounds"."""
    if number in line.label.numbers:
        return True
    return bool(line.label.also) and line.label.first > 0 and number % 2 == line.label.first % 2


def same_name(label: str, wanted: str) -> bool:
    """Whether two names mean one round: "dec" and "decrease"."""
    first, second = label.split(), wanted.split()
    if not first or not second:
        return False
    return first == second or (first[0][:3] == second[0][:3] and first[1:] == second[1:])
