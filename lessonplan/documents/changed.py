"""What an edition has otherwise than the one published before it, old and new side by side."""

from __future__ import annotations

from dataclasses import dataclass

from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import since


@dataclass(frozen=True, slots=True)
class ChangedRow:
    """One change: what it is, how it was and how it is now; what was not there before has no ``before``."""

    what: str
    before: str
    now: str


@dataclass(frozen=True, slots=True)
class Changes:
    """All changes since an edition, by its number."""

    edition: int
    rows: tuple[ChangedRow, ...]


def changes_view(plan: Plan) -> Changes | None:
    """Lay out what changed since the last edition; nothing where none was published or nothing changed."""
    found = since(plan)
    if found is None:
        return None
    record, facts, mended = found
    word = for_all_sizes(plan.worked.facts)
    rows = [ChangedRow(_capital(one.where), one.said, fill(one.right, word)) for one in mended]
    rows += [ChangedRow(_capital(one.meaning), one.before, one.now or "not there any more") for one in facts]
    return Changes(record.edition, tuple(rows)) if rows else None


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
