"""What was said, once: automatic captions roll, each showing the line before again above the new one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lessonplan.edit.captions.reading import Cue
from lessonplan.remembered import remembered

ROLLS = 0.3
"""Captions roll where this share of them begin with what the one before ends with; speech hardly ever does."""
LONGEST = 60
"""Words that are looked back over: two lines hold some twenty."""
_SOUND = re.compile(r"\[[^\[\]]{0,200}\]|\([^()]{0,200}\)|♪[^♪\n]*♪?")
_NEXT = re.compile(r"\S")
_WORD = re.compile(r"[^\W_]+(?:['’.\-][^\W_]+)*")


@dataclass(frozen=True, slots=True)
class Word:
    """A word as it was said, and when it begins, in milliseconds (estimated inside its cue)."""

    text: str
    start: float


@dataclass(frozen=True, slots=True)
class Said:
    """The new words of a cue, and when they begin and end at the latest, in milliseconds.

    ``spread``: no word has a time of its own, all are spread over the time that the cue is shown.
    """

    start: int
    end: int
    words: tuple[Word, ...]
    spread: bool = False


@remembered(100)
def said_once(cues: Sequence[Cue]) -> tuple[Said, ...]:
    """Give what is said in each cue that says anything, without sounds in brackets, each word once also where it rolls.

    Cues are in order of time. A word counts as in planned texts (letters and digits; ``k2tog``, ``don't``).
    """
    texts = [(cue, list(_WORD.finditer(_without_sounds(cue.text)))) for cue in in_line(cues)]
    texts = [(cue, words) for cue, words in texts if words]
    if not texts:
        return ()
    again = [0, *(_again(before, after) for (_, before), (_, after) in pairwise(texts))]
    if sum(count > 0 for count in again) < ROLLS * len(texts):
        again = [0] * len(texts)
    found = []
    for (cue, words), old in zip(texts, again, strict=True):
        if words[old:]:
            found.append(Said(cue.start, cue.end, tuple(_timed(cue, words, old)), spread=not cue.stamps))
    return tuple(found)


def in_line(cues: Sequence[Cue]) -> tuple[Cue, ...]:
    """Give cues none of which is seen after the next begins, or ends before it begins."""
    nexts = [*(cue.start for cue in cues[1:]), None][: len(cues)]
    ends = [
        max(cue.start, cue.end if start is None else min(cue.end, start))
        for cue, start in zip(cues, nexts, strict=True)
    ]
    return tuple(cue if cue.end == end else replace(cue, end=end) for cue, end in zip(cues, ends, strict=True))


def _without_sounds(text: str) -> str:
    """Blank out sounds in brackets and signs of who speaks, places kept."""
    return _SOUND.sub(lambda sound: " " * len(sound[0]), text)


def _again(before: Sequence[re.Match[str]], after: Sequence[re.Match[str]]) -> int:
    """Count the words at the start of a cue that are the last of the cue before: two at least, or all of either."""
    old, new = ([word[0].casefold() for word in words] for words in (before[-LONGEST:], after[:LONGEST]))
    longest = min(len(old), len(new)) if new and new[0] in old else 0
    for count in range(longest, 0, -1):
        if old[-count:] == new[:count]:
            whole = count in (len(before), len(after))
            return count if count > 1 or whole else 0
    return 0


def _timed(cue: Cue, words: Sequence[re.Match[str]], old: int) -> list[Word]:
    """Spread the new words of a cue over its time, by their letters, between the times that stand in its text."""
    begin = words[old].start()
    marks = [(begin, float(cue.start))]
    for stamp, time in cue.stamps:
        if stamp < marks[-1][0] or time <= marks[-1][1]:
            continue
        behind = _NEXT.search(cue.text, stamp)  # it is the time of the word behind it
        if behind and behind.start() > marks[-1][0]:
            marks.append((behind.start(), float(time)))
    marks.append((words[-1].end(), max(float(cue.end), marks[-1][1])))
    timed, at = [], 0
    for word in words[old:]:
        while at + 2 < len(marks) and marks[at + 1][0] <= word.start():
            at += 1
        (left, first), (right, last) = marks[at], marks[at + 1]
        share = (word.start() - left) / (right - left) if right > left else 0.0
        timed.append(Word(word[0], first + share * (last - first)))
    return timed
