"""Taking in what really happened: logs kept in the course's ``takes`` folder, compared with the plan, learnt from."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, locked, write_file
from lessonplan.course.problems import Problem, Where, error, has_errors
from lessonplan.planning.filmed import sealed
from lessonplan.planning.filmed.kepttakes import KEPT, cells_of, kept_takes, known_shots, read_takes
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import LEARNT, Plan, Result, named_learnt
from lessonplan.shoot.takes.compare import PlannedReal, PlannedShot, planned_real
from lessonplan.shoot.takes.learnt import Learnt, learn, pace_values
from lessonplan.shoot.takes.log import Take, merged_csv, read_log
from lessonplan.shoot.takes.merge import merge

NOTHING_LOST = ("no-start", "no-stop", "own-column", "unknown-shot", "unknown-slate", "new-title", "other-number")
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
    folder: Path, logs: Sequence[Path], *, before: Sequence[Path] = (), write_learnt: bool = False
) -> tuple[Result, Taken | None]:
    """Read logs, add them to those kept in ``takes/takes.csv``, and compare them with the plan.

    Taking in the same log twice changes nothing. ``before`` are logs of the same devices that were taken in last: only
    what the new ones have otherwise is changed. With errors in the course there is nothing to compare with. Where the
    kept file or the learnt one holds anything that would be lost, it is not written and a problem says so. Raises
    ``OSError`` when a file cannot be read or written.
    """
    result = plan(folder, use_learnt=False)
    if result.plan is None:
        return result, None
    with locked(folder) if logs or write_learnt else contextlib.nullcontext():
        return result, _taken(folder, result.plan, logs, before, write_learnt)


def _taken(folder: Path, planned: Plan, logs: Sequence[Path], before: Sequence[Path], write_learnt: bool) -> Taken:
    known = known_shots(planned.worked)
    kept, problems = kept_takes(folder, known)
    whole = all(problem.code in NOTHING_LOST for problem in problems)
    logged = [read_takes(log, log.name, known) for log in logs]
    last = {take.id: take for log in before for take in read_takes(log, log.name, known)[0]}
    now = _both(kept, last, {take.id: take for takes, _ in logged for take in takes})
    merged = merge(
        [[now.get(take.id, take) for take in takes] for takes, _ in logged], [now.get(take.id, take) for take in kept]
    )
    problems += [*(problem for _, found in logged for problem in found), *merged.problems]
    if logs and merged.records:
        problems += _keep(folder, merged.records) if whole else [_not_kept()]
    learnt, wrong = _learn(folder, planned, merged.takes)
    problems += wrong
    written, heard = None, sealed.kept_learnt(folder).captions
    write_learnt = write_learnt and bool(merged.takes)  # from no take nothing is learnt
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


def _both(kept: Sequence[Take], last: Mapping[str, Take], logged: Mapping[str, Take]) -> dict[str, Take]:
    """Give by id the kept takes that a device sends again: as they were mended here, with what it changed since."""
    found = dict[str, Take]()
    for one in kept:
        if one.id in last and one.id in logged:
            was, now = last[one.id], logged[one.id]
            changed = [
                each.name
                for each in fields(Take)
                if each.compare and getattr(was, each.name) != getattr(now, each.name)
            ]
            found[one.id] = replace(one, **{name: getattr(now, name) for name in changed})
    return found


def _keep(folder: Path, records: tuple[Take, ...]) -> list[Problem]:
    """Write all takes into the kept file, unless it would not be read again just so (it may be too long by now)."""
    data = merged_csv(records)
    again, problems = read_log(data, KEPT)
    if list(map(cells_of, again)) != list(map(cells_of, records)):
        return [*(problem for problem in problems if problem.severity == "error"), _not_kept()]
    write_file(inside(folder, KEPT), data)
    return []


def _not_kept() -> Problem:
    what = "No take was added to this file, so that nothing in it is lost."
    return error(Where(KEPT), "not-kept", what, "Mend it or move it away, then take the logs in again.")


def planned_shots(plan: Plan) -> tuple[PlannedShot, ...]:
    """Say of each shot, in filming order, what the plan says of it."""
    found = []
    for item in plan.worked.listed:
        clock = plan.worked.clocks[item.number]
        found.append(
            PlannedShot(
                number=item.number,
                segment=item.segment,
                day=plan.course.course.shoot[item.day].day,
                view=item.shot.view,
                words=clock.words,
                stitches_weighted=clock.stitches,
                take_seconds=clock.take * 60,
                floor_minutes=clock.floor.mean,
                takes=clock.takes,
                off_camera=clock.off_camera,
                doing_seconds=clock.doing * 60,
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
