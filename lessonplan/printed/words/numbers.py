"""Numbers for each size as print gives them: `48 (52, 56)`, `88-96-104`, `[8:10:12]`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.printed.words.phrases import NUMBER_WORDS, Piece

ENDINGS = ("st", "nd", "rd", "th", "d")
"""What stands behind a number that tells an order."""

BEFORE_LISTS = frozenset({"open", "eq", "dash", "have", "to", "stop", "colon", "total", "rem", "around", "end"})
"""Kinds of words behind which numbers with commas between are those of all sizes: `until there are 14, 16, 18 sts`."""

COUNTED = ("st", "sts", "stitches", "sc", "hdc", "dc", "tr", "htr", "dtr", ")", "]")
"""What stands behind the counts of all sizes in one bracket: `(47, 51, 55 hdc)`."""


def joined(run: Sequence[Piece]) -> list[Piece]:
    """Pieces with numbers of several words in digits: `twenty-seven`, `forty two`, `one hundred and four stitches`."""
    found, place = list[Piece](), 0
    while place < len(run):
        value, after = _in_words(run, place)
        if after > place + 1:
            last = run[after - 1]
            found.append(run[place]._replace(text=str(value), end=last.end))
        else:
            found.append(run[place])
        place = max(after, place + 1)
    return found


def _in_words(run: Sequence[Piece], here: int) -> tuple[int, int]:
    """The number that begins at a piece, and the piece after it; the place itself where none of several words does."""
    texts = [piece.text for piece in run[here : here + 6]] + [""] * 6
    value, after = NUMBER_WORDS.get(texts[0], 0), 1
    if 0 < value < 10 and texts[1] == "hundred":
        value, after = 100 * value, 2
    if value >= 100 and value % 100 == 0:
        more, end = _in_words(run, here + after + (texts[after] == "and"))
        more, end = (more, end) if more else (0, here + after)
        counted = end < len(run) and run[end].text in ("st", "sts", "stitches")
        return (value + more, end) if more and counted else (value, here + after)
    hyphen = texts[1] == "-" and bool(texts[2]) and run[here + 1].tight and run[here + 2].tight
    unit = NUMBER_WORDS.get(texts[2] if hyphen else texts[1], 0)
    together = texts[3 if hyphen else 2] in ("together", "tog") and not hyphen
    if 20 <= value <= 90 and 0 < unit < 10 and not together:
        return value + unit, here + (3 if hyphen else 2)
    return (value, here + after) if value else (0, here)


def in_bracket(run: Sequence[Piece], here: int, sizes: int, behind: Sequence[str]) -> tuple[list[int], int] | None:
    """The numbers of all sizes behind one bracket, if one of `behind` follows; and the piece after them."""
    texts = [piece.text for piece in run[here : here + 2 * sizes]]
    if sizes < 2 or len(texts) < 2 * sizes or texts[-1] not in behind:
        return None
    numbers, commas = texts[:-1:2], texts[1:-1:2]
    if set(commas) - {",", "/", ":", "and"} or not all(each.isdecimal() for each in numbers):
        return None
    return [int(each) for each in numbers], here + 2 * sizes - 1


def amiss(run: Sequence[Piece], here: int, after: int, given: int, sizes: int) -> bool:
    """Whether pieces can only be a list for each size, and have a number too few or too many.

    Two numbers may be stitches and their count, unless the row goes on behind them (`K12 (14), pm`) or they tell how
    often (`15 (17) more times`).
    """
    if given == 2 or given == sizes + 1:
        worked = here > 0 and run[here - 1].text in _WORKED and run[after : after + 1] and run[after].text == ","
        often = after < len(run) and run[after].text in ("times", "more")
        return sizes > 2 and run[after - 1].text in ")]" and bool((worked and after + 1 < len(run)) or often)
    inside = [piece.text for piece in run[here:after]]
    letters = any(piece.isalpha() for piece in inside)
    return inside.count("(") + inside.count("[") == 1 and "," in inside and not letters


ONLY_COUNT = re.compile(r"\s+\d[\d\s()\[\],:/-]*(?:sts?|stitches)\b[.\s]*")
"""A count for each size with nothing behind it: `2nd row: P. 53 sts.`"""

ONLY = re.compile(
    r"(?:[^:.*]{0,40}?[,(–—-])?\W*(?:for\s+)?(?:the\s+)?sizes?\s+(\d+(?:\s*(?:,|and|&|-|to)\s*\d+)*)\s+only\b",
    re.IGNORECASE,
)
"""How a line begins that is for some sizes, by their numbers: "Sizes 2 and 3 only", "Next rnd (size 2 only)"."""

SOME = re.compile(r"\bsizes?\b(?! \d)[^:.;()\d]{1,40}\bonly\b", re.IGNORECASE)
"""What is for some sizes, by names that may not be known."""


def only_for(text: str) -> tuple[int, ...]:
    """The numbers of the sizes that a line says it is for, `Sizes 2 and 3 only: ...`; () where it says nothing."""
    match = ONLY.match(text)
    found: list[int] = []
    for sign, number in re.findall(r"(-|to)?\s*(\d+)", match[1]) if match else ():
        found += range(found[-1] + 1, int(number) + 1) if sign and found else [int(number)]
    return tuple(found)


def values(run: Sequence[Piece], here: int, sizes: int) -> tuple[list[int], int]:
    """A number with those of the other sizes behind it, in any style of brackets, and the piece after them."""
    found = [_value(run[here])]
    after = here + 1
    if sizes > 1 and after < len(run) and run[after].tight and run[after].text in ENDINGS:
        after += 1
    sign = run[after].text if after < len(run) else ""
    if sign in ("/", "|") and sizes > 1:
        return _parted(run, here, sizes, sign)
    if sign == "-" and sizes > 1:
        found, last = _parted(run, here, sizes, "-")
        after_them = run[last].text if last < len(run) else ""
        tight = run[after].tight and run[after + 1].tight if after + 1 < len(run) else False
        behind = after_them == "," and here > 0 and run[here - 1].text in _WORKED
        if (
            len(found) > 2
            or (len(found) == 2 and tight and behind and found[0] != found[1])
            or (len(found) == 2 and tight and after_them in _COUNTED and _for_two(found, after_them))
        ):
            return found, last  # `88-96-104 sts`: two numbers could be a range, so many are one for each size
        found = found[:1]
    if sizes > 1 and (bare := _unbracketed(run, here, sizes)):
        return bare
    if sizes > 2 and (mixed := alternating(run, here, sizes)):
        return mixed
    while len(found) == 1 or len(found) < sizes:
        place = after
        if place < len(run) and run[place].text == "," and place + 1 < len(run) and run[place + 1].text in "([":
            place += 1
        if place >= len(run) or run[place].text not in "([":
            break
        inside, close = _inside(run, place + 1, sizes)
        if not inside or _are_steps(run, here, place, close):
            break
        found += inside
        after = close + 1
    return found, after


def _for_two(found: Sequence[int], counted: str) -> bool:
    """Whether two numbers with a dash between are those of two sizes; stitches may be fewer in the larger one."""
    return found[0] < found[1] or (found[0] > found[1] and counted.startswith("st"))


def _unbracketed(run: Sequence[Piece], here: int, sizes: int) -> tuple[list[int], int] | None:
    """`39:43:45`, or before what is counted `6, 6, 7 sts`: numbers of all sizes with no bracket."""
    sign = run[here + 1].text if here + 1 < len(run) else ""
    before = run[here - 1].text if here else ""
    if sign not in (":", ","):
        return None
    found, after = _parted(run, here, sizes, sign)
    pieces = run[here + 1 : after]
    if len(found) != sizes or (after < len(run) and run[after].text == sign and sign == ":"):
        return None
    numbered = before in ("row", "rows", "round", "rounds", "rnd", "rnds")
    if sign == ":":
        spread = sizes > 2 and here > 0 and not numbered and all(piece.tight for piece in pieces[::2])  # `P4: 7: 5`
        return (found, after) if spread or all(piece.tight for piece in pieces) else None
    behind = run[after].text if after < len(run) else ""
    counted = behind in (*_COUNTED, "alt", "alternate", "cm", "ins", "inches") or (behind == "," and before in _WORKED)
    return (found, after) if sizes > 2 and counted and not (numbered and behind != "times") else None


def values_of(run: Sequence[Piece], here: int, sizes: int, only: Sequence[int]) -> tuple[list[int], int]:
    """As `values`; where a line is for some sizes `only`, it may have a number for each of these."""
    found, after = values(run, here, sizes)
    if only and len(found) != sizes:
        some, behind = values(run, here, len(only))
        if len(some) == len(only):  # the other sizes work nothing here, whatever stands for them
            given = dict(zip(only, some, strict=True))
            return [given.get(size, some[0]) for size in range(1, sizes + 1)], behind
    return found, after


def alternating(run: Sequence[Piece], here: int, sizes: int) -> tuple[list[int], int] | None:
    """The numbers of all sizes, every other one in brackets: `38 (40) 42`, `(80) 84 (88)`; and the piece after them."""
    found: list[int] = []
    place, bracketed = here, run[here].text in ("(", "[")
    while len(found) < sizes and place < len(run):
        if bracketed != (run[place].text in ("(", "[")):
            return None
        number = place + int(bracketed)
        if number >= len(run) or not run[number].text.isdecimal():
            return None
        found.append(int(run[number].text))
        place = number + 1
        if bracketed:
            if place >= len(run) or run[place].text not in ")]":
                return None
            place += 1
        bracketed = not bracketed
    return (found, place) if len(found) == sizes else None


_WORKED = ("k", "p", "work", "patt", "rib", "knit", "purl")
"""What stands before the stitches that are worked of all sizes."""
_COUNTED = ("st", "sts", "stitches", "times", "rows", "rounds", "rnds")
"""What is counted by two numbers with a dash between them, if the pattern has two sizes."""


def _value(piece: Piece) -> int:
    return int(piece.text) if piece.text.isdecimal() else 0


def _inside(run: Sequence[Piece], here: int, sizes: int) -> tuple[list[int], int]:
    """The numbers in a bracket and the place of its end; none if anything else stands in it. A dash alone is 0."""
    found: list[int] = []
    for place in range(here, len(run)):
        text = run[place].text
        if text in ")]":
            return found, place
        if text.isdecimal():
            found.append(int(text))
        elif text == "-" and run[place - 1].text in "([,;:/" and place + 1 < len(run):
            found += [] if run[place + 1].text.isdecimal() else [0]
        elif not ((text in ("k", "p", *ENDINGS) and sizes > 1) or text in ",;:/.-&" or text == "and"):
            break
    return [], here


def _are_steps(run: Sequence[Piece], here: int, opens: int, close: int) -> bool:
    """Whether a bracket behind a number holds stitches and no list: `K4, (k1, p1) twice`, but not `K4 (k5, k6)`."""
    letters = {piece.text for piece in run[opens:close] if piece.text in ("k", "p")}
    return bool(letters) and (run[opens - 1].text == "," or letters != {run[here - 1].text if here else ""})


def _left_out(run: Sequence[Piece], place: int) -> bool:
    """Whether a dash stands for a size that has no number: `72/-/- sts`."""
    return run[place].text in ("/", "|") and run[place + 1].text == "-" and run[place + 1].tight


def _parted(run: Sequence[Piece], here: int, sizes: int, sign: str) -> tuple[list[int], int]:
    found, place = [_value(run[here])], here + 1
    while (
        place + 1 < len(run) and run[place].text == sign and (run[place + 1].text.isdecimal() or _left_out(run, place))
    ):
        found.append(_value(run[place + 1]))
        place += 2
    return (found, place) if len(found) == sizes else (found[:1], here + 1)


_ROMAN = re.compile(r"\s*(x{0,2}(?:ix|iv|v?i{0,3}))[.):] ", re.IGNORECASE)


def roman(text: str) -> tuple[int, int]:
    """The Roman number that a line begins with, `IV. K.`, and where it ends in the text; 0 and 0 if there is none."""
    match = _ROMAN.match(text)
    if match is None or not match[1] or not match[1].isupper():
        return 0, 0
    values = [{"X": 10, "V": 5, "I": 1}[sign] for sign in match[1]]
    return sum(-n if n < after else n for n, after in zip(values, (*values[1:], 0), strict=True)), match.end()
