"""The list of facts: values in each size, printed and plain, and where texts name them."""

from __future__ import annotations

import json
from pathlib import Path

import lessonplan
from lessonplan.documents.factlist import facts_data, facts_like, facts_table, unit_of
from lessonplan.planning.worked import Worked
from tests.small_course import COURSE, EPISODE, PATTERN, write_course

TWO = PATTERN.replace("gauge:", "sizes: [S, M]\ngauge:", 1).replace("cast_on: 40", "cast_on: 40 (48)")


def worked(folder: Path) -> Worked:
    say = "say: |\n          We cast on {{ edge.cast_on }}.\n          It is {{ about body.length }} long."
    episode = EPISODE.replace("say: We cast on {{ edge.cast_on }} stitches.", say)
    files = {"pattern.yaml": TWO, "course.yaml": COURSE + "film_size: M\n", "episodes/01.yaml": episode}
    result = lessonplan.load(write_course(folder, files))
    assert result.worked is not None, [str(problem) for problem in result.problems]
    return result.worked


def test_a_fact_with_its_values_and_places(tmp_path: Path) -> None:
    made = worked(tmp_path)
    data = facts_data(made, facts_like(made, "body.length"))
    # 10 rounds at 28 to 10 cm are 35.71 mm: 3.6 cm, 1.42 in, 1⅜ in to the eighth.
    assert data == {
        "sizes": ["S", "M"],
        "facts": [
            {
                "name": "body.length",
                "meaning": "Body: length",
                "unit": "mm",
                "values": [35.71, 35.71],
                "printed": ["3.6\u00a0cm, 1⅜\u00a0in", "3.6\u00a0cm, 1⅜\u00a0in"],
                "used_in": ["episodes/01.yaml:14"],
            }
        ],
    }
    assert json.loads(json.dumps(facts_data(made, facts_like(made)))) == facts_data(made, facts_like(made))


def test_the_table_has_a_column_for_each_size(tmp_path: Path) -> None:
    made = worked(tmp_path)
    found = facts_like(made, "Cast ON")
    assert [fact.name for fact in found] == ["edge.cast_on", "body.cast_on"]
    head, _, first, *_ = facts_table(made, found).splitlines()
    assert head.split() == ["Fact", "What", "it", "is", "S", "M", "Unit", "Used", "in"]
    assert first.split()[0] == "edge.cast_on"
    assert first.split()[-4:] == ["40", "48", "sts", "episodes/01.yaml:13"]
    assert facts_table(made, facts_like(made, "no such thing")) == "No fact is like that."


def test_every_fact_is_listed_once(tmp_path: Path) -> None:
    made = worked(tmp_path)
    assert [fact.name for fact in facts_like(made)] == list(made.facts)


def test_every_value_has_its_unit(tmp_path: Path) -> None:
    made = worked(tmp_path)
    names = ("body.length", "edge.with.MC", "edge.count.p", "body.rounds", "yarn.MC.metres", "edge.round_1.stitches")
    assert [unit_of(made.facts[name]) for name in names] == ["mm", "sts", "times", "rounds", "m", "sts"]
    assert unit_of(made.facts["pattern.title"]) == ""
