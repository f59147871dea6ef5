"""Pieces that go from hand to hand: every paper says who works on them, how far, what hangs on them and who cuts it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.documents.labels import Label, labels_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import RunSheetPaper, run_sheet_paper
from lessonplan.documents.samples import samples_view
from lessonplan.documents.shotcards import ShotCard
from lessonplan.documents.table import table_view
from lessonplan.documents.tasks import tasks_of
from lessonplan.planning.dropping import freed
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot


@pytest.fixture(scope="module")
def sheets(sample: Plan) -> list[RunSheetPaper]:
    return [run_sheet_paper(sample, day) for day in sample.days]


@pytest.fixture(scope="module")
def labels(sample: Plan) -> dict[str, Label]:
    return {one.letter: one for one in labels_view(sample).labels}


def printed(folder: Path, name: str) -> str:
    text = " ".join(page.extract_text() for page in PdfReader(folder / name).pages)
    return re.sub(r" A Pair of Ostrelby Mittens: [^:]*page \d+ of \d+", "", " ".join(text.split()))


def card(sheets: list[RunSheetPaper], number: str) -> ShotCard:
    return next(one for sheet in sheets for one in sheet.shots if one.number == number)


def test_a_label_has_every_stop_of_its_piece(sample: Plan, labels: dict[str, Label]) -> None:
    # Worked out by hand: G is 24 round, 1 and 6 times 2 more for the thumb make 37, of which 13 sleep; H has 44, 45
    # after round 1 and 2 more after 3, 5 and 7; K closes by 4 in rounds 1, 3, 5 and 7 of its top.
    assert {letter: len(one.then) for letter, one in labels.items() if one.then} == {
        "G": 3,  # Minna Quillbeck works rounds 1 and 2 of its band on day 2
        "H": 2,
        "I": 1,
        "K": 1,
        "O": 2,  # drawn shut and taken up by her, if 3.2.4 and 3.3.1 have not
        "P": 1,
    }
    assert {letter for letter, one in labels.items() if not one.before} == set("ABCDEFJLM")
    # Nobody but the host, on camera, works on N: its tag has no further stop.
    assert labels["N"].before == "Before the shoot; on camera it goes on in 3.2.4, 3.3.1 and 3.3.2"
    once = {when.partition(" for ")[0] for when, *_ in labels["O"].then}
    assert once == {"Then, if 3.2.4 has not moved O on,", "Then, if 3.3.1 has not moved O on,"}
    assert {labels[letter].before for letter in "GHIKOP"} == {"Before the shoot"}
    # Of the pieces that end before 3.2.4 these two can still become one that is drawn shut; M is full, as 3.3.4 asks.
    kept = "to stand in if one is spoilt:"
    assert {letter: one.kept_for for letter, one in labels.items() if one.kept_for} == {
        "K": f"{kept} 3.2.4",
        "M": f"{kept} 3.2.4 and 3.3.4",
    }
    assert {one.letter: one.kept_for for one in samples_view(sample).pieces if one.kept_for} == {
        "K": "3.2.4",
        "M": "3.2.4 and 3.3.4",
    }
    hers = labels["G"].then[2], labels["P"].then[0]
    assert [when.rpartition(", ")[2] for when, *_ in hers] == ["Minna Quillbeck"] * 2
    assert [stop.partition(",")[0] for _, stop, _ in hers] == [
        "STOP after round 2 of 12 of “Cobble band”",
        "STOP when “Shaped top” is done and after round 19",
    ]
    wanted = {
        ("G", 0): ("1.5.1", "round 22, the last", "24 stitches on the needle."),
        ("G", 1): ("2.4.1", "round 19, the last of “Thumb gusset”", "24 stitches on the needle and 13 on waste yarn"),
        ("H", 0): ("2.2.3", "round 8 of 19", "51 stitches on the needle."),
        ("H", 1): ("2.4.3", "round 6 of 12", "44 stitches on the needle and 13 on waste yarn"),
        ("I", 0): ("2.5.1", "round 12, the last of “Cobble band”", "44 stitches on the needle and 13 on waste yarn"),
        ("K", 0): ("3.2.3", "round 8 of 13", "28 stitches on the needle and 13 on waste yarn"),
    }
    for (letter, place), (number, where, count) in wanted.items():
        when, stop, left = labels[letter].then[place]
        assert when.startswith(f"Then for {number}, day 1, ")
        assert "Ansel Ollermoss" in when
        assert stop.startswith("STOP after " + where)
        assert count in stop
        assert "do not" not in stop
        assert left.startswith("Do not cut ")
    assert labels["H"].then[1][0].endswith("from 15:01, Ansel Ollermoss (the rest after the wrap)")
    # G and H come on the needle of the cuff, 3.5 mm, and go on from it to 4 mm once.
    assert ["Now on 4 mm needles" in new for *_, new in labels["G"].then] == [False, True, False]
    assert ["Now on 4 mm needles" in new for *_, new in labels["H"].then] == [True, False]
    assert not any("Now on" in new for *_, new in labels["K"].then)


def test_who_works_at_night_has_the_lines_on_a_paper_of_his_own(sample_output: Path) -> None:
    """Whatever the run sheet has him work, line for line, stands on the paper that he is given."""
    sheet = printed(sample_output, "run-sheet-1.pdf")
    lines = sheet[sheet.index("Knitted meanwhile") : sheet.index("If time runs out")]
    mine = printed(sample_output, "knitter-ansel-ollermoss.pdf")
    mine = mine[mine.index("On the set on Saturday 13 February 2027 and after its wrap") :]
    told = re.findall(r"(?:Rounds?|Odd rounds) [\d, to and]+ \([MC]C\): .+?(?= Rounds? | \d+ sts|[A-Z]\w+ |$)", lines)
    assert len(told) > 15
    assert [one for one in told if one not in mine] == []
    stops = re.findall(r"STOP after .+?\.", lines)
    assert len(stops) == 6  # G twice, H twice, I and K
    assert [one for one in stops if one not in mine] == []
    assert mine.count("after the wrap: ") == lines.count("after the wrap: ") == 3


def test_he_takes_home_what_the_lines_of_the_night_need(sample_output: Path) -> None:
    text = printed(sample_output, "knitter-ansel-ollermoss.pdf")
    along = re.search(
        r"H, I and K at once, until about 16:51, or take them home, with (.+?): have them back",
        text,
    )
    assert along
    for word in ("the yarn", "4 mm needles", "marker", "waste yarn", "darning needle", "scissors"):
        assert word in along[1]
    page = (sample_output / "knitters.html").read_text(encoding="utf-8")
    assert "or take them home, with the yarn that hangs on them" in page


def test_a_helper_without_a_paper_is_given_a_copy(tmp_path: Path) -> None:
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 2}]"),)
    found = plan(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    (day,) = found.days
    assert run_sheet_paper(found, day).copies == "Give a copy of this to Bo, who has no other paper."


def test_who_cuts_a_yarn_that_is_left_on_is_said(sample: Plan, sheets: list[RunSheetPaper]) -> None:
    """The pattern cuts CC after the cuff and after the band. Who does it is told by walking the shots by hand.

    G's cuff is cut in front of the camera (1.5.1), H's by nobody there: it is gone on with first in 2.1.2. The band
    of I is cut on camera (2.5.1, “off the good one”), that of L never, and K's in the same sitting.
    """
    later = {(task.letter, one.key): one.when for task in tasks_of(sample) for one in task.stages if one.later}
    assert later == {("H", "cuff"): "before shot 2.1.2", ("L", "band"): ""}
    jobs = {(job.piece, job.number, one.key): one for job in sheets[0].jobs for one in job.stages}
    assert {key: one.when for key, one in jobs.items() if one.later} == {
        ("G", "1.5.1", "cuff"): "in shot 1.5.1, on camera",
        ("I", "2.5.1", "band"): "in shot 2.5.1, on camera",
    }
    # H stops inside its band: nothing is to be cut yet, so nothing is said of it.
    assert not any("Cut CC" in line.text for line in jobs["H", "2.4.3", "band"].lines)
    done = "Cut CC when the band is done, leaving a tail as long as your hand."
    assert [line.text for line in jobs["K", "3.2.3", "band"].lines][-1] == done
    first = "First, on H: Cut CC when the cuff is done, leaving a tail as long as your hand."
    assert [one.number for sheet in sheets for one in sheet.shots if first in " ".join(one.at.before)] == ["2.1.2"]


STRIPED = """\
title: Ring cowl
gauge: {stitches: 20, rounds: 28}
needles: 5 mm
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
  CC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - {cast_on: 110, yarn: CC}
  body:
    title: Body
    after: edge
    works:
      - {rounds: 10, lines: Knit, yarn: CC, note: Cut CC now. Leave a tail.}
  top:
    title: Top
    after: body
    works:
      - {rounds: 4, lines: Knit, yarn: MC}
"""


def test_whoever_goes_on_with_a_piece_cuts_what_is_left_on_it(tmp_path: Path) -> None:
    shots = (shot("face", pieces="[{needs: body}]"),), (shot("sink", pieces="[{needs: top round 1}]"),)
    found = plan(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n", {"pattern.yaml": STRIPED})
    assert len(found.choice.pieces) == 1
    (task,) = tasks_of(found)
    assert [(one.key, one.later, one.when) for one in task.stages if one.later] == [
        ("body", ("Cut CC now.",), "when it is worked on for 1.2.1")
    ]
    (job,) = run_sheet_paper(found, found.days[0]).jobs
    assert job.stages[0].lines[0].text == "Cut CC now."


def test_what_is_not_cut_is_packed_with_its_piece(sheets: list[RunSheetPaper], labels: dict[str, Label]) -> None:
    """A label forbids to cut what hangs on its piece: on the day the piece comes with it."""
    packed = [dict(sheet.pieces) for sheet in sheets]
    checked = 0
    for letter, one in labels.items():
        for day, left in ((0, one.left), (1, one.then[-1][2] if one.then else one.left)):
            uncut = re.search(r"Do not cut ([^,;.]+)", left)
            if uncut and letter in packed[day] and (day == 0 or letter not in packed[0] or one.then):
                with_it = packed[day][letter].partition("with its ")[2]
                assert set(uncut[1].split(" or ")) <= set(with_it.split(" and ")), (letter, day)
                checked += 1
    assert checked == 16  # D to K on day 1; G, H, I, K, L, M, O and P on day 2; on N nothing hangs at its last stop
    assert labels["L"].ball.startswith("What is left of MC and CC stays on it")


def test_what_stands_in_has_its_yarn_and_stays_at_hand(sheets: list[RunSheetPaper]) -> None:
    # M and K are the short or full pieces that are free by then; a top has 13 rounds, of which K lacks 5. K's thumb is
    # that of a short piece: 3.3.4 wants a full one.
    first, second = sheets
    assert not any("stand in" in text for text in first.pack)
    (text,) = [text for text in second.pack if "stand in" in text]
    assert re.fullmatch(
        r"to stand in for a spoilt piece: in 3\.2\.4 K or M, with \d+ m of MC; "
        r"in 3\.3\.4 M, with \d+ m of MC and \d+ m of CC",
        text,
    )
    laid = [tool for tray in second.trays for tool in tray.tools if "stand in" in tool]
    for yarn in ("MC", "CC"):  # who winds off what is packed has what the trays ask for
        packed, *on_trays = (sum(map(int, re.findall(rf"(\d+) m of {yarn}", one))) for one in (text, *laid))
        assert len(on_trays) == 2
        assert packed == sum(on_trays)
    for number in ("3.2.4", "3.3.4"):
        assert "M takes" in card(sheets, number).at.for_good
    on = {(one.number, piece.letter): piece.on for one in second.shots for piece in one.pieces}
    assert on["3.2.2", "M"] == "then at hand, to stand in for what is spoilt in 3.2.4 and 3.3.4"
    assert on["3.2.3", "K"] == "then at hand, to stand in for what is spoilt in 3.2.4"
    assert on["3.3.2", "O"] == "then put away"


def test_what_stands_in_has_its_lines(sheets: list[RunSheetPaper]) -> None:
    # K has 8 of the 13 rounds of its top: 28 stitches, and 4 less in each of the last five. M has none of them.
    assert sheets[0].spoilt == ()
    found = {(one.letter, one.number): one for one in sheets[1].spoilt}
    assert list(found) == [("K", "3.2.4"), ("M", "3.2.4"), ("M", "3.3.4")]
    (line,) = found["K", "3.2.4"].stages[0].lines
    assert (line.rounds, line.count) == ("Rounds 9 to 13 (MC)", "8 sts after 13")
    assert found["M", "3.2.4"].stages[0].lines[0].rounds == "Round 1 (MC)"
    assert [one.title for one in found["M", "3.3.4"].stages] == ["Shaped top", "Thumb"]
    assert "do not draw through" in found["M", "3.3.4"].stop  # that is filmed


def test_the_hosts_own_work_has_its_lines(sheets: list[RunSheetPaper]) -> None:
    before = {one.number: one.at.before[0] for one in sheets[1].shots if one.at.before}
    assert before["2.4.2"].endswith(", 2 min. Rounds 1 and 2 (CC): *Sl 1 wyib, k3; rep from * to end.")
    assert before["3.3.4"].endswith(", 1 min. Round 19 (CC): K2tog around.")
    assert (
        before["3.3.1"]
        .replace("\u00a0", " ")
        .endswith(
            ". Take out the markers, cut the yarn, leaving 30 cm (11¾ in), draw it through the 8 sts and pull it tight."
        )
    )
    between = [text for one in sheets[1].shots for text in one.at.between]
    assert between
    back = [text for text in between if " takes N back to “" in text]
    assert all(". " not in text for text in back)
    assert [text for text in between if text not in back] == [
        "Minna Quillbeck goes on with O to “Shaped top done”: what is left of the work that was begun before, and in "
        "one go what cannot be undone."
    ]


def test_a_wait_and_the_work_in_it_do_not_contradict(sheets: list[RunSheetPaper]) -> None:
    """Every wait is for a piece; the line before the shot has the same minutes, or says how they are parted."""
    waits = {row.text.split(": ")[1].split()[0]: row.text for row in sheets[1].rows if row.kind == "wait"}
    assert waits.keys() == {"G", "O", "P"}
    seen = 0
    rows = sheets[1].rows
    for place, row in enumerate(rows):
        if row.kind != "wait":
            continue
        number = next(one.number for one in rows[place:] if one.kind == "shot")
        minutes = int(re.findall(r"Wait, (\d+) min", row.text)[0])
        line = card(sheets, number).at.before[0]
        told = int(re.findall(r"”, (\d+) min", line)[0])
        parted = re.search(r"Of this (\d+) min comes before the shot, the rest between its takes", line)
        assert (int(parted[1]) if parted else told) == minutes
        assert (" towards “" in row.text) is bool(parted)
        seen += bool(parted)
    assert seen == 1


def test_before_what_is_for_good_the_earlier_shots_are_named(sheets: list[RunSheetPaper], sample: Plan) -> None:
    bath, thumb = card(sheets, "3.4.2"), card(sheets, "3.3.4")
    assert bath.at.for_good.startswith(
        "Cannot be undone. C gets wet here. "
        "First make sure that 3.5.1 (day 1) is filmed as wanted: afterwards it is too late."
    )
    assert "First make sure that 3.3.3 is filmed as wanted" in thumb.at.for_good
    assert "First make sure" not in card(sheets, "3.2.4").at.for_good  # O and N stand in no shot before
    assert [row.number for row in sheets[1].rows if row.one_way] == ["3.2.4", "3.3.4", "3.4.2"]
    assert [one.on for one in bath.pieces] == ["then laid out to dry"]
    assert not card(sheets, "3.4.3").at.for_good


def test_water_and_what_is_plugged_in_are_on_no_tray_together(sheets: list[RunSheetPaper], sample: Plan) -> None:
    views = [run_sheet_view(sample, day) for day in sample.days]
    shots = [one for day in sample.days for one in table_view(sample, day).shots]
    laid, seen = [one.tray for one in shots if one.tray], [one for view in views for one in view.trays]
    for tools in [one.tools for sheet in sheets for one in sheet.trays] + [one.tools for one in laid + seen]:
        assert not {"bowl of cool water", "steam iron"} <= set(tools)
    mine = [one for one in sheets[1].trays if one.segment == "3.4"]
    assert [one.time for one in mine] == ["13:54", "14:12"]
    assert [one.first for one in mine] == ["", "For 3.4.3, and laid ready only then: table cleared and dried."]
    assert mine[1].tools == ("washed swatch", "steam iron", "ironing mat")
    # Two cards with one heading are told apart by their shots; where there is one, nothing more is said.
    for cards in ([one for sheet in sheets for one in sheet.trays], [one for view in views for one in view.trays]):
        named = [(one.segment, one.only) for one in cards if one.only]
        assert named == [("3.4", "for 3.4.1 and 3.4.2"), ("3.4", "for 3.4.3")]
    assert [one.text.number for one in shots if one.tray and one.tray.segment == "3.4"] == ["3.4.1", "3.4.3"]


def test_a_bath_has_a_time_to_plan_with(sheets: list[RunSheetPaper]) -> None:
    bath = card(sheets, "3.4.2")
    (bubbles,) = [text for text in bath.hands if "bubbling" in text]
    assert re.search(r"\(\d+\N{NO-BREAK SPACE}s\)$", bubbles)
    assert "bubbling" not in bath.note.text


GLUED = PATTERN.replace(
    "      - bind_off: all\n",
    """\
  glued:
    title: Glued
    after: edge
    works:
      - minutes: 1
        what: glue it
        drying: 25 min
""",
)


@pytest.mark.parametrize(("minutes", "frees"), [(25, ()), (10, ("all but one take of 1.1.2: frees 8 min",))])
def test_what_dries_is_ready_no_sooner(tmp_path: Path, minutes: int, frees: tuple[str, ...]) -> None:
    # Three takes of 1.1.2 are 18 min on average, one is 7: 11 less. With 25 min to dry the camera waits as much longer;
    # with 10 it waits for 3.
    shots = (
        shot("face", pieces="[{needs: edge, leaves: glued}]"),
        shot("face", takes="3"),
        shot("face", pieces="[{needs: glued}]"),
    )
    cheap_waits = "samples: {camera_may_wait: 40 min, weights: {piece: 90 min, waiting: 0.1}}\n"
    pattern = GLUED.replace("25 min", f"{minutes} min")
    found = plan(tmp_path, episode(shots), COURSE + "    helpers: Bo\n" + cheap_waits, {"pattern.yaml": pattern})
    assert len(found.choice.pieces) == 1
    assert run_sheet_view(found, found.days[0]).drop == frees


def test_what_a_dropped_shot_works_is_worked_by_the_helper(tmp_path: Path) -> None:
    """Two rounds of 110 stitches at 20 a minute, 5.55 minutes each, are lacking without the shot that works them."""
    shots = (
        shot("face", pieces="[{needs: body round 2}]"),
        shot("face", pieces="[{needs: body round 2, leaves: body round 4}]"),
        shot("face", pieces="[{needs: body round 4}]"),
    )
    one_piece = "samples: {camera_may_wait: 40 min, weights: {piece: 90 min, waiting: 0.1}}\n"
    found = plan(tmp_path, episode(shots), COURSE + "    helpers: Bo\n" + one_piece)
    assert len(found.choice.pieces) == 1
    (dropped,) = [one for one in found.days[0].entries if one.number == "1.1.2" and one.kind == "shot"]
    saved = freed(found, 0, ShotNumber("1.1.2"), whole=True)
    assert saved == pytest.approx(dropped.end - dropped.start - 2 * 5.55)
