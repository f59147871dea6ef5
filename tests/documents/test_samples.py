"""The step-sample plan: hours planned and saved, what each piece is for and why it is needed, worked by hand."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from lessonplan.documents.floorwork import floor_jobs
from lessonplan.documents.laidout import yarn_text
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.runsheetpaper import run_sheet_paper
from lessonplan.documents.samples import SamplesView, change_text, planned_minutes, samples_view, without_text
from lessonplan.documents.wording import duration
from lessonplan.pattern.amounts.yarn import Amount
from lessonplan.planning.whatif import Change, Reasons
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, episode, plan, shot

HELPED = COURSE + "    helpers: Bo\n"
KNITTED_ON = episode(
    (shot("face", pieces="[{needs: edge}]"),), (shot("overhead", pieces="[{needs: body round 2}]", title="Round two"),)
)


def view(folder: Path, episode_text: str, course: str = COURSE) -> SamplesView:
    return samples_view(plan(folder, episode_text, course))


def test_planned_hours_are_those_before_the_shoot_and_on_the_days(tmp_path: Path) -> None:
    # One piece for both shots: the edge beforehand (7 min), two rounds in the 15 min of changes (11.1 min): 18.1 min.
    # Apart they would be the edge (7) and an edge with two rounds (18.1): 25.1 min.
    found = view(tmp_path, KNITTED_ON, HELPED)
    assert found.summary == "7 min before the shoot and 11 min on the days"
    assert (found.planned, found.naive, found.saved) == ("18 min", "25 min", "7 min")
    assert found.planned_share == pytest.approx(18.1 / 25.1)
    assert (found.piece_count, found.naive_count) == ("1 piece", "2 pieces")
    assert (found.title, found.film_size) == ("Ring cowl", "")
    assert found.paces == "Minutes on this page are at the host’s pace of 20 stitches a minute"


def test_a_knitter_with_the_hosts_pace_has_the_hosts_minutes(tmp_path: Path) -> None:
    """Rounded once, for each piece: pieces of a fraction of a minute over a whole one added up to more on her page."""
    pieces = ", ".join(f"{{needs: body round {number}, apart: yes}}" for number in (1, 3, 5))
    mine = COURSE.replace("knitting: 20", "knitting: 26") + "knitters: [{name: Bo, pace: 26}]\n"
    found = plan(tmp_path, episode((shot("face", pieces=f"[{pieces}]"),)), mine)
    exact = [piece.bench for piece in found.choice.pieces]
    assert any(0.1 < one % 1 < 0.5 for one in exact), exact
    assert found.calendar.load == {"Bo": planned_minutes(found)[0]}


def test_without_hands_on_the_day_nothing_is_saved(tmp_path: Path) -> None:
    found = view(tmp_path, KNITTED_ON)
    assert found.summary == "25 min before the shoot"
    assert (found.planned, found.naive, found.saved, found.planned_share) == ("25 min", "25 min", "0 min", 1.0)
    assert [(piece.letter, piece.first, piece.bench) for piece in found.pieces] == [
        ("A", "Edge done", "7 min"),
        ("B", "Body, 2 of 10 rounds", "18 min"),
    ]


def test_the_camera_may_wait_for_a_piece(tmp_path: Path) -> None:
    # No change at all between the two shots: the round of 5.55 min can be knitted only while everybody waits.
    shots = shot("face", pieces="[{needs: edge}]"), shot("face", pieces="[{needs: body round 1}]")
    waiting = HELPED + "samples: {camera_may_wait: 6 min, weights: {waiting: 0.1}}\n"
    assert view(tmp_path, episode(shots), waiting).summary == (
        "7 min before the shoot and 6 min on the days, the camera waiting for 6 min of it"
    )


def test_a_piece_with_its_shots(tmp_path: Path) -> None:
    (piece,) = view(tmp_path, KNITTED_ON, HELPED).pieces
    assert (piece.needed, piece.kind, piece.drawer) == ("Saturday 6 March 2027", "full", "")
    assert [(stop.number, stop.title, stop.day, stop.now, stop.after, stop.knitted) for stop in piece.stops] == [
        ("1.1.1", "A", "Sat 6 Mar", "Edge done", "", ""),
        ("1.2.1", "Round two", "Sat 6 Mar", "Body, 2 of 10 rounds", "", "knitted on: 11 min after 1.1.1"),
    ]


def test_what_is_taken_back_is_not_knitted_on(tmp_path: Path) -> None:
    # A round of 110 stitches is taken back in 2.2 min, for which there are 3 between two takes; before 1.2.1 it is
    # there from the last take, and one more is knitted in the 15 min of changes.
    moved = shot("face", pieces="[{needs: edge, leaves: body round 1}]", takes="2")
    course = HELPED.replace("reset: 0 s", "reset: 3 min")
    planned = plan(tmp_path, episode((moved,), (shot("sink", pieces="[{needs: body round 2}]"),)), course)
    (piece,) = samples_view(planned).pieces
    assert [one.knitted.partition(" min")[0] for one in piece.stops] == ["", "taken back: 2", "knitted on: 6"]
    here = [one for line in run_sheet_view(planned, planned.days[0]).lines if line.shot for one in line.shot.pieces]
    assert [(one.how if one.knitted else "", one.knitted, one.taken_back) for one in here] == [
        ("", "", "2 min"),
        ("knitted on", "6 min", ""),
    ]


def test_minutes_of_the_days_are_at_the_pace_of_the_slowest_there(tmp_path: Path) -> None:
    # Bo works 16 stitches a minute: two rounds of 111 sts are 13.9 min, where the host’s 20 would take 11.1.
    course = HELPED + "knitters: [{name: Bo, pace: 16, hours_per_week: 5}]\n"
    found = view(tmp_path, KNITTED_ON, course)
    assert found.summary == "7 min before the shoot at the host’s pace and 14 min on the days"
    assert found.paces == (
        "Minutes before the shoot are at the host’s pace of 20 stitches a minute, those on the days at 16, "
        "the slowest pace there"
    )


def test_what_is_told_of_minutes_adds_up_on_every_paper(sample: Plan) -> None:
    """Parts of a piece’s work are the job on the run sheet, pieces the headline, waits those of both run sheets."""
    found, jobs = samples_view(sample), [job for day in sample.days for job in floor_jobs(sample, day)]
    parts, spent = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for piece in found.pieces:
        for stop in piece.stops:
            each = (part for part in stop.knitted.partition(": ")[2].split(", ") if part[:1].isdigit())
            parts[piece.letter, stop.number] += sum(_minutes(part) for part in each)
    for job in jobs:
        spent[job.piece, job.number] += job.spent
    assert +parts == spent
    before = sum(_minutes(piece.bench) for piece in found.pieces if piece.bench)
    there = sum(parts.values())
    assert found.summary.startswith(f"{duration(before)} before the shoot at the host’s pace and {duration(there)} on ")
    assert _minutes(found.planned) == before + there
    waits = list[int]()
    for day in sample.days:
        page, paper = run_sheet_view(sample, day), run_sheet_paper(sample, day)
        mine = [line.minutes for line in page.lines if line.kind == "wait"]
        told = [row.text for row in paper.rows if row.kind == "wait"]
        assert [text.partition(": ")[0] for text in told] == [f"Wait, {minutes}" for minutes in mine]
        resets = {line.minutes for line in page.lines if line.text == "Reset"}
        assert resets <= {row.change.removeprefix("reset ") for row in paper.rows}
        waits += [_minutes(minutes) for minutes in mine]
    assert len(waits) > 2
    assert f"the camera waiting for {sum(waits)} min of it" in found.summary


def _minutes(text: str) -> int:
    hours = re.match(r"(?:(\d+) h ?)?(?:(\d+) min)?", text)
    assert hours
    return 60 * int(hours[1] or 0) + int(hours[2] or 0)


def test_who_knits_it_and_on_which_days(tmp_path: Path) -> None:
    # 3.5 hours a week are half an hour a day. The piece takes 7 + 10 x 5.55 + the bind-off (110 x 1 / 20 at the
    # course's factor) = 68 min: three days, the last of them 3 March, since two days to spare leave the 4th and 5th.
    # Only 8 min would be left for the first of the three, for which nobody takes a piece out: they go into the second.
    course = COURSE.replace("{CO: 1}", "{CO: 1, BO: 1}") + "knitters: [{name: Eva, pace: 20, hours_per_week: 3.5}]\n"
    (piece,) = view(tmp_path, episode((shot("face", pieces="[{needs: finished}]"),)), course).pieces
    assert (piece.bench, piece.knitter, piece.days) == ("1 h 08 min", "Eva", "Tue 2 Mar to Wed 3 Mar")


def test_a_piece_is_needed_on_the_first_day_it_is_filmed(tmp_path: Path) -> None:
    course = COURSE.replace("films: [1]", "films: [1.1]\n  - {day: 2027-03-08, films: [1.2]}")
    shots = (shot("face", pieces="[{needs: edge}]"),), (shot("face", pieces="[{needs: edge, leaves: body round 1}]"),)
    (piece,) = view(tmp_path, episode(*shots), course).pieces
    assert piece.needed == "Saturday 6 March 2027"
    assert [(stop.day, stop.now, stop.after) for stop in piece.stops] == [
        ("Sat 6 Mar", "Edge done", ""),
        ("Mon 8 Mar", "Edge done", "Body, 1 of 10 rounds"),
    ]


def why(folder: Path, *shots: str, course: str = COURSE) -> list[str]:
    return [piece.why for piece in view(folder, episode(shots), course).pieces]


def test_why_a_piece_is_needed(tmp_path: Path) -> None:
    first = "It is the first piece on the table (shot 1.1.1)."
    one_way = shot("face", pieces="[{needs: edge, leaves: body round 1}]", takes="2", one_way="yes")
    fresh = "Each take of shot 1.1.1 needs a fresh piece, since the move cannot be undone; {} has another."
    assert why(tmp_path / "a", one_way) == [fresh.format("B"), fresh.format("A")]
    assert why(tmp_path / "b", shot("face", pieces="[{needs: edge, spare: 1}]")) == [
        "Shot 1.1.1 has piece B on the table too, so a second one is needed.",
        "A spare was asked for in shot 1.1.1.",
    ]
    beside = why(
        tmp_path / "c", shot("face", pieces="[{needs: edge}]"), shot("face", pieces="[{needs: edge}, {needs: body}]")
    )
    assert beside == [first, "Shot 1.1.2 has piece A on the table too, so a second one is needed."]
    apart = shot("face", pieces="[{needs: edge, apart: yes, name: the tight one}]")
    assert why(tmp_path / "d", apart) == ["It serves shot 1.1.1 alone: the tight one."]
    drawer = COURSE + "samples: {drawer: [{name: an old edge, state: edge}]}\n"
    assert why(tmp_path / "e", shot("face", pieces="[{needs: edge}]"), course=drawer) == [
        "It is “an old edge” from the drawer."
    ]
    further = shot("face", pieces="[{needs: body}]"), shot("face", pieces="[{needs: edge}]")
    assert why(tmp_path / "f", *further)[1] == "", "the plain reason stands once, above all cards"


def test_a_piece_that_is_only_shown_serves_every_take(tmp_path: Path) -> None:
    assert len(why(tmp_path, shot("face", pieces="[{needs: edge}]", takes="3"))) == 1


def test_without_a_piece(tmp_path: Path) -> None:
    (piece,) = plan(tmp_path, KNITTED_ON, HELPED).choice.pieces

    def said(more: float | None) -> str:
        return without_text(piece, Reasons({"A": more}, ()))

    assert said(None) == "Without piece A the shots cannot be filmed."
    assert said(0.2) == "Without piece A: another plan costs the same."
    assert said(65) == "Without piece A: 1 h 05 min more by the course's weights."
    assert without_text(piece, None) == ""


def test_changes_say_what_is_saved_and_what_is_added(tmp_path: Path) -> None:
    made = plan(tmp_path, KNITTED_ON, HELPED)
    edge, body = ("full", (1, 0)), ("full", (1, 2))

    def said(minutes: float, pieces: int, cost: float, **more: Any) -> str:
        return change_text(made, Change("film 1.2 before 1.1", minutes, pieces, cost, **more))

    head, weights = "Film 1.2 before 1.1: ", "by the course's weights."
    assert said(30, 1, 50) == f"{head}saves 30 min of knitting before the shoot, 1 piece fewer; cheaper {weights}"
    assert said(-30, -2, -70) == (f"{head}adds 30 min of knitting before the shoot, 2 pieces more; dearer {weights}")
    assert said(5, 0, 5) == f"{head}saves 5 min of knitting before the shoot; cheaper {weights}"
    assert said(0, 0, 0) == f"{head}the same hours; as cheap {weights}"
    # 40 min less in all, of which 15 more are on the days: 55 less before the shoot.
    assert said(40, 0, 20, floor=-15.0, waiting=-3.0) == (
        f"{head}saves 55 min of knitting before the shoot, adds 15 min of work on the days, "
        f"the camera waits 3 min more; cheaper {weights}"
    )
    assert said(5, 0, 5, dropped=(body,), added=(edge,)).endswith(
        "weights. Instead of full “Body, 2 of 10 rounds”: full “Edge done”."
    )
    assert said(5, 1, 5, dropped=(edge, body)).endswith(
        "weights. Not made: full “Edge done” and full “Body, 2 of 10 rounds”."
    )


@pytest.mark.parametrize(
    ("units", "told"),
    [(None, "MC 38 m (17 g), CC 12 m (6 g)"), ("in", "MC 42 yd (17 g), CC 14 yd (6 g)")],  # 41.6 and 13.1 yards
)
def test_yarn_is_rounded_up_and_told_in_the_units_of_the_course(sample: Plan, units: str | None, told: str) -> None:
    pattern = sample.course.pattern.model_copy(update={"units": units})
    assert yarn_text(pattern, (Amount("MC", 37.1, 0.44, 1), Amount("CC", 12, 0.5, 1))) == told
