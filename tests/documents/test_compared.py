"""What viewers and host compare from paper to paper, read on the papers of the sample course as they are built."""

from __future__ import annotations

import re
from pathlib import Path

from tests import pdf


def page(folder: Path, name: str) -> str:
    """Give the words of a paper, blanks and markup gone."""
    if name.endswith(".pdf"):
        return " ".join("".join(pdf.pages((folder / name).read_bytes())).split())
    return " ".join(re.sub(r"<[^>]*>", "", (folder / name).read_text(encoding="utf-8")).split())


def test_the_code_of_a_handout_stands_on_all_that_it_is_compared_with(sample_output: Path) -> None:
    found = re.search(r"Edition 1 of episodes 1 to 3, code ([2-9A-Z]{4})\.", page(sample_output, "handout.html"))
    assert found
    code = found[1]
    for name in ("handout.pdf", "handout-large.pdf", "errata.html", "release.html", "kit.html", "kit-slips.pdf"):
        assert f"edition 1, code {code}" in page(sample_output, name), name
    # Below each of the three videos, with its pinned note, and where the host looks for all papers.
    assert page(sample_output, "texts.html").count(f"edition 1, code {code}") >= 6
    assert f"Edition 1, code {code}" in page(sample_output, "index.html")
    for name in ("handout.html", "handout.pdf", "errata.html"):
        assert "newest handout" in page(sample_output, name), name
