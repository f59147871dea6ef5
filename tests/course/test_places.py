"""Places of problems: the line and column that an editor shows, whatever stands before them, in every encoding."""

from __future__ import annotations

import codecs

import pytest

from lessonplan.course.yamltext import read_yaml

ACCENTS = "".join(f"k{n}: {'é' * 40} 🧶 Łódź\n" for n in range(30))


def place(data: bytes) -> tuple[str, int, int]:
    _, (problem, *_) = read_yaml(data, "x.yaml")
    return problem.code, problem.where.line, problem.where.column


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-16-be"])
def test_the_place_is_the_same_in_every_encoding_and_with_every_line_end(codec: str, end: str) -> None:
    mark = codecs.BOM_UTF16_BE if codec == "utf-16-be" else b""
    for text, told in (
        (ACCENTS + "né: a\x07b\n", ("character", 31, 6)),
        (ACCENTS + "k1: again\n", ("duplicate-key", 31, 1)),
        (ACCENTS + "né: é: é\n", ("yaml", 31, 6)),
        (ACCENTS + "né: *é\n", ("alias", 31, 5)),
        (ACCENTS + "né: [é, é\n", ("yaml", 31, 5)),
    ):
        assert place(mark + text.replace("\n", end).encode(codec)) == told


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_what_is_not_utf_8_is_told_of_by_its_sign_not_by_its_byte(end: str) -> None:
    before = (ACCENTS + "né: é").replace("\n", end)
    assert place(before.encode() + "é".encode("cp1252") + b" x") == ("encoding", 31, 6)
    assert place("é: Łódź".encode("utf-16")[:-1])[0] == "encoding"


@pytest.mark.parametrize(
    "text", ["a: &", "a: b\nc: *", "a: b\n? [", "a: 'b\n", "a: {b", "a: b\n- c", "a:\n\t", "- &x\n"]
)
def test_a_file_that_breaks_off_is_told_of_inside_it(text: str) -> None:
    for whole in (text, text + "\n", text + "\n\n"):
        _, line, column = place(whole.encode())
        lines = whole.split("\n")
        assert 1 <= line <= len(lines)
        assert 1 <= column <= len(lines[line - 1]) + 1
