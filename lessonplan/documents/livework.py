"""Where in its round a line begins that is worked live, and what becomes of its stitches between takes and after."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby

from lessonplan.course.model.episodes import Shot
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import listing
from lessonplan.craft.words import words_of
from lessonplan.documents.laidout import only_shown
from lessonplan.documents.notions import inside
from lessonplan.documents.stopping import stitches
from lessonplan.documents.worklines import beforehand, steps_of
from lessonplan.documents.yarncuts import cut_first
from lessonplan.needle.stitch.live import stitches as so_many
from lessonplan.pattern.within import Within, lacking, within, within_move
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, State, Stop, contains
from lessonplan.samples.states import in_words

Stops = Sequence[tuple[Piece, Stop]]
"""Pieces that stand in a shot, each with its stop there."""
_STITCHES = re.compile(r"\b(?:knit|purl|crochet|stitch(?:es)?|loops?|rounds?|rows?)\b", re.IGNORECASE)
"""Of hands that are told so: they touch stitches, and may leave a piece inside its round (a guess)."""


NEARLY_ALL = 0.9
"""The share of a job from which on it is only to take work back."""


def how_worked(plan: Plan, stop: Stop) -> str:
    """Say what is done to a piece between the shot before a stop and the stop: knitted on, or taken back."""
    words = words_of(plan.course.pattern)
    on = f"{words.made if words.pace else 'worked'} on"
    if stop.ripping > NEARLY_ALL * stop.worked:
        return "taken back"
    return f"taken back and {on}" if stop.ripping else on


def left_on(plan: Plan, piece: Piece, stop: Stop, goal: State) -> str:
    """Say where to look before a piece is worked on to a goal: a shot that does not move it may leave it in a round."""
    if stop.end != stop.start or stop.spare or not contains(goal, stop.end):
        return ""
    number = shot_of(stop.demand)
    if not only_shown(plan, stop) and any(one.work for one in plan.course.shot(number).hands):
        return f"What {number} worked may still be on it: go on from there."
    look = f"Look first where {number} left it in its round: go on from there."
    return look if touched(plan, piece, stop) else ""


def touched(plan: Plan, piece: Piece, stop: Stop) -> bool:
    """Whether the hands of a shot are told to do something to live stitches of a piece, without a line or a move."""
    live, _ = stitches(stop.end, plan.worked.kinds[piece.kind], plan.worked.size, words_of(plan.course.pattern))
    hands = plan.course.shot(shot_of(stop.demand)).hands
    return bool(live) and not only_shown(plan, stop) and any(_STITCHES.search(one.do) for one in hands)


def worked_live(plan: Plan, shot: Shot, stops: Stops) -> tuple[str, str]:
    """Say what is cut first and where in its round a line worked live begins; and what becomes of the stitches then.

    The first is done before the camera runs, the second between takes and after the last. In the plan each piece that
    stays is as it was when the next take begins, and in its next shot; where that asks for more, what the last take
    worked is on the way there.
    """
    first = [
        f"First, on {piece.name}: {text}"
        for piece, stop in stops
        if not stop.spells
        for text in cut_first(plan, piece, stop)
    ]
    begins, back = _worked(plan, shot, [one for one in stops if not only_shown(plan, one[1])])
    return " ".join(filter(None, (*first, _markers_out(plan, stops), begins))), back


def _markers_out(plan: Plan, stops: Stops) -> str:
    """Say which markers are taken out before a piece is drawn shut, and for which take: no line does it.

    A piece that is not needed then keeps its markers, and its next lines take them out.
    """
    found = dict[str, list[str]]()
    for piece, stop in stops:
        steps = steps_of(plan, piece.kind, stop.start, stop.end)
        one = inside(plan, piece.kind, stop.start) if steps and steps[0].kind == "draw-through" else None
        later = f"before take {stop.copy}" if stop.copy > 1 else "before the camera runs"
        if one and one["markers"]:
            found.setdefault("if it is used" if stop.spare else later, []).append(f"{one['markers']} in {piece.name}")
    said = "; ".join(f"{when}: {listing(pieces)}" for when, pieces in found.items())
    return f"Take the markers out {said}." if said else ""


def _worked(plan: Plan, shot: Shot, stops: Stops) -> tuple[str, str]:
    line = next((one.work for one in shot.hands if one.work), "")
    if not line:
        return "", ""
    size, words = plan.worked.size, words_of(plan.course.pattern)
    live = [
        (piece, stop) for piece, stop in stops if any(stitches(stop.start, plan.worked.kinds[piece.kind], size, words))
    ]
    placed = [(piece, stop, one) for piece, stop in live if (one := line_in(plan, shot, piece, stop)) and not one.past]
    if not placed:
        empty = [one for one in stops if not any(one[1].start)]  # a cast-on is taken off again
        return _in_move(plan, shot, line, stops), _taken_back(plan, shot, [*empty, *live], None)
    piece, stop, here = placed[0]
    then = _before_it(plan, piece, stop, here)
    at = stop.start[plan.worked.kinds[piece.kind].order.index(here.stage.key)]
    first = beforehand(plan, here.stage, at) if then == WORK_FIRST else ""
    if then == WORK_FIRST and stop.end != stop.start and shot.takes > 1:  # between the takes it is taken back to before
        then = f"{then.rstrip('.')}{IN_EACH}."
    begins = f"{first} Begins {_place(here)}{then}".lstrip() if here.first else ""
    begins = " ".join(filter(None, (_to_the_end(plan, piece, here, at), begins)))
    return begins, _taken_back(plan, shot, live, here)


def _to_the_end(plan: Plan, piece: Piece, here: Within, at: int) -> str:
    """Say what is worked before a line that begins its round anew, on a piece that was left inside the one before.

    So leaves it a work that was done some stitches ``into`` the coming round. ``at``: steps done of the line's stage.
    """
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    earlier = (worked.stage(key, size).steps[-1] for key in worked.before[here.stage.key])
    for last in [here.stage.steps[at - 1]] if at else earlier:
        if last.into and here.after < last.into + last.held:
            rest = so_many(last.after - last.into - last.held)
            again = (
                f"work the {so_many(last.held)} of “{last.name}” again, if that is not done, and the {rest} after them"
            )
            return f"First, on {piece.name}, off camera: {again}, to where the {here.what} begins."
    return ""


WORK_FIRST = ": work these first, off camera."
"""What is done where nobody has worked the stitches before a line yet."""
IN_EACH = ", before each take"


def _place(here: Within) -> str:
    """Word a place inside a round: by its stitches, and by what is worked before it where that is not all knit."""
    after = f", after {short_line(here.first)}" if set(here.first) != {"k"} else ""
    return f"{so_many(here.after)} into {here.what} {here.number} of “{here.stage.title}”{after}"


def short_line(names: Sequence[str]) -> str:
    """Write what is done one by one as a printed line: ``k22, m1l``."""
    runs = [(name, len([*same])) for name, same in groupby(names)]
    return ", ".join(_times(name, count) for name, count in runs)


def _times(name: str, count: int) -> str:
    if name in ("k", "p"):
        return f"{name}{count}"
    if name in ("sl", "CO", "BO"):
        return f"{name} {count}"
    if name == "hold":
        return f"{so_many(count)} put aside"
    return name if count == 1 else f"{name} {count} times"


def _before_it(plan: Plan, piece: Piece, stop: Stop, here: Within) -> str:
    """Say who works what lies before a line in its round: the shot before may have left the piece there."""
    before = piece.before(stop)
    if before is None or before.end != stop.start or before.end != before.start:
        return WORK_FIRST
    number = shot_of(before.demand)
    there = line_in(plan, plan.course.shot(number), piece, before)
    left = lacking(here, there)
    if not left:
        return f": {number} leaves it there."
    return WORK_FIRST if left == len(here.first) else f": work what {number} has not worked of this, off camera."


def _moving(plan: Plan, line: str, stops: Stops) -> Within | None:
    """Find where in a round of a move a line lies that does not begin it."""
    for piece, stop in stops:
        here = within_move(line, plan.worked.kinds[piece.kind], plan.worked.size, stop.start, stop.end)
        if here and here.first:
            return here
    return None


def _in_move(plan: Plan, shot: Shot, line: str, stops: Stops) -> str:
    """Say what of its round is worked before a line in a move, and after it, where the shot begins with the line."""
    here = _moving(plan, line, stops)
    if here is None or not shot.hands[0].work:
        return ""
    rest = f"; after it {short_line(here.left)}" if here.left else ""
    each = IN_EACH if shot.takes > 1 else ""
    return f"Begins {_place(here)}: work these first, off camera{each}{rest}."


def camera_stops(plan: Plan, shot: Shot, stops: Stops) -> tuple[int, str, str]:
    """Say what is worked off camera between the hands of a shot: before which of them, its stitches, and in full.

    The take log has both halves as one take.
    """
    at = next((place for place, one in enumerate(shot.hands) if one.work), 0)
    here = _moving(plan, shot.hands[at].work, stops) if at else None
    if here is None:
        return 0, "", ""
    rest = f", and after it {short_line(here.left)}" if here.left else ""
    first, far = f"{short_line(here.first)}{rest}", f"{here.what} {here.number} of “{here.stage.title}”"
    long = f"stop the camera, not the log’s take: in {far} {first} off camera; film on, and note the second clip"
    return at, first, long


def line_in(plan: Plan, shot: Shot, piece: Piece, stop: Stop) -> Within | None:
    """Find where the first line that a shot works lies in the next round of a piece; one only shown has none."""
    line = "" if only_shown(plan, stop) else next((one.work for one in shot.hands if one.work), "")
    return within(line, plan.worked.kinds[piece.kind], plan.worked.size, stop.start) if line else None


def _same_round(one: Within, other: Within) -> bool:
    return (one.stage.key, one.number, one.past) == (other.stage.key, other.number, other.past)


def _end(one: Within) -> int:
    return len(one.done) + len(one.line)


def _taken_back(plan: Plan, shot: Shot, live: Stops, here: Within | None) -> str:
    """Say what is taken back between takes, and after the last, on pieces that the plan does not move."""
    still, stays, partly, size = list[str](), list[str](), list[str](), plan.worked.size
    staying = [(piece, stop) for piece, stop in live if not stop.spare and stop.end == stop.start]
    for piece, stop in staying:
        then = next(iter(piece.stops[piece.stops.index(stop) + 1 :]), None)
        if then is None:
            continue
        number = shot_of(then.demand)
        on = line_in(plan, plan.course.shot(number), piece, then) if then.start == stop.end else None
        follows = on and here and _same_round(on, here) and len(on.done) >= len(here.done)
        if on and here and follows and len(on.done) >= _end(here):
            stays.append(f"on {piece.name}, on the way to {number}")
        elif on and here and follows and len(on.done) > len(here.done):
            back = here.line[len(on.done) - _end(here) :]
            last = f"its last {so_many(len(back))}" if len(back) > 1 else "its last stitch"
            partly.append(f"{last} ({short_line(back)}): {number} goes on from there on {piece.name}")
        elif on and on.after and not on.past:
            still.append(f"{piece.name} begins {so_many(on.after)} into the round in {number}")
        elif then.start == stop.end:
            still.append(
                f"{piece.name} is still at “{in_words(stop.end, plan.worked.kinds[piece.kind], size)}” in {number}"
            )
        elif contains(then.start, stop.end):
            stays.append(f"on {piece.name}, on the way to {number}")
    return " ".join(_said(shot.takes > 1, bool(here and here.first), bool(staying), still, stays, partly))


def _said(
    several: bool, inside: bool, staying: bool, still: Sequence[str], stays: Sequence[str], partly: Sequence[str]
) -> Iterator[str]:
    """Word what is taken back: all of it, a part, or nothing after the last take."""
    what = "what the take worked" if inside else "what was worked"
    if still:
        yield f"{'Between takes, and after the last,' if several else 'After it'} take back {what}: {listing(still)}."
    elif stays or partly:
        after = "after the last" if several else "After it"
        yield from ([f"Between takes take back {what};"] if several else [])
        yield from ([f"{after} it may stay {listing(stays)}."] if stays else [])
        yield from ([f"{after if not stays else 'There'} take back only {listing(partly)}."] if partly else [])
    elif several and staying:
        yield f"Between takes take back {what}."
