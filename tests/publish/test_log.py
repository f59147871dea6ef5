"""The errata log kept by the program: the teacher's own lines stay, and what cannot be written is one sentence."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

import lessonplan
from lessonplan.cli import app
from lessonplan.documents.errata import errata_view
from lessonplan.documents.places import Place, place_of, shot_places
from lessonplan.edit.video import with_shots_named
from lessonplan.planning.filmed.pickups import wanted
from lessonplan.planning.worked import Plan
from lessonplan.publish.log import change_erratum, note_erratum

FOUND = {
    "found": "2027-05-01",
    "where": "episode 1 at 2:10",
    "said": "a yard: no more",
    "right": "90 cm",
    "by": "Tove",
    "role": "",
}


@pytest.fixture
def course(root: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(root / "sample_course", tmp_path / "course"))


def test_an_erratum_is_put_below_the_others(course: Path) -> None:
    before = (course / "errata.yaml").read_bytes()
    assert note_erratum(course, FOUND) == (4, ())
    after = (course / "errata.yaml").read_bytes()
    more = '- found: 2027-05-01|where: episode 1 at 2:10|said: "a yard: no more"|right: 90 cm|by: Tove'
    assert after == before + f"  {more}\n".replace("|", "\n    ").encode()


def test_a_log_is_begun(course: Path) -> None:
    (course / "errata.yaml").unlink()
    assert note_erratum(course, FOUND)[0] == 1
    assert (course / "errata.yaml").read_text().startswith("errata:\n  - found: 2027-05-01\n")


def test_a_value_is_changed_in_its_place(course: Path) -> None:
    before = (course / "errata.yaml").read_text().splitlines()
    assert change_erratum(course, 3, {"state": "planned", "remedy": ""}) == (3, ())
    after = (course / "errata.yaml").read_text().splitlines()
    assert [(old, new) for old, new in zip(before, after, strict=True) if old != new] == [
        ("    state: open", "    state: planned")
    ]


def test_the_first_erratum_has_number_one(course: Path) -> None:
    assert change_erratum(course, 1, {"role": "viewer"}) == (1, ())
    assert change_erratum(course, 0, {"role": "viewer"})[0] == 0


def test_a_log_that_lies_outside_of_the_course_is_left_alone(course: Path) -> None:
    outside = (course / "errata.yaml").rename(course.parent / "errata.yaml")
    (course / "errata.yaml").symlink_to(outside)
    before = outside.read_bytes()
    done, problems = note_erratum(course, FOUND)
    assert (done, [one.where.file for one in problems]) == (0, ["errata.yaml"])
    assert outside.read_bytes() == before


@pytest.mark.parametrize(
    ("number", "values", "told"),
    [
        (9, {"state": "planned"}, "There is no erratum 9; the log has 3."),
        (2, {"state": "done"}, "“done” is none of the choices: open, planned or mended."),
        (2, {"mended_in": "soon"}, "“soon” is not a whole number"),
    ],
)
def test_what_does_not_fit_leaves_the_file_alone(course: Path, number: int, values: dict[str, str], told: str) -> None:
    before = (course / "errata.yaml").read_bytes()
    done, problems = change_erratum(course, number, values)
    assert done == 0
    assert told in problems[0].message
    assert (course / "errata.yaml").read_bytes() == before


def test_a_log_with_errors_is_not_written_to(course: Path) -> None:
    (course / "errata.yaml").write_text("errata:\n  - found: yesterday\n")
    done, problems = note_erratum(course, FOUND)
    assert done == 0
    assert problems[0].where.line == 2
    assert (course / "errata.yaml").read_text() == "errata:\n  - found: yesterday\n"


def test_the_command(course: Path) -> None:
    run = CliRunner()
    added = run.invoke(
        app, ["errata", str(course), "--where", "slate 24", "--said", "x", "--right", "y", "--by", "Tove"]
    )
    assert added.output == "Erratum 4 is noted.\n"
    assert run.invoke(app, ["errata", str(course), "--said", "x"]).exit_code == 2
    strange = ["--where", "slate 24", "--said", "x", "--right", "{{ cuff.caston }}", "--by", "Tove"]
    told = run.invoke(app, ["errata", str(course), *strange]).output
    assert "Did you mean “cuff.cast_on”?" in told
    assert "Erratum 5 is noted." in told
    assert run.invoke(app, ["errata", str(course), "--number", "5", "--right", "y"]).output == "Erratum 5 is changed.\n"
    assert run.invoke(app, ["errata", str(course), "--number", "5", "--state", "mended"]).exit_code == 0
    lines = run.invoke(app, ["errata", str(course)]).output.splitlines()
    # Open ones first, in the order of the story; 2.4.2 is slate 24, so both stand together.
    states = [["3", "open"], ["4", "open"], ["1", "planned"], ["5", "mended"], ["2", "mended"]]
    assert [line.split()[:2] for line in lines[2:]] == states


@pytest.mark.parametrize(
    ("said", "right", "kind"),
    [
        ("make one right first", "make one left first", "word"),
        ("forty-four more", "forty-two more", "number"),
        ("all of them", "{{ cuff.cast_on }} of them", "number"),
    ],
)
def test_an_erratum_with_the_same_numbers_is_about_a_word(course: Path, said: str, right: str, kind: str) -> None:
    given = ["--where", "slate 24", "--said", said, "--right", right, "--by", "Tove"]
    assert CliRunner().invoke(app, ["errata", str(course), *given]).exit_code == 0
    noted = lessonplan.load(course).worked
    assert noted is not None
    assert noted.course.errata.errata[3].kind == kind


@pytest.mark.parametrize(
    ("where", "told"),
    [
        ("slate 99", "No slate 99 was agreed."),
        ("episode 7 at 1:00", "There is no episode 7."),
        ("episode 2 at 99:00", "Episode 2 ends with its captions at 18:2"),
        ("{{ cuff.caston }}", "A place names no fact"),
    ],
)
def test_a_place_that_is_none_is_not_noted(course: Path, where: str, told: str) -> None:
    before = (course / "errata.yaml").read_bytes()
    given = ["--where", where, "--said", "x", "--right", "y", "--by", "Tove"]
    run = CliRunner().invoke(app, ["errata", str(course), *given])
    assert run.exit_code == 1
    assert told in run.output
    assert "Nothing was written." in run.output
    assert (course / "errata.yaml").read_bytes() == before


def test_a_time_means_the_shot_that_runs_then(course: Path) -> None:
    """The captions have “twenty four stitches” at 12:22, soon after the blue is joined again, which begins 2.4.1."""
    told = {"where": "episode 2, segment 2.4, at 12:22", "remedy": "pick-up shot", "kind": "number"}
    assert note_erratum(course, FOUND | told) == (4, ())
    made = lessonplan.plan(course).plan
    assert made is not None
    assert wanted(made) == ("2.4.2",)
    named, problems = with_shots_named(made)
    assert wanted(named) == ("2.4.1", "2.4.2")
    assert problems == ()
    # Of episode 1 the course keeps no captions.
    lost = made.course.errata.errata[3].model_copy(update={"where": "episode 1, segment 1.2, at 0:30"})
    log = made.course.errata.model_copy(update={"errata": (lost,)})
    without = made.course.model_copy(update={"errata": log})
    (one,) = with_shots_named(replace(made, worked=replace(made.worked, course=without)))[1]
    assert one.message == "“episode 1, segment 1.2, at 0:30” does not say which shot is to be picked up."


def test_viewers_find_the_place_by_the_clock(sample: Plan) -> None:
    log, places = sample.course.errata.errata, shot_places(sample)
    timed = log[0].model_copy(update={"where": "Episode 3, at 1:02:05, near the end"})
    assert place_of(sample, places, timed) == Place(3, 3725)
    nowhere = log[0].model_copy(update={"where": "handout, page 2"})
    assert place_of(sample, places, nowhere).words == "Handout, page 2"
    # The newest is on top; “episode 2, shot 2.4.2” is told by the clock: its words are heard so long.
    first = errata_view(sample).rows[0]
    assert first.number == 3
    assert first.where == "Episode 2 between 13:50 and 15:34"


def test_slips_of_the_takes_are_taken_over(course: Path) -> None:
    head = "day,shot,take,start,stop,verdict,slip,note\n"
    (course / "takes").mkdir()
    (course / "log.csv").write_text(
        head
        + "2027-02-13,2.1.2,1,13:00:00,13:01:40,best,says 46 for 45,\n"
        + "2027-02-13,2.2.1,1,13:10:00,13:11:00,again,left for right,\n"
    )
    run = CliRunner()
    assert run.invoke(app, ["takes", str(course), str(course / "log.csv")]).exit_code == 0
    (course / "log.csv").unlink()
    # The take with “again” is not used, so nobody hears what was said in it.
    last = run.invoke(app, ["errata", str(course)]).output.splitlines()[-1]
    slate = last.split(", ")[1]
    assert last == f"Slip 1, {slate}, 2027-02-13: says 46 for 45"
    assert run.invoke(app, ["errata", str(course), "--slip", "2", "--right", "45"]).exit_code == 2
    log = (course / "errata.yaml").read_bytes()
    assert run.invoke(app, ["errata", str(course), "--slip", "1", "--today", "2027-02-14"]).exit_code == 0
    added = (course / "errata.yaml").read_text()[len(log.decode()) :]
    assert "    said: says 46 for 45\n    right: 45\n" in added
    (course / "errata.yaml").write_bytes(log)
    done = run.invoke(app, ["errata", str(course), "--slip", "1", "--right", "{{ gusset.stitches }} stitches"])
    assert done.output == "Erratum 4 is noted.\n"
    assert (course / "errata.yaml").read_text().splitlines()[-6:] == [
        "  - found: 2027-02-13",
        "    by: Minna Quillbeck",
        "    role: host",
        f"    where: {slate}",
        "    said: says 46 for 45",
        '    right: "{{ gusset.stitches }} stitches"',
    ]
    assert "Slip" not in run.invoke(app, ["errata", str(course)]).output


def test_a_slip_whose_note_does_not_tell_what_is_right_asks_for_it(course: Path) -> None:
    (course / "takes").mkdir()
    (course / "log.csv").write_text(
        "day,shot,take,start,stop,verdict,slip,note\n2027-02-13,2.1.2,1,13:00:00,13:01:40,best,wrong number,\n"
    )
    run = CliRunner()
    assert run.invoke(app, ["takes", str(course), str(course / "log.csv")]).exit_code == 0
    done = run.invoke(app, ["errata", str(course), "--slip", "1"])
    assert (done.exit_code, done.output) == (
        2,
        "The note of slip 1 does not tell what is right: give it with --right.\n",
    )
