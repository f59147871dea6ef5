"""`count --file`: a whole pattern as a tech editor gives it, from a file to the table, the JSON and the page."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from typer.testing import CliRunner

from lessonplan.cli import app
from lessonplan.render.pages import mark
from tests.patterns import BACK, HAT, SCHAL

if TYPE_CHECKING:
    from playwright.sync_api import Browser

WRONG = BACK.replace("80 (84, 88, 92) sts remain", "80 (84, 88, 93) sts remain")
ALL_KINDS = WRONG.replace(
    "**Next row:** Purl.", "**Next row:** Purl wobbling and wibbling until the wibble wobbles, k2tgo."
)
"""Also a line that is not read."""


def run(*words: str | Path) -> Any:
    return CliRunner().invoke(app, ["count", *map(str, words)])


def kept(folder: Path, text: str, name: str = "pattern.txt") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_good_pattern_as_a_table(tmp_path: Path) -> None:
    done = run("--file", kept(tmp_path, HAT))
    assert (done.exit_code, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    row = next(line for line in lines if "Rnd 3: *K7" in line)
    assert row.split()[0] == "37"
    assert "64\u00a0(72, 80)" in row.replace(",\u00a0", ", ")
    assert row.rstrip().endswith("1")
    assert "as printed" in row
    assert any(line.startswith("In all") and "44" in line for line in lines)
    assert "k2tog 48" in done.stdout


def test_a_fault_is_told_at_its_place_and_the_exit_status_says_so(tmp_path: Path) -> None:
    path = kept(tmp_path, WRONG, "back.md")
    done = run("--file", path)
    at = next(number for number, line in enumerate(WRONG.splitlines(), 1) if line.startswith("Repeat the last 2"))
    assert done.exit_code == 1
    assert done.stderr.splitlines() == [
        f"{path}:{at}:48: error, counts disagree: size L: prints 93 stitches after this line, but there are 92"
    ]


def test_the_same_for_programs(tmp_path: Path) -> None:
    done = run("--file", kept(tmp_path, WRONG), "--json")
    found: Any = json.loads(done.stdout)
    assert found["sizes"] == ["XS", "S", "M", "L"]
    assert found["sizes_line"] == 6
    line = next(one for one in found["lines"] if one["text"].startswith("Repeat the last 2"))
    assert (line["stitches"], line["printed"], line["rounds"]) == ([80, 84, 88, 92], [80, 84, 88, 93], [10, 12, 14, 16])
    assert [(one["kind"], one["size"]) for one in found["problems"]] == [("disagrees", 4)]
    assert [one["name"] for one in found["sections"]] == ["Back", "Shape armholes", "Shape shoulders", "Front"]
    assert found["abbreviations"]["not_explained"] == found["abbreviations"]["not_used"] == []
    assert found["techniques"]["ssk"] == [12, 14, 16, 18]


def test_what_is_only_not_read_has_a_status_of_its_own(tmp_path: Path) -> None:
    assert run("--file", kept(tmp_path, HAT.replace("Rnd 2: Knit.", "Rnd 2: Knt wobble."))).exit_code == 4


def test_wrong_use_and_files_that_cannot_be_read(tmp_path: Path) -> None:
    path = kept(tmp_path, HAT)
    assert run("Knit", "--file", path).exit_code == 2
    assert run("--file", path, "--until", "4").exit_code == 2
    assert run("--file", path, "--language", "tlh").exit_code == 2
    assert run("Knit", "--on", "4", "--page", tmp_path / "x.html").exit_code == 2
    (tmp_path / "bad.txt").write_bytes(b"K2\n\xff\xfe\xfa")
    done = run("--file", tmp_path / "bad.txt")
    assert (done.exit_code, "bad.txt:2:1" in done.stderr) == (3, True)
    assert run("--file", tmp_path).exit_code == 3
    prose = run("--file", kept(tmp_path, "A letter to my aunt.\n", "letter.txt"))
    assert (prose.exit_code, "nothing in it" in prose.stderr) == (1, True)


def test_another_language_for_single_lines_and_for_patterns(tmp_path: Path) -> None:
    done = run("2 M re zus, 3 M re, 2 M li zsu", "--on", "7", "--language", "de", "--json")
    (problem,) = json.loads(done.stdout)["problems"]
    assert (problem["column"], problem["kind"]) == (28, "unread")
    assert run("--file", kept(tmp_path, SCHAL), "--language", "de").exit_code == 0
    assert run("*2 M re, 2 M re zus, ab * wdh", "--on", "8", "--language", "de").exit_code == 0


def test_the_page_holds_the_pattern_as_printed_with_the_counts_beside_it(tmp_path: Path) -> None:
    path, page = kept(tmp_path, WRONG), tmp_path / "pages" / "back.html"
    assert run("--file", path, "--page", page).exit_code == 1
    text = page.read_text(encoding="utf-8")
    assert mark("lessonplan count").decode() in text
    for printed in ("Heron Pullover", "With smaller needles, CO 102 (110, 118, 126) sts.", "Sew shoulder seams."):
        assert printed in text
    assert "80\u00a0(84,\u00a088,\u00a092)" in text
    assert "prints 93 stitches after this line, but there are 92" in text
    assert "default-src &#39;none&#39;" in text
    assert "<script" not in text
    before = page.read_bytes()
    assert run("--file", path, "--page", page).exit_code == 1
    assert page.read_bytes() == before


def test_a_file_of_the_teacher_is_not_written_over(tmp_path: Path) -> None:
    path, other = kept(tmp_path, HAT), kept(tmp_path, "my notes", "notes.html")
    done = run("--file", path, "--page", other)
    assert (done.exit_code, other.read_text(encoding="utf-8")) == (3, "my notes")
    assert "left as it is" in done.stderr


def test_markup_in_a_pattern_stays_text(tmp_path: Path) -> None:
    page = tmp_path / "x.html"
    run("--file", kept(tmp_path, "<script>alert(1)</script> & co\n\nCO 8 sts.\nRnd 1: <b>Knit</b>.\n"), "--page", page)
    text = page.read_text(encoding="utf-8")
    assert "<script>" not in text
    assert "&lt;script&gt;" in text


@pytest.mark.parametrize("width", [360, 820, 1280])
def test_the_page_in_a_browser(browser: Browser, tmp_path: Path, width: int) -> None:
    page_file = tmp_path / "back.html"
    assert run("--file", kept(tmp_path, ALL_KINDS), "--page", page_file).exit_code == 1
    page = browser.new_page(viewport={"width": width, "height": 800})
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(page_file.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    lost = "[...document.querySelectorAll('a[href^=\"#\"]')].filter(a => !document.querySelector(a.hash)).length"
    assert page.evaluate(lost) == 0
    assert said == [], "the browser complains, for example about the content policy"
    page.close()


def test_axe_finds_nothing_on_the_page(browser: Browser, axe: Path, tmp_path: Path) -> None:
    page_file = tmp_path / "back.html"
    assert run("--file", kept(tmp_path, ALL_KINDS), "--page", page_file).exit_code == 1
    context = browser.new_context(viewport={"width": 820, "height": 1180}, bypass_csp=True)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.add_script_tag(path=axe)
    result = page.evaluate("axe.run()")
    assert [(one["id"], one["nodes"][0]["html"][:200]) for one in result["violations"]] == []
    context.close()
