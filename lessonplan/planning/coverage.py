"""Coverage: how each stage, technique and option of the pattern comes up in the video, and what comes up nowhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonplan.course.model.episodes import Shot
from lessonplan.course.names.options import filmed_choices
from lessonplan.course.problems import Problem, note
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft.techniques import technique
from lessonplan.pattern.worked import Step
from lessonplan.planning.worked import Worked
from lessonplan.shoot.clocks import live_techniques, needle_in

HOWS = ("on camera", "off camera", "on a piece", "told", "nowhere")
"""How something comes up, the fullest way first."""
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
    said = {number: _said(shot) for number, shot in shots.items()}
    every = [
        (number, _named(there), _named(done))
        for key in worked.pattern.order
        for number, there, done in _moved(worked, key)
    ]
    return (
        *(_stage(worked, key, live, said) for key in worked.pattern.order),
        *(_technique(name, live, every, said) for name in _techniques(worked)),
        *_choices(worked, said),
    )


def _live(worked: Worked, number: ShotNumber, shot: Shot) -> frozenset[str]:
    counts, _ = live_techniques(shot, needle_in(number, worked.kinds, worked.table, worked.size))
    return frozenset(name for name, _ in counts)


def _said(shot: Shot) -> str:
    """Everything that is told in a shot, facts by their names."""
    hands = " ".join(one.do for one in shot.hands)
    points = " ".join(point.text for point in shot.points)
    return " ".join((shot.title, shot.say, points, hands, *shot.on_screen)).lower()


def _moved(worked: Worked, key: str) -> Iterator[tuple[ShotNumber, tuple[Step, ...], tuple[Step, ...]]]:
    """For each piece on a table: the steps of a stage that the shot works, and those that are there already."""
    for piece in worked.table:
        kind, stand = next(iter(piece.stands.items()))
        place = worked.kinds[kind].order.index(key)
        steps = worked.kinds[kind].stage(key, worked.size).steps
        yield piece.shot, steps[stand.start[place] : stand.end[place]], steps[: stand.start[place]]


def _stage(
    worked: Worked, key: str, live: Mapping[ShotNumber, frozenset[str]], said: Mapping[ShotNumber, str]
) -> Covered:
    title = worked.pattern.stage(key, worked.size).title
    moved = [(number, there) for number, there, _ in _moved(worked, key) if there]
    on_camera = [number for number, _ in moved if live[number] or worked.course.shot(number).hands]
    shown = [number for number, _, done in _moved(worked, key) if done]
    told = [number for number, text in said.items() if title.lower() in text or f"{key}." in text]
    return _covered("stage", title, on_camera, [number for number, _ in moved], shown, told)


def _techniques(worked: Worked) -> list[str]:
    """The techniques of the pattern that are more than plain, in the order in which they come."""
    steps = (step for key in worked.pattern.order for step in worked.pattern.stage(key, worked.size).steps)
    return [name for name in dict.fromkeys(name for step in steps for name, _ in step.techniques) if name not in PLAIN]


def _named(steps: Iterable[Step]) -> frozenset[str]:
    return frozenset(name for step in steps for name, _ in step.techniques)


def _technique(
    name: str,
    live: Mapping[ShotNumber, frozenset[str]],
    every: Sequence[tuple[ShotNumber, frozenset[str], frozenset[str]]],
    said: Mapping[ShotNumber, str],
) -> Covered:
    words = [word for word in (name.lower(), technique(name).meaning.lower()) if len(word) > 1]
    word = re.compile("|".join(rf"\b{re.escape(one)}\b" for one in words) or "(?!)")
    return _covered(
        "technique",
        name,
        [number for number, names in live.items() if name in names],
        [number for number, there, _ in every if name in there],
        [number for number, _, done in every if name in done],
        [number for number, text in said.items() if word.search(text)],
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


def not_covered(worked: Worked) -> Iterator[Problem]:
    """Note what the pattern has and no shot shows or tells."""
    missing = [one for one in coverage(worked) if one.how == HOWS[-1]]
    for what in ("stage", "technique", "choice"):
        names = [f"“{one.name}”" for one in missing if one.what == what]
        if names:
            plural = {"stage": "stages", "technique": "techniques", "choice": "choices"}[what]
            listed = ", ".join(names)
            sentence = f"No shot shows or tells of {what if len(names) == 1 else plural} {listed}."
            yield note(worked.course.pattern.mark("stages"), "not-covered", sentence)
