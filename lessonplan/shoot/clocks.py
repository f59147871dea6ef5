"""The clocks of one shot: how long it is on screen, and how long it takes on the floor.

Every estimate has three points (low, likely, high) in minutes. Speech and handwork run at the same time where the host
talks while knitting, so the longer of the two counts.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from lessonplan.course.model.episodes import Hands, Shot
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, Where, error, note
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import capital, count_of
from lessonplan.craft import tables
from lessonplan.needle.decided.parts import PLENTY, UNPLACED, part_of_round, slipped_in
from lessonplan.needle.stitch.live import Needle, WorkError
from lessonplan.pattern.amounts.minutes import cumulative_minutes, technique_minutes
from lessonplan.pattern.texts import fill
from lessonplan.pattern.within import Within, as_left, beside_line, lacking, most_on_needle, within
from lessonplan.pattern.worked import PART, WorkedPattern
from lessonplan.printed.line import NotationError
from lessonplan.remembered import remembered
from lessonplan.samples.pieces import Kinds, TablePiece, film_size, ripping_minutes
from lessonplan.shoot.estimate import Estimate, Span, around, longer, total


@dataclass(frozen=True, slots=True)
class ShotClock:
    """What one shot takes: words spoken, minutes of speech and of handwork, on screen, and on the floor.

    ``doing`` are the minutes of the handwork that the course gives itself. ``screen`` is what the viewer sees; the
    handles of each take (``handles`` minutes: the opening, the hold) are floor time only. ``off_camera`` are minutes of
    knitting in each take that nothing in it shows, while the camera waits; ``stitches`` are those worked on camera,
    each times its technique's time factor. ``reset``: minutes from one take to the next.
    """

    number: ShotNumber
    words: int
    speech: Span
    hands: Span
    doing: float
    screen: Estimate
    handles: float
    off_camera: float
    takes: int
    floor: Estimate
    stitches: float
    reset: float

    @property
    def take(self) -> float:
        """The likely minutes of one take, handles and all."""
        return max(self.speech.likely, self.hands.likely) + self.handles

    @property
    def seconds(self) -> int:
        """Expected screen time in whole seconds: all documents add these up, so that their sums agree."""
        return round(self.screen.mean * 60)


def on_screen(clocks: Iterable[ShotClock]) -> Estimate:
    """Sum the screen time of some shots in minutes; what is expected is the sum of the whole seconds of each shot."""
    clocks = tuple(clocks)
    return replace(total(clock.screen for clock in clocks), mean=sum(clock.seconds for clock in clocks) / 60)


def words_in(markdown: str) -> int:
    """Count the words that are spoken: letters and digits, without Markdown's signs; ``48 (52, 56)`` is three."""
    return len(re.findall(r"[^\W_]+(?:['’.\-][^\W_]+)*", re.sub(r"\]\([^)]*\)", "]", markdown)))


def shot_clocks(
    course: Course,
    kinds: Kinds,
    table: tuple[TablePiece, ...],
    word: Callable[[str], str],
    only: Collection[ShotNumber] = (),
) -> tuple[dict[str, ShotClock], tuple[Problem, ...]]:
    """Estimate every shot of a course, or ``only`` some, by number. ``word`` gives the facts for the film size."""
    clocks: dict[str, ShotClock] = {}
    problems: list[Problem] = []
    moved = _moved(course, kinds, table)
    for number, _, _, shot in course.shots():
        if only and number not in only:
            continue
        needle = needle_in(number, kinds, table, film_size(course))
        counts, wrong = live_techniques(shot, needle, _most(_by_shot(table).get(number, ()), kinds, film_size(course)))
        unknown = len(_by_shot(table).get(number, ())) < len(shot.pieces)  # told of at the piece: that is the cause
        problems += [one for one in wrong if not (unknown and UNPLACED[1:] in one.message)]
        inside, past = _within(course, number, shot, kinds, table)
        problems += [*past, *_slips_nothing(course, number, shot, kinds, table)]
        untimed = shot.model_copy(update={"hands": tuple(one for one in shot.hands if one.time is None)})
        paced = live_techniques(untimed, needle)[0]
        done = replace(moved.get(number, Moved()), before=inside)
        clocks[number] = _clock(course, number, shot, (counts, paced), done, word)
    return clocks, tuple(problems)


@dataclass(frozen=True, slots=True)
class Moved:
    """Bench minutes of what is done to the pieces in a shot: ``rounds`` that are knitted, and all ``other`` work.

    Stitches moved to or from waste yarn in a round are other work: a hand is seen doing them. ``before``: what of a
    round is worked on a piece that stays before its line; ``aside``: in each take of a move; ``back``: to undo all.
    """

    rounds: float = 0.0
    other: float = 0.0
    before: float = 0.0
    aside: float = 0.0
    back: float = 0.0


def _within(
    course: Course, number: ShotNumber, shot: Shot, kinds: Kinds, table: tuple[TablePiece, ...]
) -> tuple[float, list[Problem]]:
    """Minutes of a round worked before the line of a shot, less what the shot before it has worked of it.

    On a piece that stays; with a note if that round is done, or if the line goes past a marker that it does not name.
    """
    hands = next((one for one in shot.hands if one.work), None)
    size, pace, notes = film_size(course), course.course.pace.knitting, list[Problem]()
    if hands is None:
        return 0.0, notes
    for piece in _by_shot(table).get(number, ()):
        kind, stand = piece.first
        found = None if stand.moves else within(hands.work, kinds[kind], size, stand.start)
        if found and found.past:
            place = f"{found.what} {found.number} of “{found.stage.key}”"
            what = f"“{hands.work}” is no part of the next round of the piece in {number}: {place} is behind it."
            hint = f"Say how far it is there, such as “needs: {found.stage.key} round {found.number - 1}”."
            notes.append(note(hands.mark("work"), "behind", what, hint))
        elif found:
            if found.markers > slipped_in(hands.work):
                past = count_of(found.markers, "marker")
                what = f"“{hands.work}” in {number} goes past {past} and names {slipped_in(hands.work) or 'none'}."
                hint = "Write sm where one is slipped, such as “K3, sm, m1l, k1”."
                notes.append(note(hands.mark("work"), "marker", what, hint))
            if found.like[0]:
                notes.append(_as_there(number, hands, found))
            left = lacking(found, _line_before(course, number, kinds[kind], stand.start, table))
            return _minutes_before(found, left, pace), notes
    return 0.0, notes


def _minutes_before(found: Within, left: int, pace: float) -> float:
    """Minutes of what is still to be worked, so many things, before a line in its round."""
    done = found.done[found.begun :]
    moved, every = (sum(name == "hold" for name in names) for names in (done[len(done) - left :], done))
    share = (left - moved) / (len(done) - every) if len(done) > every else 0.0
    return (found.after - every) / pace * share + moved * tables.minutes("hold")


def _as_there(number: ShotNumber, hands: Hands, found: Within) -> Problem:
    """Tell that a line is no part of the round in which it is worked, and where it is taken to lie there."""
    row = found.what
    key, other = found.like
    end = len(found.left) + found.to - found.after
    what = f"“{hands.work}” in {number} is not in {row} {found.number} of “{found.stage.key}”. It is taken to begin"
    what += f" {end} stitches before its end, as in {row} {other} of “{key}”."
    hint = "Who works it reads so on the run sheet; a note of the shot says what is otherwise."
    return note(hands.mark("work"), "not-in-round", what, hint)


def _most(pieces: Sequence[TablePiece], kinds: Kinds, size: int) -> int:
    """The most stitches that can be on a needle in a shot; plenty where no piece in it has live ones."""
    stands = (one for piece in pieces for one in piece.stands.items())
    return max((most_on_needle(kinds[kind], size, stand.start) for kind, stand in stands), default=0) or PLENTY


def _slips_nothing(
    course: Course, number: ShotNumber, shot: Shot, kinds: Kinds, table: tuple[TablePiece, ...]
) -> Iterator[Problem]:
    """Tell of lines that slip more markers than lie there, where none is worked on a needle that has them."""
    size = film_size(course)
    if needle_in(number, kinds, table, size) is not None:
        return  # that needle has told of it
    stands = [piece.first for piece in _by_shot(table).get(number, ())]
    for hands in shot.hands:
        try:
            slips = slipped_in(hands.work) if hands.work else 0
        except (NotationError, WorkError):
            continue  # told of where it is read
        found = [within(hands.work, kinds[kind], size, stand.start) for kind, stand in stands] if slips else []
        if slips > max((one.markers + one.beside for one in found if one), default=0):
            sentence, hint = f"“{hands.work}” slips a marker, and none is known to lie there.", _where_worked(None)
            if not any(found):
                hint = f"It stands nowhere in what is worked next: compare each of its steps. {hint}"
            yield error(hands.mark("work"), "line", sentence, hint)


def _line_before(
    course: Course, number: ShotNumber, worked: WorkedPattern, start: Sequence[int], table: tuple[TablePiece, ...]
) -> Within | None:
    """Where the line of the shot before lies, of the same segment, if a piece stands there alike and stays so.

    It is taken for the same piece: pieces are chosen when the clocks are known.
    """
    if number.place[2] == 1:
        return None
    before = ShotNumber(f"{number.segment}.{number.place[2] - 1}")
    line = next((one.work for one in course.shot(before).hands if one.work), "")
    stands = (piece.first[1] for piece in _by_shot(table).get(before, ()))
    alike = any(not one.moves and tuple(one.start) == tuple(start) for one in stands)
    return within(line, worked, film_size(course), start) if line and alike else None


def _moved(course: Course, kinds: Kinds, table: tuple[TablePiece, ...]) -> Mapping[ShotNumber, Moved]:
    """What is done to the pieces between the states in which they enter and leave each shot, at the host's pace."""
    found: dict[ShotNumber, Moved] = {}
    pace, factors, size = course.course.pace.knitting, course.course.techniques, film_size(course)
    for piece in table:
        rounds = other = back = 0.0
        kind, stand = piece.first
        lines = (one.work for one in course.shot(piece.shot).hands if one.work)
        off = beside_line(next(lines, ""), kinds[kind], size, stand.start, stand.end)
        aside = off.pop("hold", 0) * tables.minutes("hold") + technique_minutes(tuple(off.items()), pace, factors)
        for key, start, end in zip(kinds[kind].order, stand.start, stand.end, strict=True):
            if start == end:
                continue
            stage = kinds[kind].stage(key, size)
            counted = cumulative_minutes(stage, pace, factors)
            for place in range(start, end):
                step, minutes = stage.steps[place], counted[place + 1] - counted[place]
                knitted = step.is_round or step.kind == PART
                moved = step.held * tables.minutes("hold") if knitted else minutes
                rounds += minutes - moved
                other += moved
                back += 0.0 if piece.one_way else ripping_minutes(step)
        before = found.get(piece.shot, Moved())
        most, back = max(before.aside, aside), before.back + back
        found[piece.shot] = Moved(before.rounds + rounds, before.other + other, aside=most, back=back)
    return found


def _clock(
    course: Course,
    number: ShotNumber,
    shot: Shot,
    lines: tuple[tuple[tuple[str, int], ...], tuple[tuple[str, int], ...]],
    moved: Moved,
    word: Callable[[str], str],
) -> ShotClock:
    """Estimate one shot. ``lines``: the techniques of all lines that it works, and of those without a given time."""
    counts, paced = lines
    pace, factors = course.course.pace, course.course.techniques
    words, points = words_in(fill(shot.say, word)), sum(point.time for point in shot.points)
    said = words / pace.speech + points
    shown = technique_minutes(paced, pace.on_camera, factors)
    doing = sum(hands.time or 0.0 for hands in shot.hands)
    beside = sum(hands.time or 0.0 for hands in shot.hands if not hands.work)
    hold = pace.hold if shot.hold is None else shot.hold
    still = hold if not (said or shown or doing) else 0.0
    reset = _reset(course, moved)
    handles = hold - still + (0.0 if shot.runs_on else pace.opening)
    hidden = 0.0 if shot.shows == "all" else _hidden(moved, beside, technique_minutes(counts, pace.knitting, factors))

    def screen(speech: float, on_camera: float) -> Span:
        """Screen time in minutes: the longer of speech and handwork, and what is held still."""
        talk = around(said * speech, *_ends("speech_within"))
        return longer(
            talk, around(shown * on_camera, *_ends("on_camera_within")) + around(doing, *_ends("doing"))
        ) + Span(still, still, still)

    def floor(speech: float, on_camera: float) -> Span:
        """Floor time in minutes: takes with their handles and what nothing shows, and the resets between them."""
        # What a move has that nothing shows is worked in every take, each of which begins with a piece as it was.
        unseen = around(hidden, *_ends("off_camera"))
        take = screen(speech, on_camera) + Span(handles, handles, handles) + unseen
        # A take that fails breaks off early; at best one take less is needed, at worst one more.
        takes, every_reset = shot.takes, reset * (shot.takes - 1)
        resets = Span(every_reset * 0.5, every_reset, every_reset + reset)
        every = take.times(max(1, takes - 1), takes, takes + 1) + resets
        return every + around(moved.before, *_ends("off_camera"))

    return ShotClock(
        number=number,
        words=words,
        speech=at_pace(said, "speech"),
        hands=at_pace(shown, "on_camera") + around(doing, *_ends("doing")),
        doing=doing,
        screen=_with_paces(screen),
        handles=handles,
        off_camera=hidden,
        takes=shot.takes,
        floor=_with_paces(floor),
        stitches=shown * pace.on_camera,
        reset=reset,
    )


def _reset(course: Course, moved: Moved) -> float:
    """Minutes from one take to the next: as planned, or until what the take worked is ripped back.

    For that everybody stands by as long as the camera may wait for a piece; where it takes longer, another piece is
    brought for each take. In whole seconds, so that what fits by a hair fits.
    """
    planned, back = course.course.pace.reset, ceil(moved.back * 60) / 60
    return back if planned < back <= planned + course.course.samples.camera_may_wait else planned


def _hidden(moved: Moved, beside: float, worked: float) -> float:
    """Minutes of knitting that nothing shows: the rounds, less what is worked live and what other doing there is.

    What is done ``beside`` lines stands first for other work, as drawing yarn through. Lines are ``worked`` in so many
    minutes at the bench, whatever time is given for them on camera.
    """
    unseen = moved.rounds - worked - max(0.0, beside - moved.other)
    return max(moved.aside, unseen) + (0.0 if beside else moved.other)


def _with_paces(minutes: Callable[[float, float], Span]) -> Estimate:
    """An estimate of what depends on the host's paces of speech and of work on camera, each a factor of the minutes."""
    speech, on_camera = at_pace(1.0, "speech"), at_pace(1.0, "on_camera")
    middle = minutes(speech.mean, on_camera.mean)
    slow_speech = minutes(speech.mean + speech.shared, on_camera.mean)
    slow_hands = minutes(speech.mean, on_camera.mean + on_camera.shared)
    return Estimate(
        middle.mean, slow_speech.mean - middle.mean, slow_hands.mean - middle.mean, variance=middle.deviation**2
    )


def at_pace(minutes: float, name: str) -> Span:
    """Estimate minutes at a person's own pace, which varies as the range of its pace in filming_paces.csv does.

    That hosts differ so is published for speech and a planning guess for hands; that one host varies so is a guess.
    """
    low, likely, high = tables.three_points(name)
    return around(minutes, likely / low, likely / high)


def _ends(name: str) -> tuple[float, float]:
    low, _, high = tables.three_points(name)
    return low, high


def _where_worked(needle: Needle | None) -> str:
    """Say on what a line of a shot is worked, where it does not find its markers."""
    if needle is None:
        return "No piece is worked on here, so no end or marker is known: give its “leaves”, or place the marker (pm)."
    return "The markers are those of the piece before the round that “needs” and “leaves” say; pm places one."


def needle_in(number: ShotNumber, kinds: Kinds, table: tuple[TablePiece, ...], size: int) -> Needle | None:
    """Give the needle of the piece worked on in a shot, before the first round that is worked there, if one is."""
    for piece in _by_shot(table).get(number, ()):
        kind, stand = piece.first
        for key, start, end in zip(kinds[kind].order, stand.start, stand.end, strict=True):
            steps = kinds[kind].stage(key, size).steps
            if (first := next((place for place in range(start, end) if steps[place].is_round), None)) is not None:
                return as_left(steps, first)
    return None


@remembered(4)
def _by_shot(table: tuple[TablePiece, ...]) -> Mapping[ShotNumber, tuple[TablePiece, ...]]:
    """The pieces on the table of each shot that has any."""
    found: dict[ShotNumber, list[TablePiece]] = {}
    for piece in table:
        found.setdefault(piece.shot, []).append(piece)
    return {number: tuple(pieces) for number, pieces in found.items()}


def minutes_of_hands(course: Course, number: ShotNumber, kinds: Kinds, table: tuple[TablePiece, ...]) -> list[float]:
    """Give the likely minutes of each thing that hands do in a shot: those given, or a line’s at the pace on camera."""
    file, shot, needle = course.course, course.shot(number), needle_in(number, kinds, table, film_size(course))
    each = (live_techniques(shot.model_copy(update={"hands": (hands,)}), needle)[0] for hands in shot.hands)
    worked = [technique_minutes(counts, file.pace.on_camera, file.techniques) for counts in each]
    return [minutes if one.time is None else one.time for one, minutes in zip(shot.hands, worked, strict=True)]


def live_techniques(
    shot: Shot, needle: Needle | None, most: int = PLENTY
) -> tuple[tuple[tuple[str, int], ...], tuple[Problem, ...]]:
    """Count the techniques of the lines that a shot works on camera, and report lines that cannot be read.

    A line may be a part of a round; one that goes to the end or to a marker needs the shot's piece on the needle. Where
    no needle is known, ``most`` stitches are on it.
    """
    counts: dict[str, int] = {}
    problems: list[Problem] = []
    for hands in shot.hands:
        if not hands.work:
            continue
        try:
            for name, count in part_of_round(hands.work, needle, most).items():
                counts[name] = counts.get(name, 0) + count
        except (NotationError, WorkError) as bad:
            start = hands.mark("work")
            where = Where(start.file, start.line, start.column + max(0, bad.column - 1))
            sentence = capital(bad.sentence).rstrip(".") + "."
            placeless = "marker" in sentence or UNPLACED[1:] in sentence
            problems.append(error(where, "line", sentence, _where_worked(needle) if placeless else ""))
    return tuple(sorted(counts.items())), tuple(problems)
