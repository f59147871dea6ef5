"""What other systems do to a course's folder: companions, twins, other forms of names, names that are reserved."""

from __future__ import annotations

import os
import re
import unicodedata
from pathlib import Path

import lessonplan
from tests.small_course import EPISODE, write_course

RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
SECOND = EPISODE.replace("episode: 1", "episode: 2")


def codes(folder: Path) -> list[str]:
    return [problem.code for problem in lessonplan.load(folder).problems]


def test_companions_of_a_file_manager_are_no_files_of_the_course(tmp_path: Path) -> None:
    odd = dict.fromkeys(("._course.yaml", "._pattern.yaml", "episodes/._01.yaml"), "\x00\x05\x16\x07 not for you")
    course = write_course(tmp_path, {**odd, "episodes/.DS_Store": "x", "Thumbs.db": "x", "episodes/desktop.ini": "x"})
    (course / "published").mkdir()
    (course / "published" / "._1.yaml").write_bytes(b"\x00\x05\x16\x07")
    assert codes(course) == []


def test_an_episode_of_any_name_is_read_and_no_paper_has_a_reserved_one(tmp_path: Path, root: Path) -> None:
    name = unicodedata.normalize("NFD", "02 – Schlußstück é.yaml")
    course = write_course(
        tmp_path / "c", {"episodes/con.yaml": SECOND.replace("All of it", "con"), f"episodes/{name}": ""}
    )
    (course / "episodes" / name).write_text(EPISODE.replace("episode: 1", "episode: 3"), encoding="utf-8")
    (course / "course.yaml").write_text((course / "course.yaml").read_text().replace("[1]", "[1, 2, 3]"))
    result = lessonplan.build(course, tmp_path / "out")
    assert result.plan is not None, result.problems
    assert [episode.episode for episode in result.plan.course.episodes] == [1, 2, 3]
    written = os.listdir(tmp_path / "out")
    assert not [one for one in written if RESERVED.fullmatch(one) or one != one.rstrip(". ") or not one.isascii()]
    assert len({one.lower() for one in written}) == len(written), "two names that are one elsewhere"
    assert not [one for one in written if re.search(r'[<>:"/\\|?*]', one)]


def test_twins_but_for_their_letters_are_two_episodes_with_one_number(tmp_path: Path) -> None:
    course = write_course(
        tmp_path, {"episodes/01-Cuff.yaml": EPISODE, "episodes/01.yaml": "", "episodes/01-cuff.yaml": EPISODE}
    )
    assert codes(course) == ["episode-number"]


def test_line_ends_and_marks_of_other_systems_change_nothing(tmp_path: Path) -> None:
    plain = lessonplan.load(write_course(tmp_path / "a")).worked
    other = write_course(tmp_path / "b")
    for path in other.rglob("*.yaml"):
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    found = lessonplan.load(other).worked
    assert plain is not None
    assert found is not None
    assert {name: fact.values for name, fact in found.facts.items()} == {
        name: fact.values for name, fact in plain.facts.items()
    }
