"""The handout on paper: everything the page for screens says, on few pages, tagged, and once more in large print."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

import lessonplan
from lessonplan.documents.handout import handout_view
from lessonplan.documents.handoutpaper import handout_paper
from lessonplan.planning.worked import Plan
from tests import pdf
from tests.small_course import COURSE, EPISODE, write_course

LARGE_PT = 18  # print_accessibility.yaml: APH, ACB: large print is 18 pt or larger


@pytest.mark.parametrize(("name", "fewest", "most"), [("handout", 3, 4), ("handout-large", 8, 14)])
def test_the_papers_say_all_and_are_short(sample: Plan, sample_output: Path, name: str, fewest: int, most: int) -> None:
    data = (sample_output / f"{name}.pdf").read_bytes()
    texts = pdf.pages(data)
    assert fewest <= len(texts) <= most
    assert all(len(text.split()) > 10 for text in texts), "no page is empty"
    assert list(pdf.outside(data)) == []
    # A text may go on over the foot of a page.
    feet = rf"Ostrelby Mittens, edition 1, code \w{{4}}\s*page \d+ of {len(texts)}"
    assert all(re.search(feet, text) for text in texts)
    view, whole = handout_view(sample), pdf.squeezed("".join(re.sub(feet, "", text) for text in texts))
    wanted = [view.title, view.host, view.terms, *view.cautions, *view.materials.gauges, *view.materials.needles]
    wanted += [text for one in view.abbreviations for text in (one.short, one.meaning, one.how)]
    wanted += [text for one in view.measurements.finished for text in (one.name, *one.values)]
    wanted += [text for one in view.errata for text in (one.place, one.said, one.right)]
    wanted += [one.state for one in view.ready]
    for stage in view.stages:
        wanted += [stage.title, *stage.shown]
        for work in stage.works:
            wanted += [work.lead, work.count, work.end, work.end_count]
            wanted += [text for line in work.lines for text in (line.label, line.text, line.count)]
    missing = [text for text in wanted if pdf.squeezed(text) not in whole]
    assert missing == []


def test_each_yarn_has_its_name_and_colour(sample: Plan) -> None:
    yarns = [(one.key, one.name, one.colour, one.amount[-4:]) for one in handout_paper(sample).yarns]
    assert yarns == [("MC", "Quernwool DK", "oatmeal", "ball"), ("CC", "Quernwool DK", "tarn blue", "ball")]


@pytest.mark.parametrize("name", ["handout", "handout-large"])
def test_the_papers_are_tagged_and_named(sample_output: Path, name: str) -> None:
    data = (sample_output / f"{name}.pdf").read_bytes()
    read = pdf.reader(data)
    assert read.metadata is not None
    assert read.metadata.title == "Ostrelby Mittens: A Pair of Ostrelby Mittens"
    catalog = read.trailer["/Root"]
    assert str(catalog["/Lang"]) == "en"  # type: ignore[index]
    assert bool(catalog["/MarkInfo"]["/Marked"]) is True  # type: ignore[index]
    roles = pdf.roles(data)
    assert roles.count("H1") == 1
    assert roles.count("H3") >= 10, "a heading for every stage"
    assert roles.count("Figure") >= 2, "the drawing and the chart"
    assert b"pdfuaid" in data or "pdfuaid" in str(read.xmp_metadata.rdf_root.toxml() if read.xmp_metadata else "")


def sizes_of_type(read: PdfReader) -> dict[float, str]:
    """What is set in which size, as shown."""
    found: dict[float, str] = {}
    for page in read.pages:

        def see(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
            shown = round(abs(size * tm[3] * cm[3]), 1)
            found[shown] = found.get(shown, "") + text.strip()

        page.extract_text(visitor_text=see)
    return {size: text for size, text in found.items() if text}


def test_large_print_is_large_everywhere(sample_output: Path) -> None:
    # Names and measures on the drawing, the key of the chart and the number of the page are read like all else.
    sizes = sizes_of_type(pdf.reader((sample_output / "handout-large.pdf").read_bytes()))
    small = "".join(text for size, text in sizes.items() if size < LARGE_PT - 0.05)
    assert set(small) <= {"!"}, "only the sign of a warning, beside its words"
    large = "".join(text for size, text in sizes.items() if size >= LARGE_PT - 0.05)
    assert {word for word in ("round", "oatmeal", "yarn at the back", "edition", "of 14") if word not in large} == set()


def test_what_a_drawing_says_can_be_read_in_usual_print(sample_output: Path) -> None:
    # 7.5 pt: three quarters of the text beside it. Before, names and measures on the drawing were 5.4 pt.
    assert min(sizes_of_type(pdf.reader((sample_output / "handout.pdf").read_bytes()))) >= 7.4


def test_a_course_without_gauge_or_sizes_has_its_paper_too(tmp_path: Path) -> None:
    pattern = "title: Box\ncraft: bookbinding\nstages:\n  fold:\n    title: Folding\n    works:\n"
    pattern += "      - {units: 5, unit: section, each: 3 min}\n      - {minutes: 5, what: Press it, one_way: yes}\n"
    episode = EPISODE.replace("before edge", "before fold").replace("edge round 1", "fold")
    episode = episode.replace('        hands:\n          - work: "k1, p1"\n', "").replace("{{ edge.cast_on }} ", "")
    files = {"pattern.yaml": pattern, "course.yaml": COURSE, "episodes/01.yaml": episode}
    lessonplan.build(write_course(tmp_path, files), tmp_path / "out")
    (text, *_) = pdf.pages((tmp_path / "out" / "handout.pdf").read_bytes())
    assert "5 sections" in text
    assert "Press it" in text
    made = lessonplan.plan(tmp_path).plan
    assert made is not None
    assert handout_paper(made).parts == ()


def test_a_count_behind_lines_has_no_box_and_what_is_worked_again_has_one(tmp_path: Path) -> None:
    # Two rounds written out, of 38 stitches then; and two that are worked three times.
    own = 'works:\n      - {rounds: 2, lines: ["Round 1: K2tog, k to last 2 sts, k2tog", "Round 2: Knit"]}\n'
    again = '      - {times: 3, lines: ["Knit", "Purl"]}\n'
    head = "title: Box\ngauge: {stitches: 20, rounds: 28}\nyarns:\n  MC: {name: Wool, metres: 200, grams: 100}\n"
    pattern = f"{head}stages:\n  edge:\n    title: Edge\n    works:\n      - {{cast_on: 40, join: yes}}\n"
    pattern += own.removeprefix("works:\n") + again
    made = lessonplan.plan(write_course(tmp_path, {"pattern.yaml": pattern, "course.yaml": COURSE})).plan
    assert made is not None
    works = [work for stage in handout_paper(made).stages for work in stage.works if work.end]
    assert [(work.end.text.split()[0], work.ticked) for work in works if work.end] == [("Then", False), ("Work", True)]
