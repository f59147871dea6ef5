"""Courses of other crafts: crochet by its printed rows, and any craft by counted units and plain minutes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.names.states import read_state
from lessonplan.documents.handout import handout_view
from lessonplan.edit.proof.typed import with_typed
from lessonplan.planning.worked import Plan
from lessonplan.publish.remarks import remarked
from lessonplan.samples.states import resolve, typed
from tests.small_course import COURSE, write_course

CROCHET = """\
title: Round coaster
craft: crochet
gauge: {stitches: 16, rounds: 18}
needles: 5 mm hook
yarns:
  MC: {name: Cotton, metres: 85, grams: 50, weight: DK}
stages:
  centre:
    title: Centre
    works:
      - rounds: 3
        lines:
          - "Rnd 1: 6 sc in magic ring (6 sc)"
          - "Rnd 2: 2 sc in each st around (12 sc)"
          - "Rnd 3: [Sc in next st, 2 sc in next st] 6 times (18 sc)"
  border:
    title: Border
    after: centre
    works:
      - rounds: 2
        lines: "Sc in each st around"
      - weave_ends: 2
"""
QUILT = """\
title: Nine-patch cushion
craft: patchwork
stages:
  cut:
    title: Cutting
    works:
      - units: 9
        unit: square
        each: 4 min
  sew:
    title: Sewing
    after: cut
    works:
      - minutes: 50
        what: Sew the squares together
      - minutes: 5
        what: Glue the label
        drying: 2 h
"""
EPISODE = """\
episode: 1
title: All of it
segments:
  - title: Begin
    shots:
      - {view: overhead, say: Here is the beginning., pieces: [{needs: "FIRST"}]}
  - title: End
    shots:
      - {view: overhead, say: And the end., pieces: [{needs: finished}]}
"""


def plan(folder: Path, pattern: str, first: str) -> Plan:
    files = {"course.yaml": COURSE, "pattern.yaml": pattern, "episodes/01.yaml": EPISODE.replace("FIRST", first)}
    result = lessonplan.build(write_course(folder, files), folder / "out")
    assert result.plan is not None, [str(problem) for problem in result.problems]
    assert [p for p in result.problems if p.severity == "error"] == []
    return result.plan


def test_crochet_rounds_are_worked_and_counted(tmp_path: Path) -> None:
    made = plan(tmp_path, CROCHET, "centre round 2")
    centre = made.worked.pattern.stage("centre", 0)
    assert [step.after for step in centre.rounds] == [6, 12, 18]
    assert dict(centre.rounds[2].techniques) == {"sc": 18}
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    assert "single crochet" in page
    assert "18\u00a0sts" in page


def test_a_hook_and_gauge_outside_the_table_are_notes(tmp_path: Path) -> None:
    # Craft Yarn Council's table, weight 3: single crochet 12 to 17 sts to 4 in, hooks 4.5 to 5.5 mm.
    assert plan(tmp_path / "a", CROCHET, "centre")
    files = {"pattern.yaml": CROCHET.replace("5 mm", "9 mm").replace("stitches: 16", "stitches: 24")}
    found = lessonplan.load(
        write_course(tmp_path / "b", {**files, "episodes/01.yaml": EPISODE.replace("FIRST", "centre")})
    )
    assert sorted(problem.code for problem in found.problems) == ["gauge", "needle"]
    assert {problem.severity for problem in found.problems} == {"note"}


def test_counted_units_take_their_time_each(tmp_path: Path) -> None:
    made = plan(tmp_path, QUILT, "cut")
    ladder = made.worked.question.ladders["full"]
    assert ladder.cost((9, 0)) == pytest.approx(36)
    assert ladder.cost((9, 2)) == pytest.approx(91)
    assert ladder.dried((9, 2)) == 120
    page = (tmp_path / "out" / "handout.html").read_text(encoding="utf-8")
    assert "sts" not in page.split("<main")[1].split("</main>")[0]


def test_knitting_without_gauge_or_yarn_is_a_problem(tmp_path: Path) -> None:
    pattern = QUILT.replace("craft: patchwork", "craft: knitting")
    found = lessonplan.load(
        write_course(tmp_path, {"pattern.yaml": pattern, "episodes/01.yaml": EPISODE.replace("FIRST", "cut")})
    )
    assert [problem.message for problem in found.problems] == ["“gauge” is missing here.", "“yarns” is missing here."]


BASKET = """\
title: Basket
craft: basketry
stages:
  soaking:
    title: Soaking
    works:
      - {minutes: 10, what: Lay the rods in the tub, soaking: 5 days}
      - {minutes: 5, what: Wrap the rods in a towel}
      - point: mellow
  base:
    title: Base
    after: soaking
    works:
      - {units: 12, unit: round, each: 5 min, what: Pair round the sticks}
  upset:
    title: Upset
    after: base
    works:
      - {units: 24, unit: stake, each: 1 min, what: Push in a stake}
      - {minutes: 15, what: Prick up the stakes}
      - {units: 4, unit: round, each: 10 min, what: Wale the upset}
"""
"""A willow basket: of the upset first stakes are counted, then rounds (common practice)."""


@pytest.mark.parametrize(
    ("state", "minutes", "typed_as"),
    [
        ("upset stake 24", 75 + 24, "upset stake 24"),
        ("upset round 1", 75 + 24 + 15 + 10, "upset round 1"),
        ("upset 3 rounds", 75 + 24 + 15 + 30, "upset round 3"),
        ("before upset round 3", 75 + 24 + 15 + 20, "upset round 2"),
        ("base round 12", 75, "base"),
        ("base 7", 15 + 35, "base round 7"),
        ("soaking, after minutes", 10, "soaking, after minutes"),
    ],
)
def test_counted_things_of_one_stage_are_told_apart_by_their_names(
    tmp_path: Path, state: str, minutes: int, typed_as: str
) -> None:
    made = plan(tmp_path, BASKET, state)
    at = resolve(read_state(state, made.worked.pattern.order), made.worked.pattern, 0)
    assert made.worked.question.ladders["full"].cost(at) == pytest.approx(minutes)
    assert typed(at, made.worked.pattern, 0) == typed_as


@pytest.mark.parametrize(
    ("state", "message", "hint"),
    [
        ("upset 3", "“upset” counts stakes and rounds: “3” of which?", "Write “upset stake 3”."),
        ("upset round 5", "Shot 1.1.1: “upset” has 4 rounds, not 5.", ""),
        ("soaking minutes 1", "“soaking” is not counted in “minutes”.", "“soaking, after minutes”"),
        ("soaking, before mellow", "“soaking” has no work “mellow”.", "“mellow” is a point"),
        ("after mellow", "There is no stage “mellow”.", "It is a point"),
        ("upset, before foot", "“upset” has no work “foot”.", "Known: minutes, units."),
    ],
)
def test_a_state_that_the_craft_has_not_is_told_in_its_own_words(
    tmp_path: Path, state: str, message: str, hint: str
) -> None:
    files = {"course.yaml": COURSE, "pattern.yaml": BASKET, "episodes/01.yaml": EPISODE.replace("FIRST", state)}
    (told,) = lessonplan.load(write_course(tmp_path, files)).problems
    assert told.message == message
    assert hint in told.hint


def test_texts_name_what_the_craft_counts_and_no_stitches(tmp_path: Path) -> None:
    facts = plan(tmp_path, BASKET, "base").worked.facts
    counted = {name: fact.values for name, fact in facts.items() if name.split(".")[0] in ("soaking", "base", "upset")}
    titles = {f"{key}.title": (key.title(),) for key in ("soaking", "base", "upset")}
    assert counted == {**titles, "base.rounds": (12,), "upset.rounds": (4,), "upset.stakes": (24,)}
    assert not {name for name in facts if name.startswith(("gauge", "needles", "ends"))}
    assert [facts[name].unit for name in ("upset.stakes", "base.title")] == ["stakes", ""]


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("We weave twelve rounds of pairing.", ""),
        ("We weave ten rounds of pairing.", "“ten rounds” stands here; by the pattern: 12 rounds (Base: rounds)"),
        ("Leave the rods in the tub for five days.", ""),
        ("Leave them in the tub for four days.", "“four days” stands here; by the pattern: 5 days (Soaking: soaking)"),
        ("Soak the rods for five days.", ""),
    ],
)
def test_what_is_counted_and_how_long_it_lies_are_compared_with_what_is_typed(
    tmp_path: Path, said: str, found: str
) -> None:
    shown = 'soaking", leaves: "base' if "rounds" in said else 'nothing", leaves: "soaking'
    shots = EPISODE.replace("FIRST", shown).replace("Here is the beginning.", said)
    files = {"course.yaml": COURSE, "pattern.yaml": BASKET, "episodes/01.yaml": shots}
    told = with_typed(lessonplan.load(write_course(tmp_path, files))).problems
    assert "".join(one.message.removesuffix(".") for one in told if one.code == "typed-number") == found


def test_a_stage_that_cannot_be_undone_says_so_to_viewers_before_its_first_work(tmp_path: Path) -> None:
    pattern = BASKET.replace("    title: Upset\n", "    title: Upset\n    one_way: yes\n")
    upset = next(one for one in handout_view(plan(tmp_path, pattern, "base")).stages if one.key == "upset")
    assert [work.one_way for work in upset.works] == [True, False, False]


@pytest.mark.parametrize(
    ("soaking", "told"),
    [
        ("30 min", "A must be wet still: it is kept wet until the shot, or soaked anew for 30 min before it."),
        ("5 days", "A must be wet still: it is kept wet until the shot."),
    ],
)
def test_what_was_soaked_last_must_not_come_dry(tmp_path: Path, soaking: str, told: str) -> None:
    made = plan(tmp_path, BASKET.replace("soaking: 5 days", f"soaking: {soaking}"), "soaking, after minutes")
    sheet = (tmp_path / "out" / "run-sheet-1.html").read_text(encoding="utf-8")
    assert sheet.replace("\u00a0", " ").count(told) == 1, "at the shot that needs it, not where it is finished"
    assert made.choice.optimal


@pytest.mark.parametrize(("days", "told"), [(5, []), (4, ["5 days to soak, and the next comes out 4 days after it."])])
def test_viewers_have_the_days_that_their_work_lies(tmp_path: Path, days: int, told: list[str]) -> None:
    first = EPISODE.replace("FIRST", 'nothing", leaves: "soaking').replace("finished", "soaking")
    second = EPISODE.replace("FIRST", "base").replace("episode: 1", "episode: 2")
    release = f"release: {{first: 2027-05-07, days_between: {days}}}\n"
    course = COURSE.replace("films: [1]", "films: [1, 2]") + release
    files = {"course.yaml": course, "pattern.yaml": BASKET, "episodes/01.yaml": first, "episodes/02.yaml": second}
    found = remarked(lessonplan.plan(write_course(tmp_path, files))).problems
    assert [one.message.partition("lies for ")[2] for one in found if one.code == "homework"] == told


def test_what_is_agreed_names_its_maker_in_the_word_of_any_craft(tmp_path: Path) -> None:
    plan(tmp_path, BASKET, "base")
    assert lessonplan.agree(tmp_path, date(2027, 1, 2))[1] is not None
    text = (tmp_path / "agreed.yaml").read_text(encoding="utf-8")
    assert "maker: " in text
    assert "knit" not in text
    again = lessonplan.plan(tmp_path)
    assert again.problems == ()
    assert again.plan
    assert again.plan.course.agreed
    assert {one.knitter for one in again.plan.course.agreed.pieces} == {*again.plan.calendar.assigned.values()}


@pytest.mark.parametrize(
    ("unit", "units"),
    [
        ("patch", "patches"),
        ("ply", "plies"),
        ("leaf", "leaves"),
        ("box", "boxes"),
        ("half hitch", "half hitches"),
        ("tray", "trays"),
        ("section", "sections"),
    ],
)
def test_several_counted_things_are_named_as_english_has_them(tmp_path: Path, unit: str, units: str) -> None:
    made = plan(tmp_path, QUILT.replace("unit: square", f"unit: {unit}"), f"cut {unit} 3")
    cut = next(one for one in handout_view(made).stages if one.key == "cut")
    assert cut.works[0].lead == f"9 {units}."
    name = f"cut.{units.replace(' ', '_')}"
    assert (made.worked.facts[name].values, made.worked.facts[name].unit) == ((9,), units)
    pattern = made.worked.pattern
    one, more = (resolve(read_state(f"cut {word} 3", pattern.order), pattern, 0) for word in (unit, units))
    assert one == more
