"""A cut as OpenTimelineIO: JSON of the schemas that version 0.18 of the library reads and writes.

It is written here as plain data: measured, that takes 2 ms for an episode, importing the library alone 24 ms, and the
library would be 2.6 MB of compiled code for everybody. The tests read what is written with the library.
"""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import quote

from lessonplan.course.cells import named_in
from lessonplan.course.values.rates import Rate
from lessonplan.documents.timeline import Clip, Mark, TimelineView

COLOURS = {
    "chapter": "GREEN",
    "correction": "RED",
    "pick-up": "RED",
    "cut-away": "ORANGE",
    "on screen": "CYAN",
    "own text": "CYAN",
    "may go": "BLUE",
}
"""Colours of markers by kind, of those that the schema names; other texts are yellow."""


def otio_bytes(view: TimelineView) -> bytes:
    """Write a cut: a track of pictures and one of sound with the same clips and gaps, markers over both."""
    clips = [_clip(clip, view.rate) for clip in view.clips]
    tracks = [_item("Track.1", kind) | {"children": clips, "kind": kind} for kind in ("Video", "Audio")]
    stack = _item("Stack.1", "tracks") | {"children": tracks}
    stack["markers"] = [_marker(mark, view.rate) for mark in view.marks]
    timeline = {
        "OTIO_SCHEMA": "Timeline.1",
        "metadata": {"lessonplan": {"frame_rate": view.rate.name}},
        "name": view.title,
        "global_start_time": _time(0, view.rate),
        "tracks": stack,
    }
    return (json.dumps(timeline, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


def _item(schema: str, name: str) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": schema,
        "metadata": {},
        "name": name,
        "source_range": None,
        "effects": [],
        "markers": [],
        "enabled": True,
    }


def _clip(clip: Clip, rate: Rate) -> dict[str, Any]:
    """Write a clip of a take, or a gap where there is none yet; both are named by their shot."""
    name = f"{clip.number} {clip.title}"
    known: dict[str, str | int] = {"shot": clip.number}
    if not clip.media or clip.take is None:
        known["empty"] = "no take to use"
        return _item("Gap.1", name) | {"source_range": _range(0, clip.frames, rate), "metadata": {"lessonplan": known}}
    take = clip.take
    known |= {"take": take.take, "day": take.day.isoformat(), "camera": take.camera, "card": take.card}
    clips = named_in(take.clip)
    if clips[1:]:
        known["goes_on_in"] = ", ".join(clips[1:])
    media = {
        "OTIO_SCHEMA": "ExternalReference.1" if clips else "MissingReference.1",
        "metadata": {},
        "name": clip.media,
        "available_range": _range(clip.media_start, clip.media_frames, rate) if clip.media_frames else None,
        "available_image_bounds": None,
        **({"target_url": quote(clip.media)} if clips else {}),
    }
    return _item("Clip.2", name) | {
        "source_range": _range(clip.source, clip.frames, rate),
        "metadata": {"lessonplan": known},
        "media_references": {"DEFAULT_MEDIA": media},
        "active_media_reference_key": "DEFAULT_MEDIA",
    }


def _marker(mark: Mark, rate: Rate) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": "Marker.2",
        "metadata": {"lessonplan": {"kind": mark.kind}},
        "name": mark.text,
        "color": COLOURS.get(mark.kind, "YELLOW"),
        "marked_range": _range(mark.start, mark.frames, rate),
        "comment": mark.kind,
    }


def _range(start: int, frames: int, rate: Rate) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": "TimeRange.1",
        "start_time": _time(start, rate),
        "duration": _time(frames, rate),
    }


def _time(frame: int, rate: Rate) -> dict[str, Any]:
    return {"OTIO_SCHEMA": "RationalTime.1", "rate": float(rate.fps), "value": float(frame)}
