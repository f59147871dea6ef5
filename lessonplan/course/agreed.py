"""What was agreed with the sample knitters, kept in ``agreed.yaml``: lasting names of shots and pieces, and progress.

Numbers of shots and letters of pieces come out of the plan and change with it. Once the host has agreed on a plan, each
shot has a slate and each piece a letter that stay; everything written afterwards refers to these.
"""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from lessonplan.course.fields import Count, Day, Item, Text
from lessonplan.course.quantities import read_duration

APART = re.compile(r"^(?P<slate>[1-9]\d{0,5})(?: (?P<place>[a-z]))?(?P<copy>(?: take \d{1,3}| spare)?)$")
"""What a piece was set apart for, or comes to first: a shot's slate, the piece's place on its table, and which copy."""


class AgreedShot(Item):
    """A shot as it was agreed: its ``slate``, the number it had then, and what it is found again by.

    ``gone``: it was not among the shots any more when that was agreed.
    """

    slate: Count
    shot: Text
    segment: Text = ""
    title: Text = ""
    begins: Text = ""
    gone: bool = False


class AgreedPiece(Item):
    """A piece as it was agreed: how far it is knitted before the shoot, by whom and in which days.

    ``only_for``: what it was set apart for, a piece on the table by its shot's slate: ``26 b``, ``26 b take 2``;
    ``comes_to``: where it is needed first, said of pieces that could change places since they stop alike.
    """

    letter: Annotated[Text, Field(pattern=r"^[A-Z]{1,3}$")]
    kind: Literal["full", "short", "small"] = "full"
    stop: Text
    knitter: Text = ""
    starts: Day | None = None
    ready: Day | None = None
    drawer: Text = ""
    only_for: Annotated[Text, Field(pattern=APART.pattern)] = ""
    comes_to: Annotated[Text, Field(pattern=APART.pattern)] = ""


class Agreed(Item):
    """The whole of ``agreed.yaml``.

    ``course``: the course's title at the first agreement, by which calendars know its entries. ``times`` counts the
    agreements, the first one too.
    """

    course: Text = ""
    on: Day | None = None
    times: Count = 1
    shots: tuple[AgreedShot, ...] = ()
    pieces: tuple[AgreedPiece, ...] = ()
    progress: Annotated[dict[str, Text], BeforeValidator(lambda value: {} if value is None else value)] = {}


def progress_of(text: str) -> tuple[str, float | None]:
    """Part progress into the state and the minutes so far, if they are said: ``cuff round 12, 1 h 40 min``."""
    for comma in re.finditer(",", text):
        try:
            return text[: comma.start()].strip(), read_duration(in_full(text[comma.end() :]))
        except ValueError:
            continue
    return text.strip(), None


def in_full(time: str) -> str:
    """Give a time with its last unit, which people leave out when they say it: ``1 h 40`` is ``1 h 40 min``."""
    time = time.strip()
    return f"{time} min" if re.fullmatch(r"[0-9]+ *h(?:ours?)? *[0-9]{1,2}", time) else time
