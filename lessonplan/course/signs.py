"""Signs of text that a terminal obeys instead of showing them."""

from __future__ import annotations

UNSEEN = frozenset((*range(32), *range(127, 160), 0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)))
"""Control characters, line ends, and what turns the direction of the text after it: to a terminal, commands."""
_BLANKS = dict.fromkeys(UNSEEN, " ")


def one_line(text: str) -> str:
    """Give a text as one line that is safe to show on a terminal: blanks for what is not seen but obeyed there."""
    return text.translate(_BLANKS)
