"""Papers made one by one, and a course planned again and again in one process: always as a fresh process would."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from lessonplan.building import Papers
from lessonplan.planning.plan import plan
from lessonplan.publish.remarks import checked
from tests.small_course import write_course

EPISODE, PATTERN, COURSE = "episodes/01-hat.yaml", "pattern.yaml", "course.yaml"
EDITS: tuple[tuple[str, str, str], ...] = (
    (EPISODE, "you need", "one need"),
    (EPISODE, "title: The first lamp", "title: A lamp"),
    (EPISODE, "time: 20 s", "time: 8 min"),
    (EPISODE, "- needs: brim round 6", "- needs: brim round 8"),
    (EPISODE, "takes: 3", "takes: 2"),
    (PATTERN, "- cast_on: 84 (96, 108)", "- cast_on: 72 (84, 96)"),
    (PATTERN, "- rounds: 16 (18, 20)", "- rounds: 14 (18, 20)"),
    (PATTERN, "title: Lanternway Hat\n", "# A hat.\n\ntitle: Lanternway Hat\n"),
    (COURSE, "knitting: 26", "knitting: 19"),
    (COURSE, "camera_may_wait: 2 min", "camera_may_wait: 9 min"),
    (COURSE, "film_size: Youth", "film_size: Adult"),
)
"""Changes of the hat's files, each undone when it is made again."""
BROKEN = (
    (PATTERN, "*K2, p2; rep from * to end", "*K2, p3; rep from * to end"),
    (COURSE, "place: The Drying Room", "place: [The Drying Room"),
)
"""Changes that leave no plan: a line that does not come out, a file that cannot be read."""
PROGRAM = "import sys; from tests.test_papers import made; print(made(sys.argv[1]))"


def made(folder: str) -> str:
    """Plan a course and digest all that is told of it: its problems, and its files but those that typst prints."""
    result = checked(folder)
    told = {"problems": [str(one) for one in result.problems]}
    if result.plan:
        papers = Papers(result.plan)
        told |= {one: [sha256(papers.file(one)).hexdigest()] for one in papers.names if not one.endswith(".pdf")}
    return json.dumps(told)


def test_planned_again_after_any_edits_is_as_planned_by_a_fresh_process(root: Path, tmp_path: Path) -> None:
    course, random = tmp_path / "hat", Random(7)
    shutil.copytree(root / "tests" / "courses" / "hat", course)
    for step in range(12):
        for file, before, after in random.sample(EDITS, 2):
            _toggle(course / file, before, after)
        if step in (4, 7):
            file, before, after = BROKEN[step == 7]
            _toggle(course / file, before, after)
            assert list(json.loads(made(str(course)))) == ["problems"]
            _toggle(course / file, before, after)
        assert plan(course).plan
        if step % 4 == 3:
            live = made(str(course))
            fresh = subprocess.run([sys.executable, "-c", PROGRAM, course], cwd=root, capture_output=True, check=True)
            assert json.loads(live) == json.loads(fresh.stdout)


def _toggle(path: Path, before: str, after: str) -> None:
    text = path.read_text(encoding="utf-8")
    old, new = (before, after) if before in text and after not in text else (after, before)
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_words_that_are_edited_leave_pattern_and_choice_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    course = write_course(tmp_path)
    episode = course / "episodes" / "01.yaml"
    before = plan(course).plan

    def never(*_: object, **__: object) -> None:
        raise AssertionError("worked again")

    monkeypatch.setattr("lessonplan.pattern.working.stages.do", never)
    monkeypatch.setattr("lessonplan.samples.choice.choose.choose", never)
    _toggle(episode, "We cast on", "Come, let us cast on")
    after = plan(course).plan
    assert before
    assert after
    assert after.course.episodes[0].segments[0].shots[0].say.startswith("Come")
    assert after.worked.pattern is before.worked.pattern
    assert after.choice == before.choice
    _toggle(episode, "leaves: edge round 1", "leaves: edge round 2")
    with pytest.raises(AssertionError, match="worked again"):
        plan(course)
    _toggle(episode, "leaves: edge round 1", "leaves: edge round 2")
    _toggle(course / "pattern.yaml", "- rounds: 10", "- rounds: 11")
    with pytest.raises(AssertionError, match="worked again"):
        plan(course)


@pytest.fixture(scope="module")
def sample(root: Path) -> Papers:
    planned = plan(root / "sample_course").plan
    assert planned
    return Papers(planned)


def test_the_names_are_those_of_the_files_that_a_build_writes(sample: Papers, sample_output: Path) -> None:
    written = {path.name for path in sample_output.iterdir() if not path.name.startswith(".")}
    assert sorted(sample.names) == sorted(written)


@pytest.mark.parametrize("ending", [".html", ".csv", ".vtt", ".ics", ".atom"])
def test_a_paper_made_alone_has_the_bytes_of_the_build(sample: Papers, sample_output: Path, ending: str) -> None:
    make: Callable[[str], bytes] = sample.html if ending == ".html" else sample.file
    names = [name for name in sample.names if name.endswith(ending)]
    assert names
    assert [name for name in names if make(name) != (sample_output / name).read_bytes()] == []


def test_other_names_are_refused(sample: Papers) -> None:
    for name in ("nothing.html", "handout", "handout.pdf", "../index.html"):
        with pytest.raises(KeyError):
            sample.html(name)
