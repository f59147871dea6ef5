"""Which shot of today a logged take is of, followed by hand through shots that were moved, reworded and taken out."""

from __future__ import annotations

from datetime import date

import pytest

from lessonplan.planning.filmed.kepttakes import KnownShot, KnownShots, placed
from lessonplan.shoot.takes.log import Take

DAY = date(2027, 3, 6)
# Agreed were the knot (slate 1, then 1.1.1), the edge (2, 1.1.2) and the rib (3, 1.2.1). Since then a greeting was put
# before them all, the knot is called “First a knot”, and the edge was taken out.
KNOWN = KnownShots(
    (
        KnownShot("1.1.1", 0, ("Hello",)),
        KnownShot("1.2.1", 1, ("First a knot", "The *knot*")),
        KnownShot("1.3.1", 3, ("Two & two",)),
    ),
    {"1.1.1": 1, "1.1.2": 2, "1.2.1": 3},
)
FRESH = KnownShots((KnownShot("1.1.1", 0, ("The knot",)), KnownShot("1.1.2", 0, ("The edge",))))


def placing(known: KnownShots, shot: str, slate: int = 0, title: str = "") -> tuple[list[tuple[str, int]], list[str]]:
    take = Take("a-1", "a", DAY, shot, 1, 3600, 3660, slate=slate, title=title)
    takes, problems = placed([take], known)
    return [(one.shot, one.slate) for one in takes], [f"{one.severity} {one.code}" for one in problems]


@pytest.mark.parametrize(
    ("shot", "slate", "title", "is_of"),
    [
        ("1.1.1", 0, "", ("1.2.1", 1)),  # a typed log, from the papers of the agreement
        ("1.2.1", 0, "", ("1.3.1", 3)),
        ("1.1.1", 1, "The knot", ("1.2.1", 1)),
        ("1.2.1", 3, "", ("1.3.1", 3)),  # the slate counts, with its number when agreed or now
        ("1.3.1", 3, "", ("1.3.1", 3)),
        ("", 3, "two, TWO", ("1.3.1", 3)),
        ("1.1.1", 0, "Hello", ("1.1.1", 0)),  # the new shot, logged with its number of today
        ("1.2.1", 0, "First a knot", ("1.2.1", 1)),  # from today's papers
    ],
)
def test_a_take_finds_its_shot(shot: str, slate: int, title: str, is_of: tuple[str, int]) -> None:
    assert placing(KNOWN, shot, slate, title) == ([is_of], [])


@pytest.mark.parametrize(
    ("shot", "slate", "title"),
    [("1.1.1", 3, "The knot"), ("1.2.1", 1, "Two & two"), ("1.3.1", 1, "Two & two"), ("1.1.2", 0, "Hello")],
)
def test_a_title_of_another_shot_is_an_error_and_the_take_left_out(shot: str, slate: int, title: str) -> None:
    assert placing(KNOWN, shot, slate, title) == ([], ["error title"])


def test_a_number_that_its_slate_never_had_is_told() -> None:
    """One of the two is a slip of the pen; a title would tell which."""
    assert placing(KNOWN, "9.9.9", 3) == ([("1.3.1", 3)], ["warning other-number"])
    assert placing(KNOWN, "1.1.1", 3) == ([("1.3.1", 3)], ["warning other-number"])
    assert placing(KNOWN, "9.9.9", 3, "two & two") == ([("1.3.1", 3)], [])


def test_a_shot_is_named_with_the_slate_and_title_that_it_has() -> None:
    assert [str(one) for one in (*KNOWN.shots, KnownShot("2.1.1", 7))] == [
        "shot 1.1.1, “Hello”",
        "shot 1.2.1 (slate 1), “First a knot”",
        "shot 1.3.1 (slate 3), “Two & two”",
        "shot 2.1.1 (slate 7)",
    ]


def test_a_title_of_no_shot_is_told_of() -> None:
    assert placing(KNOWN, "1.1.1", 1, "Knots") == ([("1.2.1", 1)], ["warning new-title"])
    assert placing(FRESH, "1.1.2", 0, "Edging") == ([("1.1.2", 0)], ["warning new-title"])


@pytest.mark.parametrize(("shot", "slate"), [("1.1.2", 0), ("1.1.2", 2), ("", 2)])
def test_a_take_of_a_shot_that_is_gone_counts_for_none(shot: str, slate: int) -> None:
    """Not for the shot that bears its number by now, if there is one."""
    assert placing(KNOWN, shot, slate) == ([("slate-2", 2)], ["warning unknown-shot"])


def test_what_was_never_there_is_kept_and_told_of() -> None:
    assert placing(KNOWN, "4.4.4") == ([("4.4.4", 0)], ["warning unknown-shot"])
    assert placing(KNOWN, "", 9) == ([("", 9)], ["warning unknown-shot"])
    for number in ("1.3.1", "1.2.1"):  # today's, and that of the agreement
        assert placing(KNOWN, number, 9) == ([("1.3.1", 3)], ["warning unknown-slate"])


def test_before_anything_is_agreed_numbers_are_todays() -> None:
    assert placing(FRESH, "1.1.2") == ([("1.1.2", 0)], [])
    assert placing(FRESH, "1.1.2", 2, "The edge") == ([("1.1.2", 0)], [])
    assert placing(FRESH, "1.1.2", 0, "The knot") == ([], ["error title"])


def test_the_nearest_number_is_named() -> None:
    _, (problem,) = placed([Take("a", "a", DAY, "1.1.22", 1, None, None)], FRESH)
    assert problem.message == "The course has no shot “1.1.22”."
    assert problem.hint == "Did you mean “1.1.2”?"
