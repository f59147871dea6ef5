"""Abbreviations of a printed pattern: those its list explains, and those that its lines use."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from lessonplan.craft.techniques import TERM, all_techniques, canonical, terms_of
from lessonplan.printed.leaflet.headwords import words
from lessonplan.printed.words.languages import short_words
from lessonplan.printed.words.tokens import Token

_ENTRY = re.compile(r"^\s*(?P<key>[^\s=:–—][^=:–—]{0,22}?)\s*(?:=|:|–|—|\s-{1,2}\s|-\s|\s{3,})\s*(?P<meaning>\S.*)$")
_COLUMN_HEADS = frozenset({"meaning", "description", "definition", "explanation", "bedeutung", "erklärung"})
_MOVES = {"pm": "pm", "sm": "sm", "rm": "rm", "bo": "BO", "co": "CO", "coshort": "CO", "wt": "w&t", "pu": "pu&k"}
_PLAIN_TERMS = frozenset({"row", "rib", "m", "DK", "yd"})
"""Terms that are whole words, or that tell of yarn and not of how a line is worked."""
_MORE = frozenset(
    re.findall(
        r"\w+",
        "one two of in over next stitch stitches them as if into to with make magic cast bind off on up "
        "increasing decreasing",
    )
)


@dataclass(frozen=True, slots=True)
class Explained:
    """An entry of the list of abbreviations: its spellings, what it says, and the place of its first sign (from 0)."""

    keys: tuple[str, ...]
    meaning: str
    at: int


def entries(text: str) -> Iterator[Explained]:
    """The abbreviations that a line explains: one, or several with semicolons or commas between."""
    parts = re.split(r";\s*", text) if ";" in text else [text]
    if len(parts) == 1 and (sign := next((each for each in "=:" if text.count(each) > 1), "")):
        parts = re.split(rf"[,.]\s+(?=[^,{sign}]{{1,15}}{sign})", text)
    at = 0
    for part in parts:
        place = text.find(part, at)
        at = place + len(part)
        match = _ENTRY.match(part)
        if match is not None and match["meaning"].strip().lower() not in _COLUMN_HEADS:
            start = place + match.start("key")
            yield Explained(tuple(_spellings(match["key"])), match["meaning"].strip(" ."), start)


def _spellings(key: str) -> Iterator[str]:
    """`st(s)` is st and sts; `RS/WS` are both; `sl st` is one."""
    for each in re.split(r"\s*(?:,|/|\bor\b|\boder\b)\s*", key.strip()):
        optional = re.search(r"\((\w+)\)", each)
        if optional is not None:
            yield re.sub(r"\(\w+\)", "", each).strip()
            yield each.replace("(", "").replace(")", "").strip()
        elif each:
            yield each.strip()


def meaning_of(spelling: str, craft: str) -> str:
    """What a spelling stands for, whatever its case: a technique, a term of the trade, or only itself."""
    plain = spelling.lower().strip(" .")
    try:
        return canonical(plain, craft)
    except KeyError:
        pass
    for name, _, pattern in terms_of(spelling):
        if pattern.fullmatch(spelling.strip(" .")):
            return name
    return plain.replace(" ", "").replace("-", "")


@cache
def _words() -> frozenset[str]:
    """Words that are no abbreviations: those with which the table says what techniques mean."""
    said = " ".join(each.meaning for each in all_techniques().values())
    whole = {word for word in re.findall(r"[a-z]+", said.lower()) if len(word) > 2}
    return frozenset((whole | _MORE) - {"psso", "inc", "dec", "tog"})


def used(lines: Iterable[tuple[str, tuple[Token, ...]]]) -> Mapping[str, str]:
    """The abbreviations in lines that are worked (text and tokens of each): what each means, and its print."""
    found: dict[str, str] = {}
    texts: list[str] = []
    for text, tokens in lines:
        rest = text
        for token in tokens:
            if token.kind in ("stitch", "slipjoin"):
                rest = rest[: token.at] + " " * (token.end - token.at) + rest[token.end :]
            name = token.value if token.kind == "stitch" else _MOVES.get(token.kind, "")
            printed = text[token.at : token.end]
            parts = re.findall(r"[^\W\d_]+", printed.lower())
            if name and parts and not name.startswith("(") and not any(part in _words() for part in parts):
                found.setdefault(name, _plain(printed))
        texts.append(rest)
    whole = "\n".join(texts)
    for name, _, pattern in terms_of(whole):
        entry = all_techniques()[name]
        match = pattern.search(whole)
        if match is not None and name not in found and entry.kind == TERM and name not in _PLAIN_TERMS:
            found[name] = _plain(match[0])
    return found


def used_words(texts: Iterable[str], language: str) -> Mapping[str, str]:
    """The abbreviations of another language in its lines: short words of its table that are no whole words."""
    known = {word.lower() for word in short_words(language)} - words(language)["plain"]
    found = (word for text in texts for word in re.findall(r"[^\W\d_]+", text))
    return {word.lower(): word for word in found if word.lower() in known}


def _plain(printed: str) -> str:
    """Without the capital letter that begins a sentence."""
    printed = printed.strip(" .")
    return printed if printed.isupper() and len(printed) > 1 else printed[:1].lower() + printed[1:]


def place_of(key: str, text: str) -> int:
    """Where an abbreviation is printed in a text, with or without numbers beside it; -1: nowhere."""
    case = 0 if key.isupper() and len(key) < 4 else re.IGNORECASE
    match = re.search(rf"(?<![^\W\d_]){re.escape(key)}(?![^\W\d_])", text, case)
    return match.start() if match else -1
