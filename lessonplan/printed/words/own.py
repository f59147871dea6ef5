"""Words that a pattern of crochet makes for itself: `X = sc, V = 2 sc in one st`, and the shorthand of toys.

Only what means a technique of the table is taken over; a key that is a word of the trade already keeps its meaning.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from lessonplan.craft.techniques import canonical
from lessonplan.printed.words.phrases import phrases

TABLE = Path(__file__).parent / "shorthand.csv"
Own = tuple[tuple[str, str], ...]
"""Words as written, case and all, each with the technique it stands for."""
_DEFINED = re.compile(r"(?<![A-Za-z])([A-Z][A-Za-z]{0,5}|[a-z]{1,5}) ?(?:=|:=|stands for|means) ?([^=,;:()\[\]]+)")
_HEADING = re.compile(r"\b[Ss]izes?:? ([A-Z][\w ]*?) ?[\[(]([A-Z][^)\]\d]*)[)\]]")
_ONLY = re.compile(r"\b[Ss]izes? [^:.]*? only\b")
_LIST = re.compile(r"[(\[]([^()\[\]]*=[^()\[\]]*)[)\]]")
_NAMED_GROUP = re.compile(r"[(\[]([A-Za-z][\w-]*(?: st(?:itch)?)?) ?=:? ?([^()\[\]=]+)[)\]]")
"""`(V-st = dc, ch 1, dc in same st)` behind a line."""
_IN_ONE = re.compile(r"(?:two|2) (\w+)(?: sts?)? in(?:to)? (?:one|1|a|the same|same|the next|next|each|every)(?: \w+)?")
_GROUP = re.compile(
    r"(?:work )?[(\[]?(?P<body>(?:\d+ ?)?(?:[sh]?dc|sc|h?tr|dtr|ch)\b(?: ?-? ?\d+)?"
    r"(?:(?:, (?:and )?| and )(?:\d+ ?)?(?:[sh]?dc|sc|h?tr|dtr|ch)\b(?: ?-? ?\d+)?)*)[)\]]? "
    r"(?:all )?(?:worked )?in(?:to)? (?:the )?(?:same|next|one|1|a|indicated|specified|designated|given|st|sp)\b.*"
)
"""What a group is: `5 dc in same st`, `(2 dc, ch 1, 2 dc) in indicated space`."""
_SHORT = re.compile(
    r"(?<![A-Za-z-])X(?![A-Za-z-]).*(?<![A-Za-z-])[VA](?![A-Za-z-])|(?<![A-Za-z-])[VA](?![A-Za-z-]).*(?<![A-Za-z-])X(?![A-Za-z-])"
)


def own_words(texts: Sequence[str]) -> Own:
    """The words that the lines of a pattern explain themselves, or those of the shorthand in which they are written."""
    found = {key: value for text in texts for key, value in _definitions(text)}
    found |= dict(
        groups([((match[1],), match[2]) for text in texts if "=" in text for match in _NAMED_GROUP.finditer(text)])
    )
    if not found and any(_SHORT.search(text) for text in texts):
        found = _shorthand()
    return tuple(sorted(found.items()))


def groups(explained: Sequence[tuple[Sequence[str], str]]) -> Own:
    """The groups of stitches that a list of special stitches explains, `=` before what is worked for each.

    Each is its names with what they mean: `Shell: 5 dc in same st`.
    """
    found: dict[str, str] = {}
    for keys, meaning in explained:
        if match := _GROUP.fullmatch(" ".join(meaning.lower().strip(" .").split())):
            body = match["body"]
            found |= {key.lower(): f"=({body})" if "," in body or " and " in body else f"={body}" for key in keys}
    return tuple(sorted(found.items()))


def size_names(texts: Sequence[str], sizes: int) -> Own:
    """The names by which lines call the sizes (`Sizes Baby (Child, Adult)`), each with its number and a sign."""
    for text in texts:
        match = _HEADING.search(text)
        names = [match[1], *re.split(r" ?[,;:/–-] ?", match[2])] if match is not None else []
        if len(names) == sizes > 1 and all(name[:1].isupper() for name in names):
            return tuple((name.strip(), f"#{number}") for number, name in enumerate(names, 1))
    return ()


def explained(text: str, own: Own) -> Iterator[tuple[int, int]]:
    """The spans of the brackets of a line that hold nothing but explanations of its words."""
    keys = {key for key, _ in own}
    for match in _NAMED_GROUP.finditer(text):
        if match[1].lower() in keys:
            yield match.start() + 1, match.end() - 1
    for match in _LIST.finditer(text):
        parts = [part for part in re.split(r"[,;]", match[1]) if part.strip()]
        if all("=" in part and part.split("=")[0].strip() in keys for part in parts):
            yield match.start(1), match.end(1)


def spelled(text: str, own: Own) -> Iterator[tuple[int, int, str]]:
    """Where the own words of a pattern stand in a line, and the technique each stands for; or the number of a size.

    Of a group of stitches it is `=` and what is worked for it, where it is worked into something.
    """
    only = _ONLY.search(text)
    names = {key: value for key, value in own if value.startswith("#")} if only is not None else {}
    for name, number in names.items():
        for match in re.finditer(rf"(?<!\w){re.escape(name)}(?!\w)", text[: only.end()] if only is not None else ""):
            yield match.start(), match.end(), number
    grouped = {key: value for key, value in own if value.startswith("=")}
    for key, value in grouped.items():
        for match in re.finditer(rf"(?<![\w-])(?:1 )?{re.escape(key)}(?= in(?:to)?\b)", text, re.IGNORECASE):
            yield match.start(), match.end(), value
    keys = {key: value for key, value in own if value[:1] not in "#="}
    if keys:
        for match in re.finditer(rf"(?<![A-Za-z])(?:{'|'.join(map(re.escape, keys))})(?![A-Za-z])", text):
            yield match.start(), match.end(), keys[match[0]]


@cache
def _shorthand() -> dict[str, str]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {row["letter"]: row["value"] for row in csv.DictReader(file)}


def _definitions(text: str) -> Iterator[tuple[str, str]]:
    for key, meaning in _DEFINED.findall(text):
        known = any(len(run) == 1 and word.kind == "stitch" for run, word in phrases("crochet").get(key.lower(), ()))
        if (not known or len(key) == 1) and (value := _technique(meaning)):
            yield key, value


def _technique(meaning: str) -> str:
    words = " ".join(meaning.lower().replace(".", "").split())
    if match := _IN_ONE.fullmatch(words):
        return "inc" if _technique(match[1]) in ("sc", "hdc", "dc", "tr") else ""
    try:
        return canonical(words.removeprefix("a ").removeprefix("one ").removeprefix("1 "), "crochet")
    except KeyError:
        return ""
