"""Every printed paper of three courses, as a reader meets it: all that is in its view is on it, whole, and readable."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

import lessonplan
from lessonplan.building import documents
from lessonplan.craft.words import words_of
from lessonplan.documents.papers import every_paper
from lessonplan.planning.worked import Plan
from lessonplan.render.paper import plain
from lessonplan.render.pictures import Pictures
from tests import pdf
from tests.golden import COURSES
from tests.small_course import COURSE, PATTERN, write_course

UNREAD = ("svg", "kind", "day", "letter", "order", "key")
"""Values of a view that are drawn, or that a template only chooses by; texts under these names are looked for apart."""
Made = tuple[Plan, Mapping[str, bytes]]


def built(folder: Path) -> Made:
    result = lessonplan.plan(folder)
    assert result.plan is not None, [str(one) for one in result.problems]
    return result.plan, documents(result.plan, ending=".pdf")


@pytest.fixture(scope="module", params=[(course, size) for course in COURSES for size in ("a4", "letter")], ids=str)
def made(root: Path, request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    course, size = request.param
    folder = tmp_path_factory.mktemp("course")
    shutil.copytree(root / course, folder / "c", ignore=shutil.ignore_patterns("out"))
    file = folder / "c" / "course.yaml"
    file.write_text(f"{file.read_text(encoding='utf-8')}\npaper: {size}\n", encoding="utf-8")
    return built(folder / "c")


def texts(value: Any, name: str = "") -> Iterator[str]:
    """The texts of a view as they are given to a template."""
    if isinstance(value, str):
        if name not in UNREAD:
            yield value
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from texts(one, "svg" if key == "alt" else key)
    elif isinstance(value, list):
        for one in value:
            yield from texts(one, name)


def missing(plan: Plan, files: Mapping[str, bytes]) -> list[tuple[str, str]]:
    """Texts of views that are not on their papers, as far as these are given; page feet left out of the way."""
    found = []
    for paper, number, part in every_paper(plan):
        name = f"{paper.name(number, words_of(plan.course.pattern))}.pdf"
        if paper.printed and name in files:
            pages = [page.rpartition("\n")[0] for page in pdf.pages(files[name])]
            text = pdf.squeezed("".join(pages)) + pdf.squeezed(pdf.pages(files[name])[0])
            wanted = texts(plain(paper.view(plan, part, None), Pictures(plan)))
            found += [(name, one) for one in wanted if pdf.squeezed(one) not in text]
    return found


def test_all_that_is_in_a_view_is_on_its_paper(made: Made) -> None:
    plan, files = made
    assert {
        f"{paper.name(number, words_of(plan.course.pattern))}.pdf"
        for paper, number, _ in every_paper(plan)
        if paper.printed
    } == {*files}
    assert missing(plan, files) == []


def test_a_text_that_is_not_printed_is_found(made: Made) -> None:
    plan, files = made
    sheet = "run-sheet-1.pdf"
    assert {paper for paper, _ in missing(plan, {"labels.pdf": files[sheet], sheet: files[sheet]})} == {"labels.pdf"}


def test_nothing_is_outside_its_page_and_no_page_is_all_but_empty(made: Made) -> None:
    for name, data in made[1].items():
        assert pdf.outside(data) == [], name
        for number, text in enumerate(pdf.pages(data), 1):
            lines = [line for line in text.splitlines() if line.strip()]
            assert len(lines) > 3, (name, number, lines)  # the foot is one of them


def test_every_paper_has_its_title_its_language_and_tags(made: Made) -> None:
    plan, files = made
    for name, data in files.items():
        read = pdf.reader(data)
        assert read.metadata is not None
        assert plan.course.course.title in str(read.metadata.title), name
        catalog: Any = read.trailer["/Root"]
        assert catalog["/Lang"] == "en"
        assert b"pdfuaid:part" in catalog["/Metadata"].get_data()
        found = pdf.roles(data)
        assert "H1" in found, name


def test_the_day_is_on_one_page(made: Made) -> None:
    plan, files = made
    for day in plan.days:
        first = pdf.squeezed(pdf.pages(files[f"run-sheet-{day.number + 1}.pdf"])[0])
        for entry in day.entries:
            if entry.kind == "shot":
                assert entry.number in first
        assert "wrap" in first
        # A column of slates stands there once they are agreed.
        assert ("likelybyslateshot" in first) is (plan.course.agreed is not None)


HOSTILE = "#panic() *a* $x$ `c` <l> @ref // \\\\ _d_ = - + ~ --- ${1} #{2} </svg> &amp; %20"
LONG = "Wolfeschlegelsteinhausenbergerdorff" * 6


def strange(text: str) -> dict[str, str]:
    """A course that has a text in every field that is printed."""
    quoted = "'" + text.replace("'", "''") + "'"
    course = COURSE.replace("title: Ring cowl", f"title: {quoted}").replace("host: Ada Example", f"host: {quoted}")
    course = course.replace("    films: [1]", f"    films: [1]\n    place: {quoted}\n    helpers: [{quoted}]")
    course += f"place: {quoted}\nknitters:\n  - name: {quoted}\ntools:\n  hook: {quoted}\n"
    pattern = PATTERN.replace("title: Ring cowl", f"title: {quoted}").replace("title: Edge", f"title: {quoted}")
    pattern = pattern.replace("{name: Plain wool,", f"{{name: {quoted}, colour: {quoted},")
    pattern = pattern.replace("      - cast_on: 40\n", f"      - cast_on: 40\n        note: {quoted}\n")
    episode = f"""\
episode: 1
title: {quoted}
segments:
  - title: {quoted}
    watch_for: {quoted}
    shots:
      - view: {quoted}
        title: {quoted}
        tools: [hook, {quoted}]
        pieces:
          - needs: before edge
            leaves: edge round 1
            name: {quoted}
            note: {quoted}
          - needs: body
            note: {quoted}
        hands:
          - do: {quoted}
            time: 20 s
        say: {quoted}
        on_screen: [{quoted}]
        notes: {{host: {quoted}, helper: {quoted}, knitter: {quoted}, editor: {quoted}}}
"""
    return {"course.yaml": course, "pattern.yaml": pattern, "episodes/01.yaml": episode}


@pytest.mark.parametrize("text", [HOSTILE, LONG], ids=["hostile", "long"])
def test_strange_texts_are_shown_as_texts_and_stay_on_the_page(tmp_path: Path, text: str) -> None:
    plan, files = built(write_course(tmp_path / "c", strange(text)))
    assert missing(plan, files) == []
    for name, data in files.items():
        assert pdf.outside(data) == [], name


def test_a_day_of_sixty_shots(tmp_path: Path) -> None:
    shots = "".join(
        f"""
      - view: {"overhead" if number % 2 else "close on the hands"}
        title: A shot with a title of some length, number {number}
        pieces:
          - needs: edge round {1 + number % 3}
        tools: tool {number}
        say: This is said in shot {number}, and then something more is said, so that there are some lines of words here.
"""
        for number in range(1, 61)
    )
    episode = f"episode: 1\ntitle: All\nsegments:\n  - title: One long segment\n    shots:{shots}"
    plan, files = built(write_course(tmp_path / "c", {"episodes/01.yaml": episode}))
    assert missing(plan, files) == []
    for name, data in files.items():
        assert pdf.outside(data) == [], name
    pages = pdf.pages(files["run-sheet-1.pdf"])
    assert len(pages) < 30
    head = [number for number, page in enumerate(pages, 1) if "1.1.60" in page and "Start" in page]
    assert head, "the table's head stands on each of its pages"
