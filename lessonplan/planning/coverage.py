"""Coverage: how each stage, technique and option of the pattern comes up in the video, and what comes up nowhere."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lessonplan.course.model.episodes import Segment, Shot
from lessonplan.course.names.options import filmed_choices
from lessonplan.course.problems import Problem, note
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft import tables
from lessonplan.craft.techniques import technique
from lessonplan.pattern.within import within
from lessonplan.pattern.worked import Step, WorkedPattern, WorkedStage
from lessonplan.planning.worked import Worked
from lessonplan.samples.pieces import TablePiece
from lessonplan.shoot.clocks import live_techniques, needle_in

HOWS = ("on camera", "off camera", "on a piece", "told", "nowhere")
"""How something comes up, the fullest way first."""
HOLD = "hold"
"""What lines say for putting stitches aside; it is no technique of the table, since it makes no stitch."""
PLAIN = frozenset({"k", "p", "CO", "BO"})
"""Techniques that a viewer who can knit and purl is not shown (common practice)."""


@dataclass(frozen=True, slots=True)
class Covered:
    """A stage, a technique or a choice, how it comes up, and the shots in which it does so."""

    what: str
    name: str
    how: str
    shots: tuple[ShotNumber, ...] = ()


def coverage(worked: Worked) -> tuple[Covered, ...]:
    """Work out how each stage, each technique beyond plain knitting, and each choice of an option comes up."""
    shots = {one.number: one.shot for one in worked.course.shots()}
    live = {number: _live(worked, number, shot) for number, shot in shots.items()}
    doing = {number: _doing(shot) for number, shot in shots.items()}
    stages = stages_worked(worked)
    said = {one.number: _said(one.shot, one.segment) for one in worked.course.shots()}
    every = [
        (number, _named(there), _named(done))
        for key in worked.pattern.order
        for number, there, done in _moved(worked, key)
    ]
    return (
        *(_stage(worked, key, live, stages, said) for key in worked.pattern.order),
        *(_technique(worked, name, live, doing, every, said) for name in _techniques(worked)),
        *_choices(worked, said),
    )


def stages_worked(worked: Worked) -> Mapping[ShotNumber, frozenset[str]]:
    """Give by shot the stages that its hands work on without leaving a piece further: by a line or a work of them."""
    return _by_shot(worked, _worked_on)


def stages_told(worked: Worked) -> Mapping[ShotNumber, frozenset[str]]:
    """Give by shot the stages of which its hands are told to do a work that can come next on a piece there."""
    return _by_shot(worked, _told_on)


def _by_shot(
    worked: Worked, stages: Callable[[Worked, Shot, list[TablePiece]], Iterable[str]]
) -> Mapping[ShotNumber, frozenset[str]]:
    found: dict[ShotNumber, list[TablePiece]] = {one.number: [] for one in worked.course.shots()}
    for piece in worked.table:
        found[piece.shot].append(piece)
    return {one.number: frozenset(stages(worked, one.shot, found[one.number])) for one in worked.course.shots()}


def told_works(text: str) -> frozenset[str]:
    """Name the works and techniques of which a text tells how, in the words by which hands are told to do them."""
    text = text.lower()
    return frozenset(name for name in _told() if _is_told(name, text))


def _is_told(name: str, text: str) -> bool:
    ways = (way for way in _told()[name] if all(word in text for word in way.split() if word != ".."))
    return any(_words(way).search(text) for way in ways)


def _live(worked: Worked, number: ShotNumber, shot: Shot) -> frozenset[str]:
    counts, _ = live_techniques(shot, needle_in(number, worked.kinds, worked.table, worked.size))
    return frozenset(name for name, _ in counts)


def _doing(shot: Shot) -> frozenset[str]:
    """Name the works and techniques that the hands of a shot are told to do."""
    return told_works(_done(shot))


def _worked_on(worked: Worked, shot: Shot, pieces: Sequence[TablePiece]) -> Iterator[str]:
    """Name the stages that the hands of a shot work on, beside those in which they move a piece.

    A line is in the next round of a stage, or a work that they are told to do comes next there; where no piece lies on
    the table, one is begun.
    """
    for kind, stand in (piece.first for piece in pieces):
        lines = (one.work for one in shot.hands if one.work and not stand.moves)
        found = (within(line, worked.kinds[kind], worked.size, stand.start) for line in lines)
        yield from (one.stage.key for one in found if one)
    yield from _told_on(worked, shot, pieces)


def _told_on(worked: Worked, shot: Shot, pieces: Iterable[TablePiece]) -> Iterator[str]:
    size, doing = worked.size, _doing(shot)
    stands = (piece.first for piece in pieces)
    states = [(worked.kinds[kind], stand.start) for kind, stand in stands]
    for pattern, state in states if shot.pieces else [(worked.pattern, (0,) * len(worked.pattern.order))]:
        yield from (key for key, work in _next_works(pattern, size, state) if work in doing)
        yield from (stage.key for stage, at in pattern.open_stages(state, size) if _as_written(worked, stage, at, shot))


def _as_written(worked: Worked, stage: WorkedStage, at: int, shot: Shot) -> bool:
    """Whether the hands of a shot are told to do the work of a stage that comes next in the pattern’s own words."""
    work = worked.course.pattern.stages[stage.key].works[stage.steps[at].work]
    what = getattr(work, "what", "").strip(" .").lower()
    return bool(what) and what in _done(shot)


def _done(shot: Shot) -> str:
    return " ".join(one.do for one in shot.hands).lower()


def _next_works(pattern: WorkedPattern, size: int, state: Sequence[int]) -> Iterator[tuple[str, str]]:
    """Give the works that can come next in a state, each with its stage."""
    for stage, done in pattern.open_stages(state, size):
        yield stage.key, next((name for name, end in stage.works if done < end), "")


@cache
def _told() -> Mapping[str, Sequence[str]]:
    """How hands are told to do a work or a technique, in one way or another."""
    return {row["name"]: row["told"].split("; ") for row in tables.rows("told")}


@cache
def _words(told: str) -> re.Pattern[str]:
    """The words of one way in their order, few others between them."""
    parts = [rf"\b{re.escape(word)}(?:s|es|d|ed|ing)?\b" for word in told.split() if word != ".."]
    return re.compile((r"(?:\W+[\w’']+){0,3}?\W+" if ".." in told else r"\W+").join(parts))


def _said(shot: Shot, segment: Segment) -> str:
    """Everything that is told in a shot, facts by their names, and what its segment is about, the stage by its name."""
    points = " ".join(point.text for point in shot.points)
    about = (segment.title, f"{segment.stage}.")
    return " ".join((shot.title, shot.say, points, _done(shot), *shot.on_screen, *about)).lower()


def _moved(worked: Worked, key: str) -> Iterator[tuple[ShotNumber, tuple[Step, ...], tuple[Step, ...]]]:
    """For each piece on a table: the steps of a stage that the shot works, and those that are there already."""
    for piece in worked.table:
        kind, stand = piece.first
        place = worked.kinds[kind].order.index(key)
        steps = worked.kinds[kind].stage(key, worked.size).steps
        yield piece.shot, steps[stand.start[place] : stand.end[place]], steps[: stand.start[place]]


def _stage(
    worked: Worked,
    key: str,
    live: Mapping[ShotNumber, frozenset[str]],
    stages: Mapping[ShotNumber, frozenset[str]],
    said: Mapping[ShotNumber, str],
) -> Covered:
    title = worked.pattern.stage(key, worked.size).title
    moved = [(number, there) for number, there, _ in _moved(worked, key) if there]
    seen = {number for number, _ in moved if live[number] or worked.course.shot(number).hands}
    on_camera = [number for number, keys in stages.items() if number in seen or key in keys]
    shown = [number for number, _, done in _moved(worked, key) if done]
    told = [number for number, text in said.items() if title.lower() in text or f"{key}." in text]
    return _covered("stage", title, on_camera, [number for number, _ in moved], shown, told)


def _techniques(worked: Worked) -> list[str]:
    """The techniques of the pattern that are more than plain, in the order in which they come."""
    names = dict.fromkeys(name for step in worked.pattern.steps(worked.size) for name in _in_step(step))
    return [name for name in names if name not in PLAIN]


def _in_step(step: Step) -> Iterator[str]:
    yield from (name for name, _ in step.techniques)
    if step.held:
        yield HOLD


def _named(steps: Iterable[Step]) -> frozenset[str]:
    return frozenset(name for step in steps for name in _in_step(step))


def meaning_of(name: str) -> str:
    """Say what a technique is: ``pick up and knit along an edge``."""
    spelled = next((row["meaning"] for row in tables.rows("spelled") if name == HOLD == row["name"]), "")
    return spelled or technique(name).meaning


def _technique(
    worked: Worked,
    name: str,
    live: Mapping[ShotNumber, frozenset[str]],
    doing: Mapping[ShotNumber, frozenset[str]],
    every: Sequence[tuple[ShotNumber, frozenset[str], frozenset[str]]],
    said: Mapping[ShotNumber, str],
) -> Covered:
    meaning = meaning_of(name).lower()
    spoken = re.sub(r"\b[23]\b", lambda one: {"2": "two", "3": "three"}[one[0]], meaning)
    words = [word for word in (name.lower(), meaning, spoken) if len(word) > 1]
    word = "|".join(rf"\b{re.escape(one)}\b" for one in words) or "(?!)"

    def tells(text: str) -> bool:  # much else is held than stitches, such as a hand
        """Whether a text tells of the technique."""
        return _is_told(HOLD, text) if name == HOLD else re.search(word, text) is not None

    moved = {number for number, there, _ in every if name in there}
    seen = {number for number in moved if name in doing[number] or tells(_done(worked.course.shot(number)))}
    return _covered(
        "technique",
        name,
        [number for number, names in live.items() if name in names or number in seen],
        [number for number, there, _ in every if name in there],
        [number for number, _, done in every if name in done],
        [number for number, text in said.items() if tells(text)],
    )


def _choices(worked: Worked, said: Mapping[ShotNumber, str]) -> Iterator[Covered]:
    """Choices that are not filmed can only be told of."""
    filmed = filmed_choices(worked.course.pattern)
    for option, one in worked.course.pattern.options.items():
        for choice in one.choices:
            if filmed[option] != choice:
                told = [number for number, text in said.items() if re.search(rf"\b{re.escape(choice.lower())}", text)]
                yield _covered("choice", f"{option}: {choice}", [], [], [], told)


def _covered(what: str, name: str, *found: list[ShotNumber]) -> Covered:
    for how, shots in zip(HOWS, found, strict=False):
        if shots:
            return Covered(what, name, how, tuple(dict.fromkeys(shots)))
    return Covered(what, name, HOWS[-1])


_CURES = {
    "stage": "Work or show it in a shot, or tell of it by its title; nothing is wrong if viewers need no picture.",
    "technique": "Work it in a shot, or tell of it; nothing is wrong if viewers know it.",
    "choice": "Name it in the words of a shot; the handout has it in any case.",
}
"""What helps where something comes up nowhere."""


def not_covered(worked: Worked) -> Iterator[Problem]:
    """Note what the pattern has and no shot shows or tells."""
    missing = [one for one in coverage(worked) if one.how == HOWS[-1]]
    for what in ("stage", "technique", "choice"):
        names = [f"“{one.name}”" for one in missing if one.what == what]
        if names:
            plural = {"stage": "stages", "technique": "techniques", "choice": "choices"}[what]
            listed = ", ".join(names)
            sentence = f"No shot shows or tells of {what if len(names) == 1 else plural} {listed}."
            yield note(worked.course.pattern.mark("stages"), "not-covered", sentence, _CURES[what])
