"""What is kept of the takes is never given up: not for what cannot be read, not for another run, not for a kill."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from lessonplan.course.files import locked
from lessonplan.planning.filmed.kepttakes import KEPT
from lessonplan.planning.filmed.taking import Taken, take_in
from lessonplan.planning.worked import LEARNT
from tests.small_course import COURSE, write_course

HEAD = "id,device,day,shot,take,start,stop,verdict,slip,note\n"
KEPT_TAKES = "".join(
    f"a-{n},a,2027-03-06,1.1.1,{n},09:5{n}:00,09:5{n}:40,again,,{'étape' if n == 1 else ''}\n" for n in range(1, 6)
)
NEW = HEAD + "b-1,b,2027-03-06,1.1.1,9,11:00:00,11:01:00,good,,\n"


@pytest.fixture
def course(tmp_path: Path) -> Path:
    """A course that has kept five takes, with a log of one more beside it."""
    course = write_course(tmp_path / "c")
    (tmp_path / "old.csv").write_text(HEAD + KEPT_TAKES, encoding="utf-8")
    (tmp_path / "new.csv").write_text(NEW, encoding="utf-8")
    take(course, "old.csv")
    return course


def take(course: Path, *logs: str, learn: bool = False) -> Taken:
    _, taken = take_in(course, [course.parent / log for log in logs], write_learnt=learn)
    assert taken is not None
    return taken


def codes(taken: Taken) -> list[str]:
    return [problem.code for problem in taken.problems if problem.severity == "error"]


SPOILT: dict[str, Callable[[str], bytes]] = {
    "saved in another encoding": lambda text: text.encode("cp1252"),
    "the first line lost": lambda text: text.split("\n", 1)[1].encode(),
    "one day mistyped": lambda text: text.replace("a-3,a,2027-03-06", "a-3,a,06.03.2027").encode(),
    "a time in words": lambda text: text.replace("09:53:40", "about ten").encode(),
    "a verdict of one's own": lambda text: text.replace("again", "perfect", 1).encode(),
    "a stop before the start": lambda text: text.replace("09:53:40", "08:53:40").encode(),
    "a quotation mark left open": lambda text: text.replace("étape", '"étape').encode(),
    "a cell too many": lambda text: text.replace("étape", "étape,mine").encode(),
    "a column twice": lambda text: text.replace("note\n", "note,note\n").replace("étape", "étape,mine").encode(),
    "a column without a name": lambda text: text.replace("\n", ",\n").replace("étape,", "étape,mine").encode(),
    "one id for two takes": lambda text: text.replace("a-4,a", "a-3,a").encode(),
    "a workbook": lambda text: b"PK\x03\x04" + text.encode(),
    "emptied": lambda text: b"",
    "cut in the middle of a sign": lambda text: text.encode()[: text.encode().index("é".encode()) + 1],
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_kept_file_that_is_not_read_in_full_stays_as_it_is(course: Path, how: str) -> None:
    spoilt = SPOILT[how]((course / KEPT).read_text(encoding="utf-8-sig"))
    (course / KEPT).write_bytes(spoilt)
    taken = take(course, "new.csv", learn=True)
    assert (course / KEPT).read_bytes() == spoilt
    assert os.listdir(course / "takes") == ["takes.csv"]
    assert not (course / LEARNT).exists(), "what is learnt from half the takes is not kept either"
    assert {"not-kept", "not-written"} <= set(codes(taken))
    assert all(problem.where.file in (KEPT, LEARNT) for problem in taken.problems if problem.severity == "error")


def test_what_takes_nothing_away_does_not_stand_in_the_way(course: Path) -> None:
    text = (course / KEPT).read_text(encoding="utf-8-sig")
    text = text.replace("09:53:40", "").replace("a-4,a,2027-03-06,1.1.1", "a-4,a,2027-03-06,7.7.7")
    (course / KEPT).write_text(text.replace("09:55:00", "9.55 am"), encoding="utf-16")
    taken = take(course, "new.csv")
    lines = (course / KEPT).read_text(encoding="utf-8-sig").splitlines()
    assert codes(taken) == []
    assert [line.split(",")[0] for line in lines[1:]] == ["a-1", "a-2", "a-3", "a-4", "a-5", "b-1"]
    assert "a-4,a,2027-03-06,7.7.7,4,09:54:00,09:54:40,again,," in lines


def test_columns_of_ones_own_survive(course: Path) -> None:
    lines = (course / KEPT).read_text(encoding="utf-8-sig").splitlines()
    lenses = ["Lens", "35 mm", "50 mm; macro", "", "=35", ""]
    lit = ["lit?", "no", "", "", "-", ""]
    widened = [f"{one},{line},{two}" for one, line, two in zip(lenses, lines, lit, strict=True)]
    (course / KEPT).write_text("\n".join(widened), encoding="utf-8")
    taken = take(course, "new.csv", "old.csv")
    assert codes(taken) == []
    kept = (course / KEPT).read_text(encoding="utf-8-sig").splitlines()
    assert kept[0] == "id,device,day,shot,take,start,stop,verdict,slip,note,Lens,lit?"
    ends = [line.split(",")[10:] for line in kept[1:]]
    assert ends == [["35 mm", "no"], ["50 mm; macro", ""], ["", ""], ["'=35", "'-"], ["", ""], ["", ""]]
    assert take(course, "old.csv").takes == taken.takes
    assert (course / KEPT).read_text(encoding="utf-8-sig").splitlines() == kept


def test_a_line_mended_by_hand_is_not_undone_by_the_log_it_came_from(course: Path) -> None:
    take(course, "new.csv")
    text = (course / KEPT).read_text(encoding="utf-8-sig")
    (course / KEPT).write_text(text.replace("good", "again").replace("again", "good", 1), encoding="utf-8")
    take(course, "old.csv", "new.csv")
    verdicts = [one.verdict for one in take(course).takes]
    assert verdicts == ["good", "again", "again", "again", "again", "again"]


def test_more_takes_than_can_be_read_again_are_refused_before_they_are_written(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    for name in "ab":
        rows = (f"{name}-{n},{name},2027-03-06,1.1.1,{n},,,,,{'long ' * 600}" for n in range(1, 999))
        (tmp_path / f"{name}.csv").write_text(HEAD + "\n".join(rows), encoding="utf-8")
    take(course, "a.csv")
    before = (course / KEPT).read_bytes()
    assert 2_900_000 < len(before) < 3_100_000
    taken = take(course, "b.csv")
    assert codes(taken) == ["too-big", "not-kept"], "a log may have 5 MB"
    assert (course / KEPT).read_bytes() == before


def test_runs_at_once_lose_nothing(tmp_path: Path) -> None:
    course = write_course(tmp_path / "c")
    words = [sys.executable, "-m", "lessonplan", "takes", str(course), "--learn"]
    runs = []
    for name in "abcd":
        (tmp_path / f"{name}.csv").write_text(NEW.replace("b-1,b", f"{name}-1,{name}"), encoding="utf-8")
        runs.append(subprocess.Popen([*words, str(tmp_path / f"{name}.csv")], stdout=subprocess.DEVNULL))
    assert [run.wait(120) for run in runs] == [0, 0, 0, 0]
    kept = (course / KEPT).read_text(encoding="utf-8-sig").splitlines()[1:]
    assert sorted(line.split(",")[0] for line in kept) == ["a-1", "b-1", "c-1", "d-1"]
    assert sorted(os.listdir(course)) == ["course.yaml", "episodes", "learnt.yaml", "pattern.yaml", "takes"]


def test_a_run_waits_for_one_that_is_writing(course: Path) -> None:
    words = [sys.executable, "-m", "lessonplan", "takes", str(course), str(course.parent / "new.csv")]
    with locked(course):
        waiting = subprocess.Popen(words, stdout=subprocess.DEVNULL)
        with pytest.raises(subprocess.TimeoutExpired):
            waiting.wait(6)
        with (course / KEPT).open("a", encoding="utf-8") as file:
            file.write("z-1,z,2027-03-06,1.1.1,7,13:00:00,13:01:00,,,\r\n")
    assert waiting.wait(120) == 0
    assert {t.id for t in take(course).takes} == {"a-1", "a-2", "a-3", "a-4", "a-5", "b-1", "z-1"}


def test_takes_that_lead_out_of_the_course_are_not_written(course: Path, tmp_path: Path) -> None:
    (course / KEPT).rename(tmp_path / "mine.csv")
    before = (tmp_path / "mine.csv").read_bytes()
    (course / KEPT).symlink_to(tmp_path / "mine.csv")
    assert codes(take(course, "new.csv")) == ["outside", "not-kept"]
    assert (tmp_path / "mine.csv").read_bytes() == before
    assert (course / KEPT).is_symlink()


@pytest.mark.parametrize("name", ["pipe", "takes/takes.csv"])
def test_a_pipe_is_no_log(course: Path, name: str) -> None:
    (course / KEPT).unlink()
    path = course / KEPT if name == KEPT else course.parent / name
    os.mkfifo(path)
    taken = take(course, "new.csv" if name == KEPT else name)
    assert "not-a-file" in codes(taken)


def test_learnt_paces_are_written_over_only_while_nobody_changed_them(course: Path) -> None:
    first = take(course, learn=True)
    assert first.written == (course / LEARNT).resolve()
    written = (course / LEARNT).read_text(encoding="utf-8")
    assert take(course, "new.csv", learn=True).written, "as it was written it may be written anew"
    anew = (course / LEARNT).read_text(encoding="utf-8")
    assert anew != written
    for changed in (anew.replace("# Paces", "# My paces"), anew.replace("value: ", "value:  ", 1), "speech: 120\n", ""):
        (course / LEARNT).write_text(changed, encoding="utf-8")
        taken = take(course, learn=True)
        assert (taken.written, codes(taken)) == (None, ["not-written"])
        assert (course / LEARNT).read_text(encoding="utf-8") == changed
    (course / LEARNT).write_bytes(anew.replace("\n", "\r\n").encode())
    assert take(course, learn=True).written, "other line ends are no change"


def test_learning_from_a_file_that_is_wrong_writes_nothing_and_keeps_the_takes(course: Path) -> None:
    (course / "course.yaml").write_text(COURSE + "learnt: last.yaml\n", encoding="utf-8")
    (course / "last.yaml").write_text("speech: {value: lots, n: 3}\n", encoding="utf-8")
    taken = take(course, "new.csv", learn=True)
    assert codes(taken) == ["learnt", "not-written"]
    assert not (course / LEARNT).exists()
    assert "b-1" in (course / KEPT).read_text(encoding="utf-8-sig")


def test_from_no_take_nothing_is_learnt(tmp_path: Path) -> None:
    folder = write_course(tmp_path / "c")
    (tmp_path / "log.csv").write_bytes(b"\x00\x01 no log at all")
    _, taken = take_in(folder, [tmp_path / "log.csv"], write_learnt=True)
    assert taken is not None
    assert [one.severity for one in taken.problems] == ["error"]
    assert taken.written is None
    assert not (folder / "learnt.yaml").exists()
