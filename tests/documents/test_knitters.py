"""The knitters' page: what each knits, by when, and how far she is each evening."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from lessonplan.documents.knitters import KnittersView, knitters_table, knitters_view
from lessonplan.documents.samples import samples_view
from lessonplan.documents.sittings import evenings
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot

KNITTERS = "knitters: [{name: Eva, pace: 20, hours_per_week: 3.5}]\n"
PIECE = '[{needs: body round 10, name: the good one, note: "Leave {{ edge.cast_on }} on the needle."}]'
SHOTS = episode((shot("face", pieces=PIECE, notes='{knitter: "Mind the edge.", editor: "Cut early."}'),))


def view(folder: Path, course: str = COURSE + KNITTERS, shots: str = SHOTS) -> KnittersView:
    return knitters_view(plan(folder, shots, course))


def test_how_far_it_is_each_evening(tmp_path: Path) -> None:
    # 25 minutes a day. The edge takes 7 minutes and each of ten rounds 5.55: 62.5 minutes, 62 as they are
    # printed, begun as late as may be to be ready on 3 March: 12, 25 and 25 minutes. After 12 no round is done (12.55),
    # after 37 five are (34.75).
    (eva,) = view(tmp_path, COURSE + KNITTERS.replace("3.5", "2.92")).people
    assert [(row.day_text, row.piece, row.what, row.minutes) for row in eva.sittings] == [
        ("Mon 1 Mar", "A", "Edge done", 12),
        ("Tue 2 Mar", "A", "Body, 5 of 10 rounds", 25),
        ("Wed 3 Mar", "A", "Body, all 10 rounds", 25),
    ]
    assert (eva.total, eva.starts, eva.pieces, eva.file) == (
        "1 h 02 min",
        "at the latest on Monday 1 March 2027",
        ("A",),
        "knitter-1.ics",
    )


def test_what_is_wet_is_finished_when_it_is_dry(tmp_path: Path) -> None:
    # Ready on 3 March; 20 h of drying from midnight are that day, so the wash (25) is the 2nd's.
    stages = PATTERN[: PATTERN.index("  body:")] + (
        "  end: {title: Finishing, after: edge, works: [{block: 25 min, drying: 20 h}]}\n"
    )
    shots = episode((shot("face", pieces="[{needs: finished}]"),))
    made = plan(tmp_path, shots, COURSE + KNITTERS, {"pattern.yaml": stages})
    (eva,) = knitters_view(made).people
    told = ("Tue 2 Mar", "Finishing done; it dries until Wed 3 Mar, then finished")
    assert (eva.sittings[-1].day_text, eva.sittings[-1].what) == told
    assert evenings(made, "Eva")[-1].spells[-1].what == told[1]
    assert [one.days for one in samples_view(made).pieces] == ["Tue 2 Mar, dry on Wed 3 Mar"]


def test_agreed_days_are_told_as_kept_and_nothing_is_proven_of_them(sample: Plan) -> None:
    # M shrank and its knitter's pace fell since the agreement: for the shoot alone she could begin on 2 February.
    assert knitters_view(sample).proven == "The days agreed with the knitters are kept; no piece is late."
    assert {one.starts for one in knitters_view(sample).people} == {"by Monday 1 February 2027 for the days agreed"}


def test_each_work_is_named_on_the_evening_that_brings_it(tmp_path: Path) -> None:
    # 25 minutes a day. Behind the wash 40 min are left, done by 3 March: 15 and 25. It dries for 20 h from midnight, so
    # until Monday at eight in the evening: the wash (25) is Sunday's. Before that 7 and 43 min: 25 and 25.
    stages = PATTERN[: PATTERN.index("  body:")] + (
        "  flap: {title: Flap, after: edge, works: [{minutes: 43, what: Cut the flap}]}\n"
        "  end:\n    title: Finishing\n    after: edge, flap\n"
        "    works: [{block: 25 min, drying: 20 h}, {minutes: 40, what: Sew on five buttons}]\n"
    )
    course = COURSE + KNITTERS.replace("3.5", "2.92")
    made = plan(tmp_path, episode((shot("face", pieces="[{needs: finished}]"),)), course, {"pattern.yaml": stages})
    (eva,) = knitters_view(made).people
    told = [
        ("Fri 26 Feb", "Edge done; Flap: Cut the flap, the first 18 of 43 min"),
        ("Sat 27 Feb", "Flap done (the last 25 of 43 min)"),
        ("Sun 28 Feb", "Finishing: Block (wet), then leave to dry for 20 h"),
        ("Tue 2 Mar", "Finishing: Sew on five buttons, the first 15 of 40 min"),
        ("Wed 3 Mar", "finished (the last 25 of 40 min of “Sew on five buttons”)"),
    ]
    assert [(row.day_text, row.what) for row in eva.sittings] == told
    assert [(one.day_text, one.spells[0].what) for one in evenings(made, "Eva")] == told  # her paper says it alike


def test_what_to_knit_with_yarn_and_remarks(tmp_path: Path) -> None:
    # l = sqrt(23.1 / (2.0 x 2.8)) = 2.031 cm; 110 loops cast on and 1,100 knitted are 24.58 m, the tail of 3.3 x 55 cm
    # 1.82 m: 26.39 m, with a tenth more 29.03 m, and half as many grams.
    ((one,),) = (person.to_knit for person in view(tmp_path).people)
    assert (one.piece, one.what, one.due) == ("A", "Body, all 10 rounds", "Wednesday 3 March 2027")
    assert one.yarn == "MC 30 m (15 g)"
    assert (
        one.stop == "STOP after round 10, the last round of “Body”, 110 stitches on the needle; "
        "do not cut the yarn, do not bind off."
    )
    assert one.notes == (
        "Shot 1.1.1, the good one: Mind the edge.",
        "Shot 1.1.1, the good one: Leave 110 on the needle.",
    )


def test_where_a_begun_piece_is_to_be_gone_on_with(tmp_path: Path) -> None:
    # Six of ten rounds are left, of 5.55 minutes each.
    drawer = "samples: {drawer: [{name: old ring, state: body round 4}]}\n"
    (eva,) = view(tmp_path, COURSE + KNITTERS + drawer).people
    assert eva.total == "33 min"
    assert eva.to_knit[0].begun == "Go on with “old ring” from the drawer (Body, 4 of 10 rounds)"
    assert [one.begun for one in view(tmp_path).people[0].to_knit] == [""]


def test_the_page_as_a_whole(tmp_path: Path) -> None:
    found = view(tmp_path)
    assert (found.title, found.late, found.remarks, found.remedies) == ("Ring cowl", (), (), ())
    assert found.shoot_days == ("Day 1: Saturday 6 March 2027",)
    assert (found.proven, found.late) == ("Nobody can start later without a late piece: proven.", ())


def test_what_cannot_be_ready_is_late(tmp_path: Path) -> None:
    # She begins a day before it must be ready: two evenings of half an hour for 62.5 minutes.
    found = view(tmp_path, COURSE + KNITTERS.replace("3.5}", "3.5, starts: 2027-03-02}"))
    assert found.proven == "Not everything can be ready in time."
    assert len(found.late) == 1
    assert "A" in found.late[0]
    assert found.remedies


def test_the_table_is_in_order_of_days(tmp_path: Path) -> None:
    two = "knitters: [{name: Eva, pace: 20, hours_per_week: 3.5}, {name: Ann, pace: 20, hours_per_week: 3.5}]\n"
    both = episode((shot("face", pieces="[{needs: body round 10}, {needs: body round 10}]"),))
    head, *rows = knitters_table(view(tmp_path, COURSE + two, both))
    assert head == ("day", "knitter", "piece", "by_the_evening", "minutes", "kind", "size")
    assert {row[5:] for row in rows} == {("full", "")}
    assert [row[0] for row in rows] == sorted(row[0] for row in rows)
    assert {row[1] for row in rows} == {"Ann", "Eva"}
    assert [row[1] for row in rows[:2]] == ["Ann", "Eva"], "on one day by name"
    assert sum(int(row[4]) for row in rows) == 2 * 62
    assert date.fromisoformat(rows[-1][0]) == date(2027, 3, 3)
