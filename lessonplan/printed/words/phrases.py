"""The words of print: `vocabulary.csv` and the spellings of the table of techniques, found whatever stands between.

A phrase is kept as a run of pieces (letters, digits, signs), so that "k2tog", "K 2 tog" and "k2-tog" are one. Articles
and their like are left out of a phrase and of the text alike.
"""

from __future__ import annotations

import csv
import itertools
import re
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from lessonplan.craft.techniques import CRAFTS, GENERATED, canonical, is_technique, spellings

TABLE = Path(__file__).parent / "vocabulary.csv"
HOOKED = Path(__file__).parent / "hooked.csv"
"""The words that only crochet has, or that mean something else there."""
PIECE = re.compile(
    r"(?:[^\W\d_]\.){2,}(?:[^\W\d_](?![^\W_])\.?)?|(?<![^\W_])(?:[yw]\.f\w*|h\.tr|(?:s|d|h d) c)(?![^\W_])\.?|"
    r"[^\W\d_]+(?:'(?:s|d|t|ed|re|ll|ve|m)(?![^\W\d_]))?|\d+|\S"
)
_MOVES = frozenset({"pm", "sm", "rm", "BO", "CO", "3nBO", "graft", "draw through", "pu&k", "picot n", "turn", "w&t"})
"""Techniques that are read as moves of their own, not as stitches."""
_HOOKED = frozenset({"space", "group", "otherside", "elsewhere"})
"""Kinds of words that have their meaning in crochet alone."""
_SHAPING = frozenset({"inc", "dec", "increase", "decrease"})
"""Words that begin something new behind a full stop: `sc in next 4 st. Dec.`"""
_PASSING = frozenset({"psso", "sso", "p2sso", "tog", "together"})
"""Words of phrases whose parts may be told apart by stops: `Sl1. K1. psso.`"""
_SLIPPED_APART = frozenset({"ssk", "ssp", "sssk", "wt", "skp", "yo", "kfbf"})
"""Meanings that print takes apart with commas: "slip, slip, knit"."""
_DIGITS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"),
)
_TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
NUMBER_WORDS: Mapping[str, int] = {
    **{word: number for number, word in enumerate(_DIGITS, 1)},
    **{word: 10 * number for number, word in enumerate(_TENS, 3)},
    "hundred": 100,
}


_GOING_ON = ("knit", "purl", "turn", "pick", "work", "join", "bind", "cast", "draw", "pull", "pass", "bring")
_STEMS: Mapping[str, str] = {
    **{f"{verb}ing": verb for verb in _GOING_ON},
    **{f"{verb[:-1]}ing": verb for verb in ("place", "make", "remove", "move", "leave", "change", "weave")},
    **{f"{verb}{verb[-1]}ing": verb for verb in ("slip", "skip", "put", "set", "cut", "wrap", "drop", "let")},
    "breaking": "break",
}
"""Verbs in the form that goes on, each with the one in which phrases are kept: `picking up and knitting`."""


class Word(NamedTuple):
    """What a phrase means: its kind and value, and whether blanks may stand in it before a last single letter."""

    kind: str
    value: str


class Piece(NamedTuple):
    """A run of letters or of digits, or a sign, in lower case, with its place in the text."""

    text: str
    at: int
    end: int
    tight: bool
    """Whether it stands straight behind the piece before it."""


def pieces(text: str) -> list[Piece]:
    """The pieces of a text in lower case."""
    found: list[Piece] = []
    for match in PIECE.finditer(text):
        tight = bool(found) and found[-1].end == match.start()
        letters = match[0]
        if len(letters) > 1 and ("." in letters or " " in letters):
            letters = letters.replace(".", "").replace(" ", "")
        found.append(Piece(letters, match.start(), match.end(), tight))
    return found


@cache
def noise() -> frozenset[str]:
    """Words that change nothing wherever they stand."""
    return frozenset(word for kind, _, word in _entries() if kind == "noise")


@cache
def _entries(table: Path = TABLE) -> tuple[tuple[str, str, str], ...]:
    found = list[tuple[str, str, str]]()
    with table.open(encoding="utf-8", newline="") as file:
        for row in (rows := csv.DictReader(file)):
            kind, value = row["kind"], row["value"]
            if kind == "stitch" and not is_technique(value):
                raise ValueError(f"{table.name}, line {rows.line_num}: techniques.csv has no technique {value!r}.")
            found += [(kind, value, phrase) for phrase in row["phrases"].split("|")]
    return tuple(found)


@cache
def phrases(craft: str) -> Mapping[str, tuple[tuple[tuple[str, ...], Word], ...]]:
    """Phrases as runs of pieces, by their first piece, the longest first; spellings of `craft` win over the other's."""
    found: dict[tuple[str, ...], Word] = {}
    for each in (craft, *(other for other in CRAFTS if other != craft)):
        for spelling, name in spellings(each).items():
            if name not in _MOVES and not (craft == "crochet" and name.lower().startswith("m1")):
                found.setdefault(_key(spelling), Word("stitch", name))
    for kind, value, phrase in _entries():
        if kind != "noise" and not (craft == "crochet" and value.lower().startswith("m1")):  # `make 1 dc`
            key = _key(phrase)
            only_hooked = kind in _HOOKED or value == "magic" or (kind == "ring" and key in found)
            hooked = craft == "crochet" or not only_hooked
            if hooked and (kind not in ("stitch", "remark") or key not in found):
                found[key] = Word(kind, value)
    if craft == "crochet":
        for spelling, name in spellings(craft).items():
            found[_key(spelling)] = Word("stitch", name)
        found.update({_key(phrase): Word(kind, value) for kind, value, phrase in _entries(HOOKED)})
    by_first: dict[str, list[tuple[tuple[str, ...], Word]]] = {}
    for key, word in found.items():
        if key:
            by_first.setdefault(key[0], []).append((key, word))
    return {
        first: tuple(sorted(entries, key=lambda entry: (-len(entry[0]), entry[0])))
        for first, entries in by_first.items()
    }


@cache
def _by_second(craft: str) -> Mapping[str, Mapping[str, list[tuple[tuple[str, ...], Word]]]]:
    """The phrases by their first piece, and then by their second one ("" where there is none)."""
    found: dict[str, dict[str, list[tuple[tuple[str, ...], Word]]]] = {}
    for first, entries in phrases(craft).items():
        groups = found.setdefault(first, {})
        for entry in entries:
            groups.setdefault(entry[0][1] if len(entry[0]) > 1 else "", []).append(entry)
    return found


@cache
def _key(phrase: str) -> tuple[str, ...]:
    words = phrase.split(" ")
    plain = all(len(word) > 1 and word.isalpha() and word.islower() for word in words)
    parts = words if plain else [piece for piece in PIECE.findall(phrase.lower()) if piece not in "-.,"]
    kept = tuple(piece for piece in parts if piece not in noise())
    return kept or tuple(parts)


_GENERATED = re.compile(rf"(?:{GENERATED})(?![a-z0-9])")


def longest(text: str, run: Sequence[Piece], start: int, craft: str) -> tuple[Word, int] | None:
    """The longest phrase that begins at piece number `start`, and the piece after it."""
    first = run[start]
    best: tuple[Word, int] | None = None
    if match := _GENERATED.match(text, first.at):
        stop = next((n for n in range(start, len(run)) if run[n].end == match.end()), None)
        if stop is not None:
            best = Word("stitch", canonical(" ".join(match[0].split()), craft)), stop + 1
    groups = _by_second(craft).get(first.text, {})
    stem = _STEMS.get(first.text)
    more = _by_second(craft).get(stem, {}) if stem else {}
    if not groups and not more:
        return best
    seconds = _seconds(run, start + 1)
    found = [groups[second] for second in seconds if second in groups]
    if more:
        found += [[each for each in more[second] if each[1].kind != "co"] for second in seconds if second in more]
    entries = found[0] if len(found) == 1 else sorted(itertools.chain(*found), key=lambda entry: -len(entry[0]))
    for key, word in (*entries, *groups.get("", ())):
        if best is not None and len(key) <= best[1] - start:
            break
        end = _matched(run, start, key, word.value in _SLIPPED_APART or word.kind == "wt")
        if end and word.kind == "pu" and end < len(run) and run[end].text == "to":
            continue  # `k up to last 3 sts`
        if end and (best is None or end > best[1]):
            return word, end
    return best


def _seconds(run: Sequence[Piece], here: int) -> list[str]:
    """What may be the second word of a phrase: the next piece, and those behind it if it can be passed."""
    found: dict[str, None] = {}
    for piece in run[here : here + 6]:
        found[piece.text] = None
        if piece.text in _STEMS:
            found[_STEMS[piece.text]] = None
        if piece.text not in noise() and piece.text not in "-.,":
            break
    return list(found)


def _listed(run: Sequence[Piece], here: int) -> bool:
    """Whether a bracket with a number begins at a piece."""
    return run[here].text in ("(", "[") and here + 1 < len(run) and run[here + 1].text.isdecimal()


def _matched(run: Sequence[Piece], start: int, key: tuple[str, ...], apart: bool) -> int:
    """The piece after the key, or 0 if it does not stand here; signs between its words do not matter."""
    here = start + 1
    for wanted in key[1:]:
        while here < len(run) and run[here].text != wanted and _STEMS.get(run[here].text) != wanted:
            passed = run[here].text
            before = run[here - 1].text
            short = passed == "." and len(before) < 4 and wanted not in _SHAPING
            whole = before.isdecimal() or before == "yo"  # `k1. yo. sl1`
            short = short and (not whole or not _PASSING.isdisjoint(key))
            listed = passed == "," and apart and (len(before) > 1 or before.isdecimal())
            if passed not in noise() and passed != "-" and not short and not listed:
                return 0
            here += 1
        if here >= len(run):
            return 0
        here += 1
    last = run[here - 1]
    if (
        len(key) > 1
        and last.text.isdecimal()
        and here < len(run)
        and (run[here].text in ("st", "sts", "stitches") or _listed(run, here))
    ):
        return 0  # `inc 4 sts` is no `inc 4`
    after = run[here] if here < len(run) else None
    digits = after is not None and after.tight and after.text.isdecimal() and not last.text.isdecimal()
    if digits and len(key) > 1 and (not last.tight or last.text in ("k", "p")):
        return 0  # `m1 p2` is not `m1p`
    if len(key) > 1 and len(last.text) == 1 and last.text.isalpha() and not last.tight:
        spelt = all(len(each) == 1 for each in key) and (
            len(key) > 3 or key[-1] == "c" or key == ("s", "s", "k")
        )  # `P S S O (pass ...`, `1 s c`
        plain = spelt or after is None or not (after.text.isalnum() or after.text in "([")
        return here if plain else 0
    if after is not None and after.tight and last.text.isdecimal() and after.text.isalpha() and len(key) > 1:
        return 0  # `sl1 k2` does not end inside `k2tog`
    return here
