"""What the command `count` is given and what it prints: single lines, or a whole pattern from a file."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lessonplan.commands.common import FILES, FINE, PROBLEMS, ending
from lessonplan.terminal import show, show_json, tell

if TYPE_CHECKING:
    from lessonplan.needle.count import Counted

UNREAD = 4
MOST_BYTES = 500_000


def count(
    lines: Annotated[list[str] | None, typer.Argument(metavar="LINE...", help="Lines; - reads standard input.")] = None,
    on: Annotated[str, typer.Option("--on", help="Stitches on the needles; for several sizes “48 (52, 56)”.")] = "0",
    file: Annotated[Path | None, typer.Option("--file", help="Read a whole pattern (text or Markdown).")] = None,
    page: Annotated[Path | None, typer.Option("--page", metavar="FILE", help="Also write the pattern's page.")] = None,
    until: Annotated[int | None, typer.Option("--until", min=1, help="Repeat until so many stitches remain.")] = None,
    markers: Annotated[str, typer.Option("--markers", help="Markers after so many stitches: 16,32,48.")] = "",
    flat: Annotated[bool, typer.Option("--flat", help="Work rows, turned, instead of rounds.")] = False,
    terms: Annotated[str, typer.Option("--terms", help="Crochet terms of the lines: us or uk.")] = "us",
    printed_in: Annotated[str, typer.Option("--language", metavar="en|de", help="The language of the print.")] = "en",
    as_json: Annotated[bool, typer.Option("--json", help="Print the same data for programs, as JSON.")] = False,
) -> None:
    """Count the stitches after each printed line, in every size.

    With --file those of a whole pattern as printed; lengths by the gauge that stands in it.

    Example: lessonplan count "K1, ssk, k to last 3 sts, k2tog, k1" --on 64
    """
    from lessonplan.course.files import UnfitError
    from lessonplan.documents.reports import count_data, count_table
    from lessonplan.render.pages import PageError

    sizes, spoken = numbers(on, "--on"), language(printed_in)
    if terms not in ("us", "uk"):
        raise typer.BadParameter("crochet terms are us or uk", param_hint="--terms")
    if file is not None and (lines or until or markers):
        raise typer.BadParameter("a whole pattern says for itself what is worked", param_hint="--file")
    if file is not None:
        with ending(FILES, UnfitError, PageError):
            raise typer.Exit(pattern(file, sizes, spoken, flat=flat, page=page, as_json=as_json, terms=terms))
    if page is not None:
        raise typer.BadParameter("a page is written of a whole pattern; give it with --file", param_hint="--page")
    given = lines_given(lines or [])
    counted = counted_in(given, sizes, spoken, markers=markers, flat=flat, until=until, terms=terms)
    if as_json:
        show_json(count_data(counted))
    else:
        show(count_table(counted))
        for problem in counted.problems:
            size = "" if problem.size is None else f"size {problem.size}: "
            place = f"line {problem.line}:{problem.column}"
            said = problem.severity if problem.kind == "remark" else f"{problem.severity}, {problem.kind}"
            tell(f"{place}: {said}: {size}{problem.sentence}")
    raise typer.Exit(status({each.kind for each in counted.problems if each.severity != "note"}))


def lines_given(words: list[str]) -> list[str]:
    """Take the lines from the arguments or standard input; empty lines are passed over."""
    texts: list[str] = []
    for word in words:
        texts += sys.stdin.read().splitlines() if word == "-" else word.splitlines()
    texts = [text for text in texts if text.strip()]
    if not texts:
        raise typer.BadParameter("no line is given", param_hint="LINE")
    return texts


def places(text: str, sizes: int) -> list[list[int]]:
    """Take the places of markers: `16,32,48` in every size, or `20 (22), 40 (44)` with one number for each."""
    found = [numbers(piece, "--markers") for piece in re.split(r",(?![^(\[]*[)\]])", text) if piece.strip()]
    if any(len(each) not in (1, sizes) for each in found):
        raise typer.BadParameter(f"“{text}” has not one number for each of {sizes} sizes", param_hint="--markers")
    return found


def numbers(text: str, option: str) -> list[int]:
    """Take `64` or `48 (52, 56)`, one number for each size."""
    from lessonplan.course.values.quantities import read_whole, split_sizes

    parts = [part.strip() for piece in split_sizes(text) for part in piece.split(",") if part.strip()]
    try:
        return [read_whole(part) for part in parts]
    except ValueError as bad:
        raise typer.BadParameter(f"{bad}; write for example 64 or 48 (52, 56)", param_hint=option) from None


def language(text: str) -> str:
    """Take the language of print."""
    from lessonplan.printed.words.languages import LANGUAGES

    if text not in LANGUAGES:
        raise typer.BadParameter(f"“{text}” is none of {', '.join(LANGUAGES)}", param_hint="--language")
    return text


def counted_in(
    texts: list[str], on: list[int], printed_in: str, *, markers: str, flat: bool, until: int | None, terms: str
) -> Counted:
    """Count single lines, each read in its language, with problems at their place in the print."""
    from lessonplan.needle.count import count_lines
    from lessonplan.printed.words.languages import read_in

    read = [read_in(text, printed_in) for text in texts]
    marks = places(markers, len(on))
    counted = count_lines([each.text for each in read], on, markers=marks, flat=flat, until=until, terms=terms)
    shown = tuple(replace(line, text=text) for line, text in zip(counted.lines, texts, strict=True))
    found = tuple(replace(one, column=read[one.line - 1].at(one.column - 1) + 1) for one in counted.problems)
    return replace(counted, lines=shown, problems=found)


def status(kinds: set[str]) -> int:
    """Give the exit status for the kinds of problems (no notes): what was only not read is no fault of the pattern."""
    return FINE if not kinds else UNREAD if kinds <= {"unread", "asked"} else PROBLEMS


def pattern(
    file: Path, on: list[int], printed_in: str, *, flat: bool, page: Path | None, as_json: bool, terms: str
) -> int:
    """Count a whole pattern, print it, write its page; gives the exit status.

    Raises ``OSError`` and `UnfitError` for a file that cannot be read, `PageError` for a page that is not written.
    """
    from lessonplan.beginning.written.materials import gauge_printed
    from lessonplan.course.files import decode, read_plain
    from lessonplan.course.problems import Where
    from lessonplan.documents.countedpattern import pattern_data, pattern_problems, pattern_table, pattern_view
    from lessonplan.needle.measured import work_by_gauge
    from lessonplan.needle.pattern import work_whole
    from lessonplan.printed.leaflet.contents import read_whole
    from lessonplan.render.pages import write_page

    text = decode(read_plain(file, Where(str(file)), MOST_BYTES), str(file))
    printed = read_whole(text, printed_in, len(on))
    gauge = gauge_printed(printed)
    worked = partial(work_by_gauge, fabric=gauge.as_fabric()) if gauge else work_whole
    whole = worked(printed, on=on, flat=flat, terms=terms)
    if as_json:
        show_json({"file": str(file), **pattern_data(whole)})
    else:
        show(pattern_table(whole))
        for said in pattern_problems(whole, str(file)):
            tell(said)
    if not whole.lines:
        tell(f"{file}: nothing in it is an instruction that is worked.")
        return PROBLEMS
    if page is not None:
        write_page(page, "pattern.html", pattern_view(whole, file.stem), generator="lessonplan count")
        tell(f"Written to {page}.")
    return status({each.kind for each in whole.problems if each.severity != "note"})
