"""The errata page: what was found wrong, what is right, and what is done about it; newest first."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from lessonplan.course.model.publishing import Erratum
from lessonplan.course.names.slates import in_todays_numbers, named_shots
from lessonplan.course.words import day_text
from lessonplan.documents.places import Place, correction, place_of, shot_places, still_met, times_words
from lessonplan.edit.cues.episode import is_laid
from lessonplan.edit.cues.sized import sized
from lessonplan.edit.proof.keeping import PROOFING
from lessonplan.edit.video import is_cut_out
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan, Worked
from lessonplan.publish.editions import numbered


@dataclass(frozen=True, slots=True)
class ErratumRow:
    """One erratum as shown: its number in the log; ``where`` has today's numbers of shots, with their slates.

    ``stands`` words its state for readers: one that is told beside a video, which has it still, is not mended there.
    ``mended`` says which edition has it right; ``by`` is nothing on the viewers' page where nobody found it.
    """

    number: int
    found: str
    where: str
    said: str
    right: str
    kind: str
    remedy: str
    state: str
    by: str
    role: str
    mended: str
    stands: str


@dataclass(frozen=True, slots=True)
class ErrataView:
    """What stands on the errata page; ``handout_right``: nothing open is told to be wrong in the handout."""

    title: str
    edition: str
    rows: tuple[ErratumRow, ...]
    times: str
    handout_right: bool


def errata_view(plan: Plan) -> ErrataView:
    """Lay out the errata page: places as viewers see them, the newest first, of one day in the order of the story."""
    rows = []
    for row, erratum, place in _placed(plan, errata_rows(plan.worked)):
        told = correction(plan, place, erratum)
        by = "" if row.by == PROOFING else row.by
        row = replace(row, where=told.place, right=told.right, by=by, stands=_for_viewers(plan, erratum, place))
        rows.append((-erratum.found.toordinal(), place, row))
    rows.sort(key=lambda one: one[:2])
    file = plan.course.course
    wrong = any(
        one.state != "mended" and (one.remedy == "new handout" or "handout" in one.where.casefold())
        for one in plan.course.errata.errata
    )
    return ErrataView(file.title, numbered(plan), tuple(row for *_, row in rows), times_words(plan), not wrong)


_UNTIL = {
    "text over the picture": ", until a text over the picture puts it right",
    "pick-up shot": ", until another picture takes its place",
    "pinned note": "; the pinned note is to tell of it",
    "new handout": "; a new handout is to have it right",
}
"""What viewers may expect of a remedy that is planned or not even that."""


def _for_viewers(plan: Plan, erratum: Erratum, place: Place) -> str:
    """Word how it stands with an erratum for those who meet it, without the words of those who mend it."""
    if erratum.state == "mended" or not still_met(plan, erratum, place):
        return _stands(plan, erratum, place)
    has = "not mended yet" if place.text else "the video still has it"
    return has + _UNTIL.get(erratum.remedy, "")


def _placed(plan: Plan, rows: Iterable[ErratumRow]) -> Iterator[tuple[ErratumRow, Erratum, Place]]:
    """Give rows, each with its erratum, and where viewers meet that."""
    log, places = plan.course.errata.errata, shot_places(plan)
    yield from ((row, log[row.number - 1], place_of(plan, places, log[row.number - 1])) for row in rows)


def _stands(plan: Plan, erratum: Erratum, place: Place) -> str:
    """Word how it stands with an erratum, in the video too."""
    if is_cut_out(plan, erratum):
        return "cut out of the video"
    beside = erratum.state == "mended" and still_met(plan, erratum, place)
    return f"in the {erratum.remedy}; the video still has it" if beside else erratum.state


def by_state_and_place(row: ErratumRow) -> tuple[int, list[int]]:
    """What the log is sorted by for those who work on it."""
    return ("open", "planned", "mended").index(row.state), [int(digits) for digits in re.findall(r"\d+", row.where)]


def rows_for_episode(plan: Plan, episode: int) -> tuple[ErratumRow, ...]:
    """Give the errata of one episode for its editor, as they are laid over the picture.

    They are those that are not mended, those that are laid over the picture (a new cut needs these again), and those of
    which viewers are told beside the video, which still has them.
    """
    rows = errata_rows(plan.worked, lambda text: sized(plan.worked, text).every)
    here = _placed(plan, (row for row in rows if is_in(plan, row.where, episode)))
    return tuple(
        replace(row, stands=_stands(plan, one, at))
        for row, one, at in here
        if row.state != "mended" or is_laid(row.remedy, row.state) or still_met(plan, one, at)
    )


def rows_still_met(plan: Plan) -> tuple[ErratumRow, ...]:
    """Give the errata that viewers still meet, the newest first: those told beside a video stand in it still."""
    every = _placed(plan, errata_rows(plan.worked))
    return tuple(replace(row, stands=_stands(plan, one, at)) for row, one, at in every if still_met(plan, one, at))


def is_in(plan: Plan, where: str, episode: int) -> bool:
    """Whether a place lies in an episode: by the shots that it names, else by the episode or segment."""
    shots = [one.number for one in named_shots(plan.course, where) if one.number]
    pattern = re.compile(rf"\bepisode\s+{episode}\b|(?<![\d.]){episode}\.\d", re.IGNORECASE)
    return any(one.episode == episode for one in shots) if shots else pattern.search(where) is not None


def errata_rows(worked: Worked, filled: Callable[[str], str] | None = None) -> tuple[ErratumRow, ...]:
    """Word the whole log, newest first, with the facts of all sizes unless another wording is given."""
    filled = filled or (lambda text: fill(text, for_all_sizes(worked.facts)))
    numbered = enumerate(worked.course.errata.errata, start=1)
    newest = sorted(numbered, key=lambda one: one[1].found, reverse=True)
    return tuple(
        ErratumRow(
            number=number,
            found=day_text(e.found),
            where=in_todays_numbers(worked.course, e.where),
            said=e.said,
            right=filled(e.right),
            kind=e.kind,
            remedy=e.remedy,
            state=e.state,
            by=e.by,
            role=e.role,
            mended=f"edition {e.mended_in}" if e.mended_in else "",
            stands=e.state,
        )
        for number, e in newest
    )
