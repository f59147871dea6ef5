"""What is said on a terminal: in characters that it has, without commands to it, to whoever still listens."""

from __future__ import annotations

import os
import shutil
import sys
import threading
import time
from datetime import datetime
from typing import TYPE_CHECKING, Any, TextIO

from lessonplan import __version__
from lessonplan.course.signs import UNSEEN, one_line
from lessonplan.course.words import capital

if TYPE_CHECKING:
    from lessonplan.course.problems import Problem

_COLOURS = {"error": "31;1", "warning": "33", "note": "36"}
"""How the three severities are set off where there is colour: red, yellow, cyan of the terminal's own palette."""
_CLEAR = "\r\x1b[K"
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


def as_day(text: str) -> datetime:
    """Read a day that an option gives, ``2027-03-14``; what is none is told as in a file of a course."""
    from typer import BadParameter

    from lessonplan.course.values.fields import day_in

    try:
        return datetime.combine(day_in(text), datetime.min.time())
    except ValueError as bad:
        raise BadParameter(f"{capital(str(bad))}.", param_hint="'--today'") from None


def say(text: object) -> None:
    """Print one line on standard output; what a terminal would obey comes out as blanks."""
    _print(one_line(str(text)), sys.stdout)


def tell(text: object) -> None:
    """Print one line on standard error, else like `say`."""
    _print(one_line(str(text)), sys.stderr)


def tell_problem(problem: Problem) -> None:
    """Print a problem on standard error, on a terminal with colour on how bad it is."""
    line = one_line(str(problem))
    if coloured(sys.stderr):
        word = f" {problem.severity} {problem.code}: "
        line = line.replace(word, f" \x1b[{_COLOURS[problem.severity]}m{word.strip()}\x1b[0m ", 1)
    _print(line, sys.stderr)


def begin_anew() -> None:
    """Clear a terminal for what is said next, so that only it is to be seen."""
    if sys.stdout.isatty():
        print("\x1b[2J\x1b[H", end="", flush=True)


def coloured(stream: TextIO) -> bool:
    """Tell whether a stream takes colour: a terminal that is not a plain one, unless NO_COLOR stands (no-color.org)."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    knows = sys.platform != "win32" or bool(os.environ.keys() & {"WT_SESSION", "TERM", "ANSICON"})
    return stream.isatty() and not plain and knows


def columns() -> int | None:
    """Give how many columns the terminal has that standard output goes to; None for a file or a pipe."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else None


def show(table: str) -> None:
    """Print several lines on standard output, else like `say`."""
    _print("\n".join(map(one_line, table.split("\n"))), sys.stdout)


def show_json(data: Any) -> None:
    """Print data as JSON; what a terminal would obey, or the stream has no sign for, is escaped as JSON has it."""
    import json

    every_sign = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    _print(json.dumps(data, indent=2, ensure_ascii=not every_sign).translate(_ESCAPES), sys.stdout)


def finish() -> None:
    """Bring out what is still held back. Raises ``OSError`` when the place it goes to is full."""
    _let_go(sys.stdout)
    _let_go(sys.stderr)


def fault() -> str:
    """Keep where the program itself went wrong, in a file, and word it in one sentence (inside an ``except``)."""
    import platform
    import tempfile
    import traceback

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


class Ticker:
    """One line on a terminal's standard error for work that takes longer than a second; silent elsewhere.

    As a context it says ``text`` with the seconds passed, until a step of the work says more of itself.
    """

    def __init__(self, text: str = "Working") -> None:
        self.text = text
        self.began = time.monotonic()
        self.shown = False
        self.done = threading.Event()
        self.thread: threading.Thread | None = None

    def __enter__(self) -> Ticker:
        """Begin to show how long it takes."""
        if sys.stderr.isatty():
            self.thread = threading.Thread(target=self._tick, daemon=True)
            self.thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        """Take the line away."""
        self.done.set()
        if self.thread:
            self.thread.join()
        self.clear()

    def _tick(self) -> None:
        while not self.done.wait(1):
            self.show(f"{self.text}: {time.monotonic() - self.began:.0f} s")

    def __call__(self, best: float | None, bound: float | None) -> None:
        """Keep how the choice of samples goes, as its progress is told."""
        self.text = "Choosing samples"
        if best is not None and bound is not None and best > 0:
            self.text += f", within {max(0.0, best - bound) / best:.1%} of the best"
        self.show(f"{self.text}: {time.monotonic() - self.began:.0f} s")

    def step(self, text: str) -> None:
        """Say how far the work is."""
        self.text = text
        self.show(text)

    def show(self, text: str) -> None:
        """Write over the line, once a second has passed."""
        if sys.stderr.isatty() and time.monotonic() - self.began > 1:
            print(f"{_CLEAR}{text}", end="", file=sys.stderr, flush=True)
            self.shown = True

    def clear(self) -> None:
        """Take the line away."""
        if self.shown:
            print(_CLEAR, end="", file=sys.stderr, flush=True)
            self.shown = False


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
