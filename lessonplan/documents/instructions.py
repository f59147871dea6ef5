"""How the stages of a pattern are printed for viewers: every work in all sizes, with the choices it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonplan.course import pattern_model as pm
from lessonplan.course.model import Episode, Segment
from lessonplan.course.options import is_worked
from lessonplan.course.quantities import Extent
from lessonplan.craft.gauge import rounds_for
from lessonplan.craft.lengths import Units, length_in_a_sentence, lengths_text, sizes_text, unbroken
from lessonplan.documents.wording import count_of, listing
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.rounds import GO_ON
from lessonplan.pattern.stages import working_order
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.pattern.ways import with_choice
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class LineView:
    """One printed instruction and the stitches after it, if it changes their number."""

    text: str
    count: str


@dataclass(frozen=True, slots=True)
class WorkView:
    """One work of a stage: the yarn where it changes, a sentence that leads in, its lines, a remark."""

    yarn: str
    lead: str
    lines: tuple[LineView, ...]
    end: str
    note: str = ""
    one_way: bool = False
    choice: str = ""


@dataclass(frozen=True, slots=True)
class StageView:
    """One stage of the handout, and the segments that show it."""

    key: str
    title: str
    after: str
    works: tuple[WorkView, ...]
    shown: tuple[str, ...]
    told: tuple[tuple[str, str], ...]
    watch_for: str
    choice: str = ""


def all_stages(pattern: pm.Pattern) -> tuple[str, ...]:
    """Give the stages in working order, those of choices that are not filmed too."""
    return working_order({key: stage.after for key, stage in pattern.stages.items()})


def _way_with(plan: Plan, stage: pm.Stage, key: str, work: pm.Work | None = None) -> WorkedPattern:
    """Give the pattern worked in a way that has a stage, and a work of it: the filmed one if it has them."""
    pattern = plan.course.pattern
    return next(
        way.worked
        for way in plan.worked.ways
        if key in way.worked.stages and (work is None or is_worked(work, pattern, dict(way.chosen)))
    )


def _only_with(item: pm.Stage | pm.Work) -> str:
    """Say with which choices something is worked, or that it can be left out."""
    parts = [f"Only {' or '.join(map(with_choice, item.when))}"] if item.when else []
    return ". ".join([*parts, *(["Optional"] if item.optional else [])]) + (":" if parts or item.optional else "")


def stage_view(plan: Plan, key: str) -> StageView:
    """Word a stage with all its works, each as it is worked in the filmed way or else in one that has it."""
    word, pattern = for_all_sizes(plan.worked.facts), plan.course.pattern
    stage = pattern.stages[key]
    titles = [pattern.stages[name].title for name in stage.after]
    units = units_printed(pattern)
    yarns = _yarn_changes(pattern, stage)
    works = []
    for index, work in enumerate(stage.works):
        worked = _way_with(plan, stage, key, work)
        view = _work(work, index, worked.stages[key], worked.sizes, yarns[index], units)
        works.append(replace(view, note=unbroken(fill(work.note, word)), choice=_only_with(work)))
    shown = shown_in(plan, key)
    return StageView(
        key=key,
        title=stage.title,
        after=f"After {listing(titles)}." if titles else "",
        works=tuple(works),
        shown=tuple(f"Episode {episode.episode}, {fill(segment.title, word)}" for episode, segment in shown),
        told=tuple(
            (fill(segment.title, word), unbroken(fill(segment.handout, word)))
            for _, segment in shown
            if segment.handout
        ),
        watch_for=fill(stage.watch_for, word),
        choice=_only_with(stage),
    )


def shown_in(plan: Plan, key: str) -> tuple[tuple[Episode, Segment], ...]:
    """Find the segments in which a piece moves through a stage or lies there half worked, in the order of the story."""
    if key not in plan.worked.pattern.order:
        return ()
    place = plan.worked.pattern.order.index(key)
    moved = set()
    for piece in plan.worked.table:
        kind, stand = next(iter(piece.stands.items()))
        whole = len(plan.worked.kinds[kind].stage(key, plan.worked.size).steps)
        if stand.end[place] > stand.start[place] or 0 < stand.start[place] < whole:
            moved.add(piece.shot.segment)
    return tuple((episode, segment) for number, episode, segment in plan.course.segments() if number in moved)


def _yarn_changes(pattern: pm.Pattern, stage: pm.Stage) -> list[str]:
    """Say before which works of a stage another yarn is taken up; nothing in a pattern of one yarn."""
    found, before = [], ""
    for work in stage.works:
        with_yarn = isinstance(work, (pm.CastOn, pm.Knit, pm.PickUp, pm.Cord))
        names = work.yarn or tuple(pattern.yarns)[:1]
        named = {name: f"{name} ({yarn.colour})" for name, yarn in pattern.yarns.items()} | {pm.WASTE: "waste yarn"}
        if isinstance(work, pm.Knit) and work.chart:
            names = tuple(dict.fromkeys(pattern.charts[work.chart].colours.values()))
        here = listing([named[name] for name in names])
        if isinstance(work, pm.Knit) and work.stripes:
            here = f"{here} in stripes: {_stripes(work)}"
        changed = with_yarn and len(pattern.yarns) > 1 and here != before
        carried = (
            f"Carry {listing(work.carry)} along; do not cut it." if isinstance(work, pm.Knit) and work.carry else ""
        )
        found.append(f"{f'With {here}. ' if changed else ''}{carried}".strip())
        before = here if with_yarn else before
    return found


def _stripes(work: pm.Knit) -> str:
    return "go on as before" if " ".join(work.stripes.split()).lower() == GO_ON else work.stripes


def _work(
    work: pm.AnyWork, index: int, stages: tuple[WorkedStage, ...], sizes: tuple[str, ...], yarn: str, units: Units
) -> WorkView:
    """Word one work in all sizes from its worked steps."""
    steps = [tuple(step for step in stage.steps if step.work == index) for stage in stages]
    if isinstance(work, pm.Spread):
        return _spread_work(work, steps, sizes, yarn)
    if not isinstance(work, pm.Knit):
        texts = [one[0].text if one else "" for one in steps]
        left = sizes_text([str(one[-1].after) if one else "" for one in steps])
        end = f"{left}\u00a0sts." if isinstance(work, (pm.PickUp, pm.TakeUp, pm.Open)) else ""
        lead, one_way = one_sentence(texts), any(step.one_way for one in steps for step in one)
        if isinstance(work, pm.Cord) and work.as_you_like:
            lead = f"{lead.rstrip('.')}, {_as_you_like(work.as_you_like, units)}."
        return WorkView(yarn=yarn, lead=lead, lines=(), end=end, one_way=one_way)
    counts = [sum(step.is_round for step in one) for one in steps]
    after = [one[-1].after if one else 0 for one in steps]
    # A chart has no lines of its own: its rounds are printed as they are worked.
    printed = work.lines or tuple(step.text for step in steps[0])
    once = all(len(one) <= len(printed) for one in steps)
    lines = tuple(LineView(unbroken(line), _count_after(line, steps) if once else "") for line in printed)
    lines += tuple(LineView(f"{_in_stripe(key)}: {unbroken(line)}", "") for key, line in work.in_stripe.items())
    what = "row" if work.rows is not None else "round"
    lead = "" if once and len(lines) == max(counts) else _lead(work, counts, what, stages, units)
    changed = any(one and one[0].before != one[-1].after for one in steps)
    end = f"{sizes_text([str(count) for count in after])}\u00a0sts." if changed and not once else ""
    return WorkView(yarn=yarn, lead=lead, lines=lines, end=end, one_way=work.one_way)


def _spread_work(work: pm.Spread, steps: list[tuple[Step, ...]], sizes: tuple[str, ...], yarn: str) -> WorkView:
    """Print the line that spreads shapings evenly; sizes with different lines have one each."""
    texts = [one[0].text if one else "" for one in steps]
    after = sizes_text([str(one[-1].after) if one else "" for one in steps]) + "\u00a0sts"
    if len(set(texts)) == 1:
        return WorkView(yarn=yarn, lead="", lines=(LineView(texts[0], after),), end="", one_way=work.one_way)
    lines = tuple(LineView(f"{size}: {text}", "") for size, text in zip(sizes, texts, strict=True))
    lead = "The line of your size:"
    return WorkView(yarn=yarn, lead=lead, lines=lines, end=f"{after}.", one_way=work.one_way)


def _lead(work: pm.Knit, counts: list[int], what: str, stages: tuple[WorkedStage, ...], units: Units) -> str:
    total = sizes_text([str(count) for count in counts])
    if work.times:
        times = sizes_text([str(count) for count in work.times])
        these = f"these {len(work.lines)} {what}s" if len(work.lines) > 1 else f"this {what}"
        return f"Work {these} {times} times ({total} {what}s in all):"
    extent = work.rows or work.rounds
    if extent and extent.kind == "length":
        lead = f"Work {_length_worked(work, extent, counts, stages, units)} ({total} {what}s at the given gauge)"
        return f"{lead}, {_as_you_like(work.as_you_like, units)}:" if work.as_you_like else f"{lead}:"
    if len(set(counts)) == 1:
        return f"Work {count_of(counts[0], what)}:"
    return f"Work {total} {what}s:"


def _length_worked(
    work: pm.Knit, extent: Extent, counts: list[int], stages: tuple[WorkedStage, ...], units: Units
) -> str:
    """Word the length of some rounds: as it was typed where they meet it, else what they really measure."""
    wanted = [extent.at(size) for size in range(len(stages))]
    if all(count == rounds_for(one, stage.fabric) for one, count, stage in zip(wanted, counts, stages, strict=True)):
        return lengths_text(wanted, units, typed=True)
    return lengths_text([stage.fabric.length(count) for count, stage in zip(counts, stages, strict=True)], units)


def _as_you_like(ends: tuple[float, float], units: Units) -> str:
    low, high = (length_in_a_sentence(one, units) for one in ends)
    return f"or as long as you like, from {low} to {high}"


def _in_stripe(key: str) -> str:
    """Word a round of a stripe: ``2 CC`` gives ``Round 2 of every stripe in CC``."""
    number, _, yarn = key.strip().partition(" ")
    return f"Round {number} of every stripe" + (f" in {yarn.strip()}" if yarn else "")


def _count_after(line: str, steps: list[tuple[Step, ...]]) -> str:
    """Give the stitches after the first round that a line makes, if they differ from those before it."""
    found = [next((step for step in one if step.text == line), None) for one in steps]
    if any(step is None or step.before == step.after for step in found):
        return ""
    return sizes_text([str(step.after) for step in found if step]) + "\u00a0sts"


def one_sentence(texts: list[str]) -> str:
    """Put the wordings of all sizes together: words that differ are printed for each size in brackets."""
    split = [text.split(" ") for text in texts]
    if len({len(words) for words in split}) != 1:
        return texts[0]
    return unbroken(" ".join(_one_word(words) for words in zip(*split, strict=True)) + ".")


def _one_word(words: Sequence[str]) -> str:
    """Put one word of all sizes together; the brackets and stops that they share stay outside."""
    before = "(" if all(word.startswith("(") for word in words) else ""
    ends = {word[len(word.rstrip("),:;")) :] for word in words}
    after = ends.pop() if len(ends) == 1 else ""
    return before + sizes_text([word[len(before) : len(word) - len(after)] for word in words]) + after
