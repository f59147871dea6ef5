"""The moves of a row that are no stitches: binding off and casting on, markers, holders, yarns."""

from __future__ import annotations

from lessonplan.needle.stitch.chains import crochet
from lessonplan.needle.stitch.hand import SOMEWHERE, Hand
from lessonplan.needle.stitch.live import TURNED, WAITING, FitError, stitches
from lessonplan.needle.stitch.operations import Chain, Edge, Groups, Lead, Links, Mingle, Move, Ring, Skip, Space
from lessonplan.printed import tree
from lessonplan.printed.items import HOLDER


def move(hand: Hand, op: Move) -> None:
    """Make a move that is no stitch; raises `FitError` where it does not fit."""
    match op:
        case tree.BindOff():
            _bind_off(hand, op)
        case tree.CastOn():
            _cast_on(hand, op.count[0] * (_gaps(hand, op) if op.each else 1))
        case tree.PickUp():
            hand.made += op.count[0]
            hand.count("", "pu&k", op.count[0])
        case tree.CableNeedle():
            _cable(hand, op)
        case tree.Hold():
            _hold(hand, op)
        case tree.Return():
            _put_back(hand, op)
        case tree.Mark():
            _mark(hand, op)
        case tree.Colour():
            hand.colour = op.name
        case tree.Join():
            hand.flat = False
        case tree.Turn():  # turns cut a row into pieces; one that is still here has no number of times
            raise FitError("turns inside a repeat up to a place; say how many times it is worked", op.at)
        case Ring() | Lead() | Space() | Mingle() | Groups() | Links() | Edge() | Chain() | Skip() | tree.Opposite():
            crochet(hand, op)


def _bind_off(hand: Hand, op: tree.BindOff) -> None:
    n = hand.limit - hand.taken if op.count is None else op.count[0]
    kept = max(0, -n)
    n = hand.limit - hand.taken - kept if kept else n
    if (
        n <= 0
        and op.method == "draw through"
        and (not hand.needle.stitches or any(name == op.method for _, name in hand.counts))
    ):
        return  # `thread yarn through rem sts, draw up tightly`
    if n <= 0:
        raise FitError("there are no stitches left to bind off", op.at)
    if op.rest:
        _all_left(hand, op.rest[0], op.at)
    if op.worked and op.count is None:
        hand.take(n, 1, 0, op.at, op.method)
        n, hand.made = n + hand.made, 0  # `K2, then bind off all sts`
    elif op.worked and hand.made and n:
        hand.made -= 1
        hand.take(n - 1, 1, 0, op.at, op.method)
    else:
        hand.take(n, 1, 0, op.at, op.method)
    hand.worked = True
    hand.count("", op.method, n if op.method == "BO" else n // 2)
    if kept:
        hand.take(kept, 1, 1, op.at, "k")
    if hand.made and hand.taken < hand.limit:
        hand.passed.append((hand.made, TURNED))  # the gap can be worked to in the next row


def _cast_on(hand: Hand, n: int) -> None:
    hand.cast_on += n
    hand.count("", "CO", n)
    at_edge = hand.flat and not hand.worked and hand.left and not hand.taken and not hand.made
    if at_edge:
        hand.insert(n)
    else:
        hand.made += n


def _gaps(hand: Hand, op: tree.CastOn) -> int:
    """How many gaps the row before left."""
    if not hand.needle.turns:
        raise FitError("casts on over gaps, but nothing tells how many there are", op.at, "ambiguous")
    return len(hand.needle.turns)


def _cable(hand: Hand, op: tree.CableNeedle) -> None:
    n = op.count[0]
    if not op.off:
        hand.on_cable += n
        hand.cable_at = op.at
        return
    if n > hand.on_cable:
        raise FitError(f"works {stitches(n)} from the cable needle, which has {hand.on_cable}", op.at)
    hand.on_cable -= n


def _hold(hand: Hand, op: tree.Hold) -> None:
    n = hand.limit - hand.taken if op.count is None else op.count[0]
    if op.rest:
        _all_left(hand, op.rest[0], op.at)
    if _behind_the_turn(hand, op, n):
        hand.held.append((hand.held_as, hand.behind))
        hand.out += hand.behind
        hand.behind, hand.passed = 0, []
        return
    if op.keep:
        if hand.behind and hand.flat and 0 < n < hand.limit and n != hand.behind and not (hand.taken or hand.made):
            hand.held.append((hand.held_as, hand.behind))  # on both sides of those that are worked
            hand.out += hand.behind
            hand.behind, hand.passed = 0, []
        _keep(hand, n, op.at)
        if op.wait and hand.held:
            hand.held[-1] = (WAITING, hand.held[-1][1])
        return
    if op.count is not None and n < 0:
        ahead = [place for place, name in hand.ahead if name != TURNED and place > hand.taken]
        marked = not hand.flat and hand.needle.markers and not hand.blind  # the last one is the round's beginning
        if not ahead and not marked and (not hand.held or hand.taken or hand.made):
            raise FitError("it is not said how many stitches are held", op.at, "ambiguous")
        n = (ahead[0] if ahead else hand.limit) - hand.taken
    if hand.held and not (hand.needle.stitches or hand.made or op.last) and n < hand.held[-1][1]:
        hand.insert(hand.held.pop()[1])  # the other side, begun from the holder
    if op.last and hand.limit - hand.taken != n:
        if not hand.worked and not hand.made and not hand.taken and n < hand.left:
            _keep(hand, hand.limit - n, op.at)
            hand.held[-1:] = [(hand.held_as, n)]
            return
        if n > hand.made:
            raise FitError(f"asks to hold the last {stitches(n)} worked, but {hand.made} were worked", op.at)
        hand.made -= n
    else:
        hand.take(n, 1, 0, op.at, "hold")
    hand.held.append((hand.held_as, n))
    hand.out += n
    if any(place == hand.taken for place, _ in hand.ahead):
        hand.arrived = hand.taken


def _all_left(hand: Hand, n: int, at: int) -> None:
    """Stitches that print calls the remaining ones must be all that are left, here or behind the last turn."""
    there = hand.limit - hand.taken
    if n not in (there, hand.behind, there + hand.made):
        raise FitError(f"speaks of {stitches(n)} that remain, but there are {there}", at)


def _behind_the_turn(hand: Hand, op: tree.Hold, n: int) -> bool:
    """Whether those are put aside that the turn of the last row left: `Leave rem sts on a holder`."""
    if not (hand.behind and hand.flat) or op.last or hand.taken or hand.made or hand.worked:
        return False
    here = hand.limit
    return (n < 0 or n == here) if op.keep or op.count is None else n == hand.behind != here


def _keep(hand: Hand, n: int, at: int) -> None:
    """All stitches but the next `n` (below 0: but those up to the gap, which at -3 there must be) are held."""
    if n < 0:
        gap = next((place for place, name in hand.ahead if name == TURNED and place > hand.taken), hand.limit)
        if n < -2 and gap == hand.limit and not hand.held:
            raise FitError("speaks of parts, and nothing tells where one ends", at, "ambiguous")
        n = gap - hand.taken
    others = hand.limit - hand.taken - n
    if others < 0:
        raise FitError(hand.short_of(n, "k", 1), at)
    hand.left -= others
    hand.limit -= others
    hand.ahead = [mark for mark in hand.ahead if mark[0] <= hand.limit]
    if others:
        hand.held.append((hand.held_as, others))
        hand.out += others


def _put_back(hand: Hand, op: tree.Return) -> None:
    elsewhere = op.name == HOLDER or not hand.needle.stitches
    waiting = sum(n for _, n in hand.held) - hand.out  # what this row itself put there is not meant
    here = op.count is not None and op.count[0] == hand.needle.stitches and hand.taken < hand.limit
    if waiting <= 0 and elsewhere and op.count is not None and not here:
        hand.insert(op.count[0])
        hand.notes.append("no line before this one puts these stitches on a holder")
        return
    if not hand.held and op.count is not None and not hand.taken and op.count[0] == hand.needle.stitches:
        hand.notes.append("the stitches on the needle are those put back")
        return
    if not hand.held and op.count is None and hand.limit and not hand.worked and not hand.taken:
        hand.notes.append("nothing is held, so that the stitches on the needle are those put back")
        return
    if not hand.held:
        raise FitError("there are no held stitches to put back", op.at)
    number = None if op.count is None else op.count[0]
    order = range(len(hand.held) - 1, -1, -1)
    wanted = [i for i in order if hand.held[i][0] in (op.name, hand.held_as)] or list(order)
    exact = [i for i in wanted if hand.held[i][1] == number] or [i for i in order if hand.held[i][1] == number]
    index = exact[0] if exact else wanted[0]
    name, count = hand.held[index]
    n = count if number is None else number
    if n > count:
        raise FitError(f"asks for {stitches(n)} from the holder, which has {count}", op.at)
    hand.held[index : index + 1] = [(name, count - n)] if count > n else []
    hand.insert(n)


def _mark(hand: Hand, op: tree.Mark) -> None:
    if op.action == "pm" and op.name == SOMEWHERE:
        return  # `place a marker at each side`: where that is nothing tells
    if op.action == "pm":
        hand.passed.append((hand.made, op.name))
        hand.count("", "pm", 1)
    elif op.action == "sm":
        _slip(hand, op)
    elif op.action == "rm":
        _remove(hand, op)
    else:
        hand.unmarked = True
        if n := sum(name != TURNED for marks in (hand.ahead, hand.passed, hand.tail_marks) for _, name in marks):
            hand.count("", "rm", n)


def _slip(hand: Hand, op: tree.Mark) -> None:
    if hand.blind:
        return
    here = [mark for mark in hand.ahead if mark[0] == hand.taken and mark[1] != TURNED]
    if here:
        hand.ahead.remove(here[0])
        hand.slipped += 1
        hand.passed.append((hand.made, here[0][1]))
    elif not hand.at_edge() and not any(place == hand.made for place, _ in hand.passed):
        ahead = [place for place, name in hand.ahead if name != TURNED]
        where = f"the next is {stitches(ahead[0] - hand.taken)} on" if ahead else "there is none ahead"
        raise FitError(f"there is no marker here to slip; {where}", op.at)
    hand.count("", "sm", 1)


def _remove(hand: Hand, op: tree.Mark) -> None:
    if hand.blind:
        return
    for marks, place in ((hand.ahead, hand.taken), (hand.passed, hand.made)):
        for mark in marks:
            if mark[0] == place and mark[1] != TURNED:
                marks.remove(mark)
                hand.count("", "rm", 1)
                return
    if not hand.at_edge():
        raise FitError("there is no marker here to remove", op.at)
