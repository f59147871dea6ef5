"""Openings for later, lifelines, half rounds, grafts of live halves and edges by name, each worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.craft import tables
from lessonplan.pattern.amounts.yarn import metres_by_yarn
from lessonplan.pattern.shape.outline import outline
from tests.inline_stages import sound, work, wrong
from tests.small_course import PATTERN, write_course

TUBE = """\
  body:
    title: Body
    works:
      - {cast_on: 40, join: yes}
      - {rounds: 10, lines: Knit}
      - {placeholder: 12, name: pocket}
      - {rounds: 10, lines: Knit}
"""
POCKET = """\
  pocket:
    title: Pocket
    after: body
    works:
      - {open: pocket}
      - {rounds: 6, lines: Knit}
      - {bind_off: all}
"""


def test_a_placeholder_takes_waste_yarn_and_leaves_the_count_as_it_was() -> None:
    stage = sound(TUBE).stage("body", 0)
    (step,) = [one for one in stage.steps if one.kind == "placeholder"]
    assert (step.before, step.after, dict(step.yarns)) == (40, 40, {"waste": 12.0})
    # The main yarn is as much as without it: 20 rounds and the cast-on of 40 stitches.
    plain = sound(TUBE.replace("      - {placeholder: 12, name: pocket}\n", "")).stage("body", 0)
    main = metres_by_yarn(stage.steps, 10.0)["MC"]
    assert main == pytest.approx(metres_by_yarn(plain.steps, 10.0)["MC"])


def test_an_opening_has_one_loop_fewer_above_than_stitches_below() -> None:
    stage = sound(TUBE + POCKET).stage("pocket", 0)
    assert (stage.start, stage.steps[0].after, stage.steps[1].before) == (0, 12 + 11, 23)
    assert stage.steps[0].text == "Pull the waste yarn of “pocket” out and take up 12 sts below and 11 above"
    assert stage.steps[0].one_way


@pytest.mark.parametrize("above", [11, 12, 13])
def test_the_half_loops_at_the_ends_can_be_taken_too(above: int) -> None:
    text = POCKET.replace("{open: pocket}", f"{{open: pocket, above: {above}}}")
    assert sound(TUBE + text).stage("pocket", 0).steps[0].after == 12 + above


def test_what_cannot_be_opened_or_placed_is_said() -> None:
    assert wrong(TUBE + POCKET.replace("{open: pocket}", "{open: pocket, above: 14}")) == [
        "Above 12 stitches there are 11 loops, 13 with the half ones at both ends, and not 14."
    ]
    assert wrong(TUBE.replace("placeholder: 12", "placeholder: 30, at: 11")) == [
        "11 before and 30 stitches are asked for, but 40 are on the needle."
    ]
    before = POCKET.replace("    after: body\n", "") + TUBE
    assert "No opening is made as “pocket” by a stage that comes before “pocket”." in wrong(before)
    twice = TUBE + POCKET + POCKET.replace("  pocket:\n", "  again:\n", 1).replace("after: body", "after: pocket")
    assert "No opening is made as “pocket” by a stage that comes before “again”." in wrong(twice)


def test_the_text_of_a_placeholder_says_where_in_the_round_it_begins() -> None:
    steps = sound(TUBE.replace("name: pocket", "name: pocket, at: 4")).stage("body", 0).steps
    text = next(step.text for step in steps if step.kind == "placeholder")
    assert text.startswith(
        "Work the first 4 sts of the coming round, leave the yarn hanging; knit the next 12 sts with waste"
    )


def test_an_opening_is_drawn_where_it_was_made() -> None:
    worked = sound(TUBE + POCKET)
    state = [len(worked.stage("body", 0).steps), 0]
    (before,) = outline(worked, 0, state).parts
    (mark,) = before.waste
    # Ten rounds at 30 to 10 cm are 33.3 mm; 12 stitches of a tube lying flat are 12 / 2 x 5 mm = 30 mm wide.
    assert (mark.done, mark.stitches) == (True, 12)
    assert mark.height == pytest.approx(100 / 3)
    assert mark.right - mark.left == pytest.approx(30)
    (after,) = outline(worked, 0, [state[0], 7]).parts
    (branch,) = after.branches
    assert not after.waste[0].done
    assert min(height for height, _, _ in branch.points()) == pytest.approx(100 / 3)


def test_a_lifeline_leaves_everything_as_it_is() -> None:
    stage = sound(TUBE.replace("placeholder: 12, name: pocket", "lifeline: all")).stage("body", 0)
    (step,) = [one for one in stage.steps if one.kind == "lifeline"]
    assert (step.before, step.after, step.yarns, step.tails[0][0]) == (40, 40, (), "waste")
    assert step.tails[0][1] == pytest.approx(200 + 2 * 150)  # once through 20 cm of stitches, and an end at each side
    assert stage.rounds[10].before == 40


def test_a_lifeline_is_drawn_until_the_piece_is_closed() -> None:
    text = TUBE.replace("placeholder: 12, name: pocket", "lifeline: all") + "      - {bind_off: all}\n"
    worked = sound(text)
    lines = []
    for done in (12, 20, 23):
        (part,) = outline(worked, 0, [done]).parts
        lines.append([(edge.how, edge.stitches) for edge in part.waste if edge.done])
    assert lines == [[("lifeline", 40)], [("lifeline", 40)], []]


def test_half_a_round_moves_its_beginning() -> None:
    text = TUBE.replace(
        "- {placeholder: 12, name: pocket}",
        '- {lines: ["K5, pm, k to end"]}\n      - {half_round: Knit}\n      - {lines: ["K to marker, sm, k15"]}',
    ).replace("rounds: 10, lines: Knit}\n", "rounds: 2, lines: Knit}\n")
    stage = sound(text).stage("body", 0)
    (half,) = [one for one in stage.steps if one.kind == "half-round"]
    assert (half.before, half.after, dict(half.techniques), dict(half.yarns)) == (40, 40, {"k": 20}, {"MC": 20.0})
    # The marker stood after 5 of 40; the round begins 20 further on, so it stands after 25 now, with 15 behind it.
    assert dict(stage.rounds[3].techniques) == {"k": 40, "sm": 1}
    odd = TUBE.replace("cast_on: 40", "cast_on: 41").replace("placeholder: 12, name: pocket", "half_round: Knit")
    assert wrong(odd) == ["41 stitches have no half."]


HALVES = """\
  left:
    title: Left half
    works:
      - {cast_on: 20}
      - {rows: 10, lines: [Knit, Purl]}
  right:
    title: Right half
    works:
      - {cast_on: 20}
      - {rows: 10, lines: [Knit, Purl]}
  join:
    title: Join
    after: left, right
    works:
      - {graft: all, to: right}
"""


def test_two_live_halves_are_grafted() -> None:
    worked = sound(HALVES)
    (step,) = worked.stage("join", 0).steps
    assert (step.before, step.after, step.text) == (20, 0, "Graft 20 sts to the 20 of right")
    assert dict(step.techniques) == {"graft": 20}
    done = [len(worked.stage(key, 0).steps) for key in worked.order]
    assert [part.live for part in outline(worked, 0, done).parts] == [None, None]
    assert all(part.live for part in outline(worked, 0, [*done[:2], 0]).parts)


def test_halves_of_different_counts_cannot_be_grafted() -> None:
    text = HALVES.replace(
        "title: Right half\n    works:\n      - {cast_on: 20}", "title: R\n    works:\n      - {cast_on: 22}"
    )
    assert wrong(text) == ["20 stitches cannot be grafted to the 22 of “right”: both sides need equally many."]
    held = HALVES.replace("{graft: all, to: right}", "{graft: all, to: edge}")
    assert wrong(held) == ["No stitches are held or left live as “edge” before “join”."]


def test_held_stitches_are_grafted_to_live_ones() -> None:
    text = "  a:\n    title: A\n    works:\n      - {cast_on: 24}\n      - {hold: 12, name: back}\n"
    text += "      - {rows: 2, lines: [Knit, Purl]}\n      - {graft: all, to: back}\n"
    assert sound(text).stage("a", 0).steps[-1].text == "Graft 12 sts to the 12 of back"


STRIP = """\
  strip:
    title: Strip
    works:
      - {cast_on: 20}
      - {rows: 30, lines: [Knit, Purl]}
      - {bind_off: all}
  edging:
    title: Edging
    after: strip
    works:
      - {pick_up: all, edge: side of strip, rate: 3 for 4}
"""


def test_picking_up_along_a_named_edge() -> None:
    (step,) = sound(STRIP).stage("edging", 0).steps
    assert step.after == 23  # 30 rows x 3/4 = 22.5, halves up
    assert step.text == "Pick up and knit 23 sts along the side edge of Strip (3 for every 4 rows)"
    along = STRIP.replace("side of strip, rate: 3 for 4", "cast-on of strip")
    assert sound(along).stage("edging", 0).steps[0].text == "Pick up and knit 20 sts along the cast-on edge of Strip"


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("pick_up: all", "pick_up: 40", "3 for 4 along 30 rows are 23 stitches, and 40 are asked for."),
        ("rate: 3 for 4", "rate: 5 for 4", "38 stitches cannot be picked up along 30 rows."),
        ("side of strip", "side of strop", "“strop” is no stage that comes before “edging”."),
        ("side of strip", "top of strip", "“top of strip” is not an edge such as “side of body”, “cast-on of body” or"),
        ("rows: 30, lines: [Knit, Purl]", "rounds: 30, lines: Knit", "“strip” has no rows, so no side edge."),
        ("edge: side of strip, rate: 3 for 4", "along: the side", "“all” needs an “edge”, such as “side of body”."),
    ],
)
def test_an_edge_that_is_not_there(old: str, new: str, sentence: str) -> None:
    (found,) = wrong(STRIP.replace(old, new))
    assert found.startswith(sentence)


def test_the_place_of_what_is_wrong_is_said() -> None:
    (problem,) = work(TUBE.replace("placeholder: 12", "placeholder: 41"))[1]
    assert (problem.where.line, problem.where.column) == (13, 23)


def test_opening_costs_the_time_of_its_loops() -> None:
    opened = sound(TUBE + POCKET).stage("pocket", 0).steps[0]
    assert opened.fixed == pytest.approx(23 * tables.minutes("unpick"))


@pytest.mark.parametrize(
    ("works", "line", "column", "words"),
    [
        ("- {placeholder: 4, name: gap}\n      - {open: gab}", 18, 16, "No opening is made as “gab”."),
        ("- {placeholder: 4, name: gap}\n      - {take_up: gap}", 18, 19, "No stitches are held as “gap”."),
        ("- {graft: all, to: bdy}", 17, 26, "No stitches are held or left live as “bdy”."),
        ("- {placeholder: many, name: gap}", 17, 23, "“many” is not a whole number."),
        ("- {placeholder: 4}", 17, 9, "“name” is missing here."),
        ("- {pick_up: 4, rate: often}", 17, 28, "“often” does not have the form expected for “rate”."),
        ("- {open: [gap]}", 17, 16, "A single text is expected here, not a list."),
        ("- {half_round: Knut}", 17, 22, "Knut"),
    ],
)
def test_bad_keys_are_one_sentence_with_their_place(
    tmp_path: Path, works: str, line: int, column: int, words: str
) -> None:
    pattern = PATTERN.replace('      - rounds: 10\n        lines: "Knit"\n', "").replace(
        "      - bind_off: all\n", f"      {works}\n      - bind_off: all\n"
    )
    result = lessonplan.load(write_course(tmp_path, {"pattern.yaml": pattern}))
    found = [problem for problem in result.problems if problem.severity == "error"]
    assert len(found) == 1, [str(problem) for problem in found]
    assert words in found[0].message
    assert (found[0].where.file, found[0].where.line) == ("pattern.yaml", line)
    assert found[0].where.column == column
