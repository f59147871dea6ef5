"""The sample course through the real commands: what it must be, and that its pages hold together."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

import lessonplan
from lessonplan.pattern.facts import last_stitches
from lessonplan.planning.worked import Plan
from tests.command import run
from tests.published import rows

INCH = 25.4


def test_it_has_no_problems_at_all(root: Path) -> None:
    assert [str(problem) for problem in lessonplan.plan(root / "sample_course").problems] == []


def test_it_is_as_large_as_a_real_course(sample: Plan) -> None:
    assert len(sample.course.episodes) == 3
    assert sum(len(episode.segments) for episode in sample.course.episodes) >= 14
    assert len(sample.worked.clocks) >= 35
    assert len(sample.worked.table) >= 20
    assert (len(sample.days), len(sample.course.course.knitters), len(sample.course.errata.errata)) == (2, 2, 3)
    assert len(sample.course.pattern.sizes) == 3


def test_the_choice_is_proven_and_saves_work(root: Path) -> None:
    data = json.loads(run("samples", root / "sample_course", "--json").stdout)
    assert data["optimal"] is True
    assert 0 < data["total_minutes"] < data["naive_minutes"]


@pytest.mark.parametrize("size", [0, 1, 2])
def test_the_hand_fits_sizes_from_memory(sample: Plan, size: int) -> None:
    # S, M and L are from memory (6.5-7, 7-7.5, 7.5-8 in); published is only one range for all women:
    # purlsandpixels.com.
    (kept,) = [row for row in rows("body_sizes") if row["part"] == "hand" and row["size"] == f"woman {'SML'[size]}"]
    assert kept["confidence"] == "from-memory"
    low, high = float(kept["min_in"]), float(kept["max_in"])
    hand = sample.worked.pattern.stage("hand", size)
    around = hand.fabric.width(last_stitches(hand)) / INCH
    assert low <= around <= high + 1.0, "a mitten has no negative ease and at most an inch of room"


@pytest.mark.parametrize("size", [0, 1, 2])
def test_the_mitten_is_as_long_as_a_charity_knitters_lengths(sample: Plan, size: int) -> None:
    # knittinghelp.com mitten measurements (a charity knitter's experience, cuff not included): 7, 7.5, 8 in for adults.
    name = ("adult small", "adult medium", "adult large")[size]
    (published,) = [row for row in rows("body_sizes") if row["part"] == "mitten length" and row["size"] == name]
    stages = [sample.worked.pattern.stage(key, size) for key in ("gusset", "band", "hand", "top")]
    length = sum(stage.length for stage in stages) / INCH
    assert length == pytest.approx(float(published["min_in"]), abs=0.5)


class Links(HTMLParser):
    """Collects where a page's links go and which ids it has."""

    def __init__(self) -> None:
        super().__init__()
        self.hrefs: list[str] = []
        self.ids: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name in ("href", "src"):
                self.hrefs.append(value or "")
            if name == "id":
                self.ids.append(value or "")
            assert name != "style", "the content policy blocks inline styles"
            assert not name.startswith("on"), "no inline scripts"


def read(path: Path) -> Links:
    parser = Links()
    parser.feed(path.read_text(encoding="utf-8"))
    return parser


def test_every_link_on_every_page_leads_somewhere(sample_output: Path) -> None:
    pages = {path.name: read(path) for path in sample_output.glob("*.html")}
    assert len(pages) >= 9
    for name, page in pages.items():
        assert len(page.ids) == len(set(page.ids)), name
        for href in page.hrefs:
            if href.startswith(("mailto:", "data:")):
                continue
            assert not re.match(r"[a-z]+:", href), f"{name} asks another host for {href}"
            target, _, fragment = href.partition("#")
            assert not target or (sample_output / target).exists(), f"{name} links to {href}"
            if fragment:
                assert fragment in (pages[target] if target else page).ids, f"{name} links to {href}"


def test_every_page_has_a_policy_a_title_and_one_heading(sample_output: Path) -> None:
    for path in sample_output.glob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert "Content-Security-Policy" in text
        assert "default-src 'none'" in text.replace("&#39;", "'")
        assert len(re.findall(r"<h1[ >]", text)) == 1, path.name
        assert re.search(r"<title>[^<]+</title>", text)


def test_the_same_course_gives_the_same_bytes(root: Path, sample_output: Path, tmp_path: Path) -> None:
    lessonplan.build(root / "sample_course", tmp_path / "again")
    first = {path.name: path.read_bytes() for path in sample_output.iterdir()}
    second = {path.name: path.read_bytes() for path in (tmp_path / "again").iterdir()}
    assert first == second
