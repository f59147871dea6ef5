"""A length that is typed once: ``{{ length }}`` in a line is the length that its work has as ``rounds`` or ``rows``."""

from __future__ import annotations

import re
from typing import Any

from lessonplan.course.values.quantities import read_extent

_NAMED = re.compile(r"\{\{\s*length\s*\}\}")


def length_put_in(data: Any) -> Any:
    """Put the length of the rounds or rows of a work, as it is typed, into those of its lines that name it."""
    lines = data.get("lines") if isinstance(data, dict) else None
    if not _NAMED.search(str(lines)):
        return data
    typed = _typed(data.get("rounds", data.get("rows")))
    if not typed:
        return data
    each = lines if isinstance(lines, list) else [lines]
    filled = [_NAMED.sub(typed, one) if isinstance(one, str) else one for one in each]
    return {**data, "lines": filled if isinstance(lines, list) else filled[0]}


def _typed(value: Any) -> str:
    """A length of all sizes in one text, as it is typed; nothing where it is none."""
    first, *others = value if isinstance(value, list) and value else [value]
    text = f"{first} ({', '.join(map(str, others))})" if others else str(first)
    try:
        return " ".join(text.split()) if read_extent(text).kind == "length" else ""
    except ValueError:
        return ""
