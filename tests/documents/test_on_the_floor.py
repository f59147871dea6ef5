"""The papers of the set and of the knitters, read as they are printed and held against what was worked out by hand."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

import lessonplan
from lessonplan.documents.knitpaper import KnitterPaper, knitter_paper
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.labels import labels_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import RunSheetPaper, run_sheet_paper
from lessonplan.documents.shotcards import ShotCard
from lessonplan.planning.filmed.pickups import day_of, keep_back, pick_ups, wanted
from lessonplan.planning.worked import Plan


def planned(folder: Path) -> Plan:
    result = lessonplan.plan(folder)
    assert result.plan is not None, result.problems
    return result.plan


@pytest.fixture(scope="module")
def sample(root: Path) -> Plan:
    return planned(root / "sample_course")


@pytest.fixture(scope="module")
def headband(root: Path) -> Plan:
    return planned(root / "tests" / "edit" / "headband")


def printed(folder: Path, name: str) -> str:
    pages = (page.extract_text() for page in PdfReader(folder / name).pages)
    return " ".join(" ".join(pages).split())


def sheets(plan: Plan) -> list[RunSheetPaper]:
    return [run_sheet_paper(plan, day) for day in plan.days]


def card(plan: Plan, number: str) -> ShotCard:
    return next(one for sheet in sheets(plan) for one in sheet.shots if one.number == number)


def paper(plan: Plan, name: str) -> KnitterPaper:
    return next(knitter_paper(plan, one) for _, one in knitters_with_work(plan) if one.name.startswith(name))


def test_half_way_of_a_small_piece_is_half_of_its_stitches(sample_output: Path) -> None:
    # G has 24 stitches instead of 44, where the marker comes after 22: its marker comes after 12.
    text = printed(sample_output, "run-sheet-1.pdf")
    small = text[text.index("24 on the needles instead of 44") :]
    assert "Round 1 (MC): K12, pm, m1, pm, k to end 25 sts" in small[: small.index("H from")]
    assert text.count("K22, pm, m1, pm, k to end") == 1  # that of H, which has 44


def test_the_card_tells_how_it_is_cast_on_as_the_handout_does(sample_output: Path) -> None:
    handout = (sample_output / "handout.html").read_text(encoding="utf-8").replace("\u00a0", " ")
    tails = re.search(r"a tail of [\d.]+ \(([\d.]+), [\d.]+\) cm", " ".join(re.sub("<[^>]+>", "", handout).split()))
    assert tails
    card_of_a = printed(sample_output, "knitter-ansel-ollermoss.pdf")
    assert f"Cast on 44 sts (long-tail, tail of {tails[1]} cm" in card_of_a.replace("\u00a0", " ")


def test_what_is_for_viewers_alone_is_on_no_card(sample_output: Path) -> None:
    assert "Or until" in re.sub("<[^>]+>", "", (sample_output / "handout.html").read_text(encoding="utf-8"))
    for name in ("knitter-ansel-ollermoss.pdf", "knitter-bodil-tweddlecroft.pdf"):
        assert "Or until" not in printed(sample_output, name)


def test_between_takes_nothing_may_have_moved_it_on(headband: Plan) -> None:
    # B is cast on in take 1 of 1.2.1, so it must be taken back, whatever happened before.
    for number in ("1.2.1", "1.6.1"):
        (between,) = card(headband, number).at.between
        assert re.search(r" takes [A-Z] back to “", between)
        assert "has moved it on" not in between


def test_a_piece_that_is_begun_on_the_set_has_yarn_and_needle(headband: Plan) -> None:
    (sheet,) = sheets(headband)
    tray = next(one for one in sheet.trays if one.segment == "1.2")
    # C, cast on beforehand, takes as much of MC in all as B, which nobody begins.
    whole = next(one.yarn for one in paper(headband, "Ingrid").tasks if one.letter == "C")
    metres = whole.partition(" m ")[0].rpartition(" ")[2]
    assert [(one.letter, one.still) for one in tray.pieces] == [("B", f"with {metres} m of MC and a 5 mm needle")]
    assert dict(sheet.pieces)["B"].endswith(f", with {metres} m of MC and a 5 mm needle")
    assert "needle 5 mm (US 8)" in sheet.pack
    assert "darning needle" in sheet.pack  # for the graft of 1.6.1
    assert "darning needle" in card(headband, "1.6.1").at.tools
    assert any(f"{metres} m of MC and a 5 mm needle for B" in line for line in paper(headband, "Ingrid").on_set)
    label = next(one for one in labels_view(headband).labels if one.letter == "B")
    assert label.ball == f"Lay {metres} m of MC and a 5 mm needle with it: it is begun in shot 1.2.1."


def test_two_ends_that_are_not_joined_are_on_two_needles(headband: Plan) -> None:
    found = paper(headband, "Ingrid")
    task = next(one for one in found.tasks if one.letter == "F")
    assert "11 and 11 stitches, each on a needle of its own" in task.stop
    second = next(one for one in task.stages if one.title == "Second end")
    assert second.lines[0].text == "What is on the needle stays on it: take another needle, and a ball of its own."
    assert "two 5 mm needles" in task.rests
    assert task.ball == "Leave 1 m of MC hanging at least: shot 1.6.1 grafts with it."
    # C, D and E wait on one each, and F has two: five, of which four pieces are made.
    assert found.needles.startswith("4 pieces wait with live stitches: with the one in hand up to 5 of 5 mm")


def test_rows_are_rows_and_every_other_one_is_odd_or_even(headband: Plan) -> None:
    tasks = {one.letter: one for one in paper(headband, "Ingrid").tasks}
    straight = next(one for one in tasks["A"].stages if one.title == "Straight part")
    assert [one.rounds for one in straight.lines] == ["Odd rows 1 to 103", "Even rows 2 to 104"]
    short = next(one for one in tasks["D"].stages if one.title == "Straight part")
    assert short.short == "10 rows, not 104"


def test_the_hat_has_its_brim_on_the_smaller_needle(root: Path) -> None:
    for task in paper(planned(root / "tests" / "courses" / "hat"), "Odalys").tasks:
        needles = {one.title: one.needle for one in task.stages if one.needle}
        wanted_ones = {"Cast-on edge": "4 mm", "Ribbed brim": "4 mm", "Striped body": "4.5 mm", "Crown": "4.5 mm"}
        assert needles.items() <= wanted_ones.items(), task.letter


def test_a_piece_is_done_first_and_sent_the_day_after(sample: Plan) -> None:
    for name in ("Ansel", "Bodil"):
        found = paper(sample, name)
        last = {spell.piece: evening.day for evening in found.evenings for spell in evening.spells}
        for day_text, what in found.hand_overs:
            sent = date(2027, 2, int(day_text.split()[1]))
            for letter in re.findall(r"\b[A-Z]\b", what):
                assert last[letter] < sent, (letter, day_text)
                assert sent < date(2027, 2, 13)


def test_what_lies_in_the_parcel_is_said(sample: Plan) -> None:
    assert paper(sample, "Bodil").parcel == (
        "In the parcel with this paper: I (“the cuff begun on the ferry”). "
        "With you already: M, as you said how far it is."
    )
    short = {one.short: f"{one.meaning} {one.how}" for one in paper(sample, "Bodil").abbreviations}
    assert {"m1", "wyib", "hold"} <= short.keys()
    assert "front" in short["m1"]
    assert "k" not in short


def test_what_is_worked_live_is_taken_back_or_is_on_the_way(sample: Plan) -> None:
    # J is asked for in round 2 both times, and its lines lie in round 3: 22 stitches, m1l, the one of the gusset, m1r.
    # 2.2.1 works three of the 22, m1l and that one, with which 2.2.2 begins.
    # G must be two rounds on in 2.4.2, so what take 3 works is a part of them.
    assert card(sample, "2.2.1").at.before == (
        "Begins 19 stitches into round 3 of “Thumb gusset”: work these first, off camera.",
    )
    assert card(sample, "2.2.1").worked == (
        "Between takes take back what the take worked; "
        "after the last take back only its last stitch (k1): 2.2.2 goes on from there on J."
    )
    # Half of 44 less the 6 that are shown; k1, ssk and 13 of the 16 before the k2tog.
    # H has its cuff on 3.5 mm: the needle and the yarn of the gusset come before these stitches.
    assert card(sample, "2.1.2").at.before == (
        "First, on H: Cut CC when the cuff is done, leaving a tail as long as your hand. Change to the larger needles. "
        "Join MC. Begins 16 stitches into round 1 of “Thumb gusset”: work these first, off camera.",
    )
    assert "Join" not in " ".join(card(sample, "2.4.1").at.before)  # it begins with the round: that is filmed
    assert (
        card(sample, "3.2.2")
        .at.before[-1]
        .startswith("Begins 16 stitches into round 1 of “Shaped top”, after k1, ssk, k13: work what 3.2.1 has not ")
    )
    assert card(sample, "2.4.1").worked == (
        "Between takes take back what was worked; after the last it may stay on G, on the way to 2.4.2."
    )
    live = ("1.4.1", "2.1.2", "2.2.2", "2.3.3", "2.4.2", "2.4.3", "3.2.1", "3.2.2", "3.3.3")
    assert [number for number in live if "Between takes" not in card(sample, number).worked] == []
    assert card(sample, "1.1.2").worked == ""


def test_spoilt_pieces_are_stood_in_for_in_the_time_that_pick_ups_know(sample: Plan) -> None:
    again = {str(one.number): round(one.again) for one in keep_back(sample)}
    for number, minutes in again.items():
        each = re.findall(r"takes (\d+) min", card(sample, number).at.for_good.partition("Spoilt?")[2])
        assert sum(map(int, each)) == minutes, number
    assert again == {"3.2.4": 18, "3.3.4": 30}


def test_each_piece_says_where_it_goes_and_the_next_tray_where_it_comes_from(sample: Plan) -> None:
    on = {(one.letter, shot.number): one.on for sheet in sheets(sample) for shot in sheet.shots for one in shot.pieces}
    assert on["H", "1.4.3"] == "then to tray 1.5 for 1.5.2"
    assert on["J", "2.2.1"] == "stays for 2.2.2"
    assert on["J", "2.2.2"] == "then put away"
    assert on["C", "3.5.1"] == "then put by for 3.4.2 on day 2"
    assert on["K", "2.3.3"] == "then to Ansel Ollermoss after the wrap"
    for sheet in sheets(sample):
        first = dict(sheet.pieces)
        for tray in sheet.trays:
            for one in tray.pieces:  # a state that is not that of the morning says how it comes about
                assert first[one.letter].startswith(one.now) or one.still, (tray.segment, one.letter)


def test_the_first_mitten_is_the_first_everywhere(sample: Plan) -> None:
    told = {
        (one.letter, one.kind.partition(", ")[2])
        for number in ("1.1.1", "3.5.2")
        for one in card(sample, number).pieces
    }
    assert told == {("A", "first mitten"), ("B", "second mitten")}


def test_a_shot_with_an_iron_beside_water_says_so(sample: Plan) -> None:
    assert card(sample, "3.4.2").at.care == ("Keep the water away from lights, plugs and cameras.",)
    water, steam = card(sample, "3.4.3").at.care
    assert water.startswith("The water of 3.4.2 is off the table first")
    assert steam.startswith("Steam burns go deeper than they look")
    # “By the stove” is only spoken: no fire on the floor, but on the handout.
    assert not any("open fire" in one for sheet in sheets(sample) for one in sheet.cautions)


def test_no_sitting_is_longer_than_an_hour(sample: Plan) -> None:
    for sheet in sheets(sample):
        last, spans = "", []
        for row in sheet.rows:
            if row.kind in ("set-up", "night"):
                continue
            hours, minutes = row.time.split(":")
            now = int(hours) * 60 + int(minutes)
            if last:
                spans.append((row.kind, now))
            last = row.time
        begun = 60 * int(sheet.times[0][1].split(":")[0]) + int(sheet.times[0][1].split(":")[1]) + 45
        for place, (kind, now) in enumerate(spans):
            if kind in ("rest", "lunch", "wrap"):
                assert now - begun <= 62, (sheet.day, now)  # two minutes for waits, which are laid out afterwards
                begun = now + (45 if kind == "lunch" else 5)
            assert place < len(spans)


def test_a_wait_is_whole_minutes_for_a_piece(sample: Plan) -> None:
    waits = [row.text for sheet in sheets(sample) for row in sheet.rows if row.kind == "wait"]
    assert waits
    assert [
        one
        for one in waits
        if not re.fullmatch(r"Wait, \d+ min: [A-Z] (?:to|towards) “.*”(?:, less if [\d.]+ has moved it on)?", one)
    ] == []
    assert [one.partition("”, ")[2] for one in waits if one.startswith("Wait, 2 min: O to")] == [
        "less if 3.3.1 has moved it on"  # 3.3.1 takes O on where its second take is needed
    ]


def test_somebody_else_is_wanted_while_the_only_helper_works(sample: Plan) -> None:
    first, second = sheets(sample)
    # 12 minutes from the end of lunch, 31 and 25 with a rest of five each in them, and 19.
    spells = "13:22 to 13:34, 13:51 to 14:27, 14:29 to 14:48 and 15:01 to 15:31"
    assert first.unnamed.startswith(f"Ansel Ollermoss works on pieces from {spells}, in ")
    # On the second day nobody helps, and four shots have pieces that the host works on in the waits before them;
    # of the 2 min for 3.3.1 one is in the wait and one between its takes, and for 3.3.2 a piece is put back there.
    assert second.unnamed == (
        "Nobody helps on this day: Minna Quillbeck is filmed, and works on pieces before 2.4.2, 3.3.1, 3.3.2 and 3.3.4 "
        "and between the takes of 3.3.1 and 3.3.2 too: name somebody for the log, the lights and the pieces."
    )
    assert [run_sheet_view(sample, day).unnamed for day in sample.days] == [first.unnamed, second.unnamed]


def test_a_small_piece_is_not_mistaken_for_the_size_small(sample: Plan) -> None:
    assert {one.kind for one in labels_view(sample).labels} == {"full", "short", "fewer stitches"}
    drawer = next(one for one in labels_view(sample).labels if one.letter == "B")
    assert (drawer.stop, drawer.whose) == (
        "Leave it as it is: finished.",
        "“the trial mitten” from the drawer as it is.",
    )


def test_the_yarn_that_is_handed_over_is_what_the_card_has_more_than_its_own_work(sample: Plan) -> None:
    # No MC is used on H before its stop, the end of the cuff: all of it goes along.
    yarn = next(one.yarn for one in paper(sample, "Ansel").tasks if one.letter == "H")
    laid_out = re.findall(r"MC (?:\(oatmeal\) )?(\d+) m", yarn)
    assert len(laid_out) == 2
    assert laid_out[0] == laid_out[1]


def test_a_pick_up_says_what_to_match_and_what_is_not_needed(sample: Plan) -> None:
    again, _, _ = pick_ups(sample, day_of(date(2027, 4, 17), "9:00"), wanted(sample))
    assert again is not None
    (sheet,) = sheets(again)
    # 2.4.2 was filmed on the second day; G is in the second round of its band, and the third is in MC.
    assert "filmed on Sunday 14 February 2027: light, sleeves and nails as there" in sheet.shots[0].note.text
    assert dict(sheet.pieces)["G"] == "Cobble band, 2 of 12 rounds (fewer stitches), with its MC and CC"
    brought = {piece.name for piece in again.choice.pieces}
    assert brought | {*again.choice.unused} == {piece.name for piece in sample.choice.pieces}


def test_a_place_of_the_course_is_the_place_of_its_days(root: Path) -> None:
    (sheet,) = sheets(planned(root / "tests" / "courses" / "hat"))
    assert sheet.place == "The Drying Room, Fennimoor"
