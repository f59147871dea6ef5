"""Every list of every form can be put in another order, and is as it was when that is taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from lessonplan.desk.forms.values import Entries
from tests.desk.forms_folder import Course, every_form, parts
from tests.rich_course import write_rich


def _at(data: Any, path: tuple[str | int, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


def test_every_list_is_put_in_another_order(root: Path, tmp_path: Path) -> None:
    write_rich(tmp_path)
    moved = set[str]()
    for course in (Course.of(root / "sample_course"), Course.of(tmp_path)):
        for file, before in tuple(course.files.items()):
            lists = (one for form in every_form(course, file) for part in parts(form) for one in part.lists)
            for one in [one for one in lists if len(one.entries) > 1]:
                key = f"{file[:7]} {one.path[-1]}"
                if key not in moved:
                    _moved(course, file, one)
                    assert course.files[file] == before, one.path
                moved.add(key)
    assert len(moved) > 15, moved


def _moved(course: Course, file: str, entries: Entries) -> None:
    """Move the first entry of a list down and up again; nothing else is changed."""
    first, second = entries.entries[:2]
    assert (first.first, first.last, second.first) == (True, False, False)
    before = _at(yaml.safe_load(course.files[file]), entries.path)
    course.post(file, "move", [*first.path], value="down")
    after = _at(yaml.safe_load(course.files[file]), entries.path)
    if isinstance(before, dict):
        (a, x), (b, y), *rest = before.items()
        assert [*after.items()] == [(b, y), (a, x), *rest]
    else:
        assert after == [before[1], before[0], *before[2:]]
    course.post(file, "move", [*(first if isinstance(before, dict) else second).path], value="up")
