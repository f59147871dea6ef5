"""A cut as an edit decision list of the CMX 3600 form: one event a shot, in capitals, columns apart by blanks.

Frame code mode first; each event has number, reel (8 characters at most, none of them a blank; ``BL`` is black, where
nothing is filmed yet), channels (``B``: picture and sound; ``V``: picture), the cut, source in and out, record in and
out. Below it the clip's name and the markers that lie in it, as remarks that editing programs read (common practice).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping

from lessonplan.course.cells import named_in
from lessonplan.documents.timeline import Clip, TimelineView
from lessonplan.edit.timecode import timecode
from lessonplan.render import otio

BLACK, AUXILIARY = "BL", "AX"
"""The reel of what is not filmed yet, and that of a take of which no card is known (common practice)."""
EVENTS = 999
"""So many events have numbers of three digits."""
COLOURS = otio.COLOURS | {"cut-away": "MAGENTA"}
"""Colours of locators by kind, of those that programs know, orange not among them; other texts are yellow."""


def edl_bytes(view: TimelineView) -> bytes:
    """Write a cut; record times count from zero, as all times of an episode do."""
    mode = "DROP FRAME" if view.rate.dropped else "NON-DROP FRAME"
    lines = [f"TITLE: {_plain(view.title)[:70]}", f"FCM: {mode}", ""]
    reels = reels_of(view)
    for number, clip in enumerate(view.clips[:EVENTS], 1):
        lines += _event(number, clip, reels.get(reel_key(clip), AUXILIARY if clip.media else BLACK), view)
    return "".join(f"{line}\r\n" for line in lines).encode("ascii")


def _event(number: int, clip: Clip, reel: str, view: TimelineView) -> Iterator[str]:
    source, end = clip.source, clip.start + clip.frames
    times = (source, source + clip.frames, clip.start, end)
    channels = "B" if clip.media else "V"
    yield f"{number:03}  {reel:<8} {channels:<5} C        " + " ".join(timecode(at, view.rate) for at in times)
    clips = named_in(clip.take.clip) if clip.take else ()
    if clips:
        yield f"* FROM CLIP NAME: {_plain(clip.media)}"
    elif clip.media:
        yield f"* COMMENT: NO CLIP IS LOGGED: {_plain(clip.media).upper()}"
    if clips[1:]:
        yield f"* COMMENT: GOES ON IN {_plain(', '.join(clips[1:]))}"
    empty = "" if clip.media else " (NO TAKE TO USE: BLACK)"
    yield f"* COMMENT: SHOT {clip.number} {_plain(clip.title)}{empty}"
    if clip.counted:
        yield "* COMMENT: CAMERA CLOCK NOT KNOWN, SOURCE COUNTED FROM THE START OF THE CLIP"
    for mark in view.marks:
        if clip.start <= mark.start < end:
            label = _plain(f"{mark.kind}: {mark.text}").upper()
            yield f"* LOC: {timecode(mark.start, view.rate)} {COLOURS.get(mark.kind, 'YELLOW'):<7} {label}"


def reel_key(clip: Clip) -> tuple[str, ...]:
    """Say what tells the reel of a clip from others: camera and first card, or its name where no card is logged."""
    names = (*named_in(clip.take.card), *named_in(clip.take.clip)) if clip.take and clip.media else ()
    return (clip.take.camera, names[0]) if clip.take and names else ()


def reels_of(view: TimelineView) -> Mapping[tuple[str, ...], str]:
    """Give each reel a name of at most 8 letters and digits, no two the same."""
    found: dict[tuple[str, ...], str] = {}
    for key in dict.fromkeys(reel_key(clip) for clip in view.clips):
        if key:
            base = re.sub(r"[^A-Z0-9]", "", _plain(key[1]).upper()) or "REEL"
            names = (base[:8], *(f"{base[: 8 - len(str(number))]}{number}" for number in range(2, EVENTS + 3)))
            found[key] = next(name for name in names if name not in {*found.values(), BLACK, AUXILIARY})
    return found


def _plain(text: str) -> str:
    """Give a text on one line in letters that any such list may hold (ASCII); signs without one become a full stop."""
    simple = text.translate(
        {0x2019: "'", 0x2018: "'", 0x201C: '"', 0x201D: '"', 0x2013: "-", 0x2014: "-", 0x2026: "..."}
    )
    split = unicodedata.normalize("NFKD", " ".join(simple.split()))
    return "".join(sign if sign.isascii() else "." for sign in split if not unicodedata.combining(sign))
