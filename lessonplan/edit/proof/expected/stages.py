"""Every number that holds in a stage of the pattern: its counts, its rounds, its lines, its lengths and times."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from lessonplan.course.model.works import Knit, Resting, Work
from lessonplan.edit.proof.expected.prose import NUMBER, prose_numbers, shares, values_of
from lessonplan.edit.proof.findings import Planned
from lessonplan.pattern.worked import WorkedStage
from lessonplan.planning.worked import Worked
from lessonplan.printed.line import NotationError, parse_line
from lessonplan.printed.tree import Again


def stage_numbers(worked: Worked, key: str) -> Iterator[Planned]:
    """Give every number that holds in a stage, in every size and for every choice."""
    stages = next(way.worked.stages[key] for way in worked.ways if key in way.worked.stages)
    filmed = tuple(_stage_numbers(worked, key, stages))
    yield from (replace(one, stage=key) for one in filmed)
    film = {(one.unit, one.cue, one.values) for one in filmed}
    for way in worked.ways[1:]:
        if key in way.worked.stages:
            for one in _stage_numbers(worked, key, way.worked.stages[key]):
                if (one.unit, one.cue, one.values) not in film:
                    yield replace(one, stage=key)


def _stage_numbers(worked: Worked, key: str, stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    title, facts = stages[0].title, worked.facts
    for name, cue, unit in (
        ("start", "start", "stitches"),
        ("stitches", "end", "stitches"),
        ("cast_on", "cast on", "stitches"),
        ("picked_up", "picked up", "stitches"),
        ("held", "held", "stitches"),
        ("placed", "held", "stitches"),
        ("opened", "picked up", "stitches"),
        ("rounds", "total", "rounds"),
        ("rows", "total", "rows"),
        ("length", "length", "cm"),
        ("cord", "length", "cm"),
        ("around", "around", "cm"),
        ("width", "across", "cm"),
    ):
        fact = facts.get(f"{key}.{name}")
        if fact and any(fact.values):
            scale = 10.0 if unit == "cm" else 1.0
            values = tuple(float(one) / scale for one in fact.values if not isinstance(one, str))
            whole = Planned(unit=unit, values=values, what=fact.meaning, cue=cue, fact=fact.name)
            yield whole
            if cue in ("cast on", "held", "picked up"):
                yield from shares(worked.course.pattern.stages[key], whole, len(stages))
    yield from _round_numbers(key, title, stages)
    yield from _line_numbers(stages)
    yield from _made_numbers(stages)
    grafted = tuple(float(sum(step.before for step in one.steps if "graft" in dict(step.techniques))) for one in stages)
    if any(grafted):
        yield Planned("times", grafted, f"{title}: stitches grafted", "total")
    gauge = worked.course.pattern.stages[key].gauge
    flat = any(step.flat for step in stages[0].rounds)
    if gauge:
        yield Planned("stitches", (float(gauge.stitches),), f"{title}: gauge", "gauge")
        yield Planned("rows" if flat else "rounds", (float(gauge.rounds),), f"{title}: gauge", "gauge")
    yield from _works_numbers(title, worked.course.pattern.stages[key].works, stages)
    yield from _labelled(key, title, worked.course.pattern.stages[key].works, stages)
    yield from prose_numbers(worked.course.pattern.stages[key], len(stages), flat)
    for size in _needles_of(worked, key, stages[0]):
        yield from _needle(worked, size, title)


def _works_numbers(title: str, works: Sequence[Work], stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give what the works of a stage say: how often, how long, in which stripes, over how many rounds."""
    unit = "rows" if any(step.flat for step in stages[0].rounds) else "rounds"
    for work in works:
        times = getattr(work, "times", None)
        if times:
            often = tuple(map(float, times))
            yield Planned("times", often, f"{title}: how often", "total")
            yield Planned(unit, often, f"{title}: how often its lines are worked", "shaping")
        for name, cue in (("block", "time"), ("minutes", "time"), ("drying", "dry")):
            minutes = getattr(work, name, None)
            if isinstance(minutes, (int, float)) and minutes:
                yield Planned("minutes", (float(minutes),), f"{title}: {name.replace('block', 'blocking')}", cue)
        rest, minutes = work.rest if isinstance(work, Resting) else ("drying", 0.0)
        for cue in {"drying": (), "soaking": ("dry", "time")}.get(rest, ("dry",)):  # drying is told above
            yield Planned("minutes", (minutes,), f"{title}: {rest}", cue)
        stripes = getattr(work, "stripes", "")
        wide = [int(count) for count in re.findall(r"\d+", stripes)]
        for count in dict.fromkeys(wide):
            yield Planned(unit, (float(count),), f"{title}: {unit} of a stripe", "stripe")
        for share in (1, len(wide)) if any(wide) else ():
            stripes_of = tuple(len(one.rounds) * len(wide) / sum(wide) / share for one in stages)
            if share > 1:
                often = tuple(len(one.rounds) / sum(wide) for one in stages)
                yield Planned("times", often, f"{title}: how often its stripes repeat", "total")
            yield Planned("stripes", stripes_of, f"{title}: stripes{' of each colour' if share > 1 else ''}", "total")
    yield from _written(title, works, stages)
    yield from _runs(title, unit, stages)
    for number in range(max((len(works),), default=0)):
        counts = tuple(float(sum(step.is_round and step.work == number for step in stage.steps)) for stage in stages)
        lines = sum(map(_is_worked, getattr(works[number], "lines", ()))) if number < len(works) else 0
        often = tuple(count / lines for count in counts if lines > 1)
        if any(often) and all(one.is_integer() for one in often):  # else its lines tell how often themselves
            yield Planned("times", often, f"{title}: how often its lines are worked", "work")
        if any(counts):
            yield Planned(unit, counts, f"{title}: rounds of a work", "work")


_FIRST_LABEL = re.compile(r"\s*(?:rows?|rnds?|rounds?) 1\b", re.IGNORECASE)


def _labelled(key: str, title: str, works: Sequence[Work], stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give the counts after the rounds of a later work: its first is “the first row” too."""
    for number, work in enumerate(works):
        lines = getattr(work, "lines", ())
        if number and lines:
            own = [[at for at, step in enumerate(one.rounds) if step.work == number] for one in stages]
            labelled = any(_FIRST_LABEL.match(line) for line in lines)
            for at in range(min([*map(len, own), *(() if labelled else (len(lines),))])):
                after = tuple(float(one.rounds[each[at]].after) for one, each in zip(stages, own, strict=True))
                places = {each[at] + 1 for each in own}
                fact = f"{key}.round_{min(places)}.stitches" if len(places) == 1 else ""
                yield Planned(
                    "stitches", after, f"{title}: stitches after round {at + 1} of a work", f"own round {at + 1}", fact
                )


def _is_worked(line: str) -> bool:
    """Whether a line of a work is none that only has those before it repeated."""
    try:
        return not all(isinstance(part, Again) for part in parse_line(line).parts)
    except NotationError:
        return True


def _written(title: str, works: Sequence[Work], stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give the length of what is worked by length, and over how many rounds the lines of a work are repeated."""
    unit = "rows" if any(step.flat for step in stages[0].rounds) else "rounds"
    for work in works:
        if isinstance(work, Knit) and work.rounds and work.rounds.kind == "length":
            yield Planned("cm", tuple(mm / 10 for mm in work.rounds.values), f"{title}: its plain part", "length")
        if isinstance(work, Knit) and len(work.lines) > 1:
            yield Planned(unit, (float(len(work.lines)),), f"{title}: {unit} of a repeat", "repeat")
    for line in (one for work in works for one in getattr(work, "lines", ()) if not _is_worked(one)):
        yield from (replace(one, cue="work") for one in numbers_of_line(line, title, len(stages)))


def _runs(title: str, unit: str, stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give over how many rounds in a row each printed line is worked: `Knit 12 (14, 16) rows`."""
    every = [[(text, sum(1 for _ in run)) for text, run in groupby(one.text for one in each.rounds)] for each in stages]
    if len({tuple(text for text, _ in runs) for runs in every}) == 1:
        for number, (text, _) in enumerate(every[0]):
            counts = tuple(float(runs[number][1]) for runs in every)
            if min(counts) > 1:
                yield Planned(unit, counts, f"{title}: {unit} of “{text}”", "work")


def _needles_of(worked: Worked, key: str, stage: WorkedStage) -> list[str]:
    """Give the needles of a stage; a cast-on without rounds is made on those of what follows it."""
    pattern = worked.course.pattern
    after = [other for other, before in worked.pattern.before.items() if key in before]
    keys = [key] if stage.rounds or pattern.stages[key].gauge or not after else after
    titles = [title.lower() for title in (stage.title, *(pattern.stages[one].title for one in keys))]
    words = {key, *keys, *(word for title in titles for word in title.split())} - {"the"}
    named = [text for text in pattern.needles if words & {*re.findall(r"[a-z]+", text.lower())}]
    gauges = [pattern.stages[one].gauge or (None if named else pattern.gauge) for one in keys]
    return [*(str(gauge.needle) for gauge in gauges if gauge and gauge.needle), *named]


def _needle(worked: Worked, size: str, title: str) -> Iterator[Planned]:
    found = re.match(r"\s*(\d+(?:[.,]\d+)?)", str(size))
    if not found:
        return
    millimetres = float(found[1].replace(",", "."))
    yield Planned("mm", (millimetres,), f"{title}: needle", "needle")
    for text in worked.course.pattern.needles:
        us = re.search(rf"\b{millimetres:g}\s*mm\b.*?\bUS\s*(\d+(?:\.\d+)?)", text)
        if us:
            yield Planned("us", (float(us[1]),), f"{title}: needle", "needle")


def _round_numbers(key: str, title: str, stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give the count after each round, what each round adds or takes, and the stitches between its markers."""
    shown = [stage for stage in stages if stage.rounds]
    for number in range(max(len(stage.rounds) for stage in stages) if len(shown) == len(stages) else 0):
        steps = [stage.rounds[min(number, len(stage.rounds) - 1)] for stage in stages]
        after = tuple(float(step.after) for step in steps)
        yield Planned(
            unit="stitches",
            values=after,
            what=f"{title}: stitches after round {number + 1}",
            cue=f"round {number + 1}",
            fact=f"{key}.round_{number + 1}.stitches",
        )
        if number == 0:
            before = tuple(float(step.before) for step in steps)
            yield Planned("stitches", before, f"{title}: stitches before its rounds", "state")
        if all(step.held for step in steps) and number == max(len(stage.rounds) for stage in stages) - 1:
            yield Planned(
                unit="rows" if steps[0].flat else "rounds",
                values=tuple(float(next(at for at, each in enumerate(one.rounds, 1) if each.held)) for one in stages),
                what=f"{title}: the round in which stitches are put on hold",
                cue="held at",
            )
        changes = [float(0 if step.held else abs(step.after - step.before)) for step in steps]
        for change in [tuple(changes)] if all(changes) else sorted({(each,) for each in changes if each}):
            yield Planned("stitches", change, f"{title}: what a round adds or takes", "change")
    total = tuple(float(len(stage.rounds)) for stage in stages)
    if any(total):
        unit = "rows" if any(step.flat for step in stages[0].rounds) else "rounds"
        yield Planned(unit, tuple(one / 2 for one in total), f"{title}: half the {unit}", "half")
    shaping = tuple(float(sum(s.after != s.before and not s.held for s in stage.rounds)) for stage in stages)
    if any(shaping):
        yield Planned("times", shaping, f"{title}: how often", "shaped")
        yield from _shaping_numbers(title, stages)
    longest = max(stages, key=lambda one: len(one.rounds), default=None)
    for number in range(len(longest.rounds) if longest else 0):
        rounds = [stage.rounds[min(number, len(stage.rounds) - 1)] for stage in stages if stage.rounds]
        places = [[at for at, _ in step.markers] for step in rounds]
        if rounds and all(len(each) == 2 for each in places):
            gaps = tuple(float(b - a) for a, b in places)
            yield Planned("stitches", gaps, f"{title}: stitches between the markers", "between")
    ends = [tuple(stage.rounds[-1].after for stage in shown)] if shown == [*stages] else []
    for counts in dict.fromkeys([tuple(stage.start for stage in stages), *_counts(stages), *ends]):
        for parts in (2, 3, 4, 5) if min(counts) > 3 else ():
            if any(count % parts == 0 for count in counts):
                cue, what = ("half", "half the stitches") if parts == 2 else ("each", f"on each of {parts} needles")
                yield Planned("stitches", tuple(one / parts for one in counts), f"{title}: {what}", cue)


def _shaping_numbers(title: str, stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give the count after each shaping round (and after the last), and how many have a plain round behind them."""
    shaped = [[at for at, s in enumerate(one.rounds) if s.after != s.before and not s.held] for one in stages]
    pairs = tuple(zip(stages, shaped, strict=True))
    changes = [[float(abs(one.rounds[n].after - one.rounds[n].before)) for n in at] for one, at in pairs]
    differs = any(len({*each[:2]}) > 1 for each in changes)
    for number in range(max(map(len, shaped)) if all(shaped) else 0):  # sizes that have fewer stay at their last
        after = tuple(float(one.rounds[at[min(number, len(at) - 1)]].after) for one, at in pairs)
        done = tuple(each[min(number, len(each) - 1)] for each in changes)
        yield Planned("times", done, f"{title}: how often in a round", "line")
        yield Planned("shapings", done, f"{title}: in each shaping round", "total")
        what = f"{title}: stitches after shaping round {number + 1}"
        yield Planned("stitches", after, what, f"shaping {number + 1}")
        if differs:
            yield Planned("stitches", after, what, f"shaping {number}")  # where the first is not counted as one
    last = tuple(float(one.rounds[at[-1]].after) for one, at in pairs if at)
    if len(last) == len(stages):
        yield Planned("stitches", last, f"{title}: stitches after the last shaping round", "shaping last")
    unit = "rows" if any(step.flat for one in stages for step in one.rounds) else "rounds"
    for what, counts in (
        ("how many shaping rounds", [float(len(at)) for at in shaped]),
        ("rounds up to the last shaping", [float(at[-1] + 1) if at else 0.0 for at in shaped]),
    ):
        yield Planned(unit, tuple(counts), f"{title}: {what}", "shaping")
    if differs:  # where the first is not counted as one
        yield Planned(unit, tuple(len(at) - 1.0 for at in shaped), f"{title}: how many shaping rounds", "shaping")
    gaps = sorted({b - a for at in shaped for a, b in pairwise(at)})
    for gap in gaps:
        yield Planned(unit, (float(gap),), f"{title}: from shaping to shaping", "every")
    for without in (0, 1):
        all_of_it = tuple(sum(each[without:]) for each in changes)
        yield Planned("shapings", all_of_it, f"{title}: in all its rounds", "total")
        yield Planned("shapings", tuple(float(len(each[without:])) for each in changes), f"{title}: rounds", "total")
        yield Planned("stitches", all_of_it, f"{title}: what all its shaping adds or takes", "shaping")
    yield from _turn(title, pairs)
    yield from _plain_numbers(title, unit, stages)
    resting = tuple(float(sum(b - a > 1 for a, b in pairwise(at))) for at in shaped)
    yield Planned(unit, resting, f"{title}: shaping rounds with a plain one behind", "shaping")
    closing = tuple(float(len(at)) - rest for at, rest in zip(shaped, resting, strict=True))
    yield Planned(unit, closing, f"{title}: shaping rounds one after the other", "shaping")
    yield Planned("times", resting, f"{title}: how often with a plain round between", "rested")
    yield Planned("times", closing, f"{title}: how often one after the other", "unrested")


def _turn(title: str, pairs: Sequence[tuple[WorkedStage, list[int]]]) -> Iterator[Planned]:
    """Give the count from which on a shaping goes on faster: that after its last round with a plain one behind."""
    slow = [
        next((n for n in range(1, len(at)) if at[n] - at[n - 1] == 1 < at[n - 1] - at[n - 2]), 0) for _, at in pairs
    ]
    if all(slow):
        after = tuple(float(one.rounds[at[n - 2]].after) for (one, at), n in zip(pairs, slow, strict=True))
        yield Planned("stitches", after, f"{title}: stitches from which on it is faster", "turn")


def _plain_numbers(title: str, unit: str, stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give how many rounds without shaping stand together, in every size."""
    runs = [
        [len([*run]) for plain, run in groupby(s.after == s.before and not s.held for s in one.rounds) if plain]
        for one in stages
    ]
    longest = tuple(float(max(each, default=0)) for each in runs)
    for counts in {longest, *(tuple(map(float, each)) for each in zip(*runs, strict=False))}:
        yield Planned(unit, counts, f"{title}: plain {unit} together", "plain")
    every = tuple(float(sum(each)) for each in runs)
    yield Planned(unit, every, f"{title}: plain {unit} in all", "plain")


def _counts(stages: Sequence[WorkedStage]) -> Iterator[tuple[int, ...]]:
    """Give the stitches after each step in every size, where all sizes have such a step."""
    for number in range(min(len(stage.steps) for stage in stages)):
        yield tuple(stage.steps[number].after for stage in stages)


LINE = re.compile(r"\b(k|p|sl) ?(\d+)(?: \((\d+(?:, ?\d+)*)\))?(?! ?tog|\d)", re.IGNORECASE)
_VERB = {"k": "knit", "p": "purl", "sl": "slip"}
_TIMES = re.compile(rf"{NUMBER} (?:more )?times\b")
_HOOKED = re.compile(
    rf"\b(?:(?:in|skip|sk|miss) (?:(?:each of )?(?:the )?(?:next|first|last) )?){NUMBER} sts?\b", re.IGNORECASE
)
"""Stitches of a line that are worked into one after the other, or passed over, as crochet says it."""


def _line_numbers(stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give the numbers that the printed lines of a stage hold: k2, last 3 sts, the width of a repeat."""
    title, sizes = stages[0].title, len(stages)
    texts = dict.fromkeys(step.text for stage in stages for step in stage.rounds)
    for number, step in enumerate(stages[0].rounds, 1):
        for one in numbers_of_line(step.text, title, sizes) if len(texts) > 3 else ():
            if one.unit in _VERB.values() and max(one.values) > 1:
                yield replace(one, cue=f"round {number}")
    for text in texts:
        yield from numbers_of_line(text, title, sizes)
        if repeat := re.search(r"\*(.*?);? ?rep(?:eat)? from \*", text):
            width = sum(int(count) for count in re.findall(r"\b(?:k|p|sl) ?(\d+)\b(?! ?tog)", repeat[1], re.IGNORECASE))
            width += 2 * len(re.findall(r"\b[kp]2tog\b|\bssk\b", repeat[1], re.IGNORECASE))
            if width:
                yield Planned("stitches", (float(width),), f"{title}: stitches of a repeat", "repeat")
                befores = zip(
                    *([step.before for step in one.rounds if step.text == text] for one in stages), strict=False
                )
                for counts in dict.fromkeys(tuple(float(before // width) for before in each) for each in befores):
                    yield Planned("repeats", counts, f"{title}: repeats", "total")
                    yield Planned("times", counts, f"{title}: how often in a round", "repeated")


def _made_numbers(stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give how many stitches of a kind are made in a round, and how often in all rounds, in every size."""
    title = stages[0].title
    seen = set[tuple[str, tuple[float, ...]]]()
    for number in range(min(len(stage.rounds) for stage in stages)):
        each = [dict(stage.rounds[number].techniques) for stage in stages]
        for name in sorted(each[0].keys() & set.intersection(*({*one} for one in each))):
            counts = tuple(float(one[name]) for one in each)
            if len(each[0]) > 1 and name not in ("pm", "sm", "rm") and (name, counts) not in seen:
                seen.add((name, counts))
                yield Planned("stitches", counts, f"{title}: {_VERB.get(name, name)} in a round", "made")
                yield Planned("times", counts, f"{title}: {_VERB.get(name, name)} in a round", "made")


Step = tuple[str, float]
"""So many stitches of a kind: ("knit", 2)."""


_STEPS = re.compile(r"[,;](?![^(]*\))")
"""Between two steps of a line; the commas of a list of sizes lie in its brackets."""
_LABEL = re.compile(r"^[^:*,;]*:\s*")
"""The label of a line: “Row 3 (RS): ”."""


def _by_size(step: re.Match[str]) -> list[float]:
    """So many stitches of a step in each size that it tells."""
    return [float(step[2]), *(float(one) for one in re.split(r", ?", step[3] or "") if one)]


def rhythm_of(text: str) -> Iterator[tuple[Step, Step]]:
    """Give the steps of a printed line that follow one another, round about where they are repeated."""
    for part in re.split(r"[*\[\]]", _LABEL.sub("", text)):
        each = [step.strip().removesuffix(" wyib").removesuffix(" wyif") for step in _STEPS.split(part)]
        steps = [LINE.fullmatch(step) for step in each if step and not step.startswith("rep")]
        if f"*{part}*" in text or f"[{part}]" in text:
            steps += steps[:1]
        for one, other in pairwise(steps):
            if one and other:
                first, then = _by_size(one), _by_size(other)
                for size in range(max(len(first), len(then))):
                    step, second = first[min(size, len(first) - 1)], then[min(size, len(then) - 1)]
                    yield (_VERB[one[1].lower()], step), (_VERB[other[1].lower()], second)


def numbers_of_line(text: str, title: str, sizes: int) -> Iterator[Planned]:
    """Give the numbers of one printed line."""
    for verb, first, others in LINE.findall(text):
        every = [float(first), *(float(one) for one in re.split(r", ?", others) if one)]
        run = tuple(every) if len(every) == sizes else (every[0],)
        yield Planned(_VERB[verb.lower()], run, f"{title}: {text}", "line")
        if max(every) > 5:
            yield Planned("stitches", run, f"{title}: {text}", "run")
    for count in re.findall(r"\b[kp](\d+)tog\b", text, re.IGNORECASE):
        yield Planned("together", (float(count),), f"{title}: {text}", "line")
    if re.search(r"\b(?:ssk|ssp|skp)\b", text, re.IGNORECASE):
        yield Planned("together", (2.0,), f"{title}: {text}", "line")
    for count in re.findall(r"\blast (\d+) sts?\b|\b(\d+) sts? before\b", text, re.IGNORECASE):
        yield Planned("stitches", (float(count[0] or count[1]),), f"{title}: {text}", "last")
    for pattern, unit, cue in ((_TIMES, "times", "line"), (_HOOKED, "stitches", "run")):
        told = [values for found in pattern.finditer(text) if (values := values_of(found, sizes))]
        yield from (Planned(unit, values, f"{title}: {text}", cue) for values in told)
