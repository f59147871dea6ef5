"""Stripes that go on, end inside a stripe or have lines of their own, colours at rest, and the time of rounds."""

from __future__ import annotations

from itertools import cycle, islice
from pathlib import Path

import pytest

import lessonplan
from lessonplan.craft import tables
from lessonplan.pattern.colour import ends_left
from tests.inline_stages import sound, work, wrong
from tests.small_course import PATTERN, write_course

BODY = """\
  body:
    title: Body
    works:
      - {cast_on: 40, join: yes}
      - {rounds: 7, lines: Knit, stripes: "4 MC, 2 CC"}
  top:
    title: Top
    after: body
    works:
      - {rounds: 8, lines: Knit, stripes: go on}
"""


def yarns(stages: str, key: str) -> str:
    """The yarn of each round of a stage, by first letter."""
    return "".join(step.yarns[0][0][0] for step in sound(stages).stage(key, 0).rounds)


def test_stripes_go_on_from_stage_to_stage() -> None:
    every = "".join(islice(cycle("MMMMCC"), 15))
    assert yarns(BODY, "body") + yarns(BODY, "top") == every


def test_a_line_that_only_names_a_yarn_is_no_round() -> None:
    """It stands among the steps, to be read, with no minutes of its own."""
    lines = "works: [{cast_on: 40}, {rows: 4, lines: [Continue in MC., Work in stockinette for 4 rows.]}]"
    stage = sound(f"  body: {{title: Body, {lines}}}\n").stage("body", 0)
    assert [(step.kind, step.fixed > 0) for step in stage.steps[1:]] == [("remark", False), *[("row", True)] * 4]


def test_stripes_go_on_after_a_round_in_between() -> None:
    text = BODY.replace("      - {rounds: 8", "      - {rounds: 1, lines: Purl, yarn: MC}\n      - {rounds: 8")
    assert yarns(text, "top") == "M" + "MMMCCMMM"


def test_stripes_need_stripes_to_go_on_with() -> None:
    text = BODY.replace(', stripes: "4 MC, 2 CC"', "")
    assert wrong(text) == ["There are no stripes to go on with before “top”."]


@pytest.mark.parametrize(
    ("length", "ends", "rounds"),
    [
        # 3.3 mm a round; the repeat is 4 MC, 2 CC. 5 cm are 15 rounds: MMMMCC MMMMCC MMM.
        ("5 cm", "2 MC", 14),
        ("5 cm", "1 CC", 17),
        ("5 cm", "4 MC", 16),
        ("5 cm", "stripe", 16),
        ("6 cm", "2 CC", 18),
    ],
)
def test_rounds_end_at_a_place_in_a_stripe(length: str, ends: str, rounds: int) -> None:
    text = BODY.replace("rounds: 7, ", f"rounds: {length}, ends_with: {ends}, ")
    assert len(work(text)[0].stage("body", 0).rounds) == rounds


def test_a_landing_counts_from_where_the_stripes_go_on() -> None:
    # Seven rounds are done: the next are MMM CC MMMM CC. 2 cm are 6 rounds; CC ends after 5 and after 11.
    text = BODY.replace("rounds: 8, ", "rounds: 2 cm, ends_with: 2 CC, ")
    worked, problems = work(text)
    assert len(worked.stage("top", 0).rounds) == 5
    assert [problem.message for problem in problems] == ["5 rounds end the 2 CC: 1.7 cm instead of 2 cm."]
    assert worked.stage("top", 0).asked == 0


def test_a_place_that_no_stripe_has() -> None:
    text = BODY.replace("rounds: 7, ", "rounds: 5 cm, ends_with: 3 CC, ")
    assert wrong(text)[0] == "No stripe here has a round to end with as “3 CC”: they are 4 MC, 2 CC."


def test_a_round_of_every_stripe_has_a_line_of_its_own() -> None:
    text = BODY.replace('stripes: "4 MC, 2 CC"', 'stripes: "4 MC, 2 CC", in_stripe: {2: "Sl 1, k to end", 1 CC: Purl}')
    rounds = sound(text).stage("body", 0).rounds
    slips = [dict(step.techniques).get("sl", 0) for step in rounds]
    purls = [dict(step.techniques).get("p", 0) for step in rounds]
    assert slips == [0, 1, 0, 0, 0, 1, 0]
    assert purls == [0, 0, 0, 0, 40, 0, 0]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("in_stripe: {2: Purl}", "in_stripe: {5: Purl}", "“5” is no round of these stripes: write “2”, or “2 CC” for"),
        ("in_stripe: {2: Purl}", "in_stripe: {3 CC: Purl}", "“3 CC” is no round of these stripes"),
        ("in_stripe: {2: Purl}", "in_stripe: {two: Purl}", "“two” is no round of these stripes"),
        ("rounds: 7", "times: 7", "Lines for rounds of a stripe need “stripes”, and “rounds” as a number or a length."),
        ("lines: Knit", 'lines: ["Rounds 1-2: Knit"]', "With lines for rounds of a stripe every line is one round."),
    ],
)
def test_lines_for_rounds_that_are_not_there(old: str, new: str, sentence: str) -> None:
    text = BODY.replace('stripes: "4 MC, 2 CC"', 'stripes: "4 MC, 2 CC", in_stripe: {2: Purl}', 1)
    assert any(found.startswith(sentence) for found in wrong(text.replace(old, new, 1)))


def test_a_problem_in_such_a_line_stands_where_it_is_typed() -> None:
    text = BODY.replace(
        '      - {rounds: 7, lines: Knit, stripes: "4 MC, 2 CC"}\n',
        '      - rounds: 7\n        lines: Knit\n        stripes: 4 MC, 2 CC\n        in_stripe:\n          2: "K41"\n',
    )
    problem = work(text)[1][0]
    assert problem.where.line == 16


def test_a_colour_at_rest_leaves_no_end() -> None:
    # Two ends of each yarn where it is joined: MC at the cast-on, CC for its stripes; nothing is joined later.
    assert ends_left(sound(BODY), 0) == 4
    # Plain rounds in between, CC cut: two more. Carried along: none.
    between = BODY.replace("      - {rounds: 8", "      - {rounds: 3, lines: Knit, yarn: MC}\n      - {rounds: 8")
    assert ends_left(sound(between), 0) == 6
    carried = between.replace("lines: Knit, yarn: MC}", "lines: Knit, yarn: MC, carry: CC}")
    assert ends_left(sound(carried), 0) == 4


def test_waste_yarn_leaves_no_end_to_weave_in() -> None:
    text = BODY.replace("      - {rounds: 8", "      - {placeholder: 10, name: gap}\n      - {rounds: 8")
    assert ends_left(sound(text), 0) == 4


def test_a_change_of_yarn_costs_at_the_start_of_a_stage_too() -> None:
    text = BODY.replace("stripes: go on", "yarn: CC")
    first, second, *_ = sound(text).stage("top", 0).rounds
    assert first.fixed - second.fixed == pytest.approx(tables.minutes("colour_change"))
    same = sound(BODY.replace("stripes: go on", "yarn: MC")).stage("top", 0).rounds
    assert same[0].fixed == same[1].fixed


def test_needles_for_small_rounds_cost_more() -> None:
    def minutes(on: str, count: int = 40) -> float:
        text = BODY.replace("title: Body", f"title: Body\n    worked_on: {on}").replace(
            "cast_on: 40", f"cast_on: {count}"
        )
        return sound(text).stage("body", 0).rounds[0].fixed

    plain = sound(BODY).stage("body", 0).rounds[0].fixed
    assert minutes("double-pointed") - plain == pytest.approx(0.15)  # 12 s a round, against 3 s
    assert minutes("magic loop") > minutes("two circulars") > plain
    # 40 stitches are 20 cm round, too few for a circular needle; 80 are 40 cm.
    assert minutes("circular") == minutes("double-pointed")
    assert minutes("circular", 80) == plain


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('lines: "Knit"', "lines: Knit\n        worked_on: loom", 19, "“worked_on” is not a key"),
        ("title: Body", "title: Body\n    worked_on: loom", 15, "none of the choices"),
        ('lines: "Knit"', "lines: Knit\n        ends_with: the end", 19, "does not have the form"),
        ('lines: "Knit"', f"lines: Knit\n        ends_with: {'2' * 5000} CC", 19, "does not have the form"),
        ('lines: "Knit"', "lines: Knit\n        carry: CC", 19, "There is no yarn “CC”"),
        ('lines: "Knit"', "lines: Knit\n        in_stripe: 2", 19, "group of"),
        ("metres: 200", "waste: perhaps, metres: 200", 4, "yes or no"),
        ("metres: 200, ", "", 4, "“metres” is missing here."),
    ],
)
def test_bad_keys_are_one_sentence_with_their_line(tmp_path: Path, old: str, new: str, line: int, words: str) -> None:
    result = lessonplan.load(write_course(tmp_path, {"pattern.yaml": PATTERN.replace(old, new, 1)}))
    found = [problem for problem in result.problems if problem.severity == "error"]
    assert len(found) == 1, [str(problem) for problem in found]
    assert (found[0].where.file, found[0].where.line) == ("pattern.yaml", line)
    assert words in found[0].message


def test_stripes_in_a_yarn_that_is_not_there_are_a_problem() -> None:
    assert len(wrong(BODY.replace("4 MC, 2 CC", "4 MC, 2 XX"))) >= 1
    assert "XX" in wrong(BODY.replace("4 MC, 2 CC", "4 MC, 2 XX"))[0]


def test_stitches_that_name_their_yarn_are_worked_with_it() -> None:
    text = """\
  body:
    title: Body
    works:
      - {cast_on: 40, join: yes}
      - yarn: MC
        lines:
          - "*K1 CC, k7 MC; rep from * to end"
          - "K1 CC, k to end"
          - "Knit 3 rounds with MC"
          - Knit
"""
    # Five repeats of eight: 5 in CC. What names no yarn is in that of the work, also after a round that named one.
    # "with MC" behind the rounds is no round of its own.
    rounds = [{yarn: round(loops) for yarn, loops in step.yarns} for step in sound(text).stage("body", 0).rounds]
    assert rounds == [{"CC": 5, "MC": 35}, {"CC": 1, "MC": 39}, *[{"MC": 40}] * 4]
