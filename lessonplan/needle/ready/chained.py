"""Whether the chains at the beginning of rows are stitches, as the lines of a piece and its notes tell it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonplan.needle.ready.ends import first_chain, flattened
from lessonplan.printed.heading import value
from lessonplan.printed.tree import Into, Line, Rows
from lessonplan.printed.words.tokens import plain
from lessonplan.printed.words.turning import notes_said


def chains_said(lines: Sequence[Line | None], notes: Sequence[tuple[int, str]] = ()) -> list[Line | None]:
    """Lines with what was said before of a chain as long as theirs, where they say nothing themselves.

    `notes` are what the pattern says of chains beside its lines, as `notes_said` gives it.
    """
    known, found = dict(notes), list[Line | None]()
    for line in lines:
        if line is not None and line.crochet and not line.parts:
            known.update(notes_said(plain(line.text)))
        chain = first_chain(line) if line is not None and line.crochet else 0
        if chain not in known and (chain > 1 or known.get(0) == "not") and 0 in known:
            known[chain] = known[0]
        if line is not None and chain > 1 and line.chain == "joined":
            known.setdefault(chain, "counts")
        elif line is not None and chain and line.chain in ("counts", "not"):
            known[chain] = line.chain
        elif line is not None and chain in known and not line.chain:
            others = tuple(replace(each, chain=known[chain]) for each in line.others)
            line = replace(line, chain=known[chain], others=others)
        found.append(line)
    if not any(line is not None and line.crochet for line in found[:1]):
        return found
    return [_stands_below(line, after) for line, after in zip(found, (*found[1:], None), strict=True)]


def _places(line: Line) -> Iterator[Into]:
    for part in line.parts:
        for step in flattened(part.steps) if isinstance(part, Rows) else ():
            if isinstance(step, Into):
                yield step


def _stands_below(line: Line | None, after: Line | None) -> Line | None:
    """A first row whose chains left are a stitch, since the row after it ends in their top."""
    if line is None or after is None or line.chain or line.printed or not (line.crochet and after.crochet):
        return line
    first, last = next(_places(line), None), [*_places(after)][-1:]
    left = first is not None and first.place == "skip" and value(first.count, 0) > 1
    if not left or not last or last[0].place != "edge" or after.chain == "not":
        return line
    return replace(line, chain="counts", others=tuple(replace(each, chain="counts") for each in line.others))
