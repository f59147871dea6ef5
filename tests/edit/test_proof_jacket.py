"""Numbers of one place of several, of prose and of live lines, in a jacket for film size M; all counts derived by hand.

Cast on 54. 4 raglan lines add 8 stitches every other row: 54 + 8 = 62 after the first of them, 54 + 12 x 8 = 150 after
24 rows. Of these 12 + 12 for each front, 8 + 24 for each sleeve, 14 + 24 for the back: 2 x 24 + 2 x 32 + 38 = 150.
Dividing: 150 - 64 + 2 x 6 = 98. A sleeve: 32 + 6 = 38, three on either side of the held ones, then 38 - 4 x 2 = 30.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from lessonplan.edit.captions.reading import Captions, read_captions
from lessonplan.edit.promises import promises_of
from lessonplan.edit.proof.episode import proof
from lessonplan.edit.proof.expected.holds import holds_in
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.proof.typed import typed_problems
from lessonplan.edit.speech.units import words_of
from lessonplan.planning.worked import Worked, load

JACKET = Path(__file__).parent / "jacket"


def jacket(folder: Path = JACKET) -> Worked:
    result = load(folder)
    assert result.worked is not None, result.problems
    return result.worked


def changed(tmp_path: Path, old: str, new: str, file: str = "episodes/01.yaml") -> Path:
    folder = tmp_path / "jacket"
    shutil.copytree(JACKET, folder)
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return folder


ROW_3 = (
    "in row three knit to one stitch before the marker make one right knit one slip the marker knit one make one left"
    " do that at all four of the markers then knit to the end and at the end we have "
)
"""Its steps are told before its count: in the third row of the raglan 54 + 2 x 8 = 70."""


@pytest.mark.parametrize(
    ("segment", "said", "wrong", "right"),
    [
        ("1.1", "i cast on 54 stitches for the size m", "", ""),
        ("1.1", "i cast on 56 stitches for the size m", "56 stitches", "54 "),  # not those of “Dividing for”
        ("1.2", "the first of four buttonholes five stitches before the end we knit two together", "", ""),
        ("1.2", "the first of five buttonholes", "five buttonholes", "4 "),
        ("1.2", "another two buttonholes", "", ""),
        ("1.2", "in row three four stitches before the end we knit two together", "four stitches", "5 "),
        ("1.3", "after the first row there are 62 stitches", "", ""),
        ("1.3", "after the first row there are 66 stitches", "66 stitches", "62 "),
        ("1.3", f"{ROW_3}seventy stitches", "", ""),
        ("1.3", f"{ROW_3}seventy two stitches", "seventy two stitches", "150"),
        ("1.3", "until you have done the increase row twelve times", "", ""),
        ("1.3", "until you have done the increase row eleven times", "eleven times", "12 "),  # 11 have a row between
        ("1.4", "24 for each front 32 for each sleeve and 38 for the back", "", ""),
        ("1.4", "150 stitches 36 of them for the back", "36", "38 "),
        ("1.4", "64 for both sleeves", "", ""),
        ("1.4", "every eighteenth row has a buttonhole", "", ""),
        ("1.4", "every sixteenth row has a buttonhole", "sixteenth row", "every 18 "),  # that of size S
        ("1.5", "the next 32 stitches go on waste yarn", "", ""),
        ("1.5", "the next 28 stitches go on waste yarn", "28 stitches", "32 "),
        ("1.5", "64 stitches go on waste yarn", "", ""),
        ("1.5", "and now we cast on six stitches", "", ""),
        ("1.5", "and now we cast on eight stitches", "eight stitches", "6 "),
        ("1.6", "and bind off knitwise", "", ""),
        ("1.6", "and bind off all the stitches purl wise", "purlwise", "knitwise"),
        ("1.7", "pick up three knit the thirty two pick up three thirty eight stitches", "", ""),
        ("1.7", "pick up three knit the thirty six pick up three", "thirty six", "32 "),
        ("1.7", "every fifth round is a decrease round four times and thirty stitches are left", "", ""),
        ("1.7", "every fifth round is a decrease round four times and 32 stitches are left", "32 stitches", "30 "),
        ("1.7", "knit one purl one nine rounds", "", ""),
        ("1.7", "knit one purl one eleven rounds", "eleven rounds", "9 "),
    ],
)
def test_each_number_is_held_against_its_own(segment: str, said: str, wrong: str, right: str) -> None:
    found = proofed(words_of(said), holds_in(jacket())[segment], whole=False)
    assert [one.said for one in found] == ([wrong] if wrong else [])
    assert all(one.right.startswith(right) for one in found)


def test_its_scripts_are_right() -> None:
    assert [*typed_problems(jacket())] == []


def told(*lines: str) -> Captions:
    """Captions of eight seconds a line."""
    blocks = [
        f"00:{8 * i // 60:02}:{8 * i % 60:02}.000 --> 00:{(8 * i + 7) // 60:02}:{(8 * i + 7) % 60:02}.000\n{line}\n"
        for i, line in enumerate(lines)
    ]
    return read_captions(("WEBVTT\n\n" + "\n".join(blocks)).encode(), "01.vtt")


SCRIPT = "Knit one, purl one, nine rounds."


def test_a_typed_number_that_disagrees_plans_nothing_until_it_is_dismissed(tmp_path: Path) -> None:
    folder = changed(tmp_path, SCRIPT, "Knit one, purl one, eleven rounds.")
    (problem,) = typed_problems(jacket(folder))
    assert problem.message.startswith("“eleven rounds” stands here; by the pattern: 9 rounds")
    captions = told(
        "pick up three knit the thirty two pick up three thirty eight stitches", "knit one purl one eleven rounds"
    )
    spans = [("1.7", 0.0, 20.0)]
    worked = jacket(folder)
    assert [one.said for one in proof(worked, worked.course.episodes[0], captions, spans).findings] == ["eleven rounds"]
    entry = problem.hint.partition("proofed.yaml: ")[2]  # what the hint says, written so
    (folder / "proofed.yaml").write_text(f"dismissed:\n  {entry}\n", encoding="utf-8")
    worked = jacket(folder)
    assert [*typed_problems(worked)] == []
    assert proof(worked, worked.course.episodes[0], captions, spans).findings == ()


@pytest.mark.parametrize("count", [1, 2])
def test_an_episode_of_few_segments_is_matched_and_another_video_is_not(tmp_path: Path, count: int) -> None:
    episode = (JACKET / "episodes" / "01.yaml").read_text(encoding="utf-8")
    begin = episode.index("  - title: Underarms")
    end = episode.index("  - title: The hem") if count == 1 else episode.index("  - title: A sleeve")
    folder = changed(tmp_path, episode[episode.index("  - title: Casting on") :], episode[begin:end])
    worked = jacket(folder)
    own = told(
        "the next 32 stitches go on waste yarn and we cast on eight stitches", "here it is", "and bind off knitwise"
    )
    found = proof(worked, worked.course.episodes[0], own)
    assert [one.said for one in found.findings] == ["eight stitches"]
    other = told(
        "today i bake a loaf of rye bread", "flour and water in a bowl", "one hour in the oven and here it smells"
    )
    assert [one.code for one in proof(worked, worked.course.episodes[0], other).problems] == ["little-match"]


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("the other numbers are in the handout", True),
        ("you find the numbers for your size in the handout", True),
        ("the handout has all the sizes", True),
        ("a photo of the pattern is in the handout", False),
        ("the chart is in the handout", False),
    ],
)
def test_what_every_handout_has_is_a_promise_kept(said: str, kept: bool) -> None:
    worked = jacket()
    (promise,) = promises_of(worked, worked.course.episodes[0], told(said))
    assert promise.open is not kept


def test_a_count_of_another_round_leaves_open_which_of_the_two_is_wrong(tmp_path: Path) -> None:
    """After row 5 there are 54 + 2 x 8 = 70, after row 7 there are 78."""
    script = "After row five there are {{ yoke.round_5.stitches }} stitches. Make one right"
    folder = changed(tmp_path, "After the first row there are 62 stitches. Make one right", script)
    (found,) = proofed(words_of("after row seven there are seventy stitches"), holds_in(jacket(folder))["1.3"], False)
    assert (found.said, found.fact) == ("seventy stitches", "")
    assert found.right.startswith("78 stitches, or row 5 for 70")
