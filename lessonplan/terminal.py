"""What is said on a terminal: in characters that it has, without commands to it, to whoever still listens."""

from __future__ import annotations

import json
import os
import platform
import sys
import tempfile
import traceback
from typing import Any, TextIO

from lessonplan import __version__
from lessonplan.course.problems import UNSEEN, one_line

_ESCAPES = {code: f"\\u{code:04x}" for code in (*UNSEEN - {ord("\n")}, *range(0xD800, 0xE000))}
"""What of JSON's own text is written otherwise: also halves of characters, which come from odd file names."""


def make_ready() -> None:
    """Let both streams take any text, also where they were closed or their encoding has not every character."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by the caller, or a program without a console
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115, PTH123
        elif hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


def say(text: object) -> None:
    """Print one line on standard output; what a terminal would obey comes out as blanks."""
    _print(one_line(str(text)), sys.stdout)


def tell(text: object) -> None:
    """Print one line on standard error, else like `say`."""
    _print(one_line(str(text)), sys.stderr)


def show(table: str) -> None:
    """Print several lines on standard output, else like `say`."""
    _print("\n".join(map(one_line, table.split("\n"))), sys.stdout)


def show_json(data: Any) -> None:
    """Print data as JSON; what a terminal would obey, or the stream has no sign for, is escaped as JSON has it."""
    every_sign = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    _print(json.dumps(data, indent=2, ensure_ascii=not every_sign).translate(_ESCAPES), sys.stdout)


def finish() -> None:
    """Bring out what is still held back. Raises ``OSError`` when the place it goes to is full."""
    _let_go(sys.stdout)
    _let_go(sys.stderr)


def fault() -> str:
    """Keep where the program itself went wrong, in a file, and word it in one sentence (inside an ``except``)."""
    kind = sys.exc_info()[0]
    about = f"lessonplan {__version__}, Python {platform.python_version()}, {platform.platform()}\n{sys.argv}\n\n"
    sentence = f"lessonplan went wrong by a fault of its own ({kind.__name__ if kind else 'unknown'})"
    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="lessonplan-fault-", suffix=".txt", delete=False, encoding="utf-8", errors="backslashreplace"
        ) as file:
            file.write(about + traceback.format_exc())
    except OSError:
        return f"{sentence}, and where could not be written down."
    return f"{sentence}; where stands in {file.name}, which those who make it need."


def _print(text: str, stream: TextIO) -> None:
    try:
        print(text, file=stream)
    except BrokenPipeError:
        _nobody_listens(stream)


def _let_go(stream: TextIO) -> None:
    try:
        stream.flush()
    except BrokenPipeError:
        _nobody_listens(stream)


def _nobody_listens(stream: TextIO) -> None:
    """Go on into the void: the work, and the exit status, do not depend on the reader of a pipe."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
