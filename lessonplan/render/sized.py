"""Numbers of all sizes and lengths in two units, marked up so that a page can show one size and one unit alone.

``40 (44, 48)`` becomes spans of the classes ``s0``, ``s1``, ``s2`` with the signs between them; ``5 cm, 2 in`` spans
of the classes ``cm`` and ``in``. The text itself stays what it was.
"""

from __future__ import annotations

import re
from functools import cache

from markupsafe import Markup, escape

_ONE = r"\d[\d.,]*[¼½¾⅛⅜⅝⅞]?|[¼½¾⅛⅜⅝⅞]"
_NUMBER = rf"(?:{_ONE})(?:–(?:{_ONE}))?|–"
_LENGTH = rf"-?(?:{_NUMBER})(?:\u00a0\([^()<>]*\))?"
_BOTH = re.compile(
    rf"(?P<cm>{_LENGTH}\u00a0cm)(?:(?P<comma>, )(?P<in>{_LENGTH}\u00a0in)| \((?P<bracketed>{_LENGTH}\u00a0in)\))"
)
_NAMED = re.compile(r"[^\W\d_]+|\d?X*[SML]")
"""A size by its name, such as Medium or 2XL, and no stitch, such as k1."""
_GROUP = re.compile(r"(?P<first>[^\s()<>]+)\u00a0\((?P<others>[^()<>]+)\)")


def sized(text: str, sizes: int) -> Markup:
    """Mark up a text (escaped unless it is Markup already) of a pattern in so many sizes."""
    return Markup(_sized(str(escape(text)), sizes))


@cache
def _sized(text: str, sizes: int) -> str:
    text = _BOTH.sub(_units, text)
    return _GROUP.sub(lambda found: _group(found, sizes), text) if sizes > 1 else text


def _units(found: re.Match[str]) -> str:
    opening, inches, closing = (
        (", ", found["in"], "") if found["comma"] else (" (", found["bracketed"], '<span class="ci">)</span>')
    )
    between = f'<span class="ci">{opening}</span>'
    return f'<span class="cm">{found["cm"]}</span>{between}<span class="in">{inches}</span>{closing}'


def _group(found: re.Match[str], sizes: int) -> str:
    others = re.split(r",[ \u00a0]", found["others"])
    numbers = all(re.fullmatch(_NUMBER, one) for one in others)
    if len(others) != sizes - 1 or not (numbers or all(map(_NAMED.fullmatch, others))):
        return found[0]
    # What stands before the digits ("K" of K20) belongs to every size.
    number = re.search(rf"-?(?:{_NUMBER})$", found["first"]) if numbers else None
    before = found["first"][: number.start()] if number else ""
    values = [found["first"][len(before) :], *others]
    parts = []
    for size, value in enumerate(values):
        sign = "" if size == 0 else "\u00a0(" if size == 1 else ",\u00a0" if ",\u00a0" in found["others"] else ", "
        parts.append((f'<span class="sp">{sign}</span>' if sign else "") + f'<span class="s{size}">{value}</span>')
    return f'{before}<span class="sz">{"".join(parts)}<span class="sp">)</span></span>'
