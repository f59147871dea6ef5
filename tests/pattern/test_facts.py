"""Facts: every number that a text may name, in all sizes, and how it is worded."""

from __future__ import annotations

from pathlib import Path

import pytest

import lessonplan
from lessonplan.course.problems import Where
from lessonplan.pattern.facts import Fact, facts_of
from lessonplan.pattern.texts import UnknownFactError, check_text, fill, for_all_sizes, for_size
from lessonplan.pattern.worked import WorkedStage
from tests.small_course import COURSE, EPISODE, write_course
from tests.small_course import PATTERN as SMALL

PATTERN = """\
title: Striped ring
sizes: [S, M]
gauge: {stitches: 20, rounds: 28}
yarns:
  MC: {name: Plain wool, colour: grey, metres: 200, grams: 100}
  CC: {name: Plain wool, colour: red, metres: 200, grams: 100}
charts:
  dots:
    colours: {M: MC, C: CC}
    rows: [MMMMMMMC, MMMMMMMM]
stages:
  edge:
    title: Edge
    works:
      - cast_on: 40 (48)
      - rounds: 4
        lines: "*K1, p1; rep from * to end"
        yarn: CC
  body:
    title: Body
    after: edge
    works:
      - chart: dots
      - lines: "[K6, k2tog] to end"
"""


@pytest.fixture
def facts(tmp_path: Path) -> dict[str, Fact]:
    course = write_course(
        tmp_path, {"pattern.yaml": PATTERN, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": EPISODE}
    )
    result = lessonplan.load(course)
    assert result.worked is not None, result.problems
    assert [problem.code for problem in result.problems] == ["float"]
    return dict(result.worked.facts)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("edge.cast_on", "40\u00a0(48)"),
        ("edge.rounds", "4"),
        ("edge.with.CC", "160\u00a0(192)"),
        ("body.stitches", "35\u00a0(42)"),
        ("body.count.k2tog", "5\u00a0(6)"),
        ("body.round_3.stitches", "35\u00a0(42)"),
        ("body.length", "1.1\u00a0cm, ⅜\u00a0in"),  # 3 rounds at 28 to 10 cm are 10.7 mm
        ("total.length", "2.5\u00a0cm, 1\u00a0in"),
        ("chart.dots.longest_float", "7"),
        ("ends", "6"),  # MC at the cast-on, CC for the edge, MC again for the body; CC is carried on
        ("gauge.stitches", "20"),
        ("size", "S\u00a0(M)"),
        ("yarn.CC.colour", "red"),
    ],
)
def test_facts_in_all_sizes(facts: dict[str, Fact], name: str, text: str) -> None:
    assert facts[name].all_sizes() == text


def test_a_script_says_one_size_and_the_handout_all(facts: dict[str, Fact]) -> None:
    say = "We cast on {{ edge.cast_on }}, in {{yarn.MC.colour}}."
    assert fill(say, for_size(facts, 1)) == "We cast on 48, in grey."
    assert fill(say, for_all_sizes(facts)) == "We cast on 40\u00a0(48), in grey."


def test_an_unknown_fact_is_never_filled_in_silently(facts: dict[str, Fact]) -> None:
    with pytest.raises(UnknownFactError):
        fill("{{ edge.nothing }}", for_size(facts, 0))


def test_template_language_in_a_text_is_no_fact() -> None:
    for text in ("{% for x in y %}", "{{ 7 * 7 }}", "{{ ''.__class__ }}", "{# hidden #}", "{{"):
        assert list(check_text(text, Where("a", 1, 1), {})), text


def test_facts_of_many_rounds_take_time_in_proportion(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[int] = []
    plain = WorkedStage.rounds
    assert isinstance(plain, property)
    monkeypatch.setattr(WorkedStage, "rounds", property(lambda stage: calls.append(1) or plain.__get__(stage)))

    def asked(rounds: int) -> int:
        pattern = SMALL.replace("rounds: 10", f"rounds: {rounds}")
        result = lessonplan.load(write_course(tmp_path, {"pattern.yaml": pattern}))
        assert result.worked is not None
        calls.clear()
        facts_of(result.worked.course, result.worked.pattern)
        return len(calls)

    assert asked(400) == asked(40)


def test_a_length_as_one_speaks_of_it(facts: dict[str, Fact]) -> None:
    assert fill("It is {{ about body.length }} long.", for_size(facts, 1)) == "It is about 1\u00a0cm long."
    assert fill("{{about body.length}}", for_all_sizes(facts)) == "about 1\u00a0cm, ½\u00a0in"
    (problem,) = check_text("{{ about bdy.length }}", Where("a", 1, 1), facts)
    assert (problem.message, problem.hint) == ("There is no fact “bdy.length”.", "Did you mean “body.length”?")
