"""What ``course.yaml`` is made of: paces, people, cameras, days, tools and samples, each key with what it means.

Below each key stands its meaning, the unit of a plain number, and an example: what ``lessonplan keys`` prints.

The paces, minutes and weights that stand where a course says nothing are planning guesses, from memory; ``speech`` lies
in the range that Lucas, The Art of Public Speaking, gives for US speakers (tests/facts/speech_caption_demo.csv).
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from lessonplan.course.model.groups import short_forms
from lessonplan.course.model.lesser import PieceKind
from lessonplan.course.model.publishing import Kit, Release
from lessonplan.course.values.fields import (
    Amount,
    Clock,
    Count,
    Day,
    FactText,
    FactTexts,
    Filmed,
    Item,
    Minutes,
    MinutesOfADay,
    Names,
    Number,
    People,
    Periods,
    Shorthand,
    Text,
    Whole,
)
from lessonplan.course.values.rates import RATES, FrameRate


class Pace(Item):
    """The host's paces: stitches a minute at the bench and on camera, words a minute, and minutes on the floor."""

    knitting: Number = 25.0
    """How fast the host works at home, nobody watching. In stitches a minute. Example: 28"""
    on_camera: Number = 15.0
    """How fast she works when every stitch must be seen. In stitches a minute. Example: 14"""
    speech: Number = 135.0
    """How fast she speaks with her hands at rest. In words a minute. Example: 132"""
    set_up: MinutesOfADay = 45.0
    """How long lights, table and cameras take before the first shot of a day. Example: 45 min"""
    view_change: MinutesOfADay = 4.0
    """How long it takes to change from one view to another. Example: 8 min"""
    tray_change: MinutesOfADay = 2.0
    """How long it takes to clear the table and lay it for the next segment. Example: 5 min"""
    reset: MinutesOfADay = 1.0
    """How long it takes to go back to the beginning of a shot for the next take, and longer where a piece must be
    ripped back for it. Example: 2 min"""
    swap: MinutesOfADay = 0.5
    """How long it takes from a shot to the next one, where neither view nor tray changes. Example: 30 s"""
    opening: MinutesOfADay = 5 / 60
    """The moment before each take in which the camera runs and nobody speaks; it is cut away. Example: 5 s"""
    hold: MinutesOfADay = 4 / 60
    """How long everybody stays still at the end of each take; it is cut away. Example: 4 s"""
    over_all: Number | None = None
    """How fast she speaks over all of a video, silent work too; for comparing only. In words a minute. Example: 90"""


class Knitter(Item):
    """Someone who makes step samples before the shoot."""

    name: Text
    """What she is called on the papers. Example: Bodil Tweddlecroft"""
    pace: Number = 25.0
    """A first guess at her pace, until finished pieces tell a better one. In stitches a minute. Example: 30"""
    learn: bool = True
    """Whether what finished pieces tell of her pace goes before the one typed here. Example: no"""
    hours_per_week: Annotated[Amount, Field(le=100)] = 5.0
    """How long she has for the samples. In hours a week. Example: 6"""
    starts: Day | None = None
    """The first day on which she can work on them. Example: 2027-01-04"""
    away: Periods = ()
    """Days on which she makes nothing, single days or periods. Example: 2027-01-22 to 2027-01-24"""


class Camera(Item):
    """A camera, and how far its clock is ahead of (or behind) the clocks of the tablets on which takes are logged."""

    name: Text
    """What the camera is called in the take log. Example: A"""
    ahead: MinutesOfADay = 0.0
    """How much later the camera's clock is than the tablet's. Example: 12 s"""
    behind: MinutesOfADay = 0.0
    """How much earlier the camera's clock is than the tablet's. Example: 3 s"""

    @property
    def offset(self) -> int:
        """Seconds to add to a tablet's clock to have this camera's."""
        return round((self.ahead - self.behind) * 60)


def _lunch(value: Any) -> Any:
    if isinstance(value, str):
        at, _, length = re.sub(r"\s*,\s*", " for ", value, count=1).partition(" for ")
        if not re.fullmatch(r"\s*\d{1,2}[:.]\d{2}\s*", at):
            raise ValueError(f"“{value}” should be the time and how long, such as “12:30 for 45 min”")
        return {"at": at, "takes": length or "45 min"}
    return value


class Lunch(Item):
    """When lunch is due, and how long it takes."""

    at: Clock
    """When lunch is due, on a clock of 24 hours. Example: 12:45"""
    takes: MinutesOfADay
    """How long lunch takes. Example: 45 min"""


class ShootDay(Item):
    """One day of filming: when it starts and must end, who helps, and what is filmed in which order."""

    day: Day
    """The date. Example: 2027-02-13"""
    call: Clock = 9 * 60
    """When everybody is there and sets up, on a clock of 24 hours. Example: 9:00"""
    wrap: Clock = 17 * 60
    """When filming must be over. Example: 16:00"""
    lunch: Annotated[Lunch | None, BeforeValidator(_lunch), Shorthand()] = None
    """When lunch is due, and for how long. Example: 12:45 for 45 min"""
    place: Text = ""
    """Where it is filmed. Example: The Net Loft, upstairs"""
    helpers: People = ()
    """Who goes on with pieces between the shots; a knitter named here keeps her pace. Example: Ida and Bo"""
    films: Filmed
    """What is filmed, in this order: shots (1.3.2), segments (1.3), whole episodes (2). Example: 1.1, 1.3 to 1.5, 2"""
    night_knitting: MinutesOfADay = 0.0
    """How much can be knitted on after the wrap, before the next morning. Example: 1 h 30 min"""
    knits_in_breaks: bool = False
    """Whether helpers go on in lunch and rests too, and take their own breaks at other times. Example: yes"""


class Drawer(Item):
    """A piece that exists already."""

    name: Text
    """What this piece is called. Example: the trial mitten"""
    kind: PieceKind = "full"
    """Whether it is a full piece, a short one (rounds left out) or a small one (fewer stitches). Example: full"""
    state: Text
    """How far it is, in the words of the stages. Example: cuff round 9"""
    not_in: Filmed = ()
    """Shots, segments and episodes in which it is not shown, such as for its colour. Example: 1.1.2, 3"""


class Weights(Item):
    """What the choice of samples weighs, in minutes at the bench."""

    piece: Minutes = 20.0
    """How much work at the bench one piece more is worth. Example: 20 min"""
    floor: Number = 1.5
    """How much a minute of work on the shoot day weighs. In minutes at the bench. Example: 1.5"""
    waiting: Number = 8.0
    """How much a minute weighs in which the camera waits. In minutes at the bench. Example: 8"""


class Tool(Item):
    """A tool of the course."""

    what: Text = ""
    """What is packed, in words. Example: three, one of them different"""
    also: Names = ()
    """Other names that shots give this tool. Example: marker, two markers"""
    holds: Names = ()
    """The tools that this name stands for. Example: MC, CC"""
    viewers_make: Text = ""
    """What viewers make themselves to have it, before the first episode that shows it. Example: a washed swatch"""
    viewers_only_if: Text = ""
    """On which condition alone viewers need it; the shoot has it in any case. Example: you steam"""


class Samples(Item):
    """How step samples are chosen and when they are due."""

    weights: Weights = Weights()
    """What the choice of samples weighs against what. Example: {piece: 30 min}"""
    drawer: tuple[Drawer, ...] = ()
    """Pieces that exist already, and how far each is. Example: [{name: the trial cuff, state: cuff round 9}]"""
    days_to_spare: Annotated[Whole, Field(le=365)] = 2
    """How long before it is filmed every sample lies ready. In days. Example: 3"""
    camera_may_wait: MinutesOfADay = 3.0
    """How long everybody may stand by while a piece is worked on, or ripped back for the next take. Example: 3 min"""


def _address(value: str) -> str:
    # Signs that RFC 3986 has in no address would end it where it is pasted.
    if value and not re.fullmatch(r"https?://[^\s/<>\"{}|\\^`]+\.[^\s/<>\"{}|\\^`]+(/[^\s<>\"{}|\\^`]*)?", value):
        raise ValueError(f"“{value}” is no address of a page, such as https://example.org/mittens")
    return value


class CourseFile(Item):
    """The whole of ``course.yaml``. ``contact`` (whom viewers write to) and ``copyright`` stand on the handout.

    ``cues`` are the kinds of texts over the picture that are computed; ``frame_rate`` is that of the edit; ``address``
    is where the newest handout is found, ``errata_address`` the errata page.

    In any craft ``makers`` may be written for ``knitters``, ``maker`` for a note's ``knitter``, and ``night_work`` for
    ``night_knitting``.
    """

    title: Text
    """What the course is called. Example: A Pair of Ostrelby Mittens"""
    host: Text
    """Who teaches it. Example: Minna Quillbeck"""
    edition: Count = 1
    """Which edition this is; 1 until viewers have an earlier one. Example: 2"""
    place: Text = ""
    """Where the course comes from. Example: The Net Loft, Ostrelby"""
    summary: FactText = ""
    """What viewers read first: a few sentences about the course. Example: We knit a pair of warm mittens."""
    language: Annotated[Text, Field(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]+)*$")] = "en"
    """The language of the pages, by its code. Example: en"""
    film_size: Text = ""
    """The size that is held in the hands on camera. Example: Medium"""
    recipient: Literal["adult", "child", "child under 3"] = "adult"
    """Whom the finished thing is for, which decides its cautions. Example: child"""
    cautions: FactTexts = ()
    """Cautions of your own, for every paper that people act from. Example: Mind the hot iron."""
    contact: Text = ""
    """Whom viewers can write to, on the handout. Example: minna@example.org"""
    address: Annotated[Text, AfterValidator(_address)] = ""
    """Where viewers find the newest handout. Example: https://example.org/mittens"""
    errata_address: Annotated[Text, AfterValidator(_address)] = ""
    """Where viewers find the errata page. Example: https://example.org/mittens/errata"""
    copyright: Text = ""
    """Whose the handout is, and what may be done with it. Example: Minna Quillbeck, for your own knitting"""
    pace: Pace = Pace()
    """The host's paces. Example: {knitting: 28, speech: 132}"""
    learnt: Text = ""
    """The file of learnt paces that the plan goes by. Example: learnt.yaml"""
    techniques: dict[str, Number] = {}
    """How long techniques take, each against one knit stitch. In times a knit stitch. Example: {k2tog: 1.8}"""
    views: Names = ()
    """All views of the camera, so that a slip in a shot's view is noticed. Example: face, overhead"""
    tools: Annotated[dict[str, Tool], short_forms("what"), Shorthand("what", each=True)] = {}
    """The tools of the shots, each by one name with what is packed. Example: {scissors: sharp ones}"""
    paper: Literal["a4", "letter"] = "a4"
    """The size of the printed papers. Example: letter"""
    frame_rate: FrameRate = RATES["25"]
    """How many pictures a second the edit has. Example: 29.97 drop"""
    cues: Names = ("all",)
    """The kinds of texts over the picture that are computed. Example: all"""
    knitters: Annotated[tuple[Knitter, ...], Field(max_length=100)] = ()
    """Who makes the step samples before the shoot. Example: [{name: Bodil, pace: 30}]"""
    cameras: tuple[Camera, ...] = ()
    """The cameras, with how far their clocks are off. Example: [{name: A, ahead: 12 s}]"""
    order: Literal["as listed", "as told", "by view", "cheapest"] = "as listed"
    """In which order the shots of a day are filmed. Example: cheapest"""
    shoot: Annotated[tuple[ShootDay, ...], Field(min_length=1, max_length=200)]
    """The days of filming. Example: [{day: 2027-02-13, films: 1.1}]"""
    samples: Samples = Samples()
    """How step samples are chosen and when they are due. Example: {days_to_spare: 3}"""
    release: Release | None = None
    """When the episodes come out for viewers. Example: {first: 2027-03-01}"""
    kit: Kit | None = None
    """What is packed for viewers, and how many kits. Example: {holds: MC, spare: 5 %}"""
