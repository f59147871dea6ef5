"""The command line: which commands there are and where each stands; a command is imported when it is asked for."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.core import TyperGroup
from typer.main import get_command

from lessonplan import __version__
from lessonplan.terminal import fault, finish, make_ready, say, tell

FINE, FILES = 0, 3
COMMANDS = {
    "Begin and build": {
        "begin": ("beginning.command", "Ask a few questions and write a first course that works."),
        "check": ("commands.making", "Check a course and print every problem found, in reading order."),
        "build": ("commands.making", "Write every document of a course: sheets, handout, calendars."),
    },
    "Look at the plan": {
        "samples": ("commands.looking", "Print the cheapest set of step samples, and what-ifs."),
        "times": ("commands.looking", "Print how long each segment runs on screen and takes on the floor."),
        "facts": ("commands.looking", "Print the facts that texts may name, in each size."),
        "orders": ("commands.looking", "Print the orders of the shots side by side."),
    },
    "Keep what happened": {
        "agree": ("commands.happened", "Write down what is agreed with the knitters."),
        "takes": ("commands.happened", "Take in take logs and print planned against real."),
        "errata": ("commands.log", "Print the errata log, add to it, or change an entry."),
        "pickups": ("commands.again", "Plan pick-up shots from the pieces that are left."),
        "pace": ("commands.happened", "Learn the host's words a minute from captions of earlier videos."),
    },
    "Without a course": {
        "count": ("commands.counting", "Count the stitches after each printed line, in every size."),
    },
}
"""The commands by what they are for, each with its file and the first line of its help."""
_HOMES = {name: home for group in COMMANDS.values() for name, home in group.items()}


class Commands(TyperGroup):
    """The commands, each made ready only when it is run: most of the time to start went into those not asked for."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = dict.fromkeys(_HOMES)  # type: ignore[assignment]  # the names are what a near miss is held against

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """Make the command of a name ready; none has it: nothing."""
        if cmd_name not in _HOMES:
            return None
        one = typer.Typer(rich_markup_mode=None, add_completion=False, context_settings=CONTEXT)
        one.command(cmd_name)(getattr(import_module(f"lessonplan.{_HOMES[cmd_name][0]}"), cmd_name))
        return get_command(one)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write the commands by what they are for."""
        for title, group in COMMANDS.items():
            with formatter.section(title):
                formatter.write_dl([(name, summary) for name, (_, summary) in group.items()], col_max=12)


CONTEXT = {"help_option_names": ["-h", "--help"]}
app = typer.Typer(
    cls=Commands,
    help="Plan and document a craft course on video: step samples, shoot days, editor's sheets and the handout.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=True,
    context_settings=CONTEXT,
)


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
