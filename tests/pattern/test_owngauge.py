"""Another knitter's gauge, against the pattern itself with that gauge typed into it and worked anew."""

from __future__ import annotations

import math

import pytest

from lessonplan.course.model import pattern as pm
from lessonplan.course.yamltext import read_yaml
from lessonplan.pattern.amounts.yarn import whole_pattern
from lessonplan.pattern.variants.owngauge import own_gauge
from lessonplan.pattern.worked import WorkedPattern
from lessonplan.pattern.working.stages import work_pattern

PATTERN = """\
title: Cowl
{craft}make: 2
margin: 10 %
sizes: [S, L]
gauge: {{stitches: {stitches}, rounds: {rounds}}}
yarns:
  MC: {{name: Wool, metres: 200, grams: 100}}
  CC: {{name: Wool, metres: 200, grams: 100}}
stages:
  edge:
    title: Edge
    gauge: {{stitches: {edge_stitches}, rounds: {edge_rounds}}}
    works:
      - {{cast_on: 40 (48), join: yes, yarn: CC}}
      - {{rounds: 3 cm (4 cm), lines: Knit, yarn: CC}}
  body:
    title: Body
    after: edge
    works:
      - {{rounds: 4, lines: Knit}}
      - {{rounds: 10 cm, lines: Knit, stripes: "2 MC, 3 CC", ends_with: stripe}}
      - {{rounds: 5 cm, lines: ["Knit", "Purl"], rounding: even}}
      - bind_off: all
"""


def made(stitches: float = 20.0, rounds: float = 30.0, craft: str = "", old: str = "", new: str = "") -> pm.Pattern:
    """The pattern at a gauge to 10 cm; that of the edge changes in proportion."""
    text = PATTERN.format(
        craft=f"craft: {craft}\n" if craft else "",
        stitches=stitches,
        rounds=rounds,
        edge_stitches=stitches * 1.25,
        edge_rounds=rounds * 1.1,
    )
    assert old in text
    text = text.replace(old, new)
    if craft == "crochet":
        text = text.replace('["Knit", "Purl"]', "Knit").replace("lines: Knit", "lines: Sc in each st around")
    data, problems = read_yaml(text.encode(), "pattern.yaml")
    assert not problems
    return pm.Pattern.model_validate(data)


def worked(pattern: pm.Pattern) -> WorkedPattern:
    found, problems = work_pattern(pattern)
    assert not [one for one in problems if one.severity == "error"], problems
    return found


@pytest.mark.parametrize("craft", ["knitting", "crochet"])
@pytest.mark.parametrize("gauge", [(20, 30), (22, 28), (17, 33), (20, 26), (24, 30)])
def test_rounds_and_yarn_are_those_of_the_pattern_at_that_gauge(gauge: tuple[int, int], craft: str) -> None:
    pattern = made(craft=craft)
    data = own_gauge(pattern, worked(pattern))
    assert data is not None
    other = made(*gauge, craft)
    at_it = worked(other)
    for size in (0, 1):
        metres = data.metres(gauge[0] / 100, gauge[1] / 100, size)
        assert metres == pytest.approx({one.yarn: one.metres for one in whole_pattern(other, at_it, size)})
        for one in data.free:
            steps = [step for step in at_it.stage(one.stage, size).rounds if step.work == one.work]
            assert one.rounds(gauge[1] / 100, size) == len(steps), (one.stage, one.work)


def test_rounds_by_hand() -> None:
    pattern = made()
    data = own_gauge(pattern, worked(pattern))
    assert data is not None
    edge, stripes, even = data.free
    assert [(one.stage, one.work) for one in data.free] == [("edge", 1), ("body", 1), ("body", 2)]
    # 3 and 4 cm at 33 to 10 cm are 9.9 and 13.2; at 22 (that is 20 for the body) 6.6 and 8.8.
    assert [edge.rounds(0.3, size) for size in (0, 1)] == [10, 13]
    assert [edge.rounds(0.2, size) for size in (0, 1)] == [7, 9]
    # 10 cm at 3, 2.64 and 2.56 rounds to the cm: the nearest of 2, 5, 7, 10, 12, ... at which a stripe ends.
    assert [stripes.rounds(gauge, 0) for gauge in (0.3, 0.264, 0.256)] == [30, 27, 25]
    # 5 cm are 15 rounds, so 14 or 16; at 2.6 they are 13, at 2.4 just 12.
    assert [even.rounds(gauge, 0) % 2 for gauge in (0.3, 0.26, 0.24)] == [0, 0, 0]
    assert [abs(even.rounds(gauge, 0) - 50 * gauge) <= 1 for gauge in (0.3, 0.26, 0.24)] == [True] * 3
    assert edge.rounds(0.001, 0) == 1, "a round at the least"
    assert (data.factor, data.yarns, data.crochet) == (2 * 1.1, ("MC", "CC"), False)


def test_the_yarn_of_a_loop() -> None:
    """By Doyle and Munden a plain loop takes the root of 23.1 over the stitches and rounds to the square cm."""
    pattern = made()
    data = own_gauge(pattern, worked(pattern))
    assert data is not None
    assert data.constant / math.sqrt(0.2 * 0.3) == pytest.approx(10 * math.sqrt(23.1 / (2 * 3)), rel=1e-3)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("cast_on: 40 (48)", "cast_on: 20 cm (24 cm)"),  # other stitches at another gauge
        ("craft: knitting", "craft: weaving"),
        ('["Knit", "Purl"], rounding: even', '["Knit"], stripes: go on'),  # where they begin depends on the rounds
    ],
)
def test_nothing_is_given_where_more_depends_on_the_gauge(old: str, new: str) -> None:
    pattern = made(craft="knitting", old=old, new=new)
    assert own_gauge(pattern, worked(pattern)) is None
