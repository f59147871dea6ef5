"""Operations worked by a hand, one after another: stitches, repeats in closed form where that is simple, patterns."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.craft.techniques import technique
from lessonplan.needle.stitch.hand import UNTOLD, Hand
from lessonplan.needle.stitch.live import TURNED, FitError, stitches
from lessonplan.needle.stitch.moves import move
from lessonplan.needle.stitch.operations import (
    Chain,
    Groups,
    Links,
    Loop,
    Op,
    Pattern,
    Section,
    Space,
    Stop,
    Work,
    spaces,
    total,
)

MOST_REPEATS = 20_000
"""A repeat worked more often, one by one, is in no real row."""


def run(hand: Hand, ops: Sequence[Op]) -> None:
    """Work a sequence of operations; raises `FitError` where they do not fit."""
    if hand.needle.spaces and not hand.needle.foundation:
        ops = _over_openings(ops)
    for index, op in enumerate(ops):
        if isinstance(op, Work):
            hand.work(op)
        elif isinstance(op, Loop):
            _loop(hand, op, ops[index + 1 :])
        elif isinstance(op, Section):
            _section(hand, op)
        elif isinstance(op, Pattern):
            _follow(hand, op, ops[index + 1 :])
        else:
            move(hand, op)


def _over_openings(ops: Sequence[Op]) -> Sequence[Op]:
    """Operations with what goes into chains taking no stitch, since they are no foundation."""
    if not any(isinstance(op, Links | Loop) for op in ops):
        return ops
    found: list[Op] = []
    for op in ops:
        if isinstance(op, Links) and op.n:
            op = replace(op.work, n=op.n, takes=0)
        elif isinstance(op, Loop):
            body = tuple(_over_openings(op.body))
            op = op if body == op.body else replace(op, body=body, sum=total(body))
        found.append(op)
    return found


def _section(hand: Hand, op: Section) -> None:
    """The steps of one needle, up to the marker at its end."""
    ahead = [place for place, name in hand.ahead if name != TURNED and place > hand.taken]
    share, odd = divmod(hand.needle.stitches, op.of or 1)
    if not hand.needle.markers and (total(op.body).fixed or not op.of or (odd and op.of != 3) or hand.behind):
        if not total(op.body).fixed:
            raise FitError("goes by needles, but nothing tells how many stitches are on each", op.at, "ambiguous")
        run(hand, op.body)
        return
    if not hand.needle.markers:
        if op.of == 3:  # the instep on one needle, the sole on two (common practice)
            share = hand.needle.stitches // (2 if hand.taken else 4)
        ahead = [hand.taken + share] if op.of != 3 or hand.taken < hand.needle.stitches // 2 else []
    outer, hand.limit = hand.limit, ahead[0] if ahead else hand.limit
    inserted = hand.left
    run(hand, op.body)
    inserted = hand.left - inserted
    if hand.taken != hand.limit:
        raise FitError(f"leaves {stitches(hand.limit - hand.taken)} of the needle unworked", op.at)
    hand.limit = outer + inserted


def _loop(hand: Hand, op: Loop, rest: Sequence[Op]) -> None:
    """A repeat, in closed form where nothing inside depends on the place."""
    if hand.needle.spaces or hand.needle.gaps or not op.sum.fixed:
        op = _over_spaces(hand, op)
    if op.to is None:
        _repeat(hand, op, op.n)
        return
    alike = hand.needle.spaces[hand.space :]
    if op.to.place == "space" and spaces(op.body) == 1 and _takes_none(op.body) and len({*alike}) > 1:
        for _ in itertools.takewhile(alike[0].__eq__, alike):  # `*3 dc in next ch-1 sp, ch 1; rep from * to center`
            run(hand, op.body)
        return
    if op.to.place == "run":
        sizes = {each.chains for each in op.body if isinstance(each, Space)}
        for _ in itertools.takewhile(sizes.__contains__, alike):
            run(hand, op.body)
        return
    if op.to.place == "last":
        _cut_short(hand, op, op.to, rest)
        return
    if op.to.place == "markers":
        _at_markers(hand, op, rest)
        return
    if hand.blind and _blindly(op):
        raise FitError("repeats what goes to a place that nothing tells, nobody knows how often", op.at, UNTOLD)
    if hand.blind and op.to.place == "marker" and isinstance(op.body[0], Work):
        hand.fill = op.body[0].name
    stop = hand.place(op.to, rest)
    room = stop - hand.taken
    if room < 0:
        raise FitError(_beyond(hand, op.to, room), op.at)
    if op.to.place in ("marker", "needle", "unsaid") and not op.to.short:
        hand.arrived = stop
    if op.to.place == "space" and not op.to.short:
        hand.reached = (stop, hand.space)
    if not op.sum.fixed:
        _until(hand, op, stop, rest)
        return
    needs = op.sum.takes
    if needs == 0 and (each := spaces(op.body)) and op.to.place in ("end", "rest", "across"):
        _by_spaces(hand, op, each, spaces(rest))
        return
    if needs and _spaces_decide(hand, op, room):
        _by_spaces(hand, op, spaces(op.body), spaces(rest))
        return
    if needs == 0:
        if room:
            raise FitError("the repeat uses up no stitches, so it would never come to its end", op.at)
        return
    if room % needs:
        _uneven(hand, op, room)
        return
    _repeat(hand, op, room // needs)


def _over_spaces(hand: Hand, op: Loop) -> Loop:
    """A repeat over spaces, with its sides told by them, and with the gaps between groups known for such."""
    kinds = {type(each) for each in op.body}
    for groups in op.body if op.to is not None and Groups in kinds else ():
        if isinstance(groups, Groups):
            move(hand, groups)
    return replace(op, body=_to_spaces(op.body)) if {Space, Loop} <= kinds else op


def _to_spaces(body: Sequence[Op]) -> tuple[Op, ...]:
    """What goes to the end of a side goes to the space behind it: `*dc in each dc across, 3 dc in corner sp; rep`."""
    found = [*body]
    for place, (op, after) in enumerate(itertools.pairwise(body)):
        if isinstance(op, Loop) and op.to is not None and op.to.place in ("end", "across") and not op.to.short:
            found[place] = replace(op, to=replace(op.to, place="space")) if isinstance(after, Space) else op
            first = op.body[0]
            if isinstance(first, Space) and first.chains and Space in map(type, body[place + 1 :]):
                found[place] = replace(op, to=replace(op.to, place="run"))  # `3 dc in each ch-1 sp along side`
    return tuple(found)


def _at_markers(hand: Hand, op: Loop, rest: Sequence[Op]) -> None:
    """A repeat worked at each marker there is; what lies behind the last one is worked plain."""
    marks = sum(name != TURNED for _, name in hand.ahead)
    if not marks:
        raise FitError("where the markers are is not told", op.at, UNTOLD)
    for _ in range(marks):
        run(hand, op.body)
    if not rest and (left := hand.limit - hand.taken) > 0:
        hand.take(left, 1, 1, op.at, "k")
        hand.count("", "k", left)


def _blindly(op: Loop) -> bool:
    """Whether what a fill comes to depends on where the places lie to which it goes."""
    if op.to is not None and op.to.place == "marker":
        return not op.sum.fixed or op.sum.takes != op.sum.makes
    return any(isinstance(each, Loop) and each.to is not None and each.to.place == "marker" for each in op.body)


def _spaces_decide(hand: Hand, op: Loop, room: int) -> bool:
    """Whether a repeat that takes stitches too would need more spaces than there are: it passes stitches unsaid."""
    each = spaces(op.body)
    known = each and hand.needle.spaces and op.to is not None and op.to.place in ("end", "rest", "across")
    return bool(known) and each * (room // op.sum.takes) > hand.spaces + 1


def _by_spaces(hand: Hand, op: Loop, each: int, kept: int) -> None:
    """A repeat that goes into the spaces of the round below, up to those that the steps after it need."""
    if not hand.needle.spaces:
        unread = UNTOLD if hand.needle.blurred else "misfit"
        raise FitError("how many spaces the round before has is not known", op.at, unread)
    chains = next((inner.chains for inner in op.body if isinstance(inner, Space)), 0)
    there = hand.needle.spaces.count(chains) or hand.spaces - kept
    times, over = divmod(min(there, hand.spaces - kept), each)
    if over or times < 0:
        raise FitError(
            f"needs a multiple of {each} spaces for the repeat, but {hand.spaces - kept} are left for it", op.at
        )
    for _ in range(times):
        run(hand, op.body)


def _uneven(hand: Hand, op: Loop, room: int) -> None:
    """A repeat that does not come out even: an error, unless it may be cut short or borrow from the next round."""
    needs = op.sum.takes
    if hand.loose == "borrowed" and needs - room % needs == 1 and not hand.flat and hand.limit == hand.left:
        times = room // needs + 1
        hand.made -= 1
        hand.left += 1
        hand.limit += 1
        _repeat(hand, op, times)
        return
    if _closes_over_gap(hand, op, room % needs):
        _repeat(hand, op, room // needs)
        hand.taken += room % needs
        return
    works = [each for each in op.body if isinstance(each, Work) and each.takes]
    hooked = any(each.parts or technique(each.name).craft == "crochet" for each in works)
    told = hooked and op.to is not None and op.to.short  # none is cut off before stitches that are told
    if hand.loose != "cut" or told:
        raise FitError(_odd_multiple(op, needs, room), op.at)
    _repeat(hand, op, room // needs)
    left = room % needs
    first = op.body[0]
    if hand.flat and isinstance(first, Work) and first.name == "sk" and first.n * first.takes >= left:
        raise FitError(_odd_multiple(op, needs, room), op.at)  # what is only skipped is left over
    for each in op.body:
        if not left:
            return
        taken = total((each,)).takes
        if taken > left:
            raise FitError(_odd_multiple(op, needs, room), op.at)
        run(hand, (each,))
        left -= taken


def _closes_over_gap(hand: Hand, op: Loop, left: int) -> bool:
    """Whether a round of chains over gaps has only its last gap left, which the joining closes."""
    first, last = op.body[0], op.body[-1]
    skipped = isinstance(first, Work) and first.name == "sk" and first.n * first.takes == left
    chained = isinstance(last, Chain) or (isinstance(last, Work) and last.name == "ch")
    return skipped and chained and not hand.flat


def _cut_short(hand: Hand, op: Loop, to: Stop, rest: Sequence[Op]) -> None:
    """A repeat that ends, in its last round, with what follows it in place of its last step."""
    needed = hand.needed(rest, to) + total(op.body[:-1]).takes
    room = hand.limit - hand.taken - needed
    if room < 0 or not op.sum.takes or room % op.sum.takes:
        raise FitError(_odd_multiple(op, max(1, op.sum.takes), max(0, room + needed)), op.at)
    _repeat(hand, op, room // op.sum.takes)
    run(hand, op.body[:-1])


def _odd_multiple(op: Loop, needs: int, room: int) -> str:
    """The sentence for a repeat that does not fit."""
    what = "the repeat" if len(op.body) > 1 or not isinstance(op.body[0], Work) else op.body[0].name
    verb = "is" if room == 1 else "are"
    return f"needs a multiple of {needs} stitches for {what}, but {room} {verb} left for it"


def _beyond(hand: Hand, stop: Stop, room: int) -> str:
    """The sentence for a place that lies behind the stitches already worked."""
    if stop.place == "end":
        here = hand.limit - hand.taken
        return f"should leave the last {stitches(stop.short)}, but only {here} {'is' if here == 1 else 'are'} left"
    if stop.place == "over":
        return hand.short_of(stop.short, "", 1)
    here = room + stop.short
    return f"should stop {stitches(stop.short)} before the marker, but only {max(0, here)} are left before it"


def _repeat(hand: Hand, op: Loop, n: int) -> None:
    """The body of a loop `n` times."""
    if n == 1 or not op.sum.fixed:
        if n > MOST_REPEATS:
            raise FitError(f"a repeat of {n} times is in no real row", op.at)
        for _ in range(n):
            run(hand, op.body)
        return
    end = hand.taken + n * op.sum.takes
    if end > hand.limit:
        whole = (hand.limit - hand.taken) // op.sum.takes if op.sum.takes else 0
        for _ in range(min(n, whole + 1)):
            run(hand, op.body)
        if n > whole + 1:
            raise FitError(f"the repeat runs out of stitches after {whole} of {n} times", op.at)
        return
    if not op.sum.plain:
        if n > MOST_REPEATS:
            raise FitError(f"a repeat of {n} times is in no real row", op.at)
        for _ in range(n):
            run(hand, op.body)
    elif len(op.body) == 1 and isinstance(op.body[0], Work):
        hand.work(replace(op.body[0], n=op.body[0].n * n))
    else:
        _in_bulk(hand, op, n)


def _in_bulk(hand: Hand, op: Loop, n: int) -> None:
    """Whole repeats at once, one by one only where a marker lies in them."""
    each = op.sum
    while n:
        whole = n
        if hand.ahead and each.takes:
            whole = min(n, max(0, hand.ahead[0][0] - hand.taken) // each.takes)
        if whole:
            hand.taken += whole * each.takes
            hand.made += whole * each.makes
            hand.worked = True
            for (colour, name), count in each.counts.items():
                hand.count(colour, name, count * whole)
            n -= whole
        if n and (whole == 0 or hand.ahead):
            run(hand, op.body)
            n -= 1


def _until(hand: Hand, op: Loop, stop: int, rest: Sequence[Op]) -> None:
    """A repeat whose body depends on markers: again and again to the end, or as long as there are markers."""
    only_spaces = _takes_none(op.body)
    while hand.taken < stop and not (only_spaces and hand.spaces <= spaces(rest)):
        before, markers_ahead = hand.snapshot(), any(name != TURNED for _, name in hand.ahead)
        start, spaces_left = hand.taken, hand.spaces
        ends_with_fill = bool(rest) and isinstance(rest[0], Loop) and rest[0].to is not None
        if ends_with_fill and hand.sought and not hand.spaces and spaces(op.body):
            return  # the only space ahead is the one that the round began in
        try:
            run(hand, op.body)
        except FitError:
            if not start or not ends_with_fill or markers_ahead:
                raise
            hand.restore(before)
            return
        if hand.taken == start and not (only_spaces and hand.spaces < spaces_left):
            raise FitError("the repeat uses up no stitches, so it would never come to its end", op.at)
    if hand.taken > stop:
        raise FitError("the last repeat works more stitches than there are for it", op.at)


def _takes_none(ops: Sequence[Op]) -> bool:
    """Whether operations go into spaces and take no stitch."""
    return any(isinstance(op, Space) for op in ops) and all(
        not op.takes if isinstance(op, Work) else not isinstance(op, Loop) or _takes_none(op.body) for op in ops
    )


def _follow(hand: Hand, op: Pattern, rest: Sequence[Op]) -> None:
    """A named pattern over the stitches up to a place."""
    stop = hand.place(op.to, rest)
    if stop < hand.taken:
        raise FitError(_beyond(hand, op.to, stop - hand.taken), op.at)
    if op.to.place in ("marker", "needle", "unsaid") and not op.to.short:
        hand.arrived = stop
    outer, hand.limit = hand.limit, stop
    hand.pattern(hand, op.name, stop - hand.taken, op.at)
    hand.limit = outer
