"""What `build` makes of the three courses is what is kept; and the comparison itself finds what it must."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from tests import golden


@pytest.fixture(scope="module")
def made() -> dict[str, bytes]:
    return golden.made()


@pytest.mark.parametrize("folder", [*(Path(course).name for course in golden.COURSES), golden.SHARED])
def test_every_file_is_as_kept(made: dict[str, bytes], folder: str) -> None:
    def of(files: golden.Files) -> golden.Files:
        return {name: data for name, data in files.items() if name.startswith(f"{folder}/")}

    assert of(made), "nothing was made"
    found = list(golden.differences(of(golden.kept()), of(made)))
    assert not found, "\n\n".join([*found, "If this is meant: python -m tests.golden --renew"])


def test_nothing_else_is_kept(made: dict[str, bytes]) -> None:
    assert {name.split("/")[0] for name in golden.kept()} == {name.split("/")[0] for name in made}


@pytest.mark.parametrize("course", golden.COURSES)
def test_the_courses_are_all_clear(root: Path, course: str) -> None:
    assert [str(problem) for problem in lessonplan.plan(root / course).problems] == []


def test_differing_missing_and_extra_files_are_told_apart() -> None:
    old = {"a/same.csv": b"1\n", "a/gone.csv": b"", "a/other.csv": b"one\ntwo\nthree\nfour\n"}
    new = {"a/same.csv": b"1\n", "a/more.csv": b"", "a/other.csv": b"one\ntwo\n3\nfour\n"}
    assert list(golden.differences(old, new)) == [
        "a/gone.csv: is kept, and was not made",
        "a/more.csv: was made, and is not kept",
        "a/other.csv: differs\n--- kept\n+++ made\n@@ -2,3 +2,3 @@\n two\n-three\n+3\n four",
    ]


def test_a_lost_line_end_is_a_difference() -> None:
    assert list(golden.differences({"a.ics": b"A\r\n"}, {"a.ics": b"A\n"})) == [
        "a.ics: differs\n--- kept\n+++ made\n@@ -1,2 +1,2 @@\n-A\\r\n+A\n "
    ]


def test_a_long_difference_is_cut() -> None:
    old, new = "\n".join("abcdefgh").encode(), "\n".join("ABCDEFGH").encode()
    (said,) = golden.differences({"a": old}, {"a": new}, most=5)
    assert said.splitlines()[-1] == "... 14 lines more"  # 2 of head, 1 of place, 8 gone, 8 new: 19 in all


def test_a_page_is_laid_out_line_by_line() -> None:
    shared: dict[str, str] = {}
    style = "b { color: red }"
    # The digest is that of `printf 'b { color: red }' | openssl dgst -sha256 -binary | base64`.
    page = (
        "<meta content=\"style-src 'sha256-DIGEST'\">\n\n  <style>b { color: red }</style>\n<p>A <b>bold</b> word</p>\n"
        '<svg aria-labelledby="picture-7-t"><title id="picture-7-t">Piece 7</title><g><path d="M0 0"/></g></svg>\n'
        '<script type="application/json">[{"a":1},{"b":2}]</script>'
    ).replace("DIGEST", "O28scEPi1wp28nkUG+W8j5nTbUOBZEuee0EWEjDpinQ=")
    assert golden.page_text(page, shared).splitlines() == [
        "<meta content=\"style-src 'sha256-[css-1.css]'\">",
        "<style>[css-1.css]</style>",
        "<p>A <b>bold</b> word</p>",
        '<svg aria-labelledby="picture-n-t">',
        '<title id="picture-n-t">Piece 7</title>',
        "<g>",
        '<path d="M0 0"/>',
        "</g>",
        "</svg>",
        '<script type="application/json">[{"a":1},',
        '{"b":2}]</script>',
    ]
    assert shared == {style: "css-1.css"}
