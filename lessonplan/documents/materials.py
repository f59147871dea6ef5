"""What viewers need: yarn with its reserve, needles, gauge as patterns print it, other yarns that will do, and care."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from lessonplan.course.model import pattern as pm
from lessonplan.course.words import capital, listing
from lessonplan.craft import tables
from lessonplan.craft.lengths import length_in_a_sentence, lengths_text, sizes_text, unbroken
from lessonplan.craft.standards import weight_named, with_numbers
from lessonplan.craft.words import craft_named, words_of
from lessonplan.documents.choices import yarn_range
from lessonplan.pattern.amounts.materials import in_sizes, whole_use
from lessonplan.pattern.amounts.yarn import METRES_PER_YARD, pattern_loop, yarn_length
from lessonplan.pattern.colour import stranded
from lessonplan.pattern.facts import units_printed
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage
from lessonplan.pattern.working.rounds import SMALLEST_ON_CIRCULAR
from lessonplan.planning.worked import Plan

CIRCULARS = (400, 600, 800, 1000, 1200)
"""Lengths of circular needles in mm that shops have (common practice); magic loop wants the third at least."""


@dataclass(frozen=True, slots=True)
class YarnView:
    """One yarn of the materials."""

    key: str
    name: str
    colour: str
    hex: str
    details: str
    amount: str


@dataclass(frozen=True, slots=True)
class UsedView:
    """Something else that is used up: its name, how much in each size and in packs, and what else is to be known."""

    name: str
    amount: str
    details: str


@dataclass(frozen=True, slots=True)
class Materials:
    """What must be there before the first stitch. ``for_all`` says for how many pieces it is, and with what reserve."""

    yarns: tuple[YarnView, ...]
    used: tuple[UsedView, ...]
    for_all: str
    needles: tuple[str, ...]
    notions: tuple[str, ...]
    gauges: tuple[str, ...]
    instead: tuple[str, ...]
    care: tuple[str, ...]


def materials(plan: Plan) -> Materials:
    """Lay out the materials of a pattern."""
    pattern = plan.course.pattern
    yarns = (*(_yarn(plan, key, yarn) for key, yarn in pattern.yarns.items()), *_waste(plan))
    return Materials(
        yarns=yarns,
        used=tuple(_used(plan)),
        for_all=_for_all(pattern, plan.worked.pattern) if pattern.yarns or pattern.materials else "",
        needles=(
            *pattern.tools,
            *(with_numbers(text) for text in pattern.needles),
            *kind_of_needle(pattern, plan.worked.pattern),
        ),
        # Waste yarn stands among the yarns, with its metres.
        notions=tuple(one for one in pattern.notions if not (yarns[-1:] and _only_waste(yarns[-1].key, one))),
        gauges=tuple(_gauges(pattern, plan.worked.pattern)),
        instead=tuple(_instead(pattern)),
        care=tuple(_care(pattern)),
    )


def tool_lines(tool: str, texts: Iterable[str]) -> Iterator[str]:
    """Word needles as they stand in a list with other things: ``needle 4 mm``, ``needles as a circular of 60 cm``."""
    for text in texts:
        sized = text[:1].isdigit() and tool not in text
        yield f"{tool} {text}" if sized else f"{tool}s {text}" if text.startswith("as ") else text


def _used(plan: Plan) -> Iterator[UsedView]:
    """Word what is used up besides yarn, in all sizes."""
    pattern, worked = plan.course.pattern, plan.worked.pattern
    each = [{one.key: one for one in whole_use(pattern, worked, size)} for size in range(len(worked.sizes))]
    for key, material in pattern.materials.items():
        found = [size[key] for size in each if key in size]
        if found:
            amount = in_sizes(found)
            packs = sizes_text([str(one.packs) for one in found])
            if material.pack:
                kind = "pack" if packs == "1" else "packs"
                amount += f": {packs} {kind} of {found[0].in_a_pack}"
            yield UsedView(material.name, amount, material.details)


def _for_all(pattern: pm.Pattern, worked: WorkedPattern) -> str:
    pieces = {1: "", 2: "for the pair"}.get(pattern.make, f"for all {pattern.make}")
    own = {one.margin for one in pattern.materials.values()} - {None, pattern.margin}
    reserve = f"{100 * pattern.margin:g}\u00a0% in reserve included" if pattern.margin else "without a reserve"
    reserve = "a reserve included" if own else reserve
    two = stranded(worked)
    behind = f"; what is carried behind another colour ({listing([*two])}) comes on top" if two else ""
    return ", ".join(part for part in (pieces, reserve) if part) + behind


def _yarn(plan: Plan, key: str, yarn: pm.Yarn) -> YarnView:
    weight = f"weight {yarn.weight}; " if yarn.weight else ""
    fibre = f"{yarn.fibre}; " if yarn.fibre else ""
    ball = f"{yarn.metres:g} m" if plan.course.pattern.units != "in" else f"{yarn.metres / METRES_PER_YARD:.0f} yd"
    details = f"{fibre}{weight}" + ("any smooth scrap" if yarn.waste else f"each {yarn.grams:g} g, {ball}")
    amount = _amount(plan, key, yarn.waste)
    return YarnView(key=key, name=yarn.name, colour=yarn.colour, hex=yarn.hex, details=unbroken(details), amount=amount)


def _amount(plan: Plan, key: str, waste: bool) -> str:
    """Word how much of a yarn is needed; where viewers choose, from the least to the most."""
    facts = plan.worked.facts
    if len(plan.worked.ways) > 1:
        return dict(yarn_range(plan.worked, plan.worked.ways)).get(key, "")
    metres, yards = facts[f"yarn.{key}.metres"], facts[f"yarn.{key}.yards"]
    length = f"{metres.all_sizes()}\u00a0m, {yards.all_sizes()}\u00a0yd"
    if waste:
        return length
    grams, balls = facts[f"yarn.{key}.grams"], facts[f"yarn.{key}.balls"]
    amount = f"{length}, {grams.all_sizes()}\u00a0g: {balls.all_sizes()} "
    return amount + ("ball" if set(balls.values) == {1} else "balls")


def _only_waste(key: str, notion: str) -> bool:
    """Whether a notion is nothing but the waste yarn that is listed as a yarn."""
    return key == pm.WASTE and re.fullmatch(r"(?:some |smooth )*waste yarn", notion.strip(" ."), re.I) is not None


def _waste(plan: Plan) -> Iterator[YarnView]:
    """Give the waste yarn that the works name without listing it."""
    if pm.WASTE not in plan.course.pattern.yarns and f"yarn.{pm.WASTE}.metres" in plan.worked.facts:
        amount = _amount(plan, pm.WASTE, waste=True)
        details = "any smooth scrap in another colour"
        yield YarnView(key=pm.WASTE, name="waste yarn", colour="", hex="#d55e00", details=details, amount=amount)


def kind_of_needle(pattern: pm.Pattern, worked: WorkedPattern) -> Iterator[str]:
    """Say on which kind of needle, in which of its sizes and how long, all rounds or rows can be worked."""
    if pattern.craft.lower() != "knitting":
        return
    steps = [(stage, step) for stages in worked.stages.values() for stage in stages for step in stage.rounds]
    rows = [stage.fabric.width(max(step.before, step.after)) for stage, step in steps if step.flat]
    units = units_printed(pattern)
    kinds = {
        "double-pointed": "as a set of double-pointed needles",
        "magic loop": f"as a circular of {length_in_a_sentence(CIRCULARS[2], units)} or longer for magic loop",
        "two circulars": "as two circulars",
    }
    if pattern.worked_on in kinds:
        yield kinds[pattern.worked_on]
    elif len(rows) < len(steps):
        yield from _for_rounds(pattern, [(stage, step) for stage, step in steps if not step.flat], bool(rows))
    elif rows:
        longest = next((one for one in CIRCULARS if one >= max(rows)), CIRCULARS[-1])
        yield f"straight, or as a circular of {length_in_a_sentence(longest, units)}"


def _for_rounds(pattern: pm.Pattern, rounds: Sequence[tuple[WorkedStage, Step]], rows: bool) -> Iterator[str]:
    """Say on what rounds are worked: those that do not reach round the shortest circular need something else.

    A rib lies on the needle as wide as the main fabric, however it draws in at rest. ``rows``: there are some too.
    """
    units, main = units_printed(pattern), pattern.gauge
    narrow, wide, parts = dict[str, list[float]](), dict[str, list[float]](), dict[str, str]()
    for stage, step in rounds:
        stitches = max(step.before, step.after)
        width, lies = stage.fabric.width(stitches), stitches * main.over / main.stitches
        parts[stage.key] = stage.title
        if max(width, lies) < SMALLEST_ON_CIRCULAR:
            narrow.setdefault(stage.key, []).append(width)
        else:
            wide.setdefault(stage.key, []).append(max(width, lies))
    least = min([CIRCULARS[-1], *(each for found in wide.values() for each in found)])
    longest = max(one for one in CIRCULARS if one <= max(least, CIRCULARS[0]))
    circular = f"as a circular of {length_in_a_sentence(longest, units)}"
    small = (
        f"double-pointed needles, two circulars, or one of {length_in_a_sentence(CIRCULARS[2], units)} or longer for "
        "magic loop"
    )
    around = [each for found in narrow.values() for each in found]
    in_small, in_wide = _in_sizes(pattern, narrow), _in_sizes(pattern, wide)
    if wide:
        yield " ".join(part for part in (in_wide if narrow else "", circular) if part)
    if narrow:
        most, down = (lengths_text([one], units, about=True) for one in (max(around), min(around)))
        begins = "for all rounds" if rows else "from the cast-on on"
        where = f"{begins} (no part is over {most} around)"
        if wide:
            where = f"where that is too long ({listing([parts[key] for key in narrow])}, down to {down} around)"
        yield f"{', '.join(part for part in (in_small, where) if part)}: {small}"


def _in_sizes(pattern: pm.Pattern, parts: Iterable[str]) -> str:
    """Name the sizes of needle in which some stages are worked, where a pattern has several: ``in 3.5 mm and 4 mm``."""
    gauges = {key: stage.gauge.needle if stage.gauge else "" for key, stage in pattern.stages.items()}
    sizes = {gauges.get(key) or pattern.gauge.needle: None for key in parts}
    several = {*gauges.values(), pattern.gauge.needle} - {""}
    return f"in {listing(list(sizes))}" if len(several) > 1 and all(sizes) else ""


def _gauges(pattern: pm.Pattern, worked: WorkedPattern) -> Iterator[str]:
    """Word the gauge of a pattern and those of its stages that differ; nothing for a craft that has none."""
    if "gauge" not in pattern.model_fields_set:
        return
    high = high_by(pattern, worked)
    yield _gauge(pattern, pattern.gauge, high)
    yield _swatch(pattern)
    for key, stage in pattern.stages.items():
        if stage.gauge:
            yield f"{stage.title}: {_gauge(pattern, stage.gauge, high_by(pattern, worked, [key]))}"


def _swatch(pattern: pm.Pattern) -> str:
    """Say how many stitches a swatch has: half as many again as are counted, so that its edges are left out.

    A tube lies double, so that it takes twice as many; else it is knitted as rounds are, always from the right side.
    Its yarn is counted by plain loops with the pattern's margin, for as much height as width.
    """
    gauge, metres = pattern.gauge, ""
    wide = length_in_a_sentence(1.5 * gauge.over, units_printed(pattern))
    stitches = ceil(1.5 * gauge.stitches)
    how = f"{stitches}\u00a0sts or more, some {wide} wide"
    if craft_named(pattern.craft) == "knitting" and pattern.yarns:
        rows, tube = 1.5 * gauge.rounds * pattern.with_margin / 1000, "in the round" in gauge.fabric
        one = rows * stitches * pattern_loop(pattern)
        once, joined, flat = (
            yarn_length(pattern, [each], "\u00a0") for each in (one, 2 * one, one + rows * 1.5 * gauge.over)
        )
        flat = f"{joined} joined, {flat} flat" if tube else once
        metres = f"; as high as wide it takes {flat} beside the yarn of the pattern"
    if "in the round" in gauge.fabric and craft_named(pattern.craft) == "knitting":
        how = (
            f"{2 * stitches}\u00a0sts or more joined in the round, or {stitches} flat, each row from the right side, "
            f"yarn loose across the back; some {wide} wide"
        )
    return f"Your swatch: {how}, counted in its middle{metres}"


def _gauge(pattern: pm.Pattern, gauge: pm.Gauge, high: str) -> str:
    over = length_in_a_sentence(gauge.over, units_printed(pattern))
    tool = "hook" if pattern.craft.lower() == "crochet" else "needles"
    needle = f"{gauge.needle} {tool}" if gauge.needle.endswith("mm") else gauge.needle
    what = f"{gauge.stitches:g}\u00a0sts and {gauge.rounds:g} {high} to {over}{fabric_of(pattern, gauge)}"
    return what + (f", on {needle}" if needle else "")


def high_by(pattern: pm.Pattern, worked: WorkedPattern, keys: Iterable[str] = ()) -> str:
    """Name what height is counted in: rows where most stitches are worked to and fro, of some stages or, without these,
    of all that have no gauge of their own; rounds where its fabric says so.
    """
    own = [key for key in worked.stages if not pattern.stages[key].gauge]
    steps = [step for key in keys or own or worked.stages for each in worked.stages[key] for step in each.rounds]
    flat = sum(step.after for step in steps if step.flat)
    rounds = not keys and "in the round" in pattern.gauge.fabric
    return "rows" if flat > sum(step.after for step in steps if not step.flat) and not rounds else "rounds"


def fabric_of(pattern: pm.Pattern, gauge: pm.Gauge) -> str:
    """Say in which fabric a gauge was measured, as the end of a sentence: `` in stockinette``."""
    fabric = gauge.fabric or ("stockinette" if craft_named(pattern.craft) == "knitting" else "")
    return f" in {fabric}" if fabric else ""


def _instead(pattern: pm.Pattern) -> Iterator[str]:
    """Say which other yarn will do: by its gauge, weight, wraps and length to weight."""
    if "gauge" not in pattern.model_fields_set:
        return
    gauge = pattern.gauge
    per = f"{gauge.stitches:g} sts to {length_in_a_sentence(gauge.over, units_printed(pattern))}"
    each = dict[tuple[str, int], list[str]]()
    for key, yarn in pattern.yarns.items():
        if not yarn.waste:
            each.setdefault((yarn.weight, round(100 * yarn.metres / yarn.grams) if yarn.grams else 0), []).append(key)
    for (weight, long), keys in each.items():
        of = f" of {listing(keys)}" if len(each) > 1 else ""
        words = words_of(pattern)
        parts = [f"{words.makes} to {per}" if words.tool == "needle" else f"works up to {per}"]
        found = weight_named(weight) if weight else None
        if found:
            parts.append(f"is called {weight} (weight {found.number}, {found.name})")
            low, high = wraps(found.number)
            inch = "1 in" if pattern.units == "in" else "2.5 cm (1 in)"
            parts += [f"wraps {low} to {high} times round {inch} of a ruler"] if low else []
        if long:
            far = f"{long / METRES_PER_YARD:.0f} yd" if pattern.units == "in" else f"{long} m"
            parts.append(f"has about {far} to 100 g")
        yield unbroken(
            f"Instead{of}, take a yarn that {', '.join(parts[:-1])} and {parts[-1]}; then {words.make} a swatch."
            if parts[1:]
            else f"Instead{of}, take a yarn that {parts[0]}; then {words.make} a swatch."
        )


def wraps(weight: str) -> tuple[int, int]:
    """Give the fewest and the most wraps to the inch that published tables give for a weight (they differ); or 0, 0."""
    numbers = [
        int(row[end])
        for row in tables.rows("wraps")
        if row["cyc_number"] == weight
        for end in ("wpi_min", "wpi_max")
        if row[end]
    ]
    return (min(numbers), max(numbers)) if len(numbers) > 1 else (0, 0)


def _care(pattern: pm.Pattern) -> Iterator[str]:
    """Say how it is washed: as a yarn's ``care`` says, else by its fibre; the ball band comes first."""
    found: dict[str, None] = {}
    for yarn in pattern.yarns.values():
        words = yarn.fibre.lower()
        row = next((row for row in tables.rows("care") if any(word in words for word in row["words"].split())), None)
        text = yarn.care or (row["text"] if row and not yarn.waste else "")
        if text:
            found[text] = None
    for text in found:
        yield f"{capital(text).rstrip('.')}."
    if found:
        yield "What the ball band says comes first."
