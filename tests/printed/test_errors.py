"""Lines that cannot be read: one plain sentence and the column where the teacher wrote it."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings, strategies as st

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from lessonplan.printed.line import MAX_LENGTH, NotationError, parse_line, unread as unread_sentence


def error(text: str, sizes: int = 1) -> NotationError:
    with pytest.raises(NotationError) as caught:
        parse_line(text, sizes)
    return caught.value


def unread(text: str, on: int = 20) -> tuple[str, int, str]:
    """Kind, column and sentence of the one error of a line."""
    (problem,) = [each for each in work_lines([text], Needle(on)).problems if each.severity == "error"]
    return problem.kind, problem.column, problem.sentence


@pytest.mark.parametrize(
    ("text", "column", "sentence"),
    [
        ("k2, frog 3, k1", 5, "“frog” cannot be read here"),
        ("Rnd 12:  K2,   zz, k1", 16, "“zz” cannot be read here"),
        ("k2, (p2, k1", 5, "the bracket opened here is never closed"),
        ("k2, p2), k1", 7, "“)” closes a bracket that was not opened"),
        ("knit to", 6, "“to” cannot be read here"),
    ],
)
def test_what_cannot_be_read_and_where(text: str, column: int, sentence: str) -> None:
    assert unread(text) == ("unread", column, sentence)


def test_a_repeat_from_an_asterisk_that_is_not_there_is_the_patterns_fault() -> None:
    found = error("k2, rep from * to end")
    assert (found.kind, found.column) == ("misfit", 5)
    assert found.sentence == "says to repeat from an asterisk, but no asterisk stands before it"


@pytest.mark.parametrize("text", ["", "   "])
def test_an_empty_line(text: str) -> None:
    assert error(text).sentence == "there is nothing to work in an empty line"


def test_a_slip_of_the_pen_names_the_nearest_abbreviation() -> None:
    assert unread("k2, k2tgo, k1")[2] == "“k2tgo” cannot be read here; did you mean “k2tog”?"


@pytest.mark.parametrize("word", ["on", "in", "Left", "Make", "rem", "with"])
def test_no_plain_word_is_taken_for_a_slip_of_the_pen(word: str) -> None:
    assert "did you mean" not in unread_sentence(word)


@pytest.mark.parametrize("lead", ["", "Rnd 1: ", "Row 1 (RS) – ", "\u00a0\u00a0", "Knit two, "])
def test_the_column_is_that_of_the_print_whatever_stands_before(lead: str) -> None:
    assert unread(f"{lead}yo, xyzzy, k1")[1] == len(lead) + 5


@pytest.mark.parametrize(
    ("text", "sizes", "column", "sentence"),
    [
        ("k2, k 4 (5, 6)", 1, 7, "gives 3 numbers, one for each size, but the pattern has one size"),
        ("CO 48 (52, 56) sts", 4, 4, "gives 3 numbers, one for each size, but the pattern has 4 sizes"),
        ("K12 (14), pm, k to end", 3, 2, "gives 2 numbers, one for each size, but the pattern has 3 sizes"),
        ("K2 (3), k to end. 24 (28, 32) sts.", 3, 2, "gives 2 numbers, one for each size, but the pattern has 3 sizes"),
        ("Rep Rnds 1-2 5 (7) more times", 3, 14, "gives 2 numbers, one for each size, but the pattern has 3 sizes"),
    ],
)
def test_numbers_that_do_not_match_the_sizes(text: str, sizes: int, column: int, sentence: str) -> None:
    assert (error(text, sizes).column, error(text, sizes).sentence) == (column, sentence)


def test_a_page_pasted_into_a_line_is_refused() -> None:
    assert error("k1, " * MAX_LENGTH).sentence.startswith("an instruction line longer than")


def test_words_that_announce_more_may_end_a_line() -> None:
    line = parse_line("Dec 1 st at each end of every other row at the same time")
    assert line.parts, "the shaping is read"
    assert any(doubt.word == "at the same time" for doubt in line.doubts)


@pytest.mark.parametrize("blank", [" ", "\t", "\u00a0", "\u200b", "\ufeff", "_"])
def test_a_line_of_blanks_is_refused_and_a_line_set_in_columns_is_not(blank: str) -> None:
    assert error("K1" + blank * 3_900 + "k1").sentence == "more than 100 blanks in a row are not read"
    assert refusal("K1" + blank * 90 + "k1") is None


def refusal(text: str, sizes: int = 1) -> NotationError | None:
    try:
        parse_line(text, sizes)
    except NotationError as refused:
        return refused
    return None


@settings(max_examples=150, deadline=None)
@given(
    st.text(alphabet=st.sampled_from("kpmsyo 12345()[]*,;.:-–’“”to endrepfrom\u00a0stslaBCO#§_@†\n\t|"), max_size=40)
)
@example("((((((((((")
@example("*" * 30)
@example("_bo §0§ #x#")
def test_any_print_is_read_or_refused_with_a_column_inside_it(text: str) -> None:
    refused = refusal(text)
    assert refused is None or (1 <= refused.column <= max(1, len(text)) and refused.sentence)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30))
def test_any_characters_are_read_or_refused(text: str) -> None:
    refused = refusal(text, 3)
    assert refused is None or 1 <= refused.column <= max(1, len(text))


@pytest.mark.parametrize(
    ("text", "where", "kind", "sentence"),
    [
        ("Row 10001: Knit", "Row", "misfit", "there is no row 10001 in any piece"),
        ("Rows 9-4: Knit", "Rows", "misfit", "counts rounds from 9 to 4, which nobody works"),
        ("Rows 1-10001: Knit", "Rows", "misfit", "counts rounds from 1 to 10001, which nobody works"),
        ("K2, K 100000", "100000", "misfit", "“100000” is more than anybody works"),
        ("K5, K1tog, k2", "K1tog", "misfit", "“k1tog” is one stitch, with nothing to work it together with"),
        ("K5, K0tog, k2", "K0tog", "unread", "“K0tog” is no stitch"),
        ("K5, Finish off 5 sts", "Finish", "unread", "“Finish off 5 st” cannot be read here"),
        ("K5, (( )), k2", "((", "misfit", "the brackets hold nothing that is worked"),
        ("K5" + " " * 101 + "k2", " ", "unread", "more than 100 blanks in a row are not read"),
        ("k1," * 301, "k", "unread", "an instruction line of more than 900 words is not read"),
        ("Row 3:   ", ":", "misfit", "there is nothing to work in this line"),
        ("-", "-", "misfit", "there is nothing to work in this line"),
        ("At the same time, on every 4th row: dec 1 st.", "At", "unread",
         "it is worked in rows of other lines, which is not read"),
        ("Meanwhile, on every 4th row: wibble 3.", "Mean", "unread",
         "it is worked in rows of other lines, which is not read"),
        ("Rnd 2: Sc evenly around armhole.", "Sc", "unread", "how many stitches go along this edge is not said"),
        ("Size Small only: K5", "Size", "unread", "which of the sizes are meant cannot be told from their names"),
        ("k" * (MAX_LENGTH + 1), "k", "unread", "an instruction line longer than 4000 characters is not read"),
    ],
)  # fmt: skip
def test_what_nobody_works_is_told_at_its_place(text: str, where: str, kind: str, sentence: str) -> None:
    found = error(text)
    assert (found.sentence, found.column, found.kind) == (sentence, text.index(where) + 1, kind)


@pytest.mark.parametrize(
    "text", ["Row 10000: Knit", "Rows 1-10000: Knit", "K 99999", "K5" + " " * 100 + "k2", "k1," * 300, "k" * MAX_LENGTH]
)
def test_up_to_its_bound_a_line_is_no_slip(text: str) -> None:
    found = refusal(text)
    assert found is None or found.sentence.startswith(f"“{text[:12]}"), found


@pytest.mark.parametrize(
    "text",
    [
        "Buttonhole: on a RS row work to last 4 sts, k2tog, yo, k2.",
        "At the same time, on every 4th row: k2tog, yo, k to end.",
        "At the same time work a buttonhole on the 18th row.",
        "Shape armholes:",
    ],
)
def test_what_other_rows_work_or_only_announces_is_no_row(text: str) -> None:
    found = refusal(text)
    assert found is None or found.sentence == "there is nothing to work in this line"
    assert found is not None or not parse_line(text).parts
