"""The page of an episode's proof: what is to be looked at, what becomes of it, and what is decided."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from lessonplan.course.problems import Problem
from lessonplan.documents.cuts import comes_of
from lessonplan.documents.promises import must_be_heard
from lessonplan.documents.proofing import Row, proof_rows
from lessonplan.edit.proof.episode import Proof
from lessonplan.edit.proof.expected.texts import filled_with_spans
from lessonplan.edit.proof.findings import KINDS
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import numbered

ABOUT = {
    "disagrees": "a number, a material or a way of working that is another one in the pattern",
    "wrong unit": "the number is right with another unit",
    "unplanned number": "a number that nothing in the pattern or in the script has",
    "swapped words": "a word said for its other: left for right, larger for smaller, one step for the next",
    "took it back": "a correction; what came before it may still be heard",
    "said of the sample only": "true of the piece on the table, not of the pattern",
    "never said": "a number that was to be said and was not heard",
    "said twice": "a sentence that is heard twice",
}
"""What each kind of finding means."""


@dataclass(frozen=True, slots=True)
class ProofView:
    """What stands on the page of an episode's proof.

    ``made``: some of its cuts are made; ``must``: the episode has lines that must be said.
    """

    title: str
    edition: str
    number: int
    episode: str
    file: str
    words: int
    rows: tuple[Row, ...]
    done: tuple[Row, ...]
    kinds: tuple[tuple[str, str, int], ...]
    troubles: tuple[str, ...]
    made: bool
    must: bool


def proof_view(plan: Plan, found: Proof) -> ProofView:
    """Lay out the page of a proof."""
    rows = tuple(
        row if row.decided else replace(row, then=comes_of(plan, found.episode, one))
        for row, one in zip(proof_rows(plan.worked, found), found.findings, strict=True)
    )
    still = tuple(row for row in rows if not row.decided)
    counts = Counter(row.kind for row in still)
    return ProofView(
        title=plan.course.course.title,
        edition=numbered(plan),
        number=found.episode.episode,
        episode=filled_with_spans(plan.worked, found.episode.title)[0],
        file=found.file,
        words=found.words,
        rows=still,
        done=tuple(row for row in rows if row.decided),
        kinds=tuple((kind, ABOUT[kind], counts[kind]) for kind in KINDS if counts[kind]),
        troubles=tuple(_trouble(problem) for problem in found.problems),
        made=bool(found.episode.cuts_made),
        must=bool(must_be_heard(plan, found.episode)),
    )


def _trouble(problem: Problem) -> str:
    line = f"Line {problem.where.line}: " if problem.where.line else ""
    return f"{line}{problem.message} {problem.hint}".strip()
