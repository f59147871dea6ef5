"""What stands in the files of a first course for each answer, without planning it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from lessonplan.beginning.folder import begin, files, is_free
from lessonplan.beginning.questions import AnswerError, answers_of, questions
from lessonplan.beginning.sources import Sources, begin_from

TODAY = date(2027, 1, 4)
EPISODES = ["episodes/01.yaml", "episodes/02.yaml", "episodes/03.yaml", "episodes/04.yaml", "episodes/05.yaml"]


def written(**asked: str) -> dict[str, Any]:
    """The files of a course by their paths, as any reader of YAML has them."""
    texts = files(answers_of({"shoot": "2027-03-13", **asked}, TODAY))
    return {path: yaml.safe_load(text.replace("join: yes", "join: true")) for path, text in texts.items()}


@pytest.mark.parametrize(
    ("made", "markers", "waste", "gauge", "tool", "fits"),
    [
        # Common practice: markers for sections, gussets, the beginning of a round and a middle; in rows none.
        ("hat", True, False, (20, 28), "4.5 mm", "around"),
        ("mittens", True, True, (20, 28), "4.5 mm", "around"),
        ("socks", True, True, (20, 28), "4.5 mm", "around"),
        ("scarf", False, False, (20, 28), "4.5 mm", "wide"),
        ("cowl", True, False, (20, 28), "4.5 mm", "around"),
        ("shawl", True, False, (20, 28), "4.5 mm", None),
        ("crochet hat", False, False, (16, 17), "5 mm", "around"),
        ("crochet scarf", False, False, (14, 8), "5 mm", "wide"),
        ("crochet cowl", False, False, (14, 11), "5 mm", "around"),
        ("crochet square", False, False, (14, 8), "5 mm", None),
    ],
)
def test_what_is_offered_for_each_thing(
    made: str, markers: bool, waste: bool, gauge: tuple[int, int], tool: str, fits: str | None
) -> None:
    pattern = written(made=made)["pattern.yaml"]
    notions = pattern["notions"]
    assert ("stitch markers" in notions, "smooth waste yarn" in notions) == (markers, waste)
    assert {"blunt darning needle", "scissors"} <= {*notions}
    assert len(notions) == len({*notions}) == 2 + markers + waste
    assert (pattern["gauge"]["stitches"], pattern["gauge"]["rounds"]) == gauge
    assert pattern["gauge"]["needle"].startswith(tool)
    if fits is not None:
        assert all(size["fits"].endswith(fits) for size in pattern["sizes"])


@pytest.mark.parametrize("made", ["hat", "mittens", "socks", "scarf", "shawl", "crochet hat", "something else"])
def test_an_episode_is_called_after_its_first_part_of_its_own_and_all_parts_are_shared_out(made: str) -> None:
    whole = [part["title"] for part in written(made=made, episodes="1")["episodes/01.yaml"]["segments"]]
    for count in (1, 2, 3)[: len(whole)]:
        found = written(made=made, episodes=str(count), shoot="2027-03-13")
        parts = [[part["title"] for part in found[path]["segments"]] for path in EPISODES[:count]]
        assert [title for each in parts for title in each] == whole
        assert max(map(len, parts)) - min(map(len, parts)) <= 1
        titles = [found[path]["title"] for path in EPISODES[:count]]
        assert titles == [parts[0][min(1, len(parts[0]) - 1)], *(each[0] for each in parts[1:])], "welcome is no title"


@pytest.mark.parametrize(
    ("sizes", "recipient", "film"),
    [
        ("12 months", "child under 3", "12 months"),
        ("12 months, adult", "child under 3", "adult"),
        ("child, adult", "child", "adult"),
        ("child, adult, large adult", "child", "adult"),
        ("adult, large adult", None, "large adult"),
    ],
)
def test_a_childs_size_says_for_whom_it_is(sizes: str, recipient: str | None, film: str) -> None:
    course = written(made="hat", sizes=sizes)["course.yaml"]
    assert (course.get("recipient"), course["film_size"]) == (recipient, film)


def days(shoot: str, episodes: str) -> Mapping[str, str]:
    found = written(made="socks", shoot=shoot, episodes=episodes)["course.yaml"]["shoot"]
    return {str(day["day"]): str(day["films"]) for day in found}


def test_each_day_films_its_share_of_the_episodes() -> None:
    assert days("2027-03-13", "3") == {"2027-03-13": "1, 2, 3"}
    assert days("2027-03-14, 2027-03-13", "4") == {"2027-03-13": "1, 2", "2027-03-14": "3, 4"}
    assert days("2027-03-13, 2027-03-14, 2027-03-20", "3") == {
        "2027-03-13": "1", "2027-03-14": "2", "2027-03-20": "3",
    }  # fmt: skip


def test_answers_stand_in_the_files_as_they_were_given() -> None:
    found = written(
        made="mittens", title="Two Hands", host="Ada", knitters="Bo, Cy", hours="7", pace="31", needle="3.5 mm",
        gauge="22 x 30 to 4 in", colours="oatmeal, blue", sizes="adult small",
    )  # fmt: skip
    course, pattern = found["course.yaml"], found["pattern.yaml"]
    assert (course["title"], course["host"], pattern["title"]) == ("Two Hands", "Ada", "Two Hands")
    assert [(one["name"], one["pace"], one["hours_per_week"], one["starts"]) for one in course["knitters"]] == [
        ("Bo", 31, 7, TODAY), ("Cy", 31, 7, TODAY),
    ]  # fmt: skip
    assert (course["pace"]["knitting"], course["pace"]["on_camera"]) == (31, 16)  # half as fast in front of it
    gauge = pattern["gauge"]
    assert (gauge["stitches"], gauge["rounds"], gauge["over"], gauge["needle"]) == (22, 30, "4 in", "3.5 mm")
    assert [(key, yarn["colour"]) for key, yarn in pattern["yarns"].items()] == [("A", "oatmeal"), ("B", "blue")]
    # 6.5 to 7 in around are 165.1 to 177.8 mm; 22 to 4 in at the widest are 38.5, so 40 in rib.
    assert pattern["sizes"][0]["fits"] == "16.5 to 17.8 cm (6½ to 7 in) around"
    assert written(made="hat", pace="6")["course.yaml"]["pace"]["on_camera"] == 4, "never slower"


def test_ends_are_counted_by_yarns() -> None:
    for colours, ends in (("oatmeal", 2), ("oatmeal, blue", 4)):
        works = written(made="hat", colours=colours)["pattern.yaml"]["stages"]["ends"]["works"]
        assert works == [{"weave_ends": ends}]


def test_more_episodes_than_parts_are_refused_with_how_many_there_are() -> None:
    assert len(written(made="something else", episodes="1")["episodes/01.yaml"]["segments"]) == 2
    assert len(written(made="something else", episodes="2")) == 2 + 2
    with pytest.raises(AnswerError, match="There are 2 parts to show, so there are 2 episodes at most"):
        written(made="something else", episodes="3")


@pytest.mark.parametrize(
    ("names", "free"),
    [
        ((), True), ((".hidden",), True), (("schema/course.json",), True), (("schema/course.json", ".git/x"), True),
        (("schema/mine.json",), False), (("schema",), False), (("notes.txt",), False), (("other/course.json",), False),
    ],
)  # fmt: skip
def test_what_is_in_a_folder_that_may_be_begun_in(tmp_path: Path, names: tuple[str, ...], free: bool) -> None:
    for name in names:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("")
    assert is_free(tmp_path) is free
    answers = answers_of({"shoot": "2027-03-13"}, TODAY)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    if not free:
        with pytest.raises(FileExistsError, match="is there and not empty"):
            begin(tmp_path, answers)
        assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}


def test_a_course_begun_names_its_files_and_days(tmp_path: Path) -> None:
    answers = answers_of({"made": "cowl", "shoot": "2027-03-13", "episodes": "2"}, TODAY)
    made, days = begin(tmp_path / "new", answers)
    names = {path.relative_to(tmp_path / "new").as_posix() for path in made}
    assert {"course.yaml", "pattern.yaml", "episodes/01.yaml", "episodes/02.yaml"} < names
    assert all(path.is_file() for path in made)
    assert any(name.startswith("schema/") for name in names)
    assert days == (date(2027, 3, 13),)
    first = (tmp_path / "new" / "course.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("#")
    assert "schema/course" in first


PRINT = """\
A Band

Band
Cast on 20 sts. Join in the round.
Rnd 1: Knit.
Rep rnd 1 until piece measures 10 cm.
Bind off.
"""


def test_a_gauge_that_is_asked_for_after_the_pattern_was_read_is_the_courses(tmp_path: Path) -> None:
    (tmp_path / "band.txt").write_text(PRINT)
    asked: list[str] = []

    def ask(texts: Mapping[str, str]) -> Mapping[str, str]:
        asked.extend(one.name for one in questions(texts) if one.name not in texts)
        return {"gauge": "10 x 16 to 10 cm", "shoot": "2027-03-13", "episodes": "1", **texts}

    begin_from(tmp_path / "own", {}, TODAY, Sources(pattern=tmp_path / "band.txt"), ask)
    assert "gauge" in asked
    assert not {"title", "sizes", "colours", "needle"} & {*asked}, "print tells them"
    pattern = yaml.safe_load((tmp_path / "own" / "pattern.yaml").read_text(encoding="utf-8"))
    assert (pattern["gauge"]["stitches"], pattern["gauge"]["rounds"]) == (10, 16)
    assert pattern["title"] == "A Band"
    assert "film_size" not in (tmp_path / "own" / "course.yaml").read_text(encoding="utf-8"), "there is one size"


def test_a_gauge_in_the_print_is_not_asked_for_and_stands(tmp_path: Path) -> None:
    (tmp_path / "band.txt").write_text(
        PRINT.replace("Band\nCast", "GAUGE\n18 sts and 24 rnds = 10 cm\n\nBAND\nCast", 1)
    )
    asked: list[str] = []

    def ask(texts: Mapping[str, str]) -> Mapping[str, str]:
        asked.extend(one.name for one in questions(texts) if one.name not in texts)
        return {"shoot": "2027-03-13", "episodes": "1", **texts}

    begin_from(tmp_path / "own", {}, TODAY, Sources(pattern=tmp_path / "band.txt"), ask)
    assert "gauge" not in asked
    pattern = yaml.safe_load((tmp_path / "own" / "pattern.yaml").read_text(encoding="utf-8"))
    assert (pattern["gauge"]["stitches"], pattern["gauge"]["rounds"]) == (18, 24)
