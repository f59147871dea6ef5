"""From which files a course is begun: read, taken in, and made one with the answers of the interview."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from lessonplan.beginning.folder import From, begin, check_free, settle, tried
from lessonplan.beginning.questions import MOST_EPISODES, AnswerError, Answers, answers_of, gauge_of
from lessonplan.beginning.told.script import NoScriptError, read_script
from lessonplan.beginning.told.talk import NoTalkError, draft
from lessonplan.beginning.written.file import write
from lessonplan.beginning.written.given import Episode, Given, Shown, Taken, read_given
from lessonplan.beginning.written.pattern import NoPatternError, Pattern, read_pattern
from lessonplan.course.files import UnfitError, read_plain
from lessonplan.course.problems import Where, error, has_errors
from lessonplan.edit.captions.reading import MAX_BYTES, read_captions

Texts = Mapping[str, str]
Ask = Callable[[Texts], Texts]
"""Asks what is not answered yet, and gives all answers."""


@dataclass(frozen=True, slots=True)
class Sources:
    """The files that were named."""

    pattern: Path | None = None
    script: Path | None = None
    captions: Path | None = None

    def __bool__(self) -> bool:
        return any((self.pattern, self.script, self.captions))


@dataclass(frozen=True, slots=True)
class Begun:
    """What was written, when it is filmed, what each line of each file was taken for, and remarks on the files."""

    files: tuple[Path, ...]
    days: tuple[date, ...]
    taken: Mapping[str, tuple[Taken, ...]]
    remarks: tuple[str, ...] = ()


def begin_from(folder: Path, texts: Texts, today: date, sources: Sources, ask: Ask) -> Begun:
    """Begin a course from files and answers.

    Raises ``FileExistsError``, `AnswerError`, ``OSError`` for a file that cannot be read and `UnfitError` for one that
    is none of its kind.
    """
    check_free(folder)
    given = {name: read_given(path) for name in ("pattern", "script") if (path := getattr(sources, name))}
    pattern = _pattern(given["pattern"], texts) if "pattern" in given else None
    known = "gauge" in texts or (pattern is not None and not pattern.gauge.guessed)
    if pattern is not None:
        texts = {name: text for name, text in texts.items() if name not in ("craft", "made")}  # it tells its own
    told = {"episodes": str(MOST_EPISODES)} if sources.script or sources.captions else {}  # as many as they have
    texts = ask({**_told(pattern), **texts, **told})
    if pattern is not None and not known and "gauge" in texts:
        pattern = _pattern(given["pattern"], texts)
    answers = answers_of(texts, today)
    if pattern is not None:
        pattern.spoken = given["script"].text if "script" in given else ""
        answers = replace(answers, title=texts.get("title") or pattern.title)
        settle(pattern, answers)
    taken: dict[str, tuple[Taken, ...]] = {}
    if pattern is not None:
        taken[given["pattern"].file] = write(pattern).taken
    episodes = _episodes(given.get("script"), sources.captions, pattern, answers, taken)
    if episodes:
        answers = _with_episodes(answers, len(episodes))
    written, days = begin(folder, answers, From(pattern, episodes))
    return Begun(written, days, taken, tuple(one.remark for one in given.values() if one.remark))


def _pattern(given: Given, texts: Texts) -> Pattern:
    gauge = gauge_of(texts["gauge"]) if texts.get("gauge") else None
    try:
        return read_pattern(given, gauge, texts.get("title", ""))
    except NoPatternError as bad:
        raise UnfitError(error(Where(given.file), "no-pattern", str(bad))) from None


def _told(pattern: Pattern | None) -> dict[str, str]:
    """What needs not be asked, since a written pattern tells it (or has no use for the answer)."""
    if pattern is None:
        return {}
    told = {"made": "hat", "title": pattern.title, "sizes": "adult", "needle": "4 mm", "colours": "any"}
    gauge = pattern.gauge
    return told if gauge.guessed else {**told, "gauge": f"{gauge.stitches} x {gauge.rounds} to {gauge.over}"}


def _episodes(
    script: Given | None,
    captions: Path | None,
    pattern: Pattern | None,
    answers: Answers,
    taken: dict[str, tuple[Taken, ...]],
) -> tuple[Episode, ...]:
    """The episodes of a script and of captions, one after another; ``taken`` is added to."""
    episodes: list[Episode] = []
    if script is not None:
        try:
            found = read_script(script, pattern.shown() if pattern else _stages(answers))
        except NoScriptError as bad:
            raise UnfitError(error(Where(script.file), "no-script", str(bad))) from None
        episodes += found.episodes
        taken[script.file] = found.taken
    if captions is not None:
        read = read_captions(read_plain(captions, Where(captions.name), MAX_BYTES), captions.name)
        if has_errors(read.problems):
            raise UnfitError(next(one for one in read.problems if one.severity == "error"))
        try:
            drafted = draft(read, f"{captions.stem}, a draft", len(episodes) + 1)
        except NoTalkError as bad:
            raise UnfitError(error(Where(captions.name), "no-talk", str(bad))) from None
        episodes += drafted.episodes
        taken[captions.name] = drafted.taken
    return tuple(episodes)


def _stages(answers: Answers) -> list[Shown]:
    """The stages of a thing that is made by a standard construction."""
    course = tried(answers).worked
    if course is None:
        return []
    rounds = {key: len(course.kinds["full"].stage(key, course.size).rounds) for key in course.course.pattern.stages}
    return [
        Shown(key, stage.title, f"before {key}" if stage.after else key, rounds=rounds[key])
        for key, stage in course.course.pattern.stages.items()
    ]


def _with_episodes(answers: Answers, count: int) -> Answers:
    """The answers for as many episodes as a script has, filmed on as many days as were asked for."""
    if answers.shoot_days > count:
        raise AnswerError("shoot", f"There are more days of filming ({answers.shoot_days}) than episodes ({count}).")
    return replace(answers, episodes=count)
