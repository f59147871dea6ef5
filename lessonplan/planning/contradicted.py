"""What the words of a shot say of its pieces, held against the pieces that the plan gives it.

A note is written before anybody knows whether each take has a piece of its own; and nothing says of a shot with water
that what it shows is wet from then on. A count that is said holds for the pattern, and not for a small piece.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from lessonplan.course.model.episodes import Shot
from lessonplan.course.problems import Problem, Where, note, warning
from lessonplan.course.values.shotnumbers import ShotNumber, shot_of
from lessonplan.course.words import listing
from lessonplan.pattern.facts import facts_of
from lessonplan.pattern.texts import places
from lessonplan.pattern.within import misplaced
from lessonplan.planning.asking import appearance_of, stops_by_shot
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import Piece, Stop
from lessonplan.shoot.hazards import wets

_FOR_ANOTHER = re.compile(
    r"\b(?:second|third|next|each|every|another|other|later) takes?\b|\btakes? (?:2|3|two|three)\b|\bbetween takes\b",
    re.IGNORECASE,
)
_BACK = re.compile(r"\b(?:back|undo|unpick|rip|once more)\b", re.IGNORECASE)
_OWN = re.compile(r"\b(?:fresh|another|new|second|other) (?:piece|one|sample)\b", re.IGNORECASE)
"""Words of a note: that it is of another take, that something is put back, that there is one more piece."""
_COUNTS = (".stitches", ".cast_on", ".start")
"""How the names of facts end that count stitches."""


def contradicted(plan: Plan) -> Iterator[Problem]:
    """Warn where a note has other pieces for its takes than the plan, and where a piece comes dry that was wetted.

    Lines worked live that no round has, and counts said over a small piece that has others, are told too.
    """
    stops = stops_by_shot(plan.choice)
    for one in plan.course.shots():
        mine = [
            (piece, stop) for piece, stop in stops.get(str(one.number), ()) if not stop.spare and _moves(plan, stop)
        ]
        letters = list(dict.fromkeys(piece.name for piece, _ in mine))
        if one.shot.takes > 1 and len({appearance_of(stop.demand) for _, stop in mine}) == 1:
            yield from _notes(one.number, one.shot, letters)
        yield from _lines(plan, one.number, one.shot)
        small = next((both for both in stops.get(str(one.number), ()) if both[0].kind == "small"), None)
        yield from _counted(plan, one.number, one.shot, *small) if small else ()
    yield from _wet(plan)


def _counted(plan: Plan, number: ShotNumber, shot: Shot, piece: Piece, stop: Stop) -> Iterator[Problem]:
    """Tell of counts that are said of the stage which a small piece shows, and which this piece has not."""
    worked = plan.worked.kinds["small"]
    begun = {key for key, steps in zip(worked.order, stop.end, strict=True) if steps}
    here = begun - {before for key in begun for before in worked.ancestors(key)}
    said = [(where, name) for where, name in places(shot.say, shot.mark("say")) if name.endswith(_COUNTS)]
    own = facts_of(plan.course, worked) if any(name.partition(".")[0] in here for _, name in said) else {}
    for where, name in said:
        full, there = (facts[name].at(plan.worked.size) if name in facts else "" for facts in (plan.worked.facts, own))
        if there and full != there and name.partition(".")[0] in here:
            what = f"{number} says {full}, and piece {piece.name}, a small one, has {there} there."
            yield note(where, "small-count", what, "Leave “small” out of its “kinds” if they are to be seen.")


def _lines(plan: Plan, number: ShotNumber, shot: Shot) -> Iterator[Problem]:
    """Warn of lines worked live that are no part of a round of any piece on the table, its yarns included."""
    pieces = [one.first for one in plan.worked.table if one.shot == number]
    for hands in shot.hands if pieces else ():
        found = [
            misplaced(hands.work, plan.worked.kinds[kind], plan.worked.size, stand.start, stand.end)
            for kind, stand in pieces
            if hands.work
        ]
        if found and all(found) and (first := found[0]):
            stage, at = first
            step, row = stage.steps[at], f"{stage.steps[at].kind} {stage.rounds_at(at) + 1} of “{stage.title}”"
            what = f"“{hands.work}” in {number} is no part of {row}, wherever in it it may begin: “{step.text}”."
            hint = "Write it as it stands there, or say with “needs” how far the piece is."
            yield warning(hands.mark("work"), "not-in-round", what, hint)


def _moves(plan: Plan, stop: Stop) -> bool:
    return any(one.moves for one in plan.worked.table if one.name == appearance_of(stop.demand))


def _notes(number: ShotNumber, shot: Shot, letters: list[str]) -> Iterator[Problem]:
    """Hold the notes of a shot with several takes of one move against the pieces for them."""
    notes = ((shot.note, shot.mark("note")), (shot.notes.host, shot.notes.mark("host")))
    for text, where in (*notes, (shot.notes.helper, shot.notes.mark("helper"))):
        for sentence in re.split(r"(?<=[.!?;])\s+", " ".join(text.split())):
            if _FOR_ANOTHER.search(sentence):
                yield from _against(number, sentence, letters, where)


def _against(number: ShotNumber, sentence: str, letters: list[str], where: Where) -> Iterator[Problem]:
    own = _OWN.search(sentence)
    if len(letters) > 1 and _BACK.search(sentence) and not own:
        what = f"A note of {number} puts something back for another take, and the takes have {listing(letters)}."
        hint = "Write it for a take that is broken off, or leave it out: the papers say which piece is for which take."
        yield warning(where, "note-against-plan", what, hint)
    elif len(letters) == 1 and own:
        what = f"A note of {number} has one more piece for another take, and piece {letters[0]} is for all of them."
        hint = "Leave it out: the papers say what is taken back between takes. Or write “one_way: yes”."
        yield warning(where, "note-against-plan", what, hint)


def wetted(plan: Plan, number: str) -> tuple[str, ...]:
    """Give the pieces that get wet in a shot though they are not washed yet, by their letters.

    Only where the pattern has a wash: what is made of clay is wet anyway.
    """
    if not wets(plan.course, plan.course.shot(ShotNumber(number))):
        return ()
    found = [
        piece.name
        for piece in plan.choice.pieces
        for stop in piece.stops
        if shot_of(stop.demand) == number and _unwashed(plan, piece, stop)
    ]
    return tuple(dict.fromkeys(found))


def _unwashed(plan: Plan, piece: Piece, stop: Stop) -> bool:
    worked = plan.worked.kinds[piece.kind]
    left = worked.steps_between(stop.start, worked.whole(plan.worked.size), plan.worked.size)
    return any(step.kind == "block" for step in left)


def _wet(plan: Plan) -> Iterator[Problem]:
    """Warn of a piece that is shown unwashed after a shot in which it gets wet."""
    for one in plan.worked.listed:
        for letter in wetted(plan, one.number):
            piece = plan.piece(letter)
            numbers = [shot_of(stop.demand) for stop in piece.stops]
            after = piece.stops[numbers.index(one.number) + numbers.count(one.number) :]
            later = list(dict.fromkeys(shot_of(stop.demand) for stop in after if _unwashed(plan, piece, stop)))
            if later:
                what = f"Piece {letter} gets wet in {one.number}, and is shown unwashed after it, in {listing(later)}."
                hint = f"Film {listing(later)} first, or say with “leaves” that it is washed in {one.number}."
                yield warning(one.shot.mark("hands"), "wet-piece", what, hint)
