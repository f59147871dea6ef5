"""Lines of crochet made by a model of print that varies one slot at a time, and whose counts the model knows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from lessonplan.needle.count import count_lines


@dataclass(frozen=True)
class Made:
    """Stitches made into one place, as printed, with what they take of the row below and make."""

    text: str
    takes: int
    makes: int


EACH = (
    "in each st across", "into every stitch of the row", "in all 21 sts", "over each sc of row below", "on each sc",
    "in back loop only of each st", "into the back strand only of each sc", "picking up front loop, in each sc across",
    "inserting hook under the front loop of each st", "in horizontal bar behind each st", "around the post of each st",
    "in next and every foll st", "in each st to the other end",
)  # fmt: skip
ALL_BUT_ONE = (
    "in each st to last st", "in each st until 1 st remains", "in each st except last st", "in all but the last st",
    "in each st to within 1 st of end",
)  # fmt: skip
GROUPS = (
    Made("3 dc in next st", 1, 3), Made("(dc, ch 1, dc) in next st", 1, 2),
    Made("in next st work 2 dc, ch 2 and 2 dc", 1, 4),
    Made("5-dc popcorn in next st", 1, 1), Made("dec 1 sc", 2, 1), Made("dec over next 2 sts", 2, 1),
    Made("leaving last loop of each on hook, dc in next 2 sts, yo and draw through all 3 loops on hook", 2, 1),
    Made("(yo, insert hook in next st, yo, pull up a loop, yo, draw through 2 loops) twice, yo, draw through all loops",
         2, 1),
    Made("skip next st, dc in next st, working in front of dc just made, dc in skipped st", 2, 2),
    Made("(sc, ch 3, sc) in next st", 1, 2), Made("dc in next st, ch 2, skip next st", 2, 1),
)  # fmt: skip
AGAIN = ("*{}; rep from * {} times more", "({}) {} times", "*{}* repeat {} times in all", "[{}] x {}")
CHAINS = (
    ("Ch 3 (counts as dc), ", 1), ("Ch 3 for first dc, ", 1), ("3 ch to stand for first dc, miss first st, ", 1),
    ("Ch 1, ", 0), ("Ch 2 (does not count as a st), ", 0), ("Ch 1 to turn, ", 0),
)  # fmt: skip


def each_place() -> Iterator[tuple[str, int, int]]:
    """Lines with the stitches before and after them: one slot is another each time."""
    for where in EACH:
        yield f"Row 4: Ch 1, sc {where}, turn.", 21, 21
    for where in ALL_BUT_ONE:
        yield f"Row 4: Ch 1, sc {where}, 2 sc in last st, turn.", 21, 22
    for group in GROUPS:
        for number, again in enumerate(AGAIN):
            times = 4 - (number == 0)
            line = f"Row 4: Ch 1, sc in first st, {again.format(group.text, times)}, sc in last st, turn."
            yield line, 2 + 4 * group.takes, 2 + 4 * group.makes
    for chain, stands in CHAINS:
        stitch = "dc" if stands or "2" in chain else "sc"
        yield f"Row 4: {chain}{stitch} in next 8 sts, 2 {stitch} in last st, turn.", 9 + stands, 10 + stands
    yield "Row 4: Ch 3, dc in same st, dc in each st to end, dc again in last st, turn.", 21, 23
    yield (
        "Rnd 4: 1 sc in each of next 2 sts, *1 sc in each of next 2 sts, 3 ch, sl st in 3rd ch from hook; rep from *.",
        22,
        22,
    )
    for every, number in (("every other", 2), ("every 2nd", 2), ("every 3rd", 3), ("every fourth", 4)):
        for words in ("2 sc in {} st around", "sc around, inc in {} st", "sc in each st, working 2 sc in {} st"):
            yield f"Rnd 4: {words.format(every)}.", 24, 24 + 24 // number
        yield f"Rnd 4: sc in {every} st around.", 24, 24 // number


@pytest.mark.parametrize(("line", "on", "after"), [*each_place()])
def test_a_line_of_the_model_is_counted_as_the_model_does(line: str, on: int, after: int) -> None:
    done = count_lines([line], [on], flat=line.startswith("Row"))
    assert done.lines[0].stitches == (after,), done.problems
    assert not [each for each in done.problems if each.severity == "error"]


GRANNY = ["Row 2: Ch 3 (counts as dc), dc in first st, *skip next 2 sts, 3 dc in next st; rep from * to last 3 sts, "
          "skip 2 sts, 2 dc in last st, turn."]  # fmt: skip
MESH = ["Row 2: Ch 4 (counts as dc and ch 1), skip first 2 sc, dc in next sc, *ch 1, skip next sc, dc in next sc; "
        "rep from * across, turn."]  # fmt: skip
SQUARE = [
    "Ch 4, sl st to form a ring.",
    "Rnd 1: Ch 3 (counts as dc), 2 dc in ring, ch 2, *3 dc in ring, ch 2; rep from * 2 more times, join with sl st.",
    "Rnd 2: Sl st in next 2 dc and into corner sp, ch 3 (counts as dc), (2 dc, ch 2, 3 dc) in same sp, ch {0}, "
    "*(3 dc, ch 2, 3 dc) in next corner sp, ch {0}; rep from * twice more, join.",
]


@pytest.mark.parametrize(
    ("before", "line", "on", "after"),
    [
        # 2 + 6 x 3 + 2 = 22 stand there, seven gaps between them: 1 + 7 x 3 + 1
        (GRANNY, "Ch 3, *3 dc in sp between next two groups; rep from * across, dc in top of tch.", 22, 23),
        (GRANNY, "Ch 3, 3 dc in each space between groups, dc in top of tch, turn.", 22, 23),
        # 11 dc and 10 spaces are 21 places
        (MESH, "Ch 1, sc in each dc and ch-1 sp to last 2 sts, sc2tog, turn.", 21, 20),
        (MESH, "Ch 1, sc2tog, sc in each dc and ch-1 sp to last 2 sts, sc2tog, turn.", 21, 19),
        # a V in each third stitch: 1 + 9 x 2 + 1, then 3 dc over each
        (["Ch 3 (counts as dc), *skip next 2 sts, V-st in next st; rep from * to last 3 sts, skip 2, dc in last st."],
         "Ch 3 (counts as dc), 3 dc in centre of each V-st, dc in last st.", 31, 29),
        # four corners of 6, a side of 3 each
        ([each.format(1) for each in SQUARE],
         "Sl st to corner sp, ch 3, 2 dc, ch 2, 3 dc in same sp, *ch 1, 3 dc in each ch-1 sp along side, ch 1, "
         "(3 dc, ch 2, 3 dc) in corner sp; rep from * 2 more times, ch 1, 3 dc in last ch-1 sp, ch 1, join.", 0, 36),
        ([each.replace(", ch {0}", "") for each in SQUARE],
         "Sl st to corner sp, ch 3, (2 dc, ch 2, 3 dc) in same sp, 3 dc between next two groups, *(3 dc, ch 2, 3 dc) "
         "in corner sp, 3 dc between next two groups; rep from * 2 more times, join.", 0, 36),
    ],
)  # fmt: skip
def test_gaps_and_spaces_of_the_row_below(before: list[str], line: str, on: int, after: int) -> None:
    done = count_lines([*before, line], [on], flat=bool(on))
    assert done.lines[-1].stitches == (after,), done.problems
    assert not [each for each in done.problems if each.severity == "error"]


def test_stitches_said_to_be_left_are_as_many_as_are_left() -> None:
    text = "Row 2: Ch 1, sc in next 5 sts, leaving last 3 sts unworked, turn."
    assert count_lines([text], [8], flat=True).lines[0].stitches == (5,)
    told = count_lines([text], [20], flat=True)
    assert [(each.severity, each.sentence) for each in told.problems] == [
        ("error", "leaves 12 of 20 stitches unworked")
    ]
