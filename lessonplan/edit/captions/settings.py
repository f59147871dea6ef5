"""The settings of WebVTT cues and regions, read as the standard's parser reads them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

_PERCENTAGE = re.compile(r"[0-9]+(?:\.[0-9]+)?%")
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")

Auto = Literal["auto"]


@dataclass(frozen=True, slots=True)
class Region:
    """A region as its block sets it: percentages from 0 to 100, ``lines`` whole."""

    identifier: str = ""
    width: float = 100.0
    lines: int = 3
    anchor: tuple[float, float] = (0.0, 100.0)
    viewport_anchor: tuple[float, float] = (0.0, 100.0)
    scroll: str = ""  # or up


@dataclass(frozen=True, slots=True)
class Placing:
    """Where a cue is shown, by the settings behind its times; names and first values are the standard's."""

    vertical: str = ""  # or rl, lr
    line: float | Auto = "auto"
    snap_to_lines: bool = True
    line_align: str = "start"  # or center, end
    position: float | Auto = "auto"
    position_align: str = "auto"  # or line-left, center, line-right
    size: float = 100.0
    align: str = "center"  # or start, end, left, right
    region: Region | None = None


def placing_of(text: str, regions: Sequence[Region]) -> Placing:
    """Read the settings behind the times of a cue; a region is known by its identifier, the last of several."""
    placing = Placing()
    for name, value in _pairs(text):
        if name == "region":
            found = [region for region in regions if region.identifier == value]
            placing = replace(placing, region=found[-1] if found else None)
        elif name == "vertical" and value in ("rl", "lr"):
            placing = replace(placing, vertical=value)
        elif name == "line":
            placing = _with_line(placing, value)
        elif name == "position":
            placing = _with_position(placing, value)
        elif name == "size" and (size := percentage(value)) is not None:
            placing = replace(placing, size=size)
        elif name == "align" and value in ("start", "center", "end", "left", "right"):
            placing = replace(placing, align=value)
    if placing.line != "auto" or placing.size != 100 or placing.vertical:
        return replace(placing, region=None)  # such a cue stands outside of regions
    return placing


def _with_line(placing: Placing, value: str) -> Placing:
    text, comma, align = value.partition(",")
    in_percent = text.endswith("%")
    number = percentage(text) if in_percent else float(text) if _NUMBER.fullmatch(text) else None
    if number is None or (comma and align not in ("start", "center", "end")):
        return placing
    placing = replace(placing, line=number, snap_to_lines=not in_percent)
    return replace(placing, line_align=align) if comma else placing


def _with_position(placing: Placing, value: str) -> Placing:
    text, comma, align = value.partition(",")
    number = percentage(text)
    if number is None or (comma and align not in ("line-left", "center", "line-right")):
        return placing
    placing = replace(placing, position=number)
    return replace(placing, position_align=align) if comma else placing


def region_of(text: str) -> Region:
    """Read the settings of a region's block."""
    region = Region()
    for name, value in _pairs(text):
        if name == "id":
            region = replace(region, identifier=value)
        elif name == "width" and (width := percentage(value)) is not None:
            region = replace(region, width=width)
        elif name == "lines" and re.fullmatch("[0-9]{1,4000}", value):
            region = replace(region, lines=int(value))
        elif name in ("regionanchor", "viewportanchor"):
            across, _, down = value.partition(",")
            x, y = percentage(across), percentage(down)
            if x is not None and y is not None:
                at = (x, y)
                region = replace(region, anchor=at) if name[0] == "r" else replace(region, viewport_anchor=at)
        elif name == "scroll" and value == "up":
            region = replace(region, scroll="up")
    return region


def percentage(text: str) -> float | None:
    """Give the number of ``12.5%``; None where it is none from 0 to 100."""
    number = float(text[:-1]) if _PERCENTAGE.fullmatch(text) else None
    return number if number is not None and number <= 100 else None


def _pairs(text: str) -> Iterator[tuple[str, str]]:
    """Part settings into names and values; those without a colon, or with one at an end, are passed over."""
    for setting in re.split(r"[ \t\n\f\r]+", text):
        name, colon, value = setting.partition(":")
        # A value may hold a colon, but a setting must not end in one.
        if colon and name and value and not setting.endswith(":"):
            yield name, value
