"""One printed line worked on the needles: how many stitches there are after it, and what was done."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache

from lessonplan.needle.decided.over import check_done, waits
from lessonplan.needle.ready.ends import flattened, missed_first
from lessonplan.needle.ready.patterns import PatternBook
from lessonplan.needle.ready.planner import CHAINS, RING_ONLY, SLIPPED, plan
from lessonplan.needle.stitch.hand import UNTOLD, Hand
from lessonplan.needle.stitch.live import TURNED, FitError, Marker, Needle, WorkError, stitches
from lessonplan.needle.stitch.operations import Loop, Op, Pattern, Reading, total
from lessonplan.needle.stitch.row import run
from lessonplan.printed.heading import value
from lessonplan.printed.tree import Colour, Into, Line, Mark, Part, Repeat, Rows, Step, Stitch, Times, Turn

Techniques = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Round:
    """One worked round or row, summarised; `times` equal ones in a run.

    `told`: the text without its printed counts. `before`, `after`: live stitches. `techniques`: canonical name and how
    many in ONE round, sorted. `needle`: after the run. `note`: which reading of ambiguous print was taken, and its
    like. `held`, `cast_on`: stitches in one round. `row` is False where no row is worked (a cast-on, stitches moved to
    a holder or back). `by_colour`: the techniques by yarn, where yarns are named.
    """

    text: str
    told: str
    before: int
    after: int
    techniques: Techniques
    times: int
    needle: Needle
    note: str = ""
    held: int = 0
    cast_on: int = 0
    row: bool = True
    by_colour: tuple[tuple[str, Techniques], ...] = ()
    spaces_left: int = 0
    """Spaces of the round below that are not worked into, though others are (below 0: so many too few)."""


@dataclass(frozen=True, slots=True)
class Working:
    """What a line is worked with: the 0-based size, the reading chosen, the stitch patterns, the name of the holder.

    `loose`: a line before had its last repeat borrow a stitch of the next round, so that others may. `casts_on`: CO
    means cast on, as other lines tell.
    """

    size: int
    book: PatternBook
    held_as: str = "held"
    reading: Reading = ()
    loose: bool = False
    casts_on: bool = False

    def reads(self, reading: Reading) -> Working:
        """The same with another reading."""
        return self if reading == self.reading else replace(self, reading=reading)


Segment = tuple[tuple[Op, ...], Turn | None]


@lru_cache(maxsize=8192)
def segments(line: Line, part: int, size: int, reading: Reading) -> tuple[Segment, ...]:
    """The operations of a row, cut where the work is turned."""
    rows = line.parts[part]
    assert isinstance(rows, Rows)
    found: list[Segment] = []
    ops: list[Op] = []
    for op in plan(rows.steps, size, reading, line.chain, line.top, crochet=line.crochet):
        if isinstance(op, Turn):
            found.append((tuple(ops), op))
            ops = []
        else:
            ops.append(op)
    if ops or not found:
        found.append((tuple(ops), None))
    return tuple(found)


def _in_a_ring(part: Part) -> bool:
    """Whether a row of crochet tells its stitches one by one, but not what they go into."""
    steps = flattened(part.steps) if isinstance(part, Rows) else ()
    made = [step for step in steps if not isinstance(step, Colour | Mark)]
    told = all(
        isinstance(step, Stitch)
        or (isinstance(step, Repeat) and isinstance(step.quantity, Times))
        or (isinstance(step, Into) and step.place == "space" and not step.chains)  # `13 dc in loop`, of an empty one
        for step in made
    )
    return told and any(not isinstance(step, Stitch) or step.name not in ("ch", "sl st", *ON_NOTHING) for step in made)


_BLOCK = re.compile(
    r"\b(?:of|in|to|across) (?:the |each |every |a )?(?:next |last |previous |first )?(?:blocks?|tiles?)\b"
)
_CORNER = re.compile(r"\bcorners?\b")
"""Corners where no spaces are: those of the piece, round which an edging goes."""
_LEFT = re.compile(r"unworked|\bleav(?:e|ing) (?:the |all )?(?:rem|rest)")
"""Words by which the stitches at the end of a row are left for later."""
_LEFT_TOLD = re.compile(
    r"\bleav(?:e|ing) (?:the |last |rem(?:aining)?\.? |final |other |next )*(\d+(?: ?[(\[][\d, :/]+[)\]])?)"
    r" [a-z. ]*\bunworked"
)
"""How many they are: `leaving last 3 sts unworked`."""
_CHAINS_SKIPPED = re.compile(r"\b(?:skip|miss|sk)\b[^,;*]*\bch")
_SLIPPED = re.compile(r"\b(?:sl(?:ip)? st(?:itch)?(?:es)?|ss)\b[^,.;]*\b(?:loops?|[bf]lo)\b")
"""Slip stitches into the loops of the row below, as a fabric."""
_ONE_SIDE = re.compile(
    r"^[^:]*\b(?:(?:first|second|left|right|one|other|1st|2nd) (?:side|shoulder|half|strap|front|leg|ear|flap|neck)"
    r"|(?:side|half) of (?:the )?neck|shoulder|neck shaping|shape neck)\b[^:]*:.*\bturn\b"
)
"""A heading by which a row of crochet that turns before its end goes along one side only."""
_CLOSES = re.compile(r"\b(?:join|sl(?:ip)?\.? ?st|s\.?s\b|round)")
_TURNED = re.compile(r"\bturn\b")
_IN_ROUNDS = re.compile(r"\bin (?:the )?(?:rounds?|rnds?)\b|\b(?:every|each|all|\d+) (?:rounds?|rnds?)\b")
"""Words by which a line without a label tells that it is a round, not a row."""
_ANEW = "it takes all stitches, so that it is begun at the first of them, and not where the row before was turned"
_FULL = "each space of one chain in the row before is taken as a stitch: the row fits with them"
ON_NOTHING = ("fsc", "fdc", "fhdc")
"""Stitches that need nothing to be worked into."""


def work_rows(line: Line, part: int, needle: Needle, working: Working) -> list[Round]:
    """The row of part number `part` of a line, once: one `Round`, or one for each turn of a short row.

    Raises `WorkError` where it does not fit the needle.
    """
    rounds: list[Round] = []
    reading = working.reading
    if line.crochet and not needle.stitches and _in_a_ring(line.parts[part]):
        reading = (*reading, RING_ONLY)
    if line.crochet and line.label.kind == "row" and not needle.flat and _turns_back(line.text.lower()):
        needle = replace(needle, flat=True)
    if line.crochet and _SLIPPED.search(line.text.lower()):
        reading = (*reading, SLIPPED)
    if line.crochet and needle.spaces and _CHAINS_SKIPPED.search(line.text.lower()):
        reading = (*reading, (CHAINS, " ".join(map(str, sorted(set(needle.spaces))))))
    for ops, turn in segments(line, part, working.size, reading):
        chosen = dict(working.reading)
        try:
            hand = _worked(needle, ops, working, turn, whole=not rounds and goes_round(line))
            check_done(
                hand,
                ops,
                turn,
                needles=line.label.needles,
                unworked=line.crochet
                and bool(
                    _leaves(line, hand.left - hand.taken)
                    or _ONE_SIDE.search(line.text.lower())
                    or at_row_ends(line)
                    or _leaves_all(line)
                    or _turns_early(line, hand, working.size)
                    or _turns_on_one_side(line)
                ),
                crochet=line.crochet,
            )
            if chosen.get("line") == "rest" and not hand.worked:
                raise FitError("nothing is left over which the line could be repeated", ops[0].at)
        except FitError as misfit:
            if line.crochet and not rounds and set(needle.spaces) == {1} and not needle.markers:
                full = replace(needle, stitches=needle.stitches + len(needle.spaces), spaces=(), spaced=(), gaps=())
                with suppress(WorkError):
                    return [replace(one, note=_FULL, spaces_left=1) for one in work_rows(line, part, full, working)]
            if needle.behind and not line.crochet and turn is None and not rounds and total(ops).fixed:
                with suppress(WorkError):  # told in numbers over all stitches, after short rows that are left out
                    begun = work_rows(line, part, replace(needle, behind=0, turns=()), working)
                    return [replace(one, note=_ANEW) for one in begun]
            kind = "ambiguous" if misfit.kind == UNTOLD or _joins(line.parts[part]) or _in_blocks(line) else misfit.kind
            if kind == "misfit" and line.crochet and not needle.spaces and _CORNER.search(line.text):
                kind = "unread"
            raise WorkError(misfit.sentence, line.column(misfit.at), kind) from None
        if turn is not None:
            hand.count("", "w&t" if turn.wrap else "turn", 1)
        after = finish(hand, turn, needles=bool(line.label.needles) or (waits(ops) and not hand.flat))
        made = _round(line, needle, after, hand)
        working.book.row_done(made.before, made.after, dict(made.techniques))
        rounds.append(made)
        needle = after
    return rounds


def _leaves(line: Line, left: int) -> bool:
    """Whether a line of crochet says that it leaves what is left, or no number: `leaving last 3 sts unworked`."""
    lower = line.text.lower()
    told = _LEFT_TOLD.search(lower)
    return _LEFT.search(lower) is not None and (told is None or left in {0, *map(int, re.findall(r"\d+", told[1]))})


def _turns_back(lower: str) -> bool:
    """Whether a row of crochet after rounds is turned, and closes none: `Row 5: hdc in next 31 hdc. Ch 2, turn`."""
    return _TURNED.search(lower) is not None and _CLOSES.search(lower) is None


def at_row_ends(line: Line) -> bool:
    """Whether a line of crochet goes along the ends of the rows, where the stitches of the last one stay behind."""
    return line.crochet and any(step.place == "rows" for step in _places(line))


def _leaves_all(line: Line) -> bool:
    """Whether a line of crochet goes along other edges only, so that the stitches of the last row stay behind."""
    places = _places(line)
    return bool(places) and all(step.place in ("rows", "side", "below") for step in places)


def _turns_early(line: Line, hand: Hand, size: int) -> bool:
    """Whether a row of crochet turns after as many stitches as are printed behind it: a strap, a flap, one side.

    Its steps and its count agree, so that what is left over is meant to be; but it is said.
    """
    left = hand.left - hand.taken
    if len(line.parts) > 1 or not left or not _TURNED.search(line.text.lower()) or hand.needle.foundation:
        return False
    early = bool(line.printed) and value(line.printed, size) == hand.made
    if early:
        hand.notes.append(f"it turns with {stitches(left)} left unworked, as the count says")
    return early


def _turns_on_one_side(line: Line) -> bool:
    """Whether a row of crochet that turns was begun behind its first stitches, so that it goes along a part only."""
    rows = [part for part in line.parts if isinstance(part, Rows)]
    return bool(rows) and bool(missed_first(flattened(rows[0].steps))) and _TURNED.search(line.text.lower()) is not None


def goes_round(line: Line) -> bool:
    """Whether a line goes all round, over stitches too that waited while others were worked back and forth."""
    return line.label.kind == "round" or (not line.crochet and _IN_ROUNDS.search(line.text.lower()) is not None)


def _places(line: Line) -> list[Into]:
    return [step for part in line.parts if isinstance(part, Rows) for step in _into(part.steps)] if line.crochet else []


def _into(steps: Sequence[Step]) -> Iterator[Into]:
    for step in flattened(steps):
        if isinstance(step, Repeat):
            yield from _into(step.body)
        elif isinstance(step, Into):
            yield step


def _worked(needle: Needle, ops: Sequence[Op], working: Working, turn: Turn | None, *, whole: bool) -> Hand:
    """A hand that has worked one row; raises `FitError`.

    Where nothing tells where the places lie that a whole row goes to, it is worked without them, if it comes to as many
    stitches wherever they are: `k to marker, ssk, k to end`.
    """
    chosen = dict(working.reading)
    untold: FitError | None = None
    for blind in (False, True):
        hand = Hand(needle, working.book.work, working.held_as)
        hand.loose, hand.blind = chosen.get("loose", ""), blind
        working.book.begin()
        if whole:
            hand.fetch_waiting()
        try:
            if left := int(chosen.get("foundation", "0")):
                hand.take(left, 1, 0, 0, "chain")
            run(hand, ops)
        except FitError as misfit:
            if untold is not None:
                raise untold from None
            if misfit.kind != UNTOLD or turn is not None:
                raise
            untold = misfit
            continue
        if hand.guessed and _beyond_it(ops):
            raise untold or FitError("goes to a marker of which nothing tells where it lies", ops[-1].at, UNTOLD)
        if hand.guessed and (rest := hand.left - hand.taken):
            hand.take(rest, 1, 1, ops[-1].at, hand.fill)
        break
    if untold is not None:
        hand.notes.append("where the places lie to which it goes is not told; the count is the same wherever they are")
    return hand


def _beyond_it(ops: Sequence[Op]) -> bool:
    """Whether a row ends with steps beyond the last place that it goes to, so that its own end is not told."""
    for n, op in reversed([*enumerate(ops)]):
        if isinstance(op, Loop | Pattern) and op.to is not None:
            behind = total(ops[n + 1 :])
            return op.to.place == "marker" and behind.fixed and behind.takes > max(0, op.to.short)
    return False


def _in_blocks(line: Line) -> bool:
    """Whether a line builds block upon block from a corner, which are not counted by their stitches."""
    return line.crochet and _BLOCK.search(line.text.lower()) is not None


def _joins(part: Part) -> bool:
    """Whether stitches of another piece or row are worked, of which only the print tells."""
    return isinstance(part, Rows) and any(
        isinstance(step, Into) and step.place in ("elsewhere", "below") for step in part.steps
    )


def finish(hand: Hand, turn: Turn | None, *, needles: bool = False) -> Needle:
    """The needle as the next row finds it."""
    rest = hand.left - hand.taken
    front = hand.behind + hand.made
    total = front + rest + hand.tail
    marks: list[Marker] = [(place + hand.behind, name) for place, name in hand.passed]
    marks += [(place - hand.taken + front, name) for place, name in hand.ahead]
    marks += [(place + front + rest, name) for place, name in hand.tail_marks]
    side, back, behind = hand.needle.side, hand.needle.back, 0
    if turn is not None:
        flip, behind = True, rest + hand.tail
        back = not back if not hand.flat else False
    elif not hand.worked:
        flip, behind = False, hand.behind
    else:
        flip = hand.flat or back
        back = False
        behind = 0 if flip else (front if hand.tail or (needles and rest) else 0)
    if turn is not None and behind:
        marks.append((front, TURNED))
    if flip:
        marks = [(total - place, name) for place, name in marks]
        side = "WS" if side == "RS" else "RS"
    if not hand.flat and not back:
        side = "RS"
    marked = hand.needle.marked and not hand.flat and ("", "rm") not in hand.counts
    if not hand.flat:
        ends = not rest and hand.passed and hand.passed[-1][0] == hand.made
        marked = marked or bool(ends and hand.counts.get(("", "pm"), 0) > 1)
        marks = [mark for mark in marks if mark[1] == TURNED or 0 < mark[0] < total]  # the round's own beginning
    spaced = [place + hand.behind for place in hand.spaces_at]
    gaps = hand.gaps() if hand.groups else []
    if flip:
        spaced = [total - place for place in reversed(spaced)]
        gaps = [(total - place, wide) for place, wide in reversed(gaps)]
    return Needle(
        stitches=total,
        markers=tuple(sorted(mark for mark in marks if mark[1] != TURNED)) if total and not hand.unmarked else (),
        held=tuple(hand.held),
        flat=hand.flat,
        behind=behind,
        turns=tuple(sorted({place for place, name in marks if name == TURNED and 0 < place < total})),
        side=side,
        colour=hand.colour,
        back=back,
        spaces=tuple(hand.spaces_made[:: -1 if flip else 1]) if hand.worked else hand.needle.spaces,
        spaced=tuple(spaced) if hand.worked else hand.needle.spaced,
        gaps=tuple(gaps) if hand.worked else hand.needle.gaps,
        foundation=hand.foundation and not hand.worked,
        chained=hand.ended,
        marked=marked,
    )


def _round(line: Line, before: Needle, after: Needle, hand: Hand) -> Round:
    names: dict[str, int] = {}
    colours: dict[str, dict[str, int]] = {}
    for (colour, name), count in hand.counts.items():
        names[name] = names.get(name, 0) + count
        if colour:
            of_colour = colours.setdefault(colour, {})
            of_colour[name] = of_colour.get(name, 0) + count
    return Round(
        text=line.text,
        told=line.told,
        before=before.stitches,
        after=after.stitches,
        techniques=tuple(sorted(names.items())),
        times=1,
        needle=after,
        note="; ".join(dict.fromkeys(hand.notes)),
        held=hand.out,
        cast_on=hand.cast_on,
        row=hand.worked,
        by_colour=tuple((colour, tuple(sorted(each.items()))) for colour, each in sorted(colours.items())),
        spaces_left=hand.spaces if hand.spaced and before.spaces and (hand.sought or not before.flat) else 0,
    )


def times_of(line: Line, part: Rows, size: int) -> int:
    """How many rounds a part of a line stands for: `Rounds 4-12`, `Next 4 rounds`, `for 6 rounds`."""
    labelled = 1 if line.label.also else len(line.label.numbers) or 1
    own = [value(each.times, size) for each in line.parts if isinstance(each, Rows)]
    times = value(part.times, size)
    if labelled > 1 and sum(own) == labelled:
        labelled = 1  # "Rounds 1-6: Knit 6 rounds" says it twice
    return labelled * value(line.label.count, size) * times
