"""From the parse tree of a tidied line to its steps and rows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lark import Token, Transformer

from lessonplan.craft.techniques import canonical
from lessonplan.printed.tree import (
    Again,
    BindOff,
    CableNeedle,
    CastOn,
    Colour,
    Even,
    Hold,
    Into,
    Join,
    Mark,
    MeaninglessError,
    Num,
    PickUp,
    Picot,
    Repeat,
    Return,
    Shape,
    Spell,
    Step,
    Stitch,
    Times,
    To,
    Turn,
)

ONE: Num = (1,)
NONE: Num = (0,)


@dataclass(frozen=True, slots=True)
class Amount:
    """A printed number of stitches, and whether it says "more" or "next"."""

    count: Num
    more: bool


@dataclass(frozen=True, slots=True)
class RowCount:
    """A clause that says how often the row before it is worked (`count` None: as long as a length takes)."""

    count: Num | None
    at: int


@dataclass(frozen=True, slots=True)
class RepeatAll:
    """`repeat to end` without an asterisk: everything before it in the line is repeated."""

    quantity: Times | To | None
    at: int


@dataclass(frozen=True, slots=True)
class Place:
    """Where crochet stitches (or a group in brackets) go: see `Into`."""

    place: str
    count: Num
    to: To | None


@dataclass(frozen=True, slots=True)
class ColourOf:
    """A yarn named after a stitch; the number in the list of yarns of the line."""

    index: int


def number(token: Token) -> Num:
    """A number token: one value, or one for each size."""
    return tuple(int(each) for each in str(token).split("|"))


def _find(children: list[Any], kind: type[Any]) -> Any:
    return next((child for child in children if isinstance(child, kind) and not isinstance(child, str)), None)


def _token(children: list[Any], *types: str) -> Token | None:
    return next((child for child in children if isinstance(child, Token) and child.type in types), None)


def _number(children: list[Any], default: Num = NONE) -> Num:
    token = _token(children, "NUMBER")
    return default if token is None else number(token)


def _name(children: list[Any]) -> str:
    token = _token(children, "NAME")
    return "" if token is None else str(token).strip("# ")


def _at(children: list[Any]) -> int:
    for child in children:
        if isinstance(child, Token):
            return child.start_pos or 0
        if hasattr(child, "at"):
            return int(child.at)
    return 0


def _one_by_one(steps: tuple[Step, ...], at: int) -> tuple[Stitch, ...]:
    """The stitches of `(k1, [yo, k1] twice) in next st`, its repeats written out."""
    found: list[Stitch] = []
    for step in steps:
        if isinstance(step, Stitch):
            found.append(step)
        elif isinstance(step, Repeat) and isinstance(step.quantity, Times) and len(step.quantity.count) == 1:
            found += _one_by_one(step.body, step.at) * min(step.quantity.count[0], _MOST_INTO_ONE)
        else:
            raise MeaninglessError("only stitches and repeats with their number are worked into one place", step.at)
    if sum(max(each.count) for each in found) > _MOST_INTO_ONE:
        raise MeaninglessError("is more than anybody works into one place", at)
    return tuple(found)


_MOST_INTO_ONE = 100
Children = list[Any]


class _Build(Transformer[Token, list[Any]]):
    """Turns the parse tree into nodes; the result is the list of items of the line, in order."""

    def start(self, c: Children) -> list[Any]:
        return c

    # stitches
    def plain(self, c: Children) -> Amount:
        return Amount(_number(c), False)

    def more(self, c: Children) -> Amount:
        return Amount(_number(c), True)

    def colour(self, c: Children) -> ColourOf:
        return ColourOf(int(str(c[0]).strip("§")))

    def stitch(self, c: Children) -> Step:
        made = self._stitch(c)
        quantity = _find(c, Times) or _find(c, To)
        return Repeat((made,), quantity, made.at) if quantity else made

    def stitch_into(self, c: Children) -> Step:
        made = self._stitch(c)
        places = [child for child in c if isinstance(child, Place)]
        each = tuple(Into((made,), place.place, place.count, place.to, made.at) for place in places)
        return each[0] if len(each) == 1 else Repeat(each, None, made.at)

    def _stitch(self, c: Children) -> Stitch:
        token, amount, colour = c[0], _find(c, Amount), _find(c, ColourOf)
        return Stitch(
            str(token),
            amount.count if amount else ONE,
            token.start_pos or 0,
            bare=amount is None,
            more=bool(amount and amount.more),
            colour=None if colour is None else str(colour.index),
        )

    # groups and repeats
    def group(self, c: Children) -> Step:
        body = tuple(child for child in c if isinstance(child, Step))
        place, quantity = _find(c, Place), _find(c, Times) or _find(c, To)
        at = _at(c)
        if place:
            return Into(_one_by_one(body, at), place.place, place.count, place.to, at)
        return Repeat(body, quantity, at)

    def second(self, c: Children) -> Any:
        return c[1]

    def star_repeat(self, c: Children) -> Repeat:
        body = tuple(child for child in c if isinstance(child, Step))
        quantity = _find(c, Times) or _find(c, To) or To("rest", NONE, "", _at(c))
        return Repeat(body, quantity, _at(c), star=True)

    star_in = star_repeat

    def star_plain(self, c: Children) -> Repeat:
        body = tuple(child for child in c if isinstance(child, Step))
        quantity = _find(c, Times) or _find(c, To)
        if isinstance(quantity, Times):
            quantity = Times(quantity.count, False if quantity.more is None else quantity.more, quantity.at)
        return Repeat(body, quantity, _at(c))

    def repeat_all(self, c: Children) -> RepeatAll:
        return RepeatAll(_find(c, Times) or _find(c, To), _at(c))

    def rest(self, c: Children) -> To:
        return To("last" if str(c[0]) == "_lastrep" else "rest", NONE, "", _at(c))

    def into_next(self, c: Children) -> Place:
        return Place("next", _number(c), None)

    def into_each(self, c: Children) -> Place:
        return Place("next", NONE, _find(c, To))

    def into_same(self, c: Children) -> Place:
        return Place("same", ONE, None)

    def into_new(self, c: Children) -> Place:
        return Place("new", ONE, None)

    def into_chain(self, c: Children) -> Place:
        return Place("skip", tuple(each - 1 for each in _number(c)), _find(c, To))

    # quantities
    def times(self, c: Children) -> Times:
        return Times(_number(c), None, _at(c))

    def more_times(self, c: Children) -> Times:
        return Times(_number(c), True, _at(c))

    def total_times(self, c: Children) -> Times:
        return Times(_number(c), False, _at(c))

    def to_end(self, c: Children) -> To:
        return To("end", NONE, "", _at(c))

    def to_last(self, c: Children) -> To:
        return To("end", _number(c), "", _at(c))

    def to_before(self, c: Children) -> To:
        return To("marker", _number(c), _name(c), _at(c))

    def to_wrap(self, c: Children) -> To:
        return To(str(_token(c, "WRAP"))[1:], _number(c), "", _at(c))

    def to_marker(self, c: Children) -> To:
        return To("marker", NONE, _name(c), _at(c))

    def to_over(self, c: Children) -> To:
        return To("over", _number(c), "", _at(c))

    # moves
    def mark(self, c: Children) -> Mark:
        return Mark(str(c[0]).strip("_"), _name(c), _at(c))

    def nothing(self, c: Children) -> Join | None:
        return None

    def turn(self, c: Children) -> Turn:
        return Turn(False, _at(c))

    def wrap_turn(self, c: Children) -> Turn:
        return Turn(True, _at(c))

    def join(self, c: Children) -> Join:
        return Join(_at(c))

    def with_colour(self, c: Children) -> Colour:
        return Colour(str(c[1]).strip("§"), _at(c))

    def bind_off(self, c: Children) -> BindOff:
        return BindOff(_find(c, Amount).count, "BO", _at(c))

    def bind_off_all(self, c: Children) -> BindOff:
        return BindOff(None, "BO", _at(c))

    def join_off(self, c: Children) -> BindOff:
        return BindOff(None, {"GRAFT": "graft", "DRAW": "draw through"}.get(c[0].type, "3nBO"), _at(c))

    def cast_on(self, c: Children) -> CastOn:
        return CastOn(_find(c, Amount).count, False, _at(c))

    def cast_on_short(self, c: Children) -> CastOn:
        return CastOn(_find(c, Amount).count, True, _at(c))

    def pick_up(self, c: Children) -> PickUp:
        amount = _find(c, Amount)
        return PickUp(amount.count if amount else ONE, _at(c))

    def cable_needle(self, c: Children) -> CableNeedle:
        return CableNeedle(_number(c), c[0].type == "UNCN", _at(c))

    def picot(self, c: Children) -> Picot:
        return Picot(_number(c), _at(c))

    def hold(self, c: Children) -> Hold:
        return Hold(_number(c), False, _at(c))

    def hold_last(self, c: Children) -> Hold:
        return Hold(_number(c), True, _at(c))

    def hold_all(self, c: Children) -> Hold:
        return Hold(None, False, _at(c))

    def put_back(self, c: Children) -> Return:
        return Return(_number(c) if _token(c, "NUMBER") else None, "", _at(c))

    def pattern(self, c: Children) -> Even:
        return Even(str(c[0])[5:], self._where(c), _at(c))

    def even(self, c: Children) -> Even:
        return Even("", self._where(c), _at(c))

    def _where(self, c: Children) -> To:
        amount = _find(c, Amount)
        return To("over", amount.count, "", _at(c)) if amount else _find(c, To) or To("end", NONE, "", _at(c))

    # whole rows
    def rows_for(self, c: Children) -> RowCount:
        return RowCount(_number(c), _at(c))

    def every_row(self, c: Children) -> RowCount:
        return RowCount(ONE, _at(c))

    def measured(self, c: Children) -> RowCount:
        return RowCount(None, _at(c))

    def until(self, c: Children) -> RowsUntil:
        return RowsUntil(_number(c), "until")

    def total(self, c: Children) -> RowsUntil:
        return RowsUntil(_number(c), "total")

    def which_range(self, c: Children) -> tuple[str, Num, Num]:
        first, last = str(c[0]).split("~")
        return ("numbers", (int(first),), (int(last),))

    def which_last(self, c: Children) -> tuple[str, Num, Num]:
        return ("last", _number(c), NONE)

    def which_all(self, c: Children) -> tuple[str, Num, Num]:
        return ("all", NONE, NONE)

    def again(self, c: Children) -> Again:
        which, first, last = next(child for child in c if isinstance(child, tuple))
        limit = _find(c, RowsUntil)
        return Again(
            which, first, last, "", _find(c, Times), limit.count if limit and limit.kind == "until" else None, _at(c),
            total=limit.count if limit and limit.kind == "total" else None,
            measured=_token(c, "MEASURE") is not None,
        )  # fmt: skip

    def again_spells(self, c: Children) -> Again:
        which, first, last = next((child for child in c if isinstance(child, tuple)), ("named", NONE, NONE))
        spells = tuple(child for child in c if isinstance(child, Spell))
        return Again(which, first, last, _name(c), None, None, _at(c), spells)

    def again_named(self, c: Children) -> Again:
        return Again("named", NONE, NONE, _name(c), _find(c, Times), None, _at(c))

    def spell(self, c: Children) -> Spell:
        limit = _find(c, RowsUntil)
        return Spell(_number(c), _find(c, Times), limit.count if limit else None, _at(c))

    def spell_next(self, c: Children) -> Spell:
        return Spell(ONE, Times(_number(c), False, _at(c)), None, _at(c))

    def where(self, c: Children) -> str:
        return {"ENDS": "each", "ATBEG": "start", "ATEND": "end"}[c[0].type]

    def shape(self, c: Children) -> Shape:
        return self._shape(str(c[0])[1:], _number(c), c)

    def shape_off(self, c: Children) -> Shape:
        return self._shape("BO", _find(c, Amount).count, c)

    def shape_on(self, c: Children) -> Shape:
        return self._shape("CO", _find(c, Amount).count, c)

    def _shape(self, action: str, count: Num, c: Children) -> Shape:
        where = next(child for child in c if isinstance(child, str) and not isinstance(child, Token))
        spells = tuple(child for child in c if isinstance(child, Spell))
        return Shape(action, count, where, spells or (Spell(ONE, Times(ONE, False, 0), None, 0),), _at(c))


@dataclass(frozen=True, slots=True)
class RowsUntil:
    """`until N sts remain` ("until") or `a total of N rounds` ("total")."""

    count: Num
    kind: str


def builder() -> Transformer[Token, list[Any]]:
    """The transformer that turns the parse tree of a line into the list of its items."""
    return _Build()


def name_of(printed: str, craft: str) -> str:
    """Canonical technique for the spelling the lexer found, in `craft` first; `KeyError` if it is none."""
    return canonical(" ".join(printed.split()), craft)
