"""Crochet terms: the same line gives the right stitch in US and in UK terms (common practice)."""

from __future__ import annotations

import json

import pytest

from lessonplan.needle.order.lines import work_lines
from lessonplan.needle.stitch.live import Needle
from tests.command import run


@pytest.mark.parametrize(
    ("text", "us", "uk"),
    [
        ("1 dc in each st around", {"dc": 12}, {"sc": 12}),
        ("*1 tr in next st, 1 htr in next st; rep from *", {"tr": 6, "hdc": 6}, {"dc": 6, "hdc": 6}),
        ("Double crochet in each st around", {"dc": 12}, {"sc": 12}),
        ("Treble crochet in each st around", {"tr": 12}, {"dc": 12}),
        ("dtr in each st around", {"dtr": 12}, {"tr": 12}),
        ("*dc2tog; rep from * around", {"dc2tog": 6}, {"sc2tog": 6}),
    ],
)
def test_a_line_gives_the_stitch_of_its_terms(text: str, us: dict[str, int], uk: dict[str, int]) -> None:
    for terms, wanted in (("us", us), ("uk", uk)):
        worked = work_lines([text], Needle(12), terms=terms)
        assert dict(worked.rounds[0].techniques) == wanted


def test_an_increase_is_of_the_main_stitch() -> None:
    worked = work_lines(["*3 dc, inc; rep from * around"], Needle(12), terms="uk")
    assert (worked.needle.stitches, worked.rounds[0].techniques) == (15, (("sc", 15),))


@pytest.mark.parametrize(
    ("text", "terms", "problems"),
    [
        ("2 sc in each st", "uk", [(3, "“sc” is a US term, but the pattern is said to be in UK terms")]),
        ("htr in each st", "us", [(1, "“htr” is a UK term, but the pattern is said to be in US terms")]),
        ("2 sc in each st", "us", []),
        ("htr in each st", "uk", []),
    ],
)
def test_a_word_of_the_other_terms_is_said(text: str, terms: str, problems: list[tuple[int, str]]) -> None:
    worked = work_lines([text], Needle(6), terms=terms)
    assert [(each.column, each.sentence) for each in worked.problems] == problems
    assert {each.severity for each in worked.problems} <= {"note"}


def test_the_command_takes_terms() -> None:
    call = ("count", "--json", "--on", "6", "2dc in each st")
    found = [run(*call, *more) for more in ([], ["--terms", "uk"])]
    names = [list(json.loads(done.stdout)["lines"][0]["techniques"]) for done in found]
    assert names == [["dc"], ["sc"]]
    assert run(*call, "--terms", "fr").returncode == 2
