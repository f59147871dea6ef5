"""The knitters' calendar: for each knitter a dated list, the latest start, and what to do when it cannot be done."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import count

from lessonplan.course.model.settings import Knitter
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import capital, day_text, short_day
from lessonplan.craft.words import file_word, words_of
from lessonplan.documents.arrivals import done_day, from_drawer, size_of
from lessonplan.documents.floorwork import helps
from lessonplan.documents.laidout import laid_out
from lessonplan.documents.sittings import how_far
from lessonplan.documents.stopping import stop_words
from lessonplan.documents.wording import duration
from lessonplan.pattern.texts import fill
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.asking import appearance_of
from lessonplan.planning.worked import Plan
from lessonplan.publish.cautions import cautions
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Piece
from lessonplan.samples.choice.ladder import meet
from lessonplan.samples.knitters import begun_at, task_in_words, who_knits
from lessonplan.samples.states import in_words, kind_name


@dataclass(frozen=True, slots=True)
class SittingRow:
    """One day's knitting, and how far the piece is by the evening."""

    day: date
    day_text: str
    piece: str
    what: str
    minutes: int
    kind: str


@dataclass(frozen=True, slots=True)
class ToKnit:
    """One piece in a knitter's hands: how far, where to stop, from where, its yarn, the day it is due, remarks."""

    piece: str
    what: str
    stop: str
    begun: str
    yarn: str
    due: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KnitterView:
    """One knitter: hours in all, when she ``starts``, the days, the pace if it was learnt, her calendar and her paper.

    ``on_set``: when she helps on the set, and with what.
    """

    name: str
    pace: str
    total: str
    starts: str
    pieces: tuple[str, ...]
    sittings: tuple[SittingRow, ...]
    to_knit: tuple[ToKnit, ...]
    on_set: tuple[str, ...]
    file: str
    paper: str


@dataclass(frozen=True, slots=True)
class KnittersView:
    """What stands on the knitters' page."""

    title: str
    maker: str
    size: str
    people: tuple[KnitterView, ...]
    late: tuple[str, ...]
    remarks: tuple[str, ...]
    remedies: tuple[str, ...]
    nearer: str
    shoot_days: tuple[str, ...]
    proven: str
    changed: tuple[str, ...]
    cautions: tuple[str, ...]


def slug_of(name: str, taken: Collection[str] = ()) -> str:
    """Make a file name of a person's name: small letters of ASCII, digits and hyphens, with a number if it is taken."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40] or "somebody"
    numbered = (f"{slug}-{number}" for number in count(2))
    return slug if slug not in taken else next(one for one in numbered if one not in taken)


def knitters_with_work(plan: Plan) -> Iterator[tuple[str, Knitter]]:
    """Give each knitter who has a piece to knit, with the name of her file."""
    taken: list[str] = []
    for knitter in who_knits(plan.course):
        slug = slug_of(knitter.name, taken)
        taken.append(slug)
        if knitter.name in plan.calendar.assigned.values():
            yield slug, knitter


@remembered(4)
def knitters_view(plan: Plan) -> KnittersView:
    """Lay out the knitters' calendar."""
    calendar = plan.calendar
    what = {piece.name: task_in_words(plan.course, plan.worked.kinds, piece) for piece in plan.choice.pieces}
    people, assigned = [], calendar.assigned
    maker = file_word(words_of(plan.course.pattern).maker)
    papers = {knitter.name: f"{maker}-{slug}.pdf" for slug, knitter in knitters_with_work(plan)}
    for number, knitter in enumerate(who_knits(plan.course), 1):
        name = knitter.name
        sittings = _sittings(plan, knitter)
        people.append(
            KnitterView(
                name=name,
                pace=next((str(one) for one in plan.worked.hands if one.name == name), ""),
                total=duration(calendar.load.get(name, 0)),
                starts=starts(plan, name),
                pieces=tuple(dict.fromkeys(sitting.piece for sitting in sittings)),
                sittings=sittings,
                to_knit=tuple(
                    _to_knit(plan, one, what[one.name]) for one in plan.choice.pieces if assigned.get(one.name) == name
                ),
                on_set=tuple(helps(plan, name, "The lines are on the paper.")),
                file=f"{maker}-{number}.ics",
                paper=papers.get(name, ""),
            )
        )
    changed = changes(plan)
    return KnittersView(
        title=plan.course.course.title,
        maker=words_of(plan.course.pattern).maker,
        size=size_of(plan),
        people=tuple(people),
        late=tuple(one.sentence for one in calendar.late),
        remarks=tuple(remark for remark in calendar.remarks if remark not in changed),
        remedies=calendar.remedies,
        nearer=calendar.nearer,
        shoot_days=tuple(f"Day {day.number + 1}: {day_text(day.day)}" for day in plan.days),
        proven=_proven(plan),
        changed=changed,
        cautions=cautions(plan, "knitters"),
    )


def starts(plan: Plan, name: str) -> str:
    """Say when somebody starts, in the middle of a sentence; nothing where she has nothing to do.

    Where agreed days are kept that are sooner than the shoot wants, a later start may be possible.
    """
    start = plan.calendar.latest_start.get(name)
    if start is None:
        return ""
    return f"by {day_text(start)} for the days agreed" if plan.calendar.kept else f"at the latest on {day_text(start)}"


def _proven(plan: Plan) -> str:
    """Say what is known of the plan: by hours, not by evenings, which may be some minutes longer or shorter."""
    calendar, maker = plan.calendar, words_of(plan.course.pattern)
    if calendar.late:
        return "Not everything can be ready in time."
    if calendar.kept:
        return f"The days agreed with the {maker.makers} are kept; no piece is late."
    several = len(who_knits(plan.course)) > 1
    even = f" and the {maker.makers}’ shares of the hours are as even as then they can be" if several else ""
    return f"Nobody can start later without a late piece{even}: proven." if calendar.optimal else ""


def _sittings(plan: Plan, knitter: Knitter) -> tuple[SittingRow, ...]:
    """Word a knitter's days, each with the state that the piece has by the evening, at the knitter's own pace."""
    kinds = {piece.name: piece.kind for piece in plan.choice.pieces}
    sittings = [one for one in plan.calendar.sittings if one.person == knitter.name]
    return tuple(
        SittingRow(
            day=one.day,
            day_text=short_day(one.day),
            piece=one.piece,
            what=what,
            minutes=one.minutes,
            kind=kind_name(plan.course.pattern, kinds[one.piece]),
        )
        for one, what in zip(sittings, how_far(plan, knitter, sittings), strict=True)
    )


def _to_knit(plan: Plan, piece: Piece, what: str) -> ToKnit:
    """Word one piece for its knitter; the remarks are what the course says of this piece, and to its knitters."""
    return ToKnit(
        piece=piece.name,
        what=what,
        stop=stop_words(
            piece.first, plan.worked.kinds[piece.kind], plan.worked.size, words=words_of(plan.course.pattern)
        ).sentence,
        begun=begun_text(plan, piece),
        yarn=laid_out(plan, piece),
        due=day_text(done_day(plan, piece)),
        notes=notes_of(plan, piece),
    )


def notes_of(plan: Plan, piece: Piece) -> tuple[str, ...]:
    """Give what the course says of a piece, and to the knitters of the shots that it serves."""
    word = plan.worked.word
    shots = {item.number: item.shot for item in plan.worked.listed}
    table = {one.name: one for one in plan.worked.table}
    notes = []
    for name in dict.fromkeys(appearance_of(stop.demand) for stop in piece.stops):
        asked, shot = table[name], shots[shot_of(name)]
        label = f", {asked.label}" if asked.label else ""
        said = (shot.notes.knitter, asked.note)
        notes += [f"Shot {shot_of(name)}{label}: {fill(text, word)}" for text in said if text]
    return tuple(notes)


def begun_text(plan: Plan, piece: Piece) -> str:
    """Say from where a piece is knitted on, if it is begun."""
    begun = begun_at(plan.worked.question, piece)
    if not any(begun):
        return ""
    so_far = in_words(begun, plan.worked.kinds[piece.kind], plan.worked.size)
    drawer, shared = from_drawer(plan, piece), meet(begun, piece.first)
    it = "what the shoot left" if drawer == piece.name else f"“{drawer}” from the drawer" if drawer else ""
    if begun == piece.first:
        return f"{capital(it)} as it is" if it else "Done already"
    if begun == shared:
        return f"Go on with {it} ({so_far})" if it else f"Begun already: {so_far}"
    back = "Rip back" if words_of(plan.course.pattern).pace else "Take back"
    to = in_words(shared, plan.worked.kinds[piece.kind], plan.worked.size)
    on = "" if shared == piece.first else "; go on"
    return f"{back} {it or 'what is begun'}, from “{so_far}” to “{to}”{on}"


def knitters_table(view: KnittersView) -> tuple[tuple[str, ...], ...]:
    """Give all sittings as rows for a spreadsheet, a heading first."""
    rows = [
        (one.day.isoformat(), person.name, one.piece, one.what, str(one.minutes), one.kind, view.size)
        for person in view.people
        for one in person.sittings
    ]
    return (
        ("day", view.maker, "piece", "by_the_evening", "minutes", "kind", "size"),
        *sorted(rows, key=lambda row: row[:2]),
    )
