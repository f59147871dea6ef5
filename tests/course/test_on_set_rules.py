"""What is told of needles that disagree and of yarn that is cut in a shot of several takes."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

GAUGE = "gauge: {stitches: 20, rounds: 28, needle: 4.5 mm}"


def told(folder: Path, code: str, pattern: str = PATTERN, episode: str = EPISODE) -> list[tuple[int, str]]:
    files = {"pattern.yaml": pattern, "episodes/01.yaml": episode}
    found = lessonplan.load(write_course(folder, files)).problems
    return [(one.where.line, one.message) for one in found if one.code == code]


def needled(needles: str, more: str = "") -> str:
    pattern = PATTERN.replace("gauge: {stitches: 20, rounds: 28}", f"{GAUGE}\n{needles}")
    return pattern.replace('        lines: "Knit"\n', f'        lines: "Knit"\n{more}')


def test_the_list_of_needles_names_another_than_the_stage(tmp_path: Path) -> None:
    listed = "needles: [4 mm for the body, 4.5 mm for the rest]"
    assert told(tmp_path / "a", "other-needle", needled(listed)) == [
        (3, "“Body” is worked on 4.5 mm by its gauge, but here it says: “4 mm for the body”.")
    ]
    both = "needles: [4 mm for sleeves and body, 4.5 mm for the body]"
    assert told(tmp_path / "c", "other-needle", needled(both)) == [], "one of those that name it is its own"
    right = needled(listed).replace(
        "    title: Body\n", "    title: Body\n    gauge: {stitches: 20, rounds: 28, needle: 4 mm}\n"
    )
    assert told(tmp_path / "b", "other-needle", right) == []


@pytest.mark.parametrize(
    ("note", "found"),
    [("Change to a needle of 5 mm.", 1), ("Change to a needle of 4.5 mm.", 0), ("It is 5 mm wide.", 0)],
)
def test_a_remark_of_a_stage_names_another_needle(tmp_path: Path, note: str, found: int) -> None:
    assert len(told(tmp_path, "other-needle", needled("", f"        before: {note}\n"))) == found


LOOP = """\
  loop:
    title: Hanging loop
    after: body
    works:
      - pick_up: 3
        along: the edge
"""


@pytest.mark.parametrize(
    ("needles", "before", "found"),
    [
        ("[4 mm for the edge, 4.5 mm for the body]", "", 1),
        ("[4 mm for the edge and a loop, 4.5 mm for the body]", "", 0),
        ("[4 mm for the edge, 4.5 mm for everything else]", "", 0),
        ("[4 mm for the edge, 4.5 mm for the body]", "        before: Take the thin needles.\n", 0),
        ("[4.5 mm]", "", 0),
    ],
)
def test_what_is_begun_on_new_stitches_has_a_needle(tmp_path: Path, needles: str, before: str, found: int) -> None:
    pattern = needled(f"needles: {needles}").rstrip() + f"\n{LOOP}{before}"
    told_of = [message for _, message in told(tmp_path / "a", "no-needle", pattern)]
    assert told_of == ["“Hanging loop” begins on new stitches, and nothing says on which of the needles."] * found
    live = pattern.replace("      - bind_off: all\n", "")
    assert told(tmp_path / "b", "no-needle", live) == [], "the stitches of the body are on their needles still"


def cut(**more: str) -> str:
    lines = "".join(f"        {key}: {value}\n" for key, value in more.items())
    hands = "        tools: scissors\n        hands:\n          - do: cut the yarn\n            time: 10 s\n"
    return EPISODE.replace('        hands:\n          - work: "k1, p1"\n', f"{hands}{lines}")


def test_what_is_cut_in_take_1_cannot_be_cut_in_take_2(tmp_path: Path) -> None:
    ((_, said),) = told(tmp_path / "a", "cut-twice", episode=cut())
    assert said == "Something is cut in 1.1.1, which has 2 takes: after the first it is cut already."
    for number, more in enumerate(({"takes": "1"}, {"one_way": "yes"}, {"one_way": "no"})):
        assert told(tmp_path / str(number), "cut-twice", episode=cut(**more)) == []
    assert told(tmp_path / "z", "cut-twice", episode=cut().replace("cut the yarn", "show the tail")) == []


def test_what_is_closed_with_its_own_end_is_closed_once(tmp_path: Path) -> None:
    def closing(do: str = "close the gap with its tail", **more: str) -> str:
        return cut(**more).replace("            leaves: edge round 1\n", "").replace("cut the yarn", do)

    ((_, said),) = told(tmp_path / "a", "closed-twice", episode=closing())
    assert said == "Something is closed with its own end in 1.1.1, which has 2 takes: there is one."
    for number, more in enumerate(({"takes": "1"}, {"one_way": "no"})):
        assert told(tmp_path / str(number), "closed-twice", episode=closing(**more)) == []
    assert told(tmp_path / "z", "closed-twice", episode=closing("weave in the first end")) == []


def test_scissors_that_nobody_uses(tmp_path: Path) -> None:
    ready = (
        cut(takes="1").replace("cut the yarn", "show the tail").replace("We cast on", "Now cut the yarn. We cast on")
    )
    ((_, said),) = told(tmp_path / "a", "not-cut", episode=ready)
    assert said == "Scissors lie ready in 1.1.1 and cutting is spoken of, but no hand cuts."
    assert told(tmp_path / "b", "not-cut", episode=ready.replace("show the tail", "cut it")) == []
    assert told(tmp_path / "c", "not-cut", episode=ready.replace("Now cut the yarn. ", "")) == []
    assert told(tmp_path / "d", "not-cut", episode=ready.replace("Now cut", "Before you trim, cut")) == []


def test_a_helper_is_spoken_to_who_is_not_there(tmp_path: Path) -> None:
    episode = EPISODE.replace("        say:", "        notes: {helper: Hold the lamp.}\n        say:")
    ((_, said),) = told(tmp_path / "a", "no-helper", episode=episode)
    assert said == "Shot 1.1.1 says something to a helper, and nobody helps on 2027-03-06."
    files = {"course.yaml": COURSE + "    helpers: Bo\n", "episodes/01.yaml": episode}
    found = lessonplan.load(write_course(tmp_path / "b", files)).problems
    assert [one.code for one in found] == []


def test_a_line_whose_round_is_behind_the_piece(tmp_path: Path) -> None:
    # Four rounds of rib are done, and a plain round comes next: k1, p1 is shown on a piece that is past it.
    past = EPISODE.replace("needs: before edge\n            leaves: edge round 1", "needs: edge")
    ((_, said),) = told(tmp_path / "a", "behind", episode=past)
    assert said == "“k1, p1” is no part of the next round of the piece in 1.1.1: round 4 of “edge” is behind it."
    assert told(tmp_path / "b", "behind", episode=past.replace("needs: edge", "needs: edge round 3")) == []
    assert told(tmp_path / "c", "behind", episode=past.replace("k1, p1", "k4")) == []
