"""Shots keep their slates when segments are moved, added and reworded: followed by hand through what a teacher does."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from lessonplan.course.names.slates import slates_of
from lessonplan.course.read import load
from tests.small_course import write_course

AGREED = """\
on: 2027-01-02
shots:
  - {slate: 1, shot: 1.1.1, segment: Casting on, title: The knot, begins: first a knot}
  - {slate: 2, shot: 1.1.2, segment: Casting on, title: The edge, begins: then the edge}
  - {slate: 3, shot: 1.2.1, segment: Ribbing, title: Two and two, begins: knit two purl two}
  - {slate: 4, shot: 1.2.2, segment: Ribbing, begins: and so on}
"""
CASTING = """\
  - title: Casting on
    shots:
      - {view: overhead, title: The knot, say: First a knot}
      - {view: overhead, title: The edge, say: Then the edge}
"""
RIBBING = """\
  - title: Ribbing
    shots:
      - {view: overhead, title: Two and two, say: "Knit two, purl two"}
      - {view: overhead, say: And so on}
"""
NEW = """\
  - title: Hello
    shots:
      - {view: face, say: Good morning}
"""


def slates(folder: Path, segments: str, agreed: str = AGREED) -> tuple[Mapping[str, int], list[str]]:
    episode = f"episode: 1\ntitle: All of it\nsegments:\n{segments}"
    course = load(write_course(folder, {"episodes/01.yaml": episode, "agreed.yaml": agreed})).course
    assert course is not None
    found, problems = slates_of(course)
    return {str(number): slate for number, slate in found.items()}, [str(problem) for problem in problems]


def test_nothing_changed(tmp_path: Path) -> None:
    assert slates(tmp_path, CASTING + RIBBING) == ({"1.1.1": 1, "1.1.2": 2, "1.2.1": 3, "1.2.2": 4}, [])


def test_segments_moved_and_one_added(tmp_path: Path) -> None:
    found, problems = slates(tmp_path, NEW + RIBBING + CASTING)
    assert found == {"1.2.1": 3, "1.2.2": 4, "1.3.1": 1, "1.3.2": 2}
    assert problems == []


def test_a_shot_reworded_in_its_place_is_the_same_shot(tmp_path: Path) -> None:
    found, problems = slates(tmp_path, CASTING + RIBBING.replace("And so on", "Until it is long enough"))
    assert found["1.2.2"] == 4
    assert problems == []


def test_a_shot_with_a_new_title_is_known_by_its_words(tmp_path: Path) -> None:
    moved = RIBBING + CASTING.replace("The edge", "All along").replace("Casting on", "Edges")
    assert slates(tmp_path, moved)[0]["1.2.2"] == 2


def test_a_slate_that_is_gone_is_told_with_its_place(tmp_path: Path) -> None:
    found, problems = slates(tmp_path, CASTING)
    assert found == {"1.1.1": 1, "1.1.2": 2}
    assert len(problems) == 2
    assert problems[0].startswith("agreed.yaml:5:13: warning lost-slate: Slate 3 (“Two and two”), agreed as shot 1.2.1")


def test_what_two_shots_share_tells_nothing(tmp_path: Path) -> None:
    """Two shots of one title and the same words: which of them was agreed cannot be known, so neither is taken."""
    twin = "      - {view: close, title: The knot, say: First a knot}\n"
    found, problems = slates(tmp_path, NEW + CASTING + twin + RIBBING)
    assert "1.2.1" not in found
    assert "1.2.3" not in found
    assert len(problems) == 1


def test_the_teacher_has_the_last_word(tmp_path: Path) -> None:
    twin = "      - {view: close, title: The knot, say: First a knot, slate: 1}\n"
    found, problems = slates(tmp_path, NEW + CASTING + twin + RIBBING)
    assert found["1.2.3"] == 1
    assert problems == []


def test_shots_that_look_alike_are_told_by_their_place_in_a_segment_that_did_not_change(tmp_path: Path) -> None:
    agreed = """\
on: 2027-01-02
shots:
  - {slate: 1, shot: 1.1.1, segment: Casting on, title: The knot, begins: first a knot}
  - {slate: 2, shot: 1.2.1, segment: Silent}
  - {slate: 3, shot: 1.2.2, segment: Silent}
"""
    silent = "  - title: Silent\n    shots:\n" + "      - {view: overhead, hold: 8 s}\n" * 2
    first = CASTING.partition("      - {view: overhead, title: The edge")[0]
    assert slates(tmp_path / "a", NEW * 2 + silent + first, agreed) == ({"1.3.1": 2, "1.3.2": 3, "1.4.1": 1}, [])
    # With a third one nobody can tell which is new.
    found, lost = slates(tmp_path / "b", NEW * 2 + silent + "      - {view: overhead, hold: 9 s}\n" + first, agreed)
    assert found == {"1.4.1": 1}
    assert len(lost) == 2
