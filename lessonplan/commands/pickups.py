"""The command that plans pick-up shots."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lessonplan.commands.common import FILES, PROBLEMS, USAGE, CourseArg, JsonOpt, ending, report, stopped, wrong
from lessonplan.terminal import Ticker, say, show, show_json

if TYPE_CHECKING:
    from lessonplan.planning.worked import Plan


def pickups(
    course: CourseArg,
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day (2027-04-17): plan it and write its papers.")
    ] = "",
    call: Annotated[str, typer.Option("--call", metavar="TIME", help="When it begins.")] = "9:00",
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Where to write (default: COURSE/pick-ups).")
    ] = None,
    as_json: JsonOpt = False,
) -> None:
    """Plan pick-up shots from the pieces that are left.

    Filmed again is what errata with the remedy “pick-up shot” name, as long as they are not mended. Without a day it
    says which shots these are, and what each move for good would cost again or to keep a piece back for.

    Example: lessonplan pickups sample_course --on 2027-04-17
    """
    from lessonplan.course.values.fields import day_in
    from lessonplan.documents.pickups import kept_table, pick_up_data, pick_up_table
    from lessonplan.edit.video import with_shots_named
    from lessonplan.planning.filmed.pickups import day_of, keep_back, pick_ups, wanted
    from lessonplan.planning.plan import plan

    result = plan(course, progress=Ticker())
    report([one for one in result.problems if one.severity == "error"])
    if result.plan is None:
        stopped(result.problems, as_json=as_json)
    planned, untold = with_shots_named(result.plan)
    report(untold)
    numbers = wanted(planned)
    if not on:
        kept = keep_back(planned, Ticker())
        if as_json:
            show_json(pick_up_data(numbers, kept, None))
        else:
            show(kept_table(planned, numbers, kept))
        return
    with ending(USAGE, ValueError):
        if not numbers:
            nothing = "No erratum asks for a pick-up shot that is not mended."
            raise ValueError("So there is no shot to film again." if untold else nothing)
        day = day_of(day_in(on), call)
        if day.day <= (over := planned.days[-1].day):
            raise ValueError(f"Pick-up shots come after the shoot, which ends on {over.isoformat()}.")
    again, problems, _ = pick_ups(planned, day, numbers, Ticker())
    report(problems)
    if again is None:
        stopped(problems, as_json=as_json)
    target = _written(course, again, out)
    if as_json:
        show_json(pick_up_data(numbers, (), again))
    else:
        show(pick_up_table(again))
        say(f"Written to {target}: open index.html there.")
    raise typer.Exit(PROBLEMS if wrong(problems) else 0)


def _written(course: Path, again: Plan, out: Path | None) -> Path:
    """Write the papers of a day of pick-up shots; ends the command where they cannot be written."""
    from lessonplan.building import write_pick_ups
    from lessonplan.render.output import OutputError

    with ending(FILES, OutputError):
        return write_pick_ups(course, again, out)
