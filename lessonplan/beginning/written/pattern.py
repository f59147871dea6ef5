"""A written pattern taken in: every printed line sorted."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from pathlib import Path

from lessonplan.beginning.written.changes import changes_in
from lessonplan.beginning.written.given import Given, Shown
from lessonplan.beginning.written.materials import (
    COLOURED,
    LISTED,
    RIGHTS,
    THING,
    Gauge,
    Materials,
    Sorted,
    Yarn,
    gauge_of,
)
from lessonplan.beginning.written.stages import Stager
from lessonplan.beginning.written.works import BRACES, OWN_LENGTH, Found, Stage, Work
from lessonplan.needle.pattern import Whole, work_whole
from lessonplan.printed.leaflet.contents import read_whole
from lessonplan.printed.leaflet.explained import meaning_of
from lessonplan.printed.leaflet.layout import LABEL, Spread
from lessonplan.printed.leaflet.sizes import in_one_bracket
from lessonplan.printed.leaflet.wordings import LISTS, MAKE, TENSION, times_made
from lessonplan.printed.line import crochet_stitch

_AMOUNT = re.compile(
    r"\d\s?(?:mm|cm|g\b|m\b|oz|yds?|sts?\b|in\b)|\d+ (?:\(.*\) )?(?:balls?|skeins?|hanks?)\b", re.IGNORECASE
)
"""What tells that a line without a colon is one of a list: `NEEDLES 4 mm`, `Gauge is not important; 18 sts = 4 in`."""
_FITS = re.compile(r"(to fit(?: [a-z]+){0,3})\s+(?=\d)", re.IGNORECASE)
_HEAD = re.compile(r"([^:]{1,30}):\s+(?=\S)")
_GUESSED = {"knitting": ("20", "28", "10 cm", ""), "crochet": ("16", "18", "10 cm", "")}
_EXPLAINED = re.compile(r"[\w()/ ]{1,10}\s*[:=–-]\s*[a-z][a-z(), ]{2,40}\.?", re.IGNORECASE)
"""An abbreviation that was read as a line, since it is one of a row or a stitch: "rnd(s): round(s)"."""
_BEGINS = re.compile(r"\bco \d|\bcast(?:ing)? on\b|\bch(?:ain)? \d|\b(?:mr|magic ring|ring)\b", re.IGNORECASE)
_NUMBERS = re.compile(r"\d+")
_LIST = re.compile(r"\b\d+ ?[(\[][\d,; ]+[)\]]")
CLEARLY = 2
"""So many more numbers of one size than of any other let a script tell the size that is filmed; a guess."""
_SHOWN_IN = re.compile(
    r"\b(?:shown|pictured|photographed|modell?ed|sample)\b[^.;]{0,30}?\b(?:size|in)\s+(?:the\s+)?(?:size\s+)?(?=(\w.{0,30}))",
    re.IGNORECASE,
)
"""`Shown in size 2 years, worn with 4 cm of ease`: what begins the words after it is a size, or it is none."""
_PAIRED = r"(?:socks|stockings|mittens|mitts|gloves|slippers|boot(?:ie|ee)s|(?:leg|wrist) ?warmers)"
_PAIR_OF = re.compile(rf"\bpair of\b[^.;:]*?\b{_PAIRED}\b", re.IGNORECASE)
_PAIRED_TITLE = re.compile(rf"(?:(?!\band\b)[^&+,/])*\b{_PAIRED}\W*", re.IGNORECASE)
_ONE_OF_A_PAIR = re.compile(
    r"\b(?:left|right|first|second|other|2nd|both|each)\s+"
    r"(?:sock|stocking|mitt|mitten|glove|slipper|boot(?:ie|ee)|(?:leg|wrist) ?warmer)s?\b",
    re.IGNORECASE,
)
"""Where print speaks of either of them, it is not known whether its lines are for both."""
UNPLACED = Sorted("not placed", "pattern.yaml, a remark", "put it where it belongs, or delete it")


@dataclass(slots=True)
class Pattern:
    """A written pattern, taken in. ``remarks`` stand above the key of the file that they are filed under.

    ``notes`` are read before the first work; ``told`` is the printed line of the last paragraph of the ``summary``,
    ``rights_line`` that of the rights.
    """

    given: Given
    whole: Whole
    materials: Materials
    title: str
    summary: list[str] = field(default_factory=list)
    found: Found = field(default_factory=Found)
    taken: dict[int, Sorted] = field(default_factory=dict)
    remarks: dict[str, list[str]] = field(default_factory=dict)
    gauge: Gauge = field(default=Gauge("20", "28", "10 cm"))
    made: int = 1
    notes: list[str] = field(default_factory=list)
    told: int = 0
    rights_line: int = -1
    spoken: str = ""

    @property
    def stages(self) -> list[Stage]:
        """The stages, in the order of the print."""
        return self.found.stages

    @property
    def film_size(self) -> str:
        """The size in which print says that it is shown, or whose numbers are spoken, else the middle one."""
        names = self.whole.printed.sizes
        shown = (found[1].lower() for found in _SHOWN_IN.finditer(" ".join(self.given.text.split())))
        told = [max((one for one in names if text.startswith(one.lower())), key=len, default="") for text in shown]
        return next((one for one in told if one), self._spoken_size() or names[len(names) // 2])

    def _spoken_size(self) -> str:
        """The size of which a script tells more numbers than of any other; none where that is not clear."""
        spoken = [int(one) for one in re.findall(r"(?<![\w.,])\d+(?![\w.,]*\d)", self.spoken)]
        every: list[tuple[float | None, ...]] = []
        every += [tuple(map(int, _NUMBERS.findall(one[0]))) for one in _LIST.finditer(self.given.text)]
        every += [line.counted.stitches for line in self.whole.lines]
        own = [one for one in every if len(one) == len(self.sizes) and len({*one}) > 1]
        scores = [sum(one in {each[size] for each in own} for one in spoken) for size in range(len(self.sizes))]
        best = max(scores)
        return self.sizes[scores.index(best)] if best >= CLEARLY + sorted(scores)[-2:][0] else ""

    def tell(self, line: int, text: str) -> None:
        """Put a sentence to the summary: to its last paragraph, if it is printed in the same."""
        said = text if text[-1] in '.!?:;…"”’' else f"{text}."
        if self.summary and self.told == line:
            self.summary[-1] += f" {said}"
        else:
            self.summary.append(said)
        self.told = line

    @property
    def for_whom(self) -> tuple[str, ...]:
        """The names of the sizes, and the line in which they are printed, which may say of what they are so many."""
        printed = self.whole.printed
        lines = [
            one.spread.text for one in printed.entries if one.kind == "sizes" and one.spread.line == printed.sizes_line
        ]
        return (*self.sizes, *lines)

    @property
    def sizes(self) -> tuple[str, ...]:
        """The names of the sizes."""
        return self.whole.printed.sizes

    def shown(self) -> list[Shown]:
        """What a first course can show of each stage."""
        found = []
        changes = changes_in(self.whole, self.sizes.index(self.film_size))
        for stage in self.stages:
            entries = [index for work in stage.works if "lines" in work.keys for index in work.entries]
            rows = tuple(one for index in entries for one in changes.get(index, ()))
            works = tuple(next(iter(work.keys)) for work in stage.works)
            stitches = any(set(work.keys) & {"lines", "cast_on", "take_up"} for work in stage.works)
            begins = f"{stage.key}, after cast_on" if "cast_on" in stage.works[0].keys else f"before {stage.key}"
            found.append(Shown(stage.key, stage.title, begins, stitches, self._rounds(stage), works, rows))
        return found

    def _rounds(self, stage: Stage) -> int:
        """How many rounds a stage has in the size that is filmed; 0 where a length or a strange line has some."""
        size, lines = self.sizes.index(self.film_size), {line.entry: line.counted for line in self.whole.lines}
        works = [work for work in stage.works if "lines" in work.keys]
        own = [lines[index] for work in works for index in work.entries if index in lines]
        known = all(one.stitches[size] is not None for one in own)
        lengths = any(OWN_LENGTH in str(work.keys["lines"]) for work in works)
        return sum(one.rounds[size] for one in own) if known and not lengths else 0

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
    printed = read_whole(given.text)
    if (text := in_one_bracket(given.text, len(printed.sizes))) != given.text:
        given = replace(given, text=text)
        printed = read_whole(text)
    whole = work_whole(printed)
    entries = whole.printed.entries
    worked = [i for i, each in enumerate(entries) if each.kind in ("line", "as")]
    if not worked:
        raise NoPatternError(f"{given.file}: nothing in it is an instruction that is worked, so it is no pattern.")
    craft = "crochet" if any(crochet_stitch(entries[i].read.text, printed.colours) for i in worked) else "knitting"
    pattern = Pattern(given, whole, Materials(whole.printed.sizes, craft), title)
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
    stager = Stager(whole, pattern.title, pattern.gauge.as_fabric(), [*yarns], loose)
    pattern.found = stager.stages()
    pattern.found.make = max(pattern.found.make, pattern.made)
    if not pattern.stages:
        raise NoPatternError(f"{given.file}: no part of it could be made a stage, so it is no pattern.")
    pattern.taken |= pattern.found.taken
    _place_notes(pattern)
    _pair(pattern)
    return pattern


def _pair(pattern: Pattern) -> None:
    """What is worn in pairs is made twice, where print works one and says no more of the other."""
    if pattern.found.make > 1 or _ONE_OF_A_PAIR.search(pattern.given.text):
        return
    for index, told in pattern.taken.items():
        text = " ".join(pattern.whole.printed.entries[index].spread.text.split())
        if told.kind == "what it is about" and _PAIR_OF.search(text):
            pattern.found.make = 2
            pattern.taken[index] = replace(told, stands=f"{told.stands}; pattern.yaml: make")
        elif told.kind == "title" and _PAIRED_TITLE.fullmatch(text):
            pattern.found.make = 2
            pattern.taken[index] = replace(
                told, stands=f"{told.stands}, make", left="“make: 2” is a guess: delete it if the lines are for both"
            )


def _place_notes(pattern: Pattern) -> None:
    """Notes on the whole are read before its first work; a yarn in several colours stands by the keys of these."""
    first, stuff = pattern.stages[0], pattern.materials
    if pattern.notes:
        work = first.works[0]
        work.keys["before"] = " ".join([*pattern.notes, *([str(work.keys["before"])] if "before" in work.keys else [])])
    stands = {"note": f"pattern.yaml: stages, {first.key}, before"}
    if stuff.colours:
        stands["yarn"] = f"pattern.yaml: yarns, {', '.join(stuff.colours)}"
    for index, told in pattern.taken.items():
        if told.kind == "note" or (told.kind == "yarn" and told.stands == f"pattern.yaml: yarns, {stuff.ball}"):
            pattern.taken[index] = replace(told, stands=stands.get(told.kind, told.stands))


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
            pattern.tell(entry.spread.line, text)
            told = Sorted("what it is about", "course.yaml: summary")
        elif entry.kind == "row":
            told = Sorted("row of a stitch pattern", f"pattern.yaml: patterns, {section.name}")
        elif entry.kind in ("sizes", "prose") and entry.spread.line == printed.sizes_line and printed.named:
            told = Sorted("sizes", "pattern.yaml: sizes")
        elif entry.kind in ("prose", "sizes"):
            told = _said(pattern, index, text, first)
            if told is None and entry.kind == "prose" and section.kind not in ("info", "sizes", "pattern"):
                continue  # it stands between the lines of a stage
            told = told or UNPLACED
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
        if told.kind not in ("row of a stitch pattern", "part", "what it is about", "rights", "note"):
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
    head = _HEAD.match(text) or _FITS.match(text)
    listed = section.kind in ("info", "sizes") or entry.kind == "sizes"
    things = _things(entry.spread) if listed and not head else []
    if len(things) > 1:
        each = [one for thing in things if (one := pattern.materials.take(section.name, thing))]
        kinds, left = (", ".join(dict.fromkeys(getattr(one, key) for one in each)) for key in ("kind", "left"))
        return Sorted(kinds, each[0].stands, left.strip(", ")) if each else None
    told = pattern.materials.take(head[1], text[head.end() :]) if head and (listed or early) else None
    if told is None and early and TENSION.search(text):
        told = pattern.materials.take("gauge", text)
    if told is None and early and (bare := LISTS.match(text)) and _AMOUNT.search(text, bare.end()):
        told = pattern.materials.take(bare[1], text[bare.end() :])
    if MAKE.match(text) and len(text.split()) < 4:
        pattern.made = times_made(text)
        return Sorted("made again", "pattern.yaml: make")
    needed = re.search(r"\b(?:need|materials?|supplies)\b", section.name, re.IGNORECASE)
    if told is None and entry.kind == "prose" and (listed or (early and needed)):
        told = pattern.materials.take(section.name, text)
    if told is None and RIGHTS.search(text) and not pattern.materials.rights:
        pattern.materials.rights, pattern.rights_line = text, entry.spread.line
        return Sorted("rights", "course.yaml: copyright")
    if told is None and entry.spread.line == pattern.rights_line:
        pattern.materials.rights += f" {text}"
        return Sorted("rights", "course.yaml: copyright")
    if told is None and re.search(r"\bnotes?\b", section.name, re.IGNORECASE) and not BRACES.search(text):
        pattern.notes.append(text if text[-1] in ".!?:;" else f"{text}.")
        return Sorted("note", "pattern.yaml: stages, before")
    about = re.search(r"about|introduction|construction|overview|tips|ease|story", section.name, re.IGNORECASE)
    part = section.name not in ("", pattern.title) and entry.section == pattern.whole.printed.entries[first].section
    before = early and section.kind in ("worked", "") and not part  # in a part it is said of the part
    if told is None and before and LISTED.match(text) and len(text.split()) < 12:
        return pattern.materials.take("materials", text)
    if told is None and not BRACES.search(text) and (about or before):
        alone = (
            before and text[0].isdigit() and section.name not in ("", pattern.title)
        )  # `FINISHED CHEST`, `22 inches`
        pattern.tell(entry.spread.line, f"{section.name.capitalize()}: {text}" if alone else text)
        return Sorted("what it is about", "course.yaml: summary")
    return told


def _things(spread: Spread) -> list[str]:
    """The things of a list whose lines were read as one, since none of them ends a sentence; else the whole."""
    starts = [at for at, _, _ in spread.spots]
    lines = [spread.text[at:end].strip() for at, end in zip(starts, [*starts[1:], len(spread.text)], strict=True)]
    return lines if any(THING.match(line) or COLOURED.match(line) for line in lines[1:]) else [spread.text]
