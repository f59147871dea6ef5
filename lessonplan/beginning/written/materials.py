"""What a written pattern says before its instructions: sizes, measures, gauge, needles, yarns, notions, rights.

`Materials.take` is given one printed line after another and says what it took it for. It keeps only what it is sure
of; what has no place comes back as None and is the caller's to keep.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from lessonplan.course.values.quantities import read_length, read_number, split_sizes
from lessonplan.craft import tables
from lessonplan.craft.colours import APART, difference
from lessonplan.craft.gauge import Fabric, round_half_up
from lessonplan.craft.lengthinline import LENGTHS, as_typed
from lessonplan.craft.standards import weights
from lessonplan.printed.leaflet.contents import Printed

_N = r"\d+(?:[.,]\d+)?(?:\s?[¼½¾]|\s\d/\d)?"
_STITCHES = re.compile(rf"({_N})\s*(?:sts?|stitches|[hdt]*[dts]c|tr|m)\b", re.IGNORECASE)
_ROUNDS = re.compile(rf"({_N})\s*(?:rows?|rnds?|rounds?)\b", re.IGNORECASE)
_PAIR = re.compile(rf"({_N})\s*(?:sts?|stitches)?\s*(?:x|×|by|/)\s*({_N})\b", re.IGNORECASE)
_OVER = re.compile(rf"({_N})\s*(?:x\s*{_N}\s*)?(cm|inches|inch|in\b|\"|″|”)", re.IGNORECASE)
_PER_INCH = re.compile(r"(?:per|to the|to an|an)\s+inch\b|/\s?in(?:ch)?\b", re.IGNORECASE)
_FABRIC = re.compile(
    r"\b(?:in|over|of)\s+((?:st st|stocking st|[a-z]+ st\b|[a-z0-9, ]*(?:stitch|rib(?:bing)?|pattern|lace)"
    r"|stockinette|garter)[a-z ]*?(?:in the round)?(?:, (?:washed|blocked))?)(?=[,.;(]|\s(?:on|using|with|after|=)|$)",
    re.IGNORECASE,
)
_HOOKED = re.compile(rf"{_N}\s*([hdt]?[ds]c|d?tr)\b", re.IGNORECASE)
"""The stitch that a gauge of crochet counts: `16 dc`."""
_MM = re.compile(r"(\d+(?:[.,]\d+)?)\s?mm\b", re.IGNORECASE)
_MEASURE = re.compile(
    r"\b(?:finished|fit|measure\w*|dimensions?|bust|chest|circumference|length|width|height|depth)\b", re.IGNORECASE
)
_NEEDLE = re.compile(r"\bneedles?\b|\bhook\b|\bdpns?\b|\bcirculars?\b", re.IGNORECASE)
_TWO_NEEDLES = re.compile(r"(\S+ ?mm(?: \([^)]*\))?) (?:and|&) (\S+ ?mm(?: \([^)]*\))?) ([^\d].*)$", re.IGNORECASE)
"""Two needles said in one: "3.5 mm and 4 mm double-pointed needles"."""
_SMALL = re.compile(
    r"\b(?:darning|tapestry|yarn|cable|sewing|blunt|wool)\s+needle|\bmarkers?\b|\bscissors\b|\bholder|\bscrap\b|\bwaste\b"
    r"|\b(?:ribbon|elastic|zip|zipper|snaps?|lining|beads?|felt)\b(?! (?:yarn|wool))|\btape\b|\bbuttons?\b"
    r"|\bstuffing\b|\bfib(?:er|re)fill\b|\beyes\b|\bpins?\b|\bcounter\b",
    re.IGNORECASE,
)
THING = re.compile(rf"(?:[\w.-]+ ){{0,4}}(?:{_SMALL.pattern})|\d.{{0,30}}(?:{_NEEDLE.pattern})", re.IGNORECASE)
"""A line of a list of materials that begins with a thing of its own."""
LISTED = re.compile(
    rf"(?:US \d+.{{0,12}}|(?:an? )?(?:set|pair) of (?:\w+ )?)?\d[\d.,]*\s?mm\b.{{0,30}}(?:{_NEEDLE.pattern})"
    rf"|\d+ (?:[\w.-]+ ){{0,3}}(?:{_SMALL.pattern})"
    r"|\d+\s?g\b(?: of)? .{0,20}\b(?:[234]-?ply|dk|aran|chunky|worsted|sock|sport|fingering|wool|cotton)\b"
    r"|.*\b(?:[234]-?ply|dk|aran|chunky|worsted|sock|sport|fingering)\b.*(?<![\d.])\d+\s?(?:m|g|yds?|metres|yards)\b"
    r"|.*(?<!\w)\d+\s+(?:\w+\s+)?(?:balls?|skeins?|hanks?)\b|.*\d\s?g\b.*\d\s?(?:m|yds?|yards|metres)\b",
    re.IGNORECASE,
)
"""A line that can only be of materials, even where no heading tells so: `4.5 mm needles`, `Cotton, 2 balls`."""
_YARN = re.compile(r"\b(?:yarns?|wool|balls?|skeins?|hanks?|yds?|yards|metres|meters|weight|cotton|alpaca|acrylic)\b"
                   r"|\d\s?(?:m|g)\b", re.IGNORECASE)  # fmt: skip
_KEY = re.compile(
    r"^\W*(?:(?:colou?r|yarn|contrast(?:ing)?(?: colou?r)?|main(?: colou?r)?)\s+)?"
    r"\(?([A-F]|MC|CC\d?|C\d)\)?\b\s*[:=)–-]|\((MC|CC\d?|[A-F])\)|^(?-i:(MC|CC\d?|C\d)(?=\s+[A-Z]))",
    re.IGNORECASE,
)
COLOURED = re.compile(r"(?:MC|CC\d?|C\d)(?:\s*[:=–-]|\s+(?=[A-Z]))")
"""A line that begins with the key of a colour: `MC Slate, 2 skeins`."""
_KEYS = re.compile(r"(?<![\w/])(?:(?i:colou?r|yarn)\s+)?\(?(MC|CC\d?|C\d|[A-F])\)?\s*(?:[:=]\s+|\s(?=\())")
"""What comes before each colour where one line tells of all: `Haaf Wool, 50 g: MC: 6 balls; CC: 1 ball`."""
_BALLS = re.compile(r"\b\d+(?:\s*[(\[,]?[\d\s,:/-]+[)\]]?)?\s*(?:balls?|skeins?|hanks?)\b", re.IGNORECASE)
"""So many balls, for all sizes or for each."""
_SHADE = re.compile(r"(?<=\w) in ((?!any\b|(?:\w+ )?(?:colou?rs?|shades?|balls?|sizes?)\b)[a-z]+(?: [a-z]+)?)$")
"""The colour behind the name of a yarn: `Brackenloop Sock in moss`."""
_FIBRES = ("merino", "wool", "alpaca", "cotton", "acrylic", "mohair", "silk", "linen", "cashmere", "bamboo", "nylon")
_NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5}
MOST_OF_A_SWATCH, WIDEST_SWATCH = 200, 1000.0
"""No gauge counts more stitches or rounds, or is measured over more mm."""
RIGHTS = re.compile(r"©|\(c\)\s|copyright|all rights reserved|licen[cs]e", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]+")
_HEXES = ("#D8C7A3", "#1F6573", "#B5533C", "#5B7F4E", "#7A5C8E", "#3D3D3D")


@dataclass(frozen=True, slots=True)
class Sorted:
    """What a line was taken for, where in the course it stands, and what is left for the teacher to do."""

    kind: str
    stands: str
    left: str = ""


@dataclass(frozen=True, slots=True)
class Gauge:
    """A gauge as printed; ``rounds`` are guessed where ``guessed`` says so."""

    stitches: str
    rounds: str
    over: str
    fabric: str = ""
    guessed: bool = False

    def as_fabric(self) -> Fabric:
        """The gauge in numbers."""
        return Fabric.of(read_number(self.stitches), read_number(self.rounds), read_length(self.over))


@dataclass(frozen=True, slots=True)
class Yarn:
    """A yarn as printed; what is not said of a ball is a guess, and ``asked`` names it."""

    name: str
    colour: str = ""
    weight: str = ""
    metres: float = 0.0
    grams: float = 0.0
    fibre: str = ""

    @property
    def asked(self) -> tuple[str, ...]:
        """What a ball holds, as far as it is not said."""
        return tuple(name for name in ("metres", "grams") if not getattr(self, name))


@dataclass(slots=True)
class Materials:
    """What was found, for sizes of these names and a craft (``knitting``, ``crochet``).

    ``ball`` is the key of a yarn that is told of without one; ``colours`` are the keys of lines that tell only in which
    colours there is that yarn.
    """

    sizes: Sequence[str]
    craft: str
    fits: list[str] = field(default_factory=list)
    gauge: Gauge | None = None
    needles: list[str] = field(default_factory=list)
    notions: list[str] = field(default_factory=list)
    yarns: dict[str, Yarn] = field(default_factory=dict)
    skill: str = ""
    rights: str = ""
    ball: str = ""
    colours: list[str] = field(default_factory=list)

    def take(self, head: str, text: str) -> Sorted | None:
        """Take a line under a heading, or with one before its colon; ``text`` is what follows it."""
        about = head.lower()
        if RIGHTS.search(f"{head} {text}") and not self.rights:
            self.rights = text
            return Sorted("rights", "course.yaml: copyright")
        if re.search(r"\b(?:skill|level|difficulty)\b", about):
            self.skill = text
            return Sorted("skill", "pattern.yaml: skill")
        if re.search(r"\b(?:gauge|tension)\b", about):
            ask = "type gauge: stitches, rounds and over which length"
            try:
                taken = self._take_gauge(text)
            except ValueError:  # a number that nobody can have meant
                taken = None
            if self.gauge is not None and taken is None:
                ask = "another gauge than the first: type it as gauge: of the stage that is worked so"
            return taken or Sorted("gauge, not read", "pattern.yaml, a remark", ask)
        if _MEASURE.search(about):
            return self._take_measure(head, text)
        if re.search(r"\b(?:notions?|supplies|accessories|extras?|other)\b", about):
            return self._take_notion(text)
        if re.search(r"\b(?:needles?|hooks?)\b", about):
            return self._take_needle(text)
        if re.search(r"\b(?:yarns?|wool|colou?rs?)\b", about) and len(parts := _KEYS.split(text)) > 3:
            return self._take_colours(parts)
        if re.search(r"\b(?:yarns?|wool|colou?rs?)\b", about) or _KEY.match(f"{head}:"):
            plain = re.fullmatch(r"\W*(?:yarns?|wool|colou?rs?)\W*", about)
            return self._take_yarn(text if plain else f"{head}: {text}")
        if re.search(r"\b(?:materials?|you(?:'ll| will) need|equipment|tools)\b", about):
            things = [self._take_thing(one) for one in re.split(r";\s+(?![^(]*\))", text)]
            return next((one for one in things if one), None)
        return None

    def _take_thing(self, text: str) -> Sorted | None:
        """One thing of a list of materials, told by its words."""
        if _SMALL.search(text) and not (_MM.search(text) and _NEEDLE.search(_SMALL.sub("", text))):
            return self._take_notion(text)
        if _NEEDLE.search(text) and not re.search(r"\b(?:balls?|skeins?|yards|yds)\b", text, re.IGNORECASE):
            return self._take_needle(text)
        if len(text.split()) > 8 and text.endswith(".") and not LISTED.match(text):
            return None  # a sentence about them
        return self._take_yarn(text) if _YARN.search(text) or COLOURED.match(text) else self._take_notion(text)

    def _take_needle(self, text: str) -> Sorted:
        for one in re.split(r";\s+", text):
            both = _TWO_NEEDLES.match(one)
            self.needles += [f"{both[1]} {both[3]}", f"{both[2]} {both[3]}"] if both else [one]
        return Sorted("needle" if self.craft == "knitting" else "hook", "pattern.yaml: needles")

    def _take_notion(self, text: str) -> Sorted:
        parts = re.split(r",\s+(?:and\s+)?", text)
        listed = (
            len(parts) > 1
            and not re.search(r"[()\[\]]", text)
            and all(len(one.split()) < 6 and re.search(r"[^\W\d_]{3}", one) for one in parts)
        )
        self.notions += parts if listed else [text]
        return Sorted("notion", "pattern.yaml: notions")

    def _take_gauge(self, text: str) -> Sorted | None:
        found = gauge_in(text) if self.gauge is None else None
        if found is None:
            return None
        guess = guessed_rounds(read_number(found.stitches), self.craft) if found.guessed else found.rounds
        self.gauge = replace(found, rounds=guess)
        left = "rounds are not said: type what your swatch has" if found.guessed else ""
        return Sorted("gauge", "pattern.yaml: gauge", left)

    def _take_measure(self, head: str, text: str) -> Sorted:
        """Whom each size fits, by lengths that are one for each size; what the finished thing measures is computed."""
        for found in LENGTHS.finditer(text):
            try:
                lengths = split_sizes(as_typed(found[0]))
                [read_length(each) for each in lengths]
            except ValueError:
                continue
            if re.search(r"\bfit\b", head, re.IGNORECASE) and len(lengths) == len(self.sizes) and not self.fits:
                what = re.sub(r"^to fit\b\s*|\bsizes?\b", "", head.strip(), flags=re.IGNORECASE).strip(" :")
                how = re.fullmatch(r"((?:\s+[a-z]+){1,4})\W*", text[found.end() :])  # `a foot 23 (25) cm long`
                self.fits = [f"{what} {each}{how[1] if how else ''}".strip() for each in lengths]
                return Sorted("whom the sizes fit", "pattern.yaml: sizes")
        return Sorted("measure", "pattern.yaml, a remark", "compare it with what the handout says that it measures")

    def _take_colours(self, parts: Sequence[str]) -> Sorted:
        """One yarn in several colours: what is said of the ball, then the key of each colour and what is said of it."""
        ball = yarn_of(parts[0]) if parts[0].strip() else None
        for key, said in zip(parts[1::2], parts[2::2], strict=True):
            own = yarn_of(said)
            named = re.match(r"\(([a-z ]+)\)|([A-Z][a-z]+(?: [A-Z]?[a-z]+)?)\b", said)
            colour = own.colour or (named[1] or named[2] if named else "")
            self.yarns[key] = replace(ball, colour=colour) if ball else replace(own, colour=own.colour)
        first = self.yarns[parts[1]]
        left = _left_to_say(first, " ".join(parts))
        return Sorted("yarn", f"pattern.yaml: yarns, {', '.join(parts[1::2])}", left)

    def _take_yarn(self, text: str) -> Sorted:
        named = _KEY.search(text)
        key = (
            (named[1] or named[2] or named[3]).upper()
            if named
            else next(one for one in "ABCDEFGHIJ" if one not in self.yarns)
        )
        several = re.search(r"\b(two|three|four|five|[2-5])\s+(?:\w+\s+)?colou?rs\b", text, re.IGNORECASE)
        many = (_NUMBERS.get(several[1].lower()) or int(several[1])) if several else 1
        yarn = yarn_of(text)
        if named and self.ball and not (yarn.metres or yarn.grams or yarn.weight or yarn.fibre):
            whole = self.yarns.pop(self.ball) if self.ball in self.yarns and not self.colours else None
            whole = whole or self.yarns[self.colours[0]]
            yarn = replace(whole, colour=yarn.colour or yarn.name[:1].lower() + yarn.name[1:])
            self.colours.append(key)
        elif not named and many == 1 and not yarn.asked:
            self.ball = key
        for place in range(many if key == "A" else 1):
            self.yarns["ABCDEFGHIJ"[place] if several else key] = yarn
        return Sorted("yarn", f"pattern.yaml: yarns, {key}", _left_to_say(yarn, text))


def _left_to_say(yarn: Yarn, text: str) -> str:
    """What a teacher does about a yarn: says what a ball holds, and compares the balls printed with those computed."""
    printed = _BALLS.search(text)
    compare = f"compare “{printed[0]}” with what the handout asks for" if printed else ""
    ask = f"say what a ball holds: {' and '.join(yarn.asked)}" if yarn.asked else ""
    return "; ".join(filter(None, (ask, compare)))


def gauge_in(text: str) -> Gauge | None:
    """Read the gauge that a line tells; ``guessed``: without rounds. A number that nobody means is a ``ValueError``."""
    pair, count, rows, over = (shape.search(text) for shape in (_PAIR, _STITCHES, _ROUNDS, _OVER))
    stitches = pair[1] if pair else count[1] if count else ""
    if (over is None and not _PER_INCH.search(text)) or not stitches:
        return None
    length = f"{_plain(over[1])} {'cm' if over[2].lower() == 'cm' else 'in'}" if over else "1 in"
    rounds = pair[2] if pair else rows[1] if rows else ""
    each = [read_number(_plain(one)) for one in (stitches, rounds) if one]
    if min(each) <= 0 or max(each) > MOST_OF_A_SWATCH or not 0 < read_length(length) <= WIDEST_SWATCH:
        return None
    fabric = _FABRIC.search(text, over.end() if over else 0) or _HOOKED.search(text)
    return Gauge(
        stitches=_plain(stitches),
        rounds=_plain(rounds) if rounds else "",
        over=length,
        fabric=re.sub(r"^(?:in|over)\s+", "", fabric[1].strip()) if fabric else "",
        guessed=not rounds,
    )


def gauge_printed(printed: Printed) -> Gauge | None:
    """Give the first gauge, with its rounds, that a sorted pattern tells in so many words."""
    for entry in printed.entries:
        try:
            found = gauge_in(entry.spread.text) if entry.kind == "prose" else None
        except ValueError:
            found = None
        if found and not found.guessed:
            return found
    return None


def _plain(number: str) -> str:
    return f"{read_number(number.replace(',', '.')):g}"


def guessed_rounds(stitches: float, craft: str) -> str:
    """Guess rounds to so many stitches: plain knit has some 1.4 to one, single crochet 1.1 (from memory)."""
    return str(max(1, round_half_up(stitches * (1.4 if craft == "knitting" else 1.1))))


def yarn_of(text: str) -> Yarn:
    """Read what is printed of a yarn."""
    text = re.sub(r"^[^:]{0,25}:\s*", "", text) if _KEY.match(text) else text
    text = COLOURED.sub("", text, count=1).strip() if COLOURED.match(text) else text
    plain = text.lower()
    metres = re.search(r"(\d+(?:\.\d+)?)\s?(?:m|metres|meters)\b(?!m)", plain)
    yards = re.search(r"(\d+(?:\.\d+)?)\s?(?:yds?|yards?)\b", plain)
    grams = re.search(r"(\d+(?:\.\d+)?)\s?(?:g|gr|grams|grammes)\b", plain)
    colour = re.search(r"\bcolou?r(?:way)?\b(?!s)\s*[:#]?\s*[“\"']?([^,;.()“”\"']+)|\bin ([A-Z][\w ]+)$", text)
    length = float(metres[1]) if metres else round(float(yards[1]) * 0.9144) if yards else 0.0
    name = re.sub(r"^\W*\d+\s?(?:g|m|yds?|oz)\s+(?:of\s+)?", "", text.strip(" ."))
    if re.match(r"\W*\d", name):
        name = re.sub(r"^.*?\b(?:balls?|skeins?|hanks?)\s+(?:of\s+)?(?=\S)", "", name)
    name = re.split(r"\s*[,;(]|\s\d", name)[0].strip(" :") or text.strip(" .")
    name = re.sub(r"\s+(?:in|of|for|a|and|about|each)$", "", name)
    shade = None if colour else _SHADE.search(name)
    return Yarn(
        name=name[: shade.start()] if shade else name,
        colour=((colour[1] or colour[2]).strip() if colour else shade[1] if shade else ""),
        weight=_weight_in(plain),
        metres=length,
        grams=float(grams[1]) if grams else 0.0,
        fibre=next((fibre for fibre in _FIBRES if fibre in plain), ""),
    )


def _weight_in(text: str) -> str:
    """Find the weight of a yarn in small letters: the last that is told, since names come first: `Harrowfen Baby DK`.

    Whom a yarn is for is in its name more often than its weight is: `Baby Merino`.
    """
    kinds = {kind for weight in weights() for kind in (*weight.types, weight.name.lower()) if len(kind) > 1}
    every = "|".join(re.escape(kind) for kind in sorted(kinds, key=len, reverse=True))
    found = [one[0] for one in re.finditer(rf"\b(?:{every})\b", text)]
    sure = [kind for kind in found if kind != "baby" or re.search(r"\bbaby[ -](?:weight|yarn|wool)\b", text)]
    return sure[-1] if sure else ""


def gauge_of(yarns: Sequence[Yarn], craft: str) -> Gauge | None:
    """Guess a gauge where none is printed: the middle of what the standard table gives for the yarn's weight."""
    for yarn in yarns:
        for weight in weights():
            if yarn.weight and yarn.weight in (*weight.types, weight.name.lower()):
                low, high = weight.stitches if craft == "knitting" else weight.crochet
                middle = round_half_up((low + high) / 2)
                if low and high < 99:
                    return Gauge(str(middle), guessed_rounds(middle, craft), "4 in", "", guessed=True)
    return None


def hexes_of(names: Iterable[str]) -> list[str]:
    """Give the colours in which yarns are drawn until the teacher types her own.

    It is the hue that a yarn's name says last ("rowan red", "blue grey"), else one that no yarn before it looks like.
    """
    hues = {row["word"]: row["hex"] for row in tables.rows("hues")}
    found: list[str] = []
    named = [[hues[word] for word in _WORD.findall(name.lower()) if word in hues] for name in names]
    told = [each[-1] for each in named if each]
    for each in named:
        free = (one for one in _HEXES if all(difference(one, other) >= APART for other in (*found, *told)))
        fresh = each and each[-1] not in found
        found.append(each[-1] if fresh else next(free, _HEXES[len(found) % len(_HEXES)]))
    return found
