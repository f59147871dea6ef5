"""Pages and papers of courses that are hard to lay out: long words, many sizes, names that run from right to left."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdfium2 import PdfDocument

import lessonplan
from lessonplan.building import documents
from tests import pdf
from tests.marked import PROSE, Marking, letters, planned
from tests.rich_course import PATTERN, write_rich
from tests.small_course import COURSE as SMALL_COURSE, EPISODE as SMALL_EPISODE, PATTERN as SMALL_PATTERN, write_course

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SIZES = ("XXXS", "XXS", "XS", "S", "M", "L", "XL", "2XL", "3XL", "4XL", "5XL", "6XL")
WORD = "Wollmütze" * 22
"""Some 200 letters without a blank."""
SHORT_WORDS = frozenset(one for one in PROSE if one.startswith("Words.")) | {"Kit.currency"}
"""Words that stand at the head of columns, and the sign of money."""


@pytest.fixture(scope="module")
def hard(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """Something of everything in twelve sizes, each text with a word that no line can hold."""
    folder = write_rich(tmp_path_factory.mktemp("hard"))
    fits = ", ".join(f"{{name: {name}, fits: a head of {48 + 2 * number} cm}}" for number, name in enumerate(SIZES))
    stitches = ", ".join(str(44 + 4 * number) for number in range(len(SIZES) - 1))
    text = PATTERN.replace("{name: Small, fits: a small head}, {name: Large, fits: a large head}", fits)
    (folder / "pattern.yaml").write_text(text.replace("cast_on: 40 (44)", f'cast_on: "40 ({stitches})"'), "utf-8")
    course = folder / "course.yaml"
    course.write_text(
        course.read_text("utf-8").replace("film_size: Large", "film_size: M").replace("size: Large", "size: M"), "utf-8"
    )
    marking = Marking(lambda number: letters(number) + WORD, PROSE - SHORT_WORDS)
    return documents(planned(folder, marking.marked))


@pytest.mark.parametrize("width", [360, 820])
def test_no_page_is_wider_than_its_screen(
    browser: Browser, hard: Mapping[str, bytes], tmp_path: Path, width: int
) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})
    wider = []
    for name, data in hard.items():
        if name.endswith(".html"):
            (tmp_path / name).write_bytes(data)
            page.goto((tmp_path / name).as_uri())
            page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
            if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                wider.append(name)
    page.close()
    assert wider == []


def test_nothing_runs_off_the_paper(hard: Mapping[str, bytes]) -> None:
    for name, data in hard.items():
        if name.endswith(".pdf"):
            assert [one for one in pdf.outside(data, margin=20.0) if one[1] != "\u200b"] == [], name


def test_names_of_files_stay_short(hard: Mapping[str, bytes]) -> None:
    assert max(map(len, hard)) <= 60


TITLE = "גוף 1"
NAME = "נועה כהן (תל אביב)"


@pytest.fixture(scope="module")
def leftward(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """A course in English with a stage and a knitter whose names are Hebrew."""
    course = (
        SMALL_COURSE.replace("    films", f"    helpers: {NAME}\n    films")
        + f"knitters: [{{name: {NAME}, pace: 25}}]\n"
    )
    say = "say: אנחנו מעלים {{ edge.cast_on }} עיניים, לא פחות."
    files = {
        "course.yaml": course,
        "pattern.yaml": SMALL_PATTERN.replace("title: Edge", f"title: {TITLE}"),
        "episodes/01.yaml": SMALL_EPISODE.replace("say: We cast on {{ edge.cast_on }} stitches.", say),
    }
    plan = lessonplan.plan(write_course(tmp_path_factory.mktemp("leftward"), files)).plan
    assert plan is not None
    return documents(plan)


AT = """(words) => {
  const walk = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
  const all = words.join('');
  for (let node; node = walk.nextNode();) {
    const text = node.data.replace(/[\\u2068\\u2069]/g, '');
    if (!text.includes(all)) continue;
    const places = [...node.data].map((sign, at) => [sign, at]).filter(([sign]) => !/[\\u2068\\u2069]/.test(sign));
    let from = text.indexOf(all);
    return words.map(word => {
      const range = document.createRange();
      range.setStart(node, places[from][1]);
      range.setEnd(node, places[from + word.length - 1][1] + 1);
      from += word.length;
      const box = range.getBoundingClientRect();
      return [box.left, box.right, box.top];
    });
  }
  return null;
}"""


def test_a_number_behind_a_hebrew_title_stands_right_of_it(
    browser: Browser, leftward: Mapping[str, bytes], tmp_path: Path
) -> None:
    """On the page, by the places of the letters: the title, its 1 left of its word, and then “1 of 4 rounds”."""
    (tmp_path / "run-sheet-1.html").write_bytes(leftward["run-sheet-1.html"])
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((tmp_path / "run-sheet-1.html").as_uri())
    found = page.evaluate(AT, ["גוף ", "1", ", ", "1 of 4"])
    assert found is not None
    word, number, _, rounds = found
    assert word[2] == pytest.approx(rounds[2], abs=3), "on one line"
    assert number[0] < word[0] < rounds[0]
    said = page.locator(".say p")
    assert said.get_attribute("dir") == "auto"
    assert said.evaluate("one => getComputedStyle(one).direction") == "rtl"
    page.close()


def test_on_paper_too(leftward: Mapping[str, bytes]) -> None:
    """By the boxes of the letters of each line, from the left: the title's 1, its word backwards, the count."""
    rows = list[str]()
    for page in PdfDocument(leftward["run-sheet-1.pdf"]):
        text = page.get_textpage()
        signs = [(text.get_text_range(place, 1), *text.get_charbox(place)) for place in range(text.count_chars())]
        for low in {round(bottom) for sign, _, bottom, *_ in signs if sign == "ג"}:
            line = sorted((left, sign) for sign, left, bottom, *_ in signs if abs(bottom - low) < 6 and sign.strip())
            rows.append("".join(sign for _, sign in line if sign not in "\u2068\u2069"))
    assert [row for row in rows if "1ףוג,1of4" in row], rows


def test_axe_finds_nothing_in_a_later_edition(browser: Browser, axe: Path, tmp_path: Path) -> None:
    """With an address, errata, a kit, options, and the list of what has changed since the edition before."""
    folder = write_rich(tmp_path / "course")
    (folder / "published").mkdir()
    record = 'edition: 1\non: 2027-04-01\ncode: AAAA\nfacts: {body.cast_on: "36 (40)"}\n'
    (folder / "published/edition-1.yaml").write_text(record, encoding="utf-8")
    plan = lessonplan.plan(folder).plan
    assert plan is not None
    context = browser.new_context(viewport={"width": 390, "height": 844}, bypass_csp=True)
    page = context.new_page()
    found = {}
    for name, data in documents(plan, ending=".html").items():
        (tmp_path / name).write_bytes(data)
        page.goto((tmp_path / name).as_uri())
        page.add_script_tag(path=axe)
        if wrong := page.evaluate("axe.run()")["violations"]:
            found[name] = [(one["id"], one["nodes"][0]["html"][:200]) for one in wrong]
        if name == "handout.html":
            assert page.get_by_text("36 (40)").count() == 1, "what was stands beside what is"
    context.close()
    assert found == {}
