"""Shots as several documents show them: number, titles, words with their facts filled in, pieces and hands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lessonplan.course.model import Episode, Segment, Shot
from lessonplan.course.numbers import shot_of
from lessonplan.documents.wording import duration
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.worked import Plan
from lessonplan.samples.ladder import State
from lessonplan.samples.plan import Piece, Stop
from lessonplan.samples.states import in_words


@dataclass(frozen=True, slots=True)
class PieceHere:
    """A sample piece in a shot: its letter, kind, the state it must be in now, and what is left of it after.

    ``copy`` counts the pieces of a move that cannot be undone: the first for take 1, the second for take 2.
    """

    letter: str
    kind: str
    now: str
    after: str
    spare: bool
    one_way: bool
    start: State
    knitted: str
    copy: int


@dataclass(frozen=True, slots=True)
class ShotText:
    """A shot with everything that is read aloud, laid out or done, for the size being filmed."""

    number: str
    segment: str
    segment_title: str
    title: str
    view: str
    say: str
    hands: tuple[str, ...]
    tools: tuple[str, ...]
    on_screen: tuple[str, ...]
    pieces: tuple[PieceHere, ...]
    takes: int
    one_way: bool
    note: str


def stops_by_shot(plan: Plan) -> Mapping[str, tuple[tuple[Piece, Stop], ...]]:
    """Find, for each shot number, the pieces that stand in it and their stops."""
    found: dict[str, list[tuple[Piece, Stop]]] = {}
    for piece in plan.choice.pieces:
        for stop in piece.stops:
            found.setdefault(shot_of(stop.appearance), []).append((piece, stop))
    return {number: tuple(sorted(pairs, key=lambda pair: pair[0].name)) for number, pairs in found.items()}


def all_shots(plan: Plan) -> dict[str, ShotText]:
    """Word every shot of the course, by number, in the order of the story."""
    stops = stops_by_shot(plan)
    return {
        number: shot_text(plan, number, episode, segment_number, segment, shot, stops.get(number, ()))
        for episode in plan.course.episodes
        for segment_number, segment in enumerate(episode.segments, 1)
        for number, shot in (
            (f"{episode.episode}.{segment_number}.{i}", shot) for i, shot in enumerate(segment.shots, 1)
        )
    }


def shot_text(
    plan: Plan,
    number: str,
    episode: Episode,
    segment_number: int,
    segment: Segment,
    shot: Shot,
    stops: tuple[tuple[Piece, Stop], ...],
) -> ShotText:
    """Word one shot for the size being filmed."""
    word = for_size(plan.worked.facts, plan.worked.size)
    hands = []
    for one in shot.hands:
        seconds = f" ({duration(one.time)})" if one.time else ""
        hands.append(fill(one.work or one.do, word) + seconds)
    one_way = any(piece.one_way for piece in plan.worked.table if piece.shot == number)
    return ShotText(
        number,
        f"{episode.episode}.{segment_number}",
        fill(segment.title, word),
        fill(shot.title, word),
        shot.view,
        fill(shot.say, word),
        tuple(hands),
        shot.tools,
        tuple(fill(text, word) for text in shot.on_screen),
        tuple(piece_here(plan, piece, stop) for piece, stop in stops),
        shot.takes,
        one_way,
        fill(shot.note, word),
    )


def piece_here(plan: Plan, piece: Piece, stop: Stop) -> PieceHere:
    """Word one piece in one shot."""
    worked, size = plan.worked.pattern, plan.worked.size
    after = "" if stop.end == stop.start else in_words(stop.end, worked, size, piece.kind)
    one_way = any(p.one_way for p in plan.worked.table if p.name == stop.appearance)
    knitted = duration(stop.knitted) if stop.knitted else ""
    now = in_words(stop.start, worked, size, piece.kind)
    return PieceHere(piece.name, piece.kind, now, after, stop.spare, one_way, stop.start, knitted, stop.copy)
