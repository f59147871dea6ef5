"""Lines made up as publishers print them, counted by head: read with and without the count printed after them."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from lessonplan.needle.count import Counted, count_lines

LINES = Path(__file__).with_name("invented_print.txt")


@dataclass
class Case:
    """Lines worked in order; `after` is "-" where nothing may be said, "?" where nothing is asked, else the counts."""

    name: str
    on: tuple[int, ...]
    flat: bool
    markers: list[tuple[int]]
    lines: list[tuple[str, str, str]] = field(default_factory=list)


def cases() -> list[Case]:
    found: list[Case] = []
    for raw in LINES.read_text(encoding="utf-8").splitlines():
        if raw.startswith("@"):
            name, *words = raw[1:].split()
            marks = next((word[2:].split(",") for word in words if word.startswith("m=")), [])
            on = tuple(int(word) for word in words if word.isdecimal())
            found.append(Case(name, on, "flat" in words, [(int(mark),) for mark in marks]))
        elif raw and not raw.startswith("#"):
            text, after = raw.rsplit("=>", 1)
            line, _, printed = text.partition("||")
            found[-1].lines.append((line.strip(), printed.strip(), after.strip()))
    return found


def counted(case: Case, texts: list[str]) -> Counted:
    return count_lines(texts, case.on, markers=case.markers, flat=case.flat)


@pytest.mark.parametrize("printed", [False, True], ids=["bare", "printed"])
@pytest.mark.parametrize("case", cases(), ids=lambda case: case.name)
def test_made_up_print_is_counted_as_by_head(case: Case, printed: bool) -> None:
    texts = [f"{line} {count}".strip() if printed else line for line, count, _ in case.lines]
    found = counted(case, texts)
    unread = False
    for number, (line, (_, _, after)) in enumerate(zip(found.lines, case.lines, strict=True), 1):
        wrong = [each.sentence for each in found.problems if each.line == number and each.severity != "note"]
        unread = unread or after == "-"
        if after not in "-?":
            wanted = tuple(int(word) for word in after.split())
            assert (line.text, line.stitches, wrong) == (line.text, wanted, [])
        elif after == "-" and not wrong:
            assert None in line.stitches or printed, line.text


def test_enough_lines_are_made_up_and_few_are_not_read() -> None:
    after = [each for case in cases() for _, _, each in case.lines]
    assert len(after) > 800
    assert after.count("-") <= 20
