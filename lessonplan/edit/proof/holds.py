"""What holds in a segment: each number of the pattern that is true there, and those of the pieces on its tables.

The stages of a segment are those that its pieces are worked in, or that it names; where all pieces are finished, the
whole pattern. The numbers typed into the segment's texts are planned too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.fields import Item
from lessonplan.course.model import Segment
from lessonplan.course.quantities import PerSize
from lessonplan.edit.proof.quantities import UNITS, Quantity, normal, quantities_in, words_of
from lessonplan.pattern.facts import Fact
from lessonplan.pattern.texts import fill, for_size, named
from lessonplan.pattern.worked import WorkedPattern, WorkedStage
from lessonplan.planning.worked import Worked

IDLE = frozenset(
    "a an the and or of to in on at it is are was be i you we they that this so then now there here my your our for "
    "with as up but if have has had do does not no all one just very only from what when which will can".split()
)
"""Words that say nothing about what a number counts."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A number that holds: its unit, its value in each size (or one for all), what it is, and when it is meant.

    ``cue`` tells which words it goes with: cast on, held, picked up, end, start, state, total, round N, between, change,
    half, each, line, last, gauge, around, length, time, dry, text. ``fact`` names it, where it is a fact; ``words`` are
    those around it in the script. ``near`` counts with a tolerance (lengths).
    """

    unit: str
    values: tuple[float, ...]
    what: str
    cue: str
    fact: str = ""
    stage: str = ""
    words: frozenset[str] = frozenset()

    def at(self, size: int) -> float:
        """The value in a size (0-based)."""
        return PerSize(self.values).at(size)


@dataclass(frozen=True, slots=True)
class Holds:
    """All that holds in a segment: of the ``pattern``, of the ``samples`` on its tables, what is to be said there.

    ``stages`` are its own; ``elsewhere`` holds numbers of all stages, for when one is named; ``flat`` tells of rows, None
    where the segment has neither rounds nor rows.
    """

    segment: str
    pattern: tuple[Planned, ...]
    samples: tuple[Planned, ...]
    must_say: tuple[Planned, ...]
    stages: tuple[str, ...]
    elsewhere: tuple[Planned, ...]
    titles: Mapping[str, str]
    flat: bool | None
    rounds: int
    techniques: frozenset[str]
    yarns: frozenset[str]
    sizes: tuple[str, ...]
    size: int


def holds_in(worked: Worked) -> dict[str, Holds]:
    """Work out what holds in every segment of a course, by its number (``2.4``)."""
    every = tuple(one for key in worked.pattern.order for one in stage_numbers(worked, key))
    whole = tuple(_course_numbers(worked))
    return {
        number: _holds(worked, number, segment, every, whole) for number, _, segment in worked.course.segments()
    }


def _holds(worked: Worked, number: str, segment: Segment, every: tuple[Planned, ...], whole: tuple[Planned, ...]) -> Holds:
    stages, all_of_it = stages_of(worked, number, segment)
    typed = tuple(typed_numbers(worked, segment))
    own = tuple(one for one in every if one.stage in stages)
    if all_of_it:  # of the whole piece what its stages come to is spoken of; or only what the texts name
        told = any(one.fact and one.unit in ("stitches", "rounds", "rows") for one in typed)
        own = () if told else tuple(one for one in own if one.cue != "state" and not one.cue.startswith("round "))
    states = tuple(_states(worked, number))
    rounds = [step for key in stages for step in worked.pattern.stage(key, worked.size).rounds]
    lines = tuple(_live_lines(worked, segment))
    names = {name for key in stages for step in worked.pattern.stage(key, worked.size).steps for name, _ in step.techniques}
    kinds = {str(getattr(work, "method", "")) for key in stages for work in worked.course.pattern.stages[key].works}
    return Holds(
        segment=number,
        pattern=(*own, *whole, *typed, *states, *lines),
        samples=tuple(_samples(worked, number, stages)),
        must_say=tuple(_must_say(worked, segment, stages, number)),
        stages=stages,
        elsewhere=every,
        titles={key: worked.pattern.stage(key, worked.size).title.lower() for key in worked.pattern.order},
        flat=all(step.flat for step in rounds) if rounds else None,
        rounds=0 if all_of_it else max((len(worked.pattern.stage(key, worked.size).rounds) for key in stages), default=0),
        techniques=frozenset(names | kinds | ({"wyib"} if _says_wyib(worked, stages) else set())),
        yarns=frozenset(yarn.weight.lower() for yarn in worked.course.pattern.yarns.values() if yarn.weight),
        sizes=worked.pattern.sizes,
        size=worked.size,
    )


def _says_wyib(worked: Worked, stages: Sequence[str]) -> bool:
    text = " ".join(step.text for key in stages for step in worked.pattern.stage(key, worked.size).steps)
    return "wyib" in text and "wyif" not in text


def stages_of(worked: Worked, number: str, segment: Segment) -> tuple[tuple[str, ...], bool]:
    """Give the stages that a segment shows at work, and whether it is about the whole piece instead."""
    order, before = worked.pattern.order, worked.pattern.before
    under_way, done = dict[str, None](), dict[str, None]()
    for piece in worked.table:
        if not f"{piece.shot}".startswith(f"{number}."):
            continue
        kind, stand = next(iter(piece.stands.items()))
        steps = [len(worked.kinds[kind].stage(key, worked.size).steps) for key in order]
        if all(a == b for a, b in zip(stand.start, steps, strict=True)):
            continue
        front = {key for key, here in zip(order, stand.start, strict=True) if here}
        front -= {other for key in front for other in worked.pattern.ancestors(key)}
        for key, start, end, full in zip(order, stand.start, stand.end, steps, strict=True):
            if end > start or (key in front and start < full):
                under_way[key] = None
            elif key in front:
                done[key] = None
    if done and not under_way and any(hands.work for shot in segment.shots for hands in shot.hands):
        # What is begun before the camera on a finished stage is the next one.
        done.update({key: None for key in order if {*before[key]} & {*done}})
    chosen = [segment.stage] if segment.stage in before else []
    stages = tuple(dict.fromkeys([*chosen, *under_way])) or tuple(done)
    return (stages, False) if stages else (tuple(order), True)


def stage_numbers(worked: Worked, key: str) -> Iterator[Planned]:
    """Give every number that holds in a stage, in every size and for every choice."""
    stages = worked.pattern.stages[key]
    yield from (replace(one, stage=key) for one in _stage_numbers(worked, key, stages))
    film = {(one.unit, one.cue, one.values) for one in _stage_numbers(worked, key, stages)}
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
        ("width", "around", "cm"),
    ):
        fact = facts.get(f"{key}.{name}")
        if fact and any(fact.values):
            scale = 10.0 if unit == "cm" else 1.0
            values = tuple(float(one) / scale for one in fact.values if not isinstance(one, str))
            yield Planned(unit, values, fact.meaning, cue, fact.name)
    yield from _round_numbers(key, title, stages)
    yield from _line_numbers(worked, key, stages)
    works = worked.course.pattern.stages[key].works
    for work in works:
        times = getattr(work, "times", None)
        if times:
            yield Planned("times", tuple(map(float, times)), f"{title}: how often", "total")
        for name, cue in (("block", "time"), ("minutes", "time"), ("drying", "dry")):
            minutes = getattr(work, name, None)
            if isinstance(minutes, (int, float)) and minutes:
                yield Planned("minutes", (float(minutes),), f"{title}: {name}", cue)
        stripes = getattr(work, "stripes", "")
        for count in re.findall(r"\d+", stripes):
            yield Planned("rounds", (float(count),), f"{title}: rounds of a stripe", "stripe")
    for number in range(max((len(works),), default=0)):
        counts = tuple(float(sum(step.is_round and step.work == number for step in stage.steps)) for stage in stages)
        if any(counts):
            unit = "rows" if any(step.flat for step in stages[0].rounds) else "rounds"
            yield Planned(unit, counts, f"{title}: rounds of a work", "work")
    for size in _needles_of(worked, key, stages[0]):
        yield from _needle(worked, size, title)


def _needles_of(worked: Worked, key: str, stage: WorkedStage) -> list[str]:
    """Give the needles of a stage; a cast-on without rounds is made on those of what follows it."""
    pattern = worked.course.pattern
    after = [other for other, before in worked.pattern.before.items() if key in before]
    keys = [key] if stage.rounds or pattern.stages[key].gauge or not after else after
    gauges = [pattern.stages[one].gauge or pattern.gauge for one in keys]
    return [str(gauge.needle) for gauge in gauges if gauge.needle]


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
    for number in range(min(len(stage.rounds) for stage in stages) if stages else 0):
        steps = [stage.rounds[number] for stage in stages]
        after = tuple(float(step.after) for step in steps)
        yield Planned("stitches", after, f"{title}: stitches after round {number + 1}", f"round {number + 1}", f"{key}.round_{number + 1}.stitches")
        held = tuple(float(step.before) for step in steps)
        yield Planned("stitches", held, f"{title}: stitches before round {number + 1}", "state")
        changes = {abs(step.after - step.before) for step in steps if not step.held}
        for change in sorted(changes - {0}):
            yield Planned("stitches", (float(change),), f"{title}: what a round adds or takes", "change")
    total = tuple(float(len(stage.rounds)) for stage in stages)
    if any(total):
        unit = "rows" if any(step.flat for step in stages[0].rounds) else "rounds"
        yield Planned(unit, tuple(one / 2 for one in total), f"{title}: half the {unit}", "half")
    shaping = tuple(float(sum(s.after != s.before and not s.held for s in stage.rounds)) for stage in stages)
    if any(shaping):
        yield Planned("times", shaping, f"{title}: how often", "work")
    longest = max(stages, key=lambda one: len(one.rounds), default=None)
    for number in range(len(longest.rounds) if longest else 0):
        rounds = [stage.rounds[min(number, len(stage.rounds) - 1)] for stage in stages if stage.rounds]
        places = [[at for at, _ in step.markers] for step in rounds]
        if rounds and all(len(each) == 2 for each in places):
            gaps = tuple(float(b - a) for a, b in places)
            yield Planned("stitches", gaps, f"{title}: stitches between the markers", "between")
    starts = {stage.start for stage in stages} | {step.after for stage in stages for step in stage.steps}
    for count in sorted(starts):
        if count > 3 and count % 2 == 0:
            yield Planned("stitches", (count / 2,), f"{title}: half the stitches", "half")
        for needles in (3, 4, 5):
            if count % needles == 0:
                yield Planned("stitches", (count / needles,), f"{title}: on each of {needles} needles", "each")


_LINE = re.compile(r"\b(k|p|sl) ?(\d+)(?: \((\d+(?:, ?\d+)*)\))?(?! ?tog)\b", re.IGNORECASE)
_VERB = {"k": "knit", "p": "purl", "sl": "slip"}


def _line_numbers(worked: Worked, key: str, stages: Sequence[WorkedStage]) -> Iterator[Planned]:
    """Give the numbers that the printed lines of a stage hold: k2, last 3 sts, the width of a repeat."""
    title, sizes = stages[0].title, len(stages)
    texts = dict.fromkeys(step.text for stage in stages for step in stage.rounds)
    for text in texts:
        yield from numbers_of_line(text, title, sizes)
        repeat = re.search(r"\*(.*?);? ?rep(?:eat)? from \*", text)
        if repeat:
            width = sum(int(count) for count in re.findall(r"\b(?:k|p|sl) ?(\d+)\b(?! ?tog)", repeat[1], re.IGNORECASE))
            width += 2 * len(re.findall(r"\b[kp]2tog\b|\bssk\b", repeat[1], re.IGNORECASE))
            if width:
                yield Planned("stitches", (float(width),), f"{title}: stitches of a repeat", "repeat")
                counts = tuple(float(stage.start // width) for stage in stages)
                yield Planned("repeats", counts, f"{title}: repeats", "total")


def numbers_of_line(text: str, title: str, sizes: int) -> Iterator[Planned]:
    """Give the numbers of one printed line."""
    for verb, first, others in _LINE.findall(text):
        values = [float(first), *(float(one) for one in re.split(r", ?", others) if one)]
        yield Planned(_VERB[verb.lower()], tuple(values) if len(values) == sizes else (values[0],), f"{title}: {text}", "line")
    for count in re.findall(r"\b[kp](\d+)tog\b", text, re.IGNORECASE):
        yield Planned("together", (float(count),), f"{title}: {text}", "line")
    if re.search(r"\b(?:ssk|ssp|skp)\b", text, re.IGNORECASE):
        yield Planned("together", (2.0,), f"{title}: {text}", "line")
    for count in re.findall(r"\blast (\d+) sts?\b|\b(\d+) sts? before\b", text, re.IGNORECASE):
        yield Planned("stitches", (float(count[0] or count[1]),), f"{title}: {text}", "last")
    for count in re.findall(r"\b(\d+) times\b", text):
        yield Planned("times", (float(count),), f"{title}: {text}", "line")


def _live_lines(worked: Worked, segment: Segment) -> Iterator[Planned]:
    """Give the numbers of the lines worked before the camera."""
    for shot in segment.shots:
        for hands in shot.hands:
            yield from numbers_of_line(hands.work, "worked here", 1)
    for text in (one.work for shot in segment.shots for one in shot.hands):
        for _, count, _ in _LINE.findall(text):
            yield Planned("stitches", (float(count),), "worked here", "line")


def _course_numbers(worked: Worked) -> Iterator[Planned]:
    """Give the numbers that hold everywhere: gauge, whole lengths, balls, ends, sizes, colours."""
    for name, unit, cue in (
        ("gauge.stitches", "stitches", "gauge"),
        ("gauge.rounds", "rounds", "gauge"),
        ("gauge.rounds", "rows", "gauge"),
        ("gauge.over", "cm", "gauge"),
        ("total.length", "cm", "whole"),
        ("ends", "ends", "total"),
    ):
        fact = worked.facts.get(name)
        if fact and any(fact.values):
            yield _of_fact(fact, unit, cue)
    flat = all(step.flat for key in worked.pattern.order for step in worked.pattern.stage(key, worked.size).rounds)
    del flat
    for fact in worked.facts.values():
        if fact.name.startswith("measure."):
            yield _of_fact(fact, "cm", "measure")
        elif fact.name.endswith(".balls"):
            yield _of_fact(fact, "balls", "total")
        elif re.fullmatch(r"yarn\..*\.(?:grams|metres|yards)", fact.name):
            yield _of_fact(fact, fact.name.rpartition(".")[2], "total")
    yarns = [yarn for yarn in worked.course.pattern.yarns.values() if yarn.colour]
    if yarns:
        yield Planned("colours", (float(len(yarns)),), "colours", "total")
        yield Planned("balls", (float(len(yarns)),), "balls, one of each yarn", "text")
    yield Planned("sizes", (float(len(worked.pattern.sizes)),), "sizes", "total")
    for size in worked.course.pattern.sizes:
        for one in quantities_in(normal(words_of(size.fits))):
            yield from _both_ends(one, f"{size.name} fits {size.fits}", "measure")


def _of_fact(fact: Fact, unit: str, cue: str) -> Planned:
    scale = 10.0 if unit == "cm" else 1.0
    values = tuple(float(one) / scale for one in fact.values if not isinstance(one, str))
    return Planned(unit, values, fact.meaning, cue, fact.name)


def _both_ends(one: Quantity, what: str, cue: str, fact: str = "", words: frozenset[str] = frozenset()) -> Iterator[Planned]:
    for value in dict.fromkeys((float(one.number.low), float(one.number.high))):
        if one.unit:
            unit, factor = ("minutes", 60.0) if one.unit == "hours" else (one.unit, 1.0)
            yield Planned(unit, (value * factor,), what, cue, fact, words=words)


_TEXTS = ("say", "on_screen", "title", "note")


def texts_in(item: Item) -> Iterator[str]:
    """Yield the texts of a segment that plan what is said, shown or printed with it."""
    for name in type(item).model_fields:
        value = getattr(item, name)
        if name in ("view", "work", "stage", "kinds", "needs", "leaves", "shows", "time"):
            continue
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, str) and one:
                yield one
            elif isinstance(one, Item):
                yield from texts_in(one)


def typed_numbers(worked: Worked, segment: Segment) -> Iterator[Planned]:
    """Give the numbers that the texts of a segment hold, facts filled in, with the words around each."""
    for text in texts_in(segment):
        yield from numbers_of_text(worked, text)


def numbers_of_text(worked: Worked, text: str) -> Iterator[Planned]:
    """Give the numbers of a text, with the fact that each comes from."""
    filled, spans = filled_with_spans(worked, text)
    tokens = normal(words_of(filled))
    words = [token.text for token in tokens]
    quantities = quantities_in(tokens, worked.pattern.sizes)
    for one in quantities:
        place = tokens[one.number.first].place
        fact = next((name for start, end, name in spans if start <= place < end), "")
        number = worked.facts.get(fact)
        around = content(words, one, quantities)
        for planned in _both_ends(one, f"“{' '.join(words[one.first : one.end])}” in the texts", "text", fact, around):
            if number and number.unit != "mm" and all(not isinstance(value, str) for value in number.values):
                planned = replace(planned, values=tuple(float(v) for v in number.values), what=number.meaning)
            yield planned


def filled_with_spans(worked: Worked, text: str) -> tuple[str, tuple[tuple[int, int, str], ...]]:
    """Fill the facts of a text in for the film size, and tell where each stands: (start, end, name)."""
    word = for_size(worked.facts, worked.size)
    parts: list[str] = []
    marked = fill(text, lambda name: f"\ue000{name}\ue001")
    spans, length = [], 0
    for part in re.split("(\ue000[^\ue001]*\ue001)", marked):
        shown = part
        if part.startswith("\ue000"):
            name = part[1:-1]
            shown = word(name)
            fact = named(worked.facts, name)
            spans.append((length, length + len(shown), fact.name if fact else name))
        parts.append(shown)
        length += len(shown)
    return "".join(parts), tuple(spans)


def content(words: Sequence[str], one: Quantity, others: Sequence[Quantity], reach: int = 7) -> frozenset[str]:
    """Give the words around a quantity that tell what it counts, up to the next of its unit on either side."""
    start = max((other.end for other in others if other.end <= one.first and other.unit == one.unit), default=0)
    stop = min((other.first for other in others if other.first >= one.end and other.unit == one.unit), default=len(words))
    near = [*words[max(start, one.first - reach) : one.first], *words[one.end : min(stop, one.end + reach)]]
    return frozenset(word for word in near if word not in IDLE and word not in UNITS and len(word) > 1)


def _states(worked: Worked, number: str) -> Iterator[Planned]:
    """Give the stitches and the rounds that the full pieces of a segment have, before and after its shots."""
    for piece in worked.table:
        stand = piece.stands.get("full")
        if not f"{piece.shot}".startswith(f"{number}.") or stand is None:
            continue
        for state in dict.fromkeys((stand.start, stand.end)):
            for key, steps in zip(worked.pattern.order, state, strict=True):
                stage = worked.kinds["full"].stage(key, worked.size)
                at = worked.pattern.order.index(key)
                if steps and (steps < len(stage.steps) or stand.start[at] != stand.end[at]):
                    after = stage.steps[steps - 1].after
                    yield Planned("stitches", (float(after),), f"{stage.title}: stitches of the piece here", "state")
                    done = stage.rounds_at(steps)
                    unit = "rows" if stage.rounds and stage.rounds[0].flat else "rounds"
                    if done:
                        yield Planned(unit, (float(done),), f"{stage.title}: done on the piece here", "state")
                        rest = len(stage.rounds) - done
                        yield Planned(unit, (float(rest),), f"{stage.title}: still to do", "state")


def _samples(worked: Worked, number: str, stages: Sequence[str]) -> Iterator[Planned]:
    """Give the numbers of the short and small pieces on the tables of a segment that are not the pattern's."""
    for piece in worked.table:
        if not f"{piece.shot}".startswith(f"{number}."):
            continue
        for kind, stand in piece.stands.items():
            if kind != "full":
                yield from _of_kind(worked, kind, worked.kinds[kind], stand.end, stages)


def _of_kind(worked: Worked, kind: str, pattern: WorkedPattern, state: Sequence[int], stages: Sequence[str]) -> Iterator[Planned]:
    for key, steps in zip(pattern.order, state, strict=True):
        stage, full = pattern.stage(key, worked.size), worked.pattern.stage(key, worked.size)
        if not (steps or key in stages):
            continue
        unit = "rows" if full.rounds and full.rounds[0].flat else "rounds"
        if stage.numbers is not None:
            where = "" if key in stages else key
            yield Planned(unit, (float(len(stage.rounds)),), f"{stage.title} of the {kind} piece", "sample", stage=where)
        if kind == "small":
            for count in dict.fromkeys(step.after for step in stage.steps):
                if count and key in stages:
                    yield Planned("stitches", (float(count),), f"{stage.title} of the {kind} piece", "sample")


def _must_say(worked: Worked, segment: Segment, stages: Sequence[str], number: str) -> Iterator[Planned]:
    """Give the numbers that must be said: the facts of the script; without one, what a shaping comes to."""
    scripted = False
    for shot in segment.shots:
        scripted = scripted or bool(shot.say)
        for text in (shot.say, *(point.text for point in shot.points)):
            yield from (one for one in numbers_of_text(worked, text) if one.fact and one.unit in ("stitches", "rounds", "rows", "cm", "inches"))
    moved = {
        key
        for piece in worked.table
        if f"{piece.shot}".startswith(f"{number}.")
        for stand in piece.stands.values()
        for key, a, b in zip(worked.pattern.order, stand.start, stand.end, strict=True)
        if b > a
    }
    for key in () if scripted else stages:
        stage = worked.pattern.stage(key, worked.size)
        if key in moved and stage.rounds and stage.rounds[0].before != stage.rounds[-1].after:
            for name, cue in (("stitches", "end"), ("rounds", "total"), ("rows", "total")):
                fact = worked.facts[f"{key}.{name}"]
                if any(fact.values):
                    yield _of_fact(fact, name, cue)
