"""Print that names the sizes one by one: `S: 86 sts - M: 94 sts`, `71 sts (2nd size 77 sts, 3rd size 83 sts)`, `a) 86
b) 94 sts`.

What is meant for another size is blanked out, character for character, so that every place in the text stays the same.
"""

from __future__ import annotations

import itertools
import re
from functools import lru_cache

_NAMES = (
    "xxs",
    "xs",
    "s",
    "m",
    "l",
    "xl",
    "xxl",
    "2xl",
    "3xl",
    "4xl",
    "5xl",
    "small",
    "medium",
    "large",
    "extra large",
)
_MARK = re.compile(
    r"(?<![\w'])(?:(?P<name>X{0,3}S|M|X{0,3}L|[2-5]XL|[Ss]mall|[Mm]edium|(?:[Ee]xtra )?[Ll]arge)\s*(?::|(?=\d))|"
    r"(?P<letter>[a-h])\)\s*(?=\d)|"
    r"(?P<nth>(?i:(?:1st|2nd|3rd|[4-9]th|first|second|third|fourth|fifth|sixth) size)\b(?!s? only))\s*:?)"
)
_BETWEEN = " -–—,;/("
"""What stands between the sizes."""
_INSIDE = re.compile(
    r"(?P<first>\d+(?:\s*(?:sts?|stitches|rows|rounds|rnds"
    r"|times)\b\.?)?)\s*[(\[](?P<rest>(?:2nd|second) size[^)\]]*)[)\]]",
    re.IGNORECASE,
)
"""Of the first size before a bracket, of the others in it."""


def for_size(text: str, size: int, sizes: int) -> str:
    """The text with what is meant for other sizes than the 0-based `size` blanked out."""
    if sizes < 2:
        return text
    text = in_size(text, size, sizes)
    if not _names_sizes(text):
        return text
    if match := _INSIDE.search(text):
        marks = [*_MARK.finditer(text, match.start("rest"), match.end("rest"))]
        if len(marks) == sizes - 1:
            keep = match.span("first") if size == 0 else _segment(text, marks, size - 1, match.end("rest"))
            return _blanked(text, match.span(), keep)
    marks = [*_MARK.finditer(text)]
    groups = [marks[n : n + sizes] for n in range(0, len(marks), sizes)]
    if len(marks) % sizes or not all(map(_in_order, groups)):
        return text
    for number, group in enumerate(groups):
        later = groups[number + 1][0].start() if number + 1 < len(groups) else len(text)
        end = min(_end(text, group), later)
        text = _blanked(text, (group[0].start(), end), _segment(text, group, size, end))
    return text


_RANGE = r"\d+(?:\s*[-–—]\s*\d+)?"
_LABEL = re.compile(
    rf"^\W*(?:rows?|rnds?|rounds?|r)\.?\s*(?P<first>{_RANGE})\s*[(\[](?P<rest>{_RANGE}(?:\s*[,:;/]\s*{_RANGE})*)[)\]]\s*[:.–-]",
    re.IGNORECASE,
)


def label_of(text: str, size: int, sizes: int) -> str:
    """The text with the numbers of its rows in one size, where those in the others are told: `Rnds 4-6 (5-9): ...`."""
    match = _LABEL.match(text) if sizes > 1 else None
    if match is None:
        return text
    parts = [match.span("first")]
    parts += [each.span() for each in re.compile(_RANGE).finditer(text, *match.span("rest"))]
    ranges = {len(re.findall(r"\d+", text[start:end])) for start, end in parts}
    if len(parts) != sizes or len(ranges) > 1:  # `Rows 3-8 (10)` goes on to 10 in the second size
        return text
    return _blanked(text, (match.start("first"), match.end("rest") + 1), parts[size])


_OF_SIZES = re.compile(
    r"\b(?:for )?sizes? (?P<names>[\w/-]+(?:(?:, (?:and )?| and | & |, )[\w/-]+)*)(?: only)?\s*[:–—]", re.IGNORECASE
)
"""What is meant for one size or several, by any names: `Size newborn: ... Sizes child and adult: ...`."""


def in_size(text: str, size: int, sizes: int) -> str:
    """The text without what is meant for others, where it names every size once, in the order of the sizes."""
    marks = [*_OF_SIZES.finditer(text)] if sizes > 1 else []
    names = [(name.lower(), mark) for mark in marks for name in re.split(r"\W+(?:and\W+)?", mark["names"])]
    if len(marks) < 2 or len(names) != sizes or len({name for name, _ in names}) != sizes:
        return text
    own = names[size][1]
    end = next((mark.start() for mark in marks if mark.start() > own.start()), len(text))
    return _blanked(text, (marks[0].start(), len(text)), (own.end(), end))


_LADDER = ("xxs", "xs", "s", "m", "l", "xl", "xxl", "xxxl", "4xl", "5xl", "6xl")
"""Letters of sizes in their order."""
_SPELLED = {
    "small": "s", "medium": "m", "large": "l", "extra small": "xs", "extra large": "xl",
    "x-small": "xs", "x-large": "xl", "2x": "xxl", "2xl": "xxl", "3x": "xxxl", "3xl": "xxxl",
}  # fmt: skip
_LETTER = r"(?:(?i:(?:extra |x-)?(?:small|large)|medium)|(?:X{0,3}[SL]|[2-6]XL?|M)\b)"
_LETTERED = re.compile(
    rf"\b(?:[Ss]izes?|SIZES?):? (?P<names>{_LETTER}(?:(?:,? (?:and|&) |, ?| ?/ ?){_LETTER})*) only\b"
)
"""What is for some sizes, by their letters: `Sizes M and L only`."""
_ENDMOST = re.compile(
    r"\b(?P<n>two |three |2 |3 )?(?P<end>smallest|largest|first|last) (?P<size>sizes?)(?= only\b)", re.IGNORECASE
)
"""What is for the first or last sizes: `Largest size only`, `Two smallest sizes only`."""


def _endmost(text: str, sizes: int) -> str:
    """A text with the sizes at either end by their numbers, where it is for them only."""

    def numbers(mark: re.Match[str]) -> str:
        """The sizes at one end as their numbers, where these take no more room than the words."""
        n = {"t": 2, "2": 2, "3": 3, "": 1}[(mark["n"] or "")[:1].lower()] + (mark["n"] or "").lower().startswith("th")
        begin = 1 if mark["end"].lower() in ("smallest", "first") else sizes - n + 1
        told = f"{mark['size']} {', '.join(map(str, range(begin, begin + n)))}"
        return told.ljust(len(mark[0])) if begin >= 1 and n < sizes and len(told) <= len(mark[0]) else mark[0]

    return _ENDMOST.sub(numbers, text)


@lru_cache(maxsize=64)
def by_letters(texts: tuple[str, ...], sizes: int) -> tuple[str, ...]:
    """The texts, letters of sizes that a line is for (`Size L only`) made numbers where it is plain which they are.

    So it is where only one run of so many letters in their order has all that are named; three sizes are S, M and L
    unless XS is named (common practice).
    """
    if sizes < 2 or not any(" only" in text for text in texts):
        return texts
    texts = tuple(_endmost(text, sizes) for text in texts)
    found = [[*_LETTERED.finditer(text)] for text in texts]
    named = {_rung(name[0]) for each in found for mark in each for name in re.finditer(_LETTER, mark["names"])}
    first = min(named, default=2)
    begins = [first] if first < 1 else [2] if sizes == 3 and first > 1 else [1, 2]
    fits = [begin for begin in begins if all(begin <= rung < begin + sizes for rung in named)]
    if not named or len(fits) != 1:
        return texts

    def number(name: re.Match[str]) -> str:
        """A size's letters as its number, in as much room."""
        return str(_rung(name[0]) - fits[0] + 1).ljust(len(name[0]))

    told = []
    for text, each in zip(texts, found, strict=True):
        for mark in each:
            start, end = mark.span("names")
            text = text[:start] + re.sub(_LETTER, number, text[start:end]) + text[end:]
        told.append(text)
    return tuple(told)


def _rung(name: str) -> int:
    return _LADDER.index(_SPELLED.get(name.lower(), name.lower()))


@lru_cache(maxsize=4096)
def _names_sizes(text: str) -> bool:
    return _MARK.search(text) is not None


def _in_order(marks: list[re.Match[str]]) -> bool:
    """Whether names of sizes stand in the order of the sizes."""
    letters = "".join(mark["letter"] or "" for mark in marks)
    if letters:
        return letters == "abcdefgh"[: len(marks)]
    names = [_NAMES.index(mark["name"].lower()) for mark in marks if mark["name"]]
    return len(set(names)) == len(names) and (not names or len(names) == len(marks))


def _segment(text: str, marks: list[re.Match[str]], number: int, end: int) -> tuple[int, int]:
    """Where it stands what is meant for one size."""
    stop = marks[number + 1].start() if number + 1 < len(marks) else end
    start = marks[number].end()
    return start, start + len(text[start:stop].rstrip(_BETWEEN)) if number + 1 < len(marks) else stop


def _end(text: str, marks: list[re.Match[str]]) -> int:
    """Where the last of the sizes ends: with the sentence if those before have commas, else after as many words."""
    last = marks[-1].end()
    before = [text[mark.end() : then.start()].strip(_BETWEEN) for mark, then in itertools.pairwise(marks)]
    if any("," in each for each in before):
        return next(
            (n for n in range(last, len(text)) if text[n] in ".;" and not text[n + 1 : n + 2].isalnum()), len(text)
        )
    words = [*re.finditer(r"\S+", text[last:])][: max(len(each.split()) for each in before)]
    return last + len(text[last : last + words[-1].end()].rstrip(".,;")) if words else last


def _blanked(text: str, span: tuple[int, int], keep: tuple[int, int]) -> str:
    start, end = span
    return text[:start] + " " * (keep[0] - start) + text[keep[0] : keep[1]] + " " * (end - keep[1]) + text[end:]


_NEEDLE = r"(?:n|ndl|needle|pin|dpn)\.? ?"
_OWN = re.compile(rf"\b{_NEEDLE}(?P<own>[1-5])\s*[:–-]", re.IGNORECASE)
_LIKE = re.compile(
    rf"\W*(?:on )?{_NEEDLE}(?P<own>[1-5])\s*[:,.–-]+\s*(?:work |knit )?(?:the )?(?:same as|as for|as on|as"
    rf"|like|repeat|rep)\s+"
    rf"(?:for |on )?{_NEEDLE}(?P<like>[1-5])(?P<rest>\b.*)", re.IGNORECASE | re.DOTALL
)  # fmt: skip
"""A needle in a line of its own that is worked like another: `N3: same as N1.`"""


@lru_cache(maxsize=64)
def like_needles(texts: tuple[str, ...]) -> tuple[str, ...]:
    """The texts, a needle that is worked like another one in the line of that one's words."""
    told: dict[str, str] = {}
    found = []
    for text in texts:
        match = _LIKE.match(text)
        if match is not None and match["like"] in told:
            text = f"{text[: match.end('own')]}{told[match['like']]}{match['rest'].lstrip(' .')}"
        else:
            marks = [*_OWN.finditer(text)]
            ends = [*(mark.start() for mark in marks[1:]), len(text)]
            told.update(
                {
                    mark["own"]: text[mark.end("own") : end].rstrip() + " "
                    for mark, end in zip(marks, ends, strict=False)
                }
            )
        found.append(text)
    return tuple(found)
