"""Promises on paper: how each is closed, and what of them the editor makes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.editor import editor_view
from lessonplan.documents.promises import promises_view
from lessonplan.edit.spoken import as_written
from lessonplan.planning.worked import Plan
from lessonplan.render.pages import page


def with_kept(root: Path, folder: Path, *entries: str) -> Plan:
    """The sample course, more below “kept” of its second episode."""
    shutil.copytree(root / "sample_course", folder)
    (file,) = (folder / "episodes").glob("02-*")
    lines = "".join(f"\n  {entry}" for entry in entries)
    file.write_text(file.read_text("utf-8").replace("\nkept:", f"\nkept:{lines}", 1), encoding="utf-8")
    plan = lessonplan.plan(folder).plan
    assert plan is not None
    return plan


def test_the_editor_has_the_end_card_and_a_line_is_closed_as_the_page_says(root: Path, tmp_path: Path) -> None:
    """The next episode, its title and its day are read in the course: two times 14 days after 26 February 2027."""
    plan = with_kept(root, tmp_path / "noted", "as many as before: laid over as a text")
    second = plan.course.episodes[1]
    named = (
        "Next episode (3, “The roof, the thumb and the finish”, out on Friday 26 March 2027), for 2.5.2 refers to it"
    )
    assert editor_view(plan, second).end_card == (f"{named}: its address is missing",)
    assert editor_view(plan, plan.course.episodes[0]).end_card == (), "its shots refer to none"
    row = next(one for one in promises_view(plan).episodes[1].rows if one.source.startswith("must be said"))
    assert row.kept == ""
    assert "a time of the video" in row.lacks, "words alone close nothing"
    plan = with_kept(
        root, tmp_path / "kept", "as many as before: as a text, 11:26", "next episode: https://example.org/3"
    )
    assert editor_view(plan, plan.course.episodes[1]).end_card == (f"{named}: https://example.org/3",)
    view = promises_view(plan)
    row = next(one for one in view.episodes[1].rows if one.source.startswith("must be said"))
    assert row.kept == "as a text, 11:26"
    told = page("promises.html", view, language="en").decode()
    assert "such as “as a text, 2:05”" in told
    assert "<code>must_say</code> of its shot" in told


def test_what_is_open_stands_on_the_editors_sheet_with_what_is_missing(sample: Plan) -> None:
    """Of the four open promises of episode 2 the page lists, one is the end card, which has a place of its own."""
    rows = [one for one in promises_view(sample).episodes[1].rows if not one.kept]
    sheet = editor_view(sample, sample.course.episodes[1])
    assert [one.words for one in rows if one not in sheet.promises] == ["next episode"]
    photo, link = (next(one for one in sheet.promises if word in one.words) for word in ("photo", "link"))
    assert "missing is the address of the photo" in photo.lacks
    assert link.words == "“I’ll put the link to it below the video”", "the captions have “i'll”"


@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("and i'm sure i will", "And I’m sure I will"),
        ("it's nils' i-cord in iceland", "It’s nils’ i-cord in iceland"),
        ("I can, if Nils' is i", "I can, if Nils’ is i"),  # who writes capitals is left as she writes
        ("", ""),
    ],
)
def test_what_was_heard_is_published_as_one_writes(heard: str, written: str) -> None:
    assert as_written(heard) == written
