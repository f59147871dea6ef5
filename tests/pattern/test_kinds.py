"""Short and small pieces are really worked: their rounds, stitches, minutes and yarn counted by hand here."""

from __future__ import annotations

import pytest

from lessonplan.course.model import pattern as pm
from lessonplan.course.yamltext import read_yaml
from lessonplan.pattern.amounts.minutes import cumulative_minutes
from lessonplan.pattern.amounts.yarn import metres_by_yarn
from lessonplan.pattern.shape.outline import outline
from lessonplan.pattern.variants.kinds import Place, worked_kinds
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.pattern.working.stages import work_pattern

HEAD = """\
title: Test
gauge: {stitches: 20, rounds: 30}
yarns:
  MC: {name: Wool, metres: 200, grams: 100}
  CC: {name: Wool, metres: 200, grams: 100}
"""
TUBE = """\
stages:
  edge:
    title: Edge
    works: [{cast_on: 40, join: yes}]
  rib:
    title: Rib
    after: edge
    short: SHORT
    works:
      - rounds: 20
        lines: "*K2, p2; rep from * to end"
"""
CROWN = """\
stages:
  edge:
    title: Edge
    works: [{cast_on: 40, join: yes}]
  crown:
    title: Crown
    after: edge
    short: SHORT
    works:
      - lines: "*K8, k2tog; rep from * to end"
      - rounds: 6
        lines: Knit
      - lines: "[K2tog] to end"
      - point: ready to close
      - draw_through: all
"""


def kinds(text: str, *places: Place) -> tuple[dict[str, WorkedPattern], list[str]]:
    data, problems = read_yaml((HEAD + text).encode(), "pattern.yaml")
    assert data is not None, problems
    pattern = pm.Pattern.model_validate(data)
    worked, wrong = work_pattern(pattern)
    assert not wrong
    found, told = worked_kinds(pattern, worked, 0, places)
    return dict(found), [f"{problem.message} {problem.hint}" for problem in told]


def test_a_short_piece_keeps_the_first_rounds() -> None:
    found, told = kinds(TUBE.replace("SHORT", "6"))
    assert told == []
    rib = found["short"].stage("rib", 0)
    assert len(rib.rounds) == 6
    assert [rib.steps_to_round(number) for number in (0, 1, 2, 6)] == [0, 1, 2, 6]
    with pytest.raises(ValueError, match="6 rounds, not 7"):
        rib.steps_to_round(7)


def test_its_minutes_are_those_of_its_rounds_in_full() -> None:
    """Two rounds of a short piece take as long as two rounds of the full one; nothing is scaled."""
    found, _ = kinds(TUBE.replace("SHORT", "6"))
    short, full = (cumulative_minutes(found[kind].stage("rib", 0), 25.0) for kind in ("short", "full"))
    assert short == full[:7]


def test_none_of_a_stage_may_stay() -> None:
    found, told = kinds(TUBE.replace("SHORT", "0"))
    assert told == []
    assert found["short"].stage("rib", 0).rounds == ()
    assert found["short"].stage("rib", 0).broken == ""


def test_rounds_left_out_in_the_middle() -> None:
    found, told = kinds(CROWN.replace("SHORT", "leave out rounds 3 to 6"))
    assert told == []
    crown = found["short"].stage("crown", 0)
    assert [step.after for step in crown.rounds] == [36, 36, 36, 18]  # rounds 1, 2, 7 and 8 of the full crown
    assert crown.numbers == (1, 2, 7, 8)
    assert crown.steps_to_round(8) == 4
    assert dict(crown.points) == {"ready to close": 4}
    with pytest.raises(ValueError):
        crown.steps_to_round(5)


@pytest.mark.parametrize(
    ("short", "message"),
    [
        ("3", "A short “crown” of 3 rounds cannot be worked"),  # ends with 36, and 18 are drawn through
        ("leave out round 1", "40 stitches"),
        ("leave out rounds 3 to 60", "“crown” has only 8 rounds, so round 60 cannot be left out."),
        ("9", "“crown” has only 8 rounds, so a short one cannot have 9."),
    ],
)
def test_what_cannot_be_shortened_is_told(short: str, message: str) -> None:
    _, told = kinds(CROWN.replace("SHORT", short))
    assert len(told) == 1
    assert message in told[0]


RISING = """\
stages:
  neck:
    title: Neck
    short: 4
    works:
      - cast_on: 40
      - rows: 12
        lines: ["K1, m1, k to end", "Purl"]
"""


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        (CROWN.replace("SHORT", "3"), "Name the rounds it does without: short: leave out rounds 2 to 7"),
        (RISING, "No rounds in a row can be left out of it: take “short” out."),
    ],
)
def test_the_advice_to_leave_rounds_out_can_be_followed(text: str, advice: str) -> None:
    """The crown has 36 stitches before its rounds 2 to 7 and after them; in the neck each second row adds one."""
    _, (told,) = kinds(text)
    assert told.endswith(advice)
    _, still = kinds(text.replace("short: 3", "short: leave out rounds 2 to 7").replace("    short: 4\n", ""))
    assert still == []


@pytest.mark.parametrize("text", ["six", "leave out", "leave out rounds 6 to 2", "leave out round 0", "-3", "2.5"])
def test_a_short_that_cannot_be_read(text: str) -> None:
    data, _ = read_yaml((HEAD + TUBE.replace("SHORT", f'"{text}"')).encode(), "pattern.yaml")
    with pytest.raises(ValueError, match="rounds"):
        pm.Pattern.model_validate(data)


def test_a_small_piece_is_worked_on_its_own_cast_on() -> None:
    found, _ = kinds("small: 24 sts\n" + TUBE.replace("SHORT", "6"))
    rib = found["small"].stage("rib", 0)
    assert [step.after for step in rib.rounds] == [24] * 20
    techniques = dict(rib.steps[0].techniques)
    assert techniques == {"k": 12, "p": 12}  # six repeats of k2, p2


def test_a_share_becomes_a_count_on_which_the_lines_work_out() -> None:
    """45 % of 40 are 18, on which k2, p2 does not work out; of 16 and 20, equally near, the smaller is taken."""
    found, _ = kinds("small: 45 %\n" + TUBE.replace("SHORT", "6"))
    assert found["small"].stage("rib", 0).steps[0].before == 16


def test_a_stage_whose_lines_do_not_work_out_on_it_says_so() -> None:
    found, _ = kinds("small: 24 sts\n" + CROWN.replace("SHORT", "leave out rounds 3 to 6"))
    assert (
        "10 stitches" in found["small"].stage("crown", 0).broken
        or "multiple" in found["small"].stage("crown", 0).broken
    )
    assert found["small"].stage("edge", 0).broken == ""


def test_a_place_inside_a_round_is_a_step() -> None:
    found, _ = kinds(TUBE.replace("SHORT", "6"), Place("rib", 3, 10), Place("rib", 3, 30))
    rib = found["full"].stage("rib", 0)
    assert len(rib.rounds) == 20
    assert [step.part for step in rib.steps[:5]] == [0, 0, 10, 20, 0]
    assert rib.steps_to_round(3) == 5
    stages = (kinds(TUBE.replace("SHORT", "6"), *at)[0]["full"].stage("rib", 0) for at in ((), (Place("rib", 3, 10),)))
    whole, cut = (cumulative_minutes(stage, 25.0)[-1] for stage in stages)
    assert cut == pytest.approx(whole, abs=0.05)  # the halves of a round make the round again, to the rounded stitch


def test_the_outline_is_of_the_rounds_that_are_there() -> None:
    found, _ = kinds(TUBE.replace("SHORT", "6"))
    heights = [
        outline(found[kind], 0, (1, len(found[kind].stage("rib", 0).steps))).bounds[3] for kind in ("full", "short")
    ]
    assert heights == pytest.approx([20 * 100 / 30, 6 * 100 / 30])


def test_what_a_short_crown_takes_is_what_its_own_rounds_take() -> None:
    """Rounds 1, 2, 7 and 8: 32 k and 4 k2tog; 36 k; 36 k; 18 k2tog, each with 0.05 min beside; at 20 a minute."""
    crown = kinds(CROWN.replace("SHORT", "leave out rounds 3 to 6"))[0]["short"].stage("crown", 0)
    factors = {"k": 1.0, "k2tog": 1.5}
    counted = cumulative_minutes(crown, 20.0, factors)
    by_hand = [(32 + 6) / 20 + 0.05, 36 / 20 + 0.05, 36 / 20 + 0.05, 27 / 20 + 0.05]
    assert counted[:5] == pytest.approx([sum(by_hand[:done]) for done in range(5)])
    # A decrease takes a loop of its own and no more: 36 + 36 + 36 + 18 loops of 10 mm, before it is drawn together.
    assert metres_by_yarn(crown.rounds, 10.0) == pytest.approx({"MC": 1.26})


def test_what_a_small_piece_takes_is_what_its_own_stitches_take() -> None:
    """24 stitches cast on (one and a half each, 2.5 min beside), then rounds of 12 k and 12 p, 0.05 min beside."""
    small = kinds("small: 24 sts\n" + TUBE.replace("SHORT", "6"))[0]["small"]
    edge, rib = small.stage("edge", 0), small.stage("rib", 0)
    factors = {"CO": 1.5, "k": 1.0, "p": 1.2}
    assert cumulative_minutes(edge, 20.0, factors)[-1] == pytest.approx(24 * 1.5 / 20 + 2.5)
    assert cumulative_minutes(rib, 20.0, factors)[-1] == pytest.approx(20 * ((12 + 12 * 1.2) / 20 + 0.05))
    # 21 x 24 loops of 10 mm, and a tail of 3.3 times the width of 24 stitches at 20 to 10 cm.
    assert metres_by_yarn((*edge.steps, *rib.steps), 10.0) == pytest.approx({"MC": 5.04 + 3.3 * 0.12})
    # A tube of 24 stitches lies 6 cm wide; 20 rounds at 30 to 10 cm are 6.67 cm high.
    left, right, _, top = outline(small, 0, (1, 20)).bounds
    assert (right - left, top) == pytest.approx((60, 20 / 0.3))


def test_a_short_crown_is_drawn_with_the_rounds_that_it_has() -> None:
    short = kinds(CROWN.replace("SHORT", "leave out rounds 3 to 6"))[0]["short"]
    (crown,) = outline(short, 0, (1, 4)).parts
    # Half of 40, 36, 36, 36 and 18 stitches at 5 mm, at the heights of 0 to 4 rounds of 3.33 mm.
    levels = {round(p[0] * 0.3): round(p[2], 6) for band in crown.bands for p in band.profile}
    assert (levels[0], levels[1], levels[4]) == (50.0, 45.0, 22.5)
    assert max(levels) == 4


SQUARE = """\
sizes: [Small, Large]
small: 8 sts
stages:
  strip:
    title: Strip
    works:
      - cast_on: 12 (16)
      - rows: 20 (24)
        lines: Knit
      - bind_off: all
  border:
    title: Border
    after: strip
    works:
      - {pick_up: all, edge: side of strip, rate: 1 for 2}
      - rows: 2
        lines: "*K2, p2; rep from * to end"
      - bind_off: all
"""


@pytest.mark.parametrize("size", [0, 1])
def test_a_small_piece_of_any_size_picks_up_along_an_edge_of_its_own(size: int) -> None:
    """One stitch for two rows: 10 of 20 rows, 12 of 24; the second makes k2, p2 come out, the first does not."""
    data, _ = read_yaml((HEAD + SQUARE).encode(), "pattern.yaml")
    pattern = pm.Pattern.model_validate(data)
    worked, _ = work_pattern(pattern)
    small = worked_kinds(pattern, worked, size, (), ("full", "small"))[0]["small"]
    assert small.stage("strip", size).steps[0].after == 8
    assert small.stage("border", size).steps[0].after == (10, 12)[size]
    assert bool(small.stage("border", size).broken) == (size == 0)


def test_the_small_cast_on_is_the_nearest_with_which_most_stages_come_out() -> None:
    """A quarter of 40 is 10; k2, p2 comes out on 8 and on 12, of which the lower is tried first."""
    text = HEAD + "small: 25 %\n" + TUBE.replace("SHORT", "6")
    data, _ = read_yaml(text.encode(), "pattern.yaml")
    pattern = pm.Pattern.model_validate(data)
    worked, _ = work_pattern(pattern)
    small = worked_kinds(pattern, worked, 0)[0]["small"]
    assert [small.stage(key, 0).stitches for key in small.order] == [8, 8]
    assert not any(small.stage(key, 0).broken for key in small.order)
