"""The commands that tell what can be typed: the keys of the course files, and their schemas for editors."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lessonplan.commands.common import FILES, USAGE, JsonOpt, ended, ending
from lessonplan.terminal import say, show, show_json, tell


def _keys_begun(begun: str) -> list[str]:
    """The keys that begin so, for the shell to complete."""
    from lessonplan.reference.keys import every_key

    return sorted({key.name for key in every_key() if key.name.startswith(begun)})


def _schemas_begun(begun: str) -> list[str]:
    """The schemas that begin so, for the shell to complete."""
    from lessonplan.reference.schema import MODELS

    return [name for name in MODELS if name.startswith(begun)]


def keys(
    name: Annotated[
        str,
        typer.Argument(
            metavar="[NAME]", help="A key, “films”, or its place, “shoot.films”.", autocompletion=_keys_begun
        ),
    ] = "",
    page: Annotated[Path | None, typer.Option("--page", metavar="FILE", help="Write all of them as a page.")] = None,
    as_json: JsonOpt = False,
) -> None:
    """Tell of the keys of the course files, each with what it means.

    Example: lessonplan keys films
    """
    from lessonplan.documents.keylist import found, keys_data, keys_table, keys_view, no_such_key

    if page:
        from lessonplan.render.pages import PageError, write_page

        with ending(FILES, PageError):
            write_page(page, "keys.html", keys_view(), generator="lessonplan keys")
        tell(f"Written to {page}.")
        return
    known = found(name)
    if not known:
        raise ended(USAGE, no_such_key(name))
    if as_json:
        show_json(keys_data(known))
    else:
        show(keys_table(known))


def schema(
    name: Annotated[
        str,
        typer.Argument(
            metavar="[NAME]", help="course, pattern, episode, errata or agreed.", autocompletion=_schemas_begun
        ),
    ] = "",
    into: Annotated[
        Path | None, typer.Option("--into", metavar="COURSE", help="Write all of them into a course's folder “schema”.")
    ] = None,
) -> None:
    """Give the JSON Schemas by which an editor helps with the files.

    It completes keys, says what they mean, and underlines what is wrong. With --into they lie beside a course; what is
    then to stand in the first line of each file is said.

    Example: lessonplan schema course
    """
    from lessonplan.course.problems import did_you_mean
    from lessonplan.reference.schema import MODELS, modeline, schema_of, write_schemas

    if into:
        if not (into / "course.yaml").is_file():
            raise ended(USAGE, f"{into} is not the folder of a course: it holds no course.yaml.")
        for path in write_schemas(into):
            say(f"Written to {path}.")
        say("The first line of a file names its schema, so that an editor finds it:")
        for each in ("course.yaml", "pattern.yaml", "episodes/01.yaml", "errata.yaml"):
            say(f"  {each}: {modeline(each).strip()}")
    elif name in MODELS:
        show_json(schema_of(name))
    else:
        asked = f"There is no schema “{name}”. {did_you_mean(name, MODELS)}"
        raise ended(USAGE, asked if name else f"Name one: {', '.join(MODELS)}.")
