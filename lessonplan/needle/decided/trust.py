"""What can be trusted of a line: the counts that it says itself, the words passed over, the error to tell."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.craft.techniques import TALL, chains_high as tall, stands_for
from lessonplan.needle.decided.readings import READINGS, UNUSUAL, unsaid, usual
from lessonplan.needle.ready.ends import flattened, open_chain
from lessonplan.needle.ready.planner import plan
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.needle.stitch.operations import Reading, total
from lessonplan.printed.heading import value
from lessonplan.printed.line import unread
from lessonplan.printed.rules.search import COUNT_PASSED
from lessonplan.printed.tree import (
    Again,
    BindOff,
    CastOn,
    Colour,
    Hold,
    Into,
    Join,
    Line,
    Mark,
    Part,
    PickUp,
    Repeat,
    Rows,
    Shape,
    Step,
    Stitch,
    Times,
    To,
)
from lessonplan.printed.wholerow import plain_row
from lessonplan.printed.words.tokens import plain

FAR = 1.0
"""A reading dearer than the cheapest by this much is not weighed against it."""
FAR_OFF = 1.5 * FAR
"""One dearer by so much needs a count to bear it out: in some 3,000 lines of print no right one was by half of it."""


def times_open(part: Part) -> bool:
    """Whether print leaves open how often rows are worked."""
    if isinstance(part, Again):
        return part.times is not None and unsaid(part.times)
    return isinstance(part, Shape) and any(
        spell.first is not None and spell.times is not None and unsaid(spell.times) and max(spell.every) > 1
        for spell in part.spells
    )


def said(line: Line, size: int) -> int | None:
    """The stitches that a line itself says there are after it."""
    if line.printed and not line.per:
        return value(line.printed, size)
    for part in reversed(line.parts):
        if isinstance(part, Again) and part.until is not None and not part.per:
            return value(part.until, size)
    return None


def comes_to(line: Line, size: int) -> int | None:
    """The stitches that a line comes to from any number, as it says or as its last row tells."""
    told = said(line, size)
    told = _last_row(line, size) if told is None else told
    return goal(line, size) if told is None else told


def _last_row(line: Line, size: int) -> int | None:
    """The stitches that the last of the rows tells: shaped to a count, all bound off, or so many to work on."""
    parts = list(line.parts)
    while len(parts) > 1 and isinstance(parts[-1], Rows) and plain_row(parts[-1]):
        parts.pop()
    last = parts[-1] if parts else None
    if isinstance(last, Shape) and last.where != "markers":
        until = last.spells[-1].until
        return None if until is None else value(until, size)
    if not isinstance(last, Rows) or line.crochet:
        return None
    end, first = last.steps[-1], last.steps[0]
    if isinstance(end, BindOff) and end.count is None and end.method == "BO" and len(last.steps) == 1:
        return 0
    kept = isinstance(first, Hold) and first.keep and not first.last and first.count is not None
    if len(last.steps) == 1 and kept and isinstance(first, Hold) and first.count and min(first.count) > 0:
        return value(first.count, size)
    return None


_AT_THE_END = re.compile(
    r"[\d\s\[\](),/:;.-]+(?:sts?|stitches|[hd]?dc|sc|d?tr|htr)?\.?\s*"
    r"(?:rem\w*|left|in (?:all|total)|total|now|on (?:the |your )?needles?"
    r"|(?:at|by) (?:the )?end of (?:the |this )?r\w* ?\d*)?[\])!.\s]*"
)
_BEFORE_IT = re.compile(r"(?:[.;:=(\[–—-]|have|are|total|leaving|remain|now|:)\s*[(\[]*$")


_GOAL = re.compile(
    r"\b(?:until|till|to)\s+(?:(?:there are|you have|only)\s+)?(\d[\d\s\[\](),/:;-]*?)\s*(?:sts?\b\.?|stitches)?\s*"
    r"(?:(?:are |have )?(?:rem\w*|left))?\.?\s*(?:on (?:the )?needles?)?(?:,? (?:thus )?ending [^.;]*)?[.\s]*$"
)
"""`Shape raglan as on back until 8 sts rem.`: whatever is done, it comes to that."""
_SHAPED = re.compile(r"\b(?:shap|dec|inc|cont|raglan|as\b.*\b(?:back|front|first|other|before|set))")
_PART = re.compile(
    r"[*(\[]|\b(?:needles?|markers?|between|each (?:half|side of)|rep from|(?:k|p|knit|purl) to|cm)\b|\d\s*ins?\b"
)


def goal(line: Line, size: int) -> int | None:
    """The stitches that a line says it goes on to, whatever is not understood of how."""
    match = _GOAL.search(plain(line.text))
    before = plain(line.text)[: match.start()] if match else ""
    if match is None or not _SHAPED.search(before) or _PART.search(before) or "st" not in match[0]:
        return None
    numbers = tuple(map(int, re.findall(r"\d+", match[1])))
    return value(numbers, size) if len(numbers) in (1, line.sizes) else None


def printed_apart(line: Line) -> bool:
    """Whether the count of a line stands at its very end and apart from it, so that it cannot be anything else."""
    if not line.printed:
        since = [part.at for part in line.parts if isinstance(part, Again) and part.until is not None and not part.per]
        last = max((step.at for part in line.parts if isinstance(part, Rows) for step in part.steps), default=-1)
        sure = all(doubt.at < since[0] or doubt.level < 2 for doubt in line.doubts) if since else False
        return sure and last < since[0]  # not `rep from * until 2 sts remain, dc in next 2 sts`
    place = line.printed_column - 1
    return bool(
        _AT_THE_END.fullmatch(plain(line.text)[place:]) and _BEFORE_IT.search(line.text[:place].rstrip().lower())
    )


def with_count(needle: Needle, count: int) -> Needle:
    """A needle of another count, its markers kept where there is room for them."""
    if needle.stitches == count and not needle.spaces:
        return replace(needle, blurred=True)
    marks = tuple(mark for mark in needle.markers if mark[0] < count)
    turns = tuple(place for place in needle.turns if place < count)
    return replace(
        needle,
        stitches=count,
        markers=marks,
        turns=turns,
        behind=min(needle.behind, count),
        spaces=(),
        spaced=(),
        gaps=(),
        blurred=True,
    )


def turned(needle: Needle) -> Needle:
    """The needle after a row that could not be worked."""
    if not needle.flat:
        return needle
    return replace(needle, side="WS" if needle.side == "RS" else "RS", behind=0, turns=())


def borne_out(tree: Line) -> bool:
    """Whether the counts bear out a reading that passes words over; the printed count of the line was checked."""
    if not tree.doubts:
        return True
    level = max(doubt.level for doubt in tree.doubts)
    counted = bool(tree.printed or tree.change)
    if counted:  # it bears out nothing behind it: `(= 8 sts decreased). Repeat this wibble`
        after = [doubt for doubt in tree.doubts if doubt.level > 2 and doubt.at >= tree.printed_column]
        more = any(part.at >= tree.printed_column for part in tree.parts)
        counted = not any(more or (doubt.word.isalpha() and "/" not in tree.text[: doubt.at][-6:]) for doubt in after)
    met = any(isinstance(part, Again) and part.until is not None and not part.per for part in tree.parts)
    return level < 2 or (level == 2 and met) or (level < COUNT_PASSED and counted)


FEW = 8
"""Fewer stitches are used up by many a reading."""
_AGAIN = re.compile(r"\b(?:times|x|twice|more|another|again|each end|both ends)\b|\d\s?x\b")


def needle_bears_out(tree: Line, needle: Needle, size: int) -> bool:
    """Whether a row told in numbers uses up all stitches of a needle, or stitches are cast on where none were."""
    part = tree.parts[0] if len(tree.parts) == 1 else None
    if not isinstance(part, Rows) or part.times != (1,) or max(doubt.level for doubt in tree.doubts) > 2:
        return False
    made = [step for step in part.steps if not isinstance(step, Mark | Join | Colour)]
    if len(made) == 1 and isinstance(made[0], CastOn):
        return not needle.stitches and not needle.held and not _AGAIN.search(tree.text.lower())
    if not fixed(part.steps) or needle.stitches < FEW or tree.crochet:
        return False
    needs = total(plan(part.steps, size, (), tree.chain, crochet=tree.crochet))
    return needs.fixed and needs.takes == needle.stitches


def doubtful(tree: Line, reading: Reading, flat: bool, likeliest: float) -> str:
    """What of a reading needs a count to bear it out, where the line prints none: in words, "doubt", or "".

    `likeliest` is what the cheapest reading costs.
    """
    if tree.printed or tree.change:
        return ""
    if tree.cost > likeliest + FAR_OFF:
        return "not in the likeliest way, which does not fit"
    rare = [
        READINGS[subject][choice]
        for subject, choice in reading
        if subject == "foundation" or (subject in UNUSUAL and choice != usual(subject))
    ]
    if not rare and (choice := open_chain(tree, flat)):
        rare = [READINGS["chain"][choice]]
    if rare:
        return ", ".join(rare)
    if ("line", "rest") in reading and ("inc", "0/1") in reading:
        return ", ".join((READINGS["inc"]["0/1"], READINGS["line"]["rest"]))
    if chain_open(tree):
        return READINGS["chain"]["counts" if _chain(tree) > 2 else "not"]
    exact = all(isinstance(part, Rows) and fixed(part.steps) for part in tree.parts)
    return "doubt" if any(doubt.level for doubt in tree.doubts) and not exact else ""


def _without_ring(tree: Line) -> tuple[Step, ...]:
    """The steps of the first row of a line but for the words that only name a ring or the yarn."""
    steps = next((part.steps for part in tree.parts if isinstance(part, Rows)), ())
    ring = (isinstance(step, Into) and step.place == "new" and not step.body for step in steps)
    return tuple(
        step for step, only in zip(steps, ring, strict=True) if not only and not isinstance(step, Colour | Mark)
    )


def _chain(tree: Line) -> int:
    """How many chains a row of crochet begins with, of which nothing is said (0: none, or it is said)."""
    steps = _without_ring(tree)
    first = steps[0] if steps else None
    silent = tree.crochet and not tree.chain and len(steps) > 1
    return min(first.count) if silent and isinstance(first, Stitch) and first.name == "ch" else 0


def chain_open(tree: Line) -> bool:
    """Whether the next stitches come to another count by whether the turning chain counts, and nothing tells."""
    height = _chain(tree)
    if height < 2:
        return False
    then = _without_ring(tree)[1]
    if isinstance(then, Repeat) and then.quantity is None:
        then = then.body[0]
    if isinstance(then, Stitch):
        return height > 2 and tall(then.name) == height + 1  # too low for its stitch, so that custom does not tell
    if not isinstance(then, Into):
        return False
    several = height > 2 and then.to is not None and sum(max(each.count) for each in then.body) > 1
    return several or (height == 2 and then.place == "same")


def skip_open(tree: Line) -> str:
    """How chains left below a first stitch are taken that may be one, or not, in words; "" if told or custom.

    `Ch 3, 7 hdc in 3rd ch from hook`: two chains are as high as a half double, and too low for a double.
    """
    if tree.chain or tree.top or tree.printed or tree.change:
        return ""
    steps = [step for part in tree.parts if isinstance(part, Rows) for step in flattened(part.steps)]
    into = next((step for step in steps[:2] if isinstance(step, Into)), None)
    if into is not None and into.place == "space" and into.count != (-1,) and into.body and _chain(tree) > TALL:
        return "not" * (tall(into.body[0].name) < TALL)  # `ch 6, sc in first loop`
    if into is None or into.place != "skip" or not into.body:
        return ""
    left, high = max(into.count), tall(into.body[0].name)
    first, ring = steps[0], into.to is None and len(steps) == 2
    chain = max(first.count) if ring and isinstance(first, Stitch) and first.name == "ch" else left
    either = left > 1 and (left == high < TALL or left == high - 1)
    return ("counts" if stands_for(chain, high) else "not") * either


def fixed(steps: Sequence[Step]) -> bool:
    """Whether a row says in numbers how it comes to its end, with no fill that would take up whatever is left."""
    last = steps[-1]
    if isinstance(last, BindOff) and last.count is None and len(steps) == 1:
        return True  # nothing is left, whatever is said of how it is done
    made = [step for step in steps if not isinstance(step, Mark | Join | Colour)]
    several = len(steps) > 1 or isinstance(last, CastOn)
    return (
        several
        and bool(made)
        and all(
            isinstance(step, Stitch | PickUp | CastOn)
            or (isinstance(step, Into) and step.to is None and step.place in ("next", "base"))
            or (isinstance(step, Repeat) and isinstance(step.quantity, Times))
            for step in made
        )
    )


def told_in_full(steps: Sequence[Step]) -> bool:
    """Whether a row is one bracket with how often it is worked: `(1 sc, inc) x 6`."""
    only = steps[0] if len(steps) == 1 else None
    return isinstance(only, Repeat) and only.kind == "group" and isinstance(only.quantity, Times)


def may_vary(steps: Sequence[Step]) -> bool:
    """Whether steps can be read to take another number of stitches."""
    return any(isinstance(step, Repeat) and (step.kind == "star" or isinstance(step.quantity, To)) for step in steps)


def unread_word(tree: Line) -> WorkError:
    """The error for a reading whose words passed over nothing bears out."""
    doubt = max(tree.doubts, key=lambda each: each.level)
    return WorkError(unread(doubt.word), tree.column(doubt.at), "unread")


def worst(errors: Sequence[tuple[Line, WorkError]]) -> WorkError:
    """The error to tell: that of the cheapest reading, but a word that was not read is the likelier cause."""
    tree, error = errors[0]
    if tree.doubts and error.kind != "follows":
        return unread_word(tree)
    agree = [failed for each, failed in errors if failed.kind == "disagrees" and each.cost < tree.cost + FAR]
    return agree[0] if agree and error.kind == "misfit" else error
