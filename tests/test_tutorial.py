"""The tutorial is true: what it shows is what is answered, and a page that shows something else is found."""

from __future__ import annotations

from pathlib import Path

from tests.tutorial import PAGE, walked


def test_the_tutorial_shows_what_is_really_answered(tmp_path: Path) -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert page.count("\n$ lessonplan ") >= 12
    assert walked(page, tmp_path) == page


def test_an_answer_that_is_no_more_given_is_found(tmp_path: Path) -> None:
    stale = "```console\n$ lessonplan keys filsm\nThere is no such key.\n```"
    assert walked(stale, tmp_path) == (
        "```console\n$ lessonplan keys filsm\nThere is no key “filsm”. Did you mean “films”?\n```"
    )
