"""The kit, counted by hand: two sizes, an option that takes another yarn, packs, spare kits, weights and prices."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.kit import KitView, kit_table, kit_view
from lessonplan.planning.worked import Plan
from lessonplan.publish.kit import from_home, orders, packed_kits
from tests.documents.timed import COURSE, episode, shot
from tests.small_course import write_course

PATTERN = """\
title: Ring cowl
sizes: Narrow, Wide
gauge: {stitches: 20, rounds: 28}
needles: 5 mm
notions: [a row counter, two buttons]
margin: 10 %
options:
  trim: plain or with a cord
yarns:
  MC: {name: Plain wool, colour: grey, metres: 50, grams: 25}
  CC: {name: Plain wool, colour: red, metres: 50, grams: 25}
stages:
  edge:
    title: Edge
    works:
      - cast_on: 100 (200)
  body:
    title: Body
    after: edge
    works:
      - rounds: 40
        lines: Knit
  trim:
    title: Trim
    after: body
    when: with a cord
    works:
      - rounds: 2
        lines: Knit
        yarn: CC
"""
KIT = """\
kit:
  holds:
    - {what: MC, price: 3.50, pack: 10}
    - {what: CC, price: 3.50, pack: 10}
    - {what: two buttons, grams: 2, price: 0.80}
  kits:
    - {size: Narrow, number: 10}
    - {size: Wide, number: 5, choices: with a cord}
  spare: 10 %
  grams: 30
  currency: EUR
"""


def made(folder: Path, kit: str = KIT) -> lessonplan.Result:
    files = {"course.yaml": COURSE + "film_size: Narrow\n" + kit, "pattern.yaml": PATTERN}
    pieces = "[{needs: edge, leaves: body round 2}]"
    return lessonplan.plan(
        write_course(folder, {**files, "episodes/01.yaml": episode((shot("above", pieces=pieces),))})
    )


@pytest.fixture(scope="module")
def cowl(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    result = made(tmp_path_factory.mktemp("kit"))
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


@pytest.fixture(scope="module")
def view(cowl: Plan) -> KitView:
    return kit_view(cowl)


def loops_in_metres(loops: int) -> float:
    """Plain loops of this gauge: 2 wales and 2.8 courses a cm give sqrt(23.1 / 5.6) = 2.031 cm each."""
    return float(loops * math.sqrt(23.1 / (2.0 * 2.8)) / 100)


def test_balls_by_size_and_choice(cowl: Plan) -> None:
    narrow, wide = packed_kits(cowl)
    # 40 rounds of 100 are 81 m and of 200 are 162 m; the cast-on and the tails are a few metres, the margin is 10 %.
    low, high = 1.1 * loops_in_metres(4000), 1.1 * (loops_in_metres(4000) + 6)
    assert 50 < low < high < 100
    assert [(one.key, one.number) for one in narrow.contents] == [("MC", 2), ("", 1)]
    low, high = 1.1 * loops_in_metres(8000), 1.1 * (loops_in_metres(8000) + 12)
    assert 150 < low < high < 200
    assert [(one.key, one.number) for one in wide.contents] == [("MC", 4), ("CC", 1), ("", 1)]


def test_weight_and_price_of_a_kit(cowl: Plan) -> None:
    narrow, wide = packed_kits(cowl)
    assert (narrow.grams, wide.grams) == (30 + 2 * 25 + 2, 30 + 5 * 25 + 2)
    assert [narrow.price, wide.price] == pytest.approx([2 * 3.5 + 0.8, 5 * 3.5 + 0.8])


def test_the_order_in_whole_packs(cowl: Plan) -> None:
    # 10 and 5 kits and a tenth more are 11 and 6: 11 x 2 + 6 x 4 = 46 balls of MC, 6 of CC, 17 pairs of buttons.
    ordered = {one.thing.what: (one.needed, one.packs, one.left) for one in orders(cowl, packed_kits(cowl))}
    assert ordered == {"MC": (46, 5, 4), "CC": (6, 1, 4), "two buttons": (17, 17, 0)}


def test_the_page_and_its_table(view: KitView) -> None:
    assert [(sort.number, sort.name) for sort in view.sorts] == [("11", "Narrow, plain"), ("6", "Wide, with a cord")]
    assert view.sorts[0].things == (("2", "balls of Plain wool, grey (MC)"), ("1", "two buttons"))
    assert view.total == "EUR 223.60"  # 60 balls at 3.50 and 17 pairs at 0.80
    assert kit_table(view)[1] == ("Plain wool, grey (MC)", "46", "5 packs of 10", "4", "EUR 175.00")
    assert view.home == ("5 mm", "a row counter")


def test_without_all_prices_there_is_no_sum(tmp_path: Path) -> None:
    plan = made(tmp_path, KIT.replace(", price: 0.80", "")).plan
    assert plan is not None
    assert kit_view(plan).total == ""
    assert packed_kits(plan)[0].price is None


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("size: Wide", "size: Wyde", "There is no size “Wyde”. Did you mean “Wide”?"),
        ("size: Wide, ", "", "Of which size are these 5 kits? Write: size: Narrow"),
        ("with a cord", "with a chord", "“with a chord” is not a choice of the pattern. Did you mean “with a cord”?"),
        (
            "choices: with a cord",
            "choices: [plain, with a cord]",
            "“plain” and “with a cord” are choices of one option",
        ),
        ("what: two buttons", "what: two butons", "“two butons” is no yarn, notion, needle or tool of the course"),
        ("what: CC, price: 3.50, pack: 10", "what: MC", "“MC” is in the kit twice"),
        ("what: CC, price: 3.50", "what: CC, number: 2", "How many balls of CC a kit holds follows from the size."),
    ],
)
def test_what_does_not_fit_is_said(tmp_path: Path, old: str, new: str, told: str) -> None:
    found = made(tmp_path, KIT.replace(old, new)).problems
    here = [one for one in found if told in f"{one.message} {one.hint}"]
    assert len(here) == 1, [str(one) for one in found]
    lines = (COURSE + "film_size: Narrow\n" + KIT.replace(old, new)).splitlines()
    assert (here[0].where.file, "kit" not in lines[here[0].where.line - 1]) == ("course.yaml", True)


def test_without_numbers_there_is_one_kit_of_each_size(tmp_path: Path) -> None:
    head, _, rest = KIT.partition("  kits:\n")
    plan = made(tmp_path, head + rest.partition("Wide, number: 5, choices: with a cord}\n")[2]).plan
    assert plan is not None
    # One of each and a tenth more are 1.1, so 2; as filmed, so without the cord's yarn. The wide one has 4 balls.
    kits = [(one.size, one.number, one.choices, [c.number for c in one.contents]) for one in packed_kits(plan)]
    assert kits == [("Narrow", 2, ("plain",), [2, 1]), ("Wide", 2, ("plain",), [4, 1])]


def test_a_tenth_more_of_ten_is_one_more(cowl: Plan) -> None:
    def number(asked: int, spare: float) -> int:
        course = cowl.course.course
        kit = course.kit
        assert kit is not None
        kit = kit.model_copy(update={"kits": (kit.kits[0].model_copy(update={"number": asked}),), "spare": spare})
        file = course.model_copy(update={"kit": kit})
        worked = replace(cowl.worked, course=cowl.course.model_copy(update={"course": file}))
        return packed_kits(replace(cowl, worked=worked))[0].number

    for asked in (1, 10, 30, 70, 100):
        assert number(asked, 0.0) == asked
        assert number(asked, 0.1) == -(-asked * 11 // 10)


def test_what_is_from_home(tmp_path: Path) -> None:
    tools = "tools:\n  snips: {what: small scissors, also: [Scissors, thread snips]}\n  lamp: {what: a lamp}\n"
    kit = KIT.replace("kits:", "  - {what: Snips}\n    - {what: a pin, also: pins}\n  kits:")
    plan = made(tmp_path, kit + tools).plan
    assert plan is not None
    names = ("scissors", "Thread Snips", "snips", "two buttons", "Pins", "lamp", "needle", "a row counter")
    assert from_home(plan, names) == ("lamp", "needle", "a row counter")


def test_things_of_a_choice_go_into_its_kits(tmp_path: Path) -> None:
    options = 'options:\n  trim: {choices: plain or with a cord, kit: {with a cord: ["A toggle"], plain: [a label]}}\n'
    kit = KIT.replace("kits:", "  - {what: a toggle, number: 3}\n    - {what: a label}\n  kits:")
    pattern = PATTERN.replace("options:\n  trim: plain or with a cord\n", options)
    made(tmp_path, kit)
    (tmp_path / "pattern.yaml").write_text(pattern, encoding="utf-8")
    plan = lessonplan.plan(tmp_path).plan
    assert plan is not None
    things = [{one.thing.what: one.number for one in sort.contents} for sort in packed_kits(plan)]
    assert things == [{"MC": 2, "two buttons": 1, "a label": 1}, {"MC": 4, "CC": 1, "two buttons": 1, "a toggle": 3}]
