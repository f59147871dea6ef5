"""The moves of crochet: chains, rings, spaces, and the two sides of a foundation."""

from __future__ import annotations

from dataclasses import replace

from lessonplan.needle.stitch.hand import UNTOLD, Hand
from lessonplan.needle.stitch.live import FitError
from lessonplan.needle.stitch.operations import Chain, Edge, Groups, Lead, Links, Mingle, Ring, Skip, Space, Work
from lessonplan.printed.tree import Opposite

Hooks = Ring | Lead | Space | Mingle | Groups | Links | Edge | Chain | Skip | Opposite


def crochet(hand: Hand, op: Hooks) -> None:
    """Make a move of crochet; raises `FitError` where it does not fit."""
    match op:
        case Ring():
            _ring(hand, op)
        case Lead():
            if hand.flat or op.missed:
                by = "sk" if op.missed else "sl st"
                hand.take(op.n, 1, 0, op.at, by)
                hand.count("", by, op.n)
            elif op.stays:
                hand.work(Work(name="sl st", n=op.n, takes=1, makes=1, at=op.at))
        case Space():
            hand.spaces -= op.n if hand.spaced else max(op.n, 1)  # the one that slip stitches led to
            hand.spaced = True
            hand.entered = hand.entered or not op.passed
            hand.space += op.n
        case Mingle():
            if hand.needle.blurred:
                raise FitError("how many spaces the round before has is not known", op.at, UNTOLD)
            hand.insert(hand.spaces)
            hand.spaces = 0
        case Groups():
            _groups(hand, op)
        case Links():
            _links(hand, op)
        case Edge():
            _edge(hand, op)
        case Chain():
            _chain(hand, op)
        case Skip():
            _skip(hand, op)
        case Opposite():
            _opposite(hand, op)


def _ring(hand: Hand, op: Ring) -> None:
    if (hand.worked or op.empty) and hand.left:
        raise FitError("a new ring is begun while there are stitches already", op.at)
    hand.taken = hand.limit  # the chain that was joined to the ring


def _groups(hand: Hand, op: Groups) -> None:
    """Take the gaps between groups for spaces of no chains, once in a row."""
    needle = hand.needle
    gaps = [place for place, wide in needle.gaps if wide or op.beside]
    if not gaps and (needle.blurred or not needle.spaces) and not hand.spaced:
        raise FitError("where the groups of the round before are is not told", op.at, UNTOLD)
    known = len(needle.spaced) == len(needle.spaces)
    every = sorted((*zip(needle.spaced, needle.spaces, strict=True), *((gap, 0) for gap in gaps))) if known else ()
    hand.needle = replace(needle, spaces=tuple(n for _, n in every), spaced=tuple(place for place, _ in every), gaps=())
    hand.spaces += len(gaps)


def _links(hand: Hand, op: Links) -> None:
    """Into a foundation they are any stitches; else chains over an opening, which were no stitches so far."""
    links = sum(hand.needle.spaces)
    if op.n:
        hand.work(replace(op.work, n=op.n))
    elif hand.needle.blurred:
        raise FitError("how many spaces the round before has is not known", op.at, UNTOLD)
    elif links:
        hand.work(replace(op.work, n=links, takes=0))


def _edge(hand: Hand, op: Edge) -> None:
    """Where every stitch was worked into already, the last of them was this one."""
    if hand.taken < hand.limit or not hand.worked:
        hand.work(op.work)
    elif op.work.makes > 1:
        hand.work(replace(op.work, takes=0, makes=op.work.makes - 1))


def _chain(hand: Hand, op: Chain) -> None:
    if op.before:
        hand.take(1, 1, int(op.counts and hand.flat), op.at, "sk")
        return
    hand.count("", "ch", op.n)
    if op.more and hand.needle.stitches and not hand.needle.foundation and not hand.taken:
        hand.cast_on += op.n
        hand.insert(op.n)
    elif not op.ring and not hand.needle.stitches and not hand.left and not hand.made:
        hand.cast_on += op.n
        hand.insert(op.n)
        hand.foundation = True
    elif op.inside and not hand.flat and not op.ring and hand.needle.spaces:
        _begin_in_space(hand)
        hand.made += int(op.counts)
        if op.space:
            hand.opened(op.space)
    elif op.counts:
        if op.ring:
            hand.made += 1
        else:
            hand.take(1, 1, 1, op.at, "ch")
        if op.space:
            hand.opened(op.space)
    elif hand.worked and not hand.flat:
        hand.chained(op.n)  # `ch 1, join` closes the round with a space
    elif hand.worked and hand.taken == hand.limit:
        hand.ended = op.n


def _begin_in_space(hand: Hand) -> None:
    """Begin a round in its first space: what lies before it comes last, and the space itself once more."""
    needle = hand.needle
    if needle.spaced and len(needle.spaced) == len(needle.spaces):
        first = needle.spaced[0]
        spaced = (*(place - first for place in needle.spaced[1:]), needle.stitches)
        gaps = tuple(
            sorted(((place - first) % needle.stitches or needle.stitches, wide) for place, wide in needle.gaps)
        )
        hand.needle = replace(needle, spaces=(*needle.spaces[1:], needle.spaces[0]), spaced=spaced, gaps=gaps)


def _skip(hand: Hand, op: Skip) -> None:
    hand.unused = op.n
    if hand.needle.chained > op.n and hand.flat and not (hand.taken or hand.cast_on):
        hand.cast_on += hand.needle.chained
        hand.insert(hand.needle.chained)  # `ch 5, turn`, and the next row goes along them first
    if hand.left:
        hand.take(op.n, 1, 0, op.at, "chain")
        if hand.taken == hand.limit and (hand.foundation or hand.needle.foundation):
            raise FitError(f"leaves out {op.n} of the {hand.limit} chains, and none is left to work into", op.at)
    else:
        hand.insert(1)  # a foundation that no line makes, of which this one stitch is said
    hand.made += int(op.counts)
    if op.space:
        hand.opened(op.space)


def _opposite(hand: Hand, op: Opposite) -> None:
    """Round the end of a foundation: its chains but the last one are there once more."""
    if hand.taken < hand.limit or not hand.taken:
        raise FitError(f"goes on along the other side, but {hand.limit - hand.taken} are left on this one", op.at)
    hand.insert(max(0, hand.taken - hand.unused - 1))
    hand.around = True
