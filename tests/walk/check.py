"""All checks on the printed pages of one course, walked through as a person on the floor does."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import lessonplan
from lessonplan.planning.worked import Worked
from tests.walk.benches import cards, knitters, sums
from tests.walk.floor import hands, trails
from tests.walk.folder import read_folder
from tests.walk.pages import Pages, read_pages
from tests.walk.tables import clocks, shots_once, tables, waits
from tests.walk.ways import Walk

CHECKS = (shots_once, tables, clocks, waits, trails, hands, cards, sums, knitters)


def rounds_of(course: Path) -> dict[str, int]:
    """How many rounds each stage has in the size that is filmed; the only thing asked of the program."""
    worked = lessonplan.load(course).worked
    assert worked is not None
    return rounds_in(worked)


def rounds_in(worked: Worked) -> dict[str, int]:
    """The same of a course whose pattern is worked already."""
    return {key: len(worked.pattern.stage(key, worked.size).rounds) for key in worked.pattern.order}


def faults(course: Path, pages: Pages, rounds: Mapping[str, int]) -> list[tuple[str, str]]:
    """What is wrong on the pages of a course: the sort, and a sentence; nothing when a person can work by them."""
    walk = Walk(pages, read_folder(course), rounds)
    found: list[tuple[str, str]] = []
    for check in CHECKS:
        try:
            found += check(walk)
        except (KeyError, ValueError) as bad:
            found.append(("unreadable", f"{check.__name__}: {bad}"))
    return found


def faults_in(course: Path, out: Path, rounds: Mapping[str, int] | None = None) -> list[tuple[str, str]]:
    """What is wrong in an output folder of a course."""
    try:
        pages = read_pages(out)
    except (KeyError, ValueError) as bad:
        return [("unreadable", str(bad))]
    return faults(course, pages, rounds or rounds_of(course))
