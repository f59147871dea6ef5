"""Editions: what was published under a number, known again by a short code, and what a later one has otherwise.

The record of an edition holds every fact in all sizes. The code is made of them alone: four letters and digits of their
SHA-256 digest, without those that look alike, so that two papers of one code have the same numbers.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

from lessonplan.course.files import inside, locked, write_file
from lessonplan.course.model.publishing import Erratum, Published
from lessonplan.course.problems import Problem, warning
from lessonplan.course.words import clock_of, listing
from lessonplan.pattern.facts import of_stitches
from lessonplan.planning.worked import Plan
from lessonplan.shoot.clocks import on_screen

FOLDER = "published"
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
HEAD = "# What was published as this edition. lessonplan writes this file when asked: lessonplan build COURSE --publish"
_FOLLOWS = re.compile(r"\.(count\.|round_\d|with\.)|\.yards$")
"""Facts that follow from others: of single rounds, techniques and colours, and the same yarn in yards."""
TOLD = 3
"""So many changed facts are named in a sentence."""


@dataclass(frozen=True, slots=True)
class Changed:
    """A fact that another edition has otherwise: what it is, in all sizes then and now; empty where it is not there.

    ``follows`` tells that it follows from others, so that viewers need not hear of it.
    """

    name: str
    meaning: str
    before: str
    now: str
    follows: bool


def numbered(plan: Plan) -> str:
    """Give the number of a course's edition with the code of its numbers, as papers have it: ``1, code RVGM``."""
    return f"{plan.course.course.edition}, code {code_of(plan)}"


@lru_cache(maxsize=4)
def printed_facts(plan: Plan) -> Mapping[str, str]:
    """Give every fact of the pattern in all sizes, as papers print it; what the course calls itself is none."""
    return {
        name: fact.all_sizes() for name, fact in sorted(plan.worked.facts.items()) if not name.startswith("course.")
    }


def code_of(plan: Plan) -> str:
    """Give the short code of a plan's numbers."""
    digest = int.from_bytes(hashlib.sha256(json.dumps(dict(printed_facts(plan))).encode()).digest(), "big")
    return "".join(LETTERS[digest // len(LETTERS) ** place % len(LETTERS)] for place in range(4))


def since(plan: Plan) -> tuple[Published, tuple[Changed, ...], tuple[Erratum, ...]] | None:
    """Give the edition published before this one, the facts that it has otherwise, and the errata mended since."""
    edition = plan.course.course.edition
    earlier = [one for one in plan.course.published if one.edition < edition]
    if not earlier:
        return None
    since_then = range(earlier[-1].edition + 1, edition + 1)
    mended = (one for one in plan.course.errata.errata if one.mended_in in since_then)
    return earlier[-1], tuple(changed_facts(plan, earlier[-1])), tuple(mended)


def changed_facts(plan: Plan, record: Published) -> Iterator[Changed]:
    """Give the facts that a plan has otherwise than a record, by name, those that follow from others at the end."""
    now = printed_facts(plan)
    for follows, name in sorted((_FOLLOWS.search(name) is not None, name) for name in {*now, *record.facts}):
        gone = name not in now and (of_stitches(name) or record.facts[name] == "0")  # it said nothing
        if now.get(name) != record.facts.get(name) and not gone:
            fact = plan.worked.facts.get(name)
            yield Changed(name, fact.meaning if fact else name, record.facts.get(name, ""), now.get(name, ""), follows)


def used_editions(plan: Plan) -> Iterator[Problem]:
    """Warn of an edition that was published with other numbers than it has now, or that comes after a later one."""
    file, records = plan.course.course, plan.course.published
    where, hint = file.mark("edition"), "Write “edition: {}” in course.yaml."
    record = next((one for one in records if one.edition == file.edition), None)
    changed = tuple(changed_facts(plan, record)) if record else ()
    if record and changed:
        told = [f"{one.name} was {one.before or 'not there'}, is {one.now or 'not there'}" for one in changed[:TOLD]]
        if len(changed) > TOLD:
            told.append(f"{len(changed) - TOLD} more")
        what = f"Edition {file.edition} was published on {record.on} with other numbers: {listing(told)}."
        yield warning(where, "edition", what, hint.format(records[-1].edition + 1))
    elif records and records[-1].edition > file.edition:
        what = (
            f"Edition {records[-1].edition} was published on {records[-1].on}; edition {file.edition} comes before it."
        )
        yield warning(where, "edition", what, hint.format(records[-1].edition + 1))
    for one, then in pairwise(records):
        if one.edition == then.edition:
            what = f"There are two records of edition {then.edition}: {one.mark().file} and {then.mark().file}."
            yield warning(then.mark("edition"), "edition", what, "Keep the one that was published.")
        elif then.on < one.on:
            what = f"Edition {then.edition} was published on {then.on}, before edition {one.edition} on {one.on}."
            yield warning(then.mark("on"), "edition", what, "One of the days or numbers is not right.")


def publish(folder: Path, plan: Plan, on: date, told: Mapping[str, str]) -> Path | None:
    """Keep what is published as the course's edition, unless it is kept already. Gives the file written.

    ``told`` is what its handout says beyond the facts. The caller has looked that no record of it has other numbers.
    Raises ``OSError`` when it cannot be written.
    """
    edition = plan.course.course.edition
    if any(one.edition == edition for one in plan.course.published):
        return None
    path = inside(folder, f"{FOLDER}/edition-{edition}.yaml")
    clocks = plan.worked.clocks.values()
    titles = {episode.episode: episode.title for episode in plan.course.episodes}
    lengths = {
        number: clock_of(on_screen(clock for clock in clocks if clock.number.episode == number).mean * 60)
        for number in titles
    }
    lines = [HEAD, f"edition: {edition}", f"on: {on.isoformat()}", f"code: {code_of(plan)}"]
    lines += ["titles:", *(f"  {number}: {_text(title)}" for number, title in titles.items())]
    lines += ["lengths:", *(f"  {number}: {_text(length)}" for number, length in lengths.items())]
    lines += ["told:", *(f"  {_text(name)}: {_text(value)}" for name, value in told.items())] if told else []
    lines += ["facts:", *(f"  {name}: {_text(value)}" for name, value in printed_facts(plan).items())]
    with locked(folder):
        write_file(path, ("\n".join(lines) + "\n").encode())
    return path


def _text(value: str) -> str:
    quoted = json.dumps(value, ensure_ascii=False)
    return "".join(sign if sign.isprintable() or sign == "\u00a0" else f"\\U{ord(sign):08x}" for sign in quoted)
