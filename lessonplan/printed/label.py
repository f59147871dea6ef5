"""The beginning and the end of a printed line: its label ("Rounds 4-12:") and the counts printed after it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lessonplan.printed.tidy import NUMBER, Tidy
from lessonplan.printed.tree import Label, Num

MOST_ROUNDS = 10_000
"""No label counts so many rounds."""


class LabelError(ValueError):
    """A label that counts rounds in a way that nobody works; one sentence."""


_ROW = r"(?P<kind>rounds?|rnds?\.?|rds?|rows?|r)"
_NUMBERS = r"(?P<numbers>\d+(?:\s*(?:,\s*(?:and\s+|&\s*)?|-|to\b|through\b|and\b|&)\s*\d+)*)"
_SIDE = r"(?:\s*[\(\[]?\s*(?P<side>rs|ws|right side|wrong side)\b(?:\s+row\w*)?\s*[\)\]]?)?"
_ALSO = (
    r"(?:\s*(?:,|and|&)+\s*(?:all|every)\s+(?:other\s+|following\s+|foll\s+)*"
    r"(?P<also>ws|rs|wrong[ -]side|right[ -]side|even|odd|alt(?:ernate)?)(?:[ -]numbered)?\s*(?:rows?|"
    r"rnds?|rounds?)?)?"
)
_END = r"\s*(?:[:.=]+|-(?=\s)|(?=\s*[*(\[])|(?=\s+\S))\s*"
_NUMBERED = re.compile(rf"\s*{_ROW}\s?(?:nos?\.?\s*)?{_NUMBERS}{_ALSO}{_SIDE}\s*(?:\([a-z ]+\))?{_END}")
_NEXT = re.compile(
    rf"\s*(?:(?:on|for)\s+)?(?:the\s+)?next\s+(?:(?P<count>{NUMBER})\s+)?(?P<kind>rounds?|rnds?\.?|rows?){_SIDE}"
    r"(?:\s*[\(\[][a-z -]+[\)\]])?\s*[:,=.-]\s*"
)
_ALL = re.compile(
    rf"\s*(?:all|every)\s+(?P<also>ws|rs|even|odd)?(?:[ -]numbered)?\s*(?P<kind>rounds?|rnds?|rows?){_SIDE}\s*:\s*"
)
_NAMED = re.compile(
    rf"\s*(?P<name>(?:[a-z][a-z'-]*\s+){{1,4}}?)(?P<kind>rounds?|rnds?\.?|rows?){_SIDE}(?:\s*(?P<numbers>\d+))?"
    r"(?:\s*[\(\[][^)\]]*[\)\]])?\s*:\s*"
)
_ONLY_NUMBER = re.compile(r"\s*(?P<numbers>\d+)\s*[:)]\s*(?P<kind>)")
_PREFIX = re.compile(r"\s*(?:set-?up|setup|next|decrease|increase|inc|dec)\s*:\s*")


def split_label(tidy: Tidy) -> tuple[Label, Tidy]:
    """The label of a line, and the rest of it; `tidy` is in lower case."""
    for pattern in (_NUMBERED, _NEXT, _ALL, _NAMED, _ONLY_NUMBER):
        if match := pattern.match(tidy.text):
            return _label(match), tidy.cut(match.end(), len(tidy.text))
    if match := _PREFIX.match(tidy.text):
        return Label(), tidy.cut(match.end(), len(tidy.text))
    return Label(), tidy


def _label(match: re.Match[str]) -> Label:
    groups = match.groupdict()
    kind = "row" if (groups.get("kind") or "").startswith("row") else "round"
    if groups.get("kind") == "r" and groups.get("side"):
        kind = "row"  # "R1 (WS)" is a row, "R1" mostly a round
    numbers = _numbers(groups.get("numbers") or "")
    also = (groups.get("also") or "").replace("wrong", "ws").replace("right", "rs")[:4].rstrip(" -")
    side = {"r": "RS", "w": "WS"}.get((groups.get("side") or " ")[0], "")
    if also[:2] in ("ws", "rs"):
        also = also[:2]
    elif also.startswith("alt"):
        also = "even" if numbers and numbers[0] % 2 == 0 else "odd"
    return Label(
        kind=kind,
        first=numbers[0] if numbers else 0,
        last=numbers[-1] if numbers else 0,
        side=side,
        numbers=numbers,
        also=also,
        name=(groups.get("name") or "").strip(),
        count=tuple(int(each) for each in (groups.get("count") or "1").split("|")),
    )


def _numbers(text: str) -> tuple[int, ...]:
    """`4-12` counts every number between; `2, 4 and 6` only those printed."""
    found: list[int] = []
    joiner = ""
    for token in re.findall(r"\d+|-|to|through", text):
        if not token.isdigit():
            joiner = token
        elif joiner and found:
            if not 0 < int(token) - found[-1] < MOST_ROUNDS:
                raise LabelError(f"counts rounds from {found[-1]} to {token}, which nobody works")
            found.extend(range(found[-1] + 1, int(token) + 1))
            joiner = ""
        else:
            found.append(int(token))
            joiner = ""
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Tail:
    """Counts printed after a line: stitches there are, and (with a sign) by how much they changed; their column."""

    printed: Num = ()
    change: Num = ()
    column: int = 0


_STS = r"(?:stitch(?:es)?|sts?|sc|dc|hdc|tr)\b\.?"
_LEFT = (
    r"(?:\s*(?:rem(?:ain(?:s|ing)?)?\b|left\b|total\b|in\s+total|in\s+all|on\s+(?:the\s+|each\s+)?needles?|"
    r"now|each size|for\s+[a-z]+|in\s+(?:rnd|round|row)))*"
)
_LEAD = (
    r"(?:you\s+(?:should\s+|will\s+)?(?:now\s+)?have|there\s+(?:are|will\s+be|should\s+be)(?:\s+now)?|"
    r"leaving|making|for\s+a\s+total\s+of|"
    r"total(?:\s+of)?\s*:?|st(?:itch)?\s+count\s*:?|=|\bnow)"
)
_VALUES = rf"(?P<n>{NUMBER}|\d+(?:\s*,\s*\d+)+)"
_BRACKET = re.compile(rf"\s*[-=,.;:]*\s*[\(\[]\s*(?:{_LEAD}\s*)?{_VALUES}\s*(?:{_STS})?{_LEFT}\s*[\)\]]\s*[.;,]*\s*$")
_PLAIN = re.compile(
    rf"(?:(?<=[.,;:=\]\)*-])|(?<=\s-)|(?<=around)|(?<=across)|"
    rf"(?<=to end))\s*(?:{_LEAD}\s*)?{_VALUES}\s*{_STS}{_LEFT}\s*[.;,]*\s*$"
)
_LED = re.compile(rf"(?:^|(?<!until)[\s,.;:(-]+){_LEAD}\s*{_VALUES}\s*(?:{_STS})?{_LEFT}\s*[.;,)]*\s*$")
_REMAIN = re.compile(
    rf"(?<!until)(?<!last)(?<!next)(?<!are)(?<!only)(?<!of)(?<!bo)(?<!off)(?<!the)\s+{_VALUES}\s*{_STS}\s*"
    r"(?:rem(?:ain(?:s|ing)?)?|left|total|on\s+(?:the\s+)?needles?)\b\s*[.;,)]*\s*$"
)
_CHANGED = r"(?P<how>dec|inc)(?:reased|'?d|s|reases?)?\b\.?"
_CHANGE = re.compile(
    rf"[\s,.;:=-]*(?:[\(\[-]\s*)(?P<n>{NUMBER})\s*(?:{_STS})?\s*{_CHANGED}\s*(?P<close>[\)\],.;])*\s*$"
)
_CHANGE_FIRST = re.compile(
    rf"[\s,.;:=-]*(?:[\(\[]\s*)(?P<n>{NUMBER})\s*(?:{_STS})?\s*{_CHANGED}\s*[;,.:-]"
    r"\s*(?P<rest>[^()\[\]]*[\)\]])\s*\.?\s*$"
)
_SEPARATE_CHANGE = re.compile(rf"[,.;:]\s*(?P<n>{NUMBER})\s*{_STS}\s*(?P<how>dec|inc)(?:reased|'?d)\s*[.;,]*\s*$")


def split_tail(tidy: Tidy, sizes: int) -> tuple[Tail, Tidy]:
    """The counts printed at the end of a line, and the line without them; sizes are marked already."""
    printed: Num = ()
    change: Num = ()
    column = 0
    if match := _CHANGE_FIRST.search(tidy.text):
        change, column = _signed(match), tidy.columns[match.start("n")]
        opened = tidy.cut(match.start("rest") - 1, match.end())
        before = tidy.cut(0, match.start())
        tidy = Tidy(f"{before.text}({opened.text[1:]}", before.columns[:-1] + opened.columns)
    for _ in range(2):
        match = next((m for p in (_BRACKET, _PLAIN, _LED, _REMAIN) if (m := p.search(tidy.text))), None)
        if match and not printed and (values := _values(match["n"], sizes)):
            printed, column = values, tidy.columns[match.start("n")]
            tidy = tidy.cut(0, match.start())
        match = _CHANGE.search(tidy.text) or _SEPARATE_CHANGE.search(tidy.text)
        if match and not change:
            change, column = _signed(match), column or tidy.columns[match.start("n")]
            tidy = tidy.cut(0, match.start())
    return Tail(printed, change, column), tidy


def _values(text: str, sizes: int) -> Num:
    values = tuple(int(each) for each in re.findall(r"\d+", text))
    return values if len(values) in (1, sizes) else ()


def _signed(match: re.Match[str]) -> Num:
    sign = -1 if match["how"] == "dec" else 1
    return tuple(sign * int(each) for each in match["n"].split("|"))
