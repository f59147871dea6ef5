"""Whoever has one paper and nobody to ask: what she would do with it is what the course needs."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.editor import editor_view
from lessonplan.documents.instructions import stage_views
from lessonplan.documents.knitpaper import knitter_paper
from lessonplan.documents.knitters import knitters_with_work
from lessonplan.documents.labels import labels_view
from lessonplan.documents.runsheet import run_sheet_view
from lessonplan.documents.takes import takes_table
from lessonplan.documents.tasks import tasks_of
from lessonplan.documents.worklines import UNCUT
from lessonplan.planning.coverage import coverage
from lessonplan.planning.filmed.taking import take_in
from lessonplan.planning.worked import Plan
from tests.documents.timed import episode, plan, shot

COURSES = Path(__file__).resolve().parents[1] / "courses"


@cache
def planned(name: str) -> Plan:
    made = lessonplan.plan(COURSES / name).plan
    assert made is not None
    return made


def after(made: Plan, number: str) -> dict[str, str]:
    """Where each piece of a shot goes when the shot is done, by the day's run sheet."""
    lines = (line for day in made.days for line in run_sheet_view(made, day).lines)
    line = next(one for one in lines if one.shot and one.shot.number == number)
    assert line.shot
    assert line.at
    return dict(zip((one.letter for one in line.shot.pieces), line.at.on, strict=True))


def test_what_was_glued_or_hollowed_is_left_to_rest_and_not_put_away() -> None:
    # By the patterns: a glued spine and a cased book lie 12 h under weights, a hollowed bowl dries for 7 days.
    book, spoon = planned("bookbinding"), planned("woodcarving")
    for number in ("1.4.1", "1.5.1"):
        assert set(after(book, number).values()) == {"then left in the press for 12 h"}
    assert set(after(spoon, "1.4.1").values()) == {"then left to dry for 7 days"}
    assert after(book, "1.5.2") == {"A": "then put away"}


def test_what_stands_in_on_a_later_day_is_not_put_away_on_this_one() -> None:
    book = planned("bookbinding")
    for number, letter in (("1.3.1", "B"), ("1.3.2", "D")):
        assert after(book, number)[letter] == "then put by, to stand in for what is spoilt in 1.4.1 on day 2"
    # B has none of its five sections sewn: 5 of 30 cm of thread and 3 cm of tape, and a tenth in reserve.
    beside = "B or D, with 165\xa0cm of waxed linen thread and 17\xa0cm of linen tape"
    assert run_sheet_view(book, book.days[1]).notions[-1] == f"to stand in for a piece spoilt in 1.4.1: {beside}"
    assert after(planned("woodcarving"), "1.2.2")["B"] == "then at hand, to stand in for what is spoilt in 1.3.1"


def test_a_card_of_stripes_leaves_the_ends_that_are_counted() -> None:
    # Eight stripes of four rounds: cut between them they leave 16 ends, and the pattern weaves in four.
    tasks = {one.letter: one for one in tasks_of(planned("hat"))}
    body = {letter: [one for one in task.stages if one.key == "body"] for letter, task in tasks.items()}
    said = {letter for letter, stages in body.items() for stage in stages if UNCUT in stage.lines[0].text}
    assert said == {letter for letter, stages in body.items() if stages} >= {"A", "F", "G", "H"}


def test_a_ring_that_is_closed_on_camera_is_left_open_by_its_label_too() -> None:
    # The hat is cast on and joined in one work; joining is what 1.2.1 films, and a label has no lines.
    labels = {one.letter: one.left for one in labels_view(planned("hat")).labels}
    assert [letter for letter, stop in labels.items() if "not join in the round" in stop] == ["B", "C"]


def test_where_the_needle_changes_a_viewer_is_told_which_one_to_take() -> None:
    # The hat's brim is knitted on 4 mm and its body on 4.5 mm, and no line of its pattern says a word of needles.
    says = {stage.key: stage.works[0].before for stage in stage_views(planned("hat"))}
    assert {key: text for key, text in says.items() if "needle" in text} == {
        "edge": "Take the 4\xa0mm needles.",
        "body": "Take the 4.5\xa0mm needles.",
    }


def test_a_pattern_that_names_its_needles_itself_is_left_alone(sample: Plan) -> None:
    says = {stage.key: stage.works[0].before for stage in stage_views(sample)}
    assert [key for key, text in says.items() if "needles" in text] == ["edge", "gusset", "loop"]
    assert not any("mm" in text for text in says.values())


def test_a_piece_that_goes_on_with_another_needle_finds_it_on_the_tray_and_at_the_shot() -> None:
    hat = planned("hat")  # E comes on the 4 mm of its brim, and 1.3.1 knits its first round on 4.5 mm
    view = run_sheet_view(hat, hat.days[0])
    (tray,) = [one for one in view.trays if one.segment == "1.3"]
    assert "4.5 mm needles for E" in tray.tools
    at = {line.shot.number: line.at for line in view.lines if line.shot and line.at}
    assert [number for number, one in at.items() if "4.5 mm needles for E" in one.tools] == ["1.3.1"]


def test_a_potter_reads_of_no_pace_of_stitches(tmp_path: Path) -> None:
    for craft, stitches in (("pottery", False), ("hat", True)):
        day = planned(craft).days[0].day.isoformat()
        course = shutil.copytree(COURSES / craft, tmp_path / craft)
        (tmp_path / "log.csv").write_text(f"day,shot,take,start,stop,verdict\n{day},1.1.1,1,10:40:00,10:41:00,best\n")
        _, taken = take_in(course, [tmp_path / "log.csv"])
        assert taken
        paces = takes_table(taken).partition("Pace ")[2]
        assert "speech" in paces
        assert [name in paces for name in ("knitting", "on_camera")] == [stitches] * 2


def test_an_editor_reads_that_the_rules_for_cutting_are_guesses(sample: Plan, tmp_path: Path) -> None:
    still = plan(tmp_path, episode((shot("face"),)))  # nobody's hands do anything: nothing is advised
    for made, advised in ((planned("pottery"), True), (sample, True), (still, False)):
        view = editor_view(made, made.course.episodes[0])
        assert any(row.advice or row.may_go for one in view.segments for row in one.shots) == advised
        assert ("guesses: from 20 s without a word on" in view.guessed) == advised


@pytest.mark.parametrize(("craft", "tool"), [("woodcarving", "cut-resistant glove"), ("bookbinding", "steel rule")])
def test_whoever_makes_the_pieces_reads_which_tools_she_needs(craft: str, tool: str) -> None:
    made = planned(craft)
    for _, maker in knitters_with_work(made):
        paper = knitter_paper(made, maker)
        assert tool in paper.needles
        assert all(one in paper.needles for one in made.course.pattern.tools)


def test_an_editor_is_not_sent_to_a_picture_that_tells_what_comes() -> None:
    # While the first end is woven in, 1.5.3 has a hat beside it that is washed and dry already.
    view = editor_view(planned("hat"), planned("hat").course.episodes[0])
    (ends,) = [row.advice for one in view.segments for row in one.shots if row.shot.number == "1.5.1"]
    assert "or cut away" in ends
    assert "1.5.3" not in ends


def test_a_viewer_is_sent_to_the_shot_whose_hands_do_a_work_in_the_patterns_own_words() -> None:
    # 1.2.1 folds sheets of paper, no piece: “fold four sheets together and rub the fold down”, as the pattern has it.
    folding = next(one for one in stage_views(planned("bookbinding")) if one.key == "folding")
    assert folding.shown == ("Episode 1, planned at 0:29: Folding and piercing",)
    (covered,) = [one for one in coverage(planned("bookbinding").worked) if one.name == "Folding the sections"]
    assert (covered.how, [str(number) for number in covered.shots]) == ("on camera", ["1.2.1"])


def test_a_stand_in_whose_take_was_not_needed_is_told_to_be_less_far() -> None:
    # C and D come with two faces of four carved; take 1 of 1.3.1 carves the third of C, take 2 that of D, 15 min each.
    spoon = planned("woodcarving")
    told = {(one.letter, one.number): one.moved for one in run_sheet_view(spoon, spoon.days[0]).spoilt}
    assert told["C", "1.4.1"] == ""
    far = "“Carving the outside: face 2 of 4”"
    assert told["D", "1.4.1"] == (
        f"If 1.3.1 has not moved it on, first do on it what 1.3.1 does, from {far} on: 15 min more."
    )
