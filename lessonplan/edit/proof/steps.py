"""Steps said one after the other, “knit two, slip one, knit one”, held against the printed lines of the segment.

What is said is right where it stands so in a line, round about where the line repeats; where only its order is another
one, its words are swapped. What has other steps than any line is left to those who judge single numbers.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import cycle, islice, pairwise

from lessonplan.edit.speech.numbers import COUNTS, words_in

_STEP = re.compile(
    r"(?P<ssk>\bssk\b|\bslip slip knit\b|\bs s k\b)"
    r"|(?P<tog>\b(?P<togverb>knit|purl|k|p) ?(?P<togcount>two|three|2|3|to|too) ?tog(?:ether)?\b)"
    r"|(?P<m1>\b(?:m1|make (?:one|a|1))(?: ?(?P<side>l|r|left|right))?\b)"
    r"|(?P<verb>\b(?:knit|purl|slip|pearl))\b(?:(?: the (?:first|next))? (?P<count>one|two|three|four|five|six|seven"
    r"|eight|nine|ten"
    r"|eleven|twelve|"
    r"thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen|twenty(?: \w+)?|to|too|for|won|ate|\d+)\b)?"
)
_HEARD = {**COUNTS, "to": 2, "too": 2, "for": 4, "won": 1, "ate": 8}
_PRINTED = re.compile(
    r"(?P<ssk>\bssk\b)|(?P<tog>\b(?P<togverb>k|p)(?P<togcount>[23])tog\b)|(?P<m1>\bm1(?P<side>[lr])?\b)"
    r"|\b(?P<verb>k|p|sl)(?:(?P<count> ?\d+)\b(?: \((?P<more>[\d, ]+)\))?|\b)(?! ?wise)"
)
_OWN = re.compile(r"(?:\([^)]*\)|[^,(])*")
"""The words that belong to a step, up to a comma that is in no brackets."""
_VERBS = {"knit": "k", "purl": "p", "pearl": "p", "slip": "sl"}
STEPS = {"knit": "k", "purl": "p", "slip": "sl"}
"""The steps as lines print them, by the units of quantities."""
_BETWEEN = 6
"""So many words lie between two steps of one telling at most."""
_FREE = frozenset(
    words_in(
        "and then so now the a it its at to end next again with in front back yarn as if comes you i we last three "
        "marker across all over other side thing one stitch stitches until before um uh plain go just that there of "
        "each first"
    )
)

Step = tuple[str, int]
"""A kind of step, as lines print it, and how many; none (0) where it goes on to some place."""


@dataclass(frozen=True, slots=True)
class Line:
    """The steps of a printed line, or of the part of it that is repeated; ``again``: it begins anew at its end.

    ``printed``: each step as it stands there (“k to 1 st before marker”), and what stands behind it (“, sm, ”).
    """

    steps: tuple[Step, ...]
    again: bool
    printed: tuple[tuple[str, str], ...]

    def text(self, first: int, count: int) -> str:
        """The line as printed from a step on, over so many steps, round about where it repeats."""
        *others, (last, _) = islice(cycle(self.printed), first, first + count)
        return "".join(own + (between or ", ") for own, between in others) + last


@dataclass(frozen=True, slots=True)
class Told:
    """Steps said one after the other: each with the words it stands in."""

    steps: tuple[Step, ...]
    spans: tuple[tuple[int, int], ...]


def lines_of(texts: Iterable[str]) -> tuple[Line, ...]:
    """Read printed lines into their steps, each once; a count by size gives a line for each."""
    return tuple(dict.fromkeys(line for text in texts for line in _lines_in(text.lower())))


@lru_cache(1024)
def _lines_in(text: str) -> tuple[Line, ...]:
    found = dict[Line, None]()
    for part in re.split(r"[*\[\]]", text):
        again = f"*{part}*" in text or f"[{part}]" in text or f"*{part}" in text
        sizes = [len((one["more"] or "").split(",")) + 1 for one in _PRINTED.finditer(part)]
        for size in range(max(sizes, default=0)):
            steps = tuple(_printed(part, size))
            if len(steps) > 1:
                found[Line(steps, again, _as_printed(part))] = None
    return tuple(found)


def _as_printed(text: str) -> tuple[tuple[str, str], ...]:
    """Each step with the words that belong to it, up to a comma, and what stands between it and the next one."""
    text = text.partition("; rep")[0]
    places = [(one.start(), one.end()) for one in _PRINTED.finditer(text)]
    found = []
    for (start, end), (then, _) in pairwise((*places, (len(text), 0))):
        own = _OWN.match(text[end:then])
        words = (own[0] if own else "").rstrip(" .;")
        found.append((text[start:end] + words, text[end + len(words) : then] if then < len(text) else ""))
    return tuple(found)


def _printed(text: str, size: int) -> Iterator[Step]:
    for one in _PRINTED.finditer(text.partition("; rep")[0]):
        if one["ssk"]:
            yield "ssk", 1
        elif one["tog"]:
            yield f"{one['togverb']}{one['togcount']}tog", 1
        elif one["m1"]:
            yield f"m1{one['side'] or ''}", 1
        else:
            each = [one["count"] or "0", *(one["more"] or "").split(",")]
            yield one["verb"], int(each[size] if size < len(each) and each[size].strip() else each[0])


def told_in(words: Sequence[str]) -> Iterator[Told]:
    """Give the runs of steps in what was said."""
    text = " ".join(words)
    places = {0: 0}
    at = 0
    for number, word in enumerate(words, 1):
        at += len(word) + 1
        places[at] = number
    steps = list[tuple[Step, int, int]]()
    for one in _STEP.finditer(text):
        first = places[one.start()]
        end = places.get(one.end() + 1, len(words))
        steps.append((_spoken(one), first, end))
    run = list[tuple[Step, int, int]]()
    for step in steps:
        between = words[run[-1][2] : step[1]] if run else ()
        if run and (len(between) > _BETWEEN or not _FREE.issuperset(between)):
            yield from _run(run)
            run = []
        run.append(step)
    yield from _run(run)


def _run(run: Sequence[tuple[Step, int, int]]) -> Iterator[Told]:
    run = list(run)
    for at in range(len(run) - 1, 0, -1):
        (verb, count), first, _ = run[at - 1]
        if run[at][0][0] == verb and 0 in (count, run[at][0][1]):  # “slip knit knit knit”
            run[at - 1 : at + 1] = [((verb, max(count, 1) + max(run[at][0][1], 1)), first, run[at][2])]
    if len(run) > 1:
        yield Told(tuple(one[0] for one in run), tuple((one[1], one[2]) for one in run))


def _spoken(one: re.Match[str]) -> Step:
    if one["ssk"]:
        return "ssk", 1
    if one["tog"]:
        return f"{one['togverb'][0]}{3 if one['togcount'] in ('three', '3') else 2}tog", 1
    if one["m1"]:
        return f"m1{(one['side'] or ' ')[0].strip()}", 1
    said = one["count"] or ""
    return _VERBS[one["verb"]], int(said) if said.isdigit() else _HEARD.get(said, 0 if not said else 20)


def swapped_steps(words: Sequence[str], lines: Sequence[Line]) -> Iterator[tuple[int, int, str]]:
    """Find steps said in another order than that of any line: first word, end, and what is right."""
    yield from _begun_alone(words, lines)
    for told in told_in(words) if lines else ():
        begun = _begun(told, words, lines)
        if begun:
            yield told.spans[0][0], told.spans[min(2, len(told.spans)) - 1][1], begun
            continue
        if len(told.steps) == 2 and _counts_exchanged(told.steps, lines):
            yield told.spans[0][0], told.spans[1][1], "each with the count of the other"
            continue
        if len({*told.steps}) < 2 or any(stands(told.steps, line) for line in lines):
            continue
        exchanged = _exchanged(told.steps, lines)
        if exchanged:
            yield *told.spans[exchanged[0]], exchanged[1]
            continue
        counted = [at for at, step in enumerate(told.steps) if step[1]]  # “knit across” is between all others
        steps = [told.steps[at] for at in counted]
        for first, last in _windows(steps):
            some = steps[first:last]
            right = next((found for line in lines if (found := _other_order(some, line))), None)
            if right and not any(stands(some, line) for line in lines):
                yield told.spans[counted[first]][0], told.spans[counted[last - 1]][1], right
                break


_BEGINS = re.compile(
    r"\b(?:close the ring|begins?|starts?|starting|beginning|first|marker|the way (?:a?round)"
    r"|all (?:the way )?a?round|round and round"
    r"|to the end|repeat|over and over)\b"
)


def _begun(told: Told, words: Sequence[str], lines: Sequence[Line]) -> str:
    """Give the repeat as printed, where it is told from its beginning and with another one."""
    repeats = [line for line in lines if line.again]
    if not repeats:
        return ""
    first, last = told.spans[0][0], told.spans[-1][1]
    near = " ".join((*words[max(0, first - 6) : first], "#", *words[last : last + 8]))
    size = len(repeats[0].steps)
    if re.search(r"\bmatter|\bwhichever|\beither\b|\bsame thing\b|\bcomes to the same\b", near):
        return ""
    whole = len(told.steps) % size == 0 and any(stands(told.steps, line) for line in repeats)
    if not whole or not _BEGINS.search(near) or any(_like(told.steps[0], line.steps[0]) for line in lines):
        return ""
    return repeats[0].text(0, size)


_WITH = re.compile(
    r"\b(?:(?:starts?|begins?)|(?P<ends>ends?|finish(?:es)?)) (?:[\w']+ ){0,3}with (?:a |an |the )?(?:one |two "
    r"|three |2 |1 )?(?P<verb>knit|purl|pearl"
    r"|slip(?! knot| knit))s?\b"
)


def _begun_alone(words: Sequence[str], lines: Sequence[Line]) -> Iterator[tuple[int, int, str]]:
    """Find a line said to begin with another stitch than any does: “every round starts with two purls”."""
    ends = {True: {line.steps[-1][0] for line in lines if line.again}}
    ends[False] = firsts = {line.steps[0][0] for line in lines if line.again}
    text = " ".join(words)
    for one in _WITH.finditer(text) if firsts else ():
        right = ends[one["ends"] is not None]
        if _VERBS[one["verb"]] not in right:
            first = len(text[: one.start()].split())
            yield first, first + len(one[0].split()), " or ".join(sorted(right))


_MIRROR = {"m1l": "m1r", "m1r": "m1l", "ssk": "k2tog", "k2tog": "ssk", "k": "p", "p": "k"}


def _exchanged(steps: Sequence[Step], lines: Sequence[Line]) -> tuple[int, str] | None:
    """Give the one step that would be right were it the other of its kind: an ssk for a k2tog, purl for knit."""
    freed = [(kind, 0 if kind in "kp" else count) for kind, count in steps]
    counts_alone = len(steps) == 2 and any(stands(freed, line) for line in lines)  # “knit two, make one left”
    for at, (kind, count) in enumerate(steps):
        other = _MIRROR.get(kind)
        mixed = {*(step[0] for step in steps)} & {"ssk", "k2tog", "m1l", "m1r"} and len(steps) > (1 if count else 3)
        if other is None or (kind in "kp" and not (mixed or "sl" in {*(step[0] for step in steps)})):
            continue
        changed = [*steps[:at], (other, count), *steps[at + 1 :]]
        if counts_alone and kind not in "kp":
            continue
        if any(stands(changed, line) and {*changed} - {("k", 0), ("p", 0)} for line in lines):
            return at, _worded((other, count))
    return None


def _counts_exchanged(steps: Sequence[Step], lines: Sequence[Line]) -> bool:
    """Whether two steps would be right, had each the count of the other: “slip three, knit one”."""
    (one, count), (other, more) = steps
    return 0 < count != more > 0 and any(stands(((one, more), (other, count)), line) for line in lines if line.again)


def _windows(steps: Sequence[Step]) -> Iterator[tuple[int, int]]:
    for length in range(len(steps), 2, -1):
        for first in range(len(steps) - length + 1):
            if len({*steps[first : first + length]}) > 1:
                yield first, first + length


def _like(said: Step, printed: Step) -> bool:
    return said[0] == printed[0] and (0 in (said[1], printed[1]) or said[1] == printed[1])


def stands(steps: Sequence[Step], line: Line) -> bool:
    """Whether steps stand so in a line: one after the other where it repeats, in their order where it does not."""
    if line.again:
        starts = [start for start, step in enumerate(line.steps) if _like(steps[0], step)]
        return any(all(map(_like, steps, islice(cycle(line.steps), start, None))) for start in starts)
    left = iter(line.steps)
    return all(any(_like(step, other) for other in left) for step in steps if step[1])


def _other_order(steps: Sequence[Step], line: Line) -> str:
    """Give the part of a line, as printed, that is these steps in another order: mirrored, or turned about."""
    count = len(line.steps)
    around = [at % count for at in range(2 * count)] if line.again else [at for at in range(count) if line.steps[at][1]]
    for start in range(len(around) - len(steps) + 1):
        window = around[start : start + len(steps)]
        left = [line.steps[at] for at in window]
        for step in steps:
            match = next((other for other in left if _like(step, other)), None)
            if match is None:
                break
            left.remove(match)
        else:
            return line.text(window[0], len(steps) if line.again else window[-1] - window[0] + 1)
    return ""


def _worded(step: Step) -> str:
    kind, count = step
    return f"{kind}{count}" if kind in ("k", "p", "sl") and count else kind
