"""What the course says of publishing: when its parts come out, and the kit that is packed for viewers."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from lessonplan.course.fields import Amount, Count, Day, Item, Names, Number, Share, Text


class Release(Item):
    """When the parts come out: the day of the ``first``, the days between two, and what viewers have time for.

    ``hours_per_week`` is how much knitting may be asked of them; without it nothing is compared.
    """

    first: Day
    days_between: Annotated[Count, Field(le=366)] = 7
    hours_per_week: Annotated[Number, Field(le=100)] | None = None


class Packed(Item):
    """A thing in the kit: how many of it, what one weighs (grams) and costs, and how many are sold together.

    ``what`` is a yarn by its key, a notion, needle or thing of a choice as the pattern has it, a tool of the course's
    list, or anything else; ``also`` gives other names that these have for it. How many balls of a yarn there are
    follows from the size.
    """

    what: Text
    also: Names = ()
    number: Annotated[Count, Field(le=1000)] = 1
    grams: Amount = 0.0
    price: Amount | None = None
    pack: Annotated[Count, Field(le=10000)] = 1

    @property
    def names(self) -> frozenset[str]:
        """All its names, in small letters."""
        return frozenset(name.lower() for name in (self.what, *self.also))


class Kits(Item):
    """So many kits of one size and, where the pattern has options, with these choices (as filmed unless named)."""

    number: Annotated[Count, Field(le=1000000)]
    size: Text = ""
    choices: Names = ()


class Published(Item):
    """What was published: the edition, the day, its code, every fact in all sizes, and the length of each episode.

    The program writes it (``build --publish``), one file of ``published/`` for each edition.
    """

    edition: Count
    on: Day
    code: Text
    facts: dict[str, Text] = {}
    lengths: dict[str, Text] = {}


def _things(value: object) -> object:
    """Read a list in which a plain text stands for a thing with nothing else said of it; it keeps its place."""
    if isinstance(value, str):
        return [{"what": part.strip()} for part in value.split(",") if part.strip()]
    return [{"what": one} if isinstance(one, str) else one for one in value] if isinstance(value, list) else value


class Kit(Item):
    """The kit: what it ``holds`` (all else is from home), how many kits, and what is packed beyond them.

    ``spare`` is a share of kits more than asked for, ``grams`` what box and papers weigh, ``currency`` the sign of
    the prices.
    """

    holds: Annotated[tuple[Packed, ...], BeforeValidator(_things), Field(min_length=1)]
    kits: tuple[Kits, ...] = ()
    spare: Share | None = None
    grams: Amount = 0.0
    currency: Text = ""
