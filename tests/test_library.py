"""The package as a library: what it shows, and that looking at its values is safe."""

from __future__ import annotations

import inspect
import subprocess
import sys
from pathlib import Path

import lessonplan


def test_the_package_shows_what_it_offers() -> None:
    assert {"load", "plan", "build", "Problem", "OutputError", "samples_data"} <= set(dir(lessonplan))
    assert not {"TYPE_CHECKING", "Any", "annotations", "import_module"} & set(dir(lessonplan))
    for name in dir(lessonplan):
        assert name == "__version__" or inspect.getdoc(getattr(lessonplan, name)), f"{name} has no docstring"


def test_types_are_offered_to_those_who_use_it(root: Path) -> None:
    assert (root / "lessonplan" / "py.typed").is_file()


def test_importing_it_brings_nothing_heavy() -> None:
    heavy = "{'pydantic', 'numpy', 'highspy', 'jinja2', 'yaml'}"
    code = f"import sys, lessonplan; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_values_say_what_they_are_in_a_line(root: Path) -> None:
    result = lessonplan.plan(root / "sample_course")
    assert result.plan is not None
    for value in (result, result.plan, result.plan.worked, result.plan.course, result.plan.worked.pattern):
        assert len(repr(value)) < 120, type(value).__name__
        assert "\n" not in repr(value)


def test_data_of_the_commands_is_reachable(root: Path) -> None:
    result = lessonplan.load(root / "sample_course")
    assert result.worked is not None
    numbers = [row["segment"] for row in lessonplan.times_data(result.worked)["segments"]]
    assert numbers[0] == "1.1"
    assert numbers == sorted(numbers)
