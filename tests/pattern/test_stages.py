"""Whole patterns worked: stages in their order, held stitches, lengths through the gauge, and what does not fit."""

from __future__ import annotations

import pytest

from lessonplan.course.model import pattern as pm
from lessonplan.course.yamltext import read_yaml
from lessonplan.pattern.working.stages import work_pattern
from tests.inline_stages import HEAD, read, sound, work, wrong
from tests.published import rows

BODY = """\
  body:
    title: Body
    works:
      - cast_on: 40 (48)
        join: yes
      - rounds: 5 cm
        lines: "*K2, p2; rep from * to end"
"""


def test_length_goes_through_the_gauge() -> None:
    stage = sound(BODY).stage("body", 0)
    assert len(stage.rounds) == 15  # 5 cm at 30 rounds to 10 cm
    assert stage.length == pytest.approx(50)
    assert stage.stitches == 40
    assert stage.fabric.width(40) == pytest.approx(200)


def test_techniques_are_counted_round_by_round() -> None:
    step = sound(BODY).stage("body", 1).rounds[0]
    assert dict(step.techniques) == {"k": 24, "p": 24}
    assert dict(step.yarns) == {"MC": 48.0}


def test_until_so_many_stitches_remain() -> None:
    worked = sound(
        BODY
        + """\
  top:
    title: Top
    after: body
    works:
      - rounds: until 8 stitches remain
        lines:
          - "[K6, k2tog] to end"
          - "[K5, k2tog] to end"
          - "[K4, k2tog] to end"
          - "[K3, k2tog] to end"
          - "[K2, k2tog] to end"
          - "[K1, k2tog] to end"
          - "[K2tog] to end"
      - draw_through: all
""".replace("rounds: until 8 stitches remain", "rounds: until 5 (6) stitches remain")
    )
    assert [step.after for step in worked.stage("top", 0).rounds] == [35, 30, 25, 20, 15, 10, 5]
    assert worked.stage("top", 1).rounds[-1].after == 6
    assert worked.stage("top", 1).stitches == 0


def test_held_stitches_wait_for_a_stage_that_comes_after() -> None:
    worked = sound(
        BODY
        + """\
  thumb_hole:
    title: Thumb hole
    after: body
    works:
      - lines: ["K to last 8 sts, hold 8 sts"]
        holds: thumb
      - rounds: 2
        lines: Knit
  thumb:
    title: Thumb
    after: thumb_hole
    works:
      - take_up: thumb
      - pick_up: 2
        along: the gap
      - rounds: 3
        lines: Knit
      - bind_off: all
  finish:
    title: Finish
    after: [thumb, thumb_hole]
    works:
      - bind_off: all
"""
    )
    assert [worked.stage(key, 0).stitches for key in ("thumb_hole", "thumb", "finish")] == [32, 0, 0]
    assert worked.stage("thumb", 0).rounds[0].before == 10
    assert worked.ancestors("finish") == {"thumb", "thumb_hole", "body"}


def test_held_stitches_are_not_there_before_they_are_held() -> None:
    stages = BODY + "  thumb:\n    title: T\n    works:\n      - take_up: t\n  hole:\n    title: H\n    after: body\n"
    stages += "    works:\n      - {hold: 4, name: t}\n"
    assert any("comes before" in sentence for sentence in wrong(stages))


YOKE = """\
  yoke:
    title: Yoke
    works:
      - cast_on: 40
      - lines: ["K5, hold 8 sts, K14, hold 8 sts, K5"]
        holds: sleeves
"""


def sleeve(key: str, stitches: str = "") -> str:
    some = f"\n        stitches: {stitches}" if stitches else ""
    works = f"      - take_up: sleeves{some}\n      - rounds: 3\n        lines: Knit\n      - bind_off: all\n"
    return f"  {key}:\n    title: {key}\n    after: yoke\n    works:\n{works}"


def test_some_of_the_held_stitches_are_taken_up_and_the_others_wait() -> None:
    worked = sound(YOKE + sleeve("left", "8") + sleeve("right"))
    first, second = (worked.stage(key, 0) for key in ("left", "right"))
    assert [first.rounds[0].before, second.rounds[0].before] == [8, 8]
    assert [one.steps[0].text for one in (first, second)] == [
        "Put 8 of the 16 held sts back on the needles",
        "Put the 8 held sts back on the needles",
    ]


@pytest.mark.parametrize(
    ("sleeves", "sentence"),
    [
        (sleeve("left", "20"), "20 sts are taken up here, and 16 are held as “sleeves”."),
        (sleeve("left", "8") + sleeve("right", "9"), "9 sts are taken up here, and 8 are held as “sleeves”."),
        (sleeve("left") + sleeve("right"), "No stitches are held as “sleeves” by a stage that comes before “right”."),
    ],
)
def test_no_stitch_is_taken_up_that_is_not_held_any_more(sleeves: str, sentence: str) -> None:
    assert sentence in wrong(YOKE + sleeves)


def remarks(stages: str) -> list[tuple[str, str, str]]:
    """How grave each problem is, the course's line that it stands at, and what it says."""
    lines = (HEAD + stages).split("\n")
    return [(one.severity, lines[one.where.line - 1].strip(), one.message) for one in work(stages)[1]]


def test_stitches_that_nobody_takes_up_are_told_of_where_they_are_held() -> None:
    sentence = "Stitches are put on hold as “sleeves” here, and no stage takes all of them up again."
    assert remarks(YOKE) == remarks(YOKE + sleeve("left", "8")) == [("warning", "holds: sleeves", sentence)]
    assert remarks(YOKE + sleeve("left", "8") + sleeve("right")) == []


def test_work_that_no_line_tells_may_say_how_many_stitches_it_leaves() -> None:
    worked = sound(
        BODY
        + """\
  lace:
    title: Lace
    after: body
    works:
      - minutes: 20
        what: the edging, as the video shows
        leaves: 44
      - rounds: 2
        lines: Knit
"""
    )
    assert [(step.before, step.after) for step in worked.stage("lace", 0).steps] == [(40, 44), (44, 44), (44, 44)]


def test_two_stages_cannot_go_on_with_the_same_stitches() -> None:
    twice = "".join(
        f"  {key}:\n    title: {key}\n    after: body\n    works:\n      - rounds: 1\n        lines: Knit\n"
        for key in ("left", "right")
    )
    assert any("both go on" in sentence for sentence in wrong(BODY + twice))


def test_a_line_that_does_not_fit_names_size_line_and_column() -> None:
    _, problems = work(BODY.replace("40 (48)", "40 (46)"))
    (problem,) = problems
    assert problem.message.startswith("Size M:")
    assert (problem.where.file, problem.where.line) == ("pattern.yaml", 14)
    assert problem.where.column >= 17


@pytest.mark.parametrize("line", ["K1, q7", "*K3, kfb; rep from * 4 times, k to end"])
def test_a_line_not_read_or_ambiguous_is_an_error_since_nothing_can_be_planned_on_it(line: str) -> None:
    _, problems = work(BODY.replace("5 cm", "1").replace("*K2, p2; rep from * to end", line))
    assert problems
    assert {problem.severity for problem in problems} == {"error"}


@pytest.mark.parametrize(
    ("works", "words"),
    [
        ("- {cast_on: 4}\n      - {bind_off: 6}", "6 stitches are asked for, but 4"),
        ("- {cast_on: 5}\n      - {graft: all}", "equally many"),
        ("- {bind_off: all}", "0 are on the needle"),
    ],
)
def test_works_that_do_not_fit(works: str, words: str) -> None:
    assert any(words in sentence for sentence in wrong(f"  a:\n    title: A\n    works:\n      {works}\n"))


def test_stripes_change_the_yarn_and_land_at_their_end() -> None:
    worked, problems = work(BODY + "        stripes: 4 MC, 2 CC\n        ends_with: stripe\n")
    rounds = worked.stage("body", 0).rounds
    assert len(rounds) == 16  # 15 asked for; 16 is the end of the third MC stripe
    assert [step.yarns[0][0] for step in rounds[:7]] == ["MC"] * 4 + ["CC"] * 2 + ["MC"]
    assert [problem.severity for problem in problems] == ["note"]
    assert "5.3 cm instead of 5 cm" in problems[0].message


def test_how_often_beside_how_many_is_told() -> None:
    head, _, lines = FLAT.replace("{joined}", "rows: 4\n        ").partition("  wide:")
    (problem,) = work(f"{head}  wide:{lines}")[1]
    assert (problem.severity, problem.message[:24]) == ("warning", "“times” is not used here")
    assert "“rows” says how many" in problem.message


def test_stitches_left_behind_the_last_bind_off_are_told() -> None:
    """One of 8 in every size, then in one size only; a strap that goes on with what a bind-off leaves is none."""
    tab = FLAT.partition("  wide:")[0]
    said = "1 stitch stays on the needle behind this, and no stage goes on from there."
    assert wrong(f"{tab}      - bind_off: 7\n") == [said]
    assert wrong(f"{tab}      - bind_off: 8 (7)\n") == [f"Size M: {said}"]
    assert wrong(f"{tab}      - draw_through: all\n") == []
    strap = "  strap:\n    title: Strap\n    after: tab\n    works: [{rows: 9, lines: Knit}, {bind_off: all}]\n"
    assert wrong(f"{tab}      - bind_off: 5\n{strap}") == []


FLAT = """\
  tab:
    title: Tab
    works:
      - cast_on: 8
      - rows: 3
        lines: Knit
  wide:
    title: Widening
    after: tab
    works:
      - times: 2
        {joined}lines: ["K1, m1l, k to last st, m1r, k1", "Knit"]
"""


@pytest.mark.parametrize(("joined", "kind"), [("", "row"), ("before: Join to work in the round.\n        ", "round")])
def test_lines_that_do_not_say_go_on_as_rows_until_something_is_joined(joined: str, kind: str) -> None:
    stage = sound(FLAT.replace("{joined}", joined)).stage("wide", 0)
    assert [(step.kind, step.after) for step in stage.rounds] == [(kind, 10), (kind, 10), (kind, 12), (kind, 12)]
    assert [len(step.markers) for step in stage.rounds] == [0] * 4


def test_every_kind_of_work_can_be_done() -> None:
    worked = sound(
        """\
  a:
    title: A
    works:
      - cast_on: 12
      - rows: 2
        lines: ["K", "P"]
      - {hold: 4, name: strap}
      - graft: all
      - cord: 10 cm
      - sew: 12 cm
      - weave_ends: 4
      - block: 15 min
        drying: 24 h
      - minutes: 20
        what: Line the bag
      - units: 3
        unit: squares
        each: 40 min
  strap:
    title: Strap
    after: a
    works:
      - take_up: strap
"""
    )
    kinds = [step.kind for step in worked.stage("a", 0).steps]
    assert kinds == [
        "cast-on",
        "row",
        "row",
        "hold",
        "graft",
        "cord",
        "sew",
        "weave-ends",
        "block",
        "other",
        *["unit"] * 3,
    ]
    assert sum(step.drying for step in worked.stage("a", 0).steps) == 1440
    assert worked.stage("a", 0).steps[-1].fixed == 40


def test_shapings_are_spread_evenly_in_each_size() -> None:
    worked = sound(BODY + "      - increase: 8 (6)\n      - decrease: 4\n        by: ssk\n")
    small, medium = (worked.stage("body", size).steps for size in (0, 1))
    assert [step.after for step in small[-2:]] == [48, 44]
    assert medium[-2].text == "[K8, m1] 6 times"
    assert [step.after for step in medium[-2:]] == [54, 50]


def test_shapings_that_do_not_fit() -> None:
    assert any("needs 60 stitches" in sentence for sentence in wrong(BODY + "      - decrease: 30\n"))
    assert any("cannot be spread" in sentence for sentence in wrong(BODY + "      - decrease: 3\n        by: sl\n"))


def test_a_cast_on_by_width_takes_the_nearest_multiple() -> None:
    worked, problems = work(BODY.replace("cast_on: 40 (48)", "cast_on: 19.4 (23) cm\n        multiple: 4"))
    assert [worked.stage("body", size).steps[0].after for size in (0, 1)] == [40, 48]
    assert {problem.code for problem in problems} == {"landing"}
    assert "40 stitches are a multiple of 4 and make 20 cm instead of 19.4 cm" in problems[0].message


def test_a_multiple_plus_an_edge_is_checked() -> None:
    text = BODY.replace("cast_on: 40 (48)", "cast_on: 42\n        multiple: 4 plus 2").replace("*K2, p2;", "*K1, p1;")
    assert sound(text).stage("body", 0).stitches == 42
    assert any("not a multiple of 5" in sentence for sentence in wrong(text.replace("4 plus 2", "5")))


def test_a_stranded_chart_divides_each_round_between_its_yarns() -> None:
    charts = "charts:\n  waves:\n    colours: {M: MC, C: CC}\n    rows: [MMCC, MCCM]\n"
    stage = BODY.replace('rounds: 5 cm\n        lines: "*K2, p2; rep from * to end"', "chart: waves")
    data, _ = read_yaml((HEAD.replace("stages:\n", charts + "stages:\n") + stage).encode(), "pattern.yaml")
    assert data is not None
    worked, problems = work_pattern(pm.Pattern.model_validate(data))
    assert problems == ()
    assert [dict(step.yarns) for step in worked.stage("body", 0).rounds] == [{"CC": 20.0, "MC": 20.0}] * 2


def test_tails_follow_the_published_rules() -> None:
    # An end to weave in is 15 cm (common practice).
    # tests/facts/tails.csv: long-tail cast-on 3 x width and 10 % (credited to Lily Chin, thesprucecraft copy), standard
    # bind-off 5 x width (nimble-needles.com), graft 4.2 x width and 8 in (computed from the wale constants).
    by_use = {(row["use"], row["multiple_of_width"]): row for row in rows("tails")}
    cast_on = by_use["long-tail cast-on", "3.3"]
    bind_off = by_use["standard bind-off", "5"]
    graft = by_use["Kitchener graft", "4.2"]
    steps = (
        sound("  a:\n    title: A\n    works:\n      - cast_on: 40\n      - bind_off: 20\n      - graft: all\n")
        .stage("a", 0)
        .steps
    )
    width = 200.0  # 40 stitches at 20 to 10 cm
    assert dict(steps[0].tails)["MC"] == pytest.approx(float(cast_on["multiple_of_width"]) * width)
    assert dict(steps[1].tails)["MC"] == pytest.approx(float(bind_off["multiple_of_width"]) * width / 2 + 150)
    assert dict(steps[2].tails)["MC"] == pytest.approx(
        float(graft["multiple_of_width"]) * width / 4 + float(graft["add_in"]) * 25.4
    )


def beside_the_stitches(stages: str) -> list[float]:
    """The fixed minutes of each step of the first stage, in the first size."""
    worked = sound(stages)
    return [round(step.fixed, 6) for step in worked.stage(worked.order[0], 0).steps]


def test_what_a_cast_on_and_its_rounds_take_beside_the_stitches() -> None:
    # work_minutes.csv, all guesses: 1.5 min to begin, 1 to join; 0.05 a round, 0.05 more to turn the work.
    tube = BODY.replace("5 cm", "2")
    assert beside_the_stitches(tube) == [2.5, 0.05, 0.05]
    flat = tube.replace("        join: yes\n", "").replace("rounds: 2", "rows: 2")
    assert beside_the_stitches(flat) == [1.5, 0.1, 0.1]


def test_a_change_of_colour_takes_time_but_beginning_does_not() -> None:
    # 0.4 min for each change (work_minutes.csv): at the third and the fifth round.
    tube = BODY.replace("5 cm", "6\n        stripes: 2 MC, 2 CC\n        yarn: [MC, CC]")
    assert beside_the_stitches(tube)[1:] == [0.05, 0.05, 0.45, 0.05, 0.45, 0.05]


def test_holding_and_drawing_through_go_by_the_stitch() -> None:
    # work_minutes.csv: 0.12 a stitch to or from waste yarn, 0.5 for a cut, 0.08 a stitch drawn through (and two cuts).
    # A graft's pairs are paid as stitches are, so only its cut stands beside them.
    works = """\
  body:
    title: Body
    works:
      - cast_on: 40
      - hold: 10
        name: some
      - take_up: some
      - graft: 20
      - draw_through: 15
      - draw_through: all
"""
    assert beside_the_stitches(works)[1:] == [1.7, 1.2, 0.5, 2.2, 1.4]


def test_stitches_held_in_a_round_take_time() -> None:
    tube = BODY.replace("5 cm", "1").replace('"*K2, p2; rep from * to end"', '"K to last 8 sts, hold 8 sts"')
    thumb = "  thumb:\n    title: Thumb\n    after: body\n    works:\n      - take_up: held\n"
    assert beside_the_stitches(tube + thumb)[1:] == [1.01]


LENGTHS = """\
  cuff:
    title: Cuff
    works:
      - cast_on: 40
        join: yes
      - rounds: 4 cm
        lines: Knit
  body:
    title: Body
    after: cuff
    works:
      - rounds: 10 (12) cm
        lines: Work in St st until the body measures {length} from {place}.
"""


def test_a_line_is_worked_to_the_length_of_its_work_wherever_that_is_measured_from() -> None:
    """30 rounds to 10 cm: 12 rounds of cuff, then 30 (36) of body; from the cast-on it is 14 (16) cm long then."""

    def told(length: str, place: str = "the underarm") -> list[str]:
        return wrong(LENGTHS.format(length=length, place=place))

    for right in ("10 (12) cm", "10 (12) cm / 4 (4¾) in", "3.94 (4.72) in", "{{ length }}", "14 (16) cm"):
        assert told(right) == [], right
    assert told("25 cm", "the shoulder seam") == []  # that is measured from elsewhere
    both = "The line is worked to 8 (12) cm, and “rounds” says 10 (12) cm: viewers read both"
    assert told("8 (12) cm") == [f"Size S: {both}."]  # the other size is right
    assert told("12 (14) cm") == ["The line is worked to 12 (14) cm, and “rounds” says 10 (12) cm: viewers read both."]
    lines = read(LENGTHS.format(length="{{ length }}", place="here")).stages["body"].works[0].lines  # type: ignore[union-attr]
    assert lines == ("Work in St st until the body measures 10 (12) cm from here.",)


def test_a_line_named_in_a_message_is_that_of_the_file() -> None:
    """The second line of this work stands below the head and five lines of its own; a remark is one too."""
    lines = "          - Knit\n          # by hand\n          - K5, frobnicate, knit to end\n"
    lines += "          - K2tog to last 3 sts, k3\n"
    text = BODY.replace("5 cm", "3").replace(
        '        lines: "*K2, p2; rep from * to end"\n', f"        lines:\n{lines}"
    )
    unread = (HEAD + text).splitlines().index("          - K5, frobnicate, knit to end") + 1
    _, problems = work(text)
    assert [(one.where.line, one.message) for one in problems] == [
        (unread, "“frobnicate” cannot be read here"),
        (unread + 1, f"follows from a line before it that could not be read or worked (line {unread})"),
    ]
