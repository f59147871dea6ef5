"""Words of scripts and captions: written as one writes, found again in what is said; and where facts stand in them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.edit.captions.rolling import Said, Word
from lessonplan.edit.cuts import SHORTEST, Cut, cut_at, cut_list, saved_before
from lessonplan.edit.spoken import as_written, facts_said, has_no_capitals, phrase_at, place_of, plain, words_of


@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("i'm sure we don't", "I’m sure we don’t"),
        ("the knitters' wool and i", "The knitters’ wool and I"),
        ("make an i-cord", "Make an i-cord"),
        ("Ann and i", "Ann and i"),  # who writes capitals meant it so
        ("so 'there' it is", "So 'there’ it is"),
        ("", ""),
    ],
)
def test_heard_words_are_written_as_one_writes(heard: str, written: str) -> None:
    assert as_written(heard) == written
    assert has_no_capitals(heard) is ("Ann" not in heard)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("See [the *kit*](https://example.org/a_b) now", "See the kit now"),
        ("# Heading\n\n> quoted\n- one\n+ two", "Heading\n\nquoted one two"),
        ("a_b and _so_ and `code`", "a_b and so and code"),
        ("one\n two\n\n\n\n three ", "one two\n\nthree"),
        (" \n\n ", ""),
    ],
)
def test_a_text_without_its_signs(text: str, words: str) -> None:
    assert plain(text) == words


def test_words_are_letters_and_digits_with_what_joins_them() -> None:
    assert words_of("It's 3.5 mm, I-cord – d’accord!") == ["it's", "3.5", "mm", "i-cord", "d’accord"]


SAYS = "now knit 22 rounds and then look it leans to the right so turn the work and knit 22 more rounds in blue"


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("22 rounds", "22"),
        ("turn the work", "turn"),
        ("leans right", "leans"),
        ("Right leans", "leans"),
        ("22 more rounds", "22 more"),  # the second
        ("blue sky over hills", None),
        ("a quite different thing", None),
        ("", None),
    ],
)
def test_where_in_what_is_said_a_text_belongs(text: str, word: str | None) -> None:
    place = place_of(text, SAYS)
    assert place == (None if word is None else len(SAYS[: SAYS.index(word)].split()))


@pytest.mark.parametrize(
    ("phrase", "at"),
    [("Now KNIT", 0), ("in blue", 21), ("the work", 14), ("blue in", None), ("", None), (f"{SAYS} more", None)],
)
def test_a_phrase_stands_where_its_very_words_do(phrase: str, at: int | None) -> None:
    assert phrase_at(phrase, SAYS) == at


def test_a_fact_is_said_behind_the_words_before_it() -> None:
    values = {"cuff.rounds": "22", "edge.cast_on": "forty four"}
    said = "Knit *{{ cuff.rounds }}* rounds on {{ edge.cast_on }} and {{ cuff.rounds }} more."
    # knit 22 rounds on forty four and 22 more
    assert [*facts_said(said, values.__getitem__)] == [(1, "cuff.rounds"), (4, "edge.cast_on"), (7, "cuff.rounds")]


GAPS = st.lists(st.one_of(st.integers(200, 900), st.integers(2_000, 40_000)), min_size=1, max_size=60)


@given(GAPS, st.integers(0, 400_000))
@settings(max_examples=40, deadline=None)
def test_what_is_slow_lasts_and_what_is_saved_is_its_time_at_its_speed(gaps: list[int], begins: int) -> None:
    starts = [begins + sum(gaps[:place]) for place in range(len(gaps) + 1)]
    words = tuple(Word(f"word{place}", at) for place, at in enumerate(starts))
    cuts = cut_list([Said(starts[0], starts[-1] + 150, words)])
    for one in cuts:
        assert one.end - one.start >= SHORTEST
        assert starts[0] / 1000 <= one.start < one.end <= starts[-1] / 1000
        assert cut_at(cuts, (one.start + one.end) / 2) is (None if one.speed else one)
    for time in (0.0, starts[len(starts) // 2] / 1000, starts[-1] / 1000 + 1):
        # second by second, as a player runs through it
        gone = sum(max(0.0, min(one.end, time) - one.start) * _share(one) for one in cuts)
        assert saved_before(time, cuts) == pytest.approx(gone)


def _share(one: Cut) -> float:
    return 1 - 1 / one.speed if one.speed else 1.0
