"""Print in other languages: its words put into the English of the trade, by a table for each language."""

from __future__ import annotations

from dataclasses import dataclass

LANGUAGES = ("en", "de")


@dataclass(frozen=True, slots=True)
class Read:
    """What the reader of lines is given; for each of its signs the place in the print (none given: the same)."""

    text: str
    back: tuple[int, ...] = ()

    def at(self, sign: int) -> int:
        """The place in the print of a sign that was read; both from 0."""
        if not self.back:
            return sign
        return self.back[min(max(sign, 0), len(self.back) - 1)]


def read_in(text: str, language: str) -> Read:
    """A text of a language in the words that the reader of lines knows."""
    return Read(text)
