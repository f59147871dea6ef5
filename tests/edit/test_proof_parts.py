"""What is told in words of a part: its yarn, its needle, its stripes; and a word said for the other of its pair."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from lessonplan.edit.proof.expected.holds import Holds, holds_in
from lessonplan.edit.proof.expected.stages import rhythm_of
from lessonplan.edit.proof.pairs.opposites import bound_in, opposites_in
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.proof.sequences import swaps_in
from lessonplan.edit.proof.steps import lines_of, swapped_steps
from lessonplan.edit.speech.units import words_of
from lessonplan.planning.worked import load
from tests.edit.spoken import line_of

HAT = Path(__file__).parent.parent / "courses" / "hat"
HEADBAND = Path(__file__).parent / "headband"


def held(folder: Path) -> Mapping[str, Holds]:
    worked = load(folder).worked
    assert worked is not None
    return holds_in(worked)


def told(holds: Holds, text: str) -> list[tuple[str, str, str]]:
    return [(one.kind, one.said, one.right) for one in proofed(words_of(text), holds, whole=False)]


@pytest.fixture(scope="module")
def turned(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Holds]:
    """The hat with its yarns and the needle of its brim the other way about."""
    folder = tmp_path_factory.mktemp("turned") / "hat"
    shutil.copytree(HAT, folder)
    file = folder / "pattern.yaml"
    text = file.read_text(encoding="utf-8")
    for old, new in (
        ("yarn: night", "yarn: lamp"),
        ("4 lamp, 4 night", "4 night, 4 lamp"),
        ("4 mm (US 6) for the", "5 mm (US 8) for the"),
        ("needle: 4 mm", "needle: 5 mm"),
    ):
        assert old in text
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
    return held(folder)


@pytest.mark.parametrize(
    ("segment", "here", "there"),
    [
        ("1.2", "the brim is knit in blue", "the brim is knit in yellow"),
        ("1.2", "in blue for the brim and then on we go", "in yellow for the brim and then on we go"),
        ("1.3", "the first stripe is yellow", "the first stripe is blue"),
        ("1.4", "keep knitting with the blue", "keep knitting with the yellow"),
        ("1.4", "with the night blue we knit ten", "with the lamp yellow we knit ten"),
        ("1.2", "use the smaller needles now", "use the larger needles now"),
        ("1.2", "a 4 mm needle for the brim", "a 5 mm needle for the brim"),
    ],
)
def test_what_is_right_of_one_course_is_wrong_of_the_other(
    turned: Mapping[str, Holds], segment: str, here: str, there: str
) -> None:
    hat = held(HAT)
    assert not told(hat[segment], here)
    assert not told(turned[segment], there)
    assert len(told(hat[segment], there)) == 1
    assert len(told(turned[segment], here)) == 1


@pytest.mark.parametrize(
    "text",
    [
        "you could do the brim in yellow instead",
        "don't cut the blue yet",
        "my neighbour knits the brim in yellow",
        "look at that yellow against the snow",
        "if yours is too tight take a larger needle",
    ],
)
def test_other_talk_of_colours_and_needles_is_left_alone(text: str) -> None:
    assert not told(held(HAT)["1.2"], text)


def test_a_word_is_bound_to_the_planned_words_around_it() -> None:
    bound = bound_in(["Slide the hook in from the front and catch the lowest rung.", "The yarn waits at the back."])
    said = [word.text for word in words_of("slide the hook in from the back and catch the lowest rung")]
    assert [(one.first, one.right) for one in opposites_in(said, bound, frozenset())] == [(4, "from the front")]
    for right in ("slide the hook in from the front and catch the lowest rung", "look at the back of the work"):
        assert not [*opposites_in(right.split(), bound, frozenset())]


def test_the_printed_caution_tells_how_long_a_burn_is_cooled() -> None:
    """Twenty minutes: the source stands beside it in craft/tables/cautions.csv; the headband's texts say nothing."""
    bath = held(HEADBAND)["1.7"]
    assert not told(bath, "hold a burn under cool running water for twenty minutes")
    kind, said, right = told(bath, "hold a burn under cool running water for five minutes")[0]
    assert (kind, said) == ("disagrees", "five minutes")
    assert right.startswith("20 minutes")


def test_two_words_that_are_exchanged_are_one_slip() -> None:
    mittens = held(Path(__file__).parent.parent.parent / "sample_course")["3.2"]
    both = told(mittens, "each half starts with the knit two together and ends with the slip slip knit")
    assert [(kind, said) for kind, said, _ in both] == [
        ("swapped words", "knit two together and ends with the slip slip knit")
    ]
    assert told(mittens, "each half starts with the slip slip knit and ends with the knit two together") == []
    row = {"course": "mittens", "segment": "3.2", "whole": "no", "said": "", "findings": ""}
    labels = "swapped: knit two together; swapped: slip slip knit; swapped: leans to the right"
    said = "each half starts with the knit two together and ends with the slip slip knit then purl on"
    line = line_of({**row, "said": said, "findings": labels})
    assert (line.right, line.missed) == (1, (("swapped words", "leans to the right"),))  # what it does not reach over


@pytest.mark.parametrize(
    ("segment", "text", "right"),
    [
        ("1.1", "the thicker needle is for the cuff and the thinner one is for everything else", "smaller"),
        ("1.1", "the thinner needle is for the cuff and the thicker one is for everything else", ""),
        ("1.2", "if you count twenty four take a thinner needle", "thicker"),  # more stitches: too tight
        ("1.2", "if you count twenty four take a thicker needle", ""),
        ("1.2", "if you count twenty go down a needle size", ""),
        ("1.5", "the needles get smaller here", "larger"),
    ],
)
def test_a_needle_told_by_a_word(segment: str, text: str, right: str) -> None:
    mittens = held(Path(__file__).parent.parent.parent / "sample_course")[segment]
    assert [fits for kind, _, fits in told(mittens, text) if kind == "swapped words"] == ([right] if right else [])


def test_a_needle_told_in_words_alone_is_not_held_against_that_of_the_gauge(tmp_path: Path) -> None:
    # As `begin` writes it: the part says “smaller needles”, and only the gauge has a number.
    folder = tmp_path / "hat"
    shutil.copytree(HAT, folder)
    file = folder / "pattern.yaml"
    text = file.read_text(encoding="utf-8")
    old = "      - rounds: 8.6 (11.4, 12.9) cm\n"
    assert text.count(old) == 1
    text = text.replace(old, f"{old}        before: With smaller needles.\n")
    file.write_text(text, encoding="utf-8")
    assert told(held(folder)["1.3"], "use the smaller needles now") == []


@pytest.mark.parametrize(
    ("line", "said", "right"),
    [
        (  # two raglan increases the other way about: viewers read on until the marker that was left out
            "*K to 1 st before marker, m1r, k1, sm, k1, m1l; rep from * to end",
            "knit to one stitch before the marker make one left knit one slip the marker knit one make one right",
            "k to 1 st before marker, m1r, k1, sm, k1, m1l",
        ),
        (
            "K1, ssk, sm, k to last 3 (4, 5) sts, k2tog, k1.",
            "knit one knit two together and knit across ssk knit one",
            "k1, ssk, sm, k to last 3 (4, 5) sts, k2tog, k1",
        ),
        (
            "*Ssk, k2, sm, p3; rep from * to end",
            "knit two ssk purl three",
            "ssk, k2, sm, p3",
        ),
    ],
)
def test_what_is_right_of_steps_is_the_line_as_printed(line: str, said: str, right: str) -> None:
    assert [found for _, _, found in swapped_steps(said.split(), lines_of([line]))] == [right]


def test_a_sock_that_is_knit_together_is_no_two_stitches() -> None:
    techniques = frozenset({"p2tog", "k", "p"})
    assert not [
        *swaps_in(
            ["this", "is", "the", "sock", "that", "we", "knit", "together", "from", "the", "toe", "up"], techniques
        )
    ]
    assert [
        one.right for one in swaps_in(["and", "now", "we", "knit", "two", "together", "and", "turn"], techniques)
    ] == ["purl two together"]


def test_what_follows_a_step_is_known_in_every_size() -> None:
    assert [*rhythm_of("Row 3 (WS): Sl 1, p26 (30, 34), p2tog, turn")] == [
        (("slip", 1.0), ("purl", 26.0)),
        (("slip", 1.0), ("purl", 30.0)),
        (("slip", 1.0), ("purl", 34.0)),
    ]
