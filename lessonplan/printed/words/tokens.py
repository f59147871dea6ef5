"""Print cut into tokens: numbers (one for each size), stitches, places, connecting words, remarks, unknown words.

Every token keeps its span in the text as written; nothing is rewritten, so a message can point at the word itself.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from lessonplan.printed.heading import Num
from lessonplan.printed.words import numbers
from lessonplan.printed.words.named import ALIKE, HOOKED_PATTERN, LENGTH, PATTERN, charts, hooked, starred
from lessonplan.printed.words.own import Own, explained, spelled
from lessonplan.printed.words.phrases import NUMBER_WORDS, Piece, Word, longest, noise, phrases, pieces
from lessonplan.printed.words.yarnnames import LETTER, NAMED_COLOUR, SHADE, YARN, longest_first, named_yarns

_CHARACTERS = str.maketrans(
    {
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\u200a\u2002\u2003\t\r\n\u200b\ufeff_", " "),
        **dict.fromkeys("–—−‐‑‒―∼~", "-"),
        **dict.fromkeys("“”„«»″", '"'),
        **dict.fromkeys("‘’‚`´′", "'"),
        **dict.fromkeys("✱∗⁎＊✳✻★☆✶✽⭑⭐", "*"),
        **dict.fromkeys("İıＩ", "i"),
        **dict.fromkeys("【〔「『〖", "["),
        **dict.fromkeys("】〕」』〗", "]"),
        **dict.fromkeys("＝→⇒➔", "="),
        **dict(zip("（），、：。＋×✕✖…{}†в", "(),,:.+xxx.[]*s", strict=True)),
    }
)
_SIGNS = {
    ",": "sep", ";": "sep", ".": "stop", ":": "colon", "-": "dash", "=": "eq", "(": "open", "[": "open",
    ")": "close", "]": "close", "*": "star", '"': "noise", "'": "noise", "/": "slash", "#": "noise", "!": "stop",
    "?": "noise", "%": "noise", "|": "noise", ">": "noise", "<": "noise", "+": "sep", "±": "sep",
}  # fmt: skip
_SHORTENED = frozenset({
    "st", "beg", "row", "rem", "stitch", "together", "rep", "next", "alt", "other", "work", "needle", "cn", "inced",
    "deced", "slipjoin",
})  # fmt: skip
"""Kinds of words that are printed short, with a full stop."""
_SHORT_STITCHES = frozenset(
    {"inc", "dec", "ch", "dc", "tr", "sc", "htr", "hdc", "ss", "tbl", "psso", "k2tog", "p2tog", "yfwd"}
)
"""Stitches that some publishers print with a full stop."""
_BEFORE_NUMBERS = frozenset({"next", "rep", "beg", "alt", "other", "work", "needle", "cn"})
"""Kinds of short words that a number follows."""
_IN_FULL = frozenset({"next", "start", "work", "other", "first"})
"""Words of these kinds that are not short, so that a full stop behind them ends a sentence."""
_FIRST_ROUND = re.compile(r"\W*(?:r(?:ou)?nd|r|row)\.? ?1\b|\W*(?:1st|first) (?:r(?:ou)?nd|row)\b")
_NUMBERED = re.compile(r"\. ?\d")
"""What follows `No` where it is short for number."""
_SHAPES = re.compile(
    r"\s*\d+[\s(\[\d:;,/)\]-]*\s*(?:sts?|[sd]\.? ?c|h?\.?tr|hdc)\b\.?\s*(?:\([^)]*\)\s*)?"
    r"(?:at|in|on|each|every|both|evenly|across|(?:\w+ )?(?:edge|side|end)s?)\b"
)
_DIAGRAM = re.compile(
    r"\b(?:A\.\d|M\.\d(?!.*\b[KP]\.\s?\d))(?![\d.])|(?<=needle )no\. ?\d(?:[.,]\d)?|(?<=needles )no\. ?\d(?:[.,]\d)?"
)
"""A diagram as Nordic print calls it, `A.1` (in `K.1, M.1, K.15` a stitch is made), and the number of a needle."""
_POINTED = re.compile(r"<(\d[^<>]*)>")
_SMILE = re.compile(r"(?<=\s)[:;]-?[)D(P](?=[\s.!]|$)")
_PLURAL = re.compile(r"\((s|es)\)")


@dataclass(frozen=True, slots=True)
class Token:
    """One word of print: its kind, what it means, its numbers, and its span in the text (0-based)."""

    kind: str
    value: str
    at: int
    end: int
    num: Num = ()
    tight: bool = False


class SizesError(Exception):
    """A list of numbers that does not match the sizes of the pattern: how many, and where (0-based)."""

    def __init__(self, given: int, at: int) -> None:
        super().__init__(given, at)
        self.given = given
        self.at = at


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Dashes, quotation marks, blanks and asterisks made plain and all in lower case, character for character."""
    changed = (text if "«" in text else text.replace("»", "=")).translate(_CHARACTERS)
    changed = _SMILE.sub(lambda match: " " * len(match[0]), changed)
    changed = _POINTED.sub(r"(\1)", changed)
    changed = _PLURAL.sub(lambda match: match[1].ljust(len(match[0])), changed)
    lower = (changed := starred(changed)).lower()
    if len(lower) == len(changed):
        return lower
    return "".join(c.lower() if len(c.lower()) == 1 else c for c in changed)


@lru_cache(maxsize=4096)
def tokens(text: str, sizes: int, colours: frozenset[str], craft: str, own: Own = ()) -> tuple[Token, ...]:
    """The tokens of a printed line; raises `SizesError` for a list with a number too few or too many.

    `own` are words that the pattern makes for itself.
    """
    cutter = _Cutter(text, plain(text), sizes, colours, craft)
    groups: dict[int, tuple[Token, ...]] = {}
    for start, end, name in spelled(text, own):
        number = name.removeprefix("#")
        size = Token(kind="num", value="", at=start, end=end, num=(int(number),)) if number != name else None
        cutter.spans[start] = size or Token("stitch", name, start, end)
        if name.startswith("="):
            groups[start] = tuple(replace(one, at=start, end=end) for one in tokens(name[1:], 1, frozenset(), craft))
    for start, end in explained(text, own):
        cutter.spans[start] = Token("hooknote", text[start:end], start, end)
    return tuple(token for each in cutter.cut() for token in groups.get(each.at, (each,)))


class _Cutter:
    """Cuts one text; `run` are its pieces."""

    def __init__(self, text: str, lower: str, sizes: int, colours: frozenset[str], craft: str) -> None:
        self.text = text
        self.lower = lower
        self.sizes, self.only = sizes, numbers.only_for(lower)
        self.craft = craft
        self.run = _digits(numbers.joined(pieces(lower))) if sizes > 1 else numbers.joined(pieces(lower))
        if craft == "crochet" and "sl stitch" in lower:
            self.run = [
                piece._replace(text="st") if piece.text == "stitch" and self.run[place - 1].text == "sl" else piece
                for place, piece in enumerate(self.run)
            ]
        self.spans = self._spans(text, colours)

    def _spans(self, text: str, colours: frozenset[str]) -> dict[int, Token]:
        """What is found in the text before it is cut into words: yarns, lengths, names of stitch patterns."""
        found: dict[int, Token] = {}
        for match in _DIAGRAM.finditer(text):
            found[match.start()] = Token("remark", match[0], match.start(), match.end())
        for match in LENGTH.finditer(self.lower):
            found[match.start()] = Token("length", match[0], match.start(), match.end())
        if self.craft == "crochet":
            found.update({at: Token(kind, value, at, end) for kind, value, at, end in hooked(self.lower)})
        else:
            for match in ALIKE.finditer(self.lower):
                found[match.start()] = Token("alike", match[0], match.start(), match.end())
        for match in NAMED_COLOUR.finditer(text):
            found[match.start(1)] = Token("colour", match[1], match.start(1), match.end(1))
        for match in PATTERN.finditer(self.lower):
            group = "built" if match["built"] else "own"
            if self.craft == "crochet" and group == "own" and not HOOKED_PATTERN.search(match[0]):
                continue  # `working in remaining loops`
            start = match.start() if match["built"] else match.start("own")
            name = " ".join(match[group].strip("( ").split())
            name = re.sub(r" (?:in (?:the )?(?:rounds?|rnds?|rows)|back and forth)$", "", name)
            name = "garter ridge" if name.startswith("ridge") else name
            end = match.end()
            closes = re.match(r"\.?\)", self.lower[end:])
            if closes and self.lower[start:end].count("(") > self.lower[start:end].count(")"):
                end += closes.end()
            found[start] = Token("pattern", name, start, end)
        found.update({at: Token("chart", value, at, end) for value, at, end in charts(self.lower)})
        for match in named_yarns(colours).finditer(text):
            name = next(name for name in longest_first(colours) if name.lower() == match[0].lower())
            found[match.start()] = Token("colour", name, match.start(), match.end())
        for match in SHADE.finditer(self.lower) if self.craft == "crochet" else ():
            if self._names_yarn(match[1]):
                found[match.start(1)] = Token(
                    "colour", text[match.start(1) : match.end(1)], match.start(1), match.end(1)
                )
        for match in YARN.finditer(text):
            if self.craft == "crochet" and self._names_yarn(match[1].lower()):
                found[match.start(1)] = Token("colour", match[1], match.start(1), match.end(1))
        for match in LETTER.finditer(text):
            start, end = match.span(match.lastindex or 0)
            found[start] = Token("colour", text[start:end], start, end)
        return found

    def _names_yarn(self, word: str) -> bool:
        """Whether a word that begins with a capital names a yarn: no word of the trade, or a colour."""
        known = dict(phrases(self.craft).get(word, ()))
        if word in phrases(self.craft):
            return (word,) in known and known[word,].value == "hue"
        return word not in {*noise(), *NUMBER_WORDS}

    def cut(self) -> list[Token]:
        """All tokens but the noise between them."""
        done: list[Token] = []
        here = 0
        while here < len(self.run):
            piece = self.run[here]
            token, after = self._token(here, done[-1] if done else None)
            here = max(after, here + 1)
            if token.kind == "close" and _explains(done):
                del done[-2:]
            elif token.kind == "star" and [each.kind for each in done[-2:]] == ["star", "star"]:
                continue  # a rule of asterisks says nothing
            elif token.kind != "noise":
                done.append(token if token.tight == piece.tight else _tight(token, piece.tight))
        return done

    def _token(self, here: int, last: Token | None) -> tuple[Token, int]:
        piece = self.run[here]
        if (span := self.spans.get(piece.at)) and span.end > piece.at:
            after = next((n for n in range(here, len(self.run)) if self.run[n].at >= span.end), len(self.run))
            return span, after
        if (
            piece.text == "n"
            and here + 1 < len(self.run)
            and self.run[here + 1].tight
            and self.run[here + 1].text.isdecimal()
        ):
            return Token("needle", piece.text, piece.at, piece.end), here + 1
        ends = here + 1 >= len(self.run) or not (self.run[here + 1].tight or self.run[here + 1].text == "s")
        if piece.text == "s" and piece.tight and ends and last is not None and last.kind == "star":
            return Token("noise", piece.text, piece.at, piece.end), here + 1  # `repeat between *s`
        if piece.text in ("no", "nos") and _NUMBERED.match(self.lower, piece.end):
            return Token("size", piece.text, piece.at, piece.end), here + 2
        apart = next((n for n in range(here + 1, min(here + 9, len(self.run))) if self.run[n].at in self.spans), None)
        if last is not None and last.kind == "last":
            apart = here + 1 if piece.text in ("st", "sts") else apart  # `to last st inc 6 sts evenly`
        found = longest(self.lower, self.run if apart is None else self.run[:apart], here, self.craft)
        if found is not None and (found[1] > here + 1 or not piece.text.isdecimal()):
            return self._word(here, *found, last)
        if piece.text.isdecimal():
            number = self._number((int(piece.text),), here, here + 1)
            behind = last is not None and last.kind in numbers.BEFORE_LISTS
            if behind and (listed := self._row_of_sizes(here, *numbers.COUNTED)):
                return listed
            return self._list(here) or (number, here + (2 if number.kind == "ord" else 1))
        if piece.text == "one" and last is not None and self._a_pronoun(here, last):
            return Token("remark", piece.text, piece.at, piece.end), here + 1
        if piece.text in NUMBER_WORDS:
            return self._number((NUMBER_WORDS[piece.text],), here, here + 1), here + 1
        if piece.text in noise():
            named = last is not None and last.kind in ("marker", "pm", "sm", "rm") and len(piece.text) == 1
            return Token("unknown" if named else "noise", piece.text, piece.at, piece.end), here + 1
        if self._no_stop(here, last) or self._no_dash(here, last):
            return Token("noise", piece.text, piece.at, piece.end), here + 1
        if piece.text == "#" and (last is None or last.kind in ("stop", "sep")) and self.lower[piece.end :][1:2] == ":":
            return Token("needle", piece.text, piece.at, piece.end), here + 1
        alone = piece.text in ("(", "[") and (last is None or last.kind != "num")
        if alone and self.sizes > 1 and (mixed := numbers.alternating(self.run, here, self.sizes)):
            return self._number(tuple(mixed[0]), here, mixed[1]), mixed[1]
        if alone and (listed := self._row_of_sizes(here + 1, ")", "]")):
            number, close = listed
            if [each.text for each in self.run[close + 1 : close + 2]] == ["times"]:
                return number, close + 1
        if piece.text in _SIGNS:
            return Token(_SIGNS[piece.text], piece.text, piece.at, piece.end), here + 1
        if self._second_pass(here, last):
            return Token("noise", piece.text, piece.at, piece.end), here + 1
        if piece.text == "r" and here + 1 < len(self.run) and self.run[here + 1].text.isdecimal():
            return Token("row", "round", piece.at, piece.end), here + 1
        pointed = last is not None and last.kind in ("from", "rep")  # `repeat from ★`, of which nothing else is known
        kind = "unknown" if piece.text[0].isalnum() or pointed else "noise"
        return Token(kind, piece.text, piece.at, piece.end), here + 1

    def _a_pronoun(self, here: int, last: Token) -> bool:
        """Whether `one` is no number: `at the end of the last one`."""
        after = self.run[here + 1].text if here + 1 < len(self.run) else ""
        return last.kind in ("last", "next", "each", "other", "same", "ord", "remark") and after in ("", *".,;:!)")

    def _second_pass(self, here: int, last: Token | None) -> bool:
        """Whether a letter only tells apart two passes of one round: `Rnd 1B`."""
        piece = self.run[here]
        begins = here > 1 and self.run[here - 2].text in ("rnd", "round", "row", "r", "rd")
        return begins and piece.tight and last is not None and last.kind == "num" and piece.text in ("a", "b")

    def _no_stop(self, here: int, last: Token | None) -> bool:
        """Whether a full stop only ends an abbreviation: `sts.`, `beg. of`."""
        piece = self.run[here]
        if piece.text != "." or not piece.tight or last is None:
            return False
        after = (self.lower if self.text.isupper() else self.text)[piece.end :].lstrip()[:1]
        if last.value in ("k", "p", "sl") and last.end - last.at < 3:
            all_ = self.lower[: last.at].rstrip().endswith(":") and numbers.ONLY_COUNT.fullmatch(self.lower, piece.end)
            return here + 1 < len(self.run) and (after.isdecimal() or after.islower()) and not all_
        word = self.lower[last.at : last.end]
        if (last.kind == "pu" and after.isdecimal()) or (word == "patt" and (after.isdecimal() or after.islower())):
            return True  # `pick up and k. 24 sts`, `Keeping patt. correct`
        if last.value in ("inc", "dec") and _SHAPES.match(self.lower, piece.end):
            return True
        if word in ("row", "rows", "round", "rounds"):
            return False
        if word == "rep" and self.lower[piece.end :].lstrip().startswith(("row", "rnd", "round")):
            return True
        if (word in ("st", "sts") and after == "(") or (word.endswith((" st", " sts")) and after.islower()):
            return True  # `BO 4 sts. (including the one just worked)`, `across sts. of pocket lining`
        full = len(word) > 5 or word in _IN_FULL
        left = last.kind == "rem" and self.lower[: last.at].rstrip().endswith(("leave", "leaving", "the", "on"))
        if (last.kind in _BEFORE_NUMBERS or left) and after.isdecimal():  # `leave rem. 34 sts`
            return not full
        short = last.kind == "stitch" and word.rstrip(".") in _SHORT_STITCHES
        short = short or word.rpartition(" ")[2] in ("sp", "sps", "lp", "lps")
        if last.kind not in _SHORTENED and not short and word != "incl":
            return False
        return after.islower() or after in ",;:)]"

    def _no_dash(self, here: int, last: Token | None) -> bool:
        """Whether a hyphen only joins a stitch and its number: `sl-1`."""
        piece = self.run[here]
        after = self.run[here + 1] if here + 1 < len(self.run) else None
        joins = piece.text == "-" and piece.tight and after is not None and after.tight and after.text.isdecimal()
        counted = self.text[piece.at] == "—"  # `sc in next 12 sc—25 sc`
        return joins and not counted and last is not None and last.kind == "stitch"

    def _word(self, here: int, word: Word, after: int, last: Token | None) -> tuple[Token, int]:
        first, end = self.run[here], self.run[after - 1].end
        kind = word.kind
        worked_round = first.text == "round" and last is not None and last.kind in ("stitch", "st")
        if kind == "row" and self.craft == "crochet" and worked_round and not self._counts(after):
            kind = "around"  # `1 tr in each st round`
        looped = first.text == "loop" and last is not None and last.kind == "in"
        if kind == "space" and looped and _FIRST_ROUND.match(self.lower):
            kind = "ring"  # `Round 1: 11tr into loop`
        if kind == "marker" and first.text == "m" and after == here + 1 and after < len(self.run):
            following = self.run[after]
            if following.text.isdecimal() and following.tight:
                kind = "unknown"
        if kind == "stitch" and self.run[after - 1].text.isdecimal() and self.sizes > 1:
            many, _ = numbers.values_of(self.run, after - 1, self.sizes, ())
            if len(many) == self.sizes and word.value == "inc 4":
                return Token(kind, "inc", first.at, first.end), after - 1  # `inc 4 (6, 6) sts evenly`
        if first.text == "eor" and after == here + 1 and (last is None or last.kind not in ("to", "at", "pm")):
            kind = "eor"  # `every other row`, not the end of one
        if kind in ("once", "ord"):
            return Token(kind=kind, value=word.value, at=first.at, end=end, num=(int(word.value),)), after
        of = after < len(self.run) and self.run[after].text == "of"
        if first.text == "short" and of and last is not None and last.kind in ("st", "stitch"):
            kind = "before"  # `to 2 sts short of marker`
        named = word.value or (self.lower[first.at : end] if kind == "remark" else "")
        return Token(kind, named, first.at, end), after

    def _counts(self, here: int) -> bool:
        """Whether a number stands at a piece."""
        return here < len(self.run) and self.run[here].text.isdecimal()

    def _number(self, num: Num, here: int, after: int) -> Token:
        first, last = self.run[here], self.run[after - 1]
        following = self.run[after] if after < len(self.run) else None
        ordinal = following is not None and following.tight and following.text in numbers.ENDINGS
        if ordinal and following is not None and not self.lower[following.end : following.end + 1].isalnum():
            return Token(kind="ord", value="", at=first.at, end=following.end, num=num)
        return Token(kind="num", value="", at=first.at, end=last.end, num=num)

    def _list(self, here: int) -> tuple[Token, int] | None:
        """A number with those of the other sizes behind it, in any style of brackets, or just a list of them."""
        found, after = numbers.values_of(self.run, here, self.sizes, self.only)
        if len(found) < 2:
            return None
        if len(found) == self.sizes and self.sizes > 1:
            ordinal = any(one.tight and one.text in numbers.ENDINGS for one in self.run[here + 1 : here + 2])
            number = self._number(tuple(found), here, after)
            after += int(number.kind == "ord")
            return (
                Token(kind="ord", value="", at=number.at, end=number.end, num=number.num) if ordinal else number
            ), after
        if not numbers.amiss(self.run, here, after, len(found), self.sizes):
            return None
        raise SizesError(len(found), self.run[here].at)

    def _row_of_sizes(self, here: int, *behind: str) -> tuple[Token, int] | None:
        """The numbers of all sizes behind one bracket: `(72, 80, 88 sts)`, `(8, 8, 10) times`."""
        found = numbers.in_bracket(self.run, here, self.sizes, behind)
        return None if found is None else (self._number(tuple(found[0]), here, found[1]), found[1])


def _digits(run: list[Piece]) -> list[Piece]:
    """Pieces with numbers of a list for each size in digits: `two (two, three) more times`."""
    found = list(run)
    for place, piece in enumerate(run):
        after = run[place + 1].text if place + 1 < len(run) else ""
        before = run[place - 1].text if place else ""
        listed = after in ("(", "[") or (after in (",", ":", ")", "]") and before in ("(", "[", ",", ":"))
        if piece.text in NUMBER_WORDS and listed:
            found[place] = piece._replace(text=str(NUMBER_WORDS[piece.text]))
    return found


def _explains(done: Sequence[Token]) -> bool:
    """Whether a bracket only says again what stands before it: `make 1 (M1)`, `repeat (rep)`."""
    if len(done) < 3 or done[-2].kind != "open":
        return False
    before, inside = done[-3], done[-1]
    return (before.kind, before.value, before.num) == (inside.kind, inside.value, inside.num) and before.kind != "num"


def _tight(token: Token, tight: bool) -> Token:
    return Token(kind=token.kind, value=token.value, at=token.at, end=token.end, num=token.num, tight=tight)


def shown(run: Sequence[Token], text: str) -> str:
    """The words that tokens stand for, as printed."""
    return text[run[0].at : run[-1].end] if run else ""
