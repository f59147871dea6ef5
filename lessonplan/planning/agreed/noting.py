"""Agreeing with the knitters: the plan of today is written down with lasting names, or progress is noted in it.

``agreed.yaml`` is written anew from a plan; progress is put into what stands there, by its place.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType

import yaml

from lessonplan.course.files import UnfitError, decode, inside, locked, read_plain, write_file
from lessonplan.course.model.agreed import BROKEN, Agreed, AgreedPiece, AgreedShot, in_full, progress_of
from lessonplan.course.model.pattern import Pattern
from lessonplan.course.model.together import Course
from lessonplan.course.names.slates import begins, named_shots, slates_of
from lessonplan.course.problems import Problem, Where, error
from lessonplan.course.read import read_one
from lessonplan.course.rules.references import agreed_states
from lessonplan.course.values.fields import Item
from lessonplan.course.values.quantities import read_duration
from lessonplan.course.words import listing
from lessonplan.course.yamltext import MAX_BYTES
from lessonplan.craft.words import KNITTING, words_of
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.agreed.hands import hands_of
from lessonplan.planning.filmed.kepttakes import KEPT
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Plan, Result, due_day, first_day, load
from lessonplan.samples.agreed import made, standings
from lessonplan.samples.choice import Piece, Progress
from lessonplan.samples.states import typed
from lessonplan.shoot.takes.log import MAX_BYTES as MAX_LOG, read_log

FILE = "agreed.yaml"


class AgreeError(ValueError):
    """What cannot be noted or agreed as it was asked for; the text is one plain sentence."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """What was written: the file, what is agreed now, and what changed against what was agreed before.

    After progress was noted ``changed`` says what is learnt from it of the knitters' paces.
    """

    path: Path
    agreed: Agreed
    changed: tuple[str, ...] = ()


def agree(folder: Path | str, on: date, progress: Progress | None = None) -> tuple[Result, Agreement | None]:
    """Plan a course and write the plan down as agreed ``on`` a day.

    With errors in the course, or where something refers to shots by numbers that change with this agreement, nothing
    is written and the problems say why. ``progress`` is told how the choice of samples goes. Raises `AgreeError` for a
    state that no words reach, ``OSError`` when a file cannot be read or written.
    """
    home = Path(folder)
    with locked(home):
        result = plan(home, progress=progress, today=on)
        if result.plan is None:
            return result, None
        try:
            path, before = _file(home)
            problems = (*result.problems, *_left_behind(result.plan, home))
            if len(problems) == len(result.problems):
                text = agreement(result.plan, on, before)
                return result, _write(path, text, changes(result.plan))
        except UnfitError as bad:
            problems = (*result.problems, bad.problem)
        except ValueError as bad:
            raise AgreeError(f"The plan cannot be written down: {bad}.") from None
    return Result(result.worked, None, problems, result.files), None


def note_done(folder: Path | str, done: Sequence[str]) -> tuple[Result, Agreement | None]:
    """Note how far pieces are in what was agreed: ``G cuff round 12, 1 h 40 min`` (all so far), or ``G took 1 h 40``.

    Nothing else in the file is changed. Raises `AgreeError` for what cannot be noted, ``OSError`` when a file cannot be
    read or written. With errors in the course nothing is written.
    """
    home = Path(folder)
    with locked(home):
        result = load(home)
        if result.worked is None:
            return result, None
        before = result.worked.course.agreed
        if before is None:
            raise AgreeError("Nothing is agreed yet: agree first, then note how far the pieces are.")
        try:
            path, old = _file(home)
            progress = with_done(before, [_by_key(result.worked.course.pattern, text) for text in done])
            text = with_progress(old, progress)
        except UnfitError as bad:
            return Result(None, None, (*result.problems, bad.problem), result.files), None
        except ValueError as bad:
            raise AgreeError(str(bad)) from None
        after, problems = read_one(text.encode(), FILE, Agreed)
        course = result.worked.course.model_copy(update={"agreed": after})
        if after is None or dict(after.progress) != progress or after.pieces != before.pieces:
            raise AgreeError(f"The progress in {FILE} is written in a way that is not understood here: note it there.")
        problems = (*problems, *agreed_states(course), *standings(course, result.worked.kinds)[1])
        wrong = next((one for one in problems if one.severity == "error"), None)
        if wrong:
            raise AgreeError(" ".join(filter(None, (wrong.message, wrong.hint))))
        typed = {one.name: one.typed for one in result.worked.hands}
        hands, odd = hands_of(course, result.worked.kinds, typed)
        said = [str(one) for one in hands if {*one.pieces} & _noted(before, after)]
        said += _times_gone(before, after)
        told = (one for one in odd if one not in result.problems)
        return replace(result, problems=(*result.problems, *told)), _write(path, text, tuple(said))


def _by_key(pattern: Pattern, text: str) -> str:
    """Put the keys of stages where their titles are said: all papers call them so."""
    titles = {" ".join(stage.title.split()): key for key, stage in pattern.stages.items()}
    for title in sorted(titles, key=len, reverse=True):
        if title.lower() not in pattern.stages:
            text = re.sub(rf"(?<![\w“]){re.escape(title)}(?!\w)", titles[title], text, count=1, flags=re.IGNORECASE)
    return text


def _noted(before: Agreed, after: Agreed) -> set[str]:
    """The pieces whose progress is new."""
    return {letter for letter, far in after.progress.items() if before.progress.get(letter) != far}


def _times_gone(before: Agreed, after: Agreed) -> Iterator[str]:
    """Say of which pieces a time was noted that counts no longer, since none is told with how far they are now."""
    for letter in sorted(_noted(before, after)):
        old, now = before.progress.get(letter, ""), after.progress[letter]
        if now != BROKEN and progress_of(old)[1] is not None and progress_of(now)[1] is None:
            told = f"The time noted for {letter}, “{old}”, counts no longer: “{now}” has none."
            yield f"{told} Say how long it took so far."


def _file(home: Path) -> tuple[Path, str]:
    """Give the real path of the file, and its text (none where it is not there yet). Raises `UnfitError`."""
    path = inside(home, FILE)
    return path, decode(read_plain(path, Where(FILE), MAX_BYTES), FILE) if path.exists() else ""


def _write(path: Path, text: str, changed: tuple[str, ...]) -> Agreement:
    data = text.encode()
    agreed, problems = read_one(data, FILE, Agreed)
    assert agreed is not None, [str(problem) for problem in problems]
    write_file(path, data)
    return Agreement(path, agreed, changed)


def _left_behind(planned: Plan, home: Path) -> Iterator[Problem]:
    """Say what names a shot by a number that means another shot once this is agreed, or none."""
    course = planned.course
    if course.agreed is None:
        return
    for erratum in course.errata.errata:
        for words, slate in _moved(course, erratum.where):
            what = f"Shot {words} is slate {slate}, which has another number now; once agreed this is another shot."
            yield error(erratum.mark("where"), "by-number", what, f"Write “slate {slate}” instead, then agree.")
    path = inside(home, KEPT)
    takes, _ = read_log(read_plain(path, Where(KEPT), MAX_LOG), KEPT) if path.exists() else ((), ())
    for take in takes:
        if not take.slate and (moved := _moved(course, take.shot)):
            what = f"This take is of shot {take.shot}, slate {moved[0][1]}, which has another number now."
            hint = "Take a log in again, so that all takes get their slates; then agree."
            yield error(take.where, "by-number", what, hint)
            return


def _moved(course: Course, text: str) -> list[tuple[str, int]]:
    """The numbers in a text, with the slates that they mean, which mean something else after the next agreement."""
    today = {str(one.number) for one in course.shots()}
    return [
        (one.words, one.slate)
        for one in named_shots(course, text)
        if one.slate and "slate" not in one.words.lower()
        if one.words != one.number and (one.number is not None or one.words in today)
    ]


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
    agreed, words = plan.course.agreed or Agreed(), words_of(plan.course.pattern)
    shots = list(_shots(plan, agreed))
    pieces = list(_pieces(plan, agreed, {one.shot: one.slate for one in shots if not one.gone}))
    progress = [(one.letter, agreed.progress[one.letter]) for one in pieces if one.letter in agreed.progress]
    lines = [f"course: {_text(agreed.course or plan.course.course.title)}", f"on: {on.isoformat()}"]
    lines += [f"times: {agreed.times + 1 if plan.course.agreed else 1}", "", "shots:"]
    lines += [_flow(one) for one in shots]
    if pieces:
        said = {} if words.maker == KNITTING.maker else {"knitter": "maker"}
        lines += ["", "pieces:", *(_flow(one, said) for one in pieces)]
    if progress:
        lines += ["", "progress:", *(f"  {letter}: {_text(far)}" for letter, far in progress)]
    example = next((one for one in pieces if one.knitter), None)
    first = f"{HEAD}{words.makers}. lessonplan writes this file when asked: lessonplan agree COURSE"
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
    drawer = {item.name for item in plan.course.course.samples.drawer}
    apart = any(one.name == demand and one.apart for one in plan.worked.question.demands)
    serves = tuple(_by_slate(stop.demand, slates) for stop in piece.stops)
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
        "only_for": serves[0] if apart else "",
        "serves": "" if apart else ", ".join(serves),
    }
    return AgreedPiece.model_validate({key: value for key, value in values.items() if value})


def _by_slate(demand: str, slates: Mapping[str, int]) -> str:
    number, blank, rest = demand.partition(" ")
    return f"{slates[number]}{blank}{rest}"


def _flow(item: Item, said: Mapping[str, str] = MappingProxyType({})) -> str:
    """Write one item of a list on one line, without what is empty; ``said``: keys by another name."""
    values = {
        said.get(key, key): value for key, value in item.model_dump().items() if value not in ("", None, False, ())
    }
    return "  - {" + ", ".join(f"{key}: {_text(value)}" for key, value in values.items()) + "}"


def _text(value: object) -> str:
    """Write a value so that it is read back as it is: plain where that is safe, else in quotes."""
    text = "yes" if value is True else value.isoformat() if isinstance(value, date) else str(value)
    text = ", ".join(value) if isinstance(value, tuple) else text
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
