"""The commands that check a course and write its papers."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer

from lessonplan.commands.common import (
    FILES,
    FINE,
    PROBLEMS,
    SAVINGS,
    TODAY,
    TODAY_CHECK,
    CourseArg,
    JsonOpt,
    ended,
    ending,
    report,
    why_each,
    wrong,
)
from lessonplan.terminal import Ticker, as_day, begin_anew, say, show_json


def check(
    course: CourseArg,
    watch: Annotated[bool, typer.Option("--watch", help="Check anew at each change of a file, until Ctrl-C.")] = False,
    publish: Annotated[
        bool, typer.Option("--publish", help="Also what stands in the way of publishing; nothing is said when ready.")
    ] = False,
    today: Annotated[datetime | None, typer.Option("--today", parser=as_day, metavar="DATE", help=TODAY_CHECK)] = None,
    as_json: JsonOpt = False,
) -> None:
    """Check a course and print every problem found, in reading order.

    With --publish that is also what is still to be done: errata without a remedy, chapters, captions not proofed,
    promises not kept, an edition that has other numbers, an old handout, cautions or texts that stand on no paper,
    pictures without a text.

    Example: lessonplan check sample_course
    """
    day = today.date() if today else None
    if not watch:
        raise typer.Exit(_check(course, day, as_json=as_json, publish=publish))
    from lessonplan.commands.watching import changes

    status = FINE
    try:
        for _ in changes(course):
            begin_anew()
            status = _check(course, day, as_json=as_json, publish=publish)
            say("Watching; Ctrl-C ends.")
    except KeyboardInterrupt:
        raise typer.Exit(status) from None


def _check(course: Path, today: date | None, *, as_json: bool, publish: bool) -> int:
    """Check a course once, and give the exit status."""
    from lessonplan.course.words import count_of
    from lessonplan.publish.remarks import checked

    with Ticker("Checking") as ticker:
        result = checked(course, ticker, today)
        if publish:
            from lessonplan.building import ready_to_publish

            result = ready_to_publish(result, course)
    bad = wrong(result.problems)
    if publish and not as_json:
        result = replace(result, problems=tuple(one for one in result.problems if one.severity == "error"))
        report(result.problems)
        return PROBLEMS if bad else FINE
    if as_json:
        show_json({"problems": [problem.as_dict() for problem in result.problems]})
        return PROBLEMS if bad else FINE
    report(result.problems)
    if not result.problems and result.worked:
        host = result.worked.course.course.host
        alone = "" if result.worked.course.course.knitters else f" No knitters are named: {host} makes all samples."
        say(f"{course}: all clear, {len(result.worked.clocks)} shots.{alone}")
    elif not bad:
        say(f"{course}: can be built; look at {count_of(len(result.problems), 'remark')} above.")
    return PROBLEMS if bad else FINE


def build(
    course: CourseArg,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Where to write (default: COURSE/out).")
    ] = None,
    savings: Annotated[bool, typer.Option("--savings", help=SAVINGS)] = False,
    today: Annotated[datetime | None, typer.Option("--today", parser=as_day, metavar="DATE", help=TODAY)] = None,
    publish: Annotated[
        bool, typer.Option("--publish", help="Keep a record of this edition in COURSE/published.")
    ] = False,
    as_json: JsonOpt = False,
) -> None:
    """Write every document of a course: sheets, handout, calendars.

    Example: lessonplan build sample_course --out /tmp/mittens
    """
    from lessonplan.building import build as build_course
    from lessonplan.render.output import OutputError

    day = today.date() if today else None
    why = why_each if savings else None
    kept = (day or datetime.now().date()) if publish else None
    with ending(FILES, OutputError), Ticker("Building") as ticker:
        result = build_course(course, out, why=why, progress=ticker, today=day, publish=kept)
    written = out or course / "out"
    if as_json:
        files = sorted(path.name for path in written.iterdir() if path.is_file()) if result.plan else []
        told = [problem.as_dict() for problem in result.problems]
        show_json({"written": str(written) if files else None, "files": files, "problems": told})
    else:
        report(result.problems)
    if result.plan is None:
        raise ended(PROBLEMS, "Nothing was written.")
    if not as_json:
        say(f"Written to {written}: open index.html there.")
        if publish:
            say(f"Edition {result.plan.course.course.edition} is kept in {course / 'published'}.")
