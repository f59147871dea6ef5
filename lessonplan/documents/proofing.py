"""The findings of proofing an episode's captions: as a table, as data, and as a page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Any

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.problems import Problem
from lessonplan.course.words import count_of, listing
from lessonplan.documents.tables import table
from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.kept import second_of
from lessonplan.edit.proof.episode import Proof, proof
from lessonplan.edit.proof.expected.texts import filled_with_spans
from lessonplan.edit.proof.findings import KINDS, Finding
from lessonplan.edit.proof.keeping import can_be_erratum
from lessonplan.edit.timecode import Rate, frame_at, timecode
from lessonplan.planning.filmed.heard import Kept
from lessonplan.planning.worked import Plan, Worked

ABOUT = {
    "disagrees": "a number that is another one in the pattern",
    "wrong unit": "the number is right with another unit",
    "unplanned number": "a number that nothing in the pattern or in the script has",
    "swapped words": "a word that is not the right one in a fixed sequence",
    "took it back": "a correction; what came before it may still be heard",
    "said of the sample only": "true of the piece on the table, not of the pattern",
    "never said": "a number that was to be said and was not heard",
    "said twice": "a sentence that is heard twice",
}
"""What each kind of finding means."""
NEARBY = 3
"""So many seconds from a finding an erratum tells of the same."""


@dataclass(frozen=True, slots=True)
class Row:
    """A finding as shown: its number, timecode, segment, kind, the words with what was said parted off, what holds.

    ``before``, ``said`` and ``after`` make up the context; ``decided``: what was decided about it, or nothing;
    ``choices``: the options of the command by which it can be; ``told``: which erratum tells of it already.
    """

    number: int
    at: str
    segment: str
    kind: str
    before: str
    said: str
    after: str
    right: str
    decided: str
    choices: tuple[str, ...]
    told: str = ""


@dataclass(frozen=True, slots=True)
class ProofView:
    """What stands on the page of an episode's proof; ``made``: some of its cuts are made."""

    title: str
    number: int
    episode: str
    file: str
    words: int
    rows: tuple[Row, ...]
    done: tuple[Row, ...]
    kinds: tuple[tuple[str, str, int], ...]
    troubles: tuple[str, ...]
    made: bool


def proof_view(plan: Plan, found: Proof) -> ProofView:
    """Lay out the page of a proof."""
    rows = tuple(
        replace(
            row,
            told=listing([_erratum(number, each) for number, each in errata_near(plan, found.episode.episode, one)]),
        )
        for row, one in zip(proof_rows(plan.worked, found), found.findings, strict=True)
    )
    still = tuple(row for row in rows if not row.decided)
    counts = Counter(row.kind for row in still)
    return ProofView(
        title=plan.course.course.title,
        number=found.episode.episode,
        episode=filled_with_spans(plan.worked, found.episode.title)[0],
        file=found.file,
        words=found.words,
        rows=still,
        done=tuple(row for row in rows if row.decided),
        kinds=tuple((kind, ABOUT[kind], counts[kind]) for kind in KINDS if counts[kind]),
        troubles=tuple(_trouble(problem) for problem in found.problems),
        made=bool(found.episode.cuts_made),
    )


def errata_near(plan: Plan, episode: int, finding: Finding) -> Iterator[tuple[int, Erratum]]:
    """Give the errata of a video that tell of what was found, by their seconds, each with its number (from 1)."""
    for number, one in enumerate(plan.course.errata.errata, 1):
        known, second = second_of(plan, one) or (0, 0)
        if known == episode and abs(second - finding.start) < NEARBY:
            yield number, one


def _erratum(number: int, one: Erratum) -> str:
    return f"erratum {number} ({one.remedy}, {one.state})"


def _trouble(problem: Problem) -> str:
    line = f"Line {problem.where.line}: " if problem.where.line else ""
    return f"{line}{problem.message} {problem.hint}".strip()


@lru_cache(maxsize=16)
def proof_of(plan: Plan, kept: Kept) -> Proof:
    """Proof the captions of an episode that a course keeps; remembered, for several papers tell of it."""
    episode = next(one for one in plan.course.episodes if one.episode == kept.episode)
    return proof(plan.worked, episode, read_captions(kept.data, kept.name))


def proof_rows(worked: Worked, found: Proof) -> tuple[Row, ...]:
    """Word the findings of a proof."""
    every = zip(found.findings, found.decided, strict=True)
    rate = worked.course.course.frame_rate
    return tuple(_row(number, one, done, rate) for number, (one, done) in enumerate(every, 1))


def _row(number: int, one: Finding, decided: str, rate: Rate) -> Row:
    before, said, after = one.context.partition(one.said) if one.kind != "never said" else ("", "", "")
    return Row(
        number=number,
        at=timecode(frame_at(Fraction(one.start).limit_denominator(1000), rate), rate),
        segment=one.segment,
        kind=one.kind,
        before=before,
        said=said,
        after=after,
        right=one.right,
        decided=decided,
        choices=(*([f"--erratum {number}"] if can_be_erratum(one) else []), f"--dismiss {number}"),
    )


def proof_table(worked: Worked, found: Proof) -> str:
    """Set the findings of a proof as text."""
    rows = [
        (str(row.number), row.at, row.segment, row.kind, f"{row.before}{row.said}{row.after}", row.right, row.decided)
        for row in proof_rows(worked, found)
    ]
    if not rows:
        return f"{found.file}: {count_of(found.words, 'word')} heard, nothing found."
    still = len(found.open)
    summary = f"{found.file}: {count_of(found.words, 'word')} heard, {count_of(len(rows), 'finding')}, {still} open."
    head = ("No.", "At", "Segment", "Kind", "Said", "By the pattern", "Decided")
    return f"{table(head, rows, frozenset({0}))}\n\n{summary}"


def proof_data(worked: Worked, found: Proof) -> dict[str, Any]:
    """Give the same as plain values; ``start`` in seconds."""
    return {
        "episode": found.episode.episode,
        "captions": found.file,
        "words": found.words,
        "findings": [
            {
                "number": row.number,
                "kind": row.kind,
                "segment": row.segment,
                "start": round(one.start, 3),
                "timecode": row.at,
                "said": one.said,
                "context": one.context,
                "right": one.right,
                "fact": one.fact,
                "decided": row.decided,
            }
            for row, one in zip(proof_rows(worked, found), found.findings, strict=True)
        ],
        "problems": [problem.as_dict() for problem in found.problems],
    }
