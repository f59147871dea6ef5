"""Texts to paste, against the course they come from: chapters, amounts, links, mistakes, and nothing left to markup."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.posts import SHORT, EpisodePosts, posts_view
from lessonplan.planning.worked import Plan
from lessonplan.publish.editions import code_of
from tests.small_course import write_course


@pytest.fixture(scope="module")
def second(sample: Plan) -> EpisodePosts:
    return posts_view(sample).episodes[1]


def text(posts: EpisodePosts, what: str) -> str:
    return next(one.text for one in posts.posts if one.what == what)


def test_every_episode_has_its_texts(sample: Plan) -> None:
    view = posts_view(sample)
    assert [one.number for one in view.episodes] == [1, 2, 3]
    for episode in view.episodes:
        short = text(episode, "Short description")
        assert len(short) <= SHORT
        assert short.startswith(f"{episode.title}. Episode {episode.number} of A Pair of Ostrelby Mittens.")
        assert "- All errata, there as a feed too: [the address of the errata page]" in text(episode, "Description")
        for post in episode.posts:
            assert post.text == post.text.strip()
            assert not re.search(r"\{\{|\*\*|\]\(", post.text), "neither facts to fill in nor markup"


def test_a_description_begins_its_chapters_at_zero(second: EpisodePosts) -> None:
    starts = re.findall(r"(?m)^(\d+):(\d\d) \S", text(second, "Description"))
    seconds = [60 * int(minutes) + int(rest) for minutes, rest in starts]
    assert seconds[0] == 0
    assert seconds == sorted(seconds)
    assert len(seconds) >= 3


def test_a_description_has_yarn_links_and_mistakes(second: EpisodePosts) -> None:
    whole = text(second, "Description")
    # One ball of each yarn is enough in every size; the promise has a place for its link, with how it is kept.
    assert whole.count(": 1 ball\n") == 2
    # “It” is what was said before: which yarn it is, the words as they stand in the captions from 8:55 on.
    link = next(line for line in whole.splitlines() if line.startswith("- 9:03 “I’ll put the link to it below the vi"))
    assert "“Somebody asked me which waste yarn this is it’s a cotton from the market it’s very slippery”]" in link
    # The captions have no capital at all, so that nobody can tell what in them is a name.
    assert link.endswith(
        " [words from captions without capitals: look over names]: [link: in the description, beside the waste yarn]"
    )
    assert "[the address of the handout]" in whole
    # Both errata of the episode are open or planned; the one of episode 3 is mended and of another part.
    mistakes = whole.split("Errata:\n")[1].split("\n\n")[0].splitlines()
    # The number is heard once in its segment; the picture lies in its shot, heard from 13:51 to 15:34.
    assert [line[:36] for line in mistakes] == [
        "- 9:45 Fifteen stitches go on the wa",
        "- 13:50 to 15:34 In the second strip",
    ]
    assert "11 (13, 15) stitches go on the waste yarn" in mistakes[0]
    assert "local rules" in whole.splitlines()[-1]


def test_yarn_can_be_bought_by_a_description_alone(sample: Plan) -> None:
    # Whose the three numbers are, for how many mittens, and why there are two: the loop of the one choice takes more.
    for episode in posts_view(sample).episodes:
        needed = text(episode, "Description").split("You need")[1].split("\n\n")[0].splitlines()
        assert needed[0] == ", for the pair, 10 % in reserve included:"
        assert needed[1] == (
            "- Numbers are for Small (Medium, Large). Where there are two, the choice takes one or the other. "
            "Finish: without a loop (as filmed) or with a loop."
        )
        assert "–59" in needed[3]


def test_the_pinned_note_puts_right_first(sample: Plan) -> None:
    first, second, _ = posts_view(sample).episodes
    assert text(first, "Pinned note") == (
        f"The handout, edition 1, code {code_of(sample)}: [the address of the handout]\n"
        "All errata, there as a feed too: [the address of the errata page]"
    )
    assert text(second, "Pinned note").startswith("Errata:\n- ")


def test_the_newsletter_says_when_and_for_how_long(sample: Plan, second: EpisodePosts) -> None:
    told = text(second, "Newsletter")
    assert told.startswith(
        "Episode 2 of A Pair of Ostrelby Mittens, “Room for a thumb, and a band of cobbles”, is out on "
    )
    # The first episode is out on Friday 26 February 2027, the episodes are 14 days apart.
    assert "Friday 12 March 2027" in told
    assert told.endswith(
        "(at 30 to 20 stitches a minute) for Small (Medium, Large) until the next episode, in 14 days."
    )


def test_alt_texts_say_what_is_seen(sample: Plan, second: EpisodePosts) -> None:
    # Edge and cuff are worked in CC, tarn blue; the first round in oatmeal is that of the gusset.
    assert text(posts_view(sample).episodes[0], "Alt text for its picture") == (
        "Ostrelby Mittens in tarn blue, with Cast-on edge and Ribbed cuff done."
    )
    assert text(second, "Alt text for its picture") == (
        "Ostrelby Mittens in oatmeal and tarn blue, with Cast-on edge, Ribbed cuff, Thumb gusset and Cobble band done."
    )
    assert text(posts_view(sample).episodes[2], "Alt text for its picture") == (
        "Ostrelby Mittens in oatmeal and tarn blue, finished."
    )


def test_a_mistake_without_a_time_is_told_in_its_episode(tmp_path: Path) -> None:
    entry = "errata:\n  - {found: 2027-05-01, by: Una, where: 'episode 1, cue 3', said: ten, right: one}\n"
    made = lessonplan.plan(write_course(tmp_path, {"errata.yaml": entry})).plan
    assert made is not None
    assert text(posts_view(made).episodes[0], "Pinned note").startswith("Errata:\n- Episode 1, cue 3: ten. Right: one.")
