"""Colours as they are seen: contrast in the picture, and as seen with the three kinds of colour blindness.

The matrices are those of Machado, Oliveira and Fernandes (2009, IEEE Trans. Vis. Comput. Graph. 15(6), table for a
severity of 1), for linear sRGB; a difference is that of CIE L*a*b* under D65 (CIE 15:2004, delta E*ab). Both papers are
cited from memory: a test holds the figures against a library that has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

Rgb = tuple[float, float, float]
"""Linear sRGB, each 0 to 1."""

KINDS = {
    "red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
"""What is not seen (protanopia, deuteranopia, tritanopia), and the matrix by which the rest is."""
APART = 20.0
"""Delta E*ab from which two yarns are told apart in a moving picture (planning choice: some ten times what a trained
eye sees side by side, 2.3 after Mahy and others 1994, from memory)."""
_TO_XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
"""Linear sRGB to XYZ (IEC 61966-2-1)."""
_WHITE = (0.9505, 1.0, 1.089)
_STEP = 0.04


def linear(colour: str) -> Rgb:
    """Give linear sRGB of ``#rrggbb`` (WCAG 2.2, definition of relative luminance)."""
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return red, green, blue


def hex_of(colour: Rgb) -> str:
    """Write linear sRGB as ``#rrggbb``; the inverse of `linear`."""
    channels = (12.92 * c if c <= 0.0031308 else 1.055 * c ** (1 / 2.4) - 0.055 for c in _clipped(colour))
    return "#" + "".join(f"{round(255 * c):02x}" for c in channels)


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb``, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    return _luminance(linear(colour))


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def seen_without(colour: str, kind: str) -> str:
    """Give ``#rrggbb`` as it is seen by those who do not see ``kind`` (red, green or blue)."""
    return hex_of(_times(KINDS[kind], linear(colour)))


def difference(one: str, other: str) -> float:
    """Give how differently two colours look, as delta E*ab: 0 alike, 100 black and white."""
    return dist(lab(one), lab(other))


def lab(colour: str) -> Rgb:
    """Give CIE L*a*b* under D65 of ``#rrggbb``."""
    x, y, z = (
        value ** (1 / 3) if value > (6 / 29) ** 3 else value / (3 * (6 / 29) ** 2) + 4 / 29
        for value in (part / white for part, white in zip(_times(_TO_XYZ, linear(colour)), _WHITE, strict=True))
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def alike_for(one: str, other: str) -> tuple[str, ...]:
    """Say who cannot tell two colours apart: ``all``, or those who do not see ``red``, ``green`` or ``blue``."""
    if difference(one, other) < APART:
        return ("all",)
    return tuple(kind for kind in KINDS if difference(seen_without(one, kind), seen_without(other, kind)) < APART)


def told_apart(one: str, other: str) -> tuple[str, str]:
    """Say what would do: the darker of two colours made darker, else the lighter lighter: (old, new), both hex.

    The least change that everybody tells apart from the other colour. Raises ``ValueError`` when none does.
    """
    dark, light = sorted((one, other), key=luminance)
    for colour, end, beside in ((dark, 0.0, light), (light, 1.0, dark)):
        ends = linear(colour)
        for step in range(1, round(1 / _STEP) + 1):
            red, green, blue = (part + (end - part) * step * _STEP for part in ends)
            new = hex_of((red, green, blue))
            if not alike_for(new, beside):
                return colour, new
    raise ValueError(f"no shade of {one} or {other} does")


def _luminance(colour: Rgb) -> float:
    return sum(part * share for part, share in zip(colour, _TO_XYZ[1], strict=True))


def _times(matrix: Sequence[Sequence[float]], colour: Rgb) -> Rgb:
    first, second, third = (sum(a * b for a, b in zip(row, colour, strict=True)) for row in matrix)
    return first, second, third


def _clipped(colour: Rgb) -> Rgb:
    red, green, blue = (min(1.0, max(0.0, part)) for part in colour)
    return red, green, blue
