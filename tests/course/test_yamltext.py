from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

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


def test_a_file_may_have_two_megabytes() -> None:
    for more, codes in ((0, []), (1, ["too-big"])):
        _, problems = read(b"a: 1\n#" + b"x" * (2_000_000 - 6 + more))
        assert [problem.code for problem in problems] == codes


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
        ("a: 1\n  b: 2\n", "indent", 2),
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


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("note: !Do not cut CC\n", 1, 7),
        ("é: 1\nnote: &Cut CC when the cuff is done\n", 2, 7),
        ("note: !important\n", 1, 7),
        ("grams: !!int 5\n", 1, 8),
        ("all: !x\n  a: 1\n", 1, 6),
        ("a: 1\nall:\n  - x\n  - !Never y\n", 4, 5),
        ("note: ![alt](picture.png) here\n", 1, 7),
        ('note: !Do "not" cut\n', 1, 7),
        ("note: & more\n", 1, 7),
        ("note: @home\n", 1, 7),
        ("lines:\n  - [K2tog] to end\n", 2, 5),
        ('note: "Cut" the yarn\n', 1, 7),
        ("note: >5 cm long\n", 1, 7),
    ],
)
def test_a_text_that_begins_with_a_sign_asks_for_quotes(text: str, line: int, column: int) -> None:
    problem = only(text)
    assert (problem.severity, problem.where.line, problem.where.column) == ("error", line, column)
    assert "quotes" in problem.message


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ('a: 1\nparts:\n  - title: "One\n    say: two\n  - title: Two\n    say: "three"\n', 3, 12),
        ("a: 'One\nb: two\nc: don't\n", 1, 4),
        ('a: "One\nb: two\nc: three\n', 1, 4),
        ('a: "One\nb: two\nc: C:\\users\nd: "four"\n', 1, 4),
        ('a: ["one, two]\nb: ["three"]\n', 1, 5),
        ('all:\n  - "one\n  - "two"\n', 2, 5),
        ('tools: "smaller needle\nsize: 4"\nend: yes\n', 1, 8),
        ('a: "closed"\nb: "One\nc: two\nd: "three"\n', 2, 4),
    ],
)
def test_an_open_quote_is_told_of_where_it_is_opened(text: str, line: int, column: int) -> None:
    """The reader goes on to the next quotation mark and stumbles there, far below, or not at all."""
    problem = only(text)
    assert (problem.code, problem.where.line, problem.where.column) == ("quotes", line, column)
    assert "opened here and not closed" in problem.message


def test_a_text_in_quotes_may_go_over_lines() -> None:
    text = 'say: "We knit the\n  neckband: plain"\nlist:\n  - "one\n    - two"\nflush: "left\nof all"\nlast: ""\n'
    value, problems = read(text)
    assert problems == []
    expected = {"say": "We knit the neckband: plain", "list": ["one - two"], "flush": "left of all", "last": ""}
    assert value == expected


def test_signs_in_quotes_and_inside_a_text_are_letters() -> None:
    value, problems = read("a: \"!Do\"\nb: '&x'\nc: Do! R&D *x*\nd: |\n  !Do\n  &Cut #2\n")
    assert problems == []
    assert value == {"a": "!Do", "b": "&x", "c": "Do! R&D *x*", "d": "!Do\n&Cut #2\n"}


def test_a_sign_does_not_hide_what_else_is_wrong() -> None:
    _, problems = read("a: !x y\nb: &z\na: 2\n")
    assert [(p.code, p.where.line) for p in problems] == [("quotes", 1), ("alias", 2), ("duplicate-key", 3)]


@pytest.mark.parametrize("text", ["title: Mittens #2 of 3\n", "title: Mittens\nneedles:\n  - 4 mm #6\n"])
def test_a_remark_that_may_be_text_is_told_of(text: str) -> None:
    problem = only(text)
    place = text.split("\n")[problem.where.line - 1][problem.where.column - 1 :]
    assert (problem.severity, problem.code, place[0]) == ("warning", "remark", "#")
    assert place in problem.message


def test_remarks_as_people_write_them_are_passed_over() -> None:
    value, problems = read("# all\na: 10 %   # more\nb: C#2 # two\n  #three\nc: |\n  x #4\nd: '#5' #: odd\n")
    assert problems == []
    assert value == {"a": "10 %", "b": "C#2", "c": "x #4\n", "d": "#5"}


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
