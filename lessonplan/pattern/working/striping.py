"""Yarns in turn: the colour repeat of a chart or of stripes, and the lines of rounds of a stripe."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.course.model.works import Knit
from lessonplan.course.problems import Where
from lessonplan.pattern.colour import ColourError, Shares, chart_shares, stripes
from lessonplan.pattern.working.bench import Bench


def goes_on(work: Knit) -> bool:
    """Tell whether a work's stripes go on with those before it."""
    return " ".join(work.stripes.split()).lower() == "go on"


def place_in_stripe(turns: tuple[Shares, ...], place: int) -> int:
    """Give which round of its stripe, from 1, stands at a place of the colour repeat, which goes round."""
    period, back = len(turns), 0
    while back + 1 < period and turns[(place - back - 1) % period] == turns[place]:
        back += 1
    return back + 1


def colours_in_turn(work: Knit, bench: Bench) -> tuple[tuple[Shares, ...], int]:
    """Give the yarns of each round of the colour repeat, from the chart, the stripes or the yarns in turn.

    With them comes the place in it at which the first round stands: not 0 where stripes go on.
    """
    if work.chart:
        return chart_shares(bench.pattern.charts[work.chart]), 0
    if goes_on(work):
        if bench.turns:
            return bench.turns, bench.turn
        what = f"There are no stripes to go on with before “{bench.stage}”."
        bench.wrong(work.mark("stripes"), "stripes", what)
    elif work.stripes:
        try:
            return stripes(work.stripes, bench.pattern.yarns), 0
        except ColourError as bad:
            bench.wrong(work.mark("stripes"), "stripes", str(bad))
    return tuple(((yarn, 1.0),) for yarn in work.yarn or (bench.yarn(work),)), 0


def with_stripe_lines(
    work: Knit, bench: Bench, lines: Sequence[str], turns: tuple[Shares, ...], first: int, rounds: int | None
) -> list[tuple[str, Where]]:
    """Give the lines with their places; where rounds of a stripe have lines of their own, one line for each round."""
    plain = [(line, work.line_mark("lines", n) if work.lines else work.mark("chart")) for n, line in enumerate(lines)]
    if not work.in_stripe:
        return plain
    if rounds is None or not work.stripes:
        what = "Lines for rounds of a stripe need “stripes”, and “rounds” as a number or a length."
        bench.wrong(work.mark("in_stripe"), "stripes", what)
        return plain
    own: dict[tuple[int, str], tuple[str, Where]] = {}
    for key, line in work.in_stripe.items():
        found = re.fullmatch(r"\s*(\d{1,5})(?:\s+(\w+))?\s*", key)
        where = work.mark("in_stripe", key)
        wanted = (int(found[1]), found[2] or "") if found else (0, "")
        places = {(place_in_stripe(turns, n), name) for n in range(len(turns)) for name in (turns[n][0][0], "")}
        if wanted not in places:
            bench.wrong(where, "stripes", f"“{key}” is no round of these stripes: write “2”, or “2 CC” for one yarn.")
        own[wanted] = (line, where)
    found_lines = []
    for number in range(rounds):
        place = (first + number) % len(turns)
        rank = place_in_stripe(turns, place)
        special = own.get((rank, turns[place][0][0])) or own.get((rank, ""))
        found_lines.append(special or plain[number % len(plain)])
    return found_lines
