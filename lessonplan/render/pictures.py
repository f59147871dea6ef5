"""The pictures of a plan, as the templates ask for them; each gets ids of its own on its page."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from itertools import count

from markupsafe import Markup, escape

from lessonplan.course.model.groups import Words
from lessonplan.craft.lengths import Units
from lessonplan.craft.words import craft_named, file_word, words_of
from lessonplan.documents.charts import Chart
from lessonplan.documents.samples import planned_minutes
from lessonplan.documents.shots import kind_label
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.shape.outline import Outline, Part, outline
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.planning.worked import Plan
from lessonplan.render.drawings import (
    bars as drawn_bars,
    chart as drawn_chart,
    ladder as drawn_ladder,
    piece as drawn_piece,
)
from lessonplan.samples.choice import Piece, State


def _drawn(plan: Plan, worked: WorkedPattern, size: int, state: State) -> Outline:
    drawn = outline(worked, size, state)
    if craft_named(plan.course.pattern.craft) == "knitting":
        return drawn
    return replace(drawn, parts=tuple(map(_without_live, drawn.parts)))  # a hook holds one loop, and no row of them


def _without_live(part: Part) -> Part:
    return replace(part, live=None, branches=tuple(map(_without_live, part.branches)))


def template_words(words: Words, craft: str) -> Mapping[str, str]:
    """Give what templates know of a craft: its words, its name in the table, and the page of those who make pieces."""
    return {**words.model_dump(), "craft": craft, "page": f"{file_word(words.makers)}.html"}


MODULE = 0.4
"""The side of one square of a code in millimetres: a phone reads it from paper (common practice)."""
LONG_TEXT = 60
"""Texts of more signs have less of the code to spare, so that its squares stay large (a guess)."""


def square_code(text: str) -> tuple[str, float]:
    """Draw a text as a square code in SVG, with the quiet zone of ISO/IEC 18004; give it with its side on paper (mm).

    A quarter of it may be lost (level Q), of a long text's a seventh (level M).
    """
    import segno

    out, level = io.BytesIO(), "q" if len(text) <= LONG_TEXT else "m"
    code = segno.make(text, micro=False, error=level, boost_error=False)
    code.save(out, kind="svg", border=4, xmldecl=False, svgns=True)
    return out.getvalue().decode("utf-8"), max(17.0, code.symbol_size(border=4)[0] * MODULE)


class Pictures:
    """Draws the pieces of one plan. Make a fresh one for each page: its numbering starts anew.

    A template may call what has no underscore in front; the plan itself it must not reach.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._numbers = count(1)

    def code(self, text: str, title: str) -> Markup:
        """Draw a text as a square code, with what it is for those who do not see it."""
        drawn, side = square_code(text)
        drawn = drawn.replace(' xmlns="http://www.w3.org/2000/svg"', "")
        sized = re.sub(
            r'width="(\d+)" height="(\d+)"',
            rf'width="{side:.1f}mm" height="{side:.1f}mm" viewBox="0 0 \1 \2"',
            drawn,
            count=1,
        )
        return Markup(sized.replace("<svg ", f'<svg role="img" aria-label="{escape(title)}" ', 1))

    @cached_property
    def words(self) -> Mapping[str, str]:
        """The words of the craft, which craft of the table it is, and the page of those who make the pieces."""
        pattern = self._plan.course.pattern
        words = words_of(pattern)
        return template_words(words, craft_named(pattern.craft))

    def _prefix(self) -> str:
        return f"picture-{next(self._numbers)}"

    def _outline(self, state: State, kind: str) -> Outline:
        return _drawn(self._plan, self._plan.worked.kinds[kind], self._plan.worked.size, state)

    @cached_property
    def _yarns(self) -> Mapping[str, drawn_piece.YarnLook]:
        yarns = self._plan.course.pattern.yarns
        return {key: drawn_piece.YarnLook(yarn.colour or yarn.name, yarn.hex) for key, yarn in yarns.items()}

    @property
    def _units(self) -> Units:
        return units_printed(self._plan.course.pattern)

    @cached_property
    def _scale(self) -> float:
        states = [(piece.first, piece.kind) for piece in self._plan.choice.pieces]
        states += [(stop.start, piece.kind) for piece in self._plan.choice.pieces for stop in piece.stops]
        return drawn_piece.small_scale(self._outline(state, kind) for state, kind in sorted(set(states)))

    def small(self, state: State, kind: str, title: str) -> Markup:
        """Draw a piece beside a line of text; all small pictures of a course have one scale."""
        drawn = self._outline(state, kind)
        return drawn_piece.piece_small(self._prefix(), drawn, self._yarns, title, self._scale, kind, self._units)

    def large(self, state: State, kind: str, title: str, width: float = 340) -> Markup:
        """Draw a piece with the names of its stages, a scale bar and a key."""
        return drawn_piece.piece_large(
            self._prefix(), self._outline(state, kind), self._yarns, title, kind, self._units, width
        )

    def whole(self, title: str) -> Markup:
        """Draw the finished thing in the size that is filmed."""
        worked = self._plan.worked
        return self.large(worked.kinds["full"].whole(worked.size), "full", title)

    def schematic(
        self,
        title: str,
        size: int,
        names: Mapping[str, str],
        width: float = 400,
        tallest: float = 270,
        units: Units | None = None,
    ) -> Markup:
        """Draw the finished thing in one size (0-based) with what stands on each stage, such as its measurements.

        ``units`` are those of the scale and of its words, the course's unless said.
        """
        full = self._plan.worked.kinds["full"]
        drawn = _drawn(self._plan, full, size, full.whole(size))
        own = units or self._units
        return drawn_piece.piece_large(
            self._prefix(), drawn, self._yarns, title, units=own, width=width, tallest=tallest, names=names
        )

    def chart(self, drawn: Chart, title: str) -> Markup:
        """Draw the chart of some rounds."""
        return drawn_chart.chart(self._prefix(), drawn, self._yarns, title)

    def ladder(self, title: str) -> Markup:
        """Draw the stages upward, the shots rightward, and each piece as a line through its states."""
        worked = self._plan.worked
        steps = {kind: one.whole(worked.size) for kind, one in worked.kinds.items()}
        pieces = tuple(
            drawn_ladder.LadderPiece(
                piece.name,
                kind_label(self._plan, piece.kind),
                self._visits(piece, steps[piece.kind]),
            )
            for piece in self._plan.choice.pieces
        )
        first = {item.day: index for index, item in reversed(list(enumerate(worked.listed)))}
        days = tuple(drawn_ladder.LadderDay(f"Day {day + 1}", first[day]) for day in sorted(first))
        titles = [worked.pattern.stage(key, worked.size).title for key in worked.pattern.order]
        shots = [item.number for item in worked.listed]
        return drawn_ladder.ladder(self._prefix(), title, titles, shots, pieces, days)

    def _visits(self, piece: Piece, steps: State) -> tuple[tuple[int, float, float], ...]:
        """Each shot that a piece stands in, with its height before and after; the takes of a shot are one visit."""
        found: dict[int, tuple[int, float, float]] = {}
        for stop in piece.stops:
            shot = self._plan.worked.slots[stop.slot].shot
            low = found[shot][1] if shot in found else drawn_ladder.height_of(stop.start, steps)
            found[shot] = (shot, low, drawn_ladder.height_of(stop.end, steps))
        return tuple(found.values())

    def calendar(self, title: str) -> Markup:
        """Draw each knitter's pieces as bars over the days up to the shoot."""
        calendar = self._plan.calendar
        bars = tuple(
            drawn_bars.Bar(
                person=calendar.assigned[piece],
                piece=piece,
                first=start,
                last=calendar.ready[piece],
                minutes=sum(sitting.minutes for sitting in calendar.sittings if sitting.piece == piece),
            )
            for piece, start in sorted(calendar.piece_start.items())
        )
        shoots = [day.day for day in self._plan.days]
        people = [knitter.name for knitter in self._plan.course.course.knitters]
        return drawn_bars.calendar(self._prefix(), title, bars, shoots, people)

    def hours(self, title: str) -> Markup:
        """Draw the planned hours against a fresh piece for every appearance."""
        planned = sum(planned_minutes(self._plan))
        return drawn_bars.hours(self._prefix(), title, planned, self._plan.choice.naive_minutes)
