"""What the calendar is asked and what it answers: pieces to knit, knitters, and who sits at what on which day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Pause:
    """Where a piece must lie untouched before it is gone on with: for ``drying`` minutes, once the minutes ``after``
    are worked, by knitter's name.
    """

    after: Mapping[str, float]
    drying: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One piece to knit before the shoot.

    ``minutes``: hands-on minutes still to do, by knitter's name; who is not in it cannot knit the piece, and a piece
    of no minutes for anybody is there already. ``drying``: minutes to lie untouched after the last of them,
    to which it is left ``leave``;
    ``pauses``: in between, in their order. ``due``: done and dry by the end of this day, the days to spare taken off
    already. ``knitter``: who was agreed to knit it, or has begun it; what is ``begun`` is not handed to another, whose
    tension is another. ``agreed``: the day by whose end it was agreed to be ready, where that is earlier than due.
    """

    piece: str
    minutes: Mapping[str, float]
    due: date
    drying: float = 0.0
    leave: str = "to dry"
    knitter: str = ""
    begun: bool = False
    agreed: date | None = None
    pauses: tuple[Pause, ...] = ()


@dataclass(frozen=True, slots=True)
class Person:
    """A knitter. ``starts``: first day they may knit. ``away``: days without knitting, first and last included.

    ``now``: the day from which all is seen, before which nobody can be asked to start.
    """

    name: str
    hours_per_week: float
    starts: date
    away: tuple[tuple[date, date], ...] = ()
    now: date = date.min


@dataclass(frozen=True, slots=True)
class Sitting:
    """So many minutes (whole) on this piece on this day."""

    day: date
    person: str
    piece: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Late:
    """A piece that is not done in time: by how many days (None: never), and why, in a sentence."""

    piece: str
    days: int | None
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Who knits what and when.

    ``sittings``: by day, those of one person in the order of knitting. ``assigned``: person of each piece.
    ``latest_start``: day on which each person with work must start at the latest for this plan (``kept``: which keeps
    days that were agreed, sooner than the shoot wants them); ``piece_start`` and
    ``finished``: first and last day of each piece; ``ready``: the day by whose end it is dry too. ``load``: minutes of
    each person. ``late``: what is not done in time, each with a sentence. ``optimal``: proven least total days late,
    then latest start, then (to within half a day's share) most even load in proportion to hours. ``remarks``:
    sentences about knitters who cannot help and agreements that cannot be kept. ``remedies``: sentences, each of which
    alone brings every piece in time, computed by planning again; ``nearer``: one that does not, but helps much.
    """

    sittings: tuple[Sitting, ...]
    assigned: Mapping[str, str]
    latest_start: Mapping[str, date]
    piece_start: Mapping[str, date]
    finished: Mapping[str, date]
    ready: Mapping[str, date]
    load: Mapping[str, int]
    late: tuple[Late, ...]
    optimal: bool
    kept: bool
    remarks: tuple[str, ...]
    remedies: tuple[str, ...]
    nearer: str
