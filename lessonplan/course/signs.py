"""Signs of text that a terminal obeys instead of showing them, and letters that run from right to left."""

from __future__ import annotations

import re

UNSEEN = frozenset((*range(32), *range(127, 160), 0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)))
"""Control characters, line ends, and what turns the direction of the text after it: to a terminal, commands."""
_BLANKS = dict.fromkeys(UNSEEN, " ")


def one_line(text: str) -> str:
    """Give a text as one line that is safe to show on a terminal: blanks for what is not seen but obeyed there."""
    return text.translate(_BLANKS)


_BEGUN, _ENDED = "\u2068", "\u2069"
"""What parts a text from the direction of what stands around it (Unicode Bidirectional Algorithm, FSI and PDI)."""
_LEFTWARD = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc"
_RUNS = re.compile(
    rf"{_BEGUN}[^{_ENDED}]*{_ENDED}"
    rf"|[{_LEFTWARD}](?:(?:[^A-Za-z()\n{_BEGUN}{_ENDED}]|\([^A-Za-z()\n]*\))*(?:[{_LEFTWARD}]|\([^A-Za-z()\n]*\)))?"
)


def leftward(text: str) -> bool:
    """Tell whether a text has letters that run from right to left, such as Hebrew or Arabic ones."""
    return re.search(f"[{_LEFTWARD}]", text) is not None


def parted(text: str) -> str:
    """Give a name, such as a title, so that a number beside it is not drawn into its direction."""
    return f"{_BEGUN}{text}{_ENDED}" if leftward(text) else text


def parted_within(text: str) -> str:
    """Give a text in which what runs from right to left is parted from the rest: all of it, or each such stretch."""
    if not leftward(text):
        return text
    if not re.search("[A-Za-z]", text):
        return text if text.startswith(_BEGUN) else parted(text)
    return _RUNS.sub(lambda found: found[0] if found[0].startswith(_BEGUN) else f"{_BEGUN}{found[0]}{_ENDED}", text)
