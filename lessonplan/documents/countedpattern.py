"""What is said of a whole printed pattern: the table for a terminal, the data for programs, the view of its page."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from lessonplan.craft.lengths import sizes_text
from lessonplan.craft.techniques import in_terms
from lessonplan.documents.tables import after_text, one_or_each, problem_data, table
from lessonplan.needle.count import CountProblem
from lessonplan.needle.pattern import SectionTotal, Whole, WholeLine
from lessonplan.printed.leaflet.contents import Entry

WIDTH = 64
"""Signs of a line that the table for a terminal shows."""
UNBROKEN = 24
"""Signs of a list of numbers that stays on one line."""
_SAYS = {
    "unread": "not read",
    "misfit": "does not fit",
    "disagrees": "counts disagree",
    "ambiguous": "more than one meaning",
    "follows": "follows from a line above",
    "remark": "remark",
    "sizes": "sizes",
    "asked": "for you to say",
}


@dataclass(frozen=True, slots=True)
class Trouble:
    """A problem as it is printed: its line, the name of the size or "", what kind, the sentence, its severity.

    `label` says what is to be done: "Mend", "Ask", "Look", or "Unread", which is no fault of the pattern.
    """

    line: int
    column: int
    size: str
    kind: str
    sentence: str
    severity: str
    label: str


@dataclass(frozen=True, slots=True)
class Row:
    """A thing printed and what was counted beside it; `state` is "agrees", "counted", "wrong", "unread" or ""."""

    line: int
    kind: str
    level: int
    text: str
    stitches: str = ""
    printed: str = ""
    rounds: str = ""
    unit: str = ""
    state: str = ""
    troubles: tuple[Trouble, ...] = ()


@dataclass(frozen=True, slots=True)
class Total:
    """What a section, or all of them, comes to."""

    name: str
    rounds: str
    stitches: str


@dataclass(frozen=True, slots=True)
class PatternView:
    """What stands on the page of a pattern."""

    title: str
    language: str
    sizes: tuple[str, ...]
    sizes_from: str
    figures: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    troubles: tuple[Trouble, ...]
    totals: tuple[Total, ...]
    techniques: tuple[tuple[str, str], ...]
    unexplained: tuple[tuple[str, int], ...]
    unused: tuple[tuple[str, int], ...]
    left_out: str


def pattern_view(whole: Whole, file: str) -> PatternView:
    """Make the view of a pattern's page; ``file`` is its name, for a pattern without a title."""
    printed = whole.printed
    troubles = _troubles(whole)
    rows = tuple(_rows(whole, troubles))
    title = next((row.text for row in rows if row.kind == "heading"), file)
    labels = [each.label for each in troubles]
    read = sum(1 for line in whole.lines if line.counted.stitches.count(None) == 0)
    names = ", ".join(printed.sizes)
    return PatternView(
        title=title,
        language=printed.language,
        sizes=printed.sizes,
        sizes_from=_sizes_from(whole),
        figures=(
            ("Sizes", names if len(printed.sizes) > 1 else "one"),
            ("Lines counted", f"{read} of {len(whole.lines)}"),
            ("To mend", str(labels.count("Mend"))),
            ("Not read", str(labels.count("Unread"))),
            ("To ask", str(labels.count("Ask"))),
            ("Remarks", str(labels.count("Look"))),
        ),
        rows=rows,
        troubles=troubles,
        totals=tuple(_totals(whole)),
        techniques=tuple((in_terms(name, whole.terms), _numbers(numbers)) for name, numbers in whole.techniques),
        unexplained=_lines_of(whole, whole.unexplained),
        unused=_lines_of(whole, whole.unused),
        left_out=_left_out(whole),
    )


def _lines_of(whole: Whole, words: Sequence[str]) -> tuple[tuple[str, int], ...]:
    """Give each abbreviation with the line that its problem names."""
    told = [each for each in whole.problems if each.kind == "abbreviation"]
    return tuple((word, next(each.line for each in told if each.sentence.startswith(f"“{word}”"))) for word in words)


def _sizes_from(whole: Whole) -> str:
    printed = whole.printed
    if len(printed.sizes) == 1:
        return "one size"
    if printed.sizes_line and printed.named == len(printed.sizes):
        return f"named in line {printed.sizes_line}"
    return "as many as most lists have numbers"


def _left_out(whole: Whole) -> str:
    """Say what the totals do not hold."""
    unread = sum(None in line.counted.stitches for line in whole.lines)
    lengths = sum("depends on the gauge" in each.sentence for each in whole.problems)
    said = []
    if unread:
        said.append(f"{unread} {'line' if unread == 1 else 'lines'} that could not be read or worked")
    if lengths:
        said.append(f"{lengths} {'length' if lengths == 1 else 'lengths'}, each worked once, since the gauge decides")
    return f"Without {' and '.join(said)}." if said else ""


def _troubles(whole: Whole) -> tuple[Trouble, ...]:
    """What is wrong with a pattern, in the order of its places."""
    return tuple(_trouble(whole, each) for each in whole.problems if each.kind != "abbreviation")


def _trouble(whole: Whole, problem: CountProblem) -> Trouble:
    size = "" if problem.size is None or len(whole.printed.sizes) == 1 else whole.printed.sizes[problem.size - 1]
    by_severity = {"error": "Mend", "warning": "Ask"}.get(problem.severity, "Look")
    label = {"unread": "Unread", "asked": "Ask"}.get(problem.kind, by_severity)
    return Trouble(
        line=problem.line, column=problem.column, size=size, kind=_SAYS[problem.kind], sentence=problem.sentence,
        severity=problem.severity, label=label,
    )  # fmt: skip


def _rows(whole: Whole, troubles: Sequence[Trouble]) -> Iterator[Row]:
    """Everything printed, in order; the sentences of a paragraph of prose are one again."""
    entries, counted = whole.printed.entries, {line.entry: line for line in whole.lines}
    places = [(each.line, each.column) for each in troubles]
    flats = {each.section: each.flat for each in whole.sections}
    index = 0
    while index < len(entries):
        entry, last = entries[index], index
        text = entry.spread.text
        while entry.kind == "prose" and last + 1 < len(entries) and _same_paragraph(entries[last], entries[last + 1]):
            last += 1
            text += " " + entries[last].spread.text
        mine = tuple(troubles[number] for number in _standing_in(entries[index : last + 1], places))
        line = counted.get(index)
        level = min(3, max(2, whole.printed.sections[entry.section].level)) if entry.kind == "heading" else 0
        clean = " ".join(text.split())
        if line is None:
            yield Row(entry.spread.line, entry.kind, level, clean, troubles=mine)
        else:
            yield _counted(entry, line, clean, mine, flats[line.section])
        index = last + 1


def _same_paragraph(entry: Entry, following: Entry) -> bool:
    return (
        following.kind == "prose"
        and following.spread.line == entry.spread.spots[-1][1]
        and not following.spread.heading
    )


def _standing_in(entries: Sequence[Entry], places: Sequence[tuple[int, int]]) -> list[int]:
    """Which of the problems, by their sorted places, are of these entries: on their lines, not before or after them."""
    found: set[int] = set()
    for entry in entries:
        first, last = entry.spread.spots[0], entry.spread.spots[-1]
        end = last[2] + len(entry.spread.text) - last[0]
        found.update(range(bisect_left(places, first[1:]), bisect_right(places, (last[1], end))))
    return sorted(found)


def _counted(entry: Entry, line: WholeLine, text: str, troubles: tuple[Trouble, ...], flat: bool) -> Row:
    numbers = line.counted.stitches
    wrong = any(each.severity == "error" for each in troubles)
    agrees = bool(line.printed) and not wrong and None not in numbers and not line.per
    agrees = agrees and all(line.printed[min(n, len(line.printed) - 1)] == one for n, one in enumerate(numbers))
    state = "wrong" if wrong else "unread" if None in numbers else "agrees" if agrees else "counted"
    printed = _numbers(line.printed) if wrong and line.printed else ""
    if line.per and not wrong and line.printed:
        printed = f"{_numbers(line.printed)} on each needle"
        state = "agrees" if state == "counted" else state
    rounds = _numbers(line.counted.rounds) if any(line.counted.rounds) else ""
    stitches = _breaking(after_text(line.counted))
    unit = _unit({flat}, rounds)
    return Row(
        line=entry.spread.line, kind="line", level=0, text=text, stitches=stitches, printed=printed, rounds=rounds,
        unit=unit, state=state, troubles=troubles,
    )  # fmt: skip


def _numbers(values: Sequence[int]) -> str:
    """Put the numbers of all sizes together."""
    return _breaking(sizes_text([*map(str, values)]))


def _breaking(text: str) -> str:
    """Let a long list of numbers be broken, so that it fits a telephone."""
    return text if len(text) <= UNBROKEN else text.replace("\N{NO-BREAK SPACE}", " ")


def _unit(flats: set[bool], rounds: str) -> str:
    """What rounds are called, of work that is flat or not: `row` of one, `rows and rounds` of both kinds."""
    if len(flats) == 2:
        return "rows and rounds"
    return ("row" if True in flats else "round") + ("" if rounds == "1" else "s")


def _name(whole: Whole, total: SectionTotal) -> str:
    name = whole.printed.sections[total.section].name or "before the first heading"
    return f"{name}, {total.times} times" if total.times > 1 else name


def _totals(whole: Whole) -> Iterator[Total]:
    for each in whole.sections:
        rounds = _numbers(each.rounds)
        yield Total(_name(whole, each), f"{rounds} {_unit({each.flat}, rounds)}", _numbers(each.stitches))
    rounds = _numbers(whole.rounds)
    flats = {each.flat for each in whole.sections}
    yield Total("In all", f"{rounds} {_unit(flats, rounds)}", _numbers(whole.stitches))


def pattern_table(whole: Whole) -> str:
    """Set a pattern as text: each line with its count in every size, then totals, techniques, abbreviations."""
    signs = {"agrees": "as printed", "wrong": "WRONG", "unread": "?", "counted": ""}
    rows = []
    view = pattern_view(whole, "")
    for row in view.rows:
        text = row.text if len(row.text) <= WIDTH else row.text[: WIDTH - 1] + "…"
        if row.kind == "line":
            rows.append((str(row.line), text, row.stitches, signs[row.state], row.rounds))
        elif row.kind == "heading":
            rows.append((str(row.line), text.upper(), "", "", ""))
    sizes = f" ({', '.join(view.sizes)})" if len(view.sizes) > 1 else ""
    parts = [table(("Line", f"Printed{sizes}", "Stitches", "", "Rounds"), rows, frozenset({0}))]
    totals = [(each.name, each.rounds, each.stitches) for each in view.totals]
    parts.append(table(("Section", "Rows or rounds", "Stitches made"), totals))
    if view.left_out:
        parts[-1] += f"\n{view.left_out}"
    if view.techniques:
        parts.append("Techniques: " + ", ".join(f"{name} {numbers}" for name, numbers in view.techniques))
    if view.unexplained:
        parts.append(
            "Used, but not explained: " + ", ".join(f"{word} (line {line})" for word, line in view.unexplained)
        )
    if view.unused:
        parts.append("Explained, but not used: " + ", ".join(f"{word} (line {line})" for word, line in view.unused))
    return "\n\n".join(parts)


def pattern_problems(whole: Whole, file: str) -> Iterator[str]:
    """Word each problem as one line with its place."""
    for each in _troubles(whole):
        size = f"size {each.size}: " if each.size else ""
        yield f"{file}:{each.line}:{each.column}: {each.severity}, {each.kind}: {size}{each.sentence}"


def pattern_data(whole: Whole) -> dict[str, Any]:
    """Give a pattern as plain values: ``lines`` as `count_data` has them, with their place and what is printed."""
    printed = whole.printed
    entries, sections = printed.entries, printed.sections
    return {
        "sizes": list(printed.sizes),
        "sizes_line": printed.sizes_line or None,
        "lines": [
            {
                "line": entries[one.entry].spread.line,
                "section": sections[one.section].name,
                "text": " ".join(one.counted.text.split()),
                "stitches": list(one.counted.stitches),
                "sure": all(one.counted.sure),
                "spaces": one_or_each(one.counted.spaces or (0,)),
                "printed": list(one.printed) or None,
                "on_each_needle": one.per == "needle",
                "rounds": one_or_each(one.counted.rounds),
                "techniques": {name: one_or_each(counts) for name, counts in one.counted.techniques},
            }
            for one in whole.lines
        ],
        "sections": [
            {
                "name": sections[each.section].name,
                "rows": each.flat,
                "times": each.times,
                "rounds": one_or_each(each.rounds),
                "stitches": one_or_each(each.stitches),
            }
            for each in whole.sections
        ],
        "rounds": one_or_each(whole.rounds),
        "stitches": one_or_each(whole.stitches),
        "techniques": {name: one_or_each(numbers) for name, numbers in whole.techniques},
        "abbreviations": {
            "used": dict(sorted(whole.used.items())),
            "not_explained": list(whole.unexplained),
            "not_used": list(whole.unused),
        },
        "problems": [problem_data(one) for one in whole.problems],
    }
