"""The printed run sheet: the rows of the day, trays, what is packed, the cards of shots; times worked out by hand."""

from __future__ import annotations

from pathlib import Path

from lessonplan.documents.runsheetpaper import RunSheetPaper, run_sheet_paper
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, episode, plan, shot


def paper(folder: Path, text: str, course: str = COURSE) -> RunSheetPaper:
    found = plan(folder, text, course)
    return run_sheet_paper(found, found.days[0])


def test_the_rows_of_a_day(tmp_path: Path) -> None:
    # Set-up 15 minutes; a shot 7; change of view 5, a shot 7; the next tray 10, a shot 7: 9:15, 9:27, 9:44; wrap 9:51.
    view = paper(tmp_path, episode((shot("face", title="One"), shot("sink", takes="2")), (shot("sink"),)))
    assert [(row.kind, row.time, row.text or row.number, row.change, row.view, row.takes) for row in view.rows] == [
        ("set-up", "9:00", "Set-up, 15 min: light, sound, views, trays", "", "", ()),
        ("segment", "9:15", "Segment 1.1", "", "", ()),
        ("shot", "9:15", "1.1.1", "", "face", ("1",)),
        ("shot", "9:27", "1.1.2", "view 5 min", "sink", ("1", "2")),
        ("segment", view.rows[5].time, "Segment 1.2", "", "", ()),
        ("shot", view.rows[5].time, "1.2.1", "tray 10 min", "sink", ("1",)),
        ("wrap", view.rows[6].time, "Wrap", "", "", ()),
    ]
    assert view.times[:2] == (("Call", "9:00"), ("First shot", "9:15"))


def test_the_latest_start_is_told_where_it_is_another(tmp_path: Path) -> None:
    # The first shot waits for the set-up only: 15 minutes that may be more. See `shoot.day` for how much.
    view = paper(tmp_path, episode((shot("face"), shot("face"))))
    shots = [row for row in view.rows if row.kind == "shot"]
    assert all(row.latest == "" or _minutes(row.latest) > _minutes(row.time) for row in shots)
    assert shots[1].latest


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return 60 * int(hours) + int(minutes)


def test_lunch_and_rests_are_bars(sample: Plan) -> None:
    rows = run_sheet_paper(sample, sample.days[0]).rows
    assert [row.text for row in rows if row.kind == "lunch"] == ["Lunch, 45 min"]
    assert {row.text.split(",")[0] for row in rows if row.kind == "rest"} == {"Rest"}
    assert not [row for row in rows if row.kind == "change"]


def test_what_comes_next_is_said_with_each_shot(tmp_path: Path) -> None:
    view = paper(tmp_path, episode((shot("face"), shot("sink")), (shot("face"),)))
    assert [one.then for one in view.shots] == [
        "View: sink, 5 min; 1.1.2",
        "View: face, tray 1.2, 15 min; 1.2.1",
        "Wrap",
    ]


def test_a_tray_has_each_piece_as_it_is_when_the_segment_begins(tmp_path: Path) -> None:
    shots = (
        shot("face", pieces="[{needs: edge}]", tools="ruler, pins"),
        shot("face", pieces="[{needs: edge, leaves: body round 1}]", tools="pins, lamp"),
    )
    (tray,) = paper(tmp_path, episode(shots)).trays
    # The first round is closed there, and a marker goes in at its beginning.
    assert (tray.segment, tray.time, tray.tools) == (
        "1.1",
        "9:15",
        ("ruler", "pins", "lamp", "1 marker", "5 mm needles for A, if on a cable"),
    )
    assert [(one.letter, one.now, one.still) for one in tray.pieces] == [("A", "Edge done", "")]


def test_a_segment_filmed_in_two_goes_has_two_trays(tmp_path: Path) -> None:
    course = COURSE.replace("films: [1]", "films: [1.1.1, 1.2, 1.1.2]")
    view = paper(tmp_path, episode((shot("face"), shot("face")), (shot("face"),)), course)
    assert [tray.segment for tray in view.trays] == ["1.1", "1.2", "1.1"]


def test_a_piece_that_is_still_knitted_on_is_not_promised(sample: Plan) -> None:
    # H is shown with 8 rounds of the gusset in 2.2.3, and the helper knits on it after 2.1.2, while 2.2.1 is filmed.
    view = run_sheet_paper(sample, sample.days[0])
    tray = next(one for one in view.trays if one.segment == "2.2")
    assert {one.letter: one.still for one in tray.pieces} == {
        "J": "",
        "H": "still in work when this begins, ready for 2.2.3",
    }
    job = next(one for one in view.jobs if one.piece == "H" and one.number == "2.2.3")
    begun = next(row.time for row in view.rows if row.number == "2.2.1")
    assert job.start.removeprefix("from ") < begun
    assert job.who == "Ansel Ollermoss"


def test_nobody_is_sent_to_knit_in_a_break(sample: Plan) -> None:
    # Lunch is from 12:37 to 13:22 as the day is printed; the piece that is taken up then begins after it.
    view = run_sheet_paper(sample, sample.days[0])
    lunch = next(row for row in view.rows if row.kind == "lunch")
    over = _minutes(lunch.time) + 45
    starts = [_minutes(one.start.removeprefix("from ")) for one in view.jobs if one.start.startswith("from")]
    assert starts
    assert all(not _minutes(lunch.time) <= one < over for one in starts)
    night = [one for one in view.jobs if one.start == "after the wrap"]
    assert night
    # He takes them home and has them back by the call; G, done by day for a shot of the second day, stays at the wrap.
    assert {one.until.partition(", for ")[0] for one in night} == {"Sun 14 Feb 9:30"}
    assert {one.until.partition(",")[0] for one in view.jobs if not one.night and "2.4" in one.number} == {"the wrap"}
    assert view.rows[-1].kind == "night"
    for one in night:
        assert f"{one.piece} to “{one.goal}”, {one.minutes}" in view.rows[-1].text
    assert run_sheet_paper(sample, sample.days[1]).rows[-1].kind == "wrap"


def test_a_move_for_good_says_where_each_piece_goes_on(sample: Plan) -> None:
    card = next(one for one in run_sheet_paper(sample, sample.days[1]).shots if one.number == "3.2.4")
    assert card.at.for_good.startswith("Cannot be undone. A fresh piece for each take: N, O.")
    assert [(one.letter, one.kind) for one in card.pieces] == [("N", "short, take 1"), ("O", "short, take 2")]
    assert [text.split(" (")[0] for text in card.at.goes_on] == ["N goes on to 3.3.1", "O goes on to 3.3.1"]


def test_who_brings_pieces_back_is_named_on_the_day(sample: Plan) -> None:
    # Ansel knits on H, I and K after the wrap of day 1; nobody helps on day 2.
    first, second = (run_sheet_paper(sample, day) for day in sample.days)
    assert first.brought == ""
    assert second.helpers == ""
    assert second.brought.endswith("to be handed back by 9:30, the call: H, I and K from Ansel Ollermoss.")


def test_needles_on_which_others_knit_meanwhile_are_packed_too(sample: Plan) -> None:
    first, second = ([one for one in run_sheet_paper(sample, day).pack if "needles" in one] for day in sample.days)
    assert first == [
        "smaller needles: 3.5 mm (US 4), and the same for Ansel Ollermoss",
        "larger needles: 4 mm (US 6), 2 sets: in G from 1.5.1 on and in H from 2.1.2 on",
        "for pieces that come on a cable or waste yarn, a set of needles each: "
        "3.5 mm for D, E, F and G; 4 mm for I, J and K",
    ]
    # In 1.4.2 a stitch of G is let down, which is no line and no move.
    # N and O are drawn shut in 3.2.4, so that their needles are free, and both take up their thumbs in 3.3.1.
    assert second[0] == (
        "larger needles: 4 mm (US 6), 2 sets: in G to 2.4.2, in H to 2.4.3, in N from 3.3.1 to 3.3.2 and in O "
        "from 3.3.1 to 3.3.2"
    )  # the two in which G and H were worked on the day before are free by then
    trays = {one.segment: one.tools for day in sample.days for one in run_sheet_paper(sample, day).trays}
    assert "larger needles, 2 sets: in N and O" in trays["3.3"]


def test_a_piece_for_several_takes_stands_once(sample: Plan) -> None:
    card = next(one for one in run_sheet_paper(sample, sample.days[1]).shots if one.number == "3.3.2")
    assert [(one.letter, one.kind) for one in card.pieces] == [
        ("N", "short (Thumb 6 rounds instead of 19), takes 1 to 3, taken back between them"),  # it is ready sooner
        ("O", "short (Thumb 6 rounds instead of 19), spare"),
    ]
    before, (between,) = card.at.before[0], card.at.between
    ready = "“Shaped top done; Thumb: the 13 held sts on the needles”"
    assert before.startswith(f"If 3.3.1 has not moved O on: Minna Quillbeck works on O to {ready}")
    assert between.startswith(f"Minna Quillbeck takes N back to {ready}")


def test_the_piece_to_film_stands_before_its_spare(sample: Plan) -> None:
    # The spare has the letter that comes first, and stays as it is unless it is needed.
    card = next(one for one in run_sheet_paper(sample, sample.days[0]).shots if one.number == "2.3.2")
    assert [(one.letter, one.kind, one.spare) for one in card.pieces] == [
        ("K", "short, takes 1 and 2, taken back between them", False),
        ("I", "full, spare", True),
    ]


def test_a_piece_is_handed_to_the_helper_where_it_leaves_the_table(tmp_path: Path) -> None:
    # The shot is over at 9:22, a view and a tray take 15 min; the helper has 2 rounds of 5.55 min to do in them.
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("sink", pieces="[{needs: body round 2}]"),)
    view = paper(tmp_path, episode(*shots), COURSE + "    helpers: Bo\n")
    assert [one.handed for one in view.shots] == [
        ("From 9:22, Bo: A to “Body, 2 of 10 rounds”, 11 min; ready by 9:37, shot 1.2.1",),
        (),
    ]
    assert [(row.kind, row.time, row.text or row.number) for row in view.rows[2:5]] == [
        ("shot", "9:15", "1.1.1"),
        ("job", "9:22", "Bo: A to “Body, 2 of 10 rounds”, 11 min, for 1.2.1"),
        ("segment", "9:37", "Segment 1.2"),
    ]


def test_work_that_others_go_on_with_does_not_promise_the_state(sample: Plan) -> None:
    # H is taken up after 2.2.3, and the wrap comes before it is ready: the rest is done at night.
    view = run_sheet_paper(sample, sample.days[0])
    first, then = (job for job in view.jobs if job.number == "2.4.3")
    assert first.goal == f"towards {then.goal}"
    assert then.night
    assert view.rows[-1].text.endswith("in all 1 h 14 min")  # 16, 27 and 31 minutes
    # From the wrap at 15:32 an hour and a quarter, with one rest of 5 min after an hour.
    assert view.rows[-1].text.startswith("After the wrap, until about 16:51 with a rest of 5 min, Ansel Ollermoss: ")


def test_work_on_the_set_has_its_lines(sample: Plan) -> None:
    # K leaves the table inside the last round of the gusset: a short band has 4 of 12 rounds, then come 4 plain ones
    # and 8 of the top, which begins with 44 stitches and loses 4 in rounds 1, 3, 5 and 7. Lines stand where the work
    # begins, not twice.
    view = run_sheet_paper(sample, sample.days[0])
    job = next(one for one in view.jobs if one.piece == "K" and one.number == "3.2.3")
    assert job.kind.startswith("short: ")
    assert [(one.title, one.short) for one in job.stages] == [
        ("Thumb gusset", ""),
        ("Cobble band", "4 rounds, not 12"),
        ("Plain hand", "4 rounds, not 15"),
        ("Shaped top", ""),
    ]
    assert "28 sts after 7" in [line.count for line in job.stages[3].lines]
    # 57 stitches, of which 22 are worked and 13 put aside: 22 are left, and what is done is not told again.
    rest = job.stages[0].lines[0]
    assert (rest.text, rest.count) == ("the rest, k22", "44 sts")
    assert not any("waste yarn" in line.text for line in job.stages[0].lines)
    first, then = (job for job in view.jobs if job.number == "2.4.3")
    assert first.stages
    assert not then.stages


def test_what_was_knitted_at_night_comes_back_from_who_did_it(sample: Plan) -> None:
    # After the wrap of the first day Ansel takes H, I and K with him; G was ready on the set before.
    packed = dict(run_sheet_paper(sample, sample.days[1]).pieces)
    assert [letter for letter, text in packed.items() if ", from Ansel Ollermoss" in text] == ["H", "I", "K"]
    assert packed["G"] == "Thumb gusset done (fewer stitches), with its MC and CC"


def test_a_wait_says_for_which_piece(sample: Plan) -> None:
    rows = run_sheet_paper(sample, sample.days[1]).rows
    waits = [row.text for row in rows if row.kind == "wait"]
    assert [text.split(": ")[1].split()[0] for text in waits] == ["G", "O", "O", "P"]
    assert waits[0] == "Wait, 2 min: G to “Cobble band, 2 of 12 rounds”"


def test_a_tray_says_by_what_a_piece_is_known(sample: Plan) -> None:
    trays = run_sheet_paper(sample, sample.days[0]).trays
    told = {one.letter: one.note.text for tray in trays for one in tray.pieces if one.note.text}
    assert sorted(told) == ["D", "E", "G", "H"]
    assert "wrong purl" in told["G"]


def test_nothing_is_packed_twice(sample: Plan) -> None:
    for day in sample.days:
        view = run_sheet_paper(sample, day)
        names = [one.partition(":")[0].lower() for one in view.pack]
        assert len(set(names)) == len(names)
        assert not {"both yarns", "marker", "two markers", "blunt darning needle", "needles in both sizes"} & {*names}
        wanted = {letter for row in view.rows for letter in row.pieces}
        assert {letter for letter, _ in view.pieces} == wanted
