"""Shots as several documents show them: number, titles, words with their facts filled in, pieces and hands."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from lessonplan.course.model.episodes import Shot
from lessonplan.course.model.together import NumberedShot
from lessonplan.course.names.slates import slates_of
from lessonplan.course.names.toolbox import known_tools, on_table
from lessonplan.course.values.shotnumbers import shot_of
from lessonplan.course.words import count_of
from lessonplan.craft.lengths import NO_BREAK
from lessonplan.documents.advice import film_besides
from lessonplan.documents.livework import camera_stops, how_worked, worked_live
from lessonplan.documents.notions import THREADED, placed_in
from lessonplan.documents.wording import duration, hands_time
from lessonplan.documents.worklines import steps_of
from lessonplan.edit.cues.sized import sized
from lessonplan.pattern.texts import fill, for_size
from lessonplan.planning.asking import appearance_of, stops_by_shot
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.samples.choice import Piece, State, Stop
from lessonplan.samples.pieces import TablePiece
from lessonplan.samples.states import fewer_in_words, in_words, kind_name, kind_of_piece


@dataclass(frozen=True, slots=True)
class PieceHere:
    """A sample piece in a shot: its letter, kind, the state it must be in now, and what is left of it after.

    ``name`` is what the course calls it there. ``takes``: those that it is for, none where it is for all, or a spare;
    ``taken_back``: how long it takes to take it back between two of them. ``knitted``: how long it was worked on since
    the shot before, ``how``: whether it was knitted on then or taken back. ``goes_on``: where a piece that is for some
    takes, or a spare for a move, is wanted next, and in which state; ``perhaps`` it has not been moved by then.
    ``knit_note``: what whoever knits it is told of it. ``fewer``: how many rounds the stage under way has in a short
    one.
    """

    letter: str
    name: str
    kind: str
    kind_words: str
    now: str
    after: str
    spare: bool
    one_way: bool
    start: State
    how: str
    knitted: str
    taken_back: str
    goes_on: str
    perhaps: bool
    takes: tuple[int, ...]
    knit_note: str
    fewer: str


@dataclass(frozen=True, slots=True)
class ShotText:
    """A shot with everything that is read aloud, laid out or done, for the size being filmed.

    ``slate`` is 0 where none is agreed. ``begins``: what is cut or worked off camera first, and where in its round a
    line begins that is worked live; ``worked``: what becomes of the stitches on a piece that does not move. ``also``:
    that the note asks for more than the takes, with a box to tick. ``stops``: for which stitches the camera stops.
    """

    number: str
    slate: int
    segment: str
    segment_title: str
    title: str
    view: str
    say: str
    points: tuple[str, ...]
    hands: tuple[str, ...]
    tools: tuple[str, ...]
    on_screen: tuple[str, ...]
    pieces: tuple[PieceHere, ...]
    takes: int
    one_way: bool
    note: str
    also: bool
    for_helper: str
    for_editor: str
    stops: str
    begins: str
    worked: str

    @property
    def heading(self) -> str:
        """Its title, else that of its segment."""
        return self.title or self.segment_title


def stops_by_take(plan: Plan) -> Mapping[str, tuple[tuple[Piece, Stop], ...]]:
    """Find, for each shot number, the pieces that stand in it and their stops: by takes, spares last."""

    def by_take(pair: tuple[Piece, Stop]) -> tuple[bool, int, int, str]:
        """By which pieces stand in order: spare ones last, then by take, then by letter."""
        piece, stop = pair
        return stop.spare, take_of(plan, stop), len(piece.name), piece.name

    return {number: tuple(sorted(pairs, key=by_take)) for number, pairs in stops_by_shot(plan.choice).items()}


@lru_cache(maxsize=2)
def all_shots(plan: Plan) -> Mapping[str, ShotText]:
    """Give every shot of the course in words, by number, in the order of the story; most papers ask for some."""
    return _Worded(plan)


class _Worded(Mapping[str, ShotText]):
    """The shots of a plan, each put into words when it is first asked for: few papers show them all."""

    def __init__(self, plan: Plan) -> None:
        self._plan, self._stops, self._slates = plan, stops_by_take(plan), slates_of(plan.course)[0]
        self._shots: dict[str, NumberedShot] = {one.number: one for one in plan.course.shots()}
        self._worded = dict[str, ShotText]()

    def __getitem__(self, number: str) -> ShotText:
        if number not in self._worded:
            one = self._shots[number]
            self._worded[number] = _shot_text(
                self._plan, one, self._slates.get(one.number, 0), self._stops.get(number, ())
            )
        return self._worded[number]

    def __iter__(self) -> Iterator[str]:
        return iter(self._shots)

    def __len__(self) -> int:
        return len(self._shots)


def _shot_text(plan: Plan, numbered: NumberedShot, slate: int, stops: tuple[tuple[Piece, Stop], ...]) -> ShotText:
    """Word one shot for the size being filmed."""
    number, _, segment, shot = numbered
    word = plan.worked.word
    hands = []
    for one in shot.hands:
        seconds = f" ({_whole(one.time)})" if one.time else ""
        hands.append(fill(one.work or one.do, word) + seconds)
    place, brief, stop = camera_stops(plan, shot, stops)
    hands[place:place] = [stop] if stop else []
    day = next((item.day for item in plan.worked.listed if item.number == number), None)
    alone = shot.notes.helper if day is not None and not plan.course.course.shoot[day].helpers else ""
    one_way = any(piece.one_way for piece in plan.worked.table if piece.shot == number)
    also = film_besides(plan, number)
    begins, worked = worked_live(plan, shot, stops)
    return ShotText(
        number=number,
        slate=slate,
        segment=number.rpartition(".")[0],
        segment_title=fill(segment.title, word),
        title=fill(shot.title, word),
        view=shot.view,
        say=fill(shot.say, word),
        points=tuple(f"{fill(point.text, word)} ({_whole(point.time)})" for point in shot.points),
        hands=tuple(hands),
        tools=(*shot.tools, *_placed(plan, shot, stops), *_threaded(plan, shot, stops)),
        on_screen=tuple(sized(plan.worked, text).every for text in shot.on_screen),
        pieces=tuple(_pieces(plan, stops)),
        takes=shot.takes,
        one_way=one_way,
        note="\n\n".join(
            [*(fill(text, word) for text in (shot.note, shot.notes.host, alone) if text), *([also] if also else [])]
        ),
        also=bool(also),
        for_helper="" if alone else fill(shot.notes.helper, word),
        for_editor=fill(shot.notes.editor, word),
        stops=brief,
        begins=begins,
        worked=worked,
    )


def _whole(minutes: float) -> str:
    """Word how long hands are filmed, so that no line ends between the number and its unit."""
    return hands_time(minutes).replace(" ", NO_BREAK)


def _placed(plan: Plan, shot: Shot, stops: tuple[tuple[Piece, Stop], ...]) -> tuple[str, ...]:
    """Name the markers that a shot places, in a move or in the line that it works, where it names none."""
    if any("marker" in one.lower() for one in on_table(plan.course, shot.tools)):
        return ()
    moves = [placed_in(plan, piece.kind, stop.start, stop.end) for piece, stop in stops if stop.end != stop.start]
    lines = sum(len(re.findall(r"\bpm\b", one.work, re.IGNORECASE)) for one in shot.hands)
    need, names = max([lines, *moves]), known_tools(plan.course)
    listed = next((one for one in ("markers", "marker") if one in names), "")
    return (listed or count_of(need, "marker"),) if need else ()


def _threaded(plan: Plan, shot: Shot, stops: tuple[tuple[Piece, Stop], ...]) -> tuple[str, ...]:
    """Name the darning needle for a move that is sewn with it, or threads waste yarn, where the shot names none."""
    if any("darning needle" in one.lower() for one in on_table(plan.course, shot.tools)):
        return ()
    for piece, stop in stops:
        steps = steps_of(plan, piece.kind, stop.start, stop.end)
        if any(step.kind in (*THREADED, "take-up") or step.held for step in steps):
            return ("darning needle",)
    return ()


def kind_label(plan: Plan, kind: str) -> str:
    """Name a kind on paper."""
    return kind_name(plan.course.pattern, kind)


@remembered(2)
def _asked(table: tuple[TablePiece, ...]) -> Mapping[str, TablePiece]:
    """The pieces on the tables by their names."""
    return {one.name: one for one in table}


def take_of(plan: Plan, stop: Stop) -> int:
    """Give the take that a piece is for; 0 where it is for all of them, or a spare."""
    asked = _asked(plan.worked.table)[appearance_of(stop.demand)]
    return stop.copy if asked.moves and asked.takes > 1 and not stop.spare else 0


def _pieces(plan: Plan, stops: tuple[tuple[Piece, Stop], ...]) -> Iterator[PieceHere]:
    """Word the pieces in a shot; one that serves several takes of a move, taken back between them, is there once."""
    names = _named(plan, stops)
    alike: dict[tuple[str, State, State, bool], list[tuple[Piece, Stop]]] = {}
    for piece, stop in stops:
        alike.setdefault((piece.name, stop.start, stop.end, stop.spare), []).append((piece, stop))
    for group in alike.values():
        here = [replace(one, name=names.get(one.letter, one.name)) for one in (_piece(plan, *each) for each in group)]
        again = [take for one in here for take in one.takes]
        last = here[-1]
        yield replace(
            last,
            takes=tuple(again),
            how=here[0].how,
            knitted=here[0].knitted,
            taken_back=last.knitted if group[1:] else "",
        )


def _named(plan: Plan, stops: tuple[tuple[Piece, Stop], ...]) -> Mapping[str, str]:
    """Name pieces of a shot that could be exchanged by their letters, so that the first is so everywhere."""
    asked = _asked(plan.worked.table)
    alike = defaultdict[str, list[tuple[Piece, str]]](list)
    for piece, stop in stops:
        one = asked[appearance_of(stop.demand)]
        if one.label and not (one.note or one.moves or stop.spare):
            alike[f"{piece.kind} {stop.start} {sorted(one.stands.items())}"].append((piece, stop.demand))
    found = dict[str, str]()
    for group in alike.values():
        letters = sorted((piece.name for piece, _ in group), key=lambda name: (len(name), name))
        labels = [asked[appearance_of(demand)].label for demand in sorted(demand for _, demand in group)]
        found |= dict(zip(letters, labels, strict=True))
    return found


def _next_shot(plan: Plan, piece: Piece, stop: Stop) -> str:
    for later in piece.stops[piece.stops.index(stop) + 1 :]:
        if shot_of(later.demand) != shot_of(stop.demand):
            now = in_words(later.start, plan.worked.kinds[piece.kind], plan.worked.size)
            return f"{shot_of(later.demand)} (“{now}”)"
    return ""


def _up_to(piece: Piece, stop: Stop) -> str:
    """Say that work on a piece may be less: the shot before may have moved it on, which nobody knows."""
    before = piece.before(stop) or stop
    perhaps = before.way.counted != before.end and shot_of(before.demand) != shot_of(stop.demand)
    return "up to " if perhaps else ""


def _piece(plan: Plan, piece: Piece, stop: Stop) -> PieceHere:
    worked, size = plan.worked.kinds[piece.kind], plan.worked.size
    asked = _asked(plan.worked.table)[appearance_of(stop.demand)]
    return PieceHere(
        letter=piece.name,
        name=asked.label,
        kind=piece.kind,
        kind_words=kind_of_piece(plan.course.pattern, piece.kind),
        now=in_words(stop.start, worked, size),
        after="" if stop.end == stop.start else in_words(stop.end, worked, size),
        spare=stop.spare,
        one_way=asked.one_way,
        start=stop.start,
        how=how_worked(plan, stop),
        knitted=f"{_up_to(piece, stop)}{duration(max(1, round(stop.worked)))}" if stop.worked else "",
        taken_back="",
        goes_on=_next_shot(plan, piece, stop) if take_of(plan, stop) or (stop.spare and asked.moves) else "",
        perhaps=stop.way.counted != stop.end,
        takes=(take,) if (take := take_of(plan, stop)) else (),
        knit_note=fill(asked.note, for_size(plan.worked.facts, size)),
        fewer=fewer_in_words(stop.start, worked, plan.worked.kinds["full"], size) if piece.kind == "short" else "",
    )
