"""Errata in captions written by hand, in which every word lasts half a second: at which second, and in which cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonplan.documents.editor import editor_view
from lessonplan.documents.places import corrections
from lessonplan.documents.posts import posts_view
from lessonplan.edit.kept import second_of
from lessonplan.edit.video import cuts_of
from lessonplan.planning.worked import Plan
from tests.edit.told import BATH, TAIL, WOOL, captions, plan_of

AT = 80
WORDS = TAIL.replace("and cast on over your thumb.", "and cast on {} stitches over your thumb.")
NINTH = WORDS.split().index("{}") / 2
"""Seconds from where the segment begins to its number."""


def heard(folder: Path, said: str, erratum: str, kind: str = "number", more: str = "") -> Plan:
    errata = (
        f"errata:\n  - {{found: 2027-04-02, by: A, where: 1.2.1, said: {erratum}, right: ten stitches, kind: {kind}, "
        "remedy: text over the picture}\n"
    )
    return plan_of(folder, captions((5, WOOL), (AT, WORDS.format(said) + more), (200, BATH)), errata=errata)


def to_do(plan: Plan) -> str:
    (one,) = editor_view(plan, plan.course.episodes[0]).corrections
    return one.do


@pytest.mark.parametrize("erratum", ["twelve stitches", "12 stitches are cast on", "cast on 12 sts"])
def test_a_wrong_number_is_at_the_second_at_which_it_is_heard(tmp_path: Path, erratum: str) -> None:
    plan = heard(tmp_path, "twelve", erratum)
    (one,) = plan.course.errata.errata
    episode, second = second_of(plan, one) or (0, 0)
    assert episode == 1
    assert abs(second - (AT + NINTH)) <= 1
    assert corrections(plan)[0].place == f"Episode 1 at {second // 60}:{second % 60:02}"
    assert "Make the cut" not in to_do(plan)


@pytest.mark.parametrize(
    ("said", "erratum", "kind", "more"),
    [
        ("ten", "twelve stitches", "number", ""),  # not heard
        ("twelve", "12 rounds", "number", ""),  # another unit
        ("twelve", "twelve", "number", ""),  # anything may have twelve
        ("twelve", "twelve stitches", "picture", ""),  # what is wrong is not what is said
        ("twelve", "twelve stitches", "number", " Yes, twelve stitches, all of them grey."),  # which of the two?
    ],
)
def test_what_is_not_heard_for_sure_has_a_stretch(
    tmp_path: Path, said: str, erratum: str, kind: str, more: str
) -> None:
    plan = heard(tmp_path, said, erratum, kind, more)
    assert second_of(plan, plan.course.errata.errata[0]) is None
    assert corrections(plan)[0].place == "Episode 1 at 1:20"  # the segment begins with its one shot


def test_a_cut_begins_with_what_is_taken_back_and_tells_of_the_erratum(tmp_path: Path) -> None:
    """“nine ten eleven” is counted before, and “ten” said again behind the remark: the count is no slip."""
    plan = heard(tmp_path, "nine ten eleven that is twelve stitches no sorry ten", "twelve stitches")
    (cut,) = (one for one in cuts_of(plan, 1) if one.kind == "correction")
    slip = AT + NINTH + 5 / 2  # five words behind the first of the count
    assert abs(cut.start - slip) <= 0.6
    assert abs(cut.end - (slip + 4 / 2)) <= 0.6  # “twelve stitches no sorry”
    assert to_do(plan).startswith("Make the cut from ")
    assert "it takes this out, and no correction is laid over" in to_do(plan)


def test_times_as_planned_stand_in_brackets_in_texts_to_paste(tmp_path: Path) -> None:
    errata = (
        "errata:\n"
        "  - {found: 2027-04-02, by: A, where: 1.2.1, said: short, right: long, remedy: pinned note}\n"
        "  - {found: 2027-04-02, by: B, where: episode 1 at 0:50, said: hot, right: cool, remedy: pinned note}\n"
    )
    (episode,) = posts_view(plan_of(tmp_path / "plan", None, errata=errata)).episodes
    (note,) = (post.text for post in episode.posts if post.what == "Pinned note")
    assert (
        "- [0:21 as planned] in “B”: short. Right: long.\n- 0:50 Hot. Right: cool." in note
    )  # her own time is the video's
    video = captions((5, WOOL), (80, TAIL), (200, BATH))
    (episode,) = posts_view(plan_of(tmp_path / "video", video, errata=errata)).episodes
    (note,) = (post.text for post in episode.posts if post.what == "Pinned note")
    assert "- 1:20 Short. Right: long." in note
    assert episode.times.startswith(
        "Times are those of the video as it is now, by captions/01.vtt, before any cut. Once the cuts are made, "
    )
