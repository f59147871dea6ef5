"""The facts of a pattern in which everything happens once, each worked by hand."""

from __future__ import annotations

import pytest

import lessonplan
from lessonplan.pattern.facts import Fact, Value
from tests.small_course import COURSE, EPISODE, write_course

PATTERN = """\
title: Everything
sizes: [S, M]
gauge: {stitches: 20, rounds: 30}
make: 2
margin: 20 %
yarns:
  MC: {name: Wool, metres: 200, grams: 100}
  CC: {name: Wool, metres: 10, grams: 5}
stages:
  edge:
    title: Edge
    works:
      - {cast_on: 40 (48), join: yes, yarn: CC}
      - {rounds: 4, lines: Knit, yarn: CC}
  body:
    title: Body
    after: edge
    works:
      - {rounds: 8, lines: Knit}
      - {placeholder: 12, name: gap}
      - {rounds: 2, lines: Knit}
      - {hold: 8, name: thumb}
      - {rounds: 5 cm (6 cm), lines: Knit}
      - bind_off: all
  thumb:
    title: Thumb
    after: body
    works:
      - {take_up: thumb}
      - {pick_up: 4}
      - {rounds: 6, lines: Knit}
      - bind_off: all
  pocket:
    title: Pocket
    after: body
    works:
      - {open: gap}
      - {rounds: 3, lines: Knit}
      - bind_off: all
  strap:
    title: Strap
    after: body
    works:
      - {cast_on: 10, yarn: CC}
      - {rows: 4 cm, lines: Knit, yarn: CC}
      - {bind_off: all, yarn: CC}
  cord:
    title: Cord
    after: strap
    works:
      - cord: 30 cm (36 cm)
  ends:
    title: Ends
    after: cord
    works:
      - weave_ends: 8
"""


@pytest.fixture(scope="module")
def facts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Fact]:
    files = {"pattern.yaml": PATTERN, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    result = lessonplan.load(write_course(tmp_path_factory.mktemp("everything"), files))
    assert result.worked is not None, [str(one) for one in result.problems]
    return dict(result.worked.facts)


# 20 stitches and 30 rounds to 10 cm: a stitch is 5 mm wide and a round 10 / 3 mm high.
BY_HAND: dict[str, tuple[Value, ...]] = {
    "edge.title": ("Edge", "Edge"),
    "edge.start": (0, 0),
    "edge.stitches": (40, 48),
    "edge.cast_on": (40, 48),
    "edge.rounds": (4, 4),
    "edge.length": (40 / 3, 40 / 3),
    "edge.held": (0, 0),
    "body.start": (40, 48),
    "body.stitches": (32, 40),  # after the last round, not after the binding off
    "body.cast_on": (0, 0),
    "body.rounds": (8 + 2 + 15, 8 + 2 + 18),
    "body.rows": (0, 0),
    "body.held": (8, 8),
    "body.placed": (12, 12),
    "body.opened": (0, 0),
    "body.length": (250 / 3, 280 / 3),
    "body.around": (160, 200),
    "body.width": (80, 100),
    "body.count.k": (10 * 40 + 15 * 32 + 12, 10 * 48 + 18 * 40 + 12),  # with those in waste yarn
    "body.count.BO": (32, 40),
    "body.with.waste": (12, 12),
    "body.round_1.stitches": (40, 48),
    "body.round_25.stitches": (32, 40),
    "body.round_28.stitches": ("–", 40),
    "thumb.picked_up": (4, 4),
    "thumb.taken_up": (8, 8),  # those that the body put on hold
    "body.taken_up": (0, 0),
    "thumb.start": (0, 0),
    "thumb.stitches": (12, 12),
    "thumb.length": (20, 20),
    "thumb.width": (30, 30),
    "thumb.held": (0, 0),
    "pocket.opened": (12 + 11, 12 + 11),
    "pocket.placed": (0, 0),
    "pocket.rounds": (3, 3),
    "strap.cast_on": (10, 10),
    "strap.rows": (12, 12),
    "strap.rounds": (0, 0),
    "strap.length": (40, 40),
    "strap.around": (50, 50),
    "strap.width": (50, 50),  # rows lie as wide as they are
    "cord.cord": (300, 360),
    "cord.length": (300, 360),
    "total.length": (290 / 3, 320 / 3),  # edge and body
    "yarn.waste.balls": (),
    "size": ("S", "M"),
}


@pytest.mark.parametrize("name", BY_HAND)
def test_a_fact_by_hand(facts: dict[str, Fact], name: str) -> None:
    if not BY_HAND[name]:
        assert name not in facts
    else:
        values = facts[name].values * (2 if len(facts[name].values) == 1 else 1)
        assert values == tuple(pytest.approx(one) if isinstance(one, float) else one for one in BY_HAND[name])


def test_lengths_that_were_asked_for_are_printed_as_they_were_typed(facts: dict[str, Fact]) -> None:
    assert {name: facts[name].typed for name in ("strap.length", "body.length", "cord.cord", "cord.length")} == {
        "strap.length": True,
        "body.length": False,
        "cord.cord": True,
        "cord.length": True,
    }


def test_yarn_in_every_unit_for_both_pieces(facts: dict[str, Fact]) -> None:
    # CC in S: 40 + 4 x 40 loops of the edge, 10 + 12 x 10 of the strap and what binds it off, tails besides. A loop is
    # the root of 23.1 over 2 x 3 to the square cm: 1.962 cm. Two pieces and a fifth more.
    loop = (23.1 / 6) ** 0.5 / 100
    loops = (200 + 130) * loop * 2 * 1.2
    metres, yards, grams, balls = (
        int(facts[f"yarn.CC.{unit}"].values[0]) for unit in ("metres", "yards", "grams", "balls")
    )
    assert loops < metres < loops + 2 * 1.2 * 2
    assert metres - 1 < yards * 0.9144 < metres + 0.9144
    assert metres / 2 - 0.5 <= grams <= metres / 2 + 0.5
    assert balls == -(-metres // 10)
    assert [name for name in facts if name.startswith("yarn.waste.")] == ["yarn.waste.metres", "yarn.waste.yards"]


def test_what_is_worked_in_rows_is_told_in_rows(facts: dict[str, Fact]) -> None:
    assert facts["strap.round_1.stitches"].meaning == "Strap: stitches after row 1"
    assert facts["body.round_1.stitches"].meaning == "Body: stitches after round 1"
