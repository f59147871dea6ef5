"""Texts over the picture: never two at once, each as long as published guidance asks, the less important giving way."""

from __future__ import annotations

import csv
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from hypothesis import given, strategies as st

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.edit.cues.episode import alike
from lessonplan.edit.cues.onscreen import Cue, Laid, Wanted, lay, time_to_read

SHOT = ShotNumber("1.1.1")


def text(start: int, words: int = 3, rank: int = 3, **more: object) -> Wanted:
    """A text of so many words that should come at a time of a shot of 20 s."""
    one = Wanted("stitches", (" ".join(["word"] * words),), SHOT, start, start + 10_000, 0, 0, 20_000, rank)
    return replace(one, **more)  # type: ignore[arg-type]


def seconds(laid: Laid) -> list[tuple[float, float]]:
    return [(cue.start / 1000, cue.end / 1000) for cue in laid.cues]


def published(root: Path, what: str, source: str) -> dict[str, str]:
    with (root / "tests/facts/speech_caption_demo.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["kind"] == "caption" and row["what"] == what]
    return next(row for row in rows if source in row["source"])


def test_the_time_to_read_is_as_published(root: Path) -> None:
    slowest = int(published(root, "special interest, adult", "DCMP")["min"])  # words a minute
    more = float(published(root, "extra time for a label", "BBC")["max"])
    least = float(published(root, "minimum duration", "DCMP")["min"])
    for words in range(1, 30):
        wanted = max(least, more + words * 60 / slowest)
        assert time_to_read("word " * words) == round(wanted * 1000)


def test_texts_follow_each_other_and_those_of_lower_rank_give_way() -> None:
    # Three words take 1 + 3 x 0.4 = 2.2 s. The second is in the way of the first, which comes when it is over.
    laid = lay([text(1000, rank=5), text(2000, rank=1)])
    assert seconds(laid) == [(2.0, 4.2), (4.2, 6.4)]
    assert [cue.wanted.rank for cue in laid.cues] == [1, 5]


def test_a_text_comes_a_little_earlier_rather_than_not_at_all() -> None:
    # Until 4 s there is room; from 4 s to the end of the shot another text stands.
    other = text(4000, rank=0, stays=16_000)
    assert seconds(lay([other, text(2500)])) == [(1.8, 4.0), (4.0, 20.0)]
    late = lay([other, text(4500)])  # 1.5 s earlier it could not be read before 4 s
    assert seconds(late) == [(4.0, 20.0)]
    assert [one.why for one in late.left_out] == ["there is no room beside “word word word”"]


def test_a_text_comes_no_later_than_it_is_remembered_and_never_after_its_shot() -> None:
    long = text(0, rank=0, stays=11_000)
    assert seconds(lay([long, text(500)])) == [(0.0, 11.0)]
    assert seconds(lay([long, text(1000)])) == [(0.0, 11.0), (11.0, 13.2)]
    assert seconds(lay([text(19_000, last=20_000)])) == [(17.8, 20.0)]
    short = lay([text(0, words=40, last=20_000, closes=5000)])
    assert (short.cues, short.left_out[0].why) == ((), "the shot is shorter than the 17.0 s that it takes to read it")


def test_a_series_takes_the_time_of_the_hands_else_what_it_needs_else_one_text() -> None:
    series = text(0, texts=("one", "two", "three"), shorter="a: one; two; three", last=20_000, stays=12_000)
    assert seconds(lay([series])) == [(0.0, 4.0), (4.0, 8.0), (8.0, 12.0)]
    crowded = lay([text(7000, rank=0, stays=13_000), series])
    assert seconds(crowded)[:3] == [(0.0, 2.0), (2.0, 4.0), (4.0, 6.0)]
    tight = lay([text(3000, rank=0, stays=17_000), series])
    assert [cue.text for cue in tight.cues] == ["a: one; two; three", "word word word"]
    assert seconds(tight)[0] == (0.0, 2.6)


LENGTHS = st.integers(1, 12)
TEXTS = st.builds(
    lambda shot, start, words, rank, stays, near, series: Wanted(
        kind="any",
        texts=tuple("word " * words for words in series),
        shot=SHOT,
        start=shot * 15_000 + start,
        last=shot * 15_000 + (start + 10_000 if near else 15_000),
        stays=stays,
        opens=shot * 15_000,
        closes=shot * 15_000 + 15_000,
        rank=rank,
        shorter="word " * words if len(series) > 1 else "",
    ),
    st.integers(0, 3),
    st.integers(0, 15_000),
    LENGTHS,
    st.integers(0, 4),
    st.integers(0, 9000),
    st.booleans(),
    st.lists(LENGTHS, min_size=1, max_size=3),
)


@given(st.lists(TEXTS, max_size=12))
def test_never_two_at_once_and_always_long_enough(wanted: list[Wanted]) -> None:
    laid = lay(wanted)
    for one, after in pairwise(laid.cues):
        assert one.end <= after.start
    for cue in laid.cues:
        assert cue.end - cue.start >= max(2000, 1000 + 400 * len(cue.text.split()))
        assert cue.wanted.opens <= cue.start
        assert cue.end <= cue.wanted.closes
    for asked in wanted:  # nothing is lost: it is laid whole, or left out with a reason
        pieces = [cue for cue in laid.cues if cue.wanted is asked]
        left = [gone for gone in laid.left_out if gone.wanted is asked]
        assert bool(pieces) != bool(left)
        assert not pieces or tuple(cue.text for cue in pieces) in (asked.texts, (asked.shorter,))
    assert all(one.why for one in laid.left_out)


@given(st.lists(TEXTS, min_size=1, max_size=8))
def test_the_first_in_rank_comes_exactly_when_it_is_wanted(wanted: list[Wanted]) -> None:
    first = min(wanted, key=lambda one: (one.rank, one.start))
    laid = lay(wanted)
    needs = max(first.stays, first.least)
    if first.start + needs <= first.closes:
        mine: list[Cue] = [cue for cue in laid.cues if cue.wanted is first]
        assert (mine[0].start, mine[-1].end) == (first.start, first.start + needs)


def test_texts_that_say_the_same() -> None:
    assert alike("Medium: 13 stitches on waste yarn", "Medium: 13 stitches go on the waste yarn")
    assert not alike("13 stitches on waste yarn", "15 stitches on waste yarn")
    assert not alike("Cuff, 22 rounds", "Thumb, 22 times round the needle, one more for luck")
    assert not alike("", "word")
