"""Pick-up shots from what is left: a course whose minutes can be had in the head, and the sample's open erratum.

The edge takes 7 minutes at 20 stitches a minute and each round of the body 5.55 (see `tests.documents.timed`).
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

import lessonplan
from lessonplan.building import documents
from lessonplan.cli import app
from lessonplan.planning.filmed.pickups import day_of, keep_back, left_over, pick_ups, wanted
from lessonplan.planning.worked import Plan
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
    assert [(one.kind, one.state) for one in left_over(cowl, wanted(cowl))] == [("full", "body round 3")]


def test_the_nearest_piece_is_knitted_on(cowl: Plan) -> None:
    again, problems, _ = pick_ups(cowl, day_of(DAY, "10:00"), wanted(cowl))
    assert again is not None
    assert [one for one in problems if one.severity == "error"] == []
    # Filmed twice at most would be two takes of a move for good; here it is one take, from the piece with 3 rounds.
    (piece,) = again.choice.pieces
    assert piece.bench == pytest.approx(5 * 5.55)
    assert piece.ready.endswith("of the shoot")
    assert [(day.day, [one.number for one in day.entries if one.kind == "shot"]) for day in again.days] == [
        (DAY, ["1.1.1"])
    ]


def test_the_price_of_keeping_one_back(cowl: Plan) -> None:
    (kept,) = keep_back(cowl)
    assert str(kept.number) == "1.1.1"
    assert kept.again == pytest.approx(5 * 5.55)
    assert kept.now == pytest.approx(7 + 8 * 5.55), "a spare is knitted whole, before the shoot"


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


def test_the_command(root: Path, tmp_path: Path) -> None:
    run, course, out = CliRunner(), str(root / "sample_course"), tmp_path / "again"
    made = run.invoke(app, ["pickups", course, "--on", "2027-04-17", "--out", str(out), "--json"])
    assert made.exit_code == 0, made.output
    # The third erratum asks for 2.4.2 again; a piece stands at just that round since the shoot.
    data = json.loads(made.output)
    assert (data["shots"], data["bench_minutes"], len(data["pieces"])) == (["2.4.2"], 0.0, 1)
    assert (out / "index.html").exists()
    assert run.invoke(app, ["pickups", course, "--on", "2027-04-17", "--call", "noon"]).exit_code == 2


def test_nothing_is_asked_for(tmp_path: Path) -> None:
    plain = plan(tmp_path, episode((shot("above"),)))
    assert wanted(plain) == ()
    assert CliRunner().invoke(app, ["pickups", str(tmp_path), "--on", "2027-06-05"]).exit_code == 2
    assert lessonplan.load(tmp_path).worked is not None
