"""A first course from the command line and from the interview: it works at once, and nothing is written over."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

import lessonplan
from lessonplan.beginning.questions import AnswerError, answers_of, interview
from lessonplan.cli import app
from lessonplan.course.read import load

TODAY = date(2027, 1, 4)
WORDS_OF_KNITTING = ("knit", "stitch", "yarn", "gauge", "stockinette", "ball of", "needle")


def run(*words: str, typed: str = "") -> tuple[int, str]:
    result = CliRunner().invoke(app, ["begin", *words, "--today", "2027-01-04"], input=typed)
    return result.exit_code, result.output


@pytest.mark.parametrize("made", ["hat", "mittens", "socks", "scarf", "cowl", "shawl", "crochet hat", "something else"])
def test_it_can_be_checked_and_built_at_once(tmp_path: Path, made: str) -> None:
    status, said = run(str(tmp_path / "own"), "--yes", "--made", made, "--colours", "oatmeal, blue")
    assert status == 0, said
    assert f"Next: lessonplan build {tmp_path / 'own'}" in said
    result = lessonplan.build(tmp_path / "own", tmp_path / "papers")
    assert result.problems == ()
    written = {path.name for path in (tmp_path / "papers").iterdir()}
    assert {"run-sheet-1.html", "handout.html", "step-samples.html"} <= written


@pytest.mark.parametrize(
    ("made", "count", "fabric"),
    [
        # Common practice: a gauge is measured in the fabric of the piece, and round where that goes round.
        ("hat", 1, "stockinette in the round, washed"),
        ("mittens", 2, "stockinette in the round, washed"),
        ("socks", 2, "stockinette in the round, washed"),
        ("scarf", 1, "stockinette, washed"),
        ("cowl", 1, "stockinette in the round, washed"),
        ("shawl", 1, "stockinette, washed"),
        ("crochet hat", 1, "single crochet in the back loop, washed"),
        ("crochet scarf", 1, "double crochet, washed"),
        ("crochet cowl", 1, "half double crochet, washed"),
        ("crochet square", 1, "double crochet, washed"),
    ],
)
def test_what_comes_in_pairs_is_made_twice_and_a_swatch_is_worked_as_the_piece(
    tmp_path: Path, made: str, count: int, fabric: str
) -> None:
    assert run(str(tmp_path / "own"), "--yes", "--made", made)[0] == 0
    course = load(tmp_path / "own").course
    assert course is not None
    assert (course.pattern.make, course.pattern.gauge.fabric) == (count, fabric)


@pytest.mark.parametrize(
    ("craft", "stage"),
    [
        ("pottery", "bisque"),
        ("ceramics", "bisque"),
        ("woodcarving", "blade"),
        ("bookbinding", "folding"),
        ("weaving", "warping"),
        ("sewing", "sides"),
        ("origami", "making"),
    ],
)
def test_another_craft_has_a_first_course_without_a_word_of_knitting(tmp_path: Path, craft: str, stage: str) -> None:
    status, said = run(str(tmp_path / "own"), "--yes", "--made", "something else", "--craft", craft)
    assert status == 0, said
    result = lessonplan.plan(tmp_path / "own")
    assert result.problems == ()
    assert result.plan
    assert stage in result.plan.worked.pattern.order
    unfit = WORDS_OF_KNITTING[: 6 if craft == "bookbinding" else None]  # books are sewn with a needle
    for path in (tmp_path / "own").rglob("*.yaml"):
        lines = path.read_text(encoding="utf-8").lower().splitlines()
        assert [line for line in lines if any(word in line for word in unfit)] == [], path.name


@pytest.mark.parametrize(
    ("made", "craft", "says"),
    [
        ("hat", "crochet", "craft: crochet"),
        ("scarf", "crocheting", "craft: crochet"),
        ("crochet cowl", "knitting", "cast_on:"),
        ("mittens", "crochet", "one of: crochet hat, crochet scarf, crochet cowl, crochet square."),
        ("something else", "crochet", "one of: crochet hat, crochet scarf, crochet cowl, crochet square."),
        ("something else", "knitting", "one of: hat, mittens, socks, scarf, cowl, shawl."),
        ("hat", "pottery", "“hat” is knitted here: for pottery take “something else”."),
    ],
)
def test_a_thing_is_made_in_the_craft_that_is_named_or_not_at_all(
    tmp_path: Path, made: str, craft: str, says: str
) -> None:
    status, said = run(str(tmp_path / "own"), "--yes", "--made", made, "--craft", craft)
    begun = (tmp_path / "own" / "pattern.yaml").exists()
    assert begun == (status == 0)
    assert says in ((tmp_path / "own" / "pattern.yaml").read_text(encoding="utf-8") if begun else said)


def test_the_gauge_can_be_changed_and_the_course_built_again(tmp_path: Path) -> None:
    run(str(tmp_path / "own"), "--yes", "--made", "hat")
    path = tmp_path / "own" / "pattern.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("rounds: 28", "rounds: 30"), encoding="utf-8")
    result = lessonplan.plan(tmp_path / "own")
    assert result.plan
    assert not [one for one in result.problems if one.severity == "error"]


def test_what_is_typed_is_text_whatever_it_holds(tmp_path: Path) -> None:
    title = 'No: "quotes", {braces} and # marks\\'
    status, said = run(str(tmp_path / "own"), "--yes", "--title", title, "--host", "no", "--colours", "yes, on")
    assert status == 0, said
    plan = lessonplan.plan(tmp_path / "own").plan
    assert plan
    assert plan.course.course.title == title
    assert plan.course.course.host == "no"
    assert [yarn.colour for yarn in plan.course.pattern.yarns.values()] == ["yes", "on"]


def test_the_first_day_is_one_for_which_every_sample_can_be_ready(tmp_path: Path) -> None:
    """A hat is ready in eight weeks; a fine shawl at one hour a week takes many months."""
    _, said = run(str(tmp_path / "hat"), "--yes", "--made", "hat")
    assert "2027-03-01" in said
    _, said = run(str(tmp_path / "shawl"), "--yes", "--made", "shawl", "--hours", "3")
    assert "2027-03-01" not in said
    result = lessonplan.plan(tmp_path / "shawl")
    assert result.plan
    assert result.plan.calendar.late == ()


def test_a_folder_that_holds_anything_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    status, said = run(str(tmp_path), "--yes")
    assert (status, [path.name for path in tmp_path.iterdir()]) == (2, ["mine.txt"])
    assert "not empty" in said
    status, said = run(str(tmp_path / "mine.txt"), "--yes")
    assert status == 2
    assert (tmp_path / "mine.txt").read_text() == "mine"


def test_a_folder_with_nothing_but_hidden_files_is_empty_to_a_person(tmp_path: Path) -> None:
    (tmp_path / ".DS_Store").write_text("of the system")
    (tmp_path / ".desk").mkdir()
    status, said = run(str(tmp_path), "--yes")
    assert (status, (tmp_path / "course.yaml").exists()) == (0, True), said
    assert (tmp_path / ".DS_Store").read_text() == "of the system"


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("made", "jumper", "none of: hat"),
        ("sizes", "tiny", "none of: 12 months"),
        ("gauge", "twenty", "20 x 28 to 10 cm"),
        ("gauge", "200 x 28 to 10 cm", "no gauge"),
        ("colours", "a, b, c", "1 to 2"),
        ("episodes", "0", "from 1 to 5"),
        ("shoot", "2026-12-31", "after today, 2027-01-04"),
        ("shoot", "someday", "“someday” is not a date (2027-03-14) or a number of days."),
        ("shoot", "2027-02-30", "There is no “2027-02-30”: February 2027 has 28 days."),
        ("shoot", "0", "from 1 to 5"),
        ("shoot", "3", "more days of filming (3) than episodes (2)"),
        ("hours", "many", "from 0.5 to 80"),
        ("knitters", "Ann, Ann", "different names"),
    ],
)
def test_an_answer_that_cannot_be_taken_is_one_sentence(tmp_path: Path, name: str, text: str, says: str) -> None:
    with pytest.raises(AnswerError, match=r".") as bad:
        answers_of({name: text}, TODAY)
    assert bad.value.name == name
    assert says in str(bad.value)
    status, said = run(str(tmp_path / "own"), "--yes", f"--{name}", text)
    assert (status, (tmp_path / "own").exists()) == (2, False)
    assert says in said


def test_gauges_are_read_as_people_write_them() -> None:
    for text in ("20 x 28 to 10 cm", "20 stitches and 28 rounds over 10 cm", "20 × 28", "20 sts, 28 rows to 10 cm"):
        answers = answers_of({"gauge": text}, TODAY)
        assert (answers.stitches, answers.rounds, answers.over) == ("20", "28", "10 cm")
    assert answers_of({"gauge": "18 by 24 to 4 inches"}, TODAY).over == "4 in"


def test_the_interview_goes_back_and_asks_again() -> None:
    typed: Iterator[str] = iter(
        ["mittens", "back", "socks", "Toes", "back", "Heels", "Ada", "huge", "woman small", *[""] * 8]
    )
    asked: list[tuple[str, str]] = []
    told: list[str] = []

    def ask(question: str, default: str) -> str:
        asked.append((question, default))
        return next(typed) or default

    texts = interview({"pace": "30"}, TODAY, ask, told.append)
    answers = answers_of(texts, TODAY)
    assert (answers.made, answers.title, answers.host, answers.sizes) == ("socks", "Heels", "Ada", ("woman small",))
    assert answers.pace == "30"  # given, so it is not asked for
    assert len(told) == 1
    assert "“huge” is none of" in told[0]
    assert asked[3][1] == "Socks, Step by Step"  # the default follows what is made
    assert all("stitches a minute" not in question for question, _ in asked)


def test_another_craft_is_not_asked_for_gauge_or_yarn() -> None:
    asked: list[str] = []

    def ask(question: str, default: str) -> str:
        asked.append(question)
        return "something else" if question.startswith("What is made") else default

    interview({}, TODAY, ask, asked.append)
    assert not any(word in question for question in asked for word in ("gauge", "colour", "needle", "sizes"))
    assert any("Which craft" in question for question in asked)


def test_an_option_that_cannot_be_taken_is_named(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["begin", str(tmp_path / "c"), "--yes", "--hours", "5, 3"])
    assert result.exit_code == 2
    assert result.stderr == "--hours: “5, 3” should be a number from 0.5 to 80.\n"
