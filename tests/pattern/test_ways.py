"""Options, optional works and free lengths: what is filmed, and every other way to work the pattern."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import lessonplan
from lessonplan.pattern.variants.ways import Way, as_filmed, ends_remarks, ways_of, with_choice
from lessonplan.planning.worked import Worked
from tests.inline_stages import HEAD, read
from tests.small_course import COURSE, EPISODE, write_course

OPTIONS = """\
options:
  trim: cord or ribbon
  colour:
    choices: plain, stripes
    filmed: stripes
    kit:
      stripes: a second colour
"""
STAGES = """\
  edge:
    title: Edge
    works:
      - {cast_on: 40 (48), join: yes}
  body:
    title: Body
    after: edge
    works:
      - {rounds: 10, lines: Knit, when: plain}
      - {rounds: 10, lines: Knit, stripes: "1 MC, 1 CC", when: stripes}
      - {rounds: 6 cm, lines: Knit, as_you_like: 5 to 10 cm}
  cord:
    title: Cord
    after: body
    when: cord
    works:
      - {cord: 30 cm}
  ribbon:
    title: Ribbon
    after: body
    when: ribbon
    works:
      - {minutes: 5, what: Thread the ribbon}
  tassel:
    title: Tassel
    after: cord, ribbon
    optional: yes
    works:
      - {minutes: 20, what: Make a tassel}
  finish:
    title: Finish
    after: body, tassel
    works:
      - {bind_off: all}
"""
HEADED = HEAD.replace("stages:\n", OPTIONS + "stages:\n")


def test_the_filmed_choices_alone_are_worked_and_stages_close_up() -> None:
    filmed = as_filmed(read(STAGES, HEADED))
    assert list(filmed.stages) == ["edge", "body", "cord", "tassel", "finish"]
    assert filmed.stages["tassel"].after == ("cord", "body")
    ways, problems = ways_of(read(STAGES, HEADED))
    assert problems == ()
    body = ways[0].worked.stage("body", 0)
    assert len(body.rounds) == 10 + 18  # 6 cm at 30 rounds to 10 cm
    assert [step.yarns[0][0] for step in body.rounds[:4]] == ["MC", "CC", "MC", "CC"]
    assert {step.work for step in body.rounds} == {1, 2}


def test_every_way_is_worked_and_those_that_differ_in_one_thing_have_names() -> None:
    ways, _ = ways_of(read(STAGES, HEADED))
    assert len(ways) == 2 * 2 * 2 * 3
    assert [way.name for way in ways if way.name] == [
        "as short as you like",
        "as long as you like",
        "without Tassel",
        "with plain",
        "with ribbon",
    ]
    by_name = {way.name: way.worked for way in ways if way.name}
    assert len(by_name["as short as you like"].stage("body", 0).rounds) == 10 + 15
    assert len(by_name["as long as you like"].stage("body", 0).rounds) == 10 + 30
    assert "tassel" not in by_name["without Tassel"].order
    assert by_name["without Tassel"].before["finish"] == ("body", "cord")
    assert "ribbon" in by_name["with ribbon"].order


@pytest.mark.parametrize(
    ("choice", "said"),
    [("ribbon", "with ribbon"), ("with a loop", "with a loop"), ("Without a loop", "Without a loop"), ("in", "in")],
)
def test_a_choice_is_said_with_one_with_only(choice: str, said: str) -> None:
    assert with_choice(choice) == said


def test_a_choice_that_does_not_work_out_is_told_with_its_name() -> None:
    text = STAGES.replace("{rounds: 10, lines: Knit, when: plain}", "{rounds: 10, lines: K41, when: plain}")
    _, problems = ways_of(read(text, HEADED))
    assert [problem.message for problem in problems] == [
        "With plain: Size S: asks for 41 stitches here, only 40 are left.",
        "With plain: Size M: leaves 7 of 48 stitches unworked.",
    ]


def test_an_optional_work_is_filmed_and_can_be_left_out() -> None:
    text = "  a:\n    title: A\n    works:\n      - {cast_on: 8}\n      - {lifeline: all, optional: yes}\n"
    ways, problems = ways_of(read(text))
    assert problems == ()
    assert [[step.kind for step in way.worked.stage("a", 0).steps] for way in ways] == [
        ["cast-on", "lifeline"],
        ["cast-on"],
    ]
    assert ways[1].name == "without the optional work 2 of A"


def worked(folder: Path, pattern: str) -> Worked:
    files = {
        "pattern.yaml": pattern,
        "course.yaml": COURSE + "film_size: M\n",
        "episodes/01.yaml": EPISODE.replace("edge round 1", "edge"),
    }
    result = lessonplan.load(write_course(folder, files))
    assert result.worked is not None, [str(problem) for problem in result.problems]
    return result.worked


def test_a_range_that_viewers_choose_in_is_no_value_for_each_size(tmp_path: Path) -> None:
    three = (HEADED + STAGES).replace("[S, M]", "[S, M, L]").replace("40 (48)", "40 (48; 56)")
    assert worked(tmp_path, three).pattern.sizes == ("S", "M", "L")


def test_a_long_chain_of_stages_that_are_not_chosen_closes_up() -> None:
    links = "".join(
        f"  s{n}:\n    title: Part {n}\n    after: {f's{n - 1}' if n else 'edge'}\n    when: cord\n"
        "    works:\n      - {minutes: 1, what: Wait}\n"
        for n in range(190)  # 200 stages are the most a pattern may have
    )
    last = "  last:\n    title: Last\n    after: s189\n    works:\n      - {minutes: 1, what: Wait}\n"
    edge = STAGES[: STAGES.index("  body:")]
    filmed = as_filmed(read(edge + links + last, HEADED.replace("cord or ribbon", "ribbon or cord")))
    assert list(filmed.stages) == ["edge", "last"]
    assert filmed.stages["last"].after == ("edge",)


def test_facts_are_those_of_the_filmed_way_and_of_stages_that_others_have(tmp_path: Path) -> None:
    facts = worked(tmp_path, HEADED + STAGES).facts
    assert facts["cord.length"].all_sizes() == "30\u00a0cm, 11¾\u00a0in"
    assert facts["cord.cord"].at(0) == "30\u00a0cm"
    assert facts["option.colour"].at(0) == "stripes"
    assert facts["ribbon.title"].at(0) == "Ribbon"
    assert facts["body.rounds"].at(0) == "28"


@pytest.mark.parametrize(
    ("old", "new", "line", "column", "words"),
    [
        ("options:", "options:\n  fringe: long", 8, 11, "“fringe” offers no choice: name two or more"),
        ("cord or ribbon", "cord or ribbon or plain", 10, 14, "“plain” is a choice of “colour” and of “trim” too"),
        ("cord or ribbon", "cord or ribbon or cord", 8, 9, "“cord” is named twice; every choice needs a name"),
        ("filmed: stripes", "filmed: strips", 11, 13, "“strips” is no choice of “colour”."),
        ("      stripes: a second", "      strip: a second", 13, 14, "“strip” is no choice of “colour”."),
        ("when: plain}", "when: plan}", 23, 41, "“plan” is no choice of an option."),
        ("5 to 10 cm", "7 to 10 cm", 25, 18, "6 cm is filmed, but viewers may go from 7 to 10 cm."),
        ("5 to 10 cm", "10 to 5 cm", 25, 50, "“10 to 5 cm” should go from a shorter length to a longer one."),
        ("5 to 10 cm", "5 cm", 25, 50, "“5 cm” is not a range such as “5 to 10 cm”."),
        ("rounds: 6 cm, l", "rounds: 6, l", 25, 47, "“as_you_like” goes with a length that is filmed"),
        (
            "{cord: 30 cm}",
            "{cord: 30 cm, when: ribbon}",
            31,
            29,
            "This is never worked: “Cord” is worked only with cord.",
        ),
        ("  trim: cord or ribbon", "  trim: {choices: cord or ribbon, film: cord}", 8, 35, "“film” is not a key"),
        ("optional: yes", "optional: sometimes", 41, 15, "“sometimes” should be yes or no."),
        ("trim: cord or ribbon", "trim: a or b or c or d or e or cord or ribbon", 8, 3, "There are 56 ways"),
    ],
)
def test_bad_options_are_one_sentence_with_their_place(
    tmp_path: Path, old: str, new: str, line: int, column: int, words: str
) -> None:
    text = (HEADED + STAGES).replace(old, new, 1)
    files = {"pattern.yaml": text, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    result = lessonplan.load(write_course(tmp_path, files))
    found = [problem for problem in result.problems if problem.severity == "error"]
    assert len(found) == 1, [str(problem) for problem in found]
    assert words in found[0].message
    assert (found[0].where.line, found[0].where.column) == (line, column)


def test_a_shot_cannot_show_what_is_not_filmed(tmp_path: Path) -> None:
    files = {
        "pattern.yaml": HEADED + STAGES,
        "course.yaml": COURSE + "film_size: M\n",
        "episodes/01.yaml": EPISODE.replace("needs: before edge", "needs: ribbon").replace("leaves: edge round 1", ""),
    }
    result = lessonplan.load(write_course(tmp_path, files))
    found = [one for one in result.problems if one.severity == "error"]
    assert len(found) == 1, [str(problem) for problem in found]
    (problem,) = found
    assert problem.message == "“ribbon” is worked only with ribbon, which is not filmed."
    assert (problem.where.file, problem.where.line) == ("episodes/01.yaml", 8)


FREE = """\
  body:
    title: Body
    works:
      - {cast_on: 40 (48), join: yes}
      - {rounds: 6 cm, lines: Knit, as_you_like: 5 to 10 cm}
      - {bind_off: all}
  strap:
    title: Strap
    after: body
    works:
      - {cast_on: 8}
      - {rows: 10 cm, lines: Knit, as_you_like: 8 to 12 cm}
      - {bind_off: all}
  cord:
    title: Cord
    after: strap
    works:
      - {cord: 30 cm, as_you_like: 20 to 45 cm}
"""


def test_free_lengths_are_worked_as_filmed_at_the_least_and_at_the_most() -> None:
    pattern = read(FREE, HEAD.replace("gauge:", "make: 2\nmargin: 10 %\ngauge:"))
    ways, problems = ways_of(pattern)
    assert problems == ()
    assert [way.name for way in ways] == ["", "as short as you like", "as long as you like"]
    # 30 rounds to 10 cm.
    assert [len(way.worked.stage("body", 0).rounds) for way in ways] == [18, 15, 30]
    assert [len(way.worked.stage("strap", 1).rounds) for way in ways] == [30, 24, 36]
    assert all(step.flat for way in ways for step in way.worked.stage("strap", 0).rounds)
    assert [way.worked.stage("cord", 0).cord for way in ways] == [300, 200, 450]
    _, short, long = ways

    def minutes(way: Way, keys: tuple[str, ...]) -> float:
        part = replace(way.worked, order=keys)
        return replace(way, worked=part).minutes(pattern, 0, 20.0, {})

    # For both pieces 15 rounds of 40 stitches more at 20 a minute, and 0.05 minutes for each round.
    body = minutes(long, ("body",)) - minutes(short, ("body",))
    assert body == pytest.approx(2 * 15 * (40 / 20 + 0.05))
    assert minutes(long, ("body", "strap")) == pytest.approx(minutes(long, ("body",)) + minutes(long, ("strap",)))
    # Two pieces and a tenth more: a plain loop is the root of 23.1 over 2 x 3 to the square cm.
    bodies = [replace(way, worked=replace(way.worked, order=("body",))) for way in (short, long)]
    wool = [one.metres for way in bodies for one in way.yarn(pattern, 0) if one.yarn == "MC"]
    assert wool[1] - wool[0] == pytest.approx(2 * 1.1 * 15 * 40 * (23.1 / 6) ** 0.5 / 100, rel=1e-3)


def test_a_choice_that_leaves_fewer_ends_than_are_woven_in_is_told_of() -> None:
    # Filmed in stripes of two yarns and with a cord: six ends. Plain it is of one yarn; a ribbon leaves none.
    def remarks(works: str) -> list[str]:
        pattern = read(STAGES + works, HEAD.replace("stages:", OPTIONS + "stages:"))
        return [one.message for one in ends_remarks(pattern, ways_of(pattern)[0])]

    by_choice = "the yarns leave 4 ends, and 6 are woven in. Write a work for each choice, with “when:”."
    assert remarks("      - {weave_ends: 6}\n") == [f"With plain {by_choice}", f"With ribbon {by_choice}"]
    each = "      - {weave_ends: 6, when: stripes}\n      - {weave_ends: 4, when: plain}\n"
    assert remarks(each) == [f"With ribbon {by_choice}"]
    assert remarks("      - {weave_ends: 8}\n") == []  # more than any way leaves: counted otherwise
