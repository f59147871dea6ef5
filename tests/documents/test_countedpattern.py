"""What is said of a pattern: states of lines, labels of problems, totals in words, nothing hidden."""

from __future__ import annotations

from lessonplan.documents.countedpattern import PatternView, Row, pattern_problems, pattern_table, pattern_view
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole
from tests.patterns import BACK, HAT, MOUSE


def worked(text: str) -> Whole:
    return work_whole(read_whole(text))


def view(text: str) -> PatternView:
    return pattern_view(worked(text), "file")


def row(found: PatternView, words: str) -> Row:
    return next(one for one in found.rows if one.text.startswith(words))


def test_states_of_lines() -> None:
    found = view(HAT.replace("64 (72, 80) sts", "64 (73, 80) sts").replace("Rnd 2: Knit.", "Rnd 2: Knt wobble."))
    assert row(found, "Knit 30").state == "counted"
    assert row(found, "Rnd 1: *K8").state == "agrees"
    assert row(found, "Rnd 2: Knt").state == "unread"
    right = view(HAT)
    assert row(right, "Rnd 5").stitches == "32\u00a0(36,\u00a040)"
    wrong = row(view(HAT.replace("64 (72, 80) sts", "64 (73, 80) sts")), "Rnd 3")
    assert (wrong.state, wrong.printed) == ("wrong", "64\u00a0(73,\u00a080)")


def test_a_count_on_each_needle_is_shown_as_such() -> None:
    text = "Sock\nCO 60 sts, join in the round.\nKnit 1 rnd. (15 sts on each needle)\n"
    found = row(view(text), "Knit 1 rnd")
    assert (found.stitches, found.printed, found.state) == ("60", "15 on each needle", "agrees")


def test_labels_say_what_is_to_be_done() -> None:
    spoiled = BACK.replace("Repeat Rows 1 and 2 nine times more.", "Work even until piece measures 9 cm.")
    spoiled = spoiled.replace("80 (84, 88, 92) sts remain", "80 (84, 88, 93) sts remain")
    spoiled = spoiled.replace("Work as for Back.", "CO 8 sts.\nRow 1: Knt wobble.")
    found = view(spoiled)
    assert sorted(each.label for each in found.troubles) == ["Ask", "Mend", "Unread"]
    assert dict(found.figures)["To mend"] == dict(found.figures)["Not read"] == dict(found.figures)["To ask"] == "1"
    assert next(each.size for each in found.troubles if each.label == "Mend") == "L"
    assert found.left_out.startswith("Without 1 line that could not be read or worked and 1 length")


def test_totals_in_words() -> None:
    totals = view(MOUSE).totals
    assert [(each.name, each.rounds) for each in totals] == [
        ("Head (grey yarn)", "11 rounds"),
        ("Ears, 2 times", "4 rounds"),
        ("In all", "15 rounds"),
    ]
    assert [each.rounds for each in view("Strip\nCO 9 sts.\nRow 1: Knit.\n").totals] == ["1 row", "1 row"]


def test_every_word_of_the_pattern_stands_on_the_page() -> None:
    for text in (HAT, BACK, MOUSE):
        shown = " ".join(one.text for one in view(text).rows)
        for word in text.replace("*", " ").replace("#", " ").split():
            assert word.strip("-:") in shown, word


def test_the_table_marks_what_is_wrong_and_the_problems_have_places() -> None:
    whole = worked(HAT.replace("64 (72, 80) sts", "64 (73, 80) sts"))
    lines = pattern_table(whole).splitlines()
    assert [line.split()[0] for line in lines if "WRONG" in line] == ["37"]
    assert list(pattern_problems(whole, "hat.txt")) == [
        "hat.txt:37:46: error, counts disagree: size M: prints 73 stitches after this line, but there are 72"
    ]


def test_where_the_sizes_are_told() -> None:
    assert view(HAT).sizes_from == "named in line 6"
    assert view("Hat\nCO 40 (44, 48) sts.\nKnit 2 rows.\n").sizes_from == "as many as most lists have numbers"
    assert view(MOUSE).sizes_from == "one size"


def test_a_line_that_names_more_sizes_than_the_lists_have_is_told_itself() -> None:
    found = view(HAT.replace("Sizes: S (M, L)", "Sizes: S (M, L, XL)"))
    assert [(each.line, each.kind, each.label) for each in found.troubles] == [(6, "sizes", "Mend")]
    assert row(found, "Rnd 5").stitches == "32\u00a0(36,\u00a040)"


def test_a_count_in_prose_before_any_line_is_prose() -> None:
    found = view("Hat\n\nYou should have 60 sts on your needles before you begin.\n\nCO 60 sts.\nKnit 1 row.\n")
    assert (row(found, "You should").kind, row(found, "CO 60").stitches, found.troubles) == ("prose", "60", ())
