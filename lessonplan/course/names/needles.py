"""Which needle a part of a pattern is worked on, by what its works and the list of needles say."""

from __future__ import annotations

import re

from lessonplan.course.model.pattern import Pattern, Stage
from lessonplan.course.model.works import Knit

_SIZE = re.compile(
    r"(?<![\w.,])(?:(?P<us>\bUS\s*\d+(?:\.\d+|½|\s?1/2)?)(?![\d/])|(?P<mm>\d+(?:[.,]\d+)?)\s*mm\b)", re.IGNORECASE
)
_WORD = re.compile(r"[a-z]{4,}")
_TOOL = re.compile(r"\b(?:needles?|dpns?|hooks?)\b", re.IGNORECASE)
_TAKEN = re.compile(r"\b(?:to|take|us(?:e|ing)|with|on|onto)\b", re.IGNORECASE)
_ASIDE = re.compile(r"\b(?:spare|cable needle|waste|darning|tapestry|sewing)\b", re.IGNORECASE)
_MOST = {"smaller": min, "thinner": min, "larger": max, "bigger": max, "thicker": max}


def size_of_needle(text: str) -> str:
    """Give the size of a needle or hook as it is typed first, ``US 7`` or ``4.5 mm``; nothing where there is none."""
    found = _SIZE.search(text)
    return found[0] if found else ""


def needle_told(pattern: Pattern, stage: Stage, begun: int = 1, ended: int = 0) -> str | None:
    """Give the needle that a stage told last to take when so many of its works are ``begun``, and ``ended``.

    With its kind, ``US 7 double-pointed``, where the text says so; empty where it is told in words that do not tell
    which, as “the smaller” of three; ``None`` where nothing is told.
    """
    texts = list[str]()
    for place, work in enumerate(stage.works[:begun]):
        texts += [work.before, *(work.lines if isinstance(work, Knit) else ()), *([work.note] if place < ended else [])]
    sentences = (one for text in texts for one in re.split(r"(?<=[.!?;])\s", text) if _is_order(one))
    told = [needle for one in sentences if (needle := _called(pattern, one)) is not None]
    return told[-1] if told else None


def needle_listed(pattern: Pattern, key: str) -> str:
    """Give the needle that the list names for a stage: ``US 5`` of ``US 5 for the neckband and the bands``."""
    names = _words(f"{key} {pattern.stages[key].title}")
    found = [text for text in pattern.needles if names & _words(text.partition(" for ")[2])]
    sizes = {size_of_needle(text) for text in found}
    return _with_kind(found[0], *sizes) if len(sizes) == 1 and found else ""


def _is_order(sentence: str) -> bool:
    """Whether a sentence tells to take a needle."""
    return all(one.search(sentence) for one in (_TOOL, _TAKEN)) and _ASIDE.search(sentence) is None


def _called(pattern: Pattern, sentence: str) -> str | None:
    sizes = [one[0] for one in _SIZE.finditer(sentence)]
    if sizes:
        return _with_kind(sentence, sizes[-1])
    most = next((pick for word, pick in _MOST.items() if re.search(rf"\b{word}\b", sentence, re.IGNORECASE)), None)
    listed = dict.fromkeys(filter(None, map(size_of_needle, pattern.needles)))
    return (most(listed, key=_number) if len(listed) == 2 else "") if most else None


def _number(size: str) -> float:
    found = re.search(r"\d+(?:[.,]\d+)?", size)
    return float(found[0].replace(",", ".")) if found else 0.0


def _with_kind(text: str, size: str) -> str:
    pointed = re.search(r"double[- ]pointed|\bdpns?\b", text, re.IGNORECASE) and not re.search("circular", text, re.I)
    return f"{size} double-pointed" if pointed and size else size


def _words(text: str) -> frozenset[str]:
    """Give the words of a text, each as one: “bands” are a “band”."""
    return frozenset(word.removesuffix("s") for word in _WORD.findall(text.lower()))
