"""The captions kept in a course: ``captions/NN-*.vtt`` (or ``.srt``, ``.txt``), NN the number of the episode."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from lessonplan.course.files import UnfitError, inside, read_plain
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, Where, warning

FOLDER = "captions"
MAX_BYTES = 5_000_000
"""As large as captions may be."""
_NAME = re.compile(r"(?P<episode>\d{1,4})(?:[^\d].*)?\.(?:vtt|srt|txt)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Kept:
    """A file of captions kept in a course: its episode, its name, and its bytes."""

    episode: int
    name: str
    data: bytes


def kept_captions(folder: Path, course: Course) -> tuple[tuple[Kept, ...], tuple[Problem, ...]]:
    """Read the captions kept in a course, one file for each episode: of several the first by name.

    What cannot be used is a warning. Raises ``OSError`` when a file cannot be read.
    """
    home = folder / FOLDER
    if not home.is_dir():
        return (), ()
    known = {one.episode for one in course.episodes}
    kept, problems = dict[int, Kept](), list[Problem]()
    for path in sorted(home.iterdir()):
        name, found = f"{FOLDER}/{path.name}", _NAME.fullmatch(path.name)
        if found is None or int(found["episode"]) in kept:
            continue
        if int(found["episode"]) not in known:
            what = f"There is no episode {int(found['episode'])}, so these captions are not read."
            problems.append(warning(Where(name), "captions", what))
            continue
        try:
            data = read_plain(inside(folder, name), Where(name), MAX_BYTES)
        except UnfitError as bad:
            problems.append(warning(bad.problem.where, bad.problem.code, bad.problem.message))
            continue
        kept[int(found["episode"])] = Kept(int(found["episode"]), name, data)
    return tuple(kept[number] for number in sorted(kept)), tuple(problems)
