"""Planned and heard words that go together, by texts whose pairs are plain to see, and by what must hold of any."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, strategies as st

from lessonplan.edit.align.words import pairs

SCRIPT = "slide the needle under the bar lift it then knit it through the back loop"


def together(script: str, said: str) -> list[tuple[str, str]]:
    mine, theirs = script.split(), said.split()
    return [(mine[one], theirs[two]) for one, two in pairs(mine, theirs)]


def test_words_as_written_all_go_together() -> None:
    words = SCRIPT.split()
    assert pairs(words, words) == tuple((place, place) for place in range(len(words)))


def test_words_said_beside_the_script_are_passed_over() -> None:
    said = f"okay so here we are again {SCRIPT.replace('lift it', 'it is tight today lift it')} and that was all"
    found = together(SCRIPT, said)
    assert [one for one, _ in found] == [two for _, two in found]
    assert {"slide", "bar", "lift", "back", "loop"} <= {one for one, _ in found}
    assert "tight" not in {two for _, two in found}


def test_what_is_said_twice_points_nowhere_alone() -> None:
    """The sentence stands twice in what is said, so no run of its words stands there once: only what follows does."""
    said = "slip one and knit three over slip one and knit three over now turn the whole band inside out"
    script = "slip one and knit three over then turn the whole band inside out"
    found = pairs(script.split(), said.split())
    assert {two for _, two in found} == {13, 14, 15, 16, 17, 18}


def test_nothing_in_common_gives_nothing() -> None:
    assert pairs(SCRIPT.split(), ["a", "cup", "of", "tea", "beside", "my", "window"]) == ()
    assert pairs([], SCRIPT.split()) == pairs(SCRIPT.split(), []) == ()


def test_a_single_word_far_from_all_others_is_not_believed() -> None:
    """Fifty other words at both sides: that both say “bobbin” once may be chance. Beside a sentence kept it counts."""
    mine = [f"m{place}" for place in range(50)] + ["bobbin"] + [f"n{place}" for place in range(50)]
    theirs = [f"o{place}" for place in range(50)] + ["bobbin"] + [f"p{place}" for place in range(50)]
    assert pairs(mine, theirs) == ()
    kept = ["wind", "it", "tightly"]
    assert pairs(["bobbin", "big", *kept], ["bobbin", "small", *kept]) == ((0, 0), (2, 2), (3, 3), (4, 4))


@pytest.mark.parametrize("length", [1, 2])
def test_little_words_alone_point_nowhere(length: int) -> None:
    words = ["and", "then"][:length]
    assert pairs(words, words) == ()


WORDS = ("knit", "purl", "slip", "bar", "loop", "needle", "the", "and", "it", "yarn", "back")
TALK = st.lists(st.sampled_from(WORDS), max_size=40)


@given(TALK, TALK)
def test_pairs_are_the_same_words_and_rise_in_both(mine: list[str], theirs: list[str]) -> None:
    found = pairs(mine, theirs)
    assert all(mine[one] == theirs[two] for one, two in found)
    assert all(a[0] < b[0] and a[1] < b[1] for a, b in pairwise(found))
