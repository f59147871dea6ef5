"""Taking in what really happened: logs kept in the course's ``takes`` folder, compared with the plan, learnt from."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from lessonplan.course.problems import Problem
from lessonplan.planning.whole import plan
from lessonplan.planning.worked import Plan, Result
from lessonplan.shoot.takes.compare import PlannedReal, PlannedShot, planned_real
from lessonplan.shoot.takes.learnt import Learnt, learn, learnt_yaml, pace_values, read_learnt
from lessonplan.shoot.takes.log import Take, merged_csv, read_log
from lessonplan.shoot.takes.merge import merge

KEPT = "takes/takes.csv"
LEARNT = "learnt.yaml"


@dataclass(frozen=True)
class Taken:
    """What the logs gave: the plan they are held against, the takes, what does not fit, and the learnt paces."""

    plan: Plan
    takes: tuple[Take, ...]
    compared: PlannedReal
    learnt: Learnt
    problems: tuple[Problem, ...]


def take_in(folder: Path, logs: Sequence[Path], *, keep: bool = True) -> tuple[Result, Taken | None]:
    """Read logs, add them to those kept in ``takes/takes.csv``, and compare them with the plan.

    Taking in the same log twice changes nothing. With errors in the course there is nothing to compare with. Raises
    ``OSError`` when a file cannot be read or written.
    """
    result = plan(folder, use_learnt=False)
    planned = result.plan
    if planned is None:
        return result, None
    numbers = set(planned.worked.clocks)
    kept = folder / KEPT
    problems: list[Problem] = []
    read: list[tuple[Take, ...]] = []
    for path in [*([kept] if kept.exists() else []), *logs]:
        takes, found = read_log(path.read_bytes(), path.name, numbers)
        read.append(takes)
        problems += found
    merged = merge(read)
    if keep and logs:
        write_file(kept, merged_csv(merged.records))
    shots = planned_shots(planned)
    compared = planned_real(shots, merged.takes)
    return result, Taken(
        planned, merged.takes, compared, _learn(folder, planned, merged.takes), (*problems, *merged.problems)
    )


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
                clock.screen.likely * 60,
                clock.floor.mean,
                clock.takes,
                clock.off_camera,
            )
        )
    return tuple(found)


def _learn(folder: Path, plan: Plan, takes: tuple[Take, ...]) -> Learnt:
    """Learn from the takes, begun from another course's figures where the course names such a file."""
    file = plan.course.course
    start = None
    other = folder / file.learnt
    if file.learnt and other.is_file() and other.resolve() != (folder / LEARNT).resolve():
        start, _ = read_learnt(other.read_bytes(), file.learnt)
    calls = {day.day: day.call for day in file.shoot}
    return learn(takes, planned_shots(plan), pace_values(file.pace), start, calls)


def write_learnt(folder: Path, learnt: Learnt) -> Path:
    """Write the learnt paces into a file of their own in the course folder, and give its path."""
    path = folder / LEARNT
    write_file(path, learnt_yaml(learnt).encode("utf-8"))
    return path


def write_file(path: Path, data: bytes) -> None:
    """Replace a file whole or not at all. Raises ``OSError`` when the disk refuses."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
