"""The ``pattern.yaml`` of a written pattern that was taken in."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from lessonplan.beginning.constructions import sized
from lessonplan.beginning.written.given import Taken, quoted, remark
from lessonplan.beginning.written.materials import Sorted, Yarn, hexes_of
from lessonplan.beginning.written.pattern import UNPLACED, Pattern
from lessonplan.beginning.written.works import BRACES, OWN_LENGTH, Stage, Work

_TEXTS = frozenset(("before", "note", "what", "along", "title", "method"))
_WORD = re.compile(r"\w+")


@dataclass(frozen=True, slots=True)
class Written:
    """A pattern's file as text, with what the other files need of it.

    ``works`` tells which lines of the text each work stands in: (first, last, place of the stage, place of the work).
    """

    text: str
    works: tuple[tuple[int, int, int, int], ...]
    taken: tuple[Taken, ...]


def write(pattern: Pattern) -> Written:
    """Write the file of a pattern."""
    lines: list[str] = [
        "# The pattern, as it was read. What could not be placed stands as a remark where it was printed.",
        "# Every number that is said, shown or printed comes from here, so it stands here only once.",
        "",
    ]
    for key, block in _blocks(pattern):
        lines += [f"# {remark(text)}" for text in pattern.remarks.get(key, ())]
        lines += [*block, ""] if block else []
    known = {key for key, _ in _blocks(pattern)}
    lines += [f"# {remark(text)}" for key, texts in pattern.remarks.items() if key not in known for text in texts]
    lines += ["stages:"]
    works: list[tuple[int, int, int, int]] = []
    for number, stage in enumerate(pattern.stages):
        lines += _stage_head(stage)
        for place, work in enumerate(stage.works):
            begin = len(lines) + 1
            lines += _work(work)
            works.append((begin, len(lines), number, place))
        lines.append("")
    amiss = {one.line: one.sentence for one in pattern.whole.problems if one.kind == "sizes"}
    taken = tuple(
        Taken(
            line=entry.spread.line,
            text=entry.spread.text,
            kind=told.kind,
            stands=told.stands,
            left=told.left or amiss.get(entry.spread.line, ""),
        )
        for index, entry in enumerate(pattern.whole.printed.entries)
        for told in (pattern.taken.get(index, UNPLACED),)
    )
    lines += [f"# Printed in line {number}: {remark(text)}" for number, text in _left_out(pattern, "\n".join(lines))]
    return Written("\n".join(lines).rstrip() + "\n", tuple(works), taken)


def _left_out(pattern: Pattern, written: str) -> Iterator[tuple[int, str]]:
    """The printed lines of which a word stands nowhere: such as what a line says before it names its sizes."""
    known = "\n".join([written.replace('\\"', '"'), *pattern.summary, pattern.materials.rights])
    missing = Counter(_WORD.findall(pattern.given.text)) - Counter(_WORD.findall(known))
    for number, text in enumerate(pattern.given.text.split("\n"), 1):
        words = Counter(_WORD.findall(text))
        if any(missing[word] > 0 for word in words):
            missing.subtract(words)
            yield number, text


def _blocks(pattern: Pattern) -> Iterator[tuple[str, list[str]]]:
    """The keys of the file before its stages, each with its lines."""
    stuff, gauge = pattern.materials, pattern.gauge
    yield "title", [f"title: {quoted(pattern.title)}"]
    yield "craft", [f"craft: {stuff.craft}"] if stuff.craft != "knitting" else []
    yield "terms", ["terms: uk"] if pattern.whole.terms == "uk" else []
    yield "make", [f"make: {pattern.found.make}"] if pattern.found.make > 1 else []
    yield "skill", [f"skill: {quoted(stuff.skill)}"] if stuff.skill else []
    names = pattern.whole.printed.sizes
    fits = stuff.fits or [""] * len(names)
    sizes = [
        line
        for name, fit in zip(names, fits, strict=True)
        for line in (f"  - name: {quoted(name)}", *([f"    fits: {quoted(fit)}"] if fit else ()))
    ]
    yield "sizes", ["sizes:", *sizes] if len(names) > 1 or stuff.fits else []
    ask = "   # a guess: type what your washed swatch has" if gauge.guessed else ""
    kept = [
        "gauge:", f"  stitches: {gauge.stitches}", f"  rounds: {gauge.rounds}{ask}", f"  over: {gauge.over}",
        *([f"  fabric: {quoted(gauge.fabric)}"] if gauge.fabric else ()),
    ]  # fmt: skip
    yield "gauge", kept
    yield "needles", ["needles:", *(f"  - {quoted(one)}" for one in stuff.needles)] if stuff.needles else []
    yield "notions", ["notions:", *(f"  - {quoted(one)}" for one in stuff.notions)] if stuff.notions else []
    drawn = zip(stuff.yarns.items(), hexes_of(f"{one.name} {one.colour}" for one in stuff.yarns.values()), strict=True)
    yield "yarns", ["yarns:", *(line for (key, yarn), colour in drawn for line in _yarn(key, yarn, colour))]
    rows = pattern.whole.printed.patterns
    written = [
        line for name in rows for line in (f"  {quoted(name)}:", *(f"    - {quoted(row)}" for row in rows[name]))
    ]
    yield "patterns", ["patterns:", *written] if written else []


def _yarn(key: str, yarn: Yarn, colour: str) -> Iterator[str]:
    yield f"  {key}:"
    yield f"    name: {quoted(yarn.name)}"
    for name in ("colour", "weight", "fibre"):
        if value := getattr(yarn, name):
            yield f"    {name}: {quoted(value)}"
    yield f'    hex: "{colour}"       # how it is drawn; in quotes, because # otherwise begins a remark'
    metres, grams = yarn.metres or 2 * yarn.grams or 200, yarn.grams or yarn.metres / 2 or 100
    yield f"    metres: {metres:g}{'' if yarn.metres else '   # a guess: type what a ball has'}"
    yield f"    grams: {grams:g}{'' if yarn.grams else '   # a guess: type what a ball weighs'}"


def _stage_head(stage: Stage) -> Iterator[str]:
    yield from (f"  # {remark(text)}" for text in stage.remarks)
    yield f"  {stage.key}:"
    yield f"    title: {quoted(stage.title)}"
    if stage.after:
        yield f"    after: {', '.join(stage.after)}"
    yield "    works:"


def _work(work: Work) -> Iterator[str]:
    yield from (f"      # {remark(text)}" for text in work.remarks)
    lead = "      - "
    for key, value in work.keys.items():
        if isinstance(value, list):
            yield f"{lead}{key}:"
            yield from (f"          - {quoted(one).replace('{ { length } }', OWN_LENGTH)}" for one in value)
        else:
            yield f"{lead}{key}: {quoted(value) if key in _TEXTS else value}"
        lead = "        "


def set_aside(pattern: Pattern, stage: int, place: int, why: str) -> None:
    """Put a work that the course cannot work, though the print is not at fault, as minutes with its print."""
    work = pattern.stages[stage].works[place]
    lines = work.keys.get("lines", [])
    said = " ".join(lines) if isinstance(lines, list) else str(lines)
    said = said.replace(OWN_LENGTH, str(work.keys.get("rounds", work.keys.get("rows", ""))))
    said = said or " ".join(work.remarks) or " ".join(f"{key}: {value}" for key, value in work.keys.items())
    kept: dict[str, str | list[str]] = {key: work.keys[key] for key in ("before", "note") if key in work.keys}
    after = [line.counted.stitches for line in pattern.whole.lines if line.entry in work.entries[-1:]]
    if after and all(after[0]):
        kept["leaves"] = sized(after[0])
    safe = said if not BRACES.search(said) else "As said in the remark above"
    remarks = [*work.remarks, *([said] if safe != said else []), f"not worked as stitches: {why}"]
    left = "type it so that it can be worked, or say its minutes"
    pattern.stages[stage].works[place] = Work(work.entries, {"minutes": "30", "what": safe, **kept}, remarks)
    for index in work.entries:
        told = pattern.taken[index]
        pattern.taken[index] = Sorted(f"{told.kind}, not worked", told.stands, left)
