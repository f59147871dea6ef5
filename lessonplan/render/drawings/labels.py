"""What stands around a large drawing: names with leader lines, a scale bar, and a key of samples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from markupsafe import Markup

from lessonplan.craft.lengths import INCH, Units, length_in_a_sentence
from lessonplan.render import svg

TYPE = 13.0
"""Type size in px of everything written on a drawing of a piece or on a chart."""
_LETTERS = 13
_TOP = 8.0
_LINE = 15.0
_CENTIMETRE = 10.0
_BARS = (1, 2, 5, 10, 20, 50, 100)


@dataclass(frozen=True, slots=True)
class Label:
    """A name, and the place that it belongs to."""

    words: str
    x: float
    y: float


def lines_of(words: str) -> list[str]:
    """Break the words of a label into lines: where they say so, else where they are too long."""
    return [line for part in words.split("\n") for line in svg.wrapped(part, _LETTERS, 3)]


def column(labels: Sequence[Label]) -> float:
    """Width in px that a column of labels takes, with its leader lines; nothing without labels."""
    lines = [line for label in labels for line in lines_of(label.words)]
    return max((len(line) for line in lines), default=-3) * TYPE * svg.LETTER + 24 if lines else 8.0


def label_column(labels: Sequence[Label], x: float, anchor: str) -> tuple[list[Markup], float]:
    """Write labels in a column at ``x``, none over another, each led to its place; give the lowest y as well.

    ``anchor`` is ``end`` for a column at the left of the drawing and ``start`` for one at its right.
    """
    written: list[Markup] = []
    ways = ""
    places = spread([(label.y, len(lines_of(label.words)) * _LINE) for label in labels], _TOP)
    inward = 4 if anchor == "end" else -4
    low = _TOP
    for label, middle in zip(labels, places, strict=True):
        lines = lines_of(label.words)
        first = middle - len(lines) * _LINE / 2 + 11
        low = max(low, middle + len(lines) * _LINE / 2)
        spans = [svg.element("tspan", line, x=x, y=first + n * _LINE) for n, line in enumerate(lines)]
        written.append(svg.element("text", *spans) if spans[1:] else svg.element("text", *lines, x=x, y=first))
        ways += svg.polyline([(x + inward, middle), (x + 2.5 * inward, middle), (label.x, label.y)])
    if not written:
        return [], low
    names = svg.element("g", *written, font_size=TYPE, fill="currentColor", text_anchor=anchor)
    return [names, svg.path(ways, stroke_width=0.8)], low


def spread(places: Sequence[tuple[float, float]], top: float) -> list[float]:
    """Move labels (middle, height) apart as little as needed, from ``top`` down; give the new middles."""
    order = sorted(range(len(places)), key=lambda index: places[index][0])
    groups: list[list[int]] = []
    starts: list[float] = []
    for index in order:
        groups.append([index])
        starts.append(_start(groups[-1], places, top))
        while len(groups) > 1 and starts[-2] + sum(places[i][1] for i in groups[-2]) > starts[-1]:
            last = groups.pop()
            starts.pop()
            groups[-1] += last
            starts[-1] = _start(groups[-1], places, top)
    middles = [0.0] * len(places)
    for group, y in zip(groups, starts, strict=True):
        for index in group:
            middles[index] = y + places[index][1] / 2
            y += places[index][1]
    return middles


def _start(group: Sequence[int], places: Sequence[tuple[float, float]], top: float) -> float:
    """The upper end of a group of labels that touch, so that they are off their places equally upward and downward."""
    above, wanted = 0.0, []
    for index in group:
        middle, height = places[index]
        wanted.append(middle - height / 2 - above)
        above += height
    return max(top, sum(wanted) / len(wanted))


def scale_bar(scale: float, x: float, y: float, wide: float, units: Units) -> tuple[Markup, float]:
    """Draw a bar of a round number of cm or inches, about a third of the width; ``scale`` in px for each mm."""
    unit = INCH if units == "in" else _CENTIMETRE
    fitting = [length for length in _BARS if length * unit * scale <= max(wide / 2, 24)]
    length = (fitting[-1] if fitting else _BARS[0]) * unit
    end = x + length * scale
    ticks = f"M{svg.number(x)} {svg.number(y)}v8m0 -4H{svg.number(end)}m0 -4v8"
    label = svg.text(end + 6, y + 8.5, length_in_a_sentence(length, units), TYPE)
    return Markup().join((svg.path(ticks, stroke_width=1.6), label)), y + 14


def key_rows(samples: Sequence[tuple[Sequence[Markup], str]], width: float, top: float) -> tuple[list[Markup], float]:
    """Lay out a key in two columns, or one where names are long; each sample is drawn in 26 by 14 px from (0, 0)."""
    found: list[Markup] = []
    names: list[Markup] = []
    wide = [(width / columns, int((width / columns - 44) / (TYPE * svg.LETTER)), columns) for columns in (2, 1)]
    each, letters, columns = wide[0] if all(len(words) <= wide[0][1] for _, words in samples) else wide[1]
    for index, (sample, words) in enumerate(samples):
        x, y = 8 + each * (index % columns), top + 14 + 22 * (index // columns)
        found.append(svg.element("g", *sample, transform=f"translate({svg.number(x)} {svg.number(y)})"))
        names.append(svg.element("text", svg.wrapped(words, letters, 1)[0], x=x + 33, y=y - 1))
    found.append(svg.element("g", *names, font_size=TYPE, fill="currentColor"))
    return found, top + 22 * ceil(len(samples) / columns) + 4
