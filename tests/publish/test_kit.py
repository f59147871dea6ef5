"""The kit, counted by hand: two sizes, an option that takes another yarn, packs, spare kits, weights and prices."""

from __future__ import annotations

import math
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

import lessonplan
from lessonplan.documents.kit import KitView, kit_table, kit_view, slips_view
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
    assert (view.packed, view.over) == (True, True)
    assert view.total == "EUR 223.60"  # 60 balls at 3.50 and 17 pairs at 0.80
    # Asked for are 10 kits of 2 balls and 5 of 4.
    mc = ("Plain wool, grey (MC)", "40 balls", "46 balls", "5 packs of 10", "4 balls", "EUR 175.00")
    assert kit_table(view)[1] == mc
    # It is worked round; 5 mm are US 8 and UK 6 (craft/tables/needles.csv).
    assert view.home[0] == "needle 5 mm (US 8, UK 6)"
    assert view.home[1].startswith("needles as a circular of ")
    assert view.home[2:] == ("a row counter",)
    # A kit holds two or four balls of MC, which must be alike, and one of CC at most, which has none to be like.
    assert [text.partition(": ")[2] for text in view.lots] == [
        "ask for all 46 balls of one dye lot; where that cannot be had, the balls of one kit are of one lot.",
        "no kit has more than one ball of it, so they need not be of one dye lot.",
    ]


def test_what_is_to_be_ready_before_an_episode_stands_first_for_it(tmp_path: Path) -> None:
    tools = "tools: {swatch: {what: mine, viewers_make: a washed swatch}}\nfilm_size: Narrow\n"
    parts = {f"episodes/0{n}.yaml": episode((shot("above", tools="swatch, ruler"),), number=n) for n in (1, 2)}
    course = COURSE.replace("films: [1]", "films: [1, 2]") + tools + KIT
    plan = lessonplan.plan(write_course(tmp_path, {"course.yaml": course, "pattern.yaml": PATTERN, **parts})).plan
    assert plan is not None
    told = [things for _, things in slips_view(plan).episodes]
    assert told == ["a washed swatch, ready by then; ruler", "swatch; ruler"]  # it is made once, and used again


def test_a_course_without_a_kit_packs_none(tmp_path: Path) -> None:
    plan = made(tmp_path, "").plan
    assert plan is not None
    assert packed_kits(plan) == ()


def test_a_number_of_kits_that_is_none_is_told_where_it_stands(tmp_path: Path) -> None:
    typed = KIT[: KIT.index("    - {size: Narrow, number")] + "    thirty\n"
    (wrong,) = made(tmp_path, typed).problems
    line = f"{COURSE}film_size: Narrow\n{typed}".splitlines().index("    thirty") + 1
    assert (wrong.message, wrong.where.line) == ("“thirty” is not a whole number.", line)


def test_without_all_prices_there_is_no_sum(tmp_path: Path) -> None:
    plan = made(tmp_path, KIT.replace(", price: 0.80", "")).plan
    assert plan is not None
    assert kit_view(plan).total == ""
    # 1 + 1 kits, no spare: of 6 + 1 balls sold one by one nothing is left over.
    single = made(tmp_path / "single", KIT.replace(", pack: 10", "")).plan
    assert single is not None
    assert (kit_view(single).packed, kit_view(single).over) == (False, False)
    assert packed_kits(plan)[0].price is None


CLAY = """
kit:
  holds:
    - {what: clay, price: 9.50}
    - {what: glaze, grams: 1.4, price: 0.03}
    - {what: "cutting wire, sponge, two ribs", grams: 120, price: 6}
  kits:
    - {size: breakfast bowl, number: 24}
    - {size: serving bowl, number: 10}
  spare: 5 %
  grams: 150
"""
PAPER = """
kit:
  holds: [paper, {what: thread, grams: 0.01}, tape, {what: board, grams: 60, price: 0.40}, {what: glue, price: 2.5}]
  kits: 40
  spare: 10 %
  grams: 100
"""


def other_craft(root: Path, folder: Path, name: str, kit: str) -> Plan:
    shutil.copytree(root / "tests" / "courses" / name, folder / name)
    with (folder / name / "course.yaml").open("a", encoding="utf-8") as file:
        file.write(kit)
    result = lessonplan.plan(folder / name)
    assert result.plan is not None, [str(problem) for problem in result.problems]
    return result.plan


def test_a_kit_of_clay_and_glaze(root: Path, tmp_path: Path) -> None:
    """24 and 10 kits and a twentieth more are 26 and 11; a fifth more clay than 600 (1400) g, half as much more glaze
    than 120 (260) ml, as the pattern says."""
    plan = other_craft(root, tmp_path, "pottery", CLAY)
    small, large = packed_kits(plan)
    assert [one.number for one in small.contents] == [720, 180, 1]
    assert [one.number for one in large.contents] == [1680, 390, 1]
    assert (small.grams, large.grams) == pytest.approx((150 + 720 + 1.4 * 180 + 120, 150 + 1680 + 1.4 * 390 + 120))
    assert small.price == pytest.approx(9.5 * 720 / 5000 + 0.03 * 180 + 6)
    view = kit_view(plan)
    rows = {one.thing: (one.needed, one.packs, one.left, one.price) for one in view.orders}
    told = {name: tuple(text.replace("\u00a0", " ") for text in row) for name, row in rows.items()}
    assert told == {
        # 26 x 720 + 11 x 1680 = 37,200 g are 7.44 packs.
        "smooth stoneware clay": ("37.2 kg", "8 packs of 5 kg", "2.8 kg", "76.00"),
        # 26 x 180 + 11 x 390 = 8,970 ml at 0.03.
        "food-safe stoneware glaze": ("8.97 l", "by measure", "", "269.10"),
        "cutting wire, sponge, two ribs": ("37", "", "", "222.00"),
    }
    assert view.total == "567.10"
    boxed = [f"{weight}, box and papers included" for weight in ("1.25 kg", "2.5 kg")]
    assert [sort.weight.replace("\u00a0", " ") for sort in view.sorts] == boxed
    # A reserve of a tenth on 5 ml of wax; what hands hold is from home, but for what lies in the kit.
    home = [text.replace("\u00a0", " ") for text in view.home]
    assert home == ["wax resist: 5.5 ml", "wheel and bat", "turning tools and callipers", KILN]
    assert [sort[2][0].replace("\u00a0", " ") for sort in slips_view(plan).sorts] == ["wax resist: 5.5 ml"] * 2


@pytest.mark.parametrize(("held", "told"), [("{what: a row}", True), ("{what: a row, also: a row counter}", False)])
def test_what_is_in_the_kit_and_from_home_is_told(tmp_path: Path, held: str, told: bool) -> None:
    """The pattern names a row counter: a kit that holds “a row” may mean it, and viewers would have it twice."""
    result = made(tmp_path, KIT.replace("{what: two buttons, grams: 2, price: 0.80}", held))
    said = [one for one in result.problems if one.code == "kit-and-home"]
    assert [(one.where.file, one.hint) for one in said] == [
        ("course.yaml", "If they are one thing, write below it: also: a row counter")
    ] * told


def test_a_weight_without_that_of_the_box_says_so(root: Path, tmp_path: Path) -> None:
    plan = other_craft(root, tmp_path, "bookbinding", PAPER.replace("  grams: 100\n", ""))
    (sort,) = kit_view(plan).sorts
    assert sort.weight.startswith("122\u00a0g, without text paper, linen tape, PVA glue and box and papers,")


KILN = "kiln, or a place in somebody's kiln"


def test_a_kit_of_paper_and_glue(root: Path, tmp_path: Path) -> None:
    """44 kits; a tenth more of what five sections take: whole sheets and boards, the rest as one measures it."""
    plan = other_craft(root, tmp_path, "bookbinding", PAPER)
    view = kit_view(plan)
    (sort,) = view.sorts
    assert sort.name == "every kit"  # there is one size, and nothing to choose
    assert [(number.replace("\u00a0", " "), thing) for number, thing in sort.things] == [
        ("22 sheets", "text paper"),  # 5 x 4 and 2
        ("165 cm", "waxed linen thread"),  # 5 x 30 and 15
        ("17 cm", "linen tape"),  # 5 x 3 and 1.5
        ("2 pieces", "grey board"),  # a tenth of two boards is none
        ("29 ml", "PVA glue"),  # 5, 15 and 6, and 2.6
    ]
    unknown = "without text paper, linen tape and PVA glue, whose weight is not given"
    assert sort.weight == f"222\u00a0g, box and papers included, {unknown}"  # 100 + 1.65 + 2 x 60
    rows = [tuple(text.replace("\u00a0", " ") for text in row[1:]) for row in kit_table(view)[1:]]
    assert rows == [  # for the 40 kits asked for, and for 44
        ("880 sheets", "968 sheets", "10 packs of 100 sheets", "32 sheets", ""),
        ("66 m", "72.6 m", "by measure", "", ""),
        ("6.8 m", "7.48 m", "by measure", "", ""),
        ("80 pieces", "88 pieces", "", "", "35.20"),
        ("1.16 l", "1.276 l", "13 packs of 100 ml", "24 ml", "32.50"),
    ]
    assert view.total == ""


def test_of_a_material_the_pattern_says_how_much(root: Path, tmp_path: Path) -> None:
    shutil.copytree(root / "tests" / "courses" / "pottery", tmp_path / "bowl")
    with (tmp_path / "bowl" / "course.yaml").open("a", encoding="utf-8") as file:
        file.write(CLAY.replace("{what: clay, price: 9.50}", "{what: clay, number: 2, pack: 10}"))
    told = [
        (one.message, one.hint) for one in lessonplan.load(tmp_path / "bowl").problems if one.code == "kit-material"
    ]
    assert told == [
        ("How much of clay a kit holds follows from the size.", "Leave out “number”."),
        ("How clay is sold stands with the materials in pattern.yaml.", "Write there, at clay: pack: 10"),
    ]


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
    trim = '{choices: plain or with a cord, kit: {with a cord: ["A toggle"], plain: [a label]}}'
    options = f"options:\n  shade: dark or light\n  trim: {trim}\n"
    kit = KIT.replace("kits:", "  - {what: a toggle, number: 3}\n    - {what: a label}\n  kits:")
    pattern = PATTERN.replace("options:\n  trim: plain or with a cord\n", options)
    made(tmp_path, kit)
    (tmp_path / "pattern.yaml").write_text(pattern, encoding="utf-8")
    plan = lessonplan.plan(tmp_path).plan
    assert plan is not None
    assert [one.choices for one in packed_kits(plan)] == [("dark", "plain"), ("dark", "with a cord")]
    things = [{one.thing.what: one.number for one in sort.contents} for sort in packed_kits(plan)]
    assert things == [{"MC": 2, "two buttons": 1, "a label": 1}, {"MC": 4, "CC": 1, "two buttons": 1, "a toggle": 3}]
