"""The command that begins a course: options, interview, files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lessonplan.terminal import as_day, say, show, show_json, tell

if TYPE_CHECKING:
    from lessonplan.beginning.sources import Begun, Sources
    from lessonplan.beginning.written.given import Taken

USAGE, FILES = 2, 3
SHOWN = 44
"""Signs of a printed line that its table shows."""


def begin(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new folder for the course.")],
    made: Annotated[str | None, typer.Option("--made", help="hat, mittens, socks, scarf, cowl, shawl ...")] = None,
    craft: Annotated[str | None, typer.Option("--craft", help="Which craft, for something else.")] = None,
    title: Annotated[str | None, typer.Option("--title", help="What the course is called.")] = None,
    host: Annotated[str | None, typer.Option("--host", help="Who teaches it.")] = None,
    sizes: Annotated[str | None, typer.Option("--sizes", help="“child, adult”.")] = None,
    gauge: Annotated[str | None, typer.Option("--gauge", help="“20 x 28 to 10 cm”: stitches, rounds, length.")] = None,
    needle: Annotated[str | None, typer.Option("--needle", help="“4.5 mm”.")] = None,
    colours: Annotated[str | None, typer.Option("--colours", help="One colour, or two: “oatmeal, blue”.")] = None,
    episodes: Annotated[str | None, typer.Option("--episodes", help="How many.")] = None,
    shoot: Annotated[str | None, typer.Option("--shoot", help="How many days, or on which: “2027-03-13”.")] = None,
    knitters: Annotated[str | None, typer.Option("--knitters", help="Who makes the samples.")] = None,
    hours: Annotated[str | None, typer.Option("--hours", help="Hours a week of each of them.")] = None,
    pace: Annotated[str | None, typer.Option("--pace", help="Stitches a minute.")] = None,
    pattern: Annotated[
        Path | None, typer.Option("--pattern", metavar="FILE", help="A written pattern: text, Markdown, .docx or PDF.")
    ] = None,
    script: Annotated[
        Path | None,
        typer.Option("--script", metavar="FILE", help="A written script: its episodes, segments and shots."),
    ] = None,
    captions: Annotated[
        Path | None,
        typer.Option("--captions", metavar="FILE", help="Captions of an earlier video: a draft of segments."),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Ask nothing: what is not given takes its default.")] = False,
    today: Annotated[
        datetime | None, typer.Option("--today", parser=as_day, metavar="DATE", help="The day on which it is begun.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print what was written for programs; asks nothing.")] = False,
) -> None:
    """Ask a few questions and write a first course that works.

    Then change it, check it, build it. With --pattern, --script or --captions it is begun from what is written
    already; what each line was taken for, and what is left to do, is printed as a table. No file is written over.

    Example: lessonplan begin my_hat --pattern hat.docx --script script.txt
    """
    from lessonplan.beginning.questions import QUESTIONS
    from lessonplan.beginning.sources import Sources

    options: dict[str, str | None] = locals()  # each question has an option of its name
    given = {one.name: text for one in QUESTIONS if (text := options[one.name]) is not None}
    day = (today or datetime.now()).date()
    begun = _begun(folder, given, day, Sources(pattern, script, captions), silent=yes or as_json)
    for sentence in begun.remarks:
        tell(sentence)
    if as_json:
        show_json(_data(folder, begun))
        return
    for file, taken in begun.taken.items():
        _show_taken(file, taken)
    shown = [path.relative_to(folder).as_posix() for path in begun.files if path.suffix != ".json"]
    say(f"Written to {folder}: {', '.join(shown)}; schema/ is for your editor.")
    say(f"Filmed on {', '.join(str(one) for one in begun.days)}. Next: lessonplan {_next(begun)} {folder}")


def _begun(folder: Path, given: Mapping[str, str], day: date, sources: Sources, *, silent: bool) -> Begun:
    """Begin a course, asking what is not given; what goes wrong is one sentence and an exit status."""
    from lessonplan.beginning.questions import BACK, AnswerError, answers_of, interview
    from lessonplan.beginning.sources import begin_from
    from lessonplan.course.files import UnfitError

    def ask(texts: Mapping[str, str]) -> Mapping[str, str]:
        """Complete the answers given by an interview, or leave them as they are where nothing is to be asked."""
        if silent:
            return texts
        answers_of(texts, day)
        say(f"Enter takes what stands in brackets; “{BACK}” goes back to the question before.")
        return interview(texts, day, lambda asked, default: typer.prompt(asked, default=default), say)

    try:
        return begin_from(folder, given, day, sources, ask)
    except (AnswerError, FileExistsError) as bad:
        option = getattr(bad, "name", "")
        tell(f"--{option}: {bad}" if option in given else bad)
        raise typer.Exit(USAGE) from None
    except UnfitError as bad:
        tell(bad)
        raise typer.Exit(FILES) from None


def _next(begun: Begun) -> str:
    return "check" if begun.taken else "build"


def _show_taken(file: str, taken: Sequence[Taken]) -> None:
    """Print what each line of a file was taken for, and what is left to do."""
    from lessonplan.documents.tables import table

    rows = [(str(one.line), _short(one.text), one.kind, one.stands, one.left) for one in taken]
    show(
        f"What was taken from {file}:\n\n" + table(("line", "printed", "taken for", "stands in", "left for you"), rows)
    )
    left = sum(bool(one.left) for one in taken)
    show(f"\n{len(taken)} lines and sentences, {left} of them with something left for you.\n")


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= SHOWN else f"{plain[: SHOWN - 1]}…"


def _data(folder: Path, begun: Begun) -> dict[str, object]:
    """What was begun, as JSON data."""
    return {
        "folder": str(folder),
        "files": [path.relative_to(folder).as_posix() for path in begun.files],
        "days": [str(one) for one in begun.days],
        "remarks": list(begun.remarks),
        "taken": [{"file": file, **asdict(one)} for file, taken in begun.taken.items() for one in taken],
    }
