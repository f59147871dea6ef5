"""The ladder: stages upward, shots rightward in the order of filming, and each piece a line through its states.

Each day has a drawing of its own, so that one is as wide as a page.
A piece is a thick line while it lies on the table of a shot and a thin one between shots, where it rises when it was
knitted on. Each line has a colour, a dash pattern and a marker of its own, and its letter at both ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup

from lessonplan.course.words import count_of
from lessonplan.render import svg

COLUMN, TABLE, LANE = 34.0, 17.0, 18.0
"""Px of a shot's column at least, of the part of it in which a piece lies on the table, and of a line in a row."""
MOST_COLUMNS = 16
"""So many shots a drawing has at most: as wide as a tablet of 820 px, beside the names of the stages."""
TYPE = svg.TYPE
_HEAD, _FOOT, _MARGIN = 44.0, 26.0, 22.0
_DASHES = (None, "9 3", "3 2.5", "12 3 3 3", "6 2 2 2 2 2")
_MARKERS = (
    "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0Z", "M-3.6-3.6H3.6V3.6H-3.6Z", "M0-5L5 0L0 5L-5 0Z", "M0-5L4.6 3.6H-4.6Z",
    "M0 5L4.6-3.6H-4.6Z", "M-1.5-4.5H1.5V-1.5H4.5V1.5H1.5V4.5H-1.5V1.5H-4.5V-1.5H-1.5Z",
    "M-5 0L-2.5-4.3H2.5L5 0L2.5 4.3H-2.5Z",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class LadderPiece:
    """A piece: its letter and kind, and for each shot it is in the shot's index, its height before and after.

    A height counts stages: 0 is not begun, 2.5 is half of the third stage, 3 is the third stage done.
    """

    letter: str
    kind: str
    points: tuple[tuple[int, float, float], ...]


@dataclass(frozen=True, slots=True)
class LadderDay:
    """A day of filming: its name and the index of its first shot."""

    name: str
    first: int


@dataclass(frozen=True, slots=True)
class _Run:
    """A piece in one row, from one column to another, on a line of its own there."""

    piece: int
    row: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Grid:
    """Where rows and columns are in px; ``column`` is the width of one."""

    bottoms: Mapping[int, float]
    column: float
    lanes: Mapping[tuple[int, int, int], int]

    def left(self, index: int) -> float:
        """Where the column of a shot begins."""
        return _MARGIN + index * self.column

    def x(self, index: int) -> float:
        """The middle of the column of a shot."""
        return self.left(index) + self.column / 2

    def y(self, piece: int, index: int, height: float) -> float:
        """How far down a piece lies in a column when so much of a stage is done."""
        row = row_of(height)
        lane = self.lanes[piece, row, index]
        return self.bottoms[row] - 5 - lane * LANE - (height - row) * (LANE - 8)


def height_of(state: Sequence[int], steps: Sequence[int]) -> float:
    """Give the height of a state: the highest stage begun, with the share of its steps that is done.

    ``state`` and ``steps`` are the steps done and in all of each stage; ``ValueError`` when they differ in length.
    """
    begun = [(n, done / whole) for n, (done, whole) in enumerate(zip(state, steps, strict=True)) if done and whole]
    return begun[-1][0] + min(1.0, begun[-1][1]) if begun else 0.0


def row_of(height: float) -> int:
    """Give the row a height lies in: -1 is not begun, 0 the first stage; a stage done is at the top of its row."""
    return max(-1, math.ceil(round(height, 6)) - 1)


def ladder(
    prefix: str,
    title: str,
    stages: Sequence[str],
    shots: Sequence[str],
    pieces: Sequence[LadderPiece],
    days: Sequence[LadderDay] = (),
) -> Markup:
    """Draw the ladder, each day in a container that scrolls by itself (class ``picture-scroll``).

    ``shots`` are their numbers in filming order. ``prefix`` must be the picture's own on its page.
    Raises ``ValueError`` when a piece names a shot or a stage that there is not, or goes back in time.
    """
    _check(stages, shots, pieces, days)
    parts = []
    pages = tuple(_pages(days or (LadderDay("", 0),), len(shots)))
    for place, day in enumerate(pages):
        until = pages[place + 1].first if place + 1 < len(pages) else len(shots)
        there = {
            number: LadderPiece(piece.letter, piece.kind, points)
            for number, piece in enumerate(pieces)
            if (points := tuple((n - day.first, low, high) for n, low, high in piece.points if day.first <= n < until))
        }
        parts.append(_day(f"{prefix}-{place + 1}", title, stages, shots[day.first : until], there, day.name))
    return svg.element("div", *parts, _key(pieces), class_="picture-frame")


def _pages(days: Sequence[LadderDay], shots: int) -> Iterator[LadderDay]:
    """Part a day that is wider than a tablet into equal drawings."""
    for place, day in enumerate(days):
        count = (days[place + 1].first if place + 1 < len(days) else shots) - day.first
        many = max(1, math.ceil(count / MOST_COLUMNS))
        for number in range(many):
            name = f"{day.name} ({number + 1} of {many})".strip() if many > 1 else day.name
            yield LadderDay(name, day.first + math.ceil(count * number / many))


def _day(
    prefix: str, title: str, stages: Sequence[str], shots: Sequence[str], pieces: Mapping[int, LadderPiece], name: str
) -> Markup:
    """Draw one day; the pieces by their numbers, by which they look alike in every drawing."""
    runs = [run for number, piece in pieces.items() for run in _runs(number, piece)]
    column = max([COLUMN, *(len(shot) * TYPE * svg.LETTER for shot in shots)])
    grid, heights = _grid(runs, len(stages), column)
    tall = _HEAD + sum(heights.values()) + _FOOT
    wide = grid.left(len(shots)) + 30
    title = f"{title}, {name}" if name else title
    names = _names(("not begun", *stages), grid, heights, tall)
    children = [
        *_paper(grid, heights, shots, name, tall, wide),
        *(part for number, piece in pieces.items() for part in _piece(number, piece, grid)),
    ]
    words = _words(stages, shots, list(pieces.values()))
    plot = svg.picture(prefix, title, words, wide, tall, children, "picture ladder")
    return svg.scrolled(title, names, plot)


def _check(
    stages: Sequence[str], shots: Sequence[str], pieces: Sequence[LadderPiece], days: Sequence[LadderDay]
) -> None:
    for day in days:
        if not 0 <= day.first < len(shots):
            raise ValueError(f"{day.name} begins with a shot that there is not")
    for piece in pieces:
        indexes = [point[0] for point in piece.points]
        if not indexes or any(b <= a for a, b in pairwise(indexes)) or indexes[0] < 0 or indexes[-1] >= len(shots):
            raise ValueError(f"piece {piece.letter} is not in shots of the shoot, one after another")
        if any(not 0 <= height <= len(stages) for point in piece.points for height in point[1:]):
            raise ValueError(f"piece {piece.letter} is at a height beyond the {len(stages)} stages")


def _runs(number: int, piece: LadderPiece) -> Iterator[_Run]:
    """The rows a piece is in, with the columns: it stays in the row it was left in until the shot before its next."""
    spans: list[list[int]] = []
    for place, (index, before, after) in enumerate(piece.points):
        until = piece.points[place + 1][0] - 1 if place + 1 < len(piece.points) else index
        for row, end in ((row_of(before), index), (row_of(after), until)):
            if spans and spans[-1][0] == row:
                spans[-1][2] = max(spans[-1][2], end)
            else:
                spans.append([row, index, end])
    return (_Run(number, row, first, last) for row, first, last in spans)


def _grid(runs: Sequence[_Run], stages: int, column: float) -> tuple[_Grid, dict[int, float]]:
    """Give each run a line of its own in its row, free for a column before and after, and each row its height."""
    lanes: dict[tuple[int, int, int], int] = {}
    used: dict[int, list[int]] = {}
    for run in sorted(runs, key=lambda one: (one.row, one.first, one.piece)):
        ends = used.setdefault(run.row, [])
        lane = next((n for n, end in enumerate(ends) if run.first > end + 1), len(ends))
        if lane == len(ends):
            ends.append(0)
        ends[lane] = run.last
        for index in range(run.first, run.last + 1):
            lanes[run.piece, run.row, index] = lane
    rows = range(-1 if -1 in used else 0, stages)
    heights = {row: max(24.0, 10 + LANE * len(used.get(row, ()))) for row in rows}
    bottoms, y = {}, _HEAD
    for row in reversed(rows):
        y += heights[row]
        bottoms[row] = y
    return _Grid(bottoms, column, lanes), heights


def _names(names: Sequence[str], grid: _Grid, heights: Mapping[int, float], tall: float) -> Markup:
    """The names of the rows, in a strip of their own that can stay while the rest is scrolled."""
    width = svg.strip_width(names[row + 1] for row in heights)
    parts: list[Markup] = []
    for row, high in heights.items():
        parts += svg.in_strip(names[row + 1], width, grid.bottoms[row] - high / 2, max(1, int(high / 14)))
        parts.append(svg.line(0, grid.bottoms[row], width, grid.bottoms[row], stroke_opacity=0.35))
    top = min(grid.bottoms[row] - high for row, high in heights.items()) if heights else _HEAD
    parts.append(svg.line(0, top, width, top, stroke_opacity=0.35))
    return svg.strip(parts, width, tall)


def _paper(
    grid: _Grid, heights: Mapping[int, float], shots: Sequence[str], day: str, tall: float, wide: float
) -> Iterator[Markup]:
    """The lines of rows, the columns of shots with their numbers, and the name of the day."""
    low, right = tall - _FOOT, grid.left(len(shots))
    ys = [_HEAD, *(grid.bottoms[row] for row in reversed(list(heights)))]
    yield svg.path("".join(f"M0 {svg.number(y)}H{svg.number(wide)}" for y in ys), stroke_opacity=0.35)
    boxes = (_box(grid.left(n), _HEAD, grid.column, low - _HEAD) for n in range(1, len(shots), 2))
    shades = "".join(svg.polyline(box, True) for box in boxes)
    if shades:
        yield svg.path(shades, fill="currentColor", fill_opacity=0.06)
    for index, number in enumerate(shots):
        for y in (_HEAD - 7, low + 16):
            yield svg.text(grid.x(index), y, number, TYPE - 1, text_anchor="middle")
    if day:
        yield svg.text(_MARGIN, 17, svg.wrapped(day, int(wide / (TYPE * svg.LETTER)), 1)[0], TYPE, font_weight="bold")
    yield svg.line(right, _HEAD, right, low, stroke_opacity=0.35)


def _box(x: float, y: float, wide: float, tall: float) -> tuple[tuple[float, float], ...]:
    return (x, y), (x + wide, y), (x + wide, y + tall), (x, y + tall)


def look(number: int) -> tuple[str, str | None, str]:
    """Give colour, dash pattern and marker of the nth piece; no two of the first 280 are alike in all three."""
    return svg.PALETTE[number % len(svg.PALETTE)], _DASHES[number % len(_DASHES)], _MARKERS[number % len(_MARKERS)]


def _piece(number: int, piece: LadderPiece, grid: _Grid) -> Iterator[Markup]:
    colour, dash, _ = look(number)
    places = [
        (
            (grid.x(index) - TABLE / 2, grid.y(number, index, before)),
            (grid.x(index) + TABLE / 2, grid.y(number, index, after)),
        )
        for index, before, after in piece.points
    ]
    between = ""
    ways = zip(pairwise(piece.points), pairwise(places), strict=True)
    for ((_, _, after), (following, _, _)), ((_, here), (there, _)) in ways:
        edge = grid.left(following) - (grid.column - TABLE) / 4
        between += svg.polyline([here, (max(here[0], edge), grid.y(number, following - 1, after)), there])
    if between:
        yield svg.path(between, stroke_width=3.4, stroke_opacity=0.9)
        yield svg.path(between, stroke=colour, stroke_width=2, stroke_dasharray=dash)
    tables = "".join(svg.polyline(pair) for pair in places)
    yield svg.path(tables, stroke_width=7.5, stroke_linecap="round")
    yield svg.path(tables, stroke=colour, stroke_width=5, stroke_linecap="round")
    for x, y in (places[0][0], places[-1][1]):
        yield _marker(number, x, y)
    for x, y, anchor in (
        (places[0][0][0] - 6.5, places[0][0][1], "end"),
        (places[-1][1][0] + 8, places[-1][1][1], "start"),
    ):
        yield svg.text(x, y + 4.5, piece.letter, 13, text_anchor=anchor, font_weight="bold")


def _marker(number: int, x: float, y: float) -> Markup:
    colour, _, marker = look(number)
    place = f"translate({svg.number(x)} {svg.number(y)})"
    return svg.path(marker, fill=colour, stroke="currentColor", stroke_width=1.2, transform=place)


def _key(pieces: Sequence[LadderPiece]) -> Markup:
    """The key, a list that breaks into lines as the page allows: a sample of the line, the letter and the kind."""
    items = []
    for number, piece in enumerate(pieces):
        colour, dash, _ = look(number)
        sample = [
            svg.path("M5 8H41", stroke_width=3.4),
            svg.path("M5 8H41", stroke=colour, stroke_width=2, stroke_dasharray=dash),
            _marker(number, 5, 8),
        ]
        items.append(svg.element("li", _sample(sample), " ", svg.element("b", piece.letter), f" {piece.kind}"))
    for wide, words in ((7.5, "on the table in a shot"), (3.4, "between two shots")):
        sample = [svg.path("M5 8H41", stroke_width=wide, stroke_linecap="round")]
        items += [svg.element("li", _sample(sample), f" {words}")] if pieces else []
    return svg.element("ul", *items, class_="picture-key") if items else Markup()


def _sample(parts: Sequence[Markup]) -> Markup:
    return svg.element("svg", *parts, width=46, height=16, viewBox="0 0 46 16", aria_hidden="true", focusable="false")


def _words(stages: Sequence[str], shots: Sequence[str], pieces: Sequence[LadderPiece]) -> str:
    """Say the same in words: each piece, with its state in each of its shots."""
    parts = [f"{count_of(len(pieces), 'piece')} in {count_of(len(shots), 'shot')}."]
    for piece in pieces:
        told = []
        for index, before, after in piece.points:
            step = f"{shots[index]} at {_state(before, stages)}"
            told.append(step if after == before else f"{step}, left at {_state(after, stages)}")
        parts.append(f"{piece.letter} ({piece.kind}): {'; '.join(told)}.")
    return " ".join(parts)


def _state(height: float, stages: Sequence[str]) -> str:
    row = row_of(height)
    if row < 0:
        return "not begun"
    share = height - row
    return f"{stages[row]} done" if share > 0.999 else f"{stages[row]} {share:.0%}"
