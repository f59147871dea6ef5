"""The whole course as the teacher wrote it: people, shoot days, episodes with their shots, and the errata log."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import AfterValidator, BeforeValidator, Field

from lessonplan.course.agreed import Agreed
from lessonplan.course.fields import (
    Amount,
    Clock,
    Count,
    Day,
    FactText,
    FactTexts,
    Item,
    Minutes,
    MinutesOfADay,
    Names,
    Number,
    People,
    Period,
    Text,
    Whole,
)
from lessonplan.course.groups import short_forms
from lessonplan.course.numbers import ShotNumber
from lessonplan.course.overlaid import AskedCue
from lessonplan.course.pattern_model import Pattern, Stage, Work
from lessonplan.course.promised import Mention, mention_line, mention_lines
from lessonplan.course.publishing import Kit, Published, Release
from lessonplan.course.rates import RATES, FrameRate


class Pace(Item):
    """The host's paces: stitches a minute at the bench and on camera, words a minute, and minutes on the floor.

    ``speech`` is with the hands at rest; ``over_all`` counts all of a video, silent handwork too. It is for comparing
    only, known from earlier videos (``lessonplan pace``).
    """

    knitting: Number = 25.0
    on_camera: Number = 15.0
    speech: Number = 135.0
    set_up: MinutesOfADay = 45.0
    view_change: MinutesOfADay = 4.0
    tray_change: MinutesOfADay = 2.0
    reset: MinutesOfADay = 1.0
    swap: MinutesOfADay = 0.5
    opening: MinutesOfADay = 5 / 60
    hold: MinutesOfADay = 4 / 60
    over_all: Number | None = None


class Knitter(Item):
    """Someone who knits step samples before the shoot.

    ``pace`` is a first guess: what finished pieces tell goes before it, unless she is not to ``learn``.
    """

    name: Text
    pace: Number = 25.0
    learn: bool = True
    hours_per_week: Annotated[Amount, Field(le=100)] = 5.0
    starts: Day | None = None
    away: tuple[Period, ...] = ()


class Camera(Item):
    """A camera, and how far its clock is ahead of (or behind) the clocks of the tablets on which takes are logged."""

    name: Text
    ahead: MinutesOfADay = 0.0
    behind: MinutesOfADay = 0.0

    @property
    def offset(self) -> int:
        """Seconds to add to a tablet's clock to have this camera's."""
        return round((self.ahead - self.behind) * 60)


def _lunch(value: Any) -> Any:
    if isinstance(value, str):
        at, _, length = value.partition(" for ")
        return {"at": at, "takes": length or "45 min"}
    return value


class Lunch(Item):
    """When lunch is due, and how long it takes."""

    at: Clock
    takes: MinutesOfADay


class ShootDay(Item):
    """One day of filming: when it starts and must end, who helps, and what is filmed in which order."""

    day: Day
    call: Clock = 9 * 60
    wrap: Clock = 17 * 60
    lunch: Annotated[Lunch | None, BeforeValidator(_lunch)] = None
    place: Text = ""
    helpers: People = ()
    films: Names
    night_knitting: MinutesOfADay = 0.0


class Drawer(Item):
    """A piece that exists already."""

    name: Text
    kind: Literal["full", "short", "small"] = "full"
    state: Text


class Weights(Item):
    """What the choice of samples weighs, in bench minutes: a piece, a minute on the floor, a minute waited."""

    piece: Minutes = 20.0
    floor: Number = 1.5
    waiting: Number = 8.0


class Tool(Item):
    """A tool of the course: in words what is packed, other names that shots give it, tools it is made up of."""

    what: Text = ""
    also: Names = ()
    holds: Names = ()


class Samples(Item):
    """How step samples are chosen and when they are due."""

    weights: Weights = Weights()
    drawer: tuple[Drawer, ...] = ()
    days_to_spare: Annotated[Whole, Field(le=365)] = 2
    camera_may_wait: MinutesOfADay = 3.0


def _address(value: str) -> str:
    if value and not re.fullmatch(r"https?://[^\s/]+\.[^\s/]+(/\S*)?", value):
        raise ValueError(f"“{value}” is no address of a page, such as https://example.org/mittens")
    return value


class CourseFile(Item):
    """The whole of ``course.yaml``. ``contact`` (whom viewers write to) and ``copyright`` stand on the handout.

    ``cues`` are the kinds of texts over the picture that are computed; ``frame_rate`` is that of the edit; ``address``
    is where the newest handout is found.

    In any craft ``makers`` may be written for ``knitters``, ``maker`` for a note's ``knitter``, and ``night_work`` for
    ``night_knitting``.
    """

    title: Text
    host: Text
    edition: Count = 1
    place: Text = ""
    summary: FactText = ""
    language: Annotated[Text, Field(pattern=r"^[A-Za-z]{2,3}(-[A-Za-z0-9]+)*$")] = "en"
    film_size: Text = ""
    recipient: Literal["adult", "child", "child under 3"] = "adult"
    cautions: FactTexts = ()
    contact: Text = ""
    address: Annotated[Text, AfterValidator(_address)] = ""
    copyright: Text = ""
    pace: Pace = Pace()
    learnt: Text = ""
    techniques: dict[str, Number] = {}
    views: Names = ()
    tools: Annotated[dict[str, Tool], short_forms("what")] = {}
    paper: Literal["a4", "letter"] = "a4"
    frame_rate: FrameRate = RATES["25"]
    cues: Names = ("all",)
    knitters: tuple[Knitter, ...] = ()
    cameras: tuple[Camera, ...] = ()
    order: Literal["as listed", "as told", "by view", "cheapest"] = "as listed"
    shoot: Annotated[tuple[ShootDay, ...], Field(min_length=1)]
    samples: Samples = Samples()
    release: Release | None = None
    kit: Kit | None = None


class PieceOnTable(Item):
    """A piece in a shot: the state it must be in, the state it is left in, and the kinds that will do.

    A piece that is only shown may instead stand in any of the states that it ``shows``. A piece that is ``apart``
    serves no other shot: it is made wrong on purpose, or spoiled.
    """

    needs: Text = ""
    shows: Text = ""
    leaves: Text = ""
    kinds: Annotated[Names, Field(min_length=1)] = ("full",)
    spare: Annotated[Whole, Field(le=9)] = 0
    apart: bool = False
    name: Text = ""
    note: FactText = ""


class Hands(Item):
    """One thing the hands do live: a line that is worked on camera, or anything else with its time."""

    work: Text = ""
    do: FactText = ""
    time: MinutesOfADay | None = None


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
    time: MinutesOfADay


class Notes(Item):
    """Remarks on a shot, each for its reader: the host, the sample knitters, the editor, the helper on the floor."""

    host: FactText = ""
    knitter: FactText = ""
    editor: FactText = ""
    helper: FactText = ""


OneMention = Annotated[Mention, BeforeValidator(mention_line)]


class Shot(Item):
    """One shot: its view, what lies on the table, what the hands do and what is said.

    ``must_say``: lines that must be heard in the video; ``mentions``: what viewers are referred to.
    """

    view: Text
    title: FactText = ""
    slate: Count | None = None
    pieces: tuple[PieceOnTable, ...] = ()
    tools: Names = ()
    hands: tuple[Hands, ...] = ()
    say: FactText = ""
    points: tuple[Annotated[SpokenPoint, BeforeValidator(_point)], ...] = ()
    must_say: FactTexts = ()
    mentions: Annotated[
        tuple[Annotated[Mention, BeforeValidator(mention_line)], ...], BeforeValidator(mention_lines)
    ] = ()
    on_screen: FactTexts = ()
    cues: tuple[AskedCue, ...] = ()
    takes: Annotated[Count, Field(le=20)] = 2
    one_way: bool = False
    hold: MinutesOfADay | None = None
    runs_on: bool = False
    shows: Literal["", "all"] = ""
    can_drop: bool = False
    after: Names = ()
    notes: Notes = Notes()
    note: FactText = ""


class Segment(Item):
    """A segment of an episode, usually one technique; its shots in the order of the story.

    ``handout`` is printed at the stage that the segment shows, or at the ``stage`` named.
    """

    title: FactText
    chapter: bool = True
    in_order: bool = False
    shots: Annotated[tuple[Shot, ...], Field(min_length=1)]
    watch_for: FactText = ""
    handout: FactText = ""
    stage: Text = ""


class Episode(Item):
    """One file of ``episodes/``; ``kept``: some words of each promise that is kept, and how."""

    episode: Count
    title: Text
    summary: FactText = ""
    segments: Annotated[tuple[Segment, ...], Field(min_length=1)]
    kept: dict[str, Text] = {}


class Erratum(Item):
    """One entry of the errata log. ``mended_in``: the edition in which it is right."""

    found: Day
    by: Text
    role: Text = "viewer"
    where: Text
    said: Text
    right: FactText
    kind: Literal["number", "word", "picture", "other"] = "number"
    remedy: Literal["text over the picture", "pick-up shot", "pinned note", "new handout", "none yet"] = "none yet"
    state: Literal["open", "planned", "mended"] = "open"
    mended_in: Count | None = None


class Errata(Item):
    """The whole of ``errata.yaml``."""

    errata: tuple[Erratum, ...] = ()


class NumberedSegment(NamedTuple):
    """A segment with its number, ``2.4``, and its episode."""

    number: str
    episode: Episode
    segment: Segment


class NumberedShot(NamedTuple):
    """A shot with its number, and the segment and the episode that it stands in."""

    number: ShotNumber
    episode: Episode
    segment: Segment
    shot: Shot


class Course(Item):
    """A course folder, read and checked: everything that later steps work from."""

    name: str
    course: CourseFile
    pattern: Pattern
    episodes: tuple[Episode, ...]
    errata: Errata = Errata()
    agreed: Agreed | None = None
    published: tuple[Published, ...] = ()

    def __repr__(self) -> str:
        return f"<Course {self.name}: {len(self.episodes)} episodes>"

    def segments(self) -> Iterator[NumberedSegment]:
        """Yield every segment, in the order of the story."""
        for episode in self.episodes:
            for place, segment in enumerate(episode.segments, 1):
                yield NumberedSegment(f"{episode.episode}.{place}", episode, segment)

    def shots(self) -> Iterator[NumberedShot]:
        """Yield every shot, in the order of the story."""
        for number, episode, segment in self.segments():
            for place, shot in enumerate(segment.shots, 1):
                yield NumberedShot(ShotNumber(f"{number}.{place}"), episode, segment, shot)

    def shot(self, number: ShotNumber) -> Shot:
        """Give the shot of a number. Raises ``KeyError`` when there is none."""
        for one in self.shots():
            if one.number == number:
                return one.shot
        raise KeyError(number)

    def with_shots(self, changed: Mapping[ShotNumber, Shot]) -> Course:
        """The same course with some of its shots changed."""
        episodes = []
        for episode in self.episodes:
            segments = []
            for place, segment in enumerate(episode.segments, 1):
                shots = tuple(
                    changed.get(ShotNumber(f"{episode.episode}.{place}.{n}"), shot)
                    for n, shot in enumerate(segment.shots, 1)
                )
                segments.append(segment.model_copy(update={"shots": shots}))
            episodes.append(episode.model_copy(update={"segments": tuple(segments)}))
        return self.model_copy(update={"episodes": tuple(episodes)})

    def locks(self) -> Iterator[tuple[ShotNumber, ShotNumber]]:
        """Yield each pair of shots (before, after) whose order the course gives: by ``after`` and by ``in_order``."""
        every = tuple(self.shots())
        for one in every:
            for name in one.shot.after:
                yield from ((other.number, one.number) for other in every if other.number.is_part_of(name))
        for one, then in pairwise(every):
            if one.segment is then.segment and one.segment.in_order:
                yield one.number, then.number

    def works(self) -> Iterator[tuple[str, Stage, Work]]:
        """Yield every work of the pattern with the key and the stage that it stands in."""
        for key, stage in self.pattern.stages.items():
            for work in stage.works:
                yield key, stage, work
