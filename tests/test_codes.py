"""The square codes on paper, read back by a decoder that shares nothing with what draws them (zxing-cpp)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import zxingcpp
from pypdfium2 import PdfDocument

import lessonplan
from lessonplan.building import documents
from tests import pdf
from tests.small_course import COURSE, write_course

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ADDRESS = "https://example.org/cowl?from=paper&edition=1"
LONG = "https://example.org/" + "a-long-way/" * 12 + "cowl.html"
DPI = 150
"""As a phone sees a sheet of A4 that fills its picture: 1,750 dots from top to bottom."""


def files(folder: Path, address: str) -> Mapping[str, bytes]:
    plan = lessonplan.plan(write_course(folder, {"course.yaml": f"{COURSE}address: {address}\n"})).plan
    assert plan is not None
    return documents(plan)


def read(data: bytes) -> list[list[str]]:
    """What stands in the codes of each page, seen as a picture."""
    pages = [page.render(scale=DPI / 72).to_numpy() for page in PdfDocument(data)]
    return [sorted(found.text for found in zxingcpp.read_barcodes(page)) for page in pages]


@pytest.mark.parametrize("address", [ADDRESS, LONG])
def test_the_handout_leads_to_its_address(browser: Browser, tmp_path: Path, address: str) -> None:
    made = files(tmp_path, address)
    for name in ("handout.pdf", "handout-large.pdf"):
        first, *others = read(made[name])
        assert first == [address], name
        assert not any(others), name
    (tmp_path / "handout.html").write_bytes(made["handout.html"])
    page = browser.new_page()
    page.goto((tmp_path / "handout.html").as_uri())
    assert not page.locator(".code").is_visible(), "on a screen there is the link"
    assert read(page.pdf(format="A4"))[0] == [address]
    page.close()


def test_labels_name_their_pieces(sample_output: Path) -> None:
    data = (sample_output / "labels.pdf").read_bytes()
    tags = [f"Piece {letter}" for letter in re.findall(r"(?m)^([A-Z])$", "\n".join(pdf.pages(data)))]
    assert len(tags) > 5
    assert sorted(name for page in read(data) for name in page) == sorted(tags)


def test_without_an_address_there_is_no_code(tmp_path: Path) -> None:
    plan = lessonplan.plan(write_course(tmp_path)).plan
    assert plan is not None
    made = documents(plan)
    assert not any(read(made["handout.pdf"]))
    assert b'class="code"' not in made["handout.html"]
