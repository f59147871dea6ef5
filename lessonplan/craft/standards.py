"""The trade's standards: yarn weights and needle sizes, from the Craft Yarn Council's tables and needle charts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lessonplan.course.model import pattern as pm
from lessonplan.course.problems import Problem, note
from lessonplan.craft import tables
from lessonplan.craft.lengths import INCH

INCHES_4 = 101.6


@dataclass(frozen=True, slots=True)
class Needle:
    """One needle size: millimetres, and its US and old UK and Canadian numbers where the chart has one."""

    mm: float
    us: str
    uk: str


@dataclass(frozen=True, slots=True)
class Weight:
    """One yarn weight of the Craft Yarn Council: number, name, stitches to 4 in and mm, as ranges, for both crafts."""

    number: str
    name: str
    types: tuple[str, ...]
    stitches: tuple[float, float]
    needle: tuple[float, float]
    crochet: tuple[float, float]
    hook: tuple[float, float]


def needles() -> tuple[Needle, ...]:
    """Give the needle chart, thin to thick; only rows that were seen in print."""
    rows = [row for row in tables.rows("needles") if row["confidence"] == "published-seen"]
    return tuple(Needle(float(row["mm"]), row["us"], row["uk_ca_old"]) for row in rows)


def needle_of_mm(mm: float) -> Needle | None:
    """Find the needle of so many millimetres, or None when the chart has none."""
    return next((needle for needle in needles() if abs(needle.mm - mm) < 0.005), None)


def weights() -> tuple[Weight, ...]:
    """Give the Craft Yarn Council's yarn weights, 0 to 7."""
    return tuple(
        Weight(
            number=row["cyc_number"],
            name=row["name"],
            types=tuple(part.strip().lower() for part in row["yarn_types"].split(";")),
            stitches=(_number(row["knit_sts_4in_min"], 0), _number(row["knit_sts_4in_max"], 99)),
            needle=(_number(row["needle_mm_min"], 0), _number(row["needle_mm_max"], 99)),
            crochet=(_number(row["crochet_sts_4in_min"], 0), _number(row["crochet_sts_4in_max"], 99)),
            hook=(_number(row["hook_mm_min"], 0), _number(row["hook_mm_max"], 99)),
        )
        for row in tables.rows("yarn_weights")
    )


def _number(text: str, otherwise: float) -> float:
    return float(text) if text else otherwise


def weight_named(name: str) -> Weight | None:
    """Find a weight by number (``3``), name (``Light``) or a type of yarn in the table (``DK``, ``worsted``).

    The table has fingering with lace too; who sells or knits it means what is sock yarn (common practice).
    """
    plain = re.sub(r"[()#]", "", name).strip().lower()
    every = weights()
    return (
        next((weight for weight in every if plain in (weight.number, weight.name.lower())), None)
        or next((weight for weight in (*every[1:], every[0]) if plain in weight.types), None)
        or next((weight for weight in every if plain.split(" ")[0] == weight.number), None)
    )


def weight_text(weight: Weight, typed: str) -> str:
    """Name a yarn's weight as it was typed, with its number, so that no name of the table is taken for a size."""
    return f"yarn of weight {weight.number} ({typed})"


def remarks(pattern: pm.Pattern) -> Iterator[Problem]:
    """Say where gauge, needles and yarn weight lie outside what the tables say; these are notes, never errors."""
    hooked = pattern.craft.lower() == "crochet"
    if not hooked and pattern.craft.lower() != "knitting":
        return
    sizes = list(_named_needles(pattern))
    for index, mm, numbers in sizes:
        if not hooked:
            yield from _needle_numbers(pattern, index, mm, numbers)
    stitches = pattern.gauge.stitches / pattern.gauge.over * INCHES_4
    for key, yarn in pattern.yarns.items():
        if not yarn.weight:
            continue
        weight = weight_named(yarn.weight)
        where = yarn.mark("weight")
        if weight is None:
            yield note(
                where, "weight", f"“{yarn.weight}” is not in the table of yarn weights (0 to 7, or a name such as DK)."
            )
            continue
        (low, high), tools = (weight.crochet, weight.hook) if hooked else (weight.stitches, weight.needle)
        if not low <= stitches <= high + 0.5:
            inches = pattern.units == "in" or (pattern.units != "cm" and pattern.gauge.over % INCH < 0.01)
            over = "4 in" if inches else "10 cm"
            here = stitches if inches else stitches * 100 / INCHES_4
            table = f"the table gives {low:g} to {high:g} sts to 4 in{'' if inches else ' (10.2 cm)'} for "
            what = f"{here:.1f} sts to {over} with {key}: {table}{weight_text(weight, yarn.weight)}."
            yield note(pattern.gauge.mark("stitches"), "gauge", what)
        fits = [mm for _, mm, _ in sizes if tools[0] <= mm <= tools[1]]
        if sizes and not fits:
            table = f"the table gives {tools[0]:g} to {tools[1]:g} mm for {weight_text(weight, yarn.weight)}"
            yield note(
                pattern.mark("needles"),
                "needle",
                f"No {'hook' if hooked else 'needle'} here is usual for {key}: {table}.",
            )


def _named_needles(pattern: pm.Pattern) -> Iterator[tuple[int, float, Mapping[str, str]]]:
    """Find the needles in the pattern's texts: millimetres, and the US and UK numbers printed beside them."""
    for index, text in enumerate(pattern.needles):
        found = re.search(r"(\d+(?:[.,]\d+)?)\s*mm", text)
        if found:
            numbers = {}
            for system in ("US", "UK"):
                number = re.search(rf"\b{system}\s*#?\s*(\d+(?:\.\d+)?|\d+\s*1/2)", text)
                if number:
                    numbers[system] = number[1].replace(" 1/2", ".5")
            yield index, float(found[1].replace(",", ".")), numbers


def with_numbers(text: str) -> str:
    """Put the US and old UK and Canadian numbers behind a needle in millimetres: ``4 mm`` gives ``4 mm (US 6, UK 8)``.

    A text that gives any of them itself, or no millimetres of the needle chart, stays as it is but for what it lacks.
    """
    found = re.search(r"(\d+(?:[.,]\d+)?)\s*mm", text)
    needle = needle_of_mm(float(found[1].replace(",", "."))) if found else None
    if found is None or needle is None or "hook" in text.lower():
        return text
    numbers = [f"{name} {number}" for name, number in (("US", needle.us), ("UK", needle.uk)) if number]
    lacking = [number for number in numbers if not re.search(rf"\b{number.split(' ')[0]}\s", text)]
    if not lacking:
        return text
    bracket = re.search(r"\(((?:US|UK)[^)]*)\)", text)
    if bracket:
        return f"{text[: bracket.end(1)]}, {', '.join(lacking)}{text[bracket.end(1) :]}"
    if text[found.end() :].startswith(")"):  # `US 7 (4.5 mm)`
        return f"{text[: found.end()]}, {', '.join(lacking)}{text[found.end() :]}"
    return f"{text[: found.end()]} ({', '.join(lacking)}){text[found.end() :]}"


def _needle_numbers(pattern: pm.Pattern, index: int, mm: float, numbers: Mapping[str, str]) -> Iterator[Problem]:
    where = pattern.line_mark("needles", index)
    needle = needle_of_mm(mm)
    if needle is None:
        yield note(where, "needle", f"{mm:g} mm is not in the needle chart.")
        return
    for system, right in (("US", needle.us), ("UK", needle.uk)):
        printed = numbers.get(system)
        if printed and printed != right:
            says = f"{system} {right}" if right else f"no {system} number"
            yield note(where, "needle", f"{mm:g} mm is printed as {system} {printed}; the needle chart gives {says}.")
