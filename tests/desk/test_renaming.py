"""A stage, yarn or tool gets another name: what names it goes along, what only looks like it stays."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from lessonplan.course.byplace import EditError
from lessonplan.desk import views
from lessonplan.desk.filling import _made
from lessonplan.desk.forms.changes import change_from
from lessonplan.desk.forms.mentions import can_be_named, check_alone, mentions, renamed_in
from lessonplan.desk.site import Desk
from lessonplan.desk.store import MeanwhileError, Store
from tests.desk.forms_folder import Course

PATTERN = """\
title: Edge of the world
yarns:
  A: {name: A Good Wool, metres: 85, grams: 50}
stages:
  edge:
    title: The edge
    works:
      - cast_on: 16  # the edge
        yarn: A
      - point: edge marked
  square:
    title: The square
    after: edge
    works:
      - rows: 30
        lines: Knit to the edge
        stripes: 4 A
"""
EPISODE = """\
episode: 1
title: The edge
segments:
  - title: A beginning
    shots:
      - view: edge
        tools: edge, A
        pieces:
          - needs: "edge"   # edge
            leaves: [square row 2]
          - shows: edge or later
          - needs: edge marked
        say: |
          The edge has {{ edge.cast_on }} stitches of {{ yarn.A.colour }}, A {{ square.edge.rows }} more.
"""
FILES = {"pattern.yaml": PATTERN, "episodes/01.yaml": EPISODE}


def renamed(path: tuple[str, str], name: str) -> tuple[str, str]:
    found = mentions(FILES, path)
    pattern, episode = (renamed_in(text, found.get(file, ()), name) for file, text in FILES.items())
    return pattern, episode


def test_a_stage_is_renamed_where_it_is_named_and_nowhere_else() -> None:
    assert renamed(("stages", "edge"), "rim") == (
        PATTERN.replace("after: edge", "after: rim"),
        EPISODE.replace('needs: "edge"', 'needs: "rim"')
        .replace("edge or later", "rim or later")
        .replace("{{ edge.", "{{ rim."),
    )


def test_a_yarn_is_renamed_where_it_is_named_and_nowhere_else() -> None:
    assert renamed(("yarns", "A"), "MC") == (
        PATTERN.replace("yarn: A", "yarn: MC").replace("4 A", "4 MC"),
        EPISODE.replace("edge, A", "edge, MC").replace("yarn.A.", "yarn.MC."),
    )


def test_a_name_that_others_cannot_say_is_refused() -> None:
    for name in ("a: b", "x, y", "# no", "[a", ""):
        with pytest.raises(EditError, match="signs"):
            renamed(("stages", "edge"), name)
    assert not can_be_named("course.yaml", ("stages", "edge"))
    assert not can_be_named("pattern.yaml", ("stages", "edge", "works"))


def test_a_tool_and_a_yarn_of_one_name_are_not_mixed_up() -> None:
    both = FILES | {"course.yaml": "title: x\nhost: y\ntools:\n  A: {what: a ball}\n  ruler: {what: a rule}\n"}
    for path in (("yarns", "A"), ("tools", "A")):
        with pytest.raises(EditError, match=r"both called “A”.*rename this one alone"):
            check_alone(both, path)
    for path in (("tools", "ruler"), ("stages", "edge")):
        check_alone(both, path)


def test_the_whole_sample_goes_along_with_a_name(root: Path, tmp_path: Path) -> None:
    """With a stage and both yarns named otherwise the course has no error."""
    course = Course.of(root / "sample_course")
    for path, name in ((("stages", "thumb"), "digit"), (("yarns", "CC"), "other"), (("yarns", "MC"), "main")):
        found = mentions(course.files, path)
        assert sum(map(len, found.values())) > 3
        for file, spans in found.items():
            course.files[file] = renamed_in(course.files[file], spans, name)
        course.post("pattern.yaml", "rename", [*path], value=name)
    assert [str(one) for one in course.problems(tmp_path) if one.severity == "error"] == []


def test_a_field_that_is_emptied_leaves_the_remarks() -> None:
    course = Course({"course.yaml": "# Mine\ntitle: x\n# where\nplace: The Loft   # upstairs\nhost: y\n"})
    after = course.post("course.yaml", "set", ["place"], value="")
    assert after == "# Mine\ntitle: x\n# where\n# upstairs\nhost: y\n"
    assert course.post("course.yaml", "set", ["place"], value="The Net Loft").count("#") == 3


def test_a_file_that_changes_while_a_name_is_changed_keeps_what_was_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "episodes").mkdir()
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, "utf-8")
    store = Store(tmp_path, lambda: datetime(2027, 3, 10, 9, 0))
    read, episode = views.texts, tmp_path / "episodes/01.yaml"

    def meanwhile(of: Store) -> dict[str, str]:
        found = dict(read(of))
        episode.write_text(EPISODE + "# of an editor\n", "utf-8")
        return found

    monkeypatch.setattr(views, "texts", meanwhile)
    pattern = store.read("pattern.yaml")
    assert pattern
    given = {"kind": "rename", "path": '["stages", "edge"]', "value": "rim", "also": "1", "digest": pattern.digest}
    with pytest.raises(MeanwhileError, match=r"01\.yaml was changed meanwhile"):
        _made(cast("Desk", SimpleNamespace(store=store)), change_from({"file": "pattern.yaml", **given}))
    assert episode.read_text("utf-8") == EPISODE + "# of an editor\n"
    assert (tmp_path / "pattern.yaml").read_text("utf-8") == PATTERN


def test_a_tool_is_renamed_where_it_is_named_and_not_where_it_is_described() -> None:
    course = """\
tools:
  needles: {what: 4 mm needles}
  all: {holds: "needles, A", what: needles and yarn}
kit:
  holds: [needles, {what: needles, also: knitting needles}]
"""
    found = mentions({"course.yaml": course, "pattern.yaml": PATTERN}, ("tools", "needles"))
    assert renamed_in(course, found["course.yaml"], "pins") == (
        course.replace('"needles, A"', '"pins, A"').replace("[needles, {what: needles", "[pins, {what: pins")
    )
