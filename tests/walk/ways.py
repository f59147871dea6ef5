"""What the checks share: the printed pages, the course they are for, and the pieces as they are worked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from tests.walk.folder import Day, Folder, Shot
from tests.walk.pages import Card, Pages, Row, Stand
from tests.walk.stages import Bench, cut, pick, shortened
from tests.walk.states import Piece

SHARE, MINUTE = 0.15, 1.0
"""Printed minutes may differ by this share of an estimate, and by this much more."""


@dataclass(frozen=True)
class Place:
    """A line of the run sheets in the order of time. ``begin`` and ``end``: minutes from the first day's midnight."""

    index: int
    day: int
    row: Row
    begin: float
    end: float


@dataclass(frozen=True)
class Event:
    """A piece on the table of a shot."""

    place: Place
    stand: Stand


class Walk:
    """``rounds``: for each stage how many there are in the size that is filmed."""

    def __init__(self, pages: Pages, folder: Folder, rounds: Mapping[str, int]) -> None:
        self.pages, self.folder, self.rounds = pages, folder, rounds
        names = [one["name"] for one in folder.pattern.get("sizes") or ()]
        self.size = names.index(folder.size) if folder.size in names else 0
        self.shots: dict[str, Shot] = {shot.number: shot for shot in folder.shots}
        self.cards: dict[str, Card] = {card.piece: card for card in pages.samples.cards}
        self.kinds: dict[tuple[str, int], Piece] = {}

    def piece(self, kind: str, stitches: int = 0) -> Piece:
        """A piece of a kind; a small one has so many stitches cast on."""
        if (kind, stitches) not in self.kinds:
            every = Bench(self.folder.pattern, self.size, self.rounds, stitches).every()
            for key, number, place in self.inside():
                every[key] = cut(every[key], number, place)
            if kind == "short":
                told = self.folder.pattern["stages"]
                every = {
                    key: shortened(stage, pick(told[key].get("short", ""), self.size)) for key, stage in every.items()
                }
            self.kinds[kind, stitches] = Piece(every)
        return self.kinds[kind, stitches]

    def inside(self) -> set[tuple[str, int, int]]:
        """The places inside rounds that the course names: the stage, the round, and how many stitches of it."""
        asked = [text for shot in self.folder.shots for one in shot.pieces for text in (one.state, one.leaves)]
        found = (re.findall(r"(\w+) round (\d+), (\d+) sts on", text) for text in asked)
        return {(key, int(number), int(place)) for some in found for key, number, place in some}

    def of(self, letter: str) -> Piece:
        """The piece of a letter. ``KeyError`` where the step-sample page has none."""
        card = self.cards[letter]
        return self.piece(card.kind, card.stitches)

    @cached_property
    def places(self) -> list[Place]:
        """All lines of all days; a wrap is followed by the evening's knitting time."""
        found: list[Place] = []
        first = self.pages.sheets[0].day
        for number, sheet in enumerate(self.pages.sheets):
            midnight = 1440.0 * (sheet.day - first).days
            for row, then in zip(sheet.rows, (*sheet.rows[1:], None), strict=True):
                begin = midnight + row.at
                end = midnight + then.at if then else begin + self.day(number).night
                found.append(Place(len(found), number, row, begin, end))
        return found

    def day(self, number: int) -> Day:
        return self.folder.days[number]

    @cached_property
    def events(self) -> dict[str, list[Event]]:
        """For each letter where it stands, in the order of the pages."""
        found: dict[str, list[Event]] = {}
        for place in self.places:
            for stand in place.row.stands:
                found.setdefault(stand.piece, []).append(Event(place, stand))
        return found

    def paces(self, who: str) -> list[float]:
        """The paces of those who are named, as far as the course knows them; a stranger has the host's."""
        known = [one.pace for one in self.folder.people if one.name in who and who != self.folder.host]
        return known or [self.folder.pace]

    @cached_property
    def slowest(self) -> float:
        """The slowest pace of anybody who is ever there."""
        there = {name for day in self.folder.days for name in day.helpers}
        return min([self.folder.pace, *(one.pace for one in self.folder.people if one.name in there)])


Faults = Iterator[tuple[str, str]]
"""What is wrong: a word for its sort, and a sentence."""


def too_little(printed: float, least: float) -> bool:
    return printed < least * (1 - SHARE) - MINUTE


def too_much(printed: float, most: float) -> bool:
    return printed > most * (1 + SHARE) + MINUTE
