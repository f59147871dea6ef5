"""What a reader with fresh eyes found on the papers of the sample course who had never seen them; worked by hand."""

from __future__ import annotations

import csv
import re
from pathlib import Path

from lessonplan.documents.index import index_view
from lessonplan.documents.promises import promises_view
from lessonplan.documents.proofing import proof_of
from lessonplan.documents.proofpage import proof_view
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.shotlist import shot_list_view
from lessonplan.documents.tasks import tasks_of
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import Reader, cautions
from lessonplan.shoot.day import clock


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


def test_whoever_makes_a_piece_from_the_first_page_has_all_its_orders(sample: Plan, sample_output: Path) -> None:
    """What makes a piece right for its shot stands on its card, not only with its knitter."""
    text = page(sample_output, "step-samples.html")
    cards = re.split(r" Piece ([A-Z]) (?=\S)", text[text.index("Piece by piece") :])
    told = dict(zip(cards[1::2], cards[2::2], strict=True))
    wanted = {
        "In round 8 of the cuff work a wrong purl on purpose: purl the 13th stitch": 1,  # the slip to be mended
        "Knit the band of this one tightly on purpose": 1,
        "Hand it over on its needle": 1,
        "Cast on only; it is joined on camera": 2,
    }
    for words, pieces in wanted.items():
        assert sum(words in card for card in told.values()) == pieces, words
    for task in tasks_of(sample):
        assert task.stop in told[task.letter], task.letter
        assert not task.needle or f"Needle at the stop: {task.needle}" in told[task.letter]
        assert all(note.text.split(": ", 1)[1][:20] in told[task.letter] for note in task.notes)
    assert sum("do not cut" in card for card in told.values()) > 8


def test_a_place_in_a_round_is_not_taken_for_the_stitches_of_the_piece(sample_output: Path) -> None:
    # 22 + 13 of the 57 stitches of round 19 are worked: 44 are on the needle and 13 on waste yarn.
    where = "Thumb gusset, 18 rounds and the first 35 sts of the next (13 of them on waste yarn)"
    for name in ("step-samples.html", "run-sheet-1.html", "table-1.html"):
        text = page(sample_output, name)
        assert where in text
        assert not re.search(r"rounds and \d+ sts", text)


def test_the_glance_says_when_it_goes_on_after_lunch(sample: Plan, sample_output: Path) -> None:
    for day in sample.days:
        text = page(sample_output, f"run-sheet-{day.number + 1}.html")
        glance = text[text.index("At a glance") : text.index("The day")]
        filmed = [one for one in day.entries if one.kind in ("shot", "lunch")]
        lunch = next(place for place, one in enumerate(filmed) if one.kind == "lunch")
        assert f"{clock(filmed[lunch].start)} Lunch, 45 min {clock(filmed[lunch + 1].start)} " in glance
        again = filmed[lunch - 1].number.rpartition(".")[0] == filmed[lunch + 1].number.rpartition(".")[0]
        assert glance.count("(goes on)") == again


def test_what_is_filmed_besides_has_its_slate_its_place_and_its_box(sample: Plan, sample_output: Path) -> None:
    sheets = [run_sheet_paper(sample, day) for day in sample.days]
    asked = {one.number: one for sheet in sheets for one in sheet.shots if "also film" in one.note.text}
    assert asked
    rows = {row.number: row for sheet in sheets for row in sheet.rows if row.kind == "shot"}
    for number, row in rows.items():
        assert ("+" in row.takes) == (number in asked), number
        assert row.takes[-1] == "+" or number not in asked
    for one in asked.values():
        assert "After the last take, under the same slate" in one.note.text
    boxes = [(sample_output / f"run-sheet-{day}.html").read_text("utf-8").count("<li>+</li>") for day in (1, 2)]
    assert sum(boxes) == len(asked)


def test_needles_in_what_is_tried_on_are_warned_of_at_each_shot(sample: Plan) -> None:
    """On live stitches a hand goes in at 1.4.3, 2.3.1 (whose words warn viewers), 3.1.2 and 3.3.3; B is finished."""
    cards = {one.number: one for day in sample.days for one in run_sheet_paper(sample, day).shots}
    warned = {number for number, one in cards.items() if any("cannot prick you" in text for text in one.at.care)}
    assert warned == {"1.4.3", "2.3.1", "3.1.2", "3.3.3"}
    assert "cannot prick you" in cards["2.3.1"].say.text
    readers: tuple[Reader, ...] = ("floor", "viewers")
    for reader in readers:
        assert any(text.startswith("Trying on with the needles in") for text in cautions(sample, reader))


def test_one_thing_has_one_name(sample_output: Path) -> None:
    for name in ("run-sheet-1.html", "run-sheet-2.html", "step-samples.html"):
        text = (sample_output / name).read_text("utf-8")
        assert not re.search(r"begins by|begun by|nine times in ten|put back|first used|>Needed<", text)
    samples = page(sample_output, "step-samples.html")
    assert "Piece B full finished no work in the drawer ready" in samples  # that it is from there is said once
    assert "Still to knit nothing" in samples
