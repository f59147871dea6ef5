"""Lengths of a whole pattern made rows by a gauge: “until the body measures 16 cm” is worked as “for 48 rows”."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from lessonplan.craft.gauge import Fabric, rounded
from lessonplan.craft.lengthinline import line_length, measured_from
from lessonplan.needle.count import CountProblem
from lessonplan.needle.decided.results import NOTE
from lessonplan.needle.flat import parsed
from lessonplan.needle.pattern import ASKS_GAUGE, Whole, WholeLine, work_whole
from lessonplan.needle.pieces import groups_of
from lessonplan.printed.leaflet.contents import Printed
from lessonplan.printed.tree import Again, Part
from lessonplan.printed.words.languages import Read

PerSize = tuple[int, ...]
_UNTIL = re.compile(r"\b(?:until|till)\b(?:(?!\buntil\b|\btill\b).)*$")
_REST = re.compile(r".*?(?=\.\s|\.?$)")
_TO_A_SIDE = re.compile(r"\bend\w*\b.{0,20}\b(WS|RS|wrong|right)", re.IGNORECASE)
_TO_A_ROW = re.compile(r"\bend\w*\b.{0,20}?\b(?:row|rnd|round)\s+(\d+)", re.IGNORECASE)


def work_by_gauge(printed: Printed, fabric: Fabric, *, flat: bool = False, **asked: Any) -> Whole:
    """Work a sorted pattern, its lines to a length with as many rounds as a gauge gives; ``asked`` as for `work_whole`.

    Left as it is, and told, is a line that has more to it than rows worked over and over, or whose length begins where
    nobody can tell how long the piece is by then.
    """
    plain = work_whole(printed, flat=flat, **asked)
    found = _lengths(plain, fabric, flat=flat)
    while found:
        whole = work_whole(_told_in_rounds(printed, found), flat=flat, **asked)
        once = {one.entry: one.counted.stitches for one in plain.lines}
        wrong = {
            one.entry
            for one in whole.lines
            if one.entry in found
            and (one.counted.rounds, one.counted.stitches) != (found[one.entry][0], once[one.entry])
        }
        if not wrong:
            notes = (_note(printed, entry, rounds, unit) for entry, (rounds, unit) in found.items())
            problems = sorted((*whole.problems, *notes), key=lambda one: (one.line, one.column))
            return replace(whole, printed=printed, problems=tuple(problems))
        found = {entry: one for entry, one in found.items() if entry not in wrong}
    return plain


def _lengths(whole: Whole, fabric: Fabric, *, flat: bool) -> dict[int, tuple[PerSize, str]]:
    """Give the rounds in each size, and what they are called, of each line to a length, by its entry."""
    places = {entry.spread.line: place for place, entry in enumerate(whole.printed.entries)}
    asked = {places[one.line] for one in whole.problems if ASKS_GAUGE in one.sentence and one.line in places}
    rows = {one.section: one.flat for one in whole.sections}
    found: dict[int, tuple[PerSize, str]] = {}
    for group in groups_of(whole.printed, flat):
        inside = {entry for entry, _ in group.entries}
        mine = [one for one in whole.lines if one.entry in inside]
        for place, line in enumerate(mine):
            again = _again(whole.printed, line)
            if line.entry in asked and (again or {*line.counted.rounds} == {1}):
                unknown = [one.entry in asked and one.entry not in found for one in mine[:place]]
                known = [replace(one, counted=replace(one.counted, stitches=(None,))) if no else one
                         for no, one in zip(unknown, mine[:place], strict=True)]  # fmt: skip
                unit = "rows" if rows.get(line.section, flat) else "rounds"
                rounds = _rounds(whole.printed, known, line, fabric, found, flat=unit == "rows")
                found |= {line.entry: (rounds, unit)} if rounds else {}
    return found


def _again(printed: Printed, line: WholeLine) -> Again | None:
    """The repeat of rows before it that is all that a line to a length asks for."""
    only = _part(printed, printed.entries[line.entry].read.text)
    return only if isinstance(only, Again) and only.measured else None


def _part(printed: Printed, text: str) -> Part | None:
    read = parsed(printed, text)
    if read is None or not read.parts or not all(isinstance(each, Again) for each in read.parts[1:]):
        return None
    return read.parts[0]  # `until it measures 20 cm, ending with row 2` is that row again


def ends_on(printed: Printed, above: Sequence[WholeLine], line: WholeLine, *, flat: bool) -> tuple[int, int]:
    """Tell what a line to a length ends on: so many rows over a multiple, as (multiple, over); (0, 0): nobody knows.

    It is a row of the repeat by its number, or a side, told from the side of the row before; without one from an even
    number of rows.
    """
    text = printed.entries[line.entry].read.text
    again = _again(printed, line)
    if again is not None and (told := _TO_A_ROW.search(text)) is not None:
        first = again.first[0] if again.which == "numbers" else 1
        many = again.last[0] - first + 1 if again.which == "numbers" else again.first[0]
        place = int(told[1]) - first + 1
        return (many, place % many) if 0 < place <= many else (0, 0)
    side = _TO_A_SIDE.search(text) if flat else None
    if side is None:
        return 1, 0
    before = parsed(printed, printed.entries[above[-1].entry].read.text) if again is not None and above else None
    known = before is not None and before.label.side and {*above[-1].counted.rounds} == {1}
    wrong = side[1].upper()[0] == "W"
    if before is None or not known:
        return (2, 0) if wrong else (1, 0)
    return 2, int((before.label.side == "RS") == wrong)


def _rounds(
    printed: Printed,
    above: Sequence[WholeLine],
    line: WholeLine,
    fabric: Fabric,
    found: Mapping[int, tuple[PerSize, str]],
    *,
    flat: bool,
) -> PerSize:
    """How many rounds a length takes in each size: those of all of it without those that are worked by then."""
    text, count = printed.entries[line.entry].read.text, len(printed.sizes)
    length = line_length(text, count)
    begins = measured_from(text, printed.sections[line.section].name) if length else "elsewhere"
    before = [one for one in above if begins == "piece" or (begins == "part" and one.section == line.section)]
    if length is None or begins == "elsewhere" or any(None in one.counted.stitches for one in before):
        return ()
    done = [found[one.entry][0] if one.entry in found else one.counted.rounds for one in before]
    left = [value * fabric.rounds_per_mm - sum(each[size] for each in done) for size, value in enumerate(length.values)]
    many, over = ends_on(printed, above, line, flat=flat)
    if min(left) < 1 or not many:
        return ()
    rounds = tuple(over + many * rounded((one - over) / many) for one in left)
    return rounds if min(rounds) >= 1 else ()


def _told_in_rounds(printed: Printed, found: Mapping[int, tuple[PerSize, str]]) -> Printed:
    """The pattern with its lengths told in rounds, so that whoever works it alternates rows and counts as ever."""
    entries = list(printed.entries)
    for entry, (rounds, unit) in found.items():
        text = entries[entry].read.text
        length = line_length(text, len(printed.sizes))
        assert length is not None
        until = _UNTIL.search(text[: length.start])
        rest = _REST.match(text, length.end)
        start, end = (until.start(), rest.end() if rest else len(text)) if until else (length.start, length.told)
        more = "more " if isinstance(_part(printed, text), Again) else ""
        told = f"{'for ' if until else ''}{_numbers(rounds)} {more}{unit}"
        entries[entry] = replace(entries[entry], read=Read(f"{text[:start]}{told}{text[end:]}"))
    return replace(printed, entries=tuple(entries))


def _numbers(rounds: PerSize) -> str:
    first, *others = rounds
    return f"{first} ({', '.join(map(str, others))})" if others else str(first)


def _note(printed: Printed, entry: int, rounds: PerSize, unit: str) -> CountProblem:
    said = _numbers(rounds if len({*rounds}) > 1 else rounds[:1])
    sentence = f"its length is {said} {unit} by the gauge that stands in this pattern"
    return CountProblem(*printed.entries[entry].place(1), None, sentence, NOTE, "remark")
