"""A whole printed pattern worked: its sections one after another, its totals, and everything that is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonplan.craft.techniques import technique
from lessonplan.needle.count import CountedLine, CountProblem, count_lines
from lessonplan.needle.decided.results import ERROR, NOTE, WARNING
from lessonplan.needle.flat import parsed, rows_of
from lessonplan.needle.pieces import NOTHING, begins_anew, for_sizes, groups_of, texts_of
from lessonplan.needle.ready.patterns import pattern_key
from lessonplan.printed.beside.elsewhere import sentences_elsewhere
from lessonplan.printed.heading import Num, value
from lessonplan.printed.leaflet import explained, sizes
from lessonplan.printed.leaflet.contents import UNKNOWN, Entry, Printed
from lessonplan.printed.line import MAX_LENGTH, crochet_stitch
from lessonplan.printed.piece import casts_on_short
from lessonplan.printed.words.own import groups
from lessonplan.printed.words.terms import terms_said
from lessonplan.printed.words.tokens import SizesError, tokens
from lessonplan.printed.words.turning import notes_said

PerSize = tuple[int, ...]
ASKS_GAUGE = "depends on the gauge"
"""Told of a line to a length, which is counted once."""


@dataclass(frozen=True, slots=True)
class WholeLine:
    """A line that is worked: number of its entry, its section, what was counted, and the count printed after it.

    `per` is "needle" where the printed count is that of each needle; `parts` are the needles then, in the first size.
    """

    entry: int
    section: int
    counted: CountedLine
    printed: Num = ()
    per: str = ""


@dataclass(frozen=True, slots=True)
class SectionTotal:
    """What a section comes to in each size, all its `times` pieces together: rounds or rows, loops made."""

    section: int
    flat: bool
    times: int
    rounds: PerSize
    stitches: PerSize


@dataclass(frozen=True, slots=True)
class Whole:
    """A pattern worked: its lines, totals of sections and of the whole, abbreviations (meaning to print), problems."""

    printed: Printed
    lines: tuple[WholeLine, ...]
    sections: tuple[SectionTotal, ...]
    rounds: PerSize
    stitches: PerSize
    techniques: tuple[tuple[str, PerSize], ...]
    used: Mapping[str, str]
    unexplained: tuple[str, ...]
    unused: tuple[str, ...]
    problems: tuple[CountProblem, ...]
    terms: str = "us"


def work_whole(printed: Printed, *, on: Sequence[int] = (), flat: bool = False, terms: str = "us") -> Whole:
    """Work a sorted pattern. `on`: stitches that it begins on where it casts none on; `flat`: all in rows; `terms` of
    crochet (us, uk).
    """
    count = len(printed.sizes)
    terms = terms_said([each.spread.text for each in printed.entries], terms)
    chains = tuple(note for each in printed.entries if each.kind == "prose" for note in _notes(each.spread.text))
    own = groups([(each.keys, each.meaning) for each, _, _ in printed.explained])
    lines: list[WholeLine] = []
    problems: list[CountProblem] = []
    pieces: dict[int, tuple[bool, int]] = {}
    casts_on = _casts_on(printed, flat=flat)
    begun = tuple(on) if len(on) == count else tuple(on[:1] or (0,)) * count
    for number, group in enumerate(groups_of(printed, flat)):
        start = begun if number == 0 and not begins_anew(printed, group.entries[0][0]) else (0,) * count
        texts = [text for _, each in group.entries for text in each]
        owner = [index for index, each in group.entries for _ in each]
        counted = count_lines(
            texts, start, flat=group.flat, terms=terms, patterns=printed.patterns, colours=printed.colours,
            chains=chains, own=own, casts_on=casts_on,
        )  # fmt: skip
        doubted = {owner[each.line - 1] for each in counted.problems if each.kind == "disagrees"}
        mine: dict[int, list[CountedLine]] = {}
        for index, line in zip(owner, counted.lines, strict=True):
            mine.setdefault(index, []).append(line)
        lines += [_line(printed, index, mine[index], index in doubted) for index, _ in group.entries]
        for section, rows in rows_of(printed, group.entries, flat=group.flat).items():
            pieces.setdefault(section, (flat or rows, group.times))
        problems += _told(printed, owner, counted.problems)
    problems += _sizes_problems(printed)
    problems += _lists(printed)
    problems += _never_worked(printed)
    problems += _too_long(printed)
    problems += _elsewhere(printed)
    problems += [_asked(each) for each in printed.entries if each.kind == "as" and each.like == UNKNOWN]
    used, unexplained, unused, found = _abbreviations(printed)
    problems += found
    totals = tuple(_total(printed, number, lines, *pieces[number]) for number in sorted(pieces))
    techniques = _techniques(count, lines, {each.section: each.times for each in totals})
    unique = sorted(set(problems), key=lambda each: (each.line, each.column, each.size or 0, each.sentence))
    return Whole(
        printed=printed, lines=tuple(lines), sections=totals, rounds=_sum([each.rounds for each in totals], count),
        stitches=_sum([each.stitches for each in totals], count), techniques=techniques, used=used,
        unexplained=unexplained, unused=unused, problems=tuple(unique), terms=terms,
    )  # fmt: skip


def _casts_on(printed: Printed, *, flat: bool) -> bool:
    """Whether CO means cast on in a pattern: it says so, or begins a piece with it."""
    said = any("CO" in each.keys and "cast on" in each.meaning.lower() for each, _, _ in printed.explained)
    firsts = [group.entries[0] for group in groups_of(printed, flat) if begins_anew(printed, group.entries[0][0])]
    lines = (parsed(printed, texts[0]) for _, texts in firsts if texts)
    return said or any(line is not None and casts_on_short(line) for line in lines)


def _notes(text: str) -> Iterator[tuple[int, str]]:
    """What prose says of the chains at the beginning of rows."""
    for sentence in re.split(r"(?<=[^0-9][.!])\s", text.lower()):
        yield from notes_said(sentence)


# what the lines come to
def _line(printed: Printed, index: int, counted: Sequence[CountedLine], disagrees: bool) -> WholeLine:
    entry, count = printed.entries[index], len(printed.sizes)
    read = parsed(printed, entry.read.text) if entry.kind == "line" else None
    names = sorted({name for each in counted for name, _ in each.techniques})
    techniques = tuple(
        (name, _sum([numbers for each in counted for own, numbers in each.techniques if own == name], count))
        for name in names
    )
    rounds = _sum([each.rounds for each in counted], count)
    line = CountedLine(
        text=entry.spread.text,
        stitches=counted[-1].stitches,
        sure=counted[-1].sure,
        rounds=rounds,
        techniques=techniques,
        spaces=counted[-1].spaces,
    )
    if read is None or not read.printed:
        return WholeLine(index, entry.section, line)
    real = (value(read.printed, size) == stitches for size, stitches in enumerate(line.stitches))
    meant = disagrees or bool(read.per) or any(real)  # else a number that the reading taken has another meaning for
    return WholeLine(
        entry=index,
        section=entry.section,
        counted=line,
        printed=read.printed if meant else (),
        per=read.per if meant else "",
    )


def _sum(numbers: Sequence[PerSize], count: int) -> PerSize:
    return tuple(sum(each[size] for each in numbers) for size in range(count))


def _total(printed: Printed, section: int, lines: Sequence[WholeLine], flat: bool, times: int) -> SectionTotal:
    count, times = len(printed.sizes), max(times, printed.sections[section].times)
    mine = [each.counted for each in lines if each.section == section]
    made = [
        tuple(technique(name).produces * number for number in numbers)
        for each in mine
        for name, numbers in each.techniques
    ]
    rounds, stitches = _sum([each.rounds for each in mine], count), _sum(made, count)
    return SectionTotal(
        section=section,
        flat=flat,
        times=times,
        rounds=tuple(times * n for n in rounds),
        stitches=tuple(times * n for n in stitches),
    )


def _techniques(count: int, lines: Sequence[WholeLine], times: Mapping[int, int]) -> tuple[tuple[str, PerSize], ...]:
    found: dict[str, list[int]] = {}
    for line in lines:
        for name, numbers in line.counted.techniques:
            sums = found.setdefault(name, [0] * count)
            for size, number in enumerate(numbers):
                sums[size] += times[line.section] * number
    return tuple((name, tuple(found[name])) for name in sorted(found, key=lambda name: (-found[name][0], name)))


# what is wrong with it
def _told(printed: Printed, owner: Sequence[int], found: Sequence[CountProblem]) -> list[CountProblem]:
    """Problems of lines at their place in the file. What is wrong with a section worked again was told there."""
    problems: list[CountProblem] = []
    measured = min((each.line for each in found if ASKS_GAUGE in each.sentence), default=len(owner) + 1)
    for problem in found:
        index = owner[problem.line - 1]
        entry = printed.entries[index]
        if (
            entry.kind == "as"
            or texts_of(printed, index) == (NOTHING,)
            or ("is labelled" in problem.sentence and problem.line > measured)
        ):
            continue  # nobody knows how many rows a length takes, so neither which side faces after it
        chart = "are not written out" in problem.sentence
        asked = chart or ASKS_GAUGE in problem.sentence
        kind = "asked" if asked else problem.kind
        line, column = entry.place(problem.column)
        since = re.sub(
            r"\bline (\d+)\b", lambda m: f"line {printed.entries[owner[int(m[1]) - 1]].spread.line}", problem.sentence
        )
        severity = WARNING if chart or (asked and problem.severity == ERROR) else problem.severity
        problems.append(
            CountProblem(line=line, column=column, size=problem.size, sentence=since, severity=severity, kind=kind)
        )
    return problems


def _asked(entry: Entry) -> CountProblem:
    sentence = "says to work as something else is worked, which cannot be told from here; it is not counted"
    return CountProblem(*entry.spread.place(0), None, sentence, NOTE, "asked")


def _sizes_problems(printed: Printed) -> list[CountProblem]:
    count = len(printed.sizes)
    if printed.sizes_line and printed.named != count:
        sentence = f"names {printed.named} sizes, but nearly all lists of the pattern have {count} numbers"
        return [
            CountProblem(line=printed.sizes_line, column=1, size=None, sentence=sentence, severity=ERROR, kind="sizes")
        ]
    return []


def _lists(printed: Printed) -> list[CountProblem]:
    """Lists with a number too few or too many, wherever they stand."""
    found = []
    for entry in printed.entries:
        count = for_sizes(printed, entry)
        if entry.kind in ("sizes", "abbreviation") or (entry.kind == "prose" and count == 1):
            continue
        here = " that the line is for" if count < len(printed.sizes) else ""
        has = f"the pattern has {'one size' if count == 1 else f'{count} sizes'}{here}"
        for at, given in sizes.odd_lists(entry.spread.text, count):
            much = "too few" if given < count else "too many"
            sentence = f"a list of {given} numbers, {abs(count - given)} {much}: {has}"
            found.append(CountProblem(*entry.spread.place(at), None, sentence, ERROR, "sizes"))
    return found


def _too_long(printed: Printed) -> list[CountProblem]:
    """Where reading ends in a file that holds more than a pattern does."""
    sentence = "more than a pattern holds: nothing from here on is read; give the rest in a file of its own"
    return [CountProblem(*printed.ends_at, None, sentence, WARNING, "unread")] if printed.ends_at else []


def _elsewhere(printed: Printed) -> list[CountProblem]:
    """What is told of rows that other lines work, so that nobody thinks it counted."""
    sentence = "is told of rows that other lines work: it changes no count and is in none"
    told = (
        each
        for each in printed.entries
        if each.kind == "prose" and sentences_elsewhere(each.spread.text, lambda text: parsed(printed, text))
    )
    return [CountProblem(*each.spread.place(0), None, sentence, NOTE, "remark") for each in told]


def _never_worked(printed: Printed) -> list[CountProblem]:
    """Charts and stitch patterns that are written out, but that no line names."""
    lines = " ".join(pattern_key(each.read.text) for each in printed.entries if each.kind == "line")
    others = " ".join(each.read.text.lower() for each in printed.entries if each.kind == "line")
    alone = len(printed.patterns) == 1 and re.search(r"\bpatt|\bchart", others)
    found = []
    for entry in printed.entries:
        name = printed.sections[entry.section].name
        known = entry.kind != "heading" or name not in printed.patterns
        if known or alone or pattern_key(re.sub(r"\(.*?\)", "", name)) in lines:
            continue
        sentence = f"“{name}” is written out, but no line names it"
        found.append(CountProblem(*entry.spread.place(0), None, sentence, NOTE, "remark"))
    return found


_YARN = re.compile(r"[MC]C\d?")
"""Names that patterns give their yarns: main colour, contrast colours."""


def _names_a_yarn(word: str, text: str) -> bool:
    """Whether the list of materials says which yarn a name is: `MC: Slate, 2 skeins`, `slate (MC)`."""
    return re.search(rf"^\W*{word}\s*[:=(–—-]|\(\s*{word}\s*\)", text, re.MULTILINE) is not None


def _abbreviations(
    printed: Printed,
) -> tuple[Mapping[str, str], tuple[str, ...], tuple[str, ...], list[CountProblem]]:
    """Abbreviations used; used but not explained; explained but not used; a note for each of the last two kinds."""
    worked = [each.read.text for each in printed.entries if each.kind in ("line", "row")]
    craft = "crochet" if any(crochet_stitch(text, printed.colours) for text in worked) else "knitting"
    cut = []
    for text in filter(lambda text: len(text) <= MAX_LENGTH, worked):
        try:
            cut.append((text, tokens(text, len(printed.sizes), printed.colours, craft, ())))
        except SizesError:
            cut.append((text, ()))
    texts = [each.spread.text for each in printed.entries if each.kind in ("line", "row")]
    english = printed.language == "en"
    used = explained.used(cut) if english else explained.used_words(texts, printed.language)
    if not printed.explained:
        return used, (), (), []

    def meaning(key: str) -> str:
        """What an abbreviation of the pattern's own list means, in its craft's words."""
        return explained.meaning_of(key, craft) if english else key.lower()

    said = {meaning(key) for each, _, _ in printed.explained for key in each.keys}
    said |= set() if english else {word for key in said for word in key.split()}  # `zus` of `2 M re zus`
    yarns = "\n".join(each.spread.text for each in printed.entries if each.kind not in ("line", "row"))
    said |= {name for name, word in used.items() if _YARN.fullmatch(word) and _names_a_yarn(word, yarns)}
    unexplained = tuple(sorted((word for name, word in used.items() if name not in said), key=str.lower))
    rest = "\n".join(each.spread.text for each in printed.entries if each.kind != "abbreviation")
    problems, unused = [], []
    for each, line, column in printed.explained:
        if any(explained.place_of(key, rest) >= 0 or meaning(key) in used for key in each.keys):
            continue
        unused.append(each.keys[0])
        sentence = f"“{each.keys[0]}” is explained, but nothing uses it"
        problems.append(
            CountProblem(line=line, column=column, size=None, sentence=sentence, severity=NOTE, kind="abbreviation")
        )
    shown = [each for each in printed.entries if each.kind in ("line", "row")]
    for word in unexplained:
        places = ((each, explained.place_of(word, each.spread.text)) for each in shown)
        line, column = next((each.spread.place(at) for each, at in places if at >= 0), printed.explained[0][1:])
        sentence = f"“{word}” is used here for the first time, but the list of abbreviations does not explain it"
        problems.append(
            CountProblem(line=line, column=column, size=None, sentence=sentence, severity=NOTE, kind="abbreviation")
        )
    return used, unexplained, tuple(unused), problems
