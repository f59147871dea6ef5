"""Rounds and rows of a stage: how many, by which lines, in which yarn."""

from __future__ import annotations

from lessonplan.course import pattern_model as pm
from lessonplan.course.problems import Where
from lessonplan.craft import tables
from lessonplan.craft.gauge import landing, rounds_for
from lessonplan.craft.techniques import technique
from lessonplan.needle.line import Needle, Round
from lessonplan.needle.lines import LineProblem, work_lines
from lessonplan.pattern.bench import Bench
from lessonplan.pattern.colour import ColourError, Shares, chart_lines, chart_shares, stripes
from lessonplan.pattern.spacing import spread_line
from lessonplan.pattern.worked import Step


def knit(work: pm.Knit, bench: Bench) -> None:
    """Work the rounds or rows of one work on the bench, each a step of its own."""
    flat = work.rows is not None
    needle = bench.needle
    if needle.flat != flat:
        needle = Needle(needle.stitches, needle.markers, needle.held, flat)
    extent = work.rows or work.rounds
    try:
        lines = work.lines or chart_lines(bench.pattern.charts[work.chart])
    except ColourError as bad:
        bench.wrong(work.mark("chart"), "chart", str(bad))
        return
    turns = colours_in_turn(work, bench)
    rounds = until = None
    if extent and extent.kind == "until":
        until = int(extent.at(bench.size))
    elif extent:
        rounds = rounds_wanted(work, bench, turns, len(lines))
    times = bench.at(work.times) if work.times else None
    worked = work_lines(
        lines,
        needle,
        size=bench.size,
        sizes=len(bench.pattern.sizes),
        rounds=rounds,
        until=until,
        times=times,
        patterns=bench.pattern.patterns,
        held_as=work.holds or "held",
        colours=frozenset(bench.pattern.yarns),
    )
    for problem in worked.problems:
        _report(work, problem, bench)
    if extent and extent.kind == "length" and rounds and rounds != rounds_for(extent.at(bench.size), bench.fabric):
        _tell_landing(work, rounds, extent.at(bench.size), bench)
    number = 0
    for run in worked.rounds:
        for _ in range(run.times):
            bench.steps.append(_step(work, run, turns, number, flat, bench.work))
            number += run.row
        if run.held:
            bench.held[work.holds or "held"] = (run.held, bench.stage)
    bench.needle = worked.needle


def spread(work: pm.Spread, bench: Bench) -> None:
    """Work one round or row of shapings spread evenly over the stitches on the needle, each size by its own line."""
    key = "increase" if work.increase else "decrease"
    counts = work.increase or work.decrease or ()
    by = work.by or ("m1" if work.increase else "k2tog")
    try:
        line = spread_line(bench.needle.stitches, bench.at(counts), by, bench.needle.flat)
    except ValueError as bad:
        sentence = str(bad)
        bench.wrong(work.mark(key), "spread", f"{sentence[0].upper()}{sentence[1:]}.")
        return
    worked = work_lines([line], bench.needle, size=bench.size, sizes=len(bench.pattern.sizes))
    turns = (((bench.yarn(work), 1.0),),)
    bench.steps += [_step(work, run, turns, 0, bench.needle.flat, bench.work) for run in worked.rounds]
    bench.needle = worked.needle


def rounds_wanted(work: pm.Knit, bench: Bench, turns: tuple[Shares, ...], lines: int) -> int:
    """Give how many rounds a number or a length asks for, landing at the end of a repeat where that is asked for."""
    extent = work.rows or work.rounds
    assert extent is not None
    if extent.kind == "count":
        return int(extent.at(bench.size))
    length = extent.at(bench.size)
    if not work.ends_with:
        return rounds_for(length, bench.fabric, work.rounding)
    wanted = length * bench.fabric.rounds_per_mm
    if work.ends_with == "stripe":
        ends = tuple(place + 1 for place in range(len(turns)) if turns[place] != turns[(place + 1) % len(turns)])
        return landing(wanted, ends or (len(turns),), len(turns))
    return landing(wanted, (lines,), lines)


def colours_in_turn(work: pm.Knit, bench: Bench) -> tuple[Shares, ...]:
    """Give the yarns of each round of the colour repeat: from the chart, the stripes, or the yarns in turn."""
    if work.chart:
        return chart_shares(bench.pattern.charts[work.chart])
    if work.stripes:
        try:
            return stripes(work.stripes, bench.pattern.yarns)
        except ColourError as bad:
            bench.wrong(work.mark("stripes"), "stripes", str(bad))
    return tuple(((yarn, 1.0),) for yarn in work.yarn or (bench.yarn(work),))


def _step(work: pm.Work, run: Round, turns: tuple[Shares, ...], number: int, flat: bool, index: int) -> Step:
    yarns, last = turns[number % len(turns)], turns[(number - 1) % len(turns)]
    loops = sum(count * technique(name).yarn_factor for name, count in run.techniques)
    fixed = tables.minutes("round") + (tables.minutes("turn") if flat else 0) + run.held * tables.minutes("hold")
    if number and {yarn for yarn, _ in yarns} - {yarn for yarn, _ in last}:
        fixed += tables.minutes("colour_change")
    return Step(
        "row" if flat else "round",
        run.text,
        run.before,
        run.after,
        run.techniques,
        tuple((yarn, loops * share) for yarn, share in yarns),
        fixed,
        one_way=work.one_way,
        markers=run.needle.markers,
        held=run.held,
        work=index,
        note=run.note or work.note,
        where=work.mark(),
    )


def _report(work: pm.Knit, problem: LineProblem, bench: Bench) -> None:
    start = work.line_mark("lines", problem.line) if work.lines else work.mark("chart")
    where = Where(start.file, start.line, start.column + max(0, problem.column - 1))
    report = bench.wrong if problem.severity == "error" else bench.remark
    report(where, "line" if problem.severity == "error" else "reading", problem.sentence)


def _tell_landing(work: pm.Knit, rounds: int, wanted: float, bench: Bench) -> None:
    real = bench.fabric.length(rounds)
    what = f"{rounds} rounds end the {work.ends_with}: {real / 10:.1f} cm instead of {wanted / 10:.1f} cm."
    bench.remark(work.mark("rounds" if work.rounds else "rows"), "landing", what)
