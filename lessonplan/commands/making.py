"""The commands that check a course and write its papers."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from lessonplan.commands.common import (
    FILES,
    FINE,
    PROBLEMS,
    SAVINGS,
    TODAY,
    CourseArg,
    JsonOpt,
    report,
    why_each,
    wrong,
)
from lessonplan.terminal import Ticker, say, show_json, tell


def check(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Check a course and print every problem found, in reading order.

    Example: lessonplan check sample_course
    """
    from lessonplan.course.words import count_of
    from lessonplan.edit.remarks import with_remarks
    from lessonplan.planning.whole import plan
    from lessonplan.publish.remarks import remarked

    result = remarked(with_remarks(plan(course)))
    if as_json:
        show_json({"problems": [problem.as_dict() for problem in result.problems]})
    else:
        report(result.problems)
        if not result.problems and result.worked:
            say(f"{course}: all clear, {len(result.worked.clocks)} shots.")
        elif not wrong(result.problems):
            say(f"{course}: can be built; look at {count_of(len(result.problems), 'remark')} above.")
    raise typer.Exit(PROBLEMS if wrong(result.problems) else FINE)


def build(
    course: CourseArg,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Where to write (default: COURSE/out).")
    ] = None,
    savings: Annotated[bool, typer.Option("--savings", help=SAVINGS)] = False,
    today: Annotated[datetime | None, typer.Option("--today", formats=["%Y-%m-%d"], help=TODAY)] = None,
    publish: Annotated[
        bool, typer.Option("--publish", help="Keep a record of this edition in COURSE/published.")
    ] = False,
) -> None:
    """Write every document of a course: sheets, handout, calendars.

    Example: lessonplan build sample_course --out /tmp/mittens
    """
    from lessonplan.building import build as build_course
    from lessonplan.render.output import OutputError

    try:
        day = today.date() if today else None
        why = why_each if savings else None
        kept = (day or datetime.now().date()) if publish else None
        result = build_course(course, out, why=why, progress=Ticker(), today=day, publish=kept)
    except OutputError as bad:
        tell(bad)
        raise typer.Exit(FILES) from None
    report(result.problems)
    if result.plan is None:
        tell("Nothing was written.")
        raise typer.Exit(PROBLEMS)
    say(f"Written to {out or course / 'out'}: open index.html there.")
