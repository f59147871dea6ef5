"""What was agreed with the sample knitters, kept in ``agreed.yaml``: lasting names of shots and pieces, and progress.

Numbers of shots and letters of pieces come out of the plan and change with it. Once the host has agreed on a plan, each
shot has a slate and each piece a letter that stay; everything written afterwards refers to these.
"""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from lessonplan.course.model.lesser import PieceKind
from lessonplan.course.values.fields import SCALAR, Count, Day, Item, Kind, Names, Text
from lessonplan.course.values.quantities import read_duration

APART = re.compile(r"^(?P<slate>[1-9]\d{0,5})(?: (?P<place>[a-z]))?(?P<copy>(?: take \d{1,3}| spare)?)$")
"""What a piece was set apart for, or comes to: a shot's slate, the piece's place on its table, and which copy."""

BROKEN = "broken"
"""Progress of a piece that is spoilt: nothing is left of it, and what is made anew has its letter."""


def _places(names: tuple[str, ...]) -> tuple[str, ...]:
    """Take places of pieces on tables. Raises ValueError."""
    wrong = next((name for name in names if not APART.fullmatch(name)), None)
    if wrong is not None:
        raise ValueError(f"“{wrong}” is no slate with a place on its table, such as “26 b” or “31 take 2”")
    return names


class AgreedShot(Item):
    """A shot as it was agreed: its ``slate``, the number it had then, and what it is found again by.

    ``gone``: it was not among the shots any more when that was agreed.
    """

    slate: Count
    """The number that stays with the shot. Example: 12"""
    shot: Text
    """The number that the shot had when it was agreed. Example: 1.4.3"""
    segment: Text = ""
    """The title of its segment then. Example: A rib that hugs the wrist"""
    title: Text = ""
    """Its title then. Example: How long is long enough?"""
    begins: Text = ""
    """The first words that were said in it then. Example: after cuff rounds rounds it looks"""
    gone: bool = False
    """Whether it was among the shots no more when that was agreed. Example: yes"""


class AgreedPiece(Item):
    """A piece as it was agreed: how far it is knitted before the shoot, by whom and in which days.

    ``needed`` and ``made`` tell a shoot day that is moved, and a pattern that has other rounds before the same stop.
    ``only_for``: what it was set apart for, a piece on the table by its shot's slate: ``26 b``, ``26 b take 2``;
    ``serves``: all that it comes to, in this order, so that a later plan of equal cost leaves it there.
    """

    letter: Annotated[Text, Field(pattern=r"^[A-Z]{1,3}$")]
    """The letter that stays with the piece. Example: G"""
    kind: PieceKind = "full"
    """Whether it is a full piece, a short or a small one. Example: short"""
    stop: Text
    """How far it is knitted before the shoot. Example: edge round 4"""
    knitter: Text = ""
    """Who makes it. Example: Bodil Tweddlecroft"""
    starts: Day | None = None
    """The day on which it is begun. Example: 2027-02-01"""
    ready: Day | None = None
    """The day on which it is ready. Example: 2027-02-05"""
    needed: Day | None = None
    """The shoot day that first needs it. Example: 2027-02-13"""
    made: Text = ""
    """What is made of it by its stop, as the pattern was then. Example: "61 rounds, 5240 stitches\""""
    drawer: Text = ""
    """The piece from the drawer that it is. Example: the trial mitten"""
    only_for: Annotated[Text, Field(pattern=APART.pattern)] = ""
    """What it was set apart for: a slate, and its place on that table. Example: 26 b"""
    serves: Annotated[Names, AfterValidator(_places)] = ()
    """What it comes to, each as a slate and its place on that table. Example: "26 b, 31, 32 take 2\""""
    comes_to: Annotated[Text, Field(pattern=APART.pattern)] = ""
    """Where it is needed first, as agreements said it before ``serves``. Example: 26 b"""


class Agreed(Item):
    """The whole of ``agreed.yaml``.

    ``course``: the course's title at the first agreement, by which calendars know its entries. ``times`` counts the
    agreements, the first one too.
    """

    course: Text = ""
    """The course's title at the first agreement, by which calendars know it. Example: A Pair of Mittens"""
    on: Day | None = None
    """The day of the agreement. Example: 2027-01-02"""
    times: Count = 1
    """How often it was agreed, the first time counted. In agreements. Example: 1"""
    shots: tuple[AgreedShot, ...] = ()
    """The shots that were agreed. Example: [{slate: 12, shot: 1.4.3}]"""
    pieces: tuple[AgreedPiece, ...] = ()
    """The pieces that were agreed. Example: [{letter: G, stop: edge round 4}]"""
    progress: Annotated[
        dict[str, Text],
        BeforeValidator(lambda value: {} if value is None else value),
        Kind(
            "letters of pieces, each with a state",
            {"type": ["object", "null"], "additionalProperties": SCALAR},
            ", ".join,
        ),
    ] = {}
    """How far pieces are, and the time they took so far; “broken” for one of which nothing is left.
    Example: {M: "edge, 1 h 45 min"}"""


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
