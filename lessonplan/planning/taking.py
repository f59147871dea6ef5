"""Taking in what really happened: logs kept in the course's ``takes`` folder, compared with the plan, learnt from."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, locked, read_plain, write_file
from lessonplan.course.problems import Problem, Where, error, has_errors
from lessonplan.course.slates import slates_of
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning import sealed
from lessonplan.planning.whole import plan
from lessonplan.planning.worked import LEARNT, Plan, Result, named_learnt
from lessonplan.shoot.takes.compare import PlannedReal, PlannedShot, planned_real
from lessonplan.shoot.takes.known import KnownShot, KnownShots, placed
from lessonplan.shoot.takes.learnt import Learnt, learn, pace_values
from lessonplan.shoot.takes.log import MAX_BYTES, Take, merged_csv, read_log
from lessonplan.shoot.takes.merge import merge

KEPT = "takes/takes.csv"
NOTHING_LOST = ("no-start", "no-stop", "own-column", "unknown-shot", "unknown-slate", "new-title")
"""What is told of the kept file without standing in the way of writing it anew: all of it is written back."""


@dataclass(frozen=True)
class Taken:
    """What the logs gave: the plan they are held against, the takes, what does not fit, and the learnt paces.

    ``written`` is the file of learnt paces, if it was written.
    """

    plan: Plan
    takes: tuple[Take, ...]
    compared: PlannedReal
    learnt: Learnt
    problems: tuple[Problem, ...]
    written: Path | None = None


def take_in(
    folder: Path, logs: Sequence[Path], *, keep: bool = True, write_learnt: bool = False
) -> tuple[Result, Taken | None]:
    """Read logs, add them to those kept in ``takes/takes.csv``, and compare them with the plan.

    Taking in the same log twice changes nothing. With errors in the course there is nothing to compare with. Where the
    kept file or the learnt one holds anything that would be lost, it is not written and a problem says so. Raises
    ``OSError`` when a file cannot be read or written.
    """
    result = plan(folder, use_learnt=False)
    if result.plan is None:
        return result, None
    keep = keep and bool(logs)
    with locked(folder) if keep or write_learnt else contextlib.nullcontext():
        return result, _taken(folder, result.plan, logs, keep, write_learnt)


def _taken(folder: Path, planned: Plan, logs: Sequence[Path], keep: bool, write_learnt: bool) -> Taken:
    known = known_shots(planned)
    kept, problems = _kept(folder, known)
    whole = all(problem.code in NOTHING_LOST for problem in problems)
    logged = [_read(log, log.name, known) for log in logs]
    merged = merge([takes for takes, _ in logged], kept)
    problems += [*(problem for _, found in logged for problem in found), *merged.problems]
    if keep and merged.records:
        problems += _keep(folder, merged.records) if whole else [_not_kept()]
    learnt, wrong = _learn(folder, planned, merged.takes)
    problems += wrong
    written, heard = None, sealed.kept_learnt(folder).captions
    if write_learnt and whole and not has_errors(wrong):
        written, refused = sealed.write_learnt(folder, lambda before: replace(before, estimates=learnt.estimates))
        problems += refused
    elif write_learnt:
        problems.append(sealed.not_written())
    compared = planned_real(planned_shots(planned), merged.takes)
    return Taken(
        plan=planned,
        takes=merged.takes,
        compared=compared,
        learnt=replace(learnt, captions=heard),
        problems=tuple(problems),
        written=written,
    )


def _kept(folder: Path, known: KnownShots) -> tuple[tuple[Take, ...], list[Problem]]:
    """Read the takes kept in a course, if there are any."""
    try:
        path = inside(folder, KEPT)
    except UnfitError as bad:
        return (), [bad.problem]
    if not path.exists():
        return (), []
    takes, problems = _read(path, KEPT, known)
    first: dict[str, Take] = {}
    for take in takes:
        same = first.setdefault(take.id, take)
        if _cells(same) != _cells(take):
            what = f"The take “{take.id}” stands here again, and not like in line {same.where.line}."
            problems.append(error(take.where, "same-id", what, "Two takes need two ids; leave one empty."))
    return takes, problems


def _read(path: Path, name: str, known: KnownShots) -> tuple[tuple[Take, ...], list[Problem]]:
    try:
        logged, problems = read_log(read_plain(path, Where(name), MAX_BYTES), name)
    except UnfitError as bad:
        return (), [bad.problem]
    takes, unfit = placed(logged, known)
    return takes, [*problems, *unfit]


def _keep(folder: Path, records: tuple[Take, ...]) -> list[Problem]:
    """Write all takes into the kept file, unless it would not be read again just so (it may be too long by now)."""
    data = merged_csv(records)
    again, problems = read_log(data, KEPT)
    if list(map(_cells, again)) != list(map(_cells, records)):
        return [*(problem for problem in problems if problem.severity == "error"), _not_kept()]
    write_file(inside(folder, KEPT), data)
    return []


def _cells(take: Take) -> tuple[Take, dict[str, str]]:
    """Give all that is filled in of a take, also in the teacher's own columns."""
    return take, {name: cell for name, cell in take.own if cell}


def _not_kept() -> Problem:
    what = "No take was added to this file, so that nothing in it is lost."
    return error(Where(KEPT), "not-kept", what, "Mend it or move it away, then take the logs in again.")


def known_shots(plan: Plan) -> KnownShots:
    """Say by which numbers, slates and titles logs may know the shots of a plan."""
    agreed = {one.slate: one for one in plan.course.agreed.shots} if plan.course.agreed else {}
    slates, _ = slates_of(plan.course)
    word = for_size(plan.worked.facts, plan.worked.size)
    shots = []
    for number, _, segment, shot in plan.course.shots():
        then = agreed.get(slates.get(number, 0))
        titles = fill(shot.title or segment.title, word), (then.title or then.segment) if then else ""
        shots.append(KnownShot(number, slates.get(number, 0), tuple(filter(None, titles))))
    return KnownShots(tuple(shots), {one.shot: slate for slate, one in agreed.items()})


def planned_shots(plan: Plan) -> tuple[PlannedShot, ...]:
    """Say of each shot, in filming order, what the plan says of it."""
    found = []
    for item in plan.worked.listed:
        clock = plan.worked.clocks[item.number]
        found.append(
            PlannedShot(
                item.number,
                item.segment,
                plan.course.course.shoot[item.day].day,
                item.shot.view,
                clock.words,
                clock.stitches,
                clock.take * 60,
                clock.floor.mean,
                clock.takes,
                clock.off_camera,
                clock.doing * 60,
            )
        )
    return tuple(found)


def _learn(folder: Path, planned: Plan, takes: tuple[Take, ...]) -> tuple[Learnt, tuple[Problem, ...]]:
    """Learn from the takes, begun from the figures of another course where the course names a file of such."""
    file = planned.course.course
    start, problems = Learnt(()), tuple[Problem, ...]()
    try:
        if file.learnt and inside(folder, file.learnt, file.mark("learnt")) != inside(folder, LEARNT):
            start, problems = named_learnt(planned.course, folder)
    except UnfitError as bad:
        problems = (bad.problem,)
    calls = {day.day: day.call for day in file.shoot}
    return learn(takes, planned_shots(planned), pace_values(file.pace), start, calls), problems
