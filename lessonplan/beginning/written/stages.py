"""The instructions of a written pattern as stages of a course: each printed line is put into a work, or beside one.

Lines stay as they are printed, since the course works them with the same reader; only what the course has a word of its
own for is taken apart: casting on, lengths, stitches put on hold and taken up, the last bind-off, and what is done
without needles. Two lines come into different works only if no later line goes back over the cut.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from lessonplan.beginning.written.materials import LENGTHS, Sorted, as_typed
from lessonplan.course.quantities import read_length, split_sizes
from lessonplan.craft.gauge import Fabric
from lessonplan.needle.whole import Whole
from lessonplan.printed.line import NotationError, crochet_stitch, parse_line
from lessonplan.printed.tree import (
    Again,
    BindOff,
    CastOn,
    Charted,
    Colour,
    Even,
    Hold,
    Join,
    Line,
    Mark,
    Num,
    Return,
    Rows,
    Shape,
)
from lessonplan.printed.wordings import MAKE, SECOND

PerSize = tuple[float, ...]
BRACES = re.compile(r"\{\{|\}\}|\{%|\{#")
"""What a text of a course cannot hold, since facts are named with it."""
_RESERVED = frozenset(
    re.findall(r"\w+", "nothing finished done all yarn gauge course size before after round row to or and not")
)
_RETURN = re.compile(
    r"\b(?:place|put|return|transfer|slip|move)\b.*\b(?:held|waste|scrap|holder)\b|\bheld\b.*\b(?:on|onto|back)\b",
    re.IGNORECASE,
)
_PICK_UP = re.compile(
    r"pick(?:ing)?\s+up\s+(?:and\s+knit\s+)?(\d+(?:\s*\([\d,\s]+\))?)\s*(?:sts?|stitches)?\s*(.*)", re.IGNORECASE
)
_THROUGH = re.compile(r"\bthrough\b.*\b(?:sts?|stitches|loops)\b|\bdraw\w*\b.*\btight", re.IGNORECASE)
_MEASURES = re.compile(r"\bmeasures?\b", re.IGNORECASE)
_FROM_ELSEWHERE = re.compile(
    r"\bfrom\s+(?!(?:the\s+)?(?:cast|beg|start|co\b|bottom|lower|brim edge))|\bafter\b", re.IGNORECASE
)
_ROW = r"(?:Rnds?|Rounds?|Rows?|R)\.?"
_JOINED = frozenset(re.findall(r"\w+", "join in the round rnd to work and being ready"))
_WOVEN = frozenset(re.findall(r"\w+", "weave in all the your yarn ends"))
_AS_SET = re.compile(r"\b(?:as (?:set|established|before)|in patt\w*|continue|cont)\b", re.IGNORECASE)
HEAD = re.compile(r"^[A-Z][A-Za-z ]{2,20}:\s+")
"""What stands before the colon of a line: "FINISHING: Sew ..." """
_HANDS = re.compile(
    r"^\W*(?:sew|seam|attach|stuff|embroider|make (?:an?|the|two|three|four|\d)|fold|press|join|cut|break|tie|trim|"
    r"graft|close|insert|turn|glue|steam|wash|pin|wrap|wind|fasten|thread|soak|dry|add|secure)\b",
    re.IGNORECASE,
)
_PLAIN_BIND_OFF = frozenset(re.findall(r"\w+", "bind cast off bo all remaining rem the sts st stitches loosely"))


@dataclass(slots=True)
class Work:
    """One work of a stage: its keys as they are written, the entries it stands for, remarks that stand above it."""

    entries: list[int]
    keys: dict[str, str | list[str]]
    remarks: list[str] = field(default_factory=list)

    def add(self, key: str, text: str) -> None:
        """Put a text to ``before`` or ``note``."""
        if BRACES.search(text):
            self.remarks.append(text)
            return
        old = self.keys.get(key)
        self.keys[key] = f"{old} {text}" if old else text


@dataclass(slots=True)
class Stage:
    """A stage: its key, title, what it comes after, and its works."""

    key: str
    title: str
    after: list[str]
    works: list[Work]
    remarks: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Found:
    """The stages, how often the whole is made, and what each printed entry was taken for."""

    stages: list[Stage] = field(default_factory=list)
    taken: dict[int, Sorted] = field(default_factory=dict)
    make: int = 1


def sized(values: Sequence[object]) -> str:
    """Print the values of all sizes as patterns do: ``40 (44, 48)``, once if they are all equal."""
    first, *rest = (str(value) for value in values)
    return first if all(one == first for one in rest) else f"{first} ({', '.join(rest)})"


def slug(title: str, known: Sequence[str]) -> str:
    """Make the key of a stage from its title, different from those that are known."""
    plain = re.sub(r"[^a-z0-9]+", "_", title.lower().replace("’", "").replace("'", "")).strip("_")[:30].strip("_")
    key = plain if re.match(r"[a-z]", plain) else f"part_{plain}".strip("_")
    key = f"{key}_part" if key in _RESERVED else key
    number, free = 2, key
    while free in known:
        free, number = f"{key}_{number}", number + 1
    return free


class Stager:
    """Makes stages of the sections of a worked pattern; ``loose`` are entries that are not its to place."""

    def __init__(self, whole: Whole, title: str, fabric: Fabric, yarns: Sequence[str], loose: set[int]) -> None:
        self.whole, self.printed, self.title, self.fabric = whole, whole.printed, title, fabric
        self.yarns, self.loose = yarns, loose
        self.count = len(whole.printed.sizes)
        self.lines = {line.entry: line for line in whole.lines}
        self.flat = {total.section: total.flat for total in whole.sections}
        self.hook = next((s for each in self.printed.entries if (s := crochet_stitch(each.spread.text))), "")
        self.found = Found()
        self.pending: list[int] = []
        self.of_section: dict[int, list[Stage]] = {}
        self.worked: PerSize = (0.0,) * self.count
        self.held: list[tuple[str, str]] = []
        self.yarn = yarns[0] if yarns else ""
        self.later: list[Stage] = []
        self.alike: list[Stage] = []
        self.carried: list[str] = []
        self.times = 1
        self.start: PerSize = self.worked
        self.spelled: dict[int, list[int]] = {}
        self.begun = False
        times = {whole.printed.sections[line.section].times for line in whole.lines}
        again = any(each.again for each in whole.printed.sections)
        self.pairs = max(times) if len(times) == 1 else max(times | {2}) if again else 1

    def stages(self) -> Found:
        """Place every entry that is not loose."""
        for number, section in enumerate(self.printed.sections):
            mine = [i for i, e in enumerate(self.printed.entries) if e.section == number and i not in self.loose]
            if mine and (section.kind in ("worked", "") or any(i in self.lines for i in mine)):
                self._section(number, [i for i in mine if self.printed.entries[i].kind in ("line", "as", "prose")])
        self._copies()
        self.found.make = self.pairs
        self._headings()
        if self.found.stages:
            self.found.stages[-1].remarks += self.carried
        if self.pending and self.found.stages:
            for index in self.pending:
                self._beside(self.found.stages[-1].works[-1], "note", index, "remark", self.found.stages[-1])
        return self.found

    def _headings(self) -> None:
        """Headings of parts that became no stage stand as remarks above the stage that follows."""
        for index, entry in enumerate(self.printed.entries):
            if not index or entry.kind != "heading" or self.printed.sections[entry.section].kind not in ("worked", ""):
                continue
            text = self._text(index).strip(" :*~=_•|#-–—")
            later = [
                one for number, stages in sorted(self.of_section.items()) if number >= entry.section for one in stages
            ]
            if later and later[0].title != text:
                later[0].remarks.append(self._text(index))
            elif not later:
                self.found.stages[-1].remarks.append(self._text(index))

    # one section
    def _section(self, number: int, entries: list[int]) -> None:
        section = self.printed.sections[number]
        works: list[Work] = []
        lines = [i for i in entries if self._kind(i) != "prose"]
        title = section.name or (self.title if not self.begun else "Going on")
        stage = Stage(slug(title, [each.key for each in self.found.stages]), title, [], works)
        if not lines and not self._by_hand(entries):
            self.pending += entries
            return
        first = lines[0] if lines else -1
        anew = first >= 0 and self._begins(first)
        if anew:
            self.worked = (0.0,) * self.count
        if anew or section.times != self.times or not lines:
            self._copies()
        self.times, self.start = section.times, self.worked
        for run in self._runs(entries):
            self._run(run, stage)
        if not works:
            self.pending += [i for i in entries if i not in self.found.taken]
            self.carried += stage.remarks
            return
        stage.remarks[:0], self.carried = self.carried, []
        self._place(stage, number, anew or bool(set(works[0].keys) & {"cast_on", "take_up"}))
        if section.times > 1 and self.pairs == 1:
            stage.remarks.append(f"It is made {section.times} times: each has a stage of its own.")
            self.alike.append(stage)

    def _place(self, stage: Stage, number: int, anew: bool) -> None:
        """Put a stage after those that it needs: the one it goes on with, or all that are done where no needle is."""
        done = self.found.stages
        by_hand = not any(set(work.keys) & {"cast_on", "lines", "take_up", "bind_off"} for work in stage.works)
        if by_hand:
            stage.after = [one.key for one in done if not any(one.key in other.after for other in done)]
        elif done and not anew:
            stage.after = [done[-1].key]
        for work in stage.works:
            for name, key in self.held if "take_up" in work.keys else ():
                if name == work.keys["take_up"] and key != stage.key:
                    stage.after = [key]
        done += [stage, *self.later]
        self.later = []
        self.of_section.setdefault(number, []).append(stage)
        self.begun = True

    def _kind(self, index: int) -> str:
        """What an entry is: "cast-on", "join", "end", "through", "graft", "return", "hold", "measured", "plain", ..."""
        entry = self.printed.entries[index]
        text, line = entry.spread.text, self._parsed(index)
        if entry.kind != "prose" or self.begun or self.lines:
            if SECOND.match(text.strip()) or MAKE.fullmatch(text.strip(" .!")):
                return "prose"
            if self.held and _RETURN.search(text) and not (line and _has(line, Hold)):
                return "return"
            if entry.kind == "prose":
                return "prose"
        if entry.kind == "as" or line is None:
            return entry.kind if entry.kind in ("as", "prose") else "unread"
        steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
        bare = [step for step in steps if not isinstance(step, Colour | Mark | Join)]
        if not steps and not any(isinstance(part, Again | Charted | Shape) for part in line.parts):
            return "prose"
        if _HANDS.match(HEAD.sub("", text)) and not self.lines[index].counted.techniques:
            return "prose"
        alone = len(line.parts) == 1 and isinstance(line.parts[0], Rows) and line.parts[0].times == (1,)
        if alone and len(bare) == 1 and isinstance(bare[0], CastOn):
            return "cast-on"
        if alone and not bare and any(isinstance(step, Join) for step in steps):
            return "join"
        if alone and len(bare) == 1 and isinstance(bare[0], BindOff) and bare[0].count is None:
            return "through" if _THROUGH.search(text) else "graft" if bare[0].method == "graft" else "end"
        if any(isinstance(part, Rows | Again | Charted) and part.measured for part in line.parts):
            return "measured"
        return "hold" if _has(line, Hold) else "return" if _has(line, Return) and self.held else "plain"

    def _parsed(self, index: int) -> Line | None:
        entry = self.printed.entries[index]
        if entry.kind != "line":
            return None
        try:
            return parse_line(entry.read.text, self.count, self.printed.colours | set(self.yarns), self.hook)
        except NotationError:
            return None

    def _begins(self, index: int) -> bool:
        """Whether a line begins a piece on an empty needle."""
        line = self._parsed(index)
        if self._kind(index) == "cast-on" or line is None or not line.parts or not isinstance(line.parts[0], Rows):
            return line is not None and self._kind(index) == "cast-on"
        steps = [step for step in line.parts[0].steps if not isinstance(step, Colour | Mark | Join)]
        first = steps[0] if steps else None
        ring = getattr(first, "place", "") == "new" or (getattr(first, "name", "") == "ch" and line.label.first < 2)
        return isinstance(first, CastOn) or ring

    # where lines may be parted
    def _runs(self, entries: Sequence[int]) -> Iterator[list[int]]:
        """Entries that come into one work together."""
        back = self._back(entries)
        run: list[int] = []
        for place, index in enumerate(entries):
            kind = self._kind(index)
            before = self._kind(entries[place - 1]) if place else ""
            alone = ("cast-on", "join", "end", "through", "graft", "return", "as", "unread", "prose")
            wanted = (
                kind in alone or before in alone or before == "hold" or "measured" in (kind, before)
                or self._yarn_of(index) not in ("", self._yarn_at(run))
            )  # fmt: skip
            free = all(back[later] >= place for later in range(place, len(entries)))
            if run and wanted and (free or kind in alone[:4] or before in alone[:4]):
                yield run
                run = []
            run.append(index)
        if run:
            yield run

    def _back(self, entries: Sequence[int]) -> list[int]:
        """For each entry the place of the first entry that it goes back to."""
        found: list[int] = []
        block = 0
        for place, index in enumerate(entries):
            line, first = self._parsed(index), place
            if line is not None:
                if self._spelled_out(place, entries):
                    found.append(place)
                    continue
                numbers = line.label.numbers
                if not numbers or numbers[0] == 1:
                    block = place
                if line.label.also or len(numbers) > 1:
                    first = min(first, block)
                for part in line.parts:
                    if isinstance(part, Again):
                        first = min(first, self._again_from(part, entries, place))
                steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
                named = any(isinstance(step, Even) and not step.pattern for step in steps)
                if named and _AS_SET.search(line.text) and self._kind(index) != "measured":
                    first = 0
            found.append(first)
        return found

    def _spelled_out(self, place: int, entries: Sequence[int]) -> bool:
        """Whether a repeat of numbered rows begins in another yarn or after a remark: its rows are written out."""
        line = self._parsed(entries[place])
        before = entries[place - 1] if place else -1
        if line is None or before < 0 or not (self._kind(before) == "prose" or self._yarn_of(entries[place])):
            return False
        part = line.parts[0] if len(line.parts) == 1 else None
        if not isinstance(part, Again) or part.which != "numbers":
            return False
        wanted, rows = range(part.first[0], (part.last or part.first)[0] + 1), []
        for number in wanted:
            own = [i for i in entries[:place] if (one := self._parsed(i)) and one.label.numbers == (number,)]
            rows += own[-1:]
        if len(rows) == len(wanted):
            self.spelled[entries[place]] = rows
        return len(rows) == len(wanted)

    def _again_from(self, part: Again, entries: Sequence[int], place: int) -> int:
        """The place of the first line that a repeat works again."""
        if part.which == "numbers":
            for earlier in range(place - 1, -1, -1):
                line = self._parsed(entries[earlier])
                if line is not None and part.first[0] in line.label.numbers:
                    return earlier
            return place
        if part.which == "last":
            rows, earlier = 0, place
            while earlier > 0 and rows < max(part.first):
                earlier -= 1
                worked = self.lines.get(entries[earlier])
                rows += max(worked.counted.rounds) if worked else 0
            return earlier
        return 0

    def _yarn_of(self, index: int) -> str:
        """The yarn that a line says to take."""
        text = self.printed.entries[index].spread.text
        keys = "|".join(re.escape(key) for key in self.yarns)
        found = re.search(rf"\b(?i:with|in|join|change to|using|switch to|to)\s+({keys})\b", text) if keys else None
        return found[1] if found else ""

    def _yarn_at(self, run: Sequence[int]) -> str:
        return next((yarn for index in reversed(run) if (yarn := self._yarn_of(index))), self.yarn)

    # one run of entries
    def _run(self, run: list[int], stage: Stage) -> None:
        kind = self._kind(run[0])
        told = [index for index in run if self._kind(index) != "prose"]
        if yarn := self._yarn_of(run[0]):
            self.yarn = yarn
        if not told:
            for index in run:
                self._prose(index, stage)
        elif kind == "as":
            self._as(run[0], stage)
        elif kind == "unread":
            self._by_hands(
                run[0],
                stage,
                "line that is not read",
                "minutes",
                "type it so that it can be worked, or say its minutes",
            )
        elif kind == "join" and stage.works and "cast_on" in stage.works[-1].keys:
            stage.works[-1].keys["join"] = "yes"
            self._beside(stage.works[-1], "note", run[0], "cast-on", stage, _JOINED)
        elif kind == "cast-on":
            self._cast_on(run[0], stage)
        elif kind in ("end", "through", "graft"):
            self._end(run[0], kind, stage)
        elif kind == "return":
            self._take_up(run[0], stage)
        else:
            self._knit(run, stage)

    def _text(self, index: int) -> str:
        return " ".join(self.printed.entries[index].spread.text.split())

    def _new(self, stage: Stage, work: Work, kind: str, left: str = "") -> Work:
        """Put a work into a stage, with what was waiting to be printed before it."""
        stage.works.append(work)
        for index in work.entries:
            self.found.taken[index] = Sorted(kind, f"pattern.yaml: stages, {stage.key}", left)
        waiting, self.pending = self.pending, []
        for index in waiting:
            self._beside(work, "before", index, "remark", stage)
        return work

    def _beside(
        self, work: Work, key: str, index: int, kind: str, stage: Stage, said: frozenset[str] = frozenset()
    ) -> None:
        """Print a sentence before or after a work, unless the handout says it itself in words such as ``said``."""
        if _words(self._text(index)) <= said:
            work.remarks.append(self._text(index))
        else:
            work.add(key, self._text(index))
        self.found.taken[index] = Sorted(kind, f"pattern.yaml: stages, {stage.key}, {key}")

    def _cast_on(self, index: int, stage: Stage) -> None:
        line = self._parsed(index)
        assert line is not None
        assert isinstance(line.parts[0], Rows)
        steps = line.parts[0].steps
        step = next(step for step in steps if isinstance(step, CastOn))
        keys: dict[str, str | list[str]] = {"cast_on": _num(step.count)}
        if any(isinstance(one, Join) for one in steps):
            keys["join"] = "yes"
        if self.yarn:
            keys["yarn"] = self.yarn
        text = self._text(index)
        work = self._new(stage, Work([index], keys, [text]), "cast-on")
        before, _, after = text.partition(re.search(r"\b(?:co\b|cast(?:ing)? on)", text, re.IGNORECASE)[0])  # type: ignore[index]
        rest = re.sub(r"^\s*\d[\d\s(),\[\]/-]*(?:sts?|stitches)?\b[\s.;,]*", "", after)
        before = re.sub(
            rf"^with {re.escape(self.yarn)}\b(?:\s+and\b)?", "With", before.strip(" ,.;"), flags=re.IGNORECASE
        )
        for key, said in (("before", before), ("note", rest.strip())):
            if re.search(r"[^\W\d_]{3}", said) and said != "With" and not _words(said) <= _JOINED:
                work.add(key, f"{said[0].upper()}{said[1:]}{'' if said[-1] in '.!?' else '.'}")

    def _end(self, index: int, kind: str, stage: Stage) -> None:
        keys: dict[str, str | list[str]] = {
            {"end": "bind_off", "through": "draw_through", "graft": "graft"}[kind]: "all"
        }
        if self.yarn:
            keys["yarn"] = self.yarn
        if kind != "end":
            keys["one_way"] = "yes"
        names = {"end": "bind-off", "through": "drawing the last stitches together", "graft": "grafting"}
        text = self._text(index)
        work = self._new(stage, Work([index], keys, [text]), names[kind])
        if kind == "end" and not _words(text) <= _PLAIN_BIND_OFF:
            work.add("note", text)

    def _take_up(self, index: int, stage: Stage) -> None:
        text = self._text(index)
        name = next((n for n, _ in self.held if n in f"{text} {stage.title}".lower()), self.held[0][0])
        self._new(stage, Work([index], {"take_up": name}, [text]), "stitches taken up again")
        self.start = self.worked = (0.0,) * self.count
        if picked := _PICK_UP.search(text):
            keys: dict[str, str | list[str]] = {"pick_up": picked[1]}
            if along := picked[2].partition(". ")[0].strip(" .,;"):
                keys["along"] = re.sub(r"^(?:along|from|in|at|across)\s+", "", along)
            stage.works.append(Work([], keys))

    def _knit(self, run: list[int], stage: Stage) -> None:
        """Lines that are worked as they are printed; for a length, as many rounds as the gauge gives."""
        flat = self.flat.get(self.printed.entries[run[0]].section, False)
        told, lines = [i for i in run if self._kind(i) != "prose"], []
        left, remarks = "", []
        extent, length = "", None
        measured = [i for i in told if self._kind(i) == "measured"]
        if measured and measured == told[-1:] and (len(told) == 1 or self._only_again(measured[0])):
            length, extent = self._length(measured[0])
            left = "" if extent else "its length could not be placed: type rounds: and the length"
        elif measured:
            left = "how many rounds its length takes depends on the gauge: type rounds: for them"
        counts = [
            sum(self.lines[i].counted.rounds[size] for i in told if i in self.lines) for size in range(self.count)
        ]
        for index in told:
            text = " ".join(self.printed.entries[index].read.text.split())
            if index in self.spelled:
                remarks.append(self._text(index))
                lines += [" ".join(self.printed.entries[i].read.text.split()) for i in self.spelled[index]]
            elif (extent and index == measured[0] and len(told) > 1) or BRACES.search(text):
                remarks.append(self._text(index))
            else:
                lines.append(text)
            if text not in (self._text(index), *remarks):
                remarks.append(self._text(index))
        if extent or told[0] in self.spelled:
            lines = self._without_labels(lines, remarks)
        keys: dict[str, str | list[str]] = {}
        if extent or ((flat or told[0] in self.spelled) and all(counts)):
            keys["rows" if flat else "rounds"] = extent or sized(counts)
        if extent and flat and re.search(r"\bend\w*\b.{0,20}\b(?:WS|wrong)", self._text(measured[0]), re.IGNORECASE):
            keys["rounding"] = "even"
        keys["lines"] = lines
        if any(self._kind(i) == "hold" for i in told):
            keys["holds"] = self._hold(run, stage)
        if self.yarn:
            keys["yarn"] = self.yarn
        if not lines:
            self.pending += run
            return
        work = self._new(stage, Work(list(told), keys, remarks), "instruction", left)
        for index in (i for i in run if i not in told):
            self._beside(work, "note", index, "remark", stage)
        self.worked = tuple(
            length[size] if length else done + self.fabric.length(counts[size]) for size, done in enumerate(self.worked)
        )

    def _without_labels(self, lines: list[str], remarks: list[str]) -> list[str]:
        """Lines that are worked over and over, without the numbers of their first time; these stand in ``remarks``."""
        plain = [
            re.sub(rf"^{_ROW} {place}\s*(?:\((?:RS|WS)\))?\s*:\s*", "", line) for place, line in enumerate(lines, 1)
        ]
        if any(new == old for new, old in zip(plain, lines, strict=True)):
            return lines
        remarks += lines
        return [line[:1].upper() + line[1:] for line in plain]

    def _only_again(self, index: int) -> bool:
        """Whether a line does nothing but work earlier lines again."""
        line = self._parsed(index)
        return line is not None and all(isinstance(part, Again) for part in line.parts)

    def _hold(self, run: Sequence[int], stage: Stage) -> str:
        """Name stitches that are held: after the part of the pattern that takes them up, as its title says."""
        texts = " ".join(self._text(i).lower() for i in run)
        later = (each.name for each in self.printed.sections[self.printed.entries[run[0]].section + 1 :])
        name = next((one for title in later if title and (one := slug(title, [])).rstrip("s") in texts), "")
        returns = (
            self.printed.sections[entry.section].name
            for entry in self.printed.entries[run[-1] + 1 :]
            if _RETURN.search(entry.spread.text)
        )
        name = name or slug(next(returns, "") or "held", [])
        self.held.append((name, stage.key))
        return name

    def _length(self, index: int) -> tuple[PerSize | None, str]:
        """What the piece measures after a line, in mm, and what is worked for it as the course writes it."""
        text = self._text(index)
        after = next((m.end() for m in re.finditer(r"\b(?:measures?|for|until)\b", text, re.IGNORECASE)), 0)
        found = LENGTHS.search(text, after) or LENGTHS.search(text)
        if found is None:
            return None, ""
        try:
            each = [read_length(one) for one in split_sizes(as_typed(found[0]))]
        except ValueError:
            return None, ""
        each = each * self.count if len(each) == 1 else each
        if len(each) != self.count:
            return None, ""
        base = self._measured_from(index, text, after)
        total = tuple(done + more for done, more in zip(base, each, strict=True))
        if base == self.worked:
            return total, as_typed(found[0])
        less = [end - done for end, done in zip(total, self.worked, strict=True)]
        if min(less) < 2:
            return None, ""
        inches = not re.search(r"cm\s*$", found[0])
        numbers = [f"{one / 25.4:.2f}" if inches else f"{one / 10:.1f}" for one in less]
        return total, f"{sized([n.rstrip('0').rstrip('.') for n in numbers])} {'in' if inches else 'cm'}"

    def _measured_from(self, index: int, text: str, after: int) -> PerSize:
        """How long the piece is, in mm, where a length begins: here, at its part's or at its own beginning."""
        subject = re.search(r"(\w+)\s+measures?\b", text)
        if subject is None or _FROM_ELSEWHERE.search(text[after:]):
            return self.worked
        title = self.printed.sections[self.printed.entries[index].section].name.lower()
        if re.search(r"\bfrom\b", text[after:]) or subject[1].lower().rstrip("s") not in title:
            return (0.0,) * self.count
        return self.start

    def _as(self, index: int, stage: Stage) -> None:
        """Work as another part is worked: its stages again, for this part."""
        entry = self.printed.entries[index]
        like = self.of_section.get(entry.like, [])
        if not like:
            self._by_hands(index, stage, "worked as another part", "minutes", "write out what is worked")
            return
        copied = self._chain(like[0])
        self.found.taken[index] = Sorted("worked as another part", f"pattern.yaml: stages, {stage.key}")
        stage.works += [Work([], dict(work.keys), list(work.remarks)) for work in copied[0].works]
        stage.remarks.append(self._text(index))
        before = stage
        for one in copied[1:]:
            title = f"{stage.title}: {one.title}"
            works = [Work([], dict(work.keys), list(work.remarks)) for work in one.works]
            more = Stage(slug(title, [s.key for s in self.found.stages]), title, [before.key], works)
            self.later.append(more)
            before = more

    def _chain(self, first: Stage) -> list[Stage]:
        """A stage and those that go on from it."""
        chain = [first]
        for one in self.found.stages[self.found.stages.index(first) + 1 :]:
            if one.after == [chain[-1].key] and not any("take_up" in work.keys for work in one.works):
                chain.append(one)
        return chain

    def _copies(self) -> None:
        """Write the stages of pieces that are alike once more for each further piece."""
        done, alike, self.alike = self.found.stages, self.alike, []
        if alike and alike[0].after:
            alike[0].remarks[-1] = f"It is made {self.times} times; write out what the others go on with."
            return
        for number in range(2, min(self.times, 6) + 1 if alike else 2):
            keys: dict[str, str] = {}
            for stage in alike:
                keys[stage.key] = slug(f"{stage.title} {number}", [one.key for one in done])
                works = [Work([], dict(work.keys)) for work in stage.works]
                for work in works:
                    for name in ("holds", "take_up"):
                        if name in work.keys:
                            work.keys[name] = f"{work.keys[name]}_{number}"
                after = [keys.get(one, one) for one in stage.after]
                done.append(Stage(keys[stage.key], f"{stage.title} ({number})", after, works))

    # what is done without needles
    def _by_hand(self, entries: Sequence[int]) -> bool:
        """Whether sentences tell of handwork, once there is something to be finished."""
        return self.begun and any(_hand_key(self._text(i)) for i in entries)

    def _prose(self, index: int, stage: Stage) -> None:
        """A sentence that is no line: handwork of its own, or printed before the next work."""
        text = self._text(index)
        if yarn := self._yarn_of(index):
            self.yarn = yarn
        if SECOND.match(text.strip()) or MAKE.fullmatch(text.strip(" .!")):
            self.found.taken[index] = Sorted(
                "made again", "pattern.yaml: make" if self.pairs > 1 else "pattern.yaml, stages"
            )
            stage.remarks.append(text)
            return
        key = _hand_key(text) if self._nothing_follows(index) else ""
        if key:
            kind = {"weave_ends": "weaving in", "block": "blocking"}.get(key, "handwork")
            left = {"weave_ends": "", "block": "say how long yours takes to dry"}.get(
                key, "say how many minutes it takes you"
            )
            self._by_hands(index, stage, kind, key, left)
        elif stage.works and self._nothing_follows(index):
            self._beside(stage.works[-1], "note", index, "remark", stage)
        else:
            self.pending.append(index)

    def _nothing_follows(self, index: int) -> bool:
        """Whether no line of this section comes after a sentence."""
        section = self.printed.entries[index].section
        entries = self.printed.entries[index + 1 :]
        return self.begun_here(index) and not any(e.section == section and e.kind in ("line", "as") for e in entries)

    def begun_here(self, index: int) -> bool:
        """Whether anything was worked before an entry."""
        return self.begun or any(i < index for i in self.lines)

    def _by_hands(self, index: int, stage: Stage, kind: str, key: str, left: str) -> None:
        text = self._text(index)
        keys: dict[str, str | list[str]]
        if key == "weave_ends":
            keys = {"weave_ends": str(2 * max(1, len(self.yarns)))}
        elif key == "block":
            keys = {"block": "10 min", "drying": "12 h"}
        else:
            keys = {"minutes": "1" if text.lower().startswith("fasten off") else "10", "what": text.rstrip(".")}
        work = self._new(stage, Work([index], keys), kind, left)
        if key == "weave_ends" and _words(text) <= _WOVEN:
            work.remarks.append(text)
        elif key in ("weave_ends", "block"):
            work.add("note", text)
        elif BRACES.search(text):
            work.keys["what"], work.remarks = "As said in the remark above", [text]


def _hand_key(text: str) -> str:
    """The work that a sentence of handwork is: weaving in, blocking, or minutes; "" for what is only said."""
    if re.search(r"\bweave\b.*\bends?\b|\b(?:darn|sew|work|thread)\s+in\b.*\bends?\b", text, re.IGNORECASE):
        return "weave_ends"
    if re.search(r"\bblock(?:ed|ing)?\b", text, re.IGNORECASE):
        return "block"
    return "minutes" if _HANDS.match(HEAD.sub("", text)) else ""


def _words(text: str) -> set[str]:
    return set(re.findall(r"\w+", text.lower()))


def _has(line: Line, kind: type) -> bool:
    return any(isinstance(step, kind) for part in line.parts if isinstance(part, Rows) for step in part.steps)


def _num(number: Num) -> str:
    return sized(number)
