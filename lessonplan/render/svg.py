"""Pictures as SVG written into a page: escaped elements, rounded numbers, and what all pictures share.

No element carries a style attribute and there is no style sheet inside, so that a strict content security policy
holds; lines and letters are in ``currentColor``, so that they follow the page in the dark and in print.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

from lessonplan.craft.colours import contrast

PALETTE = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#F0E442", "#999999")
"""Okabe & Ito 2008 (CRAN see manual), the ones that show best on white first; yellow only with a dark outline."""

TYPE = 12.0
"""The type size in px of names and dates."""
LETTER = 0.56
"""Width of a middling letter as a share of the type size, to judge what fits; measured on sans-serif faces."""

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def number(value: float) -> str:
    """Write a number with one decimal at most, the same on every machine: ``3``, ``-0.5``."""
    text = f"{value:.1f}"
    text = text.removesuffix(".0")
    return "0" if text == "-0" else text


def element(name: str, *children: str, **attributes: str | float | None) -> Markup:
    """Write an element. Text children are escaped, Markup ones are not; ``stroke_width`` becomes ``stroke-width``.

    An attribute that is None is left out. A trailing underscore is dropped (``class_``).
    """
    parts = [f"<{name}"]
    for key, value in attributes.items():
        if value is not None:
            text = value if isinstance(value, str) else number(value)
            parts.append(f' {key.rstrip("_").replace("_", "-")}="{escape(plain(text))}"')
    inner = "".join(child if isinstance(child, Markup) else escape(plain(child)) for child in children)
    parts.append(f">{inner}</{name}>" if inner else "/>")
    return Markup("".join(parts))


def plain(text: str) -> str:
    """Drop the characters that XML 1.0 does not allow (section 2.2)."""
    return _NOT_XML.sub("", text)


def identifier(prefix: str, name: str) -> str:
    """Make an id that is a name in XML and in CSS, from a prefix that the caller keeps unique on its page."""
    clean = re.sub(r"[^A-Za-z0-9_-]", lambda found: f"_{ord(found.group()):x}", prefix)
    return f"{clean if clean[:1].isalpha() else 'd' + clean}-{name}"


def picture(
    prefix: str, title: str, words: str, width: float, height: float, children: Iterable[str], class_: str
) -> Markup:
    """Write a whole picture with its alternative in words; ``width`` and ``height`` are in px as shown."""
    title_id, words_id = identifier(prefix, "t"), identifier(prefix, "d")
    return element(
        "svg",
        element("title", title or "Picture", id=title_id),
        element("desc", words, id=words_id),
        *children,
        class_=class_,
        role="img",
        aria_labelledby=title_id,
        aria_describedby=words_id,
        width=width,
        height=height,
        viewBox=f"0 0 {number(width)} {number(height)}",
        focusable="false",
    )


def text(x: float, y: float, words: str, size: float, **more: str | float | None) -> Markup:
    """Write a line of text; ``y`` is the line it stands on."""
    return element("text", words, x=x, y=y, font_size=size, fill=more.pop("fill", "currentColor"), **more)


def line(x1: float, y1: float, x2: float, y2: float, **more: str | float | None) -> Markup:
    """Draw a straight line in the colour of the text."""
    return path(f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}", stroke_width=1, **more)


def path(d: str, **attributes: str | float | None) -> Markup:
    """Draw a path: not filled, in the colour of the text, unless told otherwise."""
    attributes.setdefault("fill", "none")
    if attributes["fill"] == "none":
        attributes.setdefault("stroke", "currentColor")
    return element("path", d=d, **attributes)


def polyline(points: Sequence[tuple[float, float]], close: bool = False) -> str:
    """Write the way along some points as path data, with whole steps left out."""
    if not points:
        return ""
    parts, last = [f"M{number(points[0][0])} {number(points[0][1])}"], points[0]
    for point in points[1:]:
        (ax, ay), (bx, by) = ((number(x), number(y)) for x, y in (last, point))
        if ax == bx and ay == by:
            continue
        parts.append(f"H{bx}" if ay == by else f"V{by}" if ax == bx else f"L{bx} {by}")
        last = point
    return "".join(parts) + ("Z" if close else "")


def wrapped(words: str, letters: int, lines: int) -> list[str]:
    """Break words into lines of so many letters at most; what is left over ends in an ellipsis."""
    found: list[str] = [""]
    for word in words.split():
        joined = f"{found[-1]} {word}".strip()
        if len(joined) <= letters or not found[-1]:
            found[-1] = joined
        else:
            found.append(word)
    cut = found[:lines]
    if len(found) > lines:
        cut[-1] = cut[-1][: letters - 1] + "…"
    return [one if len(one) <= letters else one[: letters - 1] + "…" for one in cut]


def ink_on(colour: str) -> str:
    """Give black or white, whichever reads better on a colour."""
    return max(("#000", "#fff"), key=lambda ink: contrast("#000000" if ink == "#000" else "#ffffff", colour))


def strip_width(names: Iterable[str]) -> float:
    """Give the width in px of a strip with the names of rows, the longest of which may have to be wrapped."""
    return min(132.0, max(map(len, names)) * TYPE * LETTER + 14)


def in_strip(name: str, width: float, middle: float, most: int) -> list[Markup]:
    """Write the name of a row into its strip, on so many lines at most around the middle of the row."""
    lines = wrapped(name, int((width - 12) / (TYPE * LETTER)) + 1, most)
    first = middle + 4 - (len(lines) - 1) * 7
    return [text(width - 6, first + n * 14, words, TYPE, text_anchor="end") for n, words in enumerate(lines)]


def strip(parts: Iterable[Markup], width: float, tall: float) -> Markup:
    """Draw a strip of names: a picture of its own, that can stay while the rest is scrolled."""
    box = f"0 0 {number(width)} {number(tall)}"
    size = {"width": width, "height": tall}
    return element("svg", *parts, class_="picture-names", **size, aria_hidden="true", focusable="false", viewBox=box)


def scrolled(title: str, names: Markup, plot: Markup) -> Markup:
    """Put a picture beside its strip of names, in a container that scrolls by itself."""
    return element("div", names, plot, class_="picture-scroll", tabindex="0", role="region", aria_label=title)
