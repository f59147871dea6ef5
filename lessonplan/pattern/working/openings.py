"""Openings that are made for later: stitches knitted with waste yarn, which is pulled out when the time comes."""

from __future__ import annotations

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.works import Open, Placeholder
from lessonplan.craft import tables
from lessonplan.pattern.working.bench import Bench


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
