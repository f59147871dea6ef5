"""How the stages of a pattern are printed for viewers: every work in all sizes, with the choices it belongs to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model import pattern as pm, works as wm
from lessonplan.course.names.options import is_worked
from lessonplan.course.names.toolbox import on_table
from lessonplan.course.values.quantities import Extent
from lessonplan.course.words import capital, listing
from lessonplan.craft.gauge import rounds_for
from lessonplan.craft.lengthinline import line_length
from lessonplan.craft.lengths import Units, length_in_a_sentence, lengths_text, sizes_text, unbroken
from lessonplan.documents.charts import Chart, chart_of
from lessonplan.documents.choices import more_with, only_with
from lessonplan.documents.places import segment_place, shot_places
from lessonplan.documents.rounds import LineView, counted, numbers_itself, printed_rounds, rested, stitches, uses
from lessonplan.documents.stageneedles import needle_to_take
from lessonplan.documents.wording import its_tail, one_sentence
from lessonplan.documents.worklines import UNCUT, drawn_through
from lessonplan.pattern.colour import joins, takes_yarn
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage, ancestors
from lessonplan.pattern.working.rounds import NEARLY
from lessonplan.pattern.working.striping import goes_on
from lessonplan.planning.coverage import stages_told, stages_worked
from lessonplan.planning.worked import Plan
from lessonplan.printed.words.numbers import ONLY, only_for
from lessonplan.publish.byepisode import all_stages, shown_in, text_stages

FOR_ALL = "For all:"
"""Said before the first work that everybody does after one that belongs to a choice."""

THEN = "Then there are"
"""Said before a count behind lines that bring it about: nothing is left to be worked there."""


@dataclass(frozen=True, slots=True)
class WorkView:
    """One work of a stage as printed.

    ``before`` is what must be done first, ``yarn`` what is joined or taken up, ``lead`` a sentence with the stitches
    after it as ``count``, ``end`` how the lines go on with ``end_count``, ``note`` a remark. ``firsts`` and ``totals``
    are the number of its first round and how many it has, in each size; ``after`` the stitches after each round that
    changes them, else 0; ``colours`` the yarns of each round where they change within the work.
    """

    lead: str = ""
    count: str = ""
    lines: tuple[LineView, ...] = ()
    end: str = ""
    end_count: str = ""
    yarn: str = ""
    before: str = ""
    note: str = ""
    one_way: bool = False
    choice: str = ""
    firsts: tuple[int, ...] = ()
    totals: tuple[int, ...] = ()
    after: tuple[tuple[int, ...], ...] = ()
    colours: tuple[tuple[str, ...], ...] = ()
    chart: Chart | None = None


@dataclass(frozen=True, slots=True)
class StageView:
    """One stage of the handout, where it is shown, and what else the course tells about it."""

    key: str
    title: str
    after: str
    works: tuple[WorkView, ...]
    watch_for: str
    choice: str = ""
    shown: tuple[str, ...] = ()
    told: tuple[str, ...] = ()


def _way_with(plan: Plan, key: str, work: wm.Work | None) -> WorkedPattern:
    """Give the pattern worked in a way that has a stage, and a work of it: the filmed one if it has them."""
    pattern = plan.course.pattern
    return next(
        way.worked
        for way in plan.worked.ways
        if key in way.worked.stages and (work is None or is_worked(work, pattern, dict(way.chosen)))
    )


def stage_views(plan: Plan) -> tuple[StageView, ...]:
    """Word every stage in working order, with the segments that show it and their texts, each printed once."""
    pattern, word, places = plan.course.pattern, for_all_sizes(plan.worked.facts), shot_places(plan)
    at, hands, lines = text_stages(plan), stages_told(plan.worked), stages_worked(plan.worked)
    views = []
    for key in all_stages(pattern):
        shown, told = [], []
        begun = {*_joined_in(plan, key)} | {number.segment for number, keys in hands.items() if key in keys}
        begun |= shown_in(plan, key) | {number for number, about in at.items() if about == key}
        # Where nothing leaves a piece further, a line worked as its next round shows it: it may fit other stages too.
        begun = begun or {number.segment for number, keys in lines.items() if key in keys}
        for number, _, segment in plan.course.segments():
            if number in begun:
                shown.append(segment_place(places, number, fill(segment.title, word)))
            if at[number] == key and segment.handout:
                told.append(unbroken(fill(segment.handout, word)))
        views.append(replace(_stage_view(plan, key, word), shown=tuple(shown), told=tuple(told)))
    return tuple(views)


def _joined_in(plan: Plan, key: str) -> frozenset[str]:
    """Find the segments that show how a yarn is joined for a stage: it lies there, and the piece is worked with."""
    found, size = set[str](), plan.worked.size
    for piece in plan.worked.table:
        kind, stand = piece.first
        worked, shot = plan.worked.kinds[kind], plan.course.shot(piece.shot)
        if key not in worked.order:
            continue
        done = dict(zip(worked.order, stand.start, strict=True))
        ready = all(done[one] == len(worked.stage(one, size).steps) for one in worked.ancestors(key)) and not done[key]
        joined = joins(worked, size).get((key, 0), frozenset())
        if ready and joined & {*on_table(plan.course, shot.tools)} and any(one.work for one in shot.hands):
            found.add(piece.shot.segment)
    return frozenset(found)


def _stage_view(plan: Plan, key: str, word: Callable[[str], str]) -> StageView:
    """Word a stage with all its works, each as it is worked in the filmed way or else in one that has it."""
    pattern = plan.course.pattern
    stage = pattern.stages[key]
    wording = _Wording(pattern, units_printed(pattern))
    works: list[WorkView] = []
    for index, work in enumerate(stage.works):
        worked = _way_with(plan, key, work)
        runs = [tuple(step for step in one.steps if step.work == index) for one in worked.stages[key]]
        totals = tuple(sum(step.is_round for step in run) for run in runs)
        firsts = tuple(1 + sum(s.is_round and s.work < index for s in one.steps) for one in worked.stages[key])
        left = [_left(one, index) for one in worked.stages[key]]
        view = wording.work(work, runs, worked.stages[key], firsts, left)
        joined = joins(worked, plan.worked.size) if isinstance(work, wm.Knit) else {}
        yarn = wording.yarn(work, stage.works[:index], joined.get((key, index), frozenset()))
        if yarn.endswith(","):
            view, yarn = replace(view, lead=f"{yarn} {view.lead[:1].lower()}{view.lead[1:]}"), ""
        if isinstance(work, wm.Knit) and work.stripes and view.end and not (work.carry or work.note):
            yarn = f"{yarn} {UNCUT}".strip()
        done = replace(view, yarn=yarn, choice=only_with(work), firsts=firsts, totals=totals)
        done = replace(done, after=tuple(map(_changes, runs)) if any(totals) else ())
        done = replace(done, chart=chart_of(pattern, work, worked.stages[key][plan.worked.size], index))
        needle = "" if index else needle_to_take(plan, key)
        before = " ".join(filter(None, (needle, fill(work.before, word))))
        done = replace(done, before=unbroken(before), note=unbroken(fill(work.note, word)))
        done = replace(done, colours=_colours(runs, wording.named))
        if done != WorkView(firsts=firsts, totals=totals, after=done.after, colours=done.colours):
            ends = works and works[-1].choice and not done.choice
            works.append(replace(done, choice=FOR_ALL) if ends else done)
    if stage.one_way and works:
        works[0] = replace(works[0], one_way=True)
    return StageView(
        key=key,
        title=stage.title,
        after=_any_time(pattern, key),
        works=tuple(works),
        watch_for=fill(stage.watch_for, word),
        choice=only_with(stage, more_with(plan, stage)),
    )


def _left(stage: WorkedStage, index: int) -> int | str:
    """Give the stitches after a work; a size that does not work it keeps those it had, if there were any."""
    done = [step for step in stage.steps if step.work <= index]
    here = bool(done) and done[-1].work == index
    return done[-1].after if here else (done[-1].after if done else stage.start) or "–"


def _changes(run: Sequence[Step]) -> tuple[int, ...]:
    """Give the stitches after each round of a work that changes their number, 0 after any other."""
    return tuple(0 if step.before == step.after else step.after for step in run if step.is_round)


def _colours(runs: Sequence[Sequence[Step]], named: Callable[[Step], str]) -> tuple[tuple[str, ...], ...]:
    """Name the yarns of every round in each size; nothing where all are worked in the same."""
    each = tuple(tuple(named(step) for step in run if step.is_round) for run in runs)
    return each if len({one for run in each for one in run}) > 1 else ()


def _any_time(pattern: pm.Pattern, key: str) -> str:
    """Say after what a stage can be worked at any time, where it does not need the stage that is printed before it."""
    order = all_stages(pattern)
    before = [one for one in order[: order.index(key)] if not pattern.stages[one].when]
    if not before or before[-1] in ancestors(key, {name: stage.after for name, stage in pattern.stages.items()}):
        return ""
    titles = [pattern.stages[name].title for name in pattern.stages[key].after]
    return f"Any time after: {listing(titles)}." if titles else "At any time."


@dataclass(frozen=True, slots=True)
class _Wording:
    """Words the works of a pattern in all sizes from their worked steps."""

    pattern: pm.Pattern
    units: Units

    def named(self, step: Step) -> str:
        """Name the yarns of a round, where the pattern has several."""
        if sum(not yarn.waste for yarn in self.pattern.yarns.values()) < 2:
            return ""
        return ", ".join(name for name in self.pattern.yarns if name in dict(step.yarns))

    def yarn(self, work: wm.AnyWork, before: Sequence[wm.AnyWork], joined: frozenset[str]) -> str:
        """Say which yarn is taken up or joined for a work, and which is carried along."""
        with_yarn = (wm.CastOn, wm.Knit, wm.PickUp, wm.Cord)
        full = {key: f"{key} ({yarn.colour})" if yarn.colour else key for key, yarn in self.pattern.yarns.items()}
        named = full | {pm.WASTE: "waste yarn"}
        parts = []
        if isinstance(work, wm.Knit):
            new = [named[one] for one in named if one in joined and not takes_yarn(work.before, one)]
            if new and (len(self.pattern.yarns) > 1 or not before):
                parts.append(f"Join {listing(new)}.")
            if work.carry:
                parts.append(f"Carry {listing(work.carry)} along; do not cut it.")
        elif isinstance(work, with_yarn) and len(self.pattern.yarns) > 1:
            used = [one.yarn or tuple(self.pattern.yarns)[:1] for one in before if isinstance(one, with_yarn)]
            here = work.yarn or tuple(self.pattern.yarns)[:1]
            parts += [f"With {listing([named[one] for one in here])},"] if used[-1:] != [here] else []
        return " ".join(parts)

    def work(
        self,
        work: wm.AnyWork,
        runs: list[tuple[Step, ...]],
        stages: tuple[WorkedStage, ...],
        firsts: tuple[int, ...],
        left: Sequence[int | str],
    ) -> WorkView:
        """Word one work in all sizes."""
        if not any(runs):
            return WorkView()
        one_way = work.one_way or any(step.one_way for run in runs for step in run)
        if isinstance(work, wm.Spread):
            return _spread(work, runs, firsts, self.named, [one.name for one in self.pattern.sizes], left)
        if isinstance(work, wm.Knit):
            return replace(self._knit(work, runs, stages, firsts, left), one_way=one_way)
        lead = self._lead(work, runs)
        counted = isinstance(work, (wm.PickUp, wm.TakeUp, wm.Open)) or getattr(work, "leaves", None) is not None
        return WorkView(lead, stitches(left) if counted else "", one_way=one_way)

    def _lead(self, work: wm.AnyWork, runs: list[tuple[Step, ...]]) -> str:
        """Word a work that is no rounds, as one sentence: with its method, and the tail that is left."""
        lead = one_sentence([run[0].text if run else "" for run in runs])
        tails = [run[0].tails[0][1] if run and run[0].tails else 0.0 for run in runs]
        match work:
            case wm.CastOn():
                method = f"the {work.method}{'' if 'cast' in work.method else ' method'}"
                if "long" in work.method:
                    length = lengths_text(tails, self.units, about=True)
                    method += f" and a {its_tail(length, work.before, work.note)}"
                return f"Using {method}, {lead[:1].lower()}{lead[1:]}"
            case wm.BindOff() if work.method != "standard":
                return f"{lead.rstrip('.')} ({work.method})."
            case wm.DrawThrough():
                return f"{drawn_through(lead, tails, self.units)}."
            case wm.Units():
                return counted(work, self.pattern, runs)
            case wm.Plain():
                used = f" ({listing(uses(work, self.pattern))})" if work.uses else ""
                return f"{lead.rstrip('.')}{used}.{rested(runs)}"
            case wm.Block() if work.method:
                return lead.replace(f"Block ({work.method})", f"{capital(work.method)} block")
            case wm.Cord() if work.as_you_like:
                return f"{lead.rstrip('.')}, {_as_you_like(work.as_you_like, self.units)}."
        return lead

    def _knit(
        self,
        work: wm.Knit,
        runs: list[tuple[Step, ...]],
        stages: tuple[WorkedStage, ...],
        firsts: tuple[int, ...],
        left: Sequence[int | str],
    ) -> WorkView:
        """Word rounds or rows: numbered where the sizes are worked alike, else by their lines and their number."""
        counts = [sum(step.is_round for step in run) for run in runs]
        printed = printed_rounds(runs, firsts, self.named)
        extent = work.rows or work.rounds
        length = self._length(work, extent, counts, stages) if extent and extent.kind == "length" else ""
        if printed is None:
            view = self._unnumbered(work, runs, left, length)
        else:
            view = WorkView(lead=length, count="", lines=printed.lines, end=printed.end, end_count=printed.count)
        return self._once(view, length, work, extent, counts) if length and extent else view

    def _length(self, work: wm.Knit, extent: Extent, counts: list[int], stages: tuple[WorkedStage, ...]) -> str:
        """Word the length of some rounds: as it was typed, but where they end a repeat what they really measure."""
        wanted = [extent.at(size) for size in range(len(stages))]
        if not work.ends_with or all(
            count == rounds_for(one, stage.fabric) for one, count, stage in zip(wanted, counts, stages, strict=True)
        ):
            text = lengths_text(wanted, self.units, typed=True)
        else:
            real = [stage.fabric.length(count) for count, stage in zip(counts, stages, strict=True)]
            text = lengths_text(real, self.units)
        lead = f"Work {text} ({_at_gauge(work, counts)})"
        return f"{lead}, {_as_you_like(work.as_you_like, self.units)}:" if work.as_you_like else f"{lead}:"

    def _once(self, view: WorkView, lead: str, work: wm.Knit, extent: Extent, counts: list[int]) -> WorkView:
        """Print a length that a line tells itself there, with the rounds beside it, and not once more before it.

        It may be longer than what is worked here, where it is measured from an earlier beginning.
        """
        found = [(line, length) for line in view.lines if (length := line_length(line.text, len(counts)))]
        if len(found) != 1 or work.ends_with or work.as_you_like:
            return view
        line, length = found[0]
        more = [said - extent.at(size) for size, said in enumerate(length.values)]
        if min(more) < -NEARLY:
            return view
        told = lengths_text(length.values, self.units, typed=True)
        beside = _at_gauge(work, counts, " from here" if max(more) > NEARLY else "")
        place = line.text[length.end : length.told]
        text = f"{line.text[: length.start]}{told}{place} ({beside}){line.text[length.told :]}"
        lines = tuple(replace(one, text=text) if one is line else one for one in view.lines)
        return replace(view, lead=view.lead.replace(lead, "").strip(), lines=lines)

    def _unnumbered(
        self, work: wm.Knit, runs: list[tuple[Step, ...]], left: Sequence[int | str], length: str
    ) -> WorkView:
        """Print lines that number themselves, or that the sizes begin at different places."""
        texts = dict.fromkeys(work.lines or [step.text for step in runs[0]])
        lines = [LineView(unbroken(self._for_some(line)), without=self._without(line)) for line in texts]
        lines += [LineView(f"{_in_stripe(key)}: {unbroken(line)}") for key, line in work.in_stripe.items()]
        counts = [sum(step.is_round for step in run) for run in runs]
        total = sizes_text([str(count) for count in counts])
        what = "row" if any(step.flat for run in runs for step in run) else "round"
        told = not (work.rounds or work.rows or work.times) and all(map(numbers_itself, texts))
        lead = length or (f"Work {total} {what}s:" if max(counts) > len(lines) and not told else "")
        if work.stripes:
            lead = f"In stripes ({_stripes(work)}). {lead}".strip()
        changed = any(run and run[0].before != run[-1].after for run in runs)
        then = stitches(left) if changed else ""
        return WorkView(lead=lead, count="", lines=tuple(lines), end=THEN if then else "", end_count=then)

    def _without(self, line: str) -> tuple[int, ...]:
        """Give the sizes (0-based) that a line is not for."""
        return tuple(n for n in range(len(self.pattern.sizes)) if (only := only_for(line)) and n + 1 not in only)

    def _for_some(self, line: str) -> str:
        """Name the sizes of a line that is for some: ``Child and Adult only: ...``."""
        told, every = ONLY.match(line), [size.name for size in self.pattern.sizes]
        names = [every[n - 1] for n in only_for(line) if n <= len(every)]
        return f"{listing(names)} only{line[told.end() :]}" if told and names else line


def _at_gauge(work: wm.Knit, counts: list[int], where: str = "") -> str:
    """Word how many rounds a length has: ``46 (52) rounds at the given gauge``."""
    return f"{sizes_text([str(one) for one in counts])} {'row' if work.rows else 'round'}s{where} at the given gauge"


def _stripes(work: wm.Knit) -> str:
    return "go on as before" if goes_on(work) else work.stripes


def _spread(
    work: wm.Spread,
    runs: list[tuple[Step, ...]],
    firsts: tuple[int, ...],
    named: Callable[[Step], str],
    sizes: Sequence[str],
    left: Sequence[int | str],
) -> WorkView:
    """Print the line that spreads shapings evenly; sizes with different lines have one each."""
    texts = [run[0].text if run else "" for run in runs]
    printed = printed_rounds(runs, firsts, named) if len(set(texts)) == 1 else None
    if printed:
        return WorkView("", "", printed.lines, one_way=work.one_way)
    return WorkView(
        lead="The line of your size:",
        lines=tuple(LineView(text, label=size) for size, text in zip(sizes, texts, strict=True)),
        end=THEN,
        end_count=stitches(left),
        one_way=work.one_way,
    )


def _as_you_like(ends: tuple[float, float], units: Units) -> str:
    low, high = (length_in_a_sentence(one, units) for one in ends)
    return f"or as long as you like, from {low} to {high}"


def _in_stripe(key: str) -> str:
    """Word a round of a stripe: ``2 CC`` gives ``Round 2 of every stripe in CC``."""
    number, _, yarn = key.strip().partition(" ")
    return f"Round {number} of every stripe" + (f" in {yarn.strip()}" if yarn else "")
