"""Working the stages of a pattern, one after another, for one size: each kind of work in one small function."""

from __future__ import annotations

from functools import singledispatch

from lessonplan.course.model import pattern as pm, works as wm
from lessonplan.course.model.works import Open, Placeholder
from lessonplan.course.values.quantities import MOST
from lessonplan.craft import tables
from lessonplan.craft.gauge import multiple_of, round_half_up, stitches_for
from lessonplan.craft.lengths import NO_BREAK, lengths_text
from lessonplan.craft.techniques import spellings, technique
from lessonplan.craft.words import craft_named
from lessonplan.pattern.working.bench import Bench
from lessonplan.pattern.working.edges import other_half, picked_up
from lessonplan.pattern.working.rounds import half_round, instead, knit, spread


def placeholder(work: Placeholder, bench: Bench) -> None:
    """Knit stitches of the coming round with waste yarn and slide them back: as many are on the needle as before.

    The coming round works them again with the main yarn, so only the waste yarn and the time come on top.
    """
    count, at = bench.at(work.placeholder), bench.at(work.at) if work.at else 0
    there = bench.needle.stitches
    if at + count > there:
        before = f"{at} before and " if at else ""
        what = f"{before}{count} stitches are asked for, but {there} are on the needle."
        bench.wrong(work.mark("placeholder"), "stitches", what)
        return
    yarn = work.yarn[0] if work.yarn else pm.WASTE
    coming = f"coming {'row' if bench.needle.flat else 'round'}"
    lead = f"Work the first {at} sts of the {coming}, leave the yarn hanging; k" if at else f"Begin the {coming} so: k"
    text = f"{lead}nit the next {count} sts with waste yarn, slide them back to the left needle and go on over them"
    bench.add(
        work,
        "placeholder",
        text,
        techniques=(("k", count),),
        yarns=((yarn, float(count)),),
        fixed=count * tables.minutes("slide_back") + 2 * tables.minutes("colour_change"),
        held=count,
        into=at,
        name=work.name,
    )
    bench.placed[work.name] = (count, bench.stage)


def open_placeholder(work: Open, bench: Bench) -> None:
    """Pull the waste yarn out. There are n live loops below it and, between them, n - 1 whole ones above.

    Common practice: loops hang between the stitches, one fewer than stitches, and the half loops at either end can be
    taken as well; ``above`` says so. Nothing brings the waste yarn back, so it is always one way.
    """
    below, stage = bench.placed.get(work.open, (0, ""))
    if stage not in bench.allowed:
        what = f"No opening is made as “{work.open}” by a stage that comes before “{bench.stage}”."
        bench.wrong(work.mark("open"), "not-placed", what)
        return
    above = bench.at(work.above) if work.above else below - 1
    if not below - 1 <= above <= below + 1:
        what = f"Above {below} stitches there are {below - 1} loops, {below + 1} with the half ones at both ends,"
        bench.wrong(work.mark("above"), "loops", f"{what} and not {above}.")
    after = bench.needle.stitches + below + above
    text = f"Pull the waste yarn of “{work.open}” out and take up {below} sts below and {above} above"
    fixed = (below + above) * tables.minutes("unpick")
    bench.add(work, "open", text, after, fixed=fixed, one_way=True, name=work.open)
    bench.placed[work.open] = (0, "opened")


TAIL = 150.0
"""Length of a yarn end left for weaving in, in mm (6 in; TKGA article by Joyce Jones, winter 2023-24: 6-8 in)."""

JOINED = ", join in the round"
"""What is said behind a cast-on whose stitches are joined to a ring."""
MOST_UNITS = 5_000
"""Each counted unit is a step of its own, which a piece may stop after."""


@singledispatch
def do(work: wm.Work, bench: Bench) -> None:
    """Do one work of a stage on the bench."""
    raise TypeError(f"no way to work {type(work).__name__}")


@do.register
def _cast_on(work: wm.CastOn, bench: Bench) -> None:
    count = _stitches_to_cast_on(work, bench)
    fixed = tables.minutes("cast_on_start") + (tables.minutes("join") if work.join else 0)
    yarn = bench.yarn(work)
    # Rule credited to Lily Chin (thesprucecraft copy): 3 x width and 10 %; other methods need no long tail.
    tail = 3.3 * bench.fabric.width(count) if "long" in work.method else TAIL
    how = f"Cast on {count} sts" + (JOINED if work.join else "")
    bench.add(
        work,
        "cast-on",
        how,
        bench.needle.stitches + count,
        techniques=(("CO", count),),
        yarns=((yarn, float(count)),),
        fixed=fixed,
        tails=((yarn, tail),),
    )


def _stitches_to_cast_on(work: wm.CastOn, bench: Bench) -> int:
    """Give the stitches of a cast-on: as typed, or for a width, to the nearest multiple that is asked for."""
    value = work.cast_on.at(bench.size)
    repeat, _, edge = work.multiple.replace("plus", "+").partition("+")
    if work.cast_on.kind == "length":
        wanted = value * bench.fabric.stitches_per_mm
        count = multiple_of(wanted, int(repeat), int(edge or 0)) if repeat else stitches_for(value, bench.fabric)
        if count > MOST:
            bench.wrong(work.mark("cast_on"), "cast-on", f"This width takes {count:,} sts, more than anybody works.")
            return MOST
        real = bench.fabric.width(count)
        if work.multiple and count != round_half_up(wanted):
            of = f"a multiple of {work.multiple.strip()}"
            what = f"{count} stitches are {of} and make {instead(real, value, bench)}."
            bench.remark(work.mark("cast_on"), "landing", what)
        return count
    count = int(value)
    if repeat.strip() and (count - int(edge or 0)) % int(repeat):
        what = f"{count} stitches are not a multiple of {work.multiple.strip()}."
        bench.wrong(work.mark("cast_on"), "multiple", what)
    return count


@do.register
def _left_out(work: wm.LeftOut, bench: Bench) -> None:
    """Nothing is done where a work is not chosen."""


do.register(knit)
do.register(spread)
do.register(half_round)
do.register(placeholder)
do.register(open_placeholder)


@do.register
def _hold(work: wm.Hold, bench: Bench) -> None:
    count = bench.take(work, "hold", work.hold)
    left = bench.needle.stitches - count
    fixed = count * tables.minutes("hold") + tables.minutes("cut")
    bench.add(work, "hold", f"Put {count} sts on waste yarn", left, fixed=fixed, held=count, name=work.name)
    bench.hold(work.name, count, work.mark("hold"))


@do.register
def _take_up(work: wm.TakeUp, bench: Bench) -> None:
    waiting = bench.waiting(work.take_up)
    count = waiting if work.stitches is None else bench.at(work.stitches)
    if not waiting:
        what = f"No stitches are held as “{work.take_up}” by a stage that comes before “{bench.stage}”."
        bench.wrong(work.mark("take_up"), "not-held", what)
    elif count > waiting:
        what = f"{count} sts are taken up here, and {waiting} are held as “{work.take_up}”."
        bench.wrong(work.mark("stitches"), "not-held", what)
    count = min(count, waiting)
    bench.release(work.take_up, count)
    after = bench.needle.stitches + count
    fixed = count * tables.minutes("hold")
    of = f"the {count}" if count == waiting else f"{count} of the {waiting}"
    text = f"Put {of} held sts back on the needles"
    bench.add(work, "take-up", text, after, fixed=fixed, name=work.take_up)


@do.register
def _pick_up(work: wm.PickUp, bench: Bench) -> None:
    try:
        count, where = picked_up(work, bench)
    except ValueError as bad:
        bench.wrong(work.mark("edge" if work.edge else "pick_up"), "edge", f"{bad}.")
        return
    after = bench.needle.stitches + count
    yarn, name = bench.yarn(work), _stitch_along(bench)
    bench.add(
        work,
        "pick-up",
        f"{'Pick up and knit' if name == 'pu&k' else 'Work'} {count} sts{where}",
        after,
        techniques=((name, count),),
        yarns=((yarn, count * technique(name).yarn_factor),),
        tails=((yarn, TAIL),),
    )


def _stitch_along(bench: Bench) -> str:
    """By which stitch an edge gives new ones: a hook works those of the part, single crochet unless its gauge says."""
    pattern = bench.pattern
    if craft_named(pattern.craft) != "crochet":
        return "pu&k"
    fabric = (pattern.stages[bench.stage].gauge or pattern.gauge).fabric.lower()
    return spellings("crochet").get(fabric, "sc")


@do.register
def _lifeline(work: wm.Lifeline, bench: Bench) -> None:
    count = bench.take(work, "lifeline", work.lifeline)
    yarn = work.yarn[0] if work.yarn else pm.WASTE
    fixed = count * tables.minutes("lifeline") + tables.minutes("cut")
    tail = bench.fabric.width(count) + 2 * TAIL
    text = f"Thread waste yarn through the {count} sts as a lifeline, and leave them on the needle"
    bench.add(work, "lifeline", text, fixed=fixed, tails=((yarn, tail),))


@do.register
def _graft(work: wm.Graft, bench: Bench) -> None:
    count = bench.take(work, "graft", work.graft)
    pairs = count if work.to else count // 2
    if work.to:
        other = other_half(work, bench)
        if other is not None and other != count:
            what = f"{count} stitches cannot be grafted to the {other} of “{work.to}”: both sides need equally many."
            bench.wrong(work.mark("to"), "graft", what)
    elif count % 2:
        bench.wrong(work.mark("graft"), "graft", f"{count} stitches cannot be grafted: both sides need equally many.")
    # A graft follows one row, 4.2 x width (computed from the wale constants), and 8 in to work with.
    tail = 4.2 * bench.fabric.width(pairs) + 8 * 25.4
    left = bench.needle.stitches - count
    text = f"Graft {pairs} sts to the {pairs} of {work.to}" if work.to else f"Graft {pairs} sts to {pairs} sts"
    bench.add(
        work,
        "graft",
        text,
        left,
        techniques=(("graft", pairs),),
        fixed=tables.minutes("cut"),
        tails=((bench.yarn(work), tail),),
        name=work.to,
    )


@do.register
def _bind_off(work: wm.BindOff, bench: Bench) -> None:
    count = bench.take(work, "bind_off", work.bind_off)
    left = bench.needle.stitches - count
    # A standard bind-off takes 5 x width (nimble-needles.com, measured 4.6 by a tight knitter).
    tail = 5 * bench.fabric.width(count) + TAIL
    bench.add(
        work, "bind-off", f"Bind off {count} sts", left, techniques=(("BO", count),), tails=((bench.yarn(work), tail),)
    )


@do.register
def _draw_through(work: wm.DrawThrough, bench: Bench) -> None:
    count = bench.take(work, "draw_through", work.draw_through)
    fixed = count * tables.minutes("draw_through") + 2 * tables.minutes("cut")
    left = bench.needle.stitches - count
    text = f"cut the yarn and draw it through the {count} sts"
    text = f"Take out the {out}, {text}" if (out := _markers_left(bench)) else text.capitalize()
    bench.add(work, "draw-through", text, left, fixed=fixed, tails=((bench.yarn(work), 2 * TAIL),))


def _markers_left(bench: Bench) -> str:
    """Word the markers that are still in: those placed, and that for the beginning of a round (common practice)."""
    if craft_named(bench.pattern.craft) != "knitting":
        return ""
    rounds = any(step.is_round for step in bench.steps) or (bench.steps[0].before if bench.steps else True)
    count = len(bench.needle.markers) + bool(rounds and not bench.needle.flat)
    return "markers" if count > 1 else "marker" if count else ""


@do.register
def _cord(work: wm.Cord, bench: Bench) -> None:
    length = work.cord.at(bench.size)
    rounds = max(1, round(length * bench.fabric.rounds_per_mm))
    stitches = rounds * work.stitches
    yarn = bench.yarn(work)
    bench.add(
        work,
        "cord",
        f"Knit {_length(length, bench)} of cord on {work.stitches} sts ({rounds} rounds)",
        techniques=(("k", stitches),),
        yarns=((yarn, float(stitches)),),
        fixed=rounds * tables.minutes("round"),
        tails=((yarn, 2 * TAIL),),
        cord=length,
    )


@do.register
def _sew(work: wm.Sew, bench: Bench) -> None:
    length = work.sew.at(bench.size)
    text = f"Sew {work.what or 'the seam'} ({_length(length, bench)})"
    fixed = length / 10 * tables.minutes("sew") + tables.minutes("cut")
    tail = 3 * length + TAIL
    bench.add(work, "sew", text, fixed=fixed, tails=((bench.yarn(work), tail),))


def _length(length: float, bench: Bench) -> str:
    """Word a typed length with plain spaces, so that the words of all sizes can be put together."""
    return lengths_text([length], bench.pattern.units or "both", typed=True).replace(NO_BREAK, " ")


@do.register
def _weave_ends(work: wm.WeaveEnds, bench: Bench) -> None:
    count = bench.at(work.weave_ends)
    fixed = count * tables.minutes("weave_end")
    bench.add(work, "weave-ends", f"Weave in {count} ends", fixed=fixed)


@do.register
def _block(work: wm.Block, bench: Bench) -> None:
    text = f"Block ({work.method}), then leave to dry for {work.drying / 60:g} h"
    bench.add(work, "block", text, fixed=work.block, drying=work.drying)


@do.register
def _plain(work: wm.Plain, bench: Bench) -> None:
    fixed = work.minutes.at(bench.size)
    text = work.what or bench.pattern.stages[bench.stage].title
    rest, minutes = work.rest
    after = None if work.leaves is None else bench.at(work.leaves)
    bench.add(work, "other", text, after, fixed=fixed, drying=minutes, rest=rest)


@do.register
def _units(work: wm.Units, bench: Bench) -> None:
    count = bench.at(work.units)
    if count > MOST_UNITS:
        what = f"{count:,} are more than are made one by one; {MOST_UNITS:,} at most."
        bench.wrong(work.mark("units"), "too-many", what)
        return
    rest, minutes = work.rest
    for number in range(1, count + 1):
        wait = minutes if number == count else 0.0
        text = f"{work.unit} {number} of {count}"
        bench.add(work, "unit", text, fixed=work.each, drying=wait, rest=rest)


@do.register
def _point(work: wm.Point, bench: Bench) -> None:
    bench.points.append((work.called, len(bench.steps)))
