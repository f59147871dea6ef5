"""Colour: stripes and charts, which yarn makes how many stitches of each round, floats, and ends to weave in."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from lessonplan.course.model import pattern as pm
from lessonplan.course.model.works import WeaveEnds
from lessonplan.course.problems import Problem, Where, note
from lessonplan.course.words import capital
from lessonplan.pattern.worked import PART, Step, WorkedPattern
from lessonplan.remembered import remembered

Shares = tuple[tuple[str, float], ...]
"""The yarns of one round, each with its share of the round's loops; the shares sum to one."""


_GOES_ON = ("round", "row", "half-round", PART)
"""Kinds of steps that go on with the yarn that hangs there; any other takes a new end."""


class ColourError(ValueError):
    """Stripes or a chart that cannot be worked; the text is one plain sentence."""


def stripes(text: str, known: Iterable[str]) -> tuple[Shares, ...]:
    """Read stripes (``4 MC, 2 CC``) into the yarn of each round of the repeat. Raises `ColourError`."""
    turns: list[Shares] = []
    for part in text.split(","):
        found = re.fullmatch(r"\s*(?:(\d+)\s+(\w+)|(\w+)\s+(\d+))\s*", part)
        name = (found[2] or found[3]) if found else ""
        if not found or name not in known:
            raise ColourError(f"“{part.strip()}” is not a stripe such as “4 MC” with one of the yarns.")
        turns += [((name, 1.0),)] * int(found[1] or found[4])
    if not turns:
        raise ColourError("The stripes have no rounds.")
    return tuple(turns)


def chart_rows(chart: pm.Chart) -> tuple[str, ...]:
    """Give the rows of a chart in the order worked (bottom row first), each as often as it is worked, as typed."""
    return tuple(row for row in reversed(chart.rows) for _ in range(chart.rounds_each))


def chart_lines(chart: pm.Chart, *, flat: bool = False) -> tuple[str, ...]:
    """Write the line of each round of a chart. Raises `ColourError` when a row has no letters or an unknown one.

    A chart is seen from the right side: a round begins at its right edge. Of ``flat`` rows every other is worked back
    from the left edge, on the wrong side, where knit is purl (common practice).
    """
    return tuple(_line(chart, row, back=flat and number % 2 == 1) for number, row in enumerate(chart_rows(chart)))


def _line(chart: pm.Chart, row: str, *, back: bool) -> str:
    unknown = [letter for letter in row if letter not in chart.colours]
    if unknown or not row:
        raise ColourError(f"“{unknown[0] if unknown else ''}” in the chart row “{row}” is no colour of the chart.")
    widths = {len(one) for one in chart.rows}
    if len(widths) > 1:
        raise ColourError(f"The chart’s rows are not equally long: {', '.join(map(str, sorted(widths)))} stitches.")
    worked, yarn_at = ("p", "wyif") if back else ("k", "wyib")
    runs = [(letter, len(list(run))) for letter, run in groupby(row if back else row[::-1])]
    slips = chart.kind == "slipped"
    if slips:
        parts = [f"sl {n} {yarn_at}" if letter != row[0] else f"{worked}{n}" for letter, n in runs]
    else:
        parts = [f"{worked}{n}" + (f" {chart.colours[letter]}" if len(runs) > 1 else "") for letter, n in runs]
    return f"*{', '.join(parts)}; rep from * to end"


def chart_shares(chart: pm.Chart) -> tuple[Shares, ...]:
    """Give the yarns of each round of a chart; a slipped-stitch round is worked with its first letter alone."""
    found: list[Shares] = []
    for row in chart_rows(chart):
        if chart.kind == "slipped":
            found.append(((chart.colours[row[0]], 1.0),))
        else:
            counts = Counter(chart.colours[letter] for letter in row)
            found.append(tuple((yarn, count / len(row)) for yarn, count in sorted(counts.items())))
    return tuple(found)


def longest_float(chart: pm.Chart) -> int:
    """Give the longest float of a stranded chart worked in the round, in stitches: the other colour passed over.

    A row in one colour alone carries nothing. The repeat meets itself at its ends.
    """
    longest = 0
    for row in chart.rows if chart.kind == "stranded" else ():
        letters = set(row)
        for letter in letters if len(letters) > 1 else ():
            gaps = [len(gap) for gap in re.split(re.escape(letter), row + row)[1:-1]]
            longest = max(longest, *gaps)
    return longest


def _joined(steps: Iterable[Step], at_hand: frozenset[str]) -> Iterator[tuple[int, frozenset[str], frozenset[str]]]:
    """Give each work's index, the yarns that are joined in it, and those that hang there at its end.

    A yarn is joined where the work before neither used it nor let it rest, or fastened all off; ``at_hand`` are those
    that hang there at the beginning. Waste yarn is pulled out and leaves none.
    """
    worked = (step for step in steps if step.yarns and step.kind != "placeholder")
    for index, run in groupby(worked, key=lambda step: step.work):
        own = list(run)
        here = frozenset(yarn for step in own for yarn, _ in step.yarns if yarn != pm.WASTE)
        joined = here - at_hand
        at_hand = here | frozenset(yarn for step in own for yarn in step.resting) & at_hand
        if own[-1].before and not (own[-1].after or own[-1].held):
            at_hand = frozenset()
        yield index, joined, at_hand


def float_remarks(pattern: pm.Pattern) -> Iterator[Problem]:
    """Say which charts have floats longer than about an inch, which are caught on the way (common practice)."""
    most = max(1, round(pattern.gauge.stitches / pattern.gauge.over * 25.4))
    for name, chart in pattern.charts.items():
        longest = longest_float(chart)
        if longest > most:
            what = f"The chart “{name}” has a float of {longest} stitches, more than an inch ({most}): catch it."
            yield note(chart.mark("rows"), "float", what)


def stranded(worked: WorkedPattern) -> dict[str, Step]:
    """Give the stages with rounds in more than one yarn, each by its title, with the first of these rounds."""
    found: dict[str, Step] = {}
    for key in worked.order:
        for stage in worked.stages[key]:
            two = next((step for step in stage.rounds if len(step.yarns) > 1), None)
            if two:
                found.setdefault(stage.title, two)
    return found


def strands_remark(worked: WorkedPattern) -> Iterator[Problem]:
    """Say that what one yarn is carried behind the stitches of another is in no amount: no figure for it is known."""
    for title, step in [*stranded(worked).items()][:1]:
        what = f"The yarn carried behind the stitches of another colour (from “{title}” on) is in no amount of yarn."
        yield note(step.where, "strands", f"{what} Weigh it on a swatch, and let “margin” cover it.")


@remembered(60)
def joins(worked: WorkedPattern, size: int) -> Mapping[tuple[str, int], frozenset[str]]:
    """Say which yarns are joined anew in which work (stage, index of the work), in the order of working.

    Yarns that are carried on from the stage before are at hand where a stage goes on with its stitches by a round or a
    row; not where it takes others up that were held, as a sleeve does: the yarn went on to the body.
    """
    found: dict[tuple[str, int], frozenset[str]] = {}
    at_end: dict[str, frozenset[str]] = {}
    for key in worked.order:
        steps = worked.stage(key, size).steps
        before = [at_end[name] for name in worked.before[key] if name in at_end]
        first = next((step for step in steps if step.yarns and step.kind != "placeholder"), None)
        if first is None:
            continue
        goes_on = bool(worked.stage(key, size).start) and first.kind in _GOES_ON
        at_hand = before[0] if before and goes_on else frozenset()
        for index, joined, left in _joined(steps, at_hand):
            found[key, index] = joined | found.get((key, index), frozenset())
            at_end[key] = left
    return found


def ends_left(worked: WorkedPattern, size: int) -> int:
    """Count the ends that a whole pattern leaves in one size, yarns carried on from stage to stage not counted."""
    return 2 * sum(len(yarns) for yarns in joins(worked, size).values())


def ends_by_choice(
    filmed: tuple[pm.Pattern, WorkedPattern], other: tuple[pm.Pattern, WorkedPattern], name: str
) -> Iterator[Problem]:
    """Say where a choice, ``name``, leaves fewer ends than the filmed one, and as many are woven in."""
    (own, left), (theirs, fewer) = ((_woven(pattern), ends_left(worked, 0)) for pattern, worked in (filmed, other))
    if own and sum(theirs.values()) == sum(own.values()) == left > fewer:
        what = f"{capital(name)} the yarns leave {fewer} ends, and {left} are woven in."
        hint = "Write a work for each choice, with “when:”."
        yield note(next(iter(own)), "ends", f"{what} {hint}")


def _woven(pattern: pm.Pattern) -> dict[Where, int]:
    works = [work for stage in pattern.stages.values() for work in stage.works if isinstance(work, WeaveEnds)]
    return {work.mark("weave_ends"): work.weave_ends.at(0) for work in works}


def ends_remark(pattern: pm.Pattern, worked: WorkedPattern) -> Iterator[Problem]:
    """Say where fewer ends are woven in than the yarns leave behind; a note, since ends can be knitted in."""
    works = [work for stage in pattern.stages.values() for work in stage.works if isinstance(work, WeaveEnds)]
    if not works:
        return
    for size, name in enumerate(worked.sizes):
        woven = sum(work.weave_ends.at(size) for work in works)
        left = ends_left(worked, size)
        if left > woven:
            what = f"The yarns leave {left} ends in size {name}, and {woven} are woven in."
            yield note(works[0].mark("weave_ends"), "ends", what)
            return


def takes_yarn(text: str, yarn: str) -> bool:
    """Tell whether a text says itself that a yarn is taken up: ``With A, make a ring``, ``Join A in any st``."""
    verbs = r"(?i:with|in|using|join|change to)\s+(?i:(?:yarn|colou?r)\s+)?(?:\w+ and )?"
    return re.search(rf"\b{verbs}{re.escape(yarn)}\b", text) is not None
