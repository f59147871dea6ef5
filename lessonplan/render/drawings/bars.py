"""Bars: the knitters' calendar with a bar for each piece, and naive against planned hours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from markupsafe import Markup

from lessonplan.course.words import MONTHS, count_of, listing, short_day
from lessonplan.documents.wording import duration
from lessonplan.render import svg

LANE, HEAD, FOOT = 26.0, 46.0, 26.0
TYPE = svg.TYPE
_MANY_DAYS = 92


@dataclass(frozen=True, slots=True)
class Bar:
    """A piece in a knitter's hands from its first day to its last, both included, with the minutes it takes."""

    person: str
    piece: str
    first: date
    last: date
    minutes: float


@dataclass(frozen=True, slots=True)
class _Days:
    """The days of the calendar and where they lie in px."""

    first: date
    count: int
    wide: float

    def x(self, day: date) -> float:
        """Where a day begins, from the left."""
        return 4 + (day - self.first).days * self.wide

    def all(self) -> Iterator[date]:
        """All days of the drawing in their order."""
        return (self.first + timedelta(days=number) for number in range(self.count))


def calendar(
    prefix: str, title: str, bars: Sequence[Bar], shoots: Sequence[date], people: Sequence[str] = ()
) -> Markup:
    """Draw the calendar in a container that scrolls by itself (class ``picture-scroll``).

    ``shoots`` are the shoot days; ``people`` gives the order of the rows, and rows for those without a bar. ``prefix``
    must be the picture's own on its page. Raises ``ValueError`` when a bar ends before it begins.
    """
    for bar in bars:
        if bar.last < bar.first:
            raise ValueError(f"piece {bar.piece} is finished before it is begun")
    order = tuple(dict.fromkeys((*people, *(bar.person for bar in bars))))
    days = _days(bars, shoots)
    rows = {person: _lanes([bar for bar in bars if bar.person == person]) for person in order}
    tops, y = {}, HEAD
    for person in order:
        tops[person] = y
        y += max(1, len({lane for _, lane in rows[person]})) * LANE + 10
    wide, tall = days.count * days.wide + 8, y + FOOT
    children = [*_paper(days, shoots, tops, y), *_bars(rows, tops, days, _colours(bars))]
    plot = svg.picture(prefix, title, _words(order, bars, shoots), wide, tall, children, "picture calendar")
    names = _names(order, tops, y, tall)
    return svg.scrolled(title, names, plot)


def _days(bars: Sequence[Bar], shoots: Sequence[date]) -> _Days:
    """From the first day of all to the last, whole weeks, so that weeks begin at the same place."""
    named = [*shoots, *(bar.first for bar in bars), *(bar.last for bar in bars)] or [date(2000, 1, 3)]
    first = min(named) - timedelta(days=min(named).weekday())
    last = max(named) + timedelta(days=6 - max(named).weekday())
    count = (last - first).days + 1
    return _Days(first, count, 22.0 if count <= _MANY_DAYS else 9.0)


def _lanes(bars: Sequence[Bar]) -> list[tuple[Bar, int]]:
    """Put bars that share a day one under another."""
    ends: list[date] = []
    found = []
    for bar in sorted(bars, key=lambda one: (one.first, one.last, one.piece)):
        lane = next((number for number, end in enumerate(ends) if end < bar.first), len(ends))
        if lane == len(ends):
            ends.append(bar.last)
        ends[lane] = bar.last
        found.append((bar, lane))
    return found


def _colours(bars: Sequence[Bar]) -> dict[str, str]:
    pieces = sorted({bar.piece for bar in bars})
    return {piece: svg.PALETTE[number % len(svg.PALETTE)] for number, piece in enumerate(pieces)}


def _paper(days: _Days, shoots: Sequence[date], tops: Mapping[str, float], low: float) -> Iterator[Markup]:
    """Months, dates, shaded weekends, lines between people, and the shoot days."""
    right = 4 + days.count * days.wide
    shades = "".join(
        f"M{svg.number(days.x(day))} {svg.number(HEAD - 20)}h{svg.number(2 * days.wide)}V{svg.number(low)}"
        f"h{svg.number(-2 * days.wide)}Z"
        for day in days.all()
        if day.weekday() == 5
    )
    yield svg.path(shades, fill="currentColor", fill_opacity=0.1)
    for day in days.all():
        if day.day == 1 or day == days.first:
            room = (days.first + timedelta(days=days.count) - day).days * days.wide
            if day.day <= 22 and room > 60:
                yield svg.text(days.x(day) + 2, 16, f"{MONTHS[day.month - 1][:3]} {day.year}", TYPE, font_weight="bold")
        if days.wide > 20 or day.weekday() == 0:
            yield svg.text(days.x(day) + min(days.wide, 22) / 2, HEAD - 6, str(day.day), 11, text_anchor="middle")
    ys = [*tops.values(), low]
    yield svg.path("".join(f"M0 {svg.number(y)}H{svg.number(right + 4)}" for y in ys), stroke_opacity=0.35)
    for day in sorted(set(shoots)):
        x = days.x(day)
        yield svg.path(
            f"M{svg.number(x)} {svg.number(HEAD - 20)}h{svg.number(days.wide)}V{svg.number(low)}"
            f"h{svg.number(-days.wide)}Z",
            stroke_width=2, fill="currentColor", fill_opacity=0.12, stroke="currentColor",
        )  # fmt: skip
        yield _camera(x + days.wide / 2, low + 13)


def _camera(x: float, y: float) -> Markup:
    """The sign under a shoot day."""
    return svg.path(
        "M-9-5.5H3.5V-2L9-5.5V5.5L3.5 2V5.5H-9Z",
        fill="currentColor",
        transform=f"translate({svg.number(x)} {svg.number(y)})",
    )


def _bars(
    rows: Mapping[str, Sequence[tuple[Bar, int]]], tops: Mapping[str, float], days: _Days, colours: Mapping[str, str]
) -> Iterator[Markup]:
    for person, laid in rows.items():
        for bar, lane in laid:
            x, wide = days.x(bar.first) + 1, ((bar.last - bar.first).days + 1) * days.wide - 2
            y, colour = tops[person] + 6 + lane * LANE, colours[bar.piece]
            yield svg.element(
                "rect",
                x=x,
                y=y,
                width=wide,
                height=LANE - 4,
                rx=3,
                fill=colour,
                stroke="currentColor",
                stroke_width=1.5,
            )
            yield _letter(bar, x, wide, y, svg.ink_on(colour))


def _letter(bar: Bar, x: float, wide: float, y: float, ink: str) -> Markup:
    """The piece's letter, and the hours where there is room for them."""
    hours = svg.element("tspan", f" {duration(bar.minutes)}", font_weight="normal", font_size=TYPE)
    room = (len(bar.piece) + len(duration(bar.minutes)) + 2) * TYPE * svg.LETTER + 8
    inside = (bar.piece, hours) if wide >= room else (bar.piece,)
    place = (x + 6, "start") if wide >= room else (x + wide / 2, "middle")
    return svg.element(
        "text", *inside, x=place[0], y=y + 15.5, font_size=13, font_weight="bold", fill=ink, text_anchor=place[1]
    )


def _names(order: Sequence[str], tops: Mapping[str, float], low: float, tall: float) -> Markup:
    """The knitters' names, in a strip of their own that can stay while the days are scrolled."""
    width = svg.strip_width((*order, "shoot day"))
    parts: list[Markup] = []
    bottoms = [*tops.values(), low][1:]
    for person, bottom in zip(order, bottoms, strict=True):
        parts += svg.in_strip(person, width, (tops[person] + bottom) / 2, 2)
    ys = [*tops.values(), low]
    parts.append(svg.path("".join(f"M0 {svg.number(y)}H{svg.number(width)}" for y in ys), stroke_opacity=0.35))
    parts.append(svg.text(width - 6, low + 17, "shoot day", TYPE, text_anchor="end"))
    return svg.strip(parts, width, tall)


def _words(order: Sequence[str], bars: Sequence[Bar], shoots: Sequence[date]) -> str:
    """Say the same in words: who knits what from when to when, and the shoot days."""
    parts = []
    for person in order:
        own = sorted((bar for bar in bars if bar.person == person), key=lambda bar: (bar.first, bar.piece))
        told = [f"{bar.piece}, {_span(bar)}, {duration(bar.minutes)}" for bar in own]
        parts.append(f"{person}: {'; '.join(told) or 'nothing to do'}.")
    if shoots:
        named = listing([short_day(day) for day in sorted(set(shoots))])
        parts.append(f"{count_of(len(set(shoots)), 'shoot day')}: {named}.")
    return " ".join(parts)


def _span(bar: Bar) -> str:
    return short_day(bar.first) if bar.first == bar.last else f"{short_day(bar.first)} to {short_day(bar.last)}"


def hours(prefix: str, title: str, planned: float, naive: float) -> Markup:
    """Draw two bars to one scale: minutes as planned (solid), and what the naive way would take (hatched)."""
    names = ("Pieces shared by shots", "A new piece for each shot")
    whole, width = max(planned, naive), 340
    room = width - 4
    texture = svg.identifier(prefix, "h")
    hatch = svg.element(
        "pattern", svg.path("M0 6L6 0M-1 1L1 -1M5 7L7 5", stroke_width=1.1), id=texture, width=6, height=6,
        patternUnits="userSpaceOnUse",
    )  # fmt: skip
    children = [hatch]
    for place, (name, minutes, fill) in enumerate(
        ((names[0], planned, svg.PALETTE[0]), (names[1], naive, f"url(#{texture})"))
    ):
        y = place * 52.0
        long = room * minutes / whole if whole else 0.0
        children.append(svg.text(2, y + 15, name, 13))
        children.append(svg.text(width - 2, y + 15, duration(minutes), 15, text_anchor="end", font_weight="bold"))
        children.append(
            svg.element(
                "rect", x=2, y=y + 23, width=long, height=18, fill=fill, stroke="currentColor", stroke_width=1.5
            )
        )
    if naive > planned > 0:
        children += _saved(2 + room * planned / whole, room * (1 - planned / whole), duration(naive - planned))
    words = f"{names[0]}: {duration(planned)}. {names[1]}: {duration(naive)}."
    if naive > planned > 0:
        words += f" {duration(naive - planned)} less, {1 - planned / naive:.0%} saved."
    return svg.picture(prefix, title, words, width, 96, children, "picture hours")


def _saved(x: float, wide: float, time: str) -> Iterator[Markup]:
    """The rest of the planned bar, in a dashed outline, and what it saves where there is room to write it."""
    yield svg.element(
        "rect",
        x=x,
        y=23,
        width=wide,
        height=18,
        fill="none",
        stroke="currentColor",
        stroke_width=1.2,
        stroke_dasharray="5 4",
    )
    words = f"saves {time}"
    if len(words) * TYPE * svg.LETTER + 12 <= wide:
        yield svg.text(x + wide / 2, 36.5, words, TYPE, text_anchor="middle")
