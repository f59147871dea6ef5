"""Rounds that a shot says are done, held against the pieces on its table: “after 43 rows the cup is there”."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonplan.course.model.episodes import Shot
from lessonplan.course.problems import Problem, Where, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.units import normal, words_of
from lessonplan.pattern.texts import fill
from lessonplan.pattern.worked import WorkedStage
from lessonplan.planning.worked import Plan
from lessonplan.samples.pieces import TablePiece

_NOW = re.compile(r"\b(?:is|are|here|there|this|see|looks?|have)\b|['’]s\b", re.IGNORECASE)
_LATER = re.compile(
    r"['’]ll\b|\b(?:will|would|until|till|should|more|next|another|again|begin|change)\b", re.IGNORECASE
)
"""Words of what is done, and of what is still to do (a guess)."""


def shown_short(plan: Plan) -> Iterator[Problem]:
    """Warn where so many rounds are said to be done, and every piece on the table is in them and has fewer."""
    for one in plan.course.shots():
        here = [_under_way(plan, piece) for piece in plan.worked.table if piece.shot == one.number]
        if here and all(here):
            yield from _told(plan, one.number, one.shot, [each for piece in here for each in piece])


def _under_way(plan: Plan, piece: TablePiece) -> list[tuple[WorkedStage, int]]:
    """The stages that a piece is in the middle of as it leaves its shot, each with its rounds done."""
    kind, stand = piece.first
    size, worked, found = plan.worked.size, plan.worked.kinds[kind], list[tuple[WorkedStage, int]]()
    for key, steps in zip(worked.order, stand.end, strict=True):
        stage, full = worked.stage(key, size), plan.worked.pattern.stage(key, size)
        if 0 < (done := stage.rounds_at(steps)) < len(stage.rounds):
            found.append((full, stage.numbers[done - 1] if stage.numbers else done))
    return found


def _told(plan: Plan, number: ShotNumber, shot: Shot, here: list[tuple[WorkedStage, int]]) -> Iterator[Problem]:
    word, start = plan.worked.word, shot.mark("say")
    for found in re.finditer(r"\S.*?(?:[.!?](?=\s)|\Z)", shot.say, re.DOTALL):
        sentence = fill(found[0], word)
        tokens = normal(words_of(sentence))
        for one in quantities_in(tokens) if _NOW.search(sentence) and not _LATER.search(sentence) else ():
            after = "after" in [token.text for token in tokens[max(0, one.first - 2) : one.first]]
            few = [
                (stage, done)
                for stage, done in here
                if one.unit == f"{stage.rounds[-1].kind}s" and done < one.value <= len(stage.rounds)
            ]
            if after and not one.ordinal and few and len(few) == len(here):
                stage, done = few[0]
                said = f"“After {one.value:g} {one.unit}” is said in {number}"
                what = f"{said}, and what lies there has {done} of the {len(stage.rounds)} of “{stage.title}”."
                hint = "Name what it has, or say with “needs” how far the piece is."
                line, before = shot.say.count("\n", 0, found.start()), shot.say.rfind("\n", 0, found.start()) + 1
                where = Where(start.file, start.line + line, start.column + found.start() - before)
                yield warning(where, "rounds-done", what, hint)
