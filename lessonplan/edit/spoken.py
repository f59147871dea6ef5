"""What is said in a shot, as plain words, and where in it a text or a fact belongs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import takewhile

from lessonplan.course.words import capital
from lessonplan.edit.align.terms import terms
from lessonplan.pattern.texts import fill

FEW_WORDS = 3
"""A text is found in the words by so many that it has in common with them in a row; two do if one is a number."""
ALIKE = 0.6
"""A text of which so much is said in a row is said word for word (a guess)."""
SHARED, LOOSELY = 0.4, 3
"""Said in other words, a text has so much of its telling words in common with as many words as it has and a few more (a
guess)."""
_LITTLE = """
a an the of to it is are in on at by for as so and or but you we your our this that
"""
_JOINING = frozenset(_LITTLE.split())
"""Words that tell nothing of what is done; “back”, “through” and “right” do."""
_OPEN, _CLOSE = "\ue000", "\ue001"
_WORD = re.compile(r"[^\W_]+(?:['’.\-][^\W_]+)*")


@lru_cache(maxsize=4096)
def plain(markdown: str) -> str:
    """Give the words of a text without Markdown's signs, a blank line between its paragraphs."""
    text = re.sub(r"\[([^\[\]]*)\]\([^()]*\)", r"\1", markdown)
    text = re.sub(r"(?m)^[ \t]*(?:#{1,6}|>|[-+*])[ \t]+", "", text)
    paragraphs = re.split(r"\n\s*\n", re.sub(r"\*|`|(?<!\w)_|_(?!\w)", "", text))
    return "\n\n".join(re.sub(r"[ \t\r\n]+", " ", one).strip() for one in paragraphs if one.strip())


def as_written(heard: str) -> str:
    """Write words of captions as one writes: a capital at the beginning and for “I”, a curved apostrophe.

    Captions made by machine have none of these; names in them stay small, for nothing tells which they are.
    """
    text = re.sub(r"(?<=\w)'(?=\w)|(?<=\w)'(?!\w)", "’", heard)
    text = re.sub(r"(?<![\w’])i(?![\w-])", "I", text) if has_no_capitals(heard) else text
    return capital(text)


def has_no_capitals(heard: str) -> bool:
    """Whether words of captions have no capital at all, so that names in them cannot be told."""
    return heard == heard.lower()


def words_of(text: str) -> list[str]:
    """Give the words of a text that are spoken, in small letters: letters and digits."""
    return _WORD.findall(text.casefold())


def place_of(text: str, said: str) -> int | None:
    """Find the word (from 0) of what is ``said`` at which a text belongs.

    Words with a number in them go before any without: who corrects a number lays it over the number. Else it belongs
    where most of its telling words are said close together, in any order: “leans right” at “it leans to the right”.
    """
    spoken, wanted = words_of(said), words_of(text)
    run = _longest_run(spoken, wanted)
    if run and (run[0] or run[2] >= ALIKE * len(wanted)):
        return run[1]
    place = _close_together(spoken, wanted)
    return place if place is not None else run[1] if run else None


def _longest_run(spoken: list[str], wanted: list[str]) -> tuple[bool, int, int] | None:
    """Find where most words in a row are in both, those with a number first: if they have one, place, and how many."""
    firsts: dict[str, list[int]] = {}
    for first, word in enumerate(wanted):
        firsts.setdefault(word, []).append(first)
    found = []
    for place, word in enumerate(spoken):
        for first in firsts.get(word, ()):
            shared = _in_common(spoken[place : place + len(wanted)], wanted[first:])
            number = any(word.isdigit() for word in shared)
            if len(shared) >= FEW_WORDS - number:
                found.append((number, len(shared), -first, -place))
    number, length, _, place = max(found, default=(False, 0, 0, 0))
    return (number, -place, length) if found else None


def _close_together(spoken: list[str], wanted: list[str]) -> int | None:
    """Find the first of the words among which most of the wanted ones are, the fewest such words; None for too few."""
    telling = {one for word in wanted for one in terms(word)} - _JOINING
    shared = {word: telling.intersection(terms(word)) for word in {*spoken}}
    stems = [shared[word] for word in spoken]
    found = []
    for first, here in enumerate(stems):
        if here:
            seen, last = set[str](), first
            for place in range(first, min(len(stems), first + len(wanted) + LOOSELY)):
                if not stems[place] <= seen:
                    seen, last = seen | stems[place], place
            found.append((len(seen), first - last, -first))
    most, _, first = max(found, default=(0, 0, 0))
    return -first if most >= max(2, SHARED * len(telling)) else None


def phrase_at(phrase: str, said: str) -> int | None:
    """Find the word (from 0) at which these very words are said, whatever their case; None where they are not."""
    spoken, wanted = words_of(said), words_of(phrase)
    places = range(len(spoken) - len(wanted) + 1) if wanted else ()
    return next((place for place in places if spoken[place : place + len(wanted)] == wanted), None)


def facts_said(say: str, word: Callable[[str], str]) -> Iterator[tuple[int, str]]:
    """Give each fact that a text names with the word (from 0) at which its value is said."""
    told = fill(say, lambda name: f"{_OPEN}{name}{_CLOSE}{word(name)}")
    before = 0
    for part in plain(told).split(_OPEN):
        name, mark, rest = part.rpartition(_CLOSE)
        if mark:
            yield before, name
        before += len(words_of(rest))


def _in_common(one: list[str], other: list[str]) -> list[str]:
    """The words with which both begin."""
    return [a for a, _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False))]
