"""What is questioned in a pattern: paces that nobody has, floats, ends, and facts that a text names wrongly."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Where
from lessonplan.pattern.facts import Fact
from lessonplan.pattern.texts import check_text, fill, for_size, named, on_screen
from tests.small_course import COURSE, PATTERN, write_course


@pytest.mark.parametrize(
    ("pace", "told"),
    [
        # The published record is 118 stitches in a minute (tests/pattern/test_minutes.py holds the table to it).
        ("knitting: 118", ""),
        ("knitting: 119", "119 stitches a minute (knitting) is above the published record of 118 in one minute."),
        ("on_camera: 2.5", "2.5 stitches a minute (on_camera) is slower than a first-time knitter."),
        ("knitting: 3", ""),
        ("knitting: 20", ""),
    ],
)
def test_paces_that_nobody_has(tmp_path: Path, pace: str, told: str) -> None:
    problems = lessonplan.load(write_course(tmp_path, {"course.yaml": f"{COURSE}pace:\n  {pace}\n"})).problems
    found = [one for one in problems if one.code == "pace"]
    assert [one.message for one in found] == ([told] if told else [])
    assert all(one.where.line == len(COURSE.splitlines()) + 2 for one in found)


def test_the_pace_of_a_knitter_and_an_unknown_technique(tmp_path: Path) -> None:
    more = "knitters:\n  - {name: Bo, pace: 300}\ntechniques: {k2tgo: 1.5}\n"
    problems = lessonplan.load(write_course(tmp_path, {"course.yaml": COURSE + more})).problems
    assert any("300 stitches a minute (Bo)" in one.message for one in problems if one.code == "pace")
    (wrong,) = (one for one in problems if one.code == "technique")
    assert (wrong.severity, wrong.hint) == ("error", "Did you mean “k2tog”?")


CHART = "charts:\n  dots: {colours: {M: MC, C: CC}, rows: [%s]}\n"


@pytest.mark.parametrize(("row", "told"), [("MMMMMC", 0), ("MMMMMMC", 6)])
def test_a_float_longer_than_an_inch_is_noted(tmp_path: Path, row: str, told: int) -> None:
    # 20 stitches to 10 cm are 5.08 to the inch.
    yarns = "  CC: {name: Wool, metres: 100, grams: 50}\nstages:"
    text = PATTERN.replace("stages:", yarns + "", 1).replace("yarns:", CHART % row + "yarns:")
    problems = lessonplan.load(write_course(tmp_path, {"pattern.yaml": text})).problems
    words = [one.message for one in problems if one.code == "float"]
    assert words == (
        [f"The chart “dots” has a float of {told} stitches, more than an inch (5): catch it."] if told else []
    )


@pytest.mark.parametrize(("woven", "told"), [(2, []), (3, []), (1, [2])])
def test_ends_that_are_not_woven_in_are_noted(tmp_path: Path, woven: int, told: list[int]) -> None:
    text = f"{PATTERN}  last:\n    title: Last\n    after: body\n    works:\n      - weave_ends: {woven}\n"
    problems = lessonplan.load(write_course(tmp_path, {"pattern.yaml": text})).problems
    found = [one.message for one in problems if one.code == "ends"]
    assert found == [f"The yarns leave {ends} ends in size one size, and {woven} are woven in." for ends in told]


FACTS = {
    fact.name: fact
    for fact in (
        Fact("cuff.rounds", "", (22,)),
        Fact("cuff.stitches", "", (44, 48)),
        Fact("cuff.length", "", (80.0, 80.0), "mm"),
        Fact("size", "", ("S", "M")),
    )
}
HERE = Where("course.yaml", 10, 5)


def problems_in(text: str, *unknown: str) -> list[tuple[int, int, str]]:
    return [(one.where.line, one.where.column, one.code) for one in check_text(text, HERE, FACTS, unknown)]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Knit {{ cuff.rounds }} rounds", []),
        ("{{ about cuff.length }}", []),
        ("Knit {{ cuff.round }} rounds", [(10, 5 + 8, "unknown-fact")]),
        ("{{cuff}}", [(10, 5 + 2, "unknown-fact")]),
        # A place below the first line is counted from the column at which the text begins.
        ("Knit\nand {{  cuf.rounds }}\n{{ x }}", [(11, 5 + 8, "unknown-fact"), (12, 5 + 3, "unknown-fact")]),
        ("a { cuff.rounds } b", [(10, 5 + 2, "braces")]),
        ("a { nothing } b", []),
        ("a\nbc }} d", [(11, 5 + 3, "braces")]),
        ("a {{ b", [(10, 5 + 2, "braces")]),
        ("{% if %}", [(10, 5, "braces")]),
        ("see ![me](me.jpg)", [(10, 5 + 4, "picture")]),
    ],
)
def test_where_in_a_text_something_is_wrong(text: str, found: list[tuple[int, int, str]]) -> None:
    assert problems_in(text) == found


def test_facts_of_a_stage_with_errors_are_not_asked_for() -> None:
    assert problems_in("{{ hand.rounds }} and {{ about hand.length }}", "hand") == []
    assert [code for *_, code in problems_in("{{ hand.rounds }} and {{ hand }}", "cuff")] == ["unknown-fact"] * 2
    assert [code for *_, code in problems_in("{{ hand }}", "hand")] == ["unknown-fact"], "a stage alone is no fact"


def test_what_was_meant_is_said() -> None:
    """Only a fact of the part that is named, or of one with nearly that name, is proposed, with what that part has."""
    has = "“cuff” has rounds, stitches, length, count.k …."
    names = ("cuff.count.k", "cuff.count.p", "hand.rows", "hand.title", "hand.cast_on")
    facts = FACTS | {name: Fact(name, "", (7,)) for name in names}
    facts["cuff.held"] = Fact("cuff.held", "", (0, 0))  # nothing is held there, so that nobody means it
    for name, hint in {
        "cuff": f"Name what of it: {has}",
        "cuff.round": f"Did you mean “cuff.rounds”? {has}",
        "cuff.knit": has,
        "cufff.lenght": f"Did you mean “cuff.length”? {has}",
        "cufff.length": "Did you mean “cuff.length”?",
        "about cufff.length": "Did you mean “cuff.length”?",
        "neckband.rounds": "No part is called “neckband”; there are hand. “lessonplan facts COURSE” lists all.",
        "cast_on": "Say of what: hand.cast_on.",
        "sise": "Did you mean “size”?",
        "x": "“lessonplan facts COURSE” lists all.",
    }.items():
        assert [one.hint for one in check_text(f"{{{{ {name} }}}}", HERE, facts)] == [hint], name
    many = {f"cuff.a{sign}": Fact(f"cuff.a{sign}", "", (1,)) for sign in "abcdefghijklmnopqrst"}
    (one,) = check_text("{{ cuff }}", HERE, many)
    assert one.hint == f"Name what of it: “cuff” has {', '.join(f'a{sign}' for sign in 'abcdefghijklmnop')} …."


def test_braces_that_are_left_open_are_answered_with_a_fact_of_the_course() -> None:
    facts = {name: Fact(name, "", (7,)) for name in ("gauge.rounds", "hand.title", "hand.rows", "hand.cast_on")}
    for text, name in {
        "{{ hand.cast_on }": "hand.cast_on",
        "a {{ cuff.rounds }": "hand.rows",
        "b }}": "hand.rows",
    }.items():
        assert [one.hint for one in check_text(text, HERE, facts)] == [f"Write “{{{{ {name} }}}}”."], text
    assert [one.hint for one in check_text("{{ a", HERE, {"size": FACTS["size"]})] == ["Write “{{ size }}”."]


def test_facts_are_put_into_texts() -> None:
    assert fill("{{cuff.stitches}} and { cuff.stitches }", for_size(FACTS, 1)) == "48 and { cuff.stitches }"
    assert fill("{{ about\n cuff.length }}", for_size(FACTS, 0)) == "about 8\u00a0cm"
    assert named(FACTS, "about cuff.gone") is None
    assert named(FACTS, "roughly cuff.length") is None


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("{{ cuff.stitches }} sts", "M: 48 sts"),  # another number in S
        ("{{ cuff.rounds }} rounds", "22 rounds"),
        ("{{ size }}: {{ cuff.stitches }}", "M: 48"),
        ("{{ cuff.length }}", "8\u00a0cm"),
        ("Knit", "Knit"),
    ],
)
def test_a_text_over_the_picture_says_its_size_where_sizes_differ(text: str, shown: str) -> None:
    assert on_screen(text, FACTS, 1) == shown
