"""The pattern as the teacher wrote it in ``pattern.yaml``: sizes, gauge, yarns and stages of work."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag

from lessonplan.course.fields import (
    Count,
    FactText,
    Item,
    Length,
    Minutes,
    Names,
    Number,
    Range,
    Rounds,
    Share,
    Sized,
    SizedAmount,
    SizedLength,
    SizedNumber,
    SizedOrAll,
    Text,
    Texts,
    text_of,
)
from lessonplan.course.groups import Material, Measure, Option, Size, Words, short_forms, sizes_listed, uses_listed
from lessonplan.course.lesser import Short, Small, read_short, read_small


class Gauge(Item):
    """Stitches and rounds over a length (10 cm unless said), as measured on a swatch."""

    stitches: Number
    rounds: Number
    over: Length = 100.0
    fabric: Text = "stockinette"
    needle: Text = ""


class Yarn(Item):
    """One yarn of the kit: what a ball holds, and how it is shown. A ``waste`` yarn is any scrap: it needs no ball."""

    name: Text
    colour: Text = ""
    hex: Annotated[Text, Field(pattern=r"^#[0-9A-Fa-f]{6}$")] = "#8a8a8a"
    weight: Text = ""
    metres: Number = 0.0
    grams: Number = 0.0
    fibre: Text = ""
    care: Text = ""
    waste: bool = False


class Chart(Item):
    """A colour chart as it is seen: the first row worked is the last one printed, and a round begins at its right.

    In a ``stranded`` chart every stitch is worked, in the colour of its letter. In a ``slipped`` one each row is worked
    with one yarn (the first letter typed) for ``rounds_each`` rounds, and stitches of another letter are slipped.
    """

    kind: Literal["stranded", "slipped"] = "stranded"
    colours: dict[str, Text]
    rows: Annotated[Texts, Field(min_length=1, max_length=400)]
    rounds_each: Count = 1


WASTE = "waste"
"""The name under which any pattern has waste yarn, without listing it."""
WorkedOn = Literal["circular", "double-pointed", "magic loop", "two circulars"]


class Work(Item):
    """What every work has: the yarn it is done with, remarks for the handout, and whether it can be taken back.

    ``before`` is printed before the work (what must be done first), ``note`` after it.
    ``when`` names the choices of the pattern's options with which it is worked; an ``optional`` one can be left out.
    ``uses`` says how much of which material it takes, of counted units each:
    ``clay 450 (600) g; glaze 20 ml``, or a mapping.
    """

    yarn: Names = ()
    uses: Annotated[dict[str, SizedAmount], BeforeValidator(uses_listed)] = {}
    before: FactText = ""
    note: FactText = ""
    one_way: bool = False
    when: Names = ()
    optional: bool = False


class CastOn(Work):
    """Cast on so many stitches, or those of a width through the gauge; ``multiple`` reads ``4`` or ``4 plus 2``."""

    cast_on: Rounds
    multiple: Annotated[Text, Field(pattern=r"^(\s*[1-9]\d{0,4}(\s*(plus|\+)\s*\d{1,5})?\s*)?$")] = ""
    method: Text = "long-tail"
    join: bool = False


class Knit(Work):
    """Rounds or rows: how far, by which lines, in which colours.

    ``stripes: go on`` goes on with the stripes before; ``ends_with`` is line, chart, stripe or a place in one such as
    ``2 CC``; ``in_stripe`` gives rounds of every stripe (``2``, ``2 CC``) a line of their own; ``carry`` names yarns
    that are not cut meanwhile. ``as_you_like`` is how far viewers may go instead.
    """

    rounds: Rounds | None = None
    rows: Rounds | None = None
    lines: Texts = ()
    times: Sized | None = None
    holds: Text = ""
    stripes: Text = ""
    chart: Text = ""
    ends_with: Annotated[Text, Field(pattern=r"^(line|stripe|chart|\s*\d{1,5}\s+\w+\s*)?$")] = ""
    rounding: Literal["nearest", "up", "down", "even"] = "nearest"
    in_stripe: dict[str, Text] = {}
    carry: Names = ()
    as_you_like: Range | None = None


class HalfRound(Work):
    """Work the first half of the round by a line; the round begins there from now on."""

    half_round: Text


class Spread(Work):
    """One round or row of increases or decreases spread evenly; the line is written out by the program."""

    increase: Sized | None = None
    decrease: Sized | None = None
    by: Text = ""


class Hold(Work):
    """Put stitches on waste yarn, under a name."""

    hold: SizedOrAll
    name: Text


class TakeUp(Work):
    """Put held stitches back on the needles."""

    take_up: Text


class PickUp(Work):
    """Pick up and knit stitches along an edge, in words or by its name (``side of body``, ``cast-on of edge``).

    With a named edge ``rate`` gives the count, such as ``3 for 4``: three for every four rows or stitches.
    """

    pick_up: SizedOrAll
    along: Text = ""
    edge: Text = ""
    rate: Annotated[Text, Field(pattern=r"^(\s*[1-9]\d?\s+for\s+(every\s+)?[1-9]\d?\s*)?$")] = ""


class Placeholder(Work):
    """Knit stitches of the coming round with waste yarn, slide them back, and knit them again with the main yarn.

    They begin after the first ``at`` stitches of the round (0 unless said) and are opened later by their name.
    """

    placeholder: Sized
    name: Text
    at: Sized | None = None


class Open(Work):
    """Pull the waste yarn of a placeholder out: its stitches are live again, one fewer above it than below.

    ``above`` says how many of the loops above go on the needle where the half loops at the ends are taken or left.
    """

    open: Text
    above: Sized | None = None


class Lifeline(Work):
    """Thread waste yarn through the live stitches, which stay on the needle, so that they can be gone back to."""

    lifeline: SizedOrAll


class Graft(Work):
    """Graft the live stitches, half of them to the other half, or all to those held or left live under a name."""

    graft: SizedOrAll
    to: Text = ""


class BindOff(Work):
    """Bind off stitches."""

    bind_off: SizedOrAll
    method: Text = "standard"


class DrawThrough(Work):
    """Cut the yarn and draw it through the live stitches."""

    draw_through: SizedOrAll


class Cord(Work):
    """Knit a cord of a given length on a few stitches."""

    cord: SizedLength
    stitches: Count = 3
    as_you_like: Range | None = None


class Sew(Work):
    """Sew along a length."""

    sew: SizedLength
    what: Text = ""


class Point(Work):
    """No work, but a place between two works with a name, by which shots can ask for a piece that is so far."""

    point: Text


class WeaveEnds(Work):
    """Weave in so many ends."""

    weave_ends: Sized


class Block(Work):
    """Block: hands-on minutes, and the hours it must then lie."""

    block: Minutes
    drying: Minutes
    method: Text = "wet"


class Resting(Work):
    """A work after which nobody's hands are needed for a time: it dries, is fired, sets ..., one of them."""

    drying: Minutes = 0.0
    firing: Minutes = 0.0
    setting: Minutes = 0.0
    curing: Minutes = 0.0
    pressing: Minutes = 0.0
    cooling: Minutes = 0.0
    soaking: Minutes = 0.0
    resting: Minutes = 0.0

    @property
    def rest(self) -> tuple[str, float]:
        """Give what the piece rests for, by its key, and the minutes; drying of none if it does not."""
        keys = (key for key in Resting.model_fields if key not in Work.model_fields)
        return next(((key, minutes) for key in keys if (minutes := getattr(self, key))), ("drying", 0.0))


class Plain(Resting):
    """Anything else: plain hands-on minutes, perhaps with a time to set or dry."""

    minutes: SizedNumber
    what: Text = ""


class Units(Resting):
    """So many counted units of any craft (squares, sections, pots), each taking so long; all rest together then.

    ``what`` says what is done to each.
    """

    units: Sized
    unit: Text
    each: Minutes
    what: Text = ""


class LeftOut(Work):
    """The place of a work that is not chosen: nothing is done. It is never typed."""


WORK_KEYS: dict[str, type[Work]] = {
    "cast_on": CastOn,
    "lines": Knit,
    "chart": Knit,
    "rounds": Knit,
    "rows": Knit,
    "increase": Spread,
    "decrease": Spread,
    "hold": Hold,
    "take_up": TakeUp,
    "pick_up": PickUp,
    "placeholder": Placeholder,
    "open": Open,
    "lifeline": Lifeline,
    "half_round": HalfRound,
    "graft": Graft,
    "bind_off": BindOff,
    "draw_through": DrawThrough,
    "cord": Cord,
    "sew": Sew,
    "weave_ends": WeaveEnds,
    "block": Block,
    "minutes": Plain,
    "units": Units,
    "point": Point,
}


def key_of(work: Work) -> str:
    """Give the key word by which a work is called: the first of its kind that stands in it."""
    words = [key for key, kind in WORK_KEYS.items() if type(work) is kind]
    return next((word for word in words if word in work.model_fields_set), words[0] if words else "")


def _work_tag(value: Any) -> str | None:
    if isinstance(value, Work):
        return "~" + type(value).__name__
    if isinstance(value, dict):
        for key, kind in WORK_KEYS.items():
            if key in value:
                return "~" + kind.__name__
    return None


# The tags start with a sign that no key of a file can have, so that they can be told from keys in error paths.
AnyWork = Annotated[
    Annotated[CastOn, Tag("~CastOn")]
    | Annotated[Knit, Tag("~Knit")]
    | Annotated[Spread, Tag("~Spread")]
    | Annotated[Hold, Tag("~Hold")]
    | Annotated[TakeUp, Tag("~TakeUp")]
    | Annotated[PickUp, Tag("~PickUp")]
    | Annotated[Placeholder, Tag("~Placeholder")]
    | Annotated[Open, Tag("~Open")]
    | Annotated[Lifeline, Tag("~Lifeline")]
    | Annotated[HalfRound, Tag("~HalfRound")]
    | Annotated[Graft, Tag("~Graft")]
    | Annotated[BindOff, Tag("~BindOff")]
    | Annotated[DrawThrough, Tag("~DrawThrough")]
    | Annotated[Cord, Tag("~Cord")]
    | Annotated[Sew, Tag("~Sew")]
    | Annotated[WeaveEnds, Tag("~WeaveEnds")]
    | Annotated[Block, Tag("~Block")]
    | Annotated[Plain, Tag("~Plain")]
    | Annotated[Units, Tag("~Units")]
    | Annotated[LeftOut, Tag("~LeftOut")]
    | Annotated[Point, Tag("~Point")],
    Discriminator(_work_tag, custom_error_type="work", custom_error_message="no work is named"),
]


class Stage(Item):
    """A stage of the piece, worked after others; its works in order."""

    title: Text
    after: Names = ()
    works: Annotated[tuple[AnyWork, ...], Field(min_length=1)]
    short: Annotated[Short | None, BeforeValidator(read_short)] = None
    gauge: Gauge | None = None
    worked_on: WorkedOn | None = None
    when: Names = ()
    optional: bool = False
    pace: Number | None = None
    one_way: bool = False
    watch_for: FactText = ""


class Pattern(Item):
    """The whole of ``pattern.yaml``. Knitting and crochet need a gauge and a yarn; other crafts may leave both out."""

    title: Text
    craft: Text = "knitting"
    words: Words = Words()
    sizes: Annotated[tuple[Size, ...], BeforeValidator(sizes_listed), Field(min_length=1, max_length=24)] = (
        Size(name="one size"),
    )
    gauge: Gauge = Gauge(stitches=20.0, rounds=28.0)
    needles: Texts = ()
    worked_on: WorkedOn | None = None
    options: Annotated[dict[str, Option], short_forms("choices")] = {}
    tools: Texts = ()
    notions: Texts = ()
    yarns: dict[str, Yarn] = {}
    materials: Annotated[dict[str, Material], short_forms("name")] = {}
    make: Count = 1
    measures: Annotated[dict[str, Measure], short_forms("length")] = {}
    units: Literal["cm", "in", "both"] | None = None
    terms: Annotated[Literal["us", "uk"], BeforeValidator(lambda text: text_of(text).strip().lower())] = "us"
    skill: Text = ""
    margin: Share = 0.1
    small: Annotated[Small, BeforeValidator(read_small)] = Small()
    patterns: dict[str, Texts] = {}
    charts: dict[str, Chart] = {}
    stages: Annotated[dict[str, Stage], Field(min_length=1)]
