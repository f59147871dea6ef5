"""What was said is told once, word by word, however the captions show it."""

from __future__ import annotations

import random

import pytest

from lessonplan.edit.captions.reading import Cue, read_captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.shoot.clocks import words_in
from tests.edit.speaking import FORMS, Host, video


def said(*cues: tuple[int, int, str]) -> list[tuple[int, str]]:
    """When each cue's new words begin, and the words."""
    found = said_once([Cue(start, end, text) for start, end, text in cues])
    return [(one.start, " ".join(word.text for word in one.words)) for one in found]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("seed", range(5))
def test_every_form_gives_the_words_that_were_said(form: str, seed: int) -> None:
    phrases = video(Host(140), 6, random.Random(seed))
    spoken = said_once(read_captions(FORMS[form](phrases).encode(), "a").cues)
    assert [word.text for one in spoken for word in one.words] == [word for _, _, words in phrases for word in words]
    if form != "transcript":
        assert [one.start for one in spoken] == [pytest.approx(1000 * start, abs=1) for start, _, _ in phrases]


AUTOMATIC = """\
WEBVTT
Kind: captions
Language: en

00:00:01.000 --> 00:00:03.000 align:start position:0%
\x20
we<00:00:01.400><c> knit</c><00:00:02.000><c> two</c>

00:00:03.000 --> 00:00:03.010 align:start position:0%
we knit two
\x20

00:00:03.010 --> 00:00:05.500 align:start position:0%
we knit two
together<00:00:04.100><c> and</c><00:00:05.000><c> purl</c>

00:00:05.500 --> 00:00:05.510 align:start position:0%
together and purl
\x20
"""


def test_automatic_captions_with_a_time_for_each_word() -> None:
    spoken = said_once(read_captions(AUTOMATIC.encode(), "a").cues)
    words = [(word.text, word.start) for one in spoken for word in one.words]
    assert [word for word, _ in words] == ["we", "knit", "two", "together", "and", "purl"]
    assert [begin for _, begin in words] == [1000, 1400, 2000, 3010, 4100, 5000]


def test_lines_that_grow_word_by_word() -> None:
    assert said((0, 1, "knit"), (1, 2, "knit two"), (2, 3, "knit two together"), (3, 4, "purl")) == [
        (0, "knit"),
        (1, "two"),
        (2, "together"),
        (3, "purl"),
    ]


def test_one_word_alike_is_no_line_that_rolls() -> None:
    cues = [(0, 1, "one two"), (1, 2, "one two three four"), (2, 3, "three four five six"), (3, 4, "six of them")]
    assert [text for _, text in said(*cues)] == ["one two", "three four", "five six", "six of them"]


def test_what_is_really_said_twice_counts_twice() -> None:
    cues = [(0, 1, "knit two"), (1, 2, "knit two"), (2, 3, "and purl"), (3, 4, "then turn"), (4, 5, "the work")]
    assert [text for _, text in said(*cues)] == [text for _, _, text in cues]


def test_where_nothing_is_said() -> None:
    assert said() == said((0, 1, "[music]")) == []


def test_sounds_are_not_words() -> None:
    assert said((0, 1, "[music] we knit (laughs)"), (2, 3, "♪ la la ♪"), (4, 5, ">> k2tog, don't 3.5")) == [
        (0, "we knit"),
        (4, "k2tog don't 3.5"),
    ]


def test_words_count_as_in_planned_texts() -> None:
    text = "We cast on forty-eight stitches, k2tog; it’s 3.5 mm: “knit” – and p1."
    ((_, words),) = said((0, 1, text))
    assert len(words.split()) == words_in(text)


def test_words_inside_a_cue_begin_by_its_letters_and_the_times_in_it() -> None:
    (one,) = said_once([Cue(0, 9000, "aaaa bbbb ccccc")])
    assert [word.start for word in one.words] == [0, 3000, 6000]
    (one,) = said_once([Cue(0, 9000, "aaaa bbbb ccccc", "", ((5, 1000), (10, 8000)))])
    assert [word.start for word in one.words] == [0, 1000, 8000]
    (one,) = said_once([Cue(0, 9000, "aaaa bbbb ccccc", "", ((5, 1000), (10, 500)))])
    assert [word.start for word in one.words][:2] == [0, 1000]
