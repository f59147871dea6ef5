"""Texts over the picture that come out of the pattern: counts, rounds, needle and yarn, abbreviations, sequences.

Every number in them is a fact of the pattern or the number of a round, in every size where sizes differ (`sized`).
Each kind comes where it belongs: a count at the word that says it, or when the hands have worked it; the round, needle
and yarn, and abbreviations when the hands begin; a sequence in step with the hands that work it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest

from lessonplan.course.model.episodes import Shot
from lessonplan.course.names.toolbox import on_table
from lessonplan.course.rules.cuework import TOOLS
from lessonplan.craft.sequences import sequences_in
from lessonplan.craft.techniques import abbreviations_used, all_techniques, technique
from lessonplan.craft.words import words_of
from lessonplan.edit.cues.onscreen import LATER, STEP_LONGEST, Wanted, time_to_read
from lessonplan.edit.cues.rounds import WorkedHere, in_work, rounds_here
from lessonplan.edit.cues.sized import alike, sized
from lessonplan.edit.cues.steps import at_their_words, first_worked, sequences_for, stretch
from lessonplan.edit.spoken import facts_said, phrase_at, place_of
from lessonplan.edit.timing import ShotTime
from lessonplan.pattern.needled import needle_of_stage
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan
from lessonplan.shoot.clocks import live_techniques, needle_in

PRIORITY = (
    "correction",
    "own text",
    "on screen",
    "stitches",
    TOOLS[0],
    "round",
    "sequence",
    "abbreviation",
)
"""The kinds of texts in the order in which they are laid: what comes later gives way, or is left out."""
COUNTS = {
    "cast_on": "Cast on {{ FACT }} stitches",
    "picked_up": "Pick up {{ FACT }} stitches",
    "held": "{{ FACT }} stitches on waste yarn",
    "placed": "{{ FACT }} stitches in waste yarn",
    "opened": "{{ FACT }} stitches to go on with",
    "start": "{{ STAGE.title }} begins with {{ FACT }} stitches",
    "stitches": "{{ STAGE.title }} ends with {{ FACT }} stitches",
}
"""Facts of a stage that are counts of stitches, as they are shown when they are said."""
TAKEN_UP = {
    "open": "{{ FACT }} stitches taken up",
    "take-up": "{{ FACT }} stitches taken up",
    "pick-up": "{{ FACT }} stitches picked up",
}
"""The count of a stage as it is shown where the stage begins with these works."""
EVERYBODY = frozenset({"k", "p", "st", "rnd", "rep", "MC", "CC", "CO", "BO", "rib", "row", "DK"})
"""Abbreviations that nobody needs explained in a video that shows them, by their canonical names (a guess)."""


@dataclass(slots=True)
class Seen:
    """What has been shown in an episode so far, so that it is shown once: texts, needles, yarns, names.

    ``works`` are the techniques seen of each round of a stage: its count is shown when they have all been.
    """

    texts: set[str] = field(default_factory=set)
    tools: dict[str, str] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    works: dict[tuple[str, int], set[str]] = field(default_factory=dict)


def computed(plan: Plan, time: ShotTime, seen: Seen) -> Iterator[Wanted]:
    """Give the texts that a shot of an episode asks for, of all kinds."""
    here = rounds_here(plan, time.number)
    shot = plan.course.shot(time.number)
    yield from _needle_and_yarn(plan, time, shot, here, seen)
    yield from _said(plan, time, here, seen)
    yield from _rounds(plan, time, shot, here, seen)
    yield from _sequences(plan, time, shot, here, seen)
    yield from _abbreviations(plan, time, shot, seen)


def wanted(
    plan: Plan,
    time: ShotTime,
    kind: str,
    template: str,
    at: int,
    belongs: str,
    *,
    near: bool,
    rounds: Sequence[tuple[str, int]] = (),
    each: Sequence[str] = (),
) -> Wanted:
    """Make a text of facts that comes at a time; ``near`` that time, or else anywhere later in its shot.

    ``rounds``: those (stage, number) that it tells of by their number alone; ``each`` as for `sized`.
    """
    text = sized(plan.worked, template, rounds, each)
    return Wanted(
        kind=kind,
        texts=(text.every,),
        shot=time.number,
        start=at,
        last=at + LATER if near else time.end,
        stays=time_to_read(text.every),
        opens=time.start,
        closes=time.end,
        rank=PRIORITY.index(TOOLS[0] if kind in TOOLS else kind),
        shorter="" if text.one == text.every else text.one,
        names=frozenset(re.findall(r"\{\{ ([^{}]*) \}\}", template)),
        belongs=belongs,
    )


def _said(plan: Plan, time: ShotTime, here: WorkedHere | None, seen: Seen) -> Iterator[Wanted]:
    """Show each count of stitches or rounds at the word that says it."""
    word, shot = plan.worked.word, plan.course.shot(time.number)
    told = [(time.at_word(place), name) for place, name in facts_said(shot.say, word)]
    for point, at in zip(shot.points, time.points, strict=True):
        told += [(time.start + at, name) for _, name in facts_said(point.text, word)]
    for (at, name), (after, following) in zip_longest(told, told[1:], fillvalue=(0, "")):
        kind, template, rounds = _before_it(plan, name, here) or (*_of_fact(plan, name), ())
        template = _made_here(plan, time, name) or template
        counts_after = template.startswith("After")
        each = _of_each(plan, name) if counts_after else ()
        if counts_after and after - at <= LATER and following == f"{name.partition('.')[0]}.start":
            # “28 left of 44”: two texts would have them in another order than they are worked.
            seen.texts.add(_of_fact(plan, following)[1])
            template, each = _of_those(template, following), tuple(_of_those(text, following) for text in each)
        value = plan.worked.facts[name].at(plan.worked.size) if template else ""
        if value.isdigit() and int(value) and template not in seen.texts:
            seen.texts.add(template)
            belongs = f"the words “{value}”"
            yield wanted(plan, time, kind, template, at, belongs, near=True, rounds=rounds, each=each)


def _made_here(plan: Plan, time: ShotTime, name: str) -> str:
    """Give the text of the count of a stage in a shot that takes these stitches up, long before the stage ends."""
    stage, _, what = name.partition(".")
    for piece in plan.worked.table if what == "stitches" else ():
        kind, stand = piece.first
        worked = plan.worked.kinds[kind]
        if piece.shot == time.number and stage in worked.order:
            at, steps = worked.order.index(stage), worked.stage(stage, plan.worked.size).steps
            done = [step.kind for step in steps[stand.start[at] : stand.end[at]]]
            if stand.end[at] < len(steps) and done and done[-1] in TAKEN_UP:
                return TAKEN_UP[done[-1]].replace("FACT", name)
    return ""


def _of_those(template: str, start: str) -> str:
    """Say in the text of a count of how many it is what is left."""
    return template.replace("}} stitches", f"}}}} of {{{{ {start} }}}} stitches")


def _of_each(plan: Plan, name: str) -> tuple[str, ...]:
    """Give the text of the count after a round that ends a work, for each size the round that ends it there."""
    stage, number = name.split(".")[0], int(name.split("_")[-1].partition(".")[0])
    every = [[step.work for step in one.rounds] for one in plan.worked.pattern.stages[stage]]
    filmed = every[plan.worked.size]
    work = filmed[number - 1]
    if work in filmed[number:] or not all(work in works for works in every) or alike(plan.worked, stage, number):
        return ()
    ends = (len(works) - works[::-1].index(work) for works in every)
    return tuple(_of_fact(plan, f"{stage}.round_{end}.stitches")[1] for end in ends)


def _before_it(plan: Plan, name: str, here: WorkedHere | None) -> tuple[str, str, tuple[tuple[str, int], ...]] | None:
    """Give the text of a count that an earlier round left and the round worked here begins with, if a fact is one.

    Beside it stand its kind, and the round that it tells of by its number.
    """
    earlier = re.fullmatch(r"(\w+)\.round_(\d+)\.stitches", name)
    if not here or not earlier or earlier[1] != here.stage or int(earlier[2]) >= here.first - 1:
        return None
    if plan.worked.facts[name].at(plan.worked.size) != str(here.step.before):
        return None
    unit, begins = _unit(plan, here.stage), f"begins with {{{{ {name} }}}} stitches"
    last = [str(one.rounds[-1].before) for one in plan.worked.pattern.stages[here.stage] if one.rounds]
    if _is_last(plan, here) and last == [plan.worked.facts[name].at(size) for size in range(len(last))]:
        return "stitches", f"The last {unit} {begins}", ()
    return "stitches", f"{unit.capitalize()} {here.first} {begins}", ((here.stage, here.first),)


def _of_fact(plan: Plan, name: str) -> tuple[str, str]:
    """Give the kind and the text of a fact that is a count; nothing for any other."""
    stage, _, what = name.partition(".")
    if stage not in plan.worked.pattern.stages:
        return "", ""
    if what in COUNTS:
        return "stitches", COUNTS[what].replace("FACT", name).replace("STAGE", stage)
    if what in ("rounds", "rows"):
        return "round", f"{{{{ {stage}.title }}}}, {{{{ {name} }}}} {what}"
    if found := re.fullmatch(r"round_(\d+)\.stitches", what):
        return "stitches", f"After {_unit(plan, stage)} {found[1]}: {{{{ {name} }}}} stitches"
    return "", ""


def _unit(plan: Plan, stage: str) -> str:
    """Say whether a stage has rounds or rows."""
    rounds = plan.worked.pattern.stage(stage, plan.worked.size).rounds
    return "row" if rounds and all(step.flat for step in rounds) else "round"


def _hands_begin(time: ShotTime, shot: Shot) -> int:
    """When the hands begin to work a line, else when they begin at all."""
    lines = [start for one, (start, _) in zip(shot.hands, time.hands, strict=True) if one.work]
    return time.start + (lines[0] if lines else 0)


def _rounds(plan: Plan, time: ShotTime, shot: Shot, here: WorkedHere | None, seen: Seen) -> Iterator[Wanted]:
    """Show the round that is worked now, and at its end the count where it was shaped."""
    if here is None:
        return
    unit, stage, at = _unit(plan, here.stage), here.stage, _hands_begin(time, shot)
    which = f"{unit} {here.first}" if here.first == here.last else f"{unit}s {here.first} to {here.last}"
    total = f"{{{{ {stage}.{unit}s }}}}"
    text, told = f"{{{{ {stage}.title }}}}, {which} of {total}", [(stage, here.first), (stage, here.last)]
    own, each = in_work(plan, here), tuple[str, ...]()
    if _is_last(plan, here):
        text, told = f"{{{{ {stage}.title }}}}, {unit} {total}, the last one", []
    elif own:
        which = f"{unit} {own.first}" if own.first == own.last else f"{unit}s {own.first} to {own.last}"
        line = f": “{unit.capitalize()} {own.own}”" if own.first == own.last != own.own else ""
        each = tuple(f"{{{{ {stage}.title }}}}, {which} of {count}{line}" for count in own.totals)
        text, told = each[plan.worked.size], []
    yield wanted(plan, time, "round", text, at, "the hands beginning", near=False, rounds=told, each=each)
    before = seen.works.setdefault((stage, here.last), set())
    shown = here.shown(before)
    before |= here.works or frozenset()
    if here.step.before == here.step.after or not time.hands or not shown:
        return
    text, each = _round_done(plan, stage, here.last, unit), ()
    if own and text.startswith(f"{unit.capitalize()} "):
        count = f"{unit.capitalize()} {own.last} ends with {{{{ {stage}.round_N.stitches }}}} stitches"
        each = tuple(count.replace("round_N", f"round_{before + own.last}") for before in own.before)
        text = each[plan.worked.size]
    if text not in seen.texts:
        seen.texts.add(text)
        yield when_done(time, wanted(plan, time, "stitches", text, time.start, "", near=True, each=each))


def when_done(time: ShotTime, text: Wanted) -> Wanted:
    """Let a text come when the hands of a shot have done their round; as late as it can be read, if that is its end."""
    end = time.start + max(end for _, end in time.hands)
    start = max(time.start, min(end, time.end - text.least))
    return replace(text, start=start, last=end + LATER, belongs="the round being done")


def counts_what_is_done(plan: Plan, time: ShotTime, names: Collection[str]) -> bool:
    """Tell whether a text names the count that the round worked here leaves, and no word of the shot says it."""
    here, word = rounds_here(plan, time.number), plan.worked.word
    if here is None or not time.hands:
        return False
    counts = {f"{here.stage}.round_{here.last}.stitches"}
    if here.last == len(plan.worked.pattern.stage(here.stage, plan.worked.size).rounds):
        counts.add(f"{here.stage}.stitches")
    shot = plan.course.shot(time.number)
    said = {name for text in (shot.say, *(one.text for one in shot.points)) for _, name in facts_said(text, word)}
    return bool(counts & {*names}) and not counts & said


def _is_last(plan: Plan, here: WorkedHere) -> bool:
    """Whether the one round worked here is the last of its stage, and its last rounds are worked alike in all sizes."""
    every = [one.rounds for one in plan.worked.pattern.stages[here.stage]]
    works = {frozenset(name for name, _ in one[-1].techniques) if one else frozenset() for one in every}
    return here.first == here.last == len(every[plan.worked.size]) and len(works) == 1


def _round_done(plan: Plan, stage: str, number: int, unit: str) -> str:
    """Say with how many stitches a round ends, and of the last one that its stage does, if it is the last work."""
    end, whole = f"{stage}.round_{number}.stitches", f"{stage}.stitches"
    facts, size = plan.worked.facts, plan.worked.size
    if facts[f"{stage}.{unit}s"].at(size) == str(number) and facts[whole].at(size) == facts[end].at(size):
        return _of_fact(plan, whole)[1]
    return f"{unit.capitalize()} {number} ends with {{{{ {end} }}}} stitches"


_FOR_SEWING = re.compile(r"\b(?:blunt|cable|darning|embroidery|felting|sewing|tapestry|wool|yarn)\b", re.IGNORECASE)
"""What is beside the needle of a tool on which nothing is knitted."""


def _needle_and_yarn(plan: Plan, time: ShotTime, shot: Shot, here: WorkedHere | None, seen: Seen) -> Iterator[Wanted]:
    """Say with which needle and which yarn is worked: as the shot lays them out, else by the rounds worked here."""
    course = plan.course
    tool, tools = words_of(course.pattern).tool, on_table(course, shot.tools)
    tool = "needle" if tool in ("", "tool") else tool  # of a craft without stitches no tool is theirs
    word = re.compile(rf"\b{re.escape(tool)}s?\b")
    needles = [
        course.course.tools[name].what or name
        for name in tools
        if name in course.course.tools and word.search(name) and not _FOR_SEWING.search(name)
    ]
    yarns = [name for name in tools if name in course.pattern.yarns]
    if not here and shot.pieces and not any(one.work for one in shot.hands):  # what lies beside a piece is for later
        yarns = [name for name in yarns if phrase_at(_yarn(plan, name), time.say) is not None]
    if here:
        full, begun = plan.worked.kinds["full"], here.step.work + 1
        own = needle_of_stage(course.pattern, full, plan.worked.size, here.stage, begun, begun - 1)
        needles = needles or ([_as_packed(plan, own)] if own else [])
        yarns = yarns or [name for name, _ in here.step.yarns if name in course.pattern.yarns]
    said = {
        f"{tool.capitalize()}{'s' if len(needles) > 1 else ''}": " and ".join(needles),
        "Yarns" if len(yarns) > 1 else "Yarn": " and ".join(_yarn(plan, name) for name in yarns),
    }
    last = {what: seen.tools.get(what[:4], "") for what in said}  # one of two that were laid out is said when it begins
    new = {what: text for what, text in said.items() if text and not re.match(rf"{re.escape(text)}( \(|$)", last[what])}
    if new:
        seen.tools |= {what[:4]: text for what, text in new.items()}
        text = "; ".join(f"{what}: {text}" for what, text in new.items())
        named = (_yarn(plan, name) for name in yarns if {"Yarn", "Yarns"} & new.keys())
        places = [(place, name) for name in named if (place := phrase_at(name, time.say)) is not None]
        kind = TOOLS[tool == "hook"]
        if not places:
            yield wanted(plan, time, kind, text, time.start, "the start of the shot", near=False)
            return
        place, name = min(places)
        told = wanted(plan, time, kind, text, time.at_word(place), f"the words “{name}”", near=False)
        yield replace(told, rank=PRIORITY.index("round"))  # a round that is begun before these words is shown first


def _as_packed(plan: Plan, needle: str) -> str:
    """Name the needle of a gauge as it is packed, so that one needle is not called two things: ``4 mm (US 6)``."""
    packed = (tool.what for tool in plan.course.course.tools.values())
    return next((what for what in packed if re.match(rf"{re.escape(needle)} \(", what)), needle)


def _yarn(plan: Plan, name: str) -> str:
    yarn = plan.course.pattern.yarns[name]
    return yarn.colour or yarn.name


def _only_told(plan: Plan, time: ShotTime, shot: Shot, here: WorkedHere | None, name: str) -> bool:
    """Whether a move is one of stitches that the hands, who work others, do not do in a shot."""
    needle = needle_in(time.number, plan.worked.kinds, plan.worked.table, plan.worked.size)
    worked = {each for each, _ in live_techniques(shot, needle)[0]}
    whole = {each for each, _ in here.step.techniques} if here and here.works is None else set[str]()
    return bool(worked) and name in all_techniques() and name not in {technique(each).name for each in worked | whole}


def _sequences(plan: Plan, time: ShotTime, shot: Shot, here: WorkedHere | None, seen: Seen) -> Iterator[Wanted]:
    """Show each fixed sequence step by step while it is told, else while the hands work it, once in an episode."""
    word, pattern = plan.worked.word, plan.course.pattern
    own = " ".join(
        fill(text, word) for text in (shot.title, *(one.work or one.do for one in shot.hands), *shot.on_screen)
    )
    named = {name for name, _ in sequences_for(pattern, own)}
    for name, steps in sequences_for(pattern, f"{own} {fill(time.say, word)}"):
        if name in seen.names or (name not in named and _only_told(plan, time, shot, here, name)):
            continue
        seen.names.add(name)
        plain = [step.replace("*", "") for step in steps]
        series = tuple(f"{name}, {place} of {len(plain)}: {step}" for place, step in enumerate(plain, 1))
        start, end, belongs = stretch(plan, time, shot, name)
        words = at_their_words(steps, time, start if belongs != "the words that name it" else time.start)
        least = sum(map(time_to_read, series))
        yield Wanted(
            kind="sequence",
            texts=series,
            shot=time.number,
            start=words[0] if words else start,
            last=time.end,
            stays=max(least, min(end - start, STEP_LONGEST * len(series))),
            opens=time.start,
            closes=time.end,
            rank=PRIORITY.index("sequence"),
            belongs="the words that tell it" if words else belongs,
            words=words,
            early=0,
            shorter=f"{name}: {'; '.join(plain)}",
        )


def _abbreviations(plan: Plan, time: ShotTime, shot: Shot, seen: Seen) -> Iterator[Wanted]:
    """Explain each abbreviation when it is first said in words, worked or shown in an episode."""
    needle = needle_in(time.number, plan.worked.kinds, plan.worked.table, plan.worked.size)
    names = [name for name, _ in live_techniques(shot, needle)[0]]
    word = plan.worked.word
    texts = [one.work for one in shot.hands if one.work] + [fill(text, word) for text in shot.on_screen]
    for short, meaning, name in abbreviations_used(texts, names, plan.course.pattern.terms):
        if name not in EVERYBODY and f"abbreviation {name}" not in seen.names:
            seen.names.add(f"abbreviation {name}")
            begins, place = first_worked(plan, time, shot, short), place_of(meaning, time.say)
            at, belongs = _hands_begin(time, shot) if begins is None else begins, "its first use"
            if place is not None:
                at, belongs = time.at_word(place), "the words that tell it"
            text = f"{short}: {meaning}"
            if begins is not None and sequences_in(short):  # it leads up to its steps
                at = max(time.start, min(at, begins) - time_to_read(text))
            yield wanted(plan, time, "abbreviation", text, at, belongs, near=True)
