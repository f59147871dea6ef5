"""The pace from captions: simulated hosts of known pace are learnt within the interval that is stated."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

import pytest

from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.captions.rolling import Said, Word
from lessonplan.edit.pace import FEWEST_WORDS, Heard, _parts, _stretches, hear
from lessonplan.shoot.takes.learnt import Estimate
from tests.edit.speaking import FORMS, Host, as_rolling, as_subrip, as_transcript, as_webvtt, video


def heard(host: Host, form: str, seed: int, videos: int = 1, minutes: float = 20) -> Heard:
    chance = random.Random(seed)
    texts = [FORMS[form](video(host, minutes, chance)) for _ in range(videos)]
    return hear([read_captions(text.encode(), f"{place}.txt") for place, text in enumerate(texts)], 135)


def found(result: Heard, name: str) -> Estimate:
    return next(one for one in result.learnt if one.name == name)


@cache
def over_all_in_the_long_run(talk: float, over_work: float) -> float:
    """Words by time of thirty hours of such a host, for a pace of 1 with hands at rest."""
    phrases = video(Host(150, talk, over_work, days=0), 1800, random.Random(0))
    return sum(len(words) for _, _, words in phrases) / phrases[-1][1] * 60 / 150


HOSTS = [(talk, over_work) for talk in (0.3, 0.5, 0.8) for over_work in (0.2, 0.35)]


@pytest.mark.parametrize("form", ["WebVTT", "transcript"])
def test_true_paces_lie_within_the_stated_intervals(form: str) -> None:
    """60 hosts of 105 to 185 words a minute, one video of 20 min each: nine in ten at least, by narrow intervals."""
    inside = over = 0
    widths, off = [], []
    for seed in range(60):
        talk, over_work = HOSTS[seed % len(HOSTS)]
        host = Host(random.Random(seed).uniform(105, 185), talk, over_work)
        result = heard(host, form, seed)
        rest, whole = found(result, "speech"), found(result, "over_all")
        inside += rest.low <= host.rest <= rest.high
        over += whole.low <= host.rest * over_all_in_the_long_run(talk, over_work) <= whole.high
        widths.append(rest.high / rest.low)
        off.append(rest.value / host.rest)
    assert inside >= 54
    assert over >= 54
    assert sum(widths) / 60 < (1.26 if form == "WebVTT" else 1.4)
    assert (0.98 if form == "WebVTT" else 0.94) < sum(off) / 60 < 1.02


def test_a_host_who_talks_over_her_work_is_told_less_surely_and_not_too_quick() -> None:
    """At 60 % of her pace over work, hardly at rest, captions tell little: the interval is wide, the value too low."""
    for seed in range(12):
        clear = found(heard(Host(150, 0.5, 0.2), "WebVTT", seed), "speech")
        unclear = found(heard(Host(150, 0.3, 0.6), "WebVTT", seed), "speech")
        assert unclear.high / unclear.low > clear.high / clear.low
        assert 0.75 < unclear.value / 150 < 1.05


def test_three_videos_are_surer_than_one() -> None:
    for seed in range(10):
        one, three = (found(heard(Host(150), "SubRip", seed, videos), "speech") for videos in (1, 3))
        assert three.high / three.low < one.high / one.low
        assert three.n > one.n


def test_rolling_captions_and_captions_that_stand_longer_tell_the_same() -> None:
    """The same video; times of automatic captions are rounded to the frame, which no pace may hang on."""
    for seed in range(5):
        phrases = video(Host(150), 20, random.Random(seed))
        careful, standing, rolling = (
            hear([read_captions(form(phrases).encode(), "a")], 135).learnt
            for form in (as_webvtt, as_subrip, as_rolling)
        )
        assert careful[0] == standing[0] == rolling[0]
        for one in (standing[1], rolling[1]):
            assert one.value == pytest.approx(careful[1].value, rel=0.001)
            assert one.low == pytest.approx(careful[1].low, rel=0.02)  # words in the last cue of a part lie elsewhere


def test_a_pace_that_never_changes_is_found_exactly() -> None:
    """Ten words in four seconds, for ten minutes: 150 a minute; then nothing but five words every ten seconds."""
    talk = "".join(
        f"{4 * n // 60}:{4 * n % 60:02} one two three four five six seven eight nine number{n}\n" for n in range(150)
    )
    work = "".join(f"{(600 + 10 * n) // 60}:{10 * n % 60:02} one two three four number{n}\n" for n in range(60))
    result = hear([read_captions((talk + work).encode(), "a.txt")], 90)
    rest, whole = found(result, "speech"), found(result, "over_all")
    assert (rest.value, rest.default, rest.n) == (150, 90, 30)
    last = 5 * 1190 / 1795  # the last five words are taken to be as quick as all before
    assert whole.value == pytest.approx(60 * 1800 / (1190 + last), rel=1e-3)
    assert whole.n == 7


def said_every(begin: float, count: int, seconds: float) -> str:
    """Ten words, each time others, every so many seconds."""
    spoken = (begin + place * seconds for place in range(count))
    return "".join(
        f"[{at // 60:.0f}:{at % 60:06.3f}] {' '.join(f'{at:.0f}w{word}' for word in range(10))}\n" for at in spoken
    )


def learnt_of(text: str) -> tuple[Estimate, ...]:
    return hear([read_captions(text.encode(), "a.txt")], 135).learnt


TALK = said_every(0, 150, 4)


def test_pauses_that_may_be_work_or_not_are_left_open() -> None:
    """Ten minutes at 150, then 26 at 115: a pause of 1.2 s is work by the strict idea and speech by the other."""
    alone, (open_, _) = learnt_of(TALK)[0], learnt_of(TALK + said_every(600, 300, 5.2))
    assert open_.high == pytest.approx(alone.high, rel=0.01), "perhaps 150 is the pace, and the rest is work"
    assert open_.low < 60 * 10 / 5.2, "perhaps all of it is speech"
    assert 115 < open_.value**2 / 150 < 130, "midway"
    assert (open_.n, open_.sure) == (30, "many")


def test_slower_stretches_do_not_pull_the_pace_down() -> None:
    """At 102 words a minute no pause is long enough for the lenient idea; but such stretches are not her pace."""
    for count in (60, 120, 300):
        assert learnt_of(TALK + said_every(600, count, 5.9))[0].value == 150


def test_a_video_of_unlike_parts_tells_the_pace_over_all_less_surely() -> None:
    even, uneven = (learnt_of(text)[1] for text in (said_every(0, 240, 5), TALK + said_every(600, 90, 60 / 9)))
    assert (even.n, uneven.n) == (7, 7)
    assert even.value == pytest.approx(120, rel=0.01)
    assert uneven.value == pytest.approx(120, rel=0.01)
    assert uneven.high / uneven.low > 1.05 * even.high / even.low


def test_the_planned_pace_weighs_nothing() -> None:
    captions = [read_captions(as_webvtt(video(Host(170), 12, random.Random(3))).encode(), "a")]
    (slow, _), (quick, _) = hear(captions, 60).learnt, hear(captions, 240).learnt
    assert (slow.value, slow.low, slow.high) == (quick.value, quick.low, quick.high)


def codes(result: Heard) -> list[str]:
    return [problem.code for problem in result.problems]


def test_the_same_captions_in_two_forms_count_once() -> None:
    phrases = video(Host(150), 12, random.Random(1))
    first, second = (read_captions(form(phrases).encode(), name) for form, name in ((as_webvtt, "a"), (as_subrip, "b")))
    alone, twice = hear([first], 135), hear([first, second], 135)
    assert (twice.learnt, twice.videos) == (alone.learnt, alone.videos)
    assert codes(twice) == ["same-captions"]
    assert "a" in twice.problems[0].message


def test_what_tells_no_pace() -> None:
    few = " ".join(["word"] * (FEWEST_WORDS - 1))
    assert codes(hear([read_captions(f"0:00 {few}\n".encode(), "a")], 135)) == ["few-words"]
    chapters = "".join(f"{5 * n}:00 Part {n}, how it goes on and on\n" for n in range(20))
    result = hear([read_captions(chapters.encode(), "a")], 135)
    assert result.learnt == ()
    assert codes(result)[-1] == "pace"
    silent = as_transcript(video(Host(150, 0.02, 0.15), 40, random.Random(2)), 40)
    result = hear([read_captions(silent.encode(), "a")], 135)
    assert [one.name for one in result.learnt] == ["over_all"]
    assert codes(result) == ["no-speech"]


def test_several_voices_and_long_silences_are_told() -> None:
    talk = "".join(
        f"00:{n:02}:00.000 --> 00:{n:02}:30.000\n<v {'Ada' if n % 2 else 'Bo'}>{'word ' * 60}{n}\n\n" for n in range(8)
    )
    later = f"01:00:00.000 --> 01:00:30.000\n{'word ' * 60}\n"
    result = hear([read_captions(f"WEBVTT\n\n{talk}{later}".encode(), "a")], 135)
    assert codes(result) == ["voices", "silence", "no-speech"]
    assert result.videos[0].minutes == pytest.approx(7.5 + 0.5)


def cues(*starts: int, words: int = 10, lasts: int = 1000) -> list[Said]:
    """What is said from these milliseconds on, so many words in each, one every tenth of a second."""
    return [
        Said(at, at + lasts, tuple(Word(f"w{place}", at + 100.0 * place) for place in range(words))) for at in starts
    ]


@pytest.mark.parametrize(
    ("starts", "rates"),
    [
        # Ten words take 4 s at 150 a minute, so a pause is what is over 1.25 times that and a second: 6 s.
        (range(0, 20_000, 4000), []),
        (range(0, 24_000, 4000), [150]),
        (range(0, 44_000, 4000), [150, 150]),
        ([0, 6000, 12_000, 18_000, 24_000], [60 * 40 / 24]),
        # The fourth is said before a pause and belongs to none: of the three before it 12 s are told, enough.
        ([0, 4000, 8000, 12_000, 18_001], [150]),
        ([0, 5000, 10_000, 16_001], [60 * 20 / 10]),
        ([0, 5000, 9999, 16_000], []),
        # Behind a pause all begins anew.
        ([0, 5000, 10_000, 16_001, *range(20_001, 40_000, 4000)], [120, 60 * 50 / 20]),
        ([0, 10_000, 20_000], []),
        ([], []),
    ],
)
def test_stretches_are_of_steady_speech_alone(starts: Sequence[int], rates: list[float]) -> None:
    assert [*_stretches(cues(*starts), 150.0, 1.25, 1000.0)] == pytest.approx(rates)


def test_a_video_is_parted_into_three_minutes_each_without_its_breaks() -> None:
    """The words of a cue begin within a second of it."""
    # 400 s are two parts of 200 s; what begins at the very end belongs to the last.
    assert [*_parts(cues(0, 199_000, 199_500, 399_000))] == [(10 + 10 + 5, 200 / 60), (5 + 10, 200 / 60)]
    # 100 s are one part, and 270 s are two (1.5, rounded to even).
    assert [*_parts(cues(0, 99_000))] == [(20, 100 / 60)]
    assert [*_parts(cues(0, 269_000))] == [(10, 135 / 60), (10, 135 / 60)]
    # Five minutes of silence behind the last end belong to the video, and a moment more does not.
    assert sum(minutes for _, minutes in _parts(cues(0, 301_000))) == pytest.approx(302 / 60)
    assert [*_parts(cues(0, 301_001))] == [(10, 1 / 60)] * 2
    assert [*_parts(cues(0, lasts=0))] == [], "no time at all"


@pytest.mark.parametrize(("gap", "said"), [(300, ""), (361, "6"), (720, "12")])
def test_a_long_silence_is_told_with_its_minutes(gap: int, said: str) -> None:
    """Two minutes of talk, then silence, then two more."""
    text = said_every(0, 30, 4) + said_every(120 + gap, 30, 4)
    problems = hear([read_captions(as_vtt(text).encode(), "a")], 135).problems
    told = [(one.severity, one.message) for one in problems if one.code == "silence"]
    what = f"There are no words for {said} min from 2 min on; that is not counted."
    assert told == ([("note", what)] if said else [])


def as_vtt(text: str) -> str:
    """Lines with a time each as captions of four seconds."""
    found = ["WEBVTT"]
    for line in text.splitlines():
        minutes, seconds = line[1:].partition("]")[0].split(":")
        at = 60 * int(minutes) + float(seconds)
        ends = (f"{int(one // 60):02}:{one % 60:06.3f}" for one in (at, at + 4))
        found.append(f"{' --> '.join(ends)}\n{line.partition('] ')[2]}")
    return "\n\n".join(found) + "\n"
