"""Places of problems: the line and column that an editor shows, whatever stands before them, in every encoding."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from lessonplan.course.read import load
from lessonplan.course.yamltext import read_yaml
from tests.small_course import PATTERN, write_course

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


@pytest.mark.parametrize("key", ["~", "~odd", "~CastOn"])
@pytest.mark.parametrize("before", ["title:", "  edge:", "    title:", "        join:"])
def test_a_key_may_begin_with_any_sign(tmp_path: Path, key: str, before: str) -> None:
    """It is told of where it stands."""
    lines = PATTERN.splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if line.startswith(before))
    indent = len(before) - len(before.lstrip())
    lines.insert(at, f"{' ' * indent}{key}: 3\n")
    problems = load(write_course(tmp_path, {"pattern.yaml": "".join(lines)})).problems
    assert at + 1 in {one.where.line for one in problems}


def test_a_key_with_a_sign_of_no_text_is_none() -> None:
    _, problems = read_yaml(b'title: Cowl\n"\\0CastOn": 3\n', "x.yaml")
    assert [str(one) for one in problems] == ["x.yaml:2:2: error key: A key must be a plain word."]
