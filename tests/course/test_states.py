"""How a state is written: each form once, by what a teacher means with it."""

from __future__ import annotations

import pytest

from lessonplan.course.names.states import StatePart, StateText, read_range, read_state

STAGES = ("cuff", "gusset", "top", "thumb")
POINTS = ("ready to draw through",)


def parts(text: str) -> tuple[StatePart, ...]:
    return read_state(text, STAGES, POINTS).parts


def plain(text: str) -> list[tuple[str, bool, int | None]]:
    return [(part.stage, part.before, part.rounds) for part in parts(text)]


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("cuff", [("cuff", False, None)]),
        ("before thumb", [("thumb", True, None)]),
        ("cuff round 8", [("cuff", False, 8)]),
        ("cuff 8", [("cuff", False, 8)]),
        ("cuff 8 rounds", [("cuff", False, 8)]),
        ("before cuff round 8", [("cuff", False, 7)]),
        ("gusset, thumb round 3", [("gusset", False, None), ("thumb", False, 3)]),
        ("gusset and thumb round 3", [("gusset", False, None), ("thumb", False, 3)]),
    ],
)
def test_stages_and_rounds(text: str, meaning: list[tuple[str, bool, int | None]]) -> None:
    assert plain(text) == meaning


def test_a_place_inside_a_round_counts_the_rounds_before_it() -> None:
    (part,) = parts("gusset round 18, 35 sts on")
    assert (part.stage, part.rounds, part.stitches) == ("gusset", 17, 35)


def test_a_work_of_the_stage_just_named() -> None:
    (before,) = parts("top, before draw_through")
    assert (before.stage, before.before, before.work, before.place) == ("top", True, "draw_through", 1)
    (after,) = parts("thumb, after pick_up 2")
    assert (after.stage, after.before, after.work, after.place) == ("thumb", False, "pick_up", 2)


def test_before_another_stage_is_no_work() -> None:
    assert plain("top, before thumb") == [("top", False, None), ("thumb", True, None)]


def test_a_named_point_alone_or_after_its_stage() -> None:
    (alone,) = parts("Ready to draw  through")
    assert (alone.stage, alone.point) == ("", "ready to draw through")
    (named,) = parts("top, ready to draw through")
    assert (named.stage, named.point) == ("top", "ready to draw through")


def test_ranges() -> None:
    later = read_range("cuff or later", STAGES)
    assert (later.low.parts[0].stage, later.high) == ("cuff", None)
    between = read_range("cuff round 3 to top", STAGES)
    assert between.low.parts[0].rounds == 3
    assert between.high is not None
    assert between.high.parts[0].stage == "top"
    only = read_range("finished", STAGES)
    assert only.low == only.high == StateText("finished")
    point = read_range("ready to draw through", STAGES, POINTS)
    assert point.low == point.high


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "a state is missing"),
        ("cuff round 0", "no round 0"),
        ("the cuff somewhere", "is not a state such as “before thumb”, “cuff” or “cuff round 2”"),
        ("cuff, finished", "stands alone"),
        ("35 sts on", "is not a state"),
    ],
)
def test_what_cannot_be_read(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read_state(text, STAGES, POINTS)


def test_the_example_speaks_of_the_course_at_hand() -> None:
    with pytest.raises(ValueError, match="“before casing”, “sewn” or “sewn round 2”"):
        read_state("?!", ("sewn", "casing"))
