"""How a length is printed: as it was typed, or computed and rounded once, in centimetres, inches or both.

A typed length stays as typed. A computed one is rounded to the millimetre under 10 cm and to the half centimetre from
there on (planning choice: a round of usual yarn is 2 to 4 mm long). Where both units are printed, the inches come from
the printed centimetres, to the eighth under 10 cm and to the quarter above, so that one length never has two inches.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

from lessonplan.craft.gauge import round_half_up

Units = Literal["cm", "in", "both"]
INCH = 25.4
"""Millimetres."""
FINE = 100.0
"""Millimetres under which a length is printed to the millimetre and the eighth of an inch."""
NO_BREAK = "\u00a0"
MOST_UNBROKEN = 6
"""Sizes whose values stay on one line; more of them would not fit on a phone."""
_NEAR = 1e-6
_FRACTIONS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def printed_mm(length: float, *, typed: bool = False, about: bool = False) -> float:
    """Give the length in mm that is printed in centimetres for a length in mm.

    ``typed`` keeps what was typed (but a length in inches comes to the millimetre); ``about`` rounds any to 5 mm.
    """
    if typed and not about:
        tenths = round(length * 10) / 10
        return tenths if abs(tenths - length) < _NEAR and not _typed_in_inches(length) else round_half_up(length)
    if about or length >= FINE:
        return 5.0 * round_half_up(length / 5)
    return float(round_half_up(length))


def centimetres(length: float, *, typed: bool = False, about: bool = False) -> str:
    """Word a length in mm as a number of centimetres: ``5.7``."""
    return f"{round(printed_mm(length, typed=typed, about=about) / 10, 2):g}"


def inches(length: float, *, typed: bool = False, about: bool = False, alone: bool = False) -> str:
    """Word a length in mm as a number of inches: ``6¾``. ``alone``: no centimetres are printed beside them."""
    return _in_inches(printed_inches(length, typed=typed, about=about, alone=alone))


def printed_inches(length: float, *, typed: bool = False, about: bool = False, alone: bool) -> float:
    """Give the inches that are printed for a length in mm, as `inches` words them."""
    in_inches = length / INCH
    if typed and not about and abs(in_inches * 8 - round(in_inches * 8)) < _NEAR:
        return round(in_inches * 8) / 8
    if typed and not about and _typed_in_inches(length):
        return round(in_inches, 2)
    shown = length if alone else printed_mm(length, typed=typed, about=about)
    fine = shown < FINE and not about
    return (round_half_up(shown / INCH * 8) if fine else 2 * round_half_up(shown / INCH * 4)) / 8


def _in_inches(value: float) -> str:
    return eighths(round(value * 8)) if value * 8 == round(value * 8) else f"{round(value, 2):g}"


def eighths(count: int) -> str:
    """Word so many eighths of an inch: ``1⅜``; fewer than none ``-1⅜``."""
    whole, part = divmod(abs(count), 8)
    return ("-" if count < 0 else "") + (str(whole) if whole or not part else "") + _FRACTIONS[part]


def _typed_in_inches(length: float) -> bool:
    """Tell whether a typed length can only have been typed in inches: a hundredth of an inch, and no millimetre."""
    hundredths, eights = length / INCH * 100, length / INCH * 8
    in_inches = abs(hundredths - round(hundredths)) < _NEAR or abs(eights - round(eights)) < _NEAR
    return in_inches and abs(length - round(length)) > _NEAR


def lengths_text(lengths: Sequence[float], units: Units, *, typed: bool = False, about: bool = False) -> str:
    """Word a length in mm for each size with its units: ``5 (5.7, 6.3) cm, 2 (2¼, 2½) in``."""
    parts = []
    if units != "in":
        text = sizes_text([centimetres(one, typed=typed, about=about) for one in lengths])
        parts.append(f"{text}{NO_BREAK}cm")
    if units != "cm":
        alone = units == "in"
        text = sizes_text([inches(one, typed=typed, about=about, alone=alone) for one in lengths])
        parts.append(f"{text}{NO_BREAK}in")
    return ", ".join(parts)


def differences_text(longer: Sequence[float], typed: Sequence[float], units: Units) -> str:
    """Word by how much computed lengths in mm are longer than typed ones, by what is printed."""
    pairs = [*zip(longer, typed, strict=True)]
    parts = []
    if units != "in":
        over = [printed_mm(one) - printed_mm(other, typed=True) for one, other in pairs]
        parts.append(f"{sizes_text([f'{round(one / 10, 2):g}' for one in over])}{NO_BREAK}cm")
    if units != "cm":
        alone = units == "in"
        ends = [(printed_inches(a, alone=alone), printed_inches(b, typed=True, alone=alone)) for a, b in pairs]
        over = [one - other for one, other in ends]
        parts.append(f"{sizes_text([*map(_in_inches, over)])}{NO_BREAK}in")
    return ", ".join(parts)


def length_in_a_sentence(length: float, units: Units) -> str:
    """Word a typed length in mm where commas or an “in” stand near: ``10 cm (4 in)``."""
    first, _, second = lengths_text([length], units, typed=True).partition(", ")
    return f"{first} ({second})" if second else first


def sizes_text(values: Sequence[str]) -> str:
    """Put the values of all sizes together as patterns print them, once if they are all equal; never broken."""
    if len(set(values)) == 1:
        return values[0]
    space = NO_BREAK if len(values) <= MOST_UNBROKEN else " "
    return f"{values[0]}{NO_BREAK}({f',{space}'.join(values[1:])})"


_GROUP = re.compile(r"\d[\d.,⅛¼⅜½⅝¾⅞]* [(\[][^()\[\]]*[)\]]")
_WITH_UNIT = re.compile(r"(?<=[\d⅛¼⅜½⅝¾⅞)\]]) (?=(?:cm|mm|in|m|yd|g|h|min|sts?)\b)")


def unbroken(text: str) -> str:
    """Keep the values of all sizes, and a number with its unit, on one line: ``K20 (22, 24)``."""

    def group(found: re.Match[str]) -> str:
        """One value for each size, kept on one line where they are few."""
        values = found[0].count(",") + 2
        return found[0].replace(" ", NO_BREAK) if values <= MOST_UNBROKEN else found[0].replace(" ", NO_BREAK, 1)

    return _WITH_UNIT.sub(NO_BREAK, _GROUP.sub(group, text))
