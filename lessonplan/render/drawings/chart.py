"""A knitting chart: a square for each stitch, told apart by signs as well as colours, with row numbers and a key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import wrap

from markupsafe import Markup

from lessonplan.documents.charts import Cell, Chart
from lessonplan.render import svg
from lessonplan.render.drawings.labels import TYPE
from lessonplan.render.drawings.piece import YarnLook

CELL = 24.0
"""Side of a square in px."""
KEY_SIGNS = 38
"""So many signs of the key stand on one line."""
_LINE = 16.0
_MARKS = ("", "M8 8L16 16M16 8L8 16", "M12 7.5V16.5M7.5 12H16.5", "M7 12H17", "M8 16L16 8", "M8 8L16 16")
"""Signs of the yarns, in the order of the pattern: none, a cross, a plus, a dash, two strokes."""
_SLIP = "M6 6L12 18L18 6"
_PURL = "M8 12a4 4 0 1 0 8 0a4 4 0 1 0 -8 0"


def chart(prefix: str, drawn: Chart, yarns: Mapping[str, YarnLook], title: str) -> Markup:
    """Draw one repeat, the first round at the bottom, worked from the right; ``prefix`` is its own on the page."""
    wide, high = len(drawn.rows[0].cells), len(drawn.rows)
    children: list[Markup] = []
    order = [key for key in yarns if key in drawn.yarns]
    for at, row in enumerate(drawn.rows):
        y = 4 + (high - 1 - at) * CELL
        for place, cell in enumerate(row.cells):
            children += _cell(cell, 34 + (wide - 1 - place) * CELL, y, yarns, order)
        leftward = drawn.flat and at % 2 == 1
        x = 28.0 if leftward else 34 + wide * CELL + 6
        words = f"{', '.join(row.yarns)} {row.number}" if leftward else f"{row.number} {', '.join(row.yarns)}"
        children.append(svg.text(x, y + 17, words, TYPE, text_anchor="end" if leftward else "start"))
    width = max(34 + wide * CELL + 70, 300.0)
    key, low = _key(drawn, yarns, order, 4 + high * CELL + 14)
    return svg.picture(prefix, title, _in_words(drawn), width, low, [*children, *key], "picture chart")


def _cell(cell: Cell, x: float, y: float, yarns: Mapping[str, YarnLook], order: list[str]) -> Iterator[Markup]:
    """A square in the colour that is seen, with the sign of its yarn or of how it is worked."""
    colour = yarns[cell.yarn].shown
    square = svg.element("rect", x=x, y=y, width=CELL, height=CELL, fill=colour, stroke="currentColor", stroke_width=1)
    yield square
    ink, at = svg.ink_on(colour), f"translate({svg.number(x)} {svg.number(y)})"
    sign = _SLIP if cell.how.startswith("sl") else _MARKS[min(order.index(cell.yarn), len(_MARKS) - 1)]
    if cell.how.startswith("p"):
        sign += _PURL
    if sign:
        yield svg.element("path", d=sign, transform=at, fill="none", stroke=ink, stroke_width=2)


_WORDS = {"k": "knit", "p": "purl", "sl": "slip as if to purl, yarn at the back", "slf": "slip, yarn at the front"}


def _meaning(cell: Cell, yarns: Mapping[str, YarnLook]) -> str:
    name = yarns[cell.yarn].name
    if cell.how.startswith("sl"):
        return _WORDS[cell.how]
    return f"{_WORDS[cell.how[0]]} with {cell.yarn}, {name}"


def _key(drawn: Chart, yarns: Mapping[str, YarnLook], order: list[str], top: float) -> tuple[list[Markup], float]:
    """Explain each sign that occurs; a slipped stitch once, whatever its colour."""
    found: dict[str, Cell] = {}
    for row in drawn.rows:
        for cell in row.cells:
            found.setdefault(_meaning(cell, yarns), cell)
    children: list[Markup] = []
    for words, cell in found.items():
        children += _cell(cell, 4, top, yarns, order)
        lines = wrap(words, KEY_SIGNS)
        children += [svg.text(36, top + 17 + at * _LINE, line, TYPE) for at, line in enumerate(lines)]
        top += CELL + 6 + (len(lines) - 1) * _LINE
    return children, top + 2


def _in_words(drawn: Chart) -> str:
    """Say the chart round by round, in the order worked."""
    lines = []
    for row in drawn.rows:
        runs: list[list[str | int]] = []
        for cell in row.cells:
            word = _WORDS[cell.how if cell.how.startswith("sl") else cell.how[0]].split(",")[0]
            word = f"{word} {cell.yarn}" if len(row.yarns) > 1 else word
            if runs and runs[-1][0] == word:
                runs[-1][1] = int(runs[-1][1]) + 1
            else:
                runs.append([word, 1])
        lines.append(f"{row.number} ({', '.join(row.yarns)}): " + ", ".join(f"{word} {count}" for word, count in runs))
    return "; ".join(lines) + "."
