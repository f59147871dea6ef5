"""What a shot asks of the texts over its picture."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator

from lessonplan.course.values.fields import FactText, Item, MinutesOfADay, Shorthand, Text


def _cue(value: Any) -> Any:
    return {"show": value} if isinstance(value, str) else value


class CueAsked(Item):
    """What a shot asks of its texts over the picture: one more to ``show``, or a computed one to ``leave_out``.

    ``at`` says when: words of the shot, ``the start``, ``the end``, or a time from its start; ``stays`` how long.
    ``instead_of`` and ``leave_out`` name computed ones by their kind, or by words that stand in them.
    """

    show: FactText = ""
    """A text to show, one more than is computed. Example: Count twice"""
    at: Text = ""
    """When: words of the shot, the start, the end, or a time from its start. Example: the start"""
    stays: MinutesOfADay | None = None
    """How long it stays. Example: 5 s"""
    instead_of: Text = ""
    """The computed one that it takes the place of, by its kind or its words. Example: stitches"""
    leave_out: Text = ""
    """A computed one that is left out, by its kind or its words. Example: stitches"""


AskedCue = Annotated[CueAsked, BeforeValidator(_cue), Shorthand()]
"""One of a shot's ``cues``; a text alone is one to show."""
