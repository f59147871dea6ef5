"""The commands that keep what was agreed with people, and what really happened."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from lessonplan.commands.common import FINE, PROBLEMS, USAGE, CourseArg, JsonOpt, ending, report, stopped, wrong
from lessonplan.terminal import Ticker, as_day, say, show, show_json, tell

if TYPE_CHECKING:
    from lessonplan.course.model.together import Course
    from lessonplan.edit.pace import Listened
    from lessonplan.planning.filmed.taking import Taken


def agree(
    course: CourseArg,
    done: Annotated[
        list[str] | None,
        typer.Option(
            "--done", metavar="TEXT", help="Only note how far a piece is: “G cuff round 12, 1 h 40 min”, “G took 2 h”."
        ),
    ] = None,
    today: Annotated[
        datetime | None, typer.Option("--today", parser=as_day, metavar="DATE", help="The day of the agreement.")
    ] = None,
    as_json: JsonOpt = False,
) -> None:
    """Write down what is agreed with the knitters.

    That is slates of shots, and letters, stops and days of pieces. From then on these names stay, and plans keep to
    what is agreed and knitted.

    Example: lessonplan agree sample_course --done "G cuff round 12, 1 h 40 min"
    """
    from lessonplan.planning.agreed.noting import AgreeError, agree as agree_on, note_done

    with ending(USAGE, AgreeError), Ticker("Agreeing") as ticker:
        day = (today or datetime.now()).date()
        result, agreement = note_done(course, done) if done else agree_on(course, day, ticker)
    report(result.problems)
    if agreement is None:
        tell("Nothing was written.")
        stopped(result.problems, as_json=as_json)
    agreed, path = agreement.agreed, course / agreement.path.name
    if as_json:
        counted = {"slates": len(agreed.shots), "pieces": len(agreed.pieces), "times": agreed.times}
        show_json({"written": str(path), **counted, "changed": list(agreement.changed)})
        return
    for text in agreement.changed:
        say(text)
    counts = f"{len(agreed.shots)} slates, {len(agreed.pieces)} pieces, agreement {agreed.times}"
    say(f"Written to {path}: {counts}.")


def takes(
    course: CourseArg,
    logs: Annotated[list[Path] | None, typer.Argument(metavar="LOG...", help="Take logs (CSV) of the tablets.")] = None,
    learn: Annotated[bool, typer.Option("--learn", help="Write the learnt paces to COURSE/learnt.yaml.")] = False,
    as_json: JsonOpt = False,
) -> None:
    """Take in take logs and print planned against real.

    They are kept in the folder “takes” of the course.

    Example: lessonplan takes sample_course takes-2027-02-13-a7.csv --learn
    """
    from lessonplan.documents.takes import takes_data, takes_table
    from lessonplan.edit.timing import odd_timecodes
    from lessonplan.planning.filmed.taking import take_in

    with Ticker("Taking in"):
        result, taken = take_in(course, logs or [], write_learnt=learn)
    if taken is None:
        report(result.problems)
        stopped(result.problems, as_json=as_json)
    odd = odd_timecodes(taken.takes, taken.plan.course.course.frame_rate)
    taken = replace(taken, problems=(*taken.problems, *odd))
    _show_learnt(taken, taken.plan.course, takes_data(taken) if as_json else takes_table(taken))


def pace(
    course: CourseArg,
    captions: Annotated[list[Path], typer.Argument(metavar="CAPTIONS...", help="Captions of the host's videos.")],
    as_json: JsonOpt = False,
) -> None:
    """Learn the host's words a minute from captions of earlier videos.

    With hands at rest and over all; read are WebVTT, SubRip, and transcripts with times. What is learnt goes to
    COURSE/learnt.yaml, for the next plan.

    Example: lessonplan pace sample_course last-year-1.vtt last-year-2.srt
    """
    from lessonplan.documents.takes import pace_data, pace_table
    from lessonplan.edit.pace import listen

    with Ticker("Listening"):
        listened, problems = listen(course, captions)
    if listened is None:
        report(problems)
        stopped(problems, as_json=as_json)
    _show_learnt(listened, listened.course, pace_data(listened) if as_json else pace_table(listened))


def _show_learnt(found: Taken | Listened, course: Course, told: str | dict[str, Any]) -> NoReturn:
    """Print what was learnt, as a table with its problems or as data, and where it is written; the command ends."""
    from lessonplan.documents.takes import which_paces

    if isinstance(told, str):
        report(found.problems)
        show(told)
    else:
        show_json(told)
    if found.written:
        tell(f"Written to {found.written}. {which_paces(course, found.learnt)}")
    raise typer.Exit(PROBLEMS if wrong(found.problems) else FINE)
