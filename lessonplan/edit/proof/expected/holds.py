"""What holds in a segment: each number of the pattern that is true there, and those of the pieces on its tables.

The stages of a segment are those that its pieces are worked in, or that it names; where all pieces are finished, the
whole pattern. The numbers typed into the segment's texts are planned too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.episodes import Segment
from lessonplan.course.values.fields import Item
from lessonplan.craft import tables
from lessonplan.edit.proof.expected.parts import Parts, parts_of
from lessonplan.edit.proof.expected.prose import WORKED_HERE, live_counts, things_of
from lessonplan.edit.proof.expected.stages import LINE, Step, numbers_of_line, rhythm_of, stage_numbers
from lessonplan.edit.proof.expected.texts import (
    IDLE,
    both_ends,
    filled_with_spans,
    numbers_of_text,
    texts_in,
    typed_numbers,
)
from lessonplan.edit.proof.findings import Planned, of_fact
from lessonplan.edit.proof.pairs.opposites import Bound, bound_in
from lessonplan.edit.proof.sequences import placed_in
from lessonplan.edit.proof.steps import Line, lines_of
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.sizes import size_names
from lessonplan.edit.speech.units import normal, words_of
from lessonplan.pattern.amounts.yarn import METRES_PER_YARD
from lessonplan.planning.worked import Worked
from lessonplan.remembered import remembered
from lessonplan.samples.pieces import TablePiece
from lessonplan.samples.states import kind_of_piece


@dataclass(frozen=True, slots=True)
class Counted:
    """A count of a gauge: so many of a unit over a length in cm; ``stage``: that of one stage alone, else of all."""

    unit: str
    count: float
    over: float
    stage: str = ""


@dataclass(frozen=True, slots=True)
class Holds:
    """All that holds in a segment: of the ``pattern`` by unit, of the ``samples`` on its tables, what is to be said.

    ``stages`` are its own; ``elsewhere`` holds numbers of all stages, for when one is named;
    ``rhythms`` are the steps that follow one another in its lines, ``lines`` their steps; ``flat`` tells of rows, None
    where the segment has neither rounds nor rows; ``own`` are the words that name the course, ``known`` those of all
    its texts, ``colours`` those of its yarns; ``parts`` tells of yarns and needles, ``bound`` of words of a pair,
    ``gauges`` of the counts of its gauges; ``up_to`` is the round up to which the segment goes, 0 where it may be any;
    ``options`` are the parts that only those make who choose them.
    """

    segment: str
    pattern: Mapping[str, tuple[Planned, ...]]
    samples: tuple[Planned, ...]
    must_say: tuple[Planned, ...]
    stages: tuple[str, ...]
    elsewhere: tuple[Planned, ...]
    titles: Mapping[str, str]
    flat: bool | None
    own: frozenset[str]
    rounds: int
    techniques: frozenset[str]
    rhythms: frozenset[tuple[Step, Step]]
    yarns: frozenset[str]
    colours: frozenset[str]
    sizes: tuple[str, ...]
    size: int
    parts: Parts
    bound: Bound
    known: str
    gauges: tuple[Counted, ...]
    lines: tuple[Line, ...]
    up_to: int
    options: frozenset[str]

    @property
    def other_sizes(self) -> frozenset[str]:
        """The words by which sizes are named that are not filmed."""
        return frozenset(word for word, size in size_names(self.sizes).items() if size != self.size)


@remembered(2)
def holds_in(worked: Worked) -> dict[str, Holds]:
    """Work out what holds in every segment of a course, by its number (``2.4``)."""
    keys = dict.fromkeys(key for way in worked.ways for key in way.worked.order)
    every = tuple(one for key in keys for one in stage_numbers(worked, key))
    whole = tuple(_course_numbers(worked))
    parts = parts_of(worked, _needles(every))
    segments = [(number, segment) for number, _, segment in worked.course.segments()]
    return {number: _holds(worked, number, segment, every, whole, parts) for number, segment in segments}


Numbers = tuple[Planned, ...]


def _holds(worked: Worked, number: str, segment: Segment, every: Numbers, whole: Numbers, parts: Parts) -> Holds:
    stages, all_of_it = stages_of(worked, number, segment)
    typed = tuple(typed_numbers(worked, segment))
    own = tuple(one for one in every if one.stage in stages)
    if all_of_it:  # of the whole piece what its stages come to is spoken of; or only what the texts name
        told = any(one.fact and one.unit in ("stitches", "rounds", "rows") for one in typed)
        own = tuple(
            one
            for one in own
            if one.cue == "needle" or not (told or one.cue == "state" or one.cue.startswith(("round ", "own ")))
        )
    states = tuple(_states(worked, number))
    rounds = [step for key in stages for step in worked.pattern.stage(key, worked.size).rounds]
    lines = tuple(_live_lines(segment))
    names = {
        name for key in stages for step in worked.pattern.stage(key, worked.size).steps for name, _ in step.techniques
    }
    names |= {verb for verb, _, _ in LINE.findall(" ".join(_live_texts(segment))) if verb == "p"}
    names |= {"purled"} if any({name for name, _ in step.techniques} == {"p"} for step in rounds) else set()
    striped = {"stripes"} if any(parts.every[key].stripes for key in stages) else set[str]()
    watched = [worked.course.pattern.stages[key].watch_for for key in (() if all_of_it else stages)]
    kinds = {str(getattr(work, "method", "")) for key in stages for work in worked.course.pattern.stages[key].works}
    return Holds(
        segment=number,
        pattern=by_unit((*own, *whole, *typed, *states, *lines)),
        samples=tuple(dict.fromkeys(_samples(worked, number, () if all_of_it else stages))),
        must_say=tuple(_must_say(worked, segment, stages, number)),
        stages=stages,
        elsewhere=every,
        titles={key: stage.title.lower() for key, stage in worked.course.pattern.stages.items()},
        flat=all(step.flat for step in rounds) if rounds else None,
        own=frozenset(
            word.removesuffix("s") for word in re.findall(r"\w+", _named_by(worked).lower()) if word not in IDLE
        ),
        rounds=0
        if all_of_it
        else max((len(worked.pattern.stage(key, worked.size).rounds) for key in stages), default=0),
        techniques=placed_in([step.text for step in rounds])
        | frozenset(names | kinds | striped | ({"wyib"} if _says_wyib(worked, stages) else set())),
        rhythms=frozenset(pair for text in _texts_of(worked, segment, stages) for pair in rhythm_of(text)),
        yarns=frozenset(yarn.weight.lower() for yarn in worked.course.pattern.yarns.values() if yarn.weight),
        colours=frozenset(
            word for yarn in worked.course.pattern.yarns.values() for word in re.findall(r"\w+", yarn.colour.lower())
        ),
        sizes=worked.pattern.sizes,
        size=worked.size,
        parts=replace(parts, here=() if all_of_it else stages),
        known=f"{_known(worked.course.pattern)} {_known(segment)}",
        gauges=tuple(_gauges(worked)),
        up_to=0 if all_of_it else _up_to(typed),
        options=frozenset(key for key, stage in worked.course.pattern.stages.items() if stage.when),
        lines=lines_of(sorted(_texts_of(worked, segment, stages if rounds else _next(worked, stages)))),
        bound=bound_in([filled_with_spans(worked, text)[0] for text in (*texts_in(segment), *watched)]),
    )


def _up_to(typed: Sequence[Planned]) -> int:
    """Give the round of setting up, where the texts of a segment tell of no stitches after a later one."""
    named = [re.fullmatch(r"\w+\.(?:round_(\d+)\.)?stitches", one.fact) for one in typed if one.fact]
    rounds = {int(one[1] or 99) for one in named if one}
    return max(rounds) if rounds and max(rounds) <= 2 else 0


def _gauges(worked: Worked) -> Iterator[Counted]:
    """Give the counts of the pattern's gauge, and of those that stages have of their own."""
    pattern = worked.course.pattern
    flat = all(step.flat for key in worked.pattern.order for step in worked.pattern.stage(key, worked.size).rounds)
    for key, gauge in (("", pattern.gauge), *((key, pattern.stages[key].gauge) for key in worked.pattern.order)):
        if gauge:
            yield Counted("stitches", float(gauge.stitches), gauge.over / 10, key)
            yield Counted("rows" if flat else "rounds", float(gauge.rounds), gauge.over / 10, key)


@remembered(8)
def _known(item: Item) -> str:
    """Give the words of all texts of a part of the course."""
    return " ".join(re.findall(r"[a-z]+", str(item.model_dump()).lower()))


def _needles(every: Sequence[Planned]) -> Mapping[str, frozenset[float]]:
    """Give the needles of each stage, in mm."""
    found: dict[str, set[float]] = {}
    for one in every:
        if one.cue == "needle" and one.unit == "mm":
            found.setdefault(one.stage, set()).add(one.at(0))
    return {key: frozenset(sizes) for key, sizes in found.items()}


@remembered(4)
def _on_tables(table: tuple[TablePiece, ...]) -> Mapping[str, tuple[TablePiece, ...]]:
    """The pieces on the tables of each segment, by its number."""
    found: dict[str, list[TablePiece]] = {}
    for piece in table:
        found.setdefault(piece.shot.segment, []).append(piece)
    return {number: tuple(pieces) for number, pieces in found.items()}


def _named_by(worked: Worked) -> str:
    return " ".join((worked.course.course.title, worked.course.pattern.title, *worked.pattern.sizes))


def by_unit(planned: Sequence[Planned]) -> Mapping[str, tuple[Planned, ...]]:
    """Sort planned numbers by their units, each once."""
    found: dict[str, list[Planned]] = {}
    seen = set[tuple[object, ...]]()
    for one in planned:
        key = (one.unit, one.values, one.cue, one.fact, one.words)
        if key not in seen:
            seen.add(key)
            found.setdefault(one.unit, []).append(one)
    return {unit: tuple(each) for unit, each in found.items()}


def _says_wyib(worked: Worked, stages: Sequence[str]) -> bool:
    text = " ".join(step.text for key in stages for step in worked.pattern.stage(key, worked.size).steps)
    return "wyib" in text and "wyif" not in text


def stages_of(worked: Worked, number: str, segment: Segment) -> tuple[tuple[str, ...], bool]:
    """Give the stages that a segment shows at work, and whether it is about the whole piece instead."""
    order, before = worked.pattern.order, worked.pattern.before
    under_way, done = dict[str, None](), dict[str, None]()
    for piece in _on_tables(worked.table).get(number, ()):
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


def _texts_of(worked: Worked, segment: Segment, stages: Sequence[str]) -> set[str]:
    """Give the printed lines of a segment's stages, and those worked before the camera."""
    texts = {step.text for key in stages for step in worked.pattern.stage(key, worked.size).rounds}
    return texts | {*_live_texts(segment)}


def _live_texts(segment: Segment) -> list[str]:
    """The lines worked before the camera in a segment."""
    return [hands.work for shot in segment.shots for hands in shot.hands if hands.work]


def _next(worked: Worked, stages: Sequence[str]) -> list[str]:
    """Give the stages that follow some, of which is told where these have no lines."""
    return [key for key, before in worked.pattern.before.items() if {*before} & {*stages}]


def _live_lines(segment: Segment) -> Iterator[Planned]:
    """Give the numbers of the lines worked before the camera."""
    for text in _live_texts(segment):
        yield from numbers_of_line(text, WORKED_HERE, 1)
        yield from live_counts(text)
        for _, count, _ in LINE.findall(text):
            yield Planned("stitches", (float(count),), WORKED_HERE, "line")


def _course_numbers(worked: Worked) -> Iterator[Planned]:
    """Give the numbers that hold everywhere: gauge, whole lengths, balls, ends, sizes, colours."""
    flat = all(step.flat for key in worked.pattern.order for step in worked.pattern.stage(key, worked.size).rounds)
    for name, unit, cue in (
        ("gauge.stitches", "stitches", "gauge"),
        ("gauge.rounds", "rows" if flat else "rounds", "gauge"),
        ("gauge.over", "cm", "gauge"),
        ("total.length", "cm", "whole"),
        ("ends", "ends", "total"),
    ):
        fact = worked.facts.get(name)
        if fact and any(fact.values):
            yield of_fact(fact, unit, cue)
    for fact in worked.facts.values():
        if fact.name.startswith("measure."):
            yield of_fact(fact, "cm", "measure")
        elif fact.name.endswith(".balls"):
            yield of_fact(fact, "balls", "total")
        elif re.fullmatch(r"yarn\..*\.(?:grams|metres|yards)", fact.name):
            yield of_fact(fact, fact.name.rpartition(".")[2], "total")
    for yarn in worked.course.pattern.yarns.values():
        for unit, amount in (("grams", yarn.grams), ("metres", yarn.metres), ("yards", yarn.metres / METRES_PER_YARD)):
            if amount:
                yield Planned(unit, (float(amount),), "a ball", "ball")
    printed = (row["text"] for row in tables.rows("cautions") if "viewers" in row["readers"].split())
    for text in (*worked.course.course.cautions, *printed):
        if "burn" in text and "minutes" in text:
            told = numbers_of_text(worked, text)
            yield from (replace(one, cue="cooled", what="printed caution") for one in told if one.unit == "minutes")
    yield from things_of(worked.course.pattern)
    yarns = [yarn for yarn in worked.course.pattern.yarns.values() if yarn.colour]
    if yarns:
        yield Planned("colours", (float(len(yarns)),), "colours", "total")
        yield Planned("balls", (float(len(yarns)),), "balls, one of each yarn", "text")
    yield Planned("sizes", (float(len(worked.pattern.sizes)),), "sizes", "total")
    fits = [quantities_in(normal(words_of(size.fits))) for size in worked.course.pattern.sizes]
    for size, found in zip(worked.course.pattern.sizes, fits, strict=True):
        for one in found:
            yield from both_ends(one, f"{size.name} fits {size.fits}", "measure")
    if len({tuple(one.unit for one in found) for found in fits}) == 1:
        for each in zip(*fits, strict=True):
            for values in (tuple(one.number.low for one in each), tuple(one.number.high for one in each)):
                yield Planned(each[0].unit, values, "what the size fits", "measure")


def _states(worked: Worked, number: str) -> Iterator[Planned]:
    """Give the stitches and the rounds that the full pieces of a segment have, before and after its shots."""
    for piece in _on_tables(worked.table).get(number, ()):
        stand = piece.stands.get("full")
        if stand is None:
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
    """Give the numbers of short and small pieces that are not the pattern's: of those on the tables of a segment, and
    of any stage wherever such a piece is filmed.
    """
    lying = (
        (kind, stand.end, at == number)
        for at, pieces in _on_tables(worked.table).items()
        for piece in pieces
        for kind, stand in piece.stands.items()
        if kind != "full"
    )
    for kind, state, here in dict.fromkeys(lying):  # a long course has the same states again and again
        yield from _of_kind(worked, kind, state, stages, here)


def _of_kind(worked: Worked, kind: str, state: Sequence[int], stages: Sequence[str], here: bool) -> Iterator[Planned]:
    """Give the numbers of a kind in a state, of the ``stages`` of a segment or of others, which then are named."""
    piece, pattern = kind_of_piece(worked.course.pattern, kind), worked.kinds[kind]
    for key, steps in zip(pattern.order, state, strict=True):
        stage, full = pattern.stage(key, worked.size), worked.pattern.stage(key, worked.size)
        if not steps and not (here and key in stages):
            continue
        unit = "rows" if full.rounds and full.rounds[0].flat else "rounds"
        if stage.numbers is not None:
            where = "" if key in stages else key
            run = next((at for at, number in enumerate(stage.numbers, 1) if number != at), 1) - 1
            for count in dict.fromkeys((len(stage.rounds), run if run > 1 else len(stage.rounds))):
                yield Planned(unit, (float(count),), f"{stage.title} of the {piece}", "sample", stage=where)
        if kind == "small":
            counts = {step.after: None for step in stage.steps}
            for count in counts if here or len(counts) == 1 else ():  # where it changes, any number may be one of it
                if count and key in stages:
                    yield Planned("stitches", (float(count),), f"{stage.title} of the {piece}", "sample")


def _must_say(worked: Worked, segment: Segment, stages: Sequence[str], number: str) -> Iterator[Planned]:
    """Give the numbers that must be said: the facts of the script; without one, what a shaping comes to."""
    scripted = False
    for shot in segment.shots:
        scripted = scripted or bool(shot.say)
        for text in (shot.say, *shot.must_say, *(point.text for point in shot.points)):
            yield from (
                one
                for one in numbers_of_text(worked, text)
                if one.fact and one.unit in ("stitches", "rounds", "rows", "cm", "inches")
            )
    moved = {
        key
        for piece in _on_tables(worked.table).get(number, ())
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
                    yield of_fact(fact, name, cue)
