"""What was agreed with the sample knitters, kept in ``agreed.yaml``: lasting names of shots and pieces, and progress.

Numbers of shots and letters of pieces come out of the plan and change with it. Once the host has agreed on a plan, each
shot has a slate and each piece a letter that stay; everything written afterwards refers to these.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from lessonplan.course.fields import Count, Day, Item, Names, Text


class AgreedShot(Item):
    """A shot as it was agreed: its ``slate``, the number it had then, and what it is found again by."""

    slate: Count
    shot: Text
    segment: Text = ""
    title: Text = ""
    begins: Text = ""


class AgreedPiece(Item):
    """A piece as it was agreed: how far it is knitted before the shoot, by whom, in which days, for which slates."""

    letter: Annotated[Text, Field(pattern=r"^[A-Z]{1,3}$")]
    kind: Literal["full", "short", "small"] = "full"
    stop: Text
    knitter: Text = ""
    starts: Day | None = None
    ready: Day | None = None
    drawer: Text = ""
    slates: Names = ()


class Agreed(Item):
    """The whole of ``agreed.yaml``. ``times`` counts the agreements, the first one too."""

    on: Day | None = None
    times: Count = 1
    shots: tuple[AgreedShot, ...] = ()
    pieces: tuple[AgreedPiece, ...] = ()
    progress: Annotated[dict[str, Text], BeforeValidator(lambda value: {} if value is None else value)] = {}
