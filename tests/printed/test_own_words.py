"""Words that a pattern makes for itself, the shorthand of toys, and asides about a chain: data, row by row."""

from __future__ import annotations

import csv

import pytest

from lessonplan.craft.techniques import technique
from lessonplan.needle.count import Counted, count_lines
from lessonplan.printed.words.own import TABLE, own_words
from lessonplan.printed.words.turning import TABLE as ASIDES, meaning


def counted(*lines: str, on: int = 0, flat: bool = False) -> Counted:
    return count_lines(lines, [on], flat=flat)


def test_a_letter_of_the_shorthand_is_a_technique_of_crochet() -> None:
    with TABLE.open(encoding="utf-8", newline="") as file:
        letters = {row["letter"]: row["value"] for row in csv.DictReader(file)}
    made = {"X": (1, 1), "V": (1, 2), "A": (2, 1), "T": (1, 1), "F": (1, 1)}  # as their shapes show on a chart
    assert {letter: (technique(name).consumes, technique(name).produces) for letter, name in letters.items()} == made


def test_what_a_pattern_explains_comes_before_the_shorthand() -> None:
    assert own_words(["X = dc, V = 2 dc in one st", "R2: X, V"]) == (("V", "inc"), ("X", "dc"))
    assert dict(own_words(["R2: (X, V) x 6"]))["X"] == "sc"
    assert own_words(["Rnd 2: (sc, inc) x 6", "10 V-sts and 2 dc"]) == ()
    assert own_words(["st = stitch, sc = single crochet"]) == ()  # words that everybody knows


def test_what_is_not_explained_by_a_technique_is_not_read() -> None:
    found = counted("(Q = whatever you like) R1: 6 sc in ring", "R2: (sc, Q) x 3", on=0)
    assert found.lines[1].stitches == (None,)
    assert [problem.severity for problem in found.problems if problem.line == 2] == ["warning"]


SAID = [
    ("= 1 tr", True, "counts"),
    ("= 1 dc, here and always", True, "counts"),
    ("1st tr", True, "counts"),
    ("first dc", True, "counts"),
    ("= 1 tr, 2 ch", True, "counts"),
    ("counts as dc + ch 1", True, "counts"),
    ("the first 3 ch stand for a dc", False, "counts"),
    ("missed 3 ch = 1 tr", False, "counts"),
    ("skipped chs = first dc", False, "counts"),
    ("replace 1st tr with 3 ch", False, "counts"),
    ("not a stitch", True, "not"),
    ("isn't a st, here or later", True, "not"),
    ("the turning chain never counts as a st", False, "not"),
    ("= 1 fan", True, ""),
    ("= 1 dc", False, ""),  # of no chain
    ("2 dc, ch 2", True, ""),
    ("shell made", True, ""),
]


@pytest.mark.parametrize(("words", "beside", "said"), SAID)
def test_an_aside_about_a_chain_is_told_by_its_words(words: str, beside: bool, said: str) -> None:
    assert meaning(words, beside=beside) == said


def test_each_class_of_words_is_in_some_aside() -> None:
    with ASIDES.open(encoding="utf-8", newline="") as file:
        classes = {row["class"]: set(row["words"].split("|")) for row in csv.DictReader(file)}
    used = {word for words, _, _ in SAID for word in words.replace(",", " ").split()}
    assert [name for name, words in classes.items() if not words & used] == []


@pytest.mark.parametrize(
    ("line", "on", "after"),
    [
        ("Ch 3 (= 1 dc), dc in each st across.", 20, 20),  # the chain stands on the first
        ("Ch 3 (not a stitch), dc in each st across.", 20, 20),
        ("Ch 3 (= 1 dc), dc in first st, dc in each st across.", 20, 21),
        ("Ch 3 (not a stitch), 2 dc in first st, dc in each st across.", 20, 21),
        ("Ch 3 (does count as dc), dc in next 5 sts, 2 dc in next st, dc in each st across.", 20, 21),
        ("Ch 1, sc in second st and in each st to the end.", 20, 19),  # the first is left out
        ("Ch 3 (counts as dc), dc in second st and in each st to the end.", 20, 20),
        ("3 ch (= 1 tr), miss 1 tr, 1 tr in next tr, *1 ch, miss 1 tr, 1 tr in next tr; rep from * to end.", 20, 11),
    ],
)
def test_the_chain_stands_where_it_is_said_to_stand(line: str, on: int, after: int) -> None:
    assert counted(line, on=on, flat=True).lines[0].stitches == (after,)


def test_terms_said_in_a_line_are_those_of_the_pattern() -> None:
    said = counted(
        "(UK terms) Make 20 ch.", "Row 1: 1 htr into 3rd ch from hook, 1 htr into each ch to end.", flat=True
    )
    assert [problem.sentence for problem in said.problems if "term" in problem.sentence] == []
    silent = counted("Make 20 ch.", "Row 1: 1 htr into 3rd ch from hook, 1 htr into each ch to end.", flat=True)
    assert [problem.line for problem in silent.problems if "is a UK term" in problem.sentence] == [2]


def test_a_count_with_chains_among_it_is_taken_at_its_word() -> None:
    row = "Ch 1, sc in first st, *ch 1, sk 1 st, sc in next st; rep from * across."
    bare = counted(row, on=21, flat=True)
    assert bare.lines[0].stitches == (None,)  # print counts its 11 stitches, or 21 with the chains
    assert [problem.sentence for problem in bare.problems if "moss stitch" in problem.sentence]
    told = counted(
        f"{row} (21 sts, counting the chs)", "Row 2: sc in each st and each ch across. (21 sc)", on=21, flat=True
    )
    assert [line.stitches for line in told.lines] == [(21,), (21,)]
    assert counted(f"{row} (23 sts, counting the chs)", on=21, flat=True).problems[0].severity == "error"


def test_a_line_that_was_not_read_is_not_worked_again() -> None:
    lines = (
        "Rnd 1: Ch 1, sc in each sc around, with the fancy thing in each of the 4 places you know. (48 sc)",
        "Rnd 2: Rep Rnd 1. (56 sc)",
        "Rnd 3: Sc in each sc and each ch-2 sp around. (60 sc)",
    )
    found = counted(*lines, on=40)
    assert {problem.severity for problem in found.problems} <= {"warning", "note"}
    assert 48 not in found.lines[1].stitches


def test_a_space_is_gone_to_by_its_place() -> None:
    """10 dc, a space, 10 dc: one each side of the space, where it is on the way back too."""
    setup = "Ch 3 (counts as dc), dc in next 9 dc, ch 2, dc in each of next 10 dc."
    row = "Ch 3 (counts as dc), turn, dc in each dc to ch-2 sp, (dc, ch 2, dc) in sp, dc in each dc to end."
    assert [line.stitches for line in counted(setup, row, row, on=20, flat=True).lines] == [(20,), (22,), (24,)]
    lopsided = setup.replace("next 9", "next 4").replace("next 10", "next 15")
    inner = "Ch 1, turn, sc in each dc to 1 st before ch-2 sp, sc2tog, sc in each dc to end."
    assert counted(lopsided, row, on=20, flat=True).lines[1].stitches == (22,)
    assert counted(lopsided, inner, on=20, flat=True).lines[1].stitches == (19,)


def test_sizes_are_called_by_the_names_that_a_line_gives_them() -> None:
    lines = (
        "Sizes Baby (Child, Adult). Rnd 1: Ch 1, 8 (8, 10) sc in ring.",
        "Rnd 2: 2 sc in each sc around.",
        "Sizes Child and Adult only: Rnd 3: *Sc in next sc, 2 sc in next sc; rep from * around.",
        "Size Adult only: Rnd 4: *Sc in next 2 sc, 2 sc in next sc; rep from * around.",
    )
    found = count_lines(lines, [0, 0, 0])
    assert [line.stitches for line in found.lines] == [(8, 8, 10), (16, 16, 20), (16, 24, 30), (16, 24, 40)]
    unknown = count_lines([*lines[:2], "Size Doll only: Rnd 3: sc in each sc around."], [0, 0, 0])
    assert unknown.lines[2].stitches == (None, None, None)


def test_rows_go_to_another_number_in_each_size() -> None:
    rows = "Row 2: Ch 1, sc to last st, 2 sc in last st, turn.", "Rows 3 through 5 (7): Rep Row 2."
    assert count_lines(rows, [20, 20], flat=True).lines[1].stitches == (24, 26)  # 1 + 3 and 1 + 5 more
