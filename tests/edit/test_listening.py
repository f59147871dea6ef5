"""``lessonplan pace`` as a person runs it: what it writes, what the next plan uses, and how it lives beside takes."""

from __future__ import annotations

import hashlib
import json
import random
from pathlib import Path

import pytest

import lessonplan
from lessonplan.planning.filmed.taking import take_in
from lessonplan.shoot.takes.learnt import Estimate, Learnt
from lessonplan.shoot.takes.learntfile import learnt_yaml, read_learnt
from tests.command import run
from tests.edit.speaking import Host, as_rolling, as_subrip, as_transcript, as_webvtt, video
from tests.small_course import COURSE, write_course

LOG = """\
id,device,day,shot,take,start,stop,verdict,slip,note
a-1,a,2027-03-06,1.1.1,1,09:50:00,09:51:10,again,,
a-2,a,2027-03-06,1.1.1,2,09:53:00,09:54:00,good,,
"""


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    """A folder with captions of a host of 160 words a minute, in each form."""
    chance = random.Random(7)
    for name, form in (("a.vtt", as_webvtt), ("b.srt", as_subrip), ("c.txt", as_transcript), ("d.vtt", as_rolling)):
        (tmp_path / name).write_text(form(video(Host(160), 12, chance)), encoding="utf-8")
    return tmp_path


def learnt(course: Path) -> Learnt:
    found, problems = read_learnt((course / "learnt.yaml").read_bytes(), "learnt.yaml")
    assert problems == ()
    return found


def speech(course: Path) -> tuple[float, float | None]:
    result = lessonplan.load(course)
    assert result.worked is not None, result.problems
    pace = result.worked.course.course.pace
    return pace.speech, pace.over_all


def test_what_is_heard_is_written_and_used_by_the_next_plan(talk: Path) -> None:
    course = write_course(talk / "c")
    assert speech(course) == (135, None)
    done = run("pace", course, *(talk / name for name in ("a.vtt", "b.srt", "c.txt", "d.vtt")))
    assert done.returncode == 0, done.stderr
    assert "The next plan uses from captions: speech and over_all." in done.stderr
    rest, whole = learnt(course).captions
    assert rest.low <= 160 <= rest.high
    assert (rest.default, rest.sure) == (135, "many")
    assert speech(course) == (rest.value, whole.value)
    for words in (f"{rest.value:.0f}", f"{rest.low:.0f} to {rest.high:.0f}", "a.vtt", "SubRip", "transcript"):
        assert words in done.stdout
    assert run("check", course).returncode == 0
    times = run("times", course).stdout
    assert f"At the host's {whole.value:.0f} words a minute over all of a video so many words run 0:03." in times
    assert json.loads(run("times", course, "--json").stdout)["over_all_seconds"] == {"1": round(60 * 5 / whole.value)}


def test_what_the_course_sets_itself_goes_before(talk: Path) -> None:
    course = write_course(talk / "c", {"course.yaml": COURSE + "pace: {speech: 120}\n"})
    done = run("pace", course, talk / "a.vtt")
    assert "The next plan uses from captions: over_all. Set in course.yaml, and used from there: speech." in done.stderr
    assert speech(course)[0] == 120
    (course / "course.yaml").write_text(COURSE + "learnt: other.yaml\n", encoding="utf-8")
    (course / "other.yaml").write_text("speech: {value: 111, n: 3}\n", encoding="utf-8")
    assert "uses nothing of it: course.yaml names other.yaml" in run("pace", course, talk / "a.vtt").stderr
    assert speech(course)[0] == 111


@pytest.mark.parametrize("takes_first", [True, False])
def test_takes_and_captions_do_not_wipe_each_other(talk: Path, takes_first: bool) -> None:
    course = write_course(talk / "c")
    (talk / "log.csv").write_text(LOG, encoding="utf-8")

    def takes() -> None:
        _, taken = take_in(course, [talk / "log.csv"], write_learnt=True)
        assert taken is not None
        assert taken.written

    if takes_first:
        takes()
    run("pace", course, talk / "a.vtt")
    if not takes_first:
        takes()
    both = learnt(course)
    assert both.find("set_up") is not None
    assert [one.name for one in both.captions] == ["speech", "over_all"]
    done = run("takes", course, "--learn")
    assert "The next plan uses from takes: " in done.stderr
    assert "From captions: speech and over_all." in done.stderr
    assert learnt(course) == both
    run("pace", course, talk / "b.srt")
    assert learnt(course).estimates == both.estimates
    assert learnt(course).captions != both.captions


def test_of_two_that_know_a_pace_the_surer_counts() -> None:
    wide = Estimate("speech", 135, 150, 100, 200, 3, "few")
    narrow = Estimate("speech", 135, 160, 155, 165, 30, "many")
    none = Estimate("speech", 135, 135, 134, 136, 0, "none")
    assert Learnt((wide,), (narrow,)).used == (narrow,)
    assert Learnt((narrow,), (wide,)).used == (narrow,)
    assert Learnt((none,), (wide,)).used == (wide,)
    assert Learnt((none,)).used == ()


def test_the_file_with_both_comes_back_equal() -> None:
    both = Learnt(
        (Estimate("speech", 135.0, 150.0, 100.0, 200.0, 3, "few"),),
        (
            Estimate("speech", 135.0, 160.0, 155.0, 165.0, 30, "many"),
            Estimate("over_all", 90.0, 90.0, 80.0, 99.0, 7, "some"),
        ),
    )
    assert read_learnt(learnt_yaml(both).encode(), "learnt.yaml") == (both, ())


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("captions: 3\n", 1, "speech and over_all"),
        ("captions:\n  set_up: {value: 3, n: 1}\n", 2, "no pace"),
        ("over_all: {value: 90, n: 1}\n", 1, "no pace"),
        ("captions:\n  over_all:\n    value: 900\n    n: 4\n", 3, "5 to 240"),
    ],
)
def test_captions_in_the_file_that_are_wrong_are_told_of_with_their_line(text: str, line: int, word: str) -> None:
    found, problems = read_learnt(text.encode(), "learnt.yaml")
    assert found == Learnt(())
    assert [problem.where.line for problem in problems] == [line]
    assert word in problems[0].message


def test_a_file_that_a_person_wrote_is_not_written_over(talk: Path) -> None:
    course = write_course(talk / "c", {"learnt.yaml": "speech: {value: 120, n: 9}\n"})
    done = run("pace", course, talk / "a.vtt")
    assert (done.returncode, (course / "learnt.yaml").read_text()) == (1, "speech: {value: 120, n: 9}\n")
    assert "learnt.yaml:0:0: error not-written" in done.stderr


def test_what_of_the_file_cannot_be_read_is_not_lost(talk: Path) -> None:
    """The seal is right, but a figure in it is beyond what this version believes."""
    text = "set_up:\n  value: 9000\n  n: 3"
    digest = hashlib.sha256(text.encode()).hexdigest()
    sealed = f"{text}\n# Written by lessonplan, and written over by it only while unchanged: {digest}\n"
    course = write_course(talk / "c", {"learnt.yaml": sealed})
    done = run("pace", course, talk / "a.vtt")
    assert (done.returncode, (course / "learnt.yaml").read_text()) == (1, sealed)
    assert done.stderr.startswith("learnt.yaml:2:10: error learnt: 9000 is beyond")


def test_what_cannot_be_read_is_one_sentence_and_nothing_is_written(talk: Path) -> None:
    course = write_course(talk / "c")
    with (talk / "film.vtt").open("wb") as film:
        film.truncate(100_000_000)  # sparse: takes no place on the disk
    (talk / "empty.srt").write_bytes(b"")
    for name, code in (("film.vtt", "too-big"), ("empty.srt", "empty-file"), ("c/pattern.yaml", "not-captions")):
        done = run("pace", course, talk / "a.vtt", talk / name)
        assert done.returncode == 1
        first, last = done.stderr.splitlines()
        assert first.startswith(f"{Path(name).name}:0:0: error {code}: ")
        assert last.startswith("learnt.yaml:0:0: error not-written: ")
    assert not (course / "learnt.yaml").exists()
    assert run("pace", course, talk / "nowhere.vtt").returncode == 3
    assert run("pace", course).returncode == 2
    assert run("pace", talk / "nowhere", talk / "a.vtt").returncode == 1


def test_the_same_as_data(talk: Path) -> None:
    course = write_course(talk / "c")
    data = json.loads(run("pace", course, talk / "a.vtt", "--json").stdout)
    assert [(one["file"], one["form"]) for one in data["captions"]] == [("a.vtt", "WebVTT")]
    assert data["captions"][0]["minutes"] == pytest.approx(12, abs=1)
    rest, whole = learnt(course).captions
    assert (data["learnt"]["speech"]["value"], data["learnt"]["over_all"]["low"]) == (rest.value, whole.low)
    assert (data["learnt"]["speech"]["planned"], data["problems"]) == (135, [])


def test_help_shows_an_example() -> None:
    assert "Example: lessonplan pace sample_course" in " ".join(run("pace", "--help").stdout.split())
