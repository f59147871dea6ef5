from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonplan.course.problems import Problem, Where
from lessonplan.course.yamltext import MAX_BYTES, MarkedMap, read_yaml


def read(text: str | bytes) -> tuple[MarkedMap | None, list[Problem]]:
    return read_yaml(text.encode() if isinstance(text, str) else text, "a.yaml")


def only(text: str | bytes) -> Problem:
    _, problems = read(text)
    assert len(problems) == 1
    return problems[0]


def test_values_stay_as_they_were_typed() -> None:
    value, problems = read("at: 12:30\nlive: no\nknit: 014\nodd: 1e3\nday: 2027-03-06\nnothing: ~\n")
    assert problems == []
    assert value == {"at": "12:30", "live": "no", "knit": "014", "odd": "1e3", "day": "2027-03-06", "nothing": None}


def test_every_value_has_its_place() -> None:
    value, _ = read("a: 1\nb:\n  - x\n  - y\nc: |\n  first\n  second\n")
    assert value is not None
    assert value.marks.keys["b"] == Where("a.yaml", 2, 1)
    assert value.marks.values["b", 1] == Where("a.yaml", 4, 5)
    assert value.marks.values["c",] == Where("a.yaml", 6, 3)


def test_a_quoted_text_begins_after_the_quote() -> None:
    value, _ = read('a: "k2"\n')
    assert value is not None
    assert value.marks.values["a",] == Where("a.yaml", 1, 5)


def test_a_byte_order_mark_crlf_and_other_alphabets_are_fine() -> None:
    value, problems = read("\ufefftitle: Łódź 🧶\r\nhost: Ærø\r\n".encode())
    assert (value, problems) == ({"title": "Łódź 🧶", "host": "Ærø"}, [])


def test_utf_16_is_read() -> None:
    value, _ = read("title: Ærø\n".encode("utf-16"))
    assert value == {"title": "Ærø"}


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("a: 1\na: 2\n", "duplicate-key", 2),
        ("a: &x 1\nb: *x\n", "alias", 1),
        ("a:\n\tb: 1\n", "tab", 2),
        ("a: 1\n  b: 2\n", "yaml", 2),
        ("a: say: this\n", "yaml", 1),
        ('a: "open\n', "yaml", 1),
        ("a: 1\nb: [1, 2\n", "yaml", 2),
        ("- 1\n- 2\n", "not-a-mapping", 1),
        ("", "empty-file", 0),
        ("  \n", "empty-file", 0),
        ("# nothing\n", "empty-file", 0),
        ("a: 1\n---\nb: 2\n", "yaml", 2),
    ],
)
def test_what_cannot_be_read_is_one_sentence(text: str, code: str, line: int) -> None:
    problem = only(text)
    assert (problem.code, problem.where.line) == (code, line)
    assert problem.message.endswith(".")


def test_an_instruction_that_begins_with_a_star_asks_for_quotes() -> None:
    assert "quotes" in only("lines: *k2, p2; rep from * to end\n").hint


def test_a_wrong_encoding_names_the_byte() -> None:
    problem = only("title: x\nhost: M\u00fcller\n".encode("latin-1"))
    assert (problem.code, problem.where.line, problem.where.column) == ("encoding", 2, 8)


def test_an_alias_bomb_is_refused_at_once() -> None:
    lines = ["a: &a [x, x]"] + [
        f"{b}: &{b} [*{a}, *{a}, *{a}, *{a}, *{a}, *{a}]" for a, b in zip("abcdefghij", "bcdefghijk", strict=True)
    ]
    assert only("\n".join(lines)).code == "alias"


def test_deep_nesting_is_refused() -> None:
    assert only("a: " + "[" * 60 + "]" * 60).code == "too-deep"


def test_a_huge_file_is_refused() -> None:
    assert only(b"a: " + b"x" * MAX_BYTES).code == "too-big"


@given(st.binary(max_size=200))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    value, problems = read_yaml(data, "a.yaml")
    assert value is not None or problems


@given(st.text(alphabet="ab:-*&!|> \n\t\"'[]{}#,?%@`", max_size=60))
def test_no_punctuation_breaks_the_reader(text: str) -> None:
    value, problems = read_yaml(text.encode(), "a.yaml")
    assert value is not None or problems
