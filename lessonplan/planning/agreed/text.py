"""The text of ``agreed.yaml``: written anew from a plan, and progress put into what stands there, by its place."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

import yaml

from lessonplan.course.model.agreed import Agreed, AgreedPiece, AgreedShot, in_full, progress_of
from lessonplan.course.names.slates import begins, slates_of
from lessonplan.course.values.fields import Item
from lessonplan.course.values.quantities import read_duration
from lessonplan.course.words import listing
from lessonplan.craft.words import words_of
from lessonplan.planning.worked import Plan, due_day, first_day
from lessonplan.samples.agreed import made
from lessonplan.samples.choice import Piece
from lessonplan.samples.states import typed

HEAD = "# What was agreed with the sample "
SECOND = "# Slates of shots and letters of pieces stay as they are here; later plans keep to the pieces where they can."
EXAMPLE = "# How far a piece is stands below “progress”; it may also be said so: "
_ITEM = re.compile(r"\s*(- \{(?:letter|slate): \w+|[A-Z]{1,3}:)")
_PLAIN = re.compile(r"[A-Za-z0-9]+([ .\-/][A-Za-z0-9]+)*")


def agreement(plan: Plan, on: date, before: str) -> str:
    """Give the text of ``agreed.yaml`` for a plan; ``before`` is the text that stood there.

    What had a name keeps it, new shots get the next slates, and remarks are kept where they stood. Raises
    ``ValueError`` for a state that no words reach.
    """
    agreed = plan.course.agreed or Agreed()
    shots = list(_shots(plan, agreed))
    pieces = list(_pieces(plan, agreed, {one.shot: one.slate for one in shots if not one.gone}))
    progress = [(one.letter, agreed.progress[one.letter]) for one in pieces if one.letter in agreed.progress]
    lines = [f"course: {_text(agreed.course or plan.course.course.title)}", f"on: {on.isoformat()}"]
    lines += [f"times: {agreed.times + 1 if plan.course.agreed else 1}", "", "shots:"]
    lines += [_flow(one) for one in shots]
    if pieces:
        lines += ["", "pieces:", *(_flow(one) for one in pieces)]
    if progress:
        lines += ["", "progress:", *(f"  {letter}: {_text(far)}" for letter, far in progress)]
    example = next((one for one in pieces if one.knitter), None)
    first = (
        f"{HEAD}{words_of(plan.course.pattern).makers}. lessonplan writes this file when asked: lessonplan agree COURSE"
    )
    head = [first, SECOND]
    if example:
        head.append(f'{EXAMPLE}lessonplan agree COURSE --done "{example.letter} {example.stop}, 1 h 40 min"')
    own, at_items = _remarks(before)
    lines = [line + at_items.pop(_item(line), "") for line in lines]
    left = [remark.strip() for remark in at_items.values()]
    return "\n".join([*head, *own, *left, "", *lines]) + "\n"


def _item(line: str) -> str:
    found = _ITEM.match(line)
    return found[1] if found else line


def _remarks(text: str) -> tuple[list[str], dict[str, str]]:
    """Find the remarks in a text: those on lines of their own, and those after an item, by how the item begins."""
    own, at_items, at = list[str](), dict[str, str](), 0
    for token in yaml.scan(text):
        for found in re.finditer(r"#[^\r\n]*", text[at : max(at, token.start_mark.index)]):
            start = at + found.start()
            line = text[text.rfind("\n", 0, start) + 1 : start]
            if _ITEM.match(line):
                at_items[_item(line)] = "  " + found[0].rstrip()
            elif not found[0].startswith((HEAD, SECOND, EXAMPLE)):
                own.append(found[0].rstrip())
        at = max(at, token.end_mark.index)
    return own, at_items


def _shots(plan: Plan, agreed: Agreed) -> Iterator[AgreedShot]:
    """Every shot with its slate; slates whose shot is gone are kept, for papers that speak of them."""
    known, _ = slates_of(plan.course)
    last = max((one.slate for one in agreed.shots), default=0)
    rows = [one.model_copy(update={"gone": True}) for one in agreed.shots if one.slate not in known.values()]
    for number, _, segment, shot in plan.course.shots():
        slate = known.get(number)
        if slate is None:
            last = slate = last + 1
        rows.append(AgreedShot(slate=slate, shot=number, segment=segment.title, title=shot.title, begins=begins(shot)))
    yield from sorted(rows, key=lambda one: one.slate)


def _pieces(plan: Plan, agreed: Agreed, slates: Mapping[str, int]) -> Iterator[AgreedPiece]:
    """The pieces of the plan, and those that it does not need though something is knitted of them."""
    before = {one.letter: one for one in agreed.pieces}
    for piece in plan.choice.pieces:
        yield _piece(plan, piece, before.pop(piece.name, None), slates)
    yield from (one for one in before.values() if one.letter in agreed.progress)


def _piece(plan: Plan, piece: Piece, before: AgreedPiece | None, slates: Mapping[str, int]) -> AgreedPiece:
    """A piece as it is agreed now. What is begun keeps the day on which it was, what is done its knitter too."""
    calendar, name = plan.calendar, piece.name
    demand = piece.stops[0].demand
    number, blank, rest = demand.partition(" ")
    drawer = {item.name for item in plan.course.course.samples.drawer}
    twins = [one for one in plan.choice.pieces if (one.kind, one.first) == (piece.kind, piece.first)]
    apart = any(one.name == demand and one.apart for one in plan.worked.question.demands)
    here = f"{slates[number]}{blank}{rest}"
    starts, begun = calendar.piece_start.get(name), plan.course.agreed and name in plan.course.agreed.progress
    kept = before.ready if before else None
    values = {
        "letter": name,
        "kind": piece.kind,
        "stop": typed(piece.first, plan.worked.kinds[piece.kind], plan.worked.size),
        "knitter": calendar.assigned.get(name, before.knitter if before else ""),
        "starts": before.starts if before and (begun or starts is None) else starts,
        "ready": max(calendar.ready[name], due_day(plan, piece)) if name in calendar.ready else kept,
        "needed": first_day(plan.worked, piece.stops[0].slot),
        "made": made(plan.worked.kinds[piece.kind], plan.worked.size, piece.first),
        "drawer": piece.ready if piece.ready in drawer else "",
        "only_for": here if apart else "",
        "comes_to": here if len(twins) > 1 and not apart else "",
    }
    return AgreedPiece.model_validate({key: value for key, value in values.items() if value})


def _flow(item: Item) -> str:
    """Write one item of a list on one line, without what is empty."""
    values = {key: value for key, value in item.model_dump().items() if value not in ("", None, False)}
    return "  - {" + ", ".join(f"{key}: {_text(value)}" for key, value in values.items()) + "}"


def _text(value: object) -> str:
    """Write a value so that it is read back as it is: plain where that is safe, else in quotes."""
    text = "yes" if value is True else value.isoformat() if isinstance(value, date) else str(value)
    if _PLAIN.fullmatch(text) and text.lower() != "null":
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(sign if sign.isprintable() else f"\\U{ord(sign):08x}" for sign in quoted)


def with_done(before: Agreed, done: Sequence[str]) -> dict[str, str]:
    """Put what was knitted to the progress so far. Raises ``ValueError``.

    It is said so: ``G cuff round 12, 1 h 40 min``; or, for all that G was to be, ``G took 1 h 40``
    or ``G done, 1 h 40``.
    """
    progress = dict(before.progress)
    letters = [piece.letter for piece in before.pieces]
    stops = {piece.letter: piece.stop for piece in before.pieces}
    like = next((f", such as “{one.letter} {one.stop}”" for one in before.pieces if one.stop != "finished"), "")
    for text in done:
        found = re.fullmatch(r"\s*([A-Z]{1,3})\s*:?\s+(\S.*?)\s*", text)
        if not found:
            raise ValueError(f"“{text}” is not the letter of a piece and how far it is{like}.")
        if found[1] not in letters:
            raise ValueError(f"No piece {found[1]} was agreed; agreed are {listing(letters)}.")
        far, old = _took(found[2], stops[found[1]]), progress.get(found[1], "")
        progress[found[1]] = old if far == progress_of(old)[0] else far  # said again, its time holds
    return progress


def _took(said: str, stop: str) -> str:
    """Give progress as it is written: what ``took`` a time is at the state that is said, or done as it was to be."""
    found = re.fullmatch(r"(?:(?P<state>\S.*?)\s*,?\s+)?took\s+(?P<time>\S.*)", said)
    if not found:
        state, comma, time = said.rpartition(",") if "," in said else (said, "", "")
        state = stop if state.strip().lower() == "done" else state
        return f"{state}, {in_full(time)}" if comma else state
    time = in_full(found["time"])
    try:
        read_duration(time)
    except ValueError as bad:
        raise ValueError(f"“{found['time']}” is not a time: {bad}.") from None
    return f"{found['state'] or stop}, {time}"


def with_progress(text: str, progress: Mapping[str, str]) -> str:
    """Put progress into the text of the file: what stands there already, in its place, the rest below; no more."""
    root = yaml.compose(text)
    pairs = root.value if isinstance(root, yaml.MappingNode) else []
    holder = next((value for key, value in pairs if key.value == "progress"), None)
    end = "\r\n" if "\r\n" in text else "\n"
    rows = dict(progress)
    if holder is None:
        start = text.rstrip() + end + end + "progress:" + end
        return start + "".join(f"  {letter}: {_text(far)}{end}" for letter, far in rows.items())
    if not isinstance(holder, yaml.MappingNode) or holder.flow_style:
        flow = "{" + ", ".join(f"{letter}: {_text(far)}" for letter, far in rows.items()) + "}"
        blank = "" if text[holder.start_mark.index - 1 : holder.start_mark.index].isspace() else " "
        return text[: holder.start_mark.index] + blank + flow + text[holder.end_mark.index :]
    last = holder.value[-1][1].end_mark.index
    last = next((at for at in (text.find("\n", last),) if at >= 0), len(text))
    margin = " " * holder.start_mark.column
    known = [key.value for key, _ in holder.value]
    more = [f"{margin}{letter}: {_text(far)}" for letter, far in rows.items() if letter not in known]
    text = (
        text[:last].removesuffix("\r") + "".join(end + row for row in more) + (text[last:] and end + text[last + 1 :])
    )
    for key, value in reversed(holder.value):
        if rows.get(key.value) != value.value:
            text = text[: value.start_mark.index] + _text(rows[key.value]) + text[value.end_mark.index :]
    return text
