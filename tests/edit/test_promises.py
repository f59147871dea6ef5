"""Promises: planned ones, those in what is said, and when each is kept; small courses and captions written here."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml

import lessonplan
from lessonplan.edit.captions.reading import Captions, read_captions
from lessonplan.edit.promises import Promise, promises_of, unmatched
from lessonplan.planning.worked import Worked
from tests.small_course import COURSE, EPISODE, write_course

HERE = Path(__file__).parent
SHOT = """\
        must_say: "{{ edge.cast_on }} stitches, and not one more"
        mentions:
          - the kit
          - "another video: How to wash wool"
        on_screen:"""
KEPT = "kept:\n  wash wool: on the end card, https://example.org/wash\n  the kit: on the end card\n"


def course(tmp_path: Path, shot: str = SHOT, kept: str = "") -> tuple[Worked | None, list[str]]:
    episode = EPISODE.replace("        on_screen:", shot) + kept
    result = lessonplan.load(write_course(tmp_path, {"episodes/01.yaml": episode}))
    return result.worked, [str(problem) for problem in result.problems]


def said(*lines: str) -> Captions:
    """Captions of five seconds a line."""
    blocks = [f"00:{5 * i:02}.000 --> 00:{5 * i + 5:02}.000\n{line}\n" for i, line in enumerate(lines)]
    return read_captions(("WEBVTT\n\n" + "\n".join(blocks)).encode(), "captions/01.vtt")


@dataclass
class Listed:
    every: tuple[Promise, ...]

    def __getitem__(self, words: str) -> Promise:
        return next(one for one in self.every if words in one.words)


def listed(worked: Worked | None, captions: Captions | None = None) -> Listed:
    assert worked
    return Listed(promises_of(worked, worked.course.episodes[0], captions))


def test_planned_ones_are_open_until_an_entry_has_their_words(tmp_path: Path) -> None:
    worked, problems = course(tmp_path, kept=KEPT)
    assert problems == []
    found = listed(worked)
    assert [(one.source, one.due, one.number) for one in found.every] == [
        ("must say", "captions", "1.1.1"),
        ("mentions", "description", "1.1.1"),
        ("mentions", "description and end card", "1.1.1"),
    ]
    assert found["40 stitches, and not one more"].open
    assert found["the kit"].open, "where it is to stand is no address"
    assert found["the kit"].noted == "on the end card"
    assert found["How to wash wool"].kept == "on the end card, https://example.org/wash"


def test_a_line_is_kept_when_it_is_heard_and_not_by_another_number(tmp_path: Path) -> None:
    worked, _ = course(tmp_path)
    heard = listed(worked, said("hello to you", "now cast on forty stitches", "and not one stitch more"))
    assert heard["and not one more"].kept == "said"
    assert heard["and not one more"].at == pytest.approx(5 + 5 * 12 / 26, abs=0.5)
    assert listed(worked, said("hello", "cast on fourteen stitches and not one more"))["not one more"].open
    assert listed(worked, said("hello", "these stitches are nice"))["not one more"].at is None


@pytest.mark.parametrize(
    ("line", "due"),
    [
        ("i'll put the link below", "description"),
        ("I’ll leave a list of the tools in the description", "description"),
        ("the link is below the video", "description"),
        ("there'll be a link for that", "description"),
        ("i will put the chart in the handout", "handout"),
        ("there's a drawing of the cuff in the handout", "handout"),
        ("look in the handout", "handout"),
        ("yours is in the handout", "handout"),
        ("you'll find the chart in your handout", "handout"),
        ("the handout has all the sizes", "handout"),
        ("i'll show you that next time", "next episode"),
        ("in the next part i'll explain how it is closed", "next episode"),
        ("i'll do that in another video", "another video"),
        ("there's a video about washing", "another video"),
    ],
)
def test_what_is_promised_before_the_camera(tmp_path: Path, line: str, due: str) -> None:
    worked, _ = course(tmp_path, "        on_screen:")
    [one] = listed(worked, said("let me see", line, "and so on")).every
    assert (one.source, one.due, one.at) == ("said", due, 5.0)
    assert one.words in (line, f"{line} and so on")
    assert (one.words == line) == (due in ("description", "handout") or "how it" in line)
    assert one.open is ("sizes" not in line)  # these are in every handout


def test_what_points_back_is_told_with_the_words_before(tmp_path: Path) -> None:
    captions = said(
        "well now", "there is a needle case made of birch", "it has room for twelve", "i'll put a link to it"
    )
    worked, _ = course(tmp_path, "        on_screen:")
    [one] = listed(worked, captions).every
    assert one.before == one.unnamed == "there is a needle case made of birch it has room for twelve"
    worked, _ = course(tmp_path, "        on_screen:", "kept:\n  link to it: https://example.org/case\n")
    assert listed(worked, captions).every[0].unnamed == one.before, "an address alone names nothing"
    worked, _ = course(tmp_path, "        on_screen:", "kept:\n  link to it: needle case https://example.org/case\n")
    assert listed(worked, captions).every[0].unnamed == ""
    [named] = listed(worked, said("well now", "i'll put a link to the needle case below")).every
    assert named.before == ""


@pytest.mark.parametrize(("behind", "kept"), [(0, 0), (7, 7), (8, 8), (9, 8)])
def test_of_what_is_said_behind_a_promise_eight_words_are_told(tmp_path: Path, behind: int, kept: int) -> None:
    words = [f"w{place}" for place in range(behind)]
    line = "i'll put the address of the shop below"
    worked, _ = course(tmp_path, "        on_screen:")
    [one] = listed(worked, said("well now", " ".join([line, *words]), "so much for that")).every
    assert one.words == " ".join([line, *words[:kept]])


@pytest.mark.parametrize(("last", "first"), [(12, "second"), (13, "second"), (11, "first")])
def test_twelve_words_at_least_tell_to_what_a_promise_points_back(tmp_path: Path, last: int, first: str) -> None:
    """From where a caption begins: if that before has fewer, with the one before it."""
    lines = (
        "first caption",
        " ".join(["second", *(f"w{place}" for place in range(last - 1))]),
        "i'll put a link to it",
    )
    worked, _ = course(tmp_path, "        on_screen:")
    [one] = listed(worked, said("well now", *lines)).every
    assert one.before.split()[0] == first


@pytest.mark.parametrize(
    "line",
    [
        "put the marker below the stitch",
        "i'll show you that in a minute",
        "next time round you knit it through the back",
        "the two chains link up with each other",
        "hold it below the needle",
        "that is not in the handout",
        "write it in the margin of the handout",
    ],
)
def test_what_is_no_promise(tmp_path: Path, line: str) -> None:
    worked, _ = course(tmp_path, "        on_screen:")
    assert listed(worked, said("let me see", line, "and so on")).every == ()


def test_a_spoken_promise_is_kept_by_some_of_its_words_in_their_order(tmp_path: Path) -> None:
    captions = said("i'll put the link to the yarn below")
    worked, problems = course(tmp_path, "        on_screen:", "kept:\n  link yarn below: https://example.org/yarn\n")
    assert problems == []
    assert [one.kept for one in listed(worked, captions).every] == ["https://example.org/yarn"]
    assert worked
    assert unmatched(worked, worked.course.episodes[0], captions) == ()
    worked, _ = course(tmp_path, "        on_screen:", "kept:\n  yarn link: in the description\n")
    assert [one.kept for one in listed(worked, captions).every] == [""]
    assert worked
    [problem] = unmatched(worked, worked.course.episodes[0], captions)
    assert problem.message == "No promise of this episode has the words “yarn link”."
    assert problem.where.line == 15


@pytest.mark.parametrize(
    ("line", "entry", "kept"),
    [
        ("i'll put the link below", "put the link: 1.2.1", False),  # a link has an address
        ("i will put the chart in the handout", "the chart: at 1.1", True),
        ("there's a photo of that in the handout", "a photo: 1.1", False),  # no page of it has any
        ("there's a photo of that in the handout", "a photo: https://example.org/photo", True),
        ("i will put the chart in the handout", "the chart: at 1.4", False),  # there is no such segment
        ("i will put the chart in the handout", "the chart: on its last page", False),
        ("i'll show you that next time", "show you: https://example.org/next", True),
        ("i'll show you that next time", "show you: 1.1.1", False),  # that is this episode
        ("i'll do that in another video", "another video: soon", False),
    ],
)
def test_a_promise_is_kept_by_what_shows_it(tmp_path: Path, line: str, entry: str, kept: bool) -> None:
    worked, _ = course(tmp_path, "        on_screen:", f"kept:\n  {entry}\n")
    [one] = listed(worked, said("let me see", line, "and so on")).every
    said_of_it = entry.partition(": ")[2]
    assert (one.kept, one.noted) == ((said_of_it, "") if kept else ("", said_of_it))


def test_a_line_that_is_said_in_other_words_is_kept_by_its_time(tmp_path: Path) -> None:
    for entry, kept in (("said at 2:05", True), ("said", False)):
        worked, _ = course(tmp_path, kept=f"kept:\n  not one more: {entry}\n")
        assert listed(worked, said("hello"))["and not one more"].open is not kept


def test_the_handout_is_kept_by_the_address_of_the_course(tmp_path: Path) -> None:
    shot = "        mentions: the handout\n        on_screen:"
    files = {"episodes/01.yaml": EPISODE.replace("        on_screen:", shot)}
    for more, is_open in (("", True), ("address: https://example.org/handout\n", False)):
        found = lessonplan.load(write_course(tmp_path, {**files, "course.yaml": COURSE + more})).worked
        assert listed(found)["the handout"].open is is_open


def test_a_text_over_the_picture_that_sends_viewers_below_is_a_promise(tmp_path: Path) -> None:
    bare = EPISODE.replace("Then the body", "Errata are below this video")
    named = bare.replace("        on_screen:", "        mentions: the errata page\n        on_screen:")
    files = {"course.yaml": COURSE + "errata_address: https://example.org/errata\n"}

    def promised(episode: str) -> list[tuple[str, str, str, bool]]:
        worked = lessonplan.load(write_course(tmp_path, {**files, "episodes/01.yaml": episode})).worked
        return [(one.source, one.due, one.words, one.open) for one in listed(worked).every]

    # What its shot mentions says better what is to be there; the page of errata is, once the course has its address.
    assert promised(bare) == [("shown", "description", "Errata are below this video", True)]
    assert promised(named) == [("mentions", "description", "the errata page", False)]


@pytest.mark.parametrize(
    ("shot", "kept", "line", "sentence"),
    [
        ("        mentions: the kits\n        on_screen:", "", 13, "did you mean “the kit”?"),
        ("        mentions: another video\n        on_screen:", "", 13, "“another video” needs its name"),
        ("        mentions: [the kit, the moon]\n        on_screen:", "", 13, "“the moon” is nothing that a shot can"),
        ("        mentions: next episode\n        on_screen:", "", 13, "No episode comes after this one."),
        ("        must_say: '{{ egde.cast_on }}'\n        on_screen:", "", 13, "There is no fact “egde.cast_on”."),
        ("        on_screen:", "kept: [done]\n", 14, "should be a group of “key: value” lines"),
        ("        on_screen:", "kept:\n  the link:\n", 15, "A value is missing after this key"),
    ],
)
def test_bad_input_is_one_sentence_with_its_line(
    tmp_path: Path, shot: str, kept: str, line: int, sentence: str
) -> None:
    _, problems = course(tmp_path, shot, kept)
    assert len(problems) == 1, problems
    assert problems[0].startswith(f"episodes/01.yaml:{line}:")
    assert sentence in problems[0]


@pytest.mark.parametrize(
    "shot",
    [
        "mentions:\n          - another video: Washing\n          - the kit",
        "mentions:\n          another video: Washing\n          the kit: its pins",
        'mentions: ["Another video: Washing", the kit]',
        "mentions: |\n          another video: Washing\n          the kit",
        "mentions:\n          - {what: another video, of: Washing}\n          - {what: the kit}",
    ],
)
def test_mentions_may_be_written_as_one_writes_them(tmp_path: Path, shot: str) -> None:
    worked, problems = course(tmp_path, f"        {shot}\n        on_screen:")
    assert problems == []
    assert [one.words.partition(":")[0] for one in listed(worked).every] == ["another video", "the kit"]
    assert listed(worked).every[0].words == "another video: Washing"


def test_several_mentions_in_one_line(tmp_path: Path) -> None:
    worked, problems = course(tmp_path, "        mentions: the kit, the handout\n        on_screen:")
    assert problems == []
    assert [one.words for one in listed(worked).every] == ["the kit", "the handout"]


def test_the_sample_promises_what_was_planted(root: Path) -> None:
    planted = yaml.safe_load((HERE / "planted.yaml").read_text(encoding="utf-8"))["promises"]
    worked = lessonplan.load(root / "sample_course").worked
    assert worked
    file = root / "sample_course" / "captions" / "02-thumb-and-band.vtt"
    found = promises_of(worked, worked.course.episodes[1], read_captions(file.read_bytes(), file.name))
    heard = [one for one in found if one.source == "said"]
    assert len(heard) == len(planted)
    for one, true in zip(heard, planted, strict=True):
        assert one.at == pytest.approx(true["at"], abs=1.5)
        assert true["said"].startswith(one.words) or one.words.startswith(true["said"])
    assert [(one.kept, one.noted) for one in heard] == [
        ("2.1", ""),
        ("", ""),
        ("", "in the description, beside the waste yarn"),
        ("3.4.1", ""),
    ]
    assert [(one.words[:11], one.at, one.open) for one in found if one.source == "must say"] == [
        ("44 stitches", None, True)
    ]


def test_a_line_of_numbers_alone_is_heard_where_all_of_them_stand_together(tmp_path: Path) -> None:
    worked, _ = course(tmp_path, '        must_say: "44, 22"\n        on_screen:')
    for lines, at in (
        (("and now we begin", "it is 44 and 22 of them"), 5.0),
        (("it is 44 of them", "and that is all"), None),
        (("it is 22 of them", "and that is all"), None),
    ):
        (one,) = [each for each in listed(worked, said(*lines)).every if each.source == "must say"]
        assert one.kept == ("said" if at else "")
        assert one.at == at if at is None or one.at is None else at <= one.at < at + 5
