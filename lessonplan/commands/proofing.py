"""The command that compares what was really said with what holds."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from lessonplan.commands.common import FINE, PROBLEMS, USAGE, CourseArg, JsonOpt, ended, report, worked_of, wrong
from lessonplan.terminal import as_day, show, show_json, tell


def proof(
    course: CourseArg,
    episode: Annotated[int, typer.Argument(metavar="EPISODE", help="The episode's number.")],
    captions: Annotated[Path, typer.Argument(metavar="CAPTIONS", help="The captions of its video.")],
    dismiss: Annotated[
        list[int] | None, typer.Option("--dismiss", metavar="NUMBER", help="Dismiss a finding for good (or several).")
    ] = None,
    erratum: Annotated[
        list[int] | None, typer.Option("--erratum", metavar="NUMBER", help="Take a finding over as an erratum.")
    ] = None,
    today: Annotated[
        datetime | None, typer.Option("--today", parser=as_day, metavar="DATE", help="The day on which it was found.")
    ] = None,
    as_json: JsonOpt = False,
) -> None:
    """Find what was said in captions that does not hold there.

    Numbers, units and fixed sequences are compared with the pattern and with the pieces on the table. The exit status
    is 1 while a finding is open.

    Example: lessonplan proof sample_course 2 captions/02-band.vtt --dismiss 3
    """
    from lessonplan.course.byplace import EditError
    from lessonplan.course.files import UnfitError
    from lessonplan.documents.proofing import proof_data, proof_table
    from lessonplan.edit.captions.reading import read_file
    from lessonplan.edit.proof.episode import no_episode, proof
    from lessonplan.edit.proof.keeping import decide

    worked = worked_of(course, as_json=as_json)
    chosen = next((one for one in worked.course.episodes if one.episode == episode), None)
    if chosen is None:
        raise ended(USAGE, no_episode(worked, episode))
    found = proof(worked, chosen, read_file(captions))
    if dismiss or erratum:
        try:
            day = (today or datetime.now()).date()
            before = found.decided
            found, written = decide(course, worked, found, dismiss or (), erratum or (), day)
        except EditError as bad:
            raise ended(USAGE, bad) from None
        except UnfitError as bad:
            report((bad.problem,))
            raise typer.Exit(PROBLEMS) from None
        for number in (one for one in (*(dismiss or ()), *(erratum or ())) if before[one - 1]):
            tell(f"Finding {number} is {before[number - 1]} already.")
        if written:
            tell(f"Written to {' and '.join(str(path) for path in written)}.")
    if as_json:
        show_json(proof_data(worked, found))
    else:
        report(found.problems)
        if not wrong(found.problems):  # else nothing was proofed
            show(proof_table(worked, found))
    raise typer.Exit(PROBLEMS if wrong(found.problems) or found.open else FINE)
