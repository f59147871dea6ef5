"""Calendar files (iCalendar, RFC 5545): one for each knitter and one for the shoot, through the icalendar library.

A sitting is an all-day event that does not block the day (TRANSP:TRANSPARENT), not a to-do: a knitter chooses the
hour, and fewer calendar programs show to-dos than events. A shoot day has floating times (no zone): everybody
stands in the same room, and what is meant is the clock on its wall. UIDs come from the course, the piece, the
person and the kind of entry alone, so that importing a later edition moves what is there already. Sittings are
counted back from the last one, which is the one that stays; an edition with fewer of them leaves the earliest old
ones standing, for a file cannot take back what it does not know.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

_OURS = uuid.UUID("6b0c8f0e-5a58-4d0e-9a53-3c6d7c1f2e94")
"""The name space of all UIDs; to change it would double every entry that was imported before."""

PRODUCT = "-//lessonplan//step samples//EN"


@dataclass(frozen=True, slots=True)
class SittingEntry:
    """One day's knitting on a piece: minutes, and in words to which state the piece goes."""

    piece: str
    day: date
    minutes: int
    what: str = ""


@dataclass(frozen=True, slots=True)
class DueEntry:
    """The day by whose end a piece must be done and dry."""

    piece: str
    day: date
    what: str = ""


@dataclass(frozen=True, slots=True)
class ShootEntry:
    """A shoot day; ``call`` and ``wrap`` are minutes after its midnight. ``notes``: lines for the description."""

    number: int
    day: date
    call: int
    wrap: int
    place: str = ""
    notes: tuple[str, ...] = ()


def entry_uid(course: str, kind: str, piece: str = "", person: str = "", number: int = 0) -> str:
    """The UID of an entry: a version 5 UUID of these values, the same in every edition and on every machine."""
    parts = (course, kind, piece, person, str(number))
    return str(uuid.uuid5(_OURS, "".join(f"{len(part)}:{part}" for part in parts)))


def knitter_calendar(
    course: str,
    person: str,
    sittings: Sequence[SittingEntry],
    due: Sequence[DueEntry],
    *,
    edition: int,
    stamp: datetime,
) -> bytes:
    """Give a knitter's file: an all-day event for each sitting and for each day that a piece is due.

    ``edition`` becomes SEQUENCE (0 or more), ``stamp`` DTSTAMP (with a zone). Raises ``ValueError`` for values that
    RFC 5545 cannot hold. Nothing to enter gives ``b""``: a calendar file must not be empty, so write none.
    """
    common = _common(edition, stamp)
    events = []
    for entry in sorted(due, key=lambda entry: (entry.day, entry.piece)):
        uid = entry_uid(course, "due", entry.piece, person)
        text = _lines(entry.what, "Done and dry by the end of this day.")
        events.append(_all_day(uid, entry.day, f"Piece {entry.piece} is due", text, common))
    left: dict[str, int] = {}
    for sitting in sorted(sittings, key=lambda entry: (entry.day, entry.piece), reverse=True):
        number = left[sitting.piece] = left.get(sitting.piece, 0) + 1
        uid = entry_uid(course, "sitting", sitting.piece, person, number)
        after = f"{number - 1} more after this one." if number > 1 else "The last sitting on this piece."
        text = _lines(sitting.what, f"{sitting.minutes} minutes.", after)
        summary = f"Knit piece {sitting.piece}: {sitting.minutes} min"
        events.append(_all_day(uid, sitting.day, summary, text, common))
    return _calendar(f"{course}: {person}", events)


def shoot_calendar(
    course: str, days: Sequence[ShootEntry], due: Sequence[DueEntry] = (), *, edition: int, stamp: datetime
) -> bytes:
    """Give the shoot's file: a timed event for each shoot day from call to wrap, and the days that pieces are due.

    ``edition``, ``stamp``, errors and ``b""`` as in `knitter_calendar`. A wrap that is not after the call, or after the
    end of the calendar (the year 9999), is left out.
    """
    common = _common(edition, stamp)
    events = []
    for day in sorted(days, key=lambda entry: (entry.day, entry.number)):
        midnight = datetime.combine(day.day, time())
        last = (datetime.max - midnight) // timedelta(minutes=1)
        values: dict[str, Any] = {
            "uid": entry_uid(course, "shoot", number=day.number),
            "dtstart": midnight + timedelta(minutes=min(day.call, last)),
            "summary": _clean(f"Shoot day {day.number}: {course}"),
        }
        if day.call < day.wrap <= last:
            values["dtend"] = midnight + timedelta(minutes=day.wrap)
        if day.place:
            values["location"] = _clean(day.place)
        if day.notes:
            values["description"] = _lines(*day.notes)
        events.append({**values, **common})
    for entry in sorted(due, key=lambda entry: (entry.day, entry.piece)):
        uid = entry_uid(course, "due at the shoot", entry.piece)
        events.append(_all_day(uid, entry.day, f"Piece {entry.piece} is due", _lines(entry.what), common))
    return _calendar(course, events)


def _common(edition: int, stamp: datetime) -> dict[str, Any]:
    if edition < 0:
        raise ValueError("the edition must not be negative: it becomes SEQUENCE")
    if stamp.tzinfo is None:
        raise ValueError("the stamp needs a time zone: DTSTAMP is written in UTC")
    return {"dtstamp": stamp.astimezone(UTC).replace(microsecond=0), "sequence": edition}


def _all_day(uid: str, day: date, summary: str, text: str, common: dict[str, Any]) -> dict[str, Any]:
    """An event that lasts one day: RFC 5545 gives a DATE start without an end just that length."""
    values = {"uid": uid, "dtstart": day, "summary": _clean(summary), "transp": "TRANSPARENT"}
    return {**values, **({"description": text} if text else {}), **common}


def _calendar(name: str, events: Sequence[dict[str, Any]]) -> bytes:
    """Write the events in order of time; every one has a UID of its own, which the library does not check."""
    from icalendar import Calendar, Event, vText

    uids = [str(values.get("uid") or "") for values in events]
    if not all(uids) or len(set(uids)) < len(uids):
        raise ValueError("every entry needs a UID of its own: a piece, a person or a shoot day is there twice")
    if not events:
        return b""
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    calendar.add("name", vText(_clean(name)))  # the library knows no type for it and would not escape it
    for values in sorted(events, key=lambda values: (values["dtstart"].isoformat(), values["uid"])):
        event = Event()
        for key, value in values.items():
            event.add(key, value)
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _lines(*parts: str) -> str:
    return "\n".join(_clean(part) for part in parts if part)


def _clean(text: str) -> str:
    """Text as RFC 5545 allows it: one sort of line break, no control characters, nothing that is not a character."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8", "replace").decode("utf-8")
    return "".join(c for c in text if c in "\n\t" or (c >= " " and c != "\x7f"))
