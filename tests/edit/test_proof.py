"""Captions proofed against a course: by segment, by time, with what was decided before; and what is no captions."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml
from typer.testing import CliRunner

from lessonplan.cli import app
from lessonplan.edit.captions.reading import Captions, Cue, read_captions
from lessonplan.edit.proof.episode import Proof, proof
from lessonplan.edit.proof.expected.holds import holds_in
from lessonplan.edit.proof.reader import proofed
from lessonplan.edit.proof.sequences import swaps_in
from lessonplan.edit.speech.units import words_of
from lessonplan.planning.worked import Worked, load

HEADBAND = Path(__file__).parent / "headband"
TALK = (
    (0, "hi everybody today we make a headband from one ball of aran yarn"),
    (60, "cast on twelve stitches under the thumb over the finger and back through"),
    (
        120,
        "now make one left from the front through the front we do that six times until you have twenty three stitches",
    ),
    (200, "now a hundred and four rounds no sorry i mean a hundred and four rows of plain knitting"),
    (260, "slip slip knit leans left and knit two together leans right eleven stitches are left after twelve rows"),
    (330, "on the front needle knitwise and off then purlwise and leave it on"),
    (400, "soak it for ten minutes and let it dry"),
)
SPANS = [(f"1.{place}", float(start), float(start + 59)) for place, (start, _) in enumerate(TALK, 1)]


def run(*words: str | Path) -> Any:
    return CliRunner().invoke(app, [str(word) for word in words])


def captions(shift: float = 0.0) -> Captions:
    """The talk, each part 25 s after its segment begins and far from its border."""
    cues = tuple(
        Cue(round((start + shift + 25) * 1000), round((start + shift + 32) * 1000), text) for start, text in TALK
    )
    return Captions("01-band.vtt", "WebVTT", cues, ())


@pytest.fixture(scope="module")
def worked() -> Worked:
    found = load(HEADBAND).worked
    assert found is not None
    return found


def of(worked: Worked, shift: float = 0.0) -> Proof:
    spans = [(number, start + shift, end + shift) for number, start, end in SPANS]
    return proof(worked, worked.course.episodes[0], captions(shift), spans)


def test_findings_stand_where_they_are_said(worked: Worked) -> None:
    found = [(one.segment, one.kind, one.said) for one in of(worked).findings if one.kind != "never said"]
    assert found == [
        ("1.2", "disagrees", "twelve stitches"),
        ("1.3", "swapped words", "front"),
        ("1.4", "took it back", "a hundred and four rounds no sorry i mean a hundred and four rows"),
        ("1.7", "disagrees", "ten minutes"),
    ]
    assert [(one.segment, one.context) for one in of(worked).findings if one.kind == "never said"] == [
        ("1.3", "14 rows"),
    ]
    twelve = of(worked).findings[0]
    assert twelve.right == "11 stitches (Cast-on edge: stitches cast on)"
    assert 85 <= twelve.start <= 92


def test_near_a_border_what_holds_on_the_other_side_is_no_finding(worked: Worked) -> None:
    cues = (
        Cue(55_000, 58_000, "so that is twenty three stitches"),
        Cue(30_000, 33_000, "that is twenty three stitches"),
    )
    said = Captions("a.vtt", "WebVTT", tuple(sorted(cues, key=lambda cue: cue.start)), ())
    found = proof(worked, worked.course.episodes[0], said, [("1.2", 0.0, 60.0), ("1.3", 60.0, 200.0)])
    assert [(round(one.start), one.said) for one in found.findings] == [(31, "twenty three stitches")]


def test_any_talk_is_proofed(worked: Worked) -> None:
    draw, holds = random.Random(3), holds_in(worked)
    words = [word for _, text in TALK for word in text.split()] + ["small", "adult", "half", "first", "1/2", "2½", "0"]
    for _ in range(60):
        for one in holds.values():
            proofed(words_of(" ".join(draw.choices(words, k=60))), one)


@pytest.mark.parametrize(
    ("said", "right"),
    [
        ("we have twelve stitches no sorry eleven stitches", "11 stitches"),
        ("we have eleven stitches no sorry twelve stitches", ""),
        ("the wool is lovely no sorry i mean the yarn", ""),
    ],
)
def test_what_was_said_last_is_held_against_the_pattern(worked: Worked, said: str, right: str) -> None:
    """Eleven stitches are cast on; twelve hold nowhere in this segment."""
    found = proofed(words_of(said), holds_in(worked)["1.2"], whole=False)
    (back,) = [one.right for one in found if one.kind == "took it back"]
    assert back.startswith(right)
    assert back.endswith("): what was said last holds") is bool(right)
    assert bool(back) is bool(right)


@pytest.fixture
def course(tmp_path: Path) -> Path:
    shutil.copytree(HEADBAND, tmp_path / "headband")
    return tmp_path / "headband"


def vtt(path: Path, shift: float = 0.0) -> Path:
    lines = ["WEBVTT", ""]
    for cue in captions(shift).cues:
        start, end = (f"00:{ms // 60000:02}:{ms // 1000 % 60:02}.000" for ms in (cue.start, cue.end))
        lines += [f"{start} --> {end}", cue.text, ""]
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def test_dismissed_for_good_and_taken_over(course: Path, tmp_path: Path) -> None:
    file = vtt(tmp_path / "01-band.vtt")
    (course / "errata.yaml").write_text(
        "# Ours.\nerrata:\n  - found: 2027-03-01\n    by: A.\n    where: episode 1\n"
        "    said: eleven rows\n    right: eleven stitches   # yes\n",
        encoding="utf-8",
    )
    first = run("proof", str(course), "1", str(file), "--json")
    data = json.loads(first.stdout)
    assert first.exit_code == 1
    numbers = {one["kind"]: one["number"] for one in data["findings"]}
    asked = ["--erratum", str(numbers["swapped words"]), "--dismiss", str(numbers["took it back"])]
    assert run("proof", str(course), "1", str(file), *asked, "--today", "2027-11-01").exit_code == 1
    text = (course / "errata.yaml").read_text(encoding="utf-8")
    assert text.startswith("# Ours.\n")
    assert "right: eleven stitches   # yes\n" in text
    new = yaml.safe_load(text)["errata"][1]
    assert (new["right"], new["kind"], str(new["found"]), new["state"]) == ("back", "word", "2027-11-01", "open")
    assert "front" in new["said"]
    assert new["where"] == "episode 1, segment 1.3, at 2:28"
    # The same captions, eleven seconds later, after the film got an opening.
    later = run("proof", str(course), "1", str(vtt(tmp_path / "01-later.vtt", 11)), "--json")
    decided = {one["kind"]: one["decided"] for one in json.loads(later.stdout)["findings"]}
    assert (decided["swapped words"], decided["took it back"]) == ("taken over", "dismissed")
    assert decided["disagrees"] == ""
    assert run("errata", str(course)).exit_code == 0


def test_an_erratum_of_a_number_names_the_fact_that_it_is(course: Path, tmp_path: Path) -> None:
    file = vtt(tmp_path / "01.vtt")
    found = json.loads(run("proof", str(course), "1", str(file), "--json").stdout)["findings"]
    asked = [word for one in found if one["kind"] == "disagrees" for word in ("--erratum", str(one["number"]))]
    run("proof", str(course), "1", str(file), *asked, "--today", "2027-11-01")
    told = [one["right"] for one in yaml.safe_load((course / "errata.yaml").read_text(encoding="utf-8"))["errata"]]
    assert told == ["{{ edge.cast_on }} stitches", "20 minutes"]  # a time to soak is no fact


def test_what_is_decided_already_is_said_and_not_written_again(course: Path, tmp_path: Path) -> None:
    file = vtt(tmp_path / "01.vtt")
    data = json.loads(run("proof", str(course), "1", str(file), "--json").stdout)
    number = next(str(one["number"]) for one in data["findings"] if one["kind"] == "disagrees")
    assert "Written to " in run("proof", str(course), "1", str(file), "--erratum", number).stderr
    before = {name: (course / name).read_bytes() for name in ("errata.yaml", "proofed.yaml")}
    for option in ("--erratum", "--dismiss"):
        told = run("proof", str(course), "1", str(file), option, number).stderr
        assert f"Finding {number} is taken over already." in told
        assert "Written" not in told
    assert before == {name: (course / name).read_bytes() for name in before}


def test_what_cannot_be_decided_is_said_and_nothing_written(course: Path, tmp_path: Path) -> None:
    file = vtt(tmp_path / "01.vtt")
    assert "There is no finding 99" in run("proof", str(course), "1", str(file), "--dismiss", "99").stderr
    data = json.loads(run("proof", str(course), "1", str(file), "--json").stdout)
    back = next(one["number"] for one in data["findings"] if one["kind"] == "took it back")
    (course / "proofed.yaml").mkdir()
    told = run("proof", str(course), "1", str(file), "--dismiss", str(back))
    assert (told.exit_code, "proofed.yaml" in told.stderr, told.stdout) == (1, True, "")
    (course / "proofed.yaml").rmdir()
    out = run("proof", str(course), "1", str(file), "--erratum", str(back))
    assert out.exit_code == 2
    assert "nothing that would be right instead" in out.stderr
    assert not (course / "proofed.yaml").exists()
    assert not (course / "errata.yaml").exists()
    none = run("proof", str(course), "7", str(file))
    assert (none.exit_code, "There is no episode 7; there are 1." in none.stderr) == (2, True)
    assert isinstance(run("proof", str(course), "1", str(tmp_path / "no.vtt")).exception, FileNotFoundError)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "This file is empty."),
        (bytes(range(256)) * 40, "This is not a text file, so it holds no captions."),
        (b"WEBVTT\n\n" + b"x" * 6_000_000, "captions may have 5 MB at most"),
        (b"just some words\n", "No times are found in this file, so it holds no captions."),
    ],
)
def test_what_is_no_captions_is_one_sentence(worked: Worked, data: bytes, sentence: str) -> None:
    found = proof(worked, worked.course.episodes[0], read_captions(data, "a.vtt"))
    assert found.findings == ()
    assert [sentence in problem.message for problem in found.problems] == [True]


def test_captions_of_another_video_give_one_sentence_and_no_findings(worked: Worked) -> None:
    talk = (
        "today we paint the garden fence with three coats of green",
        "sand it with paper number one hundred and twenty",
    )
    cues = tuple(Cue(4000 * n, 4000 * n + 3900, f"{talk[n % 2]} and mind the weather") for n in range(80))
    found = proof(worked, worked.course.episodes[0], Captions("fence.vtt", "WebVTT", cues, ()))
    assert found.findings == ()
    assert [problem.code for problem in found.problems] == ["little-match"]
    assert [problem.severity for problem in found.problems] == ["error"]


def test_unordered_overlapping_and_an_hour_late(worked: Worked) -> None:
    late = "WEBVTT\n\n01:01:10.000 --> 01:01:20.000\ncast on twelve stitches\n\n01:00:30.000 --> 01:01:12.000\nhello\n"
    read = read_captions(late.encode(), "late.vtt")
    found = proof(worked, worked.course.episodes[0], read, [("1.1", 0.0, 60.0), ("1.2", 60.0, 100.0)])
    assert {problem.code for problem in found.problems} >= {"unordered", "hour-offset"}
    assert [one.said for one in found.findings] == ["twelve stitches"]


LEFT_FIRST, RIGHT_FIRST = frozenset({"m1l starts", "m1r ends"}), frozenset({"m1r starts", "m1l ends"})


@pytest.mark.parametrize(
    ("text", "techniques", "right"),
    [
        ("knit the first stitch then make one right", LEFT_FIRST, ["m1l"]),
        ("knit the first stitch then make one left", LEFT_FIRST, []),
        ("knit the first stitch then make one left", RIGHT_FIRST, ["m1r"]),
        ("knit the first stitch then make one right", RIGHT_FIRST, []),
        ("knit the first stitch then make one left", LEFT_FIRST | RIGHT_FIRST, []),  # in one of its lines it is right
        ("the first increase leans to the right", LEFT_FIRST, ["left"]),
        ("the first decrease leans to the right", LEFT_FIRST, []),  # no increase says how a decrease leans
    ],
)
def test_which_of_two_comes_first_goes_by_the_lines(text: str, techniques: frozenset[str], right: list[str]) -> None:
    assert [swap.right for swap in swaps_in(text.split(), techniques)] == right
