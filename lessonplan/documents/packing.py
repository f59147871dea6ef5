"""What is packed for a shoot day: the pieces with what belongs to them, the tools, and needles that stay in pieces."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from lessonplan.course.names.toolbox import on_table, packed
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.course.words import count_of, listing
from lessonplan.craft.words import craft_named, words_of
from lessonplan.documents.arrivals import missing
from lessonplan.documents.floorwork import floor_jobs, handed_back, notions_beside
from lessonplan.documents.laidout import uses_on_day, yarns_on_day
from lessonplan.documents.livework import line_in, touched
from lessonplan.documents.notions import THREADED, WASTE_YARN, inside, listed
from lessonplan.documents.shots import PieceHere, ShotText, kind_label
from lessonplan.documents.standins import to_stand_in
from lessonplan.documents.stopping import hanging
from lessonplan.documents.tasks import begun_on_set, needle_of
from lessonplan.documents.wording import on_tools
from lessonplan.documents.worklines import stage_needle, steps_of
from lessonplan.pattern.needled import KINDS
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Piece, Stop, contains
from lessonplan.shoot.day import Day

ALWAYS = ("the take log's tablet, charged",)
"""What no shoot day does without; with needles also waste yarn."""


def _marked_pieces(plan: Plan, filmed: Sequence[ShotText]) -> Iterator[str]:
    """Say how many markers are in the pieces of a day as they are first wanted: ``markers in the pieces: 3 in I``."""
    first = {piece.letter: piece for text in reversed(filmed) for piece in text.pieces}
    by_count = defaultdict[int, list[str]](list)
    for letter, one in sorted(first.items(), key=_by_letter):
        by_count[inside(plan, one.kind, one.start)["markers"]].append(letter)
    each = [
        f"{count} in {'each of ' if len(some) > 1 else ''}{listing(some)}"
        for count, some in sorted(by_count.items())
        if count
    ]
    yield from ([f"markers in the pieces: {'; '.join(each)}"] if each else [])


def _loose_pieces(plan: Plan, filmed: Sequence[ShotText]) -> Iterator[str]:
    """Say which needles are packed for pieces that may come without them."""
    found = [f"{size} for {names}" for size, names in _loose(plan, [text.number for text in filmed])]
    each = f"a set of {words_of(plan.course.pattern).tool}s each"
    yield from ([f"for pieces that come on a cable or waste yarn, {each}: {'; '.join(found)}"] if found else [])


def day_notions(plan: Plan, day: Day, filmed: Sequence[ShotText], tools: Sequence[str]) -> tuple[str, ...]:
    """List everything but pieces to pack for the day, once each: the tools of its trays and the usual.

    The needles of the pattern are among it where the course has no list of tools in which they stand.
    """
    tool = words_of(plan.course.pattern).tool
    needles = [f"{tool} {one}" if one[:1].isdigit() and tool not in one else one for one in plan.course.pattern.needles]
    if plan.course.course.tools:
        needles = []
    waste = (WASTE_YARN,) if craft_named(plan.course.pattern.craft) == "knitting" else ()
    used = [f"{one.name}, {one}" for one in uses_on_day(plan, day.number)]
    found = packed(plan.course, [*tools, *needles, *waste, *ALWAYS, *used])
    on_trays = on_table(plan.course, tools)
    beside_trays = [one for one in packed(plan.course, waste) if WASTE_YARN not in on_trays]
    found = tuple(
        f"{one} (at hand all day, for stitches that come off a needle)" if one in beside_trays else one for one in found
    )
    notions = notions_beside(plan, day).items() if words_of(plan.course.pattern).pace else ()
    theirs = (f"for {who}’s work on pieces: {listed(what)}" for who, what in notions if what)
    return (
        *_with_needles(plan, day, found),
        *_loose_pieces(plan, filmed),
        *_marked_pieces(plan, filmed),
        *theirs,
        *filter(None, (to_stand_in(plan, [text.number for text in filmed]),)),
    )


def _with_needles(plan: Plan, day: Day, found: Sequence[str]) -> Iterator[str]:
    """Add to the needles how many sets there must be, since some stay in pieces, and those of others who work."""
    host, kept, tool = plan.course.course.host, sets_kept(plan), words_of(plan.course.pattern).tool
    others: dict[str, str] = {}
    for job in floor_jobs(plan, day):
        for stage in job.stages if job.who != host and not (job.crumb or job.night) else ():
            if stage.needle and not any((one.needle, one.letter) == (stage.needle, job.piece) for one in kept):
                others[stage.needle] = job.who
    today = {entry.number for entry in day.shots}
    order = plan.worked.order
    begins = min((order.index(number) for number in today), default=0)
    for text in found:
        again = next((needle for needle in others if _same_size(text, needle)), "")
        text += f", and the same for {others.pop(again)}" if again else ""
        here = (one for one in kept if one.since in today or order.index(one.since) < begins <= order.index(one.until))
        stay = [one for one in here if _same_size(text, one.needle)]
        where = listing([f"in {one.letter} {_when(one, today)}" for one in stay])
        yield f"{text}, {count_of(_at_once(plan, stay), 'set')}: {where}" if stay else text
    yield from (f"{on_tools(needle, tool)}, for {who}" for needle, who in others.items())


def _when(one: KeptSet, today: Container[str]) -> str:
    if one.since not in today:  # since an earlier day
        return f"to {one.until}" if one.until in today else "all day"
    if one.since == one.until:
        return f"for {one.since}"
    return f"from {one.since} {f'to {one.until}' if one.until in today else 'on'}"


def _at_once(plan: Plan, kept: Sequence[KeptSet]) -> int:
    """Count the sets that are in pieces at once."""
    order = plan.worked.order
    spans = [(order.index(one.since), order.index(one.until)) for one in kept]
    return max((sum(begin <= at <= end for begin, end in spans) for at, _ in spans), default=0)


@dataclass(frozen=True, slots=True)
class KeptSet:
    """Needles of the set that stay in a piece, from a shot on, until its last.

    It was brought on another size, or drawn shut, so that its needle is free, and stitches are taken up on it later.
    ``live``: the host takes it in that shot; else it is taken by whoever works on the piece after it.
    """

    needle: str
    letter: str
    since: str
    until: str
    live: bool


@remembered(2)
def sets_kept(plan: Plan) -> tuple[KeptSet, ...]:
    """Give the pieces in which needles stay that they did not come with."""
    if craft_named(plan.course.pattern.craft) != "knitting":  # a hook stays in none
        return ()
    return tuple(one for piece in plan.choice.pieces for one in _sets_of(plan, piece))


def _sets_of(plan: Plan, piece: Piece) -> Iterator[KeptSet]:
    on, last, shut = needle_of(plan, piece, piece.first), shot_of(piece.stops[-1].demand), False
    for place, stop in enumerate(piece.stops):
        earlier = piece.stops[max(0, place - 1)]
        before, back = shot_of(earlier.demand), not contains(stop.start, earlier.end)
        shut = shut and not back  # what is taken back is on its own needle again
        for needle, since in ((needle_of(plan, piece, stop.start), before), (_worked_on(plan, piece, stop), "")):
            if on and needle and (shut or needle != on):
                yield KeptSet(needle, piece.name, since or shot_of(stop.demand), last, not since)
                on, shut = needle, False
        shut = shut or not needle_of(plan, piece, stop.end)


def _worked_on(plan: Plan, piece: Piece, stop: Stop) -> str:
    """Name the needle on which a piece is worked in a shot; nothing where it is not."""
    if stop.end != stop.start:
        return needle_of(plan, piece, stop.end)
    here = line_in(plan, plan.course.shot(ShotNumber(shot_of(stop.demand))), piece, stop)
    return stage_needle(plan, here.stage.key) if here and not here.past else ""


def with_sets(plan: Plan, tools: Sequence[str], shots: Sequence[str]) -> tuple[str, ...]:
    """Say of needles on the tray for some shots in which pieces others of that size are then, and add those to take.

    The last are for pieces that go on with another size here, or come without theirs and are worked here first.
    """
    order = plan.worked.order
    at, tool = order.index(shots[0]), words_of(plan.course.pattern).tool
    kept = [one for one in sets_kept(plan) if order.index(one.since) < at <= order.index(one.until)]
    loose = [f"{on_tools(size, tool)} for {names}, if on a cable" for size, names in _loose(plan, shots)]
    new = [one for one in sets_kept(plan) if one.since in shots]
    told = (_several(plan, _another(plan, one, kept), one, new) for one in tools)
    return (*told, *changed_to(plan, tools, shots), *loose)


def changed_to(plan: Plan, tools: Sequence[str], shots: Container[str]) -> tuple[str, ...]:
    """Name the needles with which pieces go on in some shots that are none of their own, and not among the tools."""
    found, there = defaultdict[str, list[str]](list), packed(plan.course, tools)
    for one in sets_kept(plan):
        if one.live and one.since in shots and not any(_same_size(text, one.needle) for text in there):
            found[one.needle].append(one.letter)
    tool = words_of(plan.course.pattern).tool
    return tuple(f"{on_tools(needle, tool)} for {listing(letters)}" for needle, letters in found.items())


def with_balls(plan: Plan, day: Day, tools: Sequence[str], shots: Sequence[ShotText]) -> tuple[str, ...]:
    """Say of the yarns among the tools of some shots which ball it is: a piece that comes with one has its own."""
    of = dict[str, dict[str, None]]()
    own = set[str]()
    for text in shots:
        for name in on_table(plan.course, text.tools):
            letters = [one.letter for one in text.pieces if name in _yarns_with(plan, day, one)]
            of.setdefault(name, {}).update(dict.fromkeys(letters))
            own |= set() if letters else {name}
    return tuple(_ball(name, list(of.get(name, ())), beside=name in own) for name in tools)


def lying(plan: Plan, day: Day, tools: Sequence[str], shots: Sequence[ShotText]) -> tuple[str, ...]:
    """Say of the tools of some shots which needles and which balls they are, and add what may stand in there."""
    numbers = [text.number for text in shots]
    told, spoilt = with_balls(plan, day, with_sets(plan, tools, numbers), shots), to_stand_in(plan, numbers)
    return (*told, spoilt) if spoilt else told


def loose(plan: Plan, day: Day, tools: Sequence[str], shots: Sequence[ShotText]) -> tuple[str, ...]:
    """Leave out of the tools of some shots the yarns of which the pieces there have their own balls, all of them."""
    own = {name for text in shots for name in on_table(plan.course, text.tools)}
    told = zip(tools, with_balls(plan, day, tools, shots), strict=True)
    return tuple(name for name, text in told if name not in own or not text.startswith(f"{name} ("))


def _ball(name: str, letters: Sequence[str], *, beside: bool) -> str:
    if not letters:
        return name
    theirs = f"the {'balls' if letters[1:] else 'ball'} of {listing(letters)}"
    return f"{name}, and {theirs}" if beside else f"{name} ({theirs})"


def _loose(plan: Plan, shots: Container[str]) -> Iterator[tuple[str, str]]:
    """Give sizes of needles with the pieces that take a set each if they are handed over on a cable or waste yarn."""
    found = defaultdict[str, list[str]](list)
    for shot, size, name in _handed_over(plan):
        if shot in shots:
            found[size].append(name)
    yield from ((size, listing(letters)) for size, letters in found.items())


@remembered(2)
def _handed_over(plan: Plan) -> tuple[tuple[str, str, str], ...]:
    """Give the shots for which pieces may need a set, each with its size and the piece.

    Those that are first worked in the shot, or by the host for it, on the size that they come on, where the
    shot names no needle of it. What helpers work on first they put on their own; what is drawn shut needs none.
    """
    found, knits = list[tuple[str, str, str]](), craft_named(plan.course.pattern.craft) == "knitting"
    jobs = [job for day in plan.days for job in floor_jobs(plan, day)]
    others = {(job.piece, job.number) for job in jobs if job.who != plan.course.course.host}
    for piece in plan.choice.pieces if knits else ():
        came = needle_of(plan, piece, piece.first)
        stop = next((one for one in piece.stops if one.spells or _touched(plan, piece, one)), None)
        if not came or stop is None:
            continue
        if stop.spells and (piece.name, shot_of(stop.demand)) in others:
            continue
        on = needle_of(plan, piece, stop.start) if stop.spells else _touched(plan, piece, stop)
        shot = plan.course.shot(ShotNumber(shot_of(stop.demand)))
        there = packed(plan.course, on_table(plan.course, shot.tools))
        size = came.removesuffix(words_of(plan.course.pattern).tool).strip()
        if on == came and not any(_same_size(text, size) for text in there):
            found.append((shot_of(stop.demand), size, piece.name))
    return tuple(found)


def _touched(plan: Plan, piece: Piece, stop: Stop) -> str:
    """Name the needle on which a piece is worked in a shot, or that on which it is moved."""
    if stop.end == stop.start:
        at = _worked_on(plan, piece, stop)
        return at or (needle_of(plan, piece, stop.start) if touched(plan, piece, stop) else "")
    steps = steps_of(plan, piece.kind, stop.start, stop.end)
    return "" if steps[0].kind in THREADED else needle_of(plan, piece, stop.start)


def _another(plan: Plan, tool: str, kept: Sequence[KeptSet]) -> str:
    text = next(iter(packed(plan.course, [tool])))
    inside = [one.letter for one in kept if _same_size(text, one.needle)]
    one = "one is" if len(inside) == 1 else "they are"
    return f"{tool} (another set: {one} in {listing(inside)})" if inside else tool


def _several(plan: Plan, text: str, tool: str, new: Sequence[KeptSet]) -> str:
    """Say how many sets of a needle lie there, where more than one stays in pieces from here on."""
    mine = [one for one in new if _same_size(next(iter(packed(plan.course, [tool]))), one.needle)]
    sets = _at_once(plan, mine)
    return f"{text}, {count_of(sets, 'set')}: in {listing([one.letter for one in mine])}" if sets > 1 else text


def _same_size(text: str, needle: str) -> bool:
    """Whether what is packed is a needle of this size, and not of another kind: ``larger needles: 4 mm (US 6)``."""
    kind = next((kind for kind in KINDS if needle.endswith(f" {kind}")), "")
    sized = re.search(rf"(?<![\d.,]){re.escape(needle.removesuffix(kind).strip())}(?!\w)", text)
    named = {one for one, words in KINDS.items() if any(word in text.lower() for word in words)}
    fits = not kind or not named or kind in named
    return sized is not None and fits and ("needle" in text or sized.start() == 0 or bool(kind and named))


def pieces_on(plan: Plan, day: Day, filmed: Sequence[ShotText]) -> tuple[tuple[str, str], ...]:
    """Give the pieces of a day, each as it is first wanted there, and from whom if it was taken along at night."""
    whose = {piece: f", from {who}" for piece, who in handed_back(plan, day).items()}
    first = {piece.letter: piece for text in reversed(filmed) for piece in text.pieces}
    lacks = {letter: ", not there" for letter in first if missing(plan, (letter,), day.day)}
    return tuple(
        (
            letter,
            f"{one.now} ({kind_label(plan, one.kind)}){whose.get(letter, '')}"
            f"{lacks.get(letter) or _with(plan, day, one)}",
        )
        for letter, one in sorted(first.items(), key=_by_letter)
    )


def _with(plan: Plan, day: Day, one: PieceHere) -> str:
    """Name what a piece is begun with on the set, or the yarns that hang on it or are worked on it that day."""
    piece = plan.piece(one.letter)
    if begun := begun_on_set(plan, piece):
        return f", with {begun}"
    yarns = _yarns_with(plan, day, one)
    return f", with its {listing(yarns)}" if yarns else ""


def _yarns_with(plan: Plan, day: Day, one: PieceHere) -> list[str]:
    """Give the yarns of which a piece has its own ball on a day; what is begun on the set is begun from the table's."""
    piece = plan.piece(one.letter)
    if begun_on_set(plan, piece):
        return []
    hang = hanging(one.start, plan.worked.kinds[piece.kind], plan.worked.size)
    mine = {*hang, *yarns_on_day(plan, piece, day.number)}
    return [name for name in plan.course.pattern.yarns if name in mine]


def _by_letter(item: tuple[str, PieceHere]) -> tuple[int, str]:
    return len(item[0]), item[0]
