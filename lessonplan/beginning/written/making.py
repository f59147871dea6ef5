"""Lines of a written pattern made works: cast on, worked as printed or for a length, held, taken up, bound off."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.beginning.constructions import at_least, sized
from lessonplan.beginning.written.cuts import RETURN, Cuts, inside
from lessonplan.beginning.written.materials import Sorted
from lessonplan.beginning.written.works import (
    AT_A_RATE,
    BRACES,
    OWN_LENGTH,
    PICK_UP,
    Held,
    PerSize,
    Stage,
    Work,
    how_bound,
    slug,
    words,
)
from lessonplan.course.values.quantities import read_length, split_sizes
from lessonplan.course.words import capital
from lessonplan.craft import lengthinline
from lessonplan.craft.gauge import rounded
from lessonplan.needle.decided.line import goes_round
from lessonplan.needle.flat import joins, parsed
from lessonplan.needle.measured import ends_on
from lessonplan.needle.pieces import comes_round
from lessonplan.printed.beside.elsewhere import sentences_elsewhere
from lessonplan.printed.tree import Again, CastOn, Hold, Join, PickUp, Rows

_TO_A_WRONG_SIDE = re.compile(r"\bend\w*\b.{0,20}\b(?:WS|wrong)", re.IGNORECASE)
_ROW = r"(?:Rnds?|Rounds?|Rows?|R)\.?"
JOINED = frozenset(re.findall(r"\w+", "join in the round rnd to work and being ready"))
"""What is measured for itself, wherever on the piece it lies; a neckband is cast on."""
_JOINED_IN = re.compile(
    r"\s*(?:\band\s+)?\bjoin\w*(?:\s+to\s+work)?\s+in\s+(?:the\s+)?(?:rnd|round)s?\b[,;]?", re.IGNORECASE
)
"""What a cast-on says itself that is joined."""
_CLOSED = re.compile(r"\bhalf\b[^.;]*\b(?:each|either|two)\b[^.;]*\bneedles?\b", re.IGNORECASE)
"""A cast-on that is closed at its bottom: `half of them on each needle`."""
_METHOD = re.compile(
    r"\b(?:using|with|by|in)\s+(?:the|an?)\s+([a-z][\w -]{2,40}?)\s+(?:method|cast[- ]on)", re.IGNORECASE
)
"""How stitches are cast on: `using the long-tail method`."""
_ONLY_ABOUT = re.compile(
    r"\W*(?:(?:about|approx\w*|roughly|or|that is|i\.e\.|at a rate of|evenly|spaced)\b[^.;]*)?\W*", re.IGNORECASE
)
"""What only says more of stitches picked up: `about 3 sts for every 4 rows`."""


class Making(Cuts):
    """Makes works of lines, and puts them into a stage."""

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
        if words(self._text(index)) <= said:
            work.remarks.append(self._text(index))
        else:
            text = self._text(index)
            if said and (joined := _JOINED_IN.search(text)):
                work.remarks.append(text)
                rest = [text[: joined.start()].strip(" ,"), text[joined.end() :].strip(" ,")]
                text = ", ".join(one for one in rest if one)
            work.add(key, capital(text))
        left = ""
        if sentences_elsewhere(self._text(index), lambda one: parsed(self.printed, one)):
            left = "no row here works this: put it into the rows where it falls, or say it to your viewers"
            work.remarks += [] if f"TO DO: {left}." in work.remarks else [f"TO DO: {left}."]
        self.found.taken[index] = Sorted(kind, f"pattern.yaml: stages, {stage.key}, {key}", left)

    def _cast_on(self, index: int, stage: Stage) -> None:
        line = self._parsed(index)
        assert line is not None
        assert isinstance(line.parts[0], Rows)
        steps = line.parts[0].steps
        step = next(step for step in steps if isinstance(step, CastOn))
        keys: dict[str, str | list[str]] = {"cast_on": sized(step.count)}
        if any(isinstance(one, Join) for one in steps):
            keys["join"] = "yes"
        if self.yarn:
            keys["yarn"] = self.yarn
        text = self._text(index)
        line_of = self.printed.entries[index].spread.line
        odd = any(one.kind == "sizes" and one.line == line_of for one in self.whole.problems)
        if odd and (printed := re.search(r"\d+ ?[(\[][\d\s,:;/-]+[)\]]", text)):
            keys["cast_on"] = printed[0]  # a list for other sizes than there are stays as printed, for its author
        closed = _CLOSED.search(text) and not _METHOD.search(text)
        left = (
            "both needles are cast on at once: say how with “method:”, else the handout says long-tail"
            if closed
            else ""
        )
        work = self._new(stage, Work([index], keys, [text]), "cast-on", left)
        before, _, after = text.partition(re.search(r"\b(?:co\b|cast(?:ing)? on)", text, re.IGNORECASE)[0])  # type: ignore[index]
        rest = re.sub(r"^\s*\d[\d\s(),:;\[\]/-]*(?:sts?|stitches)?\b[\s.;,]*", "", after)
        if method := _METHOD.search(rest):
            keys["method"] = method[1].lower()
            rest = f"{rest[: method.start()]}{rest[method.end() :]}".strip(" .,;")
        rest = _JOINED_IN.sub("", rest).strip(" .,;") if "join" in keys else rest
        self._around(work, before, rest)

    def _picked(self, index: int) -> tuple[Work, str, str] | None:
        """The work of a line that does nothing but pick stitches up, with what it says before and after it."""
        text = self._text(index)
        if rated := AT_A_RATE.search(text):
            found, count, rate, where = rated, rated["count"], rated["rate"], rated["where"] or ""
            where, rest = (f"{where.strip()}, {rate}", "") if where else ("", rate)
        else:
            plain = list(PICK_UP.finditer(text))
            if len(plain) != 1 or not _ONLY_ABOUT.fullmatch(text[plain[0].end() :]):
                return None
            found, count, where, rest = plain[0], plain[0][1], plain[0][2] or "", text[plain[0].end() :]
        counts = split_sizes(count)
        if len(counts) not in (1, self.count):
            return None
        keys: dict[str, str | list[str]] = {"pick_up": sized(counts)}
        keys |= {"along": where.strip()} if where else {}
        keys |= {"yarn": self.yarn} if self.yarn else {}
        return Work([index], keys, [text]), text[: found.start()], rest

    def _picked_along(self, index: int) -> Work:
        """The work of a line that picks stitches up along more than one edge: all of them, and the line as printed."""
        line = self._parsed(index)
        assert line is not None
        steps = [step for part in line.parts if isinstance(part, Rows) for step in part.steps]
        each = [
            step.count * self.count if len(step.count) == 1 else step.count
            for step in steps
            if isinstance(step, PickUp)
        ]
        keys: dict[str, str | list[str]] = {"pick_up": sized([sum(one) for one in zip(*each, strict=True)])}
        keys |= {"yarn": self.yarn} if self.yarn else {}
        text = self._text(index)
        return Work([index], {**keys, "note": text}, [text])

    def _around(self, work: Work, before: str, rest: str) -> None:
        """Print what a line says before and after what its work has a key for; its yarn has one."""
        before = before.strip(" ,.;")
        if taken := re.match(rf"with {re.escape(self.yarn)}\b\W*(and\b\s*)?", before, re.IGNORECASE):
            left = before[taken.end() :]  # `With MC and smaller needles`, `With MC and leaving a long tail`
            before = left if re.match(r"\w+ing\b", left) or not taken[1] else f"With {left}"
        for key, said in (("before", before), ("note", rest.strip(" ,:–-"))):
            said = re.sub(r"\W+\(?$", "", said) if key == "before" else said
            if re.search(r"[^\W\d_]{3}", said) and not words(said) <= JOINED:
                work.add(key, f"{capital(said)}{'' if said[-1] in '.!?' else '.'}")

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
        key, said = how_bound(text) if kind == "end" else ("", "")
        if key:
            work.add(key, said)

    def _take_up(self, index: int, stage: Stage) -> None:
        """Put held stitches back: all, or as many as the print says, where the others go to a part that is alike."""
        text = self._text(index)
        share = self._share(text)
        named = next((one for one in self.held if one.name in f"{text} {stage.title}".lower()), self.held[0])
        held, self.shared = share or (named, 1)
        keys: dict[str, str | list[str]] = {"take_up": held.name}
        if self.shared > 1:
            keys["stitches"] = sized([count // self.shared for count in held.counts])
        self._new(stage, Work([index], keys, [text]), "stitches taken up again")
        self.start = self.worked = (0.0,) * self.count
        picked = list(PICK_UP.finditer(text))
        each = [one * self.count if len(one) == 1 else one for one in (split_sizes(found[1]) for found in picked)]
        if each and all(len(one) == self.count for one in each):
            keys = {"pick_up": sized([sum(map(int, one)) for one in zip(*each, strict=True)])}
            if along := picked[0][2]:
                keys["along"] = along.strip()
            stage.works.append(Work([], keys))

    def _knit(self, run: list[int], stage: Stage) -> None:
        """Lines that are worked as they are printed; for a length, as many rounds as the gauge gives."""
        section = self.printed.entries[run[0]].section
        told = [i for i in run if self._kind(i) != "prose"]
        rounds = any(
            (line := self._parsed(i)) and (line.label.kind == "round" or joins(line, first=True)) for i in told
        )
        flat = self.flat.get(section, False) and section != self.joined and not rounds
        self.joined = section if any(map(self._joins, told)) else self.joined
        measured = [i for i in told if self._kind(i) == "measured"]
        worked_over = bool(measured) and measured == told[-1:] and (len(told) == 1 or self._only_again(measured[0]))
        first = self._first_again(told) if worked_over and len(told) > 1 else 0
        if first and min(self._back(told)[first:]) >= first:
            place = run.index(told[first])
            self._knit(run[:place], stage)
            self._knit(run[place:], stage)
            return
        self._all_again(told, stage)
        left, by_rows = "", ""
        extent, length = "", None
        if worked_over and not first and self._all_over(told):
            length, extent = self._length(measured[0])
            if length and len(told) > 1 and (by_rows := self._ends_on(told, length, flat=flat)):
                extent = by_rows
            left = "" if extent else "its length could not be placed: type rounds: and the length"
            elsewhere = lengthinline.FROM_ELSEWHERE.search(self._text(measured[0]))
            here = lengthinline.FROM_HERE.search(self._text(measured[0]))
            if extent and not here and elsewhere and elsewhere[0].lower().startswith("from"):
                left = "it is measured from elsewhere: type how much of it is worked here"
        elif measured:
            left = "how many rounds its length takes depends on the gauge: type rounds: for them"
        counts = [sum(self._rounds_of(i, size) for i in told if i in self.lines) for size in range(self.count)]
        lines, remarks = self._written(told, measured, extent)
        if extent or told[0] in self.spelled:
            lines = self._without_labels(lines, remarks)
        keys: dict[str, str | list[str]] = {}
        if extent or ((flat or told[0] in self.spelled or any(map(self._tells_rows, told))) and all(counts)):
            keys["rows" if flat else "rounds"] = extent or sized(counts)
        if extent and not by_rows and flat and _TO_A_WRONG_SIDE.search(self._text(measured[0])):
            keys["rounding"] = "even"
        keys["lines"] = lines
        if any(self._kind(i) == "hold" for i in told):
            keys["holds"] = self._hold(run, stage)
        if self.yarn:
            keys["yarn"] = self.yarn
        if not lines:
            self.pending += run
            return
        if left:
            remarks.append(f"TO DO: {left}.")
        work = self._new(stage, Work(list(told), keys, remarks), "instruction", left)
        for index in (i for i in run if i not in told):  # such as the heading of a part of it
            self._beside(work, "before" if index < told[0] else "note", index, "remark", stage)
        self.worked = tuple(
            length[size] if length else done + self.fabric.length(counts[size]) for size, done in enumerate(self.worked)
        )

    def _written(self, told: Sequence[int], measured: Sequence[int], extent: str) -> tuple[list[str], list[str]]:
        """The lines of a work, and as remarks those that are written in other words, or not."""
        lines, remarks = list[str](), list[str]()
        for index in told:
            text = " ".join(self.printed.entries[index].read.text.split())
            if index in self.spelled:
                remarks.append(self._text(index))
                lines += [" ".join(self.printed.entries[i].read.text.split()) for i in self.spelled[index]]
            elif (extent and index == measured[0] and len(told) > 1) or BRACES.search(text):
                remarks.append(self._text(index))
            else:
                lines.append(self._once(text, extent) if index in measured else text)
            if lines[-1:] != [self._text(index)] and self._text(index) not in remarks:
                remarks.append(self._text(index))
        return lines, remarks

    def _first_again(self, told: Sequence[int]) -> int:
        """The place of the first line that the repeat at the end works again."""
        line = self._parsed(told[-1])
        assert line is not None
        places = [self._again_from(part, told, len(told) - 1) for part in line.parts if isinstance(part, Again)]
        return min(places, default=0)

    def _all_over(self, told: Sequence[int]) -> bool:
        """Whether a repeat to a length works all rows of the lines before it again, each once."""
        line = self._parsed(told[-1])
        part = line.parts[0] if line is not None and len(told) > 1 else None
        if not isinstance(part, Again) or part.which != "last":
            return True
        rows = [sum(self._rounds_of(index, size) for index in told[:-1]) for size in range(self.count)]
        return rows == [part.first[size % len(part.first)] for size in range(self.count)]

    def _ends_on(self, told: Sequence[int], length: PerSize, *, flat: bool) -> str:
        """How many rows lines are worked over that end on a side or a row of theirs which no even number tells."""
        lines = [self.lines[index] for index in told if index in self.lines]
        many, over = ends_on(self.printed, lines[:-1], lines[-1], flat=flat)
        once = sum(self._rounds_of(index, 0) for index in told[:-1])
        even = many == 2 and not (over + once) % 2 and _TO_A_WRONG_SIDE.search(self._text(told[-1]))
        if many < 2 or even:
            return ""
        rows = [(total - done) * self.fabric.rounds_per_mm for total, done in zip(length, self.worked, strict=True)]
        return sized([over + once + many * rounded((one - over - once) / many) for one in rows])

    def _once(self, text: str, extent: str) -> str:
        """A line with the name of its length where that is the length of the work, so that it is typed only once."""
        length = lengthinline.line_length(text, self.count)
        if length is None or length.typed != extent:
            return text
        return f"{text[: length.start]}{OWN_LENGTH}{text[length.end :]}"

    def _all_again(self, told: Sequence[int], stage: Stage) -> None:
        """Take the stitches up that waited while others were worked back and forth, once a round is worked again."""
        first = self._parsed(told[0]) if told else None
        if first is not None and (goes_round(first) or comes_round(self.printed, told[0])):
            self._fetch(stage)

    def _fetch(self, stage: Stage) -> None:
        """Take the stitches up that waited, if any did."""
        if self.waiting:
            works = stage.works or self.found.stages[-1].works
            works.append(Work([], {"take_up": self.waiting}))
            self.waiting = ""

    def _rounds_of(self, index: int, size: int) -> int:
        """How many rounds a line has; where nobody knows as many as its label names, so that the course comes to it."""
        counted, line = self.lines[index].counted, self._parsed(index)
        if counted.stitches[size] is not None:
            return counted.rounds[size]
        return max(counted.rounds[size], len(line.label.numbers) if line else 0, 1)

    def _without_labels(self, lines: list[str], remarks: list[str]) -> list[str]:
        """Lines that are worked over and over, without the numbers of their first time; these stand in ``remarks``."""
        plain = [
            re.sub(rf"^{_ROW} {place}\s*(?:\((?:RS|WS)\))?\s*:\s*", "", line) for place, line in enumerate(lines, 1)
        ]
        if any(new == old for new, old in zip(plain, lines, strict=True)):
            return lines
        remarks += lines
        return [capital(line) for line in plain]

    def _hold(self, run: Sequence[int], stage: Stage) -> str:
        """Name stitches that are held: after the part of the pattern that takes them up, as its title says."""
        texts = " ".join(self._text(i).lower() for i in run)
        later = (each.name for each in self.printed.sections[self.printed.entries[run[0]].section + 1 :])
        name = next((one for title in later if title and (one := slug(title, [])).rstrip("s") in texts), "")
        returns = (
            self.printed.sections[entry.section].name
            for entry in self.printed.entries[run[-1] + 1 :]
            if RETURN.search(entry.spread.text)
        )
        name = name or slug(next(returns, "") or "held", [])
        holds = self._holds(run)
        self.waiting = name if any(hold.wait for hold in holds) else self.waiting
        self.held.append(Held(name, stage.key, self._held_counts(holds)))
        return name

    def _holds(self, run: Sequence[int]) -> list[Hold]:
        lines = [line for index in run if (line := self._parsed(index))]
        rows = [part for line in lines for part in line.parts if isinstance(part, Rows)]
        return [step for part in rows for step in inside(part.steps) if isinstance(step, Hold)]

    def _held_counts(self, holds: Sequence[Hold]) -> tuple[int, ...]:
        """How many stitches are put on hold in each size, if print says so."""
        if any(hold.count is None or hold.keep for hold in holds):
            return ()
        each = [hold.count * self.count if len(hold.count) == 1 else hold.count for hold in holds if hold.count]
        return tuple(sum(counts) for counts in zip(*each, strict=True))

    def _length(self, index: int) -> tuple[PerSize | None, str]:
        """What the piece measures after a line, in mm, and what is worked for it as the course writes it."""
        text = self._text(index)
        after = next((m.end() for m in re.finditer(r"\b(?:measures?|for|until)\b", text, re.IGNORECASE)), 0)
        found = lengthinline.LENGTHS.search(text, after) or lengthinline.LENGTHS.search(text)
        if found is None or lengthinline.SHORT_OF.match(text, found.end()):
            return None, ""
        try:
            each = [read_length(one) for one in split_sizes(lengthinline.as_typed(found[0]))]
        except ValueError:
            return None, ""
        each = each * self.count if len(each) == 1 else each
        if len(each) != self.count:
            return None, ""
        base = self._measured_from(index, text, after)
        total = tuple(done + more for done, more in zip(base, each, strict=True))
        if base == self.worked:
            return total, lengthinline.as_typed(found[0])
        less = [end - done for end, done in zip(total, self.worked, strict=True)]
        if min(less) < 2:
            return None, ""
        inches = not re.search(r"cm\s*$", found[0])
        numbers = [at_least(one / 25.4, 2) if inches else at_least(one / 10, 1) for one in less]
        return total, f"{sized(numbers)} {'in' if inches else 'cm'}"

    def _measured_from(self, index: int, text: str, after: int) -> PerSize:
        """How long the piece is, in mm, where a length begins: here, at its part's or at its own beginning."""
        title = self.printed.sections[self.printed.entries[index].section].name
        begins = {"part": self.start, "piece": (0.0,) * self.count}
        return begins.get(lengthinline.measured_from(text, title, after), self.worked)
