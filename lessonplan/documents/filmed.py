"""What was filmed of each shot, for the editor: the take to use, the others that can be used, and where they lie."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lessonplan.course.cells import named_in
from lessonplan.course.words import listing, short_day
from lessonplan.craft.words import words_of
from lessonplan.documents.wording import screen_time
from lessonplan.edit.timecode import timecode
from lessonplan.edit.timing import take_frame
from lessonplan.planning.worked import Plan
from lessonplan.shoot.clocks import ShotClock
from lessonplan.shoot.takes.compare import best_take, takes_by_shot
from lessonplan.shoot.takes.log import USABLE, Take, clock_text


@dataclass(frozen=True, slots=True)
class TakeLine:
    """One take: ``file`` says where it lies (camera, card, clip), ``start`` is the clock of the set, ``timecode`` the
    camera's own, empty where it is not known; ``seconds`` is its length, handles and all, None where not known, and
    ``net`` the seconds without the handles, ``against`` words them and whether they are beside the planned range.

    ``why`` says why it is this one, where the verdicts do not. ``slip`` words a slip of the tongue, empty where there
    was none.
    """

    take: int
    verdict: str
    use: bool
    why: str
    day: str
    start: str
    timecode: str
    seconds: int | None
    length: str
    net: int | None
    against: str
    file: str
    slip: str
    note: str


@dataclass(frozen=True, slots=True)
class Filmed:
    """What there is of a shot: ``state`` in words, whether it can be cut (``done``), and its takes, the best first.

    Takes to be used come first, then those without a verdict; ``again`` names the others.
    """

    state: str
    done: bool
    takes: tuple[TakeLine, ...]
    again: str

    @property
    def started(self) -> bool:
        """Whether there is any take at all."""
        return bool(self.takes or self.again)

    @property
    def best(self) -> TakeLine | None:
        """The take to use."""
        return next((take for take in self.takes if take.use), None)


def filmed_shots(plan: Plan) -> Mapping[str, Filmed]:
    """Say of every shot what was filmed; nothing at all while no take is logged."""
    by_shot = takes_by_shot(plan.takes)
    clocks = plan.worked.clocks.values()
    return {one.number: _filmed(plan, one, by_shot.get(one.number, ())) for one in clocks} if plan.takes else {}


def no_log(plan: Plan) -> str:
    """Say for the editor what is open while no take is logged; nothing once any is."""
    told = (
        "No take log is kept yet (takes/ in the course’s folder), so no paper knows which take is good, its clip or "
        "its timecode. Beside each shot stands when it was planned and in how many takes; in the timeline files every "
        "shot is an empty gap (in the EDL black, BL), as long as planned."
    )
    return "" if plan.takes else told


def _filmed(plan: Plan, clock: ShotClock, takes: Sequence[Take]) -> Filmed:
    best = best_take(takes)
    able = [take for take in takes if take.verdict in USABLE and take is not best]
    unjudged = [take for take in takes if not take.verdict]
    shown = [*([best] if best else []), *reversed(able), *unjudged]
    again = [str(take.take) for take in takes if take.verdict == "again"]
    state = "filmed" if best else "no verdict" if unjudged else "no take can be used" if takes else "not filmed"
    thrown = f"{'take' if len(again) == 1 else 'takes'} {listing(again)}" if again else ""
    why = _why(best, able) if best else ""
    lines = tuple(_line(plan, clock, take, why if take is best else None) for take in shown)
    return Filmed(state, best is not None, lines, thrown)


def _why(best: Take, others: Sequence[Take]) -> str:
    """Say why a take is used before others that are called as good, or better."""
    rivals = [take for take in others if USABLE.index(take.verdict) >= USABLE.index(best.verdict)]
    if any(take.slip for take in rivals) and not best.slip:
        return "no slip of the tongue"
    return "the latest" if any(bool(take.slip) == bool(best.slip) for take in rivals) else ""


def _line(plan: Plan, clock: ShotClock, take: Take, why: str | None) -> TakeLine:
    """Lay out a take; ``why`` it is the one to use, None for the others."""
    net = None if take.seconds is None else round(take.seconds - (clock.handles + clock.off_camera) * 60)
    unseen = round(clock.off_camera * 60)
    making = f" and {screen_time(unseen / 60)} of {words_of(plan.course.pattern).making} not shown" if unseen else ""
    against = ""
    if net is not None and not round(clock.screen.low * 60) <= net <= round(clock.screen.nine_in_ten * 60):
        against = ", over plan" if net > clock.seconds else ", under plan"
    length = "length not known" if take.seconds is None else screen_time(take.seconds / 60)
    said = "" if take.slip == "yes" else f": {take.slip}"
    return TakeLine(
        take=take.take,
        verdict=take.verdict or "no verdict",
        use=why is not None,
        why=why or "",
        day=short_day(take.day),
        start=clock_text(take.start),
        timecode=timecode_of(plan, take),
        seconds=take.seconds,
        length=length,
        net=net,
        against="" if net is None else f"{screen_time(net / 60)} without handles{making}{against}",
        file=", ".join(part for part in (take.camera, take.card, _clips(plan, take)) if part),
        slip=f"slip of the tongue{said}" if take.slip else "",
        note=take.note,
    )


def _clips(plan: Plan, take: Take) -> str:
    """Name the clips of a take; that it has none is said where others have."""
    clips = named_in(take.clip)
    if not clips:
        return "no clip noted" if any(one.clip for one in plan.takes) else ""
    return f"{clips[0]}{f', then {listing(clips[1:])} (timecode and timeline: of the first)' if clips[1:] else ''}"


def timecode_of(plan: Plan, take: Take) -> str:
    """Give the camera's clock at the start of a take as timecode; empty where it is not known (see `take_frame`)."""
    frame = take_frame(plan, take)
    return "" if frame is None else timecode(frame, plan.course.course.frame_rate)
