"""How quickly each knitter really knits: learnt from the time that agreed pieces took, and put in for the typed pace.

A piece takes (weighted stitches / pace) + fixed minutes (`pattern.minutes`), so the minutes said in its progress tell a
pace: weighted stitches / (minutes - fixed minutes). Each piece is one observation. The statistic is that of the other
learnt paces (`shoot.takes.learnt`), but what was typed weighs nothing: it was a first guess.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lessonplan.course.model.agreed import progress_of
from lessonplan.course.model.groups import Words
from lessonplan.course.model.settings import Drawer
from lessonplan.course.model.together import Course
from lessonplan.course.names.asked import state_problems
from lessonplan.course.problems import Problem, warning
from lessonplan.course.words import listing
from lessonplan.craft.words import KNITTING, words_of
from lessonplan.samples.agreed import Standing, standings
from lessonplan.samples.choice import State, contains
from lessonplan.samples.knitters import who_knits
from lessonplan.samples.pieces import Kinds, drawer_state, ladders_of
from lessonplan.samples.states import StateError
from lessonplan.shoot.takes.learnt import BOUNDS, Estimate, estimate_alone

SHORTEST = 15.0
"""Minutes below which the time of a piece tells no pace: much of it is finding the needle and the clock (a guess)."""


@dataclass(frozen=True, slots=True)
class Hands:
    """One knitter's pace in stitches a minute: typed, learnt, from which pieces; ``used``: the plan goes by it."""

    name: str
    typed: float
    learnt: Estimate
    pieces: tuple[str, ...]
    used: bool
    words: Words = KNITTING

    def __str__(self) -> str:
        """Say what is learnt, how sure it is, and what the plan goes by."""
        one = self.learnt
        sure = f"judged by the time that {listing(self.pieces)} took: nine times in ten between {one.low:.0f} and"
        said = f"{self.name} {self.words.makes} {one.value:.0f} {self.words.pace}, {sure} {one.high:.0f}"
        by = f"this; the course says {self.typed:g}" if self.used else f"{self.typed:g}, as the course says"
        return f"{said}. The plan goes by {by}."


def hands_of(
    course: Course, kinds: Kinds, typed: Mapping[str, float] | None = None
) -> tuple[tuple[Hands, ...], tuple[Problem, ...]]:
    """Learn the pace of each knitter whose pieces have a time in their progress; times that cannot be are problems.

    ``typed``: paces as they stood in the course, where learnt ones were put in for them already.
    """
    words = words_of(course.pattern)
    if course.agreed is None or not words.pace:
        return (), ()
    seen: dict[str, list[tuple[str, float]]] = {}
    problems: list[Problem] = []
    for letter, name, rate in _rates(course, kinds):
        bounds = BOUNDS["knitting"]
        if rate is not None and bounds.one_low <= rate <= bounds.one_high:
            seen.setdefault(name, []).append((letter, rate))
        else:
            much = f"would be {rate:.0f} {words.pace}" if rate else "is less than its fixed minutes"
            what = f"The time of piece {letter} {much}, so nothing is learnt from it."
            problems.append(warning(course.agreed.mark("progress", letter), "time", what, "Is it all the time so far?"))
    found = []
    for one in who_knits(course):
        if rates := seen.get(one.name):
            pace = (typed or {}).get(one.name, one.pace)
            learnt = estimate_alone("knitting", pace, [rate for _, rate in rates])
            pieces = tuple(letter for letter, _ in rates)
            used = _learns(course, one.name)
            found.append(Hands(name=one.name, typed=pace, learnt=learnt, pieces=pieces, used=used, words=words))
    return tuple(found), tuple(problems)


def with_hands(course: Course, hands: tuple[Hands, ...]) -> Course:
    """Put the learnt paces in for the typed ones."""
    new = {one.name: one.learnt.value for one in hands if one.used}
    if not new:
        return course
    file = course.course
    if not file.knitters:
        pace = file.pace.model_copy(update={"knitting": new[file.host]})
        return course.model_copy(update={"course": file.model_copy(update={"pace": pace})})
    knitters = tuple(one.model_copy(update={"pace": new.get(one.name, one.pace)}) for one in file.knitters)
    return course.model_copy(update={"course": file.model_copy(update={"knitters": knitters})})


def _learns(course: Course, name: str) -> bool:
    """Whether a knitter's pace is learnt: not where she is not to learn; not the host's own that the course sets."""
    knitter = next((one for one in course.course.knitters if one.name == name), None)
    return knitter.learn if knitter else "knitting" not in course.course.pace.model_fields_set


def _rates(course: Course, kinds: Kinds) -> Iterator[tuple[str, str, float | None]]:
    """Give letter, knitter and stitches a minute of each piece that has a time; None where it is too short for any."""
    agreed = course.agreed
    timed = {
        letter: minutes
        for letter, far in (agreed.progress if agreed else {}).items()
        if (minutes := progress_of(far)[1]) is not None and minutes >= SHORTEST
    }
    if not timed:
        return
    quick, slow = (ladders_of(course, kinds, pace) for pace in (2.0, 1.0))
    drawer = {one.name: one for one in course.course.samples.drawer}
    for one in standings(course, kinds)[0]:
        minutes, kind = timed.get(one.piece.letter), one.piece.kind
        begun = _begun(course, kinds, one, drawer)
        if minutes is None or not one.piece.knitter or begun is None or one.at == begun:
            continue
        # At the paces 1 and 2 the fixed minutes are the same, and the others half.
        whole, half = (one_pace[kind].cost(one.at) - one_pace[kind].cost(begun) for one_pace in (slow, quick))
        stitches, fixed = 2 * (whole - half), 2 * half - whole
        if stitches > 0:
            yield one.piece.letter, one.piece.knitter, stitches / (minutes - fixed) if minutes > fixed else None


def _begun(course: Course, kinds: Kinds, one: Standing, drawer: Mapping[str, Drawer]) -> State | None:
    """Give the state from which the knitter began: nothing, or that of the piece in the drawer; None if not known."""
    if not one.piece.drawer:
        return tuple(0 for _ in one.at)
    item = drawer.get(one.piece.drawer)
    if item is None or item.kind != one.piece.kind or any(state_problems(course, item.state, item.mark("state"))):
        return None  # that is told where the drawer is
    try:
        begun = drawer_state(course, kinds, item)
    except StateError:
        return None  # that too
    return begun if contains(one.at, begun) else None
