"""What the lines of a written pattern are, and where they may be parted into different works."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import accumulate, pairwise

from lessonplan.beginning.written.works import HANDS, HEAD, Found, Held, PerSize, Stage
from lessonplan.course.values.quantities import split_sizes
from lessonplan.craft.gauge import Fabric
from lessonplan.needle.flat import joins
from lessonplan.needle.order.goals import same_name
from lessonplan.needle.order.meant import counted_since
from lessonplan.needle.pattern import Whole
from lessonplan.printed.leaflet.wordings import MAKE, SECOND, put_on_one_needle
from lessonplan.printed.line import NotationError, crochet_stitch, parse_line
from lessonplan.printed.piece import begins_piece
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
    PickUp,
    Repeat,
    Return,
    Rows,
    Shape,
    Step,
    Times,
)

RETURN = re.compile(
    r"\b(?:place|put|return|transfer|slip|move)\b.*\b(?:held|waste|scrap|holder)\b|\bheld\b.*\b(?:on|onto|back)\b",
    re.IGNORECASE,
)
_HOW_MANY = r"(\d+(?:\s*[(\[][\d,;\s-]+[)\]])?)"
_BACK_ON = re.compile(
    rf"\b(?:place|put|return|transfer|slip|move)\b[^.;]*?{_HOW_MANY}[^.;]*?\b(?:sts?|stitches)\b[^.;]*?"
    r"\b(?:on|onto|to)\b(?! (?:hold|waste|scrap|a holder|holders?))"
    r"[^.;]*?\b(?<!cable )(?:needles?|dpns?|circulars?|hook)\b",
    re.IGNORECASE,
)
"""Stitches put on needles again: the held ones if there are so many, though print may not call them held."""
_HELD = re.compile(rf"{_HOW_MANY}\s+(?:held|reserved|waiting)\s+(?:\w+\s+)?(?:sts?|stitches)\b", re.IGNORECASE)
"""Held stitches that are knitted off what holds them: `knit the 32 (34, 36) held sts`."""
_THROUGH = re.compile(r"\bthrough\b.*\b(?:sts?|stitches|loops)\b|\bdraw\w*\b.*\btight", re.IGNORECASE)
_AS_SET = re.compile(r"\b(?:as (?:set|established|before)|in patt\w*|continue|cont)\b", re.IGNORECASE)


class Cuts:
    """The lines of a worked pattern, each asked what it is; ``loose`` are entries that are not its to place."""

    def __init__(self, whole: Whole, title: str, fabric: Fabric, yarns: Sequence[str], loose: set[int]) -> None:
        self.whole, self.printed, self.title, self.fabric = whole, whole.printed, title, fabric
        self.yarns, self.loose = yarns, loose
        self.count = len(whole.printed.sizes)
        self.lines = {line.entry: line for line in whole.lines}
        self.flat = {total.section: total.flat for total in whole.sections}
        self.hook = next(
            (s for each in self.printed.entries if (s := crochet_stitch(each.spread.text, self.printed.colours))), ""
        )
        begins = [entry.spread.spots[0][1:] for entry in self.printed.entries]
        told = [bisect_right(begins, (one.line, one.column)) - 1 for one in whole.problems if one.kind == "unread"]
        self.unread = {index for index in told if index in self.lines}
        self.found = Found()
        self.pending: list[int] = []
        self.of_section: dict[int, list[Stage]] = {}
        self.worked: PerSize = (0.0,) * self.count
        self.held: list[Held] = []
        self.shared = 1
        self.waiting = ""
        self.joined = -1
        self.together = False
        """Whether the pieces done so far have just been put on one needle."""
        self.yarn = yarns[0] if yarns else ""
        self.later: list[Stage] = []
        self.alike: list[Stage] = []
        self.carried: list[str] = []
        self.times = 1
        self.start: PerSize = self.worked
        self.spelled: dict[int, list[int]] = {}
        self.taken: dict[int, str] = {}
        self.begun = False
        # A part under a heading "Booties (make 2)" is made as often as that says.
        self.often = {total.section: total.times for total in whole.sections}
        times = {self.often.get(line.section, 1) for line in whole.lines}
        again = any(each.again for each in whole.printed.sections)
        self.pairs = max(times) if len(times) == 1 else max(times | {2}) if again else 1

    def _kind(self, index: int) -> str:
        """What an entry is: "cast-on", "join", "pick-up", "end", "through", "graft", "return", "hold", "plain", ..."""
        entry = self.printed.entries[index]
        text, line = entry.spread.text, self._parsed(index)
        if entry.kind != "prose" or self.begun or self.lines:
            if SECOND.match(text.strip()) or MAKE.fullmatch(text.strip(" .!")):
                return "prose"
            if self.held and not (line and _has(line, Hold)) and (RETURN.search(text) or self._share(text)):
                return "return"
            if entry.kind == "prose":
                return "prose"
        if entry.kind == "line" and put_on_one_needle(text):
            return "pieces"
        if entry.kind == "as" or line is None or index in self.unread:
            return entry.kind if entry.kind in ("as", "prose") else "unread"
        steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
        bare = [step for step in steps if not isinstance(step, Colour | Mark | Join)]
        if not steps and not any(isinstance(part, Again | Charted | Shape) for part in line.parts):
            return "prose"
        alone = len(line.parts) == 1 and isinstance(line.parts[0], Rows) and line.parts[0].times == (1,)
        if alone and len(bare) == 1 and isinstance(bare[0], CastOn):
            return "cast-on"
        if alone and not bare and any(isinstance(step, Join) for step in steps):
            return "join"
        if alone and not bare and not any(isinstance(step, Mark) for step in steps):
            return "prose"  # only a yarn to go on in
        if alone and bare and all(isinstance(step, PickUp) for step in bare) and not line.label.numbers:
            return "pick-up"
        if HANDS.match(HEAD.sub("", text)) and not self.lines[index].counted.techniques:
            return "prose"
        if alone and len(bare) == 1 and isinstance(bare[0], BindOff) and bare[0].count is None:
            return "through" if _THROUGH.search(text) else "graft" if bare[0].method == "graft" else "end"
        if any(isinstance(part, Rows | Again | Charted) and part.measured for part in line.parts):
            return "measured"
        return "hold" if _has(line, Hold) else "return" if _has(line, Return) and self.held else "plain"

    def _share(self, text: str) -> tuple[Held, int] | None:
        """The held stitches that a text puts back, all or an equal part of them, and how many such parts there are."""
        found = _BACK_ON.search(text) or _HELD.search(text)
        found = found or (re.search(_HOW_MANY, text) if RETURN.search(text) else None)
        try:
            counts = [int(one) for one in split_sizes(found[1])] if found else []
        except ValueError:
            return None
        counts = counts * self.count if len(counts) == 1 else counts
        for held in self.held:
            if len(counts) != len(held.counts) or 0 in counts:
                continue
            parts = {whole / some for whole, some in zip(held.counts, counts, strict=True)}
            if len(parts) == 1 and (number := parts.pop()) in (1, 2, 3, 4):
                return held, int(number)
        return None

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
        return self._kind(index) == "cast-on" or begins_piece(self._parsed(index))

    def _runs(self, entries: Sequence[int]) -> Iterator[list[int]]:
        """Entries that come into one work together."""
        back = [*accumulate(reversed(self._back(entries)), min)][::-1]
        run: list[int] = []
        before, taken, named = "", "", set[str]()
        for place, index in enumerate(entries):
            kind, colours, yarn = self._kind(index), self._colours(index), self._yarn_of(index)
            certain = ("cast-on", "join", "pieces", "pick-up", "end", "through", "return", "unread")
            alone = (*certain, "graft", "as", "prose")
            wanted = (
                kind in alone or before in alone or before == "hold" or "measured" in (kind, before)
                or (place and self._tells_rows(entries[place - 1]))
                or self._joins(index) or (place and self._joins(entries[place - 1]))
                or index in self.spelled or (place and entries[place - 1] in self.spelled)
                or yarn not in ("", taken or self.yarn)
                or not colours <= {taken or self.yarn} | named
            )  # fmt: skip
            if run and wanted and (back[place] >= place or kind in certain or before in certain):
                yield run
                run, taken, named = [], "", set()
                kind = self._kind(index)  # what was made of the run may have put stitches on hold
            run.append(index)
            before, taken, named = kind, yarn or taken, named | colours
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
                parted = any(later - one > 1 for one, later in pairwise(numbers))  # others lie between them
                if line.label.also or parted or (numbers[1:] and numbers[0] == 1):
                    first = min(first, block)
                for part in line.parts:
                    if isinstance(part, Again):
                        first = min(first, self._again_from(part, entries, place))
                    if since := counted_since(line, part):
                        first = min(first, self._since(since, entries[:place]))
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
        if part.which == "named":
            for earlier in range(place - 1, -1, -1):
                line = self._parsed(entries[earlier])
                name = part.name or (
                    line.label.name if line and f" {line.label.name} " in self._text(entries[place]) else ""
                )
                if line is not None and name and same_name(line.label.name, name):
                    return earlier
            called = [n for n in range(place) if self._text(entries[n]).lower().startswith(f"{part.name.lower()} ")]
            return min(called, default=place)  # such as “Hem row 1”, of which only the number is the label
        if part.which == "last":
            rows, earlier = 0, place
            while earlier > 0 and rows < max(part.first):
                earlier -= 1
                worked = self.lines.get(entries[earlier])
                rows += max(worked.counted.rounds) if worked else 0
            return earlier
        return 0

    def _since(self, since: str, entries: Sequence[int]) -> int:
        """The place of the first line after the one since which rows are counted."""
        named = [place for place, index in enumerate(entries) if since in self._text(index).partition(":")[0].lower()]
        return named[-1] + 1 if named else 0

    def _tells_rows(self, index: int) -> bool:
        """Whether a line tells how many rows there are since a place, which may be in another part."""
        line = self._parsed(index)
        return line is not None and any(counted_since(line, part) for part in line.parts)

    def _joins(self, index: int) -> bool:
        """Whether a line joins its work in the round, be it after the stitches of a row."""
        line = self._parsed(index)
        return line is not None and joins(line)

    def _yarn_of(self, index: int) -> str:
        """The yarn that a line says to take."""
        if index not in self.taken:
            text = self.printed.entries[index].spread.text
            keys = "|".join(map(re.escape, self.yarns))
            found = re.search(rf"\b(?i:with|in|join|change to|using|switch to|to)\s+({keys})\b", text) if keys else None
            self.taken[index] = found[1] if found else ""
        return self.taken[index]

    def _colours(self, index: int) -> set[str]:
        """The yarns of a line that names more than one: its stitches are of several colours."""
        text = self.printed.entries[index].spread.text
        found = {key for key in self.yarns if re.search(rf"\b{re.escape(key)}\b", text)}
        return found if len(found) > 1 else set()

    def _text(self, index: int) -> str:
        return " ".join(self.printed.entries[index].spread.text.split())

    def _only_again(self, index: int) -> bool:
        """Whether a line does nothing but work earlier lines again."""
        line = self._parsed(index)
        return line is not None and all(isinstance(part, Again) for part in line.parts)


def _has(line: Line, kind: type) -> bool:
    return any(isinstance(step, kind) for part in line.parts if isinstance(part, Rows) for step in inside(part.steps))


def inside(steps: Sequence[Step]) -> Iterator[Step]:
    """Steps with those inside repeats, what is put on hold there so often as the repeat is worked."""
    for step in steps:
        if not isinstance(step, Repeat):
            yield step
            continue
        often = step.quantity if isinstance(step.quantity, Times) else None
        for one in inside(step.body):
            if isinstance(one, Hold) and one.count and often and len(often.count) == 1:
                times = often.count[0] + int(bool(often.more))
                one = replace(one, count=tuple(times * count for count in one.count))
            yield one
