"""Lines that cannot be read: one plain sentence and the column where the teacher wrote it."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lessonplan.printed.line import MAX_LENGTH, NotationError, parse_line


def error(text: str, sizes: int = 1) -> NotationError:
    with pytest.raises(NotationError) as caught:
        parse_line(text, sizes)
    return caught.value


@pytest.mark.parametrize(
    ("text", "column", "sentence"),
    [
        ("k2, frog 3, k1", 5, "“frog” cannot be read here"),
        ("Rnd 12:  K2,   zz, k1", 16, "“zz” cannot be read here"),
        ("k2, (p2, k1", 5, "the bracket opened here is never closed"),
        ("k2, p2), k1", 7, "“)” closes a bracket that was not opened"),
        ("k2, (p2], k1", 8, "“]” closes a bracket that was not opened"),
        ("k2, rep from * to end", 5, "says to repeat from an asterisk, but no asterisk stands before it"),
        ("*k2, p2", 7, "an asterisk opens a repeat, but the line never says “repeat from *”"),
        ("knit to", 7, "the line breaks off before its last instruction is complete"),
        ("", 1, "there is nothing to work in an empty line"),
        ("   ", 1, "there is nothing to work in an empty line"),
    ],
)
def test_what_cannot_be_read_and_where(text: str, column: int, sentence: str) -> None:
    assert (error(text).column, error(text).sentence) == (column, sentence)


def test_a_slip_of_the_pen_names_the_nearest_abbreviation() -> None:
    assert error("k2, k2tgo, k1").sentence == "“k2tgo” cannot be read here; did you mean “k2tog”?"


@pytest.mark.parametrize(
    "lead", ["", "Rnd 1: ", "Row 1 (RS) – ", "\u00a0\u00a0", "Knit two, ", "*K2, p2*, rep to last 3 sts, "]
)
def test_the_column_is_that_of_the_print_whatever_stands_before(lead: str) -> None:
    assert error(f"{lead}yo, xyzzy, k1").column == len(lead) + 5


@pytest.mark.parametrize(
    ("text", "sizes", "column", "sentence"),
    [
        ("k2, k 4 (5, 6)", 1, 7, "gives 3 numbers, one for each size, but the pattern has one size"),
        ("CO 48 (52, 56) sts", 4, 4, "gives 3 numbers, one for each size, but the pattern has 4 sizes"),
    ],
)
def test_numbers_that_do_not_match_the_sizes(text: str, sizes: int, column: int, sentence: str) -> None:
    assert (error(text, sizes).column, error(text, sizes).sentence) == (column, sentence)


def test_a_page_pasted_into_a_line_is_refused() -> None:
    assert error("k1, " * MAX_LENGTH).sentence.startswith("an instruction line longer than")


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
