"""Run the command line, as ``lessonplan`` or ``python -m lessonplan``; the program's help alone loads no commands."""

from __future__ import annotations

import atexit
import gc
import os
import sys

from lessonplan.terminal import finish, make_ready, show
from lessonplan.usage import help_text

SWEEP_AFTER = 500_000
"""So many new values more than were given up, and Python looks for circles among them (its own count is 700)."""


def main() -> None:
    """Print the help of the whole program, or run the command that is asked for."""
    if sys.argv[1:] in (["-h"], ["--help"]):
        make_ready()
        show(help_text().rstrip("\n"))
        finish()
        return
    quick()
    from lessonplan.cli import main as run

    run()


def quick() -> None:
    """Spare a process that soon ends what only long ones need; it must come before the libraries are loaded.

    Memory is swept seldom and not once more at the end, where the system takes it back anyway; numpy's algebra library
    starts no threads (nothing here multiplies matrices), and pydantic does not look through everything installed for
    plugins, which would run strangers' code besides.
    """
    gc.set_threshold(SWEEP_AFTER)
    atexit.register(gc.freeze)
    for switch in ("OPENBLAS_NUM_THREADS", "PYDANTIC_DISABLE_PLUGINS"):
        os.environ.setdefault(switch, "1")


if __name__ == "__main__":
    main()
