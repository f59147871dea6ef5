"""Imports go down only: each room may import from the rooms below it."""

from __future__ import annotations

import ast
from pathlib import Path

FLOORS = (
    "course",
    "craft",
    "samples",
    "shoot",
    "edit",
    "planning",
    "whatif",
    "ordering",
    "steps",
    "taking",
    "documents",
    "render",
    "building",
    "desk",
    "terminal",
    "cli",
    "__main__",
)


def room_of(path: Path, package: Path) -> str:
    return path.relative_to(package).parts[0].removesuffix(".py")


def imported_rooms(source: str) -> list[tuple[int, str]]:
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        else:
            continue
        found += [(node.lineno, name.split(".")[1]) for name in names if name.startswith("lessonplan.")]
    return found


def violations(room: str, source: str) -> list[str]:
    height = FLOORS.index(room)
    return [
        f"line {line}: {room} imports {other}"
        for line, other in imported_rooms(source)
        if other in FLOORS and FLOORS.index(other) > height
    ]


def test_every_import_goes_down(root: Path) -> None:
    package = root / "lessonplan"
    found = []
    for path in package.rglob("*.py"):
        room = room_of(path, package)
        if room != "__init__":
            found += [f"{path}: {what}" for what in violations(room, path.read_text(encoding="utf-8"))]
    assert found == []


def test_every_room_stands_on_a_floor(root: Path) -> None:
    package = root / "lessonplan"
    rooms = {room_of(path, package) for path in package.rglob("*.py")} - {"__init__"}
    assert rooms <= set(FLOORS)


def test_a_planted_import_upward_is_found() -> None:
    assert violations("craft", "from lessonplan.render.pages import page\n") == ["line 1: craft imports render"]
    assert violations("samples", "def f():\n    import lessonplan.shoot.day\n") == ["line 2: samples imports shoot"]
    assert violations("render", "from lessonplan.course.model import Course\n") == []
