"""What viewers and host compare from paper to paper, read on the papers of the sample course as they are built."""

from __future__ import annotations

import re
from pathlib import Path

from tests import pdf


def page(folder: Path, name: str) -> str:
    """Give the words of a paper in small letters, without blanks and markup."""
    if name.endswith(".pdf"):
        return pdf.squeezed("".join(pdf.pages((folder / name).read_bytes())))
    return pdf.squeezed(re.sub(r"<[^>]*>", "", (folder / name).read_text(encoding="utf-8")))


def test_the_code_of_a_handout_stands_on_all_that_it_is_compared_with(sample_output: Path) -> None:
    found = re.search(
        r"edition1ofepisodes1to3,code([2-9a-z]{4})\(iftheerratapagehasanother,", page(sample_output, "handout.html")
    )
    assert found
    wanted = f"edition1,code{found[1]}"
    for name in ("handout.pdf", "handout-large.pdf", "errata.html", "release.html", "kit.html", "kit-slips.pdf"):
        assert wanted in page(sample_output, name), name
    # Below each of the three videos, with its pinned note, and where the host looks for all papers.
    assert page(sample_output, "texts.html").count(wanted) >= 6
    assert wanted in page(sample_output, "index.html")
    for name in ("handout.html", "handout.pdf", "errata.html"):
        assert "newesthandout" in page(sample_output, name), name
