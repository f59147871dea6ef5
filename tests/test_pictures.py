"""The pictures of README.md show what is built today."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests import pictures


def test_no_picture_is_older_than_its_page() -> None:
    assert json.loads(pictures.DIGESTS.read_text()) == pictures.digests(), "run python -m tests.pictures"


def test_readme_shows_each_picture_there_is(root: Path) -> None:
    shown = re.findall(r"!\[[^\]]+\]\(\.pictures/([\w-]+)\.png\)", (root / "README.md").read_text(encoding="utf-8"))
    assert (
        sorted(shown)
        == sorted([*pictures.PICTURES, "desk", "made"])
        == sorted(one.stem for one in pictures.FOLDER.glob("*.png"))
    )


def test_a_changed_page_or_style_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    before = pictures.digests()
    read = Path.read_bytes
    monkeypatch.setattr(
        Path, "read_bytes", lambda path: read(path) + (b"x" if path.name.startswith("handout") else b"")
    )
    assert {name for name, digest in pictures.digests().items() if digest != before[name]} == {"handout"}
