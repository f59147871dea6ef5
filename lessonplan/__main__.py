"""Run the command line, as ``lessonplan`` or ``python -m lessonplan``; the program's help alone loads no commands."""

from __future__ import annotations

import sys

from lessonplan.terminal import finish, make_ready, show
from lessonplan.usage import help_text


def main() -> None:
    """Print the help of the whole program, or run the command that is asked for."""
    if sys.argv[1:] in (["-h"], ["--help"]):
        make_ready()
        show(help_text().rstrip("\n"))
        finish()
        return
    from lessonplan.cli import main as run

    run()


if __name__ == "__main__":
    main()
