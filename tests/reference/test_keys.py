"""Every key of the course files is told of: its meaning beside its field, with examples that the reader takes."""

from __future__ import annotations

import json
import re
from typing import Annotated, Any

import pytest
from pydantic import TypeAdapter
from pydantic.fields import FieldInfo
from typer.testing import CliRunner

from lessonplan.cli import app
from lessonplan.course.values.fields import Item, Text
from lessonplan.course.yamltext import read_yaml
from lessonplan.documents.keylist import keys_view
from lessonplan.reference.keys import FILES, Doc, default_of, docs_of, every_key, groups_in


def models() -> list[type[Item]]:
    """All groups of keys that a course file may hold, found from the files' own models."""
    found: dict[type[Item], None] = dict.fromkeys(FILES.values())
    waiting = list(found)
    while waiting:
        for field in waiting.pop().model_fields.values():
            for inner, _ in groups_in(field.annotation):
                if inner not in found:
                    found[inner] = None
                    waiting.append(inner)
    return list(found)


FIELDS = [(model, name, field) for model in models() for name, field in model.model_fields.items()]


def faults(name: str, doc: Doc, field: FieldInfo) -> list[str]:
    """What is wrong with the text beside a field."""
    found = []
    if not re.fullmatch(r"[^a-z].*\.", doc.meaning) or re.search(r"[.!?] [A-Z]", doc.meaning):
        found.append(f"{name}: its meaning is not one sentence: {doc.meaning!r}")
    if not doc.example:
        found.append(f"{name}: no example")
    number = any(kind in str(field.annotation) for kind in ("float", "PerSize[float]"))
    kinds = [one.words for one in field.metadata if hasattr(one, "words")]
    if number and any(words.startswith("a number") for words in kinds) and not doc.unit:
        found.append(f"{name}: a plain number without its unit")
    return found


def test_no_key_lacks_its_meaning_and_an_example() -> None:
    assert len(FIELDS) > 150
    missing = [
        what
        for model, name, field in FIELDS
        for what in faults(f"{model.__name__}.{name}", docs_of(model)[name], field)
    ]
    assert missing == []


class Planted(Item):
    """A group whose keys are told of badly."""

    told: Text = ""
    """What it is. Example: so"""
    untold: Text = ""
    twice: Text = ""
    """One sentence. And a second one. Example: so"""


def test_a_key_without_a_meaning_is_found() -> None:
    docs, fields = docs_of(Planted), Planted.model_fields
    assert faults("told", docs["told"], fields["told"]) == []
    assert "untold" not in docs
    assert faults("twice", docs["twice"], fields["twice"]) != []
    assert faults("untold", Doc(""), fields["untold"]) != []


def taken(model: type[Item], name: str, typed: str) -> Any:
    """What the reader makes of a key typed so: through the file's reader and the field's own."""
    data, problems = read_yaml(f"{name}: {typed}\n".encode(), "course.yaml")
    assert data is not None, (model, name, problems)
    assert not problems, (model, name, problems)
    field = model.model_fields[name]
    kind: Any = Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation
    return TypeAdapter(kind).validate_python(data[name])


def test_every_example_is_read_as_it_is_typed() -> None:
    for model, name, _ in FIELDS:
        assert taken(model, name, docs_of(model)[name].example) is not None, (model, name)


def test_what_is_said_to_stand_for_a_key_left_out_is_what_the_reader_takes_it_for() -> None:
    told = [(model, name, field) for model, name, field in FIELDS if default_of(field)]
    assert len(told) > 30
    for model, name, field in told:
        assert taken(model, name, default_of(field)) == pytest.approx(field.default), (model, name)


def test_a_key_stands_in_the_list_once_for_each_place_and_the_page_holds_all() -> None:
    keys = every_key()
    assert len({(key.file, key.path, key.works) for key in keys}) == len(keys)
    assert {key.name for key in keys} >= {name for _, name, _ in FIELDS}
    assert sum(len(rows) for _, rows in keys_view().files) == len(keys)
    assert [key.place for key in keys if key.name == "multiple"] == [
        "pattern.yaml: stages > … > works > multiple (with cast_on)"
    ]


def test_the_command_answers_names_places_and_near_misses(tmp_path: Any) -> None:
    def told(*words: str) -> tuple[int, str, str]:
        done = CliRunner().invoke(app, ["keys", *words])
        return done.exit_code, done.stdout, done.stderr

    films = told("films")
    assert films == told("shoot.films")
    assert films[1].splitlines()[0] == "course.yaml: shoot > films"
    assert films[1].splitlines()[-1] == "  Example: films: 1.1, 1.3 to 1.5, 2"
    assert told("filsm") == (2, "", "There is no key “filsm”. Did you mean “films”?\n")
    assert told("quux")[2] == "There is no key “quux”. “lessonplan keys” lists all.\n"
    assert "Keys in it: stitches, rounds, over, fabric, needle." in told("gauge")[1]
    assert "needed" in told("cast_on")[1]
    assert told("note")[1].count("Example:") == 3
    for other, place in (("makers", "course.yaml: knitters"), ("shoot.night_work", "shoot > night_knitting")):
        assert place in told(other)[1]
        assert f"In any craft it may be called “{other.rpartition('.')[2]}”." in " ".join(told(other)[1].split())
    assert "segments > shots > notes > knitter" in told("maker")[1]
    data = json.loads(told("speech", "--json")[1])["keys"]
    assert data[0] == {
        "key": "speech",
        "file": "course.yaml",
        "path": ["pace", "speech"],
        "works": [],
        "takes": "a number",
        "unit": "words a minute",
        "needed": False,
        "default": "135",
        "meaning": "How fast she speaks with her hands at rest.",
        "example": "132",
    }
    page = tmp_path / "keys.html"
    assert told("--page", str(page))[0] == 0
    text = page.read_text(encoding="utf-8")
    assert told("--page", str(page))[0] == 0, "its own page is written over"
    assert all(f">{key.place.partition(': ')[2]}<" in text.replace("&gt;", ">") for key in every_key())
    page.write_text("mine")
    assert told("--page", str(page))[0] == 3
    assert page.read_text() == "mine"
