"""Charts of slipped and stranded bands, read from the worked rounds: what each stitch of a repeat looks like."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.works import Knit, Work
from lessonplan.pattern.colour import chart_rows
from lessonplan.pattern.worked import Step, WorkedStage

MOST = 60
"""Stitches and rounds of the largest repeat that is drawn: a larger one would not be read on a phone."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A stitch: how it is worked (``k``, ``p``, ``sl``, with ``f``: yarn in front), and the yarn that is seen."""

    how: str
    yarn: str


@dataclass(frozen=True, slots=True)
class ChartRow:
    """A round or row of a chart: its number, the yarns it is worked with, its stitches from right to left."""

    number: int
    yarns: tuple[str, ...]
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """One repeat, the first round first. ``flat``: rows to and fro, so that every other is read the other way."""

    rows: tuple[ChartRow, ...]
    flat: bool
    reading: str

    @property
    def yarns(self) -> tuple[str, ...]:
        """The yarns that are seen."""
        return tuple(dict.fromkeys(cell.yarn for row in self.rows for cell in row.cells))


def chart_of(pattern: pm.Pattern, work: Work, stage: WorkedStage, index: int) -> Chart | None:
    """Draw up the chart of a work's rounds in one size: of one in colours with a chart, or with slipped stitches.

    None where its lines are no plain repeats of knit, purl and slipped stitches of one width.
    """
    rounds = [step for step in stage.steps if step.work == index and step.is_round]
    if not isinstance(work, Knit) or not rounds:
        return None
    yarns = [tuple(yarn for yarn, _ in step.yarns) for step in rounds]
    if work.chart:
        return _from_letters(pattern.charts[work.chart], rounds, yarns)
    period = next(p for p in range(1, len(rounds) + 1) if _alike(rounds, yarns, p))
    read = [stitches_of(step.text) for step in rounds[:period]]
    if len({yarn for names in yarns for yarn in names}) < 2 or not all(read) or len({len(one) for one in read}) > 1:
        return None
    if not any(how.startswith("sl") for one in read for how in one) or max(period, len(read[0])) > MOST:
        return None
    return _seen(read, yarns, rounds)


def _alike(rounds: Sequence[Step], yarns: Sequence[tuple[str, ...]], period: int) -> bool:
    places = range(period, len(rounds))
    return all((rounds[n].text, yarns[n]) == (rounds[n % period].text, yarns[n % period]) for n in places)


def _seen(read: Sequence[tuple[str, ...]], yarns: Sequence[tuple[str, ...]], rounds: Sequence[Step]) -> Chart:
    """Give each stitch the yarn that is seen: a slipped one shows that of the stitch below, at first another yarn."""
    below = [next(names[0] for names in yarns if names[0] != yarns[0][0])] * len(read[0])
    rows = []
    for number, hows in enumerate(read):
        flat_back = rounds[number].flat and number % 2 == 1
        line = hows[::-1] if flat_back else hows
        below = [below[at] if how.startswith("sl") else yarns[number][0] for at, how in enumerate(line)]
        cells = tuple(Cell(how, yarn) for how, yarn in zip(line, below, strict=True))
        rows.append(ChartRow(number + 1, yarns[number], cells))
    return _chart(rows, rounds[0].flat)


def _from_letters(chart: pm.Chart, rounds: Sequence[Step], yarns: Sequence[tuple[str, ...]]) -> Chart | None:
    rows = []
    for number, letters in enumerate(chart_rows(chart)[: len(rounds)]):
        slipped = chart.kind == "slipped"
        cells = tuple(
            Cell("sl" if slipped and letter != letters[0] else "k", chart.colours[letter]) for letter in letters[::-1]
        )
        rows.append(ChartRow(number + 1, yarns[number], cells))
    if not rows or max(len(rows), len(rows[0].cells)) > MOST:
        return None
    return _chart(rows, rounds[0].flat)


def _chart(rows: Sequence[ChartRow], flat: bool) -> Chart:
    how = "odd rows from right to left, even rows from left to right" if flat else "every round from right to left"
    return Chart(tuple(rows), flat, f"Read it from the bottom up, {how}, and work the repeat as often as it fits.")


_REPEAT = re.compile(
    r"\*\s*(?P<star>[^*;]+);\s*rep(?:eat)? from \*(?: to end| around)?\.?|\[(?P<bracket>[^\]]+)\] (?:to end|around)\.?"
)
_STITCH = re.compile(r"(?P<what>k|p|sl) ?(?P<n>\d{1,2})? ?(?P<yarn>wyib|wyif)?", re.IGNORECASE)


def stitches_of(line: str) -> tuple[str, ...]:
    """Read the stitches of one plain repeat, ``*Sl 1 wyib, k3; rep from * to end``; empty for any other line."""
    text = line.strip()
    if re.fullmatch(r"(knit|purl)\.?", text, re.IGNORECASE):
        return (text[0].lower(),)
    repeat = _REPEAT.fullmatch(text)
    found: list[str] = []
    for part in (repeat["star"] or repeat["bracket"]).split(",") if repeat else ():
        stitch = _STITCH.fullmatch(part.strip())
        if stitch is None:
            return ()
        how = stitch["what"].lower() + ("f" if (stitch["yarn"] or "").lower() == "wyif" else "")
        found += [how] * int(stitch["n"] or 1)
    return tuple(found)
