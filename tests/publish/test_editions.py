"""Editions: the record of what was published, what a later one has otherwise, and what is refused."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
import yaml

import lessonplan
from lessonplan.building import build
from lessonplan.publish.editions import LETTERS, code_of
from tests import pdf
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
