"""What is ambiguous in print, decided by the counts: every reading of a row is worked, the cheapest first."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from lessonplan.needle.decided.compare import as_counted, check_printed, times_at_markers, with_gaps
from lessonplan.needle.decided.line import Round, Working, times_of, work_rows
from lessonplan.needle.decided.results import join_runs, rows_in
from lessonplan.needle.ready.ends import begins_with_chain, flattened, misses_one
from lessonplan.needle.ready.patterns import MOST_ROWS
from lessonplan.needle.ready.planner import CABLE, clause_end, ends_with_times
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.needle.stitch.operations import Reading
from lessonplan.printed.tree import (
    BindOff,
    CastOn,
    Colour,
    Even,
    Hold,
    Into,
    Line,
    Repeat,
    Rows,
    Step,
    Stitch,
    Times,
    To,
    Turn,
)

READINGS: dict[str, dict[str, str]] = {
    "times": {
        "more": "the repeat is worked once and then that many times more",
        "total": "the repeat is worked that many times in all",
    },
    "clause": {
        "all": "the steps before “to end” are repeated together",
        "last": "only the last step before “to end” is repeated",
    },
    "inc": {"1/2": "each inc uses a stitch", "0/1": "each inc is made between stitches and uses none"},
    "yf": {
        "by": "yf makes a new stitch only before a knit one",
        "0/0": "yf only brings the yarn forward",
        "0/1": "yf makes a new stitch",
    },
    "bo": {
        "counted": "the stitch left after binding off is the first of the next ones",
        "extra": "the stitch left after binding off is not one of the next ones",
    },
    "pair": {"rest": "what stands between the asterisks is repeated", "once": "it is worked once"},
    "group": {"once": "the bracket is worked once", "rest": "the bracket is repeated to the end"},
    "inner": {
        "last": "only the last step in the bracket is worked so often",
        "all": "all steps in the bracket are worked so often",
    },
    "line": {"once": "the line is worked once", "rest": "the line is repeated to the end"},
    "RLI": {"0/1": "RLI uses no stitch", "1/2": "RLI includes the stitch that it is lifted beside"},
    "LLI": {"0/1": "LLI uses no stitch", "1/2": "LLI includes the stitch that it is lifted beside"},
    "cable": {
        "all": "the number of a cable counts all its stitches",
        "half": "the number of a cable counts the stitches of one side",
    },
    "co": {"on": "CO means cast on", "off": "CO means cast off, as in some British books"},
    "chain": {
        "counts": "the turning chain counts as the first stitch",
        "not": "the turning chain does not count as a stitch",
    },
    "foundation": {
        "0": "every chain is worked into",
        "1": "the first chain is left, for the height of the row",
        "2": "the first two chains are left, for the height of the row",
    },
    "missed": {
        "next": "the stitch missed is the one after that below the turning chain",
        "base": "the stitch missed is the one below the turning chain",
    },
    "loose": {
        "": "the repeats come out even",
        "cut": "the last repeat is cut off where the stitches end",
        "borrowed": "the last repeat borrows the first stitch of the next round",
    },
}
"""Subject, its readings (the usual one first) and what each means, in words."""
BORROWED = ("loose", "borrowed")
_OPEN = ("times", "clause", "inc", "yf", "bo", "pair", "group", "inner", "line")
_LAST_RESORT = ("RLI", "LLI", "cable", "co", "chain", "missed", "loose")
_PRICES = {
    "times": 0.0,
    "bo": 0.0,
    "clause": 0.4,
    "inc": 0.5,
    "yf": 0.5,
    "pair": 0.6,
    "group": 0.6,
    "inner": 0.6,
    "line": 0.8,
    "foundation": 0.3,
}
"""What it costs to read a subject in another than its usual way; the last resorts cost more."""
_TIMES_IN_ALL = 0.2
"""In crochet `rep from * twice` is twice more (common practice; all 17 in print of ten hands) if nothing tells."""
_RARE_PRICE = 1.2
UNUSUAL = frozenset({"cable", "co", "chain", "foundation"})
"""Subjects whose unusual reading needs a count to bear it out."""
MOST_READINGS = 32


@dataclass(frozen=True, slots=True)
class Outcome:
    """A line worked in one reading: run-length coded rounds, the needle after, what it cost, the patterns' state.

    `tree` is the reading of the print, `reading` the choices made in it; `chosen` tells whether another was possible.
    """

    tree: Line
    reading: Reading
    rounds: tuple[Round, ...]
    needle: Needle
    state: tuple[object, ...]
    cost: float
    chosen: bool = False

    @property
    def note(self) -> str:
        """What is said of the reading where there was a choice."""
        said = [READINGS[subject][choice] for subject, choice in self.reading]
        return "read so that the counts agree: " + ", ".join(said) if said and self.chosen else ""

    @property
    def meaning(self) -> str:
        """The reading in words."""
        return ", ".join(READINGS[subject][choice] for subject, choice in self.reading)


@lru_cache(maxsize=4096)
def subjects(line: Line) -> tuple[str, ...]:
    """What is ambiguous in a line, of the keys of `READINGS`."""
    rows = [part for part in line.parts if isinstance(part, Rows)]
    found = {subject for part in rows for subject in _subjects(part.steps)}
    if len(rows) == 1 == len(line.parts) and _may_be_repeated(rows[0].steps) and not _whole_row(line, rows[0]):
        found.add("line")
    if line.crochet:
        found |= {"missed"} if any(misses_one(part.steps) for part in rows) else set()
        found -= {"inc"}
        found |= {"chain"} if line.chain in ("", "joined") else set()
    return tuple(subject for subject in READINGS if subject in found)


def _whole_row(line: Line, rows: Rows) -> bool:
    """Whether a row begins with `Knit` and no number, or names its first or last stitch: it is told whole."""
    first, told = next((step for step in rows.steps if not isinstance(step, Colour)), rows.steps[0]), line.text.lower()
    named = isinstance(first, Stitch) and first.bare and told.startswith(("knit", "purl"), first.at)
    return named or any(each in told for each in ("in last st", "in first st"))


def _may_be_repeated(steps: Sequence[Step]) -> bool:
    """Whether a row says nothing of where it ends, so that it may be meant to be repeated."""
    steps = [step for step in steps if not isinstance(step, Colour)]
    return len(steps) > 1 and all(
        isinstance(step, Stitch) or (isinstance(step, Repeat) and isinstance(step.quantity, Times)) for step in steps
    )


def _subjects(steps: Sequence[Step]) -> Iterator[str]:
    for index, step in enumerate(steps):
        if isinstance(step, Repeat):
            if step.kind in ("star", "line") and isinstance(step.quantity, Times) and unsaid(step.quantity):
                yield "times"
            if (
                step.quantity is None
                and step.kind in ("pair", "group")
                and not any(isinstance(each, Turn) for each in step.body)
            ):
                yield step.kind
            if step.kind == "group" and step.quantity is None and ends_with_times(step.body):
                yield "inner"
            if (
                isinstance(step.quantity, To)
                and step.quantity.place in ("end", "across", "rest")
                and len(step.body) > 1
            ):
                yield "loose"
            if clause_end(step, steps[:index]):
                yield "clause"
            yield from _subjects(step.body)
        elif isinstance(step, Stitch) and step.name in ("inc", "yf", "RLI", "LLI"):
            yield step.name
        elif isinstance(step, Stitch) and CABLE.fullmatch(step.name):
            yield "cable"
        elif isinstance(step, CastOn) and step.short and not any(isinstance(each, Hold) for each in steps):
            yield "co"  # over stitches that are put aside none are cast off
        elif isinstance(step, BindOff) and step.count and index + 1 < len(steps):
            after = steps[index + 1]
            if (isinstance(after, Stitch) and not after.more) or (isinstance(after, Even) and after.to.place == "over"):
                yield "bo"


def usual(subject: str) -> str:
    """The usual reading of a subject."""
    return next(iter(READINGS[subject]))


def unusual(reading: Reading) -> Reading:
    """What of a reading is otherwise than usual, but for how often something is repeated and how the last one ends."""
    meant = (each for each in reading if each[0] not in ("times", "loose"))
    return tuple((subject, choice) for subject, choice in meant if choice != usual(subject))


def unsaid(times: Times) -> bool:
    """Whether print leaves open if so many times are meant in all, or more; "once" always means once more."""
    return times.more is None and max(times.count) > 1


def outcomes(line: Line, needle: Needle, working: Working) -> list[Outcome]:
    """Every reading of a line of rows that works out on a needle and agrees with the counts printed after it.

    The cheapest comes first; one outcome if all come to the same. Raises the `WorkError` of the usual reading, with the
    others named, if none works out.
    """
    here = tuple(s for s in subjects(line) if s != "co" or not working.casts_on)
    open_ = [subject for subject in here if subject in _OPEN]
    if needle.foundation and needle.flat and line.crochet and not _says_where(line):
        open_.append("foundation")
    error, found = _try(line, needle, working, _product(open_))
    if not found:
        told = bool(line.printed or line.change)
        loose = told or working.loose or "moving marker" in line.text.lower()
        rare = [s for s in here if s in _LAST_RESORT and (s != "loose" or loose) and (s != "cable" or told)]
        if rare:
            more = _product([*open_, *rare])
            if line.crochet:
                more = [
                    each for each in more if _rarities(each) < 2 and not (BORROWED in each and begins_with_chain(line))
                ]
            found = _try(line, needle, working, more)[1]
        if not found:
            assert error is not None
            if "cable" in here and not told and _try(line, needle, working, _product([*open_, "cable"]))[1]:
                wider = f"; it would fit if {READINGS['cable']['half']}"
                raise WorkError(error.sentence + wider, error.column, "ambiguous", error.needle)
            raise WorkError(error.sentence + _in_no_reading(open_), error.column, error.kind, error.needle)
    distinct, meant = _distinct(found), times_at_markers(line, needle, working.size) if found[1:] else ""
    distinct = [each for each in distinct if ("times", meant) in each.reading] or distinct
    chosen = (error is not None and (bool(open_) or bool(here))) or len(distinct) > 1
    return [replace(each, chosen=True) for each in distinct] if chosen else distinct


def _says_where(line: Line) -> bool:
    """Whether a row into a foundation chain tells in which chain it begins, or is worked into a ring."""
    if "hook" in line.text.lower():
        return True
    steps = [step for part in line.parts if isinstance(part, Rows) for step in flattened(part.steps)]
    ring = any(isinstance(step, Into) and step.place == "new" for step in steps)
    return (
        not steps
        or ring
        or any(
            (isinstance(step, Into) and (step.place == "skip" or not step.body))
            or (isinstance(step, Stitch) and step.name == "sk")
            for step in steps[:2]
        )
    )


def _product(names: Sequence[str]) -> list[Reading]:
    choices = [[(subject, choice) for choice in READINGS[subject]] for subject in names]
    product = [tuple(chosen) for chosen in itertools.islice(itertools.product(*choices), 4 * MOST_READINGS)]
    return sorted(product, key=price)[:MOST_READINGS]


def _rarities(reading: Reading) -> int:
    """How many subjects are read in a rare way."""
    return sum(subject in _LAST_RESORT and choice != usual(subject) for subject, choice in reading)


def price(reading: Reading) -> float:
    """What the choices of a reading cost over the usual ones."""
    return sum(
        _PRICES.get(subject, _RARE_PRICE) for subject, choice in reading if choice != next(iter(READINGS[subject]))
    )


def _try(
    line: Line, needle: Needle, working: Working, readings: Sequence[Reading]
) -> tuple[WorkError | None, list[Outcome]]:
    found: list[Outcome] = []
    error: WorkError | None = None
    book, start = working.book, working.book.state()
    for reading in readings:
        book.restore(start)
        try:
            found.append(worked(line, needle, working.reads(reading)))
        except WorkError as failed:
            better = error is None or (error.kind != "disagrees" and failed.kind == "disagrees")
            error = failed if better else error
    book.restore(found[0].state if found else start)
    return error, found


def _distinct(found: Sequence[Outcome]) -> list[Outcome]:
    """One outcome for each needle that can come of it, the cheapest first."""
    kept: dict[tuple[object, ...], Outcome] = {}
    for each in found:
        kept.setdefault((each.needle.stitches, len(each.rounds), each.needle.behind), each)
    return list(kept.values())


def _in_no_reading(open_: Sequence[str]) -> str:
    named = [subject for subject in open_ if subject not in ("line", "group", "pair")]
    if not named:
        return ""
    either = "; nor ".join(" or ".join(READINGS[subject].values()) for subject in named)
    return f" (it works out in no reading: neither {either})"


def worked(line: Line, needle: Needle, working: Working, cap: int | None = None) -> Outcome:
    """All rows of a line in one reading, its printed counts verified; or only its first `cap` rounds."""
    rounds: list[Round] = []
    start = needle
    for index, part in enumerate(line.parts):
        if isinstance(part, Rows) and (cap is None or cap > 0):
            more = _repeated(line, index, times_of(line, part, working.size), needle, working, cap)
            rounds = join_runs(rounds, more)
            needle = more[-1].needle if more else needle
            cap = None if cap is None else cap - rows_in(more)
    if cap is None:
        check_printed(line, start, needle, working.size, dict(rounds[-1].techniques) if rounds else {})
        counted = as_counted(line, needle, working.size, dict(rounds[-1].techniques)) if rounds else None
        counted = with_gaps(line, needle, working.size) if rounds and counted is None else counted
        if counted is not None and counted != needle.stitches:
            needle = replace(needle, counted=counted)
            rounds[-1] = replace(rounds[-1], needle=needle)
    cost = line.cost + price(working.reading) + any(each.spaces_left for each in rounds)
    if line.crochet and ("times", "total") in working.reading:
        cost += _TIMES_IN_ALL
    return Outcome(
        tree=line, reading=working.reading, rounds=tuple(rounds), needle=needle, state=working.book.state(), cost=cost
    )


def _repeated(line: Line, index: int, times: int, needle: Needle, working: Working, cap: int | None) -> list[Round]:
    """A row of a line worked `times` times, equal rounds in one run; an error says in which round it came."""
    if times > MOST_ROWS:
        raise WorkError(f"asks for {times} rounds, more than any piece has")
    done: list[Round] = []
    named = names_pattern(line)
    count = 0
    while count < times and (cap is None or rows_in(done) < cap):
        try:
            rounds = work_rows(line, index, needle, working)
        except WorkError as error:
            if count == 0:
                raise
            raise WorkError(f"{error.sentence}, in round {count + 1} of {times}", error.column) from None
        run = 1
        if len(rounds) == 1 and rounds[0].needle == needle and (not named or count > MOST_PATTERN_ROWS):
            run = times - count if cap is None else min(times - count, cap - rows_in(done))
        if count > MOST_ROWS:
            raise WorkError(f"is still not done after {MOST_ROWS:,} rounds")
        done = join_runs(done, rounds if run == 1 else [replace(each, times=run) for each in rounds])
        needle = rounds[-1].needle
        count += run
    return done


MOST_PATTERN_ROWS = 2_000


@lru_cache(maxsize=4096)
def names_pattern(line: Line) -> bool:
    """Whether what a line means depends on which row of a stitch pattern comes next."""
    return any(isinstance(part, Rows) and _has_even(part.steps) for part in line.parts)


def _has_even(steps: Sequence[Step]) -> bool:
    return any(isinstance(step, Even) or (isinstance(step, Repeat) and _has_even(step.body)) for step in steps)
