"""Cue cards: large-type cards for shots with facts, with words that are easily swapped, or with a fixed sequence."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.publishing import Erratum
from lessonplan.course.words import day_text
from lessonplan.craft.lengths import NO_BREAK, unbroken
from lessonplan.documents.marks import Marked
from lessonplan.documents.shots import all_shots
from lessonplan.edit.cues.steps import sequences_for
from lessonplan.edit.speech.numbers import COUNTS, TENS
from lessonplan.pattern.texts import fill
from lessonplan.planning.filmed.pickups import errata_by_shot
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered_each
from lessonplan.shoot.day import Day, Listed, clock

PAIRS = (
    ("left", "right"),
    ("knitwise", "purlwise"),
    ("as if to knit", "as if to purl"),
    ("front", "back"),
    ("under", "over"),
    ("inside", "outside"),
    ("clockwise", "anticlockwise"),
    ("rounds", "rows"),
    ("thicker", "thinner"),
    ("larger", "smaller"),
    ("more", "fewer"),
)
"""Words of the trade that are easily said for one another (common practice)."""
_ALONE = re.compile(
    r"\b(?:left|right)(?= (?:hand|needle|side|edge|one|leg)\b)|(?<=(?:..to|from) the )(?:left|right)\b"
    r"|\b(?:knitwise|purlwise|as if to (?:knit|purl))\b"
    r"|(?<=\bthrough the )(?:front|back)\b|(?<=\bfrom the )(?:front|back)\b|(?<=\binto the )(?:front|back)\b"
    r"|(?<=\bin the )(?:front|back)\b|(?<=\bat the )(?:front|back)\b|(?<=\bto the )(?:front|back)\b"
    r"|(?<=\bfrom )(?:under|over)(?= the\b)"
    r"|\b(?:thicker|thinner|larger|smaller)(?=\s(?:needles?|hooks?|yarns?|sizes?|ones?)\b)"
    r"|\bmore(?=\s(?:stitches|sts|rounds|rows)\b)|\bfewer(?=[,.;]|\s(?:stitches|sts|rounds|rows|than)\b)",
    re.IGNORECASE,
)
"""One of a pair said alone, where it means a side, a thickness or a count.

Not where it means that something is well, or that somebody is home again.
"""
_ONES = "|".join(name for name, value in COUNTS.items() if 0 < value < 10)
_SEVERAL = "|".join(name for name, value in COUNTS.items() if value > 1)
_NUMBER = rf"(?:(?:{'|'.join(TENS)})(?:[- ](?:{_ONES}))?|{_SEVERAL}|\d+)"
"""Two or more, in words or digits."""
_COUNT = re.compile(
    rf"\b(?:\d+[.,]\d+|1|{_NUMBER})"
    r"(?=\s+(?:sts?|stitch|stitches|rounds?|rows?|times|cm|inch|inches|mm|ends|markers?|more)\b)"
    rf"|\b(?:one|{_NUMBER})(?:, (?:and )?(?:one|{_NUMBER}))(?:, (?:and )?(?:one|{_NUMBER}))+\b",
    re.IGNORECASE,
)
"""Counts beside what they count, ``thirty stitches``, ``forty-two more``, and numbers told one after the other."""
_STITCHES = re.compile(
    rf"(?:(?<=\bknit )|(?<=\b(?:purl|slip) ))(?:one|{_NUMBER})\b(?! together)",
    re.IGNORECASE,
)
"""How many stitches are worked, said in a word: ``knit three, slip one``."""
_TOLD = re.compile(
    r"\b(?:(?:a|three) quarters? of an hour|half an hour"
    r"|(?:two|three|four|five|six|seven|eight|nine|ten|twelve) (?:times|minutes|hours|days|weeks)(?: and a bit)?)\b",
    re.IGNORECASE,
)
"""How long or how often, said in words: ``a quarter of an hour``, ``four times and a bit``."""
_HERSELF = frozenset({"course.host"})
"""Facts that nobody slips on: the host's own name."""
_OPEN, _CLOSE = "\ue000", "\ue001"
_ENDS = ".!?"
"""Signs that end a sentence."""
SHORT = 20
"""What is kept of a long sentence in fewer letters has what is before it too: nobody knows else where it stands."""
LONG = 70
"""A sentence of more letters is cut down to the parts of it that have what slips in them."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of a line; ``slips``: it is what must be right."""

    text: str
    slips: bool


@dataclass(frozen=True, slots=True)
class Card:
    """One card: the shot, its clock time, the lines to have in sight, and fixed sequences with their names.

    ``works`` are the lines worked live, as the pattern prints them; ``stops``: what is worked off camera before.
    """

    number: str
    slate: str
    title: Marked
    time: str
    stops: str
    works: tuple[str, ...]
    lines: tuple[tuple[Part, ...], ...]
    sequences: tuple[tuple[str, tuple[tuple[Part, ...], ...]], ...]


@dataclass(frozen=True, slots=True)
class CueCardsView:
    """The cards of one day."""

    title: str
    number: int
    day: str
    cards: tuple[Card, ...]


@remembered_each(2)
def cue_cards_view(plan: Plan, day: Day) -> CueCardsView:
    """Lay out the cards of one day, in filming order; a shot without anything that slips has none.

    One that is filmed again has what is right first.
    """
    word = plan.worked.word
    shots: dict[str, Listed] = {item.number: item for item in plan.worked.listed}
    texts_of = all_shots(plan)
    wrong: dict[str, tuple[Erratum, ...]] = dict(errata_by_shot(plan.course).items()) if plan.again else {}

    def marked(name: str) -> str:
        """A fact's value, with marks around it where it is not one that she has in mind."""
        return word(name) if name in _HERSELF else f"{_OPEN}{word(name)}{_CLOSE}"

    cards = []
    for entry in day.entries:
        if entry.kind != "shot":
            continue
        shot = shots[entry.number].shot
        texts = [shot.say, *(point.text for point in shot.points)]
        spoken = " ".join(" ".join(fill(text, word) for text in texts).split())
        must = tuple(tuple(_out_of(spoken, " ".join(fill(text, word).split()))) for text in shot.must_say)
        again = tuple((Part(fill(one.right, word), True),) for one in wrong.get(entry.number, ()))
        said = (line for text in texts for line in slippery(fill(text, marked)))
        lines = [*again, *must, *(line for line in said if not _told(line, must))]
        for text, shown in zip(shot.on_screen, texts_of[entry.number].on_screen, strict=True):
            told = all(_told(line, lines) for line in slippery(fill(text, marked)))
            lines += [(Part("On screen: ", False), Part(shown, True))] if "{{" in text and not told else []
        works = tuple(one.work.replace(" times", f"{NO_BREAK}times") for one in shot.hands if one.work)
        sequences = tuple(sequences_of(plan.course.pattern, shot))
        if lines or sequences or works:
            slate = texts_of[entry.number].slate
            title = Marked(fill(shot.title, word))
            cards.append(
                Card(
                    number=entry.number,
                    slate=str(slate or ""),
                    title=title,
                    time=clock(entry.start),
                    stops=texts_of[entry.number].stops,
                    works=works,
                    lines=tuple(lines),
                    sequences=sequences,
                )
            )
    return CueCardsView(plan.course.course.title, day.number + 1, day_text(day.day), tuple(cards))


def _out_of(spoken: str, text: str) -> Iterator[Part]:
    """Give a line that must be said, with a sign at each end where the sentence that has it goes on beyond it."""
    at = spoken.find(text)
    before, after = (spoken[:at].rstrip(), spoken[at + len(text) :]) if at >= 0 else ("", "")
    yield from [Part("… ", False)] if before and before[-1] not in _ENDS else []
    yield Part(text, True)
    yield from [Part("\u00a0…", False)] if after and not {text[-1], after[0]} & set(_ENDS) else []


def _told(line: tuple[Part, ...], must: Sequence[tuple[Part, ...]]) -> bool:
    """Whether all that slips in a line stands in one that is on the card above it."""
    there = " ".join(unbroken(part.text) for one in must for part in one)
    words = (re.escape(part.text) for part in line if part.slips)
    return all(re.search(rf"(?<!\w){one}(?!\w)", there) for one in words)


def slippery(say: str) -> tuple[tuple[Part, ...], ...]:
    """Pick the sentences with what slips: facts (between marks), words easily swapped, counts beside a unit.

    Of a long sentence the parts that have it are kept.
    """
    plain = re.sub(r"[*_`>#]", "", re.sub(r"\[([^\[\]]*)\]\([^()]*\)", r"\1", say))
    sentences = re.split(r"(?<=[.!?])\s+", " ".join(plain.split()))
    lines = (tuple(_parts(sentence)) for sentence in sentences)
    return tuple(_short(line) for line in lines if any(part.slips for part in line))


def _parts(sentence: str) -> Iterator[Part]:
    """Cut a sentence where what slips begins and ends."""
    text, spans = "", []
    for piece in re.split(f"([{_OPEN}{_CLOSE}])", sentence):
        if piece == _OPEN:
            spans.append([len(text), len(text)])
        elif piece == _CLOSE:
            spans[-1][1] = len(text)
        else:
            text += piece
    small = text.casefold()
    for pair in (pair for pair in PAIRS if all(one in small for one in pair)):
        found = [[*re.finditer(rf"\b{one}\b", text, re.IGNORECASE)] for one in pair]
        spans += [list(match.span()) for one in found for match in one if all(found)]
    spans += [list(match.span()) for each in (_ALONE, _COUNT, _STITCHES, _TOLD) for match in each.finditer(text)]
    at = 0
    for start, end in _joined(spans):
        if start > at:
            yield Part(text[at:start], False)
        yield Part(unbroken(text[start:end]), True)
        at = end
    if at < len(text):
        yield Part(text[at:], False)


def _joined(spans: list[list[int]]) -> list[tuple[int, int]]:
    """Put stretches that touch together, in order."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(map(tuple, spans)):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        elif end > start:
            joined.append((start, end))
    return joined


def _short(line: tuple[Part, ...]) -> tuple[Part, ...]:
    """Leave out the clauses of a long line that have nothing in them that slips."""
    if sum(len(part.text) for part in line) <= LONG:
        return line
    clauses: list[list[Part]] = [[]]
    for part in line:
        for place, text in enumerate([part.text] if part.slips else re.split(r"(?<=[,;:]) ", part.text)):
            if place:
                clauses.append([])
            clauses[-1].append(Part(text, part.slips))
    chosen = _kept_of(clauses)
    kept: list[Part] = []
    left_out = False
    for place, clause in enumerate(clauses):
        if place in chosen:
            begun = " " if kept else ""
            kept += [Part(f"{begun}… " if left_out else begun, False), *clause]
            left_out = False
        else:
            left_out = True
    if left_out:
        last = kept[-1]
        kept[-1:] = [Part(last.text.rstrip(",;:"), last.slips), Part("\u00a0…", False)]
    return tuple(part for part in kept if part.text)


def _kept_of(clauses: Sequence[Sequence[Part]]) -> set[int]:
    """Choose the clauses that have what slips; before so few words as say nothing alone those before."""
    chosen = {place for place, clause in enumerate(clauses) if any(part.slips for part in clause)}
    while min(chosen) and sum(len(part.text) for place in chosen for part in clauses[place]) < SHORT:
        chosen.add(min(chosen) - 1)
    return chosen


def sequences_of(pattern: pm.Pattern, shot: Shot) -> Iterator[tuple[str, tuple[tuple[Part, ...], ...]]]:
    """Give the fixed sequences that a shot does or speaks of, each with its name and its steps in order."""
    texts = " ".join([shot.title, *(one.work or one.do for one in shot.hands), *shot.on_screen, shot.say])
    for name, steps in sequences_for(pattern, texts):
        yield name, tuple(_step(step) for step in steps)


def _step(text: str) -> tuple[Part, ...]:
    pieces = enumerate(text.split("*"))
    return tuple(Part(piece, place % 2 == 1) for place, piece in pieces if piece)
