"""Meanings in many wordings: each frame of ``frames.txt`` said of each fact of its section, right and wrong.

``python -m tests.edit.framed`` prints the mistakes and the figures. What is right must be left alone; what is wrong
must be found where its number stands; where nobody tells the course's number nothing may be found.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.edit.saying import spelled
from tests.edit.spoken import Line, line_of, report, sections

FRAMES = Path(__file__).parent / "frames.txt"
FIRSTS = re.findall(r"\w+", "zeroth first second third fourth fifth sixth seventh eighth ninth tenth")


@dataclass(frozen=True)
class Fact:
    """A number of a segment, right and wrong, worked out by hand from the printed pattern; ``nth`` is its round."""

    section: str
    course: str
    segment: str
    right: float
    wrong: tuple[float, ...]
    unit: str = "rounds"
    nth: int = 0
    other: str = "rows"
    sample: float = 0


FACTS = (
    Fact("cast on", "mittens", "1.3", 44, (46, 42)),
    Fact("cast on", "hat", "1.2", 96, (98, 90)),
    Fact("cast on", "headband", "1.2", 11, (13, 14)),
    Fact("rounds in all", "mittens", "1.4", 22, (26, 18)),
    Fact("rounds in all", "mittens", "2.5", 12, (14, 10)),
    Fact("rounds in all", "mittens", "3.1", 15, (18, 12)),
    Fact("rounds in all", "hat", "1.3", 32, (30, 38)),
    Fact("rounds in all", "headband", "1.4", 104, (110, 98), "rows"),
    Fact("up to", "mittens", "2.2", 57, (58, 54)),
    Fact("up to", "headband", "1.3", 23, (25, 26), "rows"),
    Fact("down to", "mittens", "3.2", 8, (10, 6)),
    Fact("down to", "hat", "1.4", 8, (10, 12)),
    Fact("down to", "headband", "1.5", 11, (13, 9), "rows"),
    Fact("after a round", "mittens", "2.2", 47, (48, 46), nth=3),
    Fact("after a round", "mittens", "2.2", 51, (53, 50), nth=7),
    Fact("after a round", "mittens", "3.2", 36, (38, 34), nth=3),
    Fact("after a round", "hat", "1.4", 72, (76, 80), nth=5),
    Fact("after a round", "headband", "1.3", 15, (17, 14), "rows", nth=5),
    Fact("each time", "mittens", "3.2", 4, (6, 5)),
    Fact("each time", "hat", "1.4", 8, (10, 6)),
    Fact("each time more", "mittens", "2.2", 2, (4, 3)),
    Fact("each time more", "headband", "1.3", 2, (4, 3), "rows"),
    Fact("each time fewer", "mittens", "3.2", 4, (6, 5)),
    Fact("each time fewer", "hat", "1.4", 8, (10, 6)),
    Fact("held", "mittens", "2.3", 13, (12, 14)),
    Fact("picked up", "mittens", "3.3", 5, (6, 7)),
    Fact("cm", "mittens", "1.4", 7, (9, 5.5)),
    Fact("cm", "mittens", "3.1", 5, (7, 3.5)),
    Fact("cm", "headband", "1.4", 40, (45, 35), "rows"),
    Fact("needle", "mittens", "1.4", 3.5, (3, 4.5)),
    Fact("needle", "mittens", "3.1", 4, (3.75, 5)),
    Fact("needle", "hat", "1.3", 4.5, (5, 3.5)),
    Fact("needle", "headband", "1.4", 5, (4.5, 5.5), "rows"),
    Fact("us", "mittens", "1.4", 4, (5, 3)),
    Fact("us", "headband", "1.4", 8, (7, 9), "rows"),
    Fact("dry", "mittens", "3.4", 14, (6, 24)),
    Fact("dry", "hat", "1.5", 20, (10, 36)),
    Fact("dry", "headband", "1.7", 12, (8, 20)),
    Fact("soak", "mittens", "3.4", 15, (30, 40)),
    Fact("soak", "hat", "1.5", 10, (30, 45)),
    Fact("soak", "headband", "1.7", 20, (45, 35)),
    Fact("cast on large", "mittens", "1.3", 48, (50, 46)),
    Fact("rounds of large", "mittens", "1.4", 24, (26, 28)),
    Fact("rounds of large", "mittens", "2.2", 21, (23, 25)),
    Fact("every so many", "mittens", "2.2", 2, (3, 4)),
    Fact("every so many", "headband", "1.3", 2, (3, 4), "rows"),
    Fact("foreign", "mittens", "2.2", 0, (6, 9)),
    Fact("foreign", "hat", "1.3", 0, (5, 7)),
    Fact("foreign", "headband", "1.4", 0, (6, 8), "rows"),
    Fact("other unit", "mittens", "1.4", 0, (22,)),
    Fact("other unit", "hat", "1.3", 0, (32,)),
    Fact("other unit", "headband", "1.4", 0, (104,), "rows", other="rounds"),
    Fact("taken back", "mittens", "1.3", 0, (44,), sample=46),
    Fact("taken back", "hat", "1.2", 0, (96,), sample=98),
    Fact("of the sample", "mittens", "2.5", 0, (12,), sample=4),
    Fact("of the sample", "hat", "1.3", 0, (32,), sample=8),
    Fact("of the sample", "headband", "1.4", 0, (104,), "rows", sample=10),
    Fact("sample and ours", "mittens", "2.5", 12, (), sample=4),
    Fact("sample and ours", "headband", "1.4", 104, (), "rows", sample=10),
    Fact("gauge stitches", "mittens", "1.2", 22, (24, 20)),
    Fact("ends", "mittens", "3.4", 8, (6, 10)),
    Fact("ends", "hat", "1.5", 4, (6, 8)),
    Fact("stripe", "mittens", "2.4", 2, (4, 5)),
    Fact("stripe", "hat", "1.3", 4, (6, 3)),
    Fact("halfway", "mittens", "1.3", 22, (24, 20)),
    Fact("around", "mittens", "2.5", 19, (22, 16)),
    Fact("around", "mittens", "3.1", 20, (24, 17)),
    Fact("right talk 44", "mittens", "1.3", 44, ()),
    Fact("right talk 44", "mittens", "1.4", 44, ()),
    Fact("small size", "mittens", "1.3", 40, (42, 38)),
    Fact("silent", "mittens", "1.3", 44, (50, 38)),
    Fact("silent", "mittens", "1.4", 22, (28, 16)),
    Fact("silent", "hat", "1.2", 96, (104, 80)),
    Fact("silent", "headband", "1.3", 23, (27, 31), "rows"),
)


KINDS = {"foreign": "unplanned", "other unit": "wrong unit", "taken back": "took back", "of the sample": "sample only"}


def _row(fact: Fact, frame: str, number: float, wrong: bool) -> dict[str, str]:
    one = fact.unit.removesuffix("s")
    ordinal = FIRSTS[int(number)] if number < len(FIRSTS) else ""
    said = frame.format(
        n=spelled(number),
        u=fact.unit,
        v=fact.other,
        r=f"{one} {spelled(fact.nth)}",
        o=ordinal,
        one=one,
        s=spelled(fact.sample),
        w=spelled(fact.sample),
    )
    words = ordinal if "{o}" in frame else spelled(fact.sample if fact.section == "of the sample" else number)
    words = said if fact.section == "taken back" else words
    kind = KINDS.get(fact.section, "disagrees")
    findings = f"{kind}: {words}" if wrong and fact.section != "silent" else ""
    return {"course": fact.course, "segment": fact.segment, "whole": "no", "said": said, "findings": findings}


def lines() -> Iterator[dict[str, str]]:
    """Say each fact in each frame of its section."""
    every, seen = sections(FRAMES), set[tuple[str, str, str]]()
    for fact in FACTS:
        for frame in every[fact.section]:
            for number in (*((fact.right,) if fact.right else ()), *fact.wrong):
                row = _row(fact, frame, number, number != fact.right)
                key = (row["course"], row["segment"], row["said"])
                if key not in seen:
                    seen.add(key)
                    yield row


def measured() -> list[Line]:
    """Proof each line."""
    return [line_of(row) for row in lines()]


def main() -> None:
    """Print the mistakes, then recall and precision."""
    report(measured())


if __name__ == "__main__":
    main()
