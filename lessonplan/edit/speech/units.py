"""The words of the craft for units, and what captions write for them: “pearl”, “purl wise”, “d k”, “twenty-two”."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from lessonplan.edit.speech.numbers import BEGINS, Token, words_in

_UNIT_WORDS = {
    "stitches": "stitch stitches stiches stich sts st stitchs loops vs v's vees",
    "rounds": "round rounds rnd rnds laps trips circuits",
    "rows": "row rows rose",
    "cm": "cm cms centimeter centimeters centimetre centimetres",
    "inches": "inch inches",
    "mm": "mm millimeter millimeters millimetre millimetres mil mils mill mills",
    "metres": "meter meters metre metres",
    "yards": "yard yards yds",
    "grams": "gram grams",
    "balls": "ball balls skein skeins hank hanks",
    "minutes": "minute minutes min mins minute's",
    "hours": "hour hours hour's",
    "days": "days",
    "times": "times",
    "colours": "color colors colour colours",
    "markers": "marker markers",
    "ends": "ends tails",
    "repeats": "repeat repeats twos threes fours fives sixes section sections groups sets lots columns ribs wedge "
    "wedges segments panels spokes",
    "stripes": "stripes",
    "shapings": "increases decreases",
    "sizes": "sizes",
    "needles": "needles",
    "knit": "knits",
    "purl": "purls",
    "ply": "ply",
    "things": "bobble bobbles buttonhole buttonholes button buttons cable cables wraps tassel tassels beads pompom "
    "pompoms pleat pleats darts pocket pockets eyelet eyelets picots ruffle ruffles welt welts ridge ridges yarnovers "
    "zip zips zippers straps flap flaps hearts snowflakes flower flowers stars knots pins",
}
TWO_WORDS = ("short rows", "yarn overs", "pom poms", "button holes")
"""What a piece may have, beside its stitches and rounds, in two words (common practice)."""
UNITS: Mapping[str, str] = {word: unit for unit, words in _UNIT_WORDS.items() for word in words.split()}
"""The unit that each word names."""
PLURAL = frozenset(w for w in UNITS if w.endswith(("es", "s")) and w not in ("cms",)) | {"rose", "together"}
_SPOKEN = {
    "pearl": "purl", "pearls": "purls", "pearling": "purling", "perl": "purl", "nit": "knit", "nits": "knits",
    "round's": "round", "row's": "row", "therefore": "so", "tog": "together", "togs": "together",
    "needel": "needle", "em": "them", "tog's": "together", "together's": "together", "ssk's": "ssk",
    "gage": "gauge", "ma'am": "madam", "pearlwise": "purlwise",
    "till": "until", "til": "until", "togethers": "together", "ye": "you", "ya": "you", "yer": "your",
    "ye've": "you've", "ye're": "you're", "ye'll": "you'll", "youse": "you",
}  # fmt: skip
_SPOKEN |= {
    word.replace("'", ""): word
    for word in words_in(
        "there's that's what's here's where's who's let's he's she's i'm i've i'd i'll you're you've you'll you'd "
        "we've we'll they're "
        "they've they'll it'll that'll there'll don't doesn't didn't isn't aren't wasn't weren't won't can't "
        "couldn't wouldn't "
        "shouldn't hasn't haven't hadn't ain't everything's everybody's everyone's somebody's someone's nobody's mine's"
    )
}
"""What captions write without its apostrophe; “its”, “well”, “were” and “wed” are words of their own."""
_IT_IS = BEGINS | frozenset(
    words_in(
        "the not just only about all now been going gonna got my your our in on at done worked knit knitted that "
        "like time "
        "really so still basically exactly called roughly around nearly almost always never more less okay fine "
        "right wrong"
    )
)
"""What follows an “it's” that captions write “its”."""
_VERBS = words_in("make start end begin finish pull draw reach purl take cut lay")
_GERUNDS = {"begin": "beginning", "cut": "cutting"}
_SIMPLE = {
    _GERUNDS.get(verb, verb.removesuffix("e") + "ing"): (verb, f"{verb}{'e' * (verb[-1] == 'h')}s") for verb in _VERBS
}
"""What is told as going on that simply is so: “each half is starting with” (Indian English)."""
_WE_BEFORE = ("", *words_in("so now and then okay today but because where until round rows next right well here"))
_WE_ARE = words_in("done gonna back ready finished now through up down at on in")
"""What stands around a “we're” that captions write “were”."""
_SEWS = words_in("you we i to then you'll we'll i'll can")
_PLURALS = {f"{word}s": word for word in ("three", "four", "five", "seven", "eight", "nine", "ten")} | {"sixes": "six"}
_IS = {f"{word}'s": word for word in BEGINS - {"a", "an", "to", "too", "for"}}
"""“Round five's plain”."""
_UNDONE = frozenset(
    (*_SPOKEN, *_IS, *_PLURALS, *_SIMPLE, *words_in("up ups wise k knitting number uh um er erm sew its were write"))
)
"""The words that `normal` changes, alone or with their neighbours."""
_WEIGHTS = {("d", "k"): "dk", ("double", "knitting"): "dk"}
"""Yarn weights said in two words."""
_PRINTED = re.compile(r"(k|p|sl)(\d{1,3})")
"""A stitch as patterns print it: k10."""
INCH = 2.54
"""Centimetres."""
LENGTHS = ("cm", "inches")


def normal(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """Undo what captions write for words of the craft: “pearl”, “sew” for “so”, “purl wise”, “d k”, “twenty-two”."""
    split: list[Token] = []
    for token in tokens:
        if token.text.isalpha():
            split.append(token)
            continue
        stitch = _PRINTED.fullmatch(token.text)
        if token.text[:-1].isdigit() and token.text[-1] == "s" and split and split[-1].text in ("us", "size"):
            token = token._replace(text=token.text[:-1])  # “your us 5s”
        parts = [*stitch.groups()] if stitch else [part for part in token.text.split("-") if part]
        split += [token] if len(parts) == 1 else [token._replace(text=part) for part in parts]
    found: list[Token] = []
    for place, token in enumerate(split):
        if token.text not in _UNDONE:
            found.append(token)
            continue
        text = _SPOKEN.get(token.text) or _IS.get(token.text, token.text)
        before = found[-1].text if found else ""
        if text == "wise" and before in ("knit", "purl"):
            found[-1] = found[-1]._replace(text=before + "wise")
            continue
        if before in ("us", "size") and text in _PLURALS:
            text = _PLURALS[text]  # “your us fives”
        if text in ("up", "ups") and before == "grown":
            found[-1] = found[-1]._replace(text="grown" + text)
            continue
        if text in _SIMPLE and before in ("is", "are", "am"):
            found[-1] = found[-1]._replace(text=_SIMPLE[text][before == "is"])
            continue
        if (before, text) in _WEIGHTS:
            found[-1] = found[-1]._replace(text=_WEIGHTS[before, text])
            continue
        if text == "number" and before in ("round", "row", "stitch"):
            continue
        if text in ("uh", "um", "er", "erm"):
            continue
        following = split[place + 1].text if place + 1 < len(split) else ""
        sews = before in _SEWS and following in ("a", "an", "some", "your", "two", "three")
        if (
            text == "sew"
            and not sews
            and following not in ("on", "it", "the", "in", "up", "along", "together", "them", "this")
        ):
            text = "so"
        if text == "were" and before in _WE_BEFORE and (following.endswith("ing") or following in _WE_ARE):
            text = "we're"
        if text == "write" and (before in ("the", "lean", "leans", "leaning") or _made_one(found)):
            text = "right"
        if text == "its" and (following in _IT_IS or following[:1].isdigit()):
            text = "it's"
        found.append(token if text == token.text else token._replace(text=text))
    return tuple(found)


def _made_one(found: Sequence[Token]) -> bool:
    return [one.text for one in found[-2:]] == ["make", "one"]


def words_of(text: str) -> tuple[Token, ...]:
    """Cut a typed text into words, with their places in it."""
    return tuple(Token(one[0].lower(), 0.0, one.start()) for one in _TYPED.finditer(text.replace("−", "-")))


_TYPED = re.compile(r"\d+(?:[.,]\d+)?[½¼¾⅓⅔⅛⅜⅝⅞]?(?:st|nd|rd|th)?(?![^\W\d_])|[^\W_]+(?:['’.\-][^\W_]+)*")
