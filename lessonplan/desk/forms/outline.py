"""The outline of a course: its files, and in them the places that have forms of their own, each with its problems."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from lessonplan.course.model.episodes import Episode, Segment, Shot
from lessonplan.course.problems import Problem
from lessonplan.course.values.fields import Item
from lessonplan.desk.forms.making import counted, file_title
from lessonplan.desk.forms.pickers import Pickers
from lessonplan.desk.forms.sources import Folder, Told, told_in
from lessonplan.desk.forms.values import Branch, Field, NewEpisode, Path
from lessonplan.desk.forms.words import entry_title
from lessonplan.reference.keys import docs_of

_ALSO = ("errata.yaml", "agreed.yaml")


def outline_of(files: Mapping[str, str], problems: Sequence[Problem] = ()) -> tuple[Branch, ...]:
    """Give the outline: course, pattern with its stages, episodes with segments and shots, errata, what is agreed.

    Course, pattern and errata stand in it though their files are not there yet.
    """
    folder = Folder(files)
    found = [_course(folder, problems), _pattern(folder, problems)]
    found += [_episode(folder, file, problems) for file in folder.episodes]
    return (*found, *(_file(folder, file, problems) for file in _ALSO if file in files or file == "errata.yaml"))


def next_episode(files: Mapping[str, str]) -> NewEpisode:
    """Give what one more episode needs: a file that is free, the next number, and its fields."""
    folder = Folder(files)
    told = [str(folder.data(file).get("episode", "")) for file in folder.episodes]
    number = max([len(told), *(int(one) for one in told if one.isdigit())], default=0) + 1
    while f"episodes/{number:02}.yaml" in files:
        number += 1
    views = tuple(dict.fromkeys(Pickers(folder).views()))
    asks = (
        _asked(Episode, "title", "title", "Title"),
        _asked(Segment, "title", "segments.0.title", "Title of its first segment"),
        replace(_asked(Shot, "view", "segments.0.shots.0.view", "View of its first shot"), offered=views),
    )
    return NewEpisode(f"episodes/{number:02}.yaml", number, asks)


def _asked(model: type[Item], key: str, name: str, label: str) -> Field:
    doc = docs_of(model)[key]
    return Field((name,), label, doc.meaning, "text", example=doc.example, needed=True, name=f"value.{name}")


def _file(folder: Folder, file: str, problems: Sequence[Problem], branches: Sequence[Branch] = ()) -> Branch:
    source = folder.source(file)
    path: Path | None = () if source else None
    told = counted([one for one in problems if one.where.file == file])
    return Branch(
        title=file_title(file, folder.data(file)) if source else file,
        file=file,
        path=path,
        problems=told,
        branches=tuple(branches),
    )


def _course(folder: Folder, problems: Sequence[Problem]) -> Branch:
    told = told_in(folder.source("course.yaml"), "course.yaml", problems)
    data = folder.data("course.yaml")
    days = data.get("shoot")
    branches = [_branch("course.yaml", ("shoot", number), one, told) for number, one in enumerate(_groups(days)) if one]
    return _file(folder, "course.yaml", problems, branches)


def _pattern(folder: Folder, problems: Sequence[Problem]) -> Branch:
    told = told_in(folder.source("pattern.yaml"), "pattern.yaml", problems)
    stages = folder.data("pattern.yaml").get("stages")
    branches = [
        _branch("pattern.yaml", ("stages", key), one, told, key)
        for key, one in (stages.items() if isinstance(stages, dict) else ())
        if isinstance(one, dict)
    ]
    return _file(folder, "pattern.yaml", problems, branches)


def _episode(folder: Folder, file: str, problems: Sequence[Problem]) -> Branch:
    told = told_in(folder.source(file), file, problems)
    branches = []
    data = folder.data(file)
    for number, segment in enumerate(_groups(data.get("segments"))):
        if segment is None:
            continue
        path: Path = ("segments", number)
        before = f"{data.get('episode', '')}.{number + 1}"
        shots = tuple(
            _branch(file, (*path, "shots", at), shot, told, before=f"{before}.{at + 1}")
            for at, shot in enumerate(_groups(segment.get("shots")))
            if shot is not None
        )
        branches.append(_branch(file, path, segment, told, before=before, branches=shots))
    return _file(folder, file, problems, branches)


def _branch(
    file: str,
    path: Path,
    data: Any,
    told: Told,
    name: str = "",
    *,
    before: str = "",
    branches: tuple[Branch, ...] = (),
) -> Branch:
    key, number = (str(path[-2]), path[-1] + 1) if isinstance(path[-1], int) else (str(path[0]), 1)
    title = f"{before} {entry_title(data, name, key, number)}".strip()
    return Branch(title=title, file=file, path=path, problems=counted(told.at(path)), branches=branches)


def _groups(value: Any) -> list[dict[str, Any] | None]:
    """The groups of keys of a list, by their numbers; None for what is none."""
    return [one if isinstance(one, dict) else None for one in value] if isinstance(value, list) else []
