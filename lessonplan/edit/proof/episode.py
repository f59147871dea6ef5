"""The captions of an episode, proofed segment by segment."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lessonplan.course.model.episodes import Episode
from lessonplan.course.problems import Problem, Where, error, has_errors
from lessonplan.edit.align.segments import align_episode
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.proof.expected.holds import Holds
from lessonplan.edit.proof.findings import Finding
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.proof.typed import spoken_holds
from lessonplan.edit.speech.numbers import Token
from lessonplan.edit.spoken import place_of
from lessonplan.planning.worked import Worked

BORDER = 15.0
"""Seconds around the start of a segment in which what holds on its other side counts too: starts are found so well."""

Span = tuple[str, float, float]
"""A segment's number, and where it starts and ends in the video, in seconds."""


_FACT = re.compile(r"\{\{\s*(?:about\s+)?([^{}]*?)\s*\}\}")


@dataclass(frozen=True, slots=True)
class Proof:
    """An episode's captions, proofed: findings in the order of the video, and what is wrong with the captions.

    ``decided`` says of each finding what was decided about it before: "dismissed", "taken over", or nothing.
    """

    episode: Episode
    file: str
    findings: tuple[Finding, ...]
    decided: tuple[str, ...]
    words: int
    problems: tuple[Problem, ...]

    @property
    def open(self) -> tuple[tuple[int, Finding], ...]:
        """The findings on which nothing is decided yet, with their numbers from 1."""
        every = enumerate(zip(self.findings, self.decided, strict=True), 1)
        return tuple((number, one) for number, (one, done) in every if not done)


def proof(
    worked: Worked,
    episode: Episode,
    captions: Captions,
    spans: Sequence[Span] | None = None,
    every: Mapping[str, Holds] | None = None,
) -> Proof:
    """Proof the captions of an episode; ``spans`` tell where its segments are, else they are looked for.

    ``every`` is what holds in each segment of the course, where that is known already.
    """
    if not captions.cues or has_errors(captions.problems):
        return Proof(episode=episode, file=captions.file, findings=(), decided=(), words=0, problems=captions.problems)
    found, told = (tuple(spans), ()) if spans is not None else spans_of(worked, episode, captions)
    if any(problem.code == "little-match" for problem in told):  # what would be found then means nothing
        wrong = tuple(replace(problem, severity="error") for problem in told)
        return Proof(
            episode=episode, file=captions.file, findings=(), decided=(), words=0, problems=(*captions.problems, *wrong)
        )
    every = every if every is not None else spoken_holds(worked, episode.episode)
    tokens = [Token(word.text.lower(), word.start / 1000) for said in said_once(captions.cues) for word in said.words]
    times = [token.start for token in tokens]
    findings: list[Finding] = []
    for place, (number, start, end) in enumerate(found):
        if number in every:
            before, after = (every.get(found[at][0]) if 0 <= at < len(found) else None for at in (place - 1, place + 1))
            findings += _in_span(tokens, times, (start, end), every[number], (before, after), _script(worked, number))
    findings.sort(key=lambda one: one.start)
    decided = tuple(_decided(worked, episode, one) for one in findings)
    return Proof(
        episode=episode,
        file=captions.file,
        findings=tuple(findings),
        decided=decided,
        words=len(tokens),
        problems=(*captions.problems, *told),
    )


def spans_of(worked: Worked, episode: Episode, captions: Captions) -> tuple[tuple[Span, ...], tuple[Problem, ...]]:
    """Find where the segments of an episode are told in its captions, and say so where little matches."""
    found = align_episode(worked, episode, captions)
    return tuple((one.number, one.start, one.end) for one in found.spans), found.problems


def _in_span(
    tokens: Sequence[Token],
    times: Sequence[float],
    span: tuple[float, float],
    holds: Holds,
    neighbours: Sequence[Holds | None],
    script: Mapping[str, str],
) -> list[Finding]:
    """Proof what was said in a segment; near a border, what is right in the one beyond it is no finding.

    ``script`` has the sentence with which each fact was to be said.
    """
    start, end = span
    first, last = bisect_left(times, start), bisect_left(times, end)
    own = tokens[first:last]
    nearby = [*tokens[bisect_left(times, start - BORDER) : first], *tokens[last : bisect_left(times, end + BORDER)]]
    found = [_placed(one, own, script) for one in proofed(own, holds, nearby=nearby)]
    for border, other in zip(span, neighbours, strict=True):
        unsure = [one for one in found if one.kind != "never said" and abs(one.start - border) < BORDER]
        if unsure and other is not None and other is not holds:
            near = own[: bisect_left(times, start + 2 * BORDER) - first]
            if border == end:
                near = own[max(0, bisect_left(times, end - 2 * BORDER) - first) :]
            there = {(one.start, one.said) for one in proofed(near, other, whole=False)}
            found = [one for one in found if one not in unsure or (one.start, one.said) in there]
    return found


def _placed(one: Finding, heard: Sequence[Token], script: Mapping[str, str]) -> Finding:
    """Let what was never said be where it should have been: at what else is heard of its sentence."""
    sentence = script.get(one.fact, "") if one.kind == "never said" else ""
    place = place_of(sentence, " ".join(token.text for token in heard)) if sentence else None
    return one if place is None else replace(one, start=heard[place].start)


def _script(worked: Worked, segment: str) -> Mapping[str, str]:
    """Give the sentence that says each fact in a segment, without the fact itself."""
    texts = (one.shot.say for one in worked.course.shots() if one.number.segment == segment)
    sentences = (each for text in texts for each in re.split(r"(?<=[.?!])\s+", text))
    return {name: _FACT.sub(" ", each) for each in sentences for name in _FACT.findall(each)}


def known_words(worked: Worked, one: Finding) -> str:
    """Give the words by which a finding is known again, whenever it was said: those around it, and what was missed."""
    if one.kind != "never said":
        return one.context
    title = next((segment.title for number, _, segment in worked.course.segments() if number == one.segment), "")
    return f"{one.context} in “{title}”"


def _decided(worked: Worked, episode: Episode, one: Finding) -> str:
    key = (episode.episode, one.kind, known_words(worked, one))
    decisions = worked.course.decided
    for done, name in ((decisions.dismissed, "dismissed"), (decisions.taken_over, "taken over")):
        if key in {(each.episode, each.kind, each.words) for each in done}:
            return name
    return ""


def no_episode(worked: Worked, number: int) -> Problem:
    """Say that a course has no such episode."""
    known = ", ".join(str(one.episode) for one in worked.course.episodes)
    return error(Where("episodes"), "no-episode", f"There is no episode {number}; there are {known}.")
