"""What a host, a helper and a knitter found who had nothing but the papers of the sample course; worked out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lessonplan.building import calendar_files
from lessonplan.documents.index import index_view
from lessonplan.documents.knitters import knitters_view
from lessonplan.documents.labels import labels_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import RunSheetPaper, run_sheet_paper
from lessonplan.documents.shotcards import ShotCard
from lessonplan.documents.tasks import Task, tasks_of
from lessonplan.documents.worklines import lines_of
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import State
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot


@pytest.fixture(scope="module")
def sheets(sample: Plan) -> list[RunSheetPaper]:
    return [run_sheet_paper(sample, day) for day in sample.days]


@pytest.fixture(scope="module")
def tasks(sample: Plan) -> dict[str, Task]:
    return {task.letter: task for task in tasks_of(sample)}


def card(sheets: list[RunSheetPaper], number: str) -> ShotCard:
    return next(one for sheet in sheets for one in sheet.shots if one.number == number)


def events(data: bytes) -> dict[str, dict[str, str]]:
    """The events of a calendar by their summaries, what only an alarm has among their own."""
    text = data.decode("utf-8").replace("\r\n ", "")
    each = (one.split("\r\n") for one in text.split("BEGIN:VEVENT")[1:])
    found = [dict(line.partition(":")[::2] for line in reversed(lines)) for lines in each]
    return {one["SUMMARY"].replace("\\", ""): one for one in found}


def test_needles_are_there_for_pieces_that_come_without(sheets: list[RunSheetPaper]) -> None:
    # Every card allows a cable. Of G a stitch is let down in 1.4.2 before the helper works on it, H is worked first on
    # the larger needles that 2.1.2 names, L is only shown, N and O are drawn shut; the others are worked or moved on
    # the size on which they wait.
    wanted = {
        "1.3": "3.5 mm D E",
        "1.4": "3.5 mm F G",
        "2.2": "4 mm J",
        "2.3": "4 mm I K",
        "3.2": "4 mm M",
        "3.3": "4 mm P",
    }
    found = {}
    for tray in (tray for sheet in sheets for tray in sheet.trays):
        for size, names in re.findall(r"^([\d.]+ mm) needles for (.+), if on a cable$", "\n".join(tray.tools), re.M):
            found[tray.segment] = f"{size} {names.replace(' and ', ' ')}"
    assert found == wanted
    packed = [next(text for text in sheet.pack if "on a cable" in text).partition(" each: ")[2] for sheet in sheets]
    assert packed == ["3.5 mm for D, E, F and G; 4 mm for I, J and K", "4 mm for M and P"]


def test_what_the_host_takes_up_first_has_needles_too(tmp_path: Path) -> None:
    # A round of 20 stitches is a minute's work, which she does before 1.2.1; one of 110 is the helper's, on his own.
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 1}]"),)
    for count, wanted in ((20, ("5 mm needles for A, if on a cable",)), (110, ())):
        pattern = {"pattern.yaml": PATTERN.replace("cast_on: 110", f"cast_on: {count}")}
        found = plan(tmp_path / str(count), episode(*shots), COURSE + "    helpers: Bo\n", pattern)
        assert len(found.choice.pieces) == 1
        assert run_sheet_paper(found, found.days[0]).trays[1].tools == wanted


def test_who_brings_a_spare_on_is_named(sheets: list[RunSheetPaper]) -> None:
    # I is a spare in 2.3.2 and is worked on by the helper after the wrap; N is brought on by the host at 3.3.1.
    told = card(sheets, "2.3.2").at.goes_on
    assert [one for one in told if one.startswith("I ")] == [
        "I goes on to 2.5.1 (“Cobble band done”): Ansel Ollermoss brings it there after the wrap, whether it is used "
        "or not, once this one is good."
    ]
    assert "Ansel" not in " ".join(card(sheets, "3.2.4").at.goes_on)
    assert any("if its take is not needed, bring it there" in one for one in card(sheets, "3.2.4").at.goes_on)


def test_a_stand_in_is_gone_on_with_where_its_last_shot_left_it(sheets: list[RunSheetPaper]) -> None:
    # 3.2.2 works in round 1 of M's top and nobody takes the last take back; 3.2.3 only points at K.
    moved = {(one.letter, one.number): one.moved for one in sheets[1].spoilt}
    on = "What 3.2.2 worked may still be on it: go on from there."
    assert moved == {("K", "3.2.4"): "", ("M", "3.2.4"): on, ("M", "3.3.4"): on}


def test_markers_come_out_before_it_is_drawn_shut(
    sheets: list[RunSheetPaper], tasks: dict[str, Task], sample_output: Path, tmp_path: Path
) -> None:
    # The top has a marker for the beginning of the round and one half way, the thumb the first alone.
    shut = "cut the yarn, leaving 30\u00a0cm (11¾\u00a0in), draw it through the 8 sts and pull it tight."
    lines = {
        (letter, stage.key): [line.text.rstrip(".") + "." for line in stage.lines if "draw it through" in line.text]
        for letter in "ACP"
        for stage in tasks[letter].stages
    }
    for letter in "ACP":
        assert lines[letter, "top"] == [f"Take out the markers, {shut}"]
        assert lines[letter, "thumb"] == ([f"Take out the marker, {shut}"] if letter != "P" else [])
    assert card(sheets, "3.2.4").at.before == (
        "Take the markers out before the camera runs: 2 in N; before take 2: 2 in O.",
    )
    assert card(sheets, "3.3.4").at.before[-1] == "Take the markers out before the camera runs: 1 in P."
    # Where take 1 is good, O has its markers still: she takes them out as she brings it on.
    (host,) = card(sheets, "3.3.1").at.before
    assert f"Take out the markers, {shut}" in host
    handout = re.sub("<[^>]+>", "", (sample_output / "handout.html").read_text(encoding="utf-8"))
    assert handout.count("Take out the markers, cut the yarn, leaving") == 1
    assert handout.count("Take out the marker, cut the yarn, leaving") == 1
    # What is worked in rows, and has none placed, has none to take out.
    rows = """\
title: Scrap
gauge: {stitches: 20, rounds: 28}
yarns: {MC: {name: Wool, metres: 200, grams: 100}}
stages:
  edge: {title: Edge, works: [{cast_on: 12}, {rows: 4, lines: Knit}, {draw_through: all}]}
"""
    flat = plan(tmp_path, episode((shot("face", pieces="[{needs: finished}]"),)), COURSE, {"pattern.yaml": rows})
    assert [step.text for step in flat.worked.pattern.stage("edge", 0).steps][-1] == (
        "Cut the yarn and draw it through the 12 sts"
    )


def test_his_calendar_has_his_work_and_his_way_back(sample_output: Path) -> None:
    mine = events((sample_output / "knitter-2.ics").read_bytes())
    # The wrap is at 15:32; 16, 27 and 31 minutes follow, with a rest of 5 after the first hour: 16:51.
    day = mine["Shoot day 1: A Pair of Ostrelby Mittens"]
    assert (day["DTSTART"], day["DTEND"]) == ("20270213T090000", "20270213T165100")
    assert "some after the wrap: at once\\, until about 16:51\\, or at home" in day["DESCRIPTION"]
    shoot = events((sample_output / "shoot.ics").read_bytes())["Shoot day 1: A Pair of Ostrelby Mittens"]
    assert shoot["DTEND"] == "20270213T160000"  # the others go home at the wrap
    back = mine["Back on the set by 9:30: H, I and K"]
    assert (back["DTSTART"], back["TRIGGER"]) == ("20270214T093000", "-PT2H")


def test_paper_and_calendar_send_on_the_same_day(sample_output: Path) -> None:
    mine = events((sample_output / "knitter-1.ics").read_bytes())
    sent = {name: one["DTSTART;VALUE=DATE"] for name, one in mine.items() if "Send" in name}
    # The paper: “Wednesday 10 February 2027: send or bring D, E, G and I”, done by the evening of Tuesday the 9th.
    assert sent == {"Send or bring: D, E, G and I": "20270210", "Send or bring: M, N, O and P": "20270211"}
    told = mine["Send or bring: D, E, G and I"]
    assert "Done by the evening of Tuesday 9 February 2027" in told["DESCRIPTION"]
    assert told["TRIGGER"] == "-PT15H"  # on the morning of the last day to knit


def test_of_a_piece_that_is_begun_it_is_told_what_may_not_be_cut_yet(tasks: dict[str, Task]) -> None:
    # M has its band, after which CC is cut; I stood inside its cuff, where nothing is.
    first = {letter: tasks[letter].stages[0].lines[0] for letter in "MI"}
    assert first["M"].text == (
        "If that is not done yet: Cut CC when the band is done, leaving a tail as long as your hand."
    )
    assert first["M"].remark
    assert first["I"].rounds.startswith("Rounds 10 to 22")


def test_a_short_piece_says_what_is_short_later_too(sheets: list[RunSheetPaper], tasks: dict[str, Task]) -> None:
    # A short thumb leaves out rounds 6 to 18 of 19; of it N and O get the first round alone, as the full one has it.
    assert not any("Thumb" in tasks[letter].recipe for letter in "NO")
    assert tasks["K"].recipe.endswith(
        "; later, on the set, “Cobble band” 4 rounds, not 12 and “Plain hand” 4 rounds, not 15."
    )
    assert "on the set" not in tasks["J"].recipe  # put away before anything short comes
    kinds = {(number, one.letter): one.kind for number in ("3.3.2", "3.2.4") for one in card(sheets, number).pieces}
    assert kinds["3.3.2", "N"].startswith("short (Thumb 6 rounds instead of 19), ")
    assert kinds["3.2.4", "N"].startswith("short, ")


def test_what_goes_back_between_takes_is_told(sheets: list[RunSheetPaper], sample_output: Path) -> None:
    # 2.3.2 is inside round 19: it takes two of three markers out and puts 13 stitches on waste yarn.
    (between,) = card(sheets, "2.3.2").at.between
    back = ", or only to where the camera began in its round; its waste yarn comes out and 2 markers go in again"
    assert between == f"Minna Quillbeck takes K back to “Thumb gusset, 18 of 19 rounds”, 1 min{back}"
    (other,) = card(sheets, "3.3.2").at.between
    assert other.endswith(", 1 min")  # a whole round, which puts one in: it comes out with its stitches
    page = (sample_output / "run-sheet-1.html").read_text(encoding="utf-8")
    assert f"it must be: Thumb gusset, 18 of 19 rounds{back}" in page


def test_labels_have_the_markers_of_every_stop(sample: Plan) -> None:
    # H has one in its cuff, three while the gusset grows, and one again when the thumb sleeps; K has two in its top.
    labels = {one.letter: one for one in labels_view(sample).labels}
    ends = {letter: [stop.rpartition(". ")[2] for *_, stop in one.then] for letter, one in labels.items()}
    assert ends["H"] == ["Now on 4 mm needles, with 3 markers.", "Now with 1 marker."]
    assert ends["I"] == ["Now with 1 marker."]
    assert ends["K"] == ["Now with 2 markers."]
    assert ends["G"][-2:] == [
        "Now on 4 mm needles.",  # one before, one after
        "Do not cut CC or MC, do not work on, do not take up the held stitches.",
    ]


def test_what_is_added_up_adds_up_for_a_reader(sheets: list[RunSheetPaper]) -> None:
    (night,) = (row.text for row in sheets[0].rows if row.kind == "night")
    each = re.findall(r"”, (\d+) min", night)
    whole = re.search(r"in all (\d+) h (\d+) min", night)
    assert whole
    assert sum(map(int, each)) == 60 * int(whole[1]) + int(whole[2]) == 74
    assert "until about 16:51" in night


def test_what_a_knitter_was_told_stands_at_each_of_its_pieces(sheets: list[RunSheetPaper]) -> None:
    # E is D's spare in 1.3.3, but is on the tray for 1.3.2 first.
    tray = next(tray for tray in sheets[0].trays if tray.segment == "1.3")
    assert {one.letter: one.note.text for one in tray.pieces} == dict.fromkeys(
        "DE", "Cast on only; it is joined on camera, in this shot."
    )


def test_a_ring_that_is_only_cast_on_is_closed_by_who_goes_on(sample: Plan) -> None:
    """It is closed with the first stitch of its first round: not on the card of who casts on, but by who works that."""
    pieces = {one.name: one for one in sample.choice.pieces}
    nothing = (0,) * len(pieces["D"].first)
    cast_on, cuff = pieces["D"].first, pieces["H"].first

    def lines(begun: State, goal: State) -> str:
        return " ".join(line.text for stage in lines_of(sample, "full", begun, goal) for line in stage.lines)

    assert "Cast on 44 sts (long-tail" in lines(nothing, cast_on)
    assert "join" not in lines(nothing, cast_on).lower()
    assert lines(cast_on, cuff).startswith("Join without a twist, and mark the beginning of the round. *K2, p2;")
    assert "join in the round" in lines(nothing, cuff)
    assert lines(nothing, cuff).count("Join without a twist") == 1


def test_what_a_knitter_was_told_stands_in_the_shot_too(sample_output: Path) -> None:
    """Who has the page alone must find the planted mistake: its stitch, and that others come before it."""
    for name in ("run-sheet-1.html", "table-1.html"):
        text = " ".join(re.sub("<[^>]+>", " ", (sample_output / name).read_text(encoding="utf-8")).split())
        mine = text[text.index("Mending a wrong stitch") :].partition("How long is long enough?")[0]
        assert "its knitter was told In round 8 of the cuff work a wrong purl on purpose: purl the 13th stitch" in mine
        assert "Work the first 12 stitches of the round before the camera runs." in mine


def test_the_page_says_where_to_look_first(sample: Plan) -> None:
    lines = run_sheet_view(sample, sample.days[0]).lines
    told = [text for line in lines for text in (*line.meanwhile, *(line.shot.hands if line.shot else ()))]
    (mine,) = (text for text in told if "on piece G for 12 min" in text)
    assert mine.endswith(". Look first where 1.4.2 left it in its round: go on from there")


def test_a_helper_who_knits_nothing_has_a_calendar(tmp_path: Path) -> None:
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 2}]"),)
    found = plan(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    files = dict(calendar_files(found, knitters_view(found)))
    day = events(files["helper-1.ics"])["Shoot day 1: Ring cowl"]
    assert (day["DTSTART"], day["DTEND"], day["LOCATION"]) == ("20270306T090000", "20270306T170000", "upstairs")
    assert day["DESCRIPTION"].startswith("You work on the set on Saturday 6 March 2027\\, from 9:00: the log\\, ")
    assert " from 9:22 on you work on A\\, 11 min. " in day["DESCRIPTION"]
    assert day["DESCRIPTION"].endswith("You are given a copy of the lines.")
    assert [(one.href, one.text) for one in index_view(found).for_knitters if one.href.startswith("helper")] == [
        ("helper-1.ics", "1 day on the set")
    ]
