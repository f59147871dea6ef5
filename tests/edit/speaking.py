"""A simulated host before the camera, and her captions in every usual form. It shares nothing with the reader.

She talks in phrases with short pauses between them (hands at rest), then works with her hands and says a phrase now and
then. The true pace with hands at rest is the one that her phrases have with their pauses, in the long run; the true
pace over all is that of what she says by the time it takes, in the long run.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

SPEECH = (
    "now we take the yarn over and knit this stitch again because that little gap closes by itself when you pull gently"
    " so look at my left hand here it holds the needle loosely and there is round twelve of sixteen already"
)
WORDS = tuple(SPEECH.split())


@dataclass(frozen=True)
class Host:
    """``rest``: words a minute with hands at rest. ``talk`` of her time she talks; of the time of her work she speaks
    ``over_work``. ``uneven``: how unlike one phrase is to another; ``days``: one day to another."""

    rest: float
    talk: float = 0.5
    over_work: float = 0.35
    uneven: float = 0.12
    days: float = 0.04

    @property
    def over_all(self) -> float:
        """Sections of talk and work take turns, a minute each on the average at ``talk`` 0.5."""
        return self.rest * (self.talk + (1 - self.talk) * self.over_work)


Phrase = tuple[float, float, tuple[str, ...]]


def video(host: Host, minutes: float, chance: random.Random) -> list[Phrase]:
    """What she says in a video: phrases with beginning and end of their sound, in seconds."""
    phrases: list[Phrase] = []
    clock, stop = chance.uniform(0, 10), 60 * minutes
    today = math.exp(chance.gauss(0, host.days))
    talks = chance.random() < host.talk
    until = clock + _section(host, talks, chance)
    while clock < stop:
        if clock >= until:
            talks = not talks
            until = clock + _section(host, talks, chance)
        count = chance.randint(4, 16) if talks else chance.randint(2, 9)
        # The mean of time for each word is that of the pace: a log-normal has the mean exp(spread^2 / 2).
        slow = math.exp(chance.gauss(-(host.uneven**2) / 2, host.uneven))
        whole = 60 * count * slow / (host.rest * today)
        pause = whole * chance.uniform(0.05, 0.25)
        phrases.append((clock, clock + whole - pause, tuple(chance.choices(WORDS, k=count))))
        clock += whole if talks else whole + chance.expovariate(1 / (whole * (1 / host.over_work - 1)))
    return phrases


def _section(host: Host, talks: bool, chance: random.Random) -> float:
    return chance.gammavariate(3, 120 * (host.talk if talks else 1 - host.talk) / 3)


def stamp(seconds: float, comma: str = ".") -> str:
    total = round(seconds * 1000)
    return f"{total // 3_600_000:02}:{total // 60_000 % 60:02}:{total // 1000 % 60:02}{comma}{total % 1000:03}"


def as_webvtt(phrases: Sequence[Phrase]) -> str:
    """Careful captions: each is seen while it is said."""
    cues = (f"{stamp(start)} --> {stamp(end)}\n{' '.join(words)}\n" for start, end, words in phrases)
    return "WEBVTT\n\n" + "\n".join(cues)


def as_subrip(phrases: Sequence[Phrase]) -> str:
    """Captions that stand until the next one comes, so that no silence is to be seen."""
    ends = [*(start for start, _, _ in phrases[1:]), phrases[-1][1]]
    cues = (
        f"{number}\n{stamp(phrase[0], ',')} --> {stamp(end, ',')}\n{' '.join(phrase[2])}\n"
        for number, (phrase, end) in enumerate(zip(phrases, ends, strict=True), 1)
    )
    return "\n".join(cues)


def as_rolling(phrases: Sequence[Phrase]) -> str:
    """Automatic captions: each line is shown alone for a moment, then again above the next."""
    blocks, above = ["WEBVTT\nKind: captions\nLanguage: en\n"], " "
    for place, (start, end, words) in enumerate(phrases):
        line = " ".join(words)
        last = phrases[place + 1][0] if place + 1 < len(phrases) else end
        blocks.append(f"{stamp(start)} --> {stamp(max(start, last - 0.01))} align:start position:0%\n{above}\n{line}\n")
        blocks.append(f"{stamp(max(start, last - 0.01))} --> {stamp(last)} align:start position:0%\n{line}\n \n")
        above = line
    return "\n".join(blocks)


def as_transcript(phrases: Sequence[Phrase], seconds: float = 25) -> str:
    """Paragraphs that begin when the one before has so many seconds; whole seconds only."""
    return "\n\n".join(
        f"{int(start) // 60}:{int(start) % 60:02}\n{text}" for start, text in _paragraphs(phrases, seconds)
    )


def _paragraphs(phrases: Sequence[Phrase], seconds: float) -> Iterator[tuple[float, str]]:
    start, words = phrases[0][0], list[str]()
    for begin, _, said in phrases:
        if begin - start >= seconds:
            yield start, " ".join(words)
            start, words = begin, []
        words += said
    yield start, " ".join(words)


FORMS = {"WebVTT": as_webvtt, "SubRip": as_subrip, "rolling": as_rolling, "transcript": as_transcript}
