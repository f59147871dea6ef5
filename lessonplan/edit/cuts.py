"""What may go from a cut, found in its captions: silent work, what is said again, slips taken back, and searching;
and what hands are planned to show at their own speed, which nobody speeds up.

A stretch is slow where fewer than 60 words a minute are said. Such stretches are those that gain most when each second
counts one and each word takes one away (maximal scoring subsequences: Ruzzo & Tompa, ISMB 1999, from memory); here one
ends also where so many words in a row are said that nobody would speed them up.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import nearest_second
from lessonplan.craft.sequences import sequences_in
from lessonplan.edit.align.terms import LITTLE, OPENING, terms
from lessonplan.edit.captions.rolling import Said, Word
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan

Kind = Literal["slow", "said again", "correction", "search"]
SLOW = 60.0
"""Words a minute below which a stretch is slow: less than half of any pace of speech."""
SHORTEST = 20.0
"""Seconds that a slow stretch must have to be worth a cut, as for what the plan advises (planning guess)."""
TALK = 8
"""So many words more than the pace of a slow stretch end it: a sentence, which is heard at its own speed."""
LEFT, FASTEST = 15.0, 8
"""Seconds of sped-up work that are left, and the most that it is sped up (as for what the plan advises)."""
SPEEDS = (2, 4, 8)
"""Times as fast, for each of which is said how much it saves."""
AGAIN, ALIKE, DIFFERENT = 15.0, 6, 5
"""Seconds within which a sentence is said again, and how many words in a row it has in common, so many of them unlike
one another: “slip one, knit three” over and over is no sentence said again."""
BEFORE, AFTER = 8.0, 20.0
"""Seconds that a slip may have begun before its correction, and that a search may take (planning guesses)."""
ANEW, BACK = 3, 12
"""One of the first words behind a remark was said before it, so many words back at most (a guess)."""
SLOWEST = 120.0
"""Milliseconds that a letter takes at most, the blank behind a word counted as one: some 85 words a minute (a guess).
So long are the words of a caption that stays on, because nobody speaks after it."""
BREATH = 0.8
"""Seconds from one word to the next beyond which a phrase ends."""
_BACK = re.compile(
    r"\b(?:no,? (?:i'?m )?sorry\b|no wait\b|no (?:that'?s|that is|that was) (?:wrong|not)\b|(?:no )?i said that wrong\b"
    r"|sorry i (?:mean|meant|said)\b|i (?:meant to say|misspoke)\b|scratch that\b|what am i saying\b"
    r"|let me (?:say|start|do) that again\b|that'?s not right\b|correction\b|oops\b|sorry (?=(?:it'?s|that'?s|not)\b))"
)
"""Remarks with which something is taken back (common practice, a list of our own)."""
_SEARCH = re.compile(
    r"\bwhere (?:did i (?:put|leave)|have i (?:put|left)|(?:has|have) (?:my|the) \w+(?: \w+)? gone)\b"
    r"|\bwhere(?:'s| is| are|'re) (?:my|the|those) (?P<tool>\w+(?: \w+)?)\b"
    r"|\bhas (?:anybody|anyone) seen\b|\bi can'?t find (?:my|the)\b|\bi(?:'m| am) looking for my\b"
)
_FOUND = re.compile(
    r"\b(?:(?P<whole>here (?:it|they|we|she|he) (?:is|are)|there (?:it|they) (?:is|are))|here'?s|found|ah)\b"
)
"""How a search ends. What does not say all by itself goes on to the end of its phrase: “ah, they are in the teapot”."""
_DANGLING = """
a an the my your our his her their i in on at of by to with under behind beside from and or
"""
_HANGS = frozenset(_DANGLING.split())
"""Words with which no phrase ends (a list of our own)."""
_USUAL = frozenset(
    terms("scissors needle hook yarn marker pin ruler tape measure pencil glasses chart pattern ball wool")
)
"""What is searched for on any table."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A stretch that may go or be sped up: seconds, kind, a sentence for the editor, and how much faster it may run.

    ``speed`` is 0 where it goes altogether.
    """

    start: float
    end: float
    kind: Kind
    sentence: str
    speed: int = 0

    @property
    def saved(self) -> float:
        """The seconds that it saves."""
        return (self.end - self.start) * (1 - 1 / self.speed if self.speed else 1)


def cut_list(said: Sequence[Said], tools: Sequence[str] = ()) -> tuple[Cut, ...]:
    """Find what may go, in order of time, none over another; ``tools`` are what the course may search for."""
    words = [word for one in said for word in one.words]
    if not words:
        return ()
    stems = [terms(word.text) for word in words]
    begins = {id(one.words[0]) for one in said}
    phrases = [place for place, word in enumerate(words) if _opens(words, place, id(word) in begins)]
    wanted = _USUAL | {part for tool in tools for part in terms(tool) if part not in LITTLE}
    found = [*_said_again(words, stems), *_told_back(words, stems), *_searches(words, wanted, phrases)]
    found += _slow([word for one in said for word in _as_said(one)])
    return _apart(found)


def saved_before(time: float, cuts: Sequence[Cut]) -> float:
    """Give the seconds that cuts save up to a time of the video."""
    return sum(one.saved * (min(one.end, time) - one.start) / (one.end - one.start) for one in cuts if one.start < time)


def cut_at(cuts: Sequence[Cut], second: float) -> Cut | None:
    """Give the cut that takes out what is heard at a second of the video, none where it is only sped up."""
    return next((one for one in cuts if not one.speed and one.start - 1 < second < one.end), None)


def _apart(found: Sequence[Cut]) -> tuple[Cut, ...]:
    """Put cuts in order and let none lie over another: what goes altogether keeps its time."""
    kept = list[Cut]()
    for one in found:  # by rank: the surest first
        parts = [one]
        for other in kept:
            parts = [part for whole in parts for part in _without(whole, other)]
        least = SHORTEST if one.kind == "slow" else 0.5
        kept += [_again_worded(part) for part in parts if part.end - part.start >= least]
    return tuple(sorted(kept, key=lambda one: one.start))


def _without(one: Cut, other: Cut) -> Iterator[Cut]:
    if other.end <= one.start or other.start >= one.end:
        yield one
        return
    if one.start < other.start:
        yield replace(one, end=other.start)
    if other.end < one.end:
        yield replace(one, start=other.end)


def _again_worded(one: Cut) -> Cut:
    """Say of a slow stretch what it saves at each speed; the words in it are kept in its sentence."""
    if one.kind != "slow":
        return one
    length = one.end - one.start
    speed = min(FASTEST, max(2, round(length / LEFT)))
    saves = ", ".join(
        f"{times} times would save {length * (1 - 1 / times):.0f} s" for times in SPEEDS if times != speed
    )
    told = nearest_second(one.end) - nearest_second(one.start)  # as the times beside it differ
    return replace(one, speed=speed, sentence=f"{one.sentence} in {told} s; {saves}.")


def _slow(words: Sequence[Word]) -> Iterator[Cut]:
    """Find slow stretches (see the module)."""
    score = best = 0.0
    first, last = 0, 0
    for place, (word, after) in enumerate(pairwise(words)):
        score += (after.start - word.start) / 1000 - 60 / SLOW
        if score <= 0 or score < best - TALK:
            yield from _silent(words, first, last)
            first, last, score, best = place + 1, place + 1, 0.0, 0.0
        elif score > best:
            best, last = score, place + 1
    yield from _silent(words, first, last)


def _silent(words: Sequence[Word], first: int, last: int) -> Iterator[Cut]:
    """Make cuts of a slow stretch without the talk in it; one that is told slowly for the most part is left whole."""
    talk = [*_talk(words, first, last)]
    told = sum(words[end].start - words[start].start for start, end in talk)
    if told * 2 > words[last].start - words[first].start:
        talk = []
    for start, end in pairwise([first, *(place for run in talk for place in run), last]):
        if (start, end) not in talk:
            yield from _slow_one(words, start, end)


def _talk(words: Sequence[Word], first: int, last: int) -> Iterator[tuple[int, int]]:
    """Find the first and last words of what is told in one go: so many words more than a pace of half the slow one."""
    score = best = 0.0
    start = end = first
    for place in range(first + 1, last + 1):
        gained = 1 - (words[place].start - words[place - 1].start) / 1000 * SLOW / 120
        if score + gained <= 0 or score + gained < best - TALK:
            if best >= TALK:
                yield start, end
            score, best, start, end = 0.0, 0.0, place, place
            continue
        score += gained
        if score > best:
            best, end = score, place
    if best >= TALK:
        yield start, end


def _slow_one(words: Sequence[Word], first: int, last: int) -> Iterator[Cut]:
    """Make a cut of a slow stretch: from behind the word that begins it to the next one that is heard behind it."""
    start, end = words[first].start / 1000 + 0.5, words[last].start / 1000
    if end - start >= SHORTEST:
        count = last - first - 1
        yield Cut(start, end, "slow", f"{count} word{'s' if count != 1 else ''}" if count else "No word")


def _said_again(words: Sequence[Word], stems: Sequence[tuple[str, ...]]) -> Iterator[Cut]:
    """Find sentences that are said twice: the first may go."""
    seen = dict[tuple[tuple[str, ...], ...], int]()
    place = 0
    while place + ALIKE <= len(words):
        key = tuple(stems[place : place + ALIKE])
        before = seen.get(key, -1)
        if before >= 0 and before + ALIKE <= place and words[place].start - words[before].start <= 1000 * AGAIN + 6000:
            length = ALIKE
            while place + length < len(words) and stems[before + length] == stems[place + length]:
                length += 1
            length = min(length, place - before)
            gap = (words[place].start - words[before + length - 1].start) / 1000
            new = place - before - length  # words between, which would go with the first time and are said but once
            alike = len({one for one in stems[before : before + length] if one}) < DIFFERENT
            if gap <= AGAIN and new <= length and not alike:
                text = " ".join(word.text for word in words[place : place + min(length, 12)])
                what = f"“{text}” is said again {gap:.0f} s later; the first time may go."
                yield Cut(words[before].start / 1000, words[place].start / 1000, "said again", what)
                place += length
                continue
        seen[key] = place
        place += 1


def _told_back(words: Sequence[Word], stems: Sequence[tuple[str, ...]]) -> Iterator[Cut]:
    """Find remarks that take something back: the slip and the remark may go, up to where it is said right."""
    for first, last, text in _matches(words, _BACK):
        if last + 1 < len(words):
            start = _slip_start(words, stems, first, last)
            what = f"Corrected at once (“{text}”): this may go, if the picture allows; what comes next is right."
            yield Cut(words[start].start / 1000, words[last + 1].start / 1000, "correction", what)


def _slip_start(words: Sequence[Word], stems: Sequence[tuple[str, ...]], first: int, last: int) -> int:
    """Find the word that is said anew behind the remark; if there is none, the slip begins with its phrase.

    Words between the remark and the word said anew stood before it the first time, too: “one stitch, no, two stitches”.
    Where several are, that place counts of which most words come again, then the last one: “twelve, thirteen, that is
    fifteen stitches, no, thirteen stitches” is taken back from “fifteen” on.
    """
    anew = range(last + 1, min(last + 1 + ANEW, len(words)))
    found = Counter(
        place - behind
        for behind in anew
        for place in range(first - 1, max(-1, first - 1 - BACK), -1)
        if stems[place] == stems[behind] and not LITTLE.issuperset(stems[place])
    )
    if not found:
        return _phrase_start(words, first)
    _, shift = max((count, shift) for shift, count in found.items())
    return max(0, last + 1 + shift)


def _searches(words: Sequence[Word], tools: frozenset[str], phrases: Sequence[int]) -> Iterator[Cut]:
    """Find where the host searches for something, until she has it and has said so, or goes on.

    ``phrases`` are the places at which something new is said: no answer is cut in two.
    """
    until = 0.0
    for first, last, text in _matches(words, _SEARCH):
        named = _SEARCH.search(text)
        tool = named["tool"] if named else None
        if words[first].start < until or (tool and not any(part in tools for part in terms(tool))):
            continue
        if tool and terms(tool)[-1] not in tools and " " in tool:
            text, last = text.rpartition(" ")[0], last - 1  # “where are my scissors here they are”
        until = words[first].start + AFTER * 1000
        ahead = [word for word in words[last + 1 : last + 60] if word.start < until]
        spoken = " ".join(word.text.casefold() for word in ahead)
        found = list(_FOUND.finditer(spoken))
        if found:
            place = last + 2 + spoken.count(" ", 0, found[-1].end())
            if not found[-1]["whole"]:
                place = next((phrase for phrase in phrases if phrase >= place), len(words) - 1)
            until = float(words[min(place, len(words) - 1)].start)
        else:
            place = next((p for p in range(last + 1, len(words)) if _pauses(words, p)), len(words) - 1)
            until = min(until, float(words[place].start))
        what = f"Searching (“{text}”): may go, if the picture allows."
        yield Cut(words[first].start / 1000, until / 1000, "search", what)


def _pauses(words: Sequence[Word], place: int, letter: float = 0.0) -> bool:
    """Whether a pause comes before a word; ``letter``: seconds for each letter of the word before it, besides."""
    before = words[place - 1]
    return words[place].start - before.start > (BREATH + letter * len(before.text)) * 1000


def _as_said(one: Said) -> Iterator[Word]:
    """Give the words of a caption when they are said, not put off into a silence in which the caption still stands."""
    at = one.words[0].start
    for word in one.words:
        yield replace(word, start=min(word.start, at)) if one.spread else word
        at += SLOWEST * (len(word.text) + 1)


def _opens(words: Sequence[Word], place: int, begins: bool) -> bool:
    """Whether a word may begin something new: behind a pause, as one with which a host goes on, or with a caption.

    A caption is no beginning where the one before it ends in the middle of a phrase: “they are in the | teapot”.
    """
    few = " ".join(word.text.casefold() for word in words[place : place + 4])
    hangs = place == 0 or words[place - 1].text.casefold() in _HANGS
    return not hangs and (begins or _pauses(words, place, SLOWEST / 1000) or OPENING.match(few) is not None)


def _phrase_start(words: Sequence[Word], place: int) -> int:
    """Go back to where the phrase of a word begins."""
    first = place
    while first > 0 and words[place].start - words[first - 1].start < BEFORE * 1000 and not _pauses(words, first):
        first -= 1
    return first


def _matches(words: Sequence[Word], pattern: re.Pattern[str]) -> Iterator[tuple[int, int, str]]:
    """Find a pattern in what is said: first and last word, and the words."""
    text = " ".join(word.text.casefold().replace("’", "'") for word in words)
    for found in pattern.finditer(text):
        first = text.count(" ", 0, found.start())
        last = first + found[0].strip().count(" ")
        yield first, last, " ".join(word.text for word in words[first : last + 1])


_SLOW = re.compile(
    r"\b(?:slow(?:ly|er)?|(?:hold|keep|stay) still|step by step|stitch by stitch|pause)\b", re.IGNORECASE
)
"""Words by which hands are slow on purpose (a list of our own)."""
_OVER = re.compile(r"[\[(*]|\btimes\b|\brep\b|\d\d|[7-9]")
"""What a line has that is worked over and over: a repeat, or more than six stitches in a row (a guess)."""


def shown_slowly(plan: Plan, number: ShotNumber) -> str:
    """Say what in a shot is slow on purpose, as a clause; nothing where its hands may be sped up.

    Two things say so: words such as “slowly” in what the hands do, and a line of little else than a move of several
    steps (a decrease, a make one). One that works it over and over, or many plain stitches too, may be sped up.
    """
    word, hands = plan.worked.word, plan.course.shot(number).hands
    slow = next((text for one in hands if _SLOW.search(text := fill(one.do, word))), "")
    if slow:
        return f"{number} is slow on purpose (“{slow}”)"
    moves = (one.work for one in hands if not _OVER.search(one.work) and sequences_in(one.work))
    return next((f"{number} shows a move step by step (“{line}”)" for line in moves), "")
