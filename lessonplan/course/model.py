"""The whole course as the teacher wrote it: people, shoot days, episodes with their shots, and the errata log."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import AfterValidator, BeforeValidator, Field

from lessonplan.course.agreed import Agreed
from lessonplan.course.decided import Decisions
from lessonplan.course.fields import (
    Count,
    Day,
    FactText,
    FactTexts,
    Item,
    MinutesOfADay,
    Names,
    Number,
    Shorthand,
    Text,
    Whole,
)
from lessonplan.course.groups import short_forms
from lessonplan.course.numbers import ShotNumber, number_in
from lessonplan.course.overlaid import AskedCue
from lessonplan.course.pattern_model import Pattern, Stage, Work
from lessonplan.course.promised import Mention, mention_line, mention_lines
from lessonplan.course.publishing import Kit, Published, Release
from lessonplan.course.rates import RATES, FrameRate
from lessonplan.course.settings import *  # noqa: F403  # this file is the one address of the model
from lessonplan.course.settings import Camera, Knitter, Pace, Samples, ShootDay, Tool
from lessonplan.remembered import remembered


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


OneMention = Annotated[Mention, BeforeValidator(mention_line)]


class Shot(Item):
    """One shot: its view, what lies on the table, what the hands do and what is said.

    ``must_say``: lines that must be heard in the video; ``mentions``: what viewers are referred to.
    """

    view: Text
    """Which way the camera looks. Example: overhead"""
    title: FactText = ""
    """What the shot is called on the sheets. Example: Knit two, purl two"""
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
    """What viewers are referred to: another video, the kit, the handout, next episode. Example: the kit, the handout"""
    on_screen: FactTexts = ()
    """Texts over the picture, one a line. Example: [Then the body]"""
    cues: tuple[AskedCue, ...] = ()
    """What the shot asks of its computed texts over the picture. Example: ["Count twice"]"""
    takes: Annotated[Count, Field(le=20)] = 2
    """How often the shot is filmed. In takes. Example: 3"""
    one_way: bool = False
    """Whether what a take does cannot be undone, so that each needs a fresh piece. Example: yes"""
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
    """One file of ``episodes/``; ``kept``: some words of each promise that is kept, and how."""

    episode: Count
    """The number of the episode. Example: 1"""
    title: Text
    """What it is called. Example: The cuff"""
    summary: FactText = ""
    """What viewers read about it. Example: We cast on and knit the cuff."""
    segments: Annotated[tuple[Segment, ...], Field(min_length=1)]
    """Its segments in the order of the story. Example: [{title: Hello, shots: [{view: face}]}]"""
    kept: dict[str, Text] = {}
    """Some words of each promise that is kept, and how. Example: {link below: in the description}"""


class Erratum(Item):
    """One entry of the errata log. ``mended_in``: the edition in which it is right."""

    found: Day
    """When it was found. Example: 2027-03-21"""
    by: Text
    """Who found it. Example: Jorun A."""
    role: Text = "viewer"
    """What that person is in the course. Example: sample knitter"""
    where: Text
    """Where it stands, best by the shot's slate or number. Example: episode 1, shot 1.1.1"""
    said: Text
    """What is said or shown there. Example: fifteen stitches"""
    right: FactText
    """What is right; best a fact, which cannot be wrong twice. Example: sixteen stitches"""
    kind: Literal["number", "word", "picture", "other"] = "number"
    """What kind of mistake it is. Example: number"""
    remedy: Literal["text over the picture", "pick-up shot", "pinned note", "new handout", "none yet"] = "none yet"
    """How it is mended. Example: pinned note"""
    state: Literal["open", "planned", "mended"] = "open"
    """How far the mending is. Example: planned"""
    mended_in: Count | None = None
    """The edition in which it is right. Example: 2"""


class Errata(Item):
    """The whole of ``errata.yaml``."""

    errata: Annotated[tuple[Erratum, ...], Field(max_length=500)] = ()
    """The mistakes. Example: [{found: 2027-03-21, by: Jorun, where: shot 1.1.1, said: 9, right: 10}]"""


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


class _Numbered(NamedTuple):
    """The segments and the shots of a course with their numbers, and the shots by these, of two alike the first.

    ``within``: the shots of each episode, segment and shot by its number.
    """

    segments: tuple[NumberedSegment, ...]
    every: tuple[NumberedShot, ...]
    by_number: Mapping[ShotNumber, NumberedShot]
    within: Mapping[str, tuple[NumberedShot, ...]]


@remembered(8)
def _numbered(episodes: tuple[Episode, ...]) -> _Numbered:
    segments = tuple(
        NumberedSegment(f"{episode.episode}.{place}", episode, segment)
        for episode in episodes
        for place, segment in enumerate(episode.segments, 1)
    )
    shots = tuple(
        NumberedShot(ShotNumber(f"{number}.{place}"), episode, segment, shot)
        for number, episode, segment in segments
        for place, shot in enumerate(segment.shots, 1)
    )
    within: dict[str, list[NumberedShot]] = {}
    for one in shots:
        for part in one.number.parts:
            within.setdefault(part, []).append(one)
    named = {part: tuple(each) for part, each in within.items()}
    return _Numbered(segments, shots, {one.number: one for one in reversed(shots)}, named)


class Course(Item):
    """A course folder, read and checked: everything that later steps work from."""

    name: str
    course: CourseFile
    pattern: Pattern
    episodes: tuple[Episode, ...]
    errata: Errata = Errata()
    agreed: Agreed | None = None
    decided: Decisions = Decisions()
    published: tuple[Published, ...] = ()

    def __repr__(self) -> str:
        return f"<Course {self.name}: {len(self.episodes)} episodes>"

    def segments(self) -> Iterator[NumberedSegment]:
        """Yield every segment, in the order of the story."""
        return iter(_numbered(self.episodes).segments)

    def shots(self) -> Iterator[NumberedShot]:
        """Yield every shot, in the order of the story."""
        return iter(_numbered(self.episodes).every)

    def shot(self, number: ShotNumber) -> Shot:
        """Give the shot of a number. Raises ``KeyError`` when there is none."""
        return _numbered(self.episodes).by_number[number].shot

    def shots_in(self, name: str) -> tuple[NumberedShot, ...]:
        """Give the shots that are, or lie within, what a name says: ``2``, ``episode 2``, ``2.4``, ``shot 2.4.1``."""
        return _numbered(self.episodes).within.get(number_in(name), ())

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
                yield from ((other.number, one.number) for other in self.shots_in(name))
        for one, then in pairwise(every):
            if one.segment is then.segment and one.segment.in_order:
                yield one.number, then.number

    def works(self) -> Iterator[tuple[str, Stage, Work]]:
        """Yield every work of the pattern with the key and the stage that it stands in."""
        for key, stage in self.pattern.stages.items():
            for work in stage.works:
                yield key, stage, work
