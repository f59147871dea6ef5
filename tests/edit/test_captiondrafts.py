"""Draft captions: lines that fit, broken where the sense pauses, at the times of their words."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.edit.captiondrafts import Caption, _best_line, _words, draft_captions, in_lines
from lessonplan.planning.worked import Plan
from tests.documents import timed
from tests.documents.test_filmed import HEAD, with_log

WIDTH = 37  # BBC Subtitle Guidelines

COURSE = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 120,")


def drafted(folder: Path, *says: str) -> tuple[Caption, ...]:
    """Captions of shots with these words; a word is half a second."""
    shots = tuple(timed.shot("face", "0 s", say=f'"{say}"') for say in says)
    return draft_captions(timed.plan(folder, timed.episode(shots), COURSE), 1)


@pytest.mark.parametrize(
    ("say", "lines"),
    [
        # A caption ends with a clause, and a phrase begins a line.
        (
            "We cast on at the cuff, leave room for a thumb, and finish with a pair of warm mittens.",
            [("We cast on at the cuff,",), ("leave room for a thumb, and finish", "with a pair of warm mittens.")],
        ),
        ("Knit two, purl two. And again.", [("Knit two, purl two. And again.",)]),
        # The number stays with what it counts, the article with its noun.
        (
            "Now there are on your needles altogether 44 stitches.",
            [("Now there are on your needles", "altogether 44 stitches.")],
        ),
    ],
)
def test_breaks_at_sense(tmp_path: Path, say: str, lines: list[tuple[str, ...]]) -> None:
    assert [caption.lines for caption in drafted(tmp_path, say)] == lines


def test_captions_stand_at_their_words(tmp_path: Path) -> None:
    # Eight words are 4 s, the other eleven 5.5 s; the half second to the next shot, which starts at 10 s, is no gap.
    # A shot of two words runs for a second, and is read for two.
    first = "Eight words stand in this first long sentence. Eleven words stand in this one, which is longer than that."
    found = drafted(tmp_path, first, "The end.")
    assert [(one.start, one.end) for one in found] == [(0, 4000), (4000, 10_000), (10_000, 12_000)]


def test_a_gap_is_closed_or_long_enough(tmp_path: Path) -> None:
    shots = (
        timed.shot("face", "0 s", say="Four words of speech", hands="[{do: knit, time: 3 s}]"),
        timed.shot("face", "0 s", say="Four words of speech", hands="[{do: knit, time: 20 s}]"),
        timed.shot("face", "0 s", say="Four words of speech"),
    )
    plan = timed.plan(tmp_path, timed.episode(shots), COURSE)
    one, two, three = draft_captions(plan, 1)
    assert (one.end, two.start) == (2000, 3000)  # a second, and no less, is a gap
    assert (two.end - two.start, three.start - two.end > 1000) == (2000, True)


def test_real_times_are_those_of_the_take(tmp_path: Path) -> None:
    # Planned: 20 words in 10 s. Taken: 24 s less a handle of 4 s, so each word takes a second.
    shots = timed.episode(
        (timed.shot("face", "4 s", say="word " * 19 + "end"), timed.shot("face", "4 s", say="Next one."))
    )
    log = HEAD + "2027-03-06,1.1.1,1,09:20:00,09:20:24,best,,,A,A01,C1,\n"
    files = {"course.yaml": COURSE}
    real = draft_captions(with_log(tmp_path / "real", log, "", shots=shots, files=files), 1)
    assert real[-1].start == 20_000
    planned = draft_captions(timed.plan(tmp_path / "plan", shots, COURSE), 1)
    assert planned[-1].start == 10_000


def test_what_is_said_freely_has_no_words(tmp_path: Path) -> None:
    shots = timed.shot("face", "0 s", points="['why it was washed, 20 s']")
    assert draft_captions(timed.plan(tmp_path, timed.episode((shots,))), 1) == ()


WORDS = st.lists(st.text("abcxyzäß.,;?", min_size=1, max_size=60), max_size=60)


@given(WORDS)
@settings(max_examples=60)
def test_lines_are_never_too_long_and_lose_nothing(words: list[str]) -> None:
    text = " ".join(words)
    lines = in_lines(text)
    assert all(0 < len(line) <= WIDTH for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    letters = len(text)
    assert len(lines) <= 1 + letters // 10  # as few as it takes: far fewer than one for each word


@given(
    st.lists(
        st.sampled_from(["a", "the", "wool,", "stitches", "grandmother's", "now.", "22", "rounds", "under", "so"]),
        min_size=1,
        max_size=14,
    )
)
@settings(max_examples=60)
def test_the_two_lines_of_a_caption_are_broken_where_it_costs_least(words: list[str]) -> None:
    """Against every place of a break: half of what the break costs, and a twentieth for each letter's difference."""
    told = _words(" ".join(words))
    ways = []
    inside = sum(one.endswith(".") for one in words[:-1])
    for middle in range(1, len(words)):
        one, two = " ".join(words[:middle]), " ".join(words[middle:])
        if max(len(one), len(two)) <= WIDTH:
            ways.append((inside + told.breaks[middle] / 2 + abs(len(one) - len(two)) / 20, middle))
    found = _best_line(told, 0, len(words))
    if len(" ".join(words)) <= WIDTH:
        assert found == (inside, 0)
    else:
        assert found == (min(ways) if ways else None)


def test_all_words_of_the_sample_are_there_in_order(sample: Plan) -> None:
    for episode in sample.course.episodes:
        found = draft_captions(sample, episode.episode)
        for one, after in pairwise(found):
            assert one.start < one.end <= after.start
            assert not 0 < after.start - one.end < 1000
        assert all(len(one.lines) <= 2 and max(map(len, one.lines)) <= WIDTH for one in found)
        said = " ".join(line for one in found for line in one.lines)
        # The script, its Markdown and its facts taken out by another way: every other word stands there in order.
        script = " ".join(shot.say for segment in episode.segments for shot in segment.shots)
        parts = [re.sub(r"[*`\s]+", " ", part).strip() for part in re.split(r"\{\{.*?\}\}", script)]
        at = 0
        for part in parts:
            at = said.index(part, at) + len(part)
        # Few captions end behind an article, or tear a number from its unit.
        torn = [one for one in found if re.search(r"\b(?:the|a|an|of|\d+)$", one.lines[-1])]
        assert len(torn) <= len(found) // 50, torn


@pytest.mark.parametrize("pair", ["the needle", "22 rounds", "of wool"])
def test_no_line_ends_with_a_word_that_leans_on_the_next_or_a_number(pair: str) -> None:
    for before in range(1, 12):
        lines = in_lines("wool " * before + f"{pair} " + "wool " * 9)
        assert len(lines) > 1
        assert not [line for line in lines if line.endswith(pair.split()[0])], lines
