"""The works of a stage, each by the key that says what is done, and each key with what it means.

Below each key stands its meaning, the unit of a plain number, and an example: what ``lessonplan keys`` prints.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from lessonplan.course.model.groups import uses_listed
from lessonplan.course.values.fields import (
    LISTED,
    CastOnCount,
    Count,
    FactText,
    Item,
    Kind,
    Minutes,
    Names,
    Range,
    Rounds,
    Sized,
    SizedAmount,
    SizedLength,
    SizedNumber,
    SizedOrAll,
    Text,
    Texts,
)
from lessonplan.course.values.quantities import length_put_in

_USES = Kind("materials with amounts, parted by ;", {"type": ["string", "object"], "additionalProperties": LISTED})


class Work(Item):
    """What every work has: the yarn it is done with, remarks for the handout, and whether it can be taken back.

    ``before`` is printed before the work (what must be done first), ``note`` after it.
    ``when`` names the choices of the pattern's options with which it is worked; an ``optional`` one can be left out.
    ``uses`` says how much of which material it takes, of counted units each:
    ``clay 450 (600) g; glaze 20 ml``, or a mapping.
    """

    yarn: Names = ()
    """The yarns it is worked with, by their names in the pattern. Example: MC"""
    uses: Annotated[dict[str, SizedAmount], BeforeValidator(uses_listed), _USES] = {}
    """How much of which material it takes, of counted units each. Example: clay 450 g; glaze 20 ml"""
    before: FactText = ""
    """What must be done first, printed before the work. Example: Try it on."""
    note: FactText = ""
    """A remark, printed after the work. Example: Do not pull tight."""
    one_way: bool = False
    """Whether it cannot be undone, such as a cut. Example: yes"""
    when: Names = ()
    """The choices of the pattern's options with which it is worked. Example: cord"""
    optional: bool = False
    """Whether viewers can leave it out. Example: yes"""


class CastOn(Work):
    """Cast on so many stitches, or those of a width through the gauge; ``multiple`` reads ``4`` or ``4 plus 2``."""

    cast_on: CastOnCount
    """How many stitches are cast on, or how wide, in each size. Example: 40 (44, 48)"""
    multiple: Annotated[Text, Field(pattern=r"^(\s*[1-9]\d{0,4}(\s*(plus|\+)\s*\d{1,5})?\s*)?$")] = ""
    """What the count must be a multiple of, where a width is given. Example: 4 plus 2"""
    method: Text = "long-tail"
    """How it is cast on. Example: long-tail"""
    join: bool = False
    """Whether it is joined to work in the round. Example: yes"""


class Knit(Work):
    """Rounds or rows: how far, by which lines, in which colours.

    ``stripes: go on`` goes on with the stripes before; ``ends_with`` is line, chart, stripe or a place in one such as
    ``2 CC``; ``in_stripe`` gives rounds of every stripe (``2``, ``2 CC``) a line of their own; ``carry`` names yarns
    that are not cut meanwhile. ``as_you_like`` is how far viewers may go instead.
    """

    rounds: Rounds | None = None
    """How many rounds, how long, or until how many stitches remain. Example: 9 (10, 11) cm"""
    rows: Rounds | None = None
    """How many rows, where it is worked flat; lines alone that say “Row 1”, or come after rows, are rows without it.
    Example: 12"""
    lines: Annotated[Texts, Field(max_length=1000)] = ()
    """The instruction lines as patterns print them, in order; {{ length }} in one is the length of rounds or rows.
    Example: '*K2, p2; rep from * to end'"""
    times: Sized | None = None
    """How often all lines are worked, where no rounds are given. Example: 6 (7, 8)"""
    holds: Text = ""
    """The name under which the lines put stitches on hold. Example: thumb"""
    stripes: Text = ""
    """The stripes, rounds with their yarn, or “go on” with those before. Example: 4 MC, 4 CC"""
    chart: Text = ""
    """The colour chart that is worked, by its name. Example: cobbles"""
    ends_with: Annotated[Text, Field(pattern=r"^(line|stripe|chart|\s*\d{1,5}\s+\w+\s*)?$")] = ""
    """Where the work must end: a whole line, stripe or chart, or a place in a stripe. Example: stripe"""
    rounding: Literal["nearest", "up", "down", "even"] = "nearest"
    """How a length becomes a number of rounds. Example: up"""
    in_stripe: dict[str, Text] = {}
    """Lines for given rounds of every stripe. Example: {1: "Knit"}"""
    carry: Names = ()
    """Yarns that are carried along and not cut meanwhile. Example: CC"""
    as_you_like: Range | None = None
    """How short and how long viewers may make it instead. Example: 5 to 10 cm"""
    _length_once = model_validator(mode="before")(length_put_in)


class HalfRound(Work):
    """Work the first half of the round by a line; the round begins there from now on."""

    half_round: Text
    """The line for the first half of the round; the round begins there from now on. Example: Knit"""


class Spread(Work):
    """One round or row of increases or decreases spread evenly; the line is written out by the program."""

    increase: Sized | None = None
    """How many stitches are added, spread evenly over one round. Example: 6 (8, 8)"""
    decrease: Sized | None = None
    """How many stitches are taken away, spread evenly over one round. Example: 6 (8, 8)"""
    by: Text = ""
    """By which stitch. Example: m1l"""


class Hold(Work):
    """Put stitches on waste yarn, under a name."""

    hold: SizedOrAll
    """How many stitches are put on waste yarn, or all. Example: 13 (15, 15)"""
    name: Text
    """The name by which they are taken up later. Example: thumb"""


class TakeUp(Work):
    """Put held stitches back on the needles, all or some of them."""

    take_up: Text
    """The name of the held stitches that go back on the needles. Example: thumb"""
    stitches: Sized | None = None
    """How many of them, where the others stay on hold, as for one of two sleeves. Example: 36 (42, 46)"""


class PickUp(Work):
    """Pick up and knit stitches along an edge, in words or by its name (``side of body``, ``cast-on of edge``).

    With a named edge ``rate`` gives the count, such as ``3 for 4``: three for every four rows or stitches.
    """

    pick_up: SizedOrAll
    """How many stitches are picked up and knitted. Example: 3"""
    along: Text = ""
    """Where, in words. Example: the gap at the top of the thumb"""
    edge: Text = ""
    """Where, by the name of an edge. Example: side of body"""
    rate: Annotated[Text, Field(pattern=r"^(\s*[1-9]\d?\s+for\s+(every\s+)?[1-9]\d?\s*)?$")] = ""
    """How many stitches for how many rows or stitches of the edge. Example: 3 for 4"""


class Placeholder(Work):
    """Knit stitches of the coming round with waste yarn, slide them back, and knit them again with the main yarn.

    They begin after the first ``at`` stitches of the round (0 unless said) and are opened later by their name.
    """

    placeholder: Sized
    """How many stitches are knitted with waste yarn, to be opened later. Example: 8 (9, 10)"""
    name: Text
    """The name by which it is opened. Example: thumb"""
    at: Sized | None = None
    """After how many stitches of the round it begins. Example: 2"""


class Open(Work):
    """Pull the waste yarn of a placeholder out: its stitches are live again, one fewer above it than below.

    ``above`` says how many of the loops above go on the needle where the half loops at the ends are taken or left.
    """

    open: Text
    """The name of the placeholder whose waste yarn is pulled out. Example: thumb"""
    above: Sized | None = None
    """How many of the loops above go on the needle. Example: 9 (10, 11)"""


class Lifeline(Work):
    """Thread waste yarn through the live stitches, which stay on the needle, so that they can be gone back to."""

    lifeline: SizedOrAll
    """Through how many live stitches waste yarn is threaded, or all. Example: all"""


class Graft(Work):
    """Graft the live stitches, half of them to the other half, or all to those held or left live under a name."""

    graft: SizedOrAll
    """How many live stitches are grafted, or all. Example: all"""
    to: Text = ""
    """What they are grafted to, where not to each other: held stitches or a stage. Example: back"""


class BindOff(Work):
    """Bind off stitches."""

    bind_off: SizedOrAll
    """How many stitches are bound off, or all. Example: all"""
    method: Text = "standard"
    """How it is bound off. Example: standard"""


class DrawThrough(Work):
    """Cut the yarn and draw it through the live stitches."""

    draw_through: SizedOrAll
    """Through how many stitches the cut yarn is drawn, or all. Example: all"""


class Cord(Work):
    """Knit a cord of a given length on a few stitches."""

    cord: SizedLength
    """How long the cord is. Example: 50 cm"""
    stitches: Count = 3
    """On how many stitches it is knitted. In stitches. Example: 3"""
    as_you_like: Range | None = None
    """How short and how long viewers may make it instead. Example: 40 to 60 cm"""


class Sew(Work):
    """Sew along a length."""

    sew: SizedLength
    """How long the seam is. Example: 20 cm"""
    what: Text = ""
    """What is sewn, in words. Example: the side seam"""


class Point(Work):
    """No work, but a place between two works with a name, by which shots can ask for a piece that is so far."""

    point: Text
    """The name of this place between two works, for states: an entry of its own. Example: ready to draw through"""

    @property
    def called(self) -> str:
        """Its name as states are compared: in small letters, with single blanks."""
        return " ".join(self.point.lower().split())


class WeaveEnds(Work):
    """Weave in so many ends."""

    weave_ends: Sized
    """How many ends are woven in. Example: 6"""


class Block(Work):
    """Block: hands-on minutes, and the hours it must then lie."""

    block: Minutes
    """How long your hands are at work on it. Example: 10 min"""
    drying: Minutes
    """How long it must lie then. Example: 24 h"""
    method: Text = "wet"
    """How it is blocked. Example: wet"""


class Resting(Work):
    """A work after which nobody's hands are needed for a time: it dries, is fired, sets ..., one of them."""

    drying: Minutes = 0.0
    """How long it dries then, without anybody's hands. Example: 2 h"""
    firing: Minutes = 0.0
    """How long it is fired then, cooling down counted in. Example: 30 h"""
    setting: Minutes = 0.0
    """How long it must set then. Example: 2 h"""
    curing: Minutes = 0.0
    """How long it must cure then. Example: 7 days"""
    pressing: Minutes = 0.0
    """How long it lies under weights then. Example: 12 h"""
    cooling: Minutes = 0.0
    """How long it must cool then. Example: 1 h"""
    soaking: Minutes = 0.0
    """How long it soaks then. Example: 30 min"""
    resting: Minutes = 0.0
    """How long it must rest then. Example: 1 h"""

    @property
    def rest(self) -> tuple[str, float]:
        """Give what the piece rests for, by its key, and the minutes; drying of none if it does not."""
        keys = (key for key in Resting.model_fields if key not in Work.model_fields)
        return next(((key, minutes) for key in keys if (minutes := getattr(self, key))), ("drying", 0.0))


class Plain(Resting):
    """Anything else: plain hands-on minutes, perhaps with a time to set or dry."""

    minutes: SizedNumber
    """How long it takes, for anything that has no key of its own. In minutes. Example: 15"""
    what: Text = ""
    """What is done, in words. Example: glue the spine"""
    leaves: Sized | None = None
    """How many stitches are on the needle after it, where it changes their number. Example: 96 (104, 112)"""


class Units(Resting):
    """So many counted units of any craft (squares, sections, pots), each taking so long; all rest together then.

    ``what`` says what is done to each.
    """

    units: Sized
    """How many counted things are made. Example: 12"""
    unit: Text
    """What one of them is called. Example: square"""
    each: Minutes
    """How long one takes. Example: 20 min"""
    what: Text = ""
    """What is done to each. Example: sewn with a kettle stitch"""


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


TAG = "\x00"
"""What tags begin with, so that they can be told from keys in the paths of errors: no key may hold it."""


def _work_tag(value: Any) -> str | None:
    if isinstance(value, Work):
        return TAG + type(value).__name__
    held = value if isinstance(value, dict) else {}
    return next((TAG + kind.__name__ for key, kind in WORK_KEYS.items() if key in held), None)


AnyWork = Annotated[
    Annotated[CastOn, Tag(TAG + "CastOn")]
    | Annotated[Knit, Tag(TAG + "Knit")]
    | Annotated[Spread, Tag(TAG + "Spread")]
    | Annotated[Hold, Tag(TAG + "Hold")]
    | Annotated[TakeUp, Tag(TAG + "TakeUp")]
    | Annotated[PickUp, Tag(TAG + "PickUp")]
    | Annotated[Placeholder, Tag(TAG + "Placeholder")]
    | Annotated[Open, Tag(TAG + "Open")]
    | Annotated[Lifeline, Tag(TAG + "Lifeline")]
    | Annotated[HalfRound, Tag(TAG + "HalfRound")]
    | Annotated[Graft, Tag(TAG + "Graft")]
    | Annotated[BindOff, Tag(TAG + "BindOff")]
    | Annotated[DrawThrough, Tag(TAG + "DrawThrough")]
    | Annotated[Cord, Tag(TAG + "Cord")]
    | Annotated[Sew, Tag(TAG + "Sew")]
    | Annotated[WeaveEnds, Tag(TAG + "WeaveEnds")]
    | Annotated[Block, Tag(TAG + "Block")]
    | Annotated[Plain, Tag(TAG + "Plain")]
    | Annotated[Units, Tag(TAG + "Units")]
    | Annotated[LeftOut, Tag(TAG + "LeftOut")]
    | Annotated[Point, Tag(TAG + "Point")],
    Discriminator(_work_tag, custom_error_type="work", custom_error_message="no work is named"),
]
