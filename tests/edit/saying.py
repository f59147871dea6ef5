"""A model of speech apart from the reader: facts said right, wrong, in another unit, of others, taken back, in numbers.

``python -m tests.edit.saying HALF`` makes spoken lines out of carrier phrases (``carriers.txt``) and of facts worked
out by hand from the three courses' patterns (below), proofs them, and prints recall and precision by what was done to
the fact. Every second phrase of each section is set aside: ``tuned`` says the others, ``aside`` those. The draw is
fixed.
"""

from __future__ import annotations

import random
import re
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.edit.spoken import Line, line_of, sections

CARRIERS = Path(__file__).parent / "carriers.txt"
HALVES = ("tuned", "aside")
SEED = 20261126


@dataclass(frozen=True)
class Told:
    """A number that a segment tells: right, some that are wrong, one that is right in another unit, a sample's."""

    course: str
    segment: str
    section: str
    unit: str
    right: float
    wrong: tuple[float, ...]
    other: str = ""
    sample: float = 0


FACTS = (
    Told("mittens", "1.2", "total of stitches", "stitches", 22, (24, 19, 26)),
    Told("mittens", "1.2", "total of rounds", "rounds", 30, (28, 33, 26), "rows"),
    Told("mittens", "1.3", "total of stitches", "stitches", 44, (46, 50, 36)),
    Told("mittens", "1.4", "total of rounds", "rounds", 22, (26, 25, 19), "rows"),
    Told("mittens", "1.4", "length", "cm", 7, (9, 5, 11), "inches"),
    Told("mittens", "1.4", "length", "inches", 2.75, (4, 5), "cm"),
    Told("mittens", "1.5", "total of rounds", "rounds", 22, (26, 25), "rows", 6),
    Told("mittens", "2.1", "total of stitches", "stitches", 45, (46, 48, 50)),
    Told("mittens", "2.2", "total of rounds", "rounds", 19, (18, 16, 23), "rows"),
    Told("mittens", "2.3", "held", "stitches", 13, (12, 14, 16)),
    Told("mittens", "2.3", "total of stitches", "stitches", 44, (42, 46, 43)),
    Told("mittens", "2.3", "length", "inches", 2.5, (4, 3.5), "cm"),
    Told("mittens", "2.4", "stripe", "rounds", 2, (3, 5), "rows"),
    Told("mittens", "2.5", "total of rounds", "rounds", 12, (10, 14, 15), "rows", 4),
    Told("mittens", "2.5", "around", "cm", 19, (16, 22, 25), "inches"),
    Told("mittens", "2.5", "around", "inches", 7.5, (9, 6), "cm"),
    Told("mittens", "3.1", "total of rounds", "rounds", 15, (12, 18, 20), "rows"),
    Told("mittens", "3.1", "length", "cm", 5, (7, 8), "inches"),
    Told("mittens", "3.2", "left", "stitches", 8, (10, 6, 9)),
    Told("mittens", "3.2", "total of rounds", "rounds", 13, (14, 16, 10), "rows"),
    Told("mittens", "3.3", "picked up", "stitches", 5, (4, 6, 7)),
    Told("mittens", "3.3", "total of stitches", "stitches", 16, (17, 20, 15)),
    Told("mittens", "3.3", "total of rounds", "rounds", 19, (18, 22, 16), "rows"),
    Told("mittens", "3.4", "minutes", "minutes", 15, (30, 45, 40)),
    Told("mittens", "3.4", "ends", "ends", 8, (6, 12)),
    Told("hat", "1.2", "total of stitches", "stitches", 96, (90, 100, 98)),
    Told("hat", "1.2", "total of rounds", "rounds", 18, (15, 22, 24), "rows", 8),
    Told("hat", "1.2", "length", "inches", 2.5, (4, 3.5), "cm"),
    Told("hat", "1.3", "total of rounds", "rounds", 32, (30, 34, 38), "rows"),
    Told("hat", "1.3", "stripe", "rounds", 4, (5, 6, 3), "rows"),
    Told("hat", "1.3", "length", "inches", 4.5, (6, 3), "cm"),
    Told("hat", "1.4", "left", "stitches", 8, (10, 9)),
    Told("hat", "1.4", "total of rounds", "rounds", 15, (14, 17), "rows"),
    Told("hat", "1.5", "minutes", "minutes", 20, (40, 45)),
    Told("hat", "1.5", "ends", "ends", 4, (6, 5)),
    Told("headband", "1.2", "total of stitches", "stitches", 11, (13, 12)),
    Told("headband", "1.3", "total of stitches", "stitches", 23, (25, 24)),
    Told("headband", "1.3", "total of rounds", "rows", 14, (16, 18), "rounds"),
    Told("headband", "1.4", "total of rounds", "rows", 104, (100, 110, 96), "rounds", 10),
    Told("headband", "1.4", "length", "cm", 40, (45, 35), "inches"),
    Told("headband", "1.5", "total of rounds", "rows", 12, (14, 15, 9), "rounds"),
    Told("headband", "1.5", "left", "stitches", 11, (10, 12)),
    Told("headband", "1.7", "minutes", "minutes", 20, (45, 30)),
)
"""The printed patterns, worked by hand; small, half and quarter counts that hold beside them are no wrong ones."""

_ONES = re.findall(
    r"\w+",
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen",
)
_TENS = re.findall(r"\w+", "twenty thirty forty fifty sixty seventy eighty ninety")
_PARTS = {0.25: "and a quarter", 0.5: "and a half", 0.75: "and three quarter"}
_HEARD = {"two": "to", "four": "for", "eight": "ate"}
_SPOKEN_UNITS = {"cm": ("centimeters", "cm"), "inches": ("inches",), "stitches": ("stitches", "sts")}


def spelled(value: float) -> str:
    """Spell a number as it is spoken."""
    whole, part = int(value), value % 1
    hundreds, rest = divmod(whole, 100)
    words = ["a hundred" + (" and" if rest else "")] if hundreds else []
    words += [_ONES[rest]] if rest < 20 and (rest or not hundreds) else []
    words += [_TENS[rest // 10 - 2], *([_ONES[rest % 10]] if rest % 10 else [])] if rest >= 20 else []
    return " ".join([*words, *([_PARTS[part]] if part else [])])


def phrases(half: str) -> dict[str, list[str]]:
    """Read the carrier phrases of a half by section."""
    return {section: each[HALVES.index(half) :: 2] for section, each in sections(CARRIERS).items()}


def _form(draw: random.Random, value: float) -> str:
    """Say a number in words, in digits, or as captions hear it, before its unit."""
    words = spelled(value)
    last = words.split()[-1]
    kind = draw.random()
    if kind < 0.2 and value > 12:
        return f"{value:g}"
    return words.removesuffix(last) + _HEARD[last] if kind < 0.35 and " " in words and last in _HEARD else words


def _ways(one: Told) -> Iterator[tuple[str, str]]:
    """Give the ways in which a fact may be told: the way, and the section of its carrier."""
    yield from 2 * (("right", one.section), ("wrong", one.section))
    if one.other:
        yield "other unit", one.section
    if one.section in ("total of stitches", "total of rounds"):
        yield from ((way, way) for way in ("other people", "not that", "taken back", "twice", "free"))
    if one.sample:
        yield from (("sample", "sample"), ("sample and pattern", "sample and pattern"))


_KINDS = {"wrong": "disagrees", "other unit": "wrong unit", "taken back": "took back", "sample": "sample only"}


def _line(draw: random.Random, one: Told, way: str, phrase: str, about: str) -> dict[str, str]:
    """Make one line, and say what should be found in it."""
    wrong, unit = draw.choice(one.wrong), one.other if way == "other unit" else one.unit
    number = one.right if way in ("right", "other unit") else wrong
    said_unit = draw.choice(_SPOKEN_UNITS.get(unit, (unit,)))
    forms = {"n": _form(draw, number), "r": spelled(one.right), "s": spelled(one.sample), "u": said_unit}
    said = phrase.format(**forms)
    kind = _KINDS.get(way, "said twice" if way == "twice" else "")
    words = forms["s"] if way == "sample" else forms["r"] if way == "twice" else forms["n"]
    if way == "taken back":
        words = said
    finding = f"{kind}: {words}" if kind else ""
    return {
        "course": one.course,
        "segment": one.segment,
        "whole": "no",
        "said": f"{about} {said}",
        "findings": finding,
        "way": way,
    }


def lines(half: str) -> Iterator[dict[str, str]]:
    """Make the spoken lines of a half, each once."""
    draw, carriers, seen = random.Random(SEED), phrases(half), set[tuple[str, str, str]]()
    for one in FACTS:
        for way, section in _ways(one):
            row = _line(draw, one, way, draw.choice(carriers[section]), draw.choice(carriers["around it"]))
            key = (row["course"], row["segment"], row["said"])
            if key not in seen:
                seen.add(key)
                yield row


def measured(half: str) -> list[Line]:
    """Proof the lines of a half."""
    return [line_of(row) for row in lines(half)]


def main(half: str) -> None:
    """Print each mistake, the figures of each way of telling, and those of all."""
    every = measured(half)
    for line in every:
        if line.missed or line.wrong:
            print("{course} {segment}, {way}: {said}".format(**line.row))
        for kind, words in line.missed:
            print(f"    missed: {kind}: {words}")
        for found in line.wrong:
            print(f"    wrong: {found.kind}: {found.said} ({found.right})")
    count: dict[str, Counter[str]] = {}
    for line in every:
        for way in (line.row["way"], "all"):
            each = count.setdefault(way, Counter())
            each.update(lines=1, right=line.right, missed=len(line.missed), wrong=len(line.wrong))
    for way, each in count.items():
        recall, precision = (
            f"{each['right'] / total:.1%}" if total else "none"
            for total in (each["right"] + each["missed"], each["right"] + each["wrong"])
        )
        print(f"{way}: {each['lines']} lines, recall {recall}, precision {precision}")


if __name__ == "__main__":
    main(sys.argv[1])
