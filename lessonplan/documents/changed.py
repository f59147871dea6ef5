"""What an edition has otherwise than the one published before it, old and new side by side, as viewers need it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from lessonplan.course.words import capital
from lessonplan.documents.choices import hours_range, paces_words
from lessonplan.documents.measurements import finished_measures
from lessonplan.documents.places import correction, place_of, shot_places
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import since

_ALL_SIZES = re.compile(r"([^\s(]+)\u00a0\(([^()]+)\)")
WHOLE = "total.length"
"""The fact that is told as a finished measure as well."""


@dataclass(frozen=True, slots=True)
class ChangedRow:
    """One change: what it is, how it was and how it is now; what was not there before has no ``before``.

    ``one_size``: its words name a size, so they are told whichever the viewer picks; ``same``: the places of sizes in
    which nothing changed.
    """

    what: str
    before: str
    now: str
    one_size: bool = False
    same: tuple[int, ...] = ()


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
    places, told = shot_places(plan), told_beyond(plan)
    put_right = (correction(plan, place_of(plan, places, one), one) for one in mended)
    rows = [ChangedRow(one.place, one.said, one.right, one.one_size) for one in put_right]
    rows += [
        _row(plan, capital(one.meaning).replace(": ", ", "), one.before, one.now or "not there any more")
        for one in facts
        if not one.follows and not (one.name == WHOLE and record.told)
    ]
    rows += [
        _row(plan, what, record.told[what], now) for what, now in told.items() if record.told.get(what, now) != now
    ]
    return Changes(record.edition, tuple(rows)) if rows else None


def _row(plan: Plan, what: str, before: str, now: str) -> ChangedRow:
    sizes = range(len(plan.course.pattern.sizes))
    same = tuple(size for size in sizes if _of_size(before, size) == _of_size(now, size))
    return ChangedRow(what, before, now, same=same)


def _of_size(text: str, size: int) -> str:
    """Give a text as it reads in one size: of ``15 (17, 19) rounds`` the number of that size."""

    def mine(found: re.Match[str]) -> str:
        """The value of one size, where there is one for each."""
        values = [found[1], *re.split(r",\s", found[2])]
        return values[size] if size < len(values) else found[0]

    return _ALL_SIZES.sub(mine, text)


def told_beyond(plan: Plan) -> Mapping[str, str]:
    """Give what a handout says beyond the facts, in all sizes: what the finished thing measures, and the hours."""
    made = finished_measures(plan.course.pattern, plan.worked.pattern, plan.worked.facts)
    found = {f"{name}, finished": fact.all_sizes() for name, fact in made.items()}
    paces = paces_words(plan.worked)
    hours = f"Hours of work{f', {paces}' if paces else ''}"
    return found | {hours: hours_range(plan, plan.worked.ways[:1])}
