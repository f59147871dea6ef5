"""The outline of a piece: to scale, in parts, and as far as it is worked."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.craft.gauge import Fabric
from lessonplan.pattern.shape.chains import chains_of
from lessonplan.pattern.shape.outline import GAP, Outline, Part, outline
from lessonplan.pattern.worked import Step, WorkedPattern
from lessonplan.samples.agreed import made
from tests.inline_stages import sound
from tests.small_pieces import PLAIN, cast_on, mitten, pattern, rounds, scarf, stage, steps_of, tube


def drawn(worked: WorkedPattern, **done: int) -> Outline:
    return outline(worked, 0, steps_of(worked, **done))


def stages_of(part: Part) -> list[str]:
    return list(dict.fromkeys(band.stage for band in part.bands))


@settings(deadline=None)
@given(count=st.integers(2, 400), length=st.integers(1, 300))
def test_a_tube_lies_flat_half_as_wide_as_its_stitches(count: int, length: int) -> None:
    left, right, bottom, top = drawn(tube(count, length)).bounds
    # 20 stitches and 30 rounds over 100 mm.
    assert right - left == pytest.approx(count / 0.2 / 2)
    assert top - bottom == pytest.approx(length / 0.3)


@settings(deadline=None)
@given(count=st.integers(2, 400), length=st.integers(1, 300))
def test_rows_have_their_whole_width(count: int, length: int) -> None:
    left, right, _, top = drawn(scarf(count, length)).bounds
    assert right - left == pytest.approx(count / 0.2)
    assert top == pytest.approx(length / 0.3)


def test_a_stage_has_its_own_gauge() -> None:
    narrow = Fabric.of(40, 20, 100)
    piece = drawn(pattern(stage("a", cast_on(40), *rounds([40] * 6)), stage("b", *rounds([40] * 6), fabric=narrow)))
    first, second = piece.parts[0].bands
    assert first.profile == ((0.0, -50.0, 50.0), (first.profile[1][0], -50.0, 50.0))
    assert first.profile[1][0] == pytest.approx(20)
    assert second.profile[0][1:] == (-25.0, 25.0)
    assert second.profile[-1][0] == pytest.approx(20 + 30)


def test_equal_rounds_are_one_shape_of_two_levels() -> None:
    band = drawn(tube(40, 200)).parts[0].bands[0]
    assert band.rounds == 200
    assert len(band.profile) == 2


def test_stripes_are_bands_in_their_own_yarn() -> None:
    worked = pattern(
        stage("edge", cast_on(20)), stage("band", *rounds([20, 20], "CC"), *rounds([20, 20, 20]), *rounds([20], "CC"))
    )
    bands = drawn(worked).parts[0].bands
    assert [(band.yarn, band.rounds) for band in bands] == [("CC", 2), ("MC", 3), ("CC", 1)]


def test_a_round_in_two_yarns_has_the_one_that_makes_most_of_it() -> None:
    step = Step("round", "k", 20, 20, yarns=(("MC", 5.0), ("CC", 15.0)))
    assert drawn(pattern(stage("a", cast_on(20), step))).parts[0].bands[0].yarn == "CC"


def test_the_thumb_of_a_mitten_is_a_branch_beside_the_hand() -> None:
    piece = drawn(mitten(), edge=-1, cuff=-1, gusset=-1)
    (hand,) = piece.parts
    (thumb,) = hand.branches
    assert stages_of(hand) == ["cuff", "gusset", "band", "hand", "top"]
    assert stages_of(thumb) == ["thumb"]
    # The held stitches were put aside in the last of 19 gusset rounds: its bottom, 18 rounds above the cuff.
    height = 22 / 0.32 + 18 / 0.3
    assert thumb.bands[0].profile[0][0] == pytest.approx(height)
    beside = [point for band in hand.bands for point in band.profile if point[0] > height + 1]
    assert min(p[1] for p in thumb.points()) == pytest.approx(max(p[2] for p in beside) + GAP)


def test_a_gusset_grows_on_one_side_and_the_hand_stays_straight() -> None:
    hand = drawn(mitten()).parts[0]
    gusset = [point for band in hand.bands if band.stage == "gusset" for point in band.profile]
    assert {round(point[1], 6) for point in gusset} == {-50.0}
    assert max(point[2] for point in gusset) == pytest.approx(50 + 13 / 0.22 / 2)


def test_stitches_wait_on_waste_yarn_until_they_are_taken_up() -> None:
    def waiting(**done: int) -> list[int]:
        return [edge.stitches for part in drawn(mitten(), **done).walk() for edge in part.waste if edge.done]

    assert waiting(edge=-1, cuff=-1, gusset=18) == []
    assert waiting(edge=-1, cuff=-1, gusset=-1) == [13]
    assert waiting(edge=-1, cuff=-1, gusset=-1, thumb=1) == []


def test_live_stitches_stand_where_each_part_ends_now() -> None:
    piece = drawn(mitten(), edge=-1, cuff=-1, gusset=-1, band=6, thumb=2)
    hand, thumb = piece.walk()
    assert hand.live is not None
    assert thumb.live is not None
    assert (hand.live.stitches, thumb.live.stitches) == (44, 18)
    assert hand.live.height == pytest.approx(22 / 0.32 + 19 / 0.3 + 6 / 0.36)
    assert hand.live.right - hand.live.left == pytest.approx(44 / 0.23 / 2)


def test_nothing_is_live_before_the_cast_on_and_after_the_end() -> None:
    assert all(part.live is None for part in drawn(mitten()).walk())
    finished = drawn(mitten(), **dict.fromkeys(mitten().order, -1))
    assert all(part.live is None for part in finished.walk())
    assert [part.closed.how for part in finished.walk() if part.closed] == ["draw-through", "draw-through"]


def test_a_thumb_without_a_gusset_stands_beside_the_body_with_a_gap() -> None:
    aside = Step("round", "hold 8, cast on 8", 40, 40, held=8)
    worked = pattern(
        stage("body", cast_on(40), *rounds([40] * 15), aside, *rounds([40] * 15)),
        stage("thumb", Step("take-up", "t", 0, 8), Step("pick-up", "p", 8, 16), *rounds([16] * 9)),
    )
    (body,) = drawn(worked).parts
    assert {point[1:] for band in body.bands for point in band.profile} == {(-50.0, 50.0)}
    assert min(point[1] for point in body.branches[0].points()) == pytest.approx(50 + GAP)
    assert body.branches[0].bands[0].profile[0][0] == pytest.approx(15 / 0.3)


def test_stitches_taken_up_again_in_the_same_part_leave_it_straight() -> None:
    worked = pattern(
        stage("leg", cast_on(64), *rounds([64] * 9), Step("hold", "hold 32", 64, 32, held=32)),
        stage("heel", *rounds([32] * 7, kind="row")),
        stage("foot", Step("take-up", "t", 32, 64), *rounds([64] * 9)),
    )
    (sock,) = drawn(worked, leg=-1).parts
    assert {point[1:] for band in sock.bands for point in band.profile} == {(-80.0, 80.0)}
    assert not sock.branches
    assert [edge.done for edge in sock.waste] == [True]


def test_two_sleeves_go_to_two_sides() -> None:
    def off(before: int) -> Step:
        return Step("round", "hold 30", before, before - 30, held=30)

    sleeve = (Step("take-up", "t", 0, 30), *rounds([30] * 12))
    worked = pattern(
        stage("yoke", cast_on(60), *rounds([60 + 4 * turn for turn in range(1, 25)], start=60)),
        stage("split", off(156), off(126)),
        stage("body", *rounds([96] * 12)),
        stage("one", *sleeve),
        stage("other", *sleeve),
        after={"one": ("split",), "other": ("split",)},
    )
    (body,) = drawn(worked).parts
    first, second = ([p[1] for p in branch.points()] for branch in body.branches)
    assert min(first) > 0 > max(second)


def test_two_sleeves_held_in_one_row_go_to_two_sides_too() -> None:
    sleeve = (Step("take-up", "t", 0, 30, name="sleeves"), *rounds([30] * 12))
    worked = pattern(
        stage("yoke", cast_on(60), *rounds([60 + 4 * turn for turn in range(1, 25)], start=60)),
        stage("split", Step("round", "hold 30 twice", 156, 96, held=60, name="sleeves")),
        stage("body", *rounds([96] * 12)),
        stage("one", *sleeve),
        stage("other", *sleeve),
        after={"one": ("split",), "other": ("split",)},
    )
    (body,) = drawn(worked).parts
    first, second = ([p[1] for p in branch.points()] for branch in body.branches)
    assert min(first) > 0 > max(second)
    (waiting,) = drawn(worked, yoke=-1, split=-1).parts
    assert [(edge.stitches, edge.done) for edge in waiting.waste] == [(30, True), (30, True)]
    assert waiting.waste[0].left > 0 > waiting.waste[1].right


def test_pieces_cast_on_anew_stand_side_by_side() -> None:
    back, front = stage("back", *scarf().stage("edge", 0).steps), stage("front", cast_on(40), *rounds([40] * 9))
    piece = drawn(pattern(back, front, after={"front": ()}))
    assert len(piece.parts) == 2
    assert min(p[1] for p in piece.parts[1].points()) > max(p[2] for p in piece.parts[0].points())


def test_a_short_piece_has_the_rounds_that_are_worked_on_it() -> None:
    piece = outline(mitten(short=True), 0, steps_of(mitten(short=True), edge=-1, cuff=3))
    cuff = [band for band in piece.parts[0].bands if band.stage == "cuff"]
    assert [(band.rounds, band.done) for band in cuff] == [(3, True), (3, False)]
    assert sum(band.rounds for band in piece.parts[0].bands if band.stage == "gusset") == 19
    # 6 rounds of rib, 19 of gusset, 4 of band, 4 of hand and 13 of top, each at its gauge of rounds to the mm.
    assert piece.bounds[3] == pytest.approx(6 / 0.32 + 19 / 0.3 + 4 / 0.36 + 4 / 0.3 + 13 / 0.3)


def test_the_rounds_of_a_short_piece_are_as_high_as_those_of_a_full_one() -> None:
    live: list[tuple[int, float]] = []
    for worked in (mitten(), mitten(short=True)):
        (hand,) = outline(worked, 0, steps_of(worked, edge=-1, cuff=3)).parts
        assert hand.live is not None
        live.append((hand.live.stitches, hand.live.height))
    assert live[0] == live[1]
    assert live[0] == pytest.approx((44, 3 / 0.32))


def test_what_a_short_piece_leaves_out_has_no_height() -> None:
    worked = pattern(stage("edge", cast_on(40)), stage("rib", numbers=(), start=40), stage("body", *rounds([40] * 6)))
    assert drawn(worked).bounds == pytest.approx((-50, 50, 0, 20))


def test_a_pattern_without_rounds_is_boxes_filled_by_its_steps() -> None:
    glue = Step("other", "Glue", 0, 0)
    piece = drawn(pattern(stage("cut", glue, glue, glue, glue), stage("glue", glue)), cut=1)
    assert not piece.to_scale
    assert piece.area(True) / (piece.area(True) + piece.area(False)) == pytest.approx(1 / 8)


def test_a_state_must_fit_the_pattern() -> None:
    with pytest.raises(ValueError, match="9 stages has 2"):
        outline(mitten(), 0, (1, 2))


@settings(deadline=None)
@given(st.data())
def test_what_is_done_only_grows_and_the_whole_stays(data: st.DataObject) -> None:
    worked = mitten(short=data.draw(st.booleans()))
    order = data.draw(st.permutations(["top", "thumb"]))
    ways = [key for key in worked.order if key not in order][:5]
    states = [tuple(0 for _ in worked.order)]
    for key in (*ways, *order):
        index = worked.order.index(key)
        cut = data.draw(st.integers(1, len(worked.stage(key, 0).steps)))
        for done in (cut, len(worked.stage(key, 0).steps)):
            states.append((*states[-1][:index], done, *states[-1][index + 1 :]))
    outlines = [outline(worked, 0, state) for state in states]
    areas = [one.area() for one in outlines]
    assert all(later >= earlier - 1e-6 for earlier, later in pairwise(areas))
    assert {round(one.area() + one.area(done=False), 3) for one in outlines} == {round(areas[-1], 3)}
    assert all(one.bounds == pytest.approx(outlines[0].bounds) for one in outlines)


def test_the_share_of_each_stage_is_in_the_rounds_that_the_piece_has() -> None:
    worked = mitten(short=True)
    share = outline(worked, 0, steps_of(worked, edge=-1, cuff=3)).stages[1]
    assert (share.title, share.unit, share.done, share.whole) == ("Ribbed cuff", "round", 3, 6)


def test_plain_gauge_of_these_tests() -> None:
    assert [PLAIN.width(20), PLAIN.length(30)] == pytest.approx([100, 100])


def test_parts_that_do_not_touch_lie_a_little_apart() -> None:
    """Two strips cast on anew lie side by side, a twentieth of the left one's width apart, at the least 3 gaps."""
    for count in (10, 400):
        strips = [stage(key, cast_on(count), *rounds([count] * 9, kind="row")) for key in "ab"]
        first, second = drawn(pattern(*strips, after={"b": ()})).parts
        right = max(one[2] for one in first.points())
        left = min(one[1] for one in second.points())
        assert left - right == pytest.approx(max(3 * GAP, 0.05 * right))


def test_boxes_of_a_piece_without_rounds_stand_on_the_ground() -> None:
    one = Step("minutes", "glue", 0, 0)
    piece = drawn(pattern(stage("glue", one), stage("press", one)))
    assert piece.bounds[2] == 0


def trapezes(worked: WorkedPattern, done: bool, **steps: int) -> float:
    """The area of what is done, or to come: each round as a trapeze between the stitches below and above it."""
    state = dict(zip(worked.order, steps_of(worked, **steps), strict=True))
    total = 0.0
    for key in worked.order:
        one = worked.stage(key, 0)
        for index, step in enumerate(one.steps):
            if step.is_round and (index < state[key]) == done:
                below = min(step.before, step.after) if step.held else step.before
                wide = (below + step.after) / 2 / one.fabric.stitches_per_mm / (1 if step.flat else 2)
                total += wide / one.fabric.rounds_per_mm
    return total


STATES: tuple[dict[str, int], ...] = (
    {},
    {"edge": -1, "cuff": 7},
    {"edge": -1, "cuff": -1, "gusset": 9},
    dict.fromkeys(mitten().order, -1),
)


@pytest.mark.parametrize("steps", STATES)
@pytest.mark.parametrize("done", [True, False])
def test_every_round_is_as_wide_and_as_high_as_its_gauge_says(steps: dict[str, int], done: bool) -> None:
    for short in (False, True):
        worked = mitten(short)
        known = {key: count for key, count in steps.items() if not short or count == -1}
        assert drawn(worked, **known).area(done) == pytest.approx(trapezes(worked, done, **known))


def test_edges_have_the_width_of_their_stitches_at_their_height() -> None:
    whole = dict.fromkeys(("edge", "cuff", "gusset", "band", "hand", "top", "thumb"), -1)
    (hand,) = drawn(mitten(), **whole).parts
    (thumb,) = hand.branches
    assert hand.cast_on is not None
    assert (hand.cast_on.stitches, hand.cast_on.height, hand.cast_on.how) == (44, 0, "cast-on")
    # The cuff is a rib of 28 stitches to 10 cm: the edge lies below its first round.
    assert hand.cast_on.right - hand.cast_on.left == pytest.approx(44 / 0.28 / 2)
    assert hand.closed is not None
    height = 22 / 0.32 + 19 / 0.3 + 12 / 0.36 + 15 / 0.3 + 13 / 0.3
    assert hand.closed.stitches == 8
    assert hand.closed.height == pytest.approx(height)
    assert hand.closed.right - hand.closed.left == pytest.approx(8 / 0.22 / 2)
    assert hand.closed.right + hand.closed.left == pytest.approx(0), "the body stays in the middle"
    (held,) = hand.waste
    assert (held.stitches, held.done) == (13, False)
    assert held.height == pytest.approx(22 / 0.32 + 18 / 0.3)
    assert held.right - held.left == pytest.approx(13 / 0.22 / 2)
    assert held.right == pytest.approx(50 + 13 / 0.22 / 2), "at the side of the body"
    assert thumb.closed is not None
    assert thumb.closed.height == pytest.approx(22 / 0.32 + 18 / 0.3 + 19 / 0.3)
    assert thumb.cast_on is None, "its stitches were taken up"


def test_boxes_stand_one_on_another_in_the_order_of_working() -> None:
    one = Step("minutes", "glue", 0, 0, yarns=(("MC", 1.0),))
    piece = drawn(pattern(stage("glue", one, one, one), stage("press", one)), glue=1)
    bands = [(band.stage, band.done, band.profile) for band in piece.parts[0].bands]
    # Boxes of 60 by 16 mm, 5 apart; a third of the first is done.
    assert [(key, done) for key, done, _ in bands] == [("glue", True), ("glue", False), ("press", False)]
    heights = [(profile[0][0], profile[1][0]) for _, _, profile in bands]
    assert heights == [pytest.approx(ends) for ends in ((0, 16 / 3), (16 / 3, 16), (21, 37))]
    assert piece.bounds == pytest.approx((-30, 30, 0, 37))
    assert [(share.unit, share.done, share.whole) for share in piece.stages] == [("step", 1, 3), ("step", 0, 1)]


SHORT_HEEL = """\
  foot:
    title: Foot
    works:
      - {cast_on: 24, join: yes}
      - {rounds: 2, lines: Knit}
  heel:
    title: Heel
    after: foot
    works:
      - rows: 4
        lines:
          - "Row 1 (RS): K20, w&t"
          - "Row 2 (WS): P16, w&t"
          - "Row 3: K to 1 st before wrapped st, w&t"
          - "Row 4: P to 1 st before wrapped st, w&t"
      - {rows: 1, lines: "Next row (RS): K to end"}
  leg:
    title: Leg
    after: heel
    works:
      - {rounds: 2, lines: Knit}
"""


def test_short_rows_are_as_wide_as_what_is_worked_and_lengthen_nothing_else() -> None:
    worked = sound(SHORT_HEEL)
    heel = worked.stage("heel", 0)
    # Twenty are worked in the first row, four of them on the way to the heel: it comes back over sixteen, then over
    # fifteen and fourteen, which ends five stitches from the beginning: nineteen are left to the end.
    assert [step.short for step in heel.rounds] == [20, 16, 15, 14, 19]
    assert heel.widths == (16, 16, 15, 14, 19)
    steps = tuple(len(worked.stage(key, 0).steps) for key in worked.order)
    assert made(worked, 0, (steps[0], 4, 0)) == f"6 rounds, {2 * 24 + 20 + 16 + 15 + 14} stitches"
    (chain,) = chains_of(worked, 0, dict(zip(worked.order, steps, strict=True)))
    assert [row.short for row in chain.rows] == [False] * 2 + [True] * 5 + [False] * 2
    # Twenty stitches to 10 cm: the heel lies 8 cm wide at its bottom, in the middle of a tube that is 6 cm.
    drawn = outline(worked, 0, steps)
    (band,) = [band for part in drawn.walk() for band in part.bands if band.stage == "heel"]
    assert band.profile[0][1:] == pytest.approx((-40, 40))
