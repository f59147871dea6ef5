"""What a row leaves over: stitches that nothing works, on the needle or on the cable needle."""

from __future__ import annotations

from collections.abc import Sequence

from lessonplan.needle.stitch.hand import Hand
from lessonplan.needle.stitch.live import FitError, stitches
from lessonplan.needle.stitch.operations import Chain, Loop, Op, Pattern, Section, Work, total
from lessonplan.printed.tree import BindOff, Hold, Turn


def waits(ops: Sequence[Op]) -> bool:
    """Whether a row stops where stitches are put on a holder: `knit 14, slip the next 27 on a thread`."""
    return bool(ops) and isinstance(ops[-1], Hold) and not ops[-1].keep


def check_done(
    hand: Hand, ops: Sequence[Op], turn: Turn | None, *, needles: tuple[int, ...], unworked: bool, crochet: bool
) -> None:
    """Raise `FitError` for what a row leaves over. `needles`: those it names; `unworked`: print leaves what is over."""
    if hand.entered and turn is None:
        hand.taken = hand.left
    if hand.around and hand.left - hand.taken == 1:
        hand.taken = hand.left  # the chain that the round began in
    last = ops[-1] if ops else None
    to = last.to if isinstance(last, Loop | Pattern) else None
    short = to.short if to is not None and to.place == "end" else 0
    if unworked or (crochet and hand.flat and turn is None and short and short == hand.left - hand.taken):
        hand.left = hand.limit = hand.taken
        hand.made -= _slipped_first(ops) if hand.flat else 0
    left = hand.left - hand.taken
    if isinstance(last, Loop) and to is not None and to.place in ("end", "rest", "across") and not to.short:
        told, each = total(ops[:-1]), last.sum
        done = told.takes == hand.left if told.fixed else crochet and any(map(_fills, ops[:-1]))
        if done and each.fixed and each.makes != each.takes > 0:
            raise FitError("no stitch is left for what is repeated to the end", last.at)
    if left == 1 and len(ops) == 1 and isinstance(last, BindOff) and not crochet:
        hand.take(1, 1, 1, last.at, "k")  # of 20 stitches 19 are bound off: the last loop is on the needle
        left = 0
    if hand.on_cable:
        raise FitError(f"leaves {stitches(hand.on_cable)} on the cable needle", hand.cable_at)
    if turn is not None and turn.left and turn.left[0] != left and not (hand.needle.behind or hand.needle.turns):
        raise FitError(f"turns with {stitches(left)} left, where print says {turn.left[0]}", turn.at)
    if turn is None and left > 0 and needles and not hand.needle.markers:
        _no_needle_for(hand, ops, left)
    if turn is None and hand.worked and left and not needles and not waits(ops):
        at = ops[-1].at if ops else 0
        if left < 0:
            raise FitError(f"asks for {stitches(-left)} more than there are", at)
        raise FitError(f"leaves {left} of {stitches(hand.needle.stitches)} unworked", at)


def _fills(op: Op) -> bool:
    return isinstance(op, Loop) and op.to is not None and op.to.place in ("end", "across") and not op.to.short


def _no_needle_for(hand: Hand, ops: Sequence[Op], left: int) -> None:
    """Stitches behind the last needle that is named are those of another one; so few as make none are a slip."""
    shares = [total(op.body).takes for op in ops if isinstance(op, Section) and total(op.body).fixed]
    if len(shares) < len(ops):
        return
    if left * 2 < min(shares):
        raise FitError(f"leaves {left} of {stitches(hand.needle.stitches)} unworked", ops[-1].at)
    hand.notes.append(f"no needle is named for the last {stitches(left)}, which are left unworked here")


def _slipped_first(ops: Sequence[Op]) -> int:
    """Slip stitches at the beginning of a row that leaves stitches at its end: they are left behind as well."""
    first = next((op for op in ops if not isinstance(op, Chain)), None)
    if isinstance(first, Loop) and first.to is not None and first.to.place == "over" and len(first.body) == 1:
        only = first.body[0]
        return first.to.short if isinstance(only, Work) and only.name == "sl st" else 0
    return first.n if isinstance(first, Work) and first.name == "sl st" and first.n > 1 else 0
