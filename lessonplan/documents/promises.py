"""What the episodes promise their viewers, and what of it is still open: a page, and the same as data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from lessonplan.course.model.episodes import Episode
from lessonplan.course.values.shotnumbers import ShotNumber
from lessonplan.course.words import capital, clock_of, day_text
from lessonplan.edit.captions.reading import Captions
from lessonplan.edit.kept import captions_of
from lessonplan.edit.promises import Promise, promises_of, unmatched
from lessonplan.edit.spoken import as_written, plain
from lessonplan.edit.video import for_viewers
from lessonplan.pattern.texts import fill, for_all_sizes
from lessonplan.planning.worked import Plan, Worked
from lessonplan.publish.homework import homework

SOURCES = {"must say": "must be said", "mentions": "planned", "shown": "text over the picture", "said": "said"}
"""How it came to be promised."""


@dataclass(frozen=True, slots=True)
class PromiseRow:
    """A promise on paper: its words, where from, when heard, where due, and how it is kept, or what is missing.

    A spoken one that points back has the words before it in ``source``.
    """

    words: str
    source: str
    when: str
    due: str
    kept: str
    lacks: str


@dataclass(frozen=True, slots=True)
class EpisodePromises:
    """The promises of one episode; ``heard``: there are captions of it; ``open`` is how many are."""

    number: int
    title: str
    heard: bool
    rows: tuple[PromiseRow, ...]
    open: int
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PromisesView:
    """What stands on the page of promises: those of each episode that has any."""

    title: str
    episodes: tuple[EpisodePromises, ...]
    open: int


def promises_view(plan: Plan) -> PromisesView:
    """Lay out the promises of all episodes."""
    found = (_of_episode(plan, one) for one in plan.course.episodes)
    episodes = tuple(one for one in found if one.rows or one.remarks)
    return PromisesView(plan.course.course.title, episodes, sum(one.open for one in episodes))


def _of_episode(plan: Plan, episode: Episode) -> EpisodePromises:
    captions = captions_of(plan, episode.episode)

    def at(second: float) -> str:
        """A second of the captions as a time of the video that viewers have."""
        return clock_of(for_viewers(plan, episode.episode, second))

    found = promises_of(plan.worked, episode, captions)
    return EpisodePromises(
        number=episode.episode,
        title=episode.title,
        heard=captions is not None,
        rows=tuple(map(partial(_row, at, heard=captions is not None), found)),
        open=sum(one.open for one in found),
        remarks=tuple(one.message for one in unmatched(plan.worked, episode, captions)),
    )


def _row(at: Callable[[float], str], one: Promise, *, heard: bool) -> PromiseRow:
    when = at(one.at) if one.at is not None else ""
    if one.source == "must say" and heard and one.at is None:
        when = "not heard"
    source = f"{SOURCES[one.source]}, {one.number}" if one.number else SOURCES[one.source]
    source += f", after “{as_written(one.before)}”" if one.before else ""
    noted = f", noted “{one.noted}”" if one.noted else ""
    lacks = f"open{noted}; missing is {one.proof}"
    if one.due == "captions" and not noted:
        lacks = "open: not heard, and no time is noted" if heard else "open until there are captions"
    words = f"“{as_written(one.words)}”" if one.source == "said" else one.words
    return PromiseRow(words, source=source, when=when, due=one.due, kept=one.kept, lacks=lacks)


THREE_WAYS = "the page of promises has three ways to close it"
"""Where it stands what becomes of a line that must be said and is not heard: one answer on every paper."""


def must_be_heard(plan: Plan, episode: Episode) -> Mapping[ShotNumber, tuple[tuple[str, bool], ...]]:
    """Word the lines that must be said, by shot, each with what is known of it and whether it is still missing."""
    captions, found = captions_of(plan, episode.episode), dict[ShotNumber, tuple[tuple[str, bool], ...]]()
    for one in promises_of(plan.worked, episode, captions):
        if one.source == "must say" and one.number:
            at = "" if one.at is None else f" at {clock_of(for_viewers(plan, episode.episode, one.at))}"
            known = f": heard{at}" if at else f": kept, {one.kept}" if one.kept else f": not heard; {THREE_WAYS}"
            text = f"“{one.words}”{known if captions or one.kept else ''}"
            found[one.number] = (*found.get(one.number, ()), (text, one.open and captions is not None))
    return found


def missed_line(plan: Plan, episode: Episode, segment: str, number: str) -> str:
    """Say of a number that was never said in a segment which line must have it, and what closes that; else nothing."""
    for one in promises_of(plan.worked, episode, captions_of(plan, episode.episode)):
        here = one.source == "must say" and one.at is None and one.number and one.number.segment == segment
        if here and number in one.words.split():
            return f"“{one.words}” must be heard: {f'kept, {one.kept}; dismiss this' if one.kept else THREE_WAYS}"
    return ""


def open_promises(plan: Plan, episode: Episode) -> tuple[PromiseRow, ...]:
    """Give the promises of an episode that are still open, but for those that its end card tells of by itself."""
    return tuple(one for one in _of_episode(plan, episode).rows if not one.kept and one.due != "end card")


def end_card(plan: Plan, episode: Episode) -> tuple[str, ...]:
    """Say what goes on the end card of an episode: what is referred to there, with its address or what is missing."""
    told = list[str]()
    for one in promises_of(plan.worked, episode, captions_of(plan, episode.episode)):
        if "end card" in one.due:
            what = capital(one.words) + _next(plan, episode) * (one.words == "next episode")
            noted = f"noted “{one.noted}”, " if one.noted else ""
            told.append(f"{what}, for {one.number} refers to it: {one.kept or f'{noted}its address is missing'}")
    return tuple(told)


def _next(plan: Plan, episode: Episode) -> str:
    """Name the episode after another one, with the day on which it is out."""
    following = [one for one in homework(plan) if one.episode > episode.episode]
    if not following:
        return ""
    one = following[0]
    title = plain(fill(one.title, for_all_sizes(plan.worked.facts)))
    return f" ({one.episode}, “{title}”{f', out on {day_text(one.released)}' if one.released else ''})"


def promises_data(worked: Worked, captions: Mapping[int, Captions]) -> list[dict[str, Any]]:
    """Give the promises of all episodes as data for programs; ``captions`` by episode, as far as there are any."""
    return [
        {
            "episode": episode.episode,
            "source": one.source,
            "due": one.due,
            "words": one.words,
            "shot": one.number,
            "seconds": None if one.at is None else round(one.at, 1),
            "kept": one.kept or None,
            "noted": one.noted or None,
        }
        for episode in worked.course.episodes
        for one in promises_of(worked, episode, captions.get(episode.episode))
    ]
