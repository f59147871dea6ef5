"""The host's words a minute, learnt from captions of any earlier video: with the hands at rest, and over all.

Captions do not say when the hands work. But then a host falls silent again and again, and with the hands at rest she
hardly does. So the captions are cut where more time passes to the next cue than its words take and a pause, and what is
left is parted into stretches of steady speech of some 20 s. Only beginnings of cues are used: their ends are often
stretched. Most stretches are as quick as her pace, give or take; those in which she pauses over her work are slower by
any amount. So their logarithms are taken as a mixture of a normal distribution and of noise that is spread evenly over
all rates (Banfield & Raftery, Biometrics 49, 1993; the fit is the EM algorithm of Dempster, Laird & Rubin, JRSS B 39,
1977, both from memory, begun at the rate that one in ten is above). Those that more likely than not belong to the first
are observations of her pace, which is estimated from them as it is from takes (`shoot.takes.learnt`), the default
weighing nothing.

How long a pause is before it shows work cannot be known, and a host who goes on talking over her work makes much of
this. So all is done twice, with a `LENIENT` and a `STRICT` idea of a pause: the value lies midway, and the interval
reaches from the one's low end to the other's high end. What a host varies by from day to day (`DAY`) widens it.

Simulated (`tests/edit/speaking.py`), a host who talks over her work at 60 % of her pace, and rests her hands a quarter
of the time, is told 10 % too slow (13 % from a transcript), in an interval 40 to 50 % wide.

The pace over all is words by time, from the first cue to the last; its interval comes from how parts of three minutes
differ (the ratio estimator, linearised; Cochran, Sampling Techniques, 3rd ed., chapter 6).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from lessonplan.course.files import locked
from lessonplan.course.model.together import Course
from lessonplan.course.problems import Problem, Where, error, has_errors, note, warning
from lessonplan.course.read import load
from lessonplan.edit.captions.reading import Captions, read_file
from lessonplan.edit.captions.rolling import Said, said_once
from lessonplan.planning.filmed import sealed
from lessonplan.shoot.takes.learnt import PRIOR_FREEDOM, SPOKEN, Estimate, Learnt, posterior, sureness, t_95

LENIENT, STRICT = (1.25, 1000.0), (1.1, 600.0)
"""A pause shows work where the time to the next cue is over so many times what its words take, and ms: guesses."""
STRETCH, SHORTEST = 20_000, 10_000
"""Milliseconds of a stretch, and of one at the end of steady speech that still counts: two or three sentences."""
SPREAD, SPREAD_WORTH = 0.1, 30
"""The usual standard deviation of the logarithm of a stretch's rate, worth so many stretches: a guess."""
DAY = 0.05
"""The same of a host's pace from one day to another: a guess."""
PART = 180_000
"""Milliseconds of a part of a video for the pace over all: talk and work change about so often."""
BREAK = 300_000
"""Milliseconds without a word that are no part of a video: nobody is silent so long on screen."""
FEWEST_WORDS = 100
"""Below so many words nothing is learnt."""
_FASTEST = SPOKEN["speech"].high


@dataclass(frozen=True, slots=True)
class Video:
    """What one file of captions gave: its words, and the minutes from the first word to the end of the last."""

    file: str
    form: str
    words: int
    minutes: float

    @property
    def over_all(self) -> float:
        """Words a minute over all of it."""
        return self.words / self.minutes if self.minutes else 0.0


@dataclass(frozen=True, slots=True)
class Heard:
    """What captions gave together: the videos, the paces learnt (`SPOKEN` or less), and every problem."""

    videos: tuple[Video, ...]
    learnt: tuple[Estimate, ...]
    problems: tuple[Problem, ...]


def hear(several: Sequence[Captions], default: float) -> Heard:
    """Learn the paces of speech from captions of one host; ``default`` is the pace that is planned with so far.

    The same words given again, be it in another form, count once.
    """
    problems = [problem for captions in several for problem in captions.problems]
    known: dict[tuple[str, ...], str] = {}
    videos, said = list[Video](), list[tuple[Said, ...]]()
    for captions in several:
        spoken = said_once(captions.cues)
        words = tuple(word.text.casefold() for one in spoken for word in one.words)
        if not words:
            continue
        if words in known:
            what = f"These are the words of {known[words]} again, so they are counted once."
            problems.append(warning(Where(captions.file), "same-captions", what))
            continue
        known[words] = captions.file
        problems += _unlike_one_host(captions, spoken)
        said.append(spoken)
        videos.append(Video(captions.file, captions.form, len(words), sum(time for _, time in _parts(spoken))))
    if sum(video.words for video in videos) < FEWEST_WORDS or not all(video.minutes for video in videos):
        if videos:
            what = f"So few words tell no pace: {FEWEST_WORDS} are needed at least."
            problems.append(error(Where(videos[0].file), "few-words", what))
        return Heard(tuple(videos), (), tuple(problems))
    rest, over = _at_rest(said, default), _over_all(said)
    learnt = [one for one in (rest, over) if one and SPOKEN[one.name].low < one.value < SPOKEN[one.name].high]
    if rest not in learnt:
        what = "No steady speech is found here, so the pace with hands at rest is not learnt."
        problems.append(warning(Where(videos[0].file), "no-speech", what, "Give captions of a video with more talk."))
    if over not in learnt:
        what = f"{over.value:g} words a minute over all is not believable for captions."
        problems.append(error(Where(videos[0].file), "pace", what))
        learnt = []
    return Heard(tuple(videos), tuple(learnt), tuple(problems))


def _unlike_one_host(captions: Captions, said: Sequence[Said]) -> Iterator[Problem]:
    """Tell of several voices, and of silences that are counted for no part of the video."""
    voices = dict.fromkeys(cue.voice for cue in captions.cues if cue.voice)
    if len(voices) > 1:
        what = f"{len(voices)} voices speak here ({', '.join(voices)}); the words of all are counted."
        yield note(Where(captions.file), "voices", what)
    for before, after in pairwise(said):
        if after.start - before.end > BREAK:
            minutes = (after.start - before.end) / 60_000
            what = (
                f"There are no words for {minutes:.0f} min from {before.end / 60_000:.0f} min on; that is not counted."
            )
            yield note(Where(captions.file), "silence", what)


def _at_rest(videos: Sequence[Sequence[Said]], default: float) -> Estimate | None:
    """Estimate the pace of steady speech; None where there is none (see the module)."""
    found = [one for pause in (LENIENT, STRICT) if (one := _steady(videos, *pause))]
    if not found:
        return None
    n = min(one.n for one in found)
    return _rounded(
        Estimate(
            name="speech",
            default=default,
            value=math.exp(sum(math.log(one.value) for one in found) / len(found)),
            low=min(one.low for one in found),
            high=max(one.high for one in found),
            n=n,
            sure=sureness(n),
        )
    )


def _rounded(one: Estimate) -> Estimate:
    """Round figures as they are printed, the ends kept within what is believable where the value is."""
    bounds = SPOKEN[one.name]
    low, high = max(one.low, min(one.value, bounds.low)), min(one.high, max(one.value, bounds.high))
    default, value, low, high = (float(f"{figure:.4g}") for figure in (one.default, one.value, low, high))
    return replace(one, default=default, value=value, low=low, high=high)


def _steady(videos: Sequence[Sequence[Said]], times: float, pause: float) -> Estimate | None:
    """Estimate the pace for one idea of a pause. Which pauses there are hangs on the pace, so both by turns."""
    first = sorted(one for said in videos for one in _stretches(said, _FASTEST / 2, *LENIENT))
    rate, steady = first[len(first) * 9 // 10] if first else 0.0, list[float]()
    for _ in range(8 if first else 0):
        logs = [math.log(one) for said in videos for one in _stretches(said, rate, times, pause)]
        steady = [x for x, share in zip(logs, _shares(logs), strict=True) if share > 0.5]
        if not steady:
            return None
        before, rate = rate, math.exp(sum(steady) / len(steady))
        if abs(rate - before) < 1e-6 * rate:
            break
    return _estimate("speech", rate, steady, SPREAD, len(videos)) if steady else None


def _estimate(name: str, rate: float, logs: Sequence[float], spread: float, videos: int) -> Estimate:
    """Estimate a pace from logarithms of observations; the day on which a video was made widens the interval."""
    found = posterior(logs, math.log(rate), 0, PRIOR_FREEDOM, spread)
    half = t_95(found.freedom) * math.hypot(found.scale, DAY / math.sqrt(videos))
    low, high = rate * math.exp(-half), rate * math.exp(half)
    return Estimate(name=name, default=rate, value=rate, low=low, high=high, n=len(logs), sure=sureness(len(logs)))


def _stretches(said: Sequence[Said], rate: float, times: float, pause: float) -> Iterator[float]:
    """Give the words a minute of each stretch of steady speech; what is said before a pause belongs to none."""
    start, words = None, 0
    for one, after in pairwise(said):
        start = one.start if start is None else start
        if after.start - one.start > times * 60_000 * len(one.words) / rate + pause:
            if words and one.start - start >= SHORTEST:
                yield 60_000 * words / (one.start - start)
            start, words = None, 0
            continue
        words += len(one.words)
        if after.start - start >= STRETCH:
            yield 60_000 * words / (after.start - start)
            start, words = None, 0


def _shares(logs: Sequence[float]) -> list[float]:
    """Say of each stretch how surely it belongs to the normal part of the mixture (see the module)."""
    if not logs:
        return []
    middle, spread, part = sorted(logs)[int(len(logs) * 0.9)], SPREAD, 0.5
    shares = list[float]()
    for _ in range(200):
        dense = [part * math.exp(-(((x - middle) / spread) ** 2) / 2) / spread / math.sqrt(2 * math.pi) for x in logs]
        noise = [(1 - part) * math.exp(x) / _FASTEST for x in logs]
        shares = [one / (one + other) for one, other in zip(dense, noise, strict=True)]
        n = sum(shares)
        before, middle = middle, sum(share * x for share, x in zip(shares, logs, strict=True)) / n
        squares = sum(share * (x - middle) ** 2 for share, x in zip(shares, logs, strict=True))
        spread = math.sqrt((SPREAD_WORTH * SPREAD**2 + squares) / (SPREAD_WORTH + n))
        part = (n + 1) / (len(logs) + 2)
        if abs(middle - before) < 1e-9:
            break
    return shares


def _over_all(videos: Sequence[Sequence[Said]]) -> Estimate:
    """Estimate words a minute over all of the videos (see the module)."""
    parts = [part for said in videos for part in _parts(said)]
    words, minutes = sum(part[0] for part in parts), sum(part[1] for part in parts)
    rate, each = words / minutes, words / len(parts)
    seen = [math.log(rate) + (one - rate * time) / each for one, time in parts]
    return _rounded(_estimate("over_all", rate, seen, SPOKEN["over_all"].spread, len(videos)))


def _parts(said: Sequence[Said]) -> Iterator[tuple[int, float]]:
    """Part a video into some three minutes each: words, and minutes; long breaks lie in none."""
    for run in _runs(said):
        start, end = run[0].start, max(one.end for one in run)
        if end == start:
            continue
        count = max(1, round((end - start) / PART))
        each = (end - start) / count
        words = [0] * count
        for word in (word for one in run for word in one.words):
            words[min(count - 1, int((word.start - start) / each))] += 1
        yield from ((one, each / 60_000) for one in words)


def _runs(said: Iterable[Said]) -> list[list[Said]]:
    """Part captions where there is a break."""
    runs: list[list[Said]] = []
    for one in said:
        if runs and one.start - runs[-1][-1].end <= BREAK:
            runs[-1].append(one)
        else:
            runs.append([one])
    return runs


@dataclass(frozen=True)
class Listened:
    """What captions gave for a course: what was heard, all that is learnt by now, problems, the file if written."""

    course: Course
    heard: Heard
    learnt: Learnt
    problems: tuple[Problem, ...]
    written: Path | None = None


def listen(folder: Path | str, files: Sequence[Path]) -> tuple[Listened | None, tuple[Problem, ...]]:
    """Learn the host's words a minute from captions of her earlier videos, and write them for the next plan.

    They replace what captions taught before; what takes taught stays. Where a file cannot be read as captions nothing
    is written. None, with the problems, where the folder is no course. Raises ``OSError`` when a file cannot be read or
    written.
    """
    home = Path(folder)
    loaded = load(home)
    if loaded.course is None:
        return None, loaded.problems
    heard = hear([read_file(path) for path in files], loaded.course.course.pace.speech)
    problems, written = list(heard.problems), None
    with locked(home):
        if has_errors(problems):
            problems.append(sealed.not_written())
        else:
            written, refused = sealed.write_learnt(home, lambda before: replace(before, captions=heard.learnt))
            problems += refused
        learnt = sealed.kept_learnt(home)
    return Listened(
        course=loaded.course, heard=heard, learnt=learnt, problems=tuple(problems), written=written
    ), loaded.problems
