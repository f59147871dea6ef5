"""What the editor may do with a shot: speed up silent handwork, cut away, lay a text over its words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import takewhile

from lessonplan.course.numbers import ShotNumber
from lessonplan.craft.words import words_of
from lessonplan.documents.filmed import Filmed
from lessonplan.documents.wording import screen_time
from lessonplan.planning.worked import Plan
from lessonplan.samples.choice import contains
from lessonplan.shoot.clocks import ShotClock

SILENCE = 20
"""Seconds of handwork without a word from which something is advised (planning guess)."""
LEFT = 15
"""Seconds of sped-up handwork that are left after the words (planning guess)."""
FASTEST = 8
"""The most that handwork is sped up: beyond this the stitches cannot be followed (common practice)."""
CUT_AWAY = 4
"""Seconds of another shot that are enough to leave handwork out behind it (planning guess)."""
FEW_WORDS = 3
"""A text is found in the words by so many that it has in common with them in a row; two do if one is a number."""


def advice(plan: Plan, clock: ShotClock, start: int, filmed: Mapping[str, Filmed]) -> str:
    """Say what to speed up or leave out, by likely times: silent handwork, and knitting that nothing shows.

    ``start`` is the second of the episode at which the shot starts. A shot to cut to may not be filmed yet.
    """
    spoken, worked = (round(span.likely * 60) for span in (clock.speech, clock.hands))
    silent, parts = worked - spoken, []
    target = _cut_to(plan, clock.number)
    once = ", once it is filmed," if target and target in filmed and not filmed[target].done else ""
    away = f"cut to {target}{once} for {CUT_AWAY} s" if target else "cut away"
    if silent >= SILENCE:
        times = min(FASTEST, max(2, round(silent / LEFT)))
        begins = f"From {screen_time((start + spoken) / 60)} on there are no words for {screen_time(silent / 60)}"
        parts.append(f"{begins if spoken else 'There are no words'}: {times} times as fast, or {away}.")
    if clock.off_camera >= 0.5:
        making = words_of(plan.course.pattern).making
        parts.append(f"{screen_time(clock.off_camera)} of {making} is not shown: cut where the work jumps, or {away}.")
    return " ".join(parts)


def _cut_to(plan: Plan, number: ShotNumber) -> ShotNumber | None:
    """The next shot in the story that shows the same kind of piece as far as this one leaves it, or further on."""
    table = plan.worked.table
    here = [piece for piece in table if piece.shot == number]
    story = [one.number for one in plan.course.shots() if one.number.episode == number.episode]
    for later in story[story.index(number) + 1 :]:
        for piece in (piece for piece in table if piece.shot == later):
            for kind, stand in piece.stands.items():
                if any(kind in one.stands and contains(stand.start, one.stands[kind].end) for one in here):
                    return later
    return None


def second_of(text: str, said: str, words_a_minute: float) -> int | None:
    """Find the second of the words ``said`` at which a text belongs: where they have most words in a row in common.

    Words with a number in them go before any without: who corrects a number lays it over the number.
    """
    spoken, wanted = _words(said), _words(text)
    found = []
    for place in range(len(spoken)):
        for first in range(len(wanted)):
            shared = _in_common(spoken[place:], wanted[first:])
            number = any(word.isdigit() for word in shared)
            if len(shared) >= FEW_WORDS - number:
                found.append((number, len(shared), -first, -place))
    return round(-max(found)[3] / words_a_minute * 60) if found else None


def _in_common(one: list[str], other: list[str]) -> list[str]:
    """The words with which both begin."""
    return [a for a, _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False))]


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+(?:['’.\-][^\W_]+)*", text.casefold())
