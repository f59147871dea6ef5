"""What print says of a chain in brackets beside it: that it stands for a stitch, or that it does not.

An aside is told by its words alone, whatever their order: all of them are in `turning.csv`, one names a stitch, and one
says "stands for" or the like ("(= 1 tr)", "(the skipped chs are the first dc)", "(not a stitch, here or anywhere)").
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

TABLE = Path(__file__).parent / "turning.csv"
_ASIDE = re.compile(r"[(\[]([^()\[\]]{2,90})[)\]]")
_BESIDE = re.compile(r"(?:\bch(?:ain)?s?\.? ?-? ?\d{1,2}|\b\d{1,2} ?-?ch(?:ain)?s?\.?|\bt-?ch|from (?:the )?hook),? ?$")
"""A chain straight before the bracket."""
_WORKED = re.compile(r" ?(?:(?:all |both )?(?:in|into|around|over)|twice|\d+ times)\b")
"""Behind a bracket that is worked: `skip 2 ch, (1 dc, 1 ch, 1 dc) in next ch`."""
_STANDS = re.compile(r"=|\b(?:counts?|counted|as|for|stands?|is|are)\b")
_AND_CHAINS = re.compile(
    r"(?:\+|,|plus|and|&) ?(?:a |1 )?(?:\d ?ch(?:ain)?s?\b\.?|ch(?:ain)?s? ?-? ?\d)(?: ?-?sp(?:ace)?\b\.?)?"
)
"""`(= 1 tr, 2 ch)`: what the rest of a longer chain is."""
_LENGTH = re.compile(r"\b(?:\d{1,2} ?-?(?=(?:missed |skipped )?ch)|(?<=ch) ?-? ?\d{1,2}\b|(?<=chain) \d{1,2}\b)")
_WORD = re.compile(r"[a-z](?:[a-z'-]*[a-z])?|\d+(?:st)?|=|\S")


@cache
def _classes() -> dict[str, frozenset[str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {row["class"]: frozenset(row["words"].split("|")) for row in csv.DictReader(file)}


def meaning(words: str, *, beside: bool) -> str:
    """What an aside in lower case says of a chain: "counts", "not", or "" if it is about something else.

    `beside`: it stands straight behind a chain, which it need not name.
    """
    classes = _classes()
    found = _WORD.findall(_LENGTH.sub(" ", _AND_CHAINS.sub(" ", words)).replace(".", " ").replace(",", " "))
    known = {name for word in found for name, of in classes.items() if word in of}
    if not found or not all(any(word in of for of in classes.values()) for word in found):
        return ""
    if not (beside or "chain" in known) or not known & {"stitch", "not"}:
        return ""
    if "not" in known:
        return "not" if known & {"stitch", "stands"} else ""
    return "counts" if known & {"stands", "one"} and found[-1] != "chain" else ""


def asides(lower: str) -> Iterator[tuple[str, int, int]]:
    """What the brackets of a line in plain lower case say of chains, with the span of the words in each."""
    for match in _ASIDE.finditer(lower):
        if _WORKED.match(lower, match.end()) and not _STANDS.search(match[1]):
            continue
        if said := meaning(match[1], beside=_BESIDE.search(lower, 0, match.start()) is not None):
            yield said, match.start(1), match.end(1)


_LEAD = re.compile(r"^\W*(?:please )?(?:note\w*)?(?: that)?[\s:.,-]*")
_CLAUSE = re.compile(r"[.;,()\[\]]\s*|\b(?:and|but)\b(?=.*\bch)")
_MADE = re.compile(r"\W*(?:ch(?:ain)? ?\d+|\d+ ?ch),? ?[(\[]")
"""A chain that is made, with what is said of it in brackets."""
_UNLESS = re.compile(r"\b(?:unless|except|if not)\b.*")
_NUMBER = re.compile(r"\bch(?:ain)?s? ?-? ?(\d{1,2})\b|\b(\d{1,2}) ?-?ch(?:ain)?s?\b")
_NAMED = re.compile(
    r"(?:the |each |every )?(?:t-?ch(?:ain)?\b|(?:turning|beg\w*|starting|initial|first) (?:\d )?ch(?:ain)?s?\b|ch)"
)


def notes_said(lower: str) -> tuple[tuple[int, str], ...]:
    """What a sentence in plain lower case that is about nothing else says of the chains at the beginning of rows.

    Each with its number of chains, 0 for all of them: `The ch 3 at the beginning of a row counts as a dc.`
    """
    found: list[tuple[int, str]] = []
    named = ""
    if _MADE.match(lower):
        return ()
    for clause in filter(None, map(str.strip, _CLAUSE.split(_UNLESS.sub("", _LEAD.sub("", lower))))):
        if not (said := meaning(f"{named} {clause}".strip(), beside=False)):
            if not _NAMED.match(clause) or not meaning(f"{clause} counts as a stitch", beside=False):
                return ()
            named = clause  # `the tch (ch 3) counts as ...`
            continue
        number = _NUMBER.search(f"{named} {clause}")
        found.append((int(number[1] or number[2]) if number else 0, said))
        named = ""
    return tuple(found)


_NOT_COUNTED = re.compile(r"(?:\bnot|n't|never|without being) count(?:ed|s)?\b(?! as 0)")
_GROUPED = re.compile(
    r"\bin (?:the )?same \w+[^()]{0,9}\((?:this )?counts? as (?:the |a |one )?(?:(?:first|1st|beg\w*) )?(?:[\w-]+ )?"
    r"(?:cl|cluster|bobble|puff|popcorn)\b"
)
"""`Ch 3, dc in same st (counts as first cl)`: the chain and the stitch beside it are one."""
_COUNTED = re.compile(
    r"\bcount(?:s|ed)? as\b|\bch(?:ain)? \d \((?:for|as) |\bfirst \w+ made\b"
    r"|\b(?:ch(?:ain)?\.? \d|\d ?ch(?:ain)?\.?),? (?:to \w+ )?(?:for|as) (?:the )?(?:first|1st|1|one|a) "
    r"(?!ch|sp|lp|loop|picot)"
)
"""`Ch 3 for first dc`, `3 ch. to stand for first tr.`"""
_CHAIN = r"(?:the |your |that |beg\w*\.? |turning |starting |first |initial )*(?:\d ?)?(?:ch|t-?ch)"
_JOINED = re.compile(
    rf"\btop of {_CHAIN}"
    rf"|\b(?:[2-6](?:nd|rd|th)|second|third|fourth|fifth) (?:ch |st |chain )?of {_CHAIN}"
)


def chain_said(lower: str) -> str:
    """What a line in plain lower case says of its turning chain, in words or by its join: see `Line.chain`."""
    told = {said for said, _, _ in asides(lower)}
    if _NOT_COUNTED.search(lower) or "not" in told or _GROUPED.search(lower):
        return "not"
    return "counts" if told or _COUNTED.search(lower) else "joined" if _JOINED.search(lower) else ""


_TOP = re.compile(
    r"\b(?:sl(?:ip)?\.? ?-?st(?:itch)?|slst|s\.? ?s|join\w*|close\w*)\b\.?[^.;*\d]{0,24}"
    rf"\b(?:([2-6])(?:nd|rd|th)|(second|third|fourth|fifth|sixth)) (?:ch |st |chain )?of {_CHAIN}"
)
_ORDINALS = ("second", "third", "fourth", "fifth", "sixth")


def top_said(lower: str) -> int:
    """The chain of those at the beginning into which a round in plain lower case is joined, or 0: `into 3rd of 4 ch`.

    So many stand for the stitch; the others are a space.
    """
    found = _TOP.search(lower)
    return 0 if found is None else int(found[1] or 2 + _ORDINALS.index(found[2]))
