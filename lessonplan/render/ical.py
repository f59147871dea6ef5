"""Calendar files (iCalendar, RFC 5545): one for each knitter and one for the shoot, through the icalendar library.

A sitting is an all-day event that does not block the day (TRANSP:TRANSPARENT), not a to-do: a knitter chooses the
hour, and fewer calendar programs show to-dos than events. A shoot day has floating times (no zone): everybody
stands in the same room, and what is meant is the clock on its wall. UIDs come from the course's lasting name, the
letter of the piece and the kind of entry alone, so that importing a later edition, or another agreement, moves what is
there already, whoever knits the piece by then. Sittings are counted back from the last one, which is the one that
stays; an edition with fewer of them leaves the earliest old ones standing, for a file cannot take back what it does
not know.
"""

from __future__ import annotations

import re
import uuid
from collections import Counter
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from lessonplan.course.words import count_of
from lessonplan.documents.calendarentries import DueEntry, ShootEntry, SittingEntry

_OURS = uuid.UUID("6b0c8f0e-5a58-4d0e-9a53-3c6d7c1f2e94")
"""The name space of all UIDs; to change it would double every entry that was imported before."""

ORDER, ALARMED, BEFORE = "*order", "*alarm", "*before"
"""What is known of an entry beside its properties: its place in its day, the words of its alarm, and when it rings."""
PRODUCT = "-//lessonplan//step samples//EN"


ALARM = timedelta(hours=-15)
"""When a phone reminds of handing over: at nine in the morning of the day before (a guess)."""
SOON = timedelta(hours=-2)
"""When it reminds of what must be somewhere by a time (a guess)."""


_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f]")
"""Control characters, which RFC 5545 has in no text."""


def entry_uid(course: str, kind: str, piece: str = "", number: int = 0) -> str:
    """The UID of an entry: a version 5 UUID of these values, the same in every edition and on every machine."""
    parts = (course, kind, piece, str(number))
    return str(uuid.uuid5(_OURS, "".join(f"{len(part)}:{part}" for part in parts)))


def knitter_calendar(
    course: str,
    person: str,
    sittings: Sequence[SittingEntry],
    due: Sequence[DueEntry],
    *,
    edition: int,
    stamp: datetime,
    known_as: str = "",
    days: Sequence[ShootEntry] = (),
    back: Sequence[DueEntry] = (),
) -> bytes:
    """Give a knitter's file: an all-day event for each sitting and for each day of handing over.

    ``days``: the shoot days on which she helps, each from call to wrap, ``back`` those of bringing pieces back.
    ``edition`` becomes SEQUENCE (0 or more), ``stamp`` DTSTAMP (with a zone). ``known_as``: the course's lasting name
    for UIDs, its title unless given. Raises ``ValueError`` for values that RFC 5545 cannot hold. Nothing to enter gives
    ``b""``: a calendar file must not be empty, so write none.
    """
    common = _common(edition, stamp)
    name = known_as or course
    events = [_due(entry_uid(name, "due", entry.piece), entry, common) for entry in due]
    nights = Counter[str]()  # a piece may be taken home after one shoot day and after another
    for entry in back:
        events.append(_due(entry_uid(name, "brought back", entry.piece, nights[entry.piece]), entry, common))
        nights[entry.piece] += 1
    events += [_shoot_day(course, entry, entry_uid(name, "helped", number=entry.number), common) for entry in days]
    left: dict[str, int] = {}
    in_order = sorted(sittings, key=lambda entry: (entry.day, entry.order, entry.piece), reverse=True)
    for sitting in in_order:
        number = left[sitting.piece] = left.get(sitting.piece, 0) + 1
        uid = entry_uid(known_as or course, "sitting", sitting.piece, number)
        after = sitting.after or (
            f"{count_of(number - 1, 'more sitting')} on this piece."
            if number > 1
            else "The last sitting on this piece."
        )
        minutes = f"{sitting.minutes} {'minute' if sitting.minutes == 1 else 'minutes'}."
        text = _lines(sitting.what, minutes, after)
        summary = sitting.summary or f"Piece {sitting.piece}: {sitting.minutes} min"
        events.append({**_all_day(uid, sitting.day, summary, text, common), ORDER: sitting.order})
    return _calendar(f"{course}: {person}", events)


def release_calendar(
    course: str,
    parts: Sequence[tuple[int, date, str, tuple[str, ...]]],
    *,
    edition: int,
    stamp: datetime,
    known_as: str = "",
) -> bytes:
    """Give the viewers' file: a day for each episode (number, day, title, lines of what to have ready).

    ``edition``, ``stamp``, ``known_as``, errors and ``b""`` as in `knitter_calendar`.
    """
    common = _common(edition, stamp)
    events = [
        _all_day(
            entry_uid(known_as or course, "part", number=number),
            day,
            f"{course}, episode {number}: {title}",
            _lines(*lines),
            common,
        )
        for number, day, title, lines in parts
    ]
    return _calendar(course, events)


def shoot_calendar(
    course: str,
    days: Sequence[ShootEntry],
    due: Sequence[DueEntry] = (),
    *,
    edition: int,
    stamp: datetime,
    known_as: str = "",
) -> bytes:
    """Give the shoot's file: a timed event for each shoot day from call to wrap, and the days of handing over.

    ``edition``, ``stamp``, ``known_as``, errors and ``b""`` as in `knitter_calendar`. A wrap that is not after the
    call, or after the end of the calendar (the year 9999), is left out.
    """
    common = _common(edition, stamp)
    name = known_as or course
    events = [_shoot_day(course, day, entry_uid(name, "shoot", number=day.number), common) for day in days]
    events += [_due(entry_uid(name, "due at the shoot", entry.piece), entry, common) for entry in due]
    return _calendar(course, events)


def _shoot_day(course: str, day: ShootEntry, uid: str, common: dict[str, Any]) -> dict[str, Any]:
    """A shoot day from call to wrap."""
    midnight = datetime.combine(day.day, time())
    last = (datetime.max - midnight) // timedelta(minutes=1)
    values: dict[str, Any] = {
        "uid": uid,
        "dtstart": midnight + timedelta(minutes=min(day.call, last)),
        "summary": _clean(f"Shoot day {day.number}: {course}"),
    }
    if day.call < day.wrap <= last:
        values["dtend"] = midnight + timedelta(minutes=day.wrap)
    if day.place:
        values["location"] = _clean(day.place)
    if day.notes:
        values["description"] = _lines(*day.notes)
    return {**values, **common}


def _due(uid: str, entry: DueEntry, common: dict[str, Any]) -> dict[str, Any]:
    """A day of handing over, or a time by which it is done, with an alarm."""
    text = _lines(entry.what)
    summary = entry.summary or f"Piece {entry.piece} is due"
    values = _all_day(uid, entry.day, summary, text, common)
    if entry.at is not None:  # without an end it takes no time: a moment
        values["dtstart"] = datetime.combine(entry.day, time()) + timedelta(minutes=entry.at)
    place = {"location": _clean(entry.place)} if entry.place else {}
    return {**values, **place, ALARMED: _clean(summary), BEFORE: ALARM if entry.at is None else SOON}


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
    from icalendar import Alarm, Calendar, Event, vText

    uids = [str(values.get("uid") or "") for values in events]
    if not all(uids) or len(set(uids)) < len(uids):
        raise ValueError("every entry needs a UID of its own: a piece, a person or a shoot day is there twice")
    if not events:
        return b""
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    for key in ("name", "x-wr-calname"):  # the standard's, and the one that phones show
        calendar.add(key, vText(_clean(name)))  # the library knows no type for it and would not escape it
    for values in sorted(events, key=lambda one: (one["dtstart"].isoformat(), one.get(ORDER, -1), one["uid"])):
        event = Event()
        for key, value in values.items():
            if not key.startswith("*"):
                event.add(key, value)
        if ALARMED in values:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", values[ALARMED])
            alarm.add("trigger", values[BEFORE])
            event.add_component(alarm)
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _lines(*parts: str) -> str:
    return "\n".join(_clean(part) for part in parts if part)


def _clean(text: str) -> str:
    """Text as RFC 5545 allows it: one sort of line break, no control characters, nothing that is not a character."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8", "replace").decode("utf-8")
    return _CONTROLS.sub("", text)
