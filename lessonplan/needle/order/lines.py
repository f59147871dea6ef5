"""The lines of a stage worked in order: rounds, repeats of rounds, printed counts, and every problem in one go.

A problem in one line does not ruin the next: work goes on from the count printed after it. Where none is printed,
nobody knows the stitches until the next printed count; the lines between are accused of nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache, partial
from types import MappingProxyType

from lessonplan.course.words import listing
from lessonplan.needle.decided.line import Working
from lessonplan.needle.decided.results import ERROR, NOTE, WARNING, LineProblem, Worked, WorkedLine
from lessonplan.needle.order.rows import Run
from lessonplan.needle.order.run import Limits
from lessonplan.needle.order.schedule import Gap, schedule
from lessonplan.needle.order.worker import EVERY_SIZE, Worker
from lessonplan.needle.ready.chained import chains_said
from lessonplan.needle.ready.patterns import PatternBook
from lessonplan.needle.stitch.live import Needle
from lessonplan.needle.stitch.operations import Reading
from lessonplan.printed.beside.elsewhere import defined_elsewhere
from lessonplan.printed.line import NotationError, crochet_stitch, parse_line
from lessonplan.printed.piece import casts_on_short
from lessonplan.printed.tree import Line
from lessonplan.printed.words.by_size import by_letters, for_size, in_size, label_of, like_needles
from lessonplan.printed.words.own import Own, own_words, size_names
from lessonplan.printed.words.terms import contradiction, terms_said


def work_lines(
    texts: Sequence[str],
    needle: Needle,
    *,
    size: int = 0,
    sizes: int = 1,
    rounds: int | None = None,
    until: int | None = None,
    times: int | None = None,
    patterns: Mapping[str, Sequence[str]] | None = None,
    held_as: str = "held",
    colours: frozenset[str] = frozenset(),
    terms: str = "us",
    chains: Sequence[tuple[int, str]] = (),
    own: Own = (),
    casts_on: bool = False,
    charts: str = "",
    insist: Mapping[int, Reading] = MappingProxyType({}),
) -> Worked:
    """Work printed lines in order on a needle, for one 0-based `size` of `sizes`.

    `rounds`: cycle through the lines until that many rounds are worked; `until`: until that many stitches are live,
    checked after every round; `times`: all lines that many times; none of them: each line once. `patterns` are stitch
    patterns by name; `held_as` names what is put on waste yarn; `colours` are the names of yarns; `terms` those of the
    crochet stitches ("us" or "uk"); `chains` is what is said of turning chains beside the lines, as `notes_said` gives
    it, `own` are words that the pattern explains beside them; `casts_on`: CO means cast on, in whatever line; by
    `charts` one that is only named is unread (""), taken to leave the stitches as they are, unless a count or the lines
    after it contradict ("trusted"), or even then ("even"); that is said. Lines are read as `insist` has it by their
    number (from 0) if that works out. Never raises for what a text says: every
    problem is in the result.
    """
    problems: list[LineProblem] = []
    terms, hook, said = _told(tuple(texts), sizes, terms, colours)
    own = (*said, *own) if hook else said
    parse = partial(parse_line, sizes=sizes, colours=colours, crochet=hook, terms=terms, own=own)
    lines = [_parsed(index, text, parse, problems) for index, text in enumerate(_in_one_size(texts, size, sizes, hook))]
    problems += [gone for index, line in enumerate(lines) if line and (gone := _for_none(index, line, sizes))]
    lines = chains_said([line and _in_size(line, size) for line in lines], chains)
    if hook:
        problems += [clash for index, text in enumerate(texts) if (clash := _other_terms(index, text, terms))]
    book = PatternBook(patterns or {}, size, sizes, colours, terms, charts="" if hook else charts)
    first = next((line for line in lines if line is not None), None)
    casts_on = casts_on or (not needle.stitches and first is not None and casts_on_short(first))
    run = Run(needle, Working(size, book, held_as, casts_on=casts_on), Limits(rounds, until), lines)
    run.readings.update((line.text, insist[index]) for index, line in enumerate(lines) if line and index in insist)
    defined = defined_elsewhere(texts)
    turns, gaps = schedule([None if index in defined else line for index, line in enumerate(lines)], size)
    problems += map(_missing, gaps)
    worker = Worker(
        [turn for turn in turns if turn.index not in defined], texts, problems, rounds is not None, until, size
    )
    run = worker.cycles(run, rounds, until, times)
    problems = sorted(set(problems), key=_order)
    return Worked(_done(texts, run, worker, defined), tuple(run.rounds), run.needle, tuple(problems))


def _done(texts: Sequence[str], run: Run, worker: Worker, defined: frozenset[int]) -> tuple[WorkedLine, ...]:
    """What came of each line; one that is no row of its own leaves the count of the line before it."""
    done = [
        WorkedLine(
            text=text,
            rounds=tuple(run.done.get(index, ())),
            after=worker.after.get(index),
            sure=index not in worker.unsure,
            again=worker.decided.get(index, ""),
            reading=worker.readings.get(index, ()),
        )
        for index, text in enumerate(texts)
    ]
    for index in sorted(defined):
        done[index] = replace(done[index], after=done[index - 1].after if index else None)
    return tuple(done)


def _missing(gap: Gap) -> LineProblem:
    """The note that no line tells a row which the labels count."""
    sentence = f"no line says what is done in round {gap.number}, before this one"
    return LineProblem(line=gap.index, column=1, size=EVERY_SIZE, sentence=sentence, severity=NOTE, kind="remark")


def _in_one_size(texts: Sequence[str], size: int, sizes: int, hook: str) -> list[str]:
    """Lines as they are meant for one size: what stands for the others is blanked out."""
    sized, lettered = in_size if hook else for_size, by_letters(tuple(texts), sizes)
    return [sized(label_of(text, size, sizes), size, sizes) for text in (lettered if hook else like_needles(lettered))]


@lru_cache(maxsize=64)
def _told(texts: tuple[str, ...], sizes: int, terms: str, colours: frozenset[str]) -> tuple[str, str, Own]:
    """What lines say of themselves, once for all sizes: the terms, the main stitch of crochet, and its own words."""
    own = own_words(texts)
    hook = next((stitch for text in texts if (stitch := crochet_stitch(text, colours))), "sc" if own else "")
    return terms_said(texts, terms), hook, (*own, *size_names(texts, sizes)) if hook else ()


def _for_none(index: int, line: Line, sizes: int) -> LineProblem | None:
    """The warning for a line that is only for sizes which there are not."""
    only = line.label.only
    if not only or min(only) <= sizes:
        return None
    named = f"size{'s' if only[1:] else ''} {listing([str(number) for number in only])}"
    there = "there is one size" if sizes == 1 else f"there are {sizes} sizes"
    sentence = f"is for {named} only, and {there}: nothing of it is worked"
    return LineProblem(line=index, column=1, size=EVERY_SIZE, sentence=sentence, severity=WARNING, kind="sizes")


def _in_size(line: Line, size: int) -> Line:
    """A line with the rows that its label means in this size."""
    if len(line.label.upto) < 2:
        return line
    label = line.label.in_size(size)
    return replace(line, label=label, others=tuple(replace(each, label=label) for each in line.others))


def _order(problem: LineProblem) -> tuple[int, int, int, str]:
    return problem.line, problem.column, problem.size, problem.sentence


def _parsed(index: int, text: str, parse: Callable[[str], Line], problems: list[LineProblem]) -> Line | None:
    try:
        return parse(text)
    except NotationError as error:
        problems.append(
            LineProblem(
                line=index,
                column=error.column,
                size=EVERY_SIZE,
                sentence=error.sentence,
                severity=ERROR,
                kind=error.kind,
            )
        )
        return None


def _other_terms(index: int, text: str, terms: str) -> LineProblem | None:
    """The note for a line that names a stitch which the terms of the pattern do not have."""
    found = contradiction(text, terms)
    if found is None:
        return None
    ours, other = terms.upper(), "US" if terms == "uk" else "UK"
    sentence = f"“{found[0]}” is a {other} term, but the pattern is said to be in {ours} terms"
    return LineProblem(
        line=index, column=found[1] + 1, size=EVERY_SIZE, sentence=sentence, severity=NOTE, kind="remark"
    )
