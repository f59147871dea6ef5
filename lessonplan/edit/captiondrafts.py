"""Draft captions of an episode: its words at the times at which they are planned, or taken, to be said.

Two lines of 37 characters at most (BBC Subtitle Guidelines), seen for 2 to 7 s where the words allow it (DCMP
Captioning Key; the longer figure is widespread guidance), and no gap under 1 s between two (BBC): tests/facts/
speech_caption_demo.csv. Lines and captions end where the sense pauses: all ways of cutting a shot's words are weighed,
and the cheapest is taken. The weights are guesses, in their order common practice: best after a sentence, then after
a clause, then before a small word that begins a phrase; worst behind an article or between a number and its unit.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from math import inf

from lessonplan.edit.spoken import words_of
from lessonplan.edit.timing import ShotTime, shot_times
from lessonplan.planning.worked import Plan

WIDTH, LINES = 37, 2
"""Characters of a line, and lines of a caption, at most."""
LEAST, MOST, GAP = 2000, 7000, 1000
"""Milliseconds that a caption is seen at least, where the next leaves room, and at most; and of a gap at least."""
DUST = 1e-9
_SENTENCE = re.compile(r"[.!?…][\"”’)]*$")
_CLAUSE = re.compile(r"[,;:–—][\"”’)]*$")
_PHRASES = (
    "and but or so because when while where if that which who as than then to with without of in on at by for from "
    "into over under through until after before between around along behind"
)
_LEANING = (
    "a an the my your his her its our their this that these those to of in on at by for from into with and or but as "
    "i you we they he she it is are was very no not every each"
)
_BEGINS, _LEANS = frozenset(_PHRASES.split()), frozenset(_LEANING.split())
"""Small words before which a phrase begins, and those that lean on the word after them."""


@dataclass(frozen=True, slots=True)
class Caption:
    """A caption: its lines, and from when to when it is seen, in milliseconds of the episode."""

    lines: tuple[str, ...]
    start: int
    end: int


def draft_captions(plan: Plan, episode: int) -> tuple[Caption, ...]:
    """Draft the captions of an episode. What is said freely, in points, has no words yet and none here."""
    found = [caption for time in shot_times(plan, episode) for caption in _of_shot(time)]
    seen = list[Caption]()
    for one, after in pairwise([*found, None]):
        assert one is not None
        end = max(one.end, one.start + LEAST)
        if after and end > after.start - GAP:
            end = max(after.start, one.start + 1)
        seen.append(replace(one, end=end))
    return tuple(seen)


def in_lines(text: str) -> tuple[str, ...]:
    """Break a text into as few lines as it takes, where the sense pauses."""
    words = _words(text)
    cheapest: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(words.tokens) + 1):
        ways = []
        for start in range(end - 1, -1, -1):
            if words.width(start, end) > WIDTH:
                break
            ways.append((cheapest[start][0] + 100 + words.breaks[end], start))
        cheapest.append(min(ways))
    lines, end = list[str](), len(words.tokens)
    while end:
        start = cheapest[end][1]
        lines.insert(0, words.joined(start, end))
        end = start
    return tuple(lines)


def _of_shot(time: ShotTime) -> list[Caption]:
    """Cut the words of a shot into captions, by the cheapest way."""
    words = _words(time.say)
    cheapest: list[tuple[float, int, int]] = [(0.0, 0, 0)]
    for end in range(1, len(words.tokens) + 1):
        ways, least = [], inf
        for start in range(end - 1, -1, -1):
            if words.width(start, end) > LINES * WIDTH + 1:
                break
            seconds = (words.spoken[end] - words.spoken[start]) * time.word / 1000
            outside = _outside(seconds) + words.breaks[end] + 3
            if cheapest[start][0] + outside > least + DUST:
                continue  # dearer than another way, however its lines are set
            line = _best_line(words, start, end)
            if line is not None:
                ways.append((cheapest[start][0] + line[0] + outside, start, line[1]))
                least = min(least, ways[-1][0])
        cheapest.append(min(ways))
    found, end = list[Caption](), len(words.tokens)
    while end:
        _, start, middle = cheapest[end]
        lines = [words.joined(*part) for part in ((start, middle), (middle, end)) if part[0] < part[1]]
        begins, ends = time.at_word(words.spoken[start]), time.at_word(words.spoken[end])
        found.insert(0, Caption(tuple(lines), begins, ends))
        end = start
    return [one for one in found if one.start < time.end]


def _best_line(words: _Words, start: int, end: int) -> tuple[float, int] | None:
    """Find the cheapest way to set some words in one line or two: (cost, where the second begins); None if none is."""
    inside = float(words.sentences[end - 1] - words.sentences[start])
    if words.width(start, end) <= WIDTH:
        return inside, start
    ends, breaks = words.ends, words.breaks
    first = bisect_left(ends, ends[end] - WIDTH - 1, start + 1, end)  # the words behind it fit on a line, ...
    last = bisect_right(ends, ends[start] + WIDTH + 1, first, end)  # ... and those before it
    both = ends[start] + ends[end]
    ways = [(inside + breaks[one] / 2 + abs(2 * ends[one] - both) / 20, one) for one in range(first, last)]
    return min(ways, default=None)


def _outside(seconds: float) -> float:
    """What it costs that a caption is seen too briefly or too long."""
    if seconds < LEAST / 1000:
        return 3 * (LEAST / 1000 - seconds)
    return 50 * (seconds - MOST / 1000) if seconds > MOST / 1000 else 0.0


@dataclass(frozen=True, slots=True)
class _Words:
    """The words of a text; ``ends``: where each would end, with its blank, on one endless line, 0 before the first.

    Likewise the words ``spoken`` and the sentences ended so far, and what each break costs.
    """

    tokens: tuple[str, ...]
    ends: tuple[int, ...]
    spoken: tuple[int, ...]
    sentences: tuple[int, ...]
    breaks: tuple[float, ...]

    def width(self, start: int, end: int) -> int:
        """Characters of some words on one line."""
        return self.ends[end] - self.ends[start] - 1

    def joined(self, start: int, end: int) -> str:
        """Some words as a line."""
        return re.sub(r"\s", " ", " ".join(self.tokens[start:end]))


def _words(text: str) -> _Words:
    tokens = _tokens(text)
    ends = [bool(_SENTENCE.search(token)) for token in tokens]
    return _Words(
        tokens=tuple(tokens),
        ends=tuple(accumulate((len(token) + 1 for token in tokens), initial=0)),
        spoken=tuple(accumulate((len(words_of(token)) for token in tokens), initial=0)),
        sentences=tuple(accumulate(ends, initial=0)),
        breaks=(0.0, *(_cost(tokens, ends, at) for at in range(1, len(tokens))), 0.0),
    )


def _cost(tokens: Sequence[str], ends: Sequence[bool], at: int) -> float:
    """What a break before a word costs: see the module. A sentence's first word, or its last, does not stand alone."""
    before, after = tokens[at - 1], tokens[at]
    if ends[at - 1]:
        return 0
    alone = 6 * (any(ends[max(0, at - 3) : at - 1]) or at == 1) + 4 * ends[at]
    if _CLAUSE.search(before):
        return 2 + alone
    if before.casefold() in _LEANS or before[-1].isdigit():
        return 20
    return alone + (5 if after.casefold().strip(",.;:!?") in _BEGINS else 9)


def _tokens(text: str) -> list[str]:
    """Cut a text at its blanks (not at those that hold a number to its unit), and words that no line can hold."""
    return [
        token[at : at + WIDTH] for token in re.split(r"[ \t\r\n]+", text) if token for at in range(0, len(token), WIDTH)
    ]
