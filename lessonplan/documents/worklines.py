"""The pattern's own lines as far as one piece needs them, in the size that is filmed and in the piece's own rounds."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from lessonplan.course.model.pattern import WASTE
from lessonplan.course.model.works import AnyWork, BindOff, CastOn, Knit, Units as CountedUnits
from lessonplan.course.words import capital, count_of, listing
from lessonplan.craft.lengths import Units, length_in_a_sentence, lengths_text, unbroken
from lessonplan.craft.words import rest_named, words_of
from lessonplan.documents.stageneedles import needle_to_take
from lessonplan.documents.stopping import live_parts
from lessonplan.documents.wording import its_tail, rest_time, told_once
from lessonplan.pattern.colour import joins, takes_yarn
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.needled import needle_of_stage
from lessonplan.pattern.texts import fill
from lessonplan.pattern.worked import PART, REMARK, UNIT, Step, WorkedPattern, WorkedStage
from lessonplan.pattern.working.works import JOINED
from lessonplan.planning.worked import Plan
from lessonplan.printed.words.numbers import ONLY
from lessonplan.samples.choice import State

_SIZED = re.compile(r"(\d[\d.½¼¾⅛]*(?:st|nd|rd|th)?)(\s*[(\[])([^()\[\]]*)([)\]])")
_VALUE = re.compile(r"[\d½¼¾⅛–-]")
"""How a number of one size begins; words in brackets, as “ch 3 (counts as first dc)”, are no size's."""
_LABEL = re.compile(
    r"(?P<own>(?:next )?(?:rnd|round|row)s?\b(?:[\s\d,&–-]|and|to|through|\([\d\s,]+\))*?)\s*"
    r"(?:\((?P<side>RS|WS)?(?P<name>[^()\d]*)\))?:\s*",
    re.IGNORECASE,
)
"""How a line numbers itself, and on which side it is worked."""
EVERY_OTHER = 6
"""From so many numbers on every other round is called odd or even (a guess)."""
REST = "the rest"
"""Before the line of a round that is begun already."""
UNCUT = "Do not cut between the stripes; carry the resting yarn along."
"""Said of stripes as the ends to weave in are counted: one yarn rests while another is worked."""
ANEW = "What is on the needle stays on it: take another needle, and a ball of its own."
"""Said before a part is cast on while another of the same piece is live."""


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One line of the pattern: in which rounds it is worked, in which yarn, and the stitches after the last of them.

    ``remark``: what the pattern says before or after a work, in its place among the lines.
    """

    rounds: str
    text: str
    count: str
    remark: bool = False


@dataclass(frozen=True, slots=True)
class StageLines:
    """One stage of a piece: title, needle, how many rounds of the full piece's, lines, and remarks for later.

    ``when``: when what is left for later is done; nothing where nobody does it any more.
    """

    key: str
    title: str
    needle: str
    short: str
    lines: tuple[RoundLine, ...]
    later: tuple[str, ...]
    when: str = ""


def lines_of(plan: Plan, kind: str, begun: State, goal: State) -> tuple[StageLines, ...]:
    """Give the lines that are worked on a piece of a kind from one state to another, stage by stage."""
    worked, size, words = plan.worked.kinds[kind], plan.worked.size, words_of(plan.course.pattern)
    last = last_stages(worked, goal)
    found = list[StageLines]()
    for place, (key, start, stop) in enumerate(zip(worked.order, begun, goal, strict=True)):
        if stop > start:
            one = _stage(plan, worked.stage(key, size), start, stop, last=key in last)
            done = [goal[at] if at < place else begun[at] for at in range(len(goal))]
            if worked.stage(key, size).steps[start].kind == "cast-on" and live_parts(tuple(done), worked, size, words):
                one = replace(one, lines=(RoundLine("", ANEW, "", remark=True), *one.lines))
            if not found:
                one = replace(one, lines=(*_closing(plan, worked, begun), *one.lines))
            found.append(one)
    return tuple(found)


def _closing(plan: Plan, worked: WorkedPattern, begun: State) -> Iterator[RoundLine]:
    """Give the lines that close a ring which was only cast on: whoever works its first round does it."""
    for key in last_stages(worked, begun):
        stage, done = worked.stage(key, plan.worked.size), begun[worked.order.index(key)]
        if done and stage.steps[done - 1].text.endswith(JOINED):
            note = plan.course.pattern.stages[key].works[stage.steps[done - 1].work].note
            told = [one for one in _remarks(plan, note) if _joins(one)]
            yield from told or (RoundLine("", f"{JOINED.strip(' ,').capitalize()}.", "", remark=True),)


def _left_open(lines: Sequence[RoundLine]) -> Iterator[RoundLine]:
    """Leave a ring open that is only cast on: it is closed with the first stitch of its first round."""
    for line in lines:
        if not (line.remark and _joins(line)):
            yield replace(line, text=line.text.replace(JOINED, ""))


def _joins(line: RoundLine) -> bool:
    return re.search(r"\bjoin\b", line.text, re.IGNORECASE) is not None


def steps_of(plan: Plan, kind: str, begun: State, goal: State) -> tuple[Step, ...]:
    """Give the steps that are worked on a piece of a kind from one state to another, stage by stage."""
    return tuple(plan.worked.kinds[kind].steps_between(begun, goal, plan.worked.size))


def _stage(plan: Plan, stage: WorkedStage, start: int, stop: int, *, last: bool) -> StageLines:
    size = plan.worked.size
    full = plan.worked.kinds["full"].stage(stage.key, size)
    whole, here = len(full.rounds), len(stage.rounds)
    what = full.unit
    steps = [*_whole_rounds(stage, start, stop)]
    lines, later = [*_lines(plan, stage, start, steps)], list[str]()
    if last and steps and steps[-1].text.endswith(JOINED):
        lines = [*_left_open(lines)]
    end = max((place for place, line in enumerate(lines) if not line.remark), default=-1) + 1
    if last:  # the yarn of the last round hangs on; where rounds of it are left, it is not cut at all yet
        lines = [line for place, line in enumerate(lines) if place < end or not _cuts(line.text)]
        later = [*cut_after(plan, stage, stop)]
    return StageLines(
        key=stage.key,
        title=stage.title,
        needle=stage_needle(plan, stage.key) if any(step.is_round or step.kind == "cast-on" for step in steps) else "",
        short=f"{count_of(here, what)}, not {whole}" if here < whole else "",
        lines=tuple(lines),
        later=tuple(later),
    )


def _whole_rounds(stage: WorkedStage, start: int, stop: int) -> Iterator[Step]:
    """The steps to work, rounds that are cut in parts made whole; of one that is begun, the rest."""
    parts = list[Step]()
    for place in range(start, stop):
        step = stage.steps[place]
        begun = not parts and place > 0 and stage.steps[place - 1].kind == PART
        if step.kind == PART:
            parts.append(replace(step, text=f"on to {step.text}") if begun else step)
        elif parts:
            rest = f"{REST} of: " if parts[0].text.startswith("on to ") else ""
            yield replace(step, before=parts[0].before, text=f"{rest}{step.text}")
            parts = []
        else:
            yield replace(step, text=_rest_of_round(stage, place)) if begun else step
    yield from parts[-1:]


def _rest_of_round(stage: WorkedStage, place: int) -> str:
    """Word what is left of a round that is begun: so many stitches where all are worked alike, else as a rest."""
    step, parts = stage.steps[place], stage.parts(place)
    left = parts[-1].before - sum(one.part for one in parts)
    names = {name for one in (step, *parts) for name, _ in one.techniques} - {"sm", "rm", "pm"}
    return f"{REST}, {names.pop()}{left}" if names in ({"k"}, {"p"}) else f"{REST} of: {step.text}"


def _already(step: Step, remark: RoundLine) -> bool:
    """Whether a remark tells to put aside what the part of a round before this rest of it has put aside."""
    return step.text.startswith(REST) and not step.held and bool(step.name) and WASTE in remark.text


def stage_needle(plan: Plan, key: str, begun: int = 1, ended: int = 0) -> str:
    """Name the needle of a stage when so many of its works are begun, and ended."""
    return needle_of_stage(plan.course.pattern, plan.worked.kinds["full"], plan.worked.size, key, begun, ended)


def last_stages(worked: WorkedPattern, goal: State) -> frozenset[str]:
    """Give the stages after which nothing of a piece in this state comes."""
    return frozenset(worked.order).difference(*map(worked.ancestors, worked.begun(goal)))


def cut_after(plan: Plan, stage: WorkedStage, done: int) -> tuple[str, ...]:
    """Give what the pattern says of cutting a yarn after so many steps of a stage: nothing inside a work."""
    if not done or (done < len(stage.steps) and stage.steps[done].work == stage.steps[done - 1].work):
        return ()
    note = plan.course.pattern.stages[stage.key].works[stage.steps[done - 1].work].note
    return tuple(one.text for one in _remarks(plan, note) if _cuts(one.text))


def _cuts(text: str) -> bool:
    """Whether a remark tells to cut the yarn, which a piece that stops there must not be."""
    return re.search(r"(?<!not )\b(?:cut|break|fasten)\b", text, re.IGNORECASE) is not None


def _lines(plan: Plan, stage: WorkedStage, start: int, steps: Sequence[Step]) -> Iterator[RoundLine]:
    """Rounds of one line and yarn stand together, as long as no other work and no remark comes between."""
    sizes, works = len(plan.worked.pattern.sizes), plan.course.pattern.stages[stage.key].works
    number, units = stage.rounds_at(start), 0
    group: dict[tuple[str, str], list[tuple[int, Step]]] = {}
    for place, step in enumerate(steps):
        text = one_size(step.text, plan.worked.size, sizes)
        last_done = steps[place - 1] if place else stage.steps[start - 1] if start else None
        begins = last_done is None or last_done.work != step.work  # what is said before a work is done by then
        join = _join(plan, stage, start, step) if begins else ""
        carry = _carried(stage, works[step.work], step.work) if begins or not place else ""
        before = [*_remarks(plan, works[step.work].before)] if begins else []
        if before or join or carry:
            yield from _rounds(group)
            yield from before[:-1]
            last = " ".join(text for text in (*(one.text for one in before[-1:]), join, carry) if text)
            yield RoundLine("", last, "", remark=True)
        if step.is_round:
            number += 1
            group.setdefault((text, _yarns(plan, step)), []).append((number, step))
        elif step.kind == REMARK:
            yield from _rounds(group)
            yield RoundLine("", text, "", remark=True)
        elif step.kind == UNIT and place + 1 < len(steps) and steps[place + 1].work == step.work:
            units += 1
        elif step.kind == UNIT:
            yield from _rounds(group)
            yield _counted(works[step.work], step, units + 1)
            units = 0
        else:
            yield from _rounds(group)
            unit = stage.unit_at(start + place + 1).capitalize()
            what = f"{unit} {number + 1}" if step.kind == PART else ""
            method = _method(plan, works[step.work], step)
            if found := re.search(r"(?<=\d) sts?\b", text):
                text = f"{text[: found.end()]}{method}{text[found.end() :]}"
            if step.kind == "draw-through":  # worded as on the handout
                text = drawn_through(text, [tail for _, tail in step.tails], units_printed(plan.course.pattern))
            yarns = f" ({used})" if (used := _yarns(plan, step)) and step.kind != PART else ""
            yield RoundLine(
                what, f"{text}{yarns}.{rest_of(step)}", f"{step.after} sts" if step.after and step.kind != PART else ""
            )
        if (place + 1 == len(steps) or steps[place + 1].work != step.work) and works[step.work].note:
            yield from _rounds(group)
            yield from (one for one in _remarks(plan, works[step.work].note) if not _already(step, one))
    yield from _rounds(group)


def beforehand(plan: Plan, stage: WorkedStage, at: int) -> str:
    """Say what is done before the step at ``at``, where a work begins with it: the needle to take, the yarn to join."""
    step = stage.steps[at]
    if at and stage.steps[at - 1].work == step.work:
        return ""
    before = _remarks(plan, plan.course.pattern.stages[stage.key].works[step.work].before)
    needle = "" if at else needle_to_take(plan, stage.key)
    return " ".join(text for text in (needle, *(one.text for one in before), _join(plan, stage, at, step)) if text)


def _join(plan: Plan, stage: WorkedStage, start: int, step: Step) -> str:
    """Say which yarns are joined where a work of rounds begins, as the handout does; nothing where it goes on."""
    yarns, work = plan.course.pattern.yarns, plan.course.pattern.stages[stage.key].works[step.work]
    joined = joins(plan.worked.kinds["full"], plan.worked.size).get((stage.key, step.work), frozenset())
    begun = any(one.work == step.work for one in stage.steps[:start])
    if not isinstance(work, Knit) or not joined or begun or len(yarns) < 2:
        return ""
    new = [name for name in yarns if name in joined and not takes_yarn(work.before, name)]
    return f"Join {listing(new)}." if new else ""


def _carried(stage: WorkedStage, work: AnyWork, index: int) -> str:
    """Say that no yarn is cut between the stripes of a work, unless it tells itself what becomes of them."""
    if not isinstance(work, Knit) or not work.stripes or work.carry or work.note:
        return ""
    turns = {frozenset(name for name, _ in step.yarns) for step in stage.steps if step.work == index and step.yarns}
    return UNCUT if len(turns) > 1 else ""


def _method(plan: Plan, work: AnyWork, step: Step) -> str:
    """Say how stitches are cast on, with the tail that a method needs, or bound off; nothing for other works."""
    if isinstance(work, BindOff):
        return f" ({work.method})" if work.method != "standard" else ""
    if not isinstance(work, CastOn) or not work.method:
        return ""
    tail = lengths_text([step.tails[0][1]], units_printed(plan.course.pattern), about=True) if step.tails else ""
    long = tail and "long" in work.method
    return f" ({work.method}{f', {its_tail(tail, work.before, work.note)}' if long else ''})"


def _counted(work: AnyWork, last: Step, count: int) -> RoundLine:
    """Word some counted units, the last of which is this one, as one line."""
    unit, number, _, total = last.text.rsplit(" ", 3)
    first, name = int(number) - count + 1, capital(unit)
    which = f"{name} {number} of {total}" if count == 1 else f"{name}s {runs(range(first, int(number) + 1))} of {total}"
    what = work.what.rstrip(".") if isinstance(work, CountedUnits) else ""
    return RoundLine(which, f"{what}.{rest_of(last)}".removeprefix("."), "")


def drawn_through(text: str, tails: Sequence[float], units: Units) -> str:
    """Word that the yarn is drawn through what is left: with the tail that is left (mm), without a full stop."""
    text = text.replace("ut the yarn and", f"ut the yarn, leaving {length_in_a_sentence(max(tails), units)},")
    return f"{text.rstrip('.')} and pull it tight"


def rest_of(step: Step) -> str:
    """Say how long it is left to dry, in the kiln ... after a step, as a sentence; nothing if its text says it."""
    if not step.drying or step.kind == "block":
        return ""
    return f" Then leave it {rest_named(step.rest).leave} for {rest_time(step.drying)}."


def _remarks(plan: Plan, text: str) -> Iterator[RoundLine]:
    """Each sentence of what the pattern says of a work is one remark; “Or until ...” is for viewers: a piece stops."""
    said = " ".join(fill(text, plan.worked.word).split())
    said = one_size(said, plan.worked.size, len(plan.worked.pattern.sizes))
    yield from (
        RoundLine("", one, "", remark=True)
        for one in re.split(r"(?<=[.!?])\s+", said)
        if one and not one.startswith("Or ")
    )


def _rounds(group: dict[tuple[str, str], list[tuple[int, Step]]]) -> Iterator[RoundLine]:
    """Give the rounds that stand together as lines, and empty the group for those that come."""
    for (text, yarns), rounds in group.items():
        numbers, last = [number for number, _ in rounds], rounds[-1][1]
        what = "Row" if last.flat else "Round"
        changes = any(step.before != step.after or step.text.startswith(REST) for _, step in rounds)
        after = f"{last.after} sts" + (f" after {numbers[-1]}" if len(numbers) > 1 else "")
        name = f"{what}{'s' if len(numbers) > 1 else ''} {runs(numbers)}"
        if len(numbers) >= EVERY_OTHER and {later - one for one, later in pairwise(numbers)} == {2}:
            name = f"{'Odd' if numbers[0] % 2 else 'Even'} {what.lower()}s {numbers[0]} to {numbers[-1]}"
        own, side, line = _own_number(text)
        each = {len([*run]) for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0])}
        line = told_once(line, [*each]) if len(each) == 1 else line
        if not {int(one) for one in re.findall(r"\d+", own)} <= {*numbers}:
            name += f", here “{own}”"
        beside = ", ".join(filter(None, (side, yarns)))
        name += f" ({beside})" if beside else ""
        yield RoundLine(name, unbroken(line), after if changes else "")
    group.clear()


def _own_number(text: str) -> tuple[str, str, str]:
    """Part a line into the number that it gives itself, its side or name, and what is worked, without its sizes."""
    only = ONLY.match(text)
    bare = text[only.end() :].lstrip(" :,") if only else text
    label = _LABEL.match(bare)
    if label is None:
        return "", "", text
    beside = (label["side"], (label["name"] or "").strip(" ,"))
    return label["own"], ", ".join(filter(None, beside)), bare[label.end() :]


def _yarns(plan: Plan, step: Step) -> str:
    """The yarn of a round, where a pattern has several."""
    return listing([name for name, _ in step.yarns]) if len(plan.course.pattern.yarns) > 1 else ""


def runs(numbers: Sequence[int]) -> str:
    """Word round numbers: ``1 to 22``, ``2, 4, 6``, ``1, 2, 5 and 6``."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    parts = []
    for run in found:
        parts += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return listing(parts)


def one_size(text: str, size: int, sizes: int) -> str:
    """Give a printed line for one size: ``K20 (22, 24), pm`` gives ``K22, pm``, ``18th (20th) row`` ``20th row``."""

    def chosen(found: re.Match[str]) -> str:
        """The value of one size, where there is one for each."""
        values = [found[1], *re.split(r"\s*[,;:]\s*", found[3].strip())]
        several = len(values) == sizes > 1 and all(_VALUE.match(one) for one in values)
        return values[size] if several else found[0]

    return _SIZED.sub(chosen, text)
