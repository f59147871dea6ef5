"""What papers leave out, on pages written here: pictures that say nothing, texts that stand nowhere, cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
import typst

from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import Reader, cautions
from lessonplan.publish.unprinted import left_out
from tests.documents.timed import COURSE, episode, plan, shot

NOTE = "The lamp stands to the left of the table, and its shade is turned up until it is seen by nobody."


@pytest.fixture(scope="module")
def cowl(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    note = f'{{knitter: "{NOTE}"}}'
    return plan(tmp_path_factory.mktemp("cowl"), episode((shot("face", say="Hello there.", notes=note),)))


def told(cowl: Plan, pages: Mapping[str, str], printed: bytes = b"") -> list[tuple[str, str, str]]:
    """The file, the code and the words of everything that these papers leave out."""

    def papers(ending: str) -> Mapping[str, bytes]:
        html = {name: text.encode() for name, text in pages.items()}
        return html if ending == ".html" else {"paper.pdf": printed} if printed else {}

    return [(one.where.file, one.code, one.message) for one in left_out(cowl, papers)]


@pytest.mark.parametrize(
    ("page", "codes"),
    [
        ('<img src="data:," alt="A cowl">', []),
        ('<img src=" DATA:," aria-label="A cowl">', []),
        ('<img src="data:,">', ["no-text"]),
        ('<img src="data:," alt=" ">', ["no-text"]),
        ('<img src="data:," aria-hidden="true">', []),
        ('<img src="data:," aria-hidden="false">', ["no-text"]),
        ('<img src="cowl.png" alt="A cowl">', ["lost-picture"]),
        ('<img alt="A cowl">', ["lost-picture"]),
        ('<img src="cowl.png">', ["no-text", "lost-picture"]),
        ("<svg><title>A cowl</title><path/></svg>", []),
        ("<svg><path/></svg><title>A cowl</title>", ["no-text"]),
        ("<title>A page</title><svg><path/></svg>", ["no-text"]),
        ('<svg aria-hidden="true"><path/></svg>', []),
        ('<svg aria-label="A cowl"><svg><path/></svg></svg>', []),
        ("<svg><svg><path/></svg></svg>", ["no-text"]),
        ("<svg><path/></svg><svg><title>A cowl</title></svg>", ["no-text"]),
        ("<svg><title>A cowl</title></svg><svg><path/></svg>", ["no-text"]),
        ('<svg><title>A cowl</title></svg><img src="data:,">', ["no-text"]),
        ('<img src="data:,"><img src="data:,">', ["no-text"]),  # one is told of each page
        ("<p>No picture</p>", []),
    ],
)
def test_pictures_have_a_text_and_stand_in_the_page(cowl: Plan, page: str, codes: list[str]) -> None:
    found = [one for one in told(cowl, {"index.html": page}) if one[1] in ("no-text", "lost-picture")]
    assert [code for _, code, _ in found] == codes
    assert {file for file, _, _ in found} <= {"templates/index.html"}
    for _, _, words in found:
        assert words.startswith("A picture on index.html ")
        tag = words.split(": ", 1)[1]
        assert tag in page
        assert tag[:4] in ("<img", "<svg")


def test_a_text_stands_on_a_page_or_on_a_printed_paper(cowl: Plan) -> None:
    def lost(page: str, printed: str = "") -> list[str]:
        data = typst.compile(printed.encode()) if printed else b""
        return [words for _, code, words in told(cowl, {"index.html": page}, data) if code == "unprinted"]

    everything = f"Ring cowl All of it A Hello there. Edge Body Plain wool {NOTE}"
    assert lost(everything) == []
    assert lost(everything.replace("Hello", "HEL<b>L</b>O<style>p {}</style>")) == [], "in any layout"
    without = everything.replace(NOTE, "")
    # Of a long text the first 60 signs are told.
    assert lost(without) == [f"This stands on no paper: “{NOTE[:60]} …”."]
    assert lost(without, "Other words") == lost(without)
    assert lost(without, NOTE) == []
    assert lost(without + f"<script>{NOTE}</script>") == lost(without), "nobody reads a script"
    assert lost(everything.replace("Hello there.", "")) == ["This stands on no paper: “Hello there.”."]


ACTED_FROM: list[tuple[str, str, Reader]] = [
    ("handout.html", "handout", "viewers"),
    ("run-sheet-1.html", "run-sheet", "floor"),
    ("table-2.html", "table", "floor"),
    ("knitters.html", "knitters", "knitters"),
]


@pytest.mark.parametrize(("name", "template", "reader"), ACTED_FROM)
def test_each_page_that_is_acted_from_has_the_cautions_of_its_readers(
    cowl: Plan, name: str, template: str, reader: Reader
) -> None:
    texts = cautions(cowl, reader)
    for gone in range(len(texts)):
        page = " ".join(text for place, text in enumerate(texts) if place != gone)
        found = [one for one in told(cowl, {name: page, "index.html": ""}) if one[1] == "no-caution"]
        assert [(file, words.endswith(texts[gone])) for file, _, words in found] == [
            (f"templates/{template}.html", True)
        ]
    assert "no-caution" not in [code for _, code, _ in told(cowl, {name: " ".join(texts), "index.html": ""})]


def test_a_page_of_one_day_has_the_cautions_of_that_day(tmp_path: Path) -> None:
    # The candle is held on the second day: nobody is told of fire on the first.
    second = "  - day: 2027-03-07\n    call: 9:00\n    wrap: 17:00\n    films: [2]\n"
    candle = episode((shot("face", hands="[{do: hold the candle, time: 20 s}]"),), number=2)
    made = plan(tmp_path, episode((shot("face"),)), COURSE + second, {"episodes/02.yaml": candle})
    first, both = cautions(made, "floor", 0), cautions(made, "floor")
    (fire,) = set(both) - set(first)
    assert "candle" in fire
    for name, lacking in (("run-sheet-1.html", []), ("run-sheet-2.html", [fire]), ("table-1.html", [])):
        found = told(made, {name: " ".join(first), "index.html": ""})
        assert [words.split("told: ")[1] for _, code, words in found if code == "no-caution"] == lacking, name


PAPERS: list[tuple[str, str, Reader]] = [
    ("handout.pdf", "handout", "viewers"),
    ("handout-large.pdf", "handout", "viewers"),
    ("kit-slips.pdf", "kit-slips", "viewers"),
    ("run-sheet-2.pdf", "run-sheet", "floor"),
    ("knitter-eva-b.pdf", "knitter", "knitters"),
]


@pytest.mark.parametrize(("name", "template", "reader"), PAPERS)
def test_a_printed_paper_by_an_own_template_has_the_cautions_of_its_readers(
    cowl: Plan, name: str, template: str, reader: Reader
) -> None:
    def lacking(texts: Sequence[str], own: str, other: str = "#pagebreak()\n") -> list[tuple[str, str]]:
        printed = typst.compile(other.join(" ".join(texts).rsplit(" ", 5)).encode())
        papers: Mapping[str, Mapping[str, bytes]] = {".html": {}, ".pdf": {name: printed}}
        found = left_out(cowl, lambda ending: papers[ending], {own})
        return [(one.where.file, one.message) for one in found if one.code == "no-caution"]

    every = cautions(cowl, reader)
    for own in (f"{template}.typ", "_paper.typ"):
        assert lacking(every[:-1], own) == [
            (f"templates/{own}", f"{name} leaves out what its readers must be told: {every[-1]}")
        ]
    assert lacking(every, f"{template}.typ", " ") == []
    assert lacking(every[1:], "labels.typ") == [], "the program's own papers have them"


def test_a_caution_may_go_over_the_end_of_a_page(cowl: Plan) -> None:
    first, second = cautions(cowl, "knitters")[0].rsplit(" ", 1)
    text = f"{first} page 1 of 2 #pagebreak() {second} {' '.join(cautions(cowl, 'knitters')[1:])}"
    papers: Mapping[str, Mapping[str, bytes]] = {".html": {}, ".pdf": {"knitter-a.pdf": typst.compile(text.encode())}}
    found = left_out(cowl, lambda ending: papers[ending], {"knitter.typ"})
    assert [one.message for one in found if one.code == "no-caution"] == []


def test_that_page_is_called_by_the_makers_of_the_craft(tmp_path: Path) -> None:
    pattern = "title: Cup\ncraft: pottery\nstages:\n  throw: {title: Throwing, works: [{minutes: 20, what: Throw}]}\n"
    made = plan(tmp_path, episode((shot("face"),)), files={"pattern.yaml": pattern})
    found = [one for one in told(made, {"potters.html": ""}) if one[1] == "no-caution"]
    assert [file for file, _, _ in found] == ["templates/knitters.html"]
