"""What the reporting commands print and give to programs, for courses whose figures can be worked out by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.documents import reports
from lessonplan.needle.count import count_lines
from lessonplan.planning.whatif import Change, Reasons, sides
from lessonplan.shoot.order.compare import Order
from tests.documents.test_samples import HELPED, KNITTED_ON
from tests.documents.timed import COURSE, episode, plan, shot


def cells(text: str) -> list[list[str]]:
    text = text.replace("\u00a0", " ")
    return [re.split(r"\s{2,}", line.strip()) for line in text.splitlines() if line.strip()]


THREE = episode((shot("face", say="One two three."), shot("sink")), (shot("face", title="Goodbye"),)).replace(
    "title: B", "title: After {{ edge.cast_on }} stitches"
)
FAST = COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 180,")


def test_times_of_segments_and_episodes(tmp_path: Path) -> None:
    # Three words at 180 a minute are a second: so long is the first shot on screen, since its hold of six minutes is
    # cut away; the others are nothing but held. On the floor a shot of 6 minutes takes 7, with a variance of 5 / 7
    # (1 less, 5 more, a seventh of the product): nine times in ten 7 + 1.2816 x 0.845 = 8.1; two take 14 + 1.2816 x
    # 1.195 = 15.5, three 21 + 1.2816 x 1.464 = 22.9.
    made = plan(tmp_path, THREE, FAST)
    rows = cells(reports.times_table(made.worked))
    assert rows[0] == ["Segment", "Title", "Shots", "Words", "Screen", "9 in 10", "Floor", "9 in 10"]
    assert rows[2:4] == [
        ["1.1", "A", "2", "3", "6:01", "6:01", "14 min", "16 min"],
        ["1.2", "After 110 stitches", "1", "0", "6:00", "6:00", "7 min", "8 min"],
    ]
    assert reports.times_table(made.worked).splitlines()[-2] == (
        "Episode 1: 12:01 on screen (9 in 10: 12:01), 21 min on the floor (9 in 10: 23 min)."
    )
    assert reports.times_data(made.worked)["segments"][1] == {
        "segment": "1.2",
        "title": "After 110 stitches",
        "shots": 1,
        "words": 0,
        "screen_seconds": 360,
        "screen_seconds_nine_in_ten": 360,
        "floor_minutes": 7.0,
        "floor_minutes_nine_in_ten": 8.1,
    }


def test_words_at_the_pace_over_all(tmp_path: Path) -> None:
    """Ninety words at 60 a minute are a minute and a half; of what is told in points nobody knows the words."""
    told = episode((shot("face", say="word " * 90),)), episode((shot("face", points='["how, 20 s"]'),), number=2)
    course = COURSE.replace("{knitting: 20,", "{knitting: 20, over_all: 60,").replace("films: [1]", "films: [1, 2]")
    made = plan(tmp_path, told[0], course, {"episodes/02.yaml": told[1]})
    assert reports.times_data(made.worked)["over_all_seconds"] == {"1": 90}
    assert [line for line in reports.times_table(made.worked).splitlines() if "so many words" in line] == [
        "  At the host's 60 words a minute over all of a video so many words run 1:30."
    ]


def test_the_samples_for_programs(tmp_path: Path) -> None:
    # The edge takes 7 minutes beforehand, two rounds 11.1 on the day; apart they would be 7 + 18.1. Weighed: 20 for the
    # piece, and a minute on the floor counts for one and a half: 20 + 7 + 16.65; apart 40 + 25.1.
    data = reports.samples_data(plan(tmp_path, KNITTED_ON, HELPED))
    (piece,) = data.pop("pieces")
    assert (data.pop("cost"), data.pop("naive_cost")) == pytest.approx((43.65, 65.1), abs=0.051)
    assert data == {
        "film_size": "one size",
        "optimal": True,
        "gap": 0.0,
        "total_minutes": 18.1,
        "bench_minutes": 7.0,
        "on_days_minutes": 11.1,
        "waiting_minutes": 0.0,
        "naive_minutes": 25.1,
        "naive_pieces": 2,
        "unused_drawer": [],
        "changed": [],
    }
    first, second = piece.pop("shots")
    assert piece == {
        "piece": "A",
        "kind": "full",
        "from_drawer": "",
        "knit_to": "Edge done",
        "bench_minutes": 7.0,
        "on_days_minutes": 11.1,
    }
    assert (first["shot"], first["needs"], first["knitted_before_minutes"]) == ("1.1.1", "Edge done", 0.0)
    assert second == {
        "shot": "1.2.1",
        "needs": "Body, 2 of 10 rounds",
        "leaves": "Body, 2 of 10 rounds",
        "copy": 1,
        "spare": False,
        "knitted_before_minutes": 11.1,
    }


def test_the_samples_as_a_table(tmp_path: Path) -> None:
    made = plan(tmp_path, KNITTED_ON, HELPED)
    text = reports.samples_table(made)
    assert cells(text)[0] == ["Piece", "Kind", "Knit before the shoot to", "Work", "Serves shots"]
    assert cells(text)[2] == ["A", "full", "Edge done", "7 min", "1.1.1, 1.2.1"]
    assert text.splitlines()[-3:] == [
        "1 piece, 18 min (7 min before the shoot and 11 min on the days).",
        "A fresh piece for every appearance: 2 pieces, 25 min. Saved: 7 min.",
        "No cheaper set exists: the choice is proven.",
    ]
    reasons = Reasons({"A": None, "B": 3.14}, (Change("one helper more", 5, 0, 7.5),))
    assert reports.samples_table(made, reasons).splitlines()[-4:] == [
        "Without piece A the shots cannot be filmed.",
        "",
        "What could be saved:",
        "One helper more: saves 5 min of knitting before the shoot; cheaper by the course's weights.",
    ]
    data = reports.samples_data(made, reasons)
    assert data["without_costs"] == {"A": None, "B": 3.1}
    assert data["savings"] == [{"what": "one helper more", "saves_minutes": 5, "saves_cost": 7.5, "pieces_fewer": 0}]


def order(name: str, number: int, exact: bool = False) -> Order:
    """An order whose figures all differ."""
    return Order(
        name=name,
        sequence=((ShotNumber("1.1.2"), ShotNumber("1.1.1")), (ShotNumber("1.2.1"),)),
        view_changes=number + 1,
        tray_changes=number + 2,
        change_minutes=number + 3.04,
        floor_minutes=number + 64.0,
        pieces=number + 5,
        bench_minutes=number + 126.0,
        knitting_minutes=number + 7.0,
        late=number + 11.0,
        wraps=(600.0, 725.0),
        cost=number + 190.0,
        bound=number + (190.0 if exact else 9.0),
        broken=((ShotNumber("1.1.1"), ShotNumber("1.1.2")),) if number else (),
    )


def test_orders_side_by_side() -> None:
    text = reports.orders_table([order("as listed", 10), order("as told", 20), order("cheapest", 0, exact=True)])
    rows = cells(text)
    assert rows[0] == [
        "Order",
        "Views",
        "Trays",
        "Changes",
        "Floor",
        "Pieces",
        "Bench",
        "On the days",
        "Wrap",
        "Weighed",
    ]
    assert rows[2] == [
        "as listed",
        "11",
        "12",
        "13 min",
        "1 h 14 min",
        "15",
        "2 h 16 min",
        "17 min",
        "10:00, 12:05",
        "3 h 20 min",
    ]
    assert text.splitlines()[-5:] == [
        "The cheapest order found is proven:",
        "Day 1: 1.1.2, 1.1.1",
        "Day 2: 1.2.1",
        "as listed breaks a lock: 1.1.1 before 1.1.2.",
        "as told breaks a lock: 1.1.1 before 1.1.2.",
    ]


def test_how_far_an_order_that_is_not_proven_may_be_from_the_least() -> None:
    # Where nothing costs less than 120, a cost of 150 is at most a quarter above the least possible.
    one = replace(order("cheapest", 0), cost=150.0, bound=120.0)
    assert "The cheapest order found is at most 25% above the least possible:" in reports.orders_table([one])
    assert "at most any amount above" in reports.orders_table([replace(one, bound=0.0)])


def test_orders_for_programs() -> None:
    (data,) = reports.orders_data([order("as listed", 10)])["orders"]
    assert data == {
        "order": "as listed",
        "view_changes": 11,
        "tray_changes": 12,
        "change_minutes": 13.0,
        "floor_minutes": 74.0,
        "pieces": 15,
        "bench_minutes": 136.0,
        "on_days_minutes": 17.0,
        "wraps": ["10:00", "12:05"],
        "cost": 200.0,
        "bound": 19.0,
        "exact": False,
        "days": [["1.1.2", "1.1.1"], ["1.2.1"]],
        "broken_locks": [["1.1.1", "1.1.2"]],
    }


def test_what_ifs_for_programs() -> None:
    assert reports.change_data(None) == {}
    assert reports.change_data(Change("x", -3.14, 2, 2.76)) == {
        "what_if": {"what": "x", "saves_minutes": -3.1, "saves_cost": 2.8, "pieces_fewer": 2}
    }


def test_wishes_side_by_side(tmp_path: Path) -> None:
    # By the course's weights, and with the fewest pieces, one piece is knitted on between the shots (11.1 min of the
    # changes); no wish has less than its edge beforehand (7 min), and nobody has to wait.
    made = plan(tmp_path, KNITTED_ON, HELPED)
    found = sides(made)
    rows = cells(reports.sides_table(made, found, ()))
    assert rows[0] == ["Wish", "Pieces", "Knitted before", "On the days", "Camera waits", "Proven"]
    assert rows[2] == ["as the course asks", "1", "7 min", "11 min", "0 min", "yes"]
    assert [row[0] for row in rows[2:6]] == [one.what for one in found]
    data = reports.sides_data(found, (Change("the full piece in 1.1.1", -5, 0, -5),))
    assert data["wishes"][0] == {
        "wish": "as the course asks",
        "pieces": 1,
        "bench_minutes": 7.0,
        "on_days_minutes": 11.1,
        "waiting_minutes": 0.0,
        "optimal": True,
    }
    assert data["real_things"] == [
        {"what": "the full piece in 1.1.1", "saves_minutes": -5, "saves_cost": -5, "pieces_fewer": 0}
    ]


def test_counted_lines() -> None:
    counted = count_lines(["*K2, p2; rep from * to end", "K1, k2tog, k to end"], (8, 12))
    assert cells(reports.count_table(counted))[2:] == [
        ["1", "*K2, p2; rep from * to end", "8 (12)", "1", "k 4 (6), p 4 (6)"],
        ["2", "K1, k2tog, k to end", "7 (11)", "1", "k 6 (10), k2tog 1"],
    ]
    data = reports.count_data(counted)
    assert data["on"] == [8, 12]
    assert data["lines"][1] == {
        "text": "K1, k2tog, k to end",
        "stitches": [7, 11],
        "sure": True,
        "spaces": 0,
        "rounds": 1,
        "techniques": {"k": [6, 10], "k2tog": 1},
    }
    assert (data["rounds"], data["problems"]) == (2, [])


def test_a_net_is_told_with_its_spaces() -> None:
    # 23 stitches of 45 (25 of 49) are worked and 22 (24) passed below a chain each, by hand; then one over every one.
    # Some designers count such chains among the stitches, others do not: both numbers are told.
    mesh = (
        "Ch 4 (counts as dc and ch 1), sk first 2 sc, dc in next sc, *ch 1, sk 1 sc, dc in next sc; rep from * across."
    )
    counted = count_lines([mesh, "Ch 1, sc in each dc and in each ch-1 sp across."], (45, 49), flat=True)
    told = [row[2] for row in cells(reports.count_table(counted))[2:]]
    assert told == ["23 (25), 22 (24) spaces", "45 (49)"]
    assert [line["spaces"] for line in reports.count_data(counted)["lines"]] == [[22, 24], 0]


def test_the_errata_log(tmp_path: Path) -> None:
    entry = "{found: 2027-05-01, by: A, where: 1.1.1, said: x, right: y, remedy: pinned note, state: planned}"
    log = f"errata:\n  - {entry}\n"
    made = plan(tmp_path / "a", THREE, files={"errata.yaml": log})
    row = ["1", "planned", "1.1.1", "x", "y", "pinned note", "Saturday 1 May 2027"]
    assert cells(reports.errata_table(made.worked))[2] == row
    assert reports.errata_table(plan(tmp_path / "b", THREE).worked) == "No errata."


def test_a_shot_of_several_takes_is_named_once_beside_its_piece(tmp_path: Path) -> None:
    """The piece has a stop for each take, since it is taken back between them."""
    taken = episode((shot("face", pieces="[{needs: edge, leaves: body round 1}]"),)).replace("takes: 1", "takes: 2")
    made = plan(tmp_path, taken)
    [piece] = made.choice.pieces
    assert len(piece.stops) == 2
    assert cells(reports.samples_table(made))[2][-1] == "1.1.1"
