"""Where a knitter stops, in words, for a mitten worked by hand."""

from __future__ import annotations

import pytest

from lessonplan.craft.words import common_words
from lessonplan.documents.stopping import stitches, stop_words
from tests.small_pieces import mitten, scarf, steps_of, tube

CUFF = {"edge": -1, "cuff": -1}
HAND = CUFF | {"gusset": -1, "band": -1, "hand": -1}


def said(short: bool = False, **done: int) -> str:
    worked = mitten(short)
    return stop_words(steps_of(worked, **done), worked, 0).sentence


@pytest.mark.parametrize(
    ("done", "words"),
    [
        (
            {"edge": -1},
            "STOP when “Cast-on edge” is done, 44 stitches on the needle; do not cut CC, do not begin “Ribbed cuff”.",
        ),
        (
            {"edge": -1, "cuff": 12},
            "STOP after round 12 of 22 of “Ribbed cuff”, 44 stitches on the needle; do not cut CC, do not work on.",
        ),
        (
            CUFF,
            "STOP after round 22, the last of “Ribbed cuff”, 44 stitches on the needle; "
            "do not cut CC, do not begin “Thumb gusset”.",
        ),
        (  # 57 stitches: the next round puts 13 of them aside
            CUFF | {"gusset": 18},
            "STOP after round 18 of 19 of “Thumb gusset”, 57 stitches on the needle; "
            "do not cut MC, do not put stitches on waste yarn.",
        ),
        (
            HAND | {"top": 13},
            "STOP after round 13, the last round of “Shaped top” (ready to draw through), 8 stitches on the needle "
            "and 13 on waste yarn; do not cut MC, do not draw through, do not take up the held stitches.",
        ),
        (  # drawn shut: the yarn is cut already
            HAND | {"top": -1},
            "STOP when “Shaped top” is done, 13 on waste yarn; do not take up the held stitches.",
        ),
        (
            HAND | {"top": -1, "thumb": 20},
            "STOP when “Shaped top” is done and after round 18 of 19 of “Thumb”, 16 stitches on the needle; "
            "do not cut CC, do not work on.",
        ),
        (
            HAND | {"top": -1, "thumb": -1},
            "STOP when “Shaped top” and “Thumb” are done; do not weave in the ends.",
        ),
        (
            HAND | {"top": -1, "thumb": -1, "ends": -1},
            "STOP when “Weaving in” is done; do not wash or block it.",
        ),
        (HAND | {"top": -1, "thumb": -1, "ends": -1, "blocking": -1}, "Do all of it: finished."),
        ({}, "Nothing is done on it before the shoot."),
    ],
)
def test_where_to_stop_and_what_not_to_do(done: dict[str, int], words: str) -> None:
    assert said(False, **done) == words


def test_a_short_piece_counts_its_own_rounds() -> None:
    assert said(True, edge=-1, cuff=4).startswith("STOP after round 4 of 6 of “Ribbed cuff”")


def test_rows_are_rows_and_a_bind_off_is_named() -> None:
    worked = scarf(count=40, length=100)
    words = stop_words(steps_of(worked, edge=-1, strip=100), worked, 0)
    assert words.where == "STOP after row 100, the last row of “Strip”"
    assert words.do_not == "do not cut the yarn, do not bind off"


def test_a_craft_without_yarn_has_none_to_cut() -> None:
    worked = tube()
    assert (
        stop_words(steps_of(worked, edge=-1), worked, 0, words=common_words("bookbinding")).do_not
        == "do not begin “Body”"
    )


def test_stitches_on_the_needle_and_on_waste_yarn() -> None:
    worked = mitten()
    assert stitches(steps_of(worked, **CUFF), worked, 0) == (44, 0)
    assert stitches(steps_of(worked, **HAND), worked, 0) == (44, 13)
    assert stitches(steps_of(worked, **HAND, top=-1, thumb=-1), worked, 0) == (0, 0)
