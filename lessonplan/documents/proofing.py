"""The findings of proofing an episode's captions, as a table and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.values.rates import Rate
from lessonplan.course.words import count_of
from lessonplan.documents.tables import table
from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.kept import second_of
from lessonplan.edit.proof.episode import Proof, proof
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.proof.keeping import can_be_erratum
from lessonplan.edit.timecode import frame_at, timecode
from lessonplan.planning.filmed.keptcaptions import Kept
from lessonplan.planning.worked import Plan, Worked
from lessonplan.remembered import remembered_each

NEARBY = 3
"""So many seconds from a finding an erratum tells of the same."""


@dataclass(frozen=True, slots=True)
class Row:
    """A finding as shown: its number, timecode, segment, kind, the words with what was said parted off, what holds.

    ``before``, ``said`` and ``after`` make up the context; ``decided``: what was decided about it, or nothing;
    ``choices``: the options of the command by which it can be; ``then``: what becomes of it while it is open.
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
    then: str = ""


def errata_near(plan: Plan, episode: int, finding: Finding) -> Iterator[tuple[int, Erratum]]:
    """Give the errata of a video that tell of what was found, by their seconds, each with its number (from 1)."""
    for number, one in enumerate(plan.course.errata.errata, 1):
        known, second = second_of(plan, one) or (0, 0)
        if known == episode and abs(second - finding.start) < NEARBY:
            yield number, one


@remembered_each(2)
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
