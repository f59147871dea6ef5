"""What is shaped, where, in which rows, until when and with what beside it: every one read with every other.

How often a shaping is worked is counted here from the words for its rows alone, and the stitches from that: one for
each edge and time. Parts that print seldom joins are drawn at random, the same ones each time.
"""

from __future__ import annotations

import random

import pytest

from lessonplan.needle.count import count_lines

VERBS = (("Dec 1 st", -1), ("Dec. 1 st.", -1), ("Decrease one stitch", -1), ("Inc 1 st", 1), ("Increase 1 stitch", 1))
PLACES = (
    ("at each end of", 2), ("each end of", 2), ("at both ends of", 2), ("each side on", 2), ("at beg and end of", 2),
    ("at either end of", 2), ("at neck edge of", 1), ("at armhole edge on", 1), ("at beg of", 1), ("neck edge on", 1),
    ("at shaped edge of", 1), ("at neck edge only on", 1), ("at same edge on", 1),
)  # fmt: skip
ROWS = (
    ("next row", 1), ("next 4 rows", 4), ("foll 3 alt rows", 3), ("next 3 RS rows", 3), ("next and foll 3 alt rows", 4),
    ("next and foll alt row", 2), ("next row and foll 4th row", 2), ("5th and foll 8th row", 2),
    ("5th and foll 3 8th rows", 4), ("next 2 rows, then on foll 3 alt rows", 5), ("next 5 rows and foll 6th row", 6),
    ("next 2 rows, then foll 3 4th rows", 5), ("next 3 rows, on foll 2 alt rows, then on foll 4th row", 6),
    ("every foll alt row 5 times", 5), ("alt rows 6 times", 6), ("every RS row 4 times", 4), ("every k row 3 times", 3),
    ("every 4th row 2 times, then every alt row 3 times", 5), ("every row 3 times, then on alt rows 2 times", 5),
    ("next row, then on foll 4 alt rows", 5), ("the following 4 alternate rows", 4),
)  # fmt: skip
"""In which rows is shaped, with how often that is."""
OPEN = (
    "next and every foll alt row", "next and foll alt rows", "every row", "alt rows", "RS rows", "every foll 6th row",
    "5th and every foll 6th row", "this row and every foll alt row", "next 3 rows, then on every foll alt row",
    "next 2 rows and then on alt rows", "every k row", "next and every foll row", "3rd row and every foll 3rd row",
)  # fmt: skip
"""The same where only a count tells how often."""
GOALS = {
    -1: ("until {} sts rem", "to {} sts", "until {} sts are left", "until {} remain"),
    1: ("until there are {} sts", "to {} sts", "until sts number {}", "until you have {} sts"),
}
LEADS = (
    "", "", "Keeping patt correct, ", "Shape raglans: ", "SHAPE ARMHOLES. ", "Next row: ", "Cont in patt, ",
    "Keeping armhole edge straight, ", "Work 4 rows straight, then ", "Work straight for 4 cm, then ",
    "Change to 4 mm needles and ", "With RS facing, ", "Now ",
)  # fmt: skip
TAILS = (
    "", "", ", ending with a WS row", ", taking extra sts into rib", ", at the same time keeping patt correct",
    ". P 1 row", ", then work 1 row", ", thus ending with a p row", ". Work 3 rows straight",
    " and keeping neck edge straight",
)  # fmt: skip
DRAWN = 20


def _sentence(draw: random.Random, verb: str, place: str, rows: str, goal: str = "") -> str:
    """A line of these parts, in one of the orders that print has them in."""
    begin, end = draw.choice(LEADS), draw.choice(TAILS)
    begins = begin[-2:] in ("", ". ", ": ")
    verb = verb if begins else verb[0].lower() + verb[1:]
    where, _, of = place.rpartition(" ")
    order = draw.randrange(4) if place.startswith("at ") else 0
    if order == 1:
        first = "On" if begins else "on"
        return f"{begin}{first} {rows} {verb[0].lower()}{verb[1:]} {where}{goal}{end}."
    if order == 2:
        return f"{begin}{verb} on {rows} {where}{goal}{end}."
    return f"{begin}{verb} {where} {of} {rows}{goal}{end}."


@pytest.mark.parametrize("rows", ROWS, ids=lambda rows: str(rows[0]))
def test_rows_that_say_how_often(rows: tuple[str, int]) -> None:
    draw = random.Random(rows[0])
    for _ in range(DRAWN):
        (verb, by), (place, edges) = draw.choice(VERBS), draw.choice(PLACES)
        text = _sentence(draw, verb, place, rows[0])
        done = count_lines([text], [90], flat=True)
        assert done.lines[0].stitches == (90 + by * edges * rows[1],), (text, done.problems)


@pytest.mark.parametrize("rows", OPEN)
def test_rows_until_a_count(rows: str) -> None:
    draw = random.Random(rows)
    for often in range(5, 5 + DRAWN):
        (verb, by), (place, edges) = draw.choice(VERBS), draw.choice(PLACES)
        goal = 90 + by * edges * (often % 9 + 5)
        text = _sentence(draw, verb, place, rows, " " + draw.choice(GOALS[by]).format(goal))
        done = count_lines([text], [90], flat=True)
        assert done.lines[0].stitches == (goal,), (text, done.problems)


def test_rows_of_which_nothing_tells_how_often_have_no_count() -> None:
    for rows in ("next and foll 4th rows", "5th and every foll 6th row", "every alt row"):
        done = count_lines([f"Dec 1 st at each end of {rows}."], [60], flat=True)
        assert done.lines[0].stitches == (None,), rows


@pytest.mark.parametrize("rows", ["Rows 3-10", "Next 8 rows"])
def test_a_label_says_in_how_many_rows_every_one_is_shaped_and_not_every_second(rows: str) -> None:
    (each,) = count_lines([f"{rows}: Dec 1 st at each end of every row."], [60], flat=True).lines
    assert (each.stitches, each.rounds) == ((60 - 8 * 2,), (8,))
    # Four or three of eight rows, by which of them is the first: two stitches fewer once is neither.
    assert count_lines([f"{rows}: Dec 1 st at each end of every other row."], [60], flat=True).lines[0].stitches == (
        None,
    )


def test_a_second_goal_is_not_passed_over() -> None:
    text = "Inc 1 st at both ends of every 4th row until there are 84 sts, then at both ends of alt rows to 96 sts."
    assert count_lines([text], [60], flat=True).lines[0].stitches == (96,)
