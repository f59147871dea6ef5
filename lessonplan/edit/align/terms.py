"""Words made comparable: endings off, numbers in words, and words that were misheard taken for what they sound like."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)?")
_ENDINGS = ("ing", "edly", "ed", "es", "s", "ly", "er", "e", "y")
_NUMBERS = """
zero one two three four five six seven eight nine ten eleven twelve thirteen
fourteen fifteen sixteen seventeen eighteen nineteen
"""
_ONES = tuple(_NUMBERS.split())
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_LITTLE = """
a about above after again all also always am an and another any are aren't around as at away back be because been
before being both but by can can't come could did didn't do does doesn't doing don't done down each else enough even
ever every few for from get gets go goes going gone good got had has have haven't he her here here's him his how i
i'd i'll i'm i've if in into is isn't it it's its just keep know let let's like little look looks lot made make many
maybe me might mine more most much must my need never new next no not nothing now of off oh okay on once one only or
other our out over own part please put quite really right said same say see she should show slow so some something
still such take tell than that that's the their them then there there's these they they're thing things this those
though through time to today together too two um under until up upon us use very want was way we we'll we're we've
well went were what what's when where which while who why will with without won't work would yes yet you you'd
you'll you're you've your yours uh actually basically kind sort guys bit first last
"""
LITTLE = frozenset(_LITTLE.split())
"""Words that any talk is full of: alone they speak for no segment (a list of our own)."""
OPENING = re.compile(
    r"(?:and |so |but |well )?(?:okay|ok|right|alright|now|next|finally|at last|time (?:to|for)|let's|let us|on to|onto"
    r"|(?:here|then) comes?|what(?:'s| is) left|the (?:next|last|first|other) (?:thing|step|part|bit|one)"
    r"|(?:this|that) is (?:the|where) |in this (?:part|bit)|welcome|hello|before (?:we|i) )\b"
)
"""How a host begins who turns to something new (common practice, a list of our own)."""


def terms(text: str) -> tuple[str, ...]:
    """Give the words of a planned text as stems; a number of two digits is its words."""
    return tuple(stem(part) for word in _WORD.findall(text.casefold()) for part in _in_words(word))


def _in_words(word: str) -> Iterator[str]:
    """Say a number up to 99 in words, as captions may have it either way; all other words stay."""
    if not word.isdecimal() or len(word) > 2:
        yield word.replace("’", "'")
    elif int(word) < 20:
        yield _ONES[int(word)]
    else:
        yield _TENS[int(word) // 10 - 2]
        if int(word) % 10:
            yield _ONES[int(word) % 10]


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """Take the ending off a word: ``knitting``, ``knits`` and ``knit`` are one; little words stay."""
    if word in LITTLE or len(word) < 4:
        return word
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word[: -len(ending)]
            break
    return word[:-1] if len(word) > 3 and word[-1] == word[-2] else word


@lru_cache(maxsize=20_000)
def sound(word: str) -> str:
    """Write a word by its consonants, as it is heard: ``pearl`` and ``purl`` are one, ``nit`` and ``knit`` too."""
    heard = re.sub(r"^(?:kn|gn|pn)", "n", word)
    heard = re.sub(r"c(?=[eiy])", "s", re.sub(r"^wr", "r", re.sub(r"^wh(?=o)", "h", heard)))
    for spelled, said in (("ph", "f"), ("ght", "t"), ("ck", "k"), ("mb", "m"), ("c", "k"), ("q", "k"), ("z", "s")):
        heard = heard.replace(spelled, said)
    return re.sub(r"(.)\1+", r"\1", heard[:1] + re.sub(r"[aeiouyh']", "", heard[1:]))


def misheard(known: Iterable[str]) -> Mapping[str, str]:
    """Give for each sound the planned word that has it, where just one does."""
    found: dict[str, str | None] = {}
    for word in sorted(known):
        if word not in LITTLE and len(sound(word)) > 1:
            found[sound(word)] = None if sound(word) in found else word
    return {key: word for key, word in found.items() if word}
