"""A word that nobody knows, where one of work could stand, is asked about: no count is given as if it were not there.

Each word of some lines of made-up print is put out of use in turn. The count is then the same as before (the word said
nothing), or none is given; another number, without a word, is the fault that this file looks for.
"""

from __future__ import annotations

import re

import pytest

from lessonplan.needle.count import count_lines
from tests.needle.test_invented_print import Case, cases

EVERY = 61
MOST = 0.015
"""The part of the words that may be missed: some stand where a remark does (`turn. Wibble work.`)."""


def alone() -> list[tuple[Case, tuple[int, ...], str, tuple[int, ...]]]:
    """Lines with the stitches before and after each, as counted by head."""
    found = []
    for case in cases():
        on: tuple[int, ...] | None = case.on
        for text, _, after in case.lines:
            then = None if after in "-?" else tuple(int(word) for word in after.split())
            if on and then:
                found.append((case, on, text, then))
            on = then
    return found


def given(case: Case, on: tuple[int, ...], text: str) -> tuple[tuple[int | None, ...], bool]:
    """The count of a line worked alone, and whether anything but a remark is said of it."""
    counted = count_lines([text], on, flat=case.flat)
    said = any(each.severity != "note" or "sure" in each.sentence for each in counted.problems)
    return counted.lines[0].stitches, said


def test_a_word_put_out_of_use_gives_no_other_number() -> None:
    tried, wrong = 0, []
    for case, on, text, then in alone()[::EVERY]:
        if given(case, on, text) != (then, False):
            continue
        for word in re.finditer(r"[A-Za-z][a-z]+", text):
            strange = f"{text[: word.start()]}wibble{text[word.end() :]}"
            stitches, said = given(case, on, strange)
            tried += 1
            if not said and any(one not in (None, other) for one, other in zip(stitches, then, strict=True)):
                wrong.append((strange, stitches))
    assert tried > 200
    assert len(wrong) <= MOST * tried, wrong


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("K3, wibble, k2tog, k5.", 10),  # it could make a stitch
        ("K1. wibble. K8. yfwd. K1.", 10),
        ("K2, *yo, sl1-k2tog-wibble, yo, k2; rep from * to last 3 sts, k3.", 25),
        ("Knit 8, knit 2 wibble.", 10),  # it could join them
        ("(K6, k2tog) wibble, k to end.", 40),  # it could be a number of times
        ("Cast off 4 sts at beg of wibble 2 rows.", 40),
        ("Bind off 5 sts, k to wibble.", 20),
        ("Pick up and wibble 16 sts along the edge, k to end.", 20),
        ("Continue in rib and wibble 4 sts evenly in first row.", 44),
        ("Work in rib for 5 cm, wibble 6 sts evenly across last row.", 40),
        ("Decrease 1 st on each side of all markers (= 8 sts decreased). Decrease like wibble 12 times.", 80),
        ("K25, turn and work on these sts only for first wibble of neck.", 70),
        ("Row 2: K3, ◇ k2tog, yo; repeat from ✚ 3 times more, k to end.", 20),
    ],
)
def test_what_could_be_work_is_asked(text: str, on: int) -> None:
    assert count_lines([text], [on], flat=True).lines[0].stitches == (None,)


@pytest.mark.parametrize(
    ("text", "on"),
    [
        ("Rnd 4: Ch 2, [hdc in next 2 sts, 2 wibble in next st] to end, join.", 36),
        ("Rnd 3: (4 sc, wibble) x 6.", 30),
        ("Rnd 2: Ch 3, (2 dc, ch 2, 2 dc) in wibble-2 sp, dc in each st around.", 12),
        ("Row 2: (4 wibble, dec) * 3, 18 sc.", 36),
    ],
)
def test_what_could_be_crochet_is_asked(text: str, on: int) -> None:
    assert count_lines([text], [on]).lines[0].stitches == (None,)


@pytest.mark.parametrize(
    ("text", "after"),
    [("K8, slip next 10 sts onto a wibble, cast on 2 sts, k to end. (12 sts)", 12), ("K to end, wobbling.", 20)],
)
def test_a_printed_count_bears_it_out(text: str, after: int) -> None:
    assert count_lines([text], [20]).lines[0].stitches in ((after,), (None,))
    assert not [each for each in count_lines([text], [20]).problems if each.severity == "error"]
