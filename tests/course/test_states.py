"""States as a teacher types them, and how far each stage of a worked pattern then is."""

from __future__ import annotations

import pytest

from lessonplan.course.states import StatePart, read_state
from lessonplan.samples.states import StateError, in_words, resolve
from tests import small_pieces

MITTEN = small_pieces.mitten()


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("cuff", [("cuff", False, None)]),
        ("after cuff", [("cuff", False, None)]),
        ("cuff done", [("cuff", False, None)]),
        ("before thumb", [("thumb", True, None)]),
        ("cuff round 8", [("cuff", False, 8)]),
        ("cuff 8", [("cuff", False, 8)]),
        ("cuff 8 rounds", [("cuff", False, 8)]),
        ("cuff row 8", [("cuff", False, 8)]),
        # Before the eighth round seven are done, before the first none.
        ("before cuff round 8", [("cuff", False, 7)]),
        ("before cuff round 1", [("cuff", False, 0)]),
        ("hand, thumb round 3", [("hand", False, None), ("thumb", False, 3)]),
        ("hand and before thumb", [("hand", False, None), ("thumb", True, None)]),
    ],
)
def test_what_a_state_says(text: str, parts: list[tuple[str, bool, int | None]]) -> None:
    assert [(part.stage, part.before, part.rounds) for part in read_state(text).parts] == parts


@pytest.mark.parametrize("text", ["nothing", "Not begun", "yarn"])
def test_nothing_is_there_yet(text: str) -> None:
    assert read_state(text).form == "nothing"


@pytest.mark.parametrize("text", ["finished", "Done", "all"])
def test_everything_is_there(text: str) -> None:
    assert read_state(text).form == "finished"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("  ", "a state is missing here, for example “before thumb” or “cuff round 8”"),
        ("cuff, finished", "“finished” stands alone; it cannot be combined with another stage"),
        ("half the cuff", "“half the cuff” is not a state such as “before thumb”, “cuff” or “cuff round 8”"),
    ],
)
def test_what_cannot_be_read(text: str, sentence: str) -> None:
    with pytest.raises(ValueError) as bad:
        read_state(text)
    assert str(bad.value) == sentence


def test_parts_know_their_place_in_the_text() -> None:
    assert [part.column for part in read_state("hand, thumb round 3").parts] == [0, 6]
    assert read_state("thumb").parts == (StatePart("thumb"),)


def steps(text: str) -> dict[str, int]:
    """Steps done of each stage that is begun."""
    state = resolve(read_state(text), MITTEN, 0)
    return {key: done for key, done in zip(MITTEN.order, state, strict=True) if done}


def test_a_stage_brings_what_it_comes_after() -> None:
    # The edge is one step, the cuff 22 rounds, the gusset 19: 18 that are counted and the one that holds.
    assert steps("cuff") == {"edge": 1, "cuff": 22}
    assert steps("before cuff") == {"edge": 1}
    assert steps("cuff round 8") == {"edge": 1, "cuff": 8}
    assert steps("before cuff round 8") == {"edge": 1, "cuff": 7}
    assert steps("before thumb") == {"edge": 1, "cuff": 22, "gusset": 19}
    assert steps("nothing") == {}


def test_before_the_first_round_is_after_what_is_done_for_it() -> None:
    # In the thumb the held stitches are taken up and others picked up before its first round.
    assert steps("before thumb round 1")["thumb"] == 2
    assert steps("thumb round 0")["thumb"] == 2
    assert steps("thumb round 1")["thumb"] == 3


def test_parts_side_by_side() -> None:
    found = steps("hand, thumb round 3")
    assert (found["hand"], found["thumb"]) == (15, 5)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("cuff round 23", "“cuff” has 22 rounds, not 23"),
        ("cuff round 3, hand", "“cuff round 3” contradicts “hand”, which needs the whole of “cuff”"),
        ("before cuff, hand", "“before cuff” contradicts “hand”, which needs the whole of “cuff”"),
    ],
)
def test_states_that_cannot_be(text: str, sentence: str) -> None:
    with pytest.raises(StateError) as bad:
        resolve(read_state(text), MITTEN, 0)
    assert str(bad.value) == sentence


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nothing", "not begun"),
        ("finished", "finished"),
        ("cuff", "Ribbed cuff done"),
        ("cuff round 8", "Ribbed cuff, 8 of 22 rounds"),
        ("cuff round 22", "Ribbed cuff done"),
        ("thumb round 19", "Thumb, all 19 rounds"),
        ("top, thumb round 3", "Shaped top done; Thumb, 3 of 19 rounds"),
        ("before thumb round 1", "Thumb: Pick up and knit 5 sts"),
    ],
)
def test_a_state_in_words(text: str, words: str) -> None:
    assert in_words(resolve(read_state(text), MITTEN, 0), MITTEN, 0) == words
