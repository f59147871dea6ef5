"""The printed pages can be worked by: courses as they are, some random ones, and pages that were spoiled on purpose."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

import lessonplan
from tests.walk.check import faults, faults_in, rounds_of
from tests.walk.pages import Pages, Row, Sitting, Stand, read_job, read_pages
from tests.walk.spoiled import SPOILED, Spoil, letter, sittings, stands
from tests.walk.stages import work_line
from tests.walk.variations import drawn, tried

ROOT = Path(__file__).resolve().parent.parent.parent
SAMPLE, HAT, BOOK = ROOT / "sample_course", ROOT / "tests/courses/hat", ROOT / "tests/courses/bookbinding"


@pytest.fixture(scope="module")
def sample(sample_output: Path) -> tuple[Pages, Mapping[str, int]]:
    return read_pages(sample_output), rounds_of(SAMPLE)


@pytest.fixture(scope="module")
def walked_sample(sample: tuple[Pages, Mapping[str, int]]) -> list[tuple[str, str]]:
    return faults(SAMPLE, *sample)


def test_the_sample_course_can_be_worked_by_its_pages(walked_sample: list[tuple[str, str]]) -> None:
    assert walked_sample == []


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Pages:
    out = tmp_path_factory.mktemp("book") / "out"
    lessonplan.build(BOOK, out)
    return read_pages(out)


def test_the_notebook_can_be_worked_by_its_pages(book: Pages) -> None:
    assert faults(BOOK, book, rounds_of(BOOK)) == []


@pytest.mark.parametrize("number", [*range(4), *range(5, 13)])  # 4 takes as long as all others
def test_random_courses_can_be_worked_by_their_pages(number: int) -> None:
    outcome = tried(number, *drawn(number))
    assert outcome.refused == ()
    assert outcome.faults == ()


def test_a_line_is_worked_by_its_plain_signs() -> None:
    # by hand: 44 stitches and one more; 84 in sevens of 12; 16 in pairs; 57 less 13 put aside
    assert work_line("K22, pm, m1, pm, k to end", 44).left == 45
    assert work_line("*K10, k2tog; rep from * to end", 84).left == 77
    assert work_line("[K2tog] to end", 16).left == 8
    assert (work_line("K to marker, rm, hold 13 sts, rm, k to end", 57).left) == 44


def test_a_line_that_takes_work_back_says_all_that_another_does() -> None:
    back = "Between takes, Ada takes work back on piece K for 2 min; for take 2 of 2.3.2 it must be: Gusset, 3 rows"
    job = read_job(back)
    assert (job.piece, job.minutes, job.ripping, job.back) == ("K", 2, 2, True)
    assert (job.take, job.shot, job.goal) == (2, "2.3.2", "Gusset, 3 rows")
    assert not read_job(back.replace("takes work back", "works")).ripping
    for spoiled in (
        back.replace(" for 2 min", ""),
        back.replace(" on piece K", ""),
        back.replace("takes work back", "does something"),
        back.replace("2 min;", "2 min, 1 min of it to take back rounds;"),
        back.partition(" it must be")[0],
    ):
        with pytest.raises(ValueError, match="says no work"):
            read_job(spoiled)


@pytest.mark.parametrize(("spoil", "sort"), SPOILED, ids=lambda one: getattr(one, "__name__", one))
def test_what_is_spoiled_is_found(sample: tuple[Pages, Mapping[str, int]], spoil: Spoil, sort: str) -> None:
    pages, rounds = sample
    spoiled = spoil(pages)
    assert spoiled != pages
    assert sort in {one[0] for one in faults(SAMPLE, spoiled, rounds)}


def test_a_page_is_spoiled_on_paper(sample_output: Path, tmp_path: Path) -> None:
    """A state is exchanged in the file itself, as printed."""
    out = tmp_path / "out"
    shutil.copytree(sample_output, out)
    page = out / "run-sheet-2.html"
    text = page.read_text(encoding="utf-8")
    spoiled = re.sub(r"(now</span> )Plain hand done", r"\1Cobble band done", text)
    assert spoiled != text
    page.write_text(spoiled, encoding="utf-8")
    found = faults_in(SAMPLE, out)
    assert any(sort == "table" and "3.1.2" in said for sort, said in found), found


def test_wet_pieces_are_not_dry(book: Pages) -> None:
    """The spine that is pasted on camera in one shot would be wet in the next, twenty minutes later."""
    pasted = {take: letter(book, "1.4.1", take) for take in (1, 2)}

    def not_dry(row: Row, one: Stand) -> Stand:
        return replace(one, piece=pasted[one.take]) if row.shot == "1.5.1" else one

    found = faults(BOOK, stands(not_dry)(book), rounds_of(BOOK))
    assert any(sort == "drying" for sort, _ in found), found


def test_nobody_goes_on_with_a_wet_piece_at_the_bench(tmp_path: Path) -> None:
    """The book is closed on the day on which its spine is pasted, which dries for more than a day."""
    course = tmp_path / "course"
    shutil.copytree(BOOK, course)
    pattern = course / "pattern.yaml"
    pattern.write_text(
        pattern.read_text(encoding="utf-8").replace("pressing: 12 h", "pressing: 30 h"), encoding="utf-8"
    )
    lessonplan.build(course, tmp_path / "out")
    pages = read_pages(tmp_path / "out")
    last = next(one for one in pages.knitters.sittings if one.what.endswith(", then finished"))
    pasted = [one.day for one in pages.knitters.sittings if one.piece == last.piece and "Gluing" in one.what]

    def too_soon(one: Sitting) -> Sitting:
        return replace(one, day=pasted[0]) if one == last else one

    assert faults(course, pages, rounds_of(course)) == []
    found = faults(course, sittings(too_soon)(pages), rounds_of(course))
    assert any(sort == "drying" and said.startswith(last.piece) for sort, said in found), found
