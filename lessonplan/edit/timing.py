"""When each shot of an episode runs in the cut, and when its words are said and its hands work.

A shot of which a take can be used runs as long as that take without its handles and what is knitted off camera in it
(as planned); any other as long as is planned. So
all times are planned ones before the shoot, and real ones where takes are logged. Within a shot the planned times of
words and hands are drawn out, or pressed together, to its real length.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, groupby, pairwise

from lessonplan.course.problems import Problem, note
from lessonplan.course.values.rates import Rate
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.edit.spoken import plain, words_of
from lessonplan.edit.timecode import frame_at, frame_of, timecode
from lessonplan.pattern.texts import fill
from lessonplan.planning.worked import Plan
from lessonplan.remembered import remembered
from lessonplan.shoot.clocks import minutes_of_hands
from lessonplan.shoot.takes.compare import best_take, takes_by_shot
from lessonplan.shoot.takes.log import Take, timecode_seconds

DAY = 86_400


@dataclass(frozen=True, slots=True)
class ShotTime:
    """A shot in the cut. All times are milliseconds; ``start`` counts from the episode's start.

    ``take`` is the one to use; ``real`` tells that ``length`` is its own. ``opening`` is its handle before the action.
    ``say`` are the plain words with their facts; ``points`` are starts of what is said freely, and
    ``hands`` start and end of each thing that the hands do, from the start of the shot.
    """

    number: ShotNumber
    start: int
    length: int
    planned: int
    take: Take | None
    real: bool
    opening: int
    say: str
    word: float
    points: tuple[int, ...]
    hands: tuple[tuple[int, int], ...]

    @property
    def end(self) -> int:
        """Where the next shot starts."""
        return self.start + self.length

    @property
    def drawn(self) -> float:
        """How many times as long as planned it is."""
        return self.length / self.planned if self.planned else 1.0

    def at_word(self, place: int) -> int:
        """Give when the word at a place (from 0) is said, in the episode; never after the shot."""
        return self.start + min(self.length, round(self.word * place))

    def at_planned(self, seconds: int) -> int:
        """Give when what is planned so many seconds after the start of the shot comes, in the episode."""
        return self.start + min(self.length, round(seconds * 1000 * self.length / max(1, self.planned)))


def shot_times(plan: Plan, episode: int) -> tuple[ShotTime, ...]:
    """Lay the shots of an episode one after the other, in the order of the story; every shot runs whole seconds."""
    return _times_by_episode(plan).get(episode, ())


@remembered(2)
def _times_by_episode(plan: Plan) -> Mapping[int, tuple[ShotTime, ...]]:
    best = {number: best_take(takes) for number, takes in takes_by_shot(plan.takes).items()}
    found = dict[int, tuple[ShotTime, ...]]()
    for episode, shots in groupby(plan.course.shots(), lambda one: one.number.episode):
        times = list[ShotTime]()
        for one in shots:
            times.append(_shot_time(plan, one.number, times[-1].end if times else 0, best.get(one.number)))
        found[episode] = tuple(times)
    return found


def _shot_time(plan: Plan, number: ShotNumber, start: int, take: Take | None) -> ShotTime:
    clock, shot, pace = plan.worked.clocks[number], plan.course.shot(number), plan.course.course.pace
    say, planned = plain(fill(shot.say, plan.worked.word)), clock.seconds * 1000
    unseen = 60 * (clock.handles + clock.off_camera)
    net = round(take.seconds - unseen) * 1000 if take and take.seconds is not None else 0
    length = net if net > 0 else planned
    scale = length / planned if planned else 1.0
    words = len(words_of(say))
    at, points = words / pace.speech, list[int]()
    for point in shot.points:
        points.append(min(length, round(at * 60_000 * scale)))
        at += point.time
    hands = minutes_of_hands(plan.course, number, plan.worked.kinds, plan.worked.table)
    edges = [min(length, round(end * 60_000 * scale)) for end in accumulate(hands, initial=0.0)]
    return ShotTime(
        number=number,
        start=start,
        length=length,
        planned=planned,
        take=take,
        real=net > 0,
        opening=0 if shot.runs_on else round(pace.opening * 60_000),
        say=say,
        word=min(60_000 / pace.speech * scale, length / max(1, words)),
        points=tuple(points),
        hands=tuple(pairwise(edges)),
    )


def times_by_shot(plan: Plan, episode: int) -> Mapping[ShotNumber, ShotTime]:
    """Give the times of an episode's shots by number."""
    return {one.number: one for one in shot_times(plan, episode)}


def nearest_frame(milliseconds: int, rate: Rate) -> int:
    """Give the frame that begins nearest to a time, the later of two."""
    return frame_at(Fraction(milliseconds, 1000) + 1 / (2 * rate.fps), rate)


def take_frame(plan: Plan, take: Take) -> int | None:
    """Give the frame that the camera's clock shows at the start of a take: as logged, else by the camera's offset.

    Logs of the set have whole seconds, so the frames of such a time are none. None where neither clock is known; a
    course with one camera films all with it.
    """
    rate = plan.course.course.frame_rate
    if timecode_seconds(take.timecode) is not None:
        return logged_frame(take.timecode, rate)
    cameras = plan.course.course.cameras
    camera = next((one for one in cameras if one.name == take.camera or (len(cameras) == 1 and not take.camera)), None)
    if camera is None or take.start is None:
        return None
    return _whole_second((take.start + camera.offset) % DAY, rate)


def in_take(plan: Plan, time: ShotTime, at: int) -> str:
    """Say where in the take to use a time of the episode (in milliseconds) lies; empty where there is no take.

    It is the camera's timecode, ``take 2 at 09:31:12:00``, or ``take 2, 0:14 from its start`` where that is not known.
    """
    if time.take is None:
        return ""
    rate, after = plan.course.course.frame_rate, at - time.start + time.opening
    first = take_frame(plan, time.take)
    if first is not None:
        return f"take {time.take.take} at {timecode(first + nearest_frame(after, rate), rate)}"
    minutes, seconds = divmod(round(after / 1000), 60)
    return f"take {time.take.take}, {minutes}:{seconds:02} from its start"


def logged_frame(label: str, rate: Rate) -> int:
    """Read a logged timecode at a rate, whatever sign stands before its frames; frames beyond the rate are left out."""
    seconds, frames = timecode_seconds(label) or 0, label[9:]
    try:
        return frame_of(f"{label[:8]}{';' if rate.dropped else ':'}{frames or '00'}", rate)
    except ValueError:
        return _whole_second(seconds, rate)


def _whole_second(seconds: int, rate: Rate) -> int:
    """Give the first frame whose label has this second; drop-frame leaves out the first numbers of most minutes."""
    minute, rest = divmod(seconds, 60)
    dropped = rate.dropped if rest == 0 and minute % 10 else 0
    label = f"{minute // 60:02}:{minute % 60:02}:{rest:02}{';' if rate.dropped else ':'}{dropped:02}"
    return frame_of(label, rate)


def odd_timecodes(takes: Iterable[Take], rate: Rate) -> tuple[Problem, ...]:
    """Say which logged timecodes do not fit the course's frame rate, and what is used instead."""
    found = list[Problem]()
    for take in takes:
        label = take.timecode
        if timecode_seconds(label) is None or not label[9:]:
            continue
        try:
            # A person types a colon whatever the camera shows; a semicolon is never typed by chance.
            frame_of(label if label[8] == ";" else f"{label[:8]}{';' if rate.dropped else ':'}{label[9:]}", rate)
        except ValueError as bad:
            used = timecode(logged_frame(label, rate), rate)
            hint = f"{used} is used; “frame_rate” in course.yaml says how many frames a second has."
            found.append(note(take.where, "timecode", f"{bad}", hint))
    return tuple(found)
