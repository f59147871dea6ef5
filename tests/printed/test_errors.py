"""Lines that cannot be read: one plain sentence and the column where the teacher wrote it."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lessonplan.needle.decided.line import Needle
from lessonplan.needle.order.lines import work_lines
from lessonplan.printed.line import MAX_LENGTH, NotationError, parse_line
from lessonplan.printed.line import unread as unread_sentence


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
