"""Words swapped in a sequence that is known from its technique, whether there is a script or not.

Each technique has places in its telling where one of two words is right: the bar is lifted from the front or from the
back, a decrease leans left or right, a stitch is slipped as if to knit or as if to purl. The steps are those of
craft/tables/sequences.csv (common practice).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from lessonplan.edit.proof.handling import bound_off, grafted, held_so, long_tail, never_purled, together, yarn_held
from lessonplan.edit.proof.telling import KNITS, LEANS, LIFTS, LONG_REACH, NAME, NAMES, REACH, SHORT_REACH, Swap, Text

_MIRRORS = ({"m1l", "m1r"}, {"ssk", "k2tog"}, {"left", "right"})
"""Techniques that are exchanged in one telling: “make one right first, make one left at the end”."""


def swaps_in(words: Sequence[str], techniques: frozenset[str], starts: Sequence[int] = ()) -> tuple[Swap, ...]:
    """Find the swapped words in what is said of the ``techniques`` of a segment; ``starts`` of its words, if known."""
    text = Text(words, starts)
    found = sorted(
        (swap for rule in RULES for swap in rule(text, techniques)), key=lambda swap: (swap.first, -swap.end)
    )
    kept: list[Swap] = []
    for swap in found:
        if kept and {kept[-1].right, swap.right} in _MIRRORS and 0 <= swap.first - kept[-1].end <= REACH:
            kept[-1] = Swap(kept[-1].first, swap.end, f"{kept[-1].right}, then {swap.right}")  # one slip
        elif not kept or swap.first >= kept[-1].end:
            kept.append(swap)
    return tuple(kept)


_LIFT = re.compile(
    r"(?<!enter )(?<!knit )(?<!knit it )\b(?:from|under) (?:the )?(?P<w>front|back|behind)\b(?! (?:needle"
    r"|of the (?:work|hand)))"
)
_BAR = re.compile(
    r"\b(?:bar|strand|needle|it)(?: (?:goes|in|comes|under|up))* (?:from )?(?:the )?(?P<w>(?P<from>front|back) to "
    r"(?:the )?"
    r"(?:front|back))\b"
)
_FOR_SIDE = re.compile(
    r" (?:[\w']+ ){0,2}?(?:for|on|in) (?:the |an? |your )?(?:make one )?(?P<side>left|right)\b(?! (?:needle|hand|side))"
)
_THROUGH = re.compile(
    r"\b(?:through|into|(?:enter|knit|knit it) from|knit(?= the \w+ (?:leg|loop))) (?:(?:the|its"
    r"|their) )?(?P<w>front|back)\b(?! of the (?:work"
    r"|hand|piece"
    r"|fabric|first|next))(?! and back)"
)
_LEAN = re.compile(
    r"\b(?:(?:lean|slant|tilt|slope|tip)s?(?:ing)?|(?P<goes>goes|points|runs|falls))(?: off| away| a bit"
    r"| over)?(?: to(?:ward"
    r"|wards)?(?: the)?)? (?P<w>left|right)\b"
)
_TO_SIDE = (
    r"(?: (?:over|off|away|a bit))*(?: to(?:ward|wards)?(?: the)?)? (?P<w>left|right)\b(?! (?:needle|hand|leg|loop))"
)
_PLACE_LEANS = re.compile(
    r"\b(?:(?P<starts>first|start|beginning)|second|other|last"
    r"|(?<!one )(?<!this )(?<!that )end)\b(?P<what>(?: (?!first|second|other|last|end"
    r"|left|right"
    r"|both)[\w']+){0,7}?)"
    rf" (?:leans?|leaning|slants?|slanting|tilts?|tips?|slopes?|points?|goes|bends?){_TO_SIDE}"
)
_NEEDLE = re.compile(
    r"\b(?P<w>(?P<side>left|right) needle) (?:goes|picks|lifts|under|comes|in)\b"
    r"(?: \w+){0,4}? ?\b(?:bar|it|from|lifts)\b"
    r"|\b(?:lift|pick)\w* (?:[\w']+ ){1,6}?with (?:the|your|my) (?P<by>right) needle\b"
)


def _made_one(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
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
        name, meant = text.named(at, of, LONG_REACH), one["w"].replace("behind", "back")
        after = _FOR_SIDE.match(text.text[one.end() :]) if not name else None
        name = f"m1{after['side'][0]}" if after else name or text.told_then(at, of)
        if name:
            meant = (LIFTS if lift else KNITS)[name]
        elif not lift and at - lifted_at <= LONG_REACH and one["w"] == lifted:
            meant = "back" if lifted == "front" else "front"
        if one["w"].replace("behind", "back") != meant:
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
        after = _FOR_SIDE.search(text.text[one.end() : one.end() + 70]) if not name else None
        name = f"m1{after['side'][0]}" if after else name
        if name and one["from"] != LIFTS[name] and not text.denied(one.start()):
            yield text.swap(one, "w", f"{LIFTS[name]} to {'back' if LIFTS[name] == 'front' else 'front'}")
    for one in _NEEDLE.finditer(text.text):
        around = text.words[text.word(one.start()) : text.word(one.end()) + 6]
        if "right" in (one["side"], one["by"]) and (one["by"] or "bar" in around) and not text.denied(one.start()):
            yield text.swap(one, "w" if one["side"] else "by", "left needle")


_IT = re.compile(r"(?:(?:and|now|so|then|well) )*(?:that|this) one(?: (?:there|here|now|you see|always|just))*")
_THAT_IS = re.compile(
    rf"(?: (?:see|so|now|because|well|there))* (?:that's|it's|this is)(?: (?:an?|the|your|our|my|all))*"
    rf" (?:{NAME.pattern})(?! (?:that|which|lean\w*|goes|first|no|sorry|wait|oops)\b)"
)
"""“Leans to the right, that's your make one left.”"""
_DECREASES = re.compile(
    r"\b(?:(?:these|the|all|your|my|our) (?:[\w']+ )?decreases|it|they|each of them) (?:all |\w+ly )?$"
)


def _by_place(text: Text, one: re.Match[str], techniques: frozenset[str]) -> Swap | None:
    """Judge to which side the first or the second of two leans, where none of them is named."""
    first, end = text.word(one.start()), text.word(one.end() - 1)
    if any(first - 3 <= each[0] <= end + 4 for each in text.names if each[2] != "other") or text.denied(one.start()):
        return None
    place, ends = ("first", "starts") if one["starts"] else ("second", "ends")
    names = [*LIFTS] if "crease" not in one["what"] or "increase" in one["what"] else []
    names += [each for each in LEANS if each not in LIFTS] if "increase" not in one["what"] else []
    right = next((LEANS[each] for each in names if {f"{each} at the {place}", f"{each} {ends}"} & techniques), "")
    return text.swap(one, "w", right) if right and one["w"] != right else None


def _leaning(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Each increase and decrease leans to its own side."""
    placed = [each for one in _PLACE_LEANS.finditer(text.text) if (each := _by_place(text, one, techniques))]
    if placed:  # both of one telling are one slip
        yield Swap(placed[0].first, placed[-1].end, ", then ".join(each.right for each in placed))
    for one in _LEAN.finditer(text.text):
        at = text.word(one.start())
        behind = _THAT_IS.match(text.text, one.end())
        told = next((each for each in LEANS if behind.groupdict().get(each)), "") if behind else ""
        name = told or text.named(at, tuple(LEANS), 22)
        if not name and len(only := {"ssk", "k2tog"} & techniques) == 1 and _DECREASES.search(text.text[: one.start()]):
            name = next(iter(only))  # all decreases are of one kind
        between = " ".join(text.words[max((n[1] for n in text.names if n[0] < at), default=0) : at])
        if (
            name
            and one["w"] != LEANS[name]
            and not (one["goes"] and between)
            and (
                told
                or _IT.fullmatch(between)
                or not re.search(r"\b(?:other|mirror|this(?! side)|that one|first the one)\b", between)
            )
        ):
            yield text.swap(one, "w", LEANS[name])


_LEANER = re.compile(
    rf"\b(?P<w>left|right) lean(?:ing|er)(?: one)?(?: is|'s) (?:an? |the |your )?(?:{NAME.pattern})"
    rf"|(?:{NAME.pattern.replace('?P<', '?P<by_')})(?: is|'s)? (?:the|a|your) (?P<way>left|right) lean(?:er|ing)\b"
)

_TERSE = re.compile(
    r"\b(?:(?P<ssk>ssk|slip slip knit)|k2tog|knit two together) (?P<w>left|right)"
    r"(?= (?:and |then )?(?:ssk|k2tog|slip slip|knit two together)|$)"
)
"""“Ssk left, k2tog right.”"""


def _leaner(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Which of two is the one that leans left: “the right leaning is the ssk”."""
    for one in _LEANER.finditer(text.text) if " lean" in text.text else ():
        name = next((each for each in LEANS if one.groupdict().get(each) or one.groupdict().get(f"by_{each}")), "")
        group = "w" if one["w"] else "way"
        if name and one[group] != LEANS[name] and not text.denied(one.start()):
            yield text.swap(one, group, LEANS[name])
            return  # the other one is the same slip
    for one in _TERSE.finditer(text.text):
        if one["w"] != ("left" if one["ssk"] else "right"):
            yield text.swap(one, "w", "left" if one["ssk"] else "right")
            return


_SLIP_AS = re.compile(
    r"\b(?:slip(?:s|ped|ping)?|moved?|pass(?:es|ed)?|slides?|transfers?|shifts?|it across|another one"
    r"|them)\b(?: (?!knit\b)\w+){0,8}? "
    r"(?P<w>as if (?:you(?:'re|'d| were| are)? )?(?:about |going |gonna |want(?:ed)? )?(?:to )?(?P<as>knit|purl)"
    r"|(?P<wise>knit|purl)wise)\b"
)


_BOTH = re.compile(
    r"\b(?P<needle>left|right) needle (?:tip )?(?:(?:you |we )?(?:go|goes|comes?) )?(?:in|into"
    r"|through) (?:the )?(?P<side>front|back)s? of"
    r" (?:both|them|these|the two|those)\b"
)
_WAY = re.compile(
    r"\b(?:both|them|the two)(?: [\w']+){0,6} (?P<w>from right to left)\b"
    r"|\b(?P<way>from right to left)(?: [\w']+){0,5} "
    r"(?:both|them)\b|\b(?:enter|into) both (?:[\w']+ )?(?P<on>from right to left)\b"
)


def _slipped(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Stitches of an ssk are slipped as if to knit; those that only move across, as if to purl."""
    last = -99
    for one in _SLIP_AS.finditer(text.text):
        at = text.word(one.start("w"))
        said = one["as"] or one["wise"]
        ssk = bool(text.named(at, ("ssk",), 30)) or ("ssk" in techniques and "wyib" not in techniques)
        right = "knit" if ssk else "purl" if "wyib" in techniques else said
        if said != right and not text.denied(one.start("w")) and at - last > 12:
            last = at
            yield text.swap(one, "w", f"as if to {right}")
    for one in _BOTH.finditer(text.text) if "ssk" in techniques else ():
        if (one["needle"], one["side"]) != ("left", "front") and not text.denied(one.start()):
            group = "needle" if one["needle"] == "right" else "side"
            yield text.swap(one, group, "left" if group == "needle" else "front")
    for one in _WAY.finditer(text.text) if "ssk" in techniques else ():
        if not text.denied(one.start()):
            yield text.swap(one, one.lastgroup or "w", "from left to right")
    for one in re.finditer(r"\bthrough (?:the|their) (?P<w>front) loops?\b", text.text):
        of_ssk = text.named(text.word(one.start()), ("ssk",), 30) or "ssk" in techniques
        if of_ssk and not {"m1l", "m1r"} & techniques and not text.denied(one.start()):
            yield text.swap(one, "w", "back")


_PLACED = re.compile(
    r"(?<!\bthis )(?<!\bthat )\b(?:(?P<starts>start|starts|begin|begins|beginning|first (?:one|(?:in"
    r"|de)crease) is)|ends?|finish|finishes"
    r"|(?:second|last|other) (?:one|(?:in|de)crease) is)\b"
    r"(?: (?:and (?:an?|then|straight)|(?!start|begin|end|finish|and\b)[\w']+)){0,11}? "
    rf"(?:{NAME.pattern})(?! (?:is |goes |comes |sits )?at the)"
)


_PLACED_AT = re.compile(
    rf"\b(?:{NAME.pattern})(?: is| comes| goes| sits)?(?: right)? (?:at|on) (?:the|each|every) (?:far |very )?"
    r"(?:(?P<starts>start|beginning)|end)(?: of (?:the|each|every) (?:row|half|line"
    r"|round))?(?! leans?\b)(?!.{0,20}marker)"
)


_FIRST = re.compile(rf"\b(?:{NAME.pattern}) (?:(?:comes )?first|on this (?:side|corner))\b")


def _placed(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Where every line begins each half with one decrease and ends it with another (“ssk starts”), they keep places."""
    if not any(name.endswith(" starts") for name in techniques):
        return
    found = (
        *_PLACED.finditer(text.text),
        *list(_PLACED_AT.finditer(text.text))[:1],
        *_FIRST.finditer(text.text),
    )
    for one in found:
        place = "starts" if one.re is _FIRST or one["starts"] else "ends"
        name = next((each for each, _ in NAMES if one[each]), "")
        right = next((each for each in LEANS if f"{each} {place}" in techniques), "")
        if right and name in LEANS and name != right and not text.denied(one.start()):
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
    r"\b(?:(?:at|after|past|behind|slip) the (?P<place>first|second|other) marker"
    r"|(?P<starts>first (?:in|de)crease(?: after the marker)?|to the (?:first )?marker slip it|(?:after|past"
    r"|behind) the marker)"
    r"|(?:before|(?P<to>to)) the (?:second|next|other|last) marker|(?:second|last|other) (?:in|de)crease)\b"
    rf"(?: (?!marker\b|first\b|second\b)[\w']+){{0,6}}? (?:{NAME.pattern})"
)


def _at_markers(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Which of two increases stands at the first marker, and which at the other."""
    for one in _AT_MARKER.finditer(text.text) if any(" at the " in name for name in techniques) else ():
        at = text.word(one.start())
        told = next((each for each in reversed(text.names) if at - 4 <= each[0] and each[1] <= at), None)
        if told and not (one["to"] or " slip it" in (one["starts"] or "")):  # “make one left at the first marker”
            place = "first" if one["place"] == "first" or one["starts"] else "second"
            right = next((each for each in ("m1l", "m1r") if f"{each} at the {place}" in techniques), "")
            if right and told[2] in ("m1l", "m1r") and told[2] != right and not text.denied(text.starts[told[0]]):
                yield Swap(told[0], told[1], right)
            continue
        place = "first" if one["place"] == "first" or one["starts"] else "second"
        name = next((each for each, _ in NAMES if one[each]), "")
        right = next((each for each in ("m1l", "m1r") if f"{each} at the {place}" in techniques), "")
        if right and name in ("m1l", "m1r") and name != right and not text.denied(one.start()):
            yield text.swap(one, name, right)


_FIRST_STITCH = re.compile(rf"\bfirst stitch\b(?: (?!other|end|last|marker)[\w']+){{0,8}}? (?:{NAME.pattern})")


def _first_of_two(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Which of two increases comes first: the other one after it says that they are exchanged."""
    left_first = "m1l at the first" in techniques or "m1l starts" in techniques
    for one, other in pairwise(text.names) if left_first else ():
        told = other[0] - one[1] <= 14 and one[2] == "m1r" and other[2] in ("m1l", "other")
        before = {each[2] for each in text.names if one[0] - REACH <= each[0] < one[0]}
        behind = other[1] + (5 if other[2] == "other" else 3)
        between, before_it = text.words[one[1] : behind], text.words[max(0, one[0] - 9) : other[0]]
        beside = "last" in between or "end" in between or "marker" in before_it
        if told and beside and "m1l" not in before:
            yield Swap(one[0], one[1], "m1l")
            if other[2] == "m1l":
                yield Swap(other[0], other[1], "m1r")
    for found in _FIRST_STITCH.finditer(text.text):
        name = next((each for each, _ in NAMES if found[each]), "")
        starts = [each for each in ("m1l", "m1r") if f"{each} starts" in techniques]
        right = starts[0] if len(starts) == 1 else ""  # of lines that begin otherwise, nobody knows which is meant
        if right == text.named(text.word(found.start()), ("m1l", "m1r"), SHORT_REACH):
            continue  # it is told already: “make one left after the first stitch and make one right …”
        if right and name in ("m1l", "m1r") and name != right:
            yield text.swap(found, name, right)


RULES: tuple[Callable[[Text, frozenset[str]], Iterator[Swap]], ...] = (
    _made_one,
    _leaning,
    _leaner,
    _slipped,
    yarn_held,
    long_tail,
    grafted,
    _placed,
    _at_markers,
    together,
    _first_of_two,
    never_purled,
    held_so,
    bound_off,
)
"""A technique more is one rule more."""
