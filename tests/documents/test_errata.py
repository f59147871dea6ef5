"""The errata page: newest first, numbers from the pattern, and what an episode's editor still has to mend."""

from __future__ import annotations

from pathlib import Path

import lessonplan
from lessonplan.documents.errata import errata_view, rows_for_episode
from lessonplan.planning.worked import Plan
from tests.documents.timed import COURSE, PATTERN, episode, plan, shot

ERRATA = """\
errata:
  - {found: 2027-05-01, by: Ana, where: "Episode 1, shot 1.1.1", said: 100, right: "{{ edge.cast_on }} sts"}
  - {found: 2027-06-09, by: Ben, role: sample knitter, where: 1.1.1, said: left, right: right, kind: word,
     remedy: pinned note, state: planned}
  - {found: 2027-05-20, by: Cat, where: 11.1.1, said: a, right: b, kind: other}
  - {found: 2027-05-21, by: Dan, where: episode 11, said: c, right: d, kind: picture, remedy: pick-up shot}
  - {found: 2026-12-31, by: Eve, where: Episode 1, said: e, right: f, remedy: new handout, state: mended}
"""


def planned(folder: Path) -> Plan:
    pattern = PATTERN.replace("gauge:", "sizes: [S, M]\ngauge:").replace("cast_on: 110", "cast_on: 110 (120)")
    files = {"errata.yaml": ERRATA, "pattern.yaml": pattern, "episodes/11.yaml": episode((shot("face"),), number=11)}
    course = COURSE.replace("films: [1]", "films: [1, 11]") + "edition: 3\nfilm_size: M\n"
    return plan(folder, episode((shot("face"),)), course, files)


def test_newest_first_with_all_that_is_known(tmp_path: Path) -> None:
    view = errata_view(planned(tmp_path))
    assert (view.title, view.edition[:8]) == ("Ring cowl", "3, code ")
    assert [row.found for row in view.rows] == [
        "Wednesday 9 June 2027",
        "Friday 21 May 2027",
        "Thursday 20 May 2027",
        "Saturday 1 May 2027",
        "Thursday 31 December 2026",
    ]
    first = view.rows[0]
    assert (first.where, first.said, first.right, first.kind) == (
        "Episode 1, “A” (planned at 0:00)",
        "left",
        "right",
        "word",
    )
    assert (first.remedy, first.state, first.by, first.role) == ("pinned note", "planned", "Ben", "sample knitter")
    # Viewers knit any size, so they are told the numbers of all, and which is whose.
    assert view.rows[3].right == "S\u00a0(M): 110\u00a0(120) sts"
    assert (view.rows[3].remedy, view.rows[3].state, view.rows[3].by) == ("none yet", "open", "Ana")


def test_an_episodes_editor_has_what_is_not_mended_as_it_is_laid_over(tmp_path: Path) -> None:
    found = planned(tmp_path)
    assert [(row.by, row.right) for row in rows_for_episode(found, 1)] == [
        ("Ben", "right"),
        ("Ana", "S\u00a0(M): 110\u00a0(120) sts"),
    ]
    assert [row.by for row in rows_for_episode(found, 11)] == ["Dan", "Cat"]


def test_a_viewer_reads_how_it_stands_and_not_how_it_is_mended(tmp_path: Path) -> None:
    log = ERRATA.replace("by: Ana", "by: proofing, role: captions").replace('"Episode 1, shot', '"episode 1, shot')
    made = plan(tmp_path, episode((shot("face"),)), COURSE, {"errata.yaml": log.replace("11.1.1", "1.1.1")})
    stands = {row.said: row.stands for row in errata_view(made).rows}
    assert stands["100"] == "the video still has it"
    assert stands["left"] == "the video still has it; the pinned note is to tell of it"
    assert stands["c"] == "not mended yet, until another picture takes its place"  # no place in a video is known
    lessonplan.build(tmp_path, tmp_path / "out")
    page = (tmp_path / "out" / "errata.html").read_text(encoding="utf-8")
    assert "Found Saturday 1 May 2027 in the captions." in page
    assert not [word for word in ("proofing", "Remedy", "kind:", "pick-up", "open</p>", "planned</p>") if word in page]
    assert "Its numbers are right." in page


def test_an_open_erratum_of_the_handout_leaves_no_word_that_it_is_right(tmp_path: Path) -> None:
    log = ERRATA.replace("where: episode 11", 'where: "the handout, page 2"').replace("where: 11.1.1", "where: 1.1.1")
    made = plan(tmp_path, episode((shot("face"),)), COURSE, {"errata.yaml": log})
    assert not errata_view(made).handout_right
