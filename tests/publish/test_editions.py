"""Editions: the record of what was published, what a later one has otherwise, and what is refused."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path

import pytest
import yaml

import lessonplan
from lessonplan.building import build
from lessonplan.publish.editions import LETTERS, code_of, publish, since
from lessonplan.publish.remarks import checked
from tests import pdf
from tests.documents import timed
from tests.small_course import COURSE, PATTERN, write_course

DAY = date(2027, 5, 1)


def course(folder: Path, head: str = "", rounds: int = 10, errata: str = "") -> Path:
    files = {
        "course.yaml": COURSE + head,
        "pattern.yaml": PATTERN.replace("rounds: 10", f"rounds: {rounds}"),
        "errata.yaml": errata or "errata: []\n",
    }
    return write_course(folder, files)


def built(folder: Path, *, publish: bool = True) -> lessonplan.Result:
    return build(folder, publish=DAY if publish else None)


def test_a_record_is_kept_and_stays(tmp_path: Path) -> None:
    folder = course(tmp_path)
    assert built(folder).plan is not None
    path = folder / "published" / "edition-1.yaml"
    text = path.read_text(encoding="utf-8")
    record = yaml.load(text, Loader=yaml.BaseLoader)
    assert (record["edition"], record["on"], record["facts"]["body.rounds"]) == ("1", "2027-05-01", "10")
    assert set(record["code"]) <= set(LETTERS)
    assert not set(LETTERS) & set("01ILO")
    assert list(record["lengths"]) == ["1"]
    assert build(folder, publish=date(2027, 6, 1)).plan is not None
    assert path.read_text(encoding="utf-8") == text, "the same numbers published again change nothing"


def test_other_numbers_under_the_same_edition_are_refused(tmp_path: Path) -> None:
    built(course(tmp_path))
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    course(tmp_path, rounds=12)
    result = built(tmp_path)
    assert result.plan is None
    found = next(one for one in result.problems if one.code == "edition")
    assert found.severity == "error"
    assert found.message.startswith("Edition 1 was published on 2027-05-01 with other numbers: body.length was ")
    assert found.hint == "Write “edition: 2” in course.yaml."
    after = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    assert {path.name for path in before if after[path] != before[path]} == {"pattern.yaml"}
    # Without publishing it is said, and built.
    again = built(tmp_path, publish=False)
    assert again.plan is not None
    assert [one.severity for one in again.problems if one.code == "edition"] == ["warning"]


ERRATA = """\
errata:
  - {found: 2027-05-03, by: Tove, where: episode 1 at 0:10, said: eight rounds, right: "{{ body.rounds }} rounds",
     state: mended, mended_in: 2}
"""


def test_a_later_edition_says_what_changed(tmp_path: Path) -> None:
    built(course(tmp_path, "address: https://example.org/cowl\n"))
    course(tmp_path, "address: https://example.org/cowl\nedition: 2\n", rounds=12, errata=ERRATA)
    result = built(tmp_path)
    assert result.plan is not None
    paper = pdf.squeezed("".join(pdf.pages((tmp_path / "out" / "handout.pdf").read_bytes())))
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    # 12 rounds at 28 to 10 cm are 4.29 cm; the mended erratum stands first, with what it says now.
    for text in ("Episode 1 at 0:10: eight rounds, now 12 rounds", "4.3\u00a0cm"):
        assert pdf.squeezed(text) in paper
    assert "Episode 1 at 0:10: eight rounds, now <b>12 rounds</b>" in page
    assert '<a href="https://example.org/cowl">' in page
    assert (tmp_path / "published" / "edition-2.yaml").exists()


def test_the_code_is_of_the_numbers(tmp_path: Path) -> None:
    plans = [
        lessonplan.plan(course(tmp_path / name, head, rounds)).plan
        for name, head, rounds in (("a", "", 10), ("b", "edition: 7\nplace: elsewhere\n", 10), ("c", "", 12))
    ]
    first, same, other = (code_of(plan) for plan in plans if plan)
    assert first == same != other


NO_ADDRESSES = (
    "example.org",
    "//example.org/cowl",
    "https://",
    "https://exa mple.org",
    "javascript:alert(1)",
    "'data:text/html,<script>alert(1)</script>'",
    "'https://example.org/a<b>'",
    "'https://example.org/{handout}'",
    "ftp://example.org/cowl",
    "file:///home/ada/cowl.html",
    "mailto:ada@example.org",
)


@pytest.mark.parametrize("address", NO_ADDRESSES)
def test_an_address_is_one(tmp_path: Path, address: str) -> None:
    problems = lessonplan.load(course(tmp_path, f"address: {address}\n")).problems
    assert [one.message for one in problems if "is no address of a page" in one.message] != []


def test_a_record_that_cannot_be_read_is_a_problem(tmp_path: Path) -> None:
    built(course(tmp_path))
    (tmp_path / "published" / "edition-1.yaml").write_text("edition: one\n")
    problems = lessonplan.load(tmp_path).problems
    assert [(one.where.file, one.where.line) for one in problems][:1] == [("published/edition-1.yaml", 1)]
    shutil.rmtree(tmp_path / "published")
    assert not lessonplan.load(tmp_path).problems


def kept(folder: Path, edition: int, **facts: str) -> None:
    """Write the record of an edition as it was published, but for some facts."""
    path = folder / "published" / "edition-1.yaml"
    record = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    record["edition"], record["facts"] = (
        edition,
        record["facts"] | {name.replace("__", "."): value for name, value in facts.items()},
    )
    (path.parent / f"edition-{edition}.yaml").write_text(yaml.safe_dump(record), encoding="utf-8")


def said_of_editions(folder: Path) -> list[str]:
    return [one.message for one in checked(folder).problems if one.code == "edition"]


def test_up_to_three_changed_facts_are_named_and_the_others_counted(tmp_path: Path) -> None:
    built(course(tmp_path))
    head = "Edition 1 was published on 2027-05-01 with other numbers: "
    kept(tmp_path, 1, body__count__k="3")
    assert said_of_editions(tmp_path) == [f"{head}body.count.k was 3, is 400."]  # other stitches, as many rounds
    kept(tmp_path, 1, body__rounds="9", body__round_1__stitches="7", body__count__k="3")
    others = "body.count.k was 3, is 400 and body.round_1.stitches was 7, is 40"
    assert said_of_editions(tmp_path) == [f"{head}body.rounds was 9, is 10, {others}."]
    kept(tmp_path, 1, body__round_1__stitches="40", body__count__k="400")
    three = {"body__rounds": "9", "edge__cast_on": "38", "gone__rounds": "4"}
    said = ["body.rounds was 9, is 10", "edge.cast_on was 38, is 40", "gone.rounds was 4, is not there"]
    kept(tmp_path, 1, **three)
    assert said_of_editions(tmp_path) == [f"{head}{said[0]}, {said[1]} and {said[2]}."]
    kept(tmp_path, 1, **three, needles="4 mm", yarn__MC__balls="8")
    assert said_of_editions(tmp_path) == [f"{head}{said[0]}, {said[1]}, {said[2]} and 2 more."]


def test_an_edition_is_compared_with_the_one_just_before_it(tmp_path: Path) -> None:
    built(course(tmp_path))
    for edition, facts in ((2, {"body__rounds": "8"}), (4, {"body__rounds": "6"}), (1, {"edge__cast_on": "36"})):
        kept(tmp_path, edition, **facts)
    mended = "errata:\n" + "".join(
        f"  - {{found: 2027-05-01, by: T, where: shot 1.1.1, said: x{n}, right: y, state: mended, mended_in: {n}}}\n"
        for n in (2, 3)
    )
    plan = lessonplan.plan(course(tmp_path, "edition: 3\n", errata=mended)).plan
    assert plan is not None
    found = since(plan)
    assert found is not None
    before, changed, errata = found
    assert before.edition == 2
    assert [(one.name, one.before, one.now) for one in changed] == [("body.rounds", "8", "10")]
    assert [one.said for one in errata] == ["x3"]
    first = lessonplan.plan(course(tmp_path, "edition: 1\n")).plan
    assert first is not None
    assert since(first) is None


def test_the_record_has_title_and_length_of_each_part(tmp_path: Path) -> None:
    titles = {1: "The “edge”: a \\ and a \u00a0 and a \u200b", 2: "Body"}
    parts = {
        f"episodes/0{number}.yaml": timed.episode(*shots, number=number).replace(
            "All of it", json.dumps(titles[number])
        )
        for number, shots in ((1, [(timed.shot("above", "2 min"),)]), (2, [(timed.shot("above", "3 min"),) * 2]))
    }
    files = {"course.yaml": timed.COURSE.replace("[1]", "[1, 2]"), "pattern.yaml": timed.PATTERN, **parts}
    plan = lessonplan.plan(write_course(tmp_path, files)).plan
    assert plan is not None
    path = publish(tmp_path, plan, DAY, {})
    assert path is not None
    text = path.read_text(encoding="utf-8")
    record = yaml.load(text, Loader=yaml.BaseLoader)
    # Held so long and nothing else: 2 minutes, and twice 3.
    assert record["lengths"] == {"1": "2:00", "2": "6:00"}
    assert record["titles"] == {str(number): title for number, title in titles.items()}
    assert "“edge”" in text, "as people read it"
    assert "\u200b" not in text, "what nobody sees is written out"
    assert len(record["code"]) == 4
    assert not any(name.startswith("course.") for name in record["facts"])
