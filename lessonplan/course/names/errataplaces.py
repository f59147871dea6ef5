"""Where an erratum stands once videos are out: the episode and the time that it names, by the numbers of its day.

A number means the episode that had it in the edition that was out when the mistake was found, as a shot's number
means the shot that had it when agreed. Whoever means another numbering says so: “episode 3 of edition 2 at 1:20”.
"""

from __future__ import annotations

import re

from lessonplan.course.model.agreed import Agreed
from lessonplan.course.model.publishing import Erratum, Published
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, warning

PLACES = frozenset({"unknown-episode", "unknown-shot", "lost-slate", "two-shots", "past-the-end", "renumbered"})
"""Codes of errata whose place is none, or not surely the one that was meant."""
_EPISODE = re.compile(
    r"\b(?P<word>episode\s+)(?P<episode>\d{1,4})\b(?!\.\d)(?P<of>\s+of\s+edition\s+(?P<edition>\d{1,4})\b)?",
    re.IGNORECASE,
)
_SHOT = re.compile(r"(?<![\d.])(?P<episode>\d{1,4})(?P<rest>\.\d{1,4}(?:\.\d{1,4})?)(?![\d.])")
_TIMED = re.compile(
    r"\bepisode\s+(?P<episode>\d{1,4}),?(?:\s+segment\s+[\d.]+,?)?\s+at\s+"
    r"(?:(?P<hours>\d{1,2}):)?(?P<minutes>\d{1,3}):(?P<seconds>[0-5]\d)\b",
    re.IGNORECASE,
)
"""A time in an episode: “episode 2 at 8:25”, or as proofing says it, “episode 2, segment 2.1, at 0:02:21”."""


def timed(where: str) -> tuple[int, int] | None:
    """Give the episode and the second in it that a place names; None where it names no time."""
    found = _TIMED.search(where)
    if found is None:
        return None
    hours, minutes, seconds = (int(part or 0) for part in found.group("hours", "minutes", "seconds"))
    return int(found["episode"]), 3600 * hours + 60 * minutes + seconds


def in_todays_episodes(course: Course) -> tuple[Course, tuple[Problem, ...]]:
    """Give a course whose errata name episodes by today's numbers, and what is to be said of those that do not."""
    problems, errata = list[Problem](), list[Erratum]()
    for one in course.errata.errata:
        where, told = _today(course, one)
        errata.append(one if where == one.where else one.model_copy(update={"where": where}))
        problems += told
    log = course.errata.model_copy(update={"errata": tuple(errata)})
    return course.model_copy(update={"errata": log}), tuple(dict.fromkeys(problems))


def _today(course: Course, one: Erratum) -> tuple[str, list[Problem]]:
    """Word the place of an erratum with today's numbers; an episode that is gone is named by its title."""
    told = list[Problem]()
    agreed = {shot.shot for shot in (course.agreed or Agreed()).shots}

    def episode(found: re.Match[str]) -> str:
        """An episode by the number that it has today, or by its former title."""
        number = int(found["episode"])
        record = _record(course, one, int(found["edition"] or 0))
        new = _number(course, one, number, record, told)
        return f"the former “{record.titles[str(number)]}”" if new is None and record else f"{found['word']}{new}"

    def shot(found: re.Match[str]) -> str:
        """A shot with the number that its episode has today, or in its former title."""
        number = int(found["episode"])
        record = None if found[0] in agreed else _record(course, one, 0)
        new = _number(course, one, number, record, told) if record else number
        return f"in “{record.titles[str(number)]}”" if new is None and record else f"{new}{found['rest']}"

    return _SHOT.sub(shot, _EPISODE.sub(episode, one.where)), told


def _record(course: Course, one: Erratum, edition: int) -> Published | None:
    """Give the record by whose numbers an erratum names episodes: of the edition, or of the last one when found."""
    fit = [
        record for record in course.published if record.edition == edition or (not edition and record.on <= one.found)
    ]
    return fit[-1] if fit else None


def _number(course: Course, one: Erratum, number: int, record: Published | None, told: list[Problem]) -> int | None:
    """Give today's number of an episode; None where it is gone and another one may have its number."""
    titles = record.titles if record else {}
    now, then = {episode.title: episode.episode for episode in course.episodes}, titles.get(str(number), "")
    here = next((title for title, other in now.items() if other == number), "")
    where = one.mark("where")
    if record is None or not then:
        if not here:
            told.append(warning(where, "unknown-episode", f"There is no episode {number}."))
        return number
    if here == then or (here and then not in now and here not in titles.values()):  # the same, or called otherwise now
        return number
    if then not in now:
        what = f"Episode {number} of edition {record.edition}, “{then}”, is not among the episodes any more."
        told.append(warning(where, "unknown-episode", what))
        return None
    new, edition = now[then], max(course.course.edition, record.edition + 1)
    what = (
        f"Episode {number} of edition {record.edition}, “{then}”, is episode {new} now: this is taken to stand there."
    )
    hint = (
        f"Write “episode {new} of edition {edition}”, or “episode {number} of edition {edition}” if that one is meant."
    )
    told.append(warning(where, "renumbered", what, hint))
    return new
