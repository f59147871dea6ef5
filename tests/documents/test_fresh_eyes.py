"""What a reader with fresh eyes found on the papers of the sample course who had never seen them; worked by hand."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.index import index_view
from lessonplan.documents.promises import promises_view
from lessonplan.documents.proofing import proof_of
from lessonplan.documents.proofpage import proof_view
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.planning.worked import Plan


@pytest.fixture(scope="module")
def sample(root: Path) -> Plan:
    found = lessonplan.plan(root / "sample_course").plan
    assert found is not None
    return found


def page(folder: Path, name: str) -> str:
    """A page as it is read: without markup."""
    return " ".join(re.sub(r"<[^>]+>", " ", (folder / name).read_text("utf-8")).split())


def test_the_index_says_how_many_cards_there_are_to_cut_apart(sample: Plan, sample_output: Path) -> None:
    told = {link.href: link.text for link in index_view(sample).for_host}
    for day, shots in ((1, 24), (2, 18)):
        cards = (sample_output / f"cue-cards-{day}.html").read_text("utf-8").count('class="cue"')
        assert 0 < cards < shots
        assert told[f"cue-cards-{day}.pdf"] == f"{cards} cards for {shots} shots, to be cut apart"


def test_a_piece_of_few_stitches_is_not_named_like_the_size(sample: Plan, sample_output: Path) -> None:
    # The course has a size Small, of 40 stitches; the pieces F and G have 24, in size Medium.
    names = re.findall(r"Piece [FG], ([a-z ]+)", page(sample_output, "step-samples.html"))
    assert {name.strip() for name in names} == {"fewer stitches"}
    rows = list(csv.DictReader((sample_output / "knitters.csv").read_text("utf-8-sig").splitlines()))
    assert {row["kind"] for row in rows if row["piece"] in "FG"} == {"fewer stitches"}
    # “Twenty four” is said of such a piece, in its band.
    (kept,) = sample.captions
    view = proof_view(sample, proof_of(sample, kept))
    told = [str(one) for one in (*view.rows, *view.done) if one.said == "twenty four stitches"]
    assert ["Cobble band of the piece with fewer stitches" in one for one in told] == [True]


def test_the_shot_list_says_what_each_technique_is(sample: Plan) -> None:
    # No paper explains “pu&k”, which nobody prints; 13 stitches of the gusset are held, in 2.3.2 before the camera.
    found = {row.name: (row.how, row.shots) for row in shot_list_view(sample).coverage if row.what == "technique"}
    assert found["pu&k: pick up and knit along an edge"] == ("on camera", "3.3.2")
    assert found["hold: put the stitches on waste yarn"] == ("on camera", "2.3.2")
    assert all(": " in name for name in found)


def test_what_a_text_over_the_picture_promises_is_among_the_promises(sample: Plan) -> None:
    # “Handout and errata are below this video”, in 3.5.2; the course has the address of neither yet.
    third = promises_view(sample).episodes[2]
    found = {(one.words, one.source, one.due) for one in third.rows if one.source.endswith("3.5.2")}
    assert found == {(what, "planned, 3.5.2", "description") for what in ("the handout", "the errata page")}
