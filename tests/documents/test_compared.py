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


def test_a_time_that_no_video_has_is_called_planned_where_it_stands(sample_output: Path) -> None:
    """Of the three episodes the second alone has captions, so that its times are those of a video."""
    for name in ("handout.html", "handout.pdf", "handout-large.pdf"):
        text = page(sample_output, name)
        assert re.findall(r"episode([13])at", text) == [], name
        assert len(re.findall(r"episode[13],plannedat", text)) >= 8, name
        assert "episode2at3:04:" in text, name


def test_a_loop_has_its_yarn_and_its_place_in_the_homework(sample_output: Path) -> None:
    # For the pair with its reserve 55 (65, 77) m of CC as filmed, with a loop 59 (70, 81). The cord is the same in
    # every size, so it is told once, as the most of these differences: up to 5 m.
    needed = page(sample_output, "release.html")
    assert "55(65,77)mofccasfilmed,59(70,81)mwithaloop" in needed
    assert "thumb,hangingloop(onlywithaloop),weavingin" in needed
    for name in ("handout.html", "handout.pdf"):
        assert "onlywithaloop,upto5mofccmoreforthepair:" in page(sample_output, name), name
    assert "withaloopittakesupto5mofccmore,attheprintedgauge." in page(sample_output, "handout.html")


def test_the_last_cue_card_has_no_page_of_its_own(sample_output: Path) -> None:
    *_, last = pdf.pages((sample_output / "cue-cards-1.pdf").read_bytes())
    assert len(re.findall(r"slate \d+", last)) > 1
