"""Scripts and captions become episodes: what is said, done and shown stands where a person would put it."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import docx
import pytest
from hypothesis import given, settings, strategies as st
from typer.testing import CliRunner

import lessonplan
from lessonplan.beginning.questions import AnswerError, interview
from lessonplan.beginning.sources import Begun, Sources, begin_from
from lessonplan.beginning.told.blocks import short_title
from lessonplan.beginning.told.script import read_script
from lessonplan.beginning.told.talk import boundaries, draft
from lessonplan.beginning.written.given import Given, Shown, quoted
from lessonplan.cli import app
from lessonplan.course.files import UnfitError
from lessonplan.course.model.together import Course
from lessonplan.course.read import load
from lessonplan.edit.captions.reading import read_captions
from lessonplan.edit.captions.rolling import said_once

HERE = Path(__file__).parent / "given"
TODAY = date(2027, 1, 4)
STAGES = (
    Shown("brim", "Ribbed brim", "brim, after cast_on"),
    Shown("body", "Body", "before body"),
    Shown("crown", "Crown", "before crown"),
)
TALKS = (
    "We cast on with the long tail method. Leave a tail three times as long as the edge. The loop goes round the thumb "
    "and the needle dips under the strand. Slide each loop along and keep the edge loose. Casting on evenly makes the "
    "edge stretch. If the tail runs out, begin with a longer tail.",
    "Now the ribbing. Knit two and purl two all the way. Ribbing pulls in and hugs the wrist. Knit columns stand up "
    "and purl columns sink. When a column is wrong, drop the ladder and mend it. Ribbing wants smaller needles. Purl "
    "bumps face you, knit columns look like braids.",
    "Thumb gusset. Place a marker on each side of one stitch. Increase beside both markers, left and right. The gusset "
    "widens like a wedge. Slip the gusset to waste yarn. The thumb waits there until the hand is finished. Increases "
    "lean away from the markers.",
)


def words(text: str) -> Counter[str]:
    """The words; underscores round them are Markdown's, and stress them."""
    return Counter(re.findall(r"[^\W_]+", text))


def read(folder: Path) -> str:
    return "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.yaml")))


def captions(pause: float = 3.0) -> tuple[str, list[float]]:
    """Captions of three talks, each said twice over, and the seconds at which the second and third begin."""
    lines, at, begun = ["WEBVTT", ""], 2.0, []
    for number, talk in enumerate(TALKS):
        begun += [at] if number else []
        for sentence in re.findall(r"[^.]+\.", talk) * 2:
            lasts = len(sentence.split()) / 2.2
            lines += [
                " --> ".join(f"00:{int(t // 60):02}:{t % 60:06.3f}" for t in (at, at + lasts)),
                sentence.strip(),
                "",
            ]
            at += lasts + 0.4
        at += pause
    return "\n".join(lines), begun


@cache
def filmed() -> tuple[Path, Begun, Course]:
    folder = Path(mkdtemp()) / "course"
    sources = Sources(pattern=HERE / "hat.txt", script=HERE / "script.md")
    done = begin_from(folder, {"knitters": "Ada, Bo"}, TODAY, sources, lambda texts: texts)
    result = lessonplan.load(folder)
    assert result.worked
    assert [str(one) for one in result.problems] == []
    return folder, done, result.worked.course


def test_headings_are_segments_and_every_word_is_there() -> None:
    folder, done, course = filmed()
    (episode,) = course.episodes
    assert episode.title == "The Tarn Hat, on video"
    assert [segment.title for segment in episode.segments] == ["Welcome", "The brim", "Body", "The crown"]
    printed = (HERE / "script.md").read_text(encoding="utf-8")
    assert words(printed) - words(read(folder)) == Counter()
    assert len(done.taken["script.md"]) == 19


def test_shots_have_their_words_hands_pieces_and_times() -> None:
    welcome, brim, body, crown = filmed()[2].episodes[0].segments
    (hello,) = welcome.shots
    assert (hello.view, hello.pieces[0].needs, hello.on_screen) == ("face", "finished", ("Tarn Hat, five sizes",))
    assert hello.say.startswith("Hello, I am Tove")
    assert [(shot.pieces[0].shows, shot.pieces[0].needs) for shot in brim.shots] == [
        ("brim or later", ""), ("", "brim, after cast_on"), ("", "brim"),
    ]  # fmt: skip
    assert [round((shot.hands[0].time or 0) * 60) for shot in brim.shots] == [10, 20, 10]
    assert brim.shots[1].say.strip().endswith("smaller needles. Close the ring, and look that nothing is twisted.")
    assert [shot.view for shot in body.shots] == ["face", "close on the hands"]
    assert body.shots[1].pieces[0].needs == "before body"
    assert [bool(shot.pieces) for shot in crown.shots] == [True, False, False]
    left = {one.line: one.left for one in filmed()[1].taken["script.md"]}
    assert "which piece" in left[32]


def test_a_script_of_a_thing_that_is_made_by_a_standard_construction(tmp_path: Path) -> None:
    begin_from(tmp_path / "c", {"made": "hat"}, TODAY, Sources(script=HERE / "script.md"), lambda texts: texts)
    course = lessonplan.load(tmp_path / "c").worked
    assert course
    assert course.course.episodes[0].segments[1].shots[0].pieces[0].shows == "brim or later"


def test_episodes_tables_and_labels() -> None:
    text = (
        "Episode 1: Beginning\n\nBrim\n\n| Video | Audio |\n|---|---|\n"
        "| overhead: shows the brim | This is the brim. |\n\n"
        "EPISODE 2\n\nThe crown (2 minutes)\n\nVIDEO: knits the crown\n\nVO: Eight lines, here they are.\n\n"
        "0:10-0:25 [points at the crown]\n\nON SCREEN: Crown\n"
    )
    script = read_script(Given("s.txt", text), STAGES)
    assert [one.title for one in script.episodes] == ["Beginning", "EPISODE 2"]
    first, second = ("\n".join(one.segments) for one in script.episodes)
    assert "- shows: brim or later" in first
    assert "This is the brim." in first
    assert "- needs: before crown" in second
    assert "time: 15 s" in second
    assert '- "Crown"' in second
    assert words(text) - words("\n".join([first, second, *(one.title for one in script.episodes)])) == Counter()
    assert [one.kind for one in script.taken].count("episode") == 2


def test_what_stands_above_the_first_named_episode_is_none_of_its_own() -> None:
    text = (
        "A market bag, to be crocheted along with me in two episodes\n\nFor the spring.\n\n"
        "Episode 1: The base\n\nThe ring\n[to camera]\nHello.\n\nGood bye\n[to camera]\nSee you.\n\n"
        "Episode 2: The mesh\n\nWelcome back.\n"
    )
    script = read_script(Given("s.txt", text), STAGES)
    assert [one.title for one in script.episodes] == ["The base", "The mesh"]
    first = "\n".join(script.episodes[0].segments)
    assert re.findall(r"- title: (.*)", first) == ['"The ring"', '"Good bye"']
    assert re.findall(r"# (A market bag.*|For the.*)", first) == text.split("\n")[:3:2]
    assert [one.stands for one in script.taken if one.text == "Episode 2: The mesh"] == ["episodes/02.yaml"]


def test_what_is_being_done_is_asked_of_a_piece_before_it() -> None:
    text = "Dividing here\n\n[shows the brim going on needles]\n\nHere.\n\n[shows the brim lying flat]\n\nThere.\n"
    (episode,) = read_script(Given("s.txt", text), [*STAGES, Shown("divide", "Divide", "before divide")]).episodes
    lines = [line.strip() for one in episode.segments for line in one.split("\n")]
    found = [line for line in lines if line.startswith(("- needs", "- shows"))]
    assert found == ["- needs: before divide", "- shows: brim or later"]


def test_what_is_no_word_is_a_remark_and_what_is_stressed_is_said() -> None:
    said = ("All of this is said, and all of it is stressed.", "*This* and *that*.", "_ and so on.")
    text = f"_\n\n# Brim\n\n_{said[0]}_\n\n{said[1]}\n\n{said[2]}\n\n~ [shows the brim]\n\n♪ ♪\n"
    script = read_script(Given("s.txt", text), STAGES)
    written = "\n".join(script.episodes[0].segments)
    assert re.findall(r"say: \|\n\s+(.*)", written) == [*said]
    assert [one.text for one in script.taken if one.kind == "not placed"] == ["_", "♪ ♪"]
    remarks = [line.strip() for line in written.splitlines() if line.strip().startswith("#")]
    assert [mark for mark in ("_", "~", "♪ ♪") if not any(mark in one for one in remarks)] == []


def test_a_script_from_word_and_one_without_a_heading(tmp_path: Path) -> None:
    page = docx.Document()
    page.add_heading("Making a hat", 1)
    page.add_paragraph("We make a hat.")
    page.add_paragraph("[shows the finished hat]")
    page.save(str(tmp_path / "s.docx"))
    done = begin_from(tmp_path / "c", {}, TODAY, Sources(script=tmp_path / "s.docx"), lambda texts: texts)
    assert [one.kind for one in done.taken["s.docx"]] == ["segment", "words said", "what the hands do, a piece shown"]
    (tmp_path / "t.txt").write_text("We only talk, and nothing is shown in this.", encoding="utf-8")
    begin_from(tmp_path / "d", {}, TODAY, Sources(script=tmp_path / "t.txt"), lambda texts: texts)
    course = lessonplan.load(tmp_path / "d").worked
    assert course
    assert course.course.episodes[0].segments[0].title == "Welcome"


def test_segments_of_captions_begin_where_the_talk_changes() -> None:
    for pause in (3.0, 0.2):
        text, begun = captions(pause)
        said = said_once(read_captions(text.encode(), "talk.vtt").cues)
        starts = [said[place].start / 1000 for place in boundaries(said)]
        assert len(starts) == len(begun)
        assert all(abs(one - other) < 10 for one, other in zip(starts, begun, strict=True)), (starts, begun)
    alone = read_captions(captions()[0].partition("00:01:")[0].encode(), "talk.vtt")
    assert boundaries(said_once(alone.cues)) == []


def test_a_draft_says_that_it_is_one_and_keeps_what_was_said(tmp_path: Path) -> None:
    text, _ = captions()
    (tmp_path / "talk.vtt").write_text(text, encoding="utf-8")
    sources = Sources(pattern=HERE / "cowl.txt", script=HERE / "script.md", captions=tmp_path / "talk.vtt")
    done = begin_from(tmp_path / "c", {}, TODAY, sources, lambda texts: texts)
    files = [path.name for path in done.files if path.parent.name != "schema"]
    assert files == ["course.yaml", "pattern.yaml", "01.yaml", "02.yaml"]
    written = (tmp_path / "c" / "episodes" / "02.yaml").read_text(encoding="utf-8")
    assert written.count("A draft, from captions") == 3
    assert words(" ".join(TALKS)) - words(written) == Counter()
    worked = lessonplan.load(tmp_path / "c").worked
    assert worked
    segments = worked.course.episodes[1].segments
    assert ["column" in one.title.lower() or "purl" in one.title.lower() for one in segments] == [False, True, False]
    seconds = sum(point.time for one in segments for shot in one.shots for point in shot.points) * 60
    ends = [cue.end / 1000 for cue in read_captions(text.encode(), "talk.vtt").cues]
    assert 0.9 * (ends[-1] - 2) < seconds < ends[-1] - 2
    assert segments[0].shots[0].points[0].text == "We cast on with the long tail method."


def test_captions_that_roll_are_said_once() -> None:
    lines = ["WEBVTT", ""]
    parts = [f"word{number} thing{number} place{number}" for number in range(40)]
    for number in range(1, 40):
        lines += [f"00:00:{number:02}.000 --> 00:00:{number + 1:02}.000", f"{parts[number - 1]}\n{parts[number]}", ""]
    found = draft(read_captions("\n".join(lines).encode(), "rolls.vtt"), "Rolls")
    remarks = "\n".join(line for one in found.episodes[0].segments for line in one.splitlines() if "#" in line)
    assert remarks.count("word7 ") == 1


def test_bad_input_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "none.vtt").write_text("WEBVTT\n\n", encoding="utf-8")
    (tmp_path / "none.txt").write_text("# A heading\n\n---\n", encoding="utf-8")
    for option, name, says in (("--captions", "none.vtt", "no words"), ("--script", "none.txt", "no script")):
        run = CliRunner().invoke(app, ["begin", str(tmp_path / "c"), option, str(tmp_path / name), "--yes"])
        assert (run.exit_code, says in run.stderr, (tmp_path / "c").exists()) == (3, True, False)
        assert len(run.stderr.strip().split("\n")) == 1
    with pytest.raises(AnswerError, match="more days of filming"):
        begin_from(tmp_path / "c", {"shoot": "3"}, TODAY, Sources(script=HERE / "script.md"), lambda texts: texts)
    with pytest.raises(UnfitError, match="not a plain file"):
        begin_from(tmp_path / "c", {}, TODAY, Sources(script=tmp_path), lambda texts: texts)


CONTROL = re.compile("[^\t\n\x20-\x7e\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
PARTS = """\
# Brim
## The brim: how
[shows the brim, 5 s]
TEXT: 64 stitches
Say {{ brim }} and {% that %} now.
| overhead | words |
(she laughs)
0:10-0:05 back
Episode 2
- [#: "quoted" \\ text]
VO: - {x: y}
***"""


@settings(max_examples=60)
@given(st.lists(st.one_of(st.sampled_from(PARTS.split("\n")), st.text(max_size=30), st.just("")), max_size=12))
def test_whatever_a_script_holds_is_read_again(lines: list[str]) -> None:
    """The rest of the course is there already; only the episodes are new."""
    folder = filmed()[0].parent / "any"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(filmed()[0], folder)
    text = CONTROL.sub(" ", "\n".join([*lines, "", "And this is said."]))
    script = read_script(Given("any.txt", text), STAGES)
    for number, episode in enumerate(script.episodes, 1):
        head = f"episode: {number}\ntitle: {quoted(episode.title)}\nsegments:\n"
        (folder / "episodes" / f"{number:02}.yaml").write_text(head + "\n\n".join(episode.segments), encoding="utf-8")
    assert [str(one) for one in load(folder).problems if one.severity == "error"] == []
    written = read(folder / "episodes")
    assert words(text) - words(written.replace('\\"', '"')) == Counter()
    told = [line for line in written.splitlines() if not line.lstrip().startswith("#")]
    assert not [line for line in told if re.search(r"\{\{|\}\}|\{%|\{#", line)]


def test_half_of_a_stage_is_half_of_its_rounds_and_what_is_worked_is_a_piece() -> None:
    text = "Yoke\n\n[overhead, shows the yoke half done, 10 s]\nSo far.\n\nMarkers\n\n[works one increase, 40 s]\nSo.\n"
    stages = [Shown("yoke", "Yoke", "before yoke", rounds=34), Shown("hem", "Hem", "before hem")]
    script = read_script(Given("s.txt", text), stages)
    (episode,) = script.episodes
    assert "- needs: yoke round 17\n" in "\n".join(episode.segments)
    assert [one.left for one in script.taken if one.text.startswith("[works")] == ["say which piece is shown"]
    unknown = read_script(Given("s.txt", text), [Shown("yoke", "Yoke", "before yoke")])
    assert [one.left for one in unknown.taken if "half" in one.text] == ["say which piece is shown"]


def test_a_script_has_its_episodes_so_that_nobody_is_asked_how_many(tmp_path: Path) -> None:
    (tmp_path / "s.txt").write_text("Episode 1: One\n\nHello.\n\nEpisode 2: Two\n\nGoodbye.\n", encoding="utf-8")
    asked: list[str] = []

    def answer(question: str, default: str) -> str:
        asked.append(question)
        return default

    def ask(texts: Mapping[str, str]) -> Mapping[str, str]:
        return interview(texts, TODAY, answer, asked.append)

    begin_from(tmp_path / "c", {"made": "hat", "shoot": "2"}, TODAY, Sources(script=tmp_path / "s.txt"), ask)
    assert asked
    assert not any("How many episodes" in one for one in asked)
    assert sorted(path.name for path in (tmp_path / "c" / "episodes").iterdir()) == ["01.yaml", "02.yaml"]


@pytest.mark.parametrize(
    ("said", "title"),
    [
        ("Welcome back. You have a cuff like this one.", "Welcome back"),
        ("Knit half way round, that is the same number of stitches.", "Knit half way round"),
        ("First the one that leans to the left.", "First the one that leans …"),
        ("Between the increases there is a plain round.", "Between the increases there is a plain …"),
        ("So. There is a thumb asleep at the side.", "So. There is a thumb asleep …"),
        ("Now the loud yarn comes into its own, at last.", "Now the loud yarn comes …"),
        ("shows the finished brim", "shows the finished brim"),
        ("Look,", "Look"),
        ("3.5 mm needles, for those who knit loosely or fast", "3.5 mm needles"),
        ("", ""),
    ],
)
def test_a_title_is_a_sentence_a_clause_or_says_that_it_goes_on(said: str, title: str) -> None:
    assert short_title(said) == title
