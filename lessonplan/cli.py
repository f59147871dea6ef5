"""The command line: a command is imported when it is asked for."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.core import TyperGroup
from typer.main import get_command

from lessonplan import __version__
from lessonplan.commands.common import FILES, FINE
from lessonplan.terminal import fault, finish, make_ready, say, tell
from lessonplan.usage import HOMES, SUMMARY, help_text


class Commands(TyperGroup):
    """The commands, each made ready only when it is run: most of the time to start went into those not asked for."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = dict.fromkeys(HOMES)  # type: ignore[assignment]  # the names are what a near miss is held against

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """Make the command of a name ready; none has it: nothing."""
        if cmd_name not in HOMES:
            return None
        one = typer.Typer(rich_markup_mode=None, add_completion=False, context_settings=CONTEXT)
        one.command(cmd_name)(getattr(import_module(f"lessonplan.{HOMES[cmd_name][0]}"), cmd_name))
        return get_command(one)

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the help of the whole program, which stands apart so that it can be had without this module."""
        formatter.write(help_text())


CONTEXT = {"help_option_names": ["-h", "--help"]}
app = typer.Typer(
    cls=Commands,
    help=SUMMARY,
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
