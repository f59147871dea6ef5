"""What is typed behind a command: lines, counts and places. What is typed wrongly raises ``typer.BadParameter``."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import typer


def lines_given(words: list[str], file: Path | None) -> list[str]:
    """Take the lines from the arguments, a file, or standard input; empty lines are passed over."""
    texts: list[str] = []
    for word in words:
        texts += sys.stdin.read().splitlines() if word == "-" else word.splitlines()
    if file is not None:
        texts += file.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    texts = [text for text in texts if text.strip()]
    if not texts:
        raise typer.BadParameter("no line is given", param_hint="LINE")
    return texts


def places(text: str, sizes: int) -> list[list[int]]:
    """Take the places of markers: `16,32,48` in every size, or `20 (22), 40 (44)` with one number for each."""
    found = [numbers(piece, "--markers") for piece in re.split(r",(?![^(\[]*[)\]])", text) if piece.strip()]
    if any(len(each) not in (1, sizes) for each in found):
        raise typer.BadParameter(f"“{text}” has not one number for each of {sizes} sizes", param_hint="--markers")
    return found


def numbers(text: str, option: str) -> list[int]:
    """Take whole numbers, one for each size: ``64``, ``48 (52, 56)``, ``16,32,48``."""
    from lessonplan.course.quantities import read_whole, split_sizes

    parts = [part.strip() for piece in split_sizes(text) for part in piece.split(",") if part.strip()]
    try:
        return [read_whole(part) for part in parts]
    except ValueError as bad:
        raise typer.BadParameter(f"{bad}; write for example 64 or 48 (52, 56)", param_hint=option) from None
