"""What the commands have in common: arguments, exit statuses, and how problems are told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from lessonplan.terminal import Ticker, show_json, tell, tell_problem

if TYPE_CHECKING:
    from lessonplan.course.problems import Problem
    from lessonplan.planning.whatif import Reasons
    from lessonplan.planning.worked import Plan, Worked

SAVINGS = "Also what each piece is worth, and the best savings (solves again for each; takes longer)."
TODAY_CHECK = "From which day work is planned (default: the day of the agreement)."
TODAY = "From which day work is planned and the index says what comes next (default: the day of the agreement)."
FINE, PROBLEMS, USAGE, FILES = 0, 1, 2, 3
CourseArg = Annotated[Path, typer.Argument(metavar="COURSE", help="The course's folder.")]
JsonOpt = Annotated[bool, typer.Option("--json", help="Print the same data for programs, as JSON.")]


def why_each(plan: Plan) -> Reasons:
    """Work out what each piece is worth, showing how far it is."""
    from lessonplan.planning.whatif import reasons

    with Ticker("Solving what-ifs") as ticker:
        return reasons(plan, lambda done, of: ticker.step(f"Solved {done} of {of} what-ifs"))


def worked_of(course: Path, *, as_json: bool = False) -> Worked:
    """Read a course and do its arithmetic; with errors in it the command ends here."""
    from lessonplan.planning.worked import load

    with Ticker("Working the pattern"):
        result = load(course)
    report(result.problems)
    if result.worked is None:
        stopped(result.problems, as_json=as_json)
    return result.worked


def ended(status: int, said: object) -> typer.Exit:
    """Say why a command ends here, in a sentence, and give what is raised to end it."""
    tell(said)
    return typer.Exit(status)


@contextmanager
def ending(status: int, *bad: type[Exception]) -> Iterator[None]:
    """End the command with an exit status where something is raised that says in a sentence what is wrong."""
    try:
        yield
    except bad as one:
        raise ended(status, one) from None


def stopped(problems: Sequence[Problem], *, as_json: bool) -> NoReturn:
    """End the command where errors stand in the way, which are its data for programs."""
    if as_json:
        show_json({"problems": [problem.as_dict() for problem in problems]})
    raise typer.Exit(PROBLEMS)


def wrong(problems: Iterable[Problem]) -> bool:
    """Tell whether an error is among problems, so that the exit status is 1."""
    return any(problem.severity == "error" for problem in problems)


def report(problems: Sequence[Problem]) -> None:
    """Print problems on standard error."""
    for problem in problems:
        tell_problem(problem)
