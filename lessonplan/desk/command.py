"""The command that opens the desk."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from typing import Annotated

import typer

from lessonplan.commands.common import FILES, USAGE, ended, ending
from lessonplan.terminal import say, show


def desk(
    course: Annotated[Path, typer.Argument(metavar="COURSE", help="The course's folder, or a course saved as .zip.")],
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="The port (default: the course's own).")] = 0,
    lan: Annotated[bool, typer.Option("--lan", help="Also for a tablet in the same network, by a QR code.")] = False,
) -> None:
    """Make and keep a course in the browser.

    Its values and texts, problems, documents, takes, what-ifs. The page is served on this machine alone, to whoever has
    the address that is shown; files stay the truth. In a new folder a course is begun. Ctrl-C ends.

    Example: lessonplan desk sample_course
    """
    if any(find_spec(name) is None for name in ("starlette", "uvicorn", "watchfiles")):
        raise ended(USAGE, "The desk needs a little more: pip install 'lessonplan[desk]'")
    from lessonplan.desk.guard import new_token
    from lessonplan.desk.serve import listen, run

    folder = _folder(course)
    try:
        served = listen(folder, port, lan=lan)
    except OSError as bad:
        raise ended(FILES, f"The desk cannot be opened: {bad.strerror}.") from None
    token = new_token()
    say(f"The desk of {folder}: {served.here}/?token={token}")
    if served.tablet:
        _tell_tablet(f"{served.tablet}/tablet?token={token}")
    say("Ctrl-C ends.")
    run(folder, served, token)


def _folder(course: Path) -> Path:
    """Give the folder of a course; one saved as a zip file is opened beside it first."""
    from lessonplan.desk.bundle import unpacked
    from lessonplan.desk.store import RefusedError

    if course.is_file() and course.suffix.lower() == ".zip":
        with ending(FILES, RefusedError):
            return unpacked(course.read_bytes(), course.resolve().parent)
    if not course.exists() and course.suffix.lower() == ".zip":
        raise ended(USAGE, f"{course} is not there.")
    if course.exists() and not course.is_dir():
        raise ended(USAGE, f"{course} is a file; a course is a folder.")
    course.mkdir(exist_ok=True)  # in a new folder the first page asks what to begin with
    return course


def _tell_tablet(address: str) -> None:
    """Show the tablet's address as a code to point a camera at, and as text."""
    import io

    import segno

    say(f"For the tablet, in the same network: {address}")
    drawn = io.StringIO()
    segno.make(address, error="l").terminal(drawn, compact=True, border=2)
    show(drawn.getvalue().rstrip("\n"))
