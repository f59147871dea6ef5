"""A written pattern taken in: every printed line sorted, and the ``pattern.yaml`` that comes of it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from lessonplan.beginning.written.given import Given, Shown, Taken, quoted, remark
from lessonplan.beginning.written.materials import (
    LISTED,
    RIGHTS,
    THING,
    Gauge,
    Materials,
    Sorted,
    Yarn,
    gauge_of,
    hex_of,
)
from lessonplan.beginning.written.stages import Stager
from lessonplan.beginning.written.works import BRACES, Found, Stage, Work, sized
from lessonplan.course.values.quantities import read_length, read_number
from lessonplan.craft.gauge import Fabric
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.leaflet.explained import meaning_of
from lessonplan.printed.leaflet.layout import LABEL, Spread
from lessonplan.printed.leaflet.wordings import MAKE, times_made
from lessonplan.printed.line import crochet_stitch

_TEXTS = frozenset(("before", "note", "what", "along", "title"))
_HEAD = re.compile(r"([^:]{1,30}):\s+(?=\S)")
_GUESSED = {"knitting": ("20", "28", "10 cm", ""), "crochet": ("16", "18", "10 cm", "")}
_EXPLAINED = re.compile(r"[\w()/ ]{1,8}\s*[:=–-]\s*[a-z][a-z ]{2,30}\.?", re.IGNORECASE)
"""An abbreviation that was read as a line, since it is one of a row or a stitch: "rnd: round"."""
_BEGINS = re.compile(r"\bco \d|\bcast(?:ing)? on\b|\bch(?:ain)? \d|\b(?:mr|magic ring|ring)\b", re.IGNORECASE)
_WORD = re.compile(r"\w+")
_UNPLACED = Sorted("not placed", "pattern.yaml, a remark", "put it where it belongs, or delete it")


@dataclass(frozen=True, slots=True)
class Written:
    """A pattern's file as text, with what the other files need of it.

    ``works`` tells which lines of the text each work stands in: (first, last, place of the stage, place of the work).
    """

    text: str
    works: tuple[tuple[int, int, int, int], ...]
    taken: tuple[Taken, ...]


@dataclass(slots=True)
class Pattern:
    """A written pattern, taken in. ``remarks`` stand above the key of the file that they are filed under."""

    given: Given
    whole: Whole
    materials: Materials
    title: str
    summary: list[str] = field(default_factory=list)
    found: Found = field(default_factory=Found)
    taken: dict[int, Sorted] = field(default_factory=dict)
    remarks: dict[str, list[str]] = field(default_factory=dict)
    gauge: Gauge = field(default=Gauge("20", "28", "10 cm"))
    terms: str = "us"
    made: int = 1

    @property
    def stages(self) -> list[Stage]:
        """The stages, in the order of the print."""
        return self.found.stages

    @property
    def film_size(self) -> str:
        """The middle size."""
        names = self.whole.printed.sizes
        return names[len(names) // 2]

    @property
    def sizes(self) -> tuple[str, ...]:
        """The names of the sizes."""
        return self.whole.printed.sizes

    def shown(self) -> list[Shown]:
        """What a first course can show of each stage."""
        found = []
        for stage in self.stages:
            stitches = any(set(work.keys) & {"lines", "cast_on", "take_up"} for work in stage.works)
            begins = f"{stage.key}, after cast_on" if "cast_on" in stage.works[0].keys else f"before {stage.key}"
            found.append(Shown(stage.key, stage.title, begins, stitches))
        return found

    def count_ends(self, left: int) -> None:
        """Let as many ends be woven in as the yarns leave behind."""
        for stage in self.stages:
            for work in stage.works:
                if "weave_ends" in work.keys:
                    work.keys["weave_ends"] = str(max(1, left))

    def faulty(self, work: Work) -> bool:
        """Whether the print itself is at fault in a work's lines, so that only its author can mend it."""
        mine = {self.whole.printed.entries[index].spread.line for index in work.entries}
        return any(one.severity == "error" and one.line in mine for one in self.whole.problems)


class NoPatternError(ValueError):
    """A file in which nothing is worked; one sentence."""


def read_pattern(given: Given, gauge: tuple[str, str, str] | None = None, title: str = "") -> Pattern:
    """Take in a written pattern. ``gauge`` (stitches, rounds, length) and ``title`` are said by the teacher, if at all.

    Raises `NoPatternError`.
    """
    whole = work_whole(read_whole(given.text))
    entries = whole.printed.entries
    worked = [i for i, each in enumerate(entries) if each.kind in ("line", "as")]
    if not worked:
        raise NoPatternError(f"{given.file}: nothing in it is an instruction that is worked, so it is no pattern.")
    craft = "crochet" if any(crochet_stitch(entries[i].read.text) for i in worked) else "knitting"
    pattern = Pattern(given, whole, Materials(whole.printed.sizes, craft), title, terms=whole.terms)
    loose = _sort(pattern, worked[0])
    pattern.title = pattern.title or Path(given.file).stem.replace("_", " ")
    yarns = pattern.materials.yarns
    for key in sorted(whole.printed.colours):
        yarns.setdefault(key, Yarn("a yarn that the list of materials does not name"))
    if not yarns:
        yarns["A"] = Yarn("a yarn that suits the gauge")
    said = Gauge(*gauge) if gauge else None
    guessed = pattern.materials.gauge or gauge_of([*yarns.values()], craft) or Gauge(*_GUESSED[craft], guessed=True)
    pattern.gauge = said or guessed
    stager = Stager(whole, pattern.title, _fabric(pattern.gauge), [*yarns], loose)
    pattern.found = stager.stages()
    pattern.found.make = max(pattern.found.make, pattern.made)
    if not pattern.stages:
        raise NoPatternError(f"{given.file}: no part of it could be made a stage, so it is no pattern.")
    pattern.taken |= pattern.found.taken
    return pattern


def _fabric(gauge: Gauge) -> Fabric:
    return Fabric.of(read_number(gauge.stitches), read_number(gauge.rounds), read_length(gauge.over))


# what is said beside the instructions
def _sort(pattern: Pattern, first: int) -> set[int]:
    """Place all entries that are no instructions; gives those that are done with. ``first`` is the first worked one."""
    printed, key = pattern.whole.printed, "title"
    done: set[int] = set()
    waiting: list[str] = []
    explaining = False
    casts_on = (i for i, one in enumerate(printed.entries) if one.kind == "line" and _BEGINS.search(one.spread.text))
    begins = next(casts_on, 0)
    for index, entry in enumerate(printed.entries):
        section, text = printed.sections[entry.section], " ".join(entry.spread.text.split())
        told: Sorted | None = None
        if index == 0 and (entry.kind == "heading" or (entry.kind == "prose" and _short(text))):
            pattern.title = pattern.title or text
            told = Sorted("title", "pattern.yaml: title")
        elif entry.kind == "heading" and section.kind == "info" and not entry.spread.apart and THING.match(text):
            told = pattern.materials.take("materials", text)
        elif entry.kind == "heading":
            told = _heading(pattern, index)
        elif entry.kind == "abbreviation" or (_EXPLAINED.fullmatch(text) and explaining):
            told = _abbreviation(pattern, index)
        elif entry.kind == "line" and index < begins and not LABEL.match(text) and not BRACES.search(text):
            pattern.summary.append(text)
            told = Sorted("what it is about", "course.yaml: summary")
        elif entry.kind == "row":
            told = Sorted("row of a stitch pattern", f"pattern.yaml: patterns, {section.name}")
        elif entry.kind == "sizes" and entry.spread.line == printed.sizes_line:
            told = Sorted("sizes", "pattern.yaml: sizes")
        elif entry.kind in ("prose", "sizes"):
            told = _said(pattern, index, text, first)
            if told is None and entry.kind == "prose" and section.kind not in ("info", "sizes", "pattern"):
                continue  # it stands between the lines of a stage
            told = told or _UNPLACED
        explaining = told is not None and told.kind == "abbreviation"
        if told is None:
            continue
        done.add(index)
        pattern.taken[index] = told
        if told.kind == "heading":
            waiting.append(text)
            continue
        if told.stands.startswith("pattern.yaml: "):
            key = told.stands.removeprefix("pattern.yaml: ").split(",")[0]
        if told.kind not in ("row of a stitch pattern", "part", "what it is about", "rights"):
            pattern.remarks.setdefault(key, []).extend([*waiting, text])
            waiting.clear()
    pattern.remarks.setdefault(key, []).extend(waiting)
    return done


def _short(text: str) -> bool:
    return len(text.split()) < 9 and text[-1] not in ".:;," and not LABEL.match(text)


def _heading(pattern: Pattern, index: int) -> Sorted:
    """A heading: of a part that is worked, or of what stands below it."""
    section = pattern.whole.printed.sections[pattern.whole.printed.entries[index].section]
    worked = section.kind == "worked"
    return Sorted("part", "pattern.yaml, stages") if worked else Sorted("heading", "pattern.yaml, a remark")


def _abbreviation(pattern: Pattern, index: int) -> Sorted:
    """An abbreviation: the handout explains those that the program knows, whatever the list says."""
    place = pattern.whole.printed.entries[index].spread.line
    own = [one for one, line, _ in pattern.whole.printed.explained if line == place]
    craft = pattern.materials.craft
    strange = [
        one.keys[0]
        for one in own
        if len(one.meaning.split()) > 8 and meaning_of(one.keys[0], craft) == one.keys[0].lower()
    ]
    left = f"the handout does not explain {', '.join(strange)}: say it in a note of its stage" if strange else ""
    return Sorted("abbreviation", "pattern.yaml, a remark", left)


def _said(pattern: Pattern, index: int, text: str, first: int) -> Sorted | None:
    """What is said beside the instructions: materials, sizes and measures, or what the course is about."""
    entry, early = pattern.whole.printed.entries[index], index < first
    section = pattern.whole.printed.sections[entry.section]
    head = _HEAD.match(text)
    listed = section.kind in ("info", "sizes") or entry.kind == "sizes"
    things = _things(entry.spread) if listed and not head else []
    if len(things) > 1:
        each = [one for thing in things if (one := pattern.materials.take(section.name, thing))]
        kinds, left = (", ".join(dict.fromkeys(getattr(one, key) for one in each)) for key in ("kind", "left"))
        return Sorted(kinds, each[0].stands, left.strip(", ")) if each else None
    told = pattern.materials.take(head[1], text[head.end() :]) if head and (listed or early) else None
    if MAKE.match(text) and len(text.split()) < 4:
        pattern.made = times_made(text)
        return Sorted("made again", "pattern.yaml: make")
    needed = re.search(r"\b(?:need|materials?|supplies)\b", section.name, re.IGNORECASE)
    if told is None and entry.kind == "prose" and (listed or (early and needed)):
        told = pattern.materials.take(section.name, text)
    if told is None and RIGHTS.search(text) and not pattern.materials.rights:
        pattern.materials.rights = text
        return Sorted("rights", "course.yaml: copyright")
    about = re.search(r"note|about|introduction|construction|overview|tips|ease|story", section.name, re.IGNORECASE)
    part = section.name not in ("", pattern.title) and entry.section == pattern.whole.printed.entries[first].section
    before = early and section.kind in ("worked", "") and not part  # in a part it is said of the part
    if told is None and before and LISTED.match(text) and len(text.split()) < 12:
        return pattern.materials.take("materials", text)
    if told is None and not BRACES.search(text) and (about or before):
        pattern.summary.append(text)
        return Sorted("what it is about", "course.yaml: summary")
    return told


def _things(spread: Spread) -> list[str]:
    """The things of a list whose lines were read as one, since none of them ends a sentence; else the whole."""
    starts = [at for at, _, _ in spread.spots]
    lines = [spread.text[at:end].strip() for at, end in zip(starts, [*starts[1:], len(spread.text)], strict=True)]
    return lines if any(THING.match(line) for line in lines[1:]) else [spread.text]


# the file
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
    taken = tuple(
        Taken(line=entry.spread.line, text=entry.spread.text, kind=told.kind, stands=told.stands, left=told.left)
        for index, entry in enumerate(pattern.whole.printed.entries)
        for told in (pattern.taken.get(index, _UNPLACED),)
    )
    lines += [f"# Printed in line {number}: {remark(text)}" for number, text in _left_out(pattern, "\n".join(lines))]
    return Written("\n".join(lines).rstrip() + "\n", tuple(works), taken)


def _left_out(pattern: Pattern, written: str) -> Iterator[tuple[int, str]]:
    """The printed lines of which a word stands nowhere: such as what a line says before it names its sizes."""
    known = "\n".join([written.replace('\\"', '"'), *pattern.summary, pattern.materials.rights])
    missing = Counter(_WORD.findall(pattern.given.text)) - Counter(_WORD.findall(known))
    for number, text in enumerate(pattern.given.text.split("\n"), 1):
        words = Counter(_WORD.findall(text))
        if words & missing:
            missing -= words
            yield number, text


def _blocks(pattern: Pattern) -> Iterator[tuple[str, list[str]]]:
    """The keys of the file before its stages, each with its lines."""
    stuff, gauge = pattern.materials, pattern.gauge
    yield "title", [f"title: {quoted(pattern.title)}"]
    yield "craft", [f"craft: {stuff.craft}"] if stuff.craft != "knitting" else []
    yield "terms", ["terms: uk"] if pattern.terms == "uk" else []
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
    yield (
        "yarns",
        ["yarns:", *(line for place, key in enumerate(stuff.yarns) for line in _yarn(key, stuff.yarns[key], place))],
    )
    rows = pattern.whole.printed.patterns
    written = [
        line for name in rows for line in (f"  {quoted(name)}:", *(f"    - {quoted(row)}" for row in rows[name]))
    ]
    yield "patterns", ["patterns:", *written] if written else []


def _yarn(key: str, yarn: Yarn, place: int) -> Iterator[str]:
    yield f"  {key}:"
    yield f"    name: {quoted(yarn.name)}"
    for name in ("colour", "weight", "fibre"):
        if value := getattr(yarn, name):
            yield f"    {name}: {quoted(value)}"
    yield f'    hex: "{hex_of(place)}"       # how it is drawn; in quotes, because # otherwise begins a remark'
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
            yield from (f"          - {quoted(one)}" for one in value)
        else:
            yield f"{lead}{key}: {quoted(value) if key in _TEXTS else value}"
        lead = "        "


def set_aside(pattern: Pattern, stage: int, place: int, why: str) -> None:
    """Put a work that the course cannot work, though the print is not at fault, as minutes with its print."""
    work = pattern.stages[stage].works[place]
    lines = work.keys.get("lines", [])
    said = " ".join(lines) if isinstance(lines, list) else str(lines)
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
