"""A course of three segments and the captions of its video, written by hand: every word lasts half a second."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lessonplan.planning.worked import Plan
from tests.documents import timed

COURSE = timed.COURSE.replace("{knitting: 20,", "{knitting: 20, speech: 120,")
WOOL = (
    "Here is the wool for the scarf. It is a soft grey wool from the hills, spun in a mill near the river. Wind "
    "the wool loosely into a ball, and keep the paper band with its dye bath in your bag."
)
TAIL = (
    "Now we cast on. Make a slip knot, put it on the needle, and cast on over your thumb. Leave a long tail, because a "
    "short tail runs out before the last loop is on. Pull each loop snug, but never tight."
)
BATH = (
    "At the end we block it. Fill a basin with cool water, let the scarf sink, and press the air out. Roll it in a "
    "towel, step on the towel, lay the scarf flat with pins, and wait until nothing is damp."
)
TEXTS = (WOOL, TAIL, BATH)
"""42 words each, so 21 s each and 63 s in all."""
LONG = 21


def captions(*parts: tuple[float, str]) -> bytes:
    """Captions of parts, each from a second on: six words in each, one after the other."""
    blocks = ["WEBVTT"]
    for start, text in parts:
        words = text.split()
        for first in range(0, len(words), 6):
            some = words[first : first + 6]
            ends = (start + first / 2, start + (first + len(some)) / 2)
            stamps = (f"{int(at) // 60:02}:{at % 60:06.3f}" for at in ends)
            blocks.append(f"{' --> '.join(stamps)}\n{' '.join(some)}")
    return ("\n\n".join(blocks) + "\n").encode()


def plan_of(folder: Path, video: bytes | None, *, errata: str = "", shots: Sequence[int] = (1, 1, 1)) -> Plan:
    """Plan the course with captions of its video; a segment may be told in more than one shot."""
    segments = []
    for text, number in zip(TEXTS, shots, strict=True):
        words = text.split()
        size = len(words) // number
        parts = [" ".join(words[size * place : size * (place + 1)]) for place in range(number)]
        segments.append(tuple(timed.shot("face", "0 s", say=f'"{part}"') for part in parts))
    files = {"captions/01.vtt": video.decode()} if video else {}
    return timed.plan(folder, timed.episode(*segments), COURSE, files | ({"errata.yaml": errata} if errata else {}))
