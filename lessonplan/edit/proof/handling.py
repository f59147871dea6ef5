"""Words swapped in how the yarn and the needles are handled: casting on, grafting, knitting together."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonplan.edit.proof.telling import Swap, Text

_YARN = re.compile(
    r"\b(?:yarn|wool|thread|strand)(?:'s)? (?:[\w']+ ){0,3}?(?:(?:at|in|to|on|up|for)(?: the)? (?P<w>front|back)"
    r"|(?P<near>forward|facing you|towards? you|on (?:this|the near|your) side))\b"
)
_STITCH_OR_SIDE = re.compile(
    r"\b(?:(?:for|on|with|when(?:ever)?|before|(?<!as if )(?<!off )to)(?: (?:we|you|i|the|a|your|my|each|every"
    r"|do|make|work|get"
    r"|come|change|switch|go|turn|to|reach|hit|those))* (?P<s>knit|purl)(?:s|ing|ed)?(?! (?:[\w']+ "
    r")?together\b)(?: stitch(?:es)?)?"
    r"|(?P<before_it>in front) of (?:the |your )?(?:needles?|work)|(?<!from )(?<!through )(?:(?:(?:in|to|at"
    r"|on) (?:the )?)?(?P<w>front|back)(?! (?:loop|leg|needle|of (?:the"
    r"|it|both)"
    r" (?:loop|leg|needle|stitch|strand|bar|first)))|(?P<forward>forward)|(?P<behind>behind)))\b"
)
"""For which stitch, and where the yarn lies: said in this order or the other."""
_FORWARD = re.compile(
    r"\byarn (?P<w>forward|back) for (?:the |a )?(?P<s>knit|purl)s?\b"
    r"|\b(?:yarn|wool|it)(?: (?!not\b|never\b)[\w']+){0,2} (?P<over>over) the needles? (?:when|each time"
    r"|every time|as) "
    r"(?:you|we) (?:change|switch|go|swap|purl|knit)\b"
    r"|\b(?P<like>knit|purl)s?(?: (?:stitch(?:es)?|ones?))? looks? like (?:a |little |the )*(?P<as>bump|v)s?\b"
)
"""Where the yarn goes, and how stitches look (common practice)."""


_EXCHANGED = 9
"""So many words off, the other of two words that are exchanged is the same slip."""
_AS_IF = re.compile(r"\bas (?:if|though)(?: [\w']+){1,3} $")
"""“As if you were going to purl” tells how a stitch is slipped."""
_YARNS = frozenset(("yarn", "yarn's", "wool", "strand", "thread"))


def yarn_held(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """The yarn lies at the back for a knit stitch, in front for a purl one; at the back of slipped ones (wyib)."""
    for one in _FORWARD.finditer(text.text):
        right = ("back" if one["s"] == "knit" else "forward") if one["s"] else "between" if one["over"] else ""
        group = "w" if one["w"] else "over" if one["over"] else "like"
        right = right or ("purl" if one["like"] == "knit" else "knit")
        wrong = right != one["w"] if one["w"] else one["over"] or (one["like"] == "knit") == (one["as"] == "bump")
        if wrong and not text.denied(one.start()):
            yield text.swap(one, group, right)
            return
    first: re.Match[str] | None = None
    slips: list[Swap] = []
    for one in () if _YARNS.isdisjoint(text.words) else _STITCH_OR_SIDE.finditer(text.text):
        apart = first is None or (first["s"] is None) == (one["s"] is None)
        if apart or first is None or text.word(one.start()) - text.word(first.end()) > 9:
            first = one
            continue
        stitch, side = (first, one) if first["s"] else (one, first)
        group = next(name for name in ("w", "forward", "behind", "before_it") if side[name])
        said = "back" if "back" in (side["w"], side["behind"] and "back") else "front"
        right = "back" if stitch["s"] == "knit" else "front"
        at = text.word(first.start())
        of_yarn = not _YARNS.isdisjoint(text.words[max(0, at - 12) : text.word(one.end())])
        as_if = _AS_IF.search(text.text, max(0, stitch.start() - 50), stitch.start())
        if of_yarn and said != right and not (as_if or text.denied(first.start())):
            slip = text.swap(side, group, right)
            if slips and at - slips[-1].end <= _EXCHANGED:  # “to the front when you knit, to the back when you purl”
                slips[-1] = Swap(slips[-1].first, slip.end, f"{slips[-1].right}, then {right}")
            else:
                slips.append(slip)
        first = None
    yield from slips
    if "wyib" in techniques:
        for one in _YARN.finditer(text.text):
            group = "w" if one["w"] else "near"
            if one["w"] != "back" and not (text.denied(one.start(group)) or text.denied(one.start())):
                yield text.swap(one, group, "back")


_TAIL = re.compile(
    r"\b(?P<w>(?P<one>under|over) (?:the|your|my) (?P<a>thumb|finger)"
    r"(?:(?: and)?(?: then)? (?:under|over) (?:the|your|my) (?:thumb|finger))?)\b"
)


_LIES = re.compile(
    r"\b(?:(?P<tail>tail(?: end)?)|(?P<ball>ball (?:end|yarn)|working (?:yarn|end)|yarn from the ball)|yarn"
    r"|strand)(?:'s)?"
    r"(?: so that it's)?(?: (?:[\w']+ )?(?:goes|lies|comes|hangs|sits|is|runs))?$"
)


_BY_FINGER = re.compile(
    r"\b(?:(?:for|at|round|on) (?:the|your|my) |(?=\w+ side ))(?P<what>thumb|finger)(?: (?:loop|strand|side|one))? "
    r"(?:you |it |we |the needle )?(?:go|goes|dips?"
    r"|comes?|is) (?P<w>over|under)\b"
)


_LAID = re.compile(
    r"\b(?P<what>tail|ball)(?: end| yarn)?(?:'s)?(?: goes| lies| is| hangs| sits| stays)? (?:on|over|round"
    r"|around) (?:the|your|my) "
    r"(?P<w>thumb|finger)\b"
)


def long_tail(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """The long-tail cast-on goes under the thumb and over the finger."""
    if not ({"CO", "long-tail", "long tail"} & techniques or "long tail" in text.text):
        return
    for one in _LAID.finditer(text.text):
        right = "thumb" if one["what"] == "tail" else "finger"
        if one["w"] != right and not text.denied(one.start()):
            yield text.swap(one, "w", right)
            return
    for one in _BY_FINGER.finditer(text.text):
        if (one["w"] == "under") != (one["what"] == "thumb") and not text.denied(one.start()):
            yield text.swap(one, "w", "under" if one["what"] == "thumb" else "over")
            return  # the other one is the same slip
    for one in _TAIL.finditer(text.text):
        pairs = re.findall(r"(under|over) (?:the|your|my) (thumb|finger)", one[0])
        before = " ".join(text.words[max(0, text.word(one.start()) - 5) : text.word(one.start())])
        if (
            len(pairs) == 1 and pairs[0][0] == "over" and (lies := _LIES.search(before))
        ):  # how the yarn is laid at first
            right = "thumb" if lies["tail"] else "finger" if lies["ball"] else pairs[0][1]
            if pairs[0][1] != right:
                yield text.swap(one, "w", f"over the {right}")
                return
            continue
        if any((way == "under") != (what == "thumb") for way, what in pairs) and not text.denied(one.start()):
            yield text.swap(one, "w", "under the thumb, over the finger")
            return  # the other one is the same slip


_GRAFT = re.compile(
    r"\b(?P<needle>front|back) (?:needle|one)\b|\b"
    r"(?P<w>as if to (?P<as>knit|purl)|(?P<wise>knit|purl)wise|(?P<plain>knit|purl)(?= (?:and )?(?:off|on|leave|remove"
    r"|stays?)))"
    r"(?: again)?(?: and)?(?: then)? (?:comes? |goes |slips? |drops? )?(?P<do>off|on|leave|stays?(?: on)?"
    r"|slip it off|take it off|let it off|remove)\b"
)
_GRAFTS = frozenset(
    {("front", "knit", "off"), ("front", "purl", "on"), ("back", "purl", "off"), ("back", "knit", "on")}
)


def grafted(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
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
        does = "off" if "off" in one["do"] or one["do"] == "remove" else "on"
        wise = one["as"] or one["wise"] or one["plain"]
        if needle and here - at <= 14 and (needle, wise, does) not in _GRAFTS and not text.denied(one.start()):
            if last < 0:  # both words of a needle swapped are one slip
                yield text.swap(one, "w", f"{'purl' if wise == 'knit' else 'knit'}wise")
            last = here


_TOGETHER = re.compile(
    r"\b(?P<w>(?P<verb>knit|purl)(?!(?<=we knit) together(?! (?:the|these|those|two|them)\b))"
    r"(?: (?:two|to|too|2|three|3|those|these|them|the|both))*? together|slip slip purl)\b"
)
"""Not “the sock that we knit together”."""


def together(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Stitches are knitted together where no line purls any together, and the other way about."""
    knits = any(re.match(r"k\dtog", name) for name in techniques)
    purls = any(re.match(r"p\dtog", name) for name in techniques)
    if knits == purls:
        return
    for one in _TOGETHER.finditer(text.text):
        wrong = "purl" if knits else "knit"
        if (one["verb"] or "purl") == wrong and not text.denied(one.start()):
            yield text.swap(one, "w", f"{'knit' if knits else 'purl'} two together")


_PURLS = re.compile(
    r"(?<!to )(?<!and )(?<!or )(?<!a )(?<!the )(?<!every )(?<!each )\b(?P<w>purl "
    r"(?![\w']+ (?:rounds|rows)\b|one (?:round|row)\b(?! and))(?:one|two|three|four|five|it|them|on"
    r"|across|along|until|till|half|all the way|round|around|every round|through|to the end|to the last"
    r"|to the marker))\b"
)


def never_purled(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Nothing is purled where no line has a purl."""
    if (
        "purl" not in text.words
        or not techniques
        or any(re.match(r"p(?:\d?tog|fb|urled)?$", name) for name in techniques)
        or "k" not in techniques
    ):
        return
    for one in _PURLS.finditer(text.text):
        chosen = " if you " in text.text[one.end() : one.end() + 35]
        if not (chosen or text.denied(one.start()) or _AS_IF.search(text.text, max(0, one.start() - 50), one.start())):
            yield text.swap(one, "w", "knit")
            return  # it is said again in the same breath


_HELD_SO: tuple[tuple[str, re.Pattern[str], str], ...] = (
    (
        "CO",
        re.compile(
            r"\bedge\b(?: (?!not\b|never\b|if\b)[\w']+){0,5}? (?:look|fac|point|turn|lie|lay|li)\w*(?: [\w']+){0,2}? "
            r"(?P<w>out(?:wards?|side)?(?: (?:and )?away from the (?:middle|centre|center))?"
            r"|away from the (?:middle|centre|center))\b"
            r"|\bedge\b(?: (?!not\b|never\b|if\b|inside\b)[\w']+){0,8}? (?P<out>(?:to(?:wards?)?|on|at) the outside)\b"
        ),
        "toward the middle",
    ),
    (
        "k",
        re.compile(r"\bhook\b(?: (?!purl\b)[\w']+){0,5}? (?P<w>from (?:the )?(?:behind|back))\b(?! (?:of|to)\b)"),
        "from the front",
    ),
    (
        "k",
        re.compile(
            r"(?<!one )\b(?:hook|rung|ladder)\b(?: (?!bump\b|was\b|one\b)[\w']+){0,7}? "
            r"(?P<w>as an? (?:purl|pearl))\b(?! (?:if|when))"
        ),
        "as a knit",
    ),
    (
        "",
        re.compile(
            r"\b(?:weav|hid|tuck|darn)\w*\b(?: (?!not\b|never\b|so\b|inside\b|shows?\b)[\w']+){0,6}? "
            r"(?P<w>(?:on|along) the (?:outside|front|right side))\b"
            r"|\b(?:tails?|ends?)\b(?: (?!not\b|never\b|if\b)[\w']+){0,3}? (?P<tails>(?:on|along|to) the outside)\b"
            r"(?= (?:[\w']+ ){1,4}?(?:weav|hid|tuck|darn))"
        ),
        "on the inside",
    ),
    ("", re.compile(r"\b(?P<w>left leg) (?:in front|at the front|forward|of (?:each|every|the|all))\b"), "right leg"),
)
"""A technique, words that are wrong of it, and what is right (common practice)."""


def held_so(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Edges look inward, a hook goes in from the front, a stitch sits with its right leg in front."""
    for technique, words, right in _HELD_SO:
        for one in words.finditer(text.text) if not technique or technique in techniques else ():
            group = next(name for name, said in one.groupdict().items() if said)
            if not text.denied(one.start(group)):
                yield text.swap(one, group, right)
                break


_BOUND_OFF = re.compile(
    r"\b(?:bind|cast|binding|casting|bound) (?:(?:it|them|everything) )?off "
    r"(?:(?:all|the|your|my|of|these|those|stitches|them|loosely|everything|row|round) )*"
    r"(?P<w>knitwise|purlwise|in (?:pattern|rib|ribbing|purl|knit))\b"
)
_WAYS_OFF = {"knitwise": "knitwise", "in knit": "knitwise", "purlwise": "purlwise", "in purl": "purlwise"}


def bound_off(text: Text, techniques: frozenset[str]) -> Iterator[Swap]:
    """Stitches are bound off as the pattern says, where it says so: knitwise, purlwise or in pattern."""
    right = {"in pattern" if each in ("in rib", "in ribbing") else each for each in techniques} & {
        "knitwise",
        "purlwise",
        "in pattern",
    }
    for one in _BOUND_OFF.finditer(text.text) if right else ():
        if _WAYS_OFF.get(one["w"], "in pattern") not in right and not text.denied(one.start("w")):
            yield text.swap(one, "w", " or ".join(sorted(right)))
