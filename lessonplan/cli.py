"""The commands. Each is thin: it calls one function of the package and prints what that gave."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from lessonplan import __version__

if TYPE_CHECKING:
    from lessonplan.course.problems import Problem

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
TimeOpt = Annotated[float, typer.Option("--time-limit", min=0.1, help="Seconds the choice of samples may take.")]


def main() -> None:
    """Run the command line; a file that cannot be read or written is one sentence and exit status 3."""
    try:
        app()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(FINE)
    except OSError as bad:
        what = f"{bad.filename}: {bad.strerror}" if bad.filename else str(bad)
        print(f"{what}.", file=sys.stderr)
        sys.exit(FILES)


@app.callback(invoke_without_command=True)
def _version(version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False) -> None:
    if version:
        print(f"lessonplan {__version__}")
        raise typer.Exit(FINE)


@app.command()
def check(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Check a course and print every problem found, in reading order.

    Example: lessonplan check sample_course
    """
    from lessonplan.planning import plan

    result = plan(course)
    if as_json:
        _print_json({"problems": [problem.as_dict() for problem in result.problems]})
    else:
        _report(result.problems)
        if not _bad(result.problems):
            count = len(result.worked.clocks) if result.worked else 0
            print(f"{course}: all clear, {count} shots.")
    raise typer.Exit(PROBLEMS if _bad(result.problems) else FINE)


@app.command()
def build(
    course: CourseArg,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Where to write (default: COURSE/out).")
    ] = None,
    time_limit: TimeOpt = 30.0,
) -> None:
    """Write every document of a course: samples, run sheets, shot list, editor's sheets, handout and errata.

    Example: lessonplan build sample_course --out /tmp/mittens
    """
    from lessonplan.building import build as build_course
    from lessonplan.render.output import OutputError

    try:
        result = build_course(course, out, time_limit)
    except OutputError as bad:
        print(bad, file=sys.stderr)
        raise typer.Exit(FILES) from None
    _report(result.problems)
    if result.plan is None:
        print("Nothing was written.", file=sys.stderr)
        raise typer.Exit(PROBLEMS)
    print(f"Written to {out or course / 'out'}: open index.html there.")


@app.command()
def samples(course: CourseArg, as_json: JsonOpt = False, time_limit: TimeOpt = 30.0) -> None:
    """Print the cheapest set of step samples: each piece, what to knit before the shoot, and the shots it serves.

    Example: lessonplan samples sample_course
    """
    from lessonplan.documents.reports import samples_data, samples_table
    from lessonplan.planning import plan

    result = plan(course, time_limit)
    _report(result.problems)
    if result.plan is None:
        raise typer.Exit(PROBLEMS)
    if as_json:
        _print_json(samples_data(result.plan))
    else:
        print(samples_table(result.plan))


@app.command()
def times(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print how long each segment runs on screen and takes on the floor.

    Example: lessonplan times sample_course --json
    """
    from lessonplan.documents.reports import times_data, times_table
    from lessonplan.planning import load

    result = load(course)
    _report(result.problems)
    if result.worked is None:
        raise typer.Exit(PROBLEMS)
    if as_json:
        _print_json(times_data(result.worked))
    else:
        print(times_table(result.worked))


@app.command()
def errata(course: CourseArg, as_json: JsonOpt = False) -> None:
    """Print the errata log, newest first.

    Example: lessonplan errata sample_course
    """
    from lessonplan.documents.reports import errata_data, errata_table
    from lessonplan.planning import load

    result = load(course)
    _report(result.problems)
    if result.worked is None:
        raise typer.Exit(PROBLEMS)
    if as_json:
        _print_json(errata_data(result.worked))
    else:
        print(errata_table(result.worked))


def _bad(problems: Iterable[Problem]) -> bool:
    return any(problem.severity == "error" for problem in problems)


def _report(problems: Sequence[Problem]) -> None:
    for problem in problems:
        print(problem, file=sys.stderr)


def _print_json(data: Any) -> None:
    print(json.dumps(data, indent=2, ensure_ascii=False))
