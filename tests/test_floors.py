"""Imports go down only: a room imports from the rooms below it, and no files import each other in a circle."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path

FLOORS = (
    "remembered",
    "course",
    "terminal",
    "usage",
    "craft",
    "printed",
    "needle",
    "pattern",
    "samples",
    "shoot",
    "planning",
    "edit",
    "reference",
    "publish",
    "documents",
    "render",
    "building",
    "beginning",
    "commands",
    "desk",
    "cli",
    "__main__",
)
"""The rooms from the ground up."""


def files(package: Path) -> Iterator[tuple[str, str]]:
    """Each file of the package as its dotted name (``craft.gauge``; an ``__init__`` by its folder) and its source."""
    for path in sorted(package.rglob("*.py")):
        parts = [*path.relative_to(package).with_suffix("").parts]
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        if name:
            yield name, path.read_text(encoding="utf-8")


def imported(source: str) -> list[tuple[int, str]]:
    """Every name of the package that a source imports, wherever in it, with its line."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        else:
            continue
        found += [(node.lineno, name.removeprefix("lessonplan.")) for name in names if name.startswith("lessonplan.")]
    return found


def violations(name: str, source: str) -> list[str]:
    """What a file imports from rooms above its own."""
    room = name.split(".")[0]
    height = FLOORS.index(room)
    return [
        f"{name}, line {line}: imports {other}"
        for line, other in imported(source)
        if other.split(".")[0] in FLOORS and FLOORS.index(other.split(".")[0]) > height
    ]


def circles(sources: Mapping[str, str]) -> list[str]:
    """Files that import each other, directly or by way of others, imports for types and inside functions counted."""
    needs = {
        name: {file for _, other in imported(source) if (file := file_of(other, sources)) not in ("", name)}
        for name, source in sources.items()
    }
    found, done = [], set[str]()

    def walk(name: str, way: tuple[str, ...]) -> None:
        if name in way:
            found.append(" > ".join((*way[way.index(name) :], name)))
        elif name not in done:
            for other in sorted(needs[name]):
                walk(other, (*way, name))
            done.add(name)

    for name in sorted(needs):
        walk(name, ())
    return found


def file_of(name: str, sources: Mapping[str, str]) -> str:
    """The file that an imported name stands in, or nothing if it is none of the package's."""
    while name and name not in sources:
        name = name.rpartition(".")[0]
    return name


def repeats_its_room(name: str) -> bool:
    """Whether a file's name says its room's name again, or begins as a neighbour's with an underscore would."""
    *rooms, file = name.split(".")
    return any(word in rooms or f"{word}s" in rooms or word.removesuffix("s") in rooms for word in file.split("_"))


def test_every_import_goes_down(root: Path) -> None:
    assert [what for name, source in files(root / "lessonplan") for what in violations(name, source)] == []


def test_no_files_import_each_other(root: Path) -> None:
    assert circles(dict(files(root / "lessonplan"))) == []


def test_every_room_stands_on_a_floor(root: Path) -> None:
    assert {name.split(".")[0] for name, _ in files(root / "lessonplan")} <= set(FLOORS)


def test_no_file_repeats_the_name_of_its_room(root: Path) -> None:
    assert [name for name, _ in files(root / "lessonplan") if repeats_its_room(name)] == []


def test_a_planted_import_upward_is_found() -> None:
    up = violations("craft.gauge", "from lessonplan.render.pages import page\n")
    assert up == ["craft.gauge, line 1: imports render.pages.page"]
    assert violations("samples.x", "def f():\n    import lessonplan.shoot.day\n") == [
        "samples.x, line 2: imports shoot.day"
    ]
    assert violations("render.pages", "from lessonplan.course.model.together import Course\n") == []


def test_planted_circles_are_found() -> None:
    two = {
        "craft.a": "from lessonplan.craft import b\n",
        "craft.b": "def f():\n    from lessonplan.craft.c import x\n",
        "craft.c": "from lessonplan.craft.a import y\n",
    }
    assert circles(two) == ["craft.a > craft.b > craft.c > craft.a"]
    assert circles({**two, "craft.c": "from lessonplan.course.model.together import Course\n"}) == []


def test_planted_names_that_repeat_are_found() -> None:
    assert repeats_its_room("shoot.order.order_search")
    assert repeats_its_room("shoot.takes.take")
    assert not repeats_its_room("shoot.order.search")


FOR_EACH_PAPER = ("documents", "render")
"""Rooms with a file for each paper or kind of file."""


def too_large(package: Path) -> list[str]:
    """The rooms of a package that have more than fourteen files or 2,500 lines of code in them."""
    found = []
    for room in sorted({path.parent for path in package.rglob("*.py")}):
        files_in = [path for path in room.glob("*.py") if path.name != "__init__.py"]
        lines = sum(path.read_text(encoding="utf-8").count("\n") for path in files_in)
        if (len(files_in) > 14 or lines > 2500) and room.name not in FOR_EACH_PAPER:
            found.append(f"{room.name}: {len(files_in)} files, {lines} lines")
    return found


def test_the_rooms_stay_small(root: Path) -> None:
    assert too_large(root / "lessonplan") == []


def test_a_planted_room_that_is_too_large_is_found(tmp_path: Path) -> None:
    for number in range(15):
        (tmp_path / f"x{number}.py").write_text("a\n")
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "long.py").write_text("a\n" * 2501)
    assert [each.split(": ")[1] for each in too_large(tmp_path)] in (
        ["15 files, 15 lines", "1 files, 2501 lines"],
        ["1 files, 2501 lines", "15 files, 15 lines"],
    )
