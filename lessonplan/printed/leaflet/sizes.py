"""The sizes of a printed pattern: their names, and lists with a number too few or too many."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from lessonplan.printed.leaflet.headwords import heading_kind
from lessonplan.printed.leaflet.layout import Spread
from lessonplan.printed.leaflet.wordings import ONLY, ONLY_BEHIND, ONLY_NAMED, SHORTHAND

_NUMBER = r"(?:\d+(?:\.\d+)?(?:\s?[¼½¾]|\s\d/\d)?|[-–—](?=\s*[,;:/)\]]))"
_BRACKET = rf"[(\[{{]\s*{_NUMBER}(?:\s*[,;:/&]\s*{_NUMBER})*\s*[)\]}}]"
LIST = re.compile(rf"(?<![\w/.])(?:[kp])?({_NUMBER})\s*,?\s*({_BRACKET}(?:\s*{_BRACKET})*)", re.IGNORECASE)
"""A list of numbers, one for each size: `48 (52, 56)`, `40 (44, 48) (52, 56)`."""
_TURN_ABOUT = re.compile(
    rf"(?<![\w/.])(?:[kp])?{_NUMBER}(?:\s*\(\s*{_NUMBER}\s*\)\s*{_NUMBER})+(?:\s*\(\s*{_NUMBER}\s*\))?(?![\w.]*\d|\s?(?:g|gr|grams?|oz)\b)",
    re.IGNORECASE,
)
"""The same with every other number in brackets: `132 (144) 156`, `80 (88) 96 (104)`."""
_PAIR = re.compile(
    r"(?<![\w/.(])(?:[kp]\s?)?(\d+(?:\.\d+)?)\s*[(\[]\s*(\d+(?:\.\d+)?)\s*[)\]](?=\s*(?:,\s*[^\W\d_]|[^\W\d_]))",
    re.IGNORECASE,
)
"""Two numbers with something behind them, as two sizes have: `K16 (18), M1`, `30 (34) sts`."""
_DASHED = re.compile(r"(?<![\w.,/-])(?!(?:19|20)\d\d-)\d+(?:-\d+){2,}(?![\w/-])")
"""The same in the manner of the north: `88-96-104`; what begins with a year is a date."""
_DECIMAL = re.compile(r"\d+(?:,\d+)?\s*\(\s*\d+(?:,\d+)?(?:\s*[/;-]\s*\d+(?:,\d+)?)+\s*\)")
"""The same with decimal commas: `45,5 (48/51,5)`."""
_COUNTED = re.compile(r"\s*(?:st|sts|stitches|times|rnds|rounds|rows|m|maschen|mal|rd|r)\b", re.IGNORECASE)
_UNITS = re.compile(r"\d\s*(?:cm|mm|in\b|inch|\"|months?$|years?$)")
_MEASURED = re.compile(
    r"\d\s?(?:cm|in|\")?\s?[x×]\s?\d|\b(?:wide|tall|high|deep|wingspan|width|length|height|depth|diameter)\b"
    r"|\dcm? ?/ ?\d+(?:in\b|\")",
    re.IGNORECASE,
)
"""How large a piece is, which is no list of sizes: `76 x 90 cm / 30" x 36"`, `wingspan 150 cm, depth 70 cm`."""
_AGES = re.compile(r"(?:\d+ ?[-–] ?)?\d+ ?(?:months?|mths?|years?|yrs?)", re.IGNORECASE)
_TOOL = re.compile(r"\bneedles?\b|\bhooks?\b|\dmm\b", re.IGNORECASE)
"""What has a size of its own: "US size 8 (5mm) needles"."""
_NAMED_FIRST = re.compile(
    r"\s*((?:sizes?\s+)?((?:\d?x{0,3}[sml]|small|medium|large|child|teen|youth|adult|baby|women|men|kids?|toddler)'?s?)"
    r"\s*[(\[][^)\]]*[)\]])\s*:\s*\S",
    re.IGNORECASE,
)
"""Sizes by name before their measures: `S (M, L): foot 20 (22, 24) cm`."""
_SIZE = r"(?:\d{1,3}(?:\s?[-–/]\s?\d{1,3})?|\d?X{0,3}[SML]|[2-6]XL)"
_FIRST_WORDS = re.compile(
    r"^(?:(?:finished\s+)?sizes?\b\s*|(?:to )?fits?\b\s*|:\s*"
    r"|(?:adult|child|age|chest|bust|head|hand|foot)\s+(?=\d|X{0,3}[SML]\b))+",
    re.IGNORECASE,
)
"""What stands before the first size: `To fit chest 81 (86, 91)`, `to fit adult S/M/L`."""
_NAMED_ABOUT = re.compile(
    rf"{_SIZE}(?:\s*\(\s*{_SIZE}\s*\)\s*{_SIZE})+(?:\s*\(\s*{_SIZE}\s*\))?(?:\s(?:years?|yrs|months?|mths|cm|in))?",
    re.IGNORECASE,
)
"""Sizes with every other one in brackets: `2 (4) 6 years`, `S (M) L (XL)`."""
_ONE = re.compile(r"\b(?:one|1)[ -]size\b|\beinheitsgröße\b", re.IGNORECASE)
MOST = 40
"""No pattern has more sizes."""


def listed(text: str) -> Iterator[tuple[int, int, str]]:
    """Each list of numbers in brackets: its place, how many numbers, and what follows it."""
    end = 0
    for match in LIST.finditer(text):
        if match.start() < end:
            continue
        if about := _TURN_ABOUT.match(text, match.start()):
            end = about.end()
            yield match.start(1), len(re.findall(_NUMBER, re.sub("[()]", " ", about[0]))), text[end:]
            continue
        decimal = _DECIMAL.match(text, match.start(1))
        found = decimal[0] if decimal else match[0]
        numbers = re.findall(r"\d+(?:,\d+)?", found) if decimal else re.findall(_NUMBER, match[1] + "," + match[2])
        yield match.start(1), len(numbers), text[match.start() + len(found) :]
    for match in _DASHED.finditer(text):
        yield match.start(), match[0].count("-") + 1, text[match.end() :]


def in_one_bracket(text: str, sizes: int) -> str:
    """The text with lists of so many numbers that have every other one in brackets written as `132 (144, 156)`."""

    def plain(match: re.Match[str]) -> str:
        """So many numbers as there are sizes, as `first (second, third)`."""
        numbers = re.findall(_NUMBER, re.sub("[()]", " ", match[0]))
        lead = match[0][: re.search(_NUMBER, match[0]).start()]  # type: ignore[union-attr]  # it has some
        return f"{lead}{numbers[0]} ({', '.join(numbers[1:])})" if len(numbers) == sizes else match[0]

    return _TURN_ABOUT.sub(plain, text) if sizes > 2 else text


def odd_lists(text: str, sizes: int) -> Iterator[tuple[int, int]]:
    """Lists that have not one number for each size: place and how many. `48 (96)` may be a count said again."""
    for at, given, after in listed(text):
        pair = given == 2 and (sizes < 3 or not _COUNTED.match(after))
        if given != sizes and not pair and not (sizes == 1 and given == 2):
            yield at, given


def most_lists(texts: Sequence[str]) -> tuple[int, bool]:
    """How many numbers most lists have that cannot be anything else, and whether there is hardly another kind."""
    lengths = Counter(given for text in texts for _, given, _ in listed(text) if given > 2)
    if not lengths:
        return (2, False) if _in_pairs(texts) else (1, False)
    length, often = max(lengths.items(), key=lambda each: (each[1], each[0]))
    return length, often >= 3 and often >= 0.8 * lengths.total()


def _in_pairs(texts: Sequence[str]) -> bool:
    """Whether a pattern that names no sizes has two: `K16 (18), M1`, `30 (34) sts`, `15 (18) cm` and none that shrinks.

    A bracket at the end of a line is a count, and tells nothing.
    """
    if any(_ONE.search(text) for text in texts):
        return False
    pairs = [(float(found[1]), float(found[2])) for text in texts for found in _PAIR.finditer(text)]
    grown = {pair for pair in pairs if pair[0] < pair[1]}
    return len(pairs) >= 4 and len(grown) >= 3 and all(first <= second for first, second in pairs)


def names(text: str) -> tuple[str, ...]:
    """The names of the sizes in `S (M, L, XL)`, `XS/S/M`, `One size`; () where none can be told."""
    if _ONE.search(text):
        return ("one size",)
    if first := _NAMED_FIRST.match(text):
        text = first[1][first.start(2) - first.start(1) :]
    said = re.sub(r"^[^:]{0,40}:\s*", "", text).strip(" .")
    said = _FIRST_WORDS.sub("", said)
    if "/" in (lead := said.split(",")[0]) and not re.search(r"[(\[]", said):  # `S/M/L, 51/56/61 cm head`
        once = len(re.findall(r"\d [^\W\d_]", lead)) < 2
        said = re.sub(r"(?<=\d) (?:cm|in|years?|months?)$", "", lead) if once else lead
    about = [one.strip() for one in re.split(r"[()]", said) if one.strip()]
    if _NAMED_ABOUT.fullmatch(said) and len(about) <= MOST:
        return (*about[:-1], re.sub(r"(?<=\d) [^\W\d_]+$", "", about[-1]))
    brackets = re.match(r"([^(\[]{1,30}?)\s*,?\s*((?:[(\[][^)\]]*[)\]]\s*)+)", said)
    if brackets is not None and (not _UNITS.search(brackets[1]) or _AGES.fullmatch(brackets[1])):
        inside = re.findall(r"[(\[]([^)\]]*)[)\]]", brackets[2])
        apart = r"\s*[,;]\s*" if re.search("[,;]", brackets[2]) else r"\s*[:/|]\s*"  # `Child (Teen, Adult S/M)`
        found = [brackets[1], *(name for each in inside for name in re.split(apart, each))]
    else:
        found = re.split(r"\s*[,/|]\s*|\s+(?:and|und)\s+", re.sub(r"\(.*?\)", "", said))
        if len(dashed := re.split(r"\s+[-–—]\s+", said)) > 2:
            found = dashed
    found = [name.strip() for name in found]
    first = re.search(r"(\S+(?:\s?[-–]\s?\S+)?)$", found[0])
    if brackets is not None and first is not None and len(found[0]) > 12:
        found[0] = first[1]
    fit = all(0 < len(name) <= 24 and len(name.split()) < 5 for name in found) and not _MEASURED.search(said)
    return tuple(found) if 1 < len(found) <= MOST and fit else ()


def for_some(text: str, known: Sequence[str]) -> tuple[str, int]:
    """The sizes that a text begins by saying it is for, as numbers, and where that ends; "" for none or all."""
    for shape in (ONLY, ONLY_NAMED):
        if (match := shape.match(text)) and (found := numbers(match["names"], known)):
            return found, match.start("rest")
    return "", 0


def for_some_behind(text: str, known: Sequence[str]) -> str:
    """The sizes that a row with a label says behind it that it is for, as numbers: `Rnd 4 (Large only): ...`."""
    match = ONLY_BEHIND.match(text)
    return numbers(match["names"], known) if match else ""


def numbers(said: str, known: Sequence[str]) -> str:
    """The sizes that are named, or numbered, as numbers, `2 and 3`; "" where one of them is none."""
    found: list[int] = []
    for word in re.split(r"\s*(?:,|&|\+|\band\b|\bund\b)\s*", said.strip(" ()")):
        ends = [word] if _size(word, known) else re.split(r"\s*(?:[-–]|\bto\b|\bbis\b)\s*", word, maxsplit=1)
        each = [_size(one, known) for one in ends]
        if not all(each):
            return ""
        found += range(each[0], each[-1] + 1)
    return " and ".join(map(str, found)) if len(known) > 1 else ""


def _size(word: str, known: Sequence[str]) -> int:
    """The number of a size that is named or numbered, from 1; 0 where there is none."""
    names = [name.lower() for name in known]
    number = names.index(word.lower()) + 1 if word.lower() in names else int(word) if word.isdecimal() else 0
    return number if number <= len(names) else 0


_ALONE = re.compile(r"\W*(?:one size|einheitsgröße)", re.IGNORECASE)


def named(printed: Sequence[Spread], language: str) -> tuple[tuple[str, ...], int]:
    """The names of the sizes and the line of the file that tells them."""
    for number, spread in enumerate(printed):
        head, _, rest = spread.text.partition(":")
        if len(head) > 30 or heading_kind(head, language) not in ("sizes",) or _TOOL.search(head):
            continue
        if _ALONE.match(head):
            return (), 0
        told = spread if rest.strip() else next(iter(printed[number + 1 : number + 2]), spread)
        bare = None if rest else re.match(r"\S+\s+(.*[(\[/].*)", spread.text)
        found = names(bare[1]) if bare else ()
        if found:
            told = spread
        elif not SHORTHAND.search(told.text):
            found = names(told.text)
        if found:
            return found, told.line
    return (), 0
