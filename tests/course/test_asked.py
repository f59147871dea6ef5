"""What shots ask of pieces, who helps and which views there are: each slip is one sentence at its place."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Problem
from lessonplan.course.read import load
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

STAGES = PATTERN + (
    "      - point: ready to press\n"
    "      - minutes: 2\n"
    "      - minutes: 3\n"
    "  ring:\n"
    "    title: Ring\n"
    "    after: edge\n"
    "    works:\n"
    "      - units: 4\n"
    "        unit: loop\n"
    "        each: 1 min\n"
    "      - point: Half way to close\n"
    "      - units: 4\n"
    "        unit: loop\n"
    "        each: 1 min\n"
)
TABLE = """\
          - needs: before edge
            leaves: edge round 1
"""


def asking(folder: Path, piece: str, pattern: str = STAGES, course: str = COURSE) -> list[Problem]:
    """Everything that is told of a course with this piece on its table, one line for each key."""
    lines = "".join(f"{'          - ' if not n else '            '}{one}\n" for n, one in enumerate(piece.splitlines()))
    files = {"pattern.yaml": pattern, "course.yaml": course, "episodes/01.yaml": EPISODE.replace(TABLE, lines)}
    told = lessonplan.plan(write_course(folder, files)).problems
    return [problem for problem in told if problem.severity != "note"]


@pytest.mark.parametrize(
    "piece",
    [
        "needs: before edge",
        "needs: body, before bind_off",
        "needs: body, after minutes 2",
        "needs: Ready  to press",
        "needs: body, ready to press",
        "shows: body",
        "shows: edge or later",
        "shows: edge to body",
        "shows: edge round 1 to ready to press",
        "shows: edge to half way to close",
        "shows: half way to close to finished",
        "shows: edge, ring to finished",
    ],
)
def test_what_can_be_asked(tmp_path: Path, piece: str) -> None:
    assert [str(problem) for problem in asking(tmp_path, piece)] == []


@pytest.mark.parametrize(
    ("piece", "line", "column", "code", "message", "hint"),
    [
        ("name: A", 8, 13, "missing-key", "how far is the piece?", "“needs” is one state"),
        ("needs: edge\nshows: edge", 9, 20, "needs-and-shows", "not both", ""),
        ("needs: edge\nshows: edge or later\nleaves: body", 9, 20, "needs-and-shows", "not both", ""),
        ("shows: edge\nleaves: body", 9, 21, "shows-and-leaves", "left as it came", "write “needs”"),
        ("needs: edge or later", 8, 20, "state", "is not a state", "write “shows: edge or later”"),
        ("needs: edge to body", 8, 20, "state", "is not a state", "write “shows: edge to body”"),
        ("needs: edge\nleaves: body or later", 9, 21, "state", "is not a state", ""),
        ("shows: edge to bdy", 8, 28, "unknown-stage", "no stage “bdy”", "“body”"),
        ("shows: edge, rign to body", 8, 26, "unknown-stage", "no stage “rign”", "“ring”"),
        ("shows: body to edge", 8, 20, "state", "“body to edge” goes backward: its end has less of “body”", ""),
        ("shows: body 5 to body 3", 8, 20, "state", "goes backward: its end has less of “body”", ""),
        ("needs: body, before bind_of", 8, 20, "unknown-work", "“body” has no work “bind_of”", "“bind_off”"),
        ("needs: edge, before bdy", 8, 20, "unknown-work", "“edge” has no work “bdy”", "“body”"),
        ("needs: body, after minutes 3", 8, 20, "unknown-work", "has “minutes” only 2 times, so there is no 3", ""),
        ("needs: body, after bind_off 2", 8, 20, "unknown-work", "“bind_off” only once", ""),
        ("needs: before bind_off", 8, 20, "unknown-stage", "no stage “bind_off”", "“body, before bind_off”"),
        (
            "needs: redy to press",
            8,
            20,
            "state",
            "“redy to press” is not a state such as “before ring”",
            "“ready to press”",
        ),
        ("needs: ring, ready to press", 8, 26, "unknown-point", "“ring” has no point", "a point of “body”"),
        ("needs: edge round 9", 8, 20, "state", "“edge” has 4 rounds, not 9", ""),
        ("needs: edge round 2, body", 8, 20, "state", "“edge round 2” contradicts “body”", ""),
        ("needs: body\nleaves: edge", 8, 20, "state", "left without body as it was at the start", ""),
        ("needs: ''", 8, 21, "state", "A state is missing here", ""),
        ("needs: [edge]", 8, 20, "wrong-value", "not a list", ""),
        ("needs: edge\nkinds: [shrot]", 9, 21, "kind", "“shrot” is not a kind", "“short”"),
    ],
)
def test_a_slip_is_one_sentence_at_its_place(
    tmp_path: Path, piece: str, line: int, column: int, code: str, message: str, hint: str
) -> None:
    (told,) = asking(tmp_path, piece)
    assert (told.where.file, told.code, message in told.message) == ("episodes/01.yaml", code, True), str(told)
    assert (told.where.line, told.where.column) == (line, column)
    assert hint in told.hint


def test_what_is_wrong_in_every_kind_is_said_once(tmp_path: Path) -> None:
    (told,) = asking(tmp_path, "shows: body to edge\nkinds: [full, short, small]")
    assert (told.where.line, told.message[:11]) == (8, "Shot 1.1.1:")


def test_what_only_one_kind_cannot_do_is_said_of_that_kind(tmp_path: Path) -> None:
    text = STAGES.replace("    title: Body\n", "    title: Body\n    short: 3\n")
    (told,) = asking(tmp_path, "needs: body round 5\nkinds: [full, short]", text)
    assert (told.where.line, told.where.column) == (9, 27)
    assert told.message == "Shot 1.1.1, short piece: a short “body” has 3 rounds, not 5."


def test_the_drawer_is_asked_for_one_state_in_the_words_of_the_course(tmp_path: Path) -> None:
    drawer = COURSE + "samples:\n  drawer:\n    - {name: Old, state: STATE}\n"
    episode = {"pattern.yaml": STAGES}
    right = write_course(tmp_path / "a", {**episode, "course.yaml": drawer.replace("STATE", "ready to press")})
    assert [problem for problem in load(right).problems if problem.severity == "error"] == []
    wrong = write_course(tmp_path / "b", {**episode, "course.yaml": drawer.replace("STATE", "edge or later")})
    (told,) = load(wrong).problems
    assert (told.where.file, told.where.line, told.code) == ("course.yaml", 10, "state")


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("minutes: 2", "point: Ready to  press", 21, "“body” has two points “Ready to  press”"),
        ("ready to press", "finished", 20, "as a state it means the whole piece"),
        ("ready to press", "ring", 20, "a stage has that name"),
        ("ready to press", "washed and dry", 20, "a comma or “and” parts two states"),
        ("ready to press", "before the wash", 20, "“before” and “after” speak of works"),
        ("ready to press", "washed or more", 20, "that is how a range ends"),
        ("  ring:", "  yarn:", 24, "as a state it means a piece that is not begun"),
    ],
)
def test_names_that_states_could_not_use(tmp_path: Path, old: str, new: str, line: int, words: str) -> None:
    (told,) = asking(tmp_path, "needs: edge", STAGES.replace(old, new))
    assert (told.where.file, told.where.line) == ("pattern.yaml", line)
    assert words in told.message


def test_a_point_of_two_stages_is_asked_for_with_its_stage(tmp_path: Path) -> None:
    text = STAGES.replace("Half way to close", "ready to press")
    (told,) = asking(tmp_path / "a", "needs: ready to press", text)
    assert (told.code, told.hint) == ("unknown-point", "Name the stage: “body, ready to press”.")
    assert asking(tmp_path / "b", "needs: ring, ready to press", text) == []


def test_a_point_of_what_is_not_filmed(tmp_path: Path) -> None:
    text = STAGES.replace("point: ready to press", "point: ready to press\n        when: dry")
    text = text.replace("stages:\n", "options:\n  finish: wet or dry\nstages:\n")
    (told,) = asking(tmp_path, "needs: ready to press", text)
    assert (told.code, told.where.line) == ("not-filmed-choice", 8)


def shots(*views: str) -> str:
    head = EPISODE[: EPISODE.index("      - view")]
    return head + "".join(f"      - {{view: {view}, say: Look.}}\n" for view in views)


@pytest.mark.parametrize(
    ("views", "listed", "line", "hint"),
    [
        (("face", "face", "facce"), "", 8, "Did you mean “face”?"),
        (("facce", "face", "face"), "", 6, "Did you mean “face”?"),
        (("face", "face", "fase"), "", 8, "Did you mean “face”?"),
        (("wide", "wide", "side"), "", 0, ""),
        (("overhead", "Overhead"), "", 7, "Did you mean “overhead”?"),  # each once: the second is questioned
        (("face", "face", "facce", "facce"), "", 0, ""),
        (("face", "face", "sink"), "", 0, ""),
        (("camera 1", "camera 1", "camera 2"), "", 0, ""),
        (("face", "face", "facce"), "face, facce", 0, ""),
        (("facce",), "face", 6, "Did you mean “face”?"),
        (("face", "face", "sink"), "face, table", 8, "Known: face, table."),
    ],
)
def test_a_view_of_one_shot_that_is_very_like_another(
    tmp_path: Path, views: tuple[str, ...], listed: str, line: int, hint: str
) -> None:
    course = COURSE + (f"views: {listed}\n" if listed else "")
    found = load(write_course(tmp_path, {"episodes/01.yaml": shots(*views), "course.yaml": course})).problems
    assert [(one.severity, one.code, one.where.line, one.hint) for one in found] == (
        [("warning", "view", line, hint)] if line else []
    )


HELPED = COURSE.replace("    films:", "    helpers: HELPERS\n    films:") + (
    "knitters:\n  - {name: Ida, pace: 20}\n  - {name: Bo Lind, pace: 30}\n"
)


@pytest.mark.parametrize(
    ("helpers", "hints"),
    [
        ("Ida", []),
        ("Ida and Bo Lind", []),
        ("Idda", ["Did you mean “Ida”?"]),
        ("Bo", ["Did you mean “Bo Lind”?"]),
        ("Ida, bo lind", ["Did you mean “Bo Lind”?"]),
        ("Ansel", []),
    ],
)
def test_a_helper_who_is_nearly_a_knitter(tmp_path: Path, helpers: str, hints: list[str]) -> None:
    found = load(write_course(tmp_path, {"course.yaml": HELPED.replace("HELPERS", helpers)})).problems
    assert [(one.severity, one.code, one.where.line, one.hint) for one in found] == [
        ("warning", "helper", 7, hint) for hint in hints
    ]


@pytest.mark.parametrize(
    ("helpers", "people"),
    [
        ("Ida and Bo", ("Ida", "Bo")),
        ("Ida, Bo and Cy", ("Ida", "Bo", "Cy")),
        ("Ida, Bo, and Cy", ("Ida", "Bo", "Cy")),
        ("Ida & Bo", ("Ida", "Bo")),
        ("[Ida and Bo, Cy]", ("Ida", "Bo", "Cy")),
        ("Andy Sand", ("Andy Sand",)),
    ],
)
def test_helpers_are_people_one_by_one(tmp_path: Path, helpers: str, people: tuple[str, ...]) -> None:
    course = load(write_course(tmp_path, {"course.yaml": HELPED.replace("HELPERS", helpers)})).course
    assert course is not None
    assert course.course.shoot[0].helpers == people
