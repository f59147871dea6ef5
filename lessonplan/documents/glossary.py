"""The abbreviations that a handout uses, with how each is done, and the terms that other countries call otherwise."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lessonplan.course.model import pattern as pm
from lessonplan.craft import tables
from lessonplan.craft.techniques import abbreviations_used
from lessonplan.craft.words import craft_named, words_of
from lessonplan.documents.instructions import StageView
from lessonplan.planning.worked import Plan


@dataclass(frozen=True, slots=True)
class Abbreviation:
    """An abbreviation as it is printed, what it means, and how it is done where it is something to do."""

    short: str
    meaning: str
    how: str = ""


def printed_texts(stages: Iterable[StageView]) -> tuple[str, ...]:
    """Give every text of the instructions as it is printed."""
    texts = []
    for stage in stages:
        for work in stage.works:
            texts += [work.before, work.yarn, work.lead, work.count, work.end, work.end_count, work.note]
            texts += [text for line in work.lines for text in (line.label, line.text, line.count)]
        texts += [*stage.told, stage.watch_for]
    return tuple(text for text in texts if text)


def glossary(plan: Plan, stages: Iterable[StageView]) -> tuple[Abbreviation, ...]:
    """List the abbreviations that the instructions use: of what is worked, and of the terms in any of their texts."""
    if not words_of(plan.course.pattern).pace:
        return ()
    worked = {
        name
        for way in plan.worked.ways
        for stages_ in way.worked.stages.values()
        for stage in stages_
        for step in stage.steps
        if step.is_round
        for name, _ in step.techniques
    }
    return abbreviations(plan, printed_texts(stages), worked)


def abbreviations(plan: Plan, texts: Sequence[str], worked: set[str]) -> tuple[Abbreviation, ...]:
    """Explain the abbreviations in some texts, and of the techniques that are ``worked``."""
    rows = {row["name"]: row["how"] for row in tables.rows("how")}
    used = abbreviations_used(texts, worked, plan.course.pattern.terms)
    colours = {key: f" ({yarn.colour})" for key, yarn in plan.course.pattern.yarns.items() if yarn.colour}
    found = [
        Abbreviation(one, meaning + colours.get(one, ""), rows.get(name, ""))
        for one, meaning, name in used
        if one.lower() != meaning.lower() or name in rows  # printed in full, and nothing more is to be told of it
    ]
    there, craft = {one.short for one in found}, craft_named(plan.course.pattern.craft)
    found += [
        Abbreviation(row["name"], row["meaning"], row["how"])
        for row in tables.rows("spelled")
        if row["craft"] == craft
        and row["name"] not in there
        and any(re.search(row["pattern"], text, re.IGNORECASE) for text in texts)
    ]
    return tuple(sorted(found, key=lambda one: one.short.lower()))


def terms_line(pattern: pm.Pattern, texts: Iterable[str]) -> str:
    """Say in one line which country's terms are used, and what those that are printed are called elsewhere."""
    craft = pattern.craft.lower()
    rows = [row for row in tables.rows("terms") if row["craft"] == craft]
    if not rows:
        return ""
    own, other = ("us", "uk") if pattern.terms == "us" else ("uk", "us")
    everything = " ".join(texts).lower()
    pairs = [f"{row[own]} ({other.upper()} {row[other]})" for row in rows if _names(row[own], everything)]
    return f"Terms are {pattern.terms.upper()}{': ' if pairs else ''}{', '.join(pairs)}."


def _names(term: str, text: str) -> bool:
    """Whether a text has a term, by its words or by the abbreviation in brackets behind them."""
    parts = [part for part in re.split(r"[()]| or |,", term) if part.strip()]
    return any(re.search(rf"(?<![a-z]){re.escape(part.strip().lower())}(?![a-z])", text) for part in parts)
