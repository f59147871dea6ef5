"""Plain transcripts: paragraphs with a time at the start, in any form that people and programs usually write.

``0:00``, ``1:02:03``, ``00:01:02.5``, in brackets or not, with a dash, a colon or nothing behind; a span of two times;
on the line of the words or on a line of its own above them; with the speaker's name before, behind or on the line
between. What stands before the first time is a title and not read.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from lessonplan.edit.captions.subrip import Block

LONGEST = 200
"""So many signs of a line are looked at for its time."""
_TIME = (
    r"(?:(?P<{0}h>[0-9]{{1,3}}):)?(?P<{0}m>[0-9]{{1,3}}):(?P<{0}s>[0-5][0-9])"
    r"(?:[.,](?P<{0}t>[0-9]{{1,3}})|:(?P<{0}f>[0-9]{{2}}))?"
)
_NO_MORE = r"(?![0-9:.,]*[0-9])"
_NAME = r"[^\W\d_][\w.'’-]*(?: [\w.'’-]+){0,2}"
_STARTS = re.compile(
    rf"[\s>*•#-]*(?:(?P<name>{_NAME})\s*[\s:]\s*)?"
    rf"(?P<open>[\[(<{{]\s*)?{_TIME.format('a')}{_NO_MORE}"
    rf"(?:\s*(?:-->|->|[-–—]|to)\s*{_TIME.format('b')}{_NO_MORE})?"
    r"(?(open)\s*[\])>}])(?P<rest>\**\s*(?:[-–—|:.]+(?=\s|$)\s*)?(?P<text>.*))"
)
_NAMED = re.compile(_NAME)
_SPEAKER = re.compile(rf"\s*(?P<voice>{_NAME}):\s+(?=\S)")


def parse(text: str) -> tuple[Block, ...]:
    """Read the paragraphs of a transcript, in the order of the file; their ends are not known, if they are not said."""
    found = list[tuple[int, int, int | None, str, list[str]]]()
    for row, line in enumerate(re.split(r"\r\n|\r|\n|\u2028|\u2029", text), 1):
        time = _time_of(line)
        if time:
            found.append((row, time[0], time[1], time[2], [time[3]]))
        elif found:
            found[-1][4].append(line)
    blocks = [_block(*one) for one in found]
    named = [_SPEAKER.match(block.text) for block in blocks]
    # Such words are names where most paragraphs have them; “Remember: ...” now and then is none.
    if 2 * sum(one is not None for one in named) < len(blocks):
        return tuple(_named_above(blocks))
    return tuple(
        replace(block, voice=one["voice"], text=block.text[one.end() :]) if one and not block.voice else block
        for block, one in zip(blocks, named, strict=True)
    )


def _named_above(blocks: Sequence[Block]) -> Sequence[Block]:
    """Take for speakers what stands on a line of its own above the words of most paragraphs, again and again."""
    parts = [block.text.partition("\n") for block in blocks]
    firsts = Counter(first for first, _, rest in parts if rest and first[0].isupper() and _NAMED.fullmatch(first))
    names = {name for name, times in firsts.items() if times > 1}
    if 2 * sum(firsts[name] for name in names) < len(blocks):
        return blocks
    return [
        replace(block, voice=block.voice or first, text=rest) if rest and first in names else block
        for block, (first, _, rest) in zip(blocks, parts, strict=True)
    ]


def _time_of(line: str) -> tuple[int, int | None, str, str] | None:
    """Give the times at the start of a line, the name before them, and the rest of it; None where there is no time."""
    found = _STARTS.match(line[:LONGEST])
    if not found:
        return None
    name, rest = found["name"] or "", found["text"] + line[LONGEST:]
    if name and (rest or not name[0].isupper()):
        return None  # “At 0:30 we begin” is a sentence; “Ada 0:30” alone on its line is a heading
    if rest and rest[0].isalnum() and found["rest"][0] == rest[0] and not found["open"]:
        return None  # 0:30pm
    minutes = int(found["am"])
    if found["ah"] and minutes > 59:
        return None
    return _milliseconds(found, "a"), _milliseconds(found, "b") if found["bm"] else None, name, rest


def _milliseconds(found: re.Match[str], which: str) -> int:
    """Give a time in milliseconds; frames behind the seconds are left out, since their rate is not known."""
    hours, minutes, seconds = (int(found[which + part] or 0) for part in "hms")
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + int((found[which + "t"] or "0").ljust(3, "0"))


def _block(row: int, start: int, end: int | None, name: str, lines: list[str]) -> Block:
    said = "\n".join(line.strip() for line in lines if line.strip())
    return Block(start=start, end=end, text=said, row=row, voice=name)
