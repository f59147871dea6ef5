"""The page of a proof, for an episode whose captions the course keeps, and the table."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from lessonplan.craft.words import words_of
from lessonplan.documents.papers import every_paper
from lessonplan.documents.proofing import proof_of, proof_table
from lessonplan.documents.proofpage import ABOUT, ProofView, proof_view
from lessonplan.edit.problems import with_edit
from lessonplan.edit.proof.findings import KINDS
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Plan
from lessonplan.render.pages import page
from lessonplan.render.pictures import Pictures
from tests.small_course import write_course

HEADBAND = Path(__file__).parent.parent / "edit" / "headband"
TALK = """WEBVTT

00:00:02.000 --> 00:00:20.000
hello and welcome today we make a headband and this is why we make it

00:01:40.000 --> 00:02:00.000
casting on we cast on twelve stitches & then join nothing because it is cast on flat

00:04:30.000 --> 00:05:00.000
making it wider the two increases are mirrors make one left leans right increase in the widening
"""


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder = tmp_path_factory.mktemp("kept") / "headband"
    shutil.copytree(HEADBAND, folder)
    (folder / "captions").mkdir()
    (folder / "captions" / "01-first.vtt").write_text(TALK, encoding="utf-8")
    (folder / "captions" / "01-second.vtt").write_text("WEBVTT\n", encoding="utf-8")
    (folder / "captions" / "09-none.srt").write_text("", encoding="utf-8")
    (folder / "captions" / "notes.md").write_text("", encoding="utf-8")
    result = plan(folder)
    assert result.plan is not None, result.problems
    assert [(one.severity, one.message) for one in result.problems] == [
        ("warning", "There is no episode 9, so these captions are not read.")
    ]
    return result.plan


def test_an_episode_with_captions_has_a_page(planned: Plan) -> None:
    papers = [(paper, number, part) for paper, number, part in every_paper(planned) if paper.template == "proof.html"]
    ((paper, number, part),) = papers
    assert (paper.name(number, words_of(planned.course.pattern)), part.name) == ("proof-1", "captions/01-first.vtt")
    view = paper.view(planned, part, None)
    assert isinstance(view, ProofView)
    html = page("proof.html", view, None, language="en", pictures=Pictures(planned)).decode()
    assert "<b>twelve stitches</b>" in html
    assert "11 stitches (Cast-on edge: stitches cast on)" in html
    assert "what was said, episode 1" in html.lower()


def test_the_view_and_the_table_say_the_same(planned: Plan) -> None:
    found = proof_of(planned, planned.captions[0])
    view, table = proof_view(planned, found), proof_table(planned.worked, found)
    twelve = next(row for row in view.rows if row.said == "twelve stitches")
    assert (twelve.before, twelve.after) == ("on we cast on ", " then join nothing because")
    assert twelve.at.startswith("00:01:4")
    assert f"{twelve.before}{twelve.said}{twelve.after}" in table
    assert f"{len(view.rows)} open." in table
    assert view.done == ()


def test_every_kind_is_explained() -> None:
    assert {*ABOUT} == {*KINDS}


def test_a_wrong_unit_says_what_the_number_counts(sample_output: Path) -> None:
    """“After twelve rows of this” is said in the sample's second video; its pattern has “rounds: 12” for the band."""
    html = (sample_output / "proof-2.html").read_text(encoding="utf-8")
    row = html.partition("wrong unit")[2].partition("</tr>")[0]
    assert "<b>twelve rows" in row
    assert "12 rounds (Cobble band: rounds)" in row


def test_captions_that_cannot_be_read_are_told_of_on_check(tmp_path: Path) -> None:
    folder = write_course(tmp_path)
    (folder / "captions").mkdir()
    (folder / "captions" / "01-first.vtt").write_bytes(b"\x00\x01\x02 no captions")
    told = [one for one in with_edit(plan(folder)).problems if one.where.file.endswith("01-first.vtt")]
    assert [one.severity for one in told] == ["warning"]
