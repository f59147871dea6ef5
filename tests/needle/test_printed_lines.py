"""Lines with their stitch counts, worked through: few were seen in print, most are from memory or common practice.

`printed_lines.csv` says for each row where it comes from and, in `confidence`, how: `published-seen` was seen in print;
`from-memory` names a book or a page without having been compared with it; `common practice` has no single source. Only
the first are published lines. Short lines are facts of the trade, with the multiple that belongs to them.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from lessonplan.craft.techniques import all_techniques, canonical, technique
from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle

MARKERS = {"markers": (13, 27, 53, 67), "gusset": (25, 57), "toe": (16, 48), "thumb": (20, 23)}


def printed_lines() -> list[dict[str, str]]:
    with (Path(__file__).parent / "printed_lines.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", printed_lines(), ids=lambda row: f"{row['source'][:60]}: {row['before']}")
def test_a_line_seen_recalled_or_of_common_practice_gives_its_count(row: dict[str, str]) -> None:
    markers = tuple((place, "") for place in MARKERS.get(row["how"], ()))
    worked = work_lines([row["text"]], Needle(int(row["before"]), markers, flat=row["how"] == "row"))
    assert [problem for problem in worked.problems if problem.severity == "error"] == []
    assert worked.needle.stitches == int(row["after"])


@pytest.mark.parametrize(
    "row", [row for row in printed_lines() if int(row["before"]) > 2], ids=lambda row: row["text"][:40]
)
def test_a_line_with_another_count_is_refused(row: dict[str, str]) -> None:
    wrong = f"{row['text'].rsplit('(', 1)[0] if row['text'].endswith(')') else row['text']}"
    worked = work_lines([f"{wrong.rstrip(' .')}. {int(row['after']) + 1} sts."], Needle(
        int(row["before"]), tuple((place, "") for place in MARKERS.get(row["how"], ())), flat=row["how"] == "row"
    ))  # fmt: skip
    assert any(problem.severity == "error" for problem in worked.problems)


def test_ten_lines_were_seen_in_print_and_the_others_are_not_counted_as_published() -> None:
    seen = [row["confidence"] for row in printed_lines()]
    assert (seen.count("published-seen"), seen.count("from-memory"), seen.count("common practice")) == (10, 41, 17)
    assert all(row["source"] for row in printed_lines())


def test_printed_error_cable_that_works_four_of_six() -> None:
    # printed "C6B: 3 sts to cn, K2, K2 from cn"; right is K3, K3. Seen in: Wild & Woolly abbreviations PDF
    wrong = work_lines(["P2, 3 sts to cn, K2, K2 from cn, k2, p2"], Needle(10, flat=True))
    assert [problem.sentence for problem in wrong.problems] == ["leaves 1 stitch on the cable needle"]
    right = work_lines(["P2, 3 sts to cn, K3, K3 from cn, p2"], Needle(10, flat=True))
    assert right.problems == ()
    assert technique("C6B").consumes == technique("C6B").produces == 6


def test_printed_error_ccd_for_cdd() -> None:
    # Seen in: Wild & Woolly abbreviations PDF
    assert canonical("CCD") == canonical("CDD") == "s2kp"


def test_printed_error_kwise_defined_as_purlwise() -> None:
    # Seen in: unidentified copy of a book of hats (its p. 122)
    assert all_techniques()["kwise"].meaning == "knitwise"


def test_printed_error_thirty_to_twenty_is_not_half() -> None:
    # Seen in: unidentified copy of a knitting book (its p. 76)
    worked = work_lines(["*K1, k2tog; repeat from * to end. 15 sts."], Needle(30, flat=True))
    assert worked.problems[0].sentence == "prints 15 stitches after this line, but there are 20"


def test_printed_error_stitches_of_one_sock() -> None:
    # "up to 20,000 stitches for one sock", ehow.co.uk; 64 stitches by 150 to 170 rounds is about 10,000
    worked = work_lines(["Knit"], Needle(64), rounds=170)
    assert sum(each.times * count for each in worked.rounds for _, count in each.techniques) == 10_880
