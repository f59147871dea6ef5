"""What the course says of publishing: when its episodes come out, the kit that is packed, the errata,
and what was decided about the findings of proofing."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from lessonplan.course.values.fields import Amount, Count, Day, FactText, Item, Names, Number, Share, Shorthand, Text


class Release(Item):
    """When the episodes come out: the day of the ``first``, the days between two, and what viewers have time for.

    ``hours_per_week`` is how much knitting may be asked of them; without it nothing is compared.
    """

    first: Day
    """The day on which the first episode comes out. Example: 2027-03-01"""
    days_between: Annotated[Count, Field(le=366)] = 7
    """How long after it the next episode comes out. In days. Example: 7"""
    hours_per_week: Annotated[Number, Field(le=100)] | None = None
    """How much knitting may be asked of viewers; without it nothing is compared. In hours a week. Example: 5"""


class Packed(Item):
    """A thing in the kit: how many of it, what one weighs (grams) and costs, and how many are sold together.

    ``what`` is a yarn or a material by its key, a notion, needle or thing of a choice as the pattern has it, a tool of
    the course's list, or anything else; ``also`` gives other names that these have for it. How many balls of a yarn,
    and how much of a material, there are follows from the size. ``grams`` and ``price`` of a material are of one of its
    units, the price of one of its packs where it has packs.
    """

    what: Text
    """A yarn or material by its key, a notion, needle or tool of the course, or anything else. Example: MC"""
    also: Names = ()
    """Other names that pattern and course have for it. Example: marker, markers"""
    number: Annotated[Count, Field(le=1000)] = 1
    """How many of it are in a kit; yarn and materials follow from the size. In pieces. Example: 3"""
    grams: Amount = 0.0
    """What one of it weighs, of a material one unit (1 ml, 1 sheet). In grams. Example: 12"""
    price: Amount | None = None
    """What one of it costs you, of a material one pack or unit. In the currency of the kit. Example: 1.20"""
    pack: Annotated[Count, Field(le=10000)] = 1
    """How many of it are sold together. In pieces. Example: 50"""

    @property
    def names(self) -> frozenset[str]:
        """All its names, in small letters."""
        return frozenset(name.lower() for name in (self.what, *self.also))


class Kits(Item):
    """So many kits of one size and, where the pattern has options, with these choices (as filmed unless named)."""

    number: Annotated[Count, Field(le=1000000)]
    """How many kits of this size are packed. In kits. Example: 40"""
    size: Text = ""
    """Of which size they are. Example: Medium"""
    choices: Names = ()
    """With which choices of the pattern's options, as filmed unless named. Example: ribbon"""


class Published(Item):
    """What was published: the edition, the day, its code, every fact in all sizes, title and length of each episode.

    ``told`` is what its handout says beyond the facts, finished measures and hours. The program writes it
    (``build --publish``), one file of ``published/`` for each edition.
    """

    edition: Count
    on: Day
    code: Text
    facts: dict[str, Text] = {}
    told: dict[str, Text] = {}
    titles: dict[str, Text] = {}
    lengths: dict[str, Text] = {}


def _things(value: object) -> object:
    """Read a list in which a plain text stands for a thing with nothing else said of it; it keeps its place."""
    if isinstance(value, str):
        return [{"what": part.strip()} for part in value.split(",") if part.strip()]
    return [{"what": one} if isinstance(one, str) else one for one in value] if isinstance(value, list) else value


def _kits(value: object) -> object:
    """Read a number alone for so many kits that are all alike."""
    return [{"number": value}] if isinstance(value, str) else value


class Kit(Item):
    """The kit: what it ``holds`` (all else is from home), how many kits, and what is packed beyond them.

    ``spare`` is a share of kits more than asked for, ``grams`` what box and papers weigh, ``currency`` the sign of
    the prices.
    """

    holds: Annotated[tuple[Packed, ...], BeforeValidator(_things), Field(min_length=1), Shorthand("what", each=True)]
    """What is in a kit; all else viewers have at home. Example: [MC, {what: markers, number: 3}]"""
    kits: Annotated[tuple[Kits, ...], BeforeValidator(_kits), Shorthand()] = ()
    """How many kits of which size are packed; of one size a number alone. Example: [{number: 40, size: Medium}]"""
    spare: Share | None = None
    """How many kits more are packed than asked for. Example: 5 %"""
    grams: Amount = 0.0
    """What box and papers weigh. In grams. Example: 80"""
    currency: Text = ""
    """The sign of the prices. Example: €"""


class Erratum(Item):
    """One entry of the errata log. ``mended_in``: the edition in which it is right."""

    found: Day
    """When it was found. Example: 2027-03-21"""
    by: Text
    """Who found it. Example: Jorun A."""
    role: Text = "viewer"
    """What that person is in the course. Example: sample knitter"""
    where: Text
    """Where it stands, best by the shot's slate or number; a time (episode 1 at 2:05) counts as the kept captions do,
    before any cut. Example: episode 1, shot 1.1.1"""
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
    changed: Day | None = None
    """When its state was changed last; the feed tells its readers of it anew then. Example: 2027-05-03"""


class Errata(Item):
    """The whole of ``errata.yaml``."""

    errata: Annotated[tuple[Erratum, ...], Field(max_length=500)] = ()
    """The mistakes. Example: [{found: 2027-03-21, by: Jorun, where: shot 1.1.1, said: 9, right: 10}]"""


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
