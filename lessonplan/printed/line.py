"""Printed instruction lines read: text in, syntax tree out, cached for each line.

`parse_line` tidies the print (`words`, `phrases`), takes off the label and the printed counts
(`label`), parses the rest with the grammar of `grammar.lark`, and puts the result in order
(`shape`).
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from lark import Lark
from lark.exceptions import UnexpectedCharacters, UnexpectedEOF, UnexpectedToken
from lark.lexer import PatternRE, TerminalDef

from lessonplan.craft.techniques import CRAFTS, GENERATED, spellings
from lessonplan.printed import crochet as hooked
from lessonplan.printed import phrases as phrases
from lessonplan.printed import places as places
from lessonplan.printed import words as words
from lessonplan.printed.build import builder
from lessonplan.printed.label import LabelError, Tail, split_label, split_tail
from lessonplan.printed.shape import Resolver, parts_of
from lessonplan.printed.tidy import SizesError, Tidy, clean, lower, mark_colours, mark_sizes
from lessonplan.printed.tree import Label, Line, MeaninglessError, Part

GRAMMAR = Path(__file__).parent / "grammar.lark"
MAX_LENGTH = 4000
"""Longest line read, in characters; a longer one is not an instruction line but a slip."""
_NOT_STITCHES = frozenset(
    {"pm", "sm", "rm", "BO", "CO", "3nBO", "graft", "draw through", "pu&k", "picot n", "turn", "w&t"}
)
_CROCHET = re.compile(
    r"\b(?:fp|bp)?(hdc|sc|dc|dtr|tr|ch)(?:\d+tog|s)?\b|\b(single|double|half|treble)[ -](?:double )?crochet|\bchain\b"
)

_HUGE = re.compile(r"\d{6,}")
"""A number of more than 99,999: more than anybody works in one line."""
_EVENLY = re.compile(
    r"\b(?:inc|dec)(?:rease|reasing|s)?\b[^.;]*\b\d+[^.;]*\bevenly\b|\bevenly\b[^.;]*\b(?:inc|dec)", re.IGNORECASE
)
"""Shapings to be spread evenly: where each falls is not in the line."""


class NotationError(Exception):
    """A line that cannot be read: one sentence and a 1-based column in the text as written."""

    def __init__(self, sentence: str, column: int) -> None:
        super().__init__(f"column {column}: {sentence}")
        self.sentence = sentence
        self.column = column


@lru_cache(maxsize=4096)
def parse_line(text: str, sizes: int = 1, colours: frozenset[str] = frozenset(), crochet: str = "") -> Line:
    """The syntax tree of one printed line, for a pattern of `sizes` sizes; `colours` are names of yarns.

    `crochet` is the main stitch (sc, dc ...) of a crochet pattern, for lines such as "inc around" that name none.

    Raises `NotationError` where the print cannot be read, or where a list such as `48 (52, 56)` has not one number
    for each size.
    """
    even = _EVENLY.search(text)
    if even:
        raise NotationError(
            "says “evenly” without saying where; write the line out, or in a pattern file use “increase” or “decrease”",
            even.start() + 1,
        )
    if len(text) > MAX_LENGTH:
        raise NotationError(f"an instruction line longer than {MAX_LENGTH} characters is not read", 1)
    if huge := _HUGE.search(text):
        raise NotationError(f"“{huge[0][:12]}” is more than anybody works", huge.start() + 1)
    if not text.strip():
        raise NotationError("there is nothing to work in an empty line", 1)
    marked, yarns = mark_colours(clean(text), colours)
    try:
        label, body = split_label(lower(marked))
        read = _body(body.text, sizes, yarns, crochet)
    except SizesError as error:
        column = body.columns[error.column]
        raise NotationError(_sizes_sentence(error.given, sizes), column) from None
    except LabelError as error:
        raise NotationError(str(error), 1) from None
    columns = tuple(body.columns[min(place, len(body.columns) - 1)] for place in read.columns)
    if read.failure is not None:
        raise _unreadable(read.failure, columns, text)
    if not read.parts and (label != Label() or not re.search(r"\w", body.text)):
        raise NotationError("there is nothing to work in this line", len(text.rstrip()))
    printed_column = body.columns[read.tail.column] if read.tail.column else 0
    return Line(
        text, sizes, label, read.parts, read.tail.printed, read.tail.change, bool(read.crochet), columns,
        printed_column, _chain(body.text),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Body:
    """What stands between label and printed counts; `columns` are places in the text it was read from."""

    parts: tuple[Part, ...]
    tail: Tail
    crochet: str
    columns: tuple[int, ...]
    failure: _Failure | None = None


@dataclass(frozen=True, slots=True)
class _Failure:
    """Where the grammar stopped (`at`, None: at the end) or, with a sentence, what is wrong with the brackets."""

    at: int | None
    sentence: str = ""


def _stopped(error: UnexpectedToken, tidied_text: str) -> _Failure:
    if error.token.type == "$END":
        return _Failure(None, _unfinished(tidied_text))
    if error.token.type in ("REP", "REP2"):
        return _Failure(error.pos_in_stream, "says to repeat from an asterisk, but no asterisk stands before it")
    return _Failure(error.pos_in_stream)


@lru_cache(maxsize=4096)
def _body(text: str, sizes: int, yarns: tuple[str, ...], hint: str) -> _Body:
    """The body of a line, which many lines of a pattern share ("Knit.")."""
    crochet = crochet_stitch(text) or hint
    tidy, names = _named_patterns(Tidy(text, tuple(range(len(text) + 1))))
    tidy = mark_sizes(words.apply(words.NUMBERS, tidy), sizes)
    tail, tidy = split_tail(tidy, sizes)
    if failure := _wrong_brackets(tidy.text):
        return _Body((), tail, crochet, tidy.columns, failure)
    tidy = tidied(tidy, bool(crochet))
    parts: tuple[Part, ...] = ()
    try:
        parts = parts_of(_parser().parse(tidy.text), Resolver(crochet, yarns, names))  # type: ignore[arg-type]
    except MeaninglessError as error:
        failure = _Failure(error.at, error.sentence)
    except UnexpectedToken as error:
        failure = _stopped(error, tidy.text)
    except UnexpectedCharacters as error:
        failure = _Failure(error.pos_in_stream)
    except UnexpectedEOF:
        failure = _Failure(None, _unfinished(tidy.text))
    return _Body(parts, tail, crochet, tidy.columns, failure)


def _chain(text: str) -> str:
    if re.search(r"(?:does|do|doesn't|not) (?:not )?count(?:ed)?\b(?! as 0)", text):
        return "not"
    return "counts" if re.search(r"\bcounts? as\b|\bcounted as\b", text) else ""


def tidied(tidy: Tidy, crochet: bool = False) -> Tidy:
    """The body of a line in the grammar's own words; label, sizes and printed counts are dealt with already."""
    if crochet:
        tidy = words.apply(hooked.FIRST, tidy)
    for table in (words.ROWS_AND_STITCHES, words.REPEATS, phrases.EVEN, phrases.EDGES, phrases.HOLDS):
        tidy = words.apply(table, tidy)
    for table in (words.STITCHES, phrases.MARKERS, places.PLACES, places.SHAPINGS, places.INTO):
        tidy = words.apply(table, tidy)
    if crochet:
        tidy = words.apply(hooked.LAST, tidy)
    for table in (places.ASTERISKS, places.ROW_COUNTS, places.NOISE):
        tidy = words.apply(table, tidy)
    return tidy


def crochet_stitch(text: str) -> str:
    """The main crochet stitch of a line (sc, dc ...), or "" if it names none."""
    text = text.lower()
    match = _CROCHET.search(text)
    if match is None:
        return ""
    for found in _CROCHET.finditer(text):
        if found[1] and found[1] != "ch":
            return found[1]
    return {"single": "sc", "double": "dc", "half": "hdc", "treble": "tr"}.get(match[2] or "", "sc")


@cache
def _pattern_rules() -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(pattern) for _, pattern, _ in phrases.PATTERN_NAMES)


def _named_patterns(tidy: Tidy) -> tuple[Tidy, tuple[str, ...]]:
    """Names of stitch patterns replaced by `_pattN`, and the names by that number."""
    names: list[str] = []

    def numbered(match: re.Match[str]) -> str:
        names.append(" ".join(match["name"].split()))
        count = f" for {match['n']} {match['r']}" if match["n"] else ""
        return f"_patt{len(names) - 1}{count}"

    for rule in _pattern_rules():
        tidy = tidy.sub(rule, numbered)
    return tidy, tuple(names)


@cache
def _parser() -> Lark:
    """The parser, with the spellings of the table of techniques as its stitch terminal."""

    def fill(terminal: TerminalDef) -> None:
        if terminal.name == "STITCH":
            terminal.pattern = PatternRE(stitch_expression())

    return Lark(
        GRAMMAR.read_text(encoding="utf-8"),
        parser="lalr",
        lexer="basic",
        transformer=builder(),
        edit_terminals=fill,
        maybe_placeholders=False,
    )


@cache
def stitch_expression() -> str:
    """Regular expression of every spelling that the lexer takes for a stitch, longest first, in lower case."""
    known = {
        spelling
        for craft in CRAFTS
        for spelling, name in spellings(craft).items()
        if name not in _NOT_STITCHES and re.fullmatch(r"[a-z0-9 ]+", spelling)
    }
    ordered = sorted(known, key=lambda spelling: (-len(spelling), spelling))
    either = "|".join(re.escape(spelling).replace(r"\ ", r"\s?") + _guard(spelling) for spelling in ordered)
    return rf"(?:{GENERATED})(?![a-z0-9])|{either}"


def _guard(spelling: str) -> str:
    return "(?![a-z0-9])" if spelling[-1].isdigit() else "(?![a-z])"


def _unreadable(failure: _Failure, columns: tuple[int, ...], text: str) -> NotationError:
    if failure.at is None:
        return NotationError(failure.sentence, max(1, len(text.rstrip())))
    column = columns[min(failure.at, len(columns) - 1)]
    if failure.sentence:
        return NotationError(failure.sentence, column)
    column = _word_start(text, column)
    word = re.match(r"[^\s,;.:()\[\]]+|\S", text[column - 1 :].lstrip())
    printed = word[0] if word else text[column - 1 :][:10]
    nearest = difflib.get_close_matches(printed.lower(), _known_words(), n=1, cutoff=0.7)
    hint = f"; did you mean “{nearest[0]}”?" if nearest and nearest[0] != printed.lower() else ""
    return NotationError(f"“{printed}” cannot be read here{hint}", column)


_UNFINISHED = "the line breaks off"


def _word_start(text: str, column: int) -> int:
    """Column where the printed word begins in which the reader stopped: `k2tgo` is read as far as `k2`."""
    while column > 1 and text[column - 2].isalnum() and text[column - 1 : column].isalnum():
        column -= 1
    return column


def _unfinished(tidied_text: str) -> str:
    if "*" in tidied_text and "_rep" not in tidied_text:
        return "an asterisk opens a repeat, but the line never says “repeat from *”"
    return f"{_UNFINISHED} before its last instruction is complete"


@cache
def _known_words() -> tuple[str, ...]:
    return (*(spelling for craft in CRAFTS for spelling in spellings(craft)), "rep", "to", "end", "last", "marker")


def _wrong_brackets(text: str) -> _Failure | None:
    opened: list[tuple[str, int]] = []
    for place, character in enumerate(text):
        if character in "([":
            opened.append((character, place))
        elif character in ")]":
            if not opened or opened[-1][0] != {")": "(", "]": "["}[character]:
                return _Failure(place, f"“{character}” closes a bracket that was not opened")
            opened.pop()
    if opened:
        return _Failure(opened[-1][1], "the bracket opened here is never closed")
    return None


def _sizes_sentence(given: int, sizes: int) -> str:
    has = "one size" if sizes == 1 else f"{sizes} sizes"
    return f"gives {given} numbers, one for each size, but the pattern has {has}"
