"""Pick-up shots from what is left: a course whose minutes can be had in the head, and the sample's open erratum.

The edge takes 7 minutes at 20 stitches a minute and each round of the body 5.55 (see `tests.documents.timed`).
"""

from __future__ import annotations

import json
import re
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest
from typer.testing import CliRunner

import lessonplan
from lessonplan.building import documents
from lessonplan.cli import app
from lessonplan.course.model.settings import Knitter
from lessonplan.documents.knitters import begun_text
from lessonplan.documents.pickups import pick_up_table
from lessonplan.documents.sittings import how_far
from lessonplan.documents.wording import duration
from lessonplan.planning.filmed.pickups import REMEDY, day_of, keep_back, left_over, pick_ups, wanted
from lessonplan.planning.worked import Plan
from lessonplan.samples.calendar.jobs import Sitting
from tests.command import run
from tests.documents.timed import COURSE, episode, plan, shot

DAY = date(2027, 6, 5)
ENTRY = "  - {found: 2027-05-0%d, by: A, where: %s, said: x, right: y, remedy: %s, state: %s}\n"
ERRATA = "errata:\n" + "".join(
    ENTRY % (number, *values)
    for number, values in enumerate(
        (
            ("1.1.1", "pick-up shot", "open"),
            ("1.1.2", "pick-up shot", "mended"),
            ("1.1.2", "pinned note", "open"),
        ),
        start=1,
    )
)


@pytest.fixture(scope="module")
def cowl(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """First a piece with 8 rounds is finished and bound off for good, then one with 3 rounds is shown."""
    shots = (
        shot("above", pieces="[{needs: body round 8, leaves: body done}]", one_way="yes"),
        shot("above", pieces="[{needs: body round 3}]"),
    )
    return plan(tmp_path_factory.mktemp("cowl"), episode(shots), COURSE, {"errata.yaml": ERRATA})


def test_what_is_wanted(cowl: Plan) -> None:
    assert [str(number) for number in wanted(cowl)] == ["1.1.1"]


def test_the_drawer_is_what_the_last_shots_left(cowl: Plan) -> None:
    # The piece that was bound off for good cannot be taken back; the other one stands as it was shown.
    assert [(one.name, one.kind, one.state) for one in left_over(cowl, wanted(cowl))] == [("B", "full", "body round 3")]


def test_the_nearest_piece_is_knitted_on(cowl: Plan) -> None:
    again, problems, _ = pick_ups(cowl, day_of(DAY, "10:00"), wanted(cowl))
    assert again is not None
    assert [one for one in problems if one.severity == "error"] == []
    # Filmed twice at most would be two takes of a move for good; here it is one take, from the piece with 3 rounds.
    (piece,) = again.choice.pieces
    assert piece.bench == pytest.approx(5 * 5.55)
    assert piece.name == "B", "it has that letter on its tag since the shoot"
    assert [(day.day, [one.number for one in day.entries if one.kind == "shot"]) for day in again.days] == [
        (DAY, ["1.1.1"])
    ]


def test_the_price_of_keeping_one_back(cowl: Plan) -> None:
    (kept,) = keep_back(cowl)
    assert str(kept.number) == "1.1.1"
    assert kept.again == pytest.approx(5 * 5.55)
    assert kept.now == pytest.approx(7 + 8 * 5.55), "a spare is knitted whole, before the shoot"
    assert kept.then == 0.0
    assert not kept.pays


def test_new_pieces_get_letters_that_no_piece_has(tmp_path: Path) -> None:
    shots = (
        shot("above", pieces="[{needs: body round 8, leaves: body done}]", one_way="yes", takes="2"),
        shot("above", pieces="[{needs: body round 3}]"),
    )
    made = plan(tmp_path, episode(shots), COURSE, {"errata.yaml": ERRATA})
    again, _, _ = pick_ups(made, day_of(DAY, "10:00"), wanted(made))
    assert again is not None
    assert sorted(one.name for one in made.choice.pieces) == ["A", "B", "C"]
    old, new = again.choice.pieces
    assert (old.name, new.name) == ("C", "D")
    assert old.first == new.first == (1, 8)
    assert (old.bench, new.bench) == pytest.approx((5 * 5.55, 7 + 8 * 5.55))
    assert {*again.calendar.assigned} == {"C", "D"}


def test_nobody_begins_before_the_mistake_is_found(cowl: Plan) -> None:
    again, _, _ = pick_ups(cowl, day_of(DAY, "10:00"), wanted(cowl))
    assert again is not None
    assert [one.starts for one in again.course.course.knitters] == [date(2027, 5, 1)], "the shoot was in March"


ROUNDS = (2, 4, 5, 6, 9)
RIP = 0.02
"""Minutes in which a stitch is taken back: what the program guesses."""


@pytest.mark.parametrize("again", [(0,), (2,), (0, 4), (1, 2, 3), (0, 1, 2, 3), (0, 1, 2, 3, 4)])
def test_every_way_of_giving_pieces_to_shots_was_tried(tmp_path: Path, again: tuple[int, ...]) -> None:
    """No way of knitting on, ripping back (110 stitches a round) or casting on anew costs less."""
    shots = tuple(shot("above", pieces=f"[{{needs: body round {at}}}]") for at in ROUNDS)
    errata = "errata:\n" + "".join(ENTRY % (1, f"1.1.{one + 1}", REMEDY, "open") for one in again)
    made = plan(tmp_path, episode(shots), COURSE, {"errata.yaml": errata})
    found, _, drawer = pick_ups(made, day_of(DAY, "10:00"), wanted(made))
    assert found is not None
    assert found.choice.floor_minutes == 0
    left = [int(one.state.rpartition(" ")[2]) for one in drawer]

    def minutes(there: int | None, asked: int) -> tuple[float, float]:
        if there is None:
            return 7 + 5.55 * asked, 20.0
        return 5.55 * max(asked - there, 0) + RIP * 110 * max(there - asked, 0), 0.0

    ways = []
    for given in permutations([*left, *[None] * len(again)], len(again)):
        each = [minutes(there, ROUNDS[one]) for there, one in zip(given, again, strict=True)]
        ways.append((sum(bench + piece for bench, piece in each), sum(bench for bench, _ in each)))
    assert found.choice.bench_minutes == pytest.approx(min(ways)[1])


def test_the_knitter_is_told_to_rip_back(tmp_path: Path) -> None:
    shots = (shot("above", pieces="[{needs: body round 3, leaves: body round 5}]"),)
    errata = "errata:\n" + ENTRY % (1, "1.1.1", REMEDY, "open")
    made = plan(tmp_path, episode(shots), COURSE, {"errata.yaml": errata})
    again, _, drawer = pick_ups(made, day_of(DAY, "10:00"), wanted(made))
    assert again is not None
    assert [one.state for one in drawer] == ["body round 5"]
    (piece,) = again.choice.pieces
    assert (
        begun_text(again, piece)
        == "Rip back what the shoot left, from “Body, 5 of 10 rounds” to “Body, 3 of 10 rounds”"
    )
    assert piece.bench == pytest.approx(2 * 110 * RIP)
    assert f"{duration(piece.bench)} to take back" in pick_up_table(again)
    # An evening on which nothing new is made says how far the piece is then.
    knitter = Knitter(name="Bo", pace=20, hours_per_week=7, starts=DAY)
    assert how_far(again, knitter, [Sitting(DAY, "Bo", piece.name, 1)]) == ("Body, 3 of 10 rounds",)


def test_what_cannot_be_undone_in_clay(root: Path) -> None:
    """Minutes from the pattern: wedging 8, centring 3, lifting 6, shaping 4, turning 15, loading the kiln 10."""
    made = lessonplan.plan(root / "tests" / "courses" / "pottery").plan
    assert made is not None
    found = {str(one.number): (one.again, one.rests, one.now, one.then, one.pays) for one in keep_back(made)}
    assert found == {
        # No shot is marked so; the lifts are in the pattern. Two takes ask two new pieces, or one with one kept back.
        "1.2.3": (22, 0, 11, 11, True),
        # The two that were lifted are shaped, and dry for a day.
        "1.3.1": (8, 1440, 21, 4, False),
        # The two that were turned are fired, which takes a day.
        "1.4.2": (20, 1440, 46, 10, False),
    }


def test_what_a_move_for_good_costs_again_as_text(root: Path) -> None:
    """The minutes of the test before this one, with the titles that the shots have in the course."""
    rows = run("pickups", root / "tests" / "courses" / "pottery").stdout.replace("\u00a0", " ").splitlines()
    assert rows[0] == "Nothing is asked for again."
    assert [re.split(r"\s{2,}", row) for row in rows[4:7]] == [
        ["1.2.3", "Three lifts", "22 min", "11 min", "11 min"],
        ["1.3.1", "Leather-hard", "8 min", "24 h", "21 min", "4 min"],
        ["1.4.2", "Into the glaze", "20 min", "24 h", "46 min", "10 min"],
    ]


def test_papers_of_the_day_alone(cowl: Plan) -> None:
    again, _, _ = pick_ups(cowl, day_of(DAY, "10:00"), wanted(cowl))
    assert again is not None
    found = documents(again)
    assert {"index.html", "run-sheet-1.html", "run-sheet-1.pdf", "cue-cards-1.pdf", "labels.pdf", "shoot.ics"} <= set(
        found
    )
    assert not {"handout.html", "editor-1.html", "errata.html", "errata.atom"} & set(found)
    sheet = found["run-sheet-1.html"].decode()
    assert "1.1.1" in sheet
    assert "1.1.2" not in sheet
    assert "Filmed again, since it was wrong: x. Right: y." in sheet
    assert "Wrap planned" in sheet
    for name, data in found.items():
        if name.endswith(".html"):
            assert {*re.findall(r'href="([^"#:]+)"', data.decode())} <= {*found}, name


def test_the_command(root: Path, tmp_path: Path) -> None:
    runner, course, out = CliRunner(), str(root / "sample_course"), tmp_path / "again"
    made = runner.invoke(app, ["pickups", course, "--on", "2027-04-17", "--out", str(out), "--json"])
    assert made.exit_code == 0, made.output
    # The third erratum asks for 2.4.2 again; a piece stands at just that round since the shoot.
    data = json.loads(made.output)
    assert (data["shots"], data["bench_minutes"], len(data["pieces"])) == (["2.4.2"], 0.0, 1)
    assert (out / "index.html").exists()
    assert runner.invoke(app, ["pickups", course, "--on", "2027-04-17", "--call", "noon"]).exit_code == 2


def test_nothing_is_asked_for(tmp_path: Path) -> None:
    plain = plan(tmp_path, episode((shot("above"),)))
    assert wanted(plain) == ()
    assert CliRunner().invoke(app, ["pickups", str(tmp_path), "--on", "2027-06-05"]).exit_code == 2
    assert lessonplan.load(tmp_path).worked is not None
