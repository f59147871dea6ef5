"""What stays in pieces is walked over from the printed lines alone: markers, waste yarn, needles, and work for good."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.documents.advice import cut_aways
from lessonplan.documents.cuecards import cue_cards_view
from lessonplan.documents.knitpaper import knitter_paper
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.labels import labels_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import RunSheetPaper, run_sheet_paper
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot

BEGUN = {"M": (1, 1), "I": (1, 0)}
"""What is in the pieces that Bodil goes on with: M has its band, with the thumb on waste yarn, I nine rounds of rib."""


@pytest.fixture(scope="module")
def first_day(sample: Plan) -> RunSheetPaper:
    return run_sheet_paper(sample, sample.days[0])


def printed(folder: Path, name: str) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(folder / name).pages).replace("\u00a0", " ")


def cards(text: str) -> list[tuple[str, str]]:
    """The cards of a knitter's paper, each with the letter of its piece."""
    parts = re.split(r"\bPiece ([A-Z]): ", re.split(r"\nAbbreviations|\nOn the set on", text)[0])
    return list(zip(parts[1::2], parts[2::2], strict=True))


def walked(card: str, markers: int, waste: int) -> tuple[int, int, int, int]:
    """Do what the lines of a card say, sign by sign: the markers and lengths of waste yarn at its end, and at most.

    A marker at the beginning comes with the first round after a cast-on that is joined or stitches that are picked up.
    """
    most, most_waste = markers, waste
    for line in re.findall(
        r"Rounds? [^:]*: [^\n]*|Odd rounds [^:]*: [^\n]*(?:\n[^\n]*)?|draw it\s+through|held sts back", card
    ):
        if line.split() == ["draw", "it", "through"]:
            markers = 0
        elif line == "held sts back":
            waste -= 1
        else:
            markers += not markers
            most = max(most, markers + len(re.findall(r"\bpm\b", line)))
            markers += len(re.findall(r"\bpm\b", line)) - len(re.findall(r"\brm\b", line))
            waste += len(re.findall(r"\bhold \d", line))
        most, most_waste = max(most, markers), max(most_waste, waste)
    return markers, waste, most, most_waste


@pytest.mark.parametrize("name", ["bodil-tweddlecroft", "ansel-ollermoss"])
def test_the_markers_of_pieces_that_wait_add_up(sample: Plan, sample_output: Path, name: str) -> None:
    text = printed(sample_output, f"knitter-{name}.pdf")
    labels = {one.letter: one.markers for one in labels_view(sample).labels}
    here = {letter: BEGUN.get(letter, (0, 0)) for letter, _ in cards(text)}
    most = most_waste = 0
    for letter, card in cards(text):
        others = [one for other, one in here.items() if other != letter]
        markers, waste, at_work, on_waste = walked(card, *here[letter])
        most = max(most, at_work + sum(one[0] for one in others))
        most_waste = max(most_waste, on_waste + sum(one[1] for one in others))
        here[letter] = markers, waste
        told = re.search(r"Leave its (\d) markers? in", card)
        assert int(told[1] if told else 0) == markers, letter
        assert labels[letter].partition(" ")[0] == (str(markers) if markers else ""), letter
    told_in_all = re.search(
        r"Beside them: (\d+) markers in two colours .*?(?:(\d) lengths of )?smooth\s+waste", text, re.S
    )
    assert told_in_all
    assert (int(told_in_all[1]), int(told_in_all[2] or 1)) == (most, most_waste)
    assert (
        most == {"b": 12, "a": 11}[name[0]]
    )  # D 0, E 0, G 1, I 3, M 1, N 2, O 2, and P 3 in its gusset; F, H, J, K, L


def test_the_colour_of_the_waste_yarn_is_asked_of_who_puts_it_in(sample: Plan) -> None:
    asked = next(one for one in sample.course.pattern.notions if "waste yarn" in one)
    for _, knitter in knitters_with_work(sample):
        assert asked in knitter_paper(sample, knitter).notions


def test_trays_and_packing_say_which_markers_are_in_the_pieces(sample: Plan, first_day: RunSheetPaper) -> None:
    lying = {(tray.segment, one.letter): one.inside for tray in first_day.trays for one in tray.pieces}
    assert {lying["2.2", "J"], lying["2.2", "H"], lying["2.3", "I"], lying["2.3", "K"]} == {"3 markers"}
    assert {lying["1.3", "D"], lying["1.1", "A"]} == {""}
    assert "markers in the pieces: 1 in each of F, G and H; 3 in each of I, J and K" in first_day.pack
    # 3.3.2 begins a ring of the thumb: its marker is on the tray though the course names none.
    second = run_sheet_paper(sample, sample.days[1])
    assert "markers" in next(tray for tray in second.trays if tray.segment == "3.3").tools
    # What the page has, the paper has.
    for day, paper in zip(sample.days, (first_day, second), strict=True):
        page = run_sheet_view(sample, day)
        assert (page.pieces, page.notions) == (paper.pieces, paper.pack)


def test_the_helper_has_what_is_not_in_the_pieces_yet(first_day: RunSheetPaper) -> None:
    # G takes two markers into its gusset and gives them back for H, and K one into its top; I has its own.
    # The thumbs of G, H and I go to sleep in his hands, that of K on camera.
    (told,) = (one for one in first_day.pack if one.startswith("for Ansel"))
    assert told.endswith(": 3 markers, 3 lengths of waste yarn, a blunt darning needle and scissors")


def test_needles_that_stay_in_a_piece_do_not_lie_on_the_next_tray(first_day: RunSheetPaper) -> None:
    # G comes on 3.5 mm and is on 4 mm from its first MC stitch to 2.4.2, H from 2.1.2 to 2.4.3.
    assert "larger needles: 4 mm (US 6), 2 sets: in G from 1.5.1 on and in H from 2.1.2 on" in first_day.pack
    trays = {tray.segment: tray.tools for tray in first_day.trays}
    assert "larger needles" in trays["1.5"]
    assert "larger needles (another set: one is in G)" in trays["2.1"]


def test_the_spells_of_the_only_helper_are_those_of_the_rows(first_day: RunSheetPaper) -> None:
    def minutes(text: str) -> int:
        return 60 * int(text.partition(":")[0]) + int(text.partition(":")[2])

    rests = [minutes(row.time) for row in first_day.rows if row.kind == "rest"]
    shots = [minutes(row.time) for row in first_day.rows if row.kind == "shot"]
    spells = []
    for row in first_day.rows:
        if row.kind == "job":
            begin = minutes(row.time)
            end = begin + int(re.findall(r"(\d+) min", row.text)[0])
            end += 5 * sum(begin <= rest < end for rest in rests)
            spells.append((begin, end))
    said = [(minutes(a), minutes(b)) for a, b in re.findall(r"(\d+:\d+) to (\d+:\d+)", first_day.unnamed)]
    assert [begin for begin, _ in said] == [begin for begin, _ in spells]
    assert all(abs(a - b) <= 1 for (_, a), (_, b) in zip(said, spells, strict=True))  # seconds are not printed
    begun = sum(any(begin <= one < end for begin, end in spells) for one in shots)
    told = int(re.findall(r"in (\d+) of", first_day.unnamed)[0])
    assert begun <= told <= begun + len(spells)  # and those that run as he begins


def test_work_for_good_waits_for_the_shot_that_it_ends(sample: Plan) -> None:
    second = {one.number: one for one in run_sheet_paper(sample, sample.days[1]).shots}
    (before,) = second["3.3.1"].at.before  # N is drawn shut: 3.2.4 cannot be filmed again with it
    assert ", once 3.2.4 is filmed as wanted. Of this" in before
    (before,) = second["3.3.2"].at.before  # its waste yarn is drawn out
    assert ", once 3.3.1 is filmed as wanted. Put the 13" in before
    # What is only knitted on can be ripped back.
    assert "once" not in " ".join(second["2.4.2"].at.before + second["3.3.4"].at.before)


def test_a_shot_that_touches_stitches_may_leave_a_piece_inside_its_round(first_day: RunSheetPaper) -> None:
    moved = {(one.piece, one.start): one.moved for one in first_day.jobs}
    assert moved["G", "from 13:22"] == "Look first where 1.4.2 left it in its round: go on from there."
    assert moved["H", "from 15:01"] == ""  # 2.2.3 counts and spreads


ROUNDS = {
    # What the first shot works, what the second, and how many stitches of the first are taken back: by the fingers.
    (
        "K2, m1, k2",
        "K1, k2tog, k5",
    ): "after the last take back only its last stitch (k1): 1.1.2 goes on from there on A.",
    ("K2, m1", "K2, k2tog"): "after the last it may stay on A, on the way to 1.1.2.",
    ("K2, m1", "K2tog, k5"): "after the last it may stay on A, on the way to 1.1.2.",
    (
        "K1, m1, k2",
        "M1, k2, k2tog",
    ): "after the last take back only its last 3 stitches (m1, k2): 1.1.2 goes on from there on A.",
}


@pytest.mark.parametrize("lines", ROUNDS)
def test_a_shot_goes_on_where_the_one_before_ends(tmp_path: Path, lines: tuple[str, str]) -> None:
    pattern = PATTERN.replace(
        "      - rounds: 10\n        lines: Knit\n", "      - lines: K2, m1, k2, k2tog, k to end\n"
    )
    first, second = (
        shot("close", takes="2", pieces="[{needs: edge}]", hands=f"[{{work: '{line}'}}]") for line in lines
    )
    found = plan(tmp_path, episode((first, second)), COURSE, {"pattern.yaml": pattern})
    one, two = run_sheet_paper(found, found.days[0]).shots
    assert len(found.choice.pieces) == 1
    assert one.worked.endswith(ROUNDS[lines])
    left = "work what 1.1.1 has not worked of this" if lines == ("K2, m1", "K2tog, k5") else "1.1.1 leaves it there"
    assert left in two.at.before[-1]
    begins = {"K1, k2tog, k5": 3, "K2, k2tog": 2, "K2tog, k5": 4, "M1, k2, k2tog": 2}[lines[1]]
    assert two.at.before[-1].startswith(f"Begins {begins} stitches into round 1 of “Body”")


def test_what_comes_before_a_line_in_a_move_is_said(sample: Plan) -> None:
    (third,) = (one for one in run_sheet_paper(sample, sample.days[1]).shots if one.number == "3.3.2")
    # 13 stitches were held, and round 1 is K13, ssk, k1, k2tog.
    stop = (
        "stop the camera, not the log’s take: in round 1 of “Thumb” k13 off camera; film on, and note the second clip"
    )
    assert third.hands[1:] == (stop, "Ssk, k1, k2tog")
    (card,) = (one for one in cue_cards_view(sample, sample.days[1]).cards if one.number == "3.3.2")
    assert (card.stops, card.works) == ("k13", ("Ssk, k1, k2tog",))
    # They are 13 of 28 a minute, in each of three takes; the two ways back fit into the resets of 2 min.
    clock = sample.worked.clocks[ShotNumber("3.3.2")]
    assert clock.off_camera == pytest.approx(13 / 28)
    advised = " ".join(text for _, text in cut_aways(sample, clock, {}))
    assert "0:28 of knitting is not shown: cut where the work jumps" in advised


def test_the_calendar_of_a_helper_has_the_day_on_the_set(sample_output: Path) -> None:
    mine = (sample_output / "knitter-2.ics").read_bytes().decode().replace("\r\n ", "")
    events = [dict(line.partition(":")[::2] for line in one.split("\r\n")) for one in mine.split("BEGIN:VEVENT")]
    (day,) = (one for one in events if one.get("SUMMARY") == "Shoot day 1: A Pair of Ostrelby Mittens")
    assert day["DTSTART"] == "20270213T090000"  # as course.yaml has the call
    assert "the log\\, lights and pieces\\; from 13:22 on you" in day["DESCRIPTION"]
    assert "G\\, H\\, I and K\\, 2 h 41 min" in day["DESCRIPTION"]
    (back,) = (one for one in events if one.get("SUMMARY", "").startswith("Back on the set"))
    assert (back["SUMMARY"], back["DTSTART"]) == ("Back on the set by 9:30: H\\, I and K", "20270214T093000")
    assert "Shoot day" not in (sample_output / "knitter-1.ics").read_text(encoding="utf-8")
