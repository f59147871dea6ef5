"""What the editor may do with a shot: speed up silent handwork, cut away, lay a text over its words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lessonplan.course.names.slates import slates_of
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.craft.words import words_of
from lessonplan.documents.filmed import Filmed
from lessonplan.documents.livework import camera_stops
from lessonplan.documents.wording import screen_time
from lessonplan.edit.cuts import shown_slowly
from lessonplan.edit.spoken import plain
from lessonplan.edit.timing import ShotTime
from lessonplan.edit.video import in_video
from lessonplan.pattern.texts import fill
from lessonplan.planning.asking import stops_by_shot
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import contains
from lessonplan.shoot.clocks import ShotClock

SILENCE = 20
"""Seconds of handwork without a word from which something is advised (planning guess)."""
LEFT = 15
"""Seconds of sped-up handwork that are left after the words (planning guess)."""
FASTEST = 8
"""The most that handwork is sped up: beyond this the stitches cannot be followed (planning guess, from memory)."""
GUESSED = (
    f"What may be cut or sped up is found by rules of thumb, which are guesses: from {SILENCE} s without a word on, "
    f"about {LEFT} s of them are left, and nothing runs more than {FASTEST} times as fast. What you see goes first."
)
"""Said once where cuts or speeds are advised."""
CUT_AWAY = 4
"""Seconds of another shot that are enough to leave handwork out behind it (planning guess)."""
FILM = (
    f"For that the run sheet asks for {CUT_AWAY} s that do not show the work, such as a face looking down at it, under "
    "the same slate after the last take."
)
"""What there is to cut to where no other shot shows the work as it is here: whatever the work is, it fits."""
BOX = "+"
"""The mark of the box to tick for it, behind those of the takes."""
ALSO = (
    f"({BOX}) After the last take, under the same slate, also film {CUT_AWAY} s that do not show this work, such as a "
    "face looking down at it."
)
"""What is asked for on the day, so that the picture is there when the editor needs it: at its shot, where it is due."""


def advice(plan: Plan, clock: ShotClock, time: ShotTime, filmed: Mapping[str, Filmed]) -> str:
    """Say what to speed up or leave out, by likely times: silent handwork, and knitting that nothing shows.

    ``time`` says where the shot lies in the cut. A shot to cut to may not be filmed yet.
    """
    parts = []
    for after, text in cut_aways(plan, clock, filmed, time.drawn):
        begins = f"From {screen_time(time.at_planned(after) / 60_000)} on there" if after else "There"
        parts.append(f"{begins} {text}" if text.startswith("are") else text)
    target = _cut_to(plan, clock.number)
    if any(_cuts(part) for part in parts):
        parts.append(_clip(plan, target, filmed) if target else FILM)
    return " ".join(parts)


def film_besides(plan: Plan, number: ShotNumber) -> str:
    """Ask for a picture to cut to, where handwork of a shot may be left out and no other shot shows it."""
    if _cut_to(plan, number) or not any(_cuts(text) for _, text in cut_aways(plan, plan.worked.clocks[number], {})):
        return ""
    return ALSO


def _cuts(advised: str) -> bool:
    return "or cut " in advised


def _clip(plan: Plan, target: ShotNumber, filmed: Mapping[str, Filmed]) -> str:
    """Say where the picture to cut to is taken from, and why it is of use."""
    shot, slate = plan.course.shot(target), slates_of(plan.course)[0].get(target)
    best = filmed[target].best if target in filmed else None
    title = plain(fill(shot.title, plan.worked.word))
    names = [
        f"slate {slate}" if slate else "",
        f"“{title}”" if title else "",
        f"clip {best.file}" if best and best.file else "",
    ]
    where = ", ".join(name for name in names if name)
    return (
        f"For that take the first {CUT_AWAY} s of {target}{f' ({where})' if where else ''}: its piece is as far as "
        "this work is by then, so that nobody sees it jump."
    )


def cut_aways(
    plan: Plan, clock: ShotClock, filmed: Mapping[str, Filmed], drawn: float = 1.0
) -> Iterator[tuple[int, str]]:
    """Give each thing to speed up or leave out with the planned seconds of the shot after which it comes.

    ``drawn``: the take to use is so many times as long as planned, and so is a silence in it. Where captions of the
    video tell where a shot is, silence is no guess any more: the cut list has what there is.
    """
    spoken, worked = (round(span.likely * 60) for span in (clock.speech, clock.hands))
    silent = round((worked - spoken) * drawn)
    target = _cut_to(plan, clock.number)
    once = ", once it is filmed," if target and target in filmed and not filmed[target].done else ""
    away = f"cut to {target}{once} for {CUT_AWAY} s" if target else "cut away"
    if silent >= SILENCE and in_video(plan, clock.number, 0) is None:
        times = min(FASTEST, max(2, round(silent / LEFT)))
        length = f" for {screen_time(silent / 60)}" if spoken else ""
        slow = shown_slowly(plan, clock.number)
        fast = f"{times} times as fast ({screen_time(silent / times / 60)} then), or {away}"
        what = f"leave it, for {slow}" if slow else fast
        yield spoken, f"are no words{length}: {what}."
    stops = stops_by_shot(plan.choice).get(clock.number, ())
    if clock.off_camera >= 0.5 or camera_stops(plan, plan.course.shot(clock.number), stops)[0]:
        making = words_of(plan.course.pattern).making
        yield 0, f"{screen_time(clock.off_camera)} of {making} is not shown: cut where the work jumps, or {away}."


def _cut_to(plan: Plan, number: ShotNumber) -> ShotNumber | None:
    """A later shot of the story, not the very next, with the same kind of piece no less far than here, and no further.

    What comes right after would be seen twice in a row, and on another piece viewers see that it is another. A piece
    beside it that is further tells what comes.
    """
    table = plan.worked.table
    here = [piece for piece in table if piece.shot == number]
    story = [one.number for one in plan.course.shots_in(str(number.episode))]
    for later in story[story.index(number) + 2 :] if here else ():
        there = [stand for piece in table if piece.shot == later for stand in piece.stands.items()]
        both = [(one.stands[kind], stand) for kind, stand in there for one in here if kind in one.stands]
        fits = any(contains(stand.start, one.latest) and contains(one.end, stand.latest) for one, stand in both)
        if fits and all(contains(one.end, stand.latest) for one, stand in both):
            return later
    return None
