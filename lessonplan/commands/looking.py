"""The commands that show what comes out of a course, and change nothing."""

from __future__ import annotations

from typing import Annotated

import typer

from lessonplan.commands.common import SAVINGS, USAGE, CourseArg, JsonOpt, ending, report, stopped, why_each, worked_of
from lessonplan.terminal import Ticker, show, show_json


def samples(
    course: CourseArg,
    savings: Annotated[bool, typer.Option("--savings", help=SAVINGS)] = False,
    side_by_side: Annotated[
        bool, typer.Option("--compare", help="Also the wishes side by side: fewest pieces, least knitting, no waiting.")
    ] = False,
    without: Annotated[
        list[str] | None, typer.Option("--without", metavar="PIECE", help="What if: do without a piece (or several).")
    ] = None,
    helpers: Annotated[int, typer.Option("--helpers", min=0, max=9, help="What if: more helpers on every day.")] = 0,
    film: Annotated[str, typer.Option("--film", metavar="SEGMENT", help="What if: film a segment earlier ...")] = "",
    before: Annotated[str, typer.Option("--before", metavar="SEGMENT", help="... before this one.")] = "",
    accept: Annotated[
        list[str] | None, typer.Option("--accept", metavar="KIND SHOT", help="What if: “short 2.4.1” (or several).")
    ] = None,
    as_json: JsonOpt = False,
) -> None:
    """Print the cheapest set of step samples, and what-ifs.

    Each piece, what to knit before the shoot, and the shots it serves; what-ifs given together are one question.

    Example: lessonplan samples sample_course --film 2.2 --before 2.1
    """
    from lessonplan.documents import reports
    from lessonplan.planning.plan import plan
    from lessonplan.planning.whatif import WhatIfError, real_things, sides, what_if

    with Ticker("Planning") as ticker:
        result = plan(course, progress=ticker)
    report(result.problems)
    if result.plan is None:
        stopped(result.problems, as_json=as_json)
    with ending(USAGE, WhatIfError), Ticker("Solving the what-if"):
        change = what_if(
            result.plan, without=without or (), helpers=helpers, film=film, before=before, accept=accept or ()
        )
    why = why_each(result.plan) if savings else None
    with Ticker("Comparing wishes"):
        wishes = (sides(result.plan), tuple(real_things(result.plan))) if side_by_side else None
    if as_json:
        extra = reports.sides_data(*wishes) if wishes else {}
        show_json({**reports.samples_data(result.plan, why), **reports.change_data(change), **extra})
    elif wishes:
        show(reports.sides_table(result.plan, *wishes))
    else:
        show(reports.change_table(result.plan, change) if change else reports.samples_table(result.plan, why))


def times(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print how long each segment runs on screen and takes on the floor.

    With --json also what the episodes promise, and whether it is kept.

    Example: lessonplan times sample_course --json
    """
    from lessonplan.documents.promises import promises_data
    from lessonplan.documents.reports import times_data, times_table
    from lessonplan.edit.captions.reading import read_captions
    from lessonplan.planning.filmed.keptcaptions import kept_captions

    worked = worked_of(course, as_json=as_json)
    if as_json:
        kept, _ = kept_captions(course, worked.course)
        captions = {one.episode: read_captions(one.data, one.name) for one in kept}
        show_json({**times_data(worked), "promises": promises_data(worked, captions)})
    else:
        show(times_table(worked))


def facts(
    course: CourseArg,
    like: Annotated[str, typer.Option("--like", metavar="TEXT", help="Only facts with this in name or meaning.")] = "",
    as_json: JsonOpt = False,
) -> None:
    """Print the facts that texts may name, in each size.

    Each with its unit, and where it is used.

    Example: lessonplan facts sample_course --like thumb
    """
    from lessonplan.documents.factlist import facts_data, facts_like, facts_table

    worked = worked_of(course, as_json=as_json)
    found = facts_like(worked, like)
    if as_json:
        show_json(facts_data(worked, found))
    else:
        show(facts_table(worked, found))


def orders(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print the orders of the shots side by side.

    Pick one in course.yaml with “order: cheapest”.

    Example: lessonplan orders sample_course
    """
    from lessonplan.documents.reports import orders_data, orders_table
    from lessonplan.planning.plan import all_orders

    worked = worked_of(course, as_json=as_json)
    with Ticker("Working out the orders"):
        found = all_orders(worked)
    if as_json:
        show_json(orders_data(found))
    else:
        show(orders_table(found))
