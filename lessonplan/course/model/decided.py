"""What was decided about the findings of proofing, kept in ``proofed.yaml``: dismissed for good, or taken over."""

from __future__ import annotations

from lessonplan.course.values.fields import Count, Item, Text


class Decided(Item):
    """A finding that was decided on: its episode and kind, and the words by which it is known again.

    ``why`` is a remark of the teacher's own.
    """

    episode: Count
    kind: Text
    words: Text
    why: Text = ""


class Decisions(Item):
    """The whole of ``proofed.yaml``: findings dismissed for good, and those that went to the errata."""

    dismissed: tuple[Decided, ...] = ()
    taken_over: tuple[Decided, ...] = ()
