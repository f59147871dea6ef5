"""The steps of one row as they are worked: a stitch alone fills it, slipped ones join what passes them, edges.

Besides: a row that is one of several told before its colon, and which rows are meant by
`knit 8 rows, increasing 1 st on each`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.printed.heading import Label
from lessonplan.printed.items import EACH, AtNeedle
from lessonplan.printed.rules.grammar import NONE, ONE
from lessonplan.printed.tree import (
    CastOn,
    Colour,
    Even,
    Into,
    Join,
    Line,
    Mark,
    Opposite,
    Part,
    Repeat,
    Rows,
    Shape,
    Spell,
    Step,
    Stitch,
    Times,
    To,
)  # fmt: skip

PLAIN = frozenset({"k", "p", "sc", "hdc", "dc", "tr", "sl", "k1 tbl", "p1 tbl"})


def whole_row(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """`Knit.` alone works the whole row."""
    others = [step for step in steps if not isinstance(step, Colour | Mark | Join)]
    if len(others) == 2 and isinstance(others[1], CastOn):
        others = others[:1]  # `Knit, casting on 3 sts over those bound off`
    only = others[0] if len(others) == 1 else None
    if not isinstance(only, Stitch) or not only.bare or only.name not in PLAIN:
        return steps
    fill = Repeat((replace(only, bare=False),), To("end", NONE, "", only.at), only.at)
    return tuple(fill if step is only else step for step in steps)


_SO_MANY = re.compile(r"(?:work|knit|purl|cont|continue) (\d+)")
_FABRIC = re.compile(
    r"\bin ((?:garter|stockinette|stocking|seed|moss|st|k\d+, ?p\d+)(?: st(?:itch)?| rib)?)\b", re.IGNORECASE
)
_ONE_OF_THEM = re.compile(
    r"\b(?:making|working|placing)\b[^:]*\b(\d+)(?:st|nd|rd|th) (?:row|rnd|round)\b", re.IGNORECASE
)


def so_many(label: Label, text: str) -> Label:
    """`Work 8 rows as follows: k2, p2 to end` is no name of a row, but how often it is worked."""
    found = _SO_MANY.fullmatch(label.name)
    if not found or not label.kind or label.numbers:
        return label
    if one := _ONE_OF_THEM.search(text):
        return replace(label, first=int(one[1]), last=int(one[1]), numbers=(int(one[1]),))
    return replace(label, name="", count=(int(found[1]),))


def among_others(line: Line) -> Line:
    """`Work 6 rows in garter st, making a buttonhole on row 3 as follows: k2, yo, k2tog, k to end`: one of six rows."""
    found, numbers = _SO_MANY.fullmatch(line.label.name), line.label.numbers
    if found is None or len(numbers) != 1 or not 0 < numbers[0] <= int(found[1]) or len(line.parts) != 1:
        return line
    fabric = _FABRIC.search(line.text)
    even = (Even(fabric[1].lower() if fabric else "", To("end", NONE, "", 0), 0),)
    around = [Rows(even, (rows,), 0) if rows else None for rows in (numbers[0] - 1, int(found[1]) - numbers[0])]
    parts = [part for part in (around[0], *line.parts, around[1]) if part]
    return replace(line, label=Label(), parts=tuple(parts))


_SLIPS = frozenset({"sl", "sl1k", "sl1p"})
_PASSED: tuple[tuple[tuple[frozenset[str], int], str, str], ...] = (
    ((_SLIPS, 1), "k", "skp"),
    ((_SLIPS, 1), "k2tog", "sk2p"),
    ((_SLIPS, 2), "k", "s2kp"),
)

_PIECES = re.compile(
    r"\bjoin(?:ing|ed)?\b.*\b(?:first|second|other|1st|2nd|one|both) (?:leg|arm|piece|half|ear|foot|paw)s?\b"
)


def pieces_joined(steps: tuple[Step, ...], text: str) -> tuple[Step, ...]:
    """A round over two pieces of crochet, told in numbers alone: what it makes is what it names."""
    if not _PIECES.search(text.lower()) or not any(
        isinstance(step, Into) and step.place == "elsewhere" for step in steps
    ):
        return steps
    told: list[Step] = []
    for step in steps:
        if isinstance(step, Into) and step.to is None and step.place in ("next", "links", "elsewhere", "base"):
            told.append(replace(step, place="side"))
        elif isinstance(step, Stitch) and step.name in PLAIN:
            told.append(Into((replace(step, count=ONE),), "side", step.count, None, step.at))
        elif isinstance(step, Stitch) and step.name == "ch":
            told.append(step)
        elif not isinstance(step, Opposite | Mark | Colour):
            return steps
    return tuple(told)


def edged(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """A row of crochet that goes on along other edges: what is worked after the first of them goes there too."""
    first = next((n for n, step in enumerate(steps) if isinstance(step, Into) and step.place == "side"), len(steps))
    return (
        *steps[: first + 1],
        *(
            replace(step, place="side") if isinstance(step, Into) and step.to is None and max(step.count) > 0 else step
            for step in steps[first + 1 :]
        ),
    )


def passed_over(steps: Sequence[Step]) -> tuple[Step, ...]:
    """`sl 1, k2tog, psso` as the one technique it is, in nested steps too."""
    done: list[Step] = []
    for step in steps:
        if isinstance(step, Repeat) and (body := passed_over(step.body)) != step.body:
            step = replace(step, body=body)
        done.append(step)
        if not (isinstance(step, Stitch) and step.name in ("psso", "p2sso") and len(done) > 2):
            continue
        first, middle = done[-3], done[-2]
        for (slips, count), between, name in _PASSED:
            fits = isinstance(first, Stitch) and first.name in slips and first.count == (count,)
            if fits and isinstance(middle, Stitch) and (middle.name, middle.count) == (between, ONE):
                done[-3:] = [Stitch(name, ONE, first.at)]
                break
    return tuple(done)


def at_needle(steps: list[Step], item: AtNeedle, text: str) -> None:
    """`k1, ssk at beginning of needle 4`: the sentence begins there, what lies before is worked even."""
    index = sentence(steps, item.at, text)
    if item.needles[0] > 1:
        steps.insert(index, Even("", To("marker", NONE, str(item.needles[0] - 1), item.at), item.at))


def sentence(steps: Sequence[Step], at: int, text: str) -> int:
    """The number of the first step of the sentence in which a place lies."""
    start = max(text.rfind(".", 0, at), text.rfind(";", 0, at))
    return next((place for place, step in enumerate(steps) if step.at > start), len(steps))


def of_needles(steps: Sequence[Step], sections: Sequence[tuple[tuple[int, ...], int]]) -> list[Step]:
    """The steps of each needle, in the order of the needles: `Needles 1 and 3: ... Needles 2 and 4: ...`."""
    found: dict[int, Repeat] = {}
    ends = [*(start for _, start in sections[1:]), len(steps)]
    for (needles, start), end in zip(sections, ends, strict=True):
        body = whole_row(passed_over(steps[start:end]))
        if body and needles == EACH:
            one = Repeat(body, To("needle", NONE, "", body[0].at), body[0].at, "needle")
            return [*steps[:start], Repeat((one,), To("rest", NONE, "", one.at), one.at)]
        if body:
            found.update(
                {n: Repeat(body, To("needle", NONE, str(n), body[0].at), body[0].at, "needle") for n in needles}
            )
    return [*steps[: sections[0][1]], *(found[n] for n in sorted(found))]


def so_often(item: Part, parts: list[Part]) -> tuple[Part, ...]:
    """`Work 5 rows, dec 1 st at neck edge of each row`: the rows are those that are shaped, and those between them.

    Rows behind the last one that is shaped are a part of their own.
    """
    last = parts[-1] if parts else None
    if not isinstance(item, Shape) or not isinstance(last, Rows) or last.measured or not plain_row(last):
        return (item,)
    spell = item.spells[-1]
    if len(item.spells) > 1 or spell.times or spell.until or max(len(last.times), len(spell.every)) > 1:
        return (item,)
    rows, every, lead = last.times[0], spell.every[0], spell.first[0] if spell.first else 0
    if spell.first is not None and every < 2:
        return (item,)  # `dec 4 sts evenly in next rnd`
    often = (rows - lead + every - 1) // every if lead else rows // every if every else 0
    if often < 1:
        return (item,)
    parts.pop()
    times = Times((often,), False, spell.at)
    spells: tuple[Spell, ...]
    if lead:  # the last one has no plain rows of its own behind it
        some = replace(spell, times=replace(times, count=(often - 1,)))
        spells = (some, replace(spell, every=ONE, first=None, times=replace(times, count=ONE)))
    else:
        spells = (replace(spell, times=times),)
    rest = rows - (lead + 1 + every * (often - 1) if lead else every * often)
    shaped = replace(item, spells=spells)
    return (shaped, replace(last, times=(rest,))) if rest else (shaped,)


def plain_row(rows: Rows) -> bool:
    """Whether rows are worked even, or plain from one end to the other: `work 8 rows`, `knit 8 rows`."""
    step = rows.steps[0]
    if isinstance(step, Repeat) and isinstance(step.quantity, To) and len(step.body) == 1:
        step = step.body[0]
    return len(rows.steps) == 1 and (isinstance(step, Even) or (isinstance(step, Stitch) and step.name in PLAIN))


def fabric(steps: Sequence[Step]) -> list[Step]:
    """Steps without the chain that a row of crochet begins with."""
    return [step for step in steps if not (isinstance(step, Stitch) and step.name == "ch")]


def same_row(shape: Shape) -> bool:
    """Whether a shaping says how the row before it in the line is worked, and is no row of its own."""
    once = len(shape.spells) == 1 and shape.spells[0].every == ONE and shape.spells[0].until is None
    return shape.where in ("evenly", "markers") or (shape.action in ("dec", "inc") and once)


def own_rows(shape: Shape) -> bool:
    """Whether a shaping has plain rows of its own, before or between those that it is in."""
    first = shape.spells[0]
    return shape.where not in ("evenly", "markers") and (first.first is not None or first.every not in (ONE, NONE))


def one_plain(part: Part) -> bool:
    """Whether a row is worked plain, so that a shaping spread over it is in that row: `K5, p to last 5 sts, k5`."""
    return isinstance(part, Rows) and part.times == ONE and all(map(plain, part.steps))


def plain(step: Step) -> bool:
    """Whether a step is plain stitches, or rows worked even."""
    if isinstance(step, Repeat):
        return all(map(plain, step.body))
    return isinstance(step, Even) or (isinstance(step, Stitch) and step.name in PLAIN)


def only_fill(step: Step) -> bool:
    """Whether a step after `BO 3 sts at beg of next 2 rows` only says what is done with the rest of the row."""
    return (
        isinstance(step, Even)
        or (isinstance(step, Repeat) and isinstance(step.quantity, To))
        or (isinstance(step, Stitch) and step.bare and step.name in PLAIN)
    )
