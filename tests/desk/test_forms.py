"""Forms of a course: every value of its files can be typed, and what is typed changes that value alone."""

from __future__ import annotations

import difflib
import re
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings, strategies as st

from lessonplan.beginning.questions import answers_of
from lessonplan.course.byplace import EditError
from lessonplan.desk.forms.making import form_of
from lessonplan.desk.forms.outline import next_episode, outline_of
from lessonplan.desk.forms.values import Branch
from lessonplan.desk.pages import desk_page
from lessonplan.desk.views import first_fields
from lessonplan.planning.worked import load
from tests.desk.forms_folder import Course, every_field, every_form, field_at, parts

SHOT = ("segments", 2, "shots", 1)
SECOND = "episodes/02-thumb-and-band.yaml"


@pytest.fixture(scope="module")
def sample(root: Path) -> Course:
    return Course.of(root / "sample_course")


def leaves(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], str]]:
    """Every text of a file with its place, as another reader finds them."""
    if isinstance(data, dict):
        return [one for key, value in data.items() for one in leaves(value, (*path, key))]
    if isinstance(data, list):
        return [one for number, value in enumerate(data) for one in leaves(value, (*path, number))]
    return [(path, str(data))]


def test_every_value_of_the_sample_course_can_be_typed_and_typing_it_again_changes_nothing(sample: Course) -> None:
    for file, text in sample.files.items():
        fields = {one.path: one for form in every_form(sample, file) for one in every_field(form)}
        for path, value in leaves(yaml.load(text, Loader=yaml.BaseLoader)):
            shown = fields.get(path) or fields[path[:-1]]  # a list of texts is one field
            assert value.strip() in shown.value
            assert shown.line
        for path, field in fields.items():
            course = Course({file: text})
            assert course.post(file, "set", [*path], value=field.value) == text, (file, path)
        assert not [one for form in every_form(sample, file) for part in parts(form) for one in part.others]


def changed(course: Course, file: str, kind: str, path: list[str | int], **more: str) -> list[str]:
    before = course.files[file]
    after = Course(course.files).post(file, kind, path, **more)
    lines = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in lines if line[0] in "+-"]


@pytest.mark.parametrize(
    ("file", "kind", "path", "more", "lines"),
    [
        ("course.yaml", "set", ["pace", "hold"], {"value": "4 s"}, ["+   hold: 4 s"]),
        ("course.yaml", "set", ["host"], {"value": "Tove"}, ["- host: Minna Quillbeck", "+ host: Tove"]),
        (
            "course.yaml",
            "set",
            ["pace", "knitting"],
            {"value": "30"},
            [
                "-   knitting: 28           # stitches a minute at home, nobody watching",
                "+   knitting: 30           # stitches a minute at home, nobody watching",
            ],
        ),
        ("course.yaml", "set", ["shoot", 0, "knits_in_breaks"], {"value": "yes"}, ["+     knits_in_breaks: yes"]),
        (
            "course.yaml",
            "set",
            ["tools", "scissors", "also"],
            {"value": "snips"},
            ["-   scissors: sharp ones", "+   scissors:", "+     what: sharp ones", "+     also: snips"],
        ),
        (
            "course.yaml",
            "remove",
            ["cameras", 0],
            {},
            [
                "- # How far a camera's clock is ahead of (or “behind”) the clock of the tablet on which takes are "
                "logged, read off once",
                "- # by holding the tablet into the picture: the editor's sheet then has the timecode of every take.",
                "- cameras:",
                "-   - name: A",
                "-     ahead: 12 s",
            ],
        ),
        ("course.yaml", "add", ["knitters"], {"value.name": "Ida"}, ["+   - name: Ida"]),
        (
            "pattern.yaml",
            "set",
            ["yarns", "MC", "hex"],
            {"value": "#aabbcc"},
            [
                '-     hex: "#D8C7A3"       # in quotes, because # otherwise begins a remark',
                '+     hex: "#aabbcc"       # in quotes, because # otherwise begins a remark',
            ],
        ),
        (
            "pattern.yaml",
            "set",
            ["needles"],
            {"value": "3.5 mm (US 4) for the cuff\r\n4.5 mm\r\n"},
            ["-   - 4 mm (US 6) for everything above it", "+   - 4.5 mm"],
        ),
        ("pattern.yaml", "add", ["stages", "edge", "works"], {"work": "rounds", "value": "4"}, ["+       - rounds: 4"]),
        (
            "pattern.yaml",
            "add",
            ["stages"],
            {"name": "button", "value.title": "Button", "value.after": "ends"},
            ["+ ", "+   button:", "+     title: Button", "+     after: ends"],
        ),
        ("pattern.yaml", "rename", ["stages", "band"], {"value": "cobbles"}, ["-   band:", "+   cobbles:"]),
        (SECOND, "set", [*SHOT, "one_way"], {"value": "no"}, ["+         one_way: no"]),
        (SECOND, "set", [*SHOT, "pieces", 0, "spare"], {"value": ""}, ["-             spare: 1"]),
        (
            SECOND,
            "set",
            [*SHOT[:-1], 2, "notes", "editor"],
            {"value": "Cut"},
            ["+         notes:", "+           editor: Cut"],
        ),
        (
            SECOND,
            "set",
            [*SHOT, "must_say"],
            {"value": "The kit was a gift.\nIt was: really."},
            ["+         must_say:", "+           - The kit was a gift.", '+           - "It was: really."'],
        ),
        (
            SECOND,
            "add",
            ["segments"],
            {"value.title": "A hole", "value.shots.0.view": "face", "at": "0"},
            ["+   - title: A hole", "+     shots:", "+       - view: face", "+ "],
        ),
    ],
)
def test_a_posted_change_touches_the_lines_of_its_value_alone(
    sample: Course, file: str, kind: str, path: list[str | int], more: dict[str, str], lines: list[str]
) -> None:
    assert changed(sample, file, kind, path, **{key.replace(".", "__"): text for key, text in more.items()}) == lines


def test_a_text_in_lines_stays_one(sample: Course) -> None:
    text = Course(sample.files).post("course.yaml", "set", ["summary"], value="One line.")
    assert "summary: |\n  One line.\n\nfilm_size:" in text
    text = Course(sample.files).post(SECOND, "set", [*SHOT, "title"], value="Two\r\nlines")
    assert "        title: |\n          Two\n          lines\n        pieces:" in text


def test_entries_are_moved_with_their_remarks(sample: Course) -> None:
    course = Course(sample.files)
    before = course.files["course.yaml"]
    after = course.post("course.yaml", "move", ["knitters", 0], value="down")
    assert sorted(after.splitlines()) == sorted(before.splitlines())
    assert [one["name"] for one in yaml.safe_load(after)["knitters"]] == ["Ansel Ollermoss", "Bodil Tweddlecroft"]
    assert course.post("course.yaml", "move", ["knitters", 1], value="up") == before
    with pytest.raises(EditError, match="any further"):
        course.post("course.yaml", "move", ["knitters", 0], value="up")


@pytest.mark.parametrize(
    ("file", "kind", "path", "value", "said"),
    [
        ("course.yaml", "drop", [], "", "no change"),
        ("notes.txt", "set", ["a"], "b", "no form"),
        ("course.yaml", "set", ["shoot"], "tomorrow", "entries"),
        ("course.yaml", "set", ["colour"], "red", "no such place"),
        ("course.yaml", "set", ["knitters", 9, "name"], "Ida", "no such entry"),
        ("course.yaml", "add", ["host"], "x", "no list"),
        ("course.yaml", "remove", [], "", "whole file"),
        ("course.yaml", "rename", ["tools", "MC"], "CC", "already"),
        ("course.yaml", "rename", ["tools", "MC"], "", "name is missing"),
        ("course.yaml", "move", ["host"], "left", "nothing to move"),
    ],
)
def test_what_no_form_posts_is_refused(
    sample: Course, file: str, kind: str, path: list[str | int], value: str, said: str
) -> None:
    with pytest.raises(EditError, match=said):
        Course({"notes.txt": "a: b\n", **sample.files}).post(file, kind, path, value=value)


BROKEN = {
    "course.yaml": "title: x\nhst: Tove\npace:\n  knitting: fast\nshoot:\n  - day: tomorrow\n    films: 9\n"
    "summary: [a, {b: c}]\n",
    "pattern.yaml": "title: P\nstages:\n  edge:\n    title: Edge\n    works:\n      - cast_off: 3\n      - hold: 4\n",
    "episodes/01.yaml": "episode: one\ntitle: E\nsegments:\n  - title: S\n    shots: []\n",
    "errata.yaml": "errata: [\n",
}


def test_a_course_with_errors_everywhere_is_forms_with_the_errors_at_their_fields(tmp_path: Path) -> None:
    course = Course(BROKEN)
    problems = course.problems(tmp_path)
    form = course.form("course.yaml", (), problems)
    assert [one.message for one in field_at(form, "host").problems] == ["“host” is missing here."] or form.others
    assert [one.label for one in form.others] == ["hst", "summary"]
    assert form.others[1].text == "summary: [a, {b: c}]"
    assert form.others[1].line == 8
    (pace,) = field_at(form, "pace", "knitting").problems
    assert (pace.where.line, "fast" in pace.message) == (4, True)
    day = course.form("course.yaml", ("shoot", 0), problems)
    assert field_at(day, "shoot", 0, "day").problems
    assert field_at(day, "shoot", 0, "day").value == "tomorrow"
    works = course.form("pattern.yaml", ("stages", "edge", "works", 0), problems)
    assert [one.label for one in works.others] == ["cast_off"]
    hold = course.form("pattern.yaml", ("stages", "edge", "works", 1), problems)
    assert ["name" in one.message for one in field_at(hold, "stages", "edge", "works", 1, "name").problems] == [True]
    segment = course.form("episodes/01.yaml", ("segments", 0), problems)
    assert segment.lists[0].problems
    assert form_of(course.files, "errata.yaml") is None
    told = {branch.file: branch for branch in outline_of(course.files, problems)}
    assert told["errata.yaml"].path is None
    assert all(told[file].problems for file in BROKEN)


def titles(branches: tuple[Branch, ...], depth: int = 0) -> list[str]:
    return [text for one in branches for text in (" " * depth + one.title, *titles(one.branches, depth + 1))]


def test_the_outline_names_every_place(sample: Course, root: Path) -> None:
    outline = outline_of(sample.files, load(root / "sample_course").problems)
    told = titles(outline)
    loft = "at The Net Loft, upstairs, north window"
    days = [f" Day 1, Sat 13 Feb 2027: 1.1, 3.5, 1.2, 1.3, 1.4, 1.5, 2.1, 2.2, 2.3 {loft}"]
    days += [f" Day 2, Sun 14 Feb 2027: 2.4, 2.5, 3.1, 3.2, 3.3, 3.4 {loft}"]
    assert told[:4] == ["Course", *days, "Pattern"]
    odd = "shoot: [{day: soon}, {films: [1.1, 1.2]}, {place: here}]\n"
    assert [one.title for one in outline_of({"course.yaml": odd})[0].branches] == [
        "Day 1, soon", "Day 2: 1.1, 1.2", "Day 3: here",
    ]  # fmt: skip
    assert told[4:6] == [" Cast-on edge (edge)", " Ribbed cuff (cuff)"]
    assert " 2.3 The thumb goes to sleep" in told
    assert "  2.3.2 On to the waste yarn" in told
    assert told[-2:] == ["Errata", "Agreed"]
    for branch in outline:
        for one in (branch, *branch.branches, *(shot for part in branch.branches for shot in part.branches)):
            assert one.path is not None
            assert sample.form(one.file, one.path).path == one.path
    new = next_episode(sample.files)
    assert (new.file, new.number) == ("episodes/04.yaml", 4)


def test_the_outline_of_a_long_course_is_folded_but_for_the_file_that_is_open(sample: Course) -> None:
    shots = "".join(f"      - view: overhead\n        title: Shot {number}\n" for number in range(101))
    name, other = "episodes/01.yaml", "episodes/02.yaml"
    long = f"episode: 1\ntitle: Long\nsegments:\n  - title: All\n    shots:\n{shots}"
    files = {name: long, other: "episode: 2\ntitle: Short\nsegments:\n  - title: One\n"}
    folds = []
    for held, file in ((files, name), (sample.files, SECOND)):
        form = form_of(held, file, ())
        page = desk_page("form_live.html.j2", form=form, digest="", branches=outline_of(held))
        folds.append(re.findall(r"<details( open)?><summary>What is in it<span class=\"unseen\">: (.*?)</span>", page))
    assert folds == [[(" open", "Episode 1: Long"), (" open", "1.1 All"), ("", "Episode 2: Short")], []]


def test_fields_offer_what_the_course_has(sample: Course) -> None:
    form = sample.form(SECOND, SHOT)
    states = field_at(form, *SHOT, "pieces", 0, "needs").offered
    assert states[:4] == ("nothing", "before edge", "edge", "before cuff")
    assert "ready to draw through" in states
    assert "gusset or later" in field_at(form, *SHOT, "pieces", 0, "shows").offered
    assert field_at(form, *SHOT, "view").offered[:2] == ("face", "overhead")
    assert {"MC", "scissors"} <= set(field_at(form, *SHOT, "tools").offered)
    assert {"1", "1.1", "2.3.2"} <= set(field_at(form, *SHOT, "after").offered)
    assert field_at(sample.form("course.yaml"), "film_size").offered == ("Small", "Medium", "Large")
    lists = {one.path: one for one in sample.form("course.yaml").lists}
    assert {"k2tog", "ssk"} <= set(lists["techniques",].names)
    agreed = {one.path: one for one in sample.form("agreed.yaml").lists}
    assert {"A", "B"} <= set(agreed["progress",].names)
    errors = sample.form("errata.yaml", ("errata", 0))
    assert "shot 2.3.2" in field_at(errors, "errata", 0, "where").offered
    thumb = sample.form("pattern.yaml", ("stages", "thumb", "works", 0))
    assert field_at(thumb, "stages", "thumb", "works", 0, "take_up").offered == ("thumb",)
    assert [one for one, _ in form.above] == [
        "Episode 2: Room for a thumb, and a band of cobbles",
        "2.3 The thumb goes to sleep",
    ]


def test_typing_nothing_begins_no_file() -> None:
    assert Course().post("course.yaml", "set", ["title"], value=" ") == ""
    assert Course().post("errata.yaml", "add", ["errata"], value__found="2027-05-09", value__by="Jorun") == (
        "# What was found wrong, and what is right.\n\nerrata:\n  - found: 2027-05-09\n    by: Jorun\n"
    )
    remarks = {"course.yaml": "# mine\n"}
    assert Course(remarks).post("course.yaml", "set", ["title"], value="A Bowl") == "# mine\ntitle: A Bowl\n"


def test_other_crafts_have_their_keys_and_words() -> None:
    course = Course({"pattern.yaml": "title: Bowl\ncraft: pottery\n", "course.yaml": "title: A Bowl\nhost: Tove\n"})
    lists = {one.path: one for one in course.form("course.yaml").lists}
    assert (lists["makers",].label, lists["makers",].one) == ("Makers", "maker")
    course.post("course.yaml", "add", ["shoot"], value__day="2027-05-08", value__films="1")
    course.post("course.yaml", "add", ["makers"], value__name="Ida")
    course.post("course.yaml", "set", ["shoot", 0, "night_work"], value="1 h")
    assert course.files["course.yaml"] == (
        "title: A Bowl\nhost: Tove\n\nmakers:\n  - name: Ida\n"
        "\nshoot:\n  - day: 2027-05-08\n    films: 1\n    night_work: 1 h\n"
    )
    assert field_at(course.form("course.yaml", ("shoot", 0)), "shoot", 0, "night_work").value == "1 h"


@pytest.mark.parametrize(("craft", "counts"), [("pottery", False), ("basketry", False), ("crochet", True)])
def test_a_craft_without_stitches_is_not_asked_for_a_gauge_or_a_yarn(craft: str, counts: bool) -> None:
    course = Course({"pattern.yaml": f"title: Bowl\ncraft: {craft}\n", "course.yaml": "title: A Bowl\n"})
    form = course.form("pattern.yaml")
    parts = {
        str(path[-1]): main
        for path, main in (
            *((one.path, one.main) for one in form.fields),
            *((one.path, one.main) for one in form.groups),
            *((one.path, one.main) for one in form.lists),
        )
    }
    of_yarn, of_stuff = ("gauge", "needles", "yarns"), ("tools", "materials")
    assert [parts[key] for key in of_yarn] == [counts] * 3, "all can be had, below “More”"
    assert [parts[key] for key in of_stuff] == [not counts] * 2
    paces = next(one for one in course.form("course.yaml").groups if one.path == ("pace",))
    assert ("knitting" in {str(one.path[-1]) for one in paces.fields if one.main}) == counts


def test_a_first_course_is_asked_for(tmp_path: Path) -> None:
    today = date(2027, 1, 4)
    plain = {one.name: one for one in first_fields({}, today)}
    assert plain["made"].default == "hat"
    assert "gauge" in plain
    assert "craft" not in plain
    asked = {one.name: one for one in first_fields({"made": "mittens", "gauge": "tight", "host": "Tove"}, today)}
    assert (asked["made"].value, asked["host"].value) == ("mittens", "Tove")
    assert [one.message for one in asked["gauge"].problems] == [
        "“tight” should read like “20 x 28 to 10 cm”: stitches, rounds, and the length."
    ]
    assert not [one for name, one in asked.items() if one.problems and name != "gauge"]
    other = {one.name for one in first_fields({"made": "something else"}, today)}
    assert "craft" in other
    assert "gauge" not in other
    answers = {name: field.value or field.default for name, field in plain.items()}
    assert answers_of(answers, today).made == "hat"


def scarf(course: Course) -> None:
    """A whole small course, entered form by form."""
    for key, value in (("title", "A Garter Scarf"), ("host", "Tove Marrowby"), ("summary", "We knit\r\na scarf.")):
        course.post("course.yaml", "set", [key], value=value)
    course.post("course.yaml", "add", ["shoot"], value__day="2027-05-08", value__films="1")
    course.post("course.yaml", "set", ["shoot", 0, "lunch"], value="12:30 for 45 min")
    course.post("course.yaml", "add", ["knitters"], value__name="Ida")
    course.post("course.yaml", "set", ["knitters", 0, "starts"], value="2027-03-01")
    course.post("course.yaml", "set", ["pace", "knitting"], value="25")
    course.post("course.yaml", "add", ["tools"], name="A", value__what="a ball of it")
    course.post("pattern.yaml", "set", ["title"], value="Garter Scarf")
    course.post("pattern.yaml", "set", ["gauge", "stitches"], value="20")
    course.post("pattern.yaml", "set", ["gauge", "rounds"], value="40")
    course.post("pattern.yaml", "set", ["gauge", "fabric"], value="garter stitch, washed")
    course.post("pattern.yaml", "set", ["needles"], value="4.5 mm")
    course.post("pattern.yaml", "add", ["yarns"], name="A", value__name="Quernwool")
    for key, value in (("metres", "200"), ("grams", "100"), ("hex", "#8a8a8a"), ("colour", "grey")):
        course.post("pattern.yaml", "set", ["yarns", "A", key], value=value)
    stages: tuple[tuple[str, str, str, tuple[tuple[str, str, dict[str, str]], ...]], ...] = (
        ("edge", "Cast-on edge", "", (("cast_on", "40", {}),)),
        ("body", "Body", "edge", (("rows", "120", {"lines": "Knit"}),)),
        ("end", "Bound-off edge", "body", (("bind_off", "all", {"one_way": "yes"}), ("weave_ends", "2", {}))),
        ("blocking", "Blocking", "end", (("block", "10 min", {"drying": "14 h"}),)),
    )
    for name, title, after, works in stages:
        course.post("pattern.yaml", "add", ["stages"], name=name, value__title=title, value__after=after)
        for number, (work, value, more) in enumerate(works):
            course.post("pattern.yaml", "add", ["stages", name, "works"], work=work, value=value)
            if name in ("edge", "body") or work == "bind_off":
                course.post("pattern.yaml", "set", ["stages", name, "works", number, "yarn"], value="A")
            for key, text in more.items():
                course.post("pattern.yaml", "set", ["stages", name, "works", number, key], value=text)
    new = next_episode(course.files)
    file, asked = new.file, {one.name.replace(".", "__") for one in new.asks}
    answers = {"title": "Cast on: and knit", "segments__0__title": "The edge", "segments__0__shots__0__view": "face"}
    assert {f"value__{key}" for key in answers} == asked
    course.post(
        file, "add", [], value__episode=str(new.number), **{f"value__{key}": one for key, one in answers.items()}
    )
    course.post(file, "set", ["segments", 0, "shots", 0, "say"], value="Welcome.\r\nWe knit {{ body.rows }} rows.")
    course.post(file, "add", ["segments", 0, "shots", 0, "pieces"], value__needs="finished")
    course.post(file, "add", ["segments", 0, "shots"], value__view="overhead")
    course.post(file, "add", ["segments", 0, "shots", 1, "pieces"], value__needs="edge", value__leaves="body row 1")
    course.post(file, "add", ["segments", 0, "shots", 1, "hands"], value__do="knit a row", value__time="40 s")
    course.post(file, "set", ["segments", 0, "shots", 1, "tools"], value="A")
    course.post(file, "set", ["segments", 0, "shots", 1, "say"], value="Knit to the end of the row.")


def test_a_whole_small_course_is_made_by_forms_alone(tmp_path: Path) -> None:
    course = Course()
    scarf(course)
    assert [str(one) for one in course.problems(tmp_path) if one.severity != "note"] == []
    assert course.files["course.yaml"] == SCARF_COURSE
    assert course.files["episodes/01.yaml"] == SCARF_EPISODE


SCARF_COURSE = """\
# The course as a whole: who teaches it, who makes the step samples, and when it is filmed.

title: A Garter Scarf
host: Tove Marrowby
summary: |
  We knit
  a scarf.

pace:
  knitting: 25

tools:
  A:
    what: a ball of it

knitters:
  - name: Ida
    starts: 2027-03-01

shoot:
  - day: 2027-05-08
    lunch: 12:30 for 45 min
    films: 1
"""
SCARF_EPISODE = """\
# An episode: its segments, each with its shots in the order of the story.

episode: 1
title: "Cast on: and knit"

segments:
  - title: The edge
    shots:
      - view: face
        pieces:
          - needs: finished
        say: |
          Welcome.
          We knit {{ body.rows }} rows.

      - view: overhead
        pieces:
          - needs: edge
            leaves: body row 1
        tools: A
        hands:
          - do: knit a row
            time: 40 s
        say: Knit to the end of the row.
"""


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_whatever_stands_in_a_file_its_forms_say_it_and_typing_it_again_changes_nothing(root: Path, data: Any) -> None:
    files = _sample_files(root)
    file = data.draw(st.sampled_from(sorted(files)))
    lines = files[file].split("\n")
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(lines) - 1))
        indent = " " * (len(lines[at]) - len(lines[at].lstrip()))
        new = data.draw(
            st.sampled_from(["", "- x", "a: b", "x: [1, {b: 2}]", "- - y", "title: z", "&a b", "? c", "'", "x:"])
        )
        match data.draw(st.sampled_from(["drop", "put", "cut", "instead", "shift"])):
            case "drop":
                lines[at : at + 1] = []
            case "put":
                lines.insert(at, indent + new)
            case "cut":
                lines[at] = lines[at].partition(":")[0] + ":"
            case "instead":
                lines[at] = lines[at].partition(":")[0] + ": " + new
            case "shift":
                lines[at] = " " + lines[at]
        lines = lines or [""]
    course = Course({**files, file: "\n".join(lines)})
    outline_of(course.files)
    if form_of(course.files, file) is None:
        return
    form = data.draw(st.sampled_from([*every_form(course, file)]))
    for field in [*every_field(form)][:20]:
        if field.value or not field.line:  # a key without a value is taken away by typing nothing
            again = course.after(file, "set", [*field.path], value=field.value)
            assert again == course.files[file]


@cache
def _sample_files(root: Path) -> dict[str, str]:
    return Course.of(root / "sample_course").files
