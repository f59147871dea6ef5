"""Words swapped in a sequence that is known from its technique, whether there is a script or not.

Each technique has places in its telling where one of two words is right: the bar is lifted from the front or from the
back, a decrease leans left or right, a stitch is slipped as if to knit or as if to purl. The steps are those of
craft/tables/sequences.csv (common practice).
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

_NAMES = (
    (
        "m1l",
        r"m (?:one|1) l|m1l|make (?:one|a) left|left leaning (?:increase|one)|for the left one(?= (?:you|we|i"
        r"|lift|the bar|it)\b)|(?:first"
        r"|now) the one that leans (?:to the )?left",
    ),
    (
        "m1r",
        r"m (?:one|1) r|m1r|make (?:one|a) right|right leaning (?:increase|one)|for the right one(?= (?:you|we|i"
        r"|lift|the bar|it)\b)|(?:then"
        r"|now) the one that leans (?:to the )?right",
    ),
    ("other", r"mirror(?:ed)?|the other (?:one|side|end|marker|way)"),
    ("ssk", r"slip slip knit|ssk|s s k|slip (?:one|the first|a stitch) (?:as if to knit|knitwise)(?= (?:and |then )?(?:slip|another|a second|the second|the next))"),
    ("k2tog", r"knit (?:two|to|too|2) together|k2tog|k (?:two|2) ?tog(?:ether)?|k2 together"),
)
_NAME = re.compile("\\b(?:" + "|".join(f"(?P<{name}>(?:{pattern})\\b)" for name, pattern in _NAMES) + ")")
_LEANS = {"m1l": "left", "m1r": "right", "ssk": "left", "k2tog": "right", "skp": "left"}
_LIFTS = {"m1l": "front", "m1r": "back"}
_KNITS = {"m1l": "back", "m1r": "front"}
_NOT = re.compile(r"(?<!as )\b(?:if|not|never|don't|dont|instead of|rather than|unless)\b")
_REACH = 25
"""Words over which the name of a technique holds."""
LONG_REACH = 45
"""The same for what is told slowly: a bar is found, lifted, and at last knitted."""


@dataclass(frozen=True, slots=True)
class Swap:
    """A word that is not the right one: its tokens, and what is right."""

    first: int
    end: int
    right: str


def swaps_in(words: Sequence[str], techniques: frozenset[str]) -> tuple[Swap, ...]:
    """Find the swapped words in what is said of the ``techniques`` of a segment."""
    text = _Text(words)
    found = sorted(
        (swap for rule in RULES for swap in rule(text, techniques)), key=lambda swap: (swap.first, -swap.end)
    )
    kept: list[Swap] = []
    for swap in found:
        if not kept or swap.first >= kept[-1].end:
            kept.append(swap)
    return tuple(kept)


class _Text:
    """Words joined by blanks, so that they can be searched by expressions and places given in words."""

    def __init__(self, words: Sequence[str]) -> None:
        self.words = words
        self.text = " ".join(words)
        self.starts: list[int] = []
        at = 0
        for word in words:
            self.starts.append(at)
            at += len(word) + 1
        self.names = [
            (self.word(one.start()), self.word(one.end() - 1) + 1, one.lastgroup or "")
            for one in _NAME.finditer(self.text)
        ]

    def word(self, place: int) -> int:
        """The word that a place of the text lies in."""
        return bisect_right(self.starts, place) - 1

    def named(self, at: int, of: Sequence[str], reach: int = _REACH) -> str:
        """The technique named last before a word, among some, where none other was named since."""
        before = [one for one in self.names if at - reach <= one[0] < at]
        return before[-1][2] if before and before[-1][2] in of else ""

    def denied(self, place: int) -> bool:
        """Whether a “not”, an “if” or a “never” stands before a place."""
        return _NOT.search(" ".join(self.words[max(0, self.word(place) - 6) : self.word(place)])) is not None

    def swap(self, one: re.Match[str], group: str, right: str, whole: bool = False) -> Swap:
        """Make a swap of a group of a match, or of all of the match."""
        begin, stop = one.span(0 if whole else group)
        return Swap(self.word(begin), self.word(stop - 1) + 1, right)


_LIFT = re.compile(r"\b(?:from|under) (?:the )?(?P<w>front|back)\b(?! (?:needle|of the (?:work|hand)))")
_BAR = re.compile(r"\bbar (?:from )?(?:the )?(?P<w>(?P<from>front|back) to (?:the )?(?:front|back))\b")
_THROUGH = re.compile(
    r"\b(?:through|into) (?:the )?(?P<w>front|back)\b(?! of the (?:work|hand|piece"
    r"|fabric|first|next))(?! and back)"
)
_LEAN = re.compile(r"\bleans?(?:ing)?(?: a bit)?(?: to(?:ward|wards)?(?: the)?)? (?P<w>left|right)\b")
_NEEDLE = re.compile(
    r"\b(?P<w>(?P<side>left|right) needle) (?:goes|picks|lifts|under|comes|in)\b"
    r"(?: \w+){0,4}? ?\b(?:bar|it|from|lifts)\b"
)


def _made_one(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Make one left: lifted from the front, knitted through the back; make one right the other way about."""
    of = ("m1l", "m1r")
    if not ({*of} & techniques or {one[2] for one in text.names} & {*of}):
        return
    lifted, lifted_at, found = "", -99, list[Swap]()
    last: Swap | None = None
    for one in sorted([*_LIFT.finditer(text.text), *_THROUGH.finditer(text.text)], key=lambda each: each.start()):
        at, lift = text.word(one.start()), one[0].startswith(("from", "under"))
        if text.denied(one.start()):
            continue
        name, meant = text.named(at, of, LONG_REACH), one["w"]
        if name:
            meant = (_LIFTS if lift else _KNITS)[name]
        elif not lift and at - lifted_at <= LONG_REACH and one["w"] == lifted:
            meant = "back" if lifted == "front" else "front"
        if one["w"] != meant:
            swap = text.swap(one, "w", meant)
            if not lift and last and swap.first - last.end <= 16:  # both words of one telling are one slip
                swap, last = Swap(last.first, swap.end, f"from the {last.right}, through the {meant}"), None
                found.pop()
            found.append(swap)
            last = swap if lift else None
        if lift:
            lifted, lifted_at = meant, at  # what follows goes by what was meant
    yield from found
    for one in _BAR.finditer(text.text):
        name = text.named(text.word(one.start()), of, LONG_REACH)
        if name and one["from"] != _LIFTS[name] and not text.denied(one.start()):
            yield text.swap(one, "w", f"{_LIFTS[name]} to {'back' if _LIFTS[name] == 'front' else 'front'}")
    for one in _NEEDLE.finditer(text.text):
        around = text.words[text.word(one.start()) : text.word(one.end()) + 6]
        if one["side"] == "right" and "bar" in around and not text.denied(one.start()):
            yield text.swap(one, "w", "left needle")


def _leaning(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Each increase and decrease leans to its own side."""
    for one in _LEAN.finditer(text.text):
        at = text.word(one.start())
        name = text.named(at, tuple(_LEANS), 22)
        between = " ".join(text.words[max((n[1] for n in text.names if n[0] < at), default=0) : at])
        if (
            name
            and one["w"] != _LEANS[name]
            and (
                between.removeprefix("and ") in ("that one", "this one")
                or not re.search(r"\b(?:other|mirror|this|that one|first the one)\b", between)
            )
        ):
            yield text.swap(one, "w", _LEANS[name])


_SLIP_AS = re.compile(
    r"\b(?:slip(?:ped)?|move|it across|another one|them)\b(?: (?!knit\b)\w+){0,6}? "
    r"(?P<w>as if to (?P<as>knit|purl)|(?P<wise>knit|purl)wise)\b"
)


_BOTH = re.compile(
    r"\b(?P<needle>left|right) needle (?:goes |comes |tip )?(?:goes )?(?:in|into|through) (?:the )?(?P<side>front|back)s? of"
    r" (?:both|them|these|the two|those)\b"
)


def _slipped(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Stitches of an ssk are slipped as if to knit; those that only move across, as if to purl."""
    last = -99
    for one in _SLIP_AS.finditer(text.text):
        at = text.word(one.start("w"))
        said = one["as"] or one["wise"]
        ssk = bool(text.named(at, ("ssk",), 30)) or ("ssk" in techniques and "wyib" not in techniques)
        crossing = "wyib" in techniques and not ssk
        right = "knit" if ssk else "purl" if crossing else said
        if said != right and not text.denied(one.start("w")) and at - last > 12:
            last = at
            yield text.swap(one, "w", f"as if to {right}")
    for one in _BOTH.finditer(text.text) if "ssk" in techniques else ():
        if (one["needle"], one["side"]) != ("left", "front") and not text.denied(one.start()):
            group = "needle" if one["needle"] == "right" else "side"
            yield text.swap(one, group, "left" if group == "needle" else "front")
    for one in re.finditer(r"\bthrough (?:the|their) (?P<w>front) loops?\b", text.text):
        of_ssk = text.named(text.word(one.start()), ("ssk",), 30) or "ssk" in techniques
        if of_ssk and not {"m1l", "m1r"} & techniques and not text.denied(one.start()):
            yield text.swap(one, "w", "back")


_YARN = re.compile(r"\byarn (?:\w+ ){0,3}?(?:at|in|to|on)(?: the)? (?P<w>front|back)\b")
_KNIT_YARN = re.compile(
    r"\b(?:for|when(?:ever)? (?:you|we)(?: do| make| work| (?:get|come|change|switch|go|turn) to| reach| hit)?) (?:the "
    r"|a )?(?P<s>knit|purl)s?(?: stitch(?:es)?)?(?: [\w']+){0,2}? "
    r"(?:yarn(?:'s| is| goes| sits)?|it's|it is|it) ?(?:\w+ ){0,3}?(?:at|in|to|on)(?: the)? (?P<w>front|back)\b"
)
_YARN_WHEN = re.compile(
    r"\b(?:to|at|in) the (?P<w>front|back) (?:when|whenever|for) (?:you |we |i |a |the )?(?P<s>knit|purl)"
)


def _yarn_held(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """The yarn lies at the back for a knit stitch, in front for a purl one; at the back of slipped ones (wyib)."""
    told = list(_KNIT_YARN.finditer(text.text))
    if "yarn" in text.words:
        told += list(_YARN_WHEN.finditer(text.text))[:1]
    for one in told:
        right = "back" if one["s"] == "knit" else "front"
        if one["w"] != right and not text.denied(one.start()):
            yield text.swap(one, "w", right)
    if "wyib" in techniques:
        for one in _YARN.finditer(text.text):
            if one["w"] == "front" and not (text.denied(one.start("w")) or text.denied(one.start())):
                yield text.swap(one, "w", "back")


_TAIL = re.compile(
    r"\b(?P<w>(?P<one>under|over) the (?P<a>thumb|finger)"
    r"(?:(?: and)?(?: then)? (?:under|over) the (?:thumb|finger))?)\b"
)


_LIES = re.compile(
    r"\b(?:(?P<tail>tail(?: end)?)|(?P<ball>ball end|working (?:yarn|end)|yarn from the ball)|yarn|strand) "
    r"(?:\w+ )?(?:goes|lies|comes|hangs|sits|is|runs)$"
)


def _long_tail(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """The long-tail cast-on goes under the thumb and over the finger."""
    if not ({"CO", "long-tail", "long tail"} & techniques or "long tail" in text.text):
        return
    for one in _TAIL.finditer(text.text):
        pairs = re.findall(r"(under|over) the (thumb|finger)", one[0])
        before = " ".join(text.words[max(0, text.word(one.start()) - 5) : text.word(one.start())])
        if (
            len(pairs) == 1 and pairs[0][0] == "over" and (lies := _LIES.search(before))
        ):  # how the yarn is laid at first
            right = "thumb" if lies["tail"] else "finger" if lies["ball"] else pairs[0][1]
            if pairs[0][1] != right:
                yield text.swap(one, "w", f"over the {right}")
            continue
        if any((way == "under") != (what == "thumb") for way, what in pairs) and not text.denied(one.start()):
            yield text.swap(one, "w", "under the thumb, over the finger")


_GRAFT = re.compile(
    r"\b(?P<needle>front|back) (?:needle|one)\b|\b"
    r"(?P<w>as if to (?P<as>knit|purl)|(?P<wise>knit|purl)wise|(?P<plain>knit|purl)(?= (?:and )?(?:off|on|leave)))"
    r"(?: again)?(?: and)?(?: then)? (?P<do>off|on|leave|slip it off|take it off|let it off)\b"
)
_GRAFTS = frozenset(
    {("front", "knit", "off"), ("front", "purl", "on"), ("back", "purl", "off"), ("back", "knit", "on")}
)


def _grafted(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Grafting: front, knitwise off and purlwise on; back, purlwise off and knitwise on."""
    if not ("graft" in techniques or re.search(r"\b(?:graft\w*|kitchener)\b", text.text)):
        return
    needle, last, at = "", -99, -99
    for one in _GRAFT.finditer(text.text):
        if one["needle"]:
            last = last if needle == one["needle"] else -99
            needle, at = one["needle"], text.word(one.start())
            continue
        here = text.word(one.start())
        does = "off" if "off" in one["do"] else "on"
        wise = one["as"] or one["wise"] or one["plain"]
        if needle and here - at <= 14 and (needle, wise, does) not in _GRAFTS and not text.denied(one.start()):
            if last < 0:  # both words of a needle swapped are one slip
                yield text.swap(one, "w", f"{'purl' if wise == 'knit' else 'knit'}wise")
            last = here


_PLACED = re.compile(
    r"\b(?:(?P<starts>start|starts|begin|begins|beginning)|ends?|finish|finishes)\b"
    r"(?: (?:and (?:an?|then|straight)|(?!start|begin|end|finish|and\b)\w+)){0,11}? "
    rf"(?:{_NAME.pattern})(?! at the)"
)


_PLACED_AT = re.compile(
    rf"\b(?:{_NAME.pattern})(?: is| comes| goes| sits)?(?: right)? (?:at|on) (?:the|each|every) (?:near |far |very )?"
    r"(?:(?P<starts>start|beginning)|end)(?: of (?:the|each|every) (?:row|half|line"
    r"|round))?(?! leans?\b)(?!.{0,20}marker)"
)


_FIRST = re.compile(rf"\b(?:{_NAME.pattern}) (?:comes )?first\b")


def _placed(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Where every line begins each half with one decrease and ends it with another (“ssk starts”), they keep places."""
    if not any(name.endswith(" starts") for name in techniques):
        return
    found = (*_PLACED.finditer(text.text), *list(_PLACED_AT.finditer(text.text))[:1], *_FIRST.finditer(text.text))
    for one in found:
        place = "starts" if one.re is _FIRST or one["starts"] else "ends"
        name = next((each for each, _ in _NAMES if one[each]), "")
        right = next((each for each in _LEANS if f"{each} {place}" in techniques), "")
        if right and name in _LEANS and name != right and not text.denied(one.start()):
            yield text.swap(one, name, right)


def placed_in(lines: Sequence[str]) -> frozenset[str]:
    """Tell which decrease starts, and which ends, each part between markers, where all printed lines agree."""
    parts = [
        re.findall(r"\b(?:ssk|k2tog|m1[lr])\b", part) for line in lines for part in re.split(r"\b[ps]m\b", line.lower())
    ]
    ends = {(names[0], names[-1]) for names in parts if len(names) > 1}
    first, last = next(iter(ends)) if len(ends) == 1 else ("", "")
    found = {f"{first} starts", f"{last} ends"} if first != last else set[str]()
    sides = {
        tuple(each)
        for each in (
            re.findall(r"\b[ps]m\b[^.]*?\b(m1[lr])\b|\b(m1[lr])\b[^.]*?\b[ps]m\b", line.lower()) for line in lines
        )
        if len(each) == 2
    }
    if len(sides) == 1:
        one, other = ("".join(each) for each in next(iter(sides)))
        found |= {f"{one} at the first", f"{other} at the second"}
    return frozenset(found)


_AT_MARKER = re.compile(
    rf"\b(?:at|after|past|slip) the (?P<place>first|second"
    rf"|other) marker\b(?: (?!marker\b)[\w']+){{0,6}}? (?:{_NAME.pattern})"
)


def _at_markers(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Which of two increases stands at the first marker, and which at the other."""
    for one in _AT_MARKER.finditer(text.text) if any(" at the " in name for name in techniques) else ():
        place, name = "first" if one["place"] == "first" else "second", one.lastgroup or ""
        right = next((each for each in ("m1l", "m1r") if f"{each} at the {place}" in techniques), "")
        if right and name in ("m1l", "m1r") and name != right and not text.denied(one.start()):
            yield text.swap(one, name, right)


_FIRST_STITCH = re.compile(rf"\bfirst stitch\b(?: (?!other|end|last|marker)[\w']+){{0,8}}? (?:{_NAME.pattern})")


def _first_of_two(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Which of two increases comes first: the other one after it says that they are exchanged."""
    if "m1l at the first" not in techniques and "m1l starts" not in techniques:
        return
    for one, other in pairwise(text.names):
        told = other[0] - one[1] <= 14 and (one[2], other[2]) == ("m1r", "m1l")
        before = {each[2] for each in text.names if one[0] - _REACH <= each[0] < one[0]}
        beside = {"last", "end"} & {*text.words[one[1] : other[0]]} or "marker" in text.words[max(0, one[0] - 9) : one[0]]
        if told and beside and "m1l" not in before:
            yield Swap(one[0], one[1], "m1l")
    for found in _FIRST_STITCH.finditer(text.text):
        name = next((each for each, _ in _NAMES if found[each]), "")
        right = next((each for each in ("m1l", "m1r") if f"{each} starts" in techniques), "")
        if right and name in ("m1l", "m1r") and name != right:
            yield text.swap(found, name, right)


_TOGETHER = re.compile(r"\b(?P<w>(?P<verb>knit|purl)(?: (?:two|to|too|2|three|3|those|these|them|the|both))*? together|slip slip purl)\b")


def _together(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Stitches are knitted together where no line purls any together, and the other way about."""
    knits = any(re.match(r"k\dtog", name) for name in techniques)
    purls = any(re.match(r"p\dtog", name) for name in techniques)
    if knits == purls:
        return
    for one in _TOGETHER.finditer(text.text):
        wrong = "purl" if knits else "knit"
        if one["verb"] == wrong and not text.denied(one.start()):
            yield text.swap(one, "w", f"{'knit' if knits else 'purl'} two together")


_PURLS = re.compile(
    r"(?<!to )(?<!and )(?<!or )(?<!a )(?<!the )(?<!every )(?<!each )\b(?P<w>purl (?:one|two|three|four|five|it|them|on"
    r"|across|along|until|till|half|all the way|round|around|every round|through|to the end|to the marker))\b"
)


def _never_purled(text: _Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Nothing is purled where no line has a purl."""
    if "purl" not in text.words or not techniques or any(re.match(r"p(?:\d?tog|fb|urled)?$", name) for name in techniques) or "k" not in techniques:
        return
    for one in _PURLS.finditer(text.text):
        if not text.denied(one.start()):
            yield text.swap(one, "w", "knit")
            return  # it is said again in the same breath


RULES: tuple[Callable[[_Text, frozenset[str]], Iterator[Swap]], ...] = (
    _made_one,
    _leaning,
    _slipped,
    _yarn_held,
    _long_tail,
    _grafted,
    _placed,
    _at_markers,
    _together,
    _first_of_two,
    _never_purled,
)
"""A technique more is one rule more."""
