"""A piece drawn to scale: small beside a line of a run sheet, or large with labels, a scale and a key.

What is done is filled in the colour of its yarn, what is to come is a dashed outline; live stitches are a row of
loops, stitches on waste yarn lie under a wavy line between two knots, a lifeline is a straight one. Nothing is told
by colour alone: yarns that would look alike in grey print get a texture.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from lessonplan.craft.colours import contrast
from lessonplan.craft.lengths import Units
from lessonplan.pattern.shape.outline import LINE, Band, Edge, Outline, Part, Point
from lessonplan.render import svg
from lessonplan.render.drawings.labels import Label, column, key_rows, label_column, scale_bar
from lessonplan.render.drawings.words import in_words, lifelines

ALIKE = 2.0
"""Contrast ratio of two yarns below which grey print does not tell them apart; a choice between 1 and the 3 of WCAG."""
LEAST = 0.25
"""Of its width a large drawing leaves so much to the piece: where names at both sides take more, all stand at one."""
WASTE = "#D55E00"
_TEXTURES = (
    "M0 4L4 0M-1 1L1 -1M3 5L5 3",
    "M0 2H4",
    "M2 0V4",
    "M1 1h.8v.8h-.8zM3 3h.8v.8h-.8z",
    "M0 0L4 4M-1 3L1 5M3 -1L5 1",
)


@dataclass(frozen=True, slots=True)
class YarnLook:
    """How a yarn is shown: its name in the key, and its colour as ``#rrggbb`` (anything else is shown grey)."""

    name: str
    colour: str

    @property
    def shown(self) -> str:
        """The colour, or a grey when it is none."""
        return self.colour if re.fullmatch("#[0-9A-Fa-f]{6}", self.colour) else "#8a8a8a"


@dataclass(frozen=True, slots=True)
class _Frame:
    """From millimetres upward to px downward; ``fine`` pictures have thinner lines and smaller signs."""

    scale: float
    left: float
    top: float
    x0: float
    y0: float
    fine: bool

    def at(self, x: float, height: float) -> tuple[float, float]:
        """Where a place of the piece, in mm, lies in the drawing, in px."""
        return self.x0 + (x - self.left) * self.scale, self.y0 + (self.top - height) * self.scale


def piece_small(
    prefix: str,
    outline: Outline,
    yarns: Mapping[str, YarnLook],
    title: str,
    scale: float | None = None,
    kind: str = "full",
    units: Units = "cm",
) -> Markup:
    """Draw a piece for a place beside a line of text: 64 px high and 96 px wide at most, unless a scale is given.

    ``prefix`` must be the picture's own on its page; ``yarns`` maps the yarn keys of the pattern to their looks;
    ``scale`` is in px for each mm (see `small_scale`), so that all pieces of a page are comparable; ``kind`` is said in
    the words.
    """
    left, right, bottom, top = outline.bounds
    wide, tall = max(right - left, 1.0), max(top - bottom, 1.0)
    scale = scale or small_scale((outline,))
    frame = _Frame(scale=scale, left=left, top=top, x0=6.0, y0=8.0, fine=True)
    looks, textures = _looks(prefix, outline, yarns, 1.0)
    children = [*textures, *_drawn(prefix, outline, looks, frame)]
    words = in_words(outline, kind, units)
    return svg.picture(prefix, title, words, wide * scale + 12, tall * scale + 12, children, "picture piece-small")


def small_scale(outlines: Iterable[Outline]) -> float:
    """Give the px for each mm at which all of these outlines fit into a small picture, 84 px wide and 52 high."""
    bounds = [outline.bounds for outline in outlines]
    wide = max((right - left for left, right, _, _ in bounds), default=1.0)
    tall = max((top - bottom for _, _, bottom, top in bounds), default=1.0)
    return min(52 / max(tall, 1.0), 84 / max(wide, 1.0))


def piece_large(
    prefix: str,
    outline: Outline,
    yarns: Mapping[str, YarnLook],
    title: str,
    kind: str = "full",
    units: Units = "cm",
    width: float = 340,
    tallest: float = 360,
    names: Mapping[str, str] | None = None,
) -> Markup:
    """Draw a piece with the names of its stages, a scale bar in these units and a key; px as shown.

    ``prefix`` must be the picture's own on its page; ``yarns`` maps the yarn keys of the pattern to their looks;
    ``kind`` is said in the words; ``names`` are written in place of titles of stages, with line feeds.
    """
    left, right, bottom, top = outline.bounds
    wide, tall = max(right - left, 1.0), max(top - bottom, 1.0)
    titles = {share.key: share.title for share in outline.stages} | dict(names or {})
    at_left, at_right = _labelled(outline, titles)
    if width - column(at_left) - column(at_right) < width * LEAST:
        at_left, at_right = _labelled(outline, titles, one_side=True)
    margins = column(at_left), column(at_right)
    scale = min(tallest / tall, (width - sum(margins) - 16) / wide)
    spare = width - sum(margins) - wide * scale
    frame = _Frame(scale=scale, left=left, top=top, x0=margins[0] + spare / 2, y0=16.0, fine=False)
    looks, textures = _looks(prefix, outline, yarns, 1.5)
    placed = [[Label(one.words, *frame.at(one.x, one.y)) for one in labels] for labels in (at_left, at_right)]
    written, low = label_column(placed[0], margins[0] - 8, "end")
    more, lower = label_column(placed[1], width - margins[1] + 8, "start")
    below = max(16 + tall * scale + 10, low, lower)
    bar, below = scale_bar(scale, frame.x0, below + 4, wide * scale, units) if outline.to_scale else (Markup(), below)
    key, below = key_rows(list(_key(outline, looks, yarns)), width, below + 10)
    children = [*textures, *written, *more, *_drawn(prefix, outline, looks, frame), bar, *key]
    return svg.picture(prefix, title, in_words(outline, kind, units), width, below, children, "picture piece-large")


def _looks(
    prefix: str, outline: Outline, yarns: Mapping[str, YarnLook], grain: float
) -> tuple[dict[str, str], list[Markup]]:
    """The fill of each yarn that is seen, and the textures for those that look like another in grey."""
    seen = dict.fromkeys(band.yarn for part in outline.walk() for band in part.bands)
    colours = {
        key: yarns[key].shown if key in yarns else "#8a8a8a" for key in (*(k for k in yarns if k in seen), *seen)
    }
    chosen: dict[str, int] = {}
    fills: dict[str, str] = {}
    textures: list[Markup] = []
    for key, colour in colours.items():
        near = {chosen[other] for other in chosen if contrast(colour, colours[other]) < ALIKE}
        texture = next((n for n in range(len(_TEXTURES) + 1) if n not in near), len(chosen) % (len(_TEXTURES) + 1))
        chosen[key], fills[key] = texture, colour
        if texture:
            name = svg.identifier(prefix, f"y{len(textures)}")
            fills[key] = f"url(#{name})"
            textures.append(_texture(name, colour, _TEXTURES[texture - 1], grain))
    return fills, textures


def _texture(name: str, colour: str, strokes: str, grain: float) -> Markup:
    return svg.element(
        "pattern",
        svg.element("path", d="M0 0H4V4H0Z", fill=colour),
        svg.element("path", d=strokes, stroke=svg.ink_on(colour), stroke_width=0.7, fill="none"),
        id=name, width=4, height=4, patternUnits="userSpaceOnUse", patternTransform=f"scale({svg.number(grain)})",
    )  # fmt: skip


def _drawn(prefix: str, outline: Outline, fills: Mapping[str, str], frame: _Frame) -> Iterator[Markup]:
    """Everything of the piece itself: first the fabric of all parts, then their edges and signs."""
    parts = list(outline.walk())
    for index, part in enumerate(parts):
        yield from _fabric(svg.identifier(prefix, f"p{index}"), part, fills, frame)
    coming = "".join(
        _shape(run, frame, open_below=not outline.to_scale) for part in parts for run in _runs(part, False)
    )
    coming += "".join(_cap(part.closed, frame) for part in parts if part.closed and not part.closed.done)
    coming += "".join(_straight(part.cast_on, frame) for part in parts if part.cast_on and not part.cast_on.done)
    if coming:
        yield svg.path(coming, stroke_width=1 if frame.fine else 1.3, stroke_dasharray="3 2" if frame.fine else "5 3")
    edges = [edge for part in parts for edge in (part.cast_on, part.closed) if edge and edge.done]
    thick = "".join(_straight(edge, frame) for edge in edges if edge.how != "draw-through")
    if thick:
        yield svg.path(thick, stroke_width=2.4 if frame.fine else 4, stroke_linecap="round")
    for part in parts:
        for edge in part.waste:
            if edge.done and edge.how == LINE:
                yield svg.path(_straight(edge, frame), stroke=WASTE, stroke_width=1 if frame.fine else 1.6)
            elif edge.done:
                yield from waste_yarn(
                    *frame.at(edge.left, edge.height), (edge.right - edge.left) * frame.scale, frame.fine
                )
    loops = "".join(
        live_loops(*frame.at(p.live.left, p.live.height), *_loop_room(p.live, frame)) for p in parts if p.live
    )
    if loops:
        yield svg.path(loops, stroke_width=1.2 if frame.fine else 1.6, stroke_linejoin="round")


def _loop_room(edge: Edge, frame: _Frame) -> tuple[float, float]:
    return (edge.right - edge.left) * frame.scale, 4.0 if frame.fine else 8.0


def _runs(part: Part, done: bool) -> Iterator[list[Band]]:
    """Bands that stand one on another and are all done, or all to come; boxes not to scale stand apart."""
    run: list[Band] = []
    for band in part.bands:
        if band.done != done:
            continue
        if run and abs(run[-1].profile[-1][0] - band.profile[0][0]) > 1e-6:
            yield run
            run = []
        run.append(band)
    if run:
        yield run


def _fabric(name: str, part: Part, fills: Mapping[str, str], frame: _Frame) -> Iterator[Markup]:
    """The part done: all of it in the yarn that makes most of it, stripes of others over it, then its outline.

    ``name`` is an id for the shape of it all, which is drawn twice when there is more than one yarn.
    """
    runs = list(_runs(part, True))
    if not runs:
        return
    areas: dict[str, float] = {}
    for band in part.bands:
        if band.done:
            areas[band.yarn] = areas.get(band.yarn, 0.0) + band.area
    main = max(areas, key=lambda yarn: areas[yarn])
    whole = "".join(_shape(run, frame) for run in runs)
    cap = _cap(part.closed, frame) if part.closed and part.closed.done else ""
    line: dict[str, str | float | None] = {"stroke": "currentColor", "stroke_linejoin": "round"}
    line["stroke_width"] = 1 if frame.fine else 1.5
    if len(areas) == 1:
        yield svg.path(whole + cap, fill=fills[main], **line)
        return
    yield svg.element("defs", svg.element("path", d=whole, id=name))
    yield svg.element("use", href=f"#{name}", fill=fills[main])
    for yarn in areas:
        stripes = [
            list(group) for run in runs for key, group in groupby(run, key=lambda band: band.yarn) if key == yarn
        ]
        if yarn != main:
            yield svg.path("".join(_shape(stripe, frame) for stripe in stripes), fill=fills[yarn])
    if cap:
        yield svg.path(cap, fill=fills[runs[-1][-1].yarn], **line)
    yield svg.element("use", href=f"#{name}", fill="none", **line)


def _shape(bands: Sequence[Band], frame: _Frame, open_below: bool = True) -> str:
    """The outline of some bands that stand one on another."""
    points = [point for band in bands for point in band.profile]
    slack = (0.5 if frame.fine else 1.0) / frame.scale
    left = simplified([(p[0], p[1]) for p in points], slack)
    right = simplified([(p[0], p[2]) for p in points], slack)
    way = [frame.at(x, h) for h, x in left] + [frame.at(x, h) for h, x in reversed(right)]
    return svg.polyline(way, close=bands[0].done or not open_below)


def simplified(points: Sequence[tuple[float, float]], slack: float) -> list[tuple[float, float]]:
    """Leave out points of a way within ``slack`` of the line between others (Douglas and Peucker 1973; from memory)."""
    kept = {0, len(points) - 1}
    todo = [(0, len(points) - 1)]
    while todo:
        first, last = todo.pop()
        (ax, ay), (bx, by) = points[first], points[last]
        length = math.hypot(bx - ax, by - ay)
        worst, far = slack, 0
        for index in range(first + 1, last):
            x, y = points[index][0] - ax, points[index][1] - ay
            off = abs(x * (by - ay) - y * (bx - ax)) / length if length else math.hypot(x, y)
            if off > worst:
                worst, far = off, index
        if far:
            kept.add(far)
            todo += [(first, far), (far, last)]
    return [points[index] for index in sorted(kept)]


def _straight(edge: Edge, frame: _Frame) -> str:
    return svg.polyline([frame.at(edge.left, edge.height), frame.at(edge.right, edge.height)])


def _cap(edge: Edge, frame: _Frame) -> str:
    """The rounded tip over stitches that are drawn together, no higher than the margin; other ends are straight."""
    if edge.how != "draw-through":
        return ""
    (x, y), wide = frame.at(edge.left, edge.height), (edge.right - edge.left) * frame.scale
    rise = min(wide / 2, 2 * frame.y0 - 4)  # a curve stands half as high as its control point
    return f"M{svg.number(x)} {svg.number(y)}q{svg.number(wide / 2)} {svg.number(-rise)} {svg.number(wide)} 0"


def live_loops(x: float, y: float, wide: float, size: float) -> str:
    """Path data of a row of loops standing on a line: live stitches. At least two, however narrow the part is."""
    count = max(2, round(wide / size))
    step = wide / count
    loop = f"{svg.number(step / 2)} {svg.number(-size * 1.6)} {svg.number(step)} 0"
    start = x + (wide - count * float(svg.number(step))) / 2
    return f"M{svg.number(start)} {svg.number(y)}q" + " ".join([loop] * count)


def waste_yarn(x: float, y: float, wide: float, fine: bool) -> Iterator[Markup]:
    """A wavy line between two knots: stitches on waste yarn."""
    half, knot = (2.0, 1.5) if fine else (4.0, 2.6)
    y += half / 2
    count = 2 * max(2, round((wide + 2 * half) / half / 2 / 2))
    step = (wide + 2 * half) / count
    start = f"M{svg.number(x - half)} {svg.number(y)}"
    wave = f"{start}q{svg.number(step / 2)} {svg.number(-half * 1.3)} {svg.number(step)} 0"
    wave += "".join(f"t{svg.number(step)} 0" for _ in range(count - 1))
    yield svg.path(wave, stroke_width=3 if fine else 4.5)
    yield svg.path(wave, stroke=WASTE, stroke_width=1.4 if fine else 2.4)
    for end in (x - half, x - half + count * float(svg.number(step))):
        yield svg.element(
            "circle", cx=end, cy=y, r=knot, fill=WASTE, stroke="currentColor", stroke_width=0.8 if fine else 1.2
        )


def _labelled(
    outline: Outline, titles: Mapping[str, str], *, one_side: bool = False
) -> tuple[list[Label], list[Label]]:
    """The names of stages to write at the left and right: the first part's at the left, others where they stand.

    With ``one_side`` all stand at the left.
    """
    sides: tuple[list[Label], list[Label]] = ([], [])
    for number, root in enumerate(outline.parts):
        for part in root.walk():
            points: dict[str, list[Point]] = {}
            for band in part.bands:
                points.setdefault(band.stage, []).extend(band.profile)
            at_right = not one_side and (number > 0 or (part is not root and _middle(part) > _middle(root)))
            for stage, corners in points.items():
                top = max(p[0] for p in corners)
                height = (min(p[0] for p in corners) + top) / 2
                near = [p for p in corners if abs(p[0] - height) <= (top - height) + 1e-6]
                edge = _edge_at(near, height, at_right)
                sides[at_right].append(Label(titles[stage], edge, height))
    return sides


def _middle(part: Part) -> float:
    points = list(part.points())
    return sum(point[1] + point[2] for point in points) / len(points) if points else 0.0


def _edge_at(corners: Sequence[Point], height: float, at_right: bool) -> float:
    """Where the edge of a stage is at a height between its corners."""
    column_of = 2 if at_right else 1
    below = max((p for p in corners if p[0] <= height + 1e-6), key=lambda p: p[0])
    above = min((p for p in corners if p[0] >= height - 1e-6), key=lambda p: p[0])
    share = (height - below[0]) / (above[0] - below[0]) if above[0] > below[0] else 0.0
    return below[column_of] + share * (above[column_of] - below[column_of])


def _key(
    outline: Outline, fills: Mapping[str, str], yarns: Mapping[str, YarnLook]
) -> Iterator[tuple[list[Markup], str]]:
    """The rows of the key: a sample, drawn in 26 by 14 px with its base at (0, 0), and what it means."""
    for yarn, fill in fills.items():
        box = svg.element("path", d="M0 1V-12H26V1Z", fill=fill, stroke="currentColor", stroke_width=1.2)
        yield [box], yarns[yarn].name if yarn in yarns else yarn or ("yarn" if outline.to_scale else "done")
    live, waiting = outline.stitches
    if live:
        base = "M0 1H26"
        yield [svg.path(base + live_loops(0, 1, 26, 7), stroke_width=1.6)], f"{live} live stitches"
    if waiting:
        yield list(waste_yarn(4, -5, 18, fine=False)), f"{waiting} on waste yarn"
    if lifelines(outline):
        yield [svg.path("M0 -5H26", stroke=WASTE, stroke_width=1.6)], "lifeline"
    if outline.area(done=False):
        box = svg.path("M0 1V-12H26V1Z", stroke_width=1.3, stroke_dasharray="5 3")
        yield [box], "still to come"
