"""Which commands there are, where each stands, and the help of the whole program, which needs nothing else."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterator

SUMMARY = "Plan and document a craft course on video: step samples, shoot days, editor's sheets and the handout."
COMMANDS = {
    "Begin and build": {
        "begin": ("beginning.command", "Ask a few questions and write a first course that works."),
        "check": ("commands.making", "Check a course and print every problem found, in reading order."),
        "desk": ("desk.command", "Make and keep a course in the browser."),
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
        "pickups": ("commands.pickups", "Plan pick-up shots from the pieces that are left."),
        "pace": ("commands.happened", "Learn the host's words a minute from captions of earlier videos."),
        "proof": ("commands.proofing", "Find what was said in captions that does not hold there."),
    },
    "Without a course": {
        "keys": (
            "commands.helping",
            "Tell of the keys of the course files, each with what it means.",
        ),
        "schema": (
            "commands.helping",
            "Give the JSON Schemas by which an editor helps with the files.",
        ),
        "count": ("commands.counting", "Count the stitches after each printed line, in every size."),
    },
}
"""The commands by what they are for, each with its file and the first line of its help."""
HOMES = {name: home for group in COMMANDS.values() for name, home in group.items()}
OPTIONS = {
    "--version": "Print the version and stop.",
    "--install-completion": "Let the shell complete commands and options (bash, zsh, fish, PowerShell).",
    "--show-completion": "Print what does so, to put it where it belongs oneself.",
    "-h, --help": "Show this, or with a command before it what that takes.",
}
"""The options of the program itself."""


def help_text() -> str:
    """Give the help of the program, in lines as long as the terminal's, 100 signs at most."""
    width = min(shutil.get_terminal_size().columns, 100)
    parts = [
        "Usage: lessonplan COMMAND ...",
        textwrap.fill(SUMMARY, width),
        *(_list(title, {name: said for name, (_, said) in group.items()}, width) for title, group in COMMANDS.items()),
        _list("Options", OPTIONS, width),
        textwrap.fill("Example: lessonplan begin my_hat --made hat", width),
    ]
    return "\n\n".join(parts) + "\n"


def _list(title: str, entries: dict[str, str], width: int) -> str:
    return "\n".join([f"{title}:", *_entries(entries, width)])


def _entries(entries: dict[str, str], width: int) -> Iterator[str]:
    longest = max(map(len, entries))
    for name, said in entries.items():
        before = f"  {name.ljust(longest)}  "
        yield textwrap.fill(said, width, initial_indent=before, subsequent_indent=" " * len(before))
