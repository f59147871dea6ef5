"""The pattern as the teacher wrote it in ``pattern.yaml``: sizes, gauge, yarns and stages of work."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from lessonplan.course.model.groups import Material, Measure, Option, Size, Words, short_forms, sizes_listed
from lessonplan.course.model.lesser import RoundsKept, Small, SmallWidth
from lessonplan.course.model.works import AnyWork
from lessonplan.course.values.fields import (
    Count,
    FactText,
    Item,
    Kind,
    Length,
    Names,
    Number,
    Share,
    Shorthand,
    Text,
    Texts,
    text_of,
)

WASTE = "waste"
"""The name under which any pattern has waste yarn, without listing it."""
WorkedOn = Literal["circular", "double-pointed", "magic loop", "two circulars"]


class Gauge(Item):
    """Stitches and rounds over a length (10 cm unless said), as measured on a swatch."""

    stitches: Number
    """How many stitches lie side by side over that length. In stitches. Example: 22"""
    rounds: Number
    """How many rounds lie above each other over that length. In rounds. Example: 30"""
    over: Length = 100.0
    """The length over which they are counted. Example: 10 cm"""
    fabric: Text = ""
    """In which fabric it was measured; of knitting, stockinette unless said. Example: stockinette, washed"""
    needle: Text = ""
    """With which needle. Example: 4 mm"""


class Yarn(Item):
    """One yarn of the kit: what a ball holds, and how it is shown. A ``waste`` yarn is any scrap: it needs no ball."""

    name: Text
    """What it is called in the shop. Example: Quernwool DK"""
    colour: Text = ""
    """Its colour in words. Example: tarn blue"""
    hex: Annotated[Text, Field(pattern=r"^#[0-9A-Fa-f]{6}$")] = "#8a8a8a"
    """Its colour on drawings, in quotes. Example: '#1F6573'"""
    weight: Text = ""
    """Its weight by its common name. Example: DK"""
    metres: Number = 0.0
    """How long one ball is; needed unless it is waste yarn. In metres. Example: 225"""
    grams: Number = 0.0
    """How heavy one ball is; needed unless it is waste yarn. In grams. Example: 100"""
    fibre: Text = ""
    """What it is made of. Example: wool"""
    care: Text = ""
    """How it is washed. Example: hand wash"""
    waste: bool = False
    """Whether it is only waste yarn, any scrap. Example: yes"""


class Chart(Item):
    """A colour chart as it is seen: the first row worked is the last one printed, and a round begins at its right.

    In a ``stranded`` chart every stitch is worked, in the colour of its letter. In a ``slipped`` one each row is worked
    with one yarn (the first letter typed) for ``rounds_each`` rounds, and stitches of another letter are slipped.
    """

    kind: Literal["stranded", "slipped"] = "stranded"
    """Whether every stitch is worked in its colour, or stitches of other colours are slipped. Example: slipped"""
    colours: dict[str, Text]
    """Which yarn each letter means. Example: {o: MC, x: CC}"""
    rows: Annotated[Texts, Field(min_length=1, max_length=400)]
    """The rows as letters; the row worked first stands last. Example: [xoxo, oxox]"""
    rounds_each: Count = 1
    """How many rounds each row of a slipped chart is worked. In rounds. Example: 2"""


class Stage(Item):
    """A stage of the piece, worked after others; its works in order."""

    title: Text
    """What the stage is called on the handout. Example: Cuff"""
    after: Names = ()
    """The stages that must be done before it. Example: edge"""
    works: Annotated[tuple[AnyWork, ...], Field(min_length=1, max_length=400)]
    """What is done, one after the other. Example: [{cast_on: 40}]"""
    short: RoundsKept = None
    """Which rounds a short piece has of it. Example: leave out rounds 5 to 16"""
    gauge: Gauge | None = None
    """Its own gauge, where it differs; yarn is reckoned by the main one. Example: {stitches: 24, rounds: 32}"""
    worked_on: WorkedOn | None = None
    """On which needles it is worked. Example: magic loop"""
    when: Names = ()
    """The choices of the pattern's options with which it is worked. Example: cord"""
    optional: bool = False
    """Whether viewers can leave it out. Example: yes"""
    pace: Number | None = None
    """How fast it goes for somebody whose pace is 25 elsewhere. In stitches a minute. Example: 18"""
    one_way: bool = False
    """Whether it cannot be undone once begun. Example: yes"""
    watch_for: FactText = ""
    """What viewers are to watch for, on the handout. Example: Keep the tail out of the way."""


class Pattern(Item):
    """The whole of ``pattern.yaml``. Knitting and crochet need a gauge and a yarn; other crafts may leave both out."""

    title: Text
    """What the finished thing is called. Example: Ostrelby Mittens"""
    craft: Text = "knitting"
    """Which craft it is: its words stand on all papers. Example: knitting"""
    words: Words = Words()
    """Words of the craft that are to stand on the papers instead. Example: {maker: potter, makers: potters}"""
    sizes: Annotated[
        tuple[Size, ...],
        BeforeValidator(sizes_listed),
        Field(min_length=1, max_length=24),
        Shorthand("name", each=True),
    ] = (Size(name="one size"),)
    """The sizes, from small to large. Example: Small, Medium, Large"""
    gauge: Gauge = Gauge(stitches=20.0, rounds=28.0)
    """Stitches and rounds as measured on a washed swatch. Example: {stitches: 22, rounds: 30}"""
    needles: Texts = ()
    """The needles, one a line. Example: [4 mm]"""
    worked_on: WorkedOn | None = None
    """On which needles it is worked. Example: double-pointed"""
    options: Annotated[dict[str, Option], short_forms("choices"), Shorthand("choices", each=True)] = {}
    """What viewers can choose. Example: {trim: cord or ribbon}"""
    tools: Texts = ()
    """The tools of a craft other than needles, one a line. Example: [bone folder, awl]"""
    notions: Texts = ()
    """What else is needed, one a line. Example: [blunt darning needle]"""
    yarns: Annotated[dict[str, Yarn], Field(max_length=200)] = {}
    """The yarns, each by a short name. Example: {MC: {name: Quernwool, metres: 225, grams: 100}}"""
    materials: Annotated[dict[str, Material], short_forms("name"), Shorthand("name", each=True)] = {}
    """What is used up besides yarn, each by a short name. Example: {clay: stoneware clay}"""
    make: Count = 1
    """How many are made, all alike. In pieces. Example: 2"""
    measures: Annotated[dict[str, Measure], short_forms("length"), Shorthand("length", each=True)] = {}
    """Lengths of the body or thing it is for, in each size. Example: {hand: "18 (20, 22) cm"}"""
    units: Literal["cm", "in", "both"] | None = None
    """In which units lengths are printed. Example: both"""
    terms: Annotated[
        Literal["us", "uk"],
        BeforeValidator(lambda text: text_of(text).strip().lower()),
        Kind("one of: us, uk", {"enum": ["us", "uk", "US", "UK"]}),
    ] = "us"
    """Whose crochet terms the lines are in. Example: UK"""
    skill: Text = ""
    """What one must know before, on the handout. Example: knit and purl"""
    margin: Share = 0.1
    """How much yarn is added to what is computed. Example: 15 %"""
    small: SmallWidth = Small()
    """How wide a small piece is: stitches, or a share of the full one. Example: 24 sts"""
    patterns: dict[str, Texts] = {}
    """Stitch patterns by their names, each with its lines. Example: {ridge: ["Knit", "Purl"]}"""
    charts: Annotated[dict[str, Chart], Field(max_length=200)] = {}
    """Colour charts by their names. Example: {cobbles: {colours: {o: MC, x: CC}, rows: [xo, ox]}}"""
    stages: Annotated[dict[str, Stage], Field(min_length=1, max_length=200)]
    """The stages of the work, each by a short name. Example: {edge: {title: Edge, works: [{cast_on: 40}]}}"""

    @property
    def with_margin(self) -> float:
        """By what computed yarn is multiplied to have its margin in it: 1.1 for 10 %."""
        return 1 + self.margin
