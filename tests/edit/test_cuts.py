"""What may go from a cut: every time is worked out by hand from captions written here."""

from __future__ import annotations

import random
from itertools import pairwise
from pathlib import Path

import pytest
import yaml

from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.captions.rolling import said_once
from lessonplan.edit.cuts import Cut, cut_list
from lessonplan.edit.video import once_cut
from tests.edit.speaking import stamp

HERE = Path(__file__).parent


def cuts_of(*lines: tuple[float, float, str], tools: tuple[str, ...] = ()) -> tuple[Cut, ...]:
    blocks = [f"{stamp(start)} --> {stamp(end)}\n{text}\n" for start, end, text in lines]
    return cut_list(said_once(read_captions(("WEBVTT\n\n" + "\n".join(blocks)).encode(), "x.vtt").cues), tools)


SENTENCE = "and now i tell you about the way in which my grandmother held her wool over two fingers of the left hand"
TALK = SENTENCE.split()


def talk(start: float, seconds: float = 9) -> tuple[float, float, str]:
    """A sentence of 22 words, another order of them each time: at 9 s it is said at 147 words a minute."""
    return start, start + seconds, " ".join(random.Random(start).sample(TALK, len(TALK)))


def test_a_stretch_of_silent_work_is_slow_and_says_what_each_speed_saves() -> None:
    [cut] = cuts_of(talk(0), (20, 21, "there"), talk(50, 9))
    assert (cut.kind, round(cut.end)) == ("slow", 50)
    assert cut.start == pytest.approx(9, abs=1)
    length = cut.end - cut.start
    assert cut.speed == 3  # 41 s: as much faster as leaves some 15 s
    assert cut.saved == pytest.approx(length * 2 / 3)
    assert (
        cut.sentence
        == f"1 word in {length:.0f} s; 2 times would save 20 s, 4 times would save 31 s, 8 times would save "
        "36 s."
    )


def test_speech_of_sixty_words_a_minute_is_where_slow_begins() -> None:
    names = [f"stitch{number}" for number in range(60)]
    steady = [(float(second), second + 0.5, names[second]) for second in range(60)]
    assert cuts_of(*steady) == ()
    slower = [(1.2 * number, 1.2 * number + 0.5, names[number]) for number in range(60)]
    [cut] = cuts_of(*slower)
    assert cut.kind == "slow"
    assert cut.end - cut.start > 60


def test_talk_between_two_silences_keeps_its_speed() -> None:
    first, second = cuts_of(talk(0), talk(40), talk(80))
    assert (round(first.end), round(second.end)) == (40, 80)
    assert first.end <= 40 < 48 < second.start


def test_what_is_told_slowly_inside_a_long_silence_keeps_its_speed() -> None:
    # 44 words, one every 1.4 s (43 a minute): 60.2 s from the first to the last, at 130 s and 190.2 s.
    told = [(130 + 1.4 * number, 131.3 + 1.4 * number, f"word{number}") for number in range(44)]
    cuts = cuts_of(talk(0), *told, talk(480))
    assert [(one.kind, round(one.start), round(one.end)) for one in cuts] == [("slow", 9, 130), ("slow", 191, 480)]
    # A few words are sped up with the work around them: eight are no more than what is said beside it.
    (whole,) = cuts_of(talk(0), *told[:8], talk(480))
    assert (round(whole.start), round(whole.end)) == (9, 480)


def test_a_short_silence_is_no_stretch() -> None:
    assert cuts_of(talk(0), talk(24), talk(45)) == ()


def test_a_sentence_said_again_within_fifteen_seconds() -> None:
    said = "the stitch you slip should be the middle one of three"
    [cut] = cuts_of((0, 4, "let me see"), (5, 9, said), (11, 15, f"so {said}"))
    assert (cut.kind, round(cut.start)) == ("said again", 5)
    assert cut.end == pytest.approx(11.3, abs=0.4)
    assert said in cut.sentence
    assert [one for one in cuts_of((5, 9, said), (30, 34, said)) if one.kind == "said again"] == []


def test_what_is_said_but_once_does_not_go_with_a_phrase_that_comes_again() -> None:
    """Six words come again after a clause of twelve that nobody would hear then; after five of an aside they may go."""
    phrase, clause = "at the beginning of the round", "turn it inside out and look at the quiet side for once"
    assert cuts_of((0, 4, f"you change {phrase}"), (4, 9, clause), (9, 13, f"and here {phrase} they climb")) == ()
    [cut] = cuts_of((0, 4, f"you change {phrase}"), (4, 9, "that was the cat"), (9, 13, f"so {phrase} they climb"))
    assert cut.kind == "said again"


def test_a_rhythm_that_goes_on_is_not_said_again() -> None:
    assert cuts_of((0, 3, "slip one knit three"), (3, 6, "slip one knit three"), (6, 9, "slip one knit three")) == ()
    count = "one two three four five six seven"
    assert [one.kind for one in cuts_of((0, 4, "in the middle"), (4, 8, count), (9, 13, "and that is right"))] == []


def test_a_slip_and_the_remark_that_takes_it_back_may_go() -> None:
    line = "in my size there are fifty three stitches no sorry fifty one stitches altogether"
    [cut] = cuts_of((0, 14, line))
    assert cut.kind == "correction"
    letters = len(line)
    assert cut.start == pytest.approx(14 * line.index("fifty") / letters, abs=0.01)
    assert cut.end == pytest.approx(14 * line.index("fifty one") / letters, abs=0.01)
    assert "no sorry" in cut.sentence


def test_what_is_left_of_a_slip_is_said_once() -> None:
    """What stands before the word that is said anew stood there the first time, too."""
    for line, slip in (
        ("and now you knit one stitch no sorry two stitches and go on", "one stitch no sorry "),
        ("fifty three stitches no sorry the fifty one stitches of my size", "fifty three stitches no sorry "),
        ("first you make a slip knot no sorry make a slip knot over the thumb", "make a slip knot no sorry "),
    ):
        [cut] = cuts_of((0, 10, line))
        begins = line.index(slip)
        assert cut.start == pytest.approx(10 * begins / len(line), abs=0.01)
        assert cut.end == pytest.approx(10 * (begins + len(slip)) / len(line), abs=0.01)


@pytest.mark.parametrize(
    "line",
    [
        "sorry about the noise outside it is the wind",
        "no you do not need a second one",
        "that is not right for a child",
    ],
)
def test_a_regret_is_no_correction(line: str) -> None:
    assert cuts_of((0, 5, line), (5, 9, "and on we go with the next round of it")) == ()


def test_searching_ends_where_it_is_found() -> None:
    lines = (
        (0.0, 3.0, "now where are my scissors"),
        (3.0, 6.0, "i had them this morning"),
        (8.0, 9.0, "ah here they are"),
    )
    [cut] = cuts_of(*lines, (10, 14, "so we cut the yarn with a long tail"))
    assert (cut.kind, round(cut.end)) == ("search", 10)
    assert cut.start == pytest.approx(3 * 4 / 25, abs=0.01)
    assert cuts_of((0, 5, "this is where the thumb goes"), (5, 9, "and where are the stitches they are held")) == ()
    assert cuts_of((0, 4, "where is the darning mushroom then"), (4, 6, "i see"), tools=("darning mushroom",)) != ()


@pytest.mark.parametrize(
    ("answer", "end"),
    [
        (((6.0, 9.0, "ah they're in the teapot don't ask"),), 9),
        (((6.0, 8.0, "ah they're in the"), (8.0, 9.0, "teapot")), 9),  # the caption breaks in the middle of a phrase
        (((6.0, 8.0, "here they are"), (8.0, 9.0, "okay")), 8),
    ],
)
def test_no_answer_is_left_of_a_search(answer: tuple[tuple[float, float, str], ...], end: float) -> None:
    lines = ((0.0, 3.0, "where are my scissors"), (3.0, 6.0, "i had them this morning"), *answer)
    [cut] = cuts_of(*lines, (end + (end == 8), end + 4, "so leave a tail of twenty centimeters"))
    assert (cut.kind, round(cut.end)) == ("search", end)


def test_no_word_is_sped_up_for_its_caption_stays() -> None:
    """Eight words of a caption that is still shown after them: at any pace of speech they are over in 5 s."""
    end = (9.0, 29.0, "i think it is on the second page")
    [cut] = cuts_of(talk(0), end, talk(50))
    # 28 letters and blanks at 120 ms stand before the last word, and half a second is left for that.
    assert cut.start == pytest.approx(9 + 28 * 0.12 + 0.5)
    assert cut.sentence.startswith("No word")


def test_no_cut_lies_over_another() -> None:
    lines = [talk(0), (12.0, 14.0, "where are my scissors"), (60.0, 62.0, "has anybody seen the scissors"), talk(90)]
    found = cuts_of(*lines)
    assert {one.kind for one in found} == {"slow", "search"}
    assert all(before.end <= after.start for before, after in pairwise(found))


def test_times_after_the_cuts() -> None:
    """10 s go at 10, and 30 s at 40 run three times as fast, so 20 s go: chapters at 5, 15, 55 and 100 s move."""
    made = (Cut(10, 20, "search", ""), Cut(40, 70, "slow", "", speed=3))
    assert [once_cut(time, made) for time in (5, 15, 20, 55, 70, 100)] == [5, 10, 10, 35, 40, 70]


def test_nothing_said_has_nothing_to_cut() -> None:
    assert cut_list(()) == ()


def test_the_sample_has_what_was_planted_and_no_other_kind() -> None:
    planted = yaml.safe_load((HERE / "planted.yaml").read_text(encoding="utf-8"))
    file = HERE.parents[1] / "sample_course" / "captions" / planted["captions"]
    found = cut_list(said_once(read_captions(file.read_bytes(), file.name).cues))
    others = [one for one in found if one.kind != "slow"]
    assert [one.kind for one in others] == [one["kind"] for one in sorted(planted["cuts"], key=lambda one: one["at"])]
    for one, true in zip(others, sorted(planted["cuts"], key=lambda one: one["at"]), strict=True):
        assert true["at"] - 1 <= one.start <= true["at"] + 8


def word_by_word(*runs: tuple[float, str]) -> tuple[Cut, ...]:
    """What may go of runs of words, each from a second on and each word half a second after the one before."""
    return cuts_of(
        *((at + place / 2, at + place / 2 + 0.4, word) for at, run in runs for place, word in enumerate(run.split()))
    )


NUMBERED = " ".join(f"w{place}" for place in range(40))


def numbered(first: int, count: int) -> str:
    """So many words that occur nowhere else."""
    return " ".join(NUMBERED.split()[first : first + count])


def test_what_is_said_again_is_quoted_by_its_first_twelve_words() -> None:
    for count in (6, 12, 13, 15):
        [cut] = word_by_word((0, f"{numbered(0, count)} so {numbered(0, count)}"))
        assert cut.sentence.startswith(f"“{numbered(0, min(12, count))}” is said again")
        assert (cut.start, cut.end) == (0, (count + 1) / 2)


@pytest.mark.parametrize(("count", "cuts"), [(11, [(0.5, 90)]), (12, [(0.5, 40), (46, 90)])])
def test_a_sentence_in_a_silence_ends_what_is_sped_up(count: int, cuts: list[tuple[float, float]]) -> None:
    """At half the pace of a slow stretch a word is told each 2 s: each after the first, half a second later, is three
    quarters of a word more, so eleven of them are eight more.
    """
    found = word_by_word((0, "start"), (40, numbered(0, count)), (90, "end"))
    assert [(one.start, one.end) for one in found] == cuts


def test_of_several_words_of_finding_the_last_ends_a_search() -> None:
    """“Ah” alone would go on to the end of its phrase; “here they are” says all."""
    line = "here they are beside my big blue chair"
    [cut] = cuts_of((0, 3, "where are my scissors"), (3, 6, "ah wait"), (6, 9, line), (9, 12, "and weave it in"))
    assert (cut.kind, cut.start) == ("search", 0)
    assert cut.end == pytest.approx(6 + 3 * line.index("beside") / len(line), abs=0.01)


@pytest.mark.parametrize(
    ("runs", "start", "end"),
    [
        # From the beginning of the phrase, behind a breath ...
        (((0, "and so"), (5, "we tink back no that's wrong purl every other")), 5, 8),
        # ... of more than 0.8 s ...
        (((0, "and so"), (1.3, "we tink back no that's wrong purl every other")), 0, 4.3),
        # ... or from the first word; at most from within 8 s: one at 4 s is that long before the remark at 12 s.
        (((0, "we tink back no that's wrong purl every other"),), 0, 3),
        (((0, f"{numbered(0, 24)} no that's wrong purl every other"),), 4.5, 13.5),
        # A remark at the beginning takes itself back alone.
        (((0, "no that's wrong purl every other"),), 0, 1.5),
        # Said anew within three words behind the remark: from that word on; the fourth is too late.
        (((0, f"{numbered(0, 10)} no that's wrong w4 on"),), 2, 6.5),
        (((0, f"{numbered(0, 10)} no that's wrong x y w4 on"),), 1, 6.5),
        (((0, f"{numbered(0, 10)} no that's wrong x y z w4 on"),), 0, 6.5),
        # And at most twelve words back, else from the beginning of the phrase, here within 8 s.
        (((0, f"{numbered(0, 18)} no that's wrong w6 on"),), 3, 10.5),
        (((0, f"{numbered(0, 18)} no that's wrong w5 on"),), 1.5, 10.5),
    ],
)
def test_a_slip_goes_from_where_it_begins_to_what_is_said_right(
    runs: tuple[tuple[float, str], ...], start: float, end: float
) -> None:
    [cut] = word_by_word(*runs)
    assert (cut.kind, cut.start, cut.end) == ("correction", start, end)
    assert "“no that's wrong”" in cut.sentence


def test_a_remark_behind_which_nothing_is_said_takes_nothing_back() -> None:
    assert word_by_word((0, f"{numbered(0, 10)} no that's wrong")) == ()


@pytest.mark.parametrize(
    ("runs", "end"),
    [
        (((0, f"where are my scissors {numbered(0, 10)}"),), 6.5),  # to the last word
        (((0, f"where are my scissors {numbered(0, 10)}"), (8, "so we go on")), 8),  # to a breath
        (((0, f"where are my scissors {numbered(0, 40)}"),), 20),  # to the end of 20 s
        (((0, "where are my scissors"), (3, f"here they are {numbered(0, 10)}")), 4.5),  # until it is found
    ],
)
def test_a_search_goes_to_where_she_goes_on(runs: tuple[tuple[float, str], ...], end: float) -> None:
    [cut] = word_by_word(*runs)
    assert (cut.kind, cut.start, cut.end) == ("search", 0, end)
    assert cut.sentence == "Searching (“where are my scissors”): may go, if the picture allows."
