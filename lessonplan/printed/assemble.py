"""A reading of a line put in order: rows cut, counts and doubts taken out, slipped stitches joined with what "
"passes them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from lessonplan.printed.heading import Num
from lessonplan.printed.items import EACH, AsNeedle, AtNeedle, Counted, RowCount
from lessonplan.printed.offers.rows import RepeatAll
from lessonplan.printed.offers.steps import FromStar
from lessonplan.printed.risks import doubt_of
from lessonplan.printed.rules.again import ended
from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.rules.search import Found, Passed
from lessonplan.printed.tree import (
    Again,
    Alike,
    BindOff,
    CastOn,
    Charted,
    Colour,
    Even,
    Hold,
    Join,
    Line,
    Mark,
    Part,
    PickUp,
    Repeat,
    Return,
    Rows,
    Shape,
    Spell,
    Step,
    Stitch,
    To,
    Turn,
)
from lessonplan.printed.wholerow import (
    PLAIN,
    at_needle,
    edged,
    fabric,
    of_needles,
    one_plain,
    only_fill,
    own_rows,
    passed_over,
    pieces_joined,
    same_row,
    sentence,
    so_often,
    whole_row,
)
from lessonplan.printed.words.named import LENGTH


def assembled(base: Line, found: Found) -> Line | None:
    """A reading put in order: rows cut, counts and doubts taken out."""
    items = [item for item in found.items if not isinstance(item, Passed | Counted)]
    doubts = tuple(doubt_of(item, base.text) for item in found.items if isinstance(item, Passed))
    printed: Counted | None = None
    change: Counted | None = None
    inside: Counted | None = None
    for item in found.items:
        if isinstance(item, Again) and change is not None and printed is None:
            change = None  # `(= 4 sts decreased), repeat this decrease every 3 cm`: that of one row
        if isinstance(item, Counted):
            if item.per in ("markers", "thumb"):
                inside = item
            elif item.change:
                change = item
            elif item.num or printed is None:
                printed = item
    parts = parts_of(_told_at_markers(found.items, items), base.text)
    parts = ended(parts, base.text)
    if not parts and not printed:
        return None
    label = base.label
    if len(parts) == 1 and label.count != ONE and (rows := _rows_named(parts[0], label.count)):
        parts, label = rows, replace(label, count=ONE)  # `Next 3 rounds: k, p, k`
    moved: Num = () if change is None else tuple(change.change * each for each in change.num)
    needles = tuple(
        item.needles[0] for item in items if isinstance(item, AtNeedle) and item.section and item.needles != EACH
    )
    return replace(
        base, label=replace(label, needles=needles), parts=parts, change=moved,
        printed=printed.num if printed else (),
        printed_column=(printed or change).at + 1 if (printed or change) else 0,  # type: ignore[union-attr]
        per=printed.per if printed else "", tally=printed.tally if printed else (), inside=inside.num if inside else (),
        part=inside.per if inside else "",         cost=found.cost, doubts=doubts,
    )  # fmt: skip


def _told_at_markers(found: Sequence[Any], items: list[Any]) -> list[Any]:
    """`Decrease on each side of all markers (= 8 sts decreased), repeat this`: what one such row comes to."""
    shape: Shape | None = None
    for place, item in enumerate(found):
        shape = item if isinstance(item, Shape) else shape
        again = any(isinstance(each, Again) for each in found[place:])
        if isinstance(item, Counted) and item.change and again and shape is not None and "marker" in shape.where:
            told = replace(shape, where="evenly", count=item.num)
            return [told if each is shape else each for each in items]
    return items


def _rows_named(part: Part, count: Num) -> tuple[Part, ...]:
    """A row for each stitch that is named without a number, if there are as many of them as rows; else ()."""
    steps = part.steps if isinstance(part, Rows) else ()
    named = all(isinstance(step, Stitch) and step.bare and step.name in PLAIN for step in steps)
    if not named or count != (len(steps),):
        return ()
    return tuple(Rows(whole_row((step,)), ONE, step.at) for step in steps)


def parts_of(items: Sequence[Any], text: str) -> tuple[Part, ...]:
    """The rows and repeats of rows that the items of a line make."""
    making = _Parts(items, text)
    return making.done() if all(making.take(item) for item in items) else ()


_LENGTH_FIRST = re.compile(
    r"(?:[^:]{1,30}:\s*)?(?:(?:with|using|in)\s+[\w ]{1,20}?,?\s+)?(?:work|knit|rib|cont\w*)\s+"
    rf"(?:another\s+)?(?:{LENGTH.pattern})",
    re.IGNORECASE,
)
"""A length told before what is worked for it: `Work 6 cm in rib`."""
MOST_AGAIN = 12
"""So often may one line repeat all before it: each time holds the one before, and nobody follows more."""


def _by_needle(item: Repeat) -> bool:
    """Whether what is repeated goes up to the end of a needle."""
    return any(
        isinstance(each, Repeat) and isinstance(each.quantity, To) and each.quantity.place == "needle"
        for each in item.body
    )


class _Parts:
    """The parts of a line as they come: `steps` of the row begun, `sections` of it by needles."""

    def __init__(self, items: Sequence[Any], text: str) -> None:
        self.items = items
        self.text = text
        self.parts: list[Part] = []
        self.begun = False
        self.steps: list[Step] = []
        self.sections: list[tuple[tuple[int, ...], int]] = []
        self.again = 0
        self.within: Shape | None = None
        """A shaping told in the middle of a row that it is spread over: `p to last st inc 6 sts evenly, k1`."""

    def flush(self, count: Num = ONE, *, measured: bool = False) -> None:
        """Make a part of the steps collected so far, worked so many times."""
        steps = self.steps
        if self.sections and steps:
            steps[:] = of_needles(steps, self.sections)
            self.sections.clear()
        if steps:
            self.parts.append(
                Rows(edged(pieces_joined(whole_row(passed_over(steps)), self.text)), count, steps[0].at, measured)
            )
            steps.clear()
        if (within := self.within) is not None:
            self.within = None
            self._of_rows(within)

    def done(self) -> tuple[Part, ...]:
        """Give the parts of the whole line."""
        self.flush()
        first = self.parts[0] if self.parts else None
        if (
            isinstance(first, Rows)
            and all(isinstance(s, Even | Colour) for s in first.steps)
            and _LENGTH_FIRST.match(self.text)
        ):
            self.parts[0] = replace(first, measured=True)
        return tuple(self.parts)

    def take(self, item: Any) -> bool:
        """Whether the next item has a meaning here."""
        match item:
            case AtNeedle(section=True):
                self.sections.append((item.needles, len(self.steps)))
            case AtNeedle() if item.needles == EACH:
                self.sections.append((EACH, sentence(self.steps, item.at, self.text)))
            case AtNeedle():
                at_needle(self.steps, item, self.text)
            case AsNeedle():
                return self._as_needle(item)
            case Repeat(quantity=To(place="end" | "across" | "rest")) if (
                _by_needle(item) and not self.sections and not self.steps
            ):
                self.sections.append((EACH, 0))
                self.steps += item.body
            case FromStar():
                return self._from_star(item)
            case RowCount():
                self._row_count(item)
            case RepeatAll():
                return self._all_again(item)
            case BindOff(method="draw through") if self._drawn():
                pass  # `thread the yarn through the sts, draw up`
            case BindOff(count=None) if self.steps and (
                item.method == "draw through" or re.search(r"\w\w[.)] ", self.text[self.steps[-1].at : item.at])
            ):
                self.flush()
                self.steps.append(item)
            case BindOff() if (
                self.steps
                and _at_its_end(self.steps[-1])
                and (
                    item.count is None
                    or _OF_REST.match(self.text.lower(), item.at)
                    or ". " in self.text[self.steps[-1].at : item.at]
                )
            ):
                self.flush()
                self.steps.append(item)
            case Hold(keep=True, last=False):
                self.flush()
                self.steps.append(item)
            case Shape(where="evenly", spells=(Spell(every=(1,), until=None),)) if self._goes_on():
                self.within = item
            case Again() | Shape() | Charted() | Alike():
                for part in so_often(item, self.parts):
                    self._of_rows(part)
            case Stitch(bare=True) if (rows := self._rows_of(item)) is not None:
                self.parts[-1] = rows
            case _ if self._after_shape() and only_fill(item):
                pass
            case _:
                self.steps.append(item)
        return True

    def _goes_on(self) -> bool:
        """Whether stitches that the last step left over are still to come: it went up to the last ones of the row."""
        last = self.steps[-1] if self.steps else None
        to = last.quantity if isinstance(last, Repeat) else last.to if isinstance(last, Even) else None
        return isinstance(to, To) and to.place == "end" and max(to.short) > 0 and self.within is None

    def _after_shape(self) -> bool:
        """Whether what comes belongs to the rows of a shaping just told, and to no row begun since."""
        return not (self.steps or self.begun) and bool(self.parts) and isinstance(self.parts[-1], Shape)

    def _rows_of(self, item: Stitch) -> Rows | None:
        """The rows just counted, worked in a stitch that is named behind them with nothing between: `2 rows knit`."""
        rows = self.parts[-1] if self.parts and not self.steps else None
        if not isinstance(rows, Rows) or not re.fullmatch(r"\d+ (?:row|rnd|round)s? ", self.text[rows.at : item.at]):
            return None
        return replace(rows, steps=whole_row((item,)))

    def _drawn(self) -> bool:
        last = self.steps[-1] if self.steps else None
        return isinstance(last, BindOff) and last.method == "draw through"

    def _all_again(self, item: RepeatAll) -> bool:
        """Everything before it in the line, but for a chain that a round of crochet begins with, worked again."""
        self.again += 1
        first = self.steps[0] if self.steps else None
        lead = int(len(self.steps) > 1 and isinstance(first, Stitch) and first.name == "ch")
        if self.steps:
            body = tuple(self.steps[lead:])
            self.steps[lead:] = [Repeat(body, item.quantity, body[0].at, kind="line")]
        return self.again <= MOST_AGAIN

    def _as_needle(self, item: AsNeedle) -> bool:
        steps, sections = self.steps, self.sections
        if item.needle:
            return bool(sections) and self._like(item)
        if sections:
            return False
        while steps and isinstance(steps[-1], Turn):
            del steps[-1]  # the work is turned to the other needle, not in the middle of a row
        sections += [((1,), 0), ((2,), len(steps))]
        steps += steps
        return True

    def _like(self, item: AsNeedle) -> bool:
        """The needles named last, worked each like one before it: `Needles 3 and 4: as needles 1 and 2`."""
        steps, *before = self.steps, *self.sections
        starts = [*(start for _, start in before), len(steps)]
        named, wanted = before.pop()[0], (item.needle, *item.others)
        like = [next((n for n, (needles, _) in enumerate(before) if each in needles), None) for each in wanted]
        if None in like or starts[-2] != len(steps) or len(wanted) not in (1, len(named)):
            return False
        self.sections[:] = before
        for needles, n in zip(((each,) for each in named) if item.others else (named,), like, strict=True):
            assert n is not None
            self.sections.append((needles, len(steps)))
            steps += steps[starts[n] : starts[n + 1]]
        return True

    def _from_star(self, item: FromStar) -> bool:
        pair = next((each for each in reversed(self.steps) if isinstance(each, Repeat) and each.kind == "pair"), None)
        if pair is None:
            return False
        self.steps[:] = [replace(each, kind="once") if each is pair else each for each in self.steps]
        self.steps.append(Repeat(pair.body, item.quantity, item.at, kind="once"))
        return True

    def _row_count(self, item: RowCount) -> None:
        steps = self.steps
        self.begun = not item.said
        if not steps and not item.said:
            return
        rows = self.parts[-1] if self.parts else None
        if not steps and item.count is None and isinstance(rows, Rows) and _each_row(self.items, item):
            self.parts[-1] = replace(rows, measured=True)
            return
        if all(isinstance(each, Colour) for each in steps):  # `With MC, work 8 rounds of k2, p2 ribbing`
            steps.append(Even(item.pattern, To("end", NONE, "", item.at), item.at))
        elif item.pattern and only_fill(steps[-1]) and not getattr(steps[-1], "pattern", ""):
            steps[-1] = Even(item.pattern, To("end", NONE, "", item.at), item.at)
        if before := _before(steps, item, self.text):
            rest = steps[before:]
            del steps[before:]
            self.flush()
            steps += rest or [Even("", To("end", NONE, "", item.at), item.at)]
        self.flush(item.count or ONE, measured=item.count is None)
        if item.upto and isinstance(rows := self.parts[-1], Rows):
            self.parts[-1] = replace(rows, measured=False, upto=item.upto, since=item.since)

    def _of_rows(self, item: Part) -> None:
        """A clause about rows of their own, or about how the row before it is worked."""
        told = fabric(self.steps)
        one = len(told) == 1 and not isinstance(told[0], Hold | Return | CastOn | PickUp)
        if isinstance(item, Shape) and one and isinstance(fill := told[0], Even) and own_rows(item):
            item = replace(item, pattern=fill.pattern)  # `Work in st st, inc 1 st at each end of 5th row`
            self.steps.clear()
        elif not (isinstance(item, Shape) and one and same_row(item)):
            self.flush()
        elif only_fill(told[0]):
            self.steps.clear()
        if isinstance(item, Shape) and item.spells[0].every == NONE:
            if not (self.parts and isinstance(self.parts[-1], Shape)):
                return
            item = replace(item, spells=self.parts[-1].spells)  # `on these same rows`
        last = self.parts[-1] if self.parts else None
        if isinstance(item, Shape) and isinstance(last, Shape) and _one_row(last, item, self.text):
            both = tuple(a + b for a, b in zip(last.count, item.count, strict=True))
            self.parts[-1] = replace(item, count=both, at=last.at)
            return
        evenly = isinstance(item, Shape) and item.where == "evenly"
        if evenly and self.parts and one_plain(self.parts[-1]):
            self.parts.pop()
        self.parts.append(item)
        self.begun = False


def _one_row(first: Shape, second: Shape, text: str) -> bool:
    """Whether shapings at places of a round are in one: `dec 1 st at end of needle 1, at each end of needle 2`."""
    once = all(len(each.spells) == 1 and each.where == "evenly" for each in (first, second))
    same = first.action == second.action and len(first.count) == len(second.count)
    if not (once and same and "." not in text[first.at : second.at].replace("st.", "").replace("beg.", "")):
        return False
    spells = first.spells[0], second.spells[0]
    return all(spell.every == ONE and spell.first is None and spell.until is None for spell in spells)


_WORKED = re.compile(r"\b(?:work|cont|continue|proceed)(?: even| straight)?\s*$")


def _before(steps: Sequence[Step], rows: RowCount, text: str) -> int:
    """How many steps stand before the row that is worked so often: a cast-on, or all before `knit 4 rows`."""
    lower, last = text.lower(), steps[-1]
    if all(isinstance(each, Colour | Mark | Join) for each in steps[:-1]) and not isinstance(last, CastOn | PickUp):
        return 0
    apart = not lower.startswith(("for", "over"), rows.at)
    if apart and isinstance(last, Stitch) and last.bare and last.name in PLAIN and lower[last.at :][:1].isalpha():
        return len(steps) - 1  # `[k6, k2tog] repeat, knit next row`
    if rows.count != ONE and apart and _WORKED.search(lower, 0, rows.at):
        return len(steps) if not isinstance(last, Even) else 0
    return int(rows.count != ONE and isinstance(steps[0], CastOn | PickUp))  # `cast on 30 and work 4 rows`


_OF_REST = re.compile(r"(?:bind|cast) off (?:the )?rem|bo (?:the )?rem")


def _at_its_end(step: Step) -> bool:
    """Whether a step takes its row to the end, so that nothing can follow in it: `*k13, k2tog* around, bind off`."""
    to = step.quantity if isinstance(step, Repeat) else None
    return isinstance(to, To) and to.place in ("end", "across") and not max(to.short)


def _each_row(items: Sequence[Any], length: RowCount) -> bool:
    """`Knit every row until it measures 5 cm`: the length is that of the rows just named."""
    place = next(place for place, item in enumerate(items) if item is length)
    before = items[place - 1] if place else None
    return isinstance(before, RowCount) and not before.said
