"""Walking the days: every shot once with what it asks for, and the clock from call to wrap."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from tests.walk.folder import Asked, Shot
from tests.walk.pages import Row, RunSheet, Stand
from tests.walk.states import Piece, asked_range, asked_state, at_least, can_go_back, printed_state
from tests.walk.ways import Faults, Walk

LUNCH_EARLY, LUNCH_LATE = 15, 60
"""Minutes by which lunch may come before or after the time in the course, with shots as they are."""


def shots_once(walk: Walk) -> Faults:
    """Every shot stands on the sheet of its day once, in its order, as the course has it."""
    for number, (day, sheet) in enumerate(zip(walk.folder.days, walk.pages.sheets, strict=True)):
        printed = [row.shot for row in sheet.rows if row.what == "shot"]
        asked = [shot for film in day.films for shot in walk.shots if f"{shot}.".startswith(f"{film}.")]
        as_listed = walk.folder.order == "as listed"
        if printed != asked and (as_listed or sorted(printed) != sorted(asked)):
            yield "shots", f"day {number + 1} films {printed} instead of {asked}"
        if sheet.day != day.day:
            yield "shots", f"day {number + 1} is {sheet.day} instead of {day.day}"
        for row in sheet.rows:
            shot = walk.shots.get(row.shot)
            if shot and (row.view, row.takes) != (shot.view, shot.takes):
                yield "shots", f"{row.shot} is {row.view}, {row.takes} takes"
        for name in day.helpers:
            if name not in sheet.helpers:
                yield "shots", f"day {number + 1} does not name {name}"


def tables(walk: Walk) -> Faults:
    """Each shot has the pieces that it asks for, in an accepted kind and state, and each take its own."""
    for place in walk.places:
        shot = walk.shots.get(place.row.shot)
        if not shot:
            continue
        unknown = [stand.piece for stand in place.row.stands if stand.piece not in walk.cards]
        if unknown:
            yield "table", f"{shot.number}: pieces {unknown} are on no other page"
        elif not _served(walk, shot, place.row.stands):
            now = ", ".join(f"{one.piece} {one.kind} {one.now} > {one.becomes}" for one in place.row.stands)
            asked = ", ".join(f"{one.state} > {one.leaves}" for one in shot.pieces)
            yield "table", f"{shot.number} asks for {asked} and has {now}"
    for shot in walk.folder.shots:
        for letter, events in walk.events.items():
            here = {event.place.row.shot for event in events}
            apart = [asked for asked in shot.pieces if asked.apart]
            if shot.number in here and len(here) > 1 and len(apart) == len(shot.pieces) > 0:
                yield "table", f"{letter} stands apart in {shot.number} and in other shots"


def _served(walk: Walk, shot: Shot, stands: Sequence[Stand]) -> bool:
    """Whether what stands there can be dealt out to what is asked for."""
    wanted: list[tuple[Asked, bool, int, bool]] = []
    for asked in shot.pieces:
        moves = bool(asked.leaves)
        good = moves and any(_for_good(walk, shot, asked, stand) for stand in stands)
        takes = shot.takes if moves else 1
        wanted += [(asked, False, take if moves and shot.takes > 1 else 0, good) for take in range(1, takes + 1)]
        wanted += [(asked, True, 0, good)] * asked.spare
    return len(wanted) == len(stands) and _deal(walk, wanted, list(stands), {})


def _deal(
    walk: Walk, wanted: list[tuple[Asked, bool, int, bool]], stands: list[Stand], dealt: dict[str, Asked | None]
) -> bool:
    """Deal out what is left; only the takes of one move that can be undone share a piece."""
    if not wanted:
        return True
    asked, spare, take, good = wanted[0]
    for stand in stands:
        if (stand.spare, stand.take) != (spare, take) or not fits(walk, asked, stand):
            continue
        if stand.piece in dealt and dealt[stand.piece] is not asked:
            continue
        alone = good or spare or not asked.leaves
        left = [one for one in stands if one is not stand]
        if _deal(walk, wanted[1:], left, {**dealt, stand.piece: None if alone else asked}):
            return True
    return False


def fits(walk: Walk, asked: Asked, stand: Stand) -> bool:
    """Whether a piece stands as asked."""
    piece = walk.of(stand.piece)
    if stand.kind not in asked.kinds or stand.kind != walk.cards[stand.piece].kind:
        return False
    low, high = asked_range(asked.state, piece)
    now = printed_state(stand.now, piece)
    if not (at_least(now, low) and at_least(high, now)):
        return False
    becomes = printed_state(stand.becomes, piece) if stand.becomes else now
    return becomes == (asked_state(asked.leaves, piece) if asked.leaves else now)


def _for_good(walk: Walk, shot: Shot, asked: Asked, stand: Stand) -> bool:
    """Whether the move of such a piece cannot be undone."""
    piece: Piece = walk.of(stand.piece)
    if shot.one_way:
        return True
    if stand.kind not in asked.kinds:
        return False
    return not can_go_back(piece, asked_range(asked.state, piece)[0], asked_state(asked.leaves, piece))


def clocks(walk: Walk) -> Faults:
    """The clock of each day goes on from call to wrap, and each line lasts as long as it says, to a minute."""
    for number, sheet in enumerate(walk.pages.sheets):
        rows = sheet.rows
        name = f"day {number + 1}"
        if rows[0].at != sheet.call or rows[-1].what != "wrap" or rows[-1].at != sheet.wrap:
            yield "clock", f"{name} does not go from call to the expected wrap"
        for row, then in pairwise(rows):
            if then.at < row.at:
                yield "clock", f"{name}: {then.text} comes before {row.text}"
            if abs(then.at - row.at - row.minutes) > 1:  # both clock times and the length are rounded
                yield "clock", f"{name}: {row.text} takes {row.minutes:g} min and lasts {then.at - row.at}"
        if rows[0].what == "set-up" and abs(rows[0].minutes - walk.folder.fixed["set_up"]) > 1:
            yield "clock", f"{name} is set up for {rows[0].minutes:g} min"
        filmed = [at for at, row in enumerate(rows) if row.what == "shot"]
        if filmed and any(row.what in ("lunch", "rest", "change") for row in rows[filmed[-1] :]):
            yield "clock", f"{name} has a break after its last shot"
        yield from _lunch(walk, number, sheet)
        for begin, end in pairwise(filmed):
            yield from _changes(walk, rows[begin], rows[begin + 1 : end], rows[end])


WAITED = re.compile(r"([A-Z]+) to “(.+?)”")


def waits(walk: Walk) -> Faults:
    """A wait says for which piece, to become what: one that comes to the next shot so, and was worked on for it."""
    for sheet in walk.pages.sheets:
        for at, row in enumerate(sheet.rows):
            then = next((one for one in sheet.rows[at + 1 :] if one.what == "shot"), None)
            for letter, goal in WAITED.findall(row.text) if row.what == "wait" else ():
                here = [one for one in then.stands if one.piece == letter] if then else []
                if not any(goal.startswith(one.now) and one.worked for one in here):
                    yield "wait", f"{row.text}: it is not what comes next"


def _lunch(walk: Walk, number: int, sheet: RunSheet) -> Faults:
    lunch = walk.day(number).lunch
    printed = [row for row in sheet.rows if row.what == "lunch"]
    last = max((row.at + row.minutes for row in sheet.rows if row.what == "shot"), default=0)
    longest = max((row.minutes for row in sheet.rows if row.what == "shot"), default=0)
    if not lunch:
        if printed:
            yield "lunch", f"day {number + 1} has a lunch that nobody asked for"
        return
    at, length = lunch
    late = LUNCH_LATE + longest
    if len(printed) > 1 or (not printed and last > at + late):
        yield "lunch", f"day {number + 1} has {len(printed)} lunches"
    for row in printed:
        if not at - LUNCH_EARLY <= row.at <= at + late or abs(row.minutes - length) > 1:
            yield "lunch", f"day {number + 1} has lunch at {row.at} for {row.minutes:g} min, planned at {at}"


def _changes(walk: Walk, before: Row, between: Sequence[Row], then: Row) -> Faults:
    one, other, fixed = walk.shots[before.shot], walk.shots[then.shot], walk.folder.fixed
    due = fixed["view_change"] * (one.view != other.view) + fixed["tray_change"] * (one.segment != other.segment)
    wet, hot = ([word in shot.tools for shot in (one, other)] for word in ("water", "iron"))
    if (wet[0] and hot[1]) or (hot[0] and wet[1]):
        due = max(due, fixed["tray_change"])  # nobody plugs an iron in over a wet table
    due = 0.0 if other.runs_on else due or fixed["swap"]
    taken = sum(row.minutes for row in between if row.what == "change")
    if abs(taken - due) > 1:
        yield "clock", f"from {before.shot} to {then.shot} it takes {taken:g} min instead of {due:g}"
    for row in between:
        if row.what == "wait" and row.minutes > walk.folder.may_wait + 1:
            yield "wait", f"the camera waits {row.minutes:g} min after {before.shot}"
