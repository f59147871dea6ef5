"""No line of a course is accused for what an earlier one did: a slip is told once, what comes of it points there."""

from __future__ import annotations

from tests.inline_stages import work

TOP = """\
  body:
    title: Body
    works:
      - cast_on: 40 (48)
        join: yes
      - lines: "*K10 (12), pm; rep from * to end"
  top:
    title: Top
    after: body
    works:
      - lines: "*K to 2 sts before marker, k2tog, sm; rep from * to end"
      - bind_off: 36 (44)
"""
LINE = "*K10 (12), pm; rep from * to end"


def told(stages: str) -> dict[tuple[int, str], list[str]]:
    """Give what is said of each place, by the lines that it lies below the first, and how bad it is."""
    _, sound = work(TOP)
    assert not sound, "the pattern as it stands is right"
    _, problems = work(stages)
    first = min(problem.where.line for problem in problems)
    found: dict[tuple[int, str], list[str]] = {}
    for problem in problems:
        found.setdefault((problem.where.line - first, problem.severity), []).append(problem.message)
    return found


def test_what_a_line_that_is_not_read_leaves_undone_is_told_there_alone() -> None:
    found = told(TOP.replace(LINE, "*K10 (12), zorp; rep from * to end"))
    # five lines below stand the decreases before markers that nobody placed; no stitch is missed by the bind-off
    assert list(found) == [(0, "error"), (5, "note")]
    assert "zorp" in found[0, "error"][0]
    assert found[5, "note"] == ["This follows from what is wrong at line 13: put that right first."]


def test_a_slip_in_one_size_accuses_nothing_of_that_size_behind_it() -> None:
    found = told(TOP.replace("K10 (12)", "K11 (12)"))
    assert list(found) == [(0, "error"), (5, "note")]
    assert all(words.startswith("Size S: ") for each in found.values() for words in each)


def test_stitches_asked_for_behind_a_slip_are_no_slip_of_their_own() -> None:
    found = told(TOP.replace(LINE, "*K11 (13), pm; rep from * to end").replace("36 (44)", "50 (60)"))
    assert list(found) == [(0, "error"), (5, "note"), (6, "note")]


def test_a_word_that_is_not_read_and_another_needle_are_told_all_the_same() -> None:
    stages = TOP.replace(LINE, "*K11 (13), pm; rep from * to end").replace("k2tog, sm", "flurp, sm")
    cord = """\
  cord:
    title: Cord
    after: top
    works:
      - cast_on: 6
      - lines: "*K4, p1; rep from * to end"
"""
    # the word is none, whatever is on the needle; 6 is no multiple of 5, and the cord is cast on anew
    assert list(told(stages + cord)) == [(0, "error"), (5, "error"), (12, "error")]
