"""Printed papers: text is never markup, nothing outside the page, the same bytes; own templates see nothing else."""

from __future__ import annotations

import shutil
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.files import UnfitError
from lessonplan.documents.marks import Code, Marked
from lessonplan.planning.worked import Plan
from lessonplan.render import apart
from lessonplan.render.paper import MAX_FONT_BYTES, Press, plain, printable
from lessonplan.render.pictures import Pictures
from tests import pdf
from tests.small_course import COURSE, write_course

STAMP = datetime(2027, 3, 6, tzinfo=UTC)
HOSTILE = "#panic() *a* $x$ [b] `c` <l> @ref // \\ _d_ = - + 1. ~ --- ${1} #{2} \" ' </svg> {{ x }} \u202eevil\x07"


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    result = lessonplan.plan(write_course(tmp_path_factory.mktemp("small")))
    assert result.plan is not None
    return result.plan


def bring(folder: Path, templates: dict[str, str | bytes]) -> Path:
    for name, text in templates.items():
        path = folder / "templates" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return folder


def printed(plan: Plan, course: Path, view: object = None, language: str = "en", size: str = "a4") -> bytes:
    with Press(language, size, STAMP, course) as press:
        return press.paper("run-sheet.typ", view or {"title": "x"}, Pictures(plan))


OWN = '#set document(title: "x")\n#let given = json(bytes(sys.inputs.given))\n'


def test_text_is_never_markup(plan: Plan, tmp_path: Path) -> None:
    course = bring(tmp_path, {"run-sheet.typ": OWN + "#given.view.title"})
    (text,) = pdf.pages(printed(plan, course, {"title": HOSTILE}))
    wanted = HOSTILE.replace("\u202e", "").replace("\x07", "")
    assert pdf.squeezed(text) == pdf.squeezed(wanted)


@pytest.mark.parametrize(("size", "wide", "high"), [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)])
def test_the_papers_are_a4_or_us_letter(plan: Plan, size: str, wide: float, high: float) -> None:
    # ISO 216 and ANSI/ASME Y14.1, in millimetres; a PDF counts in 1/72 inch.
    with Press("en", size, STAMP) as press:
        made = press.paper("run-sheet.typ", view_of(plan), Pictures(plan))
    for page in pdf.reader(made).pages:
        found = float(page.mediabox.width) * 25.4 / 72, float(page.mediabox.height) * 25.4 / 72
        assert found == pytest.approx((wide, high), abs=0.1)


def view_of(plan: Plan) -> object:
    from lessonplan.documents.runsheetpaper import run_sheet_paper

    return run_sheet_paper(plan, plan.days[0])


@pytest.mark.parametrize("language", ["en", "de-CH", "zh-Hant-TW"])
def test_a_paper_says_its_title_language_and_order(plan: Plan, language: str) -> None:
    with Press(language, "a4", STAMP) as press:
        made = press.paper("run-sheet.typ", view_of(plan), Pictures(plan))
    read = pdf.reader(made)
    assert read.metadata is not None
    assert read.metadata.title == "Run sheet, day 1: Ring cowl"
    catalog = read.trailer["/Root"]
    assert str(catalog["/Lang"]).split("-")[0] == language.split("-")[0]  # type: ignore[index]
    assert catalog["/MarkInfo"]["/Marked"] is not False  # type: ignore[index]
    assert b"pdfuaid:part" in read.trailer["/Root"]["/Metadata"].get_data()  # type: ignore[index]
    assert {"H1", "H2", "Table", "TH", "TD"} <= set(pdf.roles(made))
    assert pdf.roles(made).index("H1") < pdf.roles(made).index("Table")


def test_no_clock_and_no_chance_in_a_paper(plan: Plan, tmp_path: Path) -> None:
    course = bring(tmp_path, {"run-sheet.typ": OWN + "#datetime.today().display()"})
    one, other = printed(plan, course), printed(plan, course)
    assert one == other
    assert [page.strip() for page in pdf.pages(one)] == ["2027-03-06"]
    assert b"20270306" in one


def test_a_sign_that_no_font_has_is_told_and_does_not_stop_the_paper(tmp_path: Path) -> None:
    files = {"course.yaml": COURSE.replace("title: Ring cowl", "title: 環 cowl")}
    result = lessonplan.build(write_course(tmp_path / "c", files), tmp_path / "out")
    assert result.plan is not None
    told = [problem for problem in result.problems if problem.code == "no-sign"]
    assert {problem.severity for problem in told} == {"note"}
    assert any("run-sheet-1.pdf shows an empty box for 環" in problem.message for problem in told)
    assert (tmp_path / "out" / "run-sheet-1.pdf").read_bytes().startswith(b"%PDF")


SECRETS = {
    "above": '#read("../course.yaml")',
    "above by a root": '#read("/../course.yaml")',
    "the machine's": '#read("/etc/hostname")',
    "a picture": '#image("../secret.png")',
    "a package": '#import "@preview/x:0.1.0"',
    "a package by another way": '#eval("import \\"@pre" + "view/x:0.1.0\\"", mode: "code")',
    "a package at home": '#import "@local/x:0.1.0"',
}


@pytest.mark.parametrize("way", SECRETS)
def test_an_own_template_reads_nothing_outside(tmp_path: Path, way: str) -> None:
    course = bring(write_course(tmp_path / "c"), {"run-sheet.typ": OWN + SECRETS[way]})
    result = lessonplan.build(course, tmp_path / "out")
    wrong = [problem for problem in result.problems if problem.severity == "error"]
    assert {(one.where.file, one.where.line) for one in wrong} == {("templates/run-sheet.typ", 3)}
    assert not (tmp_path / "out").exists()


def test_nothing_is_fetched(plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    course = bring(tmp_path, {"run-sheet.typ": OWN + '#import "@preview/cetz:0.3.0"'})
    monkeypatch.setenv("https_proxy", "http://elsewhere.invalid:8080")
    with pytest.raises(RuntimeError, match="Connection refused"):
        apart.apart(printed, plan, course)


def test_a_link_does_not_lead_out_of_the_course(plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "secret.typ").write_text("secret", encoding="utf-8")
    course = bring(tmp_path / "c", {"run-sheet.typ": OWN + '#include "other.typ"'})
    (course / "templates" / "other.typ").symlink_to(tmp_path / "secret.typ")
    with pytest.raises(UnfitError, match=r"templates/other\.typ:0:0: error outside"):
        printed(plan, course)


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("ok\n#let x = ", 4, "expected expression"),
        ("ok\n\n#given.view.nosuch", 5, "nosuch"),
        ("#let f(n) = f(n)\n#f(1)", 3, "depth"),
        ("#while true {}", 3, "always true"),
        ("#panic(1)", 3, "panicked"),
    ],
)
def test_what_is_wrong_is_a_problem_with_its_line(plan: Plan, tmp_path: Path, text: str, line: int, word: str) -> None:
    with pytest.raises(UnfitError) as bad:
        printed(plan, bring(tmp_path, {"run-sheet.typ": OWN + text}))
    assert (bad.value.problem.where.file, bad.value.problem.where.line) == ("templates/run-sheet.typ", line)
    assert word in bad.value.problem.message


def test_a_shared_part_that_does_not_fit_is_named_with_where_it_is_needed(plan: Plan, tmp_path: Path) -> None:
    with pytest.raises(
        UnfitError, match=r"unknown variable: sheet.*needed in lessonplan's run-sheet\.typ, line 3"
    ) as bad:
        printed(plan, bring(tmp_path, {"_paper.typ": "#let view = 1\n"}))
    assert bad.value.problem.where.file == "templates/"


def test_what_is_wrong_at_no_place_is_a_problem_of_the_paper_s_own_template(plan: Plan, tmp_path: Path) -> None:
    """PDF/UA asks for a title (ISO 14289-1, 7.1), and a paper that sets none is wrong nowhere in particular."""
    with pytest.raises(UnfitError, match=r"\(missing document title\)") as bad:
        printed(plan, bring(tmp_path, {"run-sheet.typ": "ok", "_paper.typ": ""}))
    assert bad.value.problem.where.file == "templates/run-sheet.typ"


def test_own_parts_serve_the_programs_paper(root: Path, tmp_path: Path) -> None:
    parts = (root / "templates" / "_paper.typ").read_text(encoding="utf-8")
    course = bring(write_course(tmp_path / "c"), {"_paper.typ": parts.replace("page #counter", "leaf #counter")})
    result = lessonplan.build(course, tmp_path / "out")
    assert result.plan is not None, result.problems
    assert any("leaf 1 of" in page for page in pdf.pages((tmp_path / "out" / "run-sheet-1.pdf").read_bytes()))


def test_a_picture_of_the_course_can_stand_on_its_paper(plan: Plan, tmp_path: Path) -> None:
    svg = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><path d='M0 0H9'/></svg>"
    course = bring(tmp_path, {"run-sheet.typ": OWN + '#image("mark.svg", alt: "our mark")', "mark.svg": svg})
    assert "Figure" in pdf.roles(printed(plan, course))


def test_what_a_view_may_hold(plan: Plan) -> None:
    pictures = Pictures(plan)
    assert plain(Marked("a **b** *c*\n\n- d\n\n[e](http://x.example)"), pictures) == [
        {
            "kind": "paragraph",
            "spans": [
                {"text": "a ", "bold": False, "italic": False},
                {"text": "b", "bold": True, "italic": False},
                {"text": " ", "bold": False, "italic": False},
                {"text": "c", "bold": False, "italic": True},
            ],
        },
        {"kind": "item", "spans": [{"text": "d", "bold": False, "italic": False}]},
        {"kind": "paragraph", "spans": [{"text": "e", "bold": False, "italic": False}]},
    ]
    assert plain(Code("A"), pictures)["alt"] == "A"
    with pytest.raises(TypeError):
        plain(object(), pictures)


def test_words_that_no_line_can_hold_may_be_broken() -> None:
    assert printable("a" * 24) == "a" * 24
    assert printable("a" * 30) == "\u200b".join(["a" * 6] * 5)
    assert printable("a\x00b\ue000c\u202ed") == "abcd"


def test_a_courses_own_papers_are_the_same_bytes(root: Path, sample_output: Path, tmp_path: Path) -> None:
    shutil.copytree(root / "sample_course", tmp_path / "c", ignore=shutil.ignore_patterns("out"))
    (tmp_path / "c" / "templates").mkdir()
    shutil.copy(root / "templates" / "run-sheet.typ", tmp_path / "c" / "templates")
    assert lessonplan.build(tmp_path / "c", tmp_path / "out").plan is not None
    for path in sample_output.glob("*.pdf"):
        assert (tmp_path / "out" / path.name).read_bytes() == path.read_bytes()


def test_printing_is_loaded_only_when_something_is_printed() -> None:
    words = "import sys, lessonplan.cli, lessonplan.building; print(sorted({'typst', 'segno'} & {*sys.modules}))"
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_a_font_of_the_course_is_named_and_a_huge_one_is_refused(tmp_path: Path) -> None:
    course = bring(write_course(tmp_path / "c"), {"Own.ttf": b"no font"})
    told = [one.message for one in lessonplan.build(course, tmp_path / "out").problems if one.code == "own-template"]
    assert told == ["This font is used on paper for signs that no other font has."]
    bring(course, {"Own.ttf": b"x" * (MAX_FONT_BYTES + 1)})
    wrong = [one for one in lessonplan.build(course, tmp_path / "out").problems if one.severity == "error"]
    assert [one.where.file for one in wrong] == ["templates/Own.ttf"]
