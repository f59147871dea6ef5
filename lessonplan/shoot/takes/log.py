"""The take log: its format, reading it and writing it back.

A log is a CSV file (UTF-8, with or without a byte order mark; commas, semicolons or tabs; any line ends). Its first
line names the columns, in any order. ``day``, ``shot``, ``take``, ``start`` and ``stop`` are needed:

========= ==========================================================================================
id        unique: the device's name and a counter, ``tablet-17``; may be empty in a typed log
device    which device logged it; may be empty in a typed log
day       ``2027-03-06``
shot      ``2.4.1``
slate     of the shot, where slates are agreed: ``17``; then the number of the shot may be empty
title     of the shot; empty in most typed logs
take      1, 2, ...
start     ``09:31:05`` by the device's clock (``9:31``, ``9:31:05 am`` do too; past midnight ``24:10:00``)
stop      the same; empty when the battery died
verdict   ``best``, ``usable``, ``again`` or empty; older logs have ``good``
slip      a slip of the tongue: what was said, or ``yes`` when it was tapped only
note      anything else
camera    which camera filmed it, as course.yaml names it
card      the card that it lies on
clip      the file or clip on the card: ``C0012``; where the camera stopped in the take, ``C0012 C0013``
timecode  the camera's own clock at the start: ``09:31:17``, ``09:31:17:12``
========= ==========================================================================================

Other columns are the teacher's own: they are not read, but kept with the take and written back.
"""

from __future__ import annotations

import contextlib
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal, get_args

from lessonplan.course.cells import csv_bytes, unguarded
from lessonplan.course.files import UnfitError, decode
from lessonplan.course.problems import Problem, Where, did_you_mean, error, note, warning

CLIP = ("camera", "card", "clip", "timecode")
COLUMNS = ("id", "device", "day", "shot", "slate", "title", "take", "start", "stop", "verdict", "slip", "note", *CLIP)
AT_NEED = frozenset(("slate", "title", *CLIP))
"""The columns that stand in a log only where something stands in them."""
NEEDED = ("day", "shot", "take", "start", "stop")
MAX_BYTES = 5_000_000
MAX_LINES = 50_000
MAX_LINES_OF_A_CELL = 20
MAX_TAKE_SECONDS = 12 * 3600
_QUOTED = re.compile(r' *"((?:[^"]|"")*)("?)')

Verdict = Literal["best", "good", "usable", "again", ""]
USABLE: tuple[Verdict, ...] = ("usable", "good", "best")
"""The verdicts on takes that can be used, the best last; older logs have one only, ``good``."""


@dataclass(frozen=True, slots=True)
class Take:
    """One take as logged. Start and stop are whole seconds after the day's midnight; None where not logged.

    ``own`` holds the cells of the teacher's own columns by name; they and the place in the file take no part in
    comparisons.
    """

    id: str
    device: str
    day: date
    shot: str
    take: int
    start: int | None
    stop: int | None
    verdict: Verdict = ""
    slip: str = ""
    note: str = ""
    slate: int = 0
    title: str = ""
    camera: str = ""
    card: str = ""
    clip: str = ""
    timecode: str = ""
    where: Where = field(default=Where(), compare=False)
    own: tuple[tuple[str, str], ...] = field(default=(), compare=False)

    @property
    def seconds(self) -> int | None:
        """Length in seconds, or None when start or stop is missing."""
        return None if self.start is None or self.stop is None else self.stop - self.start


def read_log(data: bytes, file: str) -> tuple[tuple[Take, ...], tuple[Problem, ...]]:
    """Read one log. Gives the takes in the order of the file, and every problem; no input raises.

    Lines without a readable day, shot and take number are reported as errors and left out.
    """
    text, wrong = _decode(data, file)
    if wrong:
        return (), (wrong,)
    lines = re.split(r"\r\n|\r|\n", text)
    if len(lines) > MAX_LINES:
        what = f"This log has {len(lines)} lines; a take log may have {MAX_LINES} at most."
        return (), (error(Where(file), "too-big", what),)
    first = next(number for number, line in enumerate(lines) if line.strip())
    separator = max(",;\t", key=lines[first].count)
    header, _ = _split(lines[first], separator)
    names = [_one_line(cell).lower() for cell, _ in header]
    missing = [name for name in NEEDED if name not in names]
    if missing:
        what = f"The first line of a take log names its columns; missing: {', '.join(missing)}."
        return (), (error(Where(file, first + 1, 1), "columns", what, f"All columns: {', '.join(COLUMNS)}."),)
    problems = list(_odd_columns(header, names, Where(file, first + 1, 1)))
    own = [(name, unguarded(_one_line(cell))) for name, (cell, _) in zip(names, header, strict=True)]
    own = [(name, shown) for name, shown in own if name and name not in COLUMNS]
    takes, cameras = [], dict[str, str]()
    for row in _rows(lines, first + 1, separator, names, file):
        found = _take(row)
        problems += row.problems
        if found and not row.text("id") and cameras.setdefault(found.id, found.camera) != found.camera:
            found = replace(found, id=f"{found.id}/{found.camera}")  # two cameras on one take: both lines are kept
        if found:
            takes.append(replace(found, own=tuple((shown, row.text(name)) for name, shown in own)) if own else found)
    return tuple(takes), tuple(problems)


def _odd_columns(header: Sequence[tuple[str, int]], names: Sequence[str], line: Where) -> Iterator[Problem]:
    """Tell of columns that are not read: the teacher's own, and the second of two with one name."""
    for index, (name, (_, at)) in enumerate(zip(names, header, strict=True)):
        if name and name in names[:index]:
            yield warning(line.shifted(0, at), "columns", f"The column “{name}” comes twice; the first is read.")
        elif name and name not in COLUMNS:
            what = f"The column “{name}” is not read; it is kept as it is."
            yield note(line.shifted(0, at), "own-column", what, did_you_mean(name, COLUMNS))


def _decode(data: bytes, file: str) -> tuple[str, Problem | None]:
    if len(data) > MAX_BYTES:
        what = f"This log has {len(data) / 1e6:.1f} MB; a take log may have 5 MB at most."
        return "", error(Where(file), "too-big", what)
    if data[:4] == b"PK\x03\x04":
        return "", error(Where(file), "not-csv", "This is a workbook or a zip file, not a CSV file.", "Save it as CSV.")
    try:
        text = decode(data, file)
    except UnfitError as bad:
        return "", bad.problem
    if "\0" in text:
        line = text.count("\n", 0, text.find("\0")) + 1
        return "", error(Where(file, line, 1), "not-csv", "This is not a text file.")
    if not re.sub(r"[\s,;]", "", text):
        return "", error(Where(file), "empty-file", "This file is empty.")
    return text, None


def _split(text: str, separator: str) -> tuple[list[tuple[str, int]], bool]:
    """Split into cells with their offsets (RFC 4180, blanks before a quote allowed); tell if a quote stays open."""
    cells: list[tuple[str, int]] = []
    at = 0
    while True:
        quoted = _QUOTED.match(text, at)
        value, begin = "", at
        if quoted:
            if not quoted.group(2):
                return [*cells, (quoted.group(1).replace('""', '"'), at)], True
            value, begin = quoted.group(1).replace('""', '"'), quoted.end()
        end = text.find(separator, begin)
        cells.append((value + (text[begin:] if end < 0 else text[begin:end]), at))
        if end < 0:
            return cells, False
        at = end + 1


@dataclass(slots=True)
class _Row:
    """One line of a log while it is read: cells and their places by column name, and what was found wrong."""

    line: Where
    cells: dict[str, str]
    places: dict[str, Where]
    problems: list[Problem]

    def text(self, name: str) -> str:
        """The text of a cell; nothing where the column is missing."""
        return self.cells.get(name, "")

    def error(self, name: str, code: str, message: str) -> None:
        """Note what is wrong in a cell."""
        self.problems.append(error(self.places.get(name, self.line), code, message))

    def warning(self, name: str, code: str, message: str, hint: str = "") -> None:
        """Note what is odd in a cell."""
        self.problems.append(warning(self.places.get(name, self.line), code, message, hint))


def _rows(lines: Sequence[str], number: int, separator: str, names: Sequence[str], file: str) -> Iterator[_Row]:
    while number < len(lines):
        height, text = 1, lines[number]
        cells, is_open = _split(text, separator)
        while is_open and height < MAX_LINES_OF_A_CELL and number + height < len(lines):
            text += "\n" + lines[number + height]
            height += 1
            cells, is_open = _split(text, separator)
        where = Where(file, number + 1, 1)
        problems = []
        # A cell that swallows whole lines, or upsets the columns, is a quote forgotten, not a text of several lines.
        swallowed = any(line.count(separator) >= len(names) - 1 for line in lines[number + 1 : number + height])
        if height > 1 and (is_open or swallowed or len(cells) != len(names)):
            height, text = 1, lines[number]
            is_open = True
        if is_open:
            problems.append(error(where, "quote", "A quotation mark is opened in this line and never closed."))
            cells = _split(text.replace('"', " "), separator)[0]
        if text.strip(f" \t{separator}"):
            yield _row(text, cells, separator, names, where, problems)
        number += height


def _row(
    text: str, cells: list[tuple[str, int]], separator: str, names: Sequence[str], where: Where, problems: list[Problem]
) -> _Row:
    while len(cells) > len(names) and not cells[-1][0].strip():
        cells.pop()
    if len(cells) != len(names):
        what = f"This line has {len(cells)} cells where the first line has {len(names)}."
        odd = " Cells after the last column are read as part of it." if len(cells) > len(names) else ""
        problems.append(warning(where, "cells", what + odd, "Put a text that holds a separator in quotes."))
    kept, rest = cells[: len(names)], cells[len(names) :]
    if rest:
        kept[-1] = (f"{separator} ".join(cell for cell, _ in [kept[-1], *rest]), kept[-1][1])
    row = _Row(where, {}, {}, problems)
    for name, (cell, at) in zip(names, kept, strict=False):
        if name not in row.cells:
            row.cells[name] = unguarded(_one_line(cell))
            row.places[name] = where.shifted(text.count("\n", 0, at), at - text.rfind("\n", 0, at) - 1)
        if not name and cell.strip():
            problems.append(warning(where, "cells", f"“{_one_line(cell)}” stands in a column without a name."))
    return row


def _one_line(text: str) -> str:
    """Give the text on one line, without control characters and doubled blanks."""
    clean = "".join(" " if unicodedata.category(sign) in ("Cc", "Cs") else sign for sign in text)
    return " ".join(clean.split())


def _take(row: _Row) -> Take | None:
    day, number = _day(row), _number(row)
    shot, slate = row.text("shot").replace(" ", ""), _slate(row)
    if not shot and not slate:
        row.error("shot", "unknown-shot", "This line names no shot.")
    if day is None or number is None or not (shot or slate):
        return None
    start, stop = _times(row)
    verdict = _verdict(row)
    slip = "" if row.text("slip").lower() in ("no", "-", "0") else row.text("slip")
    device = row.text("device") or "typed"
    name = row.text("id") or f"{device}/{day}/{shot or f'slate {slate}'}/{number}/{clock_text(start)}"
    _look_at_timecode(row)
    return Take(
        id=name,
        device=device,
        day=day,
        shot=shot,
        take=number,
        start=start,
        stop=stop,
        verdict=verdict,
        slip=slip,
        note=row.text("note"),
        slate=slate or 0,
        title=row.text("title"),
        camera=row.text("camera"),
        card=row.text("card"),
        clip=row.text("clip"),
        timecode=row.text("timecode"),
        where=row.line,
    )


def _day(row: _Row) -> date | None:
    found = re.fullmatch(r"(2[01]\d\d)-(\d\d?)-(\d\d?)", row.text("day"), re.ASCII)
    if found:
        with contextlib.suppress(ValueError):
            return date(*map(int, found.groups()))
    row.error("day", "day", f"“{row.text('day')}” is not a day such as 2027-03-06, so this take is left out.")
    return None


def _number(row: _Row) -> int | None:
    if re.fullmatch(r"0*[1-9]\d{0,2}", row.text("take"), re.ASCII):
        return int(row.text("take"))
    row.error(
        "take", "take-number", f"“{row.text('take')}” is not the number of a take (1, 2, ...), so it is left out."
    )
    return None


def _slate(row: _Row) -> int:
    """Read the slate; what is none leaves the line to its number, and is told of."""
    text = row.text("slate")
    if re.fullmatch(r"0*[1-9]\d{0,5}", text, re.ASCII):
        return int(text)
    if text:
        row.error("slate", "slate", f"“{text}” is not a slate such as 17.")
    return 0


def _times(row: _Row) -> tuple[int | None, int | None]:
    """Read start and stop; a stop that cannot be right is told of and counts as missing."""
    start, stop = _time(row, "start"), _time(row, "stop")
    if start is None or stop is None:
        return start, stop
    times = f"{row.text('start')} to {row.text('stop')}"
    if stop < start:
        what = f"This take stops before it starts ({times}), so its length is not known."
        row.warning("stop", "stop-before-start", what, "Past midnight, go on counting: 24:10:00.")
    elif stop - start > MAX_TAKE_SECONDS:
        row.warning("stop", "too-long", f"This take is over twelve hours long ({times}), so its length is not known.")
    else:
        return start, stop
    return start, None


def _time(row: _Row, name: str) -> int | None:
    text = row.text(name)
    found = re.fullmatch(r"(\d\d?)[:.]([0-5]\d)(?:[:.]([0-5]\d))?(?: ?([ap])\.?m\.?)?", text.lower(), re.ASCII)
    hours = int(found.group(1)) if found else 99
    half = found.group(4) if found else None
    if found and half and 1 <= hours <= 12:
        hours = hours % 12 + (12 if half == "p" else 0)
    elif half or not text:
        hours = 99
    if found and hours < 48:
        return hours * 3600 + int(found.group(2)) * 60 + int(found.group(3) or 0)
    if text:
        row.warning(name, "time", f"“{text}” is not a time of day such as 09:31:05, so the length is not known.")
    else:
        row.warning(name, f"no-{name}", f"This take has no {name}: it counts, but its length is not known.")
    return None


def _verdict(row: _Row) -> Verdict:
    text = row.text("verdict").lower()
    verdict = next((one for one in get_args(Verdict) if one == text), None)
    if verdict is None:
        row.warning("verdict", "verdict", f"“{text}” is no verdict; it is “best”, “usable”, “again” or empty.")
    return verdict or ""


def _look_at_timecode(row: _Row) -> None:
    text = row.text("timecode")
    if text and timecode_seconds(text) is None:
        row.warning("timecode", "timecode", f"“{text}” is not a camera's clock such as 09:31:17 or 09:31:17:12.")


def timecode_seconds(text: str) -> int | None:
    """Read the whole seconds of a timecode, ``09:31:17`` or, with frames, ``09:31:17:12``; None when it is none."""
    found = re.fullmatch(r"([01]\d|2[0-3]):([0-5]\d):([0-5]\d)(?:[:;.]\d\d)?", text, re.ASCII)
    return int(found[1]) * 3600 + int(found[2]) * 60 + int(found[3]) if found else None


def in_order(takes: Iterable[Take]) -> tuple[Take, ...]:
    """Sort by day and start; takes without a start come last of their day."""
    return tuple(sorted(takes, key=lambda t: (t.day, t.start is None, t.start or 0, *content(t))))


def content(take: Take) -> tuple[str | int, ...]:
    """Give a take's values as one sortable row, to break ties the same way whatever the order of files."""
    numbers = [-1 if value is None else value for value in (take.start, take.stop)]
    names = take.shot, take.take, take.device, take.id, take.day.isoformat()
    clip = take.camera, take.card, take.clip, take.timecode
    return (*names, *numbers, take.verdict, take.slip, take.note, take.slate, take.title, *clip)


def clock_text(seconds: int | None) -> str:
    """Write seconds after midnight as ``HH:MM:SS``; None is empty."""
    return "" if seconds is None else f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def columns_of(filled: Collection[str]) -> tuple[str, ...]:
    """Give the columns of a log in which something stands in these."""
    return tuple(name for name in COLUMNS if name in filled or name not in AT_NEED)


def merged_csv(takes: Iterable[Take]) -> bytes:
    """Write takes as one log in canonical order; `read_log` gives equal takes back (their texts being on one line).

    The teacher's own columns come after the others. A cell that would start a formula in a spreadsheet gets an
    apostrophe in front, which reading takes away again.
    """
    takes = in_order(takes)
    columns = columns_of({name for name in AT_NEED for take in takes if getattr(take, name)})
    own = list(dict.fromkeys(name for take in takes for name, _ in take.own))
    rows = [[*columns, *own]]
    for take in takes:
        cells = dict(take.own)
        row = {name: getattr(take, name) for name in columns}
        row |= {"day": take.day.isoformat(), "start": clock_text(take.start), "stop": clock_text(take.stop)}
        row |= {"slate": take.slate or ""}
        rows.append([*(str(row[name]) for name in columns), *(cells.get(name, "") for name in own)])
    return csv_bytes(rows)
