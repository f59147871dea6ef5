"""The commands. Each is thin: it calls one function of the package and prints what that gave."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lessonplan import __version__
from lessonplan.beginning.command import begin
from lessonplan.counting import count
from lessonplan.terminal import Ticker, fault, finish, make_ready, say, show, show_json, tell

if TYPE_CHECKING:
    from lessonplan.course.problems import Problem
    from lessonplan.planning.whatif import Reasons
    from lessonplan.planning.worked import Plan, Worked

SAVINGS = "Also what each piece is worth, and the best savings (solves again for each; takes longer)."
TODAY = "From which day the index says what comes next (default: the day of the agreement)."
FINE, PROBLEMS, USAGE, FILES = 0, 1, 2, 3

app = typer.Typer(
    help="Plan and document a craft course on video: step samples, shoot days, editor's sheets and the handout.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
CourseArg = Annotated[Path, typer.Argument(metavar="COURSE", help="The course's folder.")]
JsonOpt = Annotated[bool, typer.Option("--json", help="Print the same data for programs, as JSON.")]


def main() -> None:
    """Run the command line; a file that cannot be read or written, or a fault, is one sentence and exit status 3."""
    make_ready()
    sys.exit(_status())


def _status() -> int | str | None:
    """Run the command that was given, and give its exit status."""
    status: int | str | None = FILES
    try:
        try:
            app()
        except SystemExit as end:
            status = end.code
        finish()
    except OSError as bad:
        tell(f"{bad.filename}: {bad.strerror}." if bad.filename else f"{bad.strerror or bad}.")
        return FILES
    except Exception:
        tell(fault())
        return FILES
    return status


@app.callback(invoke_without_command=True)
def _version(version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False) -> None:
    if version:
        say(f"lessonplan {__version__}")
        raise typer.Exit(FINE)


app.command()(begin)


@app.command()
def check(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Check a course and print every problem found, in reading order.

    Example: lessonplan check sample_course
    """
    from lessonplan.course.problems import in_reading_order
    from lessonplan.edit.remarks import edit_remarks
    from lessonplan.planning.whole import plan

    result = plan(course)
    problems = result.problems
    if result.plan:
        problems = in_reading_order((*problems, *edit_remarks(result.plan)), result.files)
    if as_json:
        show_json({"problems": [problem.as_dict() for problem in problems]})
    else:
        _report(problems)
        if not problems and result.worked:
            say(f"{course}: all clear, {len(result.worked.clocks)} shots.")
        elif not _bad(problems):
            say(f"{course}: can be built; look at the {len(problems)} remarks above.")
    raise typer.Exit(PROBLEMS if _bad(problems) else FINE)


@app.command()
def build(
    course: CourseArg,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Where to write (default: COURSE/out).")
    ] = None,
    savings: Annotated[bool, typer.Option("--savings", help=SAVINGS)] = False,
    today: Annotated[datetime | None, typer.Option("--today", formats=["%Y-%m-%d"], help=TODAY)] = None,
) -> None:
    """Write every document of a course: samples, run sheets, shot list, editor's sheets, handout and errata.

    Example: lessonplan build sample_course --out /tmp/mittens
    """
    from lessonplan.building import build as build_course
    from lessonplan.render.output import OutputError

    try:
        day = today.date() if today else None
        result = build_course(course, out, why=_why if savings else None, progress=Ticker(), today=day)
    except OutputError as bad:
        tell(bad)
        raise typer.Exit(FILES) from None
    _report(result.problems)
    if result.plan is None:
        tell("Nothing was written.")
        raise typer.Exit(PROBLEMS)
    say(f"Written to {out or course / 'out'}: open index.html there.")


@app.command()
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
    """Print the cheapest set of step samples: each piece, what to knit before the shoot, and the shots it serves.

    What-ifs given together are one question.

    Example: lessonplan samples sample_course --film 2.2 --before 2.1
    """
    from lessonplan.documents import reports
    from lessonplan.planning.whatif import WhatIfError, real_things, sides, what_if
    from lessonplan.planning.whole import plan

    result = plan(course, progress=Ticker())
    _report(result.problems)
    if result.plan is None:
        raise typer.Exit(PROBLEMS)
    try:
        change = what_if(
            result.plan, without=without or (), helpers=helpers, film=film, before=before, accept=accept or ()
        )
    except WhatIfError as bad:
        tell(bad)
        raise typer.Exit(USAGE) from None
    why = _why(result.plan) if savings else None
    wishes = (sides(result.plan), tuple(real_things(result.plan))) if side_by_side else None
    if as_json:
        extra = reports.sides_data(*wishes) if wishes else {}
        show_json({**reports.samples_data(result.plan, why), **reports.change_data(change), **extra})
    elif wishes:
        show(reports.sides_table(result.plan, *wishes))
    else:
        show(reports.change_table(result.plan, change) if change else reports.samples_table(result.plan, why))


@app.command()
def times(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print how long each segment runs on screen and takes on the floor.

    Example: lessonplan times sample_course --json
    """
    from lessonplan.documents.reports import times_data, times_table

    worked = _worked(course)
    if as_json:
        show_json(times_data(worked))
    else:
        show(times_table(worked))


@app.command()
def facts(
    course: CourseArg,
    like: Annotated[str, typer.Option("--like", metavar="TEXT", help="Only facts with this in name or meaning.")] = "",
    as_json: JsonOpt = False,
) -> None:
    """Print the facts that texts may name: the value in each size, its unit, and where it is used.

    Example: lessonplan facts sample_course --like thumb
    """
    from lessonplan.documents.factlist import facts_data, facts_like, facts_table

    worked = _worked(course)
    found = facts_like(worked, like)
    if as_json:
        show_json(facts_data(worked, found))
    else:
        show(facts_table(worked, found))


@app.command()
def orders(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print the orders of the shots side by side; pick one in course.yaml with “order: cheapest”.

    Example: lessonplan orders sample_course
    """
    from lessonplan.documents.reports import orders_data, orders_table
    from lessonplan.planning.whole import all_orders

    found = all_orders(_worked(course))
    if as_json:
        show_json(orders_data(found))
    else:
        show(orders_table(found))


@app.command()
def errata(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print the errata log, newest first.

    Example: lessonplan errata sample_course
    """
    from lessonplan.documents.reports import errata_data, errata_table

    worked = _worked(course)
    if as_json:
        show_json(errata_data(worked))
    else:
        show(errata_table(worked))


@app.command()
def agree(
    course: CourseArg,
    done: Annotated[
        list[str] | None,
        typer.Option(
            "--done", metavar="TEXT", help="Only note how far a piece is: “G cuff round 12, 1 h 40 min”, “G took 2 h”."
        ),
    ] = None,
    today: Annotated[
        datetime | None, typer.Option("--today", formats=["%Y-%m-%d"], help="The day of the agreement.")
    ] = None,
) -> None:
    """Write down what is agreed with the knitters: slates of shots, and letters, stops and days of pieces.

    From then on these names stay, and plans keep to what is agreed and knitted.

    Example: lessonplan agree sample_course --done "G cuff round 12, 1 h 40 min"
    """
    from lessonplan.planning.agree import AgreeError, note_done
    from lessonplan.planning.agree import agree as agree_on

    try:
        result, agreement = (
            note_done(course, done) if done else agree_on(course, (today or datetime.now()).date(), Ticker())
        )
    except AgreeError as bad:
        tell(bad)
        raise typer.Exit(USAGE) from None
    _report(result.problems)
    if agreement is None:
        tell("Nothing was written.")
        raise typer.Exit(PROBLEMS)
    for text in agreement.changed:
        say(text)
    agreed = agreement.agreed
    counts = f"{len(agreed.shots)} slates, {len(agreed.pieces)} pieces, agreement {agreed.times}"
    say(f"Written to {agreement.path}: {counts}.")


@app.command()
def takes(
    course: CourseArg,
    logs: Annotated[list[Path] | None, typer.Argument(metavar="LOG...", help="Take logs (CSV) of the tablets.")] = None,
    learn: Annotated[bool, typer.Option("--learn", help="Write the learnt paces to COURSE/learnt.yaml.")] = False,
    as_json: JsonOpt = False,
) -> None:
    """Take in take logs, keep them in the course's takes folder, and print planned against real.

    Example: lessonplan takes sample_course takes-2027-02-13-a7.csv --learn
    """
    from lessonplan.documents.takes import takes_data, takes_table, which_paces
    from lessonplan.planning.taking import take_in

    result, taken = take_in(course, logs or [], write_learnt=learn)
    if taken is None:
        _report(result.problems)
        raise typer.Exit(PROBLEMS)
    if as_json:
        show_json(takes_data(taken))
    else:
        _report(taken.problems)
        show(takes_table(taken))
    if taken.written:
        tell(f"Written to {taken.written}. {which_paces(taken.plan.course, taken.learnt)}")
    raise typer.Exit(PROBLEMS if _bad(taken.problems) else FINE)


@app.command()
def pace(
    course: CourseArg,
    captions: Annotated[list[Path], typer.Argument(metavar="CAPTIONS...", help="Captions of the host's videos.")],
    as_json: JsonOpt = False,
) -> None:
    """Learn the host's words a minute from captions of any earlier videos, with hands at rest and over all.

    Read are WebVTT, SubRip, and transcripts with times. What is learnt goes to COURSE/learnt.yaml, for the next plan.

    Example: lessonplan pace sample_course last-year-1.vtt last-year-2.srt
    """
    from lessonplan.documents.pace import pace_data, pace_table
    from lessonplan.documents.takes import which_paces
    from lessonplan.edit.listening import listen

    listened, problems = listen(course, captions)
    if listened is None:
        _report(problems)
        raise typer.Exit(PROBLEMS)
    if as_json:
        show_json(pace_data(listened))
    else:
        _report(listened.problems)
        show(pace_table(listened))
    if listened.written:
        tell(f"Written to {listened.written}. {which_paces(listened.course, listened.learnt)}")
    raise typer.Exit(PROBLEMS if _bad(listened.problems) else FINE)


app.command()(count)


def _why(plan: Plan) -> Reasons:
    """Work out what each piece is worth, showing how far it is."""
    from lessonplan.planning.whatif import reasons

    ticker = Ticker()
    found = reasons(plan, lambda done, of: ticker.show(f"Solved {done} of {of} what-ifs"))
    ticker.clear()
    return found


def _worked(course: Path) -> Worked:
    """Read a course and do its arithmetic; with errors in it the command ends here."""
    from lessonplan.planning.worked import load

    result = load(course)
    _report(result.problems)
    if result.worked is None:
        raise typer.Exit(PROBLEMS)
    return result.worked


def _bad(problems: Iterable[Problem]) -> bool:
    return any(problem.severity == "error" for problem in problems)


def _report(problems: Sequence[Problem]) -> None:
    if sys.stderr.isatty():
        print("\r\x1b[K", end="", file=sys.stderr)
    for problem in problems:
        tell(problem)
