"""Counting printed lines on their own: what ``lessonplan count`` does for a whole pattern or a single line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from lessonplan.needle.decided.readings import READINGS, usual
from lessonplan.needle.decided.results import ERROR, WARNING, LineProblem, Worked, WorkedLine
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from lessonplan.needle.stitch.operations import Reading
from lessonplan.printed.heading import value
from lessonplan.printed.leaflet.layout import run_on
from lessonplan.printed.words.own import Own
from lessonplan.printed.words.terms import terms_said

MOST_APART = 10
"""Lines that are asked whether they mean the same in every size, of those that were read in several ways: work."""
NO_FAULT = frozenset({"unread", "ambiguous"})
"""Kinds of problems that are the reader's own limit, so that a pattern that is only counted is not at fault."""


@dataclass(frozen=True, slots=True)
class CountedLine:
    """A line as counted: for each size the stitches after it (None where nobody knows them) and its rounds.

    `sure` is False where an earlier line could not be read, so that only a later printed count can tell. `spaces`: the
    spaces of chains beside those stitches, of crochet, which are not counted among them.
    """

    text: str
    stitches: tuple[int | None, ...]
    sure: tuple[bool, ...]
    rounds: tuple[int, ...]
    techniques: tuple[tuple[str, tuple[int, ...]], ...]
    spaces: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class CountProblem:
    """What is wrong with a line: 1-based line and column, 1-based size or None for every size, one sentence.

    `severity` is "error", "warning" where the line was not read or is ambiguous (`NO_FAULT`), or "note". In a whole
    pattern line and column are those of its file, and `kind` may also be "sizes" (a list with a number too few or too
    many), "asked" (only who wrote the pattern, or the gauge, can tell) or "abbreviation".
    """

    line: int
    column: int
    size: int | None
    sentence: str
    severity: str
    kind: str


@dataclass(frozen=True, slots=True)
class Counted:
    """Lines counted in every size, with the stitches begun on, the rounds in all, the problems, the crochet terms."""

    on: tuple[int, ...]
    lines: tuple[CountedLine, ...]
    rounds: tuple[int, ...]
    problems: tuple[CountProblem, ...]
    terms: str = "us"


def count_lines(
    texts: Sequence[str],
    on: Sequence[int],
    *,
    markers: Sequence[Sequence[int]] = (),
    flat: bool = False,
    until: int | None = None,
    terms: str = "us",
    patterns: Mapping[str, Sequence[str]] | None = None,
    colours: frozenset[str] = frozenset(),
    chains: Sequence[tuple[int, str]] = (),
    own: Own = (),
    casts_on: bool = False,
) -> Counted:
    """Work lines in order, begun on so many stitches in each size (one number for each size).

    ``markers`` stand after so many stitches, each with one number for all sizes or one for each;
    ``flat`` works rows; ``until`` repeats the lines until so many stitches
    remain; ``terms`` ("us" or "uk") are those of the crochet stitches; ``patterns`` are stitch patterns and charts by
    name, ``colours`` names of yarns, ``chains`` what is said of turning chains beside the lines,
    ``own`` words that are explained there; ``casts_on`` tells that CO means cast on elsewhere.
    """
    sizes = len(on)
    asked: dict[str, Any] = {
        "terms": terms, "patterns": patterns, "colours": colours, "chains": chains, "own": own, "casts_on": casts_on
    }  # fmt: skip
    parts = [(text, run_on(text)) for text in texts]
    if until is None and any(len(starts) > 1 for _, starts in parts):
        return _parted(parts, on, markers=markers, flat=flat, **asked)

    def in_size(size: int, charts: str, insist: Mapping[int, Reading] = MappingProxyType({})) -> Worked:
        """The lines worked in one 0-based size."""
        marks = sorted((value(tuple(places), size), "") for places in markers)
        needle = Needle(on[size], tuple(marks), flat=flat)
        return work_lines(texts, needle, size=size, sizes=sizes, until=until, charts=charts, insist=insist, **asked)

    worked = [in_size(size, "trusted") for size in range(sizes)]
    alone = [*_alone(worked, lambda size, insist: in_size(size, "trusted", insist))]
    shaped = [any(each.sentence.endswith("not written out") for each in one.problems) for one in worked]
    if any(shaped) and not all(shaped):  # what leaves the stitches in one size does so in all
        worked = [in_size(size, "even") if shaped[size] else one for size, one in enumerate(worked)]
    wrong = [{each.line for each in one.problems if _key(each)[3] == ERROR} for one in worked]
    lines = tuple(_line(index, text, worked, [index in each for each in wrong]) for index, text in enumerate(texts))
    rounds = tuple(sum(run.times for run in one.rounds if run.row) for one in worked)
    problems = sorted((*_problems(worked, sizes), *_divided(worked), *alone), key=lambda each: (each.line, each.column))
    return Counted(tuple(on), lines, rounds, tuple(problems), terms_said(texts, terms))


def _parted(parts: Sequence[tuple[str, tuple[int, ...]]], on: Sequence[int], **asked: Any) -> Counted:
    """Count texts in which several labelled rows stand one behind the other, each row as a line of its own."""
    rows = [
        (owner, start, text[start:end].strip())
        for owner, (text, starts) in enumerate(parts)
        for start, end in zip(starts, (*starts[1:], len(text)), strict=True)
    ]
    counted = count_lines([row for _, _, row in rows], on, **asked)
    lines = []
    for owner, (text, _) in enumerate(parts):
        own = [line for line, (whose, _, _) in zip(counted.lines, rows, strict=True) if whose == owner]
        names = sorted({name for line in own for name, _ in line.techniques})
        told = [dict(line.techniques) for line in own]
        lines.append(
            CountedLine(
                text=text,
                stitches=own[-1].stitches,
                sure=own[-1].sure,
                rounds=_sum([line.rounds for line in own], len(on)),
                techniques=tuple(
                    (name, _sum([each[name] for each in told if name in each], len(on))) for name in names
                ),
                spaces=own[-1].spaces,
            )
        )
    problems = [
        replace(
            each,
            line=rows[each.line - 1][0] + 1,
            column=rows[each.line - 1][1] + each.column,
            sentence=_LINE.sub(lambda match: f"line {rows[int(match[1]) - 1][0] + 1}", each.sentence),
        )
        for each in counted.problems
    ]
    return replace(counted, lines=tuple(lines), problems=tuple(problems))


_CAST_OFF = READINGS["co"]["off"]
_LINE = re.compile(r"\bline (\d+)\b")


def _sum(numbers: Sequence[tuple[int, ...]], sizes: int) -> tuple[int, ...]:
    return tuple(sum(each[size] for each in numbers) for size in range(sizes))


def _line(index: int, text: str, worked: Sequence[Worked], wrong: Sequence[bool]) -> CountedLine:
    runs = [one.lines[index].rounds for one in worked]
    lines = [one.lines[index] for one in worked]
    if any(line.after is None and not bad for line, bad in zip(lines, wrong, strict=True)):
        # what the lines after it tell of one size only, they do not tell
        lines = [line if bad else replace(line, after=None) for line, bad in zip(lines, wrong, strict=True)]
    totals: list[dict[str, int]] = []
    for one in runs:
        counts: dict[str, int] = {}
        for run in one:
            for name, count in run.techniques:
                counts[name] = counts.get(name, 0) + count * run.times
        totals.append(counts)
    names = sorted({name for counts in totals for name in counts})
    return CountedLine(
        text=text,
        stitches=tuple(line.after for line in lines),
        sure=tuple(one.lines[index].sure for one in worked),
        rounds=tuple(sum(run.times for run in one if run.row) for one in runs),
        techniques=tuple((name, tuple(counts.get(name, 0) for counts in totals)) for name in names),
        spaces=tuple(_spaces(line) for line in lines) if any(map(_spaces, lines)) else (),
    )


def _spaces(line: WorkedLine) -> int:
    """Count the spaces of chains after a line that are not among its stitches."""
    needle = line.rounds[-1].needle if line.rounds else None
    return len(needle.spaces) if needle and line.after == needle.stitches and min(needle.spaces, default=0) > 0 else 0


def _problems(worked: Sequence[Worked], sizes: int) -> tuple[CountProblem, ...]:
    """Say once what is wrong in every size."""
    found: dict[tuple[int, int, str, str, str], set[int]] = {}
    for size, one in enumerate(worked):
        for problem in one.problems:
            found.setdefault(_key(problem), set()).add(problem.size if problem.size >= 0 else size)
    result = []
    for (line, column, sentence, severity, kind), where in sorted(found.items()):
        if _CAST_OFF in sentence and len(where) < sizes:
            sentence, severity, kind = f"fits only if {_CAST_OFF}, and in the other sizes it does not", ERROR, "misfit"
        numbers: list[int | None] = [None] if len(where) == sizes else [size + 1 for size in sorted(where)]
        for number in numbers:
            result.append(
                CountProblem(line=line + 1, column=column, size=number, sentence=sentence, severity=severity, kind=kind)
            )
    return tuple(result)


def _divided(worked: Sequence[Worked]) -> list[CountProblem]:
    """A repeat means the same in every size: where the counts fit only if it does not, one of them is wrong."""
    found = []
    for index in range(len(worked[0].lines)):
        ways = [one.lines[index].again for one in worked]
        common, _ = Counter(way for way in ways if way).most_common(1)[0] if any(ways) else ("", 0)
        for size, way in enumerate(ways, 1):
            if way and way != common:
                meant = READINGS["times"]
                sentence = f"the count fits only if {meant[way]}; in the other sizes {meant[common]}"
                found.append(
                    CountProblem(
                        line=index + 1, column=1, size=size, sentence=sentence, severity=ERROR, kind="disagrees"
                    )
                )
    return found


def _alone(worked: Sequence[Worked], again: Callable[[int, Mapping[int, Reading]], Worked]) -> Iterator[CountProblem]:
    """A line means the same in every size: one is told that is read otherwise than most, since else its count is wrong.

    None is told where a reading that some sizes were read in fits all, though others were read as usual.
    """
    read = [[one.lines[index].reading for one in worked] for index in range(len(worked[0].lines))]
    apart = [(index, Counter(each).most_common()) for index, each in enumerate(read) if len({*each}) > 1]
    for index, common in apart[:MOST_APART]:
        for reading in filter(None, (each for each, _ in common)):
            lacking = [size for size, own in enumerate(read[index]) if own != reading]
            if all(again(size, {index: reading}).lines[index].reading == reading for size in lacking):
                break
        else:
            most, many = common[0]
            for size, own in enumerate(read[index]):
                if own != most and 2 * many > len(worked):
                    yield _read_alone(index, size, own, most)


def _read_alone(index: int, size: int, own: Reading, most: Reading) -> CountProblem:
    subjects = dict.fromkeys(subject for subject, _ in (*own, *most))
    here, there = (
        ", ".join(READINGS[subject][dict(reading).get(subject, usual(subject))] for subject in subjects)
        for reading in (own, most)
    )
    return CountProblem(
        line=index + 1,
        column=1,
        size=size + 1,
        sentence=f"the count fits only if {here}; in the other sizes {there}",
        severity=ERROR,
        kind="disagrees",
    )


def _key(problem: LineProblem) -> tuple[int, int, str, str, str]:
    severity = WARNING if problem.severity == ERROR and problem.kind in NO_FAULT else problem.severity
    return problem.line, problem.column, problem.sentence, severity, problem.kind
