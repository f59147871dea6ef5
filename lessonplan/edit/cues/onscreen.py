"""Texts laid over an episode, never two at once, each long enough to be read.

How long a text must stay follows published guidance (tests/facts/speech_caption_demo.csv): read at 150 words a minute,
the slower end of what the DCMP Captioning Key gives for special interest and adults; 1 s more, as the BBC Subtitle
Guidelines ask for labels, unfamiliar words and long figures, and all of these are; at least 2 s (DCMP). A text may come
up to 1.5 s before its word (BBC), or `LATER` after it where others are in its way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from lessonplan.course.values.shotnumbers import ShotNumber

WORD, MORE, LEAST = 400, 1000, 2000
"""Milliseconds of reading a word, of a text besides, and of any text (see the module)."""
EARLIER = 1500
"""Milliseconds by which a text may come before what it belongs to (BBC Subtitle Guidelines)."""
LATER = 10_000
"""Milliseconds by which a text may come after its word: what was said is remembered so long (planning guess)."""
STEP_LONGEST = 7000
"""Milliseconds that a step of a sequence is seen at most: no caption stays longer (tests/facts, “maximum duration”)."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A text to be laid over a shot: all times in milliseconds of the episode.

    ``texts`` follow each other without a break, mostly it is one; ``shorter`` is what is laid where there is no room
    for them: a series as one text, numbers of all sizes as that of the filmed one. ``start`` is when it should come,
    ``last`` the latest time, ``early`` by how much it may come before, ``stays`` how long it should be seen, if there
    is room; ``words`` are when each text of a series is said. It lies between ``opens`` and ``closes``, the ends of its
    shot. A lower ``rank`` is laid first. ``names`` are the facts in it, ``belongs`` says to what it belongs, ``own``
    that the teacher wrote it, ``key`` which of the course's errata (from 0) it corrects.
    """

    kind: str
    texts: tuple[str, ...]
    shot: ShotNumber
    start: int
    last: int
    stays: int
    opens: int
    closes: int
    rank: int
    names: frozenset[str] = frozenset()
    belongs: str = ""
    own: bool = False
    shorter: str = ""
    key: int = -1
    words: tuple[int, ...] = ()
    early: int = EARLIER

    @property
    def spoken(self) -> str:
        """The text with the numbers of the filmed size, as they are said in the shot."""
        return self.shorter or self.texts[0]

    @property
    def told(self) -> str:
        """All of it in one text, as lists name it."""
        return self.texts[0] if len(self.texts) == 1 else self.shorter

    @property
    def least(self) -> int:
        """Milliseconds that are needed to read all of it."""
        return sum(time_to_read(text) for text in self.texts)


@dataclass(frozen=True, slots=True)
class Cue:
    """A text as it is laid: from ``start`` to ``end``, in milliseconds of the episode, and what was wanted."""

    text: str
    start: int
    end: int
    wanted: Wanted


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A text that is not laid, and why, as a clause; ``said`` tells that another text says the same."""

    wanted: Wanted
    why: str
    said: bool = False


@dataclass(frozen=True, slots=True)
class Laid:
    """The texts of an episode in order of time, and those that are left out in the order of the story."""

    cues: tuple[Cue, ...]
    left_out: tuple[LeftOut, ...]


def time_to_read(text: str) -> int:
    """Give the milliseconds that a text must stay, in whole tenths of a second (see the module)."""
    return max(LEAST, ceil((MORE + WORD * len(text.split())) / 100) * 100)


def lay(wanted: Iterable[Wanted]) -> Laid:
    """Lay texts over an episode: by rank, then by time; what finds no room is left out.

    What does not fit is tried in its shorter form.
    """
    taken: list[tuple[int, int]] = []
    cues, left = list[Cue](), list[LeftOut]()
    for one in sorted(wanted, key=lambda one: (one.rank, one.start)):
        laid = _at_its_words(one, taken) or _in_one(one, taken)
        taken += [(cue.start, cue.end) for cue in laid]
        cues += laid
        if not laid:
            left.append(LeftOut(one, _why_not(one, cues)))
    return Laid(tuple(sorted(cues, key=lambda one: one.start)), tuple(sorted(left, key=lambda one: one.wanted.start)))


def _at_its_words(one: Wanted, taken: Sequence[tuple[int, int]]) -> list[Cue]:
    """Lay each text of a series when it is said, or as soon after that as can be read; none if one finds no room."""
    starts, at = list[int](), 0
    for text, said in zip(one.texts, one.words, strict=False):
        begins, least = max(at, said), time_to_read(text)
        start = _room(replace(one, start=begins, last=begins + LATER), least, taken)
        if start is None:
            return []
        starts.append(start)
        at = start + least
    cues = list[Cue]()
    for text, start, after in zip(one.texts, starts, [*starts[1:], at], strict=False):
        end = start + time_to_read(text)  # it is seen until the next one comes, or a text of another kind
        until = min([after, start + STEP_LONGEST, *(begin for begin, _ in taken if begin >= end)])
        cues.append(Cue(text, start, max(end, until), one))
    return cues


def _in_one(one: Wanted, taken: Sequence[tuple[int, int]]) -> list[Cue]:
    """Lay the texts of a series one right after the other, or what there is room for.

    A series goes with the hands: in one text that comes with them rather than step by step when they have gone on.
    """
    tries = [] if one.words else [(one, one.texts, max(one.stays, one.least)), (one, one.texts, one.least)]
    if one.shorter:
        tries.append((one, (one.shorter,), time_to_read(one.shorter)))
    if len(one.texts) > 1:
        soon = replace(one, last=min(one.last, one.start + EARLIER))
        short = [(replace(soon, early=EARLIER), texts, length) for _, texts, length in tries[-1:] if one.shorter]
        tries = [*((soon, texts, length) for _, texts, length in tries[:-1]), *short, *tries]
    for wanted, texts, length in tries:
        start = _room(wanted, length, taken)
        if start is not None:
            return _cues(one, texts, start, length)
    return []


def _room(one: Wanted, length: int, taken: Iterable[tuple[int, int]]) -> int | None:
    """Find the start nearest to the one wanted, of two the later one, at which a text of such a length is alone."""
    first, last = max(one.opens, one.start - one.early), min(one.last, one.closes - length)
    ends = sorted((start, end) for start, end in taken if end > first and start < one.closes)
    # A text can only begin where it is wanted, at the end of another, or so that it ends where another begins.
    starts = {one.start, first, last, *(end for _, end in ends), *(start - length for start, _ in ends)}
    free = [
        at for at in starts if first <= at <= last and all(at + length <= start or at >= end for start, end in ends)
    ]
    return min(free, key=lambda at: (abs(at - one.start), at < one.start), default=None)


def _cues(one: Wanted, texts: tuple[str, ...], start: int, length: int) -> list[Cue]:
    """Give each text of a series its part of the time: what it needs, and of what is over an equal share."""
    over, cues = length - sum(map(time_to_read, texts)), list[Cue]()
    for place, text in enumerate(texts, 1):
        end = start + time_to_read(text) + over * place // len(texts) - over * (place - 1) // len(texts)
        cues.append(Cue(text, start, end, one))
        start = end
    return cues


def _why_not(one: Wanted, cues: Iterable[Cue]) -> str:
    least = min(one.least, time_to_read(one.shorter)) if one.shorter else one.least
    if one.closes - one.opens < least:
        return f"the shot is shorter than the {one.least / 1000:.1f} s that it takes to read it"
    beside = sorted({cue.text for cue in cues if cue.end > one.start - EARLIER and cue.start < one.last + one.least})
    return f"there is no room beside “{beside[0]}”" if beside else "there is no room before the shot ends"
