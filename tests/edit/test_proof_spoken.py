"""Spoken lines in the manner of automatic captions, with the findings that are right for each: how many are found.

The lines of ``tuned`` and ``aside`` were written before the reader, halved by a digest of their words; one half was
tuned on, the other set aside until that was done. ``fresh`` was written after it, with a third course, and ``last``
after that. The first and last figures of all stand in DEVELOPERS.md; those here are the last ones: they may not fall.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

from lessonplan.edit.proof.findings import KINDS, Finding
from lessonplan.edit.proof.holds import Holds, holds_in
from lessonplan.edit.proof.quantities import normal, words_of
from lessonplan.edit.proof.reader import proofed
from lessonplan.planning.worked import load

HERE = Path(__file__).parent
COURSES = {
    "mittens": HERE.parent.parent / "sample_course",
    "headband": HERE / "headband",
    "hat": HERE.parent / "courses" / "hat",
}
NAMES = {
    "swapped": "swapped words",
    "took back": "took it back",
    "sample only": "said of the sample only",
    "unplanned": "unplanned number",
}
MEASURED = {"tuned": (109, 109, 109), "aside": (97, 97, 100), "fresh": (57, 57, 57), "last": (32, 32, 33)}
"""Findings that are right, that should be there, and that are there."""


@cache
def holds(course: str) -> Mapping[str, Holds]:
    worked = load(COURSES[course]).worked
    assert worked is not None
    return holds_in(worked)


def rows(half: str) -> list[dict[str, str]]:
    with (HERE / f"spoken_{half}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def wanted(text: str) -> Iterator[tuple[str, str]]:
    """Give the kind and the words of each finding that is right: ``disagrees: forty six stitches; ...``."""
    for part in filter(None, (part.strip() for part in text.split(";"))):
        kind, _, words = part.partition(": ")
        yield NAMES.get(kind, kind), " ".join(token.text for token in normal(words_of(words)))


def is_it(finding: Finding, kind: str, words: str) -> bool:
    said = finding.said or finding.context  # of what was never said, what it would have been
    return finding.kind == kind and (words in said or bool({*words.split()} & {*said.split()}))


@pytest.mark.parametrize("half", [*MEASURED])
def test_found_as_measured(half: str) -> None:
    right = should = found = 0
    for row in rows(half):
        left = list(proofed(words_of(row["said"]), holds(row["course"])[row["segment"]], row["whole"] == "yes"))
        found += len(left)
        for kind, words in wanted(row["findings"]):
            should += 1
            hit = next((one for one in left if is_it(one, kind, words)), None)
            if hit:
                left.remove(hit)
                right += 1
    least, all_of_them, most = MEASURED[half]
    assert should == all_of_them
    assert right >= least
    assert found - right <= most - least, "more is found that is not right"


def test_there_are_lines_enough_and_each_kind_is_among_them() -> None:
    every = [row for half in MEASURED for row in rows(half)]
    assert len(every) >= 300
    assert sum(not row["findings"] for row in every) >= 200
    assert {kind for row in every for kind, _ in wanted(row["findings"])} == {*KINDS}
    assert len({(row["course"], row["segment"], row["whole"], row["said"]) for row in every}) == len(every)
