"""The calendar's files know of the house only course, words and the solver, and not of each other in a circle."""

from __future__ import annotations

import ast
from pathlib import Path

ROOM = "lessonplan.samples.calendar"
KNOWN = ("lessonplan.course.", "lessonplan.craft.words", "lessonplan.samples.choice.solver", f"{ROOM}.")


def imported(source: str) -> set[str]:
    """The modules of the house and the clocks that a file imports, those inside functions too."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return {name for name in found if name.startswith("lessonplan") or name == "time"}


def wrong(name: str, source: str) -> set[str]:
    return {one for one in imported(source) if not one.startswith(KNOWN)}


def test_nothing_of_the_house_but_the_course_and_no_clock(root: Path) -> None:
    files = {path.stem: path.read_text(encoding="utf-8") for path in (root / ROOM.replace(".", "/")).glob("*.py")}
    assert len(files) > 5
    assert {name: found for name, source in files.items() if (found := wrong(name, source))} == {}
    needs = {
        name: {one.removeprefix(f"{ROOM}.") for one in imported(source)} & files.keys()
        for name, source in files.items()
    }
    while free := {name for name, others in needs.items() if not others}:
        needs = {name: others - free for name, others in needs.items() if name not in free}
    assert needs == {}


def test_a_planted_import_is_found() -> None:
    assert wrong("days", "def f():\n    from lessonplan.samples.plan import Piece\n") == {"lessonplan.samples.plan"}
    assert wrong("days", "import time\n") == {"time"}
    assert wrong("days", "from lessonplan.course.words import listing\n") == set()
