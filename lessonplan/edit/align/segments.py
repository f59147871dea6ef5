"""Where each planned segment of an episode is told in its captions, how sure that is, and which words decided.

Each unit of a few words belongs to one segment. Going on in a segment is likely, going to the next one less so, leaving
some out less still, and going back least; where somebody pauses and begins with “okay, now”, a change is likelier. The
way whose evidence and changes weigh most is found by dynamic programming over units and segments (the algorithm of
Viterbi, IEEE Trans. Inf. Theory 13, 1967), and how sure each start is by summing over all ways, forward and backward
(Baum et al., Ann. Math. Stat. 41, 1970; both from memory). Since the cost of leaving out grows by the same step for
each segment, one running best for all segments before and one for all behind suffice: the work is units times segments.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby, takewhile
from operator import mul

from lessonplan.course.model.episodes import Episode
from lessonplan.course.problems import Problem, Where, warning
from lessonplan.course.words import clock_of
from lessonplan.edit.align.evidence import Heard, Planned, Unit, heard, planned_segments, units_of
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.captions.rolling import Said, said_once
from lessonplan.planning.worked import Worked
from lessonplan.remembered import remembered

NEAR = 10.0
"""Seconds within which a start counts as the same."""
ENOUGH = 0.97
"""Of the starts that are so sure, as a part of the surest, the likeliest single one is taken."""
ALONE, NEARLY = 0.5, 0.8
"""One near it is taken instead that alone is likelier than all others beside it, if it is nearly as sure (chosen on
simulated captions): a segment begins with “right, so the gusset”, not in the story that goes before."""
SURE = 0.5
"""A start that is less sure is proposed as unsure: of those of 0.5 to 0.8, two in three are within 10 s."""
OWN = 1.0
"""So much more evidence for a segment than for any other is something of its own (a guess)."""
TELLING, SEEN = 6, 60.0
"""So many words are named that decided, of those said in so many seconds from the start on."""
LITTLE_MATCH = 0.11
"""Evidence for the segments told beyond that for the one in the middle, by word: less means another video."""


@dataclass(frozen=True, slots=True)
class Span:
    """A planned segment in the captions: number, title, start and end in seconds, and the words that decided.

    ``confidence``: how likely, from 0 to 1, the segment begins within 10 s of ``start``. ``own``: something of it is
    heard within 20 s from there on; else it may begin in other talk.
    """

    number: str
    title: str
    start: float
    end: float
    confidence: float
    words: tuple[str, ...]
    own: bool = True

    @property
    def sure(self) -> bool:
        """Whether the start is sure enough to be taken without listening."""
        return self.confidence >= SURE


@dataclass(frozen=True, slots=True)
class Aligned:
    """An episode in its captions: the spans in the order of the video, and the numbers of segments not found.

    ``match`` is the evidence by word; ``problems`` say so where little matches, and where a start is unsure.
    """

    spans: tuple[Span, ...]
    missing: tuple[str, ...]
    match: float
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class _Run:
    """Units in a row that belong to one segment, from ``first`` to before ``end``, and their evidence for it."""

    segment: int
    first: int
    end: int
    weight: float


def align_episode(worked: Worked, episode: Episode, captions: Captions) -> Aligned:
    """Find where each segment of an episode is told in the captions of its video.

    Where little matches, it is looked whether another episode of the course fits better.
    """
    said = said_once(captions.cues)
    found = _once_aligned(planned_segments(worked, episode), said, captions.file)
    if found.match >= LITTLE_MATCH or not said:
        return found
    others = {one.episode: align(planned_segments(worked, one), said).match for one in worked.course.episodes}
    best = max(others, key=others.__getitem__)
    if best == episode.episode or others[best] < LITTLE_MATCH:
        return found
    return replace(found, problems=(replace(found.problems[0], hint=f"They fit episode {best} better."),))


def align(planned: Sequence[Planned], said: Sequence[Said], file: str = "") -> Aligned:
    """Lay planned segments beside what was said (see `path` for the method); captions without a word match nothing."""
    words = heard(planned, said)
    if not words:
        return Aligned((), tuple(one.number for one in planned), 0.0, ())
    units = units_of(words, len(planned))
    found = way(units, len(planned))
    match = _match(units, found.segments, len(words))
    runs = _main_runs(units, found.segments)
    starts = list[tuple[int, float]]()
    for run in runs:
        earliest = starts[-1][0] + 1 if starts else 0
        starts.append(_start(units, [one[run.segment] for one in found.begins], earliest, run.end))
    ends = [*(units[first].time for first, _ in starts[1:]), max(one.end for one in said) / 1000]
    spans = tuple(
        Span(
            number=planned[run.segment].number,
            title=planned[run.segment].title,
            start=units[first].time,
            end=end,
            confidence=min(1.0, sure),
            words=_telling(words[units[first].first :], run.segment, end),
            own=_own(units[first:], run.segment),
        )
        for run, (first, sure), end in zip(runs, starts, ends, strict=True)
    )
    told = {span.number for span in spans}
    missing = tuple(one.number for one in planned if one.number not in told)
    return Aligned(spans, missing, match, tuple(_problems(spans, missing, match, file)))


_once_aligned = remembered(16, equal=True)(align)


def _match(units: Sequence[Unit], segments: Sequence[int], words: int) -> float:
    """Evidence for the segments told, beyond what speaks for any segment, by word."""
    return sum(unit.speaks[one] - _for_any(unit) for unit, one in zip(units, segments, strict=True)) / words


def _for_any(unit: Unit) -> float:
    """What speaks for any segment: for the one in the middle; of two the lesser, and of one alone nothing."""
    many = len(unit.speaks)
    return sorted(unit.speaks)[many // 2 if many > 2 else 0] if many > 1 else 0.0


def _main_runs(units: Sequence[Unit], segments: Sequence[int]) -> list[_Run]:
    """Give each segment its weightiest run, in the order of the video; another one is a look back or ahead."""
    best, at = dict[int, _Run](), 0
    for segment, group in groupby(segments):
        end = at + sum(1 for _ in group)
        run = _Run(segment, at, end, sum(unit.speaks[segment] for unit in units[at:end]))
        if segment not in best or run.weight > best[segment].weight:
            best[segment] = run
        at = end
    return sorted(best.values(), key=lambda run: run.first)


def _start(units: Sequence[Unit], begins: Sequence[float], earliest: int, end: int) -> tuple[int, float]:
    """Give the unit at which a segment begins, so that most ways begin within 10 s of it, or at it, and how many do."""
    sums, low, high, inside = list[tuple[float, int]](), earliest, earliest, 0.0
    for place in range(earliest, end):
        while high < end and units[high].time <= units[place].time + NEAR:
            inside += begins[high]
            high += 1
        while units[low].time < units[place].time - NEAR:
            inside -= begins[low]
            low += 1
        sums.append((inside, place))
    most = max(sums)[0]
    sure, place = max((one for one in sums if one[0] >= ENOUGH * most), key=lambda one: begins[one[1]])
    near = (one for one in sums if abs(units[one[1]].time - units[place].time) <= NEAR)
    alone = max(near, key=lambda one: begins[one[1]])
    if begins[alone[1]] >= ALONE * sure and alone[0] >= NEARLY * sure:
        sure, place = alone
    return place, sure


def _own(units: Sequence[Unit], segment: int) -> bool:
    """Whether one of the first units speaks for a segment more than for any other."""
    soon = takewhile(lambda unit: unit.time <= units[0].time + 2 * NEAR, units)
    return any(
        one.speaks[segment] - max((*one.speaks[:segment], *one.speaks[segment + 1 :], 0.0)) >= OWN for one in soon
    )


def _telling(words: Sequence[Heard], segment: int, end: float) -> tuple[str, ...]:
    """Name the words near the start that speak most for a segment, beyond what they say for any other."""
    weights = dict[str, float]()
    begin = words[0].time
    for word in takewhile(lambda word: word.time < min(end, begin + SEEN), words):
        speaks = dict(word.speaks)
        own = speaks.pop(segment, 0.0) - max(speaks.values(), default=0.0)
        if own > 0:
            weights[word.text.casefold()] = weights.get(word.text.casefold(), 0.0) + own
    return tuple(sorted(weights, key=lambda text: -weights[text])[:TELLING])


def _problems(spans: Sequence[Span], missing: Sequence[str], match: float, file: str) -> Iterator[Problem]:
    if match < LITTLE_MATCH:
        what = "Little of what is said here matches what the episode planned."
        yield warning(Where(file), "little-match", what, "Are these the captions of this episode?")
        return
    for span in spans:
        if not span.sure:
            what = f"Where segment {span.number} begins is not sure: perhaps at {clock_of(span.start)}."
            yield warning(Where(file), "unsure-start", what, "Listen there.")
    for number in missing:
        yield warning(Where(file), "not-told", f"Segment {number} is not found in these captions.")


TRUST = 0.7
"""How much of the evidence counts: words of one sentence are not independent (chosen on simulated captions)."""
NEXT, LEAVE_OUT, BACK = 0.75, 0.2, 0.03
"""Of all changes: to the next segment, the same again for each one left out, and back to any one (guesses)."""
CALM, BEGINS, OPENING, SILENCE = 0.1, 3.0, 8.0, 2.0
"""Changes in the middle of speech, by the average; times so many where a caption or a sentence begins, at an opening
word, and for each second of a pause before it (guesses)."""
ENDS = 0.2
"""How likely a video begins with each later segment, and ends with each earlier one, by its neighbour (a guess)."""


@dataclass(frozen=True, slots=True)
class Way:
    """The most likely segment of each unit, and how likely each segment begins at each unit, all ways summed."""

    segments: tuple[int, ...]
    begins: tuple[tuple[float, ...], ...]


def way(units: Sequence[Unit], segments: int) -> Way:
    """Find the way through the units; there is one unit and one segment at least."""
    changes = [_change(unit, segments / len(units)) for unit in units]
    likely = [_likelihoods(unit) for unit in units]
    return Way(_best(units, changes, segments), _begins(likely, changes, segments))


def _change(unit: Unit, average: float) -> float:
    """How likely something new begins at a unit."""
    factor = (
        CALM
        * (BEGINS if unit.begins else 1.0)
        * (OPENING if unit.opens else 1.0)
        * (1 + SILENCE * min(unit.pause, 3.0))
    )
    return min(0.4, average * factor)


def _likelihoods(unit: Unit) -> list[float]:
    top = max(unit.speaks)
    if not top:
        return [1.0] * len(unit.speaks)
    return [math.exp(TRUST * (one - top)) for one in unit.speaks]


def _best(units: Sequence[Unit], changes: Sequence[float], segments: int) -> tuple[int, ...]:
    """Find the one way that weighs most."""
    nexts, out, back = math.log(NEXT), math.log(LEAVE_OUT), math.log(BACK)
    score = [TRUST * one + place * math.log(ENDS) for place, one in enumerate(units[0].speaks)]
    came = list[list[int]]()
    for unit, change in zip(units[1:], changes[1:], strict=True):
        stay, leave = math.log1p(-change), math.log(change)
        origin, new = [0] * segments, [0.0] * segments
        ahead, ahead_from = -math.inf, 0
        for place in range(segments):
            origin[place], new[place] = place, score[place] + stay
            if ahead + leave > new[place]:
                origin[place], new[place] = ahead_from, ahead + leave
            ahead += out
            if score[place] + nexts > ahead:
                ahead, ahead_from = score[place] + nexts, place
        behind, behind_from = -math.inf, 0
        for place in range(segments - 1, -1, -1):
            if behind + leave > new[place]:
                origin[place], new[place] = behind_from, behind + leave
            if score[place] + back > behind:
                behind, behind_from = score[place] + back, place
        score = [one + TRUST * speaks for one, speaks in zip(new, unit.speaks, strict=True)]
        came.append(origin)
    place = max(range(segments), key=lambda one: score[one] - one * math.log(ENDS))
    ways = [place]
    for origin in reversed(came):
        place = origin[place]
        ways.append(place)
    return tuple(reversed(ways))


def _begins(
    likely: Sequence[Sequence[float]], changes: Sequence[float], segments: int
) -> tuple[tuple[float, ...], ...]:
    """Sum over all ways how likely each segment begins at each unit."""
    entered = [[ENDS**place for place in range(segments)]]
    whole = list(map(mul, entered[0], likely[0]))
    sums, forward = [sum(whole)], _scaled(whole)
    ways = [forward]
    for seen, change in zip(likely[1:], changes[1:], strict=True):
        enters = _moved(forward, change)
        entered.append(enters)
        stay = 1 - change
        whole = [(stay * a + b) * c for a, b, c in zip(forward, enters, seen, strict=True)]
        sums.append(sum(whole))
        forward = _scaled(whole)
        ways.append(forward)
    backward, found = [ENDS ** (segments - 1 - place) for place in range(segments)], list[tuple[float, ...]]()
    for place in range(len(likely) - 1, -1, -1):
        ahead = list(map(mul, likely[place], backward))
        every = sums[place] * sum(map(mul, ways[place], backward)) or 1.0
        found.append(tuple([a * b / every for a, b in zip(entered[place], ahead, strict=True)]))
        change = changes[place]
        stay = 1 - change
        leaves = _moved(ahead[::-1], change)  # what comes is the mirror of what was
        backward = _scaled([stay * a + b for a, b in zip(ahead, reversed(leaves), strict=True)])
    return tuple(reversed(found))


def _moved(before: Sequence[float], change: float) -> list[float]:
    """How likely each segment is entered from another: from those before it, and back from those behind it."""
    behind = [*accumulate(reversed(before))][-2::-1]
    back, found, ahead = BACK * change, list[float](), 0.0
    for one, later in zip(before, [*behind, 0.0], strict=True):
        found.append(ahead * change + later * back)
        ahead = ahead * LEAVE_OUT + one * NEXT
    return found


def _scaled(values: list[float]) -> list[float]:
    whole = sum(values) or 1.0
    return [one / whole for one in values]
