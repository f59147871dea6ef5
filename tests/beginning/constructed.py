"""Courses begun from standard constructions, in all their sizes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from lessonplan.beginning.constructions import bodies
from lessonplan.beginning.folder import files
from lessonplan.beginning.questions import answers_of
from lessonplan.planning.worked import Worked, load

TODAY = date(2027, 1, 4)


def written(folder: Path, made: str, gauge: str, colours: str) -> Path:
    """Write the course of a construction at a gauge."""
    sizes = ", ".join(body.size for body in bodies(made))
    texts = {"made": made, "gauge": gauge, "colours": colours, "sizes": sizes, "shoot": "2029-01-06"}
    for name, text in files(answers_of(texts, TODAY)).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def worked_without_remark(folder: Path) -> Worked:
    """Work a course in which there is nothing to remark on."""
    result = load(folder)
    assert result.problems == ()
    assert result.worked
    return result.worked
