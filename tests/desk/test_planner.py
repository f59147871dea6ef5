"""The plan behind the desk: quick after an edit, the latest wins, and nothing that a course holds brings it down."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from lessonplan.building import Papers
from lessonplan.desk.planner import NoPaperError, Planner
from lessonplan.planning.plan import plan
from tests.pace import allowed
from tests.waiting import LONG, until

TODAY = date(2027, 2, 1)


@pytest.fixture
def folder(root: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(root / "sample_course", tmp_path / "c", ignore=shutil.ignore_patterns("out")))


@pytest.fixture
def planner(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Planner]:
    monkeypatch.setattr("lessonplan.desk.planner._PATIENCE", LONG)
    made = Planner(folder, lambda: TODAY)
    made.start()
    yield made
    made.end()


def edited(folder: Path, old: str, new: str, name: str = "pattern.yaml") -> None:
    path = folder / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def test_an_edit_is_in_the_document_within_half_a_second_of_work(
    planner: Planner, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Measured in processor time: what a machine that does nothing else would take at most."""
    assert b"Ostrelby Mittens" in planner.paper("handout.html")[0]
    until(lambda: planner.standing().whole)
    monkeypatch.setattr("lessonplan.desk.planner._BREATH", LONG)  # no remarks meanwhile, however long a page takes
    spent = []
    for number in range(3):
        edited(folder, "title: ", f"title: {number} ")
        begun = time.process_time()
        planner.settle()
        data = planner.paper("handout.html")[0]
        spent.append(time.process_time() - begun)
        assert f"<title>{number} ".encode() in data
    assert min(spent) < allowed(0.5)
    planned = plan(folder).plan
    assert planned
    assert data == Papers(planned, today=TODAY).file("handout.html"), "the same bytes as a build's"


def test_what_a_title_does_not_touch_is_not_worked_out_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*given: object, **more: object) -> None:
        raise AssertionError("worked again")

    assert plan(folder).plan
    monkeypatch.setattr("lessonplan.pattern.working.rounds.work_lines", never)
    edited(folder, "title: ", "title: A Pair of ")
    planned = plan(folder).plan
    assert planned
    monkeypatch.setattr("lessonplan.building.aligned_of", never)  # whether there is another paper takes long to tell
    assert b"A Pair of Ostrelby Mittens" in Papers(planned, today=TODAY).file("handout.html")
    with pytest.raises(AssertionError, match="worked again"):
        Papers(planned, today=TODAY).file("cuts-2.csv")
    edited(folder, "cast_on: ", "cast_on: 1")
    with pytest.raises(AssertionError, match="worked again"):
        plan(folder)


def test_documents_from_before_stay_while_there_are_errors(planner: Planner, folder: Path) -> None:
    before = planner.paper("index.html")[0]
    with pytest.raises(NoPaperError, match="no paper"):
        planner.paper("nothing.html")
    edited(folder, "edition: 1", "edition: first", "course.yaml")
    planner.settle()
    standing = planner.standing()
    assert standing.old
    assert standing.result.plan is None
    assert planner.paper("index.html")[0] == before
    (folder / "pattern.yaml").write_bytes(b"\xff\xfe\x00: [")
    (folder / "course.yaml").unlink()
    planner.settle()
    assert planner.paper("index.html")[0] == before
    shutil.rmtree(folder)
    planner.settle()
    until(lambda: any(one.severity == "error" for one in planner.standing().result.problems))


def test_many_edits_in_a_row_end_with_the_last_one(planner: Planner, folder: Path) -> None:
    until(lambda: planner.standing().whole)
    for number in range(12):
        edited(folder, "title: ", f"title: {number} ")
        planner.ask()
        time.sleep(0.03)
    planner.settle()
    assert b"<title>11 10 9 " in planner.paper("handout.html")[0]


def test_own_templates_are_rendered_apart_and_tell_what_is_wrong(planner: Planner, folder: Path) -> None:
    (folder / "templates").mkdir()
    (folder / "templates" / "errata.html").write_text(
        '{% extends "base.html" %}{% block main %}{{ view.no }}{% endblock %}'
    )
    planner.settle()
    with pytest.raises(NoPaperError, match="There is no “no” here"):
        planner.paper("errata.html")
