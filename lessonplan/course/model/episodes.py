"""An episode as the teacher wrote it: its segments, their shots, and all that stands in a shot."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from lessonplan.course.problems import nearest
from lessonplan.course.values.fields import (
    Count,
    FactText,
    FactTexts,
    Item,
    MinutesOfADay,
    Names,
    Shorthand,
    Text,
    Whole,
    text_of,
)


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


MENTIONED = ("another video", "the kit", "the handout", "the errata page", "next episode")
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
    """What it is: another video, the kit, the handout, the errata page or next episode. Example: another video"""
    of: FactText = ""
    """What of it, such as the name of the video. Example: How to wash wool"""


class PieceOnTable(Item):
    """A piece in a shot: the state it must be in, the state it is left in, and the kinds that will do.

    A piece that is only shown may instead stand in any of the states that it ``shows``. A piece that is ``apart``
    serves no other shot: it is made wrong on purpose, or spoiled.
    """

    needs: Text = ""
    """How far the piece must be when the shot begins. Example: before edge"""
    shows: Text = ""
    """How far it may be, for a piece that is only shown. Example: edge or later"""
    leaves: Text = ""
    """How far it is when the shot ends, where it is worked on. Example: edge round 4"""
    kinds: Annotated[Names, Field(min_length=1)] = ("full",)
    """Which kinds of piece will do: full, short (rounds left out), small (fewer stitches). Example: full, small"""
    spare: Annotated[Whole, Field(le=9)] = 0
    """How many pieces more lie ready in case something goes wrong. In pieces. Example: 1"""
    apart: bool = False
    """Whether this piece serves no other shot, such as one made wrong on purpose. Example: yes"""
    name: Text = ""
    """What the piece is called on the sheets. Example: the tight one"""
    note: FactText = ""
    """What whoever makes this piece must know. Example: Work a wrong purl into it on purpose."""


class Hands(Item):
    """One thing the hands do live: a line that is worked on camera, or anything else with its time."""

    work: Text = ""
    """A line that is worked on camera. Example: k1, p1"""
    do: FactText = ""
    """Anything else that the hands do, in words; it needs its time. Example: measure the cuff"""
    time: MinutesOfADay | None = None
    """How long it takes; for a line instead of what is computed. Example: 20 s"""


def _point(value: Any) -> Any:
    """Take a point to be made from one line: ``why it was washed, 20 s``."""
    if isinstance(value, str):
        text, comma, time = value.rpartition(",")
        if not comma:
            raise ValueError(f"“{value}” should end with its time, for example “{value.strip()}, 20 s”")
        return {"text": text.strip(), "time": time}
    return value


class SpokenPoint(Item):
    """A point that the host makes in her own words, and how long she takes over it."""

    text: FactText
    """What the host says in her own words. Example: why it was washed"""
    time: MinutesOfADay
    """How long she takes over it. Example: 20 s"""


class Notes(Item):
    """Remarks on a shot, each for its reader: the host, the sample knitters, the editor, the helper on the floor."""

    host: FactText = ""
    """For the host. Example: Only the first stitches are worked."""
    knitter: FactText = ""
    """For the sample knitters. Example: Leave the tail long."""
    editor: FactText = ""
    """For the editor. Example: The second half may be sped up."""
    helper: FactText = ""
    """For the helper on the floor. Example: Hand her the needle."""


class Shot(Item):
    """One shot: its view, what lies on the table, what the hands do and what is said.

    ``must_say``: lines that must be heard in the video; ``mentions``: what viewers are referred to.
    """

    view: Text
    """Which way the camera looks. Example: overhead"""
    title: FactText = ""
    """What the shot is called on the sheets. Example: The first round"""
    slate: Count | None = None
    """The number that stays with the shot, given by “lessonplan agree”. Example: 12"""
    pieces: Annotated[tuple[PieceOnTable, ...], Field(max_length=50)] = ()
    """The pieces on the table, each with how far it is. Example: [{needs: before edge}]"""
    tools: Names = ()
    """What else lies on the table. Example: scissors, tape measure"""
    hands: Annotated[tuple[Hands, ...], Field(max_length=200)] = ()
    """What the hands do, one after the other. Example: [{work: "k1, p1"}]"""
    say: FactText = ""
    """What is said, word for word; numbers are named as facts. Example: We cast on and join."""
    points: tuple[Annotated[SpokenPoint, BeforeValidator(_point), Shorthand()], ...] = ()
    """What is said in the host's own words, each with its time. Example: ["why it was washed, 20 s"]"""
    must_say: FactTexts = ()
    """Lines that must be heard in the video, one a line. Example: [The kit was a gift.]"""
    mentions: Annotated[
        tuple[Annotated[Mention, BeforeValidator(mention_line), Shorthand()], ...],
        BeforeValidator(mention_lines),
        Shorthand(each=True),
    ] = ()
    """What viewers are referred to: another video, the kit, the handout, the errata page, next episode.
    Example: the kit, the handout"""
    on_screen: FactTexts = ()
    """Texts over the picture, one a line. Example: [Then the body]"""
    cues: tuple[AskedCue, ...] = ()
    """What the shot asks of its computed texts over the picture. Example: ["Count twice"]"""
    takes: Annotated[Count, Field(le=20)] = 2
    """How often the shot is filmed. In takes. Example: 3"""
    one_way: bool = False
    """Whether what a take does cannot be undone, so that each needs a fresh piece; what can be is ripped back between
    the takes, as long as the camera may wait for that, and else each take has a piece too. Example: yes"""
    hold: MinutesOfADay | None = None
    """How long everybody stays still at the end of each take, if otherwise than usual. Example: 8 s"""
    runs_on: bool = False
    """Whether it runs on from the shot before it, without a break. Example: yes"""
    shows: Literal["", "all"] = ""
    """“all” where all of the work is seen, so that none of it is done off camera. Example: all"""
    can_drop: bool = False
    """Whether the shot may be left out when the day grows too long. Example: yes"""
    after: Names = ()
    """Shots or segments that must be filmed before this one. Example: 1.1"""
    notes: Notes = Notes()
    """Remarks, each for its reader. Example: {editor: The second half may be sped up.}"""
    note: FactText = ""
    """A remark for the host. Example: Take them back for the next take."""


class Segment(Item):
    """A segment of an episode, usually one technique; its shots in the order of the story.

    ``handout`` is printed at the stage that the segment shows, or at the ``stage`` named.
    """

    title: FactText
    """What the segment is called. Example: A rib that hugs the wrist"""
    chapter: bool = True
    """Whether a chapter of the video begins here. Example: no"""
    in_order: bool = False
    """Whether its shots must be filmed in the order of the story. Example: yes"""
    shots: Annotated[tuple[Shot, ...], Field(min_length=1)]
    """The shots in the order of the story. Example: [{view: overhead}]"""
    watch_for: FactText = ""
    """What viewers are to watch for, on the handout. Example: The yarn goes between the needles."""
    handout: FactText = ""
    """What the handout says at the stage that the segment shows. Example: For a longer cuff add rounds here."""
    stage: Text = ""
    """The stage at which the handout prints it, if another one. Example: edge"""


class Episode(Item):
    """One file of ``episodes/``; ``kept``: some words of each promise that is kept, and what shows it."""

    episode: Count
    """The number of the episode. Example: 1"""
    title: Text
    """What it is called. Example: The cuff"""
    summary: FactText = ""
    """What viewers read about it. Example: We cast on and knit the cuff."""
    segments: Annotated[tuple[Segment, ...], Field(min_length=1)]
    """Its segments in the order of the story. Example: [{title: Hello, shots: [{view: face}]}]"""
    kept: dict[str, Text] = {}
    """Some words of each promise that is kept, and what shows it: an address, a later shot, a time of the video.
    Example: {link below: "https://example.org/wool"}"""
    cuts_made: Names = ()
    """Which cuts of the editor's sheet, faster stretches among them, are made in the video that viewers have, all or
    those that begin at some times of the captions, until captions of the video so cut are kept. Example: all"""
