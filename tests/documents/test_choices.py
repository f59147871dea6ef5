"""What viewers can choose, as the handout prints it; numbers worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.choices import choices_view, more_yarn, ways_named, yarn_range
from lessonplan.documents.handout import HandoutView, handout_view
from lessonplan.documents.instructions import StageView
from lessonplan.planning.worked import Plan
from tests.documents import timed
from tests.small_course import COURSE, EPISODE, write_course

PATTERN = """\
title: Ring cowl
sizes: [S, M]
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Plain wool, colour: grey, metres: 200, grams: 100}
  CC: {name: Plain wool, colour: red, metres: 200, grams: 100}
options:
  trim: cord or ribbon
  body_colour:
    choices: plain or stripes
    kit:
      stripes: a second ball
stages:
  edge:
    title: Edge
    works:
      - {cast_on: 40 (48), join: yes}
      - {rounds: 4, lines: "*K1, p1; rep from * to end"}
  body:
    title: Body
    after: edge
    works:
      - {rounds: 10, lines: Knit, when: plain}
      - {rounds: 10, lines: Knit, stripes: "1 MC, 1 CC", when: stripes}
      - {rounds: 6 cm, lines: Knit, as_you_like: 5 to 10 cm}
      - {placeholder: 8, name: gap, optional: yes}
      - {bind_off: all}
  cord:
    title: Cord
    after: body
    when: cord
    works:
      - {cord: 30 (33) cm, as_you_like: 20 to 60 cm}
  ribbon:
    title: Ribbon
    after: body
    when: ribbon
    works:
      - {minutes: 90, what: Sew and thread the ribbon}
"""
FILES = {"course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}


def plan(folder: Path, pattern: str = PATTERN) -> Plan:
    result = lessonplan.plan(write_course(folder, {**FILES, "pattern.yaml": pattern}))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def stage(view: HandoutView, key: str) -> StageView:
    return next(one for one in view.stages if one.key == key)


def test_both_choices_are_printed_each_with_what_it_belongs_to(tmp_path: Path) -> None:
    view = handout_view(plan(tmp_path))
    assert [one.key for one in view.stages] == ["edge", "body", "cord", "ribbon"]
    assert [(one.choice, one.title) for one in view.stages[2:]] == [
        ("Only with cord:", "Cord"),
        ("Only with ribbon:", "Ribbon"),
    ]
    plain, striped, free, gap, off = stage(view, "body").works
    # What everybody does says so where it comes after a choice, so that the choice is not read on into it.
    assert (free.choice, off.choice, stage(view, "edge").works[1].choice) == ("For all:", "For all:", "")
    # Either is the first that is worked of its stage, so both are numbered from 1.
    assert (plain.choice, [line.label for line in plain.lines]) == ("Only with plain:", ["Rnds\u00a01 to\u00a010 (MC)"])
    assert striped.choice == "Only with stripes:"
    assert [line.label for line in striped.lines] == ["Rnd\u00a01 (MC)", "Rnd\u00a02 (CC)"]
    assert striped.end == "Work these 2 rounds 5 times in all, to rnd\u00a010."
    assert gap.choice == "Optional:"
    assert free.lead == (
        "Work 6\u00a0cm, 2⅜\u00a0in (18 rounds at the given gauge), or as long as you like,"
        " from 5\u00a0cm (2\u00a0in) to 10\u00a0cm (4\u00a0in):"
    )
    (cord,) = stage(view, "cord").works
    assert cord.lead.startswith(
        "With MC (grey), knit 30\u00a0(33)\u00a0cm, 11¾\u00a0(13)\u00a0in of cord on 3\u00a0sts"
    )
    # 30 cm at 30 rounds to 10 cm are 90 rounds, 33 cm are 99.
    assert "(90\u00a0(99) rounds)" in cord.lead
    assert cord.lead.endswith("or as long as you like, from 20\u00a0cm (7¾\u00a0in) to 60\u00a0cm (23½\u00a0in).")
    assert stage(view, "ribbon").works[0].lead == "Sew and thread the ribbon."


def test_what_can_be_chosen_is_said_with_what_it_takes(tmp_path: Path) -> None:
    view = choices_view(plan(tmp_path))
    assert view is not None
    assert view.sentences == ("Trim: cord (as filmed) or ribbon.", "Body colour: plain (as filmed) or stripes.")
    assert view.kit == ("With stripes: a second ball.",)
    rows = {row.name: row for row in view.rows}
    assert list(rows) == [
        "as filmed",
        "as short as you like",
        "as long as you like",
        "without the optional work 4 of Body",
        "with stripes",
        "with ribbon",
    ]
    assert not any(text.startswith("CC") for text in rows["as filmed"].yarn)
    assert any(text.startswith("CC") for text in rows["with stripes"].yarn)
    assert any(text.startswith("waste") for text in rows["as filmed"].yarn)
    assert not any(text.startswith("waste") for text in rows["without the optional work 4 of Body"].yarn)


def test_a_range_goes_from_the_least_to_the_most_of_all_ways(tmp_path: Path) -> None:
    worked = plan(tmp_path).worked
    each = [one.metres for way in worked.ways for one in way.yarn(worked.course.pattern, 0) if one.yarn == "MC"]
    least, most = min(each), max(each)
    text = dict(yarn_range(worked, worked.ways))["MC"]
    low, high = text.split("\u00a0")[0].split("–")
    assert int(low) - 1 < least <= int(low)
    assert int(high) - 1 < most <= int(high)
    # By hand, Small: from 5 cm with stripes and a ribbon to 10 cm plain with 60 cm of cord. Loops of MC: 40 cast on,
    # 4 rounds, 10 (5) rounds, 15 (30) rounds of 40, and 180 rounds of 3 for the cord; the rest are tails.
    loop = 10 * (23.1 / (2.0 * 3.0)) ** 0.5 / 1000
    assert most - least == pytest.approx(1.1 * ((5 + 15) * 40 * loop + 180 * 3 * loop + 0.3))


def test_ranges_are_told_only_where_they_say_more_than_the_rows(tmp_path: Path, root: Path) -> None:
    # Six rows, and a ribbon on stripes as short as you like has none: the ranges say what the mixed ways take.
    mixed, two = choices_view(plan(tmp_path)), lessonplan.plan(root / "sample_course").plan
    assert mixed is not None
    assert mixed.hours_range
    assert [text[:3] for text in mixed.yarn_ranges] == ["MC:", "was", "CC:"]
    # The sample has a loop or none: two ways, two rows.
    assert two is not None
    few = choices_view(two)
    assert few is not None
    assert (len(few.rows), few.yarn_ranges, few.hours_range) == (2, (), "")


def test_a_pattern_without_options_says_nothing_of_choices(tmp_path: Path) -> None:
    made = lessonplan.plan(write_course(tmp_path)).plan
    assert made is not None
    assert choices_view(made) is None
    assert handout_view(made).choices is None


def test_only_the_filmed_choice_is_in_the_samples(tmp_path: Path) -> None:
    made = plan(tmp_path)
    assert made.worked.pattern.order == ("edge", "body", "cord")
    other = plan(
        tmp_path / "b", PATTERN.replace("trim: cord or ribbon", "trim: {choices: cord or ribbon, filmed: ribbon}")
    )
    assert other.worked.pattern.order == ("edge", "body", "ribbon")


def test_the_page_prints_the_choices(tmp_path: Path) -> None:
    course = write_course(tmp_path, {**FILES, "pattern.yaml": PATTERN})
    lessonplan.build(course, tmp_path / "out")
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    assert "What you can choose" in page
    assert "Trim: cord (as filmed) or ribbon." in page
    assert "Only with stripes:" in page


def test_waste_yarn_is_no_ball(tmp_path: Path) -> None:
    pattern = PATTERN.replace("yarns:\n", "yarns:\n  WY: {name: cotton, waste: yes}\n").replace(
        "{placeholder: 8, name: gap, optional: yes}", "{placeholder: 8, name: gap, yarn: WY}"
    )
    view = handout_view(plan(tmp_path, pattern))
    yarns = {yarn.key: yarn for yarn in view.materials.yarns}
    assert "ball" not in yarns["WY"].amount
    assert yarns["WY"].details == "any smooth scrap"
    assert "waste" not in yarns


def test_waste_yarn_that_is_not_listed_is_in_the_materials(tmp_path: Path) -> None:
    simple = """\
title: Ring
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Plain wool, metres: 200, grams: 100}
stages:
  edge:
    title: Edge
    works:
      - {cast_on: 40, join: yes}
      - {rounds: 4, lines: Knit}
      - {placeholder: 20, name: gap}
      - {rounds: 4, lines: Knit}
"""
    made = lessonplan.plan(write_course(tmp_path, {"pattern.yaml": simple})).plan
    assert made is not None
    yarn = handout_view(made).materials.yarns[-1]
    # 20 loops of 10 x sqrt(23.1 / 6) = 19.6 mm and 10 %: 0.43 m, printed as 1 m, which are 1.09 yd.
    assert (yarn.key, yarn.amount) == ("waste", "1\u00a0m, 2\u00a0yd")


def test_a_cord_that_takes_as_much_in_every_size_is_told_as_the_most(tmp_path: Path) -> None:
    # With the reserve it takes 2.2 m in both sizes. Of whole metres that is 33 and 35 m in the one (32.2 and 34.4),
    # 33 and 36 m in the other (32.8 and 35.0, a little more): no more than 3 m.
    sizes = "title: Ring cowl\nsizes: [{name: S}, {name: M}]\noptions: {hanger: without a loop or with a loop}\n"
    loop = "  loop: {title: Loop, after: body, when: with a loop, works: [{cord: 10 cm, stitches: 3}]}\n"
    text = timed.PATTERN.replace("title: Ring cowl\n", sizes, 1).replace("cast_on: 110", "cast_on: 110 (112)") + loop
    shots = timed.episode((timed.shot("face"),))
    found = timed.plan(tmp_path, shots, f"{timed.COURSE}film_size: S\n", {"pattern.yaml": text})
    filmed, way = ways_named(found.worked)
    metres = [[one.yarn(found.course.pattern, size)[0].whole_metres for size in (0, 1)] for one in (filmed, way)]
    assert metres == [[33, 33], [35, 36]]
    assert more_yarn(found.worked, way) == "up to 3\u00a0m of MC more"
