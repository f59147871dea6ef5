"""The command that keeps the errata log."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lessonplan.commands.common import PROBLEMS, USAGE, CourseArg, JsonOpt, ended, report, worked_of
from lessonplan.terminal import as_day, say, show, show_json, tell

if TYPE_CHECKING:
    from lessonplan.planning.worked import Worked


def errata(
    course: CourseArg,
    where: Annotated[str, typer.Option("--where", metavar="PLACE", help="“slate 21”, “episode 2 at 8:25”.")] = "",
    said: Annotated[str, typer.Option("--said", metavar="TEXT", help="What was said or printed.")] = "",
    right: Annotated[str, typer.Option("--right", metavar="TEXT", help="What is right; it may name facts.")] = "",
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who found it.")] = "",
    role: Annotated[str, typer.Option("--role", metavar="ROLE", help="In what role: viewer, editor ...")] = "",
    kind: Annotated[
        str, typer.Option("--kind", metavar="KIND", help="number, word, picture or other (else by what is right).")
    ] = "",
    remedy: Annotated[
        str, typer.Option("--remedy", metavar="REMEDY", help="text over the picture, pick-up shot, pinned note ...")
    ] = "",
    state: Annotated[str, typer.Option("--state", metavar="STATE", help="open, planned or mended.")] = "",
    mended_in: Annotated[str, typer.Option("--mended-in", metavar="EDITION", help="The one that has it right.")] = "",
    slip: Annotated[int, typer.Option("--slip", metavar="N", help="Take over a slip of the takes, by its number.")] = 0,
    number: Annotated[int, typer.Option("--number", metavar="N", help="Change this one instead of adding one.")] = 0,
    today: Annotated[
        datetime | None, typer.Option("--today", parser=as_day, metavar="DATE", help="The day it was found or changed.")
    ] = None,
    as_json: JsonOpt = False,
) -> None:
    """Print the errata log, add to it, or change an entry.

    Without options it is printed by state and place, with the slips of the takes that are used and not in it yet;
    --where, --said and --right add an erratum, --slip takes one over, with --right unless its note says what is right
    (“46 for 45”), --number changes one. Your own remarks and the order of the file stay as they are.

    Example: lessonplan errata sample_course --number 3 --state planned --remedy "pick-up shot"
    """
    from lessonplan.planning.worked import load
    from lessonplan.publish.log import FILE, change_erratum, note_erratum

    asked = {"where": where, "said": said, "right": right, "by": by, "role": role, "kind": kind, "remedy": remedy}
    asked |= {"state": state, "mended_in": mended_in}
    if slip:
        asked = _of_slip(course, slip) | {key: value for key, value in asked.items() if value}
    if number or any(asked.values()):
        if not number and not all(asked.get(key) for key in ("where", "said", "right", "by")):
            untold = f"The note of slip {slip} does not tell what is right: give it with --right."
            raise ended(USAGE, untold if slip else _NEEDED)
        _stands(course, where)
        day = f"{today or datetime.now():%Y-%m-%d}"
        new = {"found": day} | asked | {"kind": kind or _kind(asked["said"], asked["right"])}
        changed = asked | {"changed": day}
        done, problems = change_erratum(course, number, changed) if number else note_erratum(course, new)
        if done:  # what the rest of the course says of it, such as a slate that is not agreed
            problems = tuple(one for one in load(course).problems if one.where.file == FILE)
        report(problems)
        if not done:
            raise ended(PROBLEMS, "Nothing was written.")
        say(f"Erratum {done} is {'changed' if number else 'noted'}.")
        if where and not any(sign.isdigit() for sign in where):
            tell(f"“{where}” names no shot, slate or time, so that no paper can point to the place.")
        return
    _print(course, as_json)


def _print(course: Path, as_json: bool) -> None:
    """Print the log, with the slips of the takes that are not in it yet."""
    from lessonplan.documents.reports import errata_data, errata_table

    worked = worked_of(course, as_json=as_json)
    slips = _slips(course, worked)
    if as_json:
        show_json(errata_data(worked) | {"slips": [dict(one) for one in slips]})
    else:
        show(errata_table(worked))
        for place, one in enumerate(slips, 1):
            show(f"Slip {place}, {one['where']}, {one['found']}: {one['said']}")


def _stands(course: Path, where: str) -> None:
    """End the command where an erratum cannot stand at a place as typed; a course without a plan is not asked."""
    from lessonplan.planning.plan import plan
    from lessonplan.publish.remarks import no_place

    planned = plan(course).plan if where else None
    for told in no_place(planned, where) if planned else ():
        tell(told)
        raise ended(PROBLEMS, "Nothing was written.")


def _kind(said: str, right: str) -> str:
    """Tell what kind a new erratum is of where that is not said: with the same numbers about a word; else as usual."""
    from lessonplan.edit.speech.numbers import numbers_in, words_in

    told = ([one.low for one in numbers_in(words_in(text.replace("-", " ")), frozenset())] for text in (said, right))
    return "" if "{{" in right or next(told) != next(told) else "word"


_NEEDED = "A new erratum needs --where, --said, --right and --by; to change one, give its --number."


def _slips(course: Path, worked: Worked) -> tuple[Mapping[str, str], ...]:
    """The slips in the takes that will be used, as they would stand in the log, without those that do."""
    from lessonplan.planning.filmed.kepttakes import filmed
    from lessonplan.publish.log import slips_of

    return slips_of(worked, filmed(course, worked)[0])


def _of_slip(course: Path, number: int) -> dict[str, str]:
    slips = _slips(course, worked_of(course))
    if not 1 <= number <= len(slips):
        told = f"There is no slip {number}; the takes that are used have {len(slips)} that are not in the log."
        raise ended(USAGE, told)
    return dict(slips[number - 1])
