"""Cue cards: large-type cards for shots with words that are easily swapped, or with counts."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lessonplan.documents.wording import clock, day_text
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.worked import Plan
from lessonplan.shoot.day import Day, Listed

PAIRS = (
    ("left", "right"),
    ("knitwise", "purlwise"),
    ("front", "back"),
    ("clockwise", "anticlockwise"),
    ("rounds", "rows"),
)
"""Words of the trade that are easily said for one another (common practice)."""
_ALONE = re.compile(
    r"\b((?:left|right)(?= (?:hand|needle|side|edge|one)\b)|(?<=(?:..to|from) the )(?:left|right)|knitwise|purlwise)\b",
    re.IGNORECASE,
)
"""One of a pair said alone, where it means a side and not that something is well."""
_UNIT = r"(?:st|sts|stitch|stitches|rounds?|rows?|times|cm|in|inches|mm|ends|markers?)"


@dataclass(frozen=True, slots=True)
class Card:
    """One card: the shot, its clock time, and the lines to have in sight, each with what makes it slippery."""

    number: str
    title: str
    time: str
    lines: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class CueCardsView:
    """The cards of one day."""

    title: str
    number: int
    day: str
    cards: tuple[Card, ...]


def cue_cards_view(plan: Plan, day: Day) -> CueCardsView:
    """Lay out the cards of one day, in filming order; a shot without slippery words has none."""
    word = for_size(plan.worked.facts, plan.worked.size)
    shots: dict[str, Listed] = {item.number: item for item in plan.worked.listed}
    cards = []
    for entry in day.entries:
        if entry.kind != "shot":
            continue
        shot = shots[entry.number].shot
        lines = slippery(fill(shot.say, word))
        if lines:
            cards.append(Card(entry.number, fill(shot.title, word), clock(entry.start), lines))
    return CueCardsView(plan.course.course.title, day.number + 1, day_text(day.day), tuple(cards))


def slippery(say: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Pick the sentences in which a pair of easily swapped words or a count is said, with those words."""
    plain = re.sub(r"[*_`>#]", "", re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", say))
    found = []
    for sentence in re.split(r"(?<=[.!?])\s+", " ".join(plain.split())):
        words = [pair[0] + "/" + pair[1] for pair in PAIRS if all(_has(sentence, one) for one in pair)]
        if not words:
            words += [match.group(1).lower() for match in _ALONE.finditer(sentence)]
        words += [match.group() for match in re.finditer(rf"\b\d+(?:[.,]\d+)?\s+{_UNIT}\b", sentence)]
        if words:
            found.append((sentence, tuple(dict.fromkeys(words))))
    return tuple(found)


def _has(sentence: str, word: str) -> bool:
    return re.search(rf"\b{word}\b", sentence, re.IGNORECASE) is not None
