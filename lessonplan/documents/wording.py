"""How numbers and times are worded on every document, decided once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import accumulate, pairwise

from lessonplan.course.words import clock_of
from lessonplan.craft.lengths import sizes_text, unbroken
from lessonplan.shoot.day import Entry


def duration(minutes: float) -> str:
    """Word a duration: ``25 min``, ``3 h 05 min``; under a minute in seconds."""
    if 0 < minutes < 1:
        return f"{max(1, round(minutes * 60))} s"
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02d} min" if whole % 60 else f"{whole // 60} h"


def printed(minutes: float) -> float:
    """Give the minutes that ``duration`` prints, so that what is added up on paper is their sum."""
    return max(1, round(minutes * 60)) / 60 if 0 < minutes < 1 else round(minutes)


def in_parts(minutes: Iterable[float], whole: int) -> tuple[int, ...]:
    """Part whole minutes as these lie in them, so that what is printed of the parts adds up; a part may have none."""
    each = list(minutes)
    ends = [round(whole * end / sum(each)) for end in accumulate(each)] if sum(each) else []
    return tuple(end - begin for begin, end in pairwise((0, *ends)))


def lasts(entry: Entry) -> str:
    """Word how long an entry of a day lasts, on every paper: never the difference of two clock times as printed.

    A wait is of whole minutes, one at least; what takes no time has no words.
    """
    minutes = entry.end - entry.start
    if entry.kind == "wait":
        return duration(waited(entry))
    return duration(minutes) if minutes * 60 >= 0.5 else ""


def waited(entry: Entry) -> int:
    """Give the minutes of a wait of the camera as they are printed; none for what is no wait."""
    return max(1, round(entry.end - entry.start)) if entry.kind == "wait" else 0


def hours(quarters: int) -> str:
    """Word quarters of an hour as hours: ``1¾``."""
    whole, rest = divmod(quarters, 4)
    return f"{whole or ''}{('', '¼', '½', '¾')[rest]}" or "0"


def hands_time(minutes: float) -> str:
    """Word how long hands are filmed, to the second as it was written: ``30 s``, ``2 min 30 s``."""
    whole, seconds = divmod(round(minutes * 60), 60)
    return f"{whole} min {seconds} s" if 0 < whole < 60 and seconds else duration(minutes)


def rest_time(minutes: float) -> str:
    """Word a time to rest: ``12 h``, ``36 h``, ``5 days``, ``8 days 15 h``."""
    days, rest = divmod(minutes, 24 * 60)
    if days > 1:
        return f"{days:g} days" + (f" {duration(rest)}" if rest else "")
    return duration(minutes)


def screen_time(minutes: float) -> str:
    """Word a screen time or a position in a video: ``0:42``, ``12:05``, ``1:02:05``."""
    return clock_of(minutes * 60)


def its_tail(length: str, *said: str) -> str:
    """Word the tail of a cast-on; where what is ``said`` beside it tells of a tail too, also what this one is for."""
    return f"tail of {length}{' for the stitches' if any('tail' in one for one in said) else ''}"


def on_tools(size: str, tool: str, *, several: bool = True) -> str:
    """Name needles by their size: ``4 mm needles``; a text that says itself that they are needles is enough."""
    size = size.removesuffix(f" {tool}").strip()
    named = re.search(rf"\b{re.escape(tool)}s?\b", size)
    return size if named or not tool else f"{size} {tool}{'s' if several else ''}".strip()


_SO_MANY = re.compile(
    r"(?:\s+(?:for|over))?\s+(\d+(?:\s*\([\d,\s]+\))?)\s+(?:rows?|rounds?|rnds?)\b(?=[^,;:]*$)", re.IGNORECASE
)
_AGAIN = re.compile(r"\b(?:rep(?:eat)?|more|last|next|every|each|as)\b|^\W*work\W*$", re.IGNORECASE)


def told_once(text: str, counts: Sequence[int]) -> str:
    """Leave out of a line how many rounds it is for, where a label of as many (in each size) stands before it.

    “Rnds 1 to 14: Knit 14 rounds.” could be read as fourteen times fourteen.
    """
    found = [*_SO_MANY.finditer(text)]
    if len(found) != 1:
        return text
    numbers = [int(one) for one in re.findall(r"\d+", found[0][1])]
    left = text[: found[0].start()] + text[found[0].end() :]
    alike = len({*counts}) == 1 and numbers == [*{*counts}]
    return left if (alike or numbers == [*counts]) and not _AGAIN.search(left) else text


def one_sentence(texts: list[str]) -> str:
    """Put the wordings of all sizes together: words that differ are printed for each size in brackets."""
    split = [text.split(" ") for text in texts]
    if len({len(words) for words in split}) != 1:
        return texts[0]
    return unbroken(" ".join(_one_word(words) for words in zip(*split, strict=True)) + ".")


def _one_word(words: Sequence[str]) -> str:
    """Put one word of all sizes together; the brackets and stops that they share stay outside."""
    before = "(" if all(word.startswith("(") for word in words) else ""
    ends = {word[len(word.rstrip("),:;")) :] for word in words}
    after = ends.pop() if len(ends) == 1 else ""
    return before + sizes_text([word[len(before) : len(word) - len(after)] for word in words]) + after
