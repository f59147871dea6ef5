"""Calendar files against the rules of RFC 5545 in tests/facts/icalendar_rules.yaml; each test names its rule."""

from __future__ import annotations

import re
import uuid
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import assume, given, settings, strategies as st

from lessonplan.documents.calendarentries import DueEntry, ShootEntry, SittingEntry
from lessonplan.render.ical import entry_uid, knitter_calendar, shoot_calendar

STAMP = datetime(2027, 1, 2, 3, 4, 5, tzinfo=UTC)
DAY = date(2027, 2, 3)
Component = list[tuple[str, str]]


def unfolded(data: bytes) -> list[str]:
    """Content lines, read without the library that wrote them."""
    return re.sub(rb"\r\n[ \t]", b"", data).decode("utf-8").split("\r\n")[:-1]


def events(data: bytes) -> list[Component]:
    """Names with parameters, and raw values, of each VEVENT."""
    found: list[Component] = []
    alarm = False
    for line in unfolded(data):
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            found.append([])
        elif "VALARM" in line:
            alarm = line.startswith("BEGIN")
        elif found and name != "END" and not alarm:
            found[-1].append((name, value))
    return found


def value_of(event: Component, name: str) -> str:
    (value,) = [value for key, value in event if key.split(";")[0] == name]
    return value


def unescaped(text: str) -> str:
    return re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], text)


def knitter(what: str = "to the thumb", edition: int = 1, stamp: datetime = STAMP, first: date = DAY) -> bytes:
    sittings = [SittingEntry("A", first + timedelta(n), 43, what) for n in range(3)]
    return knitter_calendar(
        "Mittens", "Ana", sittings, [DueEntry("A", first + timedelta(4), what)], edition=edition, stamp=stamp
    )


def shoot(wrap: int = 17 * 60, notes: tuple[str, ...] = ("Films 1.1",)) -> bytes:
    days = [ShootEntry(1, date(2027, 3, 6), 9 * 60, wrap, "The barn", notes)]
    return shoot_calendar("Mittens", days, [DueEntry("A", DAY)], edition=2, stamp=STAMP)


BOTH = pytest.mark.parametrize("data", [knitter(), shoot()], ids=["knitter", "shoot"])


def source(rule: str) -> str:
    """The rule's source; fails when the table has no such rule."""
    table: dict[str, Any] = yaml.safe_load(
        (Path(__file__).parents[1] / "facts" / "icalendar_rules.yaml").read_text(encoding="utf-8")
    )
    (row,) = [row for row in table["rows"] if row["id"] == rule]
    return f"{rule}: {row['rule']} ({row['source']})"


def test_every_rule_named_here_is_in_the_table() -> None:
    named = set(re.findall(r'source\("([a-z-]+)"\)', Path(__file__).read_text(encoding="utf-8")))
    assert len(named) > 10
    assert all(source(rule).startswith(rule) for rule in named)


@BOTH
def test_calendar_required(data: bytes) -> None:
    # calendar-required: collective/icalendar cal/calendar.py, restating RFC 5545 3.6
    lines = unfolded(data)
    assert lines[0] == "BEGIN:VCALENDAR", source("calendar-required")
    assert lines[-1] == "END:VCALENDAR"
    assert [sum(line.startswith(start) for line in lines) for start in ("VERSION:2.0", "PRODID:")] == [1, 1]
    assert events(data)


def test_nothing_to_enter_gives_no_file() -> None:
    # calendar-required again: a calendar without a component is not valid, so none is written
    assert knitter_calendar("Mittens", "Ana", [], [], edition=1, stamp=STAMP) == b""
    assert shoot_calendar("Mittens", [], edition=1, stamp=STAMP) == b""


@BOTH
def test_every_event_has_what_is_required(data: bytes) -> None:
    # vevent-required: collective/icalendar cal/event.py; vevent-dtstart: RFC 5545 3.6.1, from memory
    for event in events(data):
        for name in ("UID", "DTSTAMP", "DTSTART"):
            assert value_of(event, name), source("vevent-required")


@BOTH
def test_dtstamp_is_utc(data: bytes) -> None:
    # dtstamp-utc: collective/icalendar cal/component.py
    assert {value_of(event, "DTSTAMP") for event in events(data)} == {"20270102T030405Z"}, source("dtstamp-utc")


def test_a_stamp_of_another_zone_is_turned_into_utc() -> None:
    stamp = datetime(2027, 1, 2, 5, 4, 5, 999, tzinfo=timezone(timedelta(hours=2)))
    assert knitter(stamp=stamp) == knitter()


def test_a_stamp_without_a_zone_and_a_negative_edition_are_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        knitter(stamp=datetime(2027, 1, 2))
    with pytest.raises(ValueError, match="negative"):
        knitter(edition=-1)


@BOTH
def test_date_only_values_say_so(data: bytes) -> None:
    # value-date: RFC errata 3892 (DTSTART:20081006 alone is invalid)
    for event in events(data):
        for name, value in event:
            assert (name.endswith(";VALUE=DATE")) == bool(re.fullmatch(r"\d{8}", value)), source("value-date")


@BOTH
def test_all_day_events_last_a_day_and_block_nothing(data: bytes) -> None:
    # allday-one, exclusive-end and transp: collective/icalendar cal/event.py, restating RFC 5545 3.6.1
    all_day = [event for event in events(data) if any(name == "DTSTART;VALUE=DATE" for name, _ in event)]
    assert all_day
    for event in all_day:
        names = [name.split(";")[0] for name, _ in event]
        assert "DTEND" not in names, source("allday-one")
        assert "DURATION" not in names, source("exclusive-end")
        assert value_of(event, "TRANSP") == "TRANSPARENT", source("transp")


def test_shoot_times_are_floating() -> None:
    # time-forms and floating: collective/icalendar prop/dt/time.py (RFC text); vtimezone does not apply without TZID
    data = shoot()
    (timed,) = [event for event in events(data) if "T" in value_of(event, "DTSTART")]
    assert ("DTSTART", "20270306T090000") in timed, source("floating")
    assert ("DTEND", "20270306T170000") in timed, source("time-forms")
    assert "TZID" not in data.decode()
    assert value_of(timed, "LOCATION") == "The barn"


@pytest.mark.parametrize(
    ("wrap", "end"), [(25 * 60, "20270307T010000"), (9 * 60, ""), (8 * 60, ""), (6 * 10**9, ""), (10**40, "")]
)
def test_a_wrap_after_midnight_is_tomorrow_and_one_before_the_call_is_left_out(wrap: int, end: str) -> None:
    timed = next(event for event in events(shoot(wrap)) if "T" in value_of(event, "DTSTART"))
    assert [value for name, value in timed if name == "DTEND"] == ([end] if end else [])


@BOTH
def test_lines_end_with_crlf(data: bytes) -> None:
    # crlf: ical.net wiki RFC5545 page; dev.to iCalendar writer article
    assert data.endswith(b"\r\n"), source("crlf")
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert b"\r" not in data.replace(b"\r\n", b"")


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), min_size=60, max_size=120))
@settings(max_examples=40, deadline=None)
def test_lines_are_folded_by_octets(what: str) -> None:
    # fold: RFC 5545 3.1 text; fold-octets: dev.to iCalendar writer article (75 octets, no character split)
    for line in knitter(what).split(b"\r\n"):
        assert len(line) <= 75, source("fold")
        line.decode("utf-8")


@given(st.text(alphabet=st.sampled_from('\\;,:"\nn Nä🧶'), min_size=1, max_size=30))
@settings(max_examples=60, deadline=None)
def test_text_is_escaped_and_comes_back(what: str) -> None:
    # escape: qiita sen-ltd and dev.to articles; escape-colon: RFC 5545 3.3.11, from memory
    assume("\\N" not in what)  # the library takes a backslash before N for a line break already
    event = events(knitter(what))[0]
    text = value_of(event, "DESCRIPTION")
    assert unescaped(text).startswith(what + "\n"), source("escape")
    assert not re.search(r'\\[:"]', re.sub(r"\\\\", "", text)), source("escape-colon")
    assert not re.search(r"(?<!\\)[;,]", re.sub(r"\\\\", "", text))


def test_the_name_of_the_calendar_is_escaped_too() -> None:
    # escape; NAME is TEXT: RFC 7986 5.1, from memory
    data = knitter_calendar("Hats; mitts, \\", "Bo", [], [DueEntry("A", DAY)], edition=1, stamp=STAMP)
    assert "NAME:Hats\\; mitts\\, \\\\: Bo" in unfolded(data), source("escape")
    assert "X-WR-CALNAME:Hats\\; mitts\\, \\\\: Bo" in unfolded(data)


def test_handing_over_is_reminded_of_the_day_before_and_says_where() -> None:
    # VALARM with ACTION, DESCRIPTION and TRIGGER: RFC 5545 3.6.6, from memory
    due = DueEntry("A", DAY, "the words", "Hand over A and B", "The barn, upstairs")
    data = knitter_calendar("Mittens", "Ana", [SittingEntry("A", DAY, 40)], [due], edition=1, stamp=STAMP)
    (alarm,) = re.findall(r"BEGIN:VALARM\n(.*?)\nEND:VALARM", "\n".join(unfolded(data)), re.DOTALL)
    assert set(alarm.splitlines()) == {"ACTION:DISPLAY", "DESCRIPTION:Hand over A and B", "TRIGGER:-PT15H"}
    handed = next(event for event in events(data) if value_of(event, "SUMMARY") == "Hand over A and B")
    assert value_of(handed, "LOCATION") == "The barn\\, upstairs"
    assert unescaped(value_of(handed, "DESCRIPTION")) == "the words"


def test_a_piece_taken_home_after_two_shoot_days_is_brought_back_twice() -> None:
    days = [
        DueEntry("L", DAY, summary="first"),
        DueEntry("K", DAY),
        DueEntry("L", DAY + timedelta(7), summary="second"),
    ]

    def told(count: int) -> dict[str, str]:
        data = knitter_calendar("Mittens", "Ana", [], [], edition=1, stamp=STAMP, back=days[:count])
        return {value_of(event, "UID"): value_of(event, "SUMMARY") for event in events(data)}

    assert sorted(told(3).values()) == ["Piece K is due", "first", "second"]  # an entry for each, so three UIDs
    assert told(2).items() < told(3).items()  # what was imported before stays as it is


def test_sittings_of_a_day_stand_in_the_order_of_knitting() -> None:
    sittings = [SittingEntry("B", DAY, 20, order=0), SittingEntry("A", DAY, 20, order=1)]
    read = events(knitter_calendar("Mittens", "Ana", sittings, [], edition=1, stamp=STAMP))
    assert [value_of(event, "SUMMARY") for event in read] == ["Piece B: 20 min", "Piece A: 20 min"]


def test_control_characters_are_left_out() -> None:
    # TEXT holds no control characters but the tab: RFC 5545 3.1 and 3.3.11, from memory
    event = events(knitter("one\x00\x07\r\ntwo\x7f\ud800"))[0]
    assert unescaped(value_of(event, "DESCRIPTION")).startswith("one\ntwo?\n")


def test_a_later_edition_keeps_uids_and_raises_sequence() -> None:
    # uid-stable: RFC 5545 3.8.4.7 and 3.8.7.4, RFC 7986, from memory
    first, second = events(knitter(edition=1)), events(knitter(edition=2, first=DAY + timedelta(3)))
    assert [value_of(event, "UID") for event in first] == [value_of(event, "UID") for event in second]
    assert {value_of(event, "SEQUENCE") for event in first} == {"1"}
    assert {value_of(event, "SEQUENCE") for event in second} == {"2"}, source("uid-stable")


def test_the_last_sitting_keeps_its_uid_when_there_are_more() -> None:
    def uid_on(day: date, count: int) -> str:
        sittings = [SittingEntry("A", day - timedelta(n), 40) for n in range(count)]
        data = knitter_calendar("Mittens", "Ana", sittings, [], edition=1, stamp=STAMP)
        return value_of(events(data)[-1], "UID")

    assert uid_on(DAY, 2) == uid_on(DAY, 5)


@BOTH
def test_uids_are_unique_uuids_without_private_data(data: bytes) -> None:
    # uid: qiita sen-ltd; uid-stable: RFC 7986 5.3, from memory
    uids = [value_of(event, "UID") for event in events(data)]
    assert len(set(uids)) == len(uids), source("uid")
    assert all(str(uuid.UUID(uid)) == uid and uuid.UUID(uid).version == 5 for uid in uids), source("uid-stable")


@given(st.lists(st.tuples(st.text(max_size=3), st.text(max_size=3), st.integers(0, 99)), min_size=2, unique=True))
def test_different_entries_have_different_uids(parts: list[tuple[str, str, int]]) -> None:
    parts = [(a.replace("\ud800", ""), b, c) for a, b, c in parts]
    assert len({entry_uid(course, "sitting", piece, number) for course, piece, number in parts}) == len(set(parts))


def test_an_entry_follows_its_piece_to_another_knitter() -> None:
    def uids(person: str) -> set[str]:
        data = knitter_calendar("M", person, [SittingEntry("A", DAY, 40)], [DueEntry("A", DAY)], edition=1, stamp=STAMP)
        return {value_of(event, "UID") for event in events(data)}

    assert uids("Ana") == uids("Bo")


def test_a_lasting_name_outlives_the_title() -> None:
    def uids(title: str) -> set[str]:
        sittings = [SittingEntry("A", DAY, 40)]
        data = knitter_calendar(title, "Ana", sittings, [], edition=1, stamp=STAMP, known_as="Mittens")
        data += shoot_calendar(title, [ShootEntry(1, DAY, 540, 1020)], edition=1, stamp=STAMP, known_as="Mittens")
        return {value_of(event, "UID") for event in events(data)}

    assert len(uids("Mittens") | uids("Mittens, in wool")) == 2


def test_a_call_after_the_end_of_the_calendar_is_at_its_end() -> None:
    data = shoot_calendar("Mittens", [ShootEntry(1, date.max, 25 * 60, 30 * 60)], edition=1, stamp=STAMP)
    assert value_of(events(data)[0], "DTSTART") == "99991231T235900"


def test_two_entries_that_would_share_a_uid_are_refused() -> None:
    twice = [ShootEntry(1, DAY, 540, 1020), ShootEntry(1, DAY, 540, 1020)]
    with pytest.raises(ValueError, match="UID"):
        shoot_calendar("Mittens", twice, edition=1, stamp=STAMP)


def test_the_same_input_gives_the_same_bytes_in_any_order() -> None:
    sittings = [SittingEntry(piece, DAY, 20) for piece in "ABC"]
    files = {
        knitter_calendar("Mittens", "Ana", order, [], edition=1, stamp=STAMP) for order in (sittings, sittings[::-1])
    }
    assert len(files) == 1


@BOTH
def test_the_file_is_read_again_without_errors(data: bytes) -> None:
    # re-parsed by collective/icalendar, which keeps what it could not read in .errors
    from icalendar import Calendar

    calendar = Calendar.from_ical(data)
    assert [component.errors for component in calendar.walk() if component.errors] == []
    assert len(calendar.walk("VEVENT")) == len(events(data))


def test_the_minutes_and_what_is_left_stand_in_the_text() -> None:
    from icalendar import Calendar

    read: list[Any] = list(Calendar.from_ical(knitter()).walk("VEVENT"))
    assert [str(event["SUMMARY"]) for event in read] == ["Piece A: 43 min"] * 3 + ["Piece A is due"]
    assert [event["DTSTART"].dt for event in read] == [DAY, DAY + timedelta(1), DAY + timedelta(2), DAY + timedelta(4)]
    last = [str(event["DESCRIPTION"]).splitlines()[-1] for event in read[:3]]
    assert last == [
        "2 more sittings on this piece.",
        "1 more sitting on this piece.",
        "The last sitting on this piece.",
    ]
