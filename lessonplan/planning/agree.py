"""What is agreed with the knitters: written from a plan, kept by later plans, and compared with them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from lessonplan.course.agreed import Agreed, AgreedShot
from lessonplan.course.slates import begins, slates_of
from lessonplan.planning.worked import Plan
from lessonplan.samples.states import typed

HEAD = """\
# What was agreed with the sample knitters. lessonplan writes this file when asked: lessonplan agree COURSE
# Slates of shots and letters of pieces stay as they are here; later plans keep to the pieces where they can.
# Tick off what is knitted below “progress”, or say: lessonplan agree COURSE --done "G cuff round 12, 1 h 40 min"
"""


def agreement(plan: Plan, on: date, progress: Mapping[str, str]) -> str:
    """Give the text of ``agreed.yaml`` for a plan: what had a name keeps it, new shots get the next slates."""
    before = plan.course.agreed or Agreed()
    lines = [HEAD, f"on: {on.isoformat()}", f"times: {before.times + 1 if plan.course.agreed else 1}", "", "shots:"]
    lines += [
        _flow(slate=one.slate, shot=one.shot, segment=one.segment, title=one.title, begins=one.begins)
        for one in _shots(plan)
    ]
    lines += ["", "pieces:", *_pieces(plan)]
    if progress:
        lines += [
            "",
            "progress:",
            *(f"  {letter}: {_text(far)}" for letter, far in sorted(progress.items(), key=_order)),
        ]
    return "\n".join(lines) + "\n"


def _order(item: tuple[str, str]) -> tuple[int, str]:
    return len(item[0]), item[0]


def _shots(plan: Plan) -> Iterator[AgreedShot]:
    """Every shot with its slate; slates whose shot is gone are kept, for papers that speak of them."""
    before = plan.course.agreed or Agreed()
    known, _ = slates_of(plan.course)
    last = max((one.slate for one in before.shots), default=0)
    rows = [one for one in before.shots if one.slate not in known.values()]
    for number, _, segment, shot in plan.course.shots():
        slate = known.get(number)
        if slate is None:
            last = slate = last + 1
        rows.append(AgreedShot(slate=slate, shot=number, segment=segment.title, title=shot.title, begins=begins(shot)))
    yield from sorted(rows, key=lambda one: one.slate)


def _pieces(plan: Plan) -> Iterator[str]:
    """Each piece of the plan as a line: its letter, kind, stop, knitter and days, and the slates that it serves."""
    worked, calendar = plan.worked, plan.calendar
    for piece in plan.choice.pieces:
        yield _flow(
            letter=piece.name,
            kind=piece.kind,
            stop=typed(piece.first, worked.kinds[piece.kind], worked.size),
            knitter=calendar.assigned.get(piece.name, ""),
            starts=calendar.piece_start.get(piece.name),
            ready=calendar.finished.get(piece.name),
            drawer=piece.ready,
        )


def _flow(**values: object) -> str:
    """Write one item of a list on one line, without what is empty."""
    return (
        "  - {" + ", ".join(f"{key}: {_text(value)}" for key, value in values.items() if value not in ("", None)) + "}"
    )


def _text(value: object) -> str:
    """Write a value so that it is read back as it is: plain where that is safe, else in quotes."""
    text = value.isoformat() if isinstance(value, date) else str(value)
    return text if re.fullmatch(r"[A-Za-z0-9]+([ .\-/][A-Za-z0-9]+)*", text) else json.dumps(text, ensure_ascii=False)


def with_done(before: Mapping[str, str], done: Sequence[str]) -> dict[str, str]:
    """Put what was knitted (``G cuff round 12, 1 h 40 min``) to the progress so far. Raises ``ValueError``."""
    progress = dict(before)
    for text in done:
        found = re.fullmatch(r"\s*([A-Z]{1,3})\s*:?\s+(\S.*?)\s*", text)
        if not found:
            raise ValueError(f"“{text}” is not a piece and how far it is, such as “G cuff round 12”")
        progress[found[1]] = found[2]
    return progress
