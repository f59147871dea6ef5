"""Pages of the sample course spoiled on purpose, each in a way that somebody on the floor would stumble over."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from tests.walk.pages import Job, Pages, Row, Sitting, Stand

Spoil = Callable[[Pages], Pages]


def rows(change: Callable[[Row], Row]) -> Spoil:
    """Change lines of the run sheets."""
    return lambda pages: replace(
        pages, sheets=tuple(replace(sheet, rows=tuple(change(row) for row in sheet.rows)) for sheet in pages.sheets)
    )


def stands(change: Callable[[Row, Stand], Stand]) -> Spoil:
    """Change pieces on tables."""
    return rows(lambda row: replace(row, stands=tuple(change(row, one) for one in row.stands)))


def sittings(change: Callable[[Sitting], Sitting]) -> Spoil:
    """Change what is knitted before the shoot, in the table."""
    return lambda pages: replace(
        pages, knitters=replace(pages.knitters, sittings=tuple(change(one) for one in pages.knitters.sittings))
    )


def letter(pages: Pages, shot: str, take: int = 0) -> str:
    """The piece for a take of a shot; without one the first that stands there."""
    here = next(row.stands for sheet in pages.sheets for row in sheet.rows if row.shot == shot)
    return next(one.piece for one in here if not take or one.take == take)


def longest(pages: Pages) -> Job:
    every = (job for sheet in pages.sheets for row in sheet.rows for job in row.jobs)
    return max(every, key=lambda job: job.minutes)


def largest(pages: Pages) -> str:
    """The piece that takes longest before the shoot."""
    return max(pages.samples.cards, key=lambda card: card.minutes).piece


def other_state(pages: Pages) -> Pages:
    return stands(lambda row, one: replace(one, now="Plain hand done") if row.shot == "1.4.3" else one)(pages)


def other_kind(pages: Pages) -> Pages:
    return stands(lambda row, one: replace(one, kind="short") if row.shot == "3.5.1" else one)(pages)


def swapped_letters(pages: Pages) -> Pages:
    """Two pieces change places in one shot only; each says to be in the state that is asked."""
    first, other = letter(pages, "1.4.3"), letter(pages, "3.1.2")
    here = {"1.4.3": other, "3.1.2": first}
    return stands(lambda row, one: replace(one, piece=here.get(row.shot, one.piece)))(pages)


def missing_shot(pages: Pages) -> Pages:
    return rows(lambda row: replace(row, shot="9.9.9") if row.shot == "2.1.1" else row)(pages)


def one_is_two(pages: Pages) -> Pages:
    first = letter(pages, "1.1.1")
    return stands(lambda row, one: replace(one, piece=first) if row.shot == "1.1.1" else one)(pages)


def no_spare(pages: Pages) -> Pages:
    def fewer(row: Row) -> Row:
        return replace(row, stands=tuple(one for one in row.stands if not one.spare)) if row.shot == "1.3.3" else row

    return rows(fewer)(pages)


def cut_twice(pages: Pages) -> Pages:
    """The fresh piece for take 2 is the one of take 1."""
    first = letter(pages, "3.2.4")
    return stands(lambda row, one: replace(one, piece=first) if row.shot == "3.2.4" else one)(pages)


def _worked(pages: Pages, job: Job, minutes: float) -> Pages:
    """A job takes so many minutes, on the table as well; no minutes: it is forgotten."""
    now = [replace(job, minutes=minutes)] if minutes else []

    def change(row: Row) -> Row:
        jobs = tuple(new for one in row.jobs for new in (now if one == job else [one]))
        here = tuple(
            replace(one, worked=minutes) if (row.shot, one.piece) == (job.shot, job.piece) and one.worked else one
            for one in row.stands
        )
        return replace(row, jobs=jobs, stands=here)

    return rows(change)(pages)


def doubled_job(pages: Pages) -> Pages:
    return _worked(pages, longest(pages), 2 * longest(pages).minutes)


def halved_job(pages: Pages) -> Pages:
    return _worked(pages, longest(pages), longest(pages).minutes / 2)


def forgotten_job(pages: Pages) -> Pages:
    return _worked(pages, longest(pages), 0.0)


def less_than_there_is(pages: Pages) -> Pages:
    """Where a piece may have been moved on before, next to nothing is said to be left to do."""

    def change(job: Job) -> Job:
        return replace(job, fewer=5.0) if job.moved and job.fewer > 10 else job

    return rows(lambda row: replace(row, jobs=tuple(change(job) for job in row.jobs)))(pages)


def all_for_the_first(pages: Pages) -> Pages:
    """The piece that is put back for take 2 says take 1 twice."""
    return stands(lambda row, one: replace(one, take=1) if row.shot == "2.3.2" and one.take == 2 else one)(pages)


def only_back(pages: Pages) -> Pages:
    """The longest job says that work is only taken back, and there is none to take back."""
    job = longest(pages)
    return rows(
        lambda row: replace(row, jobs=tuple(replace(one, back=True) if one == job else one for one in row.jobs))
    )(pages)


def longer_back(pages: Pages) -> Pages:
    """What is only taken back, in a minute as printed, takes four, on the table as well."""
    job = next(job for sheet in pages.sheets for row in sheet.rows for job in row.jobs if job.back)
    worked = _worked(pages, job, 4.0)
    return rows(
        lambda row: replace(
            row, jobs=tuple(replace(one, ripping=4.0) if one == replace(job, minutes=4.0) else one for one in row.jobs)
        )
    )(worked)


def other_stitches(pages: Pages) -> Pages:
    """A small piece says another number of stitches that the full one has."""
    cards = tuple(replace(card, instead=card.instead + 4) if card.instead else card for card in pages.samples.cards)
    return replace(pages, samples=replace(pages.samples, cards=cards))


def half_forgotten(pages: Pages) -> Pages:
    """A job that says it is gone on with later, and no later line goes on with it."""
    cut = {(job.piece, job.shot) for sheet in pages.sheets for row in sheet.rows for job in row.jobs if job.more}
    return rows(
        lambda row: replace(row, jobs=tuple(one for one in row.jobs if one.more or (one.piece, one.shot) not in cut))
    )(pages)


def at_lunch(pages: Pages) -> Pages:
    job = longest(pages)
    gone = rows(lambda row: replace(row, jobs=tuple(one for one in row.jobs if one != job)))(pages)
    return rows(lambda row: replace(row, jobs=(*row.jobs, job)) if row.what == "lunch" else row)(gone)


def at_once(pages: Pages) -> Pages:
    """The longest job is done before the very next shot, as if there were time for it."""
    job = longest(pages)
    return rows(
        lambda row: replace(row, jobs=tuple(replace(one, until="", into="") if one == job else one for one in row.jobs))
    )(pages)


def for_later(pages: Pages) -> Pages:
    """A job that stands only after the shot that it is for."""
    job = longest(pages)
    gone = rows(lambda row: replace(row, jobs=tuple(one for one in row.jobs if one != job)))(pages)
    return rows(lambda row: replace(row, jobs=(*row.jobs, job)) if row.what == "wrap" else row)(gone)


def late_lunch(pages: Pages) -> Pages:
    return rows(lambda row: replace(row, at=row.at + 120) if row.what == "lunch" else row)(pages)


def longer_line(pages: Pages) -> Pages:
    return rows(lambda row: replace(row, minutes=row.minutes + 4) if row.shot == "2.1.2" else row)(pages)


def quick_piece(pages: Pages) -> Pages:
    one = largest(pages)
    cards = tuple(
        replace(card, minutes=card.minutes / 2) if card.piece == one else card for card in pages.samples.cards
    )
    return replace(pages, samples=replace(pages.samples, cards=cards))


def wrong_sum(pages: Pages) -> Pages:
    return replace(pages, samples=replace(pages.samples, before=pages.samples.before + 30))


def on_a_day_away(pages: Pages) -> Pages:
    mine = next(one for one in pages.knitters.sittings if one.knitter == "Bodil Tweddlecroft")
    return sittings(lambda one: replace(one, day=date(2027, 1, 23)) if one == mine else one)(pages)


def in_one_day(pages: Pages) -> Pages:
    last = max(one.day for one in pages.knitters.sittings)
    return sittings(lambda one: replace(one, day=last))(pages)


def late_unsaid(pages: Pages) -> Pages:
    piece = largest(pages)
    eve = next(card.needed for card in pages.samples.cards if card.piece == piece) - timedelta(1)
    return sittings(lambda one: replace(one, day=eve) if one.piece == piece else one)(pages)


def nobodys(pages: Pages) -> Pages:
    piece = largest(pages)
    due = {one: what for one, what in pages.knitters.due.items() if one != piece}
    return replace(pages, knitters=replace(pages.knitters, due=due))


def waited_for_another(pages: Pages) -> Pages:
    """A wait names a piece that nobody waits for."""
    other = largest(pages)
    return rows(
        lambda row: replace(row, text=re.sub(r"[A-Z]+ to “", f"{other} to “", row.text)) if row.what == "wait" else row
    )(pages)


SPOILED: tuple[tuple[Spoil, str], ...] = (
    (other_state, "table"),
    (other_kind, "table"),
    (swapped_letters, "lacking"),
    (missing_shot, "shots"),
    (one_is_two, "table"),
    (no_spare, "table"),
    (cut_twice, "table"),
    (doubled_job, "minutes"),
    (halved_job, "minutes"),
    (less_than_there_is, "minutes"),
    (all_for_the_first, "table"),
    (only_back, "back"),
    (longer_back, "back"),
    (other_stitches, "pages"),
    (forgotten_job, "lacking"),
    (half_forgotten, "job"),
    (at_lunch, "break"),
    (at_once, "room"),
    (for_later, "place"),
    (waited_for_another, "wait"),
    (late_lunch, "clock"),
    (longer_line, "clock"),
    (quick_piece, "minutes"),
    (wrong_sum, "sums"),
    (on_a_day_away, "hours"),
    (in_one_day, "hours"),
    (late_unsaid, "late"),
    (nobodys, "knitter"),
)
"""Each with the sort of fault that must be found."""
