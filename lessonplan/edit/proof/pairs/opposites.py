"""Words of a pair bound to their planned statement: “from the front” said “from the back” in the same words otherwise.

Every text that plans what is said or printed in a segment binds each word of a pair in it to the telling words around;
where these are said with the other word of the pair, it is swapped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonplan.edit.proof.expected.texts import IDLE
from lessonplan.edit.proof.findings import Planned

_PAIRS = (
    ("left", "right"),
    ("front", "back"),
    ("odd", "even"),
    ("ltr", "rtl"),
    ("in front", "in back"),
    ("little", "ring", "middle", "index"),
    ("twos", "threes", "fours", "fives", "sixes"),
)
"""Words that are said for one another (common practice)."""
_OTHERS = {word: tuple(other for other in pair if other != word) for pair in _PAIRS for word in pair}
_WAYS = {"left to right": "ltr", "right to left": "rtl", "from the front": "in front", "from the back": "in back"}
_NAMES = {name: way for way, name in _WAYS.items()}
AROUND = 7
"""So many words on either side tell what a word is said of."""
ENOUGH, MORE = 4, 2
"""So many of them must be those of a planned statement with the other word, and so many more than with its own."""

Bound = Mapping[str, tuple[frozenset[str], ...]]
"""The words around each word of a pair, wherever it is planned."""


@dataclass(frozen=True, slots=True)
class Opposite:
    """A word said for the other of its pair: its tokens and what is right."""

    first: int
    end: int
    right: str


def _places(words: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """Give where words of a pair stand: first token, end, the word."""
    at = 0
    while at < len(words):
        way = _WAYS.get(" ".join(words[at : at + 3])) if words[at] in ("left", "right", "from") else None
        if way:
            yield at, at + 3, way
        elif words[at] in _OTHERS:
            yield at, at + 1, words[at]
        at += 3 if way else 1


def _telling(words: Sequence[str], first: int, end: int) -> frozenset[str]:
    reach = AROUND + 2 * (words[first] == "from")  # “from the front” tells more itself
    near = (*words[max(0, first - reach) : first], *words[end : end + reach])
    before = " ".join(words[max(0, first - 4) : first])
    return frozenset(
        word[:5].removesuffix("s") for word in near if word not in IDLE and word not in _OTHERS and len(word) > 2
    ) | {before}


def bound_in(texts: Sequence[str]) -> Bound:
    """Bind the words of pairs in planned texts to the words around them."""
    found: dict[str, list[frozenset[str]]] = {}
    for text in texts:
        words = re.findall(r"[^\W_]+(?:['’][^\W_]+)*", text.lower())
        for first, end, word in _places(words):
            found.setdefault(word, []).append(_telling(words, first, end))
    return {word: tuple(each) for word, each in found.items()}


_STITCHES = frozenset(("knit", "knits", "knitting", "purl", "purls", "purling"))
_YARNS = frozenset(("yarn", "wool", "thread", "strand", "it"))


def opposites_in(words: Sequence[str], bound: Bound, techniques: frozenset[str]) -> Iterator[Opposite]:
    """Find the words that are said for the other of their pair; ``techniques`` are those worked where they are said."""
    if not bound:
        return
    told = set[str]()
    for first, end, word in _places(words):
        near = {*words[max(0, first - AROUND) : end + AROUND]}
        of_yarn = word in ("front", "back") and not (_YARNS.isdisjoint(near) or _STITCHES.isdisjoint(near))
        made = " ".join(words[max(0, first - 2) : first]) in ("make one", "make a") and f"m1{word[0]}" in techniques
        finger = word in ("little", "ring", "middle", "index") and words[end : end + 1] != ["finger"]
        if word in told or of_yarn or made or finger:  # where the yarn lies for a stitch is known without a script
            continue
        own = _telling(words, first, end)
        same = max((len(own & each) for each in bound.get(word, ())), default=0)
        for other in _OTHERS[word]:
            best = max((len(own & each) for each in bound.get(other, ())), default=0)
            if best >= ENOUGH - (len(_OTHERS[word]) > 1) and best >= same + MORE:
                yield Opposite(first, end, _NAMES.get(other, other))
                told |= {word} if word.endswith("s") else set()  # “in threes” is said again in the same breath
                break


_EITHER = re.compile(
    r"\b(?:an? )(?P<of>even|odd) (?:number|count|amount)\b"
    r"|\b(?:comes?|coming|came|be|is|are|stays?|it's|that's|always|never|should)(?: (?:out|up"
    r"|be))?(?: an)? (?P<is>even|odd)\b"
    r"(?! (?:though|if|when|i|you|more|better|after|get|now)\b)"
    r"|\b(?:and|but|or|so) (?P<then>even|odd)(?= (?:means|is|says|and you|you))"
)
_BETWEEN = re.compile(r"\b(?:markers?|between|gusset|wedge|increases?)\b")
_AMISS = re.compile(
    r"\b(?:lost|missing|missed|wrong|dropped|forgot\w*|left (?:one|it)|short|skipped|too (?:many|few)|mistake"
    r"|uneven|trouble|astray"
    r"|count again|miscounted|go back)\b"
)
_SUPPOSED = re.compile(r"\b(?:if|when|unless|not|never|isn't|in case)\b")


def parity_in(words: Sequence[str], counts: Sequence[Planned]) -> Iterator[Opposite]:
    """Find “even” said for “odd”, or the other way about, of the ``counts`` between markers, where all are of "
    "one kind."""
    if {"even", "odd"}.isdisjoint(words):
        return
    between = {value % 2 for each in counts if each.cue == "between" for value in each.values}
    if len(between) != 1:
        return
    text, right = " ".join(words), "odd" if between == {1.0} else "even"
    for one in _EITHER.finditer(text) if _BETWEEN.search(text) else ():
        said = one["of"] or one["is"] or one["then"]
        ahead = re.split(r"\b(?:odd|even|but|when|if)\b", text[one.end() : one.end() + 60])[0]
        amiss = _AMISS.search(ahead) is not None
        supposed = _SUPPOSED.search(text, max(0, one.start() - 22), one.end()) is not None
        fine = _FINE.search(ahead) is not None
        if (said == right and amiss and not fine) or (said != right and (fine or not (amiss or supposed))):
            first = text.count(" ", 0, one.start(one.lastgroup or "of"))
            yield Opposite(first, first + 1, "even" if said == "odd" else "odd")
            return  # the other one is the same slip


_FINE = re.compile(r"\b(?:correct|right|fine|good|well|golden|okay|perfect|spot on|happy|want|on track)\b")
