"""The wheel holds the templates and tables, and builds a course from anywhere."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path


def test_the_wheel_builds_the_sample_course_elsewhere(root: Path, tmp_path: Path) -> None:
    wheels = tmp_path / "wheels"
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    subprocess.run([*pip, "wheel", "--no-deps", "-w", str(wheels), str(root)], check=True, capture_output=True)
    (wheel,) = wheels.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    own = (path for path in (root / "templates").rglob("*") if path.is_file())
    assert {f"lessonplan/templates/{path.relative_to(root / 'templates').as_posix()}" for path in own} <= names
    assert {f"lessonplan/craft/tables/{path.name}" for path in (root / "lessonplan/craft/tables").iterdir()} <= names
    home = tmp_path / "elsewhere"
    subprocess.run([sys.executable, "-m", "venv", str(home / "env")], check=True, capture_output=True)
    python = next(
        path for path in (home / "env" / "bin" / "python", home / "env" / "Scripts" / "python.exe") if path.exists()
    )
    subprocess.run([str(python), *pip[1:], "install", "--no-compile", str(wheel)], check=True, capture_output=True)
    shutil.copytree(root / "sample_course", home / "course", ignore=shutil.ignore_patterns("out"))
    surroundings = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    command = [str(python), "-m", "lessonplan", "build", "course"]
    done = subprocess.run(command, cwd=home, capture_output=True, text=True, check=False, env=surroundings)
    assert done.returncode == 0, done.stderr
    assert (home / "course" / "out" / "index.html").exists()
