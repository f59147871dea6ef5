"""What a shot asks of the texts over its picture."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator

from lessonplan.course.fields import FactText, Item, MinutesOfADay, Text


def _cue(value: Any) -> Any:
    return {"show": value} if isinstance(value, str) else value


class CueAsked(Item):
    """What a shot asks of its texts over the picture: one more to ``show``, or a computed one to ``leave_out``.

    ``at`` says when: words of the shot, ``the start``, ``the end``, or a time from its start; ``stays`` how long.
    ``instead_of`` and ``leave_out`` name computed ones by their kind, or by words that stand in them.
    """

    show: FactText = ""
    at: Text = ""
    stays: MinutesOfADay | None = None
    instead_of: Text = ""
    leave_out: Text = ""


AskedCue = Annotated[CueAsked, BeforeValidator(_cue)]
"""One of a shot's ``cues``; a text alone is one to show."""
