"""The instructions of a written pattern as stages of a course: each printed line is put into a work, or beside one.

Lines stay as they are printed, since the course works them with the same reader; only what the course has a word of its
own for is taken apart: casting on, lengths, stitches put on hold and taken up, the last bind-off, and what is done
without needles. Two lines come into different works only if no later line goes back over the cut.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.beginning.constructions import sized
from lessonplan.beginning.written.making import JOINED, Making
from lessonplan.beginning.written.materials import Sorted
from lessonplan.beginning.written.works import BRACES, Found, Stage, Work, hand_key, slug, words
from lessonplan.printed.leaflet.sizes import for_some
from lessonplan.printed.leaflet.wordings import FROM_FIRST, MAKE, PUT_TOGETHER, SECOND

MOST_COPIES = 6
"""Pieces that are alike are written out so often."""
MOST_CARRIED = 6
"""Rounds over which a yarn is carried along (a planning choice); over more it is cut."""
_ALIKE = re.compile(r"^\W*(?:work|knit|make|crochet|complete|finish)\b.*\b(?:as|like|same)\b", re.IGNORECASE)
"""A part that print only compares with another, in words that are not read: `Work on the other edge as the first.`"""
_SWATCH = re.compile(r"\W*(?:(?:gauge|tension|your|the|a)\s+)*(?:swatch(?:es)?|tension squares?)\W*", re.IGNORECASE)
_WOVEN = frozenset(re.findall(r"\w+", "weave in all the your yarn ends"))


class Stager(Making):
    """Makes stages of the sections of a worked pattern."""

    def stages(self) -> Found:
        """Place every entry that is not loose."""
        for number, section in enumerate(self.printed.sections):
            mine = [i for i, e in enumerate(self.printed.entries) if e.section == number and i not in self.loose]
            name = section.name or self.printed.sections[max(0, number - 1)].name
            if mine and _SWATCH.fullmatch(name) and any(i not in mine for i in self.lines):
                self._swatch(mine)
            elif mine and (section.kind in ("worked", "") or any(i in self.lines for i in mine)):
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

    def _swatch(self, entries: list[int]) -> None:
        """Keep what is said of a swatch as remarks: it is no part of the piece, and no sample needs one."""
        left = "it is no part of the piece: to film it, list it under “tools” in course.yaml"
        for index in entries:
            self.found.taken[index] = Sorted("swatch", "pattern.yaml, a remark", left if index == entries[0] else "")
            self.carried.append(self._text(index))

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

    def _section(self, number: int, entries: list[int]) -> None:
        section = self.printed.sections[number]
        works: list[Work] = []
        lines = [i for i in entries if self._kind(i) != "prose"]
        head, *more = section.name.partition(" (")
        head = head.capitalize() if head.isupper() and len(head) > 2 else head
        title = "".join([head, *more]) or (self.title if not self.begun else "Going on")
        stage = Stage(slug(title, [each.key for each in self.found.stages]), title, [], works)
        told = [i for i in entries if _ALIKE.search(self._text(i)) and not SECOND.match(self._text(i))]
        alike = told if not lines and self.begun else []
        if not lines and not alike and not self._by_hand(entries):
            self.pending += entries
            return
        first = lines[0] if lines else -1
        anew = first >= 0 and self._begins(first)
        if anew:
            self.worked = (0.0,) * self.count
        times = self.often.get(number, section.times)
        if anew or times != self.times or not lines:
            self._copies()
        self.times, self.start, self.shared = times, self.worked, 1
        for run in self._runs(entries):
            if run[0] in alike:
                self._by_hands(run[0], stage, "worked as another part", "minutes", "write out what is worked")
            else:
                self._run(run, stage)
        self._carry(works)
        self.times = max(self.times, self.shared)
        if not works:
            self.pending += [i for i in entries if i not in self.found.taken]
            self.carried += stage.remarks
            return
        stage.remarks[:0], self.carried = self.carried, []
        self._place(stage, number, anew or bool(set(works[0].keys) & {"cast_on", "take_up"}))
        if self.times > 1 and self.pairs == 1:
            stage.remarks.append(f"It is made {self.times} times: each has a stage of its own.")
            self.alike.append(stage)

    def _carry(self, works: Sequence[Work]) -> None:
        """Carry the other yarns of a round along, and one that is worked again soon unless print says to cut it."""
        said = [
            " ".join([*map(self._text, one.entries), *(str(one.keys.get(key, "")) for key in ("before", "note"))])
            for one in works
        ]
        used = [{key for key in self.yarns if re.search(rf"\bin {re.escape(key)}\b", text)} for text in said]
        used = [more | {str(one.keys.get("yarn", ""))} for more, one in zip(used, works, strict=True)]
        for place, work in enumerate(works):
            rest = set(used[place])
            for key in self.yarns:
                before = max((at for at in range(place) if key in used[at]), default=-1)
                after = next((at for at in range(place + 1, len(works)) if key in used[at]), 0)
                cut = re.compile(rf"\b(?:break|cut)\b[^.]*\b(?:{re.escape(key)}|yarns?)\b", re.IGNORECASE)
                if before >= 0 and after and not any(map(cut.search, said[before : after + 1])):
                    rest.add(key)
            rounds = sum(self._rounds_of(index, 0) for index in work.entries if index in self.lines)
            rest -= {str(work.keys.get("yarn", ""))}
            if rest and "lines" in work.keys and rounds <= MOST_CARRIED:
                work.keys["carry"] = ", ".join(key for key in self.yarns if key in rest)

    def _place(self, stage: Stage, number: int, anew: bool) -> None:
        """Put a stage after those that it needs: the one it goes on with, or all that are done where no needle is."""
        done = self.found.stages
        by_hand = not any(
            set(work.keys) & {"cast_on", "lines", "take_up", "pick_up", "bind_off"} for work in stage.works
        )
        if by_hand:
            stage.after = self._ends()
        elif done and not anew:
            joined = any(PUT_TOGETHER.search(self._text(index)) for index in stage.works[0].entries[:1])
            edge = "pick_up" in stage.works[0].keys and "bind_off" in done[-1].works[-1].keys
            joined = joined or self.together or edge
            stage.after = self._ends() if joined else [done[-1].key]
        if self.together:
            self._on_one_needle(stage)
        for work in stage.works:
            for held in self.held if "take_up" in work.keys else ():
                if held.name == work.keys["take_up"] and held.stage != stage.key:
                    stage.after = [held.stage]
        done += [stage, *self.later]
        self.later = []
        self.of_section.setdefault(number, []).append(stage)
        self.begun = True

    def _on_one_needle(self, stage: Stage) -> None:
        """The pieces that a stage goes on from wait until it takes them all up."""
        self.together = False
        for place, key in enumerate(stage.after):
            piece = next(one for one in self.found.stages if one.key == key)
            piece.works.append(Work([], {"lines": ["Put all stitches on a holder."], "holds": key}))
            stage.works.insert(place, Work([], {"take_up": key}))
        first = stage.works[len(stage.after)]
        if said := first.keys.pop("before", ""):
            stage.works[0].keys["before"] = said

    def _ends(self) -> list[str]:
        """The stages that nothing goes on from yet."""
        done = self.found.stages
        return [one.key for one in done if not any(one.key in other.after for other in done)]

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
        elif kind in ("unread", "pick-up") and (picked := self._picked(run[0])):
            self._around(self._new(stage, picked[0], "stitches picked up"), *picked[1:])
        elif kind == "unread":
            self._by_hands(
                run[0],
                stage,
                "line not read, not worked",
                "minutes",
                "type it so that it can be worked, or say its minutes",
            )
        elif kind == "join" and stage.works and "cast_on" in stage.works[-1].keys:
            stage.works[-1].keys["join"] = "yes"
            self._beside(stage.works[-1], "note", run[0], "cast-on", stage, JOINED)
        elif kind == "join":  # after rows: what its part has from here on are rounds
            self.joined = self.printed.entries[run[0]].section
            self._fetch(stage)
            self.pending.append(run[0])
        elif kind == "pieces":
            self.together = True
            self.pending.append(run[0])
        elif kind == "pick-up":
            self._new(stage, self._picked_along(run[0]), "stitches picked up")
        elif kind == "cast-on":
            self._cast_on(run[0], stage)
        elif kind in ("end", "through", "graft"):
            self._end(run[0], kind, stage)
        elif kind == "return":
            self._take_up(run[0], stage)
        else:
            self._knit(run, stage)

    def _as(self, index: int, stage: Stage) -> None:
        """Work as another part is worked: its stages again, for this part."""
        entry = self.printed.entries[index]
        like = self.of_section.get(entry.like, [])
        if not like:
            self._by_hands(index, stage, "worked as another part", "minutes", "write out what is worked")
            return
        copied = self._chain(like[0])
        self.found.taken[index] = Sorted("worked as another part", f"pattern.yaml: stages, {stage.key}")
        own = copied[0].works
        if FROM_FIRST.search(self._text(index)):
            own = [work for work in own if not {"cast_on", "take_up", "pick_up"} & set(work.keys)]
        stage.works += [Work([], dict(work.keys), list(work.remarks)) for work in own]
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
        if alike and alike[0].after and "take_up" not in alike[0].works[0].keys:
            alike[0].remarks[-1] = f"It is made {self.times} times; write out what the others go on with."
            self._left(alike[0], f"it is made {self.times} times and stands once: write out the others")
            return
        if alike and self.times > MOST_COPIES:
            self._left(alike[0], f"it is made {self.times} times and stands {MOST_COPIES} times: write out the others")
        for number in range(2, min(self.times, MOST_COPIES) + 1 if alike else 2):
            keys: dict[str, str] = {}
            for stage in alike:
                keys[stage.key] = slug(f"{stage.title} {number}", [one.key for one in done])
                works = [Work([], dict(work.keys)) for work in stage.works]
                for work in works:
                    for name in ("holds", "take_up"):
                        if name in work.keys and "stitches" not in work.keys:
                            work.keys[name] = f"{work.keys[name]}_{number}"
                after = [keys.get(one, one) for one in stage.after]
                done.append(Stage(keys[stage.key], f"{stage.title} ({number})", after, works))

    def _left(self, stage: Stage, left: str) -> None:
        """Tell the teacher, at the heading of a stage, what is left for her there."""
        section = next(number for number, stages in self.of_section.items() if stage in stages)
        for index, entry in enumerate(self.printed.entries):
            if entry.section == section and entry.kind == "heading":
                self.found.taken[index] = Sorted("part", "pattern.yaml, stages", left)

    def _by_hand(self, entries: Sequence[int]) -> bool:
        """Whether sentences tell of handwork, once there is something to be finished."""
        return self.begun and any(hand_key(self._text(i)) for i in entries)

    def _prose(self, index: int, stage: Stage) -> None:
        """A sentence that is no line: handwork of its own, or printed before the next work."""
        text = self._text(index)
        if yarn := self._yarn_of(index):
            self.yarn = yarn
        if for_some(text, self.printed.sizes)[0]:  # its lines say so themselves
            self.found.taken[index] = Sorted("for some sizes", f"pattern.yaml: stages, {stage.key}")
            stage.remarks.append(text)
            return
        if SECOND.match(text.strip()) or MAKE.fullmatch(text.strip(" .!")):
            self.found.taken[index] = Sorted(
                "made again", "pattern.yaml: make" if self.pairs > 1 else "pattern.yaml, stages"
            )
            stage.remarks.append(text)
            return
        key = hand_key(text) if self._nothing_follows(index) else ""
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
            if index in self.lines and all(self.lines[index].counted.stitches):
                keys["leaves"] = sized(self.lines[index].counted.stitches)
        work = self._new(stage, Work([index], keys), kind, left)
        if key == "weave_ends" and words(text) <= _WOVEN:
            work.remarks.append(text)
        elif key in ("weave_ends", "block"):
            work.add("note", text)
        elif BRACES.search(text):
            work.keys["what"], work.remarks = "As said in the remark above", [text]
