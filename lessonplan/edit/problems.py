"""What is to be said of a plan before its episodes are cut: texts without room, chapters, odd timecodes, captions,
and rounds that are said to be done over a piece that has fewer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from lessonplan.course.model.episodes import Shot
from lessonplan.course.problems import Problem, Where, in_reading_order, warning
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.edit.chapters import chapter_problems
from lessonplan.edit.cues.episode import episode_cues
from lessonplan.edit.kept import captions_of
from lessonplan.edit.speech.heard import quantities_in
from lessonplan.edit.speech.units import normal, words_of
from lessonplan.edit.timing import odd_timecodes
from lessonplan.edit.video import cut_remarks
from lessonplan.pattern.texts import fill
from lessonplan.pattern.worked import WorkedStage
from lessonplan.planning.worked import Plan, Result
from lessonplan.samples.pieces import TablePiece


def edit_problems(plan: Plan) -> tuple[Problem, ...]:
    """Give every problem of the edit, episode by episode."""
    cues = [problem for one in plan.course.episodes for problem in episode_cues(plan, one.episode).problems]
    kept = (captions_of(plan, one.episode) for one in plan.course.episodes)
    unread = (replace(one, severity="warning") for captions in kept if captions for one in captions.problems)
    return (
        *cues,
        *chapter_problems(plan),
        *odd_timecodes(plan.takes, plan.course.course.frame_rate),
        *cut_remarks(plan),
        *shown_short(plan),
        *unread,
    )


def with_edit(result: Result) -> Result:
    """Give a result with the problems of its edit among the others, in reading order; without a plan there are none."""
    if result.plan is None:
        return result
    problems = in_reading_order((*result.problems, *edit_problems(result.plan)), result.files)
    return replace(result, problems=problems)


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
