"""The schemas against the reader: they take what it takes, and refuse the unknown keys that it refuses."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from pydantic import ValidationError
from typer.testing import CliRunner

from lessonplan.cli import app
from lessonplan.course.yamltext import read_yaml
from lessonplan.reference.schema import MODELS, schema_of
from tests.small_course import COURSE, EPISODE, PATTERN

NAMES = {"course.yaml": "course", "pattern.yaml": "pattern", "errata.yaml": "errata", "agreed.yaml": "agreed"}
VALIDATORS = {name: Draft202012Validator(schema_of(name)) for name in MODELS}


class AsEditors(yaml.SafeLoader):
    """YAML 1.2 as editors read it: numbers are numbers; yes, no and dates are words."""


AsEditors.yaml_implicit_resolvers = {
    sign: [(tag, rule) for tag, rule in rules if tag.rpartition(":")[2] in ("int", "float", "null")]
    for sign, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def wrong(name: str, data: Any) -> list[str]:
    """What the schema says of a file's data."""
    return [f"{'/'.join(map(str, one.absolute_path))}: {one.message}" for one in VALIDATORS[name].iter_errors(data)]


def refused(name: str, data: Any) -> bool:
    """Whether the reader's model refuses a file's data."""
    try:
        MODELS[name].model_validate(data)
    except ValidationError:
        return True
    return False


def groups(data: Any) -> Iterator[dict[str, Any]]:
    """Every mapping in a file's data, itself first."""
    if isinstance(data, dict):
        yield data
    for one in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
        yield from groups(one)


@pytest.mark.parametrize("name", MODELS)
def test_each_is_a_schema_of_2020_12(name: str) -> None:
    Draft202012Validator.check_schema(schema_of(name))
    assert schema_of(name)["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_courses_are_taken_as_editors_and_as_the_program_read_them(root: Path) -> None:
    files = [path for folder in ("sample_course", "tests/courses") for path in sorted((root / folder).rglob("*.yaml"))]
    files = [path for path in files if "out" not in path.parts and path.name != "learnt.yaml"]
    assert len(files) > 8
    texts = [(NAMES.get(path.name, "episode"), path.read_bytes()) for path in files]
    texts += [("course", COURSE.encode()), ("pattern", PATTERN.encode()), ("episode", EPISODE.encode())]
    for name, text in texts:
        assert wrong(name, yaml.load(text, AsEditors)) == []
        assert wrong(name, json.loads(json.dumps(read_yaml(text, name)[0]))) == []


def test_new_courses_name_their_schemas_and_fit_them(tmp_path: Path) -> None:
    for made in ("hat", "socks", "something else"):
        course = tmp_path / made
        done = CliRunner().invoke(app, ["begin", str(course), "--yes", "--made", made, "--today", "2026-11-26"])
        assert done.exit_code == 0, done.stderr
        files = sorted(course.rglob("*.yaml"))
        assert len(files) >= 3
        for path in files:
            first = path.read_text(encoding="utf-8").splitlines()[0]
            line = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
            assert line, path
            schema = json.loads((path.parent / line[1]).read_text(encoding="utf-8"))
            assert list(Draft202012Validator(schema).iter_errors(yaml.load(path.read_bytes(), AsEditors))) == []


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("course", "sample_course/course.yaml"),
        ("pattern", "sample_course/pattern.yaml"),
        ("errata", "sample_course/errata.yaml"),
        ("episode", "tests/courses/hat/episodes/01-hat.yaml"),
    ],
)
def test_an_unknown_key_is_refused_wherever_the_reader_refuses_it(root: Path, name: str, file: str) -> None:
    found = next((root / file).parent.glob("*hat*.yaml")) if name == "episode" else root / file
    data = json.loads(json.dumps(read_yaml(found.read_bytes(), name)[0]))
    places, tried, agreed = len(list(groups(data))), 0, 0
    for place in range(0, places, max(1, places // 25)):
        planted = copy.deepcopy(data)
        list(groups(planted))[place]["zebra"] = {"zebra": "3"}
        tried += 1
        agreed += refused(name, planted) == bool(wrong(name, planted))
    assert agreed == tried >= 4


WRONG = [
    ("course", COURSE.replace("host: Ada Example\n", ""), "a missing key"),
    ("course", COURSE.replace("9:00", "[9:00]"), "a list where one value is expected"),
    ("course", COURSE + "paper: a5\n", "none of the choices"),
    ("course", COURSE + "pace: {reset: 2}\n", "a time without a unit"),
    ("course", COURSE + "knitters: {name: Bo}\n", "a group where a list is expected"),
    ("course", COURSE + "knitters: [{name: Bo, learn: perhaps}]\n", "neither yes nor no"),
    ("pattern", PATTERN.replace("rounds: 28", "rounds: 28, over: 10"), "a length without a unit"),
    ("pattern", PATTERN.replace("      - cast_on: 40\n        join: yes\n", "      - join: yes\n"), "no work is named"),
    ("pattern", PATTERN.replace("join: yes", "joint: yes"), "an unknown key of a work"),
    ("episode", EPISODE.replace("view: overhead", "veiw: overhead"), "an unknown key of a shot"),
    ("episode", EPISODE.replace("episode: 1", "episode: one"), "not a number"),
]


@pytest.mark.parametrize(("name", "text", "what"), WRONG, ids=[what for _, _, what in WRONG])
def test_what_is_surely_wrong_is_refused_by_both(name: str, text: str, what: str) -> None:
    data = yaml.load(text, AsEditors)
    assert wrong(name, data), what
    assert refused(name, json.loads(json.dumps(read_yaml(text.encode(), name)[0])))


RIGHT = [
    ("course", COURSE.replace("films: [1]", "films: 1")),
    ("course", COURSE + "tools: {scissors: sharp, markers: {what: three, also: [marker]}}\npaper: letter\n"),
    ("course", COURSE.replace("    wrap", "    lunch: {at: 12:30, takes: 45 min}\n    wrap")),
    ("pattern", PATTERN + "sizes: S, M\nterms: UK\nmargin: 0.15\noptions: {trim: cord or ribbon}\n"),
    ("pattern", PATTERN + "sizes: [S, {name: M}]\nmeasures: {head: 56 cm}\nsmall: 24 sts\n"),
    ("episode", EPISODE + "      - view: face\n        points: ['hello, 5 s']\n        runs_on: no\n"),
]


@pytest.mark.parametrize(("name", "text"), RIGHT)
def test_every_way_to_write_a_value_is_taken_by_both(name: str, text: str) -> None:
    assert wrong(name, yaml.load(text, AsEditors)) == []
    assert not refused(name, read_yaml(text.encode(), name)[0])


def test_the_command_prints_a_schema_and_puts_them_beside_a_course(tmp_path: Path) -> None:
    run = CliRunner()
    assert json.loads(run.invoke(app, ["schema", "pattern"]).stdout) == schema_of("pattern")
    assert run.invoke(app, ["schema", "patern"]).stderr == "There is no schema “patern”. Did you mean “pattern”?\n"
    assert run.invoke(app, ["schema", "--into", str(tmp_path)]).exit_code == 2
    (tmp_path / "course.yaml").write_text(COURSE)
    said = run.invoke(app, ["schema", "--into", str(tmp_path)]).stdout
    assert {path.stem for path in (tmp_path / "schema").iterdir()} == set(MODELS)
    assert "episodes/01.yaml: # yaml-language-server: $schema=../schema/episode.json" in said
