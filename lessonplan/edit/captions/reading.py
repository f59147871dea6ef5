"""Captions read from bytes, whatever their form and encoding; all that is odd about them told in plain sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Literal

from lessonplan.course.files import MARKS, UnfitError, decode, marked, read_plain
from lessonplan.course.problems import Problem, Where, error, note, warning
from lessonplan.course.words import count_of
from lessonplan.edit.captions import subrip, transcript, webvtt
from lessonplan.edit.captions.subrip import Block
from lessonplan.edit.captions.tagged import plain
from lessonplan.remembered import remembered

MAX_BYTES = 5_000_000
"""An hour of automatic captions with a time for each word has some 1 MB."""
MOST_WORDS = 30_000
"""Three hours of quick talk; so many are proofed in two seconds."""
HOUR = 3_600_000
CONTROL_SHARE = 0.01
"""A text with more control characters than this is none."""
OVER = 100
"""Milliseconds by which captions may overlap without a word: frames and rounding."""

Form = Literal["WebVTT", "SubRip", "transcript"]
_WINDOWS = {one: bytes([one]).decode("cp1252", "ignore") or chr(one) for one in range(0x80, 0xA0)}
"""Where Windows-1252 differs from Latin-1; for five bytes it does not."""
_CONTROL = re.compile(r"[\x01-\x08\x0b\x0e-\x1f\x7f]")


@dataclass(frozen=True, slots=True)
class Cue:
    """One caption: start and end in whole milliseconds, its text without tags, who speaks (where that is said).

    ``stamps`` are times inside the text: (place in it, milliseconds); ``where`` is the line of its times.
    """

    start: int
    end: int
    text: str
    voice: str = ""
    stamps: tuple[tuple[int, int], ...] = ()
    where: Where = Where()


@dataclass(frozen=True, slots=True)
class Captions:
    """What a file of captions holds: its form, its cues in order of time, and what is wrong or odd.

    The ends of a transcript's cues are the starts of the next; the last one is as quick as the rest.
    """

    file: str
    form: Form
    cues: tuple[Cue, ...]
    problems: tuple[Problem, ...]


@remembered(100, equal=True)
def read_captions(data: bytes, file: str) -> Captions:
    """Read captions: WebVTT, SubRip, or a transcript with times; in UTF-8, UTF-16 or Windows-1252, any line ends.

    No input raises. What is no captions at all gives no cues and one error; other problems stand beside the cues.
    """
    try:
        text, problems = _text(data, file)
    except UnfitError as bad:
        return Captions(file, "transcript", (), (bad.problem,))
    form, blocks, odd = _blocks(text, file)
    problems += odd
    cues = _cues(blocks, file)
    if not any(cue.text.strip() for cue in cues):
        return Captions(file, form, (), (*problems, _nothing(text, form, file, bool(cues))))
    if (words := _words(cues)) > MOST_WORDS:
        what = f"{file} has {words:,} words; captions of one episode may have {MOST_WORDS:,} at most."
        long = error(Where(file), "too-long", what, "Cut the file where an episode ends.")
        return Captions(file, form, (), (long,))
    problems += _oddities(cues)
    ordered, odd = _from_the_beginning(sorted(cues, key=lambda cue: cue.start))
    return Captions(file, form, tuple(ordered), (*problems, *odd))


def read_file(path: Path) -> Captions:
    """Read a file of captions; what is none has no cues and one problem. Raises ``OSError`` where it cannot be read."""
    try:
        return read_captions(read_plain(path, Where(path.name), MAX_BYTES), path.name)
    except UnfitError as bad:
        return Captions(path.name, "transcript", (), (bad.problem,))


def _words(cues: Sequence[Cue]) -> int:
    """Count words, but those of a line that the caption before has too: automatic captions roll."""
    lines = [cue.text.splitlines() for cue in cues]
    return sum(len(line.split()) for old, new in pairwise([[], *lines]) for line in new if line not in old)


def _text(data: bytes, file: str) -> tuple[str, list[Problem]]:
    """Make bytes a text. Raises `UnfitError` for what is none."""
    if len(data) > MAX_BYTES:
        what = f"{file} has {len(data) / 1e6:.1f} MB; captions may have {MAX_BYTES / 1e6:g} MB at most."
        raise UnfitError(error(Where(file), "too-big", what))
    problems: list[Problem] = []
    try:
        text = decode(marked(data), file)
    except UnfitError as bad:
        if bad.problem.code == "not-text":
            raise
        text, told = _otherwise(data, bad.problem.where)
        problems.append(told)
    if not text.strip("\ufeff\0 \t\r\n\f"):
        raise UnfitError(error(Where(file), "empty-file", "This file is empty."))
    allowed = 0 if text.startswith("WEBVTT") else text.count("\0")
    if len(_CONTROL.findall(text)) + allowed > CONTROL_SHARE * len(text):
        raise UnfitError(error(Where(file), "not-captions", "This is not a text file, so it holds no captions."))
    return text, problems


def _otherwise(data: bytes, where: Where) -> tuple[str, Problem]:
    """Read what is no sound UTF-8: with signs for the broken bytes where most of it is, else as Windows-1252."""
    text = data.decode("utf-8-sig", "replace")
    broken = text.count("\ufffd")
    if data[:2] in MARKS:
        text, broken = data.decode("utf-16", "replace"), 0
    if broken <= sum(sign > "\x7f" and sign != "\ufffd" for sign in text):
        return text, warning(where, "encoding", "Bytes here are broken; a sign stands in the text instead of each.")
    text = data.decode("latin-1").translate(_WINDOWS)
    return text, note(where, "encoding", "This is not UTF-8, so it was read as Windows-1252.", "Save it as UTF-8.")


def _blocks(text: str, file: str) -> tuple[Form, Sequence[Block], list[Problem]]:
    """Find out the form of a text, and read it."""
    found = webvtt.parse(text)
    if found:
        blocks = []
        for cue in found.cues:
            said = plain(cue.text)
            voice = ", ".join(said.voices)
            one = Block(start=cue.start, end=cue.end, text=said.text, row=cue.row, voice=voice, stamps=said.stamps)
            blocks.append(one)
        return "WebVTT", blocks, list(_dropped(found.dropped, file))
    rip = subrip.parse(text)
    return ("SubRip", rip, list(_no_signature(text, file))) if rip else ("transcript", transcript.parse(text), [])


def _dropped(rows: Sequence[int], file: str) -> Iterator[Problem]:
    if rows:
        lines = f"{len(rows)} lines of times cannot be read, the first here; their captions are" if rows[1:] else ""
        what = f"{lines or 'The times in this line cannot be read; its caption is'} left out."
        yield warning(Where(file, rows[0], 1), "times", what, "They are written like 00:01:02.500 --> 00:01:04.000.")


def _no_signature(text: str, file: str) -> Iterator[Problem]:
    """Tell of what looks like WebVTT and does not begin like it."""
    if "." in text.partition("-->")[0].splitlines()[-1]:
        yield note(Where(file, 1, 1), "form", "The first line is not WEBVTT, so this was read as SubRip.")


def _cues(blocks: Sequence[Block], file: str) -> list[Cue]:
    """Make cues of blocks, in the order of the file; ends that are not said are estimated."""
    starts = sorted({block.start for block in blocks})
    after = dict(pairwise(starts))
    spoken = [(after[block.start] - block.start, len(block.text.split())) for block in blocks if block.start in after]
    words = sum(count for _, count in spoken)
    each = sum(time for time, _ in spoken) / words if words else 400.0  # 150 words a minute where nothing is known
    cues = []
    for block in blocks:
        end = block.end
        if end is None:
            end = after.get(block.start, block.start + round(each * len(block.text.split())))
        where = Where(file, block.row, 1)
        cues.append(
            Cue(start=block.start, end=end, text=block.text, voice=block.voice, stamps=block.stamps, where=where)
        )
    return cues


def _nothing(text: str, form: Form, file: str, times: bool) -> Problem:
    if form == "WebVTT" or times:
        return error(Where(file), "no-captions", "There are no words in these captions.")
    what = "No times are found in this file, so it holds no captions."
    hint = "Read are WebVTT, SubRip, and transcripts whose paragraphs begin with a time."
    return error(Where(file), "not-captions", what, hint)


def _oddities(cues: Sequence[Cue]) -> Iterator[Problem]:
    """Tell of cues out of order, backward or at one time."""
    back = [after for before, after in pairwise(cues) if after.start < before.start]
    if back:
        said = f"{len(back)} captions begin before the one above them, the first here" if back[1:] else ""
        what = f"{said or 'This caption begins before the one above it'}; they were put in order."
        yield warning(back[0].where, "unordered", what)
    wrong = [cue for cue in cues if cue.end <= cue.start and cue.text.strip()]
    if wrong:
        said = f"{len(wrong)} captions end before they begin, the first here" if wrong[1:] else ""
        yield warning(wrong[0].where, "no-length", f"{said or 'This caption ends before it begins'}.")
    ordered = sorted(cues, key=lambda cue: cue.start)
    over = [after for before, after in pairwise(ordered) if before.end - after.start > OVER]
    if over and len(over) < len(cues) / 3:  # else all of them do, as captions that roll
        said = f"{len(over)} captions begin while another is seen, the first here" if over[1:] else ""
        yield note(over[0].where, "overlap", f"{said or 'This caption begins while another is seen'}.")


def _from_the_beginning(cues: Sequence[Cue]) -> tuple[Sequence[Cue], list[Problem]]:
    """Take whole hours off the times of cues where the first has any: a timeline often begins at 01:00:00:00."""
    hours = cues[0].start // HOUR
    if not hours:
        return cues, []
    off = hours * HOUR
    what = f"The first caption is at hour {hours}, as where a timeline begins at {hours:02}:00:00:00"
    told = note(cues[0].where, "hour-offset", f"{what}: times here are {count_of(hours, 'hour')} less.")
    moved = [
        replace(cue, start=cue.start - off, end=cue.end - off, stamps=tuple((at, ms - off) for at, ms in cue.stamps))
        for cue in cues
    ]
    return moved, [told]
