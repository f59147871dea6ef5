"""The sample course many times over: its episodes again and again, filmed on days one after the other."""

from __future__ import annotations

import json
import re
import resource
import shutil
import sys
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from lessonplan.building import Papers
from lessonplan.course.read import load as read
from lessonplan.edit.problems import with_edit
from lessonplan.edit.proof.typed import with_typed
from lessonplan.planning.plan import plan
from lessonplan.planning.worked import Result, load, plan_worked
from lessonplan.publish.remarks import remarked

SAMPLE = Path(__file__).resolve().parents[2] / "sample_course"
EPISODES = 3
"""The sample course's episodes."""


def many(folder: Path, times: int) -> Path:
    """Write the sample course ``times`` over, without what was agreed: its pattern once, all that is filmed each time.

    The drawer, the errata and the kit are as they are; captions are kept of each of its second episodes.
    """
    for name in ("episodes", "captions"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    shutil.copy(SAMPLE / "pattern.yaml", folder)
    shutil.copy(SAMPLE / "errata.yaml", folder)
    course = (SAMPLE / "course.yaml").read_text(encoding="utf-8")
    before, _, rest = course.partition("shoot:\n")
    days, _, after = rest.partition("\nsamples:")
    every = "".join(_moved(days, copy) for copy in range(times))
    (folder / "course.yaml").write_text(f"{before}shoot:\n{every}\nsamples:{after}", encoding="utf-8")
    for copy in range(times):
        for path in sorted((SAMPLE / "episodes").glob("*.yaml")):
            _write_episode(folder, path, copy)
        for path in sorted((SAMPLE / "captions").glob("*.vtt")):
            number, _, name = path.name.partition("-")
            shutil.copy(path, folder / "captions" / f"{int(number) + EPISODES * copy:02}-{name}")
    return folder


def _write_episode(folder: Path, path: Path, copy: int) -> None:
    number, _, name = path.name.partition("-")
    text = re.sub(
        r"^episode: (\d+)", lambda one: f"episode: {_later(one[1], copy)}", path.read_text(encoding="utf-8"), flags=re.M
    )
    text = re.sub(r"^(\s+after: )(\d.*)$", lambda one: one[1] + _numbers(one[2], copy), text, flags=re.M)
    (folder / "episodes" / f"{int(number) + EPISODES * copy:03}-{name}").write_text(text, encoding="utf-8")


def _moved(days: str, copy: int) -> str:
    """The shoot days of one copy: of its own episodes, a week behind those of the copy before."""
    later = timedelta(days=7 * copy)
    text = re.sub(r"- day: (\S+)", lambda one: f"- day: {date.fromisoformat(one[1]) + later}", days)
    return re.sub(r"films: (.*)", lambda one: f"films: {_numbers(one[1], copy)}", text) + "\n"


def _numbers(text: str, copy: int) -> str:
    return re.sub(r"(\d+)((?:\.\d+)+)", lambda one: f"{_later(one[1], copy)}{one[2]}", text)


def _later(number: str, copy: int) -> int:
    return int(number) + EPISODES * copy


def steps(folder: Path, *, choose: bool) -> dict[str, tuple[float, int]]:
    """Plan a course step by step: seconds of the processor that each takes, and the most memory so far, in MB.

    ``choose``: also what comes of the exact choice of samples: the plan, its remarks, its pages and tables.
    """
    found: dict[str, tuple[float, int]] = {}

    def timed(name: str, step: Callable[[], Result]) -> Result:
        begun = time.process_time()
        made = step()
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        found[name] = time.process_time() - begun, most
        return made

    timed("read", lambda: Result(None, None, read(folder).problems))
    result = timed("work", lambda: load(folder))  # the files are known by now
    assert result.worked, result.problems
    result = timed("typed numbers", lambda: with_typed(result))
    if choose:
        worked = result.worked
        assert worked
        timed("choice, days, calendar", lambda: Result(worked, *plan_worked(worked)))
        result = plan(folder)  # what was chosen is known by now
        assert result.plan, result.problems
        planned = result.plan
        timed("remarks", lambda: remarked(with_edit(result)))
        timed("pages and tables", lambda: _made(Papers(planned), result))
    return found


def _made(papers: Papers, result: Result) -> Result:
    for one in papers:
        if not one.printed:
            one.make()
    return result


if __name__ == "__main__":
    print(json.dumps(steps(Path(sys.argv[1]), choose="--choose" in sys.argv)))
