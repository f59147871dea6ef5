"""How well spoken lines are proofed: ``python -m tests.edit.spoken FILE`` prints recall, precision and the mistakes.

A file has the columns course, segment, whole, said, findings, as those of ``spoken_*.csv`` here; the findings that are
right stand as ``disagrees: forty six stitches; took back: no``, in the order of the kinds' own or short names.
"""

from __future__ import annotations

import csv
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from lessonplan.edit.proof.expected.holds import Holds, holds_in
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.speech.units import words_of
from lessonplan.planning.worked import load

HERE = Path(__file__).parent
COURSES = {
    "mittens": HERE.parent.parent / "sample_course",
    "headband": HERE / "headband",
    "hat": HERE / "hat",
}
NAMES = {
    "swapped": "swapped words",
    "took back": "took it back",
    "sample only": "said of the sample only",
    "unplanned": "unplanned number",
}


@dataclass(frozen=True)
class Line:
    """A spoken line: the findings that should be there and are not, and those that are there and should not be."""

    row: Mapping[str, str]
    right: int
    missed: tuple[tuple[str, str], ...]
    wrong: tuple[Finding, ...]


@cache
def holds(course: str) -> Mapping[str, Holds]:
    """Give what holds in each segment of a course."""
    worked = load(COURSES[course]).worked
    assert worked is not None
    return holds_in(worked)


def rows(path: Path) -> list[dict[str, str]]:
    """Read a file of spoken lines."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def wanted(text: str) -> Iterator[tuple[str, str]]:
    """Give the kind and the words of each finding that is right: ``disagrees: forty six stitches; ...``."""
    for part in filter(None, (part.strip() for part in text.split(";"))):
        kind, _, words = part.partition(": ")
        yield NAMES.get(kind, kind), " ".join(words.lower().replace("-", " ").split())


def is_it(finding: Finding, kind: str, words: str, line: str) -> bool:
    """Whether a finding is the one that is wanted: its words lie over those, or share one where they stand nowhere."""
    places = [one.span() for one in re.finditer(rf"\b{re.escape(words)}\b", line)]
    if places and finding.said:
        over = any(start < finding.place_end and finding.place < end for start, end in places)
    else:  # of what was never said, what it would have been
        over = bool({*words.split()} & {*(finding.said or finding.context).split()})
    return finding.kind == kind and over


def line_of(row: Mapping[str, str]) -> Line:
    """Proof a line, and hold what is found against what is wanted."""
    left = list(proofed(words_of(row["said"]), holds(row["course"])[row["segment"]], row["whole"] == "yes"))
    right, missed, taken = 0, list[tuple[str, str]](), list[Finding]()
    for kind, words in wanted(row["findings"]):
        hit = next((one for one in left if is_it(one, kind, words, row["said"].lower())), None)
        if hit:
            left.remove(hit)
            right += 1
            taken += [hit] if kind in ("took it back", "swapped words") else []
        else:
            missed.append((kind, words))
    # A slip that is taken back is one finding: where the remark is found, the slip in it is not wanted besides; so are
    # two words of a pair that are exchanged, where what is found reaches over both.
    missed = [(kind, words) for kind, words in missed if not any(words in one.said for one in taken)]
    return Line(row, right, tuple(missed), tuple(left))


def sections(path: Path) -> dict[str, list[str]]:
    """Read the lines of a file by the ``[section]`` that they stand in, without its remarks."""
    found: dict[str, list[str]] = {}
    section: list[str] = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            section = found.setdefault(line.strip("[]"), [])
        elif line and not line.startswith("#"):
            section.append(line)
    return found


def measured(path: Path) -> Iterator[Line]:
    """Proof each line of a file."""
    yield from map(line_of, rows(path))


def main(path: Path) -> None:
    """Print the lines that are mistaken, then recall and precision."""
    report(list(measured(path)))


def report(lines: Sequence[Line]) -> None:
    """Print what is mistaken in lines, then recall and precision of all."""
    for line in lines:
        if line.missed or line.wrong:
            print(f"{line.row['course']} {line.row['segment']}: {line.row['said']}")
        for kind, words in line.missed:
            print(f"    missed: {kind}: {words}")
        for one in line.wrong:
            print(f"    wrong: {one.kind}: {one.said} ({one.right})")
    right = sum(line.right for line in lines)
    should = right + sum(len(line.missed) for line in lines)
    found = right + sum(len(line.wrong) for line in lines)
    print(f"{len(lines)} lines; of {should} that should be found {right} are (recall {right / max(1, should):.1%}); ")
    print(f"of {found} that are found {right} are right (precision {right / max(1, found):.1%})")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
