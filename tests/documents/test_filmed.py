"""From the take log to the editor's sheet: which take to use of each shot, and where it lies."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.cells import named_in
from lessonplan.documents.editor import EditorView, editor_view
from lessonplan.documents.editorcsv import editor_table
from lessonplan.documents.filmed import Filmed, filmed_shots
from lessonplan.edit.timing import odd_timecodes
from lessonplan.planning.filmed.taking import take_in
from lessonplan.planning.worked import Plan
from tests.documents import timed
from tests.small_course import COURSE, write_course

HEAD = "day,shot,take,start,stop,verdict,slip,note,camera,card,clip,timecode\n"
LOG = (
    HEAD
    + """\
2027-03-06,1.1.1,1,09:20:00,09:21:00,again,said Monday,,A,A01,C0001,
2027-03-06,1.1.1,2,09:30:00,09:31:30,best,,steam at 0:20,A,A01,C0002,
2027-03-06,1.1.1,3,09:40:00,09:41:00,best,said fourteen,,A,A01,C0003,
2027-03-06,1.1.2,1,09:50:00,,,,,B,B01,0007,23:10:00
2027-03-06,1.1.3,1,10:00:00,10:01:00,again,,,A,A01,C0004,
"""
)
FOUR = timed.episode(tuple(timed.shot("face") for _ in range(4)))
CAMERAS = "cameras:\n  - {name: A, ahead: 1 min 12 s}\n  - {name: B, behind: 5 s}\n"


def with_log(
    folder: Path, log: str, more: str = CAMERAS, *, shots: str = FOUR, files: Mapping[str, str] | None = None
) -> Plan:
    """Plan a course of four shots, or of these, into which this log was taken."""
    course_file = {"course.yaml": timed.COURSE + more, "pattern.yaml": timed.PATTERN, "episodes/01.yaml": shots}
    course = write_course(folder / "c", {**course_file, **(files or {})})
    (folder / "log.csv").write_text(log, encoding="utf-8")
    take_in(course, [folder / "log.csv"])
    result = lessonplan.plan(course)
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def sheet(plan: Plan) -> EditorView:
    return editor_view(plan, plan.course.episodes[0])


def filmed(view: EditorView) -> list[Filmed]:
    found = [row.filmed for segment in view.segments for row in segment.shots]
    assert None not in found
    return [one for one in found if one]


def test_every_shot_says_what_there_is_of_it(tmp_path: Path) -> None:
    view = sheet(with_log(tmp_path, LOG))
    first, second, third, fourth = filmed(view)
    states = [one.state for one in (first, second, third, fourth)]
    assert states == ["filmed", "no verdict", "no take can be used", "not filmed"]
    assert view.done == "1 of 4"
    assert [(one.take, one.use, one.verdict, one.slip) for one in first.takes] == [
        (2, True, "best", ""),
        (3, False, "best", "slip of the tongue: said fourteen"),
    ]
    best = first.takes[0]
    assert (best.file, best.day, best.start) == ("A, A01, C0002", "Sat 6 Mar", "09:30:00")
    assert (best.length, best.note, first.again) == ("1:30", "steam at 0:20", "take 1")
    assert [(one.take, one.verdict, one.length) for one in second.takes] == [(1, "no verdict", "length not known")]
    assert (third.takes, third.again, fourth.takes) == ((), "take 1", ())


@pytest.mark.parametrize(
    ("cameras", "camera", "logged", "timecode"),
    [
        (CAMERAS, "A", "", "09:31:12:00"),
        (CAMERAS, "B", "", "09:29:55:00"),
        (CAMERAS, "B", "23:10:00", "23:10:00:00"),
        (CAMERAS, "B", "23:10:00:14", "23:10:00:14"),
        (CAMERAS, "C", "", ""),  # its clock is not known
        (CAMERAS, "", "", ""),
        ("", "A", "", ""),
        ("cameras: [{name: A, ahead: 15 h}]\n", "", "", "00:30:00:00"),  # the only one; past midnight
    ],
)
def test_the_timecode_is_the_clock_of_the_camera(
    tmp_path: Path, cameras: str, camera: str, logged: str, timecode: str
) -> None:
    log = HEAD + f"2027-03-06,1.1.1,1,09:30:00,09:31:00,best,,,{camera},,,{logged}\n"
    assert filmed(sheet(with_log(tmp_path, log, cameras)))[0].takes[0].timecode == timecode


def test_the_table_file_has_the_take_to_use(tmp_path: Path) -> None:
    out = io.StringIO()
    csv.writer(out).writerows(editor_table(sheet(with_log(tmp_path, LOG))))
    rows = list(csv.DictReader(io.StringIO(out.getvalue())))
    wanted = ("filmed", "take", "clip", "clock", "timecode", "take_s", "note")
    assert [[row[name] for name in wanted] for row in rows[:2]] == [
        ["filmed", "2", "A, A01, C0002", "09:30:00", "09:31:12:00", "90", "steam at 0:20"],
        ["no verdict", "", "", "", "", "", ""],
    ]
    assert "slip of the tongue: said fourteen" in rows[0]["other_takes"]


def test_a_take_to_use_says_why_where_its_verdict_does_not(tmp_path: Path) -> None:
    log = HEAD + "".join(
        f"2027-03-06,{shot},{take},09:{take}0:00,09:{take}1:00,{verdict},{slip},,A,A01,,\n"
        for shot, take, verdict, slip in (
            ("1.1.1", 1, "usable", ""), ("1.1.1", 2, "best", "said Sunday"),
            ("1.1.2", 1, "usable", ""), ("1.1.2", 2, "usable", ""),
            ("1.1.3", 1, "best", ""), ("1.1.3", 2, "usable", ""),
            ("1.1.4", 1, "best", ""),
        )
    )  # fmt: skip
    used = [(one.best.take, one.best.why) for one in filmed(sheet(with_log(tmp_path, log))) if one.best]
    assert used == [(1, "no slip of the tongue"), (2, "the latest"), (1, ""), (1, "")]


def test_a_take_is_measured_without_its_handles(tmp_path: Path) -> None:
    # A minute before, none after: the shot of six minutes is nothing but a hold.
    course = timed.COURSE.replace("opening: 0 s", "opening: 1 min")
    log = HEAD + "".join(
        f"2027-03-06,1.1.{shot},1,09:00:00,09:0{minutes}:30,{verdict},,,A,A01,,\n"
        for shot, minutes, verdict in ((1, 7, "best"), (2, 5, ""), (3, 6, "best"))
    )
    view = sheet(with_log(tmp_path, log, files={"course.yaml": course}))
    rows = view.segments[0].shots
    assert [(row.length, row.take) for row in rows] == [("6:00", "7:00")] * 4
    takes = [row.filmed.takes[0] for row in rows[:3] if row.filmed]
    assert [take.against for take in takes] == [
        "6:30 without handles, over plan",
        "4:30 without handles, under plan",
        "5:30 without handles, under plan",
    ]
    assert view.segments[0].filmed == "Takes to use, without handles: 12:00 for 2 of 4 shots, 12:00 planned."
    assert view.missing == ("no verdict: 1.1.2", "not filmed: 1.1.4")
    head, row, *_ = editor_table(view)
    assert row[head.index("without_handles_s")] == "390"


def test_the_sums_of_the_plan_with_its_handles_agree(sample: Plan) -> None:
    # The page says how long the handles are: 5 s before and 4 s after; some shots are held longer.
    shots = {str(one.number): one.shot for one in sample.course.shots()}
    for episode in sample.course.episodes:
        for row in (row for segment in editor_view(sample, episode).segments for row in segment.shots):
            minutes, seconds = map(int, row.take.split(":"))
            held = shots[row.shot.number].hold
            assert minutes * 60 + seconds == row.seconds[1] + 5 + round(4 if held is None else held * 60)


CUT = """\
errata:
  - {found: 2027-04-01, by: A, where: 1.1.1, said: 14, right: 13 sts, kind: number, remedy: text over the picture}
  - {found: 2027-04-02, by: A, where: 1.1.1, said: x, right: y, kind: picture, remedy: text over the picture}
"""


@pytest.mark.parametrize(
    ("slips", "hear"),
    [
        (("said 14", ""), "take 2 has no slip in the log: hear first whether it needs this"),
        (("", ""), ""),
        (("said 14", "said 14"), ""),
    ],
)
def test_a_correction_may_be_of_another_take(tmp_path: Path, slips: tuple[str, str], hear: str) -> None:
    log = HEAD + "".join(
        f"2027-03-06,1.1.1,{take},09:{take}0:00,09:{take}7:00,best,{slip},,A,A01,,\n"
        for take, slip in enumerate(slips, 1)
    )
    found = sheet(with_log(tmp_path, log, files={"errata.yaml": CUT})).corrections
    told = {one.row.kind: one.do.rpartition("). ")[2] for one in found}
    assert told == {"number": f"T{hear[1:]}." if hear else told["number"], "picture": told["picture"]}
    assert [kind for kind, text in told.items() if "hear first" in text] == ["number"] * bool(hear)


@pytest.mark.parametrize(
    ("verdict", "away"), [("best", "cut to 1.1.3 for 4 s."), ("", "cut to 1.1.3, once it is filmed, for 4 s.")]
)
def test_a_shot_to_cut_to_may_not_be_filmed_yet(tmp_path: Path, verdict: str, away: str) -> None:
    work = timed.shot("face", "0 s", hands="[{do: knit, time: 1 min}]", pieces="[{needs: edge, leaves: body round 1}]")
    shots = timed.episode((work, timed.shot("face"), timed.shot("face", pieces="[{needs: body round 1}]")))
    log = HEAD + f"2027-03-06,1.1.3,1,09:30:00,09:31:00,{verdict},,,A,,,\n"
    rows = sheet(with_log(tmp_path, log, shots=shots)).segments[0].shots
    assert away in rows[0].advice


def test_takes_not_to_be_used_stand_in_the_table_too(tmp_path: Path) -> None:
    head, row, *_ = editor_table(sheet(with_log(tmp_path, LOG)))
    assert row[head.index("other_takes")].splitlines()[-1] == "not to be used: take 1"


def test_without_takes_nothing_is_called_not_filmed(tmp_path: Path) -> None:
    view = sheet(timed.plan(tmp_path, timed.episode((timed.shot("face"),))))
    assert (view.done, view.segments[0].shots[0].filmed) == ("", None)


def test_the_next_build_has_the_takes(tmp_path: Path) -> None:
    with_log(tmp_path, LOG)
    lessonplan.build(tmp_path / "c", tmp_path / "out")
    page = (tmp_path / "out" / "editor-1.html").read_text(encoding="utf-8")
    for text in ("1 of 4", "A, A01, C0002", "09:31:12:00", "slip of the tongue: said fourteen", "not filmed"):
        assert text in page, text


def test_kept_lines_that_cannot_be_read_are_warnings_and_no_more(tmp_path: Path) -> None:
    log = "day,shot,take,start,stop,verdict\n2027-03-06,1.1.1,1,9:00,9:01,best\nsoon,1.1.1,2,9:05,9:06,best\n"
    result = lessonplan.plan(write_course(tmp_path / "c", {"takes/takes.csv": log}))
    assert result.plan is not None
    assert [take.take for take in result.plan.takes] == [1]
    (told,) = [problem for problem in result.problems if problem.where.file == "takes/takes.csv"]
    assert (told.severity, told.code, told.where.line) == ("warning", "day", 3)


def test_two_cameras_of_one_name_are_told(tmp_path: Path) -> None:
    course = write_course(tmp_path, {"course.yaml": COURSE + "cameras:\n  - name: A\n  - name: A\n"})
    assert [(one.code, one.where.line) for one in lessonplan.load(course).problems] == [("name-twice", 10)]


SAID = timed.episode(
    (
        timed.shot(
            "face", "4 s", say="word " * 18 + "two rounds of rib " + "word " * 18, on_screen="[Two rounds of rib]"
        ),
    )
)
QUICK = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 120,").replace("opening: 0 s", "opening: 5 s")


@pytest.mark.parametrize(
    ("rate", "logged", "place"),
    [
        # Planned: 40 words in 20 s, the nineteenth at 9 s. Taken: 49 s less 9 s of handles, so all lasts twice as long:
        # 18 s into the action, which begins 5 s into the take.
        ("25", "10:00:00", "take 1 at 10:00:23:00"),
        ("25", "10:00:00:12", "take 1 at 10:00:23:12"),
        ("24", "", "take 1 at 09:20:23:00"),
        ("29.97", "10:00:00", "take 1 at 10:00:22:29"),  # 23 s are 689.3 frames
        ("29.97 drop", "10:00:00;00", "take 1 at 10:00:22;29"),
    ],
)
def test_a_text_has_its_place_in_the_take(tmp_path: Path, rate: str, logged: str, place: str) -> None:
    log = HEAD + f"2027-03-06,1.1.1,1,09:20:00,09:20:49,best,,,A,A01,C1,{logged}\n"
    files = {"course.yaml": QUICK + f"cameras: [{{name: A}}]\nframe_rate: {rate}\n"}
    (row,) = sheet(with_log(tmp_path, log, "", shots=SAID, files=files)).segments[0].shots
    (line,) = row.cues
    assert (line.when, line.in_take, row.timeline) == ("0:18 to 0:21", place, "0:00, runs 0:40")


def test_without_a_clock_the_place_counts_from_the_start_of_the_take(tmp_path: Path) -> None:
    log = HEAD + "2027-03-06,1.1.1,1,09:20:00,09:20:49,best,,,A,A01,C1,\n"
    (row,) = sheet(with_log(tmp_path, log, "", shots=SAID, files={"course.yaml": QUICK})).segments[0].shots
    assert [line.in_take for line in row.cues] == ["take 1, 0:23 from its start"]


def test_a_correction_has_its_place_in_the_take(tmp_path: Path) -> None:
    log = HEAD + "2027-03-06,1.1.1,1,09:20:00,09:20:49,best,,,A,A01,C1,10:00:00\n"
    errata = "errata:\n  - {found: 2027-04-03, by: A, where: 1.1.1, said: one round of rib, right: two rounds of rib}\n"
    view = sheet(with_log(tmp_path, log, "", shots=SAID, files={"course.yaml": QUICK, "errata.yaml": errata}))
    (one,) = view.corrections
    assert one.do == "Lay it over from 0:18 to 0:21 in the timeline, in 1.1.1 (take 1 at 10:00:23:00)."
    (row,) = view.segments[0].shots  # the text of the shot says the same, and is not laid over it twice
    assert [line.kind for line in row.cues] == ["correction"]


@pytest.mark.parametrize(
    ("rate", "logged", "told", "begins"),
    [
        ("25", "10:00:00:24", False, "10:00:00:24"),
        ("25", "10:00:00:25", True, "10:00:00:00"),  # no such frame: its second counts
        ("25", "10:00:00;12", True, "10:00:00:12"),  # drop-frame of a camera that ran otherwise than the course says
        ("29.97 drop", "10:00:00:12", False, "10:00:00;12"),  # a person types a colon
        ("29.97 drop", "10:01:00:01", True, "10:01:00;02"),  # left out in that minute
        ("29.97 drop", "10:01:00", False, "10:01:00;02"),
        ("60", "10:00:00:59", False, "10:00:00:59"),
    ],
)
def test_a_timecode_that_does_not_fit_the_rate_is_told(
    tmp_path: Path, rate: str, logged: str, told: bool, begins: str
) -> None:
    log = HEAD + f"2027-03-06,1.1.1,1,09:20:00,09:20:49,best,,,A,A01,C1,{logged}\n"
    plan = with_log(tmp_path, log, "", shots=SAID, files={"course.yaml": QUICK + f"frame_rate: {rate}\n"})
    problems = odd_timecodes(plan.takes, plan.course.course.frame_rate)
    assert [(one.code, one.where.file, one.where.line) for one in problems] == [
        ("timecode", "takes/takes.csv", 2)
    ] * told
    assert filmed(sheet(plan))[0].takes[0].timecode == begins
    assert [one.hint.startswith(f"{begins} is used; ") for one in problems] == [True] * told


def test_what_a_take_has_besides_handles_is_said(root: Path, tmp_path: Path) -> None:
    """Slate 21 ends 12 stitches into the next round, of which its hands work none: 24 s at the host's 28 a minute."""
    shutil.copytree(root / "sample_course", tmp_path / "c", ignore=shutil.ignore_patterns("out"))
    (tmp_path / "c" / "takes").mkdir()
    log = "day,slate,shot,take,start,stop,verdict\n2027-02-13,21,2.3.2,1,15:20:00,15:21:22,best\n"
    (tmp_path / "c" / "takes" / "takes.csv").write_text(log, "utf-8")
    plan = lessonplan.plan(tmp_path / "c").plan
    assert plan is not None
    (take,) = filmed_shots(plan)["2.3.2"].takes
    assert take.against == "0:49 without handles and 0:24 of knitting not shown, over plan"
    assert 82 - (5 + 4) - 24 == 49 == take.net


def test_a_take_in_two_clips_and_one_without_are_told_apart(tmp_path: Path) -> None:
    log = HEAD + (
        "2027-03-06,1.1.1,1,09:00:00,09:06:30,best,,,A,A01 A02,A01C0009 A02C0001,01:00:00:00\n"
        "2027-03-06,1.1.2,1,09:10:00,09:16:30,best,,,A,A02,clip 12,01:10:00:00\n"
        "2027-03-06,1.1.3,1,09:20:00,09:26:30,best,,,A,A02,,01:20:00:00\n"
    )
    rows = sheet(with_log(tmp_path, log)).segments[0].shots
    assert [row.filmed.takes[0].file for row in rows[:3] if row.filmed] == [
        "A, A01 A02, A01C0009, then A02C0001 (timecode and timeline: of the first)",
        "A, A02, clip 12",
        "A, A02, no clip noted",
    ]


@pytest.mark.parametrize(
    ("cell", "names"),
    [
        ("", ()),
        ("C0012", ("C0012",)),
        ("C0012 C0013", ("C0012", "C0013")),
        ("C0012; C0013 and C0014", ("C0012", "C0013", "C0014")),
        ("clip 12", ("clip 12",)),
        ("a walk, and a talk", ("a walk, and a talk",)),
        ("card 1 card 2", ("card 1 card 2",)),
    ],
)
def test_a_cell_names_one_clip_or_several(cell: str, names: tuple[str, ...]) -> None:
    assert named_in(cell) == names
