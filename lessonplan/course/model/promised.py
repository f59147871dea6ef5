"""What a shot refers its viewers to, as the course has it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from lessonplan.course.problems import nearest
from lessonplan.course.values.fields import FactText, Item, Text, text_of

MENTIONED = ("another video", "the kit", "the handout", "next episode")
"""What a shot can mention."""


def mention_line(value: Any) -> Any:
    """Take what a shot mentions from one line: ``the kit``, or with what of it: ``another video: How to wash wool``."""
    if isinstance(value, Mapping) and len(value) == 1 and "what" not in value:
        value = ": ".join(map(text_of, next(iter(value.items()))))  # YAML takes an unquoted colon for a key
    if not isinstance(value, str):
        return value
    what, _, of = (part.strip() for part in value.partition(":"))
    known = re.sub(r"^the next episode$", "next episode", " ".join(what.casefold().split()))
    if known not in MENTIONED:
        near = nearest(known, MENTIONED)
        hint = f"; did you mean “{near}”?" if near else ""
        raise ValueError(f"“{what}” is nothing that a shot can mention ({', '.join(MENTIONED)}){hint}")
    if known == "another video" and not of:
        raise ValueError("“another video” needs its name, for example “another video: How to wash wool”")
    return {"what": known, "of": of}


def mention_lines(value: Any) -> Any:
    """Take a list, or the lines of one text; what has no colon may stand in one line, parted by commas."""
    if isinstance(value, Mapping) and "what" not in value:
        return [f"{what}: {text_of(of)}" for what, of in value.items()]
    if not isinstance(value, str):
        return value
    lines = (line for text in value.splitlines() for line in ([text] if ":" in text else text.split(",")))
    return [line.strip() for line in lines if line.strip()]


class Mention(Item):
    """What a shot refers its viewers to, and what of it (another video by its name)."""

    what: Text
    """What it is: another video, the kit, the handout or next episode. Example: another video"""
    of: FactText = ""
    """What of it, such as the name of the video. Example: How to wash wool"""
