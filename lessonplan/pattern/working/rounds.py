"""Rounds and rows of a stage: how many, by which lines, in which yarn."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from typing import Any

from lessonplan.course.model.works import HalfRound, Knit, Spread, Work
from lessonplan.course.problems import Where, warning
from lessonplan.course.values.quantities import Extent, PerSize
from lessonplan.course.words import capital
from lessonplan.craft import tables
from lessonplan.craft.gauge import landing, rounds_for
from lessonplan.craft.lengthinline import line_length
from lessonplan.craft.lengths import NO_BREAK, Units, lengths_text
from lessonplan.craft.techniques import technique
from lessonplan.needle.decided.line import Round
from lessonplan.needle.decided.results import LineProblem, Worked
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.ready.openings import LONG_GAP
from lessonplan.needle.stitch.live import Needle
from lessonplan.pattern.colour import ColourError, Shares, chart_lines
from lessonplan.pattern.worked import REMARK, Step
from lessonplan.pattern.working.bench import Bench
from lessonplan.pattern.working.spacing import spread_line
from lessonplan.pattern.working.striping import colours_in_turn, place_in_stripe, with_stripe_lines
from lessonplan.printed.line import NotationError, parse_line

_LINE = re.compile(r"\bline (\d+)\b")
_JOINED = re.compile(r"\bjoin(?:ed|ing)?\b", re.IGNORECASE)
SMALLEST_ON_CIRCULAR = 360.0
"""Millimetres round under which stitches no longer reach round the usual short circular of 40 cm; guess."""
NEARLY = 2.0
"""Millimetres by which one typed length may differ from another that means it, in other units."""
MOST_ROUNDS_OFF = 2.0
"""Rounds by which a length over several works may differ from their rounds: each of them is rounded."""


def knit(work: Knit, bench: Bench) -> None:
    """Work the rounds or rows of one work on the bench, each a step of its own."""
    flat = _is_flat(work, bench)
    needle = replace(bench.needle, colour="")  # the work tells its yarn
    if needle.flat != flat:
        needle = Needle(needle.stitches, needle.markers, needle.held, flat)
    extent = work.rows or work.rounds
    if extent and work.times:
        what = f"“times” is not used here: “{'rows' if work.rows else 'rounds'}” says how many. Leave one of them out."
        bench.problems.append((warning(work.mark("times"), "times", what), bench.size))
    try:
        lines = work.lines or chart_lines(bench.pattern.charts[work.chart], flat=flat)
    except ColourError as bad:
        bench.wrong(work.mark("chart"), "chart", str(bad))
        return
    turns, first = colours_in_turn(work, bench)
    rounds = until = None
    if extent and extent.kind == "until":
        until = int(extent.at(bench.size))
    elif extent:
        rounds = rounds_wanted(work, bench, turns, first, len(lines))
    planned = with_stripe_lines(work, bench, lines, turns, first, rounds)
    worked = _worked(
        tuple(text for text, _ in planned),
        needle,
        size=bench.size,
        sizes=len(bench.pattern.sizes),
        rounds=None if work.in_stripe else rounds,
        until=until,
        times=bench.at(work.times) if work.times else None,
        patterns=tuple((name, tuple(lines)) for name, lines in bench.pattern.patterns.items()),
        held_as=work.holds or "held",
        colours=frozenset(bench.pattern.yarns),
        terms=bench.pattern.terms,
        casts_on=bench.pattern.terms != "uk",
    )
    lost = bench.lost
    for problem in worked.problems:
        _report([where for _, where in planned], problem, bench, lost)
    if work.in_stripe and not worked.problems and sum(run.row * run.times for run in worked.rounds) != rounds:
        bench.wrong(work.mark("in_stripe"), "stripes", "With lines for rounds of a stripe every line is one round.")
    _keep_length(work, rounds, bench)
    number = first
    text = ""
    for run in worked.rounds:
        if run.text == text and _nothing(run):  # it tells of a marker or a yarn at the end of the rounds before it
            bench.steps[-1] = replace(bench.steps[-1], markers=run.needle.markers)
            continue
        text = run.text
        for _ in range(run.times):
            bench.put(_step(work, run, turns, number, flat, bench, needle))
            number, needle = number + run.row, run.needle
        if run.held:
            bench.hold(work.holds or "held", run.held * run.times, work.mark("holds" if work.holds else "lines"))
    if work.stripes:
        bench.turns, bench.turn = turns, number % len(turns)
    bench.needle = worked.needle


def _is_flat(work: Knit, bench: Bench) -> bool:
    """Tell whether a work is rows: its key or its lines say so, or rows went before and nothing is joined."""
    if work.rows is not None or work.rounds is not None:
        return work.rows is not None
    kinds = _kinds(work.lines, len(bench.pattern.sizes))
    goes_on = bench.needle.flat and not _JOINED.search(work.before)
    return "round" not in kinds and ("row" in kinds or goes_on)


@lru_cache(maxsize=1024)
def _kinds(lines: tuple[str, ...], sizes: int) -> frozenset[str]:
    """What lines call themselves: ``row`` or ``round``, which a joined one is too; empty for one that says neither."""
    kinds = set[str]()
    for line in lines:
        with suppress(NotationError):
            label = parse_line(line, sizes).label
            kinds.add("round" if _JOINED.search(line) else label.kind)
    return frozenset(kinds)


@lru_cache(maxsize=1024)
def _worked(
    texts: tuple[str, ...], needle: Needle, patterns: tuple[tuple[str, tuple[str, ...]], ...], **asked: Any
) -> Worked:
    """Work lines once, however often a pattern is worked: in other ways, at other gauges, after its title changed."""
    return work_lines(texts, needle, patterns=dict(patterns), **asked)


def half_round(work: HalfRound, bench: Bench) -> None:
    """Work the first half of the round by a line of its own; what follows begins at its end."""
    there = bench.needle.stitches
    if there % 2 or not there or bench.needle.flat:
        what = "There is no round here to work half of." if not there or bench.needle.flat else ""
        bench.wrong(work.mark("half_round"), "half-round", what or f"{there} stitches have no half.")
        return
    half = there // 2
    worked = work_lines([work.half_round], Needle(half), size=bench.size, sizes=len(bench.pattern.sizes))
    for problem in worked.problems:
        bench.wrong(work.mark("half_round"), "line", problem.sentence)
    after = half + worked.needle.stitches
    kept = tuple((place - half, name) for place, name in bench.needle.markers if half < place <= there)
    moved = tuple((place + there - half, name) for place, name in bench.needle.markers if place <= half)
    if len(worked.rounds) == 1 and not worked.problems:
        run, yarn = worked.rounds[0], bench.yarn(work)
        text = f"Work half a round, {work.half_round}; the round begins here from now on"
        fixed = _round_minutes(bench, there) / 2
        yarns = ((yarn, _loops(run.techniques)),)
        bench.add(work, "half-round", text, after, techniques=run.techniques, yarns=yarns, fixed=fixed)
    bench.needle = Needle(after, (*kept, *moved) if after == there else ())


def spread(work: Spread, bench: Bench) -> None:
    """Work one round or row of shapings spread evenly over the stitches on the needle, each size by its own line."""
    key = "increase" if work.increase else "decrease"
    counts = work.increase or work.decrease or PerSize[int]()
    by = work.by or ("m1" if work.increase else "k2tog")
    try:
        line = spread_line(bench.needle.stitches, bench.at(counts), by, bench.needle.flat)
    except ValueError as bad:
        sentence = str(bad)
        bench.wrong(work.mark(key), "spread", f"{capital(sentence)}.")
        return
    worked = work_lines([line], bench.needle, size=bench.size, sizes=len(bench.pattern.sizes))
    turns = (((bench.yarn(work), 1.0),),)
    for run in worked.rounds:
        bench.put(_step(work, run, turns, 0, bench.needle.flat, bench, bench.needle))
    bench.other = True
    bench.needle = worked.needle


def rounds_wanted(work: Knit, bench: Bench, turns: tuple[Shares, ...], first: int, lines: int) -> int:
    """Give how many rounds a number or a length asks for, landing at the end of a repeat where that is asked for.

    ``first`` is the place in the colour repeat, from 0, of the first of these rounds.
    """
    extent = work.rows or work.rounds
    assert extent is not None
    if extent.kind == "count":
        return int(extent.at(bench.size))
    length = extent.at(bench.size)
    if not work.ends_with:
        return rounds_for(length, bench.fabric, work.rounding)
    ends, period = landing_ends(work, turns, first, lines)
    if not ends:
        what = f"No stripe here has a round to end with as “{work.ends_with}”: they are {work.stripes or 'not there'}."
        bench.wrong(work.mark("ends_with"), "stripes", what)
        return rounds_for(length, bench.fabric)
    return landing(length * bench.fabric.rounds_per_mm, ends, period)


def landing_ends(work: Knit, turns: tuple[Shares, ...], first: int, lines: int) -> tuple[tuple[int, ...], int]:
    """Give the places (from 1) of a repeat at which the rounds of a work may end, and the repeat's rounds."""
    period = len(turns)
    if work.ends_with == "line":
        return (lines,), lines
    if work.ends_with == "chart":
        return (period,), period
    if work.ends_with == "stripe":
        places = [place for place in range(period) if turns[place] != turns[(place + 1) % period]] or [period - 1]
    else:
        number, yarn = work.ends_with.split()
        places = [
            one for one in range(period) if turns[one][0][0] == yarn and place_in_stripe(turns, one) == int(number)
        ]
    return tuple((place - first) % period + 1 for place in places), period


def _keep_length(work: Knit, rounds: int | None, bench: Bench) -> None:
    """Keep the typed length where the rounds meet it; else what they measure is told, where a landing was asked for."""
    extent = work.rows or work.rounds
    if not extent or extent.kind != "length" or rounds is None:
        bench.other = True
        return
    typed = extent.at(bench.size)
    _compare_lines(work, extent, rounds, bench)
    if not work.ends_with or rounds == rounds_for(typed, bench.fabric):
        bench.asked += typed
    else:
        bench.other = True
        what = f"{rounds} rounds end the {work.ends_with}: {instead(bench.fabric.length(rounds), typed, bench)}."
        bench.remark(work.mark("rounds" if work.rounds else "rows"), "landing", what)


def _compare_lines(work: Knit, extent: Extent, rounds: int, bench: Bench) -> None:
    """Tell of a line that is worked to another length than its work has, be it measured from an earlier beginning."""
    off = MOST_ROUNDS_OFF / bench.fabric.rounds_per_mm
    for place, line in enumerate(work.lines):
        length = line_length(line, len(bench.pattern.sizes))
        if length is None or length.elsewhere:
            continue
        said = length.values[bench.size]
        if abs(said - extent.at(bench.size)) < NEARLY or any(abs(said - one) < off for one in _whole(rounds, bench)):
            continue
        key, units = "rounds" if work.rounds else "rows", bench.pattern.units or "cm"
        each = [lengths_text(one, units, typed=True).replace(NO_BREAK, " ") for one in (length.values, extent.values)]
        what = f"The line is worked to {each[0]}, and “{key}” says {each[1]}: viewers read both."
        hint = f"Write “{{{{ length }}}}” in the line: it is the length that “{key}” says."
        bench.problems.append((warning(work.line_mark("lines", place), "line-length", what, hint), bench.size))


def _whole(rounds: int, bench: Bench) -> Iterator[float]:
    """Lengths in mm after so many more rounds: from where each stage began that this one goes on from."""
    stage, before = bench.stage, sum(step.is_round for step in bench.steps)
    length = bench.fabric.length(rounds + before)
    begins = {taker: source for source, taker in bench.taken.items()}
    if before:
        yield length
    while stage := begins.get(stage, ""):
        length += bench.done[stage].length
        yield length


def instead(real: float, typed: float, bench: Bench) -> str:
    """Word a real length in mm beside the typed one: ``8.6 cm instead of 9 cm``."""
    units: Units = "in" if bench.pattern.units == "in" else "cm"
    texts = [lengths_text([one], units, typed=one == typed).replace(NO_BREAK, " ") for one in (real, typed)]
    return " instead of ".join(texts)


def _round_minutes(bench: Bench, stitches: int) -> float:
    """Minutes that a round takes beside its stitches, by the needles; on a circular a small round needs others."""
    on = bench.pattern.stages[bench.stage].worked_on or bench.pattern.worked_on
    if on == "circular" and bench.fabric.width(stitches) < SMALLEST_ON_CIRCULAR:
        on = "double-pointed"
    return tables.minutes({None: "round", "circular": "round"}.get(on, f"round, {on}"))


def _nothing(run: Round) -> bool:
    """Whether a part of a line works, holds and takes up nothing: ``knit 16 rounds with MC``, ``knit 2 rounds, pm``."""
    return not (run.row or run.held or run.techniques) and run.before == run.after > 0


def _short(run: Round) -> int:
    """Over how many stitches a short row is worked: it takes fewer than there are, and leaves more than it makes."""
    each = [(technique(name), count) for name, count in run.techniques]
    made = sum(one.produces * count for one, count in each)
    taken = sum(one.consumes * count for one, count in each) + run.held
    knitted = all(one.craft == "knitting" for one, _ in each)
    return made if run.row and knitted and taken < run.before and 0 < made < run.after else 0


def _loops(techniques: Iterable[tuple[str, int]]) -> float:
    return sum(count * technique(name).yarn_factor for name, count in techniques)


def _shares(work: Work, run: Round, own: Shares, bench: Bench) -> Shares:
    """Give the yarns of a round: those that its stitches name in the print, each with its loops, else its ``own``.

    One alone counts only where the line itself names it: an earlier line may have been the last to name one.
    """
    named = {yarn: _loops(some) for yarn, some in run.by_colour}
    told = len(named) > 1 or any(re.search(rf"\b{re.escape(yarn)}\b", run.text) for yarn in named)
    whole = _loops(run.techniques)
    coloured = isinstance(work, Knit) and (work.chart or work.stripes)
    if coloured or not told or not whole or not named.keys() <= bench.pattern.yarns.keys():
        return own
    rest = whole - sum(named.values())
    loops = Counter(named) + Counter({own[0][0]: rest} if rest > 0 else {})
    return tuple((yarn, count / whole) for yarn, count in sorted(loops.items()))


def _over(needle: Needle) -> int:
    """The chains over openings that print counts among the stitches, which the next round works into; 0 for others."""
    more = needle.told - needle.stitches
    return more if more > 0 and more == sum(needle.spaces) and min(needle.spaces) >= LONG_GAP else 0


def _step(
    work: Work, run: Round, turns: tuple[Shares, ...], number: int, flat: bool, bench: Bench, last: Needle
) -> Step:
    over = _over(run.needle) if run.after == run.needle.stitches else 0
    yarns = _shares(work, run, turns[number % len(turns)], bench)
    names = {yarn for yarn, _ in yarns}
    loops = _loops(run.techniques)
    fixed = run.held * tables.minutes("hold")
    fixed += tables.minutes("round") + tables.minutes("turn") if flat else _round_minutes(bench, run.after)
    if bench.last and names - bench.last:
        fixed += tables.minutes("colour_change")
    resting = {yarn for turn in turns for yarn, _ in turn} | set(work.carry if isinstance(work, Knit) else ())
    kind = "row" if flat else "round"
    if not run.row:  # stitches put aside, a foundation chain, a yarn taken: nothing that is counted as a round
        kind = "hold" if run.held else "cast-on" if not run.before else REMARK if _nothing(run) else kind
    fixed = 0.0 if kind == REMARK else fixed
    return Step(
        kind=kind,
        text=run.told,
        before=run.before + (_over(last) if run.before == last.stitches else 0),
        after=run.after + over,
        techniques=run.techniques,
        yarns=tuple((yarn, loops * share) for yarn, share in yarns),
        fixed=fixed,
        one_way=work.one_way,
        markers=run.needle.markers,
        held=run.held,
        work=bench.work,
        note=run.note or work.note,
        where=work.mark(),
        name=work.holds if run.held and isinstance(work, Knit) else "",
        resting=tuple(sorted(resting - names)),
        chains=sum(run.needle.spaces) - over,
        behind=run.needle.behind,
        turns=run.needle.turns,
        short=_short(run),
    )


def _report(lines: Sequence[Where], problem: LineProblem, bench: Bench, lost: Where | None) -> None:
    """Tell of a line at its place; a line that the sentence names by its number in the work, by that in the file.

    ``lost``: where something went wrong in a work before this one.
    """
    start = lines[problem.line]
    where = Where(start.file, start.line, start.column + max(0, problem.column - 1))
    sentence = _LINE.sub(lambda found: f"line {lines[int(found[1]) - 1].line}", problem.sentence)
    if problem.severity != "error":
        bench.remark(where, "reading", sentence)
    elif lost and problem.kind not in ("unread", "sizes"):
        bench.follows(where, lost)
    else:
        bench.wrong(where, "line", sentence)
