"""How far the piece is that a direction shows, where it says so in numbers or by the work just done."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lessonplan.beginning.written.changes import row_after
from lessonplan.beginning.written.given import Shown

_ROW = r"(?:rows?|rnds?|rounds?)"
_DONE = r"(?:done|finished|complete\w*|worked|behind)"
_NUMBERED = re.compile(rf"\b{_ROW}\s+(\d{{1,3}})\b(?!\s*(?:-|–|to)\s*\d)", re.IGNORECASE)
_MANY = re.compile(rf"\b(\d{{1,3}})\s+(?:more\s+)?(?:(?P<kind>inc\w*|dec\w*)\s+)?{_ROW}\b", re.IGNORECASE)
_SO_FAR = re.compile(rf"\b(?:after|with|has|have)\b|\b{_DONE}\b|\bon the needles?\b", re.IGNORECASE)
_LAST_OF = re.compile(r"\b(?:last|first|next|every|each|for|these|over)\s+(?:the\s+)?$", re.IGNORECASE)
_CAST_ON = re.compile(
    rf"\b(?:cast[- ]on(?: edge| row)?|foundation chain)\s+(?:is\s+|just\s+)?{_DONE}\b"
    rf"|\b(?:after|with)\s+(?:the\s+)?cast[- ]on\b|\bjust cast on\b",
    re.IGNORECASE,
)
_WOVEN = re.compile(r"\bends?\s+(?:are\s+)?(?:all\s+)?(?:woven|sewn|darned)\s+in\b|\bwoven[- ]in ends\b", re.IGNORECASE)
_DRY = re.compile(r"\b(?:blocked|dried)\b|(?:\b(?:is|and|the|a)\s+|[,;]\s*|^\W*)dry\b(?! towel)", re.IGNORECASE)
_WHOLE = re.compile(r"\b(?:finished|completed?|whole)\s+([^\W\d_]+)", re.IGNORECASE)
Told = tuple[str, str]
"""A piece as a shot says it, and what is to be looked at ("" where it is sure)."""


def told_in_words(direction: str, named: Shown | None, stages: Sequence[Shown]) -> Told | None:
    """The state that a direction tells in numbers or by a work; ``named`` is the stage that its words name.

    None where it tells no such thing; ("", a question) where it does and no row of the pattern answers it.
    """
    whole = _WHOLE.search(direction)
    if whole is not None and not any(_stem(whole[1]) in _words(one) for one in stages):
        return "needs: finished", ""
    if _CAST_ON.search(direction):
        cast = named if named and "cast_on" in named.works else next((s for s in stages if "cast_on" in s.works), None)
        return (f"needs: {cast.key}, after cast_on", "") if cast else None
    for words, key in ((_DRY, "block"), (_WOVEN, "weave_ends")):
        last = next((one for one in reversed(stages) if key in one.works), None)
        if words.search(direction) and last is not None:
            return f"needs: {last.key}, after {key}", ""
    numbered, many = _NUMBERED.search(direction), _MANY.search(direction)
    if numbered is None and (many is None or _LAST_OF.search(direction[: many.start()])):
        return None
    if not _SO_FAR.search(direction):
        return None
    if named is None:
        return "", "say which piece is shown"
    if many is not None and many["kind"]:
        row = row_after(named.changes, int(many[1]), more=many["kind"].lower().startswith("inc"))
        sure = f"see whether round {row} is meant: the next one shapes again"
    else:
        row = int((numbered or many)[1])  # type: ignore[index]
        begun = numbered is None and len(named.works) > 1
        sure = f"see whether round {row} of {named.title} is meant" if begun or not named.rounds else ""
    if row < 1 or (named.rounds and row > named.rounds):
        return "", f"say how far the piece is: {named.title} has no such row"
    return f"needs: {named.key} round {row}", sure


def _words(stage: Shown) -> set[str]:
    return {_stem(word) for word in re.findall(r"[^\W\d_]+", f"{stage.title} {stage.key}")}


def _stem(word: str) -> str:
    return word.lower().rstrip("s")
