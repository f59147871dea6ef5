"""The command that begins a course: options, interview, files."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from lessonplan.terminal import say, tell

USAGE = 2


def begin(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new folder for the course.")],
    made: Annotated[str | None, typer.Option("--made", help="hat, mittens, socks, scarf, cowl, shawl ...")] = None,
    craft: Annotated[str | None, typer.Option("--craft", help="Which craft, for something else.")] = None,
    title: Annotated[str | None, typer.Option("--title", help="What the course is called.")] = None,
    host: Annotated[str | None, typer.Option("--host", help="Who teaches it.")] = None,
    sizes: Annotated[str | None, typer.Option("--sizes", help="“child, adult”.")] = None,
    gauge: Annotated[str | None, typer.Option("--gauge", help="“20 x 28 to 10 cm”: stitches, rounds, length.")] = None,
    needle: Annotated[str | None, typer.Option("--needle", help="“4.5 mm”.")] = None,
    colours: Annotated[str | None, typer.Option("--colours", help="One colour, or two: “oatmeal, blue”.")] = None,
    episodes: Annotated[str | None, typer.Option("--episodes", help="How many.")] = None,
    shoot: Annotated[str | None, typer.Option("--shoot", help="How many days, or on which: “2027-03-13”.")] = None,
    knitters: Annotated[str | None, typer.Option("--knitters", help="Who makes the samples.")] = None,
    hours: Annotated[str | None, typer.Option("--hours", help="Hours a week of each of them.")] = None,
    pace: Annotated[str | None, typer.Option("--pace", help="Stitches a minute.")] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing: what is not given takes its default.")] = False,
    today: Annotated[
        datetime | None, typer.Option("--today", formats=["%Y-%m-%d"], help="The day on which it is begun.")
    ] = None,
) -> None:
    """Ask a few questions and write a first course that works.

    Then change it, check it, build it.

    Example: lessonplan begin my_hat
    """
    from lessonplan.beginning.answers import QUESTIONS, AnswerError, answers_of
    from lessonplan.beginning.folder import begin as begin_course
    from lessonplan.beginning.interview import BACK, interview

    options: dict[str, str | None] = locals()  # each question has an option of its name
    given = {one.name: text for one in QUESTIONS if (text := options[one.name]) is not None}
    day = (today or datetime.now()).date()
    try:
        if not yes:
            answers_of(given, day)
            say(f"Enter takes what stands in brackets; “{BACK}” goes back to the question before.")
            given = interview(given, day, lambda asked, default: typer.prompt(asked, default=default), say)
        files, days = begin_course(folder, answers_of(given, day))
    except (AnswerError, FileExistsError) as bad:
        tell(bad)
        raise typer.Exit(USAGE) from None
    say(f"Written to {folder}: {', '.join(path.relative_to(folder).as_posix() for path in files)}.")
    say(f"Filmed on {', '.join(str(one) for one in days)}. Next: lessonplan build {folder}")
