"""The file of what is agreed, as people write in it: what is wrong is told and never written over, all else is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.model.agreed import progress_of
from lessonplan.planning.agreed.changes import changes
from lessonplan.planning.agreed.noting import AgreeError, note_done
from tests.planning.agreeable import BODY, EDGE, ERRATA, HELLO, agreed, course, planned, refused

BAD = {
    "two letters": ("letter: B", "letter: A", "letter-twice", 17, 14),
    "two slates": ("slate: 2", "slate: 1", "slate-twice", 11, 13),
    "no such stage": ("stop: edge,", "stop: egde,", "unknown-stage", 17, 35),
    "no such round": ("stop: body round 5", "stop: body round 50", "agreed-state", 18, 35),
    "no state at all": ("stop: body round 5", 'stop: "!?"', "state", 18, 36),
    "a letter that is none": ("letter: B", "letter: b2", "wrong-value", 17, 14),
    "a kind that is none": ("kind: full, stop: edge,", "kind: thick, stop: edge,", "wrong-choice", 17, 23),
    "a day that is none": ("ready: 2027-03-04, n", "ready: soon, n", "wrong-value", 16, 89),
    "a drawer that is not there": ("stop: edge,", "drawer: box, stop: edge,", "drawer", 17, 37),
    "apart for nothing": ("stop: edge,", "only_for: the end, stop: edge,", "wrong-value", 17, 39),
    "an unknown key": ("stop: edge,", "stopp: edge,", "unknown-key", 17, 29),
    "progress of no piece": ("\n\npieces", "\nprogress: {X: edge}\n\npieces", "unknown-piece", 14, 15),
    "progress beyond": ("\n\npieces", "\nprogress: {B: body round 1}\n\npieces", "beyond-stop", 14, 15),
    "progress of no state": ("\n\npieces", "\nprogress: {B: edge round 9}\n\npieces", "agreed-state", 14, 15),
    "not YAML": ("2027-01-02", '"2027-01-02', "quotes", 6, 5),
}


@pytest.mark.parametrize("how", BAD)
def test_a_file_with_errors_is_told_of_and_never_written_over(tmp_path: Path, how: str) -> None:
    old, new, code, line, column = BAD[how]
    text = agreed(course(tmp_path, errata_yaml=ERRATA)).replace(old, new, 1)
    assert new in text
    (tmp_path / "agreed.yaml").write_text(text, encoding="utf-8")
    found = refused(tmp_path)
    assert [(one[3], one[0], one[1], one[2]) for one in found][:1] == [(code, "agreed.yaml", line, column)], found
    assert len(found) <= 1, "no ghosts"
    assert found[0][4].endswith(".")
    result, noted = note_done(tmp_path, ["A edge round 1"])
    assert noted is None
    assert result.problems
    assert (tmp_path / "agreed.yaml").read_text(encoding="utf-8") == text


def test_a_stop_that_the_pattern_has_no_more(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    pattern = (tmp_path / "pattern.yaml").read_text(encoding="utf-8").replace("rounds: 10", "rounds: 4")
    course(tmp_path, BODY.replace("body round 5", "body round 3"), pattern_yaml=pattern)
    ((file, line, _, code, what),) = refused(tmp_path)
    assert (file, line, code) == ("agreed.yaml", 18, "agreed-state")
    assert what == "Piece C: “body” has 4 rounds, not 5."


def test_slates_that_shots_name_themselves(tmp_path: Path) -> None:
    text = agreed(course(tmp_path))
    twin = BODY.replace("title: Half way", "title: Half way, slate: 7")
    ((_, line, _, code, _),) = refused(course(tmp_path, EDGE + twin))
    assert (line, code) == (10, "unknown-slate")
    both = BODY.replace("title: Half way", "slate: 3").replace("title: Bound off", "slate: 3")
    assert {one[3] for one in refused(course(tmp_path, EDGE + both))} == {"slate-twice"}
    (tmp_path / "agreed.yaml").unlink()
    (problem,) = lessonplan.plan(course(tmp_path, EDGE + twin)).problems
    assert (problem.code, problem.severity) == ("unknown-slate", "warning")
    (tmp_path / "agreed.yaml").write_text(text, encoding="utf-8")
    renamed = BODY.replace("title: Half way", "title: Some of it, slate: 3").replace("Up and up", "Other words")
    assert lessonplan.plan(course(tmp_path, renamed + EDGE)).problems == ()


@pytest.mark.parametrize(
    ("before", "done", "after"),
    [
        ("", ["B edge round 3"], "\nprogress:\n  B: edge round 3\n"),
        ("progress:\n", ["B edge round 3"], "progress: {B: edge round 3}\n"),
        ("progress: {}  # none\n", ["B edge round 3"], "progress: {B: edge round 3}  # none\n"),
        ("progress: {A: edge round 1}\n", ["B: edge"], "progress: {A: edge round 1, B: edge}\n"),
        (
            "progress:\n    A: edge round 1   # slow\n    B:   'edge round 2'\n# end\n",
            ["B edge round 3, 1 h", "C body round 1"],
            'progress:\n    A: edge round 1   # slow\n    B:   "edge round 3, 1 h"\n    C: body round 1\n# end\n',
        ),
        ("progress:\n  B: edge round 1", ["C edge"], "progress:\n  B: edge round 1\n  C: edge"),
        ("progress:\r\n  B: edge round 1\r\n", ["C edge"], "progress:\r\n  B: edge round 1\r\n  C: edge\r\n"),
    ],
)
def test_progress_is_put_in_its_place_and_nothing_else_changed(
    tmp_path: Path, before: str, done: list[str], after: str
) -> None:
    text = agreed(course(tmp_path)).replace("times: 1", "times:   1  # with Bo on the telephone")
    (tmp_path / "agreed.yaml").write_bytes((text + before).encode())
    note_done(tmp_path, done)
    assert (tmp_path / "agreed.yaml").read_bytes().decode() == text + after
    assert planned(tmp_path).course.agreed is not None


def test_done_is_as_far_as_it_was_to_be(tmp_path: Path) -> None:
    agreed(course(tmp_path))
    note_done(tmp_path, ["A done, 26 min", "B done"])
    now = planned(tmp_path).course.agreed
    assert now is not None
    assert dict(now.progress) == {"A": "edge round 2, 26 min", "B": "edge"}


@pytest.mark.parametrize(
    ("done", "words"),
    [
        ("edge round 3", "is not the letter of a piece and how far it is, such as “A edge round 2”."),
        ("X edge round 3", "No piece X was agreed; agreed are A, B, C and D."),
        ("B egde", "There is no stage “egde”. Did you mean “edge”?"),
        ("B edge round 5", "has 4 rounds, not 5."),
        ("B body round 1", "Piece B is further than it was to be: “body round 1” lies beyond its stop, “edge”."),
    ],
)
def test_progress_that_cannot_be_is_not_noted(tmp_path: Path, done: str, words: str) -> None:
    text = agreed(course(tmp_path))
    with pytest.raises(AgreeError) as bad:
        note_done(tmp_path, ["A edge round 1", done])
    assert words in str(bad.value)
    assert (tmp_path / "agreed.yaml").read_text(encoding="utf-8") == text


def test_nothing_is_noted_before_anything_is_agreed(tmp_path: Path) -> None:
    folder = course(tmp_path)
    with pytest.raises(AgreeError, match="Nothing is agreed yet"):
        note_done(folder, ["A edge"])
    assert not (tmp_path / "agreed.yaml").exists()


@pytest.mark.parametrize(
    ("text", "state", "minutes"),
    [
        ("cuff round 12, 1 h 40 min", "cuff round 12", 100.0),
        ("gusset round 18, 35 sts on", "gusset round 18, 35 sts on", None),
        ("gusset round 18, 35 sts on, 2 h", "gusset round 18, 35 sts on", 120.0),
        ("top, thumb round 3, 1,5 h", "top, thumb round 3", 90.0),
        ("finished", "finished", None),
    ],
)
def test_progress_has_a_state_and_perhaps_a_time(text: str, state: str, minutes: float | None) -> None:
    assert progress_of(text) == (state, minutes)


def test_remarks_are_kept_when_it_is_agreed_again(tmp_path: Path) -> None:
    lines = agreed(course(tmp_path)).splitlines()
    piece, slate = (next(n for n, line in enumerate(lines) if what in line) for what in ("letter: C", "slate: 2"))
    lines[piece] += " # thinner needles, she knits loosely"
    lines[slate] += "  # filmed twice"
    lines.insert(piece, "  # Bo is away in March")
    (tmp_path / "agreed.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    note_done(tmp_path, ["C body round 1"])
    text = agreed(course(tmp_path, HELLO + EDGE + BODY))
    assert '360 stitches", serves: 3}  # thinner needles, she knits loosely\n' in text
    assert "begins: and here it ends}  # filmed twice\n" in text
    assert text.count("# Bo is away in March\n") == 1
    assert text.count("# What was agreed") == 1
    assert "# thinner needles, she knits loosely\n" in agreed(course(tmp_path, EDGE)), "though the piece may be gone"
    assert agreed(tmp_path).count("# filmed twice") == 1


@pytest.mark.parametrize(
    "title", ["null", "Yes: no", "# one", "“Two”", "- a", 'A \\"B\\" C', "12:30", "{{ edge.rounds }}", "\\u2028", "🧶"]
)
def test_any_title_is_read_again_as_it_was(tmp_path: Path, title: str) -> None:
    folder = course(tmp_path, EDGE.replace("A first round", f'"{title}"'))
    agreed(folder)
    plan = planned(folder)
    shot = plan.course.episodes[0].segments[0].shots[0]
    assert plan.course.agreed is not None
    assert plan.course.agreed.shots[0].title == shot.title
    assert changes(plan) == ()


def test_a_link_that_leads_out_is_not_written_over(tmp_path: Path) -> None:
    folder = course(tmp_path / "c")
    (tmp_path / "mine.yaml").write_text("times: 1\n", encoding="utf-8")
    (folder / "agreed.yaml").symlink_to(tmp_path / "mine.yaml")
    assert [one[3] for one in refused(folder)] == ["outside"]
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8") == "times: 1\n"
