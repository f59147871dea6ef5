"""Every spelling of the table of techniques, and stitches printed in words."""

from __future__ import annotations

import csv

import pytest

from lessonplan.craft.techniques import TABLE, technique
from lessonplan.printed.line import parse_line
from lessonplan.printed.tree import CableNeedle, Rows, Step, Stitch

NOT_A_STITCH = {"term", "edge", "marker"}


def steps(text: str) -> tuple[Step, ...]:
    part = parse_line(text).parts[0]
    assert isinstance(part, Rows)
    return part.steps


def stitch_names(text: str) -> list[str]:
    return [step.name for step in steps(text) if isinstance(step, Stitch)]


def printed_spellings() -> list[tuple[str, str]]:
    found = []
    with TABLE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["craft"] == "knitting" and row["kind"] not in NOT_A_STITCH and row["name"] not in {"turn", "w&t"}:
                spellings = [row["name"], *filter(None, map(str.strip, row["variants"].split(";")))]
                found += [(spelling, row["name"]) for spelling in spellings]
    return found


@pytest.mark.parametrize(("spelling", "name"), printed_spellings())
@pytest.mark.parametrize("case", [str.lower, str.upper])
def test_every_spelling_of_the_table_is_read(spelling: str, name: str, case: type[str]) -> None:
    assert stitch_names(f"k7, {case(spelling)}, k7") == ["k", name, "k"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Slip, slip, knit these 2 stitches together", ["ssk"]),
        ("slip 1, knit 1, pass slipped stitch over", ["skp"]),
        ("sl 1, k1, psso", ["skp"]),
        ("Sl 1 knitwise, k2tog, psso", ["sk2p"]),
        ("sl1-k2tog-psso", ["sk2p"]),
        ("slip 2 together knitwise, k1, p2sso", ["s2kp"]),
        ("knit into the front and back of next stitch", ["kfb"]),
        ("K1f&b", ["kfb"]),
        ("purl into front and back of the next st", ["pfb"]),
        ("knit two together through the back loops", ["k2tog tbl"]),
        ("purl 3 together", ["p3tog"]),
        ("knit 2 through back loop", ["k1 tbl"]),
        ("make one left, make 1 right, M1 purlwise", ["m1l", "m1r", "m1p"]),
        ("yarn over, y/o, YO", ["yo", "yo", "yo"]),
        ("yarn forward", ["yfwd"]),
        ("(k1, yo, k1) in next st", ["kyok"]),
        ("(k1, p1) into the same stitch", ["(k1, p1) in 1"]),
        ("(k1, yo, k1, yo, k1) in 1", ["nupp 5"]),
        ("(k1, p1, k1) in next st", ["(k, p, k) in 1"]),
        ("increase 1, inc in next st", ["inc", "kfb"]),
        ("slip 1 wyif", ["sl"]),
        ("with yarn in back, slip 1 stitch purlwise", ["sl1p"]),
        ("c6b, 2/2 LC, t3F, 3/1 RPC", ["C6B", "C4F", "T3F", "3/1 RPC"]),
        ("pick up wrap and knit it together with the stitch", ["k wrap"]),
    ],
)
def test_stitches_in_words(text: str, expected: list[str]) -> None:
    assert stitch_names(f"p9, {text}, p9") == ["p", *expected, "p"]


@pytest.mark.parametrize(
    ("text", "count"), [("k3 tbl", 3), ("knit 4 through back loops", 4), ("sl 2 wyif", 2), ("slip 5 sts purlwise", 5)]
)
def test_a_number_before_what_qualifies_it(text: str, count: int) -> None:
    first = steps(f"{text}, p1")[0]
    assert isinstance(first, Stitch)
    assert first.count == (count,)


def test_a_cable_printed_out_in_full() -> None:
    printed = steps("p2, slip 3 sts to cn and hold in back, k3, k3 from cn, p2")
    moved = [(step.count, step.off) for step in printed if isinstance(step, CableNeedle)]
    assert moved == [((3,), False), ((3,), True)]


def test_every_stitch_that_can_be_read_is_a_technique() -> None:
    for _, name in printed_spellings():
        assert technique(name).name == name
