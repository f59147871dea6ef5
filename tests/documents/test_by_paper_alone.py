"""A day is carried out with nothing but its papers: what is worked is packed, and what is said of it adds up."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from lessonplan.documents.cuecards import cue_cards_view
from lessonplan.documents.labels import labels_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, episode, plan, shot

HELPED = COURSE + "    helpers: Bo\n"


def printed(folder: Path, name: str) -> str:
    pages = (page.extract_text() for page in PdfReader(folder / name).pages)
    return re.sub(r" A Pair of Ostrelby Mittens: \w+[^:]*page \d+ of \d+", "", " ".join(" ".join(pages).split()))


def between(text: str, begin: str, *ends: str) -> str:
    rest = text[text.index(begin) + len(begin) :]
    return rest[: min((rest.index(end) for end in ends if end in rest), default=len(rest))]


@pytest.mark.parametrize("day", [1, 2])
def test_every_colour_and_notion_of_the_printed_lines_is_packed(sample_output: Path, day: int) -> None:
    """Piece by piece the lines under “Knitted meanwhile” are read as a knitter reads them: what must she have?"""
    text = printed(sample_output, f"run-sheet-{day}.pdf")
    packed = between(text, "To pack for the day", "Knitted meanwhile", "If time runs out")
    lines = between(text, "Knitted meanwhile", "If time runs out") if "Knitted meanwhile" in text else ""
    worked = re.split(r" ([A-Z]) (?=(?:from \d|after the wrap:))", lines)
    for letter, said in zip(worked[1::2], worked[2::2], strict=True):
        now = between(packed, f"Piece {letter}: ", "Piece ", "pencil", "the take log")
        for colour in re.findall(r"\((?:[^()]*\b)?([MC]C)\):", said):
            assert re.search(rf"with its .*\b{colour}\b", now), (letter, colour, now)
    theirs = between(packed, "Ansel Ollermoss’s work on pieces:", "waste yarn:") if lines else ""
    for word, notion in ((r"\bpm\b", "marker"), (r"\bhold \d+", "waste yarn"), (r"\bhold \d+", "darning needle")):
        if re.search(word, lines):
            assert notion in theirs or notion in packed.partition("work on pieces:")[2], notion
    assert bool(lines) == (day == 1)


def test_a_label_names_all_that_is_worked_from_a_piece(sample: Plan) -> None:
    # H goes on from the cuff over the gusset (MC) to six rounds of the band, four of them CC; M has two lines in MC.
    told = {one.letter: one.ball for one in labels_view(sample).labels}
    assert re.match(r"Leave MC \(\d+ m\) and CC \(\d+ m\) with it, each in a small ball of its own: ", told["H"])
    assert told["M"].startswith("Leave MC with it in its own small ball: ")
    # Nothing more is worked from L, and its STOP forbids to cut either colour.
    assert told["L"] == "What is left of MC and CC stays on it, each wound to a small ball, since they are not cut."


def test_what_is_saved_is_less_where_a_piece_is_not_ready_sooner(tmp_path: Path) -> None:
    # Three takes are 18 min on average, one is 7. Bo knits two rounds of 5.55 min meanwhile: 11.1 min, so that of the
    # 11 min that are saved the camera waits 4.1.
    shots = (
        shot("face", pieces="[{needs: edge}]"),
        shot("face", takes="3"),
        shot("face", pieces="[{needs: body round 2}]"),
    )
    found = plan(tmp_path, episode(shots), HELPED)
    assert [round(stop.worked, 1) for stop in found.choice.pieces[0].stops] == [0.0, 11.1]
    assert run_sheet_view(found, found.days[0]).drop == ("all but one take of 1.1.2: frees 7 min",)


def test_a_shot_that_is_left_out_frees_its_floor_and_its_change(tmp_path: Path) -> None:
    # 7 min, and two views of 5 min each. Nothing is worked on for anything else.
    shots = (shot("face", pieces="[{needs: edge}]"), shot("sink", can_drop="yes"), shot("face"))
    found = plan(tmp_path, episode(shots), HELPED)
    (dropped,) = run_sheet_view(found, found.days[0]).drop
    assert dropped.endswith(": frees 17 min")


def test_a_shot_that_may_be_dropped_may_free_nothing(tmp_path: Path) -> None:
    # Two rounds of 5.55 min are worked in the 7 min of 1.1.2 and 4.1 more: without it all 11.1 are waited for.
    shots = (
        shot("face", pieces="[{needs: edge}]"),
        shot("face", can_drop="yes", title="Long"),
        shot("face", pieces="[{needs: body round 2}]"),
    )
    cheap_waits = "samples: {camera_may_wait: 20 min, weights: {piece: 90 min, waiting: 0.1}}\n"
    found = plan(tmp_path, episode(shots), HELPED + cheap_waits)
    assert len(found.choice.pieces) == 1
    assert sum(wait.minutes for wait in found.choice.waits) == pytest.approx(4.1)
    (dropped,) = run_sheet_view(found, found.days[0]).drop
    assert dropped == "1.1.2 Long: frees nothing, since a piece that is worked on is ready no sooner"


def test_nobody_is_spoken_to_who_is_not_there(tmp_path: Path) -> None:
    shots = (shot("face", notes="{helper: Mind the lamp., host: Sit down.}"),)
    for helped, course in ((True, HELPED), (False, COURSE)):
        found = plan(tmp_path / str(helped), episode(shots), course)
        (card,) = run_sheet_paper(found, found.days[0]).shots
        assert ("Mind the lamp." in card.for_helper.text) is helped
        assert ("Mind the lamp." in card.note.text) is not helped


def test_the_cards_have_the_line_that_is_worked_and_its_counts(sample: Plan) -> None:
    cards = {one.number: one for day in sample.days for one in cue_cards_view(sample, day).cards}
    bold = {number: [part.text for line in card.lines for part in line if part.slips] for number, card in cards.items()}
    assert [text.replace("\N{NO-BREAK SPACE}", " ") for text in cards["2.4.1"].works] == ["[Sl 1 wyib, k3] 4 times"]
    assert bold["2.4.1"].count("three") == 2  # “Then we knit three. Slip the next, knit three.”
    assert [one for one in bold["2.4.2"] if one in ("two", "one")] == ["two", "one", "one"]
    # 13 held and 5 picked up, less one at each corner, stand over the picture and are not said.
    # It is the text that stands over the picture, for all sizes.
    assert any("14 (16, 18) stitches" in one.replace("\N{NO-BREAK SPACE}", " ") for one in bold["3.3.2"])
    assert "two" not in bold["3.3.2"]  # “knit two together” is a decrease, no count
