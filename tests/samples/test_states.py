"""States of pieces: from a teacher's words to the steps done of each stage, worked by hand, and back again."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings, strategies as st

from lessonplan.course.model import pattern as pm
from lessonplan.course.names.states import read_state
from lessonplan.course.yamltext import read_yaml
from lessonplan.pattern.variants.kinds import Place, worked_kinds
from lessonplan.pattern.worked import Step, WorkedPattern
from lessonplan.pattern.working.stages import work_pattern
from lessonplan.samples.choice import State
from lessonplan.samples.states import StateError, in_words, kind_in_words, resolve, typed
from tests.small_pieces import cast_on, mitten, pattern, rounds, stage, steps_of

FULL, SHORT = mitten(), mitten(short=True)
HEAD = """\
title: Cap
gauge: {stitches: 20, rounds: 30}
yarns: {MC: {name: Wool, metres: 200, grams: 100}}
small: 24 sts
stages:
"""
CAP = """\
  edge:
    title: Edge
    works: [{cast_on: 40, join: yes}]
  rib:
    title: Rib
    after: edge
    short: 6
    works:
      - rounds: 20
        lines: "*K2, p2; rep from * to end"
  crown:
    title: Crown
    after: rib
    short: leave out rounds 3 to 6
    works:
      - lines: "*K8, k2tog; rep from * to end"
      - rounds: 6
        lines: Knit
      - lines: "[K2tog] to end"
      - point: Ready to close
      - draw_through: all
"""


def kinds(stages: str = CAP, *places: Place) -> dict[str, WorkedPattern]:
    data, problems = read_yaml((HEAD + stages).encode(), "pattern.yaml")
    assert data is not None, problems
    pattern_read = pm.Pattern.model_validate(data)
    worked, _ = work_pattern(pattern_read)
    found, told = worked_kinds(pattern_read, worked, 0, places)
    assert told == ()
    return dict(found)


def state(text: str, worked: WorkedPattern = FULL) -> State:
    points = [name for key in worked.order for name, _ in worked.stage(key, 0).points]
    return resolve(read_state(text, worked.order, points), worked, 0)


def of(worked: WorkedPattern, text: str) -> dict[str, int]:
    """The stages begun, and their steps done."""
    return {key: steps for key, steps in zip(worked.order, state(text, worked), strict=True) if steps}


HAND = {"edge": 1, "cuff": 22, "gusset": 19, "band": 12, "hand": 15}


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("nothing", {}),
        ("before edge", {}),
        ("edge", {"edge": 1}),
        ("cuff round 1", {"edge": 1, "cuff": 1}),
        ("before cuff round 1", {"edge": 1}),
        ("before cuff round 9", {"edge": 1, "cuff": 8}),
        ("before thumb", {"edge": 1, "cuff": 22, "gusset": 19}),
        # Two works stand before the thumb's first round: the held stitches taken up, and more picked up.
        ("thumb, before pick_up", {"edge": 1, "cuff": 22, "gusset": 19, "thumb": 1}),
        ("thumb, after pick_up", {"edge": 1, "cuff": 22, "gusset": 19, "thumb": 2}),
        ("thumb round 1", {"edge": 1, "cuff": 22, "gusset": 19, "thumb": 3}),
        ("before thumb round 1", {"edge": 1, "cuff": 22, "gusset": 19, "thumb": 2}),
        ("top, before draw_through", HAND | {"top": 13}),
        ("ready to draw through", HAND | {"top": 13}),
        ("top, ready to draw through", HAND | {"top": 13}),
        ("hand, thumb round 3", HAND | {"thumb": 5}),
        ("band round 2 and before thumb", {"edge": 1, "cuff": 22, "gusset": 19, "band": 2}),
        ("finished", HAND | {"top": 14, "thumb": 22, "ends": 1, "blocking": 1}),
    ],
)
def test_every_form_on_a_full_piece(text: str, steps: dict[str, int]) -> None:
    assert of(FULL, text) == steps


def test_a_stage_without_rounds_counts_its_steps() -> None:
    glue = Step("other", "Glue", 0, 0)
    sides = pattern(stage("cut", glue), stage("sides", glue, glue, glue))
    assert of(sides, "sides round 2") == {"cut": 1, "sides": 2}
    assert typed((1, 2), sides, 0) == "sides round 2"


def test_rounds_of_a_short_piece_are_rounds_of_the_full_one() -> None:
    # 6 of the cuff's 22 are there; of the thumb's 19 the first and the last three, after two works without rounds.
    assert of(SHORT, "cuff") == {"edge": 1, "cuff": 6}
    assert of(SHORT, "cuff round 6") == {"edge": 1, "cuff": 6}
    assert of(SHORT, "thumb round 2")["thumb"] == 4
    assert of(SHORT, "thumb round 17")["thumb"] == 6
    assert of(SHORT, "thumb round 19")["thumb"] == 8


def test_finished_is_one_thing_and_not_all_that_the_pattern_makes() -> None:
    worked = pattern(stage("band", cast_on(20)), stage("rest", *rounds([20] * 3)), stage("flower", cast_on(5)),
                     after={"flower": ()})  # fmt: skip
    assert state("finished", worked) == (1, 3, 0)
    assert typed((1, 3, 0), worked, 0) == "finished"
    assert typed((1, 3, 1), worked, 0) == "rest, flower"
    assert typed((0, 0, 1), worked, 0) == "flower"


@pytest.mark.parametrize(
    ("text", "worked", "says"),
    [
        ("cuff round 23", FULL, "“cuff” has 22 rounds, not 23"),
        ("cuff round 7", SHORT, "a short “cuff” has 6 rounds, not 7"),
        (
            "thumb round 4",
            SHORT,
            "a short “thumb” leaves out round 4: by the numbers of the full one it has rounds 1 to 3 and 17 to 19",
        ),
        ("thumb round 20", SHORT, "a short “thumb” has 6 rounds, not 20"),
        ("cuff round 3, gusset", FULL, "“cuff round 3” contradicts “gusset”, which needs the whole of “cuff”"),
        ("before cuff, gusset round 2", FULL, "“before cuff” contradicts “gusset”, which needs the whole of “cuff”"),
        ("ends, top, before draw_through", FULL, "“top, before draw_through” contradicts “ends”"),
        ("ready to draw through, ends", FULL, "“ready to draw through” contradicts “ends”"),
        ("cuff round 3, cuff round 5", FULL, "“cuff round 3” contradicts “cuff round 5”"),
        ("cuff, cuff round 3", FULL, "“cuff” contradicts “cuff round 3”"),
        ("before thumb, thumb round 3", FULL, "“before thumb” contradicts “thumb round 3”"),
        ("cuff, ready to draw through", FULL, "“cuff” has no point “ready to draw through”"),
        ("thumb, before sew", FULL, "“thumb” has no work “sew” to be before; it has take_up, pick_up, rounds,"),
        ("thumb, after pick_up 2", FULL, "“thumb” has no work “pick_up” to be after"),
        ("gusset round 5, 9 sts on", FULL, "round 5 of “gusset” has no place 9 stitches on"),
    ],
)
def test_what_a_kind_does_not_have(text: str, worked: WorkedPattern, says: str) -> None:
    with pytest.raises(StateError) as bad:
        state(text, worked)
    assert str(bad.value).startswith(says)


def test_the_same_twice_is_no_contradiction() -> None:
    assert state("cuff round 3 and cuff 3") == state("cuff round 3")


def test_a_point_of_two_stages_needs_its_stage() -> None:
    two = pattern(
        stage("left", cast_on(9), *rounds([9] * 4), points=[("half way", 3)]),
        stage("right", cast_on(9), *rounds([9] * 4), points=[("half way", 2)]),
        after={"right": ()},
    )
    with pytest.raises(StateError, match="a point of left and of right; name the stage before it"):
        state("half way", two)
    assert state("right, half way", two) == (0, 2)
    assert state("left, half way, right, half way", two) == (3, 2)


def test_a_place_inside_a_round() -> None:
    # Round 3 of the rib is cut after 10 and after 30 stitches: its first part is the third step, the second the fourth.
    both = kinds(CAP, Place("rib", 3, 30), Place("rib", 3, 10))
    for kind in ("full", "short"):
        worked = both[kind]
        assert of(worked, "rib round 3, 10 sts on") == {"edge": 1, "rib": 3}
        assert of(worked, "rib round 3, 30 stitches on") == {"edge": 1, "rib": 4}
        assert of(worked, "rib round 3") == {"edge": 1, "rib": 5}
        assert of(worked, "rib round 2") == {"edge": 1, "rib": 2}
        assert typed((1, 3, 0), worked, 0) == "rib round 3, 10 sts on"
        assert in_words((1, 4, 0), worked, 0) == "Rib, 2 rounds and the first 30 sts of the next"
        with pytest.raises(StateError, match="“rib round 3, 10 sts on” contradicts “crown”"):
            state("crown round 1, rib round 3, 10 sts on", worked)
    with pytest.raises(StateError, match="no place 20 stitches on"):
        state("rib round 3, 20 sts on", both["full"])


def test_a_place_in_the_first_round_lies_after_what_comes_before_it() -> None:
    worked = kinds(CAP, Place("rib", 1, 8))["full"]
    assert of(worked, "rib round 1, 8 sts on") == {"edge": 1, "rib": 1}
    assert of(worked, "before rib round 1") == {"edge": 1}
    assert of(worked, "rib round 1") == {"edge": 1, "rib": 2}
    assert in_words((1, 1, 0), worked, 0) == "Rib, the first 8 sts of round 1"


def test_a_place_in_a_round_behind_those_left_out_keeps_its_number() -> None:
    # A short crown has rounds 1, 2, 7 and 8; round 7 is cut after 9 of its 36 stitches.
    short = kinds(CAP, Place("crown", 7, 9))["short"]
    assert state("crown round 7, 9 sts on", short) == (1, 6, 3)
    assert typed((1, 6, 3), short, 0) == "crown round 7, 9 sts on"
    assert typed((1, 6, 4), short, 0) == "crown round 7"
    assert state("ready to close", short) == (1, 6, 5)


def test_a_stage_that_a_kind_cannot_have() -> None:
    """24 stitches do not divide by 10, so the small piece has no crown; it can still be shown in its rib."""
    small = kinds()["small"]
    assert state("rib round 20", small) == (1, 20, 0)
    for text in ("crown round 1", "ready to close", "finished"):
        with pytest.raises(StateError, match=r"“crown” cannot be worked in this kind: .*, in the line at .*:[0-9]+$"):
            state(text, small)


def test_why_a_kind_has_not_a_round_is_told_where_none_of_the_stage_works_out() -> None:
    """A strip of an even count is no seed stitch: the line is named, and not how many steps there are."""
    broken = replace(stage("seed"), broken="the line does not come out, in the line at pattern.yaml:9")
    with pytest.raises(StateError, match=r"“seed” cannot be worked in this kind: the line does not come out, in .*:9$"):
        state("seed row 12", pattern(stage("edge", cast_on(10)), broken))


def test_a_stage_of_which_a_short_piece_has_nothing() -> None:
    short = kinds(CAP.replace("short: 6", "short: 0"))["short"]
    assert state("rib", short) == (1, 0, 0)
    assert state("crown round 1", short) == (1, 0, 1)
    assert in_words(state("finished", short), short, 0) == "finished"
    assert typed(state("finished", short), short, 0) == "finished"
    with pytest.raises(StateError, match="“rib” has 0 rounds, not 1"):
        state("rib round 1", short)


def test_works_of_a_stage_that_has_none_of_its_rounds_are_still_named() -> None:
    draw = Step("draw-through", "Draw through", 20, 0)
    sew = Step("sew", "Sew", 0, 0)
    works = [("rounds", 0), ("draw_through", 1), ("sew", 2)]
    worked = pattern(stage("edge", cast_on(20)), stage("top", draw, sew, works=works, numbers=(), start=20))
    assert typed((1, 1), worked, 0) == "top, after draw_through"
    assert state("top, after draw_through", worked) == (1, 1)
    assert state("top, before draw_through", worked) == (1, 0)


def test_a_work_named_twice_is_counted() -> None:
    works = [("cast_on", 1), ("sew", 2), ("rounds", 4), ("sew", 5), ("bind_off", 6)]
    sewn = Step("sew", "Sew", 9, 9)
    worked = pattern(stage("a", cast_on(9), sewn, *rounds([9, 9]), sewn, Step("bind-off", "b", 9, 0), works=works))
    assert [state(text, worked) for text in ("a, after sew", "a, after sew 2", "a, before sew 2")] == [(2,), (5,), (4,)]
    assert [typed((steps,), worked, 0) for steps in (2, 5)] == ["a, after sew", "a, after sew 2"]
    told = [in_words((steps,), worked, 0).lower() for steps in (4, 5)]
    assert told == ["a, all 2 rounds", "a: sew done"], "the last thing done is said"


def test_a_state_inside_a_work_has_no_words() -> None:
    taken = Step("pick-up", "Pick up", 0, 9)
    worked = pattern(stage("a", taken, taken, *rounds([9, 9]), works=[("pick_up", 2), ("rounds", 4)]))
    with pytest.raises(ValueError, match="no words reach 1 steps of “a”"):
        typed((1,), worked, 0)


def test_words_that_would_be_read_otherwise_are_not_given() -> None:
    """After “cord” the stage of that name would be read, and not the work."""
    sew, cord = Step("sew", "Sew", 0, 0), Step("cord", "Cord", 0, 0)
    worked = pattern(
        stage(
            "bag", cast_on(9), *rounds([9]), cord, sew, works=[("cast_on", 1), ("rounds", 2), ("cord", 3), ("sew", 4)]
        ),
        stage("cord", cord),
        after={"cord": ()},
    )
    with pytest.raises(ValueError):
        typed((3, 0), worked, 0)


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ({}, "not begun"),
        ({"edge": 1}, "Cast-on edge done"),
        ({"edge": 1, "cuff": 6}, "Ribbed cuff, 6 of 22 rounds"),
        ({"edge": -1, "cuff": -1, "gusset": -1, "thumb": 1}, "Thumb: the 13 held sts back"),
        ({"edge": -1, "cuff": -1, "gusset": -1, "thumb": 21}, "Thumb, all 19 rounds"),
        (dict.fromkeys(HAND, -1) | {"top": 13}, "Shaped top: ready to draw through"),
        (dict.fromkeys(HAND, -1) | {"thumb": 4}, "Plain hand done; Thumb, 2 of 19 rounds"),
        (dict.fromkeys(FULL.order, -1), "finished"),
    ],
)
def test_a_state_in_words(steps: dict[str, int], words: str) -> None:
    assert in_words(steps_of(FULL, **steps), FULL, 0) == words


def test_a_short_piece_in_words_counts_what_it_has() -> None:
    assert in_words(steps_of(SHORT, edge=-1, cuff=3), SHORT, 0) == "Ribbed cuff, 3 of 6 rounds"
    gusset = dict.fromkeys(("edge", "cuff", "gusset"), -1)
    # Of the thumb: 2 works, then rounds 1, 2, 3, 17.
    assert in_words(steps_of(SHORT, **gusset, thumb=6), SHORT, 0) == (
        "Thumb, 4 of 6 rounds (round 17 of the full piece)"
    )


def test_rows_are_called_rows() -> None:
    worked = pattern(stage("strip", cast_on(9), *rounds([9] * 3, kind="row")))
    assert in_words((2,), worked, 0) == "Strip, 1 of 3 rows"
    with pytest.raises(StateError, match=r"^“strip” has 3 rows, not 4$"):
        state("strip row 4", worked)


def test_what_a_kind_means_is_told_of_the_stages_that_the_state_needs() -> None:
    gusset = steps_of(SHORT, edge=-1, cuff=-1, gusset=-1, thumb=4)
    assert kind_in_words("short", gusset, SHORT, FULL, 0) == (
        "short: Ribbed cuff 6 rounds instead of 22, Thumb 6 rounds instead of 19"
    )
    assert kind_in_words("short", steps_of(SHORT, edge=-1), SHORT, FULL, 0) == "short"
    assert kind_in_words("full", gusset, FULL, FULL, 0) == ""
    found = kinds(CAP.replace("short: 6", "short: 0"))
    assert kind_in_words("short", (1, 0, 1), found["short"], found["full"], 0) == (
        "short: without the rounds of Rib, Crown 4 rounds instead of 8"
    )
    assert kind_in_words("short", (1, 0, 0), found["short"], found["full"], 0) == "short"
    assert kind_in_words("small", (1, 2, 0), found["small"], found["full"], 0) == (
        "fewer stitches: 24 on the needles instead of 40"
    )


def test_a_size_is_named_where_there_are_several() -> None:
    two = replace(FULL, sizes=("S", "M"), stages={key: (one[0], one[0]) for key, one in FULL.stages.items()})
    with pytest.raises(StateError, match="“cuff” has 22 rounds in size M, not 30"):
        resolve(read_state("cuff round 30"), two, 1)


@settings(deadline=None)
@given(st.data())
def test_what_is_typed_is_read_back(data: st.DataObject) -> None:
    """Any state that hangs together: a stage is begun only when all that it comes after are done."""
    worked = data.draw(st.sampled_from((FULL, SHORT)))
    done: dict[str, int] = {}
    for key in worked.order:
        whole = len(worked.stage(key, 0).steps)
        free = all(done[name] == len(worked.stage(name, 0).steps) for name in worked.before[key])
        done[key] = data.draw(st.integers(0, whole) | st.just(whole)) if free else 0
    steps = tuple(done.values())
    assert state(typed(steps, worked, 0), worked) == steps
    assert in_words(steps, worked, 0)


def test_every_state_of_a_piece_with_cut_rounds_is_read_back() -> None:
    for worked in kinds(CAP, Place("rib", 3, 10), Place("crown", 7, 9), Place("crown", 7, 18)).values():
        state_now = [0, 0, 0]
        for number, key in enumerate(worked.order):
            if worked.stage(key, 0).broken:
                continue
            for steps in range(1, len(worked.stage(key, 0).steps) + 1):
                state_now[number] = steps
                assert state(typed(tuple(state_now), worked, 0), worked) == tuple(state_now)
