"""Draft captions of an episode: its words at the times at which they are planned, or taken, to be said.

Two lines of 37 characters at most (BBC Subtitle Guidelines), seen for 2 to 7 s where the words allow it (DCMP
Captioning Key; the longer figure is widespread guidance), and no gap under 1 s between two (BBC): tests/facts/
speech_caption_demo.csv. Lines and captions end where the sense pauses: all ways of cutting a shot's words are weighed,
and the cheapest is taken. The weights are guesses, in their order common practice: best after a sentence, then after
a clause, then before a small word that begins a phrase; worst behind an article or between a number and its unit.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.edit.spoken import words_of
from lessonplan.edit.timing import ShotTime, shot_times
from lessonplan.planning.worked import Plan

WIDTH, LINES = 37, 2
"""Characters of a line, and lines of a caption, at most."""
LEAST, MOST, GAP = 2000, 7000, 1000
"""Milliseconds that a caption is seen at least, where the next leaves room, and at most; and of a gap at least."""
_SENTENCE = re.compile(r"[.!?…][\"”’)]*$")
_CLAUSE = re.compile(r"[,;:–—][\"”’)]*$")
_BEGINS = frozenset(
    "and but or so because when while where if that which who as than then to with without of in on at by for from "
    "into over under through until after before between around along behind".split()
)
_LEANS = frozenset(
    "a an the my your his her its our their this that these those to of in on at by for from into with and or but as "
    "i you we they he she it is are was very no not every each".split()
)


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


def in_lines(text: str, width: int = WIDTH) -> tuple[str, ...]:
    """Break a text into as few lines as it takes, where the sense pauses."""
    tokens = _tokens(text, width)
    cheapest: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(tokens) + 1):
        ways = [
            (cheapest[start][0] + 100 + (_cost(tokens, end) if end < len(tokens) else 0), start)
            for start in range(max(0, end - width), end)
            if _width(tokens[start:end]) <= width
        ]
        cheapest.append(min(ways))
    lines, end = list[str](), len(tokens)
    while end:
        start = cheapest[end][1]
        lines.insert(0, _joined(tokens[start:end]))
        end = start
    return tuple(lines)


def _of_shot(time: ShotTime) -> list[Caption]:
    """Cut the words of a shot into captions, by the cheapest way."""
    tokens = _tokens(time.say, WIDTH)
    spoken = [0]
    for token in tokens:
        spoken.append(spoken[-1] + len(words_of(token)))
    cheapest: list[tuple[float, int, int]] = [(0.0, 0, 0)]
    for end in range(1, len(tokens) + 1):
        ways = []
        for start in range(max(0, end - LINES * WIDTH), end):
            line = _best_line(tokens, start, end)
            if line is not None:
                cost, middle = line
                seconds = (spoken[end] - spoken[start]) * time.word / 1000
                last = end == len(tokens)
                over = _outside(seconds) + (0 if last else _cost(tokens, end)) + 3
                ways.append((cheapest[start][0] + cost + over, start, middle))
        cheapest.append(min(ways))
    found, end = list[Caption](), len(tokens)
    while end:
        _, start, middle = cheapest[end]
        parts = [part for part in (tokens[start:middle], tokens[middle:end]) if part]
        begins, ends = time.at_word(spoken[start]), time.at_word(spoken[end])
        found.insert(0, Caption(tuple(map(_joined, parts)), begins, ends))
        end = start
    return [one for one in found if one.start < time.end]


def _best_line(tokens: Sequence[str], start: int, end: int) -> tuple[float, int] | None:
    """Find the cheapest way to set some words in one line or two: (cost, where the second begins); None if none is."""
    inside = sum(1.0 for token in tokens[start : end - 1] if _SENTENCE.search(token))
    if _width(tokens[start:end]) <= WIDTH:
        return inside, start
    ways = [
        (inside + _cost(tokens, middle) / 2 + abs(_width(tokens[start:middle]) - _width(tokens[middle:end])) / 20, middle)
        for middle in range(start + 1, end)
        if _width(tokens[start:middle]) <= WIDTH and _width(tokens[middle:end]) <= WIDTH
    ]
    return min(ways, default=None)


def _outside(seconds: float) -> float:
    """What it costs that a caption is seen too briefly or too long."""
    return 3 * max(0.0, LEAST / 1000 - seconds) + 50 * max(0.0, seconds - MOST / 1000)


def _cost(tokens: Sequence[str], at: int) -> float:
    """What a break before a word costs: see the module."""
    before, after = tokens[at - 1], tokens[at]
    if _SENTENCE.search(before):
        return 0
    if _CLAUSE.search(before):
        return 2
    if before.casefold() in _LEANS or re.search(r"\d$", before):
        return 20
    return 5 if after.casefold().strip(",.;:!?") in _BEGINS else 9


def _tokens(text: str, width: int) -> list[str]:
    """Cut a text at its blanks (not at those that hold a number to its unit), and words that no line can hold."""
    return [
        token[at : at + width] for token in re.split(r"[ \t\r\n]+", text) if token for at in range(0, len(token), width)
    ]


def _width(tokens: Sequence[str]) -> int:
    return sum(map(len, tokens)) + len(tokens) - 1


def _joined(tokens: Sequence[str]) -> str:
    return re.sub(r"\s", " ", " ".join(tokens))
