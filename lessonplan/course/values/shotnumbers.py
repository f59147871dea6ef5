"""The numbers of shots, ``2.4.1``, and the names of the pieces that stand in them, ``2.4.1 b``."""

from __future__ import annotations

import re

_NUMBER = re.compile(r"\d+\.\d+\.\d+", re.ASCII)
_WORD = re.compile(r"(?:episode|segment|shot)\s*", re.IGNORECASE)


class ShotNumber(str):
    """The number of a shot: ``2.4.1`` is the first shot of the fourth segment of episode 2.

    It is text, since papers, take logs and course files hold it as text; only here is it taken apart. Sort by
    ``place``: as text 1.10.1 would come before 1.9.1. Raises ``ValueError`` for a text that is no such number.
    """

    __slots__ = ()

    def __new__(cls, text: str) -> ShotNumber:
        """Read a number from text."""
        if not _NUMBER.fullmatch(text):
            raise ValueError(f"“{text}” is not the number of a shot such as 2.4.1")
        return super().__new__(cls, text)

    @property
    def place(self) -> tuple[int, int, int]:
        """Where the shot stands in the story: its parts as whole numbers."""
        episode, segment, shot = self.split(".")
        return int(episode), int(segment), int(shot)

    @property
    def episode(self) -> int:
        """The number of the episode: 2 of ``2.4.1``."""
        return self.place[0]

    @property
    def segment(self) -> str:
        """The number of the segment: ``2.4`` of ``2.4.1``."""
        return self.rpartition(".")[0]

    @property
    def parts(self) -> tuple[str, str, str]:
        """The numbers of what it lies within, and its own: ``2``, ``2.4``, ``2.4.1``."""
        return self.partition(".")[0], self.segment, str(self)


def number_in(name: str) -> str:
    """Give the number in what a course names: ``2.4`` of ``segment 2.4``."""
    return _WORD.sub("", name.strip(), count=1)


def piece_name(shot: ShotNumber, place: int, count: int) -> str:
    """Name a piece on the table of a shot, by its place there (from 0) among ``count``: ``2.4.1``, or ``2.4.1 b``."""
    return shot if count == 1 else f"{shot} {chr(ord('a') + place)}"


def shot_of(name: str) -> ShotNumber:
    """Give the shot of a piece's name: ``2.4.1`` of ``2.4.1 b``."""
    return ShotNumber(name.partition(" ")[0])


def place_of(name: str) -> int:
    """Give the place of a piece on the table of its shot, from 0: 1 of ``2.4.1 b`` and of ``2.4.1 b take 2``."""
    letter = f"{name} a".split(" ")[1]
    return ord(letter) - ord("a") if len(letter) == 1 else 0
