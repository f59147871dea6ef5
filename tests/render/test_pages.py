"""Pages: the policy fits the stylesheet, a course may bring its own templates, and text stays text."""

from __future__ import annotations

import base64
import hashlib
import html
import re
from pathlib import Path

import lessonplan
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)> {{ 7 * 7 }}"
LINKS = "[one](javascript:alert(1)) [two](data:text/html,x) [three](https://example.org/) <b>bold</b>"


def built(folder: Path, **files: str) -> dict[str, str]:
    names = {"course": "course.yaml", "pattern": "pattern.yaml", "episode": "episodes/01.yaml"}
    course = write_course(folder, {names[key]: text for key, text in files.items()})
    result = lessonplan.build(course, folder / "out")
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return {path.name: path.read_text(encoding="utf-8") for path in (folder / "out").glob("*.html")}


def test_the_policy_allows_this_very_stylesheet_and_nothing_else(tmp_path: Path) -> None:
    for name, page in built(tmp_path).items():
        style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)
        assert style is not None, name
        digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
        policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
        assert policy is not None, name
        told = html.unescape(policy[1])
        assert f"'sha256-{digest}'" in told, name
        assert "unsafe" not in told
        assert told.startswith("default-src 'none';")


SVG_VALUES = {
    "stroke-width": r"\d+(\.\d+)?",
    "font-size": r"\d+(\.\d+)?",
    "fill": r"none|currentColor|var\(--[\w-]+\)|url\(#[\w-]+\)|#[0-9A-Fa-f]{3,6}|white|black",
    "stroke": r"none|currentColor|var\(--[\w-]+\)|url\(#[\w-]+\)|#[0-9A-Fa-f]{3,6}|white|black",
    "text-anchor": "start|middle|end",
    "stroke-linecap": "butt|round|square",
    "d": r"M[\d\sMLHVCSQTAZmlhvcsqtaz.,-]+",
}
"""What drawings may hold: widths and sizes are numbers, paint is paint (SVG 1.1, 8.3, 11.2 and 11.4, from memory)."""


def test_drawings_hold_what_svg_allows_and_pages_end_with_a_line(sample_output: Path) -> None:
    seen = set()
    for path in sample_output.glob("*.html"):
        page = path.read_text(encoding="utf-8")
        assert page.endswith("</html>\n"), path.name
        for drawing in re.findall(r"<svg.*?</svg>", page, re.DOTALL):
            for name, value in re.findall(r' ([\w-]+)="([^"]*)"', drawing):
                if name in SVG_VALUES:
                    seen.add(name)
                    assert re.fullmatch(SVG_VALUES[name], value), f"{path.name}: {name}={value}"
    assert seen == {*SVG_VALUES}


def test_a_course_may_override_one_template(tmp_path: Path) -> None:
    course = tmp_path / "templates"
    course.mkdir()
    (course / "errata.html").write_text("<p>Ours: {{ view.title }}</p>", encoding="utf-8")
    pages = built(tmp_path)
    policy, ours = pages["errata.html"].rsplit("\n", 1)
    assert "Content-Security-Policy" in policy
    assert ours == "<p>Ours: Ring cowl</p>"
    assert "<h1>" in pages["handout.html"]


def test_script_in_any_text_stays_text(tmp_path: Path) -> None:
    quoted = "'" + HOSTILE.replace("{{ 7 * 7 }}", "") + "'"
    pages = built(
        tmp_path,
        course=COURSE.replace("title: Ring cowl", f"title: {quoted}").replace("Ada Example", quoted),
        pattern=PATTERN.replace("title: Edge", f"title: {quoted}").replace("name: Plain wool", f"name: {quoted}"),
        episode=EPISODE.replace("title: The edge", f"title: {quoted}").replace("view: overhead", f"view: {quoted}"),
    )
    for name, page in pages.items():
        assert "<script>alert" not in page, name
        assert "<img" not in page, name
        assert "&lt;script&gt;alert(1)" in page or "\\u003cscript\\u003ealert(1)" in page, name


def test_markdown_makes_no_raw_html_and_no_dangerous_links(tmp_path: Path) -> None:
    page = built(
        tmp_path, episode=EPISODE.replace("say: We cast", f"say: '{LINKS} We cast").replace("stitches.", "stitches.'")
    )
    sheet = page["run-sheet-1.html"]
    assert "javascript:alert" not in re.sub(r"\[one\]\(javascript:alert\(1\)\)", "", sheet)
    assert 'href="data:' not in sheet.replace('href="data:,"', "")
    assert 'href="https://example.org/"' in sheet
    assert "&lt;b&gt;bold" in sheet


def test_template_language_in_a_text_is_a_problem_not_a_program(tmp_path: Path) -> None:
    course = write_course(tmp_path, {"episodes/01.yaml": EPISODE.replace("{{ edge.cast_on }}", "{{ 7 * 7 }}")})
    assert [problem.code for problem in lessonplan.load(course).problems] == ["unknown-fact"]
