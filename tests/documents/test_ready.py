"""What viewers have ready for each part: state, yarn and tools, worked by hand on the sample course's plan."""

from __future__ import annotations

import re

from lessonplan.documents.ready import ready
from lessonplan.pattern.amounts.yarn import loop_length
from lessonplan.planning.worked import Plan
from lessonplan.publish.byepisode import stage_episodes


def test_each_stage_is_worked_in_the_episode_that_shows_it(sample: Plan) -> None:
    # Episode 1 casts on and works the cuff, 2 the gusset and the band, 3 the rest; nothing shows the weaving in alone.
    assert stage_episodes(sample) == {
        "edge": 1,
        "cuff": 1,
        "gusset": 2,
        "band": 2,
        "hand": 3,
        "top": 3,
        "thumb": 3,
        "ends": 3,
        "blocking": 3,
    }


def test_the_state_before_each_part(sample: Plan) -> None:
    first, second, third = ready(sample)
    assert (first.state, second.episode) == (
        "A swatch in the round, washed and dried; else only tools and materials.",
        2,
    )
    # It is made once: no tool of the first episode, and there in the third.
    assert ["washed swatch" in one.tools for one in (first, second, third)] == [False, False, True]
    assert second.state == "Cast-on edge and Ribbed cuff done; on the needles 40\u00a0(44,\u00a048)\u00a0sts."
    # The gusset has put aside what it gained: 11 (13, 15) stitches of 51 (57, 63).
    assert third.state == (
        "Cast-on edge, Ribbed cuff, Thumb gusset and Cobble band done; on the needles 40\u00a0(44,\u00a048)\u00a0sts; "
        "on waste yarn 11\u00a0(13,\u00a015)\u00a0sts."
    )
    assert "scissors" in third.tools
    assert len(set(third.tools)) == len(third.tools)


def test_the_yarn_left_to_need_is_the_loops_to_come(sample: Plan) -> None:
    # Before episode 3 the contrast colour has the thumb alone to do: its loops, the end it begins with and its tail.
    # The other mitten is not begun: it takes half of what the pair takes before episode 1, a metre at most rounded up.
    first = [int(one) for one in re.findall(r"\d+", ready(sample)[0].yarn.split("; ")[1])]
    # Both cuffs first is what the host advises: the line counts one of them, and says so once there is one.
    rest = "for the rest and the second"
    assert [one.what_for for one in ready(sample)] == ["still needed for the pair", rest, rest]
    found = {name[:2]: amount for amount, name in (part.split(" of ") for part in ready(sample)[2].yarn.split("; "))}
    worked, loop = sample.worked.pattern, loop_length(sample.worked.pattern.stage("hand", 0).fabric)
    left = [int(one) for one in re.findall(r"\d+", found["CC"])]
    for size in range(3):
        thumb = worked.stage("thumb", size)
        loops = sum(amount for step in thumb.steps for _, amount in step.yarns)
        here = (loops * loop + 150 + 300) / 1000 * 1.1
        assert here + (first[size] - 1) / 2 <= left[size] < here + first[size] / 2 + 1
    assert len(left) == 3


def test_yarns_are_no_tools(sample: Plan) -> None:
    # The first part lays "both yarns" on the table; how much of each is said in metres.
    assert not {"MC", "CC", "both yarns"} & set(ready(sample)[0].tools)
    assert "m of MC;" in ready(sample)[0].yarn
    assert ready(sample)[0].yarns == "MC is oatmeal, CC is tarn blue."
