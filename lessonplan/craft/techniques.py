"""The stitches and other moves of the craft: what each takes off the needle, what it makes, what it costs.

The table is `tables/techniques.csv`, one row for each canonical technique, with the source of its meaning and of its
factors. Names that follow a pattern of the trade (k4tog, C10B, 3/2 LPC) are made from the pattern when asked for.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

TABLE = Path(__file__).parent / "tables" / "techniques.csv"
TERM = "term"
CRAFTS = ("knitting", "crochet")
_CABLE_TIME = 2.25
"""Time of one stitch in a cable crossing, plain knit = 1: midpoint of 1.5 to 3.0, planning guess, from memory."""
_CABLE_SOURCE = "midpoint of 1.5 to 3.0 a stitch, planning guess, from memory"
_GUESSED = "planning guess, from memory"


@dataclass(frozen=True, slots=True)
class Technique:
    """One technique: stitches taken and made, time (one plain knit stitch = 1), yarn (loops of plain knit yarn)."""

    name: str
    meaning: str
    kind: str
    craft: str
    consumes: int
    produces: int
    time_factor: float
    yarn_factor: float
    factor_source: str
    source: str
    confidence: str


@cache
def _rows() -> tuple[tuple[Technique, tuple[str, ...]], ...]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(_technique_and_variants(row) for row in csv.DictReader(file))


def _technique_and_variants(row: Mapping[str, str]) -> tuple[Technique, tuple[str, ...]]:
    technique = Technique(
        name=row["name"],
        meaning=row["meaning"],
        kind=row["kind"],
        craft=row["craft"],
        consumes=int(row["consumes"]),
        produces=int(row["produces"]),
        time_factor=float(row["time_factor"]),
        yarn_factor=float(row["yarn_factor"]),
        factor_source=row["factor_source"],
        source=row["source"],
        confidence=row["confidence"],
    )
    return technique, tuple(part.strip() for part in row["variants"].split(";") if part.strip())


@cache
def all_techniques() -> Mapping[str, Technique]:
    """Every row of the table by canonical name, in the order of the table, terms (RS, rnd, MC ...) included.

    The crochet slip stitch, whose letters are also a variant of the knitted `sl`, is called `sl st`.
    """
    return MappingProxyType({technique.name: technique for technique, _ in _rows()})


@lru_cache(maxsize=1024)
def technique(name: str) -> Technique:
    """The technique with this canonical name, from the table or made by pattern; `KeyError` if there is none."""
    found = all_techniques().get(name) or _generated(name)
    if found is None:
        raise KeyError(name)
    return found


def is_technique(name: str) -> bool:
    """Whether there is a technique with this canonical name."""
    return name in all_techniques() or _generated(name) is not None


@cache
def spellings(craft: str) -> Mapping[str, str]:
    """Printed spelling, in lower case, to canonical name, for what can be worked in `craft` (knitting, crochet)."""
    found: dict[str, str] = {}
    for entry, variants in _rows():
        if entry.craft == craft and entry.kind != TERM:
            for spelling in (entry.name, *variants):
                found.setdefault(spelling.lower(), entry.name)
    return MappingProxyType(found)


def canonical(spelling: str, craft: str = "knitting") -> str:
    """Canonical name for a printed spelling in any case, of `craft` first; `KeyError` if it means no technique."""
    lower = spelling.lower()
    for each in (craft, *(other for other in CRAFTS if other != craft)):
        if name := spellings(each).get(lower):
            return name
    for pattern, name_of in _PATTERNS:
        if match := pattern.fullmatch(lower):
            name = name_of(match)
            return spellings("knitting").get(name.lower(), name)
    raise KeyError(spelling)


def _together(match: re.Match[str]) -> str:
    return f"{match[1]}{match[2]}tog" + (" tbl" if match[3] else "")


def _cable(match: re.Match[str]) -> str:
    return f"{match[1].upper()}{match[2]}{match[3].upper()}"


def _crossing(match: re.Match[str]) -> str:
    return f"{match[1]}/{match[2]} {match[3].upper()}"


_SEVERAL, _SOME = r"(?:[2-9]|[1-9]\d)", r"[1-9]\d?"
"""Stitches that are worked together, or on one side of a crossing: up to 99."""
_PATTERNS = (
    (re.compile(rf"([kp])({_SEVERAL}) ?tog(?:[ -]?(tbl|b))?"), _together),
    (re.compile(rf"(sc|hdc|dc|tr)({_SEVERAL})tog()"), _together),
    (re.compile(rf"([ct])({_SEVERAL})([bf])"), _cable),
    (re.compile(rf"({_SOME})/({_SOME}) ?(rc|lc|rpc|lpc)"), _crossing),
)
GENERATED = rf"[kp]{_SEVERAL} ?tog(?:[ -]?tbl|b)?|[ct]{_SEVERAL}[bf]|{_SOME}/{_SOME} ?(?:rc|lc|rpc|lpc)"
"""Regular expression of the spellings that are made by pattern, in lower case."""
_INTO_ONE = re.compile(r"\((.+)\) in (\d+)")


def _generated(name: str) -> Technique | None:
    if match := re.fullmatch(rf"([kp])({_SEVERAL})tog( tbl)?", name):
        return _generated_decrease(name, match[1], int(match[2]), bool(match[3]))
    if match := re.fullmatch(rf"(sc|hdc|dc|tr)({_SEVERAL})tog", name):
        return _closed_together(name, match[1], int(match[2]))
    if match := re.fullmatch(rf"([CT])({_SEVERAL})([BF])", name):
        return _generated_cable(name, match[1], int(match[2]), match[3])
    if match := re.fullmatch(rf"({_SOME})/({_SOME}) (R|L)(P?)C", name):
        side = "right" if match[3] == "R" else "left"
        what = "purl cross" if match[4] else "cross"
        return _made(name, f"{match[1]} over {match[2]} {side} {what}", int(match[1]) + int(match[2]))
    if match := _INTO_ONE.fullmatch(name):
        return _generated_increase(name, match[1], int(match[2]))
    return None


def _generated_decrease(name: str, letter: str, count: int, twisted: bool) -> Technique:
    word = {"k": "knit", "p": "purl"}[letter]
    meaning = f"{word} {count} together" + (" through back loops" if twisted else "")
    time = 0.5 + 0.5 * count + 0.3 * (letter == "p") + 0.3 * twisted
    return Technique(
        name=name,
        meaning=meaning,
        kind="decrease",
        craft="knitting",
        consumes=count,
        produces=1,
        time_factor=time,
        yarn_factor=1.0,
        factor_source=_GUESSED,
        source="formed by pattern",
        confidence="computed",
    )


def _closed_together(name: str, stitch: str, count: int) -> Technique:
    """More stitches of crochet closed together than the table has: each adds as much as the third did."""
    two, three = technique(f"{stitch}2tog"), technique(f"{stitch}3tog")
    return replace(
        three,
        name=name,
        meaning=three.meaning.replace("3", str(count)),
        consumes=count,
        time_factor=two.time_factor + (count - 2) * (three.time_factor - two.time_factor),
        yarn_factor=two.yarn_factor + (count - 2) * (three.yarn_factor - two.yarn_factor),
        source="formed by pattern",
        confidence="computed",
    )


def _generated_cable(name: str, letter: str, width: int, where: str) -> Technique:
    over = width - width // 2
    side = "right" if where == "B" else "left"
    what = "cross" if letter == "C" else "purl twist"
    return _made(name, f"{over} over {width - over} {side} {what}", width)


def _made(name: str, meaning: str, width: int) -> Technique:
    return _formed(name, meaning, "cable", (width, width), width * _CABLE_TIME, _CABLE_SOURCE)


def _formed(name: str, meaning: str, kind: str, loops: tuple[int, int], time: float, source: str) -> Technique:
    """Make a technique of a name that is formed by a pattern; ``loops`` it consumes and produces."""
    return Technique(
        name=name,
        meaning=meaning,
        kind=kind,
        craft="knitting",
        consumes=loops[0],
        produces=loops[1],
        time_factor=time,
        yarn_factor=loops[1],
        factor_source=source,
        source="formed by pattern",
        confidence="computed",
    )


def _generated_increase(name: str, inside: str, places: int) -> Technique | None:
    made, time = 0, 0.0
    for part in inside.split(", "):
        match = re.fullmatch(r"(k|p|yo)(\d*)", part)
        if match is None:
            return None
        count = int(match[2] or 1)
        made += count
        time += count * technique(match[1]).time_factor
    return _formed(name, f"work ({inside}) into the same stitch", "increase", (places, made), time, _GUESSED)


def terms_of(text: str) -> Iterator[tuple[str, str, re.Pattern[str]]]:
    """Terms whose signs stand in a text, with the expression that finds one where it is a word of its own."""
    small = text.casefold()
    for entry, spelled in _terms():
        if any(each.casefold() in small for each in spelled):
            yield entry.name, entry.meaning, _pattern(spelled)


@cache
def _terms() -> tuple[tuple[Technique, tuple[str, ...]], ...]:
    rows = ((entry, (entry.name, *variants)) for entry, variants in _rows() if entry.kind == TERM)
    return tuple((entry, spelled) for entry, spelled in rows if entry.name not in {"row", "m"})


@cache
def _pattern(spelled: tuple[str, ...]) -> re.Pattern[str]:
    """Capitals count only where the term is all capitals."""
    words = "|".join(map(re.escape, spelled))
    return re.compile(rf"(?<![A-Za-z0-9])(?:{words})(?![A-Za-z])", 0 if spelled[0].isupper() else re.IGNORECASE)


def _printed_as(entry: Technique, variants: tuple[str, ...], text: str) -> str:
    """The spelling of a technique that the texts use: its name if they do, else the first variant they use."""
    for spelling in (entry.name, *variants):
        if "word" not in spelling and _uses(spelling, text):
            return spelling if spelling == entry.name else _as_found(spelling, text)
    return entry.name


def _uses(spelling: str, text: str) -> re.Match[str] | None:
    return re.search(rf"(?<![a-z]){re.escape(spelling)}(?![a-z])", text, re.IGNORECASE)


def _as_found(spelling: str, text: str) -> str:
    match = _uses(spelling, text)
    return match[0] if match else spelling


_IN_UK = {"hdc": "htr", "sc": "dc", "dc": "tr", "dtr": "ttr", "tr": "dtr"}
_MEANT_IN_UK = {
    "half double crochet": "half treble", "single crochet": "double crochet", "double treble crochet": "triple treble",
    "treble crochet": "double treble", "double crochet": "treble",
}  # fmt: skip


def in_terms(name: str, terms: str) -> str:
    """The name of a technique in ``terms`` of crochet, "us" or "uk": US sc2tog is UK dc2tog (common practice)."""
    parts = re.fullmatch(rf"(f?)({'|'.join(_IN_UK)})(\dtog)?", name) if terms == "uk" else None
    return f"{parts[1]}{_IN_UK[parts[2]]}{parts[3] or ''}" if parts else name


def abbreviations_used(
    texts: Iterable[str], worked: Iterable[str], terms: str = "us"
) -> tuple[tuple[str, str, str], ...]:
    """Abbreviations that a handout must explain: as printed, meaning, canonical name; sorted without regard to case.

    `worked` are canonical technique names, from working the lines; terms (rnd, RS, MC ...) are looked for in `texts`,
    whose crochet has the names of its own `terms`. What is listed is spelled as the texts spell it. Unknown technique
    names are a `KeyError`.
    """
    text, names = "\n".join(texts), set(worked)
    variants = {entry.name: others for entry, others in _rows()}
    hooked = any(technique(name).craft == "crochet" for name in names)
    stitches = spellings("crochet") if hooked else {}
    found = {
        meaning: (_printed_as(all_techniques()[name], variants[name], text), name)
        for name, meaning, pattern in terms_of(text)
        if any(match[0].lower() not in stitches for match in pattern.finditer(text))
    }
    if hooked and any(_uses(one, text) for one in ("sl st", *variants["sl st"])):
        names.add("sl st")  # which joins rounds, and is no stitch of them
    for name in names:
        entry = technique(name)
        abbreviations = tuple(v for v in variants.get(name, ()) if " " not in v or len(v) <= 9)
        if name.startswith("("):
            continue  # the print spells it out itself
        meaning, other = entry.meaning, in_terms(name, terms)
        if other != name:
            meaning = re.sub("|".join(_MEANT_IN_UK), lambda match: _MEANT_IN_UK[match[0]], meaning)
        found[meaning] = (other if other != name else _printed_as(entry, abbreviations, text), name)
    every = ((short, meaning, name) for meaning, (short, name) in found.items())
    return tuple(sorted(every, key=lambda one: one[0].lower()))


HEIGHTS: Mapping[str, int] = {"sc": 1, "hdc": 2, "dc": 3, "tr": 4, "dtr": 5, "cluster": 3, "puff": 3, "popcorn": 3}
"""Chains that stand for a stitch at the beginning of a row (common practice)."""
TALL = 3
"""From this height on a chain that nothing is said of counts as a stitch (common practice)."""


def chains_high(name: str) -> int:
    """How many chains stand for a stitch, or for those joined at its top; 0 for what is no tall stitch."""
    return HEIGHTS.get(name) or next((h for base, h in HEIGHTS.items() if name in (f"{base}2tog", f"{base}3tog")), 0)


def stands_for(n: int, tall: int) -> bool:
    """Whether `n` chains that nothing is said of stand for a stitch; a British treble has one chain less."""
    return tall >= TALL and n >= min(tall, max(TALL, tall - 1))
