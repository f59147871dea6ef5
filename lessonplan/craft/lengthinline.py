"""The length that a printed line is worked to: where it stands in the line, and how long it is in each size.

``Work in St st until the body measures 12 (14) cm / 4¾ (5½) in from the underarm`` is worked to 120 (140) mm; the
inches beside it say the same once more.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from lessonplan.course.values.quantities import read_length, split_sizes

_N = r"\d+(?:[.,]\d+)?(?:\s?[¼½¾⅛⅜⅝⅞⅓⅔]|\s\d/\d)?"
LENGTHS = re.compile(
    rf"{_N}(?:\s*(?:cm|in\b|inches|\")(?=\s*[(\[]))?(?:\s*[(\[]\s*{_N}(?:\s*[,;:/]\s*{_N})*\s*[)\]])?\s*(?:cm|inches|inch|in\b|\"|″|”)",
    re.IGNORECASE,
)
SHORT_OF = re.compile(
    r"\s*(?:before|short of|from|less than|shorter than)\s+(?:the|your|where|you|desired|wanted|total|full)\b"
    r"(?!\s+(?:beginning|start|cast|edge|underarm|toe|last|first|end of|bottom|hem|marker|join|division|divide))",
    re.IGNORECASE,
)
"""`until it is 5 cm before the heel`: how far that is only the maker knows."""
FROM_HERE = re.compile(r"\bfrom\s+(?:the\s+)?(?:underarms?|armholes?|divi\w+|join\w*|pick\w*)\b", re.IGNORECASE)
"""Where the part itself begins: a body or a sleeve below the yoke."""
FROM_ELSEWHERE = re.compile(
    r"\bfrom\s+(?!(?:the\s+)?(?:cast|beg|start|co\b|bottom|lower|brim edge|top\b|crown\b|cent(?:re|er)\b|ring\b))"
    r"|\bafter\b",
    re.IGNORECASE,
)
_EDGING = re.compile(r"(?:rib(?:bing)?|border|edging|band|welt|cuff|hem)", re.IGNORECASE)
_WORKED_TO = re.compile(
    r"\b(?:measur(?:es?|ing)|for|is|are|until|reach(?:es)?|(?:work|knit|purl)(?: even| straight)?)\s+"
    r"(?:(?:about|approx\w*\.?|another|a total of)\s+)*$",
    re.IGNORECASE,
)
_ONCE_MORE = re.compile(rf"\s*(?:/|,|=|\bor\b|[(\[])?\s*({LENGTHS.pattern})(?:\s*[)\]])?", re.IGNORECASE)
_SAME = 4.0
"""Millimetres by which inches may differ from the centimetres beside them: they are printed to the quarter."""


@dataclass(frozen=True, slots=True)
class LineLength:
    """A length in mm for each size and where it stands in its line, its second unit with it.

    ``typed`` is the length as one types it in a course; ``elsewhere``: it is measured from a place of its own, and
    ``told`` is where the words end that say from which.
    """

    start: int
    end: int
    typed: str
    values: tuple[float, ...]
    elsewhere: bool
    told: int


def as_typed(lengths: str) -> str:
    """Give lengths as they are typed in a course: round brackets, commas between the sizes."""
    text = re.sub(r"\s*[:;,]\s+|\s*[:;]\s*|(?<=\d)/(?=\d{2})", ", ", lengths.replace("[", "(").replace("]", ")"))
    return " ".join(text.replace("″", '"').replace("”", '"').split())


def line_length(text: str, sizes: int) -> LineLength | None:
    """Find the one length that a line is worked to; nothing where it tells of none, or of several."""
    found = [one for one in LENGTHS.finditer(text) if _WORKED_TO.search(text, 0, one.start())]
    if len(found) != 1:
        return None
    short = SHORT_OF.match(text, found[0].end())
    if short and not re.search(r"\bmeasur\w+\W+$", text[: found[0].start()], re.IGNORECASE):
        return None
    values = _read(found[0][0], sizes)
    if not values:
        return None
    end, again = found[0].end(), _ONCE_MORE.match(text, found[0].end())
    same = _read(again[1], sizes) if again else ()
    if again and same and all(abs(one - other) < _SAME for one, other in zip(values, same, strict=True)):
        end = again.end()
    clause = re.split(r"[,.;:]", text[end:], maxsplit=1)[0]
    elsewhere = FROM_ELSEWHERE.search(clause) is not None and not FROM_HERE.search(clause)
    told = end + (len(clause) if re.match(r"\s+from\b", clause) else 0)
    return LineLength(found[0].start(), end, as_typed(found[0][0]), values, elsewhere, told)


def measured_from(text: str, title: str, after: int = 0) -> str:
    """Tell where a length begins: “here”, at the “part” that ``title`` names, at the “piece”, or “elsewhere”.

    ``after``: from where in the line its words are looked at.
    """
    subject = re.search(r"(\w+)\s+measures?\b", text)
    if subject and FROM_HERE.search(text, after):
        return "part"
    if FROM_ELSEWHERE.search(text[after:]):
        return "elsewhere"
    if subject is None or _EDGING.fullmatch(subject[1]):
        return "here"
    named = subject[1].lower().rstrip("s") in title.lower() and not re.search(r"\bfrom\b", text[after:])
    return "part" if named else "piece"


def _read(text: str, sizes: int) -> tuple[float, ...]:
    try:
        each = tuple(read_length(one) for one in split_sizes(as_typed(text)))
    except ValueError:
        return ()
    each = each * sizes if len(each) == 1 else each
    return each if len(each) == sizes else ()
