"""One source for every number: what stands beside “stitches” or “rounds” on any paper is a number of the pattern.

The papers are read as texts, by a reader that knows nothing of how they were made; the numbers are taken from the
pattern as it is worked, in every size and for each kind of piece, and from what the teacher typed herself.
"""

from __future__ import annotations

import html
import re
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

import lessonplan
from lessonplan.building import documents
from lessonplan.planning.worked import Plan
from tests import pdf
from tests.small_course import EPISODE, PATTERN, write_course

_TIMES = re.compile(r"\d+:\d\d(?:[:.,]\d+)*")
_BESIDE = re.compile(r"(?<![\d.,–:])(\d+)((?:\s*\((?:\d+,\s*)*\d+\))?)\s+(sts?|stitch(?:es)?|rounds?|rnds?)\b")
"""A number, perhaps with those of other sizes in brackets, and its unit right behind it."""
_WITHIN = re.compile(r"Begins \d+ stitches into")
"""Where a shot begins inside a round: no count of the pattern's, but so many of its stitches."""


def text_of(name: str, data: bytes) -> str:
    """The words of a file as a person sees them, times left out."""
    if name.endswith(".pdf"):
        return _TIMES.sub(" ", " ".join(pdf.pages(data)))
    text = data.decode("utf-8")
    if name.endswith((".html", ".atom")):
        text = re.sub(r"(?s)<(script|style|svg)\b.*?</\1>", " ", text)
        text = html.unescape(re.sub(r"<[^>]+>", "", text))
    if name.endswith(".ics"):
        text = text.replace("\r\n ", "")
    return _TIMES.sub(" ", text)


def beside(text: str) -> Iterator[tuple[str, int]]:
    """Every number that stands beside a craft unit, with the unit's first letter."""
    for found in _BESIDE.finditer(_WITHIN.sub(" ", text)):
        for number in (found[1], *re.findall(r"\d+", found[2])):
            yield found[3][0], int(number)


def known(plan: Plan, folder: Path) -> dict[str, set[int]]:
    """The numbers of stitches and of rounds that the pattern has in any size and kind, and those that were typed."""
    stitches, rounds = set[int](), set[int]()
    ways = [way.worked for way in plan.worked.ways]
    for worked in (*ways, *plan.worked.kinds.values()):
        for stages in worked.stages.values():
            for stage in stages:
                rounds |= {len(stage.rounds), *(stage.numbers or ())}
                for step in stage.steps:
                    stitches |= {step.before, step.after, step.held, step.part}
    pattern = plan.course.pattern
    for gauge in (pattern.gauge, *(stage.gauge for stage in pattern.stages.values() if stage.gauge)):
        stitches.add(int(gauge.stitches))
        rounds.add(int(gauge.rounds))
    stitches.add(round(pattern.gauge.stitches * 3))  # a swatch of half as much again, knitted double as a tube
    stitches |= {20, 30, 45}  # the viewers' paces of the published tables, in stitches a minute
    for fact in plan.worked.facts.values():
        whole = {int(value) for value in fact.values if isinstance(value, int | float) and value == int(value)}
        (rounds if "round" in fact.name or "round" in fact.meaning else stitches).update(whole)
    typed = " ".join(path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.yaml")))
    typed += " ".join(path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.vtt")))
    for unit, number in beside(typed):
        (stitches if unit == "s" else rounds).add(number)
    return {"s": stitches, "r": rounds}


def test_every_number_of_the_sample_is_one_of_its_pattern(root: Path, sample_output: Path) -> None:
    plan = lessonplan.plan(root / "sample_course").plan
    assert plan is not None
    numbers = known(plan, root / "sample_course")
    read, strange = 0, set[tuple[str, str, int]]()
    for path in sorted(sample_output.iterdir()):
        if path.suffix in (".html", ".pdf", ".txt", ".vtt", ".srt", ".csv", ".ics", ".atom", ".otio", ".edl"):
            for unit, number in beside(text_of(path.name, path.read_bytes())):
                read += 1
                if number not in numbers[unit]:
                    strange.add((path.name, unit, number))
    assert read > 500, "the papers are read"
    # A state part-way says how many rounds are done; all of them lie within the longest stage.
    assert {one for one in strange if one[1] == "s" or one[2] > max(numbers["r"])} == set()
    assert len(strange) < 40, "and few of them"


def test_every_length_of_the_videos_stands_in_the_handout(sample_output: Path) -> None:
    """What is said or laid over, in centimetres, is read there as a number of centimetres too, of some size."""
    told = set[str]()
    for path in (*sample_output.glob("captions-*.vtt"), *sample_output.glob("cues-*.vtt")):
        words = " ".join(path.read_text(encoding="utf-8").split())
        for found in re.finditer(r"(\d[\d.]*)((?: \([\d., ]+\))?) cm\b", words):
            told.update((found[1], *re.findall(r"[\d.]+", found[2])))
    handout = text_of("handout.html", (sample_output / "handout.html").read_bytes()).replace("\u00a0", " ")
    printed = " ".join(" ".join(found) for found in re.findall(r"(\d[\d.]*)((?: ?\([\d., ]+\))?) cm\b", handout))
    assert {"6.3", "6.9", "7.5", "19", "20"} <= told
    assert told <= set(re.findall(r"[\d.]+", printed))


def test_whoever_subtracts_finds_the_ease_that_is_printed(sample_output: Path) -> None:
    """Read off the handout: what the mitten measures less the hand that it is for, in both units."""
    text = text_of("handout.html", (sample_output / "handout.html").read_bytes()).replace("\u00a0", " ")
    text = " ".join(text.split())
    pattern = r"circumference ([^,]+(?:\(.*?\))?) cm, (.*?) in, for one of (.*?) cm, (.*?) in\."
    ease_cm, ease_in, body_cm, body_in = ([*map(_number, _SIZED.findall(one))] for one in re.findall(pattern, text)[0])
    made = re.findall(r"Hand circumference ?((?:[\d.]+ cm, [\d¼½¾]+ in ?){3})", text)[0]
    made_cm, made_in = ([*map(_number, re.findall(rf"([\d.¼½¾]+) {unit}", made))] for unit in ("cm", "in"))
    assert len(ease_cm) == len(made_cm) == 3
    for ease, finished, body in ((ease_cm, made_cm, body_cm), (ease_in, made_in, body_in)):
        assert ease == pytest.approx([one - other for one, other in zip(finished, body, strict=True)])


_SIZED = re.compile(r"[\d.]*[¼½¾⅛⅜⅝⅞]|[\d.]+")


def _number(text: str) -> float:
    """A printed number, with a fraction behind it or none."""
    parts = {"¼": 0.25, "½": 0.5, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
    return float(text.rstrip("".join(parts)) or 0) + parts.get(text[-1], 0)


def test_a_number_that_is_not_the_patterns_is_found() -> None:
    assert list(beside("13 sts and 11 (13, 15) stitches, 4 rounds")) == [
        ("s", 13),
        *(("s", number) for number in (11, 13, 15)),
        ("r", 4),
    ]
    assert list(beside("0:13 sts, 2.13 sts, 25–26 sts")) == [], "times and parts of ranges are none"


@pytest.mark.parametrize("cast_on", [40, 44])
def test_one_changed_value_changes_all_papers_alike(tmp_path: Path, cast_on: int) -> None:
    """The cast-on is 40 or 44, and nothing else in the course is either: every paper follows."""
    pattern = PATTERN.replace("cast_on: 40", f"cast_on: {cast_on}")
    episode = EPISODE.replace("say: We", "must_say: We have {{ edge.stitches }} stitches\n        say: We")
    files = {"pattern.yaml": pattern, "episodes/01.yaml": episode}
    plan = lessonplan.plan(write_course(tmp_path, files)).plan
    assert plan is not None
    found = {name: {number for _, number in beside(text_of(name, data))} for name, data in documents(plan).items()}
    other = 84 - cast_on
    named = {name for name, numbers in found.items() if cast_on in numbers}
    assert not {name for name, numbers in found.items() if other in numbers}
    assert {
        "handout.html",
        "handout.pdf",
        "run-sheet-1.html",
        "cue-cards-1.html",
        "editor-1.html",
        "captions-1.vtt",
    } <= named


def told_of(files: Mapping[str, bytes], number: int) -> set[tuple[str, str]]:
    """Where so many rounds stand: the file, and the words before them; who knits meanwhile is another plan's."""
    found = set()
    for name, data in files.items():
        text = re.sub(r"Meanwhile.{,120}?(?= Say)", "", re.sub(r"\s+", " ", text_of(name, data)))
        for one in re.finditer(rf"(?<![\d.,–:]){number}(?: \([^)]*\))? (?:rounds?|rnds?)\b", text):
            found.add((name, " ".join(re.findall("[A-Za-z]+", text[max(0, one.start() - 40) : one.start()])[-3:])))
    return found


def test_a_changed_round_count_stands_wherever_the_old_one_stood(
    root: Path, sample_output: Path, tmp_path: Path
) -> None:
    """In the sample the cuff alone has 22 rounds in the filmed size; made 28, no page has 22 any more."""
    folder = tmp_path / "course"
    shutil.copytree(root / "sample_course", folder, ignore=shutil.ignore_patterns("out"))
    pattern = folder / "pattern.yaml"
    text = pattern.read_text(encoding="utf-8")
    assert text.count("rounds: 20 (22, 24)") == 1
    pattern.write_text(text.replace("rounds: 20 (22, 24)", "rounds: 26 (28, 30)"), encoding="utf-8")
    plan = lessonplan.plan(folder).plan
    assert plan is not None
    before = {path.name: path.read_bytes() for path in sample_output.glob("*.html")}
    now = documents(plan, ending=".html")
    assert now.keys() == before.keys()
    assert told_of(now, 22) == set()
    assert len({name for name, _ in told_of(before, 22)}) >= 6
    # More rounds may take a sitting more, so a page can tell of them once more; none tells of them no longer.
    assert told_of(before, 22) <= told_of(now, 28)
